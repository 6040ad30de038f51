"""Every block of a table, every published row and every formula says how it is known, in one of four words."""

import ast
import re
import tomllib

from bracing.sources import KNOWN, SOURCES, known_of
from tests.house import known
from tests.house.sources_map import page
from tests.house.test_docstrings import sections
from tests.house.tree import PACKAGE, ROOT, functions, functions_of, where


def test_every_block_says_how_it_is_known():
    assert all(any(known.blocks(path)) for path in known.tables())
    faults = [f"{where(path)} {fault}" for path in known.tables() for fault in known.faults(path)]
    assert not faults, "\n".join(faults)


def test_every_published_row_says_how_it_was_come_by():
    faults = [
        f"{name} {row['id']}: {row.get('how')!r}"
        for name, rows in known.published().items()
        for row in rows
        if row.get("how") not in known.HOW
    ]
    assert not faults, "\n".join(faults)
    assert sum(len(rows) for rows in known.published().values()) > 1500


def test_every_formula_has_a_word():
    words = {word for _, _, word in known.formulas()}
    assert words == set(KNOWN)
    assert {source.known for source in SOURCES.values()} <= set(KNOWN)


def forgotten(these):
    """Functions that say of themselves that they were recalled, and not in their Source line."""
    found = []
    for function in these:
        parts = sections(function)
        rest = "".join(text for name, text in parts.items() if name not in ("Source", "Example"))
        if "Source" in parts and "from memory" in rest and "from memory" not in parts["Source"]:
            found.append(function.name)
    return found


def test_the_rule_sees_what_is_said_of_memory_elsewhere():
    doc = "Give it{}.\\n\\n    Source: NDS 1{}."
    texts = (
        doc.format(" (from memory)", ""),
        doc.format(" from memory", " (from memory)"),
        doc.format("", ""),
    )
    text = "".join(f"def f{k}():\n    '{each}'\n" for k, each in enumerate(texts))
    assert forgotten(functions_of({"m": ast.parse(text)})) == ["f0"]


def test_what_a_docstring_says_of_memory_stands_in_its_source_line():
    """ "From memory" in a sentence of a docstring reaches no page and no count."""
    assert not forgotten(functions())


def test_the_page_begins_with_the_share_that_was_not_read():
    words = known.row_words()
    share = round(100 * (words["memory"] + words["computed"]) / sum(words.values()))
    said = f"**{share}% of the {sum(words.values())} published rows were not read in print**"
    assert page().index(said) < page().index("## How each is known")


def test_the_rule_sees_a_block_without_its_word(tmp_path):
    table = tmp_path / "t.toml"
    table.write_text(
        '[a]\nsource = "NDS 1"\nx = 1\n[b]\nsource = "JUDGEMENT"\nknown = "read"\nx = 1\n'
        '[c]\nsource = "NDS 1"\nknown = "read"\nfrom_memory = []\nx = 1\n'
        '[d]\nsource = "NDS 1 (from memory)"\nknown = "read"\nx = 1\n[e]\nsource = "NDS 1"\nknown = "read"\nx = 1\n'
    )
    assert [fault.split(":")[0] for fault in known.faults(table)] == ["t.a", "t.b", "t.c", "t.d"]
    assert tomllib.loads(table.read_text())["e"]["known"] == known_of("NDS 1")


def test_every_source_is_cited_and_says_where_it_is_to_be_had():
    """One that only the tests cite says so."""
    program = {
        path: path.read_text(encoding="utf-8")
        for path in (*PACKAGE.rglob("*.py"), *known.tables())
        if path.name != "sources.py"
    }
    checks = {
        path: path.read_text(encoding="utf-8") for path in (ROOT / "tests" / "crosschecks").glob("*.*ml")
    }
    checks |= {path: path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("*.py")}
    faults = []
    for source in SOURCES.values():
        name = re.compile(rf"[\"' ]{re.escape(source.key)}[\"' ,;:.\n]")
        shipped, tested = (any(map(name.search, texts.values())) for texts in (program, checks))
        if not (shipped or tested):
            faults.append(f"{source.key}: nobody cites it")
        if (not shipped) != ("in the tests only" in source.through):
            faults.append(
                f"{source.key}: cited by {'the program' if shipped else 'tests'}, read in {source.through!r}"
            )
        if source.known == "read" and not source.kept:
            faults.append(f"{source.key}: where it is to be had is not said")
    assert not faults, "\n".join(faults)
