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
from bracing.job.job import EDITION, Job
from bracing.results import LIMIT_STATEMENT, BraceResult, said_first
from bracing.said import Said, Verdict, says
from bracing.sources import shipped
from bracing.stages.walk import fact_name
from bracing.text.hand_check import HandCheck
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
        return "yes" if value else "no"
    if value is None or value == ():
        return "not known"
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
TOO_SLENDER = ", without an anchored tie row"
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
        Part(_zone(result, page)),
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
    wall = result.job.wall
    size = f"{page.length(wall.length)} long, {page.length(wall.highest)} high"
    return page.para(f"{wall.name}, {size}: {result.job.state}")


def first_lines(job: Job, page: Page) -> list[str]:
    """Write what is said before every number: no braces on file, not up.

    Args:
        job: the wall as its file has it.
        page: how it is written.
    """
    return [line for words in said_first(job) for line in page.para(page.said(words))]


def _verdict(result: CheckResult, page: Page) -> list[str]:
    if result.beyond:
        return page.for_engineer(result.beyond, " No limit gust is given.")
    as_drawn = "" if result.job.wall.up else "As drawn it would be "
    if result.evaluation is not None and not result.evaluation.held:
        return page.para(f"{as_drawn}{loose_words(result)}")
    if result.as_drawn is None:
        return page.para("No gust was asked: these are the limits.")
    assert result.gust is not None  # a verdict answers a gust
    out = ", and people out" if result.people_out and result.as_drawn == Verdict.WITHIN else ""
    asked = page.asked(result.gust)
    return page.para(f"{as_drawn}{result.as_drawn.upper()} its limit at a gust of {asked}{out}.")


def loose_words(result: CheckResult) -> str:
    """Say that the wall can still move, and with which wind.

    Args:
        result: the wall checked, at whose gust not all of it is held.
    """
    assert result.evaluation is not None
    if not result.job.braces:
        return "OVER: without braces this wall can still move: its limit gust is 0."
    loose = [name for name, f in zip(DIRECTIONS, result.evaluation.forces, strict=True) if not f.held.all()]
    wind = " and from the ".join(WIND_FROM[name] for name in loose)
    return (
        f"OVER: with the wind from {'the ' if loose[0] == 'pull' else ''}{wind} this wall can still move. "
        "What stands against it then counts for nothing, or is too little: its limit gust is 0."
    )


def _asked(result: CheckResult, page: Page, sustained: Mph | None) -> list[str]:
    lines: list[str] = []
    if sustained is not None and result.gust is not None:
        factor = shipped("wind")["sustained"]["gust_over_hourly_mean"]
        gust = page.asked(result.gust)
        speed = page.asked(sustained)
        lines += page.para(f"A sustained {speed}, times {factor:g}, is planned as a gust of {gust}.")
    if result.thunderstorm:
        lines += page.para(
            f"Thunderstorms: planned for {page.asked(thunderstorm_gust(0.0))} at the least; "
            "a gust can exceed any number."
        )
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
    return f"Stood up as drawn, its clear-out gust is {page.gust(clear_out)} ({meter_words(meter, page)})"


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
        return f"CLEAR OUT before a forecast gust of {page.gust(clear_out)}{shown}"
    shown = "" if meter is None else " (0 on a meter too)"
    return f"CLEAR OUT now and stay out: its clear-out gust is 0{shown}"


def storm_words(clear_out: Mph | None, page: Page) -> str:
    """Say the gust people must be out for where thunderstorms are forecast, if it is another; "" where it is not.

    Args:
        clear_out: that gust; None where it is the same [mph].
        page: how gusts are written.

    Example:
        >>> storm_words(34, Page()), storm_words(None, Page())
        ('With thunderstorms in the forecast: 34 mph', '')
    """
    return "" if clear_out is None else f"With thunderstorms in the forecast: {page.gust(clear_out)}"


def meter_words(meter: Mph, page: Page) -> str:
    """Say what a meter shows as a gust is there.

    Args:
        meter: what it shows [mph].
        page: how gusts are written.
    """
    return f"{page.gust(meter)} on a meter {page.meter_held} above deck"


def limit_words(result: CheckResult, page: Page) -> str:
    """Say the limit gust, that with people about where they must be out for it, and that with a brace gone.

    Args:
        result: the wall checked.
        page: how gusts are written.
    """
    said = f"Limit gust: {page.gust(result.limit_whole or 0)}."
    if result.limits is not None and result.limits.people_govern:
        said += f" With people on it or beside it: {page.gust(result.limit_with_people or 0)}, so they are out by then."
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
    return f"It counts 0.6 of the wall's weight against lift of the plate; without it {page.gust(less)}."


def one_gone(result: CheckResult, page: Page) -> str:
    """Say what any one brace gone leaves: at rest, and lost while the wind blows; nothing of a wall without braces.

    Args:
        result: the wall checked.
        page: how it is written.
    """
    if result.one_missing is None or result.one_lost is None:
        return ""
    lost, mark = result.one_lost
    return (
        f" With any one brace missing: {page.gust(result.one_missing)} ({result.matters_most} gone) at rest, "
        f"{page.gust(lost)} lost in the gust ({mark})."
    )


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
        return page.para(f"This file is of an older edition. {OLDER} {once}")
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
    return page.para(
        f"Your wall went from {page.gust(went.then)} to {page.gust(went.now)}: {'; '.join(causes)}. {OLDER} {once}"
    )


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
        first = "Gives first" if held else "Weakest of the links that count"
        if not held and result.gives_first.nothing:
            first = "First of what counts for nothing"
        lines += page.para(f"{first}: {link_words(result.gives_first, page)}.")
    parts.append(Part(lines))
    if held:
        parts.append(Part(page.para(page.said(LIMIT_STATEMENT)), STATEMENT_RANK, "the meaning of the limit"))
    wind = result.construction_wind
    if wind is not None:
        equivalent = whole_up(wind["equivalent_gust_mph"])
        gust, beside = page.asked(equivalent), Verdict.at(equivalent, result.limit_whole)
        other = page.para(
            f"Another reading, only where access is controlled: {page.asked(wind['design_speed_mph'])} "
            f"design wind for the time it stands comes to a gust of {gust}, {beside} its limit."
        )
        parts.append(Part(other, ON_ASKING, "the design wind"))
    return parts


def place(link: Link, page: Page) -> str:
    """Say where a link is: its brace, or its place from LEFT, or the whole wall.

    Args:
        link: the link.
        page: how lengths are written.
    """
    if link.mark is not None:
        return f"at {link.mark}"
    return "over the wall" if link.x is None else f"at {page.length(link.x)} from LEFT"


def link_words(link: Link, page: Page) -> str:
    """Say in plain words what gives: what, where, with which wind, and what sets it.

    Args:
        link: the link.
        page: how lengths are written.
    """
    why = f": {page.said(link.why)}" if link.why else ""
    words = LINK_WORDS.get(link.link.forward)
    plain = f" ({page.said(words)})" if words else ""
    return f"{link.link} {place(link, page)}{plain}, {WIND_DOES[link.direction]}{why}"


def _zone(result: CheckResult, page: Page) -> list[str]:
    inside, outside = result.zone
    return page.para(
        f"Keep clear: {page.length(inside)} from the wall on the brace side, {page.length(outside)} outside, "
        "and as far past both ends."
    )


# -- braces ----------------------------------------------------------------------------------------------


def _braces(result: CheckResult, page: Page) -> list[Part]:
    braces = result.braces
    if not braces or result.evaluation is None:
        return []
    unit = "kN" if page.metric else "lb"
    headers = ["mark", "stud", "head", "set-back", "deg", "length", "stock", "push", "pull"]
    held = tuple(bool(forces.held.all()) for forces in result.evaluation.forces)
    few = len(braces) if page.whole else FEWEST_BRACES
    rows = [_brace_row(brace, page, held) for brace in braces[:few]]
    at = page.asked(whole_down(result.evaluation.gust * 10.0) / 10.0)
    lines = ["", *page.para(f"Braces, studs taped from LEFT, largest force along each [{unit}] at {at}:")]
    lines += page.table(headers, rows, align="lrrrrrlrr")
    parts = [Part(lines), *(Part((), ON_ASKING, "more braces") for _ in braces[few:])]
    parts.append(Part(_feet(result, page), FOOT_RANK, "the load of the feet"))
    lines, said = [], defaultdict(list)
    for brace in braces:
        if brace.not_counted:
            said[brace.not_counted].append(brace.mark)
    for words, marks in said.items():
        gloss = TOO_SLENDER if says(words, "too-slender") else ""
        lines += page.para(
            f"{_listed(marks)} count{'s' if len(marks) == 1 else ''} for {page.said(words)}{gloss}."
        )
    return [*parts, Part(lines)]


def _feet(result: CheckResult, page: Page) -> list[str]:
    """What the feet ask of the floor below, which is somebody's joist, rim or overhang."""
    down, up = (max(getattr(b, name) for b in result.braces) for name in ("foot_down", "foot_up"))
    if result.evaluation is None or not result.evaluation.held:
        return []
    return page.para(
        f"A foot presses the floor down with up to {page.force(down)}, and lifts it with {page.force(up)}."
    )


def _brace_row(brace: BraceResult, page: Page, held: tuple[bool, ...]) -> list[str]:
    lengths = (page.length(each) for each in (brace.x, brace.head, brace.set_back))
    loads = zip((brace.push, brace.pull), held, strict=True)
    forces = (page.force(load).split()[0] if known else "-" for load, known in loads)
    angle = f"{math.degrees(brace.angle):.0f}"
    return [brace.mark, *lengths, angle, page.length(brace.length), brace.stock, *forces]


def _listed(marks: Sequence[str]) -> str:
    return marks[0] if len(marks) == 1 else f"{', '.join(marks[:-1])} and {marks[-1]}"


def _hand(hand: HandCheck | None, page: Page, *, how: bool) -> list[str]:
    if hand is None:
        return []
    by_hand, grillage = (page.force(each) for each in hand.sums)
    if not how:
        return page.para(
            f"By hand: {page.pressure(hand.pressure * 144.0)} of even wind is {by_hand} level in all; the frame gives "
            f"{grillage}. Compare these sums, not single braces; --links says how it is done."
        )
    raised = " pushing a twentieth of the wall's height above the middle" if hand.raised else ""
    return page.para(
        f"By hand: {page.pressure(hand.pressure * 144.0)} of even wind{raised}, each brace taking half-way to the "
        f"next, is {by_hand} level in all; the frame gives {grillage}. Compare these sums, not single braces "
        f"(up to 40% apart): {'; '.join(hand.why)}."
    )


def _each_missing(result: CheckResult, page: Page) -> list[str]:
    if not result.missing:
        return []
    rows = [
        [brace.mark, page.gust(whole_down(rest)), page.gust(whole_down(lost))]
        for brace, rest, lost in zip(result.job.braces, result.missing, result.lost, strict=True)
    ]
    return ["", *page.table(["brace gone", "limit gust", "lost in the gust"], rows, align="lrr")]


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
    head = ["", *page.para("ASSUMED, since nobody declared it, and what each costs:")]
    if not assumed[0].effect and not (page.whole or paths):
        places = "one place" if len(assumed) == 1 else f"{len(assumed)} places"
        head = page.para(f"ASSUMED: the low default in {places} nobody declared.")
        return [Part(head), Part((), ON_ASKING, "the assumed, one by one")]
    parts = []
    for k, each in enumerate(assumed):
        rank = (min(k, 1) if k < fewest else ASSUMED_RANK) if each.effect else ON_ASKING
        parts.append(Part(_assumed_row(each, page, path=paths), rank, "assumed"))
    first = 0 if fewest or not assumed[0].effect else ASSUMED_RANK
    return [Part(head, first), *parts]


def field_words(path: str, page: Page) -> str:
    """Say what a field is of, and its name, in words a crew uses.

    Args:
        path: its dotted path.
        page: how it is written.

    Example:
        >>> field_words("wall.plate.row_from_sheathed_edge", Page()), field_words("site.exposure", Page())
        ('bottom plate, row from sheathed edge', 'site, exposure')
    """
    look = place_at(Job, path).field.metadata[LOOK]
    thing = page.said(Said.by(look, {})) if look else path.split(".")[-2].rstrip("[]0123456789")
    return f"{thing}, {fact_name(path)}"


def _assumed_row(each: Assumed, page: Page, *, path: bool) -> list[str]:
    hang = 8 if page.width >= NARROW else 4
    cost = "-" if each.effect is None else page.gust(each.effect)
    value = typed(each.field, each.value, page)
    usual = f" (usual {typed(each.field, each.usual, page)})" if each.usual not in (None, each.value) else ""
    name = f"{each.field} =" if path else f"{field_words(each.field, page)}:"
    return page.para(f"{cost:>6}  {name} {value}{usual}: {page.said(each.why)}", hang=hang)


# -- links and the next command --------------------------------------------------------------------------


def _links(result: CheckResult, page: Page) -> list[str]:
    if result.evaluation is None:
        return []
    rows = [
        [
            f"{link.link} {place(link, page)}",
            WIND_FROM[link.direction],
            reached(link, page, result.evaluation.loose),
        ]
        for link in result.evaluation.links
    ]
    table = page.table(["what", "wind from", "limit gust"], rows, align="llr")
    recalled = dict.fromkeys(link.link for link in result.evaluation.links if link.known == "memory")
    said = page.para(f"From memory, not read in print: {', '.join(recalled)}.", hang=0) if recalled else []
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
        return NOTHING
    return f"over {page.gust(HIGHEST)}" if link.demand > 0.0 else "not loaded"


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
        f"{name} {_listed(places)}, wind from {WIND_FROM[direction]}: {NOTHING}"
        + ("" if words == NOTHING else f", limit gust {words}")
        for (name, direction, words), places in said.items()
    ]


def _next(result: CheckResult, page: Page, wall: str, *, links: bool) -> list[str]:
    gust = "" if result.gust is None else f" --gust {result.gust:g}"
    storms = " --storms" if result.thunderstorm else ""
    if result.beyond:
        return []
    if result.verdict == Verdict.WITHIN and links:
        return ["Next, the page to hand out:", *page.command(f"bracing sheet {wall}{gust}{storms}")]
    if result.verdict == Verdict.WITHIN:
        return ["Next, every link:", *page.command(f"bracing check {wall}{gust}{storms} --links")]
    if result.gust is None and result.job.braces:
        return ["Next, with the gust of the forecast:", *page.command(f"bracing check {wall} --gust 45")]
    return ["Next, what would do:", *page.command(f"bracing layout {wall}{gust or ' --gust 45'}{storms}")]
