"""A layout on one screen: verdict, clear-out gust, what gives first, marks and cuts, order and hook, what to buy."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

from attrs import evolve, frozen

from bracing.chain.links import HIGHEST
from bracing.choosing import whole_down, whole_up
from bracing.job.envelope import past_practice_of
from bracing.layout.nearest import NearestLayout, WouldDo
from bracing.layout.on_hand import OnHand
from bracing.layout.plan import LayoutResult
from bracing.results import LIMIT_STATEMENT
from bracing.said import Said, Verdict, says
from bracing.stages.going_up import ties_named
from bracing.text.check import (
    assumed_parts,
    clear_out_words,
    limit_words,
    link_words,
    place,
    reached,
    weight_words,
)
from bracing.text.page import ON_ASKING, WIND_FROM, Page, Part
from bracing.units import Mph
from bracing.work.minutes import work_said
from bracing.work.parts import CutStick
from bracing.work.words import joint_words

FEWEST_STUDS = 6
# The order in which parts of the screen are left out for want of room: the highest first.
FIRST_RANK, STATEMENT_RANK, WEIGHT_RANK, PROOF_RANK, BUY_RANK, MIND_RANK = 70, 60, 58, 50, 30, 3
KEPT = ("braces-far-apart", "free-end-at-left", "free-end-at-right", "header-carries", "returns-for-nothing")
FOR_NOTHING = (
    "return-lacks",
    "return-too-little",
)  # returns that hold nothing: said together where it is one screen
WOULD_RANK, SHORT_RANK, UNTRIED_RANK, IDLE_RANK = 20, 40, 45, 50  # of what would do, and would not
BRACES_IN_TABLE = 12
# What is chosen where nobody declared it, in the order it is left out where there is no room.
CHOSEN = (
    "chosen-brace-stock", "chosen-studs", "chosen-top-plate", "chosen-headers-and-sills",
    "chosen-joists-under-the-feet", "chosen-tie-rows", "chosen-brace-heads", "chosen-cleats",
    "chosen-sheathing", "chosen-bottom-plate",
)  # fmt: skip
BRACES_SHOWN = 8  # of the nearest layout
CHANGES_SHOWN = 6


@frozen
class Shown:
    """What beside the layout is shown.

    Attributes:
        why: where no foot may stand, and why.
        links: every link.
        written: it was written into the file.
        on_hand: what is on hand, as typed; None where it was not asked.
        gust: the gust asked; None where the best was asked for [mph].
        again: the options that ask for the best with what is on hand once more.
        more: the options beside the gust that say what was asked for, as typed.
        beside: what must be bought beside what is on hand, and what of it is of no use.
    """

    why: bool = False
    links: bool = False
    written: bool = False
    on_hand: str | None = None
    gust: Mph | None = None
    again: str = ""
    more: str = ""
    beside: tuple[str, ...] = ()


def layout_page(result: LayoutResult, page: Page, *, wall: str, shown: Shown) -> str:
    """Write a layout.

    Args:
        result: the layout.
        page: how it is written.
        wall: the words that name the wall on the command line.
        shown: what beside the layout is shown.
    """
    asked = [*_others(result, page), *(_why(result, page) if shown.why else [])]
    asked += _links(result, page) if shown.links else []
    end = [*page.cautions(), *_next(result, page, wall, shown)]
    above, needed, below = _above(result, page, shown), result.needed, _below(result, page)
    for less in range(len(CHOSEN) + 1):
        left = [said for said in needed if said.id in CHOSEN[:less]]
        chosen = [Part(_needed(needed, page, left)), *(Part((), ON_ASKING, "needed") for _ in left)]
        text = page.screen([*above, *chosen, *below], end, asked=asked)
        if page.whole or text.count("\n") - len(asked) < page.lines:
            break
    return text


def _above(result: LayoutResult, page: Page, shown: Shown) -> list[Part]:
    """All that stands above what is needed too."""
    weighed = weight_words(result.result, page)
    beside = [line for words in shown.beside for line in page.para(words)]
    minds = [
        Part(page.minds([said]), 0 if said.id in KEPT else MIND_RANK, "to mind")  # 0 is never left out
        for said in _minds(result, page)
    ]
    return [
        Part([*_verdict(result, page, shown), *_numbers(result, page)]),
        Part(page.para(weighed), WEIGHT_RANK, "the limit without its weight" if weighed else ""),
        Part(_first(result, page), FIRST_RANK, "the first to give"),
        Part(page.para(page.said(LIMIT_STATEMENT)), STATEMENT_RANK, "the meaning of the limit"),
        Part(page.para(_proof(result, page)), PROOF_RANK, "the proof"),
        *assumed_parts(evolve(result.result, effects=True).assumed, page, paths=page.whole),
        *minds,
        Part(beside),
        Part(_buy(result, page, "BUY" if shown.on_hand is None else "TAKE"), BUY_RANK, "what to buy"),
    ]


def _minds(result: LayoutResult, page: Page) -> list[Said]:
    warnings = list(result.result.warnings)
    free = [said for said in warnings if said.id in FOR_NOTHING]
    if page.whole or not free:
        return warnings
    if any(
        said.id == "return-asks-brace" for said in result.needed
    ):  # what is needed says that it stands free
        return [said for said in warnings if said not in free]
    where = tuple(value for said in free for name, value in said.values if name == "where")
    return [Said("returns-for-nothing", where=where), *(said for said in warnings if said not in free)]


def _below(result: LayoutResult, page: Page) -> list[Part]:
    """All that stands below it: what is cut stands last, where the eye is in a terminal."""
    return [*_braces(result, page), Part(_order(result, page))]


def _verdict(result: LayoutResult, page: Page, shown: Shown) -> list[str]:
    wall, check = result.job.wall, result.result
    size = f"{page.length(wall.length)} long, {page.length(wall.highest)} high"
    lines = page.para(f"{wall.name}, {size}: PLAN")
    count, gust = len(result.job.braces), page.asked(check.gust or 0.0)
    with_them = f"with {count} braces of {result.scheme.size}"
    if shown.on_hand is not None:
        lines += page.para(
            f"With {shown.on_hand}: the best limit gust found is {page.gust(check.limit or 0.0)}."
        )
        if shown.gust is not None and (check.limit or 0.0) < shown.gust:
            lines += page.para(f"OVER its limit at the gust of {page.asked(shown.gust)} asked, {with_them}.")
            return lines
        gust = page.asked(shown.gust if shown.gust is not None else check.limit_whole or 0.0)
    unknown = check.as_drawn == Verdict.UNKNOWN
    word = f"{Verdict.UNKNOWN.upper()}, and within" if unknown else str(check.as_drawn).upper()
    lines += page.para(f"{word} its limit at a gust of {gust} {with_them}.")
    lines += page.para(page.said(Said("storey-unknown"))) if unknown else []
    if result.interrupted:
        lines += page.para("INTERRUPTED: this is the best so far.")
    if check.thunderstorm:
        lines += page.para("Thunderstorms: a real gust can exceed any number here.")
    if result.before.braces:
        ignored = len(result.before.braces)
        braces = "The brace in the file is" if ignored == 1 else f"The {ignored} braces in the file are"
        lines += page.para(f"{braces} not counted: this starts from a wall without any.")
    return lines


def _numbers(result: LayoutResult, page: Page) -> list[str]:
    check = result.result
    return [*page.para(f"{clear_out_words(check, page)}."), *page.para(limit_words(check, page))]


def _first(result: LayoutResult, page: Page) -> list[str]:
    first = result.result.gives_first
    return [] if first is None else page.para(f"Gives first: {link_words(first, page)}.")


# -- marks and cuts --------------------------------------------------------------------------------------


def _braces(result: LayoutResult, page: Page) -> list[Part]:
    headers = ["mark", "stud", "head", "set-back", "long point", "saw", "from", "laps", "gust"]
    rows = []
    for k, (brace, cut) in enumerate(zip(result.job.braces, result.cuts, strict=True)):
        stick = result.cutting.stick_of(brace.mark)
        rows.append([
            brace.mark, page.length(brace.stud_at), page.length(brace.head), page.length(brace.set_back),
            page.length(cut.long_point), f"{cut.foot_saw:g}/{cut.head_saw:g}", _stick(stick, page), brace.lap_side,
            page.gust(whole_down(result.after_each[k])).split()[0],
        ])  # fmt: skip
    unit = "m/s" if page.metric else "mph"
    words = (
        "Studs taped from LEFT; long points on the upper edge; saw: degrees off square, foot/head; "
        f"gust: the limit [{unit}] once that one is up{', no tie row yet' if result.job.tie_rows else ''}:"
    )
    few = len(rows) if page.whole else BRACES_IN_TABLE
    table = page.table(headers, rows[:few], align="lrrrrrrlr")
    more = (Part((), ON_ASKING, "more braces") for _ in rows[few:])
    return [Part([*page.para(words), *table]), *more, Part(_joints(result, page))]


def _stick(stick: CutStick | None, page: Page) -> str:
    if stick is None:
        return "none"
    return page.length(stick.length) if page.metric else f"{stick.length / 12.0:g} ft"


def _joints(result: LayoutResult, page: Page) -> list[str]:
    words = page.said(joint_words(result.job, result.job.braces[0]))
    return page.para(f"Each brace ({page.said(result.recipe)}): {words}.")


def _order(result: LayoutResult, page: Page) -> list[str]:
    order = f"Put them up in the order B1 to B{len(result.job.braces)}"
    ties = f", then {page.said(ties_named(result.job.tie_rows))}" if result.job.tie_rows else ""
    return page.para(f"{order}{ties}. {page.said(result.hook.said)} {_work(result, page)}")


def _proof(result: LayoutResult, page: Page) -> str:
    words = f"{_number(result, page)} "
    if result.asked.spacing is not None:
        words = f"Solved for the spacing given, {page.length(result.asked.spacing)} at the most. "
    if result.scheme.strongback:
        plain = "nothing stands" if result.without_row is None else f"it takes {result.without_row} braces"
        words += f"Without the strongback {plain}. "
    if result.asked.one_missing is not None:
        words += f"It stands at {page.asked(result.asked.one_missing)} with any one brace gone. "
    return words + "Any one may stand one stud off its mark."


def _work(result: LayoutResult, page: Page) -> str:
    """How much work it is, and how few braces would do with how much more."""
    much = f"Work: {page.said(work_said(result.job, result.minutes))}"
    if result.fewest is None:
        return f"{much}."
    more = whole_up(result.fewest.minutes) - whole_up(result.minutes)
    work = Said("more-work", minutes=more) if more >= 0 else Said("less-work", minutes=-more)
    if result.fewest.past_practice > past_practice_of(result.job):
        fewer = Said("fewer-far-apart", count=result.fewest.braces, work=work)
    else:
        fewer = Said("fewer-would-do", count=result.fewest.braces, work=work)
    return f"{much}; {page.said(fewer)}."


def _number(result: LayoutResult, page: Page) -> str:
    """Whether less work, and whether fewer braces would do."""
    less = page.said(Said("least-work-proved") if result.least_work else Said("least-work-found"))
    few, fewer = result.fewest, result.grid.said
    if few is not None:
        fewer = Said("no-fewer", count=few.braces) if few.proved else Said("fewer-yet", count=few.braces)
    return f"Less work? {less.capitalize()}. Fewer? {page.said(fewer).capitalize()}."


# -- lists -----------------------------------------------------------------------------------------------


def _needed(needed: Sequence[Said], page: Page, left: Sequence[Said]) -> list[str]:
    """A list to tick, a line or two each."""
    twice = "ties-on" if any(says(said, "ties-and-diagonals") for said in needed) and not page.whole else ""
    words = [page.said(said) for said in needed if said not in left and not (twice and says(said, twice))]
    lines = [line for each in words for line in page.para(f"[ ] {each}", hang=4)]
    more = f", and {len(left)} more that nobody declared (--all)" if left else ""
    return [*page.para(f"NEEDED TOO, tick each{more}:"), *lines] if words else []


def _buy(result: LayoutResult, page: Page, take: str) -> list[str]:
    items = "; ".join(page.said(item.said) for item in result.buy)
    shared = [stick for stick in result.cutting.sticks if len(stick.pieces) > 1]
    offcuts = ""
    if shared:
        pieces: Counter[str] = Counter()
        for stick in shared:
            pieces.update(_kind(piece.what) for piece in stick.pieces[1:])
        counted = ", ".join(f"{n} {what}{'s' if n > 1 else ''}" for what, n in sorted(pieces.items()))
        offcuts = f" Offcuts give {counted}."
    return page.para(f"{take}, a tenth spare: {items}.{offcuts}")


def on_hand_lines(truck: OnHand, result: LayoutResult, page: Page) -> tuple[str, ...]:
    """Say what must be bought beside what is on hand, and what of that is of no use.

    Args:
        truck: what is on hand.
        result: the layout.
        page: how it is written.
    """
    lines, idle = [], truck.of_no_use(result)
    if buy := truck.not_named(result):
        lines.append(page.said(Said("on-hand-not-named", what=buy)))
    if idle:
        lines.append(page.said(Said("on-hand-of-no-use", what=idle)))
    return tuple(lines)


def to_fetch_lines(found: NearestLayout, page: Page) -> tuple[str, ...]:
    """Say what to fetch so that the gust asked is reached.

    Args:
        found: what was found.
        page: how it is written.
    """
    return tuple(
        f"TO REACH A GUST OF {page.asked(found.gust or 0.0)}: {_with(one, page)}." for one in found.would_do
    )


def _kind(what: str) -> str:
    return what.split(" of ")[0].split(" at ")[0] if " " in what else "brace"


def _others(result: LayoutResult, page: Page) -> list[str]:
    rows = []
    for other in result.others:
        scheme = other.scheme
        rows.append([
            page.said(other.what), str(len(other.job.braces)), f"{whole_up(other.minutes)}",
            f"{scheme.size} T" if scheme.stiffener == "T" else scheme.size,
            str(scheme.ties), "yes" if scheme.doubled else "no", f"{whole_up(other.lumber)}", str(other.fasteners),
            page.gust(other.limit).split()[0],
        ])  # fmt: skip
    if not rows:
        return []
    headers = ["layouts", "braces", "min", "of", "ties", "doubled", "bd ft", "fasteners", "gust"]
    return page.table(headers, rows, align="lrrlrlrrr")


def _why(result: LayoutResult, page: Page) -> list[str]:
    """Where no foot may stand: each reason, and the studs it shuts."""
    if not result.refused:
        return ["", *page.para("No place was refused.")]
    by_why: dict[Said, set[float]] = defaultdict(set)
    for refused in result.refused:
        by_why[refused.why].add(refused.stud)
    rows = sorted(
        f"{page.said(why)}: studs at {_listed(sorted(studs), page)}" for why, studs in by_why.items()
    )
    return ["", *page.para("No foot may stand, with some head and set-back tried there:"),
            *(line for row in rows for line in page.para(f"- {row}"))]  # fmt: skip


def _listed(studs: Sequence[float], page: Page) -> str:
    said = [page.length(x) for x in studs[:FEWEST_STUDS]]
    more = len(studs) - len(said)
    return ", ".join(said) + (f" and {more} more" if more > 0 else "")


def _links(result: LayoutResult, page: Page) -> list[str]:
    evaluation = result.result.evaluation
    if evaluation is None:
        return []
    rows = [
        [f"{link.link} {place(link, page)}", WIND_FROM[link.direction], reached(link, page)]
        for link in evaluation.links
        if link.limit_gust < HIGHEST
    ]
    return ["", *page.table(["what", "wind from", "limit gust"], rows, align="llr")]


def _next(result: LayoutResult, page: Page, wall: str, shown: Shown) -> list[str]:
    gust = f" --gust {(result.result.gust or 0.0):g}"
    asked = gust if shown.on_hand is None else shown.again
    storms = " --storms" if result.result.thunderstorm else ""
    few = " --fewest" if result.asked.fewest else ""
    if shown.written:
        return [
            "It is in the file. Next, once they are up:",
            *page.command(f"bracing check {wall}{gust}{storms}"),
        ]
    if wall.startswith("-"):
        return [
            "Next, where no foot may stand:",
            *page.command(f"bracing layout {wall}{asked}{storms}{shown.more}{few} --why"),
        ]
    into = "Next, into the file"
    if result.before.braces:
        into += ", in place of the braces in it"
    return [f"{into}:", *page.command(f"bracing layout {wall}{asked}{storms}{shown.more}{few} --write")]


# -- where no layout reaches the gust asked ----------------------------------------------------------------


def nearest_page(found: NearestLayout, page: Page, *, wall: str, then: str) -> str:
    """Write what can be said where no layout reaches the gust asked.

    Args:
        found: what was found.
        page: how it is written.
        wall: the words that name the wall on the command line.
        then: the options that give the smaller plan, or the one with what is fetched; none where neither is.
    """
    one = found.job.wall
    size = f"{page.length(one.length)} long, {page.length(one.highest)} high"
    gust = None if found.planned is None else page.asked(found.planned)
    none = "NO PLAN STANDS WITH WHAT IS ON HAND" if gust is None else f"NO PLAN REACHES A GUST OF {gust}"
    none += " WITH THUNDERSTORMS" if found.thunderstorm else ""
    lines = page.para(f"{one.name}, {size}: {none}.")
    lines += page.para(f"Why: {page.said(found.why)}.")
    if found.interrupted:
        lines += page.para("INTERRUPTED: this is the best so far.")
    end = page.cautions()
    if found.nearest is not None:
        end += ["Next, the whole of that smaller plan:", *page.command(f"bracing layout {wall}{then}")]
    elif then:
        end += ["Next, with that fetched:", *page.command(f"bracing layout {wall}{then}")]
    return page.screen([Part(lines), *_best(found.nearest, page), *_would(found, page)], end)


def _best(nearest: LayoutResult | None, page: Page) -> list[Part]:
    """The layout of the highest limit with what is there."""
    if nearest is None:
        return [Part(page.para("With what is there no layout stands at any gust that was tried."))]
    braces = nearest.job.braces
    best = f"{len(braces)} braces ({page.said(nearest.scheme.said)})"
    words = f"The best with what is there, {best}, is OVER at that gust:"
    weighed = weight_words(nearest.result, page)
    parts = [
        Part([*page.para(words), *_numbers(nearest, page)]),
        Part(page.para(weighed), WEIGHT_RANK, "the limit without its weight" if weighed else ""),
    ]
    rows = [
        [
            brace.mark, page.length(brace.stud_at), page.length(brace.head), page.length(brace.set_back),
            page.length(cut.long_point), _stick(nearest.cutting.stick_of(brace.mark), page),
        ]
        for brace, cut in zip(braces[:BRACES_SHOWN], nearest.cuts, strict=False)
    ]  # fmt: skip
    lines = page.table(["mark", "stud", "head", "set-back", "long point", "from"], rows, align="lrrrrr")
    more = len(braces) - len(rows)
    lines += page.para(f"and {more} more: see the whole of it below.") if more > 0 else []
    return [*parts, Part(lines)]


def _would(found: NearestLayout, page: Page) -> list[Part]:
    """What would do, what does not alone, and what was not tried."""
    if found.would_do:
        gust = (
            ""
            if found.planned is None
            else f", for a gust of {page.asked(found.planned)} unless it says another"
        )
        lines = page.para(f"WHAT WOULD DO{gust}:")
        parts = [Part([*lines, *page.para(f"- {_with(found.would_do[0], page)}")])]
        parts += [
            Part(page.para(f"- {_with(one, page)}"), WOULD_RANK, "would do") for one in found.would_do[1:]
        ]
    else:
        parts = [Part(page.para("Nothing that was tried in the time there was would do."))]
    now = 0 if found.nearest is None else found.nearest.result.limit_whole or 0
    short = [one for one in found.tried if not one.does]
    farther = sorted((one for one in short if (one.limit or 0) > now), key=lambda one: -(one.limit or 0))
    if farther:
        said = "; ".join(_reaching(one, page) for one in farther[:CHANGES_SHOWN])
        parts.append(Part(page.para(f"NOT ENOUGH: {said}."), SHORT_RANK, "the changes not enough"))
    if no_farther := [one for one in short if one not in farther and one.change is not None]:
        said = "; ".join(page.said(one.change.words) for one in no_farther[:CHANGES_SHOWN] if one.change)
        parts.append(
            Part(page.para(f"NO FARTHER BY ITSELF: {said}."), IDLE_RANK, "the changes that go no farther")
        )
    if found.untried:
        untried = "; ".join(map(page.said, found.untried[:CHANGES_SHOWN]))
        more = len(found.untried) - CHANGES_SHOWN
        words = f"NOT TRIED, a larger --budget does: {untried}{f'; and {more} more' if more > 0 else ''}."
        parts.append(Part(page.para(words), UNTRIED_RANK, "the changes not tried"))
    return parts


def _with(one: WouldDo, page: Page) -> str:
    braces = "1 brace" if one.braces == 1 else f"{one.braces} braces"
    return f"{page.said(one.words)}: {braces}, limit {page.gust(one.limit or 0)}"


def _reaching(one: WouldDo, page: Page) -> str:
    words = page.said(one.change.words) if one.change is not None else ""
    asked = " where all stands as drawn, but over one stud off" if (one.limit or 0) >= one.asked else ""
    return f"{words}, limit {page.gust(one.limit or 0)}{asked}"
