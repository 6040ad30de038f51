"""Closeness to a printed value: the tolerance comes from the digits that were printed."""

from __future__ import annotations

from decimal import Decimal

import pytest


def half_of_last_digit(text: str) -> float:
    """Half of the last digit printed: "0.85" is known to 0.005, "1,380" to 0.5, "1.2e6" to 0.05e6."""
    exponent = Decimal(text.replace(",", "")).as_tuple().exponent
    assert isinstance(exponent, int), f"{text} is not a number as printed"
    # A rounded tie may land on either side of the half by one bit.
    return 0.5 * 10.0**exponent * (1.0 + 1e-9)


def printed(text: str, *, within: float | None = None, because: str = "") -> object:
    """What an actual value is compared to: `assert actual == printed("0.85")`.

    A looser tolerance takes its reason: `printed("72", within=0.6, because="Fe is rounded to 50 psi there")`.
    """
    half = half_of_last_digit(text)
    if within is None:
        assert not because, "a reason without a looser tolerance"
    else:
        assert because, f"{text} within {within}: a tolerance other than the printed digits needs its reason"
    return pytest.approx(float(text.replace(",", "")), abs=half if within is None else within, rel=0.0)
