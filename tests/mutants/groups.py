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
}
