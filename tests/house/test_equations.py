"""docs/theory/equations.md has every formula as its docstring prints it, and how each is derived."""

import ast

import pytest

from bracing.sums import printed
from tests.house.equations import NOT_PLACED, PAGE, Entry, every, faults, lines_of, page, read
from tests.house.tree import functions

TEXT = PAGE.read_text(encoding="utf-8")
ENTRIES = [part for part in read(TEXT) if isinstance(part, Entry)]


def test_every_formula_has_its_derivation_and_every_derivation_its_formula():
    assert not faults(TEXT), "\n".join(faults(TEXT))


def test_the_printed_lines_are_those_of_the_docstrings():
    assert page(TEXT) == TEXT, "run: python -m tests.house.equations"


def test_every_function_marked_as_a_formula_is_among_them():
    """As the source has it, not as it was imported: `@formula` on a function of a module nobody reads is seen too."""
    marked = {
        f"{one.module}.{one.name}"
        for one in functions()
        if any(isinstance(each, ast.Name) and each.id == "formula" for each in one.node.decorator_list)
    }
    print(f"formulas with a derivation: {len(marked)}")
    assert marked == set(every())


def test_a_judgement_is_led_to_its_reason():
    judged = [one.name for one in ENTRIES if "judgement" in printed(every()[one.name]).source]
    assert len(judged) > 10
    led = {one.name for one in ENTRIES if "](../judgement.md" in one.derivation}
    assert not [name for name in judged if name not in led], "a judgement without a link to docs/judgement.md"


def without(entry):
    """The page with one derivation gone."""
    return TEXT.replace(f"\n\n{entry.derivation}\n", "\n", 1)


def test_the_rule_sees_a_derivation_that_is_gone():
    one = ENTRIES[40]
    assert faults(without(one)) == [f"{one.name}: a formula without a derivation"]


def test_the_rule_sees_an_entry_that_is_gone_and_puts_it_at_the_end_without_a_derivation():
    one = ENTRIES[7]
    text = TEXT.replace(one.text(), "", 1)
    assert faults(text) == [f"{one.name}: a formula without a derivation"]
    assert lines_of(one.name, every()[one.name]) in page(text).partition(NOT_PLACED)[2]
    assert faults(page(text)) == faults(text)


def test_the_rule_sees_a_formula_that_was_renamed_and_keeps_what_was_written():
    one = ENTRIES[12]
    text = TEXT.replace(f"`{one.name}`", "`codes.gone.renamed`", 1)
    assert faults(text) == [
        f"{one.name}: a formula without a derivation",
        "codes.gone.renamed: a derivation of no formula",
    ]
    assert one.derivation in page(text)


def test_the_rule_sees_an_entry_that_stands_twice():
    one = ENTRIES[3]
    assert faults(f"{TEXT}\n{one.text()}") == [f"{one.name}: stands 2 times"]


@pytest.mark.parametrize("line", range(4))
def test_the_rule_sees_a_printed_line_that_differs(line):
    """Words, equation, clause, symbols: each is written again from the docstring."""
    one = ENTRIES[20]
    printed_line = [each for each in one.lines.split("\n") if each][line]
    other = printed_line.replace("**, `", " of old**, `") if line == 0 else f"{printed_line} of old"
    text = TEXT.replace(printed_line, other, 1)
    assert text != TEXT
    assert page(text) == TEXT
