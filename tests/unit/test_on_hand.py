"""What is in the truck: what it reaches for, counted by hand, and the best layout it gives."""

from __future__ import annotations

import math
import re

import pytest
from attrs import evolve

from bracing.check import check
from bracing.errors import InputError, NoLayoutError
from bracing.layout.on_hand import best_on_hand, read_on_hand
from bracing.layout.plan import LayoutAsked, lay_out
from bracing.reading.jobs import job_from_text
from bracing.text.quantities import in_words
from bracing.work.parts import fasteners_needed
from tests.small_walls import small_job
from tests.wall_files import wall_text

# Four braces, each with 8 + 8 short screws, 8 of 8 in into the floor, 8 of 5 in through the plate beside it; each has a
# second stud, 139.5 in long, nailed on in two rows of 12.
BRACED = job_from_text(wall_text(ties=0), "wall.toml")
SHORT, LONG, IN_PLATE = "structural screw 0.22x3", "structural screw 0.22x8", "structural screw 0.22x5"
ASKED = LayoutAsked(others=False)


ALL = "99 2x4x16, 99 2x6x16, 999 screws, 999 nails"  # beside what is asked about, of which the least counts


def reaches(text, job=BRACED, *, beside=ALL):
    truck = read_on_hand(f"{text}, {beside}" if beside else text)
    return truck.reaches(evolve(job, kit=evolve(job.kit, stock=truck.stock)))


@pytest.mark.parametrize(
    ("what", "needed"),
    [
        ("screws", 4 * 32),
        (SHORT, 4 * 16),
        (LONG, 4 * 8),
        (IN_PLATE, 4 * 8),
        ("nails", 4 * 2 * 12),
        ("lags", 0),
    ],
)
def test_fasteners_are_counted_by_name_or_by_what_crews_call_them(what, needed):
    assert reaches(f"{needed} {what}")
    assert needed == 0 or not reaches(f"{needed - 1} {what}")


def test_what_is_not_named_is_not_there_and_each_name_limits_for_itself():
    sticks = "99 2x4x16, 99 2x6x16"
    assert reaches(f"{sticks}, 999 screws, 999 nails", beside="")
    assert not reaches(f"{sticks}, 999 screws", beside="")  # nails of the second studs
    assert not reaches(f"{sticks}, 999 nails, 999 {SHORT}", beside="")
    assert not reaches("99 2x6x16, 999 screws, 999 nails", beside="")  # nothing for the cleats
    assert reaches(f"64 {SHORT}")
    assert not reaches(f"64 {SHORT}, 31 {LONG}")
    assert not reaches(f"10 {LONG}, 500 screws")


def test_anchors_in_a_slab_are_no_screws():
    slab = evolve(BRACED, floor=evolve(BRACED.floor, kind="slab"))
    assert reaches("64 screws", slab)
    assert not reaches("63 screws", slab)


def test_tie_rows_come_out_of_what_the_cleats_leave():
    """Eight cleats of 48 1/4 in with the cut, three from a 16 ft stick; a row is run past both ends to a diagonal.

    From 2 ft 8 in to 21 ft 4 in and a foot past each end it is 20 ft 8 in, and the diagonals are 3/4 of a brace,
    12 ft 8 3/4 in, each: 39 ft 9 in, said as 40 ft. Two sticks of three cleats leave 47 1/4 in each, one of two 95 1/2.
    """
    tied = evolve(BRACED, braces=tuple(evolve(brace, ties=1, stud_doubled=False) for brace in BRACED.braces))
    cleats, row = 3, 40.0 * 12.0
    left = 2.0 * (192.0 - 3 * 48.25) + (192.0 - 2 * 48.25)
    sticks = cleats + math.ceil((row - left) / 192.0)
    beside = "4 2x6x14, 999 screws, 999 nails"
    assert reaches(f"{sticks} 2x4x16", tied, beside=beside)
    assert not reaches(f"{sticks - 1} 2x4x16", tied, beside=beside)
    untied = evolve(BRACED, braces=tuple(evolve(b, ties=0) for b in tied.braces))
    assert reaches(f"{cleats} 2x4x16", untied, beside=beside)
    assert not reaches(f"{sticks} 2x4x16, 3 2x6x14", tied, beside="999 screws, 999 nails")


@pytest.mark.parametrize("text", ["3 2x4x16 and some", "x", "12 2x4x", "5 bolts", "2 wood stoves"])
def test_a_part_that_is_nothing_is_refused(text):
    with pytest.raises(InputError) as caught:
        read_on_hand(text)
    assert caught.value.faults[0].field == "--on-hand"


# -- the best layout -------------------------------------------------------------------------------------

SMALL = small_job(ties=0)
TRUCK = "6 2x6x12, 60 screws, 100 nails"


def best(job, text=TRUCK, budget=0.2, **asked):
    return best_on_hand(job, read_on_hand(text), asked=ASKED, budget=budget, **asked)


@pytest.fixture(scope="module")
def found():
    return best(SMALL)


def screws(job):
    """The screws a layout takes; nails in the ends of blocks are counted by themselves."""
    return sum(count for name, count in fasteners_needed(job).items() if "screw" in name)


def test_the_best_takes_no_more_than_is_in_the_truck(found):
    assert screws(found.job) <= 60
    assert sum(stick.size == "2x6" for stick in found.cutting.sticks) <= 6
    assert not found.cutting.missing or all(piece.size != "2x6" for piece in found.cutting.missing)


def test_the_best_is_within_by_check_at_its_own_limit(found):
    again = check(found.job, gust=math.floor(found.result.limit), effects=False)
    assert again.verdict == "within"
    assert again.limit == pytest.approx(found.result.limit, rel=1e-9)


def test_no_layout_with_it_stands_at_the_next_gust(found):
    truck = read_on_hand(TRUCK)
    job = evolve(SMALL, kit=evolve(SMALL.kit, stock=truck.stock))
    with pytest.raises(NoLayoutError):
        lay_out(
            job,
            gust=math.floor(found.result.limit) + 1,
            budget=0.2,
            asked=evolve(ASKED, on_hand=truck.reaches),
        )


@pytest.fixture(scope="module")
def fewer():
    return best(SMALL, "30 screws, 100 nails")


def test_fewer_screws_give_no_higher_a_limit(found, fewer):
    """Sticks nobody counted are no limit; two screws a joint is the least, so 30 are for no more than five braces."""
    assert screws(fewer.job) <= 30
    assert len(fewer.job.braces) <= 5
    assert fewer.result.limit <= found.result.limit


def test_with_thunderstorms_about_the_best_is_held_to_the_wind_of_one():
    """An outflow blows as hard near the ground as at 33 ft, and 58 mph at the least."""
    storm = best(small_job(sides=1), "6 2x6x12, 300 screws", budget=1.0, thunderstorm=True)
    gust = math.floor(storm.result.limit)
    assert gust >= 58
    assert check(storm.job, gust=gust, thunderstorm=True, effects=False).limit == storm.result.limit
    assert check(storm.job, gust=gust, effects=False).limit > storm.result.limit


def test_what_stands_in_no_thunderstorm_is_not_given_for_one(fewer):
    assert fewer.result.limit < 58.0
    with pytest.raises(NoLayoutError) as caught:
        best(SMALL, "30 screws, 100 nails", thunderstorm=True)
    assert "at 58 mph" in in_words(caught.value.why)


def test_too_little_for_anything_says_so_and_what_stops_the_least():
    with pytest.raises(NoLayoutError) as caught:
        best(SMALL, "4 2x6x12, 5 screws, 100 nails")
    why = in_words(caught.value.why)
    assert re.search(r"does not reach for any layout that stands: .*more than is on hand", why)


def test_a_wall_for_an_engineer_is_not_blamed_on_the_truck():
    with pytest.raises(NoLayoutError) as caught:
        best(small_job(length="130 ft"))
    assert "up to 120 ft" in in_words(caught.value.why)
    assert caught.value.trials == 0


class Stop:
    """Interrupts at a gust tried, as a crew lead's Ctrl-C does."""

    def __init__(self, at):
        self.at, self.told = at, []

    def __call__(self, said):
        self.told.append(said)
        if len(self.told) == self.at:
            raise KeyboardInterrupt


def test_an_interrupt_gives_the_best_so_far():
    stop = Stop(2)
    found = best(SMALL, progress=stop)
    assert found.interrupted
    gusts = [float(in_words(said).split()[-2]) for said in stop.told]
    assert gusts[0] <= found.result.limit < gusts[1]
    assert check(found.job, gust=gusts[0], effects=False).verdict == "within"


def test_an_interrupt_before_anything_was_found_is_one():
    with pytest.raises(KeyboardInterrupt):
        best(SMALL, progress=Stop(1))
