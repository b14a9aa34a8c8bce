"""Calls that a type checker must understand; read by mypy, never run."""

from typing import assert_type

import fillmark as fm
import numpy as np
from numpy.typing import NDArray

oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95, kv100_mm2_s="14.3 mm2/s")
assert_type(oil, fm.Fluid)
assert_type(oil.density_kg_m3(temperature_c=60), float)
assert_type(oil.density_kg_m3(temperature_c="60 degC"), float)
assert_type(oil.density_kg_m3(temperature_c=[20.0, 60.0]), NDArray[np.float64])
assert_type(oil.density_kg_m3(temperature_c=np.linspace(0, 60, 3)), NDArray[np.float64])
assert_type(oil.density_kg_m3(temperature_c=np.float64(60.0)), float)

pan = fm.Sump.box(length_mm=300, width_mm="20 cm", height_mm=100.0)
here = fm.Attitude(nose_up_deg=2)
assert_type(pan.capacity_l, float)
assert_type(pan.volume_l(level_mm=60.0, attitude=here), float)
assert_type(pan.level_mm(volume_l=np.linspace(0, 6, 3), attitude=None), NDArray[np.float64])

pan.volume_l(level_mm=60.0, attitude=2.0)  # type: ignore[call-overload]
oil.density_kg_m3(60.0)  # type: ignore[call-overload]
oil.density_kg_m3(temperature_c=None)  # type: ignore[call-overload]
fm.Fluid.oil(density_15c_kg_m3=[868.0], kv40_mm2_s=95, kv100_mm2_s=14)  # type: ignore[arg-type]

guesses: dict[str, fm.Uncertain | float | str] = {"a": fm.Uncertain.normal(1, 0.1), "b": "0.3 .. 0.4 L", "c": 2.0}


def total(a: NDArray[np.float64], b: NDArray[np.float64], c: NDArray[np.float64]) -> NDArray[np.float64]:
    return a + b + c


spread = fm.propagate(total, guesses, correlations={("a", "b"): 0.5}, progress=print)
assert_type(spread.result().interval(0.95), tuple[float, float])
assert_type(spread.result().first_order.degrees_of_freedom, float | None)
assert_type(fm.sensitivity(total, guesses).inputs, list[list[str]])
fm.propagate("model", guesses)  # type: ignore[arg-type]
bus = fm.Circuit.demo("shuttle-bus")
assert_type(fm.sensitivity(bus, [fm.Read(label="dip")], of="dip").inputs, list[list[str]])
assert_type(fm.worth_measuring(bus, [fm.Read()], of="0"), fm.WorthMeasuring)
assert_type(fm.predict(bus, [fm.Read()], digits=1, progress=print).covariance_mm2(), NDArray[np.float64])
assert_type(fm.wait_advice(bus, [fm.Run(minutes=1)], shows_mm="2 mm").seconds, float | None)

plug = fm.Plug(at_mm=(95.0, 0.0, 0.0), bore_mm=14)
assert_type(pan.pools_l(level_mm=60.0), NDArray[np.float64])
assert_type(pan.basins(attitude=here)[0].volume_below_l(level_mm=3.0), float)
assert_type(pan.heel_l([plug, plug], attitude=here), float)
assert_type(pan.heel_map(plug, nose_up_deg=[0.0, 1.0], right_down_deg=0).heel_l, NDArray[np.float64])
assert_type(fm.Pools(pan, {0: "1 L"}).turn(here).pools, list[fm.Pool])
pan.heel_l(here)  # type: ignore[arg-type]

service = fm.Service.loads("drain 10 min")
assert_type(service[0], fm.Event)
assert_type([event.label for event in service], list[str | None])
line = fm.simulate(fm.Circuit.demo("shuttle-bus"), service)
assert_type(fm.simulate(line.circuit, fm.Service(service, name="again"), start=line.rows[-1].state), fm.Timeline)
fm.simulate(line.circuit, service, line.rows[-1].state)  # type: ignore[call-arg]
