"""What a person asks of a lift. Every default is stated in the answer."""

from __future__ import annotations

from attrs import frozen

from bracing.lift_links import FootRequest
from bracing.machine import Chart, Machine
from bracing.units import Inch, Mph, Pound


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

    gust: Mph | None = None
    dynamic: float = 0.25
    picks: int = 2
    pick_at: tuple[Inch, ...] = ()
    drop: Inch = 0.0
    by: str = "stud"
    pick_lb: Pound | None = None
    slings: Inch | None = None
    sling_lb: Pound | None = None
    flat_slings: bool = False
    spreader: bool = False
    lift_each: Pound = 50.0
    reach: Inch = 78.0
    people: int = 3
    tag_pull: Pound | None = None
    foot: FootRequest = FootRequest()
    machine: Machine | None = None
    chart: Chart | None = None
    line_kv: float | None = None
    line_distance: Inch | None = None
