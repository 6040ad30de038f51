"""The page of a job: the numbers and ticks of `bracing box`, its walls drawn where they stand."""

from __future__ import annotations

import html
import re
import shutil

import pytest

pytest.importorskip("jinja2")
pytest.importorskip("matplotlib")

from bracing.drawing.house import house_plan
from bracing.drawing.model import Area, Dot, DrawnLine, Words
from bracing.reading.house import read_house
from tests.box_walls import deck_text, job_folder, ring_corners
from tests.cli.running import EXAMPLES, run

JOB = EXAMPLES / "five-walls"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return tmp_path_factory.mktemp("page") / "job.html"


def words_of(text):
    body = text[text.index("<main>") :]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_the_page_has_the_numbers_of_the_command(capsys, made):
    ran = run(capsys, "box", JOB, "--gust", 32, "-o", made, "--json")
    assert ran.status == 0
    told, answer = words_of(made.read_text(encoding="utf-8")), ran.json
    first = f"CLEAR OUT before a forecast gust of {answer['clear_out_gust_mph']} mph"
    assert told.index(first) < told.index("WITHIN the limit of every wall at 32 mph")
    for wall in answer["walls"]:
        name, file = wall["wall"], wall["file"].removesuffix(".toml")
        row = (
            f"{name} ( {file} ) {wall['state']} {wall['clear_out_gust_mph']} mph {wall['limit_gust_mph']} mph"
        )
        assert row in told
    steps = [f"{one['file'].removesuffix('.toml')}:{one['mark']}" for one in answer["leave"]]
    assert [told.index(f"☐ {k}. {mark}") for k, mark in enumerate(steps, 1)] == sorted(
        told.index(f"☐ {k}. {mark}") for k, mark in enumerate(steps, 1)
    )
    assert len(steps) >= 3
    for one in answer["stay"]:
        assert f"{one['file'].removesuffix('.toml')}:{one['mark']} : " in told


def test_each_corner_shows_its_four_ticks(capsys, tmp_path):
    page = tmp_path / "job.html"
    run(capsys, "box", JOB, "--gust", 32, "-o", page)
    told = words_of(page.read_text(encoding="utf-8"))
    assert (
        "inner/yard : ✓ nailed, ✓ plates lapped, ☐ edges nailed, ✓ plate final. Counts for NOTHING." in told
    )
    assert "south/east : ✓ nailed, ✓ plates lapped, ✓ edges nailed, ✓ plate final. Counts." in told


def test_without_a_gust_none_leaves_on_the_page(capsys, tmp_path):
    page = tmp_path / "job.html"
    run(capsys, "box", JOB, "-o", page)
    told = words_of(page.read_text(encoding="utf-8"))
    assert "None leaves: no forecast: none leaves" in told
    assert "May leave" not in told


def test_what_comes_next_asks_for_no_page_and_one_brace_has_none(capsys, tmp_path, monkeypatch):
    page = tmp_path / "job.html"
    words = ("box", JOB, "--gust", 32, "-o", page)
    monkeypatch.setattr("sys.argv", ["bracing", *map(str, words)])
    shown = run(capsys, *words).out
    after = " ".join(shown[shown.index("Next, on the day:") :].replace("\\\n", " ").split())
    assert "-o" not in after.split()
    assert re.search(r"--take-out \S+:B\d+$", after)
    refused = run(capsys, "box", JOB, "--gust", 32, "-o", tmp_path / "b.html", "--take-out", "south:B2")
    assert (refused.status, (tmp_path / "b.html").exists()) == (2, False)
    assert "expected it without --take-out" in refused.err
    assert run(capsys, "box", JOB, "--gust", 32, "-o", page).status == 2  # it is there already
    assert run(capsys, "box", JOB, "--gust", 32, "-o", tmp_path / "job.doc").status == 2


def drawn(folder):
    read = read_house(str(folder))
    return read, house_plan(
        read.house, read.jobs, read.placed, counting={corner.name for corner in read.house.corners}
    )


def walls_of(drawing):
    return [item.points for item in drawing.items if isinstance(item, Area) and item.layer == "WALL"]


def test_walls_are_drawn_as_long_as_they_are_and_meet_at_their_corners():
    read, drawing = drawn(JOB)
    shapes = walls_of(drawing)
    assert len(shapes) == len(read.jobs) == 5
    long = [abs(shape[1][0] - shape[0][0]) + abs(shape[1][1] - shape[0][1]) for shape in shapes]
    lengths = [job.wall.length for job in read.jobs.values()]
    assert sorted(long) == pytest.approx(sorted(lengths), abs=1e-9)
    corners = [item for item in drawing.items if isinstance(item, Dot) and item.layer == "ROWS"]
    assert len(corners) == 4
    for corner in corners:  # two walls are no farther from it than a plate and a lap
        near = [shape for shape in shapes if _off(shape, corner.at) <= 7.0]
        assert len(near) == 2


def _off(shape, at):
    """How far a place is from the box around a shape."""
    xs, ys = zip(*shape, strict=True)
    across = max(min(xs) - at[0], 0.0, at[0] - max(xs))
    return max(across, min(ys) - at[1], at[1] - max(ys))


def test_walls_no_corner_joins_stand_apart(tmp_path):
    shutil.copytree(JOB, tmp_path / "job")
    (tmp_path / "job" / "job.toml").write_text('[job]\nname = "Apart"\n', encoding="utf-8")
    _, drawing = drawn(tmp_path / "job")
    boxes = [(min(y for _, y in shape), max(y for _, y in shape)) for shape in walls_of(drawing)]
    assert len(boxes) == 5
    for (_, high), (low, _) in zip(boxes[1:], boxes, strict=False):
        assert high < low  # each beneath the one before


def test_every_brace_has_its_mark(tmp_path):
    read, drawing = drawn(JOB)
    marks = [item.text for item in drawing.items if getattr(item, "text", "").startswith("B")]
    assert sorted(marks) == sorted(brace.mark for job in read.jobs.values() for brace in job.braces)


@pytest.mark.parametrize("counts", [True, False])
def test_a_deck_is_drawn_from_corner_to_corner_with_whether_it_counts(tmp_path, counts):
    read = read_house(str(job_folder(tmp_path / "job", corners=ring_corners() + deck_text(), laps="rim")))
    counting = {corner.name for corner in read.house.corners} | ({"deck 1"} if counts else set())
    drawing = house_plan(read.house, read.jobs, read.placed, counting=counting)
    across = [item for item in drawing.items if isinstance(item, DrawnLine) and item.layer == "JOISTS"]
    assert [item.dash for item in across] == ["solid" if counts else "dashed"] * 2
    at = [item.at for item in drawing.items if isinstance(item, Dot) and item.layer == "ROWS"]
    for line in across:  # each end by one corner of the four, none by the same
        for end in line.points:
            near = [spot for spot in at if abs(spot[0] - end[0]) + abs(spot[1] - end[1]) <= 14.0]
            assert len(near) == 1
    assert len({end for line in across for end in line.points}) == 4
    said = "deck 1: counts" if counts else "deck 1: nothing"
    assert [
        item.text for item in drawing.items if isinstance(item, Words) and item.text.startswith("deck")
    ] == [said]
    assert f"Decks that count: {'deck 1' if counts else 'none'}." in drawing.alt


def test_a_job_without_a_deck_draws_none():
    _, drawing = drawn(JOB)
    assert "Deck" not in drawing.alt
    assert not [item for item in drawing.items if isinstance(item, DrawnLine)]
