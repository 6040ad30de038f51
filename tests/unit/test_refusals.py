"""What the parts refuse that no command lets through, each with the field and what is expected of it."""

from __future__ import annotations

import math

import pytest

import bracing
from bracing.check import check
from bracing.errors import InputError, MissingDataError
from bracing.job.brace import Brace, brace_faults
from bracing.job.lumber import dressed
from bracing.sources import SOURCES, cite
from bracing.stages.stages import stages as take_stages
from bracing.text.frame import frame_model
from bracing.units import angle, length, speed
from tests.small_walls import small_job


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (length, "12 ft 13 in"), (length, "3 ft 1/0 in"), (length, 4.0), (length, "9" * 400 + " ft"),
        (length, "1e999 ft"), (speed, True), (speed, -3.0), (speed, math.inf), (speed, math.nan), (speed, "fast"),
        (angle, True), (angle, math.inf), (angle, "steep"),
    ],
)  # fmt: skip
def test_what_is_no_quantity_is_refused_by_its_field(read, text):
    with pytest.raises(InputError) as caught:
        read(text, field="wall.something")
    assert caught.value.faults[0].field == "wall.something"


@pytest.mark.parametrize(("read", "value"), [(speed, 45), (speed, 45.0), (speed, "45"), (speed, " 45 mph ")])
def test_a_bare_number_is_a_gust_in_mph(read, value):
    assert read(value) == 45.0


@pytest.mark.parametrize("value", [45, 45.0, "45", "45 deg"])
def test_a_bare_number_is_an_angle_in_degrees(value):
    assert angle(value) == pytest.approx(math.pi / 4.0, rel=1e-12)


def test_a_source_or_a_size_nobody_knows_is_named_with_those_there_are():
    with pytest.raises(MissingDataError, match="NDZ"):
        cite("NDZ", "1.1")
    with pytest.raises(MissingDataError, match="7"):
        dressed(7)
    assert all(cite(key, "").strip() for key in SOURCES)


def test_a_wall_past_the_envelope_has_no_frame_model_and_no_stages():
    tall = small_job(height="40 ft")
    assert frame_model(check(tall, gust=30.0)) is None
    stages = take_stages(tall, gust=30.0)
    assert (stages.limit, stages.verdict, stages.matters_most, stages.hook_until) == (
        None,
        "engineer",
        None,
        None,
    )


def test_a_wall_without_braces_is_worth_nothing_and_keeps_its_hook():
    stages = take_stages(small_job(), gust=30.0)
    assert (stages.limit, stages.verdict, stages.matters_most, stages.hook_until) == (0.0, "over", None, None)


def test_every_public_name_is_there_and_no_other():
    assert set(bracing.__all__) <= set(dir(bracing))
    assert all(getattr(bracing, name) is not None for name in bracing.__all__)
    with pytest.raises(AttributeError, match="no_such_name"):
        bracing.no_such_name  # noqa: B018


# -- two braces in one place -------------------------------------------------------------------------------


def brace(mark, **of):
    return Brace(**{"stud_at": 112.0, "head": 72.0, "set_back": 96.0, "size": "2x6", "mark": mark} | of)


@pytest.mark.parametrize(
    ("of", "taken"),
    [
        ({}, True),
        ({"stud_at": 112.75}, True),  # taped within a stud of it: the same stud
        ({"head": 72.0 + 5.4}, True),  # a 2x6 is 5 1/2 in deep
        ({"head": 72.0 + 5.5}, False),
        ({"head": 72.0 - 5.5}, False),
        ({"head": 72.0 + 4.4, "size": "2x4"}, True),  # half of 5 1/2 and of 3 1/2: 4 1/2 in
        ({"head": 72.0 + 4.5, "size": "2x4"}, False),
        ({"lap_side": "right"}, False),
        ({"stud_at": 128.0}, False),
        ({"set_back": 60.0}, True),  # wherever the feet are, the heads are in one place
    ],
)
def test_two_sticks_are_not_in_one_place(of, taken):
    pair = (0, brace("B1")), (1, brace("B2", **of))
    assert [field for field, *_ in brace_faults(pair)] == ["brace[1].stud_at"] * taken
    assert [field for field, *_ in brace_faults(pair[::-1])] == ["brace[0].stud_at"] * taken
