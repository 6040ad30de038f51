"""What every layout must be, on walls drawn at random: least where proved, within, minimal, and nowhere forbidden."""

import itertools
import math
import random
from itertools import product

import numpy as np
import pytest
from attrs import evolve

from bracing.chain.cuts import top_corner
from bracing.chain.evaluate import groups_at, worst_ratio
from bracing.chain.model import build_model
from bracing.check import check
from bracing.choosing import Budget
from bracing.errors import NoLayoutError
from bracing.job.envelope import MOST_APART, MOST_FROM_END, gaps
from bracing.job.framing import frame_wall
from bracing.job.lumber import section
from bracing.layout import screen
from bracing.layout.grid import STEP, every_shape, shape_of
from bracing.layout.mending import placed
from bracing.layout.needed import choose
from bracing.layout.plan import LayoutAsked, lay_out
from bracing.layout.screen import brace_forces, drawn_by_stiff, forces_allowed, may_stand, worst_ratios
from bracing.layout.search import (
    KEEP,
    blocks,
    grid_size,
    least_possible,
    mirror_of,
    possible,
    search,
    stands_too,
)
from bracing.layout.space import search_space
from bracing.text.quantities import in_words
from tests.layout_walls import made_good, random_gust, random_layout_job

SMALL = 150.0  # up to 10 studs at 16 in
AMPLE = 120.0
MOST_SETS = 30000
FEWEST = LayoutAsked(fewest=True)
SEEDS, MANY = range(25), range(25, 2000)
WALLS, THOUSAND = range(1000, 1012), range(1012, 2012)
# Links the search reads itself; more fasteners, nails or straps mend the others afterwards.
UNMENDABLE = {
    "head joint", "head bearing", "brace in push", "brace in pull", "brace to cleat", "cleat to floor", "joist",
    "stud bending", "stud bending with lift", "stud shear", "stud splitting at the head", "top plate bending",
}  # fmt: skip

both = pytest.mark.parametrize(
    "seed", [*SEEDS, *(pytest.param(seed, marks=pytest.mark.proof) for seed in MANY)]
)


def space_of(seed, **asked):
    job = random_layout_job(seed, longest=SMALL)
    return search_space(choose(job), random_gust(seed), **asked)


def gone_through(search):
    """What a search gives once it has been gone through to its end."""
    while True:
        try:
            next(search)
        except StopIteration as end:
            return end.value


def every_set(pool, count):
    """Every set of the grid, however far apart, by trying all of them."""
    order = np.argsort(pool.x, kind="stable")
    for layout in itertools.combinations(order.tolist(), count):
        if (np.diff(pool.x[list(layout)]) > 0.01).all():
            yield layout


# -- the search against trying everything ----------------------------------------------------------------


@both
def test_the_search_finds_what_trying_every_set_finds(seed):
    space = space_of(seed)
    wall = space.job.wall
    for order, (_, pool) in enumerate(space.pools):
        for count in (2, 3, 4):
            if math.comb(len(pool.candidates), count) > MOST_SETS:
                continue
            sets = np.array(list(every_set(pool, count)), dtype=np.intp).reshape(-1, count)
            assert grid_size(pool, wall, count) == len(sets)
            fine = sets[worst_ratios(pool, sets) <= 1.0]
            fine = {tuple(row) for row in fine[stands_too(pool, space.missing[order], fine)].tolist()}
            tried = gone_through(search(pool, wall, count, clock=Budget(AMPLE)))
            found = {tuple(row) for row in tried.found.tolist()}
            mirror = mirror_of(pool, wall)
            if mirror is not None:
                found |= {tuple(mirror[list(row)][::-1].tolist()) for row in found}
            assert found <= fine
            if tried.complete:
                assert found == fine
            else:
                assert len(tried.found) >= KEEP
            if fine:
                assert least_possible(pool, wall) <= count
                assert possible(pool, wall, count)
                break


@pytest.mark.parametrize(
    "seed", [*range(6), *(pytest.param(k, marks=pytest.mark.proof) for k in range(6, 60))]
)
def test_what_the_bounds_drop_fails_in_the_chain_itself(seed):
    """A set the search never looks at is over, or can still move, by the whole chain."""
    space, rng = space_of(seed), random.Random(seed)
    for scheme, pool in space.pools[:3]:
        if math.comb(len(pool.candidates), 3) > MOST_SETS:
            continue
        sets = list(every_set(pool, 3))
        mirror = mirror_of(pool, space.job.wall)
        looked = [np.array(block) for block in blocks(pool, space.job.wall, 3, clock=Budget(AMPLE))]
        kept = {tuple(row) for block in looked for row in block.tolist()}
        if mirror is not None:
            kept |= {tuple(mirror[list(row)][::-1].tolist()) for row in kept}
        dropped = [row for row in sets if row not in kept]
        for row in rng.sample(dropped, min(3, len(dropped))):
            job = placed(space, scheme, pool=pool, layout=np.array(row))
            full = evolve(job, braces=tuple(evolve(pool.candidates[k].brace, mark=f"B{k}") for k in row))
            assert worst_ratio(build_model(full).crowded, space.gust) > 1.0


PLAIN = range(6)  # seeds of the plain run
PAST_TELLING = 1e3  # a stud past breaking has no ratio of ten digits
FAMILIES = 20  # of layouts, drawn at random on each pool


def families_of(pool, rng, count):
    """Layouts that share all but their last brace, a few families of them, as the search hands them on."""
    order = np.argsort(pool.x, kind="stable")
    found = []
    for _ in range(FAMILIES):
        studs = np.sort(rng.choice(np.unique(pool.x)[:-1], count - 1, replace=False))
        first = [rng.choice(np.flatnonzero(pool.x == x)) for x in studs]
        found += [[*first, last] for last in order if pool.x[last] > studs[-1]]
    return np.array(found, dtype=np.intp)


def slack_forces(pool, layout):
    """Forces of one layout, all joints slack, both plies, by numpy's own solution of the whole system."""
    at, panel = pool.at[layout], pool.panel
    n, m = panel.motions[0][at].shape
    whole = np.zeros((n + m, n + m))
    whole[:n, :n] = panel.flexibility[0][np.ix_(at, at)] + np.diag(pool.give[1][layout])
    whole[:n, n:], whole[n:, :n] = -panel.motions[0][at], -panel.motions[0][at].T
    return np.linalg.solve(whole, np.concatenate([panel.under_load[0][:, at], -panel.work[0]], axis=1).T)[:n]


@pytest.mark.parametrize(
    "seed", [*PLAIN, *(pytest.param(k, marks=pytest.mark.proof) for k in range(len(PLAIN), 200))]
)
def test_the_first_look_drops_only_what_is_over(seed):
    """Braces put one by one to a family solved without them, against every layout solved afresh and screened whole."""
    space = search_space(choose(random_layout_job(seed, longest=300.0)), random_gust(seed))
    rng = np.random.default_rng(seed)
    dropped = 0
    for _, pool in space.pools[:4]:
        count = pool.panel.motions[0].shape[1] + int(rng.integers(1, 3))
        if len(np.unique(pool.x)) <= count:
            continue
        layouts = families_of(pool, rng, count)
        may = may_stand(pool, layouts)
        assert (worst_ratios(pool, layouts[~may]) > 1.0).all()
        low, high = forces_allowed(pool)
        for row in layouts[~may][:: 1 + np.count_nonzero(~may) // 12]:
            force = slack_forces(pool, row)
            assert ((force < low[row]) | (force > high[row])).any()
            dropped += 1
    assert dropped or not space.pools or seed not in PLAIN  # of the others some have nothing to drop


def beside(pool, layout, rng, many):
    """Layouts with one brace of another elsewhere, on a stud that has none or another way on its own."""
    found = []
    for _ in range(many):
        row, k, new = layout.copy(), rng.integers(len(layout)), rng.integers(len(pool.x))
        row[k] = new
        row = row[np.argsort(pool.x[row], kind="stable")]
        if len(set(pool.x[row])) == len(row) and (row != layout).sum() == 1:
            found.append(row)
    return np.array(found, dtype=np.intp).reshape(-1, len(layout))


@pytest.mark.parametrize(
    "seed", [*PLAIN, *(pytest.param(k, marks=pytest.mark.proof) for k in range(len(PLAIN), 200))]
)
def test_a_layout_put_to_one_that_is_solved_is_as_solved_afresh(seed, monkeypatch):
    """Braces moved one at a time on layouts solved once, against every layout solved from nothing."""
    space = search_space(choose(random_layout_job(seed, longest=1200.0)), random_gust(seed))
    rng = np.random.default_rng(seed)
    looked = 0
    for _, pool in space.pools[:4]:
        studs = np.unique(pool.x)
        if len(studs) <= screen.MANY:
            continue
        bases = np.array([
            [rng.choice(np.flatnonzero(pool.x == x)) for x in np.sort(rng.choice(studs, count, replace=False))]
            for count in [int(rng.integers(screen.MANY, min(len(studs) - 1, 40) + 1))] * 3
        ], dtype=np.intp)  # fmt: skip
        near = [beside(pool, base, rng, 800) for base in bases]
        layouts, of = np.concatenate(near), np.repeat(np.arange(len(bases)), [*map(len, near)])
        looked += len(layouts)
        whole = np.minimum(worst_ratios(pool, layouts), PAST_TELLING)
        for most in (np.inf, float(np.median(whole))):
            told = np.minimum(screen.ratios_up_to(pool, layouts, most, like=(bases, of)), PAST_TELLING)
            up_to = whole <= most * (1.0 - 1e-6)
            assert told[up_to] == pytest.approx(whole[up_to], rel=1e-9)
            assert (told[whole > most * (1.0 + 1e-6)] > most).all()
        with monkeypatch.context() as unsure:  # as where a brace out leaves next to nothing to hold the wall
            unsure.setattr(screen, "KEPT", np.inf)
            afresh = screen.ratios_up_to(pool, layouts, np.inf, like=(bases, of))
            assert np.minimum(afresh, PAST_TELLING) == pytest.approx(whole, rel=1e-12)
        drawn = layouts[:: 1 + len(layouts) // 40]
        slipped = np.zeros(len(drawn))
        for side, k in product((1, 2), range(drawn.shape[1])):
            rows, of_drawn = screen.off_mark(pool, drawn, k, side=side)
            np.maximum.at(slipped, of_drawn, np.minimum(worst_ratios(pool, rows), PAST_TELLING))
        for most in (np.inf, float(np.median(slipped))):
            told = np.minimum(screen.off_mark_ratios(pool, drawn, most=most, like=drawn[0]), PAST_TELLING)
            up_to = slipped <= most * (1.0 - 1e-6)
            assert told[up_to] == pytest.approx(slipped[up_to], rel=1e-9)
            assert (told[slipped > most * (1.0 + 1e-6)] > most).all()
    assert looked or seed not in PLAIN


# -- the screen against the chain ------------------------------------------------------------------------

NEAR_THE_LIMIT = 0.8, 1.25
LAYOUTS_A_WALL = 25
WALLS_SCREENED = [*range(8), *(pytest.param(k, marks=pytest.mark.proof) for k in range(8, 400))]


FINER = 8  # readings to each step of the screen's
SHAPES = 24


@pytest.mark.parametrize(
    "seed", [*range(3), *(pytest.param(k, marks=pytest.mark.proof) for k in range(3, 60))]
)
def test_between_two_readings_the_screen_lies_under_the_chain(seed):
    """Studs of two dozen braces of a wall, single and doubled: the chain asked eight times closer."""
    job, gust = choose(random_layout_job(seed, longest=300.0)), random_gust(seed)
    for doubled in (False, True):
        candidates = [
            candidate
            for scheme, pool in search_space(job, gust).pools
            if scheme.doubled is doubled
            for candidate in pool.candidates
        ]
        stood = {
            shape_of(candidate.brace): (
                evolve(candidate.brace, mark=f"B{candidate.brace.stud_at}"),
                candidate.strength,
            )
            for candidate in candidates[:: 1 + len(candidates) // SHAPES]
        }
        if not stood:
            continue
        asked = {"gust": gust, "thunderstorm": False}
        force = STEP * np.arange(-40.0, 41.0)
        closer = np.linspace(force[0], force[-1], FINER * (len(force) - 1) + 1)
        bare, framing = evolve(job, wall=evolve(job.wall, rows=())), frame_wall(job.wall)
        _, lines = every_shape(bare, framing, stood, force=force, **asked)
        _, closer_lines = every_shape(bare, framing, stood, force=closer, **asked)
        exact = closer_lines[..., 0].reshape(*lines.shape[:3], FINER)
        part = np.arange(FINER) / FINER
        first, second = (lines[..., k, None] + lines[..., k + 1, None] * part for k in (0, 2))
        inner = slice(1, -1)  # past the ends a reading of the closer grid is no reading
        assert (np.maximum(first, second)[:, :, inner] <= exact[:, :, inner] * (1.0 + 1e-9)).all()


def drawn(space, rng):
    """A scheme's pool, a layout as it holds it, and the job with its braces; one may be a stud off its mark."""
    order = int(rng.integers(len(space.pools)))
    scheme, pool = space.pools[order]
    places = np.unique(pool.x)
    count = int(rng.integers(1, min(6, len(places)) + 1))
    chosen = np.sort(rng.choice(places, count, replace=False))
    row = np.array([rng.choice(np.flatnonzero(pool.x == x)) for x in chosen], dtype=np.intp)
    braces = [evolve(pool.candidates[k].brace, mark=f"B{k}") for k in row]
    job = placed(space, scheme, pool=pool, layout=row)
    k, side = int(rng.integers(count)), int(rng.integers(3))
    full = [stud.x for stud in space.framing.full_height_studs]
    at = full.index(braces[k].stud_at) + (0, -1, 1)[side]
    if side and 0 <= at < len(full) and full[at] not in chosen:
        head = min(braces[k].head, job.wall.height_at(full[at]))
        braces[k] = evolve(braces[k], stud_at=full[at], head=head)
        row[k] += side * len(pool.candidates)
    top = evolve(job.wall.top_plate, spliced=True)
    return pool, row, evolve(job, braces=tuple(braces), wall=evolve(job.wall, top_plate=top))


def read_by_screen(groups, gust):
    """The worst ratio of the chain over the links no more fasteners mend."""
    return max(
        float(group.ratios(gust).max(initial=0.0))
        for group in groups
        if group.link.removesuffix(", in reverse") in UNMENDABLE
    )


@pytest.mark.parametrize("seed", WALLS_SCREENED)
def test_the_screen_is_never_over_the_chain(seed):
    """So what it drops, the chain has over too: 200 layouts, and 10,000 in the proof.

    Near the limit it may be under by what joints all tight ask more of a brace than one tight among slack, and by what
    a ratio between two readings lies over the chords beside it.
    """
    space = search_space(
        choose(random_layout_job(seed, longest=300.0)), random_gust(seed), thunderstorm=seed % 5 == 0
    )
    rng = np.random.default_rng(seed)
    for _ in range(LAYOUTS_A_WALL if space.pools else 0):
        pool, row, job = drawn(space, rng)
        forces, groups = groups_at(build_model(job, thunderstorm=space.thunderstorm).crowded, space.gust)
        ratio = float(worst_ratios(pool, row[None])[0])
        if not all(f.held.all() for f in forces):
            assert ratio == math.inf
            continue
        chain = read_by_screen(groups, space.gust)
        assert ratio <= chain * (1.0 + 1e-9)
        if NEAR_THE_LIMIT[0] < chain < NEAR_THE_LIMIT[1]:
            assert ratio >= chain * 0.85


@pytest.mark.parametrize("seed", range(8))
def test_one_spring_changed_gives_what_a_fresh_solution_gives(seed):
    rng = np.random.default_rng(seed)
    n, m, cases = 5, 2, 3
    half = rng.normal(size=(n, n))
    flexibility, motions = half @ half.T, rng.normal(size=(n, m))
    soft = rng.uniform(1.0, 3.0, n)
    firmer = soft * rng.uniform(0.1, 0.9, n)
    wanted = {"under": rng.normal(size=(n, cases))[..., None], "work": rng.normal(size=(cases, m))}
    force, per_gap, _ = brace_forces(flexibility[..., None], motions[..., None], soft[:, None], **wanted)
    gap = drawn_by_stiff(force, per_gap, firmer[:, None])
    for k in range(n):
        give = soft - firmer * (np.arange(n) == k)
        fresh, _, _ = brace_forces(flexibility[..., None], motions[..., None], give[:, None], **wanted)
        changed = force[..., 0] + per_gap[:, k] * gap[k, :, 0]
        assert changed == pytest.approx(fresh[..., 0], abs=1e-9)


@pytest.mark.parametrize(
    "seed", [*range(4), *(pytest.param(k, marks=pytest.mark.proof) for k in range(4, 60))]
)
def test_a_proof_agrees_with_the_chain_mended_as_far_as_it_goes(seed):
    """Sets with fewer braces than a proved layout, drawn at random, cannot be made good."""
    job, gust = random_layout_job(seed, longest=SMALL), random_gust(seed)
    try:
        found = lay_out(job, gust=gust, budget=AMPLE, asked=FEWEST)
    except NoLayoutError:
        return
    count = len(found.job.braces) - 1
    space, rng = search_space(choose(job), gust), random.Random(seed)
    assert found.grid.proved
    for scheme, pool in space.pools:
        if count >= 2 and math.comb(len(pool.candidates), count) <= MOST_SETS:
            sets = list(every_set(pool, count))
            for row in rng.sample(sets, min(2, len(sets))):
                assert made_good(space, placed(space, scheme, pool=pool, layout=np.array(row))) is None


# -- what a layout is ------------------------------------------------------------------------------------


def laid_out(seed, longest=300.0, budget=2.0, **asked):
    job = random_layout_job(seed, longest=longest)
    try:
        return lay_out(job, gust=random_gust(seed), budget=budget, asked=LayoutAsked(**asked))
    except NoLayoutError:
        return None


def overlap(a, b, c, d):
    return min(b, d) - max(a, c) > 1e-9


def feet_stand_where_they_may(result):
    """Brace and cleats of each foot, drawn again from the answer, against keep-outs, room and the wall's ends."""
    job = result.job
    cleat, lumber = job.kit.cleat, section(job.kit.cleat.size)
    wide = lumber.thickness if cleat.lie == "edge" else lumber.width
    for brace, shown in zip(job.braces, result.result.braces, strict=True):
        half = section(brace.size).thickness / 2.0
        low, high = shown.foot_x - half, shown.foot_x + half
        sides = [(low - wide, high + wide)] if cleat.sides == 2 else [(low - wide, high), (low, high + wide)]
        near, far = brace.set_back - cleat.length / 2.0, brace.set_back + cleat.length / 2.0
        assert near >= 0.0
        assert job.floor.room is None or far <= job.floor.room
        free = []
        for left, right in sides:
            clear = left >= -1e-9 and right <= job.wall.length + 1e-9
            for keep in job.floor.keep_outs:
                (x0, y0), (x1, y1) = keep.corner, keep.opposite
                across = overlap(left, right, min(x0, x1), max(x0, x1))
                clear = clear and not (across and overlap(near, far, min(y0, y1), max(y0, y1)))
            free.append(clear)
        assert any(free)


def rules_kept(result):
    job, places = result.job, sorted(brace.stud_at for brace in result.job.braces)
    assert len(places) >= 2
    assert gaps_by_hand(job.wall.length, places) == [gap.length for gap in gaps(job)]
    for brace, cut in zip(job.braces, result.cuts, strict=True):
        assert top_corner(job, brace) <= job.wall.height_at(brace.stud_at) - 3.0 + 1e-6
        stick = result.cutting.stick_of(brace.mark)
        assert stick is not None
        assert stick.length >= cut.long_point


@pytest.mark.parametrize(
    "seed", [*WALLS, *(pytest.param(seed, marks=pytest.mark.proof) for seed in THOUSAND)]
)
def test_any_wall_has_a_layout_or_a_reason(seed):
    """No exception but the one that says none was found; and what is found keeps every rule."""
    result = laid_out(seed)
    if result is None:
        return
    assert result.result.verdict == "within"
    assert result.result.limit >= result.result.gust * (1.0 - 1e-9)
    assert result.fewest is None or result.fewest.braces < len(result.job.braces)
    feet_stand_where_they_may(result)
    rules_kept(result)


def gaps_by_hand(length, places):
    """What is warned of: over 4 ft at an end, over 10 ft between two braces, from LEFT."""
    between = [b - a for a, b in itertools.pairwise(places) if b - a > MOST_APART + 0.01]
    first, last = places[0], length - places[-1]
    ends = [[end] if end > MOST_FROM_END + 0.01 else [] for end in (first, last)]
    return [*ends[0], *between, *ends[1]]


def removal_breaks(result, k):
    """Whether without one brace a link is over as drawn or with a brace one stud off."""
    kept = [brace for i, brace in enumerate(result.job.braces) if i != k]
    places = sorted(brace.stud_at for brace in kept)
    gust = result.result.gust
    if len(places) < 2:
        return True
    sets = [kept]
    studs = [stud.x for stud in result.result.model.framing.full_height_studs]
    for i, brace in enumerate(kept):
        at = studs.index(brace.stud_at)
        for other in studs[max(0, at - 1) : at] + studs[at + 1 : at + 2]:
            if other not in places:
                head = min(brace.head, result.job.wall.height_at(other))
                sets.append([*kept[:i], evolve(brace, stud_at=other, head=head), *kept[i + 1 :]])
    return any(
        worst_ratio(build_model(evolve(result.job, braces=tuple(one))).crowded, gust) > 1.0 for one in sets
    )


@pytest.mark.parametrize(
    "seed", [*range(8), *(pytest.param(k, marks=pytest.mark.proof) for k in range(8, 120))]
)
def test_without_any_brace_a_proved_layout_is_over(seed):
    result = laid_out(seed, longest=SMALL, budget=AMPLE, fewest=True)
    if result is not None and result.grid.proved:
        assert all(removal_breaks(result, k) for k in range(len(result.job.braces)))


@pytest.mark.parametrize(
    "seed", [*range(4), *(pytest.param(k, marks=pytest.mark.proof) for k in range(4, 40))]
)
def test_it_stands_with_any_brace_one_stud_off(seed):
    result = laid_out(seed, longest=SMALL)
    if result is None:
        return
    job = result.job
    studs = [stud.x for stud in result.result.model.framing.full_height_studs]
    for k, brace in enumerate(job.braces):
        at = studs.index(brace.stud_at)
        for other in studs[max(0, at - 1) : at] + studs[at + 1 : at + 2]:
            if other in {b.stud_at for b in job.braces}:
                continue
            moved = evolve(brace, stud_at=other, head=min(brace.head, job.wall.height_at(other)))
            braces = (*job.braces[:k], moved, *job.braces[k + 1 :])
            assert (
                worst_ratio(build_model(evolve(job, braces=braces)).crowded, result.result.gust) <= 1.0 + 1e-6
            )


@pytest.mark.parametrize(
    "seed", [*range(4), *(pytest.param(k, marks=pytest.mark.proof) for k in range(4, 40))]
)
def test_it_stands_with_any_brace_gone_at_the_gust_asked(seed):
    gust = random_gust(seed) * 0.6
    result = laid_out(seed, longest=SMALL, one_missing=gust)
    if result is not None:
        assert min(result.result.missing) >= gust * (1.0 - 1e-9)
        plain = laid_out(seed, longest=SMALL)
        assert not (plain.grid.proved and result.grid.proved) or len(plain.job.braces) <= len(
            result.job.braces
        )


@pytest.mark.parametrize(
    "seed", [*range(3), *(pytest.param(k, marks=pytest.mark.proof) for k in range(3, 30))]
)
def test_a_mirrored_wall_takes_as_many(seed):
    """Studs are laid out from LEFT, so its length is made a whole number of bays, and joists are left out."""
    job, gust = random_layout_job(seed, longest=SMALL), random_gust(seed)
    wall = job.wall
    length = round(wall.length / wall.studs.spacing) * wall.studs.spacing
    top = tuple((x * length / wall.length, z) for x, z in wall.top)
    job = evolve(
        job, wall=evolve(wall, top=top, openings=()), floor=evolve(job.floor, joists=None, partitions=())
    )
    ours = tuple(k for k in job.floor.keep_outs if k.opposite[0] <= length)
    holes = tuple(
        evolve(
            k, corner=(length - k.corner[0], k.corner[1]), opposite=(length - k.opposite[0], k.opposite[1])
        )
        for k in ours
    )
    turned = tuple((length - x, z) for x, z in reversed(top))
    one = evolve(job, floor=evolve(job.floor, keep_outs=ours))
    other = evolve(job, wall=evolve(job.wall, top=turned), floor=evolve(job.floor, keep_outs=holes))
    assert least_of(one, gust) == least_of(other, gust)


def least_of(job, gust):
    """The proved number of braces, or None."""
    try:
        found = lay_out(job, gust=gust, budget=AMPLE, asked=FEWEST)
    except NoLayoutError:
        return None
    assert found.grid.proved
    return len(found.job.braces)


@pytest.mark.parametrize("seed", range(3))
def test_the_same_wall_gives_the_same_layout(seed):
    one, other = (laid_out(seed, longest=SMALL) for _ in range(2))
    assert (one is None) == (other is None)
    assert one is None or one.to_dict() == other.to_dict()


@pytest.mark.parametrize("seed", [0, *(pytest.param(k, marks=pytest.mark.proof) for k in range(1, 10))])
def test_a_wall_with_rows_stands_by_the_chain_and_claims_no_proof(seed):
    job, gust = random_layout_job(seed, longest=SMALL, rows=True), random_gust(seed)
    try:
        result = lay_out(job, gust=gust, budget=1.0)
    except NoLayoutError:
        return
    assert job.wall.rows
    assert not result.grid.proved
    assert "continuous rows" in in_words(result.grid.said)
    assert check(result.job, gust=gust, effects=False).verdict == "within"
