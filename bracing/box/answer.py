"""A job of walls as it stands: each wall's limits with its corners, and what each corner carries."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.box.below import LineBelow, lines_below
from bracing.box.both import Leans, along_groups, corner_groups, own_along, plate_both_ways
from bracing.box.deck import Met
from bracing.box.deck_links import along_with_decks, decks_across, decks_along
from bracing.box.system import Axis, Solved, chain_of
from bracing.box.walls import JoinedWall, joined_walls
from bracing.chain.evaluate import ANY_GUST, NONE, Limited, Limits, followed
from bracing.chain.least import least_limit
from bracing.chain.links import HIGHEST, Group, Link
from bracing.chain.model import nothing_above
from bracing.choosing import first_least
from bracing.job.house import House, Placed
from bracing.job.job import Job
from bracing.said import Said
from bracing.units import Mph, Pound

Array = NDArray[np.float64]


@frozen(eq=False)
class AcrossAnswer:
    """One wall of an axis: its own chain with its corners, nobody about or with people.

    Attributes:
        wall: the wall.
        limit: gust at which its first link is at its allowable value, what other walls lean on it aside [mph].
        groups: the chain there.
        solved: push and pull there.
    """

    wall: JoinedWall
    limit: Mph
    groups: tuple[Group, ...] = field(repr=False)
    solved: tuple[Solved, Solved] = field(repr=False)


@frozen(eq=False)
class AxisAnswer:
    """The walls that run one way, solved; kept as long as none of their braces goes.

    Attributes:
        axis: the walls.
    """

    axis: Axis

    @cached_property
    def across(self) -> tuple[AcrossAnswer, ...]:
        """Each wall, in order."""
        return tuple(_across(self.axis, k) for k in range(len(self.axis.walls)))

    def at(self, k: int, gust: Mph) -> AcrossAnswer:
        """Give one wall with its forces solved anew at a gust: other braces that count one way may work there.

        Args:
            k: which.
            gust: the gust [mph].
        """
        (_, groups), solved = chain_of(self.axis, k, gust)
        return evolve(self.across[k], groups=groups, solved=solved)

    @cached_property
    def crowded(self) -> AxisAnswer:
        """The same with people about."""
        return AxisAnswer(evolve(self.axis, crowded=True))

    @property
    def has_people(self) -> bool:
        """Whether people put anything on these walls."""
        return any(wall.job.site.top_load != 0.0 for wall in self.axis.walls)


def _across(axis: Axis, k: int) -> AcrossAnswer:
    if axis.two_way:
        (forces, groups), solved = chain_of(axis, k, ANY_GUST)
        held = all(f.held.all() for f in forces)
        return AcrossAnswer(axis.walls[k], least_limit(groups) if held else 0.0, groups, solved)
    limit, (_, groups) = followed(lambda gust: chain_of(axis, k, gust)[0])
    return AcrossAnswer(axis.walls[k], limit, groups, chain_of(axis, k, max(limit, 1.0))[1])


@frozen(eq=False)
class WallAnswer(Limited):
    """One wall of a job.

    Attributes:
        wall: the wall.
        limits: limit gust, and that with people about, unrounded.
    """

    wall: JoinedWall
    limits: Limits


@frozen(eq=False)
class Box:
    """The walls of a job that are up, joined at the corners that count.

    Attributes:
        house: the job.
        jobs: all its walls, by file, with the braces that stand.
        walls: those that are up.
        axes: the same by the way they run and hang together.
        unloaded: the same with nothing on any wall from above; None where nothing is.
        below: lines of walls of the storey below, and what these hand down to them.
    """

    house: House
    jobs: Mapping[str, Job]
    walls: tuple[JoinedWall, ...]
    axes: tuple[AxisAnswer, ...] = field(repr=False)
    unloaded: Box | None = field(default=None, repr=False)
    below: tuple[LineBelow, ...] = ()

    @property
    def met(self) -> Met:
        """The walls that are up, each with what holds its ends."""
        ends = {
            wall.file: {held.side: (by, held) for held, by in zip(wall.held, wall.by, strict=True)}
            for wall in self.walls
        }
        return Met(self.jobs, ends)

    @cached_property
    def answers(self) -> tuple[WallAnswer, ...]:
        """Each wall that is up, in the order of the files.

        What stands on walls from above may be taken away: the lesser of with it and without it counts, as in `check`.
        """
        if self.unloaded is None:
            return self.as_loaded
        both = zip(self.as_loaded, self.unloaded.answers, strict=True)
        return tuple(evolve(one, limits=one.limits.no_more_than(bare.limits)) for one, bare in both)

    @cached_property
    def as_loaded(self) -> tuple[WallAnswer, ...]:
        """Each wall with all that is declared from above on it."""
        return tuple(self._answer(wall) for wall in self.walls)

    @cached_property
    def clear_out(self) -> int:
        """The least clear-out gust of all, the storey below among them [mph]."""
        return min((one.clear_out for one in (*self.answers, *self.below)), default=0)

    @cached_property
    def limit(self) -> Mph:
        """The least of both gusts clear-outs are read from, unrounded, to tell two of one clear-out apart [mph]."""
        every = (*self.answers, *self.below)
        return min((min(one.limits.limit, one.limits.with_people) for one in every), default=0.0)

    @property
    def lowest(self) -> WallAnswer:
        """The wall whose clear-out gust is the least."""
        return self.answers[first_least([answer.clear_out for answer in self.answers])]

    @property
    def first_out(self) -> Said | str:
        """The wall it is, or that under which the storey below is the first; nothing where no wall is up."""
        if not self.walls:
            return ""
        line = min(self.below, key=lambda one: one.clear_out, default=None)
        if line is not None and line.clear_out < self.lowest.clear_out:
            return Said("storey-below-of", wall=self.jobs[line.under].wall.name)
        return self.lowest.wall.job.wall.name

    def answer_of(self, file: str) -> WallAnswer:
        """Give the answer of one wall.

        Args:
            file: its file.
        """
        return next(answer for answer in self.answers if answer.wall.file == file)

    def without(self, file: str, mark: str) -> Box:
        """Give the job with one brace gone: what runs the other way is kept as it was solved.

        Args:
            file: the wall's file.
            mark: the brace.
        """
        walls = tuple(wall.without(mark) if wall.file == file else wall for wall in self.walls)
        mine = next(wall for wall in walls if wall.file == file)
        axes = tuple(
            AxisAnswer(evolve(each.axis, walls=tuple(mine if w.file == file else w for w in each.axis.walls)))
            if any(w.file == file for w in each.axis.walls)
            else each
            for each in self.axes
        )
        jobs = {name: mine.job if name == file else job for name, job in self.jobs.items()}
        bare = None if self.unloaded is None else self.unloaded.without(file, mark)
        return Box(self.house, jobs, walls, axes, bare, self.below)

    def across(self, wall: JoinedWall, *, crowded: bool = False, at: Mph | None = None) -> AcrossAnswer:
        """Give a wall's own chain.

        Args:
            wall: the wall.
            crowded: with people about.
            at: gust its forces are solved at, where braces count one way; its own limit unless given [mph].
        """
        for each in self.axes:
            for k, one in enumerate(each.axis.walls):
                if one.file == wall.file:
                    mine = each.crowded if crowded and each.has_people else each
                    return mine.across[k] if at is None or mine.axis.two_way else mine.at(k, at)
        raise KeyError(wall.file)

    def leaning(
        self, wall: JoinedWall, *, crowded: bool = False, at: Mph | None = None
    ) -> tuple[AcrossAnswer, ...]:
        """Give the walls that lean on one along itself.

        Args:
            wall: the wall.
            crowded: with people about.
            at: as for across().
        """
        return tuple(self.across(o, crowded=crowded, at=at) for o in self.walls if wall.file in o.by)

    def more_groups(
        self, wall: JoinedWall, *, crowded: bool = False, at: Mph | None = None
    ) -> tuple[Group, ...]:
        """Give the links corners bring to a wall: along itself, at its corners, and on what both ways share.

        Args:
            wall: the wall.
            crowded: with people about.
            at: as for across().
        """
        own = self.across(wall, crowded=crowded, at=at)
        leaning = self.leaning(wall, crowded=crowded, at=at)
        parts = tuple(self._leans(wall, each, crowded=crowded) for each in leaning)
        forces = own.solved[0].forces, own.solved[1].forces
        return (
            *along_groups(wall.file, parts),
            *corner_groups(wall, forces, parts),
            *plate_both_ways(wall, own.groups, parts),
            *decks_across(wall, own.solved, self.leaned(leaning, wall)),
            *decks_along(wall, self.leaned(leaning, wall)),
        )

    @staticmethod
    def leaned(
        leaning: tuple[AcrossAnswer, ...], wall: JoinedWall
    ) -> tuple[tuple[JoinedWall, tuple[Solved, Solved]], ...]:
        """Give the walls that lean on one with what was solved of them.

        Args:
            leaning: those walls.
            wall: the wall.
        """
        return tuple((each.wall, each.solved) for each in leaning if each.wall is not wall)

    def _leans(self, wall: JoinedWall, other: AcrossAnswer, *, crowded: bool) -> Leans:
        """A wall that leans on another, with what else presses that one along itself: the wind blows one way."""
        held = other.wall.held_by(wall.file)[0]
        alone = own_along(wall, max(held.heights), crowded=crowded)
        return Leans(
            other.wall,
            held,
            tuple(solved.forces for solved in other.solved),
            tuple(
                solved.along[wall.file] + solved.forces.sign * (alone + along_with_decks(wall, other.wall))
                for solved in other.solved
            ),
        )

    def _answer(self, wall: JoinedWall) -> WallAnswer:
        gusts = []
        for crowded in (False, True):
            more = self.more_groups(wall, crowded=crowded)
            found = min(self.across(wall, crowded=crowded).limit, least_limit(more) if more else HIGHEST)
            if more and 0.0 < found < HIGHEST:
                # Which braces work there may be others than at the gust these were solved at.
                found = min(found, least_limit(self.more_groups(wall, crowded=crowded, at=max(found, 1.0))))
            gusts.append(found)
        return WallAnswer(wall, Limits(gusts[0], min(gusts)) if gusts[0] > 0.0 else NONE)

    def first(self, wall: JoinedWall) -> Link | None:
        """Give what gives first of a wall; None where it can still move.

        Args:
            wall: the wall.
        """
        limit = self.answer_of(wall.file).limits.limit
        links = [link for group in self.chain(wall) for link in _at_its_limit(group, limit)]
        return min(links, key=lambda link: link.limit_gust, default=None)

    def chain(self, wall: JoinedWall) -> tuple[Group, ...]:
        """Give every link of a wall, those its corners bring last; of a wall that can still move none.

        Args:
            wall: the wall; with nothing on any from above where that is the lesser.
        """
        if self.unloaded is not None:
            bare = self.unloaded.answer_of(wall.file)
            alone = next(each for each in self.as_loaded if each.wall.file == wall.file)
            if bare.limits.limit < alone.limits.limit:
                return self.unloaded.chain(bare.wall)
        own = self.across(wall)
        return (*own.groups, *self.more_groups(wall)) if own.limit > 0.0 else ()


def _at_its_limit(group: Group, gust: Mph) -> tuple[Link, ...]:
    return group.links(max(gust, 1.0)) if group.reaches(gust + 0.5) else ()


def stand(
    house: House,
    jobs: Mapping[str, Job],
    placed: Mapping[str, Placed],
    *,
    thunderstorm: bool = False,
) -> Box:
    """Stand the walls of a job together.

    Args:
        house: the job.
        jobs: its walls, by file.
        placed: where each stands in plan.
        thunderstorm: wind profile of an outflow.
    """
    walls = joined_walls(house, jobs, placed, thunderstorm=thunderstorm)
    bare = {file: nothing_above(job) for file, job in jobs.items()}
    loaded = any(bare[wall.file] is not jobs[wall.file] for wall in walls)
    unloaded = stand(house, bare, placed, thunderstorm=thunderstorm) if loaded else None
    axes = tuple(AxisAnswer(Axis(part)) for part in _apart(walls))
    return Box(house, jobs, walls, axes, unloaded, lines_below(house, jobs, placed, walls=walls))


def _apart(walls: tuple[JoinedWall, ...]) -> tuple[tuple[JoinedWall, ...], ...]:
    """Walls that lean on one wall, and those that lean on another with one of them, and so on."""
    parts: list[list[JoinedWall]] = []
    for wall in walls:
        by = wall.leans_on
        mine = [part for part in parts if any(by & other.leans_on for other in part)]
        parts = [part for part in parts if part not in mine]
        parts.append([other for part in mine for other in part] + [wall])
    order = {wall.file: k for k, wall in enumerate(walls)}
    return tuple(tuple(sorted(part, key=lambda w: order[w.file])) for part in parts)


def corner_force(box: Box, corner: int, file: str, *, gust: Mph) -> tuple[Pound, Pound]:
    """Give the most a corner holds of one of its walls, at its middle and at its top [lb].

    Args:
        box: the walls.
        corner: which corner.
        file: the wall held.
        gust: the gust [mph].
    """
    if box.unloaded is not None:
        bare = corner_force(box.unloaded, corner, file, gust=gust)
        own = corner_force(evolve(box, unloaded=None), corner, file, gust=gust)
        return max(own[0], bare[0]), max(own[1], bare[1])
    wall = next(each for each in box.walls if each.file == file)
    at = [k - len(wall.places) for k, node in enumerate(wall.nodes) if node.corner == corner]
    found = [0.0, 0.0]
    for solved in box.across(wall).solved:
        returns = solved.forces.at(solved.forces.responses.returns, gust)
        for i, k in enumerate(at):
            found[i] = max(found[i], float(np.abs(returns[:, k]).max(initial=0.0)))
    return found[0], found[1]
