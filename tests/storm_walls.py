"""Walls of our own that a storm finds wanting, and what was worked out for them, once for all tests."""

from functools import cache

from bracing.reading.jobs import job_from_text
from bracing.storm.ladder import WorstHour, find_ladder

SPRUCE = 'species = "spruce-pine-fir", grade = "No.2"'
DECK = f"""
[floor]
kind = "deck"
deck = "osb 23/32"
room = "24 ft"
height_above_ground = "3 ft"
open_below = false
joists = {{ kind = "sawn", run = "away", spacing = "16 in", size = "2x10", {SPRUCE}, span = "12 ft" }}
"""
# A short wall whose nails are few, and a longer one held by long bare sticks on the deck panel alone.
NAILED = f"""
[wall]
name = "Short"
length = "16 ft"
height = "9 ft"
studs = {{ size = "2x6", spacing = "16 in", {SPRUCE} }}
layers = ["osb 7/16"]
[wall.plate]
fastener = "16d common"
spacing = "16 in"
state = "final"
into_framing = true
sheathing_laps = "plate"
{DECK}
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = {{ joint = "lapped", fastener = "structural screw 0.22x3", bored = true }}
[kit.cleat]
size = "2x6"
lie = "edge"
bored = true
length = "36 in"
brace_fastener = "structural screw 0.22x3"
floor_fastener = "structural screw 0.22x8"
"""
HABIT = f"""
[wall]
name = "Habit"
length = "24 ft"
height = "12 ft"
studs = {{ size = "2x6", spacing = "16 in", {SPRUCE} }}
layers = ["osb 7/16"]
[wall.plate]
fastener = "gun nail 0.131x3-1/4"
spacing = "16 in"
state = "final"
into_framing = true
sheathing_laps = "plate"
sheathing_fastener = "8d common"
sheathing_spacing = "6 in"
{DECK}
[floor.panel_nails]
fastener = "wood screw #8x2"
spacing = "6 in"
[kit]
species = "spruce-pine-fir"
grade = "No.2"
head = {{ joint = "lapped", fastener = "gun nail 0.131x3-1/4" }}
"""
BRACE = """
[[brace]]
mark = "B{mark}"
stud_at = "{at} in"
lap_side = "left"
head = "{head} ft"
set_back = "{head} ft"
size = "{size}"
head_fasteners = 3
cleat_fasteners = 3
floor_fasteners = {floor}
foot_on = "{joist}"
"""


def braces(places, **how):
    return "".join(BRACE.format(mark=k + 1, at=at, **how) for k, at in enumerate(places))


WALLS = {
    "short": NAILED + braces((32, 96, 160), head=7, size="2x6", floor=4, joist="joist"),
    "habit": HABIT + braces((48, 144, 240), head=10, size="2x4", floor=3, joist="deck"),
    "two": NAILED + braces((32, 160), head=7, size="2x6", floor=3, joist="joist"),
}
CASES = [("short", 38.0, False), ("habit", 25.0, False), ("two", 35.0, False), ("short", 58.0, True)]


def wall(name):
    return job_from_text(WALLS[name], f"{name}.toml")


@cache
def climbed(name, gust, thunderstorm):
    """The ladder, found once for all laws."""
    job = wall(name)
    bench = WorstHour(gust, thunderstorm=thunderstorm)
    return job, bench, find_ladder(job, bench)


def mended(name):
    """A wall after its work: one whose limit is well over nothing."""
    gust = next(gust for known, gust, storms in CASES if known == name and not storms)
    return climbed(name, gust, False)[2].steps[-1].job
