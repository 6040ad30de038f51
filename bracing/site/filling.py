"""Fill the pages of a job: in its language, and with the English of it beneath until somebody has signed for it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib import resources
from typing import Any

from attrs import frozen
from markupsafe import Markup, escape

from bracing.errors import NEWLINE, visible
from bracing.reading.unfinished import Entry
from bracing.said import Said
from bracing.site.sums import PHONE, Worked, phone
from bracing.site.walking import Step
from bracing.text.check import state_words
from bracing.text.languages import OWN, signed
from bracing.text.page import Page


@cache
def part(name: str) -> str:
    """Give a template, a style or a script as it stands in the package.

    Args:
        name: of its file.
    """
    return resources.files("bracing").joinpath("site", "parts", name).read_text(encoding="utf-8")


@frozen
class Tongue:
    """How the pages of a job say things.

    Attributes:
        language: of the job.
    """

    language: str = OWN

    @property
    def page(self) -> Page:
        """How quantities and words are written in it."""
        return phone(self.language)

    @property
    def beneath(self) -> bool:
        """Whether the English stands beneath."""
        return self.language != OWN and not signed(self.language)

    def plain(self, words: Said | str) -> str:
        """Say something on one line, where nothing else can stand.

        Args:
            words: what is said, or text.

        Example:
            >>> Tongue().plain(Said("page-back")), Tongue("es").plain(Said("page-back"))
            ('Back', 'Atrás / Back')
        """
        told, english = self.page.said(words), PHONE.said(words)
        return visible(f"{told} / {english}" if self.beneath and told != english else told)

    def both(self, words: Said | str) -> Markup:
        """Say something, the English of it on a line beneath.

        Args:
            words: what is said, or text.
        """
        return self.beside(self.page.said(words), PHONE.said(words))

    def beside(self, told: str, english: str) -> Markup:
        """Put what is said and the English of it together.

        Args:
            told: in the language of the job.
            english: the same in English.
        """
        if not self.beneath or told in {english, self.page.english(english)}:
            return escape(visible(english if self.beneath else told))
        return Markup('{} <span class="en" lang="en">{}</span>').format(visible(told), visible(english))

    def words(self, one: Worked, place: str) -> Markup:
        """Say what stands at one place of the page of a wall; nothing where nothing does.

        Args:
            one: the wall.
            place: which.
        """
        return self.beside(one.told.words.get(place, ""), one.english.words.get(place, ""))

    def lists(self, one: Worked, place: str) -> list[Markup]:
        """Say the several things that stand at one place.

        Args:
            one: the wall.
            place: which.
        """
        pairs = zip(one.told.lists.get(place, ()), one.english.lists.get(place, ()), strict=True)
        return [self.beside(*pair) for pair in pairs]

    def cards(self, one: Worked) -> Iterator[tuple[str, Markup, list[tuple[str, Markup, Markup]]]]:
        """Give mark, order and lines of the card of each brace; each line with the name of its picture.

        Args:
            one: the wall.
        """
        for told, english in zip(one.told.cards, one.english.cards, strict=True):
            lines = zip(told.pictures, told.lines, english.lines, strict=True)
            yield told.mark, self.beside(told.order, english.order), [
                (name, self.beside(here[0], there[0]), self.beside(here[1], there[1])) for name, here, there in lines
            ]  # fmt: skip


def said_by(one: Entry) -> Said:
    """Say who said what.

    Args:
        one: the answer.
    """
    return Said("page-said-by", who=one.who, what=_answer(one))


def _answer(one: Entry) -> Said | str:
    return " ".join(one.answer.split()) or Said("found-as-planned")


def answered(step: Step) -> Said:
    """Say where an answer stands.

    Args:
        step: what was asked.
    """
    what = tuple(dict.fromkeys(_answer(one) for one in step.entries))
    if step.disputed:
        return Said("page-disputed", what=what)
    if step.late:
        return Said("page-late")
    return Said("page-answered", what=what) if step.answered else Said("page-open")


@cache
def environment(language: str) -> Any:  # noqa: ANN401  (the library's own type)
    """Give what fills the pages of a job in its language.

    Args:
        language: of the job.
    """
    import jinja2

    made = jinja2.Environment(
        loader=jinja2.FunctionLoader(part), autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    tongue = Tongue(language)
    made.globals.update(
        language=language, said=tongue.both, plainly=tongue.plain, words=tongue.words, lists=tongue.lists,
        cards_of=tongue.cards,
        say=lambda words, **values: tongue.both(Said.by(words, values)),
        say_plainly=lambda words, **values: tongue.plain(Said.by(words, values)),
        answered=lambda step: tongue.both(answered(step)),
        said_by=lambda one: tongue.both(said_by(one)),
        pictured=lambda name: tongue.plain(Said.by(f"picture-{name}", {})),
        state=lambda job: tongue.both(state_words(job)),
        term=lambda word: tongue.beside(tongue.page.term(word), word),
    )  # fmt: skip
    made.filters["seen"] = visible
    made.filters["seen_lines"] = lambda text: visible(text, keep=NEWLINE)
    return made
