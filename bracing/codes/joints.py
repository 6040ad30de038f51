"""A joint, whatever the standard: its members, what one fastener in them may carry, and what one pound asks of each."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Protocol, TypeVar

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from bracing.errors import Fault, InputError
from bracing.job.fasteners import Fastener
from bracing.job.pulls import PullTest
from bracing.said import Said
from bracing.sources import least, shipped
from bracing.sums import formula
from bracing.units import Inch, Pound, PoundPerInch, Radian

Many = TypeVar("Many", float, NDArray[np.float64])
Load = float | NDArray[np.float64]

GAP = "gap"
MATERIALS = ("wood", "panel", "steel", "concrete", GAP)


@frozen
class Ply:
    """One member a fastener passes through or ends in.

    Attributes:
        material: one of MATERIALS; a gap is what stands between two members and bears nothing, such as foam.
        thickness: size along the fastener [in].
        G: specific gravity; of a panel, that for bearing; no matter for steel and concrete.
        angle_to_grain: angle of the shear load to the grain [rad].
        end_grain: the fastener runs along the grain.
        known: how its gravity is known, one of `bracing.sources.KNOWN`.
        of: what it is, such as its species, so that two of equal gravity are told apart.
        board: which board of a job it is, one of `bracing.job.pulls.BOARDS`; empty of any other.
    """

    material: str
    thickness: Inch
    G: float = 0.0
    angle_to_grain: Radian = 0.0
    end_grain: bool = False
    known: str = "read"
    of: str = ""
    board: str = ""


def check_plies(plies: tuple[Ply, ...]) -> None:
    """Refuse members that make no joint.

    Args:
        plies: side member, any between, main member.

    Raises:
        InputError: fewer than two, an unknown material, no thickness, or wood without a specific gravity.
    """
    faults = []
    if sum(ply.material != GAP for ply in plies) < 2 or GAP in {plies[0].material, plies[-1].material}:
        faults.append(_fault("plies", len(plies), "a side member and a main member"))
    for index, ply in enumerate(plies):
        where = f"plies[{index}]"
        if ply.material not in MATERIALS:
            faults.append(_fault(f"{where}.material", ply.material, f"one of: {', '.join(MATERIALS)}"))
        if not 0.0 < ply.thickness < math.inf:
            faults.append(_fault(f"{where}.thickness", ply.thickness, "a thickness over nothing"))
        if ply.material in {"wood", "panel"} and not 0.2 <= ply.G <= 0.9:
            faults.append(_fault(f"{where}.G", ply.G, "a specific gravity from 0.2 to 0.9"))
        if not 0.0 <= ply.angle_to_grain <= math.pi / 2.0 + 1e-9:
            faults.append(_fault(f"{where}.angle_to_grain", ply.angle_to_grain, "from 0 to a right angle"))
    if faults:
        raise InputError(faults)


def _fault(field: str, value: object, expected: str) -> Fault:
    return Fault("joint", field, str(value), expected)


MOISTURES = ("green", "dry")
MOST_LOAD_DURATION: float = shipped("joints")["load_duration"][
    "ten_minutes"
]  # of wind, and the most in joints
YIELD_WORDS = {
    "Im": Said("gives-Im"), "Is": Said("gives-Is"), "II": Said("gives-II"), "IIIm": Said("gives-IIIm"),
    "IIIs": Said("gives-IIIs"), "IV": Said("gives-IV"),
}  # fmt: skip


@frozen
class Joint:
    """One fastener in a described joint.

    Attributes:
        fastener: the fastener.
        plies: side member under the head, any layer between, main member at the point.
        moisture: "green" (the worse of wet now and dried later) or "dry".
        toe_nailed: driven as a toe-nail; nails only.
        rows: rows of fasteners along the grain.
        load_duration: load duration factor CD, at most 1.6; never applied to the steel [-].
        pulls: pull tests of this fastener.
    """

    fastener: Fastener
    plies: tuple[Ply, ...]
    moisture: str
    toe_nailed: bool = field(default=False, kw_only=True)
    rows: int = field(default=1, kw_only=True)
    load_duration: float = field(default=MOST_LOAD_DURATION, kw_only=True)
    pulls: tuple[PullTest, ...] = field(default=(), kw_only=True)


class Together(Protocol):
    """The rule for shear and pull on one fastener."""

    def __call__(self, *, shear: Load, tension: Load, lateral: Pound, axial: Pound) -> Load:
        """Give the share of it used, 1 at the allowable value.

        Args:
            shear: force across it, one or many [lb].
            tension: pull along it, one or many [lb].
            lateral: what it may carry across [lb].
            axial: what it may carry along [lb].
        """


@frozen
class FastenerCapacity:
    """Allowable values of one fastener in its joint.

    Attributes:
        name: the fastener.
        kind: kind of fastener.
        reported: some of its values come from a report.
        lateral: allowable force across it [lb].
        lateral_mode: yield mode, "report", or why it is nothing.
        withdrawal: allowable withdrawal of the point [lb].
        pull_through: allowable pull-through of the head; None under a steel side plate [lb].
        steel: allowable tension of the steel [lb].
        axial: the least of the three [lb].
        axial_mode: "withdrawal", "pull-through" or "steel".
        slip_modulus: load/slip modulus [lb/in].
        penetration: length past the side member [in].
        holding: length that holds its point along it [in].
        notes: what a reader should know.
        sources: clauses used.
        lateral_known: how the force across it is known, one of `bracing.sources.KNOWN`.
        axial_known: how the force along it is known.
        together: rule for shear and pull together.
    """

    name: str
    kind: str
    reported: bool
    lateral: Pound
    lateral_mode: str
    withdrawal: Pound
    pull_through: Pound | None
    steel: Pound
    axial: Pound
    axial_mode: str
    slip_modulus: PoundPerInch
    penetration: Inch
    notes: tuple[Said, ...] = ()
    sources: tuple[str, ...] = ()
    lateral_known: str = "read"
    axial_known: str = "read"
    together: Together = field(kw_only=True)
    holding: Inch = field(default=0.0, kw_only=True)

    @property
    def known(self) -> str:
        """How both together are known."""
        return least(self.lateral_known, self.axial_known)

    @property
    def lateral_words(self) -> Said | str:
        """What sets the force across it, for people: a bare numeral says nothing to a crew."""
        if self.lateral_mode in YIELD_WORDS:
            return Said("yield-mode", mode=self.lateral_mode, gives=YIELD_WORDS[self.lateral_mode])
        return self.lateral_mode

    def utilisation(self, shear: Load, tension: Load) -> Load:
        """Give the share of the fastener used by a force across it and a pull along it.

        Args:
            shear: force across the fastener, one or many [lb].
            tension: pull along the fastener, one or many [lb].

        Returns:
            Utilisation, 1 at the allowable value [-].

        Source: STATICS, by the rule of its kind.
        """
        return self.together(shear=shear, tension=tension, lateral=self.lateral, axial=self.axial)


@formula
def load_of_each(load: Load, n: float) -> Load:
    """Give the force on each of so many fasteners: V = load / n.

    Args:
        load: force on all of them [lb].
        n: how many [-].

    Returns:
        Force on one [lb].

    Source: STATICS.

    Example:
        >>> load_of_each(300.0, 4)
        75.0
    """
    return load / n


@formula
def one_load(load: Load, allowed: Pound) -> Load:
    """Give the share of a fastener used by one force alone: u = load / allowed.

    Args:
        load: force across or along it [lb].
        allowed: what is allowed that way [lb].

    Returns:
        Utilisation, 1 at the allowable value; infinite on a capacity of nothing [-].

    Source: STATICS.

    Example:
        >>> one_load(50.0, 100.0)
        0.5
    """
    return share_used(load, allowed)


def share_used(load: Load, allowed: Pound) -> Load:
    """Divide, with nothing on nothing 0 and something on nothing infinite: a plain number, of which no sum is made.

    Args:
        load: force [lb].
        allowed: what is allowed [lb].

    Source: STATICS.
    """
    loads = np.asarray(load, dtype=float)
    return loads / allowed if allowed > 0.0 else np.where(loads > 0.0, np.inf, 0.0)


@formula
def plies_together(each: float, plies: Many) -> Many:
    """Give the value of so many plies: R = each plies.

    Args:
        each: what one ply carries [lb or lb in].
        plies: how many [-].

    Returns:
        What they carry [lb or lb in].

    Source: STATICS, plies side by side bend together.

    Example:
        >>> plies_together(742.5, 2.0)
        1485.0
    """
    return each * plies


@formula
def shear_of_each(n: float, Cg: float) -> float:
    """Give the shear on one fastener for each pound level: v = 1 / n / Cg.

    Args:
        n: how many fasteners [-].
        Cg: group action factor [-].

    Returns:
        Shear on one [lb/lb].

    Source: STATICS.

    Example:
        >>> shear_of_each(4, 1.0)
        0.25
    """
    return 1.0 / n / Cg


@formula
def lift_of_each(angle: Radian, n: float) -> float:
    """Give the upward force on one fastener for each pound level: v = tan(angle°) / n.

    Args:
        angle: of the brace above level [rad].
        n: how many fasteners [-].

    Returns:
        Upward force on one [lb/lb].

    Source: STATICS.

    Example:
        >>> round(lift_of_each(math.pi / 4.0, 2), 6)
        0.5
    """
    return math.tan(angle) / n


@formula
def roll_beside(e: Inch, l: Inch) -> float:  # noqa: E741  (as printed)
    """Give the roll factor of one cleat beside a brace: roll = 1 + e / l.

    Args:
        e: from the fasteners to the middle of the brace [in].
        l: from the fasteners to the edge the cleat rolls about [in].

    Returns:
        Pull in the fasteners for each pound of uplift [lb/lb].

    Source: STATICS, moments about the edge the cleat rolls about.

    Example:
        >>> roll_beside(2.5, 1.25)
        3.0
    """
    return 1.0 + e / l


@formula
def lever_of_one(h: Inch, s: Inch) -> float:
    """Give the pull of the lever on a single fastener: t = h / (s / 2).

    Args:
        h: height of the shear above the floor [in].
        s: length of cleat that bears [in].

    Returns:
        Pull for each pound of shear [lb/lb].

    Source: STATICS.

    Example:
        >>> lever_of_one(0.75, 3.0)
        0.5
    """
    return h / (s / 2.0)


@frozen
class Spacing:
    """Distances that need no reduction.

    Attributes:
        end: from the end of the member [in].
        edge: from its edge [in].
        in_row: between fasteners along the grain [in].
        between_rows: between rows across the grain [in].
    """

    end: Inch
    edge: Inch
    in_row: Inch
    between_rows: Inch


@frozen
class Fit:
    """How many fasteners fit in a face.

    Attributes:
        rows: rows across the grain.
        per_row: fasteners in each row.
        spacing: the distances kept.
    """

    rows: int
    per_row: int
    spacing: Spacing

    @property
    def count(self) -> int:
        """How many fit in all."""
        return self.rows * self.per_row


class LeastSpacing(Protocol):
    """The distances a fastener needs for its full value."""

    def __call__(
        self, fastener: Fastener, /, *, load: str, end: str = "tension", prebored: bool = False
    ) -> Spacing:
        """Give them.

        Args:
            fastener: the fastener.
            load: "parallel" or "perpendicular" to the grain.
            end: "tension" toward the end, or "compression".
            prebored: holes are bored first.
        """


@frozen
class Acting:
    """How so many fasteners of one joint act, by the formulas of a standard.

    Attributes:
        all_of: force so many may carry, of one's, how many and their group factor.
        along_run: of a row along a run of plate, of one's, the run, how many are in a length, and that length.
        nails_or_strap: of nails, or of a strap declared there.
        level_force: level force that uses all of one, of the share each pound uses.
        group: group factor of so many, side and main member given by modulus, thickness and width.
        slip: load/slip modulus of one, of its diameter.
        spacing: the distances a fastener needs.
        fit: how many fit in a face, of its length and width and the distances.
    """

    all_of: Callable[[Pound, float, float], Pound]
    along_run: Callable[..., Pound]
    nails_or_strap: Callable[..., Pound]
    level_force: Callable[[float], Pound]
    group: Callable[..., float]
    slip: Callable[[Inch], PoundPerInch]
    spacing: LeastSpacing
    fit: Callable[[Inch, Inch, Spacing], Fit]
