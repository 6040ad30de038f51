"""Random walls to lay out, as the text of a wall file: the same for the same seed."""

from __future__ import annotations

import random

from bracing.job.job import Job
from bracing.layout.mending import standing_alone, standing_moved
from bracing.layout.space import SearchSpace
from bracing.reading.jobs import job_from_text

FILE = "random.toml"


def _feet(inches: float) -> str:
    return f"{inches:g} in"


def _outline(rng: random.Random, length: float) -> list[str]:
    low = rng.choice((96.0, 108.0, 120.0, 144.0))
    rise = round(min(rng.uniform(0.1, 0.5) * length, 96.0))
    shape = rng.choice(("level", "level", "rake", "gable"))
    if shape == "rake":
        ends = (low, low + rise)
        left, right = ends if rng.random() < 0.5 else ends[::-1]
        return [f'left_height = "{_feet(left)}"', f'right_height = "{_feet(right)}"']
    peak = [f'peak = "{_feet(low + rise)}"'] if shape == "gable" else []
    return [f'height = "{_feet(low)}"', *peak]


def _openings(rng: random.Random, length: float) -> list[str]:
    if length < 180.0 or rng.random() < 0.5:
        return []
    left = round(rng.uniform(60.0, length - 120.0))
    door = rng.random() < 0.4
    sill, height = (0.0, 82.0) if door else (36.0, 36.0)
    return ["[[wall.opening]]", f'left = "{_feet(left)}"', f'sill = "{_feet(sill)}"',
            f'width = "{_feet(rng.choice((36.0, 48.0)))}"', f'height = "{_feet(height)}"',
            f"covered = {'true' if rng.random() < 0.7 else 'false'}"]  # fmt: skip


def _floor(rng: random.Random, length: float) -> list[str]:
    kind = rng.choice(("deck", "deck", "deck", "slab"))
    lines = [
        "[floor]",
        f'kind = "{kind}"',
        f'room = "{rng.choice((14, 18, 24))} ft"',
        'height_above_ground = "2 ft"',
    ]
    if kind == "deck" and rng.random() < 0.7:
        run, first = rng.choice(("away", "along")), rng.choice((0.0, 0.0, 4.0, 8.0))
        lines.append(f'joists = {{ run = "{run}", spacing = "16 in", first = "{_feet(first)}", size = "2x10", '
                     'species = "hem-fir", grade = "No.2", span = "12 ft" }')  # fmt: skip
    if kind == "slab":
        lines += ["[floor.slab]", 'tension_lb = "900 lb"', 'shear_lb = "900 lb"', 'report = "a pull test"']
    for k in range(rng.choice((0, 0, 1, 2))):
        x, y = round(rng.uniform(0.0, length)), round(rng.uniform(0.0, 150.0))
        wide, deep = rng.choice((24.0, 42.0, 60.0)), rng.choice((30.0, 60.0, 120.0))
        lines += ["[[floor.keep_out]]", f'name = "hole {k}"', f'from = ["{x} in", "{y} in"]',
                  f'to = ["{_feet(x + wide)}", "{_feet(y + deep)}"]']  # fmt: skip
    if rng.random() < 0.2:
        x = round(rng.uniform(0.2, 0.8) * length)
        lines += ["[[floor.partition]]", f'from = ["{x} in", "0 ft"]', f'to = ["{x} in", "10 ft"]']
    return lines


def random_text(seed: int, *, longest: float = 480.0, rows: bool = False) -> str:
    """The text of a wall file without braces."""
    rng = random.Random(seed)
    length = round(rng.uniform(96.0, longest))
    size = rng.choice(("2x4", "2x6", "2x6"))
    spacing = rng.choice((16, 16, 24))
    stock = ", ".join(
        f'{{ size = "{s}", length = "{x} ft" }}'
        for s, x in rng.sample(
            [("2x4", 12), ("2x4", 16), ("2x6", 14), ("2x6", 16), ("2x6", 20)], rng.choice((1, 2, 3))
        )
    )
    head = rng.choice(("lapped", "lapped", "lapped", "plumb"))
    ends = [f'{end}_end = "free"' for end in ("left", "right")]
    wall = [
        "[wall]", f'name = "random {seed}"', f'length = "{_feet(length)}"', *_outline(rng, length), *ends,
        f'studs = {{ size = "{size}", spacing = "{spacing} in", species = "hem-fir", grade = "No.2" }}',
        'layers = ["osb 7/16"]', f'moisture = "{rng.choice(("green", "dry"))}"', *_openings(rng, length),
    ]  # fmt: skip
    if rows:
        wall += [
            "[[wall.row]]",
            'height = "6 ft"',
            f'kind = "{rng.choice(("wale", "strongback"))}"',
            'size = "2x6"',
        ]
    kit = ["[kit]", f"stock = [{stock}]", 'species = "hem-fir"', 'grade = "No.2"']
    if rng.random() < 0.5:
        kit.append(f"ties = {rng.choice((0, 1, 2))}")
    side_cleat = ", side_cleat = true" if head == "plumb" else ""
    kit.append(
        f'head = {{ joint = "{head}", fastener = "structural screw 0.22x3", bored = true{side_cleat} }}'
    )
    kit.append('cleat = { size = "2x6", lie = "edge", bored = true, '
               f'length = "{rng.choice((24, 36))} in", sides = {rng.choice((1, 2))}, brace_fastener = '
               '"structural screw 0.22x3", floor_fastener = "structural screw 0.22x8" }')  # fmt: skip
    return "\n".join((*wall, *_floor(rng, length), *kit)) + "\n"


def random_gust(seed: int) -> float:
    """A gust for it."""
    return float(random.Random(seed + 10**6).choice((20, 25, 30, 35, 45)))


def random_layout_job(seed: int, **asked: object) -> Job:
    """The job of the text."""
    return job_from_text(random_text(seed, **asked), FILE)  # type: ignore[arg-type]


def made_good(space: SearchSpace, job: Job) -> Job | None:
    """A layout mended until it stands, also with a brace off its mark; None where it cannot."""
    alone = standing_alone(space, job)
    return None if alone is None else standing_moved(space, alone)
