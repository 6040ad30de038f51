"""Every class is as strict as the reader of files; every cell and every line shows what it holds."""

from __future__ import annotations

import ast
import csv
import importlib
import math
import os
import pkgutil
import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import attrs
import numpy as np
import pytest

import bracing
from bracing import Clock, Forecast, InputError, Job, Wall, check_wall, job_from_text, lay_out, take_stages
from bracing.errors import cell, plain
from bracing.job.above import Above
from bracing.job.brace import Brace, Cleat, Head, Kit, Stock, Tie
from bracing.job.diagonals import Diagonal
from bracing.job.fasteners import Fastener, fastener
from bracing.job.fields import KEY, KIND, LEAST, MOST, NO_KEY, ONE_OF
from bracing.job.floor import Blocks, CrossCleat, Floor, Ground, Joists, KeepOut, PanelNails, Partition, Slab
from bracing.job.house import Below, House, Meeting, TopDeck
from bracing.job.job import Built, Found, FoundFact, Night, Site
from bracing.job.minutes import Minutes
from bracing.job.outline import TopKeys
from bracing.job.pulls import LeftOut, Lever, PullTest
from bracing.job.returns import Return, ReturnCorner, ReturnOpening, ReturnPlate, ReturnStuds
from bracing.job.titles import Revision, TitleBlock
from bracing.job.wall import Bare, ExtraPlateFasteners, Opening, Plate, Row, Studs, TopPlate
from bracing.job.watched import Named, Watched
from bracing.layout.plan import LayoutAsked
from bracing.lift.links import FootRequest, LiftRequest
from bracing.lift.machine import Chart, ChartRow, Machine
from bracing.lift.plumb import LeanReading
from bracing.storm.alerts import Alert
from bracing.storm.forecast import Hour
from tests.cli.running import EXAMPLES, run

NOON = datetime(2026, 3, 6, 12, 0, tzinfo=UTC)
LEVEL = ((0.0, 96.0), (240.0, 96.0))
WALL = Wall(name="w", top=LEVEL)
JOB = Job(wall=WALL)
ROW = ChartRow(120.0, None, 6000.0, 2)

# An object of every input class that is good; the sweep changes one field at a time.
GOOD = (
    Alert("a1", "High Wind Warning", NOON, NOON + timedelta(hours=1), 58.0), Named(), Watched(),
    House(), Below("a.toml"), TitleBlock(), Revision("A"), Meeting(walls=("a.toml right", "b.toml left")),
    LayoutAsked(), Brace(mark="B1", stud_at=24.0, head=72.0, set_back=72.0), Built("now", "foreman"),
    Chart((ROW,)), ROW, Cleat(), Clock(NOON), ExtraPlateFasteners(), Floor(), FootRequest(),
    Forecast((Hour(NOON, None, 30.0),)),
    Found("B1", "gone"), FoundFact("wall.moisture", "green", "dry"),
    Ground(), Head(), Hour(NOON, NOON + timedelta(hours=1), 30.0), JOB, Joists(),
    KeepOut("stair", (0.0, 0.0), (24.0, 24.0)), Kit(), LiftRequest(), Machine("outside", 120.0, -36.0),
    Blocks(), CrossCleat(), Opening(left=24.0, width=36.0, height=48.0), PanelNails(),
    Partition((0.0, 24.0), (0.0, 96.0)), Plate(),
    Bare(left=24.0, width=48.0), TopDeck(("a.toml", "b.toml", "c.toml", "d.toml")),
    Diagonal(foot=24.0, head=120.0), Above(kind="person on the plate", at=60.0),
    LeanReading("B1", 24.0, 72.0, 1.0, 1.5), Return(), ReturnCorner(), ReturnPlate(), ReturnStuds(),
    ReturnOpening(left=24.0, width=36.0), Row(48.0), Night(40.0, 38.0), Site(), Slab(), Stock("2x4", 168.0), Studs(),
    Tie(), Minutes(), TopKeys(), TopPlate(), WALL,
    Lever(40.0, 8.0, 6.0, 20.0), LeftOut(1, "the strap caught"),
    PullTest("T1", "16d common", "joist", (100.0, 90.0), (1, 2), ("drawn", "drawn"), 5.0),
)  # fmt: skip
NUMBERS = ("length", "speed", "force", "pressure", "line load", "time", "number", "share", "pitch")
WRONG_KIND: tuple[Any, ...] = (
    object(),
    {},
    {"a": 1},
    b"48",
    1j,
    [[]],
    ((1.0,),),
    np.zeros(2),
    True,
    float("nan"),
    "",
)
NOT_A_NUMBER = (
    float("nan"),
    float("inf"),
    -float("inf"),
    np.float64("nan"),
    "48",
    "48 in",
    True,
    None,
    10**400,
)


def held_fields() -> list[Any]:
    return [
        pytest.param(good, field, id=f"{type(good).__name__}.{field.name}")
        for good in GOOD
        for field in attrs.fields(type(good))
        if KIND in field.metadata
    ]


def takes_none(good, field) -> bool:
    return "None" in str(field.type)


def bad_values(good, field) -> list[Any]:
    """What no field of this kind may take."""
    kind = field.metadata[KIND]
    bad = [value for value in WRONG_KIND if not (kind == "flag" and value is True)]
    if kind == "text" or (isinstance(field.default, str) and not field.default):
        bad = [value for value in bad if not isinstance(value, str)]
    if kind in NUMBERS:
        bad += NOT_A_NUMBER
    if kind == "count":
        bad += [1.5, 1.0, "2", None, float("inf")]
    if kind == "flag":
        bad += [0, 1, "true", "yes"]
    if kind == "word":
        bad += [word.swapcase() for word in field.metadata[ONE_OF]] + [f"{field.metadata[ONE_OF][0]} "]
    if kind in ("size", "header", "species", "grade", "deck", "soil", "fastener", "name"):
        bad += ["x" * 81, "two\nlines", "esc \x1b[31m", 7]
    if kind in ("size", "header", "species", "grade", "deck", "soil"):
        bad += ["nonesuch"]
    if kind == "fastener":
        bad += ["drywall screw #6x2"]
    if kind in ("point", "points", "lengths", "layers", "parts"):
        bad += [
            7,
            "osb 7/16",
            (float("nan"), 0.0),
            ((0.0, float("inf")), (240.0, 96.0)),
            (object(),),
            ["nonesuch"],
        ]
    least, most = field.metadata[LEAST], field.metadata[MOST]
    if kind in (*NUMBERS, "count"):
        whole = int if kind == "count" else float
        bad += [whole(least - 1)] if least is not None else []
        bad += [whole(most + 1), whole(most * 1000 + 1)] if most is not None else []
    return [value for value in bad if not (value is None and takes_none(good, field))]


@pytest.mark.parametrize(("good", "field"), held_fields())
def test_no_class_takes_what_its_field_may_not_hold(good, field):
    for bad in bad_values(good, field):
        with pytest.raises(InputError) as refusal:
            attrs.evolve(good, **{field.alias: bad})
        (fault,) = refusal.value.faults
        assert fault.field.startswith(f"{type(good).__name__}.{field.name}"), (bad, fault)
        assert fault.expected
        assert fault.value


def test_every_class_with_declared_fields_is_in_the_sweep():
    """A new input class comes into the sweep, or this says so."""
    found = set()
    for module in pkgutil.walk_packages(bracing.__path__, "bracing."):
        if module.name.endswith("__main__"):
            continue
        for thing in vars(importlib.import_module(module.name)).values():
            if isinstance(thing, type) and attrs.has(thing) and thing.__module__.startswith("bracing"):
                fields = attrs.fields(thing)
                found |= {thing} if any(KIND in field.metadata for field in fields) else set()
    assert found == {type(good) for good in GOOD}


def test_every_exported_input_class_declares_every_field():
    for cls in (Brace, Clock, Floor, Forecast, Job, Kit, Site, Wall):
        assert cls.__name__ in bracing.__all__
        assert all(KIND in field.metadata for field in attrs.fields(cls))


SECTIONS: dict[type[Any], str] = {
    Site: "site", Studs: "wall.studs", Plate: "wall.plate", TopPlate: "wall.top_plate", Floor: "floor",
    Joists: "floor.joists", Kit: "kit", Head: "kit.head", Cleat: "kit.cleat", Tie: "kit.tie", Minutes: "kit.minutes",
    PanelNails: "floor.panel_nails", Blocks: "floor.blocks", ExtraPlateFasteners: "wall.plate.extra",
}  # fmt: skip
UNITS = {"length": "in", "speed": "mph", "force": "lb", "line load": "lb/in", "time": "s"}


def typed(value: object, kind: str) -> str | None:
    """A value as TOML; None where TOML cannot say it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + value.replace("\n", "\\n").replace("\x1b", "\\u001b") + '"'
    if isinstance(value, int | float) and abs(value) < 1e15:
        return f'"{value} {UNITS[kind]}"' if kind in UNITS else f"{value}"
    return None


@pytest.mark.parametrize(
    ("good", "field"),
    [p for p in held_fields() if type(p.values[0]) in SECTIONS and p.values[1].metadata[KEY] != NO_KEY],
)
def test_the_reader_and_the_class_refuse_the_same_values(good, field):
    kind, seen = field.metadata[KIND], 0
    for bad in (*bad_values(good, field), *near_limits(field)):
        text = typed(bad, kind)
        if text is None or kind in ("part", "parts") or text == '"two lines"':
            continue
        wall = '[wall]\nlength = "20 ft"\nheight = "8 ft"\n'
        if (
            type(good) is not Studs
        ):  # the widest plate: a narrower one refuses a row that is off it, whatever the class
            wall += '[wall.studs]\nsize = "2x14"\n'
        table = f"[{SECTIONS[type(good)]}]\n{field.metadata[KEY] or field.name} = {text}\n"
        tomllib.loads(wall + table)
        by_class = takes(lambda bad=bad: attrs.evolve(good, **{field.alias: bad}))
        quoted_number = isinstance(bad, str) and kind in NUMBERS
        if quoted_number:  # "48 in" is how a file writes it; the class takes inches
            continue
        assert takes(lambda text=wall + table: job_from_text(text, "w.toml")) == by_class, (bad, text)
        seen += 1
    assert seen or kind in ("part", "parts")


def near_limits(field) -> list[Any]:
    """Values on both sides of the limits."""
    if field.metadata[KIND] not in (*NUMBERS, "count"):
        return []
    whole = int if field.metadata[KIND] == "count" else float
    limits = [limit for limit in (field.metadata[LEAST], field.metadata[MOST]) if limit is not None]
    step = 1 if whole is int else 1e-3
    near = [whole(limit) + way * step for limit in limits for way in (-1, 0, 1)]
    return [value for value in near if value >= 0]


def takes(make) -> bool:
    try:
        make()
    except InputError:
        return False
    return True


def test_the_four_that_were_taken():
    """kzt=-1 raised the limit, "None" counted as nailed, 7 ties passed, "Green" ended in a KeyError."""
    for make, field in (
        (lambda: Site(kzt=-1.0), "Site.kzt"),
        (lambda: Plate(sheathing_laps="None"), "Plate.sheathing_laps"),
        (lambda: Brace(mark="B1", stud_at=0.0, head=72.0, set_back=72.0, ties=7), "Brace.ties"),
        (lambda: Wall(name="w", top=LEVEL, moisture="Green"), "Wall.moisture"),
    ):
        with pytest.raises(InputError) as refusal:
            make()
        assert refusal.value.faults[0].field == field


def test_numbers_of_numpy_are_numbers_and_come_out_plain():
    site = Site(kzt=np.float32(1.5), lean=np.float64(0.05))
    brace = Brace(mark="B1", stud_at=np.int64(24), head=72, set_back=72.0, ties=np.int8(1))
    assert (site.kzt, site.lean, brace.stud_at, brace.ties) == (1.5, 0.05, 24.0, 1)
    assert {type(site.kzt), type(site.lean), type(brace.stud_at), type(brace.head)} == {float}
    assert type(brace.ties) is int


def test_names_come_out_as_their_table_writes_them():
    studs = Studs(species="Hem Fir", grade="#2", size="2 x 6")
    assert (studs.species, studs.grade, studs.size) == ("hem-fir", "No.2", "2x6")


@pytest.mark.parametrize(
    "make",
    [
        lambda: Studs(size="2x4", grade="nonesuch"),
        lambda: KeepOut("stair", (0.0, 0.0), (0.0, 24.0)),
        lambda: Partition((0.0, 24.0), (0.0, 24.0)),
        lambda: Slab(tension_lb=500.0),
        lambda: Wall(name="w", top=((0.0, 96.0), (240.0, -96.0))),
        lambda: Wall(name="w", top=((12.0, 96.0), (240.0, 96.0))),
        lambda: Wall(name="w", top=((0.0, 96.0), (12.0, 96.0))),
        lambda: Wall(name="w", top=((0.0, 96.0), (240.0, 96.0), (120.0, 96.0))),
        lambda: Wall(name="w", top=LEVEL, layers=("osb 7/16",), sheathed=False),
        lambda: Job(wall=WALL, kit=Kit(head=Head(fastener="nobody's own screw"))),
        lambda: Hour(NOON, NOON, 30.0),
        lambda: Hour(datetime(2026, 3, 6), None, 30.0),  # without its zone
        lambda: Forecast(()),
        lambda: LeanReading("B1", 24.0, 72.0, 0.0, 72.0),
    ],
)
def test_what_does_not_fit_together_in_one_object_is_refused(make):
    with pytest.raises(InputError):
        make()


SCREW = {
    "report": "R-1",
    "report_gravity": 0.42,
    "report_side": 1.5,
    "report_penetration": 2.0,
    "lateral": 200.0,
}


def test_a_fastener_of_ones_own_is_held_to_what_its_file_is():
    good = attrs.evolve(fastener("structural screw 0.22x5"), name="ours", **SCREW)
    numbers = [
        f.name
        for f in attrs.fields(Fastener)
        if f.name not in ("name", "kind", "deformed", "report", "source")
    ]
    for name in numbers:
        for bad in (*NOT_A_NUMBER, -1.0, 1e9):
            if (
                bad is None
                and "None" in str(getattr(attrs.fields(Fastener), name).type)
                and name != "lateral"
            ):
                continue
            if bad is not None:
                with pytest.raises(InputError):
                    attrs.evolve(good, **{name: bad})
    for wrong in ({"kind": "Nail"}, {"kind": 3}, {"report": None}, {"report_gravity": None}, {"name": "drywall screw"},
                  {"deformed": 1}, {"name": ""}):  # fmt: skip
        with pytest.raises(InputError):
            attrs.evolve(good, **wrong)


@pytest.mark.parametrize(
    "call",
    [
        lambda bad: check_wall(JOB, gust=bad),
        lambda bad: lay_out(JOB, gust=bad, budget=0.1),
        lambda bad: lay_out(JOB, gust=20.0, budget=bad),
        lambda bad: take_stages(JOB, gust=bad),
        lambda bad: take_stages(JOB, keep=bad),
        lambda bad: take_stages(JOB, deck=bad),
        lambda bad: bracing.choose_fasteners(JOB, gust=bad),
        lambda bad: bracing.check_storm(JOB, Forecast((Hour(NOON, None, 30.0),)), Clock(NOON), lead=bad),
        lambda bad: bracing.typed_forecast(Clock(NOON), gust=bad),
        lambda bad: bracing.typed_forecast(Clock(NOON), sustained=bad),
    ],
)
def test_no_function_takes_a_speed_or_a_time_that_is_none(call):
    for bad in (math.nan, math.inf, -math.inf, -1.0, True, [40.0], np.float64("nan"), object(), "forty"):
        with pytest.raises(InputError):
            call(bad)


def test_no_function_takes_another_thing_for_a_job():
    forecast, clock = Forecast((Hour(NOON, None, 30.0),)), Clock(NOON)
    for bad in (None, "wall.toml", WALL, {}):
        for call in (
            lambda bad=bad: check_wall(bad),
            lambda bad=bad: lay_out(bad, gust=30.0),
            lambda bad=bad: take_stages(bad),
            lambda bad=bad: bracing.weigh(bad),
            lambda bad=bad: bracing.plan_lift(bad, LiftRequest()),
            lambda bad=bad: bracing.plan_lift(JOB, bad),
            lambda bad=bad: bracing.choose_fasteners(bad, gust=30.0),
            lambda bad=bad: bracing.check_storm(bad, forecast, clock),
            lambda bad=bad: bracing.check_storm(JOB, bad, clock),
            lambda bad=bad: bracing.check_storm(JOB, forecast, bad),
            lambda bad=bad: bracing.typed_forecast(bad, gust="30"),
        ):
            with pytest.raises(InputError):
                call()


# -- the verdict of a lift, cells, and what is printed ---------------------------------------------------

BRACED = EXAMPLES / "short-wall-braced.toml"
FOOT = ("--toe-nails", "40: 16d common", "--straps", "12: 2000 lb", "--blocks", "20: 8 of 16d common")


@pytest.mark.parametrize(("capacity", "status"), [(9000, 0), (100, 1)])
def test_a_lift_over_its_machine_ends_in_1_without_a_gust_too(capsys, tmp_path, capacity, status):
    chart = tmp_path / "chart.csv"
    chart.write_text(f"reach_ft,capacity_lb\n0,{capacity}\n80,{capacity}\n")
    ran = run(capsys, "lift", BRACED, *FOOT, "--chart", chart, "--distance", "10 ft")
    assert ("machine: " in ran.out) == bool(status), ran.out
    assert ran.status == status, ran.out


NASTY = (
    "=1+1",
    "+1",
    "-1+2",
    "@x",
    "\t=1",
    "\r=1",
    " =1",
    "esc \x1b[31m",
    "two\nlines",
    "nul \0",
    "\x9b2J",
    "\u202e",
    "\u200b",
    "\x7f",
)


def test_no_cell_is_a_formula_or_acts():
    for nasty in NASTY:
        written = cell(nasty)
        assert all(plain(letter) for letter in written), nasty
        assert written.lstrip()[:1] not in ("=", "+", "-", "@", "\t", "\r"), nasty
    assert [cell(value) for value in (-4.5, 3, "-12.25", None, "B1")] == ["-4.5", "3", "-12.25", "", "B1"]


def test_the_results_of_a_list_hold_no_formula_and_no_escape(capsys, tmp_path):
    listed, out = tmp_path / "l.csv", tmp_path / "r.csv"
    with listed.open("w", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(("length", "height", "name"))
        writer.writerows(
            ("10 ft", "8 ft", nasty) for nasty in ("=1+1", "@x", "a\nb", "\x1b[31mred", "\u202e")
        )
    run(capsys, "walls", listed, "--gust", "20", "--workers", "1", "--out", out)
    with out.open(newline="") as stream:
        rows = list(csv.reader(stream))
    assert len(rows) == 6
    for row in rows:
        for written in row:
            assert all(plain(letter) for letter in written), written
            assert written[:1] not in ("=", "+", "-", "@"), written


def test_a_name_in_a_heading_a_file_or_a_key_does_not_act_on_the_terminal(capsys, tmp_path):
    forecast = tmp_path / "f\x1b[2J\u202e.csv"
    forecast.write_text("time [UTC],gust [mph],odd \x1b[31m\u202e\x9b\u200b\n2199-11-30 20:00,20,x\n")
    bad = tmp_path / "b\x1b[2J.toml"
    bad.write_text(
        '[wall]\nlength = "20 ft"\nheight = "8 ft"\n"k\\u001b[2J\\u202e" = 1\n[[fastener]]\nname = "x\\u001b"\n'
    )
    words = (("storm", BRACED, "--forecast", forecast), ("storm", BRACED, "--forecast", forecast, "--json"),
             ("check", bad), ("check", bad, "--json"), ("check", tmp_path / "gone\x1b\x07\u202e.toml"))  # fmt: skip
    for each in words:
        ran = run(capsys, *each)
        assert ran.status in (0, 1, 2), ran.err
        for text in (ran.out, ran.err):
            assert all(letter == "\n" or plain(letter) for letter in text), (each, text)


@pytest.mark.skipif(os.name == "nt", reason="names of files are text there")
def test_a_file_named_in_other_bytes_is_named_and_does_not_end_in_3(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # a sheet without --out stands where it is run
    name = os.fsdecode(os.fsencode(tmp_path) + b"/b-\xff.toml")
    Path(name).write_bytes(BRACED.read_bytes())
    page = tmp_path / "page.html"
    assert run(capsys, "sheet", name, "--gust", "20", "--out", page).status in (0, 1)
    assert "b-\\xff.toml" in page.read_text(encoding="utf-8")
    assert (
        "b-\\xff.toml"
        in run(capsys, "sheet", name, "--gust", "2000000").out + run(capsys, "check", name + "x").err
    )


def test_a_scheduler_of_another_kind_is_one_line_and_2(capsys, tmp_path):
    pytest.importorskip("distributed")
    listed = tmp_path / "l.csv"
    listed.write_text("length,height\n10 ft,8 ft\n")
    ran = run(
        capsys, "walls", listed, "--gust", "20", "--dask", "tls://localhost:1", "--out", tmp_path / "r.csv"
    )
    assert ran.status == 2
    assert ran.err.startswith(
        "command line: --dask: got tls://localhost:1; expected the address of a Dask scheduler"
    )
    assert not (tmp_path / "r.csv").exists()


def test_one_place_prints():
    """Whoever writes to a stream past output.put would forget to show what a name holds."""
    package = Path(bracing.__file__).parent
    written = sorted(set(package.glob("commands/*.py")) - {package / "commands/output.py"})
    assert len(written) > 10
    for path in written:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                said = ast.unparse(node.func)
                assert said not in ("print", "typer.echo", "typer.secho"), f"{path.name}:{node.lineno}"
                assert not said.startswith(("sys.stdout.write", "sys.stderr.write", "stream.write")), (
                    f"{path.name}:{node.lineno}"
                )
