"""What hangs on the hook: the wall, its doubled studs and the braces on it; heavy for the hook, light for the wind."""

from __future__ import annotations

from attrs import evolve

from bracing.check import Assumed
from bracing.job.fields import held_part
from bracing.job.job import Job
from bracing.job.lumber import species_names, specific_gravity
from bracing.panel.weight import (
    MOISTURE_PERCENT,
    TakeOff,
    braces_riding,
    doubled_studs,
    take_off,
    wood_density,
)
from bracing.said import Kind, Quantity, Said

SPECIES = "wall.studs.species"


def heaviest_gravity() -> float:
    """Give the specific gravity of the heaviest species in the table: nobody read the stamp [-]."""
    return max(specific_gravity(name) for name in species_names())


def weigh(job: Job) -> tuple[TakeOff, tuple[Assumed, ...]]:
    """Weigh a job's wall on the heavy side, studs doubled at braces with it, and say what was assumed.

    Args:
        job: the job.

    Returns:
        The take-off, and what nobody declared.
    """
    held_part(job, Job, "job")
    assumed = []
    heavy = None
    if SPECIES not in job.declared:
        heavy = heaviest_gravity()
        why = Said("weighed-heaviest", gravity=f"{heavy:.2f}")
        assumed.append(Assumed(SPECIES, job.wall.studs.species, why, None))
    if "wall.moisture" not in job.declared:
        why = Said("weighed-green")
        assumed.append(Assumed("wall.moisture", job.wall.moisture, why, None))
    if not job.wall.layers and "wall.layers" not in job.declared:
        why = Said("weighed-bare")
        assumed.append(Assumed("wall.layers", [], why, None))
    found = take_off(job.wall, heavy_species_G=heavy)
    found = found.plus(doubled_studs(job.wall, job.braces, found.density_pcf))
    if found.if_openings_sheathed > 0.0:
        why = Said("weighed-as-holes", more=Quantity(found.if_openings_sheathed, Kind.LOAD))
        assumed.append(Assumed("wall.opening", len(job.wall.openings), why, None))
    if job.wall.bare:
        whole, part = (take_off(wall).weight for wall in (evolve(job.wall, bare=()), job.wall))
        why = Said("weighed-without-panels", more=Quantity(whole - part, Kind.LOAD))
        assumed.append(Assumed("wall.bare", len(job.wall.bare), why, None))
    return found, tuple(assumed)


def weigh_lightly(job: Job) -> TakeOff:
    """Weigh a job's wall on the light side, for the wind that its weight stands against: no heavier than declared.

    Args:
        job: the job.
    """
    dry = job.wall if "wall.moisture" in job.declared else evolve(job.wall, moisture="dry")
    found = take_off(dry)
    return found.plus(doubled_studs(dry, job.braces, found.density_pcf))


def with_braces(job: Job, wall: TakeOff) -> TakeOff:
    """Add the braces that go up with a wall, on the heavy side where nobody declared their species.

    Args:
        job: the job.
        wall: what it weighs without them.
    """
    known = "kit.species" in job.declared
    G = specific_gravity(job.kit.species) if known else heaviest_gravity()
    return wall.plus(braces_riding(job.braces, wood_density(G, MOISTURE_PERCENT["green"])))


Weighed = tuple[TakeOff, TakeOff, tuple[Assumed, ...]]


def weigh_hung(job: Job, *, braces_on: bool | None) -> Weighed:
    """Weigh what hangs: on the heavy side for what carries it, on the light side for the wind, which it resists.

    Args:
        job: the job.
        braces_on: its braces go up with the wall; None where nobody said.

    Returns:
        The heavy take-off, the light one, and what nobody declared.
    """
    (wall, assumed), light = weigh(job), weigh_lightly(job)
    if not job.braces or braces_on is False:
        return wall, light, assumed
    heavy = with_braces(job, wall)
    if braces_on:
        return heavy, light, assumed
    why = Said("weighed-with-braces", more=Quantity(heavy.weight - wall.weight, Kind.LOAD))
    return heavy, light, (*assumed, Assumed("--braces-on", value=True, why=why, effect=None))
