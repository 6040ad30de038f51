"""One strength of a brace: what it may carry, and how much of it one pound against the wall uses."""

from __future__ import annotations

import math

from attrs import frozen

from bracing.units import Pound


@frozen
class Strength:
    """What one link of a brace may carry.

    Attributes:
        link: which link.
        capacity: allowable value in its own unit.
        per_pound: demand in that unit for each pound the brace gives the wall, level.
        unit: lb or lb in.
        source: the clause.
        why: what sets it, in plain words.
    """

    link: str
    capacity: float
    per_pound: float
    unit: str
    source: str
    why: str = ""

    @property
    def level_force(self) -> Pound:
        """Level force on the wall at which the link reaches its allowable value [lb]."""
        return self.capacity / self.per_pound if self.per_pound > 0.0 else math.inf
