"""What a browser prints of the page: the crew's part, and the clipboard's where that is ticked; without a script."""

from __future__ import annotations

import io
import re
from html.parser import HTMLParser

import pytest

from tests.cli.running import WITHIN, run
from tests.sheet_walls import text_of

TICK = '<input type="checkbox" id="printed"'


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("page")
    (folder / "wall.toml").write_text(text_of("slab-wall"), encoding="utf-8")
    return folder


def page_of(capsys, folder, *more):
    pytest.importorskip("jinja2")
    out = folder / f"{'-'.join(map(str, more)) or 'all'}.html"
    if out.exists():
        return out.read_text(encoding="utf-8")
    assert run(capsys, "sheet", folder / "wall.toml", "--budget", 0, *more, "-o", out).status in WITHIN
    return out.read_text(encoding="utf-8")


def printed(page):
    """The text of its pages, printed by the rules of style alone."""
    weasyprint, pypdf = pytest.importorskip("weasyprint"), pytest.importorskip("pypdf")
    pages = pypdf.PdfReader(io.BytesIO(weasyprint.HTML(string=page).write_pdf())).pages
    return len(pages), " ".join(" ".join(each.extract_text() for each in pages).split())


@pytest.mark.slow
def test_the_crew_s_pages_are_printed_and_the_clipboard_s_on_a_tick(capsys, written):
    page = page_of(capsys, written)
    assert page.count(TICK) == 1
    few, plain = printed(page)
    more, ticked = printed(page.replace(TICK, f"{TICK} checked"))
    for words in ("Planned and found", "Set-up, each evening", "For the clipboard"):
        assert (words in plain, words in ticked) == (False, True)
    for words in ("A card a brace", "cut list", "Zone, and who does what"):
        assert words in plain
        assert words in ticked
    assert few <= 4
    assert more > few
    for text in (plain, ticked):  # the tick itself is for the screen, the engineer's part for neither
        assert "Print the clipboard's pages too" not in text
        assert "Trace of the sums" not in text


def test_no_script_has_a_part_in_it_and_the_tick_has_its_words(capsys, written):
    page = page_of(capsys, written)
    script = re.search(r"<script>(.*?)</script>", page, re.DOTALL)[1]
    assert "printed" not in script
    assert '<label for="printed"' in page
    assert page.index(TICK) < page.index('<div class="clipboard">')


class Tree(HTMLParser):
    """Where each thing stands: the names of what it is in, its own last, with its class and id."""

    def __init__(self):
        super().__init__()
        self.inside, self.at = [], {}

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        for name in (said.get("id"), said.get("class")):
            if name:
                self.at.setdefault(name, tuple(self.inside))
        if tag not in ("input", "img", "meta", "br"):
            self.inside.append(tag)

    def handle_endtag(self, tag):
        if tag in self.inside:
            while self.inside.pop() != tag:
                pass


def test_the_tick_stands_beside_what_it_prints_and_the_rule_is_of_print_alone(capsys, written):
    page, tree = page_of(capsys, written), Tree()
    tree.feed(page)
    assert tree.at["printed"] == tree.at["clipboard"] == ("html", "body", "main")
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)[1]
    rule = (
        "#printed:not(:checked) ~ .clipboard, #printed:not(:checked) ~ .beneath .clipboard { display: none; }"
    )
    assert style.count(rule) == 1
    assert style.index("@media print") < style.index(rule) < style.index("@page")
    inside = page[page.index('<div class="clipboard">') : page.index('<details class="engineer">')]
    for words in ("For the clipboard", "Planned and found", "Set-up, each evening"):
        assert words in inside
        assert page.count(words) == inside.count(words)
    for words in ("A card a brace", "cut list", "Zone, and who does what"):
        assert words not in inside
