"""Racking: what a wall sheathed with wood panels may carry along itself, and how it gives.

A row of the table by panel, nail and edge spacing; then what framing, blocking, shape and moisture leave of it. A nail
that has no row, and edges wider than the table's, count by what one nail holds beside an 8d common.
"""

from __future__ import annotations

from typing import Any

from attrs import evolve, frozen

from bracing.codes.nds.factors import wet_lateral
from bracing.codes.sticks import Nailing
from bracing.sources import cite, cited, shipped
from bracing.sums import FROM_MEMORY, JUDGEMENT, Known, formula
from bracing.units import Inch, Pound

FOOT: Inch = 12.0
TOUCH: Inch = 1e-6
CLOSEST: Inch = (
    3.0  # edges nailed closer need framing 3 in thick where panels meet; SDPWS 4.3.7.1 (from memory)
)
WIDEST_FIELD: Inch = 12.0
STANDARD_NAIL = "8d"
TABLE_EDGE: Inch = 6.0  # the widest edge spacing of the table
SMALL: Inch = 0.131  # under 1/4 in, as every sheathing nail


@formula
def unit_shear(vw: float, CG: float, *, Cub: float, CM: float) -> float:
    """Give the allowable unit shear of a sheathed wall: v = vw / 2 CG Cub CM.

    Args:
        vw: nominal unit shear in wind [lb/ft].
        CG: factor of the framing's gravity [-].
        Cub: factor of edges that are not blocked [-].
        CM: factor of moisture [-].

    Returns:
        v [lb/ft].

    Source: SDPWS 4.3.3; NDS 11.3.3.

    Example:
        >>> round(unit_shear(670.0, 0.92, Cub=1.0, CM=0.7), 2)
        215.74
    """
    return vw / 2.0 * CG * Cub * CM


@formula
def gravity_factor(G: float) -> float:
    """Give the factor of the framing's gravity: CG = min(1, 1 - (0.5 - G)).

    Args:
        G: specific gravity of the framing [-].

    Returns:
        CG [-].

    Source: SDPWS table 4.3A note 3.

    Example:
        >>> round(gravity_factor(0.42), 2), gravity_factor(0.55)
        (0.92, 1.0)
    """
    return min(1.0, 1.0 - (0.5 - G))


@formula
def aspect_factor(h: Inch, b: Inch) -> float:
    """Give the factor of a narrow piece of wall: Ca = min(1, 1.25 - 0.125 h / b).

    Args:
        h: its height [in].
        b: its length [in].

    Returns:
        Ca [-].

    Source: SDPWS 4.3.3.2.

    Example:
        >>> aspect_factor(96.0, 48.0), aspect_factor(120.0, 48.0)
        (1.0, 0.9375)
    """
    return min(1.0, 1.25 - 0.125 * h / b)


@formula
def racking_strength(v: float, Ca: float, b: Inch) -> Pound:
    """Give what a piece of wall may carry along itself: V = v Ca b / 12.

    Args:
        v: allowable unit shear [lb/ft].
        Ca: factor of a narrow piece [-].
        b: its length [in].

    Returns:
        V [lb].

    Source: SDPWS 4.3.3.

    Example:
        >>> racking_strength(200.0, 1.0, 48.0)
        800.0
    """
    return v * Ca * b / 12.0


@formula
def widened(vw: float, s: Inch, r: float) -> float:
    """Give the nominal unit shear of edges nailed wider than the table: v6 = vw 6 / s r.

    Args:
        vw: with edges nailed at 6 in [lb/ft].
        s: edge spacing [in].
        r: what one of the nails holds over what one of the table's does [-].

    Returns:
        v6 [lb/ft].

    Source: JUDGEMENT edges nailed wider than the table.

    Example:
        >>> widened(670.0, 12.0, 1.0)
        335.0
    """
    return vw * 6.0 / s * r


@formula
def stiffness_left(Ga: float, Cub: float, *, C: float, r: float) -> float:
    """Give the apparent shear stiffness as it was nailed: G = Ga Cub C r.

    Args:
        Ga: apparent shear stiffness of the row [kips/in].
        Cub: factor of edges that are not blocked [-].
        C: 0.5 where the framing was nailed green, else 1 [-].
        r: part a wider spacing or a lighter nail leaves [-].

    Returns:
        G [kips/in].

    Source: SDPWS 4.3.2 (from memory); JUDGEMENT edges nailed wider than the table.

    Example:
        >>> stiffness_left(15.0, 1.0, C=0.5, r=1.0)
        7.5
    """
    return Ga * Cub * C * r


@frozen
class DeckPanels:
    """What a deck of wood panels may carry in its own plane.

    Attributes:
        shear: allowable unit shear [lb/ft].
        most_aspect: length over depth up to which it counts [-].
        known: how the shear is known, one of `bracing.sources.KNOWN`.
    """

    shear: float
    most_aspect: float
    known: str = "memory"

    @property
    def source(self) -> str:
        """The clause of it."""
        return cite("SDPWS", "4.2.3")

    def strength(self, depth: Inch) -> Pound:
        """Give what it may carry in shear over its depth, as a Sum [lb].

        Args:
            depth: across its span [in].
        """
        return racking_strength(self.shear, Known(1.0, "a deck is no narrow piece", ""), depth)


@frozen
class Racking:
    """What a sheathed wall may carry along itself.

    Attributes:
        shear: allowable unit shear [lb/ft].
        stiffness: apparent shear stiffness [kips/in].
        most_aspect: height over length up to which a piece counts [-].
        known: how the shear is known, one of `bracing.sources.KNOWN`.
        nailing: how it is sheathed.
    """

    shear: float
    stiffness: float
    most_aspect: float
    nailing: Nailing
    known: str = "read"

    @property
    def source(self) -> str:
        """The clause of it."""
        return cite("SDPWS", "4.3.3")

    @property
    def laid(self) -> DeckPanels:
        """What the same panels and nails may carry as a deck; few walls are asked."""
        return deck_of(self.nailing)

    def counts(self, height: Inch, length: Inch) -> bool:
        """Say whether a piece of wall counts: it is not too narrow, and its nails are worth something.

        Args:
            height: of the piece [in].
            length: of it [in].
        """
        wide = length > 0.0 and height / length <= self.most_aspect * (1.0 + TOUCH)
        return wide and self.shear > 0.0 and self.stiffness > 0.0

    def strength(self, height: Inch, length: Inch) -> Pound:
        """Give what a piece of wall may carry along itself, as a Sum [lb].

        Args:
            height: of the piece [in].
            length: of it [in].
        """
        return racking_strength(self.shear, aspect_factor(height, length), length)


def _row(nailing: Nailing, penny: str, *, of: str = "unit_shear") -> dict[str, Any] | None:
    """The table's row of the thickest panel no thicker than this one, with that nail; None where there is none."""
    rows = shipped("sheathed")[of]["rows"]
    fit = [row for row in rows if row["nail"] == penny and row["thickness"] <= nailing.thickness + TOUCH]
    return max(fit, key=lambda row: float(row["thickness"]), default=None)


def _penny(nail: str) -> str:
    """The penny of a nail the table names, or ""."""
    words = nail.split()
    return words[0] if len(words) == 2 and words[1] == "common" else ""


def _column(spacing: Inch, *, blocked: bool) -> int:
    """Which of the table's spacings counts: the next wider; 6 in where edges are not blocked."""
    listed = shipped("sheathed")["unit_shear"]["spacings"]
    if not blocked:
        return 0
    return max(k for k, s in enumerate(listed) if s >= min(max(spacing, CLOSEST), listed[0]) - TOUCH)


def unblocked_factor(nailing: Nailing) -> float:
    """Give the factor of edges that are not blocked; one where they are, nothing on studs over 24 in apart.

    Args:
        nailing: how the wall is sheathed.

    Returns:
        Cub [-].

    Source: SDPWS table 4.3.3.2 (from memory)

    Example:
        >>> float(unblocked_factor(Nailing("osb", 0.4375, "8d common", 6.0, studs=16.0)))
        0.6
    """
    if nailing.blocked:
        return 1.0
    table = shipped("sheathed")["unblocked"]
    close = nailing.field_spacing <= table["studs"][0] / 2.0 + TOUCH
    column = table["field_6" if close else "field_12"]
    wider = [k for k, s in enumerate(table["studs"]) if s >= nailing.studs - TOUCH]
    worth = column[wider[0]] if wider and nailing.field_spacing <= WIDEST_FIELD + TOUCH else 0.0
    words = (
        f"edges not blocked, studs {nailing.studs:g} in apart, {nailing.field_spacing:g} in between the edges"
    )
    return Known(worth, words, cited(table["source"]), FROM_MEMORY)


def sheathed(nailing: Nailing) -> Racking:
    """Give what a sheathed wall may carry along itself, and how stiff it is; nothing where the table has no row for it.

    Args:
        nailing: how it is sheathed.

    Source: SDPWS table 4.3A, 4.3.3; SDPWS 4.3.7.1 (from memory); JUDGEMENT edges nailed wider than the table

    Example:
        >>> made = sheathed(
        ...     Nailing("osb", 0.4375, "8d common", 6.0, studs=16.0, blocked=True, gravity=0.42, green=True)
        ... )
        >>> round(made.shear, 2), float(made.stiffness), round(made.strength(96.0, 96.0))
        (215.74, 7.5, 1726)
    """
    table = shipped("sheathed")
    nailing = _within_field(nailing)
    own = _row(nailing, _penny(nailing.nail))
    row = own or _row(nailing, STANDARD_NAIL)
    most = table["aspect"]["blocked" if nailing.blocked else "unblocked"]
    field = table["field"]
    far = (
        nailing.studs > field["widest_studs"] + TOUCH or nailing.field_spacing > field["widest_nails"] + TOUCH
    )
    if row is None or far or not nailing.spacing <= table["wide"]["widest"] + TOUCH:
        words = "no row for this panel, or studs or nails too far apart"
        none = Known(0.0, words, cited(table["unit_shear"]["source"]))
        return Racking(none, none, most, nailing)
    vw, Ga = _row_values(nailing, row)
    r = _beside(nailing, own=own is not None)
    Cub, CM, C = unblocked_factor(nailing), 1.0, 1.0
    if nailing.spacing > TABLE_EDGE + TOUCH or own is None:
        vw = widened(vw, max(nailing.spacing, TABLE_EDGE), r)
        r = _left(nailing, r)
    if nailing.green:
        CM = wet_lateral(SMALL, made_wet=True, serves_wet=True, one_row=True)
        C = Known(
            table["green"]["stiffness"],
            "framing green when nailed",
            cited(table["green"]["source"]),
            FROM_MEMORY,
        )
    v = unit_shear(vw, gravity_factor(nailing.gravity), Cub=Cub, CM=CM)
    known = "read" if nailing.blocked else "memory"
    return Racking(v, stiffness_left(Ga, Cub, C=C, r=r), most, nailing, known)


def _within_field(nailing: Nailing) -> Nailing:
    """The same; as if not blocked, where a thin panel on studs far apart is nailed too wide between its edges."""
    field = shipped("sheathed")["field"]
    thin = nailing.thickness <= field["thin"] + TOUCH and nailing.studs >= field["widest_studs"] - TOUCH
    return (
        evolve(nailing, blocked=False)
        if thin and nailing.field_spacing > field["close_nails"] + TOUCH
        else nailing
    )


def _row_values(nailing: Nailing, row: dict[str, Any]) -> tuple[float, float]:
    """Nominal unit shear in wind and apparent shear stiffness of a row [lb/ft, kips/in]."""
    table = shipped("sheathed")["unit_shear"]
    at, source = _column(nailing.spacing, blocked=nailing.blocked), cited(table["source"])
    words = f"{nailing.panel} {row['thickness']:g} in, {row['nail']} common at {table['spacings'][at]:g} in"
    return (
        Known(row["wind"][at], f"nominal unit shear in wind, {words}", source),
        Known(row[nailing.panel][at], f"apparent shear stiffness, {words}", source),
    )


def _beside(nailing: Nailing, *, own: bool) -> float:
    """What one of the nails holds over one of the row's: one where the row is of that nail, and at most one."""
    source = cited(shipped("sheathed")["wide"]["source"])
    if own:
        return 1.0
    part = min(1.0, nailing.beside_8d)
    return Known(part, f"{nailing.nail}: what one holds beside an 8d common", source, JUDGEMENT)


def _left(nailing: Nailing, r: float) -> float:
    """The part of the stiffness a wider spacing or a lighter nail leaves."""
    source = cited(shipped("sheathed")["wide"]["source"])
    part = r * TABLE_EDGE / max(nailing.spacing, TABLE_EDGE)
    return Known(part, "part a wider spacing or a lighter nail leaves", source, JUDGEMENT)


def deck_shear(nailing: Nailing) -> float:
    """Give the allowable unit shear of a deck nailed off 6/12 whose edges are not blocked [lb/ft]; 0 where none counts.

    Args:
        nailing: how it is laid and nailed; `studs` are its joists.

    Source: SDPWS table 4.2C (from memory).

    Example:
        >>> round(deck_shear(Nailing("osb", 0.71875, "8d common", 6.0, studs=16.0, gravity=0.42, green=True)), 2)
        162.61
    """
    table = shipped("sheathed")["deck"]
    own = _row(nailing, _penny(nailing.nail), of="deck")
    row, source = own or _row(nailing, STANDARD_NAIL, of="deck"), cited(table["source"])
    wide = (
        nailing.spacing > table["edge_nails"] + TOUCH
        or nailing.field_spacing > table["field_nails"] + TOUCH
        or nailing.studs > table["joists"] + TOUCH
    )
    if row is None or wide:
        return Known(0.0, "no row for this panel, or joists or nails too far apart", source, FROM_MEMORY)
    words = (
        f"nominal unit shear in wind, deck of {row['thickness']:g} in, {row['nail']} common at 6 and 12 in"
    )
    vw: float = Known(row["wind"], words, source, FROM_MEMORY)
    if own is None:
        vw = widened(vw, TABLE_EDGE, _beside(nailing, own=False))
    CM = wet_lateral(SMALL, made_wet=True, serves_wet=True, one_row=True) if nailing.green else 1.0
    return unit_shear(vw, gravity_factor(nailing.gravity), Cub=1.0, CM=CM)


def deck_of(nailing: Nailing) -> DeckPanels:
    """Give what a deck may carry in its own plane, nailed off 6/12, its edges not blocked.

    Args:
        nailing: how it is laid and nailed; `studs` are its joists.

    Source: SDPWS table 4.2.4, 4.2.3 (from memory).

    Example:
        >>> made = deck_of(Nailing("osb", 0.71875, "8d common", 6.0, studs=16.0, gravity=0.50))
        >>> made.shear, made.most_aspect, made.strength(192.0)
        (252.5, 3.0, 4040.0)
    """
    return DeckPanels(deck_shear(nailing), float(shipped("sheathed")["deck"]["most_aspect"]))
