"""A number that knows what it was made of: a float to arithmetic, a tree to whoever prints the sum.

What computes a number prints it: symbol, printed expression, unit and clause are read from the docstring of the very
function that was called, and only when they are printed.
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import cache, wraps
from typing import Any, ParamSpec, TypeVar, cast

from attrs import frozen

from bracing.choosing import past_half
from bracing.sources import KNOWN, cited, known_of

P = ParamSpec("P")
R = TypeVar("R")

READ, FROM_MEMORY, _, JUDGEMENT = KNOWN
WEAKEST = ("memory", "judgement", "read", "computed")  # of several clauses the first of these counts
DIGITS = 7
NEAR_ONE = 0.02  # so near to one a number is written longer: what it differs by carries the sum
ROUNDING = 1e-9
FUNCTIONS = ("√", "min", "max", "sin", "cos", "tan", "exp")
CONSTANTS = {"π": math.pi}


class Sum(float):
    """A value with its formula and what it was given.

    Example:
        >>> from bracing.codes.nds.withdrawal import nail_withdrawal
        >>> W = nail_withdrawal(0.5, 0.148)
        >>> round(W + 1.0, 2), arithmetic(W)
        (37.1, '1380 × 0.5^(5 / 2) × 0.148')
    """

    __slots__ = ("by_name", "given", "of")
    of: Callable[..., object] | None
    given: tuple[object, ...]
    by_name: dict[str, object]

    def __reduce__(self) -> tuple[object, ...]:
        return _again, (type(self), float(self), self.of, self.given, self.by_name)

    @property
    def arguments(self) -> dict[str, object]:
        """Its arguments by name, in the order of its signature; a leaf has none."""
        if self.of is None:
            return {}
        names = names_of(self.of)
        found = {**_defaults(self.of), **dict(zip(names, self.given, strict=False)), **self.by_name}
        return {name: found[name] for name in names}


class Known(Sum):
    """A leaf: a row of a table, a declared field or a constant, with its words, its clause and how it is known.

    Example:
        >>> CD = Known(1.6, "load duration", cited("NDS table 2.3.2"))
        >>> CD * 2.0, CD.words, CD.how
        (3.2, 'load duration', 'read')
    """

    __slots__ = ()

    def __new__(
        cls, value: float, words: str, source: str, how: str = READ, *, by: tuple[float, ...] = ()
    ) -> Known:
        """Make one.

        Args:
            value: the value.
            words: what it is.
            source: its clause, as printed.
            how: how the source is known, one of `bracing.sources.KNOWN`.
            by: sums it was found or decided by, to be shown before it: what a trial met, what was past a limit.
        """
        made = float.__new__(cls, value)
        made.of, made.by_name = None, {}
        made.given = (words, source, how, by)
        return made

    @property
    def words(self) -> str:
        """What it is."""
        return str(self.given[0])

    @property
    def source(self) -> str:
        """Its clause."""
        return str(self.given[1])

    @property
    def how(self) -> str:
        """How the source is known."""
        return str(self.given[2])

    @property
    def by(self) -> tuple[Sum, ...]:
        """Sums it was found or decided by."""
        return tuple(each for each in cast("tuple[float, ...]", self.given[3]) if isinstance(each, Sum))


def _again(kind: type[Sum], value: float, *rest: Any) -> Sum:  # noqa: ANN401  (its formula, what it was given)
    """Make a sum again after it went to another process."""
    made = float.__new__(kind, value)
    made.of, made.given, made.by_name = rest
    return made


FORMULAS: list[Callable[..., object]] = []  # every formula, in the order their modules are read


def formula(body: Callable[P, R]) -> Callable[P, R]:
    """Let a function give its value as a Sum: scalars in, a Sum; any array in, the function's own array, untouched.

    Args:
        body: the function; its docstring has `symbol = expression` with its arguments' names in it, unit and source.
    """
    make = float.__new__

    @wraps(body)
    def called(*args: P.args, **named: P.kwargs) -> R:
        value = body(*args, **named)
        if type(value) is not float and getattr(value, "ndim", False):
            return value
        made = make(Sum, cast("float", value))
        made.of, made.given, made.by_name = called, args, named
        return cast("R", made)

    FORMULAS.append(called)
    return called


@cache
def names_of(of: Callable[..., object]) -> tuple[str, ...]:
    """Give the names of a formula's arguments.

    Args:
        of: the formula.
    """
    code = inspect.unwrap(of).__code__
    return tuple(code.co_varnames[: code.co_argcount + code.co_kwonlyargcount])


@cache
def _defaults(of: Callable[..., object]) -> dict[str, object]:
    given = inspect.signature(of).parameters.values()
    return {each.name: each.default for each in given if each.default is not inspect.Parameter.empty}


@frozen
class Printed:
    """A formula as its docstring prints it.

    Attributes:
        words: what comes out.
        symbol: its symbol.
        expression: the right-hand side.
        unit: of what comes out, or "".
        source: the clauses, as printed.
        how: how the source is known.
        least_alone: of its arguments only the one that governs is worked out in print.
    """

    words: str
    symbol: str
    expression: str
    unit: str
    source: str
    how: str
    least_alone: bool


EQUATION = re.compile(r"(?:^|[:,] )(\S+) = (.+?)\.?$", re.MULTILINE)


@cache
def printed(of: Callable[..., object]) -> Printed:
    """Read a formula's docstring.

    Args:
        of: the formula.

    Example:
        >>> from bracing.codes.nds.withdrawal import nail_withdrawal
        >>> said = printed(nail_withdrawal)
        >>> said.symbol, said.expression, said.unit, said.source
        ('W', '1380 G^(5/2) D', 'lb/in', 'NDS 2018 12.2-3')
    """
    text = inspect.cleandoc(of.__doc__ or "")
    lead = text.partition("Args:")[0]
    equation = EQUATION.search(lead)
    assert equation is not None, f"{of} prints no equation"
    first = lead.splitlines()[0]
    first = first.rpartition(": ")[0] if " = " in first else first.rstrip(".")
    words = first.removeprefix("Give ").removeprefix("the ")
    unit = re.search(r"\[([^\]]+)\]", text.partition("Returns:")[2])
    clauses = re.search(r"^Source: (.+?)\.?$", text, re.MULTILINE)
    assert unit is not None, f"{of} has no unit"
    assert clauses is not None, f"{of} has no source"
    each = clauses[1].split("; ")
    return Printed(
        words=words[:1].upper() + words[1:],
        symbol=equation[1],
        expression=equation[2],
        unit="" if unit[1] == "-" else unit[1],
        source="; ".join(map(cited, each)),
        how=min(map(known_of, each), key=WEAKEST.index),
        least_alone="Shown: the least alone." in text,
    )


def written(value: float) -> str:
    """Write a number so that a sum with it comes out to four figures or more.

    Args:
        value: any number [-].

    Example:
        >>> written(1600000.0), written(0.123456789), written(-2.0), written(2e-7), written(1.00312345)
        ('1600000', '0.1234568', '(-2)', '0.0000002', '1.00312345')
    """
    size = past_half(abs(value))
    near = ROUNDING < abs(abs(value) - 1.0) < NEAR_ONE
    text = f"{abs(value):.10f}".rstrip("0") if near else f"{size:.{DIGITS}g}"
    if "e" in text:
        text = f"{abs(value):.0f}" if size > 1.0 else format(Decimal(text), "f")
    return f"(-{text})" if value < 0.0 and float(text) != 0.0 else text


TOKEN = re.compile(r"\s*(\d+(?:\.\d+)?|[^\W\d]\w*|\S)")


def arithmetic(made: Sum) -> str:
    """Write a sum's own expression with its numbers in it, as a hand calculator takes it; a leaf is its number.

    A factor of one that is nobody's value is left out.

    Args:
        made: the sum.
    """
    if made.of is None:
        return written(made)
    return _filled(printed(made.of).expression, made.arguments)


def _filled(expression: str, given: dict[str, object]) -> str:
    tokens = TOKEN.findall(expression)
    out: list[str] = []
    for k, token in enumerate(tokens):
        after = tokens[k + 1] if k + 1 < len(tokens) else ""
        starts = token == "(" or token == "√" or token[0].isalnum()
        ended = bool(out) and out[-1] not in FUNCTIONS and (out[-1][-1].isalnum() or out[-1][-1] in ")°")
        if starts and ended:
            out.append(" × ")
        if token == "°":
            continue
        text = token
        if token in CONSTANTS:
            text = written(CONSTANTS[token])
        elif token in given:
            value = given[token]
            assert isinstance(value, int | float), f"{token} is no number"
            nobodys = value == 1.0 and not isinstance(value, Sum)
            if nobodys and after != "^" and out and out[-1] in (" × ", " / "):
                out.pop()
                continue
            text = f"{written(math.degrees(value))}°" if after == "°" else written(value)
        elif token in ("+", "-", "/", "×"):
            text = f" {token} "
        elif token == ",":
            text = ", "
        else:
            known = token in FUNCTIONS or token in ("(", ")", "^") or token[0].isdigit()
            assert known, f"{token} in {expression}"
        out.append(text)
    return "".join(out)


def parts(*made: float) -> Iterator[Sum]:
    """Give sums and every sum they were made of, each once, what is worked out first before what is made of it.

    A leaf asked for by itself is one of them; other leaves stand beside what they were given to.

    Args:
        made: the sums.
    """
    seen: set[object] = set()
    for whole in made:
        assert isinstance(whole, Sum), f"{whole} is no sum"
        for part in _parts(whole, seen):
            one = [each for each in part.arguments.values() if isinstance(each, Sum) and each.of is not None]
            if len(one) != 1 or arithmetic(part) != written(
                one[0]
            ):  # its other factors are ones: nothing was done
                yield part
        if isinstance(whole, Known):
            yield whole


def _parts(made: Sum, seen: set[object]) -> Iterator[Sum]:
    if isinstance(made, Known):
        for each in made.by:
            yield from _parts(each, seen)
        return
    assert made.of is not None
    same = (
        made.of,
        *((each, leaf_words(each)) for each in made.arguments.values()),
    )  # as it would be printed
    if same in seen:
        return
    seen.add(same)
    below = [each for each in made.arguments.values() if isinstance(each, Sum) and math.isfinite(each)]
    if printed(made.of).least_alone:
        below = [each for each in below if each == made][:1]
    for each in below:
        yield from _parts(each, seen)
    yield made


def leaf_words(value: object) -> str:
    """Give the words of a leaf; nothing of anything else.

    Args:
        value: an argument of a sum.
    """
    return value.words if isinstance(value, Known) else ""


def leaves(made: Sum) -> tuple[Known, ...]:
    """Give what a sum was given that is known and not worked out.

    Args:
        made: the sum.
    """
    return tuple(each for each in made.arguments.values() if isinstance(each, Known))


def replayed(made: Sum, **given: float) -> float:
    """Give a sum again by its own formula with some of what it was given changed.

    Args:
        made: the sum; not a leaf.
        given: what is changed, by name.

    Example:
        >>> from bracing.codes.nds.withdrawal import nail_withdrawal
        >>> arithmetic(replayed(nail_withdrawal(0.5, 0.148), G=0.42))
        '1380 × 0.42^(5 / 2) × 0.148'
    """
    assert made.of is not None, "a leaf has no formula"
    return cast("float", made.of(**{**made.arguments, **given}))
