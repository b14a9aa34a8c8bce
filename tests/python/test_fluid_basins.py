"""Emptying where a rib parts the sump, in a wall, and what models and grades leave of the time."""

import fillmark as fm
import numpy as np
import pytest

G = 9.80665
RIB = 0.030


def oil(nu, density=870.0):
    """An oil of a viscosity [mm2/s] at 40 degC and a density [kg/m3] at every temperature."""
    same = {"temperature_c": [0.0, 100.0], "density_kg_m3": [density, density]}
    return fm.Fluid.table(**same, kv40_mm2_s=nu, kv100_mm2_s=nu / 4)


@pytest.fixture(scope="module")
def ribbed():
    """A box 300 x 200 x 100 mm (x and y from 0), a rib of 4 x 30 mm across the middle of its floor."""
    outline = [(0, 0), (148, 0), (148, 30), (152, 30), (152, 0), (300, 0), (300, 100), (0, 100)]
    near = [(0, 1, 2), (0, 2, 7), (7, 2, 3), (7, 3, 6), (3, 5, 6), (3, 4, 5)]
    faces = near + [(a + 8, c + 8, b + 8) for a, b, c in near]
    for a in range(8):
        b = (a + 1) % 8
        faces += [(a, a + 8, b + 8), (a, b + 8, b)]
    corners = [(float(x), y, float(z)) for y in (0.0, 200.0) for x, z in outline]
    return fm.Sump.from_mesh(vertices_mm=corners, faces=faces)


def test_a_plug_empties_its_own_side_of_a_rib(ribbed):
    # Closed form (Torricelli): 300 x 200 mm down to the rib's top, 148 x 200 mm below; the other side stays full.
    plug = fm.Plug(at_mm=(250.0, 100.0, 0.0), bore_mm=12.0, boss_mm=0.0)
    how = {"volume_l": 4.0, "temperature_c": 40.0, "model": "constant Cd", "cd": 0.61, "near_empty": "ignore"}
    curve = fm.drain_curve(ribbed, plug, oil(14.0), **how)
    bay, whole = 0.148 * 0.2, 0.3 * 0.2
    start = RIB + (4e-3 - 2 * bay * RIB) / whole

    def fall(area, high, low):
        return 2 * area * (high**0.5 - low**0.5) / (0.61 * np.pi / 4 * 0.012**2 * (2 * G) ** 0.5)

    assert curve.seconds == pytest.approx(fall(whole, start, RIB) + fall(bay, RIB, 0.0), rel=1e-7)
    assert curve.left_l == pytest.approx(bay * RIB * 1e3, abs=1e-9)
    assert curve.heel_l == pytest.approx(bay * RIB * 1e3, abs=1e-9)
    c = curve.columns()
    np.testing.assert_allclose(c["out_l"] + c["left_l"], 4.0, rtol=0, atol=1e-8)
    assert c["level_mm"][-1] == pytest.approx(0.0, abs=1e-9)


def test_suction_is_blocked_by_a_rib(ribbed):
    tube = fm.SuctionTube(tip_mm=(250.0, 100.0, 5.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
    # The tip's own side down to 5 mm (suction holds) or 8 mm (half a bore over it), the other side to the rib's top.
    least, most = tube.left_between_l(ribbed)
    assert least == pytest.approx(0.148 * 0.2 * (30.0 + 5.0), abs=1e-9)
    assert most == pytest.approx(0.148 * 0.2 * (30.0 + 8.0), abs=1e-9)
    assert tube.left_l(ribbed, volume_l=4.0) == pytest.approx(most, abs=1e-9)
    c = tube.emptying_columns(ribbed, oil(65.0), volume_l=4.0, temperature_c=40.0)
    assert c["left_l"][-1] == pytest.approx(most, abs=1e-9)
    seconds = tube.emptying_seconds(ribbed, oil(65.0), volume_l=4.0, temperature_c=40.0)
    assert c["seconds"][-1] == pytest.approx(seconds, rel=1e-7)
    # What leaves per time is the flow.
    slope = np.gradient(c["left_l"], c["seconds"] / 60.0)[1:90]
    np.testing.assert_allclose(-slope, c["flow_l_min"][1:90], rtol=0.02)
    # A tip on its side stands with its rim from 2 to 8 mm.
    lying = fm.SuctionTube(
        tip_mm=(250.0, 100.0, 5.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0, axis=(-1.0, 0.0, 0.0)
    )
    assert lying.left_between_l(ribbed) == pytest.approx(
        (0.148 * 0.2 * (30.0 + 2.0), 0.148 * 0.2 * (30.0 + 11.0)), abs=1e-9
    )


def test_a_plug_in_a_wall_drains_to_the_lowest_point_of_its_rim():
    pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    side = fm.Plug(at_mm=(150.0, 0.0, 31.0), bore_mm=12.0, axis=(1.0, 0.0, 0.0))
    curve = fm.drain_curve(pan, side, oil(14.0), volume_l=5.0, temperature_c=40.0, model="energy balance")
    # 25 mm of 600 cm2 stay at least; the last film over the rim goes in drops.
    assert curve.heel_l == pytest.approx(1.5, abs=1e-9)
    assert 1.5 < curve.left_l < 1.5 + 0.06 * 1.5
    c = curve.columns()
    assert c["head_mm"][0] > 0.0 > c["head_mm"][-1] > -6.0
    assert "the bore is not covered" in curve.flags


def test_a_time_is_named_between_the_models():
    pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=24.0)
    how = {"volume_l": 4.0, "temperature_c": 40.0}
    each = {
        model: fm.emptying_seconds(pan, plug, oil(163.0), model=model, **how)
        for model in ("energy balance", "constant Cd", "short tube")
    }
    got = fm.emptying_time(pan, plug, oil(163.0), model="short tube", **how)
    assert got.by_model == pytest.approx(each, rel=1e-12)
    assert got.seconds == each["short tube"]
    low, high = got.between_models_seconds
    assert (low, high) == (min(each.values()), max(each.values()))
    # Rectangular between the extremes (JCGM 100, 4.3.7).
    assert got.between_models_uncertainty_seconds == pytest.approx((high - low) / 12**0.5, rel=1e-12)
    assert got.of_grade is None
    c = fm.drain_curve(pan, plug, oil(163.0), model="energy balance", **how).columns()
    assert np.all(c["seconds_models_low"] <= c["seconds"] + 1e-9)
    assert np.all(c["seconds"] <= c["seconds_models_high"] + 1e-9)
    width = c["seconds_models_high"] - c["seconds_models_low"]
    np.testing.assert_allclose(c["seconds_models_uncertainty"], width / 12**0.5, rtol=1e-12)
    assert np.all(c["seconds_grade_uncertainty"] == 0.0)
    # At the end of the balance's stream the constant Cd, which knows no viscosity, has long been there.
    assert width[-1] > 5.0


def test_what_a_grade_leaves_of_a_time():
    # Against 2000 draws from the windows (JCGM 101) with NumPy.
    pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0)
    how = {"volume_l": 4.0, "temperature_c": 20.0, "model": "energy balance"}
    grade = fm.Fluid.oil(grade="10W-40")
    got = fm.emptying_time(pan, plug, grade, **how).of_grade
    shares = np.random.default_rng(5).random((2000, 3))
    drawn = np.array(
        [
            fm.emptying_seconds(pan, plug, fm.Fluid.of_grade("10W-40", density=d, viscosity=v, index=i), **how)
            for d, v, i in shares
        ]
    )
    assert got["low"] < drawn.min() < got["nominal"] < drawn.max() < got["high"]
    # Five standard errors of the draws.
    assert got["mean"] == pytest.approx(drawn.mean(), abs=5 * drawn.std() / 2000**0.5)
    assert got["standard_uncertainty"] == pytest.approx(drawn.std(), rel=0.08)
    # The general way, and the last row of the curve, say the same.
    by_hand = grade.spread(lambda oil: fm.emptying_seconds(pan, plug, oil, **how))
    assert by_hand == pytest.approx(got, rel=1e-12)
    c = fm.drain_curve(pan, plug, grade, to_head_mm=20.0, **how).columns()
    assert c["seconds_grade_low"][-1] < c["seconds"][-1] < c["seconds_grade_high"][-1]


def test_what_a_grade_leaves_of_a_flow():
    plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0)
    how = {"head_mm": 80.0, "temperature_c": 20.0, "model": "energy balance"}
    grade = fm.Fluid.oil(grade="10W-40")
    flow = fm.drain_flow(plug, grade, **how)
    assert flow.of_grade == pytest.approx(grade.spread(lambda oil: fm.drain_flow(plug, oil, **how).l_min), rel=1e-12)
    assert flow.of_grade["low"] < flow.l_min < flow.of_grade["high"]
    assert fm.drain_flow(plug, oil(65.0), **(how | {"temperature_c": 40.0})).of_grade is None


def test_spread_of_arrays_and_of_an_oil_without_grade():
    walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
    kept = fm.Fluid.oil(grade="10W-40").spread(
        lambda oil: walls.retained_l(minutes=[5.0, 20.0], fluid=oil, temperature_c=90.0)
    )
    assert kept["nominal"].shape == (2,)
    # A film goes with the root of time: half after four times as long, and so does what is not known of it.
    for name in ("low", "high", "mean", "standard_uncertainty"):
        np.testing.assert_allclose(kept[name][0], 2.0 * kept[name][1], rtol=1e-9)
    sheet = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    exact = sheet.spread(lambda oil: oil.kinematic_viscosity_mm2_s(temperature_c=40.0))
    assert exact["standard_uncertainty"] == 0.0
    assert exact["low"] == exact["high"] == exact["nominal"]
    calls = iter([np.zeros(2), np.zeros(3)])
    with pytest.raises(ValueError, match="shape"):
        fm.Fluid.oil(grade="10W-40").spread(lambda oil: next(calls))
