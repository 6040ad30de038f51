"""A deck over a ring of four walls by hand: what it takes of their tops, where it gives it, and what it may carry."""

from __future__ import annotations

import numpy as np
import pytest
from attrs import evolve

from bracing.box.answer import stand
from bracing.box.both import own_along
from bracing.box.deck import Met, held_studs, why_not
from bracing.box.deck_links import along_with_decks
from bracing.chain.links import LinkId
from bracing.codes.pressures import net_pressure
from bracing.reading.house import read_house
from tests.box_walls import deck_text, job_folder, ring_corners

LONG, DEEP, HIGH = 24.0 * 12.0, 16.0 * 12.0, 9.0 * 12.0


def box_of(folder, deck, **changes):
    kept = {"laps": "rim", "moisture": "dry", "studs": ()} | changes
    read = read_house(job_folder(folder, corners=ring_corners() + deck, **kept))
    return stand(read.house, read.jobs, read.placed)


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    """The ring with its deck on and every brace out."""
    return box_of(tmp_path_factory.mktemp("deck") / "job", deck_text())


def south_pushed(box):
    """South under its own case A with case A on north, stiff: its row, and what was solved."""
    wall = next(each for each in box.walls if each.file == "south.toml")
    solved = box.across(wall).solved[0]
    row = next(
        k for k, named in enumerate(solved.forces.rows().named) if named[0] == "A with A on north.toml"
    )
    return wall, solved, row


def test_a_strip_of_wall_far_from_the_corners_gives_the_deck_what_statics_says(bare):
    """Hinged at its plate and held at its top, h = 108 in: R = p s 54 in, and 1.1 of it, the wind 0.05 h higher."""
    wall, solved, row = south_pushed(bare)
    wind = wall.model.cases.pressures
    p = float(net_pressure(wind.at(1.0), wind.mean)) / 144.0
    middle = next(k for k, top in enumerate(wall.tops) if top.x == 144.0)
    took = -solved.forces.responses.returns[row, middle - len(wall.tops), 1]
    assert took == pytest.approx(1.1 * p * 16.0 * HIGH / 2.0, rel=0.01)


def test_it_gives_the_walls_at_its_ends_all_it_takes_half_to_each_of_an_even_wind(bare):
    """Both walls across give it w each foot of their tops: R = w L / 2 of each at either end, M = w L^2 / 8 each."""
    wall, solved, row = south_pushed(bare)
    took = -solved.forces.responses.returns[row, -len(wall.tops) :, 1]
    deck = solved.decks[0]
    west, east = (deck.gives[f"{file}.toml"][row, 1] for file in ("west", "east"))
    assert west + east == pytest.approx(2.0 * took.sum(), rel=1e-6)  # north's are as south's
    assert west == pytest.approx(east, rel=1e-6)
    wind = wall.model.cases.pressures
    even = (
        2.0 * 1.1 * float(net_pressure(wind.at(1.0), wind.mean)) / 144.0 * HIGH / 2.0
    )  # of both, by statics
    assert deck.bends[row, :, 1].max() == pytest.approx(even * LONG**2 / 8.0, rel=0.03)


def test_what_it_gives_goes_to_each_wall_by_where_it_takes_it(bare):
    wall, solved, row = south_pushed(bare)
    returns = solved.forces.responses.returns
    east = sum(
        -returns[:, k - len(wall.tops)] * top.x / LONG for k, top in enumerate(wall.tops)
    )  # of south alone; north's part is the rest
    given = solved.decks[0].gives["east.toml"]
    assert given[row] == pytest.approx(2.0 * east[row], rel=1e-6)


def test_a_place_gives_the_wall_at_either_end_what_a_simple_beam_does(bare):
    """From LEFT of south, which is west: x / L to east, and the rest to west."""
    wall = next(each for each in bare.walls if each.file == "south.toml")
    for top in wall.tops:
        shares = {lean.by: lean.share for lean in top.leans}
        assert shares == pytest.approx({"west.toml": 1.0 - top.x / LONG, "east.toml": top.x / LONG}, abs=1e-9)


def test_soft_it_sways_as_a_beam_that_gives_in_shear(bare):
    """A pound in the middle of 24 ft, 16 ft deep, 5 kips/in: half of it / 16 ft x 12 ft / 5000 = 75 in a million."""
    south, east = (
        next(w for w in bare.walls if w.file == f"{file}.toml").decks[0] for file in ("south", "east")
    )
    assert south.sways(np.array([0.5]))[0, 0] == pytest.approx(0.5 / 16.0 * 12.0 / 5000.0, rel=1e-12)
    assert east.sways(np.array([0.5]))[0, 0] == pytest.approx(0.5 / 24.0 * 8.0 / 5000.0, rel=1e-12)


def group_of(box, file, link):
    wall = next(each for each in box.walls if each.file == file)
    return next(group for group in box.chain(wall) if group.link is link)


def test_its_shear_is_the_tables_over_its_depth(bare):
    """23/32 in, 10d: 600 lb/ft of the 19/32 row (SDPWS table 4.2C, cases 2 to 6, from memory), dry Douglas fir, over 2.

    Wind across south: 16 ft deep, 300 x 16 = 4800 lb at east; wind across east: 24 ft deep, 7200 lb at south.
    """
    assert float(group_of(bare, "east.toml", LinkId.DECK_SHEAR).capacity[0]) == pytest.approx(4800.0, abs=0.5)
    assert float(group_of(bare, "south.toml", LinkId.DECK_SHEAR).capacity[0]) == pytest.approx(
        7200.0, abs=0.5
    )


def test_a_lap_takes_its_nails_and_a_chord_the_moment_over_the_depth(bare):
    """16 of 16d common in Douglas fir: 141 lb each (NDS table 12N, from memory) x 1.6 = 225.6; 3610 lb."""
    chord = group_of(bare, "south.toml", LinkId.DECK_CHORD)
    assert float(chord.capacity[0]) == pytest.approx(16 * 1.6 * 141.0, rel=0.005)
    wall, solved, row = south_pushed(bare)
    wind = wall.model.cases.pressures
    edge = float(net_pressure(wind.at(1.0), wind.mean)) * 1.0 * 24.0  # 12 in of edge, 24 ft
    moment = solved.decks[0].bends[row, :, 1].max() + edge * LONG / 8.0
    assert chord.demand[row, :, 1].max() == pytest.approx(moment / DEEP, rel=1e-6)


def test_what_it_presses_with_itself_goes_half_to_each_wall(bare):
    """Lean 2% of 10 psf x 24 x 16 ft, half of it: 38.4 lb; half the wind on 12 in x 24 ft of edge."""
    south, west = (
        next(each for each in bare.walls if each.file == f"{file}.toml") for file in ("south", "west")
    )
    own = along_with_decks(west, south)
    wind = south.model.cases.pressures
    assert own[0].tolist() == [0.0, 0.0]
    assert own[1, 0] == pytest.approx(38.4, rel=1e-9)
    assert own[1, 1] == pytest.approx(float(net_pressure(wind.at(1.0), wind.mean)) * 24.0 / 2.0, rel=1e-9)


def test_its_nails_into_the_tops_share_what_comes_across_and_along(bare):
    """One toe-nailed 16d in Douglas fir: 0.83 x 1.6 x 141 (NDS 12.5.4.2, from memory), four in 16 in of top."""
    group = group_of(bare, "south.toml", LinkId.DECK_TOPS)
    wall = next(each for each in bare.walls if each.file == "south.toml")
    inside = [k for k, top in enumerate(wall.tops) if top.part * LONG == pytest.approx(16.0, abs=1e-6)]
    assert len(inside) == len(held_studs(wall.job.wall)) - 2
    assert group.capacity[inside] == pytest.approx(np.full(len(inside), 4 * 0.83 * 1.6 * 141.0), rel=0.01)
    assert sum(top.count for top in wall.tops) == pytest.approx(72.0, abs=1e-9)


@pytest.mark.parametrize("green", ["deck", "walls"])
def test_of_joists_and_plates_the_weaker_counts_for_its_nails_into_the_tops(tmp_path, bare, green):
    """Green when nailed takes 0.7 of a nail's value across the grain (NDS table 11.3.3), whichever side is green."""
    said = {"moisture": '"green"'} if green == "deck" else {}
    changes = {"moisture": "green"} if green == "walls" else {}
    wet = group_of(box_of(tmp_path / "job", deck_text(**said), **changes), "south.toml", LinkId.DECK_TOPS)
    dry = group_of(bare, "south.toml", LinkId.DECK_TOPS)
    assert wet.capacity == pytest.approx(0.7 * dry.capacity, rel=1e-9)


def test_walls_stand_without_braces_where_it_holds_them_and_less_where_it_does_not(tmp_path, bare):
    """No brace is left: with the deck every wall stands in more, and with a nail fewer each foot of top in no more."""
    without = box_of(tmp_path / "none", "")
    wide = box_of(tmp_path / "wide", deck_text(top_spacing='"24 in"', top_fastener='"8d common"'))
    for with_deck, few, none in zip(bare.answers, wide.answers, without.answers, strict=True):
        assert with_deck.limits.limit > 1.2 * none.limits.limit
        assert few.limits.limit < with_deck.limits.limit


# -- what the first slips taught -------------------------------------------------------------------------


def pressed(box, across):
    """What a deck of 24 x 16 ft is pressed with itself toward one of two walls, by hand: lean, and rate."""
    wind = next(each for each in box.walls if each.file == across).model.cases.pressures
    return 38.4, float(net_pressure(wind.at(1.0), wind.mean)) * 24.0 / 2.0


@pytest.mark.parametrize("way", [0, 1], ids=["push", "pull"])
def test_its_shear_is_asked_for_what_it_is_pressed_with_itself_too(bare, way):
    """At east: what south and north give there, with 38.4 lb of lean and half the wind on 12 in x 24 ft, either way."""
    south, east = (next(w for w in bare.walls if w.file == f"{name}.toml") for name in ("south", "east"))
    group = [
        group
        for group in bare.chain(east)
        if group.link is LinkId.DECK_SHEAR and group.rows.named[0][0].endswith("on north.toml")
    ][way]
    solved = bare.across(south).solved[way]
    (pushed,) = group.directions
    assert pushed == ("push", "pull")[way]
    given = solved.decks[0].gives["east.toml"]
    for part, own in enumerate(pressed(bare, "south.toml")):
        most = float(np.abs(given[:, part]).max())
        assert float(np.abs(group.demand[..., part]).max()) == pytest.approx(most + own, rel=1e-6)


@pytest.mark.parametrize(("file", "length", "edge"), [("south", LONG, 16.0), ("east", DEEP, 24.0)])
def test_its_nails_into_the_tops_are_asked_for_all_that_goes_along_by_their_length(bare, file, length, edge):
    """What both walls across give there, and half the wind on 12 in x their length: a place of 16 in takes so much."""
    wall = next(w for w in bare.walls if w.file == f"{file}.toml")
    others = [w for w in bare.walls if w.file in dict.fromkeys(wall.by)]
    solved = [one for other in others for one in bare.across(other).solved]
    given = max(float(np.abs(one.decks[0].gives[wall.file][:, 1]).max()) for one in solved)
    wind = others[0].model.cases.pressures
    own = float(net_pressure(wind.at(1.0), wind.mean)) * edge / 2.0
    group, row = group_of(bare, wall.file, LinkId.DECK_TOPS), 1  # all of the wind along, half of that across
    inside = [k for k, top in enumerate(wall.tops) if top.part * length == pytest.approx(16.0, abs=1e-6)]
    asked = np.full(len(inside), (given + own) * 16.0 / length)
    assert group.tension[row, inside, 1] == pytest.approx(asked, rel=1e-6)


def test_a_wall_along_is_pressed_by_its_corners_and_by_the_deck(bare):
    """West at its top: of south its corner and its half of the deck, of north as much, for the wind on both is one."""
    wall, solved, row = south_pushed(bare)
    at = next(k for k, node in enumerate(wall.nodes) if node.by == "west.toml" and node.top)
    corner = -solved.forces.responses.returns[row, at - len(wall.places), 1]
    deck = sum(
        -solved.forces.responses.returns[row, k - len(wall.tops), 1] * (1.0 - top.x / LONG)
        for k, top in enumerate(wall.tops)
    )
    pressed_at_top = solved.along["west.toml"][row, 1, 1]
    assert abs(corner) > 0.0
    assert pressed_at_top == pytest.approx(2.0 * (corner + deck), rel=1e-6)


def test_what_presses_a_deck_itself_racks_the_wall_along_at_its_top(bare):
    """West: corners and deck of south and north, 38.4 lb, half the wind on 24 ft of edge, and what pushes it itself."""
    south, west = (next(w for w in bare.walls if w.file == f"{name}.toml") for name in ("south", "west"))
    (group,) = [
        group
        for group in bare.chain(west)
        if group.link is LinkId.RETURN_RACKING
        and group.directions == ("push",)
        and group.rows.named[0][0].endswith("on north.toml")
    ]
    given = bare.across(south).solved[0].along["west.toml"].sum(axis=1)  # of middle and top
    itself = own_along(west, HIGH, crowded=False).sum(axis=0)
    for part, own in enumerate(pressed(bare, "south.toml")):
        most = float(np.abs(given[:, part] + itself[part] + own).max())
        assert float(np.abs(group.demand[..., part]).max()) == pytest.approx(most, rel=1e-6)


def test_a_lap_draws_its_lags_along_the_grain(tmp_path):
    """Wood bears a lag of 1/4 in with 11200 G along it, 6100 G^1.45 / sqrt(D) across (NDS 12.3.3): more along."""
    box = box_of(tmp_path / "job", deck_text(lap_fastener='"lag 1/4x3"'))
    chord = group_of(box, "south.toml", LinkId.DECK_CHORD)
    mine = next(each for each in box.walls if each.file == "south.toml").model.materials
    across = mine.capacity("lag 1/4x3", mine.stud_ply(), mine.stud_ply()).lateral
    assert float(chord.capacity[0]) > 16 * 1.05 * float(across) > 0.0


def test_of_two_walls_along_the_shorter_is_its_depth(tmp_path):
    """24 ft and 23 ft 11 in: 287 in, for wind across east or west."""
    box = box_of(tmp_path / "job", deck_text(), walls={"north": {"length": "23 ft 11 in"}})
    assert {wall.file: wall.decks[0].depth for wall in box.walls} == pytest.approx(
        {"south.toml": DEEP, "north.toml": DEEP, "east.toml": LONG - 1.0, "west.toml": LONG - 1.0}, abs=1e-6
    )


def test_its_fasteners_into_the_tops_are_counted_down(tmp_path):
    """One each 5 in: 288 / 5 = 57.6 and 192 / 5 = 38.4."""
    box = box_of(tmp_path / "job", deck_text(top_spacing='"5 in"'))
    assert {wall.file: wall.decks[0].tops for wall in box.walls} == {
        "south.toml": 57, "north.toml": 57, "east.toml": 38, "west.toml": 38,
    }  # fmt: skip


def test_of_studs_at_a_foot_it_holds_every_second(bare):
    """24 in apart is not too far: 24, 48, .. 264 of 288 in, and the last; at 16 in all of them, for 32 is."""
    wall = next(each for each in bare.walls if each.file == "south.toml").job.wall
    close = evolve(wall, studs=evolve(wall.studs, spacing=12.0))
    assert held_studs(close) == pytest.approx((*(24.0 * k for k in range(1, 12)), 276.0), abs=1e-9)
    assert held_studs(wall) == pytest.approx(tuple(16.0 * k for k in range(1, 18)), abs=1e-9)


def reasons(met, house):
    return [why.id for why in why_not(house, 0, met)]


def test_tops_are_level_all_along(bare):
    """A gable whose two ends are as high as the other walls is not; 2 in are a crew's level."""
    met, south = bare.met, bare.met.jobs["south.toml"]
    for rise, why in ((2.0, []), (2.5, ["deck-not-level"])):
        top = ((0.0, HIGH), (LONG / 2.0, HIGH + rise), (LONG, HIGH))
        jobs = {**met.jobs, "south.toml": evolve(south, wall=evolve(south.wall, top=top))}
        assert reasons(Met(jobs, met.ends), bare.house) == why


def test_a_ring_is_one_of_its_own_four_walls(bare):
    """South held at both its ends, one of them by a shed's wall the deck does not lie on."""
    met = bare.met
    south = dict(met.ends["south.toml"])
    assert reasons(met, bare.house) == []
    other = {**met.ends, "south.toml": {**south, "left": ("shed.toml", south["left"][1])}}
    assert reasons(Met(met.jobs, other), bare.house) == ["deck-no-ring"]


@pytest.mark.parametrize(("deep", "why"), [("8 ft", []), ("7 ft 11 in", ["deck-too-long"])])
def test_just_three_times_as_long_as_deep_counts(tmp_path, deep, why):
    """24 ft by 8 (SDPWS table 4.2.4, from memory), and by an inch less."""
    walls = {name: {"length": deep} for name in ("east", "west")}
    box = box_of(tmp_path / "job", deck_text(), walls=walls)
    assert reasons(box.met, box.house) == why
