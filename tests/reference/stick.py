"""The dipstick: its path, its marks, what makes it read wrong, and other sticks for the same tube."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .geometry import Array

MM = 1e-3


@dataclass(frozen=True)
class Marks:
    """Distances of a stick's marks from its tip, and how much lower its tip hangs than the circuit's stick's [m]."""

    min: float
    max: float
    longer: float = 0.0


@dataclass(frozen=True)
class Shown:
    """A crossing of the blade: distance from the tip [m], and the flag."""

    distance: float
    flag: str | None


class Stick:
    """A dipstick: its path from the tip upwards, its marks along it and its errors [m, Pa]."""

    def __init__(self, path: Sequence[Sequence[float]], low: float, high: float) -> None:
        self.path: Array = np.asarray(path, dtype=float).reshape(-1, 3)
        self.marks = Marks(low, high)
        self.scatter = 1.0 * MM
        self.seat_offset = self.meniscus = self.smear = self.faces = 0.0
        self.tube_pressure = 0.0
        steps = np.linalg.norm(np.diff(self.path, axis=0), axis=1)
        self.along: list[float] = [0.0, *np.cumsum(steps).tolist()]

    @property
    def min(self) -> float:
        """The MIN mark [m]."""
        return self.marks.min

    @property
    def max(self) -> float:
        """The MAX mark [m]."""
        return self.marks.max

    @property
    def length(self) -> float:
        """Length of the blade [m]."""
        return self.along[-1]

    def height(self, distance: float, up: Array) -> float:
        """Height along *up* of the blade's point at a distance from the tip [m].

        Below the tip (a negative distance) the first piece goes on, as on a longer stick.
        """
        heights = (self.path @ up).tolist()
        for i in range(len(heights) - 1):
            if distance <= self.along[i + 1]:
                break
        share = (distance - self.along[i]) / (self.along[i + 1] - self.along[i])
        return float(heights[i] + share * (heights[i + 1] - heights[i]))

    def wetted(self, surface: float, up: Array, longer: float = 0.0) -> Shown:
        """Distance from the tip of a stick that is longer by so much to the first crossing of a surface."""
        heights = (self.path @ up).tolist()
        if surface < heights[0]:
            rise = heights[1] - heights[0]
            if rise <= 0.0:
                return Shown(0.0, "below tip")
            return _from_tip(longer + (surface - heights[0]) / rise * self.along[1])
        for i in range(len(heights) - 1):
            if heights[i] <= surface <= heights[i + 1] and heights[i + 1] > heights[i]:
                share = (surface - heights[i]) / (heights[i + 1] - heights[i])
                return _from_tip(longer + self.along[i] + share * (self.along[i + 1] - self.along[i]))
        return Shown(self.length + longer, "above blade")


def _from_tip(distance: float) -> Shown:
    return Shown(0.0, "below tip") if distance < 0.0 else Shown(distance, None)
