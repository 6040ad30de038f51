"""The rows of a lift: the line and the foot at each tilt, and the slings over the whole arc."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.codes.nds.adjusted import design_values
from bracing.errors import InputError
from bracing.job.lumber import section
from bracing.job.wall import Wall
from bracing.lift.line import TiltBody, pull
from bracing.lift.picks import LIFT_DURATION, Bending, PickPlan
from bracing.lift.request import LiftRequest
from bracing.lift.slings import Bridle, SlingCheck, bridle, check_sling, sling_for_angle
from bracing.lift.tables import lifting
from bracing.units import Inch, Mph, Pound, Radian, feet

STEP = 5  # degrees of tilt from row to row


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

    def to_dict(self) -> dict[str, object]:
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

    def to_dict(self) -> dict[str, object]:
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
    values = design_values(
        wall.studs.species,
        wall.studs.grade,
        wall.studs.size,
        wet=wall.moisture == "green",
        load_duration=LIFT_DURATION,
    )
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
        length = sling_for_angle(2.0 * longer, math.radians(lifting("sling")["working_limit_deg"]))
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
