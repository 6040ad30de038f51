"""Answers of the lifting commands as text, 80 columns, demands up, gusts down, cautions last."""

from __future__ import annotations

import math
import textwrap
from functools import partial

from bracing.check import Assumed
from bracing.choosing import whole_down, whole_up
from bracing.job.job import Job
from bracing.lift.day import day_plan
from bracing.lift.machine import least_margin, power_line_distance
from bracing.lift.plan import LiftPlan
from bracing.lift.plumb import Plumb
from bracing.panel.weight import TakeOff
from bracing.results import caution_text
from bracing.stages.on_file import said_first
from bracing.units import POUNDS_PER_NEWTON, Inch, Pound, asked_gust, down, gust, pounds, tape, up

WIDTH = 80
_KILOGRAM = 9.80665 * POUNDS_PER_NEWTON
_ROWS = (0, 15, 30, 45, 60, 70, 75, 80, 85, 90)


def _mass(weight: Pound, *, metric: bool) -> str:
    return f"{whole_up(weight / _KILOGRAM):,} kg" if metric else f"{whole_up(weight):,} lb"


def _wrap(text: str, *, first: str = "", rest: str | None = None) -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_on_hyphens=False,
    )


def _listed(title: str, items: tuple[str, ...]) -> list[str]:
    if not items:
        return []
    lines = ["", title]
    for item in items:
        lines += _wrap(item, first="  - ", rest="    ")
    return lines


def _assumed(assumed: tuple[Assumed, ...]) -> tuple[str, ...]:
    return tuple(f"{one.field}: {one.why}" for one in assumed)


def _closing() -> list[str]:
    return ["", *_wrap(caution_text())]


def weight_text(job: Job, off: TakeOff, assumed: tuple[Assumed, ...], *, metric: bool = False) -> str:
    """Write a take-off.

    Args:
        job: the job.
        off: its take-off.
        assumed: what nobody declared.
        metric: kilograms and millimetres.

    Returns:
        The text.
    """
    mark = partial(tape, metric=metric)
    width = max(24, *(len(part.name) for part in off.parts))
    width = min(width, 40)
    lines = [
        f"{job.wall.name}: {_mass(off.weight, metric=metric)}",
        f"Centre of gravity {mark(off.x_cg)} from LEFT, {mark(off.z_cg)} up, "
        f"{mark(off.behind_cg)} behind the inside face",
        "",
        f"{'part':<{width}} {'pieces':>7} {'weight':>10}  where the weight comes from",
    ]
    for part in off.parts:
        first = f"{part.name[:width]:<{width}} {part.pieces:>7} {_mass(part.weight_lb, metric=metric):>10}  "
        lines += _wrap(part.source, first=first)
    lines += [
        "",
        f"Lumber weighed at {off.moisture_percent:.0f} % moisture, {off.density_pcf:.1f} pcf. Nails, wiring "
        "and trim are not weighed.",
    ]
    lines = [line for long in lines for line in (_wrap(long) if len(long) > WIDTH else [long])]
    return "\n".join([*lines, *_listed("ASSUMED", _assumed(assumed)), *_closing()]) + "\n"


def lift_text(plan: LiftPlan, *, metric: bool = False) -> str:
    """Write a lift.

    Args:
        plan: the plan.
        metric: kilonewtons and millimetres.

    Returns:
        The text.
    """
    lb, mark = partial(pounds, metric=metric), partial(tape, metric=metric)
    asked = plan.request.gust is not None
    verdict = "lift" if plan.verdict is None else plan.verdict.upper()
    verdict += f" at {plan.gust:g} mph" if asked else ""
    part = 100.0 * plan.request.dynamic
    share = 100.0 * plan.head_force / plan.weight.weight
    lines = [
        f"{plan.job.wall.name}: {verdict}",
        *said_first(plan.job),
        f"Lift only up to gusts of {plan.gusts.limit} mph ({plan.gusts.gives_first}); numbers below are for "
        f"{plan.gust:g} mph",
        f"Weight {_mass(plan.weight.weight, metric=metric)}, centre of gravity "
        f"{mark(plan.weight.x_cg)} from LEFT, {mark(plan.weight.z_cg)} up",
        f"Rig for {lb(plan.rigged)}: the whole weight and {part:.0f} %, since the foot "
        "may leave the floor and all of it then hangs",
        f"Head force {lb(plan.head_force)} as it leaves the floor ({up(share)} % of the weight)",
        f"A {plan.gust:g} mph gust from inside slacks the line past {down(math.degrees(plan.slack_from))} deg; "
        f"past {down(math.degrees(plan.past))} deg it runs on to plumb by itself. Tag lines at plumb: "
        f"{lb(plan.tag_line)} together",
    ]
    lines = [line for long in lines for line in _wrap(long, rest="  ")]
    lines += _listed("NOT WITHIN, AS DECLARED", plan.over)
    lines += ["", *_picks(plan, metric=metric), "", *_tilt(plan, metric=metric)]
    lines += ["", *_foot(plan, metric=metric), *_machine(plan, metric=metric)]
    day = day_plan(plan, metric=metric)
    for title, items in (
        ("ROLES", day.roles),
        ("ZONE", day.zone),
        ("GO only if", day.go),
        ("STOP if", day.stop),
        ("BEFORE THE HOOK COMES OFF", day.unhook),
        ("ASSUMED", _assumed(plan.assumed)),
    ):
        lines += _listed(title, items)
    return "\n".join([*lines, *_closing()]) + "\n"


def _picks(plan: LiftPlan, *, metric: bool) -> list[str]:
    lb, mark = partial(pounds, metric=metric), partial(tape, metric=metric)
    bent, slings = plan.picks.bending, plan.slings
    picks = ", ".join(f"{p.mark} {mark(p.x)}" for p in plan.picks.picks)
    off = abs(plan.picks.hook_x - plan.weight.x_cg)
    lines = _wrap(
        f"Picks at {picks} ({plan.picks.tried} sets tried); hook at {mark(plan.picks.hook_x)}, "
        f"{mark(off)} off the centre of gravity",
        rest="  ",
    )
    lines += _wrap(
        f"Stress over its allowable, worst over the arc: stud {up(max(row.stud for row in plan.tilt), 2)}, top "
        f"plate {up(max(row.plate for row in plan.tilt), 2)}, row {up(bent.row, 2)}; sag {up(bent.sag, 1)} in",
        rest="  ",
    )
    for worth in plan.worth:
        if worth.bending is None:
            lines.append(f"  {worth.what:<24} folds at the kink of the top")
        else:
            b = worth.bending
            lines.append(f"  {worth.what:<24} bending {up(b.worst, 2)}, sag {up(b.sag, 1)} in")
    if slings.spreader:
        lines += _wrap(f"Slings plumb from a spreader, {lb(slings.check.tension)} each", rest="  ")
    else:
        lengths = " and ".join(mark(length) for length in slings.lengths)
        flag = "; PAST THE 30 DEG WORKING LIMIT" if slings.check.over_working_limit else ""
        tag = "no tag declared" if slings.check.rated is None else f"tag {down(slings.check.rated)} lb"
        lines += _wrap(
            f"Slings {lengths}, {up(math.degrees(slings.check.angle))} deg off vertical{flag}: "
            f"{lb(slings.check.tension)} on the worse leg ({tag}); two legs counted; they "
            f"squeeze the wall {lb(slings.thrust)}",
            rest="  ",
        )
    for link in plan.links:
        lines += _wrap(
            f"{link.mark} round the {link.by}: {lb(link.demand)} of "
            f"{whole_down(link.capacity)} lb, {link.why}",
            rest="  ",
        )
    if plan.slide > 0.0:
        lines += _wrap(f"Sloping top: a cleat above each sling for {lb(plan.slide)}", rest="  ")
    return lines


def _tilt(plan: LiftPlan, *, metric: bool) -> list[str]:
    lb, mark = partial(pounds, metric=metric), partial(tape, metric=metric)
    lines = [
        f"{'tilt':>5} {'line':>10} {'in gust':>10} {'foot up':>10} {'foot level':>10} "
        f"{'hook up':>11} {'in':>10}"
    ]
    for row in plan.tilt:
        if round(math.degrees(row.tilt)) not in _ROWS:
            continue
        still = "no lever" if row.head is None else lb(row.head)
        windy = "tag lines" if row.windy is None else lb(row.windy)
        lines.append(
            f"{math.degrees(row.tilt):>4.0f}d {still:>10} {windy:>10} {lb(row.foot_up):>10} "
            f"{lb(row.foot_out):>10} {mark(row.hook, sixteenths=2):>11} "
            f"{mark(row.toward_house, sixteenths=2):>10}"
        )
    return lines


def _foot(plan: LiftPlan, *, metric: bool) -> list[str]:
    lb = partial(pounds, metric=metric)
    lines = _wrap(
        f"Foot: kick-out {lb(plan.foot.thrust)} at {math.degrees(plan.foot.thrust_tilt):.0f} deg, "
        f"see-saw {lb(plan.foot.uplift)} up",
        rest="  ",
    )
    for link in plan.foot_links:
        lines += _wrap(
            f"  {link.link}: {lb(link.demand)} of {whole_down(link.capacity)} lb declared",
            rest="    ",
        )
    hands = plan.hands
    lines += _wrap(
        f"By hand: {lb(hands.start)} to start, {lb(hands.worst)} at "
        f"{math.degrees(hands.worst_tilt):.0f} deg: {hands.people} people at {plan.request.lift_each:.0f} lb "
        f"each; foot {lb(hands.foot.thrust)} level",
        rest="  ",
    )
    for rule in hands.rules:
        lines += _wrap(rule, first="  - ", rest="    ")
    return lines


def _machine(plan: LiftPlan, *, metric: bool) -> list[str]:
    mark = partial(tape, metric=metric)
    lines: list[str] = []
    if plan.path:
        worst = least_margin(plan.path)
        at = f"reach {mark(worst.reach, sixteenths=2)}, hook {mark(worst.height, sixteenths=2)}"
        if worst.capacity is None or worst.margin is None:
            said = f"OFF THE CHART at {math.degrees(worst.tilt):.0f} deg ({at}): no"
        else:
            said = (
                f"least margin {whole_down(worst.margin)} lb at {math.degrees(worst.tilt):.0f} deg ({at}): "
                f"{up(worst.load)} lb of {down(worst.capacity)} lb, the lower row of the chart"
            )
        lines += _wrap(f"Machine: {said}", rest="  ")
    if plan.request.line_distance is not None or plan.request.line_kv is not None:
        keep, source = power_line_distance(plan.request.line_kv)
        words = mark(keep) if math.isfinite(keep) else "what its owner says"
        lines += _wrap(f"Power line: keep {words} ({source})", rest="  ")
    return lines


def _signed(value: Inch, *, metric: bool) -> str:
    """Write a small signed length to the nearest sixteenth or millimetre."""
    if metric:
        return f"{value * 25.4:+.0f} mm"
    return f"{round(value * 16) / 16:+.4g} in"


def _feet(found: Plumb, *, metric: bool) -> list[str]:
    """Say which feet are let go and which are not; of a wall that reads plumb, none."""
    said, day = [], asked_gust(found.gust, metric=metric)
    if found.alike:
        said.append(
            "Every brace reads the same lean: hold line or laser against something known plumb first."
        )
    if not any(move.moved for move in found.moves):
        return [*said, "Nothing to move: every head reads plumb over the floor. No foot is let go."]
    if found.order:
        said.append(
            f"Let go one foot at a time, in this order: {', '.join(found.order)}. Fasten each again before the next; "
            f"only in gusts under its own clear-out. Gust of the day: {day}."
        )
    if found.stays:
        said.append(
            f"NOT let go: {', '.join(found.stays)}. With it loose the clear-out gust is under the gust of the day, "
            f"{day}: put a brace beside it first, or wait for less wind (--gust)."
        )
    return said


def plumb_text(job: Job, found: Plumb, *, metric: bool = False) -> str:
    """Write the answer of plumb readings.

    Args:
        job: the job.
        found: the answer.
        metric: millimetres.

    Returns:
        The text.
    """
    lb, mark = partial(pounds, metric=metric), partial(tape, metric=metric)
    lines = [
        f"{job.wall.name}: worst lean {found.worst_slope * 12:.3f} in per ft",
        *_wrap(
            f"The lean left adds {lb(found.lean_force)} level; the checks carry "
            f"{lb(found.allowed_lean_force)} for lean: {'within' if found.within else 'OVER'}",
        ),
        "",
        f"{'brace':<6} {'at':>11} {'lean':>10} {'bow':>10} {'foot':>10} {'length':>10} "
        f"{'turns':>6} {'loose':>8}",
    ]
    for move in found.moves:
        moved, longer = (
            "-" if value is None else _signed(value, metric=metric)
            for value in (move.foot_move, move.length_change)
        )
        turns = "-" if move.turns is None else f"{move.turns:+.1f}"
        loose = "-" if move.loose is None else gust(move.loose, metric=metric)
        lines.append(
            f"{move.mark[:6]:<6} {mark(move.x):>11} {_signed(move.lean, metric=metric):>10} "
            f"{_signed(move.bow, metric=metric):>10} {moved:>10} {longer:>10} {turns:>6} {loose:>8}"
        )
    lines += [
        "",
        *_wrap(
            "lean and bow + toward the braces; foot + away from the wall; length + longer; loose: clear-out gust while "
            "its foot is loose",
            rest="  ",
        ),
        *(line for words in _feet(found, metric=metric) for line in _wrap(words, rest="  ")),
    ]
    return "\n".join([*lines, *_closing()]) + "\n"
