"""The special cases: full disks, closed pipes, Ctrl-C, links, read-only folders, files that are no text."""

import json
import os
import re
import resource
import signal
import subprocess
import sys
import time

import pytest

from bracing.commands.cli import main
from bracing.reading.files import put_in_place
from bracing.reading.writing import write_wall
from tests import LONGEST_S
from tests.cli.running import EXAMPLES, ROOT, listen, run
from tests.wall_files import wall_file, wall_text

AS_FOUND = EXAMPLES / "as-found.toml"
FULL = "/dev/full"
posix = pytest.mark.skipif(not os.path.exists(FULL), reason="a system without /dev/full")


def faults_in(text):
    """Lines that name a fault: what to type next stands on a line of its own after them."""
    return sum(not line.startswith("next: ") for line in text.splitlines())


def shell(command, **env):
    """A line of a shell; {} is the program."""
    line = command.replace("{}", f'"{sys.executable}" -m bracing')
    return subprocess.run(
        ["sh", "-c", line],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=LONGEST_S,
        stdin=subprocess.DEVNULL,
        env=os.environ | env,
    )


def is_quiet(err):
    return "Traceback" not in err and "fault of the program" not in err and "Exception ignored" not in err


# -- where the answer goes -------------------------------------------------------------------------------


@posix
@pytest.mark.parametrize("words", [f"check {AS_FOUND} --json", f"check {AS_FOUND}", "--help", "--version"])
def test_an_answer_to_a_full_disk_is_one_line_and_bad_input(words):
    ran = shell(f"{{}} {words} > {FULL}")
    assert ran.returncode == 2
    assert faults_in(ran.stderr) == 1
    assert "No space left on device" in ran.stderr
    assert is_quiet(ran.stderr)


@posix
def test_faults_to_a_full_disk_are_still_bad_input():
    both = shell(f"{{}} check nowhere.toml --json > {FULL}")
    assert (both.returncode, faults_in(both.stderr)) == (2, 1)
    assert shell(f"{{}} check nowhere.toml 2> {FULL}").returncode == 2


def test_streams_closed_before_the_start():
    assert shell(f"{{}} check {AS_FOUND} --gust 30 >&-").returncode == 1
    assert shell("{} check nowhere.toml 2>&-").returncode == 2
    assert shell("{} check nowhere.toml --json >&- 2>&-").returncode == 2


@pytest.mark.parametrize(
    "words", [f"check {AS_FOUND} --json", f"check {AS_FOUND} --links", "check --help", "--version"]
)
def test_a_closed_pipe_is_quiet(words):
    ran = shell(f"{{}} {words} | head -n 1")
    assert ran.stderr == ""
    assert ran.stdout.count("\n") == 1


def test_faults_into_a_closed_pipe_are_quiet(tmp_path):
    path = tmp_path / "bad.toml"
    path.write_text(wall_text() + "".join(f'k{i} = "{"x" * 190}"\n' for i in range(190)))
    assert is_quiet(shell(f"{{}} check {path} --json 2>&1 | head -c 1").stdout)
    ran = shell(f"{{ {{}} check {path} 2>&1; echo $? >&2; }} | head -c 1".replace("{ {}", "{ {}"))
    assert is_quiet(ran.stderr)


# -- stopped by hand -------------------------------------------------------------------------------------


LONG_ENOUGH = 2.0


@pytest.mark.skipif(os.name == "nt", reason="signals of another kind")
def test_interrupted_at_any_moment_is_one_word_and_130():
    seen = set()
    for wait in (0.2, 0.5, 0.9, 1.4, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0):
        if wait > LONG_ENOUGH and "interrupted" in seen:
            break  # the longer waits are for a machine so busy that nothing had begun yet
        process = subprocess.Popen(
            [sys.executable, "-m", "bracing", "check", AS_FOUND, "--json"],
            cwd=ROOT,
            text=True,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            preexec_fn=listen,
        )
        time.sleep(wait)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=LONGEST_S)
        status = process.returncode
        if err == "bracing: interrupted\n":
            # Python itself ends by the signal where it broke into generated code; a shell shows 130 for both.
            assert status in (130, -signal.SIGINT)
            seen.add("interrupted")
        elif "Traceback" in err:
            # before the first line of ours that could hear of it: the package's own names, and what begins the program
            begins = re.compile(rf"{re.escape(str(ROOT))}/bracing/(__init__|__main__|_version)\.py")
            assert "/bracing/" not in begins.sub("", err), err
        elif status != -signal.SIGINT:  # too early for Python to say anything, else it was done before
            assert status == 0
            assert json.loads(out)["limit_gust_mph"] is not None
    assert "interrupted" in seen


# -- files that are written ------------------------------------------------------------------------------


def in_child(act):
    """Run something in a forked process with its own limits and user; give its exit status."""
    child = os.fork()
    if child == 0:
        status = 99
        try:
            status = act()
        finally:
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def with_little_disk(act):
    """The same where no file may pass 1 KB: a write comes back half done, as on a disk that fills up."""

    def limited():
        resource.setrlimit(resource.RLIMIT_FSIZE, (1024, 1024))
        return act()

    return in_child(limited)


def test_a_frame_on_a_disk_that_fills_up_leaves_nothing_half_written(tmp_path):
    model, wall = tmp_path / "model.json", wall_file(tmp_path)
    words = ["check", str(wall), "--gust", "20", "--model", str(model)]
    assert with_little_disk(lambda: main(words)) == 2
    assert sorted(tmp_path.iterdir()) == [wall]
    model.write_text("the one before")
    assert with_little_disk(lambda: main(words)) == 2
    assert model.read_text() == "the one before"


def test_a_wall_file_on_a_disk_that_fills_up_stays_as_it_was(tmp_path):
    wall = wall_file(tmp_path)
    before = wall.read_bytes()
    assert len(before) > 1024

    def change():
        try:
            write_wall(wall, changes={"wall.moisture": "dry"})
        except ValueError as error:
            return 2 if "the file was not changed" in str(error) else 3
        return 0

    assert with_little_disk(change) == 2
    assert wall.read_bytes() == before
    assert list(tmp_path.iterdir()) == [wall]


def test_a_write_broken_off_before_its_last_step_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "wall.toml"
    path.write_text("old")

    def broken(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", broken)
    with pytest.raises(KeyboardInterrupt):
        put_in_place(path, b"new")
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_killed_while_writing_leaves_the_old_file_or_the_new_one(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_bytes(b"old" * 100)

    def kill_itself_soon():
        signal.setitimer(signal.ITIMER_REAL, 0.05)  # its default act ends the process, wherever it is
        while True:
            put_in_place(path, b"new" * 100_000)

    assert in_child(kill_itself_soon) == -signal.SIGALRM
    assert path.read_bytes() in (b"old" * 100, b"new" * 100_000)


@pytest.mark.skipif(os.geteuid() != 0, reason="needs root, to become somebody without rights")
def test_a_read_only_folder_is_said_and_nothing_is_changed(tmp_path, tmp_path_factory):
    for folder in (tmp_path, *tmp_path.parents[:2]):
        folder.chmod(folder.stat().st_mode | 0o555)
    wall = wall_file(tmp_path)
    before = wall.read_bytes()
    wall.chmod(0o444)
    other = tmp_path_factory.mktemp("other")
    # What is loaded on first use may be out of reach of nobody: use it once before.
    assert main(["check", str(wall), "--gust", "20", "--model", str(other / "model.json")]) == 0
    write_wall(wall_file(other), changes={"wall.moisture": "dry"})
    tmp_path.chmod(0o555)

    def nobody():
        os.seteuid(65534)
        frame = main(["check", str(wall), "--gust", "20", "--model", str(tmp_path / "model.json")])
        try:
            write_wall(wall, changes={"wall.moisture": "dry"})
        except ValueError as error:
            return frame if "permission denied" in str(error) else 98
        return 97

    assert in_child(nobody) == 2
    assert wall.read_bytes() == before
    assert list(tmp_path.iterdir()) == [wall]


def test_a_link_is_followed_and_stays_a_link(tmp_path, capsys):
    wall, link = wall_file(tmp_path), tmp_path / "link.toml"
    link.symlink_to(wall.name)
    by_link, by_name = (run(capsys, "check", path, "--gust", 20, "--json").json for path in (link, wall))
    assert by_link == by_name
    write_wall(link, changes={"wall.moisture": "dry"})
    assert link.is_symlink()
    assert 'moisture = "dry"' in wall.read_text()


@pytest.mark.parametrize("target", ["missing.toml", "link.toml", "/dev/zero", "/dev/stdin", "."])
def test_a_link_to_nothing_useful_is_bad_input(tmp_path, capsys, target):
    link = tmp_path / "link.toml"
    link.symlink_to(target)
    ran = run(capsys, "check", link)
    assert (ran.status, faults_in(ran.err)) == (2, 1)


# -- files that are read ---------------------------------------------------------------------------------

BESIDE = {
    "chart": ("lift", "--chart", "--distance", "10 ft"),
    "readings": ("plumb", "--readings"),
    "forecast": ("storm", "--forecast"),
}


@pytest.mark.parametrize("kind", BESIDE)
@pytest.mark.parametrize(
    "content",
    [
        b"",
        b" \n",
        b"\x00\x01\x02",
        b"\xff\xfe\x00",
        b"a" * 1_000_001,
        b"reach_ft,capacity_lb\n" + b"9" * 200_000,
        b'mark,floor,head\n"' + b"," * 900_000,
        b"time,gust\n" * 200_000,
        b"{" * 100_000,
        b"[" * 100_000,
        b"time(" * 20_000,
        b"x," * 90_000 + b"x\n",
        b"\r\r\r",
    ],
    ids=[
        "empty",
        "blank",
        "binary",
        "utf-16",
        "huge",
        "long cell",
        "open quote",
        "rows",
        "deep",
        "deep list",
        "brackets",
        "columns",
        "returns",
    ],
)
def test_a_table_past_all_sense_is_refused_at_once(tmp_path, capsys, kind, content):
    path = tmp_path / "table.csv"
    path.write_bytes(content)
    command, option, *more = BESIDE[kind]
    began = time.process_time()
    ran = run(capsys, command, wall_file(tmp_path), option, path, *more)
    assert time.process_time() - began < 2.0
    assert ran.status == 2
    assert is_quiet(ran.err)
    assert ran.err.startswith(str(path))


@pytest.mark.parametrize("kind", BESIDE)
def test_a_table_is_never_waited_for(tmp_path, capsys, kind):
    pipe = tmp_path / "pipe.csv"
    os.mkfifo(pipe)
    command, option, *more = BESIDE[kind]
    for place in (pipe, "/dev/zero", tmp_path):
        assert run(capsys, command, wall_file(tmp_path), option, place, *more).status == 2


def test_a_forecast_without_a_zone_is_one_fault_however_many_rows(tmp_path, capsys):
    """Found by fuzzing: each row took up the faults of all before it, and 30 rows filled the memory."""
    path = tmp_path / "forecast.csv"
    rows = "".join(f"2026-03-{6 + k // 24:02d} {k % 24:02d}:00,45\n" for k in range(400))
    path.write_text(f"time,gust [mph]\n{rows}")
    ran = run(capsys, "storm", wall_file(tmp_path), "--forecast", path, "--now", "2026-03-06 05:00")
    assert (ran.status, faults_in(ran.err)) == (2, 1)
    assert "time zone" in ran.err


@pytest.mark.parametrize(
    "words",
    [
        ("--now", "0001-01-01"),
        ("--now", "9999-12-31 23:59"),
        ("--lead", "9999 years"),
        ("--stands", "9999 years"),
        ("--from", "0001-01-01 00:00"),
    ],
)
def test_a_time_past_all_sense_is_bad_input(tmp_path, capsys, words):
    """Found by fuzzing: a date at either end of the calendar was a fault of the program."""
    ran = run(capsys, "storm", wall_file(tmp_path), "--gust", "20", *words)
    assert (ran.status, faults_in(ran.err)) == (2, 1)
    assert words[0] in ran.err


@pytest.mark.parametrize("gust", ["9" * 400, "nan", "inf", "1e3", "４５", "-5", "", "45 ft"])
def test_a_gust_that_is_no_number_is_bad_input(tmp_path, capsys, gust):
    """Found by fuzzing: four hundred digits were an infinite gust, which JSON cannot carry."""
    for command in ("check", "fasteners", "stages", "storm", "lift"):
        ran = run(capsys, command, wall_file(tmp_path), "--gust", gust, "--json")
        assert (ran.status, faults_in(ran.err)) == (2, 1)
        assert "--gust" in ran.err


@pytest.mark.parametrize(
    ("option", "text"),
    [
        ("--dynamic", "nan"),
        ("--line-kv", "nan"),
        ("--line-kv", "inf"),
        ("--toe-nails", "²: 16d common"),
        ("--toe-nails", "９: 16d common"),
        ("--straps", "9" * 5000 + ": 400 lb"),
        ("--blocks", "8: " + "9" * 5000 + " of 16d common"),
    ],
)
def test_an_option_of_a_lift_that_is_no_number_is_bad_input(tmp_path, capsys, option, text):
    ran = run(capsys, "lift", wall_file(tmp_path), option, text, "--json")
    assert ran.status == 2
    assert option in ran.err
    assert is_quiet(ran.err)


def test_a_chart_is_typed_in_plain_digits(tmp_path, capsys):
    for number in ("1_000", "１０", "1e3", "nan", "inf", "-1", "9" * 400):
        path = tmp_path / "chart.csv"
        path.write_text(f"reach_ft,capacity_lb\n10,{number}\n", encoding="utf-8")
        ran = run(capsys, "lift", wall_file(tmp_path), "--chart", path, "--distance", "10 ft")
        assert ran.status == 2
        assert "line 2, capacity" in ran.err


def test_an_empty_key_and_a_key_of_two_lines_are_one_line_each(tmp_path, capsys):
    """Found by fuzzing: a fault named no field, and one ran over two lines."""
    path = tmp_path / "wall.toml"
    path.write_text(wall_text() + '"" = 1\n"a\\nb" = 2\n')
    ran = run(capsys, "check", path)
    assert (ran.status, faults_in(ran.err)) == (2, 2)
    assert 'brace[3].""' in ran.err
    assert r"brace[3].a\nb: got 2;" in ran.err


def test_a_word_with_a_line_break_is_one_line(tmp_path, capsys):
    ran = run(capsys, "check", wall_file(tmp_path), "--gust", "45\nfurlongs\r")
    assert (ran.status, faults_in(ran.err)) == (2, 1)


@pytest.mark.parametrize(
    "changes", [{"counts": (0, 8, 8)}, {"counts": (8, 0, 0)}, {"extras": 0, "state": "tacked"}]
)
def test_a_sheet_of_a_wall_with_joints_of_nothing_is_made(tmp_path, capsys, changes):
    """Found by fuzzing: no fasteners at the head were a division by zero, a plate on nothing an endless number."""
    pytest.importorskip("matplotlib")
    pytest.importorskip("jinja2")
    path = tmp_path / "wall.toml"
    state = changes.pop("state", "final")
    path.write_text(wall_text(**changes).replace('state = "final"', f'state = "{state}"'))
    ran = run(capsys, "sheet", path, "--gust", "30", "-o", tmp_path / "sheet.html")
    assert ran.status == 1
    page = (tmp_path / "sheet.html").read_text()
    assert "over 400 mph" not in page or "counts for nothing" in page
    assert not re.search(
        r"\b(nan|inf)\b", re.sub(r"<script.*?</script>", "", page, flags=re.DOTALL), re.IGNORECASE
    )


def test_the_line_to_type_next_is_one_line(tmp_path, capsys):
    """Found by fuzzing: a word with a line break in it was repeated as it stood."""
    ran = run(capsys, "check", wall_file(tmp_path), "--gst", "45\n46")
    assert ran.status == 2
    assert [line.split(":")[0] for line in ran.err.splitlines()] == ["command line", "next"]


def test_the_frame_of_the_largest_wall_fits_in_memory(tmp_path):
    """Found by fuzzing: members cut to 4 in took 1.7 GB for 120 ft of gable."""
    words = [
        "--length",
        "120 ft",
        "--height",
        "18 ft",
        "--peak",
        "24 ft",
        "--studs",
        "2x6@12in",
        "--gust",
        "30",
    ]
    words += ["--brace", "8ft:head 14ft:back 14ft:2x6", "--model", str(tmp_path / "model.json")]
    asked = (
        "import pathlib, re, sys; from bracing.commands.cli import main; status = main(sys.argv[1:]); "
        "most = re.search(r'VmHWM:\\s+(\\d+) kB', pathlib.Path('/proc/self/status').read_text()); "
        "print(status, most.group(1))"
    )
    ran = subprocess.run(
        (sys.executable, "-c", asked, "check", *words), capture_output=True, text=True, check=True
    )
    status, most_kb = ran.stdout.split()[-2:]
    assert status == "1"
    assert int(most_kb) < 500_000
    assert len(json.loads((tmp_path / "model.json").read_text())["nodes"]) < 3000


def test_nothing_is_written_where_the_wall_or_another_file_is_refused(capsys, tmp_path):
    """A form, or the rows of a log, were there already when the wall, or the backup beside them, was refused."""
    wall = wall_file(tmp_path)
    text = wall.read_text(encoding="utf-8")
    pulls = '[[pull_test]]\nname = "T1"\nfastener = "16d common"\ninto = "joist"\npeaks = ["120 lb"]\nboards = [1]\n'
    brace = '[[brace]]\nmark = "B1"\nstud_at = "13 in"\nhead = "6 ft"\nset_back = "6 ft"\n'
    wall.write_text(f'{text}\n{brace}{pulls}ends = ["drawn"]\ndivision = "5 lb"\n', encoding="utf-8")
    ran = run(capsys, "pull", wall, "--show", "--form", tmp_path / "form.html")
    assert (ran.status, (tmp_path / "form.html").exists()) == (2, False)
    wall.write_text(text, encoding="utf-8")
    ran = run(capsys, "log", tmp_path, "--begin", "-o", tmp_path / "rows.csv", "--backup", wall)
    assert (ran.status, (tmp_path / "rows.csv").exists()) == (2, False)
    assert "; expected another file: this one is read, and is never written over" in ran.err
    assert "can be written" not in ran.err
