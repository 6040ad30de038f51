"""The page as HTML, one file with all it needs; and the same page as PDF."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
from collections.abc import Callable
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from bracing.choosing import whole_up
from bracing.errors import InputError, MissingExtraError, cell
from bracing.reading.files import Output
from bracing.sheet.facts import Facts

PARTS = "parts"


def html(name: str, content: dict[str, object]) -> str:
    """Fill a template. Text of the user is escaped; scripts and styles are named by their hash.

    Args:
        name: of the template.
        content: what it prints.

    Raises:
        MissingExtraError: the template library is not installed.
    """
    style, script = _part("sheet.css"), _part("slider.js")
    policy = (
        f"default-src 'none'; img-src data:; style-src '{_hash(style)}'; script-src '{_hash(script)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    environment = _environment()
    page = environment.get_template(name).render(
        **content, policy=policy, style=_as_is(style), script=_as_is(script), blank="_" * 24
    )
    return str(page).encode(errors="replace").decode()  # a file's name may hold bytes that are no letters


def pdf(pages: list[str]) -> bytes:
    """Turn filled templates into one PDF, each beginning a new sheet of paper.

    Args:
        pages: the HTML of each.

    Raises:
        MissingExtraError: the PDF library, or what it needs of the system, is not installed.
    """
    try:
        import weasyprint
        from weasyprint.urls import URLFetcher
    except (ImportError, OSError) as error:  # an OSError where the system's text library is missing
        package = "weasyprint"
        raise MissingExtraError(package, "pdf") from error
    only_data = URLFetcher(allowed_protocols={"data"})  # a page fetches nothing but what it carries
    footers = [weasyprint.CSS(string=_part("paper.css"))]
    documents = [
        weasyprint.HTML(string=page, url_fetcher=only_data).render(stylesheets=footers) for page in pages
    ]
    first = documents[0]
    all_pages = [page for document in documents for page in document.pages]
    return bytes(first.copy(all_pages).write_pdf())


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


@cache
def _part(name: str) -> str:
    return resources.files("bracing").joinpath("sheet", PARTS, name).read_text(encoding="utf-8")


def _as_is(text: str) -> Any:  # noqa: ANN401
    from markupsafe import Markup

    return Markup(text)


@cache
def _environment() -> Any:  # noqa: ANN401
    try:
        import jinja2
    except ImportError as error:
        package = "jinja2"
        raise MissingExtraError(package, "sheet") from error
    return jinja2.Environment(
        loader=jinja2.FunctionLoader(_part), autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip


OUTPUT = Output("-o", overwrite=True)  # for a caller who says nothing else
PICTURES = (".svg", ".png")
SUFFIXES = (".html", ".pdf", *PICTURES, ".dxf", ".csv")
COLUMNS = (
    "order", "mark", "stud from LEFT", "stud from LEFT in", "foot from LEFT in", "head in", "set-back in", "angle deg",
    "stock", "lap side", "long point in", "foot cut deg", "head cut", "head cut deg", "head fasteners",
    "cleat fasteners", "floor fasteners", "ties", "stud doubled", "push lb", "pull lb",
    "limit mph with it up and no tie row", "clear-out mph of the wall", "wall on file",
)  # fmt: skip


def suffix_of(path: Path) -> str:
    """Give the suffix of a file asked for.

    Args:
        path: the file.

    Raises:
        InputError: none of those there are.
    """
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        option = "-o"
        raise InputError.of(option, path.name, f"a file that ends in one of {', '.join(SUFFIXES)}")
    return suffix


def write_sheet(facts: Facts, path: Path, output: Output = OUTPUT) -> Path:
    """Write one wall.

    Args:
        facts: all that is said of it.
        path: the file; its suffix says what it is.
        output: what it may be written over.

    Returns:
        The file.

    Raises:
        InputError: another suffix, or a file that cannot be written.
        MissingExtraError: an optional package is not installed.
    """
    suffix = suffix_of(path)
    if suffix == ".dxf":
        from bracing.drawing.dxf import write_dxf

        return write_dxf(facts.drawings, path, output)
    return output.put(path, WRITERS[suffix](facts))


def page_of(facts: Facts) -> str:
    """Give the page of one wall as HTML.

    Args:
        facts: all that is said of it.
    """
    from bracing.sheet.content import content

    return html("sheet.html", content(facts))


def _html(facts: Facts) -> bytes:
    return page_of(facts).encode("utf-8")


def _pdf(facts: Facts) -> bytes:

    return pdf([page_of(facts)])


def _svg(facts: Facts) -> bytes:
    from bracing.drawing.picture import as_bytes

    return as_bytes(facts.drawings, ".svg")


def _png(facts: Facts) -> bytes:
    from bracing.drawing.picture import as_bytes

    return as_bytes(facts.drawings, ".png")


def _csv(facts: Facts) -> bytes:
    """One row for each brace, lengths as a tape reads them and in inches."""
    into = io.StringIO()
    out = csv.writer(into, lineterminator="\n")
    out.writerow(COLUMNS)
    for row in _csv_rows(facts):
        out.writerow([cell(value) for value in row])
    return into.getvalue().encode(errors="replace")


def _csv_rows(facts: Facts) -> list[tuple[object, ...]]:
    import math

    from bracing.sheet.rows import whole
    from bracing.units import tape

    rows: list[tuple[object, ...]] = []
    shown = {each.mark: each for each in facts.result.braces}
    after: list[float | None] = [stage.limit for stage in facts.stages.stages if not stage.ties]
    after += [None] * (len(facts.job.braces) - len(after))
    for k, (brace, cut) in enumerate(zip(facts.job.braces, facts.cuts, strict=True)):
        each, limit = shown.get(brace.mark), after[k]
        rows.append(
            (
                k + 1, brace.mark, tape(brace.stud_at), f"{brace.stud_at:.4f}", f"{each.foot_x:.4f}" if each else "",
                f"{brace.head:.4f}", f"{brace.set_back:.4f}", f"{math.degrees(brace.angle):.2f}", brace.size,
                brace.lap_side, f"{cut.long_point:.4f}", f"{cut.foot_angle:.2f}", cut.head_cut, f"{cut.head_angle:.2f}",
                brace.head_fasteners, brace.cleat_fasteners, brace.floor_fasteners, brace.ties,
                "yes" if brace.stud_doubled else "no", whole_up(each.push) if each else "",
                whole_up(each.pull) if each else "", "" if limit is None else whole(limit),
                facts.result.clear_out if facts.result.clear_out is not None else "engineer",
                facts.as_filed.job.state,
            )
        )  # fmt: skip
    return rows


WRITERS: dict[str, Callable[[Facts], bytes]] = {
    ".html": _html, ".pdf": _pdf, ".svg": _svg, ".png": _png, ".csv": _csv,
}  # fmt: skip
