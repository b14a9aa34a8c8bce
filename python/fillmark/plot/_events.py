"""What the rows of a timeline say of the events: how the vehicle stood."""

from __future__ import annotations

import json
from typing import Any

from fillmark._core import Attitude, Timeline, Uncertain

__all__ = ["attitudes"]

_DEGREES = {"deg": 1.0, "rad": 57.29577951308232}


def attitudes(line: Timeline) -> list[Attitude]:
    """Give the attitude of every row: that of a `Tilt` persists, an event's own holds for its row only."""
    stands = line.circuit.reference_attitude
    found = [stands]
    for event in line.events:
        data = json.loads(event.to_json())
        if "tilt" in data:
            stands = _attitude(data["tilt"]["attitude"])
        own = data.get("attitude")
        found.append(_attitude(own) if own else stands)
    return found


def _attitude(data: dict[str, Any]) -> Attitude:
    angles = {f"{name}_deg": _degrees(data[name]) for name in ("nose_up", "right_down") if name in data}
    return Attitude(**angles)


def _degrees(value: Any) -> float:  # noqa: ANN401 - a number or text with a unit
    if isinstance(value, (int, float)):
        return float(value)
    found = Uncertain(value)
    return found.nominal * _DEGREES.get(found.unit, 1.0)
