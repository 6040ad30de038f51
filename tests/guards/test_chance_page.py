"""The tables of the page of chances are what the sums give now."""

from types import SimpleNamespace

import pytest

from bracing.chance.answer import Share
from bracing.text.chance import chance_table
from bracing.text.page import Page
from tests.house.chance_page import CASES, CHANGES, EFFECTS, PAGE, changed, page


def test_the_tables_of_the_page_are_what_is_worked_out():
    """Write them anew with: python -m tests.house.chance_page."""
    text = PAGE.read_text(encoding="utf-8")
    assert text == page()
    assert text.index(EFFECTS) < text.index(CASES)


def test_another_value_is_taken_and_given_back():
    from bracing.codes.chance import scatter_of_joint

    before = scatter_of_joint(0.4, 4)
    with changed("board", "shared", 1.0):
        assert scatter_of_joint(0.4, 4) == 0.4
    assert scatter_of_joint(0.4, 4) == before < 0.4
    assert {block for block, *_ in CHANGES} >= {"crew", "board", "missed", "tonight_scatter"}


@pytest.mark.parametrize("width", [80, 132])
def test_two_chances_beside_one_another_have_a_space_between(width):
    """`<0.1 (<0.1-0.2)` is as wide as a column was: fifteen letters."""
    narrow, wide = Share(0.0005, 0.0005, 0.0005, (0.0, 0.001)), Share(0.0005, 0.0004, 0.002, (0.0, 0.001))
    curves = [
        SimpleNamespace(first=one, line=one, missed=one, gone={}) for one in (narrow, narrow, wide, wide)
    ]
    result = SimpleNamespace(gusts=(1, 18, 20, 23), curves=curves, matters_most=None)
    _, *rows = chance_table(result, Page(width=width))
    figures = [" ".join(row.split()) for row in rows if "<0.1" in row]
    assert [row[row.index("<") :] for row in figures] == ["<0.1 <0.1 <0.1 (<0.1-0.2) <0.1 (<0.1-0.2)"] * 3
