"""The lumber table, read once, and how its names are matched."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def table() -> dict[str, Any]:
    """Read data/lumber.toml, once."""
    text = files("bracing").joinpath("data/lumber.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def plain(name: str) -> str:
    """Fold a name to what tells it apart: lower case, "#" as "no", letters and digits only.

    Args:
        name: as a person writes it.

    Example:
        >>> plain("No. 2"), plain("#2"), plain("SPF (South)")
        ('no2', 'no2', 'spfsouth')
    """
    folded = name.lower().replace("#", "no").replace("&", "and")
    return re.sub(r"[^a-z0-9]", "", folded)


@cache
def names(block: str) -> dict[str, str]:
    """Map every folded name and alias of a block to the name in the table.

    Args:
        block: "species" or "grade".
    """
    return {plain(alias): row["name"] for row in table()[block] for alias in (row["name"], *row["aliases"])}
