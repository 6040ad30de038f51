"""`bracing layout` and `bracing stock`: the screen, the file, the exit status, interruption, and what is refused."""

from __future__ import annotations

import math
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import tomllib
from itertools import pairwise

import pytest
from attrs import evolve

from bracing.check import check
from bracing.commands.cli import main
from bracing.commands.output import QUIET
from bracing.errors import InputError, NoLayoutError
from bracing.job.framing import frame_wall
from bracing.layout.candidates import Scheme
from bracing.layout.on_hand import read_on_hand
from bracing.layout.plan import Alternative, LayoutAsked, lay_out, undominated
from bracing.reading.jobs import read_job
from bracing.reading.options import job_from_options
from bracing.text.quantities import in_words
from tests import LONGEST_S
from tests.cli.running import EXAMPLES, ROOT, WITHIN, listen, run, said
from tests.wall_files import wall_file

SHED = ("--length", "20ft", "--height", "10ft", "--gust", "40", "--budget", "1")
GUSTS = {"south-gable": 45, "slab-wall": 45, "long-wall": 40, "rake-wall": 40}


@pytest.fixture(scope="module")
def shed():
    return lay_out(job_from_options(length="20ft", height="10ft"), gust=40.0, budget=1.0)


def columns(monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))


@pytest.mark.parametrize("width", [40, 80])
def test_the_screen_in_its_order_and_its_width(capsys, monkeypatch, width):
    columns(monkeypatch, width)
    ran = run(capsys, "layout", *SHED)
    assert ran.status == 0
    assert max(map(len, ran.out.splitlines())) <= width
    words = " ".join(ran.out.split())
    assert len(ran.out.splitlines()) <= 40 * 80 // width
    # When to be out stands first; what is cut last, where the eye is in a terminal.
    order = ["WITHIN its limit", "CLEAR OUT", "Limit gust", "ASSUMED", "NEEDED TOO", "Studs taped", "Put them up",
             "Hook stays on until", "not a stamped design", "Next"]  # fmt: skip
    places = [words.index(part) for part in order]
    assert places == sorted(places)
    first = next(word for word in words[words.index("WITHIN") :].split() if word.isdigit())
    assert first == "40"
    assert "mph" in words[words.index("CLEAR OUT") :][:60]


@pytest.mark.slow
def test_an_example_fits_one_screen_but_for_what_it_needs(capsys):
    """The slab wall: 4 or 5 braces, 40 lines at 80 columns."""
    out = run(capsys, "layout", EXAMPLES / "slab-wall.toml", "--gust", 45, "--budget", 2).out
    assert len(out.splitlines()) <= 40


def test_options_alone_lay_out_a_wall(capsys, shed):
    answer = run(capsys, "layout", *SHED, "--json").json
    assert answer["schema"] == "bracing.layout.1"
    assert answer["verdict"] == "within"
    braces = answer["braces"]
    assert [brace["mark"] for brace in braces] == [f"B{k}" for k in range(1, len(braces) + 1)]
    assert [brace["order"] for brace in braces] == list(range(1, len(braces) + 1))
    assert len(answer["after_each_mph"]) == len(braces)
    assert answer["limit_gust_mph"] >= 40
    assert any("studs 2x6, every 16 in" in words for words in answer["needed_too"])
    assert answer["limit_gust_mph"] * 0.85 >= answer["clear_out_gust_mph"]
    for brace in braces:
        assert brace["long_point_in"] * 16 == int(brace["long_point_in"] * 16)
        assert brace["stick"]
        head, back = brace["head_ft"] * 12.0, brace["set_back_ft"] * 12.0
        assert brace["foot_angle_deg"] == pytest.approx(math.degrees(math.atan2(head, back)), abs=1e-9)


def test_the_hook_stays_until_every_later_clear_out_is_no_less_than_the_gust_of_the_day(capsys):
    answer = run(capsys, "layout", *SHED, "--day-gust", 20, "--json").json
    until, needs = answer["hook_stays_until"], answer["hook_needs"]
    tied = any("tie row" in words for words in needs)
    at = [brace["mark"] for brace in answer["braces"]].index(until)
    out = [17 * gust // 20 for gust in answer["after_each_mph"]]
    assert answer["clear_out_gust_mph"] >= 20
    assert tied or all(gust >= 20 for gust in out[at:])
    assert at == 0 or out[at - 1] < 20 or (tied and until == answer["braces"][-1]["mark"])


@pytest.mark.parametrize(
    "name",
    [pytest.param(name, marks=() if name == "slab-wall" else pytest.mark.slow) for name in sorted(GUSTS)],
)
def test_what_is_written_is_within_by_check(capsys, tmp_path, name):
    """Comments stay, and `check` reads the file as it would any other."""
    path = tmp_path / f"{name}.toml"
    shutil.copy(EXAMPLES / path.name, path)
    before = path.read_text()
    ran = run(capsys, "layout", path, "--gust", GUSTS[name], "--budget", 1, "--write")
    assert ran.status == 0
    assert "It is in the file" in ran.out
    after = path.read_text()
    comments = [line.strip() for line in before.splitlines() if line.strip().startswith("#")]
    assert all(comment in after for comment in comments)
    result = check(read_job(path), gust=float(GUSTS[name]), effects=False)
    assert result.verdict == "within"
    assert run(capsys, "check", path, "--gust", GUSTS[name]).status in WITHIN
    assert len(result.job.braces) == len(tomllib.loads(after)["brace"])


def test_as_found_has_no_layout_with_its_nails_and_says_which_joint(capsys):
    """Green gun nails: in the cleat's foot one may carry next to nothing in pull, and eight cannot mend that."""
    ran = run(capsys, "layout", EXAMPLES / "as-found.toml", "--gust", 30, "--budget", 0)
    assert ran.status == 1
    assert any(
        foot in said(ran.out) for foot in ("cleat to floor", "panel to joists")
    )  # the better of both is told
    assert "NO PLAN REACHES A GUST OF 30 mph" in said(ran.out)
    assert "no layout" not in ran.err


def test_the_same_wall_with_screws_has_one(capsys, tmp_path):
    text = (EXAMPLES / "as-found.toml").read_text().replace("gun nail 0.131x3-1/4", "structural screw 0.22x3")
    path = tmp_path / "wall.toml"
    path.write_text(text.replace('"gun nail 0.131x3"', '"structural screw 0.22x5"'))
    ran = run(capsys, "layout", path, "--gust", 25, "--budget", 1)
    assert ran.status == 0
    assert "The 4 braces in the file are not counted" in " ".join(ran.out.split())
    assert "in place of the braces in it" in ran.out


def test_outside_the_envelope_it_is_for_an_engineer(capsys):
    ran = run(capsys, "layout", "--length", "200ft", "--height", "10ft", "--gust", 45)
    assert ran.status == 1
    assert "For an ENGINEER" in ran.out
    assert "this tool covers up to 120 ft" in ran.out
    answer = run(capsys, "layout", "--length", "200ft", "--height", "10ft", "--gust", 45, "--json")
    assert (answer.status, answer.json["verdict"]) == (1, "engineer")
    assert answer.json["schema"] == "bracing.layout.1"


def test_none_found_as_json_says_why(capsys):
    ran = run(capsys, "layout", EXAMPLES / "as-found.toml", "--gust", 40, "--budget", 0, "--json")
    assert ran.status == 1
    assert ran.json["braces"] == []
    assert "cleat to floor" in ran.json["why"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--length", "20ft", "--height", "10ft"), "--gust"),
        ((*SHED, "--angle", "70"), "25 to 65 degrees"),
        ((*SHED, "--angle", "steep"), "an angle from the floor"),
        ((*SHED, "--spacing", "8"), "--spacing"),
        ((*SHED, "--day-gust", "calm"), "--day-gust"),
        ((*SHED, "--one-missing", "x"), "--one-missing"),
        ((*SHED, "--write"), "a wall file to write into"),
        ((*SHED, "--on-hand", "12 things"), "a fastener by its name"),
        ((*SHED, "--on-hand", "twelve 2x4x16"), "what is in the truck"),
        ((*SHED, "--on-hand", "3 2x99x16"), "a nominal size"),
    ],
)
def test_what_is_refused(capsys, words, said):
    ran = run(capsys, "layout", *words)
    assert ran.status == 2
    assert said in ran.err
    assert "Traceback" not in ran.err


def test_a_wall_somebody_has_walked_is_not_written_over(capsys, tmp_path):
    path = wall_file(tmp_path)
    path.write_text(path.read_text() + '\n[built]\nwhen = "2026-03-06 15:00"\nby = "lead"\n')
    text = path.read_text()
    ran = run(capsys, "layout", path, "--gust", 30, "--write")
    assert ran.status == 2
    assert "nobody has walked" in ran.err
    assert path.read_text() == text


def test_a_spacing_and_an_angle_are_solved_as_given(capsys):
    answer = run(capsys, "layout", *SHED, "--spacing", "6 ft", "--angle", "50", "--json").json
    places = sorted(brace["x_ft"] for brace in answer["braces"])
    assert max(b - a for a, b in pairwise(places)) <= 6.0 + 1e-6
    assert all(brace["angle_deg"] == pytest.approx(50.0, abs=1e-6) for brace in answer["braces"])


@pytest.mark.slow
def test_with_one_gone_it_stands_at_the_gust_asked(capsys):
    answer = run(capsys, "layout", *SHED, "--one-missing", 30, "--json").json
    assert answer["limit_gust_one_missing_mph"] >= 30
    plain = run(capsys, "layout", *SHED, "--json").json
    assert len(answer["braces"]) >= len(plain["braces"])
    assert plain["limit_gust_one_missing_mph"] < 30


def test_the_next_line_asks_for_the_plan_that_was_read(capsys, tmp_path):
    """Typed as it stands it writes the same braces; without its options it would write others."""
    path = wall_file(tmp_path)
    asked = ("--gust", 25, "--angle", "50 deg", "--one-missing", 20, "--day-gust", 20, "--budget", 0.5)
    read = run(capsys, "layout", path, *asked)
    assert read.status in WITHIN
    line = said(read.out)[said(read.out).index("bracing layout") :].replace("\\ ", "")
    words = shlex.split(line)[1:]
    assert words[-1] == "--write"
    assert {"--angle", "--one-missing", "--day-gust", "--budget"} <= set(words)
    told = run(capsys, "layout", path, *asked, "--json").json
    assert run(capsys, *words).status in WITHIN
    there = [(round(brace.stud_at / 12.0, 3), brace.mark) for brace in read_job(path).braces]
    assert there == [(round(brace["x_ft"], 3), brace["mark"]) for brace in told["braces"]]


def test_no_plan_for_thunderstorms_names_the_gust_they_are_planned_for(capsys):
    """In the open 58 mph are planned for whatever is asked: with less asked the wall is not said to stand less."""
    ran = run(capsys, "layout", EXAMPLES / "as-found.toml", "--gust", 30, "--storms", "--budget", 0)
    assert "NO PLAN REACHES A GUST OF 58 mph WITH THUNDERSTORMS" in said(ran.out)


@pytest.mark.slow
def test_every_refused_place_says_why(capsys):
    ran = run(capsys, "layout", EXAMPLES / "south-gable.toml", "--gust", 25, "--budget", 0, "--why")
    assert "the foot stands in stair opening: studs at" in " ".join(ran.out.split())


@pytest.mark.slow
def test_other_layouts_stand_side_by_side(capsys):
    answer = run(capsys, "layout", EXAMPLES / "slab-wall.toml", "--gust", 45, "--budget", 2, "--json").json
    others = answer["alternatives"]
    assert others[0]["braces"] == len(answer["braces"])
    assert all(other["limit_gust_mph"] >= 45 for other in others)


def test_a_layout_another_beats_in_everything_is_dropped(shed):
    def one(what, *, ties=1, doubled=False, lumber=100.0, fasteners=50):
        return Alternative(what, shed.job, Scheme("2x6", ties, doubled, 1), lumber, fasteners, 45.0)

    rows = [one("a"), one("more lumber", lumber=120.0), one("no ties", lumber=130.0, ties=0), one("same")]
    assert [row.what for row in undominated(rows)] == ["a", "no ties"]


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="signals of a terminal")
def test_an_interrupt_prints_the_best_so_far():
    words = [sys.executable, "-m", "bracing", "layout", "--length", "60ft", "--height", "10ft", "--peak", "20ft",
             "--gust", "45", "--budget", "600", "--json"]  # fmt: skip
    told = {name: value for name, value in os.environ.items() if name != QUIET}
    process = subprocess.Popen(
        words,
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=told,
        preexec_fn=listen,
    )
    while (
        "trying" not in process.stderr.readline()
    ):  # by then a layout has been found, and fewer braces are tried
        assert process.poll() is None
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=LONGEST_S)
    assert process.returncode == 130, err
    assert '"interrupted": true' in out
    assert '"verdict": "within"' in out
    assert '"proved_least": false' in out


# -- what is on hand -------------------------------------------------------------------------------------


def test_what_is_on_hand_is_read_as_crews_say_it():
    read = read_on_hand("12 2x4x16, 3 x 2x6 @ 20 ft, 200 screws, 50 16d common")
    assert [(s.size, s.length, s.count) for s in read.stock] == [("2x4", 192.0, 12), ("2x6", 240.0, 3)]
    assert read.fasteners == (("screw", 200), ("16d common", 50))
    with pytest.raises(InputError):
        read_on_hand("")


@pytest.mark.slow
def test_the_best_gust_takes_no_more_than_is_on_hand(capsys):
    few = run(
        capsys,
        "layout",
        "--length",
        "16ft",
        "--height",
        "9ft",
        "--on-hand",
        "3 2x6x14, 60 screws, 99 nails",
        "--json",
    ).json
    assert sum(item["count"] for item in few["buy"] if item["what"] == "2x6 x 14 ft") <= 3
    joints = sum(
        b[k] for b in few["braces"] for k in ("head_fasteners", "cleat_fasteners", "floor_fasteners")
    )
    assert joints <= 60
    more = run(
        capsys,
        "layout",
        "--length",
        "16ft",
        "--height",
        "9ft",
        "--on-hand",
        "9 2x6x14, 300 screws, 99 nails",
        "--json",
    ).json
    assert more["limit_gust_mph"] >= few["limit_gust_mph"]


@pytest.mark.slow
def test_over_the_gust_asked_with_what_is_on_hand(capsys):
    ran = run(
        capsys,
        "layout",
        "--length",
        "16ft",
        "--height",
        "9ft",
        "--gust",
        80,
        "--on-hand",
        "3 2x6x14, 60 screws, 99 nails",
    )
    assert ran.status == 1
    assert "OVER its limit at the gust of 80 mph asked" in " ".join(ran.out.split())


def test_what_is_on_hand_is_laid_out_for_the_thunderstorm_asked_about(capsys, monkeypatch):
    """The command hands on what was asked: the search itself is in tests/unit/test_on_hand.py."""
    asked = {}

    def seen(job, truck, **options):
        asked.update(options)
        why = "looked no further"
        raise NoLayoutError(why, 1)

    monkeypatch.setattr("bracing.layout.on_hand.best_on_hand", seen)
    for words, storms in (((), False), (("--storms",), True)):
        ran = run(capsys, "layout", *SHED, *words, "--on-hand", "9 2x6x14, 300 screws, 99 nails")
        assert ran.status == 1
        assert asked["thunderstorm"] is storms
        assert asked["budget"] == 0.2  # 1 s shared out over five gusts
    run(capsys, "layout", *SHED, "--on-hand", "9 2x6x14, 300 screws, 99 nails", "--budget", 20)
    assert asked["budget"] == 4.0


# -- stock -----------------------------------------------------------------------------------------------


def test_the_table_and_the_plot(capsys, tmp_path, monkeypatch):
    columns(monkeypatch, 80)
    pytest.importorskip("matplotlib")
    picture = tmp_path / "sticks.svg"
    ran = run(capsys, "stock", "--height", "10ft", "--gust", 45, "-o", picture)
    assert ran.status == 0
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "Too short to stand at 60 degrees or flatter: 2x4 x 8 ft" in ran.out
    assert picture.read_text().lstrip().startswith("<?xml")
    assert run(capsys, "stock", "--height", "10ft", "--gust", 45, "-o", tmp_path / "a.txt").status == 2
    rows = run(capsys, "stock", "--height", "10ft", "--gust", 45, "--json").json["rows"]
    assert {"angle_deg", "set_back_ft", "force_lb", "push_lb", "pull_lb", "lift_lb", "governs"} <= set(
        rows[0]
    )


def test_stock_outside_the_envelope_is_for_an_engineer(capsys):
    ran = run(capsys, "stock", "--height", "40ft", "--gust", 45)
    assert ran.status == 1
    assert "engineer" in ran.err
    assert run(capsys, "stock", "--height", "10ft").status == 2


def test_the_layout_asked_is_kept_as_it_was_given():
    assert LayoutAsked().day_gust == 25.0
    assert main(["layout", "--help"]) == 0


TALL = {"length": "16ft", "height": "14ft", "studs": "2x4@16in", "height_above_ground": "3ft"}


@pytest.fixture(scope="module")
def tall():
    return lay_out(job_from_options(**TALL), gust=40.0, budget=3.0, asked=LayoutAsked(fewest=True))


def off_marks(job):
    """The job as drawn, and with every brace in turn on the next stud of either side that is free."""
    yield job
    studs = [stud.x for stud in frame_wall(job.wall).full_height_studs]
    for k, brace in enumerate(job.braces):
        at = min(range(len(studs)), key=lambda i: abs(studs[i] - brace.stud_at))
        for x in (*studs[max(at - 1, 0) : at], *studs[at + 1 : at + 2]):
            if all(abs(x - other.stud_at) > 1.0 for other in job.braces):
                moved = evolve(brace, stud_at=x)
                yield evolve(job, braces=(*job.braces[:k], moved, *job.braces[k + 1 :]))


def test_a_strongback_is_asked_for_only_where_it_saves_a_brace(shed, tall):
    """Without its row the same braces are over, and the layout says how many more it takes without."""
    assert not shed.job.wall.rows
    assert shed.without_row is None
    assert [row.kind for row in tall.job.wall.rows] == ["strongback"]
    assert tall.without_row is None or tall.without_row > len(tall.job.braces)
    assert not tall.grid.proved
    bare = evolve(tall.job, wall=evolve(tall.job.wall, rows=()))
    assert {check(job, gust=40.0, effects=False).verdict for job in off_marks(tall.job)} == {"within"}
    assert "over" in {check(job, gust=40.0, effects=False).verdict for job in off_marks(bare)}


def test_a_strongback_is_said_bought_and_given_a_force_at_every_stud(tall):
    """The force is never under what the row's own bending shows: its end moments over one stud spacing."""
    said = next(words for words in in_words(list(tall.needed)) if "strongback" in words)
    asked = int(re.search(r"for (\d+) lb", said)[1])
    forces = tall.result.evaluation.forces
    by_hand = 0.0
    for each in forces:
        mesh = each.model.meshes[0]
        row = [k for k, line in enumerate(mesh.lines) if line.kind == "row"]
        pieces = [k for k, line in enumerate(mesh.element_line) if line in row]
        moments = each.at(each.responses.row_moment, 40.0)
        for one in moments:
            shear = [(a + b) / mesh.element_length[k] for (a, b), k in zip(one, pieces, strict=True)]
            steps = [abs(after - before) for before, after in pairwise([0.0, *shear, 0.0])]
            by_hand = max(by_hand, *steps)
    assert by_hand <= asked < by_hand + 25.0
    assert any("for the strongback" in in_words(item.said) for item in tall.buy)
    assert "2x4 strongback" in said


def test_beside_a_strongback_stand_layouts_without(capsys):
    words = ("--length", "16ft", "--height", "14ft", "--studs", "2x4@16in", "--gust", 40, "--budget", 3)
    words += ("--height-above-ground", "3ft", "--fewest")
    first, *others = run(capsys, "layout", *words, "--alternatives", "--json").json["alternatives"]
    assert "strongback" in first["what"]
    assert "strongback" in first["recipe"]
    assert others
    assert all(
        "strongback" not in other["recipe"]
        and (other["braces"], other["work_minutes"]) > (first["braces"], first["work_minutes"])
        for other in others
    )


def test_a_strongback_is_written_into_the_file_with_the_braces(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(
        '[wall]\nname = "tall"\nlength = "16 ft"\nheight = "14 ft"\nstuds = { size = "2x4" }  # mine\n'
        '[floor]\nheight_above_ground = "3 ft"\n'
    )
    assert run(capsys, "layout", path, "--gust", 40, "--fewest", "--write").status == 0
    text = path.read_text()
    rows = tomllib.loads(text)["wall"]["row"]
    assert [row["kind"] for row in rows] == ["strongback"]
    assert "# mine" in text
    found = check(read_job(path), gust=40.0, effects=False)
    assert found.verdict == "within"
    again = run(capsys, "check", path, "--gust", 40, "--json").json
    assert not any(item["field"].startswith("wall.row") for item in again["assumed"])


def test_what_is_on_hand_is_never_stretched_by_a_strongback(tall):
    """Its lumber is not on the list: at the gust for which one is asked without a list, with one there is none."""
    asked = LayoutAsked(on_hand=read_on_hand("40 2x6x20, 40 2x4x14, 2000 screws").reaches)
    job = job_from_options(**TALL)
    assert tall.job.wall.rows
    try:
        listed = lay_out(job, gust=40.0, budget=2.0, asked=asked)
    except NoLayoutError:
        assert tall.without_row is None
    else:
        assert not listed.job.wall.rows
        assert len(listed.job.braces) > len(tall.job.braces)
