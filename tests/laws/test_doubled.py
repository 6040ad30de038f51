"""Strengths are asked of one basis: one that doubles them all doubles what every link may carry, and nothing else."""

from __future__ import annotations

import ast

import numpy as np
import pytest
from attrs import evolve, frozen

from bracing.chain.evaluate import groups_at
from bracing.chain.links import HIGHEST
from bracing.check import check
from bracing.codes.basis import IN_USE
from bracing.job.fields import with_value
from tests.house.tree import ORDER, modules
from tests.sheet_walls import braced
from tests.unit.test_trace import VARIANTS

JOBS = {
    name: VARIANTS[name][0]
    for name in ("T", "plumb", "plumb, toe-nailed", "stake and weight", "lags", "anchors")
}
JOBS["rake"] = lambda: braced("rake-wall")


@frozen
class DoubledMember:
    """A member twice as strong."""

    one: object

    def bending(self, **how):
        return 2.0 * self.one.bending(**how)

    def shear(self):
        return 2.0 * self.one.shear()

    def shear_at_joint(self, **how):
        return 2.0 * self.one.shear_at_joint(**how)

    def bearing(self, across, **how):
        return 2.0 * self.one.bearing(across, **how)

    def push(self, stick, **how):
        found = self.one.push(stick, **how)
        return found.carrying(2.0 * found.capacity_lb)

    def pull(self, stick, **how):
        found = self.one.pull(stick, **how)
        return evolve(found, capacity_lb=2.0 * found.capacity_lb)

    def column(self, height):
        return tuple(2.0 * value for value in self.one.column(height))

    def drawn(self, stress, moment, *, allowed):
        return self.one.drawn(stress / 2.0, moment, allowed=allowed)

    def pressed(self, stress, moment, *, allowed, column):
        return self.one.pressed(stress, moment, allowed=allowed, column=column)


@frozen
class Doubled:
    """The basis in use with every strength twice what it is; loads, stiffness and rules as they are."""

    def __getattr__(self, name):
        return getattr(IN_USE, name)

    def member(self, section, values):
        return DoubledMember(IN_USE.member(section, values))

    def fastener(self, joint):
        one = IN_USE.fastener(joint)
        return evolve(one, lateral=2.0 * one.lateral, axial=2.0 * one.axial)

    def sheathed(self, nailing):
        one = IN_USE.sheathed(nailing)
        return evolve(one, shear=2.0 * one.shear)

    def ground(self, ground, angle):
        push, pull = IN_USE.ground(ground, angle)
        return 2.0 * push, 2.0 * pull


def chains(name):
    """Groups of a wall on the basis in use and on the doubled one, at a gust."""
    job = JOBS[name]()
    return [
        groups_at(check(job, gust=30.0, effects=False, basis=b).model, 30.0)[1] for b in (IN_USE, Doubled())
    ]


def declared(group):
    """What a person typed is no strength of the basis: anchors, straps."""
    return "strap" in group.link or "anchor" in repr(group.why)


@pytest.mark.parametrize("name", JOBS)
def test_a_basis_of_doubled_strengths_doubles_what_every_link_may_carry(name):
    once, twice = chains(name)
    assert [group.link for group in once] == [group.link for group in twice]
    held = 0
    for one, two in zip(once, twice, strict=True):
        if (
            one.use is None and one.unit == "share used"
        ):  # asked as a share of what holds; a person types anchors
            np.testing.assert_allclose(
                two.demand * (1.0 if name == "anchors" else 2.0), one.demand, rtol=1e-12
            )
            continue
        np.testing.assert_allclose(two.demand, one.demand, rtol=1e-12)  # loads and stiffness are as they were
        if one.use is not None or declared(one):
            continue
        strap = (
            two.capacity == one.capacity
            if one.link == "top plate to stud"
            else np.zeros(len(one.capacity), bool)
        )
        held += len(one.capacity) - int(strap.sum())
        np.testing.assert_allclose(
            two.capacity[~strap], 2.0 * one.capacity[~strap], rtol=1e-12, err_msg=one.link
        )
    assert held >= 30


@pytest.mark.parametrize("name", JOBS)
def test_two_forces_use_of_doubled_strengths_what_half_of_them_use(name):
    rng, (once, twice), held = np.random.default_rng(7), chains(name), 0
    for one, two in zip(once, twice, strict=True):
        if one.use is None or declared(one) or one.link == "plate across the grain":
            continue
        parts = one.demand.shape[1:-1]
        first, second = rng.uniform(0.0, 900.0, parts), rng.uniform(-300.0, 300.0, parts)
        uses = [each.use for each in (one, two)]
        if len(parts) > 1:  # of the plate, where weight is no strength
            uses = [evolve(use, weight=np.zeros_like(use.weight)) for use in uses]
        once_used, twice_used = uses[0](first, second), uses[1](2.0 * first, 2.0 * second)
        np.testing.assert_allclose(twice_used, once_used, rtol=1e-9)
        held += 1
    assert held >= 1


@pytest.mark.parametrize("name", JOBS)
def test_limits_move_as_the_demands_say(name):
    """At each new limit its demand is what is now allowed: found again from the rows, not by the chain's own search."""
    once, twice = chains(name)
    moved = 0
    for one, two in zip(once, twice, strict=True):
        if one.use is not None:
            continue
        for item, limit in enumerate(two.limits):
            if 0.0 < limit < HIGHEST * 0.999:
                assert two.demands(limit)[item] == pytest.approx(two.capacity[item], rel=1e-6), one.link
                assert limit >= one.limits[item] * (1.0 - 1e-9)
                moved += limit > one.limits[item] * 1.1
    assert moved >= 10


def test_the_whole_check_rests_on_the_basis_it_is_given():
    """Of a wall whose sheathing is nailed to the rim: bending of a plate across its grain is no strength of a basis."""
    job = with_value(JOBS["rake"](), "wall.plate.sheathing_laps", "rim")
    one, two = (check(job, gust=30.0, effects=False, basis=basis) for basis in (IN_USE, Doubled()))
    assert two.limit > one.limit


STANDARDS = ("NDS", "NDS-S", "NDS-C", "IBC", "EN1995")
ABOVE = set(ORDER[ORDER.index("codes") + 1 :])


def of_a_standard(tree):
    """Citations of a wood standard; imports of one are held by tests/house/test_import_order.py."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "cite" and node.args:
            key = getattr(node.args[0], "value", "")
            if key in STANDARDS:
                yield f"cites {key}"


def test_nothing_above_the_codes_cites_a_wood_standard():
    above = {name: tree for name, tree in modules().items() if name.split(".")[0] in ABOVE}
    print(f"modules held: {len(above)}")
    assert len(above) > 80
    faults = [f"{name}: {fault}" for name, tree in above.items() for fault in of_a_standard(tree)]
    assert faults == []


def test_the_rule_sees_a_citation():
    assert list(of_a_standard(ast.parse('Y = cite("NDS", "3.3")\nZ = cite("STATICS")'))) == ["cites NDS"]
