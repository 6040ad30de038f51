"""Three hundred walls in a workbook, checked and laid out: killed again and again, and opened by an office's program.

All of them checked with the slow tests, and the first thirty laid out; all of them laid out, which is minutes of one
core, as a proof (`docs/office.md`).
"""

from __future__ import annotations

import csv
import random
import re
import shutil
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from bracing.many.written import NUMBERS
from tests.cli.running import EXAMPLES, run
from tests.killing import Warm
from tests.office_lists import HEAD, walls_of_an_office, write_list
from tests.opened import SOFFICE, Opened, converted, opened

pytest.importorskip("openpyxl")
pytestmark = pytest.mark.xdist_group("three hundred walls")
needs_office = pytest.mark.skipif(
    SOFFICE is None, reason="LibreOffice (Debian: libreoffice-calc) is not there"
)
needs_kills = pytest.mark.skipif(sys.platform == "win32", reason="kill -9")
SEED, WALLS, SOME, FEW = 20, 300, 30, 8
KILLED, BAD = -9, 2
KILLS, AT_THE_END = 30, 24
RESULTS, BOOK, PAGE = "done.csv", "done.xlsx", "done.html"
WRITTEN = ("--out", RESULTS, "--xlsx", BOOK, "--html", PAGE, "--overwrite")
CHECKED, LAID = ("--gust", "30"), ("--gust", "20", "--lay-out")


class Whole(NamedTuple):
    """A list done without a kill: its folder, the words, the steps it took, and what it left."""

    folder: Path
    words: tuple[str, ...]
    steps: int
    left: dict[str, bytes]


@pytest.fixture(scope="module")
def warm(tmp_path_factory):
    there, few = Warm(), prepared(tmp_path_factory.mktemp("loaded") / "few", FEW, 12)
    there.run(few, ("walls", "list.xlsx", *CHECKED, "--workers", "1", *WRITTEN), keep=True)
    yield there
    there.end()


def prepared(folder: Path, count: int, most_feet: int) -> Path:
    folder.mkdir()
    shutil.copy(EXAMPLES / "short-wall-braced.toml", folder / "hall.toml")
    write_list(walls_of_an_office(count, SEED, most_feet=most_feet), folder / "list.xlsx")
    return folder


@pytest.fixture(
    scope="module",
    params=[
        pytest.param((CHECKED, 28, WALLS), marks=pytest.mark.slow, id="checked"),
        pytest.param((LAID, 14, SOME), marks=pytest.mark.slow, id="some laid out"),
        pytest.param((LAID, 14, WALLS), marks=pytest.mark.proof, id="laid out"),
    ],
)
def whole(request, warm, tmp_path_factory):
    (asked, most_feet, count), top = request.param, tmp_path_factory.mktemp("list")
    folder = prepared(top / "whole", count, most_feet)
    words = ("walls", "list.xlsx", *asked, "--workers", "1", *WRITTEN)
    ended = warm.run(folder, words)
    assert ended.status == BAD, ended.said  # rows that are no wall are among them
    return Whole(
        folder, words, ended.steps, {name: (folder / name).read_bytes() for name in (RESULTS, BOOK, PAGE)}
    )


def table(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(content.decode("utf-8").splitlines()))


def test_three_hundred_walls_come_out_in_every_way_there_is(whole):
    rows = table(whole.left[RESULTS])
    assert len(rows) in (WALLS, SOME)
    assert {"bad row", "over", "within"} <= {row["verdict"] for row in rows}
    assert [row["wall"] for row in rows] == [f"W{k}" for k in range(1, len(rows) + 1)]


@needs_kills
def test_killed_at_random_moments_and_taken_up_again_it_ends_in_the_same_files(whole, warm, tmp_path):
    """Up to a fifteenth of the way between kills, by steps of what writes: a busy machine is slow at any time.

    Farther where the last kills came before a row more was there: the fewer the walls, the more of the way is reading.
    """
    draw, folder, grown, size = random.Random(SEED), tmp_path / "killed", {0}, len(whole.left[RESULTS])
    done = warm.run(
        shutil.copytree(whole.folder, tmp_path / "done"), whole.words
    ).steps  # what only reads back
    shutil.copytree(whole.folder, folder, ignore=shutil.ignore_patterns("done.*", ".*"))
    far = 2.0 / KILLS
    for k in range(KILLS):
        before = max(grown)
        moment = int(before / size * done + draw.uniform(0.0, far) * whole.steps) + 1
        killed = warm.run(folder, whole.words, step=moment)
        assert killed.status in (KILLED, BAD), killed.said
        there = {name: (folder / name).read_bytes() for name in whole.left if (folder / name).exists()}
        assert whole.left[RESULTS].startswith(there.get(RESULTS, b""))
        assert all(there.get(name, whole.left[name]) == whole.left[name] for name in (BOOK, PAGE)), k
        grown |= {len(there.get(RESULTS, b""))} if killed.status == KILLED else set()
        far = 2.0 / KILLS if max(grown) > before else 1.5 * far
    # Layouts are written several walls at a time: fewer lengths of the results are ever there.
    least = KILLS // 6 if LAID[-1] in whole.words else KILLS // 2
    assert len(grown) > least, "the kills come too early or too late to prove anything"
    assert warm.run(folder, whole.words).status == BAD
    assert {name: (folder / name).read_bytes() for name in whole.left} == whole.left


@needs_kills
def test_killed_while_an_office_s_files_are_written_they_are_the_old_or_the_new(whole, warm, tmp_path):
    draw, old = random.Random(SEED + 1), b"of last week"
    folder = shutil.copytree(whole.folder, tmp_path / "killed")
    last = warm.run(folder, whole.words)  # nothing is left to check: read, then written
    assert last.status == BAD, last.said
    seen = set()
    for k in range(AT_THE_END):
        for name in (BOOK, PAGE):
            (folder / name).write_bytes(old)
        by_clock = {"after": draw.uniform(0.3, 1.0) * last.seconds}
        by_step = {"step": last.steps - draw.randrange(min(200, last.steps))}
        warm.run(folder, whole.words, **(by_clock if k % 2 else by_step))
        assert (folder / RESULTS).read_bytes() == whole.left[RESULTS]
        found = tuple((folder / name).read_bytes() for name in (BOOK, PAGE))
        assert all(
            there in (old, whole.left[name]) for there, name in zip(found, (BOOK, PAGE), strict=True)
        ), k
        seen.add(tuple(there == old for there in found))
    assert (True, True) in seen
    assert len(seen) > 1, "every kill comes before anything is written, or after"


# -- opened by another program ------------------------------------------------------------------------------


def is_the_results(found: Opened, content: bytes) -> None:
    """Every cell LibreOffice reads is the cell of the results, numbers as numbers; the first sheet is worst first."""
    rows = table(content)
    columns = list(rows[0])
    first, every, last = found.sheets
    assert [each.name for each in found.sheets] == ["Worst first", "All columns", "Read this"]
    assert every.rows[0] == columns
    for row, cells in zip(rows, every.rows[1:], strict=True):
        there = dict(zip(columns, [*cells, *[None] * (len(columns) - len(cells))], strict=True))
        for name, text in row.items():
            number = name in NUMBERS and re.fullmatch(r"-?\d+", text)
            assert there[name] == ((float(text) if number else text) if text else None), (row["line"], name)
    heads = dict(zip(map(str, first.rows[0]), range(len(first.rows[0])), strict=True))
    verdicts = [cells[heads["Verdict"]] for cells in first.rows[1:]]
    assert sorted(map(str, verdicts)) == sorted(row["verdict"] for row in rows)
    over = [cells[heads["Limit, mph"]] for cells in first.rows[1:] if cells[heads["Verdict"]] == "over"]
    assert over == sorted(over, key=lambda limit: -1.0 if limit is None else float(limit))
    bad = verdicts.count("bad row")
    assert verdicts[:bad] == ["bad row"] * bad
    assert any("Never shelter beside the wall" in str(cell) for cells in last.rows for cell in cells)
    assert sum(each.formulas for each in found.sheets) == 0
    assert len(found.filtered) == 2


@needs_office
def test_libreoffice_opens_the_three_hundred(whole, tmp_path):
    is_the_results(opened(whole.folder / BOOK, tmp_path / "opened"), whole.left[RESULTS])


@needs_office
@pytest.mark.parametrize("asked", [CHECKED, LAID], ids=["checked", "laid out"])
def test_libreoffice_opens_the_results_of_a_list_it_has_saved_itself(tmp_path, capsys, asked):
    folder = prepared(tmp_path / "list", FEW, 12)
    words = [*asked, "--workers", 1, "--overwrite"]
    written = [word if word.startswith("--") else folder / word for word in WRITTEN[:-1]]
    run(capsys, "walls", folder / "list.xlsx", *words, *written)
    mine = (folder / RESULTS).read_bytes()
    is_the_results(opened(folder / BOOK, tmp_path / "opened"), mine)
    saved = converted(folder / "list.xlsx", "xlsx", tmp_path / "saved")
    assert saved.read_bytes() != (folder / "list.xlsx").read_bytes()
    (folder / "list.xlsx").write_bytes(saved.read_bytes())
    run(capsys, "walls", folder / "list.xlsx", *words, "--out", folder / "theirs.csv")
    assert (folder / "theirs.csv").read_bytes() == mine
    assert len(table(mine)) == FEW
    assert set(HEAD) >= {"Superintendent", "Deposit"}
    assert {"list.superintendent", "list.deposit"} <= set(table(mine)[0])
