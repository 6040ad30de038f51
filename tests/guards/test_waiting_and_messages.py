"""What is refused is refused with the value that was typed; long work says what it does; many braces cost little."""

import os
import shutil

import numpy as np
import pytest

from bracing.chain import evaluate
from bracing.chain.model import build_model
from bracing.commands import output as progress
from bracing.commands.cli import main
from bracing.panel import reduced
from bracing.panel import reduced as contact
from bracing.reading.jobs import read_job
from tests.cli.running import EXAMPLES, run

SHORT = EXAMPLES / "short-wall.toml"
BRACED = EXAMPLES / "short-wall-braced.toml"
BOTH_ENDS = {"at least 2": ("from 2 to 40",), "at most 3600": ("from 0 to 3600",)}
FALLBACKS = ("what is typed there", "something else", "got ;", "got nothing;")


def first_line(capsys, *words):
    """The first fault of a command that is refused."""
    ran = run(capsys, *words)
    assert ran.status == 2
    assert not any(words in ran.err for words in FALLBACKS)
    return ran.err.splitlines()[0]


@pytest.mark.parametrize(
    ("words", "got", "expected"),
    [
        (("lift", SHORT, "--people", "1"), "1", "at least 2"),
        (("lift", SHORT, "--people=1"), "1", "at least 2"),
        (("lift", SHORT, "--people", "x"), "x", "a whole number"),
        (("lift", SHORT, "--line-kv", "-3"), "-3", "at least 0"),
        (("layout", SHORT, "--gust", "40", "--budget", "1e9"), "1e9", "at most 3600"),
        (("check", SHORT, "--json=3"), "3", "nothing after it"),
        (("check", SHORT, "--gust", ""), '""', "a speed"),
        (("check", SHORT, "--gust", " "), '" "', "a speed"),
        (("check", "--length", "", "--height", "9 ft"), '""', "a length"),
    ],
)
def test_a_refusal_on_the_command_line_says_what_is_typed_and_what_is_expected(capsys, words, got, expected):
    line = first_line(capsys, *words)
    assert f": got {got}; expected" in line
    # A release of the parser names both ends of a range, another the end that is passed.
    assert any(way in line for way in (expected, *BOTH_ENDS.get(expected, ())))


@pytest.mark.parametrize(
    ("written", "got"),
    [
        ('height = ""', '""'),
        ("height = true", "true"),
        ("height = 1979-05-27", "1979-05-27"),
        ("height = [1, 2]", "[1, 2]"),
        ("height = {a = 1}", '{"a": 1}'),
        ("height = " + "9" * 400, "a whole number of 400 digits"),
        ("height = nan", "nan"),
    ],
)
def test_a_refusal_in_a_file_says_what_is_written_there(capsys, tmp_path, written, got):
    wall = tmp_path / "wall.toml"
    wall.write_text(f'[wall]\nname = "W"\nlength = "20 ft"\n{written}\n', encoding="utf-8")
    assert f"wall.height: got {got}; expected" in first_line(capsys, "check", wall)


@pytest.mark.parametrize(
    ("fasteners", "got"),
    [
        ("[[fastener]]\nname = 'a'\n" * 101, "101 tables"),
        ("fastener = 7\n", "7"),
        ("fastener = [1]\n", "[1]"),
        ("[fastener]\nname = 'a'\n", '{"name": "a"}'),
    ],
)
def test_too_many_fasteners_or_none_at_all_are_said_as_written(capsys, tmp_path, fasteners, got):
    wall = tmp_path / "wall.toml"
    text = SHORT.read_text(encoding="utf-8")
    wall.write_text(text + fasteners if fasteners[0] == "[" else fasteners + text, encoding="utf-8")
    assert f"fastener: got {got}; expected" in first_line(capsys, "check", wall)


def many_braced(tmp_path, count, *, feet=40.0, ground=False):
    """A wall with braces evenly along it, on a deck, or on stakes that hold nothing in pull."""
    head, *_ = BRACED.read_text(encoding="utf-8").split("[[brace]]")
    before, after = head.split("[[wall.opening]]")
    text = before.replace("20 ft", f"{feet:g} ft") + "[wall.plate]" + after.split("[wall.plate]")[1]
    if ground:
        start, end = text.index("[floor]"), text.index("[site]")
        stakes = '[floor.ground]\nembedment = "30 in"\nstake_width = "2 in"\n\n'
        floor = '[floor]\nkind = "ground"\nroom = "16 ft"\n' + stakes
        text = (text[:start] + floor + text[end:]).replace("into_framing = true", "into_framing = false")
    for k in range(count):
        x = round((k + 0.5) * (feet * 12 / 16) / count) * 16
        text += (
            f'[[brace]]\nmark = "B{k + 1}"\nstud_at = "{x} in"\nhead = "6 ft"\nset_back = "8 ft"\n'
            'size = "2x6"\nties = 1\n'
            "head_fasteners = 4\ncleat_fasteners = 4\nfloor_fasteners = 6\n"
            f"foot_on = '{'deck' if ground else 'joist'}'\n"
        )
    path = tmp_path / f"wall{count}.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("ground", [False, True])
def test_more_braces_are_not_more_systems_to_solve(monkeypatch, tmp_path, ground):
    """A brace tight among slack ones is one changed spring: it follows from the others, and is not solved for anew."""
    solved = []

    def counting(flexibility, motions, give, active, **loads):
        solved.append(give[..., 0].size)
        return plain(flexibility, motions, give, active, **loads)

    plain = reduced.solve
    monkeypatch.setattr(reduced, "solve", counting)
    counts = []
    for braces in (4, 16):
        model = build_model(read_job(str(many_braced(tmp_path, braces, ground=ground))))
        solved.clear()
        evaluate.limit_gust(model)
        counts.append(sum(solved))
    assert counts[0] == counts[1] > 0


def test_each_brace_tight_in_turn_is_as_if_it_were_solved_alone(tmp_path):
    model = build_model(read_job(str(many_braced(tmp_path, 9))))
    for c in model.compliances:
        loads = {"under_load": c.under_load.T, "work": c.work.T}
        active = [True] * 4 + [False] + [True] * 4
        parts = (c.flexibility, c.motions, model.give, np.array(active))
        together, apart = reduced.solve_in_turn(*parts, **loads), reduced.solve(*parts, **loads)
        assert together.force == pytest.approx(apart.force, rel=1e-9, abs=1e-9 * abs(apart.force).max())
        assert together.held.tolist() == apart.held.tolist()


def test_braces_that_cannot_balance_a_wall_are_not_looked_through(monkeypatch, tmp_path):
    """Stakes hold nothing in pull: a few equations say so, and no search over all the braces is made."""
    asked = []

    def counting(rows, right):
        asked.append(len(rows))
        return plain(rows, right)

    plain = contact.least_squares_not_negative
    monkeypatch.setattr(contact, "least_squares_not_negative", counting)
    model = build_model(read_job(str(many_braced(tmp_path, 16, ground=True))))
    assert evaluate.limit_gust(model) == 0.0
    assert max(asked) <= 3


QUICK = (
    ("check", BRACED),
    ("check", BRACED, "--json"),
    ("stages", BRACED, "--gust", "20"),
    ("trace", BRACED, "--gust", "20"),
    ("fasteners", BRACED, "--gust", "20"),
    ("stock", BRACED, "--gust", "30"),
    ("lift", BRACED),
    ("layout", SHORT, "--gust", "30", "--budget", "0.1"),
    ("sheet", BRACED, "-o", "page.csv", "--overwrite"),
    ("storm", BRACED, "--gust", "50", "--now", "2026-03-06 15:00", "--zone", "UTC"),
)


@pytest.mark.parametrize("words", QUICK, ids=lambda words: " ".join(map(str, words[::2])))
def test_what_takes_long_says_what_it_does_on_stderr_alone(capsys, monkeypatch, tmp_path, words):
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv(progress.QUIET, raising=False)
    monkeypatch.setattr(progress, "SAY_AFTER_S", 3600.0)
    quick = run(capsys, *words)
    assert quick.err == ""
    monkeypatch.setattr(progress, "SAY_AFTER_S", 0.0)
    slow = run(capsys, *words)
    assert slow.out == quick.out
    assert "s so far)" in slow.err.splitlines()[0]
    monkeypatch.setenv(progress.QUIET, "1")
    assert run(capsys, *words).err == ""


@pytest.mark.parametrize(("rows", "said"), [("W,,\nV,,\n", "2 of 2"), ("W,20 ft,9 ft\nV,,\n", "1 of 2")])
def test_a_list_with_bad_rows_says_so_on_stderr(capsys, tmp_path, rows, said):
    listed = tmp_path / "list.csv"
    listed.write_text(f"name,length,height\n{rows}", encoding="utf-8")
    ran = run(capsys, "walls", listed, "--gust", "30", "--workers", "1")
    assert ran.status == 2
    assert ran.err.startswith(f"{listed}: rows: got {said} that are no wall; expected a wall a row;")
    assert len(ran.err.splitlines()) == 1


@pytest.mark.skipif(os.name == "nt", reason="names are letters there")
@pytest.mark.parametrize(
    "words",
    [
        ("check",), ("check", "--json"), ("stages", "--gust", "20"), ("trace", "--gust", "20"), ("lift", "--json"),
        ("fasteners", "--gust", "20"), ("sheet", "-o", "page.html"), ("sheet", "-o", "page.csv"), ("sheet", "--json"),
        ("storm", "--gust", "50", "--now", "2026-03-06 15:00", "--zone", "UTC"), ("stock", "--gust", "30"),
    ],
)  # fmt: skip
def test_a_wall_file_whose_name_holds_bytes_that_are_no_letters_is_read(capsys, monkeypatch, tmp_path, words):
    monkeypatch.chdir(tmp_path)
    wall = os.fsdecode(b"w\xff\xfe.toml")
    try:
        shutil.copy(BRACED, wall)
    except OSError:
        pytest.skip("this file system takes no such name")
    capsys.readouterr()
    status = main([words[0], wall, *words[1:]])
    assert status in (0, 1)


@pytest.mark.skipif(os.name == "nt", reason="names are letters there")
def test_a_folder_of_such_names_has_its_pages(capsys, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    walls = tmp_path / "walls"
    walls.mkdir()
    try:
        shutil.copy(BRACED, walls / os.fsdecode(b"w\xff.toml"))
    except OSError:
        pytest.skip("this file system takes no such name")
    assert main(["sheet", str(walls), "--no-pdf"]) in (0, 1)
    assert b"w%FF" in (tmp_path / "sheets" / "index.html").read_bytes()


def test_the_budget_reaches_every_wall_of_a_folder_of_sheets(capsys, tmp_path):
    """`sheet FOLDER --budget` left it unread: each wall was searched for as long as it would have been without."""
    shutil.copy(BRACED, tmp_path / "a.toml")
    words = ("sheet", tmp_path, "--gust", "60", "-o", tmp_path / "out", "--no-pdf", "--budget", "0")
    err = run(capsys, *words).err
    assert "the budget of 0 s ran out: the best found so far is used; less work may do" in err


@pytest.mark.parametrize(
    "words",
    [
        ("stages", BRACED, "--gust", "5", "--deck-takes", "400 lb/ft"),
        ("sheet", BRACED, "--gust", "60", "-o", "page.csv", "--overwrite"),
        ("storm", BRACED, "--gust", "58", "--now", "2026-03-06 15:00", "--zone", "UTC"),
    ],
    ids=lambda words: words[0],
)
def test_a_budget_that_runs_out_is_said_and_the_best_so_far_is_used(capsys, monkeypatch, tmp_path, words):
    monkeypatch.chdir(tmp_path)
    enough, short = run(capsys, *words), run(capsys, *words, "--budget", "0")
    assert enough.err == ""
    assert short.err.startswith("the budget of 0 s ran out: the best found so far is used; ")
    assert short.status == enough.status
    assert short.out
