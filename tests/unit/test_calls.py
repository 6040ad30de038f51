"""What a program calls: answers that say what the command says, arrays that agree with one wall, own values."""

import html
import json
import math
import pickle
import time
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from attrs import evolve

import bracing
from bracing.chain.evaluate import limit_gust, worst_ratio
from bracing.chain.model import build_model
from bracing.codes.basis import uniform_wind
from bracing.errors import InputError, MissingExtraError
from bracing.layout.grid import Pool
from bracing.layout.plan import LayoutAsked
from bracing.layout.screen import worst_ratios
from bracing.panel.weight import take_off
from tests.cli.running import EXAMPLES, run
from tests.small_walls import small_job

BRACED = EXAMPLES / "short-wall-braced.toml"
SHORT = EXAMPLES / "short-wall.toml"
NOW = "2026-03-06 21:00"
LONGEST_REPR = 160


@pytest.fixture(scope="module")
def job():
    return bracing.read_job(BRACED)


@pytest.fixture(scope="module")
def checked(job):
    return bracing.check_wall(job, gust=30.0)


def storm_of(job):
    clock = bracing.Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), UTC)
    tonight = bracing.typed_forecast(clock, gust="50", storms=True, start="Fri 11 pm", until="Sat 6 am")
    return bracing.check_storm(job, tonight, clock)


# -- an answer says what its command says ------------------------------------------------------------------


ASKED = {
    "check": (lambda job: bracing.check_wall(job, gust=30.0), ("check", BRACED, "--gust", 30)),
    "stages": (lambda job: bracing.take_stages(job, gust=20.0), ("stages", BRACED, "--gust", 20)),
    "fasteners": (lambda job: bracing.choose_fasteners(job, gust=30.0), ("fasteners", BRACED, "--gust", 30)),
    "lift": (lambda job: bracing.plan_lift(job, bracing.LiftRequest()), ("lift", BRACED)),
}


@pytest.mark.parametrize("name", ASKED)
def test_to_dict_is_what_json_says_and_the_page_what_is_printed(name, job, capsys):
    ask, words = ASKED[name]
    answer = ask(job)
    assert json.loads(json.dumps(answer.to_dict(), allow_nan=False)) == run(capsys, *words, "--json").json
    printed = run(capsys, *words).out.rstrip("\n")
    shown = html.unescape(answer._repr_html_().removeprefix("<pre>").removesuffix("</pre>"))
    assert shown.splitlines()[:8] == printed.splitlines()[:8]


def test_a_storm_says_what_its_command_says(job, capsys):
    answer = storm_of(job)
    words = (
        "storm",
        BRACED,
        "--gust",
        50,
        "--storms",
        "--from",
        "Fri 11 pm",
        "--until",
        "Sat 6 am",
        "--now",
        NOW,
    )
    told = run(capsys, *words, "--zone", "UTC", "--json").json
    mine = json.loads(json.dumps(answer.to_dict()))
    assert {key for key in told if told[key] != mine[key]} <= {
        "ladder",
        "forecast",
        "standing",
    }  # what a budget finds
    assert "CLEAR OUT" in answer._repr_html_()
    assert answer.checked.to_dict()["limit_gust_mph"] == told["limit_gust_mph"]


def test_a_layout_and_none_say_what_their_command_says(capsys):
    wall = bracing.read_job(SHORT)
    plan = bracing.lay_out(wall, gust=30.0, budget=0.0, asked=LayoutAsked(others=True))
    told = run(capsys, "layout", SHORT, "--gust", 30, "--budget", 0, "--json").json
    assert json.loads(json.dumps(plan.to_dict())) == told
    assert plan.checked.to_dict()["braces"][0]["mark"] == "B1"
    bare = bracing.job_from_options(length="10 ft", height="8 ft", studs="2x6@24in", stock="2x6@6ft")
    none = bracing.what_would_do(bare, gust=30.0, budget=0.0)
    assert none.to_dict()["verdict"] == "over"
    assert isinstance(none.to_dict()["why"], str)
    assert "NO PLAN REACHES" in none._repr_html_()


def test_answers_are_short_in_a_log_and_are_results(job, checked):
    for answer in (checked, storm_of(job), *(ask(job) for ask, _ in ASKED.values())):
        assert len(repr(answer)) <= LONGEST_REPR, repr(answer)
        assert repr(answer).startswith(f"{type(answer).__name__}(wall='{job.wall.name}'")
    assert isinstance(checked, bracing.CheckResult)
    assert f"limit_whole={checked.limit_whole}" in repr(checked)
    assert pickle.loads(pickle.dumps(checked)).to_dict() == checked.to_dict()


def test_links_are_there_lowest_first(checked):
    limits = [link.limit_gust for link in checked.links]
    assert checked.links[0] == checked.gives_first
    assert limits == sorted(limits)
    assert len(checked.links) == len(checked.to_dict()["links"])
    beyond = bracing.check_wall(evolve(checked.job, braces=()), gust=200.0)
    assert beyond.links == ()


# -- arrays ------------------------------------------------------------------------------------------------


def test_many_gusts_say_what_one_by_one_says(job):
    gusts = np.linspace(0.0, 125.0, 26)
    found = bracing.check_many(job, gusts=gusts)
    for k, gust in enumerate(gusts.tolist()):
        alone = bracing.check_wall(job, gust=gust, effects=False)
        assert (found.verdicts[k], bool(found.people_out[k])) == (alone.verdict, alone.people_out), gust
        assert (found.limit_whole, found.clear_out) == (
            alone.limit_whole or found.limit_whole,
            found.clear_out,
        )
        if alone.evaluation is not None:
            assert found.worst[k] == pytest.approx(alone.evaluation.worst, rel=1e-9)
    assert found.verdicts[-1] == "engineer"
    assert math.isinf(found.worst[-1])
    assert json.loads(json.dumps(found.to_dict(), allow_nan=False))["gusts"][-1]["worst_ratio"] is None
    assert not found.worst.flags.writeable


def test_many_gusts_of_storms_and_of_a_wall_that_is_not_up(job):
    storms = bracing.check_many(job, gusts=30.0, thunderstorm=True)
    assert storms.gusts.tolist() == [58.0]
    assert storms.verdicts[0] == bracing.check_wall(job, gust=30.0, thunderstorm=True, effects=False).verdict
    planned = bracing.check_many(evolve(job, wall=evolve(job.wall, state="planned")), gusts=[10.0, 60.0])
    assert set(planned.verdicts) == {"not up"}
    assert not planned.people_out.any()


@pytest.mark.parametrize("gusts", [[-1.0], [math.nan], "fast", [[1.0, "x"]]])
def test_gusts_that_are_none_are_refused(job, gusts):
    with pytest.raises(InputError, match="gusts"):
        bracing.check_many(job, gusts=gusts)


def test_limit_gusts_are_those_of_each_and_nought_beyond(job):
    far = evolve(job, wall=evolve(job.wall, studs=evolve(job.wall.studs, spacing=30.0)), braces=())
    assert bracing.check_wall(far, effects=False).limit is None
    limits = bracing.limit_gusts(iter([job, far, evolve(job, braces=())]))
    assert limits.shape == (3,)
    assert limits[0] == pytest.approx(bracing.check_wall(job, effects=False).limit, rel=1e-12)
    assert limits[1:].tolist() == [0.0, 0.0]
    with pytest.raises(InputError, match=r"jobs\[1\]"):
        bracing.limit_gusts([job, "a wall"])


def layouts_of(job, count, braces=3):
    rng = np.random.default_rng(8)
    apart = job.wall.studs.spacing
    studs = np.arange(1, int(job.wall.length // apart)) * apart

    def one():
        at = rng.choice(studs, braces, replace=False)
        return [(x, 78.0 + 6.0 * rng.integers(3), 84.0 + 12.0 * rng.integers(2)) for x in at]

    return np.array([one() for _ in range(count)])


@pytest.fixture(scope="module")
def small():
    return small_job()


def test_a_layout_is_never_rated_over_what_the_chain_says():
    wall = bracing.job_from_options(
        length="20 ft",
        height="10 ft",
        studs="2x6@16in",
        layers="osb 7/16",
        joists="2x10@16in away",
        stock="2x6@16ft",
    )
    job = bracing.lay_out(wall, gust=30.0, budget=0.0).job
    like, layouts = job.braces[0], layouts_of(job, 40)
    rated = bracing.evaluate_layouts(job, layouts, gust=35.0)
    assert rated.like is like
    chain = [worst_ratio(build_model(rated.job_of(k)).crowded, 35.0) for k in range(len(layouts))]
    assert (rated.ratios <= np.array(chain) * (1.0 + 1e-9)).all()
    finite = np.isfinite(chain)
    assert finite.sum() > 20
    assert (rated.ratios[finite] > 0.2 * np.array(chain)[finite]).all()  # and says something
    assert len({job.braces[0].stud_at for job in map(rated.job_of, range(40))}) > 1
    order = np.argsort(layouts[0][:, 0])
    turned = bracing.evaluate_layouts(job, [layouts[0][order], layouts[0]], gust=35.0, like=like)
    assert turned.ratios[0] == pytest.approx(turned.ratios[1], rel=1e-12)


def test_layouts_that_cannot_be_are_refused(small):
    fine = [[24.0, 78.0, 84.0], [72.0, 78.0, 84.0]]
    wrong = {
        "full-height stud": [[30.0, 78.0, 84.0], fine[1]],
        "its head on its stud": [[24.0, 99.0, 84.0], fine[1]],
        "out from the plate": [[24.0, 78.0, 0.0], fine[1]],
        "alone on its stud": [fine[0], fine[0]],
    }
    for told, layout in wrong.items():
        with pytest.raises(InputError, match=told):
            bracing.evaluate_layouts(small, [layout], gust=30.0)
    for shape in ([], [fine[0]], [[[1.0, 2.0]]], "places"):
        with pytest.raises(InputError, match=r"\(b, n, 3\)"):
            bracing.evaluate_layouts(small, shape, gust=30.0)
    across = bracing.Row(height=48.0, kind="strongback", size="2x6")
    rows = evolve(small, wall=evolve(small.wall, rows=(across,)))
    with pytest.raises(InputError, match="no rows across its studs"):
        bracing.evaluate_layouts(rows, [fine], gust=30.0)


@pytest.mark.slow
def test_layouts_in_an_array_are_as_fast_as_the_screen_within(small, monkeypatch):
    """What is put round the screen costs less than the screen: of 20,000 layouts, the pool apart."""
    import bracing.calls.layouts as of

    pools: list[Pool] = []
    made = of._pool
    monkeypatch.setattr(of, "_pool", lambda *args, **kw: pools.append(made(*args, **kw)) or pools[-1])
    few, many = layouts_of(small, 100), np.tile(layouts_of(small, 100), (200, 1, 1))
    bracing.evaluate_layouts(small, few, gust=30.0)
    monkeypatch.setattr(of, "_pool", lambda *args, **kw: pools[0])
    ratios = []
    for _ in range(3):
        start = time.process_time()
        bracing.evaluate_layouts(small, many, gust=30.0)
        middle = time.process_time()
        worst_ratios(pools[0], np.tile(np.arange(3, dtype=np.intp), (len(many), 1)))
        ratios.append((middle - start) / (time.process_time() - middle))
    assert min(ratios) < 2.0, ratios


# -- own values --------------------------------------------------------------------------------------------


def grade(**changes):
    values = {
        "Fb": 1500.0,
        "Ft": 900.0,
        "Fv": 135.0,
        "Fc_perp": 425.0,
        "Fc": 1600.0,
        "E": 1.5e6,
        "Emin": 0.7e6,
    }
    sized = changes.pop("sized", False)
    return bracing.own_grade("own 1", report="stamp", strengths=values | changes, sized=sized)


def bending(job):
    return next(
        x for x in bracing.check_wall(job, gust=30.0, effects=False).links if x.link == "stud bending"
    ).capacity


def studs_of(job, own):
    return evolve(job, wall=evolve(job.wall, studs=evolve(job.wall.studs, grade=own)))


def test_a_grade_of_ones_own_gives_the_strength_it_says(small):
    """Dry 2x6: F'b S = 1500 psi x 1.6 x 7.5625 in^3 (NDS 4.3.1; S from memory), no size factor unless asked."""
    assert bending(studs_of(small, grade())) == pytest.approx(1500.0 * 1.6 * 7.5625, rel=1e-4)
    assert bending(studs_of(small, grade(sized=True))) == pytest.approx(1500.0 * 1.6 * 7.5625 * 1.3, rel=1e-4)
    told = bracing.check_wall(studs_of(small, grade()), effects=False)
    assert told.job.wall.studs.grade == grade()
    assert json.dumps(told.to_dict())


def test_two_grades_of_one_name_are_two_and_none_is_the_table_s():
    assert grade() == grade() != grade(Fb=1600.0)
    with pytest.raises(AttributeError):
        grade().values = None
    assert hash(grade()) == hash(pickle.loads(pickle.dumps(grade())))
    weak = {"Fb": 100.0, "Ft": 100.0, "Fv": 100.0, "Fc_perp": 100.0, "Fc": 100.0, "E": 1e6, "Emin": 4e5}
    named = bracing.own_grade("No.2", report="r", strengths=weak)
    assert named != "No.2" and "No.2" != named  # noqa: PT018, SIM300  (both ways round)
    assert bending(studs_of(small_job(), named)) < bending(small_job())


def test_a_layer_of_ones_own_weighs_what_it_says(small):
    board = bracing.own_layer("stone windows", report="sheet", psf=10.0, thickness=1.0)
    clad = evolve(small.wall, layers=(*small.wall.layers, board))
    assert take_off(clad).weight - take_off(small.wall).weight == pytest.approx(
        10.0 * 80.0, rel=1e-9
    )  # 10 by 8 ft


def test_a_wind_of_ones_own_is_the_load_of_every_case(small):
    """14 psf at 60 mph is 3.5 at 30, on 80 square feet: 280 lb; strengths stay, standards name it."""
    wind = bracing.own_wind(lambda job: uniform_wind(job, psf=14.0, gust=60.0), named="tunnel test")
    plan = bracing.lay_out(evolve(small, basis=wind), gust=30.0, budget=0.0)
    told = plan.checked.to_dict()
    assert {round(abs(case["wind_lb"]), 6) for case in told["loads"]["cases"]} == {280.0}
    assert told["standards"] == [
        *bracing.check_wall(small, effects=False).to_dict()["standards"],
        "tunnel test",
    ]
    asked = bracing.check_wall(evolve(plan.job, basis=None), gust=30.0, effects=False, basis=wind)
    assert asked.limit == pytest.approx(plan.result.limit, rel=1e-12)
    assert asked.limit != pytest.approx(limit_gust(build_model(evolve(plan.job, basis=None))), rel=1e-3)
    assert bracing.limit_gusts([evolve(plan.job, basis=None)], basis=wind)[0] == pytest.approx(
        asked.limit, rel=1e-12
    )
    assert bracing.take_stages(plan.job).limit == pytest.approx(asked.limit, rel=1e-9)


def test_a_basis_of_ones_own_gives_every_strength(small):
    """One that gives half of every value of lumber: bending is half, and a storm and a layout know it too."""

    class Half:
        def __init__(self, base):
            self.base = base

        def __getattr__(self, name):
            return getattr(self.base, name)

        def lumber(self, *args, **given):
            found = self.base.lumber(*args, **given)
            return evolve(found, Fb=found.Fb / 2.0)

    plan = bracing.lay_out(small, gust=30.0, budget=0.0)
    half = evolve(plan.job, basis=Half(bracing.basis_of(small)))
    assert bending(half) == pytest.approx(bending(plan.job) / 2.0, rel=1e-9)
    assert storm_of(half).check.limit == pytest.approx(
        bracing.check_wall(half, thunderstorm=True).limit, rel=1e-9
    )


@pytest.mark.parametrize(
    ("ask", "told"),
    [
        (lambda: grade(Fb=-1.0), "own_grade.Fb"),
        (lambda: bracing.own_grade("x", report="r", strengths={"Fb": 900.0}), "own_grade.Emin"),
        (lambda: bracing.own_layer("x", report="", psf=2.0), "own_layer.report"),
        (lambda: bracing.own_layer("x", report="r", psf=2.0, panel=True), "own_layer.thickness"),
        (lambda: bracing.own_wind(3, named="x"), "own_wind"),
        (lambda: bracing.own_wind(len, named=""), "own_wind"),
        (lambda: uniform_wind(small_job(), psf=0.0, gust=60.0), "psf"),
        (lambda: evolve(small_job(), basis="NDS"), "Job.basis"),
    ],
)
def test_values_of_ones_own_that_cannot_be_are_refused(ask, told):
    with pytest.raises(InputError, match=told):
        ask()


# -- frames and plots --------------------------------------------------------------------------------------


def test_frames_have_the_rows_of_json(job, checked):
    pytest.importorskip("pandas")
    from bracing import frames

    told = checked.to_dict()
    limits = [row["limit_gust_mph"] for row in told["links"] if row["limit_gust_mph"] is not None]
    assert frames.links(checked)["limit_gust_mph"].dropna().tolist() == limits
    assert frames.braces(checked)["mark"].tolist() == [brace.mark for brace in job.braces]
    cases = frames.cases(checked)
    assert len(cases) == len(told["loads"]["cases"])
    assert cases["brace_horizontal_lb.B1"].iloc[0] == told["loads"]["cases"][0]["brace_horizontal_lb"]["B1"]
    assert len(frames.hours(storm_of(job))) == len(storm_of(job).to_dict()["hours"])
    assert len(frames.stages(bracing.take_stages(job))) == len(bracing.take_stages(job).stages)
    several = frames.walls([checked, checked])
    assert several["limit_gust_mph"].tolist() == [checked.limit_whole] * 2
    beyond = bracing.check_wall(job, gust=200.0, effects=False)
    assert list(frames.links(beyond).columns)[:2] == ["link", "direction"]
    with pytest.raises(InputError, match="an answer with hours"):
        frames.hours(checked)


def test_without_its_package_a_frame_says_how_to_get_it(checked, monkeypatch):
    from bracing import frames

    monkeypatch.setitem(__import__("sys").modules, "pandas", None)
    with pytest.raises(MissingExtraError, match=r"bracing\[frames\]"):
        frames.links(checked)


def test_plots_show_the_gusts_of_the_answer(job, checked):
    pytest.importorskip("matplotlib")
    from bracing import plots

    axes = plots.limits(checked, most=5).axes[0]
    assert len(axes.patches) == 5
    assert axes.patches[0].get_width() == pytest.approx(checked.links[0].limit_gust, rel=1e-9)
    words = [text.get_text() for text in axes.get_legend().get_texts()]
    assert words == [f"clear out {checked.clear_out} mph", f"limit {checked.limit_whole} mph", "asked 30 mph"]
    metric = plots.limits(checked, most=1, metric=True).axes[0]
    assert metric.patches[0].get_width() == pytest.approx(checked.links[0].limit_gust * 0.44704, rel=1e-6)
    answer = storm_of(job)
    steps = plots.gusts(answer).axes[0].lines
    assert max(steps[0].get_ydata()) == answer.worst.gust
    assert [line.get_label() for line in steps] == ["gust", "limit", "clear out"]
    marks = {text.get_text() for text in plots.elevation(checked).axes[0].texts}
    assert {brace.mark for brace in job.braces} <= {mark.split()[0] for mark in marks}
    assert not plots.limits(bracing.check_wall(job, gust=200.0)).axes[0].patches


def test_hours_without_an_end_are_drawn_too(job):
    pytest.importorskip("matplotlib")
    from bracing import plots

    clock = bracing.Clock(datetime(2026, 3, 6, 21, 0, tzinfo=UTC), UTC)
    hours = tuple(bracing.Hour(clock.now + timedelta(hours=k), None, 20.0 + k) for k in range(3))
    answer = bracing.check_storm(job, bracing.Forecast(hours), clock, ladder=None)
    assert plots.gusts(answer).axes[0].lines[0].get_xdata().tolist() == [0.0, 1.0, 2.0, 3.0]
