"""Scatter of strength, of wind and of the reckoning itself, as published; nothing here is a design rule."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bracing.sources import shipped
from bracing.units import Mph

Array = NDArray[np.float64]

MONTHS_PER_YEAR, NIGHTS_PER_MONTH = 12.0, 30.44
POINTS = 64  # of the quadrature over the wind's own scatter


def log_scatter(cov: float) -> float:
    """Give the standard deviation of the logarithm of a lognormal value: ζ = √(ln(1 + COV^2)).

    Args:
        cov: coefficient of variation [-].

    Returns:
        ζ [-].

    Source: STATICS, moments of the lognormal distribution.

    Example:
        >>> round(log_scatter(0.25), 4)
        0.2462
    """
    return math.sqrt(math.log1p(cov**2))


def median_over_mean(cov: float) -> float:
    """Give the median of a lognormal value over its mean: 1 / √(1 + COV^2).

    Args:
        cov: coefficient of variation [-].

    Returns:
        The ratio [-].

    Source: STATICS, moments of the lognormal distribution.

    Example:
        >>> round(median_over_mean(0.25), 4)
        0.9701
    """
    return 1.0 / math.sqrt(1.0 + cov**2)


def mean_over_fifth(cov: float) -> float:
    """Give the mean of a lognormal value over its 5% point: √(1 + COV^2) exp(1.6449 ζ).

    Args:
        cov: coefficient of variation [-].

    Returns:
        The ratio [-].

    Source: STATICS, moments of the lognormal distribution.

    Example:
        >>> round(2.1 / 1.6 * mean_over_fifth(0.25), 2)
        2.03
    """
    return math.exp(shipped("chance")["fifth"]["normal"] * log_scatter(cov)) / median_over_mean(cov)


def mean_of_lateral(Rd: float, load_duration: float) -> float:
    """Give the mean force across a fastener over its allowable value: 1.15^2 Rd / CD.

    The yield equations without their reduction term are taken for a characteristic value, 1.15 for its model and 1.15
    from it to the mean.

    Args:
        Rd: reduction term of its yield mode [-].
        load_duration: in the allowable value [-].

    Returns:
        The ratio [-].

    Source: EN1995 8.2.2 (from memory)

    Example:
        >>> round(mean_of_lateral(2.2, 1.6), 2), round(mean_of_lateral(2.7, 1.6), 2)
        (1.82, 2.23)
    """
    more: float = shipped("chance")["lateral"]["more"]
    return more**2 * Rd / load_duration


def mean_of_buckling(cov: float) -> float:
    """Give the mean buckling value over its allowable one: 1.66 / (1 - 1.645 COV).

    Args:
        cov: coefficient of variation of the modulus [-].

    Returns:
        The ratio [-].

    Source: NDS appendix D-4

    Example:
        >>> round(mean_of_buckling(0.25), 2)
        2.82
    """
    return 1.66 / (1.0 - 1.645 * cov)


def scatter_of_joint(cov: float, n: float) -> float:
    """Give the scatter of a joint of so many fasteners: COV √(0.5 + 0.5 / n).

    Half of it is that of the board, which all of them share.

    Args:
        cov: coefficient of variation of one [-].
        n: how many [-].

    Returns:
        That of the joint [-].

    Source: JUDGEMENT

    Example:
        >>> round(scatter_of_joint(0.36, 4), 4)
        0.2846
    """
    shared: float = shipped("chance")["board"]["shared"]
    return cov * math.sqrt(shared + (1.0 - shared) / n)


def spread_known(s: float, n: float) -> float:
    """Give the spread of the next fastener about the mean of a few pulls, its own spread known: s √(1 + 1/n).

    Args:
        s: standard deviation of the logarithms [-].
        n: how many pulls [-].

    Returns:
        That of the next one [-].

    Source: EN1990 D.7.2, the coefficient of variation known (from memory).

    Example:
        >>> [round(1.6449 * spread_known(1.0, n), 2) for n in (1, 3, 5, 10)]
        [2.33, 1.9, 1.8, 1.73]
    """
    return s * math.sqrt(1.0 + 1.0 / n)


def spread_of_next(s: float, n: float) -> float:
    """Give the spread of the next fastener about the mean of pulls, its own spread found from them as well.

    s t(0.95; n - 1) √(1 + 1/n) / 1.6449, with t of the t-distribution: what has the 5% point of the next one.

    Args:
        s: standard deviation of the logarithms [-].
        n: how many pulls; they need not be whole [-].

    Returns:
        That of the next one [-].

    Source: EN1990 D.7.2, the coefficient of variation unknown (from memory).

    Example:
        >>> [round(1.6449 * spread_of_next(1.0, n), 2) for n in (3, 5, 10, 30)]
        [3.37, 2.34, 1.92, 1.73]
    """
    from scipy.special import stdtrit

    t = float(stdtrit(n - 1.0, 1.0 - shipped("chance")["fifth"]["share"]))
    return spread_known(s, n) * t / float(shipped("chance")["fifth"]["normal"])


def scatter_of_log(s: float) -> float:
    """Give the coefficient of variation of a lognormal value: √(exp(s^2) - 1).

    Args:
        s: standard deviation of its logarithm [-].

    Returns:
        The coefficient of variation [-].

    Source: STATICS, moments of the lognormal distribution.

    Example:
        >>> round(scatter_of_log(log_scatter(0.25)), 12)
        0.25
    """
    return math.sqrt(math.expm1(s**2))


def scatter_of_load() -> float:
    """Give the scatter of the load a gust brings, coefficient and model together: √(0.20^2 + 0.15^2).

    Returns:
        Coefficient of variation [-].

    Source: JCSS 2.13

    Example:
        >>> scatter_of_load()
        0.25
    """
    of = shipped("chance")["load"]
    return math.hypot(of["coefficient"], of["model"])


def load_at(z: Array) -> Array:
    """Give the load over its mean at so many standard deviations: X = exp(ζ z - ζ^2 / 2).

    Args:
        z: standard normal [-].

    Returns:
        X [-].

    Source: JCSS 2.13

    Example:
        >>> float(load_at(np.zeros(1))[0].round(4))
        0.9701
    """
    zeta = log_scatter(scatter_of_load())
    return np.asarray(np.exp(zeta * z - zeta**2 / 2.0))


# -- wind --------------------------------------------------------------------------------------------------


def part_of_fifty(years: float) -> float:
    """Give the gust of a mean recurrence interval over that of fifty years: 0.36 + 0.10 ln(12 T).

    Args:
        years: mean recurrence interval T [years].

    Returns:
        The part [-].

    Source: ASCE7 C26.5

    Example:
        >>> round(part_of_fifty(50.0), 3), round(part_of_fifty(700.0), 3)
        (1.0, 1.264)
    """
    of = shipped("chance")["peaks"]
    return float(of["start"] + of["slope"] * math.log(MONTHS_PER_YEAR * years))


def fifty_of_design(design_speed: Mph) -> Mph:
    """Give the gust of fifty years from a basic wind speed of Risk Category II, 700 years: V50 = V / 1.264.

    Args:
        design_speed: basic wind speed [mph].

    Returns:
        V50 [mph].

    Source: ASCE7 C26.5

    Example:
        >>> round(fifty_of_design(115.0), 1)
        91.0
    """
    return design_speed / part_of_fifty(shipped("chance")["peaks"]["years"])


def nightly_rate(gust: Mph | Array, fifty: Mph) -> Array:
    """Give how many peaks over a gust a night has: exp(-(V / V50 - 0.36) / 0.10) / 30.44.

    Args:
        gust: one or many [mph].
        fifty: gust of fifty years [mph].

    Returns:
        Peaks a night [1/night].

    Source: ASCE7 C26.5

    Example:
        >>> round(1.0 / float(nightly_rate(37.0, 91.0)), 1)
        48.5
    """
    of = shipped("chance")["peaks"]
    return np.asarray(np.exp(-(np.asarray(gust) / fifty - of["start"]) / of["slope"]) / NIGHTS_PER_MONTH)


def chance_in_nights(rate: Array, nights: float) -> Array:
    """Give the chance of one peak or more in so many nights: 1 - exp(-rate nights).

    Args:
        rate: peaks a night [1/night].
        nights: how many [-].

    Returns:
        The chance [-].

    Source: STATICS, a Poisson process.

    Example:
        >>> round(float(chance_in_nights(np.array(0.02), 21.0)), 3)
        0.343
    """
    return np.asarray(-np.expm1(-rate * nights))


def chance_over(gust: Mph | Array, *, median: Mph, scatter: float) -> Array:
    """Give the chance that the peak of a night passes a gust: Φ(ln(median / V) / σ).

    Args:
        gust: one or many [mph].
        median: of the peak [mph].
        scatter: standard deviation of its logarithm, σ [-].

    Returns:
        The chance [-].

    Source: STATICS, the lognormal distribution.

    Example:
        >>> round(float(chance_over(37.0, median=1.05 * 45.0, scatter=0.20)), 2)
        0.89
    """
    from scipy.special import ndtr

    with np.errstate(divide="ignore"):
        return np.asarray(ndtr(np.log(median / np.asarray(gust, dtype=float)) / scatter))


def wilson(hits: float, draws: float) -> tuple[float, float]:
    """Give the 95% interval of a share counted in so many draws.

    (p + z^2/2n ± z √(p (1 - p)/n + z^2/4n^2)) / (1 + z^2/n)

    Args:
        hits: counted [-].
        draws: of so many [-].

    Returns:
        Its low and high end [-].

    Source: WILSON

    Example:
        >>> [round(end, 4) for end in wilson(10, 100)], [round(end, 2) for end in wilson(3, 3)]
        ([0.0552, 0.1744], [0.44, 1.0])
    """
    z: float = shipped("chance")["interval"]["normal"]
    p, z2 = hits / draws, z * z / draws
    middle, half = p + z2 / 2.0, z * math.sqrt(p * (1.0 - p) / draws + z2 / (4.0 * draws))
    return max(0.0, (middle - half) / (1.0 + z2)), min(1.0, (middle + half) / (1.0 + z2))
