"""A wall of a job with its corners: the panel every chain is made of, with a node more at each held end stud."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.box.deck import CountedDeck, Lean, Met, TopNode, counted_of, nodes_of
from bracing.chain.evaluate import keeping
from bracing.chain.model import Model, build_model
from bracing.chain.returns import CORNER, FAR, SOFT_RETURN, HeldEnd, end_height, held_end
from bracing.codes.basis import basis_of
from bracing.job.house import BRACE_SIDE, OUTSIDE, House, Meeting, Placed, WallEnd, as_joined, of_file
from bracing.job.job import Job
from bracing.job.returns import Return, ReturnCorner
from bracing.panel.corners import corner_give
from bracing.units import Inch

Array = NDArray[np.float64]
TOUCH: Inch = 1e-6
SAME_HEIGHT: Inch = 6.0  # corners of one wall this near in height hold it at one height


@frozen
class Node:
    """A place at which a wall's end stud is held by the wall it meets.

    Attributes:
        corner: which corner of the job.
        by: the wall that holds it, along itself.
        x: the end stud from LEFT [in].
        z: height above the floor [in].
        top: at the top of the stud, not at its middle.
        way: 1 where push on the held wall presses the other toward its right end, -1 where toward its left.
    """

    corner: int
    by: str
    x: Inch
    z: Inch
    top: bool
    way: int

    @property
    def leans(self) -> tuple[Lean, ...]:
        """The wall it leans on, with all it takes."""
        return (Lean(self.by, self.way, 1.0),)


@frozen(eq=False)
class JoinedWall:
    """One wall of the system.

    Attributes:
        file: its file.
        model: the wall ready to be solved: its heads are its braces, then its nodes, then those of its tops.
        placed: where it stands in plan.
        nodes: where its end studs are held, the middle and then the top of each.
        held: of each corner that holds it, the wall it meets as what holds an end.
        by: of each of those, its file.
        tops: where decks hold its top between its ends.
        decks: the decks that count over it.
    """

    file: str
    model: Model = field(repr=False)
    placed: Placed
    nodes: tuple[Node, ...]
    held: tuple[HeldEnd, ...] = field(repr=False)
    by: tuple[str, ...]
    tops: tuple[TopNode, ...] = ()
    decks: tuple[CountedDeck, ...] = field(default=(), repr=False)

    @property
    def places(self) -> tuple[Node | TopNode, ...]:
        """Every place at which another wall holds it: at its corners, then over decks."""
        return (*self.nodes, *self.tops)

    @property
    def leans_on(self) -> frozenset[str]:
        """Files of the walls it leans on."""
        return frozenset(lean.by for place in self.places for lean in place.leans)

    @property
    def slips(self) -> tuple[float, ...]:
        """Give of the fasteners at each place [in/lb]."""
        corners = (
            float(corner_give(float(held.count), held.corner.slip_modulus))
            for held in self.held
            for _ in held.heights
        )
        return (*corners, *(top.give for top in self.tops))

    def held_by(self, file: str) -> tuple[HeldEnd, ...]:
        """Give what another wall is to this one's ends; nothing where they do not meet, or it counts for nothing.

        Args:
            file: the other's file.
        """
        return tuple(held for held, by in zip(self.held, self.by, strict=True) if by == file)

    @property
    def job(self) -> Job:
        """Its job, with the braces that stand."""
        return self.model.job

    def without(self, mark: str) -> JoinedWall:
        """Give the wall with one brace gone.

        Args:
            mark: the brace.
        """
        keep = [k for k, brace in enumerate(self.job.braces) if brace.mark != mark]
        return evolve(self, model=keeping(self.model, keep))


def joined_walls(
    house: House,
    jobs: Mapping[str, Job],
    placed: Mapping[str, Placed],
    *,
    thunderstorm: bool = False,
) -> tuple[JoinedWall, ...]:
    """Make every wall of a job that is up, each with the corners that count.

    Args:
        house: the job.
        jobs: its walls, by file.
        placed: where each stands in plan.
        thunderstorm: wind profile of an outflow.
    """
    met = met_of(house, jobs, placed)
    made = []
    for file, ends in met.ends.items():
        job, mine = jobs[file], as_joined(house, jobs, file)
        nodes = tuple(
            node
            for end, (by, held) in ends.items()
            for node in _nodes(_corner_of(house, file, end), by, held, _way(placed[file], placed[by]))
        )
        ways = {end: (by, _way(placed[file], placed[by])) for end, (by, _) in ends.items()}
        decks = counted_of(house, file, met)
        tops = tuple(top for deck in decks for top in nodes_of(deck, job.wall, ways))
        places: tuple[Node | TopNode, ...] = (*nodes, *tops)
        model = build_model(
            mine,
            thunderstorm=thunderstorm,
            basis=basis_of(job),
            corners=tuple((place.x, place.z) for place in places),
        )
        held = tuple(one for _, one in ends.values())
        by = tuple(one for one, _ in ends.values())
        made.append(JoinedWall(file, model, placed[file], nodes, held, by, tops, decks))
    return tuple(made)


def met_of(house: House, jobs: Mapping[str, Job], placed: Mapping[str, Placed]) -> Met:
    """Give the walls of a job that are up, each with the walls that count at its ends, in the order of the corners.

    Args:
        house: the job.
        jobs: its walls, by file.
        placed: where each stands in plan.
    """
    up = {file: job for file, job in jobs.items() if job.wall.up}
    found: dict[str, dict[str, tuple[str, HeldEnd]]] = {}
    for file, job in up.items():
        mine = as_joined(house, jobs, file)
        ends: dict[str, tuple[str, HeldEnd]] = {}
        for corner in house.corners:
            for end, other in (corner.ends, corner.ends[::-1]):
                if not corner.counts or end.file != file or other.file not in up:
                    continue
                runs = _runs(placed[file], placed[other.file], other.end)
                own = tuple(dict.fromkeys((*job.fasteners, *up[other.file].fasteners)))
                stands = evolve(mine, floor=up[other.file].floor, fasteners=own)
                end_of = return_of(
                    corner, up[other.file], other, side=runs, meets=end_height(mine.wall, end.end)
                )
                one = None if end_of.missing else held_end(stands, end.end, end_of, basis=basis_of(job))
                if one is not None:
                    ends[end.end] = (other.file, one)
        found[file] = ends
    return Met(jobs, found)


def _corner_of(house: House, file: str, end: str) -> int:
    return next(
        k
        for k, corner in enumerate(house.corners)
        if any(one.file == file and one.end == end for one in corner.ends)
    )


def _way(held: Placed, by: Placed) -> int:
    """1 where push on a wall presses the one that holds it toward its right end."""
    return held.to_braces[0] * by.along[0] + held.to_braces[1] * by.along[1]


def _nodes(corner: int, by: str, held: HeldEnd, way: int) -> list[Node]:
    return [Node(corner, by, held.x, z, z == max(held.heights), way) for z in held.heights]


def _runs(held: Placed, by: Placed, end: str) -> str:
    """To which side of a wall the other runs away from it, met at one of its ends."""
    away = by.along if end == "left" else (-by.along[0], -by.along[1])
    return BRACE_SIDE if away == held.to_braces else OUTSIDE


def return_of(corner: Meeting, job: Job, by: WallEnd, *, side: str, meets: Inch) -> Return:
    """Give a wall of the job as what it is to the wall it meets: a return whose data are those of its file.

    Args:
        corner: where they meet, all of it ticked.
        job: the wall.
        by: its end at the corner.
        side: to which side of the wall it meets it runs.
        meets: how high the wall it meets is there: one that is lower there holds it at its own top [in].
    """
    end = by.end
    met = next(each for each in corner.ends if each != by)
    nails = ReturnCorner(fastener=corner.fastener, count=corner.count, joint=corner.joint_of(met))
    high = job.wall.top[0 if end == "left" else -1][1]
    # Its pieces lie under any of its top: all are taken as high as the highest.
    high = job.wall.highest if high >= meets - TOUCH else high
    ticked = Return(
        side=side, floor_outside=True, corner=nails, plated=True, nailed=True, sheathed=True, fastened_down=True
    )  # fmt: skip
    return evolve(of_file(ticked, job, met=end), height=high)


def holds_by(held: HeldEnd, heights: tuple[Inch, ...], *, soft: bool) -> Array:
    """Give how far a wall goes along itself at each height under a pound at each, shape (h, h) [in/lb].

    Heights of its two ends that are nearly one are one: the lower. The corners' own slip is not in it.

    Args:
        held: the wall as what holds an end.
        heights: at which it holds others [in].
        soft: of both ways lifted the softer, three times over; else the stiffer.

    Source: SDPWS 4.3-1; STATICS, pieces side by side.
    """
    levels: list[Inch] = []
    for z in sorted(heights):
        if not levels or z - levels[-1] > SAME_HEIGHT:
            levels.append(z)
    at = [max(k for k, level in enumerate(levels) if level <= z + TOUCH) for z in heights]
    both = sorted(
        (
            evolve(held.joined(sense), heights=tuple(levels), fasteners=math.inf).flexibility()
            for sense in (CORNER, FAR)
        ),
        key=lambda F: float(F[-1, -1]),
    )
    whole = SOFT_RETURN * both[1] if soft else both[0]
    return np.asarray(whole[np.ix_(at, at)])
