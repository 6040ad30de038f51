"""The chance of a wall, on one screen: clear-out and limit first, then chances of a hundred, each with its range."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bracing.chance.answer import LEFT_OUT, ChanceResult, Curve, Share
from bracing.chance.mends import Mend, Mends
from bracing.said import Kind, Quantity, Said
from bracing.text.check import first_lines
from bracing.text.page import Page, Part

ROOM = 20  # columns of what a row is of
COLUMN = 15


def chance_page(result: ChanceResult, page: Page, *, bought: Mends | None = None) -> str:
    """Write the chances of a wall.

    Args:
        result: the answer.
        page: how it is written.
        bought: what mends buy; None where nobody asked.
    """
    return page.screen(
        [
            Part([*_limits(result, page), *first_lines(result.job, page)]),
            *(Part(lines) for lines in _figures(result, page)),
            *([] if bought is None else [Part(_mends(result, bought, page))]),
            Part(page.para(page.said(left_out_said()))),
        ],
        page.cautions(),
    )


def short_range(share: Share) -> str:
    """Write a chance with its range, and alone where both ends are written the same.

    Args:
        share: the chance.
    """
    alone = two_digits(share.chance)
    return alone if two_digits(share.low) == two_digits(share.high) == alone else ranged(share)


def _limits(result: ChanceResult, page: Page) -> list[str]:
    title = page.para(f"{result.job.wall.name}: how likely it is, beside its limits.")
    return [*title, *page.para(page.said(limits_said(result)))]


def limits_said(result: ChanceResult) -> Said:
    """Say the limits of a wall, which stand before every chance of it.

    Args:
        result: the answer.
    """
    limit, clear = result.check.limit_whole, result.check.clear_out
    if limit is None or clear is None:
        return Said("chance-no-limits")
    return Said("chance-limits-first", clear=Quantity(clear, Kind.GUST), limit=Quantity(limit, Kind.GUST))


def left_out_said() -> Said:
    """Say what no chance counts."""
    return Said("chance-left-out", what=LEFT_OUT)


def alt_said(result: ChanceResult) -> Said:
    """Say what the curves show at the limit gust, for those who cannot see them.

    Args:
        result: the answer; it has figures.
    """
    limit = result.check.limit_whole or 0
    figures = result.figures
    assert figures is not None
    line, missed = (figures.counted_at(float(limit), name) for name in ("line", "missed"))
    return Said(
        "chance-alt", limit=Quantity(limit, Kind.GUST), line=two_digits(line), missed=two_digits(missed)
    )


def _figures(result: ChanceResult, page: Page) -> list[list[str]]:
    if result.figures is None:
        return [page.para(page.said(Said("chance-no-figure", why=result.why_not)))]
    parts = [chance_table(result, page), page.para(page.said(Said("chance-ranges")))]
    if result.matters_most is not None:
        parts.append(page.para(page.said(Said("chance-gone-is", mark=result.matters_most))))
    parts += [lines for lines in (_tonight(result, page), _weeks(result, page)) if lines]
    pulled = [
        Said(
            "chance-pulled", name=one.test.name, pulls=len(one.test.counted), links=many,
            mean=Quantity(one.mean, Kind.STRENGTH), scatter=f"{one.scatter:.2f}",
        )
        for one, many in result.pulled
    ]  # fmt: skip
    if pulled:
        parts.append(page.para(" ".join(map(page.said, pulled))))
    if result.why_not:
        parts.append(page.para(page.said(Said("chance-not-given", why=result.why_not))))
    return parts


def chance_table(result: ChanceResult, page: Page) -> list[str]:
    """Write the chances at each gust, a row an event, two of them never without a space between.

    Args:
        result: the answer; it has figures.
        page: how it is written.
    """
    unit = page.gust(0.0).split()[-1]
    heads = (
        page.said(Said("chance-of-hundred", unit=unit)),
        *(page.gust(gust).split()[0] for gust in result.gusts),
    )
    rows: list[tuple[Said, Callable[[Curve], Share]]] = [
        (Said("chance-first"), lambda curve: curve.first),
        (Said("chance-line"), lambda curve: curve.line),
    ]
    mark = result.matters_most
    if mark is not None:
        rows.append((Said("chance-gone", mark=mark), lambda curve: curve.gone[mark]))
    rows.append((Said("chance-missed"), lambda curve: curve.missed))
    body = [[page.said(words), *(short_range(of(curve)) for curve in result.curves)] for words, of in rows]
    lines = (heads, *body)
    wide = [max(COLUMN, *(len(cells[k]) + 1 for cells in lines)) for k in range(1, len(heads))]
    if page.width < ROOM + sum(wide):
        return page.table(heads, body, align="l" + "r" * len(result.gusts))
    return [_row(cells, wide) for cells in lines]


def _row(cells: Sequence[str], wide: Sequence[int]) -> str:
    """The first cell, and each other at the right of its column, which has a space to spare."""
    figures = (f"{cell:>{width}}" for cell, width in zip(cells[1:], wide, strict=True))
    return (f"{cells[0]:<{ROOM}}" + "".join(figures)).rstrip()


def _tonight(result: ChanceResult, page: Page) -> list[str]:
    night, line, missed = result.tonight, result.line_tonight, result.missed_tonight
    if night is None or line is None or missed is None:
        return []
    out = result.check.clear_out or 0
    passes = tuple(
        Said(
            "chance-passes", gust=Quantity(gust, Kind.GUST), share=two_digits(float(night.over(float(gust))))
        )
        for gust in dict.fromkeys((out, result.check.limit_whole or 0))
        if gust
    )
    words = Said(
        "chance-tonight", gust=Quantity(night.forecast, Kind.ASKED), passes=passes, line=short_range(line),
        missed=short_range(missed),
    )  # fmt: skip
    own = [Said("chance-own-nights", count=night.nights)] if night.nights else []
    return [text for said in (words, *own) for text in page.para(page.said(said))]


def _weeks(result: ChanceResult, page: Page) -> list[str]:
    weeks, line, missed = result.weeks, result.line_in_weeks, result.missed_in_weeks
    if weeks is None or line is None or missed is None:
        return []
    out, limit = float(result.check.clear_out or 0), float(result.check.limit_whole or 0)
    least = page.said(Said("chance-at-least"))
    said = [
        Said(
            "chance-weeks", nights=weeks.nights, speed=Quantity(weeks.design_speed, Kind.ASKED),
            least=least if weeks.at_least(limit) else "", line=short_range(line), missed=short_range(missed),
        )
    ]  # fmt: skip
    for gust in dict.fromkeys((out, limit)):
        count = weeks.one_night_in(gust)
        if count is not None:
            more = least if weeks.at_least(gust) else ""
            said.append(Said("chance-one-night", gust=Quantity(gust, Kind.GUST), least=more, count=count))
    return page.para(" ".join(map(page.said, said)))


def _mends(result: ChanceResult, bought: Mends, page: Page) -> list[str]:
    if result.line_tonight is None or result.missed_tonight is None:
        return []
    now = Mend((), None, result.check.limit_whole, result.line_tonight, result.missed_tonight)
    every = [("as it stands", now), *((f"{k}. rung", rung) for k, rung in enumerate(bought.rungs, start=1))]
    every += [(name, one) for name, one in (("one brace more", bought.brace), ("a walk", bought.walk)) if one]
    rows = [
        [name, "" if one.limit is None else page.gust(one.limit),
         "" if one.line is None else short_range(one.line), "" if one.missed is None else short_range(one.missed),
         "" if one.minutes is None else f"{one.minutes:.0f}"]
        for name, one in every
    ]  # fmt: skip
    lines = page.para(page.said(Said("chance-mends")))
    lines += page.table(("", "limit", "line goes", "joints missed", "min for two"), rows, align="lrrrr")
    for name, one in every[1:]:
        lines += page.para(f"{name}: {'; '.join(map(page.said, one.done))}", indent=1)
    lines += page.para(page.said(Said("chance-typed")))
    if bought.why_not and result.tonight is not None:
        gust = Quantity(result.tonight.forecast, Kind.ASKED)
        lines += page.para(page.said(Said("chance-mends-over", gust=gust, why=bought.why_not)))
    return lines


def two_digits(share: float) -> str:
    """Write a chance of a hundred with two digits; under 0.1 and over 99 no more than that.

    Args:
        share: the chance [-].

    Example:
        >>> [two_digits(share) for share in (0.0004, 0.018, 0.104, 0.996, 0.0449)]
        ['<0.1', '1.8', '10', '>99', '4.5']
    """
    percent = 100.0 * share
    if percent < 0.1:
        return "<0.1"
    if percent > 99.0:
        return ">99"
    return f"{percent:.1f}" if percent < 9.95 else f"{percent:.0f}"


def ranged(share: Share) -> str:
    """Write a chance with its range.

    Args:
        share: the chance.

    Example:
        >>> ranged(Share(0.17, 0.10, 0.27, (0.168, 0.172)))
        '17 (10-27)'
    """
    return f"{two_digits(share.chance)} ({two_digits(share.low)}-{two_digits(share.high)})"
