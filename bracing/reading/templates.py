"""Demo walls as a crew would answer for them. Invented values: a starting point to change, not a recommendation."""

from __future__ import annotations

from bracing.errors import near_names
from bracing.reading.interview import values_of
from bracing.reading.question import Values, refuse

_COMMON = {
    "studs": "2x6 16 in",
    "stamp": "SPF No.2",
    "layers": "osb 7/16, housewrap",
    "screws": "structural screw 0.22x3",
    "sticks": "2x6 16 ft, 2x6 20 ft",
    "brace_stamp": "SPF No.2",
    "plate": "16d common 16 in",
    "plate_state": "final into joists",
    "lap": "plate",
    "sheathing": "8d common 4 in",
    "dry": "no",
    "ends": "none",
    "room": "24 ft",
    "exposure": "C",
    "hill": "no",
}
_DECK = {
    "floor": "deck",
    "joists": "solid 2x10, 16 in, away",
    "first_joist": "0 in",
    "floor_screws": "structural screw 0.22x5",
    "above": "3 ft",
    "below": "no",
    "panel": "osb 23/32",
}
TEMPLATES: dict[str, dict[str, str]] = {
    "level": {"name": "Level wall", "shape": "level", "length": "30 ft", "height": "9 ft", **_COMMON, **_DECK},
    "gable": {
        "name": "Gable end", "shape": "gable", "length": "32 ft", "height": "9 ft", "peak": "17 ft",
        "openings": "14 ft, sill 3 ft, 4 ft x 4 ft", **_COMMON, **_DECK,
    },
    "rake": {"name": "Rake wall", "shape": "rake", "length": "24 ft", "left": "9 ft, 16 ft", **_COMMON, **_DECK},
    "slab": {
        "name": "Wall on a slab", "shape": "level", "length": "30 ft", "height": "10 ft", **_COMMON,
        "floor": "slab", "slab": "800 lb, 900 lb, write here the report or the pull test", "above": "0 ft",
        "below": "no", "plate_state": "final",
    },
}  # fmt: skip


def template_values(name: str) -> Values:
    """Give the values of a demo wall.

    Args:
        name: gable, level, rake or slab.

    Raises:
        InputError: no such template.

    Example:
        >>> template_values("gable")["wall.peak"]
        '17 ft'
    """
    if name not in TEMPLATES:
        near = near_names(name, TEMPLATES)
        hint = f"; near: {', '.join(near)}" if near else ""
        refuse("--template", name, f"one of: {', '.join(TEMPLATES)}{hint}")
    return values_of(TEMPLATES[name])
