"""Laws of loads from above: none changes nothing to the last digit, and none that may be taken away ever helps."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.model import build_model
from bracing.check import check
from bracing.codes.above import drag, face_of, in_the_wind
from bracing.job.above import GROUND, HERE, KINDS, LEANED, RAFTERS, TIPPING, TRUSSES, UNKNOWN, Above
from bracing.panel.above import carried, level_forces, on_studs, weight_on
from bracing.reading.jobs import job_from_text
from tests.golden.walls import names, text
from tests.laws.test_link_sums import told_as_given
from tests.sheet_walls import NAMES, braced

RANDOM = names()[::50]
GIVEN = {"span": 288.0, "pitch": 1.0 / 3.0}


def load(kind, **said):
    more = {**GIVEN, "tied_to": GROUND} if kind in TIPPING else {}
    more |= {"foot_out": 24.0, "touches": 40.0} if kind == LEANED else {}
    more |= {} if kind in TIPPING else {"at": 60.0}
    return Above(kind=kind, **{"weight": 80.0, **more, **said})


def with_loads(job, *loads):
    return evolve(job, wall=evolve(job.wall, above=loads))


def answer(job):
    """All that a check says, but for what it is the answer to."""
    found = check(job, gust=30.0, effects=False)
    told = {key: value for key, value in found.to_dict().items() if key not in ("input_sha256", "assumed")}
    return found.limits, told


JOBS = {
    **{name: lambda name=name: braced(name) for name in NAMES[:2]},
    **{name: lambda name=name: job_from_text(text(name), f"{name}.toml") for name in RANDOM},
}


@pytest.mark.parametrize("name", JOBS)
def test_none_of_it_changes_nothing_to_the_last_digit(name):
    job = JOBS[name]()
    none = with_loads(job, *(load(kind, count=0) for kind in KINDS), load(TRUSSES, count=0, tied_to=UNKNOWN))
    assert answer(none) == answer(job)


@pytest.mark.parametrize("kind", [*KINDS, "tied here"])
def test_none_that_may_be_taken_away_helps(kind):
    """Nor does more of it, with braces that work both ways and with one that does not."""
    job = braced(NAMES[0])
    one = load(TRUSSES, tied_to=HERE) if kind == "tied here" else load(kind)
    found = [check(job, effects=False).limits]
    found += [check(with_loads(job, evolve(one, count=n)), effects=False).limits for n in (1, 3, 12)]
    assert found[0].limit > 0.0
    for before, after in pairwise(found):
        assert after.limit <= before.limit * (1.0 + 1e-12)
        assert after.with_people <= before.with_people * (1.0 + 1e-12)
    assert found[-1] != found[0]


@pytest.mark.parametrize("more", [(), (load(KINDS[2], weight=900.0),)])
@pytest.mark.parametrize("name", NAMES)
def test_a_row_nobody_said_the_tie_of_never_raises_what_is_known(name, more):
    """Its weight may be taken away as every other: the gust over which the wall is over, whatever nobody said."""
    job = braced(name)
    found = check(with_loads(job, load(TRUSSES, tied_to=UNKNOWN), *more), effects=False)
    assert found.known_limit <= check(job, effects=False).limit * (1.0 + 1e-12)


def test_persons_are_there_only_while_people_are():
    job = braced(NAMES[0])
    alone, crowded = (
        check(job, effects=False).limits,
        check(with_loads(job, load(KINDS[4])), effects=False).limits,
    )
    assert crowded.limit == alone.limit
    assert crowded.with_people < alone.with_people


def test_a_mirrored_wall_with_its_loads_mirrored_has_the_same_limit():
    job = braced("long-wall")
    long = job.wall.length
    assert job.wall.top[0][1] == job.wall.top[-1][1]
    model = build_model(with_loads(job, load(KINDS[2], at=60.0)))
    x = next(stud for stud in model.meshes[0].stud_x.tolist() if abs(stud - 60.0) < 12.0)
    here = level_forces(with_loads(job, load(KINDS[2], at=x)))
    there = level_forces(with_loads(job, load(KINDS[2], at=long - x)))
    assert [(f.x, f.steady) for f in here] == [(long - f.x, f.steady) for f in there]


def test_rows_are_laid_out_inside_the_wall_and_their_sum_is_theirs():
    job = braced(NAMES[0])
    for count in (1, 2, 7, 40):
        for at in (0.0, job.wall.length / 3.0, job.wall.length):
            forces = level_forces(with_loads(job, load(RAFTERS, count=count, at=at)))
            assert len(forces) == count
            assert all(-1e-9 <= f.x <= job.wall.length + 1e-9 for f in forces)
            each = 80.0 / (4.0 / 3.0) + job.site.lean * 40.0
            assert sum(f.steady for f in forces) == pytest.approx(count * each, rel=1e-12)


def test_weight_from_above_is_on_the_studs_it_may_be_on():
    job = braced(NAMES[0])
    studs = build_model(job).meshes[0].stud_x.tolist()
    one = with_loads(job, load(KINDS[2], at=studs[3] + 1.0, count=2)).wall
    assert on_studs(one, studs, people=False).tolist() == [
        160.0 if k == 3 else 0.0 for k in range(len(studs))
    ]
    assert weight_on(one, people=False) == 160.0
    assert not on_studs(with_loads(job, load(LEANED)).wall, studs, people=True).any()
    assert not on_studs(with_loads(job, load(TRUSSES, tied_to=HERE)).wall, studs, people=True).any()


def test_more_wood_more_trusses_and_a_steeper_pitch_catch_more_wind():
    seen = [in_the_wind(n) for n in range(12)]
    assert seen == sorted(seen)
    assert all(b - a in (0.85, 1.0) or abs(b - a - 0.85) < 1e-12 for a, b in pairwise(seen))
    assert [drag(s) for s in (0.0, 0.0999, 0.1, 0.2999, 0.3, 1.0)] == [2.0, 2.0, 1.8, 1.8, 1.6, 1.6]
    areas = [face_of(288.0, rise, webs=True).area for rise in (24.0, 48.0, 96.0)]
    assert areas == sorted(areas)
    assert face_of(288.0, 48.0, webs=False).area < areas[1]


def test_every_link_of_a_loaded_wall_is_told_as_the_chain_gave_it():
    """Studs under loads, in wind and in calm air, and a row nobody said the tie of, among them."""
    loads = (load(KINDS[2], at=60.0, weight=900.0), load(TRUSSES, count=4), load(TRUSSES, tied_to=UNKNOWN))
    found = check(with_loads(braced(NAMES[0]), *loads), gust=15.0, effects=False).evaluation
    kinds = {str(group.link) for group in found.groups}
    assert {"stud under a load from above", "tie of a row of trusses"} <= kinds
    assert told_as_given(found) > 50


def test_a_bundle_pushes_where_it_touches_and_no_higher_than_its_stud():
    """By hand, 600 lb with its foot 24 in out: 600 x 12 / 72 = 100 lb at 72 in, all at the node there; where its stud
    ends lower, at the top of that."""
    job = braced(NAMES[0])
    wall = with_loads(job, load(LEANED, weight=600.0, foot_out=24.0, touches=72.0, at=60.0))
    (force,) = level_forces(wall)
    assert (force.z, force.steady, force.people) == (72.0, pytest.approx(100.0, abs=1e-9), 0.0)
    mesh = build_model(wall).meshes[0]
    steady, people, wind = carried(mesh, [force])
    (node,) = np.flatnonzero(steady)
    assert (mesh.x[node], mesh.z[node]) == (pytest.approx(force.x, abs=1e-9), pytest.approx(72.0, abs=1e-9))
    assert float(steady.sum()) == pytest.approx(100.0, abs=1e-9)
    assert not people.any()
    assert not wind.any()
    high, at = job.wall.height_at(force.x), max((force.x - 3.0, force.x + 3.0), key=job.wall.height_at)
    over = job.wall.height_at(at)
    assert high < over
    (top,) = level_forces(with_loads(job, load(LEANED, weight=600.0, foot_out=24.0, touches=over, at=at)))
    assert (top.z, top.steady) == (high, pytest.approx(600.0 * 12.0 / high, rel=1e-12))
