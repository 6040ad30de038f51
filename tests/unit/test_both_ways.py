"""Fasteners that wind across a wall and wind along it both use: no less than either, and as one reckons by hand."""

import math

import numpy as np
import pytest

from bracing.box.answer import stand
from bracing.box.both import REACH, SHARES, _RimUse
from bracing.chain.links import LinkId
from bracing.reading.house import read_house
from tests.cli.running import EXAMPLES

GUSTS = (20.0, 40.0, 60.0)
BOTH = {
    LinkId.SHEATHING_RIM_BOTH: LinkId.SHEATHING_TO_RIM, LinkId.PLATE_GRAIN_BOTH: LinkId.PLATE_GRAIN,
    LinkId.PLATE_LIFTED_BOTH: LinkId.PLATE_LIFTED,
}  # fmt: skip


@pytest.fixture(scope="module")
def box():
    read = read_house(str(EXAMPLES / "five-walls"))
    return stand(read.house, read.jobs, read.placed)


def found(groups, link):
    return [group for group in groups if group.link is link]


def pairs(own, more, both):
    """Each group of both ways beside that of the wind across alone."""
    groups = found(more, both)
    return list(zip(groups, found(own, BOTH[both]), strict=True)) if groups else []


def test_both_ways_use_no_less_than_the_wind_across_and_no_less_than_that_along(box):
    """All of one with half of the other: never under all of the wind across; near its ends a wall's rim nails never
    under all that its turning along itself asks of them."""
    seen = set()
    for wall in box.walls:
        own, more = box.across(wall).groups, box.more_groups(wall)
        for both in BOTH:
            for group, before in pairs(own, more, both):
                seen.add(both)
                counts = before.capacity > 0.0
                for gust in GUSTS:
                    asked = before.ratios(gust)[counts]
                    assert (group.ratios(gust)[counts] >= asked - 1e-9).all(), (wall.file, both, gust)
    assert LinkId.SHEATHING_RIM_BOTH in seen


def test_rim_nails_of_a_wall_alone_by_hand(box):
    """At one brace: (lift across + turning along, up) and base shear, sideways, as vectors, by each pair of shares."""
    for wall in box.walls:
        own, more = box.across(wall).groups, box.more_groups(wall)
        along = found(more, LinkId.RETURN_RIM)
        for group, before in pairs(own, more, LinkId.SHEATHING_RIM_BOTH):
            for gust in GUSTS:
                across = max(float(before.ratios(gust).max()), 0.0)
                turned = max(float(one.ratios(gust).max()) for one in along)
                most = float(group.ratios(gust).max())
                if any(min(x, wall.job.wall.length - x) <= REACH for x in group.places):
                    assert most >= turned - 1e-9  # all of the wind along, beside half of that across
                assert most >= max(a * across for a, _ in SHARES) - 1e-9
                # |lift + turning, base| <= lift + |turning, base|, each at its share; what leans there is enveloped
                assert most <= max(a * across + 1.5 * b * turned for a, b in SHARES) + 1e-9


def test_up_and_sideways_are_added_as_vectors():
    """Shares used: lift 0.3 and turning 0.5 one way, base shear 0.6 the other: the root of 0.8^2 + 0.6^2 is 1. A brace
    that presses down takes nothing off."""
    first = np.array([[[0.5, 0.6]]])
    assert _RimUse()(first, np.array([[[0.3, 0.0]]]))[0, 0] == pytest.approx(1.0, abs=1e-12)
    assert _RimUse()(first, np.array([[[-0.3, 0.0]]]))[0, 0] == pytest.approx(math.hypot(0.5, 0.6), abs=1e-12)
