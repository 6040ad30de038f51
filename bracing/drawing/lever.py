"""How a fastener is pulled: a bar on a fulcrum, lifted by the scale at its far end; and what hangs on the fastener."""

from __future__ import annotations

from bracing.drawing.model import (
    Area,
    Dimension,
    Drawing,
    DrawnLine,
    Item,
    Point,
    Words,
    fit,
    rectangle,
)
from bracing.job.pulls import Lever
from bracing.text.quantities import ENGLISH, Quantities
from bracing.units import Inch

USUAL = Lever(40.0, 8.0, 6.0, 20.0)  # drawn where nobody has said another
SMALL = 8.0
MARGINS = (0.3, 0.55, 0.3, 0.35)
BAR: Inch = 2.0  # how thick the bar is drawn
CLEAT: Inch = 1.5
DECK: Inch = 0.75
JOIST: Inch = 6.0
ARM: Inch = 14.0  # the scale and the hand over the bar
WIDE, TALL = 6.8, 3.0  # in of paper


def rigs(lever: Lever | None = None, page: Quantities = ENGLISH) -> tuple[Drawing, Drawing]:
    """Draw the lever from the side, with its fulcrum named, and the fastener near by.

    Args:
        lever: the lever; the usual one unless given.
        page: how lengths are written.
    """
    lever = lever or USUAL
    return _from_the_side(lever, page), _near_by(page)


def _from_the_side(lever: Lever, page: Quantities) -> Drawing:
    """The bar lies level: its end on the fulcrum, the fastener under it near that end, the scale at the other."""
    under = CLEAT + 3.0  # of the bar over the deck
    far, near = max(lever.scale, lever.fastener), lever.fastener
    left, right = -6.0, far + 8.0
    paper = fit(
        (left, -DECK - JOIST, right, under + BAR + ARM + 6.0), MARGINS, width=WIDE, tallest=TALL * 1.35
    )
    top = under + BAR
    row = paper.points(SMALL * 1.9)
    items: list[Item] = [
        Area(rectangle((left, -DECK), (right, 0.0)), "FLOOR", shade=0.85),
        Area(rectangle((near - 0.75, -DECK - JOIST), (near + 0.75, -DECK)), "JOISTS", shade=0.93, width=1.0),
        Area(rectangle((-2.5, 0.0), (1.0, under - 1.0)), "FLOOR", shade=0.6, hatch="/", width=1.0),
        Area(((-0.75, under - 1.0), (0.75, under - 1.0), (0.0, under)), "FLOOR", shade=0.3, width=1.0),
        Area(rectangle((near - 2.0, 0.0), (near + 2.0, CLEAT)), "BRACES", shade=0.75, width=1.0),
        DrawnLine(((near, CLEAT), (near, -DECK - JOIST * 0.5)), "FASTENERS", 2.0),
        *_strap(near, under),
        Area(rectangle((-2.0, under), (far + 2.0, top)), "BRACES", shade=0.97, width=1.4),
        *_scale(far, top),
        DrawnLine(((lever.weight_at, top), (lever.weight_at, under - 1.5)), "DIMENSIONS", 0.8, "dashdot"),
        Words((lever.weight_at, top + paper.points(2.0)), "the bar balances here", SMALL, "center"),
        Words((-2.5, top + paper.points(3.0)), "FULCRUM", SMALL + 1.0, "left", bold=True),
        Words((far + 2.2, top + ARM * 0.45), "SCALE", SMALL + 1.0, "left", bold=True),
        Words((near + 3.0, CLEAT * 0.3), "offcut of the cleat", SMALL, "left"),
        Words((near + 1.5, -DECK - JOIST * 0.6), "the board it is pulled out of", SMALL, "left"),
    ]
    low = -DECK - JOIST - row
    items += [
        Dimension((0.0, 0.0), (near, 0.0), low, f"fastener {page.length(lever.fastener)}", size=SMALL),
        Dimension((0.0, 0.0), (lever.scale, 0.0), low - row, f"scale {page.length(lever.scale)}", size=SMALL),
        Dimension(
            (0.0, top),
            (lever.weight_at, top),
            top + ARM * 0.75,
            f"balance {page.length(lever.weight_at)}",
            size=SMALL,
        ),
    ]
    return Drawing(
        "lever", "The lever, from the side",
        f"A bar lies level with one end on a fulcrum that stands on a block. {page.length(lever.fastener)} from the "
        f"fulcrum a strap goes from the bar round an offcut of the cleat, through which the fastener is driven into "
        f"the board. {page.length(lever.scale)} from the fulcrum a hanging scale lifts the bar.",
        paper, tuple(items),
    )  # fmt: skip


def _strap(x: Inch, under: Inch) -> list[Item]:
    """A strap round the bar and under both ends of the offcut."""
    loop: tuple[Point, ...] = (
        (x - 1.2, -0.05), (x - 2.3, -0.05), (x - 2.3, CLEAT), (x - 1.2, under), (x - 1.2, under + BAR),
        (x + 1.2, under + BAR), (x + 1.2, under), (x + 2.3, CLEAT), (x + 2.3, -0.05), (x + 1.2, -0.05),
    )  # fmt: skip
    return [DrawnLine(loop, "FASTENERS", 1.6)]


def _scale(x: Inch, top: Inch) -> list[Item]:
    """A hanging scale over the end of the bar, and the hand's ring over it."""
    low, high = top + ARM * 0.3, top + ARM * 0.75
    return [
        DrawnLine(((x, top - BAR), (x, low)), "FASTENERS", 1.2),
        Area(rectangle((x - 1.6, low), (x + 1.6, high)), "WORDS", shade=1.0, width=1.4),
        DrawnLine(((x - 0.9, (low + high) / 2.0), (x + 0.9, (low + high) / 2.0)), "WORDS", 1.6),
        DrawnLine(((x, high), (x, high + 2.0)), "FASTENERS", 1.2),
        DrawnLine(((x - 1.5, high + 2.0), (x + 1.5, high + 2.0)), "FASTENERS", 2.4),
        DrawnLine(((x, high + 2.6), (x, high + 5.5)), "DIMENSIONS", 1.0),
        DrawnLine(((x - 0.7, high + 4.6), (x, high + 5.5), (x + 0.7, high + 4.6)), "DIMENSIONS", 1.0),
    ]


def _near_by(page: Quantities) -> Drawing:
    """The fastener as it is driven in its joint: through an offcut bored free, its thread in the board alone."""
    long: Inch = 3.2
    paper = fit((-7.0, -DECK - long - 1.2, 11.0, CLEAT + 3.5), MARGINS, width=WIDE, tallest=TALL)
    point = -DECK - long + 0.7
    items: list[Item] = [
        Area(rectangle((-7.0, -DECK), (11.0, 0.0)), "FLOOR", shade=0.85),
        Area(rectangle((-1.0, -DECK - long - 1.2), (1.0, -DECK)), "JOISTS", shade=0.93, width=1.0),
        Area(rectangle((-2.2, 0.0), (2.2, CLEAT)), "BRACES", shade=0.75, width=1.2),
        Area(rectangle((-0.22, 0.0), (0.22, CLEAT)), "BRACES", shade=1.0, width=0.6),
        DrawnLine(((0.0, CLEAT), (0.0, point)), "FASTENERS", 2.4),
        DrawnLine(((-0.45, CLEAT), (0.45, CLEAT)), "FASTENERS", 3.0),
        *(
            DrawnLine(((-0.22, -DECK - 0.25 * k), (0.22, -DECK - 0.25 * k - 0.15)), "FASTENERS", 0.9)
            for k in range(1, 9)
        ),
        DrawnLine(((-1.3, -0.05), (-2.5, -0.05), (-2.5, CLEAT + 3.0)), "FASTENERS", 1.6),
        DrawnLine(((1.3, -0.05), (2.5, -0.05), (2.5, CLEAT + 3.0)), "FASTENERS", 1.6),
        Words((3.0, CLEAT + 1.6), "strap to the bar", SMALL),
        Words((3.0, CLEAT * 0.4), "offcut, bored free: the thread does not bite in it", SMALL),
        Words((-1.6, -DECK - 0.2), "deck, where the joint", SMALL, "right", "top"),
        Words((-1.6, -DECK - 0.7), "goes through it", SMALL, "right", "top"),
        Dimension((0.0, -DECK), (0.0, point), 2.2, "depth", "upright", SMALL),
        Words((3.0, -DECK - long * 0.6), "depth: its thread in the board", SMALL),
    ]
    return Drawing(
        "fastener", "The fastener, near by",
        "A fastener through an offcut of the cleat that is bored free, through the deck where the joint goes through "
        "it, its thread in the board. A strap under both ends of the offcut goes up to the bar.",
        paper, tuple(items),
    )  # fmt: skip
