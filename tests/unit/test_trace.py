"""Each step of a trace is worked out again from its own arithmetic, and ends at the number the chain gives."""

from __future__ import annotations

import ast
import math
import operator
import re

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.evaluate import groups_at
from bracing.chain.links import Link, may_carry
from bracing.check import check
from bracing.job.fasteners import Fastener
from bracing.job.floor import CrossCleat, Ground
from bracing.job.wall import Opening, Row
from bracing.results import load_results
from bracing.sums import Sum
from bracing.sums import written as n
from bracing.text.page import Page
from bracing.text.quantities import in_words
from bracing.text.trace import steps_of as steps_of_sum
from bracing.text.trace import trace, trace_page
from tests.sheet_walls import NAMES, braced, checked

FIGURES = 2e-4  # sums carry seven figures; four are left after the differences and powers in them
OPERATORS = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}  # fmt: skip
FUNCTIONS = {
    "sqrt": math.sqrt, "min": min, "max": max, "exp": math.exp,
    "sin": lambda degrees: math.sin(math.radians(degrees)),
    "cos": lambda degrees: math.cos(math.radians(degrees)), "tan": lambda degrees: math.tan(math.radians(degrees)),
}  # fmt: skip


def steps_of_item(group, item):
    return steps_of_sum(may_carry(group, item), unit=group.unit)


def by_hand(arithmetic):
    """What a hand calculator makes of a sum: numbers, brackets and keys, nothing else."""
    text = arithmetic.replace("×", "*").replace("^", "**").replace("√", "sqrt").replace("°", "")
    return worked(ast.parse(text, mode="eval").body)


def worked(node):
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.BinOp):
        return OPERATORS[type(node.op)](worked(node.left), worked(node.right))
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -worked(node.operand)
    if isinstance(node, ast.Call):
        return FUNCTIONS[node.func.id](*(worked(each) for each in node.args))
    pytest.fail(f"not arithmetic: {ast.dump(node)}")


@pytest.fixture(scope="module", params=NAMES)
def traced(request):
    return trace(checked(request.param))


def wind_step(traced, words):
    """The first of the wind's steps that begins so."""
    return next(step for step in traced.wind if step.what.startswith(words))


def steps_of(traced):
    return [*traced.wind, *(step for each in traced.links for step in each.steps)]


def test_the_calculator_knows_its_keys():
    assert by_hand("√(9) + 2 × 3^2 - min(4, 5) / 2 + tan(45°)") == pytest.approx(20.0, abs=1e-12)


def test_every_sum_comes_out_to_its_value(traced):
    for step in steps_of(traced):
        assert step.value == pytest.approx(by_hand(step.sum), rel=FIGURES, abs=1e-9), step


def test_a_sum_ends_at_the_limit_gust_of_the_chain(traced):
    """By hand from the printed numbers alone; where shear and lift act together, all of the fastener is used there."""
    for each in traced.links:
        last, limit = each.steps[-1], each.link.limit_gust
        if each.link.unit == "share used" or each.link.link == "plate across the grain":
            at = next(float(m[1]) for step in each.steps if (m := re.search(r"at ([0-9.]+) mph", step.what)))
            assert at == pytest.approx(limit, rel=1e-5)
            assert by_hand(last.sum) == pytest.approx(1.0, abs=FIGURES)
        elif limit > 0.0:
            assert (last.what, last.unit) == ("Gust at which the two are equal, V", "mph")
            assert by_hand(last.sum) == pytest.approx(limit, rel=FIGURES)
        else:
            assert each.steps[-2].value > 0.0 or each.link.capacity <= 0.0


def test_a_sentence_never_shows_a_higher_gust(traced):
    """Rounded down as every gust: one of 33.97 mph beside a limit gust of 33 must not read 34.0."""
    for each in traced.links:
        shown = float(re.search(r"its limit at ([0-9.]+) mph", in_words(each.sentence))[1])
        assert each.link.limit_gust - 0.1 < shown <= each.link.limit_gust + 1e-6


def test_the_traced_links_are_the_lowest_of_their_kind(traced):
    """The chain's own list, sorted by another way, names the same link with the same numbers."""
    lowest: dict[str, Link] = {}
    for link in traced.result.evaluation.links:
        name = link.link.removesuffix(", in reverse")
        if name not in lowest or link.limit_gust < lowest[name].limit_gust:
            lowest[name] = link
    reached = {name: link for name, link in lowest.items() if link.limit_gust <= 120.0}
    assert {each.link.link.removesuffix(", in reverse") for each in traced.links} == set(reached)
    for each in traced.links:
        link = reached[each.link.link.removesuffix(", in reverse")]
        assert each.link.limit_gust == pytest.approx(link.limit_gust, rel=1e-9, abs=1e-9)
        assert each.link.capacity == pytest.approx(link.capacity, rel=1e-9)
    nothing = {link.link.removesuffix(", in reverse") for link in traced.nothing}
    assert set(traced.untouched) >= set(lowest) - set(reached) - nothing
    assert not set(traced.untouched) & (set(reached) | nothing)


def test_the_wind_steps_are_the_pressure_and_load_of_the_check(traced):
    pressure, total = (wind_step(traced, words) for words in ("Net pressure on the wall", "Level load"))
    assert by_hand(pressure.sum) == pytest.approx(traced.result.pressure_psf, rel=FIGURES)
    cases = [case for case in load_results(traced.result.evaluation)["cases"] if case["case"] == "A"]
    assert by_hand(total.sum) == pytest.approx(max(abs(case["total_lb"]) for case in cases), rel=FIGURES)


def test_every_clause_names_a_source_or_none(traced):
    named = [step.source for step in steps_of(traced) if step.source]
    assert len(named) > 0.6 * len(steps_of(traced))


GROUND = Ground(
    soil="sand", stake_width=3.5, embedment=42.0, pull_above=4.0, deadman_lb=1500.0, friction=0.35
)
LAG = "lag 3/8x4"


OURS = Fastener(
    name="Yard screw", kind="structural screw", diameter=0.22, root=0.16, head=0.42, length=5.0, thread=3.0, tip=0.22,
    fyb=150_000.0, report="TR-1234", withdrawal_per_inch=150.0, pull_through=200.0, lateral=240.0, steel_tension=800.0,
    report_gravity=0.36, report_side=0.5, report_penetration=1.0, source="USER",
)  # fmt: skip
# Long enough to reach through a plate into the panel below, too short to hold anything across.
STUB = Fastener(
    name="Stub nail",
    kind="nail",
    diameter=0.131,
    root=0.131,
    head=0.281,
    length=1.8,
    thread=1.8,
    tip=0.26,
    fyb=1e5,
    source="USER",
)


def plated(name, *, plate_fastener=None, **extra):
    """An example whose bottom plate is nailed off for good and screwed down beside each brace."""
    job = braced(name)
    plate = evolve(job.wall.plate, state="final", extra=evolve(job.wall.plate.extra, **extra))
    plate = plate if plate_fastener is None else evolve(plate, fastener=plate_fastener)
    return evolve(job, wall=evolve(job.wall, plate=plate), fasteners=(STUB,))


def changed(name, *, head=None, cleat=None, braces=None, floor=None, fasteners=()):
    """An example with some of its kit, braces, floor or own fasteners changed."""
    job = braced(name)
    kit = evolve(
        job.kit, head=evolve(job.kit.head, **(head or {})), cleat=evolve(job.kit.cleat, **(cleat or {}))
    )
    return evolve(
        job, kit=kit, floor=evolve(job.floor, **(floor or {})), fasteners=fasteners,
        braces=tuple(evolve(brace, **(braces or {})) for brace in job.braces),
    )  # fmt: skip


VARIANTS = {
    "T": (lambda: changed("rake-wall", braces={"stiffener": "T", "ties": 0}), {"brace in push", "brace in pull"}),
    "T with ties": (lambda: changed("south-gable", braces={"stiffener": "T"}), {"brace in push", "brace in pull"}),
    "plumb": (
        lambda: changed("rake-wall", head={"joint": "plumb", "side_cleat": True}), {"head bearing", "head joint"},
    ),
    "plumb, toe-nailed": (
        lambda: changed("rake-wall", head={"joint": "plumb", "side_cleat": False, "fastener": "16d common"}),
        {"head bearing", "head joint"},
    ),
    "stake and weight": (
        lambda: changed("slab-wall", floor={"kind": "ground", "ground": GROUND}), {"foot to ground"},
    ),
    "stake": (
        lambda: changed("slab-wall", floor={"kind": "ground", "ground": evolve(GROUND, deadman_lb=0.0)}),
        {"foot to ground"},
    ),
    "weight": (
        lambda: changed("slab-wall", floor={"kind": "ground", "ground": evolve(GROUND, embedment=0.0)}),
        {"foot to ground"},
    ),
    "lags": (
        lambda: changed(
            "south-gable", head={"fastener": LAG}, cleat={"brace_fastener": LAG, "floor_fastener": "lag 3/8x9"}
        ),
        {"head joint", "brace to cleat", "cleat to floor"},
    ),
    "cross cleats": (
        lambda: changed(
            "south-gable", braces={"foot_on": "cross cleat"}, cleat={"length": 36.0},
            floor={"cross_cleat": CrossCleat(size="2x6", fastener="structural screw 0.22x5", each_joist=2)},
        ),
        {"cleat to floor", "cross cleat to joists", "cross cleat bending"},
    ),
    "anchors": (lambda: braced("slab-wall"), {"cleat to floor"}),
    "reported": (
        lambda: changed(
            "south-gable", head={"fastener": OURS.name}, cleat={"brace_fastener": OURS.name}, fasteners=(OURS,)
        ),
        {"head joint", "brace to cleat"},
    ),
    "lags in the plate": (lambda: plated("south-gable", fastener=LAG, at_each_brace=6), {"plate shear"}),
    "short nails in the plate": (
        lambda: plated("south-gable", plate_fastener=STUB.name, fastener=LAG, at_each_brace=6), {"head joint"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", VARIANTS)
def test_every_way_to_make_a_brace_is_worked_out_step_by_step(name):
    """Wind from either side: each sum comes out, none is left at "may carry", each ends at the chain's value."""
    job, kinds = VARIANTS[name][0](), VARIANTS[name][1]
    result = check(job, gust=30.0, effects=False)
    _, groups = groups_at(result.model, 30.0)
    seen = set()
    for group in groups:
        if group.link not in kinds or not group.capacity.any():
            continue
        for item in range(len(group.capacity)):
            steps = steps_of_item(group, item)
            if group.capacity[item] > 0.0:
                seen.add(group.link)
                assert len(steps[-1].sum.split()) > 1, group.link
            assert steps[-1].value == pytest.approx(group.capacity[item], rel=1e-6)
            for step in steps:
                assert step.value == pytest.approx(by_hand(step.sum), rel=FIGURES, abs=1e-9), step
    assert seen == kinds
    for step in steps_of(trace(result)):
        assert step.value == pytest.approx(by_hand(step.sum), rel=FIGURES, abs=1e-9), step


def test_headers_sills_and_rows_are_worked_out_step_by_step():
    seen = set()
    for name in NAMES:
        model = checked(name).model
        for group in groups_at(model, 30.0)[1]:
            kind = group.link.split(" ")
            if kind[0] in ("header", "sill", "row") and group.capacity.any():
                steps = steps_of_item(group, 0)
                seen.add(group.link)
                assert by_hand(steps[-1].sum) == pytest.approx(group.capacity[0], rel=FIGURES)
    assert {"header end", "sill end"} <= seen


def test_of_several_headers_and_rows_each_is_worked_out_with_its_own_nails_and_size():
    """A door, a window with more nails and a deeper header, a wale and a strongback: each item, not the first found."""
    job = braced("slab-wall")
    door = Opening(left=60.0, sill=0.0, width=36.0, height=80.0, header="2-2x6", header_nails=2)
    window = Opening(left=220.0, sill=30.0, width=36.0, height=40.0, header="2-2x10", header_nails=5)
    rows = (Row(height=40.0, kind="wale", size="2x4"), Row(height=100.0, kind="strongback", size="2x6"))
    wall = evolve(job.wall, openings=(door, window), rows=rows, studs=evolve(job.wall.studs, size="2x6"))
    free = [
        b for b in job.braces if not any(o.left - 6.0 < b.stud_at < o.right + 6.0 for o in (door, window))
    ]
    model = check(evolve(job, wall=wall, braces=tuple(free)), gust=30.0, effects=False).model
    seen = {}
    for group in groups_at(model, 30.0)[1]:
        if group.link.split(" ")[0] in ("header", "sill", "row"):
            for item, capacity in enumerate(group.capacity):
                steps = steps_of_item(group, item)
                assert by_hand(steps[-1].sum) == pytest.approx(capacity, rel=FIGURES)
                seen.setdefault(group.link, set()).add(round(float(capacity), 3))
    assert len(seen["header end"]) == len(seen["header bending"]) == len(seen["row bending"]) == 2
    low, high = sorted(seen["header end"])
    assert high == pytest.approx(2.5 * low, rel=1e-6)  # five nails and two


@pytest.mark.parametrize("name", ["rake-wall", "slab-wall"])
def test_the_profile_of_a_thunderstorm_is_in_the_sum(name):
    """Its outflow is as strong near the ground: Kz no less than the judged one, and the pressure comes out with it."""
    calm, storm = (
        check(braced(name), gust=30.0, thunderstorm=storms, effects=False) for storms in (False, True)
    )
    words = ("Profile with thunderstorms", "Velocity pressure at", "Net pressure on the wall")
    profile, q, pressure = (wind_step(trace(storm), said) for said in words)
    assert by_hand(profile.sum) == pytest.approx(profile.value, rel=FIGURES)
    assert profile.sum.startswith("max(")
    assert profile.value >= wind_step(trace(calm), "Velocity pressure exposure coefficient").value
    assert by_hand(q.sum) == pytest.approx(
        0.00256 * profile.value * storm.job.site.kzt * storm.gust**2, rel=FIGURES
    )
    assert by_hand(pressure.sum) == pytest.approx(storm.pressure_psf, rel=FIGURES)


def test_a_plate_nobody_fastened_is_traced_as_nothing():
    """Tacked only: the link is over at any gust, and its last line says what is missing."""
    job = braced("south-gable")
    plate = evolve(
        job.wall.plate,
        state="tacked",
        sheathing_laps="none",
        extra=evolve(job.wall.plate.extra, at_each_brace=0),
    )
    result = check(evolve(job, wall=evolve(job.wall, plate=plate)), gust=30.0, effects=False)
    (link,) = [each for each in trace(result).links if each.link.link == "plate shear and uplift"]
    assert link.link.limit_gust == 0.0
    assert result.clear_out == 0
    assert link.steps[-1].what == "nothing declared fastens the plate here (tacked)"


@pytest.mark.parametrize("name", VARIANTS)
def test_every_group_of_links_is_followed_to_its_limit(name):
    """Each traced as if it were the only one: sums come out, and the last is the gust, or all of a fastener."""
    result = check(VARIANTS[name][0](), gust=30.0, effects=False)
    followed = 0
    for group in result.evaluation.groups:
        alone = trace(evolve(result, evaluation=evolve(result.evaluation, groups=(group,))))
        for each in alone.links:
            for step in each.steps:
                assert step.value == pytest.approx(by_hand(step.sum), rel=FIGURES, abs=1e-9), step
            limit, last = float(group.limits.min()), each.steps[-1]
            if limit > 0.0:
                at_limit = 1.0 if group.use is not None else limit
                assert last.value == pytest.approx(at_limit, rel=FIGURES), (in_words(each.sentence), last)
            followed += 1
    assert followed >= 10


NOTHING = {
    "head": (lambda: stubbed(head="Stub nail"), "head joint"),
    "cleat": (lambda: stubbed(brace_fastener="Stub nail"), "brace to cleat"),
    "floor": (lambda: stubbed(floor_fastener="Stub nail"), "cleat to floor"),
    "stake": (
        lambda: changed("slab-wall", floor={"kind": "ground", "ground": evolve(GROUND, deadman_lb=0.0)}),
        "foot to ground",
    ),
    "stick": (lambda: changed("south-gable", braces={"size": "2x4", "ties": 0}), "brace in push"),
    "T": (lambda: changed("south-gable", braces={"size": "2x2", "ties": 0, "stiffener": "T"}), "brace in push"),
}  # fmt: skip


def stubbed(*, head=None, **cleat):
    return changed("south-gable", head={"fastener": head} if head else None, cleat=cleat, fasteners=(STUB,))


@pytest.mark.parametrize("name", ["T", "anchors", "lags in the plate"])
def test_a_share_of_one_item_is_the_share_the_chain_reads_for_all(name):
    """Two readings of one use: every row at once, and one item's forces as sums."""
    rng, gust, held = np.random.default_rng(4), 31.0, 0
    for group in groups_at(check(VARIANTS[name][0](), gust=30.0, effects=False).model, 30.0)[1]:
        if group.use is None:
            continue
        shape = (2, *group.demand.shape[1:-1], 2)
        parts = rng.uniform(-1.0, 1.0, shape) * (300.0, 1.0)
        at = parts[..., 0] + parts[..., 1] * gust**2
        shares = group.use(np.abs(at[0]), at[1])
        for item, share in enumerate(shares):
            last = group.use.sums(item, parts[0, item], parts[1, item], gust=gust, where="")[-1]
            assert float(last) == pytest.approx(share, rel=1e-12) or not math.isfinite(share)
            held += 1
    assert held >= 8


@pytest.mark.parametrize("name", NOTHING)
def test_a_link_that_counts_for_nothing_is_shown_as_nothing_with_its_reason(name):
    job, kind = NOTHING[name][0](), NOTHING[name][1]
    model = check(job, gust=30.0, effects=False).model
    seen = 0
    for group in groups_at(model, 30.0)[1]:
        for item in range(len(group.capacity)):
            if group.link == kind and group.capacity[item] == 0.0:
                steps = steps_of_item(group, item)
                assert steps[-1].value == by_hand(steps[-1].sum) == 0.0
                assert len(" ".join(step.what for step in steps).split()) > 3
                seen += 1
    assert seen


def test_a_stick_over_75_shows_the_slenderness_that_makes_it_nothing():
    """9 ft up and 9 ft out without ties: 152.7 in over 1.5 in is 101.8."""
    job = changed("south-gable", braces={"ties": 0})
    result = check(job, gust=30.0, effects=False)
    group = next(g for g in groups_at(result.model, 30.0)[1] if g.link == "brace in push")
    item = group.marks.index("B2")
    assert group.capacity[item] == 0.0
    weak, last = steps_of_item(group, item)[1:]
    assert weak.value == pytest.approx(math.hypot(108.0, 108.0) / 1.5, rel=1e-6)
    assert "counts for nothing" in last.what


def test_the_t_is_what_is_traced_where_it_helps():
    result = check(VARIANTS["T"][0](), gust=30.0, effects=False)
    (push,) = [each for each in trace(result).links if each.link.link == "brace in push"]
    assert any("Efficiency of its fasteners" in step.what for step in push.steps)
    assert any(step.source.startswith("EN 1995") for step in push.steps)


def test_no_link_of_the_examples_is_left_without_its_sum(traced):
    """Each strength of each item of each group is a sum, and so is each share two forces use."""
    held = 0
    for group in traced.result.evaluation.groups:
        for item in range(len(group.capacity)):
            sums = (
                (may_carry(group, item),)
                if group.use is None
                else group.use.sums(item, group.demand[0, item], group.tension[0, item], gust=30.0, where="")
            )
            assert sums, group.link
            assert all(isinstance(made, Sum) for made in sums), group.link
            held += 1
    assert held > 100


def test_a_plate_on_anchors_nobody_declared_is_traced_to_no_share_of_them():
    """Found by the fuzz: shear on an allowable of nothing was printed as a share of inf."""
    job = braced("slab-wall")
    bare = evolve(job, floor=evolve(job.floor, slab=evolve(job.floor.slab, shear_lb=0.0, tension_lb=0.0)))
    shared = [
        each for each in trace(check(bare, gust=20.0)).links if each.link.link == "plate shear and uplift"
    ]
    assert shared
    for each in shared:
        said = [step for step in each.steps if "nothing allowed in shear or lift" in step.what]
        assert [by_hand(step.sum) for step in said] == [0.0]
        assert all(math.isfinite(by_hand(step.sum)) and math.isfinite(step.value) for step in each.steps)


def test_beyond_the_envelope_there_is_no_trace():
    job = braced("as-found")
    high = evolve(job, wall=evolve(job.wall, top=((0.0, 500.0), (384.0, 500.0))))
    result = check(high, gust=30.0)
    assert trace(result) is None
    assert "ENGINEER" in trace_page(result, None, Page())


def test_the_text_has_every_sum_and_stays_in_its_width(traced):
    text = trace_page(traced.result, traced, Page(width=80))
    flat = re.sub(r"\s+", "", text)
    for step in steps_of(traced):
        assert re.sub(r"\s+", "", step.sum) in flat
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.0, "0"), (1.5, "1.5"), (1e-7, "0.0000001"), (2e9, "2000000000")]
)
def test_numbers_are_written_as_a_calculator_takes_them(value, text):
    assert n(value) == text
