"""Temporary bracing of framed walls: numbers a crew can follow, each traced to a published source.

    from bracing import check_wall, read_job

    result = check_wall(read_job("south-gable.toml"), gust=45.0)
    print(result.verdict, result.limit_whole, result.clear_out)

A name is loaded when it is first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

from bracing._version import __version__

if TYPE_CHECKING:
    from bracing.check import CheckResult
    from bracing.check import check as check_wall
    from bracing.errors import BracingError, InputError
    from bracing.job.brace import Brace, Kit
    from bracing.job.floor import Floor
    from bracing.job.job import Job, Site
    from bracing.job.wall import Wall
    from bracing.layout.nearest import what_would_do
    from bracing.layout.plan import LayoutResult, lay_out
    from bracing.lift.hung import weigh
    from bracing.lift.plan import plan_lift
    from bracing.reading.forecast import read_forecast
    from bracing.reading.jobs import job_from_text, read_job
    from bracing.reading.options import job_from_options
    from bracing.stages.stages import in_order
    from bracing.stages.stages import stages as take_stages
    from bracing.storm.answer import StormResult
    from bracing.storm.answer import storm as check_storm
    from bracing.storm.clock import Clock
    from bracing.storm.forecast import Forecast, typed_forecast
    from bracing.text.quantities import in_words
    from bracing.work.joints import choose_fasteners

# Public name: its module, and its name there. Functions that share the name of their module go by another here:
# an attribute of the package cannot be both.
_HOME = {
    "Brace": ("job.brace", "Brace"),
    "BracingError": ("errors", "BracingError"),
    "CheckResult": ("check", "CheckResult"),
    "Clock": ("storm.clock", "Clock"),
    "Floor": ("job.floor", "Floor"),
    "Forecast": ("storm.forecast", "Forecast"),
    "InputError": ("errors", "InputError"),
    "Job": ("job.job", "Job"),
    "Kit": ("job.brace", "Kit"),
    "LayoutResult": ("layout.plan", "LayoutResult"),
    "Site": ("job.job", "Site"),
    "StormResult": ("storm.answer", "StormResult"),
    "Wall": ("job.wall", "Wall"),
    "check_storm": ("storm.answer", "storm"),
    "check_wall": ("check", "check"),
    "choose_fasteners": ("work.joints", "choose_fasteners"),
    "in_order": ("stages.stages", "in_order"),
    "in_words": ("text.quantities", "in_words"),
    "job_from_options": ("reading.options", "job_from_options"),
    "job_from_text": ("reading.jobs", "job_from_text"),
    "lay_out": ("layout.plan", "lay_out"),
    "plan_lift": ("lift.plan", "plan_lift"),
    "read_forecast": ("reading.forecast", "read_forecast"),
    "read_job": ("reading.jobs", "read_job"),
    "take_stages": ("stages.stages", "stages"),
    "typed_forecast": ("storm.forecast", "typed_forecast"),
    "weigh": ("lift.hung", "weigh"),
    "what_would_do": ("layout.nearest", "what_would_do"),
}

__all__ = [
    "Brace",
    "BracingError",
    "CheckResult",
    "Clock",
    "Floor",
    "Forecast",
    "InputError",
    "Job",
    "Kit",
    "LayoutResult",
    "Site",
    "StormResult",
    "Wall",
    "__version__",
    "check_storm",
    "check_wall",
    "choose_fasteners",
    "in_order",
    "in_words",
    "job_from_options",
    "job_from_text",
    "lay_out",
    "plan_lift",
    "read_forecast",
    "read_job",
    "take_stages",
    "typed_forecast",
    "weigh",
    "what_would_do",
]


def __getattr__(name: str) -> object:
    """Load a public name when it is first used (PEP 562)."""
    if name not in _HOME:
        missing = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(missing)
    module, attribute = _HOME[name]
    found = getattr(importlib.import_module(f"{__name__}.{module}"), attribute)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """Give the public names beside those that are loaded."""
    return sorted({*globals(), *__all__})
