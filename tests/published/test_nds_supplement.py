"""NDS Supplement 2018: dressed sizes, section properties, reference design values and their factors.

Tables 1A, 1B, 4A, 4B. Rows marked from-memory in the csv are from memory here too.
"""

import pytest

from bracing.codes.nds import adjusted
from bracing.job import lumber
from tests.crosschecks.members import emin_from_e
from tests.published.rows import split

NOT_COMPUTED = {
    "CF-Fb-t4-w2": "a stick's thickness is its lesser dimension: none is 4 in thick and 2 in wide",
    "CF-Fb-t4-w3": "a stick's thickness is its lesser dimension: none is 4 in thick and 3 in wide",
    "CR-wallstud-wind": "1.25 of sheathed wall studs: never taken, a braced stud shares with nobody (Cr = 1)",
}
ROWS = split("nds_supplement", NOT_COMPUTED)
SPECIES = {
    "DFL": "DFL",
    "HF": "hem-fir",
    "SPF": "SPF",
    "SPFS": "spruce-pine-fir (south)",
    "SP": "southern pine",
}
GRADES = {
    "SS": ("Select Structural",),
    "No1Btr": ("No.1 & Better",),
    "No1": ("No.1",),
    "No2": ("#2",),
    "No3": ("No. 3",),
    "No1_No2": ("No.1", "No.2"),
    "No3_Stud": ("No.3", "Stud"),
}
HANDLED = ("REF-", "CF-", "CFU-", "CR", "CM-", "DRESS-", "SEC-")


def of(*prefixes):
    return [row for row in ROWS if row.id.startswith(prefixes)]


def ids(row):
    return row.id


def test_every_row_is_taken_by_a_test():
    assert len(of(*HANDLED)) == len(ROWS) > 300


@pytest.mark.parametrize("row", of("REF-"), ids=ids)
def test_reference_value(row):
    value = {"Fcperp": "Fc_perp"}.get(row.id.rsplit("-", 1)[1], row.id.rsplit("-", 1)[1])
    printed = row.inputs["size"]
    size = printed if printed.startswith("2x") else "2x4"
    for grade in GRADES.get(row.inputs["grade"], (row.inputs["grade"],)):
        reference = lumber.grade(SPECIES[row.inputs["species"]], grade, size)
        assert getattr(reference, value) == pytest.approx(row.value, abs=1e-9)
        assert ("memory" in reference.source) == (row.how == "from-memory")


@pytest.mark.parametrize("row", [row for row in of("REF-") if row.id.endswith("-Emin")], ids=ids)
def test_emin_is_e_by_its_equation(row):
    """Printed to 10 000 psi, so half of that; some cells sit on the half."""
    e_row = next(other for other in ROWS if other.id == row.id.removesuffix("min"))
    assert emin_from_e(e_row.value) == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", [row for row in of("CF-") if "Stud" not in row.id], ids=ids)
def test_size_factor(row):
    _, value, *where = row.id.split("-")
    width = row.inputs["width_nom_in"].split()[0]  # "14 and wider" is 14
    thickness = 4 if "t4" in where else 2
    reference = lumber.grade("hem-fir", "No.2", "2x4")
    assert adjusted.size_factors(reference, f"{thickness}x{width}")[value] == pytest.approx(
        row.value, abs=row.tolerance
    )


@pytest.mark.parametrize("row", of("CF-Stud"), ids=ids)
def test_size_factor_of_stud_grade(row):
    reference = lumber.grade("hem-fir", "Stud", "2x4")
    for size in {"2-4": ("2x2", "2x3", "2x4"), "5-6": ("2x5", "2x6")}[row.inputs["width_nom_in"]]:
        factors = adjusted.size_factors(reference, size)
        values = ("Fc",) if "-Fc-" in row.id else ("Fb", "Ft")
        for value in values:
            assert factors[value] == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", of("CFU-"), ids=ids)
def test_flat_use_factor(row):
    sizes = {
        ("2-3", "2-3"): ("2x2", "2x3"),
        ("2-3", "4"): ("2x4", "3x4"),
        ("2-3", "5"): ("2x5",),
        ("2-3", "6"): ("2x6", "3x6"),
        ("2-3", "8"): ("2x8", "3x8"),
        ("2-3", "10+"): ("2x10", "2x12", "2x14"),
        ("4", "4"): ("4x4",),
        ("4", "5"): ("4x5",),
        ("4", "6"): ("4x6",),
        ("4", "8"): ("4x8",),
        ("4", "10+"): ("4x10", "4x12", "4x16"),
    }
    for size in sizes[row.inputs["thickness_nom_in"], row.inputs["width_nom_in"]]:
        assert adjusted.flat_use_factor(size) == pytest.approx(row.value, abs=row.tolerance)


def test_repetitive_member_factor():
    (row,) = of("CR")
    reference = lumber.grade("hem-fir", "No.2", "2x6")
    alone = adjusted.adjust(reference, "2x6", wet=False)
    sharing = adjusted.adjust(reference, "2x6", wet=False, repetitive=True)
    assert sharing.Fb / alone.Fb == pytest.approx(row.value, abs=row.tolerance)
    assert sharing.Fc == pytest.approx(alone.Fc, abs=1e-9)


@pytest.mark.parametrize("row", of("CM-"), ids=ids)
def test_wet_service_factor(row):
    """Douglas fir-larch Select Structural 2x4 is over both thresholds: Fb CF 2250, Fc CF 1955 psi."""
    reference = lumber.grade("DFL", "Select Structural", "2x4")
    dry = adjusted.adjust(reference, "2x4", wet=False)
    wet = adjusted.adjust(reference, "2x4", wet=True)
    for value in {"Fcperp": ("Fc_perp",), "E_Emin": ("E", "Emin")}.get(row.id[3:], (row.id[3:],)):
        assert getattr(wet, value) / getattr(dry, value) == pytest.approx(row.value, abs=1e-9)


@pytest.mark.parametrize("row", of("DRESS-"), ids=ids)
def test_dressed_dimension(row):
    actual = lumber.dressed(int(row.inputs["nominal_in"]), green="green" in row.id)
    assert actual == pytest.approx(row.value, abs=row.tolerance)


@pytest.mark.parametrize("row", of("SEC-"), ids=ids)
def test_section_property(row):
    section = lumber.section(row.inputs["size"])
    actual = {
        "A": section.area,
        "S": section.section_modulus(strong=True),
        "I": section.moment_of_inertia(strong=True),
    }[row.id.split("-")[1]]
    assert actual == pytest.approx(row.value, abs=row.tolerance)
