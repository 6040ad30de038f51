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
        ("Time", "Wind (mph)", "Gust", "Thunder"),
        ("date", "time", "wind", "gust [kt]"),
    ),
    "chart": (
        ("reach_ft", "capacity_lb"),
        ("reach_m", "capacity_kg"),
        ("reach_ft", "height_ft", "capacity_lb"),
        ("reach", "capacity"),
        ("reach_ft", "reach_m", "capacity_lb"),
        ("capacity_lb",),
        ("Load radius (ft)", "Boom angle", "capacity lbs"),
        ("radius", "boom length (ft)", "Rated capacity (kg)"),
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
    if kind == "forecast" and rng.random() < 0.5:
        text = rng.choice((_listed, _across, _grid, _periods, _prose))(rng)
        way = rng.random()
        if 0.4 < way <= 0.8:
            text = spoilt_text(rng, text)
        content = text.encode("utf-8", "surrogatepass")
        return spoilt_bytes(rng, content) if way > 0.8 else content
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


SAID_TIMES = (
    "3 pm", "4 PM", "5p", "noon", "midnight", "12 am", "15:00", "8:00", "Fri 3 pm", "Sat 3/7 2 am", "tonight 9 pm",
    "3/6 15:00", "Mar 6 3 pm", "99 pm", "2026-03-06 20:00", "Feb 30 3 pm", "13/40 3 pm", "1500 hrs", "3 pm EST",
    "3 - 4 pm", "",
)  # fmt: skip
SAID_WINDS = (
    "S 15 G 28 mph", "S15G28", "G 38", "gusts to 45 mph", "28 mph gusts", "10 to 20 mph", "18012G25KT", "calm", "S 15",
    "G 400 mph", "15", "71° 40%", "wind 20 kt gusting 30", "--", "G" * 300, "S 1.2.3 G 9999", "gust gust gust 5",
)  # fmt: skip
SAID_WEATHER = (
    "",
    "Chance T-storms",
    "Slight chance thunderstorms",
    "SChc",
    "--",
    "Cloudy",
    "perhaps",
    "40%",
    "Def",
)


def _listed(rng: random.Random) -> str:
    """An hour to a line, or to several."""
    between = rng.choice(("  ", " ", "\t", "\n", " | "))
    lines = [
        rng.choice(
            (
                "",
                "Friday",
                "Wind in mph",
                "Gusts to 40 mph",
                "Thunderstorm watch",
                "Time  Wind  Gust  Weather",
            )
        )
    ]
    for k in range(rng.choice((0, 1, 4, 12))):
        at = (
            rng.choice(SAID_TIMES)
            if rng.random() < 0.3
            else f"{(k + 2) % 12 + 1} {'pm' if (k + 3) % 24 < 12 else 'am'}"
        )
        lines.append(between.join((at, rng.choice(SAID_WINDS), rng.choice(SAID_WEATHER))))
    return "\n".join(lines) + "\n"


SAID_PARTS = (
    "Tonight", "Today", "This afternoon", "Overnight", "Saturday", "Saturday night", "Sunday through Tuesday",
    "Sunday, March 8", "Rest of tonight", "Tomorrow morning", "NEW YEARS DAY", "Monday and Monday", "tonight",
)  # fmt: skip
SENTENCES = (
    "Southwest winds 20 to 25 mph, with gusts as high as 45 mph.", "Winds could gust as high as 50 mph.", "Windy.",
    "South winds 10 mph becoming west 20 to 30 mph after midnight.", "Light and variable winds.", "Calm wind.",
    "A slight chance of thunderstorms after 3 pm.", "Lows 30 north to 40 south.", "Chance of rain 60%.",
    "Gusts 999 kt.", "Winds 15 to 20.", "SW 25G45KT.", "Damaging winds in severe storms, 60 mph.", "wind " * 40,
    "light " * 400, "",
)  # fmt: skip


def _prose(rng: random.Random) -> str:
    """Sentences under parts of days."""
    sign = rng.choice((" ... ", ": ", "\n", "...", " ", "\t"))
    said = [
        rng.choice(
            (
                "",
                "345 PM CST Fri Mar 6 2026\n",
                "Gusts to 40 mph\n",
                "Wind advisory\n",
                "99:99 pm Mar 6 2026\n",
            )
        )
    ]
    said += [
        f"{rng.choice(('', '.'))}{part}{sign}{' '.join(rng.choices(SENTENCES, k=rng.choice((0, 1, 3))))}\n"
        for part in rng.sample(SAID_PARTS, rng.choice((1, 2, 4, 8)))
    ]
    return "".join(said) * rng.choice((1, 1, 1, 30))


def _across(rng: random.Random) -> str:
    """Hours across."""
    mark, count = rng.choice(("\t", " ", "  ")), rng.choice((1, 6, 24, 30))
    rows = [
        ("Hour (CST)", [str((15 + k) % 24) for k in range(count)]),
        ("Surface Wind (mph)", [str(rng.randint(0, 30)) for _ in range(count)]),
        ("Gust", [rng.choice(("", "--", "28", "45")) for _ in range(count)]),
        ("Thunder", [rng.choice(("--", "SChc", "Chc", "Lkly", "Def", "?")) for _ in range(count)]),
    ]
    if rng.random() < 0.5:
        rows.insert(0, ("Date", ["03/06", *[""] * (count - 1)]))
    if rng.random() < 0.2:
        rng.shuffle(rows)
    return "\n".join(mark.join((name, *cells)) for name, cells in rows * rng.choice((1, 1, 2))) + "\n"


ODD_VALUES = (
    None,
    20,
    55.5,
    "20",
    "10 to 20 mph",
    "fast",
    True,
    [],
    {},
    -1,
    1e400,
    {"unitCode": "wmoUnit:km_h-1", "value": 30},
)
ODD_SPANS = (
    "2026-03-06T21:00:00+00:00/PT1H",
    "2026-03-06T21:00:00+00:00/P7DT12H",
    "2026-03-06T21:00:00/PT1H",
    "now/PT1H",
    5,
    None,
)


def _grid(rng: random.Random) -> str:
    """A page of the grid."""

    def layer() -> object:
        values = [
            {
                "validTime": f"2026-03-{6 + k // 24:02d}T{k % 24:02d}:00:00+00:00/PT{rng.choice((1, 1, 3))}H"
                if rng.random() < 0.9 else rng.choice(ODD_SPANS),
                "value": rng.choice((20, 31.5, 60, None)) if rng.random() < 0.9 else rng.choice(ODD_VALUES),
            }
            for k in range(rng.choice((0, 1, 12, 60)))
        ]  # fmt: skip
        return {
            "uom": rng.choice(("wmoUnit:km_h-1", "unit:m_s-1", "wmoUnit:source", None, 5)),
            "values": values,
        }

    tree: dict[str, object] = {
        "windSpeed": layer(),
        "windGust": layer(),
        "updateTime": rng.choice(("2026-03-06T12:00:00+00:00", 5)),
    }
    if rng.random() < 0.5:
        tree["weather"] = {
            "values": [
                {"validTime": ODD_SPANS[0], "value": [{"weather": rng.choice(("thunderstorms", None, 5))}]}
            ]
        }
    return json.dumps({"properties": tree} if rng.random() < 0.8 else tree)


def page(rng: random.Random) -> bytes:
    """A page of an open forecast, mostly whole."""
    text = rng.choice((_grid, _periods))(rng)
    way = rng.random()
    content = (spoilt_text(rng, text) if way < 0.3 else text).encode("utf-8", "surrogatepass")
    return spoilt_bytes(rng, content) if way > 0.9 else content


def _periods(rng: random.Random) -> str:
    """A page of periods."""
    periods: list[object] = [
        {
            "startTime": f"2026-03-06T{k % 24:02d}:00:00-06:00",
            "endTime": f"2026-03-06T{(k + 1) % 24:02d}:00:00-06:00",
            "windSpeed": rng.choice(ODD_VALUES) if rng.random() < 0.2 else "10 to 20 mph",
            "windGust": rng.choice(ODD_VALUES) if rng.random() < 0.2 else None,
            "shortForecast": rng.choice((*SAID_WEATHER, None, 5)),
        }
        for k in range(rng.choice((0, 1, 12, 23)))
    ]
    if rng.random() < 0.1:
        periods.append(rng.choice((None, 5, [], "period")))
    return json.dumps({"properties": {"periods": periods}})


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
