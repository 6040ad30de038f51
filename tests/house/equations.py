"""Writes what docs/theory/equations.md has of the docstrings: words, equation, unit, clause, symbols.

    python -m tests.house.equations

The derivations are written by hand, each in the page under its equation, and stay; so do the order and the headings.
tests/house/test_equations.py fails where a formula has no derivation, a derivation no formula, or the printed lines
differ.
"""

from __future__ import annotations

import inspect
import pkgutil
import re
import textwrap
from collections import Counter
from collections.abc import Callable
from functools import cache
from importlib import import_module
from typing import NamedTuple

import bracing
from bracing.sums import FORMULAS, names_of, printed
from tests.house.test_docstrings import described
from tests.house.tree import ENTRY, ROOT

PAGE = ROOT / "docs" / "theory" / "equations.md"
HEAD = re.compile(r"^\*\*.+\*\*, `([\w.]+)`$")
WIDE = 140
FEWEST_WORDS = 5
NOT_PLACED = "## Not placed yet"
HOW = {"memory": "from memory"}


class Entry(NamedTuple):
    """One formula on the page: its name, the lines that are written from its docstring, what was written by hand."""

    name: str
    lines: str
    derivation: str

    def text(self) -> str:
        """As it stands on the page."""
        return f"{self.lines}\n\n{self.derivation}".rstrip() + "\n"


@cache
def every() -> dict[str, Callable[..., object]]:
    """Every formula of the package by its dotted name, in the order their modules are read."""
    for module in pkgutil.walk_packages(bracing.__path__, "bracing."):
        if module.name.rpartition(".")[2] not in ENTRY:
            import_module(module.name)
    made = [of for of in FORMULAS if of.__module__.startswith("bracing.")]
    return {f"{of.__module__.removeprefix('bracing.')}.{of.__name__}": of for of in made}


def symbols(of: Callable[..., object]) -> str:
    """What a formula is given, each name with its words and unit, as its docstring has them."""
    text = inspect.getdoc(of) or ""
    told = described(re.split(r"^(?:Returns|Raises):", text.partition("Args:")[2], flags=re.MULTILINE)[0])
    return "; ".join(f"`{name}`: {' '.join(told[name].split()).rstrip('.')}" for name in names_of(of))


def lines_of(name: str, of: Callable[..., object]) -> str:
    """What the page says of a formula from its docstring alone."""
    said = printed(of)
    unit = f" [{said.unit}]" if said.unit else ""
    given = textwrap.fill(
        f"* {symbols(of)}",
        WIDE, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return "\n".join([
        f"**{said.words}**, `{name}`", "",
        f"* `{said.symbol} = {said.expression}`{unit}",
        f"* Clause: {said.source}. Known: {HOW.get(said.how, said.how)}.",
        given,
    ])  # fmt: skip


def read(text: str) -> list[str | Entry]:
    """A page in parts, in order: entries, and the lines between them."""
    parts: list[str | Entry] = []
    lines, k = text.split("\n"), 0
    while k < len(lines):
        head = HEAD.match(lines[k])
        if head is None:
            parts.append(lines[k])
            k += 1
            continue
        end = k + 1
        while end < len(lines) and not HEAD.match(lines[end]) and not lines[end].startswith("#"):
            end += 1
        inner = lines[k + 1 : end]
        first = next((i for i, line in enumerate(inner) if line.strip()), 0)
        after = next((i for i, line in enumerate(inner) if i > first and not line.strip()), len(inner))
        if not inner[first : first + 1] or not inner[first].startswith("* "):
            first = after = 0
        kept = "\n".join([lines[k], *inner[:after]]).rstrip()
        parts.append(Entry(head[1], kept, "\n".join(inner[after:]).strip()))
        k = end
    return parts


def faults(text: str) -> list[str]:
    """What is wrong with the derivations of a page: missing, of no formula, or there twice."""
    there = [part for part in read(text) if isinstance(part, Entry)]
    count = Counter(one.name for one in there)
    told = {one.name for one in there if len(one.derivation.split()) >= FEWEST_WORDS}
    return [
        *(f"{name}: a formula without a derivation" for name in every() if name not in told),
        *(f"{name}: a derivation of no formula" for name in count if name not in every()),
        *(f"{name}: stands {times} times" for name, times in count.items() if times > 1),
    ]


def page(text: str) -> str:
    """A page with its printed lines as they are now; a formula that is not on it comes at its end, not derived."""
    parts = read(text)
    there = {part.name for part in parts if isinstance(part, Entry)}
    new = [name for name in every() if name not in there]
    if new:
        parts += [f"{NOT_PLACED}\n", *(Entry(name, "", "") for name in new)]
    found = []
    for part in parts:
        if isinstance(part, str):
            found.append(part)
        elif part.name in every():
            found.append(part._replace(lines=lines_of(part.name, every()[part.name])).text())
        else:
            found.append(
                part.text()
            )  # what somebody wrote is not thrown away: the test says it has no formula
    return "\n".join(found).rstrip() + "\n"


if __name__ == "__main__":
    written = page(PAGE.read_text(encoding="utf-8"))
    PAGE.write_text(written, encoding="utf-8")
    print("\n".join([f"wrote {PAGE.relative_to(ROOT)}: {len(every())} formulas", *faults(written)]))
