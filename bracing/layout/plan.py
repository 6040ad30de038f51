"""The answer of `layout`: how many braces, where, cut and fastened how; whether fewer would do; what else would."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypedDict

from attrs import evolve, field, frozen

from bracing.chain.cuts import Cut, CutJson, cut_of
from bracing.chain.evaluate import limit_gust
from bracing.chain.model import build_model
from bracing.check import CheckResult, check
from bracing.choosing import Budget, whole_down, whole_up
from bracing.codes.gusts import thunderstorm_gust
from bracing.errors import AccuracyError, InputError, NoLayoutError
from bracing.job.brace import IN_JOIST, Brace
from bracing.job.diagonals import Diagonal
from bracing.job.envelope import ANGLES, beyond
from bracing.job.fields import declared, held_part, held_value
from bracing.job.job import Job
from bracing.job.outline import LONGEST_WALL
from bracing.job.wall import Row
from bracing.layout.candidates import Scheme, most_given, no_more
from bracing.layout.diagonals import (
    boards_of,
    diagonals_added,
    length_of,
    minutes_of,
    nails_of,
    refuse_along,
    with_diagonals,
)
from bracing.layout.fitting import with_fit_fasteners
from bracing.layout.least import BestLayout, Fewest, FewestJson, Grid, at_spacing, least, quick
from bracing.layout.looking import Progress
from bracing.layout.mending import standing_moved
from bracing.layout.needed import changes_made, choices, chosen_paths, needed_too, no_part, rows_added
from bracing.layout.space import SearchSpace, search_space
from bracing.layout.spots import Refused
from bracing.results import BraceJson
from bracing.said import Said, Verdict
from bracing.stages.going_up import DAY_GUST, Hook, HookJson, Stage, going_up
from bracing.units import Inch, Mph
from bracing.work.minutes import own_minutes, plan_minutes
from bracing.work.parts import (
    BuyJson,
    CutStickJson,
    CuttingPlan,
    Item,
    board_feet,
    cutting_plan,
    enough_sticks,
    fasteners_needed,
    parts_list,
)

BUDGET = 1.8

# Kinds looked for beside the answer: words, and which schemes they allow.
KINDS: tuple[tuple[Said, Callable[[Scheme], bool]], ...] = (
    (Said("no-strongback"), lambda scheme: not scheme.strongback),
    (Said("no-tie-rows"), lambda scheme: scheme.ties == 0),
    (Said("no-doubled-studs"), lambda scheme: not scheme.doubled),
    (Said("no-t"), lambda scheme: scheme.stiffener == "none"),
    (Said("no-t-no-doubled-studs"), lambda scheme: scheme.stiffener == "none" and not scheme.doubled),
)

AlternativeJson = TypedDict("AlternativeJson", {
    "what": Said, "braces": int, "work_minutes": int, "recipe": Said, "lumber_board_ft": float, "fasteners": int,
    "tie_rows": int,
    "studs_doubled": bool, "limit_gust_mph": int,
})  # fmt: skip


@frozen(eq=False)
class Alternative:
    """One layout beside others.

    Attributes:
        what: what it is best in, or free of.
        job: the job with its braces.
        scheme: what its braces have in common.
        lumber: all lumber it takes [board ft].
        fasteners: all fasteners in its braces' joints.
        limit: its limit gust [mph].
        minutes: the work it takes, for two people.
    """

    what: Said
    job: Job = field(repr=False)
    scheme: Scheme
    lumber: float
    fasteners: int
    limit: Mph
    minutes: float = 0.0

    @property
    def costs(self) -> tuple[float, ...]:
        """What it takes, each better when less, from its braces and minutes to its rows."""
        count, scheme = len(self.job.braces), self.scheme
        doubled, stiffened = count * scheme.doubled, count * (scheme.stiffener != "none")
        return (
            count,
            whole_up(self.minutes),
            round(self.lumber),
            self.fasteners,
            scheme.ties,
            doubled,
            stiffened,
            scheme.strongback,
        )

    def to_dict(self) -> AlternativeJson:
        """Give it as a JSON object."""
        return {
            "what": self.what, "braces": len(self.job.braces), "work_minutes": whole_up(self.minutes),
            "recipe": self.scheme.said, "lumber_board_ft": round(self.lumber, 1), "fasteners": self.fasteners,
            "tie_rows": self.scheme.ties,
            "studs_doubled": self.scheme.doubled, "limit_gust_mph": whole_down(self.limit),
        }  # fmt: skip


GridJson = TypedDict("GridJson", {
    "recipes": int, "makes": int, "layouts_with_fewer": int, "evaluated": int, "said": Said,
})  # fmt: skip
_LaidKeys = TypedDict("_LaidKeys", {
    "order": int, "stud": str, "stick": Said | None, "ties": int, "stiffener": str, "stud_doubled": bool,
    "head_fasteners": int, "cleat_fasteners": int, "floor_fasteners": int, "foot_on": str, "into_joist": bool,
})  # fmt: skip


class LaidJson(BraceJson, CutJson, _LaidKeys):
    """One brace of a layout."""


DiagonalJson = TypedDict("DiagonalJson", {
    "foot_ft": float, "head_ft": float, "size": str, "kind": str, "length_ft": float, "end_fastener": str,
    "end_fasteners": int,
})  # fmt: skip
_PlanKeys = TypedDict("_PlanKeys", {
    "work_minutes": int, "own_minutes": dict[str, float], "proved_least_work": bool, "fewest": FewestJson | None,
    "proved_least": bool, "grid": GridJson,
    "recipe": Said, "needed_too": list[Said], "buy": list[BuyJson], "diagonals": list[DiagonalJson],
    "cutting": list[CutStickJson], "alternatives": list[AlternativeJson], "after_each_mph": list[int],
    "day_gust_mph": float, "walk_braces": int | None, "braces_without_strongback": int | None,
    "asked_one_missing_mph": float | None, "braces_ignored": int, "interrupted": bool,
})  # fmt: skip


class PlanJson(HookJson, _PlanKeys):
    """What `LayoutResult` gives beside what its check does."""


@frozen
class LayoutAsked:
    """What is asked of a layout beside the gust.

    Attributes:
        spacing: solve for this spacing as given, or None [in].
        angle: solve for this angle as given, or None [degrees].
        one_missing: gust at which any one brace may be gone, or None [mph].
        day_gust: gust of the day, for the hook [mph].
        others: look for alternatives too.
        fewest: the fewest braces, and not the least work.
        on_hand: whether what is on hand reaches for a layout.
    """

    spacing: Inch | None = declared(
        "length", "solve for this spacing", default=None, least=0.0, most=LONGEST_WALL
    )
    angle: float | None = declared("number", "solve for this angle", default=None, least=0.0, most=90.0)
    one_missing: Mph | None = declared("speed", "gust with any one brace gone", default=None, least=0.0)
    day_gust: Mph = declared("speed", "gust of the day, for the hook", default=DAY_GUST, least=0.0)
    others: bool = declared("flag", "look for alternatives too", default=False)
    fewest: bool = declared("flag", "the fewest braces, and not the least work", default=False)
    on_hand: Callable[[Job], bool] = enough_sticks


@frozen(eq=False)
class LayoutResult:
    """A layout.

    Attributes:
        before: the job as declared; braces in it were not kept.
        result: its check at the gust, on the job with the layout's braces, marked in the order they go up.
        scheme: what all braces have in common.
        grid: what was tried.
        minutes: the work it takes, for two people.
        least_work: no layout of the grid takes less.
        fewest: the fewest braces found; None where it has no more.
        cuts: how each brace is cut.
        cutting: which stick each piece comes from.
        stages: the wall after each brace, and after its tie rows.
        asked: what was asked beside the gust.
        refused: places no foot may stand.
        others: other layouts, beside this one.
        spread_braces: braces of the spread, before less was looked for; None where none passed the screen.
        without_row: braces it takes without the strongback it needs; None where it needs none, or nothing stands.
        interrupted: somebody stopped the search.
    """

    before: Job
    result: CheckResult
    scheme: Scheme
    grid: Grid
    minutes: float
    least_work: bool
    fewest: Fewest | None
    cuts: tuple[Cut, ...]
    cutting: CuttingPlan = field(repr=False)
    stages: tuple[Stage, ...]
    asked: LayoutAsked
    refused: tuple[Refused, ...] = field(repr=False)
    others: tuple[Alternative, ...] = ()
    spread_braces: int | None = None
    without_row: int | None = None
    interrupted: bool = False

    @property
    def job(self) -> Job:
        """The job with the layout's braces."""
        return self.result.job

    @property
    def recipe(self) -> Said:
        """What every one of its braces has in common; what only some have is among what is needed."""
        doubled = all(brace.stud_doubled for brace in self.job.braces)
        stiffened = all(brace.stiffener != "none" for brace in self.job.braces)
        stiffener = self.scheme.stiffener if stiffened else "none"
        return evolve(self.scheme, doubled=doubled, stiffener=stiffener).said

    @property
    def needed(self) -> tuple[Said, ...]:
        """What must be so, or be added, for it."""
        return needed_too(self.before, self.job, self.result)

    @property
    def buy(self) -> tuple[Item, ...]:
        """The parts list."""
        changes = changes_made(self.before, self.job)
        wall, new = self.job.wall, self.diagonals
        listed = parts_list(self.job, rows=self.new_rows, nails=nails_of(wall, new), changes=changes)
        return (*boards_of(wall, new), *listed)

    @property
    def diagonals(self) -> tuple[Diagonal, ...]:
        """Diagonals in the frame it needs that the wall did not have."""
        return diagonals_added(self.before, self.job)

    @property
    def new_rows(self) -> tuple[Row, ...]:
        """Rows across the studs it needs that the wall did not have."""
        return rows_added(self.before, self.job)

    @property
    def after_each(self) -> tuple[Mph, ...]:
        """Limit gust with the first brace up, the first two, and so on, no tie row on yet, unrounded [mph]."""
        return tuple(stage.limit for stage in self.stages if not (stage.ties or stage.corners))

    @property
    def hook(self) -> Hook:
        """When the hook comes off at the day's gust."""
        return Hook(self.job, self.asked.day_gust, self.stages)

    @property
    def hook_until(self) -> str | None:
        """Brace to be fully fastened before the hook comes off at the day's gust; None if that is too much."""
        return self.hook.until

    def to_dict(self) -> dict[str, object]:
        """Give the result as the JSON object of the design, section 12."""
        whole = self.result.to_dict()
        more: PlanJson = {
            "work_minutes": whole_up(self.minutes), "own_minutes": own_minutes(self.job),
            "proved_least_work": self.least_work,
            "fewest": None if self.fewest is None else self.fewest.to_dict(),
            "proved_least": self.grid.proved,
            "grid": {"recipes": self.grid.schemes, "makes": self.grid.spots, "layouts_with_fewer": self.grid.fewer,
                     "evaluated": self.grid.evaluated, "said": self.grid.said},
            "recipe": self.recipe, "needed_too": list(self.needed),
            "buy": [item.to_dict() for item in self.buy],
            "diagonals": [
                {"foot_ft": one.foot / 12.0, "head_ft": one.head / 12.0, "size": one.size, "kind": one.kind,
                 "length_ft": length_of(self.job.wall, one) / 12.0, "end_fastener": one.end_fastener,
                 "end_fasteners": one.end_fasteners}
                for one in self.diagonals
            ],
            "cutting": [stick.to_dict() for stick in self.cutting.sticks],
            "alternatives": [other.to_dict() for other in self.others],
            "after_each_mph": [whole_down(gust) for gust in self.after_each],
            "day_gust_mph": self.asked.day_gust, **self.hook.to_dict(), "walk_braces": self.spread_braces,
            "braces_without_strongback": self.without_row,
            "asked_one_missing_mph": self.asked.one_missing, "braces_ignored": len(self.before.braces),
            "interrupted": self.interrupted,
        }  # fmt: skip
        told = {
            "schema": str(whole["schema"]).replace("check", "layout"),
            "braces": self.laid,
            "verdict": self.result.as_drawn,
            "people_out": None,  # nobody is beside a plan
        }
        return {**whole, **told, **more}

    @property
    def laid(self) -> list[LaidJson]:
        """Its braces as JSON objects, in the order they go up."""
        rows = zip(self.job.braces, self.cuts, self.result.braces, strict=True)
        return [
            {
                **shown.to_dict(), "order": k, "stud": f"stud at {brace.stud_at / 12.0:.3f} ft", **cut.to_dict(),
                "stick": None if (stick := self.cutting.stick_of(brace.mark)) is None else stick.name,
                "ties": brace.ties, "stiffener": brace.stiffener, "stud_doubled": brace.stud_doubled,
                "head_fasteners": brace.head_fasteners, "cleat_fasteners": brace.cleat_fasteners,
                "floor_fasteners": brace.floor_fasteners, "foot_on": brace.foot_on,
                "into_joist": brace.foot_on == IN_JOIST,
            }
            for k, (brace, cut, shown) in enumerate(rows, start=1)
        ]  # fmt: skip


def lay_out(
    job: Job, *, gust: Mph, thunderstorm: bool = False, budget: float = BUDGET, asked: LayoutAsked | None = None,
    progress: Callable[[Said], None] = lambda _: None,
) -> LayoutResult:  # fmt: skip
    """Lay out the braces of a wall for a gust.

    Args:
        job: the job; braces in it are not kept.
        gust: the gust asked [mph].
        thunderstorm: the forecast says thunderstorms.
        budget: time for the search of fewer braces [s].
        asked: what is asked beside the gust.
        progress: told what is being done.

    Returns:
        The layout.

    Raises:
        NoLayoutError: none within the grid, or the wall or gust lies outside the envelope of use; says why.
        InputError: an angle no brace may stand at.
    """
    clock = Budget(held_value(budget, "time", "budget", least=0.0))
    return laid_within(job, gust, clock, thunderstorm=thunderstorm, asked=asked, progress=progress)


def laid_within(
    job: Job, gust: Mph, clock: Budget, *, thunderstorm: bool = False, asked: LayoutAsked | None = None,
    progress: Callable[[Said], None] = lambda _: None,
) -> LayoutResult:  # fmt: skip
    """Lay out the braces of a wall for a gust, as `lay_out` does, and leave on the clock what it took.

    Args:
        job: the job; braces in it are not kept.
        gust: the gust asked [mph].
        clock: the time for the search of fewer braces.
        thunderstorm: the forecast says thunderstorms.
        asked: what is asked beside the gust.
        progress: told what is being done.

    Raises:
        NoLayoutError: as `lay_out`.
        InputError: as `lay_out`.
    """
    held_part(job, Job, "job")
    gust, thunderstorm = (
        held_value(gust, "speed", "gust", least=0.0),
        held_value(thunderstorm, "flag", "thunderstorm"),
    )
    wanted = LayoutAsked() if asked is None else held_part(asked, LayoutAsked, "asked")
    speed = thunderstorm_gust(gust) if thunderstorm else gust
    bare = evolve(job, braces=(), built=None)
    _refuse(bare, speed, wanted.angle)
    space, answer = _answered(bare, speed, clock, wanted=wanted, thunderstorm=thunderstorm, progress=progress)
    if not answer.interrupted:
        fitted = with_fit_fasteners(space, answer.job)
        answer = evolve(answer, job=fitted, minutes=plan_minutes(space.job, fitted))
    others: tuple[Alternative, ...] = ()
    if wanted.others and not answer.interrupted:
        others = alternatives(space, answer, budget=clock.seconds, progress=progress, fewest=wanted.fewest)
    return _told(job, answer, gust, wanted=wanted, space=space, others=others)


def raised(known: LayoutResult, gust: Mph, *, thunderstorm: bool = False) -> LayoutResult | None:
    """Take a plan laid out for a lower gust at a higher one, where it stands at that too; None where it does not.

    Its joints are made good as those of any plan, each brace in turn off its mark. Nothing is proved of it.

    Args:
        known: the plan.
        gust: the higher gust [mph].
        thunderstorm: the forecast says thunderstorms.
    """
    speed, wanted = thunderstorm_gust(gust) if thunderstorm else gust, known.asked
    space = search_space(
        evolve(known.job, braces=()), speed, angle=wanted.angle, thunderstorm=thunderstorm,
        one_missing=wanted.one_missing, on_hand=wanted.on_hand,
    )  # fmt: skip
    stood = standing_moved(space, known.job) if space.made else None
    if stood is None:
        return None
    more = plan_minutes(space.job, stood) - plan_minutes(space.job, known.job)
    minutes = known.minutes - minutes_of(known.before, known.job) + more
    grid = evolve(known.grid, proved=False)
    answer = BestLayout(stood, known.scheme, grid, minutes, least_work=False, fewest=None, spread_braces=None)
    return _told(known.before, answer, gust, wanted=wanted, space=space)


def _told(
    job: Job, answer: BestLayout, gust: Mph, *, wanted: LayoutAsked, space: SearchSpace,
    others: tuple[Alternative, ...] = (),
) -> LayoutResult:  # fmt: skip
    """A plan with all that is told of it."""
    laid = _declared(evolve(job, braces=(), built=None), answer)
    result = check(laid, gust=gust, thunderstorm=space.thunderstorm, effects=False)
    if result.as_drawn not in (Verdict.WITHIN, Verdict.UNKNOWN):
        # It was made good by the same chain, which cannot differ; what nobody said may still be unknown.
        what = "a layout against its own check"
        raise AccuracyError(what, 1.0, 0.0)
    return LayoutResult(
        before=job, result=result, scheme=answer.scheme, grid=answer.grid,
        minutes=answer.minutes + minutes_of(job, laid),
        least_work=answer.least_work, fewest=answer.fewest,
        cuts=tuple(cut_of(laid, brace) for brace in laid.braces), cutting=cutting_plan(laid),
        stages=going_up(laid, thunderstorm=space.thunderstorm), asked=wanted, refused=space.refused,
        others=others, spread_braces=answer.spread_braces, without_row=answer.without_row,
        interrupted=answer.interrupted,
    )  # fmt: skip


def _answered(
    bare: Job, gust: Mph, clock: Budget, *, wanted: LayoutAsked, thunderstorm: bool,
    progress: Callable[[Said], None],
) -> tuple[SearchSpace, BestLayout]:  # fmt: skip
    """The layout with the first foot that stands; where none does, why the first did not that has anywhere to stand.

    A foot with which no brace gives more than with one that failed is not tried.
    """
    whys, failed = list[tuple[bool, NoLayoutError]](), list[Job]()
    for each in choices(bare):
        chosen = with_diagonals(each, gust, thunderstorm=thunderstorm)
        try:
            refuse_along(chosen, gust, thunderstorm=thunderstorm)
        except NoLayoutError as error:
            whys.append((True, error))
            continue
        if any(no_more(*(most_given(job, wanted.angle) for job in (chosen, other))) for other in failed):
            continue
        space = search_space(
            chosen, gust, angle=wanted.angle, thunderstorm=thunderstorm, one_missing=wanted.one_missing,
            on_hand=wanted.on_hand,
        )  # fmt: skip
        clock.beside[0] += space.tables.cost
        try:
            if wanted.spacing is not None:
                return space, at_spacing(space, wanted.spacing)
            return space, least(space, clock, progress, fewest=wanted.fewest)
        except NoLayoutError as error:
            whys.append((bool(space.made), error))
            failed += [chosen] if space.made else []
    raise next((error for stood, error in whys if stood), whys[0][1])


def _refuse(job: Job, gust: Mph, angle: float | None) -> None:
    outside = beyond(job, gust)
    if outside:
        raise NoLayoutError(Said("for-an-engineer", why=outside), 0)
    if angle is not None and not ANGLES[0] <= angle <= ANGLES[1]:
        where, expected = "--angle", "25 to 65 degrees from the floor"
        raise InputError.of(where, f"{angle:g}", expected)


def _declared(bare: Job, answer: BestLayout) -> Job:
    """The layout's job, in which what was chosen is declared: it is needed, and no longer assumed."""
    job = answer.job
    if "kit.ties" not in bare.declared:
        job = evolve(job, kit=evolve(job.kit, ties=answer.scheme.ties))
    names = [a.name for a in Brace.__attrs_attrs__]
    braces = {f"brace[{k}].{name}" for k in range(len(job.braces)) for name in names}
    return evolve(job, declared=job.declared | braces | set(chosen_paths(bare, job)) | no_part(bare))


def alternatives(
    space: SearchSpace, answer: BestLayout, *, budget: float, progress: Progress, fewest: bool = False
) -> tuple[Alternative, ...]:
    """Look for other layouts of the same wall; none of them is proved to be the least of its kind.

    Args:
        space: the wall with its pools.
        answer: the layout found.
        budget: time for all of them [s].
        progress: told what is being done.
        fewest: the fewest braces were asked for.

    Returns:
        The answer first, then the others; nothing where it stands alone.
    """
    first = Said("fewest-braces") if fewest else Said("least-work")
    if answer.scheme.strongback:
        first = Said("fewest-braces-and-strongback") if fewest else Said("least-work-and-strongback")
    found = [_weighed(space, first, answer)]
    looks = [(what, space.only(wanted), fewest) for what, wanted in KINDS if not wanted(answer.scheme)]
    if answer.fewest is not None:
        looks.insert(0, (Said("fewest-braces"), space, True))
    try:
        for what, here, few in looks:
            progress(Said("looking-for-another", what=what))
            other = quick(here, budget / len(KINDS), fewest=few)
            if other is not None:
                found.append(_weighed(space, what, other))
    except KeyboardInterrupt:
        return ()
    kept = undominated(found)
    return tuple(kept) if len(kept) > 1 else ()


def _weighed(space: SearchSpace, what: Said, answer: BestLayout) -> Alternative:
    limit = limit_gust(build_model(answer.job, thunderstorm=space.thunderstorm))
    count = sum(fasteners_needed(answer.job).values())
    return Alternative(
        what,
        answer.job,
        answer.scheme,
        board_feet(answer.job, rows=rows_added(space.job, answer.job)),
        count,
        limit,
        answer.minutes,
    )


def undominated(found: list[Alternative]) -> list[Alternative]:
    """Drop a layout that another beats or equals in everything; of equals the first stays.

    Args:
        found: the layouts.
    """
    kept: list[Alternative] = []
    for k, one in enumerate(found):
        beaten = any(
            all(a <= b for a, b in zip(other.costs, one.costs, strict=True))
            and (other.costs != one.costs or i < k)
            for i, other in enumerate(found)
            if i != k
        )
        if not beaten:
            kept.append(one)
    return kept
