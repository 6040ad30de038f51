"""What the numbers rest on: one object gives pressures and strengths, and nothing above `codes` names a standard."""

from __future__ import annotations

from typing import Protocol

from attrs import frozen

from bracing.codes.asce7 import velocity, walls
from bracing.codes.pressures import Pressures
from bracing.job.job import Job, Site
from bracing.units import Inch, Mph


class Basis(Protocol):
    """What gives pressures and strengths. It is a key of what is kept, so two that differ are not equal."""

    def __hash__(self) -> int: ...

    @property
    def standards(self) -> tuple[str, ...]:
        """Keys of the sources it rests on, as the head of every answer names them."""

    def wind(self, job: Job, *, thunderstorm: bool = False) -> Pressures:
        """Give the wind on a wall.

        Args:
            job: gives the wall, its floor and the site.
            thunderstorm: the profile of an outflow.
        """

    def velocity_pressure(
        self, site: Site, highest: Inch, floor: Inch, *, thunderstorm: bool = False
    ) -> float:
        """Give the velocity pressure at a wall's highest point of a gust of 1 mph [psf].

        Args:
            site: where it stands.
            highest: highest point of the wall above its floor [in].
            floor: the floor above the ground [in].
            thunderstorm: the profile of an outflow.
        """

    def meter_gust(self, gust: Mph, site: Site, height: Inch) -> Mph:
        """Give what a meter shows of a gust [mph].

        Args:
            gust: 3-second gust at 33 ft in open country [mph].
            site: where the wall stands.
            height: of the meter above the ground [in].
        """


@frozen
class _InUse:
    """Wood by the NDS of 2018, wind by ASCE 7-16."""

    standards: tuple[str, ...] = ("NDS", "NDS-S", "ASCE7", "ASCE37")

    def wind(self, job: Job, *, thunderstorm: bool = False) -> Pressures:
        bare = Job(job.wall, floor=job.floor, site=job.site, fasteners=job.fasteners)
        return walls.wind_on(bare, thunderstorm=thunderstorm)

    def velocity_pressure(
        self, site: Site, highest: Inch, floor: Inch, *, thunderstorm: bool = False
    ) -> float:
        return velocity.pressure_on_site(site, highest, floor, thunderstorm=thunderstorm)

    def meter_gust(self, gust: Mph, site: Site, height: Inch) -> Mph:
        return velocity.meter_gust(gust, exposure=site.exposure, height_above_ground=height)


NDS2018_ASCE7: Basis = _InUse()
IN_USE = NDS2018_ASCE7
