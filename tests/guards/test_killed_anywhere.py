"""Killed at any moment, whatever writes leaves the old file or the whole new one, and the next run goes on from there.

A few moments a command with the slow tests, five hundred in all as a proof (`docs/fuzz.md`). Half of
the moments are of the clock, over as long as the command takes, and half are steps of the modules that write: nearly
all of a command is arithmetic, and a moment drawn by the clock is seldom one of writing. Walks with a log and the
server have tests of their own (`test_log.py`, `test_pages_killed.py`).
"""

from __future__ import annotations

import contextlib
import io
import json
import random
import shutil
import sqlite3
import sys
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

import pytest

from bracing.reading.log import KEPT, LOG, chain_faults, read_rows
from tests.cli.running import EXAMPLES, rest_of_walk
from tests.guards.test_pull import ANSWERS, PULLS
from tests.guards.test_pull import BARE as UNBRACED
from tests.killing import Warm
from tests.site_servers import grid
from tests.unit.test_many import GOOD, HEAD

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="kill -9"),
    pytest.mark.xdist_group("kills"),
]
FEW, SEED = 4, 22  # moments a command, with the slow tests
MANY, OF_DEAR = 35, 10  # as a proof: 500 in all, fewer of what takes seconds each time
KILLED, ANSWERED = -9, (0, 1, 4)
NOW = ("--now", "2026-03-06 05:00", "--zone", "America/Chicago")
WALL = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
JOB = '[job]\nname = "Lot 14"\ntime_zone = "America/Chicago"\n[watch]\ngrid = "LOT/31,80"\npoint = "39.75,-97.09"\n'
QUICK = ("--budget", "0")
OVER = "--overwrite"


class Writes(NamedTuple):
    """A command that writes: its words, the files it begins from, what is typed, and what is run before it."""

    words: tuple[str, ...]
    files: Mapping[str, str]
    typed: str = ""
    before: tuple[str, ...] = ()
    again: tuple[str, ...] = ()  # in the place of its words, the second time


def onto(*words: str) -> Writes:
    """A command that puts something out from one wall; the second time over what is there."""
    return Writes(words, {"wall.toml": WALL}, again=(*words, OVER))


def walk() -> str:
    from bracing.reading.jobs import job_from_text

    return "\n" * (WALL.count("[[brace]]") + len(rest_of_walk(job_from_text(WALL, "wall.toml"))))


def begun(*words: str, again: tuple[str, ...] = ()) -> Writes:
    """A command of a folder whose log was begun."""
    return Writes(words, HOUSE, before=("log", ".", "--begin"), again=again)


HOUSE = {"wall.toml": WALL, "job.toml": JOB}
WATCHED = HOUSE | {"grid.json": json.dumps(grid(37.0))}
LISTED = HEAD + "".join(GOOD.replace("A,", f"A{k},") for k in range(6))
COMMANDS = {
    "start": Writes(("start", "wall.toml", "--template", "level"), {}),
    "layout": Writes(("layout", "wall.toml", "--gust", "20", *QUICK, "--write"), {"wall.toml": WALL}),
    "storm": Writes(("storm", "wall.toml", "--gust", "42", *NOW, *QUICK, "--write"), {"wall.toml": WALL}),
    "built": Writes(("built", "wall.toml", "--by", "lead framer", *NOW), {"wall.toml": WALL}, typed=walk()),
    "pull": Writes(
        ("pull", "wall.toml"), {"wall.toml": UNBRACED}, typed="".join(f"{line}\n" for line in (*ANSWERS, *PULLS))
    ),
    "pull, its form": onto("pull", "wall.toml", "--form", "form.html"),
    "check, its frame": onto("check", "wall.toml", "--model", "model.json"),
    "stock, a picture": onto("stock", "wall.toml", "--gust", "20", "-o", "sticks.svg"),
    "lift, pictures": onto("lift", "wall.toml", "--pictures", "drawn"),
    "chance, its curves": onto("chance", "wall.toml", "--gust", "20", *NOW, "--svg", "curves.svg"),
    "sheet": onto("sheet", "wall.toml", *QUICK, "-o", "page.html"),
    "sheet, a drawing": onto("sheet", "wall.toml", *QUICK, "-o", "wall.dxf"),
    "sheet, of a folder": Writes(
        ("sheet", ".", "--no-pdf", *QUICK, "-o", "pages"),
        HOUSE | {"hall.toml": WALL.replace("Kitchen wall", "Hall")},
        again=("sheet", ".", "--no-pdf", *QUICK, "-o", "pages", OVER),
    ),
    "box": Writes(
        ("box", ".", *NOW, *QUICK, "-o", "job.html"),
        {
            path.name: path.read_text(encoding="utf-8")
            for path in sorted((EXAMPLES / "five-walls").glob("*.toml"))
        },
        again=("box", ".", *NOW, *QUICK, "-o", "job.html", OVER),
    ),
    "walls": Writes(
        ("walls", "list.csv", "--gust", "30", "--workers", "1", "--out", "done.csv"), {"list.csv": LISTED}
    ),
    "watch": Writes(("watch", ".", "--forecast", "grid.json", "--now", "2026-03-06 06:30"), WATCHED),
    "log, begun": Writes(("log", ".", "--begin"), HOUSE),
    "log, a table": begun("log", ".", "-o", "rows.csv", again=("log", ".", "-o", "rows.csv", OVER)),
    "log, kept twice": begun("log", ".", "--backup", "kept.zip", again=("log", ".", "--backup", "kept.zip", OVER)),
    "layout, with a log": begun("layout", "wall.toml", "--gust", "20", *QUICK, "--write"),
}  # fmt: skip
DEAR = (
    "layout",
    "layout, with a log",
    "lift, pictures",
    "chance, its curves",
    "sheet",
    "sheet, a drawing",
    "sheet, of a folder",
    "box",
)


def files_of(folder: Path) -> dict[str, bytes]:
    """What a person sees in a folder; names that begin with a dot are the program's own."""
    found = [path.relative_to(folder) for path in folder.rglob("*") if path.is_file()]
    return {
        str(path): (folder / path).read_bytes()
        for path in found
        if not any(part.startswith(".") for part in path.parts)
    }


# -- what may stand there ---------------------------------------------------------------------------------


def whole_zip(content: bytes) -> bool:
    """A zip has its list at its end, and each file its sum: half of one is none."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as kept:
            return kept.testzip() is None and {"wall.toml", "job.toml"} <= set(kept.namelist())
    except zipfile.BadZipFile:
        return False


def whole_rows(content: bytes) -> bool:
    """A table of two rows at least, the last one ended; each begins with its number."""
    lines = content.decode("utf-8").split("\n")
    return (
        len(lines) >= 3
        and lines[-1] == ""
        and all(lines[k].startswith(f"{k},") for k in range(1, len(lines) - 1))
    )


def whole_drawing(content: bytes) -> bool:
    """A drawing in DXF says where its last section ends, and then where it does."""
    return content.startswith(b"  0\nSECTION\n") and content.endswith(b"  0\nENDSEC\n  0\nEOF\n")


# What has the time in it is never the same bytes twice: what stands in it is looked at instead.
BY_ITSELF: dict[str, Callable[[bytes], bool]] = {
    "kept.zip": whole_zip,
    "rows.csv": whole_rows,
    "wall.dxf": whole_drawing,
}
JOURNAL = "wall.toml.walk"  # answers of a walk that was broken off: the next one begins with them, and takes it away
ROW_BY_ROW = "done.csv"  # any number of bytes of it may stand: it is taken up again from there


def wrong_files(there: Mapping[str, bytes], old: Mapping[str, bytes], *new: Mapping[str, bytes]) -> list[str]:
    """Which files of a folder are neither the old nor a new one, whole; and which old ones are gone."""
    wrong = sorted(old.keys() - there.keys())
    for name, content in there.items():
        if name in BY_ITSELF:
            good = BY_ITSELF[name](content)
        elif name == ROW_BY_ROW:
            good = any(each[name].startswith(content) for each in new)
        else:
            good = any(each.get(name) == content for each in (old, *new))
        wrong += [] if good else [name]
    return wrong


def log_is_whole(folder: Path) -> bool:
    """The rows of the log are one chain, where a log was begun."""
    log = folder / KEPT / LOG
    if not log.is_file():
        return True
    with contextlib.closing(sqlite3.connect(log)) as there:
        if not there.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            return True  # killed before it had its table
    return chain_faults(read_rows(log), log, heads=()) == ()


# -- the runs --------------------------------------------------------------------------------------------


class Ran(NamedTuple):
    """A command left to its end: how long it takes, and what stood there before it, after it, and after it again."""

    seconds: float
    steps: int
    old: Mapping[str, bytes]
    new: Mapping[str, bytes]
    twice: Mapping[str, bytes]


@pytest.fixture(scope="module")
def warm():
    there = Warm()
    yield there
    there.end()


def prepared(warm: Warm, writes: Writes, folder: Path) -> Path:
    folder.mkdir()
    for name, text in writes.files.items():
        (folder / name).write_text(text, encoding="utf-8")
    if writes.before:
        assert warm.run(folder, writes.before).status == 0
    return folder


def again(warm: Warm, writes: Writes, folder: Path) -> bool:
    """Run it again: it comes to its end, or, False, it says that the file it was to begin is there."""
    ended = warm.run(folder, writes.again or writes.words, writes.typed)
    there = ended.status == 2 and "a name that is not taken" in ended.said and not writes.again
    assert ended.status in ANSWERED or there, ended.said
    return not there


def left_to_its_end(warm: Warm, writes: Writes, top: Path) -> Ran:
    """Run it once to load what it needs, and twice over in another folder."""
    warm.run(prepared(warm, writes, top / "loaded"), writes.words, writes.typed, keep=True)
    folder = prepared(warm, writes, top / "whole")
    old = files_of(folder)
    first = warm.run(folder, writes.words, writes.typed)
    assert first.status in ANSWERED, first.said
    new = files_of(folder)
    again(warm, writes, folder)
    return Ran(first.seconds, first.steps, old, new, files_of(folder))


def killed_at(warm: Warm, writes: Writes, folder: Path, ran: Ran, moment: dict[str, float]) -> bool:
    """Kill it at a moment, look, and run it again; whether it was not done before."""
    prepared(warm, writes, folder)
    ended = warm.run(folder, writes.words, writes.typed, **moment)
    there = files_of(folder)
    there.pop(JOURNAL, None)
    assert wrong_files(there, ran.old, ran.new) == [], moment
    assert log_is_whole(folder), moment
    done = again(warm, writes, folder)
    after = files_of(folder)
    assert wrong_files(after, ran.old, ran.new, ran.twice) == [], moment
    assert after.keys() == ran.new.keys() or not done, moment
    changed = [name for name in ran.new if ran.old.get(name) != ran.new[name]]
    assert not changed or any(after[name] != ran.old.get(name) for name in changed), moment
    assert log_is_whole(folder), moment
    shutil.rmtree(folder)
    return ended.status == KILLED


def kill_often(warm: Warm, name: str, top: Path, count: int) -> None:
    writes, chance = COMMANDS[name], random.Random(f"{SEED} {name}")
    ran, alive = left_to_its_end(warm, writes, top), 0
    assert ran.steps > 20, "it goes through none of the modules that write"
    for k in range(count):
        moment = (
            {"after": chance.uniform(0.0, ran.seconds)}
            if k % 2
            else {"step": chance.randrange(ran.steps) + 1}
        )
        alive += killed_at(warm, writes, top / str(k), ran, moment)
    assert alive >= count // 2, "every kill by a step comes before the end"


@pytest.mark.slow
@pytest.mark.parametrize("name", COMMANDS)
def test_killed_at_a_few_moments_it_leaves_the_old_or_the_new(warm, tmp_path, name):
    kill_often(warm, name, tmp_path, FEW)


@pytest.mark.proof
@pytest.mark.parametrize("name", COMMANDS)
def test_killed_at_many_moments_it_leaves_the_old_or_the_new(warm, tmp_path, name):
    kill_often(warm, name, tmp_path, OF_DEAR if name in DEAR else MANY)


# -- and a fault would be seen ----------------------------------------------------------------------------


def test_five_hundred_moments_are_asked_for():
    assert set(DEAR) <= set(COMMANDS)
    assert MANY * (len(COMMANDS) - len(DEAR)) + OF_DEAR * len(DEAR) >= 500


def test_half_a_file_is_seen():
    old, new = {"a": b"one"}, {"a": b"two three", "rows.csv": b"n,\n1,x\n"}
    assert wrong_files(old, old, new) == wrong_files({**new}, old, new) == []
    assert wrong_files({"a": b"two"}, old, new) == ["a"]
    assert wrong_files({}, old, new) == ["a"]
    assert wrong_files({"a": b"one", "left": b""}, old, new) == ["left"]
    assert wrong_files({"a": b"one", "rows.csv": b"n,\n1,"}, old, new) == ["rows.csv"]
    assert not whole_zip(b"PK\x03\x04")
    assert not whole_drawing(b"  0\nSECTION\n  2\nHEADER\n")
