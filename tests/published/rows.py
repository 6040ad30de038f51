"""Reads the published check rows from the csv copies beside this file."""

import csv
import re
from pathlib import Path
from typing import NamedTuple


class Row(NamedTuple):
    id: str
    inputs: dict[str, str]
    value: float
    tolerance: float
    how: str
    note: str

    def number(self, name):
        """A number among the inputs; "0.375 and larger", "<=0.375" and "0.375 in" give 0.375."""
        return float(self.inputs[name].lstrip("<>=").split()[0])

    @property
    def label(self):
        """Name of the test of this row: recalled rows say so."""
        return f"{self.id} from memory" if self.how == "from-memory" else self.id

    @property
    def mode(self):
        """Governing yield mode, where the note names one."""
        found = re.search(r"mode[ =]+(Im|Is|IIIm|IIIs|II|IV)\b", self.note)
        return found[1] if found else None


def rows(name):
    with (Path(__file__).parent / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return [
            Row(
                row["id"],
                dict(part.partition("=")[::2] for part in row["inputs"].split(";") if part),
                float(row["value"]),
                # A row with no tolerance of its own is a constant: equal but for floating point.
                float(row["tolerance"]) or 1e-9,
                row["how"],
                row["note"],
            )
            for row in csv.DictReader(file)
        ]


def split(name, not_computed):
    """The rows to compute; every row is either computed or listed with its reason."""
    every = rows(name)
    unknown = set(not_computed) - {row.id for row in every}
    assert not unknown, f"listed as not computed, but no such row: {unknown}"
    assert all(not_computed.values()), "a row is left out without a reason"
    return [row for row in every if row.id not in not_computed]


class Rows:
    """The rows of one file, each handed out to one test or listed with the reason it is not computed."""

    def __init__(self, name, not_computed=None):
        self.every = rows(name)
        self.not_computed = not_computed or {}
        self.taken = []

    def of(self, *prefixes):
        found = [row for row in self.every if row.id.startswith(prefixes)]
        assert found, f"no row starts with {prefixes}"
        self.taken += [row.id for row in found]
        return found

    def faults(self):
        """What keeps the rows from being each handed out once or left out for a reason."""
        every = [row.id for row in self.every]
        accounted = self.taken + list(self.not_computed)
        return {
            "given twice": sorted({name for name in accounted if accounted.count(name) > 1}),
            "left over": sorted(set(every) - set(accounted)),
            "no such row": sorted(set(accounted) - set(every)),
            "no reason": [name for name, reason in self.not_computed.items() if not reason],
        }

    def complete(self):
        return not any(self.faults().values())


def label(row):
    return row.label
