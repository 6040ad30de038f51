"""`stages`: a wall from its first brace to its last: the limit gust after each, with each gone, and with returns.

Every number is for the stage as it is, with what is declared; nothing that is still to come is counted.
"""

from __future__ import annotations

from attrs import evolve, field, frozen

from bracing.brace import Brace
from bracing.cautions import CAUTIONS
from bracing.chain.model import Model, build_model
from bracing.choosing import first_least, over, sorted_by, whole_down
from bracing.envelope import beyond
from bracing.errors import InputError
from bracing.evaluate import keeping, limit_gust, one_missing
from bracing.gusts import clear_out_gust
from bracing.holding import held_part, held_value
from bracing.job import Job
from bracing.layout.search import Clock
from bracing.results import header
from bracing.take_down import BUDGET, TakeDown, take_down
from bracing.units import Inch, Mph, PoundPerInch, tape
from bracing.wall import Return, Wall

GIVEN, MIDDLE = "given", "middle"
SIDES = ("left", "right")
# A return nobody declared in full is shown as one that is proper; judgement.
PROPER_LENGTH: Inch = 48.0
PROPER_SPACING: Inch = 6.0
PROPER_FASTENER = "structural screw 0.22x5"
WHOLE = 1e-9


@frozen
class Stage:
    """The wall with some of its braces up.

    Attributes:
        mark: the brace that is fully fastened last.
        limit: limit gust then, unrounded [mph].
        with_returns: the same with a proper return at both ends, tied before any brace [mph].
    """

    mark: str
    limit: Mph
    with_returns: Mph

    def to_dict(self) -> dict[str, object]:
        """Give it as JSON."""
        return {
            "after": self.mark,
            "limit_gust_mph": whole_down(self.limit),
            "clear_out_gust_mph": clear_out_gust(whole_down(self.limit)),
            "limit_gust_with_returns_mph": whole_down(self.with_returns),
        }


@frozen
class ReturnWorth:
    """What a proper return at one end is worth.

    Attributes:
        side: left or right.
        lacks: what the one declared lacks; empty where it counts already; "not declared" for a free end.
        what: the return that is counted here, in words.
        limit: limit gust with it, all braces up [mph].
        without: limit gust with that end free [mph].
    """

    side: str
    lacks: tuple[str, ...]
    what: str
    limit: Mph
    without: Mph

    def to_dict(self) -> dict[str, object]:
        """Give it as JSON."""
        return {
            "side": self.side, "counts": not self.lacks, "lacks": list(self.lacks), "return": self.what,
            "limit_gust_mph": whole_down(self.limit),
            "limit_gust_without_mph": whole_down(self.without),
        }  # fmt: skip


@frozen(eq=False)
class StagesResult:
    """A wall through its stages.

    Attributes:
        job: the wall, its braces in the order they go up.
        gust: gust of the day; None where none was asked [mph].
        beyond: why the answer is "engineer".
        stages: after each brace.
        missing: limit gust with each brace gone, in that order [mph].
        returns: what a proper return is worth at each end.
        take_down: which braces may come out after which event; None without a gust to keep.
    """

    job: Job = field(repr=False)
    gust: Mph | None
    beyond: tuple[str, ...]
    stages: tuple[Stage, ...]
    missing: tuple[Mph, ...]
    returns: tuple[ReturnWorth, ...]
    take_down: TakeDown | None

    @property
    def limit(self) -> Mph | None:
        """Limit gust with every brace up; None beyond the envelope [mph]."""
        if self.beyond:
            return None
        return self.stages[-1].limit if self.stages else 0.0

    @property
    def verdict(self) -> str | None:
        """Within or over at the gust of the day with every brace up; engineer; None where no gust was asked."""
        if self.beyond:
            return "engineer"
        if self.gust is None:
            return None
        return "over" if over(self.gust, self.limit or 0.0) else "within"

    @property
    def hook_until(self) -> str | None:
        """Mark of the brace that is fully fastened before the hook comes off; None where the gust is over all."""
        if self.gust is None:
            return None
        enough = [not over(self.gust, stage.limit) for stage in self.stages]
        first = next((k for k in range(len(enough)) if all(enough[k:])), None)
        return None if first is None else self.stages[first].mark

    @property
    def matters_most(self) -> str | None:
        """Mark of the brace whose loss costs most; None without braces."""
        if not self.missing:
            return None
        return self.job.braces[first_least(self.missing)].mark

    def to_dict(self) -> dict[str, object]:
        """Give the result as JSON."""
        marks = [brace.mark for brace in self.job.braces]
        return {
            **header(self.job, "stages"),
            "wall": self.job.wall.name,
            "state": self.job.state,
            "verdict": self.verdict,
            "gust_mph": self.gust,
            "engineer": list(self.beyond),
            "order": marks,
            "stages": [stage.to_dict() for stage in self.stages],
            "hook_stays_until": self.hook_until,
            "one_missing_mph": {
                mark: whole_down(gust) for mark, gust in zip(marks, self.missing, strict=False)
            },
            "matters_most": self.matters_most,
            "returns": [worth.to_dict() for worth in self.returns],
            "take_down": None if self.take_down is None else self.take_down.to_dict(),
            "cautions": list(CAUTIONS),
        }


def stages(
    job: Job,
    *,
    gust: Mph | None = None,
    order: str = GIVEN,
    keep: Mph | None = None,
    deck: PoundPerInch | None = None,
    budget: float = BUDGET,
) -> StagesResult:
    """Take a wall through its stages.

    Args:
        job: the wall with all its braces.
        gust: gust of the day, for the hook [mph].
        order: of the braces: given, as in the file; middle, from the middle (or the peak) outward.
        keep: gust no removal may go below [mph]; the gust of the day unless given.
        deck: allowable level load of a deck nailed along the top [lb/in]; None where nobody declared it.
        budget: time for the search of braces that may come out [s].

    Returns:
        The result.

    Raises:
        InputError: a brace that is on no full-height stud, or no such order.
    """
    held_part(job, Job, "job")
    gust, keep = held_value(gust, "speed", "gust", least=0.0), held_value(keep, "speed", "keep", least=0.0)
    deck = held_value(deck, "line load", "deck", least=0.0)
    if order not in (GIVEN, MIDDLE):
        what = "--order"
        raise InputError.of(what, order, f"one of: {GIVEN}, {MIDDLE}")
    job = evolve(job, braces=in_order(job, order))
    outside = beyond(job, gust)
    if outside:
        return StagesResult(job, gust, outside, (), (), (), None)
    model = build_model(job)
    tied = build_model(with_return(with_return(job, "left"), "right"))
    marks = [brace.mark for brace in job.braces]
    found = tuple(
        Stage(mark, limit_gust(_first(model, k + 1)), limit_gust(_first(tied, k + 1)))
        for k, mark in enumerate(marks)
    )
    floor = gust if keep is None else keep
    down = (
        None if floor is None else take_down(job, floor, deck, with_return=with_return, clock=Clock(budget))
    )
    worth = tuple(_worth(job, side) for side in SIDES)
    return StagesResult(job, gust, (), found, one_missing(model) if marks else (), worth, down)


def in_order(job: Job, order: str) -> tuple[Brace, ...]:
    """Give the braces in the order they go up.

    Args:
        job: the wall.
        order: given or middle.
    """
    if order == GIVEN:
        return job.braces
    middle = start_of(job.wall)
    return tuple(
        sorted_by(job.braces, lambda brace: abs(brace.stud_at - middle), lambda brace: brace.stud_at)
    )


def start_of(wall: Wall) -> Inch:
    """Give where bracing starts: the peak, or the middle of a level or raked top [in].

    Args:
        wall: the wall.
    """
    peaks = [x for x, z in wall.top[1:-1] if z >= wall.highest - WHOLE]
    level = sum(z >= wall.highest - WHOLE for _, z in wall.top) > 1
    return peaks[0] if peaks and not level else wall.length / 2.0


def _first(model: Model, count: int) -> Model:
    return keeping(model, list(range(count)))


# -- returns ---------------------------------------------------------------------------------------------


def with_return(job: Job, side: str) -> Job:
    """Give the wall with a proper return at one end: as declared, with what it lacks made good.

    Args:
        job: the wall.
        side: left or right.
    """
    corner: Return = getattr(job.wall, f"{side}_return")
    height = job.wall.height_at(0.0 if side == "left" else job.wall.length)
    proper = evolve(corner, plated=True, nailed=True, sheathed=True, fastened_down=True)
    if corner.count == 0:
        proper = evolve(proper, fastener=PROPER_FASTENER, count=whole_down(height / PROPER_SPACING) + 1)
    if corner.length <= 0.0:
        proper = evolve(proper, length=PROPER_LENGTH)
    return evolve(job, wall=evolve(job.wall, **{f"{side}_end": "return", f"{side}_return": proper}))  # type: ignore[arg-type]


def _worth(job: Job, side: str) -> ReturnWorth:
    proper = with_return(job, side)
    corner: Return = getattr(proper.wall, f"{side}_return")
    free = evolve(job, wall=evolve(job.wall, **{f"{side}_end": "free"}))  # type: ignore[arg-type]
    words = (
        f"{tape(corner.length)} long, plated, sheathed, fastened down, {corner.count} x {corner.fastener} in the "
        f"corner in {corner.joint}"
    )
    return ReturnWorth(
        side, _lacks(job, side), words, limit_gust(build_model(proper)), limit_gust(build_model(free))
    )


def _lacks(job: Job, side: str) -> tuple[str, ...]:
    corner: Return = getattr(job.wall, f"{side}_return")
    if getattr(job.wall, f"{side}_end") == "free":
        return ("not declared: the end is free",)
    flags = {
        "top plates tied across the corner": corner.plated,
        "end studs nailed together": corner.nailed,
        "sheathing": corner.sheathed,
        "its own plate fastened down": corner.fastened_down,
        "corner fasteners": corner.count > 0,
    }
    return tuple(words for words, there in flags.items() if not there)
