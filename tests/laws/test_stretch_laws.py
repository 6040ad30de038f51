"""What lies beyond a cut acts on a stretch by two numbers, and what begins a layout that stands is not dropped."""

import itertools
import math
from collections import Counter

import numpy as np
import pytest
from attrs import evolve
from scipy.optimize import linprog

from bracing.choosing import Budget
from bracing.layout import search
from bracing.layout.grid import shape_of
from bracing.layout.needed import choose
from bracing.layout.outward import rules_of
from bracing.layout.screen import WITHIN, off_mark, off_mark_ratios, stands_off_mark, worst_ratios
from bracing.layout.space import search_space
from bracing.layout.stretches import SLIPS, beyond_of, common_point
from bracing.reading.jobs import job_from_text
from tests.bench.layouts import GABLE, WALL
from tests.laws.test_layout_laws import every_set, gone_through
from tests.layout_walls import random_gust, random_layout_job

AMPLE = 120.0
PLAIN = range(6)  # seeds of the plain run
SMALL = 150.0  # up to 10 studs at 16 in
LAYOUTS = 30
MOST_SETS = 30000
TELLING = 1e8  # a layout whose braces hardly hold the wall keeps no eight digits
LOST = 2e5  # the search lets pass what keeps fewer than ten

# Three corners in its top, and between two of them no stud that takes a brace.
OUTLINE = WALL.replace(
    'length = "{length} ft"\nheight = "10 ft"',
    """length = "340 in"
top = [["0 in", "108 in"], ["100 in", "140 in"], ["150 in", "120 in"], ["250 in", "150 in"], ["340 in", "120 in"]]""",
)
OUTLINE = (
    OUTLINE.replace("{{", "{").replace("}}", "}")
    + """
[[wall.opening]]
left = "90 in"
sill = "0 in"
width = "72 in"
height = "80 in"
covered = true
"""
)

seeds = pytest.mark.parametrize(
    "seed",
    [*PLAIN, *(pytest.param(seed, marks=pytest.mark.proof) for seed in range(2000) if seed not in PLAIN)],
)


def space_of(seed, *, longest, gust=None):
    job = random_layout_job(seed, longest=longest)
    return search_space(choose(job), gust or random_gust(seed))


def layouts_of(pool, wall, count, rng):
    """Layouts drawn at random by the spacing rules."""
    places, place = np.unique(pool.x, return_inverse=True)
    steps, starts, stops = rules_of(wall, tuple(places.tolist()))
    may = [stops]  # from where so many more braces reach the end
    for _ in range(count - 1):
        may.append((steps & may[-1]).any(axis=1))
    found = []
    for _ in range(LAYOUTS if (starts & may[-1]).any() else 0):
        row, ahead = [], starts
        for left in range(count - 1, -1, -1):
            at = rng.choice(np.flatnonzero(ahead & may[left]))
            row.append(rng.choice(np.flatnonzero(place == at)))
            ahead = steps[at]
        found.append(row)
    return np.array(found, dtype=np.intp).reshape(-1, count)


def solved(panel, at, give):
    """Forces of one layout in each wind case, all joints slack, by numpy's own solution; and how well it is held."""
    n, m = panel.motions[0][at].shape
    whole = np.zeros((n + m, n + m))
    whole[:n, :n] = panel.flexibility[0][np.ix_(at, at)] + np.diag(give)
    whole[:n, n:], whole[n:, :n] = -panel.motions[0][at], -panel.motions[0][at].T
    scale = np.append(1.0 / np.sqrt(np.diag(whole)[:n]), np.zeros(m))
    scale[n:] = 1.0 / np.abs(whole[:n, n:] * scale[:n, None]).max(axis=0)
    right = np.concatenate([panel.under_load[0][:, at], -panel.work[0]], axis=1).T
    scaled = whole * scale[:, None] * scale
    if (hold := np.linalg.cond(scaled)) > TELLING:
        return np.zeros((n, right.shape[1])), hold
    return (np.linalg.solve(scaled, right * scale[:, None]) * scale[:, None])[:n], hold


def told_by_two(pool, wall, count, rng):
    """Compare every stretch of some layouts; how many were."""
    beyond, told = beyond_of(pool, wall, count), 0
    if beyond is None:
        return told
    for row in layouts_of(pool, wall, count, rng):
        at = pool.at[row]
        force, hold = solved(pool.panel, at, pool.give[1][row])
        for t in range(2, count):
            number = beyond.side[beyond.place[row[t - 1]]]
            stretch = beyond.pools[number]
            if number < 0 or hold > TELLING or t < stretch.panel.motions[0].shape[1]:
                continue
            alone, held = solved(stretch.panel, at[:t], pool.give[1][row[:t]])
            if held > TELLING:
                continue
            side = beyond.sides[number]
            done = pool.panel.motions[0][at[t:]].T @ force[t:]  # along the motions, by the braces beyond
            two = np.linalg.lstsq(side.free, done - side.base.T, rcond=None)[0]
            near = 1e-7 * np.abs(done).max()
            assert side.base.T + side.free @ two == pytest.approx(done, rel=1e-7, abs=near)
            again = alone[:, :-2] + alone[:, -2:] @ two
            assert again == pytest.approx(force[:t], rel=1e-6, abs=1e-6 * np.abs(force).max())
            reach = beyond.reach[number, count - t, beyond.place[row[t - 1]]]
            low, high = beyond.allowed
            within = ((force >= low[row]) & (force <= high[row])).all(axis=0)
            assert (reach + 1e-6 >= two.T @ beyond.faces.T)[within].all()
            told += 1
    return told


@seeds
def test_two_numbers_tell_all_that_lies_beyond_a_cut(seed):
    """The forces of a whole layout, against its stretch alone with what its other braces do along the motions."""
    space = space_of(seed, longest=480.0)
    rng = np.random.default_rng(seed)
    told = 0
    for _, pool in space.pools[:2]:
        for count in (3, 5, 7):
            told += told_by_two(pool, space.job.wall, count, rng)
    assert told or seed not in PLAIN


def may_stand(beyond, pool, row, reach):
    """Whether a linear programme finds forces a stretch may carry in the wind cases asked; None where it is close."""
    force, hold = solved(pool.panel, pool.at[row], pool.give[1][row])
    rooms = [np.inf]
    for case in beyond.cases:
        low, high = beyond.allowed[:, row, case]
        across = force[:, -2:]
        rows = np.concatenate([across, -across, beyond.faces])
        most = np.concatenate([high - force[:, case], force[:, case] - low, reach[case]])
        size = np.append(np.full(2 * len(row), 1000.0), np.ones(len(beyond.faces)))
        found = linprog(
            [0.0, 0.0, -1.0], A_ub=np.column_stack([rows, size]), b_ub=most, bounds=[(None, None)] * 3
        )
        rooms.append(found.x[2])
    return None if hold > LOST or abs(min(rooms)) < 1e-5 else min(rooms) > 0.0


def slipped(pool, row):
    """A stretch, and every one with a brace a stud off that this stretch can tell of, its last never across the cut."""
    studs, many = pool.panel.stud, len(pool.candidates)
    yield row
    for k, side in itertools.product(range(max(0, len(row) - 3), len(row)), (1, 2)):
        moved = row.copy()
        moved[k] += side * many
        there = pool.at[moved[k]]
        if there >= 0 and studs[there] not in studs[pool.at[row]] and (k, side) != (len(row) - 1, 2):
            yield moved


@pytest.mark.parametrize("gust", [24.0, 32.0])
@pytest.mark.parametrize("text", [GABLE, WALL.format(length=32)], ids=["gable", "level"])
def test_a_stretch_is_dropped_where_a_linear_programme_finds_no_forces(text, gust):
    """Stretches drawn at random, each solved afresh by numpy and put to HiGHS, there and with a brace a stud off."""
    rng = np.random.default_rng(7)
    space = search_space(choose(job_from_text(text, "wall.toml")), gust)
    told = Counter()
    _, pool = space.pools[2]
    beyond = beyond_of(pool, space.job.wall, 7)
    rows = layouts_of(pool, space.job.wall, 7, rng)[:20]
    for t in (3, 4, 5, 6):
        stretches = np.unique(rows[:, :t], axis=0)
        may, _ = beyond.may_go_on(stretches, left=7 - t)
        for row, here in zip(stretches, may, strict=True):
            number = beyond.side[beyond.place[row[-1]]]
            if number < 0 or t < beyond.sides[number].still.shape[1]:
                continue
            reach = beyond.reach[number, 7 - t, beyond.place[row[-1]]]
            found = [may_stand(beyond, beyond.pools[number], each, reach) for each in slipped(pool, row)]
            if None not in found:
                assert here or not all(found)
                told[bool(here), all(found)] += 1
    assert min(told[True, True], told[False, False]) >= 5
    assert told[True, False] <= 0.1 * told[False, False]


@pytest.mark.parametrize("gust", [30.0, 50.0])
def test_two_numbers_tell_all_on_a_gable(gust):
    """Before its peak, where the two halves of the wall turn about it, and past it."""
    space = search_space(choose(job_from_text(GABLE, "wall.toml")), gust)
    rng = np.random.default_rng(1)
    for _, pool in space.pools[2:7:2]:
        beyond = beyond_of(pool, space.job.wall, 8)
        assert (beyond.side >= 0).all() or list(np.flatnonzero(beyond.side < 0)) == [len(beyond.side) - 1]
        assert any(np.abs(side.base).max() > 1.0 for side in beyond.sides)
        assert sum(told_by_two(pool, space.job.wall, count, rng) for count in (5, 8, 11)) > 100


def test_two_numbers_tell_all_between_corners_of_a_top():
    """Where both halves of a wall move what lies between them, what is known of those beyond moves the stretch too."""
    space = search_space(choose(job_from_text(OUTLINE, "wall.toml")), 25.0)
    rng, (_, pool) = np.random.default_rng(0), space.pools[0]
    sides = beyond_of(pool, space.job.wall, 6).sides
    assert any(np.abs(side.base @ side.still).max() > 0.1 for side in sides)
    assert sum(told_by_two(pool, space.job.wall, count, rng) for count in (5, 6, 7)) > 40


def slack_forces(pool, layouts):
    """The greatest force of each brace over wind cases and plies, all joints slack, (b, n)."""
    found = []
    for plate in (0, 1):
        panel = evolve(pool.panel, **{
            name: (getattr(pool.panel, name)[plate],) * 2
            for name in ("flexibility", "motions", "under_load", "work")
        })  # fmt: skip
        found.append(
            [np.abs(solved(panel, pool.at[row], pool.give[1][row])[0]).max(axis=1) for row in layouts]
        )
    return np.maximum(*map(np.array, found))


def stands(pool, layouts):
    """Whether layouts stand as drawn and with any brace a stud off, (b,)."""
    return (worst_ratios(pool, layouts) <= WITHIN) & stands_off_mark(pool, layouts)


@pytest.mark.parametrize(("text", "gust"), [(OUTLINE, 10.0), (GABLE, 16.0), (WALL.format(length=24), 12.0)])
def test_a_layout_at_its_very_limit_is_gone_on_with(text, gust):
    """Every brace given hardly more strength than one layout asks of it, as drawn and with each a stud off its mark."""
    space, rng = search_space(choose(job_from_text(text, "wall.toml")), gust), np.random.default_rng(3)
    begun, pool, wall = 0, space.pools[0 if text == OUTLINE else -1][1], space.job.wall
    pool = evolve(pool, give=np.stack([pool.give[1]] * 2))
    for count in (4, 5, 6, 7, 8):
        for row in layouts_of(pool, wall, count, rng)[:12]:
            off = [off_mark(pool, row[None], k, side=side)[0] for k in range(count) for side in (1, 2)]
            every = np.concatenate([row[None], *off])
            most = np.zeros(len(pool.level))
            np.maximum.at(most, every, slack_forces(pool, every))
            tight = evolve(pool, level=np.where(most > 0.0, most * (1.0 + 1e-5), pool.level))
            if (tight.level > pool.level).any() or not stands(tight, row[None])[0]:
                continue
            beyond = beyond_of(tight, wall, count)
            for t in range(2, count):
                assert beyond.may_go_on(row[None, :t], left=count - t)[0][0]
                begun += 1
    assert begun > 10


@pytest.mark.parametrize("gust", [28.0, 34.0])
def test_what_stands_on_a_gable_is_gone_on_with(gust, monkeypatch):
    """The layouts of fewest braces that stand, by the search that looks beyond nothing: each of their stretches."""
    monkeypatch.setattr(search, "WORTH_LOOKING", math.inf)
    space = search_space(choose(job_from_text(GABLE, "wall.toml")), gust)
    begun, wall = 0, space.job.wall
    for _, pool in space.pools[2:7:2]:
        for count in (3, 4, 5):
            found = gone_through(search.search(pool, wall, count, clock=Budget(AMPLE))).found
            beyond = beyond_of(pool, wall, count)
            for t in range(2, count):
                stretches = np.unique(found[:, :t], axis=0)
                assert beyond.may_go_on(stretches, left=count - t)[0].all()
                begun += len(stretches)
            if len(found):
                break
    assert begun > 20


def standing(pool, wall, rng):
    """Layouts that stand, with a brace off its mark too, among many drawn at random of every number of braces."""
    found = []
    for count in range(3, 11):
        rows = layouts_of(pool, wall, count, rng)
        fine = rows[worst_ratios(pool, rows) <= WITHIN]
        found.append(fine[stands_off_mark(pool, fine)])
    return [rows for rows in found if len(rows)]


@seeds
def test_no_stretch_that_begins_a_layout_that_stands_is_dropped(seed):
    rng = np.random.default_rng(seed)
    begun = 0
    for gust in (12.0, 20.0, 28.0):
        space = space_of(seed, longest=360.0, gust=gust)
        wall = space.job.wall
        for _, pool in space.pools[:3]:
            for rows in standing(pool, wall, rng):
                count = rows.shape[1]
                beyond = beyond_of(pool, wall, count)
                if beyond is None:
                    continue
                for t in range(2, count):
                    stretches = np.unique(rows[:, :t], axis=0)
                    may, _ = beyond.may_go_on(stretches, left=count - t)
                    assert may.all()
                    begun += len(stretches)
    assert begun or seed not in PLAIN


@seeds
def test_looking_beyond_finds_what_trying_every_set_finds(seed, monkeypatch):
    """Every set of four braces of a small wall, by the search that looks beyond each stretch and by brute force."""
    monkeypatch.setattr(search, "WORTH_LOOKING", 0)
    monkeypatch.setattr(search, "LEAST_LOOKED", 3)
    space = space_of(seed, longest=SMALL)
    wall = space.job.wall
    for _, pool in space.pools:
        for count in (3, 4):
            if math.comb(len(pool.candidates), count) > MOST_SETS:
                continue
            sets = np.array(list(every_set(pool, count)), dtype=np.intp).reshape(-1, count)
            fine = sets[worst_ratios(pool, sets) <= WITHIN]
            fine = {tuple(row) for row in fine[stands_off_mark(pool, fine)].tolist()}
            tried = gone_through(search.search(pool, wall, count, clock=Budget(AMPLE)))
            found = {tuple(row) for row in tried.found.tolist()}
            mirror = search.mirror_of(pool, wall)
            if mirror is not None:
                found |= {tuple(mirror[list(row)][::-1].tolist()) for row in found}
            assert found <= fine
            assert found == fine or not tried.complete


def test_a_brace_next_to_the_cut_is_not_tried_across_it():
    """On the stud it would slip to another brace may stand, and then it cannot."""
    assert (1, 2) not in SLIPS


@seeds
def test_what_another_scheme_covers_is_never_nearer_its_limit_there(seed):
    """Layouts of covered candidates, against the same heads and give found in the other scheme one by one."""
    space, rng, compared = space_of(seed, longest=400.0), np.random.default_rng(seed), 0
    for (_, pool), (_, other) in itertools.permutations(space.pools[:5], 2):
        covered = np.flatnonzero(search.covered_by(pool, other))
        rows = layouts_of(pool, space.job.wall, 4, rng)
        rows = rows[np.isin(rows, covered).all(axis=1)]
        there = np.array([[counterpart(pool, k, other) for k in row] for row in rows], dtype=np.intp)
        if len(rows):
            own, theirs = worst_ratios(pool, rows), worst_ratios(other, there)
            assert (theirs <= own * (1.0 + 1e-9)).all()
            off, slipped = off_mark_ratios(pool, rows), off_mark_ratios(other, there)
            assert (slipped <= off * (1.0 + 1e-9)).all()
            compared += len(rows)
    assert compared or seed not in (0, 3, 5)  # whose schemes are alike


def counterpart(pool, k, other):
    """The candidate of another scheme with the head, give and set-back of one, and no less level force."""
    shape = shape_of(pool.candidates[k].brace)
    return next(
        n
        for n, one in enumerate(other.candidates)
        if shape_of(one.brace) == shape and other.level[n] >= pool.level[k]
        and (other.give[:, n] == pool.give[:, k]).all()
    )  # fmt: skip


def found_and_mirrored(pool, wall, count, **asked):
    """What a search finds with what mirrors it, and whether it went through the grid."""
    tried = gone_through(search.search(pool, wall, count, clock=Budget(AMPLE), **asked))
    rows = {tuple(row) for row in tried.found.tolist()}
    if (mirror := search.mirror_of(pool, wall)) is not None:
        rows |= {tuple(mirror[list(row)][::-1].tolist()) for row in rows}
    return rows, tried.complete


def among_as_all(pool, wall, among):
    """Compare what is found among some candidates with all that is found; how many are."""
    met, flags = 0, np.isin(np.arange(len(pool.candidates)), among)
    for count in (2, 3, 4):
        every, whole = found_and_mirrored(pool, wall, count)
        some, _ = found_and_mirrored(pool, wall, count, among=flags)
        if whole:
            wanted = {row for row in every if flags[list(row)].any()}
            assert wanted <= some <= every
            met += len(wanted)
    return met


@pytest.mark.parametrize(
    "seed", [3, 4, 5, *(pytest.param(k, marks=pytest.mark.proof) for k in range(6, 100))]
)
def test_among_some_candidates_is_found_what_the_whole_search_finds_with_them(seed):
    space, rng, met = space_of(seed, longest=SMALL), np.random.default_rng(seed), 0
    for _, pool in space.pools[:3]:
        among = np.flatnonzero(rng.random(len(pool.candidates)) < 0.2)
        met += among_as_all(pool, space.job.wall, among)
    assert met or seed > 5


def test_among_some_candidates_of_a_wall_that_mirrors_itself():
    """Where those are not mirrored, neither of two layouts that mirror each other stands for both."""
    space = search_space(choose(job_from_text(WALL.format(length=16), "wall.toml")), 30.0)
    _, pool = space.pools[2]
    assert search.mirror_of(pool, space.job.wall) is not None
    assert sum(among_as_all(pool, space.job.wall, np.array([k])) for k in range(0, len(pool.candidates), 4))


@pytest.mark.parametrize("seed", range(40))
def test_a_common_point_is_denied_only_where_a_linear_programme_finds_none(seed):
    """Strips and a polygon drawn at random, against HiGHS; what the bounds leave open is rare."""
    rng = np.random.default_rng(seed)
    turn = 2.0 * math.pi * np.arange(8) / 8
    faces = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    many, t = 40, int(rng.integers(2, 9))
    run, rise = rng.normal(scale=300.0, size=(2, t, many))
    middle, half = rng.normal(scale=400.0, size=(t, many)), rng.uniform(50.0, 600.0, size=(t, many))
    reach = rng.uniform(0.5, 3.0, size=(8, many))
    told = common_point((run, rise), middle - half, middle + half, sides=(faces, reach))
    wrong = 0
    for k in range(many):
        across = np.stack([run[:, k], rise[:, k]], axis=1)
        rows = np.concatenate([across, -across, faces])
        most = np.concatenate([(middle + half)[:, k], (half - middle)[:, k], reach[:, k]])
        # The most all of them can be let go of at once, in parts of their own size.
        size = np.append(np.full(2 * t, 1000.0), np.ones(8))
        found = linprog(
            [0.0, 0.0, -1.0], A_ub=np.column_stack([rows, size]), b_ub=most, bounds=[(None, None)] * 3
        )
        room = found.x[2]
        assert told[k] or room < 1e-6
        wrong += bool(told[k]) and room < -1e-6
    assert wrong <= many // 20
