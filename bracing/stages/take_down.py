"""Taking braces out again: after which event which may go, one at a time, the clear-out gust over the wind there is.

An event counts once somebody ticks it. People stand beside the wall then, and the wall stands through the night after,
so what counts is the clear-out gust in the worst wind that is known of: today's, or that of a forecast. A return holds
its end by all that is declared of it, from when its corner is ticked; one of which anything is missing counts for
nothing, as a partition that is nailed does; a deck along the top counts with the load its maker or engineer states.
"""

from __future__ import annotations

import math
from enum import StrEnum
from typing import TypedDict

from attrs import evolve, field, frozen

from bracing.chain.evaluate import NONE, Limited, Limits, limits, without
from bracing.chain.materials import materials_of
from bracing.chain.model import Model, build_model
from bracing.chain.returns import WHERE_AT, sides_held, with_corners
from bracing.chain.wall import wall_strength
from bracing.choosing import Budget, first_greatest, whole_down
from bracing.codes.gusts import people_may_stay
from bracing.errors import InputError
from bracing.job.job import Job
from bracing.panel.loads import LoadSet
from bracing.results import unknown_said
from bracing.said import Kind, Quantity, Said
from bracing.units import Inch, Mph, PoundPerInch

OutJson = TypedDict("OutJson", {
    "mark": str, "limit_gust_mph": int, "clear_out_gust_mph": int,
})  # fmt: skip
EventJson = TypedDict("EventJson", {
    "event": str, "limit_gust_mph": int, "clear_out_gust_mph": int, "may_come_out": list[OutJson], "stay": list[str],
    "note": Said,
})  # fmt: skip
KeptJson = TypedDict("KeptJson", {
    "keep_mph": float, "keep_thunderstorm": bool, "keep_until": str | None, "keep_why": Said,
})  # fmt: skip
_TakeDownKeys = TypedDict("_TakeDownKeys", {
    "events": list[EventJson],
})  # fmt: skip


class TakeDownJson(KeptJson, _TakeDownKeys):
    """What `TakeDown` gives."""


AskedJson = TypedDict("AskedJson", {
    "mark": str, "allowed": bool, "limit_gust_without_mph": int, "clear_out_gust_without_mph": int, "why": Said,
})  # fmt: skip


class Event(StrEnum):
    """What may take over from a brace, in the order it comes; the word is the one to type."""

    LEFT_TIED = "left return tied"
    RIGHT_TIED = "right return tied"
    NAILED = "partition nailed"
    DECK_ON = "deck on"


SIDE_TIED = {Event.LEFT_TIED: "left", Event.RIGHT_TIED: "right"}
LEAST_PUSH = 2  # braces that live in push stay, unless both ends are held
ON_LINE: Inch = 12.0
READINGS = 33
BUDGET = 60.0  # for the search of braces that may come out [s]


@frozen
class Kept:
    """The wind braces come out in, and the wall stands in without them: the worst that is known of.

    Attributes:
        gust: the clear-out gust stays over it [mph].
        thunderstorm: it blows as an outflow does.
        until: when that is known no further, as the place's clock says it; None where nobody said.
        why: where it comes from, and for how long it counts.
        unforetold: what of the time up to the next event no row covers; None where all of it is.
    """

    gust: Mph
    thunderstorm: bool = field(default=False, kw_only=True)
    until: str | None = field(default=None, kw_only=True)
    why: Said = field(default=Said("kept-today"), kw_only=True)
    unforetold: Said | None = field(default=None, kw_only=True)

    def to_dict(self) -> KeptJson:
        """Give it as JSON."""
        return {
            "keep_mph": self.gust, "keep_thunderstorm": self.thunderstorm, "keep_until": self.until,
            "keep_why": self.why,
        }  # fmt: skip


@frozen
class Removal(Limited):
    """One brace taken out.

    Attributes:
        mark: the brace.
        limits: limit gust after it, and with people about, unrounded.
    """

    mark: str
    limits: Limits

    def to_dict(self) -> OutJson:
        """Give it as JSON."""
        return {
            "mark": self.mark, "limit_gust_mph": whole_down(self.limit), "clear_out_gust_mph": self.clear_out,
        }  # fmt: skip


@frozen
class AfterEvent(Limited):
    """What an event lets go.

    Attributes:
        event: the event.
        limits: limit gust once it has happened, nothing more taken out, and with people about.
        out: braces that may come out, one at a time, in this order.
        stay: braces that stay.
        note: what is and is not counted.
    """

    event: Event
    limits: Limits
    out: tuple[Removal, ...]
    stay: tuple[str, ...]
    note: Said

    def to_dict(self) -> EventJson:
        """Give it as JSON."""
        return {
            "event": self.event, "limit_gust_mph": whole_down(self.limit),
            "clear_out_gust_mph": self.clear_out,
            "may_come_out": [one.to_dict() for one in self.out], "stay": list(self.stay), "note": self.note,
        }  # fmt: skip


@frozen
class TakeDown:
    """The whole of it.

    Attributes:
        keep: the wind they come out in.
        events: in the order they come.
        stopped: the budget ran out: more braces may come out than are named.
    """

    keep: Kept
    events: tuple[AfterEvent, ...]
    stopped: bool = field(default=False, kw_only=True)

    def to_dict(self) -> TakeDownJson:
        """Give it as JSON."""
        return {**self.keep.to_dict(), "events": [event.to_dict() for event in self.events]}


@frozen
class RemovalAsked(Limited):
    """Whether one brace may come out now.

    Attributes:
        mark: the brace.
        limits: limit gust without it, as ticked, and with people about.
        why: why, or why not.
        allowed: it may.
    """

    mark: str
    limits: Limits
    why: Said
    allowed: bool = field(kw_only=True)

    def to_dict(self) -> AskedJson:
        """Give it as JSON."""
        return {
            "mark": self.mark, "allowed": self.allowed,
            "limit_gust_without_mph": whole_down(self.limit),
            "clear_out_gust_without_mph": self.clear_out, "why": self.why,
        }  # fmt: skip


def take_down(
    model: Model, keep: Kept, deck: PoundPerInch | None, *, clock: Budget | None = None
) -> TakeDown:
    """Find which braces may come out after which event, each event on top of those before it.

    Args:
        model: the wall with all its braces, in that wind.
        keep: the wind they come out in.
        deck: allowable level load of a deck nailed along the top [lb/in]; None where nobody declared it.
        clock: the budget; once it has run out no more braces are looked for that may come out.
    """
    rows, clock = [], Budget(BUDGET) if clock is None else clock
    job, held, sides = model.job, sides_held(model.job), tuple[str, ...]()
    if held:
        model = build_model(with_corners(job), thunderstorm=keep.thunderstorm)
    for event in Event:
        before = limits(model)
        out: tuple[Removal, ...] = ()
        note = _note(model.job, event)
        side = SIDE_TIED.get(event)
        if side in held:
            sides = (*sides, str(side))
            rest = tuple(brace for brace in job.braces if brace.mark in model.marks)
            model = build_model(with_corners(evolve(job, braces=rest), sides), thunderstorm=keep.thunderstorm)
            before = limits(model)
            note = Said("return-takes-over", where=WHERE_AT[str(side)])
            out, model = _out(
                model, keep.gust, NONE, clock, least=0 if len(sides) == len(SIDE_TIED) else LEAST_PUSH
            )
        elif counts(event, deck):
            assert deck is not None
            floor = deck_limits(model.job, deck, thunderstorm=keep.thunderstorm)
            before = before.no_less_than(floor)
            load, limit = Quantity(deck, Kind.LINE_LOAD), Quantity(floor.limit, Kind.GUST)
            note = Said("deck-alone", load=load, limit=limit)
            out, model = _out(model, keep.gust, floor, clock)
        if unknown_said(job):
            note = Said("stays-while-unknown")
        rows.append(AfterEvent(event, before, out, model.marks, Said("as-a-sentence", said=note)))
    return TakeDown(keep, tuple(rows), stopped=clock.over)


def counts(event: Event, deck: PoundPerInch | None, held: tuple[str, ...] = ()) -> bool:
    """Whether what has happened takes over from a brace: a deck with a stated load, a return that holds an end.

    Args:
        event: the event.
        deck: allowable level load of a deck nailed along the top [lb/in]; None where nobody declared it.
        held: ends that a return holds, by all that is declared of it.
    """
    return SIDE_TIED.get(event) in held or (event is Event.DECK_ON and deck is not None)


def _out(
    model: Model, keep: Mph, floor: Limits, clock: Budget, *, least: int = 0
) -> tuple[tuple[Removal, ...], Model]:
    """Take out one brace after another, always the one that is missed least, while people may stay and so many push."""
    out: list[Removal] = []
    if unknown_said(model.job):
        return (), model
    while model.strengths and not clock.over and sum(s.counts_in_push for s in model.strengths) > least:
        for _ in model.strengths:
            clock.spend_on_wall(len(model.strengths))
        rest = [without(model, k) for k in range(len(model.strengths))]
        held = [limits(part).no_less_than(floor) for part in rest]
        best = first_greatest([each.limit for each in held])
        if not people_may_stay(held[best].clear_out, keep):
            break
        out.append(Removal(model.job.braces[best].mark, held[best]))
        model = rest[best]
    return tuple(out), model


def _note(job: Job, event: Event) -> Said:
    """Say of an event that lets nothing go why."""
    if event in (Event.LEFT_TIED, Event.RIGHT_TIED):
        return Said("returns-count-for-nothing")
    if event is Event.NAILED:
        lines = on_partition_lines(job)
        return Said("partition-on-its-line", marks=lines) if lines else Said("partition-counts-for-nothing")
    return Said("deck-not-stated")


def on_partition_lines(job: Job) -> tuple[str, ...]:
    """Give the braces that stand on the line of a partition running away from the wall.

    Args:
        job: the wall.
    """
    lines = [
        p.start[0] for p in job.floor.partitions if abs(p.start[0] - p.end[0]) < abs(p.start[1] - p.end[1])
    ]
    return tuple(b.mark for b in job.braces if any(abs(b.stud_at - x) < ON_LINE for x in lines))


def ask_removal(
    job: Job, mark: str, *, done: tuple[str, ...], keep: Kept, deck: PoundPerInch | None
) -> RemovalAsked:  # fmt: skip
    """Say whether one brace may come out now, with the events that are ticked.

    Args:
        job: the wall with the braces that stand.
        mark: the brace.
        done: events that are ticked.
        keep: the wind it comes out in.
        deck: allowable level load of a deck nailed along the top [lb/in]; None where nobody declared it.

    Raises:
        InputError: no such brace or event.
    """
    marks = [brace.mark for brace in job.braces]
    if mark not in marks:
        what = "--take-out"
        raise InputError.of(
            what, mark, f"the mark of a brace that stands: {', '.join(marks) or 'there is none'}"
        )
    for event in done:
        if event not in tuple(Event):
            what = "--done"
            raise InputError.of(what, event, f"one of: {', '.join(Event)}")
    ticked = tuple(map(Event, done))
    held = _without(job, mark, ticked, deck, thunderstorm=keep.thunderstorm)
    if not done:
        return RemovalAsked(mark, held, Said("no-event"), allowed=False)
    held_by = sides_held(job)
    if not any(counts(event, deck, held_by) for event in ticked):
        notes = tuple(dict.fromkeys(_note(job, event) for event in ticked))
        return RemovalAsked(mark, held, Said("nothing-took-over", ticked=ticked, notes=notes), allowed=False)
    push = build_model(_rest(job, mark)).strengths
    both = len(held_by) == len(SIDE_TIED) and set(SIDE_TIED) <= set(ticked)
    on_deck = Event.DECK_ON in ticked and deck is not None
    if not both and not on_deck and sum(s.counts_in_push for s in push) < LEAST_PUSH:
        return RemovalAsked(mark, held, Said("two-push-stay"), allowed=False)
    if unknown_said(job):
        return RemovalAsked(mark, held, Said("stays-while-unknown"), allowed=False)
    if people_may_stay(held.clear_out, keep.gust):
        return RemovalAsked(mark, held, Said("may-come-out-after", ticked=ticked), allowed=True)
    low = Said("clear-out-too-low", keep=Quantity(keep.gust, Kind.BELOW))
    return RemovalAsked(mark, held, low, allowed=False)


def _without(
    job: Job, mark: str, done: tuple[Event, ...], deck: PoundPerInch | None, *, thunderstorm: bool
) -> Limits:
    sides = tuple(side for event, side in SIDE_TIED.items() if event in done)
    rest = with_corners(_rest(job, mark), sides)
    on_deck = Event.DECK_ON in done and deck is not None
    floor = deck_limits(rest, deck or 0.0, thunderstorm=thunderstorm) if on_deck else NONE
    return limits(build_model(rest, thunderstorm=thunderstorm)).no_less_than(floor)


def _rest(job: Job, mark: str) -> Job:
    return evolve(job, braces=tuple(brace for brace in job.braces if brace.mark != mark))


def deck_limits(job: Job, allowable: PoundPerInch, *, thunderstorm: bool = False) -> Limits:
    """Give the limit gusts of a wall that a deck holds along its top and the floor along its plate.

    Each stud spans from plate to top, under the greatest pressure of any case over all of it.

    R = p h/2 + w_top + lean, M = p s h²/8; the deck's line, the end nails, the studs and the plate each have a gust.

    Args:
        job: the wall; its braces are not counted.
        allowable: level load the deck's edge may take [lb/in].
        thunderstorm: wind profile of an outflow.

    Returns:
        The least of the four gusts, without people and with them.

    Assumes simple spans; the deck's allowable is the user's.
    Source: STATICS.
    """
    bare = evolve(job, braces=())
    model, wall = build_model(bare, thunderstorm=thunderstorm), job.wall
    height, spacing = wall.highest, wall.studs.spacing
    step = [wall.length * k / (READINGS - 1) for k in range(READINGS)]
    worst = max(float(f.c(x, z)) for f in model.cases.fields for x in step for z in (0.0, height))
    pressure = worst * model.cases.pressure_per_mph2
    strength = wall_strength(materials_of(bare))
    nails = wall.top_plate.end_nails * strength.stud_top.lateral / spacing
    plate = strength.plate.lateral / wall.plate.spacing if wall.plate.state == "final" else 0.0
    per_line = pressure * height / 2.0
    studs = (strength.stud_moment / spacing) / (pressure * height**2 / 8.0)

    def least(steady: LoadSet) -> Mph:
        along = float(steady.total(model.meshes[0])[0]) / wall.length
        rooms = [(each - along) / per_line for each in (allowable, nails, plate)]
        return math.sqrt(max(0.0, min(*rooms, studs)))

    return Limits(least(model.cases.steady), least(model.cases.with_people))
