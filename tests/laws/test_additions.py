"""The law of additions: what is added never lowers a limit gust, but for the physical reasons told in a line."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from attrs import evolve

from bracing.chain.foot import cleat_to_floor
from bracing.chain.model import build_model
from bracing.errors import BracingError
from bracing.job.brace import IN_BLOCK, ON_PANEL
from bracing.job.envelope import beyond
from bracing.job.framing import frame_wall
from bracing.job.job import Job
from bracing.job.returns import Return, ReturnCorner, ReturnPlate
from bracing.job.wall import Row
from bracing.reading.jobs import job_from_text
from bracing.text.quantities import in_words
from bracing.work.added import Cause, fall
from tests.golden.walls import text

FIRST = 1001  # walls past those that are recorded
SLICE, EACH = 20, 3
WALLS, BATCH, MORE = 2000, 100, 10

Addition = Callable[[Job, random.Random], Job | None]


def _wall(**changes: object) -> Callable[[Job], Job]:
    return lambda job: evolve(job, wall=evolve(job.wall, **changes))


def _plate(job: Job, **changes: object) -> Job:
    return _wall(plate=evolve(job.wall.plate, **changes))(job)


def _top(job: Job, **changes: object) -> Job:
    return _wall(top_plate=evolve(job.wall.top_plate, **changes))(job)


def _one_brace(job: Job, rng: random.Random, **more: int) -> Job:
    """One brace, with so many more of some of its fasteners."""
    k = rng.randrange(len(job.braces))
    braces = list(job.braces)
    braces[k] = evolve(braces[k], **{name: getattr(braces[k], name) + count for name, count in more.items()})
    return evolve(job, braces=tuple(braces))


def brace(job: Job, rng: random.Random) -> Job | None:
    """One more, like one that is there, half-way between two or on any stud that has none."""
    taken = [b.stud_at for b in job.braces]
    free = [s.x for s in frame_wall(job.wall).full_height_studs if min(abs(s.x - x) for x in taken) > 10.0]
    if not free:
        return None
    like, x = rng.choice(job.braces), rng.choice(free)
    if job.wall.height_at(x) < like.head:
        return None
    return evolve(job, braces=(*job.braces, evolve(like, mark="B99", stud_at=x)))


def doubled(job: Job, rng: random.Random) -> Job | None:
    k = rng.randrange(len(job.braces))
    if job.braces[k].stud_doubled:
        return None
    braces = list(job.braces)
    braces[k] = evolve(braces[k], stud_doubled=True)
    return evolve(job, braces=tuple(braces))


def row(job: Job, rng: random.Random) -> Job | None:
    if job.wall.rows:
        return None
    kind = rng.choice(("wale", "strongback"))
    low = min(z for _, z in job.wall.top)
    return _wall(rows=(Row(height=round(low * 0.7), kind=kind, size="2x6"),))(job)


def layer(job: Job, rng: random.Random) -> Job | None:
    name = rng.choice(("housewrap", "fiber cement siding"))
    if name in job.wall.layers or not job.wall.sheathed:
        return None
    return _wall(layers=(*job.wall.layers, name))(job)


def _opening(job: Job, k: int, **changes: object) -> Job | None:
    openings = list(job.wall.openings)
    openings[k] = evolve(openings[k], **changes)
    return _wall(openings=tuple(openings))(job)


def cover(job: Job, rng: random.Random) -> Job | None:
    bare = [k for k, o in enumerate(job.wall.openings) if not o.covered]
    if not bare:
        return None
    return _opening(job, rng.choice(bare), covered=True)


def block(job: Job, rng: random.Random) -> Job | None:
    """Blocks between the joists under a foot that stands on the deck panel alone."""
    on_panel = [k for k, brace in enumerate(job.braces) if brace.foot_on == ON_PANEL]
    if job.floor.kind != "deck" or not on_panel:
        return None
    k, braces = rng.choice(on_panel), list(job.braces)
    braces[k] = evolve(braces[k], foot_on=IN_BLOCK)
    return evolve(job, braces=tuple(braces))


def a_return(job: Job, rng: random.Random) -> Job | None:
    """At an end that is free, short or long, with nothing said of its corner or with all of it."""
    free = [end for end in ("left", "right") if getattr(job.wall, f"{end}_end") == "free"]
    if not free:
        return None
    end, long = rng.choice(free), rng.choice((48.0, 96.0, 144.0))
    whole = Return(
        length=long, sheathing="osb 7/16", edge_nail="8d common", edge_spacing=6.0, blocked=True,
        plate=ReturnPlate(fastener="structural screw 0.22x4-1/2", spacing=16.0),
        corner=ReturnCorner(fastener="16d common", count=16, joint="shear"),
        strap_far_lb=2000.0, strap_corner_lb=2000.0, plated=True, nailed=True, sheathed=True, fastened_down=True,
    )  # fmt: skip
    return _wall(**{f"{end}_end": "return", f"{end}_return": rng.choice((Return(length=long), whole))})(job)


def header_nails(job: Job, rng: random.Random) -> Job | None:
    if not job.wall.openings:
        return None
    k = rng.randrange(len(job.wall.openings))
    return _opening(job, k, header_nails=job.wall.openings[k].header_nails + 2)


def king(job: Job, rng: random.Random) -> Job | None:
    if not job.wall.openings:
        return None
    k = rng.randrange(len(job.wall.openings))
    return _opening(job, k, kings=job.wall.openings[k].kings + 1)


def tie(job: Job, rng: random.Random) -> Job | None:
    most = max(b.ties for b in job.braces)
    return None if most >= 2 else evolve(job, braces=tuple(evolve(b, ties=most + 1) for b in job.braces))


def splice(job: Job, rng: random.Random) -> Job | None:
    top = job.wall.top_plate
    return None if top.spliced else _wall(top_plate=evolve(top, spliced=True))(job)


def second_cleat(job: Job, rng: random.Random) -> Job | None:
    """With its own fasteners to brace and floor, as many again."""
    if job.kit.cleat.sides == 2 or job.floor.kind == "ground":
        return None
    braces = tuple(
        evolve(b, cleat_fasteners=2 * b.cleat_fasteners, floor_fasteners=2 * b.floor_fasteners)
        for b in job.braces
    )
    return evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, sides=2)), braces=braces)


ADDITIONS: dict[str, tuple[Addition, Cause | None]] = {
    "brace": (brace, Cause.DRAWS),
    "head fastener": (lambda job, rng: _one_brace(job, rng, head_fasteners=1), Cause.DRAWS),
    "cleat fasteners": (lambda job, rng: _one_brace(job, rng, cleat_fasteners=2), Cause.DRAWS),
    "floor fasteners": (lambda job, rng: _one_brace(job, rng, floor_fasteners=2), Cause.DRAWS),
    "second cleat": (second_cleat, Cause.DRAWS),
    "doubled stud": (doubled, Cause.DRAWS),
    "row": (row, Cause.DRAWS),
    "king": (king, Cause.DRAWS),
    "tie": (tie, Cause.DRAWS),
    "layer": (layer, Cause.LAYER),
    "cover": (cover, Cause.SAIL),
    "block": (block, Cause.DRAWS),
    "return": (a_return, Cause.RETURN),
    "header nails": (header_nails, None),
    "splice": (splice, None),
    "strap to plate": (
        lambda job, rng: _top(job, strap_at_brace_lb=job.wall.top_plate.strap_at_brace_lb + 500.0), None,
    ),
    "end nail": (lambda job, rng: _top(job, end_nails=job.wall.top_plate.end_nails + 1), None),
    "plate fasteners": (lambda job, rng: _plate(job, spacing=job.wall.plate.spacing / 2.0), None),
    "extra plate fastener": (
        lambda job, rng: _plate(
            job, extra=evolve(job.wall.plate.extra, at_each_brace=job.wall.plate.extra.at_each_brace + 1)
        ), None,
    ),
    "sheathing nails": (lambda job, rng: _plate(job, sheathing_spacing=job.wall.plate.sheathing_spacing / 2.0), None),
}  # fmt: skip


def tried(number: int, each: int) -> tuple[int, list[str], list[str]]:
    """Single additions to one random wall: how many, each fall in a line, and what breaks the law."""
    job = job_from_text(text(f"w{number}"), f"w{number}.toml")
    rng, told, broken, count = random.Random(number), [], [], 0
    if not job.braces or beyond(job, None):
        return 0, [], []
    try:
        before = build_model(job)
    except BracingError:
        return 0, [], []  # a brace that is on no stud
    for name in rng.sample(sorted(ADDITIONS), len(ADDITIONS)):
        if count == each:
            break
        make, allowed = ADDITIONS[name]
        more = make(job, rng)
        if more is None or beyond(more, None):
            continue
        try:
            after = build_model(more)
        except BracingError:
            continue  # no room for it on this wall
        count += 1
        fallen = fall(before, after)
        if fallen is None:
            continue
        line = f"w{number} {name}: {in_words(fallen.said)}"
        told.append(line)
        if fallen.cause is None or fallen.cause != allowed:
            broken.append(line)
    return count, told, broken


def held(numbers: range, each: int) -> tuple[int, int]:
    """Additions tried and limits that fell; every fall is of a listed kind, and printed."""
    count, falls = 0, 0
    for number in numbers:
        some, told, broken = tried(number, each)
        count, falls = count + some, falls + len(told)
        print(*told, sep="\n", end="\n" if told else "")
        assert not broken, "\n".join(broken)
    return count, falls


def test_an_addition_lowers_no_limit_but_for_a_reason_that_is_told():
    count, _ = held(range(FIRST, FIRST + SLICE), EACH)
    assert count >= SLICE * EACH // 2


@pytest.mark.proof
@pytest.mark.parametrize("batch", range(WALLS // BATCH))
def test_the_law_over_two_thousand_walls_and_twenty_thousand_additions(batch):
    start = FIRST + SLICE + batch * BATCH
    count, falls = held(range(start, start + BATCH), MORE)
    print(f"w{start} to w{start + BATCH - 1}: {count} additions, {falls} falls")
    assert count >= BATCH * MORE * 4 // 5


def test_a_fastener_that_comes_to_stand_under_the_brace_draws_load():
    """Two stand in a limp cleat, one on each side of the brace; of three the middle one takes the most of it.

    So with two more in its two cleats the foot holds less, and it is told as what it is.
    """
    job = job_from_text(text("w1148"), "w1148.toml")
    first, *others = job.braces
    assert (job.kit.cleat.lie, job.kit.cleat.sides, first.floor_fasteners) == ("flat", 2, 5)
    more = evolve(job, braces=(evolve(first, floor_fasteners=7), *others))
    fallen = fall(build_model(job), build_model(more))
    assert fallen is not None
    assert (fallen.link.link, fallen.link.mark) == ("cleat to floor", "B1")
    assert fallen.cause is Cause.DRAWS
    assert "no reason known" not in in_words(fallen.said)


def test_a_nail_that_draws_load_in_the_deck_is_told_where_blocks_then_hold_more():
    """Four nails in the deck panel held more than blocks do; of six the middle ones take the most of it."""
    job = job_from_text(text("w1312"), "w1312.toml")
    first, *others = job.braces
    assert (first.mark, first.foot_on, job.kit.cleat.sides) == ("B1", "block", 2)
    few, more = (
        evolve(job, braces=(evolve(first, floor_fasteners=count), *others)) for count in (4, 6)
    )  # fmt: skip
    before, after = (
        [cleat_to_floor(model.materials, evolve(model.job.braces[0], foot_on=on)) for on in ("deck", "block")]
        for model in (build_model(few), build_model(more))
    )
    assert before[0] == before[1]  # the panel alone holds more than the blocks do
    assert after[0].drawn > before[0].drawn
    fallen = fall(build_model(few), build_model(more))
    assert fallen is not None
    assert (fallen.link.link, fallen.link.mark, fallen.cause) == ("cleat to floor", "B1", Cause.DRAWS)


def test_a_foot_of_weaker_fasteners_draws_nothing():
    """As many in the same places, each holding less: no cause but a fault, were it an addition."""
    job = job_from_text(text("w1148"), "w1148.toml")
    weak = evolve(job, kit=evolve(job.kit, cleat=evolve(job.kit.cleat, floor_fastener="8d common")))
    fallen = fall(build_model(job), build_model(weak))
    assert fallen is not None
    assert fallen.link.link == "cleat to floor"
    assert fallen.cause is None


def test_a_fall_for_no_physical_reason_is_seen():
    """Half the plate fasteners hold less, and nothing draws load for it: the law would be broken, and it is said."""
    job = next(
        job for job in (job_from_text(text(f"w{k}"), "w.toml") for k in range(FIRST, FIRST + SLICE))
        if job.floor.kind == "deck" and job.wall.plate.state == "final" and job.braces
    )  # fmt: skip
    weak = _plate(
        job, spacing=96.0, extra=evolve(job.wall.plate.extra, at_each_brace=0), sheathing_spacing=24.0
    )
    fallen = fall(build_model(job), build_model(weak))
    assert fallen is not None
    assert fallen.cause is None
    assert "no reason known" in in_words(fallen.said)
