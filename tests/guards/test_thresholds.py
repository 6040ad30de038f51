"""Every threshold people stand under, just inside, on it and just past it, as the manual states it."""

import math

import pytest

from bracing.chain.evaluate import Limits
from bracing.codes.gusts import clear_out_gust, clear_out_of, clear_out_part, people_may_stay
from bracing.job.brace import Brace
from bracing.job.envelope import beyond, warnings
from bracing.job.job import Job
from bracing.job.wall import Opening, Studs, Wall
from bracing.said import Kind, Quantity, Verdict
from bracing.text.page import Page
from bracing.text.quantities import written

HAIR = 0.01  # an inch or a mph past a limit that a person could have written


def level(*, length=288.0, height=120.0, spacing=16.0, openings=()):
    studs = Studs(spacing=spacing)
    return Wall(name="W", top=((0.0, height), (length, height)), studs=studs, openings=openings)


def at_angle(degrees, *, long=144.0):
    """A brace at an angle, on a wall of 12 ft."""
    across, up = (long * of(math.radians(degrees)) for of in (math.cos, math.sin))
    return Job(level(height=144.0), braces=(Brace(mark="B1", stud_at=144.0, head=up, set_back=across),))


def so_long(inches):
    """A brace at 45 degrees, on a wall of 20 ft."""
    each = inches / math.sqrt(2.0)
    return Job(level(height=240.0), braces=(Brace(mark="B1", stud_at=144.0, head=each, set_back=each),))


def headed(inches, *, top=((0.0, 144.0), (288.0, 144.0)), at=144.0):
    wall = Wall(name="W", top=top)
    return Job(wall, braces=(Brace(mark="B1", stud_at=at, head=inches, set_back=inches),))


def raked(low, high):
    return Job(Wall(name="W", top=((0.0, low), (288.0, high))))


def door(width):
    return Job(level(length=480.0, openings=(Opening(left=120.0, width=width, height=84.0),)))


RAKE = ((0.0, 144.0), (288.0, 240.0))
# docs/limits.md, "The envelope": what is inside, what is on the limit, what is past it; each side of a wall by itself.
ENVELOPE = {
    "lowest height": ("beyond-height", lambda x: Job(level(height=x)), 48.0, -HAIR),
    "greatest height": ("beyond-height", lambda x: Job(level(height=x)), 360.0, HAIR),
    "low end of a rake, left": ("beyond-height", lambda x: raked(x, 120.0), 48.0, -HAIR),
    "low end of a rake, right": ("beyond-height", lambda x: raked(120.0, x), 48.0, -HAIR),
    "high end of a rake": ("beyond-height", lambda x: raked(120.0, x), 360.0, HAIR),
    "length": ("beyond-length", lambda x: Job(level(length=x)), 1440.0, HAIR),
    "studs apart": ("beyond-spacing", lambda x: Job(level(spacing=x)), 24.0, HAIR),
    "opening": ("beyond-opening", door, 216.0, HAIR),
    "flat brace": ("beyond-angle", at_angle, 25.0, -HAIR),
    "steep brace": ("beyond-angle", at_angle, 65.0, HAIR),
    "long brace": ("beyond-brace-length", so_long, 288.0, HAIR),
    "low head": ("beyond-head", headed, 72.0, -HAIR),
    # The head is held against the wall where the brace stands: 168 in high a quarter of the way up from 144 to 240.
    "low head on a rake": ("beyond-head", lambda x: headed(x, top=RAKE, at=72.0), 84.0, -HAIR),
}  # fmt: skip


@pytest.mark.parametrize("name", ENVELOPE)
def test_the_envelope_ends_where_the_manual_says(name):
    said, made, limit, past = ENVELOPE[name]
    found = {step: {one.id for one in beyond(made(limit + step), 30.0)} for step in (-past, 0.0, past)}
    assert said not in found[-past]
    assert said not in found[0.0]  # on it is inside
    assert said in found[past]


@pytest.mark.parametrize("angle", [25.0, 65.0])
@pytest.mark.parametrize("long", range(100, 160))
def test_an_angle_at_the_limit_is_inside_whatever_the_last_bit_of_it_says(angle, long):
    assert "beyond-angle" not in {one.id for one in beyond(at_angle(angle, long=long), 30.0)}


# docs/judgement.md: warnings past 30 and 60 degrees, and under two thirds of the height.
FAIR = {
    "flat": ("flat-brace", at_angle, 30.0, -HAIR),
    "steep": ("steep-brace", at_angle, 60.0, HAIR),
    "low head": ("low-head", headed, 96.0, -HAIR),
}


@pytest.mark.parametrize("name", FAIR)
def test_warnings_begin_where_the_manual_says(name):
    said, made, limit, past = FAIR[name]
    found = {step: {one.id for one in warnings(made(limit + step))} for step in (-past, 0.0, past)}
    assert said not in found[-past]
    assert said not in found[0.0]
    assert said in found[past]


@pytest.mark.parametrize(("apart", "warned"), [(119.99, False), (120.0, False), (120.02, True)])
def test_braces_are_far_apart_past_ten_feet(apart, warned):
    braces = tuple(
        Brace(mark=mark, stud_at=at, head=90.0, set_back=90.0)
        for mark, at in (("B1", 40.0), ("B2", 40.0 + apart))
    )
    said = {one.id for one in warnings(Job(level(length=200.0), braces=braces))}
    assert ("braces-far-apart" in said) == warned


@pytest.mark.parametrize(("free", "warned"), [(47.99, False), (48.0, False), (48.02, True)])
def test_an_end_is_free_past_four_feet(free, warned):
    for ends in (("free-end-at-left", free, 10.0), ("free-end-at-right", 10.0, free)):
        word, left, right = ends
        brace = Brace(mark="B1", stud_at=left, head=90.0, set_back=90.0)
        said = {one.id for one in warnings(Job(level(length=left + right), braces=(brace,)))}
        assert (word in said) == warned


@pytest.mark.parametrize(("gust", "inside"), [(4.99, False), (5.0, True), (120.0, True), (120.01, False)])
def test_gusts_end_where_the_manual_says(gust, inside):
    assert ({one.id for one in beyond(Job(level()), gust)} == set()) == inside


def test_an_envelope_of_one_side_is_no_pardon_for_the_other():
    """3 ft 11 in at LEFT and 30 ft 1 in at the right: told as both."""
    (one,) = beyond(raked(47.0, 361.0), 30.0)
    told = dict(one.values)
    assert (told["low"].value, told["high"].value) == (47.0, 361.0)


# -- the clear-out gust ----------------------------------------------------------------------------------


# Worked in whole numbers, 17 x limit // 20: at 20, 40, 60, 80 and 100 mph 0.85 of it is whole, and a part a little
# less says another number; at 50 and 100 mph one of 0.86 does.
@pytest.mark.parametrize("limit", range(5, 121))
def test_the_clear_out_gust_is_seventeen_twentieths_of_the_limit(limit):
    assert clear_out_gust(float(limit), 400.0) == 17 * limit // 20
    assert clear_out_of(float(limit), 400.0) == 17 * limit // 20
    assert Limits(float(limit), 400.0).clear_out == 17 * limit // 20


def test_the_part_is_0_85():
    """docs/judgement.md; masonry practice braces for 40 mph and evacuates at 35, which is 0.875."""
    assert clear_out_part() == 0.85
    assert 35 / 40 > clear_out_part() > 33.5 / 40


# The limit gust as printed is what the clear-out gust is of: 41.9 is printed 41, of which 0.85 is 34.85.
@pytest.mark.parametrize(
    ("limit", "people", "out"),
    [
        (41.0, 400.0, 34), (41.999, 400.0, 34), (42.0, 400.0, 35), (40.0 - 1e-12, 400.0, 34), (39.999, 400.0, 33),
        (40.0, 34.0, 34), (40.0, 33.999, 33), (40.0, 34.001, 34), (40.0, 35.0, 34), (40.0, 0.9, 0), (0.9, 0.9, 0),
    ],
)  # fmt: skip
def test_limits_are_rounded_down_before_and_after(limit, people, out):
    assert clear_out_of(limit, people) == out


@pytest.mark.parametrize(
    ("clear_out", "gust", "stay"),
    [
        (26, 25.0, True), (26, 25.999, True), (26, 26.0, False), (26, 26.0 - 1e-12, False), (26, 26.001, False),
        (1, 0.0, True), (1, 1.0, False), (0, 0.0, False),
    ],
)  # fmt: skip
def test_people_are_out_at_the_clear_out_gust_and_not_past_it(clear_out, gust, stay):
    assert people_may_stay(clear_out, gust) is stay


# -- what is printed -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gust", "limit", "verdict"),
    [(39.9, 40, "within"), (40.0, 40, "within"), (40.1, 40, "over"), (40.9, 40, "over"), (41.0, 40, "over")],
)
def test_a_gust_is_within_a_limit_as_printed_and_at_it_and_over_past_it(gust, limit, verdict):
    assert Verdict.at(gust, limit) == verdict


@pytest.mark.parametrize(
    ("feet", "said"), [(13.0, "13 ft"), (13.01, "14 ft"), (13.5, "14 ft"), (13.99, "14 ft")]
)
def test_a_distance_people_keep_is_rounded_up(feet, said):
    assert written(Page(), Quantity(12.0 * feet, Kind.FEET_UP)) == said
