"""A wall small enough to be laid out in less than a second: 10 ft of 2x6 with screws for everything."""

from __future__ import annotations

from bracing.job.job import Job
from bracing.reading.jobs import job_from_text

SMALL = {
    "length": "10 ft", "height": "8 ft", "studs": "2x6", "stock": '[{ size = "2x6", length = "12 ft" }]', "ties": 1,
    "sides": 2, "cleat_fastener": "structural screw 0.22x3", "floor_fastener": "structural screw 0.22x8", "floor": "",
    "wall": "", "lie": "edge",
}  # fmt: skip


def small_job(**changes: object) -> Job:
    """The wall: SMALL with changes; `wall` and `floor` are more lines of those tables."""
    say = SMALL | changes
    return job_from_text(
        f"""
        [wall]
        name = "Small wall"
        length = "{say["length"]}"
        height = "{say["height"]}"
        studs = {{ size = "{say["studs"]}", spacing = "24 in", species = "hem-fir", grade = "No.2" }}
        layers = ["osb 7/16"]
        moisture = "dry"
        left_end = "free"
        right_end = "free"
        {say["wall"]}
        [floor]
        room = "24 ft"
        height_above_ground = "2 ft"
        {say["floor"]}
        [kit]
        stock = {say["stock"]}
        species = "hem-fir"
        grade = "No.2"
        ties = {say["ties"]}
        [kit.head]
        joint = "lapped"
        fastener = "structural screw 0.22x3"
        bored = true
        [kit.cleat]
        size = "2x6"
        lie = "{say["lie"]}"
        bored = true
        length = "36 in"
        sides = {say["sides"]}
        brace_fastener = "{say["cleat_fastener"]}"
        floor_fastener = "{say["floor_fastener"]}"
        """,
        "small.toml",
    )
