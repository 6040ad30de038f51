"""`bracing pull`: asked and written, shown, refused; a drywall screw, concrete and few pulls never make a number."""

from __future__ import annotations

import io
import json
import re
import sys

import pytest

from bracing.commands.cli import main
from bracing.reading.jobs import read_job
from tests.cli.running import EXAMPLES, run, said

WALL = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
BARE = WALL.partition("[[brace]]")[0]  # no braces on file: no limits to look for, so that asking is quick
SCREW = "structural screw 0.22x5"
TEST = f"""
[[pull_test]]
name = "T1"
fastener = "{SCREW}"
into = "joist"
peaks = ["132 lb", "121 lb", "127 lb", "118 lb", "140 lb", "109 lb", "125 lb", "133 lb", "150 lb", "122 lb"]
boards = [1, 1, 1, 2, 2, 2, 3, 3, 4, 4]
ends = ["drawn", "stopped", "drawn", "drawn", "drawn", "drawn", "drawn", "drawn", "drawn", "drawn"]
division = "5 lb"
lever = {{ scale = "40 in", fastener = "8 in", weight = "6 lb", weight_at = "20 in" }}
driven = "24%"
pulled = "24%"
"""
ANSWERS = (SCREW, "joist", "", "5 lb", "40 in, 8 in, 6 lb, 20 in", "24%", "24%")
PULLS = (
    "132 lb, 1, drawn",
    "121, 1, stopped",
    "127 lb, 2",
    "118 lb, 2",
    "140 lb, 3, drawn",
    "109 lb, 3, drawn",
    "",
)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text("# keep me\n" + BARE, encoding="utf-8")
    return path


def told(monkeypatch, capsys, file, *typed, words=()):
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in typed)))
    capsys.readouterr()
    status = main(["pull", str(file), *words])
    seen = capsys.readouterr()
    return status, seen.out, seen.err


# -- asked, and written ----------------------------------------------------------------------------------


def test_what_is_told_is_written_and_counts(monkeypatch, capsys, file):
    status, out, err = told(monkeypatch, capsys, file, *ANSWERS, *PULLS)
    assert (status, "Traceback" in err) == (0, False)
    text = file.read_text(encoding="utf-8")
    assert text.startswith("# keep me\n")
    assert 'lever = {scale = "40 in", fastener = "8 in", weight = "6 lb", weight_at = "20 in"}' in text
    test = read_job(file).pull_tests[0]
    assert (test.name, test.fastener, test.boards) == ("T1", SCREW, (1, 1, 2, 2, 3, 3))
    assert [test.pull(k) for k in range(2)] == [620.0, 565.0]
    assert "Written into" in out
    assert "T1: 6 pulls, 3 joists" in said(out)
    assert not list(file.parent.glob(".*lock"))


def test_a_second_test_stands_after_the_first_and_has_the_next_name(monkeypatch, capsys, file):
    for _ in range(2):
        assert told(monkeypatch, capsys, file, *ANSWERS, *PULLS)[0] == 0
    assert [test.name for test in read_job(file).pull_tests] == ["T1", "T2"]


def test_json_has_the_dialogue_on_stderr(monkeypatch, capsys, file):
    status, out, err = told(monkeypatch, capsys, file, *ANSWERS, *PULLS, words=("--json",))
    answer = json.loads(out)
    assert status == 0
    assert answer["schema"] == "bracing.pull.1"
    assert answer["files"] == [str(file)]
    assert "Which fastener" in err


@pytest.mark.parametrize("after", range(len(ANSWERS) + 3))
def test_broken_off_anywhere_nothing_is_written(monkeypatch, capsys, file, after):
    before = file.read_bytes()
    status, _, err = told(monkeypatch, capsys, file, *(*ANSWERS, *PULLS)[:after])
    assert status == 130
    assert "nothing was written" in err
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("at", "typed", "expected"),
    [
        (0, "drywall screw #6", "drywall and deck screws are not structural"),
        (0, "glue", "fasteners"),
        (1, "concrete", "an anchor in concrete needs its report"),
        (1, "air", "one of: joist, deck, stud, plate"),
        (3, "5", "a force with its unit"),
        (4, "40 in, 8 in", "of the bar"),
        (5, "2400", "from 0.02 to 2.5"),
        (7, "132 lb, 0, drawn", "from 1 to 100"),
        (7, "132 lb, 1, flew", "one of: drawn, stopped, head, split, steel"),
        (7, "much, 1, drawn", "a force with its unit"),
    ],
)
def test_an_answer_that_does_not_fit_is_asked_again(monkeypatch, capsys, file, at, typed, expected):
    answers = [*ANSWERS, *PULLS]
    answers.insert(at, typed)
    status, out, _ = told(monkeypatch, capsys, file, *answers)
    assert status == 0
    assert expected in said(out)
    assert len(read_job(file).pull_tests) == 1


def test_a_file_that_changed_meanwhile_is_not_written_over(monkeypatch, capsys, file):
    import bracing.reading.pulls as asking

    run_it = asking.Asking.run

    def while_somebody_writes(self):
        answer = run_it(self)
        file.write_text(WALL + "\n# somebody else\n", encoding="utf-8")
        return answer

    monkeypatch.setattr(asking.Asking, "run", while_somebody_writes)
    status, _, err = told(monkeypatch, capsys, file, *ANSWERS, *PULLS)
    assert status == 2
    assert "changed" in err
    assert file.read_text(encoding="utf-8").endswith("# somebody else\n")


# -- shown -----------------------------------------------------------------------------------------------


def test_shown_in_a_line_that_can_be_worked_out_again(capsys, file):
    """5 x the peak less 5 and the bar's 15; the mean 598.5 falls to 598; k of 10 / 1.8 pulls."""
    file.write_text(WALL + TEST, encoding="utf-8")
    ran = run(capsys, "pull", file, "--show")
    words = said(ran.out)
    assert ran.status == 0
    assert (
        "T1: 10 pulls, 4 joists, mean 598 lb, s 0.15, k 2.385, low end 416 lb: 1.6 x 598 lb / 5 = 191 lb, "
        in words
    )
    assert "0.70 x 416 lb / 1.95 = 149 lb; bottom plate to floor: table" in words
    assert "counts 149 lb." in words
    assert "1 stopped" in words
    assert "Not for concrete, block or brick" in words
    assert "drywall or deck screws" in words
    assert not re.search(r"\b(safe|good for|holds)\b", words)
    assert len(ran.out.splitlines()) <= 40


def test_a_plate_that_reaches_no_framing_is_no_joint_of_what_a_joist_held(capsys, file):
    assert "into_framing = true" in WALL
    file.write_text(WALL.replace("into_framing = true", "into_framing = false") + TEST, encoding="utf-8")
    assert run(capsys, "pull", file, "--show", "--json").json["tests"][0]["joints"] == []


def test_json_of_what_is_shown(capsys, file):
    file.write_text(WALL + TEST, encoding="utf-8")
    answer = run(capsys, "pull", file, "--show", "--json").json
    one = answer["tests"][0]
    assert one["pulls_lb"][:2] == [620.0, 565.0]
    assert one["routes_lb"][0] == pytest.approx(191.52, rel=1e-9)
    assert one["joints"][0]["counts_lb"] == pytest.approx(min(one["routes_lb"]), rel=1e-9)
    assert one["joints"][0]["cap_lb"] == pytest.approx(1.5 * one["joints"][0]["table_lb"], rel=1e-12)
    assert answer["files"] == []


def test_what_nobody_measured_is_echoed_as_assumed(capsys, file):
    file.write_text(BARE + TEST.replace('driven = "24%"\npulled = "24%"\n', ""), encoding="utf-8")
    words = said(run(capsys, "pull", file, "--show").out)
    assert "ASSUMED, since nobody measured it: moisture when driven" in words
    assert "0.7 x 598 lb / 5 = 134 lb" in words  # a screw of wood that may have been dry, in a green wall


def test_few_pulls_say_so_and_only_lower(capsys, file):
    few = re.sub(
        r"(peaks|boards|ends) = \[(.*)\]", lambda m: f"{m[1]} = [{', '.join(m[2].split(', ')[:4])}]", TEST
    )
    file.write_text(BARE + few, encoding="utf-8")
    ran = run(capsys, "pull", file, "--show", "--json").json["tests"][0]
    assert ran["low_end_lb"] is None
    assert ran["joints"][0]["counts_lb"] <= ran["joints"][0]["table_lb"]
    assert "few pulls can only lower" in ran["told"]


def test_low_pulls_lower_the_limit_of_the_wall(capsys, file):
    """The screws of the cleats into the joists, pulled at a tenth: the wall goes down with them, and says why."""
    weak = TEST.replace(SCREW, "structural screw 0.22x8").replace('fastener = "8 in"', 'fastener = "30 in"')
    file.write_text(WALL + weak, encoding="utf-8")
    answer = run(capsys, "pull", file, "--show", "--json").json
    assert answer["limit_gust_mph"] < answer["limit_gust_by_tables_mph"]
    traced = said(run(capsys, "trace", file, "--gust", "20").out)
    assert "pull test T1" in traced
    assert "exp(" in traced


def test_a_file_without_tests_says_so(capsys, file):
    ran = run(capsys, "pull", file, "--show")
    assert ran.status == 0
    assert "No pull test in this file." in ran.out


# -- refused ---------------------------------------------------------------------------------------------

DRY = 'pulled = "24%"'
LEFT = f"{DRY}\nleft_out = [{{ pull = "
BAD = {
    "another number of boards": ("[1, 1, 1, 2, 2, 2, 3, 3, 4, 4]", "[1, 2]", "boards", "as many as peaks, 10"),
    "another number of ends": ('"drawn", "stopped", ', '"drawn", ', "ends", "as many as peaks, 10"),
    "no division": ('division = "5 lb"\n', "", "division", "the least step of the scale"),
    "division of nothing": ('division = "5 lb"', 'division = "0 lb"', "division", "from 0.01 lb to 100 lb"),
    "concrete": ('into = "joist"', 'into = "concrete"', "into", "an anchor in concrete needs its report"),
    "no board": ('into = "joist"', 'into = "rafter"', "into", "one of: joist, deck, stud, plate"),
    "drywall screws": (SCREW, "drywall screw 6x2", "fastener", "drywall and deck screws are not structural"),
    "a peak the bar alone makes": ('"132 lb"', '"8 lb"', "peaks[0]", "nothing of it was the fastener's"),
    "a peak without a unit": ('"132 lb"', "132", "peaks[0]", "a force with its unit"),
    "a peak that is none": ('"132 lb"', '"-3 lb"', "peaks[0]", "a force with its unit"),
    "more than any holds": ('"132 lb"', '"5000 lb"', "peaks[0]", "at most 20000 lb"),
    "an end of no kind": ('"stopped"', '"flew"', "ends[1]", "one of: drawn, stopped, head, split, steel"),
    "half a board": ("[1, 1, 1, 2,", "[1, 1.5, 1, 2,", "boards[1]", "a whole number"),
    "a lever of no length": ('scale = "40 in"', 'scale = "0 in"', "lever.scale", "from 1 in"),
    "a lever without its weight": (', weight = "6 lb"', "", "lever.weight", "of the bar"),
    "an unknown key": ("driven =", "drivn =", "drivn", "driven"),
    "moisture as a number of per cent": ('driven = "24%"', "driven = 24", "driven", "from 0.02 to 2.5"),
    "a pull below the mean left out":
        (DRY, f'{LEFT}6, why = "low" }}]', "left_out[0].pull", "one below it always counts"),
    "a pull that is not there": (DRY, f'{LEFT}11, why = "x" }}]', "left_out[0].pull", "one of the pulls, 1 to 10"),
    "left out without a reason": (DRY, f"{LEFT}9 }}]", "left_out[0].why", "why it does not count"),
    "the same name twice": ('pulled = "24%"\n', 'pulled = "24%"\n' + TEST, "pull_test[1].name", "a name of its own"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
@pytest.mark.parametrize("command", ["pull", "check"])
def test_bad_input_is_one_line_and_status_2(capsys, file, name, command):
    old, new, field, expected = BAD[name]
    assert old in TEST
    file.write_text(BARE + TEST.replace(old, new, 1), encoding="utf-8")
    ran = run(capsys, command, file, *(["--show"] if command == "pull" else []))
    assert (ran.status, ran.out) == (2, "")
    lines = [line for line in ran.err.splitlines() if field in line]
    assert len(lines) == 1
    assert expected in lines[0]
    assert "Traceback" not in ran.err


def test_every_fault_at_once(capsys, file):
    text = (
        TEST.replace('"stopped"', '"flew"')
        .replace('into = "joist"', 'into = "concrete"')
        .replace('"132 lb"', '"8 lb"')
    )
    file.write_text(BARE + text, encoding="utf-8")
    ran = run(capsys, "pull", file, "--show")
    assert ran.status == 2
    for field in ("pull_test[0].into", "pull_test[0].ends[1]", "pull_test[0].peaks[0]"):
        assert field in ran.err


# -- the form --------------------------------------------------------------------------------------------


def test_the_form_has_the_drawings_the_rows_and_what_it_is_not_for(capsys, file, tmp_path):
    out = tmp_path / "pull.html"
    ran = run(capsys, "pull", file, "--form", out)
    page = out.read_text(encoding="utf-8")
    assert ran.status == 0
    assert str(out) in said(ran.out).replace(" ", "") or "Written:" in ran.out
    assert page.count("data:image/svg+xml") == 2
    assert "one end on a fulcrum" in page
    assert "Not for concrete" in page
    assert page.count("most on the scale, pull") == 12
    assert "default-src &#39;none&#39;" in page or "default-src 'none'" in page
    assert "http://" not in page.replace("http://www.w3.org", "")
    again = run(capsys, "pull", file, "--form", out)
    assert again.status == 2
    assert "--overwrite" in again.err


@pytest.mark.parametrize("name", ["pull.pdf", "pull", "pull.toml"])
def test_a_form_of_another_kind_is_refused(capsys, file, tmp_path, name):
    ran = run(capsys, "pull", file, "--form", tmp_path / name)
    assert ran.status == 2
    assert ".html" in ran.err


def test_the_wall_file_is_never_the_form(capsys, file, tmp_path):
    html = tmp_path / "wall.html"
    html.write_text(WALL, encoding="utf-8")
    ran = run(capsys, "pull", html, "--form", html, "--overwrite")
    assert ran.status == 2
    assert html.read_text(encoding="utf-8") == WALL
