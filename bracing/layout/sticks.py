"""Every stick for one height and gust: longer against stiffer against steeper.

Each stick is set as flat as it reaches, its head as high as the plates let it, and stands for a stretch of wall by
itself. Joints take as many fasteners as are searched with, so that what governs is named as a layout meets it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TypedDict

from attrs import evolve, field, frozen

from bracing.chain.brace import BraceStrength, brace_strength
from bracing.chain.cuts import long_point, top_corner
from bracing.chain.evaluate import Evaluation
from bracing.chain.materials import materials_of
from bracing.chain.room import best_foot, most_in
from bracing.check import check
from bracing.choosing import lowest, whole_down
from bracing.errors import NoLayoutError
from bracing.job.brace import Brace, JointId, Stock
from bracing.job.envelope import FAIR_ANGLES, LONGEST_BRACE, MOST_APART, beyond
from bracing.job.job import Job
from bracing.layout.candidates import FOOT_STEP, TOP_PLATES, Scheme, head_heights, shape, with_scheme
from bracing.layout.needed import choose
from bracing.results import HeaderJson, header, load_results
from bracing.said import Said
from bracing.units import Inch, InchPound, Mph, Pound, Radian
from bracing.work.parts import stick

EVERY: Inch = 96.0
STIFFENED = ((0, "none"), (1, "none"), (2, "none"), (0, "T"))

StickRowJson = TypedDict("StickRowJson", {
    "stock": Said, "ties": int, "stiffener": str, "angle_deg": float, "head_ft": float, "set_back_ft": float,
    "force_lb": float, "push_lb": float, "pull_lb": float, "lift_lb": float, "stretch_ft": float, "governs": str,
    "why": Said | None,
})  # fmt: skip
_StockKeys = TypedDict("_StockKeys", {
    "wall": str, "height_ft": float, "gust_mph": float, "every_ft": float, "moment_lbft_per_ft": float,
    "too_short": list[Said], "rows": list[StickRowJson],
})  # fmt: skip


class StockJson(HeaderJson, _StockKeys):
    """What `Sticks` gives."""


@frozen
class StickRow:
    """One stick, tied or stiffened or neither.

    Attributes:
        size: nominal size.
        stock: length of the stick [in].
        ties: anchored tie rows.
        stiffener: none or T.
        angle: from the floor [rad].
        head: head height [in].
        set_back: foot to plate [in].
        force: along the brace at the gust, for the stretch of wall asked [lb].
        push: most it may carry in push, the least of its links [lb].
        pull: most it may carry in pull [lb].
        lift: on the plate at the gust [lb].
        reach: stretch of wall it may stand for by itself [in].
        link: the link that governs.
        why: what sets that link.
    """

    size: str
    stock: Inch
    ties: int
    stiffener: str
    angle: Radian
    head: Inch
    set_back: Inch
    force: Pound
    push: Pound
    pull: Pound
    lift: Pound
    reach: Inch
    link: str
    why: Said | None

    @property
    def name(self) -> Said:
        """Give the stick as a yard does."""
        return stick(self.size, self.stock)

    @property
    def made(self) -> str:
        """Say what stiffens it."""
        if self.stiffener == "T":
            return "T"
        return "-" if not self.ties else "1 tie" if self.ties == 1 else f"{self.ties} ties"

    def to_dict(self) -> StickRowJson:
        """Give the row as a JSON object."""
        return {
            "stock": self.name, "ties": self.ties, "stiffener": self.stiffener, "angle_deg": math.degrees(self.angle),
            "head_ft": self.head / 12.0, "set_back_ft": self.set_back / 12.0, "force_lb": self.force,
            "push_lb": self.push, "pull_lb": self.pull, "lift_lb": self.lift, "stretch_ft": self.reach / 12.0,
            "governs": self.link, "why": self.why,
        }  # fmt: skip


@frozen
class Sticks:
    """The sticks for one height and gust.

    Attributes:
        job: the job with its choices.
        height: of the wall at its highest [in].
        gust: the gust asked [mph].
        every: stretch of wall each stands for [in].
        moment: of the wind about the plate, on an inch of wall there [lb].
        rows: the sticks, by size and length, each tied or stiffened or neither.
        short: sticks too short to stand at 60 degrees.
    """

    job: Job = field(repr=False)
    height: Inch
    gust: Mph
    every: Inch
    moment: float
    rows: tuple[StickRow, ...]
    short: tuple[Stock, ...] = ()

    def to_dict(self) -> StockJson:
        """Give the table as a JSON object."""
        return {
            **header(self.job, "stock"), "wall": self.job.wall.name, "height_ft": self.height / 12.0,
            "gust_mph": self.gust, "every_ft": self.every / 12.0, "moment_lbft_per_ft": self.moment,
            "rows": [row.to_dict() for row in self.rows],
            "too_short": [stick(stock.size, stock.length) for stock in self.short],
        }  # fmt: skip


def sticks_for(job: Job, *, gust: Mph, every: Inch = EVERY, thunderstorm: bool = False) -> Sticks:
    """Give every stick on hand, or the usual ones, for a wall's highest stud.

    Args:
        job: the job; braces in it are not looked at.
        gust: the gust asked [mph].
        every: stretch of wall each brace stands for [in].
        thunderstorm: the forecast says thunderstorms.

    Raises:
        NoLayoutError: the wall or gust lies outside the envelope of use.
    """
    bare = evolve(job, braces=(), built=None)
    if outside := beyond(bare, gust):
        raise NoLayoutError(Said("for-an-engineer", why=outside), 0)
    chosen = choose(bare)
    evaluation = check(chosen, gust=gust, thunderstorm=thunderstorm, effects=False).evaluation
    assert evaluation is not None  # inside the envelope
    moment = moment_per_inch(chosen, evaluation)
    rows: list[StickRow] = []
    short: list[Stock] = []
    for stock in sorted(chosen.kit.stock, key=lambda s: (s.size, s.length)):
        stood = flattest(chosen, stock)
        if stood is None:
            short.append(stock)
        elif not any(
            r.size == stood.size and (r.head, r.set_back) == (stood.head, stood.set_back) for r in rows
        ):
            rows += _rows(chosen, stock, stood, moment=moment, every=every)
    return Sticks(chosen, chosen.wall.highest, gust, every, moment, tuple(rows), tuple(short))


def moment_per_inch(job: Job, evaluation: Evaluation) -> Pound:
    """Give the moment about the plate on an inch of wall at its highest stud, case A, lean and people with it [lb].

    The wall's moment is shared out by the height squared.

    Args:
        job: the job.
        evaluation: its chain at the gust.

    Source: STATICS.
    """
    cases = load_results(evaluation)["cases"]
    assert isinstance(cases, list)
    whole: InchPound = max(abs(c["moment_about_plate_lbft"]) for c in cases if c["case"] == "A") * 12.0
    wall = job.wall
    squares = 0.0
    for (x0, z0), (x1, z1) in zip(wall.top, wall.top[1:], strict=False):
        squares += (x1 - x0) * (z0 * z0 + z0 * z1 + z1 * z1) / 3.0
    return whole * wall.highest**2 / squares


def flattest(job: Job, stock: Stock) -> Brace | None:
    """Give the flattest brace a stick makes from the highest head it can; None where it is too short for any.

    Args:
        job: the job.
        stock: the stick.
    """
    for head in head_heights(job.wall.highest):
        flat = whole_down(head / math.tan(math.radians(FAIR_ANGLES[0])) / FOOT_STEP) * FOOT_STEP
        steep = head / math.tan(math.radians(FAIR_ANGLES[1]))
        back = flat
        if job.floor.room is not None:
            deepest = job.floor.room - job.kit.cleat.length / 2.0
            back = min(flat, whole_down(deepest / FOOT_STEP) * FOOT_STEP)
        while back >= steep:
            tried = shape(job, stock.size, head=head, set_back=back)
            fits = tried.length <= LONGEST_BRACE and long_point(job, tried) <= stock.length
            if fits and top_corner(job, tried) <= job.wall.highest - TOP_PLATES:
                return tried
            back -= FOOT_STEP
    return None


def _rows(job: Job, stock: Stock, stood: Brace, *, moment: Pound, every: Inch) -> Iterator[StickRow]:
    for ties, stiffener in STIFFENED:
        fitted = with_scheme(
            job, Scheme(stock.size, ties, doubled=False, sides=job.kit.cleat.sides, stiffener=stiffener)
        )
        brace = evolve(
            stood, ties=ties, stiffener=stiffener, floor_fasteners=most_in(fitted, stood, JointId.FLOOR),
            foot_on=best_foot(job),
        )  # fmt: skip
        yield _row(stock, brace, brace_strength(materials_of(fitted), brace), moment=moment, every=every)


def _row(stock: Stock, brace: Brace, strength: BraceStrength, *, moment: Pound, every: Inch) -> StickRow:
    level = moment * every / brace.head
    weak = lowest((*strength.push, *strength.pull), lambda each: each.level_force)
    along = math.cos(brace.angle)
    return StickRow(
        size=stock.size, stock=stock.length, ties=brace.ties, stiffener=brace.stiffener, angle=brace.angle,
        head=brace.head, set_back=brace.set_back, force=level / along,
        push=min(s.level_force for s in strength.push) / along, pull=min(s.level_force for s in strength.pull) / along,
        lift=level * math.tan(brace.angle), reach=min(weak.level_force * brace.head / moment, MOST_APART),
        link=weak.link, why=weak.why,
    )  # fmt: skip
