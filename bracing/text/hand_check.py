"""The check a builder does by hand: each brace holds the wall half-way to the next one.

It is printed beside the grillage, so that anyone can follow the size of the numbers with a pencil. The wind is that of
the grillage's own case, its resultant 0.05 s higher where nothing is open under the wall. Compare the sums: single
braces differ by up to 40%, since studs and top plate share load out by stiffness.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TypedDict

from attrs import frozen

from bracing.chain.forces import Forces
from bracing.check import CheckResult
from bracing.choosing import greatest, over
from bracing.job.wall import Wall
from bracing.units import Inch, Pound, Psi

SAME_HEAD: Inch = 1.0
SAME_SUM = 0.1  # sums nearer than this share need no words on why they differ
LEVEL = (0.0, 0.0)  # pressure the same at every height

HandBraceJson = TypedDict("HandBraceJson", {
    "mark": str, "width_ft": float, "by_hand_lb": float, "grillage_lb": float,
})  # fmt: skip
HandCheckJson = TypedDict("HandCheckJson", {
    "pressure_psf": float, "resultant_raised": bool, "sum_by_hand_lb": float, "sum_of_grillage_lb": float,
    "braces": list[HandBraceJson], "why": list[str],
})  # fmt: skip


@frozen
class HandCheck:
    """Brace forces by tributary width, beside those of the grillage; level, in push, case A.

    Attributes:
        pressure: mean pressure of case A [psi].
        raised: its resultant is 0.05 s higher, as nothing is open under the wall.
        marks: braces that count in push.
        widths: width of wall each holds [in].
        by_hand: level force of each by hand [lb].
        grillage: level force of each by the grillage under the same wind [lb].
        why: why the two differ, in plain words.
    """

    pressure: Psi
    raised: bool
    marks: tuple[str, ...]
    widths: tuple[Inch, ...]
    by_hand: tuple[Pound, ...]
    grillage: tuple[Pound, ...]
    why: tuple[str, ...]

    @property
    def sums(self) -> tuple[Pound, Pound]:
        """Sum of all braces by hand and by the grillage [lb]."""
        return sum(self.by_hand), sum(self.grillage)

    def to_dict(self) -> HandCheckJson:
        """Give it as a JSON object."""
        by_hand, grillage = self.sums
        rows = zip(self.marks, self.widths, self.by_hand, self.grillage, strict=True)
        return {
            "pressure_psf": self.pressure * 144.0,
            "resultant_raised": self.raised,
            "sum_by_hand_lb": by_hand,
            "sum_of_grillage_lb": grillage,
            "braces": [
                {"mark": mark, "width_ft": width / 12.0, "by_hand_lb": hand, "grillage_lb": force}
                for mark, width, hand, force in rows
            ],
            "why": list(self.why),
        }


def hand_check(result: CheckResult) -> HandCheck | None:
    """Check brace forces by tributary width.

    Args:
        result: the wall checked.

    Returns:
        The check; None where no number stands behind it, or no brace counts in push.
    """
    if result.model is None or result.evaluation is None or result.pressure_psf is None:
        return None
    model, forces = result.model, result.evaluation.forces[0]
    working = [k for k, strength in enumerate(model.strengths) if strength.counts_in_push]
    if not working or not forces.held.all():
        return None
    working.sort(key=lambda k: model.studs[k])
    wall, braces = result.job.wall, [result.job.braces[k] for k in working]
    pressure = result.pressure_psf / 144.0
    edges = widths([model.studs[k] for k in working], wall)
    row = _row(forces)
    field = model.cases.fields[row]
    grillage = tuple((forces.brace[row, working, 1] * result.evaluation.gust**2).tolist())
    by_hand = tuple(
        level_force(pressure, wall, between=between, head=lever, rise=(field.rise, field.z_bar))
        for between, lever in zip(edges, model.meshes[0].levers[working].tolist(), strict=True)
    )
    return HandCheck(
        pressure=pressure, raised=field.gap == "closed", marks=tuple(brace.mark for brace in braces),
        widths=tuple(b - a for a, b in edges),
        by_hand=by_hand, grillage=grillage, why=_why(result, by_hand, grillage),
    )  # fmt: skip


def widths(studs: list[Inch], wall: Wall) -> list[tuple[Inch, Inch]]:
    """Give the stretch of wall each brace holds: to half-way to its neighbours, all of a free end.

    Args:
        studs: centres of their studs from LEFT, in order [in].
        wall: the wall.

    Returns:
        (from, to) of each [in].

    Example:
        >>> widths([48.0, 96.0], Wall(name="W", top=((0.0, 96.0), (144.0, 96.0))))
        [(0.0, 72.0), (72.0, 144.0)]
    """
    between = [(a + b) / 2.0 for a, b in pairwise(studs)]
    return list(pairwise([0.0, *between, wall.length]))


def level_force(
    pressure: Psi, wall: Wall, *, between: tuple[Inch, Inch], head: Inch, rise: tuple[float, Inch] = LEVEL
) -> Pound:
    """Give the level force at a brace's head that balances the wind on its width.

    R = p ∫ [(1 - r z0) z²/2 + r z³/3] dx / h, of a pressure p (1 + r (z - z0)): R = p ∫ z²/2 dx / h where r is 0.

    Args:
        pressure: mean over the wall [psi].
        wall: gives the outline z(x).
        between: the stretch of wall it holds [in].
        head: head height h; where the head is cut plumb with the couple of each pound level added [in].
        rise: relative change of the pressure with height, r, and the height where it adds nothing, z0 [1/in, in].

    Returns:
        The level force [lb].

    Source: STATICS moments about the bottom plate.

    Example:
        >>> square = Wall(name="W", top=((0.0, 120.0), (240.0, 120.0)))
        >>> level_force(0.05, square, between=(0.0, 100.0), head=120.0)
        300.0
    """
    (low, high), (r, z0) = between, rise
    cuts = sorted({low, high, *(x for x, _ in wall.top if low < x < high)})
    moment = 0.0
    for a, b in pairwise(cuts):
        za, zm, zb = (wall.height_at(x) for x in (a, (a + b) / 2.0, b))
        at = [(1.0 - r * z0) * z**2 / 2.0 + r * z**3 / 3.0 for z in (za, zm, zb)]
        moment += (b - a) * (at[0] + 4.0 * at[1] + at[2]) / 6.0  # exact: the top is straight between cuts
    return pressure * moment / head


def _row(forces: Forces) -> int:
    """Case A of the greatest mean pressure, of the same the first; rows begin with panel and joints at their stiffest.

    Where air may pass or not, nothing open is the first of the two: its resultant is the higher.
    """
    fields = forces.model.cases.fields
    return greatest(
        (k for k, field in enumerate(fields) if field.case == "A"), lambda k: fields[k].zones[0][2]
    )


def _why(result: CheckResult, by_hand: tuple[Pound, ...], grillage: tuple[Pound, ...]) -> tuple[str, ...]:
    job = result.job
    said = ["studs and top plate share load out by stiffness, and by hand they do not"]
    if not over(abs(sum(grillage) - sum(by_hand)), SAME_SUM * sum(by_hand)):
        return tuple(said)
    heads = [brace.head for brace in job.braces]
    if over(max(heads) - min(heads), SAME_HEAD):
        said.append("heads differ in height, and a lower head takes more force for the same wind")
    if any(not opening.covered for opening in job.wall.openings):
        said.append("wind passes the uncovered openings")
    return tuple(said)
