"""What every page is written with: paragraphs, tables that stack where too wide, quantities as text."""

from __future__ import annotations

import os
import re
import textwrap
from collections.abc import Iterable, Sequence

from attrs import frozen
from tabulate import tabulate

from bracing.results import CAUTIONS
from bracing.said import Said
from bracing.text.quantities import Quantities

WIND_FROM = {"push": "outside", "pull": "brace side"}
WIND_DOES = {
    "push": "wind from outside, pushing the wall toward its braces",
    "pull": "wind from the brace side, pulling the wall away",
}

# A number stays on one line with its fraction and its unit.
_TIE = "\N{NO-BREAK SPACE}"
_SHELL_WORD = re.compile(r"""(?:'[^']*'|"[^"]*"|[^\s'"])+""")
_QUANTITY = re.compile(r"(?<=[0-9]) (?=[0-9]+/[0-9]+|(?:mph|lb|kN|kg|mm|m/s|kPa|psf|deg|ft|in)\b)")


@frozen
class Page(Quantities):
    """How a page is written.

    Attributes:
        width: columns.
    """

    width: int = 80

    def para(self, text: str, *, indent: int = 0, hang: int = 2) -> list[str]:
        """Wrap one paragraph.

        Args:
            text: the words.
            indent: blanks before its first line.
            hang: more blanks before the others.
        """
        lines = textwrap.wrap(
            _QUANTITY.sub(_TIE, text), self.width, initial_indent=" " * indent,
            subsequent_indent=" " * (indent + hang), break_on_hyphens=False,
        )  # fmt: skip
        return [line.replace(_TIE, " ") for line in lines]

    def cautions(self) -> list[str]:
        """Wrap the cautions every answer ends with, as one paragraph."""
        return self.para(" ".join(map(self.said, CAUTIONS)), hang=0)

    def for_engineer(self, beyond: Iterable[Said], withheld: str) -> list[str]:
        """Say that a wall is for an engineer, and why.

        Args:
            beyond: why.
            withheld: what is not given of it; nothing where that is plain.
        """
        head = f"For an ENGINEER: this lies outside what the tool covers.{withheld}"
        return [*self.para(head), *(line for why in beyond for line in self.para(f"- {self.said(why)}"))]

    def minds(self, warnings: Iterable[Said]) -> list[str]:
        """Say what is to be minded, a paragraph each.

        Args:
            warnings: what.
        """
        return [line for words in warnings for line in self.para(f"Mind: {self.said(words)}.")]

    def table(self, headers: Sequence[str], rows: Iterable[Sequence[str]], *, align: str) -> list[str]:
        """Write a table; where it is too wide, each row as a paragraph of "header value" instead.

        Args:
            headers: one for each column.
            rows: cells as text.
            align: a letter for each column, l or r.
        """
        cells = [list(row) for row in rows]
        sides = ["right" if letter == "r" else "left" for letter in align]
        # The headers go in as a row: as headers they would be padded, and the widest table would not fit.
        text = tabulate([list(headers), *cells], tablefmt="plain", disable_numparse=True, colalign=sides)
        lines = [line.rstrip() for line in text.splitlines()]
        if all(len(line) <= self.width for line in lines):
            return lines
        stacked = []
        for first, *others in cells:
            named = [f"{header} {cell}" for header, cell in zip(headers[1:], others, strict=True) if cell]
            stacked += self.para(f"{first}: {', '.join(named)}")
        return stacked

    def command(self, words: str, *, one_line: bool = os.name == "nt") -> list[str]:
        """Write a command to type, broken only between its words, so that it can be pasted.

        Args:
            words: the command; a word that is too long for a line keeps its line to itself.
            one_line: do not break it: the shells of Windows go on to a next line each in its own way.
        """
        if one_line:
            return [f"  {words}"]
        lines: list[str] = []
        for word in _SHELL_WORD.findall(words):
            if lines and len(lines[-1]) + len(word) + 3 <= self.width:
                lines[-1] += f" {word}"
            else:
                lines.append(f"    {word}" if lines else f"  {word}")
        return [f"{line} \\" for line in lines[:-1]] + lines[-1:]


PLAIN = Page()  # for a caller who says nothing else
