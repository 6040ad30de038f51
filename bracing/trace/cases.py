"""A link to be traced, and what every kind of link needs for it."""

from __future__ import annotations

from attrs import frozen

from bracing.chain.foot import Strength
from bracing.chain.links import Link
from bracing.chain.model import Model
from bracing.codes.nds.fastener import FastenerCapacity
from bracing.job.brace import Brace
from bracing.trace.joints import Call, Recorder, lateral_steps
from bracing.trace.steps import Step, n


@frozen
class Case:
    """A link to be traced.

    Attributes:
        model: the model.
        link: the link.
        index: which brace, or None.
        strength: the brace's strength behind it, or None.
    """

    model: Model
    link: Link
    index: int | None
    strength: Strength | None

    @property
    def brace(self) -> Brace | None:
        """The brace, or None."""
        return None if self.index is None else self.model.job.braces[self.index]

    @property
    def name(self) -> str:
        """What the link is, either way round."""
        return self.link.link.removesuffix(", in reverse")

    @property
    def sense(self) -> str:
        """Which way the brace works: pushed or pulled."""
        reverse = self.link.link.endswith(", in reverse")
        return {"push": "pull", "pull": "push"}[self.link.direction] if reverse else self.link.direction


def recorder_of(case: Case) -> Recorder:
    """Give materials that keep every fastener looked up.

    Args:
        case: the link.
    """
    return Recorder(case.model.job)


def call_of(recorder: Recorder, found: FastenerCapacity) -> Call:
    """Give the call a capacity came from.

    Args:
        recorder: has made it.
        found: the capacity.
    """
    return next(call for call in recorder.calls if call.found == found)


def so_many(count: float, call: Call, case: Case, *, together: float = 1.0) -> list[Step]:
    """Give the steps of so many fasteners, each across.

    Args:
        count: how many.
        call: one of them in its joint.
        case: the link.
        together: their group action factor, worked out in steps before these.
    """
    each = call.found.lateral
    words, arithmetic = f"{n(count)} of them", f"{n(count)} × {n(each)}"
    if together < 1.0:
        words, arithmetic = f"{words}, acting together", f"{arithmetic} × {n(together)}"
    last = Step(words, arithmetic, together * count * each, "lb", case.link.source)
    return [*lateral_steps(recorder_of(case), call), last]
