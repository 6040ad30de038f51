"""Reads the package's own source once: what the house rules are held against."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "bracing"

# The steps of the job in the order they may import one another: a module imports only from its own folder and from what
# stands above it. At the top of the package stands what every folder uses, and the one check every answer starts from.
ORDER: tuple[str, ...] = (
    "_version",
    "said",
    "errors",
    "choosing",
    "units",
    "sources",
    "sums",
    "job",
    "codes",
    "panel",
    "chain",
    "results",
    "check",
    "stages",
    "work",
    "layout",
    "lift",
    "box",
    "pull",
    "storm",
    "chance",
    "reading",
    "text",
    "many",
    "drawing",
    "sheet",
    "calls",
    "frames",
    "plots",
    "site",
    "commands",
)
AT_THE_TOP = 12  # files of the package itself, at most
# Published formulas and statics, floats and arrays in and out: every quantity has its unit in the docstring.
FORMULAS = ("codes", "panel", "job.layers", "job.framing", "job.lumber", "lift.slings")
# These name the clause of every formula as well.
CITES = (*FORMULAS, "chain", "job.fasteners", "lift.line", "lift.foot", "lift.machine", "lift.plumb")
ENTRY = ("bracing", "__main__")  # the public names and `python -m bracing`: they may import everything


def within(module: str, parts: tuple[str, ...]) -> bool:
    """Whether a module is one of some, or stands in a folder that is."""
    return any(module == part or module.startswith(f"{part}.") for part in parts)


class Function(NamedTuple):
    """One function or method of the package."""

    module: str
    name: str
    node: ast.FunctionDef | ast.AsyncFunctionDef
    owner: ast.ClassDef | None

    @property
    def label(self) -> str:
        """Where to find it, as printed in a fault."""
        return f"bracing/{self.module.replace('.', '/')}:{self.node.lineno} {self.name}"

    @property
    def top(self) -> str:
        """The folder, or file at the top, it stands in."""
        return self.module.split(".")[0]

    @property
    def public(self) -> bool:
        """Whether a caller may use it: no part of its dotted path is private."""
        owner = self.owner.name if self.owner else ""
        return not any(part.startswith("_") for part in (*self.module.split("."), owner, self.name))


def where(path: Path) -> str:
    """A path as printed in a fault."""
    return path.relative_to(ROOT).as_posix()


def module_name(path: Path) -> str:
    """ "codes.nds.dowels" of bracing/codes/nds/dowels.py, "panel" of panel/__init__, "bracing" of the package's."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    if parts[-1] == "__init__":
        parts = parts[:-1]
    return ".".join(parts) or "bracing"


@cache
def modules() -> dict[str, ast.Module]:
    """Every module of the package, parsed."""
    return {
        module_name(path): ast.parse(path.read_text(encoding="utf-8"), filename=str(path))
        for path in sorted(PACKAGE.rglob("*.py"))
    }


@cache
def trees_of_tests() -> dict[Path, ast.Module]:
    """Every file of the tests, parsed."""
    return {
        path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted((ROOT / "tests").rglob("*.py"))
    }


@cache
def nodes(tree: ast.AST) -> tuple[ast.AST, ...]:
    """Every node of a tree, the tree itself first: walked once for all the rules that look through it."""
    return tuple(ast.walk(tree))


def functions_of(trees: dict[str, ast.Module]) -> tuple[Function, ...]:
    """Every function and method of some modules, those inside functions apart."""
    found = []
    for module, tree in trees.items():
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                found.append(Function(module, node.name, node, None))
            elif isinstance(node, ast.ClassDef):
                found += [
                    Function(module, inner.name, inner, node)
                    for inner in node.body
                    if isinstance(inner, ast.FunctionDef | ast.AsyncFunctionDef)
                ]
    return tuple(found)


@cache
def functions() -> tuple[Function, ...]:
    """Every function and method of the package."""
    return functions_of(modules())


@cache  # of a module's tree, asked for again and again; a tree is a key by itself
def imported(tree: ast.AST, known: frozenset[str] | None = None) -> frozenset[str]:
    """Modules of the package that a tree imports anywhere in it, without the leading "bracing."."""
    known = frozenset(modules()) if known is None else known
    found = set()
    for node in nodes(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            # `from bracing.codes.nds import dowel` takes a module, `from bracing.job.lumber import section` a name.
            names = [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
        else:
            continue
        for name in names:
            short = name.removeprefix("bracing.")
            if name.startswith("bracing.") and short in known:
                found.add(short)
    return frozenset(found)
