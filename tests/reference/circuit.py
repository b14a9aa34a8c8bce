"""The circuit: sump, stick, plugs, filter, stores, oil and the marks' reference condition.

A circuit is given as plain nested data whose keys carry the unit (see `Circuit.from_data`) and
held in SI units; volumes m3, lengths m, times s, temperatures degC.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from . import liquids, shapes
from .cooling import Cooling
from .fluid import Oil
from .geometry import Array, Mesh, Standing, StrappingTable, up_vector
from .stick import MM, Marks, Stick

LITRE = 1e-3
Data = Mapping[str, Any]

COMPONENTS = ("old_oil", "new_oil", "fuel", "coolant", "water")
# By `filter.orientation`: share of what the filter holds that a leaking valve lets run back, and that is spilled
# when it is taken off.
DRAINS = {"base_up": 0.0, "sideways": 0.5, "base_down": 1.0}
SPILL = {"base_up": 0.03, "sideways": 0.3, "base_down": 0.8}


@dataclass(frozen=True)
class Store:
    """Where oil sits outside the sump: volumes [m3], time scales [s] and its thermostat [degC]."""

    running: float = 0.0
    kept: float = 0.0
    film: float = 0.0
    pool_time: float = 20.0
    inertia_time: float = 1.0
    film_time: float = 60.0
    opens_at_c: float | None = None


@dataclass(frozen=True)
class Filter:
    """A filter: volume [m3], whether its valve leaks, the share that then drains, its time [s], share spilled."""

    net_volume: float
    leaking: bool = False
    drains: float = 1.0
    drain_time: float = 60.0
    spill: float = 0.0

    @property
    def pool(self) -> float:
        """Share of what it holds that runs back [-]."""
        return self.drains if self.leaking else 0.0


@dataclass(frozen=True)
class Filler:
    """A filler path: what of a pour stays on it at first [m3], and the time of its return [s]."""

    wetted: float
    film_time: float = 60.0


@dataclass(frozen=True)
class Plug:
    """A plug: the heel where one is stated, else its lip [m3]; centre, bore and outward direction of its hole [m]."""

    heel: float | None
    lip: float
    at: Array
    bore: float
    boss: float
    axis: Array

    def rim(self, up: Array) -> float:
        """Height along *up* of the lowest point of the hole's rim [m]."""
        slope = float(self.axis @ up)
        return float(self.at @ up) - 0.5 * self.bore * math.sqrt(max(0.0, 1.0 - slope**2))


class Circuit:
    """Everything about a reservoir that a service needs, in SI units."""

    def __init__(self, sump: Mesh | StrappingTable, stick: Stick, oil: Oil) -> None:
        self.sump, self.stick, self.oil = sump, stick, oil
        self.volume_scale, self.datum = 1.0, 0.0
        self.sticks: dict[str, Marks] = {}
        self.plugs: dict[str, Plug] = {}
        self.filter: Filter | None = None
        self.filler: Filler | None = None
        self.stores: dict[str, Store] = {}
        self.fuel = liquids.FUELS["diesel"]
        self.reference_c, self.reference_wait = 20.0, 600.0
        self.reference_up: Array = up_vector()
        self.cooling: Cooling | None = None
        self.instruments: dict[str, float] = {}

    @classmethod
    def from_data(cls, data: Data) -> Circuit:
        """From nested data: the project's circuit file with the unit in the key, not in the value.

        ``sump.box.length_mm``, ``geometry.datum_mm``, ``dipstick.path_mm``, ``plugs.NAME.heel_l``,
        ``filter.net_volume_l``, ``stores.NAME.running_l`` and ``.pool_time_s``,
        ``fluid.density_15c_kg_m3``, ``reference.wait_s``, ``instruments.NAME.scale`` and so on.
        A key left out takes the default of the service model.
        """
        fluid = data["fluid"]
        oil = Oil(fluid["density_15c_kg_m3"], fluid["kv40_mm2_s"], fluid["kv100_mm2_s"])
        new = cls(_sump(data["sump"]), _stick(data["dipstick"]), oil)
        new.fuel = liquids.FUELS[fluid.get("fuel", "diesel")]
        geometry = data.get("geometry", {})
        new.volume_scale = geometry.get("volume_scale", 1.0)
        new.datum = geometry.get("datum_mm", 0.0) * MM
        for name, stick in data.get("sticks", {}).items():
            new.sticks[name] = Marks(stick["min_mm"] * MM, stick["max_mm"] * MM, stick.get("longer_mm", 0.0) * MM)
        new.plugs = {name: _plug(plug) for name, plug in data.get("plugs", {}).items()}
        new.filter = _filter(data["filter"]) if "filter" in data else None
        if "filler" in data:
            new.filler = Filler(data["filler"]["wetted_l"] * LITRE, data["filler"].get("film_time_s", 60.0))
        new.stores = {name: _store(data["stores"][name]) for name in sorted(data.get("stores", {}))}
        condition = data.get("reference", {})
        new.reference_c = condition.get("temperature_c", 20.0)
        # With the engine running every store holds all that it holds then: as after no wait at all.
        running = condition.get("engine", "stopped") == "running"
        new.reference_wait = condition.get("wait_s", 0.0 if running else 600.0)
        new.reference_up = up_vector(**condition.get("attitude", {}))
        if "cooling" in data:
            new.cooling = Cooling(data["cooling"]["time_s"], data["cooling"].get("ambient_c", new.reference_c))
        new.instruments = {name: tool["scale"] for name, tool in data.get("instruments", {}).items()}
        return new

    def held(self) -> Circuit:
        """What a Monte Carlo draw takes it for: nothing below nothing, shares between 0 and 1, film within running."""
        new = copy.copy(self)
        if new.filter is not None:
            shares = {key: min(max(getattr(new.filter, key), 0.0), 1.0) for key in ("drains", "spill")}
            new.filter = replace(new.filter, net_volume=max(new.filter.net_volume, 0.0), **shares)
        if new.filler is not None:
            new.filler = replace(new.filler, wetted=max(new.filler.wetted, 0.0))
        new.stores = {
            name: replace(store, kept=max(store.kept, 0.0), film=min(store.film, store.running))
            for name, store in self.stores.items()
        }
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

    def densities(self, temperature_c: float) -> tuple[float, ...]:
        """Density of each component [kg/m3]."""
        oil, fuel = self.oil.density(temperature_c), liquids.fuel(self.fuel, temperature_c)
        return oil, oil, fuel, liquids.coolant(temperature_c), liquids.water(temperature_c)

    def slowness(self, temperature_c: float) -> float:
        """The oil's kinematic viscosity over 100 mm2/s [-]."""
        return self.oil.kinematic_viscosity(temperature_c) / 100.0

    def clock(self, fixed: float, slow: float, temperature_c: float, rest: float, cools: bool = True) -> float:
        """Integral of dt / (fixed + slow * slowness) over a rest that begins at a temperature [-]."""
        if self.cooling is None or not cools:
            return rest / (fixed + slow * self.slowness(temperature_c))

        def rate(warm: Array) -> Array:
            return 1.0 / (fixed + slow * self.oil.kinematic_viscosities(warm) / 100.0)

        return self.cooling.integral(rate, temperature_c, rest)

    def elsewhere(self, net_volume: float) -> dict[str, float]:
        """What each place but the sump holds at the default start [m3], the filter being so large."""
        held: dict[str, float] = {}
        for name, store in self.stores.items():
            held[f"stores.{name}.pool"] = (store.running - store.film) * math.exp(
                -self.clock(store.inertia_time, store.pool_time, self.reference_c, self.reference_wait, cools=False)
            )
            held[f"stores.{name}.film"] = store.film / math.sqrt(1.0 + self.start_age(store))
            held[f"stores.{name}.kept"] = store.kept
        if self.filter is not None:
            held["filter"] = net_volume * (1.0 - self.filter.pool)
            if self.filter.leaking:
                drained = self.clock(0.0, self.filter.drain_time, self.reference_c, self.reference_wait, cools=False)
                held["filter.pool"] = net_volume * self.filter.pool * math.exp(-drained)
        return held

    def start_age(self, store: Store) -> float:
        """Age of a store's film at the default start [-]."""
        return self.clock(0.0, store.film_time, self.reference_c, self.reference_wait, cools=False)


def _sump(data: Data) -> Mesh | StrappingTable:
    if "box" in data:
        sides = data["box"]
        size = (sides["length_mm"] * MM, sides["width_mm"] * MM, sides["height_mm"] * MM)
        return Mesh(*shapes.box(*size))
    if "mesh" in data:
        return Mesh(np.asarray(data["mesh"]["vertices_mm"]) * MM, data["mesh"]["faces"])
    table = data["table"]
    return StrappingTable(np.asarray(table["level_mm"]) * MM, np.asarray(table["volume_l"]) * LITRE)


def _stick(data: Data) -> Stick:
    path = np.asarray(data["path_mm"], dtype=float) * MM
    stick = Stick(path.tolist(), data["min_mm"] * MM, data["max_mm"] * MM)
    stick.scatter = data.get("scatter_mm", 1.0) * MM
    stick.seat_offset = data.get("seat_offset_mm", 0.0) * MM
    stick.meniscus = data.get("meniscus_mm", 0.0) * MM
    stick.smear = data.get("smear_mm", 0.0) * MM
    stick.faces = data.get("faces_mm", 0.0) * MM
    stick.tube_pressure = data.get("tube_pressure_pa", 0.0)
    return stick


def _plug(data: Data) -> Plug:
    axis = np.asarray(data.get("axis", [0.0, 0.0, -1.0]), dtype=float)
    return Plug(
        heel=data["heel_l"] * LITRE if "heel_l" in data else None,
        lip=data.get("lip_l", 0.0) * LITRE,
        at=np.asarray(data["at_mm"], dtype=float) * MM,
        bore=data["bore_mm"] * MM,
        boss=data.get("boss_mm", 0.0) * MM,
        axis=axis / np.linalg.norm(axis),
    )


def _filter(data: Data) -> Filter:
    stands = data.get("orientation", "")
    return Filter(
        net_volume=data["net_volume_l"] * LITRE,
        leaking=data.get("valve") == "leaking",
        drains=data.get("drains", DRAINS.get(stands, 1.0)),
        drain_time=data.get("drain_time_s", 60.0),
        spill=data.get("spill", SPILL.get(stands, 0.0)),
    )


def _store(data: Data) -> Store:
    volumes = {key: data[f"{key}_l"] * LITRE for key in ("running", "kept", "film") if f"{key}_l" in data}
    times = {key: data[f"{key}_s"] for key in ("pool_time", "inertia_time", "film_time") if f"{key}_s" in data}
    return Store(**volumes, **times, opens_at_c=data.get("opens_at_c"))
