"""What an addition does to a limit gust: it never falls but for one of four physical reasons, each told in a line."""

from __future__ import annotations

from enum import StrEnum

from attrs import evolve, frozen

from bracing.chain.evaluate import Evaluation, evaluate, limit_gust
from bracing.chain.foot import cleat_to_floor
from bracing.chain.link_sums import LinkSums, link_sums
from bracing.chain.links import Group, Link, LinkId
from bracing.chain.model import Model
from bracing.choosing import SAME, whole_down
from bracing.job.brace import ON_PANEL, Brace
from bracing.job.job import Job
from bracing.job.wall import Wall
from bracing.said import Kind, Quantity, Said
from bracing.units import Mph

LEAST_GUST: Mph = 0.01  # where the limit is 0 the links are read just over it
FORCES = 2  # of the sums of what a link is asked, those that may act together; of most there is one


class Cause(StrEnum):
    """Why a limit gust may fall where something is added."""

    DRAWS = "draws load"  # a stiffer joint, stud, row or brace
    LAYER = "lean or gap"
    SAIL = "sail"  # a cover, or sheathing where there was none
    RETURN = "floor at a return"

    @property
    def said(self) -> Said:
        """It in words."""
        return WORDS[self]


WORDS = {
    Cause.DRAWS: Said("draws-load"), Cause.LAYER: Said("adds-lean-or-gap"), Cause.SAIL: Said("adds-sail"),
    Cause.RETURN: Said("adds-pressure-at-a-return"),
}  # fmt: skip


@frozen
class Fall:
    """A limit gust that fell where something was added.

    Attributes:
        before: limit gust without it [mph].
        after: limit gust with it [mph].
        link: what then gives first.
        cause: why; None where it is none of the physical reasons.
    """

    before: Mph
    after: Mph
    link: Link
    cause: Cause | None

    @property
    def said(self) -> Said:
        """It in one line."""
        where = Said("over-the-wall") if self.link.mark is None else Said("at-the-brace", mark=self.link.mark)
        return Said(
            "addition-lowers", before=_tenths(self.before), after=_tenths(self.after),
            cause=self.cause.said if self.cause else Said("for-no-reason-known"), link=self.link.link, where=where,
        )  # fmt: skip


def _tenths(gust: Mph) -> Quantity:
    """A gust to the tenth, down: falls are often of less than one."""
    return Quantity(whole_down(10.0 * gust) / 10.0, Kind.GIVEN)


def fall(before: Model, after: Model) -> Fall | None:
    """Say by how much and why the limit gust fell where something was added; None where it did not.

    Args:
        before: the wall without it.
        after: the wall with it.
    """
    first, then = limit_gust(before), limit_gust(after)
    if then >= first - SAME * max(first, 1.0):
        return None
    gust = max(then, LEAST_GUST)
    now = evaluate(after, gust)
    link = now.first
    assert link is not None
    return Fall(first, then, link, _cause(evaluate(before, gust), now, link))


def _cause(before: Evaluation, after: Evaluation, link: Link) -> Cause | None:
    """The physical reason, where the link that gives first is loaded more for it or, of a layer, nailed through it."""
    old, new = before.forces[0].model.job, after.forces[0].model.job
    if _ends(old.wall) != _ends(new.wall):
        return Cause.RETURN
    loaded = _loads_more(before, after, link)
    if old.wall.sheathed != new.wall.sheathed or _covered(old.wall) != _covered(new.wall):
        return Cause.SAIL if loaded else None
    if old.wall.layers != new.wall.layers:
        return Cause.LAYER
    loaded = loaded or _draws_to_one(before.forces[0].model, after.forces[0].model, link)
    return Cause.DRAWS if loaded and _stiffness(old) != _stiffness(new) else None


def _ends(wall: Wall) -> tuple[str, str]:
    return wall.left_end, wall.right_end


def _covered(wall: Wall) -> tuple[bool, ...]:
    return tuple(opening.covered for opening in wall.openings)


def _stiffness(job: Job) -> object:
    """What is stiff in the panel and under it: braces with their joints, studs, kings, rows."""
    kings = tuple(opening.kings for opening in job.wall.openings)
    return job.braces, job.kit, kings, job.wall.rows, job.wall.studs


def _draws_to_one(before: Model, after: Model, link: Link) -> bool:
    """Whether the worst fastener of a foot is pulled more by the same brace: one more may come to stand under it.

    In what the foot stands on, or in the deck panel alone: the better of the two counts, so either may be what is lost.
    """
    if link.link is not LinkId.CLEAT_TO_FLOOR or link.mark not in before.marks:
        return False

    was, now = (
        [cleat_to_floor(model.materials, brace).drawn for brace in _ways_held(model, link.mark)]
        for model in (before, after)
    )
    return any(b > a * (1.0 + SAME) for a, b in zip(was, now, strict=True))


def _ways_held(model: Model, mark: str) -> tuple[Brace, ...]:
    """A brace as its foot stands, and on a deck as if it stood on the panel alone."""
    brace = model.job.braces[model.marks.index(mark)]
    return (brace, evolve(brace, foot_on=ON_PANEL)) if model.job.floor.kind == "deck" else (brace,)


def _loads_more(before: Evaluation, after: Evaluation, link: Link) -> bool:
    """Whether a link carries more at one gust with the addition, and may carry no less; a new one carried nothing."""
    was, now = (_sums(evaluation, link) for evaluation in (before, after))
    if was is None or now is None:
        return was is None
    less = now.capacity < was.capacity * (1.0 - SAME)
    loads = zip(was.asked.made[:FORCES], now.asked.made[:FORCES], strict=True)
    return not less and any(b > a * (1.0 + SAME) for a, b in loads)


def _sums(evaluation: Evaluation, link: Link) -> LinkSums | None:
    """The sums of a link at the gust of an evaluation; None where the wall has no such link."""
    for group in evaluation.groups:
        if group.link == link.link and link.direction in group.directions:
            which = _which(group, link)
            if which is not None:
                return link_sums(group, which, evaluation.gust)
    return None


def _which(group: Group, link: Link) -> int | None:
    for which, place in enumerate(zip(group.marks, group.places, strict=True)):
        if place == (link.mark, link.x):
            return which
    return None
