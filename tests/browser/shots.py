"""Stored pictures of the examples' pages: taken, made small, compared, and written anew.

    .venv/bin/python -m tests.browser.shots

takes them again into tests/browser/shots, after a change that is meant to be seen; look at each before it is
committed. What a check works out (gusts, what gives first, warnings) is replaced by fixed values first: the
pictures hold how a page looks, the other tests hold its numbers.
"""

from __future__ import annotations

import io
import sys
import tempfile
from pathlib import Path

from bracing.said import Verdict
from bracing.sheet.facts import GUSTS, Facts, gather
from bracing.sheet.rows import TableRow
from bracing.sheet.writing import content, html
from tests.browser.opening import browser, opened
from tests.sheet_walls import NAMES, braced

STORED = Path(__file__).parent / "shots"
SIZES = {
    "phone": {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True},
    "desk": {"viewport": {"width": 1100, "height": 900}},
}
# What is taken: from the top of the first of these to the foot of the last.
PARTS = {"front": ("h1", "#who"), "details": (".cards", ".cards")}
TAKEN = (("phone", "front"), ("desk", "front"), ("desk", "details"))
GREYS = 4
OFF = 64  # of 255: a pixel this far off is another one; edges of letters differ by less between releases
MOST_OFF = 0.005  # of all pixels, halved in size
LIMIT, MISSING, CLEAR_OUT, STORM_OUT = 40, 31, 34, 30
HEAD = {
    "clear_out": f"{CLEAR_OUT} mph", "storm": f"With thunderstorms in the forecast: {STORM_OUT} mph",
    "stays": True, "people_out": False, "finest": "1/16 in",
    "out": f"CLEAR OUT before a forecast gust of {CLEAR_OUT} mph (29 mph on a meter 5 ft above deck)",
    "limit": f"{LIMIT} mph", "missing": f"{MISSING} mph", "missing_mark": "B1", "lost": "27 mph",
    "lost_mark": "B2", "held": True,
    "gives_first": "head joint at B1, wind from outside, pushing the wall toward its braces: four fasteners in shear",
    "gust": "30 mph", "verdict": "within", "thunderstorm": False, "construction": "62 mph", "design": "115 mph",
}  # fmt: skip


SLIDER = {
    "low": 5, "high": 80, "step": 1, "start": 30, "unit": "mph", "limit": LIMIT, "missing": MISSING, "out": CLEAR_OUT,
    "storm": STORM_OUT,
}  # fmt: skip


def steady_page(facts: Facts) -> str:
    """The page of a wall with fixed values for what is worked out on its first page."""
    gusts = tuple(
        TableRow((f"{gust} mph", Verdict.at(gust, LIMIT), Verdict.at(gust, MISSING),
             "out of the zone" if gust >= CLEAR_OUT else "under the clear-out gust"))
        for gust in GUSTS
    )  # fmt: skip
    fixed = {"head": HEAD, "gusts": gusts, "warnings": (), "slider": SLIDER}
    return html("sheet.html", {**content(facts), **fixed})


def facts_of(name: str) -> Facts:
    """All that the page of an example with braces says."""
    return gather(braced(name), gust=30.0, rungs=False)


def take(one, file: Path, size: str, part: str):
    """A picture of a part of a page, in a few greys."""
    first, last = PARTS[part]
    with opened(one, file, **SIZES[size]) as page:
        page.wait_for_function("[...document.images].every((i) => i.complete)")
        top = page.locator(first).first.bounding_box()
        foot = page.locator(last).last.bounding_box()
        shot = page.screenshot(
            full_page=True,
            clip={
                "x": 0, "y": top["y"], "width": page.viewport_size["width"],
                "height": foot["y"] + foot["height"] - top["y"],
            },
        )  # fmt: skip
    return small(shot)


def small(shot: bytes):
    """A picture in a few greys, so that the file is small."""
    from PIL import Image

    grey = Image.open(io.BytesIO(shot)).convert("L")
    step = 255 / (GREYS - 1)
    return grey.point(lambda value: round(round(value / step) * step))


def off(taken, stored) -> float:
    """Share of pixels, both pictures halved, that are not the same; all of them where the sizes differ."""
    from PIL import ImageChops

    if any(abs(a - b) > 2 for a, b in zip(taken.size, stored.size, strict=True)):
        return 1.0
    half = tuple(min(a, b) // 2 for a, b in zip(taken.size, stored.size, strict=True))
    whole = (0, 0, half[0] * 2, half[1] * 2)
    pair = (image.crop(whole).reduce(2) for image in (taken, stored))
    counted = ImageChops.difference(*pair).histogram()
    return sum(counted[OFF:]) / sum(counted)


def stored_file(name: str, size: str, part: str) -> Path:
    """Where a picture is kept."""
    return STORED / f"{name}-{size}-{part}.png"


def main() -> None:
    """Take every picture anew."""
    from PIL import Image

    STORED.mkdir(exist_ok=True)
    with browser() as one, tempfile.TemporaryDirectory() as folder:
        for name in NAMES:
            file = Path(folder) / f"{name}.html"
            file.write_text(steady_page(facts_of(name)), encoding="utf-8")
            for size, part in TAKEN:
                into = stored_file(name, size, part)
                taken = take(one, file, size, part)
                taken.quantize(GREYS, dither=Image.Dither.NONE).save(into, optimize=True)
                sys.stdout.write(f"{into}  {into.stat().st_size} bytes\n")


if __name__ == "__main__":
    main()
