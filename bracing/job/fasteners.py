"""Nails, wood screws, structural wood screws and lag screws: one kind of thing, looked up by its usual name.

The user's own fasteners are read from rows of their TOML table and held to the same rules.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any

from attrs import asdict, field, fields, frozen

from bracing.errors import CODE, Fault, InputError, MissingDataError, near_names, shown
from bracing.sources import cite, cited, shipped
from bracing.units import Inch, Pound, PoundPerInch, Psi, clean, finite_number, force, length, pressure

NOT_STRUCTURAL = ("drywall", "deck screw", "deckscrew", "decking screw", "deck-screw")
STRUCTURAL = (
    "a nail or a structural screw: drywall and deck screws are not structural, they are hard and snap"
)
MOST_FASTENERS = 100  # of the user's own
DIAMETERS = (0.099, 1.0)
LENGTHS = (0.5, 24.0)
GRAVITIES = (0.3, 0.8)
YIELDS = (30e3, 250e3)
SIDES = (0.02, 24.0)
PENETRATIONS = (0.1, 24.0)
STATED = (0.1, 1e5)
NEEDED = ("diameter", "length")  # of a person's own
STATED_BY_REPORT = ("withdrawal_per_inch", "pull_through", "steel_tension", "lateral")
CONDITIONS = {  # least values the report sets, and the stated capacities that need them
    "report_gravity": ("withdrawal_per_inch", "pull_through", "lateral"),
    "report_side": ("pull_through", "lateral"),
    "report_penetration": ("lateral",),
}
LEFT_OUT = (*CONDITIONS, *STATED_BY_REPORT)  # numbers a fastener may be without


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


def faults_of(values: Mapping[str, object], *, typed: bool) -> Iterable[tuple[str, object, str]]:
    """Give what is wrong with the values of a fastener: which field, what is there, and what is expected.

    Args:
        values: by field, in base units; a field that is not among them is not judged, nor what hangs on it.
        typed: whether a person gave them, who cannot give every kind.
    """
    D, L = finite_number(values.get("diameter")), finite_number(values.get("length"))
    for key, (least, most) in limits_of(D or 0.0, L or 0.0).items():
        hangs = {"root": D, "head": D, "thread": L, "tip": L}.get(key, 0.0)
        if key not in values or hangs is None or (values[key] is None and key in LEFT_OUT):
            continue
        number = finite_number(values[key])
        if number is None or not least - 1e-9 <= number <= most + 1e-9:
            unit = "" if key == "report_gravity" else " (in inches, pounds or psi)"
            missing = values[key] is None and key in NEEDED
            yield key, values[key], "this field" if missing else f"from {least:g} to {most:g}{unit}"
    if values["kind"] not in kind_names(typed=typed):
        yield "kind", values["kind"], f"one of: {', '.join(kind_names(typed=typed))}"
    if not isinstance(values["deformed"], bool):
        yield "deformed", values["deformed"], "true or false"
    for key, letters in (("name", 60), ("report", 80), ("source", 300)):
        text = values.get(key, "")
        if key in values and not (text is None and key == "report") and not _is_text(text, letters):
            yield key, text, f"text of 1 to {letters} letters"
    if isinstance(values["name"], str) and any(word in plain(values["name"]) for word in NOT_STRUCTURAL):
        yield "name", values["name"], STRUCTURAL
    yield from _unbacked(values)


def _is_text(value: object, letters: int) -> bool:
    return isinstance(value, str) and bool(value.strip()) and len(value) <= letters and value.isprintable()


def _unbacked(values: Mapping[str, object]) -> Iterable[tuple[str, object, str]]:
    """What a stated capacity, or a ring shank made to a standard, needs beside it."""
    stated = [key for key in STATED_BY_REPORT if values.get(key) is not None]
    if values["report"] is None and (stated or values["deformed"]):
        of = ", ".join([*stated, *(["deformed"] if values["deformed"] else [])])
        yield "report", None, f"the report or standard that states {of}"
    for condition, capacities in CONDITIONS.items():
        given = [key for key in capacities if key in stated]
        if given and condition in values and values[condition] is None:
            yield condition, None, f"the least value the report sets for {', '.join(given)}"


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
    return tuple(
        name for name, row in shipped("fasteners")["kind"].items() if row.get("typed", True) or not typed
    )


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
    rows = shipped("fasteners")["kind"]
    if name not in rows:
        table = "kinds of fasteners"
        raise MissingDataError(table, name, rows)
    return FastenerKind(**rows[name])


@frozen(cache_hash=True)  # what is kept of a fastener asks for it time and again
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
        faults = tuple(faults_of(asdict(self), typed=False))
        if faults:
            raise InputError(
                Fault(CODE, f"Fastener.{key}", shown(got), expected) for key, got, expected in faults
            )

    @property
    def yield_diameter(self) -> Inch:
        """Diameter used in the yield equations: D of nails and bolts, root of screws (NDS 12.3.7.1) [in]."""
        return self.diameter if kind_of(self.kind).shank else self.root


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
    block = shipped("fasteners")["bending_yield"][table]
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
    listed = {whole: thread for whole, thread in shipped("fasteners")["lag"]["thread"]}
    return float(listed.get(length, min(6.0, length / 2.0 + 0.5)))


def _inches(value: Inch) -> str:
    """Write 3.25 as "3-1/4", 0.375 as "3/8"."""
    whole, part = divmod(Fraction(value).limit_denominator(16), 1)
    if not part:
        return str(whole)
    return f"{whole}-{part}" if whole else str(part)


def _nail(name: str, D: Inch, L: Inch, head: Inch, source: str) -> Fastener:
    tip = shipped("fasteners")["nail"]["tip_diameters"] * D
    return Fastener(name, "nail", D, D, head, L, L, tip, bending_yield(D), source=source)


def _nails() -> Iterable[Fastener]:
    for family in ("common", "box", "sinker"):
        table = shipped("fasteners")["nail"][family]
        for penny, D, L, head in table["rows"]:
            yield _nail(f"{penny}d {family}", D, L, head, cited(table["source"]))
    gun = shipped("fasteners")["nail"]["gun"]
    for D, lengths in gun["rows"]:
        for L in lengths:
            yield _nail(
                f"gun nail {D:.3f}x{_inches(L)}", D, L, gun["head_diameters"] * D, cited(gun["source"])
            )


def _wood_screws() -> Iterable[Fastener]:
    table = shipped("fasteners")["wood_screw"]
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
    table = shipped("fasteners")["structural_screw"]
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
    table = shipped("fasteners")["structural_screw"]
    for D in table["diameters"]:
        for L in table["lengths"]:
            yield generic_structural_screw(D, L)


def _lags() -> Iterable[Fastener]:
    table = shipped("fasteners")["lag"]
    for (D, root, tip), head in zip(table["rows"], table["head"]["across_flats"], strict=True):
        for L in table["lengths"]:
            name, fyb = f"lag {_inches(D)}x{_inches(L)}", bending_yield(D, "lag")
            yield Fastener(
                name, "lag", D, root, head, L, lag_thread(L), tip, fyb, source=cited(table["source"])
            )


@cache
def _table() -> dict[str, Fastener]:
    made = (*_nails(), *_wood_screws(), *_structural_screws(), *_lags())
    return {one.name: one for one in made}


@cache
def _by_sizes() -> dict[tuple[object, ...] | None, Fastener]:
    return {_name_key(name): one for name, one in _table().items()}


def fastener_names() -> tuple[str, ...]:
    """Give every name of the table, in its order."""
    return tuple(_table())


def fastener_families() -> tuple[str, ...]:
    """Say in a few words what the table has: of each family its pennies, or its shanks and lengths.

    Example:
        >>> fastener_families()[0], fastener_families()[3]
        ('6d, 7d, 8d, 10d, 12d, 16d, 20d common', 'gun nail 0.099x2 to 0.162x3-1/2')
    """
    families: dict[str, list[str]] = {}
    for name in fastener_names():
        first, _, rest = name.rpartition(" ")
        penny = _PENNY.fullmatch(first)
        families.setdefault(rest if penny else first, []).append(first if penny else rest)
    return tuple(
        f"{', '.join(sizes)} {family}" if sizes[0].endswith("d") else f"{family} {sizes[0]} to {sizes[-1]}"
        for family, sizes in families.items()
    )


_NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+)"
_SIZE = re.compile(rf"({_NUMBER})\s*(?:x|by)\s*({_NUMBER})(?![0-9./])")
_SIZE_APART = re.compile(rf"({_NUMBER})[\s,]+({_NUMBER})(?![0-9./])")
_PENNY = re.compile(r"([0-9]+)[\s-]*(?:d|penny)s?(?![a-z])")
_NOISE = {"nail", "screw", "bolt", "of", "galvanized", "galvanised", "galv", "bright", "coated", "long"}
_GUN = {"framing", "collated", "nailer"}  # what else nails of a gun are called
THOUSANDTHS = (90, 250)  # a shank said without its point: 131s are 0.131 in


def _number(text: str) -> float:
    whole, _, part = text.replace("-", " ").rpartition(" ")
    if part.isdecimal() and THOUSANDTHS[0] <= int(part) <= THOUSANDTHS[1]:
        return int(part) / 1000.0
    return round((float(whole) if whole else 0.0) + float(Fraction(part)), 4)


def _name_key(name: str) -> tuple[object, ...] | None:
    """Reduce a name to its sizes, in either order, and the words that matter; None where it holds no size."""
    text = re.sub(r"(?<=[0-9])[\s-]*(?:inch(?:es)?|in\.?|\"|'')(?![a-z])", "", clean(name))
    text = re.sub(r"\bno\.?\s*(?=[0-9])|#\s*", "", text)
    text = re.sub(r"\b([0-9]{2,3})'?s\b", r"\1", text)
    size, penny = _SIZE.search(text), _PENNY.search(text)
    found = size or penny or _SIZE_APART.search(text)
    if found is None:
        return None
    try:
        numbers = tuple(sorted(_number(part) for part in found.groups()))
    except (ValueError, ZeroDivisionError):
        return None
    rest = text[: found.start()] + " " + text[found.end() :]
    words = {word.strip(".").removesuffix("s") for word in re.findall(r"[^\s,]+", rest)} - _NOISE
    if words & _GUN:
        words = words - _GUN | {"gun"}
    return ("d" if found is penny else "x", numbers, frozenset(words))


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
        >>> fastener("16d sinkers").name, fastener("gun nails 3-1/4 x .131").name
        ('16d sinker', 'gun nail 0.131x3-1/4')
    """
    refuse_not_structural(name, where="fastener")
    for own in extra:
        if plain(own.name) == plain(name):
            return own
    found = _table().get(name)
    if found is None and len(name) <= 60:  # written otherwise than in the table
        key = _name_key(name)
        found = _by_sizes().get(key) if key is not None else None
    if found is None:
        table = "fasteners"
        raise MissingDataError(table, name[:60], [*(own.name for own in extra), *fastener_names()])
    return found


def plain(name: str) -> str:
    """Give a name as it is compared with others: small letters, single spaces.

    Args:
        name: as written.

    Example:
        >>> plain(" Yard  Screw")
        'yard screw'
    """
    return " ".join(name.lower().split())


def refuse_not_structural(name: str, *, where: str) -> None:
    """Refuse drywall and deck screws by name.

    Args:
        name: the name as written.
        where: the field it was written in.

    Raises:
        InputError: the name is of a screw that is not structural.
    """
    if any(word in plain(name) for word in NOT_STRUCTURAL):
        raise InputError.of(where, name, STRUCTURAL)


USER_KEYS = tuple(one.name for one in fields(Fastener) if one.name != "source")  # keys of a person's own
_READ: dict[str, Callable[..., float]] = {  # what reads a quantity as a person writes it
    **dict.fromkeys(("diameter", "length", "root", "head", "thread", "tip", "report_side"), length),
    "report_penetration": length, "fyb": pressure, **dict.fromkeys(STATED_BY_REPORT, force),
}  # fmt: skip
THREADS: dict[str, Callable[[Inch, Inch], Inch]] = {  # of diameter and length, where none is given
    "whole": lambda _, L: L,
    "wood screw": screw_thread,
    "two thirds": lambda _, L: float(shipped("fasteners")["structural_screw"]["thread_of_length"] * L),
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
        values, found = _read_row(row)
        found += faults_of(values, typed=True)
        name = values["name"]
        if isinstance(name, str) and plain(name) in seen:
            found.append(("name", name, "a name used once"))
        if name:
            seen.add(plain(str(name)))
        found.sort(key=lambda one: USER_KEYS.index(one[0]) if one[0] in USER_KEYS else -1)
        faults += [
            Fault(file, f"fastener[{index}].{key}", shown(row.get(key, got)), expected)
            for key, got, expected in found
        ]
        if not faults:
            made.append(Fastener(**values))
    if faults:
        raise InputError(faults)
    return tuple(made)


def _read_row(row: Mapping[str, object]) -> tuple[dict[str, Any], list[tuple[str, object, str]]]:
    """Give the values of a row in base units, the usual ones filled in, and what could not be read."""
    faults: list[tuple[str, object, str]] = [
        (key, row[key], f"one of: {', '.join(near_names(str(key), USER_KEYS) or USER_KEYS)}")
        for key in row
        if key not in USER_KEYS
    ]
    values: dict[str, Any] = {key: row.get(key) for key in (*NEEDED, "name", "kind", "report", *LEFT_OUT)}
    values |= {"deformed": False, **{key: row[key] for key in USER_KEYS if key in row}}
    for key in (key for key in _READ if key in row):
        try:
            values[key] = _READ[key](row[key], field=key)
        except InputError as error:
            del values[key]
            faults.append((key, row[key], error.faults[0].expected))
    values |= {key: values[key].strip() for key in ("name", "report") if isinstance(values[key], str)}
    D, L = finite_number(values.get("diameter")), finite_number(values.get("length"))
    if values["kind"] in kind_names() and D is not None and L is not None:
        try:
            values = _usual(values["kind"], D, L, with_yield="fyb" not in row) | values
        except MissingDataError:
            faults.append(
                ("fyb", None, "the bending yield strength, as no published band covers this diameter")
            )
    return {**values, "source": cite("USER", str(values["report"] or "dimensions"))}, faults


def _usual(name: str, D: Inch, L: Inch, *, with_yield: bool) -> dict[str, Any]:
    """Give what a fastener of a kind is where its owner does not say."""
    kind, generic = kind_of(name), shipped("fasteners")["structural_screw"]
    return {
        "root": kind.root_of_diameter * D,
        "head": kind.head_of_diameter * D,
        "thread": THREADS[kind.thread](D, L),
        "tip": generic["tip_diameters"] * D,
        **({"fyb": bending_yield(D, kind.bending_yield)} if with_yield else {}),
    }
