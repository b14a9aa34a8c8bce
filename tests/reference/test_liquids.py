"""Densities of fuel, coolant and water against published values, and integrals over a cooling rest against SciPy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate

from reference import Circuit, Oil, liquids
from reference.boxes import box_circuit
from reference.cooling import Cooling


def test_water() -> None:
    """CIPM equation (Tanaka 2001) to 40 degC: computed with another implementation. IAPWS-95 above: computed."""
    rows = {4.0: 999.974947704, 15.0: 999.102571718, 20.0: 998.206745560, 40.0: 992.215209132}
    assert [liquids.water(t) for t in rows] == pytest.approx(list(rows.values()), abs=1e-8)
    assert [liquids.water(t) for t in (60.0, 80.0)] == pytest.approx([983.195824227, 971.790398097], abs=0.003)
    assert liquids.water(40.0 + 1e-9) == pytest.approx(liquids.water(40.0), abs=1e-8)
    assert (liquids.water(-20.0), liquids.water(130.0)) == (liquids.water(0.0), liquids.water(100.0))


# Melinder's pure glycol, 50 % by mass: CoolProp INCOMP::MEG and SecondaryCoolantProps alike (computed).
COOLANT = {0.0: 1074.62361063, 20.0: 1064.92866283, 40.0: 1053.44076737, 80.0: 1026.40640914, 100.0: 1011.52008423}


@pytest.mark.parametrize("temperature_c", sorted(COOLANT))
def test_coolant(temperature_c: float) -> None:
    assert liquids.coolant(temperature_c) == pytest.approx(COOLANT[temperature_c], abs=1e-8)


def test_fuel() -> None:
    """API MPMS 11.1-1980, tables 54B, by hand: alpha = K0 / rho^2 + K1 / rho + A, VCF = exp(-a dT (1 + 0.8 a dT))."""
    # Diesel, 835: 594.5418 / 835^2 = 8.52725e-4 per K; 25 K: a dT = 0.0213181, times 1.0170545: 0.0216817.
    assert liquids.fuel(835.0, 40.0) == pytest.approx(835.0 * 0.978552, abs=1e-3)
    # Petrol, 745: 346.42278 / 745^2 + 0.43884 / 745 = 6.24161e-4 + 5.89047e-4 = 1.213208e-3; 0.0303302 x 1.0242642.
    assert liquids.fuel(745.0, 40.0) == pytest.approx(745.0 * 0.969411, abs=1e-3)
    # Common practice, no source: petrol grows by 0.12 % per kelvin, diesel fuel by 0.083 %.
    for density, per_kelvin in ((745.0, 1.2e-3), (835.0, 0.83e-3)):
        assert density / liquids.fuel(density, 16.0) - 1.0 == pytest.approx(per_kelvin, abs=0.05e-3)
    assert liquids.fuel(835.0, 15.0) == 835.0
    assert liquids.fuel(835.0, 200.0) == liquids.fuel(835.0, 150.0)


@pytest.mark.parametrize("edge", [770.5, 787.5, 838.5])
def test_groups_of_fuels_meet(edge: float) -> None:
    """Expansion at the edges of the groups differs by less than 0.5 % of itself, as the tables were built to."""
    below, above = (math.log(rho / liquids.fuel(rho, 25.0)) for rho in (edge - 1e-6, edge))
    assert below == pytest.approx(above, rel=5e-3)


@pytest.mark.parametrize(
    ("hot", "ambient", "time", "rest"),
    [(90.0, 20.0, 1800.0, 3600.0), (95.0, -5.0, 300.0, 1e5), (10.0, 35.0, 600.0, 20.0), (60.0, 20.0, 1e5, 600.0)],
)
def test_integrals_over_a_cooling_rest(hot: float, ambient: float, time: float, rest: float) -> None:
    oil = Oil(868.0, 95.0, 14.3)
    circuit = Circuit.from_data(box_circuit(cooling={"time_s": time, "ambient_c": ambient}))

    def rate(t: float) -> float:
        warm = ambient + (hot - ambient) * math.exp(-t / time)
        return 1.0 / (1.0 + 20.0 * oil.kinematic_viscosity(warm) / 100.0)

    points = [p for p in np.arange(0.5, 40.0, 0.5) * time if p < rest][:40]
    want, _ = integrate.quad(rate, 0.0, rest, points=points or None, epsabs=0.0, epsrel=1e-13, limit=500)
    assert circuit.clock(1.0, 20.0, hot, rest) == pytest.approx(want, rel=1e-12)


def test_where_nothing_cools_the_integral_is_plain() -> None:
    cooling = Cooling(1800.0, 20.0)
    assert cooling.integral(lambda t: 0.0 * t + 2.0, 90.0, 5000.0) == pytest.approx(1e4, rel=1e-14)
    assert cooling.integral(lambda t: 1.0 / t, 20.0, 1e6) == pytest.approx(5e4, rel=1e-14)
    assert cooling.integral(lambda t: t, 90.0, 0.0) == 0.0
