"""What a crew says in one breath, taken apart: an opening, a stick, a size and its spacing, a list of several things.

Options, columns of a list and answers are taken apart here alike. Each piece stays text: its field reads it.
"""

from __future__ import annotations

import re

from bracing.units import ON_CENTRE, clean

Said = dict[str, object]  # by key of the table it is for

_N, _FRACTION = r"[0-9]+(?:\.[0-9]+)?", r"[0-9]+/[0-9]+"
_FEET, _INCHES = r"(?:feet|foot|ft\b\.?|'(?!'))", r"(?:inches|inch|in\b\.?|\"|'')"
_MIXED = rf"(?:{_N}(?:[ -]{_FRACTION})?|{_FRACTION})"
# A length that tells its unit, or is written so that it needs none, wherever it stands in a sentence.
LENGTH = (
    rf"(?:{_N}[ -]?{_FEET}(?:[ -]{{0,3}}{_MIXED}(?![0-9./]| ?{_FEET})(?: ?{_INCHES})?)?"
    rf"|[0-9]+-[0-9]+(?:[ -]{_FRACTION}|\.[0-9]+)?\"?(?![0-9/])"
    rf"|(?:[0-9]+[ -])?{_FRACTION}(?: ?{_INCHES})?"
    rf"|{_N} ?(?:{_INCHES}|mm\b|cm\b|met(?:re|er)s?\b|m\b))"
)
SIZE = re.compile(r"\b(?:[1-6]-)?[0-9]{1,3} ?(?:x|by) ?[0-9]{1,3}(?: ?mm)?(?:'?s\b|(?![0-9]))")
PARTED = re.compile(r"\s*(?:[,;+&]|\band\b|\bthen\b|\bplus\b|\bwith\b)\s*")
BARE = re.compile(r"[0-9]{1,3}(?:\.[0-9]+)?")
_SIDES = re.compile(rf"({LENGTH}) ?(?:w(?:ide)?\b)? ?(?:x|by) ?({LENGTH}) ?(?:h(?:igh)?\b|tall\b)?")
_SILLS = (
    re.compile(rf"\bsill(?: (?:height|at|is|of|up))* ?({LENGTH})"),
    re.compile(rf"({LENGTH}) ?(?:high )?sill\b"),
)
_ONE = re.compile(rf"(?:\b(?:left|edge|side|starts?|begins?|at|from) ?)*({LENGTH})")
_OPEN = re.compile(r"\b(?:(?:un|not )covered|open)\b")
_COVERED = re.compile(r"\bcovered\b")
_NAMES = re.compile(  # what may be said of an opening beside its sizes; "right" and "centre" would move it
    r"\b(?:doors?|doorway|windows?|slider|patio|garage|overhead|entry|front|back|side|kitchen|bath|bed|living|rough|opening"
    r"|r\.?o\.?|the|a|of|from|left|no|over|in|on|with)\b|[:,;.]"
)
_COUNT = re.compile(r"\(?([0-9]{1,4})\)?\s*(?:pieces?(?: of)?|of|pcs?\.?|ea\.?|-)?\s+(?=[0-9]+ ?(?:x|by))")
_STICK_ENDS = re.compile(r"\s*(?:footers?|long|'?s)$")
LONGEST_STICK = 40  # feet; a bare number past it is inches


def several(text: str) -> list[str]:
    """Part a list of several things.

    Args:
        text: with commas, or "and", between.

    Example:
        >>> several("7/16 osb, wrap and 5/16 fiber cement")
        ['7/16 osb', 'wrap', '5/16 fiber cement']
    """
    return [piece for piece in PARTED.split(text.strip()) if piece]


def opening(text: str) -> Said | None:
    """Take an opening apart, in any order: left edge, sill, width x height, and whether nothing covers it.

    Args:
        text: such as "12-6, sill 2-8, 3-0 x 5-0" or "door at 20 ft 3-0 x 6-8, open".

    Returns:
        What it says; None where a piece of it is none of these.

    Example:
        >>> opening("window 3-0 x 5-0 at 12-6, sill 2-8")
        {'left': '12-6', 'sill': '2-8', 'width': '3-0', 'height': '5-0'}
    """
    rest, found = clean(text), dict[str, object]()
    bare, hits = _OPEN.subn(" ", rest)
    rest, covered = (bare, 0) if hits else _COVERED.subn(" ", rest)
    sides = _SIDES.search(rest)
    if sides is None:
        return None
    found |= {"width": sides[1], "height": sides[2]}
    rest = f"{rest[: sides.start()]} , {rest[sides.end() :]}"
    sill = next((hit for hit in (way.search(rest) for way in _SILLS) if hit), None)
    if sill is not None:
        found["sill"] = sill[1]
        rest = f"{rest[: sill.start()]} , {rest[sill.end() :]}"
    left = _ONE.search(rest)
    if left is None:
        return None
    rest = f"{rest[: left.start()]} , {rest[left.end() :]}"
    if _NAMES.sub(" ", rest).strip():
        return None
    order = {"left": left[1], **({"sill": found.pop("sill")} if sill else {}), **found}
    return order | ({"covered": bool(covered)} if hits or covered else {})


def stick(text: str, size: str = "") -> Said | None:
    """Take a stick on hand apart: how many, size and length; a bare length is feet, as sticks are sold.

    Args:
        text: such as "2x6x16", "12 of 2x4 14 ft" or "(8) 2x6 16 footers".
        size: of the stick said before, where this one has none of its own.

    Returns:
        What it says; None where it is no stick.

    Example:
        >>> stick("2x6x16"), stick("20s", "2x6")
        ({'size': '2x6', 'length': '16 ft'}, {'size': '2x6', 'length': '20 ft'})
    """
    typed = clean(text)
    counted = _COUNT.match(typed)
    rest = typed[counted.end() :] if counted else typed
    named = SIZE.search(rest)
    if named is not None:  # 2x6x16, or 16 ft 2x6
        size, rest = plain_size(named[0]), f"{rest[: named.start()]}{rest[named.end() :]}"
    long = _STICK_ENDS.sub("", re.sub(r"^(?:\s|x|@|at\b|by\b|-|,)+", "", rest).strip())
    if BARE.fullmatch(long):
        long = f"{long} {'ft' if float(long) <= LONGEST_STICK else 'in'}"
    if not size or not re.fullmatch(LENGTH, long):
        return None
    return {"size": size, "length": long} | ({"count": int(counted[1])} if counted else {})


def plain_size(text: str) -> str:
    """Write a size as its table does.

    Args:
        text: such as "2 by 6s".

    Example:
        >>> plain_size("2 by 6's")
        '2x6'
    """
    return re.sub(r" |'?s$", "", text.replace("by", "x"))


_SPACING = re.compile(
    rf"(?:[\s,]|@|at\b|every\b|on\b)*({LENGTH}|[0-9]{{1,2}}(?:\.[0-9]+)?\b)(?: ?{_INCHES})?"
    rf"(?:[ ,]*(?:o\.? ?c\b\.?|on cent(?:er|re)s?|cent(?:er|re)s|apart))?[\s,]*"
)


_SPACING_LAST = re.compile(rf"(?<=[a-z0-9]) {_SPACING.pattern}$")


def sized(text: str) -> tuple[str, str, str] | None:
    """Take a size and its spacing apart.

    Args:
        text: such as "2x6 16 oc, SPF No.2".

    Returns:
        The size, the spacing, and what is left; None where there is no size.

    Example:
        >>> sized("2x6 @ 16 o.c. spf 2"), sized("2 by 4s")
        (('2x6', '16 in', 'spf 2'), ('2x4', '', ''))
    """
    typed = clean(text)
    named = SIZE.search(typed)
    if named is None:
        return None
    rest = f"{typed[: named.start()].strip(' ,')} {typed[named.end() :].strip(' ,')}".strip()
    apart = _SPACING.match(rest) or _SPACING_LAST.search(rest)
    if apart is None:
        return plain_size(named[0]), "", rest
    return plain_size(named[0]), on_centre(apart[1]), rest[: apart.start()] + rest[apart.end() :]


def on_centre(text: str) -> str:
    """Read a spacing; the trade's bare number is inches.

    Args:
        text: as typed.

    Example:
        >>> on_centre("16"), on_centre("16 in o.c."), on_centre("400 mm")
        ('16 in', '16 in', '400 mm')
    """
    typed = ON_CENTRE.sub("", clean(text).removesuffix(" apart"))
    return f"{typed} in" if BARE.fullmatch(typed) else typed
