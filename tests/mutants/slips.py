"""Slips put in by hand: lists of them, and what makes each one that can be put in again."""

from __future__ import annotations

import ast
import tomllib
from pathlib import Path
from typing import NamedTuple

from tests.mutants.groups import GROUPS

LISTS = Path(__file__).parent
KEYS = {"name", "about", "file", "old", "new"}
MAY = {"tests", "lives"}


class Slip(NamedTuple):
    """One slip of a tired engineer: a text of one file written otherwise.

    `tests` are those that must notice; where none are named, those of the group nearest to the file. `lives` argues
    why none can notice: the program is the same with it.
    """

    name: str
    about: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...] = ()
    lives: str = ""

    def faults(self, root: Path) -> list[str]:
        """Why this slip cannot be put into a tree, or why it would be none; nothing where all is well."""
        path = root / self.file
        if not path.is_file():
            return [f"{self.name}: there is no {self.file}"]
        code = path.read_text(encoding="utf-8")
        if (often := code.count(self.old)) != 1:
            return [f"{self.name}: its old text stands {often} times in {self.file}, expected once"]
        found = []
        if path.suffix == ".py" and same_program(code, self.put_into(code)):
            found.append(f"{self.name}: {self.file} is the same program with it, or none at all")
        if path.suffix == ".toml" and tomllib.loads(code) == tomllib.loads(self.put_into(code)):
            found.append(f"{self.name}: {self.file} says the same with it")
        if not self.picked():
            found.append(f"{self.name}: no test is named, and {self.file} is in no group")
        for test in self.tests:
            name = test.partition("::")[0]
            if not (root / "tests" / name).exists():
                found.append(f"{self.name}: there is no tests/{name}")
            elif (function := test.partition("::")[2].partition("[")[0]) and (
                f"def {function}(" not in (root / "tests" / name).read_text(encoding="utf-8")
            ):
                found.append(f"{self.name}: there is no {function} in tests/{name}")
        return found

    def put_into(self, code: str) -> str:
        """The file's text with the slip in."""
        return code.replace(self.old, self.new, 1)

    def picked(self) -> tuple[str, ...]:
        """The tests that must notice it, under tests/."""
        return self.tests or nearest_tests(self.file)


def same_program(code: str, other: str) -> bool:
    """Whether two sources are one program; one that is none at all counts as the same."""
    try:
        return ast.dump(ast.parse(code)) == ast.dump(ast.parse(other))
    except SyntaxError:
        return True


def nearest_tests(file: str) -> tuple[str, ...]:
    """The tests of the group nearest to a file, each once; of a file of the program in no group, those of a check."""
    inside = file.removeprefix("bracing/")
    found = [
        (len(code), group.tests)
        for group in GROUPS.values()
        for code in group.code
        if inside == code or inside.startswith(f"{code}/")
    ]
    if not found:
        return GROUPS["check"].tests if file.startswith("bracing/") else ()
    nearest = max(size for size, _ in found)
    return tuple(dict.fromkeys(test for size, tests in found if size == nearest for test in tests))


def read(path: Path) -> tuple[Slip, ...]:
    """Read a list of slips.

    Raises:
        ValueError: a slip lacks a key, has one too many, or has the name of another.
    """
    rows = tomllib.loads(path.read_text(encoding="utf-8")).get("slip", [])
    for k, row in enumerate(rows, 1):
        lacking, unknown = KEYS - row.keys(), row.keys() - KEYS - MAY
        if lacking or unknown:
            fault = f"{path.name}, slip {k}: lacks {sorted(lacking)}, does not know {sorted(unknown)}"
            raise ValueError(fault)
    slips = tuple(Slip(**row | {"tests": tuple(row.get("tests", ()))}) for row in rows)
    names = [slip.name for slip in slips]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        fault = f"{path.name}: two slips have the name {', '.join(twice)}"
        raise ValueError(fault)
    return slips


def lists() -> dict[str, Path]:
    """Every list of slips there is, by its name."""
    return {path.stem.removeprefix("slips_"): path for path in sorted(LISTS.glob("slips_*.toml"))}
