"""How long the program takes to start, beside the bare imports it stands on.

    python -m tests.bench.startup

Each line is the processor time of a whole process, the least of several runs taken in turn, so that a busy machine
slows both sides alike. Compiled code is kept in a folder of its own, as an installed package has it.
tests/house/test_startup.py holds the ratios to the budget.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROUNDS = 7
WALL = str(ROOT / "examples" / "as-found.toml")
PYTHON = (sys.executable, "-c")
# What `bracing check` needs before it has done anything: its imports, and the parser run on one option.
BARE_CHECK = """
import attrs, numpy, scipy, tabulate, tomllib, typer
app = typer.Typer(add_completion=False)
@app.command()
def check(file: str, gust: str = ""): ...
app(["x", "--gust", "30"])
"""
PROCESSES: dict[str, tuple[str, ...]] = {
    "import typer": (*PYTHON, "import typer"),
    "bracing --help": (sys.executable, "-m", "bracing", "--help"),
    "import numpy": (*PYTHON, "import numpy"),
    "import bracing": (*PYTHON, "import bracing"),
    "bare check": (*PYTHON, BARE_CHECK),
    "bracing check": (sys.executable, "-m", "bracing", "check", WALL, "--gust", "30"),
}
# The process, what it is measured beside, and how many times as long it may take.
BUDGET: tuple[tuple[str, str, float], ...] = (
    ("bracing --help", "import typer", 1.25),
    ("import bracing", "import numpy", 1.5),
    (
        "bracing check",
        "bare check",
        3.1,
    ),  # 2.6 to 2.8 here; one program varies so from hour to hour of a machine
)


def seconds(words: tuple[str, ...], cache: str) -> float:
    """Processor time of one process, user and system [s]; `cache` is the folder of compiled code."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    env |= {"PYTHONPYCACHEPREFIX": cache, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        words,
        cwd=ROOT,
        env=env,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        timeout=120,
        check=False,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def least(names: tuple[str, ...], rounds: int = ROUNDS) -> dict[str, float]:
    """Least time of each process over the rounds [s]."""
    found = dict.fromkeys(names, float("inf"))
    with tempfile.TemporaryDirectory() as cache:
        for _ in range(rounds):
            for name in names:
                found[name] = min(found[name], seconds(PROCESSES[name], cache))
    return found


def main() -> None:
    """Print every process with its time and its ratio."""
    found = least(tuple(PROCESSES))
    for name, time in found.items():
        print(f"{name:24} {1000.0 * time:6.0f} ms")
    for name, beside, most in BUDGET:
        print(f"{name}: {found[name] / found[beside]:.2f} times {beside}, budget {most}")


if __name__ == "__main__":
    main()
