"""Films: rows and scaling laws of the draining plate, floors, cooling, the stick."""

import fillmark as fm
import numpy as np
import pytest
from scipy import integrate

G = 9.80665


def since(seconds, nu):
    return fm.ReducedTime().after(seconds=seconds, kinematic_viscosity_mm2_s=nu)


# H. Jeffreys' film (1930), 0.15 m high and 1 m wide, computed independently with g = 9.80665 m/s2: viscosity [mm2/s],
# time [s], thickness at the lower edge and mean [um], volume [mL].
@pytest.mark.parametrize(("nu", "t", "edge", "mean", "ml"), [
    (10, 60, 50.4904994, 33.6603330, 5.04904994), (10, 600, 15.9664978, 10.6443319, 1.59664978),
    (10, 3600, 6.51829545, 4.34553030, 0.651829545), (100, 60, 159.664978, 106.443319, 15.9664978),
    (100, 600, 50.4904994, 33.6603330, 5.04904994), (100, 3600, 20.6126601, 13.7417734, 2.06126601),
    (500, 60, 357.021745, 238.014497, 35.7021745), (500, 600, 112.900189, 75.2667926, 11.2900189),
    (500, 3600, 46.0913092, 30.7275394, 4.60913092),
])  # fmt: skip
def test_rows(nu, t, edge, mean, ml):
    wall = fm.WallFilm(length_mm=150.0, width_mm=1000.0)
    s = since(t, nu)
    assert wall.thickness_um(150.0, s) == pytest.approx(edge, rel=4e-9)
    assert wall.mean_thickness_um(s) == pytest.approx(mean, rel=4e-9)
    assert wall.volume_l(s) * 1e3 == pytest.approx(ml, rel=4e-9)


def test_scaling_laws():
    # Of the same solution: V goes as time^-1/2, viscosity^1/2, height^3/2, width^1, (g sin slope)^-1/2.
    def volume(t=600.0, nu=100.0, height=150.0, width=1000.0, slope=90.0):
        return fm.WallFilm(length_mm=height, width_mm=width, slope_deg=slope).volume_l(since(t, nu))

    v = volume()
    assert volume(t=2400.0) == pytest.approx(v / 2, rel=1e-12)
    assert volume(nu=400.0) == pytest.approx(v * 2, rel=1e-12)
    assert volume(height=600.0) == pytest.approx(v * 8, rel=1e-12)
    assert volume(width=3000.0) == pytest.approx(v * 3, rel=1e-12)
    assert volume(slope=30.0) == pytest.approx(v * 2**0.5, rel=1e-12)


def test_a_film_of_limited_thickness_thins_from_the_top():
    # The thickness along the wall, integrated with SciPy, is the volume.
    wall = fm.WallFilm(length_mm=150.0, width_mm=1000.0, start_um=100.0)
    s = since(60.0, 100.0)
    integral, _ = integrate.quad(lambda z: wall.thickness_um(z, s), 0.0, 150.0, points=[58.8])
    assert wall.volume_l(s) == pytest.approx(integral * 1e-6, rel=1e-6)
    assert wall.thickness_um([150.0, 1.0], s)[0] == 100.0
    assert wall.volume_l(fm.ReducedTime()) == pytest.approx(0.015, rel=1e-12)


# Calculated from the same equation: 2 m2 of walls, 0.3 m high; mL after 1, 5, 20 and 60 min.
@pytest.mark.parametrize(("nu", "ml"), [(14.0, [113, 50, 25, 15]), (127.0, [339, 152, 76, 44])])
def test_walls_of_an_engine(nu, ml):
    walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
    oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=nu, kv100_mm2_s=nu / 4)
    got = walls.retained_l(minutes=[1.0, 5.0, 20.0, 60.0], fluid=oil, temperature_c=40.0) * 1e3
    np.testing.assert_allclose(got, ml, rtol=0, atol=0.65)


def test_a_film_does_not_grow_when_it_cools():
    # Calculated: 57 mL at 90 degC after 5 min. Drained on at 25 degC to 20 min it is 51 mL; with the
    # viscosity of the moment for the whole time it would be 94.
    walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
    oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    hot, cold = (oil.kinematic_viscosity_mm2_s(temperature_c=t) for t in (90.0, 25.0))
    early = fm.ReducedTime().after(minutes=5, kinematic_viscosity_mm2_s=hot)
    assert walls.volume_l(early) * 1e3 == pytest.approx(57.0, abs=0.6)
    late = early.after(minutes=15, kinematic_viscosity_mm2_s=cold)
    assert late > early
    assert walls.volume_l(late) * 1e3 == pytest.approx(51.0, abs=0.6)
    wrong = walls.volume_l(fm.ReducedTime().after(minutes=20, kinematic_viscosity_mm2_s=cold))
    assert wrong * 1e3 == pytest.approx(94.0, abs=0.6)
    assert wrong > walls.volume_l(early) > walls.volume_l(late)


def test_reduced_time_while_cooling():
    # Against SciPy's quadrature of dt/nu(T(t)) with Newton's law of cooling.
    oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)

    def rate(t):
        return 1e6 / oil.kinematic_viscosity_mm2_s(temperature_c=20.0 + 70.0 * np.exp(-t / 1800.0))

    want, _ = integrate.quad(rate, 0.0, 7200.0, epsrel=1e-11)
    got = fm.ReducedTime().after_cooling(
        hours=2, fluid=oil, from_c=90.0, surroundings_c=20.0, time_constant_minutes=30.0
    )
    assert got.s2_m2 == pytest.approx(want, rel=1e-8)
    walls = fm.WallFilm(length_mm=300.0, width_mm=2000.0)
    course = {"fluid": oil, "temperature_c": 90.0, "surroundings_c": 20.0, "time_constant_minutes": 30.0}
    falling = walls.retained_l(minutes=np.linspace(1.0, 600.0, 60), **course)
    assert (np.diff(falling) < 0.0).all()
    assert walls.retained_l(minutes=120.0, **course) == pytest.approx(walls.volume_l(got), rel=1e-12)


def test_floor():
    # Calculated: a level floor 300 x 220 mm, 65 mm2/s, 10 min: 1.07 mm, 71 mL.
    floor = fm.FloorFilm(length_mm=300.0, width_mm=220.0, lip_mm=0.0)
    assert floor.mean_thickness_um(since(600.0, 65.0)) == pytest.approx(1070.0, abs=5.0)
    assert floor.volume_l(since(600.0, 65.0)) * 1e3 == pytest.approx(71.0, abs=0.5)
    # The self-similar layer goes as time^-1/3.
    assert floor.volume_l(since(4800.0, 65.0)) == pytest.approx(floor.volume_l(since(600.0, 65.0)) / 2, rel=1e-12)


def test_floor_layer_by_finite_volumes():
    # dh/dt = (g/(3 nu)) d/dx(h^3 dh/dx) on 60 cells with SciPy's stiff solver, from 5 mm, no flow at the far side and
    # none left at the edge. The long-time law must be met; the grid is good to about 2 %.
    n, length, nu = 60, 0.3, 65e-6
    dx = length / n

    def slope(_, h):
        right = np.append(h[1:], 0.0)
        gap = np.append(np.full(n - 1, dx), dx / 2)
        # The mobility h^3 at a face: the mean of fourth powers' slope, exact for a linear profile of h^4.
        flux = (G / (3 * nu)) * (h**4 - right**4) / 4 / gap
        return -np.diff(np.insert(flux, 0, 0.0)) / dx

    end = integrate.solve_ivp(slope, (0.0, 3600.0), np.full(n, 5e-3), method="BDF", rtol=1e-6, atol=1e-9)
    floor = fm.FloorFilm(length_mm=300.0, width_mm=220.0, lip_mm=0.0)
    assert end.y[:, -1].mean() * 1e6 == pytest.approx(floor.mean_thickness_um(since(3600.0, 65.0)), rel=0.02)


def test_a_lip_holds_a_layer():
    floor = fm.FloorFilm(length_mm=300.0, width_mm=220.0)
    assert floor.mean_thickness_um(fm.ReducedTime(1e15)) == pytest.approx(500.0, abs=1.0)  # a judgement
    oil = fm.Fluid.oil(grade="10W-40")
    warm, cold = (floor.retained_l(minutes=10.0, fluid=oil, temperature_c=t) for t in (90.0, 0.0))
    assert cold > warm


# Computed: 0.087 Pa.s, 870 kg/m3, 0.030 N/m; speed [m/s], Landau-Levich and Derjaguin thickness [um].
@pytest.mark.parametrize(("speed", "capillary", "gravity"), [
    (1e-4, 7.7703, 31.933), (1e-3, 36.0666, 100.981), (1e-2, 167.406, 319.330),
])  # fmt: skip
def test_stick(speed, capillary, gravity):
    nu = 0.087 / 870.0 * 1e6
    same = fm.Fluid.table(temperature_c=[0.0, 100.0], density_kg_m3=[870.0, 870.0], kv40_mm2_s=nu, kv100_mm2_s=nu / 4)
    got = fm.withdrawal_film_um(same, temperature_c=40.0, speed_mm_s=speed * 1e3, surface_tension_n_m=0.030)
    assert got == pytest.approx(min(capillary, gravity), rel=1e-5)
    assert fm.capillary_length_mm(density_kg_m3=870.0) == pytest.approx(1.87517007, rel=1e-8)
