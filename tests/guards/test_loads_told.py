"""What stands on a wall from above is asked of a wall that is up, read as people say it, and told on its page."""

from __future__ import annotations

import pytest

from bracing.errors import InputError
from bracing.reading.interview import Answers, asked
from bracing.reading.jobs import job_from_text
from bracing.reading.loads import load
from bracing.reading.questions import TEMPLATES, values_of
from bracing.reading.writing import wall_text
from bracing.site.sums import worked
from bracing.site.walks import noted
from bracing.storm.forecast import utc_now
from tests.cli.running import run, said
from tests.guards.test_above import load as load_text
from tests.guards.test_above import wall

BRACE = "18 ft, head 6 ft, back 6 ft, 2x6"
TOLD = {
    "6 trusses, 24 ft, 4/12, 80 lb, ground brace": {
        "kind": "trusses", "count": 6, "span": 288.0, "pitch": 4.0 / 12.0, "weight": 80.0, "tied_to": "ground brace",
    },
    "A truss, 80 lb each, 24' span, 4 in 12, tied to this wall": {
        "kind": "trusses", "count": 1, "span": 288.0, "weight": 80.0, "tied_to": "this wall",
    },
    "12 rafters, 28 ft, 6/12, 40 lb, joists nailed": {"kind": "rafters", "count": 12, "joists_nailed": True,
                                                     "tied_to": "unknown"},
    "bundle, 500 lb, at 9 ft": {"kind": "bundle on the plate", "weight": 500.0, "at": 108.0},
    "bundle leaning, 400 lb, at 9 ft, foot out 2 ft, touches 6 ft": {
        "kind": "bundle leaned", "at": 108.0, "foot_out": 24.0, "touches": 72.0,
    },
    "2 men, at 4 ft": {"kind": "person on the plate", "count": 2, "at": 48.0},
}  # fmt: skip


def keys_asked(**texts):
    return [question.key for question in asked(Answers({**TEMPLATES["level"], "more": "yes", **texts}))]


@pytest.mark.parametrize("text", TOLD)
def test_it_is_read_as_people_say_it(text):
    values = values_of({**TEMPLATES["level"], "braces": BRACE, "loads": text})
    (made,) = job_from_text(wall_text(values), "wall.toml").wall.above
    for key, value in TOLD[text].items():
        got = getattr(made, key)
        assert got == (pytest.approx(value, abs=1e-9) if isinstance(value, float) else value)


@pytest.mark.parametrize(
    "text",
    [
        "a crane, at 9 ft",
        "6 trusses, 24 ft, 4/12",
        "bundle, 500 lb",
        "trusses, 24 ft, 4/12, 80 lb, the sky",
    ],
)
def test_what_it_cannot_do_without_is_asked_for_in_one_line(text):
    with pytest.raises(InputError) as found:
        load(text)
    (fault,) = found.value.faults
    assert (fault.field, fault.value) == ("wall.load", text)
    assert "such as" in fault.expected


def test_it_is_asked_only_where_braces_are_up():
    assert "loads" not in keys_asked()
    assert "loads" in keys_asked(braces=BRACE)


@pytest.mark.parametrize(
    ("above", "below", "is_asked"),
    [
        ("3 ft", "", False),
        ("second storey", "", True),
        ("10 ft", "no", True),
        ("10 ft", "yes", False),
        ("", "", False),
    ],
)
def test_the_storey_is_asked_of_a_floor_over_one(above, below, is_asked):
    assert ("storey" in keys_asked(above=above, below=below)) == is_asked


@pytest.mark.parametrize(("answer", "found"), [("yes", "done"), ("no", "unknown"), ("", "unknown")])
def test_only_yes_is_done(answer, found):
    texts = {**TEMPLATES["level"], "above": "second storey", "below": "no", "storey": answer}
    assert job_from_text(wall_text(values_of(texts)), "wall.toml").floor.storey_below == found


def test_the_page_for_the_crew_and_the_page_at_the_wall_tell_it(capsys, tmp_path):
    path, page = tmp_path / "wall.toml", tmp_path / "wall.html"
    path.write_text(wall(load_text(count=6, tied_to="ground brace")), encoding="utf-8")
    run(capsys, "sheet", path, "--gust", "15", "--budget", "0", "-o", page)
    words = (
        "Counted on it from above, as declared: 6 trusses, 80 lb each, 24'-0\" from wall to wall, tied to: ground "
        "brace."
    )
    assert words in said(page.read_text(encoding="utf-8").replace("&#39;", "'").replace("&#34;", '"'))
    assert words in worked(path, noted(tmp_path, (path,), utc_now())).told.lists["told"]
    path.write_text(wall(), encoding="utf-8")
    run(capsys, "sheet", path, "--gust", "15", "--budget", "0", "--overwrite", "-o", page)
    assert "Counted on it from above" not in page.read_text(encoding="utf-8")
