"""What JSON about several files starts with, as `results.header` gives it for one."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from bracing._version import __version__
from bracing.results import EDITIONS, SCHEMA_VERSION
from bracing.sources import SOURCES


def header_of_several(hashes: Iterable[str], kind: str) -> dict[str, object]:
    """Give what a JSON object about several inputs starts with.

    Args:
        hashes: the hash of each input, in any order.
        kind: the command.

    Example:
        >>> header_of_several([], "walls")["schema"]
        'bracing.walls.1'
    """
    return {
        "schema": f"bracing.{kind}.{SCHEMA_VERSION}",
        "program": f"bracing {__version__}",
        "standards": [SOURCES[key].name for key in EDITIONS],
        "input_sha256": hashlib.sha256("".join(sorted(hashes)).encode()).hexdigest(),
    }
