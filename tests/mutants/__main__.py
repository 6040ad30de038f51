"""python -m tests.mutants wind --sample 60 --seed 1, or --slips reviewed; see tests/mutants/__init__.py."""

from __future__ import annotations

import argparse
import difflib
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from itertools import islice
from pathlib import Path

from tests.mutants import slips, trial
from tests.mutants.groups import GROUPS
from tests.mutants.trial import Outcome

ROOT = Path(__file__).parents[2]
COPIED = (
    "bracing",
    "tests",
    "examples",
    "docs",
    "pyproject.toml",
    "README.md",
    "CHANGELOG.md",
    "DEVELOPERS.md",
)
THREADS = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONHASHSEED": "0"}
GRACE_S = 10.0  # a mutant may take three times as long as the program, and this


def copy_and_run(words: list[str]) -> int:
    """Run the same command in a copy of the tree, where files may be changed."""
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        for name in COPIED:
            source, target = ROOT / name, Path(folder) / name
            if source.is_dir():
                shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
            else:
                shutil.copy2(source, target)
        env = os.environ | THREADS | {"PYTHONPATH": folder}  # what a test starts is the copy too
        return subprocess.run(
            (sys.executable, "-m", "tests.mutants", "--here", *words), cwd=folder, env=env
        ).returncode


def difference(path: Path, text: str) -> str:
    """The lines a mutant changes, as they are and as they were."""
    lines = difflib.unified_diff(
        path.read_text(encoding="utf-8").splitlines(), text.splitlines(), lineterm="", n=0
    )
    return "\n".join(f"    {line}" for line in lines if not line.startswith(("---", "+++", "@@")))


def seconds_of(name: str, tests: tuple[str, ...]) -> float:
    """Run tests on the program as it is, which they must pass; give the processor time a run takes."""
    base = trial.run(tests, limit=1800.0, write_bytecode=True)
    if base.word != "passed":
        sys.exit(f"{name}: the tests fail on the program as it is:\n{base.said}")
    return trial.run(tests, limit=1800.0).seconds  # again, with bytecode written: what a mutant's run takes


def try_one(
    number: int, label: str, put: tuple[Path, str], tests: tuple[str, ...], *, limit: float
) -> Outcome:
    """Put one fault in and run tests; print a line, and the lines changed where none noticed."""
    path, text = put
    with trial.put_in(path, text):
        outcome = trial.run(tests, limit=limit)
    word = {"failed": "killed", "passed": "SURVIVED"}.get(outcome.word, outcome.word)
    by = f"; by {one}" if word == "killed" and (one := trial.failed(outcome)) else ""
    print(f"{number:4} {word:8} {outcome.seconds:6.1f} s  {label}{by}", flush=True)
    if word == "SURVIVED":
        print(difference(path, text), flush=True)
    return outcome._replace(word=word)


def run_group(name: str, asked: argparse.Namespace) -> Counter[str]:
    """Run one group; print a line per mutant, then the survivors; give the counts."""
    from tests.mutants import faults

    group, count = GROUPS[name], asked.sample or 60
    tests = tuple(path for test in group.tests if (path := f"tests/{test}") and Path(path).exists())
    places = faults.drawn(group.code, asked.seed, asked.match)
    texts = ((place, text) for place in places if (text := place.text()) is not None)
    sample = islice(texts, None if asked.all else count)
    base = seconds_of(name, tests)
    print(
        f"== {name}: {'all' if asked.all else count} of {len(places)} mutants, seed {asked.seed}; "
        f"tests {base:.1f} s",
        flush=True,
    )
    found = Counter[str]()
    for number, (place, text) in enumerate(sample, 1):
        outcome = try_one(number, str(place), (place.path, text), tests, limit=3.0 * base + GRACE_S)
        found[outcome.word] += 1
        if outcome.word == "broken" or asked.why:
            print(outcome.said, flush=True)
    return found


def run_slips(name: str, asked: argparse.Namespace) -> Counter[str]:
    """Run a list of slips, each against the tests that must notice it; those argued to be none are left out.

    The tests are not run on the program as it is first: the one that failed is, and must pass.
    """
    every = slips.read(slips.lists().get(name, Path(name)))
    chosen = [slip for slip in every if asked.match in f"{slip.file} {slip.name}" and not slip.lives]
    if bad := [fault for slip in chosen for fault in slip.faults(Path())]:
        sys.exit("\n".join(bad))
    if asked.sample is not None:
        chosen = random.Random(asked.seed).sample(chosen, min(asked.sample, len(chosen)))
    argued = sum(bool(slip.lives) for slip in every)
    print(f"== {name}: {len(chosen)} of {len(every)} slips; {argued} argued to be none", flush=True)
    found = Counter[str]()
    for number, slip in enumerate(chosen, 1):
        tests = tuple(f"tests/{test}" for test in slip.picked())
        there = tuple(test for test in tests if Path(test.partition("::")[0]).exists())
        path = Path(slip.file)
        put = (path, slip.put_into(path.read_text(encoding="utf-8")))
        outcome = try_one(number, f"{slip.name}: {slip.about}", put, there, limit=asked.seconds)
        word, again = outcome.word, trial.failed(outcome)
        word = "unfinished" if word == "time-out" else word
        if again and trial.run((again,), limit=asked.seconds).word != "passed":
            word = "broken"
            print(f"     broken: {again} fails on the program as it is", flush=True)
        found[word] += 1
        if word == "broken" or asked.why:
            print(outcome.said, flush=True)
    return found


def main() -> int:
    """Copy the tree, then run the groups asked for there."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.mutants", description="Put faults in; see whether tests fail."
    )
    parser.add_argument("groups", nargs="*", metavar="GROUP", help=f"of {', '.join(GROUPS)}; none is all")
    parser.add_argument(
        "--slips", action="append", default=[], metavar="LIST",
        help=f"slips put in by hand instead: {', '.join(slips.lists())}, or a file of them",
    )  # fmt: skip
    parser.add_argument(
        "--sample", type=int, help="drawn at random: mutants of each group (60), or slips (all)"
    )
    parser.add_argument(
        "--seconds", type=float, default=300.0, help="of a slip's tests; past it it is unfinished (300)"
    )
    parser.add_argument("--seed", type=int, default=1, help="of the draw (1)")
    parser.add_argument("--all", action="store_true", help="every mutant, in the same order")
    parser.add_argument("--match", default="", metavar="TEXT", help="only mutants whose place has this text")
    parser.add_argument("--why", action="store_true", help="show the end of each run")
    parser.add_argument("--here", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    unknown = set(asked.groups) - set(GROUPS)
    if unknown:
        parser.error(f"no group {', '.join(sorted(unknown))}; there are {', '.join(GROUPS)}")
    if not asked.here:
        return copy_and_run(
            [str(Path(word).resolve()) if Path(word).is_file() else word for word in sys.argv[1:]]
        )
    started = time.monotonic()
    trial.preload()
    totals = {name: run_slips(name, asked) for name in asked.slips}
    totals |= {name: run_group(name, asked) for name in asked.groups or (() if asked.slips else GROUPS)}
    print(f"\n{'group':14}{'run':>6}{'killed':>8}{'time-out':>10}{'survived':>10}{'killed %':>10}")
    for name, found in totals.items():
        run, dead = sum(found.values()), found["killed"] + found["time-out"]
        print(
            f"{name:14}{run:6}{found['killed']:8}{found['time-out']:10}{found['SURVIVED']:10}"
            f"{100.0 * dead / max(run, 1):10.1f}"
        )
    print(f"{time.monotonic() - started:.0f} s")
    return 0 if not any(found["SURVIVED"] or found["broken"] for found in totals.values()) else 1


if __name__ == "__main__":
    sys.exit(main())
