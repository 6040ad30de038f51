"""Wall files: good ones of every kind, and good ones with something in them changed."""

from __future__ import annotations

import random
from typing import Any

from bracing.job.fields import KIND, LEAST, MOST, ONE_OF, class_of, fields_by_key
from bracing.job.job import Job
from tests.fuzz.spoil import number_near, odd, spoilt_bytes, spoilt_text, toml

STICKS = ("2x4", "2x6", "2x8")
LUMBER = (
    ("spruce-pine-fir", "No.2"),
    ("hem-fir", "No.2"),
    ("douglas fir-larch", "No.1"),
    ("southern pine", "No.2"),
)
FASTENERS = (
    "16d common",
    "8d common",
    "gun nail 0.131x3",
    "structural screw 0.22x3",
    "structural screw 0.22x5",
    "lag 3/8x5",
)
OF_KIND: dict[str, tuple[object, ...]] = {
    "size": STICKS,
    "header": ("2-2x6", "2-2x8", "2-2x12"),
    "species": tuple(s for s, _ in LUMBER),
    "grade": ("No.1", "No.2", "Stud", "No.3"),
    "fastener": FASTENERS,
    "flag": (True, False),
    "deck": ("osb 23/32",),
    "soil": ("clay", "sand", "gravel"),
    "layers": ([], ["osb 7/16"], ["housewrap"]),
    "name": ("W", "B1", "B9", "é"),
    "time": ("3 weeks", "2 h", "1 year"),
    "point": (["8 ft", "3 ft"],),
    "points": ([["0 ft", "9 ft"], ["20 ft", "14 ft"]],),
}
UNITS = {"length": "in", "force": "lb", "speed": "mph", "line load": "lb/in"}


ROW, NARROWEST = "row_from_sheathed_edge", 3.0


def feet(inches: float) -> str:
    """A length as a person types it."""
    return f"{inches / 12.0:g} ft" if inches % 12.0 == 0.0 else f"{inches:g} in"


def good_wall(rng: random.Random) -> dict[str, Any]:
    """Tables of a wall that reads and can be checked."""
    spacing, share = rng.choice((12.0, 16.0, 24.0)), rng.choice((0.5, 1.0, 1.0))
    bays = rng.randint(3, 18) if rng.random() < 0.9 else rng.randint(19, 59)
    length, height = bays * spacing, rng.choice((96.0, 108.0, 120.0, 144.0, 216.0))
    wall: dict[str, Any] = {"length": feet(length)}
    low = _top(rng, wall, length, height)
    species, grade = rng.choice(LUMBER)
    if rng.random() < 0.8:
        wall["studs"] = {
            "size": rng.choice(STICKS),
            "spacing": feet(spacing),
            "species": species,
            "grade": grade,
        }
    else:
        wall["studs"] = {"spacing": feet(spacing)}
    if rng.random() < 0.7:
        wall["layers"] = rng.choice((["osb 7/16"], ["osb 7/16", "housewrap"], ["my own layer 3 psf"], []))
    if rng.random() < 0.5:
        wall["moisture"] = rng.choice(("green", "dry"))
    if rng.random() < 0.3:
        wall["opening"] = [_opening(rng, length, low)]
    if rng.random() < 0.3:
        wall["row"] = [
            {"height": feet(round(low * 0.6)), "kind": rng.choice(("wale", "strongback", "soffit"))}
        ]
    _returns(rng, wall)
    for part in ("plate", "top_plate"):
        if rng.random() < 0.85:
            wall[part] = _some(rng, f"wall.{part}", share)
    plate = wall.get("plate", {})
    if float(plate.get(ROW, "0 in").split()[0]) > NARROWEST:
        plate[ROW] = f"{NARROWEST} in"  # farther on than that it stands beside a plate of 2x4
    tree: dict[str, Any] = {"wall": wall}
    tree |= _round_it(rng, share)
    if rng.random() < 0.85:
        tree["brace"] = _braces(rng, bays, spacing, low)
    floor = tree.get("floor", {})
    if floor.get("kind", "deck") != "deck" or {"run", "first"} <= set(floor.get("joists", {})):
        for brace in tree.get("brace", ()):
            brace.pop("foot_on", None)  # no joist is there, or may not be
    return tree


def _top(rng: random.Random, wall: dict[str, Any], length: float, height: float) -> float:
    shape = rng.randrange(4)
    if shape == 0:
        wall |= {"left_height": feet(height), "right_height": feet(height + 24.0)}
    elif shape == 1:
        wall |= {"height": feet(height), "peak": feet(height + rng.choice((12.0, 48.0)))}
    elif shape == 2:
        del wall["length"]
        wall["top"] = [
            ["0 ft", feet(height)],
            [feet(length / 2.0), feet(height + 30.0)],
            [feet(length), feet(height)],
        ]
    else:
        wall["height"] = feet(height)
    return height


def _opening(rng: random.Random, length: float, low: float) -> dict[str, Any]:
    width = min(rng.choice((24.0, 36.0, 72.0)), length / 3.0)
    sill = rng.choice((0.0, 36.0))
    made = {
        "left": feet(round(length / 3.0)),
        "width": feet(round(width)),
        "height": feet(48.0),
        "sill": feet(sill),
    }
    return made | ({"covered": False} if rng.random() < 0.3 else {})


def _returns(rng: random.Random, wall: dict[str, Any]) -> None:
    for side in ("left", "right"):
        if rng.random() < 0.15:
            wall[f"{side}_end"] = "return"
            wall[f"{side}_return"] = {
                "plated": True,
                "nailed": True,
                "sheathed": True,
                "fastened_down": rng.random() < 0.8,
                "count": rng.choice((0, 12, 40)),
                "joint": rng.choice(("shear", "withdrawal")),
                "length": "8 ft",
            }


def _round_it(rng: random.Random, share: float) -> dict[str, Any]:
    """Floor, site and kit."""
    tree: dict[str, Any] = {}
    kind = rng.choices(("deck", "slab", "ground"), (8, 1, 1))[0]
    floor: dict[str, Any] = {"kind": kind} | _some(
        rng, "floor", 0.4, only=("height_above_ground", "open_below")
    )
    if kind == "slab" and rng.random() < 0.7:
        floor["slab"] = {"tension_lb": 900, "shear_lb": 700, "report": "pull test"}
    if kind == "ground" and rng.random() < 0.7:
        floor["ground"] = _some(rng, "floor.ground", 0.7)
    if kind == "deck" and rng.random() < share:
        floor["joists"] = {
            "size": rng.choice(("2x8", "2x10")),
            "species": "hem-fir",
            "grade": "No.2",
            "span": "12 ft",
        }
        floor["joists"]["run"] = rng.choice(("away", "along"))
    if rng.random() < 0.8:
        tree["floor"] = floor
    if rng.random() < 0.4:
        tree["site"] = {"exposure": rng.choice("BCD"), "design_speed": "115 mph", "stands": "3 weeks"}
    if rng.random() < max(share, 0.6):
        tree["kit"] = {"species": "spruce-pine-fir", "grade": "No.2"}
        tree["kit"]["head"] = {
            "joint": rng.choice(("lapped", "lapped", "plumb")),
            "fastener": rng.choice(FASTENERS),
        }
        tree["kit"]["cleat"] = {
            "sides": rng.choice((1, 2)),
            "lie": rng.choice(("flat", "edge")),
            "length": "36 in",
            "size": "2x4",
            "brace_fastener": rng.choice(FASTENERS),
            "floor_fastener": rng.choice(FASTENERS),
        }
    return tree


def _braces(rng: random.Random, bays: int, spacing: float, low: float) -> list[dict[str, Any]]:
    many = rng.randint(1, min(6, bays))
    places = sorted(rng.sample(range(bays + 1), many))
    braces = []
    for k, bay in enumerate(places, start=1):
        head = round(low * rng.uniform(0.6, 0.97))
        brace: dict[str, Any] = {
            "mark": f"B{k}",
            "stud_at": feet(bay * spacing),
            "head": feet(head),
            "set_back": feet(round(head * rng.uniform(0.6, 1.6))),
        }
        if rng.random() < 0.8:
            brace |= {
                "size": rng.choice(("2x4", "2x6")),
                "ties": rng.choice((0, 1, 2, 2)),
                "foot_on": "joist" if rng.random() < 0.6 else "deck",
                "head_fasteners": rng.choice((0, 2, 4, 8)),
                "cleat_fasteners": rng.choice((0, 2, 4, 8)),
                "floor_fasteners": rng.choice((0, 3, 6, 10)),
                "lap_side": rng.choice(("left", "right")),
            }
        braces.append(brace)
    return braces


# -- by the fields the input classes declare -------------------------------------------------------------


def table_class(path: str) -> type[Any]:
    """The input class of a table, by its dotted path."""
    at: type[Any] = Job
    for step in path.split(".") if path else []:
        at = class_of(at, fields_by_key(at)[step].name)
    return at


def _some(rng: random.Random, path: str, share: float, *, only: tuple[str, ...] = ()) -> dict[str, Any]:
    """Some of the fields of a table, each with a value it takes."""
    made = {}
    for key, attribute in fields_by_key(table_class(path)).items():
        if (not only or key in only) and rng.random() < share:
            value = good_value(rng, attribute.metadata)
            if value is not None:
                made[key] = value
    return made


def good_value(rng: random.Random, metadata: Any) -> object:
    """A value of the kind a field declares, often at its limits; None for a part."""
    kind = metadata[KIND]
    if kind == "word":
        return rng.choice(metadata[ONE_OF])
    if kind in OF_KIND:
        return rng.choice(OF_KIND[kind])
    least, most = metadata[LEAST] or 0.0, metadata[MOST] or 100.0
    value = rng.choice((least, most, least + (most - least) * rng.random() ** 3))
    if kind == "count":
        return int(value)
    if kind in ("number", "share"):
        return float(value)
    return f"{value:.6g} {UNITS[kind]}" if kind in UNITS else None


# -- changed ---------------------------------------------------------------------------------------------


def changed(rng: random.Random, tree: dict[str, Any]) -> None:
    """Change one thing in a tree."""
    places = list(_places(tree, ""))
    if not places:  # the one table there was is gone
        tree["wall"] = odd(rng)
        return
    path, table, key = rng.choice(places)
    way = rng.randrange(10)
    if way <= 3:
        table[key] = odd(rng)
    elif way <= 5:
        known = _known(path) or {key: None}
        name = rng.choice(list(known))
        value = None if known[name] is None else good_value(rng, known[name].metadata)
        table[name] = odd(rng) if value is None else value
    elif way == 6:
        del table[key]
    elif way == 7:
        table[rng.choice((key[:-1] or "x", key + "s", key.upper(), "ключ", "", "a.b"))] = table.pop(key)
    elif way == 8 and isinstance(table[key], str):
        table[key] = number_near(rng, table[key])
    elif isinstance(table[key], list) and table[key]:
        table[key] = table[key] * rng.choice((2, 3, 40, 201))
    else:
        table[key] = rng.choice(([table[key]], {"x": table[key]}, [[table[key]]]))


def _places(tree: dict[str, Any], path: str):
    for key, value in tree.items():
        yield path, tree, key
        inner = f"{path}.{key}" if path else key
        if isinstance(value, dict):
            yield from _places(value, inner)
        elif isinstance(value, list):
            for item in value:
                if isinstance(item, dict):
                    yield from _places(item, inner)


def _known(path: str) -> dict[str, Any]:
    try:
        return fields_by_key(table_class(path))
    except (KeyError, TypeError, ValueError):  # no table of that path
        return {}


def wall_content(rng: random.Random) -> bytes:
    """The bytes of a wall file: good, changed in its tables, spoilt as text, or spoilt as bytes."""
    tree = good_wall(rng)
    way = rng.random()
    if way > 0.5:
        for _ in range(rng.choice((1, 1, 2, 3, 6))):
            changed(rng, tree)
    text = toml(tree)
    if 0.79 < way <= 0.91:
        text = spoilt_text(rng, text)
    content = text.encode("utf-8", "surrogatepass")
    return spoilt_bytes(rng, content) if way > 0.91 else content
