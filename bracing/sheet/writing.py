"""The page as HTML, one file with all it needs; and the same page as PDF."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
from collections.abc import Callable, Sequence
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from bracing.check import CheckResult
from bracing.choosing import whole_down, whole_up
from bracing.drawing.model import Drawing
from bracing.drawing.picture import as_bytes
from bracing.errors import InputError, MissingExtraError, cell, visible
from bracing.layout.plan import LayoutResult
from bracing.reading.files import Output
from bracing.results import CAUTIONS, LIMIT_STATEMENT, header, said_first
from bracing.said import Said
from bracing.sheet import rows
from bracing.sheet.facts import Facts, checklists
from bracing.sums import written as n
from bracing.text.check import link_words, nothing_words
from bracing.text.quantities import ENGLISH, filled, in_words
from bracing.text.trace import Step
from bracing.units import tape

BLANK_LOG_ROWS = 8
SECONDS_A_DAY = 86400.0
SLIDER = (5, 80)


def content(facts: Facts) -> dict[str, object]:
    """Give all the template prints.

    Args:
        facts: the facts.
    """
    result, job = facts.result, facts.job
    return {
        "wall": job.wall.name,
        "file": visible(job.file),
        "state": job.state,
        "file_state": facts.as_filed.job.state if facts.layout else "",
        "first": in_words(said_first(facts.as_filed.job, plan=facts.plan)),
        "stay_out": facts.layout is not None and job.wall.up and not facts.as_filed.clear_out,
        "up": job.wall.up and facts.layout is None,
        "built": job.built,
        "size": f"{tape(job.wall.length)} long, {tape(job.wall.highest)} high",
        "engineer": in_words(result.beyond),
        "head": _headline(facts),
        "statement": in_words(LIMIT_STATEMENT),
        "zone": _zone(result),
        "cautions": in_words(CAUTIONS),
        "warnings": in_words(result.warnings),
        "gusts": rows.gust_ladder(result),
        "slider": _slider(result),
        "pictures": {drawing.name: picture(drawing) for drawing in facts.drawings},
        "drawn": _drawn(facts.drawings),
        "braces": rows.brace_rows(facts),
        "forces_at": n(result.evaluation.gust) if result.evaluation else "",
        "not_counted": _not_counted(result),
        "cuts": rows.cut_rows(facts),
        "fasteners": rows.fastener_rows(facts),
        "order": rows.order_rows(facts),
        "hook": _hook(facts),
        "needed": in_words(facts.layout.needed) if facts.layout else [],
        "buy": _buy(facts.layout),
        "grid": ENGLISH.said(facts.layout.grid.said) if facts.layout else "",
        "rungs": _work(facts),
        "lists": checklists(),
        "take_down": rows.take_down_rows(facts),
        "kept": f"{facts.stages.take_down.keep:.0f}" if facts.stages.take_down else "",
        "planned": rows.built_rows(job),
        "log_rows": range(BLANK_LOG_ROWS),
        "assumed": rows.assumed_rows(result),
        "links": rows.link_rows(result),
        "link_counts": rows.link_counts(result),
        "trace": _trace(facts),
        "expiry": _expiry(facts),
        "identity": _identity(result),
    }


def _headline(facts: Facts) -> dict[str, object]:
    result = facts.result
    first = result.gives_first
    wind = result.construction_wind
    return {
        "clear_out": result.clear_out, "meter": result.clear_out_on_meter, "limit": result.limit_whole,
        "missing": result.one_missing,
        "missing_mark": result.matters_most or "",
        "lost": result.one_lost,
        "gives_first": link_words(first, rows.PAGE) if first else "",
        "held": bool(result.evaluation and result.evaluation.held),
        "gust": None if result.gust is None else n(result.gust),
        "verdict": result.as_drawn, "thunderstorm": result.thunderstorm,
        "construction": None if wind is None else whole_up(wind["equivalent_gust_mph"]),
        "design": None if wind is None else n(wind["design_speed_mph"]),
    }  # fmt: skip


def _not_counted(result: CheckResult) -> list[str]:
    said: dict[Said, list[str]] = {}
    for brace in result.braces:
        if brace.not_counted:
            said.setdefault(brace.not_counted, []).append(brace.mark)
    return [f"{', '.join(marks)}: {ENGLISH.said(words)}" for words, marks in said.items()]


def _zone(result: CheckResult) -> dict[str, str]:
    inside, outside = result.zone
    return {"inside": tape(inside), "outside": tape(outside)}


def _slider(result: CheckResult) -> dict[str, int]:
    low, high = SLIDER
    start = result.gust if result.gust is not None else (result.limit_whole or low)
    return {"low": low, "high": high, "start": int(min(max(start, low), high))}


def picture(drawing: Drawing) -> dict[str, str]:
    """Give a drawing as the template takes it: an image in the page itself, and words for those who cannot see it.

    Args:
        drawing: the drawing.
    """
    coded = base64.b64encode(as_bytes([drawing], ".svg")).decode("ascii")
    wide, tall = drawing.paper.size
    return {
        "src": f"data:image/svg+xml;base64,{coded}", "alt": drawing.alt, "title": drawing.title,
        "width": f"{wide * 96.0:.0f}", "height": f"{tall * 96.0:.0f}",
    }  # fmt: skip


def _drawn(drawings: Sequence[Drawing]) -> dict[str, list[str]]:
    names = [drawing.name for drawing in drawings]
    return {
        "sections": [name for name in names if name.startswith("section")],
        "details": [name for name in names if name.startswith(("head", "foot"))],
    }


def _hook(facts: Facts) -> str:
    hook = facts.stages.hook
    return "" if hook is None or not hook.stages else ENGLISH.said(hook.said)


def _buy(layout: LayoutResult | None) -> list[tuple[str, str]]:
    if layout is None:
        return []
    return [(ENGLISH.said(item.what), str(filled(ENGLISH, item.much))) for item in layout.buy]


def _work(facts: Facts) -> dict[str, object] | None:
    if facts.ladder is None:
        return None
    ladder = facts.ladder
    return {
        "gust": f"{facts.ladder_gust:.0f}", "covers": ladder.covers, "why_not": ladder.why_not,
        "rows": [
            (str(k), "; ".join(map(ENGLISH.said, step.words)), f"{rows.whole(step.limit)} mph")
            for k, step in enumerate(ladder.steps, start=1)
        ],
        "truck": _parts(facts),
    }  # fmt: skip


def _parts(facts: Facts) -> list[str]:
    if facts.ladder is None:
        return []
    return [f"{what}: {count}" for what, count in ENGLISH.counted(facts.ladder.parts).items()]


def _trace(facts: Facts) -> dict[str, object] | None:
    if facts.trace is None:
        return None
    return {
        "wind": [_step(step) for step in facts.trace.wind],
        "links": [
            (each.sentence, ENGLISH.said(each.link.reason or ""), [_step(step) for step in each.steps])
            for each in facts.trace.links
        ],
        "nothing": nothing_words(facts.trace.nothing, rows.PAGE, facts.trace.loose),
        "untouched": ", ".join(facts.trace.untouched),
        "gust": n(facts.trace.gust),
    }


def _step(step: Step) -> tuple[str, str, str, str]:
    return step.what, step.sum, step.shown, step.source


def _expiry(facts: Facts) -> str:
    stands = facts.job.site.stands
    if stands is None:
        return "How long it may stand on these braces was not declared: write a date here before use"
    return f"Void once it has stood on braces for {whole_down(stands / SECONDS_A_DAY)} days. Stood on"


def _identity(result: CheckResult) -> dict[str, object]:
    said = header(result.job, "sheet")
    return {"program": said["program"], "standards": said["standards"], "sha256": said["input_sha256"]}


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
        from bracing.drawing.picture import write_dxf

        return write_dxf(facts.drawings, path, output)
    return output.put(path, WRITERS[suffix](facts))


def page_of(facts: Facts) -> str:
    """Give the page of one wall as HTML.

    Args:
        facts: all that is said of it.
    """
    from bracing.sheet.writing import content

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
