"""What a picture asks of a circuit: fittings in its body frame, words for attitudes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeAlias

import numpy as np

from fillmark._core import Attitude, Circuit, Plug
from fillmark.plot._cut import Floats

__all__ = ["Point", "crank_path", "entry", "hull", "pickup", "plugs", "stands"]

Point: TypeAlias = tuple[float, float, float]


def entry(circuit: Circuit, path: str) -> Any:  # noqa: ANN401 - as the file has it
    """Give an entry of the circuit, None where it has none."""
    try:
        return circuit[path]
    except KeyError:
        return None


def plugs(circuit: Circuit) -> list[Plug]:
    """Give the plugs of a circuit, pointing as the file says."""
    found = []
    for one in (entry(circuit, "plugs") or {}).values():
        axis = tuple(one.get("axis", (0.0, 0.0, -1.0)))
        found.append(Plug(at_mm=tuple(one["at_mm"]), bore_mm=one["bore"], axis=axis))
    return found


def pickup(circuit: Circuit, given: Point | None) -> Floats | None:
    """Give the mouth of the pickup as an array (1, 3) [mm], None where none is known."""
    if given is None:
        given = (entry(circuit, "pickup") or {}).get("at_mm")
    return None if given is None else np.array([given], dtype=float)


def crank_path(circuit: Circuit, given: Sequence[Point] | None) -> Floats | None:
    """Give the points (n, 3) that bound the crank's path below [mm], None where none are known."""
    if given is None:
        given = (entry(circuit, "crank") or {}).get("path_mm")
    return None if given is None else np.array(given, dtype=float).reshape(-1, 3)


def hull(points: Floats) -> Floats:
    """Draw the convex hull of points (n, 2), counter-clockwise (Andrew 1979)."""
    ordered = sorted(map(tuple, points.tolist()))

    def chain(row: list[Any]) -> list[Any]:
        kept: list[Any] = []
        for p in row:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], p) <= 0.0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return np.array(chain(ordered) + chain(ordered[::-1]))


def _turn(a: Any, b: Any, c: Any) -> float:  # noqa: ANN401 - pairs
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))


def stands(attitude: Attitude) -> str:
    """Say in words how the body stands."""
    pitch, roll = attitude.nose_up_deg, attitude.right_down_deg
    said = []
    if abs(pitch) > 1e-9:
        said.append(f"nose {abs(pitch):.3g}° {'up' if pitch > 0 else 'down'}")
    if abs(roll) > 1e-9:
        said.append(f"right side {abs(roll):.3g}° {'down' if roll > 0 else 'up'}")
    return ", ".join(said) or "level"
