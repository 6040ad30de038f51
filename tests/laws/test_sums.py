"""What is printed of a formula is what its body does; and a sum is a float to everything else."""

from __future__ import annotations

import json
import pickle
from importlib import import_module

import numpy as np
import pytest

from bracing.codes.joints import Joint, Ply, load_of_each, one_load
from bracing.codes.nds.dowels import Bearing, Dowel, yield_modes
from bracing.codes.nds.fastener import fastener_capacity, linear_interaction
from bracing.codes.nds.withdrawal import nail_withdrawal
from bracing.job.fasteners import fastener
from bracing.sums import FORMULAS, Known, Sum, arithmetic, formula, leaves, names_of, parts, printed
from tests.house.tree import modules
from tests.unit.test_trace import by_hand

for module in modules():
    if module.startswith(("codes.", "chain.", "panel.")):
        import_module(f"bracing.{module}")
EVERY = [of for of in FORMULAS if of.__module__.startswith("bracing.")]
# Where an argument means something only in a part of the numbers: fasteners are whole, u is over 1, m under it.
# What a column has left of its buckling value is more than nothing, or its ratio is infinite.
WITHIN = {
    "u": (1.001, 1.9), "m": (0.2, 0.9), "angle": (0.2, 1.3), "fc": (0.05, 0.15), "s": (0.01, 0.2), "theta": (0.2, 1.3),
    "slope": (0.2, 1.0), "solid": (0.1, 0.99), "capacity": (3.1, 6.0),
}  # fmt: skip
SPF = Ply("wood", 1.5, 0.42)
NAIL = fastener("16d common")


def drawn(rng, name):
    if name == "n":
        return int(rng.integers(2, 9))
    return round(float(rng.uniform(*WITHIN.get(name, (0.4, 3.0)))), 4)


@pytest.mark.parametrize(
    "of", EVERY, ids=lambda of: f"{of.__module__.removeprefix('bracing.')}.{of.__name__}"
)
def test_the_printed_expression_is_what_the_body_does(of):
    """The docstring's own line, filled with random numbers and worked out on a calculator, gives the value."""
    rng = np.random.default_rng(20)
    for _ in range(50):
        made = of(**{name: drawn(rng, name) for name in names_of(of)})
        assert isinstance(made, Sum)
        assert by_hand(arithmetic(made)) == pytest.approx(float(made), rel=2e-6, abs=1e-9), arithmetic(made)


def test_every_formula_prints_its_words_symbol_and_clause():
    print(f"formulas held: {len(EVERY)}")
    assert len(EVERY) >= 45
    for of in EVERY:
        said = printed(of)
        assert len(said.words.split()) >= 2
        assert said.symbol
        assert said.source


def test_a_line_that_is_not_what_the_body_does_is_found():
    @formula
    def wrong(a: float, b: float) -> float:
        """Give a wrong one: x = a b.

        Returns:
            It [-].

        Source: STATICS.
        """
        return a * b**2

    assert by_hand(arithmetic(wrong(2.0, 3.0))) == 6.0
    assert wrong(2.0, 3.0) == 18.0


def test_a_factor_left_out_of_the_print_is_one():
    one, known = Known(1.0, "a factor somebody chose", "statics"), 1.0
    said = fastener_capacity(Joint(NAIL, plies=(SPF, SPF), moisture="dry")).lateral
    assert arithmetic(said).count("×") == 1
    assert one == known
    assert float(said) == pytest.approx(by_hand(arithmetic(said)), rel=1e-6)


def test_a_sum_is_a_float_to_arithmetic_files_and_arrays():
    W = nail_withdrawal(0.5, 0.148)
    plain = float(W)
    assert type(W * 2.0) is type(W + W) is type(-W) is float
    assert json.dumps({"W": W}) == json.dumps({"W": plain})
    assert hash(W) == hash(plain)
    assert f"{W:.3f} {W} {W!r}" == f"{plain:.3f} {plain} {plain!r}"
    for made in (np.array([W, W]), np.full(2, W), np.asarray(W), W * np.ones(2), np.maximum(W, np.zeros(2))):
        assert made.dtype == np.float64
        assert (made == plain).all()


def test_a_sum_comes_back_from_another_process_with_all_it_was_made_of():
    one = fastener_capacity(Joint(NAIL, plies=(SPF, SPF), moisture="green")).lateral
    again = pickle.loads(pickle.dumps(one))
    assert [arithmetic(part) for part in parts(again)] == [arithmetic(part) for part in parts(one)]
    assert [leaf.source for leaf in leaves(again)] == [leaf.source for leaf in leaves(one)]
    assert type(leaves(again)[0]) is Known
    assert again == one


def test_arrays_come_back_untouched():
    shear = np.array([10.0, 20.0])
    many = linear_interaction(shear=shear, tension=0.0, lateral=100.0, axial=50.0)
    assert type(many) is np.ndarray
    assert many.tolist() == [0.1, 0.2]


def test_the_governing_yield_mode_shows_its_own_equation():
    modes = yield_modes(Dowel(0.162, 0.162, 90e3), Bearing(1.838, 3350.0), Bearing(1.5, 3350.0))
    shown = [part.of.__name__ for part in parts(modes.least)]
    assert shown == ["strength_ratio", "diameter_coefficient", f"mode_{modes.governing}", "least_mode"]


def test_what_a_deck_panel_holds_is_shown_with_the_panels_own_factor_and_clause():
    """Wet, a panel keeps 0.75 of a nail: the quarter of a nail in green lumber is another clause."""
    one = fastener_capacity(Joint(NAIL, plies=(SPF, Ply("panel", 0.72, 0.5)), moisture="green")).withdrawal
    wet = one.arguments["CM"]
    assert (float(wet), wet.source) == (0.75, "Herzog and Yeh summary")
    wood = fastener_capacity(Joint(NAIL, plies=(SPF, SPF), moisture="green")).withdrawal.arguments["CM"]
    assert (float(wood), wood.source) == (0.25, "NDS 2018 table 11.3.3")


def test_one_load_of_so_many_uses_what_both_together_use_with_the_other_at_nothing():
    V = load_of_each(400.0, 4)
    assert float(V) == 100.0
    both = linear_interaction(shear=V, tension=0.0, lateral=250.0, axial=50.0)
    assert float(one_load(V, 250.0)) == float(both) == 0.4
    assert one_load(1.0, 0.0) == np.inf
