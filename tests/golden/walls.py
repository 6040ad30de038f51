"""The random walls of the recorded answers, as the text of a wall file: the same wall for the same number.

Nothing of the package is used, and nothing of the generators of other tests: a wall here changes only where somebody
changes this module, and then what is recorded of it is another wall's. Most are braced as a careful crew
braces a wall, so that a joint or a stick has a limit of its own; the others lack something, as walls do.
"""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

from tests.fuzz.spoil import toml

SEED = 20_260_306
COUNT = 300
DEEP = 6  # two heads on one side of a stud are farther apart than a stick is deep [in]
SHAPES = ("level", "level", "rake", "gable", "outline")
SIZES = ("2x4", "2x6", "2x6", "2x8")
LUMBER = (
    ("spruce-pine-fir", "No.2"),
    ("hem-fir", "No.2"),
    ("douglas fir-larch", "No.1"),
    ("southern pine", "No.2"),
    ("spruce-pine-fir", "Stud"),
)
SCREW, LONG_SCREW = "structural screw 0.22x3", "structural screw 0.22x5"
JOINTS = (  # head, brace to cleat, cleat to floor
    (SCREW, SCREW, LONG_SCREW),
    (SCREW, SCREW, "structural screw 0.22x8"),
    (SCREW, SCREW, "structural screw 0.22x8"),
    ("16d common", "16d common", "20d common"),
    ("gun nail 0.131x3-1/4", "gun nail 0.131x3-1/4", "gun nail 0.131x3"),
    ("lag 1/4x3", "lag 1/4x3", "lag 3/8x5"),
    (SCREW, "16d common", "lag 3/8x5"),
)
LAYERS = (["osb 7/16"], ["osb 7/16", "housewrap"], ["plywood 15/32"], ["osb 7/16", "fiber cement siding"], [])


def names() -> list[str]:
    """Every wall's name, which is its file's too."""
    return [f"w{number:03d}" for number in range(1, COUNT + 1)]


def text(name: str) -> str:
    """The wall file of a name.

    >>> text("w001") == text("w001") != text("w002")
    True
    """
    rng = random.Random(SEED + int(name[1:]))
    return toml(_on_what_is_there(Draft(rng, name).tree()))


def _on_what_is_there(tree: dict[str, Any]) -> dict[str, Any]:
    """No foot in a joist on a slab or the ground, nor where joists may run past it: there on blocks between them."""
    floor = tree.get("floor", {})
    joists = floor.get("joists", {})
    instead = "joist"
    if floor.get("kind", "deck") != "deck":
        instead = "deck"
    elif joists.get("run") == "away" and "first" in joists:
        instead = "block" if joists.get("kind", "sawn") == "sawn" else "deck"
    for brace in tree.get("brace", ()):
        brace["foot_on"] = instead if brace.get("foot_on") == "joist" else brace.get("foot_on", "deck")
    return tree


class Draft:
    """A wall as it is drawn: what later tables need to know of earlier ones is kept."""

    def __init__(self, rng: random.Random, name: str) -> None:
        self.rng, self.name = rng, name
        self.metric = rng.random() < 0.15
        self.careful = rng.random() < 0.85
        self.shape = rng.choice(SHAPES)
        self.kind = rng.choices(("deck", "slab", "ground"), (7, 2, 1))[0]
        self.spacing = rng.choice((12.0, 16.0, 16.0, 24.0))
        self.bays = round(rng.uniform(96.0, 480.0 if rng.random() < 0.9 else 720.0) / self.spacing)
        self.length = self.bays * self.spacing
        self.low = rng.choice((96.0, 96.0, 108.0, 108.0, 120.0, 144.0))
        self.rise = round(min(rng.uniform(0.1, 0.4) * self.length, 96.0))
        self.lumber = rng.choice(LUMBER)
        self.joints = rng.choice(JOINTS[:3]) if self.careful and rng.random() < 0.5 else rng.choice(JOINTS)
        self.points = [(0.0, self.low), (self.length, self.low)]
        self.holes: list[tuple[float, float]] = []

    def chance(self, share: float) -> bool:
        """Whether this one has it."""
        return self.rng.random() < share

    def long(self, inches: float) -> str:
        """A length as a person types it."""
        if self.metric:
            return f"{inches * 25.4:.10g} mm"
        return f"{inches / 12.0:g} ft" if inches % 12.0 == 0.0 else f"{inches:g} in"

    def tree(self) -> dict[str, Any]:
        """The tables of the file."""
        wall: dict[str, Any] = {"name": f"Golden {self.name}"} | self.outline()
        size = self.rng.choice(SIZES) if self.low < 144.0 else "2x6"
        wall["studs"] = {"size": size, "spacing": self.long(self.spacing), "first": self.long(0.0)}
        wall["studs"] |= {"species": self.lumber[0], "grade": self.lumber[1]}
        wall["layers"] = self.rng.choice(LAYERS[:3] if self.careful else LAYERS)
        if self.chance(0.8):
            wall["moisture"] = self.rng.choice(("green", "dry"))
        if openings := self.openings():
            wall["opening"] = openings
        if self.chance(0.2):
            row = self.rng.choice(("wale", "strongback", "soffit"))
            wall["row"] = [{"height": self.long(round(self.low * 0.6)), "kind": row, "size": "2x6"}]
        wall |= self.ends() | self.fastened()
        tree = {"wall": wall, "floor": self.floor()} | self.site() | {"kit": self.kit()}
        return tree | {"brace": self.braces()}

    def outline(self) -> dict[str, Any]:
        """Length and top."""
        low, high, end = self.low, self.low + self.rise, self.length
        made: dict[str, Any] = {"length": self.long(end)}
        if self.shape == "rake":
            left, right = (low, high) if self.chance(0.5) else (high, low)
            self.points = [(0.0, left), (end, right)]
            return made | {"left_height": self.long(left), "right_height": self.long(right)}
        if self.shape == "gable":
            off = self.chance(0.3)
            peak = round(end * 0.4) if off else end / 2.0
            self.points = [(0.0, low), (peak, high), (end, low)]
            made |= {"height": self.long(low), "peak": self.long(high)}
            return made | ({"peak_at": self.long(peak)} if off else {})
        if self.shape == "outline":
            corner = round(end * self.rng.choice((0.3, 0.4, 0.6)))
            self.points = [(0.0, low), (corner, high), (end, low + round(self.rise / 3.0))]
            return {"top": [[self.long(x), self.long(z)] for x, z in self.points]}
        return made | {"height": self.long(low)}

    def height_at(self, x: float) -> float:
        """How high the wall is there [in]."""
        for (x0, z0), (x1, z1) in pairwise(self.points):
            if x <= x1:
                return z0 + (z1 - z0) * (x - x0) / (x1 - x0)
        return self.points[-1][1]

    def openings(self) -> list[dict[str, Any]]:
        """Doors and windows, clear of one another and of the ends."""
        made = []
        for share in (0.2, 0.6)[: self.rng.choice((0, 0, 1, 1, 2))]:
            left, width = round(self.length * share) + 3.0, self.rng.choice((32.0, 40.0, 60.0))
            if left + width > self.length * (share + 0.35) or self.length < 144.0:
                continue
            sill, height = self.rng.choice(((0.0, 82.0), (36.0, 42.0), (30.0, 48.0)))
            self.holes.append((left, left + width))
            hole: dict[str, Any] = {"left": self.long(left), "width": self.long(width)}
            hole |= {"sill": self.long(sill), "height": self.long(height), "covered": self.chance(0.7)}
            if self.chance(0.8):
                header = {"header": self.rng.choice(("2-2x8", "2-2x10")), "header_nails": 4}
                hole |= header | {"header_fastener": "16d common"}
            made.append(hole)
        return made

    def ends(self) -> dict[str, Any]:
        """What holds the ends: as a rule nothing."""
        made: dict[str, Any] = {"left_end": "free", "right_end": "free"}
        for side in ("left", "right"):
            if self.chance(0.12):
                made[f"{side}_end"] = "return"
                made[f"{side}_return"] = {
                    "length": self.long(self.rng.choice((48.0, 96.0, 144.0))), "plated": True, "nailed": True,
                    "sheathed": self.chance(0.8), "fastened_down": self.chance(0.8), "fastener": "16d common",
                    "count": self.rng.choice((8, 16, 24)), "joint": self.rng.choice(("shear", "withdrawal")),
                }  # fmt: skip
        return made

    def fastened(self) -> dict[str, Any]:
        """How the plates are fastened."""
        if not self.careful and self.chance(0.4):
            return {"plate": {"fastener": "16d common", "spacing": self.long(16.0), "state": "tacked"}}
        plate: dict[str, Any] = {"spacing": self.long(self.rng.choice((8.0, 12.0, 16.0))), "state": "final"}
        plate["extra"] = {"at_each_brace": self.rng.choice((4, 6, 8)) if self.careful else 2}
        if self.kind != "slab":
            plate |= {"fastener": "16d common", "into_framing": True}
            if self.careful and self.chance(0.7):
                plate["row_from_sheathed_edge"] = self.long(0.75)
            plate["extra"]["fastener"] = self.rng.choice((LONG_SCREW, LONG_SCREW, "lag 3/8x5"))
        if self.careful or self.chance(0.5):
            plate |= {
                "sheathing_laps": self.rng.choice(("plate", "plate", "rim")),
                "sheathing_fastener": "8d common",
            }
            plate |= {"sheathing_spacing": self.long(self.rng.choice((3.0, 4.0, 6.0)))}
            plate |= {"sheathing_field_spacing": self.long(6.0)}
        top: dict[str, Any] = {"end_nails": self.rng.choice((2, 3, 4)), "end_nail": "16d common"}
        if self.careful:
            top |= {"strap_at_brace_lb": f"{self.rng.choice((600, 1000, 2000))} lb", "spliced": True}
        return {"plate": plate, "top_plate": top}

    def floor(self) -> dict[str, Any]:
        """What the feet stand on."""
        made: dict[str, Any] = {"kind": self.kind, "room": self.long(self.rng.choice((192.0, 240.0, 288.0)))}
        if self.kind == "slab":
            made |= {"height_above_ground": self.long(0.0), "open_below": False}
            if self.careful or self.chance(0.5):
                load = self.rng.choice((900, 1500, 2500))
                made["slab"] = {"tension_lb": f"{load} lb", "shear_lb": f"{load} lb", "report": "a pull test"}
        elif self.kind == "ground":
            made["ground"] = {
                "soil": self.rng.choice(("clay", "sand", "gravel")), "stake_width": self.long(3.5),
                "embedment": self.long(self.rng.choice((24.0, 36.0))), "pull_above": self.long(3.0),
                "deadman_lb": f"{self.rng.choice((600, 900)) if self.careful else 0} lb", "friction": 0.3,
            }  # fmt: skip
        else:
            made["deck"] = self.rng.choice(("osb 23/32", "plywood 23/32"))
            made["height_above_ground"] = self.long(self.rng.choice((18.0, 36.0, 120.0)))
            if self.chance(0.7):
                made["open_below"] = self.chance(0.2)
            if self.careful or self.chance(0.6):
                made["joists"] = {
                    "run": self.rng.choice(("away", "away", "along")), "spacing": self.long(16.0),
                    "first": self.long(self.rng.choice((0.0, 0.0, 8.0))),
                    "size": self.rng.choice(("2x8", "2x10", "2x12")),
                    "species": "hem-fir", "grade": "No.2", "span": self.long(self.rng.choice((120.0, 144.0))),
                }  # fmt: skip
        return made

    def site(self) -> dict[str, Any]:
        """The ground round it and the time it stands."""
        if self.chance(0.3):
            return {}
        made: dict[str, Any] = {"exposure": self.rng.choice("BCCD"), "design_speed": "115 mph"}
        made["stands"] = self.rng.choice(("2 days", "3 weeks", "8 weeks"))
        return {"site": made | ({"kzt": 1.2} if self.chance(0.1) else {})}

    def kit(self) -> dict[str, Any]:
        """Sticks and joints."""
        head, cleat, floor = self.joints
        sticks = self.rng.sample((("2x4", 12), ("2x4", 16), ("2x6", 14), ("2x6", 16), ("2x6", 20)), 2)
        made: dict[str, Any] = {"species": self.lumber[0], "grade": "No.2"}
        made |= {"stock": [{"size": size, "length": f"{feet} ft"} for size, feet in sticks]}
        joint = self.rng.choice(("lapped", "lapped", "lapped", "lapped", "plumb"))
        made["head"] = {"joint": joint, "fastener": head}
        if joint == "plumb":
            made["head"]["side_cleat"] = True
        bored = {"bored": self.careful or self.chance(0.5)} if self.chance(0.8) else {}
        made["head"] |= bored
        made["cleat"] = bored | {
            "size": self.rng.choice(("2x4", "2x6")),
            "lie": self.rng.choice(("flat", "edge", "edge", "edge")) if floor.endswith("x8") else "flat",
            "length": self.long(self.rng.choice((36.0, 48.0))), "sides": 2 if self.careful else self.rng.choice((1, 2)),
            "brace_fastener": cleat, "floor_fastener": floor,
        }  # fmt: skip
        return made

    def braces(self) -> list[dict[str, Any]]:
        """One in every 4 to 10 ft or so, on studs that no opening cuts, 1 to 12 of them."""
        rng, whole = self.rng, [k * self.spacing for k in range(1, self.bays)]
        free = [x for x in whole if all(x < left - 5.0 or x > right + 5.0 for left, right in self.holes)]
        every = rng.uniform(48.0, 84.0) if self.careful else rng.uniform(84.0, 140.0)
        many = max(2 if self.careful else 1, min(12, len(free), round(self.length / every)))
        alike, size = self.careful or self.chance(0.5), rng.choice(("2x4", "2x6"))
        least, most = (4, 9) if self.careful else (2, 5)
        counts = rng.randint(least, most), rng.randint(least, most), rng.randint(least, most)
        ties, doubled = rng.choice((1, 1, 2)) if self.careful else rng.choice((0, 0, 1)), self.chance(0.2)
        share, lean, made = rng.uniform(0.66, 0.9), rng.uniform(0.8, 1.3), []
        taken: list[tuple[tuple[float, str], int]] = []
        for k in range(many):
            x = free[min(len(free) - 1, round((k + 0.5) / many * (len(free) - 1)))]
            if not alike:
                share, lean, ties = rng.uniform(0.6, 0.95), rng.uniform(0.6, 1.4), rng.choice((0, 1, 2))
                counts = rng.randint(least, most), rng.randint(least, most), rng.randint(least, most)
            head, side = round(self.height_at(x) * share), rng.choice(("left", "right"))
            if any(at == (x, side) and abs(head - there) < DEEP for at, there in taken):
                side = "right" if side == "left" else "left"  # two cannot be in one place
            taken.append(((x, side), head))
            made.append({
                "mark": f"B{k + 1}", "stud_at": self.long(x), "lap_side": side,
                "head": self.long(head), "set_back": self.long(round(head * lean)), "size": size, "ties": ties,
                "head_fasteners": counts[0], "cleat_fasteners": counts[1], "floor_fasteners": counts[2],
                "foot_on": "joist" if self.careful or self.chance(0.4) else "deck", "stud_doubled": doubled,
            })  # fmt: skip
        return made


def listed(count: int) -> str:
    """A builder's list of walls, one a row; every eighth row is bad."""
    rng, lines = random.Random(SEED), ["name,length,height,studs,layers,plate,brace"]
    for number in range(1, count + 1):
        feet, high, head = rng.choice((16, 20, 24, 28)), rng.choice((8, 9, 10)), rng.choice((6, 7))
        places = [round((4 + (feet - 8) * k / 2) * 12 / 16) * 16 for k in range(3)]
        braces = "; ".join(f"{x}in:head {head}ft:back {head}ft:2x6:left:ties 1:4/4/5:joist" for x in places)
        length = "long" if number % 8 == 0 else f"{feet} ft"
        lines.append(f"wall {number},{length},{high} ft,2x6@16in,osb 7/16,16d common@16in,{braces}")
    return "\n".join(lines) + "\n"
