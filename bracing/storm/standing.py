"""How long a wall stands on braces: its nights and weekends, and the wind to plan for over all of it."""

from __future__ import annotations

from datetime import datetime, timedelta

from attrs import frozen

from bracing.codes.gusts import construction_period_factor, equivalent_gust_of_design
from bracing.storm.clock import Clock
from bracing.units import Mph, Second

WORKDAYS = 5


@frozen
class Standing:
    """The time a wall stands.

    Attributes:
        stands: how long [s].
        until: when it ends.
        nights: midnights in it.
        weekends: weekends in it, begun ones too.
        factor: published factor on the design speed for that time.
        design_speed: basic wind speed of the site [mph]; None where nobody declared it.
    """

    stands: Second
    until: datetime
    nights: int
    weekends: int
    factor: float
    design_speed: Mph | None

    @property
    def equivalent_gust(self) -> Mph | None:
        """The gust that loads the wall as much as the design speed does over that time [mph]."""
        if self.design_speed is None:
            return None
        return equivalent_gust_of_design(self.design_speed, factor=self.factor)

    def to_dict(self) -> dict[str, object]:
        """Give it as JSON."""
        return {
            "stands_s": self.stands,
            "until": self.until.isoformat(),
            "nights": self.nights,
            "weekends": self.weekends,
            "factor": self.factor,
            "design_speed_mph": self.design_speed,
            "equivalent_gust_mph": self.equivalent_gust,
        }


def standing(clock: Clock, stands: Second, design_speed: Mph | None) -> Standing:
    """Count the nights and weekends from now until a wall no longer stands on braces.

    Args:
        clock: the clock of the place.
        stands: how long [s].
        design_speed: basic wind speed of the site [mph], or None.

    Example:
        >>> from datetime import UTC
        >>> friday = Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), UTC)
        >>> found = standing(friday, 3 * 604800.0, 115.0)
        >>> found.nights, found.weekends, round(found.equivalent_gust or 0.0, 1)
        (21, 3, 61.6)
    """
    until = clock.now + timedelta(seconds=stands)
    first, last = clock.local(clock.now).date(), clock.local(until).date()
    days = (first + timedelta(days=k) for k in range((last - first).days + 1))
    weekends = {day - timedelta(days=day.weekday()) for day in days if day.weekday() >= WORKDAYS}
    return Standing(
        stands, until, (last - first).days, len(weekends), construction_period_factor(stands), design_speed
    )
