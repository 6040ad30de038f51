"""Folders of walls with their job.toml, and what `box`, `log`, `watch`, `chance` and `pull` are asked of them."""

from __future__ import annotations

import json
import random
import tomllib
from pathlib import Path
from typing import Any

from tests.fuzz.series import CELLS, page
from tests.fuzz.spoil import NUMBERS, QUANTITIES, odd, spoilt_bytes, spoilt_text, toml
from tests.fuzz.walls import FASTENERS, changed, good_wall, wall_content

HOUSE = Path(__file__).parents[2] / "examples" / "five-walls"
Asked = tuple[list[str], dict[str, bytes]]
NOW = ("--now", "2026-03-06 05:00")
HEADS = ("1658483730bb", "0" * 64, "g" * 8, "", "1" * 7)
DAYS = ("2026-03-06", "2026-02-30", "today", "", "９")
SPEEDS = ("32", "20", "45", "20 m/s")


def some_of(rng: random.Random, options: dict[str, tuple[str, ...]], share: float) -> list[str]:
    """Some options, mostly with a value of theirs."""
    words: list[str] = []
    for name, values in options.items():
        if rng.random() < share:
            some = values if rng.random() < 0.93 else QUANTITIES + NUMBERS
            words += [name, rng.choice(some).replace("\0", "?")] if values else [name]
    return words


def spoilt(rng: random.Random, tree: dict[str, Any], share: float = 0.3) -> bytes:
    """A tree as a file: good, with something changed in it, or spoilt as a text or as bytes."""
    way = rng.random()
    if way < share:
        for _ in range(rng.choice((1, 1, 3))):
            changed(rng, tree)
    text = toml(tree)
    if way < share / 4.0:
        text = spoilt_text(rng, text)
    content = text.encode("utf-8", "surrogatepass")
    return spoilt_bytes(rng, content) if way < share / 8.0 else content


def house(rng: random.Random) -> dict[str, Any]:
    """A job.toml with a name, a zone, a language and what is watched."""
    return {
        "job": {
            "name": "Lot 14", "time_zone": rng.choice(("America/Chicago", "UTC")), "language": rng.choice(("en", "es")),
        },
        "watch": {
            "grid": "LOT/31,80", "point": "39.75,-97.09", "mail": ["office@example.invalid"],
            "smtp": "mail.example.invalid:587",
        },
    }  # fmt: skip


def box(rng: random.Random) -> Asked:
    """Walls of a house joined at their corners."""
    files = {}
    for path in sorted(HOUSE.glob("*.toml")):
        tree = tomllib.loads(path.read_text(encoding="utf-8"))
        if path.stem != "job" and rng.random() < 0.03:
            continue  # a corner names a wall that is not there
        files[path.name] = spoilt(rng, tree, 0.3 if path.stem == "job" else 0.05)
    more = {
        "--gust": SPEEDS, "--storms": (), "--done": ("south/east: edges nailed", "south/east: x"),
        "--take-out": ("south:B2", "east:B1", "x"), "--until": ("Sat 6 am",), "--zone": ("UTC",),
        "--all": (), "--json": (), "--metric": (),
    }  # fmt: skip
    return ["box", "{}", "--budget", rng.choice(("0", "0.2")), *NOW, *some_of(rng, more, 0.4)], files


def log(rng: random.Random) -> Asked:
    """The log of a folder, begun and asked at once."""
    more = {
        "--begin": (), "--day": DAYS, "--verify": (), "--head": HEADS,
        "--backup": ("{}/b.zip", "{}/no/b.zip", "{}/b.tar"),
        "-o": ("{}/x.csv", "{}/x.exe", "{}/a.toml"), "--overwrite": (), "--json": (),
    }  # fmt: skip
    return ["log", "{}", *NOW, *some_of(rng, more, 0.5)], _folder(rng)


def watch(rng: random.Random) -> Asked:
    """A forecast and alerts against a folder; nothing is sent."""
    files = _folder(rng) | {"f.json": page(rng), "a.json": _alerts(rng)}
    words = ["watch", "{}", "--forecast", "{}/f.json", "--dry-run", *NOW]
    more = {"--alerts": ("{}/a.json", "{}/no.json"), "--daily": (), "--json": (), "--metric": ()}
    return words + some_of(rng, more, 0.5), files


def chance(rng: random.Random) -> Asked:
    """How likely it is."""
    more = {
        "--mends": (), "--storms": (), "--has-stood": SPEEDS, "--svg": ("{}/x.svg", "{}/no/x.svg", "{}/x.exe"),
        "--all": (), "--json": (), "--metric": (),
    }  # fmt: skip
    tree = good_wall(rng)
    if rng.random() < 0.3:
        tree["pull_test"] = [pull_test(rng)]
    words = ["chance", "{}/wall.toml", *NOW, "--gust", rng.choice(SPEEDS), *some_of(rng, more, 0.3)]
    return words, {"wall.toml": spoilt(rng, tree)}


def pull_test(rng: random.Random, name: str = "T1") -> dict[str, Any]:
    """Pulls of a fastener with a scale, and mostly a lever."""
    n = rng.choice((1, 3, 5, 12, 60))
    tree = {
        "name": name, "fastener": rng.choice(FASTENERS), "into": rng.choice(("joist", "stud", "deck", "plate")),
        "peaks": [f"{rng.randrange(1, 600)} lb" for _ in range(n)],
        "boards": [rng.randrange(1, 6) for _ in range(n)],
        "ends": [rng.choice(("drawn", "drawn", "drawn", "stopped", "head", "split", "steel")) for _ in range(n)],
        "division": rng.choice(("5 lb", "1 lb")),
        "lever": {"scale": "40 in", "fastener": "8 in", "weight": "6 lb", "weight_at": "20 in"},
        "driven": rng.choice(("24%", "12%")), "pulled": rng.choice(("24%", "9%")),
    }  # fmt: skip
    for key in ("lever", "driven", "pulled"):
        if rng.random() < 0.3:
            del tree[key]
    return tree


def pull(rng: random.Random) -> Asked:
    """What pulls come to; or asked for one after another."""
    tree = good_wall(rng)
    tree["pull_test"] = [pull_test(rng, name) for name in ("T1", "T2")[: rng.choice((1, 1, 2))]]
    files = {"wall.toml": spoilt(rng, tree)}
    words = [
        "pull",
        "{}/wall.toml",
        *some_of(rng, {"--show": (), "--form": ("{}/x.html", "{}/x.exe"), "--json": ()}, 0.6),
    ]
    if "--show" not in words:
        typed = (
            "",
            "y",
            "joist",
            "3 in",
            "5 lb",
            "120 lb",
            "120",
            "done",
            "structural screw 0.22x3",
            "é",
            "-1",
            "9" * 40,
        )
        files["stdin"] = "".join(rng.choice(typed) + "\n" for _ in range(rng.randrange(40))).encode()
    return words, files


def _folder(rng: random.Random) -> dict[str, bytes]:
    files = {f"{name}.toml": toml(good_wall(rng)).encode() for name in ("a", "b")[: rng.choice((1, 2))]}
    if rng.random() < 0.2:
        files["c.toml"] = wall_content(rng)
    if rng.random() < 0.7:
        files["job.toml"] = spoilt(rng, house(rng))
    return files


def _alerts(rng: random.Random) -> bytes:
    """Alerts in force, in JSON or in CAP."""
    value = {
        "status": rng.choice(("Actual", "Test", 5)), "messageType": rng.choice(("Alert", "Update", "Cancel", None)),
        "event": rng.choice(("High Wind Warning", "Tornado Warning", "Frost Advisory", 5)), "id": "urn:1",
        "onset": rng.choice(("2026-03-06T08:00:00-06:00", "x", None)),
        "ends": rng.choice(("2026-03-06T18:00:00-06:00", 5)), "expires": "2026-03-06T18:00:00-06:00",
        "parameters": rng.choice(({"maxWindGust": ["60 MPH"]}, [], {"maxWindGust": 5})),
    }  # fmt: skip
    if rng.random() < 0.3:
        value[rng.choice(list(value))] = str(odd(rng))
    text = json.dumps({"features": [{"properties": value}] * rng.choice((0, 1, 3))})
    if rng.random() < 0.4:
        told = "".join(f"<{name}>{rng.choice((text, *CELLS))}</{name}>" for name, text in value.items())
        text = f'<alert xmlns="urn:oasis:names:tc:emergency:cap:1.2">{told}</alert>'
    if rng.random() < 0.3:
        text = spoilt_text(rng, text)
    content = text.encode("utf-8", "surrogatepass")
    return spoilt_bytes(rng, content) if rng.random() < 0.2 else content


TYPED = (
    "", "y", "n", "?", "level", "gable", "rake", "20 ft", "9 ft", "12'", "2x6", "2x6@16in", "16 in", "osb 7/16", "none",
    "deck", "slab", "ground", "C", "6/12", "4", "0", "-1", "nan", "9" * 50, "é", "20 ft, 3 ft", "back", "q",
)  # fmt: skip


def start(rng: random.Random) -> Asked:
    """A wall file begun, by its questions or from a demo wall."""
    words = [
        "start",
        rng.choice(("{}/new.toml", "{}/new.toml", "{}/wall.toml", "{}", "{}/no/new.toml", "{}/x.exe")),
    ]
    more = {
        "--template": ("level", "gable", "rake", "slab", "x", ""), "--language": ("es", "en", "xx"),
    }  # fmt: skip
    words += some_of(rng, more, 0.3)
    typed = "".join(f"{rng.choice(TYPED)}\n" for _ in range(rng.randrange(60)))
    return words, {"stdin": typed.encode(), "wall.toml": b"# taken\n"}


ASKED = (box, log, watch, chance, pull, start)
OFTEN = (1, 4, 4, 4, 4, 4)  # walls joined take two seconds a house, all else a few hundredths
