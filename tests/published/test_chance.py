"""Values behind chances as their sources print them, and as they follow from those by hand."""

import pytest

from bracing.codes.chance import (
    chance_over,
    fifty_of_design,
    mean_of_buckling,
    mean_of_lateral,
    nightly_rate,
    part_of_fifty,
    scatter_of_joint,
    scatter_of_load,
    wilson,
)
from bracing.codes.joints import Joint, Ply
from bracing.codes.medians import Strength, mean_of_drawn, mean_of_stick, reduction_of, scatter_of
from bracing.codes.nds.dowels import diameter_coefficient
from bracing.job.fasteners import fastener
from tests.approx import printed


@pytest.mark.parametrize(
    ("name", "mean"), [("16d common", "3.13"), ("structural screw 0.22x5", "3.13"), ("lag 3/8x4", "2.81")]
)
def test_a_fifth_of_what_was_pulled_is_allowed_and_of_lags_less(name, mean):
    """FPL-093: 1380 allowed of 6900, the load duration of ten minutes in what is counted; 4.5 of lags."""
    assert mean_of_drawn(fastener(name)) == printed(mean)


@pytest.mark.parametrize(
    ("kind", "mean", "scatter"),
    [("bending or shear", "2.03", "0.25"), ("tension", "2.22", "0.30"), ("crushing", "1.68", "0.20"),
     ("buckling", "2.82", "0.25")],
)  # fmt: skip
def test_lumber_has_its_five_percent_point_so_far_over_what_is_allowed(kind, mean, scatter):
    """2.1/1.6 and 1.9/1.6 of D1990 (from memory), COV of JCSS 3.5; NDS D-4 of buckling."""
    assert mean_of_stick(Strength(kind)) == printed(mean)
    assert scatter_of(Strength(kind)) == printed(scatter)


@pytest.mark.parametrize(("D", "mean"), [(0.162, "1.82"), (0.22, "2.23")])
def test_across_a_fastener(D, mean):
    """EN 1995 8.2.2 (from memory): 1.15 squared times the reduction term over 1.6."""
    assert mean_of_lateral(diameter_coefficient(D), 1.6) == printed(mean)


@pytest.mark.parametrize(("name", "mean"), [("16d common", "1.82"), ("structural screw 0.22x5", "1.85")])
def test_across_a_fastener_as_its_allowable_value_has_it(name, mean):
    """A screw yields at its root, 0.174 in, and K_D is of the root (NDS 12.3.7.1): 10 x 0.174 + 0.5 = 2.24, not 2.7."""
    one = fastener(name)
    joint = Joint(one, (Ply("wood", 1.5, 0.42), Ply("wood", 9.25, 0.42)), "dry")
    assert mean_of_lateral(reduction_of(joint, "IV"), 1.6) == printed(mean)


@pytest.mark.parametrize(("root", "KD"), [(0.152, "2.2"), (0.171, "2.21"), (0.173, "2.23"), (0.227, "2.77")])
def test_the_printed_reduction_is_that_of_roots(root, KD):
    """NDS table 12.3.1B beside 12.3.7.1: roots of wood screws No. 10 and 12 and of lags 1/4 and 5/16."""
    assert diameter_coefficient(root) == printed(KD)


def test_across_the_grain_by_the_factors_its_40_psi_have():
    """1.3/0.9 of the 5% point, and from that to the mean at 0.25: 1.444 x 1.545."""
    assert mean_of_stick(Strength.ACROSS) == printed("2.23")
    assert scatter_of(Strength.ACROSS) == printed("0.25")


def test_buckling_by_its_own_formula():
    assert mean_of_buckling(0.25) == printed("2.82")


def test_peaks_by_their_recurrence():
    """ASCE 7 C26.5: 0.36 + 0.10 ln(12 T) is 1 at fifty years, 0.61 at one and 1.26 at 700."""
    assert part_of_fifty(50.0) == printed("1.00")
    assert part_of_fifty(1.0) == printed("0.61")
    assert part_of_fifty(700.0) == printed("1.26")
    assert fifty_of_design(115.0) == printed("91.0")
    assert fifty_of_design(115.0) * part_of_fifty(700.0) == printed("115.000")
    assert 1.0 / float(nightly_rate(37.0, fifty_of_design(115.0))) == printed("48.5")


def test_a_peak_passes_what_is_foretold():
    assert 100.0 * float(chance_over(37.0, median=1.05 * 45.0, scatter=0.20)) == printed("89")


def test_load_and_joint_scatter():
    assert scatter_of_load() == printed("0.25")
    assert scatter_of_joint(0.36, 4) == printed("0.285")
    assert scatter_of_joint(0.36, 1) == printed("0.36")


def test_the_interval_of_a_counted_share():
    """10 of 100: 0.0552 to 0.1744 (from memory, as any table of it prints); none of three allows 0.56."""
    low, high = wilson(10, 100)
    assert low == printed("0.0552")
    assert high == printed("0.1744")
    assert wilson(0, 3)[1] == printed("0.56")
