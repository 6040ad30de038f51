"""Drawings: no words over words, dimensions that measure, DXF read back, each picture the same bytes."""

from __future__ import annotations

import itertools
import math
import sys
from functools import cache

import pytest
from attrs import evolve

from bracing.chain.cuts import cut_of
from bracing.drawing.details import brace_outline, inside, pattern
from bracing.drawing.dxf import write_dxf
from bracing.drawing.model import Dot, Words, apart, box_of, short, spread
from bracing.drawing.picture import as_bytes, text_boxes, write_picture
from bracing.drawing.plotted import plotted
from bracing.errors import InputError, MissingExtraError
from bracing.job.fasteners import fastener
from bracing.job.lumber import section
from bracing.sheet.facts import drawings
from bracing.units import tape
from tests.sheet_walls import NAMES, braced, checked

pytest.importorskip("matplotlib")
pytestmark = pytest.mark.xdist_group("drawing")  # one worker measures the words of each, once


@pytest.fixture(scope="module", params=NAMES)
def drawn(request):
    return request.param, drawings(checked(request.param))


def named(drawn, start):
    return next(drawing for drawing in drawn[1] if drawing.name.startswith(start))


@cache
def boxes_of(drawing):
    """Where the words of a drawing are, as drawn: worked out once for all that is asked of them."""
    return tuple(text_boxes(drawing))


def clashes(drawing):
    boxes = boxes_of(drawing)
    return [(a[0], b[0]) for a, b in itertools.combinations(boxes, 2) if not apart(a[1], b[1])]


def test_no_words_overlap_as_drawn(drawn):
    for drawing in drawn[1]:
        assert clashes(drawing) == [], drawing.name


def test_the_measure_of_words_sees_an_overlap(drawn):
    drawing = drawn[1][0]
    words = next(item for item in drawing.items if isinstance(item, Words))
    doubled = evolve(drawing, items=(*drawing.items, evolve(words, text=f"{words.text} again")))
    assert clashes(doubled)


def test_no_words_leave_the_paper(drawn):
    for drawing in drawn[1]:
        wide, tall = drawing.paper.size
        for text, (left, bottom, right, top) in boxes_of(drawing):
            assert min(left, bottom) >= 0.0, (drawing.name, text)
            assert (right <= wide, top <= tall) == (True, True), (drawing.name, text)


def test_the_reckoned_box_is_not_under_the_measured_one(drawn):
    """Words are placed by a reckoned box; one smaller than what is drawn would let words overlap."""
    for drawing in drawn[1]:
        measured = {text: box for text, box in boxes_of(drawing)}
        for item in drawing.items:
            if isinstance(item, Words) and not item.bold:
                box = box_of(item, drawing.paper)
                long = max(box[2] - box[0], box[3] - box[1]) / drawing.paper.scale
                left, bottom, right, top = measured[item.text]
                assert long >= max(right - left, top - bottom) - 0.06


def test_words_are_large_enough_to_read_on_paper(drawn):
    for drawing in drawn[1]:
        assert all(item.size >= 6.5 for item in drawing.items if isinstance(item, Words))


def test_dimensions_are_the_numbers_of_the_wall(drawn):
    name, _ = drawn
    job = braced(name)
    brace, cut = job.braces[0], cut_of(job, job.braces[0])
    elevation = {d.words: d.value for d in named(drawn, "elevation").dimensions}
    assert elevation[f"{tape(job.wall.length)} long"] == pytest.approx(job.wall.length, abs=1e-9)
    highest = [
        value for words, value in elevation.items() if tape(job.wall.highest) in words and "long" not in words
    ]
    assert highest[0] == pytest.approx(job.wall.highest, abs=1e-9)
    values = sorted(d.value for d in named(drawn, "section").dimensions)
    taped = [brace.head, cut.head_up, brace.set_back, cut.foot_out]
    assert values == pytest.approx(sorted([*taped, cut.long_point]), abs=1e-9)
    level = next(d for d in named(drawn, "foot-B1").dimensions if d.words.startswith("level cut"))
    assert level.value == pytest.approx(cut.level_face, abs=1e-9)


def test_words_of_a_dimension_say_what_it_measures(drawn):
    for drawing in drawn[1]:
        for d in drawing.dimensions:
            assert tape(d.value + 1e-9) in d.words, d


def test_the_outline_of_a_brace_is_its_cut(drawn):
    """The drawn stick is as long, at its long edge, as the cut card says, and cut at the card's angles."""
    job = braced(drawn[0])
    for brace in job.braces:
        cut = cut_of(job, brace)
        corners = brace_outline(job, brace)
        long = max(math.dist(a, b) for a, b in itertools.combinations(corners[:2], 2))
        assert math.floor(long * 16.0 + 1e-6) / 16.0 == pytest.approx(cut.long_point, abs=1e-9)
        foot = math.dist(corners[0], corners[3])
        assert foot == pytest.approx(cut.level_face, abs=1e-9)


def test_as_many_fasteners_are_drawn_at_the_head_as_are_counted(drawn):
    job = braced(drawn[0])
    dots = [item for item in named(drawn, "head").items if isinstance(item, Dot)]
    assert len(dots) == job.braces[0].head_fasteners
    outline = brace_outline(job, job.braces[0])
    assert all(inside(outline, dot.at, 0.5) for dot in dots)


def test_each_drawing_says_what_it_shows(drawn):
    for drawing in drawn[1]:
        assert len(drawing.alt) > 60
        assert drawing.alt.endswith(".")


@pytest.mark.parametrize(("suffix", "start"), [(".svg", b"<?xml"), (".png", b"\x89PNG"), (".pdf", b"%PDF")])
def test_pictures_are_the_same_bytes_each_time(tmp_path, suffix, start):
    some = drawings(checked("slab-wall"))[:3]
    first = write_picture(some, tmp_path / f"a{suffix}").read_bytes()
    assert first.startswith(start)
    assert as_bytes(some, suffix) == first


def test_a_picture_has_ink_where_the_brace_is():
    """Of a rendered section some pixels are the brace's own grey: the picture is no empty frame."""
    image = pytest.importorskip("PIL.Image")
    import io

    drawing, *_ = [d for d in drawings(checked("slab-wall")) if d.name.startswith("section")]
    picture = image.open(io.BytesIO(as_bytes([drawing], ".png"))).convert("L")
    left, bottom, right, top = drawing.paper.box
    brace = braced("slab-wall").braces[0]
    x = (brace.set_back * 0.6 - left) / (right - left) * picture.width
    y = (top - brace.head * 0.4 + section_offset(brace)) / (top - bottom) * picture.height
    assert picture.getpixel((int(x), int(y))) == pytest.approx(191, abs=3)


def section_offset(brace):
    """A point 1.5 in under the middle line of the brace: off the line and off the tie drawn on it."""
    return 1.5 / math.cos(brace.angle)


def test_a_picture_that_cannot_be_written_is_a_fault(tmp_path):
    with pytest.raises(InputError, match="written"):
        write_picture(drawings(checked("as-found"))[:1], tmp_path / "none" / "x.svg")


@pytest.mark.parametrize("package", ["matplotlib", "ezdxf"])
def test_a_missing_package_is_named_with_its_extra(tmp_path, monkeypatch, package):
    some, sheets = drawings(checked("as-found"))[:1], plotted(checked("as-found"), paper="letter")
    for name in [name for name in sys.modules if name.split(".")[0] == package]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, package, None)
    extra, write = {"matplotlib": ("sheet", write_picture), "ezdxf": ("dxf", write_dxf)}[package]
    with pytest.raises(MissingExtraError, match=rf"bracing\[{extra}\]"):
        write(
            sheets if package == "ezdxf" else some, tmp_path / f"x.{'dxf' if package == 'ezdxf' else 'svg'}"
        )


def test_drawings_are_made_without_the_drawing_library(monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    assert len(drawings(checked("rake-wall"))) >= 7


def test_a_long_wall_of_many_braces_has_no_words_over_words():
    """Twelve braces on neighbouring studs: labels are pushed apart, in order."""
    job = braced("long-wall")
    first = job.braces[0]
    studs = [first.stud_at + 16.0 * k for k in range(4)]
    crowd = tuple(evolve(first, mark=f"B{k + 1}", stud_at=at) for k, at in enumerate(studs))
    result = checked("long-wall")
    crowded = evolve(
        result, job=evolve(job, braces=(*crowd, *(evolve(b, mark=f"C{b.mark}") for b in job.braces[3:])))
    )
    for drawing in drawings(crowded)[:2]:
        assert clashes(drawing) == []


@pytest.mark.parametrize("name", ["<b>", "$x^2$ & %%d", "x" * 80, "\u05d0\u05d1\u05d2 evil", "\u4e2d\u6587"])
def test_names_a_person_types_stay_words(tmp_path, name):
    pytest.importorskip("ezdxf")
    result = checked("slab-wall")
    job = result.job
    marked = evolve(result, job=evolve(job, braces=(evolve(job.braces[0], mark=name), *job.braces[1:])))
    some = drawings(marked)
    assert as_bytes(some[:2], ".svg").startswith(b"<?xml")
    write_dxf(plotted(marked, paper="tabloid"), tmp_path / "x.dxf")
    assert clashes(some[0]) == []


def test_places_along_a_line_keep_order_and_distance():
    wanted = [0.0, 1.0, 1.5, 2.0, 9.0, 30.0, 30.5]
    placed = spread(wanted, 3.0, low=0.0, high=30.0)
    assert list(placed) == sorted(placed)
    assert min(b - a for a, b in itertools.pairwise(placed)) >= 3.0 - 1e-9
    assert placed[0] >= 0.0
    assert placed[-1] <= 30.0 + 1e-9
    assert spread([], 1.0, low=0.0, high=1.0) == ()


def test_a_pattern_stays_inside_or_says_nothing():
    box = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
    spots = pattern(8, (3.0, 2.0), fits=lambda p: inside(box, p, 0.5), along=(1.0, 0.0))
    assert len(set(spots)) == 8
    assert pattern(500, (3.0, 2.0), fits=lambda p: inside(box, p, 0.5), along=(1.0, 0.0)) == ()


def test_a_name_is_cut_to_one_line():
    assert short("a\nb  c") == "a b c"
    assert len(short("y" * 500)) == 28


def test_a_foot_from_above_shows_every_fastener_of_it(drawn):
    """A dot for each into the floor, in its cleats; a shank for each to the brace, from a face into what it holds."""
    job = braced(drawn[0])
    brace, cleat = job.braces[0], job.kit.cleat
    above = named(drawn, "foot-above-B1")
    assert sum(isinstance(item, Dot) for item in above.items) == brace.floor_fasteners
    shanks = [
        item.points
        for item in above.items
        if getattr(item, "layer", "") == "FASTENERS" and not isinstance(item, Dot)
    ]
    assert len(shanks) == brace.cleat_fasteners
    long = fastener(cleat.brace_fastener, job.fasteners).length
    half = section(brace.size).thickness / 2.0
    faces = {round(abs(head[1]), 6) for head, _ in shanks}
    for head, point in shanks:
        assert math.dist(head, point) == pytest.approx(long, abs=1e-9)
        assert abs(point[1]) < abs(head[1]) or point[1] * head[1] < 0.0  # inward from its head
    if cleat.sides == 2 and cleat.lie == "edge":
        assert faces == {round(half + section(cleat.size).thickness, 6)}  # no head is under the brace
        assert len({head[1] > 0.0 for head, _ in shanks}) == 2  # from both outer faces
    else:
        assert faces == {round(half, 6)}
