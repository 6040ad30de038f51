"""A link to be traced."""

from __future__ import annotations

from attrs import frozen

from bracing.chain.foot import Strength
from bracing.chain.links import Link
from bracing.chain.materials import Materials, materials_of
from bracing.chain.model import Model
from bracing.job.brace import Brace


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
    def materials(self) -> Materials:
        """The job's materials."""
        return materials_of(self.model.job)

    @property
    def name(self) -> str:
        """What the link is, either way round."""
        return self.link.link.removesuffix(", in reverse")

    @property
    def sense(self) -> str:
        """Which way the brace works: pushed or pulled."""
        reverse = self.link.link.endswith(", in reverse")
        return {"push": "pull", "pull": "push"}[self.link.direction] if reverse else self.link.direction
