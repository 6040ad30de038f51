"""Walls per second of `bracing walls`, on one core, on two, and on two Dask workers; and the cost of a wall by number.

    python -m tests.bench.many_walls 100 1000 10000          # a builder's list: twenty walls over and over
    python -m tests.bench.many_walls --unlike 60 200         # no two alike, nailed off and strapped
    python -m tests.bench.many_walls --ways 1 100000         # one core alone

Each run is timed within one process, after the first rows have loaded the libraries; what is printed is measured,
nothing is asserted: a figure belongs to the machine it came from. Processor time is of this process and of workers
that have ended.
"""

from __future__ import annotations

import argparse
import random
import resource
import tempfile
import time
from pathlib import Path

from bracing.many.kept import ListAsked
from bracing.many.rows import _like, check_list, spread

WAYS = {"one core": (1, None), "two processes": (2, None), "two Dask workers": (2, "local")}
HEAD = "name,length,height,studs,layers,plate,brace"
# Of walls no two of which are alike: nailed off and strapped, so that every link is worked.
MORE = {
    "wall.plate.state": "final", "sheathing_laps": "plate", "sheathing_fastener": "8d common",
    "sheathing_spacing": "3 in", "into_framing": "yes", "plate_extra": "structural screw 0.22x5",
    "plate_extra_each": "8", "end_nails": "4", "top_strap_lb": "1000 lb", "top_spliced": "yes",
    "joists": "2x10@16in away", "joist_span": "14 ft", "joist_species": "hem-fir", "joist_grade": "No.2",
}  # fmt: skip


def write_list(path: Path, count: int, *, alike: bool = True, seed: int = 1) -> None:
    """Write a list of walls with three braces each; every 17th row is bad.

    Args:
        path: the list.
        count: how many walls.
        alike: of five lengths and four heights, as a builder's are; else no two are of one length, height and braces.
        seed: of what is drawn.
    """
    draw = random.Random(seed)
    with path.open("w", encoding="utf-8") as stream:
        more = {} if alike else MORE
        stream.write(",".join((HEAD, *more)) + "\n")
        for k in range(count):
            feet, high = draw.choice((16, 20, 24, 28, 32)), draw.choice((8, 9, 10, 12))
            head = round(high * 0.8)
            places = [round((4 + (feet - 8) * j / 2) * 12 / 16) * 16 for j in range(3)]
            longer, off = (0, 0) if alike else (draw.randrange(1, 160) / 10, draw.randrange(-60, 60) / 10)
            braces = "; ".join(
                f"{x}in:head {12 * head + off}in:back {12 * head - off}in:2x6:left:ties 1:4/4/5:joist"
                for x in places
            )
            length = f"{12 * feet + longer} in" if k % 17 else "long"
            tall = f"{12 * high + off / 2} in"
            cells = (
                f"wall {k}",
                length,
                tall,
                "2x6@16in",
                "osb 7/16",
                "16d common@16in",
                braces,
                *more.values(),
            )
            stream.write(",".join(cells) + "\n")


def timed(counts: list[int], ways: int, *, alike: bool) -> None:
    """Time some ways of working on lists of so many walls."""
    with tempfile.TemporaryDirectory() as folder:
        warm = Path(folder) / "warm.csv"
        write_list(warm, 20, alike=alike)
        for seed, (way, (workers, dask)) in enumerate(list(WAYS.items())[:ways], start=1):
            _like.cache_clear()  # processes begin with what this one has kept
            with spread(workers, dask) as executor:
                check_list(
                    warm, warm.with_suffix(f".{workers}{dask}.out"), ListAsked(30.0), executor=executor
                )
                for count in counts:
                    _like.cache_clear()
                    source = Path(folder) / f"{count}.csv"
                    write_list(source, count, alike=alike, seed=seed)
                    target = source.with_suffix(f".{workers}{dask}.out")
                    started, worked = time.monotonic(), time.process_time()
                    check_list(source, target, ListAsked(30.0), executor=executor)
                    took, worked = time.monotonic() - started, time.process_time() - worked
                    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
                    print(
                        f"{way}: {count} walls in {took:.1f} s, {count / took:.1f} a second, {count / worked:.1f} "
                        f"a second of this process's time, which has at most {most:.0f} MB",
                        flush=True,
                    )


def main() -> None:
    """Read what is asked, and time it."""
    asked = argparse.ArgumentParser()
    asked.add_argument("counts", type=int, nargs="*", default=[100])
    asked.add_argument("--unlike", action="store_true", help="no two walls alike")
    asked.add_argument(
        "--ways", type=int, default=len(WAYS), help="how many ways of working, from one core on"
    )
    given = asked.parse_args()
    timed(given.counts, given.ways, alike=not given.unlike)


if __name__ == "__main__":
    main()
