"""Ctrl-C stops a long computation, and stops it soon."""

import os
import signal
import subprocess
import sys
import threading
import time

import fillmark as fm
import numpy as np
import pytest

OIL = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)


@pytest.mark.skipif(os.name == "nt", reason="signals are sent another way there")
def test_ctrl_c_stops_a_map_of_heels():
    sump = fm.Circuit.demo("shuttle-bus").sump
    low = sump.basins()[0].lowest_point_mm
    plug = fm.Plug(at_mm=low, bore_mm=14.0)
    began = time.perf_counter()
    sump.heel_map(plug, nose_up_deg=np.linspace(-5.0, 5.0, 50), right_down_deg=0.0)
    each = (time.perf_counter() - began) / 50
    # Eight seconds of work at least, to be stopped after a quarter of a second.
    tilts = np.linspace(-9.0, 9.0, max(8, int(np.sqrt(8.0 / each))))
    sent = []

    def press():
        sent.append(time.perf_counter())
        os.kill(os.getpid(), signal.SIGINT)

    timer = threading.Timer(0.25, press)
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            sump.heel_map(plug, nose_up_deg=tilts, right_down_deg=tilts)
        waited = time.perf_counter() - sent[0]
    finally:
        timer.cancel()
    assert waited < 2.0


@pytest.mark.skipif(os.name == "nt", reason="signals are sent another way there")
def test_ctrl_c_stops_a_long_array():
    sample = np.full(200_000, 60.0)
    began = time.perf_counter()
    OIL.kinematic_viscosity_mm2_s(temperature_c=sample)
    each = (time.perf_counter() - began) / sample.size
    values = np.full(min(int(3.0 / each), 40_000_000), 60.0)
    whole = values.size * each

    sent = []

    def press():
        sent.append(time.perf_counter())
        os.kill(os.getpid(), signal.SIGINT)

    timer = threading.Timer(0.25 * whole, press)
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            OIL.kinematic_viscosity_mm2_s(temperature_c=values)
        waited = time.perf_counter() - sent[0]
    finally:
        timer.cancel()
    # Signals are looked for every 0.05 s; without looking, three quarters of the work would still have been done.
    assert waited < 0.25 * whole


FIRST_ARRAY = """
import sys
import fillmark as fm

class Press:
    def find_spec(self, name, path=None, target=None):
        if name == "numpy":
            raise KeyboardInterrupt

bus = fm.Circuit.demo("shuttle-bus")
service = [fm.Drain(minutes=10), fm.Pour("5 L"), fm.Read()]
line = fm.simulate(bus, service)
sump = bus.sump
assert "numpy" not in sys.modules
sys.meta_path.insert(0, Press())
calls = {
    "propagate": lambda: fm.propagate(lambda x: x, {"x": fm.Uncertain.normal(0, 1)}, draws=100),
    "predict": lambda: fm.predict(bus, service, draws=100),
    "timeline": line.columns,
    "ledger": line.ledger.columns,
    "circuit": bus.columns,
    "basins": sump.basins().columns,
    "vertices": lambda: sump.vertices_mm,
    "levels": lambda: sump.volume_l(level_mm=[10.0, 20.0]),
}
for name, call in calls.items():
    try:
        call()
    except KeyboardInterrupt:
        continue
    print(name)
"""


def test_ctrl_c_while_numpy_is_first_imported_is_an_exception_like_any_other():
    # NumPy is imported when the first array is made; a panic would go past `except Exception` and print to the screen.
    path = os.pathsep.join(p for p in sys.path if p)
    done = subprocess.run(
        [sys.executable, "-c", FIRST_ARRAY],
        capture_output=True,
        text=True,
        timeout=120,
        env={**os.environ, "PYTHONPATH": path},
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
