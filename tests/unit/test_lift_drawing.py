"""Pictures of a lift are written in each format, the same each time, and refuse what cannot be."""

from __future__ import annotations

import pytest

from bracing.drawing.graphs import draw_lift
from bracing.errors import InputError
from bracing.lift.links import LiftRequest
from bracing.lift.machine import Machine
from bracing.lift.plan import plan_lift
from bracing.reading.charts import chart_from_text
from bracing.reading.options import job_from_options

pytest.importorskip("matplotlib")


@pytest.fixture(scope="module")
def plan():
    job = job_from_options(length="24 ft", height="10 ft", opening=["8ft:sill 3ft:4ft x 4ft"])
    chart = chart_from_text("reach_ft,capacity_lb\n0,6000\n20,4000\n40,2000\n")
    return plan_lift(job, LiftRequest(machine=Machine("outside", 120.0, -36.0), chart=chart))


@pytest.mark.parametrize(("suffix", "start"), [(".svg", b"<?xml"), (".png", b"\x89PNG"), (".pdf", b"%PDF")])
def test_each_format_is_written(plan, tmp_path, suffix, start):
    files = draw_lift(plan, tmp_path / "new", suffix=suffix)
    assert [path.stem for path in files] == ["lift-force", "lift-hook", "lift-slings"]
    assert all(path.read_bytes().startswith(start) for path in files)


def test_the_same_answer_draws_the_same_bytes(plan, tmp_path):
    one, other = draw_lift(plan, tmp_path / "a"), draw_lift(plan, tmp_path / "b")
    assert [p.read_bytes() for p in one] == [p.read_bytes() for p in other]


def test_another_format_or_a_file_in_the_way_is_refused(plan, tmp_path):
    with pytest.raises(InputError, match="svg, png or pdf"):
        draw_lift(plan, tmp_path, suffix=".gif")
    blocked = tmp_path / "file"
    blocked.write_text("x")
    with pytest.raises(InputError, match="pictures"):
        draw_lift(plan, blocked)
