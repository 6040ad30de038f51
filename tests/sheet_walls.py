"""The examples with braces up, for the tests of pages, drawings and traces: no search, so fast and always the same."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from bracing.check import CheckResult, check
from bracing.job.job import Job
from bracing.reading.jobs import job_from_text

EXAMPLES = Path(__file__).parents[1] / "examples"

# stud, head, set-back; size, ties, fasteners of head, cleat and floor; stud doubled
Place = tuple[str, str, str]
BRACED: dict[str, tuple[tuple[Place, ...], str]] = {
    "south-gable": (
        (
            ("17 ft 4 in", "12 ft", "10 ft"),
            ("5 ft 4 in", "9 ft", "9 ft"),
            ("26 ft 8 in", "9 ft", "9 ft"),
            ("1 ft 4 in", "8 ft", "8 ft"),
            ("34 ft 8 in", "8 ft", "8 ft"),
        ),
        'size = "2x6"\nties = 1\nhead_fasteners = 6\ncleat_fasteners = 6\nfloor_fasteners = 8\nfoot_on = "joist"',
    ),
    "rake-wall": (
        (
            ("13 ft 4 in", "10 ft", "10 ft"),
            ("4 ft", "9 ft", "9 ft"),
            ("20 ft", "12 ft", "9 ft"),
            ("21 ft 4 in", "12 ft", "9 ft"),
        ),
        'size = "2x6"\nties = 2\nhead_fasteners = 7\ncleat_fasteners = 7\nfloor_fasteners = 9\nfoot_on = "joist"\n'
        "stud_doubled = true",
    ),
    "slab-wall": (
        (
            ("14 ft 8 in", "8 ft", "6 ft"),
            ("24 ft", "8 ft", "6 ft"),
            ("5 ft 4 in", "8 ft", "6 ft"),
            ("1 ft 4 in", "8 ft", "6 ft"),
            ("29 ft 4 in", "8 ft", "6 ft"),
        ),
        'size = "2x6"\nties = 1\nhead_fasteners = 8\ncleat_fasteners = 8\nfloor_fasteners = 3\nstud_doubled = true',
    ),
    "long-wall": (
        tuple((at, "6 ft", "6 ft") for at in (
            "30 ft 8 in", "21 ft 4 in", "40 ft", "13 ft 2 1/4 in", "47 ft 9 3/4 in", "4 ft", "56 ft", "58 ft 8 in",
        )),
        'size = "2x4"\nties = 1\nhead_fasteners = 5\ncleat_fasteners = 5\nfloor_fasteners = 6\nfoot_on = "joist"',
    ),
    "as-found": ((), ""),
}  # fmt: skip
NAMES = tuple(BRACED)


def text_of(name: str) -> str:
    """The example's file with braces added."""
    places, rest = BRACED[name]
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    for k, (stud, head, back) in enumerate(places, start=1):
        text += (
            f'\n[[brace]]\nmark = "B{k}"\nstud_at = "{stud}"\nlap_side = "left"\nhead = "{head}"\n'
            f'set_back = "{back}"\n{rest}\n'
        )
    return text


@cache
def braced(name: str) -> Job:
    """The example with braces up."""
    return job_from_text(text_of(name), f"{name}.toml")


@cache
def checked(name: str) -> CheckResult:
    """That job checked at 30 mph."""
    return check(braced(name), gust=30.0, effects=False)
