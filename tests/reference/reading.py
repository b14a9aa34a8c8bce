"""What the stick shows of a volume in the sump."""

from __future__ import annotations

from .circuit import LITRE, Circuit
from .geometry import Array
from .state import Event, Reading, Refused
from .stick import MM, Marks

GRAVITY = 9.80665


def read(circuit: Circuit, event: Event, up: Array, volume: float, density: float, wiped: bool) -> Reading:
    """The reading of a volume [m3] of a density [kg/m3] in an attitude.

    The event's `z` is the standard normal of its noise; `smear_mm` and `tube_pressure_pa` stand in place of the
    circuit's, `seat_offset_mm` is added to it; `face` and `stick` name the side read and another stick.
    """
    marks = _marks(circuit, event)
    pressure = event.get("tube_pressure_pa")
    pressure = circuit.stick.tube_pressure if pressure is None else pressure
    surface = circuit.surface(volume, up) + pressure / (density * GRAVITY)
    true = circuit.stick.wetted(surface, up, marks.longer)
    blade = circuit.stick.length + marks.longer
    shown = min(max(true.distance + _error(circuit, event, wiped), 0.0), blade)
    point, high = (circuit.stick.height(at - marks.longer, up) for at in (shown, marks.max))
    litres = (circuit.volume_below(point, up) - circuit.volume_below(high, up)) / LITRE
    fraction = (shown - marks.min) / (marks.max - marks.min)
    return Reading(event.get("label"), shown / MM, fraction, litres, true.flag)


def _marks(circuit: Circuit, event: Event) -> Marks:
    name = event.get("stick")
    if name is None:
        return circuit.stick.marks
    if name not in circuit.sticks:
        raise Refused(f'the circuit has no stick "{name}"')
    return circuit.sticks[name]


def _error(circuit: Circuit, event: Event, wiped: bool) -> float:
    """What the reading shows beyond the true one [m]."""
    stick = circuit.stick
    smear = 0.0 if wiped else stick.smear
    if event.get("smear_mm") is not None:
        smear = event["smear_mm"] * MM
    face = event.get("face") or "lower"
    if face not in ("lower", "higher"):
        raise Refused(f'"{face}" is neither "lower" nor "higher"')
    faces = stick.faces if face == "higher" else 0.0
    seat = stick.seat_offset + (event.get("seat_offset_mm") or 0.0) * MM
    return -seat + stick.meniscus + smear + faces + stick.scatter * (event.get("z") or 0.0)
