"""What the commands answer for many walls, all in one process, to be compared with the same under other settings.

    python -m tests.guards.answers OUT.jsonl --walls 300 --start 0

The settings are those of the process: which kernels of the linear algebra library it takes, how many threads, which
hash seed. A line is one command: its words, its status, what it printed.
"""

from __future__ import annotations

import argparse
import contextlib
import ctypes
import io
import json
import os
import random
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bracing.commands.cli import main as bracing
from bracing.errors import InputError
from bracing.reading.jobs import job_from_text
from tests.fuzz.spoil import toml
from tests.fuzz.walls import good_wall
from tests.house.test_readme import PAGES, examples_of
from tests.house.tree import ROOT

NOW = ("--now", "2026-03-06 15:00", "--zone", "America/Chicago")
HOURS = ("--from", "Fri 8 pm", "--until", "Sat 6 am")
SEARCH = ("--budget", "1")  # reckoned in work, not in time
ASKED: tuple[tuple[str, ...], ...] = (
    ("check", "--gust", "30", "--links", "--assumed", "--one-missing"),
    ("check", "--json"),
    ("check", "--gust", "40", "--links", "--json"),
    ("stages", "--gust", "20"),
    ("stages", "--gust", "20", "--json"),
    ("trace", "--gust", "30"),
    ("trace", "--gust", "30", "--json"),
    ("fasteners", "--gust", "35"),
    ("fasteners", "--gust", "35", "--json"),
    ("storm", "--gust", "45", *HOURS, *NOW),
    ("storm", "--gust", "45", *HOURS, *NOW, "--json"),
    ("lift",),
    ("lift", "--json"),
    ("weight",),
    ("weight", "--json"),
    ("sheet", "--gust", "30", "-o", "sheet.csv"),
)
BRIEF: tuple[tuple[str, ...], ...] = (
    ("check", "--gust", "30", "--links", "--json"),
    ("trace", "--gust", "30"),
    ("stages", "--gust", "20"),
)
LAID_OUT: tuple[tuple[str, ...], ...] = (
    ("layout", "--gust", "30", "--links", *SEARCH),
    ("layout", "--gust", "30", "--json", *SEARCH),
)


def even_wall(rng: random.Random) -> dict[str, Any]:
    """A wall the same from either end, its braces alike: what is worst is worst in several places at once."""
    bays, spacing = rng.choice((9, 12, 15, 18, 24)), rng.choice((16.0, 24.0))
    length, height = bays * spacing, rng.choice((96.0, 108.0, 120.0))
    wall: dict[str, Any] = {
        "length": f"{length:g} in",
        "height": f"{height:g} in",
        "studs": {"size": "2x6", "spacing": f"{spacing:g} in", "species": "spruce-pine-fir", "grade": "No.2"},
        "layers": ["osb 7/16"],
        "plate": {"state": "final", "fastener": "16d common", "spacing": "16 in", "into_framing": True},
        "top_plate": {"end_nails": 4, "strap_at_brace_lb": 2000, "spliced": True},
    }
    if rng.random() < 0.4:
        wall["peak"] = f"{height + 48.0:g} in"
    near = rng.randint(1, 3)
    places = sorted({near, bays - near, *((bays // 2,) if bays % 2 == 0 else ())})
    head = round(height * rng.choice((0.75, 0.8, 0.9)))
    brace = {
        "head": f"{head} in",
        "set_back": f"{head} in",
        "size": "2x6",
        "ties": 2,
        "foot_on": "joist",
        "head_fasteners": rng.randint(4, 8),
        "cleat_fasteners": 8,
        "floor_fasteners": rng.randint(6, 10),
    }
    kit = {
        "species": "spruce-pine-fir",
        "grade": "No.2",
        "head": {"joint": "lapped", "fastener": "structural screw 0.22x3", "bored": True},
        "cleat": {
            "sides": 2, "lie": "edge", "length": "48 in", "size": "2x6", "bored": True,
            "brace_fastener": "structural screw 0.22x3", "floor_fastener": "structural screw 0.22x8",
        },
    }  # fmt: skip
    braces = [
        {"mark": f"B{k + 1}", "stud_at": f"{bay * spacing:g} in"} | brace for k, bay in enumerate(places)
    ]
    return {"wall": wall, "floor": {"kind": "deck", "room": "24 ft"}, "kit": kit, "brace": braces}


def walls(count: int, start: int) -> Iterator[tuple[str, str]]:
    """Names and texts of walls: every third one even, the others anything that reads."""
    seed, found = start, 0
    while found < count:
        rng = random.Random(f"same answer {seed}")
        text = toml(even_wall(rng) if seed % 3 == 0 else good_wall(rng))
        seed += 1
        try:
            braces = job_from_text(text, "wall.toml").braces
        except InputError:
            continue
        if braces:
            found += 1
            yield f"wall-{seed - 1}.toml", text


def answer(words: tuple[str, ...]) -> dict[str, Any]:
    """Run one command in this process."""
    out, err = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.TextIOWrapper(io.BytesIO(), "utf-8")
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        sys.argv = ["bracing", *words]
        status = bracing(words)
    texts = []
    for stream in (out, err):
        stream.flush()
        texts.append(stream.buffer.getvalue().decode("utf-8"))  # type: ignore[attr-defined]
    found = {
        "words": shlex.join(words),
        "status": status,
        "out": texts[0],
        "err": texts[1] if status not in (0, 1) else "",
    }  # else it is progress, told by the clock
    if words[0] == "sheet" and status == 0:
        found["out"] += Path(words[-1]).read_text(encoding="utf-8")
        Path(words[-1]).unlink()
    return found


def kernels() -> list[str]:
    """Kernels the linear algebra libraries of this process have taken, as they say themselves."""
    import scipy.linalg  # noqa: F401  (so that its library is there to be asked)

    found = []
    for path in {
        line.split()[-1] for line in Path("/proc/self/maps").read_text().splitlines() if "openblas" in line
    }:
        library = ctypes.CDLL(path)
        for name in (
            "scipy_openblas_get_corename64_",
            "scipy_openblas_get_corename",
            "openblas_get_corename",
        ):
            if hasattr(library, name):
                ask = getattr(library, name)
                ask.restype = ctypes.c_char_p
                found.append(f"{Path(path).name.split('-')[0]} {ask().decode()}")
    return sorted(found)


def cases(asked: argparse.Namespace) -> Iterator[tuple[str, ...]]:
    """Every command to run, on files in the folder this process stands in."""
    shutil.copytree(ROOT / "examples", "examples")
    if asked.consoles:
        commands = {command for page in PAGES for command, _ in examples_of(page)}
        yield from (
            tuple(shlex.split(command)[1:]) for command in sorted(commands) if " start " not in command
        )
    asks = BRIEF if asked.brief else ASKED
    examples = sorted(Path("examples").glob("*.toml")) if asked.examples else []
    for path in examples:
        yield from (
            (words[0], str(path), *words[1:]) for words in (*asks, *(() if asked.brief else LAID_OUT))
        )
    for k, (name, text) in enumerate(walls(asked.walls, asked.start)):
        Path(name).write_text(text, encoding="utf-8")
        laid = LAID_OUT if asked.layouts and k % asked.layouts == 0 else ()
        yield from ((words[0], name, *words[1:]) for words in (*asks, *laid))


def main() -> None:
    """Write one line a command."""
    parser = argparse.ArgumentParser(prog="python -m tests.guards.answers")
    parser.add_argument("out", type=Path)
    parser.add_argument("--walls", type=int, default=0)
    parser.add_argument("--start", type=int, default=0)
    parser.add_argument("--layouts", type=int, default=0, help="lay out every so-manieth wall too")
    parser.add_argument("--consoles", action="store_true")
    parser.add_argument(
        "--brief", action="store_true", help="only the commands that are quick and print most"
    )
    parser.add_argument("--examples", action="store_true")
    asked = parser.parse_args()
    os.environ["COLUMNS"] = "100"
    with asked.out.open("w", encoding="utf-8") as stream, tempfile.TemporaryDirectory() as home:
        os.chdir(home)
        stream.write(json.dumps({"kernels": kernels()}) + "\n")
        for words in cases(asked):
            stream.write(json.dumps(answer(words)) + "\n")


if __name__ == "__main__":
    sys.exit(main())
