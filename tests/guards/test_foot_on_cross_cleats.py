"""A foot on cross cleats: they bear its cleats, the brace between them on the deck; else it counts for nothing."""

from __future__ import annotations

import math

import pytest

from bracing.drawing.details import details
from bracing.reading.jobs import read_job
from tests.cli.running import EXAMPLES, run, said

THICK = 1.5


def crossed(tmp_path, *, length, size="2x6"):
    """The wall of an example, its feet on cross cleats under cleats of some length."""
    text = (EXAMPLES / "short-wall-braced.toml").read_text(encoding="utf-8")
    text = text.replace('foot_on = "joist"', 'foot_on = "cross cleat"')
    lines = [line for line in text.splitlines() if not line.startswith("cleat = ")]
    at = lines.index("[kit]")
    lines.insert(
        at + 1,
        f'cleat = {{ size = "2x6", lie = "edge", sides = 2, length = "{length} in", brace_fastener = '
        '"structural screw 0.22x3", floor_fastener = "structural screw 0.22x8" }',
    )
    lines += [
        "",
        "[floor.cross_cleat]",
        f'size = "{size}"',
        'fastener = "structural screw 0.22x5"',
        "each_joist = 2",
    ]
    path = tmp_path / "wall.toml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def least(*, angle, size=5.5, end=4.95):
    """By hand: 4.95 in from a cleat's end to the middle of a 2x6 across, half its width, half the level cut, slope."""
    return 2.0 * (end + size / 2.0 + 2.75 / math.sin(angle) + THICK / math.tan(angle))


def test_where_the_brace_has_no_room_between_them_the_foot_counts_for_nothing(capsys, tmp_path):
    angle = math.atan2(6.0, 8.0)
    need = least(angle=angle)
    assert 28.0 < need < 29.0  # 4.95 + 2.75 + 4.58 + 2 = 14.28, twice
    short, long = (
        run(capsys, "check", crossed(tmp_path, length=inches), "--json").json for inches in (28, 29)
    )
    for answer, counted in ((short, 0), (long, 4)):  # of 6 as many from either cleat into either cross cleat
        assert {brace["floor_counted"]["counted"] for brace in answer["braces"]} == {counted}
    assert short["limit_gust_mph"] == 0
    assert long["limit_gust_mph"] > 0
    text = said(run(capsys, "check", crossed(tmp_path, length=28), "--all").out)
    assert "no room for the brace between the cross cleats" in text
    assert "cleats of 2'-4 9/16" in text
    assert "no room for the brace" not in said(
        run(capsys, "check", crossed(tmp_path, length=29), "--all").out
    )


def parts(drawing, shade):
    return [item.points for item in drawing.items if getattr(item, "shade", None) == shade]


@pytest.mark.parametrize("length", [29, 36])
def test_the_drawing_has_the_brace_on_the_deck_and_its_cleats_on_the_cross_cleats(tmp_path, length):
    job = read_job(crossed(tmp_path, length=length))
    side = next(one for one in details(job, job.braces[0]) if one.name.startswith("foot-B"))
    (brace,), (cleat,), across = parts(side, 0.75), parts(side, 0.88), parts(side, 0.82)
    assert min(z for _, z in brace) == 0.0  # the level cut, which its length is to, stands on the deck
    assert min(z for _, z in cleat) == THICK
    assert len(across) == 2
    for one in across:
        assert (min(z for _, z in one), max(z for _, z in one)) == (0.0, THICK)
    near, far = sorted(across, key=lambda one: one[0][0])
    slope = THICK / math.tan(job.braces[0].angle)
    level = sorted(y for y, z in brace if z == 0.0)
    assert (
        max(y for y, _ in near) <= level[0] - slope + 1e-9
    )  # the brace leans over the near one as it goes up
    assert min(y for y, _ in far) >= level[-1]
    assert not parts(side, 0.97)[0][0][1] > 0.0  # nothing of the floor over the deck


def test_on_a_joist_the_cleats_lie_on_the_deck(tmp_path):
    job = read_job(EXAMPLES / "short-wall-braced.toml")
    side = next(one for one in details(job, job.braces[0]) if one.name.startswith("foot-B"))
    assert min(z for _, z in parts(side, 0.88)[0]) == 0.0
    assert parts(side, 0.82) == []
