"""python -m tests.fuzz --count 100000: batches of cases in child processes; see tests/fuzz/__init__.py."""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from tests.fuzz.cases import make_case
from tests.fuzz.child import judge, run_case

ROOT = Path(__file__).parents[2]
BATCH = 1000


def run_batch(seed: int, first: int, last: int, only: str = "") -> Iterator[dict[str, Any]]:
    """Run some cases in children; a child that dies costs the case it was at, and the rest goes on in another."""
    env = os.environ | {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONHASHSEED": "0"}
    with tempfile.TemporaryDirectory() as folder:
        progress = Path(folder) / "progress"
        while first < last:
            progress.write_bytes(b"%12d" % first)
            words = (sys.executable, "-m", "tests.fuzz.child", *map(str, (seed, first, last, progress, only)))
            ran = subprocess.run(
                words, cwd=ROOT, env=env, capture_output=True, text=True, stdin=subprocess.DEVNULL
            )
            told = [json.loads(line) for line in ran.stdout.splitlines()]
            yield from told
            if ran.returncode == 0 and told and "next" in told[-1]:
                first = told[-1]["next"]
                continue
            at = int(progress.read_bytes())
            words = make_case(seed, at).words[:12]
            yield {
                "case": at,
                "words": words,
                "wrong": [f"the process ended, {ran.returncode}: {ran.stderr[-600:]}"],
            }
            yield {
                "tally": {"of a process that ended": at + 1 - first},
                "spent": {},
                "longest": 0.0,
                "high": 0,
            }
            first = at + 1


def show_case(seed: int, number: int) -> int:
    """Run one case in this process and print all of it."""
    case = make_case(seed, number)
    with tempfile.TemporaryDirectory() as folder:
        for name, content in case.files.items():
            print(f"--- {name}\n{content.decode('utf-8', 'backslashreplace')}")
        print("--- words", case.words)
        ran = run_case(case, Path(folder))
    print(f"--- status {ran[0]}, {ran[3]:.2f} s\n{ran[1]}\n--- stderr\n{ran[2]}\n--- wrong", judge(case, ran))
    return 0


def main() -> int:
    """Run the cases; exit 0 where nothing is wrong with any."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--count", type=int, default=1000, help="how many cases")
    parser.add_argument("--first", type=int, default=0, help="number of the first")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--case", type=int, help="run this one alone and show it")
    parser.add_argument(
        "--only", default="", help="cases of these kinds alone, such as options,forecast,chart,readings"
    )
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args()
    if asked.case is not None:
        return show_case(asked.seed, asked.case)
    began, tally, spent, faults, longest, high = time.monotonic(), Counter[str](), Counter[str](), 0, 0.0, 0
    starts = range(asked.first, asked.first + asked.count, BATCH)

    def batch(first: int) -> list[dict[str, Any]]:
        return list(run_batch(asked.seed, first, min(first + BATCH, asked.first + asked.count), asked.only))

    with ThreadPoolExecutor(asked.workers) as pool:
        for told in pool.map(batch, starts):
            for line in told:
                if "tally" in line:
                    tally.update(line["tally"])
                    spent.update(line["spent"])
                    longest, high = max(longest, line["longest"]), max(high, line["high"])
                else:
                    faults += 1
                    print(f"case {line['case']}: {line['words']}: {'; '.join(line['wrong'])}", flush=True)
    took = time.monotonic() - began
    print(f"{sum(tally.values())} cases in {took / 60.0:.1f} minutes, {faults} with a fault; longest {longest:.2f} s, "
          f"memory at most {high / 2**20:.0f} MB")  # fmt: skip
    print(
        ", ".join(f"{name}: {count}" for name, count in sorted(tally.items())), "(what it was, exit status)"
    )
    print("seconds:", ", ".join(f"{name}: {took:.0f}" for name, took in spent.most_common(12)))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
