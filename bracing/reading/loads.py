"""What stands on a wall from above, as a person says it: one answer, one `[[wall.load]]` table."""

from __future__ import annotations

import re
from collections.abc import Callable

from bracing.errors import InputError
from bracing.job.above import BUNDLE, GROUND, HERE, LEANED, PERSON, RAFTERS, TRUSSES, needed_of
from bracing.reading.answers import Values, refuse
from bracing.units import force, length, pitch

FIELD = "wall.load"
EXPECTED = (
    'such as "6 trusses, 24 ft, 4/12, 80 lb, ground brace", "bundle, 500 lb, at 9 ft", "bundle leaned, 400 lb, '
    'at 9 ft, foot out 2 ft, touches 6 ft" or "person, at 4 ft"'
)
_KINDS = (
    (re.compile(r"truss(es)?"), TRUSSES), (re.compile(r"rafters?"), RAFTERS),
    (re.compile(r"(bundles?|stacks?) lean(ed|ing)"), LEANED),
    (re.compile(r"(bundles?|stacks?)( on the plate)?"), BUNDLE),
    (re.compile(r"(person|persons|people|man|men|worker|workers)( on the plate)?"), PERSON),
)  # fmt: skip
_TIED = {
    "ground brace": GROUND, "ground": GROUND, "this wall": HERE, "other wall": "other wall",
    "another wall": "other wall", "unknown": "unknown", "nothing": "unknown", "untied": "unknown",
}  # fmt: skip
_MEASURES = ((pitch, "pitch"), (force, "weight"), (length, "span"))
_PLACES = (("at ", "at"), ("foot out ", "foot_out"), ("foot ", "foot_out"), ("touches ", "touches"))


def load(text: str) -> Values:
    """Read something that stands on a wall from above or leans on it.

    Args:
        text: how many of what, and after commas its measures in any order; see `EXPECTED`.

    Raises:
        InputError: not such a thing, or a measure its kind cannot do without is wanting.

    Example:
        >>> load("6 trusses, 24 ft, 4/12, 80 lb, ground brace")["wall.load"][0]["tied_to"]
        'ground brace'
    """
    first, *parts = (" ".join(part.lower().split()) for part in text.split(","))
    found = re.fullmatch(r"(?:(\d{1,3}|an?) )?(.+)", first)
    kind = (
        None if found is None else next((name for words, name in _KINDS if words.fullmatch(found[2])), None)
    )
    if found is None or kind is None:
        refuse(FIELD, text, EXPECTED)
    table: dict[str, object] = {"kind": kind, "count": int(found[1]) if (found[1] or "").isdigit() else 1}
    for part in parts:
        key, value = _measure(part, text)
        table[key] = value
    wanting = [key for key in needed_of(kind) if key not in table]
    if wanting:
        refuse(FIELD, text, f"its {', its '.join(wanting)} too: {EXPECTED}")
    return {FIELD: [table]}


def _measure(part: str, text: str) -> tuple[str, object]:
    tied = part.removeprefix("tied to ").removeprefix("a ").removeprefix("the ")
    if tied in _TIED:
        return "tied_to", _TIED[tied]
    if part in ("joists nailed", "ceiling joists nailed"):
        return "joists_nailed", True
    for words, key in _PLACES:
        if part.startswith(words) and _reads(length, part.removeprefix(words)):
            return key, part.removeprefix(words)
    bare = part.removesuffix(" each").removesuffix(" span").strip()
    found = next((key for reader, key in _MEASURES if _reads(reader, bare)), None)
    if found is None:
        refuse(FIELD, text, EXPECTED)
    return found, bare


def _reads(reader: Callable[..., float], text: str) -> bool:
    try:
        reader(text)
    except InputError:
        return False
    return True
