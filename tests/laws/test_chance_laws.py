"""What is counted is what closed forms, quadrature, first-order reliability and importance sampling give."""

from __future__ import annotations

import math
import zlib

import numpy as np
import pytest
from attrs import evolve
from scipy.optimize import minimize
from scipy.special import ndtr
from scipy.stats import multivariate_normal

import bracing.chance.draws as drawing
from bracing.chain.forces import DIRECTIONS
from bracing.chain.links import LinkId
from bracing.chance.answer import Figures
from bracing.chance.draws import DRAWS, Drawn, first_ones, normal, uniform
from bracing.chance.scattered import Scattered, Sides, Walls, scattered
from bracing.codes.chance import load_at, log_scatter, scatter_of_load
from bracing.codes.medians import Strength
from bracing.reading.jobs import read_job
from bracing.text.chance import two_digits
from tests.cli.running import EXAMPLES

ZETA = log_scatter(scatter_of_load())
SURE = 4.0  # standard errors a counted share may be off: one test in fifteen thousand


def link(steady=0.0, at=50.0, kind=Strength.LATERAL, many=4, what=LinkId.PLATE_SHEAR, mark=None, x=0.0):
    """A link at its median strength where the gust is so high."""
    return Scattered(what, mark, x, steady, (1.0 - steady) / at**2, kind, many)


def wall(links, gone=None):
    """A wall of some links, the same from both sides."""
    made = {mark: Sides(dict.fromkeys(DIRECTIONS, tuple(some))) for mark, some in (gone or {}).items()}
    return Walls(Sides(dict.fromkeys(DIRECTIONS, tuple(links))), made)


def counted(walls, gust, of="first", **how):
    taken = Drawn(walls, **how).taken()["push"]
    return float(np.mean(getattr(taken, of) <= gust))


def off(share, draws=DRAWS):
    return SURE * math.sqrt(max(share * (1.0 - share), 1.0 / draws) / draws)


def closed(one, gust):
    """Of a link without a steady part: strength over load is lognormal."""
    spread = math.hypot(one.spread, ZETA)
    return float(ndtr((math.log(one.rate * gust**2) - ZETA**2 / 2.0) / spread))


def chance_of_link(gust, *, steady, rate, scatter, points=64):
    """The chance that a link is past its strength in a gust, by Gauss-Hermite: E[Φ(ln(s + a V^2 X) / σ)] over X."""
    from scipy.special import ndtr

    nodes, weights = np.polynomial.hermite_e.hermegauss(points)
    ratio = steady + rate * np.asarray(gust, dtype=float)[..., None] ** 2 * load_at(nodes)
    with np.errstate(divide="ignore"):
        beyond = np.log(np.maximum(ratio, 0.0))
    past = ndtr(beyond / scatter) if scatter > 0.0 else (beyond >= 0.0).astype(float)
    return np.asarray(past @ weights / weights.sum())


@pytest.mark.parametrize("gust", [25.0, 35.0, 45.0, 60.0])
@pytest.mark.parametrize("kind", [Strength.NAIL, Strength.LATERAL, Strength.TENSION, Strength.TYPED])
def test_one_link_is_its_closed_form(kind, gust):
    one = link(kind=kind)
    exact = closed(one, gust)
    assert counted(wall([one]), gust) == pytest.approx(exact, abs=off(exact))


@pytest.mark.parametrize("gust", [25.0, 45.0, 60.0])
def test_quadrature_is_the_closed_form(gust):
    one = link(kind=Strength.NAIL)
    by_points = chance_of_link(gust, steady=0.0, rate=one.rate, scatter=one.spread)
    assert float(by_points) == pytest.approx(closed(one, gust), rel=1e-9)


@pytest.mark.parametrize("steady", [-0.6, -0.2, 0.3])
@pytest.mark.parametrize("gust", [30.0, 45.0, 60.0])
def test_with_what_no_wind_makes_it_is_the_quadrature(steady, gust):
    one = link(steady=steady)
    exact = float(chance_of_link(gust, steady=one.steady, rate=one.rate, scatter=one.spread))
    assert counted(wall([one]), gust) == pytest.approx(exact, abs=off(exact))


def design_point(one, gust):
    """Nearest point of the limit state to the middle: strength and load at so many standard deviations."""

    def excess(u):
        return one.spread * u[0] - math.log(
            max(one.steady + one.rate * gust**2 * load_at(np.array(u[1])), 1e-12)
        )

    found = minimize(
        lambda u: u @ u, np.array([-2.0, 2.0]), constraints={"type": "eq", "fun": excess}, method="SLSQP"
    )
    assert found.success
    return found.x, excess


@pytest.mark.parametrize("steady", [-0.3, 0.0, 0.2])
@pytest.mark.parametrize("gust", [20.0, 27.0, 34.0])
def test_first_order_reliability_agrees_within_a_fifth(steady, gust):
    """Exact where nothing is steady, for the limit state is a plane then; else its bend is worth up to a fifth."""
    one = link(steady=steady)
    at, _ = design_point(one, gust)
    exact = float(chance_of_link(gust, steady=one.steady, rate=one.rate, scatter=one.spread))
    assert float(ndtr(-np.linalg.norm(at))) == pytest.approx(exact, rel=1e-5 if steady == 0.0 else 0.2)


@pytest.mark.parametrize("steady", [-0.3, 0.0, 0.2])
def test_importance_sampling_of_the_load_finds_what_plain_draws_never_would(steady):
    """A chance of less than one in ten thousand, with draws about the load at which it happens."""
    one, gust = link(steady=steady), 20.0
    exact = float(chance_of_link(gust, steady=one.steady, rate=one.rate, scatter=one.spread))
    assert exact < 1e-4
    (_, out), _ = design_point(one, gust)
    z = np.random.default_rng(5).standard_normal(20_000) + out
    ratio = np.maximum(one.steady + one.rate * gust**2 * load_at(z), 1e-300)
    weighed = ndtr(np.log(ratio) / one.spread) * np.exp(-out * z + out**2 / 2.0)
    error = float(weighed.std() / math.sqrt(len(z)))
    assert error < 0.05 * exact
    assert float(weighed.mean()) == pytest.approx(exact, abs=SURE * error)


@pytest.mark.parametrize("kinds", [(Strength.LATERAL, Strength.LATERAL), (Strength.NAIL, Strength.BENDING)])
def test_two_links_share_load_kind_and_crew_as_the_normal_distribution_has_it(kinds):
    one, two = (link(kind=kind, x=float(k), at=50.0 + 4.0 * k) for k, kind in enumerate(kinds))
    own = [each.spread**2 + ZETA**2 for each in (one, two)]
    both = (
        ZETA**2
        + one.shares[2] * two.shares[2]
        + (one.shares[1] * two.shares[1] if kinds[0] is kinds[1] else 0.0)
    )
    spread = np.array([[own[0], both], [both, own[1]]])
    for gust in (35.0, 45.0, 55.0):
        margin = [ZETA**2 / 2.0 - math.log(each.rate * gust**2) for each in (one, two)]
        exact = 1.0 - float(multivariate_normal.cdf(margin, cov=spread))
        assert counted(wall([one, two]), gust) == pytest.approx(exact, abs=off(exact) + 1e-5)


def test_what_is_counted_lies_between_strengths_with_nothing_in_common_and_all_as_one():
    links = [link(x=float(k), at=50.0 + k, kind=Strength.LATERAL) for k in range(12)]
    figures = Figures(Drawn(wall(links)), wall(links))
    for gust in (30.0, 40.0, 50.0):
        bounds, share = figures.bounds(gust), counted(wall(links), gust)
        assert bounds["full"] - off(share) <= share <= bounds["independent"] + off(share)
        assert bounds["independent"] > bounds["full"] * 1.2


# -- one brace gone, joints missed ---------------------------------------------------------------------------


def braced(at=50.0, alone=40.0):
    """A wall of two braces, each by its head joint, which stands at less with one of them gone."""
    links = [link(what=LinkId.HEAD_JOINT, mark=m, x=k, at=at) for k, m in enumerate(("B1", "B2"))]
    gone = {
        "B1": [link(what=LinkId.HEAD_JOINT, mark="B2", x=1, at=alone)],
        "B2": [link(what=LinkId.HEAD_JOINT, mark="B1", x=0, at=alone)],
    }
    return wall(links, gone)


def test_a_line_that_needs_both_its_braces_goes_with_the_first():
    taken = Drawn(braced(alone=20.0)).taken()["push"]
    weak = np.mean(taken.line > taken.first)
    assert weak < 0.05  # only where the other is far stronger than it
    needs_one = Drawn(braced(alone=500.0)).taken()["push"]
    assert (needs_one.line > needs_one.first).all()


def test_a_link_of_the_wall_takes_the_line_with_it():
    walls = wall([link(), link(what=LinkId.HEAD_JOINT, mark="B1", x=1.0, at=400.0)], {"B1": [link(at=300.0)]})
    taken = Drawn(walls).taken()["push"]
    assert (taken.line == taken.first).all()


def test_the_line_is_the_greater_of_the_first_and_the_least_without_its_brace():
    """Said again draw by draw, from the strengths themselves."""
    walls = braced()
    drawn = Drawn(walls)
    taken = drawn.taken()["push"]
    rho = {}
    for each in walls.whole.links["push"]:
        own, kind, crew = each.shares
        z = own * normal(each.name) + kind * normal(f"kind {each.kind}") + crew * normal("crew")
        rho[each.mark] = np.exp(z) / load_at(normal("load"))
    gusts = {mark: np.sqrt(rho[mark]) * 50.0 for mark in rho}
    alone = {"B1": np.sqrt(rho["B2"]) * 40.0, "B2": np.sqrt(rho["B1"]) * 40.0}
    first = np.minimum(gusts["B1"], gusts["B2"])
    line = np.where(gusts["B1"] < gusts["B2"], np.maximum(first, alone["B1"]), np.maximum(first, alone["B2"]))
    np.testing.assert_allclose(taken.first, first, rtol=1e-6)  # seven digits of a gust are kept
    np.testing.assert_allclose(taken.line, line, rtol=1e-6)


def test_missed_joints_are_one_in_twenty_and_two_braces_without_are_down():
    drawn = Drawn(braced())
    share = 1.0 - 0.95**3
    for mark in ("B1", "B2"):
        assert float(drawn.absent[mark].mean()) == pytest.approx(share, abs=off(share))
    both = drawn.absent["B1"] & drawn.absent["B2"]
    assert both.any()
    assert (drawn.taken()["push"].missed[both] == 0.0).all()


@pytest.mark.parametrize("gust", [20.0, 35.0, 50.0])
def test_more_missed_joints_never_lower_the_chance(gust):
    shares = [counted(braced(), gust, "missed", missed=part) for part in (0.0, 0.02, 0.05, 0.1, 0.3)]
    assert shares == sorted(shares)
    assert shares[0] == counted(braced(), gust, "line")
    assert shares[-1] > shares[0]


def test_more_fasteners_at_the_same_forces_never_raise_the_chance():
    for gust in (25.0, 35.0, 45.0):
        shares = []
        for many in range(1, 9):
            one = link(many=many)
            shares.append(counted(wall([evolve(one, rate=one.rate * 4.0 / many)]), gust))
        assert shares == sorted(shares, reverse=True)
        assert shares[0] > shares[-1]


def test_the_chance_never_falls_with_the_gust_and_is_0_in_none():
    drawn = Drawn(scattered(read_job(EXAMPLES / "short-wall-braced.toml")), draws=20_000)
    for taken in drawn.taken().values():
        for gusts in (taken.first, taken.line, taken.missed, *taken.gone.values()):
            shares = [float(np.mean(gusts <= gust)) for gust in range(5, 120, 5)]
            assert shares == sorted(shares)
        assert (taken.line >= taken.first).all()
        assert (taken.missed <= taken.line).all()
        assert float(np.mean(taken.first <= 5.0)) == 0.0


def test_stronger_parts_never_raise_a_chance():
    drawn = Drawn(scattered(read_job(EXAMPLES / "short-wall-braced.toml")), draws=20_000)
    low, middle, high = (drawn.taken(part)["push"].line for part in (0.85, 1.0, 1.15))
    assert (low <= middle).all()
    assert (middle <= high).all()


# -- the same on every machine ---------------------------------------------------------------------------


def test_a_draw_is_that_of_the_published_generator():
    """NEP 19 keeps the raw stream of PCG64 for good; ours are its 53 bits, each in the middle of its step."""
    seed = np.random.SeedSequence([20, zlib.crc32(b"crew")])
    theirs = np.random.Generator(np.random.PCG64(seed)).random(1000)
    assert (uniform("crew", 1000) == theirs + 2.0**-54).all()
    assert uniform("crew", 1000).min() > 0.0


def test_names_have_draws_with_nothing_in_common():
    names = ("load", "crew", "kind fastener across", "head joint/B1/48.000", "head joint/B2/96.000")
    together = np.corrcoef([normal(name) for name in names])
    assert np.abs(together - np.eye(len(names))).max() < SURE / math.sqrt(DRAWS)


def test_how_many_are_worked_out_together_changes_no_bit(monkeypatch):
    walls = braced()
    before = Drawn(walls, draws=5000).taken()["push"]
    monkeypatch.setattr(drawing, "BLOCK", 37)
    after = Drawn(walls, draws=5000).taken()["push"]
    for name in ("first", "line", "missed"):
        assert (getattr(before, name) == getattr(after, name)).all()


def all_drawn(monkeypatch):
    monkeypatch.setattr(drawing, "first_ones", tuple)


@pytest.mark.parametrize("strength", [0.85, 1.0, 1.15])
def test_what_is_not_drawn_is_never_first(monkeypatch, strength):
    """With every link drawn no gust of any draw is another, with the wall whole and with each brace gone."""
    walls = scattered(read_job(EXAMPLES / "short-wall-braced.toml"))
    for way in DIRECTIONS:
        links = walls.whole.links[way]
        assert 5 < len(first_ones(links)) < len(links) // 2
    few = Drawn(walls, draws=20_000).taken(strength)
    all_drawn(monkeypatch)
    for way, every in Drawn(walls, draws=20_000).taken(strength).items():
        for name in ("first", "line", "missed"):
            assert (getattr(few[way], name) == getattr(every, name)).all()
        assert all((few[way].gone[mark] == every.gone[mark]).all() for mark in every.gone)


def test_what_two_links_share_is_no_reason_to_draw_one():
    """One kind, one crew: what both share moves both. With another kind a link so far off must be drawn."""
    near, far = link(at=50.0), link(at=112.0, x=1.0)
    assert first_ones([near, far]) == (near,)
    other = link(at=112.0, x=1.0, kind=Strength.TENSION)
    assert first_ones([near, other]) == (near, other)
    assert first_ones([]) == ()


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.0, "<0.1"), (0.00099, "<0.1"), (0.001, "0.1"), (0.018, "1.8"), (0.0994, "9.9"), (0.0996, "10"),
     (0.40, "40"), (0.99, "99"), (0.9901, ">99"), (1.0, ">99")],
)  # fmt: skip
def test_two_digits_and_no_more(share, text):
    assert two_digits(share) == text
