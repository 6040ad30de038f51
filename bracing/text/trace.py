"""The sums that govern a wall as text: a sentence, then each sum on its own lines with its clause in the margin."""

from __future__ import annotations

from bracing.check import CheckResult
from bracing.text.check import first_lines, nothing_words
from bracing.text.page import Page
from bracing.text.quantities import comes_to
from bracing.trace.answer import Trace
from bracing.trace.steps import Step

IN_US_UNITS = (
    "The sums are in the units their clauses are printed in, pounds, inches and miles an hour, for only so do their "
    "constants come out; under each stands what it comes to in metric units."
)


def trace_page(result: CheckResult, trace: Trace | None, page: Page) -> str:
    """Write the trace of a wall.

    Args:
        result: the wall checked.
        trace: its trace; None beyond the envelope.
        page: how wide it is written.
    """
    lines = page.para(f"{result.job.wall.name}: {result.job.state}. Trace of the sums.")
    lines += first_lines(result.job, page)
    if trace is None:
        lines += page.para("For an ENGINEER: this lies outside what the tool covers. No sums are given.")
        lines += [line for why in result.beyond for line in page.para(f"- {page.said(why)}")]
        return "\n".join([*lines, *page.cautions()])
    lines += page.para(
        'Forces "from the frame" are of the whole wall on its braces; the rest comes out the same on a hand '
        f"calculator. Sums at {page.asked(trace.gust)} unless a line says otherwise; the governing link of every kind, "
        "lowest gust first."
    )
    if page.metric:
        lines += page.para(f"{IN_US_UNITS} The gust in them is {trace.gust:.5g}.")
    lines += ["", "Wind", *_sums(trace.wind, page)]
    for traced in trace.links:
        lines += ["", *page.para(traced.sentence)]
        lines += page.para(traced.link.reason, indent=2) if traced.link.reason else []
        lines += _sums(traced.steps, page)
    for words in nothing_words(trace.nothing, page, trace.loose):
        lines += ["", *page.para(f"{words[:1].upper()}{words[1:]}.")]
    if trace.untouched:
        lines += [
            "",
            *page.para(f"Not brought to its limit inside the envelope of use: {', '.join(trace.untouched)}."),
        ]
    return "\n".join([*lines, "", *page.cautions()])


def _sums(steps: tuple[Step, ...], page: Page) -> list[str]:
    lines = []
    for step in steps:
        clause = f"  [{step.source}]" if step.source else ""
        lines += page.as_is(f"{step.what}{clause}", indent=2)
        lines += page.as_is(f"{step.sum} = {step.shown}", indent=6)
        metric = comes_to(step.value, step.unit) if page.metric else ""
        lines += page.as_is(f"which is {metric}", indent=6) if metric else []
    return lines
