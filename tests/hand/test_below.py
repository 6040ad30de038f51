"""The storey below by hand: what a ring of walls hands down to it level, and what its own walls take in racking."""

from __future__ import annotations

import pytest

from bracing.box.answer import stand
from bracing.check import check
from bracing.job.house import as_joined
from bracing.reading.house import read_house
from tests.box_walls import RING, job_folder, ring_corners
from tests.cli.running import run, said

GUST = 30.0
PIECE = {"length": '"10 ft"', "height": '"9 ft"', "sheathing": '"osb 7/16"', "edge_nail": '"8d common"',
         "edge_spacing": '"6 in"', "blocked": "true", "moisture": '"dry"',
         "studs": '{ size = "2x6", spacing = "16 in", species = "douglas fir-larch", grade = "No.2" }'}  # fmt: skip


def piece(under, **changes):
    keys = PIECE | changes
    rows = "".join(f"{key} = {value}\n" for key, value in keys.items() if value)
    return f'\n[[below]]\nunder = "{under}.toml"\n{rows}'


def job(folder, pieces, *, floor='storey_below = "done"', up="10 ft", names=RING):
    job_folder(folder, names, laps="rim", moisture="dry")
    for path in folder.glob("[!j]*.toml"):
        text = path.read_text(encoding="utf-8")
        path.write_text(
            text.replace('height_above_ground = "2 ft"', f'height_above_ground = "{up}"\n{floor}')
        )
    corners = ring_corners(names, closed=len(names) == len(RING))
    (folder / "job.toml").write_text(f'[job]\nname = "Test job"\n{corners}{pieces}')
    return folder


def box_of(folder):
    read = read_house(folder)
    return read, stand(read.house, read.jobs, read.placed)


def test_each_line_takes_its_part_of_the_walls_across_and_all_along(tmp_path):
    """Wind along west: south and north stand across it, 24 ft long and 9 ft high; east and west run with it.

    Each of the two lines takes 0.5 of what stands across, 0.7 with the wind off the middle, and all that runs along.
    The storey's own face is half its 9 ft and 12 in of joists and deck, as long as the house is wide.
    """
    read, box = box_of(job(tmp_path, "".join(map(piece, RING))))
    line = next(one for one in box.below if one.under == "west.toml")
    across = total = 0.0
    for file in ("south.toml", "north.toml"):
        found = check(as_joined(read.house, read.jobs, file), gust=GUST, effects=False)
        total += max(abs(case["total_lb"]) for case in found.to_dict()["loads"]["cases"])
        across = max(across, found.pressure_psf)
    wide = (
        24.0 + 2.0 * 5.5 / 12.0
    )  # of the house, to the middle of the plates of the walls along: less a plate
    face = across * (9.0 / 2.0 + 1.0) * wide
    q = 0.0
    along = 0.0
    for file in ("east.toml", "west.toml"):
        one = read.jobs[file]
        q = float(next(w for w in box.walls if w.file == file).model.cases.pressures.q) * GUST**2
        # 2.0 x 0.85 on its end, 5.5 in deep and 9 ft high; 0.02 and 0.04 on its faces, 16 ft long
        along += 0.85 * 2.0 * q * (5.5 / 12.0) * 9.0 + 0.06 * q * 16.0 * 9.0
        assert one.wall.length == 16.0 * 12.0
    lean = 50.0  # 2% of two walls of some 700 lb, and half as high: under 20 lb; told within it
    assert line.at(GUST) == pytest.approx(1.4 * 0.5 * (total + face) + along, abs=lean)


def test_its_strength_is_that_of_its_pieces(tmp_path):
    """OSB 7/16, 8d at 6 in, blocked, Douglas fir, dry: 2.0 takes half of 670 lb/ft of 10 ft (SDPWS 4.3A, wind)."""
    _, box = box_of(job(tmp_path, "".join(map(piece, RING)) + piece("west")))
    found = {line.under: line.strength for line in box.below}
    assert found["east.toml"] == pytest.approx(670.0 / 2.0 * 10.0, abs=1.0)
    assert found["west.toml"] == pytest.approx(2.0 * found["east.toml"], abs=1e-6)


def test_the_gust_is_where_the_two_meet_and_more_walls_below_never_lower_it(tmp_path):
    _, box = box_of(job(tmp_path / "one", "".join(map(piece, RING))))
    _, more = box_of(job(tmp_path / "two", "".join(map(piece, RING)) + piece("south") + piece("west")))
    for one, other in zip(box.below, more.below, strict=True):
        assert one.at(one.limit) == pytest.approx(one.strength, rel=1e-9)
        assert other.limit >= one.limit
        assert one.limits.with_people <= one.limit
    weak = {line.under: line.limit for line in box.below}
    assert weak["south.toml"] == pytest.approx(
        weak["north.toml"], rel=0.02
    )  # a ring is alike from both sides
    assert weak["east.toml"] == pytest.approx(weak["west.toml"], rel=0.02)


@pytest.mark.parametrize(
    ("pieces", "said_of", "lines"),
    [
        ("", "NOT CHECKED: the racking of the storey below", 0),
        (piece("south"), "NOT CHECKED", 0),
        (piece("south") + piece("north"), "NOT CHECKED", 2),
        ("".join(map(piece, RING)), "", 4),
    ],
)
def test_one_line_keeps_nothing_from_turning_and_what_is_not_checked_is_said(
    tmp_path, pieces, said_of, lines
):
    from bracing.box.below import said_of_below

    read, box = box_of(job(tmp_path, pieces))
    assert len(box.below) == lines
    told = " ".join(each.id for each in said_of_below(read.house, box.walls, box.below))
    assert ("below-not-checked" in told) == bool(said_of)


def test_a_piece_of_which_something_is_missing_counts_for_nothing_and_is_named(tmp_path):
    from bracing.box.below import said_of_below

    pieces = piece("south", edge_nail=None) + "".join(map(piece, RING[1:]))
    read, box = box_of(job(tmp_path, pieces))
    south = next(line for line in box.below if line.under == "south.toml")
    assert (south.strength, south.limit) == (0.0, 0.0)
    (told,) = said_of_below(read.house, box.walls, box.below)
    assert told.id == "below-lacks"
    assert dict(told.values)["lacks"] == ("edge_nail",)


def test_on_the_ground_nothing_is_handed_down(tmp_path):
    _, box = box_of(job(tmp_path, "".join(map(piece, RING)), up="2 ft", floor=""))
    assert box.below == ()


def test_the_job_is_cleared_at_the_gust_of_the_storey_below_where_that_is_the_least(tmp_path, capsys):
    names = ("south", "east", "north")
    weak = "".join(piece(name, length='"5 ft"', blocked=None, moisture=None) for name in ("south", "north"))
    folder = job(tmp_path, weak, names=names)
    _, box = box_of(folder)
    least = min(line.clear_out for line in box.below)
    ran = run(capsys, "box", folder, "--gust", "27", "--json")  # the clear-out gust itself: nobody leaves
    assert (
        ran.json["clear_out_gust_mph"] == least < min(one["clear_out_gust_mph"] for one in ran.json["walls"])
    )
    assert [row["under"] for row in ran.json["below"]] == ["south.toml", "north.toml"]
    assert ran.json["leave"] == []
    assert "Storey below, under south, wind along it" in said(run(capsys, "box", folder, "--gust", "20").out)


def test_a_wall_that_is_not_there_is_one_line(tmp_path, capsys):
    ran = run(capsys, "box", job(tmp_path, piece("sout")), "--json")
    assert ran.status == 2
    (fault,) = ran.json["errors"]
    assert (fault["field"], fault["value"]) == ("below[0].under", "sout.toml")
    assert "near: south.toml" in fault["expected"]
