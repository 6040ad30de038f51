"""What every page is written with: paragraphs, tables that stack where too wide, quantities as text."""

from __future__ import annotations

import os
import re
import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from contextvars import ContextVar

from attrs import evolve, field, frozen
from tabulate import tabulate

from bracing.results import CAUTIONS
from bracing.said import Said
from bracing.text.languages import OWN, signed
from bracing.text.quantities import Quantities

WIND_FROM = {"push": "outside", "pull": "brace side", "along": "either end"}
WIND_DOES = {
    "push": "wind from outside, pushing the wall toward its braces",
    "pull": "wind from the brace side, pulling the wall away",
    "along": "wind along the wall, from either end",
}

# A number stays on one line with its fraction and its unit.
_TIE = "\N{NO-BREAK SPACE}"
_SHELL_WORD = re.compile(r"""(?:'[^']*'|"[^"]*"|[^\s'"])+""")
_QUANTITY = re.compile(r"(?<=[0-9]) (?=[0-9]+/[0-9]+|(?:mph|lb|kN|kg|mm|m/s|kPa|psf|deg|ft|in)\b)")


SCREEN = 40  # lines of one screen at full width
FULL = 80  # columns
ON_ASKING = 90  # the rank from which a part is shown only where all is asked for

# Which parts the English of an answer kept, screen by screen, while the same is written in another language: both show
# the same. None where only one is written.
_KEPT: ContextVar[list[tuple[int, ...]] | None] = ContextVar("parts kept in English", default=None)


@frozen
class Part:
    """Lines of a screen that stay together.

    Attributes:
        lines: as written.
        rank: 0 always stays; of the others the highest is left out first where there is no room.
        what: what it is called where it is left out: several of one name are counted, "the .." stands by itself.
    """

    lines: Sequence[str]
    rank: int = 0
    what: str = ""


@frozen
class Page(Quantities):
    """How a page is written.

    Attributes:
        width: columns.
        whole: all of it is asked for, however many screens that takes.
        at_length: the cautions are asked for at full length.
    """

    width: int = FULL
    whole: bool = field(default=False, kw_only=True)
    at_length: bool = field(default=False, kw_only=True)

    @property
    def lines(self) -> int:
        """Lines of one screen: as much text as 40 full ones."""
        return SCREEN * FULL // self.width

    def screen(self, parts: Iterable[Part], end: Sequence[str], *, asked: Sequence[str] = ()) -> str:
        """Write parts as one screen: what is left out for want of room is said in one line.

        Args:
            parts: in their order.
            end: the lines it ends with.
            asked: lines asked for by an option, before the end, however many.
        """
        every = list(parts)
        kept = self._kept(every, room=self.lines - len(end) - 1)
        out = [part.what for part in every if part.what and not any(part is one for one in kept)]
        lines = [line for part in kept for line in part.lines]
        return "\n".join([*lines, *self._left_out(out), *asked, *end])

    def _kept(self, every: Sequence[Part], *, room: int) -> list[Part]:
        """The parts there is room for; in another language those the English of it kept."""
        in_english = _KEPT.get()
        if in_english and self.language != OWN:
            return [every[k] for k in in_english.pop(0)]
        kept = [part for part in every if self.whole or part.rank < ON_ASKING]
        while not self.whole and sum(len(part.lines) for part in kept) > room:
            last = max(kept, key=lambda part: part.rank, default=None)
            if last is None or not last.rank:
                break
            of_rank = [k for k, part in enumerate(kept) if part.rank == last.rank]
            del kept[of_rank[-1]]
        if in_english is not None:
            in_english.append(tuple(k for k, part in enumerate(every) if any(part is one for one in kept)))
        return kept

    def _left_out(self, names: Sequence[str]) -> list[str]:
        if not names:
            return []
        own = evolve(
            self, language=OWN
        )  # whether they are named or counted is as in English: both say the same
        short = len(own.para(own.said(_named(own, names)))) == 1
        return self.para(
            self.said(_named(self, names) if short else Said("not-shown-count", count=len(names)))
        )

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
        """Wrap the cautions every answer ends with, as one paragraph: in short, unless asked for at length."""
        words = CAUTIONS if self.at_length else (Said("cautions-short"),)
        return self.para(" ".join(map(self.said, words)), hang=0)

    def line(self, words: Said | str) -> str:
        """Write a line of a dialogue; in a language nobody has signed for, its English on the next line.

        Args:
            words: what is said, or text.
        """
        told = self.said(words)
        if isinstance(words, str) or self.language == OWN or signed(self.language):
            return told
        english = evolve(self, language=OWN).said(words)
        return f"{told}\n{self.said(Said('english-beside', english=english))}"

    def for_engineer(self, beyond: Iterable[Said], withheld: Said | str = "") -> list[str]:
        """Say that a wall is for an engineer, and why.

        Args:
            beyond: why.
            withheld: what is not given of it; nothing where that is plain.
        """
        head = self.said(Said("outside-the-tool", withheld=withheld))
        return [*self.para(head), *(line for why in beyond for line in self.para(f"- {self.said(why)}"))]

    def minds(self, warnings: Iterable[Said]) -> list[str]:
        """Say what is to be minded, a paragraph each.

        Args:
            warnings: what.
        """
        return [line for words in warnings for line in self.para(self.said(Said("mind", what=words)))]

    def table(self, headers: Sequence[str], rows: Iterable[Sequence[str]], *, align: str) -> list[str]:
        """Write a table; where it is too wide, each row as a paragraph of "header value" instead.

        Args:
            headers: one for each column; none where the cells speak for themselves.
            rows: cells as text.
            align: a letter for each column, l or r.
        """
        cells = [list(row) for row in rows]
        sides = ["right" if letter == "r" else "left" for letter in align]
        # The headers go in as a row: as headers they would be padded, and the widest table would not fit.
        every = [list(headers), *cells] if headers else cells
        text = tabulate(every, tablefmt="plain", disable_numparse=True, colalign=sides)
        lines = [line.rstrip() for line in text.splitlines()]
        if all(len(line) <= self.width for line in lines):
            return lines
        if not headers:
            return [line for row in cells for line in self.para(" ".join(row))]
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


def _named(page: Page, names: Sequence[str]) -> Said:
    what = tuple(
        page.term(name) if name.startswith("the ") else f"{count} {page.term(name)}"
        for name, count in Counter(names).items()
    )
    return Said("not-shown", what=what)


def in_both(page: Page, write: Callable[[Page], str]) -> str:
    """Write an answer; in a language nobody who frames in it has signed for, the English of it stands beneath.

    Args:
        page: how it is written, and in which language.
        write: writes it on a page.
    """
    if page.language == OWN:
        return write(page)
    reset = _KEPT.set([])
    try:
        english = write(evolve(page, language=OWN))
        told = write(page)
    finally:
        _KEPT.reset(reset)
    if signed(page.language):
        return told
    said = page.para(page.said(Said("unsigned-words")), hang=0)
    return "\n".join(
        [*said, "", told, "", *page.para(page.said(Said("the-english-of-it")), hang=0), "", english]
    )


PLAIN = Page()  # for a caller who says nothing else
