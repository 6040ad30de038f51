"""The answer of `layout`: how many braces, where, cut how, fastened with what; and whether fewer would do."""

from __future__ import annotations

import math
from collections.abc import Callable

from attrs import evolve, field, frozen

from bracing.chain.forces import build_model
from bracing.check import CheckResult, check
from bracing.envelope import ANGLES, beyond
from bracing.errors import InputError
from bracing.evaluate import keeping, limit_gust
from bracing.gusts import thunderstorm_gust
from bracing.job import Job
from bracing.layout.buy import Item, truck_list
from bracing.layout.choices import choose
from bracing.layout.cuts import Cut, cut_of
from bracing.layout.least import Answer, Grid, at_spacing, least
from bracing.layout.makes import Recipe
from bracing.layout.spots import Refused
from bracing.layout.yard import make_yard
from bracing.units import Inch, Mph, tape

BUDGET = 5.0
DAY_GUST: Mph = 25.0


@frozen(eq=False)
class LayoutResult:
    """A layout.

    Attributes:
        job: the job with the layout's braces, marked in the order they go up.
        result: its check at the gust.
        recipe: what all braces have in common.
        needed: what must be so, or be added, for it.
        grid: what was tried.
        cuts: how each brace is cut.
        buy: the truck list.
        after_each: limit gust with the first brace up, the first two, and so on, unrounded [mph].
        day_gust: gust of the day for the hook [mph].
        refused: places no foot may stand.
        walked: braces of the walk, before fewer were looked for; None where no walk stands.
    """

    job: Job
    result: CheckResult
    recipe: Recipe
    needed: tuple[str, ...]
    grid: Grid
    cuts: tuple[Cut, ...]
    buy: tuple[Item, ...]
    after_each: tuple[Mph, ...]
    day_gust: Mph
    refused: tuple[Refused, ...] = field(repr=False)
    walked: int | None = None

    @property
    def hook_until(self) -> str | None:
        """Mark of the brace that must be fully fastened before the hook comes off; None if the day's gust is over all."""
        enough = [gust >= self.day_gust for gust in self.after_each]
        first = next((k for k in range(len(enough)) if all(enough[k:])), None)
        return None if first is None else self.job.braces[first].mark

    def to_dict(self) -> dict[str, object]:
        """Give the result as the JSON object of the design, section 12."""
        whole = self.result.to_dict()
        braces = []
        for k, (brace, cut, shown) in enumerate(
            zip(self.job.braces, self.cuts, self.result.braces, strict=True)
        ):
            braces.append(
                {
                    **shown.to_dict(), "order": k + 1, "stud": f"stud at {brace.stud_at / 12.0:.3f} ft",
                    **cut.to_dict(), "ties": brace.ties, "stud_doubled": brace.stud_doubled,
                    "head_fasteners": brace.head_fasteners, "cleat_fasteners": brace.cleat_fasteners,
                    "floor_fasteners": brace.floor_fasteners,
                }
            )  # fmt: skip
        return {
            **whole, "schema": str(whole["schema"]).replace("check", "layout"), "braces": braces,
            "proved_least": self.grid.proved,
            "grid": {"recipes": self.grid.recipes, "makes": self.grid.spots, "layouts_with_fewer": self.grid.fewer,
                     "evaluated": self.grid.evaluated, "said": self.grid.said()},
            "recipe": self.recipe.said(), "needed_too": list(self.needed),
            "buy": [item.to_dict() for item in self.buy], "alternatives": [],
            "after_each_mph": [math.floor(gust + 1e-9) for gust in self.after_each],
            "day_gust_mph": self.day_gust, "hook_stays_until": self.hook_until, "walk_braces": self.walked,
        }  # fmt: skip


def lay_out(
    job: Job, *, gust: Mph, budget: float = BUDGET, spacing: Inch | None = None, angle: float | None = None,
    day_gust: Mph = DAY_GUST, thunderstorm: bool = False, progress: Callable[[str], None] = lambda _: None,
) -> LayoutResult:  # fmt: skip
    """Lay out the braces of a wall for a gust.

    Args:
        job: the job; braces in it are not kept.
        gust: the gust asked [mph].
        budget: time for the search of fewer braces [s].
        spacing: solve for this spacing as given, or None [in].
        angle: solve for this angle as given, or None [degrees].
        day_gust: gust of the day, for the hook [mph].
        thunderstorm: the forecast says thunderstorms.
        progress: told what is being done.

    Returns:
        The layout.

    Raises:
        NoLayoutError: none within the grid; says what stops it.
        InputError: the wall or gust lies outside the envelope of use.
    """
    asked = thunderstorm_gust(gust) if thunderstorm else gust
    bare = evolve(job, braces=())
    _refuse(bare, asked, angle)
    chosen, needed = choose(bare)
    yard = make_yard(chosen, asked, angle=angle, thunderstorm=thunderstorm)
    answer = least(yard, budget, progress) if spacing is None else at_spacing(yard, spacing)
    result = check(answer.job, gust=gust, thunderstorm=thunderstorm, effects=False)
    return LayoutResult(
        job=answer.job, result=result, recipe=answer.recipe, needed=(*needed, *_mended(chosen, answer)),
        grid=answer.grid, cuts=tuple(cut_of(answer.job, brace) for brace in answer.job.braces),
        buy=truck_list(answer.job), after_each=_after_each(answer.job, thunderstorm=thunderstorm),
        day_gust=day_gust, refused=yard.refused, walked=answer.walked,
    )  # fmt: skip


def _refuse(job: Job, gust: Mph, angle: float | None) -> None:
    outside = beyond(job, gust)
    if outside:
        where, expected = (
            "gust and wall",
            "a wall and a gust inside the envelope of use; outside it, an engineer",
        )
        raise InputError.of(where, "; ".join(outside), expected, file=job.file)
    if angle is not None and not ANGLES[0] <= angle <= ANGLES[1]:
        where, expected = "angle", "25 to 65 degrees from the floor"
        raise InputError.of(where, f"{angle:g}", expected)


def _after_each(job: Job, *, thunderstorm: bool) -> tuple[Mph, ...]:
    """Limit gust with the first brace up, the first two, and so on."""
    model = build_model(job, thunderstorm=thunderstorm)
    return tuple(limit_gust(keeping(model, list(range(k + 1)))) for k in range(len(job.braces)))


def _mended(before: Job, answer: Answer) -> tuple[str, ...]:
    """What finishing asked of the wall beyond the choices, in plain words."""
    was, now = before.wall, answer.job.wall
    first = answer.job.braces[0]
    said = []
    if now.plate.spacing != was.plate.spacing:
        said.append(f"bottom plate fasteners every {tape(now.plate.spacing)}")
    if now.plate.extra != was.plate.extra:
        said.append(
            f"{now.plate.extra.at_each_brace} x {now.plate.extra.fastener} through the plate within 24 in of each brace"
        )
    if now.plate.strap_at_brace_lb > was.plate.strap_at_brace_lb:
        said.append(
            f"a strap from stud to floor framing at each brace, allowable {now.plate.strap_at_brace_lb:.0f} lb"
        )
    if now.top_plate.strap_at_brace_lb > was.top_plate.strap_at_brace_lb:
        said.append(
            f"a strap or screws from top plate to each braced stud, allowable {now.top_plate.strap_at_brace_lb:.0f} lb"
        )
    if now.top_plate.end_nails != was.top_plate.end_nails:
        said.append(
            f"{now.top_plate.end_nails} x {now.top_plate.end_nail} through the top plate into each stud"
        )
    if now.top_plate.spliced and not was.top_plate.spliced:
        said.append("both top plates nailed together, joints lapped 4 ft")
    if now.plate.sheathing_spacing != was.plate.sheathing_spacing:
        said.append(f"sheathing nails every {tape(now.plate.sheathing_spacing)} along the plate")
    if now.plate.sheathing_field_spacing != was.plate.sheathing_field_spacing:
        said.append(f"sheathing nails every {tape(now.plate.sheathing_field_spacing)} on the studs")
    said += [
        f"{b.header_nails} x {b.header_fastener} into header and sill ends of the opening at {tape(b.left)}"
        for a, b in zip(was.openings, now.openings, strict=True)
        if a.header_nails != b.header_nails
    ]
    if first.ties:
        said.append(
            f"{first.ties} tie row{'s' if first.ties > 1 else ''} across the braces, run to a diagonal at each end"
        )
    if first.stud_doubled:
        said.append("each braced stud doubled over its full height")
    if answer.job.kit.cleat.sides > before.kit.cleat.sides:
        said.append("two cleats at each foot, the brace between them")
    return tuple(said)
