"""The results of a list as an office reads them: a workbook, and one page with a chart; both made of the results alone.

Written when the list is done, from the file of results: a list that was broken off and taken up again ends in the same
workbook and the same page, to the byte.
"""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from html import escape
from pathlib import Path

from attrs import frozen

from bracing.errors import visible
from bracing.job.job import NO_BRACES
from bracing.many.columns import openpyxl
from bracing.many.kept import OWN_COLUMN, WHOLE_NUMBERS
from bracing.many.rows import BAD_ROW
from bracing.reading.files import Output
from bracing.results import CAUTIONS, verdict_rank
from bracing.text.quantities import ENGLISH
from bracing.units import Mph

Row = Mapping[str, str]
# What the first sheet and the page show, in this order, where the results have it; then the office's own columns.
SHOWN = {
    "lot": "Lot", "wall": "Wall", "verdict": "Verdict", "clear_out_gust_mph": "Clear out, mph",
    "limit_gust_mph": "Limit, mph", "limit_gust_one_missing_mph": "One brace missing, mph",
    "gives_first": "Gives first", "mark": "At", "why": "Why", "braces": "Braces", "work_minutes": "Minutes for two",
    "needed_too": "Needed too", "line": "Row of the list",
}  # fmt: skip
NUMBERS = (*WHOLE_NUMBERS, "braces", "work_minutes")
FIRST, SECOND, THIRD = "Worst first", "All columns", "Read this"
WIDTHS = {"wall": 26, "why": 60, "gives_first": 24, "needed_too": 50, "laid_out": 50, "error": 40}
WIDTH, MOST_WIDE = 11, 60  # letters
NO_DATE = (1980, 1, 1, 0, 0, 0)  # the first a zip file can have
SINCE = datetime(2000, 1, 1)
MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*")  # which is set anew as a workbook is saved


@frozen
class Results:
    """The results of a list.

    Attributes:
        title: what it is called.
        gust: the gust asked [mph].
        laid: braces were laid out.
        columns: of the file of results.
        rows: as they stand there.
    """

    title: str
    gust: Mph
    laid: bool
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    @property
    def worst_first(self) -> tuple[Row, ...]:
        """The rows, bad ones before all others, then as on every screen: the worst verdict, the least limit gust."""
        return tuple(sorted(self.rows, key=_place))

    @property
    def shown(self) -> tuple[tuple[str, str], ...]:
        """Columns an office reads, and their heads; those in which nothing stands are left out."""
        own = [(name, name.removeprefix(OWN_COLUMN)) for name in self.columns if name.startswith(OWN_COLUMN)]
        every = [*((name, head) for name, head in SHOWN.items() if name in self.columns), *own]
        return tuple((name, head) for name, head in every if any(row[name] for row in self.rows))

    @property
    def counted(self) -> dict[str, int]:
        """How many rows came out how, the worst first."""
        found: dict[str, int] = {}
        for row in self.worst_first:
            found[row["verdict"]] = found.get(row["verdict"], 0) + 1
        return found

    @property
    def head(self) -> str:
        """One line: what was asked, and how many came out how."""
        each = ", ".join(f"{count} {verdict}" for verdict, count in self.counted.items()) or "none"
        what = "laid out for" if self.laid else "checked at"
        return f"{len(self.rows)} walls {what} a gust of {ENGLISH.asked(self.gust)}: {each}."


def _place(row: Row) -> tuple[int, int, float, int]:
    verdict, limit = row["verdict"], row["limit_gust_mph"]
    wall, braced = verdict != BAD_ROW, row["gives_first"] != NO_BRACES.lower()
    return (
        int(wall) + int(wall and braced),
        verdict_rank(verdict),
        float(limit) if limit else -1.0,
        int(row["line"]),
    )


def read_results(target: Path, *, title: str, gust: Mph, laid: bool) -> Results:
    """Read the file of results of a list that is done.

    Args:
        target: the file.
        title: what the list is called.
        gust: the gust asked [mph].
        laid: braces were laid out.
    """
    with target.open(encoding="utf-8", newline="") as stream:
        reader = csv.DictReader(stream)
        return Results(title, gust, laid, tuple(reader.fieldnames or ()), tuple(reader))


# -- a workbook --------------------------------------------------------------------------------------------


def write_workbook(results: Results, path: Path, output: Output) -> Path:
    """Write the results as a workbook: worst first, then all columns in the order of the list, then the cautions.

    Args:
        results: the results.
        path: the file.
        output: what it may be written over.

    Raises:
        MissingExtraError: openpyxl is not installed.
        InputError: the file cannot be written.
    """
    book = openpyxl().Workbook()
    book.properties.created = SINCE
    book.properties.creator = "bracing"
    _sheet(book.active, FIRST, results.shown, results.worst_first)
    _sheet(book.create_sheet(), SECOND, [(name, name) for name in results.columns], results.rows)
    last = book.create_sheet(THIRD)
    last.column_dimensions["A"].width = 110
    for line in (results.title, results.head, *map(ENGLISH.said, CAUTIONS)):
        last.append([visible(line)])
        last.cell(last.max_row, 1).alignment = _of("Alignment", wrap_text=True, vertical="top")
    into = io.BytesIO()
    book.save(into)
    return output.put(path, _undated(into.getvalue()))


def _of(name: str, **given: object) -> object:
    import importlib

    return getattr(importlib.import_module("openpyxl.styles"), name)(**given)


def _sheet(sheet, title: str, columns: Iterable[tuple[str, str]], rows: Iterable[Row]) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
    """One sheet: its head in bold, kept in sight and filtered by; numbers as numbers, text as text."""
    from openpyxl.utils import get_column_letter  # type: ignore[import-untyped,unused-ignore]

    every = list(columns)
    sheet.title = title
    sheet.append([visible(head) for _, head in every])
    for row in rows:
        sheet.append([_value(name, row[name]) for name, _ in every])
    for k, (name, head) in enumerate(every, start=1):
        sheet.column_dimensions[get_column_letter(k)].width = min(
            MOST_WIDE, WIDTHS.get(name, max(WIDTH, len(head) + 2))
        )
        sheet.cell(1, k).font = _of("Font", bold=True)
        sheet.cell(1, k).alignment = _of("Alignment", wrap_text=True, vertical="top")
        sheet.cell(1, k).border = _of("Border", bottom=_of("Side", style="thin"))
        for at in range(2, sheet.max_row + 1):
            cell = sheet.cell(at, k)
            cell.alignment = _of("Alignment", wrap_text=name in WIDTHS, vertical="top")
            if isinstance(cell.value, str):
                cell.data_type = "s"  # a formula is text here
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = sheet.dimensions
    sheet.page_setup.orientation, sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = (
        "landscape",
        1,
        0,
    )
    sheet.sheet_properties.pageSetUpPr = _page_setup()
    sheet.print_title_rows = "1:1"


def _page_setup() -> object:
    from openpyxl.worksheet.properties import PageSetupProperties  # type: ignore[import-untyped,unused-ignore]

    made: object = PageSetupProperties(fitToPage=True)
    return made


def _value(name: str, text: str) -> object:
    if name in NUMBERS and text.lstrip("-").isdigit():
        return int(text)
    return visible(text) or None


def _undated(content: bytes) -> bytes:
    """The same archive without the time it was written at."""
    into = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED) as new:
        for name in sorted(old.namelist(), key=lambda name: (name != "[Content_Types].xml", name)):
            told = zipfile.ZipInfo(name, NO_DATE)
            told.compress_type, told.external_attr = zipfile.ZIP_DEFLATED, 0o600 << 16
            new.writestr(told, MODIFIED.sub(rb"\g<1>" + SINCE.isoformat().encode() + b"Z", old.read(name)))
    return into.getvalue()


# -- a page ------------------------------------------------------------------------------------------------

STYLE = """
body{font:15px/1.4 system-ui,sans-serif;color:#000;background:#fff;margin:1.5rem auto;max-width:75rem;padding:0 1rem}
table{border-collapse:collapse;width:100%}th,td{border-bottom:1px solid #999;padding:.3rem .5rem;text-align:left;
vertical-align:top}th{border-bottom:2px solid #000}td.n{text-align:right;font-variant-numeric:tabular-nums}
.wide{overflow-x:auto}svg{max-width:100%;height:auto}h1{font-size:1.5rem}h2{font-size:1.15rem}
@media print{body{max-width:none;margin:0}tr{break-inside:avoid}thead{display:table-header-group}}
"""
BAR, NAMES, PLOT, MARGIN = 18.0, 210.0, 480.0, 24.0  # of the chart [px]
MOST_LETTERS = 30
STEP: Mph = 10.0  # between lines of the chart


def page_of_results(results: Results) -> str:
    """Write the results as one page that needs nothing else: a chart of every wall's gusts, and a table, worst first.

    Args:
        results: the results.
    """
    title = escape(visible(results.title))
    heads = "".join(f'<th scope="col">{escape(visible(head))}</th>' for _, head in results.shown)
    rows = "\n".join(_table_row(results, row) for row in results.worst_first)
    cautions = "\n".join(f"<p>{escape(ENGLISH.said(each))}</p>" for each in CAUTIONS)
    return f"""<!DOCTYPE html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title><style>{STYLE}</style></head>
<body>
<h1>{title}</h1>
<p>{escape(results.head)}</p>
<h2>Clear-out gust and limit gust of each wall, worst first</h2>
<div class="wide">{chart(results)}</div>
<h2>Each wall, worst first</h2>
<div class="wide"><table><thead><tr>{heads}</tr></thead><tbody>
{rows}
</tbody></table></div>
<h2>Read this</h2>
{cautions}
</body>
</html>
"""


def _table_row(results: Results, row: Row) -> str:
    cells = (
        f'<td class="n">{escape(row[name])}</td>'
        if name in NUMBERS
        else f"<td>{escape(visible(row[name]))}</td>"
        for name, _ in results.shown
    )
    return f"<tr>{''.join(cells)}</tr>"


def chart(results: Results) -> str:
    """Draw the gusts of every wall as SVG: a bar to its limit gust, filled to its clear-out gust; a line at the gust.

    Args:
        results: the results.
    """
    rows = [row for row in results.worst_first if row["verdict"] != BAD_ROW]
    limits = [float(row["limit_gust_mph"] or 0.0) for row in rows]
    far = STEP * (max([results.gust, *limits, STEP]) // STEP + 1.0)
    height = 2.0 * MARGIN + BAR * len(rows)
    said = f"Limit and clear-out gust of {len(rows)} walls, worst first; the table below has the numbers"
    lines = [*_grid(far, height), *(line for k, row in enumerate(rows) for line in _bar(row, k, far))]
    asked = NAMES + PLOT * results.gust / far
    lines.append(f'<path d="M{asked:.1f} {MARGIN}V{height - MARGIN:.1f}" stroke="#000" stroke-width="2"/>')
    words = f"asked {ENGLISH.asked(results.gust)}"
    lines.append(f'<text x="{asked:.1f}" y="{MARGIN - 8:.1f}" text-anchor="middle">{escape(words)}</text>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {NAMES + PLOT + MARGIN:.0f} {height:.0f}" '
        f'width="{NAMES + PLOT + MARGIN:.0f}" role="img" font-size="12" font-family="system-ui,sans-serif">'
        f"<title>{escape(said)}</title>{''.join(lines)}</svg>"
    )


def _grid(far: Mph, height: float) -> Iterator[str]:
    for k in range(int(far // STEP) + 1):
        x = NAMES + PLOT * k * STEP / far
        yield f'<path d="M{x:.1f} {MARGIN}V{height - MARGIN:.1f}" stroke="#bbb" stroke-width="1"/>'
        yield f'<text x="{x:.1f}" y="{height - 8:.1f}" text-anchor="middle">{k * STEP:.0f}</text>'


def _bar(row: Row, k: int, far: Mph) -> Iterator[str]:
    y = MARGIN + BAR * k
    named = " ".join(filter(None, (row["lot"], row["wall"] or f"row {row['line']}")))
    name = visible(named if len(named) <= MOST_LETTERS else f"{named[: MOST_LETTERS - 1]}…")
    yield f'<text x="{NAMES - 6:.0f}" y="{y + 13:.1f}" text-anchor="end">{escape(name)}</text>'
    if not row["limit_gust_mph"]:
        yield f'<text x="{NAMES + 4:.0f}" y="{y + 13:.1f}">{escape(row["verdict"])}</text>'
        return
    for field, fill in (("limit_gust_mph", "#fff"), ("clear_out_gust_mph", "#888")):
        wide = PLOT * float(row[field] or 0.0) / far
        yield (
            f'<rect x="{NAMES:.0f}" y="{y + 3:.1f}" width="{wide:.1f}" height="{BAR - 6:.0f}" fill="{fill}" '
            'stroke="#000"/>'
        )
