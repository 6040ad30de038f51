"""Every row of every data table says where it comes from."""

import math
import re
import tomllib
from functools import cache

from bracing.sources import SOURCES
from tests.house.tree import PACKAGE, ROOT, where

TABLES = [*sorted((PACKAGE / "data").glob("*.toml")), ROOT / "tests" / "crosschecks" / "wind.toml"]


def source_of(block):
    """What a block cites: a string, or the strings of its own rows."""
    found = block.get("source")
    return [found] if isinstance(found, str) else list(found or [])


def uncited(block, path, inherited=False):
    """Paths of blocks that hold values and cite nothing, themselves or above."""
    cites = inherited or bool(source_of(block))
    holds_values = any(not _is_blocks(value) for name, value in block.items() if name != "source")
    faults = [path] if holds_values and not cites and not _rows_cite(block) else []
    for name, value in block.items():
        if isinstance(value, dict):
            faults += uncited(value, f"{path}.{name}", cites)
        elif _is_blocks(value):
            for number, row in enumerate(value):
                faults += uncited(row, f"{path}.{name}[{number}]", cites)
    return faults


def _is_blocks(value):
    return isinstance(value, dict) or (
        isinstance(value, list) and bool(value) and all(isinstance(row, dict) for row in value)
    )


def _rows_cite(block):
    """Whether a block's values are rows that each end in their own source."""
    for name, value in block.items():
        if name in ("names", "panel", "over") or _is_blocks(value):
            continue  # what the block is called and where it lies
        rows = value if isinstance(value, list) else [value]
        if not all(isinstance(row, list) and isinstance(row[-1], str) for row in rows):
            return False
    return True


def citations(block):
    """Every source named anywhere in a block."""
    for name, value in block.items():
        if name == "source":
            yield from source_of(block)
        elif name.endswith("_source"):
            yield value
        elif isinstance(value, dict):
            yield from citations(value)
        elif isinstance(value, list):
            for row in value:
                if isinstance(row, dict):
                    yield from citations(row)
                elif isinstance(row, list) and row and isinstance(row[-1], str) and name == "by":
                    yield row[-1]


def key_of(citation):
    found = re.match(r"[A-Z][A-Za-z0-9.-]*[A-Za-z0-9]", citation)
    return found[0] if found else None


def numbers(value):
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for item in value:
            yield from numbers(item)
    elif isinstance(value, float):
        yield value


@cache
def tables():
    """Every table by its path, and the one the tests compare with."""
    return {where(path): tomllib.loads(path.read_text(encoding="utf-8")) for path in TABLES}


def test_every_row_has_a_source():
    faults = [fault for name, table in tables().items() for fault in uncited(table, name)]
    assert not faults, "no source: " + ", ".join(faults)


def unkeyed(table):
    """Citations of a table that begin with no key of the sources."""
    return [text for text in citations(table) if key_of(text) not in SOURCES]


def endless(table):
    """Whether a table holds a number without end."""
    return any(map(math.isinf, numbers(table)))


def test_every_source_begins_with_a_key():
    assert all(any(citations(table)) for table in tables().values())
    unknown = [f"{name}: {text}" for name, table in tables().items() for text in unkeyed(table)]
    assert not unknown, f"no key of bracing/sources.py at its head: {unknown}"


def test_no_number_is_infinite():
    assert not [name for name, table in tables().items() if endless(table)]


def test_the_rule_sees_a_source_without_a_key_and_a_number_without_end():
    data = tomllib.loads(
        '[a]\nsource = "nothing 1"\n[b]\nx_source = "NDS 1"\nby = [[1.0, "other 2"]]\n'
        '[[c]]\nsource = ["NDS 2", "third 3"]\nx = [{ y = inf }]'
    )
    assert unkeyed(data) == ["nothing 1", "other 2", "third 3"]
    assert endless(data)
    assert not endless({"x": [1.0, 2]})


def test_the_rule_sees_a_block_without_a_source():
    data = tomllib.loads('[a]\nsource = "NDS 1"\n[a.b]\nx = 1\n[c]\ny = 2\n[[d]]\nz = 1\nsource = "NDS 2"')
    assert uncited(data["a"], "a") == []
    assert uncited(data["c"], "c") == ["c"]
    assert uncited(data["d"][0], "d[0]") == []
