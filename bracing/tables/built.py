"""What a walk found, and what it does to the limit gust."""

from __future__ import annotations

from attrs import evolve

from bracing.cautions import caution_text
from bracing.check import CheckResult, check
from bracing.job import Job
from bracing.tables.page import Page
from bracing.walk import Walk, planned_braces


def built_page(walk: Walk, as_built: Job, page: Page) -> str:
    """Write what a walk found.

    Args:
        walk: what was found.
        as_built: the wall as the file now gives it.
        page: how it is written.
    """
    built = as_built.built
    assert built is not None
    asked = planned_braces(walk.job)
    differ = len({found.mark for found in built.found})
    plan = check(evolve(walk.job, braces=tuple(walk.plan[b.mark] for b in asked)), effects=False)
    found = check(as_built, effects=False)
    lines = page.para(f"{as_built.wall.name}: {as_built.state}, {built.when}, by {built.by}.")
    lines += _limits(plan, found, page)
    count = f"{differ} of {len(asked)} braces differ from the plan" if differ else "every brace is as planned"
    lines += page.para(f"{count[0].upper()}{count[1:]}.")
    lines += [line for one in built.found for line in page.para(f"- {one.mark}: {one.what}")]
    lines += page.para(caution_text(), hang=0)
    return "\n".join(
        [*lines, "Next, the forecast:", *page.command(f"bracing storm {as_built.file} --gust 45")]
    )


def _limits(plan: CheckResult, found: CheckResult, page: Page) -> list[str]:
    if found.limit is None or found.clear_out is None:
        return page.para("For an ENGINEER as it stands: " + "; ".join(found.beyond))
    lines = page.para(f"CLEAR OUT before a forecast gust of {page.gust(found.clear_out)}.")
    planned = "" if plan.limit is None else f" As planned it would be {page.gust(plan.limit)}."
    return lines + page.para(f"Limit gust as built: {page.gust(found.limit)}.{planned}")
