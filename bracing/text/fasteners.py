"""Nails, screws or lags, joint by joint: what one carries green and dry, how many it takes, which pull."""

from __future__ import annotations

from collections.abc import Sequence

from bracing.cautions import CAUTIONS
from bracing.text.page import WIND_FROM, Page
from bracing.work.choices import Choice, FastenerChoice, JointChoice

GIVES = {
    "Im": "wood crushes",
    "Is": "wood crushes",
    "II": "turns over",
    "IIIm": "bends once",
    "IIIs": "bends once",
    "IV": "bends twice",
    "withdrawal": "pulls out",
    "pull-through": "head sinks in",
}
FOOT, FLAT = "brace to cleat", "flat"


def fasteners_page(result: FastenerChoice, page: Page, *, wall: str) -> str:
    """Write the comparison.

    Args:
        result: every joint with every usual fastener.
        page: how it is written.
        wall: the words that name the wall on the command line.
    """
    lines = page.para(f"{result.job.wall.name}: fasteners for a gust of {page.asked(result.gust)}")
    if result.beyond:
        lines += page.para("For an ENGINEER: this lies outside what the tool covers. No number is given.")
        lines += [line for why in result.beyond for line in page.para(f"- {why}")]
        return "\n".join([*lines, *page.para(" ".join(CAUTIONS), hang=0)])
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
    unit = "N" if page.metric else "lb"
    lines += page.para(
        f"Below: what one may carry [{unit}] in shear, or in shear/pull; how many it takes of it alone; how "
        "it gives; how many fit driven straight, or in bored holes."
    )
    for joint in result.joints:
        lines += ["", *_joint(joint, page, lie=result.job.kit.cleat.lie)]
    lines += ["", *page.para(" ".join(CAUTIONS), hang=0)]
    return "\n".join([*lines, "Next:", *page.command(f"bracing check {wall} --gust {result.gust:g}")])


def _in_words(result: FastenerChoice, page: Page) -> list[str]:
    pulled = [joint for joint in result.joints if joint.withdrawal_wind is not None]
    shear = [joint.joint for joint in result.joints if joint.withdrawal_wind is None]
    lines = [
        line
        for joint in pulled
        for line in page.para(
            f"IN WITHDRAWAL: {joint.joint}, wind from {_from(joint.withdrawal_wind)}. Change the fastener "
            "or the detail: more of the same is the weak way."
        )
    ]
    return lines + page.para(f"IN SHEAR: {', '.join(shear)}. There, count fasteners.") if shear else lines


def _from(direction: str | None) -> str:
    words = WIND_FROM[direction or "push"]
    return f"the {words}" if direction == "pull" else words


def _joint(joint: JointChoice, page: Page, *, lie: str) -> list[str]:
    if joint.unreckoned:
        return page.para(f"{joint.joint.upper()}: {joint.unreckoned}.")
    where = f" at {joint.mark}" if joint.mark else ""
    pull = f" and {page.force(joint.tension)} pulling out" if joint.tension > 0.0 else ""
    lines = page.para(
        f"{joint.joint.upper()}{where}: {page.force(joint.shear)} in shear{pull}; number {joint.per}."
    )
    if joint.note:
        lines += page.para(f"Mind: {joint.note}.")
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
        words = "; ".join(f"{choice.fastener} ({_why_not(choice)})" for choice in left_out)
        lines += page.para(f"None will do of: {words}.")
    flat = joint.joint == FOOT and lie == FLAT
    return lines + _no_room(useful, page, flat_cleat=flat)


def _row(green: Choice, dry: Choice, joint: JointChoice, page: Page) -> list[str]:
    pulls = joint.withdrawal_wind is not None
    numbers = [cell for c in (green, dry) for cell in (_each(c, page, pulls=pulls), _count(c))]
    return [green.fastener, *numbers, GIVES.get(green.governs, green.governs), _fit(green)]


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


def _why_not(choice: Choice) -> str:
    if choice.lateral <= 0.0 and choice.notes:
        return choice.notes[0]
    return GIVES.get(choice.governs, choice.governs)


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
        lines += page.para("The level cut is too near on a flat cleat: set the cleat on edge for more room.")
    return lines
