"""From the gust to the pressure, and to the level force on the whole wall."""

from __future__ import annotations

from bracing.check import CheckResult
from bracing.codes.gusts import wind_table
from bracing.codes.pressures import outline_properties
from bracing.panel.weight import take_off
from bracing.results import load_results
from bracing.sources import cite
from bracing.trace.steps import Step, n
from bracing.units import PSF_PER_PSI


def wind_steps(result: CheckResult) -> tuple[Step, ...]:
    """Give the steps from the gust to the force on the wall in case A.

    Args:
        result: the wall checked, inside the envelope.
    """
    assert result.model is not None
    assert result.evaluation is not None
    return (*_pressure(result), *_force(result))


def _pressure(result: CheckResult) -> list[Step]:
    assert result.model is not None
    assert result.evaluation is not None
    wall, floor, site = result.job.wall, result.job.floor, result.job.site
    exposure, table = wind_table("exposure"), wind_table("velocity_pressure")
    row = exposure[site.exposure]
    gust, cases = result.evaluation.gust, result.model.cases
    high = (wall.highest + floor.height_above_ground) / 12.0
    least = exposure["least_height_ft"]
    kz = cases.pressure_per_mph2 * PSF_PER_PSI / (table["constant_psf_per_mph2"] * site.kzt)
    profile = (
        f"{n(exposure['scale'])} × (max({n(high)}, {n(least)}) / {n(row['gradient_height_ft'])})"
        f"^(2 / {n(row['alpha'])})"
    )
    if result.thunderstorm:
        profile = f"max({profile}, {n(wind_table('judgement')['thunderstorm_least_kz'])})"
    q = cases.pressure_per_mph2 * PSF_PER_PSI * gust**2
    gcf = max(field.zones[0][2] for field in cases.fields if field.case == "A")
    return [
        Step(
            "highest point of the wall above the ground", f"({n(wall.highest)} + {n(floor.height_above_ground)}) / 12",
            high, "ft",
        ),
        Step(f"Kz, exposure {site.exposure}", profile, kz, "", cite("ASCE7", "table 26.10-1")),
        Step(
            f"velocity pressure at {n(gust)} mph",
            f"{n(table['constant_psf_per_mph2'])} × {n(kz)} × {n(site.kzt)} × {n(gust)}^2", q, "psf",
            cite("ASCE7", "eq. 26.10-1, Kd = 1 for an actual gust"),
        ),
        Step(
            f"mean pressure of case A, G·Cf = {n(gcf)}", f"{n(q)} × {n(gcf)}", q * gcf, "psf",
            cite("ASCE7", "29.3, fig. 29.3-1"),
        ),
    ]  # fmt: skip


def _force(result: CheckResult) -> list[Step]:
    """Wind, lean and people add up to the load of case A that braces and plate give back."""
    assert result.evaluation is not None
    job, evaluation = result.job, result.evaluation
    area, pressure = outline_properties(job.wall.top).area / 144.0, float(result.pressure_psf or 0.0)
    wind = area * pressure
    lean, weight = job.site.lean, take_off(job.wall).weight
    top, length = job.site.top_load, job.wall.length
    cases = load_results(evaluation)["cases"]
    assert isinstance(cases, list)
    total = max(abs(float(case["total_lb"])) for case in cases if case["case"] == "A")
    return [
        Step("wind on the wall, case A", f"{n(pressure)} × {n(area)}", wind, "lb"),
        Step(
            "with lean, part of the weight, and people along the top",
            f"{n(wind)} + {n(lean)} × {n(weight)} + {n(top)} × {n(length)}", total, "lb", cite("JUDGEMENT"),
        ),
    ]  # fmt: skip
