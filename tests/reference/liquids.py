"""Density of what gets into the oil: fuel, coolant, water. Beyond a law's range its end holds.

Fuel: API MPMS 11.1-1980 (ASTM D1250-80), refined products, 15 degC base; constants from memory, agreeing with public
code of tables 54B. Water: to 40 degC M. Tanaka et al., Metrologia 38 (2001) 301; above, G. S. Kell, J. Chem. Eng. Data
20 (1975) 97 on IPTS-68, shifted so that the two meet at 40 degC (from memory; tested against IAPWS-95). Coolant: 50 %
by mass of ethylene glycol, A. Melinder, Properties of Secondary Working Fluids for Indirect Systems (IIF-IIR, 2010),
coefficients as the open-source package SecondaryCoolantProps prints them.
"""

from __future__ import annotations

import math
from functools import lru_cache

from .fluid import ipts68_f

# Density of the two fuels at 15 degC [kg/m3]: within EN 590 and EN 228 (from memory).
FUELS = {"diesel": 835.0, "petrol": 745.0}
# Lower end of each group [kg/m3 at 15 degC], K0 [kg2/m6 K], K1 [kg/m3 K], A [1/K]: alpha = K0/rho^2 + K1/rho + A.
GROUPS = (
    (838.5, 186.9696, 0.48618, 0.0),  # fuel oils
    (787.5, 594.5418, 0.0, 0.0),  # jet fuel, kerosene, light diesel
    (770.5, 2680.3206, 0.0, -0.00336312),  # transition
    (653.0, 346.42278, 0.43884, 0.0),  # petrol
)
# Melinder's density: rows by power of (percent by mass - 30.8462), columns by power of (degC - 31.728).
GLYCOL_BASE, GLYCOL_BASE_C = 30.8462, 31.728
GLYCOL = (
    (1.0340e03, -4.7810e-01, -2.6920e-03, 4.7250e-06),
    (1.3110e00, -6.8760e-03, 4.8050e-05, 1.6900e-08),
    (7.4900e-05, 7.8550e-05, -3.9950e-07, 4.9820e-09),
    (-1.0620e-04, 1.2290e-06, -1.1530e-08),
    (-9.6230e-07, -7.2110e-08),
    (4.8910e-08,),
)
KELL = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
KELL_BELOW = 16.879850e-3


def _held(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


@lru_cache(maxsize=4096)
def fuel(density_15c: float, temperature_c: float) -> float:
    """Density of a refined product [kg/m3], -50 to 150 degC."""
    k0, k1, a = next(rest for low, *rest in GROUPS if density_15c >= low)
    alpha = k0 / density_15c**2 + k1 / density_15c + a
    dt = _held(temperature_c, -50.0, 150.0) - 15.0
    return density_15c * math.exp(-alpha * dt * (1.0 + 0.8 * alpha * dt))


@lru_cache(maxsize=4096)
def coolant(temperature_c: float) -> float:
    """Density of glycol and water, 50 % by mass [kg/m3], -35 to 100 degC."""
    x, t = 50.0 - GLYCOL_BASE, _held(temperature_c, -35.0, 100.0) - GLYCOL_BASE_C
    return math.fsum(c * x**i * t**j for i, row in enumerate(GLYCOL) for j, c in enumerate(row))


def _tanaka(t: float) -> float:
    return 999.974950 * (1.0 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


def _kell(t: float) -> float:
    old = (ipts68_f(t) - 32.0) / 1.8
    return math.fsum(k * old**i for i, k in enumerate(KELL)) / (1.0 + KELL_BELOW * old)


@lru_cache(maxsize=4096)
def water(temperature_c: float) -> float:
    """Density of water at 101 325 Pa [kg/m3], 0 to 100 degC."""
    t = _held(temperature_c, 0.0, 100.0)
    return _tanaka(t) if t <= 40.0 else _kell(t) + (_tanaka(40.0) - _kell(40.0))
