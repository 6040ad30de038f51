"""The least work that covers the worst hour, in the order a crew does it.

A storm's profile only scales the pressure, so the hour with the greatest pressure is the worst for every
link, and one limit gives that of every other hour.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

from attrs import evolve, field, frozen

from bracing.chain.evaluate import Limited, Limits, evaluate, limits, worst_ratio
from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import ALONG, Link
from bracing.chain.model import Model, build_model, with_job
from bracing.chain.room import EXTRA, EXTRA_ROW, most_in, warned, within_room
from bracing.choosing import Budget, lowest, over, sorted_by, whole_down, whole_up
from bracing.codes.basis import basis_of
from bracing.job.brace import IN_BLOCK, IN_JOIST, JOINTS, LEAST_REACH, ON_CROSS, ON_PANEL, Brace, JointId
from bracing.job.diagonals import Diagonal
from bracing.job.envelope import FAIR_HEAD
from bracing.job.fields import value_at
from bracing.job.floor import Joists
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job
from bracing.job.wall import Plate, Wall
from bracing.layout.candidates import FOOT_STEP
from bracing.layout.diagonals import diagonals_added, with_diagonals
from bracing.layout.spots import Refused, Spot, find_spots
from bracing.said import Said
from bracing.sources import shipped
from bracing.storm.forecast import Forecast, Hour
from bracing.units import Inch, Mph
from bracing.work.added import fall
from bracing.work.parts import Parts, block, parts_for
from bracing.work.remedies import (
    MORE,
    OF_BLOCKS,
    SIDES,
    Change,
    RemedyId,
    apply,
    differences,
    minutes,
    options_for,
    order,
    remedies,
    with_blocks,
)
from bracing.work.words import brace_words, into_ends, work_words

LADDER_BUDGET = 10.0  # for the search of the least work [s]
LEAST_GUST: Mph = 5.0  # the tool covers no less; a calmer hour is checked at this


def profile(job: Job, *, thunderstorm: bool) -> float:
    """Give the velocity pressure of a gust of 1 mph on a wall, in one of the two profiles.

    Args:
        job: the job.
        thunderstorm: profile of an outflow.

    Returns:
        The pressure [psf].
    """
    above = job.floor.height_above_ground
    return basis_of(job).velocity_pressure(job.site, job.wall.highest, above, thunderstorm=thunderstorm)


def worst_hour(job: Job, forecast: Forecast) -> Hour:
    """Give the hour with the greatest pressure; of equals the first.

    Args:
        job: the job.
        forecast: the forecast.
    """
    return max(
        forecast.hours,
        key=lambda h: (profile(job, thunderstorm=h.thunderstorm) * h.gust**2, -h.start.timestamp()),
    )


def _covered(gust: Mph) -> Mph:
    return max(gust, LEAST_GUST)


@frozen(eq=False)
class WorstHour:
    """A wall in its worst hour. Grillages are kept, as most changes leave them as they are, and so is what is over.

    Attributes:
        gust: the gust of that hour [mph].
        thunderstorm: with the profile of an outflow.
        clock: how much of the budget is left; what is asked takes its part.
    """

    gust: Mph = field(converter=_covered)
    thunderstorm: bool = field(kw_only=True)
    clock: Budget = field(factory=lambda: Budget(LADDER_BUDGET), kw_only=True, repr=False)
    _models: dict[object, Model] = field(factory=dict, init=False, repr=False)
    _over: dict[Job, tuple[Link, ...] | None] = field(factory=dict, init=False, repr=False)
    _worst: dict[Job, float] = field(factory=dict, init=False, repr=False)

    def model(self, job: Job) -> Model:
        """Give the model of a job.

        Args:
            job: the job.
        """
        self.clock.spend_on_wall(len(job.braces))
        key = _grillage(job)
        known = self._models.get(key)
        if known is None:
            known = self._models[key] = build_model(job, thunderstorm=self.thunderstorm)
        if known.job == job:
            return known
        return with_job(known, job)

    def over(self, job: Job) -> tuple[Link, ...] | None:
        """Give the links over their value in the worst hour, worst first.

        Where the wall can still move they are the links for which a brace counts for nothing; None where all
        braces count.

        Args:
            job: the job.
        """
        if job in self._over:
            self.clock.spend_on_wall(len(job.braces))
        else:
            self._over[job] = self._links_over(self.model(job))
        return self._over[job]

    def _links_over(self, model: Model) -> tuple[Link, ...] | None:
        here = evaluate(model, self.gust)
        return here.over if here.held else worth_nothing(model) or None

    def covers(self, job: Job) -> bool:
        """Whether a job is within in the worst hour.

        Args:
            job: the job.
        """
        if job in self._worst:
            self.clock.spend_on_wall(len(job.braces))
        else:
            self._worst[job] = worst_ratio(self.model(job), self.gust)
        return not over(self._worst[job], 1.0)

    def limits(self, job: Job) -> Limits:
        """Give the limit gust in the worst hour's profile, and that with people about, unrounded.

        Args:
            job: the job.
        """
        return limits(self.model(job))


def worth_nothing(model: Model) -> tuple[Link, ...]:
    """Give the links for which a brace counts for nothing, push first.

    Args:
        model: the model.
    """
    return tuple(
        Link(
            s.link, direction, strength.brace.mark, x, 0.0, 0.0, s.unit, math.inf, 0.0, s.source, s.why, s.known
        )
        for direction in DIRECTIONS
        for x, strength in zip(model.studs, model.strengths, strict=True)
        for s in getattr(strength, direction)
        if s.capacity <= 0.0
    )  # fmt: skip


def _grillage(job: Job) -> object:
    """What the grillage and its loads hang on; fasteners, straps and spacings leave it as it is."""
    wall: Wall = evolve(
        job.wall,
        plate=Plate(),
        top_plate=evolve(job.wall.top_plate, strap_at_brace_lb=0.0),
        openings=tuple(evolve(opening, header_nails=0) for opening in job.wall.openings),
    )
    braces = tuple((brace.stud_at, brace.head, brace.stud_doubled) for brace in job.braces)
    return wall, job.floor, job.site, braces


def limits_in(job: Job, found: Limits, *, worst: bool, hour: bool) -> Limits:
    """Give the limit gusts found in one profile as they are in another.

    Args:
        job: the job.
        found: the limit gusts.
        worst: the profile it was found in is an outflow's.
        hour: the profile asked is an outflow's.

    Every load of the wind is as its pressure, and that as the gust squared.

    Source: STATICS.
    """
    if worst == hour:
        return found
    part = math.sqrt(profile(job, thunderstorm=worst) / profile(job, thunderstorm=hour))
    return Limits(found.limit * part, found.with_people * part)


# -- one more brace ---------------------------------------------------------------------------------------

LONGEST: Inch = 276.0  # what a stick of 24 ft gives, cut
BELOW_PLATES: Inch = 6.0
SAME_STUD: Inch = 1.0
OFF_SLAB = "not slab"  # when work that is fastened into the floor can be done to a standing wall
FREE_END = 2.0  # a gap at a free end counts as this many times its width
BESIDE = 3.0  # a gap beside the place that needs help counts as this many times its width
ANGLES = (45.0, 50.0, 55.0, 40.0)


def add_brace(job: Job, framing: Framing, beside: Inch | None = None) -> Job | None:
    """Add one brace; None where no stud has a spot for one more.

    Args:
        job: the job.
        framing: its sticks.
        beside: the place that needs help most, which draws it into a gap beside it [in]; or None.
    """
    studs = [s.x for s in framing.full_height_studs]
    studs = [x for x in studs if all(abs(x - brace.stud_at) > SAME_STUD for brace in job.braces)]
    for x in sorted_by(studs, *(lambda x, k=k: _distance(job, x, beside)[k] for k in (0, 1))):
        made = _on_stud(job, x)
        if made is not None:
            return evolve(with_blocks(job, made), braces=(*job.braces, made))
    return None


def _distance(job: Job, x: Inch, beside: Inch | None) -> tuple[float, float]:
    """Order of places: the widest gap first, in it the middle."""
    length = job.wall.length
    marks = sorted(brace.stud_at for brace in job.braces)
    if not marks:
        return 0.0, abs(x - length / 2.0)
    spans = [(low, high, (high - low) * FREE_END) for low, high in ((0.0, marks[0]), (marks[-1], length))]
    spans += [(low, high, high - low) for low, high in pairwise(marks)]
    low, high, size = next(s for s in spans if s[0] - 1e-6 <= x <= s[1] + 1e-6)
    if beside is not None and low - SAME_STUD <= beside <= high + SAME_STUD:
        size *= BESIDE
    return -size, abs(x - (low + high) / 2.0)


def _on_stud(job: Job, x: Inch) -> Brace | None:
    """A brace like its neighbours where a foot may stand; else flatter or steeper."""
    made = shipped("remedies")["added_brace"]
    near = lowest(job.braces, lambda b: abs(b.stud_at - x)) if job.braces else None
    top = job.wall.height_at(x)
    part = FAIR_HEAD if near is None else near.head / job.wall.height_at(near.stud_at)
    like = whole_down(part * top / FOOT_STEP) * FOOT_STEP
    least = whole_up(FAIR_HEAD * top / FOOT_STEP) * FOOT_STEP
    head = min(max(like, least), top - BELOW_PLATES)
    size = "2x6" if near is None else near.size
    aims = ANGLES if near is None else (math.degrees(near.angle), *ANGLES)
    for aim in aims:
        back = whole_down(head / math.tan(math.radians(aim)) / FOOT_STEP + 0.5) * FOOT_STEP
        if min(head, back) < LEAST_REACH or math.hypot(back, head) > LONGEST:
            continue
        spots = find_spots(job, stud=x, head=head, set_back=back, size=size)
        if not isinstance(spots, Refused):
            spot, on = _foot_of(job, spots)
            sides = job.kit.cleat.sides
            bare = Brace(
                mark=_next_mark(job), stud_at=x, lap_side=spot.lap_side, head=head, set_back=back, size=size,
                ties=job.tie_rows, foot_on=on,
            )  # fmt: skip
            counts = [n * each for n, each in zip(made["counts"], (1, sides, sides), strict=True)]
            full = evolve(bare, **dict(zip(JOINTS, counts, strict=True)))
            there = with_blocks(job, full)
            return evolve(
                full, **{name: min(getattr(full, name), most_in(there, bare, name)) for name in JOINTS}
            )
    return None


def _foot_of(job: Job, spots: tuple[Spot, ...]) -> tuple[Spot, str]:
    """The foot that is tried first, and what it is on: cross cleats only where others stand on some already."""
    crossed = any(brace.foot_on == ON_CROSS for brace in job.braces)
    fit = next((spot for spot in spots if crossed or spot.wood.on != ON_CROSS), None)
    return (fit, fit.wood.on) if fit is not None else (spots[0], ON_PANEL)


def _next_mark(job: Job) -> str:
    used = {brace.mark for brace in job.braces}
    return next(f"B{k}" for k in range(1, 1000) if f"B{k}" not in used)


ROUNDS = 30
SAME: Mph = 1e-6
PREFERRED: tuple[tuple[str, ...], ...] = (
    (),
    (RemedyId.SECOND_CLEAT,),
    (RemedyId.FOOT_STRAP,),
    (RemedyId.SECOND_CLEAT, RemedyId.FOOT_STRAP),
)
TOGETHER = (RemedyId.SECOND_CLEAT, RemedyId.TIE)  # kinds that are done at every brace or not at all


@frozen(eq=False)
class RemedyStep(Limited):
    """One step of the work: remedies done together, or a brace put up.

    Attributes:
        kind: kinds of work in it; more than one where the first alone would not raise the limit gust, as it is printed.
        changes: what is changed at braces that are up and along the wall.
        added: braces put up.
        job: the job after it.
        limits: limit gust after it, in the worst hour's wind, and that with people about, unrounded.
        minutes: for two people.
        parts: what it takes.
        falls: why the first of several kinds of work alone would lower the limit, a line each.
    """

    kind: tuple[str, ...]
    changes: tuple[Change, ...]
    added: tuple[Brace, ...]
    job: Job = field(repr=False)
    limits: Limits
    minutes: float
    parts: Parts
    falls: tuple[Said, ...] = ()

    @property
    def words(self) -> tuple[Said, ...]:
        """What is done, one line a kind of work."""
        added = (Said("add", mark=b.mark, brace=brace_words(self.job, b)) for b in self.added)
        blocks = self.parts[block(self.job)]
        size, ends = (self.job.floor.joists or Joists()).size, into_ends(self.job)
        under = (Said("blocks-under-cleats", count=blocks, size=size, ends=ends),) if blocks else ()
        done = (c for c in self.changes if c.kind != RemedyId.BLOCK or c.path not in OF_BLOCKS)
        return (*work_words(self.job, done), *added, *under)


@frozen(eq=False)
class Ladder:
    """The steps, or why there are none.

    Attributes:
        steps: in order; empty where nothing covers the worst hour.
        why_not: the link nothing mends, in plain words; empty where the steps cover it.
        tried: plans tried.
        brings: what the wall, with all of it done, is warned of that it was not before.
        stopped: the budget ran out before all were: less work may do.
    """

    steps: tuple[RemedyStep, ...]
    why_not: str
    tried: int
    brings: tuple[Said, ...] = field(default=(), kw_only=True)
    stopped: bool = field(default=False, kw_only=True)

    @property
    def covers(self) -> bool:
        """Whether the last step is within in the worst hour."""
        return bool(self.steps)

    @property
    def changes(self) -> tuple[Change, ...]:
        """Every change of every step."""
        return tuple(change for step in self.steps for change in step.changes)

    @property
    def added(self) -> tuple[Brace, ...]:
        """Every brace put up."""
        return tuple(brace for step in self.steps for brace in step.added)

    @property
    def parts(self) -> Parts:
        """What all steps take."""
        return sum((step.parts for step in self.steps), Parts())

    @property
    def minutes(self) -> float:
        """For two people, with fetching and setting out."""
        fetch = self.steps[0].job.kit.minutes.fetch if self.steps else 0.0
        return sum(step.minutes for step in self.steps) + fetch


@frozen(eq=False)
class _Plan:
    changes: tuple[Change, ...]
    added: tuple[Brace, ...]

    def job(self, start: Job) -> Job:
        done = apply(start, self.changes)
        return evolve(done, braces=(*done.braces, *self.added))

    def cost(self, start: Job) -> float:
        each = start.kit.minutes.brace
        return sum(minutes(start, change) for change in self.changes) + each * len(self.added)


def find_ladder(job: Job, hour: WorstHour) -> Ladder:
    """Find the least work that covers the worst hour.

    Args:
        job: the wall as it stands.
        hour: its worst hour.
    """
    best: _Plan | None = None
    stuck: Link | None = None
    why, tried = "", 0
    grown: Job | None = job
    framing = frame_wall(job.wall)
    for count in range(shipped("remedies")["added_brace"]["most"] + 1):
        if count:
            grown = add_brace(grown, framing, None if best or stuck is None else stuck.x)  # type: ignore[arg-type]
        if grown is None or (best and not over(best.cost(job), job.kit.minutes.brace * count)):
            break
        offered: set[str] = set()
        for preferred in PREFERRED:
            if not offered.issuperset(preferred):
                continue  # it would be the same plan again
            if tried and hour.clock.over:
                break
            found = _mend(job, grown, hour, preferred, offered)
            tried += 1
            if not isinstance(found, _Plan):
                stuck, why = found, _said(found, job, hour)
                continue
            if best is None or over(best.cost(job), found.cost(job)):
                found = _pruned(job, found, hour)
                best = found if best is None or over(best.cost(job), found.cost(job)) else best
    if best is None:
        why = f"{why}; the budget ran out before all was tried" if hour.clock.over else why
        return Ladder((), why or "no stud has a spot for one more brace", tried, stopped=hour.clock.over)
    stopped, before = hour.clock.over, warned(job)
    brings = tuple(said for said in warned(best.job(job)) if said not in before)
    return Ladder(_steps(job, best, hour), "", tried, brings=brings, stopped=stopped)


def _mend(
    start: Job, grown: Job, hour: WorstHour, preferred: tuple[str, ...], offered: set[str]
) -> _Plan | Link | None:
    """Mend what is over until nothing is; else the link nothing mends, or None where the wall can move."""
    job, over = grown, hour.over(grown)
    for _ in range(ROUNDS):
        if over is None:
            return None
        if not over:
            return _as_plan(start, grown, job)
        wanted: dict[str, Change] = {}
        for link in over:
            options = _options(job, link)
            if not options and link.capacity > 0.0:
                return link
            if not options:
                continue  # a brace that counts for nothing is no help and no hindrance
            offered.update(found[0].kind for found in options)
            chosen = min(options, key=lambda found: found[0].kind not in preferred)
            for change in chosen:
                known = wanted.get(change.path)
                wanted[change.path] = change if known is None else _further(known, change)
        if not wanted:
            return over[0]
        job = apply(job, tuple(wanted.values()))
        over = hour.over(job)
    return over[0] if over else None


@lru_cache(maxsize=1024)
def _options(job: Job, link: Link) -> tuple[tuple[Change, ...], ...]:
    """What could mend a link; kept, as every kind of work that is preferred begins with the same wall."""
    return tuple(options_for(job, link))


def _said(link: Link | None, job: Job, hour: WorstHour) -> str:
    if link is None:
        return "the wall can still move"
    where = f" at {link.mark}" if link.mark else ""
    new = _diagonals(job, hour) if link.direction == ALONG else ()
    if new:
        nails = f"{new[0].size}, {new[0].end_fasteners} {new[0].end_fastener} at each end"
        mend = f"{len(new)} diagonals as layout places them ({nails})"
        return f"{link.link} stays over along the wall; not tried here: {mend}, which mend it"
    if _into_a_slab(job, link):
        why = "where an anchor counts by its report or a pull alone: none is added before a storm"
        return f"{link.link}{where} stays over; what would mend it is fastened into the slab, {why}"
    return f"{link.link}{where} stays over, and no work on a standing wall mends it"


def _into_a_slab(job: Job, link: Link) -> bool:
    """Whether a link is mended by work that is done on any floor but a slab."""
    mended = any(link.link.forward in row.mends and row.standing == OFF_SLAB for row in remedies().values())
    return mended and job.floor.kind == "slab"


def _diagonals(job: Job, hour: WorstHour) -> tuple[Diagonal, ...]:
    """Those a layout would put in a bare frame for the gust; none where they do not keep it upright along itself."""
    after = with_diagonals(job, hour.gust, thunderstorm=hour.thunderstorm)
    over_still = any(link.direction == ALONG for link in hour.over(after) or ())
    return () if over_still else diagonals_added(job, after)


def _further(one: Change, other: Change) -> Change:
    """Of two changes of one field the one that goes further."""
    closer = isinstance(one.after, float) and one.before is not None and one.after < one.before
    return min(one, other, key=lambda c: c.after if closer else -c.after) if _is_number(one.after) else one


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _as_plan(start: Job, grown: Job, job: Job) -> _Plan:
    """Read a plan off the difference of two jobs: changes at what was there, and braces put up."""
    changes = list(differences(start, job))
    if any(change.path == SIDES for change in changes):
        changes = [evolve(c, kind=RemedyId.SECOND_CLEAT) if _doubled(c) else c for c in changes]
    for path in (EXTRA, EXTRA_ROW):
        if value_at(job, path) != value_at(start, path):
            changes.append(Change(RemedyId.PLATE_SCREWS, path, value_at(start, path), value_at(job, path)))
    if not any(brace.foot_on == IN_BLOCK for brace in start.braces):
        changes = [change for change in changes if change.path not in OF_BLOCKS]
        changes += [
            Change(RemedyId.BLOCK, path, value_at(start, path), value_at(job, path))
            for path in OF_BLOCKS if value_at(job, path) != value_at(start, path)
        ]  # fmt: skip
    return _Plan(tuple(sorted(changes, key=lambda c: order().index(c.kind))), job.braces[len(start.braces) :])


def _doubled(change: Change) -> bool:
    return change.name in (JointId.CLEAT, JointId.FLOOR) and change.after >= 2 * change.before


def _for_second_cleat(change: Change) -> bool:
    """Whether it puts blocks under a foot that was in a joist, and has a second cleat over none now."""
    return change.kind == RemedyId.BLOCK and change.before == IN_JOIST


def _pruned(start: Job, plan: _Plan, hour: WorstHour) -> _Plan:
    """Leave out what is not needed, the most minutes first, then one fastener at a time."""
    for kind in dict.fromkeys(c.kind for c in sorted_by(plan.changes, lambda c: -minutes(start, c))):
        if hour.clock.over:
            return plan
        if kind == RemedyId.BLOCK and any(map(_for_second_cleat, plan.changes)):
            continue
        gone = [c for c in plan.changes if kind == RemedyId.SECOND_CLEAT and _for_second_cleat(c)]
        less = evolve(plan, changes=tuple(c for c in plan.changes if c.kind != kind and c not in gone))
        if _stands(start, less, hour):
            plan = less
    for change in sorted_by(plan.changes, lambda c: -minutes(start, c)):
        if hour.clock.over:
            return plan
        if (
            change.kind in TOGETHER
            or change.path in (EXTRA, EXTRA_ROW, *OF_BLOCKS)
            or _for_second_cleat(change)
        ):
            continue
        less = evolve(plan, changes=tuple(c for c in plan.changes if c is not change))
        if _stands(start, less, hour):
            plan = less
        elif remedies()[change.kind].steps == MORE:
            plan = _fewer(start, plan, change, hour)
    return plan


def _fewer(start: Job, plan: _Plan, change: Change, hour: WorstHour) -> _Plan:
    while change.after > change.before + 1 and not hour.clock.over:
        fewer = evolve(change, after=change.after - 1)
        less = evolve(plan, changes=tuple(fewer if c is change else c for c in plan.changes))
        if not _stands(start, less, hour):
            break
        plan, change = less, fewer
    return plan


def _stands(start: Job, plan: _Plan, hour: WorstHour) -> bool:
    """Whether a plan covers the worst hour with no more fasteners in any joint than there is room for."""
    done = plan.job(start)
    return within_room(start, done) and hour.covers(done)


def _plan_of_ends(planned: list[tuple[str, _Plan]]) -> tuple[str, _Plan] | None:
    """Find what says no more than what blocks are fastened with, no standing foot being put on any."""
    return next(
        (
            each
            for each in planned
            if each[0] == RemedyId.BLOCK and all(c.path in OF_BLOCKS for c in each[1].changes)
        ),
        None,
    )


def _steps(start: Job, plan: _Plan, hour: WorstHour) -> tuple[RemedyStep, ...]:
    """Put a plan in the crew's order; work that alone gains nothing, or lowers the limit, is done with the next."""
    kinds = [k for k in order() if any(c.kind == k for c in plan.changes)]
    planned: list[tuple[str, _Plan]] = [
        (k, _Plan(tuple(c for c in plan.changes if c.kind == k), ())) for k in kinds
    ]
    planned += [(RemedyId.BRACE, _Plan((), (brace,))) for brace in plan.added]
    blocks = _plan_of_ends(planned)
    if blocks is not None:  # of the blocks under the first brace that is put up, where none were before
        planned.remove(blocks)
        first = next(k for k, (kind, _) in enumerate(planned) if kind == RemedyId.BRACE)
        planned[first] = (RemedyId.BRACE, _Plan(blocks[1].changes, planned[first][1].added))
    steps: list[RemedyStep] = []
    job, limit, waiting = start, hour.limits(start).limit, []
    falls: list[Said] = []
    for k, (kind, part) in enumerate(planned):
        waiting.append((kind, part))
        then = job
        for _, each in waiting:
            then = each.job(then)
        after = hour.limits(then)
        covered = hour.covers(then)
        if whole_down(after.limit) <= whole_down(limit) and not covered and k < len(planned) - 1:
            fallen = fall(hour.model(job), hour.model(then)) if after.limit < limit - SAME else None
            falls += [fallen.said] if fallen is not None else []
            continue
        done = _Plan(
            tuple(c for _, p in waiting for c in p.changes), tuple(b for _, p in waiting for b in p.added)
        )
        steps.append(
            RemedyStep(
                kind=tuple(dict.fromkeys(name for name, _ in waiting)), changes=done.changes,
                added=done.added, job=then, limits=after, minutes=done.cost(start),
                parts=parts_for(then, done.changes, done.added), falls=tuple(falls),
            )
        )  # fmt: skip
        job, limit, waiting, falls = then, after.limit, [], []
        if covered:
            break
    return tuple(steps)
