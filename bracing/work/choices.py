"""What a comparison of fasteners gives: joint by joint, fastener by fastener, green and dry."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from functools import cache
from importlib.resources import files

from attrs import field, frozen

from bracing.cautions import CAUTIONS
from bracing.codes.nds.fastener import FastenerCapacity
from bracing.job.job import Job
from bracing.results import header
from bracing.units import Inch, Mph, Pound

MOST = 60  # no joint is tried with more fasteners than this
Enough = tuple[int | None, float | None]


@frozen
class Choice:
    """One fastener in one joint, at one moisture.

    Attributes:
        fastener: its name.
        kind: nail, wood screw, structural screw or lag.
        moisture: green or dry.
        lateral: what one holds in shear [lb].
        axial: what one holds in pull [lb].
        lateral_mode: what sets the one in shear.
        axial_mode: what sets the one in pull.
        governs: which of the two sets how many are needed.
        needed: how many, rounded up; None where no number up to MOST will do.
        fit: how many fit driven straight in, by the recommended distances; None where it was not worked out.
        fit_bored: how many fit in bored holes.
        use: share of the joint used with that many; None where none will do.
        notes: what a reader should know.
    """

    fastener: str
    kind: str
    moisture: str
    lateral: Pound
    axial: Pound
    lateral_mode: str
    axial_mode: str
    governs: str
    needed: int | None
    fit: int | None
    fit_bored: int | None
    use: float | None
    notes: tuple[str, ...] = ()

    @property
    def fits(self) -> bool:
        """Whether the number needed has room, bored for if need be."""
        return self.needed is not None and (self.fit_bored is None or self.needed <= self.fit_bored)

    def to_dict(self) -> dict[str, object]:
        """Give it as a JSON object."""
        return {
            "fastener": self.fastener, "kind": self.kind, "moisture": self.moisture,
            "lateral_lb": self.lateral, "axial_lb": self.axial, "lateral_mode": self.lateral_mode,
            "axial_mode": self.axial_mode, "governs": self.governs, "needed": self.needed, "fit": self.fit,
            "fit_bored": self.fit_bored, "fits": self.fits, "use": self.use, "notes": list(self.notes),
        }  # fmt: skip


@frozen
class JointChoice:
    """One joint with every usual fastener.

    Attributes:
        joint: which.
        mark: brace where it must carry most; None for the whole wall.
        x: place from LEFT [in].
        shear: largest force across its fasteners [lb].
        tension: largest force that pulls them out, before any roll [lb].
        withdrawal_wind: wind direction that pulls them out, push or pull; None where all is shear.
        per: what the number is for, in plain words.
        choices: every fastener, green and dry.
        note: what else a crew should know, or "".
        unreckoned: why there are no numbers, or "".
    """

    joint: str
    mark: str | None
    x: Inch | None
    shear: Pound
    tension: Pound
    withdrawal_wind: str | None
    per: str
    choices: tuple[Choice, ...] = field(repr=False, default=())
    note: str = ""
    unreckoned: str = ""

    @classmethod
    def without_numbers(cls, joint: str, why: str) -> JointChoice:
        """Make a joint there is no fastener to choose for.

        Args:
            joint: which.
            why: why, in plain words.
        """
        return cls(joint, None, None, 0.0, 0.0, None, "", unreckoned=why)

    def to_dict(self) -> dict[str, object]:
        """Give it as a JSON object."""
        return {
            "joint": self.joint, "mark": self.mark, "x_ft": None if self.x is None else self.x / 12.0,
            "shear_lb": self.shear, "tension_lb": self.tension, "withdrawal_wind": self.withdrawal_wind,
            "per": self.per, "choices": [choice.to_dict() for choice in self.choices],
            "note": self.note or None, "unreckoned": self.unreckoned or None,
        }  # fmt: skip


@frozen(eq=False)
class FastenerChoice:
    """Every joint of a wall with every usual fastener, at one gust.

    Attributes:
        job: the job.
        gust: the gust [mph].
        held: the braces hold the wall, so that forces could be shared out.
        as_if: braces that count for nothing as they are, and were taken as if they counted.
        joints: the joints.
        beyond: why the answer is for an engineer; nothing where it is not.
    """

    job: Job
    gust: Mph
    held: bool
    as_if: tuple[str, ...]
    joints: tuple[JointChoice, ...]
    beyond: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, object]:
        """Give it as a JSON object."""
        return {
            **header(self.job, "fasteners"),
            "wall": self.job.wall.name,
            "gust_mph": self.gust,
            "held": self.held,
            "engineer": list(self.beyond),
            "as_if_counted": list(self.as_if),
            "joints": [joint.to_dict() for joint in self.joints],
            "cautions": list(CAUTIONS),
        }


@cache
def usual_fasteners(group: str) -> tuple[str, ...]:
    """Give the usual fasteners of a kind of joint.

    Args:
        group: a table of data/usual_fasteners.toml.

    Example:
        >>> usual_fasteners("panel")[0]
        'gun nail 0.113x2-3/8'
    """
    text = (files("bracing") / "data" / "usual_fasteners.toml").read_text(encoding="utf-8")
    return tuple(tomllib.loads(text)[group]["names"])


def names_to_try(group: str, own: str) -> tuple[str, ...]:
    """Give the names to compare: the job's own first, then the usual ones.

    Args:
        group: a table of data/usual_fasteners.toml.
        own: the job's own.
    """
    return tuple(dict.fromkeys((own, *usual_fasteners(group))))


def make_choice(
    name: str, moisture: str, one: FastenerCapacity, *, enough: Enough, pulls: bool, fits: Sequence[int] = ()
) -> Choice:
    """Make a choice of a fastener's capacity.

    Args:
        name: the fastener.
        moisture: green or dry.
        one: what one holds.
        enough: how many, and the share of the joint used then; None where no number will do.
        pulls: the joint pulls it out too.
        fits: how many fit driven, and bored for; none where not worked out.
    """
    needed, use = enough
    fit, fit_bored = fits or (None, None)
    weaker_in_pull = pulls and one.axial < one.lateral
    return Choice(
        fastener=name, kind=one.kind, moisture=moisture, lateral=one.lateral, axial=one.axial,
        lateral_mode=one.lateral_mode, axial_mode=one.axial_mode,
        governs=one.axial_mode if weaker_in_pull else one.lateral_mode, needed=needed, fit=fit,
        fit_bored=fit_bored, use=use, notes=one.notes,
    )  # fmt: skip
