"""How long a hundred thousand draws of a 40-ft wall take: `python -m tests.bench.chances`. Processor time, one core.

A level wall on eight braces. Timed by itself is what the draws take, every brace gone in turn too.
"""

from __future__ import annotations

import os
import time

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from attrs import evolve
from scipy.special import ndtri

from bracing.chance.draws import DRAWS, Drawn
from bracing.chance.scattered import scattered
from tests.bench.layouts import BRACES, bench_of, layouts_of

LENGTH_FT = 40


def timed() -> tuple[float, float, float, int]:
    """Give the time of the links, of the draws, of both ends of their range [s], and how many strengths are drawn."""
    ndtri(0.5)  # its library is loaded
    pool, bare = bench_of(LENGTH_FT)
    chosen = layouts_of(pool, 1, BRACES)[0]
    braces = tuple(evolve(pool.candidates[k].brace, mark=f"B{i + 1}") for i, k in enumerate(chosen))
    job = evolve(bare, braces=braces)
    began = time.process_time()
    walls = scattered(job)
    read = time.process_time()
    drawn = Drawn(walls)
    taken = drawn.taken()
    assert all(len(one.line) == DRAWS for one in taken.values())
    done = time.process_time()
    for strength in (0.85, 1.15):
        drawn.taken(strength)
    return read - began, done - read, time.process_time() - done, len(drawn._rows)


if __name__ == "__main__":
    links, draws, ends, strengths = timed()
    print(
        f"links {links:.2f} s; {DRAWS} draws of {strengths} strengths, every brace gone too: {draws:.2f} s; "
        f"both ends of the range {ends:.2f} s more"
    )
