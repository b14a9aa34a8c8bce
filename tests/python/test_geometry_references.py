"""Volumes below a plane against two general mesh tools, and tanks against published formulas, run side by side.

trimesh (MIT) cuts the solid and caps the cut; manifold3d (Apache 2.0) intersects it with a half-space. Neither shares
an idea with the sum over triangles that is tested here.
"""

import math

import fillmark as fm
import manifold3d
import numpy as np
import pytest
import trimesh
from fluids import geometry as tanks


def random_body(seed):
    """Return a closed star-shaped body: a sphere of radius 150 mm with its vertices moved in and out [mm]."""
    rng = np.random.default_rng(seed)
    sphere = trimesh.creation.icosphere(subdivisions=2, radius=150.0)
    stretch = np.array([1.0, 0.7, 0.5]) * (1.0 + 0.3 * rng.uniform(-1.0, 1.0, (len(sphere.vertices), 1)))
    return np.asarray(sphere.vertices) * stretch, np.asarray(sphere.faces), rng


@pytest.mark.parametrize("seed", range(12))
def test_random_bodies_at_random_attitudes(seed):
    vertices, faces, rng = random_body(seed)
    sump = fm.Sump.from_mesh(vertices_mm=vertices, faces=faces)
    cutter = trimesh.Trimesh(vertices, faces, process=False)
    solid = manifold3d.Manifold(manifold3d.Mesh64(vert_properties=vertices, tri_verts=faces.astype(np.uint64)))
    capacity = sump.capacity_l
    assert cutter.volume / 1e6 == pytest.approx(capacity, rel=1e-12)
    for share in rng.uniform(0.02, 0.98, 3):
        here = fm.Attitude(nose_up_deg=rng.uniform(-60, 60), right_down_deg=rng.uniform(-60, 60))
        up = np.array(here.up)
        level = share * sump.height_mm(attitude=here)
        offset = (vertices @ up).min() + level
        ours = sump.volume_l(level_mm=level, attitude=here)
        cut = cutter.slice_plane(offset * up, -up, cap=True).volume / 1e6
        trimmed = solid.trim_by_plane(tuple(-up), -offset).volume() / 1e6
        assert ours == pytest.approx(cut, abs=1e-6 * capacity)
        assert ours == pytest.approx(trimmed, abs=1e-6 * capacity)


@pytest.mark.parametrize("name", ["stepped_bus.stl"])
def test_a_drawn_sump_against_a_half_space(name):
    import importlib.resources

    sump = fm.Sump.from_stl(importlib.resources.files("fillmark") / "demo" / name)
    vertices, faces = sump.vertices_mm, sump.faces
    solid = manifold3d.Manifold(manifold3d.Mesh64(vert_properties=vertices, tri_verts=faces.astype(np.uint64)))
    here = fm.Attitude(nose_up_deg=3.0, right_down_deg=-2.0)
    up = np.array(here.up)
    level = 0.5 * sump.height_mm(attitude=here)
    trimmed = solid.trim_by_plane(tuple(-up), -((vertices @ up).min() + level)).volume() / 1e6
    assert sump.volume_l(level_mm=level, attitude=here) == pytest.approx(trimmed, abs=1e-6 * sump.capacity_l)


# D = 108 in, L = 156 in, a = 42 in, as in D. Jones, "Computing Fluid Tank Volumes"; results by fluids.geometry. Scaled
# to the size of a sump by 1/10, so inches become 2.54 mm.
SCALE = 2.54
ENDS = {
    "conical": (fm.End.conical(depth_mm=42 * SCALE), tanks.V_horiz_conical),
    "ellipsoidal": (fm.End.ellipsoidal(depth_mm=42 * SCALE), tanks.V_horiz_ellipsoidal),
    "spherical": (fm.End.spherical(depth_mm=42 * SCALE), tanks.V_horiz_spherical),
}


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("name", ENDS)
def test_lying_tanks(name, axis):
    end, formula = ENDS[name]
    # Such a function of fluids counts two ends.
    tank = fm.Sump.cylinder(diameter_mm=108 * SCALE, length_mm=156 * SCALE, axis=axis, ends=end)
    levels = np.array([6.0, 36.0, 54.0, 84.0, 105.0])
    want = [formula(108.0, 156.0, 42.0, h) * SCALE**3 / 1e6 for h in levels]
    assert tank.volume_l(level_mm=levels * SCALE) == pytest.approx(want, abs=1e-5 * tank.capacity_l)


@pytest.mark.parametrize("axis", ["x", "y"])
def test_lying_tank_with_torispherical_ends(axis):
    ends = fm.End.torispherical(crown=1.0, knuckle=0.06)
    tank = fm.Sump.cylinder(diameter_mm=108 * SCALE, length_mm=156 * SCALE, axis=axis, ends=ends)
    levels = np.array([36.0, 84.0])
    want = [tanks.V_horiz_torispherical(108.0, 156.0, 1.0, 0.06, h) * SCALE**3 / 1e6 for h in levels]
    assert tank.volume_l(level_mm=levels * SCALE) == pytest.approx(want, abs=1e-5 * tank.capacity_l)


UPRIGHT = {
    "conical": (fm.End.conical(depth_mm=33 * SCALE), tanks.V_vertical_conical),
    "ellipsoidal": (fm.End.ellipsoidal(depth_mm=33 * SCALE), tanks.V_vertical_ellipsoidal),
    "spherical": (fm.End.spherical(depth_mm=33 * SCALE), tanks.V_vertical_spherical),
}


@pytest.mark.parametrize("name", UPRIGHT)
def test_upright_tanks(name):
    end, formula = UPRIGHT[name]
    tank = fm.Sump.cylinder(diameter_mm=132 * SCALE, length_mm=100 * SCALE, ends=(end, fm.End.flat()))
    levels = np.array([12.0, 24.0, 60.0])
    want = [formula(132.0, 33.0, h) * SCALE**3 / 1e6 for h in levels]
    assert tank.volume_l(level_mm=levels * SCALE) == pytest.approx(want, abs=1e-5 * tank.capacity_l)


def test_two_to_one_is_a_quarter_of_the_diameter():
    usual = fm.Sump.cylinder(diameter_mm=200, length_mm=300, axis="x", ends=fm.End.ellipsoidal())
    # Two halves of an ellipsoid: 4/3 pi r^2 a.
    want = math.pi * 100**2 * (300 + 4 / 3 * 50) / 1e6
    assert usual.capacity_l == pytest.approx(want, rel=1e-5)
