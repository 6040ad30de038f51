"""The start-up budget of tests/bench/startup.py."""

import pytest

pytest.importorskip("resource")
from tests.bench.startup import BUDGET, least

TRIES = 3


@pytest.mark.slow
@pytest.mark.xdist_group("startup")
@pytest.mark.parametrize(("name", "beside", "most"), BUDGET)
def test_a_start_keeps_to_its_budget(name, beside, most):
    """A busy machine may spoil one measurement; a program that is too slow spoils all of them."""
    ratios = []
    for _ in range(TRIES):
        found = least((name, beside), rounds=4)
        ratios.append(found[name] / found[beside])
        if ratios[-1] <= most:
            return
    pytest.fail(f"{name}: {min(ratios):.2f} times {beside}, budget {most}")
