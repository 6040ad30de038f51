"""What pulls with a scale count for: their low end by a tolerance limit, the lesser of two published routes, bounds.

Pulls are ultimate forces of seconds. What comes out is what one fastener may carry along itself for as long as a gust
lasts, beside the withdrawal of the tables: head, steel and shear are not tested by a pull, and stay.
"""

from __future__ import annotations

import math
from collections import Counter
from functools import lru_cache

from attrs import frozen

from bracing.codes.nds.factors import lasting, wet_withdrawal
from bracing.job.fasteners import kind_of
from bracing.job.pulls import PullTest
from bracing.sources import KNOWN, cite, cited, shipped
from bracing.sums import Known, Sum, formula
from bracing.units import Inch, Pound

READ, MEMORY, COMPUTED, JUDGEMENT = KNOWN


@formula
def pull_by_lever(
    peak: Pound, division: Pound, weight: Pound, *, scale: Inch, weight_at: Inch, arm: Inch
) -> Pound:
    """Give the pull on the fastener, the last step of the scale not counted, the bar's own weight taken off.

    x = ((peak - division) scale - weight weight_at) / arm

    Args:
        peak: the most the scale showed [lb].
        division: its least step [lb].
        weight: of the bar [lb].
        scale: from the fulcrum to the scale [in].
        weight_at: from the fulcrum to where the bar balances [in].
        arm: from the fulcrum to the fastener [in].

    Returns:
        Pull on the fastener x [lb].

    Source: STATICS, moments about the fulcrum.

    Example:
        >>> pull_by_lever(132.0, 5.0, 6.0, scale=40.0, weight_at=20.0, arm=8.0)
        620.0
    """
    return ((peak - division) * scale - weight * weight_at) / arm


@formula
def straight_pull(peak: Pound, division: Pound) -> Pound:
    """Give the pull on a fastener that hangs on the scale, its last step not counted: x = peak - division.

    Args:
        peak: the most the scale showed [lb].
        division: its least step [lb].

    Returns:
        Pull on the fastener x [lb].

    Source: STATICS.

    Example:
        >>> straight_pull(132.0, 5.0)
        127.0
    """
    return peak - division


@formula
def mean_of(total: float, n: float) -> float:
    """Give the mean of pulls: m = total / n.

    Args:
        total: of them all [lb or -].
        n: how many [-].

    Returns:
        Mean [lb or -].

    Source: EN14358 3.2.2.

    Example:
        >>> mean_of(1800.0, 3)
        600.0
    """
    return total / n


@formula
def spread_of(squares: float, n: float, least: float) -> float:
    """Give the standard deviation of the logarithms, no less than a floor: s = max(√(squares / (n - 1)), least).

    Args:
        squares: of what each logarithm differs from their mean, in all [-].
        n: how many [-].
        least: the floor [-].

    Returns:
        Standard deviation s [-].

    Source: EN14358 3.2.2; JUDGEMENT, the floor.

    Example:
        >>> spread_of(0.16, 5, 0.15), spread_of(0.01, 5, 0.15)
        (0.2, 0.15)
    """
    return max(math.sqrt(squares / (n - 1.0)), least)


@formula
def counting_as(n: float, squares: float, alike: float, *, least: float) -> float:
    """Give how many pulls so many from few boards count as.

    ne = max(n / (1 + alike (squares / n - 1)), least)

    Args:
        n: how many pulls [-].
        squares: of how many were in each board, in all [-].
        alike: part of the spread that is the board's [-].
        least: the fewest they count as [-].

    Returns:
        Pulls of boards of their own ne [-].

    Source: JUDGEMENT, half of the spread is the board's.

    Example:
        >>> counting_as(10, 10, 0.5, least=3.0), round(counting_as(10, 26, 0.5, least=3.0), 2)
        (10.0, 5.56)
    """
    return max(n / (1.0 + alike * (squares / n - 1.0)), least)


@lru_cache(maxsize=1024)
def tolerance_factor(n: float, *, confidence: float = 0.75, share_below: float = 0.05) -> float:
    """Give k of a one-sided tolerance limit of a normal sample: mean - k s has most above it, at a confidence.

    k = t(confidence; n - 1, z √n) / √n, with t of the non-central t-distribution and z of the normal.

    Args:
        n: how many values; they need not be whole [-].
        confidence: how surely [-].
        share_below: the share below the limit [-].

    Returns:
        Factor k [-].

    Source: EN14358 3.2.2.

    Example:
        >>> [round(tolerance_factor(n), 3) for n in (3, 5, 10, 28)]
        [3.152, 2.463, 2.104, 1.878]
    """
    from scipy.special import nctdtrit, ndtri

    off = -float(ndtri(share_below)) * math.sqrt(n)
    return float(nctdtrit(n - 1.0, off, confidence)) / math.sqrt(n)


@formula
def low_end_of(mean: float, k: float, s: float) -> Pound:
    """Give the low end of the pulls, by the logarithms: x05 = exp(mean - k s).

    Args:
        mean: of the logarithms [-].
        k: tolerance factor [-].
        s: their standard deviation [-].

    Returns:
        Low end x05 [lb].

    Source: EN14358 3.2.2.

    Example:
        >>> round(low_end_of(6.4, 2.104, 0.15))
        439
    """
    return math.exp(mean - k * s)


@formula
def lower_of(limit: Pound, ordered: Pound) -> Pound:
    """Give the lower of the low end and the pull that is one by its rank alone: x05 = min(limit, ordered).

    Args:
        limit: low end by the logarithms [lb].
        ordered: lowest, second or third pull [lb].

    Returns:
        Low end x05 [lb].

    Source: D2915 nonparametric lower tolerance limit (from memory).

    Example:
        >>> lower_of(430.0, 415.0)
        415.0
    """
    return min(limit, ordered)


@formula
def by_a_fifth(CD: float, CM: float, mean: Pound, *, of: float) -> Pound:
    """Give what a fifth of the mean allows: A1 = CD CM mean / of.

    Args:
        CD: load duration factor [-].
        CM: wet service factor [-].
        mean: mean of the pulls [lb].
        of: five [-].

    Returns:
        Allowable by the first route A1 [lb].

    Source: FPL-093; NDS 12.2-3, 11.3.3.

    Example:
        >>> round(by_a_fifth(1.6, 1.0, 609.0, of=5.0), 1)
        194.9
    """
    return CD * CM * mean / of


@formula
def by_low_end(kmod: float, x05: Pound, gM: float, *, gQ: float) -> Pound:
    """Give what the low end allows over its partial factors: A2 = kmod x05 / (gM gQ).

    Args:
        kmod: factor of duration and moisture [-].
        x05: low end of the pulls [lb].
        gM: partial factor of the material [-].
        gQ: partial factor of the wind [-].

    Returns:
        Allowable by the second route A2 [lb].

    Source: EN1995 2.4.1, 3.1.3 (from memory).

    Example:
        >>> round(by_low_end(0.7, 424.0, 1.3, gQ=1.5), 1)
        152.2
    """
    return kmod * x05 / (gM * gQ)


@formula
def by_lowest(lowest: Pound, of: float) -> Pound:
    """Give what few pulls allow, a third of the lowest: A = lowest / of.

    Args:
        lowest: lowest pull [lb].
        of: three [-].

    Returns:
        Allowable A, of no more than the tables give [lb].

    Source: D7147 (from memory).

    Example:
        >>> by_lowest(540.0, 3.0)
        180.0
    """
    return lowest / of


@formula
def lesser_route(A1: Pound, A2: Pound) -> Pound:
    """Give the lesser of the two routes: A = min(A1, A2).

    Args:
        A1: by a fifth of the mean [lb].
        A2: by the low end [lb].

    Returns:
        Allowable A [lb].

    Source: JUDGEMENT, the lesser of two published routes.

    Example:
        >>> lesser_route(195.0, 152.0)
        152.0
    """
    return min(A1, A2)


@formula
def after_moisture(A: Pound, CM: float) -> Pound:
    """Give what is left where the wood was not pulled as it will be: A' = A CM.

    Args:
        A: allowable [lb].
        CM: wet service factor [-].

    Returns:
        What is left A' [lb].

    Source: NDS 11.3.3.

    Example:
        >>> after_moisture(160.0, 0.25)
        40.0
    """
    return A * CM


@formula
def as_deep_as(A: Pound, p: Inch, deep: Inch) -> Pound:
    """Give the part of it for what is in the board of the joint: A' = A min(p / deep, 1).

    Args:
        A: allowable of the test [lb].
        p: length that holds in the joint [in].
        deep: length that held at the pull [in].

    Returns:
        Allowable in the joint A' [lb].

    Source: NDS 12.2, withdrawal grows with the length that holds; JUDGEMENT, it is never raised.

    Example:
        >>> as_deep_as(150.0, 1.0, 1.5), as_deep_as(150.0, 2.0, 1.5)
        (100.0, 150.0)
    """
    return A * min(p / deep, 1.0)


@formula
def as_long_as(A: Pound, CD: float, gust: float) -> Pound:
    """Give what is allowed for a load that lasts longer than a gust: A' = A CD / gust.

    Args:
        A: allowable of a gust [lb].
        CD: load duration factor of the load [-].
        gust: that of a gust [-].

    Returns:
        Allowable A' [lb].

    Source: NDS table 2.3.2.

    Example:
        >>> as_long_as(160.0, 1.0, 1.6)
        100.0
    """
    return A * CD / gust


@formula
def within_cap(A: Pound, most: float, table: Pound) -> Pound:
    """Give what counts: below the tables always, above them to a cap: W' = min(A, most table).

    Args:
        A: allowable by the pulls [lb].
        most: times the tables' value that may count [-].
        table: withdrawal by the tables [lb].

    Returns:
        Withdrawal that counts W' [lb].

    Source: JUDGEMENT, the next load of wood may not be as dense.

    Example:
        >>> within_cap(152.0, 1.5, 118.0), within_cap(190.0, 1.5, 118.0)
        (152.0, 177.0)
    """
    return min(A, most * table)


@frozen
class Counted:
    """What the pulls of a test come to, for one fastener and wood green or dry.

    Attributes:
        test: the test.
        n: pulls that count.
        boards: boards they were in.
        mean: of the pulls [lb].
        low_end: low end of the pulls; None of few [lb].
        s: standard deviation of the logarithms; None of few [-].
        k: tolerance factor; None of few [-].
        routes: allowable by each route; of few, by a third of the lowest alone [lb].
        allowed: what the test allows, before the bounds by the tables [lb].
        most: times the tables' value that may count; None where a report lifts that [-].
        ne: pulls of boards of their own they count as; None of few [-].
    """

    test: PullTest
    n: int
    boards: int
    mean: Sum
    low_end: Sum | None
    s: Sum | None
    k: Sum | None
    routes: tuple[Sum, ...]
    allowed: Sum
    most: Known | None
    ne: Sum | None = None


def _of(block: str, key: str, words: str) -> Known:
    """A value of the table of pulls, with its words."""
    row = shipped("pulls")[block]
    known = MEMORY if key in row.get("from_memory", ()) else row["known"]
    source = cited(row["source"])
    return Known(
        row[key],
        words,
        f"{source} (from memory)" if known == MEMORY and "memory" not in source else source,
        known,
    )


def pulls_of(test: PullTest) -> tuple[Sum, ...]:
    """Give the pulls of a test that count, as sums, in their order [lb].

    Args:
        test: the test.

    Source: STATICS.
    """
    said = cite("USER", f"pull test {test.name}")
    division = Known(test.division, "least step of the scale", said)
    found = []
    for k in test.counted:
        peak = Known(test.peaks[k], f"peak of pull {k + 1}", said)
        if test.lever is None:
            found.append(straight_pull(peak, division))
            continue
        bar = Known(test.lever.weight, "weight of the bar", said)
        found.append(
            pull_by_lever(
                peak,
                division,
                bar,
                scale=test.lever.scale,
                weight_at=test.lever.weight_at,
                arm=test.lever.fastener,
            )
        )
    return tuple(_sum(each) for each in found)


def _sum(value: float) -> Sum:
    assert isinstance(value, Sum)
    return value


@lru_cache(maxsize=256)
def counted(test: PullTest, kind: str, *, green: bool, reported: bool = False) -> Counted:
    """Give what the pulls of a test come to.

    Args:
        test: the test.
        kind: kind of fastener.
        green: the wood is green, or may be.
        reported: the fastener has a report of its own.

    Source: EN14358 3.2.2; EN1995 2.4.1; NDS 12.2; JUDGEMENT, the bounds.
    """
    pulls = pulls_of(test)
    n, in_board = len(pulls), Counter(test.boards[k] for k in test.counted)
    said = cite("USER", f"pull test {test.name}")
    mean = _sum(mean_of(Known(sum(map(float, pulls)), f"sum of {n} pulls", said, by=pulls), n))
    few = n < shipped("pulls")["few"]["under"]
    s = k = low_end = ne = None
    routes: tuple[Pound, ...]
    if few:
        lowest = Known(min(map(float, pulls)), "the lowest pull", said, by=pulls)
        routes = (by_lowest(lowest, _of("few", "of_lowest", "part of the lowest, one in")),)
        allowed = _after(test, kind, routes[0], green=green, first=False)
    else:
        s, k, low_end, ne = _low_end(pulls, in_board, said)
        CM = 1.0 if kind_of(kind).driven else _screw(test, kind, green=green)
        first = by_a_fifth(
            lasting(shipped("joints")["load_duration"]["ten_minutes"]),
            CM,
            mean,
            of=_of("fifth", "of", "part of the mean, one in"),
        )
        kmod = _of("route", "green" if green else "dry", f"k_mod, {'green' if green else 'kept dry'}")
        gM, gQ = (_of("route", key, f"partial factor of the {key}") for key in ("material", "load"))
        second = by_low_end(kmod, low_end, gM, gQ=gQ)
        routes = (first, second)
        allowed = _after(test, kind, lesser_route(first, second), green=green, first=True)
    return Counted(
        test, n, len(in_board), mean, low_end, s, k, tuple(map(_sum, routes)), _sum(allowed),
        _most(len(in_board), few=few, reported=reported), ne,
    )  # fmt: skip


def _low_end(pulls: tuple[Sum, ...], in_board: Counter[int], said: str) -> tuple[Sum, Sum, Sum, Sum]:
    """Spread, tolerance factor, low end, and as how many pulls they count."""
    n, logs = len(pulls), [math.log(pull) for pull in pulls]
    mean = mean_of(Known(sum(logs), "sum of the natural logarithms of the pulls", said, by=pulls), n)
    squares = sum((each - sum(logs) / n) ** 2 for each in logs)
    s = spread_of(
        Known(squares, "squares of what each logarithm differs from their mean, in all", said), n,
        _of("spread", "least", "least spread"),
    )  # fmt: skip
    ne = counting_as(
        n, Known(sum(m * m for m in in_board.values()), "squares of the pulls in each board, in all", said),
        _of("boards", "alike", "part of the spread that is the board's"),
        least=_of("boards", "least", "fewest they count as"),
    )  # fmt: skip
    row = shipped("pulls")["low_end"]
    factor = tolerance_factor(float(ne), confidence=row["confidence"], share_below=row["share_below"])
    words = "k, 95 of a hundred above the low end at a confidence of 0.75, of so many pulls"
    k = Known(factor, words, cited(row["source"]), COMPUTED, by=(ne,))
    low_end = low_end_of(mean, k, s)
    rank = sum(n >= least for least in shipped("pulls")["order"]["from"])
    if rank:
        words = f"pull {rank} from the lowest, a low end of {n} by its rank"
        low_end = lower_of(low_end, Known(sorted(map(float, pulls))[rank - 1], words, said))
    return _sum(s), k, _sum(low_end), _sum(ne)


def _dry(moisture: float | None) -> bool:
    return moisture is not None and moisture <= shipped("pulls")["moisture"]["dry"] + 1e-9


def _screw(test: PullTest, kind: str, *, green: bool) -> float:
    """A screw pulled out of dry wood holds less once it is wet; one whose wood was not measured may have been dry."""
    if green and (test.pulled is None or _dry(test.pulled)):
        return wet_withdrawal(kind, made_wet=False, serves_wet=True)
    return 1.0


def _nail(test: PullTest, kind: str, *, green: bool) -> float:
    """A nail keeps its hold where it is driven and kept dry, or was pulled after its wood had dried."""
    kept = _dry(test.driven) and _dry(test.pulled) and not green
    changed = test.driven is not None and not _dry(test.driven) and _dry(test.pulled)
    return 1.0 if kept or changed else wet_withdrawal(kind, made_wet=True, serves_wet=False)


def left_by_moisture(test: PullTest, kind: str, *, green: bool, dried: bool) -> float:
    """Give the part of a pull that the same fastener holds in the wall [-].

    Args:
        test: the test.
        kind: kind of fastener.
        green: the wall's wood is green, or may be.
        dried: nails driven green are counted as dried since.

    Source: NDS 11.3.3.
    """
    if not kind_of(kind).driven:
        return _screw(test, kind, green=green)
    as_pulled = green and not dried and test.pulled is not None and not _dry(test.pulled)
    return 1.0 if as_pulled else _nail(test, kind, green=green)


def _after(test: PullTest, kind: str, A: Pound, *, green: bool, first: bool) -> Pound:
    """What moisture leaves of it; of a screw the first route has it already."""
    of = _nail if kind_of(kind).driven else _screw
    CM = 1.0 if first and of is _screw else of(test, kind, green=green)
    return A if CM == 1.0 else after_moisture(A, CM)


def _most(boards: int, *, few: bool, reported: bool) -> Known | None:
    """How many times the tables' value may count; None where a report lifts that."""
    if few:
        return Known(1.0, "times the tables, of few pulls", cited("D7147 (from memory)"), MEMORY)
    if boards < shipped("pulls")["cap"]["boards"]:
        return Known(
            1.0, "times the tables, of few boards", cited(shipped("pulls")["cap"]["source"]), JUDGEMENT
        )
    return None if reported else _of("cap", "over_table", "times the tables, without a report")


def in_joint(found: Counted, table: Pound, p: Inch, *, CD: float) -> Pound:
    """Give the withdrawal of the point that counts in a joint [lb].

    Args:
        found: what the pulls come to.
        table: withdrawal by the tables there [lb].
        p: length that holds there [in].
        CD: load duration factor of the load [-].

    Source: NDS 12.2; JUDGEMENT, the bounds.
    """
    gust = shipped("joints")["load_duration"]["ten_minutes"]
    said = cite("USER", f"pull test {found.test.name}")
    A: Pound = found.allowed
    deep = found.test.depth
    if deep is not None and p < deep:
        A = as_deep_as(A, p, Known(deep, "length that held at the pull", said))
    if gust != CD:
        A = as_long_as(A, lasting(CD), gust)
    return A if found.most is None else within_cap(A, found.most, table)
