"""What the numbers rest on is one object: another one in its place moves every answer as its pressures say."""

from __future__ import annotations

import pytest
from attrs import evolve, frozen

from bracing.chain.evaluate import evaluate
from bracing.check import check
from bracing.codes.basis import IN_USE
from tests.sheet_walls import NAMES, braced


@frozen
class Heavier:
    """The basis in use with every pressure so many times as great."""

    times: float
    standards: tuple[str, ...] = IN_USE.standards

    def wind(self, job, *, thunderstorm=False):
        pressures = IN_USE.wind(job, thunderstorm=thunderstorm)
        return evolve(pressures, q=self.times * pressures.q)

    def __getattr__(self, name):
        return getattr(IN_USE, name)


@pytest.mark.parametrize("name", NAMES)
def test_twice_the_pressure_halves_every_limit_gust_squared(name):
    """What is always there does not change, so each link's own gust squared is half of what it was, to rounding."""
    job = braced(name)
    plain, doubled = (check(job, effects=False, basis=basis) for basis in (IN_USE, Heavier(2.0)))
    assert doubled.limit**2 == pytest.approx(plain.limit**2 / 2.0, rel=1e-7)
    assert doubled.gives_first.link == plain.gives_first.link
    before, after = (evaluate(each.model, each.limit).links for each in (plain, doubled))
    sides = [{(k.link, k.direction, k.mark, k.x): k.limit_gust for k in links} for links in (before, after)]
    assert sides[0].keys() == sides[1].keys()
    moved = [(sides[0][key], sides[1][key]) for key in sides[0] if 0.0 < sides[0][key] < 399.0]
    assert len(moved) > 10
    for was, now in moved:
        assert now**2 == pytest.approx(was**2 / 2.0, rel=1e-6)


def test_with_a_brace_gone_the_wall_rests_on_the_same_basis():
    job = braced("rake-wall")
    plain, doubled = (check(job, effects=False, basis=basis) for basis in (IN_USE, Heavier(2.0)))
    for was, now in zip(plain.missing, doubled.missing, strict=True):
        assert was > 0.0
        assert now**2 == pytest.approx(was**2 / 2.0, rel=1e-6)


def test_a_basis_as_heavy_as_the_one_in_use_answers_the_same():
    job = braced("slab-wall")
    plain, same = (check(job, gust=30.0, effects=False, basis=basis) for basis in (IN_USE, Heavier(1.0)))
    assert plain.to_dict() == same.to_dict()
