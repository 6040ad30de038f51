"""Answers about the floor, the site and what is on hand into values of a wall file."""

from __future__ import annotations

import re

from bracing.reading.answers import BARE, NO, SIZE, SPACED, is_length, on_centre
from bracing.reading.question import Values, refuse

_COUNTED = re.compile(r"([0-9]{1,4})\s*(?:pieces? of|of|pcs)?\s+(?=[0-9]+ ?x)")


def joists(text: str) -> Values:
    """Read the joists: kind, size, spacing, direction, in any order.

    Args:
        text: such as "solid 2x10, 16 in, away".

    Raises:
        InputError: something in it is none of these.

    Example:
        >>> joists("I-joist 16 in along")["floor.joists.kind"]
        'i-joist'
    """
    left, values = f" {text.lower()} ", dict[str, object]()
    for pattern, kind in (("i[- ]?joists?", "i-joist"), ("truss(?:es)?", "truss"), ("solid|sawn", "sawn")):
        left, hits = re.subn(rf"(?<![a-z])(?:{pattern})(?![a-z])", " ", left)
        values |= {"floor.joists.kind": kind} if hits else {}
    for run in ("away", "along"):
        left, hits = re.subn(rf"\b{run}\b", " ", left)
        values |= {"floor.joists.run": run} if hits else {}
    size = SIZE.search(left)
    if size is not None:
        left = left.replace(size[0], " ", 1)
        values |= {"floor.joists.size": size[0].replace(" ", ""), "floor.joists.kind": "sawn"} | values
    rest = on_centre(SPACED.sub(" ", left).strip())
    if rest:
        if not is_length(rest):
            expected = 'kind, size, spacing and direction, such as "solid 2x10, 16 in, away"'
            refuse("floor.joists", text, expected)
        values["floor.joists.spacing"] = rest
    return values


def slab(text: str) -> Values:
    """Read what one anchor in the slab may carry, and where that comes from.

    Args:
        text: tension, shear and the report, with commas between.

    Raises:
        InputError: not three pieces.
    """
    pieces = [piece.strip() for piece in text.split(",", 2)]
    if len(pieces) != 3:
        expected = 'tension, shear and the report, such as "800 lb, 900 lb, pull test of five"'
        refuse("floor.slab", text, expected)
    return dict(
        zip(("floor.slab.tension_lb", "floor.slab.shear_lb", "floor.slab.report"), pieces, strict=True)
    )


def ground(text: str) -> Values:
    """Read a stake (soil, width, depth driven) or a dead weight at each foot.

    Args:
        text: such as "clay, 3.5 in, 36 in" or "weight 1200 lb".

    Raises:
        InputError: neither.
    """
    word, _, rest = text.strip().partition(" ")
    if word.lower() == "weight" and rest:
        return {"floor.ground.deadman_lb": rest.strip()}
    pieces = [piece.strip() for piece in text.split(",")]
    if len(pieces) != 3:
        expected = 'soil, width and depth of the stake, such as "clay, 3.5 in, 36 in", or "weight 1200 lb"'
        refuse("floor.ground", text, expected)
    return dict(
        zip(("floor.ground.soil", "floor.ground.stake_width", "floor.ground.embedment"), pieces, strict=True)
    )


def keep_out(text: str) -> Values:
    """Read a rectangle no foot may stand in.

    Args:
        text: a name and two corners, such as "stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft".

    Raises:
        InputError: not a name and two corners.
    """
    name, colon, corners = text.partition(":")
    near, to, far = corners.partition(" to ")
    points = [[piece.strip() for piece in corner_.split(",")] for corner_ in (near, far)]
    if not colon or not to or any(len(point) != 2 for point in points):
        expected = (
            'a name and two corners, from LEFT and from the wall: "stair: 8 ft, 3 ft to 11 ft 6 in, 13 ft"'
        )
        refuse("floor.keep_out", text, expected)
    return {"floor.keep_out": [{"name": name.strip(), "from": points[0], "to": points[1]}]}


def hill(text: str) -> Values:
    """Read whether it stands on a hill: no, or the topographic factor.

    Args:
        text: no, or a number.

    Raises:
        InputError: neither.
    """
    word = text.strip().lower()
    if word in NO:
        return {"site.hill": False, "site.kzt": 1.0}
    if not BARE.fullmatch(word):
        refuse("site.kzt", text, 'no, or the topographic factor Kzt of the wind standard, such as "1.3"')
    return {"site.hill": True, "site.kzt": float(word)}


def stock(text: str) -> Values:
    """Read the sticks on hand, a count first where there are only so many.

    Args:
        text: such as "2x6 16 ft, 12 of 2x4 14 ft".

    Raises:
        InputError: a piece without size or length.

    Example:
        >>> stock("12 of 2x4 14 ft")
        {'kit.stock': [{'size': '2x4', 'length': '14 ft', 'count': 12}]}
    """
    sticks: list[object] = []
    for piece in (piece.strip() for piece in text.split(",") if piece.strip()):
        counted = _COUNTED.match(piece)
        rest = piece[counted.end() :] if counted else piece
        size = SIZE.match(rest.lower())
        long = SPACED.sub(" ", rest[size.end() :]).strip() if size else ""
        if size is None or not long:
            refuse("kit.stock", piece, 'size and length, such as "2x6 16 ft" or "12 of 2x4 14 ft"')
        stick: dict[str, object] = {"size": size[0].replace(" ", ""), "length": long}
        sticks.append(stick | ({"count": int(counted[1])} if counted else {}))
    return {"kit.stock": sticks}
