"""Fluids, plugs, films and tubes: what is refused, with class, code and words."""

import math

import fillmark as fm
import pytest

OIL = fm.Fluid.oil(grade="10W-40")
PAN = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
PLUG = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=14.0)
TUBE = {"tip_mm": (0.0, 0.0, 3.0), "bore_mm": 6.0, "length_mm": 1500.0, "rise_mm": 900.0, "vacuum_kpa": 70.0}


def oil(density=868.0, kv40=95.0, kv100=14.3, **more):
    return fm.Fluid.oil(density_15c_kg_m3=density, kv40_mm2_s=kv40, kv100_mm2_s=kv100, **more)


def through(*points):
    return fm.Fluid.oil(density_15c_kg_m3=868.0, viscosity_points=points)


def drain(sump=PAN, plug=PLUG, fluid=OIL, volume_l=4.0, temperature_c=60.0, model="energy balance", **more):
    return fm.drain_curve(sump, plug, fluid, volume_l=volume_l, temperature_c=temperature_c, model=model, **more)


def table(t, rho, **more):
    return fm.Fluid.table(temperature_c=t, density_kg_m3=rho, **more)


def blend(fractions, nu, rule="ASTM D7152"):
    return fm.blend_viscosity_mm2_s(rule, fractions=fractions, kinematic_viscosity_mm2_s=nu)


def after(**more):
    return fm.ReducedTime().after(**({"minutes": 5, "kinematic_viscosity_mm2_s": 14.0} | more))


WORD = (fm.QuantityError, "quantity.unknown_word")
# What is asked, class, code (None for a built-in class), words of the message.
TABLE = [
    # Outside a correlation: temperature, density, viscosity, share.
    (lambda: OIL.density_kg_m3(temperature_c=151.0), fm.FluidError, "fluid.outside_relation", ["151", "-50 to 150"]),
    (lambda: OIL.volume_l_at(volume_15c_l=1.0, temperature_c=[20.0, -51.0]), fm.FluidError, "fluid.outside_relation",
     ["-51", "element 1 of temperature_c"]),
    (lambda: oil(density=790.0), fm.FluidError, "fluid.outside_relation", ["kg/m3", "800.9 to 1163.5"]),
    (lambda: oil(density=1200.0), fm.FluidError, "fluid.outside_relation", ["API MPMS 11.1"]),
    (lambda: oil(kv100=0.1), fm.FluidError, "fluid.outside_relation", ["0.1", "ASTM D341"]),
    (lambda: OIL.kinematic_viscosity_mm2_s(temperature_c=400.0),
    fm.FluidError, "fluid.outside_relation", ["-70 to 370"]),
    (lambda: fm.Fluid.water().density_kg_m3(temperature_c=-1.0), fm.FluidError, "fluid.outside_relation", ["water"]),
    (lambda: fm.Fluid.fuel(density_15c_kg_m3=600.0), fm.FluidError, "fluid.outside_relation", ["653 to 1075"]),
    (lambda: fm.Fluid.coolant(percent=70, basis="mass"), fm.FluidError, "fluid.outside_relation", ["70", "0 to 60"]),
    (lambda: fm.capacity_ratio("mild steel", temperature_c=300.0), fm.FluidError, "fluid.outside_relation", ["300"]),
    (lambda: _ if (_ := oil(850.0, 3.0, 1.5).viscosity_index) else None, fm.FluidError, "fluid.outside_relation",
     ["ASTM D2270"]),
    (lambda: fm.classify_kv100(kv100_mm2_s=0.0), fm.FluidError, "fluid.outside_relation", ["J300"]),
    # Thicker hot than cold.
    (lambda: oil(kv40=14.3, kv100=95.0), fm.FluidError, "fluid.viscosity_not_falling", ["95", "14.3", "exchanged?"]),
    (lambda: through((20.0, 40.0), (80.0, 90.0)), fm.FluidError, "fluid.viscosity_not_falling", ["20", "80"]),
    (lambda: through((20.0, 40.0), (20.0, 30.0)), fm.FluidError, "fluid.same_temperature", ["20"]),
    # Unknown grades, near ones listed.
    (lambda: fm.Fluid.oil(grade="10W-45"), fm.FluidError, "fluid.unknown_grade", ["10W-45", "10W-40"]),
    (lambda: fm.Fluid.of_grade("VG 45"), fm.FluidError, "fluid.unknown_grade", ["ISO VG 46"]),
    (lambda: fm.conformity_probability("75W-95", measured_mm2_s=14.0, standard_uncertainty_mm2_s=1.0), fm.FluidError,
     "fluid.unknown_grade", ["75W-90"]),
    # The basis of a percentage.
    (lambda: fm.Fluid.coolant(percent=50), fm.FluidError, "fluid.basis_not_named", ["50 %", "% mass", "% volume"]),
    (lambda: fm.Fluid.coolant(percent=50, basis="weight"), *WORD, ['"weight"', '"mass" and "volume"']),
    # A fluid that lacks what is asked for.
    (lambda: fm.Fluid.water().kinematic_viscosity_mm2_s(temperature_c=20.0), fm.FluidError, "fluid.no_viscosity",
     ["water"]),
    (lambda: drain(fluid=fm.Fluid.water()), fm.FluidError, "fluid.no_viscosity", ["water"]),
    (lambda: fm.ReducedTime().after_cooling(5, fluid=table([0.0, 100.0], [900.0, 840.0]), from_c=90.0,
        surroundings_c=20.0, time_constant_minutes=30.0), fm.FluidError, "fluid.not_an_oil", ["density table"]),
    # Tables.
    (lambda: table([20.0], [868.0]), fm.FluidError, "fluid.table_too_short", ["at least 2 rows"]),
    (lambda: table([0.0, 20.0, 20.0], [900.0, 890.0, 880.0]), fm.FluidError, "fluid.table_not_increasing", ["rows[2]"]),
    (lambda: table([0.0, 20.0], [900.0]), fm.QuantityError, "quantity.wrong_length", ["2 values", "has 1"]),
    (lambda: table([0.0, 20.0], [900.0, 890.0], kv40_mm2_s=90.0), TypeError, None, ["together or not at all"]),
    (lambda: table([0.0, 10.0], [900.0, 890.0]).volume_correction(temperature_c=5.0), fm.FluidError,
     "fluid.outside_relation", ["base temperature", "15"]),
    # Blends.
    (lambda: blend([0.9, 0.05], [95.0, 3.0]), fm.FluidError, "fluid.fractions_not_one", ["0.95"]),
    (lambda: blend([0.9, 0.1], [95.0]), fm.QuantityError, "quantity.wrong_length", ["fractions has 2 values"]),
    (lambda: blend([0.9, 0.1], [95.0, 0.1]), fm.FluidError, "fluid.outside_relation", ["parts[1].viscosity"]),
    (lambda: blend([1.0], [95.0], rule="linear"), *WORD, ['"linear"', "ASTM D7152"]),
    # Words.
    (lambda: oil(edition="1990"), *WORD, ["1990", '"2004" and "1980"']),
    (lambda: fm.classify_kv100(kv100_mm2_s=14.0, standard="ISO 3448"), *WORD, ["SAE J306"]),
    (lambda: fm.capacity_ratio("iron", temperature_c=20.0), *WORD, ["cast aluminium"]),
    (lambda: drain(model="torricelli"), *WORD, ["energy balance", "constant Cd", "short tube"]),
    (lambda: drain(vent="ajar"), *WORD, ["restricted"]),
    (lambda: drain(near_empty="skip"), *WORD, ['"weir" and "ignore"']),
    # Numbers that do not belong, or are missing.
    (lambda: drain(cd=0.6), TypeError, None, ["cd does not belong", "energy balance"]),
    (lambda: drain(model="constant Cd", entry_loss=0.5), TypeError, None, ["entry_loss does not belong"]),
    (lambda: drain(model="short tube", cd=0.5), TypeError, None, ["short tube"]),
    (lambda: drain(vent="restricted"), TypeError, None, ["vent_area_mm2"]),
    (lambda: drain(vent="shut", vent_area_mm2=3.0), TypeError, None, ["does not belong"]),
    (lambda: fm.Fluid.oil(grade="10W-40", kv40_mm2_s=95.0), TypeError, None, ["grade alone"]),
    (lambda: after(seconds=3), TypeError, None, ["exactly one of"]),
    # Ranges.
    (lambda: fm.Plug(at_mm=(0, 0, 0), bore_mm=0.0), fm.QuantityError, "quantity.out_of_range", ["bore", "1"]),
    (lambda: fm.Plug(at_mm=(0, 0, 0), bore_mm=14.0, axis=(0, 0, 0)),
    fm.QuantityError, "quantity.out_of_range", ["axis"]),
    (lambda: fm.Plug(at_mm=(0, math.nan, 0), bore_mm=14.0), fm.QuantityError, "quantity.not_finite", ["point"]),
    (lambda: fm.SuctionTube(**(TUBE | {"vacuum_kpa": 200.0})), fm.QuantityError, "quantity.out_of_range", ["vacuum"]),
    (lambda: fm.WallFilm(length_mm=0.0, width_mm=1.0), fm.QuantityError, "quantity.out_of_range", ["length"]),
    (lambda: fm.FloorFilm(length_mm=300, width_mm=200, lip_mm=9), fm.QuantityError, "quantity.out_of_range", ["lip"]),
    (lambda: fm.ReducedTime(-1.0), fm.QuantityError, "quantity.out_of_range", ["s2_m2", "-1"]),
    (lambda: after(minutes=-5), fm.QuantityError, "quantity.out_of_range", ["duration"]),
    (lambda: fm.Fluid.of_grade("10W-40", index=1.5), fm.QuantityError, "quantity.out_of_range", ["share of index"]),
    (lambda: drain(steps=0), fm.QuantityError, "quantity.out_of_range", ["steps"]),
    (lambda: drain(entry_loss=-1.0), fm.QuantityError, "quantity.out_of_range", ["entry_loss"]),
    (lambda: drain(model="constant Cd", cd=1.2), fm.QuantityError, "quantity.out_of_range", ["cd"]),
    (lambda: fm.conformity_probability("40", measured_mm2_s=14.0, standard_uncertainty_mm2_s=0.0), fm.QuantityError,
     "quantity.out_of_range", ["standard_uncertainty"]),
    (lambda: fm.withdrawal_film_um(OIL, temperature_c=40.0, speed_mm_s=0.0), fm.QuantityError, "quantity.out_of_range",
     ["speed"]),
    # A sump and its outlet.
    (lambda: drain(volume_l=9.0), fm.GeometryError, "geometry.volume_above_capacity", ["9"]),
    (lambda: drain(to_head_mm=0.0), fm.FluidError, "fluid.never_empties", ["only drops"]),
    (lambda: drain(plug=fm.Plug(at_mm=(500.0, 0.0, 0.0), bore_mm=14.0)), fm.CircuitError, "circuit.outlet_misses_sump",
     ["plug at (500", "-150..150"]),
    (lambda: fm.SuctionTube(**(TUBE | {"tip_mm": (0.0, 0.0, 300.0)})).left_l(PAN), fm.CircuitError,
     "circuit.outlet_misses_sump", ["tip at"]),
    (lambda: fm.SuctionTube(**(TUBE | {"vacuum_kpa": 5.0})).flow_l_min(OIL, temperature_c=60.0, head_mm=50.0),
     fm.FluidError, "fluid.pump_too_weak", ["5000 Pa"]),
]  # fmt: skip


@pytest.mark.parametrize(("ask", "cls", "code", "words"), TABLE)
def test_refused(ask, cls, code, words):
    with pytest.raises(cls) as caught:
        ask()
    assert type(caught.value) is cls
    assert getattr(caught.value, "code", None) == code
    for word in words:
        assert word in str(caught.value), str(caught.value)


@pytest.mark.parametrize("percent", ["50", None, [50.0]])
def test_a_share_is_a_number(percent):
    with pytest.raises(TypeError):
        fm.Fluid.coolant(percent=percent, basis="mass")
