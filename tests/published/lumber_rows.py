"""Reads the published check rows of the lumber and member tests from the csv copies beside this file."""

import csv
from pathlib import Path
from typing import NamedTuple


class Row(NamedTuple):
    id: str
    inputs: dict[str, str]
    value: float
    tolerance: float
    how: str

    def number(self, name):
        """A number among the inputs."""
        return float(self.inputs[name])


def rows(name):
    with (Path(__file__).parent / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return [
            Row(
                row["id"],
                dict(part.partition("=")[::2] for part in row["inputs"].split(";")),
                float(row["value"]),
                # A row with no tolerance of its own is a constant: equal but for floating point.
                float(row["tolerance"]) or 1e-9,
                row["how"],
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
