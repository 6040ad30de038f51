"""What must fit together across tables: openings under the top, braces on the wall, lumber that is sold."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations
from typing import Any

from attrs import frozen

from bracing.job.brace import Brace, Kit, Stock
from bracing.job.framing import underside
from bracing.job.holding import lumber_instead
from bracing.job.layers import face_layers
from bracing.job.lumber import section
from bracing.job.wall import TOUCH, Opening, Point, Row, Studs, Wall, stops_the_wind
from bracing.reading.faults import Faults


@frozen(eq=False)
class Draft:
    """A job as far as it could be read; a refused value is None, in a list too.

    Attributes:
        top: outline of the wall; None where it cannot be drawn.
        wall: fields of the wall that the file gives.
        floor: fields of the floor that the file gives.
        site: fields of the site that the file gives.
        kit: fields of the kit that the file gives.
        braces: the braces.
    """

    top: tuple[Point, ...] | None
    wall: dict[str, Any]
    floor: dict[str, Any]
    site: dict[str, Any]
    kit: dict[str, Any]
    braces: tuple[Brace | None, ...]

    @property
    def bare_wall(self) -> Wall | None:
        """The wall with its studs only; None where its top or its studs were refused."""
        studs = self.wall.get("studs", Studs())
        return None if self.top is None or studs is None else Wall(name="wall", top=self.top, studs=studs)


def check_together(draft: Draft, faults: Faults) -> None:
    """Check what must fit together, as far as it was read.

    Args:
        draft: the job.
        faults: where faults go.
    """
    wall = draft.bare_wall
    openings = _numbered(draft.wall.get("openings"))
    if wall is not None:
        for i, opening in openings:
            _opening_inside(wall, f"wall.opening[{i}]", opening, faults)
        _rows_under_top(wall, _numbered(draft.wall.get("rows")), faults)
        _braces_on_wall(wall, _numbered(draft.braces), faults)
    _openings_apart(openings, faults)
    _marks_once(_numbered(draft.braces), faults)
    _returns(draft.wall, faults)
    _floor_of_its_kind(draft.floor, faults)
    _hill(draft.site, faults)
    _sheathed(draft.wall, faults)
    _lumber_of_wall(draft.wall, faults)
    _lumber_of_kit(draft, faults)


def _numbered(items: Iterable[Any] | None) -> list[tuple[int, Any]]:
    """Number the items of a list as in the file, and leave out those that were refused."""
    return [(i, item) for i, item in enumerate(items or ()) if item is not None]


def _opening_inside(wall: Wall, where: str, opening: Opening, faults: Faults) -> None:
    t = section(wall.studs.size).thickness
    if opening.left < t - TOUCH or opening.right > wall.length - t + TOUCH:
        faults.add(
            where,
            f"from {opening.left:g} to {opening.right:g} in",
            f"an opening between the end studs, from {t:g} to {wall.length - t:g} in",
        )
        return
    places = (opening.left, opening.right, *(x for x, _ in wall.top if opening.left < x < opening.right))
    lowest = min(underside(wall, x, t) for x in places)
    if opening.top > lowest + TOUCH:
        faults.add(where, f"top at {opening.top:g} in", f"a top under the top plate, {lowest:.4g} in at most")


def _openings_apart(openings: list[tuple[int, Opening]], faults: Faults) -> None:
    for (i, one), (j, other) in combinations(openings, 2):
        beside = one.right <= other.left + TOUCH or other.right <= one.left + TOUCH
        above = one.top <= other.sill + TOUCH or other.top <= one.sill + TOUCH
        if not beside and not above:
            place = f"from {other.left:g} to {other.right:g} in"
            faults.add(f"wall.opening[{j}]", place, f"an opening clear of wall.opening[{i}]")


def _rows_under_top(wall: Wall, rows: list[tuple[int, Row]], faults: Faults) -> None:
    for i, row in rows:
        if row.height > wall.highest + TOUCH:
            faults.add(
                f"wall.row[{i}].height",
                f"{row.height:g} in",
                f"a row under the top of the wall, {wall.highest:g} in",
            )


def _braces_on_wall(wall: Wall, braces: list[tuple[int, Brace]], faults: Faults) -> None:
    for i, brace in braces:
        if brace.stud_at > wall.length + TOUCH:
            limit = f"a stud of the wall, {wall.length:g} in long"
            faults.add(f"brace[{i}].stud_at", f"{brace.stud_at:g} in", limit)
            continue
        top = wall.height_at(brace.stud_at)
        if brace.head > top - TOUCH:
            limit = f"below the top of the wall there, {top:g} in"
            faults.add(f"brace[{i}].head", f"{brace.head:g} in", limit)


def _marks_once(braces: list[tuple[int, Brace]], faults: Faults) -> None:
    first: dict[str, int] = {}
    for i, brace in braces:
        if brace.mark in first:
            faults.add(
                f"brace[{i}].mark", brace.mark, f"a mark of its own; brace[{first[brace.mark]}] has it"
            )
        first.setdefault(brace.mark, i)


def _returns(wall: dict[str, Any], faults: Faults) -> None:
    for side in ("left", "right"):
        if f"{side}_return" in wall and wall.get(f"{side}_end", "free") == "free":
            written = wall.get(f"{side}_end")
            faults.add(f"wall.{side}_end", written, f"return, beside a table [wall.{side}_return]")


def _floor_of_its_kind(floor: dict[str, Any], faults: Faults) -> None:
    kind = floor.get("kind", "deck")
    for key, wanted in (("deck", "deck"), ("joists", "deck"), ("slab", "slab"), ("ground", "ground")):
        if key in floor and kind not in (wanted, None):
            faults.add(f"floor.{key}", f"given, and kind is {kind}", f'kind = "{wanted}" beside it')


def _hill(site: dict[str, Any], faults: Faults) -> None:
    if site.get("hill") and "kzt" not in site:
        faults.add("site.kzt", None, "the topographic factor, as the wall stands on a hill or ridge")


def _sheathed(wall: dict[str, Any], faults: Faults) -> None:
    stopping = face_layers(wall.get("layers"))
    if wall.get("sheathed") is False and stopping:
        faults.add("wall.sheathed", "false", stops_the_wind(stopping[0]))


def _check_lumber(lumber: tuple[str, str, str], where: str, faults: Faults) -> bool:
    """Check that a species comes in a grade at a size; give whether it does."""
    instead = lumber_instead(*lumber)
    if instead:
        faults.add(where, " ".join(lumber), instead)
    return not instead


def _lumber_of_wall(wall: dict[str, Any], faults: Faults) -> None:
    """The grillage takes headers and rows of the studs' species and grade: each size must come in it."""
    studs = wall.get("studs", Studs())
    if studs is None:
        return
    for i, opening in _numbered(wall.get("openings")):
        _check_lumber((studs.species, studs.grade, opening.header), f"wall.opening[{i}].header", faults)
    for i, row in _numbered(wall.get("rows")):
        _check_lumber((studs.species, studs.grade, row.size), f"wall.row[{i}].size", faults)


def _lumber_of_kit(draft: Draft, faults: Faults) -> None:
    plain = Kit()
    species, grade = draft.kit.get("species", plain.species), draft.kit.get("grade", plain.grade)
    if species is None or grade is None:
        return
    cleat = draft.kit.get("cleat", plain.cleat)
    size = plain.cleat.size if cleat is None else cleat.size
    if not _check_lumber((species, grade, size), "kit.grade", faults):
        return  # the same would be said of every stick
    stock: list[tuple[int, Stock]] = _numbered(draft.kit.get("stock"))
    sizes = {f"kit.stock[{i}].size": stick.size for i, stick in stock}
    sizes |= {f"brace[{i}].size": brace.size for i, brace in _numbered(draft.braces)}
    for where, size in sizes.items():
        _check_lumber((species, grade, size), where, faults)
