"""Answers of the lifting commands as text: demands up, strengths and gusts down, cautions last."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence

from bracing.check import Assumed
from bracing.choosing import over
from bracing.job.job import Job
from bracing.lift.day import DayPlan, day_plan
from bracing.lift.machine import least_margin, power_line_distance
from bracing.lift.plan import LiftPlan, TiltRow
from bracing.lift.plumb import Move, Plumb
from bracing.panel.weight import TakeOff
from bracing.results import said_first
from bracing.said import Kind, Quantity, Said
from bracing.text.page import ON_ASKING, Page, Part
from bracing.text.quantities import written
from bracing.units import Inch, down, sag, slope, small, up

_HALF_INCHES = 2  # marks to the inch, as far as a hook can be put
_ROWS = (0, 15, 30, 45, 60, 70, 75, 80, 85, 90)
_FEW_ROWS = (0, 45, 75, 90)
# The order in which parts of the screen are left out for want of room: the highest first.
LEGEND_RANK, FRAME_RANK, GO_RANK, HANDS_RANK, LINKS_RANK, ASSUMED_RANK = 80, 70, 65, 60, 55, 40
HOOK_RANK, STRONGBACK_RANK, STOP_RANK = 30, 20, 10
STAYS_RANK, MOVE_RANK = 40, 20
FRAME, ARC, HANDS, DAY = (
    "the frame",
    "the whole arc",
    "the hands",
    "the lists",
)  # what they are called where left out


def _assumed(assumed: tuple[Assumed, ...], page: Page) -> tuple[str, ...]:
    named = (one.field.rpartition(".")[2].replace("_", " ") for one in assumed)
    return tuple(f"{name}: {page.said(one.why)}" for name, one in zip(named, assumed, strict=True))


def weight_page(job: Job, off: TakeOff, page: Page, *, assumed: tuple[Assumed, ...]) -> str:
    """Write a take-off.

    Args:
        job: the job.
        off: its take-off.
        page: how it is written.
        assumed: what nobody declared.

    Returns:
        The text.
    """
    x, up_, behind = (page.length(each) for each in (off.x_cg, off.z_cg, off.behind_cg))
    rows = [[part.name, str(part.pieces), page.mass(part.weight_lb)] for part in off.parts]
    sources: dict[str, list[str]] = defaultdict(list)
    for part in off.parts:
        sources[page.said(part.source)].append(part.name)
    top = page.para(f"{job.wall.name}: {page.mass(off.weight)}")
    top += page.para(f"It balances {x} from LEFT, {up_} up, {behind} behind the inside face")
    top += page.table(["part", "pieces", "weight"], rows, align="lrr")
    lines = ["Where the weights come from:"]
    for source, names in sources.items():
        lines += page.para(f"- {', '.join(names)}: {source}")
    density = written(page, Quantity(off.density_pcf, Kind.DENSITY))
    weighed = page.para(
        f"Lumber weighed at {off.moisture_percent:.0f} % moisture, {density}. Nails, wiring and trim are not weighed."
    )
    parts = [Part(top), Part(lines, ON_ASKING, "the sources of the weights"), Part(weighed)]
    parts += [
        Part(_items("ASSUMED:", [words], page), ASSUMED_RANK, "assumed") for words in _assumed(assumed, page)
    ]
    return page.screen(parts, page.cautions()) + "\n"


def lift_page(plan: LiftPlan, page: Page) -> str:
    """Write a lift: what forbids it and what to rig first, then the arc, the foot and the day, on one screen.

    Args:
        plan: the plan.
        page: how it is written.

    Returns:
        The text.
    """
    asked = plan.request.gust is not None
    gust = page.asked(plan.gust) if asked else page.gust(plan.gust)
    verdict = "no gust was asked" if plan.verdict is None else plan.verdict.upper()
    verdict += f" at {gust}" if asked else ""
    beside = "" if plan.gust == plan.gusts.limit else f"; numbers below are for {gust}"
    top = [
        f"{plan.job.wall.name}: {verdict}",
        *map(page.said, said_first(plan.job)),
        f"Lift only up to gusts of {page.gust(plan.gusts.limit)} ({page.said(plan.gusts.gives_first)}){beside}",
    ]
    day = day_plan(plan)
    parts = [
        Part([line for words in top for line in page.para(words)]),
        Part(_items("NO-GO: not within, as declared:", plan.over, page)),
        Part(_undeclared(plan, page)),
        Part(_rig(plan, page)),
        *_picks(plan, page),
        *_tilt(plan, page),
        *_foot(plan, page),
        Part(_machine(plan, page)),
        Part(_items("Roles:", day.roles, page), ON_ASKING, DAY),
        *(Part(_items(title, [words], page), rank, what) for title, words, rank, what in _zone(day)),
        Part(_items("GO only if", day.go, page), GO_RANK, DAY),
        Part(_items("STOP if", day.stop, page), STOP_RANK, DAY),
        Part(_items("Before the hook comes off:", day.unhook[:1], page)),
        Part(_items("", day.unhook[1:], page), HOOK_RANK, DAY),
        *(
            Part(_items("ASSUMED:", [words], page), ASSUMED_RANK, "assumed")
            for words in _assumed(plan.assumed, page)
        ),
    ]
    return page.screen(parts, page.cautions()) + "\n"


def _items(title: str, items: Sequence[Said | str], page: Page) -> list[str]:
    """A line each under their title; one alone beside it."""
    if not items:
        return []
    if len(items) == 1 and title:
        return page.para(f"{title} {page.said(items[0])}")
    return [
        *([title] if title else []),
        *(line for item in items for line in page.para(f"- {page.said(item)}")),
    ]


def _undeclared(plan: LiftPlan, page: Page) -> list[str]:
    if not plan.unknown:
        return []
    return page.para(
        f"NO-GO: not declared, and so not within either: {'; '.join(map(page.said, plan.unknown))}"
    )


def _zone(day: DayPlan) -> list[tuple[str, Said, int, str]]:
    keep, *others = day.zone
    return [("Keep clear:", keep, 0, ""), *(("Zone:", words, HOOK_RANK, DAY) for words in others)]


def _rig(plan: LiftPlan, page: Page) -> list[str]:
    gust = page.asked(plan.gust) if plan.request.gust is not None else page.gust(plan.gust)
    said = (
        f"Rig for {page.force(plan.rigged)}: {page.mass(plan.weight.weight)} of wall and "
        f"{100.0 * plan.request.dynamic:.0f} % more, since all of it may hang",
        f"It balances {page.length(plan.weight.x_cg)} from LEFT, {page.length(plan.weight.z_cg)} up",
        f"A {gust} gust from inside slacks the line past {down(math.degrees(plan.slack_from))} deg; "
        f"past {down(math.degrees(plan.past))} deg it runs on to plumb by itself. Tag lines at plumb: "
        f"{page.force(plan.tag_line)} together",
    )
    return [line for words in said for line in page.para(words)]


def _picks(plan: LiftPlan, page: Page) -> list[Part]:
    bent = plan.picks.bending
    picks = ", ".join(f"{p.mark} {page.length(p.x)}" for p in plan.picks.picks)
    off = abs(plan.picks.hook_x - plan.weight.x_cg)
    lines = page.para(f"Picks, from LEFT: {picks}; hook over {page.length(plan.picks.hook_x)}")
    lines += _slings(plan, page)
    if plan.slide > 0.0:
        lines += page.para(f"Sloping top: a cleat above each sling for {page.force(plan.slide)}")
    held = [
        line
        for link in plan.links
        for line in page.para(
            f"{link.mark} round the {link.by}: {page.force(link.demand)} of {page.strength(link.capacity)}, "
            f"{page.said(link.why)}"
        )
    ]
    worst = [
        ("studs", max(row.stud for row in plan.tilt)),
        ("top plate", max(row.plate for row in plan.tilt)),
    ]
    worst += [("row", bent.row)] if bent.row else []
    told = ", ".join(f"{what} {up(share, 2)}" for what, share in worst)
    frame = page.para(
        f"Bent as it hangs, 1 being all it may: {told}; sag {sag(bent.sag, metric=page.metric)}; hook "
        f"{page.length(off)} off the balance, {plan.picks.tried} sets of picks tried"
    )
    rows = []
    for worth in plan.worth:
        b = worth.bending
        cells = (
            ["folds at the kink of the top", ""]
            if b is None
            else [up(b.worst, 2), sag(b.sag, metric=page.metric)]
        )
        rows.append([page.said(worth.what), *cells])
    rank = STRONGBACK_RANK if any(over(share, 1.0) for _, share in worst) else ON_ASKING
    return [
        Part(lines),
        Part(held, LINKS_RANK, FRAME),
        Part(frame, FRAME_RANK, FRAME),
        Part(page.table(["with", "bent", "sag"], rows, align="lrr"), rank, FRAME),
    ]


def _slings(plan: LiftPlan, page: Page) -> list[str]:
    slings = plan.slings
    if slings.spreader:
        return page.para(f"Slings plumb from a spreader, {page.force(slings.check.tension)} each")
    lengths = " and ".join(page.length(length) for length in slings.lengths)
    flag = "; PAST THE 30 DEG WORKING LIMIT" if slings.check.over_working_limit else ""
    tag = "no tag declared" if slings.check.rated is None else f"tag {page.strength(slings.check.rated)}"
    return page.para(
        f"Slings {lengths}, {up(math.degrees(slings.check.angle))} deg off plumb{flag}: "
        f"{page.force(slings.check.tension)} on the worse leg ({tag}), two counted; they "
        f"squeeze the wall {page.force(slings.thrust)}"
    )


def _tilt(plan: LiftPlan, page: Page) -> list[Part]:
    every, few = (
        [row for row in plan.tilt if round(math.degrees(row.tilt)) in some] for some in (_ROWS, _FEW_ROWS)
    )
    rows = [_tilt_row(row, page) for row in (every if page.whole else few)]
    headers = ["tilt", "line", "in gust", "foot up", "foot level", "hook up", "hook in"]
    said = (
        "line: its pull in still air, then in the gust from outside; foot: what the floor gives it, and how hard "
        "the gust pushes it level; hook: above the floor, and in toward the house from the plate"
    )
    return [
        Part(page.table(headers, rows, align="rrrrrrr")),
        Part((), ON_ASKING, ARC),
        Part(page.para(said), LEGEND_RANK, ARC),
    ]


def _tilt_row(row: TiltRow, page: Page) -> list[str]:
    return [
        f"{math.degrees(row.tilt):.0f} deg", "no lever" if row.head is None else page.force(row.head),
        "tag lines" if row.windy is None else page.force(row.windy), page.force(row.foot_up), page.force(row.foot_out),
        page.length(row.hook, sixteenths=_HALF_INCHES), page.length(row.toward_house, sixteenths=_HALF_INCHES),
    ]  # fmt: skip


def _foot(plan: LiftPlan, page: Page) -> list[Part]:
    told = (
        f"{link.link} {page.force(link.demand)} of {page.strength(link.capacity)} declared"
        for link in plan.foot_links
    )
    lines = page.para(f"Foot, worst at {math.degrees(plan.foot.thrust_tilt):.0f} deg: {', '.join(told)}")
    hands = plan.hands
    by_hand = page.para(
        f"By hand: {page.force(hands.start)} to start, {page.force(hands.worst)} at "
        f"{math.degrees(hands.worst_tilt):.0f} deg: {hands.people} people at {page.strength(plan.request.lift_each)} "
        f"each; foot {page.force(hands.foot.thrust)} level"
    )
    rules = _items("", hands.rules, page)
    if hands.by_hand:
        return [Part(lines), Part([*by_hand, *rules], HANDS_RANK, HANDS)]
    no = _items("By hand: no.", hands.rules[-1:], page)
    return [Part([*lines, *no]), Part([*by_hand, *rules[: -len(no)]], HANDS_RANK, HANDS)]


def _machine(plan: LiftPlan, page: Page) -> list[str]:
    lines: list[str] = []
    chart = plan.request.chart
    if plan.path:
        worst = least_margin(plan.path)
        reach, height = (page.length(each, sixteenths=_HALF_INCHES) for each in (worst.reach, worst.height))
        at = f"reach {reach}, hook {height}"
        if worst.capacity is None or worst.margin is None:
            said = f"OFF THE CHART at {math.degrees(worst.tilt):.0f} deg ({at}): no"
        else:
            said = (
                f"least margin {page.strength(worst.margin)} at {math.degrees(worst.tilt):.0f} deg ({at}): "
                f"{page.force(worst.load)} of {page.strength(worst.capacity)}, the lower row of the chart"
            )
        lines += page.para(f"Machine: {said}")
    if chart is not None and chart.aside:
        lines += page.para(page.said(Said("chart-column-aside", what=chart.aside)))
    if plan.request.line_distance is not None or plan.request.line_kv is not None:
        keep, source = power_line_distance(plan.request.line_kv)
        words = page.length(keep) if math.isfinite(keep) else "what its owner says"
        lines += page.para(f"Power line: keep {words} ({source})")
    return lines


def _brace_told(move: Move, page: Page) -> str:
    """Tell one brace as a person does it: made longer or shorter, or its foot moved; then which way its top leans."""
    place = f"{move.mark} (at {page.length(move.x)})"
    lean = f"top leans {_way(move.lean, page)}"
    if small(move.bow, metric=page.metric) != small(0.0, metric=page.metric):
        lean += f", bows {_way(move.bow, page)} between the two outer tops"
    loose = "" if move.loose is None else f" With its foot loose: clear-out {page.gust(move.loose)}."
    if move.length_change is None or move.foot_move is None:
        return f"Plumb {place}: {lean}.{loose}"
    turns = "" if move.turns is None else f", {abs(move.turns):.1f} turns"
    longer, moved = (small(far, metric=page.metric) for far in (move.length_change, move.foot_move))
    how = f"{'Lengthen' if move.length_change > 0.0 else 'Shorten'} {place} {longer}{turns}"
    foot = f"{moved} {'away from' if move.foot_move > 0.0 else 'toward'} the wall"
    return f"{how}: {lean}. Or its foot {foot}.{loose}"


def _way(far: Inch, page: Page) -> str:
    return f"{'in' if far > 0.0 else 'out'} {small(far, metric=page.metric)}"


def _feet(found: Plumb, page: Page) -> list[Part]:
    """Say which feet are let go, in which order, and which are not; of a wall that reads plumb, none."""
    lines, day, moves = [], page.asked(found.gust), {move.mark: move for move in found.moves}
    if found.alike:
        lines += page.para(
            "Every brace reads the same lean: hold line or laser against something known plumb first."
        )
    if not any(move.moved for move in found.moves):
        none = "Nothing to move: every head reads plumb over the floor. No foot is let go."
        return [Part([*lines, *page.para(none)])]
    parts = []
    if found.order:
        lines += page.para(
            f"One foot at a time, in this order, each fastened again before the next, only in gusts under its own "
            f"clear-out. Gust of the day: {day}."
        )
        told = (
            page.para(f"{k}. {_brace_told(moves[m], page)}", hang=3)
            for k, m in enumerate(found.order, start=1)
        )
        parts += [Part(each, MOVE_RANK, "moves") for each in told]
    if found.stays:
        parts.append(Part(page.para(
            f"NOT let go at {day}: {', '.join(found.stays)}. That gust reaches the clear-out gust with it loose: put a "
            "brace beside it first, or wait for less wind (--gust)."
        )))  # fmt: skip
        told = (page.para(f"- {_brace_told(moves[mark], page)}") for mark in found.stays)
        parts += [Part(each, STAYS_RANK, "not let go") for each in told]
    plumb = [move.mark for move in found.moves if not move.moved]
    return [Part(lines), *parts, Part(page.para(f"Leave {', '.join(plumb)}: plumb.") if plumb else [])]


def plumb_page(job: Job, found: Plumb, page: Page) -> str:
    """Write the answer of plumb readings.

    Args:
        job: the job.
        found: the answer.
        page: how it is written.

    Returns:
        The text.
    """
    lines = page.para(f"{job.wall.name}: worst lean {slope(found.worst_slope, metric=page.metric)}")
    lines += page.para(
        f"As it leans now it pushes {page.force(found.lean_force)} level; the checks carry "
        f"{page.force(found.allowed_lean_force)} for lean: {'within' if found.within else 'OVER'}"
    )
    lines += page.para(
        "Leans in is toward the braces. Read from a line on the side away from them; of a line on their side put a "
        "minus before every reading, or what leans in is told as out."
    )
    return page.screen([Part(lines), *_feet(found, page)], page.cautions()) + "\n"
