"""What must hold for every stick, whatever the numbers."""

import itertools
import math

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from bracing.codes.nds import bending_and_axial as combined
from bracing.codes.nds import members as column
from bracing.codes.nds.adjusted import design_values
from bracing.codes.nds.braces import (
    Stick,
    Stiffener,
    brace_pull_capacity,
    brace_push_capacity,
    built_up_section,
    stiffened_push_capacity,
)
from bracing.codes.nds.tees import BuiltUp, Part, connection_efficiency, coupling, stiffness
from bracing.codes.sticks import DesignValues
from bracing.errors import MissingDataError
from bracing.job import lumber
from bracing.job.lumber import Section, section

SIZES = st.sampled_from(("2x4", "2x6", "2x8", "4x4", "2-2x6"))
SPECIES = st.sampled_from(("DFL", "hem-fir", "SPF", "SPF-S"))
STRESSES = st.floats(10.0, 5000.0)


@st.composite
def sticks(draw, lies=("lapped", "flat")):
    size = draw(SIZES)
    made = Stick(
        section=section(size),
        length=draw(st.floats(48.0, 288.0)),
        angle=draw(st.floats(math.radians(25.0), math.radians(65.0))),
        weight_per_inch=section(size).area * draw(st.floats(0.0, 0.035)),
        ties=draw(st.integers(0, 2)),
        lie=draw(st.sampled_from(lies)),
        eccentricity=draw(st.none() | st.floats(0.0, 1.5)),
    )
    return made, design_values(
        draw(SPECIES), draw(st.sampled_from(("No.1", "No.2", "No.3"))), size, wet=draw(st.booleans())
    )


def push(stick, values):
    return brace_push_capacity(stick, values).capacity_lb


def pull(stick, values):
    return brace_pull_capacity(stick, values).capacity_lb


def no_more(less, more):
    """Less is at most more, but for the last digits of the halving."""
    return less <= more * (1.0 + 1e-9) + 1e-9


@given(STRESSES, st.floats(1.0, 1e5))
def test_cp_is_over_0_and_at_most_1_and_under_euler(Fc_star, FcE):
    CP = column.column_stability_factor(Fc_star, FcE)
    assert 0.0 < CP <= 1.0
    assert CP * Fc_star < FcE


@given(STRESSES, st.floats(1.0, 1e5), st.floats(0.001, 1000.0))
def test_cp_knows_no_units(Fc_star, FcE, unit):
    scaled = column.column_stability_factor(Fc_star * unit, FcE * unit)
    assert scaled == pytest.approx(column.column_stability_factor(Fc_star, FcE), rel=1e-9)


@given(sticks(), st.floats(1.01, 1.5))
def test_capacity_falls_with_length(made, longer):
    stick, values = made
    long = evolve(stick, length=stick.length * longer)
    assert no_more(push(long, values), push(stick, values))
    assert no_more(pull(long, values), pull(stick, values))


@given(sticks(), st.integers(1, 3))
def test_a_tie_never_lowers(made, more):
    stick, values = made
    tied = evolve(stick, ties=stick.ties + more)
    assert no_more(push(stick, values), push(tied, values))
    assert no_more(pull(stick, values), pull(tied, values))


@given(sticks(), st.floats(0.01, 2.0))
def test_off_centre_never_raises(made, farther):
    stick, values = made
    off = evolve(stick, eccentricity=stick.lap + farther)
    assert no_more(push(off, values), push(stick, values))
    assert no_more(pull(off, values), pull(stick, values))


@given(sticks(), st.floats(1.01, 3.0))
def test_own_weight_never_helps(made, heavier):
    stick, values = made
    heavy = evolve(stick, weight_per_inch=stick.weight_per_inch * heavier)
    assert no_more(push(heavy, values), push(stick, values))
    assert no_more(pull(heavy, values), pull(stick, values))


@given(sticks(), st.floats(0.05, 1.0))
def test_a_hole_never_helps(made, hole):
    stick, values = made
    assert no_more(brace_pull_capacity(stick, values, holes=(hole,)).capacity_lb, pull(stick, values))


@pytest.mark.parametrize("wet", [False, True])
@pytest.mark.parametrize("species", lumber.species_names())
@pytest.mark.parametrize("size", ["2x4", "2x6", "2x8", "2x10", "2x12"])
def test_a_better_grade_is_never_lower(size, species, wet):
    """Green, the published wet factors spare low values; grades on two sides of that step are left out."""
    found = []
    for name in ("Select Structural", "No.1 & Better", "No.1", "No.2", "No.3"):
        try:
            found.append([design_values(species, name, size, wet=moisture) for moisture in (wet, False)])
        except MissingDataError:
            continue
    assert len(found) >= 2
    stick = Stick(section=section(size), length=168.0, angle=0.785, weight_per_inch=0.15, ties=1)
    for (better, dry_better), (worse, dry_worse) in itertools.pairwise(found):
        same_step = all(
            getattr(better, value) / getattr(dry_better, value)
            == pytest.approx(getattr(worse, value) / getattr(dry_worse, value), abs=1e-9)
            for value in ("Fb", "Fc")
        )
        if same_step:
            assert no_more(push(stick, worse), push(stick, better))
            assert no_more(pull(stick, worse), pull(stick, better))


def test_the_published_wet_step_can_put_a_better_grade_lower():
    """Hem-fir 2x10: No.1 & Better, 1210 psi, loses 15%; No.1, 1072.5 psi, is under 1150 and keeps it all."""
    better, worse = (
        design_values("hem-fir", name, "2x10", wet=True, load_duration=1.0)
        for name in ("No.1 & Better", "No.1")
    )
    assert (better.Fb, worse.Fb) == pytest.approx((1028.5, 1072.5), abs=1e-9)


@given(SIZES, SPECIES, st.sampled_from(("Select Structural", "No.1", "No.2", "No.3")))
def test_dry_is_never_under_wet(size, species, grade):
    dry, wet = (design_values(species, grade, size, wet=moisture) for moisture in (False, True))
    for name in ("Fb", "Fb_flat", "Ft", "Fv", "Fc_perp", "Fc", "E", "Emin"):
        assert getattr(wet, name) <= getattr(dry, name)
    stick = Stick(section=section(size), length=160.0, angle=0.785, weight_per_inch=0.15, ties=1)
    assert no_more(push(stick, wet), push(stick, dry))


@given(sticks())
def test_a_centred_weightless_brace_is_the_plain_column(made):
    stick, values = made
    plain = evolve(stick, eccentricity=0.0, weight_per_inch=0.0)
    answer = brace_push_capacity(plain, values)
    worst = max(answer.slenderness_strong, answer.slenderness_weak)
    by_column = column.column_stress(values.Fc, column.euler_stress(values.Emin, worst)) * stick.section.area
    by_column *= worst <= column.LIMIT_DURING_CONSTRUCTION
    assert answer.capacity_lb == pytest.approx(by_column, rel=1e-9, abs=1e-9)


@given(
    st.floats(0.0, 100.0),
    st.floats(0.0, 900.0),
    st.floats(0.0, 900.0),
    st.floats(150.0, 3000.0),
    st.floats(150.0, 3000.0),
)
def test_15_4_1_without_eccentricity_is_3_9_3(fc, fb1, fb2, FcE1, FcE2):
    axes = combined.AxisStrength(Fb=1500.0, FcE=FcE1), combined.AxisStrength(Fb=1800.0, FcE=FcE2)
    rooms = 1.0 - fc / FcE1, 1.0 - fc / FcE2 - (fb1 / 2000.0) ** 2
    plain = (fc / 300.0) ** 2 + fb1 / (1500.0 * rooms[0]) + fb2 / (1800.0 * rooms[1])
    plain = plain if min(rooms) > 0.0 else math.inf
    eccentric = combined.eccentric_column(fc, (fb1, fb2), (0.0, 0.0), Fc=300.0, axes=axes, FbE=2000.0)
    assert eccentric == pytest.approx(plain, rel=1e-12)


@given(st.floats(0.0, 0.98), st.floats(0.0, 6.0), st.sampled_from((0, 1)))
def test_15_4_1_stands_for_the_secant_formula(share, ratio, axis):
    """An eccentric elastic column bends as sec(pi/2 sqrt(P/PE)); (1 + 0.234 x)/(1 - x) within 3.2%."""
    Fb, FcE = 1500.0, 400.0
    fc = share * FcE
    axes = (combined.AxisStrength(Fb=Fb, FcE=FcE),) * 2
    eccentric = (ratio, 0.0) if axis == 0 else (0.0, ratio)
    both = combined.eccentric_column(fc, (0.0, 0.0), eccentric, Fc=350.0, axes=axes, FbE=math.inf)
    bending = both - (fc / 350.0) ** 2
    secant = fc * ratio / Fb / math.cos(math.pi / 2.0 * math.sqrt(share))
    assert bending == pytest.approx(secant, rel=0.032, abs=1e-9)


@pytest.mark.parametrize("axis", [0, 1])
def test_15_4_1_bends_an_eccentric_column_as_theory_does_from_the_first_pound(axis):
    """sec(pi/2 sqrt(x)) is 1 + (pi^2/8) x for a small x, and (1 + k x)/(1 - x) is 1 + (1 + k) x: k = 0.234."""
    x, FcE = 1e-6, 400.0
    axes = (combined.AxisStrength(Fb=1500.0, FcE=FcE),) * 2
    eccentric = (3.0, 0.0) if axis == 0 else (0.0, 3.0)
    both = combined.eccentric_column(x * FcE, (0.0, 0.0), eccentric, Fc=350.0, axes=axes, FbE=math.inf)
    grown = (both - (x * FcE / 350.0) ** 2) / (x * FcE * 3.0 / 1500.0)
    assert (grown - 1.0) / x == pytest.approx(math.pi**2 / 8.0, abs=5e-4)


@given(sticks())
def test_the_capacity_passes_no_part_of_its_ratio(made):
    """Thrust and lap about the weak axis, own weight left out, are never over by themselves."""
    stick, values = made
    N = push(stick, values)
    if N == 0.0:
        return
    strong, weak = stick.unbraced[0] / stick.section.width, stick.unbraced[1] / stick.section.thickness
    Fc = column.column_stress(values.Fc, column.euler_stress(values.Emin, max(strong, weak)))
    fc = N / stick.section.area
    lap = fc * 6.0 * stick.lap / stick.section.thickness
    room = 1.0 - fc / column.euler_stress(values.Emin, weak)
    assert (fc / Fc) ** 2 + lap / (values.Fb_flat * room) <= 1.0 + 1e-9


def scaled(made, *, inch, pound):
    """The same brace in other units."""
    stick, values = made
    psi = pound / inch**2
    own = stick.section
    return (
        Stick(
            section=Section(own.name, own.thickness * inch, own.width * inch, own.plies),
            length=stick.length * inch,
            angle=stick.angle,
            weight_per_inch=stick.weight_per_inch * pound / inch,
            ties=stick.ties,
            lie=stick.lie,
            eccentricity=stick.lap * inch,
        ),
        DesignValues(
            **{
                name: getattr(values, name) * psi
                for name in ("Fb", "Fb_flat", "Ft", "Fv", "Fc_perp", "Fc", "E", "Emin")
            },
            G=values.G,
            source=values.source,
        ),
    )


@given(sticks())
def test_metric_gives_the_same_brace(made):
    metric = scaled(made, inch=25.4, pound=4.4482216152605)
    assert push(*metric) == pytest.approx(4.4482216152605 * push(*made), rel=1e-9, abs=1e-9)
    assert pull(*metric) == pytest.approx(4.4482216152605 * pull(*made), rel=1e-9, abs=1e-9)


@given(sticks(), st.floats(0.0, 20_000.0), st.floats(3.0, 24.0))
def test_a_stiffener_never_lowers(made, K, spacing):
    stick, values = made
    stiffener = Stiffener(section=section("2x4"), slip_modulus=K, spacing=spacing)
    assert no_more(
        push(stick, values), stiffened_push_capacity(stick, values, stiffener=stiffener).capacity_lb
    )


@given(sticks(), st.floats(0.0, 20_000.0), st.floats(1.1, 4.0))
def test_more_fasteners_make_a_t_less_slender(made, K, fewer):
    stick, values = made
    many = Stiffener(section=section("2x4"), slip_modulus=K, spacing=6.0)
    few = evolve(many, spacing=6.0 * fewer)
    a, b = (stiffness(built_up_section(stick, each, values))[0] for each in (few, many))
    assert a <= b * (1.0 + 1e-12)


@given(
    st.floats(0.0, 1.0),
    st.tuples(st.floats(0.5, 4.0), st.floats(0.5, 12.0)),
    st.tuples(st.floats(0.5, 4.0), st.floats(0.5, 12.0)),
    st.floats(0.5, 1.5),
)
def test_gamma_method_is_annex_b(gamma, one, two, softer):
    """(EI)ef = sum Ei Ii + gi Ei Ai ai^2; a2 = g E1 A1 (h1 + h2)/(2 sum gi Ei Ai), a1 = (h1 + h2)/2 - a2."""
    E1, E2 = 1e6, 1e6 * softer
    (h1, b1), (h2, b2) = one, two
    A1, A2 = b1 * h1, b2 * h2
    a2 = gamma * E1 * A1 * (h1 + h2) / (2.0 * (gamma * E1 * A1 + E2 * A2))
    a1 = (h1 + h2) / 2.0 - a2
    annex = E1 * b1 * h1**3 / 12.0 + E2 * b2 * h2**3 / 12.0 + gamma * E1 * A1 * a1**2 + E2 * A2 * a2**2
    tee = BuiltUp(
        first=Part(E=E1, weak=h1, strong=b1),
        second=Part(E=E2, weak=h2, strong=b2),
        apart=(h1 + h2) / 2.0,
        gamma=gamma,
    )
    assert stiffness(tee)[0] == pytest.approx(annex, rel=1e-9)


@given(st.floats(1e6, 3e7), st.floats(3.0, 24.0), st.floats(100.0, 20_000.0), st.floats(48.0, 288.0))
def test_gamma_knows_no_units(EA, spacing, K, length):
    """In kilometres and giganewtons it is the same share."""
    km, GN = 0.0254e-3, 4.448e-9
    far = connection_efficiency(EA * GN, spacing=spacing * km, slip_modulus=K * GN / km, length=length * km)
    assert far == pytest.approx(
        connection_efficiency(EA, spacing=spacing, slip_modulus=K, length=length), rel=1e-9
    )


@given(st.floats(0.0, 1.0), st.floats(0.0, 0.5))
def test_a_better_connection_never_softens_a_t(gamma, more):
    tee = BuiltUp(
        first=Part(E=1e6, weak=1.5, strong=5.5),
        second=Part(E=1e6, weak=3.5, strong=1.5),
        apart=2.5,
        gamma=gamma,
    )
    better = evolve(tee, gamma=min(1.0, gamma + more))
    # One bit more of gamma moves the quotient by less than its own rounding, which may go either way.
    assert coupling(better) >= coupling(tee) * (1.0 - 1e-12)
    assert stiffness(better)[0] >= stiffness(tee)[0] * (1.0 - 1e-12)
