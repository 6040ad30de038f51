"""A sheathing nail across foam, worked by hand: 8d common, 7/16 in OSB (4650 psi) into spruce-pine-fir (3350 psi)."""

import pytest

from bracing.codes.joints import GAP, Joint, Ply
from bracing.codes.nds.dowels import Bearing, Dowel
from bracing.codes.nds.fastener import fastener_capacity
from bracing.codes.nds.gaps import modes_across_gap
from bracing.job.fasteners import fastener
from tests.approx import printed

OSB, SPF = Ply("panel", 0.4375, 0.50), Ply("wood", 5.5, 0.42)
NAIL = fastener("8d common")


def capacity(gap, moisture="dry"):
    between = (Ply(GAP, gap),) if gap else ()
    return fastener_capacity(Joint(NAIL, (OSB, *between, SPF), moisture))


# q is 0.131 x 4650 = 609.15 lb/in in the panel, 0.131 x 3350 = 438.85 in the stud; M = 100 000 x 0.131^3 / 6 = 37.468.
# The dowel turns in the panel and yields in the stud (IIIs): A = 1/(4 x 609.15) + 1/(2 x 438.85) = 0.00154975,
# B = 0.21875 + g, C = 609.15 x 0.4375^2 / 4 + 37.468 = 66.617; P = (sqrt(B^2 + 4 A C) - B) / (2 A); 1.6 P / 2.2.
#   g 0:    sqrt(0.0478516 + 0.4129582) = 0.6788297; (0.6788297 - 0.21875) / 0.0030995 = 148.44; 108.0
#   g 1/2:  sqrt(0.5166016 + 0.4129582) = 0.9641368; 0.2453868 / 0.0030995 = 79.17; 57.6
#   g 1:    sqrt(1.4853516 + 0.4129582) = 1.3777916; 0.1590416 / 0.0030995 = 51.31; 37.3
@pytest.mark.parametrize(("gap", "holds"), [(0.0, "108"), (0.5, "57.6"), (1.0, "37.3"), (1.5, "0")])
def test_shear_across_foam(gap, holds):
    """At 1 1/2 in the point is 2.5 - 0.4375 - 1.5 = 0.5625 in deep, under 6 x 0.131 = 0.786: it counts for nothing."""
    assert capacity(gap).lateral == printed(holds)


def test_withdrawal_is_of_what_is_left_of_the_nail():
    """2.5 - 0.4375 = 2.0625 in hold without foam, 1.0625 with an inch of it: 0.515 of it; past 6 D nothing."""
    bare, inch, more = (capacity(gap).withdrawal for gap in (0.0, 1.0, 1.5))
    assert inch / bare == pytest.approx(1.0625 / 2.0625, rel=1e-9)
    assert more == 0.0


def test_every_mode_of_the_general_equations_by_hand():
    """A short, stiff dowel across 1/4 in of nothing: q 1000 lb/in in both, l 1 in, M = 60 000 x 0.5^3 / 6 = 1250 lb in.

    II: A 0.0005, B 1.25, C 500: (sqrt(1.5625 + 1) - 1.25) / 0.001 = 350.78. IIIm = IIIs: A 0.00075, B 0.75, C 1500:
    (sqrt(0.5625 + 4.5) - 0.75) / 0.0015 = 1000.0. IV: A 0.001, B 0.25, C 2500: (sqrt(0.0625 + 10) - 0.25) / 0.002
    = 1461.07. From 1/4 in the terms are 4, 3.6 and 3.2.
    """
    member = Bearing(1.0, 2000.0)
    modes = modes_across_gap(Dowel(0.5, 0.5, 60e3), member, member, gap=0.25)
    for name, Rd, value in (
        ("II", 3.6, "350.78"),
        ("IIIm", 3.2, "1000.0"),
        ("IV", 3.2, "1461.07"),
        ("Im", 4.0, "1000.0"),
    ):
        unreduced = modes.by_name()[name] * Rd
        assert unreduced == printed(value), name
    assert modes.IIIm == modes.IIIs


def test_a_reported_value_is_not_of_a_joint_across_a_gap():
    screw = fastener("structural screw 0.22x5")
    stated = type(screw)(**{a.name: getattr(screw, a.name) for a in type(screw).__attrs_attrs__} | {
        "lateral": 900.0, "report": "a report", "report_gravity": 0.42, "report_side": 0.4, "report_penetration": 1.0,
    })  # fmt: skip
    across, straight = (
        fastener_capacity(Joint(stated, plies, "dry")) for plies in ((OSB, Ply(GAP, 1.0), SPF), (OSB, SPF))
    )
    assert straight.lateral_mode == "report"
    assert across.lateral_mode != "report"
    assert across.lateral < 0.25 * straight.lateral
