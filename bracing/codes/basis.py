"""What the numbers rest on: one object gives pressures and strengths, and nothing above `codes` names a standard."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol, cast

from attrs import evolve, frozen

from bracing.codes.asce7 import velocity, walls
from bracing.codes.ground import what_holds
from bracing.codes.joints import MOST_LOAD_DURATION, Acting, FastenerCapacity, Joint, Together
from bracing.codes.nds.adjusted import design_values
from bracing.codes.nds.factors import panel_gravities
from bracing.codes.nds.fastener import fastener_capacity, together
from bracing.codes.nds.strengths import ACTING, CLAUSES
from bracing.codes.nds.strengths import Member as MemberByNds
from bracing.codes.pressures import PressureField, Pressures, outline_properties
from bracing.codes.sdpws import sheathed
from bracing.codes.sticks import Clauses, DesignValues, Member, Nailing, Sheathed
from bracing.errors import refused
from bracing.job.fields import held_value
from bracing.job.floor import Ground
from bracing.job.job import Job, Site
from bracing.job.lumber import Section
from bracing.job.wall import Wall
from bracing.sources import SOURCES
from bracing.sums import Known
from bracing.units import Inch, Mph, Pound, Radian

MOST_PSF = 1000.0  # of a wind of a program's own; past it a unit is mistaken


class Basis(Protocol):
    """What gives pressures and strengths. It is a key of what is kept, so two that differ are not equal."""

    def __hash__(self) -> int: ...

    @property
    def standards(self) -> tuple[str, ...]:
        """Keys of the sources it rests on, as the head of every answer names them."""

    @property
    def clauses(self) -> Clauses:
        """Where it says what each thing may carry."""

    @property
    def acting(self) -> Acting:
        """How so many fasteners of one joint act."""

    @property
    def panels(self) -> Mapping[str, Known]:
        """Specific gravity of structural panels, for bearing and pull-through [-]."""

    def lumber(
        self, species: str, grade: str, size: str, *, wet: bool, load_duration: float = MOST_LOAD_DURATION
    ) -> DesignValues:
        """Give the design values of lumber.

        Args:
            species: as a person writes it.
            grade: as on the grade stamp.
            size: nominal size.
            wet: moisture content over 19%.
            load_duration: factor of the load's duration [-].
        """

    def member(self, section: Section, values: DesignValues) -> Member:
        """Give what one size of lumber may carry.

        Args:
            section: its section.
            values: its design values.
        """

    def fastener(self, joint: Joint) -> FastenerCapacity:
        """Give what one fastener in a described joint may carry.

        Args:
            joint: the fastener and its members.
        """

    def together(self, kind: str, *, reported: bool = False) -> Together:
        """Give the rule for shear and pull on one fastener.

        Args:
            kind: kind of fastener, or "anchor".
            reported: its values come from a report.
        """

    def sheathed(self, nailing: Nailing) -> Sheathed:
        """Give what a sheathed wall may carry along itself, and how stiff it is.

        Args:
            nailing: how it is sheathed.
        """

    def ground(self, ground: Ground, angle: Radian) -> tuple[Pound, Pound]:
        """Give the level push and pull a foot in the ground takes [lb].

        Args:
            ground: what is declared of it.
            angle: of the brace from the ground [rad].
        """

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


@frozen(cache_hash=True)
class _InUse:
    """Wood by the NDS of 2018, wind by ASCE 7-16, walls along themselves by the SDPWS."""

    standards: tuple[str, ...] = ("NDS", "NDS-S", "ASCE7", "ASCE37")
    clauses: Clauses = CLAUSES
    acting: Acting = ACTING

    @property
    def panels(self) -> Mapping[str, Known]:
        return panel_gravities()

    def lumber(
        self, species: str, grade: str, size: str, *, wet: bool, load_duration: float = MOST_LOAD_DURATION
    ) -> DesignValues:
        return design_values(species, grade, size, wet=wet, load_duration=load_duration)

    def member(self, section: Section, values: DesignValues) -> Member:
        return MemberByNds(section, values)

    def fastener(self, joint: Joint) -> FastenerCapacity:
        return fastener_capacity(joint)

    def together(self, kind: str, *, reported: bool = False) -> Together:
        return together(kind, reported=reported)

    def sheathed(self, nailing: Nailing) -> Sheathed:
        return sheathed(nailing)

    def ground(self, ground: Ground, angle: Radian) -> tuple[Pound, Pound]:
        return what_holds(ground, angle)

    def wind(self, job: Job, *, thunderstorm: bool = False) -> Pressures:
        return walls.wind_on(job, thunderstorm=thunderstorm)

    def velocity_pressure(
        self, site: Site, highest: Inch, floor: Inch, *, thunderstorm: bool = False
    ) -> float:
        return velocity.pressure_on_site(site, highest, floor, thunderstorm=thunderstorm)

    def meter_gust(self, gust: Mph, site: Site, height: Inch) -> Mph:
        return velocity.meter_gust(gust, exposure=site.exposure, height_above_ground=height)


NDS2018_ASCE7: Basis = _InUse()
IN_USE = NDS2018_ASCE7


@frozen(cache_hash=True)
class _OwnWind:
    """Another's strengths with a program's own wind."""

    base: Basis
    by: Callable[[Job], Pressures]
    named: str

    @property
    def standards(self) -> tuple[str, ...]:
        return (*self.base.standards, self.named)

    @property
    def clauses(self) -> Clauses:
        return self.base.clauses

    @property
    def acting(self) -> Acting:
        return self.base.acting

    @property
    def panels(self) -> Mapping[str, Known]:
        return self.base.panels

    def lumber(
        self, species: str, grade: str, size: str, *, wet: bool, load_duration: float = MOST_LOAD_DURATION
    ) -> DesignValues:
        return self.base.lumber(species, grade, size, wet=wet, load_duration=load_duration)

    def member(self, section: Section, values: DesignValues) -> Member:
        return self.base.member(section, values)

    def fastener(self, joint: Joint) -> FastenerCapacity:
        return self.base.fastener(joint)

    def together(self, kind: str, *, reported: bool = False) -> Together:
        return self.base.together(kind, reported=reported)

    def sheathed(self, nailing: Nailing) -> Sheathed:
        return self.base.sheathed(nailing)

    def ground(self, ground: Ground, angle: Radian) -> tuple[Pound, Pound]:
        return self.base.ground(ground, angle)

    def wind(self, job: Job, *, thunderstorm: bool = False) -> Pressures:
        return self.by(job)

    def velocity_pressure(
        self, site: Site, highest: Inch, floor: Inch, *, thunderstorm: bool = False
    ) -> float:
        return self.base.velocity_pressure(site, highest, floor, thunderstorm=thunderstorm)

    def meter_gust(self, gust: Mph, site: Site, height: Inch) -> Mph:
        return self.base.meter_gust(gust, site, height)


def own_wind(by: Callable[[Job], Pressures], *, named: str, base: Basis = IN_USE) -> Basis:
    """Give a basis whose wind is a program's own; strengths, and the wind on what stands on a wall, are another's.

    Args:
        by: gives the wind on the wall of a job, with thunderstorms or without; a function, kept by which one it is.
        named: how the head of every answer names it, beside the standards.
        base: whose all the rest is.

    Raises:
        InputError: it is no function, or has no name.

    Example:
        >>> tested = own_wind(lambda job: uniform_wind(job, psf=12.0, gust=60.0), named="tunnel test 7")
        >>> tested.standards[-1]
        'tunnel test 7'
    """
    where = "own_wind"
    if not callable(by):
        raise refused(where, by, "a function that gives the Pressures on the wall of a job")
    if not isinstance(named, str) or not named.strip() or not named.isprintable():
        raise refused(where, named, "text that names it")
    return _OwnWind(base, by, named)


def uniform_wind(job: Job, *, psf: float, gust: Mph) -> Pressures:
    """Give the same net pressure all over a wall, from either side: p = psf (V / gust)^2.

    Args:
        job: the job.
        psf: net pressure on the wall at that gust [psf].
        gust: the gust [mph].

    Returns:
        The wind, one case [-] with its velocity pressure of 1 mph [psf].

    Raises:
        InputError: a pressure or a gust that is not above zero.

    Source: STATICS, a pressure grows with the speed squared.

    Example:
        >>> from bracing.job.wall import Wall
        >>> wind = uniform_wind(Job(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0)))), psf=10.0, gust=50.0)
        >>> round(wind.at(100.0) * wind.mean, 6)
        40.0
    """
    psf = held_value(psf, "number", "psf", least=0.01, most=MOST_PSF)
    gust = held_value(gust, "speed", "gust", least=1.0)
    shape = outline_properties(job.wall.top)
    field = PressureField("A", "closed", ((0.0, shape.width, 1.0),), 0.0, shape.x_bar, 0.0, shape.z_bar)
    return Pressures((field,), psf / gust**2)


def basis_of(job: Job) -> Basis:
    """Give what the numbers of a job rest on: the one in use, or one of a program's own.

    Args:
        job: the job.
    """
    return IN_USE if job.basis is None else cast("Basis", job.basis)


def with_basis(job: Job, basis: Basis | None) -> Job:
    """Give a job whose numbers rest on a basis; the job as it is where none is given.

    Args:
        job: the job.
        basis: what they rest on, or None.
    """
    return job if basis is None else evolve(job, basis=basis)


def named_standards(basis: Basis) -> list[str]:
    """Give the standards a basis rests on, as the head of every answer names them; its own words where it has no key.

    Args:
        basis: the basis.

    Example:
        >>> named_standards(IN_USE)[0]
        'NDS 2018'
    """
    return [SOURCES[key].name if key in SOURCES else key for key in basis.standards]


def framing_values(wall: Wall, size: str, *, load_duration: float = MOST_LOAD_DURATION) -> DesignValues:
    """Give the design values of a wall's framing lumber.

    Args:
        wall: gives species, grade and moisture.
        size: nominal size.
        load_duration: factor of the load's duration [-].
    """
    studs, wet = wall.studs, wall.moisture == "green"
    return IN_USE.lumber(studs.species, studs.grade, size, wet=wet, load_duration=load_duration)
