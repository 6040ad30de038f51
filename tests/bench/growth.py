"""How time and memory grow with a wall's length, braces, openings, a list's walls and a forecast's hours.

    python -m tests.bench.growth

Each quantity is doubled and doubled again with all else kept; time is processor time on one core, the least of several
runs; memory is the most that was held at once above what stood before, as Python counts it. The exponent is the slope
of a line through the logarithms: 1 is in proportion. Measured, never asserted.
"""

from __future__ import annotations

import os
import tempfile
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from bracing.check import check
from bracing.job.job import Job
from bracing.many.kept import ListAsked
from bracing.many.rows import check_list, spread
from bracing.reading.jobs import job_from_text
from bracing.storm.answer import storm
from bracing.storm.clock import Clock
from bracing.storm.forecast import Forecast, Hour
from tests.bench.layouts import WALL, least_time
from tests.bench.many_walls import write_list

RUNS = 5
GUST = 40.0
BRACE = """
[[brace]]
stud_at = "{x} in"
head = "8 ft"
set_back = "8 ft"
size = "2x6"
"""
OPENING = """
[[wall.opening]]
left = "{x} in"
width = "26 in"
height = "48 in"
sill = "36 in"
covered = true
"""


def wall_of(feet: int, braces: int, openings: int = 0) -> Job:
    """Make a level wall, braces on studs spread evenly, openings between the first of them."""
    last = feet * 12 // 16 - 2
    studs = np.unique(np.round(np.linspace(2, last, braces)).astype(int)) * 16
    assert len(studs) == braces
    text = WALL.format(length=feet)
    places = [x for x in range(75, feet * 12 - 60, 64) if all(abs(x + 13 - stud) > 24 for stud in studs)][
        :openings
    ]
    assert len(places) == openings
    text = text.replace("[floor]\n", "".join(OPENING.format(x=x) for x in places) + "[floor]\n", 1)
    return job_from_text(text + "".join(BRACE.format(x=x) for x in studs), "growth.toml")


def one_check(job: Job) -> None:
    """Check a wall with every brace gone in turn."""
    found = check(job, gust=GUST, effects=False)
    assert len(found.missing) == len(job.braces)


def hold(job: Job, hours: int) -> None:
    """Hold a forecast of some hours against it."""
    now = datetime(2026, 6, 1, tzinfo=UTC)
    hour = timedelta(hours=1)
    ahead = tuple(Hour(now + k * hour, now + (k + 1) * hour, 10.0 + k % 12) for k in range(hours))
    storm(job, Forecast(ahead), Clock(now, UTC), ladder=None)


def list_of(count: int, folder: Path) -> None:
    """Check a list of walls on one core."""
    source = folder / f"{count}.csv"
    write_list(source, count)
    with spread(1, None) as executor:
        check_list(source, source.with_suffix(".out"), ListAsked(30.0), executor=executor)


def cases(folder: Path) -> Iterator[tuple[str, tuple[int, ...], Callable[[int], Callable[[], None]], int]]:
    """Give what grows, by how much, how to make the work of a size, and how many runs."""
    yield (
        "length of the wall, ft (a brace every 5 ft)",
        (15, 30, 60, 120),
        lambda n: once(wall_of(n, n // 5)),
        RUNS,
    )
    yield "braces on 120 ft", (6, 12, 24), lambda n: once(wall_of(120, n)), RUNS
    yield "openings in 120 ft, 6 braces", (4, 8, 16), lambda n: once(wall_of(120, 6, n)), RUNS
    job = wall_of(40, 8)
    yield "hours of forecast", (24, 240, 2400), lambda n: lambda: hold(job, n), RUNS
    yield "walls of a list", (50, 200, 800), lambda n: lambda: list_of(n, folder), 1


def once(job: Job) -> Callable[[], None]:
    """Bind a job to its check."""
    return lambda: one_check(job)


def slope(sizes: tuple[int, ...], values: list[float]) -> float:
    """Exponent of growth between the sizes."""
    return float(np.polyfit(np.log(sizes), np.log(values), 1)[0])


def most_memory(work: Callable[[], None]) -> float:
    """Most memory held at once above what stood before [MB]."""
    tracemalloc.start()
    before = tracemalloc.get_traced_memory()[0]
    work()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return (most - before) / 1e6


def main() -> None:
    """Print a row for each quantity."""
    one_check(wall_of(20, 4))
    with tempfile.TemporaryDirectory() as folder:
        list_of(20, Path(folder))
        for name, sizes, made, runs in cases(Path(folder)):
            works = [made(n) for n in sizes]
            times = [least_time(work, runs) for work in works]
            memory = [most_memory(work) for work in works]
            print(name)
            print("  size   " + "".join(f"{n:>10}" for n in sizes) + "  exponent")
            print(
                "  ms     " + "".join(f"{1000.0 * t:10.1f}" for t in times) + f"{slope(sizes, times):10.2f}"
            )
            print(
                "  MB     " + "".join(f"{m:10.2f}" for m in memory) + f"{slope(sizes, memory):10.2f}",
                flush=True,
            )


if __name__ == "__main__":
    main()
