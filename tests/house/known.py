"""How every value is known, counted: blocks of the tables, published rows, formulas. One of four words each."""

from __future__ import annotations

import csv
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from bracing.sources import ABOUT, KNOWN, MEMORY, known_of
from tests.house.test_docstrings import cited, key_of
from tests.house.tree import PACKAGE, ROOT, functions

HOW = {  # of a published row, to the word
    "looked-up": "read",
    "from-memory": "memory",
    "computed-from-published-equation": "computed",
}
STORIES = "failure_cases"  # accounts of what fell down: no value of them is a number in the program
SECONDARY = "secondary"  # in a row's note: read in a transcription


def blocks(path: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every block of a table that names a source: its path, and it."""
    yield from _blocks(tomllib.loads(path.read_text(encoding="utf-8")), path.stem)


def _blocks(block: dict[str, Any], path: str) -> Iterator[tuple[str, dict[str, Any]]]:
    if "source" in block:
        yield path, block
    for name, value in block.items():
        inner = value if isinstance(value, list) else [value]
        for number, one in enumerate(inner):
            if isinstance(one, dict):
                yield from _blocks(one, f"{path}.{name}{f'[{number}]' if isinstance(value, list) else ''}")
            elif name == "by":  # rows that each end in their own source
                yield f"{path}.by[{number}]", {"source": one[-1], "known": known_of(one[-1])}


def tables() -> list[Path]:
    """The tables shipped with the package."""
    return sorted((PACKAGE / "data").glob("*.toml"))


@cache
def published() -> dict[str, tuple[dict[str, str], ...]]:
    """The published rows, by the name of their file."""
    found = {}
    for path in sorted((ROOT / "tests" / "published").glob("*.csv")):
        if path.stem != STORIES:
            with path.open(encoding="utf-8", newline="") as file:
                found[path.stem] = tuple(csv.DictReader(file))
    return found


def formulas() -> Iterator[tuple[str, str, str]]:
    """Every citation in a docstring: the function, the citation and its word."""
    for function in functions():
        for citation in cited(function):
            if key_of(citation) is not None:
                yield function.label, citation, known_of(citation)


def row_words() -> Counter[str]:
    """How the published rows were come by."""
    return Counter(HOW[row["how"]] for rows in published().values() for row in rows)


def block_words() -> Counter[str]:
    """How the blocks of the tables are known; one with a part from memory counts as from memory."""
    return Counter(
        "memory" if "from_memory" in block else block["known"]
        for path in tables()
        for _, block in blocks(path)
    )


def formula_words() -> Counter[str]:
    """How the formulas are known."""
    return Counter(word for _, _, word in formulas())


def faults(path: Path) -> list[str]:
    """What is wrong with the words of a table: none, not one of the four, or at odds with its source."""
    found = []
    for where, block in blocks(path):
        word = block.get("known")
        stands = known_of(block["source"])
        if word not in KNOWN:
            found.append(f"{where}: known = {word!r}")
        elif word != stands and not (stands == "read" and word == "memory"):
            found.append(f"{where}: known = {word!r}, and its source is {stands}: {block['source']}")
        parts = block.get("from_memory", [MEMORY])
        if word != "read" and "from_memory" in block:
            found.append(f"{where}: from_memory names parts of what was read, and known = {word!r}")
        if not parts or not all(isinstance(part, str) and part for part in parts):
            found.append(f"{where}: from_memory names nothing")
        if not set(block) - set(ABOUT):
            found.append(f"{where}: a source and no value") if ".by[" not in where else None
    return found
