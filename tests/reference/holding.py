"""The liquid of a circuit: what each place holds, how it moves, returns in a rest, leaks and comes in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .circuit import Circuit, Filter
from .state import Event, Place, State, copied

OLD, NEW = 0, 1
# Places outside the circuit.
OUTSIDE = ("old filter", "pan", "floor", "burnt")


@dataclass(frozen=True)
class Rate:
    """A leak, a use or an ingress that goes on: its kind, label, volume rate [m3/s], when, and component."""

    kind: str
    label: str | None
    volume_rate: float
    when: str
    component: int | None = None


class Holding:
    """Every place of a circuit with what it holds, at the default start or in another state."""

    def __init__(self, circuit: Circuit, start: State | None = None) -> None:
        self.circuit = circuit
        self.filter: Filter | None = circuit.filter
        self.net_volume = 0.0 if circuit.filter is None else circuit.filter.net_volume
        self.rates: list[Rate] = []
        self.state: State = self._start() if start is None else copied(start)

    def _start(self) -> State:
        circuit, temperature = self.circuit, self.circuit.reference_c
        density = circuit.oil.density(temperature)
        volumes = {"sump": circuit.v_max(), **circuit.elsewhere(self.net_volume)}
        if circuit.filler is not None:
            volumes["filler"] = 0.0
        state = {path: Place(temperature) for path in (*volumes, *OUTSIDE)}
        for path, volume in volumes.items():
            state[path].kg[OLD] = volume * density
        for name, store in circuit.stores.items():
            state[f"stores.{name}.film"].age = circuit.start_age(store)
        return state

    # -- quantities of places --------------------------------------------------------------------

    def volume_of(self, place: Place, temperature_c: float | None = None) -> float:
        """Volume of a place at a temperature (its own if none is given) [m3]."""
        at = place.temperature_c if temperature_c is None else temperature_c
        return math.fsum(m / density for m, density in zip(place.kg, self.circuit.densities(at), strict=True))

    def sump_volume(self) -> float:
        """Volume in the sump at its own temperature [m3]."""
        return self.volume_of(self.state["sump"])

    def circuit_paths(self) -> list[str]:
        """The places of the circuit: sump, stores, filter, filler."""
        return [path for path in self.state if path not in OUTSIDE]

    def circuit_volume(self, temperature_c: float) -> float:
        """Volume of all that is in the circuit, were it at one temperature [m3]."""
        return math.fsum(self.volume_of(self.state[path], temperature_c) for path in self.circuit_paths())

    def v_drained(self) -> float:
        """What would stand in the sump in the reference condition, filter and stores as they are then [m3]."""
        elsewhere = math.fsum(self.circuit.elsewhere(self.net_volume).values())
        return self.circuit_volume(self.circuit.reference_c) - elsewhere

    # -- moving ----------------------------------------------------------------------------------

    def _move(self, source: str, target: str, share: float) -> None:
        """Move a share of every component, with its heat."""
        self.state[target].receive(self.state[source].take(share))

    def _move_volume(self, source: str, target: str, volume: float) -> None:
        held = self.volume_of(self.state[source])
        if held > 0.0:
            self._move(source, target, volume / held)

    def _set_temperature(self, event: Event) -> None:
        if event.get("temperature_c") is not None:
            for path in self.circuit_paths():
                self.state[path].temperature_c = event["temperature_c"]

    def _new_oil(self, event: Event, volume: float | None, mass: float | None = None) -> Place:
        at = event.get("temperature_c")
        oil = Place(self.circuit.reference_c if at is None else at)
        oil.kg[NEW] = (volume or 0.0) * self.circuit.oil.density(oil.temperature_c) if mass is None else mass
        return oil

    def _filter_paths(self) -> list[str]:
        return [path for path in ("filter", "filter.pool") if path in self.state]

    def _fill_filter(self, source: Place) -> None:
        """Fill what the filter keeps and then its pool, as far as the liquid goes."""
        assert self.filter is not None
        for path in self._filter_paths():
            share = self.filter.pool if path == "filter.pool" else 1.0 - self.filter.pool
            held = self.volume_of(source)
            if held > 0.0:
                self.state[path].receive(source.take(share * self.net_volume / held))

    # -- time -------------------------------------------------------------------------------------

    def _returns(self, seconds: float) -> list[Place]:
        """What comes back in a rest, in order, taken from where it was."""
        circuit, back = self.circuit, []
        for name, store in circuit.stores.items():
            pool = f"stores.{name}.pool"
            back.append(self._pool_return(pool, store.inertia_time, store.pool_time, seconds))
            back.append(self._film_return(f"stores.{name}.film", store.film_time, seconds))
        if self.filter is not None and self.filter.leaking:
            back.append(self._pool_return("filter.pool", 0.0, self.filter.drain_time, seconds))
        if circuit.filler is not None:
            back.append(self._film_return("filler", circuit.filler.film_time, seconds))
        return back

    def _pool_return(self, path: str, fixed: float, slow: float, seconds: float) -> Place:
        place = self.state[path]
        return place.take(-math.expm1(-self.circuit.clock(fixed, slow, place.temperature_c, seconds)))

    def _film_return(self, path: str, slow: float, seconds: float, cools: bool = True) -> Place:
        place = self.state[path]
        before = place.age
        place.age += self.circuit.clock(0.0, slow, place.temperature_c, seconds, cools)
        return place.take(1.0 - math.sqrt((1.0 + before) / (1.0 + place.age)))

    def _act(self, seconds: float, running: bool) -> None:
        """The active rates, in the order in which they were begun."""
        base, sump = self.circuit.densities(15.0), self.state["sump"]
        for rate in self.rates:
            if rate.when == "running" and not running:
                continue
            volume = rate.volume_rate * seconds
            if rate.component is not None:
                more = Place(sump.temperature_c)
                more.kg[rate.component] = volume * base[rate.component]
                sump.receive(more)
            elif sump.mass > 0.0:
                target = "floor" if rate.kind == "Leak" else "burnt"
                self._move("sump", target, volume * base[OLD] / sump.mass)
