"""Nails, wood screws, structural wood screws and lag screws: one kind of thing, looked up by its usual name.

No brands. A structural screw without a report takes the generic dimensions of the table. Users add their own
fasteners, and a stated capacity counts only with its report number and the conditions the report sets.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from fractions import Fraction
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from attrs import field, frozen

from bracing.errors import CODE, Fault, InputError, MissingDataError, shown
from bracing.job.fastener_limits import NOT_STRUCTURAL, faults_of
from bracing.sources import cite
from bracing.units import Inch, Pound, PoundPerInch, Psi


@frozen
class Fastener:
    """One fastener.

    Attributes:
        name: the name it goes by, such as "16d common" or "structural screw 0.22x5".
        kind: one of KINDS, or "bolt".
        diameter: nominal shank diameter D [in].
        root: root diameter of the thread; the shank diameter for nails and bolts [in].
        head: head diameter, or width across the flats [in].
        length: length under the head [in].
        thread: length that holds in withdrawal, from the point; the whole length of a nail [in].
        tip: length of the tapered tip [in].
        fyb: bending yield strength [psi].
        deformed: ring shank made to a named standard.
        report: number of the report the stated capacities come from.
        withdrawal_per_inch: stated withdrawal per inch of thread, load duration 1 [lb/in].
        pull_through: stated head pull-through, load duration 1 [lb].
        steel_tension: stated allowable tension of the steel [lb].
        lateral: stated lateral value, load duration 1 [lb].
        report_gravity: least specific gravity of the wood the stated capacities hold for.
        report_side: least side member thickness they hold for [in].
        report_penetration: least penetration of the main member they hold for [in].
        source: where the dimensions come from.
    """

    name: str
    kind: str
    diameter: Inch
    root: Inch
    head: Inch
    length: Inch
    thread: Inch
    tip: Inch
    fyb: Psi
    deformed: bool = field(default=False, kw_only=True)
    report: str | None = field(default=None, kw_only=True)
    withdrawal_per_inch: PoundPerInch | None = field(default=None, kw_only=True)
    pull_through: Pound | None = field(default=None, kw_only=True)
    steel_tension: Pound | None = field(default=None, kw_only=True)
    lateral: Pound | None = field(default=None, kw_only=True)
    report_gravity: float | None = field(default=None, kw_only=True)
    report_side: Inch | None = field(default=None, kw_only=True)
    report_penetration: Inch | None = field(default=None, kw_only=True)
    source: str = field(kw_only=True)

    def __attrs_post_init__(self) -> None:
        faults = tuple(faults_of(self))
        if faults:
            raise InputError(
                Fault(CODE, f"Fastener.{key}", shown(got), expected) for key, got, expected in faults
            )

    @property
    def yield_diameter(self) -> Inch:
        """Diameter used in the yield equations: D of nails and bolts, root of screws (NDS 12.3.7.1) [in]."""
        return self.diameter if self.kind in {"nail", "bolt"} else self.root


@cache
def fastener_data() -> dict[str, Any]:
    """Read the table of fasteners shipped with the package."""
    return tomllib.loads((files("bracing") / "data" / "fasteners.toml").read_text(encoding="utf-8"))


def bending_yield(diameter: Inch, *, lag: bool = False) -> Psi:
    """Give the bending yield strength by nominal diameter.

    Args:
        diameter: nominal diameter D [in].
        lag: a lag screw; otherwise a nail or any other screw.

    Returns:
        Bending yield strength Fyb [psi].

    Raises:
        MissingDataError: the diameter is outside the published bands.

    Source: NDS table I1.

    Example:
        >>> bending_yield(0.162), bending_yield(0.375, lag=True)
        (90000.0, 45000.0)
    """
    table = fastener_data()["bending_yield"]["lag" if lag else "nail"]
    if diameter >= table["least_diameter"] - 1e-9:
        for largest, strength in table["bands"]:
            if diameter <= largest + 1e-9:
                return float(strength)
    name = "bending yield strengths"
    raise MissingDataError(name, f"{diameter:g} in", [])


def screw_thread(diameter: Inch, length: Inch) -> Inch:
    """Give the thread length of a wood screw: T = max(4 D, 2 L / 3), and no more than the screw is long.

    Args:
        diameter: nominal diameter D [in].
        length: length L [in].

    Returns:
        Thread length T [in].

    Source: NDS table L3.

    Example:
        >>> screw_thread(0.19, 3.0)
        2.0
    """
    return min(length, max(4.0 * diameter, 2.0 * length / 3.0))


def lag_thread(length: Inch) -> Inch:
    """Give the thread length of a lag screw, tip included: listed, or T = min(6, L/2 + 1/2).

    Args:
        length: length L [in].

    Returns:
        Thread length T [in].

    Source: NDS table L2.

    Example:
        >>> lag_thread(4.0), lag_thread(3.5)
        (2.5, 2.25)
    """
    listed = {whole: thread for whole, thread in fastener_data()["lag"]["thread"]}
    return float(listed.get(length, min(6.0, length / 2.0 + 0.5)))


def _inches(value: Inch) -> str:
    """Write 3.25 as "3-1/4", 0.375 as "3/8"."""
    whole, part = divmod(Fraction(value).limit_denominator(16), 1)
    if not part:
        return str(whole)
    return f"{whole}-{part}" if whole else str(part)


def _nail(name: str, D: Inch, L: Inch, head: Inch, source: str) -> Fastener:
    tip = fastener_data()["nail"]["tip_diameters"] * D
    return Fastener(name, "nail", D, D, head, L, L, tip, bending_yield(D), source=source)


def _nails() -> Iterable[Fastener]:
    for family in ("common", "box", "sinker"):
        table = fastener_data()["nail"][family]
        for penny, D, L, head in table["rows"]:
            yield _nail(f"{penny}d {family}", D, L, head, _cited(table["source"]))
    gun = fastener_data()["nail"]["gun"]
    for D, lengths in gun["rows"]:
        for L in lengths:
            yield _nail(
                f"gun nail {D:.3f}x{_inches(L)}", D, L, gun["head_diameters"] * D, _cited(gun["source"])
            )


def _wood_screws() -> Iterable[Fastener]:
    table = fastener_data()["wood_screw"]
    for number, D, root, head in table["rows"]:
        for L in table["lengths"]:
            name = f"wood screw #{number}x{_inches(L)}"
            thread, tip = screw_thread(D, L), table["tip_diameters"] * D
            yield Fastener(
                name,
                "wood screw",
                D,
                root,
                head,
                L,
                thread,
                tip,
                bending_yield(D),
                source=_cited(table["source"]),
            )


def generic_structural_screw(diameter: Inch, length: Inch, *, name: str = "") -> Fastener:
    """Give the generic structural screw of a diameter and length, without a report.

    Root 0.79 D, head 1.9 D, thread two thirds of the length, bending yield strength by diameter.

    Args:
        diameter: shank diameter D [in].
        length: length L [in].
        name: its name; made from the sizes if not given.

    Returns:
        The fastener.

    Source: JUDGEMENT, generic structural screw.

    Example:
        >>> generic_structural_screw(0.22, 5.0).root
        0.1738
    """
    table = fastener_data()["structural_screw"]
    return Fastener(
        name or f"structural screw {diameter:.2f}x{_inches(length)}",
        "structural screw",
        diameter,
        table["root_of_diameter"] * diameter,
        table["head_of_diameter"] * diameter,
        length,
        table["thread_of_length"] * length,
        table["tip_diameters"] * diameter,
        bending_yield(diameter),
        source=_cited(table["source"]),
    )


def _structural_screws() -> Iterable[Fastener]:
    table = fastener_data()["structural_screw"]
    for D in table["diameters"]:
        for L in table["lengths"]:
            yield generic_structural_screw(D, L)


def _lags() -> Iterable[Fastener]:
    table = fastener_data()["lag"]
    for D, root, tip, head in table["rows"]:
        for L in table["lengths"]:
            name, fyb = f"lag {_inches(D)}x{_inches(L)}", bending_yield(D, lag=True)
            yield Fastener(
                name, "lag", D, root, head, L, lag_thread(L), tip, fyb, source=_cited(table["source"])
            )


def _cited(text: str) -> str:
    key, _, clause = text.partition(" ")
    return cite(key, clause)


@cache
def _table() -> dict[tuple[object, ...] | None, Fastener]:
    made = (*_nails(), *_wood_screws(), *_structural_screws(), *_lags())
    return {_name_key(one.name): one for one in made}


def fastener_names() -> tuple[str, ...]:
    """Give every name of the table, in its order."""
    return tuple(one.name for one in _table().values())


_NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+)"
_SIZE = re.compile(rf"({_NUMBER})\s*x\s*({_NUMBER})(?![0-9./])")
_PENNY = re.compile(r"([0-9]+)\s*d(?![a-z])")
_NOISE = {"nail", "nails", "screw", "screws", "bolt", "bolts"}


def _number(text: str) -> float:
    whole, _, part = text.replace("-", " ").rpartition(" ")
    return round((float(whole) if whole else 0.0) + float(Fraction(part)), 4)


def _name_key(name: str) -> tuple[object, ...] | None:
    """Reduce a name to its sizes and the words that matter; None where it holds no size."""
    text = name.lower().replace("×", "x").replace("″", '"').replace("”", '"')
    text = re.sub(r"(?<=[0-9])\s*(?:inch(?:es)?|in\.?|\"|'')(?![a-z])", "", text)
    text = re.sub(r"\bno\.?\s*(?=[0-9])|#\s*", "", text)
    size, penny = _SIZE.search(text), _PENNY.search(text)
    found = size or penny
    if found is None:
        return None
    try:
        numbers = tuple(_number(part) for part in found.groups())
    except (ValueError, ZeroDivisionError):
        return None
    rest = text[: found.start()] + " " + text[found.end() :]
    words = frozenset(re.findall(r"[^\s,]+", rest)) - _NOISE
    return ("x" if size else "d", numbers, words)


@lru_cache(maxsize=1024)
def fastener(name: str, extra: tuple[Fastener, ...] = ()) -> Fastener:
    """Look up a fastener by its usual name; case, spaces and the writing of fractions do not matter.

    Args:
        name: "16d common", "gun nail 0.131x3-1/4", "wood screw #10x3", "structural screw 0.22x5"
            or "lag 3/8x4".
        extra: the user's own fasteners, looked in first.

    Returns:
        The fastener.

    Raises:
        InputError: a drywall or deck screw, which is not structural.
        MissingDataError: no such fastener; carries the near names.

    Example:
        >>> fastener("16D  Common").diameter, fastener('lag screw 3/8" x 4"').name
        (0.162, 'lag 3/8x4')
    """
    refuse_not_structural(name, where="fastener")
    plain = " ".join(name.lower().split())
    for own in extra:
        if " ".join(own.name.lower().split()) == plain:
            return own
    key = _name_key(name) if len(name) <= 60 else None
    found = _table().get(key) if key is not None else None
    if found is None:
        table = "fasteners"
        raise MissingDataError(table, name[:60], [*(own.name for own in extra), *fastener_names()])
    return found


def refuse_not_structural(name: str, *, where: str) -> None:
    """Refuse drywall and deck screws by name.

    Args:
        name: the name as written.
        where: the field it was written in.

    Raises:
        InputError: the name is of a screw that is not structural.
    """
    plain = " ".join(name.lower().split())
    if any(word in plain for word in NOT_STRUCTURAL):
        expected = (
            "a nail or a structural screw: drywall and deck screws are not structural, they are hard and snap"
        )
        raise InputError.of(where, name, expected)
