"""The walls of a job joined at their corners: one screen, the gust to be out at first."""

from __future__ import annotations

from typing import TypedDict

from bracing.box.leaving import Left, named
from bracing.box.order import Stands
from bracing.box.report import BoxReport, CornerJson
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.text.check import out_words, state_words
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
    name = report.house.job.name or Said("this-job")
    told = Said("box-head", name=name, up=up, walls=len(report.jobs), count=count, corners=len(corners))
    head = page.para(page.said(told))
    if report.beyond:
        lines = page.for_engineer(report.beyond, Said("box-nothing-given"))
        return "\n".join([*head, *lines, *page.cautions()])
    if report.box is None or not report.box.walls:
        none = page.para(page.said(Said("box-none-up")))
        return "\n".join([*head, *none, *_to_stand(report, page), *page.cautions()])
    parts = [
        Part([*(line for words in out_first(report, page) for line in page.para(words)), *head]),
        Part(_walls(report, page)),
        Part(_corners(report, corners, page), CORNERS, "the corners"),
        Part([line for one in report.box.below for line in page.para(page.said(one.said(report.at)))]),
        Part([line for said in report.said_of_decks for line in page.para(page.said(said))]),
        *_order(report, page),
        Part(_to_stand(report, page), CORNERS, "the order to stand walls in"),
        *([Part(page.para(page.said(Said("box-assumed", fields=report.assumed))))] if report.assumed else []),
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
    out = Said("box-out", out=out_words(report.clear_out or 0, page), first=report.box.first_out)
    lines = [*map(page.said, report.unknown), page.said(out)]
    if report.kept is None:
        return lines
    if report.kept.until is not None:
        lines.append(page.said(Said("box-forecast", why=report.kept.why)))
    asked = Quantity(report.kept.gust, Kind.ASKED)
    if report.verdict == Verdict.UNKNOWN:
        return [*lines, page.said(Said("unknown-at", verdict=Verdict.UNKNOWN.upper(), gust=asked))]
    if report.verdict != Verdict.WITHIN:
        return [*lines, page.said(Said("box-over", weakest=report.weakest, gust=asked))]
    within = (
        Said("box-within-people-out", gust=asked) if report.people_out else Said("box-within", gust=asked)
    )
    return [*lines, page.said(within)]


def _next(report: BoxReport, page: Page, command: str) -> list[str]:
    if report.kept is None:
        return [page.said(Said("box-next")), *page.command(f"{command} --gust {ASKED}")]
    if not report.leaving.left:
        return []
    one = report.leaving.left[0]
    then = page.command(f"{command} --take-out {named(one.file, one.mark)}")
    return [page.said(Said("box-next-on-the-day")), *then]


def to_stand(report: BoxReport, page: Page) -> list[list[str]]:
    """Give the walls that are not up, in the order to stand them: what corner each finds, the deck it needs, the room.

    Args:
        report: the answer.
        page: how it is written.
    """
    return [
        [
            f"{one.file.removesuffix('.toml')}",
            ", ".join(each.removesuffix(".toml") for each in one.finds) or page.said(Said("finds-no-corner")),
            page.length(one.deck),
            _room(one, page),
        ]
        for one in report.stand
    ]


def _room(one: Stands, page: Page) -> str:
    if one.room is None:
        return page.said(Said("room-not-declared"))
    room = page.length(one.room)
    return room if one.has_room else page.said(Said("room-too-little", room=room))


def _to_stand(report: BoxReport, page: Page) -> list[str]:
    rows = [[f"{k}. {name}", *more] for k, (name, *more) in enumerate(to_stand(report, page), start=1)]
    if not rows:
        return []
    headers = page.terms("stand, in this order", "finds a corner with", "deck it takes", "room")
    return page.table(headers, rows, align="llrr")


def _walls(report: BoxReport, page: Page) -> list[str]:
    rows = []
    answers = {} if report.box is None else {a.wall.file: a for a in report.box.answers}
    for file, job in report.jobs.items():
        one, wall = answers.get(file), file.removesuffix(".toml")
        if one is None:
            rows.append([wall, page.said(state_words(job)), "", ""])
            continue
        rows.append([wall, page.gust(one.clear_out), page.gust(one.limit), first_words(report, file, page)])
    return page.table(page.terms("wall", "clear-out", "limit", "gives first"), rows, align="lrrl")


def of_words(of: Said | str, page: Page) -> str:
    """Say whose gust it is: a wall, or the storey below one.

    Args:
        of: the name of a wall, or what is said of the storey below.
        page: how it is written.
    """
    return page.said(of) if isinstance(of, Said) else of


def first_words(report: BoxReport, file: str, page: Page) -> str:
    """Say what gives first of a wall that is up.

    Args:
        report: the answer.
        file: its file.
        page: how it is written.
    """
    first = report.first(file)
    if first is None:
        return page.said(Said("can-still-move"))
    link = page.term(first.link)
    return page.said(Said("link-at-a-brace", link=link, mark=first.mark)) if first.mark else link


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
    headers = (page.term("corner"), page.said(Said("corner-takes", gust=Quantity(report.at, Kind.GUST))))
    return page.table(headers, rows, align="ll")


def _order(report: BoxReport, page: Page) -> list[Part]:
    if report.leaving.keep is None:
        return [Part(page.para(f"{page.said(report.leaving.unknown)}."))]
    keep = Quantity(report.leaving.keep, Kind.ASKED)
    said = Said("may-leave", keep=keep) if report.leaving.left else Said("none-may-leave", keep=keep)
    head = page.para(page.said(said))
    by_why: dict[str, list[str]] = {}
    for file, mark, why in report.leaving.stay:
        by_why.setdefault(page.said(why), []).append(named(file, mark))
    lines = [
        Part(_step(k, one, page), ORDER, "later steps") for k, one in enumerate(report.leaving.left, start=1)
    ]
    stay = [
        Part(
            page.para(page.said(Said("box-stay", marks=tuple(marks), why=why)), hang=4),
            STAY,
            "of those that stay",
        )
        for why, marks in by_why.items()
    ]
    return [Part(head), *lines, *stay]


def _step(k: int, one: Left, page: Page) -> list[str]:
    step = Said("box-step", number=k, brace=named(one.file, one.mark), of=one.of, back=one.said)
    return page.para(page.said(step), hang=4)


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
        lines = page.para(page.said(Said("removal-stays", mark=name, why=asked.why)))
    else:
        back = Said("goes-back", mark=asked.mark, gust=Quantity(asked.clear_out, Kind.GUST))
        lines = page.para(page.said(Said("asked-may-leave", brace=name, back=back)))
    without = Said("asked-without", gust=Quantity(asked.clear_out, Kind.GUST), of=asked.of)
    lines += page.para(page.said(without))
    return "\n".join([*lines, *page.cautions()])
