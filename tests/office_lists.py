"""A list of walls as an office keeps it in a workbook: level, raked and gabled, some like a file, some none."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

HEAD = (
    "Lot", "Name", "like", "Length", "Height", "Peak", "Left height", "Right height", "Studs", "Species", "Grade",
    "Layers", "Joists", "Joist span", "End nails", "Stock", "Head fastener", "Cleat fastener", "Floor fastener",
    "Brace", "Superintendent", "Called on", "Deposit",
)  # fmt: skip
SCREW, LONG_SCREW = "structural screw 0.22x3", "structural screw 0.22x5"
CREWS = ("Ann, north", "Bo; south", "Łukasz", "=SUM(A1:A9)", "'12", "", 'the "old" crew')
NO_WALLS = ({"Length": "twelve feet"}, {"Height": None}, {"Studs": "2x6"}, {"like": "nowhere.toml"})
OUTSIDE, LIKE = {"Length": "130 ft"}, {"like": "hall.toml"}


def walls_of_an_office(count: int, seed: int, *, most_feet: int) -> list[dict[str, Any]]:
    """Rows of a list, the same for the same seed: cells by column, as a person typed them into a sheet."""
    draw = random.Random(seed)
    return [_row(draw, number, most_feet // 2) for number in range(1, count + 1)]


def _row(draw: random.Random, number: int, most_bays: int) -> dict[str, Any]:
    bays, low = draw.randint(5, most_bays), draw.choice((96, 108, 120))
    row: dict[str, Any] = {
        "Lot": draw.choice((number // 6, f"{number // 6} B")), "Name": f"W{number}", "Length": f"{2 * bays} ft",
        "Studs": draw.choice(("2x4@24in", "2x6@24in")), "Species": draw.choice(("SPF", "hem-fir")), "Grade": "No.2",
        "Layers": draw.choice(("osb 7/16", "osb 7/16, housewrap", "none")), "Joists": "2x10@16in away",
        "Stock": "2x6@16ft", "Head fastener": SCREW, "Cleat fastener": SCREW, "Floor fastener": LONG_SCREW,
        "End nails": draw.choice((None, 2, 3)), "Joist span": draw.choice((None, "11 ft 6 in")),
        "Superintendent": draw.choice(CREWS), "Deposit": round(draw.uniform(100.0, 900.0), 2),
    }  # fmt: skip
    shape = draw.choice(("level", "level", "rake", "gable"))
    if shape == "rake":
        row |= {"Left height": f"{low} in", "Right height": f"{low + 24} in"}
    else:
        row |= {"Height": f"{low} in"} | ({"Peak": f"{low + 36} in"} if shape == "gable" else {})
    if draw.random() < 0.5:
        back, head = draw.choice((72, 84, 96)), round(0.8 * low)
        studs = (24 * draw.randint(1, 2), 24 * draw.randint(bays - 2, bays - 1))
        row["Brace"] = "; ".join(f"{stud}in:head {head}in:back {back}in:2x6:left:4/4/5" for stud in studs)
    what = draw.random()
    if what < 0.04:
        row |= draw.choice(NO_WALLS)
    elif what < 0.06:
        row |= OUTSIDE
    elif what < 0.15:
        kept = ("Lot", "Name", "Superintendent", "Deposit")
        row = {name: row[name] for name in kept} | LIKE | draw.choice(({}, {"End nails": 1}))
    return row


def write_list(rows: list[dict[str, Any]], path: Path) -> Path:
    """Write rows as the first sheet of a workbook: numbers as numbers, what is typed as text as text."""
    import openpyxl

    book = openpyxl.Workbook()
    book.active.append(HEAD)
    for row in rows:
        book.active.append([row.get(name) for name in HEAD])
        for cell in book.active[book.active.max_row]:
            if isinstance(cell.value, str):
                cell.data_type = "s"  # a crew called =SUM is no formula
    book.save(path)
    return path
