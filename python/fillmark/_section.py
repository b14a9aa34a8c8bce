"""A circuit in a vertical plane: the numbers that a drawing of it needs."""

from __future__ import annotations

import numpy as np

from fillmark import _cut
from fillmark._core import Attitude, Circuit
from fillmark._cut import Floats, View
from fillmark._errors import GeometryError, QuantityError

__all__ = ["Drawing"]

_DIRECTIONS = ("x", "y", "stick")


class Drawing:
    """A circuit in the plane of the drawing: (n, 2) arrays, along the ground and height above the lowest point [mm]."""

    def __init__(self, circuit: Circuit, attitude: Attitude, along: str) -> None:
        self.circuit, self.attitude, self.along = circuit, attitude, along
        self.height = circuit.sump.height_mm(attitude=attitude)
        self.stick_path = np.array(circuit.stick_path_mm)
        self.view = View.along(self._direction(), attitude, self.stick_path[0])
        vertices, faces = _cut.mesh_mm(circuit.sump)
        self.lowest = float(self.view.flat(vertices)[:, 1].min())
        self.loops = [loop - np.array([0.0, self.lowest]) for loop in _cut.cut(vertices, faces, self.view)]
        if not self.loops:
            x, y, z = self.stick_path[0]
            message = (
                f"the vertical plane along {along!r} through the tip of the stick ({x}, {y}, {z}) mm misses the sump"
            )
            raise GeometryError(message, "geometry.plane_misses", {"tip_mm": (x, y, z), "along": along})
        self.stick = self.flat(self.stick_path)

    def _direction(self) -> Floats:
        if self.along not in _DIRECTIONS:
            accepted = ", ".join(repr(d) for d in _DIRECTIONS)
            raise QuantityError(
                f"along = {self.along!r} is none of {accepted}", "quantity.unknown_word", {"along": self.along}
            )
        up = np.array(self.attitude.up)
        lean = self.stick_path[-1] - self.stick_path[0]
        leans = np.linalg.norm(np.cross(lean, up)) > 1e-3 * np.linalg.norm(lean)
        if self.along == "stick" and leans:
            return np.asarray(lean if lean[0] >= 0.0 else -lean)
        return np.array([0.0, 1.0, 0.0]) if self.along == "y" else np.array([1.0, 0.0, 0.0])

    def flat(self, points: Floats) -> Floats:
        """Turn points (n, 3) of the body frame into places of the drawing."""
        return np.asarray(self.view.flat(points) - np.array([0.0, self.lowest]))

    def on_blade(self, mm: float) -> Floats:
        """Find the place of a distance from the tip, in the drawing, with the stick as proud as it nominally stands."""
        inputs = self.circuit.columns()
        offset = float(inputs["nominal"][list(inputs["path"]).index("dipstick.seat_offset")]) * 1e3
        steps = np.linalg.norm(np.diff(self.stick_path, axis=0), axis=1)
        along = np.concatenate([[0.0], np.cumsum(steps)])
        if not 0.0 <= mm <= along[-1]:
            raise _outside("reading", mm, float(along[-1]))
        return np.array([np.interp(mm + offset, along, column) for column in self.stick.T])

    def level(self, level_mm: float | None, reading_mm: float | None) -> float | None:
        """Settle the level asked for, above the lowest point [mm]."""
        if level_mm is not None and reading_mm is not None:
            raise QuantityError("give a level or a reading, not both", "quantity.given_twice")
        if reading_mm is not None:
            return float(self.on_blade(reading_mm)[1])
        if level_mm is not None and not 0.0 <= level_mm <= self.height:
            raise _outside("level", level_mm, self.height)
        return level_mm

    def strip(self, low: float, high: float) -> list[Floats]:
        """Draw loops around the part of the section between two levels."""
        part = _cut.below(self.loops, high)
        if low <= 0.0:
            return part
        turned = np.array([1.0, -1.0])
        return [loop * turned for loop in _cut.below([loop * turned for loop in part], -low)]

    def surface(self, level: float) -> list[tuple[float, float]]:
        """Find where the free surface begins and ends along the ground, left to right, part by part."""
        ends: list[float] = []
        for loop in self.loops:
            for (x, z), (x2, z2) in zip(loop, np.roll(loop, -1, axis=0), strict=True):
                if (z <= level) != (z2 <= level):
                    ends.append(float(x + (level - z) / (z2 - z) * (x2 - x)))
        ends.sort()
        return list(zip(ends[::2], ends[1::2], strict=True))

    def extent(self) -> tuple[Floats, Floats]:
        """Give the lower left and upper right corner of section and stick."""
        points = np.vstack([*self.loops, self.stick])
        return points.min(axis=0), points.max(axis=0)


def _outside(what: str, value: float, high: float) -> QuantityError:
    fields = {"what": what, "value": value, "low": 0.0, "high": high, "unit": "mm"}
    return QuantityError(f"{what} = {value} mm is outside [0, {high:.3f}] mm", "quantity.out_of_range", fields)
