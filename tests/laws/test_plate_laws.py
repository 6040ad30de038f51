"""Laws of the plate under lift: all of it is held, a mirror image is the same wall, more of anything never hurts."""

from __future__ import annotations

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.evaluate import groups_at, limit_gust
from bracing.chain.model import build_model
from bracing.chain.plate import along_plate, feet_of
from bracing.job.fields import with_value
from bracing.reading.jobs import job_from_text
from tests.golden.walls import names, text
from tests.guards.test_ends_plate import ordinary

RANDOM = names()[::12]
NEAR = {"rel": 1e-6, "abs": 1e-9}


def job_of(**changes):
    return job_from_text(ordinary(**changes), "wall.toml")


def framed(name):
    """A random wall with braces, the feet of its verticals, and its plate."""
    job = job_from_text(text(name), f"{name}.toml")
    if not job.braces:
        pytest.skip("no braces")
    model = build_model(job)
    feet = feet_of(model.meshes[0])
    return model, feet, along_plate(job.wall, model.studs, feet)


@pytest.mark.parametrize("name", RANDOM)
def test_all_of_every_lift_is_held(name):
    """Each brace's own places hold all of its lift, of a shear beside it no more than all, and its share is folded."""
    _, feet, along = framed(name)
    assert np.trapezoid(along.own, along.x, axis=1) == pytest.approx(1.0, **NEAR)
    assert (along.own >= 0.0).all()
    assert (along.beside >= 0.0).all()
    assert (along.beside.sum(axis=0) <= 1.0 + 1e-6).all()
    assert (along.weight > 0.0).all()
    assert len(feet) == along.beside.shape[1]


@pytest.mark.parametrize("name", RANDOM)
def test_where_a_plate_is_only_tacked_the_braces_take_all_of_its_shear(name):
    job = job_from_text(text(name), f"{name}.toml")
    if not job.braces:
        pytest.skip("no braces")
    model = build_model(with_value(job, "wall.plate.state", "tacked"))
    along = along_plate(model.job.wall, model.studs, feet_of(model.meshes[0]))
    assert along.beside.sum(axis=0) == pytest.approx(1.0, **NEAR)


def mirrored(job):
    """The same wall seen from its other side."""
    wide = job.wall.length
    openings = tuple(evolve(o, left=wide - o.right) for o in job.wall.openings)
    braces = tuple(evolve(b, stud_at=wide - b.stud_at) for b in job.braces)
    return evolve(job, wall=evolve(job.wall, openings=openings), braces=braces)


@pytest.mark.parametrize("studs", [("1 ft 4 in", "9 ft 4 in", "16 ft"), ("4 ft", "6 ft 8 in", "17 ft 4 in")])
@pytest.mark.parametrize("edge", ["", 'row_from_sheathed_edge = "3/4 in"'])
def test_a_mirrored_wall_has_the_same_limit(studs, edge):
    job = job_of(studs=studs, plate=edge)  # 20 ft of 16 in spacing: studs come out at the same places
    assert limit_gust(build_model(mirrored(job))) == pytest.approx(limit_gust(build_model(job)), rel=1e-6)


@pytest.mark.parametrize("laps", ["plate", "none"])
@pytest.mark.parametrize("changes", [{"spacing": "24 in"}, {"spacing": "12 in"}, {"spacing": "8 in"}])
def test_more_of_anything_in_the_plate_never_hurts(changes, laps):
    job = job_of(**changes, laps=laps)
    job = with_value(job, "wall.plate.strap_at_brace_lb", 3000.0 if laps == "none" else 0.0)
    job = with_value(job, "wall.plate.strap_to", "plate")
    before = limit_gust(build_model(job))
    more = {
        "wall.plate.spacing": job.wall.plate.spacing - 1.0,
        "wall.plate.extra.at_each_brace": 3,
        "wall.plate.in_short_pieces": 8,
        "wall.plate.into_framing": True,
    }
    for path, value in more.items():
        assert limit_gust(build_model(with_value(job, path, value))) >= before - 1e-9, path


def plate_limit(model):
    """Gust at which the plate's fasteners are the first to be used up [mph]."""
    return min(g.limits.min() for g in groups_at(model, 30.0)[1] if g.link == "plate shear and uplift")


@pytest.mark.parametrize("edge", [None, 0.75, 1.5, 3.5])
def test_fasteners_further_out_are_pulled_less(edge):
    """From the inner edge to the sheathed one: the limit only rises."""
    job = job_of()
    here = plate_limit(build_model(with_value(job, "wall.plate.row_from_sheathed_edge", edge)))
    nearer = (2.75 if edge is None else edge) - 0.25
    assert plate_limit(build_model(with_value(job, "wall.plate.row_from_sheathed_edge", nearer))) > here


def test_weight_only_ever_helps_and_only_the_plate():
    job = job_of()
    model = build_model(job)
    bare = evolve(model, weighs=False)
    helped = 0
    for with_it, without in zip(groups_at(model, 30.0)[1], groups_at(bare, 30.0)[1], strict=True):
        limits = with_it.limits, without.limits
        assert (limits[0] >= limits[1] - 1e-9).all(), with_it.link
        if with_it.link not in ("plate shear and uplift", "plate across the grain"):
            assert limits[0] == pytest.approx(limits[1], rel=1e-12), with_it.link
        helped += (limits[0] > limits[1] + 0.5).sum()
    assert helped >= 2


@pytest.mark.parametrize("at", [64.0, 80.0, 96.0, 128.0, 144.0, 208.0])
def test_a_brace_more_lowers_the_plates_limit_only_by_the_load_it_draws(at):
    """With the forces of the braces held as they are, one that gives nothing changes no share of any other."""
    job = job_of()
    model = build_model(job)
    along = along_plate(job.wall, model.studs, feet_of(model.meshes[0]))
    more = along_plate(job.wall, (*model.studs, at), feet_of(model.meshes[0]))
    for k in range(len(model.studs)):
        one, other = (
            {round(float(x), 6): float(s) for x, s in zip(a.x[k], a.own[k], strict=True)}
            for a in (along, more)
        )
        assert set(one) <= set(other)
        assert all(other[x] == pytest.approx(share, rel=1e-12) for x, share in one.items())
    assert (more.beside[:-1] <= along.beside + 1e-9).all()


def test_a_wall_of_nails_alone_at_12_24_and_36_in():
    """Where the plate governs its spacing is what counts, and smoothly: each a little less than the one before."""
    limits = [plate_limit(build_model(job_of(spacing=f"{s} in"))) for s in (12, 24, 36)]
    assert limits[0] > limits[1] > limits[2] > 10.0
    assert limits[0] - limits[2] < 6.0


def test_two_braces_on_one_stud_lift_it_together():
    """Half of the forces each, on the same stud, is the same plate."""
    job = job_of(studs=("9 ft 4 in",))
    model = build_model(job)
    feet = feet_of(model.meshes[0])
    one, two = along_plate(job.wall, model.studs, feet), along_plate(job.wall, model.studs * 2, feet)
    assert two.share.sum(axis=2)[0] == pytest.approx(2.0 * one.share[0, :, 0], rel=1e-9)
    assert (two.beside.sum(axis=0) >= one.beside[0] - 1e-9).all()
    assert two.beside[0] == pytest.approx(two.beside[1], rel=1e-9)
