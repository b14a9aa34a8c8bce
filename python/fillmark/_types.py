"""What arguments may be, for type checkers and readers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from fillmark._core import Circuit, End, Event, Plug, SuctionTube, Uncertain, Unknown

__all__ = [
    "Column",
    "Correlations",
    "Ends",
    "EventIterator",
    "Events",
    "FloatOrArray",
    "Given",
    "Grid",
    "Inputs",
    "Model",
    "Number",
    "Numbers",
    "Outlets",
    "Progress",
    "Quantities",
    "Quantity",
    "SupportsArray",
    "SupportsTo",
    "Table",
    "VolumesByBasin",
]


class SupportsTo(Protocol):
    """A number with its unit, as pint and libraries with pint's face give it."""

    @property
    def magnitude(self) -> Any:  # noqa: ANN401 - a number or an array of numbers
        """The number or numbers, in the present unit."""

    def to(self, unit: str, /) -> SupportsTo:
        """Return the same quantity in another unit."""


class SupportsArray(Protocol):
    """Anything that NumPy can take as an array, such as a column of a dataframe."""

    def __array__(self) -> NDArray[Any]:
        """Return the values as an array."""


Number: TypeAlias = float | str
"""One value: a number in the unit of the argument's name, or text with a unit."""

Numbers: TypeAlias = NDArray[np.floating[Any] | np.integer[Any]] | Sequence[float] | SupportsArray
"""Several values, in any shape: numbers in the unit of the argument's name."""

Quantity: TypeAlias = Number | SupportsTo
"""One value, also as an object with pint's face."""

Quantities: TypeAlias = Quantity | Numbers
"""One value or several, also as an object with pint's face."""

FloatOrArray: TypeAlias = float | NDArray[np.float64]
"""A float for a scalar argument, otherwise an array of the argument's shape."""

Given: TypeAlias = Quantity | Uncertain | Unknown
"""One exact or uncertain value of a circuit or an event, or a size that a hypothesis leaves open."""

Inputs: TypeAlias = Mapping[str, Uncertain | float | str] | Iterable[Event]
"""What is known of each input of a function: uncertain, a number, or the text of either; for a circuit the events."""

Model: TypeAlias = Callable[..., Any] | Circuit
"""A function that takes an array for each input, by name, and gives an array or a dict of arrays of the same length; or
a circuit, which is served."""

Correlations: TypeAlias = Mapping[tuple[str, str], float]
"""Correlation coefficients of pairs of inputs."""

Progress: TypeAlias = Callable[[int, int], object]
"""Is told how many are done and how many there will be at most, such as a `ProgressLine`."""

Events: TypeAlias = Iterable[Event]
"""Events in order, such as a list or a `Service`."""

EventIterator: TypeAlias = Iterator[Event]
"""Goes through events in order."""

Outlets: TypeAlias = Plug | Iterable[Plug] | SuctionTube
"""What a sump is emptied through: a plug, several, or a suction tube."""

Ends: TypeAlias = End | Sequence[End]
"""Both ends of a cylinder alike, or first the low, rear or right one, then the other."""

Column: TypeAlias = NDArray[np.float64]
"""A one-dimensional array of floats."""

Grid: TypeAlias = NDArray[np.float64]
"""A two-dimensional array of floats."""

VolumesByBasin: TypeAlias = Mapping[int, Quantity]
"""Volume of the pool in each basin, by the basin's number."""

Table: TypeAlias = NDArray[Any]
"""A two-dimensional array of numbers."""
