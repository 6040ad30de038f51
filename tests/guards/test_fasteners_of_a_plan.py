"""Where nobody declared a joint's fastener a plan takes one by what the joint needs, and by the work it is."""

from __future__ import annotations

import pytest
from attrs import evolve

from bracing.job.brace import JOINTS, JointId
from bracing.job.fasteners import fastener
from bracing.job.fields import with_value
from bracing.job.minutes import Minutes
from bracing.layout.fitting import proposed
from bracing.layout.plan import lay_out
from bracing.reading.jobs import job_from_text
from bracing.work.minutes import brace_minutes
from bracing.work.remedies import RemedyId, fastener_minutes, remedies, screw_for_plate
from tests.cli.running import WITHIN, run

BARE = """
[wall]
name = "Nobody declared its fasteners"
length = "{long} ft"
height = "{high} ft"
layers = ["osb 7/16"]
[floor]
room = "20 ft"
height_above_ground = "3 ft"
joists = {{ run = "away", spacing = "16 in" }}
"""
HEAD, CLEAT, FLOOR = JOINTS
NEAR = {"rel": 1e-12}


def bare(long=16, high=8):
    return job_from_text(BARE.format(long=long, high=high), "bare.toml")


def used(job):
    return job.kit.head.fastener, job.kit.cleat.brace_fastener, job.kit.cleat.floor_fastener


@pytest.mark.parametrize("joint", JOINTS)
def test_nails_lags_and_screws_of_three_diameters_are_tried(joint):
    made = [fastener(name) for name in proposed(bare(), joint)]
    assert len({one.diameter for one in made if "screw" in one.name}) >= 3
    assert any(one.kind == "lag" for one in made)
    on_edge = joint == FLOOR
    assert on_edge or any(
        one.kind == "nail" for one in made
    )  # no nail of the table goes through a cleat on edge


def test_plans_of_several_walls_take_several_kinds():
    """Low wind, a few nails do; high wind takes screws."""
    names = set()
    for long, high, gust in ((16, 8, 25.0), (20, 12, 40.0), (28, 9, 25.0), (24, 9, 25.0)):
        names |= {*used(lay_out(bare(long, high), gust=gust, budget=0.1).job)}
    kinds = {fastener(name).kind for name in names}
    assert len(kinds) >= 2
    assert len({fastener(name).diameter for name in names}) >= 3


def test_a_fastener_somebody_declared_is_taken_as_it_is():
    text = BARE.format(long=16, high=8)
    text += """[kit]
head = { joint = "lapped", fastener = "structural screw 0.22x3" }
[kit.cleat]
brace_fastener = "structural screw 0.22x3"
floor_fastener = "structural screw 0.22x8"
sides = 2
lie = "edge"
size = "2x6"
"""
    declared = job_from_text(text, "bare.toml")
    assert used(lay_out(declared, gust=25.0, budget=0.1).job) == used(declared)


def test_the_plan_written_down_checks_within(capsys, tmp_path):
    path = tmp_path / "bare.toml"
    path.write_text(BARE.format(long=20, high=12))
    laid = run(capsys, "layout", path, "--gust", 40, "--budget", "0.1", "--write", "--json")
    assert laid.status in WITHIN
    again = run(capsys, "check", path, "--gust", 40, "--json")
    assert again.status in WITHIN
    assert again.json["limit_gust_mph"] == laid.json["limit_gust_mph"]


def test_minutes_of_a_fastener_by_hand():
    """A screw of 0.22 in 0.75 minutes, of 0.25 in 0.75 x 0.25/0.22; a lag of 3/8 in 1.25 x 0.375/0.25; a nail 0.6."""
    job = bare()
    assert fastener_minutes(job, "structural screw 0.22x3") == pytest.approx(0.75, **NEAR)
    assert fastener_minutes(job, "structural screw 0.25x3") == pytest.approx(0.75 * 0.25 / 0.22, **NEAR)
    assert fastener_minutes(job, "lag 3/8x4") == pytest.approx(1.875, **NEAR)
    assert fastener_minutes(job, "10d common") == pytest.approx(0.6, **NEAR)
    own = evolve(job, kit=evolve(job.kit, minutes=Minutes(joint_nail=2.0)))
    assert fastener_minutes(own, "16d common") == pytest.approx(2.0, **NEAR)


def test_a_brace_with_two_nails_more_takes_so_much_longer():
    (brace, *_) = lay_out(bare(), gust=25.0, budget=0.1).job.braces
    job = bare()
    nailed = evolve(job, kit=evolve(job.kit, head=evolve(job.kit.head, fastener="10d common")))
    more = evolve(brace, head_fasteners=brace.head_fasteners + 2)
    assert brace_minutes(nailed, more) - brace_minutes(nailed, brace) == pytest.approx(1.2, abs=1e-9)


def test_a_t_is_never_bored_for_lag_by_lag():
    job = bare()
    with_t = evolve(
        job, braces=tuple(evolve(b, stiffener="T") for b in lay_out(job, gust=25.0, budget=0.1).job.braces)
    )
    assert not any(fastener(name).kind == "lag" for name in proposed(with_t, JointId.HEAD))


def test_a_thin_deck_takes_thinner_screws_beside_a_brace_than_framing_does():
    """What a thread takes in a thin panel goes with its diameter; deep in a joist thicker ones gain more than that."""
    job = bare()
    group = remedies()[RemedyId.PLATE_SCREWS].screw
    deck, framing = (
        fastener(screw_for_plate(with_value(job, "wall.plate.into_framing", into), group)) for into in (False, True)
    )  # fmt: skip
    assert deck.diameter < framing.diameter
