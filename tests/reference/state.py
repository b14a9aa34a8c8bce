"""What a service holds and tells: places, rows, readings, the result."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .circuit import COMPONENTS

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

    def copy(self) -> Place:
        """The same liquid again."""
        return Place(self.temperature_c, list(self.kg), self.age)

    def take(self, share: float) -> Place:
        """Take a share of every component out."""
        share = min(max(share, 0.0), 1.0)
        taken = Place(self.temperature_c, [share * m for m in self.kg])
        self.kg = [0.0 if share == 1.0 else m - x for m, x in zip(self.kg, taken.kg, strict=True)]
        return taken

    def receive(self, more: Place) -> None:
        """Mix in what comes from elsewhere, by heat capacity."""
        before, added = self.heat, more.heat
        if added == 0.0:
            return
        self.temperature_c = mixed_temperature([self, more]) if before > 0.0 else more.temperature_c
        self.kg = [m + x for m, x in zip(self.kg, more.kg, strict=True)]


def mixed_temperature(places: Sequence[Place]) -> float:
    """Temperature of all of them together [degC]; that of the first where all are empty."""
    heats = [place.heat for place in places]
    if not any(heats):
        return places[0].temperature_c
    return math.fsum(c * place.temperature_c for c, place in zip(heats, places, strict=True)) / math.fsum(heats)


State = dict[str, Place]


def copied(state: State) -> State:
    """The same state again."""
    return {path: place.copy() for path, place in state.items()}


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
