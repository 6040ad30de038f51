"""Nails, screws or lags, joint by joint; and every stick for one height and gust, as tables."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bracing.choosing import whole_down
from bracing.codes.joints import YIELD_WORDS
from bracing.layout.sticks import StickRow, Sticks
from bracing.text.page import ON_ASKING, WIND_FROM, Page, Part
from bracing.work.joints import Choice, FastenerChoice, JointChoice
from bracing.work.parts import stick

NOTHING = 0.0
SHORTER_RANK = 50  # of a stick that reaches less than the same with more to it
FEW = 5  # fasteners said of a joint by default


def stock_page(sticks: Sticks, page: Page, *, command: str) -> str:
    """Write the sticks, by size and length.

    Args:
        sticks: the table.
        page: how it is written.
        command: the next command.
    """
    job, unit = sticks.job, "kN" if page.metric else "lb"
    every = page.length(sticks.every)
    lines = page.para(
        f"{job.wall.name}, {page.length(sticks.height)} high, a gust of {page.asked(sticks.gust)}: each stick as flat "
        f"as it reaches, forces along it [{unit}] where it stands for {every} of wall by itself."
    )
    long = "m" if page.metric else "ft"
    lines += page.para(
        "Longer and flatter takes less force and lifts less, but bows sooner; steeper saves room and lifts harder. "
        f"push and pull: what it may carry, with all the fasteners that fit; wall: the {long} of wall it may stand for."
    )
    rows, ranks = [], []
    best: dict[str, float] = {}
    for row in sticks.rows:
        name = _name(row, page)
        ranks.append(
            ON_ASKING if row.reach <= best.get(name, NOTHING) else SHORTER_RANK if best.get(name) else 0
        )
        best[name] = max(row.reach, best.get(name, NOTHING))
        force, lift = (page.force(each).split()[0] for each in (row.force, row.lift))
        rows.append([
            name, row.made, f"{math.degrees(row.angle):.0f}", page.length(row.set_back), force,
            _down(row.push, page), _down(row.pull, page), lift, row.link, _reach(row, page),
        ])  # fmt: skip
    headers = ["stick", "with", "deg", "set-back", "needs", "push", "pull", "lift", "governs", "wall"]
    head, *table = page.table(headers, rows, align="llrrrrrrlr")
    parts = [Part([*lines, head])]
    if len(table) == len(rows):
        words = "sticks that reach no wall, or no more"
        parts += [
            Part((line,), rank, words if rank else "sticks") for line, rank in zip(table, ranks, strict=True)
        ]
    else:
        parts.append(Part(table))
    if sticks.short:
        short = ", ".join(page.said(stick(stock.size, stock.length)) for stock in sticks.short)
        parts.append(Part(page.para(f"Too short to stand at 60 degrees or flatter: {short}.")))
    return page.screen(parts, [*page.cautions(), "Next, how many and where:", *page.command(command)])


def _name(row: StickRow, page: Page) -> str:
    return f"{row.size}, {page.length(row.stock)}" if page.metric else f"{row.size}x{row.stock / 12.0:g}"


def _reach(row: StickRow, page: Page) -> str:
    """The wall it may stand for, rounded down; 10 ft at the most."""
    long = row.reach * 0.0254 if page.metric else row.reach / 12.0
    return f"{whole_down(long * 10.0) / 10.0:.1f}" if row.reach > NOTHING else "none"


def _down(load: float, page: Page) -> str:
    """What it may carry, rounded down."""
    if page.metric:
        return f"{whole_down(load * 4.4482216152605 / 10.0) / 100.0:.2f}"
    return str(whole_down(load))


PULLED = {"withdrawal": "pulls out", "pull-through": "head sinks in"}
FOOT, FLAT = "brace to cleat", "flat"
NEAR_CUT = "The level cut is too near on a flat cleat: set the cleat on edge for more room."


def fasteners_page(result: FastenerChoice, page: Page, *, wall: str) -> str:
    """Write the comparison.

    Args:
        result: every joint with every usual fastener.
        page: how it is written.
        wall: the words that name the wall on the command line.
    """
    lines = page.para(f"{result.job.wall.name}: fasteners for a gust of {page.asked(result.gust)}")
    if result.beyond:
        return "\n".join(
            [*lines, *page.for_engineer(result.beyond, " No number is given."), *page.cautions()]
        )
    if not result.held:
        count = len(result.job.braces)
        words = "It has no braces on file" if not count else f"Its {count} braces do not hold it"
        lines += page.para(f"{words}, so that no force can be given to a joint.")
        return "\n".join(
            [*lines, "Next, what would do:", *page.command(f"bracing layout {wall} --gust {result.gust:g}")]
        )
    if result.as_if:
        lines += page.para(
            f"As they are, {', '.join(result.as_if)} count for nothing in push or in pull. Forces are "
            "shared out as if they had two anchored tie rows and enough structural screws."
        )
    lines += _in_words(result, page)
    end = ["", *page.cautions(), "Next:", *page.command(f"bracing check {wall} --gust {result.gust:g}")]
    if not page.whole:
        lines += page.para(
            "How many of any one of these in green wood, where it takes most (the rest: --all):"
        )
        for joint in result.joints:
            lines += _shortly(joint, page, result)
        return "\n".join([*lines, *end])
    unit = "N" if page.metric else "lb"
    lines += page.para(
        f"Below: what one may carry [{unit}] in shear, or in shear/pull; how many it takes of it alone; how "
        "it gives; how many fit driven straight, or in bored holes."
    )
    for joint in result.joints:
        lines += ["", *_joint(joint, page, lie=result.job.kit.cleat.lie)]
    return "\n".join([*lines, *end])


def _shortly(joint: JointChoice, page: Page, result: FastenerChoice) -> list[str]:
    """One joint in a sentence: how many of each that will do and has room, the fewest first."""
    if joint.unreckoned:
        return page.para(f"{joint.joint.upper()}: {page.said(joint.unreckoned)}.")
    green = [choice for choice in joint.choices if choice.moisture == "green"]
    fits = sorted((c for c in green if c.fits and c.needed), key=lambda c: c.needed or 0)
    shown = [_shown(choice) for choice in fits[:FEW]]
    words = ", ".join(shown[:-1]) + f" or {shown[-1]}" if len(shown) > 1 else "".join(shown)
    if not fits:
        words = "NOTHING DECLARED OR USUAL WILL DO" + (
            " for want of room" if any(c.needed for c in green) else ""
        )
    pull = f" and {page.force(joint.tension)} pulling out" if joint.tension > 0.0 else ""
    where = f" at {joint.mark}" if joint.mark else ""
    load = f"{page.force(joint.shear)} in shear{pull}"
    more = f" ({len(fits) - FEW} more will do)" if len(fits) > FEW else ""
    lines = page.para(f"{joint.joint.upper()}{where}, {load}, {page.said(joint.per or '')}: {words}{more}.")
    if joint.joint == FOOT and result.job.kit.cleat.lie == FLAT and not fits:
        lines += page.para(NEAR_CUT)
    if joint.note:
        lines += page.para(f"Mind: {page.said(joint.note)}.")
    return lines


def _shown(choice: Choice) -> str:
    bored = choice.fit is not None and (choice.needed or 0) > choice.fit and choice.kind != "lag"
    return f"{choice.needed} x {choice.fastener}{' bored' if bored else ''}"


def _in_words(result: FastenerChoice, page: Page) -> list[str]:
    pulled = [f"{j.joint} (wind from {_from(j.withdrawal_wind)})" for j in result.joints if j.withdrawal_wind]
    shear = [joint.joint for joint in result.joints if joint.withdrawal_wind is None]
    lines = []
    if pulled:
        weak = "Change the fastener or the detail: more of the same is the weak way."
        lines += page.para(f"DRAWN OUT along its length (withdrawal): {', '.join(pulled)}. {weak}")
    return lines + page.para(f"IN SHEAR: {', '.join(shear)}. There, count fasteners.") if shear else lines


def _from(direction: str | None) -> str:
    words = WIND_FROM[direction or "push"]
    return f"the {words}" if direction == "pull" else words


def _joint(joint: JointChoice, page: Page, *, lie: str) -> list[str]:
    if joint.unreckoned:
        return page.para(f"{joint.joint.upper()}: {page.said(joint.unreckoned)}.")
    where = f" at {joint.mark}" if joint.mark else ""
    pull = f" and {page.force(joint.tension)} pulling out" if joint.tension > 0.0 else ""
    lines = page.para(
        f"{joint.joint.upper()}{where}: {page.force(joint.shear)} in shear{pull}; number {page.said(joint.per or '')}."
    )
    if joint.note:
        lines += page.para(f"Mind: {page.said(joint.note)}.")
    green = [choice for choice in joint.choices if choice.moisture == "green"]
    dry = {choice.fastener: choice for choice in joint.choices if choice.moisture == "dry"}
    useful = [
        choice for choice in green if choice.needed is not None or dry[choice.fastener].needed is not None
    ]
    rows = [_row(choice, dry[choice.fastener], joint, page) for choice in useful]
    headers = ["fastener", "green", "need", "dry", "need", "gives by", "fit/bored"]
    if all(not row[-1] for row in rows):
        headers, rows = headers[:-1], [row[:-1] for row in rows]
    lines += page.table(headers, rows, align="lrrrrll"[: len(headers)])
    left_out = [choice for choice in green if choice not in useful]
    if left_out:
        words = "; ".join(f"{choice.fastener} ({_why_not(choice, page)})" for choice in left_out)
        lines += page.para(f"None will do of: {words}.")
    flat = joint.joint == FOOT and lie == FLAT
    return lines + _no_room(useful, page, flat_cleat=flat)


def _row(green: Choice, dry: Choice, joint: JointChoice, page: Page) -> list[str]:
    pulls = joint.withdrawal_wind is not None
    numbers = [cell for c in (green, dry) for cell in (_each(c, page, pulls=pulls), _count(c))]
    return [green.fastener, *numbers, _gives(green, page), _fit(green)]


def _each(choice: Choice, page: Page, *, pulls: bool) -> str:
    """What one holds: in shear, and in pull where that matters; rounded down."""
    shear = page.holds(choice.lateral)
    return f"{shear}/{page.holds(choice.axial)}" if pulls else shear


def _count(choice: Choice) -> str:
    return "-" if choice.needed is None else str(choice.needed)


def _fit(choice: Choice) -> str:
    if choice.fit is None or choice.fit_bored is None:
        return ""
    return str(choice.fit) if choice.fit == choice.fit_bored else f"{choice.fit}/{choice.fit_bored}"


def _gives(choice: Choice, page: Page) -> str:
    """How it gives, in a word or two."""
    mode = choice.governs
    return page.said(YIELD_WORDS[mode]) if mode in YIELD_WORDS else PULLED.get(mode, mode)


def _why_not(choice: Choice, page: Page) -> str:
    if choice.lateral <= 0.0 and choice.notes:
        return page.said(choice.notes[0])
    return _gives(choice, page)


def _no_room(useful: Sequence[Choice], page: Page, *, flat_cleat: bool) -> list[str]:
    """Say which need boring, and which have no room for the number needed."""
    never = [c.fastener for c in useful if c.needed is not None and not c.fits]
    bored = [
        c.fastener
        for c in useful
        if c.fits and c.fit is not None and c.needed is not None and c.needed > c.fit and c.kind != "lag"
    ]
    lines = page.para(f"Bore first, or they split the wood: {', '.join(bored)}.") if bored else []
    if never:
        lines += page.para(f"More than fit by the recommended distances, bored or not: {', '.join(never)}.")
    if never and flat_cleat:
        lines += page.para(NEAR_CUT)
    return lines
