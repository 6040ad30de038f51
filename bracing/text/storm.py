"""A forecast against a wall, on one screen or in five lines; and against the walls of a job."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial

from bracing.choosing import whole_up
from bracing.job.brace import JOINTS
from bracing.job.job import NO_BRACES
from bracing.results import CAUTIONS, unknown_said
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.storm.answer import HourAnswer, Standing, StormResult
from bracing.storm.first import First, Left, LeftBecause, last_limits
from bracing.storm.folder import JobStorm
from bracing.storm.forecast import SUSTAINED
from bracing.storm.ladder import Ladder, RemedyStep
from bracing.text.check import (
    assumed_places,
    clear_out_words,
    first_lines,
    limit_words,
    link_words,
    meter_words,
    state_words,
    wall_title,
    weight_words,
)
from bracing.text.page import ON_ASKING, Page, Part
from bracing.work.minutes import by_own
from bracing.work.parts import Parts
from bracing.work.remedies import RemedyId
from bracing.work.words import joints_of_all, short_words

# The order in which parts of the screen are left out for want of room: the highest first.
STANDING_RANK, WEIGHT_RANK, FIRST_RANK, NOTE_RANK, WORK_RANK, RUNG_RANK, TRUCK_RANK = (
    70,
    60,
    55,
    40,
    35,
    30,
    20,
)
MIND_RANK = 3
BLOCKS = "blocks-under-cleats"
FEWEST_SPELLS, FEWEST_RUNGS, FEWEST_ADDED = 6, 4, 8  # of more the first so many are always there


def storm_page(
    result: StormResult, page: Page, *, command: str, wall: str = "", written: bool = False
) -> str:
    """Write a forecast against one wall.

    Args:
        result: the answer.
        page: how it is written.
        command: the words typed, for the next command.
        wall: the words that name the wall in another command; its file as it is unless given.
        written: the work has been written into the file.
    """
    drawn = result.job.wall
    lines = page.para(page.said(wall_title(result.job)))
    then = partial(_next, result, page, command, wall=wall or result.job.file, written=written)
    lines += first_lines(result.job, page)
    if result.check.beyond:
        stay = " Stay out of its zone." if drawn.up else ""
        return "\n".join([*lines, *page.for_engineer(result.check.beyond, stay), *page.cautions()])
    end = [*_assumed(result, page), *page.cautions(), *then()]
    if not drawn.up:
        lines += [*_stood_up(result, page), *_not_covered(result, page)]
        return page.screen([Part(lines), *_limits(result, page), *_notes(result, page)], end)
    lines += [*_verdict(result, page), *_out(result, page), *_not_covered(result, page)]
    parts = [Part(lines), *_limits(result, page), *_hours(result, page), *_notes(result, page)]
    parts += [*_ladder(result, page), Part(_lay_down(result, page))]
    parts.append(Part(_standing(result.standing, result, page), STANDING_RANK, "the time it stands"))
    return page.screen(parts, end)


def short_text(result: StormResult, page: Page) -> str:
    """Write five lines for a text message.

    Args:
        result: the answer.
        page: how quantities are written.
    """
    clock, ladder, down = result.clock, result.ladder, result.lay_down
    word = page.term(result.verdict).upper()
    head = page.said(
        Said("text-head", wall=result.job.wall.name, state=state_words(result.job), verdict=word)
    )
    gust = Quantity(result.worst.gust, Kind.ASKED)
    if not result.job.wall.up:
        return "\n".join([head, page.said(Said("text-not-up", gust=gust)), page.said(CAUTIONS[-1])])
    worst = Said("text-worst", gust=gust, limit=Quantity(result.check.limit or 0.0, Kind.GUST))
    if result.check.beyond:
        worst = Said("text-engineer")
    work = Said("text-nothing-to-add")
    if result.check.beyond:
        work = Said("text-no-numbers")
    elif ladder is not None and ladder.covers:
        kinds = tuple(_kinds(ladder, page))
        work = Said("text-to-do", work=kinds, minutes=whole_up(ladder.minutes))
    elif ladder is not None and down and down.before:
        most = Quantity(down.limit, Kind.GUST)
        work = Said("text-lay-down", when=clock.text(down.before), gust=most)
    elif ladder is not None:
        work = Said("text-stay-out")
    parts = Said("text-truck-nothing")
    if ladder is not None and ladder.covers:
        parts = Said("text-truck", parts=_parts_said(ladder.parts, page))
    out = "".join(map(page.said, _short_out(result)))
    return "\n".join(
        [f"{head}, {page.said(worst)}", out, page.said(work), page.said(parts), page.said(CAUTIONS[-1])]
    )


def _short_out(result: StormResult) -> list[Said]:
    """When to be out, and of which time before that nothing is known."""
    clear_out = Quantity(result.check.clear_out or 0, Kind.GUST)
    if result.check.beyond:
        out = Said("text-out-engineer")
    elif result.out_by is None:
        out = Said("text-out-any", gust=clear_out)
    elif result.out_now:
        out = Said("text-out-now", gust=clear_out)
    else:
        out = Said("text-out-by", when=result.clock.text(result.out_by), gust=clear_out)
    start = result.covered_from
    return [out] if start is None else [out, Said("text-not-covered", gap=_gap_said(result))]


def job_page(job: JobStorm, page: Page) -> str:
    """Write a job of walls: worst first, then one list for the truck.

    Args:
        job: the answers.
        page: how it is written.
    """
    headers = ("wall", "state", "verdict", "out by", "clear-out", "limit", "then")
    rows = [_job_row(result, page) for result in job.results]
    outs = [result.out_by for result in job.results if result.out_by is not None]
    highest = max((result.worst.gust for result in job.results), default=0.0)
    lines = page.para(
        f"{len(job.results)} walls, worst first, in gusts to {page.asked(highest)}; "
        "then = its limit gust after the work below."
    )
    read = next((result.forecast.understood for result in job.results), None)
    lines += [] if read is None else page.para(page.said(read))
    if job.without_braces:
        lines += page.para(f"{NO_BRACES}: {', '.join(job.without_braces)}.")
    gap = next((_gap(result, page) for result in job.results if result.covered_from), "")
    lines += page.para(f"NOT COVERED: {gap}. Ask for the wind of that time too.") if gap else []
    if outs:
        first = min(outs)
        clock = job.results[0].clock
        when = "now" if first <= clock.now else f"by {clock.text(first)}"
        lines += page.para(
            f"CLEAR OUT {when}: the first wall whose clear-out gust is reached sets it for all."
        )
    lines += [*page.table(headers, rows, align="llllrrr"), *_nobody_said(job, page)]
    parts = [Part(lines)]
    for result in job.results:
        if result.ladder is not None and result.ladder.covers:
            work = page.para(f"{result.job.wall.name}: {'; '.join(_kinds(result.ladder, page))}.")
            parts.append(Part(work, WORK_RANK, "walls' work"))
        elif result.verdict not in (Verdict.WITHIN, Verdict.UNKNOWN, Verdict.NOT_UP):
            parts.append(Part(_not_saved(result, page)))
    if job.parts:
        parts.append(Part(_truck("In the truck, for all of it:", job.parts, page), TRUCK_RANK, "the truck"))
    parts += [Part(page.para(f"NOT READ: {fault}")) for fault in job.faults]
    return page.screen(parts, page.cautions())


def _nobody_said(job: JobStorm, page: Page) -> list[str]:
    """Say of each wall that is up what nobody said of it, without which it is not within, whatever is done to it."""
    said = [
        Said("of-wall", wall=result.job.wall.name, said=one)
        for result in job.results
        if result.job.wall.up
        for one in unknown_said(result.job)
    ]
    return [line for one in said for line in page.para(page.said(one))]


def _not_saved(result: StormResult, page: Page) -> list[str]:
    """Say of a wall that no work covers what is left to do; why, where all is asked for."""
    name, down = result.job.wall.name, result.lay_down
    if page.whole or down is None:
        return [*page.para(f"{name}:"), *_lay_down(result, page)]
    if down.before is None:
        return page.para(f"{name}: STAY OUT. No work found covers it; it is too late to lay it down.")
    before = f"before {result.clock.text(down.before)}, in gusts under {page.gust(down.limit)}"
    return page.para(f"{name}: no work found covers it. LAY IT DOWN {before}, or STAY OUT.")


def _job_row(result: StormResult, page: Page) -> list[str]:
    if not result.job.wall.up:
        return [result.job.wall.name, result.job.state, result.verdict, "-", "-", "-", "-"]
    if result.check.beyond:
        return [result.job.wall.name, result.job.state, Verdict.ENGINEER, "now", "-", "-", "-"]
    out = "-" if result.out_by is None else "now" if result.out_now else result.clock.text(result.out_by)
    after = result.ladder.steps[-1].limit if result.ladder is not None and result.ladder.covers else None
    state = result.job.state if result.job.braces else "no braces"
    return [
        result.job.wall.name, state, result.verdict, out, page.gust(result.check.clear_out or 0),
        page.gust(result.check.limit or 0.0),
        "-" if after is None else page.gust(after),
    ]  # fmt: skip


# -- what first ------------------------------------------------------------------------------------------


def first_page(job: JobStorm, first: First, page: Page) -> str:
    """Write what to do first: the walls in order, those that are not done, and what to take.

    Args:
        job: the walls against the forecast.
        first: what to do first.
        page: how it is written.
    """
    clock, count = first.clock, len(first.turns) + len(first.left)
    highest = max((result.worst.gust for result in job.results), default=0.0)
    until = (
        Said("first-no-end") if first.until is None else Said("first-until", until=clock.text(first.until))
    )
    lines = page.para(page.said(Said("first-head", people=first.people, until=until)))
    most = Quantity(highest, Kind.ASKED)
    told = (
        Said("first-most", done=len(first.turns), count=count, minutes=first.minutes, gust=most)
        if first.proved
        else Said("first-best-found", done=len(first.turns), count=count, minutes=first.minutes, gust=most)
    )
    lines += page.para(page.said(told))
    read = next((result.forecast.understood for result in job.results), None)
    lines += [] if read is None else page.para(page.said(read))
    out_now = [result.job.wall.name for result in job.results if result.job.wall.up and result.out_now]
    lines += page.para(page.said(Said("first-out-now", walls=tuple(out_now)))) if out_now else []
    gap = next((_gap(result, page) for result in job.results if result.covered_from), "")
    lines += page.para(f"NOT COVERED: {gap}. Ask for the wind of that time too.") if gap else []
    if first.turns:
        rows = [
            [
                str(k + 1), turn.result.job.wall.name, clock.text(turn.start), clock.text(turn.done), str(turn.minutes),
                page.gust(turn.result.check.limit or 0.0), page.gust(last_limits(turn.result).limit),
            ]
            for k, turn in enumerate(first.turns)
        ]  # fmt: skip
        lines += page.table(("", "wall", "from", "done by", "min", "limit", "then"), rows, align="rlllrrr")
        for k, turn in enumerate(first.turns):
            if turn.result.ladder is not None:
                work = f"{k + 1}. {turn.result.job.wall.name}: {'; '.join(_kinds(turn.result.ladder, page))}."
                lines += page.para(work, hang=3)
    for left in first.left:
        lines += page.para(
            f"{left.result.job.wall.name}: {page.said(_why_left(left))}. {_instead(left, page)}", hang=2
        )
    if first.out_by is not None:
        lines += page.para(page.said(Said("first-all-out", when=clock.text(first.out_by))))
    lines += page.para(page.said(Said("first-within", walls=first.within))) if first.within else []
    lines += _nobody_said(job, page)
    parts = [Part(lines)]
    if first.parts:
        parts.append(Part(_truck(page.said(Said("first-take")), first.parts, page), TRUCK_RANK, "the truck"))
    lines = (
        page.para(page.said(Said("first-not-counted", what=first.not_counted))) if first.not_counted else []
    )
    lines += page.para(page.said(Said("first-assumed", what=first.assumed))) if first.assumed else []
    lines += [line for fault in job.faults for line in page.para(f"NOT READ: {fault}")]
    return page.screen([*parts, Part(lines)], page.cautions())


def first_short(job: JobStorm, first: First, page: Page) -> str:
    """Write what to do first for a text message: a line a wall.

    Args:
        job: the walls against the forecast.
        first: what to do first.
        page: how it is written.
    """
    clock = first.clock
    until = (
        Said("first-no-end") if first.until is None else Said("first-until", until=clock.text(first.until))
    )
    lines = [page.said(Said("first-head", people=first.people, until=until))]
    for k, turn in enumerate(first.turns):
        kinds = () if turn.result.ladder is None else tuple(_kinds(turn.result.ladder, page))
        name, done = turn.result.job.wall.name, clock.text(turn.done)
        lines.append(page.said(Said("text-turn", number=k + 1, wall=name, when=done, work=kinds)))
    for left in first.left:
        out = left.result.out_by
        when = (
            Said("first-now") if out is None or out <= clock.now else Said("first-by", when=clock.text(out))
        )
        name = left.result.job.wall.name
        lines.append(page.said(Said("text-left", wall=name, why=_why_left(left), when=when)))
    if first.out_by is not None:
        lines.append(page.said(Said("first-all-out", when=clock.text(first.out_by))))
    lines += [page.said(Said("watch-not-read", fault=page.english(str(fault)))) for fault in job.faults]
    return "\n".join([*lines, page.said(CAUTIONS[-1])])


def _why_left(left: Left) -> Said:
    """Why a wall is not done."""
    minutes = left.minutes or 0
    if left.why == LeftBecause.TIME:
        return Said("first-no-time", minutes=minutes)
    if left.why == LeftBecause.ON_HAND:
        return Said("first-not-on-hand", lacks=left.lacks)
    if left.why == LeftBecause.OUT_NOW:
        return Said("first-needs-a-machine")
    if left.why == LeftBecause.ENGINEER:
        return Said("first-engineer")
    ladder = left.result.ladder
    return Said("first-nothing-covers", why="" if ladder is None else ladder.why_not)


def _instead(left: Left, page: Page) -> str:
    """What is left to do about a wall that is not done."""
    clock, out, down = left.result.clock, left.result.out_by, left.lay_down
    when = Said("first-now") if out is None or out <= clock.now else Said("first-by", when=clock.text(out))
    zone = Quantity(left.zone, Kind.FEET_UP)
    if down is not None and down.before is not None:
        limit = Quantity(down.limit, Kind.GUST)
        return page.said(
            Said("first-lay-down", when=when, zone=zone, before=clock.text(down.before), limit=limit)
        )
    return page.said(Said("first-stay-out", when=when, zone=zone))


# -- parts -----------------------------------------------------------------------------------------------


def _verdict(result: StormResult, page: Page) -> list[str]:
    clock, worst = result.clock, result.worst
    how = f" ({'; '.join(map(page.said, worst.how))})" if worst.how else ""
    when = f"{clock.text(worst.start)}{' on' if worst.end is None else ''}"
    gusts = f"worst {when}, a gust of {page.asked(worst.gust)}{how}"
    if result.verdict == Verdict.UNKNOWN:
        return page.para(f"{Verdict.UNKNOWN.upper()} for this forecast: {gusts}.")
    if result.first_over is None:
        return page.para(f"WITHIN its limit for this forecast: {gusts}.")
    now = result.first_over <= clock.now
    since = "now" if now else f"from {clock.text(result.first_over)}"
    return page.para(f"OVER its limit {since}: {gusts}.")


def _stood_up(result: StormResult, page: Page) -> list[str]:
    """What a wall that is not up would be in this forecast, were it stood up as drawn."""
    clock, worst = result.clock, result.worst
    word = str(result.check.as_drawn).upper()
    limit = "" if result.check.as_drawn == Verdict.UNKNOWN else " its limit"
    return page.para(
        f"Stood up as drawn it would be {word}{limit}: worst {clock.text(worst.start)}, a gust of "
        f"{page.asked(worst.gust)}; its clear-out gust is {page.gust(result.check.clear_out or 0)}."
    )


def _not_covered(result: StormResult, page: Page) -> list[str]:
    if result.covered_from is None:
        return []
    return page.para(f"NOT COVERED: {_gap(result, page)}. Ask for the wind of that time too.")


def _gap(result: StormResult, page: Page) -> str:
    """The time before a forecast begins; empty where it begins by now."""
    return "" if result.covered_from is None else page.said(_gap_said(result))


def _gap_said(result: StormResult) -> Said:
    start = result.covered_from
    assert start is not None
    return Said("gap-before-it-begins", when=result.clock.text(start))


def _out(result: StormResult, page: Page) -> list[str]:
    clock, check = result.clock, result.check
    if result.out_at is None or result.out_by is None:
        return page.para(f"{clear_out_words(check, page)}; this one stays under it.")
    if check.clear_out == 0:
        return page.para(
            f"{clear_out_words(check, page)}. Nobody works in its zone unless a machine has hold of it."
        )
    gust, meter = page.gust(check.clear_out or 0), meter_words(check.clear_out_on_meter or 0, page)
    lead = f"{result.lead.total_seconds() / 3600.0:g} h"
    if result.out_now:
        return page.para(f"CLEAR OUT now: the clear-out gust of {gust} is due within {lead} ({meter}).")
    return page.para(
        f"CLEAR OUT by {clock.text(result.out_by)}, {lead} before the clear-out gust of {gust} is due at "
        f"{clock.text(result.out_at)} ({meter})."
    )


def _limits(result: StormResult, page: Page) -> list[Part]:
    check = result.check
    weighed = weight_words(check, page)
    parts = [
        Part(page.para(limit_words(check, page))),
        Part(page.para(weighed), WEIGHT_RANK, "the limit without its weight" if weighed else ""),
    ]
    if check.gives_first is not None and result.job.braces:
        first = page.para(f"Gives first: {link_words(check.gives_first, page)}.")
        parts.append(Part(first, FIRST_RANK, "the first to give"))
    return parts


def _hours(result: StormResult, page: Page) -> list[Part]:
    """Rows of one word run together; of many, those people are not about in come before the others."""
    rows, runs = [], list(_runs(result.hours))
    tame = [k for k, run in enumerate(runs) if not (run[0].over or run[0].out)]
    few = len(runs) if page.whole else FEWEST_SPELLS
    others = sorted(set(range(len(runs))) - set(tame))
    shown = sorted([*others, *tame][:few])
    for run in (runs[k] for k in shown):
        start, end = run[0].hour.start, run[-1].hour.end
        gusts = [row.hour.gust for row in run]
        least, most = page.asked(min(gusts)), page.asked(max(gusts))
        rows.append([
            result.clock.text(start), "no end given" if end is None else result.clock.text(end),
            most if least == most else f"{least.removesuffix(' mph').removesuffix(' m/s')} to {most}",
            page.gust(run[0].limit), _word(run[0]),
        ])  # fmt: skip
    table = page.table(("from", "to", "gust", "limit", ""), rows, align="llrrl")
    return [Part(table), *(Part((), ON_ASKING, "spells of hours") for _ in runs[len(shown) :])]


def _word(row: HourAnswer) -> str:
    if row.over:
        return f"{Verdict.OVER}, out"
    return f"{row.verdict}, and people out" if row.out else row.verdict


def _runs(rows: Sequence[HourAnswer]) -> Iterable[list[HourAnswer]]:
    run: list[HourAnswer] = []
    for row in rows:
        if run and (_word(row), row.limit) != (_word(run[-1]), run[-1].limit):
            yield run
            run = []
        run.append(row)
    if run:
        yield run


def _notes(result: StormResult, page: Page) -> list[Part]:
    notes = list(result.forecast.notes)
    read = result.forecast.understood
    back = [] if read is None else page.para(page.said(read))
    if result.forecast.thunderstorm:
        notes.append(
            "thunderstorms: a real gust can exceed any number here, and comes with minutes of notice"
        )
    if read is None and any(hour.basis == SUSTAINED for hour in result.forecast.hours):
        notes.append("sustained speeds were multiplied by 1.53; a forecast gust is the better number")
    return [Part(back), *(_note(note, page) for note in notes)]


def _note(note: str, page: Page) -> Part:
    """A note; of what nothing is known it is never left out."""
    rank, what = (0, "") if note.startswith("NOT COVERED") else (NOTE_RANK, "notes")
    return Part(page.para(f"Note: {note}."), rank, what)


def _ladder(result: StormResult, page: Page) -> list[Part]:
    ladder = result.ladder
    if ladder is None or not ladder.covers:
        return []
    parts = [Part(page.para("What covers the worst hour, in this order, with the limit gust after each:"))]
    for k, step in enumerate(ladder.steps):
        rung = _rung(k + 1, step, page)
        parts.append(Part(rung, 0 if k < FEWEST_RUNGS else RUNG_RANK, "rungs"))
    parts += _added(ladder, page)
    last = ladder.steps[-1].limits
    lines = page.para(
        f"With all of it: clear-out gust {page.gust(last.clear_out)}, limit gust {page.gust(last.limit)}. "
        "People are out all the same from the clear-out gust on."
    )
    parts += [Part(lines), *(Part(page.minds([said]), MIND_RANK, "to mind") for said in ladder.brings)]
    parts.append(Part(_truck("In the truck:", ladder.parts, page), TRUCK_RANK, "the truck"))
    return [*parts, Part(_time(result, ladder, page))]


def _rung(number: int, step: RemedyStep, page: Page) -> list[str]:
    """Say what is done on a rung: its braces by their marks alone, the table below them has the rest."""
    every = list(step.words)
    if not page.whole and step.added:
        marks = Said("add-marks", marks=tuple(brace.mark for brace in step.added))
        others = (_blocks_alone(w) if w.id == BLOCKS else w for w in every if w.id != "add")
        every = [marks, *others]
    said = [page.said(words) for words in every] or [""]
    end = f". Then {page.gust(step.limit)}."
    if page.whole:
        lines = []
        for i, words in enumerate(said):
            begin, indent = (f"{number}.", 0) if i == 0 else ("and", 3)
            lines += page.para(f"{begin} {words}{end if i == len(said) - 1 else ';'}", indent=indent, hang=3)
    else:
        lines = page.para(f"{number}. {'; '.join(said)}{end}", hang=3)
    for one in step.falls:
        lines += page.para(f"The first of it not without the rest: {page.said(one)}.", indent=3)
    return lines


def _blocks_alone(said: Said) -> Said:
    """How many blocks; how each is fastened stands once under the table."""
    values = dict(said.values)
    return Said("blocks-alone", count=values["count"], size=values["size"])


def _added(ladder: Ladder, page: Page) -> list[Part]:
    """Every brace that is put up, a row each: the rungs have them in words where all is asked for."""
    if page.whole or not ladder.added:
        return []
    job, few = ladder.steps[-1].job, ladder.added[:FEWEST_ADDED]
    joints = JOINTS[:2] if job.floor.kind == "ground" else JOINTS
    rows = [
        [
            brace.mark, brace.size, f"{page.length(brace.stud_at)}, {brace.lap_side}", page.length(brace.head),
            page.length(brace.set_back), " + ".join(str(getattr(brace, joint)) for joint in joints),
            str(brace.ties or "-"),
        ]
        for brace in few
    ]  # fmt: skip
    lines = page.table(
        ("", "stick", "on stud, its", "head", "foot out", "fasteners", "ties"), rows, align="lllrrlr"
    )
    lines += page.para(page.said(joints_of_all(job, ladder.added)))
    blocks = next((w for step in ladder.steps if step.added for w in step.words if w.id == BLOCKS), None)
    if blocks is not None:
        lines += page.para(page.said(Said("blocks-of-all", ends=dict(blocks.values)["ends"])))
    return [Part(lines), *(Part((), ON_ASKING, "more braces") for _ in ladder.added[len(few) :])]


def _time(result: StormResult, ladder: Ladder, page: Page) -> list[str]:
    """Say how long it takes, and when to start."""
    lines: list[str] = []
    own = by_own(result.job)
    spare = f"About {whole_up(ladder.minutes)} min for two{' (judgement)' if own is None else page.said(own)}"
    start = result.start_by
    if result.check.clear_out == 0:
        lines += page.para(f"{spare}, with a machine on the wall from the start.")
    elif start is not None and result.time_for_all:
        lines += page.para(f"{spare}: start by {result.clock.text(start)}.")
    elif start is not None:
        lines += page.para(
            f"{spare}: NOT TIME FOR ALL of it before people must be out. Do "
            "the rungs in order, leave on time, and take the limit after the last one that is done."
        )
    return lines


def _lay_down(result: StormResult, page: Page) -> list[str]:
    down = result.lay_down
    if down is None or result.ladder is None:
        return []
    lines = page.para(f"Nothing on hand covers the worst hour: {result.ladder.why_not}.")
    limit = f"{page.gust(down.limit)}, its limit for lifting ({page.said(down.gives_first)})"
    if down.before is None:
        return lines + page.para(
            f"STAY OUT. No hour of this forecast is left to lay it down in: that takes gusts under {limit}, with the "
            "lead in hand."
        )
    return lines + page.para(
        f"LAY IT DOWN before {result.clock.text(down.before)}, with the same machine, only while gusts stay "
        f"under {limit}; or STAY OUT of its zone until the wind is past."
    )


def _standing(standing: Standing | None, result: StormResult, page: Page) -> list[str]:
    if standing is None:
        return []
    said = (
        f"Stands until {result.clock.text(standing.until)}: {standing.nights} nights and {standing.weekends} "
        "weekends with nobody there. A forecast reaches over a few of them."
    )
    lines = page.para(said)
    if standing.equivalent_gust is None:
        return lines + page.para(
            "Declare site.design_speed to see the wind to plan for over all of that time beside the forecast."
        )
    gust = whole_up(standing.equivalent_gust)
    word = result.check.at(gust)
    return lines + page.para(
        f"Over all of that time: {page.asked(standing.design_speed or 0.0)} x {standing.factor:g} is planned for, "
        f"as much as a gust of {page.asked(gust)}: {word}. It is another reading than the forecast, for a site where "
        "access is controlled."
    )


def _kinds(ladder: Ladder, page: Page) -> list[str]:
    """The work in a few words each."""
    said = []
    for step in ladder.steps:
        kinds = [kind for kind in step.kind if kind != RemedyId.BRACE]
        said += [page.said(short_words(kind)) for kind in kinds]
    if ladder.added:
        said.append(page.said(Said("add-marks", marks=tuple(brace.mark for brace in ladder.added))))
    return list(dict.fromkeys(said))


def _assumed(result: StormResult, page: Page) -> list[str]:
    count = len(result.check.assumed)
    where = "" if result.job.file == "command line" else " (bracing check --assumed)"
    said = Said("assumed-count", places=assumed_places(count), where=where)
    return page.para(page.said(said)) if count else []


def _parts_said(parts: Parts, page: Page) -> tuple[Said, ...]:
    return tuple(Said("text-part", count=n, what=item) for item, n in page.counted(parts).items())


def _truck(title: str, parts: Parts, page: Page) -> list[str]:
    """What to take: a line each where all is asked for, run together where there is one screen."""
    if page.whole:
        return [*page.para(title), *_parts(parts, page)]
    return page.para(
        f"{title} {'; '.join(f'{count} {item}' for item, count in page.counted(parts).items())}."
    )


def _parts(parts: Parts, page: Page) -> list[str]:
    rows = [[str(count), item] for item, count in page.counted(parts).items()]
    return page.table((), rows, align="rl")


def _next(result: StormResult, page: Page, command: str, *, wall: str, written: bool) -> list[str]:
    if result.ladder is not None and result.ladder.covers and result.job.file != "command line":
        if written:
            return ["Next, once it is done, say what is up:", *page.command(f"bracing built {wall}")]
        return ["Next, write this work into the file:", *page.command(f"{command} --write")]
    if not result.job.braces:
        asked = f"bracing layout {wall} --gust {whole_up(result.worst.gust):g}"
        return [] if result.job.file == "command line" else ["Next, braces for it:", *page.command(asked)]
    stays = result.lay_down is None and not result.out_now and result.check.clear_out != 0
    if stays and not result.job.walked and result.job.wall.up and result.job.file != "command line":
        return ["Next, walk it and say what is up:", *page.command(f"bracing built {wall}")]
    return []
