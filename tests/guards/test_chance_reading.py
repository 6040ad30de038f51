"""What a chance is read from: medians of every part, the nights of a site, the wall under an outflow."""

import math

import numpy as np
import pytest
from attrs import evolve

from bracing.chance.answer import Weeks, tonight_of
from bracing.chance.scattered import held_until, scattered
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


# A gable of 40 ft on slender braces: with one gone its studs buckle under what lifts them at three times the limit
# gust, and not before.
GABLE = """
    edition = 2
    [wall]
    name = "Gable"
    length = "40 ft"
    height = "9 ft"
    pitch = "6/12"
    studs = { size = "2x6", spacing = "16 in", first = "0 in", species = "spruce-pine-fir", grade = "No.2" }
    layers = ["osb 7/16", "housewrap"]
    [wall.plate]
    fastener = "16d common"
    spacing = "8 in"
    state = "final"
    into_framing = true
    row_from_sheathed_edge = "0.75 in"
    extra = { fastener = "structural screw 0.22x5", at_each_brace = 6 }
    sheathing_laps = "plate"
    sheathing_fastener = "8d common"
    sheathing_spacing = "4 in"
    sheathing_field_spacing = "6 in"
    [wall.top_plate]
    end_nails = 3
    end_nail = "16d common"
    strap_at_brace_lb = 600
    spliced = true
    [floor]
    kind = "deck"
    deck = "osb 23/32"
    height_above_ground = "10 ft"
    [floor.joists]
    kind = "sawn"
    run = "along"
    spacing = "16 in"
    first = "0 in"
    size = "2x10"
    species = "spruce-pine-fir"
    grade = "No.2"
    span = "14 ft"
    [kit]
    species = "spruce-pine-fir"
    grade = "No.2"
    head = { joint = "lapped", fastener = "structural screw 0.22x3", bored = true }
    [kit.cleat]
    size = "2x6"
    lie = "edge"
    length = "36 in"
    sides = 2
    brace_fastener = "structural screw 0.22x3"
    floor_fastener = "structural screw 0.22x8"
    bored = true
    [kit.tie]
    fastener = "16d common"
    at_each_brace = 2
    diagonal_fasteners = 3
"""
UP = ((192, 138, 162), (176, 132, 180), (304, 132, 180), (336, 120, 162), (128, 138, 162), (368, 132, 180),
      (80, 138, 162), (400, 138, 162), (48, 120, 162), (432, 120, 162))  # fmt: skip


def gable(folder):
    braces = (
        f'''[[brace]]
        mark = "B{k}"
        stud_at = "{at} in"
        lap_side = "left"
        head = "{head} in"
        set_back = "{back} in"
        size = "2x6"
        ties = 1
        head_fasteners = 3
        cleat_fasteners = 4
        floor_fasteners = 4
        foot_on = "joist"
        '''
        for k, (at, head, back) in enumerate(UP, start=1)
    )
    path = folder / "gable.toml"
    path.write_text(GABLE + "".join(braces), encoding="utf-8")
    return read_job(path)


def first_gust(sides, way):
    """The gust at which the first link is at its median strength, the load as it is reckoned: sqrt((1 - s) / a)."""
    return math.sqrt(min((1.0 - link.steady) / link.rate for link in sides.links[way]))


@pytest.mark.parametrize("k", [1, 2, 4])
def test_a_brace_gone_before_the_wind_is_the_wall_without_it(tmp_path, k):
    """To a twentieth: what one tie row must hold goes by how many braces are on it, ten or nine."""
    job = gable(tmp_path)
    gone = scattered(job).gone[f"B{k + 1}"]
    out = scattered(evolve(job, braces=tuple(b for i, b in enumerate(job.braces) if i != k))).whole
    for way in ("push", "pull"):
        assert gone.links[way] is not None, "down in any wind"
        assert first_gust(gone, way) == pytest.approx(first_gust(out, way), rel=0.05)


def test_a_link_without_end_past_a_gust_holds_before_it():
    """It is past its strength at the last gust at which it held anything, and its line is drawn from those before."""
    found = held_until(
        np.array([[0.2, 0.5, 0.8, math.inf], [0.1, 0.2, 0.4, 0.9], [0.5, 1.5, math.inf, math.inf]])
    )
    assert found.tolist() == [[0.2, 0.5, 1.0, 1.0], [0.1, 0.2, 0.4, 0.9], [0.5, 1.5, 1.5, 1.5]]


@pytest.mark.parametrize(
    "row", [[math.inf] * 3, [0.0, 0.0, math.inf], [0.0, 0.3, math.inf], [0.1, math.nan, 0.2]]
)
def test_a_link_that_holds_nothing_once_it_is_asked_is_down(row):
    assert held_until(np.array([[0.1, 0.2, 0.3], row])) is None


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
