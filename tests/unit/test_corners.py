"""How a wall along itself gives at its corner: by hand, by SDPWS 4.3-1, and by laws."""

import numpy as np
import pytest

from bracing.chain.returns import both_ways, far_nail_pull, strap_pull
from bracing.panel.corners import Corner, Foot, Piece, fastener_places, turning_of_nails, turning_of_strap

PIECE = Piece(b=96.0, A=5.25, E=1.4e6, Ga=15.0, n=12.0, gamma=11_737.0, K=5.0e6)


def test_top_by_the_published_deflection():
    """SDPWS 4.3-1 in its own units: 8 v h^3/(E A b) + v h/(1000 Ga) + h da/b, v in lb/ft, h and b in ft."""
    V, h, b = 1000.0, 8.0, 8.0
    v = V / b
    uplift_slip = V * 96.0 * 96.0 / PIECE.K  # at the end of the wall, of a turn of V h / K
    printed = 8 * v * h**3 / (PIECE.E * PIECE.A * b) + v * h / (1000.0 * PIECE.Ga) + h * uplift_slip / b
    slides = V / (PIECE.n * PIECE.gamma)
    assert V * PIECE.give(96.0, 96.0) == pytest.approx(printed + slides, rel=1e-9)


def test_a_force_at_mid_height_by_statics():
    """A cantilever loaded at a is straight above it: f(a, h) = a^2 (3 h - a)/(6 E I); shear stops at a."""
    a, h, EI = 40.0, 96.0, 1.4e6 * 5.25 * 96.0**2 / 2.0
    by_hand = a**3 / (3 * EI) + a**2 / (2 * EI) * (h - a) + a / (15_000.0 * 96.0) + a * h / 5.0e6
    assert PIECE.give(a, h) == pytest.approx(by_hand + 1.0 / (12.0 * 11_737.0), rel=1e-12)


def test_two_alike_pieces_give_half_and_the_corner_stands_before_both():
    one, two = (Corner((48.0, 96.0), (PIECE,) * n, 12.0, 11_737.0) for n in (1, 2))
    slip = 2.0 / (12.0 * 11_737.0) * np.eye(2)
    assert two.flexibility() - slip == pytest.approx((one.flexibility() - slip) / 2.0, rel=1e-9)
    assert two.shares == pytest.approx(np.stack([np.eye(2) / 2.0] * 2), abs=1e-9)


def test_shares_of_unlike_pieces_make_the_whole():
    other = Piece(b=48.0, A=5.25, E=1.4e6, Ga=15.0, n=6.0, gamma=11_737.0, K=0.6e6)
    shares = Corner((48.0, 96.0), (PIECE, other), 12.0, 11_737.0).shares
    assert shares.sum(axis=0) == pytest.approx(np.eye(2), abs=1e-9)
    assert shares[0, 1, 1] > shares[1, 1, 1]  # the longer takes more


def test_every_flexibility_is_symmetric_and_holds_something():
    rng = np.random.default_rng(18)
    for _ in range(100):
        b, Ga, n, K = rng.uniform(30, 200), rng.uniform(3, 40), rng.integers(1, 30), 10.0 ** rng.uniform(3, 8)
        corner = Corner((48.0, 96.0), (Piece(b, 5.25, 1.2e6, Ga, float(n), 11_000.0, K),), 4.0, 11_000.0)
        found = corner.flexibility()
        assert found == pytest.approx(found.T, rel=1e-12)
        assert np.linalg.eigvalsh(found).min() > 0.0


def test_places_of_plate_fasteners_and_what_they_give():
    """8 ft at 8 in: 12 of them, 4 in to 92 in; the sum of squares is s^2 (4 n^3 - n)/12."""
    x = fastener_places(96.0, 8.0)
    assert (len(x), x[0], x[-1]) == (12, 4.0, 92.0)
    assert float((x**2).sum()) == pytest.approx(64.0 * (4 * 12**3 - 12) / 12.0, rel=1e-12)
    assert len(fastener_places(95.0, 8.0)) == 11
    assert len(fastener_places(7.0, 8.0)) == 0


def test_a_strap_and_a_row_turn_as_statics_says():
    """A turn of 1 rad draws a strap b - 1.5 in, and asks strap/slip lb of each inch; a nail rho times its lift."""
    assert turning_of_strap(1500.0, 0.125, 97.5) == pytest.approx(12_000.0 * 96.0 * 96.0, rel=1e-12)
    assert turning_of_nails(10_000.0, 600.0, 2.0) == pytest.approx(10_000.0 * 600.0 / 4.0, rel=1e-12)


def test_a_foot_holds_by_its_strap_or_by_its_nails_and_never_by_both():
    nails, strap = Foot(96.0, 8.0, 10_000.0), Foot(96.0, 8.0, 10_000.0, strap=1000.0)
    assert nails.turning == pytest.approx(10_000.0 * 64.0 * (4 * 12**3 - 12) / 12.0 / 4.0, rel=1e-12)
    assert strap.turning == pytest.approx(1000.0 / 0.125 * 94.5**2, rel=1e-12)
    assert Foot(7.0, 8.0, 10_000.0).turning == 0.0


def test_a_strap_and_the_last_nail_by_statics():
    """9600 lb in: on an arm of 94.5 in 101.59 lb; on the last of 12 nails 9600 x 92/36800 = 24 lb, twice drawn."""
    assert strap_pull(9600.0, 96.0) == pytest.approx(101.587, abs=1e-3)
    assert far_nail_pull(9600.0, 92.0, S=36800.0, rho=2.0) == pytest.approx(48.0, rel=1e-12)
    assert both_ways(30.0, 40.0) == pytest.approx(50.0, rel=1e-12)
