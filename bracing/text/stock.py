"""Every stick for one height and gust, as a table."""

from __future__ import annotations

import math

from bracing.cautions import CAUTIONS
from bracing.choosing import whole_down
from bracing.layout.sticks import StickRow, Sticks
from bracing.text.page import Page

NOTHING = 0.0


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
    rows = []
    for row in sticks.rows:
        force, lift = (page.force(each).split()[0] for each in (row.force, row.lift))
        rows.append([
            _name(row, page), row.made, f"{math.degrees(row.angle):.0f}", page.length(row.set_back), force,
            _down(row.push, page), _down(row.pull, page), lift, row.link, _reach(row, page),
        ])  # fmt: skip
    headers = ["stick", "with", "deg", "set-back", "needs", "push", "pull", "lift", "governs", "wall"]
    lines += page.table(headers, rows, align="llrrrrrrlr")
    if sticks.short:
        short = ", ".join(f"{stock.size} x {stock.length / 12.0:g} ft" for stock in sticks.short)
        lines += page.para(f"Too short to stand at 60 degrees or flatter: {short}.")
    lines += page.para(" ".join(CAUTIONS), hang=0)
    return "\n".join([*lines, "Next, how many and where:", *page.command(command)])


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
