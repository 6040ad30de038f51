"""The trace in other forms: the same numbers, symbols first, in mathematics that another program reads."""

from __future__ import annotations

import re

import pytest

from bracing.text.trace_forms import FORMS, escaped, in_tex
from tests.cli.running import EXAMPLES, WITHIN, run

WALLS = ("short-wall-braced", "as-found")
mathtext = pytest.importorskip("matplotlib.mathtext")


@pytest.fixture(params=WALLS)
def said(request, capsys):
    words = ("trace", EXAMPLES / f"{request.param}.toml", "--gust", "30")
    answers = {form: run(capsys, *words, "--as", form).out for form in FORMS}
    return answers, run(capsys, *words, "--json").json


def steps(document):
    groups = (document["wind"], document["along"], document["head_couple"], document["clear_out"])
    return [step for group in (*groups, *(link["steps"] for link in document["links"])) for step in group]


def test_every_step_is_there_symbols_first_then_numbers_then_what_comes_out(said):
    answers, document = said
    text = answers["md"]
    place = 0
    for step in steps(document):
        place = text.index(step["what"], place)
        first = place
        if step["equation"]:
            first = text.index(step["equation"], place)
        numbers = text.index(f" = {step['sum']}" if step["equation"] else step["sum"], first)
        comes_out = text.index("\n```", numbers)
        assert place <= first <= numbers < comes_out
        shown = re.search(r" = (\S+)(?: .*)?$", text[numbers:comes_out].splitlines()[-1])[1]
        if step["value"] is not None:
            assert float(shown) == pytest.approx(step["value"], rel=2e-3, abs=1e-12)
        place = comes_out


def test_the_mathematics_is_read_by_another_program(said):
    """Each line of an align is parsed by matplotlib's own reader of TeX mathematics."""
    parser = mathtext.MathTextParser("agg")
    lines = re.findall(r"&= (.+?)(?: \\\\)?$", said[0]["tex"], re.MULTILINE)
    assert len(lines) > 2 * len(steps(said[1]))
    for line in dict.fromkeys(lines):
        parser.parse(f"${line}$")


def test_the_document_is_whole(said):
    text = said[0]["tex"]
    assert text.startswith("\\documentclass")
    assert text.endswith("\\end{document}\n")
    assert text.count("\\begin{align*}") == text.count("\\end{align*}") == len(steps(said[1]))
    words = re.sub(r"\\begin\{align\*\}.*?\\end\{align\*\}", "", text, flags=re.DOTALL)
    assert not re.search(r"(?<!\\)[%&#]", words)
    assert text.count("{") - text.count("\\{") == text.count("}") - text.count("\\}")


@pytest.mark.parametrize(
    ("plain", "tex"),
    [
        ("√(a^2 + b^2)", r"\sqrt{a^{2} + b^{2}}"), ("x^(1 / 2)", "x^{1 / 2}"),
        ("Kz × Fc_perp", r"K_{\mathrm{z}} \times F_{\mathrm{c\_perp}}"),
        ("max(0, -x)", r"\max(0, -x)"), ("tan(36.9°)", r"\tan(36.9^{\circ})"),
        ("highest + floor", r"\mathrm{highest} + \mathrm{floor}"),
        ("√(a (b + c)) d", r"\sqrt{a (b + c)} d"), ("2^alpha", r"2^{\alpha }"), ("W'", "W'"),
    ],
)  # fmt: skip
def test_an_expression_in_tex(plain, tex):
    assert in_tex(plain) == tex.strip()


def test_words_in_tex():
    assert escaped("5 % of A_B & 3#") == r"5 \% of A\_B \& 3\#"


def test_a_form_there_is_not_is_one_line(capsys):
    done = run(capsys, "trace", EXAMPLES / "short-wall-braced.toml", "--as", "pdf")
    assert done.status == 2
    assert "--as: got pdf; expected one of md, tex" in done.err


def test_the_status_is_that_of_the_trace(capsys):
    words = ("trace", EXAMPLES / "short-wall-braced.toml", "--gust", "20")
    assert run(capsys, *words, "--as", "md").status == run(capsys, *words).status
    assert run(capsys, *words).status in WITHIN
