"""Which brace of a job may leave: one at a time, the whole re-solved, against the wind up to the next event.

A brace leaves only where every clear-out gust after it is over the highest gust foretold, which else would send people
out, and over a floor that holds on any day. Of those that may, the one goes first that leaves most. Without a forecast
none leaves.
"""

from __future__ import annotations

import math
from typing import TypedDict

from attrs import field, frozen

from bracing.box.answer import Box
from bracing.box.walls import JoinedWall
from bracing.choosing import Budget
from bracing.codes.gusts import people_may_stay
from bracing.errors import InputError, near_names, with_near
from bracing.job.job import Job
from bracing.results import unknown_said
from bracing.said import Kind, Quantity, Said
from bracing.stages.take_down import Kept
from bracing.units import Mph

LEAST_KEPT: Mph = 25.0  # a brace comes out on no calmer word than this; judgement
LEAST_KEPT_STORMS: Mph = 58.0  # with thunderstorms in the forecast
FEWEST_IN_PUSH = 2
NO_FORECAST = Said("no-forecast-none-leaves")
BUDGET = 60.0  # to look for braces that may leave [s]

LeftJson = TypedDict("LeftJson", {
    "file": str, "wall": str, "mark": str, "clear_out_gust_mph": int, "of": Said | str, "said": Said,
})  # fmt: skip


@frozen
class Left:
    """One brace that may leave, once all before it have.

    Attributes:
        file: its wall's file.
        wall: its wall.
        mark: the brace.
        clear_out: the least clear-out gust of all walls without it [mph].
        of: the wall whose it is.
    """

    file: str
    wall: str
    mark: str
    clear_out: int
    of: Said | str

    @property
    def said(self) -> Said:
        """What must be known of it afterwards."""
        return Said("goes-back", mark=self.mark, gust=Quantity(self.clear_out, Kind.GUST))

    def to_dict(self) -> LeftJson:
        """Give it as JSON."""
        return {
            "file": self.file, "wall": self.wall, "mark": self.mark, "clear_out_gust_mph": self.clear_out,
            "of": self.of, "said": self.said,
        }  # fmt: skip


@frozen(eq=False)
class Leaving:
    """The order braces may leave in.

    Attributes:
        keep: what every clear-out gust stays over; None without a forecast, where none leaves [mph].
        left: in order.
        stay: the others, by wall's file, with why.
        stopped: the budget ran out: more may leave than are named.
        unknown: why none leaves where nothing is known of the wind to come.
    """

    keep: Mph | None
    left: tuple[Left, ...]
    stay: tuple[tuple[str, str, Said], ...]
    stopped: bool = field(default=False, kw_only=True)
    unknown: Said = field(default=NO_FORECAST, kw_only=True)


def named(file: str, mark: str) -> str:
    """Name a brace of a job as it is typed: its wall, and its mark.

    Args:
        file: its wall's file.
        mark: the brace.

    Example:
        >>> named("south.toml", "B2")
        'south:B2'
    """
    return f"{file.removesuffix('.toml')}:{mark}"


def keeps_at_least(kept: Kept | None) -> Mph | None:
    """Give what every clear-out gust must stay over; None without a forecast of all of it [mph].

    Args:
        kept: the worst wind that is known of; None where nobody said.
    """
    if kept is None or kept.unforetold is not None:
        return None
    return max(kept.gust, LEAST_KEPT_STORMS if kept.thunderstorm else LEAST_KEPT)


def unknown_to(kept: Kept | None) -> Said:
    """Say why none leaves where nothing is known of the wind up to the next event, or not of all of it.

    Args:
        kept: the worst wind that is known of; None where nobody said.
    """
    return NO_FORECAST if kept is None or kept.unforetold is None else kept.unforetold


def leaving(
    box: Box, keep: Mph | None, *, clock: Budget | None = None, unknown: Said = NO_FORECAST
) -> Leaving:
    """Find the order braces may leave in, always the one that leaves most.

    One that once would leave too little is not asked again: with fewer braces it leaves no more.

    Args:
        box: the walls as they stand.
        keep: what every clear-out gust stays over; None where there is no forecast [mph].
        clock: the budget; once it has run out no more are looked for.
        unknown: why none leaves where `keep` is None.
    """
    clock = Budget(BUDGET) if clock is None else clock
    left: list[Left] = []
    stay: dict[tuple[str, str], Said] = {}
    # What each left when it was last asked: with fewer braces about it leaves no more.
    may = {(wall.file, brace.mark): math.inf for wall in box.walls for brace in wall.job.braces}
    asked: dict[tuple[str, str], Box] = {}
    while may and not clock.over:
        file, mark = max(may, key=lambda each: may[each])
        if (file, mark) in asked:
            box = asked[file, mark]
            asked.clear()
            del may[file, mark]
            left.append(Left(file, box.jobs[file].wall.name, mark, box.clear_out, box.first_out))
            continue
        for one in box.walls:
            clock.spend_on_wall(len(one.job.braces))
        after = box.without(file, mark)
        why = _stays(box, after, file, mark, keep=keep, unknown=unknown)
        if why is not None:
            stay[file, mark] = why
            del may[file, mark]
        else:
            may[file, mark], asked[file, mark] = after.limit, after
    rest = tuple(
        (wall.file, brace.mark, stay.get((wall.file, brace.mark), Said("stays-not-looked-for")))
        for wall in box.walls
        for brace in wall.job.braces
    )
    return Leaving(keep, tuple(left), rest, stopped=clock.over, unknown=unknown)


def why_stays(
    box: Box, file: str, mark: str, *, keep: Mph | None, unknown: Said = NO_FORECAST
) -> Said | None:
    """Say why a brace may not leave now; None where it may.

    Args:
        box: the walls as they stand.
        file: its wall's file.
        mark: the brace.
        keep: what every clear-out gust stays over; None where there is no forecast [mph].
        unknown: why none leaves where it is None.
    """
    return _stays(box, box.without(file, mark), file, mark, keep=keep, unknown=unknown)


def _stays(box: Box, after: Box, file: str, mark: str, *, keep: Mph | None, unknown: Said) -> Said | None:
    if keep is None:
        return unknown
    if any(unknown_said(each.job) for each in box.walls):
        return Said("stays-while-unknown")
    wall = next(each for each in box.walls if each.file == file)
    if not _both_ends_count(wall) and _in_push(wall, mark) < FEWEST_IN_PUSH:
        missing = missing_at(box, file)
        why = Said("two-push-braces-stay")
        return Said("stays-and-missing", why=why, missing=missing) if missing else why
    if people_may_stay(after.clear_out, keep):
        return None
    leaves = Said(
        "leaves-too-little", leaves=Quantity(after.clear_out, Kind.GUST), keep=Quantity(keep, Kind.BELOW)
    )
    missing = missing_at(box, file)
    return Said("stays-and-missing", why=leaves, missing=missing) if missing else leaves


def _both_ends_count(wall: JoinedWall) -> bool:
    return len({node.corner for node in wall.nodes}) == 2


def _in_push(wall: JoinedWall, without: str) -> int:
    """Braces that count in push once one is out."""
    strengths = zip(wall.job.braces, wall.model.strengths, strict=True)
    return sum(s.counts_in_push for brace, s in strengths if brace.mark != without)


def missing_at(box: Box, file: str) -> tuple[Said, ...]:
    """Say of the corners of a wall that count for nothing what is missing.

    Args:
        box: the walls.
        file: the wall's file.
    """
    return tuple(
        Said("corner-not-ticked", corner=corner.name, ticks=tuple(map(str, corner.missing)))
        for corner in box.house.corners
        if corner.missing and any(end.file == file for end in corner.ends)
    )


def brace_asked(jobs: dict[str, Job], text: str) -> tuple[str, str]:
    """Read which brace is asked for: its wall's file, and its mark.

    Args:
        jobs: the walls, by file.
        text: as typed, such as south:B2.

    Raises:
        InputError: no such wall or brace.
    """
    wall, _, mark = text.rpartition(":")
    option, every = "--take-out", [named(file, b.mark) for file, job in jobs.items() for b in job.braces]
    file = wall if wall in jobs else f"{wall}.toml"
    if file not in jobs or all(brace.mark != mark for brace in jobs[file].braces):
        raise InputError.of(
            option, text, with_near("a wall and a brace of it, such as south:B2", near_names(text, every))
        )
    return file, mark
