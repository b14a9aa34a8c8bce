"""Plain circuits for sums done by hand: a box with an upright stick over its middle, everything at 15 degC."""

from __future__ import annotations

from typing import Any

Data = dict[str, Any]

AREA = 0.06  # m2, so 60 mL per mm
STORES: Data = {
    "b": {"running_l": 0.3, "kept_l": 0.05, "film_l": 0.1, "pool_time_s": 20.0, "film_time_s": 60.0},
    "a": {"running_l": 0.2},
}


def box_circuit(**more: Any) -> Data:
    """A box 300 x 200 x 150 mm, its MAX at 65 mm of level (3.9 L), a plug that leaves 0.2 L, a filter of 0.4 L.

    A keyword replaces a table of the circuit's, or takes it away where it is None.
    """
    data: Data = {
        "sump": {"box": {"length_mm": 300.0, "width_mm": 200.0, "height_mm": 150.0}},
        "dipstick": {"path_mm": [[0, 0, 5], [0, 0, 205]], "min_mm": 35.0, "max_mm": 60.0},
        "plugs": {"main": {"at_mm": [0, 0, 0], "bore_mm": 14.0, "heel_l": 0.2}},
        "filter": {"net_volume_l": 0.4},
        "fluid": {"density_15c_kg_m3": 868.0, "kv40_mm2_s": 95.0, "kv100_mm2_s": 14.3},
        "reference": {"temperature_c": 15.0, "wait_s": 600.0},
    }
    return {key: table for key, table in (data | more).items() if table is not None}


def pan_circuit(area_m2: float, litres: float, density: float = 868.0, **more: Any) -> Data:
    """A box of a plan area whose MAX stands at so many litres, without filter; everything at 20 degC."""
    deep = litres / area_m2  # mm
    data = box_circuit(
        sump={"box": {"length_mm": 400.0, "width_mm": area_m2 / 0.4 * 1e3, "height_mm": 2.0 * deep}},
        dipstick={"path_mm": [[0, 0, 5], [0, 0, 5 + 2 * deep]], "min_mm": 0.5 * deep, "max_mm": deep - 5.0},
        filter=None,
        reference={"temperature_c": 20.0},
    )
    data["fluid"]["density_15c_kg_m3"] = density
    return data | more


def kg(litres: float) -> float:
    """At 15 degC, where the correction is 1."""
    return litres * 0.868
