"""The start-up budget of tests/bench/startup.py."""

import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("resource")
from tests.bench.startup import BUDGET, least

TRIES = 3


@pytest.mark.slow
@pytest.mark.xdist_group("startup")
@pytest.mark.parametrize(("name", "beside", "most"), BUDGET)
def test_a_start_keeps_to_its_budget(name, beside, most):
    """A busy machine may spoil one measurement; a program that is too slow spoils all of them."""
    ratios = []
    for _ in range(TRIES):
        found = least((name, beside), rounds=4)
        ratios.append(found[name] / found[beside])
        if ratios[-1] <= most:
            return
    pytest.fail(f"{name}: {min(ratios):.2f} times {beside}, budget {most}")


@pytest.mark.parametrize("heavy", ["attr", "numpy", "scipy", "tabulate", "hashlib", "tempfile"])
def test_the_list_of_commands_loads_nothing_it_does_not_print(heavy):
    code = f"import sys\nfrom bracing.__main__ import main\nmain()\nprint({heavy!r} in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code, "--help"], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout.splitlines()[-1] == "False"
    assert "Usage" in done.stdout


def test_the_search_for_circles_waits_longer_than_a_check_and_leaves_no_answer_out(tmp_path):
    """A fault of the program set so would show as an answer that changes with the search on or off."""
    wall = Path(__file__).parents[2] / "examples" / "as-found.toml"
    code = "import gc\nfrom bracing.__main__ import main\n{first}main()\nprint(gc.get_freeze_count() > 0)\n"
    said = [
        subprocess.run(
            [sys.executable, "-c", code.format(first=first), "check", str(wall), "--gust", "30"],
            capture_output=True, text=True, timeout=120, check=True, cwd=tmp_path,
        ).stdout
        for first in ("", "import bracing.__main__ as own; own.SEARCH_AFTER = 700\n")
    ]  # fmt: skip
    assert said[0] == said[1]
    assert said[0].splitlines()[-1] == "True"
