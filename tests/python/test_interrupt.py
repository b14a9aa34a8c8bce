"""Ctrl-C stops a long computation, and stops it soon."""

import os
import signal
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
