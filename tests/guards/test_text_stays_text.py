"""What a person wrote stays text in every output: no command of a terminal, no formula, no mark that turns it."""

from __future__ import annotations

import csv
import io
import json
from xml.etree import ElementTree

import pytest

from tests.cli.running import EXAMPLES, run

KITCHEN = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
HIDDEN = {
    "escape": "a\x1b[31mred", "title": "a\x1b]0;gone\x07", "turned": "a\u202eb", "no width": "a\u200bb",
    "none": "a\x00b", "tab": "\tx", "two lines": "a\nb",
}  # fmt: skip
PLAIN_BUT = (
    "=1+1",
    "+cmd|x",
    "-2+3",
    "@sum",
    "</script><script>alert(1)</script>",
    "../../etc/x",
    "<b>&amp;",
)
FACT = '\n[built]\nwhen = "now"\nby = "lead"\n[[built.fact]]\nfield = {}\nthere = "a"\nplanned = "b"\n'


def named(path, name):
    path.write_text(KITCHEN.replace('"Kitchen wall"', json.dumps(name), 1), encoding="utf-8")
    return path


@pytest.mark.parametrize("name", HIDDEN)
def test_letters_that_cannot_be_seen_are_refused_and_shown(capsys, tmp_path, name):
    ran = run(capsys, "check", named(tmp_path / "w.toml", HIDDEN[name]))
    assert (ran.status, ran.out) == (2, "")
    assert "wall.name: got " in ran.err
    assert all(letter.isprintable() or letter == "\n" for letter in ran.err)


@pytest.mark.parametrize("name", [*HIDDEN.values(), "x" * 1_000_000])
def test_a_cell_of_a_list_is_text_in_its_results(capsys, tmp_path, name):
    source, target = tmp_path / "l.csv", tmp_path / "r.csv"
    out = io.StringIO()
    csv.writer(out).writerows([("name", "length", "height"), (name, "20 ft", "8 ft")])
    source.write_text(out.getvalue(), encoding="utf-8", newline="")
    ran = run(capsys, "walls", source, "--gust", "30", "--workers", "1", "-o", target)
    assert ran.status in (1, 2)
    shown = ran.out + ran.err + (target.read_text(encoding="utf-8") if target.exists() else "")
    assert all(letter.isprintable() or letter in "\r\n" for letter in shown)
    assert len(shown) < 10_000


@pytest.mark.parametrize("name", PLAIN_BUT)
def test_a_name_that_reads_like_something_else_is_a_name(capsys, tmp_path, name):
    source, target = tmp_path / "l.csv", tmp_path / "r.csv"
    out = io.StringIO()
    csv.writer(out).writerows([("name", "length", "height"), (name, "20 ft", "8 ft")])
    source.write_text(out.getvalue(), encoding="utf-8", newline="")
    run(capsys, "walls", source, "--gust", "30", "--workers", "1", "-o", target)
    with target.open(encoding="utf-8", newline="") as stream:
        (row,) = csv.DictReader(stream)
    assert row["wall"].lstrip("'") == name
    assert row["wall"][0] not in "=+-@\t\r"
    folder = tmp_path / "walls"
    folder.mkdir()
    wall = named(folder / "w.toml", name)
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    page = run(capsys, "sheet", folder, "--gust", "20", "-o", tmp_path / "pages", "--no-pdf", "--budget", "0")
    assert page.status in (0, 1), page.err
    new = {path for path in tmp_path.rglob("*") if path.is_file()} - before
    assert all(path.parent == tmp_path / "pages" for path in new)
    for path in new:
        text = path.read_text(encoding="utf-8")
        assert "alert(1)</script>" not in text
        assert "<b>&amp;" not in text
    assert wall.is_file()


@pytest.mark.parametrize("field", ["nonsense", "wall.name", "../x", "wall.plate.extra"])
def test_a_walk_that_names_no_field_is_refused_in_one_line(capsys, tmp_path, field):
    path = tmp_path / "w.toml"
    path.write_text(KITCHEN + FACT.format(json.dumps(field)), encoding="utf-8")
    ran = run(capsys, "check", path)
    assert (ran.status, ran.out) == (2, "")
    assert "built.fact[0].field: got " in ran.err


ODD = "a</script><script>alert(1)</script> <b>&amp; =1+1 ../../etc/x"
DRAWN = ".html", ".svg", ".dxf", ".csv", ".pdf"


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The page of a wall, its drawings and its table, of a wall, a brace and a place with odd names; one folder."""
    folder = tmp_path_factory.mktemp("odd")
    path = named(folder / "w.toml", ODD)
    text = path.read_text(encoding="utf-8")
    assert text.count('mark = "B1"') == 1
    keep_out = (
        f'\n[[floor.keep_out]]\nname = {json.dumps(ODD)}\nfrom = ["1 ft", "14 ft"]\nto = ["2 ft", "15 ft"]\n'
    )
    path.write_text(text.replace('mark = "B1"', 'mark = "<i>&B"') + keep_out, encoding="utf-8")
    return path


@pytest.mark.parametrize("suffix", DRAWN)
def test_what_a_wall_is_called_is_text_on_its_pages_and_drawings(capsys, pages, tmp_path, suffix):
    if suffix == ".dxf":
        pytest.importorskip("ezdxf")
    if suffix == ".pdf":
        pypdf = pytest.importorskip("pypdf")
    there = {path for path in pages.parent.rglob("*") if path.is_file()}
    ran = run(capsys, "sheet", pages, "--gust", "20", "-o", tmp_path / f"out{suffix}", "--budget", "0")
    assert ran.status in (0, 1, 4), ran.err
    assert {
        path for path in pages.parent.rglob("*") if path.is_file()
    } == there  # nothing beside the wall's file
    made = sorted(path for path in tmp_path.rglob("*") if path.is_file())
    assert made
    assert all(tmp_path in path.parents and path.name.startswith("out") for path in made)
    for path in made:
        if suffix == ".pdf":
            drawn = " ".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
            assert "alert(1)" in drawn.replace("\n", "")
            continue
        text = path.read_text(encoding="utf-8")
        if suffix in (".html", ".svg"):
            assert "<script>alert" not in text
            assert "<b>&amp; " not in text
            assert "<i>" not in text
        if suffix == ".svg":
            names = {one.tag.rpartition("}")[2] for one in ElementTree.fromstring(text).iter()}
            assert names.isdisjoint({"script", "b", "i", "foreignObject"})
        if suffix == ".csv":
            assert all(
                cell[:1] not in "=+@\t" or not cell for row in csv.reader(io.StringIO(text)) for cell in row
            )
        if suffix == ".dxf":
            assert all(letter.isprintable() or letter in "\r\n\t" for letter in text)
