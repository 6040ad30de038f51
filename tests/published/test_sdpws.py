"""Special Design Provisions for Wind and Seismic: unit shear of sheathed walls, and what is left of it.

The allowable shears below are another publication's print of the same tests, before the 40% for wind: IBC table 2306.3
of 2009, sheathing grades, as 780 CMR and a panel makers' association reproduce it. Both prints are rounded to 5 lb/ft.
"""

import pytest

from bracing.codes.basis import IN_USE
from bracing.codes.sdpws import aspect_factor, deck_of, gravity_factor, sheathed, unblocked_factor
from bracing.codes.sticks import Nailing
from tests.approx import printed

ALLOWABLE = {
    (5 / 16, "6d"): (180, 270, 350, 450),
    (3 / 8, "6d"): (200, 300, 390, 510),
    (3 / 8, "8d"): (220, 320, 410, 530),
    (7 / 16, "8d"): (240, 350, 450, 585),
    (15 / 32, "8d"): (260, 380, 490, 640),
    (15 / 32, "10d"): (310, 460, 600, 770),
    (19 / 32, "10d"): (340, 510, 665, 870),
}
CASES = [
    (thickness, nail, spacing, allowed)
    for (thickness, nail), row in ALLOWABLE.items()
    for spacing, allowed in zip((6.0, 4.0, 3.0), row, strict=False)
]


def blocked(thickness=7 / 16, nail="8d common", spacing=6.0, **changed):
    return Nailing("osb", thickness, nail, spacing, blocked=True, studs=16.0, **{"gravity": 0.5, **changed})


@pytest.mark.parametrize(("thickness", "nail", "spacing", "allowed"), CASES)
def test_unit_shear_is_that_of_the_building_code_and_40_percent(thickness, nail, spacing, allowed):
    """IBC 2009 table 2306.3: allowable shear, which wind may exceed by 40%."""
    found = sheathed(blocked(thickness, f"{nail} common", spacing)).shear
    assert found == pytest.approx(1.4 * allowed, abs=1.4 * 2.5 + 1.25 + 1.0)  # both prints are rounded


def test_unit_shear_of_7_16_and_8d_at_6_in():
    """Table 4.3A: 670 lb/ft in wind, over 2.0."""
    assert sheathed(blocked()).shear == printed("335")


@pytest.mark.parametrize(
    ("panel", "spacing", "Ga"),
    [
        ("osb", 6.0, "15"),
        ("osb", 4.0, "22"),
        ("osb", 3.0, "28"),
        ("plywood", 6.0, "11"),
        ("plywood", 3.0, "17"),
    ],
)
def test_apparent_shear_stiffness(panel, spacing, Ga):
    """Table 4.3A, 7/16 in, 8d common."""
    nailing = Nailing(panel, 7 / 16, "8d common", spacing, field_spacing=6.0, blocked=True, gravity=0.5)
    assert sheathed(nailing).stiffness == printed(Ga)


def test_gravity_of_framing():
    """Table 4.3A note 3: 1 - (0.5 - G), not over 1."""
    assert gravity_factor(0.42) == printed("0.92")
    assert gravity_factor(0.55) == printed("1")


def test_narrow_piece():
    """4.3.3.2: 1.25 - 0.125 h/b past 2; a wall 10 ft high and 4 ft long keeps 0.9375."""
    assert aspect_factor(120.0, 48.0) == printed("0.9375")
    assert aspect_factor(96.0, 48.0) == 1.0


@pytest.mark.parametrize(
    ("field", "studs", "Cub"),
    [(6.0, 12.0, "1.0"), (6.0, 16.0, "0.8"), (6.0, 20.0, "0.6"), (6.0, 24.0, "0.5"), (12.0, 12.0, "0.8"),
     (12.0, 16.0, "0.6"), (12.0, 20.0, "0.5"), (12.0, 24.0, "0.4")],
)  # fmt: skip
def test_edges_not_blocked_from_memory(field, studs, Cub):
    """Table 4.3.3.2, from memory."""
    nailing = Nailing("osb", 7 / 16, "8d common", 6.0, field_spacing=field, studs=studs)
    assert unblocked_factor(nailing) == printed(Cub)


@pytest.mark.parametrize(
    ("studs", "field", "thickness", "share"),
    [
        (16.0, 12.0, 7 / 16, 1.0), (24.0, 6.0, 7 / 16, 1.0), (24.0, 12.0, 15 / 32, 1.0), (24.0, 12.0, 7 / 16, 0.4),
        (25.0, 6.0, 15 / 32, 0.0), (16.0, 12.5, 15 / 32, 0.0),
    ],
)  # fmt: skip
def test_blocked_edges_too_keep_the_limits_of_studs_and_of_nails_between_from_memory(
    studs, field, thickness, share
):
    """4.3.7.1, from memory: studs at 24 in, nails at 12; 7/16 on studs at 24 in at 6, else as if not blocked (0.4)."""
    whole = sheathed(blocked(thickness))
    found = sheathed(
        Nailing("osb", thickness, "8d common", 6.0, field, blocked=True, studs=studs, gravity=0.5)
    )
    assert found.shear == pytest.approx(share * whole.shear, abs=1e-9)
    assert found.most_aspect == (2.0 if share == 0.4 else 3.5)
    assert found.counts(96.0, 96.0) == (share > 0.0)


def test_least_length_by_height():
    """Table 4.3.3: 3.5 where edges are blocked, 2 where they are not."""
    closed, open_edges = sheathed(blocked()), sheathed(Nailing("osb", 7 / 16, "8d common", 6.0, studs=16.0))
    assert closed.counts(96.0, 96.0 / 3.5)
    assert not closed.counts(96.0, 27.0)
    assert open_edges.counts(96.0, 48.0)
    assert not open_edges.counts(96.0, 47.0)


def test_green_framing_by_hand():
    """0.7 of the strength (NDS table 11.3.3); half the stiffness (table 4.3A note, from memory)."""
    green = sheathed(blocked(green=True))
    assert green.shear == pytest.approx(335.0 * 0.7, abs=1e-9)
    assert green.stiffness == pytest.approx(7.5, abs=1e-9)


def test_wider_edges_and_lighter_nails_count_by_what_they_are_worth():
    """No clause: 6/s of the row at 6 in, and what one nail holds beside an 8d common, at most one."""
    wide = sheathed(blocked(spacing=12.0))
    assert (wide.shear, wide.stiffness) == (pytest.approx(335.0 / 2, abs=1e-9), pytest.approx(7.5, abs=1e-9))
    light = sheathed(blocked(nail="gun nail 0.113x2-3/8", beside_8d=0.8))
    assert light.shear == pytest.approx(0.8 * 335.0, abs=1e-9)
    heavy = sheathed(blocked(nail="gun nail 0.162x3-1/2", beside_8d=1.4))
    assert heavy.shear == pytest.approx(335.0, abs=1e-9)
    assert sheathed(blocked(spacing=12.5)).shear == 0.0


def test_closer_never_holds_less_and_what_the_table_has_not_is_worth_nothing():
    shears = [sheathed(blocked(spacing=s)).shear for s in (12.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.0)]
    assert shears == sorted(shears)
    assert sheathed(blocked(thickness=0.25)).shear == 0.0
    assert not sheathed(blocked(thickness=0.25)).counts(96.0, 96.0)


def test_the_basis_gives_it():
    assert IN_USE.sheathed(blocked()).strength(96.0, 96.0) == printed("2680")


# Decks, edges not blocked, cases 2 to 6: allowable, before the 40% for wind; IBC 2009 table 2306.2.1, from memory.
DECKS = {
    (3 / 8, "6d"): 125, (3 / 8, "8d"): 160, (7 / 16, "8d"): 170, (15 / 32, "8d"): 180, (15 / 32, "10d"): 190,
    (19 / 32, "10d"): 215,
}  # fmt: skip


def deck(thickness=23 / 32, nail="10d common", spacing=6.0, field=12.0, studs=16.0, **changed):
    return Nailing("osb", thickness, nail, spacing, field, studs=studs, **{"gravity": 0.5, **changed})


@pytest.mark.parametrize(("thickness", "nail"), DECKS)
def test_decks_are_those_of_the_building_code_and_40_percent_from_memory(thickness, nail):
    """Table 4.2C, both prints rounded to 5 lb/ft and both from memory."""
    found = deck_of(deck(thickness, f"{nail} common")).shear
    assert found == pytest.approx(1.4 * DECKS[thickness, nail], abs=1.25)


def test_a_deck_by_hand():
    """Green hem-fir, 0.43: 600 / 2 x 0.93 x 0.7 = 195.3 lb/ft; over 16 ft 3124.8 lb; no longer than 3 of its depth."""
    made = deck_of(deck(gravity=0.43, green=True))
    assert made.shear == printed("195.3")
    assert made.strength(192.0) == printed("3124.8")
    assert made.most_aspect == printed("3")


@pytest.mark.parametrize("wide", [{"spacing": 6.5}, {"field": 12.5}, {"studs": 25.0}, {"thickness": 5 / 16}])
def test_a_deck_nailed_wider_or_of_no_row_is_worth_nothing(wide):
    assert deck_of(deck(**wide)).shear == 0.0
    assert deck_of(deck(nail="gun nail 0.113x2-3/8", beside_8d=0.8)).shear == pytest.approx(
        0.8 * 252.5, abs=1e-9
    )
