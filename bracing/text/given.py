"""A value of a wall file as a person would type it, for the list of what was assumed."""

from __future__ import annotations

from typing import Any

from bracing.job.fields import KIND, class_of
from bracing.job.job import Job
from bracing.reading.structure import fields_by_key
from bracing.text.page import Page


def field_kind(path: str) -> str:
    """Give the kind of a field by its dotted path.

    Args:
        path: such as "wall.plate.spacing" or "brace[].ties".

    Example:
        >>> field_kind("wall.plate.spacing"), field_kind("brace[0].into_joist")
        ('length', 'flag')
    """
    at: type[Any] = Job
    kind = ""
    for step in path.split("."):
        attribute = fields_by_key(at)[step.partition("[")[0]]
        kind = str(attribute.metadata[KIND])
        if kind in ("part", "parts"):
            at = class_of(at, attribute.name)
    return kind


def typed(path: str, value: object, page: Page) -> str:
    """Write a value as it would stand in a file.

    Args:
        path: dotted path of its field.
        value: in base units.
        page: how quantities are written.

    Example:
        >>> typed("wall.plate.spacing", 24.0, Page()), typed("brace[0].into_joist", False, Page())
        ('24 in', 'no')
    """
    kind = field_kind(path)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None or value == ():
        return "not known"
    if kind == "length" and isinstance(value, float):
        small = value < 48.0 and not page.metric
        return f"{value:g} in" if small else page.length(value)
    if kind == "force" and isinstance(value, float):
        return page.force(value)
    return f"{value:g}" if isinstance(value, float) else str(value)
