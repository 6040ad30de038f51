"""How many layouts a second, beside general-purpose frame solvers: `python -m tests.bench.layouts --json`.

A 40-ft level wall with 8 braces. Ours: the screen (every wind case, both directions, both plates, all joints slack and
each brace in turn tight among them, every link but those more fasteners mend) by `bracing.layout.screen`. Theirs: a
fresh model of the same wall for each plate, all joints tight and all slack, built and solved for the same cases from
one side; forces only, no links. One core, one process: run with OPENBLAS_NUM_THREADS=1. Rates are per second of
processor time.

`--proof 30 35 40 ..` asks instead for the fewest braces of a 40-ft gable at each gust, within `--budget 60` of search,
and says what is proved, of how many spots and makes, and when the first plan and the one of fewest braces were there.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable
from itertools import cycle
from typing import ClassVar

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
from attrs import evolve

from bracing.chain.model import build_model
from bracing.check import check
from bracing.layout import least
from bracing.layout.candidates import Scheme, with_scheme
from bracing.layout.looking import Looking
from bracing.layout.needed import choose
from bracing.layout.plan import LayoutAsked, lay_out
from bracing.layout.screen import worst_ratios
from bracing.layout.space import search_space
from bracing.panel.export import Springs, model
from bracing.panel.loads import LoadSet
from bracing.reading.jobs import job_from_text
from bracing.text.quantities import in_words

GUST = 40.0
BRACES = 8
LAYOUTS = 16384
LENGTHS_FT = (20, 40, 60, 80, 100, 120, 140, 160)
PROOF_BUDGET = 60.0
GUSTS_PROVED = (30, 35, 40, 42, 45, 47, 50, 55, 60)
SCHEME = Scheme(size="2x6", ties=2, doubled=False, sides=2)
WALL = """
[wall]
name = "pool"
length = "{length} ft"
height = "10 ft"
studs = {{ size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }}
layers = ["osb 7/16"]
[wall.plate]
extra = {{ fastener = "structural screw 0.22x5", at_each_brace = 6 }}
[floor]
open_below = false
height_above_ground = "3 ft"
[floor.joists]
kind = "sawn"
run = "away"
spacing = "16 in"
first = "0 in"
size = "2x10"
species = "hem-fir"
grade = "No.2"
span = "14 ft"
"""

GABLE = """
[wall]
name = "gable"
length = "40 ft"
height = "10 ft"
peak = "16 ft"
studs = { size = "2x6", spacing = "16 in", species = "spruce-pine-fir", grade = "No.2" }
layers = ["osb 7/16", "housewrap"]
[[wall.opening]]
left = "12 ft"
sill = "3 ft"
width = "4 ft"
height = "4 ft"
covered = true
[wall.plate]
extra = { fastener = "structural screw 0.22x5", at_each_brace = 6 }
[wall.top_plate]
strap_at_brace_lb = 800
spliced = true
[floor]
room = "24 ft"
open_below = false
height_above_ground = "3 ft"
joists = { run = "away", spacing = "16 in", first = "0 in", size = "2x10", species = "hem-fir", grade = "No.2", span = "14 ft" }
[[floor.keep_out]]
name = "stair opening"
from = ["8 ft", "3 ft"]
to = ["11 ft 6 in", "13 ft"]
[kit]
stock = [{ size = "2x6", length = "16 ft" }, { size = "2x6", length = "20 ft" }]
species = "spruce-pine-fir"
grade = "No.2"
ties = 2
head = { fastener = "structural screw 0.22x3", bored = true }
[kit.cleat]
size = "2x6"
lie = "edge"
length = "24 in"
sides = 2
brace_fastener = "structural screw 0.22x3"
floor_fastener = "structural screw 0.22x8"
bored = true
"""  # noqa: E501  (a row of joists is one line of a wall file)


def bench_of(length_ft):
    """The pool of one scheme on a wall of some length, and its job."""
    job = choose(job_from_text(WALL.format(length=length_ft), "pool.toml"))
    job = evolve(job, wall=evolve(job.wall, top_plate=evolve(job.wall.top_plate, spliced=True)))
    space = search_space(job, GUST)
    pool = next(pool for scheme, pool in space.pools if scheme == SCHEME)
    return pool, with_scheme(job, SCHEME)


def layouts_of(pool, count, braces):
    rng = np.random.default_rng(20)
    studs = np.unique(pool.x)
    by_stud = {x: np.flatnonzero(pool.x == x) for x in studs}
    rows = [
        [rng.choice(by_stud[x]) for x in np.sort(rng.choice(studs, braces, replace=False))]
        for _ in range(count)
    ]
    return np.array(rows, dtype=np.intp)


def rate(work, amount, repeats=5):
    """Best rate over some repeats, per second of processor time."""
    return amount / least_time(work, repeats)


def least_time(work: Callable[[], object], repeats: int = 12) -> float:
    """Least processor time of some repeats [s]."""
    took = []
    for _ in range(repeats):
        began = time.process_time()
        work()
        took.append(time.process_time() - began)
    return min(took)


def exported(own, pool, layout):
    """Models of one layout, for each plate and slip, with nodes only where something meets a stud."""
    braces = tuple(evolve(pool.candidates[k].brace, mark=f"B{i + 1}") for i, k in enumerate(layout))
    solved = build_model(evolve(own, braces=braces))
    steady, wind, q = solved.cases.steady, solved.cases.wind, solved.cases.pressure_per_mph2 * GUST**2
    loads = LoadSet(steady.element_load + wind.element_load * q, steady.node_load + wind.node_load * q)
    names = [(field.case, "push") for field in solved.cases.fields]
    both = np.ones(len(braces), dtype=bool)
    return [
        model(
            mesh, loads, names, longest=1e9,
            springs=Springs(tuple(b.mark for b in braces), solved.give[slip], takes_push=both, takes_pull=both),
        )
        for mesh in solved.meshes
        for slip in (0, 1)
    ]  # fmt: skip


def compiled_rate(models):
    """Layouts a second through the compiled solver; None where it does not load."""
    try:
        from tests.reference import test_panel_opensees as compiled
    except BaseException:  # noqa: BLE001  (pytest.skip raises past Exception)
        return None

    def work():
        for found in models:
            compiled.solve(found, found["cases"][0])  # builds and solves the first case
            for case in found["cases"][1:]:
                compiled.solve_again(found, case)

    return rate(work, 1, repeats=3)


def python_rate(models):
    """Layouts a second through the Python solver; None where it is not installed."""
    try:
        from tests.reference import test_panel_pynite as python
    except BaseException:  # noqa: BLE001
        return None
    return rate(lambda: [python.build(found) for found in models], 1, repeats=1)


def warm_check_ms(own, pool, layout):
    """Time of one warm check without the cost of assumptions, feet moved each time [ms of processor time]."""
    braces = tuple(evolve(pool.candidates[k].brace, mark=f"B{i + 1}") for i, k in enumerate(layout))
    feet = [tuple(evolve(b, set_back=b.set_back - step / 4) for b in braces) for step in range(8)]
    jobs = cycle([evolve(own, braces=moved) for moved in feet])
    for _ in range(8):
        check(next(jobs), gust=GUST, effects=False)
    return 1e3 / rate(lambda: check(next(jobs), gust=GUST, effects=False), 1)


def measure():
    pool, own = bench_of(40)
    layouts = layouts_of(pool, LAYOUTS, BRACES)
    ours = rate(lambda: worst_ratios(pool, layouts), len(layouts))
    models = exported(own, pool, layouts[0])
    compiled, python = compiled_rate(models), python_rate(models)
    by_length = {}
    for length in LENGTHS_FT:
        other, _ = bench_of(length)
        some = layouts_of(other, 2048, max(4, length // 5))
        by_length[length] = rate(lambda o=other, s=some: worst_ratios(o, s), len(some), repeats=3)
    return {
        "layouts_per_s": ours,
        "compiled_per_s": compiled,
        "python_per_s": python,
        "over_compiled": compiled and ours / compiled,
        "over_python": python and ours / python,
        "warm_check_ms": warm_check_ms(own, pool, layouts[0]),
        "layouts_per_s_by_length_ft": by_length,
    }


class Watched(Looking):
    """A search that says when a plan was there, and when the one of fewest braces."""

    at: ClassVar[list[tuple[float, int]]] = []

    def take(self, found):
        """Keep what was found, as a search does, and the time of it."""
        Watched.at.append((time.process_time(), found.count))
        return super().take(found)


def proof(gust, budget):
    """What is proved of the fewest braces of the gable at one gust, and what it took [s of processor time]."""
    job, start = job_from_text(GABLE, "gable.toml"), time.process_time()
    Watched.at.clear()
    plan = lay_out(job, gust=gust, budget=budget, asked=LayoutAsked(fewest=True))
    took = time.process_time() - start
    fewest = next(at for at, count in Watched.at if count == len(plan.job.braces))
    braces = {c.brace for _, pool in search_space(choose(job), gust).pools for c in pool.candidates}
    return {
        "gust_mph": gust, "braces": len(plan.job.braces), "proved": plan.grid.proved,
        "schemes": plan.grid.schemes, "makes": plan.grid.spots,
        "spots": len({(b.stud_at, b.head, b.set_back, b.lap_side) for b in braces}),
        "sets_with_fewer": plan.grid.fewer, "solved": plan.grid.evaluated, "said": in_words(plan.grid.said),
        "first_plan_s": round(Watched.at[0][0] - start, 2), "fewest_s": round(fewest - start, 2),
        "whole_s": round(took, 2),
    }  # fmt: skip


def proofs(words):
    """Ask at each gust named, 30 to 60 where none is; a line each."""
    at = words.index("--budget") if "--budget" in words else len(words)
    budget = float(words[at + 1]) if at < len(words) else PROOF_BUDGET
    least.Looking = Watched
    for gust in map(float, words[words.index("--proof") + 1 : at] or GUSTS_PROVED):
        print(json.dumps(proof(gust, budget)), flush=True)


def main():
    if "--proof" in sys.argv:
        proofs(sys.argv[1:])
        return
    found = measure()
    if "--json" in sys.argv:
        print(json.dumps(found, indent=2))
        return
    for name, value in found.items():
        print(f"{name:28s} {value}")


if __name__ == "__main__":
    main()
