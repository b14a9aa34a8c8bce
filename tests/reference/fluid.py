"""Density and viscosity of a lubricating oil.

Density: API MPMS 11.1-2004 (ASTM D1250-04), commodity group "lubricating oils", temperature part
only, 15 degC base. Viscosity: ASTM D341, practical form with the low-viscosity terms.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from .geometry import Array

# API MPMS 11.1-2004: lubricating oils K0 = 0, K1 = 0.34878 [kg/m3 per degF], K2 = 0.
K1 = 0.34878
# The shift between the 60 degF base in IPTS-68 and ITS-90 [degF], and 60 degF itself in IPTS-68.
DELTA_60 = 0.01374979547
BASE_60_F = 60.0068749
# ITS-90 to IPTS-68, API MPMS 11.1-2004 section 11.1.5.3.
ITS90_TO_IPTS68 = (
    -0.148759,
    -0.267408,
    1.080760,
    1.269056,
    -4.089591,
    -1.871251,
    7.438081,
    -3.536296,
)


def ipts68_f(temperature_c: float) -> float:
    """A temperature on ITS-90 [degC] as IPTS-68 [degF]."""
    tau = temperature_c / 630.0
    shift = 0.0
    for a in reversed(ITS90_TO_IPTS68):
        shift = (shift + a) * tau
    return 1.8 * (temperature_c - shift) + 32.0


def ctl_60(density_60f: float, temperature_c: float) -> float:
    """Volume correction from a temperature to 60 degF: V(60 degF) / V(t) [-]."""
    # A = delta/2 [(K0/rho + K1)/rho + K2]; B = (2 K0 + K1 rho)/(K0 + (K1 + K2 rho) rho) = 1 here.
    a = DELTA_60 / 2.0 * K1 / density_60f
    b = 1.0
    rise = math.expm1(a * (1.0 + 0.8 * a)) / (1.0 + a * (1.0 + 1.6 * a) * b)
    alpha = K1 / (density_60f * (1.0 + rise))
    dt = ipts68_f(temperature_c) - BASE_60_F
    return math.exp(-alpha * dt * (1.0 + 0.8 * alpha * (dt + DELTA_60)))


@lru_cache(maxsize=4096)
def density_60f(density_15c: float) -> float:
    """Density at 60 degF of an oil whose density at 15 degC is given [kg/m3]."""
    rho = density_15c
    for _ in range(50):
        new = density_15c / ctl_60(rho, 15.0)
        if abs(new - rho) <= 1e-15 * rho:
            return new
        rho = new
    return rho


@lru_cache(maxsize=4096)
def volume_correction(density_15c: float, temperature_c: float) -> float:
    """VCF to 15 degC: V(15 degC) / V(t) = density(t) / density(15 degC) [-]."""
    rho = density_60f(density_15c)
    return ctl_60(rho, temperature_c) / ctl_60(rho, 15.0)


def _z(kv: float) -> float:
    """ASTM D341, practical form, kv in mm2/s."""
    return kv + 0.7 + math.exp(-1.47 - 1.84 * kv - 0.51 * kv**2)


def walther_constants(kv40: float, kv100: float, zero_c: float = 273.15) -> tuple[float, float]:
    """A and B of log log Z = A - B log T through the viscosities at 40 and 100 degC [mm2/s]."""
    w40, w100 = (math.log10(math.log10(_z(kv))) for kv in (kv40, kv100))
    t40, t100 = math.log10(40.0 + zero_c), math.log10(100.0 + zero_c)
    b = (w40 - w100) / (t100 - t40)
    return w40 + b * t40, b


def kinematic_viscosity(kv40: float, kv100: float, temperature_c: float, zero_c: float = 273.15) -> float:
    """Kinematic viscosity [mm2/s] by ASTM D341 and its printed inverse."""
    a, b = walther_constants(kv40, kv100, zero_c)
    x = 10.0**10.0 ** (a - b * math.log10(temperature_c + zero_c)) - 0.7
    return float(x - math.exp(-0.7487 - 3.295 * x + 0.6119 * x**2 - 0.3193 * x**3))


def kinematic_viscosities(kv40: float, kv100: float, temperatures_c: Array) -> Array:
    """The same for many temperatures [mm2/s]."""
    a, b = walther_constants(kv40, kv100)
    x = 10.0 ** (10.0 ** (a - b * np.log10(temperatures_c + 273.15))) - 0.7
    below: Array = np.exp(-0.7487 - 3.295 * x + 0.6119 * x**2 - 0.3193 * x**3)
    return x - below


class Oil:
    """An oil by its density at 15 degC [kg/m3] and viscosities at 40 and 100 degC [mm2/s]."""

    def __init__(self, density_15c: float, kv40: float, kv100: float) -> None:
        self.density_15c, self.kv40, self.kv100 = density_15c, kv40, kv100

    def density(self, temperature_c: float) -> float:
        """Density at a temperature [kg/m3]."""
        return self.density_15c * volume_correction(self.density_15c, temperature_c)

    def kinematic_viscosity(self, temperature_c: float) -> float:
        """Kinematic viscosity at a temperature [mm2/s]."""
        return kinematic_viscosity(self.kv40, self.kv100, temperature_c)

    def kinematic_viscosities(self, temperatures_c: Array) -> Array:
        """Kinematic viscosity at many temperatures [mm2/s]."""
        return kinematic_viscosities(self.kv40, self.kv100, temperatures_c)
