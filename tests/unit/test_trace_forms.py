"""The trace in other forms: the same numbers, symbols first, in mathematics that another program reads."""

from __future__ import annotations

import re

import numpy as np
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
    groups = (document[part] for part in ("weight", "springs", "wind", "along", "head_couple", "clear_out"))
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
    sums = sum(len(link["sums"]) for link in said[1]["summed"])
    blocks = len(steps(said[1])) + len(said[1]["states"]) + sums
    assert text.count("\\begin{align*}") == text.count("\\end{align*}") == blocks
    assert text.count("\\begin{bmatrix}") == text.count("\\end{bmatrix}") == 5 * len(said[1]["states"])
    words = re.sub(r"\\begin\{(align\*|bmatrix)\}.*?\\end\{\1\}", "", text, flags=re.DOTALL)
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


NUMBER = r"\(?(-?[0-9.]+(?:e[+-]?[0-9]+)?)\)?"


def matrices(part):
    """Every matrix of a state by its symbol, from the Markdown alone."""
    blocks = re.findall(r"^([FCZwL])(?: \[[^\n]*\])?\n\n```text\n(.*?)\n```", part, re.MULTILINE | re.DOTALL)
    return {
        name: np.array([[float(cell) for cell in row.split()] for row in rows.split("\n")])
        for name, rows in blocks
    }


def test_the_brace_forces_of_a_state_come_out_of_its_printed_matrices(said):
    """(F + C) R - Z a = w and Z' R = L, solved anew from what is printed."""
    states = re.split(r"^State \d+: ", said[0]["md"], flags=re.MULTILINE)[1:]
    assert len(states) == len(said[1]["states"]) > 1
    for k, part in enumerate(states, start=1):
        found = matrices(part.partition("\n## ")[0])
        works = np.array(said[1]["states"][k - 1]["working"])
        assert works.all() == ("drop out" not in part.partition("\n## ")[0])
        on = np.ix_(works, works)
        found |= {"F": found["F"][on], "C": found["C"][on], "Z": found["Z"][works], "w": found["w"][works]}
        n, m = found["Z"].shape
        whole = np.block([[found["F"] + found["C"], -1000.0 * found["Z"]], [found["Z"].T, np.zeros((m, m))]])
        forces = np.linalg.solve(whole, np.vstack([1000.0 * found["w"], found["L"]]))[:n]
        printed = re.findall(rf"^R_\w+\({k}\) = {NUMBER} \+ {NUMBER} V\^2 lb$", part, re.MULTILINE)
        assert np.allclose(forces, np.array(printed, dtype=float)[works], rtol=2e-5, atol=2e-4)
        assert not np.array(printed, dtype=float)[~works].any()


def test_every_sum_comes_out_of_the_printed_forces(said):
    text = said[0]["md"]
    of = {name: (float(a), float(b)) for name, a, b in
          re.findall(rf"^(R_\w+\(\d+\)) = {NUMBER} \+ {NUMBER} V\^2 lb$", text, re.MULTILINE)}  # fmt: skip
    parts = re.split(r", at ([0-9.]+) mph\n", text.partition("Demand of the links above")[2])[1:]
    assert len(parts) // 2 == len(said[1]["summed"])
    done = 0
    for gust, part in zip(parts[::2], parts[1::2], strict=True):
        squared = float(gust) ** 2
        for pieces, last in re.findall(
            r"= S_0 \+ S_1 V\^2 \+ Σ a R\n +(= .*?)\n += ([^=]*)\n```", part, re.DOTALL
        ):
            first = pieces.split("\n")[0]
            steady = re.match(rf"= {NUMBER} \+ {NUMBER} V\^2", first)
            value = float(steady[1]) + float(steady[2]) * squared if steady else 0.0
            value += sum(
                float(a) * (of[name][0] + of[name][1] * squared)
                for a, name in re.findall(rf"{NUMBER} (R_\w+\(\d+\))", first)
            )
            assert float(last.split()[0]) == pytest.approx(value, rel=1e-4, abs=1e-3)
            done += 1
    assert done == sum(len(link["sums"]) for link in said[1]["summed"])


def test_the_springs_are_those_of_the_equations(said):
    """What the steps make of table values is what stands on the diagonal of every state."""
    made = {}
    for step in said[1]["springs"]:
        if marks := re.search(r"level, c: (.*), (published slip|three times the slip)$", step["what"]):
            for mark in marks[1].split(", "):
                made.setdefault(mark, []).append(step["value"])
    for state in said[1]["states"]:
        for mark, give in zip(state["marks"], state["give_in_per_lb"], strict=True):
            assert any(give == pytest.approx(one, rel=1e-12) for one in made[mark])


def test_the_weight_is_that_of_its_parts(said):
    document = said[1]
    parts = [step["value"] for step in document["weight"] if re.search(", W: (all|its face)", step["what"])]
    assert document["weight"][-1]["value"] == pytest.approx(sum(parts), rel=1e-12)
    lean = next(step for step in document["wind"] if "weight of the wall" in step["what"])
    assert f"× {document['weight'][-1]['value']:.7g}"[:8] in lean["sum"]
