"""Reads the package's own source once: what the house rules are held against."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "bracing"

# The bands, and the modules of each in the order they may import one another: a module imports only what
# stands above it. A package is one entry; inside it the only rule is that imports run one way.
BANDS: dict[str, tuple[str, ...]] = {
    "words": ("_version", "visible", "errors", "choosing", "units", "sources", "cautions"),
    "things": (
        "lumber",
        "fastener_limits",
        "fasteners",
        "layers",
        "holding",
        "fields",
        "own_fasteners",
        "wall",
        "floor",
        "brace",
        "job",
        "framing",
        "lifting_data",
    ),
    "sums": ("gusts", "coefficients", "wind", "weight", "members", "joints", "panel", "slings"),
    "answers": (
        "budget",
        "chain",
        "envelope",
        "evaluate",
        "assumed",
        "results",
        "headings",
        "cuts",
        "check",
        "on_file",
        "going_up",
        "trace",
        "layout",
        "lift",
        "hinge",
        "machine",
        "picks",
        "pick_search",
        "lift_links",
        "lift_request",
        "lift_rows",
        "lift_plan",
        "lift_day",
        "plumb",
        "handcheck",
        "clock",
        "forecast",
        "frame_model",
        "joint_choice",
        "storm",
        "walk",
        "as_built",
        "take_down",
        "stages",
    ),
    "edges": (
        "files",
        "reading",
        "reading_chart",
        "reading_forecast",
        "reading_plumb",
        "writing",
        "storm_file",
        "walk_file",
        "many_kept",
        "many",
        "workers",
        "schema",
        "schema_results",
        "start",
        "tables",
        "tables_lift",
        "drawing",
        "drawing_lift",
        "drawing_stock",
        "sheet",
        "commands",
        "cli",
    ),
    "beside": ("crosschecks",),  # other standards, for tests and the docs; nothing imports it
}
SUMS_OUTSIDE_THE_BAND = ("layers", "framing")  # things that also compute: held to the rules of the sums
ENTRY = ("bracing", "__main__")  # the public names and `python -m bracing`: they may import everything


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
        """The entry of BANDS its module belongs to."""
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
    """ "joints.dowel" of bracing/codes/nds/dowels.py, "joints" of its __init__, "bracing" of the package's."""
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
def functions() -> tuple[Function, ...]:
    """Every function and method of the package, those inside functions apart."""
    found = []
    for module, tree in modules().items():
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


def band_of(module: str) -> str | None:
    """The band a module stands in."""
    top = module.split(".")[0]
    return next((band for band, names in BANDS.items() if top in names), None)


def imported(tree: ast.AST) -> set[str]:
    """Modules of the package that a tree imports anywhere in it, without the leading "bracing."."""
    known = modules()
    found = set()
    for node in ast.walk(tree):
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
    return found
