"""Reason about quantity in a sump read with a dipstick: residue, refill, reading, uncertainty.

Numbers are floats with the unit in the argument's name (``volume_l``, ``level_mm``, ``nose_up_deg``); text with a unit
(``"4.2 L"``) and objects with pint's face work as well. Arrays in give arrays out, of the same shape.
"""

from fillmark._core import Attitude, Fluid, Sump, build_info
from fillmark._errors import (
    CircuitError,
    EstimateError,
    FileError,
    FillmarkError,
    FluidError,
    GeometryError,
    InternalError,
    QuantityError,
    ServiceError,
)

__version__: str = build_info()["version"]

__all__ = [
    "Attitude",
    "CircuitError",
    "EstimateError",
    "FileError",
    "FillmarkError",
    "Fluid",
    "FluidError",
    "GeometryError",
    "InternalError",
    "QuantityError",
    "ServiceError",
    "Sump",
    "__version__",
    "build_info",
]
