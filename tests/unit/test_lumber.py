"""Names as people write them, the rules that pick a row, and faults in a user's own lumber."""

import pytest

from bracing.codes.nds import adjusted
from bracing.errors import MissingDataError
from bracing.job import lumber


@pytest.mark.parametrize(
    ("written", "species"),
    [
        ("SPF", "spruce-pine-fir"),
        ("Spruce Pine Fir", "spruce-pine-fir"),
        ("spf-s", "spruce-pine-fir (south)"),
        ("Spruce-Pine-Fir (South)", "spruce-pine-fir (south)"),
        ("hf", "hem-fir"),
        ("Douglas Fir-Larch", "douglas fir-larch"),
        ("DF-L", "douglas fir-larch"),
        ("SYP", "southern pine"),
    ],
)
def test_species_as_people_write_them(written, species):
    assert lumber.species_name(written) == species


def test_a_near_species_is_not_taken_for_another():
    """Douglas fir-south and the northern species are other species, with no design values here."""
    for name in ("douglas fir-south", "hem-fir (north)"):
        with pytest.raises(MissingDataError):
            lumber.grade(name, "No.2", "2x4")


def test_unknown_names_give_near_ones():
    with pytest.raises(MissingDataError) as error:
        lumber.grade("hem-fur", "No.2", "2x4")
    assert "hem-fir" in error.value.near
    with pytest.raises(MissingDataError) as error:
        lumber.grade("hem-fir", "No.4", "2x4")
    assert "No.2" in error.value.near
    with pytest.raises(MissingDataError) as error:
        lumber.section("2x7")
    assert "2x6" in error.value.near


@pytest.mark.parametrize(
    "size", ["", "2", "2x", "x4", "2x4x8", "0-2x4", "-2x4x", "9-2x4", "2 for 4", "2x400", "4x2"]
)
def test_what_is_no_size(size):
    with pytest.raises(MissingDataError):
        lumber.section(size)


@pytest.mark.parametrize("size", ["2-2x6", "2-2X6", "2 - 2 x 6", "(2) 2x6", "2-2×6"])
def test_doubled_sizes(size):
    section = lumber.section(size)
    assert (section.name, section.thickness, section.width, section.plies) == ("2-2x6", 1.5, 5.5, 2)


def test_plies_add_without_composite_action():
    one, two = lumber.section("2x6"), lumber.section("2-2x6")
    for strong in (True, False):
        assert two.moment_of_inertia(strong=strong) == pytest.approx(
            2.0 * one.moment_of_inertia(strong=strong), abs=1e-9
        )
    # Glued, the weak axis would be four times this: 3 in cubed, not twice 1.5 in cubed.
    assert two.moment_of_inertia(strong=False) * 4.0 == pytest.approx(5.5 * 3.0**3 / 12.0, abs=1e-9)


def test_boards_have_a_section_and_no_design_values():
    assert lumber.section("1x4").area == pytest.approx(0.75 * 3.5, abs=1e-9)
    with pytest.raises(MissingDataError):
        lumber.grade("SPF", "No.2", "1x4")


def test_wide_stud_grade_takes_no3_values_and_factors():
    stud = adjusted.design_values("hem-fir", "Stud", "2x8", wet=False)
    no3 = adjusted.design_values("hem-fir", "No.3", "2x8", wet=False)
    assert stud == no3
    assert lumber.grade("hem-fir", "Stud", "2x6").Fb == pytest.approx(675.0, abs=1e-9)


@pytest.mark.parametrize("grade", ["Construction", "Standard", "Utility"])
def test_light_framing_grades_stop_at_4_in(grade):
    assert adjusted.design_values("SPF", grade, "2x4", wet=False).Fb > 0.0
    with pytest.raises(MissingDataError):
        adjusted.design_values("SPF", grade, "2x6", wet=False)


def test_narrow_utility_is_reduced():
    """0.4 on Fb and Ft, 0.6 on Fc, from memory of the table."""
    reference = lumber.grade("SPF", "Utility", "2x3")
    assert adjusted.size_factors(reference, "2x3") == {"Fb": 0.4, "Ft": 0.4, "Fc": 0.6}


def test_southern_pine_depends_on_width_and_takes_no_size_factor():
    assert lumber.grade("SP", "No.2", "2x10").Fb == pytest.approx(800.0, abs=1e-9)
    dry = adjusted.design_values("SP", "No.2", "2x10", wet=False, load_duration=1.0)
    assert dry.Fb == pytest.approx(800.0, abs=1e-9)
    wide = adjusted.design_values("SP", "No.2", "2x14", wet=False, load_duration=1.0)
    assert wide.Fb == pytest.approx(0.9 * 750.0, abs=1e-9)
    with pytest.raises(MissingDataError):
        lumber.grade("SP", "No.3", "2x10")


def test_wet_thresholds():
    """SPF No.2 2x4: Fb CF = 1312.5 is over 1150 and loses 15%; 2x6: 1137.5 is not."""
    for size, factor in (("2x4", 0.85), ("2x6", 1.0)):
        dry, wet = (adjusted.design_values("SPF", "No.2", size, wet=wet) for wet in (False, True))
        assert wet.Fb / dry.Fb == pytest.approx(factor, abs=1e-9)
    # SPF No.3 2x4: Fc CF = 747.5 is at most 750 and keeps its value.
    dry, wet = (adjusted.design_values("SPF", "No.3", "2x4", wet=wet) for wet in (False, True))
    assert wet.Fc == pytest.approx(dry.Fc, abs=1e-9)


def test_load_duration_never_touches_stiffness_or_bearing():
    short = adjusted.design_values("SPF", "No.2", "2x6", wet=True, load_duration=1.6)
    ten_years = adjusted.design_values("SPF", "No.2", "2x6", wet=True, load_duration=1.0)
    for name in ("E", "Emin", "Fc_perp"):
        assert getattr(short, name) == pytest.approx(getattr(ten_years, name), abs=1e-9)
    for name in ("Fb", "Fb_flat", "Ft", "Fv", "Fc"):
        assert getattr(short, name) == pytest.approx(1.6 * getattr(ten_years, name), abs=1e-9)


def test_specific_gravity_of_species_without_design_values():
    assert lumber.specific_gravity("Mixed Southern Pine") == pytest.approx(0.51, abs=1e-9)
