"""Many layouts of one wall at one gust, by the thousand: what is over is over, what is not is to be checked."""

from __future__ import annotations

from typing import cast

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import ArrayLike, NDArray

from bracing.chain.brace import brace_strength
from bracing.chain.materials import materials_of
from bracing.chain.model import ON_STUD
from bracing.choosing import SAME
from bracing.errors import refused
from bracing.job.brace import Brace
from bracing.job.fields import held_part, held_value
from bracing.job.framing import Framing, frame_wall
from bracing.job.job import Job
from bracing.layout.candidates import Candidate, level_of, shape
from bracing.layout.grid import Pool, pools_of
from bracing.layout.screen import worst_ratios
from bracing.layout.spots import Spot
from bracing.units import Mph

Array = NDArray[np.float64]
THREE = 3  # numbers a brace is given by
FREE = "free"


@frozen(eq=False, repr=False)
class LayoutsRated:
    """Many layouts of one wall at one gust.

    Attributes:
        job: the wall.
        gust: the gust [mph].
        like: what every brace has beside its place.
        braces: stud from LEFT, head height and set-back of each brace, shape (b, n, 3) [in].
        ratios: least that the worst ratio of each layout can be, people on the wall; infinite where it can move, (b,).
    """

    job: Job
    gust: Mph
    like: Brace
    braces: Array = field(repr=False)
    ratios: Array = field(repr=False)

    @property
    def over(self) -> NDArray[np.bool_]:
        """Whether each layout is over for sure; what is not must be checked, (b,)."""
        over: NDArray[np.bool_] = self.ratios > 1.0 + SAME
        return over

    def job_of(self, index: int) -> Job:
        """Give the wall with the braces of one layout, to be checked.

        Args:
            index: which layout.
        """
        return evolve(self.job, braces=_braces(self.like, self.braces[index]))

    def __repr__(self) -> str:
        told = f"gust={self.gust:g}, layouts={len(self.ratios)}, over={int(self.over.sum())}"
        return f"LayoutsRated(wall={self.job.wall.name!r}, {told})"


def evaluate_layouts(
    job: Job, layouts: ArrayLike, *, gust: Mph, like: Brace | None = None, thunderstorm: bool = False
) -> LayoutsRated:
    """Give the least that the worst ratio of each of many layouts can be at one gust, all of them at once.

    It is the screen of the search for a layout: every wind case, both directions, both plates, all joints slack and
    each brace in turn tight among them. Left out are links that more fasteners, nails or straps mend, so that a ratio
    over 1 is over, and one that is not says nothing yet: check those with `check_wall(rated.job_of(k), gust=gust)`.

    Args:
        job: the wall; the braces in it are not looked at.
        layouts: of each brace of each layout its stud from LEFT, head height and set-back, shape (b, n, 3) [in].
        gust: actual 3-second gust at 33 ft in open country [mph].
        like: size, ties, fasteners and the rest of every brace; the first of the job, else one of the first size on
            hand with as many fasteners as its head and cleat have room for.
        thunderstorm: the wind profile of an outflow.

    Returns:
        The ratios, shape (b,), with the layouts.

    Raises:
        InputError: a place that is on no full-height stud, a head over its stud, two braces of one layout on one stud;
            a wall with rows across its studs or ends that are held, for which the screen is no bound.

    Example:
        >>> from bracing.job.wall import Wall
        >>> wall = Job(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0))))
        >>> one = Brace(mark="B", stud_at=72.0, head=72.0, set_back=72.0, size="2x6", floor_fasteners=4)
        >>> evaluate_layouts(wall, [[[72.0, 72.0, 72.0], [168.0, 72.0, 72.0]]], gust=40.0, like=one)
        LayoutsRated(wall='W', gust=40, layouts=1, over=1)
    """
    gust = held_value(gust, "speed", "gust", least=0.0)
    thunderstorm = held_value(thunderstorm, "flag", "thunderstorm")
    bare = evolve(held_part(job, Job, "job"), braces=(), built=None)
    _refuse_no_bound(bare)
    framing = frame_wall(bare.wall)
    places = _held_layouts(bare, framing, layouts)
    brace = _like(job) if like is None else held_part(like, Brace, "like")
    each, which = np.unique(places.reshape(-1, THREE), axis=0, return_inverse=True)
    pool = _pool(bare, framing, brace, each=each, gust=gust, thunderstorm=thunderstorm)
    ordered = np.take_along_axis(
        which.reshape(places.shape[:2]), np.argsort(places[:, :, 0], axis=1, kind="stable"), axis=1
    )
    ratios = worst_ratios(pool, ordered.astype(np.intp))
    for part in (places, ratios):
        part.setflags(write=False)
    return LayoutsRated(bare, gust, brace, places, ratios)


def _refuse_no_bound(job: Job) -> None:
    where, expected = (
        "job.wall",
        "a wall with free ends, no rows across its studs and nothing on it from above",
    )
    wall = job.wall
    if wall.rows or wall.above or not wall.left_end == wall.right_end == FREE:
        raise refused(where, wall.name, f"{expected}: check the layouts of any other one by one")


def _like(job: Job) -> Brace:
    """What every brace has beside its place, where nobody said."""
    if job.braces:
        return job.braces[0]
    if not job.kit.stock:
        where = "like"
        raise refused(where, None, "a Brace, or a job with a brace or with stock on hand")
    reach = min(job.wall.height_at(x) for x in (0.0, job.wall.length)) / 2.0
    return shape(job, job.kit.stock[0].size, head=reach, set_back=reach)


def _held_layouts(job: Job, framing: Framing, layouts: ArrayLike) -> Array:
    """Hold every place to a stud of the wall, and put it on its centre."""
    where, expected = "layouts", "an array (b, n, 3): stud, head and set-back of each brace, in inches"
    try:
        places = np.array(layouts, dtype=np.float64)
    except (TypeError, ValueError):
        raise refused(where, type(layouts).__name__, expected) from None
    if (
        places.ndim != THREE
        or places.shape[2] != THREE
        or places.shape[1] == 0
        or not np.isfinite(places).all()
    ):
        raise refused(where, f"shape {places.shape}", expected)
    studs = np.array([stud.x for stud in framing.full_height_studs])
    nearest = np.abs(places[:, :, 0, None] - studs).argmin(axis=2)
    tall = np.array([job.wall.height_at(x) for x in studs])[nearest]
    faults = (
        (np.abs(studs[nearest] - places[:, :, 0]) > ON_STUD, "on a full-height stud"),
        ((places[:, :, 1] <= 0.0) | (places[:, :, 1] > tall), "with its head on its stud"),
        (places[:, :, 2] <= 0.0, "with its foot out from the plate"),
        (_doubled(nearest), "alone on its stud"),
    )
    for wrong, told in faults:
        if wrong.any():
            b, n = (int(k) for k in np.argwhere(wrong)[0])
            place = f"{where}[{b}][{n}]"
            raise refused(place, places[b, n].tolist(), f"each brace {told}; {int(wrong.sum())} are not")
    places[:, :, 0] = studs[nearest]
    return places


def _doubled(studs: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Whether each brace stands on a stud that another of its layout stands on."""
    same = studs[:, :, None] == studs[:, None, :]
    twice: NDArray[np.bool_] = same.sum(axis=2) > 1
    return twice


def _braces(like: Brace, places: Array) -> tuple[Brace, ...]:
    """A brace in each place, beside its place like one."""
    return tuple(
        evolve(like, mark=f"B{k + 1}", stud_at=float(x), head=float(head), set_back=float(back))
        for k, (x, head, back) in enumerate(places)
    )


def _pool(job: Job, framing: Framing, like: Brace, *, each: Array, gust: Mph, thunderstorm: bool) -> Pool:
    """Every brace there is in the layouts, on the wall at the gust, as the screen reads them."""
    materials = materials_of(job)
    braces = _braces(like, each)
    strengths = [brace_strength(materials, brace) for brace in braces]
    nowhere = cast("Spot", None)  # where a foot stands the strength has said
    candidates = tuple(
        Candidate(brace, nowhere, strength, level_of(strength), 0.0)
        for brace, strength in zip(braces, strengths, strict=True)
    )
    return pools_of(job, framing, [(job, candidates)], gust=gust, thunderstorm=thunderstorm)[0]
