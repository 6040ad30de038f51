"""Shank, length and head off the box into a fastener: one of the table, or the crew's own."""

from __future__ import annotations

import re

from bracing.errors import MissingDataError, near_names
from bracing.job.fastener_limits import KINDS
from bracing.job.fasteners import fastener, fastener_names, refuse_not_structural
from bracing.job.own_fasteners import read_user_fasteners
from bracing.reading.question import refuse

_NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+)"
_SIZES = re.compile(
    rf"(?P<shank>{_NUMBER})\s*(?P<unit>mm|in|\"|)\s*(?:x|by|,)?\s*(?:length|long)?\s*(?P<length>{_NUMBER})\s*(?P<unit2>mm|in|\"|)"
    rf"(?:\s*,?\s*(?:x|by)?\s*(?:head)\s*(?P<head>{_NUMBER})\s*(?P<unit3>mm|in|\"|))?",
)
EXPECTED = (
    'its kind and sizes off the box, such as "16d common", "gun nail 0.131x3", "structural screw 0.22x5", '
    '"lag 3/8x4" or "nail 3.1 mm x 90 mm, head 7 mm"'
)


def off_the_box(text: str, field: str) -> tuple[str, list[dict[str, object]]]:
    """Read a fastener as its box says it.

    Args:
        text: a name of the table, or a kind with shank, length and head.
        field: the field named in a fault.

    Returns:
        Its name, and the rows of the crew's own fasteners it needs: none where the table has it.

    Raises:
        InputError: no fastener, or one that is not structural.

    Example:
        >>> off_the_box("structural screw 0.22 x 5", "fastener")
        ('structural screw 0.22x5', [])
        >>> off_the_box("nail 3.1 mm x 90 mm, head 7 mm", "fastener")[0]
        'nail 3.1 mm x 90 mm'
    """
    refuse_not_structural(text, where=field)
    try:
        return fastener(text).name, []
    except MissingDataError:
        return _own(text, field)


def _own(text: str, field: str) -> tuple[str, list[dict[str, object]]]:
    plain = " ".join(text.lower().split())
    kind = next((kind for kind in sorted(KINDS, key=len, reverse=True) if kind in plain), None)
    if kind is None and "screw" in plain:
        refuse(field, text, "which screw: a wood screw, a structural screw or a lag")
    found = _SIZES.search(re.sub(r"^.*?(?=[0-9.])", "", plain.replace("shank", "")))
    if kind is None or found is None:
        near = near_names(text, fastener_names())
        refuse(field, text, EXPECTED + (f"; near: {', '.join(near)}" if near else ""))
    shank, length = (
        _size(found["shank"], found["unit"]),
        _size(found["length"], found["unit2"] or found["unit"]),
    )
    name = f"{kind} {_short(shank)} x {_short(length)}"
    row: dict[str, object] = {"name": name, "kind": kind, "diameter": shank, "length": length}
    if found["head"]:
        row["head"] = _size(found["head"], found["unit3"] or found["unit"])
    read_user_fasteners([row], file=field)
    return name, [row]


def _size(number: str, unit: str) -> str:
    """Write a size with its unit: a box gives inches unless it says millimetres."""
    return f"{number} {'mm' if unit == 'mm' else 'in'}"


def _short(size: str) -> str:
    return size.removesuffix(" in")
