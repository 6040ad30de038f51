"""Pictures without words, for who reads neither language: what to stop for, how a joint looks, and what to do.

Each is one small drawing in black on white, of the same few shapes: the floor, the wall and its brace in section as one
set of sizes has them, people, and a cross over what nobody may do. None has a letter in it: what it shows is in its
title and description, for those who hear a page read out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from xml.sax.saxutils import escape

from attrs import frozen

from bracing.text.languages import OWN, template

SIZE = 96  # of the paper a picture is drawn on; it is shown at 48 px and more
LINE, THIN, BAND = 4.5, 3.0, 9.0  # widths of lines; a stick is a band between two of them
INK, PAPER, SHADE = "#000", "#fff", "#bbb"  # shade tells two sticks apart, and nothing hangs on it
Spot = tuple[float, float]


@frozen
class Section:
    """A wall and its brace from the side, as every picture that has them draws them.

    Attributes:
        floor: height of the floor's line on the paper, down from its top.
        wall: where the wall stands.
        top: height of the wall's top.
        head: where on the wall the brace meets it, as a part of the wall's height.
    """

    floor: float = 84.0
    wall: float = 24.0
    top: float = 14.0
    head: float = 0.72

    @property
    def meets(self) -> Spot:
        """Where the brace meets the wall."""
        return self.wall, self.floor - self.head * (self.floor - self.top)

    @property
    def foot(self) -> Spot:
        """Where the brace meets the floor: as far out as its head is high, at 45 degrees."""
        return self.wall + self.head * (self.floor - self.top), self.floor


SECTION = Section()


def path(
    points: Sequence[Spot],
    *,
    width: float = LINE,
    dash: str = "",
    fill: str = "none",
    ink: str = INK,
    closed: bool = False,
) -> str:
    """Draw a line through points.

    Args:
        points: through which.
        width: of the line.
        dash: how it is broken, as SVG has it; "" is whole.
        fill: of what it goes round.
        ink: of the line.
        closed: back to its first point.
    """
    way = "M" + " L".join(f"{x:g} {y:g}" for x, y in points) + ("Z" if closed else "")
    broken = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path d="{way}" fill="{fill}" stroke="{ink}" stroke-width="{width:g}"{broken}/>'


def curve(way: str, *, width: float = THIN, fill: str = "none") -> str:
    """Draw a curved line.

    Args:
        way: as SVG has it.
        width: of the line.
        fill: of what it goes round.
    """
    return f'<path d="{way}" fill="{fill}" stroke="{INK}" stroke-width="{width:g}"/>'


def dot(at: Spot, radius: float = 3.0) -> str:
    """Draw a fastener on its head, or the head of somebody.

    Args:
        at: its middle.
        radius: its radius.
    """
    return f'<circle cx="{at[0]:g}" cy="{at[1]:g}" r="{radius:g}"/>'


def stick(start: Spot, end: Spot, *, band: float = BAND, fill: str = PAPER, dash: str = "") -> str:
    """Draw a stick of lumber between two points, square at its ends.

    Args:
        start: the middle of one end.
        end: the middle of the other.
        band: how wide it is.
        fill: of its face.
        dash: how its outline is broken; "" is whole.
    """
    (x0, y0), (x1, y1) = start, end
    long = math.hypot(x1 - x0, y1 - y0)
    ux, uy = (y0 - y1) / long * band / 2.0, (x1 - x0) / long * band / 2.0
    corners = [(x0 + ux, y0 + uy), (x1 + ux, y1 + uy), (x1 - ux, y1 - uy), (x0 - ux, y0 - uy)]
    return path(corners, width=THIN, dash=dash, fill=fill, closed=True)


def arrow(start: Spot, end: Spot, *, width: float = LINE, head: float = 9.0) -> str:
    """Draw an arrow.

    Args:
        start: where it begins.
        end: its point.
        width: of its line.
        head: how long its head is.
    """
    way = math.atan2(end[1] - start[1], end[0] - start[0])
    barbs = [(end[0] - head * math.cos(way + s), end[1] - head * math.sin(way + s)) for s in (0.5, -0.5)]
    neck = (end[0] - 0.7 * head * math.cos(way), end[1] - 0.7 * head * math.sin(way))
    return path([start, neck], width=width) + path(
        [barbs[0], end, barbs[1]], width=1.0, fill=INK, closed=True
    )


def cross(at: Spot, reach: float = 11.0) -> str:
    """Draw the cross over what nobody may do, white round it so that it stands out.

    Args:
        at: its middle.
        reach: how far its arms go.
    """
    (x, y), drawn = at, ""
    arms = [
        ((x - reach, y - reach), (x + reach, y + reach)),
        ((x - reach, y + reach), (x + reach, y - reach)),
    ]
    for width, ink in ((12.0, PAPER), (7.0, INK)):
        drawn += "".join(path(arm, width=width, ink=ink) for arm in arms)
    return drawn


def person(at: Spot, *, tall: float = 38.0, arm: Spot | None = None, facing: float = 1.0) -> str:
    """Draw somebody who walks.

    Args:
        at: on the floor, between the feet.
        tall: from the floor to the top of the head.
        arm: where the hand is; None lets it swing.
        facing: 1 to the right, -1 to the left.
    """
    x, y = at
    neck, hip = (x + facing * 0.03 * tall, y - 0.74 * tall), (x, y - 0.42 * tall)
    hand = arm or (x + facing * 0.24 * tall, y - 0.46 * tall)
    back = (x - facing * 0.2 * tall, y - 0.48 * tall)
    shoulder = (neck[0], neck[1] + 0.06 * tall)
    limbs = [
        [neck, hip],
        [hip, (x + facing * 0.12 * tall, y - 0.2 * tall), (x + facing * 0.24 * tall, y)],
        [hip, (x - facing * 0.06 * tall, y - 0.2 * tall), (x - facing * 0.24 * tall, y - 0.03 * tall)],
        [shoulder, hand],
        *([] if arm else [[shoulder, back]]),
    ]
    return dot((neck[0] + facing * 0.02 * tall, y - 0.88 * tall), 0.12 * tall) + "".join(
        path(limb, width=0.12 * tall) for limb in limbs
    )


def _floor(start: float = 2.0, end: float = 94.0, at: float = SECTION.floor) -> str:
    return path([(start, at + LINE / 2.0), (end, at + LINE / 2.0)])


def _wall(lean: float = 0.0, *, dash: str = "", section: Section = SECTION) -> str:
    return stick((section.wall - 4.0, section.floor), (section.wall - 4.0 + lean, section.top), dash=dash)


def _wind(at: float, y: float) -> str:
    return curve(f"M{at:g} {y:g} h9 q5 0 5 -5 q0 -4 -4 -4") + curve(f"M{at:g} {y + 7:g} h12")


# -- joints ----------------------------------------------------------------------------------------------


def foot() -> str:
    """Draw the foot of a brace: cut level on the floor, a cleat beside it, fastened to both."""
    brace = path([(4.0, 6.0), (28.0, 6.0), (76.0, 72.0), (46.0, 72.0)], width=LINE, fill=PAPER, closed=True)
    cleat = path(
        [(24.0, 54.0), (90.0, 54.0), (90.0, 72.0), (24.0, 72.0)], width=LINE, fill=PAPER, closed=True
    )
    floor = path([(2.0, 74.0), (94.0, 74.0), (94.0, 84.0), (2.0, 84.0)], width=LINE, fill=SHADE, closed=True)
    down = "".join(
        arrow((x, 58.0), (x, 94.0), width=3.5, head=6.0) + path([(x - 4.0, 58.0), (x + 4.0, 58.0)])
        for x in (31.0, 83.0)
    )
    return (
        brace
        + cleat
        + floor
        + down
        + dot((49.0, 63.0), 3.5)
        + dot((58.0, 63.0), 3.5)
        + dot((67.0, 63.0), 3.5)
    )


def head() -> str:
    """Draw the head of a brace: lapped on its stud, fastened through both."""
    stud = path([(18.0, 2.0), (42.0, 2.0), (42.0, 94.0), (18.0, 94.0)], fill=SHADE, closed=True)
    brace = path(
        [(12.0, 12.0), (33.0, 12.0), (94.0, 78.0), (94.0, 94.0), (88.0, 94.0)], fill=PAPER, closed=True
    )
    spots = ((23.0, 17.5), (33.0, 19.5), (30.0, 27.5), (39.0, 29.0))
    return stud + brace + "".join(dot(spot, 3.2) for spot in spots)


def tie_row() -> str:
    """Draw a tie row: across every brace, fastened at each, run to a diagonal that goes down to the floor."""
    braces = "".join(stick((x, 10.0), (x, 84.0), band=8.0) for x in (14.0, 38.0, 62.0))
    row, diagonal = (
        stick((4.0, 42.0), (84.0, 42.0), fill=SHADE),
        stick((66.0, 38.0), (92.0, 84.0), fill=SHADE),
    )
    return _floor() + braces + diagonal + row + "".join(dot((x, 42.0)) for x in (14.0, 38.0, 62.0, 71.0))


# -- what to do ------------------------------------------------------------------------------------------


def clear_out() -> str:
    """Draw people who leave the zone of a wall in wind."""
    near = Section(wall=26.0, top=30.0)
    drawn = (
        _floor() + _wall(section=near) + stick((near.meets[0] + 2.0, near.meets[1]), (56.0, 82.0), band=6.0)
    )
    return (
        drawn
        + _wind(2.0, 42.0)
        + person((74.0, 84.0), tall=42.0)
        + arrow((46.0, 18.0), (92.0, 18.0), width=8.0, head=17.0)
    )


def walk() -> str:
    """Draw somebody who walks along the braces and ticks them off."""
    braces = "".join(stick((x, 24.0), (x + 10.0, 84.0), band=7.0) for x in (48.0, 64.0, 80.0))
    tick = path([(46.0, 10.0), (54.0, 18.0), (68.0, 2.0)], width=6.5)
    return _floor() + braces + person((22.0, 84.0), tall=62.0, arm=(44.0, 44.0)) + tick


def call() -> str:
    """Draw somebody who calls."""
    head, phone = dot((36.0, 32.0), 18.0), stick((58.0, 10.0), (62.0, 52.0), band=10.0, fill=INK)
    shoulders = curve("M6 94 q0 -38 30 -38 q30 0 30 38 Z", width=LINE, fill=INK)
    hand = path([(56.0, 66.0), (66.0, 44.0)], width=13.0, ink=PAPER) + path(
        [(56.0, 66.0), (66.0, 44.0)], width=8.0
    )
    waves = "".join(
        curve(f"M{72 + k * 8} {26 - k * 6} q{6 + k * 2} {8 + k * 6} 0 {16 + k * 12}", width=LINE)
        for k in range(3)
    )
    return head + shoulders + hand + phone + waves


# -- what to stop for ------------------------------------------------------------------------------------


def wind_or_thunder() -> str:
    """Draw a wind meter, and a flash from a cloud."""
    pole = path([(25.0, 92.0), (25.0, 46.0)], width=6.0) + path([(9.0, 46.0), (41.0, 46.0)])
    cups = curve("M13 37 a8 9 0 0 0 0 18 Z", width=LINE) + curve("M37 37 a8 9 0 0 1 0 18 Z", width=LINE)
    turning = curve("M8 26 q16 -14 32 -2", width=LINE) + arrow((36.0, 20.0), (44.0, 29.0), head=9.0)
    cloud = curve(
        "M58 40 a9 9 0 0 1 -1 -18 a12 12 0 0 1 20 -8 a9 9 0 0 1 12 10 a8 8 0 0 1 -1 16 Z", width=LINE
    )
    flash = [(74.0, 44.0), (60.0, 68.0), (71.0, 68.0), (62.0, 92.0), (86.0, 60.0), (74.0, 60.0), (82.0, 44.0)]
    return pole + cups + turning + cloud + path(flash, width=1.0, fill=INK, closed=True)


def missing_or_split() -> str:
    """Draw three braces: one whole, one that is not there, one split."""
    whole = stick((16.0, 8.0), (16.0, 82.0), band=12.0)
    gone = stick((46.0, 8.0), (46.0, 82.0), band=14.0, dash="6 5")
    low = path(
        [(73.0, 82.0), (87.0, 82.0), (87.0, 48.0), (82.0, 56.0), (79.0, 44.0), (73.0, 54.0)],
        width=THIN,
        fill="#fff",
        closed=True,
    )
    high = path(
        [(80.0, 8.0), (93.0, 12.0), (84.0, 46.0), (80.0, 38.0), (75.0, 46.0), (71.0, 38.0)],
        width=THIN,
        fill="#fff",
        closed=True,
    )
    return (
        _floor()
        + whole
        + gone
        + low
        + high
        + dot((16.0, 76.0))
        + dot((16.0, 14.0))
        + cross((46.0, 46.0), 9.0)
    )


def wall_leans() -> str:
    """Draw a wall that leans from where it stood, and which way it goes."""
    upright = Section(wall=26.0, top=10.0)
    way = curve("M74 20 q12 6 15 24", width=LINE + 1.0) + arrow((88.0, 40.0), (90.0, 54.0), head=13.0)
    return (
        _floor()
        + _wall(dash="6 5", section=upright)
        + _wall(34.0, section=Section(wall=26.0, top=18.0))
        + way
    )


def brace_taken() -> str:
    """Draw somebody who carries a brace away from its wall, crossed out."""
    gone = stick((26.0, 34.0), (48.0, 82.0), band=7.0, dash="5 4")
    carried = stick((46.0, 62.0), (94.0, 52.0), band=8.0)
    return (
        _floor() + _wall() + gone + person((70.0, 84.0), tall=56.0, arm=(78.0, 56.0)) + carried
        + cross((46.0, 16.0))
    )  # fmt: skip


def hung_or_lifted() -> str:
    """Draw a load hung on a wall, and one that a hook carries over it, crossed out."""
    wall = stick((50.0, 84.0), (50.0, 40.0), band=10.0)
    rope = path([(52.0, 40.0), (74.0, 40.0), (74.0, 54.0)], width=THIN)
    sack = path([(65.0, 54.0), (83.0, 54.0), (87.0, 74.0), (61.0, 74.0)], width=1.0, fill=INK, closed=True)
    lifted = path([(8.0, 24.0), (46.0, 24.0), (46.0, 34.0), (8.0, 34.0)], fill=PAPER, closed=True)
    slings = path([(10.0, 24.0), (27.0, 10.0), (44.0, 24.0)], width=THIN) + path([(27.0, 10.0), (27.0, 0.0)])
    return (
        _floor()
        + wall
        + rope
        + sack
        + lifted
        + slings
        + arrow((50.0, 29.0), (64.0, 29.0))
        + cross((80.0, 16.0))
    )


def ground_gives() -> str:
    """Draw the ground that gives way under the foot of a brace."""
    near = Section(wall=20.0, top=8.0, floor=66.0)
    fx = near.foot[0]
    edge = ((-16.0, 68.0), (-8.0, 82.0), (-2.0, 78.0), (4.0, 88.0), (12.0, 76.0), (18.0, 80.0), (22.0, 68.0))
    ground = path([(2.0, 68.0), *((fx + x, y) for x, y in edge), (94.0, 68.0)])
    cracks = path([(fx - 16.0, 68.0), (fx - 24.0, 84.0)], width=THIN) + path(
        [(fx + 22.0, 68.0), (fx + 26.0, 86.0)], width=THIN
    )
    brace = stick((near.meets[0] + 2.0, near.meets[1]), (fx + 1.0, 72.0), band=8.0)
    return (
        ground
        + cracks
        + _wall(section=near)
        + brace
        + arrow((fx + 14.0, 34.0), (fx + 14.0, 60.0), width=7.0, head=14.0)
    )


GLYPHS: dict[str, Callable[[], str]] = {
    "foot": foot, "head": head, "tie-row": tie_row, "clear-out": clear_out, "walk": walk, "call": call,
    "wind-or-thunder": wind_or_thunder, "missing-or-split": missing_or_split, "wall-leans": wall_leans,
    "brace-taken": brace_taken, "hung-or-lifted": hung_or_lifted, "ground-gives": ground_gives,
}  # fmt: skip


def svg(name: str, language: str = OWN) -> str:
    """Give a picture as a file: its title is its name, its description says what it shows.

    Args:
        name: of GLYPHS.
        language: of the description.
    """
    told = template(f"picture-{name}", language) or template(f"picture-{name}", OWN) or ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIZE} {SIZE}" role="img">'
        f"<title>{escape(name.replace('-', ' '))}</title><desc>{escape(told)}</desc>"
        f'<rect width="{SIZE}" height="{SIZE}" fill="{PAPER}"/>'
        f'<g stroke-linejoin="round" stroke-linecap="round">{GLYPHS[name]()}</g></svg>\n'
    )
