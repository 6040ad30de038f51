"""Tables of the page as rows of text."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Sequence

from attrs import frozen

from bracing.chain.cuts import cut_of
from bracing.chain.links import HIGHEST, Link
from bracing.chain.plate import edge_beside
from bracing.chain.room import ANCHOR, STAKE, joint_fastener, plate_fastener
from bracing.check import CheckResult, reached_at
from bracing.check import link_rows as reached_rows
from bracing.choosing import over, whole_up
from bracing.codes.basis import basis_of
from bracing.job.brace import IN_BLOCK, IN_JOIST, JOINTS, ON_CROSS, ON_PANEL, Brace
from bracing.job.fasteners import fastener
from bracing.job.fields import value_at
from bracing.job.job import Job, seen_text
from bracing.layout.plan import LayoutResult
from bracing.reading.looking import planned_facts, things_to_see
from bracing.results import foot_x
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.sheet.facts import Facts, gusts
from bracing.stages.going_up import ties_named
from bracing.stages.walk import fact_words, found_words
from bracing.text.check import NOTHING, place, reached, typed
from bracing.text.page import WIND_FROM, Page
from bracing.text.quantities import COMES_TO, written
from bracing.units import MM_PER_INCH, Inch, Mph, down, up
from bracing.work.parts import STRAPS
from bracing.work.words import NEAR, brace_words, joint_words

MOST_LINKS = 80
MOST_GUST: Mph = 120.0  # the envelope of use


@frozen
class TableRow:
    """A row of a table.

    Attributes:
        cells: its text.
        limit: the gust it changes at as printed, without its unit, for the slider; None where it does not.
    """

    cells: tuple[str, ...]
    limit: str | None = None


def gust_ladder(facts: Facts) -> tuple[TableRow, ...]:
    """Give each gust of the ladder with what it is as drawn and with one brace gone.

    Args:
        facts: the facts.
    """
    result, page, storm = facts.result, facts.page, facts.storm_out
    missing, clear = result.one_missing or 0, result.clear_out or 0
    rows = []
    for gust in gusts(page):
        people = Said("people-out-of-zone") if gust >= clear else Said("slider-under")
        if storm is not None and storm <= gust < clear:
            people = Said("people-out-in-storms")
        here = result.at(gust)
        gone = here if here != Verdict.WITHIN else Verdict.at(gust, missing)
        if here == Verdict.UNKNOWN and missing:
            gone = Verdict.at(gust, missing, unknown=True)
        beside = (page.term(here), page.term(gone))
        rows.append(TableRow((page.asked(gust), *beside, page.said(people))))
    return tuple(rows)


def brace_rows(facts: Facts) -> tuple[TableRow, ...]:
    """Give each brace: where, its forces, and the lowest limit of its own links.

    Args:
        facts: the facts.
    """
    result, page = facts.result, facts.page
    if result.evaluation is None:
        return ()  # beyond the envelope
    held = [bool(forces.held.all()) for forces in result.evaluation.forces]
    links = reached_rows(result.evaluation)
    rows = []
    for index, shown in enumerate(result.braces):
        own = [row["limit_gust_mph"] for row in links if row["mark"] == shown.mark]
        forces = (
            page.force(load) if known else "-"
            for load, known in zip((shown.push, shown.pull), held, strict=True)
        )
        said, least = _own_limit(facts, index, [limit for limit in own if isinstance(limit, float)])
        rows.append(
            TableRow(
                (
                    shown.mark, *map(page.length, (shown.x, shown.head, shown.set_back, shown.foot_x)),
                    f"{math.degrees(shown.angle):.1f}°", shown.stock, shown.lap_side, *forces, said,
                ),
                least,
            )
        )  # fmt: skip
    return tuple(rows)


def _own_limit(facts: Facts, index: int, limits: Sequence[Mph]) -> tuple[str, str | None]:
    """The lowest limit of a brace's own links, in words and for the slider; none where it counts neither way."""
    result, page = facts.result, facts.page
    assert result.model is not None
    strength = result.model.strengths[index]
    if not (strength.counts_in_push or strength.counts_in_pull):
        loose = result.evaluation is not None and result.evaluation.loose
        return (f"{NOTHING}, limit gust {page.gust(0.0)}", "0") if loose else (NOTHING, None)
    least = min(limits, default=HIGHEST)
    said = page.gust(least)
    return (said if least < HIGHEST else f"over {page.gust(HIGHEST)}"), said.split()[0]


@frozen
class Card:
    """All that one brace is cut, set and fastened by.

    Attributes:
        mark: its mark.
        order: when it goes up.
        lines: what each line is about, and what it says.
        pictures: the name of the picture beside each line; "" where it has none.
    """

    mark: str
    order: str
    lines: tuple[tuple[str, str], ...]
    pictures: tuple[str, ...]


def cards(job: Job, page: Page, layout: LayoutResult | None = None) -> tuple[Card, ...]:
    """Give a card for each brace, in the order they go up.

    Args:
        job: the job with its braces.
        page: how it is written.
        layout: what laid them out; None where they stand in the file.
    """
    return tuple(_card(job, k, page, layout) for k in range(len(job.braces)))


def _card(job: Job, k: int, page: Page, layout: LayoutResult | None) -> Card:
    brace = job.braces[k]
    cut = cut_of(job, brace)
    foot_at = foot_x(job, k, brace.stud_at)
    at, foot, out, up, head, back, long = (
        Quantity(each, Kind.TAPE)
        for each in (
            brace.stud_at, foot_at, cut.foot_out, cut.head_up, brace.head, brace.set_back, cut.long_point,
        )
    )  # fmt: skip
    lapped = Said("card-lapped", side=page.term(brace.lap_side)) if job.kit.head.joint == "lapped" else ""
    doubled = Said("card-doubled") if brace.stud_doubled else ""
    foot_saw, head_saw = f"{cut.foot_saw:g}", f"{cut.head_saw:g}"
    lines = [
        (Said("card-stud"), Said("card-stud-at", at=at, lapped=lapped, doubled=doubled), ""),
        (Said("card-head"), Said("card-head-at", up=up, middle=head), "head"),
        (Said("card-foot"), Said("card-foot-at", at=foot, out=out, middle=back), "foot"),
        (
            Said("card-stick"),
            Said(
                "card-stick-of",
                size=brace.size,
                stick=_stick(job, brace, cut.long_point, page=page, layout=layout),
            ),
            "",
        ),
        (Said("card-cut"), Said("card-cut-at", long=long), ""),
        (Said("card-saw"), Said("card-saw-at", foot=foot_saw, head=head_saw), ""),
        (Said("card-fasten"), joint_words(job, brace), ""),
    ]
    told = [(page.said(what), page.said(words)) for what, words, _ in lines]
    shown = [name for _, _, name in lines]
    if beside := _beside(brace, page):
        told.append((page.said(Said("card-beside")), beside))
        shown.append("tie-row" if brace.ties else "")
    order = Said("card-order", number=k + 1, count=len(job.braces))
    return Card(brace.mark, page.said(order), tuple(told), tuple(shown))


def cut_rows(facts: Facts) -> tuple[TableRow, ...]:
    """Give the order of going up with the cut list: braces and then tie rows, limit and clear-out gust once each is on.

    Args:
        facts: the facts.
    """
    rows, page = [], facts.page
    cuts = {cut.mark: (cut, brace) for cut, brace in zip(facts.cuts, facts.job.braces, strict=True)}
    for k, stage in enumerate(facts.stages.stages, start=1):
        cut, brace = cuts[stage.mark]
        list_ = ("", "", "", "") if stage.ties or stage.corners else (
            f"{brace.size} x {_stick(facts.job, brace, cut.long_point, page=page, layout=facts.layout)}",
            page.length(cut.long_point),
            f"{cut.foot_saw:g}°", f"{cut.head_saw:g}°",
        )  # fmt: skip
        rows.append(TableRow((
            str(k), page.said(stage.named), *list_, page.gust(stage.limit), page.gust(stage.clear_out)
        )))  # fmt: skip
    return tuple(rows)


def _beside(brace: Brace, page: Page) -> str:
    """Tie rows and stiffener of a brace in words."""
    said = [page.said(ties_named(brace.ties))] if brace.ties else []
    said += [page.said(Said("card-tee"))] if brace.stiffener == "T" else []
    return ", ".join(said)


def _stick(job: Job, brace: Brace, long_point: float, *, page: Page, layout: LayoutResult | None) -> str:
    """The stick the layout cuts it from; of a wall with braces the shortest on hand that is long enough."""
    if layout is not None:
        stick = layout.cutting.stick_of(brace.mark)
        return page.said(Said("stick-too-long") if stick is None else stick.name)
    return stick_for(job, brace, long_point, page=page)


def stick_for(job: Job, brace: Brace, long_point: float, *, page: Page) -> str:
    """Give the shortest stick on hand a brace is cut from, or say that none is long enough.

    Args:
        job: gives the stock.
        brace: the brace.
        long_point: its length, long point to long point [in].
        page: how it is written.
    """
    enough = sorted(s.length for s in job.kit.stock if s.size == brace.size and s.length >= long_point)
    if enough:
        return written(page, Quantity(enough[0], Kind.FEET))
    return page.said(Said("stick-too-long") if job.kit.stock else Said("stick-not-declared"))


_INTO = {
    IN_JOIST: Said("floor-into-joists"),
    IN_BLOCK: Said("floor-into-blocks"),
    ON_CROSS: Said("floor-into-cross"),
    ON_PANEL: Said("floor-into-panel"),
}


def fastener_rows(facts: Facts) -> tuple[TableRow, ...]:
    """Give the fasteners of each joint: which, how many at each brace, and the distances they keep.

    Args:
        facts: the facts.
    """
    job, page = facts.job, facts.page
    feet = {brace.foot_on for brace in job.braces}
    into = _INTO[feet.pop()] if len(feet) == 1 else Said("floor-as-marked")
    floor = Said("at-floor-of", into=into if job.floor.kind == "deck" else page.term(job.floor.kind))
    head = Said("at-head-of", joint=page.term(job.kit.head.joint))
    rows = []
    for what, attribute in zip((head, Said("at-cleat-of"), floor), JOINTS, strict=True):
        name = joint_fastener(job, attribute)
        counts: dict[int, list[str]] = {}
        for brace in job.braces:
            counts.setdefault(getattr(brace, attribute), []).append(brace.mark)
        each = "; ".join(
            page.said(Said("so-many-at", count=count, marks=_marks(marks, len(job.braces))))
            for count, marks in sorted(counts.items())
        )
        rows.append(TableRow((page.said(what), name, each, distances(job, name, page))))
    return (*rows, *_plate_rows(job, page))


def _marks(marks: list[str], of: int) -> tuple[Said | str, ...]:
    return (Said("every-brace"),) if len(marks) == of else tuple(marks)


def distances(job: Job, name: str, page: Page) -> str:
    """Say the published distances a fastener keeps along a stick, bored for.

    Args:
        job: gives the user's own fasteners.
        name: the fastener.
        page: how they are written.
    """
    if name in (ANCHOR, STAKE):
        return page.said(Said("as-its-report-says"))
    kept = basis_of(job).acting.spacing(
        fastener(name, job.fasteners), load="parallel", end="tension", prebored=True
    )
    end, edge, row, between = (
        _at_least(each, page) for each in (kept.end, kept.edge, kept.in_row, kept.between_rows)
    )
    return page.said(Said("distances-kept", end=end, edge=edge, row=row, between=between))


def _at_least(value: Inch, page: Page) -> str:
    """A distance rounded up to a sixteenth or a millimetre, as it is a least one."""
    if page.metric:
        return f"{up(value * MM_PER_INCH)} mm"
    return page.length(whole_up(value * 16.0) / 16.0).removeprefix("0'-").removeprefix("0 ")


def _across(edge: Inch | None, page: Page) -> str:
    """Where across the plate a row stands."""
    if edge is None:
        return page.said(Said("row-in-the-middle"))
    return page.said(Said("from-the-edge", edge=_at_least(edge, page)))


def _plate_rows(job: Job, page: Page) -> list[TableRow]:
    plate, top = job.wall.plate, job.wall.top_plate
    slab = job.floor.kind == "slab"
    name, extra = ANCHOR if slab else plate.fastener, plate_fastener(job)
    nail = plate.sheathing_fastener
    spacings = (plate.spacing, plate.sheathing_spacing, plate.sheathing_field_spacing, NEAR)
    every, lap, field, near = (written(page, Quantity(each, Kind.INCHES)) for each in spacings)
    final, lifted = plate.state == "final", job.wall.sheathed and not plate.bypassed
    pattern = Said("plate-every", apart=every) if final else Said("plate-tacked")
    row, beside = (
        _across(edge, page) if lifted else "" for edge in (plate.row_from_sheathed_edge, edge_beside(plate))
    )
    state, laps = page.term(plate.state), page.term(plate.sheathing_laps)
    said: list[tuple[Said | str, ...]] = [
        (Said("plate-row", state=state), name, pattern, row if final else "")
    ]
    if plate.extra.at_each_brace:
        many = Said("plate-beside-many", count=plate.extra.at_each_brace, near=near)
        said.append((Said("plate-beside"), extra, many, beside))
    said.append((Said("plate-top"), top.end_nail, Said("plate-top-many", count=top.end_nails), ""))
    if plate.sheathing_laps != "none":
        said.append((Said("plate-sheathing", what=laps), nail, Said("plate-every", apart=lap), ""))
    said.append((Said("plate-field"), nail, Said("plate-every", apart=field), ""))
    straps = ((what, value_at(job, path)) for path, what in STRAPS.items())
    said += [
        (
            page.said(what).capitalize(),
            Said("strap-allowable", load=Quantity(load, Kind.LOAD)),
            Said("strap-each"),
            Said("strap-maker"),
        )
        for what, load in straps
        if isinstance(load, float) and load > 0.0
    ]
    return [TableRow(tuple(map(page.said, cells))) for cells in said]


def take_down_rows(facts: Facts) -> tuple[TableRow, ...]:
    """Give for each event which braces may come out, one at a time, with the clear-out gust after each.

    Args:
        facts: the facts.
    """
    down, page = facts.stages.take_down, facts.page
    rows = []
    for event in down.events if down else ():
        each = tuple(
            Said("down-one", mark=one.mark, gust=Quantity(one.clear_out, Kind.GUST)) for one in event.out
        )
        out = page.said(Said("down-in-order", each=each) if each else Said("down-none"))
        stay = ", ".join(event.stay) or page.said(Said("down-none"))
        name, after = page.term(event.event), page.gust(event.limits.clear_out)
        rows.append(TableRow((name, after, out, stay, page.said(event.note))))
    return tuple(rows)


def built_rows(job: Job, page: Page) -> tuple[TableRow, ...]:
    """Give planned and found of each brace, and of all the wall counts on beside them; initials left open.

    Args:
        job: the job.
        page: how they are written.
    """
    planned = {brace.mark: brace for brace in job.built.planned} if job.built else {}
    found: dict[str, list[str]] = {}
    for each in job.built.found if job.built else ():
        found.setdefault(each.mark, []).append(page.said(found_words(each)))
    marks = dict.fromkeys([*(b.mark for b in job.braces), *planned, *found])
    here = {brace.mark: brace for brace in job.braces}
    rows = []
    for mark in marks:
        brace = planned.get(mark) or here.get(mark)
        words = page.said(Said("found-not-in-plan") if brace is None else brace_words(job, brace))
        there = Said("found-as-planned") if mark in here else Said("found-not-there")
        seen = "; ".join(found.get(mark, ())) or page.said(there)
        rows.append(TableRow((mark, words, seen) if job.built else (mark, words)))
    return (*rows, *_looked_rows(job, page))


def _looked_rows(job: Job, page: Page) -> tuple[TableRow, ...]:
    """What a walk looks at beside the braces, what should be there and, once walked, what was."""
    rows, planned = [], planned_facts(job)
    told = {one.field: page.said(fact_words(one)) for one in job.built.facts} if job.built else {}
    for seen in things_to_see(planned):
        cells = [page.said(seen.named), ", ".join(map(page.said, seen.facts(planned)))]
        if job.built is not None:
            found = [told.pop(path) for path in seen.paths if path in told]
            looked = all(seen_text(job, path) in job.built.seen for path in seen.paths)
            told_of = Said("found-as-planned") if looked else Said("found-not-looked")
            cells.append("; ".join(found) or page.said(told_of))
        rows.append(TableRow(tuple(cells)))
    return (*rows, *(TableRow(("", "", words)) for words in told.values()))


def assumed_rows(result: CheckResult, page: Page) -> tuple[TableRow, ...]:
    """Give every field that took its low default, and what it costs.

    Args:
        result: the wall checked.
        page: how it is written.
    """
    rows = []
    for each in result.assumed:
        cost = "not worked out" if each.effect is None else page.gust(each.effect)
        value, usual = (typed(each.field, one, page) for one in (each.value, each.usual))
        rows.append(TableRow((each.field, value, usual, page.said(each.why), cost)))
    return tuple(rows)


def link_rows(result: CheckResult, page: Page) -> tuple[TableRow, ...]:
    """Give the lowest link of each kind with each wind, lowest first.

    Args:
        result: the wall checked.
        page: how they are written.
    """
    if result.evaluation is None:
        return ()
    first: dict[tuple[str, str], Link] = {}
    loose = result.evaluation.loose
    for link in result.evaluation.links:
        limit = reached_at(link, loose)
        if limit is not None and limit <= MOST_GUST:
            first.setdefault((link.link, link.direction), link)
    return tuple(_link_row(link, loose, page) for link in list(first.values())[:MOST_LINKS])


def link_counts(result: CheckResult) -> tuple[int, int]:
    """Give how many links there are, and how many of them are over at the gust evaluated.

    Args:
        result: the wall checked.
    """
    links = result.evaluation.links if result.evaluation else ()
    return len(links), Counter(over(link.ratio, 1.0) for link in links)[True]


def _link_row(link: Link, loose: Collection[str], page: Page) -> TableRow:
    ratio = up(link.ratio, 2) if math.isfinite(link.ratio) else "no capacity"
    what = f"{link.link} {place(link, page)}"
    row = (
        what,
        WIND_FROM[link.direction],
        reached(link, page, loose),
        _figures(link, page),
        ratio,
        link.clause,
    )
    return TableRow(row, page.gust(reached_at(link, loose) or 0.0).split()[0])


def _figures(link: Link, page: Page) -> str:
    """The demand, up, of the capacity, down, with two digits after the point where there are few before it."""
    factor, unit = COMES_TO.get(link.unit, (1.0, link.unit)) if page.metric else (1.0, link.unit)
    few, demand, capacity = 100.0 if page.metric else 10.0, link.demand * factor, link.capacity * factor
    most = up(demand, 2 * (demand < few)) if math.isfinite(demand) else "any"
    return f"{most} of {down(capacity, 2 * (capacity < few))} {unit}"
