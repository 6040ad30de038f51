"""What the crew may choose and nobody declared is chosen here, and listed as needed."""

from __future__ import annotations

from attrs import evolve

from bracing.assumed import ASSUMPTIONS, places, with_value
from bracing.brace import Stock
from bracing.job import Job
from bracing.units import Inch, tape

# Fields a crew decides for itself, with what is said where they are chosen; all others are facts and stay low.
CHOSEN: dict[str, str] = {
    "wall.plate.state": "bottom plate in its final state, not tacked",
    "wall.plate.fastener": "bottom plate fastened with {value}",
    "wall.plate.spacing": "bottom plate fasteners every {value}",
    "wall.plate.into_framing": "bottom plate fasteners into joists, rim or blocking",
    "wall.plate.sheathing_laps": "sheathing nailed to the bottom {value}",
    "wall.plate.sheathing_fastener": "sheathing nails: {value}",
    "wall.plate.sheathing_spacing": "sheathing nails every {value} along the plate",
    "wall.plate.sheathing_field_spacing": "sheathing nails every {value} on the studs",
    "wall.top_plate.end_nails": "{value} nails through the top plate into each stud",
    "wall.top_plate.end_nail": "top plate nails: {value}",
    "wall.opening[].header_nails": "{value} nails into each header and sill end",
    "wall.opening[].header_fastener": "header nails: {value}",
    "kit.species": "brace stock of {value} or denser",
    "kit.grade": "brace stock of grade {value} or better",
    "kit.head.joint": "brace heads {value} on the stud's side",
    "kit.head.fastener": "head fasteners: {value}",
    "kit.cleat.length": "cleats {value} long",
    "kit.cleat.brace_fastener": "brace to cleat: {value}",
    "kit.cleat.floor_fastener": "cleat to floor: {value}",
}
_LENGTHS = ("spacing", "length")

USUAL_STOCK: tuple[Stock, ...] = tuple(
    Stock(size=size, length=feet * 12.0)
    for size, lengths in (("2x4", (8, 10, 12, 14, 16)), ("2x6", (12, 14, 16, 18, 20, 24)))
    for feet in lengths
)


def choose(job: Job) -> tuple[Job, tuple[str, ...]]:
    """Choose what nobody declared and the crew may decide.

    Args:
        job: the job as declared.

    Returns:
        The job with its choices, and what each needs, in plain words.
    """
    needed = []
    rows = {row.field: row for row in ASSUMPTIONS}
    for name, words in CHOSEN.items():
        row = rows[name]
        open_paths = places(job, row)
        if row.usual is None or not row.matters(job) or not open_paths:
            continue
        for path in open_paths:
            job = with_value(job, path, row.usual)
        shown = (
            tape(float(str(row.usual))) if name.rsplit("_", 1)[-1].split(".")[-1] in _LENGTHS else row.usual
        )
        needed.append(words.format(value=shown))
    if not job.kit.stock:
        job = evolve(job, kit=evolve(job.kit, stock=USUAL_STOCK))
    return job, tuple(needed)


def longest_stock(job: Job, size: str) -> Inch:
    """Longest stick of a size on hand [in].

    Args:
        job: the job with its choices.
        size: nominal size.
    """
    return max((stock.length for stock in job.kit.stock if stock.size == size), default=0.0)
