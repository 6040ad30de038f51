"""Every value called a judgement in the code or the data is on the page that lists them, with its value."""

import re
import tomllib

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
    assert {name for _, name, _ in constants()} >= {"RETURN_FLOOR", "HALF", "SOFT_SLIP"}
    assert BLOCKS


def constant_fault(name, value, page=PAGE):
    """What is wrong with a constant on the page: it is not there, or with another value."""
    found = re.search(rf"`{name} = ([\d.]+)", page)
    if not found:
        return f"{name} is not in docs/judgement.md"
    if f"{float(found[1]):g}" != f"{float(value):g}":
        return f"docs/judgement.md has {name} = {found[1]}, the code {value}"
    return None


def block_is_listed(file, name, page=PAGE):
    """Whether a block is named beside its file, or the file by itself where all of it is judgement."""
    shown = f"`data/{file}`"
    beside = rf"`\[?{re.escape(name)}\]?`[^`]*{shown}|{shown}[^`]*`{re.escape(name)}`"
    return re.search(beside if name else shown, page) is not None


def test_every_constant_is_listed_with_its_value():
    found = [(where(path), constant_fault(name, value)) for path, name, value in constants()]
    faults = [f"{path}: {fault}" for path, fault in found if fault]
    assert not faults, "\n".join(faults)


def test_every_data_block_is_listed():
    faults = [
        f"{where(path)}: {name or 'the file'}"
        for path, name in BLOCKS
        if not block_is_listed(path.name, name)
    ]
    assert not faults, "not in docs/judgement.md:\n" + "\n".join(faults)


def test_every_judged_row_of_the_wind_table_is_listed_with_its_value():
    data = tomllib.loads((PACKAGE / "data" / "wind.toml").read_text(encoding="utf-8"))["judgement"]
    for name in ("clear_out", "open_frame_least_solidity", "thunderstorm_least_kz"):
        assert constant_fault(name, data[name]) is None


def test_the_rule_sees_what_is_not_on_the_page():
    assert constant_fault("HALF", "0.5", page="`HALF = 0.50` is") is None
    assert "the code 0.6" in constant_fault("HALF", "0.6", page="`HALF = 0.50` is")
    assert "is not in" in constant_fault("OTHER", "0.5", page="`HALF = 0.50` is")
    assert block_is_listed("a.toml", "b", page="`b` of `data/a.toml`")
    assert not block_is_listed("a.toml", "b", page="`b` stands elsewhere, `c` in `data/a.toml`")
    assert not block_is_listed("a.toml", "", page="nothing")
    assert list(judged_blocks({"a": {"b": {"source": "JUDGEMENT"}, "c": {"source": "NDS 1"}}}, "")) == ["a.b"]
