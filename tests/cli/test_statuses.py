"""Exit statuses of every command: 0 within, 1 not, 2 bad input, 3 our own fault, 4 people out, 130 interrupted."""

import errno
import sys
from types import SimpleNamespace

import pytest

import bracing.reading.crew  # it keeps the true reader, which tests below put another in the place of
import bracing.reading.jobs
from bracing.commands.faults import install_line
from bracing.commands.help import COMMANDS
from bracing.errors import AccuracyError, MechanismError, MissingExtraError, NoLayoutError
from tests.cli.running import EXAMPLES, run
from tests.wall_files import wall_file

AS_FOUND = EXAMPLES / "as-found.toml"
ON_A_WALL = {
    "chance": ("--gust", "20"),
    "check": ("--gust", "20"),
    "fasteners": ("--gust", "20"),
    "layout": ("--gust", "20"),
    "stages": ("--gust", "20"),
    "storm": ("--gust", "20"),
    "weight": (),
    "lift": (),
    "plumb": ("--at", "B1: 2 in, 2 in"),
    "sheet": ("--gust", "20"),
    "trace": ("--gust", "20"),
}
FAULTS = (
    RuntimeError("two\nlines"),
    ZeroDivisionError("division by zero"),
    KeyError("x"),
    MemoryError(),
    RecursionError("deep"),
    AccuracyError("forces", 1.0, 1e-6),
    AttributeError("'NoneType' object has no attribute 'x'"),
    OSError(errno.EINVAL, "odd"),
    UnicodeEncodeError("utf-8", "\udc80", 0, 1, "surrogates"),
    AssertionError(),
)


def broken(error):
    def act(*_, **__):
        raise error

    return act


@pytest.mark.parametrize("command", ON_A_WALL)
def test_our_own_fault_is_status_3_on_one_line_and_says_how_to_report_it(
    capsys, monkeypatch, tmp_path, command
):
    wall = wall_file(tmp_path)
    for error in FAULTS:
        monkeypatch.setattr(bracing.reading.jobs, "read_job", broken(error))
        for words in ((), ("--json",)):
            ran = run(capsys, command, wall, *ON_A_WALL[command], *words)
            assert ran.status == 3
            assert ran.out == ""
            assert ran.err.count("\n") == 1
            assert ran.err.startswith("bracing: a fault of the program itself, version ")
            assert "report it" in ran.err
            assert "Traceback" not in ran.err
            assert type(error).__name__ in ran.err


@pytest.mark.parametrize("command", ON_A_WALL)
def test_interrupted_is_status_130_and_one_word(capsys, monkeypatch, tmp_path, command):
    monkeypatch.setattr(bracing.reading.jobs, "read_job", broken(KeyboardInterrupt()))
    ran = run(capsys, command, wall_file(tmp_path), *ON_A_WALL[command])
    assert (ran.status, ran.out, ran.err) == (130, "", "bracing: interrupted\n")


@pytest.mark.parametrize("command", ON_A_WALL)
def test_bad_input_is_status_2_for_every_command(capsys, tmp_path, command):
    bad = tmp_path / "bad.toml"
    bad.write_text("[wall]\nlength = 24\n")
    for words in ((bad,), (tmp_path / "none.toml",), (), (bad, "--nope"), ("a.toml", "b.toml")):
        ran = run(capsys, command, *words, *ON_A_WALL[command])
        assert ran.status == 2
        assert ran.out == ""
        assert "expected" in ran.err.splitlines()[0]
        assert "Traceback" not in ran.err


@pytest.mark.parametrize("command", ["check", "stages", "storm"])
def test_within_is_0_and_over_is_1(capsys, tmp_path, command):
    wall = wall_file(tmp_path)
    assert run(capsys, command, wall, "--gust", "20").status == 0
    assert run(capsys, command, wall, "--gust", "90").status == 1
    assert run(capsys, command, AS_FOUND, "--gust", "30").status == 1
    assert run(capsys, command, wall, "--gust", "130").status == 1  # for an engineer


def test_no_gust_asked_is_0_even_where_nothing_stands(capsys):
    assert run(capsys, "check", AS_FOUND).status == 0
    assert run(capsys, "weight", AS_FOUND).status == 0


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (MechanismError(2, 1), str(MechanismError(2, 1))),
        (NoLayoutError("no spot for a foot", 12), "no layout found after 12 tried: no spot for a foot"),
    ],
)
def test_none_found_is_1_on_one_line(capsys, monkeypatch, tmp_path, error, words):
    monkeypatch.setattr(bracing.reading.jobs, "read_job", broken(error))
    ran = run(capsys, "check", wall_file(tmp_path))
    assert ran.status == 1
    assert ran.err.count("\n") == 1
    assert words in ran.err


def test_every_command_is_known_here_or_takes_no_wall():
    assert set(COMMANDS) - set(ON_A_WALL) <= {
        "start",
        "schema",
        "walls",
        "built",
        "stock",
        "box",
        "log",
        "watch",
        "pull",
        "serve",
    }


def test_a_disk_without_room_is_no_fault_of_ours(capsys, monkeypatch, tmp_path):
    for number in (errno.ENOSPC, errno.EROFS, errno.EFBIG):
        monkeypatch.setattr(
            bracing.reading.jobs, "read_job", broken(OSError(number, "No space left on device"))
        )
        ran = run(capsys, "check", wall_file(tmp_path))
        assert ran.status == 2
        assert "No space left on device" in ran.err


@pytest.mark.parametrize(
    ("cause", "line"),
    [(ImportError("no module"), "-m pip install "), (OSError("no library"), "apt-get install libpango")],
)
def test_a_missing_extra_is_named_with_the_line_that_installs_it(capsys, monkeypatch, tmp_path, cause, line):
    def act(*_, **__):
        package, extra = "weasyprint", "pdf"
        raise MissingExtraError(package, extra) from cause

    monkeypatch.setattr(bracing.reading.jobs, "read_job", act)
    ran = run(capsys, "check", wall_file(tmp_path), "--json")
    assert ran.status == 2
    assert ran.json["errors"][0]["value"] == "no weasyprint"
    last = ran.err.splitlines()[-1]
    assert last.startswith("next: ")
    assert line in last
    assert ("[pdf]" in last) is isinstance(cause, ImportError)


@pytest.mark.parametrize(
    ("noted", "words"),
    [
        (None, ["'bracing[pdf]'"]),
        ("not JSON", ["'bracing[pdf]'"]),
        ('{"url": "https://example.org/x.whl"}', ["'bracing[pdf]'"]),
        ('{"url": "HERE", "dir_info": {}}', ["'.[pdf]'"]),
        ('{"url": "HERE", "dir_info": {"editable": true}}', ["-e", "'.[pdf]'"]),
        ('{"url": "HERE/a%20b/x.whl", "archive_info": {}}', ["'./a b/x.whl[pdf]'"]),
    ],
)
def test_an_extra_is_installed_from_where_the_package_came(monkeypatch, tmp_path, noted, words):
    note = tmp_path / "direct_url.json"
    if noted is not None:
        note.write_text(noted.replace("HERE", tmp_path.as_uri()), encoding="utf-8")
    installed = SimpleNamespace(files=None if noted is None else [tmp_path / "METADATA", note])
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("importlib.metadata.distribution", lambda _: installed)
    monkeypatch.setattr(sys, "executable", str(tmp_path / ".venv" / "bin" / "python"))
    assert install_line("pdf") == " ".join([".venv/bin/python -m pip install", *words])
