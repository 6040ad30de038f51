"""Runs the commands the pages show and writes what they print under them.

    python -m tests.house.console README.md docs/quick-start.md

A block that shows all of an output gets all of the new one; one that leaves lines out with "..." keeps the lines
nearest to those it shows. Read what comes of it: tests/house/test_readme.py then holds the pages to it.
"""

from __future__ import annotations

import difflib
import re
import shutil
import sys
import tempfile
from pathlib import Path

from tests.house.test_readme import alike, run_example
from tests.house.tree import ROOT

BLOCK = re.compile(r"(?<=^```console\n).*?(?=^```)", re.M | re.S)
LEFT_OUT = "..."


def nearest(shown: list[str], seen: list[str]) -> list[str]:
    """The lines of an output nearest to those shown, in order, with "..." where lines are left out."""
    kept: list[str] = []
    at = 0
    for line in shown:
        if line.strip() == LEFT_OUT:
            kept.append(LEFT_OUT)
            continue
        rest = seen[at:]
        if not rest:
            break
        # a line shown may be the beginning of one that is to come
        ratios = [difflib.SequenceMatcher(None, line, other[: len(line) + 5]).ratio() for other in rest]
        follows = bool(kept) and kept[-1] != LEFT_OUT
        step = 0 if follows else max(range(len(rest)), key=lambda k: ratios[k])
        kept.append(rest[step])
        at += step + 1
    return kept


def renewed(block: str) -> str:
    """A block with its outputs as they are now."""
    parts = []
    for part in re.split(r"^\$ ", block, flags=re.M)[1:]:
        command, _, shown = part.partition("\n")
        with tempfile.TemporaryDirectory() as home:
            folder = Path(home) / "copy"
            shutil.copytree(ROOT / "examples", folder / "examples")
            seen = run_example(command.strip(), folder)
        lines = [line.rstrip() for line in seen.splitlines()]
        shown = shown.strip("\n")
        if shown and alike(shown, seen):
            lines = shown.splitlines()
        elif LEFT_OUT in [line.strip() for line in shown.splitlines()]:
            lines = nearest(shown.splitlines(), lines)
        parts.append("\n".join([f"$ {command.strip()}", *lines]) + "\n")
    return "\n".join(parts)


def main(words: list[str]) -> None:
    """Renew pages."""
    for word in words:
        path = Path(word)
        before = path.read_text(encoding="utf-8")
        after = BLOCK.sub(lambda found: renewed(found[0]), before)
        if after != before:
            path.write_text(after, encoding="utf-8")
            print(f"wrote {path}")


if __name__ == "__main__":
    main(sys.argv[1:])
