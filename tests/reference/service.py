"""A service, event by event, exactly as `docs/model.md` puts it; scalar code, one step at a time.

Events are plain data: ``{"kind": "Pour", "volume_l": 4.0, "temperature_c": 20.0, "label": "..."}``.
Their keys are those of the events' keyword arguments, with the unit in the key.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from .circuit import COMPONENTS, LITRE, Circuit, Data
from .emptying import fully_drained, heel_by_geometry
from .geometry import Array, up_vector
from .holding import Holding, Rate
from .reading import read
from .state import Event, Place, Reading, Refused, Result, Row, State, copied, mixed_temperature

# In so many equal parts a rest is taken while a rate acts.
PARTS = 16


class Stretch(NamedTuple):
    """Rests in a row while a rate acts: how it all lay before them, in which attitude, and how long they have been."""

    before: State
    up: Array
    seconds: float


class Service(Holding):
    """A circuit during a service, from the default start or from another state.

    `limits` says what becomes of a pour or withdrawal beyond what there is room or liquid for:
    "refuse" it, or "clip" it and flag the row, as in a Monte Carlo draw.
    """

    def __init__(self, circuit: Circuit, limits: str = "refuse", start: State | None = None) -> None:
        if limits not in ("refuse", "clip"):
            raise ValueError(f'limits = "{limits}" is neither "refuse" nor "clip"')
        super().__init__(circuit if limits == "refuse" else circuit.held(), start)
        self.limits = limits
        self.up: Array = circuit.reference_up
        self.open_plugs: list[str] = []
        self.density_open = self.viscosity_open = 0.0
        self.fitted = self.filter is not None
        self.stretch: Stretch | None = None
        self.wiped = True
        self.flags: list[str] = []
        self.rows: list[Row] = []
        self._record({"kind": "Start"}, self.up)

    def drained_mass(self, up: Array) -> float:
        """What the open plugs leave in the sump in an attitude [kg]."""
        heels = [self.circuit.plugs[name].heel for name in self.open_plugs]
        stated = [heel for heel in heels if heel is not None]
        if stated and len(stated) < len(heels):
            raise NotImplementedError("a plug with a stated heel and one without are open together")
        heel = min(stated) if stated else heel_by_geometry(self.circuit, self.open_plugs, up)
        return self.density_open * heel

    def _amount(self, event: Event) -> tuple[float | None, float | None]:
        """The stated volume [m3] or mass [kg], exactly one of them."""
        volume, mass = event.get("volume_l"), event.get("mass_kg")
        if (volume is None) == (mass is None):
            raise Refused("state either a volume or a mass")
        return (None if volume is None else self._positive(volume) * LITRE), (mass and self._positive(mass))

    def _positive(self, value: float) -> float:
        """A value that is no less than nothing: refused, or nothing in a draw."""
        if value < 0.0 and self.limits == "refuse":
            raise Refused(f"{value} is less than nothing")
        return max(value, 0.0)

    # -- events ----------------------------------------------------------------------------------

    def step(self, event: Event) -> Row:
        """Carry out one event and return the row after it."""
        kind = event["kind"]
        if kind == "Tilt":
            self.up = _up(event["to"])
        up = _up(event["attitude"]) if event.get("attitude") else self.up
        steps: dict[str, Callable[[Event, Array], None]] = {
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
            "Leak": self._begin,
            "Use": self._begin,
            "Ingress": self._begin,
            "Stop": self._stop,
            "Wipe": self._wipe,
            "Tilt": _nothing,
            "Read": _nothing,
        }
        if kind not in steps:
            raise Refused(f'"{kind}" is no event')
        self.flags = []
        if kind not in ("Rest", "Read", "Wipe"):
            self.stretch = None
        steps[kind](event, up)
        if kind == "Drain":  # it ends by closing a plug
            self.stretch = None
        self._spill_open_plug(up)
        return self._record(event, up)

    def _spill_open_plug(self, up: Array) -> None:
        """Where a plug with a stated heel is open, all above it runs out at once."""
        if any(self.circuit.plugs[name].heel is not None for name in self.open_plugs):
            mass = self.state["sump"].mass
            if mass > 0.0:
                self._move("sump", "pan", (mass - self.drained_mass(up)) / mass)

    def _open(self, event: Event, up: Array) -> None:
        plug = event.get("plug") or "main"
        if plug not in self.circuit.plugs:
            raise Refused(f'the circuit has no plug "{plug}"')
        if plug in self.open_plugs:
            raise Refused(f'plug "{plug}" is open already')
        self._set_temperature(event)
        if not self.open_plugs:
            self._note_sump()
        self.open_plugs.append(plug)
        self._spill_open_plug(up)

    def _note_sump(self) -> None:
        """Density and viscosity while plugs are open: as the first was opened, or something was poured in last."""
        sump = self.state["sump"]
        volume = self.sump_volume()
        self.density_open = sump.mass / volume if volume > 0.0 else self.circuit.oil.density(sump.temperature_c)
        self.viscosity_open = self.circuit.oil.kinematic_viscosity(sump.temperature_c)

    def _close(self, event: Event, _: Array) -> None:
        plug = event.get("plug")
        if not self.open_plugs or (plug is not None and plug not in self.open_plugs):
            raise Refused("no plug is open" if plug is None else f'plug "{plug}" is not open')
        self.open_plugs = [name for name in self.open_plugs if plug not in (None, name)]

    def _drain(self, event: Event, up: Array) -> None:
        self._open(event, up)
        self._rest(event, up)
        self._spill_open_plug(up)
        self._close({"plug": event.get("plug") or "main"}, up)

    def _remove_filter(self, event: Event, _: Array) -> None:
        if not self.fitted or self.filter is None:
            raise Refused("no filter is fitted")
        for path in self._filter_paths():
            self._move(path, "floor", self.filter.spill)
            self._move(path, "old filter", 1.0)
        self.fitted = False

    def _fit_filter(self, event: Event, _: Array) -> None:
        if self.filter is None or self.fitted:
            raise Refused("there is no place for a filter")
        primed = self._positive(event.get("primed_l") or 0.0) * LITRE
        stated = event.get("net_volume_l")
        net_volume = self.circuit.filter.net_volume if stated is None else self._positive(stated) * LITRE
        if primed > net_volume:
            raise Refused(f"a filter cannot be primed with {primed} m3: it holds {net_volume}")
        self.net_volume = net_volume
        self._fill_filter(self._new_oil(event, primed))
        self.fitted = True

    def _change_filter(self, event: Event, up: Array) -> None:
        self._remove_filter(event, up)
        self._fit_filter(event, up)

    def _pour(self, event: Event, _: Array) -> None:
        volume, mass = self._amount(event)
        if volume is not None and event.get("measured_with") is not None:
            volume *= self.circuit.instruments[event["measured_with"]]
        before = copied(self.state)
        poured = self._new_oil(event, volume, mass)
        if self.circuit.filler is not None:
            self._move("filler", "sump", 1.0)
            held = self.volume_of(poured)
            if held > 0.0:
                self.state["filler"].receive(poured.take(self.circuit.filler.wetted / held))
            self.state["filler"].age = 0.0
        self.state["sump"].receive(poured)
        excess = self.sump_volume() - self.circuit.capacity
        if excess > 0.0 and self.limits == "refuse":
            self.state = before
            raise Refused(f"the sump would hold {excess} m3 more than its capacity")
        if excess > 0.0:
            self._move_volume("sump", "floor", excess)
            self.flags.append("overflowed")
        if self.open_plugs:
            self._note_sump()
        self.wiped = False

    def _withdraw(self, event: Event, _: Array) -> None:
        volume, mass = self._amount(event)
        sump = self.state["sump"]
        held, wanted = (sump.mass, mass) if volume is None else (self.sump_volume(), volume)
        assert wanted is not None
        if wanted > held and self.limits == "refuse":
            raise Refused(f"cannot withdraw {wanted}: the sump holds {held}")
        if wanted > held:
            self.flags.append("emptied")
        if held > 0.0:
            self._move("sump", "pan", wanted / held)

    def _wipe(self, _: Event, __: Array) -> None:
        self.wiped = True

    # -- running ---------------------------------------------------------------------------------

    def _run(self, event: Event, _: Array) -> None:
        circuit = self.circuit
        if self.open_plugs:
            raise Refused(f"cannot run: a plug is open: {self.open_plugs}")
        if self.filter is not None and not self.fitted:
            raise Refused("cannot run: no filter is fitted")
        seconds = _seconds(event)
        if circuit.filler is not None:
            self.state["sump"].receive(self._film_return("filler", circuit.filler.film_time, seconds, cools=False))
        shut = self._shut_stores(event)
        for path in self._filter_paths():
            self._move(path, "sump", 1.0)
        for name in circuit.stores:
            if name not in shut:
                for part in ("pool", "film", "kept"):
                    self._move(f"stores.{name}.{part}", "sump", 1.0)
        self._set_temperature(event)
        self._act(seconds, running=True)
        self._fill_up(shut)
        self.wiped = False

    def _shut_stores(self, event: Event) -> list[str]:
        """The stores that their thermostats shut off in a run."""
        stores = self.circuit.stores
        free = [name for name, store in stores.items() if store.opens_at_c is None]
        paths = ["sump", *self._filter_paths(), *_parts(free)]
        at = event.get("temperature_c")
        if at is None:
            at = mixed_temperature([self.state[path] for path in paths])
        return [name for name, store in stores.items() if store.opens_at_c is not None and store.opens_at_c > at]

    def _fill_up(self, shut: Sequence[str]) -> None:
        if self.filter is not None:
            self._fill_filter(self.state["sump"])
        for name, store in self.circuit.stores.items():
            if name not in shut:
                parts = {"kept": store.kept, "pool": store.running - store.film, "film": store.film}
                for part, volume in parts.items():
                    self._move_volume("sump", f"stores.{name}.{part}", volume)
                self.state[f"stores.{name}.film"].age = 0.0

    # -- resting ---------------------------------------------------------------------------------

    def _rest(self, event: Event, up: Array) -> None:
        seconds = _seconds(event)
        if not any(rate.when == "always" for rate in self.rates):
            self._rest_for(seconds, up)
            return
        before = copied(self.state)
        if self.stretch is not None and np.array_equal(self.stretch.up, up):
            before, seconds = self.stretch.before, self.stretch.seconds + seconds
            self.state = copied(before)
        self.stretch = Stretch(before, up, seconds)
        for _ in range(PARTS):
            self._rest_for(seconds / PARTS, up)
            self._spill_open_plug(up)

    def _rest_for(self, seconds: float, up: Array) -> None:
        returned = Place(self.circuit.reference_c)
        for part in self._returns(seconds):
            returned.receive(part)
        if self.open_plugs and returned.mass > 0.0:
            room = self.drained_mass(up) - self.state["sump"].mass
            self.state["sump"].receive(returned.take(room / returned.mass))
            self.state["pan"].receive(returned)
        else:
            self.state["sump"].receive(returned)
        self._act(seconds, running=False)
        if self.open_plugs and all(self.circuit.plugs[name].heel is None for name in self.open_plugs):
            self._empty(seconds, up)
        if self.circuit.cooling is not None:
            for place in self.state.values():
                place.temperature_c = self.circuit.cooling.after(place.temperature_c, seconds)

    def _empty(self, seconds: float, up: Array) -> None:
        """Through a plug whose heel the geometry says; only a rest that is long enough for all of it."""
        mass, heel = self.state["sump"].mass, self.drained_mass(up)
        if mass > heel:
            fully_drained(self.circuit, self.open_plugs, up, self.sump_volume(), self.viscosity_open, seconds)
            self._move("sump", "pan", (mass - heel) / mass)

    # -- rates -----------------------------------------------------------------------------------

    def _begin(self, event: Event, _: Array) -> None:
        kind = event["kind"]
        when = event.get("when") or ("always" if kind == "Leak" else "running")
        if when not in ("running", "always"):
            raise Refused(f'"{when}" is neither "running" nor "always"')
        component = COMPONENTS.index(event["component"]) if kind == "Ingress" else None
        speed = self._positive(event["rate_l_min"]) * LITRE / 60.0
        self.rates.append(Rate(kind, event.get("label"), speed, when, component))

    def _stop(self, event: Event, _: Array) -> None:
        going = [rate for rate in self.rates if rate.label != event["label"]]
        if len(going) == len(self.rates):
            raise Refused(f'no active rate has the label "{event["label"]}"')
        self.rates = going

    # -- reading and recording -------------------------------------------------------------------

    def read(self, event: Event, up: Array | None = None) -> Reading:
        """What the stick shows, as a Read event says; nothing changes."""
        sump, volume = self.state["sump"], self.sump_volume()
        density = sump.mass / volume if volume > 0.0 else self.circuit.oil.density(sump.temperature_c)
        return read(self.circuit, event, self.up if up is None else up, volume, density, self.wiped)

    def _record(self, event: Event, up: Array) -> Row:
        reading = self.read(event, up) if event["kind"] == "Read" else None
        level = self.circuit.level(self.sump_volume(), up)
        state = copied(self.state)
        row = Row(event["kind"], event.get("label"), state, level * 1e3, tuple(self.flags), reading)
        self.rows.append(row)
        return row

    def result(self) -> Result:
        """The rows so far and the verdict at their end."""
        return Result(list(self.rows), self.v_drained() / LITRE, self.circuit.v_max() / LITRE)


def _up(attitude: Data) -> Array:
    return up_vector(attitude.get("nose_up_deg", 0.0), attitude.get("right_down_deg", 0.0))


def _nothing(_: Event, __: Array) -> None:
    pass


def _parts(stores: Sequence[str]) -> list[str]:
    return [f"stores.{name}.{part}" for name in stores for part in ("pool", "film", "kept")]


def _seconds(event: Event) -> float:
    units = {"seconds": 1.0, "minutes": 60.0, "hours": 3600.0}
    return sum(factor * (event.get(unit) or 0.0) for unit, factor in units.items())


def simulate(
    circuit: Data | Circuit, events: Sequence[Event], limits: str = "refuse", start: State | None = None
) -> Result:
    """Carry out a list of events on a circuit (data or `Circuit`) from its start, or from another state."""
    plain = circuit if isinstance(circuit, Circuit) else Circuit.from_data(circuit)
    service = Service(plain, limits, start)
    for event in events:
        service.step(event)
    return service.result()
