"""So many walls of one drawing: strengths and loads drawn by name, and the gust that takes each of them.

A name has its own stream of a counted generator, so a draw is the same on every machine, in any order and beside any
other wall: what differs between two walls is the walls. Strengths and gusts are kept in half the digits they are worked
out in: libraries that differ in the last digit of an exponential give the same ones.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import DIRECTIONS
from bracing.chance.scattered import Scattered, Walls
from bracing.codes.chance import load_at
from bracing.codes.medians import Strength
from bracing.job.brace import JOINTS
from bracing.sources import shipped

Array = NDArray[np.float64]
Halved = NDArray[np.float32]
KEPT = np.float32

DRAWS = 100_000
BLOCK = 32768  # draws worked out together: what is looked at then stays in the cache of the processor
SEED = 20
BEYOND = 5.0  # standard deviations out of the middle: of ten million draws three lie past it
SHARED = 4.0  # the same of what links share
TURNS = np.linspace(0.0, np.pi / 2.0, 13)  # how that is parted between two links
ONE_STEP = 2.0**-53


def uniform(name: str, draws: int = DRAWS) -> Array:
    """Give the draws of one name, over 0 and under 1.

    Args:
        name: what is drawn.
        draws: how many.

    Example:
        >>> uniform("crew", 3).round(6).tolist() == uniform("crew", 5)[:3].round(6).tolist()
        True
    """
    stream = np.random.PCG64(np.random.SeedSequence([SEED, zlib.crc32(name.encode())]))
    found = (stream.random_raw(draws) >> np.uint64(11)).astype(float)
    found += 0.5
    found *= ONE_STEP
    return np.asarray(found)


def normal(name: str, draws: int = DRAWS) -> Array:
    """Give the draws of one name, standard normal.

    Args:
        name: what is drawn.
        draws: how many.
    """
    from scipy.special import ndtri

    found = uniform(name, draws)
    return np.asarray(ndtri(found, out=found))


@frozen(eq=False)
class Taken:
    """The gust that takes each draw, the wind from one side [mph].

    Attributes:
        first: the first link at its real strength.
        line: the brace line goes.
        gone: by mark, the first link with that brace gone.
        missed: the line goes where each joint of a brace was left out with the chance of a missed one.
    """

    first: Halved = field(repr=False)
    line: Halved = field(repr=False)
    gone: Mapping[str, Halved] = field(repr=False)
    missed: Halved = field(repr=False)


@frozen(eq=False)
class Drawn:
    """Draws of a wall.

    Attributes:
        walls: its links.
        draws: how many.
        missed: chance that a joint was left out [-].
    """

    walls: Walls
    draws: int = field(factory=lambda: DRAWS)
    missed: float = field(factory=lambda: float(shipped("chance")["missed"]["joint"]))

    @cached_property
    def marks(self) -> tuple[str, ...]:
        """Marks of its braces."""
        return tuple(self.walls.gone)

    def taken(self, strength: float = 1.0) -> dict[str, Taken]:
        """Give the gust that takes each draw, by side.

        Args:
            strength: every mean strength so many times what it is; what somebody typed stays [-].
        """
        return {way: self._side(way, strength) for way in DIRECTIONS}

    def _side(self, way: str, strength: float) -> Taken:
        gone = {mark: self._least(mark, way, strength)[0] for mark in self.marks}
        line, *braces = self._least("", way, strength)
        first = line
        for mark, least in zip(self.marks, braces, strict=True):
            first = np.minimum(first, least)
            line = np.minimum(line, np.maximum(least, gone[mark]))
        line = np.maximum(first, line)
        missed, absent = line.copy(), self.absent
        for mark, alone in gone.items():
            missed = np.where(absent[mark], np.minimum(missed, alone), missed)
        missed[sum(absent.values(), np.zeros(self.draws, dtype=int)) > 1] = 0.0
        return Taken(first, line, gone, missed)

    @cached_property
    def absent(self) -> dict[str, NDArray[np.bool_]]:
        """Of each brace the draws in which one of its joints was never made."""
        found = {}
        for mark in self.marks:
            joints = [uniform(f"missed {mark} {joint}", self.draws) < self.missed for joint in JOINTS]
            found[mark] = np.logical_or.reduce(joints)
        return found

    def _least(self, gone: str, way: str, strength: float) -> Halved:
        """Gust of the least link [mph]: as it stands of the wall and then of each brace; with one gone of all."""
        parts = 1 if gone else len(self.marks) + 1
        links = self._kept[gone, way]
        if links is None:
            return np.zeros((parts, self.draws), KEPT)
        least = np.full((parts, self.draws), np.inf, KEPT)
        lines = [
            (self._strengths[self._rows[k.name, k.shares]], least[0 if gone else self._part(k)],
             KEPT((strength if any(k.shares) else 1.0) / k.rate), KEPT(k.steady / k.rate))
            for k in links
        ]  # fmt: skip
        room = np.empty(BLOCK, KEPT)
        for start in range(0, self.draws, BLOCK):
            stop = min(start + BLOCK, self.draws)
            at = room[: stop - start]
            for drawn, lowest, per, less in lines:
                np.multiply(drawn[start:stop], per, out=at)
                np.subtract(at, less, out=at)
                np.minimum(lowest[start:stop], at, out=lowest[start:stop])
        np.maximum(least, 0.0, out=least)
        least /= self.load
        return np.asarray(np.sqrt(least, out=least))

    def _part(self, link: Scattered) -> int:
        """Which brace goes with a link, from 1; 0 where the wall goes with it."""
        return 1 + self.marks.index(link.mark or "") if link.of_brace and link.mark in self.marks else 0

    @cached_property
    def _kept(self) -> dict[tuple[str, str], tuple[Scattered, ...] | None]:
        """The links that are drawn: by the mark of the brace gone, "" for none, and by side."""
        every = {"": self.walls.whole, **self.walls.gone}
        return {
            (mark, way): None if sides.links[way] is None else first_ones(sides.links[way] or ())
            for mark, sides in every.items() for way in DIRECTIONS
        }  # fmt: skip

    @cached_property
    def _rows(self) -> dict[tuple[str, tuple[float, float, float]], int]:
        """The row of each strength that is drawn."""
        keys = dict.fromkeys(
            (link.name, link.shares) for links in self._kept.values() for link in links or ()
        )
        return {key: row for row, key in enumerate(keys)}

    @cached_property
    def load(self) -> Halved:
        """The load over what is reckoned, of each draw [-]."""
        return np.asarray(load_at(normal("load", self.draws)), KEPT)

    @cached_property
    def _strengths(self) -> Halved:
        """Strength over its median: a row a strength, a column a draw [-]."""
        shared = {name: normal(name, self.draws) for name in ("crew", *(f"kind {kind}" for kind in Strength))}
        kinds = {(k.name, k.shares): f"kind {k.kind}" for links in self._kept.values() for k in links or ()}
        found, part = np.ones((len(self._rows), self.draws), KEPT), np.empty(self.draws)
        for (name, shares), row in self._rows.items():
            if not any(shares):
                continue
            own, kind, crew = shares
            logs = normal(name, self.draws)
            logs *= own
            logs += np.multiply(shared[kinds[name, shares]], kind, out=part)
            if crew:
                logs += np.multiply(shared["crew"], crew, out=part)
            found[row] = np.exp(logs, out=logs)
        return found


def first_ones(links: Iterable[Scattered]) -> tuple[Scattered, ...]:
    """Give the links that may be first: those no other is past before, however lucky it and unlucky they.

    The load is the same for all of a draw, so it has no part in which is first; nor has what two strengths share, but
    where something steady is beside it.

    Args:
        links: all of one side.
    """
    every = tuple(links)
    part = float(shipped("chance")["range"]["strength"])
    may = [_may_be_first(every, times) for times in (1.0 - part, 1.0, 1.0 + part)] if every else []
    return tuple(link for k, link in enumerate(every) if any(each[k] for each in may))


def _may_be_first(links: Sequence[Scattered], times: float) -> NDArray[np.bool_]:
    """Of each link whether it may be first, with every strength that scatters so many times as high."""
    steady, rate, spread = (
        np.array([getattr(k, name) for k in links]) for name in ("steady", "rate", "spread")
    )
    own_kind, crew = (np.array([k.shares[part] for k in links]) for part in (1, 2))
    kinds = np.array([k.kind for k in links])
    median = np.where(spread > 0.0, times, 1.0)
    may = np.ones(len(links), dtype=bool)
    for other in {int(np.argmin((median * np.exp(out * spread) - steady) / rate)) for out in range(6)}:
        common = own_kind * own_kind[other] * (kinds == kinds[other]) + crew * crew[other]
        shift = SHARED * np.sqrt(common) * np.array([[[-1.0]], [[0.0]], [[1.0]]])
        unlucky = BEYOND * np.sqrt(np.maximum(spread**2 - common, 0.0)) * np.cos(TURNS)[:, None]
        lucky = BEYOND * np.sqrt(np.maximum(spread[other] ** 2 - common, 0.0)) * np.sin(TURNS)[:, None]
        lowest = (median * np.exp(shift - unlucky) - steady) / rate
        passed = (median[other] * np.exp(shift + lucky) - steady[other]) / rate[other]
        may &= (lowest <= passed).any(axis=(0, 1)) | (np.arange(len(links)) == other)
    return may
