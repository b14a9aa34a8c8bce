"""The independent model against published and closed-form values: oil and geometry.

"Computed" marks a value that was not seen in print but computed from the cited algorithm by another
implementation, or in closed form.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial import ConvexHull, HalfspaceIntersection

from reference import Mesh, Oil, StrappingTable, box_volume_below, fluid, shapes, up_vector

LITRE = 1e-3
ATTITUDES = [(0.0, 0.0), (0.05, -0.03), (3.0, 0.0), (-8.0, 5.0), (15.0, -20.0), (60.0, 35.0), (0.0, 90.0)]


# -- oil -------------------------------------------------------------------------------------------

# API MPMS 11.1-2004 lubricating oils, 15 degC base; computed with another implementation of the
# published algorithm (no printed page was seen), six decimals.
VCF_AT = (0.0, 20.0, 40.0, 60.0, 80.0, 90.0, 100.0, 120.0, 150.0)
VCF = {
    820: (1.011443, 0.996168, 0.980754, 0.965215, 0.949567, 0.941705, 0.933821, 0.917992, 0.894122),
    850: (1.011041, 0.996303, 0.981436, 0.966453, 0.951367, 0.943788, 0.936188, 0.920931, 0.897921),
    870: (1.010788, 0.996388, 0.981865, 0.967231, 0.952497, 0.945096, 0.937675, 0.922776, 0.900307),
    880: (1.010666, 0.996429, 0.982072, 0.967606, 0.953043, 0.945728, 0.938392, 0.923666, 0.901459),
    890: (1.010547, 0.996469, 0.982274, 0.967973, 0.953576, 0.946345, 0.939094, 0.924537, 0.902585),
    900: (1.010430, 0.996508, 0.982472, 0.968332, 0.954097, 0.946948, 0.939779, 0.925388, 0.903685),
}


@pytest.mark.parametrize("density", sorted(VCF))
def test_volume_correction_grid(density: int) -> None:
    got = [fluid.volume_correction(density, t) for t in VCF_AT]
    np.testing.assert_allclose(got, VCF[density], rtol=0, atol=5.1e-7)


# The same algorithm at its own 60 degF base; computed, six decimals.
@pytest.mark.parametrize(
    ("density", "temperature_f", "ctl"),
    [
        (880, 32, 1.011062),
        (880, 77, 0.993247),
        (880, 104, 0.982468),
        (880, 140, 0.968003),
        (880, 194, 0.946124),
        (880, 212, 0.938789),
        (880, 302, 0.901856),
        (850, 212, 0.936599),
        (900, 212, 0.940167),
    ],
)
def test_correction_at_60_f_base(density: float, temperature_f: float, ctl: float) -> None:
    assert fluid.ctl_60(density, (temperature_f - 32) / 1.8) == pytest.approx(ctl, abs=5.1e-7)


def test_60_f_on_the_old_scale() -> None:
    """API MPMS 11.1-2004 section 11.1.6 prints 60 degF (ITS-90) as 60.0068749 degF (IPTS-68)."""
    assert fluid.ipts68_f((60 - 32) / 1.8) == pytest.approx(60.0068749, abs=5e-8)


def test_base_conversion() -> None:
    """Density at 60 degF of an oil of 880 kg/m3 at 15 degC: 879.6512 (computed)."""
    assert fluid.density_60f(880.0) == pytest.approx(879.6512, abs=5e-5)


@pytest.mark.parametrize(("temperature_c", "measured"), [(0.0, 868.2), (5.0, 865.0)])
def test_measured_oil(temperature_c: float, measured: float) -> None:
    """NOAA oil database, record EC03097, lubricating oil, 858.7 kg/m3 at 15 degC; 0.15 kg/m3 is the
    scatter of the three measured values about the law."""
    oil = Oil(858.7, 100.0, 12.0)
    assert oil.density(temperature_c) == pytest.approx(measured, abs=0.15)


# ASTM D341 through two points; computed. kv40, kv100: A, B, kv at -20, 0, 20, 60, 80, 150 degC.
D341 = {
    (32, 5.4): (9.53082, 3.74658, 2291.47, 336.000, 86.2779, 15.1859, 8.5332, 2.3922),
    (46, 6.8): (9.41799, 3.68444, 4517.84, 577.321, 133.838, 20.6227, 11.1026, 2.8529),
    (68, 8.6): (9.37781, 3.65169, 9864.99, 1060.35, 216.858, 28.4917, 14.5857, 3.3915),
    (70, 11.1): (8.03279, 3.11159, 3843.58, 674.628, 185.948, 32.8245, 18.0197, 4.6064),
    (90, 14.0): (7.65256, 2.94934, 4631.72, 849.185, 238.230, 42.0457, 22.9184, 5.6915),
    (220, 19.0): (8.82220, 3.38666, 65589.9, 5286.94, 852.075, 78.8199, 35.6046, 6.3074),
}


@pytest.mark.parametrize("kv", sorted(D341))
def test_viscosity_rows(kv: tuple[int, float]) -> None:
    a, b, *rows = D341[kv]
    assert fluid.walther_constants(*kv) == pytest.approx((a, b), abs=5.1e-6)
    got = [fluid.kinematic_viscosity(*kv, t) for t in (-20, 0, 20, 60, 80, 150)]
    np.testing.assert_allclose(got, rows, rtol=2e-5)  # the rows carry five or six digits


def test_viscosity_worksheet() -> None:
    """A public worksheet on D341 prints A = 9.5259, B = 3.7449 and 8.5 mm2/s at 80 degC for the oil
    32 / 5.4, with T = t + 273."""
    assert fluid.walther_constants(32, 5.4, zero_c=273.0) == pytest.approx((9.5259, 3.7449), abs=5.1e-5)
    assert fluid.kinematic_viscosity(32, 5.4, 80, zero_c=273.0) == pytest.approx(8.5, abs=0.05)


@pytest.mark.parametrize(("kv", "back"), [(0.21, 0.209973), (0.5, 0.500055), (1.0, 0.999949), (2.0, 2.000172)])
def test_low_viscosity_inverse(kv: float, back: float) -> None:
    """Round trip through D341's two approximate forms (computed), to six decimals."""
    assert fluid.kinematic_viscosity(90.0, kv, 100.0) == pytest.approx(back, abs=5.1e-7)


# -- geometry --------------------------------------------------------------------------------------


def stepped() -> Mesh:
    return Mesh(*shapes.stepped((-0.15, -0.03), 0.15, -0.06, 0.05, 0.20))


def below_axis_point(mesh: Mesh, height: float, nose_up_deg: float) -> float:
    """Litres below the plane through (0, 0, height)."""
    up = up_vector(nose_up_deg)
    stand = mesh.stand(up)
    return stand.volume(height * up[2] - stand.lowest) / LITRE


# Box 0.30 x 0.20 x 0.10 m, surface through the axis at a height, tilted; closed form, computed.
@pytest.mark.parametrize(
    ("height", "tilt", "litres"),
    [
        (0.05, 0.0, 3.0),
        (0.05, 5.0, 3.0),
        (0.05, 30.0, 3.0),
        (0.02, 10.0, 1.223586979),
        (0.02, 15.0, 1.352167715),
        (0.08, 15.0, 4.647832285),
    ],
)
@pytest.mark.parametrize("side", [1, -1])
def test_tilted_box_rows(height: float, tilt: float, litres: float, side: int) -> None:
    box = Mesh(*shapes.box(0.30, 0.20, 0.10))
    assert below_axis_point(box, height, side * tilt) == pytest.approx(litres, abs=5.1e-10)


# Well x in [-0.15, -0.03] with its floor at -0.06, shelf floor 0, cap 0.05, width 0.20 m; closed
# form, computed. There the surface rises towards +x at a positive tilt: nose down in this frame.
@pytest.mark.parametrize(
    ("height", "tilt", "litres"),
    [
        (0.03, 0.0, 3.24),
        (0.03, 10.0, 3.216413021),
        (0.03, -10.0, 3.216413021),
        (0.02, 15.0, 2.601229744),
        (0.02, -15.0, 2.753397460),
        (0.0, 0.0, 1.44),
        (-0.02, 0.0, 0.96),
    ],
)
def test_stepped_sump_rows(height: float, tilt: float, litres: float) -> None:
    assert below_axis_point(stepped(), height, -tilt) == pytest.approx(litres, abs=5.1e-10)


def test_obelisk() -> None:
    """Prismatoid 0.30 x 0.20 to 0.26 x 0.15 m, 0.09 m high: 4.425 L exactly; its lower parts by the
    prismatoid rule h (A1 + 4 Am + A2) / 6, exact for a quadratic section."""
    vertices, faces = shapes.frustum((0.30, 0.20), (0.26, 0.15), 0.09)
    mesh = Mesh(vertices, faces)
    assert mesh.capacity == pytest.approx(0.004425, rel=1e-14)

    def area(z: float) -> float:
        return (0.30 - 0.04 * z / 0.09) * (0.20 - 0.05 * z / 0.09)

    stand = mesh.stand(up_vector())
    for h in (1e-6, 0.01, 0.05, 0.0899):
        rule = h * (area(0.0) + 4 * area(h / 2) + area(h)) / 6
        assert stand.volume(h) == pytest.approx(rule, rel=1e-11)


@pytest.mark.parametrize("attitude", ATTITUDES)
def test_box_against_closed_form(attitude: tuple[float, float]) -> None:
    size = (0.31, 0.23, 0.12)
    up = up_vector(*attitude)
    stand = Mesh(*shapes.box(*size)).stand(up)
    loss = 1e-15 / np.prod([n for n in np.abs(up) if n > 0])  # conditioning of the closed form
    for share in (0.001, 0.01, 0.1, 0.3, 0.5, 0.77, 0.99):
        level = share * stand.span
        closed = box_volume_below(size, up, level)
        assert stand.volume(level) == pytest.approx(closed, rel=1e-9, abs=loss * stand.capacity)


@pytest.mark.parametrize("attitude", ATTITUDES[2:6])
def test_two_boxes_make_a_stepped_sump(attitude: tuple[float, float]) -> None:
    """Well and upper part, each by the closed form of a box with its own lowest corner."""
    up = up_vector(*attitude)
    stand = stepped().stand(up)
    parts = [((0.12, 0.20, 0.06), (-0.09, 0.0, -0.03)), ((0.30, 0.20, 0.05), (0.0, 0.0, 0.025))]
    for share in (0.02, 0.2, 0.4, 0.6, 0.9):
        level = share * stand.span
        total = 0.0
        for size, middle in parts:
            low = np.dot(up, middle) - np.dot(np.abs(up), size) / 2
            total += box_volume_below(size, up, stand.lowest + level - low)
        assert stand.volume(level) == pytest.approx(total, rel=1e-10)


@pytest.mark.parametrize("attitude", ATTITUDES)
def test_convex_sump_against_halfspaces(attitude: tuple[float, float]) -> None:
    """A wedge cut by the plane as an intersection of half-spaces (scipy.spatial, Qhull)."""
    outline = [(-0.15, 0.04), (0.15, 0.0), (0.15, 0.12), (-0.15, 0.12)]
    mesh = Mesh(*shapes.prism(outline, "y", -0.1, 0.1))
    up = up_vector(*attitude)
    stand = mesh.stand(up)
    walls = ConvexHull(mesh.vertices).equations
    for share in (0.3, 0.6, 0.9):
        level = share * stand.span
        cut = np.vstack([walls, [*up, -(stand.lowest + level)]])
        lowest = mesh.vertices[np.argmin(mesh.vertices @ up)]
        inside = lowest + 0.15 * (mesh.vertices.mean(axis=0) - lowest)
        corners = HalfspaceIntersection(cut, inside).intersections
        assert stand.volume(level) == pytest.approx(ConvexHull(corners).volume, rel=1e-9)


def test_cylinders() -> None:
    """Upright r = 0.10 m, H = 0.20 m, and lying r = 0.125 m, L = 0.30 m; closed forms, computed.

    An inscribed polygon of n sides holds sin(w)/w of the circle, w = 2 pi / n; 1e-4 is allowed on
    partly filled bodies, where the lost slivers do not scale with the volume.
    """
    n = 360
    circle = [(math.cos(2 * math.pi * i / n), math.sin(2 * math.pi * i / n)) for i in range(n)]
    facets = math.sin(2 * math.pi / n) / (2 * math.pi / n)
    upright = Mesh(*shapes.prism([(0.1 * x, 0.1 * y) for x, y in circle], "z", 0.0, 0.2))
    for tilt in (0.0, 10.0, 30.0):
        assert below_axis_point(upright, 0.08, tilt) == pytest.approx(2.5132741229 * facets, rel=1e-9)
    assert below_axis_point(upright, 0.1, 60.0) == pytest.approx(3.1415926536 * facets, rel=1e-9)
    assert below_axis_point(upright, 0.01, 10.0) == pytest.approx(0.3297699775, rel=2e-4)
    assert below_axis_point(upright, 0.0, 20.0) == pytest.approx(0.2426468228, rel=2e-4)
    lying = Mesh(*shapes.prism([(0.125 * x, 0.125 * y + 0.125) for x, y in circle], "y", -0.15, 0.15))
    # fluids.geometry 1.3.1, TANK(D=0.25, L=0.30, horizontal), outputs of the library.
    rows = {
        0.05: 2.0966963343825576,
        0.08: 4.062495019758597,
        0.125: 7.363107781851078,
        0.2: 12.629519219319599,
    }
    for h, litres in rows.items():
        assert lying.stand(up_vector()).volume(h) / LITRE == pytest.approx(litres, rel=1.5e-4)
    up = up_vector(0.0, 20.0)
    stand = lying.stand(up)
    half = stand.volume(float(np.dot(up, (0, 0, 0.125))) - stand.lowest) / LITRE
    assert half == pytest.approx(7.3631077818511 * facets, rel=1e-9)


@pytest.mark.parametrize("attitude", ATTITUDES)
def test_inverse(attitude: tuple[float, float]) -> None:
    stand = stepped().stand(up_vector(*attitude))
    for share in (1e-9, 1e-4, 0.1, 0.4, 0.8, 1 - 1e-6):
        volume = share * stand.capacity
        assert stand.volume(stand.level(volume)) == pytest.approx(volume, rel=1e-11, abs=1e-16 * stand.capacity)
    assert stand.level(0.0) == 0.0
    assert stand.level(2 * stand.capacity) == stand.span


@pytest.mark.parametrize("attitude", ATTITUDES)
def test_air_and_liquid_fill_the_sump(attitude: tuple[float, float]) -> None:
    up = up_vector(*attitude)
    mesh = stepped()
    liquid, air = mesh.stand(up), mesh.stand(-up)
    for share in (0.05, 0.3, 0.7):
        level = share * liquid.span
        both = liquid.volume(level) + air.volume(liquid.span - level)
        assert both == pytest.approx(mesh.capacity, rel=1e-13)


def test_turning_mesh_and_up_together() -> None:
    rng = np.random.default_rng(3)
    turn, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    turn *= np.linalg.det(turn)
    mesh = stepped()
    moved = Mesh(mesh.vertices @ turn.T + rng.normal(size=3), mesh.faces)
    up = up_vector(7.0, -4.0)
    assert moved.stand(turn @ up).volume(0.04) == pytest.approx(mesh.stand(up).volume(0.04), rel=1e-12)


def test_up_vector() -> None:
    """ISO 8855 axes: nose up leans *up* forwards, right side down leans it to the left."""
    assert up_vector() == pytest.approx([0, 0, 1])
    assert up_vector(90.0, 0.0) == pytest.approx([1, 0, 0])
    assert up_vector(0.0, 90.0) == pytest.approx([0, 1, 0])
    assert np.linalg.norm(up_vector(13.0, -31.0)) == pytest.approx(1.0)


def test_open_and_inside_out_meshes_are_refused() -> None:
    vertices, faces = shapes.box(0.3, 0.2, 0.1)
    with pytest.raises(ValueError, match="not closed"):
        Mesh(vertices, faces[:-1])
    with pytest.raises(ValueError, match="outwards"):
        Mesh(vertices, [f[::-1] for f in faces])


def test_strapping_table() -> None:
    table = StrappingTable([0.0, 0.05, 0.1], [0.0, 0.002, 0.006]).stand(up_vector())
    assert table.volume(0.075) == pytest.approx(0.004)
    assert table.level(0.001) == pytest.approx(0.025)
    with pytest.raises(ValueError, match="level ground"):
        table.stand(up_vector(1.0))
    with pytest.raises(ValueError, match="must rise"):
        StrappingTable([0.0, 0.1, 0.1], [0.0, 0.1, 0.2])


def test_surrounds() -> None:
    # A box by its sides, and an L by its outline: points well inside, well outside and in the notch.
    mesh = Mesh(*shapes.box(2.0, 1.0, 1.0))
    random = np.random.default_rng(3)
    for point in random.uniform(-1.5, 1.5, size=(500, 3)):
        inside = abs(point[0]) < 1.0 and abs(point[1]) < 0.5 and 0.0 < point[2] < 1.0
        assert mesh.surrounds(point) == inside
    outline = [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (1.0, 1.0), (1.0, 2.0), (0.0, 2.0)]
    angle = Mesh(*shapes.prism(outline, "z", 0.0, 1.0))
    assert angle.surrounds([0.5, 1.5, 0.5])
    assert angle.surrounds([1.5, 0.5, 0.5])
    assert not angle.surrounds([1.5, 1.5, 0.5])
