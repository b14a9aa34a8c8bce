"""Draws and readings as plain data, for JSON: the same keys wherever they are written."""

from __future__ import annotations

from typing import Any

from fillmark._core import Draws, PredictedReading

__all__ = ["reading_data", "spread"]


def spread(draws: Draws) -> dict[str, Any]:
    """Sum draws up."""
    return {
        "mean": draws.mean,
        "standard_uncertainty": draws.standard_uncertainty,
        "interval_95": list(draws.interval(0.95)),
    }


def reading_data(reading: PredictedReading) -> dict[str, Any]:
    """Sum a reading up, in every way it is told."""
    return {
        "label": reading.label,
        "mm": spread(reading.mm),
        "fraction": spread(reading.fraction),
        "litres_from_max": spread(reading.litres_from_max),
        "below_tip": reading.below_tip,
        "above_blade": reading.above_blade,
    }
