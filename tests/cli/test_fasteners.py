"""`bracing fasteners`: joint by joint, green and dry, how many and why."""

import math
import re

import pytest

from bracing.chain.cuts import cleat_fits
from bracing.chain.room import room
from bracing.job.brace import JointId
from bracing.job.fasteners import fastener
from bracing.reading.jobs import job_from_text
from tests.cli.running import EXAMPLES, run
from tests.wall_files import wall_file, wall_text

JOINTS = [
    "head",
    "brace to cleat",
    "cleat to floor",
    "plate to floor",
    "top plate to stud",
    "sheathing to plate",
]


@pytest.fixture
def answer(capsys, tmp_path):
    return run(capsys, "fasteners", wall_file(tmp_path), "--gust", 40, "--json").json


def choices(answer, joint, moisture="green"):
    found = next(each for each in answer["joints"] if each["joint"] == joint)
    return {c["fastener"]: c for c in found["choices"] if c["moisture"] == moisture}


def test_every_joint_is_compared_green_and_dry(answer):
    assert [each["joint"] for each in answer["joints"]] == JOINTS
    for joint in JOINTS:
        green, dry = choices(answer, joint), choices(answer, joint, "dry")
        assert set(green) == set(dry)
        kinds = {c["kind"] for c in green.values()}
        assert {"nail", "structural screw", "wood screw", "lag"} <= kinds
        for name, choice in green.items():
            assert choice["lateral_lb"] <= dry[name]["lateral_lb"]
            assert choice["axial_lb"] <= dry[name]["axial_lb"]


def test_counts_round_up_and_the_count_is_the_least(answer):
    for joint in ("top plate to stud", "sheathing to plate"):
        load = next(each for each in answer["joints"] if each["joint"] == joint)["shear_lb"]
        for choice in choices(answer, joint).values():
            assert choice["needed"] == math.ceil(load / choice["lateral_lb"] - 1e-9)
            assert choice["use"] == pytest.approx(load / choice["lateral_lb"] / choice["needed"], abs=1e-9)


def test_the_number_given_is_enough_and_one_fewer_is_not(capsys, tmp_path):
    found = run(capsys, "fasteners", wall_file(tmp_path), "--gust", 40, "--json").json
    needed = choices(found, "cleat to floor")["structural screw 0.22x8"]["needed"]
    limits = []
    for count in (needed, needed - 1):
        (tmp_path / str(count)).mkdir()
        path = wall_file(tmp_path / str(count), counts=(8, 8, count))
        links = run(capsys, "check", path, "--gust", 40, "--json").json["links"]
        limits.append(min(link["limit_gust_mph"] for link in links if link["link"] == "cleat to floor"))
    # One screw more or fewer changes the slip of a foot, and with it the force a little: 1 mph.
    assert limits[0] >= 39.0
    assert limits[1] <= 41.0
    assert limits[1] < limits[0]


def test_the_joints_in_withdrawal_are_named(capsys, tmp_path, answer):
    pulled = {each["joint"]: each["withdrawal_wind"] for each in answer["joints"] if each["withdrawal_wind"]}
    assert pulled == {"cleat to floor": "pull", "plate to floor": "push"}
    said = " ".join(run(capsys, "fasteners", wall_file(tmp_path), "--gust", 40).out.split())
    assert (
        "DRAWN OUT along its length (withdrawal): cleat to floor (wind from the brace side), plate to floor (wind "
        "from outside). Change" in said
    )
    assert (
        "IN SHEAR: head, brace to cleat, top plate to stud, sheathing to plate. There, count fasteners."
        in said
    )


def test_which_mode_governs_is_given(answer):
    nail = choices(answer, "cleat to floor")["structural screw 0.22x8"]
    assert (nail["governs"], nail["axial_mode"]) == ("IV", "pull-through")
    assert choices(answer, "head")["16d common"]["governs"] in {"Im", "Is", "II", "IIIm", "IIIs", "IV"}


def test_a_fastener_too_short_is_not_counted_and_the_reason_is_said(capsys, tmp_path, answer):
    lag = choices(answer, "head")["lag 3/8x3"]  # 3 in less 1.5 in less its tip is under 4 D
    assert (lag["needed"], lag["lateral_mode"]) == (None, "too short")
    out = " ".join(run(capsys, "fasteners", wall_file(tmp_path), "--gust", 40, "--all").out.split())
    assert "None will do of: lag 3/8x3 (reaches 1.28 in past the side member, needs 4 D = 1.50 in" in out


def test_more_wind_never_takes_fewer(capsys, tmp_path):
    path = wall_file(tmp_path)
    low, high = (run(capsys, "fasteners", path, "--gust", gust, "--json").json for gust in (25, 45))
    for joint in JOINTS:
        for name, choice in choices(low, joint).items():
            more = choices(high, joint)[name]["needed"]
            assert more is None or (choice["needed"] is not None and choice["needed"] <= more)


def test_a_flat_cleat_leaves_the_level_cut_foot_little_room():
    job = job_from_text(wall_text().replace('lie = "edge"', 'lie = "flat"'), "test.toml")
    edge = job_from_text(wall_text(), "test.toml")
    screw = fastener("structural screw 0.22x3")
    # At 45 degrees the end distance of 15 D = 3.3 in is 2.33 in up: over a flat 2x4, under one on edge.
    assert cleat_fits(job, job.braces[0], one=screw, prebored=False) == 0
    assert cleat_fits(edge, edge.braces[0], one=screw, prebored=False) > 0


def test_a_wider_stud_has_room_for_more():
    job = job_from_text(wall_text(), "test.toml")
    narrow = job_from_text(wall_text().replace('size = "2x6", spacing', 'size = "2x4", spacing'), "test.toml")
    nail = fastener("16d common")
    wide, small = (
        room(each, each.braces[0], JointId.HEAD, one=nail, prebored=False) for each in (job, narrow)
    )
    assert small < wide
    assert wide <= room(job, job.braces[0], JointId.HEAD, one=nail, prebored=True)


def test_braces_that_count_for_nothing_are_said_and_forces_still_shared_out(capsys):
    ran = run(capsys, "fasteners", EXAMPLES / "as-found.toml", "--gust", 30, "--all")
    assert ran.status == 0
    assert "As they are, B1, B2, B3, B4 count for nothing" in ran.out
    assert re.search(r"16d common +133 +\d+ +191 +\d+ +bends twice", ran.out)


def test_without_braces_there_is_no_force_to_give(capsys):
    ran = run(capsys, "fasteners", "--length", "24ft", "--height", "9ft", "--gust", 40)
    assert ran.status == 1
    assert "no force can be given to a joint" in " ".join(ran.out.split())
    assert "bracing layout" in ran.out


def test_slab_anchors_are_left_to_their_report(capsys, tmp_path):
    text = wall_text().replace("[floor]\n", '[floor]\n        kind = "slab"\n').replace("joists =", "#")
    text = text.replace(
        "[kit]\n",
        '[floor.slab]\n tension_lb = "900 lb"\n shear_lb = "900 lb"\n report = "pull test"\n[kit]\n',
        1,
    )
    path = tmp_path / "slab.toml"
    path.write_text(text.replace('foot_on = "joist"', ""))
    ran = run(capsys, "fasteners", path, "--gust", 30)
    assert ran.status == 0
    assert "CLEAT TO FLOOR: anchors in a slab: only the allowables typed in" in " ".join(ran.out.split())


def test_a_wall_of_return_walls_alone_is_held_by_nothing_and_has_no_joints(capsys, tmp_path):
    """Found by fuzzing: without a brace there was nothing to take the greatest of."""
    corner = "plated = true\nnailed = true\nsheathed = true\nfastened_down = true\ncount = 40\n"
    ends = "".join(f"[wall.{side}_return]\n{corner}" for side in ("left", "right"))
    path = tmp_path / "wall.toml"
    path.write_text(
        f'[wall]\nlength = "8 ft"\nheight = "8 ft"\nleft_end = "return"\nright_end = "return"\n{ends}'
    )
    ran = run(capsys, "fasteners", path, "--gust", "20", "--json")
    assert (ran.status, ran.json["joints"]) == (1, [])
    assert "It has no braces" in run(capsys, "fasteners", path, "--gust", "20").out
