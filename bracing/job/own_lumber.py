"""A user's own lumber, typed with its report number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from attrs import evolve

from bracing import units
from bracing.errors import Fault, InputError
from bracing.job.lumber_grades import STRENGTHS, ReferenceValues
from bracing.sources import cite

TAKEN_AS_ADJUSTED = "size_factor_adjusted"


def read_user_lumber(
    rows: Iterable[Mapping[str, object]], *, file: str = "command line"
) -> tuple[ReferenceValues, ...]:
    """Read a user's own lumber, each row with its report number; no size factor over 1 is applied to it.

    Args:
        rows: tables with species, grade, Fb, Ft, Fv, Fc_perp, Fc, E, Emin (such as "900 psi"), G and report.
        file: the file named in a fault.

    Returns:
        The rows, to be handed on as `extra`.

    Raises:
        InputError: every fault in every row.
    """
    faults: list[Fault] = []
    read = [_user_row(row, f"lumber[{i}]", file=file, faults=faults) for i, row in enumerate(rows)]
    if faults:
        raise InputError(faults)
    return tuple(row for row in read if row is not None)


def _user_row(
    row: Mapping[str, object], where: str, *, file: str, faults: list[Fault]
) -> ReferenceValues | None:
    before = len(faults)
    names = ("species", "grade", *STRENGTHS, "G", "report")
    faults.extend(
        Fault(file, f"{where}.{key}", str(row[key]), f"one of {', '.join(names)}")
        for key in row
        if key not in names
    )
    words = {key: row.get(key) for key in ("species", "grade", "report")}
    faults.extend(
        Fault(file, f"{where}.{key}", str(word), "a name (the report number of the values, for report)")
        for key, word in words.items()
        if not isinstance(word, str) or not word.strip()
    )
    values: dict[str, float] = {}
    for key in STRENGTHS:
        try:
            values[key] = units.pressure(row.get(key), field=f"{where}.{key}")
            if values[key] <= 0.0:
                faults.append(Fault(file, f"{where}.{key}", str(row.get(key)), "more than zero"))
        except InputError as error:
            faults.extend(evolve(fault, file=file) for fault in error.faults)
    G = row.get("G")
    if isinstance(G, bool) or not isinstance(G, int | float) or not 0.2 <= G <= 1.0:
        faults.append(Fault(file, f"{where}.G", str(G), "a specific gravity from 0.2 to 1.0"))
        return None
    if len(faults) > before:
        return None
    return ReferenceValues(
        species=str(words["species"]),
        grade=str(words["grade"]),
        **values,
        G=float(G),
        rule=TAKEN_AS_ADJUSTED,
        source=cite("USER", f"report {words['report']}"),
    )
