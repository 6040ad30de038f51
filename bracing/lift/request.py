"""What a person asks of a lift. Every default is stated in the answer."""

from __future__ import annotations

from attrs import frozen

from bracing.job.fields import declared
from bracing.lift.links import ATTACHMENTS, FootRequest
from bracing.lift.machine import Chart, Machine
from bracing.units import Inch, Mph, Pound

MOST_GUST: Mph = 120.0


@frozen
class LiftRequest:
    """What a person asks of a lift.

    Attributes:
        gust: the gust of the day [mph]; None plans for the lift's own limit.
        dynamic: dynamic part of the load [-].
        picks: how many picks.
        pick_at: studs to pick at, from LEFT [in]; empty chooses them.
        drop: how far below the top the slings act [in].
        by: what the slings are round: stud, header or plate.
        pick_lb: declared allowable of one attachment [lb].
        slings: length of the longer sling [in]; None takes the 30 degree one.
        sling_lb: capacity on the tag of one sling, in the hitch used [lb].
        flat_slings: the user asked for slings past 45 degrees off vertical.
        spreader: the slings hang plumb from a spreader.
        lift_each: lift of one person [lb].
        reach: how high hands push [in].
        people: how many people there are.
        tag_pull: level pull all tag lines together hold [lb]; None where nobody declared it.
        foot: what holds the foot.
        machine: the machine; None without one.
        chart: its chart; None without one.
        line_kv: voltage of a power line near by [kV]; None where nobody knows it.
        line_distance: least distance of machine, load and rigging from it [in]; None without a line.
    """

    gust: Mph | None = declared("speed", "gust of the day", default=None, least=0.0, most=MOST_GUST)
    dynamic: float = declared("number", "dynamic part of the load", default=0.25, least=0.0, most=2.0)
    picks: int = declared("count", "how many picks", default=2, least=2, most=4)
    pick_at: tuple[Inch, ...] = declared("lengths", "studs to pick at, from LEFT", default=(), least=0.0)
    drop: Inch = declared("length", "how far below the top the slings act", default=0.0, least=0.0)
    by: str = declared("word", "what the slings are round", default="stud", one_of=ATTACHMENTS)
    pick_lb: Pound | None = declared("force", "allowable of one attachment", default=None, least=0.0)
    slings: Inch | None = declared("length", "length of the longer sling", default=None, least=0.0)
    sling_lb: Pound | None = declared("force", "capacity on the tag of one sling", default=None, least=0.0)
    flat_slings: bool = declared("flag", "slings past 45 degrees asked for", default=False)
    spreader: bool = declared("flag", "the slings hang plumb from a spreader", default=False)
    lift_each: Pound = declared("force", "lift of one person", default=50.0, least=10.0, most=200.0)
    reach: Inch = declared("length", "how high hands push", default=78.0, least=36.0, most=120.0)
    people: int = declared("count", "how many people there are", default=3, least=2, most=40)
    tag_pull: Pound | None = declared("force", "level pull of all tag lines", default=None, least=0.0)
    foot: FootRequest = declared("part", "what holds the foot", default=FootRequest())
    machine: Machine | None = declared("part", "the machine", default=None)
    chart: Chart | None = declared("part", "its chart", default=None)
    line_kv: float | None = declared("number", "voltage of a power line near by, kV", default=None, least=0.0)
    line_distance: Inch | None = declared("length", "least distance from it", default=None, least=0.0)
