"""A value of a wall file as a person would type it, for the list of what was assumed."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence

from attrs import frozen

from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import HIGHEST, Link, LinkId
from bracing.check import Assumed, CheckResult, reached_at
from bracing.choosing import whole_down, whole_up
from bracing.codes.gusts import thunderstorm_gust
from bracing.job.brace import INTO_JOIST
from bracing.job.fields import LOOK, place_at
from bracing.job.floor import storey_declared
from bracing.job.job import EDITION, Job
from bracing.results import LIMIT_STATEMENT, BraceResult, said_first
from bracing.said import Kind, Quantity, Said, Term, Verdict, says
from bracing.sources import shipped
from bracing.stages.walk import fact_name
from bracing.text.hand_check import HandCheck
from bracing.text.languages import OWN
from bracing.text.page import ON_ASKING, WIND_DOES, WIND_FROM, Page, Part
from bracing.units import Mph


def typed(path: str, value: object, page: Page) -> str:
    """Write a value as it would stand in a file.

    Args:
        path: dotted path of its field.
        value: in base units.
        page: how quantities are written.

    Example:
        >>> typed("wall.plate.spacing", 24.0, Page()), typed("brace[0].stud_doubled", False, Page())
        ('24 in', 'no')
    """
    kind = place_at(Job, path).kind
    if isinstance(value, bool):
        return page.said(Said("yes") if value else Said("no"))
    if value is None or value == ():
        return page.said(Said("not-known"))
    if kind == "length" and isinstance(value, float):
        small = value < 48.0 and not page.metric
        return f"{value:g} in" if small else page.length(value)
    if kind == "force" and isinstance(value, float):
        return page.force(value)
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


# Of a link whose name alone says little to a crew.
LINK_WORDS = {
    LinkId.HEAD_BEARING: Said("link-head-bearing"),
    LinkId.PANEL_TO_JOISTS: Said("link-panel-to-joists"),
    LinkId.PLATE_SHEAR: Said("link-plate-shear"),
    LinkId.PLATE_LIFTED: Said("link-plate-shear-and-uplift"),
    LinkId.PLATE_GRAIN: Said("link-plate-across-the-grain"),
    LinkId.STUD_LIFTED: Said("link-stud-bending-with-lift"),
    LinkId.RETURN_CORNER: Said("link-return-corner"),
    LinkId.RETURN_RACKING: Said("link-return-racking"),
    LinkId.RETURN_FOOT: Said("link-return-foot"),
    LinkId.RETURN_GRAIN: Said("link-return-grain"),
}
PEOPLE = "site.top_load"
NARROW = 60  # columns under which lists are indented less
TOO_SLENDER = Said("without-anchored-ties")
FEWEST_ASSUMED = 2
FEWEST_BRACES = 12  # of more the first so many are in the table
# The order in which parts of the screen are left out for want of room: the highest first.
FOOT_RANK, MIND_RANK, WEIGHT_RANK, ASSUMED_RANK, STATEMENT_RANK = 70, 3, 60, 40, 10
OLDER = "Feet, joints, ties and plate count for less since, so it may have been more: see the changelog."
OLDER_WORD = "into-joist-is-foot-on"  # said with how far the wall went
NOTHING = "counts for nothing"


@frozen
class Details:
    """Long tables asked for.

    Attributes:
        links: every link.
        assumed: all that took its low default.
        one_missing: the limit gust with each brace gone.
        sustained: the sustained speed the gust was made of, or None [mph].
    """

    links: bool = False
    assumed: bool = False
    one_missing: bool = False
    sustained: Mph | None = None


def check_page(
    result: CheckResult, hand: HandCheck | None, page: Page, *, wall: str, details: Details
) -> str:
    """Write a wall checked.

    Args:
        result: the wall checked.
        hand: the hand check beside it.
        page: how it is written.
        wall: the words that name the wall on the command line.
        details: long tables asked for.
    """
    top = [
        *_title(result, page),
        *first_lines(result.job, page),
        *_verdict(result, page),
        *_asked(result, page, details.sustained),
    ]
    minds = [said for said in result.warnings if not (result.older and said.id == OLDER_WORD)]
    how = details.links or page.whole
    parts = [
        Part(top),
        *_numbers(result, page),
        Part(page.para(page.said(zone_said(result)))),
        *_braces(result, page),
        *(Part(page.minds([said]), MIND_RANK, "to mind") for said in minds),
        Part(
            _hand(hand, page, how=how), 0 if details.links else ON_ASKING, "the check by hand" if hand else ""
        ),
    ]
    asked = _each_missing(result, page) if details.one_missing else []
    if details.assumed:
        asked += [line for part in assumed_parts(result.assumed, page, paths=True) for line in part.lines]
    else:
        fewest = 0 if result.older else FEWEST_ASSUMED
        parts += assumed_parts(result.assumed, page, fewest=fewest, paths=page.whole)
    asked += _links(result, page) if details.links else []
    return page.screen(parts, [*page.cautions(), *_next(result, page, wall, links=how)], asked=asked)


def _title(result: CheckResult, page: Page) -> list[str]:
    return page.para(page.said(wall_title(result.job)))


def wall_title(job: Job) -> Said:
    """Say which wall it is, how large, and what it is called.

    Args:
        job: the wall.
    """
    wall = job.wall
    return Said(
        "wall-title",
        wall=wall.name,
        long=Quantity(wall.length, Kind.TAPE),
        high=Quantity(wall.highest, Kind.TAPE),
        state=state_words(job),
    )


def size_said(job: Job) -> Said:
    """Say how large a wall is.

    Args:
        job: the wall.
    """
    long, high = (Quantity(value, Kind.TAPE) for value in (job.wall.length, job.wall.highest))
    return Said("sheet-size", long=long, high=high)


def state_words(job: Job) -> Said:
    """Say what a wall is called, as PLAN.

    Args:
        job: the wall.
    """
    return Said("state-of-a-wall", state=tuple(Term(part) for part in job.state.split(", ")))


def first_lines(job: Job, page: Page) -> list[str]:
    """Write what is said before every number: no braces on file, not up.

    Args:
        job: the wall as its file has it.
        page: how it is written.
    """
    return [line for words in said_first(job) for line in page.para(page.said(words))]


def _verdict(result: CheckResult, page: Page) -> list[str]:
    if result.beyond:
        return page.for_engineer(result.beyond, Said("no-limit-given"))
    if result.evaluation is not None and not result.evaluation.held:
        return page.para(page.said(_as_drawn(result, loose_said(result))))
    if result.as_drawn is None:
        return page.para(page.said(Said("no-gust-asked")))
    assert result.gust is not None  # a verdict answers a gust
    word, asked = page.term(result.as_drawn).upper(), Quantity(result.gust, Kind.ASKED)
    if result.as_drawn == Verdict.UNKNOWN:
        return page.para(page.said(_as_drawn(result, Said("unknown-at", verdict=word, gust=asked))))
    out = Said("and-people-out") if result.people_out and result.as_drawn == Verdict.WITHIN else ""
    return page.para(page.said(_as_drawn(result, Said("its-limit-at", verdict=word, gust=asked, out=out))))


def _as_drawn(result: CheckResult, told: Said) -> Said:
    """What is said of a wall, or of one that is not up what would be so."""
    return told if result.job.wall.up else Said("as-drawn-it-would-be", told=told)


def loose_said(result: CheckResult) -> Said:
    """Say that the wall can still move, and with which wind.

    Args:
        result: the wall checked, at whose gust not all of it is held.
    """
    assert result.evaluation is not None
    if not result.job.braces:
        return Said("loose-without-braces")
    loose = [name for name, f in zip(DIRECTIONS, result.evaluation.forces, strict=True) if not f.held.all()]
    winds = tuple(Term(WIND_FROM[name]) for name in loose)
    return Said("loose-in-pull", winds=winds) if loose[0] == "pull" else Said("loose-in-wind", winds=winds)


def _asked(result: CheckResult, page: Page, sustained: Mph | None) -> list[str]:
    lines: list[str] = []
    if sustained is not None and result.gust is not None:
        factor = shipped("wind")["sustained"]["gust_over_hourly_mean"]
        speed, gust = Quantity(sustained, Kind.ASKED), Quantity(result.gust, Kind.ASKED)
        lines += page.para(page.said(Said("sustained-planned", speed=speed, factor=f"{factor:g}", gust=gust)))
    if result.thunderstorm:
        least = Quantity(thunderstorm_gust(0.0), Kind.ASKED)
        lines += page.para(page.said(Said("storms-planned", gust=least)))
    return lines


def clear_out_words(result: CheckResult, page: Page, *, up: bool = True) -> str:
    """Say the gust they must be out for and what a meter shows then, without a full stop.

    Args:
        result: the wall checked.
        page: how gusts are written.
        up: what was checked stands; no says what would be of a plan.
    """
    clear_out, meter = result.clear_out or 0, result.clear_out_on_meter or 0
    if up and result.job.wall.up:
        return out_words(clear_out, page, meter=meter)
    shown = meter_words(meter, page)
    return page.said(Said("clear-out-as-drawn", gust=Quantity(clear_out, Kind.GUST), meter=shown))


def out_words(clear_out: Mph, page: Page, *, meter: Mph | None = None) -> str:
    """Say of a wall that stands the gust people must be out for, without a full stop: now, where it is 0.

    Args:
        clear_out: its clear-out gust [mph].
        page: how gusts are written.
        meter: what a meter shows then; None says nothing of it [mph].

    Example:
        >>> out_words(31, Page(), meter=26)
        'CLEAR OUT before a forecast gust of 31 mph (26 mph on a meter 5 ft above deck)'
        >>> out_words(0, Page())
        'CLEAR OUT now and stay out: its clear-out gust is 0'
    """
    if clear_out:
        shown = "" if meter is None else f" ({meter_words(meter, page)})"
        return page.said(Said("clear-out-before", gust=Quantity(clear_out, Kind.GUST), meter=shown))
    return page.said(Said("clear-out-now", meter="" if meter is None else Said("none-on-a-meter")))


def storm_words(clear_out: Mph | None, page: Page) -> str:
    """Say the gust people must be out for where thunderstorms are forecast, if it is another; "" where it is not.

    Args:
        clear_out: that gust; None where it is the same [mph].
        page: how gusts are written.

    Example:
        >>> storm_words(34, Page()), storm_words(None, Page())
        ('With thunderstorms in the forecast: 34 mph', '')
    """
    if clear_out is None:
        return ""
    return page.said(Said("with-thunderstorms", gust=Quantity(clear_out, Kind.GUST)))


def meter_words(meter: Mph, page: Page) -> str:
    """Say what a meter shows as a gust is there.

    Args:
        meter: what it shows [mph].
        page: how gusts are written.
    """
    return page.said(Said("on-a-meter", gust=Quantity(meter, Kind.GUST), height=page.meter_held))


def limit_words(result: CheckResult, page: Page) -> str:
    """Say the limit gust, that with people about where they must be out for it, and that with a brace gone.

    Args:
        result: the wall checked.
        page: how gusts are written.
    """
    said = page.said(Said("limit-gust", gust=Quantity(result.limit_whole or 0, Kind.GUST)))
    if result.limits is not None and result.limits.people_govern:
        people = Quantity(result.limit_with_people or 0, Kind.GUST)
        said += f" {page.said(Said('limit-with-people', gust=people))}"
    return said + one_gone(result, page)


def weight_words(result: CheckResult, page: Page) -> str:
    """Say what the limit gust is without the wall's own weight; nothing where that is the same.

    Args:
        result: the wall checked.
        page: how gusts are written.
    """
    less = result.limit_without_weight
    if less is None or less == result.limit_whole:
        return ""
    return page.said(Said("limit-less-weight", gust=Quantity(less, Kind.GUST)))


def one_gone(result: CheckResult, page: Page) -> str:
    """Say what any one brace gone leaves: at rest, and lost while the wind blows; nothing of a wall without braces.

    Args:
        result: the wall checked.
        page: how it is written.
    """
    if result.one_missing is None or result.one_lost is None:
        return ""
    lost, mark = result.one_lost
    gone = Said(
        "one-brace-gone",
        rest=Quantity(result.one_missing, Kind.GUST),
        first=result.matters_most or "",
        lost=Quantity(lost, Kind.GUST),
        second=mark,
    )
    return f" {page.said(gone)}"


def went_lines(result: CheckResult, page: Page, *, written: bool = False) -> list[str]:
    """Say how far the limit gust of a file of an older edition went, and for what; nothing of other files.

    Args:
        result: the wall checked.
        page: how gusts are written.
        written: the file was written into just now, and says since that it was read.
    """
    if not result.older or result.limit is None:
        return []
    foot = any(said.id == OLDER_WORD for said in result.warnings)
    once = (
        f"Read? Write edition = {EDITION} at its top{f'; {INTO_JOIST} is read as foot_on' if foot else ''}."
    )
    if written:
        once = f"Its file says edition = {EDITION} now: this is said once."
    went = result.went
    if went is None:
        return page.para(page.english(f"This file is of an older edition. {OLDER} {once}"))
    people = "people counted at the limit gust then"
    causes = []
    for one in went.causes:
        values = (typed(one.field, value, page) for value in (one.was, one.now))
        what = (
            people
            if one.field == PEOPLE
            else "{} undeclared, {} then and {} now".format(field_words(one.field, page), *values)
        )
        causes.append(f"{what} (else {page.gust(one.else_at)})")
    told = f"Your wall went from {page.gust(went.then)} to {page.gust(went.now)}: {'; '.join(causes)}. {OLDER} {once}"
    return page.para(page.english(told))


def _numbers(result: CheckResult, page: Page) -> list[Part]:
    if result.limit_whole is None or result.clear_out is None or result.evaluation is None:
        return []
    lines = page.para(f"{clear_out_words(result, page)}.")
    lines += page.para(limit_words(result, page))
    weighed = weight_words(result, page)
    parts = [
        Part(lines),
        Part(page.para(weighed), WEIGHT_RANK, "the limit without its weight" if weighed else ""),
    ]
    lines = went_lines(result, page)
    held = result.evaluation.held
    if result.gives_first is not None and (held or result.job.braces):
        link = link_words(result.gives_first, page)
        first = Said("gives-first", link=link) if held else Said("weakest-counted", link=link)
        if not held and result.gives_first.nothing:
            first = Said("first-for-nothing", link=link)
        lines += page.para(page.said(first))
    parts.append(Part(lines))
    if held:
        parts.append(Part(page.para(page.said(LIMIT_STATEMENT)), STATEMENT_RANK, "the meaning of the limit"))
    wind = result.construction_wind
    if wind is not None:
        equivalent = whole_up(wind["equivalent_gust_mph"])
        other = Said(
            "another-reading-beside",
            speed=Quantity(wind["design_speed_mph"], Kind.ASKED),
            gust=Quantity(equivalent, Kind.ASKED),
            verdict=page.term(result.at(equivalent)),
        )
        parts.append(Part(page.para(page.said(other)), ON_ASKING, "the design wind"))
    return parts


def place(link: Link, page: Page) -> str:
    """Say where a link is: its brace, or its place from LEFT, or the whole wall.

    Args:
        link: the link.
        page: how lengths are written.
    """
    if link.mark is not None:
        return page.said(Said("at-the-brace", mark=link.mark))
    if link.x is None:
        return page.term("over the wall")
    return page.said(Said("at-from-left", at=Quantity(link.x, Kind.TAPE)))


def link_words(link: Link, page: Page) -> str:
    """Say in plain words what gives: what, where, with which wind, and what sets it.

    Args:
        link: the link.
        page: how lengths are written.
    """
    why = f": {page.said(link.why)}" if link.why else ""
    words = LINK_WORDS.get(link.link.forward)
    plain = f" ({page.said(words)})" if words else ""
    wind = page.term(WIND_DOES[link.direction])
    return f"{page.term(link.link)} {place(link, page)}{plain}, {wind}{why}"


def zone_said(result: CheckResult) -> Said:
    """Say what is kept clear of a wall; the storey below too, where there is one.

    Args:
        result: the wall checked.
    """
    inside, outside = (Quantity(each, Kind.TAPE) for each in result.zone)
    if storey_declared(result.job):
        return Said("keep-clear-below", inside=inside, outside=outside)
    return Said("keep-clear", inside=inside, outside=outside)


# -- braces ----------------------------------------------------------------------------------------------


def _braces(result: CheckResult, page: Page) -> list[Part]:
    braces = result.braces
    if not braces or result.evaluation is None:
        return []
    unit = "kN" if page.metric else "lb"
    headers = page.terms("mark", "stud", "head", "set-back", "deg", "length", "stock", "push", "pull")
    held = tuple(bool(forces.held.all()) for forces in result.evaluation.forces)
    few = len(braces) if page.whole else FEWEST_BRACES
    rows = [_brace_row(brace, page, held) for brace in braces[:few]]
    at = page.asked(whole_down(result.evaluation.gust * 10.0) / 10.0)
    lines = ["", *page.para(page.said(Said("braces-with-forces", unit=unit, gust=at)))]
    lines += page.table(headers, rows, align="lrrrrrlrr")
    parts = [Part(lines), *(Part((), ON_ASKING, "more braces") for _ in braces[few:])]
    parts.append(Part(_feet(result, page), FOOT_RANK, "the load of the feet"))
    lines, said = [], defaultdict(list)
    for brace in braces:
        if brace.not_counted:
            said[brace.not_counted].append(brace.mark)
    for words, marks in said.items():
        gloss = TOO_SLENDER if says(words, "too-slender") else ""
        listed = _listed(marks, page)
        told = (
            Said("one-counts-for", marks=listed, why=words, gloss=gloss)
            if len(marks) == 1
            else Said("several-count-for", marks=listed, why=words, gloss=gloss)
        )
        lines += page.para(page.said(told))
    return [*parts, Part(lines)]


def _feet(result: CheckResult, page: Page) -> list[str]:
    """What the feet ask of the floor below, which is somebody's joist, rim or overhang."""
    down, up = (max(getattr(b, name) for b in result.braces) for name in ("foot_down", "foot_up"))
    if result.evaluation is None or not result.evaluation.held:
        return []
    loads = Said("feet-load", down=Quantity(down, Kind.LOAD), up=Quantity(up, Kind.LOAD))
    return page.para(page.said(loads))


def _brace_row(brace: BraceResult, page: Page, held: tuple[bool, ...]) -> list[str]:
    lengths = (page.length(each) for each in (brace.x, brace.head, brace.set_back))
    loads = zip((brace.push, brace.pull), held, strict=True)
    forces = (page.force(load).split()[0] if known else "-" for load, known in loads)
    angle = f"{math.degrees(brace.angle):.0f}"
    return [brace.mark, *lengths, angle, page.length(brace.length), brace.stock, *forces]


def _listed(marks: Sequence[str], page: Page) -> str:
    if len(marks) == 1:
        return marks[0]
    return page.said(Said("and-the-last", others=tuple(marks[:-1]), last=marks[-1]))


def _hand(hand: HandCheck | None, page: Page, *, how: bool) -> list[str]:
    if hand is None:
        return []
    by_hand, grillage = (Quantity(each, Kind.LOAD) for each in hand.sums)
    pressure = page.pressure(hand.pressure * 144.0)
    if not how:
        return page.para(page.said(Said("by-hand", pressure=pressure, hand=by_hand, frame=grillage)))
    told = Said(
        "by-hand-in-full",
        pressure=pressure,
        raised=Said("pushing-higher") if hand.raised else "",
        hand=by_hand,
        frame=grillage,
        why=page.english("; ".join(hand.why)),
    )
    return page.para(page.said(told))


def _each_missing(result: CheckResult, page: Page) -> list[str]:
    if not result.missing:
        return []
    rows = [
        [brace.mark, page.gust(whole_down(rest)), page.gust(whole_down(lost))]
        for brace, rest, lost in zip(result.job.braces, result.missing, result.lost, strict=True)
    ]
    headers = page.terms("brace gone", "limit gust", "lost in the gust")
    return ["", *page.table(headers, rows, align="lrr")]


# -- what was assumed ------------------------------------------------------------------------------------


def assumed_parts(
    assumed: Sequence[Assumed], page: Page, *, fewest: int = FEWEST_ASSUMED, paths: bool = False
) -> list[Part]:
    """List what was assumed, the dearest first: what costs nothing only on asking.

    Args:
        assumed: what was, the dearest first.
        page: how it is written.
        fewest: how many stay where there is no room.
        paths: each with its path in the file.
    """
    if not assumed:
        return []
    head = ["", *page.para(page.said(Said("assumed-and-costs")))]
    if not assumed[0].effect and not (page.whole or paths):
        head = page.para(page.said(Said("assumed-count", places=assumed_places(len(assumed)), where="")))
        return [Part(head), Part((), ON_ASKING, "the assumed, one by one")]
    parts = []
    for k, each in enumerate(assumed):
        rank = (min(k, 1) if k < fewest else ASSUMED_RANK) if each.effect else ON_ASKING
        parts.append(Part(_assumed_row(each, page, path=paths), rank, "assumed"))
    first = 0 if fewest or not assumed[0].effect else ASSUMED_RANK
    return [Part(head, first), *parts]


def assumed_places(count: int) -> Said:
    """Say in how many places the low default was taken.

    Args:
        count: how many.
    """
    return Said("one-place") if count == 1 else Said("so-many-places", count=count)


def field_words(path: str, page: Page) -> str:
    """Say what a field is of, and its name, in words a crew uses.

    Args:
        path: its dotted path.
        page: how it is written.

    Example:
        >>> field_words("wall.plate.row_from_sheathed_edge", Page()), field_words("site.exposure", Page())
        ('bottom plate, row from sheathed edge', 'site, exposure')
    """
    if page.language != OWN:
        return path  # as it stands in the file, in any language
    look = place_at(Job, path).field.metadata[LOOK]
    thing = page.said(Said.by(look, {})) if look else path.split(".")[-2].rstrip("[]0123456789")
    return f"{thing}, {fact_name(path)}"


def _assumed_row(each: Assumed, page: Page, *, path: bool) -> list[str]:
    hang = 8 if page.width >= NARROW else 4
    cost = "-" if each.effect is None else page.gust(each.effect)
    value = typed(each.field, each.value, page)
    usual = ""
    if each.usual not in (None, each.value):
        usual = f" {page.said(Said('usual', value=typed(each.field, each.usual, page)))}"
    name = f"{each.field} =" if path else f"{field_words(each.field, page)}:"
    return page.para(f"{cost:>6}  {name} {value}{usual}: {why_words(each, page)}", hang=hang)


def why_words(each: Assumed, page: Page) -> str:
    """Say why a low default is the low one.

    Args:
        each: what was assumed.
        page: how it is written.
    """
    return page.term(each.why) if isinstance(each.why, str) else page.said(each.why)


# -- links and the next command --------------------------------------------------------------------------


def _links(result: CheckResult, page: Page) -> list[str]:
    if result.evaluation is None:
        return []
    rows = [
        [
            f"{page.term(link.link)} {place(link, page)}",
            page.term(WIND_FROM[link.direction]),
            reached(link, page, result.evaluation.loose),
        ]
        for link in result.evaluation.links
    ]
    table = page.table(page.terms("what", "wind from", "limit gust"), rows, align="llr")
    recalled = dict.fromkeys(page.term(one.link) for one in result.evaluation.links if one.known == "memory")
    said = page.para(page.said(Said("links-from-memory", links=tuple(recalled))), hang=0) if recalled else []
    return ["", *table, *([""] if said else []), *said, *([""] if said else [])]


def reached(link: Link, page: Page, loose: Collection[str] = ()) -> str:
    """Say at which gust a link reaches its limit; one that is worth nothing, or never loaded, reaches none.

    Args:
        link: the link.
        page: how gusts are written.
        loose: the directions in which the wall can still move.
    """
    limit = reached_at(link, loose)
    if limit is not None:
        return page.gust(limit)
    if link.nothing:
        return page.term(NOTHING)
    if link.demand > 0.0:
        return page.said(Said("over-a-gust", gust=Quantity(HIGHEST, Kind.GUST)))
    return page.term("not loaded")


def nothing_words(links: Iterable[Link], page: Page, loose: Collection[str]) -> list[str]:
    """Say of what counts for nothing, kind by kind, where it is and which limit that leaves.

    Args:
        links: links worth nothing.
        page: how gusts are written.
        loose: the directions in which the wall can still move.
    """
    said: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for link in links:
        said[link.link, link.direction, reached(link, page, loose)].append(place(link, page))
    return [
        f"{name} {_listed(places, page)}, wind from {WIND_FROM[direction]}: {NOTHING}"
        + ("" if words == NOTHING else f", limit gust {words}")
        for (name, direction, words), places in said.items()
    ]


def _next(result: CheckResult, page: Page, wall: str, *, links: bool) -> list[str]:
    gust = "" if result.gust is None else f" --gust {result.gust:g}"
    storms = " --storms" if result.thunderstorm else ""
    if result.beyond:
        return []
    if result.verdict == Verdict.WITHIN and links:
        return [page.said(Said("next-sheet")), *page.command(f"bracing sheet {wall}{gust}{storms}")]
    if result.verdict == Verdict.WITHIN:
        return [page.said(Said("next-links")), *page.command(f"bracing check {wall}{gust}{storms} --links")]
    if result.gust is None and result.job.braces:
        return [page.said(Said("next-gust")), *page.command(f"bracing check {wall} --gust 45")]
    return [
        page.said(Said("next-layout")),
        *page.command(f"bracing layout {wall}{gust or ' --gust 45'}{storms}"),
    ]
