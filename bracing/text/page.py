"""What every page is written with: paragraphs, tables that stack where too wide, quantities as text."""

from __future__ import annotations

import os
import re
import textwrap
from collections.abc import Iterable, Sequence

from attrs import frozen
from tabulate import tabulate

from bracing.choosing import whole_down
from bracing.units import POUNDS_PER_NEWTON, Inch, Mph, Pound, asked_gust, gust, pounds, tape, up

WIND_FROM = {"push": "outside", "pull": "brace side"}
WIND_DOES = {
    "push": "wind from outside, pushing the wall toward its braces",
    "pull": "wind from the brace side, pulling the wall away",
}

# A number stays on one line with its fraction and its unit.
_TIE = "\N{NO-BREAK SPACE}"
_SHELL_WORD = re.compile(r"""(?:'[^']*'|"[^"]*"|[^\s'"])+""")
_QUANTITY = re.compile(r"(?<=[0-9]) (?=[0-9]+/[0-9]+|(?:mph|lb|kN|mm|m/s|kPa|psf|deg|ft|in)\b)")


@frozen
class Page:
    """How a page is written.

    Attributes:
        width: columns.
        metric: quantities in metric units.
    """

    width: int = 80
    metric: bool = False

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

    def length(self, inches: Inch) -> str:
        """Write a length as a tape reads it.

        Args:
            inches: the length [in].
        """
        return tape(inches, metric=self.metric)

    def force(self, load: Pound) -> str:
        """Write a force, rounded up.

        Args:
            load: the force [lb].
        """
        return pounds(load, metric=self.metric)

    def holds(self, load: Pound) -> str:
        """Write what one fastener holds, rounded down, without its unit: pounds, or newtons.

        Args:
            load: the force [lb].
        """
        return str(whole_down(load / POUNDS_PER_NEWTON if self.metric else load))

    def gust(self, speed: Mph) -> str:
        """Write a gust people act on, rounded down.

        Args:
            speed: the gust [mph].
        """
        return gust(speed, metric=self.metric)

    def asked(self, speed: Mph) -> str:
        """Write a gust somebody asked for, as asked; where it takes more digits, rounded up.

        Args:
            speed: the gust [mph].
        """
        return asked_gust(speed, metric=self.metric)

    def pressure(self, psf: float) -> str:
        """Write a pressure, rounded up.

        Args:
            psf: the pressure [psf].
        """
        return f"{up(psf * 47.880259 / 1000.0, 2)} kPa" if self.metric else f"{up(psf, 1)} psf"
