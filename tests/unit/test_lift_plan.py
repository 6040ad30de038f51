"""A lift put together: attachments, foot, slings, machine, the day, and what nobody declared."""

from __future__ import annotations

import json
import math

import pytest
from attrs import evolve

from bracing.chain.materials import Materials
from bracing.chain.wall import header_end
from bracing.errors import InputError
from bracing.job.wall import Opening
from bracing.lift.day import day_plan
from bracing.lift.hung import heaviest_gravity, weigh
from bracing.lift.links import FootRequest, LiftRequest, foot_holds, pick_links, slide
from bracing.lift.machine import Machine
from bracing.lift.plan import body_of, plan_lift
from bracing.reading.charts import chart_from_text
from bracing.reading.jobs import job_from_text
from bracing.text.lift import lift_page, weight_page
from bracing.text.page import Page
from bracing.text.quantities import in_words
from bracing.units import PSF_PER_PSI

TEXT = """
[wall]
name = "Level"
length = "32 ft"
height = "10 ft"
studs = { size = "2x6", spacing = "16 in", species = "hem-fir", grade = "No.2" }
layers = ["osb 7/16", "housewrap"]
moisture = "dry"
[floor]
height_above_ground = "3 ft"
"""
JOB = job_from_text(TEXT, "level.toml")
ROWS = [f"{r},{h},{c}" for r, c in ((0, 9000), (20, 6000), (40, 3000)) for h in (0, 60)]
CHART = chart_from_text("\n".join(["reach_ft,height_ft,capacity_lb", *ROWS]))


@pytest.fixture(scope="module")
def plan():
    return plan_lift(JOB, LiftRequest())


def test_the_head_takes_about_half_and_the_rigging_all_and_a_quarter(plan):
    assert plan.head_force == pytest.approx(plan.weight.weight / 2.0, rel=0.05)
    assert plan.head_force == pytest.approx(plan.weight.weight * plan.weight.z_cg / 120.0, rel=1e-6)
    assert plan.rigged == pytest.approx(1.25 * plan.weight.weight, rel=1e-12)


def test_wind_on_the_body_against_a_hand_sum():
    """32 x 10 ft, 13 ft above ground: q = 0.00256 x 0.85 V^2, G Cf at B/s = 3.2, raised 0.05 s."""
    body = body_of(JOB, weigh(JOB)[0], 120.0)
    q = 0.00256 * 0.849 / PSF_PER_PSI
    low, high = 0.85 * 1.3 * q * 384 * 120, 0.85 * 1.8 * q * 384 * 120
    assert low < body.wind_force_per_mph2 < high
    assert body.wind_moment_per_mph2 == pytest.approx(body.wind_force_per_mph2 * 66.0, rel=1e-9)


def test_without_a_gust_there_is_no_verdict_but_over_and_with_one_there_is(plan):
    assert (plan.over != (), plan.verdict) == (True, "over")  # nothing is declared at the foot
    held = plan_lift(JOB, LiftRequest(foot=FootRequest(straps=6, strap_lb=2000.0)))
    assert (held.over, held.verdict) == ((), None)
    assert plan.gust == plan.gusts.limit
    windy = plan_lift(JOB, LiftRequest(gust=40.0))
    assert windy.verdict == "over"
    assert any("gust 40" in line for line in in_words(windy.over))


def test_nothing_declared_holds_the_foot_and_that_is_said(plan):
    assert any("nothing is declared against it" in line for line in in_words(plan.over))
    assert any("NO-GO" in line for line in in_words(day_plan(plan).go))


def test_everything_declared_is_within():
    request = LiftRequest(
        gust=10.0,
        pick_lb=3000.0,
        sling_lb=3000.0,
        tag_pull=500.0,
        foot=FootRequest(straps=6, strap_lb=400.0),
        machine=Machine("outside", 120.0, -36.0, rigging=200.0),
        chart=CHART,
    )
    found = plan_lift(JOB, request)
    assert found.over == ()
    assert found.verdict == "within"
    assert all(point.margin > 0.0 for point in found.path)


def test_a_machine_out_of_reach_is_off_the_chart():
    request = LiftRequest(machine=Machine("outside", 420.0, -36.0), chart=CHART)
    found = plan_lift(JOB, request)
    assert any("off its chart at 0" in line for line in in_words(found.over))


def test_a_plate_attachment_counts_zero_and_a_declared_one_counts():
    found = plan_lift(JOB, LiftRequest(by="plate"))
    assert all(link.capacity == 0.0 and not link.within for link in found.links)
    declared = pick_links(JOB, found.picks, found.rigged, by="plate", declared=5000.0)
    assert all(link.within and link.source == "declared by the user" for link in declared)


def test_a_choked_stud_counts_its_sheathing_nails_and_a_bare_one_nothing(plan):
    link = pick_links(JOB, plan.picks, plan.rigged, by="stud")[0]
    assert link.capacity > 0.0
    assert in_words(link.why).startswith("10 ")  # 12 in apart on a 10 ft stud
    bare = evolve(JOB, wall=evolve(JOB.wall, sheathed=False, layers=()))
    assert pick_links(bare, plan.picks, plan.rigged, by="stud")[0].capacity == 0.0


def test_a_header_that_is_not_there_counts_nothing(plan):
    assert pick_links(JOB, plan.picks, plan.rigged, by="header")[0].capacity == 0.0


WINDOW = Opening(left=60.0, sill=36.0, width=48.0, height=48.0, header_nails=4)
DOOR = Opening(left=200.0, sill=0.0, width=36.0, height=80.0, header_nails=2)


def test_a_choked_header_counts_the_nails_in_its_ends_and_the_weakest_opening(plan):
    """As in the wind both ends share, but for a lift: load duration 1.25 and not 1.6 (NDS 2.3.2)."""

    def link(*openings):
        job = evolve(JOB, wall=evolve(JOB.wall, openings=openings))
        return job, pick_links(job, plan.picks, plan.rigged, by="header")[0]

    job, found = link(WINDOW)
    assert found.capacity == pytest.approx(2.0 * header_end(Materials(job), WINDOW) * 1.25 / 1.6, rel=1e-9)
    assert in_words(found.why) == "4 nails into each end of the header"
    _, both = link(WINDOW, DOOR)
    assert both.capacity == pytest.approx(found.capacity / 2.0, rel=1e-9)
    assert in_words(both.why).startswith("2 nails")


def test_a_leg_over_its_tag_is_said_with_both_numbers(plan):
    """Two legs at 30 degrees: each pulls half the load over cos 30."""
    pulled = math.ceil(plan.rigged / 2.0 / math.cos(math.radians(30.0)) - 1e-6)
    found = plan_lift(JOB, LiftRequest(gust=5.0, sling_lb=500.0))
    assert f"sling: {pulled} lb over its tag 500 lb" in in_words(found.over)
    assert found.verdict == "over"
    assert not any(
        line.startswith("sling:") for line in in_words(plan_lift(JOB, LiftRequest(sling_lb=5000.0)).over)
    )


@pytest.mark.parametrize("share", [0.97, 1.03])
def test_a_load_that_breaks_a_stick_is_over_and_one_just_under_is_not(plan, share):
    """All that hangs grows with the dynamic part: so does every stress, and the worst reaches 1 where it says."""
    places = tuple(pick.x for pick in plan.picks.picks)
    worst = max(max(row.stud, row.plate) for row in plan.tilt)
    dynamic = share * 1.25 / worst - 1.0
    request = LiftRequest(pick_at=places)
    object.__setattr__(request, "dynamic", dynamic)  # past what may be asked for
    found = plan_lift(JOB, request)
    said = [line for line in in_words(found.over) if " as it hangs: bent " in line]
    assert bool(said) == (share > 1.0)
    if said:
        assert float(said[0].split()[-5]) == pytest.approx(share, abs=0.011)


def test_a_machine_short_of_its_load_is_over_where_it_is_shortest():
    """9,000 lb close in, 200 lb far out: over at the tilt whose reach is the longest, by the chart."""
    rows = ["reach_ft,height_ft,capacity_lb"]
    rows += [
        f"{reach},{high},{most}" for reach, most in ((0, 9000), (12, 9000), (40, 200)) for high in (0, 60)
    ]
    chart = chart_from_text("\n".join(rows))
    found = plan_lift(JOB, LiftRequest(machine=Machine("outside", 120.0, -36.0), chart=chart))
    short = [point for point in found.path if point.capacity < point.load]
    assert short
    worst = max(short, key=lambda point: point.load - point.capacity)
    (said,) = [line for line in in_words(found.over) if line.startswith("machine:")]
    assert said == f"machine: {math.ceil(worst.load)} lb over 200 lb at {math.degrees(worst.tilt):.0f} deg"


def test_a_wall_outside_what_this_covers_is_an_engineers_whatever_the_gust():
    high = evolve(JOB, wall=evolve(JOB.wall, top=((0.0, 500.0), (384.0, 500.0))))
    for gust in (None, 5.0):
        found = plan_lift(high, LiftRequest(gust=gust))
        assert found.verdict == "engineer"
        assert any(line.endswith("an engineer has to plan it") for line in in_words(found.over))


def test_a_wall_too_short_for_its_picks_is_refused_with_what_it_needs():
    """3 ft with a stud every 24 in has three studs: four picks find no places."""
    text = TEXT.replace('length = "32 ft"', 'length = "3 ft"').replace(
        'spacing = "16 in"', 'spacing = "24 in"'
    )
    with pytest.raises(InputError, match="full-height studs on both sides of the middle"):
        plan_lift(job_from_text(text, "stub.toml"), LiftRequest(picks=4))


def test_toe_nails_into_a_deck_alone_hold_no_thrust():
    assert foot_holds(JOB, FootRequest(toe_nails=10))[0].thrust_each == 0.0


def test_straps_lie_on_the_floor_so_their_nails_pull_out_in_uplift():
    straps, blocks = foot_holds(
        JOB,
        FootRequest(
            straps=4,
            strap_nails=5,
            strap_fastener="16d common",
            blocks=6,
            block_nails=4,
            block_fastener="16d common",
        ),
    )
    assert straps.uplift_each < straps.thrust_each
    assert (blocks.uplift_each, blocks.kind) == (0.0, "stop blocks")


def test_toe_nails_are_the_weaker_for_being_toe_nailed():
    framing = evolve(JOB, wall=evolve(JOB.wall, plate=evolve(JOB.wall.plate, into_framing=True)))
    toe = foot_holds(framing, FootRequest(toe_nails=10))[0]
    block = foot_holds(framing, FootRequest(blocks=1, block_nails=1, block_fastener="16d common"))[0]
    assert 0.0 < toe.thrust_each < block.thrust_each


def test_stress_over_the_arc_against_a_hand_sum(plan):
    """Upright a picked stud hangs half of all the load: 0.5 x rigged/8.25 over Ft 525 x 1.3 x 1.25."""
    upright, flat = plan.tilt[-1], plan.tilt[0]
    assert upright.stud == pytest.approx(0.5 * plan.rigged / 8.25 / (525.0 * 1.3 * 1.25), rel=0.01)
    squeeze = plan.slings.thrust / 16.5 / (1300.0 * 1.1 * 1.25)
    assert flat.plate - plan.picks.bending.plate == pytest.approx(squeeze, rel=1e-6)
    assert upright.plate == pytest.approx(squeeze, rel=1e-6)
    assert flat.sag == pytest.approx(plan.picks.bending.sag, rel=1e-12)
    assert upright.sag == pytest.approx(0.0, abs=1e-12)


def test_slings_at_the_default_hang_at_thirty_degrees_and_short_ones_are_refused(plan):
    assert math.degrees(plan.slings.check.angle) == pytest.approx(30.0, abs=0.01)
    assert not plan.slings.check.over_working_limit
    with pytest.raises(ValueError, match="slings"):
        plan_lift(JOB, LiftRequest(slings=60.0))
    with pytest.raises(ValueError, match="spreader"):
        plan_lift(JOB, LiftRequest(slings=130.0))


def test_a_spreader_hangs_the_slings_plumb():
    found = plan_lift(JOB, LiftRequest(spreader=True, slings=72.0))
    assert found.slings.check.tension == pytest.approx(found.rigged / 2.0, rel=1e-6)
    assert found.slings.thrust == 0.0


def test_an_unread_stamp_is_weighed_as_the_heaviest_and_said():
    unread = job_from_text(TEXT.replace(', species = "hem-fir"', ""), "level.toml")
    off, assumed = weigh(unread)
    assert off.weight > weigh(JOB)[0].weight
    assert [one.field for one in assumed] == ["wall.studs.species"]
    assert heaviest_gravity() >= 0.55


def test_a_gable_is_told_it_needs_a_row_across():
    gable = job_from_text(TEXT.replace('height = "10 ft"', 'height = "9 ft"\npeak = "14 ft"', 1), "g.toml")
    found = plan_lift(gable, LiftRequest())
    assert "strongback" in in_words(found.needed[0])
    assert any(line.startswith("not declared") for line in in_words(found.over))
    assert found.worth[0].bending is None
    assert found.slide > 0.0


def test_a_power_line_nearer_than_its_distance_is_over():
    near = plan_lift(JOB, LiftRequest(line_distance=49 * 12.0))
    far = plan_lift(JOB, LiftRequest(line_distance=51 * 12.0))
    assert any("power line" in line for line in in_words(near.over))
    assert not any("power line" in line for line in in_words(far.over))


def test_slides_along_a_slope():
    assert slide(1000.0, 0.0) == 0.0
    assert slide(1000.0, 4.0 / 3.0) == pytest.approx(800.0, rel=1e-12)


@pytest.mark.parametrize(("people", "roles"), [(2, 2), (3, 3), (4, 4), (9, 4)])
def test_roles_for_two_three_and_four(plan, people, roles):
    day = day_plan(evolve(plan, request=LiftRequest(people=people)))
    assert len(day.roles) == roles
    assert "no brace is in the file, so the hook stays on" in in_words(day.unhook[0])


def test_the_zone_is_the_height_and_four_feet_and_the_drop_outside(plan):
    assert in_words(day_plan(plan).zone[0]).startswith("14 ft inside, 17 ft outside")


def test_json_has_what_is_promised(plan):
    answer = json.loads(json.dumps(in_words(plan), allow_nan=False))
    assert {"schema", "program", "standards", "input_sha256", "weight_lb", "cg_ft", "head_force_lb"} <= set(
        answer
    )
    assert [row["tilt_deg"] for row in answer["tilt"]] == pytest.approx(list(range(0, 91, 5)), abs=1e-9)
    assert answer["tilt"][0]["head_force_lb"] == pytest.approx(answer["head_force_lb"], abs=1e-9)
    assert answer["cautions"]


@pytest.mark.parametrize("metric", [False, True])
def test_text_fits_eighty_columns_and_ends_with_the_cautions(plan, metric):
    off, assumed = weigh(JOB)
    page = Page(metric=metric)
    for text in (lift_page(plan, page), weight_page(JOB, off, page, assumed=assumed)):
        assert max(len(line) for line in text.splitlines()) <= 80
        assert text.rstrip().endswith("Never shelter beside the wall.") or "shelter" in text[-120:]
    if metric:
        assert "kg" in lift_page(plan, page)
