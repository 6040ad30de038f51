"""NDS 2018 members: columns, beams, bearing and combined loads, against worked examples and check values.

AWC structural wood design examples (2015/2018) E1.2a to E1.9; HUD residential guide example 5.6; column
capacities and bearing values worked out beforehand from the published equations.
"""

import math

import pytest

from bracing.codes.nds import adjusted
from bracing.codes.nds import bending_and_axial as combined
from bracing.codes.nds import members as beam
from bracing.codes.nds import members as column
from bracing.job import lumber
from tests.crosschecks.members import bearing_area_factor, emin_from_e
from tests.published.rows import split

NOT_COMPUTED: dict[str, str] = {}
ROWS = split("nds_members", NOT_COMPUTED)


def example(name):
    """The rows of one worked example by what they give."""
    return {row.id.removeprefix(f"{name}-"): row for row in ROWS if row.id.startswith(f"{name}-")}


def check(rows, **actual):
    """Every printed value of the example, and no other, within its printed digits."""
    assert set(actual) == set(rows)
    for name, row in rows.items():
        assert actual[name] == pytest.approx(row.value, abs=row.tolerance), name


def test_every_row_is_taken_by_a_test():
    taken = (
        "AWC-E1p2a",
        "AWC-E1p4",
        "AWC-E1p5a",
        "AWC-E1p6",
        "AWC-E1p7",
        "AWC-E1p9",
        "HUD-5p6",
        "COL-",
        "HANK-",
    )
    others = {"c-sawn", "KcE", "SLEND-50", "SLEND-75", "RB-50", "EMIN-factor"}
    left = {row.id for row in ROWS if not row.id.startswith(taken)}
    assert left == others


def test_constants():
    rows = {row.id: row.value for row in ROWS}
    assert rows["c-sawn"] == pytest.approx(column.COLUMN_CONSTANT, abs=1e-9)
    assert column.euler_stress(1.0, 1.0) == pytest.approx(rows["KcE"], abs=1e-9)
    assert rows["SLEND-50"] == pytest.approx(column.LIMIT_IN_SERVICE, abs=1e-9)
    assert rows["RB-50"] == pytest.approx(beam.RB_LIMIT, abs=1e-9)
    # The limit during construction bites exactly there.
    for slender, counts in ((rows["SLEND-75"], True), (rows["SLEND-75"] + 1e-9, False)):
        axis = combined.Column(
            area=5.25, Fc_star=2000.0, slenderness=(10.0, slender), FcE=(4110.0, 73.0), Fb=(2e3, 2e3),
            FbE=1e6, own_stress=(0.0, 0.0), eccentric=(0.0, 0.0),
        )  # fmt: skip
        assert combined.largest_thrust(axis).counts is counts
    assert emin_from_e(1.0) == pytest.approx(rows["EMIN-factor"], abs=5e-5)


def test_e1_2a_beam_stability():
    """Printed p. 7-10: 4x16, 20 ft, point load at the centre."""
    section = lumber.section("4x16")
    le = beam.effective_length(240.0, section.width, load="centre point")
    RB = beam.beam_slenderness(le, section.width, section.thickness)
    FbE = beam.beam_buckling_stress(690_000.0, RB)
    CL = beam.beam_stability_factor(1500.0, FbE)
    S = section.section_modulus(strong=True)
    check(
        example("AWC-E1p2a"),
        le=le,
        RB=RB,
        FbE=FbE,
        CL=CL,
        Fbp=beam.moment_allowed(1500.0, CL, S) / S,
        S=S,
        I=section.moment_of_inertia(strong=True),
    )


def test_e1_4_column():
    """Printed p. 23-27: 4x4 southern pine No.2, 10 ft."""
    section = lumber.section("4x4")
    values = adjusted.design_values("southern pine", "No.2", "4x4", wet=False, load_duration=1.0)
    led = column.slenderness(120.0, section.thickness)
    FcE = column.euler_stress(values.Emin, led)
    Fc = column.column_stress(values.Fc, FcE)
    CP = column.column_stability_factor(values.Fc, FcE)
    check(example("AWC-E1p4"), led=led, FcE=FcE, CP=CP, Fcp=Fc, P=Fc * section.area)


def test_e1_5a_stud_and_its_bearing():
    """Printed p. 28-30: 2x6 SPF No.2 stud, sheathed, on a plate."""
    section = lumber.section("2x6")
    values = adjusted.design_values("SPF", "No.2", "2x6", wet=False, load_duration=1.15)
    led = column.slenderness(91.5, section.width)
    FcE = column.euler_stress(values.Emin, led)
    Fc = column.column_stress(values.Fc, FcE)
    Cb = bearing_area_factor(1.5, from_end=12.0)
    check(
        example("AWC-E1p5a"),
        led=led,
        Fcstar=values.Fc,
        FcE=FcE,
        CP=column.column_stability_factor(values.Fc, FcE),
        Fcp=Fc,
        P=Fc * section.area,
        Pbearing=values.Fc_perp * section.area,
        Pbearing_Cb=values.Fc_perp * section.area * Cb,
        Cb=Cb,
    )


@pytest.mark.parametrize(
    ("case", "pull", "duration"), [("LC1", 3180.0, 1.6), ("LC2", 2300.0, 1.25), ("LC3", 1420.0, 0.9)]
)
def test_e1_6_tension_and_bending(case, pull, duration):
    """2x8 hem-fir No.2; the pulls are the example's sums of 1420, 880 and 880 lb."""
    section = lumber.section("2x8")
    values = adjusted.design_values("hem-fir", "No.2", "2x8", wet=False, load_duration=duration)
    check(example(f"AWC-E1p6-{case}"), ft=pull / section.area, Ftp=values.Ft)


def test_e1_7_bending_and_compression():
    """Printed p. 40-44: 2x6 southern pine No.1, 9 ft, 100 lb/ft, 1400 lb."""
    section = lumber.section("2x6")
    values = adjusted.design_values("southern pine", "No.1", "2x6", wet=False)
    led = column.slenderness(108.0, section.width)
    FcE = column.euler_stress(values.Emin, led)
    Fc = column.column_stress(values.Fc, FcE)
    M = (25.0 * 4.0 / 12.0) * 108.0**2 / 8.0
    fc, fb = 1400.0 / section.area, M / section.section_modulus(strong=True)
    both = combined.bending_and_compression(fc, fb, Fc=Fc, Fb=values.Fb, FcE=FcE)
    thrust = combined.bending_and_compression(fc, 0.0, Fc=Fc, Fb=values.Fb, FcE=FcE)
    check(
        example("AWC-E1p7"),
        Fcstar=values.Fc,
        FcE=FcE,
        CP=column.column_stability_factor(values.Fc, FcE),
        Fcp=Fc,
        fc=fc,
        Fb1p=values.Fb,
        M=M,
        fb1=fb,
        term1=thrust,
        term2=both - thrust,
        ratio=both,
    )


def test_e1_9_tall_wall_stud():
    """Printed p. 55-79: 2x8 southern pine No.2, 19 ft; the 1.25 is the example's own, of a sheathed wall."""
    section = lumber.section("2x8")
    values = adjusted.design_values("southern pine", "No.2", "2x8", wet=False)
    Fb = values.Fb * 1.25
    led = column.slenderness(228.0, section.width)
    FcE = column.euler_stress(values.Emin, led)
    Fc = column.column_stress(values.Fc, FcE)
    M = (23.08 / 12.0) * 228.0**2 / 8.0
    fc, fb = 483.0 / section.area, M / section.section_modulus(strong=True)
    check(
        example("AWC-E1p9"),
        FcE=FcE,
        Fcstar=values.Fc,
        CP=column.column_stability_factor(values.Fc, FcE),
        Fcp=Fc,
        fc=fc,
        Fbp=Fb,
        M=M,
        fb=fb,
        ratio=combined.bending_and_compression(fc, fb, Fc=Fc, Fb=Fb, FcE=FcE),
    )


def test_hud_5_6_column():
    """4x4 SPF No.2, 7.3 ft. The guide's own edition takes 0.3 E (from memory), the 2018 one 0.822 Emin."""
    section = lumber.section("4x4")
    values = adjusted.design_values("SPF", "No.2", "4x4", wet=False, load_duration=1.0)
    led = column.slenderness(87.6, section.thickness)
    FcE = column.euler_stress(values.Emin, led)
    CP = column.column_stability_factor(values.Fc, FcE)
    Fc = column.column_stress(values.Fc, FcE)
    rows = {row.id: row for row in ROWS if row.id.startswith("HUD-5p6")}
    actual = {
        "HUD-5p6-CP": column.column_stability_factor(values.Fc, 0.3 * values.E / led**2),
        "HUD-5p6-CP-2018": CP,
        "HUD-5p6-ratio": 4800.0 / section.area / Fc,
    }
    assert set(actual) == set(rows)
    for name, row in rows.items():
        assert actual[name] == pytest.approx(row.value, abs=row.tolerance), name


@pytest.mark.parametrize("row", [row for row in ROWS if row.id.startswith("COL-")], ids=lambda row: row.id)
def test_column_capacity_and_its_working(row):
    size = row.inputs["size"]
    section = lumber.section(size)
    values = adjusted.design_values(row.inputs["species"], row.inputs["grade"], size, wet=False)
    led = column.slenderness(row.number("le_in"), section.thickness)
    FcE = column.euler_stress(values.Emin, led)
    assert led == pytest.approx(row.number("le/d"), abs=0.005)
    assert values.Fc == pytest.approx(row.number("Fc*_psi"), abs=0.05)
    assert FcE == pytest.approx(row.number("FcE_psi"), abs=0.005)
    assert column.column_stability_factor(values.Fc, FcE) == pytest.approx(row.number("CP"), abs=5e-5)
    axial = column.column_stress(values.Fc, FcE) * section.area
    assert axial == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", [row for row in ROWS if row.id.startswith("HANK-")], ids=lambda row: row.id)
def test_bearing_at_an_angle(row):
    angle = math.radians(row.number("theta_deg"))
    actual = beam.bearing_at_angle(row.number("Fc*_psi"), row.number("Fcperp_psi"), angle)
    assert actual == pytest.approx(row.value, abs=row.tolerance)
