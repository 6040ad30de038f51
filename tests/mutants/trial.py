"""One run of a group's tests in a fork of this process, which has the heavy libraries loaded already."""

from __future__ import annotations

import contextlib
import importlib
import os
import re
import resource
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

PRELOAD = (
    "numpy",
    "scipy.linalg",
    "scipy.optimize",
    "scipy.sparse.linalg",
    "scipy.interpolate",
    "scipy.integrate",
    "tomlkit",
    "typer.testing",
    "tabulate",
    "hypothesis.strategies",
    "hypothesis.extra.numpy",
)
OPTIONS = (
    *("-x", "-q", "-p", "no:xdist", "-p", "no:cacheprovider", "-p", "no:randomly", "-p", "no:cov"),
    *("-m", "not slow and not proof and not browser"),
    *("--hypothesis-profile=mutants", "--hypothesis-seed=0"),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),
)
MEMORY = 6 * 2**30


class Outcome(NamedTuple):
    """How a run ended: passed, failed or time-out, the processor time it took, and its last words."""

    word: str
    seconds: float
    said: str


FAILED = re.compile(r"^(?:FAILED|ERROR) (.+?)(?: - .*)?$", re.MULTILINE)


def failed(outcome: Outcome) -> str:
    """The first test that failed, or file that could not be loaded, by its name; empty where none did."""
    found = FAILED.search(outcome.said)
    return found[1] if found else ""


def preload() -> None:
    """Load what every fork would load for itself."""
    for name in PRELOAD:
        importlib.import_module(name)
    assert not [name for name in sys.modules if name.split(".")[0] == "bracing"]


@contextlib.contextmanager
def put_in(path: Path, text: str) -> Iterator[None]:
    """Write a fault into a file of this copy, and put the file back with its time, so that its bytecode is good."""
    was, times = path.read_bytes(), path.stat()
    try:
        path.write_text(text, encoding="utf-8")
        yield
    finally:
        path.write_bytes(was)
        os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))


def run(tests: tuple[str, ...], *, limit: float, write_bytecode: bool = False) -> Outcome:
    """Run tests in a fork, within a limit of processor seconds (and four times that by the clock)."""
    said, write = os.pipe()
    child = os.fork()
    if child == 0:
        _in_child(tests, limit, write, write_bytecode=write_bytecode)
    os.close(write)
    try:
        usage, status = _wait(child, 4.0 * limit)
    except KeyboardInterrupt:
        os.kill(child, signal.SIGKILL)
        raise
    with os.fdopen(said, "rb") as pipe:
        words = pipe.read().decode("utf-8", "replace")
    seconds = usage.ru_utime + usage.ru_stime
    if os.WIFSIGNALED(status):
        stopped = os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL)
        return Outcome("time-out" if stopped else "failed", seconds, f"signal {os.WTERMSIG(status)}")
    code = os.waitstatus_to_exitcode(status)
    if code not in (0, 1, 2):  # 2: a test file that cannot be loaded
        return Outcome("broken", seconds, f"exit {code}\n{words}")
    return Outcome("passed" if code == 0 else "failed", seconds, words)


def _wait(child: int, wall: float) -> tuple[resource.struct_rusage, int]:
    """Wait for a child; kill it past the wall-clock limit."""
    end = time.monotonic() + wall
    while True:
        pid, status, usage = os.wait4(child, os.WNOHANG)
        if pid:
            return usage, status
        if time.monotonic() > end:
            os.kill(child, signal.SIGKILL)
        time.sleep(0.02)


def _in_child(tests: tuple[str, ...], limit: float, write: int, *, write_bytecode: bool) -> None:
    """Be the fork: limits, silence, pytest, and an exit that runs nothing else."""
    code = 3
    try:
        seconds = int(limit) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        signal.signal(signal.SIGXCPU, signal.SIG_DFL)
        sys.dont_write_bytecode = not write_bytecode
        null = os.open(os.devnull, os.O_RDWR)
        os.dup2(null, 0)
        output = os.memfd_create("output")
        os.dup2(output, 1)
        os.dup2(output, 2)
        code = int(pytest.main([*OPTIONS, *tests]))
        sys.stdout.flush()
        size = os.lseek(output, 0, os.SEEK_END)
        os.lseek(output, max(0, size - 4000), os.SEEK_SET)
        os.write(write, os.read(output, 4000))
    finally:
        os._exit(code)
