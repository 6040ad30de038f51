"""A pull test worked by hand (docs/hand/pull.md) holds the program, number by number."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bracing.codes.chance import spread_of_next
from bracing.codes.pulls import as_deep_as, counted, tolerance_factor
from bracing.job.pulls import Lever, PullTest
from bracing.pull.answer import pulled
from bracing.reading.jobs import job_from_text
from tests.approx import printed
from tests.cli.running import EXAMPLES
from tests.guards.test_pull import TEST

PAGE = Path("docs/hand/pull.md").read_text(encoding="utf-8")
ROWS = [
    [float(cell) for cell in row]
    for row in re.findall(r"^\| (\d+) \| (\d) \| (\d+) \| (\d+) \| ([\d.]+) \|$", PAGE, re.MULTILINE)
]


@pytest.fixture(scope="module")
def found():
    test = PullTest(
        name="T1", fastener="structural screw 0.22x5", into="joist", peaks=tuple(row[2] for row in ROWS),
        boards=tuple(int(row[1]) for row in ROWS), ends=("drawn",) * 10, division=5.0,
        lever=Lever(40.0, 8.0, 6.0, 20.0), driven=0.24, pulled=0.24,
    )  # fmt: skip
    return counted(test, "structural screw", green=True)


def test_what_each_screw_felt(found):
    assert len(ROWS) == 10
    assert [found.test.pull(k) for k in range(10)] == [row[3] for row in ROWS]
    assert sum(row[3] for row in ROWS) == 5985.0
    assert float(found.mean) == printed("598.5")


def test_the_low_end_by_hand(found):
    assert sum(row[4] for row in ROWS) == printed(
        "63.90209", within=5e-5, because="ten logarithms to five digits"
    )
    assert float(found.s) == 0.15
    assert float(found.k) == printed("2.385")
    assert tolerance_factor(6) < float(found.k) < tolerance_factor(5)
    assert float(found.low_end) == printed("416.7")


def test_both_routes_by_hand(found):
    assert [float(each) for each in found.routes] == [printed("191.5"), printed("149.6")]
    assert float(found.allowed) == printed("149.6")


def test_beside_the_tables_by_hand():
    text = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8") + TEST
    joint = pulled(job_from_text(text, "wall.toml")).tests[0].joints[0]
    assert joint.holding == printed("2.78125")
    assert float(joint.table) == printed("344.5")
    assert joint.cap == printed("516.8", within=0.1, because="1.5 of 344.5 rounded")
    assert float(joint.counts) == printed("149.6")
    assert "344.5 lb" in PAGE


@pytest.mark.parametrize(("deep", "holds"), [(0.5, 50.0), (1.0, 100.0), (2.0, 100.0)])
def test_a_fastener_deeper_than_it_was_pulled_holds_what_it_held(deep, holds):
    """Half as deep holds half; how much more it holds deeper nobody pulled."""
    assert as_deep_as(100.0, deep, 1.0) == holds


@pytest.mark.parametrize(("n", "t"), [(3, 2.920), (5, 2.132), (10, 1.833), (30, 1.699)])
def test_the_next_pull_by_the_printed_table_of_t(n, t):
    """Student's t of 95% at n - 1 degrees of freedom, as printed everywhere; 1.645 where the spread is known."""
    assert spread_of_next(0.1, n) == pytest.approx(0.1 * (1.0 + 1.0 / n) ** 0.5 * t / 1.6449, rel=4e-4)
