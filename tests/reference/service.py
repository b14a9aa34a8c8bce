"""A service, event by event, exactly as `docs/model.md` puts it; scalar code, one step at a time.

Events are plain data: ``{"kind": "Pour", "volume_l": 4.0, "temperature_c": 20.0, "label": "..."}``.
Their keys are those of the events' keyword arguments, with the unit in the key.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .circuit import LITRE, MM, Circuit, Data
from .geometry import Array, up_vector

COMPONENTS = ("old_oil", "new_oil", "fuel", "coolant", "water")
OLD, NEW = 0, 1
# Specific heats, kJ/(kg K), in the order of the components (judgement of the model).
HEATS = (2.0, 2.0, 2.0, 3.5, 4.18)

Event = Mapping[str, Any]


class Refused(ValueError):
    """An event that cannot be carried out."""


@dataclass
class Place:
    """Liquid in one place: mass of each component [kg], temperature [degC], film age [-]."""

    temperature_c: float
    kg: list[float] = field(default_factory=lambda: [0.0] * len(COMPONENTS))
    age: float = 0.0

    @property
    def mass(self) -> float:
        """Mass of all components [kg]."""
        return math.fsum(self.kg)

    @property
    def heat(self) -> float:
        """Heat capacity [kJ/K]."""
        return math.fsum(m * c for m, c in zip(self.kg, HEATS, strict=True))


State = dict[str, Place]


@dataclass(frozen=True)
class Reading:
    """What the stick shows: millimetres, fraction of the span, litres from MAX, flag."""

    label: str | None
    mm: float
    fraction: float
    litres_from_max: float
    flag: str | None


@dataclass(frozen=True)
class Row:
    """The state after one event (or at the start), and the level of the sump there [mm]."""

    kind: str
    label: str | None
    state: State
    level_mm: float
    flags: tuple[str, ...] = ()
    reading: Reading | None = None


@dataclass(frozen=True)
class Result:
    """Every row of a service, its readings, and the level's verdict [L]."""

    rows: list[Row]
    v_drained_l: float
    v_max_l: float

    @property
    def readings(self) -> list[Reading]:
        """Readings in order."""
        return [row.reading for row in self.rows if row.reading is not None]

    @property
    def over_max(self) -> bool:
        """Whether the drained-back volume at the reference condition exceeds MAX."""
        return self.v_drained_l > self.v_max_l * (1 + 1e-12)


class Service:
    """A circuit during a service.

    `limits` says what becomes of a pour or withdrawal beyond what there is room or liquid for:
    "refuse" it, or "clip" it and flag the row, as in a Monte Carlo draw.
    """

    def __init__(self, circuit: Circuit, limits: str = "refuse") -> None:
        if limits not in ("refuse", "clip"):
            raise ValueError(f'limits = "{limits}" is neither "refuse" nor "clip"')
        self.circuit, self.limits = circuit, limits
        self.up: Array = circuit.reference_up
        self.open_plug: str | None = None
        self.fitted = circuit.filter is not None
        self.flags: list[str] = []
        self.state: State = self._start()
        self.rows: list[Row] = []
        self._record({"kind": "Start"}, self.up)

    def _start(self) -> State:
        circuit, temperature = self.circuit, self.circuit.reference_c
        density = circuit.oil.density(temperature)
        state: State = {}

        def put(path: str, volume: float, age: float = 0.0) -> None:
            state[path] = Place(temperature, age=age)
            state[path].kg[OLD] = volume * density

        put("sump", circuit.v_max())
        for name, store in circuit.stores.items():
            pool = store.running - store.film
            age = circuit.film_ageing(store, circuit.reference_wait, temperature)
            put(f"stores.{name}.pool", pool * circuit.pool_left(store, circuit.reference_wait, temperature))
            put(f"stores.{name}.film", store.film * math.sqrt(1.0 / (1.0 + age)), age)
            put(f"stores.{name}.kept", store.kept)
        if circuit.filter is not None:
            put("filter", circuit.filter)
        for path in ("old filter", "pan", "floor"):
            put(path, 0.0)
        return state

    # -- quantities of places --------------------------------------------------------------------

    def volume_of(self, place: Place, temperature_c: float | None = None) -> float:
        """Volume of a place at a temperature (its own if none is given) [m3]."""
        if any(place.kg[NEW + 1 :]):
            raise ValueError("the model states no density of fuel, coolant and water")
        at = place.temperature_c if temperature_c is None else temperature_c
        return place.mass / self.circuit.oil.density(at)

    def sump_volume(self) -> float:
        """Volume in the sump at its own temperature [m3]."""
        return self.volume_of(self.state["sump"])

    def circuit_paths(self) -> list[str]:
        """The places of the circuit: sump, stores, filter."""
        return [path for path in self.state if path not in ("old filter", "pan", "floor")]

    def circuit_mass(self) -> float:
        """Mass of all that is in the circuit [kg]."""
        return math.fsum(self.state[path].mass for path in self.circuit_paths())

    def v_drained(self) -> float:
        """What would stand in the sump in the reference condition, filter and stores as they are then [m3]."""
        circuit = self.circuit
        density = circuit.oil.density(circuit.reference_c)
        start = self.rows[0].state
        elsewhere = math.fsum(start[path].mass for path in self.circuit_paths() if path != "sump")
        return (self.circuit_mass() - elsewhere) / density

    # -- moving ----------------------------------------------------------------------------------

    def _move(self, source: str, target: str, share: float) -> None:
        """Move a share of every component, with its heat."""
        if share <= 0.0:
            return
        place, share = self.state[source], min(share, 1.0)
        moved = Place(place.temperature_c, [share * m for m in place.kg])
        place.kg = [0.0 if share == 1.0 else m - x for m, x in zip(place.kg, moved.kg, strict=True)]
        self._receive(target, moved)

    def _move_volume(self, source: str, target: str, volume: float) -> None:
        held = self.volume_of(self.state[source])
        if held > 0.0:
            self._move(source, target, volume / held)

    def _receive(self, target: str, moved: Place) -> None:
        place = self.state[target]
        before, added = place.heat, moved.heat
        if added == 0.0:
            return
        if before == 0.0:
            place.temperature_c = moved.temperature_c
        else:
            mixed = before * place.temperature_c + added * moved.temperature_c
            place.temperature_c = mixed / (before + added)
        place.kg = [m + x for m, x in zip(place.kg, moved.kg, strict=True)]

    def _set_temperature(self, event: Event) -> None:
        if event.get("temperature_c") is not None:
            for path in self.circuit_paths():
                self.state[path].temperature_c = event["temperature_c"]

    def _new_oil(self, event: Event, volume: float | None, mass: float | None = None) -> Place:
        at = event.get("temperature_c")
        oil = Place(self.circuit.reference_c if at is None else at)
        if mass is None:
            mass = (volume or 0.0) * self.circuit.oil.density(oil.temperature_c)
        oil.kg[NEW] = mass
        return oil

    # -- events ----------------------------------------------------------------------------------

    def step(self, event: Event) -> Row:
        """Carry out one event and return the row after it."""
        kind = event["kind"]
        up = _up(event["attitude"]) if event.get("attitude") else None
        if kind == "Tilt":
            self.up = _up(event["to"])
        steps: dict[str, Callable[[Event], None]] = {
            "OpenPlug": self._open,
            "ClosePlug": self._close,
            "Drain": self._drain,
            "RemoveFilter": self._remove_filter,
            "FitFilter": self._fit_filter,
            "ChangeFilter": self._change_filter,
            "Pour": self._pour,
            "Withdraw": self._withdraw,
            "Run": self._run,
            "Rest": self._rest,
            "Tilt": lambda _: None,
            "Read": lambda _: None,
        }
        if kind not in steps:
            raise Refused(f'"{kind}" is no event')
        self.flags = []
        steps[kind](event)
        self._spill_open_plug()
        return self._record(event, self.up if up is None else up)

    def _spill_open_plug(self) -> None:
        if self.open_plug is not None:
            above = self.sump_volume() - self.circuit.heels[self.open_plug]
            self._move_volume("sump", "pan", above)

    def _open(self, event: Event) -> None:
        plug = event.get("plug", "main")
        if plug not in self.circuit.heels:
            raise Refused(f'the circuit has no plug "{plug}"')
        if self.open_plug is not None:
            raise Refused(f'plug "{self.open_plug}" is open already')
        self._set_temperature(event)
        self.open_plug = plug
        self._spill_open_plug()

    def _close(self, event: Event) -> None:
        plug = event.get("plug", "main")
        if self.open_plug != plug:
            raise Refused(f'plug "{plug}" is not open')
        self.open_plug = None

    def _drain(self, event: Event) -> None:
        self._open(event)
        self._rest(event)
        self._spill_open_plug()
        self._close(event)

    def _remove_filter(self, _: Event) -> None:
        if not self.fitted:
            raise Refused("no filter is fitted")
        self._move("filter", "old filter", 1.0)
        self.fitted = False

    def _fit_filter(self, event: Event) -> None:
        if self.circuit.filter is None or self.fitted:
            raise Refused("there is no place for a filter")
        primed = event.get("primed_l", 0.0) * LITRE
        if primed > self.circuit.filter:
            raise Refused(f"a filter cannot be primed with {primed} m3: it holds {self.circuit.filter}")
        self._receive("filter", self._new_oil(event, primed))
        self.fitted = True

    def _change_filter(self, event: Event) -> None:
        self._remove_filter(event)
        self._fit_filter(event)

    def _pour(self, event: Event) -> None:
        volume, mass = _amount(event)
        if volume is not None and event.get("measured_with") is not None:
            volume *= self.circuit.instruments[event["measured_with"]]
        before = copy.deepcopy(self.state["sump"])
        self._receive("sump", self._new_oil(event, volume, mass))
        excess = self.sump_volume() - self.circuit.capacity
        if excess > 0.0 and self.limits == "refuse":
            self.state["sump"] = before
            raise Refused(f"the sump would hold {excess} m3 more than its capacity")
        if excess > 0.0:
            self._move_volume("sump", "floor", excess)
            self.flags.append("overflowed")

    def _withdraw(self, event: Event) -> None:
        volume, mass = _amount(event)
        sump = self.state["sump"]
        held, wanted = (sump.mass, mass) if volume is None else (self.sump_volume(), volume)
        assert wanted is not None
        if wanted > held and self.limits == "refuse":
            raise Refused(f"cannot withdraw {wanted}: the sump holds {held}")
        if wanted > held:
            self.flags.append("emptied")
        if held > 0.0:
            self._move("sump", "pan", wanted / held)

    def _run(self, event: Event) -> None:
        circuit = self.circuit
        if self.open_plug is not None:
            raise Refused(f'cannot run: plug "{self.open_plug}" is open')
        if circuit.filter is not None and not self.fitted:
            raise Refused("cannot run: no filter is fitted")
        if circuit.filter is not None:
            self._move("filter", "sump", 1.0)
        for name in circuit.stores:
            for part in ("pool", "film", "kept"):
                self._move(f"stores.{name}.{part}", "sump", 1.0)
        self._set_temperature(event)
        if circuit.filter is not None:
            self._move_volume("sump", "filter", circuit.filter)
        for name, store in circuit.stores.items():
            self._move_volume("sump", f"stores.{name}.kept", store.kept)
            self._move_volume("sump", f"stores.{name}.pool", store.running - store.film)
            self._move_volume("sump", f"stores.{name}.film", store.film)
            self.state[f"stores.{name}.film"].age = 0.0

    def _rest(self, event: Event) -> None:
        seconds = event.get("seconds", 0.0) + 60.0 * event.get("minutes", 0.0) + 3600.0 * event.get("hours", 0.0)
        for name, store in self.circuit.stores.items():
            pool, film = f"stores.{name}.pool", f"stores.{name}.film"
            left = self.circuit.pool_left(store, seconds, self.state[pool].temperature_c)
            self._move(pool, "sump", 1.0 - left)
            before = self.state[film].age
            after = before + self.circuit.film_ageing(store, seconds, self.state[film].temperature_c)
            self._move(film, "sump", 1.0 - math.sqrt((1.0 + before) / (1.0 + after)))
            self.state[film].age = after

    # -- reading and recording -------------------------------------------------------------------

    def read(self, up: Array, label: str | None = None, z: float = 0.0) -> Reading:
        """What the stick shows in an attitude; `z` is the standard normal of its noise."""
        circuit, stick = self.circuit, self.circuit.stick
        true, flag = stick.wetted(circuit.surface(self.sump_volume(), up), up)
        shown = min(max(true - stick.seat_offset + stick.scatter * z, 0.0), stick.length)
        at_reading = circuit.volume_below(stick.height(shown, up), up)
        at_max = circuit.volume_below(stick.height(stick.max, up), up)
        fraction = (shown - stick.min) / (stick.max - stick.min)
        return Reading(label, shown / MM, fraction, (at_reading - at_max) / LITRE, flag)

    def _record(self, event: Event, up: Array) -> Row:
        label = event.get("label")
        reading = self.read(up, label, event.get("z", 0.0)) if event["kind"] == "Read" else None
        level = self.circuit.level(self.sump_volume(), up)
        state = copy.deepcopy(self.state)
        row = Row(event["kind"], label, state, level / MM, tuple(self.flags), reading)
        self.rows.append(row)
        return row

    def result(self) -> Result:
        """The rows so far and the verdict at their end."""
        return Result(list(self.rows), self.v_drained() / LITRE, self.circuit.v_max() / LITRE)


def _up(attitude: Data) -> Array:
    return up_vector(attitude.get("nose_up_deg", 0.0), attitude.get("right_down_deg", 0.0))


def _amount(event: Event) -> tuple[float | None, float | None]:
    """The stated volume [m3] or mass [kg], exactly one of them."""
    volume, mass = event.get("volume_l"), event.get("mass_kg")
    if (volume is None) == (mass is None):
        raise Refused("state either a volume or a mass")
    return (None if volume is None else volume * LITRE), mass


def simulate(circuit: Data | Circuit, events: Sequence[Event], limits: str = "refuse") -> Result:
    """Carry out a list of events on a circuit (data or `Circuit`) from its start."""
    plain = circuit if isinstance(circuit, Circuit) else Circuit.from_data(circuit)
    service = Service(plain, limits)
    for event in events:
        service.step(event)
    return service.result()
