"""Laws of joined walls: what one takes the other gives, all in balance, and nobody let out under the word."""

from __future__ import annotations

import random
from types import SimpleNamespace

import numpy as np
import pytest

from bracing.box.answer import stand
from bracing.box.leaving import leaving
from bracing.box.system import Axis, solve_wall
from bracing.chain.evaluate import limits
from bracing.chain.forces import solved
from bracing.chain.model import build_model
from bracing.choosing import Budget
from bracing.reading.house import Read, read_house
from bracing.text.trace import trace_of
from tests.box_walls import (
    ALL_OF_A_DECK,
    RING,
    bare_in,
    corner_text,
    deck_text,
    job_folder,
    out_of_file,
    ring_corners,
)
from tests.laws.test_above_laws import load, with_loads
from tests.laws.test_link_sums import told_as_given

BALANCE = 1e-6
SHAPES = {"L": ("south", "east"), "U": ("south", "east", "north"), "ring": RING}


def standing(read: Read):
    return stand(read.house, read.jobs, read.placed)


def job(folder, names, **changes):
    corners = ring_corners(names, closed=len(names) == len(RING))
    return read_house(job_folder(folder, names, corners=corners, **changes))


def of_states(axis: Axis, k: int, direction: str):
    """Load, braces with corners, and plate of every state of one wall, in force and in moment about its plate."""
    forces = solve_wall(axis, k, direction, gust=40.0).forces
    mesh = axis.walls[k].model.meshes[0]
    arms = np.stack([np.ones(len(mesh.heads)), mesh.levers], axis=-1)
    taken = np.einsum("shp,hm->smp", forces.states.brace, arms)
    taken[:, 0] += forces.states.plate
    return forces, taken


def under_a_deck(folder, **changes):
    """The ring of four with a deck over it that counts."""
    return read_house(
        job_folder(folder, RING, corners=ring_corners() + deck_text(), laps="rim", moisture="dry", **changes)
    )


@pytest.mark.parametrize("shape", [*SHAPES, "deck"])
def test_every_wall_is_in_balance_by_its_own_winds(tmp_path, shape):
    """The loads anew, of each wall alone, not joined: force and moment to 1e-6 in every state."""
    box = standing(under_a_deck(tmp_path) if shape == "deck" else job(tmp_path, SHAPES[shape]))
    assert all(bool(wall.decks) == (shape == "deck") for wall in box.walls)
    for each in box.axes:
        for k, wall in enumerate(each.axis.walls):
            alone = build_model(wall.model.job)
            cases = each.axis.winds(k)
            loads = alone.cases.together()
            mesh = alone.meshes[0]
            both = np.stack([loads.total(mesh), loads.moment(mesh)], axis=-1)
            for direction, sign in (("push", 1.0), ("pull", -1.0)):
                forces, taken = of_states(each.axis, k, direction)
                rate = np.array([both[1 + case.of[k]] for case in cases])
                want = sign * np.stack([np.broadcast_to(both[0], rate.shape), rate], axis=-1)
                want = np.concatenate([want] * (len(taken) // len(cases)))
                assert forces.held.all()
                assert np.abs(taken - want).max() <= BALANCE * np.abs(want).max()


def test_corners_balance(tmp_path):
    """What the walls of an axis take of their corners is what those that hold them are pressed with, at each height."""
    box = standing(job(tmp_path, RING, laps="rim", moisture="dry"))
    for each in box.axes:
        axis = each.axis
        for k, wall in enumerate(axis.walls):
            cases, ways = axis.winds(k), axis.ways(k)
            force, _, _ = solved(
                axis.reduced(0, cases, ways, soft=False),
                axis.give(soft=False),
                sign=1.0,
                gust=40.0,
                counts=axis.counts,
            )
            made = solve_wall(axis, k, "push", gust=40.0)
            returns = made.forces.responses.returns[: len(cases), -len(wall.nodes) :]
            for i, node in enumerate(wall.nodes):
                at = next(place for place, one in axis.nodes if one is node)
                assert returns[:, i] == pytest.approx(-force[0, :, at], rel=1e-9, abs=1e-12)
            for by, pressed in made.along.items():
                mine = next(node.way for node in wall.nodes if node.by == by)
                for level, top in enumerate((False, True)):
                    given = sum(
                        node.way * mine * force[0, :, at]
                        for at, node in axis.nodes
                        if node.by == by and node.top is top
                    )
                    assert pressed[: len(cases), level] == pytest.approx(given, rel=1e-9, abs=1e-12)


def test_a_corner_of_next_to_no_nails_is_next_to_none(tmp_path):
    """One withdrawn gun nail: the forces at its nodes are small beside a brace's, as its slip is large."""
    few = job(tmp_path / "few", SHAPES["L"])
    strong = standing(job(tmp_path / "strong", SHAPES["L"], laps="rim"))
    weak = standing(few)
    for a, b in zip(weak.axes, strong.axes, strict=True):
        top = [
            solve_wall(each.axis, 0, "push", gust=40.0).forces.responses.returns[:, -1, 1] for each in (a, b)
        ]
        assert np.abs(top[0]).max() < np.abs(top[1]).max()  # plate nails alone give more than a rim's


@pytest.mark.parametrize("seed", [1, 2, *(pytest.param(k, marks=pytest.mark.proof) for k in range(3, 40))])
def test_no_random_job_lets_a_brace_out_under_its_word(tmp_path, seed):
    """Each brace that leaves, taken out of the file: every wall solved anew stands at its word or over."""
    rng = random.Random(seed)
    names = rng.choice([SHAPES["L"], SHAPES["L"], SHAPES["U"]])
    say = {
        "laps": rng.choice(("rim", "rim", "plate")), "moisture": rng.choice(("dry", "green")),
        "height": f"{rng.choice((8, 9, 10))} ft", "plate": rng.choice(("16d common", "structural screw 0.22x5")),
    }  # fmt: skip
    folder = tmp_path / "job"
    read = job(folder, names, **say)
    keep = float(rng.choice((25, 32, 40)))
    found = leaving(standing(read), keep, clock=Budget(20.0))
    for one in found.left:
        out_of_file(folder, one.file, one.mark)
        after = standing(read_house(folder))
        assert after.clear_out == one.clear_out >= keep, (seed, one)


# -- rings under a deck, and walls that are bare in part ------------------------------------------------


def stud(rng, feet):
    """A stud at 16 in, two from either end at least."""
    return f"{16 * rng.randrange(2, int(feet * 12 / 16) - 1)} in"


def bare_of(rng, feet):
    """A stretch a wall is bare on: at a corner, a panel's width from one, or anywhere."""
    wide = rng.randint(1, feet // 4)
    return f"{rng.choice((0, 4, feet - 4 - wide, rng.randint(0, feet - wide)))} ft", f"{wide} ft"


def random_ring(folder, rng):
    """A ring, most of them under a deck of which all is ticked or all but one, some walls bare in part."""
    deep, long = rng.choice((8, 12, 16)), rng.choice((16, 20, 24))
    braced = {"south": 2, "west": rng.choice((0, 1)), "north": rng.choice((0, 1)), "east": 0}
    walls = {
        name: {
            "length": f"{feet} ft",
            "studs": tuple(dict.fromkeys(stud(rng, feet) for _ in range(braced[name]))),
        }
        for name, feet in zip(RING, (long, deep, long, deep), strict=True)
    }
    ticks = rng.choice((ALL_OF_A_DECK, ALL_OF_A_DECK, ALL_OF_A_DECK, *(ALL_OF_A_DECK[:k] for k in (1, 2))))
    deck = deck_text(
        done=ticks, moisture=rng.choice(('"dry"', '"green"')), lap_count=rng.choice((4, 8, 16)),
        top_spacing=rng.choice(('"4 in"', '"8 in"', '"16 in"')),
        edge_spacing=rng.choice(('"6 in"', '"6 in"', '"8 in"')),
    )  # fmt: skip
    say = {"laps": rng.choice(("rim", "rim", "plate")), "moisture": rng.choice(("dry", "green")),
           "height": f"{rng.choice((8, 9))} ft", "head": "6 ft 6 in"}  # fmt: skip
    corners = ring_corners(count=rng.choice((12, 24))) + (deck if rng.random() < 0.8 else "")
    job_folder(folder, RING, corners=corners, walls=walls, **say)
    for name in RING:  # what is bare near a brace leaves it nothing: mostly where none is
        if rng.random() < (0.1 if walls[name]["studs"] else 0.4):
            bare_in(folder, name, bare_of(rng, long if name in ("south", "north") else deep))
    return folder


@pytest.mark.parametrize(
    "seed", [5, 6, *(pytest.param(k, marks=pytest.mark.proof) for k in (1, 2, 3, 4, *range(7, 40)))]
)
def test_no_random_ring_lets_a_brace_out_under_its_word(tmp_path, seed):
    """With a deck or none, bare in part or not: each brace that leaves, taken out of the file, all solved anew."""
    rng = random.Random(seed)
    folder = random_ring(tmp_path / "job", rng)
    keep = float(rng.choice((25, 32)))
    found = leaving(standing(read_house(folder)), keep, clock=Budget(20.0))
    for one in found.left:
        out_of_file(folder, one.file, one.mark)
        after = standing(read_house(folder))
        assert after.clear_out == one.clear_out >= keep, (seed, one)


FEW = {"south": {"studs": ("2 ft 8 in", "9 ft 4 in")}, "east": {"studs": ()}, "north": {"studs": ("8 ft",)},
       "west": {"studs": ("5 ft 4 in",)}}  # fmt: skip


def limits_of(folder):
    return [one.limits for one in standing(read_house(folder)).answers]


@pytest.fixture(scope="module")
def few(tmp_path_factory):
    """The limits of a ring of four braces, with no deck and with one that counts."""
    made = {}
    for name, deck in (("none", ""), ("deck", deck_text())):
        folder = tmp_path_factory.mktemp(name) / "job"
        job_folder(folder, RING, corners=ring_corners() + deck, walls=FEW, laps="rim", moisture="dry")
        made[name] = limits_of(folder)
    return made


NO_DECK = {
    **{f"{tick} not ticked": {"done": tuple(t for t in ALL_OF_A_DECK if t != tick)} for tick in ALL_OF_A_DECK},
    "no shear": {"edge_spacing": '"8 in"'}, "not nailed": {"nail": None}, "no lap": {"lap_count": 0},
    "tops not fastened": {"top_fastener": None}, "an opening": {"whole": "false"},
}  # fmt: skip


@pytest.mark.parametrize("name", NO_DECK)
def test_a_deck_that_is_none_changes_nothing_to_the_last_digit(tmp_path, few, name):
    folder = job_folder(
        tmp_path,
        RING,
        corners=ring_corners() + deck_text(**NO_DECK[name]),
        walls=FEW,
        laps="rim",
        moisture="dry",
    )
    assert limits_of(folder) == few["none"] != few["deck"]


def test_a_ring_in_a_mirror_stands_as_it_does(tmp_path):
    """Every wall from its other end, its braces, its bare stretch and its corners with it; a deck over both."""
    long = {"south": 24, "east": 16, "north": 24, "west": 16}
    say = {"laps": "rim", "moisture": "dry"}
    folder = job_folder(tmp_path / "job", RING, corners=ring_corners() + deck_text(), walls=FEW, **say)
    bare_in(folder, "east", ("5 ft", "3 ft"))
    other = {
        name: {"studs": tuple(f"{12 * long[name] - 12 * feet(at)} in" for at in each["studs"])}
        for name, each in FEW.items()
    }
    corners = "".join(
        corner_text(f"{a}.toml left", f"{b}.toml right")
        for a, b in zip(RING, (*RING[1:], RING[0]), strict=True)
    )
    mirror = job_folder(tmp_path / "mirror", RING, corners=corners + deck_text(), walls=other, **say)
    bare_in(mirror, "east", ("8 ft", "3 ft"))
    for name in RING:
        path = mirror / f"{name}.toml"
        path.write_text(
            path.read_text(encoding="utf-8").replace('lap_side = "left"', 'lap_side = "right"'),
            encoding="utf-8",
        )
    for one, seen in zip(limits_of(folder), limits_of(mirror), strict=True):
        assert seen.limit == pytest.approx(one.limit, rel=1e-9)
        assert seen.with_people == pytest.approx(one.with_people, rel=1e-9)


def feet(tape):
    """Feet of a tape such as 9 ft 4 in."""
    whole, _, inches = tape.partition(" ft")
    return float(whole) + float(inches.removesuffix(" in").strip() or 0) / 12.0


def test_without_corners_a_wall_of_a_job_is_the_wall_alone(tmp_path):
    read = read_house(job_folder(tmp_path, SHAPES["L"], corners=""))
    box = standing(read)
    for answer in box.answers:
        alone = limits(build_model(read.jobs[answer.wall.file]))
        assert answer.limits.limit == pytest.approx(alone.limit, rel=1e-9)
        assert answer.limits.with_people == pytest.approx(alone.with_people, rel=1e-9)


# -- what stands on them from above ----------------------------------------------------------------------

WEAK = {"counts": (4, 4, 4), "extras": 4, "laps": "plate", "moisture": "dry"}
LOADS = {
    "nothing": {}, "bundles": {"south.toml": ("bundle on the plate", 3, 100.0)},
    "persons": {"south.toml": ("person on the plate", 2, 40.0), "east.toml": ("person on the plate", 2, 40.0)},
    "leaned": {"east.toml": ("bundle leaned", 3, 100.0)},
}  # fmt: skip


def loaded(read, rows):
    jobs = {
        file: with_loads(job, load(rows[file][0], count=rows[file][1], at=rows[file][2]))
        if file in rows
        else job
        for file, job in read.jobs.items()
    }
    return stand(read.house, jobs, read.placed)


@pytest.mark.parametrize("name", LOADS)
def test_what_may_be_taken_away_helps_no_wall_of_a_job(tmp_path, name):
    """Three bundles on one wall let the next one stand in more wind by a hundredth of a mph, while they lie there."""
    read = job(tmp_path, SHAPES["L"], **WEAK)
    bare, box = standing(read), loaded(read, LOADS[name])
    for before, after in zip(bare.answers, box.answers, strict=True):
        assert after.limits.limit <= before.limits.limit
        assert after.limits.with_people <= before.limits.with_people
        assert box.first(after.wall) is not None
    if name == "bundles":
        assert box.as_loaded[0].limits.limit > bare.answers[0].limits.limit == box.answers[0].limits.limit
    gone, less = box.without("south.toml", "B2"), bare.without("south.toml", "B2")
    assert gone.clear_out <= less.clear_out


def test_none_of_it_changes_nothing_of_a_job_to_the_last_digit(tmp_path):
    read = job(tmp_path, SHAPES["L"], **WEAK)
    none = {file: with_loads(one, load("trusses", count=0)) for file, one in read.jobs.items()}
    box = stand(read.house, none, read.placed)
    assert [one.limits for one in box.answers] == [one.limits for one in standing(read).answers]


# -- every link told -------------------------------------------------------------------------------------

OF_CORNERS = {
    "return racking", "return plate shear and uplift", "corner fasteners of both walls",
    "plate fasteners across and along", "plate at a brace across and along",
}  # fmt: skip


OF_DECKS = {"deck to top plate", "deck shear", "top plate lap under a deck"}


@pytest.mark.parametrize(("gust", "deck"), [(25.0, False), (60.0, False), (60.0, True)])
def test_every_link_of_a_job_is_told_as_the_chain_gave_it(tmp_path, gust, deck):
    """Those its corners and decks bring as all others: demand, capacity, ratio, limit from the row the chain took."""
    box = standing(under_a_deck(tmp_path, studs=()) if deck else job(tmp_path, SHAPES["L"], **WEAK))
    seen = set()
    for wall in box.walls:
        groups = box.chain(wall)
        assert told_as_given(SimpleNamespace(groups=groups, gust=gust)) > (25 if deck else 50)
        told = trace_of(groups, gust)
        assert told[0].link.limit_gust == pytest.approx(box.answer_of(wall.file).limits.limit, rel=1e-6)
        assert [one.link.limit_gust for one in told] == sorted(one.link.limit_gust for one in told)
        assert all(one.steps for one in told)
        seen |= {str(group.link) for group in groups}
    assert seen >= (OF_DECKS if deck else OF_CORNERS)
