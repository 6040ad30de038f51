"""The bottom plate under its braces: what their lift asks of its fasteners and its grain, and how the lift gets there.

The sheathing lifts the plate by its outer edge, a strap by its middle; the plate turns about its inner edge, or stays
down, and its fasteners pull. What of a lift comes to an inch of plate is in `panel.spread`, what stands on it in
`panel.weight`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import cast

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from bracing.chain.forces import Forces
from bracing.chain.links import Group, LinkId, Made, force_at, one_of
from bracing.chain.materials import Materials, under_sheathing
from bracing.chain.wall import ACROSS_GRAIN, Arm, PlateSet, WallStrength, arm_of
from bracing.codes import ends
from bracing.codes.joints import load_of_each
from bracing.job.job import Job
from bracing.job.lumber import section
from bracing.job.wall import Plate
from bracing.panel.spread import GAUSS, HALF, Along, along_each, along_plate, feet_of, on_a_piece, runs_of
from bracing.panel.weight import piece_at, plate_pieces
from bracing.said import Kind, Quantity, Said
from bracing.sources import cite, least
from bracing.sums import Known, formula
from bracing.units import Inch, Mph, Pound, PoundPerInch, tape

Array = NDArray[np.float64]
Directions = tuple[str, ...]

_ROUNDING = 1e-9


def strap_lever(job: Job) -> float:
    """Give what a strap to the plate, and its stud, are pulled by for each pound of lift; 1 of any other [-].

    Args:
        job: the job.
    """
    plate = job.wall.plate
    if not plate.lifted_by_strap:
        return 1.0
    edges = (plate.row_from_sheathed_edge, edge_beside(plate))
    arms = (arm_of(job, edge) for edge in edges)
    return max(ends.lift_on_strap(1.0, arm.b, arm.e) for arm in arms)


def edge_beside(plate: Plate) -> Inch | None:
    """From the sheathed edge to the fasteners beside the braces: as the other rows unless told [in]."""
    own = plate.extra.row_from_sheathed_edge
    return plate.row_from_sheathed_edge if own is None else own


@frozen(eq=False)
class Row:
    """Like fasteners that may carry all: a pattern, those beside the braces, or both where they are alike.

    Attributes:
        kind: which, and what one may carry.
        arm: how the plate is held by them.
        words: what they are, as in sums.
        per_inch: how many to an inch at each place, (n, p) [1/in]; None of those beside the braces alone.
        count: beside each brace.
    """

    kind: PlateSet
    arm: Arm
    words: str
    per_inch: Array | None = field(repr=False)
    count: int = 0


def rows_of(job: Job, wall: WallStrength, along: Along) -> tuple[Row, ...]:
    """Give the sets of like fasteners of a plate: unlike ones are not added up.

    Args:
        job: the job.
        wall: the wall's strengths.
        along: its plate.

    Source: NDS 11.2.1, unlike fasteners are not added up.
    """
    plate, rows = job.wall.plate, list[Row]()
    extra = plate.extra.at_each_brace
    arm, beside = arm_of(job, plate.row_from_sheathed_edge), arm_of(job, edge_beside(plate))
    final = plate.state != "tacked"
    per_inch = along.per_inch(plate.spacing, plate.in_short_pieces)
    if final:
        rows.append(Row(wall.plate, arm, f"{wall.plate.name}, one every {plate.spacing:g} in", per_inch))
    if extra:
        words = f"{extra} x {wall.extra.name} beside the brace"
        rows.append(Row(wall.extra, beside, words, None, extra))
    if final and extra and (wall.plate.name, arm) == (wall.extra.name, beside):
        both = per_inch + extra * along.share.sum(axis=2)
        rows.append(
            Row(wall.plate, arm, f"{wall.plate.name}, the pattern and {extra} beside the brace", both)
        )
    return tuple(rows)


@formula
def line_at(steady: float, rate: float, gust: Mph) -> PoundPerInch:
    """Give the force on an inch of plate at a gust: v = steady + rate gust^2.

    Args:
        steady: part that no wind makes [lb/in].
        rate: part that grows with the gust, per mph squared [lb/in/mph2].
        gust: the gust [mph].

    Returns:
        v [lb/in].

    Source: STATICS.

    Example:
        >>> line_at(1.0, 0.005, 20.0)
        3.0
    """
    return steady + rate * gust**2


@formula
def spread_lift(U: Pound, φ: float, more: PoundPerInch) -> PoundPerInch:
    """Give the lift that comes to an inch of plate: u = U φ + more.

    Args:
        U: lift of the brace [lb].
        φ: share of it to an inch there [1/in].
        more: what other braces bring there [lb/in].

    Returns:
        u [lb/in].

    Source: JUDGEMENT, a lift spreads a panel's width to either side of its stud, most at the stud.

    Example:
        >>> spread_lift(480.0, 1.0 / 48.0, 2.0)
        12.0
    """
    return U * φ + more


@formula
def on_each(p: PoundPerInch, n: float) -> Pound:
    """Give the force on one of so many fasteners to an inch: F = p / n.

    Args:
        p: force on an inch [lb/in].
        n: fasteners to an inch [1/in].

    Returns:
        F [lb].

    Source: STATICS.

    Example:
        >>> on_each(6.0, 0.0625)
        96.0
    """
    return p / n


@formula
def as_moment(u: float, m: float) -> float:
    """Give a share used as a moment of an inch of plate: M = u m.

    Args:
        u: share of the fasteners used [-].
        m: moment an inch may carry [lb in].

    Returns:
        M [lb in].

    Source: STATICS.

    Example:
        >>> as_moment(0.5, 15.0)
        7.5
    """
    return u * m


@frozen(eq=False)
class PlateUse:
    """What shear and lift use of the plate at each brace: of its fasteners, the better set of them, or of its grain.

    An object and no closure, so that an answer can go to another process. Its forces have a part for every place, on an
    inch of plate [lb/in], and a last one for those beside the brace: their shear, and the lift of the brace [lb].

    Attributes:
        along: the plate.
        rows: the sets of like fasteners.
        weight: what holds an inch down to either side of each place, (n, p, 2) [lb/in].
        marks: of the braces.
        state: of the plate, for where nothing fastens it.
        grain: moment an inch may carry across its grain, where that is asked [lb in].
    """

    along: Along
    rows: tuple[Row, ...]
    weight: Array = field(repr=False)
    marks: tuple[str, ...]
    state: str = ""
    grain: float | None = None

    def __call__(self, across: Array, lift: Array) -> Array:
        """Give what is used at each brace: a share of the fasteners, or a moment across the grain [lb in].

        Args:
            across: shear, (.., n, p + 1).
            lift: lift, (.., n, p + 1).
        """
        used = [self._used(row, across, lift) for row in self.rows]
        if used:
            return np.asarray(np.min(used, axis=0))
        pull = np.maximum(lift, 0.0).max(axis=-1)
        return np.where((across.max(axis=-1) > 0.0) | (pull > 0.0), np.inf, 0.0)

    def _used(self, row: Row, across: Array, lift: Array) -> Array:
        if self.grain is None:
            return np.asarray(self._fastened(row, across, lift).max(axis=-1))
        moments = ends.moment_across_grain(self._read(lift), row.arm.out).max(axis=-1)
        if not self._differ:
            return np.asarray(moments)
        # Only fasteners that carry all of it decide where the plate bends.
        held = self._fastened(row, across, lift).max(axis=-1) * self.grain
        return np.asarray(np.maximum(moments, held))

    @property
    def _differ(self) -> bool:
        return len({row.arm for row in self.rows}) > 1

    @cached_property
    def _lesser(self) -> Array:
        """The lesser weight of both sides of each place, (n, p) [lb/in]."""
        return np.asarray(self.weight.min(axis=-1))

    def _read(self, lift: Array) -> Array:
        """What the weight leaves of the lift of an inch, where a brace is read: no other has a greater share there."""
        net = ends.net_lift(lift[..., :-1], self._lesser)
        return np.where(self.along.read, net, 0.0)

    def beside(self, across: Array, lift: Array) -> tuple[Array, Array]:
        """Give shear and lift of all the fasteners beside each brace, the weight above off, (.., n) both [lb].

        Lift, share and weight are straight lines from place to place: ∫ net U φ / u is summed up at three points of
        the part of each stretch where anything is left of the lift.

        Args:
            across: shear, (.., n, p + 1).
            lift: lift, (.., n, p + 1).
        """
        u, w, own = lift[..., :-1], ends.WEIGHT_PART * self.weight, self.along.own
        first, last = u[..., :-1] - w[..., :-1, 1], u[..., 1:] - w[..., 1:, 0]
        rise, begins, ends_on = last - first, first > 0.0, last > 0.0
        meets = -first / np.where(begins == ends_on, 1.0, rise)
        start = np.where(begins, 0.0, np.where(ends_on, meets, 1.0))
        run = np.where(ends_on, 1.0, np.where(begins, meets, 1.0)) - start
        held, more, share = np.zeros_like(run), np.diff(u), np.diff(own)
        for part, weight in GAUSS:
            at = start + run * part
            there = u[..., :-1] + more * at
            net = (first + rise * at) / np.where(there > 0.0, there, 1.0)
            held += weight * (own[..., :-1] + share * at) * net
        held = (held * run * np.diff(self.along.x)).sum(axis=-1)
        return across[..., -1], np.maximum(lift[..., -1], 0.0) * held

    def _fastened(self, row: Row, across: Array, lift: Array) -> Array:
        """Share of one fastener of a set used at each place, (.., n, p); of those beside the brace one, (.., n, 1)."""
        if row.per_inch is None:
            shear, held = self.beside(across, lift)
            share = row.kind.use(shear / row.count, row.arm.pull(held / row.count))
            return np.asarray(share)[..., None]
        there, net = row.per_inch > 0.0, self._read(lift)
        each = np.where(there, row.per_inch, 1.0)
        share = row.kind.use(across[..., :-1] / each, row.arm.pull(net / each))
        return np.where(self.along.read & there, share, np.where(net > 0.0, np.inf, 0.0))

    def sums(
        self, item: int, across: Array, lift: Array, *, gust: Mph, where: str
    ) -> tuple[float, ...]:  # fmt: skip
        """Give what one brace uses, as sums, each after what it is made of.

        Args:
            item: which brace.
            across: its shears, steady and per gust squared, (p + 1, 2).
            lift: its lifts, the same.
            gust: the gust [mph].
            where: which row of the frame they are of.
        """
        if not self.rows:
            return (Known(0.0, f"nothing declared fastens the plate here ({self.state})", cite("JUDGEMENT")),)
        alone = self._alone(item)
        at = [np.asarray(part[:, 0] + part[:, 1] * gust**2)[None] for part in (across, lift)]
        shear, up = np.abs(at[0]), at[1]
        k = int(np.argmin([alone._used(row, shear, up)[0] for row in alone.rows]))
        row = alone.rows[k]
        steady, rate = (float(part) for part in lift[-1])
        U = force_at(Known(steady, f"lift of {self.marks[item]} {where}", ""), rate, gust)
        by_place = alone._fastened(row, shear, up)[0]
        if self.grain is not None:
            net = alone._read(up)[0]
            moment = float(net.max()) * row.arm.out
            if not self._differ or moment >= float(by_place.max()) * self.grain:
                inch = alone._inch(int(net.argmax()), U, lift, gust)
                out = Known(row.arm.out, "from the row of fasteners to where the plate is lifted", "")
                return (U, ends.moment_across_grain(inch, out))
        place = int(by_place.argmax())
        if row.per_inch is not None and row.per_inch[0, place] == 0.0:
            none = Known(
                float(by_place[place]), f"no {row.words} counts on this stretch of plate", cite("STATICS")
            )
            return (U, none if self.grain is None else as_moment(none, self.grain))
        V, T = (
            alone._beside_told(row, across[-1], alone.beside(shear, up)[1], gust=gust, where=where)
            if row.per_inch is None
            else alone._place_told(row, place, U, across, lift, gust=gust)
        )
        nothing = row.kind.worth_nothing(V, T, row.words)
        if nothing is not None:
            return (U, nothing)
        share = row.kind.use_of(V, T, row.words)
        return (U, share if self.grain is None else as_moment(share, self.grain))

    def _alone(self, item: int) -> PlateUse:
        """One brace of it."""
        one, along = slice(item, item + 1), self.along
        names = ("x", "share", "own", "read", "base", "weight", "run", "beside")
        mine = evolve(along, **{name: getattr(along, name)[one] for name in names})
        rows = tuple(
            row if row.per_inch is None else evolve(row, per_inch=row.per_inch[one]) for row in self.rows
        )
        return evolve(self, along=mine, rows=rows, weight=self.weight[one], marks=self.marks[one])

    def _inch(self, place: int, U: float, lift: Array, gust: Mph) -> float:
        """What is left of the lift of an inch of plate, as a Sum."""
        here, mark = tape(float(self.along.x[0, place])), self.marks[0]
        φ = Known(float(self.along.own[0, place]), f"φ of {mark} at {here} from LEFT", cite("JUDGEMENT"))
        u = float(lift[place, 0] + lift[place, 1] * gust**2)
        rest = u - float(U) * float(φ)
        rest = 0.0 if abs(rest) <= _ROUNDING * abs(u) else rest  # what rounding leaves is brought by nobody
        more = Known(rest, "what other braces bring there", "")
        w = Known(
            float(self._lesser[0, place]),
            "w, weight that stands on an inch there, dry, openings out",
            "",
        )
        return ends.net_lift(spread_lift(U, φ, more), w)

    def _place_told(
        self, row: Row, place: int, U: float, across: Array, lift: Array, *, gust: Mph
    ) -> tuple[float, float]:
        assert row.per_inch is not None
        n = Known(float(row.per_inch[0, place]), f"to an inch: {row.words}", "")
        steady, rate = _upright(across[place], gust)
        v = line_at(Known(steady, "shear of an inch of plate there", ""), rate, gust)
        return on_each(v, n), row.arm.pull(on_each(self._inch(place, U, lift, gust), n))

    def _beside_told(
        self, row: Row, across: Array, held: Array, *, gust: Mph, where: str
    ) -> tuple[float, float]:
        n = Known(float(row.count), row.words, "")
        steady, rate = _upright(across, gust)
        V = force_at(Known(steady, f"shear they take {where}", ""), rate, gust)
        left = Known(
            float(held[0]), f"what the weight above leaves of the lift of {self.marks[0]}, ∫ net U φ / u", ""
        )
        return cast("float", load_of_each(V, n)), row.arm.pull(cast("float", load_of_each(left, n)))


def _upright(line: Array, gust: Mph) -> tuple[float, float]:
    """A force, steady and per gust squared, turned so that it is no less than nothing at a gust."""
    steady, rate = (float(part) for part in line)
    sign = -1.0 if steady + rate * gust**2 < 0.0 else 1.0
    return sign * steady, sign * rate


# -- the links -------------------------------------------------------------------------------------------


def plate_shear(
    forces: Forces, directions: Directions, materials: Materials, *, wall: WallStrength
) -> Iterator[Group]:
    """Bottom plate in shear under every vertical; a tacked plate has only what is declared at the braces.

    Args:
        forces: what was solved.
        directions: the sides the wind may come from for these forces.
        materials: the job's materials.
        wall: the wall's strengths.
    """
    job_wall, feet = materials.job.wall, feet_of(forces.model.meshes[0])
    plate, pieces = job_wall.plate, plate_pieces(job_wall)
    if plate.state == "tacked":
        return
    runs = np.array([high - low for low, high in runs_of(job_wall, feet)])
    lengths = np.array([high - low for low, high in (piece_at(pieces, foot) for foot in feet)])
    per_inch = on_a_piece(lengths, plate.spacing, plate.in_short_pieces)
    apart = per_inch == 1.0 / plate.spacing  # else so many are counted in the whole piece
    many, within = np.where(apart, 1.0, np.round(per_inch * lengths)), np.where(apart, plate.spacing, lengths)
    made = Made(materials.basis.acting.along_run, (wall.plate.lateral, runs), {"n": many, "length": within})
    yield Group(
        link=LinkId.PLATE_SHEAR, directions=directions, marks=(None,) * len(feet), places=feet, unit="lb",
        capacity=made.all(), made=made, demand=forces.responses.base, rows=forces.rows(),
        source=materials.basis.clauses.across, known=wall.plate.lateral_known,
        why=tuple(
            _on_piece(wall.plate, plate.spacing, long, per) for long, per in zip(lengths, per_inch, strict=True)
        ),
    )  # fmt: skip


def _on_piece(one: PlateSet, spacing: Inch, long: Inch, per_inch: float) -> Said:
    """What fastens the piece of plate a foot stands on: one every so far; on a short one so many, or none."""
    if per_inch == 1.0 / spacing:
        return _apart(one.name, spacing, one.lateral)
    piece, count = Quantity(long, Kind.TAPE), round(per_inch * long)
    if not count:
        return Said("none-on-a-piece", what=one.name, apart=Quantity(spacing, Kind.INCHES), piece=piece)
    each = Quantity(one.lateral, Kind.EACH)
    return Said("so-many-on-a-piece", what=one.name, count=count, piece=piece, each=each)


def _apart(what: str, spacing: Inch, each: Pound) -> Said:
    return Said("apart-each", what=what, apart=Quantity(spacing, Kind.INCHES), each=Quantity(each, Kind.EACH))


def plate_at_braces(
    forces: Forces, directions: Directions, materials: Materials, *, wall: WallStrength
) -> Iterator[Group]:
    """Bottom plate at each brace: shear with lift on the same fasteners, its grain, and how the lift gets there.

    Args:
        forces: what was solved.
        directions: the side the wind comes from.
        materials: the job's materials.
        wall: the wall's strengths.

    Source: STATICS, moments about the inner edge of the plate.
    """
    model = forces.model
    marks, places, job = model.marks, model.studs, model.job
    if not marks:
        return
    along = along_of(forces)
    lifts = forces.brace * np.array([s.lift_per_pound for s in model.strengths])[:, None]
    plate, marks, places = job.wall.plate, marks * forces.walls, places * forces.walls
    on_plate = np.zeros_like(lifts) if plate.bypassed else lifts
    shear = _in_parts(forces, forces.responses.base, along.base, along.beside)
    lift = _in_parts(forces, on_plate, along.share, np.tile(np.eye(len(model.marks)), (forces.walls, 1)))
    weight = along.weight if model.weighs else np.zeros_like(along.weight)
    rows = rows_of(job, wall, along)
    why = (_said(job, rows),) * len(marks)
    yield Group(
        link=LinkId.PLATE_LIFTED, directions=directions, marks=marks, places=places, unit="share used",
        capacity=np.ones(len(marks)), demand=shear, tension=lift, rows=forces.rows(parted=True), walls=forces.walls,
        use=PlateUse(along, rows, weight, marks, plate.state),
        source=materials.basis.clauses.together, known=least(*(row.kind.known for row in rows)), why=why,
    )  # fmt: skip
    if not plate.bypassed:
        t = section(job.wall.studs.size).thickness
        f = Known(ACROSS_GRAIN, "bending across the grain", cite("JUDGEMENT"), "judgement")
        m = ends.across_grain_moment(f, Known(t, "thickness of the plate", ""))
        yield Group(
            link=LinkId.PLATE_GRAIN, directions=directions, marks=marks, places=places, unit="lb in",
            capacity=np.full(len(marks), m), made=one_of(len(marks), m), demand=shear, tension=lift,
            rows=forces.rows(parted=True), walls=forces.walls,
            use=PlateUse(along, rows, weight, marks, plate.state, m),
            source=cite("JUDGEMENT"), known="judgement", why=why,
        )  # fmt: skip
    yield from _lift_paths(forces, directions, wall, along, lifts)


def along_of(forces: Forces) -> Along:
    """Give the places of the plate the braces of each wall reach, those of one wall before those of the next.

    Args:
        forces: what was solved.
    """
    model = forces.model
    feet = feet_of(model.meshes[0])
    if forces.there is None:
        return along_plate(model.job.wall, model.studs, feet)
    return along_each(model.job.wall, model.studs, feet, sets=tuple(map(tuple, forces.there.tolist())))


def _in_parts(forces: Forces, part: Array, to_inch: Array, beside: Array) -> Array:
    """Forces (walls * rows, k, 2) as parts of each brace: on an inch at each place, then beside it.

    Of the braces of all walls beside one another, (rows, walls * n, p + 1, 2).
    """
    (items, p, k), walls = to_inch.shape, forces.walls
    lines = np.moveaxis(part.reshape(walls, -1, k, 2), -1, 1)  # (walls, 2, rows, k)
    rows = lines.shape[2]
    every = np.concatenate([to_inch, beside[:, None]], axis=1).reshape(walls, -1, k)
    made = lines.reshape(walls, 2 * rows, k) @ np.swapaxes(every, 1, 2)
    each = np.moveaxis(made.reshape(walls, 2, rows, -1), 0, 2)  # (2, rows, walls, n (p + 1))
    return np.moveaxis(each.reshape(2, rows, items, p + 1), 0, -1)


def _said(job: Job, rows: tuple[Row, ...]) -> Said:
    """The rows of fasteners there are, and where across the plate they stand."""
    plate, said = job.wall.plate, []
    for row in rows[:2]:
        edge = edge_beside(plate) if row.per_inch is None else plate.row_from_sheathed_edge
        across = (
            Said("in-the-middle") if edge is None else Said("from-the-edge", edge=Quantity(edge, Kind.INCHES))
        )
        if row.per_inch is None:
            here = Said("so-many", count=row.count, what=row.kind.name)
        else:
            here = Said("one-every", what=row.kind.name, apart=Quantity(plate.spacing, Kind.INCHES))
        said.append(Said("in-the-plate", here=here, across=across))
    return Said("rows-in-the-plate", rows=tuple(said)) if said else Said("nothing-in-the-plate")


def _lift_paths(
    forces: Forces, directions: Directions, wall: WallStrength, along: Along, lift: Array
) -> Iterator[Group]:
    """How a brace's lift leaves its stud: through a declared strap; else stud to sheathing, sheathing to plate or rim.

    Nails in the ends of the stud count for nothing, and the weight of the wall holds no sheathing down.
    """
    job, basis = forces.model.job, forces.model.basis
    plate = job.wall.plate
    marks, places = forces.model.marks, forces.model.studs
    there = forces.sets
    shared = np.array(places)[:, None] == np.array(places)  # two braces on one stud lift it together
    of_stud = shared.astype(float) @ lift
    strap = plate.strap_at_brace_lb
    if strap > 0.0:
        declared = Known(strap, "allowable of the strap, as declared", cite("USER", "strap"))
        yield Group(
            link=LinkId.STRAP, directions=directions, marks=marks, places=places, unit="lb",
            capacity=forces.in_rows(np.where(there, strap, np.inf)), made=one_of(len(marks), declared),
            demand=of_stud * strap_lever(job), one_way=True, rows=forces.rows(), source=cite("USER", "strap"),
            why=(Said("declared-allowable"),) * len(marks),
        )  # fmt: skip
        return
    nail, name = wall.sheathing_nail, plate.sheathing_fastener
    apart = plate.sheathing_field_spacing
    said, each = Said("sheathing-not-nailed"), Quantity(nail, Kind.EACH)
    yield _sheathing_foot(forces, directions, wall, along, lift)
    counts = np.array([int(brace.head / apart + _ROUNDING) for brace in job.braces], dtype=float)
    counts *= np.array(_on_panels(forces), dtype=float)
    made = Made(basis.acting.all_of, (nail, counts, 1.0))
    yield Group(
        link=LinkId.STUD_TO_SHEATHING, directions=directions, marks=marks, places=places, unit="lb",
        capacity=forces.in_rows(np.where(there, made.all(), np.inf)), made=made, demand=of_stud, rows=forces.rows(),
        one_way=True,
        source=basis.clauses.across, known=wall.sheathing_known,
        why=tuple(
            past_what_is_under(
                job, Said("so-many-each", so_many=Said("so-many", count=round(count), what=name), each=each)
            ) if count else said
            for count in counts
        ),
    )  # fmt: skip


def _on_panels(forces: Forces) -> tuple[bool, ...]:
    """Whether panels are nailed off wherever the lift of each brace reaches: else they take none of it."""
    wall = forces.model.job.wall
    near = [(max(x - HALF, 0.0), min(x + HALF, wall.length)) for x in forces.model.studs]
    return tuple(wall.covered(each) == (each,) for each in near)


def past_what_is_under(job: Job, nails: Said) -> Said:
    """Say of sheathing nails what they reach across, where something stands under the panel.

    Args:
        job: the job.
        nails: what is said of them.
    """
    under = under_sheathing(job)
    if not under:
        return nails
    thick = Quantity(sum(each.thickness for each in under), Kind.HUNDREDTHS)
    return Said("across-what-is-under", nails=nails, thick=thick, under=tuple(each.name for each in under))


def _sheathing_foot(
    forces: Forces, directions: Directions, wall: WallStrength, along: Along, lift: Array
) -> Group:
    """Sheathing to plate or rim: what lifts an inch at each place a brace reaches, over the run its lift has alone."""
    job, basis, (n, p) = forces.model.job, forces.model.basis, along.x.shape
    plate, nail, walls = job.wall.plate, wall.sheathing_nail, forces.walls
    laps = [plate.sheathing_laps != "none" and bool(nail) and on for on in _on_panels(forces)] * walls
    most = along.own.max(axis=1)
    run = 1.0 / np.where(most > 0.0, most, 1.0)  # of an even lift as great as its most
    counts = along.per_inch(plate.sheathing_spacing) * run[:, None] * np.array(laps, dtype=float)[:, None]
    lines = np.moveaxis(lift.reshape(walls, -1, lift.shape[1], 2), -1, 1)  # (walls, 2, rows, braces)
    each = lines @ np.swapaxes(along.share.reshape(walls, -1, lift.shape[1]), 1, 2)[:, None]
    u = np.moveaxis(each, 0, 2).reshape(2, -1, n * p) * (along.read * run[:, None]).ravel()
    made = Made(basis.acting.all_of, (nail, counts.ravel(), 1.0))
    return Group(
        link=LinkId.SHEATHING_TO_RIM if plate.sheathing_laps == "rim" else LinkId.SHEATHING_TO_PLATE,
        directions=directions, marks=forces.model.marks * walls, places=forces.model.studs * walls, unit="lb",
        capacity=made.all(), made=made, demand=np.moveaxis(u, 0, -1),
        rows=forces.rows(parted=True), walls=walls, one_way=True, starts=np.arange(n, dtype=np.intp) * p,
        source=basis.clauses.across, known=wall.sheathing_known,
        why=tuple(
            past_what_is_under(job, _apart(plate.sheathing_fastener, plate.sheathing_spacing, nail))
            if on else Said("sheathing-not-nailed")
            for on in laps
        ),
    )  # fmt: skip
