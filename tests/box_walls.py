"""Jobs of joined walls to run on: a ring of four, an L and a U, of walls with every field that matters declared."""

from __future__ import annotations

import textwrap
from itertools import pairwise
from pathlib import Path

from tests.cli.running import run
from tests.wall_files import wall_text

ALL_TICKS = ("nailed", "plates lapped", "edges nailed", "plate final")
WALLS = {
    "south": {"length": "24 ft", "studs": ("2 ft 8 in", "9 ft 4 in", "14 ft 8 in", "21 ft 4 in")},
    "east": {"length": "16 ft", "studs": ("2 ft 8 in", "8 ft", "13 ft 4 in")},
    "north": {"length": "24 ft", "studs": ("2 ft 8 in", "9 ft 4 in", "14 ft 8 in", "21 ft 4 in")},
    "west": {"length": "16 ft", "studs": ("2 ft 8 in", "8 ft", "13 ft 4 in")},
}
RING = ("south", "east", "north", "west")
HIGH = {"height": "9 ft", "head": "7 ft", "set_back": "7 ft"}


def corner_text(first: str, second: str, *, side="brace side", done=ALL_TICKS, **said) -> str:
    """One [[corner]] table, all of it declared unless said otherwise; None leaves a key out."""
    ticks = ", ".join(f'"{tick}"' for tick in done)
    keys = {"walls": f'["{first}", "{second}"]', "side": f'"{side}"', "fastener": '"16d common"', "count": 24,
            "joint": '"shear"', "done": f"[{ticks}]"} | said  # fmt: skip
    lines = "\n".join(f"{key} = {value}" for key, value in keys.items() if value is not None)
    return f"\n[[corner]]\n{lines}\n"


def ring_corners(names=RING, *, closed=True, **said) -> str:
    """Corners from each wall's right end to the next one's left; the last to the first where the ring is closed."""
    pairs = [*pairwise(names), *([(names[-1], names[0])] if closed else [])]
    return "".join(corner_text(f"{a}.toml right", f"{b}.toml left", **said) for a, b in pairs)


ALL_OF_A_DECK = ("laid", "nailed off", "tops fastened")


def deck_text(*, walls=RING, done=ALL_OF_A_DECK, **said) -> str:
    """One [[deck]] table over the ring, all of it declared and ticked unless said otherwise; None leaves a key out."""
    named, ticks = (", ".join(f'"{one}"' for one in each) for each in ([f"{w}.toml" for w in walls], done))
    keys = {
        "walls": f"[{named}]", "moisture": '"dry"', "sheathing": '"osb 23/32"', "nail": '"10d common"',
        "joists": '{ size = "2x10", spacing = "16 in", species = "douglas fir-larch", grade = "No.2" }',
        "edge_spacing": '"6 in"', "field_spacing": '"12 in"', "whole": "true", "top_fastener": '"16d common"',
        "top_spacing": '"4 in"', "lap_fastener": '"16d common"', "lap_count": 16, "done": f"[{ticks}]",
    } | said  # fmt: skip
    lines = "\n".join(f"{key} = {value}" for key, value in keys.items() if value is not None)
    return f"\n[[deck]]\n{lines}\n"


def bare_in(folder: Path, name: str, *stretches: tuple[str, str]) -> Path:
    """Say of a wall of a job where it is bare: from where, and how wide."""
    tables = "".join(f'[[wall.bare]]\nleft = "{left}"\nwidth = "{width}"\n' for left, width in stretches)
    path = folder / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("[wall.plate]", f"{tables}[wall.plate]", 1), encoding="utf-8")
    return folder


def out_of_file(folder: Path, file: str, mark: str) -> None:
    """Take a brace out of the file of its wall."""
    path = folder / file
    head, *braces = path.read_text(encoding="utf-8").split("[[brace]]")
    rest = [brace for brace in braces if f'mark = "{mark}"' not in brace]
    path.write_text("[[brace]]".join([head, *rest]), encoding="utf-8")


def box(capsys, folder, *words):
    """What `bracing box` answers of a job, as JSON."""
    return run(capsys, "box", folder, *words, "--json")


def hold_one_fault(ran, field, expected):
    """One fault of job.toml is told, with its field, its value and what is expected."""
    (fault,) = ran.json["errors"]
    assert ran.status == 2
    assert fault["file"].endswith("job.toml")
    assert fault["field"] == field
    assert fault["value"]
    assert expected in fault["expected"]


def job_folder(folder: Path, names=RING, *, corners: str | None = None, walls=None, **changes) -> Path:
    """A folder of walls with its job.toml; `walls` are changes of one wall, `changes` of all."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        say = {**HIGH, **WALLS[name], **changes, **(walls or {}).get(name, {})}
        text = textwrap.dedent(wall_text(**say)).replace('"Test wall"', f'"{name.title()}"')
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    written = ring_corners(names, closed=len(names) == len(RING)) if corners is None else corners
    (folder / "job.toml").write_text(f'[job]\nname = "Test job"\n{written}', encoding="utf-8")
    return folder
