"""What is told of a link is what the chain gave, to rounding, and the row it names is the one that asks it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from attrs import frozen

from bracing.chain.evaluate import evaluate, groups_at, limit_gust, without
from bracing.chain.link_sums import link_sums
from bracing.chain.links import ALONG
from bracing.check import check
from bracing.codes.basis import IN_USE
from bracing.codes.pressures import Pressures
from bracing.reading.jobs import job_from_text
from bracing.results import load_results
from bracing.sums import Sum
from bracing.text.trace import trace
from tests.golden.walls import names, text
from tests.sheet_walls import NAMES, braced

ROUNDING = 1e-12
RANDOM = names()[::10]


def same(told_value, given):
    return told_value == given or math.isclose(told_value, given, rel_tol=ROUNDING, abs_tol=1e-300)


def told_as_given(evaluation):
    """How many links were told, each held to what the chain gave of it."""
    seen = 0
    for group in evaluation.groups:
        assert len(group.demand) == len(group.rows.named) * len(group.rows.points), group.link
        for which, link in enumerate(group.links(evaluation.gust)[: len(group.why)]):
            one = link_sums(group, which, evaluation.gust)
            for name, value, given in (
                ("demand", one.asked.demand, link.demand), ("capacity", one.capacity, link.capacity),
                ("ratio", one.ratio, link.ratio), ("limit", one.limit, link.limit_gust),
            ):  # fmt: skip
                if group.use is None or math.isfinite(given):  # what no fastener holds has no share to tell
                    assert same(value, given), (link, name, float(value), given)
            if one.limit_at is not None:
                assert one.limit_at.demand == pytest.approx(group.capacity[one.limit_at.item], rel=1e-8)
            assert isinstance(one.asked.demand, Sum)
            seen += 1
    return seen


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("gust", [30.0, None])
def test_every_link_of_the_examples_is_told_as_the_chain_gave_it(name, gust):
    assert told_as_given(check(braced(name), gust=gust, effects=False).evaluation) > 50


@pytest.mark.parametrize("name", RANDOM)
def test_every_link_of_random_walls_is_told_as_the_chain_gave_it(name):
    """Braces that count one way, tacked plates, slabs, bare frames, steep rakes: at a gust and at the limit."""
    result = check(job_from_text(text(name), f"{name}.toml"), gust=25.0, effects=False)
    if result.evaluation is None:
        assert result.beyond
        return
    assert told_as_given(result.evaluation)
    assert told_as_given(evaluate(result.model, max(result.limit, 1.0)))


@frozen
class OnlyOne:
    """The basis in use with one wind case alone."""

    case: str
    gap: str
    standards: tuple[str, ...] = IN_USE.standards

    def wind(self, job, *, thunderstorm=False):
        every = IN_USE.wind(job, thunderstorm=thunderstorm)
        return Pressures(tuple(f for f in every.fields if (f.case, f.gap) == (self.case, self.gap)), every.q)

    def __getattr__(self, name):
        return getattr(IN_USE, name)


@pytest.mark.parametrize("name", NAMES)
def test_the_row_named_asks_the_same_with_that_case_alone_on_the_wall(name):
    """The grillage is loaded and solved again under the named case and no other, and read at the row of that name."""
    job = braced(name)
    evaluation = check(job, gust=30.0, effects=False).evaluation
    alone, kinds = {}, set()
    for group in evaluation.groups:
        for which in range(len(group.why)) if group.directions != (ALONG,) else ():  # no row of the grillage
            asked = link_sums(group, which, evaluation.gust).asked
            at = asked.at
            key = (at.case, at.gap)
            if key not in alone:
                model = check(job, gust=30.0, effects=False, basis=OnlyOne(*key)).model
                alone[key] = groups_at(model, evaluation.gust)[1]
            like = (group.link, group.directions, group.places)
            found = [each for each in alone[key] if (each.link, each.directions, each.places) == like]
            if not found:  # braces that no wind of this case works in reverse are in no group of it
                assert group.link.endswith("in reverse")
                assert group.demand[asked.row, :, 1].max() <= 0.0
                continue
            (other,) = found
            rows = [k for k in range(len(other.demand)) if other.rows.at(k) == at]
            assert len(rows) == 1, (group.link, at)
            there = other.demand[rows[0], asked.item]
            assert there == pytest.approx(group.demand[asked.row, asked.item], rel=1e-6, abs=1e-6)
            if group.tension is not None:
                there, here = other.tension[rows[0], asked.item], group.tension[asked.row, asked.item]
                assert there == pytest.approx(here, rel=1e-6, abs=1e-6)
            kinds.add(group.link)
    assert len(kinds) >= 8
    assert len(alone) > 1


def test_the_row_named_of_a_wall_with_a_brace_gone_says_which():
    model = without(check(braced("rake-wall"), gust=30.0, effects=False).model, 1)
    (group, *_) = groups_at(model, 30.0)[1]
    assert link_sums(group, 0, 30.0).asked.at.gone == (braced("rake-wall").braces[1].mark,)
    assert limit_gust(model) > 0.0


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("thunderstorm", [False, True])
def test_the_level_load_told_is_the_load_on_the_frame(name, thunderstorm):
    """Area times pressure, lean and people, by one sum; over the grillage the same loads add up to it."""
    result = check(braced(name), gust=30.0, thunderstorm=thunderstorm, effects=False)
    (level,) = [s for s in trace(result).wind if s.what.startswith("Level load")]
    cases = [case for case in load_results(result.evaluation)["cases"] if case["case"] == "A"]
    assert level.value == pytest.approx(max(abs(case["total_lb"]) for case in cases), rel=1e-9)
    mean = result.pressure_psf
    assert np.isclose(mean, result.model.cases.pressures.mean * 144.0 * result.gust**2
                      * result.model.cases.pressure_per_mph2, rtol=ROUNDING)  # fmt: skip
