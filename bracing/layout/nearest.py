"""Where no layout reaches the gust asked: the best with what is there, and what would do.

Every change is tried whole: the wall is laid out again with it, by the same search. Which are tried, and in what order,
follows what stops the layouts; one with which the braces cannot even balance the wind is not looked at further.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypedDict, TypeVar

import numpy as np
from attrs import evolve, field, frozen

from bracing.chain.brace import head_arm
from bracing.chain.evaluate import limit_gust
from bracing.chain.links import LinkId
from bracing.chain.model import build_model
from bracing.choosing import LAYOUTS_A_SECOND, Budget, lowest, over, whole_down, whole_up
from bracing.codes.basis import basis_of
from bracing.codes.gusts import thunderstorm_gust
from bracing.errors import NoLayoutError
from bracing.job.fields import held_value
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.layout.candidates import Candidate, candidates_for, schemes, with_scheme
from bracing.layout.changes import ChangeJson, Fields, Redeclared, SetJson, Steps, every_change, together
from bracing.layout.grid import at_gust
from bracing.layout.least import off_its_mark, the_nearest
from bracing.layout.needed import choices
from bracing.layout.plan import BUDGET, LaidJson, LayoutAsked, LayoutResult, laid_within, lay_out, raised
from bracing.panel.loads import load_cases
from bracing.panel.mesh import build_mesh
from bracing.results import BraceJson, HeaderJson, header
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.units import Mph, Pound

Thing = TypeVar("Thing")

LOWEST: int = 5
HIGHEST: int = 90
FIRST: int = 30  # the first gust tried where nothing is known yet
GUST = "--gust"
QUICK = 0.2  # time for fewer braces of a wall that is shown [s]
GLANCE = 0.05  # the same of each wall that is tried [s]
GIVEN_UP = 3.0  # a wall of which nothing stands by then is given up, sooner on a small budget [s]
GUSTS = 4  # gusts tried for the nearest layout, before changes are
FOR_NEAREST = 4.0  # once there is one, no higher gust past this, sooner on a small budget; guessed [s]
TIMES = 1.0  # as long as for fewer braces, times this, is looked for what would do
# On less of a budget than this [s] each is less: on none such a part of it; guessed.
IN_FULL, HASTY, ANYHOW = 0.4, 0.1, 0.4
A_LOOK = 2_500.0  # layouts' worth of a look at whether the braces balance the wind: half of 24 walls took under 0.05 s
AGAIN = 0.4  # of what a wall takes to be made ready, at another gust; measured
AT_LEAST = 8.0  # where nothing stands with what is there: so long is looked whatever the budget; guessed [s]
# Guessed: changes that do, no more are looked for; changes made together; of those that mend what stops them, how
# many are tried before the best of them is tried with others.
ENOUGH, MOST_TOGETHER, MENDING = 4, 4, 3

_WouldKeys = TypedDict("_WouldKeys", {"braces": int, "limit_gust_mph": int})
_TriedKeys = TypedDict("_TriedKeys", {"limit_gust_mph": int | None})


class WouldDoJson(ChangeJson, _WouldKeys):
    """A change with which a layout reaches the gust asked."""


class TriedJson(ChangeJson, _TriedKeys):
    """A change that was tried, and the limit gust reached with it; None where none was found."""


NearestJson = TypedDict("NearestJson", {
    "gust_mph": float, "limit_gust_mph": int, "clear_out_gust_mph": int | None, "braces": list[LaidJson],
})  # fmt: skip
_NoneKeys = TypedDict("_NoneKeys", {
    "wall": str, "gust_mph": float | None, "verdict": Verdict, "braces": list[BraceJson], "why": Said | str,
    "layouts_tried": int, "nearest": NearestJson | None, "would_do": list[WouldDoJson], "tried": list[TriedJson],
    "untried": list[Said], "interrupted": bool,
})  # fmt: skip


class NoLayoutJson(HeaderJson, _NoneKeys):
    """What `NearestLayout` gives."""


@frozen(eq=False)
class WouldDo:
    """A change that was tried.

    Attributes:
        change: the wall with it; None where it is another day's gust and no more.
        gust: the gust a layout was found for; None where none was found [mph].
        braces: how many it has.
        limit: the highest limit gust reached with the change, rounded down; None where nothing stands with it [mph].
        asked: the gust asked [mph].
        why: what stops every layout with it at the gust asked; empty where it does.
    """

    change: Redeclared | None
    gust: Mph | None
    braces: int
    limit: int | None
    asked: Mph
    why: Said | str = ""

    @property
    def does(self) -> bool:
        """Whether the gust asked is reached with it."""
        return self.gust == self.asked

    @property
    def fields(self) -> Fields:
        """What is declared otherwise, by dotted path; or on the command line."""
        return {} if self.change is None else self.change.fields

    @property
    def words(self) -> Said:
        """What is changed; with another day's gust where the one asked is not reached all the same."""
        parts: list[Said] = [] if self.change is None else [self.change.words]
        if not self.does and self.gust is not None:
            parts.append(Said("change-gust", gust=Quantity(self.gust, Kind.GIVEN)))
        return parts[0] if len(parts) == 1 else Said("changes", parts=tuple(parts))

    def to_dict(self) -> TriedJson:
        """Give it as one of the changes that were tried."""
        assert self.change is not None
        return {**self.change.to_dict(), "limit_gust_mph": self.limit}

    def that_does(self) -> WouldDoJson:
        """Give it as one that would do, at the gust it does at."""
        day: list[SetJson] = [] if self.does else [{"field": GUST, "value": self.gust}]
        filed: list[SetJson] = [] if self.change is None else self.change.filed
        first, *also = filed + day
        return {
            "change": self.words, **first, "also": also, "braces": self.braces, "limit_gust_mph": self.limit or 0,
        }  # fmt: skip


@frozen(eq=False)
class NearestLayout:
    """What can be said of a wall of which no layout reaches the gust asked.

    Attributes:
        job: the wall, no braces.
        gust: the gust asked; None where the best was asked for [mph].
        why: what stops every layout; empty where none is stopped.
        layouts: how many were tried.
        nearest: the layout of the highest limit found with what is there; None where nothing stands.
        would_do: what would do, the least changes first; another day's gust last.
        tried: every change tried.
        untried: the changes there was no time for, or no need of any more.
        interrupted: somebody stopped it.
        thunderstorm: the forecast says thunderstorms, and it was for their gust.
    """

    job: Job
    gust: Mph | None
    why: Said | str
    layouts: int
    nearest: LayoutResult | None = None
    would_do: tuple[WouldDo, ...] = ()
    tried: tuple[WouldDo, ...] = ()
    untried: tuple[Said, ...] = ()
    interrupted: bool = field(default=False, kw_only=True)
    thunderstorm: bool = field(default=False, kw_only=True)

    @property
    def planned(self) -> Mph | None:
        """The gust it was laid out for: of thunderstorms no less than theirs [mph]."""
        return thunderstorm_gust(self.gust) if self.thunderstorm and self.gust is not None else self.gust

    @property
    def reached(self) -> LayoutResult | None:
        """The layout that reaches the gust asked after all; None where none does."""
        return None if self.why else self.nearest

    def to_dict(self) -> NoLayoutJson:
        """Give it as a JSON object."""
        verdict = Verdict.OVER if self.reached is None else self.reached.result.as_drawn or Verdict.OVER
        return {
            **header(self.job, "layout"), "wall": self.job.wall.name, "gust_mph": self.gust, "verdict": verdict,
            "braces": [], "why": self.why, "layouts_tried": self.layouts,
            "nearest": None if self.nearest is None else _nearest_json(self.nearest),
            "would_do": [one.that_does() for one in self.would_do], "tried": [one.to_dict() for one in self.tried],
            "untried": list(self.untried), "interrupted": self.interrupted,
        }  # fmt: skip


def _nearest_json(found: LayoutResult) -> NearestJson:
    return {
        "gust_mph": found.result.gust or 0.0, "limit_gust_mph": found.result.limit_whole or 0,
        "clear_out_gust_mph": found.result.clear_out, "braces": found.laid,
    }  # fmt: skip


def halved(
    lay: Callable[[Mph], LayoutResult],
    *,
    between: tuple[int, int],
    progress: Callable[[Said], None],
    tries: int = HIGHEST,
    enough: Callable[[], bool] = lambda: False,
    lowest_first: bool = False,
) -> tuple[LayoutResult | None, Said | str]:
    """Give the layout of the highest limit gust found between two gusts, and what stopped the lowest that has none.

    The gust is halved in on: where a layout stands at one, a higher one is tried. Where none stands at the first, the
    lowest is tried next: where none stands then either, none does at all.

    Args:
        lay: lays the wall out for a gust.
        between: no gust as low as the first is tried, nor as high as the second [mph].
        progress: told what is being done.
        tries: no more gusts than this.
        enough: whether, once there is one, no higher gust is tried.
        lowest_first: the lowest is tried first: there is hardly time for another.
    """
    low, high = between
    best: LayoutResult | None = None
    stopped: Said | str = ""
    try:
        while high - low > 1 and tries > 0 and not (best is not None and enough()):
            tries -= 1
            middle = (low + high) // 2
            gust: Mph = middle if best is not None or low >= LOWEST else min(FIRST, middle)
            gust = low + 1.0 if best is None and (stopped or lowest_first) else gust
            progress(Said("trying-a-gust", gust=Quantity(gust, Kind.GIVEN)))
            try:
                found = lay(gust)
            except NoLayoutError as error:
                if not error.trials:  # outside the envelope of use: no other gust brings the wall into it
                    raise
                high, stopped = int(gust), error.why
                if gust <= low + 1:
                    break
                continue
            if best is None or over(found.result.limit or 0.0, best.result.limit or 0.0):
                best = found
            low = max(int(gust), whole_down(found.result.limit or 0.0))
    except KeyboardInterrupt:
        if best is None:
            raise
        return evolve(best, interrupted=True), stopped
    return best, stopped


def lowest_tried(*, thunderstorm: bool) -> int:
    """Give the gust below the lowest one that is tried [mph].

    Args:
        thunderstorm: the forecast says thunderstorms.
    """
    return (int(thunderstorm_gust(LOWEST)) if thunderstorm else LOWEST) - 1


def out_of_balance(
    job: Job, gust: Mph, *, thunderstorm: bool = False, angle: float | None = None
) -> Said | None:
    """Say why no layout can stand where the strongest braces, one on every stud, do not balance the wind.

    Args:
        job: the job, no braces.
        gust: the gust [mph].
        thunderstorm: wind profile of an outflow.
        angle: angle asked, or None [degrees].

    Returns:
        Why; None where they may, or where no brace can stand at all.

    Source: STATICS, moments about the bottom plate.
    """
    framing = frame_wall(job.wall)
    tops = [(stud.x, job.wall.height_at(stud.x)) for stud in framing.full_height_studs]
    mesh = build_mesh(job.wall, framing, tops)
    loads = load_cases(job, mesh, basis_of(job).wind(job, thunderstorm=thunderstorm)).crowded.together()
    need = float(np.abs(at_gust(loads.moment(mesh), gust)).max())
    best: tuple[Pound, Candidate] | None = None
    for chosen in choices(job):
        for scheme in schemes(chosen)[::-1]:
            fitted = with_scheme(chosen, scheme)
            on_stud: dict[float, float] = {}
            for each in candidates_for(chosen, scheme, angle=angle)[0]:
                moment = each.level * (each.brace.head + head_arm(fitted, each.brace))
                on_stud[each.brace.stud_at] = max(moment, on_stud.get(each.brace.stud_at, 0.0))
                if best is None or moment > best[0]:
                    best = moment, each
            if not over(need, sum(on_stud.values())):
                return None
    if best is None:
        return None
    moment, strongest = best
    weak = lowest((*strongest.strength.push, *strongest.strength.pull), lambda each: each.level_force)
    share = f"{moment / need:.0%}"
    return Said(
        "stock-too-weak", share=share, gust=Quantity(gust, Kind.GIVEN), link=weak.link, why=weak.why or ""
    )


@frozen(eq=False)
class ChangeSearch:
    """What is asked of a wall, how much time there is to look for what would do, and what was tried so far.

    Attributes:
        job: the wall, no braces.
        gust: the gust asked [mph].
        thunderstorm: the forecast says thunderstorms.
        asked: what is asked beside the gust.
        budget: time that was asked for the search of fewer braces [s].
        progress: told what is being done.
        clock: the time for changes.
        tried: every change tried.
    """

    job: Job
    gust: Mph
    thunderstorm: bool = False
    asked: LayoutAsked = field(factory=LayoutAsked)
    budget: float = BUDGET
    progress: Callable[[Said], None] = field(default=lambda _: None, repr=False)
    clock: Budget = field(init=False)
    tried: list[WouldDo] = field(factory=list, init=False)

    @clock.default
    def _clock(self) -> Budget:
        return Budget(TIMES * self.budget)

    def patient(self, least: float) -> float:
        """Give how much of the time a look may take on a fair budget it may on this one.

        Args:
            least: what part on none.
        """
        return least + (1.0 - least) * min(1.0, self.budget / IN_FULL)

    def lay(
        self, job: Job, gust: Mph, budget: float = GLANCE, *, again: bool = False, lowest: bool = False
    ) -> LayoutResult:
        """Lay a wall out for a gust, as it is asked, with a quick look for fewer braces.

        Args:
            job: the wall.
            gust: the gust [mph].
            budget: time for fewer braces [s].
            again: this wall was laid out before, for another gust or for more braces.
            lowest: no lower gust is tried: it is given up no sooner on a small budget.

        Raises:
            NoLayoutError: none stands.
        """
        self.clock.spend(A_LOOK)
        speed = thunderstorm_gust(gust) if self.thunderstorm else gust
        why = out_of_balance(job, speed, thunderstorm=self.thunderstorm, angle=self.asked.angle)
        if why is not None:
            raise NoLayoutError(why, 1)
        # No more is said than the same budget finds.
        patient = 1.0 if lowest else self.patient(HASTY)
        quick = Budget(min(budget, self.budget), while_none=patient * GIVEN_UP)
        try:
            return laid_within(job, gust, quick, thunderstorm=self.thunderstorm, asked=self.asked)
        finally:
            self.clock.spend(quick.toil[0] + (AGAIN if again else 1.0) * quick.beside[0])

    def at(self, change: Redeclared, gust: Mph) -> WouldDo:
        """Try a change at a gust.

        Args:
            change: the change.
            gust: the gust [mph].
        """
        self.progress(Said("trying-a-change", change=change.words, gust=Quantity(gust, Kind.GIVEN)))
        try:
            found = self.lay(change.job, gust)
        except NoLayoutError as error:
            return WouldDo(change, None, 0, None, self.gust, error.why)
        return WouldDo(change, gust, len(found.job.braces), found.result.limit_whole, self.gust)

    def whole(self, change: Redeclared, known: LayoutResult | None) -> WouldDo:
        """Try a change at the gust asked; where it does not do, say how far the nearest layout goes with it.

        Args:
            change: the change.
            known: the nearest layout, without it.
        """
        best = self.at(change, self.gust)
        if not best.does and known is not None:
            same = change.on(known.job)
            limit = whole_down(limit_gust(build_model(same, thunderstorm=self.thunderstorm)))
            best = evolve(best, braces=len(same.braces), limit=limit)
        self.tried.append(best)
        return best

    def least(self, parts: tuple[Steps, ...], known: LayoutResult | None) -> WouldDo:
        """Try changes together, each as far as it goes; where they do, give the fewest and the least that still do.

        Of what then does a few braces fewer are looked for.

        Args:
            parts: the steps of each.
            known: the nearest layout, without them.
        """
        best = self.whole(together([steps[-1] for steps in parts]), known)
        if not best.does:
            return best
        taken = [*parts]
        for k, steps in enumerate(parts):
            low, high = 0, len(steps) - 1
            while low < high and not self.clock.over:
                middle = (low + high) // 2
                less = [*taken[:k], steps[: middle + 1], *taken[k + 1 :]]
                best, taken = self.instead(best, taken, less)
                low, high = (low, middle) if taken is less else (middle + 1, high)
        for steps in taken[:-1]:  # without the last one they did not
            best, taken = self.instead(best, taken, [other for other in taken if other is not steps])
        return best if self.clock.over else self.fewer(best)

    def fewer(self, best: WouldDo) -> WouldDo:
        """Look a while for fewer braces with a change that does.

        Args:
            best: the change.
        """
        assert best.change is not None
        found = self.lay(best.change.job, self.gust, QUICK, again=True)
        if len(found.job.braces) < best.braces:
            best = evolve(best, braces=len(found.job.braces), limit=found.result.limit_whole)
            self.tried[-1] = best
        return best

    def instead(self, best: WouldDo, taken: list[Steps], other: list[Steps]) -> tuple[WouldDo, list[Steps]]:
        """Give other changes in the place of those that do, if they do too and there is time.

        Args:
            best: what does.
            taken: the steps of each change in it.
            other: those of the others.
        """
        if self.clock.over:
            return best, taken
        here = self.at(together([steps[-1] for steps in other]), self.gust)
        if not here.does:
            return best, taken
        self.tried[-1] = here
        return here, other

    def farthest(self) -> LayoutResult | None:
        """Look how far a layout goes with what is there, whatever the budget, and set the clock for the changes.

        On a small budget the lowest gust comes first, and what it took past its time the changes do without.
        """
        low, spent = lowest_tried(thunderstorm=self.thunderstorm), self.clock.spent
        hasty, long = self.budget < IN_FULL, self.patient(HASTY) * FOR_NEAREST * LAYOUTS_A_SECOND
        nearest, _ = halved(
            lambda at: self.lay(self.job, at, again=True, lowest=at <= low + 1), between=(low, whole_up(self.gust)),
            progress=self.progress, tries=GUSTS, enough=lambda: spent[0] > long, lowest_first=hasty,
        )  # fmt: skip
        if nearest is None:
            least = self.patient(ANYHOW) * AT_LEAST
            spent[0] = min(0.0, (self.clock.seconds - least) * LAYOUTS_A_SECOND)
        else:
            spent[0] = max(0.0, spent[0] - long) if hasty else 0.0
        return nearest

    def after(self, error: NoLayoutError) -> NearestLayout:
        """Say how far a layout goes, and with what the gust would be reached, now that none does.

        Args:
            error: why none does.
        """
        answer = NearestLayout(self.job, self.gust, error.why, error.trials, thunderstorm=self.thunderstorm)
        would: list[WouldDo] = []
        nearest: LayoutResult | None = None
        todo: list[Steps] = []
        interrupted = False
        try:
            nearest = self.farthest()
            if nearest is not None and not over(self.gust, nearest.result.limit or 0.0):
                reached = raised(nearest, self.gust, thunderstorm=self.thunderstorm)
                if reached is not None:  # the search for the gust asked had no time to come to it
                    return evolve(answer, why="", nearest=reached)
                which = the_nearest(len(nearest.job.braces), nearest.scheme, self.gust)
                answer = evolve(answer, why=off_its_mark(which, self.asked.one_missing))
            todo += every_change(self.job)
            if nearest is None or not nearest.interrupted:
                would += _what_does(self, nearest, answer.why, todo)
        except KeyboardInterrupt:
            if nearest is None and not self.tried:
                raise
            interrupted = True
        would += _on_another_day(self, nearest, anyhow=not would and not interrupted)
        return evolve(
            answer, nearest=nearest, would_do=tuple(would), tried=tuple(self.tried),
            untried=tuple(steps[-1].words for steps in todo),
            interrupted=interrupted or (nearest is not None and nearest.interrupted),
        )  # fmt: skip


def what_would_do(
    job: Job, *, gust: Mph, thunderstorm: bool = False, budget: float = BUDGET, asked: LayoutAsked | None = None,
    progress: Callable[[Said], None] = lambda _: None,
) -> NearestLayout:  # fmt: skip
    """Say of a wall of which no layout reaches the gust asked how far one goes, and with what it would be reached.

    Args:
        job: the job; braces in it are not kept.
        gust: the gust asked [mph].
        thunderstorm: the forecast says thunderstorms.
        budget: time that was asked for the search of fewer braces [s].
        asked: what was asked beside the gust.
        progress: told what is being done.

    Returns:
        The nearest layout, what would do, what was tried, and what was not; where one reaches the gust, that one.

    Raises:
        NoLayoutError: the wall or the gust lies outside the envelope of use.
    """
    budget = held_value(budget, "time", "budget", least=0.0)
    wanted = evolve(LayoutAsked() if asked is None else asked, others=False)
    bare = evolve(job, braces=(), built=None)
    search = ChangeSearch(
        bare, gust, thunderstorm=thunderstorm, asked=wanted, budget=budget, progress=progress
    )
    try:
        quick = min(QUICK, budget)
        found = lay_out(bare, gust=gust, thunderstorm=thunderstorm, budget=quick, asked=wanted)
    except NoLayoutError as error:
        if not error.trials:
            raise
        return search.after(error)
    return NearestLayout(bare, gust, "", 0, found)


# -- which changes, in what order ------------------------------------------------------------------------


def _what_does(
    search: ChangeSearch, known: LayoutResult | None, why: Said | str, todo: list[Steps]
) -> Iterator[WouldDo]:
    """First each change that mends what stops the layouts, then several together, then the others while there is time.

    What is left in the list was not tried.
    """
    does: list[WouldDo] = []
    for likely in (True, False):
        for steps in _mending(why, todo) if likely else [*todo]:
            if len(does) >= ENOUGH or search.clock.over:
                return
            todo.remove(steps)
            if not any(_holds(steps[-1], one) for one in does):
                found = search.least((steps,), known)
                if found.does:
                    does.append(found)
                    yield found
        if likely and not does:
            for found in _together(search, known, why, todo):
                does.append(found)
                yield found


def _together(
    search: ChangeSearch, known: LayoutResult | None, why: Said | str, todo: list[Steps]
) -> Iterator[WouldDo]:
    """Follow what stops the layouts: to the change that mends it, to what stops them then, and so on."""
    every = every_change(search.job)
    taken: tuple[Steps, ...] = ()
    for _ in range(MOST_TOGETHER):
        found: list[tuple[WouldDo, Steps]] = []
        for steps in _mending(why, every):
            if any(steps[-1].fields.keys() & other[-1].fields.keys() for other in taken):
                continue
            if search.clock.over or len(found) >= MENDING:
                break
            one = search.least((*taken, steps), known) if taken else _known_one(search, steps, known, todo)
            if one.does:
                yield one
                return
            found.append((one, steps))
        if not found:
            return
        best, steps = max(found, key=lambda pair: _farther_on(pair[0], why))
        taken, why = (*taken, steps), best.why


def _known_one(search: ChangeSearch, steps: Steps, known: LayoutResult | None, todo: list[Steps]) -> WouldDo:
    """A change alone: as it was tried, or tried now."""
    for one in search.tried:
        if one.change is not None and one.change.fields == steps[-1].fields:
            return one
    todo[:] = [other for other in todo if other[-1].fields != steps[-1].fields]
    return search.least((steps,), known)


def _farther_on(one: WouldDo, why: Said | str) -> tuple[bool, int]:
    """Whether something else stops the layouts with a change than without, and how far the nearest goes with it."""
    return _stops(one.why) != _stops(why), one.limit or 0


def _stops(why: Said | str) -> tuple[LinkId | str, ...]:
    """What stops every layout: the links named, and where none is the words' own ids."""
    links = tuple(dict.fromkeys(link.forward for link in _named(why, LinkId)))
    return links or tuple(dict.fromkeys(said.id for said in _named(why, Said)))


def _mending(why: Said | str, some: list[Steps]) -> list[Steps]:
    """The changes that mend what stops every layout, what is named first in it first."""
    links = [link.forward for link in _named(why, LinkId)]
    ids = [said.id for said in _named(why, Said)]

    def place(steps: Steps) -> int:
        mended = [k for k, link in enumerate(links) if link in steps[-1].mends]
        return min(
            [*mended, *(len(links) for name in steps[-1].answers if name in ids)], default=len(links) + 1
        )

    return sorted((steps for steps in some if place(steps) <= len(links)), key=place)


def _named(value: object, kind: type[Thing]) -> Iterator[Thing]:
    """Every link, or everything said, within what is said."""
    if isinstance(value, kind):
        yield value
    parts = [part for _, part in value.values] if isinstance(value, Said) else value
    if isinstance(parts, list | tuple):
        for part in parts:
            yield from _named(part, kind)


def _holds(change: Redeclared, one: WouldDo) -> bool:
    """Whether a change is another one and more."""
    return one.change is not None and all(
        change.fields.get(path) == value for path, value in one.change.fields.items()
    )


def _on_another_day(search: ChangeSearch, known: LayoutResult | None, *, anyhow: bool) -> Iterator[WouldDo]:
    """The gust that is reached with what is there; where nothing is, the change with which a lower gust is reached."""
    if known is not None:
        gust, limit = known.result.gust, known.result.limit_whole
        yield WouldDo(None, gust, len(known.job.braces), limit, search.gust)
    elif anyhow:
        low = lowest_tried(thunderstorm=search.thunderstorm)
        for k, one in enumerate(search.tried):
            gust = float(max((low + int(search.gust)) // 2, low + 1))
            if search.clock.over or one.change is None or gust >= search.gust:
                return
            here = evolve(search.at(one.change, gust), why=one.why)
            search.tried[k] = here
            if here.gust is not None:
                yield here
                return
