"""Everything the template needs, as text and rows of text."""

from __future__ import annotations

import base64
from collections.abc import Sequence

from bracing.check import CheckResult
from bracing.choosing import whole_down, whole_up
from bracing.drawing.model import Drawing
from bracing.drawing.picture import as_bytes
from bracing.errors import visible
from bracing.layout.plan import LayoutResult
from bracing.results import CAUTIONS, LIMIT_STATEMENT, header
from bracing.said import Said
from bracing.sheet import rows
from bracing.sheet.facts import Facts, checklists
from bracing.stages.on_file import said_first
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
