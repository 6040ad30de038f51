"""The examples' pages look as they did when last looked at: phone and desk, page one and the drawings of the braces.

Take them anew after a change that is meant to be seen: python -m tests.browser.shots
"""

from __future__ import annotations

import pytest

from tests.browser.opening import browser, executable
from tests.browser.shots import MOST_OFF, TAKEN, facts_of, off, steady_page, stored_file, take
from tests.sheet_walls import NAMES

pytestmark = [pytest.mark.browser, pytest.mark.slow]
pytest.importorskip("playwright")
pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")
image = pytest.importorskip("PIL.Image")
if executable() is None:
    pytest.skip("no Chromium on this machine", allow_module_level=True)


@pytest.fixture(scope="module")
def chromium():
    with browser() as one:
        yield one


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shots")
    for name in NAMES:
        (folder / f"{name}.html").write_text(steady_page(facts_of(name)), encoding="utf-8")
    return folder


@pytest.mark.parametrize(("size", "part"), TAKEN, ids="-".join)
@pytest.mark.parametrize("name", NAMES)
def test_a_page_looks_as_it_did(chromium, pages, tmp_path, name, size, part):
    taken = take(chromium, pages / f"{name}.html", size, part)
    taken.save(tmp_path / "taken.png")
    stored = image.open(stored_file(name, size, part)).convert("L")
    share = off(taken, stored)
    assert share <= MOST_OFF, (
        f"{share:.2%} is not as stored; now: {tmp_path / 'taken.png'}; see tests/browser/shots.py"
    )


def test_a_brace_that_moved_a_word_that_changed_and_a_lost_picture_are_seen(chromium, pages, tmp_path):
    text = (pages / "slab-wall.html").read_text(encoding="utf-8")
    plain = take(chromium, pages / "slab-wall.html", "phone", "front")
    other = (pages / "south-gable.html").read_text(encoding="utf-8")

    def pictured(page):
        return page.partition("<figcaption>The wall from the brace side</figcaption>")[2].partition(
            "</figure>"
        )[0]

    for changed in (
        text.replace(
            "<strong>Void if</strong> anything on the wall", "<strong>Void if</strong> a thing on that wall"
        ),
        text.replace(pictured(text), pictured(other)),
        text.replace(pictured(text), ""),
    ):
        assert changed != text
        file = tmp_path / "changed.html"
        file.write_text(changed, encoding="utf-8")
        assert off(take(chromium, file, "phone", "front"), plain) > 0.0
    assert off(take(chromium, file, "phone", "front"), plain) > MOST_OFF
    assert off(plain, plain) == 0.0
