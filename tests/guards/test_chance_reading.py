"""What a chance is read from: medians of every part, the nights of a site, the wall under an outflow."""

import math

import numpy as np
import pytest
from attrs import evolve

from bracing.chance.answer import Weeks, tonight_of
from bracing.chance.scattered import scattered
from bracing.codes.basis import IN_USE
from bracing.codes.chance import nightly_rate
from bracing.codes.joints import Joint, Ply
from bracing.codes.medians import Medians, reduction_of
from bracing.job.fasteners import fastener
from bracing.job.job import Night
from bracing.job.lumber import section
from bracing.reading.jobs import read_job
from tests.approx import printed
from tests.cli.running import EXAMPLES

WALL = EXAMPLES / "short-wall-braced.toml"
STUD, PANEL, PLATE = Ply("wood", 3.5, 0.42), Ply("panel", 0.4375, 0.5), Ply("wood", 1.5, 0.42)
READ = (20.0,) * 15 + (30.0,) * 4 + (40.0,)


def fresh(**of):
    return Medians(**of)


@pytest.mark.parametrize(
    ("mode", "Rd"), [("Im", "4"), ("Is", "4"), ("II", "3.6"), ("IIIm", "3.2"), ("IV", "3.2")]
)
def test_each_yield_mode_has_its_own_reduction_taken_out(mode, Rd):
    """NDS table 12.3.1B of a lag 3/8, root 0.265 in, along the grain: 4, 3.6 and 3.2."""
    joint = Joint(fastener("lag 3/8x4"), (PLATE, STUD), "dry")
    assert reduction_of(joint, mode) == printed(Rd)


def test_a_sheathing_nail_is_drawn_evener_than_another():
    """COV 0.20 through a panel and 0.36 else: medians are the same mean over the root of 1 + COV squared."""
    one = fastener("8d common")
    found = []
    for side in (PANEL, PLATE):
        joint = Joint(one, (side, STUD), "dry")
        found.append(fresh().fastener(joint).withdrawal / IN_USE.fastener(joint).withdrawal)
    assert found[0] == pytest.approx(5.0 / 1.6 / math.sqrt(1.0 + 0.20**2), rel=1e-9)
    assert found[1] == pytest.approx(5.0 / 1.6 / math.sqrt(1.0 + 0.36**2), rel=1e-9)


def test_a_nail_driven_green_keeps_all_of_it_until_it_dries():
    joint = Joint(fastener("16d common"), (PLATE, STUD), "green")
    dried, green = (fresh(dried=dried).fastener(joint).withdrawal for dried in (True, False))
    assert dried == pytest.approx(0.25 * green, rel=1e-9)
    screw = Joint(fastener("structural screw 0.22x5"), (PLATE, STUD), "green")
    assert fresh(dried=False).fastener(screw).withdrawal == fresh().fastener(screw).withdrawal


def test_a_slender_brace_counts_for_what_it_carries():
    values = fresh().lumber("spruce-pine-fir", "No.2", "2x4", wet=True)
    assert fresh().member(section("2x4"), values).most_slender == math.inf
    assert IN_USE.member(section("2x4"), values).most_slender < 80.0


def test_a_joint_scatters_by_the_fasteners_it_has():
    job = read_job(WALL)
    links = scattered(job).whole.links["push"]
    heads = [link for link in links if link.link == "head joint"]
    assert [link.fasteners for link in heads] == [brace.head_fasteners for brace in job.braces]
    assert all(
        link.scatter == pytest.approx(0.20 * math.sqrt(0.5 + 0.5 / link.fasteners), rel=1e-12)
        for link in heads
    )


def test_a_wall_with_a_brace_gone_is_read_anew():
    walls = scattered(read_job(WALL))
    least = [
        min((1.0 - link.steady) / link.rate for link in sides.links["push"] or ())
        for sides in (walls.whole, *walls.gone.values())
    ]
    assert min(least) == least[-1] < 0.6 * least[0]
    assert all(each < least[0] for each in least[1:])


def test_an_outflow_blows_otherwise():
    job = read_job(WALL)
    plain, outflow = (scattered(job, thunderstorm=storm).whole.links["push"] for storm in (False, True))
    assert {link.name for link in plain} == {link.name for link in outflow}
    assert any(a.rate != b.rate for a, b in zip(plain, outflow, strict=True))


def test_nights_read_at_the_site_count_where_the_formula_counts_too_few():
    """Of twenty nights five passed 30 mph or met it and one 40; at 60 mph, over the yearly gust, the formula stands."""
    weeks = Weeks(21, 115.0, READ)
    rates = weeks.rate(np.array([30.0, 40.0, 45.0, 60.0]))
    formula = nightly_rate(np.array([30.0, 40.0, 45.0, 60.0]), weeks.fifty)
    assert rates[:2].tolist() == [0.25, 0.05]
    assert (rates[2:] == formula[2:]).all()
    assert Weeks(21, 115.0).rate(30.0) == formula[0] < 0.25


@pytest.mark.parametrize(("gust", "count"), [(32.0, None), (33.0, 31), (37.0, 48)])
def test_no_night_in_so_many_is_told_under_the_monthly_gust(gust, count):
    """0.36 of 91 mph is 32.8: 37 mph is one night in 48, as worked out from the peaks of ASCE 7 C26.5."""
    assert Weeks(21, 115.0).one_night_in(gust) == count


def test_twenty_nights_that_agree_are_no_certainty():
    job = read_job(WALL)
    site = evolve(job.site, nights=tuple(Night(30.0, 24.0) for _ in range(20)))
    night = tonight_of(evolve(job, site=site), 45.0)
    assert (night.scatter, night.nights) == (0.05, 20)
    assert night.median == pytest.approx(36.0, rel=1e-12)
