"""What a brace may be on each stud: schemes shared by the wall, and head heights and set-backs for each stud."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from attrs import evolve, frozen

from bracing.chain.brace import BraceStrength, brace_strength
from bracing.chain.cuts import long_point, top_corner
from bracing.chain.materials import materials_of
from bracing.chain.room import blocks_shared, known_joists, most_in, under_panel
from bracing.choosing import lowest, over, ranks, whole_down, whole_up
from bracing.job.brace import IN_BLOCK, IN_JOIST, LEAST_REACH, Brace, JointId
from bracing.job.envelope import ANGLES, FAIR_ANGLES, FAIR_HEAD, LONGEST_BRACE
from bracing.job.fields import with_value
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.layout.spots import Refused, Spot, find_spots, moved_to_joists
from bracing.said import Said
from bracing.stages.going_up import ties_named
from bracing.units import Inch, Pound
from bracing.work.minutes import foot_minutes
from bracing.work.remedies import UNDER_EACH, RemedyId, remedies

HEAD_STEP: Inch = 6.0
BELOW_TOP: Inch = 9.0  # a head this far below the top of the plates has its upper corner below them
TOP_PLATES: Inch = 3.0  # two plies
HEADS_A_STUD = 3
ANGLE_AIMS = (36.0, 40.0, 45.0, 52.0)  # degrees; the trade aims at 45: flatter lifts less, steeper saves room
FOOT_STEP: Inch = 6.0
NEAR_ENOUGH: Inch = (
    3.0  # feet as far from a joist within this share their strengths in the search; the chain asks each
)


@frozen
class Scheme:
    """What all braces of a layout have in common.

    Attributes:
        size: nominal size of the stick.
        ties: anchored tie rows.
        doubled: studs doubled at the braces.
        sides: cleats at each foot.
        stiffener: none, or T: a second stick nailed along each brace.
        strongback: a strongback is put across the studs, which the wall as declared does not have.
    """

    size: str
    ties: int
    doubled: bool
    sides: int
    stiffener: str = "none"
    strongback: bool = False

    @property
    def effort(self) -> tuple[int, int, int, int, float]:
        """Order of preference: fewer extras first, then the smaller stick."""
        stiffened = int(self.stiffener != "none")
        return int(self.doubled), stiffened, self.ties, self.sides, section(self.size).width

    @property
    def said(self) -> Said:
        """The scheme."""
        parts = [
            Said("stick", size=self.size)
            if self.stiffener == "none"
            else Said("stick-as-a-t", size=self.size)
        ]
        parts.append(ties_named(self.ties) if self.ties else Said("no-tie-row"))
        parts += [Said("stud-doubled")] * self.doubled
        parts.append(Said("two-cleats") if self.sides > 1 else Said("one-cleat"))
        parts += [Said("a-strongback-across")] * self.strongback
        return Said("recipe", parts=tuple(parts))


@frozen
class Candidate:
    """One brace that could be built on one stud.

    Attributes:
        brace: the brace.
        spot: its foot.
        strength: its strengths.
        level: level force it may give the wall, either way [lb].
        stick: length of the shortest stick on hand that serves [in].
    """

    brace: Brace
    spot: Spot
    strength: BraceStrength
    level: Pound
    stick: Inch


def schemes(job: Job) -> tuple[Scheme, ...]:
    """Give the schemes the stock and kit allow, least effort first.

    Args:
        job: the job with its choices.
    """
    sizes = sorted({stock.size for stock in job.kit.stock}, key=lambda size: section(size).width)
    rows = remedies()
    ties = range(job.kit.ties + 1) if "kit.ties" in job.declared else (0, *rows[RemedyId.TIE].steps)
    slender = [(tie, "none") for tie in ties] + [
        (0, stiffener) for stiffener in rows[RemedyId.STIFFENER].steps
    ]
    found = [
        Scheme(size, tie, doubled, job.kit.cleat.sides, stiffener)
        for size in sizes
        for tie, stiffener in slender
        for doubled in (False, *rows[RemedyId.STUD].steps)
    ]
    return tuple(sorted(found, key=lambda scheme: scheme.effort))


def with_scheme(job: Job, scheme: Scheme) -> Job:
    """Give the job with a scheme's cleats.

    Args:
        job: the job.
        scheme: the scheme.
    """
    return evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, sides=scheme.sides)))


def one_block_each(job: Job) -> Job:
    """Give the job with one block under each cleat, as a layout starts from where nobody declared how many.

    Args:
        job: the job.
    """
    return job if UNDER_EACH in job.declared else with_value(job, UNDER_EACH, 1)


def head_heights(height: Inch) -> tuple[Inch, ...]:
    """Give the head heights to try on a stud, highest first: from two thirds up to under the plates.

    Args:
        height: height of the stud [in].
    """
    top = whole_down((height - BELOW_TOP) / HEAD_STEP) * HEAD_STEP
    low = whole_up(FAIR_HEAD * height / HEAD_STEP) * HEAD_STEP
    if low > top:
        return (height - BELOW_TOP,)
    steps = int((top - low) / HEAD_STEP)
    count = min(HEADS_A_STUD, steps + 1)
    return tuple(top - round(k * steps / max(count - 1, 1)) * HEAD_STEP for k in range(count))


@frozen
class BareCandidate:
    """A brace as it would stand on one spot, whatever its ties, stiffener and stud.

    Attributes:
        spot: its foot.
        brace: the brace there, as many fasteners in its joints as are searched with.
        stick: length of the shortest stick on hand that serves [in].
        alike: those of one scheme for which it is the same are as strong, whatever their studs.
        minutes: what is put under its cleats takes at the least.
    """

    spot: Spot
    brace: Brace
    stick: Inch
    alike: tuple[object, ...]
    minutes: float


def _bare(job: Job, least: Job, spot: Spot, brace: Brace, stick: Inch) -> BareCandidate:
    there = evolve(
        brace,
        stud_at=spot.stud,
        lap_side=spot.lap_side,
        floor_fasteners=spot.most_fasteners,
        foot_on=spot.wood.on,
    )
    alike = brace.head, brace.set_back, spot.most_fasteners, spot.wood.on, *_under(job, there)
    return BareCandidate(spot, there, stick, alike, foot_minutes(least, there))


def shape(job: Job, size: str, *, head: Inch, set_back: Inch) -> Brace:
    """Give a brace of a size between head and foot with as many fasteners in its joints as are searched with.

    Args:
        job: the job.
        size: nominal size.
        head: head height [in].
        set_back: foot to plate [in].
    """
    bare = Brace(mark="B", stud_at=0.0, head=head, set_back=set_back, size=size)
    return evolve(bare, **{joint: full_joint(job, bare, joint) for joint in (JointId.HEAD, JointId.CLEAT)})  # type: ignore[arg-type]


def full_joint(job: Job, brace: Brace, joint: JointId) -> int:
    """Most fasteners a layout puts into a head or cleat joint.

    Args:
        job: the job.
        brace: the brace.
        joint: JointId.HEAD or JointId.CLEAT.
    """
    most = next(row.most for row in remedies().values() if row.name == joint)
    return min(most, most_in(job, brace, joint))


def shapes(job: Job, size: str, head: Inch, *, angle: float | None) -> tuple[tuple[Brace, Inch], ...]:
    """Give the braces to try for a head, flattest that the stock allows first, each with its stick.

    Without an angle asked their set-backs lie on FOOT_STEP, or where the cleats catch the most joists.

    Args:
        job: the job.
        size: nominal size.
        head: head height [in].
        angle: angle asked, or None [degrees].
    """
    sticks = sorted(stock.length for stock in job.kit.stock if stock.size == size)
    aims = (angle,) if angle is not None else ANGLE_AIMS
    limits = ANGLES if angle is not None else FAIR_ANGLES
    found: dict[Inch, tuple[Brace, Inch]] = {}
    for aim in aims:
        back = head / math.tan(math.radians(aim))
        if angle is None:
            back = moved_to_joists(job, whole_down(back / FOOT_STEP) * FOOT_STEP)
        if (
            min(head, back) < LEAST_REACH
            or not limits[0] - 1e-6 <= math.degrees(math.atan2(head, back)) <= limits[1] + 1e-6
        ):
            continue
        tried = shape(job, size, head=head, set_back=back)
        point = long_point(job, tried)
        serving = [stick for stick in sticks if stick >= point - 1e-6]
        if serving and tried.length <= LONGEST_BRACE:
            found.setdefault(back, (tried, serving[0]))
    return tuple(found.values())


@lru_cache(maxsize=64)
def bare_candidates(
    job: Job, size: str, angle: float | None
) -> tuple[tuple[tuple[BareCandidate, ...], ...], tuple[Refused, ...]]:
    """Give every way a brace of a size may stand on each full-height stud, and the places refused.

    Args:
        job: the job with its cleats.
        size: nominal size.
        angle: angle asked, or None [degrees].
    """
    by_head: dict[Inch, tuple[tuple[Brace, Inch], ...]] = {}
    every, refused, least = [], [], one_block_each(job)
    framing = frame_wall(job.wall)
    for stud in framing.full_height_studs:
        here = []
        for head in head_heights(job.wall.height_at(stud.x)):
            if head not in by_head:
                by_head[head] = shapes(job, size, head, angle=angle)
            for brace, stick in by_head[head]:
                spots = find_spots(job, stud=stud.x, head=head, set_back=brace.set_back, size=size)
                if isinstance(spots, Refused):
                    refused.append(spots)
                    continue
                below = [spot for spot in spots if _under_the_plates(job, spot, brace)]
                here += [_bare(job, least, spot, brace, stick) for spot in below]
                if not below:
                    refused.append(Refused(stud.x, head, brace.set_back, Said("head-in-the-plates")))
        every.append(tuple(here))
    return tuple(every), tuple(refused)


def _under_the_plates(job: Job, spot: Spot, brace: Brace) -> bool:
    """Whether the head's upper corner stays below the top plates beside its stud."""
    half, wall = section(brace.size).thickness / 2.0, job.wall
    low, high = sorted((wall.height_at(spot.foot_x - half), wall.height_at(spot.foot_x + half)))
    plates = TOP_PLATES * math.hypot(1.0, (high - low) / (2.0 * half))
    return top_corner(job, brace) <= low - plates + 1e-6


@lru_cache(maxsize=128)
def candidates_for(
    job: Job, scheme: Scheme, *, angle: float | None = None
) -> tuple[tuple[Candidate, ...], tuple[Refused, ...]]:
    """Give every candidate of a scheme on every full-height stud, and the places refused.

    On one stud a candidate with no more level force and no more moment about the plate than another, and under whose
    foot no less is to be put, is dropped.

    Args:
        job: the job with its choices.
        scheme: the scheme.
        angle: angle asked, or None [degrees].
    """
    fitted = with_scheme(job, scheme)
    materials = materials_of(fitted)
    every, refused = bare_candidates(fitted, scheme.size, angle)
    not_here = list(refused)
    known: dict[tuple[object, ...], tuple[BraceStrength, Pound]] = {}
    idle: dict[tuple[object, ...], Said] = {}
    kept: list[Candidate] = []
    for here in every:
        made = []
        for bare in here:
            if bare.alike not in known:
                strength = brace_strength(materials, _in_scheme(bare, scheme))
                known[bare.alike] = strength, level_of(strength)
            made.append((bare, *known[bare.alike]))
        for bare, strength, level in made:
            if level <= 0.0:
                if bare.alike not in idle:
                    idle[bare.alike] = _worth_nothing(strength)
                not_here.append(
                    Refused(bare.spot.stud, bare.brace.head, bare.brace.set_back, idle[bare.alike])
                )
        made = [each for each in made if each[2] > 0.0]
        heads = [bare.brace.head for bare, *_ in made]
        work = [bare.minutes for bare, *_ in made]
        for k in _undominated([level for *_, level in made], heads, work):
            bare, strength, level = made[k]
            kept.append(Candidate(_in_scheme(bare, scheme), bare.spot, strength, level, bare.stick))
    return tuple(kept), tuple(not_here)


# By stick, ties, stiffener and stud: the most level force a brace gives, its most moment about the plate [lb, lb in].
Given = dict[tuple[str, int, str, Inch], tuple[float, float]]


def most_given(job: Job, angle: float | None = None) -> Given:
    """Give the most that braces on single studs give a wall, wherever they stand.

    Args:
        job: the job with its choices.
        angle: angle asked, or None [degrees].
    """
    found: Given = {}
    for scheme in (scheme for scheme in schemes(job) if not scheme.doubled):
        for each in candidates_for(job, scheme, angle=angle)[0]:
            place = scheme.size, scheme.ties, scheme.stiffener, each.brace.stud_at
            force, moment = found.get(place, (0.0, 0.0))
            found[place] = max(force, each.level), max(moment, each.level * each.brace.head)
    return found


def no_more(given: Given, other: Given) -> bool:
    """Whether no brace gives more than others do in its place.

    Args:
        given: what some braces give at the most.
        other: what others do.
    """
    nothing = 0.0, 0.0
    return not any(
        over(mine, theirs)
        for place, gives in given.items()
        for mine, theirs in zip(gives, other.get(place, nothing), strict=True)
    )


def _in_scheme(bare: BareCandidate, scheme: Scheme) -> Brace:
    return evolve(bare.brace, ties=scheme.ties, stiffener=scheme.stiffener, stud_doubled=scheme.doubled)


def _under(job: Job, there: Brace) -> tuple[object, ...]:
    """What of the joists under a foot changes what it holds: about how far one is, whether its cleats share blocks."""
    if known_joists(job) is None or there.foot_on == IN_JOIST:
        return ()
    if there.foot_on == IN_BLOCK:
        return (blocks_shared(job, there),)
    return (whole_down(under_panel(job, there)[0] / NEAR_ENOUGH),)


def _worth_nothing(strength: BraceStrength) -> Said:
    """Why a brace that could stand would give the wall nothing: the joint that does not take it."""
    weak = lowest((*strength.push, *strength.pull), lambda each: each.level_force)
    return Said("gives-nothing", link=weak.link, why=weak.why or "")


def level_of(strength: BraceStrength) -> Pound:
    """Give the level force a brace may give the wall, either way [lb].

    Args:
        strength: its strengths.
    """
    return min(s.level_force for s in (*strength.push, *strength.pull))


def _undominated(levels: list[Pound], heads: list[Inch], work: list[float]) -> list[int]:
    """Leave out what another beats in level force, in moment and in work at the foot; of equals the first stays."""
    force, moment = ranks(levels), ranks([level * head for level, head in zip(levels, heads, strict=True)])
    less = ranks([-minutes for minutes in work])
    kept = []
    for k in range(len(levels)):
        better = (force >= force[k]) & (moment >= moment[k]) & (less >= less[k])
        strictly = (force > force[k]) | (moment > moment[k]) | (less > less[k]) | (np.arange(len(levels)) < k)
        if not (better & strictly).any():
            kept.append(k)
    return kept
