"""Writes the two tables of docs/theory/chance.md that are worked out: `python -m tests.house.chance_page`.

What each judgement does to the chance of an example, one changed at a time; and what is reckoned of the walls that a
wind took down, in the gust told of each.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from functools import _lru_cache_wrapper

import numpy as np

from bracing.chain.forces import DIRECTIONS
from bracing.chance.answer import ChanceResult, chance, chance_of_wall
from bracing.reading.jobs import read_job
from bracing.sources import shipped
from bracing.text.chance import two_digits
from tests.cli.running import EXAMPLES
from tests.house.tree import ROOT
from tests.published.test_failure_cases import BY_ID, WALLS, checked

PAGE = ROOT / "docs" / "theory" / "chance.md"
TODAY = date(2026, 3, 6)
GUST, DESIGN = 45.0, "short-wall-braced"
EFFECTS = "| one thing changed | line goes at the limit gust | one joint missed, there | line goes tonight, 45 mph |"
CASES = "| wall | wind told | limit gust | line goes then, of 100 | half of them gone at | one in twenty gone at |"

# Block, key, other value, and how it is said.
CHANGES: tuple[tuple[str, str, float, str], ...] = (
    ("crew", "joints", 0.20, "0.20 shared by the joints of a crew"),
    ("crew", "joints", 0.0, "nothing shared by a crew"),
    ("correlation", "kind", 0.20, "0.20 shared by a kind"),
    ("board", "shared", 1.0, "all of a joint's scatter the board's"),
    ("board", "shared", 0.0, "none of it the board's"),
    ("lateral_scatter", "lateral", 0.30, "fasteners across scatter by 0.30"),
    ("screw_scatter", "screw", 0.36, "screws and lags drawn scatter by 0.36, as nails"),
    ("tonight_scatter", "scatter", 0.15, "σ of tonight's peak 0.15"),
    ("tonight_scatter", "scatter", 0.30, "σ of tonight's peak 0.30"),
    ("missed", "joint", 0.10, "one joint in ten missed"),
)


def forget() -> None:
    """Drop all that was worked out from a table."""
    for name, module in list(sys.modules.items()):
        if name == "bracing" or name.startswith("bracing."):
            for one in list(vars(module).values()):
                if one is not shipped and isinstance(
                    one, _lru_cache_wrapper
                ):  # a proxy of a library may not be asked
                    one.cache_clear()


@contextmanager
def changed(block: str, key: str, value: float) -> Iterator[None]:
    """Have another value in the table of chances for a while."""
    table = shipped("chance")[block]
    before = table[key]
    table[key] = value
    try:
        forget()
        yield
    finally:
        table[key] = before
        forget()


def asked() -> ChanceResult:
    """The chance of the example."""
    return chance(read_job(EXAMPLES / f"{DESIGN}.toml"), today=TODAY, forecast=GUST)


def effects() -> list[str]:
    """Rows of what each judgement does."""
    found = asked()
    assert found.figures is not None
    assert found.line_tonight is not None
    limit = float(found.check.limit_whole or 0)
    curve = found.curves[found.gusts.index(int(limit))]
    shares = (curve.line, curve.missed, found.line_tonight)
    rows = [_row("as it is", *(share.chance for share in shares))]
    for words, key in (("every mean strength 15% higher", "low"), ("every mean strength 15% lower", "high")):
        rows.append(_row(words, *(getattr(share, key) for share in shares)))
    for block, key, value, words in CHANGES:
        with changed(block, key, value):
            found = asked()
            assert found.figures is not None
            assert found.line_tonight is not None
            figures = found.figures
            line, missed = (figures.counted_at(limit, name) for name in ("line", "missed"))
            rows.append(_row(words, line, missed, found.line_tonight.chance))
    return rows


def _row(words: str, *shares: float) -> str:
    return f"| {words} | {' | '.join(map(two_digits, shares))} |"


def cases() -> list[str]:
    """Rows of the walls that came down."""
    rows = []
    for case in WALLS:
        wind = float(BY_ID[case]["wind_mph"])
        found = chance_of_wall(checked(case))
        limit = f"{found.check.limit_whole or 0} mph"
        if found.figures is None:
            rows.append(f"| {case} | {wind:.0f} mph | {limit} | no chance: it can move | any | any |")
            continue
        gone = two_digits(found.figures.counted_at(wind, "line"))
        lines = np.stack([found.figures.taken[way].line for way in DIRECTIONS])
        half, early = (float(np.quantile(lines, part, axis=1).min()) for part in (0.5, 0.05))
        rows.append(f"| {case} | {wind:.0f} mph | {limit} | {gone} | {half:.0f} mph | {early:.0f} mph |")
    return rows


def page() -> str:
    """The page with its tables as they are worked out now."""
    text = PAGE.read_text(encoding="utf-8")
    for head, rows in ((EFFECTS, effects()), (CASES, cases())):
        before, _, rest = text.partition(head)
        assert rest, f"{PAGE.name} has lost its table: {head}"
        lines = rest.split("\n")
        after = next(k for k, line in enumerate(lines) if k and not line.startswith("|"))
        ruled = "|" + "---|" * (head.count("|") - 1)
        text = before + "\n".join([head, ruled, *rows, *lines[after:]])
    return text


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
