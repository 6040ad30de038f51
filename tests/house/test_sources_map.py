"""docs/sources.md says what the docstrings and the tests say, and every cited formula has a test."""

from tests.house import sources_map
from tests.house.sources_map import FOLDERS, PAGE, held_by, page, rows
from tests.house.test_docstrings import cited
from tests.house.tree import functions


def test_the_page_is_up_to_date():
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python -m tests.house.sources_map"


def test_every_cited_function_is_reached_by_a_test():
    files = sources_map.test_files()
    faults = [f.label for f in functions() if f.public and cited(f) and not held_by(f, files)]
    assert not faults, "cites a source and no test reaches it:\n" + "\n".join(faults)


def test_the_map_finds_a_published_test():
    """Known by hand: Eq. 12.2-3 is smooth nails, held by the connection tables."""
    (row,) = [row for row in rows() if row[3] == "`codes.nds.withdrawal.nail_withdrawal`"]
    assert row[:3] == ("NDS", "12.2-3", "read")
    assert "published/test_nds_connections.py" in row[4]


def test_only_folders_that_are_there_are_searched():
    assert set(FOLDERS) <= {name.split("/")[0] for name in sources_map.test_files()} | {"cli", "reference"}
