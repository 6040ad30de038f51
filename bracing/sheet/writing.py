"""The page as HTML, one file with all it needs; and the same page as PDF."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import json
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import StrEnum
from functools import cache, lru_cache
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from attrs import evolve

from bracing.check import CheckResult
from bracing.choosing import over, whole_down, whole_up
from bracing.drawing.elevation import elevation
from bracing.drawing.glyphs import GLYPHS, svg
from bracing.drawing.model import Drawing
from bracing.drawing.picture import as_bytes, plotted_pdf, svg_with_words
from bracing.errors import InputError, MissingExtraError, cell, from_extra, visible
from bracing.reading.files import Output
from bracing.results import CAUTIONS, LIMIT_STATEMENT, header, loads_said, said_first
from bracing.said import Said, Verdict
from bracing.sheet import rows
from bracing.sheet.facts import Facts, checklists
from bracing.sheet.plotting import Plot, sheets_to_scale
from bracing.text.check import (
    clear_out_words,
    link_words,
    nothing_words,
    out_words,
    size_said,
    state_words,
    storm_words,
)
from bracing.text.languages import OWN, signed, template
from bracing.text.page import Page
from bracing.text.quantities import comes_to, filled
from bracing.text.trace import Step, before_links, hand_lines, in_us_units
from bracing.units import MM_PER_INCH, MPH_PER_METRE_PER_SECOND
from bracing.work.minutes import work_said

if TYPE_CHECKING:
    from bracing.chance.answer import ChanceResult

BLANK_LOG_ROWS = 8
BY_HAND_WIDTH = 92  # columns of the equations on the engineer's pages: 8 pt across letter paper
FEW = 6  # braces whose cards stand on one page, so that their joints, drawn, have room among the crew's pages

MOST_PAGES = 4  # of the crew's part, up to 12 braces
LETTERS = (
    11.0,
    10.5,
    10.0,
)  # sizes on paper, the next smaller where it takes more pages [px, 96 to the inch]


class Part(StrEnum):
    """What of the page is printed together."""

    ALL = "all"  # on a screen: the engineer's part behind a fold
    SHEET = "sheet"
    CLIPBOARD = "clipboard"
    ENGINEER = "engineer"


SECONDS_A_DAY = 86400.0
# Lowest and highest gust, step, unit, and how many mph one is.
SLIDER, METRIC_SLIDER = (5, 80, 1, "mph", 1.0), (2, 36, 0.5, "m/s", MPH_PER_METRE_PER_SECOND)


def content(facts: Facts, part: Part = Part.ALL) -> dict[str, object]:
    """Give all the template prints.

    Args:
        facts: the facts.
        part: which of its parts.
    """
    result, job, page = facts.result, facts.job, facts.page

    def told(words: Iterable[Said]) -> list[str]:
        return [page.said(each) for each in words]

    return {
        **_title(facts),
        "engineer": told(result.beyond),
        "head": _headline(facts),
        "statement": page.said(LIMIT_STATEMENT),
        "zone": dict(zip(("inside", "outside"), map(page.length, result.zone), strict=True)),
        "cautions": told(CAUTIONS),
        "warnings": told(result.warnings),
        "gusts": rows.gust_ladder(facts),
        "slider": _slider(facts),
        "slider_words": json.dumps(_slider_words(facts), ensure_ascii=False),
        "glyphs": glyphs(),
        "pictures": _pictures(facts),
        "drawn_joints": _joints(facts.drawings),
        "part": part.value,
        "few": FEW,
        "cards": rows.cards(job, page, facts.layout),
        "braces": rows.brace_rows(facts),
        "forces_at": _forces_at(result, page),
        "not_counted": _not_counted(result, page),
        "cuts": rows.cut_rows(facts),
        "fasteners": rows.fastener_rows(facts),
        "hook": _hook(facts),
        "needed": told(facts.needed),
        "buy": [(page.said(item.what), str(filled(page, item.much))) for item in facts.buy],
        "grid": page.said(facts.layout.grid.said) if facts.layout else "",
        "rungs": _work(facts),
        "lists": checklists(page.language),
        "take_down": rows.take_down_rows(facts),
        "kept": page.asked(facts.stages.take_down.keep.gust) if facts.stages.take_down else "",
        "planned": rows.built_rows(job, page),
        "log_rows": range(BLANK_LOG_ROWS),
        "assumed": rows.assumed_rows(result, page),
        "links": rows.link_rows(result, page),
        "link_counts": rows.link_counts(result),
        "chance": _chance(facts, part),
        "trace": _trace(facts),
        "expiry": _expiry(facts),
        "identity": _identity(result),
        **_spoken(page),
    }


def _title(facts: Facts) -> dict[str, object]:
    """What the page begins with: which wall, how large, whether it is a plan, and what is said before every number."""
    job, page = facts.job, facts.page
    return {
        "wall": job.wall.name,
        "file": visible(job.file),
        "state": page.said(state_words(job)),
        "file_state": page.said(state_words(facts.as_filed.job)) if facts.layout else "",
        "first": [page.said(each) for each in said_first(facts.as_filed.job, plan=facts.plan)],
        "loads": [page.said(each) for each in loads_said(job)],
        "stay_out": _stay_out(facts),
        "up": job.wall.up and facts.layout is None,
        "built": job.built,
        "size": page.said(size_said(job)),
    }


SLIDER_SAYS = (
    Said("slider-within"),
    Said("slider-over"),
    Said("slider-out"),
    Said("slider-storm"),
    Said("slider-under"),
    Said("slider-as-drawn"),
    Said("slider-one-gone"),
    Said("slider-at"),
)


def _spoken(page: Page) -> dict[str, object]:
    """What a template says its words with: by id, each value in its place, escaped unless it is marked up already."""
    from markupsafe import Markup, escape

    def say(words: str, **values: object) -> Markup:
        told = template(words, page.language)
        if told is None:
            return Markup(page.english(str(Markup(template(words, OWN)).format(**values))))
        return Markup(told).format(**values)

    return {
        "say": say, "term": page.term, "language": page.language, "beneath": False, "english": "",
        "unsigned": not signed(page.language),
        "bdi": lambda text: Markup("<bdi>{}</bdi>").format(escape(text)),
        "strong": lambda text: Markup("<strong>{}</strong>").format(escape(text)),
    }  # fmt: skip


def _forces_at(result: CheckResult, page: Page) -> str:
    """The gust whose forces are shown, to the tenth, down."""
    return page.asked(whole_down(result.evaluation.gust * 10.0) / 10.0) if result.evaluation else ""


def _stay_out(facts: Facts) -> str:
    """Said over a plan of a wall that stands, where what is on file holds nothing."""
    out = facts.layout is not None and facts.job.wall.up and not facts.as_filed.clear_out
    return out_words(0, facts.page) if out else ""


def _headline(facts: Facts) -> dict[str, object]:
    result, page = facts.result, facts.page
    first = result.gives_first
    wind, lost = result.construction_wind, result.one_lost or (0, "")
    gusts = {
        "clear_out": result.clear_out, "limit": result.limit_whole,
        "missing": result.one_missing,
    }  # fmt: skip
    return {
        **{name: None if gust is None else page.gust(gust) for name, gust in gusts.items()},
        "out": clear_out_words(result, page, up=facts.layout is None), "stays": bool(result.clear_out),
        "storm": storm_words(facts.storm_out, page),
        "finest": "1 mm" if page.metric else "1/16 in",
        "missing_mark": result.matters_most or "",
        "lost": page.gust(lost[0]), "lost_mark": lost[1],
        "gives_first": link_words(first, page) if first else "",
        "held": bool(result.evaluation and result.evaluation.held),
        "gust": None if result.gust is None else page.asked(result.gust),
        "verdict": result.as_drawn, "thunderstorm": result.thunderstorm,
        "people_out": bool(result.people_out) and facts.layout is None,
        "construction": None if wind is None else page.asked(whole_up(wind["equivalent_gust_mph"])),
        "design": None if wind is None else page.asked(wind["design_speed_mph"]),
    }  # fmt: skip


def _not_counted(result: CheckResult, page: Page) -> list[str]:
    said: dict[Said, list[str]] = {}
    for brace in result.braces:
        if brace.not_counted:
            said.setdefault(brace.not_counted, []).append(brace.mark)
    return [f"{', '.join(marks)}: {page.said(words)}" for words, marks in said.items()]


def _slider_words(facts: Facts) -> dict[str, str]:
    """What the slider says, by id; of what nobody knows it says unknown where it says within of other walls."""
    page = facts.page
    words = {said.id: page.said(said) for said in SLIDER_SAYS}
    return words | {SLIDER_SAYS[0].id: page.term(Verdict.UNKNOWN)} if facts.result.unknown else words


def _slider(facts: Facts) -> dict[str, object]:
    """The slider's ends, step and start, and the gusts it compares with, each a number in the page's units."""
    result, page, storm = facts.result, facts.page, facts.storm_out
    low, high, step, unit, per = METRIC_SLIDER if page.metric else SLIDER
    start = (result.gust if result.gust is not None else (result.limit_whole or 0.0)) / per
    out = result.clear_out
    gusts = {
        "limit": whole_down(result.known_limit),
        "missing": result.one_missing,
        "out": out,
        "storm": out if storm is None else storm,
    }
    return {
        "low": low, "high": high, "step": step, "unit": unit, "start": int(min(max(start, low), high)),
        **{name: page.gust(gust or 0.0).split()[0] for name, gust in gusts.items()},
    }  # fmt: skip


@lru_cache(maxsize=64)  # a page and its parts show the same
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


@cache
def glyphs() -> dict[str, str]:
    """Give every picture without words as an image in the page itself, by its name."""
    return {
        name: "data:image/svg+xml;base64," + base64.b64encode(svg(name).encode()).decode("ascii")
        for name in GLYPHS
    }


def _pictures(facts: Facts) -> dict[str, dict[str, str]]:
    """Every drawing by its name, and the section of each brace by its place in the order: a mark is a person's word."""
    sections = [drawing for drawing in facts.drawings if drawing.name.startswith("section")]
    named = {drawing.name: drawing for drawing in facts.drawings if drawing not in sections}
    named |= {str(k): drawing for k, drawing in enumerate(sections)}
    return {name: picture(one) for name, one in named.items()} | {
        "narrow": picture(elevation(facts.job, evolve(facts.page, language=OWN), narrow=True))
    }


def _joints(drawings: Sequence[Drawing]) -> list[str]:
    return [each.name for each in drawings if each.name.startswith(("head", "foot", "plate"))]


def _hook(facts: Facts) -> str:
    hook = facts.stages.hook
    return "" if hook is None or not hook.stages else facts.page.said(hook.said)


def _work(facts: Facts) -> dict[str, object] | None:
    if facts.ladder is None:
        return None
    ladder, page = facts.ladder, facts.page
    return {
        "gust": page.asked(facts.ladder_gust), "covers": ladder.covers, "why_not": page.english(str(ladder.why_not)),
        "takes": page.said(work_said(facts.job, ladder.minutes)), "storms": _in_storms(facts),
        "rows": [
            (str(k), "; ".join(map(page.said, step.words)), page.gust(step.limit))
            for k, step in enumerate(ladder.steps, start=1)
        ],
        "truck": _parts(facts),
    }  # fmt: skip


def _in_storms(facts: Facts) -> str:
    """The limit after the work in a thunderstorm's wind, which rises less with height, where that is under the gust."""
    limit = facts.ladder_in_storms
    return "" if limit is None or not over(facts.ladder_gust, limit) else facts.page.gust(limit)


def _parts(facts: Facts) -> list[str]:
    if facts.ladder is None:
        return []
    return [f"{what}: {count}" for what, count in facts.page.counted(facts.ladder.parts).items()]


def _trace(facts: Facts) -> dict[str, object] | None:
    if facts.trace is None:
        return None
    page = facts.page
    return {
        "parts": [
            (title, [_step(step, page) for step in steps]) for title, steps in before_links(facts.trace)
        ],
        "by_hand": "\n".join(hand_lines(facts.trace, evolve(page, width=BY_HAND_WIDTH))).strip(),
        "links": [
            (
                page.said(each.sentence),
                page.said(each.link.reason or ""),
                [_step(step, page) for step in each.steps],
            )
            for each in facts.trace.links
        ],
        "nothing": nothing_words(facts.trace.nothing, page, facts.trace.loose),
        "untouched": ", ".join(facts.trace.untouched),
        "gust": page.asked(facts.trace.gust),
        "units": in_us_units(facts.trace, page),
    }


@lru_cache(maxsize=1)
def _chances(result: CheckResult) -> ChanceResult:
    """The chances of a wall, once for a page and the English of it."""
    from bracing.chance.answer import chance_of_wall

    return chance_of_wall(result)


def _chance(facts: Facts, part: Part) -> dict[str, object] | None:
    """The curves of a wall that is up, as `chance --svg` draws them, after its limits; nothing on the crew's pages."""
    if part not in (Part.ALL, Part.ENGINEER) or facts.layout is not None or not facts.job.wall.up:
        return None
    from bracing.drawing.curves import SIZE, chance_svg
    from bracing.text.chance import alt_said, left_out_said, limits_said

    result, page = _chances(facts.result), facts.page
    if result.figures is None:
        return None
    coded = base64.b64encode(chance_svg(result, page)).decode("ascii")
    wide, tall = SIZE
    return {
        "limits": page.said(limits_said(result)), "ranges": page.said(Said("chance-on-sheet")),
        "left_out": page.said(left_out_said()),
        "picture": {
            "src": f"data:image/svg+xml;base64,{coded}", "alt": page.said(alt_said(result)),
            "title": page.said(Said("chance-title")), "width": f"{wide * 96.0:.0f}", "height": f"{tall * 96.0:.0f}",
        },
    }  # fmt: skip


def _step(step: Step, page: Page) -> tuple[str, str, str, str]:
    metric = comes_to(step.value, step.unit) if page.metric else ""
    return step.what, step.sum, f"{step.shown}, which is {metric}" if metric else step.shown, step.source


def _expiry(facts: Facts) -> str:
    stands = facts.job.site.stands
    if stands is None:
        return facts.page.said(Said("sheet-expiry-unknown"))
    return facts.page.said(Said("sheet-expiry", days=whole_down(stands / SECONDS_A_DAY)))


def _identity(result: CheckResult) -> dict[str, object]:
    said = header(result.job, "sheet")
    title = result.job.title
    return {
        "program": said["program"], "standards": said["standards"], "sha256": said["input_sha256"],
        "title": [f"{name}: {told}" for name, told in title.rows if told], "revisions": list(title.changes),
    }  # fmt: skip


PARTS = "parts"


@cache
def policy(script: str = "slider.js") -> str:
    """Give what a page may load and run: its own style and script, named by their hash, and the drawings in it.

    Args:
        script: the file of its script.
    """
    style, run = _hash(_part("sheet.css")), _hash(_part(script))
    return (
        f"default-src 'none'; img-src data:; style-src '{style}'; script-src '{run}'; "
        "base-uri 'none'; form-action 'none'"
    )


def html(name: str, content: dict[str, object], script: str = "slider.js") -> str:
    """Fill a template. Text of the user is escaped; scripts and styles are named by their hash.

    Args:
        name: of the template.
        content: what it prints.
        script: of its own.

    Raises:
        MissingExtraError: the template library is not installed.
    """
    may, style, run = policy(script), _part("sheet.css"), _part(script)
    page = _filled(name, {**content, "policy": may, "style": _as_is(style), "script": _as_is(run)})
    return str(page).encode(errors="replace").decode()  # a file's name may hold bytes that are no letters


def _filled(name: str, content: Mapping[str, object]) -> str:
    return str(_environment().get_template(name).render(**content))


class Paper(NamedTuple):
    """A filled template to be printed.

    Attributes:
        html: the template, filled.
        most: sheets of paper it may take, where smaller letters, still read, make it; None is any number.
    """

    html: str
    most: int | None = None


def pdf(papers: Iterable[Paper]) -> bytes:
    """Turn filled templates into one PDF, each beginning a new sheet of paper.

    Args:
        papers: each of them.

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
    footers = weasyprint.CSS(string=_part("paper.css"))
    documents = []
    for paper in papers:
        tried = []
        for size in LETTERS:
            smaller = weasyprint.CSS(string=f"html {{ font-size: {size}px !important }}")
            tried.append(
                weasyprint.HTML(string=paper.html, url_fetcher=only_data).render(
                    stylesheets=[footers, smaller]
                )
            )
            if paper.most is None or len(tried[-1].pages) <= paper.most:
                documents.append(tried[-1])
                break
        else:
            documents.append(tried[0])
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
    with from_extra("jinja2", "sheet"):
        import jinja2
    return jinja2.Environment(
        loader=jinja2.FunctionLoader(_part), autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip


OUTPUT = Output("-o", overwrite=True)  # for a caller who says nothing else
PICTURES = (".svg", ".png")
SUFFIXES = (".html", ".pdf", *PICTURES, ".dxf", ".csv")
COLUMNS = (
    "order", "mark", "stud from LEFT", "stud from LEFT {length}", "foot from LEFT {length}", "head {length}",
    "head top edge {length}", "set-back {length}", "foot long point {length}", "angle deg", "stock", "lap side",
    "long point {length}", "foot cut deg", "head cut", "head cut deg", "foot saw deg", "head saw deg", "head fasteners",
    "cleat fasteners", "floor fasteners", "ties", "stud doubled", "push {force}",
    "pull {force}", "limit {speed} with it up and no tie row", "clear-out {speed} of the wall",
    "clear-out {speed} with thunderstorms", "wall on file",
)  # fmt: skip
UNITS = {"length": "in", "force": "lb", "speed": "mph"}
METRIC_UNITS = {"length": "mm", "force": "kN", "speed": "m/s"}


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


def part_of(name: str | None, path: Path) -> Part | None:
    """Give the part of a page asked for by name; None where none was.

    Args:
        name: its name.
        path: the file it goes into.

    Raises:
        InputError: no such part, or a file that has no parts.
    """
    option, parts = "--part", [part.value for part in Part if part != Part.ALL]
    if name is None:
        return None
    if name not in parts:
        raise InputError.of(option, name, f"one of {', '.join(parts)}")
    if suffix_of(path) not in (".html", ".pdf"):
        raise InputError.of(option, f"{name} for {path.name}", "a .html or .pdf, which alone have parts")
    return Part(name)


def write_sheet(
    facts: Facts, path: Path, output: Output = OUTPUT, *, part: Part | None = None, plot: Plot | None = None
) -> Path:
    """Write one wall.

    Args:
        facts: all that is said of it.
        path: the file; its suffix says what it is.
        output: what it may be written over.
        part: which part of the page; None is all of it on a screen, and the crew's on paper.
        plot: how its drawings are plotted; None where a page is written. A DXF is plotted either way.

    Returns:
        The file.

    Raises:
        InputError: another suffix, or a file that cannot be written.
        MissingExtraError: an optional package is not installed.
    """
    suffix = suffix_of(path)
    if suffix == ".dxf":
        from bracing.drawing.dxf import write_dxf

        return write_dxf(
            sheets_to_scale(facts, Plot() if plot is None else plot), path, output, metric=facts.page.metric
        )
    if plot is not None:
        return output.put(path, plotted_pdf(sheets_to_scale(facts, plot)))
    return output.put(path, WRITERS[suffix](facts, part))


def page_of(facts: Facts, part: Part = Part.ALL) -> str:
    """Give the page of one wall as HTML; in a language nobody has signed for, the English of it stands beneath.

    Args:
        facts: all that is said of it.
        part: which of its parts.
    """
    told = content(facts, part)
    if told["unsigned"]:
        english = content(_in_english(facts), part)
        told["english"] = _as_is(_filled("sheet.html", {**english, "beneath": True}))
    return html("sheet.html", told)


def papers_of(facts: Facts, part: Part | None = None) -> list[Paper]:
    """Give a part of the page of one wall as it goes on paper; where English goes with it, on sheets of its own.

    Args:
        facts: all that is said of it.
        part: which; None is the crew's.
    """
    part = part or Part.SHEET
    few = part == Part.SHEET and len(facts.job.braces) <= 2 * FEW
    paper = Paper(html("sheet.html", content(facts, part)), MOST_PAGES if few else None)
    return [paper] if signed(facts.page.language) else [paper, *papers_of(_in_english(facts), part)]


def _in_english(facts: Facts) -> Facts:
    return evolve(facts, page=evolve(facts.page, language=OWN))


def _html(facts: Facts, part: Part | None) -> bytes:
    return page_of(facts, part or Part.ALL).encode("utf-8")


def _pdf(facts: Facts, part: Part | None) -> bytes:
    return pdf(papers_of(facts, part))


def _svg(facts: Facts, _: Part | None) -> bytes:
    return svg_with_words(facts.drawings, facts.job.wall.name)


def _png(facts: Facts, _: Part | None) -> bytes:
    return as_bytes(facts.drawings, ".png")


def _csv(facts: Facts, _: Part | None) -> bytes:
    """One row for each brace, lengths as a tape reads them and as numbers."""
    into = io.StringIO()
    out = csv.writer(into, lineterminator="\n")
    units = METRIC_UNITS if facts.page.metric else UNITS
    out.writerow([name.format(**units) for name in COLUMNS])
    for row in _csv_rows(facts):
        out.writerow([cell(value) for value in row])
    return into.getvalue().encode(errors="replace")


def _csv_rows(facts: Facts) -> list[tuple[object, ...]]:
    page, clear_out = facts.page, facts.result.clear_out
    storm = (facts.storm or facts.result).clear_out

    def long(inches: float) -> str:
        return f"{inches * MM_PER_INCH:.1f}" if page.metric else f"{inches:.4f}"

    def number(written: str) -> str:
        return written.split()[0]

    rows: list[tuple[object, ...]] = []
    shown = {each.mark: each for each in facts.result.braces}
    after: list[float | None] = [
        stage.limit for stage in facts.stages.stages if not (stage.ties or stage.corners)
    ]
    after += [None] * (len(facts.job.braces) - len(after))
    for k, (brace, cut) in enumerate(zip(facts.job.braces, facts.cuts, strict=True)):
        each, limit = shown.get(brace.mark), after[k]
        rows.append(
            (
                k + 1, brace.mark, page.length(brace.stud_at), long(brace.stud_at), long(each.foot_x) if each else "",
                long(brace.head), long(cut.head_up), long(brace.set_back), long(cut.foot_out),
                f"{math.degrees(brace.angle):.2f}", brace.size,
                brace.lap_side, long(cut.long_point), f"{cut.foot_angle:.2f}", cut.head_cut, f"{cut.head_angle:.2f}",
                cut.foot_saw, cut.head_saw,
                brace.head_fasteners, brace.cleat_fasteners, brace.floor_fasteners, brace.ties,
                "yes" if brace.stud_doubled else "no", number(page.force(each.push)) if each else "",
                number(page.force(each.pull)) if each else "", "" if limit is None else number(page.gust(limit)),
                number(page.gust(clear_out)) if clear_out is not None else "engineer",
                number(page.gust(storm)) if storm is not None else "engineer",
                facts.as_filed.job.state,
            )
        )  # fmt: skip
    return rows


WRITERS: dict[str, Callable[[Facts, Part | None], bytes]] = {
    ".html": _html, ".pdf": _pdf, ".svg": _svg, ".png": _png, ".csv": _csv,
}  # fmt: skip
