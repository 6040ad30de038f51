"""What is printed is of one system of units: every command, the pages for the crew, their drawings and tables.

A line of a metric page has no foot, inch, pound or mile an hour, one of a page in US units no metre, newton or
kilogram. Names stay as they are: lumber ("2x6"), fasteners ("0.22x3"), and those people gave. The sums of a trace stay
in the units their constants are printed in, and say so.
"""

from __future__ import annotations

import csv
import html
import io
import re

import pytest

from tests.cli.running import EXAMPLES, run
from tests.guards.test_metric import US, without_commands

METRIC = re.compile(r"[0-9] ?(?:mm|cm|m|km|N|kN|kg|Pa|kPa|MPa|m/s|N m|kN/m|kg/m3)(?![\w/])")
WALLS = ("short-wall-braced", "as-found")
PAGES = ("short-wall", "as-found")  # one laid out for its page, one walked
GUST = ("--gust", "40", "--budget", "1")
SAID = {
    "check": ("check", "--gust", "40", "--links", "--assumed", "--one-missing"),
    "layout": ("layout", *GUST, "--why", "--links"),
    "storm": ("storm", "--gust", "60", "--budget", "1", "--now", "2026-03-06 12:00", "--zone", "UTC"),
    "a storm in few words": (
        "storm", "--gust", "60", "--budget", "1", "--now", "2026-03-06 12:00", "--zone", "UTC", "--short",
    ),
    "a sustained storm": ("storm", "--sustained", "30", "--budget", "1", "--now", "2026-03-06 12:00", "--zone", "UTC"),
    "stages": ("stages", "--gust", "25", "--keep", "20", "--budget", "1"),
    "fasteners": ("fasteners", "--gust", "40"),
    "weight": ("weight",),
    "lift": ("lift",),
}  # fmt: skip
SYSTEMS = {"metric": (("--metric",), US), "US": ((), METRIC)}
OTHER = {"metric": METRIC, "US": US}  # what is looked for where it must be there


def other_units(text, units):
    """The lines that have a unit of another system."""
    return [line for line in text.splitlines() if units.search(line)]


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("command", SAID)
@pytest.mark.parametrize("wall", WALLS)
def test_no_line_of_a_command_mixes_units(capsys, wall, command, system):
    words, units = SYSTEMS[system]
    name, *options = SAID[command]
    ran = run(capsys, name, EXAMPLES / f"{wall}.toml", *options, *words)
    told = ran.out or ran.err  # where there is no layout, why stands on stderr
    assert (ran.status in (0, 1), other_units(without_commands(told), units)) == (True, [])
    assert told


def test_the_search_sees_units_of_the_other_system(capsys):
    for words, units in ((("--metric",), METRIC), ((), US)):
        ran = run(capsys, "check", EXAMPLES / "short-wall-braced.toml", "--gust", "40", *words)
        assert len(other_units(ran.out, units)) > 4


# -- the page for the crew ----------------------------------------------------------------------------------


def page_lines(text):
    """What a page says, a row of a table or a paragraph a line, and what stands instead of its pictures."""
    text = re.sub(r"<(style|script)>.*?</\1>|src=\"data[^\"]*\"", "", text, flags=re.DOTALL)
    told = re.findall(r'(?:alt|data-unit|data-label|aria-label)="([^"]*)"', text)
    rows = re.split(r"<(?:tr|li|p|h[1-6]|caption|label|dt|figcaption)\b", text)
    return [" ".join(html.unescape(re.sub(r"<[^>]*>?", " ", row)).split()) for row in (*rows, *told)]


def sheet_of(capsys, tmp_path, wall, name, *words):
    out = tmp_path / name
    ran = run(capsys, "sheet", EXAMPLES / f"{wall}.toml", *GUST, *words, "-o", out)
    assert ran.status in (0, 1), ran.err
    return ran, out.read_text(encoding="utf-8")


def sums_left_out(text):
    """A page without the sums of its trace, and what is solved and summed by hand."""
    sums = r'<table class="stack sums">.*?</table>|<pre class="by-hand">.*?</pre>'
    return re.sub(sums, "", text, flags=re.DOTALL)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("wall", PAGES)
def test_no_line_of_the_page_for_the_crew_mixes_units(capsys, tmp_path, wall, system):
    words, units = SYSTEMS[system]
    ran, text = sheet_of(capsys, tmp_path, wall, "page.html", *words)
    lines = page_lines(sums_left_out(text))
    found = [line for line in lines if units.search(line) and "The sums are in the units" not in line]
    assert (other_units(ran.out, units), found) == ([], [])
    assert len(lines) > 100


def test_the_page_in_metric_is_the_same_page(capsys, tmp_path):
    """Clear-out and limit gust, by hand: 39 and 45 mph are 17.43 and 20.11 m/s, rounded down."""
    _, us = sheet_of(capsys, tmp_path, WALLS[0], "us.html")
    _, metric = sheet_of(capsys, tmp_path, WALLS[0], "metric.html", "--metric")
    for before in ("forecast gust of ", "Limit gust: <strong>"):
        mph = int(re.search(rf"{before}([0-9]+) mph", us)[1])
        shown = float(re.search(rf"{before}([0-9.]+) m/s", metric)[1])
        assert mph * 0.44704 - 0.1 < shown <= mph * 0.44704
    assert [len(re.findall(f"<{tag}\\b", us)) for tag in ("table", "h2", "img")] == [
        len(re.findall(f"<{tag}\\b", metric)) for tag in ("table", "h2", "img")
    ]


def test_the_slider_of_a_metric_page_goes_in_metres_a_second(capsys, tmp_path):
    _, text = sheet_of(capsys, tmp_path, WALLS[0], "page.html", "--metric")
    named = ("unit", "limit", "missing", "clear")
    tag = "".join(f' data-{name}="([^"]*)"' for name in named)
    box = re.search(f'id="slider" hidden data-words="[^"]*"{tag}', text)
    assert box[1] == "m/s"
    assert re.search(rf"forecast gust of {re.escape(box[4])} m/s", text)
    assert re.search(rf"brace missing: <strong>{re.escape(box[3])} m/s", text)
    assert re.search(rf"Limit gust: <strong>{re.escape(box[2])} m/s</strong>", text)
    limits = [float(each) for each in re.findall(r'data-at="1" data-limit="([0-9.]+)"', text)]
    assert limits
    assert min(limits) >= float(box[2])


@pytest.mark.parametrize("wall", PAGES)
def test_a_table_in_metric_names_its_units(capsys, tmp_path, wall):
    _, us = sheet_of(capsys, tmp_path, wall, "us.csv")
    _, metric = sheet_of(capsys, tmp_path, wall, "metric.csv", "--metric")
    assert re.search(r"\b(?:in|lb|mph)\b", metric.splitlines()[0]) is None
    for one, other in zip(*(list(csv.DictReader(io.StringIO(text))) for text in (us, metric)), strict=True):
        assert float(other["head mm"]) == pytest.approx(float(one["head in"]) * 25.4, abs=0.06)
        if one["push lb"]:
            assert abs(float(other["push kN"]) - float(one["push lb"]) * 4.4482216e-3) < 0.015
        assert other["stud from LEFT"].endswith(" mm")


def test_the_index_of_a_folder_in_metric(capsys, tmp_path):
    folder = tmp_path / "job"
    folder.mkdir()
    for wall in WALLS:
        text = (EXAMPLES / f"{wall}.toml").read_text(encoding="utf-8")
        (folder / f"{wall}.toml").write_text(text, encoding="utf-8")
    out = tmp_path / "pages"
    ran = run(capsys, "sheet", folder, *GUST, "--metric", "--no-pdf", "-o", out)
    assert ran.status in (0, 1), ran.err
    lines = page_lines((out / "index.html").read_text(encoding="utf-8"))
    assert [line for line in lines if US.search(line)] == []
    assert any("m/s" in line for line in lines)


# -- drawings -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("wall", PAGES)
def test_no_words_in_a_drawing_mix_units(capsys, tmp_path, wall, system):
    ezdxf = pytest.importorskip("ezdxf")
    words, units = SYSTEMS[system]
    out = tmp_path / "wall.dxf"
    run(capsys, "sheet", EXAMPLES / f"{wall}.toml", *GUST, *words, "-o", out)
    document = ezdxf.readfile(out)
    space = document.modelspace()
    texts = [text.dxf.text for text in space.query("TEXT")]
    texts += [line.dxf.text for line in space.query("DIMENSION")]
    assert len(texts) > 20
    assert [text for text in texts if units.search(text)] == []
    assert document.header["$INSUNITS"] == (4 if system == "metric" else 1)


def test_a_metric_drawing_measures_in_millimetres(capsys, tmp_path):
    """What a dimension says, down to the millimetre, is what it measures."""
    ezdxf = pytest.importorskip("ezdxf")
    out = tmp_path / "wall.dxf"
    run(capsys, "sheet", EXAMPLES / f"{WALLS[0]}.toml", *GUST, "--metric", "-o", out)
    lines = ezdxf.readfile(out).modelspace().query("DIMENSION")
    shown = [(float(re.search(r"([0-9]+) mm", line.dxf.text)[1]), line.get_measurement()) for line in lines]
    assert len(shown) > 10
    assert all(said - 1e-6 <= measured < said + 1.0 for said, measured in shown)


@pytest.mark.parametrize("system", SYSTEMS)
def test_no_words_in_a_picture_mix_units(capsys, tmp_path, system):
    """A picture is drawn in outlines; each piece of text stands beside its own as a comment."""
    words, units = SYSTEMS[system]
    lifted = run(
        capsys, "lift", EXAMPLES / "short-wall-braced.toml", "--gust", "10", "--pictures", tmp_path, *words
    )
    out = tmp_path / "stock.svg"
    stock = run(capsys, "stock", "--height", "9 ft", "--gust", "45", "-o", out, *words)
    assert (lifted.status in (0, 1), stock.status) == (True, 0), (lifted.err, stock.err)
    for picture in tmp_path.glob("*.svg"):
        texts = [
            html.unescape(each) for each in re.findall("<!-- (.*?) -->", picture.read_text(encoding="utf-8"))
        ]
        assert len(texts) > 10
        assert [text for text in texts if units.search(text)] == [], picture.name
        assert any(OTHER[system].search(text) for text in texts), picture.name
