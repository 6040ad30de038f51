"""Forecasts, load charts, offset readings and lists of walls: good ones, and good ones spoilt."""

from __future__ import annotations

import json
import random

from tests.fuzz.spoil import QUANTITIES, spoilt_bytes, spoilt_text

CELLS = (
    "",
    "0",
    "-1",
    "nan",
    "inf",
    "1e400",
    "1_000",
    "１２",
    "45",
    "45 mph",
    "20 m/s",
    "yes",
    "no",
    "maybe",
    "9" * 400,
    "2026-03-06 20:00",
    "2026-13-40 99:99",
    "20:00",
    "2026-03-06T20:00:00+14:00",
    "0001-01-01 00:00",
    "9999-12-31 23:59",
    "1/0",
    '"',
    "=1+1",
    "\x00",
    "a" * 140_000,
)
HEADERS = {
    "forecast": (
        ("time [America/Chicago]", "gust [mph]", "thunderstorm"),
        ("time", "gust"),
        ("time", "wind"),
        ("time", "sustained", "weather"),
        ("time [Mars/Base]", "gust [furlongs]"),
        ("time", "gust", "gust"),
        ("gust",),
    ),
    "chart": (
        ("reach_ft", "capacity_lb"),
        ("reach_m", "capacity_kg"),
        ("reach_ft", "height_ft", "capacity_lb"),
        ("reach", "capacity"),
        ("reach_ft", "reach_m", "capacity_lb"),
        ("capacity_lb",),
    ),
    "readings": (
        ("mark", "floor", "head"),
        ("mark", "floor", "head", "height"),
        ("mark", "head"),
        ("floor",),
    ),
    "list": (
        ("name", "length", "height", "studs", "brace"),
        ("length", "height"),
        ("file",),
        ("file", "length"),
        ("name", "lenght"),
        ("length", "length"),
    ),
}


def table(rng: random.Random, kind: str) -> bytes:
    """The bytes of one such file."""
    header = rng.choices(HEADERS[kind], (6, 4, *(1,) * (len(HEADERS[kind]) - 2)))[0]
    rows = [_row(rng, kind, header, k) for k in range(rng.choice((0, 1, 3, 8, 24)))]
    for row in rows:
        if rng.random() < 0.06:
            row[rng.randrange(len(row))] = rng.choice((*CELLS, *QUANTITIES))
        if rng.random() < 0.02:
            row.append("more")
    mark = rng.choice(",,,,;\t|")
    text = "\n".join(mark.join(cells) for cells in [list(header), *rows]) + "\n"
    if kind == "forecast" and rng.random() < 0.3:
        text = _as_json(rng, header, rows)
    way = rng.random()
    if 0.5 < way <= 0.75:
        text = spoilt_text(rng, text)
    if kind == "list":
        text = "\n".join(text.split("\n")[:12])  # each row is a wall to check
    content = text.encode("utf-8", "surrogatepass")
    return spoilt_bytes(rng, content) if way > 0.75 else content


def _row(rng: random.Random, kind: str, header: tuple[str, ...], k: int) -> list[str]:
    good = {
        "time": f"2026-03-{6 + k // 24:02d} {k % 24:02d}:00",
        "gust": str(rng.randint(5, 70)),
        "sustained": str(rng.randint(3, 40)),
        "thunderstorm": rng.choice(("yes", "no", "")),
        "weather": rng.choice(("fair", "tstms")),
        "wind": "20",
        "reach": str(10 * (k + 1)),
        "capacity": str(9000 - 300 * k),
        "height": rng.choice(("20", "9 ft")),
        "mark": f"B{k + 1}",
        "floor": "2 in",
        "head": rng.choice(("2 1/2 in", "-1/4 in")),
        "name": f"W{k}",
        "length": rng.choice(("12 ft", "16ft")),
        "studs": "2x6@16in",
        "file": rng.choice(("wall.toml", "no.toml", ".", "/dev/zero")),
        "brace": "4ft:head 7ft:back 7ft:2x6; 8 ft:head 7ft:back 7ft:2x6:joist",
    }
    if kind == "list":
        good["height"] = rng.choice(("8 ft", "9ft"))
    if kind == "chart":
        good["height"] = str(10 + 10 * (k % 3))
    return [good.get(name.split("_")[0].split(" ")[0], "1") for name in header]


def _as_json(rng: random.Random, header: tuple[str, ...], rows: list[list[str]]) -> str:
    names = [name.split(" ")[0] for name in header]
    hours: list[object] = [dict(zip(names, row, strict=False)) for row in rows]
    odd = [
        None,
        5,
        [],
        {},
        float("nan"),
        float("inf"),
        {"time": 5, "gust": []},
        {"time": None, "gust": True},
        "[" * 50,
    ]
    if rng.random() < 0.3:
        hours.append(rng.choice(odd))
    tree: object = {
        "time_zone": rng.choice(("America/Chicago", 5, None)),
        "unit": rng.choice(("mph", "kt", [])),
        "hours": hours,
    }
    if rng.random() < 0.1:
        tree = rng.choice(odd)
    text = json.dumps(tree)
    return (
        rng.choice(("[" * 100_000, "{" * 5000, '{"hours": ' + "9" * 6000 + "}"))
        if rng.random() < 0.03
        else text
    )
