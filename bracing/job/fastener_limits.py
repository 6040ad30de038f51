"""What a fastener may be: the ranges of its dimensions, and what a stated capacity needs beside it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bracing.units import Inch, finite_number

KINDS = ("nail", "wood screw", "structural screw", "lag")
NOT_STRUCTURAL = ("drywall", "deck screw", "deckscrew", "decking screw", "deck-screw")
MOST_FASTENERS = 100  # of the user's own
BOLT = "bolt"
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
    if made.kind not in (*KINDS, BOLT):
        yield "kind", made.kind, f"one of: {', '.join((*KINDS, BOLT))}"
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
