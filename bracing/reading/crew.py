"""Who there is before a storm, and what is on hand, as people say it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from attrs import evolve, frozen

from bracing.errors import InputError
from bracing.job.fasteners import Fastener
from bracing.layout.on_hand import BOX, OnHand, read_on_hand
from bracing.reading.jobs import read_job
from bracing.said import Said
from bracing.storm.clock import Clock, refuse
from bracing.storm.first import what_first
from bracing.storm.folder import JobStorm
from bracing.units import duration

LONGEST_LEAD_S = 7 * 86400.0


@frozen
class Crew:
    """Who there is before a storm, as said.

    Attributes:
        people: how many; None where nobody said, and two are taken.
        hours: how long they have; None where only the forecast bounds it.
        on_hand: what is on hand, as typed; None where nobody counted.
    """

    people: int | None
    hours: float | None
    on_hand: str | None

    def stock(self, files: Iterable[Path]) -> OnHand | None:
        """Read what is on hand, the fasteners of the walls' own known; None where nobody counted.

        Args:
            files: the wall files.
        """
        if self.on_hand is None:
            return None
        own: dict[Fastener, None] = {}
        for path in files:
            with suppress(InputError):  # told where the walls are asked
                own |= dict.fromkeys(read_job(path).fasteners)
        return read_on_hand(self.on_hand, tuple(own))

    def first(self, job: JobStorm, clock: Clock, stock: OnHand | None) -> JobStorm:
        """Add what to do first.

        Args:
            job: the walls against the forecast.
            clock: the clock of the place.
            stock: what is on hand.
        """
        assumed = [] if self.people is not None else [Said("first-two-people")]
        assumed += [
            Said("first-a-box", count=BOX, what=name) for name in (() if stock is None else stock.boxes)
        ]
        first = what_first(
            job.results,
            clock,
            people=self.people or 2,
            hours=self.hours,
            on_hand=stock,
            assumed=tuple(assumed),
        )
        return evolve(job, first=first)


def crew_of(said: Mapping[str, str | None]) -> Crew | None:
    """Read who there is; None where nobody said anything of it.

    Args:
        said: people, hours and on_hand, as typed.

    Raises:
        InputError: nobody works alone; no hours.
    """
    people, hours, on_hand = said["people"], said["hours"], said["on_hand"]
    if people is None and hours is None and on_hand is None:
        return None
    if people is not None and not (
        people.strip().isascii() and people.strip().isdigit() and 2 <= int(people) <= 100
    ):
        refuse("--people", people, "a whole number from 2 to 100: nobody works on a brace alone")
    most = LONGEST_LEAD_S / 3600.0
    found = None
    if hours is not None:
        text = hours.strip()
        plain = re.fullmatch(r"[0-9]{1,3}(?:\.[0-9]{1,3})?", text, re.ASCII)
        found = float(text) if plain else time_of(text, "--hours", LONGEST_LEAD_S) / 3600.0
        if not 0.0 < found <= most:
            refuse("--hours", hours, f"hours, such as 3, up to {most:g}")
    return Crew(None if people is None else int(people), found, on_hand)


def time_of(text: object, field: str, most: float) -> float:
    """Read how long something takes.

    Args:
        text: as typed.
        field: the field named in a fault.
        most: the longest [s].

    Returns:
        The time [s].

    Raises:
        InputError: no time, or a longer one.
    """
    found = duration(text, field=field)
    if found > most:
        refuse(field, text, f"at most {most / 86400.0:g} days")
    return found
