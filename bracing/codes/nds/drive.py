"""Where a fastener ends up: the members it passes, what bears on it, what holds its point.

`plies[0]` is the side member under the head, the last ply is the main member. A ply between them (the deck
under a cleat) counts in shear as part of the main member at the lower bearing strength of the two; in withdrawal
deck and framing are never added up, the greater of the two holds (see fastener.py). A gap between them, such as foam
under a panel, bears and holds nothing and takes its thickness off the fastener's reach.
"""

from __future__ import annotations

import math

from attrs import frozen

from bracing.codes.joints import GAP, Ply
from bracing.codes.nds.dowels import Bearing, panel_bearing, steel_bearing, wood_bearing
from bracing.codes.nds.factors import panel_withdrawal_gravity, toe_nail_lengths
from bracing.job.fasteners import Fastener, kind_of
from bracing.sources import cite, shipped
from bracing.sums import Known, formula
from bracing.units import Inch, Psi, Radian


@frozen
class Drive:
    """A fastener in its members.

    Attributes:
        side: bearing of the side member.
        main: bearing of the main member.
        angle: greatest angle of load to grain in any wood member [rad].
        penetration: length past the side member, in members; a lag's tip is left out [in].
        holding: length that holds in withdrawal [in].
        holding_gravity: specific gravity of what holds it.
        held_by: material of what holds it.
        end_grain: the point stands in end grain.
        gap: distance between side and main member that bears nothing [in].
    """

    side: Bearing
    main: Bearing
    angle: Radian
    penetration: Inch
    holding: Inch
    holding_gravity: float
    held_by: str
    end_grain: bool
    gap: Inch = 0.0


def ply_bearing(ply: Ply, D: Inch) -> Psi:
    """Give the bearing strength of a member by its material.

    Args:
        ply: the member.
        D: nominal diameter [in].

    Returns:
        Dowel bearing strength Fe [psi].

    Source: NDS tables 12.3.3, 12.3.3B, 12E, 12K, 12P.

    Example:
        >>> ply_bearing(Ply("steel", 0.105), 0.162)
        61850.0
    """
    if ply.material == "steel":
        return steel_bearing(ply.thickness)
    if ply.material == "concrete":
        return Known(shipped("joints")["side_plate"]["concrete"], "Fe of concrete", cite("NDS", "table 12E"))
    G, of = gravity(ply), ply.of or ply.material
    if ply.material == "panel":
        return panel_bearing(G, D, of=of)
    return wood_bearing(G, D, angle=ply.angle_to_grain, end_grain=ply.end_grain, of=of)


def gravity(ply: Ply) -> float:
    """Give the specific gravity of a member, as its table has it [-].

    Args:
        ply: the member.

    Source: NDS tables 12.3.3A, 12.3.3B.
    """
    table = "table 12.3.3B" if ply.material == "panel" else "table 12.3.3A"
    return Known(ply.G, f"G of {ply.of or ply.material}", cite("NDS", table), ply.known)


@formula
def point_bearing(L: Inch, side: Inch, tip: Inch) -> Inch:
    """Give the length of a fastener that bears past the side member, half its tip left out: lm = L - side - tip / 2.

    Args:
        L: its length [in].
        side: thickness of the side member [in].
        tip: length of its tapered tip [in].

    Returns:
        Bearing length lm [in].

    Source: NDS 12.3.5.3.

    Example:
        >>> point_bearing(3.5, 1.5, 0.5)
        1.75
    """
    return L - side - tip / 2.0


@formula
def point_bearing_past_gap(L: Inch, side: Inch, g: Inch, *, tip: Inch) -> Inch:
    """Give the length of a fastener that bears past side member and gap: lm = L - side - g - tip / 2.

    Half its tip is left out.

    Args:
        L: its length [in].
        side: thickness of the side member [in].
        g: gap between the members [in].
        tip: length of its tapered tip [in].

    Returns:
        Bearing length lm [in].

    Source: NDS 12.3.5.3; TR12 table 1-1 (from memory).

    Example:
        >>> point_bearing_past_gap(2.5, 0.4375, 0.5, tip=0.262)
        1.4315
    """
    return L - side - g - tip / 2.0


def drive(fastener: Fastener, plies: tuple[Ply, ...], *, toe_nailed: bool = False) -> Drive:
    """Place a fastener in its members.

    Args:
        fastener: the fastener.
        plies: side member, any between, main member.
        toe_nailed: driven at 30° through the side member's face near its end.

    Returns:
        Bearing lengths and strengths, penetration, and what holds the point.

    Source: NDS 12.3.5, 12.3.10, 12.2.1.2, 12.2.2.2, 12.2.3.1.

    Example:
        >>> from bracing.job.fasteners import fastener
        >>> spf = Ply("wood", 1.5, 0.42)
        >>> placed = drive(fastener("16d common"), (spf, Ply("wood", 3.5, 0.42)))
        >>> placed.penetration, round(placed.main.length, 3)
        (2.0, 1.838)
    """
    D, side, last = fastener.diameter, plies[0], plies[-1]
    rest = tuple(ply for ply in plies[1:] if ply.material != GAP)
    gap = sum(ply.thickness for ply in plies if ply.material == GAP)
    point = fastener.length - sum(ply.thickness for ply in plies[:-1])
    reach = fastener.length - side.thickness - gap
    depth = sum(ply.thickness for ply in rest)
    tip_shown = 0.0 if kind_of(fastener.kind).tip_counts else fastener.tip
    bears = (
        point_bearing_past_gap(fastener.length, side.thickness, gap, tip=fastener.tip)
        if gap
        else point_bearing(fastener.length, side.thickness, fastener.tip)
    )
    ls, lm = side.thickness, min(depth, bears)
    penetration = min(depth, reach - tip_shown)
    in_last = min(last.thickness, point - tip_shown)
    if toe_nailed:
        ls, lm, in_main = toe_nail_lengths(fastener.length, side.thickness)
        # Driven at a slant, the nail spends more than the thickness of a layer between in that layer.
        between = depth - last.thickness
        slant = math.cos(math.radians(shipped("joints")["toe_nail"]["slope_degrees"]))
        in_last = min(in_main - between / slant if between > 0.0 else in_main, last.thickness)
        lm = penetration = min(lm, depth)
    thread = fastener.thread - tip_shown
    threaded = min(in_last, thread, max(0.0, _thread_in_last(fastener, plies, thread, toe_nailed=toe_nailed)))
    Fem = min(ply_bearing(ply, D) for ply in rest)
    is_panel = last.material == "panel"
    return Drive(
        side=Bearing(ls, ply_bearing(side, D)),
        main=Bearing(max(lm, 0.0), Fem),
        angle=_greatest_angle(plies),
        penetration=max(penetration, 0.0),
        holding=max(threaded, 0.0),
        holding_gravity=min(panel_withdrawal_gravity(), gravity(last)) if is_panel else gravity(last),
        held_by=last.material,
        end_grain=last.end_grain,
        gap=gap,
    )


def _greatest_angle(plies: tuple[Ply, ...]) -> Radian:
    """Greatest angle of load to grain; a panel stands at a right angle, as in `panel_bearing` [rad]."""
    angles = [math.pi / 2.0 if ply.material == "panel" else ply.angle_to_grain for ply in plies]
    return max(0.0, *angles)


def _thread_in_last(fastener: Fastener, plies: tuple[Ply, ...], thread: Inch, *, toe_nailed: bool) -> Inch:
    """Length of thread inside the last ply, where the point may have come out of its far side [in]."""
    if toe_nailed or kind_of(fastener.kind).driven:
        return fastener.length
    begins = fastener.length - fastener.thread
    ends = begins + thread
    near = sum(ply.thickness for ply in plies[:-1])
    return min(ends, near + plies[-1].thickness) - max(begins, near)
