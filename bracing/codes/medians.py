"""What the same parts carry in the middle of their scatter: the basis in use, each allowable value at its median."""

from __future__ import annotations

import math
from enum import StrEnum

from attrs import evolve, field, frozen

from bracing.codes.basis import _InUse
from bracing.codes.chance import (
    log_scatter,
    mean_of_buckling,
    mean_of_lateral,
    mean_over_fifth,
    median_over_mean,
    scatter_of_log,
    spread_known,
    spread_of_next,
)
from bracing.codes.joints import MOST_LOAD_DURATION, FastenerCapacity, Joint
from bracing.codes.nds.dowels import Dowel, reduction_terms
from bracing.codes.nds.fastener import tests_that_tell
from bracing.codes.nds.strengths import Member
from bracing.codes.pulls import counted, left_by_moisture
from bracing.codes.sticks import DesignValues
from bracing.job.fasteners import Fastener, kind_of
from bracing.job.lumber import Section
from bracing.job.pulls import PullTest
from bracing.sources import shipped

STEP = 0.01  # by so much more one kind of strength is tried, to see which a link hangs on


class Strength(StrEnum):
    """Kinds of strength that scatter: all of one kind in a wall share part of it."""

    NAIL = "nail drawn"
    SCREW = "screw or lag drawn"
    SHEATHING = "sheathing nail drawn"
    LATERAL = "fastener across"
    BENDING = "bending or shear"
    TENSION = "tension"
    CRUSHING = "crushing"
    BUCKLING = "buckling"
    ACROSS = "across the grain"
    TYPED = "typed or not scattered"

    @property
    def of_joint(self) -> bool:
        """Whether it is that of fasteners a crew drives."""
        return self in (Strength.NAIL, Strength.SCREW, Strength.SHEATHING, Strength.LATERAL)


def scatter_of(kind: Strength) -> float:
    """Give the coefficient of variation of one fastener or stick; 0 of a value somebody typed [-].

    Args:
        kind: of strength.
    """
    table = shipped("chance")
    of: dict[Strength, float] = {
        Strength.NAIL: table["withdrawal_scatter"]["nail"],
        Strength.SCREW: table["screw_scatter"]["screw"],
        Strength.SHEATHING: table["withdrawal_scatter"]["sheathing"],
        Strength.LATERAL: table["lateral_scatter"]["lateral"],
        Strength.BENDING: table["lumber_scatter"]["bending"],
        Strength.TENSION: table["lumber_scatter"]["tension"],
        Strength.CRUSHING: table["lumber_scatter"]["crushing"],
        Strength.BUCKLING: table["buckling_scatter"]["buckling"],
        Strength.ACROSS: table["across_scatter"]["scatter"],
    }
    return of.get(kind, 0.0)


def mean_of_stick(kind: Strength) -> float:
    """Give the mean strength of lumber over its allowable value, ten minutes of load in that [-].

    Args:
        kind: bending, tension, crushing, buckling or across the grain.

    Source: D1990; NDS appendix D-4; JUDGEMENT, across the grain.
    """
    if kind is Strength.BUCKLING:
        return mean_of_buckling(scatter_of(kind))
    if kind is Strength.ACROSS:
        of = shipped("chance")["across"]
        return float(of["partial"] / of["gust"] * mean_over_fifth(scatter_of(kind)))
    name = {Strength.BENDING: "bending", Strength.TENSION: "tension", Strength.CRUSHING: "crushing"}[kind]
    fifth: float = shipped("chance")["lumber"][name]
    return fifth / MOST_LOAD_DURATION * mean_over_fifth(scatter_of(kind))


def kind_drawn(kind: str) -> Strength:
    """Give the kind of strength with which a fastener holds in wood along itself.

    Args:
        kind: kind of fastener.
    """
    return Strength.NAIL if kind_of(kind).driven else Strength.SCREW


def scatter_as_pulled(test: PullTest, kind: str) -> float:
    """Give the coefficient of variation of the next fastener like those of a pull test: wider, the fewer they were [-].

    Fewer than five have no spread of their own: that of the kind counts, about a mean that is not sure.

    Args:
        test: the test.
        kind: kind of fastener.

    Source: EN1990 D.7.2 (from memory).
    """
    found = counted(test, kind, green=True)
    if found.s is None or found.ne is None:
        return scatter_of_log(spread_known(log_scatter(scatter_of(kind_drawn(kind))), found.n))
    return scatter_of_log(spread_of_next(float(found.s), float(found.ne)))


def mean_of_drawn(fastener: Fastener) -> float:
    """Give the mean of a fastener drawn, or its head pulled through, over its allowable value [-].

    Args:
        fastener: which.

    Source: FPL-093; NDS 12.2.
    """
    table = shipped("chance")["withdrawal"]
    word = "lag" if fastener.kind == "lag" else "nail" if kind_of(fastener.kind).driven else "screw"
    return float(table[word]) / MOST_LOAD_DURATION


def reduction_of(joint: Joint, mode: str) -> float:
    """Give the reduction term the allowable value of a fastener across has in it [-].

    Args:
        joint: the fastener in its members.
        mode: its yield mode.
    """
    one = joint.fastener
    angle = max(ply.angle_to_grain for ply in joint.plies)
    first, second, third = reduction_terms(Dowel(one.diameter, one.yield_diameter, one.fyb), angle)
    return first if mode in ("Im", "Is") else second if mode == "II" else third


@frozen(cache_hash=True)
class Medians(_InUse):
    """The basis in use, with every strength the median of what parts of that name really carry.

    Attributes:
        dried: nails driven green are counted as dried since.
        more: one kind of strength that is a little more, to see what hangs on it, or the pull test of which it is;
            None for none.
    """

    dried: bool = field(default=True, kw_only=True)
    more: Strength | PullTest | None = field(default=None, kw_only=True)

    def of(self, kind: Strength, mean: float) -> float:
        """Give the median over the allowable value [-].

        Args:
            kind: of strength.
            mean: its mean over the allowable value [-].
        """
        step = 1.0 + STEP if kind is self.more else 1.0
        return mean * median_over_mean(scatter_of(kind)) * step

    def lumber(
        self, species: str, grade: str, size: str, *, wet: bool, load_duration: float = MOST_LOAD_DURATION
    ) -> DesignValues:
        """Give the design values of lumber at their medians; the stiffness of a wall is as it was.

        Args:
            species: as a person writes it.
            grade: as on the grade stamp.
            size: nominal size.
            wet: moisture content over 19%.
            load_duration: factor of the load's duration [-].
        """
        values = super().lumber(species, grade, size, wet=wet, load_duration=load_duration)
        bent, drawn, crushed, buckled = (
            self.of(kind, mean_of_stick(kind))
            for kind in (Strength.BENDING, Strength.TENSION, Strength.CRUSHING, Strength.BUCKLING)
        )
        return evolve(
            values, Fb=bent * values.Fb, Fb_flat=bent * values.Fb_flat, Fv=bent * values.Fv, Ft=drawn * values.Ft,
            Fc=crushed * values.Fc, Fc_perp=crushed * values.Fc_perp, Emin=buckled * values.Emin,
        )  # fmt: skip

    def member(self, section: Section, values: DesignValues) -> Member:
        """Give what one size of lumber may carry, however slender.

        Args:
            section: its section.
            values: its design values.
        """
        return Member(section, values, most_slender=math.inf)

    def fastener(self, joint: Joint) -> FastenerCapacity:
        """Give what one fastener in a described joint carries at its median; what a report states is as typed.

        Args:
            joint: the fastener and its members.
        """
        one, fastener = super().fastener(joint), joint.fastener
        lateral: float = one.lateral
        if one.lateral_mode != "report" and lateral > 0.0:
            mean = mean_of_lateral(reduction_of(joint, one.lateral_mode), MOST_LOAD_DURATION)
            lateral = self.of(Strength.LATERAL, mean) * lateral
        kind = self._drawn(joint)
        drawn = self.of(kind, mean_of_drawn(fastener))
        withdrawal = self._withdrawal(joint, one)
        out = withdrawal if fastener.withdrawal_per_inch is not None else drawn * withdrawal
        tests = tests_that_tell(joint.pulls, joint.plies[-1], toe_nailed=joint.toe_nailed)
        if tests:
            out = min(self._as_pulled(joint, test, one.holding) for test in tests)
        head = one.pull_through
        if head is not None and fastener.pull_through is None:
            head = drawn * head
        limits = {"withdrawal": out, "pull-through": head, "steel": one.steel}
        counted = {name: value for name, value in limits.items() if value is not None}
        mode = min(counted, key=lambda name: counted[name])
        return evolve(
            one, lateral=lateral, withdrawal=out, pull_through=head, axial=counted[mode], axial_mode=mode
        )

    def _drawn(self, joint: Joint) -> Strength:
        kind = kind_drawn(joint.fastener.kind)
        return Strength.SHEATHING if kind is Strength.NAIL and joint.plies[0].material == "panel" else kind

    def _as_pulled(self, joint: Joint, test: PullTest, holding: float) -> float:
        """The median of what was pulled, for the length and moisture of the joint; few pulls only lower the tables'."""
        fastener, green = joint.fastener, joint.moisture == "green"
        found = counted(test, fastener.kind, green=green, reported=fastener.report is not None)
        mean = float(found.mean) * left_by_moisture(test, fastener.kind, green=green, dried=self.dried)
        mean *= 1.0 if test.depth is None else min(holding / test.depth, 1.0)
        middle = median_over_mean(scatter_as_pulled(test, fastener.kind))
        if found.most is not None:
            mean = min(mean, float(found.most) * self._by_tables(joint))
        return mean * middle * (1.0 + STEP if test == self.more else 1.0)

    def _by_tables(self, joint: Joint) -> float:
        """The mean by the tables, where nothing was pulled; what a report states is as typed."""
        bare, fastener = evolve(joint, pulls=()), joint.fastener
        table = self._withdrawal(bare, super().fastener(bare))
        return table if fastener.withdrawal_per_inch is not None else mean_of_drawn(fastener) * table

    def _withdrawal(self, joint: Joint, one: FastenerCapacity) -> float:
        """What the point holds: of a nail not yet dried without the factor of one that dried since it was driven."""
        if self.dried or joint.moisture == "dry" or not kind_of(joint.fastener.kind).driven:
            return one.withdrawal
        return super().fastener(evolve(joint, moisture="dry")).withdrawal
