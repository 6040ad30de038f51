"""Runs some cases in this process under limits, judges what came out, and prints each fault as a line of JSON."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import resource
import signal
import sys
import tempfile
import time
import warnings
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bracing.commands import cli
from tests.fuzz.cases import Case, make_case

MOST_SECONDS = 2.0  # of this process's own time, so that a busy machine does not count
# A layout and a storm's ladder are searches, a sheet is drawn, a list is up to a dozen walls: longer, but bounded too.
SECONDS_OF = {"layout": 10.0, "storm": 5.0, "sheet": 10.0, "walls": 10.0, "box": 10.0, "chance": 10.0}
MOST_BYTES = (
    700 * 2**20
)  # five walls joined take 270 MB by themselves, what a process keeps from before 240 more
DEAD_SECONDS = 60  # of own time: then the process ends, and the parent names the case
WAITING_SECONDS = 900  # of the clock: it waits for something that never comes
NO_NUMBER = re.compile(r"(?<![a-z])(nan|inf|infinity)(?![a-z])", re.IGNORECASE)
# What is never under nothing, wherever it stands in an answer. (What declaring something would add may be.)
NEVER_NEGATIVE = re.compile(
    r"(?!effect_)\w+_mph|ratio|demand|capacity|count|counted|(\w+_)?minutes|weight_(lb|psf)|braces|people"
)
# What is said beside faults, and is none.
NOTES = ("next: ", "--language: of storm only", "the budget of ")
FAULT_LINE = re.compile(r".+: .+: got .*; expected .+")


def limit_this_process() -> None:
    """Let the system end what runs away."""
    with contextlib.suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_DATA, (MOST_BYTES, MOST_BYTES))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def most_memory() -> int:
    """The most memory this process has had [bytes]; what `getrusage` gives begins with what its parent had."""
    with contextlib.suppress(OSError, TypeError):
        peak = re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
        return int(peak[1]) * 1024
    kept = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return kept if sys.platform == "darwin" else kept * 1024


def run_case(case: Case, folder: Path) -> tuple[int, str, str, float]:
    """Run one case; give status, stdout, stderr and the seconds it took."""
    for name, content in case.files.items():
        (folder / name).write_bytes(content)
    words = [word.replace("{}", str(folder)) for word in case.words]
    out, err = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.TextIOWrapper(io.BytesIO(), "utf-8")
    said = io.StringIO(case.files.get("stdin", b"").decode())
    signal.setitimer(signal.ITIMER_PROF, DEAD_SECONDS)
    signal.setitimer(signal.ITIMER_REAL, WAITING_SECONDS)
    began, before = time.process_time(), sys.stdin
    sys.stdin = said
    try:
        # what is written beside the file asked about, or where nobody said, goes into the case's own folder
        with contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = cli.main(words)
    finally:
        sys.stdin = before
    took = time.process_time() - began
    signal.setitimer(signal.ITIMER_PROF, 0)
    signal.setitimer(signal.ITIMER_REAL, 0)
    texts = []
    for stream in (out, err):
        stream.flush()
        texts.append(stream.buffer.getvalue().decode())  # type: ignore[attr-defined]
    return status, texts[0], texts[1], took


def seconds_for(case: Case) -> float:
    """How long a case may take, of this process's own time."""
    return SECONDS_OF.get(case.words[0] if case.words else "", MOST_SECONDS)


def judge(case: Case, ran: tuple[int, str, str, float]) -> list[str]:
    """Say everything that is wrong with what came out."""
    status, out, err, took = ran
    wrong = []
    if status not in (0, 1, 2, 4, 130) or "Traceback" in out + err:
        wrong.append(f"status {status}: {err.strip()[-400:]}")
    if took > seconds_for(case):
        wrong.append(f"took {took:.1f} s")
    if status == 2:
        rows = case.typed in (
            "list",
            "walk",
        )  # a list says its rows' faults in its results, a walk as it goes
        said = [line for line in err.split("\n")[:-1] if not line.startswith(NOTES)]
        if not rows and (not said or not all(map(FAULT_LINE.fullmatch, said))):
            wrong.append(f"a fault is no line of its own: {err[-300:]!r}")
    written = b" ".join(case.files.values()).decode("utf-8", "replace") + " ".join(case.words)
    if "--json" in case.words and out and not {"-h", "--help"} & set(case.words):
        wrong += _judge_json(out, status)
    elif NO_NUMBER.search(out) and not NO_NUMBER.search(written):
        wrong.append(f"no number: {NO_NUMBER.search(out)}")
    return wrong


def _judge_json(out: str, status: int) -> list[str]:
    def refuse(name: str) -> None:
        raise ValueError(name)

    try:
        answer: Any = json.loads(out, parse_constant=refuse)
    except ValueError as error:
        return [f"not JSON: {error}"]
    if status == 2:
        return [] if "errors" in answer or "bad" in out else ["no errors in it"]
    if below := list(_below_nothing(answer)):
        return [f"less than nothing: {'; '.join(below[:3])}"]
    if answer.get("verdict") != "within" or "links" not in answer:
        return []
    wrong = [link["link"] for link in answer["links"] if link["ratio"] is None or link["ratio"] > 1.0]
    if not answer["links"] or answer["limit_gust_mph"] < int(answer["gust_mph"]):
        wrong.append("within, over its limit gust or without a link")
    expected = 4 if answer.get("people_out") else 0
    return wrong + ([f"within, and its status is not {expected}"] if status != expected else [])


def _below_nothing(value: Any, key: str = "") -> Iterator[str]:
    """The numbers of an answer that are negative where none can be, with their keys."""
    if isinstance(value, dict):
        for name, each in value.items():
            yield from _below_nothing(each, name)
    elif isinstance(value, list):
        for each in value:
            yield from _below_nothing(each, key)
    elif isinstance(value, int | float) and value < 0 and NEVER_NEGATIVE.fullmatch(key):
        yield f"{key} {value}"


def main(words: list[str]) -> int:
    """Run cases FIRST to LAST of SEED, of the kinds ONLY where it says any; PROGRESS is told the case under way."""
    seed, first, last = (int(word) for word in words[:3])
    progress = os.open(words[3], os.O_WRONLY | os.O_CREAT)
    only = words[4].split(",") if words[4:] and words[4] else []
    warnings.simplefilter("error")
    limit_this_process()
    tally: Counter[str] = Counter()
    spent: Counter[str] = Counter()
    longest = 0.0
    with tempfile.TemporaryDirectory() as top:
        warm = Case(("check", "--length", "8ft", "--height", "8ft", "--gust", "20", "--json"), {}, "options")
        run_case(warm, Path(top))  # what loads on first use is start-up, no part of a case
        for number in range(first, last):
            os.pwrite(progress, b"%12d" % number, 0)
            case, folder = make_case(seed, number), Path(top) / str(number)
            if only and case.typed not in only:
                continue
            folder.mkdir()
            ran = run_case(case, folder)
            wrong = judge(case, ran)
            if ran[3] > seconds_for(case):  # a busy machine can double it: the least of three counts
                took = min(ran[3], *(run_case(case, folder)[3] for _ in range(2)))
                wrong = judge(case, (*ran[:3], took))
            high = most_memory()
            if high > MOST_BYTES:
                wrong.append(f"memory {high / 2**20:.0f} MB")
            for path in sorted(folder.rglob("*"), reverse=True):
                path.rmdir() if path.is_dir() else path.unlink()
            folder.rmdir()
            tally[f"{case.typed} {ran[0]}"] += 1
            spent[f"{case.words[0] if case.words else ''} {ran[0]}"] += ran[3]
            longest = max(longest, ran[3])
            if wrong:
                sys.stdout.write(
                    json.dumps({"case": number, "words": case.words[:12], "wrong": wrong}) + "\n"
                )
            if high > MOST_BYTES:
                break
    sys.stdout.write(
        json.dumps({"tally": tally, "spent": spent, "longest": longest, "high": high, "next": number + 1})
        + "\n"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
