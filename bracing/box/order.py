"""The order to stand walls in, so that each finds a corner, and the deck each needs for it: the big one last."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from attrs import frozen

from bracing.codes.pressures import outline_properties
from bracing.job.house import House
from bracing.job.job import Job
from bracing.units import Inch

StandJson = TypedDict("StandJson", {
    "file": str, "wall": str, "finds": list[str], "deck_ft": float, "room_ft": float | None, "has_room": bool | None,
})  # fmt: skip
FOOT: Inch = 24.0  # of a brace's cleats past its foot, half of them at the least; judgement


@frozen
class Stands:
    """One wall that is not up yet, in its turn.

    Attributes:
        file: its file.
        wall: its name.
        finds: walls that stand by then, whose ends it meets in a corner.
        deck: clear deck it needs on its brace side: lying flat, and for the feet of its braces [in].
        room: what there is, as its file says; None where nobody declared it [in].
    """

    file: str
    wall: str
    finds: tuple[str, ...]
    deck: Inch
    room: Inch | None

    @property
    def has_room(self) -> bool | None:
        """Whether the deck it needs is there; None where nobody declared the room."""
        return None if self.room is None else self.deck <= self.room

    def to_dict(self) -> StandJson:
        """Give it as JSON."""
        return {
            "file": self.file, "wall": self.wall, "finds": list(self.finds), "deck_ft": self.deck / 12.0,
            "room_ft": None if self.room is None else self.room / 12.0, "has_room": self.has_room,
        }  # fmt: skip


def to_stand(house: House, jobs: Mapping[str, Job]) -> tuple[Stands, ...]:
    """Give the walls that are not up in the order to stand them.

    Next is always one that finds a corner with a wall that stands by then, of those the one with the most corners, of
    those the smallest: what has the most wind on it goes up last, between walls that can hold its ends.

    Args:
        house: the job.
        jobs: its walls, by file.

    Source: JUDGEMENT, what has the most wind on it is stood last.
    """
    up = [file for file, job in jobs.items() if job.wall.up]
    waiting = [file for file, job in jobs.items() if not job.wall.up]
    meets = {
        file: [
            other.file
            for corner in house.corners
            for mine, other in (corner.ends, corner.ends[::-1])
            if mine.file == file
        ]
        for file in jobs
    }  # fmt: skip
    found: list[Stands] = []
    while waiting:
        there = {file: [other for other in meets[file] if other in up] for file in waiting}
        first = min(
            waiting,
            key=lambda file: (not there[file], not meets[file], -len(there[file]), _area(jobs[file]), file),
        )
        job = jobs[first]
        found.append(Stands(first, job.wall.name, tuple(there[first]), deck_needed(job), job.floor.room))
        waiting.remove(first)
        up.append(first)
    return tuple(found)


def _area(job: Job) -> float:
    return outline_properties(job.wall.top).area


def deck_needed(job: Job) -> Inch:
    """Give the clear deck a wall needs on its brace side to be stood and braced [in].

    It lies flat there before, and the feet of its braces stand there after.

    Args:
        job: the wall.

    Source: STATICS, geometry; JUDGEMENT for the cleats past the foot.
    """
    return max([job.wall.highest, *(brace.set_back + FOOT for brace in job.braces)])
