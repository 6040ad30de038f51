"""Temporary bracing of framed walls: numbers a crew can follow, each traced to a published source.

    from bracing import check_wall, read_job

    result = check_wall(read_job("south-gable.toml"), gust=45.0)
    print(result.verdict, result.limit_whole, result.clear_out)

A name is loaded when it is first used, so that importing the package costs next to nothing. `bracing.frames` and
`bracing.plots` are imported by themselves.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bracing._version import __version__

if TYPE_CHECKING:
    from bracing.calls.answers import (
        CheckAnswer,
        FastenersAnswer,
        LayoutAnswer,
        LiftAnswer,
        NearestAnswer,
        StagesAnswer,
        StormAnswer,
        check_storm,
        check_wall,
        choose_fasteners,
        lay_out,
        plan_lift,
        take_stages,
        what_would_do,
    )
    from bracing.calls.arrays import GustsChecked, check_many, limit_gusts
    from bracing.calls.layouts import LayoutsRated, evaluate_layouts
    from bracing.chain.links import Link, LinkId
    from bracing.check import CheckResult
    from bracing.codes.basis import Basis, basis_of, own_wind, uniform_wind
    from bracing.codes.joints import Acting, FastenerCapacity, Joint, Together
    from bracing.codes.pressures import PressureField, Pressures
    from bracing.codes.sticks import Clauses, DesignValues, Member, Nailing, Sheathed
    from bracing.errors import (
        BracingError,
        Fault,
        InputError,
        MissingExtraError,
        NoLayoutError,
    )
    from bracing.job.above import Above
    from bracing.job.brace import Brace, Cleat, Head, Kit, Stock, Tie
    from bracing.job.diagonals import Diagonal
    from bracing.job.fasteners import Fastener
    from bracing.job.floor import (
        Blocks,
        CrossCleat,
        Floor,
        Ground,
        Joists,
        KeepOut,
        PanelNails,
        Partition,
        Slab,
    )
    from bracing.job.job import Built, Found, FoundFact, Job, Night, Site
    from bracing.job.lumber import Section
    from bracing.job.minutes import Minutes
    from bracing.job.own import OwnGrade, OwnLayer, Strengths, own_grade, own_layer
    from bracing.job.pulls import LeftOut, Lever, PullTest
    from bracing.job.returns import (
        Return,
        ReturnCorner,
        ReturnOpening,
        ReturnPlate,
        ReturnStuds,
    )
    from bracing.job.titles import Revision, TitleBlock
    from bracing.job.wall import (
        Bare,
        ExtraPlateFasteners,
        Opening,
        Plate,
        Row,
        Studs,
        TopPlate,
        Wall,
    )
    from bracing.layout.plan import LayoutAsked, LayoutResult
    from bracing.lift.hung import weigh
    from bracing.lift.links import FootRequest, LiftRequest
    from bracing.lift.machine import Chart, ChartRow, Machine
    from bracing.reading.forecast import Declared, read_forecast
    from bracing.reading.jobs import job_from_text, read_job
    from bracing.reading.options import job_from_options
    from bracing.said import Said, Verdict
    from bracing.stages.stages import in_order
    from bracing.stages.take_down import Kept
    from bracing.storm.answer import Standing, StormResult
    from bracing.storm.clock import Clock
    from bracing.storm.forecast import Forecast, Hour, typed_forecast
    from bracing.sums import Known
    from bracing.text.quantities import in_words
else:
    import importlib

    # Public name: its module. A checker of types does not read this part: a name that is none of them is a fault to it.
    _HOME = {
        "Above": "job.above",
        "Acting": "codes.joints",
        "Bare": "job.wall",
        "Basis": "codes.basis",
        "Blocks": "job.floor",
        "Brace": "job.brace",
        "BracingError": "errors",
        "Built": "job.job",
        "Chart": "lift.machine",
        "ChartRow": "lift.machine",
        "CheckAnswer": "calls.answers",
        "CheckResult": "check",
        "Clauses": "codes.sticks",
        "Cleat": "job.brace",
        "Clock": "storm.clock",
        "CrossCleat": "job.floor",
        "Declared": "reading.forecast",
        "DesignValues": "codes.sticks",
        "Diagonal": "job.diagonals",
        "ExtraPlateFasteners": "job.wall",
        "Fastener": "job.fasteners",
        "FastenerCapacity": "codes.joints",
        "FastenersAnswer": "calls.answers",
        "Fault": "errors",
        "Floor": "job.floor",
        "FootRequest": "lift.links",
        "Forecast": "storm.forecast",
        "Found": "job.job",
        "FoundFact": "job.job",
        "Ground": "job.floor",
        "GustsChecked": "calls.arrays",
        "Head": "job.brace",
        "Hour": "storm.forecast",
        "InputError": "errors",
        "Job": "job.job",
        "Joint": "codes.joints",
        "Joists": "job.floor",
        "KeepOut": "job.floor",
        "Kept": "stages.take_down",
        "Kit": "job.brace",
        "Known": "sums",
        "LayoutAnswer": "calls.answers",
        "LayoutAsked": "layout.plan",
        "LayoutResult": "layout.plan",
        "LayoutsRated": "calls.layouts",
        "LeftOut": "job.pulls",
        "Lever": "job.pulls",
        "LiftAnswer": "calls.answers",
        "LiftRequest": "lift.links",
        "Link": "chain.links",
        "LinkId": "chain.links",
        "Machine": "lift.machine",
        "Member": "codes.sticks",
        "Minutes": "job.minutes",
        "MissingExtraError": "errors",
        "Nailing": "codes.sticks",
        "NearestAnswer": "calls.answers",
        "Night": "job.job",
        "NoLayoutError": "errors",
        "Opening": "job.wall",
        "OwnGrade": "job.own",
        "OwnLayer": "job.own",
        "PanelNails": "job.floor",
        "Partition": "job.floor",
        "Plate": "job.wall",
        "PressureField": "codes.pressures",
        "Pressures": "codes.pressures",
        "PullTest": "job.pulls",
        "Return": "job.returns",
        "ReturnCorner": "job.returns",
        "ReturnOpening": "job.returns",
        "ReturnPlate": "job.returns",
        "ReturnStuds": "job.returns",
        "Revision": "job.titles",
        "Row": "job.wall",
        "Said": "said",
        "Section": "job.lumber",
        "Sheathed": "codes.sticks",
        "Site": "job.job",
        "Slab": "job.floor",
        "StagesAnswer": "calls.answers",
        "Standing": "storm.answer",
        "Stock": "job.brace",
        "StormAnswer": "calls.answers",
        "StormResult": "storm.answer",
        "Strengths": "job.own",
        "Studs": "job.wall",
        "Tie": "job.brace",
        "Together": "codes.joints",
        "TitleBlock": "job.titles",
        "TopPlate": "job.wall",
        "Verdict": "said",
        "Wall": "job.wall",
        "basis_of": "codes.basis",
        "check_many": "calls.arrays",
        "check_storm": "calls.answers",
        "check_wall": "calls.answers",
        "choose_fasteners": "calls.answers",
        "evaluate_layouts": "calls.layouts",
        "in_order": "stages.stages",
        "in_words": "text.quantities",
        "job_from_options": "reading.options",
        "job_from_text": "reading.jobs",
        "lay_out": "calls.answers",
        "limit_gusts": "calls.arrays",
        "own_grade": "job.own",
        "own_layer": "job.own",
        "own_wind": "codes.basis",
        "plan_lift": "calls.answers",
        "read_forecast": "reading.forecast",
        "read_job": "reading.jobs",
        "take_stages": "calls.answers",
        "typed_forecast": "storm.forecast",
        "uniform_wind": "codes.basis",
        "weigh": "lift.hung",
        "what_would_do": "calls.answers",
    }

    def __getattr__(name: str) -> object:
        """Load a public name when it is first used (PEP 562)."""
        if name not in _HOME:
            missing = f"module {__name__!r} has no attribute {name!r}"
            raise AttributeError(missing)
        found = getattr(importlib.import_module(f"{__name__}.{_HOME[name]}"), name)
        globals()[name] = found
        return found

    def __dir__() -> list[str]:
        """Give the public names beside those that are loaded."""
        return sorted({*globals(), *__all__})


__all__ = [
    "Above",
    "Acting",
    "Bare",
    "Basis",
    "Blocks",
    "Brace",
    "BracingError",
    "Built",
    "Chart",
    "ChartRow",
    "CheckAnswer",
    "CheckResult",
    "Clauses",
    "Cleat",
    "Clock",
    "CrossCleat",
    "Declared",
    "DesignValues",
    "Diagonal",
    "ExtraPlateFasteners",
    "Fastener",
    "FastenerCapacity",
    "FastenersAnswer",
    "Fault",
    "Floor",
    "FootRequest",
    "Forecast",
    "Found",
    "FoundFact",
    "Ground",
    "GustsChecked",
    "Head",
    "Hour",
    "InputError",
    "Job",
    "Joint",
    "Joists",
    "KeepOut",
    "Kept",
    "Kit",
    "Known",
    "LayoutAnswer",
    "LayoutAsked",
    "LayoutResult",
    "LayoutsRated",
    "LeftOut",
    "Lever",
    "LiftAnswer",
    "LiftRequest",
    "Link",
    "LinkId",
    "Machine",
    "Member",
    "Minutes",
    "MissingExtraError",
    "Nailing",
    "NearestAnswer",
    "Night",
    "NoLayoutError",
    "Opening",
    "OwnGrade",
    "OwnLayer",
    "PanelNails",
    "Partition",
    "Plate",
    "PressureField",
    "Pressures",
    "PullTest",
    "Return",
    "ReturnCorner",
    "ReturnOpening",
    "ReturnPlate",
    "ReturnStuds",
    "Revision",
    "Row",
    "Said",
    "Section",
    "Sheathed",
    "Site",
    "Slab",
    "StagesAnswer",
    "Standing",
    "Stock",
    "StormAnswer",
    "StormResult",
    "Strengths",
    "Studs",
    "Tie",
    "TitleBlock",
    "Together",
    "TopPlate",
    "Verdict",
    "Wall",
    "__version__",
    "basis_of",
    "check_many",
    "check_storm",
    "check_wall",
    "choose_fasteners",
    "evaluate_layouts",
    "in_order",
    "in_words",
    "job_from_options",
    "job_from_text",
    "lay_out",
    "limit_gusts",
    "own_grade",
    "own_layer",
    "own_wind",
    "plan_lift",
    "read_forecast",
    "read_job",
    "take_stages",
    "typed_forecast",
    "uniform_wind",
    "weigh",
    "what_would_do",
]
