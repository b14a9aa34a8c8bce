"""The circuit: sump, stick, plugs, filter, stores, oil and the marks' reference condition.

A circuit is given as plain nested data whose keys carry the unit (see `Circuit.from_data`) and
held in SI units; volumes m3, lengths m, times s, temperatures degC.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from . import shapes
from .fluid import Oil
from .geometry import Array, Mesh, Standing, StrappingTable, up_vector

MM, LITRE = 1e-3, 1e-3
Data = Mapping[str, Any]


class Stick:
    """A dipstick: its path from the tip upwards and the distances of its marks along it [m]."""

    def __init__(self, path: Sequence[Sequence[float]], low: float, high: float) -> None:
        self.path: Array = np.asarray(path, dtype=float).reshape(-1, 3)
        self.min, self.max = low, high
        self.seat_offset = 0.0
        self.scatter = 1.0 * MM
        steps = np.linalg.norm(np.diff(self.path, axis=0), axis=1)
        self.along: list[float] = [0.0, *np.cumsum(steps).tolist()]

    @property
    def length(self) -> float:
        """Length of the blade [m]."""
        return self.along[-1]

    def height(self, distance: float, up: Array) -> float:
        """Height along *up* of the blade's point at a distance from the tip [m]."""
        heights = (self.path @ up).tolist()
        for i in range(len(heights) - 1):
            if distance <= self.along[i + 1]:
                break
        share = (distance - self.along[i]) / (self.along[i + 1] - self.along[i])
        return float(heights[i] + share * (heights[i + 1] - heights[i]))

    def wetted(self, surface: float, up: Array) -> tuple[float, str | None]:
        """Distance from the tip to the first crossing of a surface at a height, and the flag."""
        heights = (self.path @ up).tolist()
        if surface < heights[0]:
            return 0.0, "below tip"
        for i in range(len(heights) - 1):
            if heights[i] <= surface <= heights[i + 1] and heights[i + 1] > heights[i]:
                share = (surface - heights[i]) / (heights[i + 1] - heights[i])
                return self.along[i] + share * (self.along[i + 1] - self.along[i]), None
        return self.length, "above blade"


@dataclass(frozen=True)
class Store:
    """Where oil sits outside the sump: volumes [m3] and time scales [s]."""

    running: float = 0.0
    kept: float = 0.0
    film: float = 0.0
    pool_time: float = 20.0
    inertia_time: float = 1.0
    film_time: float = 60.0


class Circuit:
    """Everything about a reservoir that a service needs, in SI units."""

    def __init__(self, sump: Mesh | StrappingTable, stick: Stick, oil: Oil) -> None:
        self.sump, self.stick, self.oil = sump, stick, oil
        self.volume_scale, self.datum = 1.0, 0.0
        self.heels: dict[str, float] = {}
        self.filter: float | None = None
        self.stores: dict[str, Store] = {}
        self.reference_c, self.reference_wait = 20.0, 600.0
        self.reference_up: Array = up_vector()
        self.instruments: dict[str, float] = {}

    @classmethod
    def from_data(cls, data: Data) -> Circuit:
        """From nested data: the project's circuit file with the unit in the key, not in the value.

        ``sump.box.length_mm``, ``geometry.datum_mm``, ``dipstick.path_mm``, ``plugs.NAME.heel_l``,
        ``filter.net_volume_l``, ``stores.NAME.running_l`` and ``.pool_time_s``,
        ``fluid.density_15c_kg_m3``, ``reference.wait_s``, ``instruments.NAME.scale`` and so on.
        A key left out takes the default of the service model.
        """
        blade, fluid = data["dipstick"], data["fluid"]
        path = np.asarray(blade["path_mm"], dtype=float) * MM
        stick = Stick(path.tolist(), blade["min_mm"] * MM, blade["max_mm"] * MM)
        stick.seat_offset = blade.get("seat_offset_mm", 0.0) * MM
        stick.scatter = blade.get("scatter_mm", 1.0) * MM
        oil = Oil(fluid["density_15c_kg_m3"], fluid["kv40_mm2_s"], fluid["kv100_mm2_s"])
        new = cls(_sump(data["sump"]), stick, oil)
        geometry = data.get("geometry", {})
        new.volume_scale = geometry.get("volume_scale", 1.0)
        new.datum = geometry.get("datum_mm", 0.0) * MM
        new.heels = {name: plug["heel_l"] * LITRE for name, plug in data.get("plugs", {}).items()}
        if "filter" in data:
            new.filter = data["filter"]["net_volume_l"] * LITRE
        new.stores = {name: _store(data["stores"][name]) for name in sorted(data.get("stores", {}))}
        condition = data.get("reference", {})
        new.reference_c = condition.get("temperature_c", 20.0)
        new.reference_wait = condition.get("wait_s", 600.0)
        new.reference_up = up_vector(**condition.get("attitude", {}))
        tools = data.get("instruments", {})
        new.instruments = {name: tool["scale"] for name, tool in tools.items()}
        return new

    @property
    def marks(self) -> tuple[float, float]:
        """MIN and MAX, from the tip along the blade [m]."""
        return self.stick.min, self.stick.max

    def standing(self, up: Array) -> Standing | StrappingTable:
        """The drawing's sump in an attitude."""
        return self.sump.stand(up)

    @property
    def capacity(self) -> float:
        """What the true sump holds when full [m3]."""
        return self.volume_scale * self.sump.capacity

    def level(self, volume: float, up: Array) -> float:
        """Level of the drawing at which a true volume stands [m]."""
        return self.standing(up).level(volume / self.volume_scale)

    def surface(self, volume: float, up: Array) -> float:
        """Height along *up* at which the stick sees the surface of a true volume [m]."""
        return self.standing(up).lowest + self.level(volume, up) + self.datum

    def volume_below(self, height: float, up: Array) -> float:
        """True volume below a plane, given its height along *up* as the stick sees it [m3]."""
        drawing = self.standing(up)
        return self.volume_scale * drawing.volume(height - self.datum - drawing.lowest)

    def v_max(self) -> float:
        """Volume below the plane through the MAX mark in the reference attitude [m3]."""
        up = self.reference_up
        return self.volume_below(self.stick.height(self.stick.max, up), up)

    def slowness(self, temperature_c: float) -> float:
        """The oil's kinematic viscosity over 100 mm2/s [-]."""
        return self.oil.kinematic_viscosity(temperature_c) / 100.0

    def pool_left(self, store: Store, rest: float, temperature_c: float) -> float:
        """Share of a store's pool that is left after a rest [-]."""
        clock = store.inertia_time + store.pool_time * self.slowness(temperature_c)
        return math.exp(-rest / clock)

    def film_ageing(self, store: Store, rest: float, temperature_c: float) -> float:
        """What a rest adds to the age of a store's film [-]."""
        return rest / (store.film_time * self.slowness(temperature_c))


def _sump(data: Data) -> Mesh | StrappingTable:
    if "box" in data:
        sides = data["box"]
        size = (sides["length_mm"] * MM, sides["width_mm"] * MM, sides["height_mm"] * MM)
        return Mesh(*shapes.box(*size))
    if "mesh" in data:
        return Mesh(np.asarray(data["mesh"]["vertices_mm"]) * MM, data["mesh"]["faces"])
    table = data["table"]
    return StrappingTable(np.asarray(table["level_mm"]) * MM, np.asarray(table["volume_l"]) * LITRE)


def _store(data: Data) -> Store:
    volumes = {key: data[f"{key}_l"] * LITRE for key in ("running", "kept", "film") if f"{key}_l" in data}
    times = {key: data[f"{key}_s"] for key in ("pool_time", "inertia_time", "film_time") if f"{key}_s" in data}
    return Store(**volumes, **times)
