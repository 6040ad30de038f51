"""Nails, wood screws, structural wood screws and lag screws: one kind of thing, looked up by its usual name.

The user's own fasteners are read from rows of their TOML table and held to the same rules.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from attrs import field, frozen

from bracing.errors import CODE, Fault, InputError, MissingDataError, near_names, shown
from bracing.sources import cite, cited
from bracing.units import Inch, Pound, PoundPerInch, Psi, finite_number, force, length, pressure

NOT_STRUCTURAL = ("drywall", "deck screw", "deckscrew", "decking screw", "deck-screw")
MOST_FASTENERS = 100  # of the user's own
DIAMETERS = (0.099, 1.0)
LENGTHS = (0.5, 24.0)
GRAVITIES = (0.3, 0.8)
YIELDS = (30e3, 250e3)
SIDES = (0.02, 24.0)
PENETRATIONS = (0.1, 24.0)
STATED = (0.1, 1e5)
STATED_BY_REPORT = ("withdrawal_per_inch", "pull_through", "steel_tension", "lateral")
CONDITIONS = {  # least values the report sets, and the stated capacities that need them
    "report_gravity": ("withdrawal_per_inch", "pull_through", "lateral"),
    "report_side": ("pull_through", "lateral"),
    "report_penetration": ("lateral",),
}


def limits_of(D: Inch, L: Inch) -> dict[str, tuple[float, float]]:
    """Give least and greatest of every number of a fastener, in inches, pounds and psi.

    Args:
        D: nominal diameter [in].
        L: length [in].

    Source: JUDGEMENT, the sizes that are sold.
    """
    return {
        "diameter": DIAMETERS, "length": LENGTHS, "root": (0.5 * D, D), "head": (D, 4.0 * D), "thread": (0.1, L),
        "tip": (0.01, L), "fyb": YIELDS, "report_gravity": GRAVITIES, "report_side": SIDES,
        "report_penetration": PENETRATIONS, **dict.fromkeys(STATED_BY_REPORT, STATED),
    }  # fmt: skip


def faults_of(made: Any) -> Iterable[tuple[str, object, str]]:  # noqa: ANN401  (a fastener, which is made above)
    """Give what is wrong with a fastener: which field, what is there, and what is expected.

    Args:
        made: the fastener.
    """
    numbers = {key: finite_number(getattr(made, key)) for key in limits_of(0.0, 0.0)}
    limits = limits_of(numbers["diameter"] or 0.0, numbers["length"] or 0.0)
    for key, number in numbers.items():
        least, most = limits[key]
        left_out = getattr(made, key) is None and (key in CONDITIONS or key in STATED_BY_REPORT)
        if not left_out and (number is None or not least - 1e-9 <= number <= most + 1e-9):
            yield key, getattr(made, key), f"from {least:g} to {most:g} (in inches, pounds or psi)"
    if made.kind not in kind_names(typed=False):
        yield "kind", made.kind, f"one of: {', '.join(kind_names(typed=False))}"
    if not isinstance(made.deformed, bool):
        yield "deformed", made.deformed, "true or false"
    yield from _texts_of(made)
    stated = [key for key in STATED_BY_REPORT if getattr(made, key) is not None]
    if (stated or made.deformed) and made.report is None:
        yield "report", None, "the report or standard its stated values come from"
    for condition, capacities in CONDITIONS.items():
        given = [key for key in capacities if key in stated]
        if given and getattr(made, condition) is None:
            yield condition, None, f"the least value the report sets for {', '.join(given)}"


def _texts_of(made: Any) -> Iterable[tuple[str, object, str]]:  # noqa: ANN401  (a fastener)
    for key, most in (("name", 60), ("report", 80), ("source", 300)):
        text = getattr(made, key)
        if text is None and key == "report":
            continue
        if not isinstance(text, str) or not text.strip() or len(text) > most or not text.isprintable():
            yield key, text, f"text of 1 to {most} letters"
    if isinstance(made.name, str) and any(word in made.name.lower() for word in NOT_STRUCTURAL):
        yield "name", made.name, "a nail or a structural screw"


@frozen(kw_only=True)
class FastenerKind:
    """What a kind of fastener is: which published equations and factors are its own.

    Attributes:
        withdrawal: equation its point holds by; "none" where it holds nothing.
        together: rule for shear and pull together.
        bending_yield: table its bending yield strength is in.
        wet: column of the wet service factors of withdrawal.
        end_grain: what end grain leaves of its withdrawal [-].
        depth: least penetration that counts, in diameters [-].
        tip_counts: its tip counts as penetration.
        root_of_diameter: root where none is given, in diameters [-].
        head_of_diameter: head where none is given, in diameters [-].
        thread: how long its thread is where none is given.
        deformed: equation of a ring shank made to a standard, or "".
        shank: it yields at its shank, for it has no root.
        driven: it is driven and holds with all its length, as a nail does; it may be toe-nailed.
        typed: a person may give one.
        source: where this is from.
        known: how it is known, one of `bracing.sources.KNOWN`.
    """

    withdrawal: str
    together: str
    bending_yield: str
    wet: str
    end_grain: float
    depth: float
    tip_counts: bool
    root_of_diameter: float
    head_of_diameter: float
    thread: str
    source: str
    known: str
    deformed: str = ""
    shank: bool = False
    driven: bool = False
    typed: bool = True


def kind_names(*, typed: bool = True) -> tuple[str, ...]:
    """Give the names of the kinds of fastener.

    Args:
        typed: only those a person may give.

    Example:
        >>> kind_names()
        ('nail', 'wood screw', 'structural screw', 'lag')
    """
    return tuple(name for name, row in fastener_data()["kind"].items() if row.get("typed", True) or not typed)


@cache
def kind_of(name: str) -> FastenerKind:
    """Give what a kind of fastener is.

    Args:
        name: its name.

    Raises:
        MissingDataError: no such kind.

    Example:
        >>> kind_of("lag").depth
        4.0
    """
    rows = fastener_data()["kind"]
    if name not in rows:
        table = "kinds of fasteners"
        raise MissingDataError(table, name, rows)
    return FastenerKind(**rows[name])


@frozen
class Fastener:
    """One fastener.

    Attributes:
        name: the name it goes by, such as "16d common" or "structural screw 0.22x5".
        kind: a row of the table of kinds.
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
        return self.diameter if kind_of(self.kind).shank else self.root


@cache
def fastener_data() -> dict[str, Any]:
    """Read the table of fasteners shipped with the package."""
    return tomllib.loads((files("bracing") / "data" / "fasteners.toml").read_text(encoding="utf-8"))


def bending_yield(diameter: Inch, table: str = "nail") -> Psi:
    """Give the bending yield strength by nominal diameter.

    Args:
        diameter: nominal diameter D [in].
        table: "lag", or "nail" of a nail and any other screw.

    Returns:
        Bending yield strength Fyb [psi].

    Raises:
        MissingDataError: the diameter is outside the published bands.

    Source: NDS table I1.

    Example:
        >>> bending_yield(0.162), bending_yield(0.375, "lag")
        (90000.0, 45000.0)
    """
    block = fastener_data()["bending_yield"][table]
    if diameter >= block["least_diameter"] - 1e-9:
        for largest, strength in block["bands"]:
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
            yield _nail(f"{penny}d {family}", D, L, head, cited(table["source"]))
    gun = fastener_data()["nail"]["gun"]
    for D, lengths in gun["rows"]:
        for L in lengths:
            yield _nail(
                f"gun nail {D:.3f}x{_inches(L)}", D, L, gun["head_diameters"] * D, cited(gun["source"])
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
                source=cited(table["source"]),
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
        source=cited(table["source"]),
    )


def _structural_screws() -> Iterable[Fastener]:
    table = fastener_data()["structural_screw"]
    for D in table["diameters"]:
        for L in table["lengths"]:
            yield generic_structural_screw(D, L)


def _lags() -> Iterable[Fastener]:
    table = fastener_data()["lag"]
    for (D, root, tip), head in zip(table["rows"], table["head"]["across_flats"], strict=True):
        for L in table["lengths"]:
            name, fyb = f"lag {_inches(D)}x{_inches(L)}", bending_yield(D, "lag")
            yield Fastener(
                name, "lag", D, root, head, L, lag_thread(L), tip, fyb, source=cited(table["source"])
            )


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


_LENGTHS = ("diameter", "length", "root", "head", "thread", "tip", "report_side", "report_penetration")
_WORDS = ("name", "kind", "fyb", "deformed", "report", "report_gravity")
_FIELDS = (*_WORDS, *_LENGTHS, *STATED_BY_REPORT)
THREADS: dict[str, Callable[[Inch, Inch], Inch]] = {  # of diameter and length, where none is given
    "whole": lambda _, L: L,
    "wood screw": screw_thread,
    "two thirds": lambda _, L: float(fastener_data()["structural_screw"]["thread_of_length"] * L),
    "lag": lambda _, L: min(6.0, L / 2.0 + 0.5, L),
}


def read_user_fasteners(
    rows: Sequence[Mapping[str, object]], *, file: str = "command line"
) -> tuple[Fastener, ...]:
    """Read the user's own fasteners.

    Args:
        rows: one table per fastener: name, kind, diameter, length, and what is known of the rest. A stated
            capacity (withdrawal_per_inch, pull_through, steel_tension, lateral) needs `report`; all but the
            steel need `report_gravity`, pull-through and lateral `report_side`, lateral `report_penetration`.
        file: the file named in a fault.

    Returns:
        The fasteners, in order.

    Raises:
        InputError: every fault found.

    Example:
        >>> ours = {"name": "our screw", "kind": "structural screw", "diameter": "0.22 in", "length": "5 in"}
        >>> read_user_fasteners([ours])[0].fyb
        80000.0
    """
    faults: list[Fault] = []
    made: list[Fastener] = []
    seen: set[str] = set()
    for index, row in enumerate(rows):
        reader = _Row(f"fastener[{index}]", row, file)
        one = reader.read()
        faults += reader.faults
        if one is None:
            continue
        plain = " ".join(one.name.lower().split())
        if plain in seen:
            faults.append(Fault(file, f"fastener[{index}].name", one.name, "a name used once"))
        seen.add(plain)
        made.append(one)
    if faults:
        raise InputError(faults)
    return tuple(made)


class _Row:
    """One row being read; gathers its faults."""

    def __init__(self, where: str, row: Mapping[str, object], file: str) -> None:
        self.where, self.row, self.file = where, row, file
        self.faults: list[Fault] = []

    def fault(self, key: str, value: object, expected: str) -> None:
        self.faults.append(Fault(self.file, f"{self.where}.{key}", str(value), expected))

    def read(self) -> Fastener | None:
        for key in self.row:
            if key not in _FIELDS:
                near = near_names(str(key), _FIELDS)
                self.fault(str(key), self.row[key], f"one of: {', '.join(near or _FIELDS)}")
        name, kind = self._name(), self._kind()
        D = self._quantity("diameter", length, DIAMETERS, needed=True)
        L = self._quantity("length", length, LENGTHS, needed=True)
        stated: dict[str, Any] = {key: self._quantity(key, force, STATED) for key in STATED_BY_REPORT}
        stated["report"] = self._report(stated)
        stated["report_side"] = self._quantity("report_side", length, SIDES)
        stated["report_penetration"] = self._quantity("report_penetration", length, PENETRATIONS)
        stated["report_gravity"] = self._gravity()
        stated["deformed"] = self._deformed()
        self._conditions(stated)
        if D is None or L is None or name is None or kind is None:
            return None
        return self._build(name, kind, D, L, stated)

    def _build(self, name: str, kind: str, D: float, L: float, stated: dict[str, Any]) -> Fastener | None:
        generic, row, limits = fastener_data()["structural_screw"], kind_of(kind), limits_of(D, L)
        root = self._quantity("root", length, limits["root"]) or row.root_of_diameter * D
        head = self._quantity("head", length, limits["head"]) or row.head_of_diameter * D
        thread = self._quantity("thread", length, limits["thread"]) or THREADS[row.thread](D, L)
        tip = self._quantity("tip", length, limits["tip"]) or generic["tip_diameters"] * D
        fyb = self._fyb(D, kind)
        if fyb is None or self.faults:
            return None
        source = cite("USER", str(stated["report"] or "dimensions"))
        return Fastener(name, kind, D, root, head, L, thread, tip, fyb, source=source, **stated)

    def _quantity(
        self, key: str, unit: Callable[..., float], bounds: tuple[float, float], *, needed: bool = False
    ) -> float | None:
        if key not in self.row:
            if needed:
                self.fault(key, "nothing", "this field")
            return None
        try:
            value = unit(self.row[key], field=key)
        except InputError as error:
            self.fault(key, self.row[key], error.faults[0].expected)
            return None
        least, most = bounds
        if not least - 1e-9 <= value <= most + 1e-9:
            self.fault(key, self.row[key], f"from {least:g} to {most:g} (in inches, pounds or psi)")
            return None
        return value

    def _name(self) -> str | None:
        value = self.row.get("name")
        if not isinstance(value, str) or not value.strip() or len(value) > 60 or not value.isprintable():
            self.fault("name", value, "a name of 1 to 60 letters")
            return None
        try:
            refuse_not_structural(value, where=f"{self.where}.name")
        except InputError as error:
            self.fault("name", value, error.faults[0].expected)
            return None
        return value.strip()

    def _kind(self) -> str | None:
        value = self.row.get("kind")
        if not isinstance(value, str) or value not in kind_names():
            self.fault("kind", value, f"one of: {', '.join(kind_names())}")
            return None
        return value

    def _fyb(self, D: float, kind: str) -> float | None:
        if "fyb" in self.row:
            return self._quantity("fyb", pressure, YIELDS)
        try:
            return bending_yield(D, kind_of(kind).bending_yield)
        except MissingDataError:
            self.fault(
                "fyb", "nothing", "the bending yield strength, as no published band covers this diameter"
            )
            return None

    def _report(self, stated: dict[str, Any]) -> str | None:
        value = self.row.get("report")
        needs = [key for key in (*STATED_BY_REPORT, "deformed") if stated.get(key) or self.row.get(key)]
        if value is None:
            for key in needs:
                self.fault(key, self.row[key], "the report or standard it comes from, in `report`")
            return None
        if not isinstance(value, str) or not value.strip() or len(value) > 80 or not value.isprintable():
            self.fault("report", value, "the number of the report, as text")
            return None
        return value.strip()

    def _conditions(self, stated: dict[str, Any]) -> None:
        for condition, capacities in CONDITIONS.items():
            given = [key for key in capacities if stated.get(key) is not None]
            if given and condition not in self.row:
                self.fault(condition, "nothing", f"the least value the report sets for {', '.join(given)}")

    def _gravity(self) -> float | None:
        value = self.row.get("report_gravity")
        if value is None:
            return None
        least, most = GRAVITIES
        if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
            self.fault("report_gravity", value, f"a specific gravity from {least:g} to {most:g}")
            return None
        return float(value)

    def _deformed(self) -> bool:
        value = self.row.get("deformed", False)
        if not isinstance(value, bool):
            self.fault("deformed", value, "true or false")
            return False
        return value
