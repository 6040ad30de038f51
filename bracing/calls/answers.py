"""The questions a program asks, and their answers: short in a log, a page in a notebook, and as JSON a dictionary.

Each answer is the result of the calculation with three things more: `repr` in one line, `_repr_html_`, the page the
command prints, and `to_dict()`, what the command says with `--json`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from html import escape
from typing import Any, ClassVar, ParamSpec, TypeVar, cast

from attrs import AttrsInstance, fields, frozen

from bracing.check import CheckResult, check
from bracing.job.job import NO_FILE, Job
from bracing.layout.nearest import NearestLayout
from bracing.layout.nearest import what_would_do as nearest_of
from bracing.layout.plan import LayoutResult
from bracing.layout.plan import lay_out as laid_out
from bracing.lift.day import day_plan
from bracing.lift.plan import LiftPlan
from bracing.lift.plan import plan_lift as lift_of
from bracing.stages.stages import StagesResult, stages
from bracing.storm.answer import StormResult, storm
from bracing.text.quantities import in_words
from bracing.work.joints import FastenerChoice
from bracing.work.joints import choose_fasteners as fasteners_of

P = ParamSpec("P")
Result = TypeVar("Result")
Answer = TypeVar("Answer")
WALL = "job.wall.name"
NAMED = "WALL.toml"  # on a page, of a wall that came from no file


@frozen(eq=False, repr=False)
class Shown:
    """What every answer a program gets does beside its own."""

    told: ClassVar[dict[str, str]] = {}  # what its one line tells beside the wall, by attribute

    def page(self) -> str:
        """Give the page its command prints, 80 columns wide."""
        raise NotImplementedError

    def __repr__(self) -> str:
        said = (f"{name}={_short(self, path)}" for name, path in {"wall": WALL, **self.told}.items())
        return f"{type(self).__name__}({', '.join(said)})"

    def _repr_html_(self) -> str:
        """The page its command prints, for a notebook."""
        return f"<pre>{escape(self.page())}</pre>"


def _short(answer: object, path: str) -> str:
    """An attribute in few letters: a wall by its name, a list by how many there are of it."""
    value: Any = answer
    for name in path.split("."):
        value = None if value is None else getattr(value, name)
    if isinstance(value, tuple):
        return str(len(value))
    if value is None or isinstance(value, bool | int):
        return str(value)
    return f"{value:.4g}" if isinstance(value, float) else repr(str(value))


def made(answer: type[Answer], result: object) -> Answer:
    """Give a result of the calculation as an answer.

    Args:
        answer: the class of the answer, which is one of the result's.
        result: the result.
    """
    every = fields(cast("type[AttrsInstance]", type(result)))
    return answer(**{one.alias: getattr(result, one.name) for one in every if one.init})


def _named(job: Job) -> str:
    return NAMED if job.file == NO_FILE else job.file


def _worded(answer: object) -> dict[str, Any]:
    return cast("dict[str, Any]", in_words(answer))


@frozen(eq=False, repr=False)
class CheckAnswer(Shown, CheckResult):
    """A wall checked, as `check_wall` answers; everything `CheckResult` has, and as `bracing check` shows it."""

    told: ClassVar[dict[str, str]] = {
        "gust": "gust",
        "verdict": "verdict",
        "clear_out": "clear_out",
        "limit_whole": "limit_whole",
    }

    def to_dict(self) -> dict[str, Any]:  # type: ignore[override]  # the same keys, in words
        """Give what `bracing check --json` says."""
        from bracing.text.hand_check import hand_check

        hand = hand_check(self)
        beside = {"hand_check": None if hand is None else hand.to_dict()}
        return _worded({**CheckResult.to_dict(self), **beside})

    def page(self) -> str:
        """Give the page `bracing check` prints."""
        from bracing.text.check import Details, check_page
        from bracing.text.hand_check import hand_check
        from bracing.text.page import Page

        return check_page(self, hand_check(self), Page(), wall=_named(self.job), details=Details())


@frozen(eq=False, repr=False)
class LayoutAnswer(Shown, LayoutResult):
    """A layout, as `lay_out` answers; everything `LayoutResult` has, and as `bracing layout` shows it."""

    told: ClassVar[dict[str, str]] = {
        "gust": "result.gust",
        "braces": "job.braces",
        "clear_out": "result.clear_out",
        "limit_whole": "result.limit_whole",
        "minutes": "minutes",
    }

    @property
    def checked(self) -> CheckAnswer:
        """The wall with these braces, checked at the gust."""
        return made(CheckAnswer, self.result)

    def to_dict(self) -> dict[str, Any]:
        """Give what `bracing layout --json` says."""
        return _worded(LayoutResult.to_dict(self))

    def page(self) -> str:
        """Give the page `bracing layout` prints."""
        from bracing.text.layout import Shown as Beside
        from bracing.text.layout import layout_page
        from bracing.text.page import Page

        again = "" if self.result.gust is None else f" --gust {self.result.gust:g}"
        beside = Beside(gust=self.result.gust, again=again)
        return layout_page(self, Page(), wall=_named(self.before), shown=beside)


@frozen(eq=False, repr=False)
class NearestAnswer(Shown, NearestLayout):
    """What `what_would_do` answers; everything `NearestLayout` has, and as `bracing layout` shows it."""

    told: ClassVar[dict[str, str]] = {
        "gust": "gust",
        "limit_whole": "nearest.result.limit_whole",
        "would_do": "would_do",
        "layouts": "layouts",
    }

    def to_dict(self) -> dict[str, Any]:  # type: ignore[override]  # the same keys, in words
        """Give what `bracing layout --json` says where no layout reaches the gust."""
        return _worded(NearestLayout.to_dict(self))

    def page(self) -> str:
        """Give the page `bracing layout` prints where no layout reaches the gust, or that of the one that does."""
        from bracing.text.layout import nearest_page
        from bracing.text.page import Page

        if self.reached is not None:
            return made(LayoutAnswer, self.reached).page()
        then = "" if self.nearest is None else f" --gust {self.nearest.result.gust or 0.0:g}"
        return nearest_page(self, Page(), wall=_named(self.job), then=then)


@frozen(eq=False, repr=False)
class StormAnswer(Shown, StormResult):
    """A forecast against a wall, as `check_storm` answers; all `StormResult` has, and as `bracing storm` shows it."""

    told: ClassVar[dict[str, str]] = {
        "gust": "worst.gust",
        "verdict": "verdict",
        "out_by": "out_by",
        "limit_whole": "check.limit_whole",
        "hours": "hours",
    }

    @property
    def checked(self) -> CheckAnswer:
        """The wall, checked in the worst hour."""
        return made(CheckAnswer, self.check)

    def to_dict(self) -> dict[str, Any]:  # type: ignore[override]  # the same keys, in words
        """Give what `bracing storm --json` says."""
        return _worded(StormResult.to_dict(self))

    def page(self) -> str:
        """Give the page `bracing storm` prints."""
        from bracing.text.page import Page
        from bracing.text.storm import storm_page

        wall = _named(self.job)
        return storm_page(self, Page(), command=f"bracing storm {wall}", wall=wall)


@frozen(eq=False, repr=False)
class StagesAnswer(Shown, StagesResult):
    """A wall through its stages, as `take_stages` answers; all `StagesResult` has, and as `bracing stages` shows it."""

    told: ClassVar[dict[str, str]] = {
        "gust": "gust",
        "verdict": "verdict",
        "hook_until": "hook_until",
        "stages": "stages",
    }

    def to_dict(self) -> dict[str, Any]:  # type: ignore[override]  # the same keys, in words
        """Give what `bracing stages --json` says."""
        return _worded(StagesResult.to_dict(self))

    def page(self) -> str:
        """Give the page `bracing stages` prints."""
        from bracing.text.page import Page
        from bracing.text.stages import stages_page

        wall = _named(self.job)
        return stages_page(self, Page(), command=f"bracing stages {wall}", wall=wall)


@frozen(eq=False, repr=False)
class LiftAnswer(Shown, LiftPlan):
    """A lift, as `plan_lift` answers; everything `LiftPlan` has, and as `bracing lift` shows it."""

    told: ClassVar[dict[str, str]] = {
        "gust": "gust",
        "verdict": "verdict",
        "rigged": "rigged",
        "picks": "picks.picks",
    }

    def to_dict(self) -> dict[str, Any]:  # type: ignore[override]  # the same keys, in words
        """Give what `bracing lift --json` says."""
        return _worded({**LiftPlan.to_dict(self), "day": day_plan(self).to_dict()})

    def page(self) -> str:
        """Give the page `bracing lift` prints."""
        from bracing.text.lift import lift_page
        from bracing.text.page import Page

        return lift_page(self, Page())


@frozen(eq=False, repr=False)
class FastenersAnswer(Shown, FastenerChoice):
    """Fasteners joint by joint, as `choose_fasteners` answers; and as `bracing fasteners` shows them."""

    told: ClassVar[dict[str, str]] = {"gust": "gust", "held": "held", "joints": "joints"}

    def to_dict(self) -> dict[str, Any]:  # type: ignore[override]  # the same keys, in words
        """Give what `bracing fasteners --json` says."""
        return _worded(FastenerChoice.to_dict(self))

    def page(self) -> str:
        """Give the page `bracing fasteners` prints."""
        from bracing.text.fasteners import fasteners_page
        from bracing.text.page import Page

        return fasteners_page(self, Page(), wall=_named(self.job))


def _asking(ask: Callable[P, Result], answer: type[Answer], name: str) -> Callable[P, Answer]:
    """A question of the calculation, with the answer a program gets in place of its result."""

    @wraps(ask)
    def asked(*args: P.args, **given: P.kwargs) -> Answer:
        return made(answer, ask(*args, **given))

    asked.__name__ = asked.__qualname__ = name
    asked.__module__ = __name__
    return asked


check_wall = _asking(check, CheckAnswer, "check_wall")
lay_out = _asking(laid_out, LayoutAnswer, "lay_out")
what_would_do = _asking(nearest_of, NearestAnswer, "what_would_do")
check_storm = _asking(storm, StormAnswer, "check_storm")
take_stages = _asking(stages, StagesAnswer, "take_stages")
plan_lift = _asking(lift_of, LiftAnswer, "plan_lift")
choose_fasteners = _asking(fasteners_of, FastenersAnswer, "choose_fasteners")
