"""Wall files of any outline a tape can give, with openings anywhere under it; some are refused, none may break."""

from __future__ import annotations

import random
import sys
from pathlib import Path

from bracing.commands.cli import main
from tests.small_walls import SMALL

STEP = 3.0  # places are taped to a quarter foot, so that edges and corners often fall together
COMMANDS: dict[str, tuple[str, ...]] = {
    "check": ("--gust", "25"),
    "layout": ("--gust", "20", "--budget", "3"),
    "stages": (),
    "weight": (),
    "lift": ("--gust", "10"),
    "trace": ("--gust", "20"),
    "storm": ("--gust", "25"),
    "sheet": ("--gust", "20"),
    "stock": ("--gust", "20"),
    "fasteners": ("--gust", "20"),
}


def outline(rng: random.Random) -> list[tuple[float, float]]:
    """Points of a top from LEFT [in]: corners, some a fraction of an inch apart, some on a straight run."""
    length = STEP * rng.randint(32, 120)
    inner = sorted({STEP * rng.randint(1, int(length / STEP) - 1) for _ in range(rng.randint(0, 4))})
    if inner and rng.random() < 0.3:  # a tiny piece
        inner = sorted({*inner, min(inner[0] + rng.choice((0.0625, 0.25, 1.0)), length - 0.05)})
    heights = [rng.choice((96.0, 97.5, 108.0, 120.0, 144.0)) for _ in range(2 + len(inner))]
    points = list(zip([0.0, *inner, length], heights, strict=True))
    while rng.random() < 0.5:  # a point on a straight run
        k = rng.randrange(len(points) - 1)
        (x0, z0), (x1, z1) = points[k : k + 2]
        if x1 - x0 >= STEP:
            points.insert(k + 1, ((x0 + x1) / 2.0, (z0 + z1) / 2.0 + rng.choice((0.0, 0.0, 0.03))))
    return points


def openings(rng: random.Random, points: list[tuple[float, float]]) -> str:
    """Up to three openings: edges on corners, under peaks, or anywhere."""
    made, length = "", points[-1][0]
    for _ in range(rng.choice((0, 1, 1, 2, 3))):
        width, corner = STEP * rng.randint(4, 24), rng.choice(points)[0]
        left = rng.choice(
            (corner, corner - width, corner - width / 2.0, STEP * rng.randint(1, int(length / STEP)))
        )
        height, sill = rng.choice((36.0, 60.0, 80.0, 88.0)), rng.choice((0.0, 0.0, 1.0, 24.0))
        if left < 1.5 or left + width > length - 1.5:
            continue
        made += f"""
        [[wall.opening]]
        left = "{left:g} in"
        width = "{width} in"
        sill = "{sill} in"
        height = "{height} in"
        """
    return made


def outline_text(seed: int) -> str:
    """A wall file."""
    rng = random.Random(seed)
    points = outline(rng)
    length, count = points[-1][0], rng.choice((0, 2, 4, 5))
    braces = "".join(
        f"""
        [[brace]]
        mark = "B{k + 1}"
        stud_at = "STUD{k}"
        head = "{rng.choice((60, 72, 84))} in"
        set_back = "72 in"
        size = "2x4"
        ties = {rng.choice((0, 1))}
        head_fasteners = 6
        cleat_fasteners = 6
        floor_fasteners = 6
        foot_on = "joist"
        """
        for k in range(count)
    )
    top = ", ".join(f'["{x} in", "{z} in"]' for x, z in points)
    text = f"""
        [wall]
        top = [{top}]
        studs = {{ size = "2x6", spacing = "24 in", species = "hem-fir", grade = "No.2" }}
        layers = ["osb 7/16"]
        {openings(rng, points)}
        [wall.plate]
        fastener = "16d common"
        spacing = "12 in"
        state = "final"
        into_framing = true
        extra = {{ fastener = "structural screw 0.22x5", at_each_brace = 8 }}
        sheathing_laps = "plate"
        sheathing_spacing = "3 in"
        [wall.top_plate]
        end_nails = 4
        strap_at_brace_lb = "2000 lb"
        spliced = true
        [floor]
        room = "24 ft"
        [kit]
        stock = {SMALL["stock"]}
        species = "hem-fir"
        grade = "No.2"
        [kit.head]
        joint = "lapped"
        fastener = "structural screw 0.22x3"
        bored = true
        [kit.cleat]
        size = "2x6"
        lie = "edge"
        bored = true
        length = "36 in"
        sides = 2
        brace_fastener = "{SMALL["cleat_fastener"]}"
        floor_fastener = "{SMALL["floor_fastener"]}"
        {braces}
    """
    return on_studs(text, count, length)


def on_studs(text: str, count: int, length: float) -> str:
    """Put the braces on studs there are, spread along the wall."""
    from bracing.errors import InputError
    from bracing.job.framing import frame_wall
    from bracing.reading.jobs import job_from_text

    try:
        studs = [
            s.x for s in frame_wall(job_from_text(text.split("[[brace]]")[0], "w").wall).full_height_studs
        ]
    except InputError:
        studs = [0.75, length - 0.75]
    for k in range(count):
        at = studs[min(len(studs) - 1, (k * len(studs)) // max(count - 1, 1))]
        text = text.replace(f"STUD{k}", f"{at:.4f} in")
    return text


def answers(path: Path, command: str) -> int:
    """The status a command ends with on a wall."""
    words = list(COMMANDS[command])
    if command == "sheet":
        page = path.parent / "page.html"
        page.unlink(missing_ok=True)
        words += ["--out", str(page)]
    return main([command, str(path), *words])


def sweep(folder: Path, commands: list[str], seeds: range) -> None:
    """Ask commands of many walls, and print what does not end in an answer or a plain refusal."""
    counted: dict[str, int] = {}
    for seed in seeds:
        path = folder / f"outline{seed}.toml"
        path.write_text(outline_text(seed), encoding="utf-8")
        for command in commands:
            status = answers(path, command)
            counted[f"{command} {status}"] = counted.get(f"{command} {status}", 0) + 1
            if status not in (0, 1, 2):
                sys.__stderr__.write(f"{command} {seed} ended with {status}\n")  # type: ignore[union-attr]
        path.unlink()
    sys.__stderr__.write(f"{counted}\n")  # type: ignore[union-attr]
