"""Every value called a judgement in the code or the data is on the page that lists them, with its value."""

import re
import tomllib

import pytest

from tests.house.tree import PACKAGE, ROOT, where

PAGE = (ROOT / "docs" / "judgement.md").read_text(encoding="utf-8")
CONSTANT = re.compile(r"^([A-Z][A-Z_]+)(?:: \w+)? = ([^#\n]+?) *#.*judgement", re.M | re.I)


def constants():
    """Constants whose comment calls them a judgement: their file, name and value."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for name, value in CONSTANT.findall(path.read_text(encoding="utf-8")):
            yield path, name, value


def judged_blocks(block, path):
    """Paths of the data blocks whose source is a judgement."""
    if isinstance(block, dict):
        if str(block.get("source", "")).startswith("JUDGEMENT"):
            yield path
            if not path:
                return  # the whole file is judgement
        for name, inner in block.items():
            yield from judged_blocks(inner, f"{path}.{name}" if path else name)


BLOCKS = [
    (path, name)
    for path in sorted((PACKAGE / "data").glob("*.toml"))
    for name in judged_blocks(tomllib.loads(path.read_text(encoding="utf-8")), "")
]


def test_there_are_some():
    assert {name for _, name, _ in constants()} >= {"RETURN_FLOOR", "SPREAD", "SOFT_SLIP"}
    assert BLOCKS


@pytest.mark.parametrize(("path", "name", "value"), list(constants()), ids=lambda part: str(part)[-30:])
def test_a_constant_is_listed_with_its_value(path, name, value):
    number = f"{float(value):g}"
    found = re.search(rf"`{name} = ([\d.]+)", PAGE)
    assert found, f"{where(path)}: {name} is not in docs/judgement.md"
    assert f"{float(found[1]):g}" == number, f"docs/judgement.md has {name} = {found[1]}, the code {number}"


@pytest.mark.parametrize(("path", "name"), BLOCKS, ids=lambda part: str(part)[-30:])
def test_a_data_block_is_listed(path, name):
    """Named beside its file, or the file by itself where all of it is judgement."""
    file = f"`data/{path.name}`"
    beside = rf"`\[?{re.escape(name)}\]?`[^`]*{file}|{file}[^`]*`{re.escape(name)}`"
    assert re.search(beside if name else file, PAGE), f"{where(path)}: {name} is not in docs/judgement.md"


@pytest.mark.parametrize("name", ["clear_out", "open_frame_least_solidity", "thunderstorm_least_kz"])
def test_a_judged_row_of_the_wind_table_is_listed_with_its_value(name):
    data = tomllib.loads((PACKAGE / "data" / "wind.toml").read_text(encoding="utf-8"))
    found = re.search(rf"`{name} = ([\d.]+)`", PAGE)
    assert found
    assert float(found[1]) == data["judgement"][name]
