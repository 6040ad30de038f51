"""Files that people stand under: nothing somebody else wrote is lost, nothing is half-written, nothing is read twice.

Two at a time are two processes, each stopped at the step that matters until the other has been there: no waiting for
a length of time decides anything here.
"""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from bracing.reading.jobs import job_from_text
from tests import LONGEST_S
from tests.cli.running import EXAMPLES, ROOT, rest_of_walk, run

NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")
SHORT = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
REST = "\n" * len(rest_of_walk(job_from_text(SHORT, "short.toml")))
# A child runs one command, and says so and waits where it comes to a step: what is at the end of its line is run first.
CHILD = """
import os, signal, sys
from bracing.commands.cli import main
say, hear = int(sys.argv[1]), int(sys.argv[2])
signal.signal(signal.SIGINT, signal.default_int_handler)  # who starts the tests may have it ignored
def stop(word):
    os.write(say, word.encode() + b"\\n")
    os.read(hear, 1)
{before}
status = main(sys.argv[3:])
os.write(say, b"ended\\n")
sys.exit(status)
"""
STOPS_BEFORE_IT_WRITES = """
replace = os.replace
def stopped(*paths):
    stop("writes")
    replace(*paths)
os.replace = stopped
"""
SAYS_IT_WAITS = """
import time
waits = []
sleep = time.sleep
def told(seconds):
    if not waits:
        waits.append(os.write(say, b"waits\\n"))
    sleep(seconds)
time.sleep = told
"""


STARTED = set()  # children that have not ended


class Child:
    """A command in a process of its own, told to go on step by step."""

    def __init__(self, *words, before="", typed=""):
        says, say = os.pipe()
        hear, self._tell = os.pipe()
        self._says = os.fdopen(says)
        self.process = subprocess.Popen(
            [sys.executable, "-c", CHILD.format(before=before), str(say), str(hear), *map(str, words)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT,
            pass_fds=(say, hear), env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        os.close(say)
        os.close(hear)
        STARTED.add(self)
        self.process.stdin.write(typed)
        self.process.stdin.flush()

    def comes_to(self):
        """The next step it says it has come to."""
        return self._says.readline().strip()

    def go_on(self):
        os.write(self._tell, b"x")

    def end(self):
        STARTED.discard(self)
        out, err = self.process.communicate(timeout=LONGEST_S)
        self._says.close()
        os.close(self._tell)
        return self.process.returncode, out, err


@pytest.fixture(autouse=True)
def no_child_is_left():
    """A test that fails half-way ends the children it started: their open pipes would fail another test."""
    yield
    for child in tuple(STARTED):
        child.process.kill()
        child.end()


def left_over(folder):
    return [path.name for path in folder.iterdir() if path.name.startswith(".")]


@pytest.fixture
def wall(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(SHORT, encoding="utf-8")
    return path


def marks_missing(capsys, wall):
    there = run(capsys, "check", wall, "--json").json["braces"]
    return {"B1", "B2", "B3"} - {brace["mark"] for brace in there}


# -- a wall file -----------------------------------------------------------------------------------------


def test_of_two_walks_of_one_file_one_is_written_and_the_other_is_told(capsys, wall):
    """The first finds B1 missing and is stopped just before it writes; the second finds all as planned."""
    count = SHORT.count("[[brace]]")
    first = Child("built", wall, "--by", "lead framer", *NOW, before=STOPS_BEFORE_IT_WRITES,
                  typed="missing\n" + "\n" * (count - 1) + REST)  # fmt: skip
    assert first.comes_to() == "writes"
    (wall.parent / "short.toml.walk").unlink()  # the second walks with a phone of its own
    second = Child("built", wall, "--by", "foreman", *NOW, before=SAYS_IT_WAITS, typed="\n" * count + REST)
    second.comes_to()  # it waits for the first, or has ended without
    first.go_on()
    ended = [first.end(), second.end()]
    assert sorted(status for status, _, _ in ended) == [0, 2]
    status, _, err = ended[1]
    assert status == 2
    assert err.splitlines()[0].startswith(f"{wall}: file: got changed since it was read")
    assert len(err.splitlines()) == 2
    assert 'by = "lead framer"' in wall.read_text(encoding="utf-8")
    assert "B1" in marks_missing(capsys, wall)
    assert left_over(wall.parent) == []


CHANGES_AFTER_IT_WAS_READ = """
opened = []
def changed(event, args):
    if event == "open" and str(args[0]) == {wall!r}:
        opened.append(1)
        if len(opened) == {time}:
            with open({wall!r} + ".new", "w", encoding="utf-8") as stream:
                stream.write({text!r})
            os.rename({wall!r} + ".new", {wall!r})
sys.addaudithook(changed)
"""


@pytest.mark.parametrize(
    ("time", "words"),
    [
        (2, ("layout", "--gust", "30", "--budget", "0", "--write")),
        (3, ("storm", "--gust", "50", "--until", "Sat 6 am", *NOW, "--write")),
    ],
    ids=["layout", "storm"],
)
def test_a_wall_that_changed_during_the_work_is_not_written_over(tmp_path, time, words):
    """It is read for the work, then read again to be changed: just before that, or just after, somebody writes.

    Somebody makes it 8 ft longer while braces are looked for: braces of the short one are not its braces.
    """
    path = tmp_path / "wall.toml"
    path.write_text(SHORT, encoding="utf-8")
    longer = SHORT.replace('length = "20 ft"', 'length = "28 ft"')
    assert longer != SHORT
    command, *options = words
    before = CHANGES_AFTER_IT_WAS_READ.format(wall=str(path), text=longer, time=time)
    child = Child(command, path, *options, before=before)
    status, out, err = child.end()
    assert path.read_text(encoding="utf-8") == longer
    assert status == 2
    assert out == ""
    faults = [line for line in err.splitlines() if line.startswith(str(path))]
    assert len(faults) == 1
    assert "got changed since it was read" in faults[0]
    assert "nothing was written" in faults[0]


def test_a_killed_writer_stops_nobody(capsys, wall):
    """Killed with the lock in its hand: the next one writes, and takes the lock left behind away."""
    count = SHORT.count("[[brace]]")
    before, typed = wall.read_bytes(), "\n" * count + REST
    child = Child("built", wall, "--by", "lead framer", *NOW, before=STOPS_BEFORE_IT_WRITES, typed=typed)
    assert child.comes_to() == "writes"
    child.process.kill()
    child.end()
    assert wall.read_bytes() == before
    assert run(capsys, "layout", wall, "--gust", 20, "--budget", 0, "--write").status in (0, 1)
    assert wall.read_bytes() != before
    assert not (wall.parent / ".short.toml.lock").exists()


def test_of_two_starts_of_one_name_one_is_told(tmp_path):
    path = tmp_path / "wall.toml"
    link_too = STOPS_BEFORE_IT_WRITES.replace("replace", "link")
    first = Child("start", path, "--template", "level", before=link_too)
    assert first.comes_to() == "writes"
    second = Child("start", path, "--template", "gable", before=SAYS_IT_WAITS)
    second.comes_to()
    first.go_on()
    first.go_on()  # the schema beside it
    ended = [first.end(), second.end()]
    assert [status for status, _, _ in ended] == [0, 2]
    assert "level" in path.read_text(encoding="utf-8").lower()
    assert "a name that is not taken" in ended[1][2]


# -- what a command was asked to put out -----------------------------------------------------------------

CHART = "reach_ft,capacity_lb\n10,6000\n20,6000\n"


def putting_out(tmp_path):
    """Each command with an output, its words, the file it writes, and what it reads."""
    wall = tmp_path / "w.toml"
    wall.write_text(SHORT, encoding="utf-8")
    chart = tmp_path / "chart.csv"
    chart.write_text(CHART, encoding="utf-8")
    pictures = tmp_path / "pictures"
    job = tmp_path / "job"
    job.mkdir()
    (job / "a.toml").write_text(SHORT, encoding="utf-8")
    lift = ("lift", wall, "--chart", chart, "--distance", "10 ft", "--pictures", pictures)
    return {
        "check": (("check", wall, "--model", tmp_path / "m.json"), tmp_path / "m.json"),
        "sheet": (("sheet", wall, "-o", tmp_path / "s.html"), tmp_path / "s.html"),
        "csv": (("sheet", wall, "-o", tmp_path / "s.csv"), tmp_path / "s.csv"),
        "svg": (("sheet", wall, "-o", tmp_path / "s.svg"), tmp_path / "s.svg"),
        "dxf": (("sheet", wall, "-o", tmp_path / "s.dxf"), tmp_path / "s.dxf"),
        "stock": (("stock", "--height", "10 ft", "--gust", 40, "-o", tmp_path / "k.svg"), tmp_path / "k.svg"),
        "lift": (lift, pictures / "lift-hook.svg"),
        "folder": (("sheet", job, "-o", tmp_path / "out", "--no-pdf"), tmp_path / "out" / "a.html"),
        "index": (("sheet", job, "-o", tmp_path / "out", "--no-pdf"), tmp_path / "out" / "index.html"),
    }


KINDS = ("check", "sheet", "csv", "svg", "dxf", "stock", "lift", "folder", "index")


def needs(kind):
    package = {"svg": "matplotlib", "stock": "matplotlib", "lift": "matplotlib", "dxf": "ezdxf"}.get(
        kind, "jinja2"
    )
    if kind not in ("check", "csv"):
        pytest.importorskip(package)


@pytest.mark.parametrize("kind", KINDS)
def test_an_output_that_is_there_asks_for_overwrite(capsys, tmp_path, kind):
    needs(kind)
    words, target = putting_out(tmp_path)[kind]
    target.parent.mkdir(exist_ok=True)
    target.write_text("notes of last week", encoding="utf-8")
    ran = run(capsys, *words)
    assert (ran.status, ran.out) == (2, "")
    assert "--overwrite" in ran.err.splitlines()[0]
    assert len(ran.err.splitlines()) == 2
    assert target.read_text(encoding="utf-8") == "notes of last week"
    assert left_over(target.parent) == []
    if kind in ("check", "csv", "stock", "lift"):  # the others take the same way, and longer
        assert run(capsys, *words, "--overwrite").status in (0, 1)
        assert target.read_bytes() != b"notes of last week"
        assert left_over(target.parent) == []


@pytest.mark.parametrize("name", ["itself", "symbolic link", "hard link", "another way to it", "chart"])
def test_an_input_is_never_written_over(capsys, tmp_path, name):
    wall, chart = tmp_path / "w.toml", tmp_path / "chart.csv"
    wall.write_text(SHORT, encoding="utf-8")
    chart.write_text(CHART, encoding="utf-8")
    target = tmp_path / "link.json"
    if name == "symbolic link":
        target.symlink_to(wall)
    elif name == "hard link":
        os.link(wall, target)
    elif name == "another way to it":
        target = tmp_path / "x" / ".." / "w.toml"
        (tmp_path / "x").mkdir()
    else:
        target = wall
    words = ("check", wall, "--model", target)
    if name == "chart":
        pytest.importorskip("matplotlib")
        pictures = tmp_path / "p"
        pictures.mkdir()
        os.link(chart, pictures / "lift-force.svg")
        words, target = ("lift", wall, "--chart", chart, "--distance", "10 ft", "--pictures", pictures), chart
    before = target.read_bytes()
    for more in ((), ("--overwrite",)):
        ran = run(capsys, *words, *more)
        assert (ran.status, ran.out) == (2, "")
        assert "never written over" in ran.err.splitlines()[0]
        assert target.read_bytes() == before


def test_a_list_of_walls_is_never_its_own_result(capsys, tmp_path):
    listed = tmp_path / "list.csv"
    for text in ("length,height\n20 ft,8 ft\n", "length,height\n"):
        listed.write_text(text, encoding="utf-8")
        assert run(capsys, "walls", listed, "--gust", 30, "--workers", 1, "--out", listed).status == 2
        assert listed.read_text(encoding="utf-8") == text


LIMITED = """
import resource
resource.setrlimit(resource.RLIMIT_AS, (2_000_000_000, 2_000_000_000))
signal.alarm(600)
"""


@pytest.mark.parametrize("place", ["/dev/zero", "/dev/full", "/dev/null", "fifo", "folder"])
@pytest.mark.parametrize("command", ["walls", "check", "list"])
def test_a_place_that_is_no_plain_file_is_refused_at_once(capsys, tmp_path, place, command):
    """One that would be read or waited for without end is tried in a program of its own, which ends by itself."""
    endless = place in ("/dev/zero", "fifo")
    listed = tmp_path / "list.csv"
    listed.write_text("length,height\n20 ft,8 ft\n", encoding="utf-8")
    if place == "fifo":
        place = tmp_path / "pipe"
        os.mkfifo(place)
    elif place == "folder":
        place = tmp_path
    words = {
        "walls": ("walls", listed, "--gust", 30, "--workers", 1, "--out", place),
        "check": ("check", "--length", "16 ft", "--height", "8 ft", "--overwrite", "--model", place),
        "list": ("walls", place, "--gust", 30, "--workers", 1, "--out", tmp_path / "o.csv"),
    }[command]
    status, out, err = Child(*words, before=LIMITED).end() if endless else run(capsys, *words)
    assert (status, out) == (2, "")
    assert len(err.splitlines()) == 2
    assert str(place)[:50] in err.splitlines()[0]  # a long value is shown cut
    assert left_over(tmp_path) == []


STOPS_AT_ITS_FIRST_ROW = """
import bracing.commands.walls
bracing.commands.walls.count_rows = lambda: lambda done: stop("row")
"""


def test_two_runs_of_one_list_do_not_write_into_each_other(capsys, tmp_path):
    listed, target = tmp_path / "list.csv", tmp_path / "out.csv"
    listed.write_text("length,height\n20 ft,8 ft\n22 ft,8 ft\n", encoding="utf-8")
    words = ("walls", listed, "--gust", 30, "--workers", 1, "--out", target)
    first = Child(*words, before=STOPS_AT_ITS_FIRST_ROW)
    assert first.comes_to() == "row"
    status, out, err = Child(*words).end()
    first.go_on()
    first.go_on()
    assert first.end()[0] in (0, 1)
    assert (status, out) == (2, "")
    assert "written by another run" in err.splitlines()[0]
    rows = target.read_text(encoding="utf-8").splitlines()
    assert [row.split(",")[0] for row in rows] == ["line", "2", "3"]
    again = run(capsys, *words, "--json").json
    assert (again["rows"], again["done_before"]) == (2, 2)


@pytest.mark.parametrize("kind", ["csv", "dxf", "folder"])
def test_a_sheet_that_fails_leaves_nothing(tmp_path, kind):
    """On a disk that fills up: no file may grow past 100 bytes."""
    needs(kind)
    words, target = putting_out(tmp_path)[kind]
    small = "import resource\nresource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))\n"
    status, out, err = Child(*words, before=small).end()
    assert (status, out) == (2, "")
    assert "Traceback" not in err
    assert not target.exists()
    folder = target.parent
    assert not folder.exists() or left_over(folder) == []
    assert not folder.exists() or [p.name for p in folder.iterdir() if p.stat().st_size == 0] == []


def test_a_folder_whose_pdf_cannot_be_made_writes_no_page(capsys, tmp_path, monkeypatch):
    pytest.importorskip("jinja2")
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    (tmp_path / "a.toml").write_text(SHORT, encoding="utf-8")
    assert run(capsys, "sheet", tmp_path, "-o", tmp_path / "out").status == 2
    assert not (tmp_path / "out").exists()


def test_a_wall_named_index_has_a_page_beside_the_index(capsys, tmp_path):
    pytest.importorskip("jinja2")
    job, out = tmp_path / "job", tmp_path / "out"
    job.mkdir()
    walls = {"index": "North", "index-wall": "South", "Gable": "East", "gable": "West"}
    for stem, name in walls.items():
        named = SHORT.replace('name = "Kitchen wall"', f'name = "{name}"')
        (job / f"{stem}.toml").write_text(named, encoding="utf-8")
    ran = run(capsys, "sheet", job, "-o", out, "--no-pdf", "--json")
    files = [path.rpartition("/")[2] for path in ran.json["files"]]
    assert len({name.casefold() for name in files}) == 5
    index = (out / "index.html").read_text(encoding="utf-8")
    for name in files[1:]:
        assert f'href="{name}"' in index
        assert "<h1" in (out / name).read_text(encoding="utf-8")
    for wall in walls.values():
        assert wall in index
        holders = [name for name in files[1:] if f"<title>{wall}" in (out / name).read_text(encoding="utf-8")]
        assert len(holders) == 1


INTERRUPTED_AFTER_IT_WROTE = """
replace = os.replace
def then(*paths):
    replace(*paths)
    os.kill(os.getpid(), signal.SIGINT)
os.replace = then
"""


@pytest.mark.parametrize("command", ["layout", "sheet"])
def test_an_interrupt_after_the_write_says_what_was_written(tmp_path, command):
    wall = tmp_path / "w.toml"
    wall.write_text(SHORT, encoding="utf-8")
    if command == "sheet":
        pytest.importorskip("jinja2")
        target, words = tmp_path / "s.html", ("sheet", wall, "--overwrite", "-o", tmp_path / "s.html")
    else:
        target, words = wall, ("layout", wall, "--gust", 20, "--budget", 0, "--write")
    status, _, err = Child(*words, before=INTERRUPTED_AFTER_IT_WROTE).end()
    assert target.read_text(encoding="utf-8") != SHORT
    assert status == 130
    assert f"interrupted; written before that: {target}" in err
    assert "Traceback" not in err


def test_an_interrupt_before_the_write_names_no_file(tmp_path):
    wall = tmp_path / "w.toml"
    wall.write_text(SHORT, encoding="utf-8")
    before = INTERRUPTED_AFTER_IT_WROTE.replace("    replace(*paths)\n", "")
    status, _, err = Child("layout", wall, "--gust", 20, "--budget", 0, "--write", before=before).end()
    assert (status, wall.read_text(encoding="utf-8")) == (130, SHORT)
    assert "written before that" not in err
    assert left_over(tmp_path) == []


# -- what is read ----------------------------------------------------------------------------------------

HOUR = '{"time": "2026-03-06 20:00", "gust": 10}'
TWICE = {
    "an hour": ('{"hours": [HOUR, {"time": "2026-03-06 21:00", "gust": 90, "gust": 10}]}', "hours[1].gust"),
    "a bare list": ('[{"time": "2026-03-06 21:00", "gust": 90, "gust": 10}]', "[0].gust"),
    "hours": ('{"hours": [{"time": "2026-03-06 20:00", "gust": 90}], "hours": [HOUR]}', "hours"),
    "unit": ('{"unit": "m/s", "unit": "mph", "hours": [HOUR]}', "unit"),
    "deeper": ('[{"time": "2026-03-06 20:00", "gust": 9, "by": {"a": [{"b": 1, "b": 2}]}}]', "[0].by.a[0].b"),
    "the same value": ('{"hours": [{"time": "2026-03-06 20:00", "gust": 10, "gust": 10}]}', "hours[0].gust"),
}
BESIDE = ("--zone", "America/Chicago", "--now", "2026-03-06 15:00")


@pytest.mark.parametrize("case", TWICE)
def test_a_key_of_a_forecast_in_json_that_stands_twice_is_refused(capsys, tmp_path, wall, case):
    text, place = TWICE[case]
    path = tmp_path / "f.json"
    path.write_text(text.replace("HOUR", HOUR), encoding="utf-8")
    unit = () if case == "unit" else ("--unit", "mph")
    ran = run(capsys, "storm", wall, "--forecast", path, *BESIDE, *unit)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.splitlines()[0] == f"{path}: {place}: got the key twice; expected each key once"
    assert len(ran.err.splitlines()) == 2


@pytest.mark.parametrize("columns", ["time=t, gust=high, gust=low", "time=t, gust=high, sustained=high"])
def test_a_column_said_twice_is_refused(capsys, tmp_path, wall, columns):
    path = tmp_path / "f.csv"
    path.write_text("t,high,low\n2026-03-06 20:00,90,10\n", encoding="utf-8")
    ran = run(capsys, "storm", wall, "--forecast", path, *BESIDE, "--unit", "mph", "--columns", columns)
    assert (ran.status, ran.out) == (2, "")
    assert "--columns" in ran.err.splitlines()[0]


READ_TWICE = {
    "forecast": (
        "storm",
        "--forecast",
        "time,gust,gust\n2026-03-06 20:00,90,10\n",
        (*BESIDE, "--unit", "mph"),
    ),
    "chart": ("lift", "--chart", "reach_ft,capacity_lb,capacity_lb\n10,6000,90\n", ("--distance", "10 ft")),
    "readings": ("plumb", "--readings", "mark,floor,head,head\nB1,2 in,2 in,3 in\n", ()),
}


@pytest.mark.parametrize("kind", READ_TWICE)
def test_a_heading_that_stands_twice_is_refused(capsys, tmp_path, wall, kind):
    command, option, text, more = READ_TWICE[kind]
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    ran = run(capsys, command, wall, option, path, *more)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(f"{path}: ")


def test_a_list_of_walls_with_a_heading_twice_and_a_wall_with_a_key_twice_are_refused(capsys, tmp_path):
    listed, wall = tmp_path / "list.csv", tmp_path / "w.toml"
    listed.write_text("length,height,height\n20 ft,8 ft,20 ft\n", encoding="utf-8")
    assert run(capsys, "walls", listed, "--gust", 30, "--workers", 1).status == 2
    wall.write_text(SHORT.replace('height = "9 ft"', 'height = "9 ft"\nheight = "8 ft"'), encoding="utf-8")
    assert run(capsys, "check", wall).status == 2


@pytest.mark.parametrize("kind", ["csv", "json", "typed"])
def test_a_forecast_that_begins_later_than_now_says_that_now_is_not_covered(capsys, tmp_path, wall, kind):
    path = tmp_path / f"f.{kind}"
    text = {"csv": "time,gust\n2026-03-06 20:00,10\n2026-03-06 21:00,12\n", "json": f"[{HOUR}]", "typed": ""}
    path.write_text(text[kind], encoding="utf-8")
    words = ("--forecast", path, "--unit", "mph", "--zone", "America/Chicago")
    if kind == "typed":
        words = ("--gust", "10", "--from", "Fri 8 pm", "--until", "Sat 6 am", "--zone", "America/Chicago")
    for now, covered in (("2026-03-06 15:00", False), ("2026-03-06 20:00", True)):
        ran = run(capsys, "storm", wall, *words, "--now", now)
        assert ran.status == 0
        said = " ".join(ran.out.split())
        assert ("NOT COVERED: now until Fri Mar 6, 8 pm" in said) is not covered
        short = run(capsys, "storm", wall, *words, "--now", now, "--short")
        assert ("NOT COVERED: now until Fri Mar 6, 8 pm" in short.out) is not covered
        assert len(short.out.splitlines()) == 5
        answer = run(capsys, "storm", wall, *words, "--now", now, "--json").json
        assert answer["forecast"]["not_covered_until"] == (None if covered else "2026-03-06T20:00:00-06:00")
    folder = run(capsys, "storm", wall.parent, *words, "--now", "2026-03-06 15:00")
    assert "NOT COVERED: now until Fri Mar 6, 8 pm" in " ".join(folder.out.split())
