"""The tables of the page of chances are what the sums give now."""

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
