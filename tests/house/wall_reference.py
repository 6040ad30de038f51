"""Writes docs/wall-file.md from what the fields of the input classes declare.

    python -m tests.house.wall_reference

tests/house/test_manual.py fails where the page is not what this would write.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import attrs

from bracing.chain.assumed import ASSUMPTIONS
from bracing.job.fasteners import USER_KEYS as FASTENER_FIELDS
from bracing.job.fields import HELP, KIND, LEAST, MOST, ONE_OF, amount, class_of, fields_by_key
from bracing.job.job import Job
from bracing.job.outline import TopKeys
from bracing.reading.writing import written
from tests.house.tree import ROOT

PAGE = ROOT / "docs" / "wall-file.md"
INTRO = """# The wall file

Every table and every key a wall file may have. This page is written from the classes that hold them by
`python -m tests.house.wall_reference`, and a test fails where it is out of date. `bracing start` writes a file with all
of them, each with its comment; `bracing schema wall` prints the JSON Schema an editor completes keys from, and a first
line `#:schema ./bracing-wall.schema.json` points it there.

* Text stands in quotes. Lengths, forces, times and speeds carry their unit: `"36 ft"`, `"36'-4 1/2\\""`, `"11.1 m"`,
  `"700 lb"`, `"3 weeks"`, `"115 mph"`. A bare number where a length is due is refused. Counts are bare.
* x is taped along the wall from LEFT, left for somebody on the brace side facing the wall; y out from the wall.
* A key that is not there takes the low value of its column, and what that costs in mph is listed as ASSUMED.
  "must be given" has no low value; "not known" is nothing at all: nothing is limited, or both ways are tried.
* A key nobody knows is refused with the near ones.
* `edition = 2`, before the first table, says which low defaults the file was written for. `check` tells a file of the
  first edition how far its wall went and for what: one that says `edition = 1`, or that has `into_joist`, which only
  files of then have. A file that shows neither is taken for one of today. `check` writes nothing, so it says so until
  somebody writes `edition = 2`, or `layout --write`, `storm --write` or `built` writes into the file, which records it.

"""
KINDS = {
    "flag": "true or false",
    "name": "text",
    "size": "nominal size",
    "header": "nominal size, plies first",
    "species": "species",
    "grade": "grade",
    "fastener": "fastener",
    "deck": "panel and thickness",
    "soil": "soil class",
    "layers": "list of layers",
    "names": "list of texts",
    "point": "two lengths",
    "points": "list of points",
    "share": "part of one",
    "pitch": "pitch, such as 6/12",
    "line load": "load along a line",
}


def tables(cls: type[Any], where: str, *, many: bool = False) -> Iterator[str]:
    """The section of one table, then those of the tables in it."""
    fields = fields_by_key(cls)
    plain = {key: field for key, field in fields.items() if field.metadata[KIND] not in ("part", "parts")}
    if where:
        bracket = f"[[{where}]]" if many else f"[{where}]"
        yield f"## {bracket}\n\n{_about(cls)}\n\n"
        if plain:
            yield "| key | is | takes | low value |\n|---|---|---|---|\n"
            yield from (_row(key, field, where) for key, field in plain.items())
        yield "\n"
    for key, field in fields.items():
        if key not in plain:
            name = f"{where}.{key}" if where else key
            yield from tables(class_of(cls, field.name), name, many=field.metadata[KIND] == "parts")


def _about(cls: type[Any]) -> str:
    """The first paragraph of the class's docstring: what it is, in a sentence or two."""
    return " ".join((cls.__doc__ or "").split("\n\n")[0].split())


def _row(key: str, field: attrs.Attribute[Any], where: str) -> str:
    low = _low(field, f"{where}.{key}")
    return f"| `{key}` | {field.metadata[HELP]} | {_takes(field)} | {low} |\n"


def _takes(field: attrs.Attribute[Any]) -> str:
    kind, least, most = field.metadata[KIND], field.metadata[LEAST], field.metadata[MOST]
    if kind == "word":
        return ", ".join(f"`{word}`" for word in field.metadata[ONE_OF])
    said = KINDS.get(kind, kind)
    if kind in ("points", "point", "layers", "flag", "name"):
        return said
    if least is not None and most is not None:
        return f"{said}, {amount(least, kind)} to {amount(most, kind)}"
    return said


def _low(field: attrs.Attribute[Any], path: str) -> str:
    default = field.default
    if path == "wall.name":
        return "the file's name"
    if path.startswith("wall.") and path.count(".") == 1 and path[5:] in fields_by_key(TopKeys):
        return "by the shape"
    if default is attrs.NOTHING:
        return "must be given"
    if default is None:
        return "not known"
    if default in ((), ""):
        return "none"
    shown = written(default, field.metadata[KIND])
    return f"`{str(shown).lower() if isinstance(shown, bool) else shown}`"


def why() -> Iterator[str]:
    """The table of what is listed as ASSUMED, and why each value is the low one."""
    yield "## What is listed as ASSUMED\n\nWhere one of these plays a part and nobody declared it.\n\n"
    yield "| field | why its value is the low one |\n|---|---|\n"
    yield from (f"| `{row.field}` | {row.why} |\n" for row in ASSUMPTIONS)


def own() -> str:
    """The crew's own fasteners."""
    keys = ", ".join(f"`{key}`" for key in FASTENER_FIELDS)
    return (
        "## [[fastener]]\n\nYour own fasteners, in the wall file or in a file of their own that `fasteners_file` names "
        f"at the top of it. Keys: {keys}. `name`, `kind`, `diameter` and `length` must be given; a stated capacity "
        "counts only with its `report` and the conditions the report sets.\n\n"
    )


def page() -> str:
    """The whole page."""
    shapes = (
        "The top is drawn by `length` with one of: `height` (level); `height` and `pitch`, "
        "or `height`, `peak` and `peak_at` (gable); "
        "`left_height` and `right_height` (rake); or `top`, any line of straight pieces. "
        "A point within 1/16 in of the straight line between its neighbours is left out.\n\n"
    )
    text = INTRO + "".join(tables(Job, ""))
    text = text.replace("## [wall.studs]", shapes + "## [wall.studs]", 1)
    return _escaped(text + own() + "".join(why()))


def _escaped(text: str) -> str:
    """A bar inside a cell is no border: `free | return` is written with a slash."""
    lines = []
    for line in text.splitlines():
        if line.startswith("| `") and line.count(" | ") > 3:
            key, rest = line[2:].split(" | ", 1)
            about, takes, low = rest.rsplit(" | ", 2)
            line = f"| {key} | {about.replace(' | ', ' / ')} | {takes} | {low}"
        lines.append(line)
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"wrote {PAGE.relative_to(ROOT)}")
