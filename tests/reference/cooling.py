"""Cooling by Newton's law, and integrals over a rest while the viscosity rises with it.

The integrals are sums of Gauss-Legendre rules over short panels, checked against SciPy's adaptive quadrature.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from .geometry import Array

NODES, WEIGHTS = np.polynomial.legendre.leggauss(16)
# Panels of half a time constant; after 40 of them (e^-40 is below rounding of 1) the temperature stands still.
PANEL, LONGEST = 0.5, 40.0


@dataclass(frozen=True)
class Cooling:
    """Time constant [s] and end [degC]."""

    time: float
    ambient_c: float

    def after(self, temperature_c: float, seconds: float) -> float:
        """Temperature after a rest [degC]."""
        return self.ambient_c + (temperature_c - self.ambient_c) * math.exp(-seconds / self.time)

    def _warm(self, temperature_c: float, at: Array) -> Array:
        return self.ambient_c + (temperature_c - self.ambient_c) * np.exp(-at / self.time)

    def integral(self, rate: Callable[[Array], Array], temperature_c: float, seconds: float) -> float:
        """Integral over a rest of a rate that depends on the temperature of a cooling place."""
        warm = min(seconds, LONGEST * self.time)
        edges = np.linspace(0.0, warm, 1 + math.ceil(max(warm / (PANEL * self.time), 1.0)))
        half = 0.5 * np.diff(edges)[:, None]
        at = 0.5 * (edges[1:] + edges[:-1])[:, None] + half * NODES
        total = float(np.sum(half * WEIGHTS * rate(self._warm(temperature_c, at))))
        return total + (seconds - warm) * float(rate(np.array([self.ambient_c]))[0])
