"""What stands and what does not: walls without braces first and in words, walls that are not up, links worth nothing,
and lists of walls whose results are of today.

Each guard is of the command line, on real walls.
"""

from __future__ import annotations

import csv
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests import LONGEST_S
from tests.cli.running import EXAMPLES, ROOT, run, said, walk_text
from tests.wall_files import wall_text

BARE = '[wall]\nname = "Bare"\nlength = "16 ft"\nheight = "8 ft"\n'
TALL = (
    '[wall]\nname = "Tall"\nlength = "24 ft"\nheight = "34 ft"\nstuds = { size = "2x6", spacing = "16 in" }\n'
)
NO_BRACES = "NO BRACES ON FILE"
NOW = ("--now", "2026-03-06 15:00", "--zone", "UTC")


def stated(text, state):
    return text.replace("[wall]\n", f'[wall]\nstate = "{state}"\n', 1)


def plain(text):
    """A wall file's text without the blanks its lines begin with."""
    return "\n".join(line.strip() for line in text.splitlines()) + "\n"


HELD = plain(wall_text()).replace("Test wall", "Held")
WEAK = plain(wall_text(counts=(1, 1, 1))).replace("Test wall", "Weak")


@pytest.fixture
def write(tmp_path):
    def written(name, text):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return written


@pytest.fixture
def folder(write, tmp_path):
    """Named so that neither the order of names nor that of limits alone puts the bare wall first."""
    for name, text in (("a-held", HELD), ("b-weak", WEAK), ("z-bare", BARE)):
        write(f"{name}.toml", text)
    return tmp_path


# -- no braces on file -----------------------------------------------------------------------------------


def test_a_wall_without_braces_is_first_in_a_folder_of_sheets_and_over(capsys, folder):
    out = folder / "sheets"
    words = ("sheet", folder, "--gust", "30", "-o", out, "--no-pdf")
    answer = run(capsys, *words, "--json")
    assert answer.status == 1
    walls = answer.json["walls"]
    assert [row["wall"] for row in walls] == ["Bare", "Weak", "Held"]
    bare, _, held = walls
    assert (bare["verdict"], bare["limit_gust_mph"], bare["clear_out_gust_mph"]) == ("over", 0, 0)
    assert bare["state"] == NO_BRACES
    assert bare["plan"]["verdict"] == "within"
    assert bare["plan"]["limit_gust_mph"] >= 30
    assert (held["verdict"], held["plan"]) == ("within", None)
    index = (out / "index.html").read_text(encoding="utf-8")
    assert index.index(NO_BRACES) < index.index("<table")
    assert index.index(">Bare<") < index.index(">Weak<") < index.index(">Held<")


def test_a_folder_that_is_within_but_for_a_wall_without_braces_is_not_within(capsys, write, tmp_path):
    write("a.toml", HELD)
    write("b.toml", BARE)
    ran = run(capsys, "sheet", tmp_path, "--gust", "30", "-o", tmp_path / "out", "--no-pdf")
    lines = ran.out.splitlines()
    assert ran.status == 1
    assert lines[0].startswith(f"Bare, {NO_BRACES}: OVER at 30 mph. CLEAR OUT now")
    assert "PLAN laid out for a gust of 30 mph" in lines[1]
    assert lines[2].startswith("Held, PLAN: WITHIN")


def test_a_wall_without_braces_comes_before_an_engineers_in_a_storm(capsys, folder, write):
    write("a-tall.toml", TALL + HELD[HELD.index("[[brace]]") :])
    ran = run(capsys, "storm", folder, "--gust", "30", *NOW)
    assert ran.status == 1
    assert f"{NO_BRACES}: Bare." in said(ran.out)
    assert said(ran.out).index(f"{NO_BRACES}: Bare.") < said(ran.out).index("CLEAR OUT now")
    answer = run(capsys, "storm", folder, "--gust", "30", *NOW, "--json").json
    assert [row["wall"] for row in answer["walls"]] == ["Bare", "Tall", "Weak", "Held"]
    assert answer["no_braces_on_file"] == ["Bare"]


def test_a_list_says_first_which_walls_have_no_braces(capsys, folder):
    source = folder / "list.csv"
    source.write_text("file\na-held.toml\nz-bare.toml\n", encoding="utf-8")
    words = ("walls", source, "--gust", "30", "--workers", "1")
    for _ in range(2):  # worked out, and read back
        ran = run(capsys, *words)
        assert ran.status == 1
        assert ran.out.startswith(f"{NO_BRACES}: 1 of the walls")
        assert "1 over, 1 within" in said(ran.out)
    assert results(source)[1]["gives_first"] == "no braces on file"
    assert run(capsys, *words, "--json").json["no_braces_on_file"] == 1


@pytest.mark.parametrize("command", ["check", "trace", "stages", "lift", "storm"])
def test_of_a_wall_without_braces_every_screen_says_so_before_any_number(capsys, write, command):
    path = write("bare.toml", BARE)
    gust = () if command == "lift" else ("--gust", "30")
    lines = run(capsys, command, path, *gust).out.splitlines()
    assert lines[1].startswith(f"{NO_BRACES}: there is no [[brace]] in it.")
    if command != "lift":
        assert NO_BRACES in lines[0]


def test_a_sheet_laid_out_on_the_fly_is_called_a_plan_under_the_state_on_file(capsys, write, tmp_path):
    path, page = write("bare.toml", BARE), tmp_path / "page.html"
    ran = run(capsys, "sheet", path, "--gust", "30", "-o", page)
    assert ran.status == 1
    assert ran.out.startswith(f"Bare, {NO_BRACES}: OVER at 30 mph. CLEAR OUT now and stay out")
    text = page.read_text(encoding="utf-8")
    body = text[text.index("<main>") :]
    on_file, plan, stay, first = (
        body.index(each) for each in (NO_BRACES, "What follows is a PLAN", "CLEAR OUT now and stay", "mph")
    )
    assert on_file < plan < stay
    assert on_file < first
    assert "CLEAR OUT before" not in body
    answer = run(capsys, "sheet", path, "--gust", "30", "-o", page, "--overwrite", "--json").json
    assert (answer["verdict"], answer["limit_gust_mph"], answer["state"]) == ("over", 0, NO_BRACES)
    assert answer["plan"]["verdict"] == "within"


# -- not up ----------------------------------------------------------------------------------------------

NOT_UP = ("planned", "laid down")


@pytest.mark.parametrize("state", NOT_UP)
@pytest.mark.parametrize("text", [HELD, BARE], ids=["braced", "bare"])
@pytest.mark.parametrize("command", ["check", "storm", "stages"])
def test_a_wall_that_is_not_up_is_told_neither_within_nor_to_clear_out(capsys, write, command, text, state):
    path = write("w.toml", stated(text, state))
    ran = run(capsys, command, path, "--gust", "30")
    assert f"NOT UP: {state.upper()}" in said(ran.out)
    assert "CLEAR OUT" not in said(ran.out)
    assert "stay out" not in said(ran.out).lower()
    if command != "stages":  # they are of how it goes up
        assert ran.status == 1
        assert run(capsys, command, path, "--gust", "30", "--json").json["verdict"] == "not up"


@pytest.mark.parametrize(("text", "state"), [(HELD, "planned"), (BARE, "laid down")], ids=["braced", "bare"])
def test_the_sheet_of_a_wall_that_is_not_up_tells_nobody_to_clear_out(capsys, write, tmp_path, text, state):
    path, page = write("w.toml", stated(text, state)), tmp_path / "page.html"
    ran = run(capsys, "sheet", path, "--gust", "30", "-o", page)
    shown = said(ran.out + page.read_text(encoding="utf-8"))
    assert ran.status == 1
    assert f"NOT UP: {state.upper()}" in shown
    assert "CLEAR OUT" not in shown
    assert "stay out" not in shown.lower()


def test_what_is_not_up_decides_nothing_for_the_others_and_comes_last(capsys, write, tmp_path):
    write("a-not-up.toml", stated(WEAK, "planned"))
    write("z-held.toml", HELD)
    storm = ("storm", tmp_path, "--gust", "20", *NOW)  # under the clear-out gust of the wall that is held
    sheet = ("sheet", tmp_path, "--gust", "20", "-o", tmp_path / "out", "--no-pdf", "--overwrite")
    for words in (storm, sheet):
        answer = run(capsys, *words, "--json")
        assert answer.status == 0
        assert [row["verdict"] for row in answer.json["walls"]] == ["within", "not up"]
    assert "CLEAR OUT" not in run(capsys, *storm).out
    source = write("list.csv", "file\na-not-up.toml\nz-held.toml\n")
    walls = run(capsys, "walls", source, "--gust", "20", "--workers", "1", "--json")
    assert (walls.status, walls.json["verdicts"]) == (0, {"not up": 1, "within": 1})
    (tmp_path / "z-held.toml").unlink()
    assert run(capsys, *storm, "--json").json["verdict"] == "not up"
    assert [run(capsys, *words).status for words in (storm, sheet)] == [1, 1]
    source.write_text("file\na-not-up.toml\n", encoding="utf-8")
    assert run(capsys, "walls", source, "--gust", "30", "--workers", "1").status == 1


def test_undeclared_is_standing_and_tied_in_is_checked_as_standing(capsys, write):
    path = write("w.toml", WEAK)
    answers = []
    for text in (WEAK, stated(WEAK, "standing"), stated(WEAK, "tied in")):
        path.write_text(text, encoding="utf-8")
        ran = run(capsys, "check", path, "--gust", "30", "--json")
        keys = ("verdict", "limit_gust_mph", "clear_out_gust_mph", "links")
        answers.append((ran.status, *(ran.json[key] for key in keys)))
        assert "CLEAR OUT" in run(capsys, "check", path, "--gust", "30").out
    assert answers[0] == answers[1] == answers[2]
    assert answers[0][:2] == (1, "over")


def test_a_state_that_cannot_be_is_refused_in_one_line(capsys, write):
    path = write("w.toml", stated(HELD, "up"))
    ran = run(capsys, "check", path)
    assert (ran.status, ran.out) == (2, "")
    assert "wall.state: got up; expected" in said(ran.err)
    walked = stated(HELD, "planned") + '[built]\nwhen = "Fri 4 pm"\nby = "lead"\n'
    path.write_text(walked, encoding="utf-8")
    ran = run(capsys, "check", path)
    assert (ran.status, ran.out) == (2, "")
    assert "wall.state: got planned; expected" in said(ran.err)
    path.write_text(stated(HELD, "laid down"), encoding="utf-8")
    ran = run(capsys, "built", path)
    assert (ran.status, ran.out) == (2, "")
    assert "wall.state: got laid down; expected standing" in said(ran.err)


@pytest.mark.parametrize("state", NOT_UP)
def test_a_wall_laid_down_does_not_stand_as_built_again_on_its_old_walk(capsys, write, state):
    """Laid down, its file kept [built]; stood up again it was called AS BUILT though nobody had walked it since."""
    walk = walk_text(HELD)
    path = write("w.toml", HELD + walk)
    assert "AS BUILT" in run(capsys, "check", path).out
    path.write_text(stated(HELD, state) + walk, encoding="utf-8")
    for command in ("check", "storm", "lift"):
        ran = run(capsys, command, path, *(() if command == "lift" else ("--gust", "30")))
        assert (ran.status, ran.out) == (2, "")
        assert f"wall.state: got {state}; expected" in said(ran.err)
        assert "[built]" in said(ran.err)
    path.write_text(stated(HELD, "laid down"), encoding="utf-8")
    assert "PLAN, NOT UP: LAID DOWN" in run(capsys, "check", path).out
    path.write_text(stated(HELD, "standing"), encoding="utf-8")
    assert "AS BUILT" not in run(capsys, "check", path).out


@pytest.mark.parametrize(
    ("gust", "text"), [("10", HELD), ("30", BARE), ("119", HELD)], ids=["within", "bare", "none"]
)
def test_a_storm_that_wrote_nothing_does_not_say_that_it_did(capsys, write, gust, text):
    path = write("w.toml", text)
    before = path.read_bytes()
    ran = run(capsys, "storm", path, "--gust", gust, "--write", "--budget", "0")
    changed = path.read_bytes() != before
    assert ("Written into the file." in ran.out) == changed
    assert ("Nothing was written into the file" in said(ran.out)) != changed


def test_a_storm_that_wrote_says_so(capsys, write):
    path = write("w.toml", WEAK)
    before = path.read_bytes()
    ran = run(capsys, "storm", path, "--gust", "40", "--write", "--budget", "1")
    assert path.read_bytes() != before
    assert ran.out.rstrip().endswith("Written into the file.")


def test_a_layout_of_a_planned_wall_is_still_within(capsys, write):
    path = write("w.toml", stated(BARE, "planned"))
    ran = run(capsys, "layout", path, "--gust", "30", "--json")
    assert (ran.status, ran.json["verdict"]) == (0, "within")


# -- what counts for nothing -----------------------------------------------------------------------------


def test_a_brace_that_counts_for_nothing_is_not_said_to_be_short_of_its_limit(capsys, tmp_path):
    wall = EXAMPLES / "as-found.toml"
    checked = run(capsys, "check", wall, "--gust", "30", "--json").json
    nothing = [row for row in checked["links"] if row["capacity"] == 0 and row["limit_gust_mph"] == 0]
    nothing = [row for row in nothing if row["link"] == "brace in push"]
    assert {row["mark"] for row in nothing} == {"B1", "B2", "B3", "B4"}
    words = "at B1, at B2, at B3 and at B4, wind from outside: counts for nothing, limit gust 0 mph"
    traced = run(capsys, "trace", wall, "--gust", "30")
    untouched = said(traced.out).partition("Not brought to its limit")[2].partition(".")[0]
    assert untouched
    assert "brace in push" not in untouched
    assert f"Brace in push {words}." in said(traced.out)
    told = run(capsys, "trace", wall, "--gust", "30", "--json").json
    assert "brace in push" not in told["never_reached"]
    zero = [row["mark"] for row in told["count_for_nothing"] if row["limit_gust_mph"] == 0]
    assert zero == ["B1", "B2", "B3", "B4"]
    page = tmp_path / "page.html"
    run(capsys, "sheet", wall, "--gust", "30", "-o", page)
    text = page.read_text(encoding="utf-8")
    untouched = text.partition("Not brought to its limit")[2].partition("</p>")[0]
    assert untouched
    assert "brace in push" not in untouched
    assert f"brace in push {words}" in text
    links = said(run(capsys, "check", wall, "--gust", "30", "--links").out)
    assert "brace in push at B1 outside 0 mph" in links


# -- results of today ------------------------------------------------------------------------------------


@pytest.fixture
def listed(write):
    write("held.toml", HELD)
    write("weak.toml", WEAK)
    return write("list.csv", "file\nheld.toml\nweak.toml\n")


def results(source):
    with source.with_suffix(".checked.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def walls(capsys, source, *words, gust="30"):
    return run(capsys, "walls", source, "--gust", gust, "--workers", "1", *words)


def test_a_row_that_names_a_changed_file_is_worked_out_again_and_no_other(capsys, listed):
    walls(capsys, listed)
    held, weak = results(listed)
    assert held["verdict"] == "within"
    (listed.parent / "held.toml").write_text(WEAK, encoding="utf-8")
    ran = walls(capsys, listed, "--json")
    assert (ran.status, ran.json["done_before"], ran.json["done_again"]) == (1, 1, 1)
    changed, same = results(listed)
    assert (changed["verdict"], changed["limit_gust_mph"]) == ("over", weak["limit_gust_mph"])
    assert same == weak
    again = walls(capsys, listed, "--json").json
    assert (again["done_before"], again["done_again"]) == (2, 0)


def test_a_row_whose_fasteners_file_changed_is_worked_out_again(capsys, write):
    row = '[[fastener]]\nname = "our nail"\nkind = "nail"\ndiameter = "0.13{} in"\nlength = "3 in"\n'
    own = write("own.toml", row.format(1))
    write("held.toml", 'fasteners_file = "own.toml"\n' + HELD)
    source = write("list.csv", "file\nheld.toml\n")
    walls(capsys, source)
    own.write_text(row.format(2), encoding="utf-8")
    assert walls(capsys, source, "--json").json["done_again"] == 1


def test_a_file_that_was_not_there_and_now_is(capsys, listed):
    (listed.parent / "held.toml").unlink()
    assert walls(capsys, listed).status == 2
    (listed.parent / "held.toml").write_text(HELD, encoding="utf-8")
    walls(capsys, listed)
    assert results(listed)[0]["verdict"] == "within"


def test_another_gust_and_thunderstorms_are_worked_out_again_in_the_same_file(capsys, listed):
    walls(capsys, listed)
    limit = int(results(listed)[0]["limit_gust_mph"])
    ran = walls(capsys, listed, "--json", gust=str(limit + 1))
    assert (ran.status, ran.json["done_again"]) == (1, 2)
    assert [row["verdict"] for row in results(listed)] == ["over", "over"]
    assert walls(capsys, listed, "--storms", "--json", gust=str(limit + 1)).json["done_again"] == 2


def test_a_changed_row_of_the_list_and_a_shorter_list(capsys, listed):
    walls(capsys, listed)
    listed.write_text("file\nweak.toml\n", encoding="utf-8")
    assert walls(capsys, listed, "--json").json["done_again"] == 1
    assert [row["wall"] for row in results(listed)] == ["Weak"]


def test_another_version_of_the_program_works_it_out_again(capsys, listed, monkeypatch):
    walls(capsys, listed)
    monkeypatch.setattr("bracing.results.__version__", "999.0")
    assert walls(capsys, listed, "--json").json["done_again"] == 2


def test_another_data_table_works_it_out_again(listed, tmp_path):
    """In a copy of the package: a table cannot be changed under a running program."""
    home = tmp_path / "home"
    shutil.copytree(ROOT / "bracing", home / "bracing", ignore=shutil.ignore_patterns("__pycache__"))

    def ran():
        words = [sys.executable, "-m", "bracing", "walls", str(listed), "--gust", "30", "--workers", "1"]
        env = {**os.environ, "PYTHONPATH": str(home), "PYTHONDONTWRITEBYTECODE": "1"}
        return subprocess.run(
            words, cwd=home, env=env, capture_output=True, text=True, timeout=LONGEST_S
        ).stdout

    assert "2 rows: " in said(ran())
    assert "2 rows, 2 of them done before: " in said(ran())
    before = results(listed)
    table = Path(home / "bracing" / "data" / "wind.toml")
    text = table.read_text(encoding="utf-8")
    assert "clear_out = 0.85" in text
    table.write_text(text.replace("clear_out = 0.85", "clear_out = 0.5"), encoding="utf-8")
    assert "2 done again" in said(ran())
    after = results(listed)
    assert int(after[0]["clear_out_gust_mph"]) < int(before[0]["clear_out_gust_mph"])


def test_results_of_before_there_were_keys_are_refused_in_one_line_and_left_alone(capsys, listed):
    target = listed.with_suffix(".checked.csv")
    old = "line,wall,verdict,clear_out_gust_mph,limit_gust_mph\n2,Held,within,37,44\n"
    target.write_text(old, encoding="utf-8")
    ran = walls(capsys, listed)
    assert (ran.status, ran.out) == (2, "")
    assert "--out: got results of another version" in said(ran.err)
    assert "expected that file removed first, or another file" in said(ran.err)
    assert target.read_text(encoding="utf-8") == old


def test_a_key_of_the_kind_before_is_not_taken_for_one_of_now(capsys, listed):
    """The same columns, and keys that did not know what was in the files."""
    walls(capsys, listed)
    target = listed.with_suffix(".checked.csv")
    fresh = target.read_text(encoding="utf-8")
    rows = [row.split(",") for row in fresh.splitlines()]
    stale = [rows[0], *([line, "0123456789ab", *rest] for line, _, *rest in rows[1:])]
    target.write_text("\n".join(",".join(row) for row in stale) + "\n", encoding="utf-8")
    assert walls(capsys, listed, "--json").json["done_again"] == 2
    assert target.read_text(encoding="utf-8") == fresh
