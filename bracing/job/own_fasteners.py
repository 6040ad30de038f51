"""The user's own fasteners, read from rows of their TOML table.

A stated capacity needs its report number and the wood, side member and penetration the report sets for it;
below those conditions the general equations are used instead. All faults are gathered and raised together.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from bracing.errors import Fault, InputError, MissingDataError, near_names
from bracing.job.fastener_limits import (
    CONDITIONS,
    DIAMETERS,
    GRAVITIES,
    KINDS,
    LENGTHS,
    PENETRATIONS,
    SIDES,
    STATED,
    STATED_BY_REPORT,
    YIELDS,
    limits_of,
)
from bracing.job.fasteners import (
    Fastener,
    bending_yield,
    fastener_data,
    refuse_not_structural,
    screw_thread,
)
from bracing.sources import cite
from bracing.units import force, length, pressure

_LENGTHS = ("diameter", "length", "root", "head", "thread", "tip", "report_side", "report_penetration")
_WORDS = ("name", "kind", "fyb", "deformed", "report", "report_gravity")
_FIELDS = (*_WORDS, *_LENGTHS, *STATED_BY_REPORT)
_LAG_ROOT = 0.69
_NAIL_HEAD = 2.0


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
        generic = fastener_data()["structural_screw"]
        default = {
            "nail": (D, _NAIL_HEAD * D, L),
            "wood screw": (
                generic["root_of_diameter"] * D,
                generic["head_of_diameter"] * D,
                screw_thread(D, L),
            ),
            "structural screw": (
                generic["root_of_diameter"] * D,
                generic["head_of_diameter"] * D,
                generic["thread_of_length"] * L,
            ),
            "lag": (_LAG_ROOT * D, generic["head_of_diameter"] * D, min(6.0, L / 2.0 + 0.5, L)),
        }[kind]
        limits = limits_of(D, L)
        root = self._quantity("root", length, limits["root"]) or default[0]
        head = self._quantity("head", length, limits["head"]) or default[1]
        thread = self._quantity("thread", length, limits["thread"]) or default[2]
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
        if not isinstance(value, str) or value not in KINDS:
            self.fault("kind", value, f"one of: {', '.join(KINDS)}")
            return None
        return value

    def _fyb(self, D: float, kind: str) -> float | None:
        if "fyb" in self.row:
            return self._quantity("fyb", pressure, YIELDS)
        try:
            return bending_yield(D, lag=kind == "lag")
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
