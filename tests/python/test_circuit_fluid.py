"""The oil of a circuit by its grade, and a sump that expands."""

from pathlib import Path

import fillmark as fm
import numpy as np
import pytest

SET = fm.Circuit.demo("deck-generator")


def graded(grade, given=""):
    head, _, tail = SET.to_toml().partition("[fluid]\n")
    _, _, after = tail.partition("\n\n")
    return fm.Circuit.loads(f'{head}[fluid]\ngrade = "{grade}"\n{given}\n{after}')


def scalars(circuit):
    c = circuit.columns()
    return {p: (n, u) for p, n, u in zip(c["path"], c["nominal"], c["standard_uncertainty"], strict=True)}


def test_a_grade_becomes_inputs_with_its_windows():
    circuit = graded("10W-40")
    oil, got = fm.Fluid.oil(grade="10W-40"), scalars(graded("10W-40"))
    # SAE J300: 12.5 to below 16.3 mm2/s at 100 degC; rectangular (JCGM 100, 4.3.7).
    assert circuit["fluid.kv100"] == "rectangular(12.5, 16.3) mm2/s"
    assert got["fluid.kv100"] == pytest.approx((14.4e-6, 3.8e-6 / 12**0.5), rel=1e-12)
    assert got["fluid.kv40"][0] * 1e6 == pytest.approx(oil.kv40_mm2_s, rel=1e-9)
    spread = oil.spread(lambda oil: oil.kv40_mm2_s)
    assert got["fluid.kv40"][1] * 1e6 == pytest.approx(spread["standard_uncertainty"], rel=1e-6)
    window = oil.windows["density_15c"]
    assert got["fluid.density_15c"] == pytest.approx((window.nominal, window.standard_uncertainty), rel=1e-12)
    # ISO 3448 limits the viscosity at 40 degC: 46 mm2/s, 10 % either way.
    assert graded("ISO VG 46")["fluid.kv40"] == "rectangular(41.4, 50.6) mm2/s"


def test_what_is_given_beside_a_grade_holds():
    circuit = graded("10W-40", 'density_15c = "869(2) kg/m3"\nkv40 = "92(2) mm2/s"\n')
    assert scalars(circuit)["fluid.density_15c"] == pytest.approx((869.0, 2.0))
    assert circuit["fluid.kv40"] == "92(2) mm2/s"
    assert circuit["fluid.kv100"] == "rectangular(12.5, 16.3) mm2/s"


def test_a_grade_is_kept_and_replaced():
    circuit = graded("10W-40")
    assert circuit["fluid.grade"] == "10W-40"
    assert fm.Circuit.loads(circuit.to_toml()) == circuit
    assert fm.Circuit.loads(circuit.to_json()) == circuit
    thin = circuit.replace({"fluid.grade": "5W-30"})
    assert thin["fluid.kv100"] == "rectangular(9.3, 12.5) mm2/s"
    known = circuit.replace({"fluid.kv40": "92 mm2/s", "fluid.kv100": "14.0(1) mm2/s"})
    assert (known["fluid.kv40"], known["fluid.kv100"]) == ("92 mm2/s", "14.0(1) mm2/s")
    # On a circuit that gives all of its oil a grade changes nothing.
    assert scalars(SET.replace({"fluid.grade": "5W-30"})) == scalars(SET)


def test_a_grade_is_served_and_predicted():
    events = [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="dip")]
    circuit = graded("10W-40")
    middle = fm.Fluid.oil(grade="10W-40")
    exact = circuit.replace(
        {
            "fluid.density_15c": f"{middle.density_15c_kg_m3} kg/m3",
            "fluid.kv40": f"{middle.kv40_mm2_s} mm2/s",
            "fluid.kv100": f"{middle.kv100_mm2_s} mm2/s",
        }
    )
    # One middle oil; the grade's viscosity widens the prediction.
    mm = [fm.simulate(c, events).reading("dip").mm for c in (circuit, exact)]
    assert mm[0] == pytest.approx(mm[1], abs=1e-9)
    cold = [fm.Run(minutes=1, temperature_c=5), fm.Rest(seconds=40), fm.Read(label="dip")]
    wide, narrow = (fm.predict(c, cold, draws=4000, seed=2).reading("dip").mm for c in (circuit, exact))
    assert wide.standard_uncertainty > narrow.standard_uncertainty


def test_an_unknown_grade_lists_near_ones():
    with pytest.raises(fm.FluidError, match="10W-40") as refused:
        graded("10W-45")
    assert refused.value.code == "fluid.unknown_grade"


def test_a_sump_expands_with_its_metal():
    # Linear 22 ppm/K (NADCA, table A-3-2, alloy 380): 1 + 3 x 22e-6 x 70 = 1.00462, calculated.
    assert SET.volume_scale(temperature_c=90.0) == 1.0
    cast = SET.replace({"geometry.metal": "cast_aluminium"})
    assert cast.volume_scale(temperature_c=90.0) == pytest.approx(1.00462, rel=1e-12)
    assert cast.volume_scale(temperature_c=[20.0, 90.0]) == pytest.approx([1.0, 1.00462])
    assert cast.volume_scale(temperature_c=90.0) == fm.capacity_ratio("cast aluminium", temperature_c=90.0)
    # A judged 5 % of the coefficient, as an input with its path.
    assert scalars(cast)["geometry.metal_expansion"] == pytest.approx((22e-6, 1.1e-6), rel=1e-9)
    assert "geometry.metal_expansion" not in scalars(SET)
    own = SET.replace({"geometry.metal_expansion": "12.0(5) ppm/K", "geometry.drawn_at": "15 degC"})
    own = own.replace({"geometry.volume_scale": "0.99"})
    assert own.volume_scale(temperature_c=65.0) == pytest.approx(0.99 * (1 + 36e-6 * 50), rel=1e-12)
    assert fm.Circuit.loads(own.to_toml()) == own
    with pytest.raises(fm.FluidError, match="200"):
        cast.volume_scale(temperature_c=300.0)
    with pytest.raises(fm.CircuitError, match="mild_steel"):
        SET.replace({"geometry.metal": "tin"})
    with pytest.raises(fm.QuantityError, match="metal_expansion"):
        SET.replace({"geometry.metal_expansion": "900 ppm/K"})


def test_an_expanded_sump_holds_more_at_every_level():
    pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    warm = fm.Sump.expanded(pan, temperature_c=90.0, metal="cast aluminium")
    ratio = fm.capacity_ratio("cast aluminium", temperature_c=90.0)
    assert warm.capacity_l / pan.capacity_l == pytest.approx(ratio, rel=1e-12)
    leaning = fm.Attitude(nose_up_deg=3.0)
    levels = np.linspace(5.0, 90.0, 5)
    np.testing.assert_allclose(
        warm.volume_l(level_mm=levels * ratio ** (1 / 3), attitude=leaning),
        ratio * pan.volume_l(level_mm=levels, attitude=leaning),
        rtol=1e-12,
    )
    cold = fm.Sump.expanded(pan, temperature_c=-20.0, expansion_ppm_k=11.0, drawn_at_c=15.0)
    assert cold.capacity_l == pytest.approx(6.0 * (1 - 33e-6 * 35.0), rel=1e-12)
    table = fm.Sump.from_table(level_mm=[0.0, 50.0, 90.0], volume_l=[0.0, 3.0, 5.0])
    assert fm.Sump.expanded(table, temperature_c=90.0, metal="mild steel").capacity_l == pytest.approx(
        5.0 * (1 + 3.35e-5 * 70), rel=1e-12
    )
    with pytest.raises(TypeError, match="either"):
        fm.Sump.expanded(pan, temperature_c=90.0)
    with pytest.raises(ValueError, match="mild steel"):
        fm.Sump.expanded(pan, temperature_c=90.0, metal="tin")


def test_a_circuit_by_table_and_centroid_reads_like_its_drawing_on_a_slope():
    # A box is a prism: between floor and lid its table with the centroid says the same at every tilt.
    demo = Path(fm.__file__).parent / "demo" / "winch-gearbox.toml"
    drawn = demo.read_text()
    start, end = drawn.index("[sump.box]"), drawn.index("[geometry]")
    table = "[sump.table]\nlevel_mm = [0.0, 180.0]\nvolume_l = [0.0, 6.912]\ncentroid_mm = [[0.0, 0.0]]\n\n"
    measured = drawn[:start] + table + drawn[end:]
    plugs, stores = measured.index("[plugs.drain]"), measured.index("[stores.gears]")
    heel = '[plugs.drain]\nat_mm = [110.0, 0.0, 0.0]\nbore = "16 mm"\nheel = "0.05 L"\n\n'
    circuit = fm.Circuit.loads(measured[:plugs] + heel + measured[stores:])
    assert repr(circuit.sump) == "Sump.from_table(level_mm=(0.0, 180.0), volume_l=(0.0, 6.912), centroid_mm=(0.0, 0.0))"
    assert fm.Circuit.loads(circuit.to_toml()) == circuit
    slope = [fm.Tilt(fm.Attitude(nose_up_deg=3.0, right_down_deg=-2.0)), fm.Read(label="on the slope")]
    readings = [fm.simulate(c, slope).reading("on the slope").mm for c in (circuit, fm.Circuit.demo("winch-gearbox"))]
    assert readings[0] == pytest.approx(readings[1], abs=1e-6)
    # An uncertain attitude prepares surfaces of the table too.
    leaning = fm.Read(label="on the slope", attitude="nose up 2.0(3) deg")
    assert fm.predict(circuit, [leaning], draws=500, seed=1).reading("on the slope").mm.mean > 0.0
