"""The same file gives the same bytes on a machine that works out logarithms, exponentials and products otherwise."""

import os
import subprocess
import sys

import pytest

from tests.cli.running import EXAMPLES, ROOT

WALL = EXAMPLES / "short-wall-braced.toml"


def given(folder, **env):
    """What the command writes of a wall, and its picture."""
    svg = folder / "curves.svg"
    words = ("chance", WALL, "--gust", "45", "--json", "--svg", svg, "--overwrite")
    moment = ("--now", "2026-03-06 12:00", "--zone", "UTC")
    done = subprocess.run(
        [sys.executable, "-m", "bracing", *words, *moment], capture_output=True, check=True, timeout=300, cwd=ROOT,
        env={**os.environ, **env},
    )  # fmt: skip
    return done.stdout, svg.read_bytes()


@pytest.mark.slow
def test_a_plainer_processor_gives_the_same_bytes(tmp_path):
    """Numpy without its newer instructions, and linear algebra as for an older processor: last digits differ."""
    from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__

    newer = " ".join(name for name in __cpu_dispatch__ if __cpu_features__.get(name))
    plain = given(tmp_path, NPY_DISABLE_CPU_FEATURES=newer, OPENBLAS_CORETYPE="Nehalem")
    assert plain == given(tmp_path)
