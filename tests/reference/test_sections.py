"""Sections against a general-purpose section library, and a slipping T against its exact solution."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from bracing.codes.nds.members import equivalent_depth, euler_stress, euler_stress_of_stiffness
from bracing.codes.nds.tees import (
    BuiltUp,
    Part,
    connection_efficiency,
    shift_of_thrust,
    stiffness,
    stress_per_moment,
)
from bracing.job.lumber import section

library = pytest.importorskip("sectionproperties.pre.library")
analysis = pytest.importorskip("sectionproperties.analysis")

PARTS = [("2x4", "2x4"), ("2x6", "2x4"), ("2x4", "2x6")]


def meshed(*rectangles, size=0.0):
    """Analyse rectangles (x, y, breadth, depth) joined as one."""
    shapes = [library.rectangular_section(d=d, b=b).shift_section(x, y) for x, y, b, d in rectangles]
    whole = shapes[0]
    for shape in shapes[1:]:
        whole = whole + shape
    whole.create_mesh(mesh_sizes=[size])
    result = analysis.Section(whole)
    result.calculate_geometric_properties()
    return result


def glued(brace, leg):
    """The built-up section with perfect fasteners, E = 1, and the same shape meshed (x weak, y strong)."""
    b, s = section(brace), section(leg)
    built = BuiltUp(
        first=Part(E=1.0, weak=b.thickness, strong=b.width),
        second=Part(E=1.0, weak=s.width, strong=s.thickness),
        apart=(b.thickness + s.width) / 2.0,
        gamma=1.0,
    )
    corner = b.width / 2.0 - s.thickness / 2.0
    return built, ((0.0, 0.0, b.thickness, b.width), (b.thickness, corner, s.width, s.thickness))


@pytest.mark.parametrize("size", ["1x4", "2x4", "2x6", "2x12", "4x4", "4x6"])
def test_single_stick(size):
    stick = section(size)
    mesh = meshed((0.0, 0.0, stick.thickness, stick.width))
    about_x, about_y, _ = mesh.get_ic()
    assert stick.area == pytest.approx(mesh.get_area(), rel=1e-9)
    assert stick.moment_of_inertia(strong=True) == pytest.approx(about_x, rel=1e-9)
    assert stick.moment_of_inertia(strong=False) == pytest.approx(about_y, rel=1e-9)
    assert stick.section_modulus(strong=True) == pytest.approx(mesh.get_z()[0], rel=1e-9)
    assert stick.section_modulus(strong=False) == pytest.approx(mesh.get_z()[2], rel=1e-9)


@pytest.mark.parametrize("size", ["2x4", "2x6", "4x6"])
def test_buckling_of_a_meshed_column(size):
    """Euler's stress by the mesh's radius of gyration; the published 0.822 is pi^2/12 less 0.06%."""
    stick = section(size)
    mesh = meshed((0.0, 0.0, stick.thickness, stick.width))
    Emin, length = 510_000.0, 84.0
    euler = math.pi**2 * Emin / (length / mesh.get_rc()[1]) ** 2
    ours = euler_stress(Emin, length / stick.thickness)
    assert ours == pytest.approx(euler, rel=0.0006)
    EI = Emin * mesh.get_ic()[1]
    assert euler_stress_of_stiffness(EI, mesh.get_area(), length) == pytest.approx(ours, rel=1e-9)
    assert equivalent_depth(EI, Emin, mesh.get_area()) == pytest.approx(stick.thickness, rel=1e-9)


@pytest.mark.parametrize(("brace", "leg"), PARTS)
def test_glued_t(brace, leg):
    built, rectangles = glued(brace, leg)
    mesh = meshed(*rectangles)
    about_x, about_y, product = mesh.get_ic()
    assert stiffness(built) == pytest.approx((about_y, about_x), rel=1e-9, abs=1e-9)
    assert product == pytest.approx(0.0, abs=1e-9)
    # The common centre lies that far from the brace's own.
    centre = mesh.get_c()
    own = section(brace).thickness / 2.0, section(brace).width / 2.0
    shift = centre[0] - own[0], centre[1] - own[1]
    assert (shift_of_thrust(built), 0.0) == pytest.approx(shift, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("brace", "leg"), PARTS)
@pytest.mark.parametrize("way", [0, 1])
def test_stress_in_a_glued_t_at_every_corner(brace, leg, way):
    """Ours is the greatest stress at any corner, by the mesh's centre and moments of inertia."""
    built, rectangles = glued(brace, leg)
    mesh = meshed(*rectangles)
    about_x, about_y, product = mesh.get_ic()
    centre = mesh.get_c()
    weak, strong = (1.0, 0.0) if way == 0 else (0.0, 1.0)
    k = np.linalg.solve([[about_y, product], [product, about_x]], [weak, strong])
    corners = np.array([(x + i * b, y + j * d) for x, y, b, d in rectangles for i in (0, 1) for j in (0, 1)])
    by_mesh = np.abs((corners - centre) @ k).max()
    assert stress_per_moment(built)[way] == pytest.approx(by_mesh, rel=1e-9)


@pytest.mark.parametrize(("brace", "leg"), PARTS)
def test_stress_in_a_glued_t(brace, leg):
    built, rectangles = glued(brace, leg)
    _, _, about_y_plus, about_y_minus = meshed(*rectangles).get_z()
    greatest = 1.0 / min(about_y_plus, about_y_minus)
    assert stress_per_moment(built)[0] == pytest.approx(greatest, rel=1e-9)


@pytest.mark.parametrize("slip", [500.0, 3_000.0, 20_000.0])
def test_thrust_on_one_part_bends_a_slipping_t(slip):
    """Exact first-order solution of two layers with slip, thrust on the first only, ends free to slide.

    The force F handed to the second layer obeys F(1/EA1 + 1/EA2 + r^2/sum EI) - (s/K) F'' = N/EA1, F = 0 at
    the ends, and bends both by F r. The one-harmonic answer, N gamma a1 on (EI)ef, is within 4% midway.
    """
    E, L, s, N = 500_000.0, 168.0, 8.0, 1000.0
    first = Part(E=E, weak=1.5, strong=3.5)
    second = Part(E=E, weak=3.5, strong=1.5)
    gamma = connection_efficiency(first.axial_stiffness, spacing=s, slip_modulus=slip, length=L)
    tee = BuiltUp(first=first, second=second, apart=2.5, gamma=gamma)
    EA1, EA2 = E * 5.25, E * 5.25
    EI = E * (3.5 * 1.5**3 + 1.5 * 3.5**3) / 12.0
    soft = 1.0 / EA1 + 1.0 / EA2 + 2.5**2 / EI
    rate = math.sqrt(slip / s * soft)

    def curvature(x):
        handed = N / EA1 / soft * (1.0 - math.cosh(rate * (x - L / 2.0)) / math.cosh(rate * L / 2.0))
        return handed * 2.5 / EI

    exact, _ = quad(lambda x: x * curvature(x), 0.0, L / 2.0)
    ours = N * shift_of_thrust(tee) * L**2 / (8.0 * stiffness(tee)[0])
    assert ours == pytest.approx(exact, rel=0.04)
