"""Which faults are put in: cosmic-ray's, less those that cannot matter, with exchanged names added."""

from __future__ import annotations

import ast
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators.operator import Operator
from cosmic_ray.plugins import get_operator, operator_names
from parso.python.tree import Name

ARITHMETIC = "Add|Sub|Mul|Div|Pow"
ORDER = "Eq|NotEq|Lt|LtE|Gt|GtE"
USED = re.compile(
    rf"ReplaceBinaryOperator_({ARITHMETIC}|FloorDiv|Mod)_({ARITHMETIC})"
    rf"|ReplaceComparisonOperator_(({ORDER})_({ORDER})|Is_IsNot|IsNot_Is)"
    r"|ReplaceUnaryOperator_\w+|AddNot|Replace(True|False|And|Or|Break|Continue)With\w+"
    r"|NumberReplacer|ZeroIterationForLoop"
)  # left out: bits and shifts (a TypeError on any float), decorators, exception names

PAIRS = (
    ("min", "max"),
    ("minimum", "maximum"),
    ("amin", "amax"),
    ("floor", "ceil"),
    ("sin", "cos"),
    ("any", "all"),
    ("argmin", "argmax"),
)
OTHER = {one: two for pair in PAIRS for one, two in (pair, pair[::-1])}


class ExchangeName(Operator):
    """Exchange min and max, floor and ceil, sine and cosine: the slips of this trade."""

    def mutation_positions(self, node):
        if isinstance(node, Name) and node.value in OTHER and not node.is_definition():
            yield node.start_pos, node.end_pos

    def mutate(self, node, index):
        node.value = OTHER[node.value]
        return node

    @classmethod
    def examples(cls):
        return ()


def operators() -> Iterator[tuple[str, Operator]]:
    """Every operator used, by its short name."""
    for name in operator_names():
        short = name.partition("/")[2]
        if USED.fullmatch(short):
            yield short.replace("Replace", ""), get_operator(name)()
    yield "ExchangeName", ExchangeName()


def spans_without_effect(code: str) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """Places where a change is none: annotations, which `from __future__ import annotations` never evaluates."""
    spans = []
    for node in ast.walk(ast.parse(code)):
        found = (getattr(node, "annotation", None), getattr(node, "returns", None))
        if isinstance(node, ast.AnnAssign | ast.arg | ast.FunctionDef):
            spans += [
                ((a.lineno, a.col_offset), (a.end_lineno, a.end_col_offset)) for a in found if a is not None
            ]
    return spans


class Place(NamedTuple):
    """Where one operator can act: in which file, as which of its occurrences there."""

    path: Path
    line: int
    column: int
    kind: str
    operator: Operator
    occurrence: int

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column} {self.kind}"

    def text(self) -> str | None:
        """The file with this fault, or None where it is no program or the same one."""
        code = self.path.read_text(encoding="utf-8")
        text = mutate_code(code, self.operator, self.occurrence)
        try:
            same = text is None or ast.dump(ast.parse(text)) == ast.dump(ast.parse(code))
        except SyntaxError:
            return None
        return None if same else text


def places(path: Path) -> Iterator[Place]:
    """Every place of a file where a fault may be put in."""
    code = path.read_text(encoding="utf-8")
    idle = spans_without_effect(code)
    nodes = list(ast_nodes(get_ast(code)))
    for kind, operator in operators():
        found = ((node, start) for node in nodes for start, _ in operator.mutation_positions(node))
        for occurrence, (node, start) in enumerate(found):
            bare = node.type == "operator" and node.parent.type == "parameters"  # the * before keywords
            if not bare and not any(first <= start < last for first, last in idle):
                yield Place(path, *start, kind, operator, occurrence)


def files(code: tuple[str, ...]) -> list[Path]:
    """The files of a group, in order."""
    found = []
    for name in code:
        path = Path("bracing", name)
        found += sorted(path.rglob("*.py")) if path.is_dir() else [path]
    return found


def drawn(code: tuple[str, ...], seed: int, match: str) -> list[Place]:
    """All places of a group whose name has the text `match`, in an order drawn with the seed."""
    found = [place for path in files(code) for place in places(path) if match in str(place)]
    random.Random(seed).shuffle(found)
    return found
