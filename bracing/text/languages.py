"""Which languages there are words in, where the words of each stand, and who has signed for them.

English is what every other language is made from: what another has no words for is said in English, and marked.
"""

from __future__ import annotations

from functools import cache
from types import ModuleType

from attrs import field, frozen

from bracing.text.en import WORDS

OWN = "en"


@cache
def _spoken(language: str) -> ModuleType:
    """The module with the words of a language that is not English, read where it is first asked for."""
    from bracing.text import es

    return {"es": es}[language]


def template(id: str, language: str) -> str | None:
    """Give the words of an id, with places for its values; None where a language has none yet.

    Args:
        id: of what is said.
        language: one of LANGUAGES.
    """
    english = WORDS[id]
    if language == OWN:
        return english
    told: str | None = _spoken(language).WORDS.get(id)
    return told


def term(word: str, language: str) -> str | None:
    """Give a word that means one thing wherever it stands; None where a language has none yet.

    Args:
        word: in English.
        language: one of LANGUAGES.
    """
    if language == OWN:
        return word
    told: str | None = _spoken(language).TERMS.get(word)
    return told


def listed(name: str, language: str) -> tuple[str, str, tuple[str, ...]] | None:
    """Give title, lead and items of a list the crew goes by; None where they are those of the table of lists.

    Args:
        name: of the list.
        language: one of LANGUAGES.
    """
    if language == OWN:
        return None
    told: tuple[str, str, tuple[str, ...]] | None = _spoken(language).LISTS.get(name)
    return told


def questions(language: str) -> tuple[dict[str, tuple[str, str]], str]:
    """Give the questions about a wall in a language other than English, by key, and what is said before the first.

    Args:
        language: one of LANGUAGES.
    """
    spoken = _spoken(language)
    return spoken.QUESTIONS, spoken.INTRO


def signed(language: str) -> str:
    """Say who frames in a language and has signed for its words, and when; "" where nobody has.

    Args:
        language: one of LANGUAGES.
    """
    if language == OWN:
        return "written in it"
    by: str = _spoken(language).SIGNED
    return by


@frozen
class Spoken:
    """In which language words are written.

    Attributes:
        language: one of LANGUAGES.
    """

    language: str = field(default=OWN, kw_only=True)

    def term(self, word: str) -> str:
        """Write a word that means one thing wherever it stands, such as the name of a link or a verdict.

        Args:
            word: in English.

        Example:
            >>> Spoken().term("within"), Spoken(language="es").term("within")
            ('within', 'dentro')
        """
        told = term(str(word), self.language)
        return self.english(str(word)) if told is None else told

    def terms(self, *words: str) -> list[str]:
        """Write several, such as the headers of a table.

        Args:
            words: in English.
        """
        return [self.term(word) for word in words]

    def english(self, text: str) -> str:
        """Write what is said in English alone; on a page of another language so that it is seen to be.

        Args:
            text: in English.
        """
        return text if self.language == OWN or not text else f"[EN: {text}]"
