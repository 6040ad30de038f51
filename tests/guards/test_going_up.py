"""People stand under a wall when hook, brace or foot is let go: none goes above the clear-out gust of that stage.

All through the command line, but for the sweep over layouts, which asks the same of each stage as a wall of its own.
"""

from __future__ import annotations

import random

import pytest
from attrs import evolve

from bracing.chain.model import build_model
from bracing.check import check
from bracing.errors import NoLayoutError
from bracing.layout.plan import LayoutAsked, lay_out
from bracing.lift.plumb import loose_feet
from bracing.stages.stages import stages
from bracing.stages.take_down import Kept, take_down
from tests.cli.running import EXAMPLES, run, said
from tests.layout_walls import random_layout_job
from tests.wall_files import wall_file, wall_text

GUSTS = range(5, 50)
KITCHEN = EXAMPLES / "short-wall-braced.toml"  # three braces, a tie row on each
RETURNS = ("left return tied", "right return tied")


def staged(capsys, wall, *words):
    return run(capsys, "stages", wall, *words, "--json").json


# -- the hook --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("ties", "head"), [(0, "6 ft"), (1, "7 ft")])
def test_the_hook_never_comes_off_above_the_clear_out_gust_of_its_stage(capsys, tmp_path, ties, head):
    """Asked at each stage's clear-out gust, one under it, and at its limit."""
    studs = ("1 ft 4 in", "6 ft 8 in", "10 ft 8 in")
    sizes = {"length": "12 ft", "height": "9 ft", "head": head, "set_back": head}
    wall, came_off, between = wall_file(tmp_path, ties=ties, studs=studs, **sizes), 0, 0
    rows = staged(capsys, wall)["stages"]
    asked = {row["clear_out_gust_mph"] + more for row in rows for more in (-1, 0)} | {
        row["limit_gust_mph"] for row in rows
    }
    for gust in sorted(gust for gust in asked if gust >= 5):
        answer = staged(capsys, wall, "--gust", gust)
        rows, until = answer["stages"], answer["hook_stays_until"]
        between += any(row["clear_out_gust_mph"] < gust <= row["limit_gust_mph"] for row in rows)
        if until is None:
            assert (answer["hook_needs"], answer["verdict"]) == ([], "over")
            assert rows[-1]["clear_out_gust_mph"] <= gust
            continue
        came_off += 1
        tied = any("tie row" in words for words in answer["hook_needs"])
        first = max(
            k for k, row in enumerate(rows) if row["after"] == until and (tied or not row["tie_rows"])
        )
        assert all(row["clear_out_gust_mph"] > gust for row in rows[first:])
    assert came_off
    assert between


def test_tie_rows_count_only_once_they_are_up(capsys, tmp_path):
    """Before that each stage is the wall of the same file without them; the hook line names what must be on."""
    tied = staged(capsys, wall_file(tmp_path, ties=1), "--gust", 15)
    bare = staged(capsys, wall_file(tmp_path, ties=0), "--gust", 15)
    assert [row["tie_rows"] for row in tied["stages"]] == [0, 0, 0, 0, 1]
    assert tied["stages"][:-1] == bare["stages"]
    kitchen = staged(capsys, KITCHEN, "--gust", 20)
    assert [row["clear_out_gust_mph"] for row in kitchen["stages"][:-1]] == [0, 0, 0]  # slender without ties
    needs = " ".join(kitchen["hook_needs"])
    assert all(words in needs for words in ("B1, B2, B3", "1 tie row", "diagonal"))
    page = said(run(capsys, "stages", KITCHEN, "--gust", 20).out)
    assert "Hook stays on until B3 is fully screwed and 1 tie row is on" in page


def test_the_hook_stays_on_where_only_the_limit_is_over_the_gust(capsys):
    """A day of 35 mph is within the limit, and above the clear-out gust."""
    answer = staged(capsys, KITCHEN, "--gust", 35)
    last = answer["stages"][-1]
    assert last["clear_out_gust_mph"] < 35 <= last["limit_gust_mph"]
    ran = run(capsys, "stages", KITCHEN, "--gust", 35)
    assert (ran.status, answer["hook_stays_until"]) == (1, None)
    assert "The hook stays on, for a gust of the day of 35 mph" in said(ran.out)


def sentence(text):
    """The sentence about the hook, to its end."""
    words = said(text)
    start = words.index("Hook stays on until")
    return words[start : words.index(").", start)]


def test_lift_layout_sheet_and_stages_say_the_same_of_the_hook(capsys, tmp_path):
    wall = tmp_path / "wall.toml"
    wall.write_text((EXAMPLES / "short-wall.toml").read_text())
    asked = ("--gust", 40, "--budget", 0)
    laid = run(capsys, "layout", wall, *asked, "--json").json
    page = run(capsys, "layout", wall, *asked, "--write").out
    answer = staged(capsys, wall, "--gust", 25)
    lifted = run(capsys, "lift", wall, "--json").json["day"]
    until = answer["hook_stays_until"]
    assert until is not None
    assert until == laid["hook_stays_until"] == lifted["hook_stays_until"]
    assert answer["hook_needs"] == laid["hook_needs"]
    sheet = tmp_path / "wall.html"
    assert run(capsys, "sheet", wall, "--out", sheet).status in (0, 1)
    told = sentence(run(capsys, "stages", wall, "--gust", 25).out)
    assert sentence(page) == sentence(run(capsys, "lift", wall).out) == sentence(sheet.read_text()) == told


def test_lift_of_a_wall_without_braces_says_the_hook_stays(capsys):
    ran = run(capsys, "lift", EXAMPLES / "short-wall.toml")
    assert "no brace is in the file, so the hook stays on" in said(ran.out)
    assert "first 2 braces" not in ran.out


# -- braces out again ------------------------------------------------------------------------------------


def test_no_brace_comes_out_above_the_clear_out_gust_it_leaves(capsys):
    """The deck alone is worth a limit of some 60 mph, so a clear-out gust of 51: 52 mph lies between."""
    deck = ("--deck-takes", "120 lb/ft", "--done", "deck on", "--take-out", "B2")
    below, over = (run(capsys, "stages", KITCHEN, "--keep", keep, *deck, "--json") for keep in (50, 52))
    assert (below.status, below.json["allowed"]) == (0, True)
    assert over.json["clear_out_gust_without_mph"] < 52 <= over.json["limit_gust_without_mph"]
    assert (over.status, over.json["allowed"]) == (1, False)
    for keep in (20, 40, 50, 51):
        down = staged(capsys, KITCHEN, "--keep", keep, "--deck-takes", "120 lb/ft")["take_down"]
        out = [one for event in down["events"] for one in event["may_come_out"]]
        assert all(one["clear_out_gust_mph"] > keep for one in out)
        assert bool(out) == (keep < 51)


# -- returns ---------------------------------------------------------------------------------------------


def returned(folder, *, length, braces=True):
    """The wall with a return at both ends, every flag true and nails in plenty."""
    text = wall_text()
    if not braces:
        text = text[: text.index("[[brace]]")]
    corner = "".join(
        f"""
        [wall.{side}_return]
        length = "{length}"
        plated = true
        nailed = true
        sheathed = true
        fastened_down = true
        fastener = "16d common"
        count = 40
        joint = "shear"
        """
        for side in ("left", "right")
    )
    text = text.replace(
        'moisture = "green"', 'moisture = "green"\nleft_end = "return"\nright_end = "return"', 1
    )
    path = folder / "returned.toml"
    path.write_text(text.replace("[floor]", f"{corner}\n[floor]", 1), encoding="utf-8")
    return path


@pytest.mark.parametrize("length", ["0 ft", "4 ft", "24 ft"])
def test_no_return_holds_a_wall(capsys, tmp_path, length):
    ran = run(capsys, "check", returned(tmp_path, length=length, braces=False), "--gust", 10, "--json")
    assert (ran.status, ran.json["verdict"], ran.json["limit_gust_mph"]) == (1, "over", 0)
    assert all(case["return_lb"] == 0.0 for case in ran.json["loads"]["cases"])
    assert not any(link["link"] == "return corner" for link in ran.json["links"])


def test_a_return_never_raises_a_limit_and_the_screen_says_it_counts_for_nothing(capsys, tmp_path):
    """It takes no load; the wind beside it, not under 1.4, counts."""
    free = run(capsys, "check", wall_file(tmp_path), "--json").json
    held = returned(tmp_path, length="0 ft")
    answer = run(capsys, "check", held, "--json").json
    assert answer["limit_gust_mph"] <= free["limit_gust_mph"]
    assert any("counts for nothing, its end is free" in line for line in answer["warnings"])
    for command in ("check", "stages", "layout"):
        asked = ("--gust", 20, *(("--budget", 0) if command == "layout" else ()))
        told = said(run(capsys, command, held, *asked).out)
        assert "counts for nothing, its end is free" in told or "counts for nothing: end free" in told, (
            command
        )


@pytest.mark.parametrize("wall", ["kitchen", "returned"])
def test_no_brace_comes_out_on_a_return(capsys, tmp_path, wall):
    path = KITCHEN if wall == "kitchen" else returned(tmp_path, length="24 ft")
    down = staged(capsys, path, "--keep", 6)["take_down"]
    assert all(event["may_come_out"] == [] for event in down["events"])
    done = [word for event in RETURNS for word in ("--done", event)]
    ran = run(capsys, "stages", path, "--keep", 6, *done, "--take-out", "B2")
    assert (ran.status, ran.out.startswith("B2 STAYS")) == (1, True)
    assert "That return counts for nothing: end free" in said(ran.out)


# -- feet let go -----------------------------------------------------------------------------------------


def plumbed(capsys, readings, *words):
    at = [word for mark, offsets in readings.items() for word in ("--at", f"{mark}: {offsets}")]
    return run(capsys, "plumb", KITCHEN, *at, *words)


def test_equal_readings_release_no_brace(capsys):
    readings = dict.fromkeys(("B1", "B2", "B3"), "2 in, 2 in")
    answer = plumbed(capsys, readings, "--gust", 5, "--json").json
    assert (answer["order"], answer["stays"]) == ([], [])
    page = said(plumbed(capsys, readings, "--gust", 5).out)
    assert "No foot is let go" in page
    assert "Let go one foot" not in page


def test_only_a_brace_with_something_to_move_is_let_go(capsys):
    readings = {"B1": "2 in, 2 1/2 in", "B2": "2 in, 2 in", "B3": "2 in, 2 in"}
    answer = plumbed(capsys, readings, "--gust", 10, "--json").json
    assert answer["order"] == ["B1"]


def left_without(capsys, folder, mark):
    """The clear-out gust of the wall without one brace, by a file that has not got it."""
    start, *braces = KITCHEN.read_text().split("[[brace]]")
    kept = [brace for brace in braces if f'mark = "{mark}"' not in brace]
    assert len(kept) == len(braces) - 1
    path = folder / f"without-{mark}.toml"
    path.write_text("[[brace]]".join((start, *kept)))
    return run(capsys, "check", path, "--json").json["clear_out_gust_mph"]


def test_no_foot_is_let_go_above_the_clear_out_gust_it_leaves(capsys, tmp_path):
    readings = dict.fromkeys(("B1", "B2", "B3"), "2 in, 2 1/2 in")
    left = {mark: left_without(capsys, tmp_path, mark) for mark in ("B1", "B2", "B3")}
    seen = set()
    for gust in sorted({5, 40, *left.values(), *(clear_out - 1 for clear_out in left.values())}):
        ran = plumbed(capsys, readings, "--gust", gust, "--json")
        order, stays = ran.json["order"], ran.json["stays"]
        assert sorted(order + stays) == ["B1", "B2", "B3"]
        assert sorted(order) == [mark for mark, clear_out in sorted(left.items()) if clear_out > gust]
        assert ran.status == (1 if stays else 0)
        seen.add(len(order))
    assert seen == {0, 1, 2, 3}


# -- over layouts ----------------------------------------------------------------------------------------


def lets_nothing_go_too_early(job):
    """Hold every stage at which something leaves against the wall as it is then, checked on its own."""
    deck = random.Random(job.wall.name).choice((2.0, 8.0, 30.0)) / 12.0
    model, result, loose = build_model(job), stages(job), loose_feet(job)
    for gust in GUSTS:
        off = evolve(result, gust=float(gust)).hook.off_after
        if off is not None:
            assert all(stage.clear_out > gust for stage in result.stages[result.stages.index(off) :])
    for keep in (10.0, 25.0):
        out = [removal for event in take_down(model, Kept(keep), deck).events for removal in event.out]
        assert all(removal.clear_out > keep for removal in out)
    untied = tuple(evolve(brace, ties=0) for brace in job.braces)
    apart = not any(brace.stud_doubled for brace in job.braces)  # studs of braces to come are doubled already
    for k, stage in enumerate(result.stages):
        then = evolve(job, braces=job.braces if stage.ties else untied[: k + 1])
        if apart or len(then.braces) == len(job.braces):
            assert stage.clear_out == check(then, effects=False).clear_out
    for k, brace in enumerate(job.braces if apart else ()):
        rest = evolve(job, braces=(*job.braces[:k], *job.braces[k + 1 :]))
        assert loose[brace.mark] == check(rest, effects=False).clear_out


def layouts(seeds):
    """Layouts of small random walls, solved for a spacing so that nothing is searched; where none stands, none."""
    for seed in seeds:
        gust = random.Random(seed).choice((15.0, 20.0, 30.0))
        try:
            yield lay_out(
                random_layout_job(seed, longest=200.0), gust=gust, budget=0.0, asked=LayoutAsked(spacing=96.0)
            ).job
        except NoLayoutError:
            continue


@pytest.mark.parametrize("seed", range(8))
def test_no_stage_at_which_hook_brace_or_foot_leaves_has_a_clear_out_under_the_gust(seed):
    for job in layouts([seed]):
        lets_nothing_go_too_early(job)


@pytest.mark.proof
def test_no_stage_of_500_layouts_lets_go_under_the_gust_of_the_day():
    seen = 0
    for job in layouts(range(8, 1000)):
        lets_nothing_go_too_early(job)
        seen += 1
        if seen == 500:
            break
    assert seen == 500
