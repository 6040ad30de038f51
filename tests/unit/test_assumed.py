"""What nobody declared: each field's cost, and the short way it is worked out."""

import pytest

from bracing.chain.assumed import ASSUMPTIONS, at_usual, keeps_panel, places, undeclared
from bracing.chain.evaluate import limit_gust
from bracing.chain.model import build_model, with_job
from bracing.check import check
from bracing.job.fields import value_at, with_value
from bracing.reading.jobs import job_from_text

TEXT = """
[wall]
length = "20 ft"
height = "9 ft"
studs = { spacing = "24 in" }
[[wall.opening]]
left = "6 ft"
sill = "3 ft"
width = "3 ft"
height = "3 ft"
"""
BRACE = '[[brace]]\nmark = "B{k}"\nstud_at = "{at} ft"\nhead = "8 ft"\nset_back = "8 ft"\n'
BRACES = "".join(BRACE.format(k=k, at=at) for k, at in enumerate((2, 12, 18), start=1))


def test_fields_beside_the_panel_cost_the_same_with_the_panel_kept():
    job = job_from_text(TEXT + BRACES, "wall.toml")
    rows = undeclared(job)
    usual = at_usual(job, rows)
    model = build_model(usual)
    kept = [row for row in rows if keeps_panel(row)]
    assert len(kept) > 15
    moved = 0
    for row in kept:
        low = usual
        for path in places(job, row):
            low = with_value(low, path, value_at(job, path))
        whole = limit_gust(build_model(low))
        assert limit_gust(with_job(model, low)) == pytest.approx(whole, abs=1e-9)
        moved += whole != limit_gust(model)
    assert moved > 5


def test_a_row_that_changes_the_panel_is_never_taken_the_short_way():
    changes = {row.field for row in ASSUMPTIONS if not keeps_panel(row)}
    assert {
        "wall.studs.size",
        "wall.studs.spacing",
        "wall.moisture",
        "wall.layers",
        "wall.opening[].header",
    } <= changes
    assert {
        "wall.opening[].covered",
        "floor.height_above_ground",
        "floor.open_below",
        "site.exposure",
    } <= changes


def test_braces_on_studs_of_an_undeclared_spacing_are_checked():
    """The usual spacing has no stud at 2 ft; the low default, which the wall is checked with, has."""
    text = TEXT.replace('studs = { spacing = "24 in" }\n', "")
    result = check(job_from_text(text + BRACES, "wall.toml"), gust=20.0)
    cost = {each.field: each.effect for each in result.assumed}
    assert cost["wall.studs.spacing"] == 0.0
    assert max(cost.values()) > 0.0
