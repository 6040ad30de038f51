"""What the crew may choose and nobody declared is chosen here, and listed as needed."""

from __future__ import annotations

from collections.abc import Iterator

from attrs import evolve

from bracing.chain.assumed import ASSUMPTIONS, Assumption, places, value_at, with_value
from bracing.job.brace import Brace, Stock
from bracing.job.job import Job
from bracing.job.wall import Row

# Fields a layout chooses where nobody declared them, with what is then said of each; all others are facts and stay
# low. What is said nowhere here stands beside the braces.
GROUPS: dict[str, dict[str, str]] = {
    "studs": {
        "wall.studs.size": "{value}",
        "wall.studs.spacing": "every {value}",
        "wall.studs.species": "{value} or denser",
        "wall.studs.grade": "{value} or better",
    },
    "bottom plate": {
        "wall.plate.state": "in its final state, not tacked",
        "wall.plate.fastener": "{value}",
        "wall.plate.spacing": "every {value}",
        "wall.plate.into_framing": "into joists, rim or blocking",
    },
    "sheathing": {
        "wall.plate.sheathing_laps": "nailed to the bottom {value}",
        "wall.plate.sheathing_fastener": "{value}",
        "wall.plate.sheathing_spacing": "every {value} there",
        "wall.plate.sheathing_field_spacing": "every {value} on the studs",
    },
    "top plate": {
        "wall.top_plate.end_nails": "{value} nails into each stud",
        "wall.top_plate.end_nail": "{value}",
    },
    "headers and sills": {
        "wall.opening[].header_nails": "{value} nails into each end",
        "wall.opening[].header_fastener": "{value}",
    },
    "joists under the feet": {
        "floor.joists.size": "{value} or deeper",
        "floor.joists.span": "spanning no more than {value}",
        "floor.joists.species": "{value} or denser",
        "floor.joists.grade": "{value} or better",
    },
    "brace stock": {"kit.species": "{value} or denser", "kit.grade": "{value} or better"},
    "brace heads": {"kit.head.joint": "{value} on the stud's side", "kit.head.fastener": ""},
    "cleats": {
        "kit.cleat.length": "{value} long",
        "kit.cleat.brace_fastener": "",
        "kit.cleat.floor_fastener": "",
    },
}
CHOSEN: dict[str, str] = {name: words for group in GROUPS.values() for name, words in group.items()}

_ANY = Brace(mark="B1", stud_at=0.0, head=96.0, set_back=96.0, into_joist=True)
EXTRA = "wall.plate.extra.fastener"
# Fields of the wall and kit that mending or a recipe may change.
MENDED = (
    "wall.plate.spacing", EXTRA, "wall.plate.extra.at_each_brace", "wall.plate.strap_at_brace_lb",
    "wall.plate.sheathing_spacing", "wall.plate.sheathing_field_spacing", "wall.top_plate.end_nails",
    "wall.top_plate.strap_at_brace_lb", "wall.top_plate.spliced", "kit.cleat.sides", "kit.ties",
)  # fmt: skip
_WITHOUT = {
    "slab": ("kit.cleat.floor_fastener",),
    "ground": ("kit.cleat.floor_fastener", "kit.cleat.length"),
}
USUAL_EXTRA = "structural screw 0.22x5"
USUAL_STOCK: tuple[Stock, ...] = tuple(
    Stock(size=size, length=feet * 12.0)
    for size, lengths in (("2x4", (8, 10, 12, 14, 16)), ("2x6", (12, 14, 16, 18, 20, 24)))
    for feet in lengths
)


def _open(job: Job) -> Iterator[tuple[str, Assumption, tuple[str, ...]]]:
    """Every field a crew decides that plays a part and nobody declared: its row, and its paths."""
    rows = {row.field: row for row in ASSUMPTIONS}
    footed = evolve(job, braces=(_ANY,))  # what a foot in a joist makes matter
    for name in CHOSEN:
        row = rows[name]
        if row.usual is None or not row.matters(footed) or name in _WITHOUT.get(job.floor.kind, ()):
            continue
        if paths := places(job, row):
            yield name, row, paths


def choose(job: Job) -> Job:
    """Choose what nobody declared and the crew may decide.

    Args:
        job: the job as declared.
    """
    chosen = job
    for _, row, paths in _open(job):
        for path in paths:
            chosen = with_value(chosen, path, row.usual)
    nothing_extra = job.wall.plate.extra.at_each_brace == 0 and job.floor.kind != "slab"
    if nothing_extra and EXTRA not in job.declared:
        chosen = with_value(chosen, EXTRA, USUAL_EXTRA)
    if not job.kit.stock:
        chosen = evolve(chosen, kit=evolve(chosen.kit, stock=USUAL_STOCK))
    return chosen


def chosen_fields(before: Job, after: Job) -> dict[str, object]:
    """Give what was chosen: each field of CHOSEN nobody declared, and its value now.

    Args:
        before: the job as declared.
        after: the job with its choices.
    """
    return {name: value_at(after, paths[0]) for name, _, paths in _open(before)}


def rows_added(before: Job, after: Job) -> tuple[Row, ...]:
    """Give the rows across the studs a layout puts after those the wall had.

    Args:
        before: the job as declared.
        after: the job with the layout.
    """
    return after.wall.rows[len(before.wall.rows) :]


def no_part(job: Job) -> frozenset[str]:
    """Give the fields that play no part on this kind of floor.

    Args:
        job: the job.
    """
    return frozenset(_WITHOUT.get(job.floor.kind, ()))


def chosen_paths(before: Job, after: Job) -> dict[str, object]:
    """Give every field a layout set, by its dotted path: choices, and what mending raised.

    Args:
        before: the job as declared.
        after: the job with the layout.
    """
    found = {path: value_at(after, path) for _, _, paths in _open(before) for path in paths}
    mended = [name for name in MENDED if value_at(before, name) != value_at(after, name)]
    mended += [
        f"wall.opening[{k}].header_nails"
        for k, (a, b) in enumerate(zip(before.wall.openings, after.wall.openings, strict=True))
        if a.header_nails != b.header_nails
    ]
    mended += [
        f"wall.row[{k}].{name}"
        for k in range(len(before.wall.rows), len(after.wall.rows))
        for name in ("height", "kind", "size")
    ]
    return found | {name: value_at(after, name) for name in mended}
