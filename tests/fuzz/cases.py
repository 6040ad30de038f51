"""One case: the words of a command, and the files they name."""

from __future__ import annotations

import random
from typing import NamedTuple

from bracing.commands.wall_options import WALL_OPTIONS
from tests.fuzz.folders import ASKED, OFTEN
from tests.fuzz.series import table
from tests.fuzz.spoil import NUMBERS, QUANTITIES, toml
from tests.fuzz.walls import good_wall, wall_content

GUSTS = (
    "45",
    "20",
    "5",
    "4",
    "120",
    "121",
    "0",
    "20 m/s",
    "40 kt",
    "-3",
    "nan",
    "inf",
    "1e3",
    "9" * 400,
    "４５",
    "",
    "45 ft",
)
CREW: dict[str, tuple[str, ...]] = {  # of a folder before a storm
    "--people": ("2", "4", "5", "1", "101", "-2", "4.5", "４", "four", ""),
    "--hours": ("3", "0.5", "90 min", "0", "-1", "169", "nan", "1e3", "3 h", "x", ""),
    "--on-hand": (
        "1 box 0.22x3", "1 box 0.22x3, 200 screws, 6 2x4x16", "12 2x6x16, 400 16d common", "0 2x4x16", "nothing",
        "6 2x4", "1e9 2x4x16", "-3 screws", "1 box of what", ",,,", "9" * 400 + " screws", "",
    ),
}  # fmt: skip
GOOD: dict[str, tuple[str, ...]] = {
    "length": ("12 ft", "16ft", "4.8 m", "20'-8\""),
    "height": ("8ft", "9 ft", "2.7 m"),
    "peak": ("12 ft",),
    "peak_at": ("6 ft",),
    "pitch": ("6/12", "8:12"),
    "left_height": ("8 ft",),
    "right_height": ("10 ft",),
    "studs": ("2x6@16in", "2x4@24"),
    "species": ("hem-fir",),
    "grade": ("No.2",),
    "layers": ("osb 7/16", "osb 7/16, housewrap", "none"),
    "moisture": ("green", "dry"),
    "opening": ("4ft:sill 3ft:3ft x 3ft", "4ft:3ft x 6ft:open", "3-0 x 3-0 at 4-0, sill 3-0"),
    "plate": ("16d common@16in",),
    "plate_state": ("tacked", "final"),
    "floor": ("deck", "slab", "ground"),
    "deck": ("osb 23/32",),
    "joists": ("2x10@16in away", "2x8@12 along"),
    "room": ("20 ft",),
    "height_above_ground": ("3 ft", "0 ft"),
    "exposure": ("B", "C", "D"),
    "kzt": ("1.2",),
    "design_speed": ("115 mph",),
    "stands": ("3 weeks",),
    "brace": ("4ft:head 7ft:back 7ft:2x6:ties 1:4/4/5:joist", "8ft:head 7ft:back 8ft"),
    "stock": ("2x6@16ft", "2x6x16, 12 of 2x4 14"),
    "brace_species": ("hem-fir",),
    "brace_grade": ("No.2",),
    "ties": ("0", "1", "2"),
    "head_joint": ("lapped", "plumb"),
    "head_fastener": ("16d common",),
    "cleat_fastener": ("16d common",),
    "floor_fastener": ("lag 3/8x5",),
    "name": ("North wall",),
}
OWN: dict[str, dict[str, tuple[str, ...]]] = {
    "check": {
        "--gust": GUSTS,
        "--model": ("{}/model.json", "{}/no/model.json", "{}"),
        "--storms": (),
        "--sustained": (),
        "--links": (),
        "--assumed": (),
        "--one-missing": (),
        "--metric": (),
    },
    "fasteners": {"--gust": GUSTS, "--sustained": (), "--metric": ()},
    "weight": {"--metric": ()},
    "layout": {
        "--gust": GUSTS[:3],
        "--spacing": ("8 ft", *QUANTITIES[:20]),
        "--angle": ("45", "nan", "-1", "90"),
        "--day-gust": GUSTS,
        "--one-missing": GUSTS,
        "--on-hand": ("12 2x4x16, 200 screws", "4 2x6x16", "x", "", "9" * 400 + " 2x4x16"),
        "--alternatives": (),
        "--why": (),
        "--storms": (),
        "--metric": (),
    },
    "stock": {
        "--gust": GUSTS,
        "--every": ("8 ft", *QUANTITIES[:20]),
        "-o": ("{}/x.svg", "{}/no/x.svg", "{}/x.exe"),
        "--metric": (),
    },
    "trace": {"--gust": GUSTS, "--storms": (), "--metric": ()},
    "sheet": {
        "--gust": GUSTS,
        "-o": ("{}/x.html", "{}/x.csv", "{}/x.dxf", "{}/no/x.html", "{}/x.exe", "{}"),
        "--metric": (),
    },
    "stages": {
        "--gust": GUSTS,
        "--order": ("given", "middle", "odd"),
        "--keep": GUSTS,
        "--deck-takes": QUANTITIES,
        "--done": ("left return tied", "roof on", ""),
        "--take-out": ("B1", "B9", ""),
        "--metric": (),
    },
    "storm": {
        "--gust": GUSTS,
        "--sustained": GUSTS,
        "--wind": GUSTS,
        "--storms": (),
        "--lead": ("2h", "90 min", "", "-1 h", "9999 years"),
        "--from": ("Fri 8 pm", "25:99", "", "tomorrow"),
        "--until": ("Sat 6 am", "x"),
        "--short": (),
        "--metric": (),
        "--zone": ("America/Chicago", "Mars/Base", "../../etc/passwd", "", "UTC"),
        "--unit": ("mph", "x"),
        "--columns": ("time=time, gust=gust", "gust", "=", "wind=wind"),
        "--now": ("2026-03-06 15:00", "x", "0001-01-01", "9999-12-31 23:59"),
        "--all": (),
        **CREW,
    },
    "lift": {
        "--gust": GUSTS,
        "--dynamic": ("0.25", "nan", "inf", "-1", "3"),
        "--picks": ("2", "3", "4", "0", "9", "x"),
        "--pick-at": ("4 ft", "99 ft", *QUANTITIES[:20]),
        "--below-top": ("1 ft", "90 ft"),
        "--sling-round": ("stud", "plate", "x"),
        "--pick-lb": QUANTITIES,
        "--slings": ("20 ft", "1 in", "9999 ft", *QUANTITIES[:20]),
        "--sling-tag": ("4000 lb",),
        "--flat-slings": (),
        "--spreader": (),
        "--lift-each": ("50 lb", "0 lb"),
        "--hand-reach": ("6 ft", "1 in"),
        "--people": ("3", "2", "41", "x"),
        "--tag-lines": ("100 lb",),
        "--toe-nails": ("24: 16d common", "9: x", ":", "９: 16d common", "9" * 5000 + ": 16d common"),
        "--straps": ("6: 400 lb", "6: 5 of 16d common", "6: 9999 of 16d common", "²: 3 lb"),
        "--blocks": ("8: 4 of 16d common", "8: 4"),
        "--machine": ("outside", "inside", "x"),
        "--distance": ("10 ft", "0 ft", "9999 ft"),
        "--ground": ("-3 ft", "x"),
        "--jib": ("6 ft", "6 ft, 2 ft", "1,2,3", ","),
        "--rigging": ("100 lb",),
        "--most-height": ("30 ft",),
        "--line-kv": ("12", "nan", "inf", "1e9"),
        "--line-distance": ("20 ft",),
        "--metric": (),
    },
    "plumb": {
        "--at": ("B1: 2 in, 2 1/2 in", "B1: 2 in", "B9: 1 in, 1 in", "B1: nan in, 1 in", ":,,", ""),
        "--turn": ("1/8 in", "0 in", "x"),
        "--metric": (),
    },
}
SPOKEN = ("check", "sheet", "stages", "storm")
WHOLE = ("stages", "lift", "plumb")
WEIGHTS = {
    "check": 44,
    "trace": 3,
    "stock": 2,
    "layout": 1,
    "sheet": 0.5,
    "weight": 14,
    "fasteners": 8,
    "stages": 7,
    "storm": 7,
    "lift": 7,
    "plumb": 7,
}
MANY_WALLS = ("storm", "{}")  # of a folder: what to do first
EXTRA_FILE = {
    "storm": ("--forecast", "forecast"),
    "lift": ("--chart", "chart"),
    "plumb": ("--readings", "readings"),
}


class Case(NamedTuple):
    """One case: {} in a word is the case's own folder."""

    words: tuple[str, ...]
    files: dict[str, bytes]
    typed: str


def make_case(seed: int, number: int) -> Case:
    """Make case `number` of a seed."""
    rng = random.Random(f"{seed} {number}")
    kind = rng.random()
    if kind < 0.48:
        return _on_a_file(rng)
    if kind < 0.55:
        return _of_a_job(rng)
    if kind < 0.755:
        return _on_options(rng)
    if kind < 0.96:
        return _with_a_table(rng)
    if kind < 0.968:
        return _before_a_storm(rng)
    if kind < 0.975:
        return _a_list(rng)
    return _walked(rng) if kind < 0.985 else _words(rng)


def _command(rng: random.Random) -> str:
    return rng.choices(tuple(WEIGHTS), tuple(WEIGHTS.values()))[0]


def _own(rng: random.Random, command: str, share: float = 0.2) -> list[str]:
    """Some of a command's own options; the gust mostly a good one."""
    words: list[str] = []
    options = OWN[command]
    chosen = [name for name in options if rng.random() < share / max(1.0, len(options) / 8.0)]
    if "--gust" in options and "--gust" not in chosen and rng.random() < 0.7:
        words += ["--gust", rng.choice(GUSTS[:3])]
    if command == "layout":
        words += ["--budget", rng.choice(("0", "0.1", "nan", "-1"))]
    for name in chosen:
        words += [name, rng.choice(options[name])] if options[name] else [name]
    if command in SPOKEN and rng.random() < 0.1:
        words += ["--language", rng.choice(("es", "es", "en", "xx", ""))]
    words += [
        name
        for name in ("--cautions", "--all")
        if name == "--cautions" or command in WHOLE
        if rng.random() < 0.04
    ]
    return words + (["--json"] if rng.random() < 0.5 else [])


def _on_a_file(rng: random.Random) -> Case:
    command = _command(rng)
    words = [command, "{}/wall.toml", *_own(rng, command)]
    return Case(tuple(words), {"wall.toml": wall_content(rng)}, "file")


def _on_options(rng: random.Random) -> Case:
    command = _command(rng)
    words = [command, *_own(rng, command)]
    chosen = [name for name, _, _ in WALL_OPTIONS if name in ("length", "height") or rng.random() < 0.12]
    kinds = {name: kind for name, kind, _ in WALL_OPTIONS}
    for name in chosen:
        option = "--" + name.replace("_", "-")
        if name not in GOOD:
            words.append(rng.choice((option, f"--no-{option[2:]}")))
            continue
        value = rng.choice((*QUANTITIES, *NUMBERS)) if rng.random() < 0.12 else rng.choice(GOOD[name])
        words += [option, value] * rng.choice((1, 1, 1, 2) if "list" in str(kinds[name]) else (1,))
    return Case(tuple(word.replace("\0", "?") for word in words), {}, "options")


def _with_a_table(rng: random.Random) -> Case:
    command = rng.choices(tuple(EXTRA_FILE), (5, 3, 4))[0]
    option, kind = EXTRA_FILE[command]
    words = [command, "{}/wall.toml", option, f"{{}}/{kind}.csv"]
    more = _own(rng, command, share=0.1)
    if command == "storm":
        at = more.index("--gust") if "--gust" in more and rng.random() < 0.95 else -1
        more = more[:at] + more[at + 2 :] if at >= 0 else more
        words += ["--now", "2026-03-06 05:00"] if rng.random() < 0.9 and "--now" not in more else []
    if command == "lift" and rng.random() < 0.9:
        words += ["--distance", "10 ft"]
    files = {"wall.toml": toml(good_wall(rng)).encode(), f"{kind}.csv": table(rng, kind)}
    return Case((*words, *more), files, kind)


def _of_a_job(rng: random.Random) -> Case:
    words, files = rng.choices(ASKED, OFTEN)[0](rng)
    return Case(tuple(words), files, "walk" if "stdin" in files else "job")


def _a_list(rng: random.Random) -> Case:
    words = ["walls", "{}/list.csv", "--gust", rng.choice(GUSTS), "--workers", "1"]
    files = {"list.csv": table(rng, "list"), "wall.toml": toml(good_wall(rng)).encode()}
    return Case((*words, *(["--json"] if rng.random() < 0.5 else [])), files, "list")


def _before_a_storm(rng: random.Random) -> Case:
    """Who there is, for how long and with what, over a folder of walls."""
    words = [*MANY_WALLS, "--gust", rng.choice(GUSTS[:3]), "--budget", rng.choice(("0", "0.1"))]
    for name, values in CREW.items():
        if rng.random() < 0.7:
            words += [
                name,
                rng.choice(values) if rng.random() < 0.8 else rng.choice(QUANTITIES).replace("\0", "?"),
            ]
    files = {f"{name}.toml": toml(good_wall(rng)).encode() for name in ("a", "b")[: rng.choice((1, 2))]}
    if rng.random() < 0.2:
        files["c.toml"] = wall_content(rng)
    more = [word for word in ("--json", "--short", "--all", "--strict") if rng.random() < 0.25]
    return Case((*words, *more), files, "crew")


def _walked(rng: random.Random) -> Case:
    answers = "".join(
        rng.choice(("", "y", "n", "6 ft", "no", "none", "9" * 50, "é", "2x6", "4")) + "\n"
        for _ in range(rng.randrange(60))
    )
    return Case(
        ("built", "{}/wall.toml"),
        {"wall.toml": toml(good_wall(rng)).encode(), "stdin": answers.encode()},
        "walk",
    )


def _words(rng: random.Random) -> Case:
    pool = (
        *OWN,
        *(word for own in OWN.values() for word in own),
        *QUANTITIES[:60],
        "--help",
        "-h",
        "--version",
        "--",
        "-",
        "{}",
    )
    return Case(tuple(rng.choice(pool).replace("\0", "?") for _ in range(rng.randrange(6))), {}, "words")
