"""Consoles that are not UTF-8, shells that are not POSIX, and calls only POSIX has; as far as this machine can tell."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path

import pytest

from bracing.commands.output import SPELT
from bracing.commands.wall_options import quoted
from bracing.text.page import Page
from tests import LONGEST_S
from tests.cli.running import EXAMPLES
from tests.house.tree import modules, nodes
from tests.wall_files import wall_file

pytestmark = pytest.mark.xdist_group("consoles")  # one worker asks each console, once
AS_FOUND = str(EXAMPLES / "as-found.toml")
POSIX_ONLY = {
    "fcntl",
    "grp",
    "posix",
    "pty",
    "pwd",
    "resource",
    "termios",
    "tty",
    "syslog",
    "readline",
    "curses",
}
POSIX_CALLS = {
    "fork",
    "getuid",
    "geteuid",
    "uname",
    "killpg",
    "setsid",
    "mkfifo",
    "chown",
    "statvfs",
    "sysconf",
    "wait3",
}
SIGNALS = {"SIGHUP", "SIGKILL", "SIGALRM", "SIGUSR1", "SIGPIPE", "setitimer", "alarm"}


def started(*words, encoding, typed="", cwd=None, program=("-m", "bracing")):
    """Run the program with a console of some encoding; give status, stdout and stderr as bytes."""
    env = os.environ | {
        "PYTHONIOENCODING": encoding,
        "PYTHONPATH": os.pathsep.join(sys.path),
        "PYTHONUTF8": "0",
    }
    command = [sys.executable, *program, *map(str, words)]
    done = subprocess.run(
        command, input=typed.encode(encoding), capture_output=True, env=env, cwd=cwd, timeout=LONGEST_S
    )
    return done.returncode, done.stdout, done.stderr


TRACE = ("trace", AS_FOUND, "--gust", "30")
COMMANDS = [
    ("check", AS_FOUND, "--gust", "30", "--links"),
    TRACE,
    ("weight", AS_FOUND, "--metric"),
    ("lift", AS_FOUND),
    ("stages", AS_FOUND, "--gust", "20"),
    ("--help",),
    ("--version",),
]


# One process a console runs them all: a start costs as much as an answer.
EACH = """
import json, sys
from bracing.commands.cli import main
for words in json.loads(sys.argv[1]):
    status = main(words)
    sys.stdout.flush()
    sys.stderr.flush()
    for stream in (sys.stdout, sys.stderr):
        stream.buffer.write(b"\\0%d\\0" % status)
        stream.flush()
"""


NAME = "Łódź \N{LEFT SINGLE QUOTATION MARK}north\N{RIGHT SINGLE QUOTATION MARK} 北"
OF_THE_NAMED = (("weight", "--json"), ("weight",))


@cache
def answers(encoding):
    """Status, stdout and stderr of every command on a console of some encoding, by its words without the file."""
    with tempfile.TemporaryDirectory() as folder:
        path = wall_file(Path(folder))
        path.write_text(path.read_text(encoding="utf-8").replace("Test wall", NAME), encoding="utf-8")
        named = [(words[0], str(path), *words[1:]) for words in OF_THE_NAMED]
        found = started("-c", EACH, json.dumps([*COMMANDS, *named]), encoding=encoding, program=())
    assert found[0] == 0, found[2]
    outs, errs = (stream.split(b"\0")[:-1] for stream in found[1:])
    keys = [*COMMANDS, *OF_THE_NAMED]
    assert len(outs) == len(errs) == 2 * len(keys)
    return {words: (int(outs[2 * k + 1]), outs[2 * k], errs[2 * k]) for k, words in enumerate(keys)}


@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "ascii"])
def test_a_console_that_lacks_letters_loses_no_sign(encoding):
    """What a narrow console shows is what a wide one does, signs it lacks spelt out and none a question mark."""
    for words in COMMANDS:
        status, out, err = answers(encoding)[words]
        wide = answers("utf-8")[words]
        expected = wide[1].decode("utf-8")
        for sign, spelt in SPELT.items():
            try:
                sign.encode(encoding)
            except UnicodeEncodeError:
                expected = expected.replace(sign, spelt)
        assert (status, err) == (wide[0], wide[2]), words
        assert out.decode(encoding) == expected, words


def test_a_program_of_its_own_on_such_a_console_says_the_same():
    assert started(*TRACE, encoding="cp437") == answers("cp437")[TRACE]


def test_the_trace_has_a_sign_to_spell_out():
    """Else the test above would say nothing."""
    out = answers("utf-8")[TRACE][1].decode("utf-8")
    assert any(sign in out for sign in SPELT)


@pytest.mark.parametrize("encoding", ["cp1252", "ascii", "utf-8"])
def test_json_keeps_every_letter_of_a_name(encoding):
    status, out, _ = answers(encoding)["weight", "--json"]
    assert status == 0
    assert json.loads(out.decode(encoding))["wall"] == NAME
    assert answers(encoding)["weight",][0] == 0


def test_the_questions_can_be_answered_on_a_narrow_console(tmp_path):
    status, out, err = started(
        "start",
        "wall.toml",
        encoding="cp1252",
        typed="Südgiebel\nlevel\n\n30 ft\n9 ft\ndone\n\n",
        cwd=tmp_path,
    )
    assert status == 0, err
    assert b"?" not in out.replace(b"?\r\n", b"").split(b"Wrote")[1].split(b"Lay it out")[0]
    assert 'name = "Südgiebel"' in (tmp_path / "wall.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("wall.toml", "wall.toml"),
        (r"C:\walls\south.toml", r"C:\walls\south.toml"),
        ("my wall.toml", '"my wall.toml"'),
        ("36'-4 1/2\"", '"36\'-4 1/2\\""'),
        ("a&b.toml", '"a&b.toml"'),
    ],
)
def test_words_are_quoted_as_the_shells_of_windows_take_them(text, shown):
    assert quoted(text, windows=True) == shown


def test_what_is_quoted_for_windows_is_read_back_by_its_rules():
    """Inside double quotes a backslash before a quote makes it a letter: the rule programs split their words by."""
    for text in ("36'-4 1/2\"", "my wall.toml", "plain"):
        assert subprocess.list2cmdline([text]).strip('"') == quoted(text, windows=True).strip('"')


def test_a_command_for_windows_stays_on_its_line():
    words = "bracing check " + " ".join(
        f"--brace {quoted(f'{k} ft:head 6 ft', windows=True)}" for k in range(9)
    )
    assert Page(40).command(words, one_line=True) == [f"  {words}"]


def on_any_platform(tree):
    """Every node but those under a question for the platform, which has an answer for each."""
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.If) and "sys.platform" in ast.unparse(node.test):
            assert node.orelse, ast.unparse(node)
            continue
        yield node
        waiting += ast.iter_child_nodes(node)


def posix_only(module, tree):
    """Imports and calls of a module that Windows lacks; a signal or call asked for by name with a way out is none."""
    found = []
    for node in on_any_platform(tree):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names if alias.name.split(".")[0] in POSIX_ONLY]
        elif isinstance(node, ast.ImportFrom) and node.module:
            found += [node.module] if node.module.split(".")[0] in POSIX_ONLY else []
        elif isinstance(node, ast.Attribute) and ast.unparse(node.value) in ("os", "signal"):
            found += [ast.unparse(node)] if node.attr in POSIX_CALLS | SIGNALS else []
    return [f"bracing.{module}: {name}" for name in found]


def test_no_module_needs_what_only_posix_has():
    faults = [fault for module, tree in modules().items() for fault in posix_only(module, tree)]
    assert not faults, "\n".join(faults)


def test_the_rule_sees_what_only_posix_has():
    text = (
        "import fcntl\nfrom pwd import getpwuid\nos.fork()\nsignal.SIGKILL\nother.fork()\n"
        "if sys.platform == 'win32':\n    import msvcrt\nelse:\n    import termios\n"
    )
    found = posix_only("m", ast.parse(text))
    assert sorted(found) == [f"bracing.m: {name}" for name in ("fcntl", "os.fork", "pwd", "signal.SIGKILL")]
    with pytest.raises(AssertionError):
        list(on_any_platform(ast.parse("if sys.platform == 'win32':\n    import msvcrt")))


TEXT_CALLS = {"open", "read_text", "write_text"}


def without_encoding(module, tree):
    """Calls of a module that read or write text in whatever the console is set to."""
    found = []
    for node in nodes(tree):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        owner = getattr(getattr(node.func, "value", None), "id", "")
        binary = any(
            isinstance(arg, ast.Constant) and "b" in str(arg.value) for arg in node.args[:2] if name == "open"
        )
        given = {word.arg for word in node.keywords}
        other = owner in {"os", "opener"}  # a descriptor; an address
        if name in TEXT_CALLS and not other and not binary and "encoding" not in given:
            found.append(f"bracing/{module}:{node.lineno} {name}")
    return found


def test_every_text_file_is_read_and_written_as_utf_8():
    """Without a word a file is in the console's encoding on Windows."""
    faults = [fault for module, tree in modules().items() for fault in without_encoding(module, tree)]
    assert not faults, "\n".join(faults)


def test_the_rule_sees_a_text_file_without_its_encoding():
    text = "open(p)\nopen(p, 'rb')\np.read_text()\np.write_text(t, encoding='utf-8')\nos.open(p, 0)"
    assert without_encoding("m", ast.parse(text)) == ["bracing/m:1 open", "bracing/m:3 read_text"]
