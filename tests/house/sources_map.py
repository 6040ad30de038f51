"""Writes docs/sources.md from the docstrings and the tests: clause, function, test.

    python -m tests.house.sources_map

tests/house/test_sources_map.py fails where the page is not what this would write.
"""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

from bracing.sources import SOURCES, Source, cite, known_of
from tests.house import known
from tests.house.test_docstrings import cited, key_of
from tests.house.tree import ROOT, Function, functions, imported, modules, trees_of_tests

PAGE = ROOT / "docs" / "sources.md"
FOLDERS = ("published", "reference", "hand", "laws", "unit", "cli")  # the strongest proof first

INTRO = """# Sources

Where each number comes from, the function that works it out and the tests that hold it. This page is written
from the docstrings and the tests by `python -m tests.house.sources_map`, and a test fails where it is out of
date.

{share}

A test under `published/` compares with values printed in the source. `reference/` compares with independent
programs, `hand/` with walls and sums worked on paper, `laws/` with what must be true of every wall, `unit/` with single
cases. "Through" names the function whose test calls this one, where no test does so itself.

## How each is known

*read*: seen in print, or in a public transcription of it, which the row's note then says. *memory*: recalled,
and not seen. *computed*: worked out by statics, or from an equation that was itself read. *judgement*: no source
gives it; [judgement.md](judgement.md) has the reason. Where a recalled value governs a sum, "from memory" stands
beside its clause, on screens, on the sheet and in JSON (`known`).

{counts}
## The sources

"""


def used_names(path: Path) -> tuple[set[str], set[str]]:
    """The package's modules a test file imports from, and every name it uses."""
    found, names = set(), set()
    for node in ast.walk(trees_of_tests()[path]):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "bracing":
            home = (node.module or "").removeprefix("bracing").lstrip(".")
            found |= {home, *(f"{home}.{alias.name}".lstrip(".") for alias in node.names)}
        elif isinstance(node, ast.Name):
            names.add(node.id)
        elif isinstance(node, ast.Attribute):
            names.add(node.attr)
    return found, names


@cache
def test_files() -> dict[str, tuple[set[str], set[str]]]:
    """Each test file by its short name, "published/test_asce7.py", in the order of FOLDERS."""
    return {
        f"{folder}/{path.name}": used_names(path)
        for folder in FOLDERS
        for path in sorted((ROOT / "tests" / folder).glob("test_*.py"))
    }


def proofs(function: Function, files: dict[str, tuple[set[str], set[str]]]) -> list[str]:
    """The test files that call a function; only the strongest folder that has any."""
    found = [
        name for name, (homes, names) in files.items() if function.module in homes and function.name in names
    ]
    strongest = next((folder for folder in FOLDERS if any(name.startswith(folder) for name in found)), "")
    return [name for name in found if strongest and name.startswith(strongest)]


def held_by(function: Function, files: dict[str, tuple[set[str], set[str]]]) -> str:
    """The tests of a function, its own or those of the nearest function that calls it."""
    seen, waiting = {function.label}, [function]
    while waiting:
        one = waiting.pop(0)
        found = proofs(one, files)
        if found:
            through = "" if one is function else f"through `{one.name}`: "
            return through + ", ".join(found)
        callers = [other for other in functions() if other.label not in seen and one.name in _uses(other)]
        seen |= {other.label for other in callers}
        waiting += [other for other in callers if _reaches(other, one)]
    return ""


@cache
def _uses(function: Function) -> frozenset[str]:
    """Names a function's body uses."""
    nodes = list(ast.walk(function.node))
    names = {node.id for node in nodes if isinstance(node, ast.Name)}
    return frozenset(names | {node.attr for node in nodes if isinstance(node, ast.Attribute)})


def _reaches(caller: Function, called: Function) -> bool:
    """Whether the caller's module has the called one's in reach, so that the name can be that function."""
    return caller.module == called.module or called.module in imported(modules()[caller.module])


@cache
def rows() -> list[tuple[str, str, str, str, str]]:
    """Source key, clause, how known, function and tests, in the order of the sources and then of the clauses."""
    files = test_files()
    found = []
    for function in functions():
        for citation in cited(function):
            key = key_of(citation)
            if key is None:
                continue
            clause = citation[len(key) :].lstrip(" ,")
            owner = f"{function.owner.name}." if function.owner else ""
            name = f"`{function.module}.{owner}{function.name}`"
            found.append((key, clause, known_of(citation), name, held_by(function, files)))
    order = {key: place for place, key in enumerate(SOURCES)}
    return sorted(found, key=lambda row: (order[row[0]], _natural(row[1]), row[3]))


def _natural(clause: str) -> list[tuple[int, str]]:
    """Sort 12.3.10 after 12.3.9."""
    return [(int(part), "") if part.isdigit() else (0, part) for part in re.split(r"(\d+)", clause.lower())]


def left_out() -> list[tuple[str, str, str]]:
    """Published rows no test computes: their file, their id and the reason, as the test files list them."""
    found = []
    for path in sorted((ROOT / "tests" / "published").glob("test_*.py")):
        named: dict[str, ast.expr] = {}  # module-level names, since several rows may share one reason
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            target = node.targets[0] if isinstance(node, ast.Assign) else getattr(node, "target", None)
            if isinstance(target, ast.Name) and isinstance(node, ast.Assign | ast.AnnAssign) and node.value:
                named[target.id] = node.value
        listed = named.get("NOT_COMPUTED")
        if isinstance(listed, ast.Dict):
            for key, value in zip(listed.keys, listed.values, strict=True):
                reason = named[value.id] if isinstance(value, ast.Name) else value
                found.append((path.name, ast.literal_eval(key), ast.literal_eval(reason)))
    return found


def _read_in(source: Source) -> str:
    """What a source was read in: itself, where nothing else is said of one that was published."""
    return source.through or ("itself" if source.kept and source.key != "USER" else "–")


def _cell(text: str) -> str:
    return text.replace("|", "\\|") or "–"


def share() -> str:
    """What part of the published rows was not read, in a plain sentence."""
    words = known.row_words()
    total = sum(words.values())
    rows = [row for table in known.published().values() for row in table]
    second = sum(row["how"] == "looked-up" and known.SECONDARY in row["note"] for row in rows)
    return (
        f"**{100 * (total - words['read']) / total:.0f}% of the {total} published rows were not read in print**: "
        f"{words['memory']} are from memory and {words['computed']} computed\nfrom a published equation. Of the "
        f"{words['read']} that were read, {second} were read in a transcription, not in the source itself."
    )


def counts() -> str:
    """How many of each there are, as tables; then what of the shipped tables is from memory, by name."""
    lines = ["| what | read | memory | computed | judgement |", "|---|---|---|---|---|"]
    for name, words in (
        ("rows of published values", known.row_words()),
        ("blocks of the shipped tables", known.block_words()),
        ("formulas, by citation", known.formula_words()),
    ):
        lines.append(f"| {name} | {' | '.join(str(words[word]) for word in known.KNOWN)} |")
    lines += ["", "| published rows | read | memory | computed |", "|---|---|---|---|"]
    for name, rows in known.published().items():
        words = known.Counter(known.HOW[row["how"]] for row in rows)
        lines.append(f"| {name}.csv | {' | '.join(str(words[word]) for word in known.KNOWN[:3])} |")
    lines += ["", "| block of a shipped table | source | known | from memory of it |", "|---|---|---|---|"]
    for path in known.tables():
        for where, block in known.blocks(path):
            parts = ", ".join(block.get("from_memory", ()))
            lines.append(f"| {where} | {_cell(block['source'])} | {block['known']} | {_cell(parts)} |")
    return "\n".join([*lines, ""])


def page() -> str:
    """The whole page."""
    intro = INTRO.format(share=share(), counts=counts())
    parts = [intro, "| key | printed as | title | to be had | read in |\n|---|---|---|---|---|\n"]
    parts += [
        f"| {s.key} | {s.name} | {s.title} | {_cell(s.kept)} | {_read_in(s)} |\n" for s in SOURCES.values()
    ]
    current = ""
    for key, clause, word, function, tests in rows():
        if key != current:
            parts.append(f"\n## {cite(key)}\n\n| clause | known | function | held by |\n|---|---|---|---|\n")
            current = key
        parts.append(f"| {_cell(clause)} | {word} | {function} | {_cell(tests)} |\n")
    parts.append(
        "\n## Published values that are not computed\n\n| test file | row | why not |\n|---|---|---|\n"
    )
    parts += [f"| {file} | {name} | {_cell(reason)} |\n" for file, name, reason in left_out()]
    return "".join(parts)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"wrote {PAGE.relative_to(ROOT)}: {len(rows())} citations, {len(left_out())} rows not computed")
