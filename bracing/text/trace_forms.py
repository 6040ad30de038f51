"""The trace of a wall as Markdown and as LaTeX: of each sum the symbols, then the numbers, then what comes out."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

import numpy as np

from bracing.chain.by_hand import ByHand
from bracing.chain.summed import Line
from bracing.check import CheckResult
from bracing.errors import InputError
from bracing.sums import written
from bracing.text.by_hand import (
    BY_HAND,
    IN_IT,
    IN_SUMS,
    PER_1000,
    SUMMED,
    THOUSAND,
    Demands,
    force_words,
    idle_words,
    in_the_gust,
    named,
    state_words,
)
from bracing.text.check import clear_out_words
from bracing.text.page import Page
from bracing.text.trace import Step, Trace, before_links

FORMS = ("md", "tex")
NOT_A_WORD = re.compile(r"\W")
TOKEN = re.compile(r"[0-9.]+(?:e[+-]?[0-9]+)?|[^\W\d_][\w'′]*|\S|\s+")
OPERATORS = {"×": r"\times ", "≤": r"\le ", "≥": r"\ge ", "-": "-", "−": "-", "π": r"\pi ", "·": r"\cdot "}
FUNCTIONS = {"min": r"\min", "max": r"\max", "sin": r"\sin", "cos": r"\cos", "tan": r"\tan", "exp": r"\exp"}
GREEK = {
    "α": r"\alpha ", "β": r"\beta ", "γ": r"\gamma ", "δ": r"\delta ", "θ": r"\theta ", "λ": r"\lambda ", "μ": r"\mu ",
    "ρ": r"\rho ", "σ": r"\sigma ", "φ": r"\varphi ", "Σ": r"\Sigma ", "Δ": r"\Delta ", "ω": r"\omega ",
    "κ": r"\kappa ", "η": r"\eta ", "ε": r"\varepsilon ", "τ": r"\tau ", "ψ": r"\psi ",
}  # fmt: skip
NAMED = (
    "alpha",
    "beta",
    "gamma",
    "delta",
    "theta",
    "lambda",
    "mu",
    "rho",
    "sigma",
    "phi",
    "tau",
    "psi",
    "eta",
)
SUBSCRIPTED = re.compile(
    r"[A-Z][a-z0-9_]\w{0,5}|[a-z](?:[0-9_]\w{0,5}|[a-z])"
)  # Kz, Fc_perp, x1, le; no word
ESCAPED = {
    "\\": r"\textbackslash{}", "&": r"\&", "%": r"\%", "$": r"\$", "#": r"\#", "_": r"\_", "{": r"\{", "}": r"\}",
    "~": r"\textasciitilde{}", "^": r"\textasciicircum{}", "×": r"$\times$", "√": r"$\surd$", "°": r"$^\circ$",
    "²": r"$^2$", "³": r"$^3$", "′": "$'$", "≤": r"$\le$", "≥": r"$\ge$", "½": r"$\frac12$", "·": r"$\cdot$",
    **{letter: f"${name.strip()}$" for letter, name in GREEK.items()},
}  # fmt: skip


def form_of(text: str, *, field: str = "--as") -> str:
    """Read in which form a trace is asked for.

    Args:
        text: as typed.
        field: named in a fault.

    Raises:
        InputError: no such form.
    """
    if text not in FORMS:
        raise InputError.of(field, text, f"one of {', '.join(FORMS)}")
    return text


def trace_in(form: str, result: CheckResult, trace: Trace, *, page: Page) -> str:
    """Write a trace in a form.

    Args:
        form: one of FORMS.
        result: the wall checked.
        trace: its trace.
        page: how gusts are written.
    """
    heading, step, (start, end) = WRITERS[form]
    name = f"{result.job.wall.name}: {result.job.state}. Trace of the sums"
    said = [
        clear_out_words(result, page) + ".",
        f"Sums at {page.asked(trace.gust)} unless a line says otherwise.",
    ]
    lines = [*start, heading(1, name), *(_plain(form, line) for line in said)]
    for title, steps in _parts(trace, page):
        lines += ["", heading(2, title), *(line for one in steps for line in step(one))]
    lines += _by_hand(form, trace, page)
    return "\n".join([*lines, *end])


def _parts(trace: Trace, page: Page) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Each part with any sums, under its heading."""
    yield from before_links(trace)
    yield from ((page.said(link.sentence), link.steps) for link in trace.links if link.steps)


def _by_hand(form: str, trace: Trace, page: Page) -> Iterator[str]:
    """The equations of every state the sums need, and the sums."""
    heading, demands = WRITERS[form][0], trace.demands
    if not demands.hands:
        return
    yield from ("", heading(2, BY_HAND), _plain(form, f"{EQUATION}, force method [statics]: {IN_IT}"))
    for k, hand in enumerate(demands.hands, start=1):
        yield _plain(form, f"State {k}: {state_words(hand)}.")
        yield from MATRICES[form](_matrices(hand))
        yield from (_plain(form, words) for words in idle_words(hand))
        forces = zip(hand.marks, hand.force.tolist(), strict=True)
        yield from ALIGNED[form]([(_force_of(mark, k), [in_the_gust(*part)], "lb") for mark, part in forces])
    yield from ("", heading(2, SUMMED), _plain(form, IN_SUMS))
    yield _plain(form, "R_B1(2) is R of B1 in state 2.")
    for one in demands.links:
        yield from (
            [_plain(form, f"{named(one, page)}, at {written(float(one.gust))} mph")] if one.lines else []
        )
        for line in one.lines:
            yield _plain(form, force_words(line, one.gust))
            yield from ALIGNED[form]([_sum_of(line, one.gust, demands)])


EQUATION = "(F + C) R - Z a = w, Z' R = L, C the 1/k of each brace"
Matrix = tuple[str, str, list[list[str]]]  # symbol, unit, rows of numbers
Equal = tuple[str, list[str], str]  # symbol, what it equals in turn, unit


def _matrices(hand: ByHand) -> Iterator[Matrix]:
    parts = (
        ("F", PER_1000, THOUSAND * hand.flexibility), ("C", PER_1000, np.diag(THOUSAND * hand.give)),
        ("Z", "", hand.motions), ("w", "in, steady and for V^2", hand.moved),
        ("L", "lb, steady and for V^2", hand.work),
    )  # fmt: skip
    return ((name, unit, [[f"{each:.7g}" for each in row] for row in rows]) for name, unit, rows in parts)


def _force_of(mark: str, state: int) -> str:
    return f"R_{re.sub(NOT_A_WORD, '', mark)}({state})"


def _sum_of(line: Line, gust: float, demands: Demands) -> Equal:
    pieces = [in_the_gust(*line.loads.tolist())] if np.any(line.loads) else []
    for state, terms in demands.shares(line):
        pieces += [f"{written(pounds)} {_force_of(mark, state)}" for mark, pounds in terms.items()]
    steady, rate = line.total.tolist()
    total = [in_the_gust(steady, rate)] if line.shares else []
    return (
        "S",
        ["S_0 + S_1 V^2 + Σ a R", " + ".join(pieces), *total, f"{steady + rate * gust**2:.7g}"],
        line.unit,
    )


def _md_matrices(matrices: Iterable[Matrix]) -> Iterator[str]:
    for name, unit, rows in matrices:
        widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
        yield from ("", f"{name}{f' [{unit}]' if unit else ''}", "", "```text")
        yield from (
            "  ".join(cell.rjust(wide) for cell, wide in zip(row, widths, strict=True)) for row in rows
        )
        yield "```"


def _tex_matrices(matrices: Iterable[Matrix]) -> Iterator[str]:
    for name, unit, rows in matrices:
        inside = " \\\\\n".join(" & ".join(row) for row in rows)
        said = f"\\quad\\text{{{escaped(unit)}}}" if unit else ""
        yield f"\\[{name} = \\begin{{bmatrix}}\n{inside}\n\\end{{bmatrix}}{said}\\]"


def _md_aligned(equal: Iterable[Equal]) -> Iterator[str]:
    yield from ("", "```text")
    for symbol, parts, unit in equal:
        for k, part in enumerate((*parts[:-1], f"{parts[-1]} {unit}")):
            yield f"{symbol if k == 0 else ' ' * len(symbol)} = {part}"
    yield "```"


def _tex_aligned(equal: Iterable[Equal]) -> Iterator[str]:
    yield "\\begin{align*}"
    rows = []
    for symbol, parts, unit in equal:
        told = [in_tex(part) for part in parts]
        told[-1] += f"\\ \\mathrm{{{escaped(unit)}}}" if unit else ""
        rows += [f"{in_tex(symbol) if k == 0 else ''} &= {each}" for k, each in enumerate(told)]
    yield " \\\\\n".join(rows)
    yield "\\end{align*}"


def _plain(form: str, line: str) -> str:
    return f"\n{escaped(line) if form == 'tex' else line}"


def _md_heading(level: int, words: str) -> str:
    return f"{'#' * level} {words}"


def _md_step(one: Step) -> Iterator[str]:
    clause = f" [{one.source}]" if one.source else ""
    yield f"\n{one.what}{clause}\n"
    yield "```text"
    yield from ([one.equation] if one.equation else [])
    yield f"{' ' * len(_symbol(one))} = {one.sum}" if one.equation else one.sum
    yield f"{' ' * len(_symbol(one))} = {one.shown}"
    yield "```"


def _symbol(one: Step) -> str:
    return one.equation.partition(" = ")[0]


def _tex_heading(level: int, words: str) -> str:
    return f"\\{'section' if level == 1 else 'subsection'}*{{{escaped(words)}}}"


def _tex_step(one: Step) -> Iterator[str]:
    clause = f" [{one.source}]" if one.source else ""
    yield f"\n\\noindent {escaped(one.what + clause)}"
    parts = [one.equation.partition(" = ")[2]] if one.equation else []
    value, _, unit = one.shown.partition(" ")
    yield from _tex_aligned([(_symbol(one), [*parts, one.sum, value], unit)])


def escaped(words: str) -> str:
    r"""Write words as LaTeX takes them.

    Args:
        words: the words.

    Example:
        >>> print(escaped("5 % of A_B"))
        5 \% of A\_B
    """
    return "".join(ESCAPED.get(letter, letter) for letter in words)


def in_tex(sum_: str) -> str:
    r"""Write an expression as LaTeX mathematics.

    Args:
        sum_: as a formula's docstring or a step has it.

    Example:
        >>> print(in_tex("2.01 × (15 / 900)^(2 / 9.5)"), in_tex("√(a^2 + Kz)"))
        2.01 \times (15 / 900)^{2 / 9.5} \sqrt{a^{2} + K_{\mathrm{z}}}
    """
    tokens = TOKEN.findall(sum_)
    return re.sub(r" +", " ", "".join(_written(tokens, 0, len(tokens)))).strip()


def _written(tokens: list[str], at: int, end: int) -> Iterator[str]:
    while at < end:
        token = tokens[at]
        if token in ("√", "^") and at + 1 < end:
            after = at + 1
            stop = _closing(tokens, after, end) if tokens[after] == "(" else after
            inside = range(after + 1, stop) if tokens[after] == "(" else range(after, stop + 1)
            yield (
                ("\\sqrt{" if token == "√" else "^{")
                + "".join(_written(tokens, inside.start, inside.stop))
                + "}"
            )
            at = stop + 1
            continue
        yield _token(token)
        at += 1


def _closing(tokens: list[str], at: int, end: int) -> int:
    """Where the bracket that opens at a place closes."""
    depth = 0
    for k in range(at, end):
        depth += {"(": 1, ")": -1}.get(tokens[k], 0)
        if depth == 0:
            return k
    return end - 1


def _token(token: str) -> str:
    if token in FUNCTIONS:
        return FUNCTIONS[token]
    if token in OPERATORS:
        return OPERATORS[token]
    if token == "°":
        return r"^{\circ}"
    if not token[0].isalpha():
        return escaped(token) if token in "%#&$_{}" else token
    if token in NAMED:
        return rf"\{token} "
    name = token.rstrip("'′")
    primes = "'" * (len(token) - len(name))
    if SUBSCRIPTED.fullmatch(name):
        return f"{name[0]}_{{\\mathrm{{{escaped(name[1:].lstrip('_'))}}}}}{primes}"
    if name[0] in GREEK:
        rest = escaped(name[1:].lstrip("_"))
        return (
            f"{GREEK[name[0]].strip()}_{{\\mathrm{{{rest}}}}}{primes}"
            if rest
            else f"{GREEK[name[0]]}{primes}"
        )
    return f"{name}{primes}" if len(name) == 1 else f"\\mathrm{{{escaped(name)}}}{primes}"


MATRICES = {"md": _md_matrices, "tex": _tex_matrices}
ALIGNED = {"md": _md_aligned, "tex": _tex_aligned}
WRITERS: dict[str, tuple[Callable[[int, str], str], Callable[[Step], Iterator[str]], tuple[list[str], list[str]]]] = {
    "md": (_md_heading, _md_step, ([], [""])),
    "tex": (
        _tex_heading, _tex_step,
        (
            [r"\documentclass{article}", r"\usepackage[utf8]{inputenc}", r"\usepackage{amsmath}", r"\begin{document}"],
            ["", r"\end{document}", ""],
        ),
    ),
}  # fmt: skip
