"""One question: its words, how its answer is read, and what counts where nobody knows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NoReturn

from attrs import frozen

from bracing.errors import InputError

Values = dict[str, object]  # by dotted path of the wall file; "wall.opening" and such are lists of tables
Texts = Mapping[str, str]  # what was typed, by key of the question


def refuse(field: str, value: str, expected: str) -> NoReturn:
    """Refuse an answer.

    Args:
        field: the field it was for.
        value: as typed.
        expected: what is expected there.

    Raises:
        InputError: always.
    """
    raise InputError.of(field, value, expected)


def _always(_: Texts) -> bool:
    return True


@frozen(kw_only=True)
class Question:
    """One question.

    Attributes:
        key: its name.
        ask: the question, one sentence.
        low: what counts where the answer is not known; empty where it must be known.
        why: how to find out, and what it is for: what "?" shows.
        read: makes values of an answer.
        when: whether it is asked, by what was typed so far.
        many: one answer a line, until an empty one; each is read with those before it.
        early: one of the first dozen.
        is_known: where the empty answer is an answer too, and not a gap.
    """

    key: str
    ask: str
    low: str
    why: str
    read: Callable[[str], Values]
    when: Callable[[Texts], bool] = _always
    many: bool = False
    early: bool = True
    is_known: bool = False
