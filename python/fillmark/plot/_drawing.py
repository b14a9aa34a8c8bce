"""A circuit in a vertical plane: the numbers that a drawing of it needs."""

from __future__ import annotations

import numpy as np

from fillmark._core import Attitude, Circuit, Pools
from fillmark._errors import GeometryError, QuantityError
from fillmark.plot import _cut
from fillmark.plot._cut import Floats, View

__all__ = ["Drawing", "Stick"]

_HAIR = 1e-7  # mm
_DIRECTIONS = ("x", "y", "stick")


class Stick:
    """The stick of a circuit as it stands; heights are above the sump's lowest point there, along *up* [mm]."""

    def __init__(self, circuit: Circuit, attitude: Attitude) -> None:
        self.circuit, self.attitude = circuit, attitude
        self.height = circuit.sump.height_mm(attitude=attitude)
        self.stick_path = np.array(circuit.stick_path_mm)
        self.corners, self.faces = _cut.mesh_mm(circuit.sump)
        up = np.array(attitude.up)
        self.lowest = float((self.corners @ up).min())
        self.heights = self.stick_path @ up - self.lowest
        steps = np.linalg.norm(np.diff(self.stick_path, axis=0), axis=1)
        self.along_stick = np.concatenate([[0.0], np.cumsum(steps)])
        inputs = circuit.columns()
        self.seat_offset = float(inputs["nominal"][list(inputs["path"]).index("dipstick.seat_offset")]) * 1e3

    @property
    def length(self) -> float:
        """Length of the path [mm]."""
        return float(self.along_stick[-1])

    def height_at(self, mm: float) -> float:
        """Give the height of a distance from the tip, with the stick as proud as it nominally stands [mm]."""
        if not 0.0 <= mm <= self.length:
            raise _outside("reading", mm, self.length)
        return float(np.interp(mm + self.seat_offset, self.along_stick, self.heights))

    def reads(self, level: float) -> float:
        """Give what the stick reads at a level, without noise: where it first meets the surface [mm].

        Below the tip it is 0, above the blade its whole length.
        """
        heights, along = self.heights, self.along_stick
        crossed = np.flatnonzero((heights[:-1] <= level) & (level < heights[1:]))
        if level <= heights[0] or not len(crossed):
            mm = 0.0 if level <= heights[0] else self.length
        else:
            i = int(crossed[0])
            mm = along[i] + (level - heights[i]) / (heights[i + 1] - heights[i]) * (along[i + 1] - along[i])
        return float(np.clip(mm - self.seat_offset, 0.0, self.length))


class Drawing(Stick):
    """A circuit in the plane of the drawing: (n, 2) arrays, along the ground and height above the lowest point [mm]."""

    def __init__(self, circuit: Circuit, attitude: Attitude, along: str) -> None:
        super().__init__(circuit, attitude)
        self.along = along
        self.view = View.along(self._direction(), attitude, self.stick_path[0])
        self.loops = [loop - np.array([0.0, self.lowest]) for loop in _cut.cut(self.corners, self.faces, self.view)]
        if not self.loops:
            x, y, z = self.stick_path[0]
            message = (
                f"the vertical plane along {along!r} through the tip of the stick ({x}, {y}, {z}) mm misses the sump"
            )
            raise GeometryError(message, "geometry.plane_misses", {"tip_mm": (x, y, z), "along": along})
        self.stick = self.flat(self.stick_path)
        self.more: list[Floats] = []
        self.points_per_mm = 1.0  # set by the picture

    def include(self, points: Floats) -> None:
        """Make room for points (n, 3) of the body frame."""
        self.more.append(self.flat(points))

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
        height = self.height_at(mm)
        return np.array([np.interp(mm + self.seat_offset, self.along_stick, self.stick[:, 0]), height])

    def level(self, level_mm: float | None, reading_mm: float | None, pools: Pools | None = None) -> float | None:
        """Settle the level asked for, above the lowest point [mm]."""
        if sum(given is not None for given in (level_mm, reading_mm, pools)) > 1:
            raise QuantityError("give a level, a reading or pools, not more than one", "quantity.given_twice")
        if reading_mm is not None:
            return self.height_at(reading_mm)
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

    def body(self, place: Floats) -> tuple[float, float, float]:
        """Turn a place of the drawing into a point of the body frame [mm]."""
        rise = place[1] + self.lowest - float(self.view.origin @ self.view.up)
        along = place[0] - float(self.view.origin @ self.view.across)
        x, y, z = self.view.origin + along * self.view.across + rise * self.view.up
        return float(x), float(y), float(z)

    def pools(self, pools: Pools) -> list[tuple[float, list[Floats]]]:
        """Find the level and the loops of every pool that the plane cuts, of liquid as it lies (`fillmark.Pools`)."""
        found = []
        for level in sorted({float(pool.level_mm) for pool in pools.pools}):
            # A hair lower, for a pool that stands at its sill is not yet joined to its neighbour.
            for part in _cut.parts(self.loops, level - _HAIR):
                lowest = part[0][part[0][:, 1].argmin()]
                if level - lowest[1] < 2.0 * _HAIR:
                    continue
                stands = pools.level_mm(at_mm=self.body(lowest + np.array([0.0, 1e-3])))
                if stands is not None and abs(stands - level) < _HAIR:
                    found.append((level, part))
        return found

    def under_tip(self, level: float) -> list[Floats]:
        """Draw loops around the part at or below a level that lies under the tip of the stick."""
        x = float(self.stick[0, 0])
        for part in _cut.parts(self.loops, level):
            if part[0][:, 0].min() <= x <= part[0][:, 0].max():
                return part
        return []

    def surface(self, level: float, loops: list[Floats] | None = None) -> list[tuple[float, float]]:
        """Find where the free surface begins and ends along the ground, left to right, part by part.

        Of loops that end at the level (a pool), it is their edges there.
        """
        if loops is not None:
            return _edges_at(loops, level)
        ends: list[float] = []
        for loop in self.loops:
            for (x, z), (x2, z2) in zip(loop, np.roll(loop, -1, axis=0), strict=True):
                if (z <= level) != (z2 <= level):
                    ends.append(float(x + (level - z) / (z2 - z) * (x2 - x)))
        ends.sort()
        return list(zip(ends[::2], ends[1::2], strict=True))

    def extent(self) -> tuple[Floats, Floats]:
        """Give the lower left and upper right corner of section and stick."""
        points = np.vstack([*self.loops, self.stick, *self.more])
        return points.min(axis=0), points.max(axis=0)


def _edges_at(loops: list[Floats], level: float) -> list[tuple[float, float]]:
    found = []
    for loop in loops:
        for (x, z), (x2, z2) in zip(loop, np.roll(loop, -1, axis=0), strict=True):
            if abs(z - level) < 2.0 * _HAIR and abs(z2 - level) < 2.0 * _HAIR:
                found.append((min(float(x), float(x2)), max(float(x), float(x2))))
    return sorted(found)


def _outside(what: str, value: float, high: float) -> QuantityError:
    fields = {"what": what, "value": value, "low": 0.0, "high": high, "unit": "mm"}
    return QuantityError(f"{what} = {value} mm is outside [0, {high:.3f}] mm", "quantity.out_of_range", fields)
