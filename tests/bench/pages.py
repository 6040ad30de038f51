"""How fast pages are answered: sixty walls, fifty requests a second, everything worked out before.

    .venv/bin/python -m tests.bench.pages                 # starts a server over 60 walls and prints percentiles [ms]
    .venv/bin/python -m tests.bench.pages --seconds 60

The walls are one example with its length changed, so that none is kept for another.
"""

from __future__ import annotations

import argparse
import http.client
import os
import random
import re
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

from bracing.site.desk import wall_id
from tests.cli.running import EXAMPLES

WALLS, A_SECOND, THREADS = 60, 50, 10
MOST_MS = 150.0  # 95 of 100 answers


def write_walls(folder: Path) -> list[Path]:
    """Sixty walls, no two alike."""
    text = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
    files = []
    for k in range(WALLS):
        files.append(folder / f"wall-{k:02d}.toml")
        changed = re.sub(r'^name = ".*"$', f'name = "Wall {k}"', text, count=1, flags=re.MULTILINE)
        files[-1].write_text(f"# {k}\n{changed}", encoding="utf-8")
    return files


def cookie_of(connection: http.client.HTTPConnection, token: str) -> str:
    """Come in by a link."""
    connection.request("GET", f"/k/{token}")
    answer = connection.getresponse()
    answer.read()
    return str(answer.headers["Set-Cookie"]).partition(";")[0]


def warm(connection: http.client.HTTPConnection, headers: dict[str, str]) -> float:
    """Ask for the job until every wall of it is there [s]."""
    began = time.monotonic()
    while True:
        connection.request("GET", "/", headers=headers)
        answer = connection.getresponse()
        answer.read()
        if answer.headers["Refresh"] is None:
            return time.monotonic() - began


def ask(port: int, headers: dict[str, str], paths: list[str], times: list[float], until: float) -> None:
    """One of ten who ask, each its share of the fifty, at even times."""
    connection = http.client.HTTPConnection("127.0.0.1", port)
    due = time.monotonic()
    while due < until:
        time.sleep(max(0.0, due - time.monotonic()))
        began = max(due, 0.0)  # a late one has waited since it was due
        connection.request("GET", random.choice(paths), headers=headers)
        answer = connection.getresponse()
        answer.read()
        assert answer.status == 200
        times.append((time.monotonic() - began) * 1000.0)
        due += THREADS / A_SECOND


def main() -> int:
    """Measure, and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=30.0)
    seconds = parser.parse_args().seconds
    with tempfile.TemporaryDirectory() as place:
        files = write_walls(Path(place))
        words = (sys.executable, "-m", "bracing", "serve", place, "--port", "0")
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env={**os.environ}) as running:
            assert running.stdout is not None
            found = None
            while found is None:
                found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/k/(\S+)", running.stdout.readline().strip())
            port = int(found[1])
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
            headers = {"Cookie": cookie_of(connection, found[2])}
            took = warm(connection, headers)
            paths = [
                "/",
                "/index.json",
                *(f"/w/{wall_id(file)}" for file in files),
                f"/w/{wall_id(files[0])}/walk",
            ]
            times: list[float] = []
            until = time.monotonic() + seconds
            asking = [
                threading.Thread(target=ask, args=(port, headers, paths, times, until))
                for _ in range(THREADS)
            ]
            for one in asking:
                one.start()
            for one in asking:
                one.join()
            running.terminate()
    times.sort()
    p50, p95, p99 = (times[min(len(times) - 1, int(len(times) * share))] for share in (0.5, 0.95, 0.99))
    sys.stdout.write(
        f"{WALLS} walls worked out in {took:.1f} s; {len(times)} answers in {seconds:g} s: "
        f"p50 {p50:.0f}, p95 {p95:.0f}, p99 {p99:.0f} ms\n"
    )
    return 0 if p95 <= MOST_MS else 1


if __name__ == "__main__":
    raise SystemExit(main())
