"""Braces that count one way: one state of working braces at every gust, and one limit gust read off them."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from attrs import evolve

from bracing.chain import evaluate as evaluate_module
from bracing.chain.evaluate import all_two_way, evaluate, limit_gust, worst_ratio
from bracing.chain.forces import DIRECTIONS, Rising, solve_forces
from bracing.chain.model import build_model
from bracing.panel.reduced import solve
from tests.walls import slender_job

SEEDS = (3, 6, 13)
MANY = [*SEEDS, *(pytest.param(seed, marks=pytest.mark.proof) for seed in range(400))]
TO_ROUNDING = 1e-6
SCANNED = np.concatenate([[0.02], np.arange(0.5, 60.0, 0.5)])


def by_trying(compliance, give, takes, *, sign, gust):
    """Brace forces (cases, n) by trying every set of working braces, NaN where none is free of contradiction."""
    push, pull = takes
    n, weights = len(give), np.array([1.0, gust**2])
    under = sign * np.stack(
        [compliance.under_load[[0, k]].T @ weights for k in range(1, len(compliance.work))]
    )
    work = sign * np.stack([compliance.work[[0, k]].T @ weights for k in range(1, len(compliance.work))])
    found = np.full((len(under), n), np.nan)
    for on in itertools.product((False, True), repeat=n):
        on = np.array(on) & (push | pull)
        trial = solve(compliance.flexibility, compliance.motions, give, on, under_load=under.T, work=work.T)
        force = trial.force.T
        moved = under - force @ compliance.flexibility.T + trial.motion.T @ compliance.motions.T
        wrong = on & (((force > 0) & ~push) | ((force < 0) & ~pull))
        back = ~on & (((moved > 0) & push) | ((moved < 0) & pull))
        fits = bool(trial.held) & ~(wrong | back).any(axis=1)
        found[fits] = force[fits]
    return found


def slender_model(seed):
    model = build_model(slender_job(seed))
    if all_two_way(model):
        pytest.skip("every brace of it counts both ways")
    return model


@pytest.mark.parametrize("seed", [3, *(pytest.param(k, marks=pytest.mark.proof) for k in range(60))])
def test_the_working_braces_of_a_wall_are_those_found_by_trying_every_set(seed):
    model = slender_model(seed)
    takes = tuple(np.array([getattr(s, f"counts_in_{way}") for s in model.strengths]) for way in DIRECTIONS)
    limit = limit_gust(model)
    for (direction, sign), gust in itertools.product(
        zip(DIRECTIONS, (1.0, -1.0), strict=True), (0.01, 2.0, 5.0, max(limit, 0.5), 40.0)
    ):
        forces = solve_forces(model, direction, gust=gust)
        states = forces.at(forces.states.brace, gust).reshape(2, len(model.give), -1, len(model.studs))
        held = forces.states.held.reshape(states.shape[:3])
        for plate, compliance in enumerate(model.compliances):
            for state, give in enumerate(model.give):
                expected = by_trying(compliance, give, takes, sign=sign, gust=gust)
                some = ~np.isnan(expected).any(axis=1)
                if held[plate, 0].all():  # the other states of a wall that can move are not worked out
                    assert held[plate, state].tolist() == some.tolist()
                little = TO_ROUNDING * np.nanmax(np.abs(expected), initial=1e-9)
                both = some & held[plate, state]
                assert states[plate, state][both] == pytest.approx(expected[both], abs=little)


@pytest.mark.parametrize("seed", MANY)
def test_the_limit_gust_is_where_the_worst_ratio_first_reaches_1(seed):
    """By going through gusts every half mph: within up to it, over from it on."""
    model = slender_model(seed)
    limit = limit_gust(model)
    for gust in np.extract(limit > SCANNED, SCANNED):
        assert worst_ratio(model, gust) <= 1.0, gust
    for gust in np.extract(limit < SCANNED, SCANNED)[:8]:
        assert worst_ratio(model, gust) > 1.0, gust
    if limit > 0.1:
        assert (
            worst_ratio(model, limit * (1.0 - 1e-4)) < 1.0 < worst_ratio(model, limit * (1.0 + 1e-4) + 0.002)
        )


@pytest.mark.parametrize("seed", MANY)
def test_people_off_a_wall_do_not_make_its_limit_gust_jump(seed):
    """A false set of working braces shows as a jump: people who weigh next to nothing change next to nothing.

    That fewer people never lower the limit is no law: they lean on the top with the wind, turn the wall about the heads
    of its braces, and so take shear off the bottom plate. Where the limit falls without them it is that link.
    """
    job = slender_job(seed)

    def model(people):
        return build_model(evolve(job, site=evolve(job.site, top_load=people)))

    without, hardly, with_them = (limit_gust(model(people)) for people in (0.0, 1e-6, 5.0 / 12.0))
    assert hardly == pytest.approx(without, abs=0.01)
    if without < with_them - 0.01:
        worst = max(evaluate(model(0.0), without).links, key=lambda link: link.ratio)
        assert worst.link.startswith("plate")


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_not_solved_again_is_what_solving_it_gives(seed):
    """Gusts rise, fall back once and rise on, as a limit is looked for."""
    model, again = slender_model(seed), Rising()
    gusts = [0.01, 0.5, 1.0, 1.001, 2.0, 5.0, 5.001, 9.0, 7.0, 7.001, 12.0, 30.0]
    kept = 0
    for gust, direction in itertools.product(gusts, DIRECTIONS):
        found, anew = again(model, direction, gust=gust), solve_forces(model, direction, gust=gust)
        assert np.array_equal(found.states.brace, anew.states.brace)
        assert np.array_equal(found.held, anew.held)
        assert found.until == pytest.approx(anew.until, rel=1e-9) or not anew.held.all()
        kept += again(model, direction, gust=gust) is found
    assert kept


@pytest.mark.parametrize("seed", MANY)
def test_no_link_reaches_its_limit_in_what_is_passed_over(seed, monkeypatch):
    """The limit gust is that of going from one set of working braces to the next, every one of them."""
    model = slender_model(seed)
    found = limit_gust(model)
    monkeypatch.setattr(evaluate_module, "PASSED_OVER", 1e-9)
    assert limit_gust(model) == pytest.approx(found, rel=1e-12, abs=1e-12)
