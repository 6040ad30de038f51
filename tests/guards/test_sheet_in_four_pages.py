"""The sheet in four pages: one card a brace, figures that can be read and say what they are."""

import csv
import html
import math
import re
from functools import cache

import pytest
from attrs import evolve

from bracing.drawing.elevation import elevation
from bracing.drawing.model import Area, Dimension, Words, apart, box_of
from bracing.job.framing import frame_wall
from bracing.job.lumber import section
from bracing.sheet.facts import drawings, gather
from bracing.sheet.writing import Part, write_sheet
from bracing.units import tape
from tests.cli.running import WITHIN, run, said
from tests.sheet_walls import NAMES, braced, checked, text_of

pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")

TAPED = re.compile(r"-?[0-9]+'-[0-9]+(?: [0-9]+/[0-9]+)?\"")
NUMBER = re.compile(rf"{TAPED.pattern}|[0-9.]+°")
LEAST = 8.0  # points


def of_braces(count):
    """The long wall with so many braces over its length, one with its stud doubled, one a T."""
    job = braced("long-wall")
    studs = sorted({s.x0 for s in frame_wall(job.wall).members if s.kind in ("common", "king")})
    at = [studs[k * (len(studs) - 1) // (count - 1)] for k in range(count)]
    made = (
        evolve(job.braces[k % 8], mark=f"B{k + 1}", stud_at=x, stud_doubled=k == 0) for k, x in enumerate(at)
    )
    declared = {path for path in job.declared if not path.startswith("brace[")}
    own = [path.partition(".")[2] for path in job.declared if path.startswith("brace[0].")]
    declared |= {f"brace[{k}].{name}" for k in range(count) for name in own}
    return evolve(job, braces=tuple(made), declared=frozenset(declared))


def plain(text):
    return said(html.unescape(re.sub(r"<[^>]*>", " ", text)))


@cache
def cards_of(path):
    """What the cards of a page say, by mark."""
    text = path.read_text(encoding="utf-8")
    found = [plain(card) for card in re.findall(r'<section class="card">(.*?)</section>', text, re.DOTALL)]
    return {card.split()[0]: card for card in found}


@pytest.mark.parametrize("name", NAMES[:-1])
def test_every_number_of_a_card_is_on_its_drawing_and_the_cut_list(capsys, tmp_path, name):
    path, job = tmp_path / "wall.toml", braced(name)
    path.write_text(text_of(name), encoding="utf-8")
    page, table = tmp_path / "wall.html", tmp_path / "cuts.csv"
    for out in (page, table):
        assert run(capsys, "sheet", path, "--budget", 0, "-o", out).status in WITHIN
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    cards = cards_of(page)
    sections = [one for one in drawings(checked(name)) if one.name.startswith("section")]
    assert list(cards) == [brace.mark for brace in job.braces] == [row["mark"] for row in rows]
    for card, row, drawing in zip(cards.values(), rows, sections, strict=True):
        numbers = set(NUMBER.findall(card.replace(row["stock"], "")))
        assert len(numbers) >= 7, card  # stud, foot, two of the head, two of the foot, the cut, saws
        items = drawing.items
        drawn = " ".join(
            [i.text for i in items if isinstance(i, Words)] + [d.words for d in drawing.dimensions]
        )
        listed = {tape(float(value)) for key, value in row.items() if key.endswith(" in") and value}
        listed |= {f"{float(value):g}°" for key, value in row.items() if key.endswith("saw deg")}
        assert numbers <= set(NUMBER.findall(drawn)), (card, drawn)
        assert numbers <= listed, (card, listed)


@pytest.mark.parametrize("name", NAMES)
def test_dimensions_end_where_the_tape_is_hooked_and_read(name):
    """Worked from the brace itself: half its width along the floor and up the stud, past its middle."""
    job = braced(name)
    sections = [d for d in drawings(checked(name)) if d.name.startswith("section")]
    for brace, drawing in zip(job.braces, sections, strict=True):
        half, rise = section(brace.size).width / 2.0, math.atan2(brace.head, brace.set_back)
        ends = {d.words.partition("'")[0].rpartition(" ")[0]: d.end for d in drawing.dimensions}
        assert ends["foot, long point"] == pytest.approx(
            (brace.set_back + half / math.sin(rise), 0.0), abs=1e-9
        )
        assert ends["head, top edge"] == pytest.approx((0.0, brace.head + half / math.cos(rise)), abs=1e-9)
        assert ends["foot, middle"] == pytest.approx((brace.set_back, 0.0), abs=1e-9)
        assert ends["head, middle"] == pytest.approx((0.0, brace.head), abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_every_dimension_of_a_drawing_carries_its_name(name):
    for drawing in drawings(checked(name)):
        for dimension in drawing.dimensions:
            rest = NUMBER.sub("", dimension.words).replace("mm", "").strip(" ,")
            assert re.search("[a-z]{3}", rest), (drawing.name, dimension.words)


@pytest.mark.parametrize("count", [3, 6, 12, 20])
def test_the_elevation_has_every_brace_marked_once_in_figures_to_be_read(count):
    job = of_braces(count)
    drawing = elevation(job)
    assert drawing.paper.size[0] >= 7.0  # as wide as a page
    words = [item for item in drawing.items if isinstance(item, Words)]
    for brace in job.braces:
        assert sum(re.search(rf"\b{brace.mark}\b", item.text) is not None for item in words) == 1
        assert any(item.text == tape(brace.stud_at) for item in words)
    assert min(item.size for item in drawing.items if isinstance(item, Words | Dimension)) >= LEAST
    assert [item.text for item in words if item.turn and TAPED.search(item.text) and item.size < LEAST] == []
    sticks = [item for item in drawing.items if isinstance(item, Area) and item.layer == "BRACES"]
    for stick in sticks:
        x, y = zip(*stick.points, strict=True)
        box = (min(x), min(y), max(x), max(y))
        assert [item.text for item in words if not apart(box_of(item, drawing.paper), box)] == []


@pytest.mark.slow
@pytest.mark.parametrize("count", [3, 6, 12])
def test_the_crews_part_is_four_pages_at_the_most(tmp_path, count):
    pytest.importorskip("weasyprint")
    pypdf = pytest.importorskip("pypdf")
    facts = gather(of_braces(count), gust=30.0, budget=0.0)
    read = pypdf.PdfReader(write_sheet(facts, tmp_path / "a.pdf"))
    texts = [said(page.extract_text()) for page in read.pages]
    assert len(texts) <= 4
    assert "CLEAR OUT before" in texts[0]
    on = [
        next(k for k, text in enumerate(texts) if f"{k_ + 1} of {count} to go up" in text)
        for k_ in range(count)
    ]
    assert on == [1 + k // 6 for k in range(count)]  # six cards a page
    last = " ".join(texts[on[-1] + 1 :])
    for part in ("Order of work, and cut list", "To bring", "Fasteners, joint by joint", "Needed too"):
        assert part in last


@pytest.mark.slow
def test_the_crews_part_of_a_gable_in_thunderstorms_is_four_pages_too(tmp_path):
    pytest.importorskip("weasyprint")
    pypdf = pytest.importorskip("pypdf")
    for name in NAMES:
        facts = gather(braced(name), gust=30.0, budget=0.0)
        assert len(pypdf.PdfReader(write_sheet(facts, tmp_path / f"{name}.pdf")).pages) <= 4, name


def test_the_engineers_part_is_the_last_behind_one_fold_and_apart(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(text_of("slab-wall"), encoding="utf-8")
    texts = {}
    for part in (None, "sheet", "clipboard", "engineer"):
        out, words = tmp_path / f"{part}.html", ("--part", part) if part else ()
        assert run(capsys, "sheet", path, "--gust", 20, "--budget", 0, "-o", out, *words).status in WITHIN
        texts[part] = out.read_text(encoding="utf-8")
    assert texts[None].count("<details") == 1
    front, _, fold = texts[None].partition("<details")
    for words in ("Trace of the sums", "<h2>Links", "SHA-256", "<h2>Assumed"):
        assert words not in front
        assert words in fold
        assert words in texts["engineer"]
        assert words not in texts["sheet"] + texts["clipboard"]
    assert re.search(r"@media print \{.*?details\.engineer \{ display: none; \}", texts[None], re.DOTALL)
    for words in ("Take-down order", "Planned and found", "Stop work"):
        assert words in texts["clipboard"]
        assert words not in texts["sheet"]


@pytest.mark.parametrize(("part", "name"), [("all", "a.html"), ("x", "a.pdf"), ("engineer", "a.csv")])
def test_a_part_there_is_not_is_bad_input(capsys, tmp_path, part, name):
    path = tmp_path / "wall.toml"
    path.write_text(text_of("slab-wall"), encoding="utf-8")
    ran = run(capsys, "sheet", path, "-o", tmp_path / name, "--part", part)
    assert (ran.status, ran.out) == (2, "")
    assert "--part" in ran.err
    assert not (tmp_path / name).exists()


def test_parts_are_those_of_the_option():
    assert [part.value for part in Part] == ["all", "sheet", "clipboard", "engineer"]
