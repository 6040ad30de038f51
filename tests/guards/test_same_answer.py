"""The same answer on every machine: words, order, cases, verdicts and whole numbers alike, other numbers to 1e-9.

Another machine is imitated by the kernels of the linear algebra library, by its threads, by the functions of the C
library without the newest instructions, and by the hash seed.
"""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, NamedTuple

import pytest

from tests.house.tree import ROOT

NEAR = 1e-9
OLD_C = "glibc.cpu.hwcaps=-AVX2,-FMA,-AVX2_Usable,-FMA_Usable"

pytestmark = [
    pytest.mark.skipif(
        platform.machine() != "x86_64" or sys.platform != "linux",
        reason="kernels are chosen by name on Linux with an x86 processor",
    ),
    pytest.mark.xdist_group("same_answer"),
]


class Setting(NamedTuple):
    """What another machine would do otherwise."""

    kernel: str
    threads: int
    seed: int
    old: bool = False

    @property
    def env(self) -> dict[str, str]:
        more = {
            "OPENBLAS_CORETYPE": self.kernel,
            "OPENBLAS_NUM_THREADS": str(self.threads),
            "PYTHONHASHSEED": str(self.seed),
            "PYTHONPATH": os.pathsep.join(map(str, (ROOT, *filter(None, sys.path)))),
        }
        return os.environ | more | ({"GLIBC_TUNABLES": OLD_C} if self.old else {})


ORDINARY = (Setting("Haswell", 1, 0), Setting("Prescott", 2, 1, old=True), Setting("Nehalem", 1, 2))
WHOLE = (
    *ORDINARY,
    Setting("Sandybridge", 2, 0),
    Setting("Zen", 2, 2),
    Setting("SkylakeX", 1, 1),
    Setting("Haswell", 2, 1, old=True),
)


def answers(folder, setting: Setting, *words: str) -> tuple[list[str], list[dict[str, Any]]] | None:
    """The kernels a process says it took, and its answers; None where this processor cannot run them."""
    out = folder / f"{'-'.join(map(str, setting))}.jsonl"
    done = subprocess.run(
        (sys.executable, "-m", "tests.guards.answers", str(out), *words),
        cwd=ROOT, env=setting.env, capture_output=True, text=True,
    )  # fmt: skip
    if done.returncode == -4:  # illegal instruction
        return None
    assert done.returncode == 0, done.stderr
    first, *rest = map(json.loads, out.read_text(encoding="utf-8").splitlines())
    return first["kernels"], rest


def leaves(value: Any, at: str = "") -> Iterator[tuple[str, Any]]:
    """Every word and number of an answer with its path, the places of lists left out; how long each list is."""
    if isinstance(value, dict):
        for key, each in value.items():
            yield from leaves(each, f"{at}.{key}")
    elif isinstance(value, list):
        yield f"{at}[]", len(value)
        for each in value:
            yield from leaves(each, f"{at}[]")
    else:
        yield at, value


def apart(one: Any, other: Any, near: float = NEAR) -> list[str]:
    """Where two answers differ in more than the last digits of a number.

    A number that is the rest of others which cancel is as exact as the greatest of its kind in the answer.
    """
    these, those = list(leaves(one)), list(leaves(other))
    if [at for at, _ in these] != [at for at, _ in those]:
        return ["other keys, or in another order"]
    scale: dict[str, float] = {}
    for at, value in these:
        if isinstance(value, float):
            scale[at] = max(scale.get(at, 0.0), abs(value))
    return [
        f"{at}: {a!r}, {b!r}"
        for (at, a), (_, b) in zip(these, those, strict=True)
        if a != b and not (isinstance(a, float) and isinstance(b, float) and abs(a - b) <= near * scale[at])
    ]


def differences(one: list[dict[str, Any]], other: list[dict[str, Any]], near: float = NEAR) -> list[str]:
    """Every command whose answer differs, and where."""
    found = []
    for a, b in zip(one, other, strict=True):
        if a == b:
            continue
        whole = ("words", "status", "err")
        where = [f"{key}: {a[key]!r}, {b[key]!r}" for key in whole if a[key] != b[key]]
        if "--json" in a["words"] and a["out"] and b["out"]:
            where += apart(json.loads(a["out"]), json.loads(b["out"]), near)
        elif a["out"] != b["out"]:
            lines = zip(a["out"].splitlines(), b["out"].splitlines(), strict=False)
            where += [f"{x!r}, {y!r}" for x, y in lines if x != y] or ["one is longer"]
        found += [f"{a['words']}: {line}" for line in where[:5]]
    return found


def held(folder, settings: tuple[Setting, ...], *words: str, least: int, near: float = NEAR) -> None:
    """Hold the answers of every setting this processor can run against the first's."""
    found = [(setting, ran) for setting in settings if (ran := answers(folder, setting, *words)) is not None]
    taken = {tuple(kernels) for _, (kernels, _) in found}
    assert len(taken) >= least, f"the kernels did not change: {taken}"
    faults = [
        f"{a} and {b}: {line}"
        for (a, (_, one)), (b, (_, other)) in pairwise(found)
        for line in differences(one, other, near)
    ]
    assert not faults, "\n".join(faults[:40])


def test_the_same_answer_under_other_kernels_threads_and_hash_seeds(tmp_path):
    held(tmp_path, ORDINARY, "--brief", "--examples", "--walls", "6", least=3)


def test_the_same_answer_of_a_wall_whose_stiff_and_soft_parts_are_far_apart(tmp_path):
    """A strong row across a rake of a few long studs: forces differed by 3e-9 from machine to machine."""
    held(tmp_path, ORDINARY[:2], "--brief", "--walls", "1", "--start", "95", least=2)


@pytest.mark.proof
def test_the_same_answer_for_300_walls_and_every_console(tmp_path):
    words = ("--examples", "--consoles", "--walls", "300", "--layouts", "6")
    held(tmp_path, WHOLE, *words, least=4)


def test_what_differs_is_found():
    """Else the tests above would say nothing."""
    a = {"words": "check w --json", "status": 0, "err": "", "out": '{"x": 1.5, "links": [{"y": 2.25}]}'}
    assert not differences([a], [a | {"out": '{"x": 1.5000000000001, "links": [{"y": 2.25}]}'}])
    for out in (
        '{"x": 1.50001, "links": [{"y": 2.25}]}', '{"x": 1.5, "links": []}', '{"x": 2, "links": [{"y": 2.25}]}',
        '{"links": [{"y": 2.25}], "x": 1.5}', '{"x": 1.5, "links": [{"y": "2.25"}]}',
    ):  # fmt: skip
        assert differences([a], [a | {"out": out}]), out
    assert differences([a], [a | {"status": 1}])
    text = {"words": "check w", "status": 0, "err": "", "out": "B1 1.00\n"}
    assert differences([text], [text | {"out": "B2 1.00\n"}])
