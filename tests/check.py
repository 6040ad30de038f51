"""The one check command: format, lint, types, documentation, tests with doctests, and the built package.

    python -m tests.check            as CI runs it
    python -m tests.check --fast     under a minute: format, lint, types; printed values, hand-worked walls, functions,
                                     the laws of formulas, and the guards that ask no whole wall
    python -m tests.check --slow     with the slow tests: the built package, the browser, paper, kills and restarts
    python -m tests.check --proof    the long sweeps alone: a thousand walls, brute force; hours together
    python -m tests.check --pythons --fast    any of these, but for types, on every Python that uv finds

Every step runs even where an earlier one failed. The last line counts steps and tests together.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree as ET
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).parents[1]
STEP_LIMIT_S = 45 * 60
# CI runs as root, who may read and write everything: what needs a file out of reach is not tested there.
SKIPPED_IN_CI = ("root ",)
SETTINGS = {"PYTHONHASHSEED": "0", "NO_MKDOCS_2_WARNING": "1"}
DOCS = "mkdocs", "build", "--strict"  # not quiet: a warning that is not told is not counted either
# What --fast runs: offline, and with the packages the program itself requires; a test that needs another is skipped.
FAST = (
    "tests/hand", "tests/published", "tests/crosschecks", "tests/house", "tests/unit",
    *(f"tests/laws/test_{name}.py" for name in ("basis", "doubled", "joint_laws", "member_laws", "new_kinds")),
    "tests/laws/test_sums.py", "tests/laws/test_wind_laws.py",
    *(f"tests/guards/test_{name}.py" for name in ("a_field_once", "answers_declare_their_keys", "sums")),
    "tests/guards/test_validation_and_cells.py",
    "bracing/codes", "bracing/panel",
)  # fmt: skip
NOT_FAST = {
    "tests/house/test_readme.py": "runs every command the manual shows",
    "tests/house/test_sources_map.py": "reads every test file for what it calls",
    **dict.fromkeys(
        [
            f"tests/unit/test_{name}.py"
            for name in ("finish", "least", "needed", "on_hand", "sticks", "why_none")
        ],
        "lays walls out",
    ),
    **dict.fromkeys(
        [f"tests/unit/test_{name}.py" for name in ("storm", "storm_work")], "asks storms of whole walls"
    ),
    **dict.fromkeys(
        [f"tests/unit/test_{name}.py" for name in ("many", "workers", "start")], "starts processes"
    ),
    **dict.fromkeys(
        [f"tests/unit/test_{name}.py" for name in ("drawing", "lift_drawing", "sheet")], "draws: an extra"
    ),
    "tests/unit/test_picks.py": "lifts whole walls",
    "tests/unit/test_trace.py": "follows every link of whole walls",
    "tests/unit/test_evaluate.py": "finds limits of whole walls",
}


def run(name: str, words: tuple[str, ...], *, beside: bool = False) -> bool:
    """Run one tool of this environment as a module, with nothing on stdin, and say how long it took.

    What one that runs beside the others prints is kept until it has ended.
    """
    if not beside:
        print(f"== {name}: {' '.join(words)}", flush=True)
    started, status, said = time.monotonic(), 1, b""
    try:
        done = subprocess.run(
            (sys.executable, "-m", *words), cwd=ROOT, env=os.environ | SETTINGS,
            stdin=subprocess.DEVNULL, timeout=STEP_LIMIT_S, stdout=subprocess.PIPE if beside else None,
            stderr=subprocess.STDOUT if beside else None,
        )  # fmt: skip
        status, said = done.returncode, done.stdout or b""
    except subprocess.TimeoutExpired as stopped:
        said = (stopped.stdout or b"") + f"stopped after {STEP_LIMIT_S / 60:.0f} minutes\n".encode()
    head = f"== {name}, beside the others: {' '.join(words)}\n" if beside else ""
    print(f"{head}{said.decode(errors='replace')}== {name}: {time.monotonic() - started:.0f} s", flush=True)
    return status == 0


def counts(report: Path) -> tuple[int, int, int]:
    """Give passed, failed and skipped of a test report; one that is not there is a failure.

    Tests that cannot run as root are neither.
    """
    if not report.exists():
        return 0, 1, 0
    root = ET.parse(report).getroot()
    total = failed = 0
    for suite in root.iter("testsuite"):
        total += int(suite.get("tests", 0))
        failed += int(suite.get("failures", 0)) + int(suite.get("errors", 0))
    reasons = [mark.get("message", "") for mark in root.iter("skipped")]
    skipped = [reason for reason in reasons if not reason.startswith(SKIPPED_IN_CI)]
    return total - failed - len(reasons), failed, len(skipped)


PYTHONS = ("3.11", "3.12", "3.13", "3.14")
EXTRAS = "sheet,pdf,dxf,many,docs,test"  # as README.md sets up the tests


def on_every_python(options: list[str]) -> int:
    """Run this command on each Python that uv finds; exit 0 where all passed on those there are."""
    uv = shutil.which("uv")
    if uv is None:
        print(
            "--pythons: uv is not installed; it finds the Pythons there are, and makes an environment for each"
        )
        return 1
    ended: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as folder:
        for version in PYTHONS:
            if subprocess.run((uv, "python", "find", version), capture_output=True, check=False).returncode:
                ended[version] = "not installed, not run"
                continue
            python = Path(folder, version, "Scripts" if os.name == "nt" else "bin", "python")
            steps: list[list[str | Path]] = [
                [uv, "venv", "-q", "--python", version, Path(folder, version)],
                [uv, "pip", "install", "-q", "--python", python, "-e", f".[{EXTRAS}]"],
                [python, "-m", "tests.check", "--no-types", *options],
            ]
            print(f"== Python {version}", flush=True)
            passed = all(subprocess.run(words, cwd=ROOT, check=False).returncode == 0 for words in steps)
            ended[version] = "passed" if passed else "failed"
    print("; ".join(f"Python {version}: {how}" for version, how in ended.items()))
    return 0 if "passed" in ended.values() and "failed" not in ended.values() else 1


def main() -> int:
    """Run every step; exit 0 only where all passed and, in CI, nothing was skipped."""
    parser = argparse.ArgumentParser(prog="python -m tests.check", description=__doc__.splitlines()[0])
    parser.add_argument(
        "--fast", action="store_true", help="format, lint, types and the quick tests: under a minute"
    )
    parser.add_argument("--slow", action="store_true", help="run the tests marked slow too")
    parser.add_argument("--proof", action="store_true", help="run the tests marked proof, and only those")
    parser.add_argument("--pythons", action="store_true", help="all that on every Python that uv finds")
    parser.add_argument(
        "--no-types", action="store_true", help="no types: other packages' stubs differ from Python to Python"
    )
    asked = parser.parse_args()
    if asked.pythons:
        return on_every_python([word for word in sys.argv[1:] if word != "--pythons"])
    chosen = ("-m", "proof" if asked.proof else "not proof" if asked.slow else "not slow and not proof")
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "tests.xml"
        steps = {
            "format": ("ruff", "format", "--check", "."),
            "lint": ("ruff", "check", "."),
            "types": ("mypy",),
            "docs": (*DOCS, "-f", ".mkdocs.yml", "-d", f"{folder}/site"),
            "tests": ("pytest", "-q", "-n", "2", "--dist=loadgroup", f"--junitxml={report}", *chosen),
        }
        if asked.fast:
            del steps["docs"]
            steps["tests"] += (*FAST, *(f"--ignore={path}" for path in NOT_FAST))
        # the type checker works on one processor, and nothing else waits for it
        words_of_types = steps.pop("types")
        with ThreadPoolExecutor(1) as other:
            types = None if asked.no_types else other.submit(run, "types", words_of_types, beside=True)
            failed_steps = [name for name, words in steps.items() if not run(name, words)]
            failed_steps += ["types"] if types is not None and not types.result() else []
        passed, failed, skipped = counts(report)
    if "tests" in failed_steps and failed == 0:
        failed = 1  # the run itself broke: a collection error, a warning at exit
    if skipped and os.environ.get("CI") == "true" and not asked.fast:
        print(f"{skipped} skipped: in CI every test must run, so each counts as failed")
        failed += skipped
    others = [name for name in failed_steps if name != "tests"]
    if others:
        print(f"failed steps: {', '.join(others)}")
    print(f"{passed + len(steps) - len(others)} passed, {failed + len(others)} failed")
    return 1 if failed or others else 0


if __name__ == "__main__":
    sys.exit(main())
