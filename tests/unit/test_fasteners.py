"""Looking fasteners up by name, and reading the user's own."""

import subprocess
import sys

import pytest

from bracing.errors import InputError, MissingDataError
from bracing.job.fasteners import (
    Fastener,
    bending_yield,
    fastener,
    fastener_names,
    generic_structural_screw,
    lag_thread,
    read_user_fasteners,
    screw_thread,
)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("16d common", "16d common"),
        ("  16D   Common nails ", "16d common"),
        ("16 d common", "16d common"),
        ("common 16d", "16d common"),
        ("10d box", "10d box"),
        ("16d sinker", "16d sinker"),
        ("gun nail 0.131x3-1/4", "gun nail 0.131x3-1/4"),
        ("gun nail .131 x 3.25", "gun nail 0.131x3-1/4"),
        ('Gun nail 0.131" x 3 1/4"', "gun nail 0.131x3-1/4"),
        ("wood screw #10x3", "wood screw #10x3"),
        ("wood screw no. 10 x 3 in", "wood screw #10x3"),
        ("#10 x 2-1/2 wood screws", "wood screw #10x2-1/2"),
        ("structural screw 0.22x5", "structural screw 0.22x5"),
        ("structural screw 1/4x3-1/2", "structural screw 0.25x3-1/2"),
        ("structural screw 0.22 × 5 in.", "structural screw 0.22x5"),
        ("lag 3/8x4", "lag 3/8x4"),
        ('lag bolt 3/8" x 4"', "lag 3/8x4"),
        ("lag screw 0.375x4", "lag 3/8x4"),
    ],
)
def test_a_name_is_found_however_it_is_written(written, name):
    assert fastener(written).name == name


def test_every_name_of_the_table_finds_itself():
    names = fastener_names()
    assert len(names) == len(set(names)) > 300
    for name in names:  # by its letters, and by its sizes
        assert fastener(name).name == fastener(name.upper()).name == name


@pytest.mark.parametrize(
    ("name", "D", "L", "head"),
    [
        ("8d common", 0.131, 2.5, 0.281),
        ("16d box", 0.135, 3.5, 0.344),
        ("10d sinker", 0.120, 2.875, 0.281),
        ("wood screw #12x3", 0.216, 3.0, 0.414),
    ],
)
def test_printed_dimensions_tables_l3_and_l4(name, D, L, head):
    one = fastener(name)
    assert (one.diameter, one.length, one.head, one.tip) == (D, L, head, 2.0 * D)


def test_printed_dimensions_of_a_lag_table_l2():
    one = fastener("lag 1/2x6")
    assert (one.root, one.tip, one.thread, one.fyb) == (0.371, 0.3125, 3.5, 45e3)


def test_thread_lengths():
    assert screw_thread(0.19, 1.0) == pytest.approx(4 * 0.19, abs=1e-12)
    assert screw_thread(0.242, 0.9) == pytest.approx(0.9, abs=1e-12)  # never longer than the screw
    assert screw_thread(0.19, 3.0) == pytest.approx(2.0, abs=1e-12)
    assert [lag_thread(L) for L in (1.0, 4.0, 4.5, 12.0, 14.0)] == [0.75, 2.5, 2.75, 6.0, 6.0]


def test_the_generic_structural_screw_is_that_of_the_design():
    one = fastener("structural screw 0.22x5")
    assert one == generic_structural_screw(0.22, 5.0)
    assert one.root == pytest.approx(0.79 * 0.22, abs=1e-12)
    assert one.head == pytest.approx(1.9 * 0.22, abs=1e-12)
    assert one.thread == pytest.approx(10.0 / 3.0, abs=1e-12)
    assert one.fyb == bending_yield(0.22) == 80e3
    assert one.report is None


@pytest.mark.parametrize(
    "name",
    ["16d comon", "16d", "40d common", "lag 3/8x4.1", "structural screw 0.22x5 gold", "1/0x3", "", "x" * 500],
)
def test_an_unknown_name_is_refused(name):
    with pytest.raises(MissingDataError) as caught:
        fastener(name)
    assert caught.value.table == "fasteners"


def test_near_names_are_offered():
    with pytest.raises(MissingDataError, match=r"structural screw 0\.22x6"):
        fastener("structural screw 0.22x6.1")


@pytest.mark.parametrize("name", ["drywall screw #8x3", "Deck  Screw #10x3", "deck screws", "DRYWALL 1-1/4"])
def test_screws_that_are_not_structural_are_refused_in_those_words(name):
    with pytest.raises(InputError, match="not structural"):
        fastener(name)


def test_no_band_covers_a_thin_or_thick_nail():
    for D in (0.09, 0.4):
        with pytest.raises(MissingDataError):
            bending_yield(D)


OURS = {
    "name": "Yard screw",
    "kind": "structural screw",
    "diameter": "0.22 in",
    "length": "5 in",
    "thread": "3 in",
    "fyb": "150000 psi",
    "report": "TR-1234",
    "withdrawal_per_inch": "150 lb",
    "pull_through": "200 lb",
    "lateral": "240 lb",
    "steel_tension": "800 lb",
    "report_gravity": 0.42,
    "report_side": "1.5 in",
    "report_penetration": "1.5 in",
}


def test_own_fasteners_are_read_and_come_first():
    (ours,) = read_user_fasteners([OURS])
    assert isinstance(ours, Fastener)
    assert (ours.withdrawal_per_inch, ours.lateral, ours.report_gravity) == (150.0, 240.0, 0.42)
    assert ours.fyb == pytest.approx(150e3, abs=1e-6)
    assert fastener("yard  SCREW", (ours,)) is ours
    hidden = read_user_fasteners([OURS | {"name": "16d common"}])
    assert fastener("16d common", hidden).kind == "structural screw"


def test_own_fasteners_default_to_the_generic_dimensions():
    plain = {key: OURS[key] for key in ("name", "kind", "diameter", "length")}
    (ours,) = read_user_fasteners([plain])
    generic = generic_structural_screw(0.22, 5.0)
    assert (ours.root, ours.head, ours.thread, ours.fyb) == (
        generic.root,
        generic.head,
        generic.thread,
        generic.fyb,
    )


def test_a_stated_capacity_needs_a_report_and_its_conditions():
    bare = {
        key: OURS[key] for key in ("name", "kind", "diameter", "length", "lateral", "withdrawal_per_inch")
    }
    with pytest.raises(InputError) as caught:
        read_user_fasteners([bare], file="wall.toml")
    fields = [fault.field for fault in caught.value.faults]
    assert fields == [
        "fastener[0].report",
        "fastener[0].report_gravity",
        "fastener[0].report_side",
        "fastener[0].report_penetration",
    ]
    assert {fault.file for fault in caught.value.faults} == {"wall.toml"}


def test_all_faults_of_all_rows_are_gathered():
    rows = [
        OURS | {"diamater": "0.2 in", "diameter": 0.22, "kind": "spike"},
        OURS | {"name": "Yard screw", "root": "0.3 in"},
        OURS | {"name": "deck screw 9", "fyb": "9 psi", "deformed": "yes", "report": ""},
        OURS | {"name": "", "report_gravity": True, "lateral": "-3 lb"},
        {"name": "x", "kind": "nail", "diameter": "0.45 in", "length": "3 in"},
    ]
    with pytest.raises(InputError) as caught:
        read_user_fasteners(rows)
    fields = [fault.field for fault in caught.value.faults]
    assert fields == [
        "fastener[0].diamater", "fastener[0].kind", "fastener[0].diameter",
        "fastener[1].name", "fastener[1].root",
        "fastener[2].name", "fastener[2].fyb", "fastener[2].deformed", "fastener[2].report",
        "fastener[3].name", "fastener[3].lateral", "fastener[3].report_gravity",
        "fastener[4].fyb",
    ]  # fmt: skip


def test_a_name_used_twice_is_a_fault():
    with pytest.raises(InputError, match="used once"):
        read_user_fasteners([OURS, OURS | {"name": "yard SCREW"}])


def test_looking_up_a_fastener_loads_no_arrays():
    code = "import sys, bracing.job.fasteners, bracing.job.fasteners; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
