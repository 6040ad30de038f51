"""Runs one command of the program again and again in forks of a warm process, and kills it at a moment of choice.

A moment is one of the clock, or a step: a line of the modules that write. Between two steps nothing of the program
is carried out, so that kills at every step are kills at every place; what the system does within one is for the clock.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import FrameType
from typing import Any, NamedTuple

ROOT = Path(__file__).parents[1]
WRITERS = frozenset(
    str(ROOT / "bracing" / name)
    for name in (
        "reading/files.py", "reading/log.py", "reading/pulls.py", "stages/walk.py", "many/kept.py", "site/kept.py",
        "site/record.py", "site/walks.py", "commands/watch.py",
    )
)  # fmt: skip


class Ended(NamedTuple):
    """How a run ended: its status, negative where it was killed, the seconds and the steps it took, its last words."""

    status: int
    seconds: float
    steps: int
    said: str


class Warm:
    """A process that has loaded the program, and forks itself for each run of it."""

    def __init__(self) -> None:
        env = os.environ | {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONHASHSEED": "0"}
        env["PYTHONPATH"] = str(ROOT)
        self.process = subprocess.Popen(
            (sys.executable, "-m", "tests.killing"), cwd=ROOT, env=env, text=True,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        )  # fmt: skip

    def run(
        self,
        folder: Path,
        words: tuple[str, ...],
        typed: str = "",
        *,
        step: int | None = None,
        after: float | None = None,
        keep: bool = False,
    ) -> Ended:
        """Run a command in a folder; kill it before a step, or so many seconds after it began.

        With `keep` it runs in the warm process itself, which has then loaded all that it needs.
        """
        asked = {"folder": str(folder), "words": words, "typed": typed, "step": step, "after": after}
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(json.dumps(asked | {"keep": keep}) + "\n")
        self.process.stdin.flush()
        return Ended(*json.loads(self.process.stdout.readline()))

    def end(self) -> None:
        """Let it go; its input ends."""
        self.process.communicate()


class Steps:
    """Counts the lines of the modules that write, and ends this process before one of them."""

    def __init__(self, at: int | None) -> None:
        self.at, self.count = at, 0

    def __call__(self, frame: FrameType, _event: str, _arg: Any) -> Any:
        return self.line if frame.f_code.co_filename in WRITERS else None

    def line(self, _frame: FrameType, event: str, _arg: Any) -> Any:
        if event == "line":
            self.count += 1
            if self.count == self.at:
                os.kill(os.getpid(), signal.SIGKILL)
        return self.line


def _command(asked: dict[str, Any], output: int) -> tuple[int, int]:
    """Run the command in this process; its status, and the steps it took."""
    from bracing.commands import cli

    os.chdir(asked["folder"])
    typed = os.memfd_create("typed")
    os.write(typed, asked["typed"].encode())
    os.lseek(typed, 0, os.SEEK_SET)
    with os.fdopen(typed, encoding="utf-8") as said, os.fdopen(os.dup(output), "w", encoding="utf-8") as out:
        kept, steps = (sys.stdin, sys.stdout, sys.stderr), Steps(asked["step"])
        sys.stdin, sys.stdout, sys.stderr = said, out, out
        if asked["after"] is None and not asked["keep"]:
            sys.settrace(steps)
        try:
            return cli.main(list(asked["words"])), steps.count
        finally:
            sys.settrace(None)
            sys.stdin, sys.stdout, sys.stderr = kept


def _fork(asked: dict[str, Any]) -> Ended:
    """Run the command in a fork, and kill it when it is time."""
    output, (hear, tell), began = os.memfd_create("output"), os.pipe(), time.monotonic()
    child = os.fork()
    if child == 0:
        status = 70
        try:
            status, steps = _command(asked, output)
            os.write(tell, str(steps).encode())
        except BaseException as error:  # noqa: BLE001  (whatever it is, it is told)
            os.write(output, repr(error).encode())
        finally:
            os._exit(status)
    os.close(tell)
    if asked["after"] is not None:
        status = _wait(child, began + asked["after"])
    else:
        _, status = os.waitpid(child, 0)
    took = time.monotonic() - began
    with os.fdopen(hear, "rb") as pipe:
        steps = int(pipe.read() or b"0")
    return Ended(os.waitstatus_to_exitcode(status), took, steps, _last(output))


def _wait(child: int, until: float) -> int:
    """Wait for a child; kill it where it has not ended by then."""
    while time.monotonic() < until:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return status
        time.sleep(0.001)
    os.kill(child, signal.SIGKILL)
    return os.waitpid(child, 0)[1]


def _last(output: int) -> str:
    with os.fdopen(output, "rb") as stream:
        stream.seek(0)
        return stream.read()[-2000:].decode("utf-8", "replace")


def main() -> int:
    """Answer each line of the input with how the run it asks for ended."""
    for line in sys.stdin:
        asked = json.loads(line)
        if asked["keep"]:
            output = os.memfd_create("output")
            status, _ = _command(asked, output)
            ended = Ended(status, 0.0, 0, _last(output))
        else:
            ended = _fork(asked)
        os.chdir(ROOT)
        sys.stdout.write(json.dumps(ended) + "\n")
        sys.stdout.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main())
