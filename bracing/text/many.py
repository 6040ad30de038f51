"""A list of walls in a few lines: how many came out how, and where the results are."""

from __future__ import annotations

from pathlib import Path

from bracing.job.job import NO_BRACES
from bracing.many.rows import Counts
from bracing.results import caution_text
from bracing.stages.on_file import verdict_rank
from bracing.text.page import Page


def list_page(counts: Counts, target: Path, page: Page) -> str:
    """Write how many rows came out how.

    Args:
        counts: how many.
        target: the file of results.
        page: how it is written.
    """
    before = f", {counts.before} of them done before" if counts.before else ""
    before += f", {counts.again} done again: what they were made of has changed" if counts.again else ""
    worst_first = sorted(counts.verdicts.items(), key=lambda item: (verdict_rank(item[0]), item[0]))
    each = ", ".join(f"{count} {verdict}" for verdict, count in worst_first) or "none"
    lines = []
    if counts.without:
        lines += page.para(f"{NO_BRACES}: {counts.without} of the walls, each so named in the results.")
    lines += page.para(f"{counts.rows} rows{before}: {each}.")
    lines += page.para(f"Each with its clear-out gust and what gives first: {target}")
    return "\n".join([*lines, *page.para(caution_text(), hang=0)])
