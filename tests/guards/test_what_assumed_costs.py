"""What nobody declared is listed with its low value, its usual value and what that costs, as measured.

Exposure and the height of the floor were listed at 0 mph, since no usual value was set for them: they cost up to 12.
"""

from __future__ import annotations

import re

import pytest

from bracing.job.fields import LOW, place_at, places
from bracing.job.job import RECORD, Job
from tests.cli.running import EXAMPLES, run, said

KITCHEN = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
LINES = {
    "site.exposure": 'exposure = "C"\n', "floor.height_above_ground": 'height_above_ground = "3 ft"\n',
    "floor.open_below": "open_below = false\n", "wall.layers": 'layers = ["osb 7/16", "housewrap"]\n',
    "wall.plate.spacing": 'spacing = "12 in"\nstate', "kit.head.bored": ", bored = true }\ncleat",
}  # fmt: skip
LEFT = {"wall.plate.spacing": "state", "kit.head.bored": " }\ncleat"}


def test_every_field_that_is_assumed_has_a_low_and_a_usual_value():
    rows = {place.path: place.field for place in places(Job) if place.field.metadata[LOW] is not None}
    assert len(rows) > 50
    nowhere = {
        "wall.load[].at"
    }  # no one place of a row of rafters is the usual one: what it costs is not said
    assert {path for path, one in rows.items() if one.metadata[LOW].usual is None} == nowhere
    same = {path for path, one in rows.items() if one.metadata[LOW].usual == one.default} - nowhere
    assert {path for path in same if not path.startswith(RECORD)} == {
        "wall.opening[].covered", "wall.top_plate.strap_at_brace_lb", "floor.kind", "floor.deck", "floor.joists.kind",
        "floor.panel_nails.fastener", "site.kzt", "kit.cleat.size", "kit.cleat.lie",
    }  # fmt: skip


@pytest.mark.parametrize("field", LINES)
def test_what_is_left_undeclared_is_listed_with_what_it_costs(capsys, tmp_path, field):
    """The effect is what the limit of this wall loses: all else of it is declared, so the two can be compared."""
    path = tmp_path / "wall.toml"
    assert LINES[field] in KITCHEN
    path.write_text(KITCHEN.replace(LINES[field], LEFT.get(field, ""), 1), encoding="utf-8")
    answer = run(capsys, "check", path, "--json").json
    (row,) = (one for one in answer["assumed"] if one["field"] == field)
    usual = place_at(Job, field).field.metadata[LOW].usual
    assert row["usual"] == (list(usual) if isinstance(usual, tuple) else usual)
    assert row["value"] != row["usual"]
    assert row["effect_mph"] is not None
    if field in ("site.exposure", "floor.height_above_ground"):
        assert row["effect_mph"] >= 3
    listed = said(run(capsys, "check", path, "--assumed").out)
    assert re.search(rf"{row['effect_mph']:g} mph {re.escape(field)} = .* \(usual ", listed)


def test_a_floor_nobody_knows_the_height_of_is_lower_than_any_told(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    limits = []
    for high in ('"3 ft"', '"10 ft"', None):
        line = "" if high is None else f"height_above_ground = {high}\n"
        path.write_text(KITCHEN.replace('height_above_ground = "3 ft"\n', line), encoding="utf-8")
        limits.append(run(capsys, "check", path, "--json").json["limit_gust_mph"])
    assert limits == sorted(limits, reverse=True)
    assert limits[-1] < limits[0]
