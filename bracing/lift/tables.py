"""The published limits and stated values a lift is planned with, from data/lifting.toml."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def lifting(block: str) -> Any:  # noqa: ANN401  (a table or a list of tables)
    """Give one block of the table of lifting.

    Args:
        block: its name, such as "sling".

    Example:
        >>> lifting("sling")["working_limit_deg"]
        30.0
    """
    text = files("bracing").joinpath("data/lifting.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)[block]
