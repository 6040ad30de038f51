"""What must fit together inside one table: checked as soon as it is read, whatever is wrong beside it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from bracing.errors import MissingDataError
from bracing.floor import Joists, KeepOut, Partition, Slab
from bracing.lumber import design_values
from bracing.reading.faults import Faults
from bracing.wall import Studs

TOUCH = 1e-6


def check_alone(made: object, where: str, faults: Faults) -> None:
    """Check one object by itself.

    Args:
        made: the object.
        where: dotted path of its table.
        faults: where faults go.
    """
    check = _CHECKS.get(type(made))
    if check is not None:
        check(made, where, faults)


def check_lumber(lumber: tuple[str, str, str], where: str, faults: Faults) -> bool:
    """Check that a species comes in a grade at a size.

    Args:
        lumber: species, grade and size.
        where: dotted path of the grade.
        faults: where faults go.

    Returns:
        Whether it does.
    """
    try:
        design_values(*lumber, wet=True)
    except MissingDataError as error:
        near = f"; near: {', '.join(error.near)}" if error.near else ""
        expected = f"lumber with published values: {error.key} is not among {error.table}{near}"
        faults.add(where, " ".join(lumber), expected)
        return False
    return True


def _studs(made: Studs, where: str, faults: Faults) -> None:
    check_lumber((made.species, made.grade, made.size), f"{where}.grade", faults)


def _joists(made: Joists, where: str, faults: Faults) -> None:
    if made.kind == "sawn":
        check_lumber((made.species, made.grade, made.size), f"{where}.grade", faults)


def _keep_out(made: KeepOut, where: str, faults: Faults) -> None:
    sides = [abs(a - b) for a, b in zip(made.corner, made.opposite, strict=True)]
    if min(sides) <= TOUCH:
        faults.add(f"{where}.to", "no area between from and to", "the opposite corner")


def _partition(made: Partition, where: str, faults: Faults) -> None:
    sides = [abs(a - b) for a, b in zip(made.start, made.end, strict=True)]
    if max(sides) <= TOUCH:
        faults.add(f"{where}.to", "the same point as from", "the other end of the partition")


def _slab(made: Slab, where: str, faults: Faults) -> None:
    if (made.tension_lb > 0.0 or made.shear_lb > 0.0) and not made.report:
        faults.add(f"{where}.report", None, "the report number or pull test the allowables come from")


_CHECKS: dict[type[Any], Callable[[Any, str, Faults], None]] = {
    Studs: _studs,
    Joists: _joists,
    KeepOut: _keep_out,
    Partition: _partition,
    Slab: _slab,
}
