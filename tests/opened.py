"""Opens a workbook in LibreOffice, without a screen, and reads what it found there: a program that is not ours."""

from __future__ import annotations

import shutil
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import NamedTuple

from tests import LONGEST_S

SOFFICE = shutil.which("soffice")
OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
WORDS = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"


class Sheet(NamedTuple):
    """A sheet as LibreOffice has it: numbers as numbers, text as text, None for an empty cell."""

    name: str
    rows: list[list[float | str | None]]
    formulas: int


class Opened(NamedTuple):
    """A workbook as LibreOffice has it, and the ranges it offers a filter for."""

    sheets: list[Sheet]
    filtered: list[str]


def converted(path: Path, kind: str, into: Path) -> Path:
    """Open a file and save it as another kind."""
    assert SOFFICE is not None
    into.mkdir()
    profile = (into / "profile").as_uri()  # of its own: two that run at once would take the same
    words = (
        SOFFICE,
        f"-env:UserInstallation={profile}",
        "--headless",
        "--convert-to",
        kind,
        "--outdir",
        into,
        path,
    )
    ran = subprocess.run(words, capture_output=True, text=True, timeout=LONGEST_S, check=False)
    made = into / f"{path.stem}.{kind}"
    assert made.is_file(), ran.stdout + ran.stderr
    return made


def opened(path: Path, into: Path) -> Opened:
    """Open a workbook and read every cell of it back."""
    root = ET.parse(converted(path, "fods", into)).getroot()
    ranges = root.iter(f"{TABLE}database-range")
    filtered = [each for each in ranges if each.get(f"{TABLE}display-filter-buttons")]
    return Opened(
        [_sheet(each) for each in root.iter(f"{TABLE}table")],
        [each.get(f"{TABLE}target-range-address", "") for each in filtered],
    )


def _sheet(table: ET.Element) -> Sheet:
    rows: list[list[float | str | None]] = []
    for line in table.iter(f"{TABLE}table-row"):
        cells: list[float | str | None] = []
        for cell in line.findall(f"{TABLE}table-cell"):
            cells += [_value(cell)] * int(cell.get(f"{TABLE}number-columns-repeated", "1"))
        while cells and cells[-1] is None:
            cells.pop()
        rows += [cells] * int(line.get(f"{TABLE}number-rows-repeated", "1")) if cells else []
    formulas = sum(cell.get(f"{TABLE}formula") is not None for cell in table.iter(f"{TABLE}table-cell"))
    return Sheet(table.get(f"{TABLE}name", ""), rows, formulas)


def _value(cell: ET.Element) -> float | str | None:
    kind = cell.get(f"{OFFICE}value-type")
    if kind is None:
        return None
    if kind == "float":
        return float(cell.get(f"{OFFICE}value", "nan"))
    assert kind == "string", f"a cell of {kind}"
    return "\n".join("".join(part.itertext()) for part in cell.findall(f"{WORDS}p"))
