"""The rows of a lift: the line and the foot at each tilt, and the slings over the whole arc."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypedDict

from attrs import evolve, field, frozen

from bracing.check import Assumed, AssumedJson
from bracing.choosing import lowest, over
from bracing.codes.basis import basis_of, framing_values
from bracing.codes.gusts import clear_zone
from bracing.codes.pressures import mean_coefficient, outline_properties
from bracing.errors import InputError, MechanismError
from bracing.job.envelope import beyond
from bracing.job.fields import held_part
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Wall
from bracing.lift.foot import (
    FootDemand,
    FootHold,
    FootJson,
    FootLink,
    FootLinkJson,
    HandRaise,
    HandsJson,
    foot_by_machine,
    foot_links,
    hand_raise,
)
from bracing.lift.hung import Weighed, weigh_hung
from bracing.lift.line import (
    LiftGust,
    TiltBody,
    lift_gust,
    past_centre,
    pull,
    rig_for,
    slack_tilt,
    tag_line_pull,
)
from bracing.lift.links import LiftRequest, PickLink, PickLinkJson, foot_holds, pick_links, slide
from bracing.lift.machine import HookPoint, HookPointJson, hook_path, power_line_distance
from bracing.lift.picks import (
    FIELD,
    LIFT_DURATION,
    Bending,
    HungWall,
    PickPlan,
    PicksJson,
    Worth,
    WorthJson,
    choose_picks,
    hang,
    pick_at,
    row_across,
    slope_at,
    worth_of_rows,
)
from bracing.lift.slings import Bridle, SlingCheck, SlingJson, bridle, check_sling, sling_for_angle
from bracing.panel.weight import AtJson, PartJson, TakeOff
from bracing.results import CAUTIONS, HeaderJson, header
from bracing.said import Kind, Quantity, Said, Verdict
from bracing.sources import shipped
from bracing.units import (
    Inch,
    Mph,
    Pound,
    Radian,
    feet,
)

STEP = 5  # degrees of tilt from row to row

TiltJson = TypedDict("TiltJson", {
    "tilt_deg": float, "head_force_lb": float | None, "head_force_gust_lb": float | None, "slack": bool,
    "hinge_up_lb": float, "hinge_out_lb": float, "stud": float | None, "plate": float | None, "sag_in": float | None,
    "hook_height_ft": float, "hook_toward_house_ft": float,
})  # fmt: skip
_SlingPlanKeys = TypedDict("_SlingPlanKeys", {
    "spreader": bool, "lengths_ft": list[float], "thrust_lb": float,
})  # fmt: skip


class SlingPlanJson(SlingJson, _SlingPlanKeys):
    """What `SlingPlan` gives."""


LineJson = TypedDict("LineJson", {
    "keep_ft": float | None, "source": str,
})  # fmt: skip
_LiftKeys = TypedDict("_LiftKeys", {
    "wall": str, "state": str, "verdict": Verdict | None, "over": list[Said],
    "unknown": list[Said], "weight_lb": float, "cg_ft": AtJson,
    "rig_for_lb": float, "dynamic": float, "head_force_lb": float, "gust_mph": float | None,
    "limit_gust_mph": float | None, "limit_gust_gives_first": Said | None, "slack_from_deg": float | None,
    "past_plumb_deg": float | None, "tag_line_lb": float | None, "tilt": list[TiltJson], "worth": list[WorthJson],
    "links": list[PickLinkJson], "foot_links": list[FootLinkJson], "slide_lb": float, "slings": SlingPlanJson,
    "foot": FootJson, "hands": HandsJson, "hook_path": list[HookPointJson], "power_line": LineJson, "zone_ft": float,
    "needed_too": list[Said], "assumed": list[AssumedJson], "parts": list[PartJson], "cautions": list[Said],
})  # fmt: skip


class LiftJson(HeaderJson, PicksJson, _LiftKeys):
    """What `LiftPlan` gives."""


@frozen
class TiltRow:
    """One tilt of the arc.

    Attributes:
        tilt: from the floor [rad].
        head: pull of a plumb line in still air [lb]; None past where it has a lever.
        windy: pull with the gust from outside [lb]; None where a plumb line cannot hold it.
        slack: the gust from inside slacks the line here.
        foot_up: what the floor gives the foot upward in still air [lb].
        foot_out: level force on the foot in the gust, the greater of both winds [lb].
        stud: greatest stress of a stud over its allowable: bending, and the pull along it [-].
        plate: greatest stress of the top plate over its allowable: bending, and the slings' squeeze [-].
        sag: greatest movement off the plane through picks and hinge [in].
        hook: hook above the floor [in].
        toward_house: hook toward the house from the plate's inside face [in].
    """

    tilt: Radian
    head: Pound | None
    windy: Pound | None
    slack: bool
    foot_up: Pound
    foot_out: Pound
    stud: float
    plate: float
    sag: Inch
    hook: Inch
    toward_house: Inch

    def to_dict(self) -> TiltJson:
        """Give the row for JSON."""
        return {
            "tilt_deg": math.degrees(self.tilt),
            "head_force_lb": self.head,
            "head_force_gust_lb": self.windy,
            "slack": self.slack,
            "hinge_up_lb": self.foot_up,
            "hinge_out_lb": self.foot_out,
            "stud": self.stud,
            "plate": self.plate,
            "sag_in": self.sag,
            "hook_height_ft": feet(self.hook),
            "hook_toward_house_ft": feet(self.toward_house),
        }


@frozen
class SlingPlan:
    """The slings of a lift.

    Attributes:
        spreader: they hang plumb from a spreader.
        lengths: length to each outer pick [in].
        check: the worst leg over the arc.
        rise: hook above the outer picks' mean, the wall flat [in].
        thrust: what the legs squeeze the wall between the picks, whole weight on the hook [lb].
    """

    spreader: bool
    lengths: tuple[Inch, Inch]
    check: SlingCheck
    rise: Inch
    thrust: Pound

    def to_dict(self) -> SlingPlanJson:
        """Give it for JSON."""
        return {
            "spreader": self.spreader,
            "lengths_ft": [feet(length) for length in self.lengths],
            "thrust_lb": self.thrust,
            **self.check.to_dict(),
        }


@frozen
class Stress:
    """What the hung wall's sticks carry, each over its allowable.

    Attributes:
        bending: of the wall lying flat.
        along: pull along a picked stud when the wall hangs upright, whole weight [-].
        squeeze: what the slings squeeze the top plate, whole weight [-].
    """

    bending: Bending
    along: float
    squeeze: float

    def stud(self, tilt: Radian) -> float:
        """Stud at a tilt: bending falls with the cosine, pull along it grows with the sine [-].

        Args:
            tilt: from the floor [rad].
        """
        return self.bending.stud * math.cos(tilt) + self.along * math.sin(tilt)

    def plate(self, tilt: Radian) -> float:
        """Top plate at a tilt: bending falls with the cosine, the squeeze stays [-].

        Args:
            tilt: from the floor [rad].
        """
        return self.bending.plate * math.cos(tilt) + self.squeeze


def stress_of(wall: Wall, plan: PickPlan, *, rigged: Pound, thrust: Pound) -> Stress:
    """Put the pull along a stud and the slings' squeeze beside the bending.

    Ratios are added: bending and axial stress of one stick, no credit for either.

    Args:
        wall: the wall.
        plan: the picks.
        rigged: the load to rig for [lb].
        thrust: what the slings squeeze the wall between the picks [lb].

    Returns:
        The stresses over their allowables.

    Source: NDS 3.9.

    Example:
        >>> from bracing.lift.picks import Pick
        >>> bending = Bending(sag=1.0, stud=0.5, plate=0.4, row=0.0)
        >>> plan = PickPlan((Pick("P1", 0.0, 96.0, 500.0, 1.0),), 0.0, bending, 1)
        >>> wall = Wall(name="W", top=((0.0, 96.0), (96.0, 96.0)))
        >>> stress_of(wall, plan, rigged=0.0, thrust=0.0).stud(0.0)
        0.5
    """
    stick = section(wall.studs.size)
    values = framing_values(wall, wall.studs.size, load_duration=LIFT_DURATION)
    share = max(pick.share for pick in plan.picks)
    return Stress(
        bending=plan.bending,
        along=share * rigged / stick.area / values.Ft,
        squeeze=thrust / (2.0 * stick.area) / values.Fc,
    )


def tilt_row(body: TiltBody, tilt: Radian, *, gust: Mph, rise: Inch, stress: Stress) -> TiltRow:
    """Work out one tilt.

    Args:
        body: the wall.
        tilt: from the floor [rad].
        gust: the gust [mph].
        rise: hook above the picks [in].
        stress: what its sticks carry.

    Returns:
        The row.
    """
    still = pull(body, tilt)
    outside = pull(body, tilt, gust=gust)
    inside = pull(body, tilt, gust=gust, from_outside=False)
    # A plumb line that carries more than the wall weighs is lifting it; tag lines and braces hold that wind.
    carried = outside.line
    if carried is not None and body.pick_up > body.up and carried > body.weight:
        carried = None
    level = body.wind_force_per_mph2 * gust**2 * math.sin(tilt)
    return TiltRow(
        tilt=tilt,
        head=still.line,
        windy=carried,
        slack=inside.line == 0.0,
        foot_up=still.foot_up,
        foot_out=level,
        stud=stress.stud(tilt),
        plate=stress.plate(tilt),
        sag=stress.bending.sag * math.cos(tilt),
        hook=body.pick_up * math.sin(tilt) + body.pick_behind * math.cos(tilt) + rise,
        toward_house=body.pick_up * math.cos(tilt) - body.pick_behind * math.sin(tilt),
    )


def plan_slings(plan: PickPlan, request: LiftRequest, rigged: Pound) -> SlingPlan:
    """Hang the hook over the picks and find the worst leg over the arc.

    Only the two outer legs are counted, whatever the number of picks.

    Args:
        plan: the picks.
        request: lengths, tags, spreader.
        rigged: the load to rig for [lb].

    Returns:
        The slings.

    Raises:
        InputError: slings too short, too flat, or a hook that would hang outside the picks.
    """
    first, last = plan.picks[0], plan.picks[-1]
    if request.spreader:
        length = request.slings or 0.0
        share = max(first.share / (first.share + last.share), last.share / (first.share + last.share))
        check = check_sling(0.0, rigged * share, request.sling_lb)
        return SlingPlan(spreader=True, lengths=(length, length), check=check, rise=length, thrust=0.0)
    flat = math.hypot(last.x - first.x, last.z - first.z)
    along = flat * (plan.hook_x - first.x) / (last.x - first.x)
    longer = max(along, flat - along)
    length = request.slings or 0.0
    if request.slings is None:
        length = sling_for_angle(2.0 * longer, math.radians(shipped("lifting")["sling"]["working_limit_deg"]))
    if length <= longer:
        what = "slings"
        raise InputError.of(
            what, f"{length:g} in", f"longer than {longer:.0f} in, the hook to the farther pick"
        )
    rise = math.sqrt(length**2 - longer**2)
    lengths = (math.hypot(along, rise), math.hypot(flat - along, rise))
    hung = [_at_tilt(first.x, last.x, last.z - first.z, math.radians(d), lengths) for d in range(0, 91, STEP)]
    angle = max(max(b.angles) for b in hung)
    tension = max(max(b.tensions) for b in hung) * rigged
    check = check_sling(angle, tension, request.sling_lb, allow_flat=request.flat_slings)
    thrust = max(b.thrust for b in hung) * rigged
    return SlingPlan(spreader=False, lengths=lengths, check=check, rise=rise, thrust=thrust)


def _at_tilt(x0: Inch, x1: Inch, up: Inch, tilt: Radian, lengths: tuple[Inch, Inch]) -> Bridle:
    return bridle(math.hypot(x1 - x0, up * math.cos(tilt)), up * math.sin(tilt), lengths)


@frozen(eq=False)
class LiftPlan:
    """The answer of a lift.

    Attributes:
        job: the job.
        request: what was asked.
        weight: what the wall weighs.
        body: the wall on its hinge.
        rigged: the load to rig for [lb].
        gusts: up to which gust it may be lifted.
        gust: the gust the numbers are for [mph].
        tilt: rows over the arc.
        slack_from: tilt beyond which the gust slacks the line [rad].
        past: tilt at which the centre of gravity passes the hinge [rad].
        tag_line: pull of all tag lines at plumb in the gust [lb].
        picks: the picks.
        worth: what a continuous row is worth there.
        links: what the slings hold the wall by.
        slide: greatest force along a sloping plate at a pick [lb]; 0 on a level top.
        slings: the slings.
        foot: the worst of the foot.
        holds: what holds it.
        foot_links: kick-out and see-saw.
        hands: raising it by hand.
        path: the hook over the arc against the chart; empty without a chart.
        assumed: what nobody declared.
        needed: what the lift needs and nobody declared.
    """

    job: Job
    request: LiftRequest
    weight: TakeOff = field(repr=False)
    body: TiltBody
    rigged: Pound
    gusts: LiftGust
    gust: Mph
    tilt: tuple[TiltRow, ...] = field(repr=False)
    slack_from: Radian
    past: Radian
    tag_line: Pound
    picks: PickPlan = field(repr=False)
    worth: tuple[Worth, ...] = field(repr=False)
    links: tuple[PickLink, ...]
    slide: Pound
    slings: SlingPlan
    foot: FootDemand
    holds: tuple[FootHold, ...]
    foot_links: tuple[FootLink, ...]
    hands: HandRaise
    path: tuple[HookPoint, ...] = field(repr=False)
    assumed: tuple[Assumed, ...]
    needed: tuple[Said, ...] = ()

    @property
    def beyond(self) -> tuple[Said, ...]:
        """What of the wall lies outside what this program covers."""
        return beyond(evolve(self.job, braces=()), None)

    @property
    def head_force(self) -> Pound:
        """Pull that takes the head off the floor [lb]."""
        return self.tilt[0].head or 0.0

    @property
    def over(self) -> tuple[Said, ...]:
        """What is over, each with its numbers; empty where nothing is."""
        return tuple(_over(self))

    @property
    def unknown(self) -> tuple[Said, ...]:
        """What must carry something and nobody declared, each with what it must carry."""
        asked = self.request
        tag, leg, load = (
            Quantity(value, Kind.LOAD) for value in (self.tag_line, self.slings.check.tension, self.rigged)
        )
        said = []
        if asked.tag_pull is None:
            said.append(Said("tag-lines-undeclared", load=tag))
        if asked.sling_lb is None:
            said.append(Said("sling-tag-undeclared", load=leg))
        if asked.machine is None or asked.chart is None:
            said.append(Said("machine-undeclared", load=load))
        return tuple(said)

    @property
    def verdict(self) -> Verdict | None:
        """Over where anything is; else None without a gust, unknown where what carries is not declared; else within.

        Engineer past what this covers.
        """
        if self.beyond:
            return Verdict.ENGINEER
        if self.over:
            return Verdict.OVER
        if self.request.gust is None:
            return None
        return Verdict.UNKNOWN if self.unknown else Verdict.WITHIN

    def to_dict(self) -> LiftJson:
        """Give the plan as JSON."""
        off = self.weight.to_dict()
        line, line_source = power_line_distance(self.request.line_kv)
        return {
            **header(self.job, "lift"),
            "wall": self.job.wall.name,
            "state": self.job.state,
            "verdict": self.verdict,
            "over": list(self.over),
            "unknown": list(self.unknown),
            "weight_lb": off["weight_lb"],
            "cg_ft": off["cg_ft"],
            "rig_for_lb": self.rigged,
            "dynamic": self.request.dynamic,
            "head_force_lb": self.head_force,
            "gust_mph": self.gust,
            "limit_gust_mph": self.gusts.limit,
            "limit_gust_gives_first": self.gusts.gives_first,
            "slack_from_deg": math.degrees(self.slack_from),
            "past_plumb_deg": math.degrees(self.past),
            "tag_line_lb": self.tag_line,
            "tilt": [row.to_dict() for row in self.tilt],
            **self.picks.to_dict(),
            "worth": [worth.to_dict() for worth in self.worth],
            "links": [link.to_dict() for link in self.links],
            "foot_links": [link.to_dict() for link in self.foot_links],
            "slide_lb": self.slide,
            "slings": self.slings.to_dict(),
            "foot": self.foot.to_dict(),
            "hands": self.hands.to_dict(),
            "hook_path": [point.to_dict() for point in self.path],
            "power_line": {"keep_ft": feet(line) if math.isfinite(line) else None, "source": line_source},
            "zone_ft": feet(clear_zone(self.job.wall.highest, drop=self.job.floor.height_above_ground)),
            "needed_too": list(self.needed),
            "assumed": [assumed.to_dict() for assumed in self.assumed],
            "parts": off["parts"],
            "cautions": list(CAUTIONS),
        }


def body_of(job: Job, weight: TakeOff, pick_up: Inch) -> TiltBody:
    """Make the wall a stiff body on its hinge, its ends free in the air.

    Args:
        job: the job.
        weight: what it weighs.
        pick_up: where the line acts, up the wall [in].

    Returns:
        The body.

    Source: STATICS.
    """
    loose = evolve(job, wall=evolve(job.wall, left_end="free", right_end="free"))
    wall = loose.wall
    outline = outline_properties(wall.top)
    wind = basis_of(loose).wind(loose)
    fields = [f for f in wind.fields if f.case == "A"]
    coefficient = max(mean_coefficient(wall.top, f) for f in fields)
    rise = max(f.rise * outline.I_z / outline.area for f in fields)
    force = coefficient * wind.per_mph2 * outline.area
    return TiltBody(
        weight=weight.weight,
        up=weight.z_cg,
        behind=weight.behind_cg,
        pick_up=pick_up,
        pick_behind=section(wall.studs.size).width / 2.0,
        wind_moment_per_mph2=force * (outline.z_bar + rise),
        wind_force_per_mph2=force,
    )


def plan_lift(job: Job, request: LiftRequest) -> LiftPlan:
    """Plan the lift of a job's wall.

    Args:
        job: the job.
        request: what is asked.

    Returns:
        The plan.

    Raises:
        InputError: picks, slings or options that cannot be.
        MissingDataError: a name in no table.
    """
    held_part(job, Job, "job")
    held_part(request, LiftRequest, "request")
    (hung, plan, needed), (weight, light, assumed) = _picked(job, request)
    body = body_of(job, weight, plan.up)
    rigged = rig_for(weight.weight, request.dynamic)
    resists = body_of(job, light, plan.up)
    gusts = lift_gust(resists, tag_height=plan.up, tag_pull=request.tag_pull)
    gust = float(gusts.limit) if request.gust is None else request.gust
    slings = plan_slings(plan, request, rigged)
    tilts = tuple(math.radians(d) for d in range(0, 91, STEP))
    stress = stress_of(job.wall, plan, rigged=rigged, thrust=slings.thrust)
    foot = foot_by_machine(body, gust)
    holds = foot_holds(job, request.foot)
    path: tuple[HookPoint, ...] = ()
    if request.machine is not None and request.chart is not None:
        path = hook_path(
            body, request.machine, request.chart, sling_rise=slings.rise, load=rigged, tilts=tilts
        )
    steepest = max(slope_at(job.wall, pick.x) for pick in plan.picks)
    return LiftPlan(
        job=job,
        request=request,
        weight=weight,
        body=body,
        rigged=rigged,
        gusts=gusts,
        gust=gust,
        tilt=tuple(tilt_row(body, tilt, gust=gust, rise=slings.rise, stress=stress) for tilt in tilts),
        slack_from=slack_tilt(resists, gust),
        past=past_centre(body),
        tag_line=tag_line_pull(body, gust, plan.up),
        picks=plan,
        worth=worth_of_rows(hung, plan.picks, drop=request.drop),
        links=pick_links(job, plan, rigged, by=request.by, declared=request.pick_lb),
        slide=slide(max(pick.share for pick in plan.picks) * rigged, steepest),
        slings=slings,
        foot=foot,
        holds=holds,
        foot_links=foot_links(foot, holds),
        hands=hands_of(job, weight, request),
        path=path,
        assumed=assumed,
        needed=needed,
    )


Hung = tuple[HungWall, PickPlan, tuple[Said, ...]]


def _picked(job: Job, request: LiftRequest) -> tuple[Hung, Weighed]:
    """Weigh the wall and hang it at its picks; where it folds at a kink, with the strongback it then needs."""

    def hung_and_picked(wall: Wall) -> tuple[HungWall, PickPlan, Weighed]:
        weighed = weigh_hung(evolve(job, wall=wall), braces_on=request.braces_on)
        hung = hang(wall, weighed[0], drop=request.drop, dynamic=request.dynamic)
        picked = pick_at(hung, request.pick_at) if request.pick_at else choose_picks(hung, request.picks)
        return hung, picked, weighed

    try:
        hung, plan, weighed = hung_and_picked(job.wall)
    except MechanismError:
        row = row_across(job.wall)
    else:
        return (hung, plan, ()), weighed
    try:
        hung, plan, weighed = hung_and_picked(evolve(job.wall, rows=(*job.wall.rows, row)))
    except MechanismError as error:
        wanted = f"picks that leave no way to fold: {error.motions} free motions, {error.held} held"
        raise InputError.of(FIELD, f"{request.picks} picks", wanted) from None
    needed = Said("strongback-at-kink", size=row.size, up=Quantity(row.height, Kind.TAPE))
    return (hung, plan, (needed,)), weighed


def hands_of(job: Job, weight: TakeOff, request: LiftRequest) -> HandRaise:
    """Work out raising the wall by hand at its head.

    Args:
        job: the job.
        weight: what it weighs.
        request: the lift of one person and how high hands reach.

    Returns:
        Forces, people and rules.
    """
    outline = outline_properties(job.wall.top)
    body = body_of(job, weight, outline.s)
    return hand_raise(
        body,
        highest=job.wall.highest,
        length=job.wall.length,
        lift_each=request.lift_each,
        reach=request.reach,
    )


def _over(plan: LiftPlan) -> Iterator[Said]:
    """Say what is over: demands up, strengths down."""
    yield from (Said("engineer-has-to-plan", why=why) for why in plan.beyond)
    yield from (Said("not-declared", needed=needed) for needed in plan.needed)
    if plan.gust > plan.gusts.limit:
        gust, limit = Quantity(plan.gust, Kind.ASKED), Quantity(plan.gusts.limit, Kind.GUST)
        yield Said("gust-over-lift", gust=gust, limit=limit, first=plan.gusts.gives_first)
    if plan.slings.check.within is False:
        load, most = _held(plan.slings.check.tension, plan.slings.check.rated or 0.0)
        yield Said("sling-over-tag", load=load, most=most)
    for link in plan.links:
        if not link.within:
            load, most = _held(link.demand, link.capacity)
            yield Said("sling-over", mark=link.mark, by=link.by, load=load, most=most, why=link.why)
    for held in plan.foot_links:
        load, most = _held(held.demand, held.capacity)
        if not held.within and plan.holds:
            yield Said("foot-over", link=held.link, load=load, most=most)
        elif not held.within:
            yield Said("foot-over-bare", link=held.link, load=load, most=most)
    for what, worst in (
        (Said("a-stud"), max(row.stud for row in plan.tilt)),
        (Said("the-top-plate"), max(row.plate for row in plan.tilt)),
        (Said("a-row"), plan.picks.bending.row),
    ):
        if over(worst, 1.0):
            yield Said("stress-over", what=what, share=Quantity(worst, Kind.SHARE))
    yield from _over_machine(plan.path)
    distance, _ = power_line_distance(plan.request.line_kv)
    if plan.request.line_distance is not None and plan.request.line_distance < distance:
        near = Quantity(plan.request.line_distance, Kind.FEET_DOWN)
        if math.isfinite(distance):
            yield Said("power-line-near", near=near, keep=Quantity(distance, Kind.FEET_UP))
        else:
            yield Said("power-line-past-table", near=near)


def _held(load: Pound, most: Pound) -> tuple[Quantity, Quantity]:
    """What must be carried and what may be, each rounded to its side."""
    return Quantity(load, Kind.LOAD), Quantity(most, Kind.STRENGTH)


def _over_machine(path: Sequence[HookPoint]) -> Iterator[Said]:
    off = tuple(Quantity(point.tilt, Kind.DEGREES) for point in path if point.capacity is None)
    if off:
        yield Said("machine-off-chart", tilts=off)
    short = [point for point in path if point.margin is not None and over(0.0, point.margin)]
    if short:
        worst = lowest(short, lambda point: point.margin or 0.0)
        load, most = _held(worst.load, worst.capacity or 0.0)
        yield Said("machine-over", load=load, most=most, tilt=Quantity(worst.tilt, Kind.DEGREES))
