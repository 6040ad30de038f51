"""The first screens: help that can be copied, near names, completion, narrow terminals, the line to type next."""

from __future__ import annotations

import importlib
import os
import pkgutil
import shlex
import shutil
import subprocess
import sys

import pytest
import typer

from bracing import commands
from bracing.commands.cli import main
from bracing.commands.help import COMMANDS, EXAMPLES, LateGroup, commands_of
from bracing.commands.wall_options import wall_files
from bracing.reading.jobs import read_job
from tests import LONGEST_S
from tests.cli.running import EXAMPLES as EXAMPLE_FILES
from tests.cli.running import rest_of_walk, run
from tests.wall_files import wall_file

PARTS = ("cli", "faults", "help", "output")
MODULES = [
    m.name
    for m in pkgutil.iter_modules(commands.__path__)
    if m.name not in PARTS and not m.name.endswith("_options")
]
SLOW = ("walls", "layout")


@pytest.mark.parametrize("module", MODULES)
def test_every_command_is_in_the_list_with_the_first_line_of_its_help(module):
    found = commands_of(module)
    assert found
    for name, command in found.items():
        assert COMMANDS[name][0] == module
        assert COMMANDS[name][1].rstrip(".") in " ".join(command.help.split())
    assert {name for name, (home, _) in COMMANDS.items() if home == module} == set(found)


def test_the_list_names_every_command(capsys):
    out = run(capsys, "--help").out
    assert all(f"\n  {name} " in out for name in COMMANDS)
    assert run(capsys).out == out


def test_a_command_is_loaded_when_it_is_asked_for():
    code = "import sys; from bracing.commands.cli import main; main(['--help']); "
    code += "print([m for m in ('numpy', 'bracing.commands.check', 'tabulate') if m in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=LONGEST_S
    )
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("width", [40, 80])
def test_a_page_of_help_fits_the_terminal(capsys, monkeypatch, name, width):
    monkeypatch.setenv("COLUMNS", str(width))
    out = run(capsys, name, "--help").out
    assert out.startswith(f"Usage: bracing {name}")
    wide = [line for line in out.splitlines() if len(line) > width]
    # a word that has to be typed as it stands may stick out, alone on its line
    assert all(len(shlex.split(line.rstrip(" \\"))) == 1 for line in wide), wide


@pytest.mark.parametrize("width", [40, 80])
def test_the_first_screen_fits_the_terminal(capsys, monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))
    assert max(map(len, run(capsys, "--help").out.splitlines())) <= width


CORNERED = EXAMPLE_FILES / "five-walls"


def test_every_command_has_two_examples():
    assert set(EXAMPLES) == set(COMMANDS)
    assert {len(found) for found in EXAMPLES.values()} == {2}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A newcomer's folder: a demo wall with its braces written in, and a list of walls."""
    home = tmp_path_factory.mktemp("newcomer")
    (home / "walls.csv").write_text("file\ngable.toml\n", encoding="utf-8")
    before = os.getcwd()
    os.chdir(home)
    try:
        assert main(["start", "gable.toml", "--template", "gable"]) == 0
        assert main(["layout", "gable.toml", "--gust", "40", "--budget", "10", "--write"]) == 0
    finally:
        os.chdir(before)
    return home


ENDLESS = "bracing serve ."  # tests of pages start it, and stop it


@pytest.mark.slow
@pytest.mark.parametrize("name", COMMANDS)
def test_the_examples_run_as_they_stand(folder, name):
    """Each ends with a verdict: within or over, never bad input and never a fault of the program."""
    for _, line in EXAMPLES[name]:
        if line == ENDLESS:
            continue
        program, *words = shlex.split(line)
        assert program == "bracing"
        assert words[0] == name
        new = folder / name
        new.mkdir(exist_ok=True)
        for path in folder.glob("*.*"):
            if name not in ("start", "box"):
                (new / path.name).write_bytes(path.read_bytes())
        if name == "box":
            shutil.copytree(CORNERED, new, dirs_exist_ok=True)
        braces = (folder / "gable.toml").read_text(encoding="utf-8").count("[[brace]]")
        looks = len(rest_of_walk(read_job(folder / "gable.toml")))
        typed = {
            "start": "A\nlevel\n\n30 ft\n9 ft\ndone\n\n",
            "built": "\n" * (braces + looks) + "lead framer\n",
        }.get(name, "")
        done = subprocess.run(
            [sys.executable, "-m", "bracing", *words], cwd=new, input=typed, capture_output=True,
            text=True, timeout=LONGEST_S,
        )  # fmt: skip
        assert done.returncode in (0, 1, 4), f"{line}\n{done.stdout}\n{done.stderr}"
        assert done.stdout


def test_the_help_shows_its_examples_as_they_can_be_pasted(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    for name, examples in EXAMPLES.items():
        out = run(capsys, name, "--help").out.replace("\\\n", " ")
        shown = [shlex.split(line) for line in out.splitlines() if line.startswith("  bracing ")]
        assert shown == [shlex.split(line) for _, line in examples]


# -- the line to type next -------------------------------------------------------------------------------


def last(ran):
    assert ran.status == 2
    return ran.err.splitlines()[-1]


def test_a_misspelt_command_is_put_right(capsys):
    assert last(run(capsys, "chek", "a.toml", "--gust", "45")) == "next: bracing check a.toml --gust 45"


def test_a_misspelt_option_is_put_right(capsys, tmp_path):
    ran = run(capsys, "check", "my wall.toml", "--gsut", "45")
    assert last(ran) == "next: bracing check 'my wall.toml' --gust 45"


def test_a_misspelt_file_is_put_right(capsys, tmp_path):
    path = wall_file(tmp_path)
    wrong = tmp_path / "wal.toml"
    assert last(run(capsys, "check", wrong)) == f"next: bracing check {path}"


def test_no_file_at_all_can_be_made(capsys, tmp_path):
    path = tmp_path / "none" / "new.toml"
    assert last(run(capsys, "check", path)) == f"next: bracing start {path}"


def test_a_fault_in_the_file_says_which_file_to_put_right(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text('[wall]\nlength = "9"\nheight = "8 ft"\n', encoding="utf-8")
    assert last(run(capsys, "check", path)) == f"next: put {path} right, then: bracing check {path}"


def test_a_wrong_value_leads_to_the_help_of_its_command(capsys):
    assert last(run(capsys, "check", "--length", "9 ft", "--height", "8 ft", "--gust", "fast")) == (
        "next: bracing check --help"
    )
    assert last(run(capsys, "frobnicate")) == "next: bracing --help"


# -- completion ------------------------------------------------------------------------------------------


def test_a_shell_completes_commands_and_options():
    env = os.environ | {"_BRACING_COMPLETE": "complete_bash", "COMP_WORDS": "bracing st", "COMP_CWORD": "1"}
    done = subprocess.run(
        [sys.executable, "-m", "bracing"], env=env, capture_output=True, text=True, timeout=LONGEST_S
    )
    assert {"start", "storm", "stages"} <= set(done.stdout.split())
    env |= {"COMP_WORDS": "bracing check --gu", "COMP_CWORD": "2"}
    done = subprocess.run(
        [sys.executable, "-m", "bracing"], env=env, capture_output=True, text=True, timeout=LONGEST_S
    )
    assert "--gust" in done.stdout


def test_a_shell_completes_wall_files(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    wall_file(tmp_path)
    (tmp_path / "walls").mkdir()
    (tmp_path / "notes.txt").write_text("x", encoding="utf-8")
    assert wall_files("wa") == ["wall.toml", "walls/"]
    assert wall_files("") == ["wall.toml", "walls/"]
    assert wall_files("nowhere/x") == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell", "pwsh"])
def test_the_script_of_each_shell_can_be_shown(shell):
    env = os.environ | {"_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    words = [sys.executable, "-m", "bracing", "--show-completion", shell]
    done = subprocess.run(words, env=env, capture_output=True, text=True, timeout=LONGEST_S)
    assert done.returncode == 0, done.stderr
    assert "_BRACING_COMPLETE" in done.stdout


def test_a_group_loads_from_its_table_only():
    app = typer.Typer(cls=LateGroup, add_completion=False)
    app.callback()(lambda: None)
    group = typer.main.get_group(app)
    assert group.get_command(None, "nothing") is None
    assert group.get_command(None, "check").name == "check"
    assert importlib.import_module("bracing.commands.check")
