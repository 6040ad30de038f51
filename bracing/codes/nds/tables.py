"""The table of joint factors, spacings and soil values, read once."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def joint_data() -> dict[str, Any]:
    """Read the table of joint factors, spacings and soil values shipped with the package."""
    return tomllib.loads((files("bracing") / "data" / "joints.toml").read_text(encoding="utf-8"))
