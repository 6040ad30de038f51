"""The lists the crew goes by, read from a table."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from attrs import frozen


@frozen
class Checklist:
    """One list.

    Attributes:
        name: short.
        title: its heading.
        lead: said under the heading.
        items: lines to tick.
    """

    name: str
    title: str
    lead: str
    items: tuple[str, ...]


@cache
def checklists() -> tuple[Checklist, ...]:
    """Give every list in the order of the page.

    Example:
        >>> [each.name for each in checklists()]
        ['release', 'evening', 'blow', 'stop']
    """
    return tuple(
        Checklist(row["name"], row["title"], row["lead"], tuple(row["items"])) for row in _table()["list"]
    )


@cache
def _table() -> dict[str, list[dict[str, str]]]:
    text = resources.files("bracing").joinpath("data", "sheet.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
