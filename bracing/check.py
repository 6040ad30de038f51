"""`check`: a wall as it stands. Every link, the limit gust, the clear-out gust, what gives first, what was assumed."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property
from typing import TypedDict

from attrs import evolve, field, frozen

from bracing.chain.assumed import at_usual, keeps_panel, places, undeclared
from bracing.chain.evaluate import (
    Evaluation,
    Limits,
    evaluate,
    limit_and_chain,
    limit_but_for,
    limit_gust,
    limits_from,
    one_lost,
    one_missing,
)
from bracing.chain.groups import along_groups
from bracing.chain.least import least_limit
from bracing.chain.links import HIGHEST, Direction, Link, LinkId, LinkJson, finite
from bracing.chain.model import Model, build_model, with_job
from bracing.chain.returns import asked_by_returns, said_of_returns
from bracing.chain.room import warned
from bracing.choosing import over, whole_down, whole_up
from bracing.codes.basis import IN_USE, Basis, basis_of, with_basis
from bracing.codes.gusts import (
    clear_zone,
    construction_period_factor,
    equivalent_gust_of_design,
    people_may_stay,
    thunderstorm_gust,
)
from bracing.codes.pressures import net_pressure
from bracing.job.envelope import GapJson, beyond, gaps, warnings
from bracing.job.fields import held_part, held_value, value_at, with_value
from bracing.job.floor import storey_declared
from bracing.job.job import EDITION, NO_FILE, Job
from bracing.results import (
    CAUTIONS,
    LIMIT_STATEMENT,
    BraceJson,
    BraceResult,
    HeaderJson,
    LoadsJson,
    brace_results,
    by_mark,
    header,
    least_by_mark,
    load_results,
    unknown_said,
)
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.units import Inch, Mph

METER_HEIGHT: Inch = 60.0  # a meter is read 5 ft above the deck

AssumedJson = TypedDict("AssumedJson", {
    "field": str, "value": object, "usual": object, "why": Said | str, "effect_mph": float | None,
})  # fmt: skip
FirstJson = TypedDict("FirstJson", {
    "link": str, "direction": Direction, "mark": str | None, "x_ft": float | None,
})  # fmt: skip
WentCauseJson = TypedDict("WentCauseJson", {
    "field": str, "was": object, "now": object, "limit_gust_else_mph": int,
})  # fmt: skip
WentJson = TypedDict("WentJson", {
    "edition": int, "limit_gust_then_mph": int, "limit_gust_now_mph": int, "causes": list[WentCauseJson],
})  # fmt: skip
ZoneJson = TypedDict("ZoneJson", {
    "inside": float, "outside": float,
})  # fmt: skip
ConstructionWindJson = TypedDict("ConstructionWindJson", {
    "design_speed_mph": float, "factor": float, "equivalent_gust_mph": float,
})  # fmt: skip
_CheckedKeys = TypedDict("_CheckedKeys", {
    "wall": str, "state": str, "gust_mph": float | None, "verdict": Verdict | None, "limit_gust_mph": int | None,
    "limit_gust_with_people_mph": int | None,
    "limit_gust_without_weight_mph": int | None, "limit_gust_along_mph": int | None,
    "clear_out_gust_mph": int | None, "people_out": bool | None, "clear_out_on_meter_mph": int | None,
    "limit_gust_one_missing_mph": int | None,
    "one_missing_mph": dict[str, int], "limit_gust_one_lost_mph": int | None, "one_lost_mph": dict[str, int],
    "gives_first": FirstJson | None, "statement": Said, "zone_ft": ZoneJson,
    "pressure_psf": float | None, "loads_gust_mph": float | None,
    "construction_period_wind": ConstructionWindJson | None,
    "went": WentJson | None,
    "engineer": list[Said], "warnings": list[Said], "gaps": list[GapJson],
    "assumed": list[AssumedJson], "cautions": list[Said],
    "braces": list[BraceJson], "links": list[LinkJson], "loads": LoadsJson | None,
})  # fmt: skip


class CheckedJson(HeaderJson, _CheckedKeys):
    """What `CheckResult` gives."""


@frozen
class Assumed:
    """One field that took its low default.

    Attributes:
        field: dotted path.
        value: the low default.
        why: why it is the low one.
        effect: what it costs [mph]; None where it was not worked out.
        usual: what crews usually have; None where it was not worked out.
    """

    field: str
    value: object
    why: Said | str
    effect: Mph | None
    usual: object = None

    def to_dict(self) -> AssumedJson:
        """Give it as the JSON object of the design, section 12."""
        return {
            "field": self.field,
            "value": self.value,
            "usual": self.usual,
            "why": self.why,
            "effect_mph": self.effect,
        }


@frozen
class WentCause:
    """One thing that moved the limit gust of a file of an older edition.

    Attributes:
        field: dotted path of a field nobody declared, or of the load that no longer counts.
        was: the value that counted then.
        now: the value that counts.
        else_at: limit gust with this alone undone [mph].
    """

    field: str
    was: object
    now: object
    else_at: Mph


@frozen
class Went:
    """How far the limit gust of a file of an older edition went, each cause that can be undone being undone.

    Attributes:
        edition: of the file.
        then: limit gust with them undone [mph].
        now: limit gust [mph].
        causes: those that move it, each undone alone.
    """

    edition: int
    then: Mph
    now: Mph
    causes: tuple[WentCause, ...]

    def to_dict(self) -> WentJson:
        """Give it as a JSON object."""
        return {
            "edition": self.edition, "limit_gust_then_mph": whole_down(self.then),
            "limit_gust_now_mph": whole_down(self.now),
            "causes": [
                {"field": one.field, "was": one.was, "now": one.now, "limit_gust_else_mph": whole_down(one.else_at)}
                for one in self.causes
            ],
        }  # fmt: skip


@frozen(eq=False)
class CheckResult:
    """A wall checked.

    Attributes:
        job: the job.
        gust: the gust asked; None where none was [mph].
        thunderstorm: the forecast says thunderstorms.
        as_drawn: within, over, unknown, engineer of the wall stood up as it is on file; None where no gust was asked.
        limits: limit gust, and that with people about, unrounded; None beyond the envelope.
        evaluation: the chain at the gust asked, or at the limit gust.
        model: the model behind it.
        effects: work out what each assumption costs.
        beyond: why the answer is "engineer".
        basis: what gives pressures and strengths.
    """

    job: Job
    gust: Mph | None
    thunderstorm: bool
    as_drawn: Verdict | None
    limits: Limits | None
    evaluation: Evaluation | None = field(repr=False)
    model: Model | None = field(repr=False)
    effects: bool = True
    beyond: tuple[Said, ...] = ()
    basis: Basis = IN_USE

    @property
    def verdict(self) -> Verdict | None:
        """Of the wall where it is now: as drawn, or not up; None where no gust was asked."""
        return self.as_drawn if self.job.wall.up or self.as_drawn is None else Verdict.NOT_UP

    @property
    def unknown(self) -> bool:
        """Whether nobody said something without which it is never within: a row's tie, the storey below."""
        return bool(unknown_said(self.job))

    @cached_property
    def known_limit(self) -> Mph:
        """Limit gust of all that is known, unrounded: a row of trusses nobody tied gives 0 and is not; 0 beyond [mph].

        Over it a wall is over, whatever nobody said.
        """
        if self.model is None or self.limit is None:
            return 0.0
        untied = any(one.untied for one in self.job.wall.above)
        return limit_but_for(self.model, LinkId.ROW_TIE) if untied else self.limit

    def at(self, gust: Mph) -> Verdict:
        """Say what it is at another gust of the same wind, as both are printed.

        Args:
            gust: the gust [mph].
        """
        return Verdict.at(gust, whole_down(self.known_limit), unknown=self.unknown)

    @cached_property
    def assumed(self) -> tuple[Assumed, ...]:
        """What took its low default; worked out when first asked."""
        if self.model is None:
            return ()
        return _assumed(self.job, thunderstorm=self.thunderstorm, effects=self.effects, basis=self.basis)

    @property
    def older(self) -> bool:
        """Whether its braces stand in a file of an older edition."""
        return self.job.edition < EDITION and self.job.file != NO_FILE and bool(self.job.braces)

    @cached_property
    def went(self) -> Went | None:
        """What moved the limit gust of a file of an older edition; None where nothing did."""
        if self.model is None or self.limits is None or not self.effects or not self.older:
            return None
        return _went(self.model, self.limits, thunderstorm=self.thunderstorm)

    @cached_property
    def warnings(self) -> tuple[Said, ...]:
        """Inside the envelope and still poor practice, and joints with too little room."""
        if self.model is None:
            return warnings(self.job)
        return (*warned(self.job), *said_of_returns(self.job), *self.said_of_corners, *self._handed_down)

    @property
    def _handed_down(self) -> tuple[Said, ...]:
        """What a declared storey below takes of the wall: the level load, at the gust evaluated."""
        if self.evaluation is None or not storey_declared(self.job):
            return ()
        load = Quantity(load_results(self.evaluation)["total_lb"], Kind.LOAD)
        return (Said("storey-takes", load=load, gust=Quantity(self.evaluation.gust, Kind.ASKED)),)

    @cached_property
    def said_of_corners(self) -> tuple[Said, ...]:
        """What a corner brings and costs: the wind it catches, the load it draws, and what it is held down by."""
        if (
            self.model is None
            or self.limit is None
            or "return" not in (self.job.wall.left_end, self.job.wall.right_end)
        ):
            return ()
        wall = evolve(self.job.wall, left_end="free", right_end="free")
        free = build_model(evolve(self.job, wall=wall), thunderstorm=self.thunderstorm, basis=self.basis)
        before, said = limit_gust(free), list[Said]()
        more = round(100.0 * (self.model.cases.pressures.mean / free.cases.pressures.mean - 1.0))
        if whole_down(self.limit) < whole_down(before):
            now, then = (Quantity(gust, Kind.GUST) for gust in (self.limit, before))
            first = self.gives_first
            link = "" if first is None else str(first.link)
            if more > 0:
                said.append(Said("corner-catches-wind", more=more, now=now, then=then, link=link))
            else:
                said.append(Said("corner-draws-load", now=now, then=then, link=link))
        return (*said, *asked_by_returns(self.job))

    @cached_property
    def missing(self) -> tuple[Mph, ...]:
        """Limit gust with each brace in turn gone, unrounded; worked out when first asked [mph]."""
        return () if self.model is None else one_missing(self.model)

    @cached_property
    def lost(self) -> tuple[Mph, ...]:
        """Gust in which each brace in turn may be lost, unrounded, never above that of `missing` [mph]."""
        return () if self.model is None else one_lost(self.model, self.missing)

    @cached_property
    def limit_without_weight(self) -> int | None:
        """Limit gust if no weight held the plate down against lift, rounded down; None beyond the envelope [mph]."""
        if self.model is None or self.limit is None:
            return None
        return whole_down(limit_gust(evolve(self.model, weighs=False)) if self.job.braces else self.limit)

    @cached_property
    def limit_along(self) -> int | None:
        """Gust at which the first link along the wall reaches its limit, rounded down; None beyond the envelope [mph].

        It is one of those the limit gust is the least of.
        """
        return None if self.model is None else whole_down(least_limit(along_groups(self.model)))

    @property
    def limit(self) -> Mph | None:
        """Limit gust, unrounded; None beyond the envelope [mph]."""
        return None if self.limits is None else self.limits.limit

    @property
    def limit_whole(self) -> int | None:
        """Limit gust as printed, rounded down [mph]."""
        return None if self.limit is None else whole_down(self.limit)

    @property
    def limit_with_people(self) -> int | None:
        """Limit gust with people on the wall and beside it, as printed, rounded down [mph]."""
        return None if self.limits is None else whole_down(self.limits.with_people)

    @property
    def clear_out(self) -> int | None:
        """Clear-out gust, from the limit as printed, rounded down [mph]."""
        return None if self.limits is None else self.limits.clear_out

    @property
    def people_out(self) -> bool | None:
        """Whether people must be out at the gust asked; None where none was, and of a wall that is not up."""
        if self.gust is None or not self.job.wall.up:
            return None
        return not people_may_stay(self.clear_out or 0, self.gust)

    @property
    def clear_out_on_meter(self) -> int | None:
        """What a meter held 5 ft above the deck shows then, rounded down [mph]."""
        if self.clear_out is None:
            return None
        height = self.job.height_of_a_meter + METER_HEIGHT
        return whole_down(self.basis.meter_gust(self.clear_out, self.job.site, height))

    @property
    def one_missing(self) -> int | None:
        """Limit gust with the brace that matters most gone, rounded down [mph]."""
        least = least_by_mark(self.job, self.missing)
        return least and least[0]

    @property
    def one_lost(self) -> tuple[int, str] | None:
        """Gust in which any one brace may be lost, rounded down, and which matters most; None without braces [mph]."""
        return least_by_mark(self.job, self.lost)

    @property
    def matters_most(self) -> str | None:
        """Mark of the brace whose loss costs most, of the same the first; None without braces."""
        least = least_by_mark(self.job, self.missing)
        return least and least[1]

    @property
    def gives_first(self) -> Link | None:
        """The link with the lowest limit gust; None where there is no brace: nothing holds the wall at all."""
        if not self.job.braces or self.evaluation is None:
            return None
        return self.evaluation.first

    @property
    def links(self) -> tuple[Link, ...]:
        """Every link at the gust evaluated, the lowest limit gust first; none beyond the envelope."""
        return () if self.evaluation is None else self.evaluation.links

    @property
    def zone(self) -> tuple[Inch, Inch]:
        """Depth of the clear zone on the brace side and outside, from the wall, and past both ends [in]."""
        high = self.job.wall.highest
        return clear_zone(high), clear_zone(high, drop=self.job.floor.height_above_ground)

    @property
    def pressure_psf(self) -> float | None:
        """Mean pressure of case A at the gust evaluated [psf]."""
        if self.evaluation is None or self.model is None:
            return None
        wind = self.model.cases.pressures
        return net_pressure(wind.at(self.evaluation.gust), wind.mean)

    @property
    def braces(self) -> tuple[BraceResult, ...]:
        """Each brace with its largest push and pull."""
        return brace_results(self.job, self.model, self.evaluation)

    @property
    def construction_wind(self) -> ConstructionWindJson | None:
        """The other reading: design speed for the time it stands, as an equivalent gust; None if not declared."""
        site = self.job.site
        if site.design_speed is None or site.stands is None:
            return None
        factor = construction_period_factor(site.stands)
        return {
            "design_speed_mph": site.design_speed,
            "factor": factor,
            "equivalent_gust_mph": equivalent_gust_of_design(site.design_speed, factor=factor),
        }

    def to_dict(self) -> CheckedJson:
        """Give the result as the JSON object of the design, section 12."""
        first, evaluation = self.gives_first, self.evaluation
        return {
            **header(self.job, "check"),
            "wall": self.job.wall.name,
            "state": self.job.state,
            "gust_mph": self.gust,
            "verdict": self.verdict,
            "limit_gust_mph": self.limit_whole,
            "limit_gust_with_people_mph": self.limit_with_people,
            "limit_gust_without_weight_mph": self.limit_without_weight,
            "limit_gust_along_mph": self.limit_along,
            "clear_out_gust_mph": self.clear_out,
            "people_out": self.people_out,
            "clear_out_on_meter_mph": self.clear_out_on_meter,
            "limit_gust_one_missing_mph": self.one_missing,
            "one_missing_mph": by_mark(self.job, self.missing),
            "limit_gust_one_lost_mph": self.one_lost and self.one_lost[0],
            "one_lost_mph": by_mark(self.job, self.lost),
            "gives_first": None if first is None else {
                "link": first.link, "direction": first.direction, "mark": first.mark,
                "x_ft": None if first.x is None else first.x / 12.0,
            },
            "statement": LIMIT_STATEMENT,
            "zone_ft": {"inside": self.zone[0] / 12.0, "outside": self.zone[1] / 12.0},
            "pressure_psf": None if self.pressure_psf is None else finite(self.pressure_psf),
            "loads_gust_mph": None if evaluation is None else evaluation.gust,
            "construction_period_wind": self.construction_wind,
            "went": None if self.went is None else self.went.to_dict(),
            "engineer": list(self.beyond),
            "warnings": list(self.warnings),
            "gaps": [gap.to_dict() for gap in gaps(self.job)],
            "assumed": [item.to_dict() for item in self.assumed],
            "cautions": list(CAUTIONS),
            "braces": [brace.to_dict() for brace in self.braces],
            "links": [] if evaluation is None else link_rows(evaluation),
            "loads": None if evaluation is None else load_results(evaluation),
        }  # fmt: skip


def check(
    job: Job,
    *,
    gust: Mph | None = None,
    thunderstorm: bool = False,
    effects: bool = True,
    basis: Basis | None = None,
) -> CheckResult:
    """Check a wall as it stands.

    Args:
        job: the job.
        gust: the gust asked: an actual 3-second gust at 33 ft in open country [mph]; None for the limits alone.
        thunderstorm: the forecast says thunderstorms: plans at no less than 58 mph, with an outflow's profile.
        effects: work out what each assumption costs.
        basis: what gives pressures and strengths; that of the job unless given. The stiffness of the frame is that of
            the one in use.

    Returns:
        The result.

    Raises:
        InputError: a brace that is on no full-height stud.

    Example:
        >>> from bracing.job.wall import Wall
        >>> bare = Job(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0))))
        >>> check(bare, gust=20.0, effects=False).verdict.value
        'over'
    """
    held_part(job, Job, "job")
    gust, effects = held_value(gust, "speed", "gust", least=0.0), held_value(effects, "flag", "effects")
    thunderstorm = held_value(thunderstorm, "flag", "thunderstorm")
    asked = thunderstorm_gust(gust) if gust is not None and thunderstorm else gust
    job = with_basis(job, basis)
    basis = basis_of(job)
    outside = beyond(job, asked)
    if outside:
        verdict = None if gust is None else Verdict.ENGINEER
        return CheckResult(job, asked, thunderstorm, verdict, None, None, None, beyond=outside, basis=basis)
    model = build_model(job, thunderstorm=thunderstorm, basis=basis)
    limit, chain = limit_and_chain(model)
    at = asked if asked is not None else limit
    evaluation = evaluate(model, at, chain)
    return CheckResult(
        job=job,
        gust=asked,
        thunderstorm=thunderstorm,
        as_drawn=None if asked is None else verdict_of(evaluation, limit, job),
        limits=limits_from(model, limit),
        evaluation=evaluation,
        model=model,
        effects=effects,
        basis=basis,
    )


def reached_at(link: Link, loose: Collection[str]) -> Mph | None:
    """Give the gust a link reaches its limit at, on every screen the same [mph].

    A link no gust brings to its limit has none; what is worth nothing while the wall can still move has 0, as the wall.

    Args:
        link: the link.
        loose: the directions in which the wall can still move.
    """
    if link.nothing and link.direction in loose:
        return 0.0
    return finite(link.limit_gust) if link.limit_gust < HIGHEST else None


def link_rows(evaluation: Evaluation) -> list[LinkJson]:
    """Give the links as JSON objects, each with the gust it reaches its limit at.

    Args:
        evaluation: the chain evaluated.
    """
    loose = evaluation.loose
    return [{**link.to_dict(), "limit_gust_mph": reached_at(link, loose)} for link in evaluation.links]


def verdict_of(evaluation: Evaluation, limit: Mph, job: Job) -> Verdict:
    """Within where every ratio is at most 1 and no lower gust is the limit.

    Unknown where it is so but for what nobody said: the tie of a row of trusses, the storey below.
    """
    if any(one.untied for one in job.wall.above):
        known = tuple(group for group in evaluation.groups if group.link is not LinkId.ROW_TIE)
        return Verdict.OVER if over(evolve(evaluation, groups=known).worst, 1.0) else Verdict.UNKNOWN
    if not evaluation.groups or over(evaluation.gust, limit):
        return Verdict.OVER
    # Of braces that all work both ways none is over under the limit gust; others may work in other numbers there.
    within = evaluation.forces[1].turned or not over(evaluation.worst, 1.0)
    if not within:
        return Verdict.OVER
    return Verdict.UNKNOWN if unknown_said(job) else Verdict.WITHIN


def _went(model: Model, limits: Limits, *, thunderstorm: bool) -> Went | None:
    """Undo one by one, and then all together, what an older edition counted otherwise."""
    job, now = model.job, limits.limit
    undone, causes = job, []
    for row in undeclared(job):
        if row.was is None:
            continue
        alone = job
        for path in places(job, row):
            alone, undone = with_value(alone, path, row.was), with_value(undone, path, row.was)
        then = limit_gust(build_model(alone, thunderstorm=thunderstorm, basis=model.basis))
        if whole_down(then) != whole_down(now):
            causes.append(WentCause(row.field, row.was, value_at(job, places(job, row)[0]), then))
    if whole_down(limits.with_people) != whole_down(now):
        causes.append(WentCause("site.top_load", job.site.top_load, 0.0, limits.with_people))
    before = build_model(undone, thunderstorm=thunderstorm, basis=model.basis)
    then = limits_from(before, limit_gust(before)).with_people if causes else now
    return None if whole_down(then) == whole_down(now) else Went(job.edition, then, now, tuple(causes))


def _assumed(job: Job, *, thunderstorm: bool, effects: bool, basis: Basis) -> tuple[Assumed, ...]:
    rows = undeclared(job)
    usual = at_usual(job, rows) if effects else job
    model = build_model(usual, thunderstorm=thunderstorm, basis=basis) if effects else None
    best = None if model is None else limit_gust(model)
    listed = []
    for row in rows:
        paths = places(job, row)
        effect = None if best is None else 0.0
        if model is not None and best is not None and row.usual != value_at(job, paths[0]):
            low = usual
            for path in paths:
                low = with_value(low, path, value_at(job, path))
            if keeps_panel(row):
                with_low = limit_gust(with_job(model, low))
            else:
                with_low = limit_gust(build_model(low, thunderstorm=thunderstorm, basis=basis))
            effect = float(max(0, whole_up(best - with_low)))
        name = paths[0] if len(paths) == 1 else row.field
        listed.append(Assumed(name, value_at(job, paths[0]), row.why, effect, row.usual))
    return tuple(sorted(listed, key=lambda item: -(item.effect or 0.0)))
