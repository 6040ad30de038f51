"""`bracing pull` on a screen: each test in a line, what it changes, and what it is not for."""

from __future__ import annotations

from bracing.pull.answer import PullResult
from bracing.said import Kind, Quantity, Said
from bracing.text.check import first_lines
from bracing.text.page import Page


def pull_page(result: PullResult, page: Page, *, wall: str) -> str:
    """Write the pull tests of a wall.

    Args:
        result: what they come to.
        page: how it is written.
        wall: the words that name the wall in the next command.
    """
    job = result.job
    lines = page.para(f"{job.wall.name}: {job.state}.")
    lines += first_lines(job, page)
    if not result.tests:
        lines += page.para(page.said(Said("pull-none")))
    elif result.limit is None or result.by_tables is None:
        lines += page.para(page.said(Said("pull-limits-none")))
    else:
        limit, tables = (Quantity(float(each), Kind.GUST) for each in (result.limit, result.by_tables))
        lines += page.para(page.said(Said("pull-limits", limit=limit, tables=tables)))
    for one in result.tests:
        lines += page.para(page.said(one.told))
    lines += page.minds(tuple(said for one in result.tests for said in one.minds))
    lines += page.para(page.said(Said("pull-what-for")), hang=0)
    lines += page.cautions()
    return "\n".join([*lines, "Next, link by link:", *page.command(f"bracing check {wall} --links")])
