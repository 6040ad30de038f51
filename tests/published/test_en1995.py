"""EN 1995-1-1:2004 chapter 8 and EN 338: a second standard's answer, in newtons and millimetres."""

import math
import re

import pytest

from tests.crosschecks import connections as ec5
from tests.published.rows import Rows, label

ROWS = Rows("en1995")


def near(row):
    return pytest.approx(row.value, rel=0, abs=row.tolerance)


@pytest.mark.parametrize("row", ROWS.of("EC5-My"), ids=label)
def test_yield_moment(row):
    assert ec5.nail_yield_moment(row.number("d_mm"), row.number("fu_N_mm2")) == near(row)


@pytest.mark.parametrize("row", ROWS.of("EC5-fh-"), ids=label)
def test_embedment_strength(row):
    density = ec5.STRENGTH_CLASSES[row.id.rsplit("-", 1)[1]][1]
    assert density == row.number("rho_k")
    assert ec5.nail_embedment(row.number("d_mm"), density) == near(row)


@pytest.mark.parametrize("row", ROWS.of("EC5-Fv"), ids=label)
def test_lateral_modes(row):
    """The six modes are printed to the newton in the note; the least is the value."""
    d = row.number("d_mm")
    fh = ec5.nail_embedment(d, row.number("rho_k"))
    moment = ec5.nail_yield_moment(d, row.number("fu"))
    modes = ec5.johansen(d, t1=row.number("t1_mm"), t2=row.number("t2_mm"), fh1=fh, fh2=fh, My=moment)
    printed = dict(re.findall(r"\b([a-f])=([0-9]+)", row.note))
    assert len(printed) == 6
    for mode, value in printed.items():
        assert modes[mode] == pytest.approx(float(value), abs=0.5)
    assert min(modes.values()) == near(row)


@pytest.mark.parametrize("row", ROWS.of("EC5-fhead"), ids=label)
def test_head_pull_through_strength(row):
    assert ec5.nail_head_strength(row.number("rho_k")) == near(row)


@pytest.mark.parametrize("row", ROWS.of("EC5-fax"), ids=label)
def test_screw_withdrawal_strength(row):
    value = ec5.screw_withdrawal_strength(row.number("d_mm"), row.number("lef_mm"), row.number("rho_k"))
    assert value == near(row)


@pytest.mark.parametrize("row", ROWS.of("EC5-Fax"), ids=label)
def test_screw_withdrawal_capacity(row):
    assert min(row.number("d_mm") / 8.0, 1.0) == row.number("kd")
    value = ec5.screw_axial(
        row.number("d_mm"), row.number("lef_mm"), row.number("rho_k"), angle=math.pi / 2.0
    )
    assert value == near(row)


@pytest.mark.parametrize("row", ROWS.of("EN338-"), ids=label)
def test_strength_class(row):
    _, name, value = row.id.split("-")
    assert ec5.STRENGTH_CLASSES[name][("fmk", "rhok", "E005").index(value)] == near(row)


FACTOR = {
    "EC5-kmod-medium": lambda: ec5.K_MOD["medium", 1],
    "EC5-kmod-inst-SC3": lambda: ec5.K_MOD["instantaneous", 3],
    "EC5-gammaM": lambda: ec5.GAMMA_M["solid timber"],
    "EC5-gammaM-conn": lambda: ec5.GAMMA_M["connections"],
}


@pytest.mark.parametrize("row", ROWS.of("EC5-kmod", "EC5-gammaM"), ids=label)
def test_factor(row):
    assert FACTOR[row.id]() == near(row)


def test_every_row_is_computed():
    assert ROWS.complete(), ROWS.faults()
    assert len(ROWS.every) == 33
