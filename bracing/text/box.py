"""The walls of a job joined at their corners: one screen, the gust to be out at first."""

from __future__ import annotations

from typing import TypedDict

from bracing.box.leaving import Left, named
from bracing.box.report import BoxReport, CornerJson
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.text.check import out_words
from bracing.text.page import Page, Part
from bracing.text.trace import Traced, TracedJson, trace_of, traced_lines

ORDER, CORNERS, STAY = 2, 3, 4  # of what is left out first where there is no room, the last
ASKED = 32  # of the next command, where no gust was said [mph]


def box_page(report: BoxReport, page: Page, *, command: str, out: str | None = None) -> str:
    """Write the walls of a job, their corners and the order braces may leave in.

    Args:
        report: the answer.
        page: how it is written.
        command: the command as typed.
        out: the page that was written beside it.
    """
    corners = report.corners()
    up = sum(job.wall.up for job in report.jobs.values())
    count = sum(corner["counts"] for corner in corners)
    name = report.house.job.name or "This job"
    head = page.para(f"{name}: {up} of {len(report.jobs)} walls up, {count} of {len(corners)} corners count.")
    if report.beyond:
        lines = page.for_engineer(report.beyond, " No gust is given, and no brace leaves.")
        return "\n".join([*head, *lines, *page.cautions()])
    if report.box is None or not report.box.walls:
        none = page.para("No wall is up: nothing is joined yet.")
        return "\n".join([*head, *none, *_to_stand(report, page), *page.cautions()])
    parts = [
        Part([*(line for words in out_first(report, page) for line in page.para(words)), *head]),
        Part(_walls(report, page)),
        Part(_corners(report, corners, page), CORNERS, "the corners"),
        Part([line for one in report.box.below for line in page.para(page.said(one.said(report.at)))]),
        Part([line for said in report.said_of_decks for line in page.para(page.said(said))]),
        *_order(report, page),
        Part(_to_stand(report, page), CORNERS, "the order to stand walls in"),
        *(
            [Part(page.para(f"ASSUMED, at their low defaults: {', '.join(report.assumed)}."))]
            if report.assumed
            else []
        ),
        *(Part(page.para(page.said(words))) for words in report.not_counted),
    ]
    written = [] if out is None else page.para(page.said(Said("log-written", file=out)))
    return page.screen(parts, [*page.cautions(), *written, *_next(report, page, command)])


class WallTracedJson(TypedDict):
    """The links of one wall of a job, traced."""

    file: str
    links: list[TracedJson]


def traced_walls(report: BoxReport) -> tuple[tuple[str, tuple[Traced, ...]], ...]:
    """Trace the governing link of every kind of each wall that is up, those its corners bring among them.

    Args:
        report: the answer.
    """
    if report.box is None:
        return ()
    return tuple((wall.file, trace_of(report.box.chain(wall), report.at)) for wall in report.box.walls)


def traced_json(report: BoxReport) -> list[WallTracedJson]:
    """Give the traces of all walls as JSON.

    Args:
        report: the answer.
    """
    return [{"file": file, "links": [one.to_dict() for one in links]} for file, links in traced_walls(report)]


def traced_page(report: BoxReport, page: Page) -> str:
    """Write the sums of every wall that is up, with its corners.

    Args:
        report: the answer.
        page: how it is written.
    """
    lines = page.para(page.said(Said("box-trace", gust=Quantity(report.at, Kind.ASKED))))
    for file, links in traced_walls(report):
        lines += ["", *page.para(f"{file.removesuffix('.toml').upper()}, {report.jobs[file].wall.name}")]
        lines += traced_lines(links, page)
    return "\n".join([*lines, "", *page.cautions()])


def out_first(report: BoxReport, page: Page) -> list[str]:
    """Say the gust to be out at, of the whole job, and the verdict at the gust asked; nothing where no wall is up.

    Args:
        report: the answer.
        page: how it is written.
    """
    if report.box is None or not report.box.walls:
        return []
    first = report.box.first_out
    lines = [
        *map(page.said, report.unknown), f"{out_words(report.clear_out or 0, page)}: all of the job, for {first}.",
    ]  # fmt: skip
    if report.kept is None:
        return lines
    if report.kept.until is not None:
        lines.append(f"The forecast counts {page.said(report.kept.why)}.")
    asked = page.asked(report.kept.gust)
    if report.verdict == Verdict.UNKNOWN:
        return [*lines, page.said(Said("unknown-at", verdict=Verdict.UNKNOWN.upper(), gust=asked))]
    if report.verdict != Verdict.WITHIN:
        return [*lines, f"OVER the limit of {report.weakest} at {asked}."]
    return [
        *lines,
        f"WITHIN the limit of every wall at {asked}{', and people out' if report.people_out else ''}.",
    ]


def _next(report: BoxReport, page: Page, command: str) -> list[str]:
    if report.kept is None:
        return ["Next:", *page.command(f"{command} --gust {ASKED}")]
    if not report.leaving.left:
        return []
    one = report.leaving.left[0]
    return ["Next, on the day:", *page.command(f"{command} --take-out {named(one.file, one.mark)}")]


def to_stand(report: BoxReport, page: Page) -> list[list[str]]:
    """Give the walls that are not up, in the order to stand them: what corner each finds, the deck it needs, the room.

    Args:
        report: the answer.
        page: how it is written.
    """
    return [
        [
            f"{one.file.removesuffix('.toml')}",
            ", ".join(each.removesuffix(".toml") for each in one.finds) or "none: by its braces alone",
            page.length(one.deck),
            "not declared"
            if one.room is None
            else page.length(one.room) + ("" if one.has_room else ": TOO LITTLE"),
        ]
        for one in report.stand
    ]


def _to_stand(report: BoxReport, page: Page) -> list[str]:
    rows = [[f"{k}. {name}", *more] for k, (name, *more) in enumerate(to_stand(report, page), start=1)]
    if not rows:
        return []
    return page.table(
        ("stand, in this order", "finds a corner with", "deck it takes", "room"), rows, align="llrr"
    )


def _walls(report: BoxReport, page: Page) -> list[str]:
    rows = []
    answers = {} if report.box is None else {a.wall.file: a for a in report.box.answers}
    for file, job in report.jobs.items():
        one, wall = answers.get(file), file.removesuffix(".toml")
        if one is None:
            rows.append([wall, job.state, "", ""])
            continue
        rows.append([wall, page.gust(one.clear_out), page.gust(one.limit), first_words(report, file)])
    return page.table(("wall", "clear-out", "limit", "gives first"), rows, align="lrrl")


def first_words(report: BoxReport, file: str) -> str:
    """Say what gives first of a wall that is up.

    Args:
        report: the answer.
        file: its file.
    """
    first = report.first(file)
    if first is None:
        return "it can still move"
    return first.link + (f" at {first.mark}" if first.mark else "")


def _corners(report: BoxReport, corners: list[CornerJson], page: Page) -> list[str]:
    """What each corner that counts holds of both its walls, and of the others what is missing."""
    if not corners:
        return page.para(page.said(Said("no-corners")))
    rows = []
    for corner in corners:
        held = "; ".join(
            f"{one['wall'].removesuffix('.toml')} {page.force(one['middle_lb'])} + {page.force(one['top_lb'])}"
            for one in corner["takes"]
        )
        if corner["missing"]:
            held = page.said(Said("corner-not-ticked-short", ticks=tuple(corner["missing"])))
        rows.append([corner["corner"], held or page.said(Said("corner-gives-nothing"))])
    headers = ("corner", f"takes at {page.gust(report.at)}, at the middle of the end stud + its top")
    return page.table(headers, rows, align="ll")


def _order(report: BoxReport, page: Page) -> list[Part]:
    if report.leaving.keep is None:
        return [Part(page.para(f"{page.said(report.leaving.unknown)}."))]
    keep = page.asked(report.leaving.keep)
    head = page.para(f"May leave, one at a time, each wall's clear-out over {keep}; tick, ask again:")
    if not report.leaving.left:
        head = page.para(f"No brace may leave: every wall's clear-out is to stay over {keep}.")
    by_why: dict[str, list[str]] = {}
    for file, mark, why in report.leaving.stay:
        by_why.setdefault(page.said(why), []).append(named(file, mark))
    lines = [
        Part(_step(k, one, page), ORDER, "later steps") for k, one in enumerate(report.leaving.left, start=1)
    ]
    stay = [
        Part(page.para(f"Stay: {', '.join(marks)}: {why}.", hang=4), STAY, "of those that stay")
        for why, marks in by_why.items()
    ]
    return [Part(head), *lines, *stay]


def _step(k: int, one: Left, page: Page) -> list[str]:
    return page.para(f"[ ] {k}. {named(one.file, one.mark)} ({one.of} then). {page.said(one.said)}", hang=4)


def asked_page(report: BoxReport, page: Page) -> str:
    """Write whether one brace may leave now.

    Args:
        report: the answer.
        page: how it is written.
    """
    asked = report.asked
    assert asked is not None  # the caller has asked for one
    name = named(asked.file, asked.mark)
    if asked.why is not None:
        lines = page.para(f"{name} STAYS: {page.said(asked.why)}.")
    else:
        back = Said("goes-back", mark=asked.mark, gust=Quantity(asked.clear_out, Kind.GUST))
        lines = page.para(f"{name} may leave: take out this one, then ask again. {page.said(back)}")
    lines += page.para(f"Without it the least clear-out gust is {page.gust(asked.clear_out)} ({asked.of}).")
    return "\n".join([*lines, *page.cautions()])
