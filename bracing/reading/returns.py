"""A return wall that has its own file: what that file says of it takes the place of what could be typed here."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from bracing.errors import InputError
from bracing.job.house import of_file, says
from bracing.job.job import Job
from bracing.job.returns import Return
from bracing.reading.values import Faults

SIDES = ("left_return", "right_return")
OF_AN_END = (*SIDES, "left_end", "right_end")
# What the file gives, by key of the return; the key there it is read from, where only that makes it known.
FROM_FILE = {
    "length": "", "height": "", "moisture": "", "opening": "", "sheathing": "layers",
    "edge_nail": "plate.sheathing_fastener", "edge_spacing": "plate.sheathing_spacing",
    "field_spacing": "plate.sheathing_field_spacing", "studs.size": "studs.size", "studs.spacing": "studs.spacing",
    "studs.species": "studs.species", "studs.grade": "studs.grade", "plate.fastener": "plate.fastener",
    "plate.spacing": "plate.spacing",
}  # fmt: skip
# Which of its own ends a return with braces inside meets this wall at: going round the inside each left meets a right.
MET_AT = {"left_return": "right", "right_return": "left"}
# What may not be typed beside a file that says it, and as what field of [wall] that file does.
THERE = {
    "length": "length", "height": "height", "studs": "studs", "opening": "opening", "moisture": "moisture",
    "under": "layers", "sheathing": "layers", "edge_nail": "plate.sheathing_fastener",
    "edge_spacing": "plate.sheathing_spacing", "field_spacing": "plate.sheathing_field_spacing", "plate": "plate",
}  # fmt: skip


def named_files(tables: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Give the files that returns name: the side of each, and its name.

    Args:
        tables: of a wall file, as parsed.
    """
    wall = tables.get("wall")
    for side in SIDES:
        end = wall.get(side) if isinstance(wall, Mapping) else None
        name = end.get("wall") if isinstance(end, Mapping) else None
        if isinstance(name, str) and name.strip():
            yield side, name


def fill_from_files(
    wall: dict[str, Any], tables: Mapping[str, Any], faults: Faults, *, read: Callable[[str], Job]
) -> tuple[frozenset[str], str]:
    """Put what their own files say into the returns of a wall.

    Args:
        wall: fields of the wall, as read; its returns are filled.
        tables: of the file, as parsed.
        faults: where faults go; those of a return's file are located there.
        read: reads the file of a return, by its name, its own returns left out.

    Returns:
        Paths that are declared in those files, and the hashes of them one after the other.
    """
    known: set[str] = set()
    hashes = ""
    for side, name in named_files(tables):
        typed = [key for key in THERE if key in tables["wall"][side]]
        for key in typed:
            expected = f"nothing beside wall = {name}, whose file says it as wall.{THERE[key]}"
            faults.add(f"wall.{side}.{key}", "given", expected)
        try:
            other = read(name)
        except InputError as error:
            faults.take(error.faults)
            continue
        hashes += other.sha256
        end = wall.get(side)
        if isinstance(end, Return) and not typed:
            wall[side] = of_file(end, other, met=MET_AT[side])
            known |= {f"wall.{side}.{key}" for key, of in FROM_FILE.items() if says(other, of)}
    return frozenset(known), hashes
