"""Other layouts of the same wall side by side: each is best in something, and those beaten in all are dropped."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypedDict

from attrs import field, frozen

from bracing.chain.evaluate import limit_gust
from bracing.chain.model import build_model
from bracing.choosing import whole_down
from bracing.job.job import Job
from bracing.layout.candidates import Recipe
from bracing.layout.grid import Yard
from bracing.layout.least import Answer, quick
from bracing.layout.needed import rows_added
from bracing.layout.parts import board_feet, fasteners_needed
from bracing.units import Mph

Told = Callable[[str], None]

# Kinds looked for beside the answer: words, and which recipes they allow.
KINDS: tuple[tuple[str, Callable[[Recipe], bool]], ...] = (
    ("no strongback", lambda recipe: not recipe.strongback),
    ("no tie rows", lambda recipe: recipe.ties == 0),
    ("no doubled studs", lambda recipe: not recipe.doubled),
    ("no T", lambda recipe: recipe.stiffener == "none"),
    ("no T, no doubled studs", lambda recipe: recipe.stiffener == "none" and not recipe.doubled),
)

AlternativeJson = TypedDict("AlternativeJson", {
    "what": str, "braces": int, "recipe": str, "lumber_board_ft": float, "fasteners": int, "tie_rows": int,
    "studs_doubled": bool, "limit_gust_mph": int,
})  # fmt: skip


@frozen(eq=False)
class Alternative:
    """One layout beside others.

    Attributes:
        what: what it is best in, or free of.
        job: the job with its braces.
        recipe: what its braces have in common.
        lumber: all lumber it takes [board ft].
        fasteners: all fasteners in its braces' joints.
        limit: its limit gust [mph].
    """

    what: str
    job: Job = field(repr=False)
    recipe: Recipe
    lumber: float
    fasteners: int
    limit: Mph

    @property
    def costs(self) -> tuple[float, ...]:
        """What it takes, each better when less: braces, lumber, fasteners, ties, doubled studs, second sticks, rows."""
        count, recipe = len(self.job.braces), self.recipe
        doubled, stiffened = count * recipe.doubled, count * (recipe.stiffener != "none")
        return count, round(self.lumber), self.fasteners, recipe.ties, doubled, stiffened, recipe.strongback

    def to_dict(self) -> AlternativeJson:
        """Give it as a JSON object."""
        return {
            "what": self.what, "braces": len(self.job.braces), "recipe": self.recipe.said(),
            "lumber_board_ft": round(self.lumber, 1), "fasteners": self.fasteners, "tie_rows": self.recipe.ties,
            "studs_doubled": self.recipe.doubled, "limit_gust_mph": whole_down(self.limit),
        }  # fmt: skip


def alternatives(yard: Yard, answer: Answer, *, budget: float, progress: Told) -> tuple[Alternative, ...]:
    """Look for other layouts of the same wall; none of them is proved to be the least of its kind.

    Args:
        yard: the wall with its benches.
        answer: the layout found.
        budget: time for all of them [s].
        progress: told what is being done.

    Returns:
        The answer first, then the others; nothing where it stands alone.
    """
    first = "fewest braces, strongback" if answer.recipe.strongback else "fewest braces"
    found = [_weighed(yard, first, answer)]
    try:
        for what, wanted in KINDS:
            if wanted(answer.recipe):
                continue
            progress(f"looking for another layout: {what}")
            other = quick(yard.only(wanted), budget / len(KINDS))
            if other is not None:
                found.append(_weighed(yard, what, other))
    except KeyboardInterrupt:
        return ()
    kept = undominated(found)
    return tuple(kept) if len(kept) > 1 else ()


def _weighed(yard: Yard, what: str, answer: Answer) -> Alternative:
    limit = limit_gust(build_model(answer.job, thunderstorm=yard.thunderstorm))
    count = sum(fasteners_needed(answer.job).values())
    return Alternative(
        what,
        answer.job,
        answer.recipe,
        board_feet(answer.job, rows=rows_added(yard.job, answer.job)),
        count,
        limit,
    )


def undominated(found: list[Alternative]) -> list[Alternative]:
    """Drop a layout that another beats or equals in everything; of equals the first stays.

    Args:
        found: the layouts.
    """
    kept: list[Alternative] = []
    for k, one in enumerate(found):
        beaten = any(
            all(a <= b for a, b in zip(other.costs, one.costs, strict=True))
            and (other.costs != one.costs or i < k)
            for i, other in enumerate(found)
            if i != k
        )
        if not beaten:
            kept.append(one)
    return kept
