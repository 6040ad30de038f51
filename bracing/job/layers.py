"""The layers a wall carries, by the names people write: "osb 7/16", "housewrap", "my panel 2.4 psf".

A name is a material and, where it matters, a thickness, in either order. A weight written after the name
is the user's own and overrides the table. What is in no table is refused, never weighed as nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import cache, lru_cache

from attrs import evolve, field, frozen

from bracing.errors import InputError, MissingDataError
from bracing.job.own import Layer, OwnLayer
from bracing.sources import cite, cited, shipped
from bracing.units import INCHES_PER_METRE, PSF_PER_PSI, Inch, Psi, clean, pressure

_TABLE = "layers"
_SAME_THICKNESS: Inch = 0.025  # 12 mm is sold as 15/32 in, 18 mm as 23/32 in
_FIELD = "wall.layers"
_MOST_PSF = 250.0
_WEIGHT = re.compile(r"^(?P<name>.*?)[\s,=@]*(?P<weight>[0-9.]+\s*(?:psf|kpa|pa|psi))$")
_MILLIMETRES = re.compile(r"(?<![\w/.])(?P<number>\d+(?:\.\d+)?)\s*mm\b")
_INCHES = re.compile(
    r"(?<![\w/.])(?:(?P<whole>\d+)[ -])?(?P<part>\d+/\d+)(?:\s*(?:inch|in)\b|\s*\")?"
    r"|(?<![\w/.])(?P<number>\d*\.?\d+)(?:\s*(?:inch|in)\b|\s*\")?(?![\w/.])"
)


@frozen
class Material:
    """One block of the table.

    Attributes:
        names: what people write; the first is used in print.
        panel: a structural panel.
        over: "face" or "openings".
        by: (thickness [in], weight [psi], source) as printed.
        per_inch: weight per inch of thickness [psi/in], 0 where the table has none.
        per_inch_source: its source.
        weight: weight where thickness does not matter [psi], 0 where it does.
        thickness: its thickness then [in].
        source: its source then.
    """

    names: tuple[str, ...]
    panel: bool
    over: str
    by: tuple[tuple[Inch, Psi, str], ...] = ()
    per_inch: float = 0.0
    per_inch_source: str = ""
    weight: Psi = 0.0
    thickness: Inch = 0.0
    source: str = field(default="")


@cache
def materials() -> tuple[Material, ...]:
    """Give every material of the table, in its order."""
    return tuple(_material(block) for block in shipped("layers")["layer"])


def _material(block: dict[str, object]) -> Material:
    rows = block.get("by", [])
    per_inch = block.get("per_inch", {"psf": 0.0, "source": ""})
    return Material(
        names=tuple(block["names"]),  # type: ignore[arg-type]  # the shipped table is tested whole
        panel=bool(block["panel"]),
        over=str(block["over"]),
        by=tuple((t, psf / PSF_PER_PSI, cited(source)) for t, psf, source in rows),  # type: ignore[attr-defined]
        per_inch=per_inch["psf"] / PSF_PER_PSI,  # type: ignore[index]
        per_inch_source=cited(per_inch["source"]),  # type: ignore[index]
        weight=float(block.get("psf", 0.0)) / PSF_PER_PSI,  # type: ignore[arg-type]
        thickness=float(block.get("thickness", 0.0)),  # type: ignore[arg-type]
        source=cited(str(block.get("source", ""))),
    )


def layer_names() -> tuple[str, ...]:
    """Give every layer of the table as a person may write it, thicknesses included."""
    named: list[str] = []
    for material in materials():
        first = material.names[0]
        named += [f"{first} {_fraction(row[0])}" for row in material.by]
        if material.weight:
            named.append(first)
        elif not material.by:
            named.append(f"{first} 1/2")
    return tuple(named)


@lru_cache(maxsize=1024)
def layer(name: str) -> Layer:
    """Give the layer of a name, as people write it.

    Args:
        name: a material with its thickness where it matters, or any name followed by its weight.

    Returns:
        The layer, its weight in psi, with where the weight comes from.

    Raises:
        MissingDataError: no such layer, with the near names.
        InputError: a weight that is not above 0 and at most 250 psf.

    Example:
        >>> round(layer("osb 7/16").weight * 144.0, 2), layer("1/2 in gypsum").source
        (1.4, 'ASCE 7-16 table C3.1-1a, gypsum board per 1/8 in')
        >>> layer("my panel 2.4 psf").source
        'declared by the user: my panel 2.4 psf'
    """
    if isinstance(name, OwnLayer):
        return name.values
    typed = clean(name)
    declared = _WEIGHT.match(typed)
    if declared is None:
        return _from_table(name, typed)
    weight = pressure(declared["weight"], field=f"layer {name!r}")
    if not 0.0 < weight * PSF_PER_PSI <= _MOST_PSF:
        raise InputError.of(_FIELD, name, f"a weight above 0 and at most {_MOST_PSF:.0f} psf")
    try:
        known = _from_table(name, declared["name"])
    except MissingDataError:
        known = Layer(name, weight, panel=False, thickness=0.0, source="")
    return evolve(known, name=name, weight=weight, source=f"{cite('USER')}: {name}")


@lru_cache(maxsize=256, typed=True)
def fills_openings(name: str) -> bool:
    """Whether a layer fills the openings instead of covering the face, as windows do.

    Args:
        name: the layer as written.

    Example:
        >>> fills_openings("windows"), fills_openings("osb 7/16")
        (True, False)
    """
    if isinstance(name, OwnLayer):
        return False
    typed = clean(name)
    declared = _WEIGHT.match(typed)
    words, _ = _split(declared["name"] if declared else typed)
    return any(words in material.names for material in materials() if material.over == "openings")


def face_layers(layers: Iterable[str | None] | None) -> tuple[str, ...]:
    """Give the layers that cover the face, all but those that only fill the openings.

    Args:
        layers: names of the layers; None where there are none, or in the place of one that was refused.

    Example:
        >>> face_layers(("osb 7/16", "windows", None))
        ('osb 7/16',)
    """
    return tuple(name for name in layers or () if name is not None and not fills_openings(name))


def _from_table(name: str, typed: str) -> Layer:
    words, thickness = _split(typed)
    for material in materials():
        if words in material.names:
            return _of_material(name, material, thickness)
    raise MissingDataError(_TABLE, name, layer_names())


def _of_material(name: str, material: Material, thickness: Inch) -> Layer:
    if material.weight and thickness in (0.0, material.thickness):
        return Layer(name, material.weight, material.panel, material.thickness, material.source)
    near = [row for row in material.by if abs(row[0] - thickness) <= _SAME_THICKNESS]
    if near:
        t, weight, source = min(near, key=lambda row: abs(row[0] - thickness))
        return Layer(name, weight, material.panel, t, source)
    if material.per_inch and thickness > 0.0:
        weight = material.per_inch * thickness
        return Layer(name, weight, material.panel, thickness, material.per_inch_source)
    rows = [f"{material.names[0]} {_fraction(row[0])}" for row in material.by]
    raise MissingDataError(_TABLE, name, rows or [f"{material.names[0]} 1/2"])


def _split(typed: str) -> tuple[str, Inch]:
    """Split "osb 7/16 in" into its words and its thickness [in], 0 where none is written."""
    match = _MILLIMETRES.search(typed)
    if match is not None:
        thickness = float(match["number"]) * INCHES_PER_METRE / 1000.0
    else:
        match = _INCHES.search(typed)
        if match is None:
            return typed, 0.0
        thickness = _inches(match)
    words = f"{typed[: match.start()]} {typed[match.end() :]}"
    return " ".join(words.replace(",", " ").split()), thickness


def _inches(match: re.Match[str]) -> Inch:
    if match["part"] is None:
        return float(match["number"])
    top, bottom = match["part"].split("/")
    part = float(Fraction(int(top), int(bottom))) if int(bottom) else 0.0
    return float(match["whole"] or 0) + part


def _fraction(inches: Inch) -> str:
    exact = Fraction(inches).limit_denominator(32)
    whole, rest = divmod(exact, 1)
    return f"{whole} {rest}" if whole and rest else str(rest or whole)
