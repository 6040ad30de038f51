"""What a walk found, and what it does to the limit gust."""

from __future__ import annotations

from attrs import evolve

from bracing.job.above import MOST_ABOVE
from bracing.said import Kind, Quantity, Said, Term
from bracing.stages.from_above import FromAbove
from bracing.stages.going_up import after_brace
from bracing.stages.stages import StagesResult
from bracing.stages.take_down import AfterEvent, Kept, RemovalAsked
from bracing.stages.walk import BuiltResult, fact_words, found_words
from bracing.text.check import (
    clear_out_words,
    first_lines,
    out_words,
    state_words,
    wall_title,
    went_lines,
)
from bracing.text.page import ON_ASKING, Page, Part
from bracing.units import Mph

STAGES_SHOWN = 14
# The order in which parts of the screen are left out for want of room: the highest first.
MISSING_RANK, EVENT_RANK = 40, 20
TIES_AFTER = "Tie rows and their diagonals count from when all of them are on, after {brace}."


def built_page(result: BuiltResult, page: Page, *, wall: str) -> str:
    """Write what a walk found.

    Args:
        result: the wall as found, beside its plan.
        page: how it is written.
        wall: the words that name the wall in the next command.
    """
    built, job = result.built, result.found.job
    title = Said("built-title", wall=job.wall.name, state=state_words(job), when=built.when, by=built.by)
    lines = page.para(page.said(title))
    lines += first_lines(job, page)
    lines += _limits(result, page)
    lines += page.para(" ".join(map(page.said, _braces_said(result))))
    found = [
        page.said(Said("built-found", mark=one.mark, what=found_words(one)))
        for one in built.found
        if one.mark not in result.extra
    ]
    found += [page.said(fact_words(one)) for one in built.facts]
    lines += [line for words in found for line in page.para(f"- {words}")]
    lines += page.cautions()
    return "\n".join(
        [*lines, page.said(Said("next-storm")), *page.command(f"bracing storm {wall} --gust 45")]
    )


def _braces_said(result: BuiltResult) -> list[Said]:
    """Say how many braces differ from the plan, which are in none, and how much else differs."""
    if result.differ:
        said = [Said("built-differ", count=result.differ, of=result.asked)]
    else:
        said = [Said("built-as-planned") if result.asked else Said("built-none-on-file")]
    if result.extra:
        said.append(Said("built-extra", marks=tuple(result.extra)))
    facts = len(result.built.facts)
    if facts:
        said.append(Said("built-one-thing", count=facts) if facts == 1 else Said("built-things", count=facts))
    return said


def _limits(result: BuiltResult, page: Page) -> list[str]:
    found, plan = result.found, result.plan
    if found.limit is None or found.clear_out is None:
        return page.para(page.said(Said("built-engineer", why=tuple(found.beyond))))
    lines = page.para(f"{clear_out_words(found, page)}.")
    said = [Said("built-limit", gust=Quantity(found.limit, Kind.GUST))]
    if plan.limit is not None:
        said.append(Said("built-as-planned-limit", gust=Quantity(plan.limit, Kind.GUST)))
    lines += page.para(" ".join(map(page.said, said)))
    return lines + went_lines(evolve(plan, effects=True), page, written=True)


def stages_page(result: StagesResult, page: Page, *, command: str, wall: str) -> str:
    """Write a wall through its stages.

    Args:
        result: the answer.
        page: how it is written.
        command: the command as typed.
        wall: the words that name the wall in another command.
    """
    lines = page.para(page.said(wall_title(result.job)))
    lines += first_lines(result.job, page)
    if result.beyond:
        return "\n".join(
            [*lines, *page.for_engineer(result.beyond, Said("no-limit-given")), *page.cautions()]
        )
    if not result.job.braces:
        if result.job.wall.up:
            lines += page.para(f"{out_words(0, page)}: no brace is up.")
        lines += page.cautions()
        gust = 45.0 if result.gust is None else result.gust
        return "\n".join(
            [*lines, "Next, which braces:", *page.command(f"bracing layout {wall} --gust {gust:g}")]
        )
    parts = [Part([*lines, *_hook(result, page)]), *_stages(result, page)]
    parts.append(Part(_missing(result, page), MISSING_RANK, "each brace gone" if result.missing else ""))
    if result.above is not None:
        parts.append(Part(above_lines(result.above, page)))
    end = page.cautions()
    if result.take_down is None:
        tell = "Say --gust (or --keep) to see which braces may come out after which event."
        return page.screen([*parts, Part(page.para(tell))], end)
    kept = kept_words(result.take_down.keep, page)
    parts.append(Part(page.para(f"Taking down, one brace at a time, once its event is ticked. {kept}")))
    parts += [Part(event_lines(event, page), EVENT_RANK, "events") for event in result.take_down.events]
    first = next((e for e in result.take_down.events if e.out), None)
    if first is not None:
        asked = f'{command} --done "{first.event}" --take-out {first.out[0].mark}'
        end += ["Next, when that has happened:", *page.command(asked)]
    return page.screen(parts, end)


def above_lines(above: FromAbove, page: Page) -> list[str]:
    """Say what a wall holds of what is declared from above, and what it must have before the first truss.

    Args:
        above: the answer.
        page: how it is written.
    """
    day = Quantity(above.gust, Kind.ASKED)
    lines = list[str]()
    for row in above.rows:
        said = Said("above-most", what=row.named, most=row.most, day=day)
        if row.first:
            said = Said("before-the-first", what=row.named, day=day, needs=row.first)
        elif row.most >= MOST_ABOVE:
            said = Said("above-or-more", what=row.named, most=row.most, day=day)
        lines += page.para(page.said(said))
    return lines


def kept_words(keep: Kept, page: Page) -> str:
    """Say which wind braces come out in, where it comes from, and for how long it counts.

    Args:
        keep: that wind.
        page: how it is written.
    """
    blows = Said("in-a-thunderstorm") if keep.thunderstorm else ""
    return page.said(
        Said("comes-out-only-over", gust=Quantity(keep.gust, Kind.ASKED), blows=blows, why=keep.why)
    )


def removal_page(asked: RemovalAsked, page: Page, *, keep: Kept) -> str:
    """Write whether one brace may come out.

    Args:
        asked: the answer.
        page: how it is written.
        keep: the wind it comes out in.
    """
    may = Said("removal-may", mark=asked.mark, why=asked.why)
    stays = Said("removal-stays", mark=asked.mark, why=asked.why)
    limit = Said(
        "removal-leaves", out=_gust(asked.limits.clear_out), limit=_gust(asked.limit), kept=kept_words(keep, page)
    )  # fmt: skip
    said = (may if asked.allowed else stays, limit)
    return "\n".join([*(line for each in said for line in page.para(page.said(each))), *page.cautions()])


def _gust(gust: Mph) -> Quantity:
    return Quantity(gust, Kind.GUST)


def _hook(result: StagesResult, page: Page) -> list[str]:
    clear = result.limits.clear_out
    before = out_words(clear, page)
    if not result.job.wall.up:
        before = f"Its clear-out gust is {page.gust(clear)}"
    full = "brace and tie row" if result.job.tie_rows else "brace"
    loaded = "" if result.above is None else ", and all on it that is declared from above"
    lines = page.para(f"{before}, with every {full} up{loaded}.")
    return lines if result.hook is None else lines + page.para(page.said(result.hook.said))


def _stages(result: StagesResult, page: Page) -> list[Part]:
    rows = [
        [str(k), page.said(stage.named), page.gust(stage.limit), page.gust(stage.clear_out)]
        for k, stage in enumerate(result.stages, start=1)
    ]
    few = len(rows) if page.whole else STAGES_SHOWN
    out = [*rows[: few - 1], *rows[-1:]] if len(rows) > few else rows  # the last is what it comes to
    parts = [Part(page.table(("", "then up", "limit after it", "clear-out"), out, align="llrr"))]
    parts += [Part((), ON_ASKING, "more stages") for _ in rows[len(out) :]]
    if not result.job.tie_rows:
        return parts
    last = after_brace(result.job)
    brace = "the last brace" if last == len(result.job.braces) - 1 else result.job.braces[last].mark
    return [*parts, Part(page.para(TIES_AFTER.format(brace=brace)))]


def _missing(result: StagesResult, page: Page) -> list[str]:
    if not result.missing:
        return []
    each = "; ".join(
        f"{brace.mark} {page.gust(rest)}, {page.gust(lost)}"
        for brace, rest, lost in zip(result.job.braces, result.missing, result.lost, strict=True)
    )
    return page.para(
        f"Limit with one gone, at rest and lost in the gust: {each}. {result.matters_most} matters most."
    )


def event_lines(event: AfterEvent, page: Page) -> list[str]:
    """Say which braces may come out after an event, and which stay.

    Args:
        event: the event.
        page: how it is written.
    """
    said = Said("after-an-event", event=Term(str(event.event)), who=_who(event), note=event.note)
    return page.para(page.said(said), hang=4)


def _who(event: AfterEvent) -> Said:
    """Say who may come out and who stays; where all stay or all are out, that alone."""
    if not event.out:
        return Said("none-may-come-out") if event.stay else Said("every-brace-is-out")
    out = tuple(Said("may-come-out", mark=one.mark, out=_gust(one.clear_out)) for one in event.out)
    stay = Said("these-stay", marks=event.stay) if event.stay else Said("then-every-brace-is-out")
    return Said("may-come-out-in-order", clear=_gust(event.limits.clear_out), out=out, stay=stay)
