"""What the limit gust depends on most: one thing changed at a time on the example walls, the braces left as they are.

    python docs/pictures/uncertainty.py

lays the example walls out for 35 mph, changes one thing at a time, prints the table of docs/uncertainty.md and draws
docs/pictures/uncertainty.svg. With --random it turns the joints of random walls instead, a line a wall.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from attrs import evolve, frozen

import bracing.chain.brace as brace
import bracing.chain.foot as foot
import bracing.chain.model as models
import bracing.panel.mesh as builder
from bracing.chain.evaluate import limit_gust, limits_from
from bracing.chain.model import Model, build_model
from bracing.codes.basis import IN_USE
from bracing.codes.pressures import Pressures
from bracing.job.job import Job
from bracing.layout.plan import lay_out
from bracing.reading.jobs import read_job
from bracing.units import Mph

HERE = Path(__file__).parent
EXAMPLES = HERE.parent.parent / "examples"
WALLS = ("south-gable", "long-wall", "rake-wall", "slab-wall")
GUST: Mph = 35.0
Limit = Callable[[Job], Mph]


def plain(job: Job) -> Mph:
    """Limit gust as the program gives it."""
    return limit_gust(build_model(job))


def with_slip(*factors: float) -> Limit:
    """Limit gust with joints so many times as stiff as published, instead of the program's 1 and 1/3."""

    def limit(job: Job) -> Mph:
        model = build_model(job)
        return min(limit_gust(sprung(model, [f] * len(job.braces))) for f in factors)

    return limit


def sprung(model: Model, factors: list[float]) -> Model:
    """The model with each brace's joints so many times as stiff as published, whatever the slip asked."""
    strengths = []
    for strength, factor in zip(model.strengths, factors, strict=True):
        one, soft = strength.give
        slip = (soft - one) / 2.0
        give = one - slip + slip / factor
        strengths.append(evolve(strength, give=(give, give)))
    return evolve(model, strengths=tuple(strengths))


def unlike(softest: float, stiffest: float) -> Limit:
    """Limit gust with the joints of each brace somewhere between two, at random, each brace its own."""

    def limit(job: Job) -> Mph:
        rng, model = random.Random(1), build_model(job)
        low, high = math.log(softest), math.log(stiffest)
        tries = [[math.exp(rng.uniform(low, high)) for _ in job.braces] for _ in range(60)]
        return min(limit_gust(sprung(model, factors)) for factors in tries)

    return limit


def one_apart(one: float, others: float) -> Limit:
    """Limit gust with the joints of any one brace so many times as stiff, and the others otherwise."""

    def limit(job: Job) -> Mph:
        model, count = build_model(job), len(job.braces)
        sets = [[one if i == k else others for i in range(count)] for k in range(count)]
        return min(limit_gust(sprung(model, factors)) for factors in sets)

    return limit


def with_rigidity(factor: float, *, kinds: tuple[str, ...] = ()) -> Limit:
    """Limit gust with studs, plates and headers so many times as stiff; only some kinds of member where named."""

    def limit(job: Job) -> Mph:
        add = builder.Builder.add
        rigidity = builder.rigidity

        def stiffer(self: builder.Builder, kind: str, *args: object, **named: object) -> None:
            add(self, kind, *args, **named)  # type: ignore[arg-type]
            if kind in kinds and self.lines and self.lines[-1].kind == kind:
                line = self.lines[-1]
                self.lines[-1] = evolve(line, rigidity=tuple(ei * factor for ei in line.rigidity))

        if kinds:
            with swapped(builder.Builder, "add", stiffer):
                return plain(job)

        def times(*args: object, **named: object) -> float:
            return factor * rigidity(*args, **named)  # type: ignore[arg-type]

        with swapped(builder, "rigidity", times):
            return plain(job)

    return limit


def one_plate(which: int) -> Limit:
    """Limit gust with only one of the two pictures of the top plate."""

    def limit(job: Job) -> Mph:
        model = build_model(job)
        same = evolve(model, meshes=(model.meshes[which],) * 2, compliances=(model.compliances[which],) * 2)
        return limit_gust(same)

    return limit


@frozen
class Fewer:
    """The basis in use with some wind cases left out."""

    gone: tuple[str, ...]
    standards: tuple[str, ...] = IN_USE.standards

    def wind(self, job: Job, *, thunderstorm: bool = False) -> Pressures:
        every = IN_USE.wind(job, thunderstorm=thunderstorm)
        return evolve(every, fields=tuple(f for f in every.fields if f.case[0] not in self.gone))

    def __getattr__(self, name: str) -> object:
        return getattr(IN_USE, name)


def without_cases(*gone: str) -> Limit:
    """Limit gust with some wind cases left out."""

    def limit(job: Job) -> Mph:
        return limit_gust(build_model(job, basis=Fewer(gone)))

    return limit


def with_roll(factor: float) -> Limit:
    """Limit gust with the offset of the brace from its floor fasteners so many times as large."""

    def limit(job: Job) -> Mph:
        shape = foot.cleat_shape

        def farther(*args: object) -> foot.CleatShape:
            found = shape(*args)  # type: ignore[arg-type]
            return evolve(found, offset=found.offset * factor, rise=found.rise * factor)

        with swapped(foot, "cleat_shape", farther):
            return plain(job)

    return limit


@contextmanager
def swapped(where: object, name: str, other: object) -> Iterator[None]:
    """Put something else in a module's place for a while; what the program has kept of a wall is forgotten."""
    kept = getattr(where, name)
    setattr(where, name, other)
    _forget()
    try:
        yield
    finally:
        setattr(where, name, kept)
        _forget()


def _forget() -> None:
    models._panel.cache_clear()
    brace.brace_strength.cache_clear()


def changed(**fields: object) -> Limit:
    """Limit gust with fields of site, floor or wall changed: site__lean=0.04."""

    def limit(job: Job) -> Mph:
        for path, value in fields.items():
            part, _, field = path.partition("__")
            job = evolve(job, **{part: evolve(getattr(job, part), **{field: value})})
        return plain(job)

    return limit


def crowded(load: float) -> Limit:
    """Limit gust with people about at it too, so much along the top [lb/ft]."""

    def limit(job: Job) -> Mph:
        crowd = build_model(evolve(job, site=evolve(job.site, top_load=load / 12.0)))
        return limits_from(crowd, limit_gust(crowd)).with_people

    return limit


def span_times(factor: float) -> Limit:
    """Limit gust with joists so many times as long."""

    def limit(job: Job) -> Mph:
        joists = job.floor.joists
        if joists is None:
            return plain(job)
        return plain(evolve(job, floor=evolve(job.floor, joists=evolve(joists, span=joists.span * factor))))

    return limit


def heads_moved(by: float) -> Limit:
    """Limit gust with every head so much higher, the feet where they are."""

    def limit(job: Job) -> Mph:
        return plain(evolve(job, braces=tuple(evolve(b, head=b.head + by) for b in job.braces)))

    return limit


def weaker(job: Job) -> Mph:
    """Limit gust with the weakest common lumber in studs, braces and joists."""
    low = {"species": "spruce-pine-fir (south)", "grade": "No.3"}
    job = evolve(job, wall=evolve(job.wall, studs=evolve(job.wall.studs, **low)), kit=evolve(job.kit, **low))
    joists = job.floor.joists
    return plain(
        job if joists is None else evolve(job, floor=evolve(job.floor, joists=evolve(joists, **low)))
    )


PLATES = ("plate",)
TURNED: tuple[tuple[str, tuple[tuple[str, Limit], ...]], ...] = (
    ("exposure, as declared", (("B", changed(site__exposure="B")), ("D", changed(site__exposure="D")))),
    ("lumber and its moisture, as declared", (("SPF south No.3", weaker), ("dry", changed(wall__moisture="dry")))),
    ("wind cases, A, B and C", (("no C", without_cases("C")), ("A alone", without_cases("B", "C")))),
    ("gap below the wall, as declared", (
        ("closed", changed(floor__open_below=False)), ("open", changed(floor__open_below=True)),
    )),
    ("lean, 2% of the weight", (("0", changed(site__lean=0.0)), ("4%", changed(site__lean=0.04)))),
    ("people on top at the limit gust, out", (("5 lb/ft", crowded(5.0)), ("10 lb/ft", crowded(10.0)))),
    ("joist span, as declared", (("x 0.75", span_times(0.75)), ("x 1.25", span_times(1.25)))),
    ("cleat's roll and lever, as drawn", (("x 0.75", with_roll(0.75)), ("x 1.25", with_roll(1.25)))),
    ("heads, as marked", (("6 in lower", heads_moved(-6.0)), ("3 in higher", heads_moved(3.0)))),
    ("all joints, enveloped 1 and 1/3", (
        ("x 3", with_slip(3.0)), ("x 1", with_slip(1.0)), ("x 1/3", with_slip(1 / 3)), ("x 1/9", with_slip(1 / 9)),
    )),
    ("one brace's joints", (
        ("x 1/3, others x 1", one_apart(1 / 3, 1.0)), ("x 1, others x 1/3", one_apart(1.0, 1 / 3)),
    )),
    ("each brace's joints its own", (("x 1/3 to x 1", unlike(1 / 3, 1.0)), ("x 1/3 to x 3", unlike(1 / 3, 3.0)))),
    ("one brace loose", (("x 1/9, others x 1", one_apart(1 / 9, 1.0)),)),
    ("E of all framing", (("x 0.5", with_rigidity(0.5)), ("x 2", with_rigidity(2.0)))),
    ("E of the top plates alone", (
        ("x 0.5", with_rigidity(0.5, kinds=PLATES)), ("x 2", with_rigidity(2.0, kinds=PLATES)),
    )),
    ("top plate, enveloped", (("both plies", one_plate(0)), ("one ply, hinged", one_plate(1)))),
)  # fmt: skip


def jobs() -> dict[str, Job]:
    """The example walls, each with a layout for 35 mph."""
    return {name: lay_out(read_job(str(EXAMPLES / f"{name}.toml")), gust=GUST).job for name in WALLS}


def measured(walls: dict[str, Job]) -> tuple[dict[str, Mph], list[tuple[str, str, list[float]]]]:
    """Limit gusts as they are, and the change of each with each thing turned [%]."""
    base = {name: plain(job) for name, job in walls.items()}
    rows = [
        (what, how, [100.0 * (limit(job) / base[name] - 1.0) for name, job in walls.items()])
        for what, ways in TURNED
        for how, limit in ways
    ]
    return base, rows


def as_table(base: dict[str, Mph], rows: list[tuple[str, str, list[float]]]) -> str:
    """The rows as a markdown table, the things that matter most first."""
    reach: dict[str, float] = {}
    for what, _, change in rows:
        reach[what] = max(reach.get(what, 0.0), float(np.max(np.abs(change))))
    lines = [
        "| turned | to | " + " | ".join(base) + " |", "|---|---|" + "---|" * len(base),
        "| nothing: limit gust, mph | | " + " | ".join(f"{gust:.1f}" for gust in base.values()) + " |",
    ]  # fmt: skip
    for what, how, change in sorted(rows, key=lambda row: -reach[row[0]]):
        lines.append(f"| {what} | {how} | " + " | ".join(f"{part:+.1f}%" for part in change) + " |")
    return "\n".join(lines)


def as_picture(rows: list[tuple[str, str, list[float]]]) -> str:
    """A tornado: a bar for each thing from its lowest to its highest, a tick for each wall."""
    spread: dict[str, list[float]] = {}
    for what, _, change in rows:
        spread.setdefault(what, []).extend(change)
    order = sorted(spread, key=lambda what: -max(map(abs, spread[what])))
    most = max(abs(value) for values in spread.values() for value in values)
    left, wide, high = 250, 430, 24
    middle, unit = left + wide / 2.0, wide / 2.0 / (most * 1.05)
    size = f"{left + wide + 20} {high * (len(order) + 2)}"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" font-family="sans-serif" font-size="12">',
        f'<rect width="100%" height="100%" fill="white"/><text x="{middle}" y="16" text-anchor="middle">'
        "change of the limit gust, %; a tick is one wall and one way of turning it</text>",
    ]
    for k, what in enumerate(order):
        y = high * (k + 1.5)
        low, top = min(0.0, *spread[what]), max(0.0, *spread[what])
        parts.append(f'<text x="{left - 8}" y="{y + 4}" text-anchor="end">{what}</text>')
        parts.append(
            f'<rect x="{middle + low * unit:.1f}" y="{y - 6}" width="{(top - low) * unit:.1f}" height="12" fill="#ddd" '
            'stroke="black" stroke-width="0.5"/>'
        )
        parts += [
            f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{y - 8}" y2="{y + 8}" stroke="black"/>'
            for x in (middle + value * unit for value in spread[what])
        ]
    bottom = high * (len(order) + 1.3)
    step = 10 if most > 25.0 else 5
    for tick in range(-int(most // step) * step, int(most) + 1, step):
        x = middle + tick * unit
        parts.append(f'<text x="{x:.1f}" y="{bottom}" text-anchor="middle">{tick:+d}</text>')
    parts.append(f'<line x1="{middle}" x2="{middle}" y1="{high}" y2="{bottom - 14}" stroke="black"/></svg>')
    return "\n".join(parts) + "\n"


UNEVEN = (
    unlike(1 / 3, 3.0), one_apart(1 / 3, 1.0), one_apart(1.0, 1 / 3), with_slip(3.0), with_rigidity(2.0, kinds=PLATES),
    with_rigidity(0.5, kinds=PLATES), one_apart(1 / 9, 1.0),
)  # fmt: skip


def random_walls(count: int = 40, most_braces: int = 7) -> Iterator[str]:
    """The change of the limit gust of random walls with uneven joints and other plates [%], a line a wall.

    Args:
        count: how many walls are tried.
        most_braces: walls with more are left out: they take long.
    """
    from bracing.errors import NoLayoutError
    from tests.layout_walls import random_gust, random_layout_job

    for seed in range(count):
        try:
            job = lay_out(random_layout_job(seed, longest=600.0), gust=random_gust(seed), budget=1.0).job
        except NoLayoutError:
            continue
        if len(job.braces) <= most_braces:
            base = plain(job)
            changes = " ".join(f"{100.0 * (limit(job) / base - 1.0):+.1f}" for limit in UNEVEN)
            yield f"{seed}: {len(job.braces)} braces, {base:.1f} mph: {changes}"


def main() -> None:
    """Print the table and draw the picture."""
    if "--random" in sys.argv:
        for line in random_walls():
            sys.stdout.write(line + "\n")
            sys.stdout.flush()
        return
    base, rows = measured(jobs())
    sys.stdout.write(as_table(base, rows) + "\n")
    (HERE / "uncertainty.svg").write_text(as_picture(rows), encoding="utf-8")


if __name__ == "__main__":
    main()
