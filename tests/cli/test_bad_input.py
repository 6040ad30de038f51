"""Faulty wall files and options, each with the exact message a person sees; never a traceback, never slow.

The messages are written here as they should read, not copied from a run.
"""

import os
import subprocess
import sys
import time

import pytest

from bracing.errors import InputError
from bracing.reading.jobs import job_from_text, read_job
from bracing.reading.options import job_from_options

FILE = "wall.toml"
LENGTH = 'a length with its unit, such as "36 ft", "36\'-4 1/2\\"" or "11.1 m"'
BARE = LENGTH + " (a bare number has no unit)"
FORCE = 'a force with its unit, such as "700 lb" or "3.1 kN"'
SPEED = 'a speed, such as "45", "58 mph", "26 m/s", "40 kt" or "93 km/h"'
TIME = 'a time with its unit, such as "3 weeks" or "2 h"'
LINE_LOAD = 'a load along a line, such as "5 lb/ft" or "70 N/m"'
POINT = 'two lengths, such as ["8 ft", "3 ft"]'
LINE = 'a line of TOML, such as height = "9 ft" (text stands in quotes)'
TEXT = "text of 1 to 80 letters"

LEVEL = '[wall]\nlength = "36 ft"\nheight = "10 ft"\n'
WINDOW = '[[wall.opening]]\nleft = "13 ft"\nsill = "3 ft"\nwidth = "6 ft"\nheight = "4 ft"\n'
BRACE = '[[brace]]\nmark = "B1"\nstud_at = "18 ft"\nhead = "8 ft"\nset_back = "8 ft"\n'


def messages(run):
    """Every fault of a run, without the file's name in front."""
    with pytest.raises(InputError) as caught:
        run()
    lines = str(caught.value).split("\n")
    assert len(lines) == len(caught.value.faults)
    return [line.split(": ", 1)[1] for line in lines]


def fault(field, got, expected):
    return f"{field}: got {got}; expected {expected}"


WALLS = {
    # -- lengths and the shape of the top
    "bare number": ("[wall]\nlength = 36\nheight = '10 ft'", [fault("wall.length", "36", BARE)]),
    "bare decimal": ("[wall]\nlength = 36.5\nheight = '10 ft'", [fault("wall.length", "36.5", BARE)]),
    "bare number as text": ("[wall]\nlength = '36'\nheight = '10 ft'", [fault("wall.length", "36", LENGTH)]),
    "unknown unit": ("[wall]\nlength = '36 yd'\nheight = '10 ft'", [fault("wall.length", "36 yd", LENGTH)]),
    "flag as length": ("[wall]\nlength = true\nheight = '10 ft'", [fault("wall.length", "true", LENGTH)]),
    "list as length": ("[wall]\nlength = []\nheight = '10 ft'", [fault("wall.length", "[]", LENGTH)]),
    "date as length": (
        "[wall]\nlength = 2024-05-01\nheight = '10 ft'",
        [fault("wall.length", "2024-05-01", LENGTH)],
    ),
    "empty length": ("[wall]\nlength = ''\nheight = '10 ft'", [fault("wall.length", '""', LENGTH)]),
    "negative length": (
        "[wall]\nlength = '-36 ft'\nheight = '10 ft'",
        [fault("wall.length", "-36 ft", LENGTH)],
    ),
    "zero length": (
        "[wall]\nlength = '0 ft'\nheight = '10 ft'",
        [fault("wall.length", "0 ft", "from 2 ft to 400 ft")],
    ),
    "absurd length": (
        "[wall]\nlength = '5 ft'\nheight = '900 ft'",
        [fault("wall.height", "900 ft", "from 1 ft to 60 ft")],
    ),
    "absurd metric": (
        "[wall]\nlength = '11000 m'\nheight = '3 m'",
        [fault("wall.length", "11000 m", "from 2 ft to 400 ft")],
    ),
    "not a number": ("[wall]\nlength = nan\nheight = '10 ft'", [fault("wall.length", "nan", LENGTH)]),
    "infinity": ("[wall]\nlength = '36 ft'\nheight = inf", [fault("wall.height", "inf", LENGTH)]),
    "infinity as text": (
        "[wall]\nlength = 'inf ft'\nheight = '10 ft'",
        [fault("wall.length", "inf ft", LENGTH)],
    ),
    "huge integer": (
        f"[wall]\nlength = 0x{'f' * 4000}\nheight = '10 ft'",
        [fault("wall.length", "a whole number of 4817 digits", "a number of at most 1000000000000")],
    ),
    "digits past all sense": (
        f"[wall]\nlength = {'9' * 5000}\nheight = '10 ft'",
        [fault("file", "a value past all sense", "TOML with plain values")],
    ),
    "exponent": ("[wall]\nlength = '1e3 ft'\nheight = '10 ft'", [fault("wall.length", "1e3 ft", LENGTH)]),
    "wide digits": (
        "[wall]\nlength = '３６ ft'\nheight = '10 ft'",
        [fault("wall.length", "３６ ft", LENGTH)],
    ),
    "mixed units": (
        "[wall]\nlength = '36 ft 4 cm'\nheight = '10 ft'",
        [fault("wall.length", "36 ft 4 cm", LENGTH)],
    ),
    "inches over eleven": (
        "[wall]\nlength = '36 ft 14 in'\nheight = '10 ft'",
        [fault("wall.length", "36 ft 14 in", "inches under 12 beside feet")],
    ),
    "nothing over zero": (
        "[wall]\nlength = '36 ft 1/0 in'\nheight = '10 ft'",
        [fault("wall.length", "36 ft 1/0 in", LENGTH)],
    ),
    "control letters": (
        '[wall]\nlength = "36\\u0007ft"\nheight = "10 ft"',
        [fault("wall.length", "36\\x07ft", LENGTH)],
    ),
    "no length": ("[wall]\nheight = '10 ft'", [fault("wall.length", "nothing", "along the plate")]),
    "no height": (
        "[wall]\nlength = '36 ft'",
        [fault("wall.height", "nothing", "top of the plate; of a gable, at its ends")],
    ),
    "neither": (
        "[wall]\nname = 'W'",
        [
            fault("wall.length", "nothing", "along the plate"),
            fault("wall.height", "nothing", "top of the plate; of a gable, at its ends"),
        ],
    ),
    "no wall": (
        "[floor]\nkind = 'deck'",
        [fault("wall", "nothing", "a table, [wall], with its length and height")],
    ),
    "wall is text": ("wall = 'W'", [fault("wall", "W", "a table, [wall], with its length and height")]),
    "two walls": (
        "[[wall]]\nname = 'W'",
        [fault("wall", '[{"name": "W"}]', "a table, [wall], with its length and height")],
    ),
    "peak under the ends": (
        LEVEL + "peak = '9 ft'",
        [fault("wall.peak", "108 in", "more than the height, 120 in")],
    ),
    "peak at the ends' height": (
        LEVEL + "peak = '10 ft'",
        [fault("wall.peak", "120 in", "more than the height, 120 in")],
    ),
    "peak past the end": (
        LEVEL + "peak = '15 ft'\npeak_at = '40 ft'",
        [fault("wall.peak_at", "480 in", "between the ends, 0 and 432 in")],
    ),
    "place of no peak": (
        LEVEL + "peak_at = '10 ft'",
        [fault("wall.peak", "nothing", "height of the peak of a gable")],
    ),
    "half a rake": (
        "[wall]\nlength = '36 ft'\nleft_height = '9 ft'",
        [fault("wall.right_height", "nothing", "height at the right of a rake")],
    ),
    "rake and level": (
        LEVEL + "left_height = '9 ft'\nright_height = '12 ft'",
        [fault("wall.height", "given", "no height beside left_height and right_height")],
    ),
    "top and height": (
        LEVEL + 'top = [["0 ft", "9 ft"], ["36 ft", "9 ft"]]',
        [fault("wall.height", "given", "no height beside top")],
    ),
    "top of another length": (
        '[wall]\nlength = "30 ft"\ntop = [["0 ft", "9 ft"], ["36 ft", "9 ft"]]',
        [fault("wall.length", "360 in", "the end of top, 432 in, or no length")],
    ),
    "top not from LEFT": (
        '[wall]\ntop = [["2 ft", "9 ft"], ["36 ft", "9 ft"]]',
        [fault("wall.top[0][0]", "24 in", "0 ft: the outline starts at LEFT")],
    ),
    "top with a step": (
        '[wall]\ntop = [["0 ft", "9 ft"], ["20 ft", "9 ft"], ["20 ft", "12 ft"], ["36 ft", "12 ft"]]',
        [fault("wall.top[2][0]", "240 in", "more than 240 in: no steps, from LEFT to right")],
    ),
    "top backward": (
        '[wall]\ntop = [["0 ft", "9 ft"], ["20 ft", "9 ft"], ["10 ft", "12 ft"]]',
        [fault("wall.top[2][0]", "120 in", "more than 240 in: no steps, from LEFT to right")],
    ),
    "top of one point": (
        '[wall]\ntop = [["0 ft", "9 ft"]]',
        [
            fault(
                "wall.top",
                '[["0 ft", "9 ft"]]',
                '2 to 100 points from LEFT to right, such as [["0 ft", "9 ft"], ["20 ft", "14 ft"]]',
            )
        ],
    ),
    "top of bare numbers": (
        '[wall]\ntop = [[0, "9 ft"], ["36 ft", 9]]',
        [fault("wall.top[0][0]", "0", BARE), fault("wall.top[1][1]", "9", BARE)],
    ),
    "top of triples": (
        '[wall]\ntop = [["0 ft", "9 ft", "1 ft"], ["36 ft", "9 ft"]]',
        [fault("wall.top[0]", '["0 ft", "9 ft", "1 ft"]', POINT)],
    ),
    "top too low": (
        '[wall]\ntop = [["0 ft", "9 ft"], ["36 ft", "6 in"]]',
        [fault("wall.top[1][1]", "6 in", "a height from 1 ft to 60 ft")],
    ),
    "top too short": (
        '[wall]\ntop = [["0 ft", "9 ft"], ["1 ft", "9 ft"]]',
        [fault("wall.top[1][0]", "12 in", "a wall of 2 ft or longer")],
    ),
    # -- keys
    "misspelt key": (
        "[wall]\nlength = '36 ft'\nhieght = '10 ft'",
        [
            fault("wall.height", "nothing", "top of the plate; of a gable, at its ends"),
            fault("wall.hieght", "10 ft", "a known key; near: height"),
        ],
    ),
    "misspelt table": (
        LEVEL + "[flor]\nkind = 'deck'",
        [fault("flor", '{"kind": "deck"}', "a known key; near: floor")],
    ),
    "key from nowhere": (LEVEL + "zzz = 1", [fault("wall.zzz", "1", "a known key")]),
    "key of another table": (
        LEVEL + "[site]\nroom = '24 ft'",
        [fault("site.room", "24 ft", "a known key")],
    ),
    "misspelt key in an inline table": (
        LEVEL + "studs = { size = '2x6', spaceing = '16 in' }",
        [fault("wall.studs.spaceing", "16 in", "a known key; near: spacing")],
    ),
    "single for double brackets": (
        LEVEL + WINDOW.replace("[[wall.opening]]", "[wall.opening]"),
        [
            fault(
                "wall.opening",
                '{"left": "13 ft", "sill": "3 ft", "width": "6 ft", "heigh...',
                "at most 200 tables, each headed [[wall.opening]]",
            )
        ],
    ),
    "text for a table": (LEVEL + "studs = '2x6'", [fault("wall.studs", "2x6", "a table, [wall.studs]")]),
    "text among tables": (
        LEVEL + "opening = ['door']",
        [fault("wall.opening[0]", "door", "a table, [wall.opening[0]]")],
    ),
    "site is a number": ("site = 3\n" + LEVEL, [fault("site", "3", "a table, [site]")]),
    # -- names in tables
    "unknown size": (
        LEVEL + "studs = { size = '2x7' }",
        [fault("wall.studs.size", "2x7", "a name in the table of lumber sizes; near: 2x8, 2x6, 2x5")],
    ),
    "two plies as a stud": (
        LEVEL + "studs = { size = '2-2x6' }",
        [fault("wall.studs.size", "2-2x6", "one stick, such as 2x6")],
    ),
    "unknown species": (
        LEVEL + "studs = { species = 'hem fur' }",
        [
            fault(
                "wall.studs.species",
                "hem fur",
                "a name in the table of species; near: hem-fir",
            )
        ],
    ),
    "unknown grade": (
        LEVEL + "studs = { grade = 'Stub' }",
        [fault("wall.studs.grade", "Stub", "a name in the table of grades; near: Stud")],
    ),
    "species without design values": (
        LEVEL + "studs = { species = 'redwood', grade = 'No.2' }",
        [
            fault(
                "wall.studs.grade",
                "redwood No.2 2x4",
                "lumber with published values: No.2 is not among grades of redwood",
            )
        ],
    ),
    "grade not sold that wide": (
        LEVEL + "studs = { size = '2x6', species = 'spf', grade = 'Construction' }",
        [
            fault(
                "wall.studs.grade",
                "spruce-pine-fir Construction 2x6",
                "lumber with published values: 2x6 is not among widths this grade comes in",
            )
        ],
    ),
    "unknown fastener": (
        LEVEL + "[wall.plate]\nfastener = '16d comon'",
        [
            fault(
                "wall.plate.fastener",
                "16d comon",
                "a name in the table of fasteners; near: 16d common, 6d common, 12d common",
            )
        ],
    ),
    "drywall screw": (
        LEVEL + "[kit]\nhead = { fastener = 'drywall screw #8x3' }",
        [
            fault(
                "kit.head.fastener",
                "drywall screw #8x3",
                "a nail or a structural screw: drywall and deck screws are not structural, "
                "they are hard and snap",
            )
        ],
    ),
    "unknown layer": (
        LEVEL + "layers = ['osb 7/16', 'hosewrap']",
        [fault("wall.layers[1]", "hosewrap", "a name in the table of layers; near: housewrap")],
    ),
    "layer without its weight": (
        LEVEL + "layers = ['my panel 0 psf']",
        [fault("wall.layers[0]", "my panel 0 psf", "a weight above 0 and at most 250 psf")],
    ),
    "layers not a list": (
        LEVEL + "layers = 'osb 7/16'",
        [fault("wall.layers", "osb 7/16", 'at most 40 layers, such as ["osb 7/16", "housewrap"]')],
    ),
    "layer a number": (LEVEL + "layers = [7]", [fault("wall.layers[0]", "7", TEXT)]),
    "bare with a wrap": (
        LEVEL + "layers = ['housewrap']\nsheathed = false",
        [fault("wall.sheathed", "false", "true: housewrap stops the wind")],
    ),
    "deck not a panel": (
        LEVEL + "[floor]\ndeck = 'housewrap'",
        [fault("floor.deck", "housewrap", "a structural panel with its thickness, such as osb 23/32")],
    ),
    "unknown header": (
        LEVEL + WINDOW + "header = '2-2x7'",
        [
            fault(
                "wall.opening[0].header", "2-2x7", "a name in the table of lumber sizes; near: 2x8, 2x6, 2x5"
            )
        ],
    ),
    "unknown soil": (
        LEVEL + "[floor]\nkind = 'ground'\nground = { soil = 'grvel' }",
        [
            fault(
                "floor.ground.soil",
                "grvel",
                "a name in the table of soils with a published value of lateral; near: gravel",
            )
        ],
    ),
    # -- words, flags, counts, numbers
    "unknown word": (LEVEL + "moisture = 'wet'", [fault("wall.moisture", "wet", "one of: green, dry")]),
    "word a list": (LEVEL + "moisture = ['dry']", [fault("wall.moisture", '["dry"]', "one of: green, dry")]),
    "lower-case exposure": (
        LEVEL + "[site]\nexposure = 'c'",
        [fault("site.exposure", "c", "one of: B, C, D")],
    ),
    "flag as text": (
        LEVEL + "[floor]\nopen_below = 'yes'",
        [fault("floor.open_below", "yes", "true or false")],
    ),
    "count as text": (LEVEL + "[kit]\nties = 'one'", [fault("kit.ties", "one", "a whole number")]),
    "count in tenths": (LEVEL + "[kit]\nties = 1.0", [fault("kit.ties", "1.0", "a whole number")]),
    "count a flag": (LEVEL + "[kit]\nties = true", [fault("kit.ties", "true", "a whole number")]),
    "count too high": (LEVEL + "[kit]\nties = 3", [fault("kit.ties", "3", "from 0 to 2")]),
    "count negative": (LEVEL + "[kit]\nties = -1", [fault("kit.ties", "-1", "from 0 to 2")]),
    "factor below one": (LEVEL + "[site]\nkzt = 0.5", [fault("site.kzt", "0.5", "from 1 to 4")]),
    "factor not a number": (LEVEL + "[site]\nkzt = nan", [fault("site.kzt", "nan", "a number")]),
    "lean in words": (
        LEVEL + "[site]\nlean = 'two'",
        [fault("site.lean", "two", 'a part of one, such as 0.02 or "2 %"')],
    ),
    "lean too far": (LEVEL + "[site]\nlean = '25 %'", [fault("site.lean", "25 %", "from 0 to 0.2")]),
    "slow design speed": (
        LEVEL + "[site]\ndesign_speed = '45 mph'",
        [fault("site.design_speed", "45 mph", "from 50 mph to 250 mph")],
    ),
    "speed in a wrong unit": (
        LEVEL + "[site]\ndesign_speed = '115 ft'",
        [fault("site.design_speed", "115 ft", SPEED)],
    ),
    "speed infinite": (LEVEL + "[site]\ndesign_speed = inf", [fault("site.design_speed", "inf", SPEED)]),
    "time without a unit": (
        LEVEL + "[site]\nstands = 3",
        [fault("site.stands", "3", TIME + " (a bare number has no unit)")],
    ),
    "load without a length": (
        LEVEL + "[site]\ntop_load = '5 lb'",
        [fault("site.top_load", "5 lb", LINE_LOAD)],
    ),
    "weight without a unit": (
        LEVEL + "extra_weight = 250",
        [fault("wall.extra_weight", "250", FORCE + " (a bare number has no unit)")],
    ),
    "strap not a number": (
        LEVEL + "[wall.top_plate]\nstrap_at_brace_lb = nan",
        [fault("wall.top_plate.strap_at_brace_lb", "nan", FORCE)],
    ),
    "strap negative": (
        LEVEL + "[wall.top_plate]\nstrap_at_brace_lb = -5",
        [fault("wall.top_plate.strap_at_brace_lb", "-5", "from 0 lb to 20000 lb")],
    ),
    "hill without its factor": (
        LEVEL + "[site]\nhill = true",
        [fault("site.kzt", "nothing", "the topographic factor, as the wall stands on a hill or ridge")],
    ),
    "spacing too wide": (
        LEVEL + "studs = { spacing = '5 ft' }",
        [fault("wall.studs.spacing", "5 ft", "from 6 in to 4 ft")],
    ),
    "name too long": (LEVEL + f"name = '{'n' * 90}'", [fault("wall.name", "n" * 57 + "...", TEXT)]),
    "name empty": (LEVEL + "name = ' '", [fault("wall.name", '" "', TEXT)]),
    # -- openings and rows against the wall
    "opening without a width": (
        LEVEL + WINDOW.replace('width = "6 ft"\n', ""),
        [fault("wall.opening[0].width", "nothing", "width of the rough opening")],
    ),
    "opening past the end": (
        LEVEL + WINDOW.replace("13 ft", "33 ft"),
        [
            fault(
                "wall.opening[0]",
                "from 396 to 468 in",
                "an opening between the end studs, from 1.5 to 430.5 in",
            )
        ],
    ),
    "opening in the end stud": (
        LEVEL + WINDOW.replace("13 ft", "1 in"),
        [
            fault(
                "wall.opening[0]", "from 1 to 73 in", "an opening between the end studs, from 1.5 to 430.5 in"
            )
        ],
    ),
    "opening through the top": (
        LEVEL + WINDOW.replace('"4 ft"', '"7 ft"'),
        [fault("wall.opening[0]", "top at 120 in", "a top under the top plate, 117 in at most")],
    ),
    "openings over each other": (
        LEVEL + WINDOW + WINDOW.replace("13 ft", "15 ft"),
        [fault("wall.opening[1]", "from 180 to 252 in", "an opening clear of wall.opening[0]")],
    ),
    "opening of no height": (
        LEVEL + WINDOW.replace('"4 ft"', '"0 ft"'),
        [fault("wall.opening[0].height", "0 ft", "from 1 in to 60 ft")],
    ),
    "row over the top": (
        LEVEL + "[[wall.row]]\nheight = '11 ft'",
        [fault("wall.row[0].height", "132 in", "a row under the top of the wall, 120 in")],
    ),
    "row without a height": (
        LEVEL + "[[wall.row]]\nkind = 'wale'",
        [fault("wall.row[0].height", "nothing", "height above the floor")],
    ),
    "return not said at the end": (
        LEVEL + "[wall.left_return]\nplated = true",
        [fault("wall.left_end", "nothing", "return, beside a table [wall.left_return]")],
    ),
    # -- floor
    "joists under a slab": (
        LEVEL + "[floor]\nkind = 'slab'\njoists = { size = '2x10' }",
        [fault("floor.joists", "given, and kind is slab", 'kind = "deck" beside it')],
    ),
    "anchors without a report": (
        LEVEL + "[floor]\nkind = 'slab'\nslab = { tension_lb = 700 }",
        [fault("floor.slab.report", "nothing", "the report number or pull test the allowables come from")],
    ),
    "keep-out of no area": (
        LEVEL + "[[floor.keep_out]]\nname = 'stair'\nfrom = ['8 ft', '3 ft']\nto = ['8 ft', '9 ft']",
        [fault("floor.keep_out[0].to", "no area between from and to", "the opposite corner")],
    ),
    "keep-out of one number": (
        LEVEL + "[[floor.keep_out]]\nname = 'stair'\nfrom = ['8 ft']\nto = ['9 ft', 3]",
        [fault("floor.keep_out[0].from", '["8 ft"]', POINT), fault("floor.keep_out[0].to[1]", "3", BARE)],
    ),
    "partition of no length": (
        LEVEL + "[[floor.partition]]\nfrom = ['8 ft', '3 ft']\nto = ['8 ft', '3 ft']",
        [fault("floor.partition[0].to", "the same point as from", "the other end of the partition")],
    ),
    # -- kit and braces
    "stock without a length": (
        LEVEL + "[kit]\nstock = [{ size = '2x6' }]",
        [fault("kit.stock[0].length", "nothing", "length of the stick")],
    ),
    "brace past the end": (
        LEVEL + BRACE.replace("18 ft", "40 ft"),
        [fault("brace[0].stud_at", "480 in", "a stud of the wall, 432 in long")],
    ),
    "head over the wall": (
        LEVEL + BRACE.replace('head = "8 ft"', 'head = "12 ft"'),
        [fault("brace[0].head", "144 in", "below the top of the wall there, 120 in")],
    ),
    "mark used twice": (
        LEVEL + BRACE + BRACE.replace("18 ft", "20 ft"),
        [fault("brace[1].mark", "B1", "a mark of its own; brace[0] has it")],
    ),
    "two braces in one place": (
        LEVEL + BRACE + BRACE.replace('"B1"', '"B2"'),
        [
            fault(
                "brace[1].stud_at",
                "18'-0\", left, head 8'-0\"",
                "another stud or side, or a head 3.5 in or more from the 8'-0\" of B1, which is there",
            )
        ],
    ),
    "brace without a set-back": (
        LEVEL + BRACE.replace('set_back = "8 ft"\n', ""),
        [fault("brace[0].set_back", "nothing", "foot to the plate's inside face")],
    ),
    "single brackets at a brace": (
        LEVEL + "[brace]\nmark = 'B1'",
        [fault("brace", '{"mark": "B1"}', "at most 200 tables, each headed [[brace]]")],
    ),
    "kit in a grade not sold": (
        LEVEL + BRACE + "[kit]\ngrade = 'Utility'\nstock = [{ size = '2x6', length = '16 ft' }]",
        [
            fault(
                "kit.grade",
                "spruce-pine-fir (south) Utility 2x4",
                "lumber with published values: Utility is not among grades of spruce-pine-fir (south)",
            )
        ],
    ),
    "stick wider than its grade": (
        LEVEL
        + "[kit]\nspecies = 'SPF'\ngrade = 'Construction'\nstock = [{ size = '2x6', length = '16 ft' }]",
        [
            fault(
                "kit.stock[0].size",
                "spruce-pine-fir Construction 2x6",
                "lumber with published values: 2x6 is not among widths this grade comes in",
            )
        ],
    ),
    # -- own fasteners
    "own fastener without a diameter": (
        LEVEL + "[[fastener]]\nname = 'ours'\nkind = 'structural screw'\nlength = '5 in'",
        [fault("fastener[0].diameter", "nothing", "this field")],
    ),
    "own fasteners not tables": (
        LEVEL + "[fastener]\nname = 'ours'",
        [fault("fastener", '{"name": "ours"}', "at most 100 tables, each headed [[fastener]]")],
    ),
    "fasteners file a number": (
        "fasteners_file = 3\n" + LEVEL,
        [fault("fasteners_file", "3", "the name of a file, such as my-fasteners.toml")],
    ),
    # -- the text itself
    "empty": ("", [fault("file", "empty", "a wall file with a [wall] table")]),
    "blank": (" \n\n", [fault("file", "empty", "a wall file with a [wall] table")]),
    "length out of quotes": (
        "[wall]\nlength = 36 ft\n",
        [fault("line 2, column 13", "length = 36 ft", LINE)],
    ),
    "no value": ("[wall]\nlength =\n", [fault("line 2, column 9", "length =", LINE)]),
    "open bracket": ("[wall\nlength = '36 ft'\n", [fault("line 1, column 6", "[wall", LINE)]),
    "key twice": (
        LEVEL + 'height = "9 ft"\n',
        [fault("line 4, column 16", 'height = "9 ft"', "each key and each table once")],
    ),
    "table twice": (
        LEVEL + "[site]\n[wall]\n",
        [fault("line 5, column 6", "[wall]", "each key and each table once")],
    ),
    "open quote at the end": ('[wall]\nname = """W', [fault("end of file", 'name = """W', LINE)]),
    "not text": ("[wall]\0", [fault("file", "not text", "a text file (TOML, UTF-8)")]),
    "brackets in brackets": (
        "[wall]\ntop = " + "[" * 5000 + "]" * 5000,
        [fault("file", "nested too deep", "at most 5 levels")],
    ),
    "keys in keys": (
        ".".join("a" * 30000) + " = 1",
        [fault("file", "nested too deep", "at most 5 levels")],
    ),
}


@pytest.mark.parametrize("name", WALLS)
def test_faulty_wall_file(name):
    text, expected = WALLS[name]
    assert messages(lambda: job_from_text(text, FILE)) == expected


def test_every_fault_of_a_file_at_once():
    text = (
        '[wall]\nlength = "36 ft"\nheight = "10 ft"\nmoisture = "damp"\nstuds = { size = "2x7" }\n'
        + WINDOW
        + WINDOW
        + '[floor]\nkind = "roof"\n[site]\nkzt = 9\n'
        + BRACE
        + "ties = 7\n"
    )
    assert messages(lambda: job_from_text(text, FILE)) == [
        fault("brace[0].ties", "7", "from 0 to 2"),
        fault("wall.moisture", "damp", "one of: green, dry"),
        fault("wall.studs.size", "2x7", "a name in the table of lumber sizes; near: 2x8, 2x6, 2x5"),
        fault("floor.kind", "roof", "one of: deck, slab, ground"),
        fault("site.kzt", "9", "from 1 to 4"),
        fault("wall.opening[1]", "from 156 to 228 in", "an opening clear of wall.opening[0]"),
    ]


def test_a_fault_names_file_field_value_and_what_is_expected():
    with pytest.raises(InputError) as caught:
        job_from_text("[wall]\nlength = 36\nheight = '10 ft'", "job/south.toml")
    assert str(caught.value) == f"job/south.toml: wall.length: got 36; expected {BARE}"
    assert caught.value.faults[0].to_dict() == {
        "file": "job/south.toml",
        "field": "wall.length",
        "value": "36",
        "expected": BARE,
    }


# -- options ---------------------------------------------------------------------------------------------

PLAIN = {"length": "36ft", "height": "10ft"}
OPTIONS = {
    "bare length": ({"length": "36", "height": "10ft"}, [fault("--length", "36", BARE)]),
    "no height": (
        {"length": "36ft"},
        [fault("--height", "nothing", "top of the plate; of a gable, at its ends")],
    ),
    "nothing at all": (
        {},
        [
            fault("--length", "nothing", "along the plate"),
            fault("--height", "nothing", "top of the plate; of a gable, at its ends"),
        ],
    ),
    "unknown option": (
        {**PLAIN, "brases": "x"},
        [fault("--brases", "x", "a known option; near: brace, brace_species")],
    ),
    "studs without spacing": (
        {**PLAIN, "studs": "2x6"},
        [fault("--studs", "2x6", 'size and spacing, such as "2x6@16in"')],
    ),
    "studs of no size": (
        {**PLAIN, "studs": "2x7@16in"},
        [fault("--studs", "2x7", "a name in the table of lumber sizes; near: 2x8, 2x6, 2x5")],
    ),
    "studs by the yard": ({**PLAIN, "studs": "2x6@1yd"}, [fault("--studs", "1yd", LENGTH)]),
    "spacing in bare millimetres": (
        {**PLAIN, "studs": "2x6@400"},
        [fault("--studs", "400 in", "from 6 in to 4 ft")],
    ),
    "joists without direction": (
        {**PLAIN, "joists": "2x10@16in"},
        [fault("--joists", "2x10@16in", 'size, spacing and direction, such as "2x10@16in away"')],
    ),
    "joists across": (
        {**PLAIN, "joists": "2x10@16in across"},
        [fault("--joists", "across", "one of: away, along")],
    ),
    "plate without spacing": (
        {**PLAIN, "plate": "16d common"},
        [fault("--plate", "16d common", 'fastener and spacing, such as "16d common@16in"')],
    ),
    "stock without length": (
        {**PLAIN, "stock": "2x6"},
        [fault("--stock", "2x6", 'size and length, such as "2x6@16ft"')],
    ),
    "opening of nothing": (
        {**PLAIN, "opening": ["13ft:big"]},
        [fault("--opening", "13ft:big", 'left edge, sill and size, such as "13ft:sill 3ft:6ft x 4ft"')],
    ),
    "opening without size": (
        {**PLAIN, "opening": ["13ft"]},
        [
            fault("wall.opening[0].width", "nothing", "width of the rough opening"),
            fault("wall.opening[0].height", "nothing", "height of the rough opening"),
        ],
    ),
    "brace of nonsense": (
        {**PLAIN, "brace": ["18ft:high"]},
        [fault("--brace", "18ft:high", 'stud, head and set-back, such as "18ft:head 12ft:back 10ft:2x6"')],
    ),
    "brace without head": (
        {**PLAIN, "brace": ["18ft:back 8ft"]},
        [fault("brace[0].head", "nothing", "head height above the floor")],
    ),
    "brace past the end": (
        {**PLAIN, "brace": ["40ft:head 8ft:back 8ft"]},
        [fault("brace[0].stud_at", "480 in", "a stud of the wall, 432 in long")],
    ),
    "layers a number": (
        {**PLAIN, "layers": 7},
        [fault("--layers", "7", 'layers, such as "osb 7/16, housewrap", or none')],
    ),
    "layer misspelt": (
        {**PLAIN, "layers": "osb 7/16, hosewrap"},
        [fault("wall.layers[1]", "hosewrap", "a name in the table of layers; near: housewrap")],
    ),
    "hill without its factor": (
        {**PLAIN, "hill": True},
        [fault("--kzt", "nothing", "the topographic factor, as the wall stands on a hill or ridge")],
    ),
    "ties in words": ({**PLAIN, "ties": "two"}, [fault("--ties", "two", "a whole number")]),
    "peak too low": (
        {**PLAIN, "peak": "9ft"},
        [fault("--peak", "108 in", "more than the height, 120 in")],
    ),
    "floor of water": (
        {**PLAIN, "floor": "water"},
        [fault("--floor", "water", "one of: deck, slab, ground")],
    ),
}


@pytest.mark.parametrize("name", OPTIONS)
def test_faulty_options(name):
    options, expected = OPTIONS[name]
    assert messages(lambda: job_from_options(**options)) == expected


# -- files that cannot be looked at ----------------------------------------------------------------------


def test_missing_file(tmp_path):
    assert messages(lambda: read_job(tmp_path / "no.toml")) == [
        fault("file", "no such file", "a wall file that exists")
    ]


def test_folder(tmp_path):
    assert messages(lambda: read_job(tmp_path)) == [
        fault("file", "a folder", "a wall file, such as wall.toml")
    ]


def test_link_to_itself(tmp_path):
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    assert messages(lambda: read_job(tmp_path / "loop.toml")) == [
        fault("file", "too many levels of symbolic links", "a file that can be read")
    ]


def test_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    assert messages(lambda: read_job(tmp_path / "pipe.toml")) == [
        fault("file", "a device or pipe", "a plain file")
    ]


def test_endless_device():
    assert messages(lambda: read_job("/dev/zero")) == [fault("file", "a device or pipe", "a plain file")]


def test_name_of_a_file_too_long(tmp_path):
    assert messages(lambda: read_job(tmp_path / ("n" * 300))) == [
        fault("file", "file name too long", "a file that can be read")
    ]


def test_name_of_a_file_with_a_nul():
    assert messages(lambda: read_job("a\0b")) == [
        fault("file", "embedded null byte", "a file that can be read")
    ]


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads every file")
def test_unreadable_file(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(LEVEL)
    path.chmod(0)
    assert messages(lambda: read_job(path)) == [fault("file", "permission denied", "a file that can be read")]


def test_file_of_more_than_a_megabyte(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(LEVEL + "#" * 1_000_000)
    assert messages(lambda: read_job(path)) == [fault("file", "more than 1 MB", "a file of 1 MB at most")]


def test_picture_for_a_wall(tmp_path):
    path = tmp_path / "wall.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR")
    assert messages(lambda: read_job(path)) == [fault("file", "not text", "a text file (TOML, UTF-8)")]


def test_latin_letters_name_their_line(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_bytes("[wall]\nname = 'Südwand'\n".encode("latin-1"))
    assert messages(lambda: read_job(path)) == [fault("line 2", "not UTF-8", "a text file in UTF-8")]


def test_fasteners_file_that_is_missing(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text("fasteners_file = 'ours.toml'\n" + LEVEL)
    with pytest.raises(InputError) as caught:
        read_job(path)
    assert str(caught.value) == f"{tmp_path / 'ours.toml'}: " + fault(
        "file", "no such file", "a wall file that exists"
    )


def test_faults_of_a_fasteners_file_carry_its_name(tmp_path):
    (tmp_path / "ours.toml").write_text("[wall]\n[[fastener]]\nname = 'X'\nkind = 'glue'\n")
    path = tmp_path / "wall.toml"
    path.write_text("fasteners_file = 'ours.toml'\n" + LEVEL)
    with pytest.raises(InputError) as caught:
        read_job(path)
    ours = str(tmp_path / "ours.toml")
    assert [(one.file, one.field, one.value) for one in caught.value.faults] == [
        (ours, "wall", "a table"),
        (ours, "fastener[0].kind", "glue"),
        (ours, "fastener[0].diameter", "nothing"),
        (ours, "fastener[0].length", "nothing"),
    ]


# -- never slow ------------------------------------------------------------------------------------------

SLOW = {
    "many unknown keys": LEVEL + "".join(f"hieght{i} = 1\n" for i in range(7400)),
    "many openings": LEVEL + WINDOW * 9000,
    "two hundred openings": LEVEL + WINDOW * 200,
    "many layers": LEVEL + "layers = [" + "'hosewrap', " * 60000 + "]",
    "long text": LEVEL + f"name = '{'n' * 900000}'",
    "long key": LEVEL + f"{'n' * 900000} = 1",
    "many wrong braces": LEVEL + "[[brace]]\nmark = 'B'\nsize = '2x7'\n" * 200,
    "many tables": LEVEL + "".join(f"[t{i}]\n" for i in range(60000)),
    "deep tables": LEVEL + "".join(f"[t{i}.b.c.d.e.f]\n" for i in range(7400)),
    "many numbers": LEVEL + "layers = [" + "1," * 450000 + "]",
    "open quotes and strokes": '"\\' * 400001,
    "strokes": LEVEL + 'name = "' + "\\" * 900000,
    "open quotes": LEVEL + "name = '" + '"' * 900000,
    "long number": LEVEL + "extra_weight = '" + "1" * 900000 + " lb'",
    "long points": "[wall]\ntop = [" + '["1 ft", "9 ft"],' * 50000 + "]",
    "many studs": '[wall]\nlength = "400 ft"\nheight = "60 ft"\nstuds = { spacing = "6 in", species = "x" }\n'
    + "".join(WINDOW.replace("13 ft", f"{i * 2 + 1} ft").replace("6 ft", "1 ft") for i in range(199)),
}


@pytest.mark.parametrize("name", SLOW)
def test_the_worst_of_files_is_refused_within_two_seconds(name):
    began = time.process_time()  # of this process, so that a busy machine does not count
    with pytest.raises(InputError) as caught:
        job_from_text(SLOW[name], FILE)
    assert time.process_time() - began < 2.0
    assert 1 <= len(caught.value.faults) <= 201


def test_reading_loads_neither_numpy_nor_scipy():
    code = (
        "import sys; from bracing.reading.options import job_from_options; import bracing.reading.writing;"
        "job_from_options(length='36ft', height='10ft');"
        "print(sorted({'numpy', 'scipy', 'tomlkit', 'cattrs'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
