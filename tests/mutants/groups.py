"""What is mutated, and which tests are to notice: fast and most telling first."""

from __future__ import annotations

from typing import NamedTuple


class Group(NamedTuple):
    """Files or folders under bracing/, and the tests that run against their mutants."""

    code: tuple[str, ...]
    tests: tuple[str, ...]


WIND = (
    "published/test_asce7.py",
    "published/test_asce37.py",
    "published/test_durst_wmo.py",
    "published/test_site_rules.py",
    "unit/test_wind.py",
    "unit/test_panel_loads.py",
    "laws/test_wind_laws.py",
    "hand",
)
PANEL = (
    "unit/test_panel_loads.py",
    "unit/test_panel.py",
    "laws/test_panel_laws.py",
    "reference/test_hung_wall.py",
)

SMALL = ("hand/test_small_sums.py", "guards/test_both_sides.py")  # quick, and of every folder

GROUPS = {
    "wind": Group(("codes/asce7/velocity.py", "codes/asce7/walls.py", "codes/pressures.py"), WIND),
    "gusts": Group(("codes/gusts.py",), WIND),
    "members": Group(
        (
            "codes/nds/members.py",
            "codes/nds/bending_and_axial.py",
            "codes/nds/braces.py",
            "codes/nds/adjusted.py",
        ),
        (
            "published/test_nds_members.py",
            "published/test_nds_supplement.py",
            "unit/test_members.py",
            "unit/test_lifted.py",
            "laws/test_member_laws.py",
            "reference/test_sections.py",
            "hand",
        ),
    ),
    "joints": Group(
        (
            "codes/nds/dowels.py",
            "codes/nds/drive.py",
            "codes/nds/factors.py",
            "codes/nds/fastener.py",
            "codes/nds/spacing.py",
            "codes/nds/withdrawal.py",
            "codes/ground.py",
        ),
        (
            "published/test_nds_connections.py",
            "published/test_tr12.py",
            "published/test_fpl.py",
            "published/test_ibc_soil.py",
            "published/test_en1995.py",
            "published/test_aci318.py",
            "unit/test_joints.py",
            "laws/test_joint_laws.py",
            "laws/test_trade_facts.py",
            "reference/test_yield_modes.py",
            "hand",
        ),
    ),
    "panel": Group(
        ("panel",),
        (*PANEL, "hand", "reference/test_panel_pynite.py", "reference/test_panel_opensees.py"),
    ),
    "chain": Group(
        ("chain",),
        (
            "unit/test_chain.py",
            "hand",
            "unit/test_assumed.py",
            "unit/test_trace.py",
            "guards",
            "laws/test_chain_laws.py",
        ),
    ),
    "feet": Group(
        ("chain/foot.py", "chain/room.py"),
        (
            *SMALL,
            "unit/test_chain.py",
            "hand/test_loads_and_strengths.py",
            "hand/test_storm_and_stages.py",
            "hand/test_hand_walls.py",
            "hand/test_ends.py",
            "laws/test_link_sums.py",
            "guards/test_ends_foot.py",
        ),
    ),
    "plate": Group(
        ("chain/plate.py", "chain/wall.py", "panel/spread.py"),
        (
            *SMALL,
            "hand/test_plate.py",
            "hand/test_ends.py",
            "hand/test_loads_and_strengths.py",
            "hand/test_hand_walls.py",
            "unit/test_chain.py",
            "laws/test_plate_laws.py",
            "guards/test_plate_readings.py",
            "guards/test_ends_plate.py",
        ),
    ),
    "sticks": Group(
        (
            "chain/brace.py",
            "chain/studs.py",
            "chain/cuts.py",
            "chain/materials.py",
            "chain/model.py",
            "chain/groups.py",
            "chain/evaluate.py",
        ),
        (
            "unit/test_chain.py",
            "unit/test_cuts.py",
            "unit/test_evaluate.py",
            "hand",
            "laws/test_chain_laws.py",
            "laws/test_one_way_laws.py",
            "guards/test_pitfalls.py",
            "guards/test_ends_ties.py",
        ),
    ),
    "codes": Group(
        ("codes",),
        (
            "published",
            "unit/test_joints.py",
            "unit/test_members.py",
            "unit/test_strengths.py",
            "unit/test_sticks.py",
            "laws/test_joint_laws.py",
            "laws/test_member_laws.py",
            "laws/test_basis.py",
            "hand",
        ),
    ),
    "job": Group(
        ("job",),
        (
            *SMALL,
            "guards/test_thresholds.py",
            "guards/test_pitfalls.py",
            "unit/test_framing.py",
            "unit/test_layers.py",
            "unit/test_lumber.py",
            "unit/test_fasteners.py",
            "published/test_nds_supplement.py",
            "published/test_weights.py",
            "unit/test_finish.py",
            "unit/test_reading.py",
        ),
    ),
    "weight": Group(
        ("panel/weight.py",),
        (
            *SMALL,
            "unit/test_weight.py",
            "hand/test_ends.py",
            "published/test_weights.py",
            "guards/test_ends_plate.py",
        ),
    ),
    "check": Group(
        ("check.py", "results.py", "choosing.py", "sums.py", "units.py", "sources.py", "said.py"),
        (
            *SMALL,
            "guards/test_thresholds.py",
            "guards/test_pitfalls.py",
            "guards/test_what_assumed_costs.py",
            "laws/test_rounding.py",
            "laws/test_sums.py",
            "laws/test_one_answer.py",
            "unit/test_assumed.py",
            "unit/test_evaluate.py",
            "hand",
        ),
    ),
    "stages": Group(
        ("stages",),
        (
            *SMALL,
            "guards/test_thresholds.py",
            "laws/test_stage_laws.py",
            "guards/test_going_up.py",
            "guards/test_acted_on.py",
            "guards/test_what_stands.py",
            "cli/test_stages.py",
        ),
    ),
    "work": Group(
        ("work",),
        (
            *SMALL,
            "unit/test_storm_work.py",
            "guards/test_one_engine_of_work.py",
            "laws/test_additions.py",
            "unit/test_joint_choice.py",
            "unit/test_needed.py",
            "guards/test_plan_of_least_work.py",
        ),
    ),
    "layout": Group(
        ("layout",),
        (
            *SMALL,
            "unit/test_spots.py",
            "unit/test_finish.py",
            "unit/test_least.py",
            "unit/test_needed.py",
            "unit/test_on_hand.py",
            "unit/test_why_none.py",
            "laws/test_layout_laws.py",
            "guards/test_plan_of_least_work.py",
            "guards/test_one_engine_of_work.py",
        ),
    ),
    "lift": Group(
        ("lift",),
        (
            *SMALL,
            "unit/test_lift.py",
            "unit/test_slings.py",
            "unit/test_machine.py",
            "unit/test_plumb.py",
            "unit/test_picks.py",
            "unit/test_lift_plan.py",
            "unit/test_charts.py",
            "laws/test_lift_laws.py",
            "laws/test_pick_laws.py",
            "published/test_rigging.py",
            "cli/test_lifting.py",
        ),
    ),
    "storm": Group(
        ("storm",),
        (
            *SMALL,
            "unit/test_storm.py",
            "unit/test_forecast.py",
            "unit/test_storm_work.py",
            "laws/test_storm_laws.py",
            "guards/test_what_first.py",
            "guards/test_acted_on.py",
            "cli/test_storm.py",
        ),
    ),
    "site": Group(("site",), ("guards/test_watch.py",)),
    "reading": Group(
        ("reading",),
        (
            *SMALL,
            "unit/test_reading.py",
            "unit/test_forecast.py",
            "unit/test_charts.py",
            "unit/test_refusals.py",
            "unit/test_start.py",
            "unit/test_writing.py",
            "guards/test_forecast_as_people_have_it.py",
            "guards/test_yard_talk.py",
            "guards/test_files.py",
            "cli/test_bad_input.py",
        ),
    ),
    "text": Group(
        ("text",),
        (
            "laws/test_rounding.py",
            "guards/test_thresholds.py",
            "guards/test_acted_on.py",
            "guards/test_metric.py",
            "guards/test_told.py",
            "guards/test_one_screen.py",
            "guards/test_text_stays_text.py",
            "unit/test_trace.py",
            "unit/test_storm.py",
            "unit/test_handcheck.py",
            "cli/test_check.py",
        ),
    ),
    "drawing": Group(
        ("drawing",), ("unit/test_drawing.py", "unit/test_lift_drawing.py", "unit/test_sheet.py")
    ),
    "sheet": Group(
        ("sheet",),
        ("unit/test_sheet.py", "guards/test_sheet_says_all.py", "guards/test_sheet_in_four_pages.py"),
    ),
    "many": Group(("many",), ("unit/test_many.py", "unit/test_workers.py", "cli/test_walls.py")),
    "commands": Group(
        ("commands",),
        (
            "cli/test_check.py",
            "cli/test_statuses.py",
            "cli/test_bad_input.py",
            "guards/test_acted_on.py",
            "guards/test_waiting_and_messages.py",
            "guards/test_pitfalls.py",
        ),
    ),
    "tables": Group(
        ("data",),
        (
            *SMALL,
            "guards/test_thresholds.py",
            "guards/test_pitfalls.py",
            "published",
            "laws/test_trade_facts.py",
            "unit/test_layers.py",
            "unit/test_storm_work.py",
        ),
    ),
}
