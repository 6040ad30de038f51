"""How many functions, classes, words and rows each house rule held, and why any of them holds fewer than it did.

python -m tests.house.held                     # the table: the rule, how many it holds, how many it held
python -m tests.house.held --write "reason"    # record what it holds now; a fall takes the reason
"""

from __future__ import annotations

import argparse
import ast
import csv
from collections.abc import Callable
from pathlib import Path

from bracing.sources import SOURCES
from tests.house import (
    equations,
    test_approx,
    test_data_tables,
    test_docstrings,
    test_judgement,
    test_public_names,
    test_readme,
    test_words,
)
from tests.house.tree import CITES, FORMULAS, functions, modules, nodes, trees_of_tests, within

KEPT = Path(__file__).with_name("held.csv")


def _closeness() -> int:
    return sum(test_approx._approx(node) for tree in trees_of_tests().values() for node in nodes(tree))


def _shown() -> int:
    parts = {name: tree for name, tree in modules().items() if within(name, test_words.PRINTING)}
    return sum(len(list(test_words.shown_strings(name, tree))) for name, tree in parts.items())


def _formulas() -> int:
    public = [f for f in test_docstrings.public(CITES) if f.owner is None]
    return sum(test_docstrings.is_quantity(f.node.returns) and test_docstrings.computes(f) for f in public)


def _classes() -> int:
    return sum(isinstance(node, ast.ClassDef) for tree in modules().values() for node in nodes(tree))


HELD: dict[str, Callable[[], int]] = {
    "modules in one order of imports": lambda: len(modules()),
    "functions of a bounded length and signature": lambda: len(functions()),
    "classes that are frozen and hold data": _classes,
    "functions whose every quantity has its unit": lambda: len(test_docstrings.public(FORMULAS)),
    "formulas that cite a source": _formulas,
    "citations that begin with a key": lambda: sum(len(test_docstrings.cited(f)) for f in functions()),
    "keys of sources": lambda: len(SOURCES),
    "public functions reached from the program": lambda: sum(
        f.public and f.owner is None for f in functions()
    ),
    "strings that give no permission": _shown,
    "data tables whose every row has a source": lambda: len(test_data_tables.TABLES),
    "citations in data tables": lambda: sum(
        len(list(test_data_tables.citations(table))) for table in test_data_tables.tables().values()
    ),
    "judged constants and blocks in docs/judgement.md": lambda: (
        len(list(test_judgement.constants())) + len(list(test_judgement.BLOCKS))
    ),
    "closeness assertions with a tolerance": _closeness,
    "pages whose links lead somewhere": lambda: len(test_readme.PAGES),
    "commands whose output a page shows": lambda: sum(
        len(list(test_readme.examples_of(page))) for page in test_readme.PAGES
    ),
    "public names": lambda: len(test_public_names.NAMES),
    "names of makers and products": lambda: len(test_words.BRANDS),
    "formulas with a derivation on the page of equations": lambda: len(equations.every()),
}


def recorded() -> dict[str, tuple[int, str]]:
    """What each rule held when it was last written, and why that was fewer than before."""
    with KEPT.open(encoding="utf-8", newline="") as file:
        return {row["rule"]: (int(row["held"]), row["why fewer"]) for row in csv.DictReader(file)}


def falls(now: dict[str, int], kept: dict[str, tuple[int, str]]) -> list[str]:
    """Rules that hold fewer than is recorded."""
    fewer = {rule: (now.get(rule, 0), held) for rule, (held, _) in kept.items() if now.get(rule, 0) < held}
    return [f"{rule}: {count}, held {held}" for rule, (count, held) in fewer.items()]


def main() -> None:
    """Print the table, or write it."""
    parser = argparse.ArgumentParser(prog="python -m tests.house.held", description=__doc__.splitlines()[0])
    parser.add_argument("--write", metavar="REASON", help="record what is held now; why any rule holds fewer")
    reason = parser.parse_args().write
    now = {rule: count() for rule, count in HELD.items()}
    kept = recorded() if KEPT.exists() else {}
    for rule, count in now.items():
        print(f"{count:6d} {kept.get(rule, (0, ''))[0]:6d}  {rule}")
    if reason is None:
        return
    fallen = falls(now, kept)
    if fallen and not reason.strip():
        raise SystemExit("a rule that holds fewer takes a reason:\n" + "\n".join(fallen))
    with KEPT.open("w", encoding="utf-8", newline="") as file:
        write = csv.writer(file, lineterminator="\n")
        write.writerow(("rule", "held", "why fewer"))
        for rule, count in now.items():
            was, why = kept.get(rule, (0, ""))
            write.writerow((rule, count, reason if count < was else why))


if __name__ == "__main__":
    main()
