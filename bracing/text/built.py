"""What a walk found, and what it does to the limit gust."""

from __future__ import annotations

from bracing.cautions import caution_text
from bracing.stages.as_built import BuiltResult
from bracing.text.page import Page


def built_page(result: BuiltResult, page: Page, *, wall: str) -> str:
    """Write what a walk found.

    Args:
        result: the wall as found, beside its plan.
        page: how it is written.
        wall: the words that name the wall in the next command.
    """
    built, job = result.built, result.found.job
    lines = page.para(f"{job.wall.name}: {job.state}, {built.when}, by {built.by}.")
    lines += _limits(result, page)
    braces = f"{result.differ} of {result.asked} braces"
    said = f"{braces} differ from the plan." if result.differ else "Every brace is as planned."
    lines += page.para(said)
    lines += [line for one in built.found for line in page.para(f"- {one.mark}: {one.what}")]
    lines += page.para(caution_text(), hang=0)
    return "\n".join([*lines, "Next, the forecast:", *page.command(f"bracing storm {wall} --gust 45")])


def _limits(result: BuiltResult, page: Page) -> list[str]:
    found, plan = result.found, result.plan
    if found.limit is None or found.clear_out is None:
        return page.para("For an ENGINEER as it stands: " + "; ".join(found.beyond))
    lines = page.para(f"CLEAR OUT before a forecast gust of {page.gust(found.clear_out)}.")
    planned = "" if plan.limit is None else f" As planned it would be {page.gust(plan.limit)}."
    return lines + page.para(f"Limit gust as built: {page.gust(found.limit)}.{planned}")
