"""Which commands are recorded, of which walls, and how they are run: through the entry of the command line."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import sys
import tempfile
import tomllib
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from multiprocessing import Pool
from pathlib import Path
from typing import Any, NamedTuple

for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):  # one process a core, one thread a process
    os.environ.setdefault(_name, "1")

from bracing.commands.cli import main  # noqa: E402
from tests.golden import walls  # noqa: E402

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = ("--now", "2026-03-06 15:00", "--zone", "UTC")
LAYOUTS_EVERY = (
    8  # of the random walls, one in eight is laid out; the budget is reckoned in work, not by a watch
)
ENTIRE_EVERY = 5  # of the random walls, one in five is recorded to the end of every list
LONGEST = 8  # items of a list that are recorded of the others
WALLS_LISTED = 24
BRACED, BARE = ("as-found", "short-wall-braced"), ("short-wall",)
# Not recorded: they move with every release and every new field of an input class, and say nothing of a wall.
LEFT_OUT = ("program", "input_sha256")
SCHEMAS = (
    "built", "chart", "check", "errors", "fasteners", "forecast", "job", "layout", "lift", "plumb", "removal", "sheet",
    "sheets", "stages", "stock", "storm", "storm-job", "trace", "wall", "walls", "weight",
)  # fmt: skip


class Command(NamedTuple):
    """A command as it is typed; WALL stands for the wall's file."""

    key: str
    words: tuple[str, ...]
    only: tuple[str, ...] = ()  # of these examples and of no other wall
    typed: str = ""


ONE_WALL = (
    Command("check", ("check", "WALL", "--one-missing")),
    Command("check-gust", ("check", "WALL", "--gust", "30")),
    Command("stock", ("stock", "WALL", "--gust", "30")),
    Command("fasteners", ("fasteners", "WALL", "--gust", "30")),
    Command("storm", ("storm", "WALL", "--gust", "40", "--storms", *NOW)),
    Command("stages", ("stages", "WALL", "--gust", "20")),
    Command("weight", ("weight", "WALL")),
    Command("lift", ("lift", "WALL", "--gust", "10", "--flat-slings")),
    Command("plumb", ("plumb", "WALL")),
    Command("trace", ("trace", "WALL", "--gust", "30")),
    Command("layout", ("layout", "WALL", "--gust", "30", "--budget", "1")),
    Command("layout-missing", ("layout", "WALL", "--gust", "25", "--budget", "1", "--one-missing", "15"), BARE),
    Command("stages-done", ("stages", "WALL", "--gust", "25", "--order", "middle", "--done", "left return tied",
                            "--take-out", "B2"), BRACED),
    Command("sheet", ("sheet", "WALL", "--gust", "30", "-o", "page.html"), (*BARE, *BRACED)),
    Command("built", ("built", "WALL", "--by", "lead framer", *NOW), BRACED, typed="\nfloor 2\n" + "\n" * 60),
)  # fmt: skip
SEVERAL = (
    Command("storm-folder", ("storm", ".", "--gust", "35", *NOW)),
    Command("walls", ("walls", "list.csv", "--gust", "30", "--workers", "1", "--out", "checked.csv")),
    Command("spacing", ("layout", "short-wall.toml", "--gust", "30", "--spacing", "8 ft")),
    *(Command(f"schema-{name}", ("schema", name)) for name in SCHEMAS),
)
FOLDER = "folder"  # the subject that SEVERAL are run on: all the examples together

Answers = dict[str, dict[str, Any]]  # by command, then by subject


def examples() -> list[str]:
    """The walls of examples/, by name."""
    return sorted(path.stem for path in EXAMPLES.glob("*.toml"))


def subjects() -> list[str]:
    """All that is recorded: the examples, their folder, and the random walls."""
    return [*examples(), FOLDER, *walls.names()]


def is_random(subject: str) -> bool:
    """Whether it is one of the random walls."""
    return re.fullmatch(r"w\d+", subject) is not None


def wall_text(subject: str) -> str:
    """The wall file of a subject."""
    return walls.text(subject) if is_random(subject) else (EXAMPLES / f"{subject}.toml").read_text("utf-8")


def is_entire(subject: str) -> bool:
    """Whether its lists are recorded to the end."""
    return not is_random(subject) or int(subject[1:]) % ENTIRE_EVERY == 1


def answers_of(subject: str) -> Answers:
    """Everything that is recorded of a subject, as the commands answer now."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        if subject == FOLDER:
            return {"several": dict(_several(Path(folder)))}
        text = wall_text(subject)
        marks = [brace["mark"] for brace in tomllib.loads(text).get("brace", ())]
        found: Answers = {}
        for command in ONE_WALL:
            if not is_asked(command, subject):
                continue
            Path(f"{subject}.toml").write_text(text, encoding="utf-8")
            words = [f"{subject}.toml" if word == "WALL" else word for word in command.words]
            if command.key == "plumb":
                words += readings(marks)
            found[command.key] = {subject: run(*words, "--json", typed=command.typed)}
        return found


def answers(chosen: Iterable[str], *, workers: int = 1, keep: Path | None = None) -> Answers:
    """Everything that is recorded of some subjects, together; what lies in the folder `keep` is not asked again."""
    found: Answers = {}
    for count, each in enumerate(_spread(partial(_kept_or_asked, keep), list(chosen), workers), start=1):
        if count % 25 == 0:
            print(f"{count} walls", file=sys.stderr, flush=True)
        for key, by_subject in each.items():
            found.setdefault(key, {}).update(by_subject)
    return found


def run(*words: str, typed: str = "") -> dict[str, Any]:
    """Run one command in this process: its exit status and its answer, or the fault where it has none."""
    out, err, stdin = io.StringIO(), io.StringIO(), sys.stdin
    sys.stdin = io.StringIO(typed)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = main(words)
    finally:
        sys.stdin = stdin
    answer = _json_of(out.getvalue())
    if isinstance(answer, dict):
        return {"status": status, "answer": _without_what_moves(answer)}
    return {"status": status, "answer": answer, "said": err.getvalue().splitlines()[:1]}


def readings(marks: list[str]) -> list[str]:
    """Readings at floor and head of each brace, no two neighbours alike; none where no brace is up."""
    read = [f"{mark}: 2 in, {2 + (3 * k % 5) / 8:g} in" for k, mark in enumerate(marks, start=1)]
    return [word for line in read for word in ("--at", line)]


def is_asked(command: Command, subject: str) -> bool:
    """Whether a command is recorded of a wall."""
    if command.only:
        return subject in command.only
    return command.key != "layout" or not is_random(subject) or int(subject[1:]) % LAYOUTS_EVERY == 1


def _kept_or_asked(keep: Path | None, subject: str) -> Answers:
    if keep is None:
        return answers_of(subject)
    path = keep / f"{subject}.json"
    if not path.exists():
        new = path.with_suffix(f".{os.getpid()}")
        new.write_text(json.dumps(answers_of(subject)), encoding="utf-8")
        new.replace(path)
    return json.loads(path.read_text("utf-8"))


def _spread(ask: Callable[[str], Answers], chosen: list[str], workers: int) -> Iterator[Answers]:
    if workers == 1:
        yield from map(ask, chosen)
        return
    with Pool(workers) as pool:
        yield from pool.imap_unordered(ask, chosen)


def _without_what_moves(answer: Any) -> Any:
    """Leave out what LEFT_OUT names, of each wall of a folder too; a schema's word of such a key stays."""
    if isinstance(answer, list):
        return [_without_what_moves(item) for item in answer]
    if not isinstance(answer, dict):
        return answer
    kept = {k: v for k, v in answer.items() if not (k in LEFT_OUT and isinstance(v, str))}
    return {key: _without_what_moves(value) for key, value in kept.items()}


def _json_of(printed: str) -> Any:
    start = re.search(r"^[{\[]", printed, re.MULTILINE)  # `built` asks its questions first
    try:
        return json.loads(printed[start.start() :]) if start else None
    except json.JSONDecodeError:
        return None


def _without_key(row: str) -> str:
    """Leave out of a row of results what it is known by: it changes with every line of the program."""
    line, _, rest = row.partition(",")
    return f"{line},{rest.partition(',')[2]}"


def _several(folder: Path) -> Iterator[tuple[str, Any]]:
    for command in SEVERAL:
        for old in folder.iterdir():
            old.unlink()
        for name in (*BRACED, *BARE):
            (folder / f"{name}.toml").write_text(wall_text(name), encoding="utf-8")
        if command.key == "walls":
            (folder / "list.csv").write_text(walls.listed(WALLS_LISTED), encoding="utf-8")
        ran = run(*command.words, *(() if command.words[0] == "schema" else ("--json",)))
        if command.key == "walls":
            rows = (folder / "checked.csv").read_text("utf-8").splitlines()
            ran["rows"] = [_without_key(row) for row in rows]
        yield command.key, ran
