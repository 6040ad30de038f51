"""What to stop for, how a joint looks and what to do, for who reads neither language: each has its picture."""

from xml.etree import ElementTree

import pytest

from bracing.drawing.glyphs import GLYPHS, SECTION, svg
from bracing.sheet.facts import checklists
from bracing.sources import shipped

SVG = "{http://www.w3.org/2000/svg}"
JOINTS, DEEDS = {"foot", "head", "tie-row"}, {"clear-out", "walk", "call"}


def read(name):
    return ElementTree.fromstring(svg(name))


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_stop_work_item_has_its_picture_and_no_two_the_same(language):
    stop = next(each for each in checklists(language) if each.name == "stop")
    assert len(set(stop.pictures)) == len(stop.items)
    assert set(stop.pictures) | JOINTS | DEEDS == set(GLYPHS)


def test_the_table_names_a_picture_for_each_of_its_items_or_for_none():
    for row in shipped("sheet")["list"]:
        assert len(row.get("pictures", row["items"])) == len(row["items"]), row["name"]


@pytest.mark.parametrize("name", GLYPHS)
def test_a_picture_has_no_letter_in_it_and_says_what_it_shows(name):
    drawn = read(name)
    assert {each.tag.removeprefix(SVG) for each in drawn.iter()} <= {
        "svg", "title", "desc", "rect", "g", "path", "circle",
    }  # fmt: skip
    told = [drawn.findtext(f"{SVG}{tag}") for tag in ("title", "desc")]
    assert all(told)
    assert not any(
        (each.text or "").strip() for each in drawn.iter() if each.tag[len(SVG) :] not in ("title", "desc")
    )


@pytest.mark.parametrize("name", GLYPHS)
def test_a_picture_says_what_it_shows_in_spanish_too(name):
    spanish = ElementTree.fromstring(svg(name, "es")).findtext(f"{SVG}desc")
    assert spanish
    assert spanish != read(name).findtext(f"{SVG}desc")


@pytest.mark.parametrize("name", GLYPHS)
def test_a_picture_is_black_on_white_with_lines_that_are_seen_at_48_pixels(name):
    """A line of 3 on a paper of 96 is a pixel and a half there."""
    inks, widths = set(), []
    for each in read(name).iter():
        inks |= {each.get("fill"), each.get("stroke")} - {None, "none"}
        if each.get("fill") == "none" and each.get("stroke-width"):
            widths.append(float(each.get("stroke-width")))
    assert inks <= {"#000", "#fff", "#bbb"}
    assert min(widths, default=3.0) >= 3.0


def test_the_wall_of_the_pictures_is_braced_as_practice_has_it():
    """Its head at two thirds of the height or more, its foot as far out as its head is high."""
    (x, y), (foot, floor) = SECTION.meets, SECTION.foot
    assert (SECTION.floor - y) / (SECTION.floor - SECTION.top) >= 2.0 / 3.0
    assert foot - x == pytest.approx(floor - y, abs=1e-9)


def test_pictures_differ_from_one_another():
    assert len({svg(name).partition("</desc>")[2] for name in GLYPHS}) == len(GLYPHS)
