"""Wall files to run on: a level wall with every field that matters declared."""

from __future__ import annotations

from pathlib import Path

# A level wall with every field that matters declared, and joints of structural screws in joists.
SCREWED = {
    "length": "24 ft", "height": "12 ft", "moisture": "green", "plate": "16d common",
    "extra": "structural screw 0.22x5", "extras": 8, "laps": "plate", "lie": "edge", "sides": 2, "strap": "2000 lb",
    "head_fastener": "structural screw 0.22x3", "cleat_fastener": "structural screw 0.22x3",
    "floor_fastener": "structural screw 0.22x8", "head": "9 ft", "set_back": "9 ft", "size": "2x6", "ties": 1,
    "counts": (8, 8, 8), "joist": "joist", "doubled": "true",
    "studs": ("2 ft 8 in", "9 ft 4 in", "14 ft 8 in", "21 ft 4 in"),
}  # fmt: skip


def wall_text(**changes) -> str:
    """A wall file: SCREWED with changes."""
    say = SCREWED | changes
    head, cleat, floor = say["counts"]
    braces = "".join(
        f"""
        [[brace]]
        mark = "B{k}"
        stud_at = "{at}"
        lap_side = "left"
        head = "{say["head"]}"
        set_back = "{say["set_back"]}"
        size = "{say["size"]}"
        ties = {say["ties"]}
        head_fasteners = {head}
        cleat_fasteners = {cleat}
        floor_fasteners = {floor}
        foot_on = "{say["joist"]}"
        stud_doubled = {say["doubled"]}
        """
        for k, at in enumerate(say["studs"], start=1)
    )
    return f"""
        edition = 2
        [wall]
        name = "Test wall"
        length = "{say["length"]}"
        height = "{say["height"]}"
        studs = {{ size = "2x6", spacing = "16 in", species = "douglas fir-larch", grade = "No.2" }}
        layers = ["osb 7/16"]
        moisture = "{say["moisture"]}"
        [wall.plate]
        fastener = "{say["plate"]}"
        spacing = "16 in"
        state = "final"
        into_framing = true
        extra = {{ fastener = "{say["extra"]}", at_each_brace = {say["extras"]} }}
        sheathing_laps = "{say["laps"]}"
        sheathing_fastener = "8d common"
        sheathing_spacing = "3 in"
        sheathing_field_spacing = "3 in"
        [wall.top_plate]
        end_nails = 4
        end_nail = "16d common"
        strap_at_brace_lb = "{say["strap"]}"
        spliced = true
        [floor]
        height_above_ground = "2 ft"
        open_below = false
        joists = {{ size = "2x12", species = "douglas fir-larch", grade = "No.2", span = "8 ft" }}
        [kit]
        species = "douglas fir-larch"
        grade = "No.2"
        [kit.head]
        joint = "lapped"
        fastener = "{say["head_fastener"]}"
        bored = true
        [kit.cleat]
        lie = "{say["lie"]}"
        bored = true
        length = "48 in"
        sides = {say["sides"]}
        brace_fastener = "{say["cleat_fastener"]}"
        floor_fastener = "{say["floor_fastener"]}"
        {braces}
    """


def wall_file(folder: Path, **changes) -> Path:
    """The wall written to a file."""
    path = folder / "wall.toml"
    path.write_text(wall_text(**changes), encoding="utf-8")
    return path
