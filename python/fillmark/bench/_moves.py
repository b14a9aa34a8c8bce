"""What may be moved on the bench, and what the core says to it."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Any

from fillmark._core import (
    Attitude,
    ChangeFilter,
    Circuit,
    Drain,
    Event,
    Pour,
    Read,
    Reading,
    Rest,
    Run,
    Timeline,
    Uncertain,
)
from fillmark._core import simulate as _simulate
from fillmark._core import tornado as _tornado
from fillmark._errors import QuantityError
from fillmark.plot._parts import entry

__all__ = ["CAUTION", "COVERAGE_FACTOR", "LIMITS", "WAITS", "Bench", "Moves", "Seen"]

WAITS = (0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 720.0)  # minutes
LIMITS = {
    "nose_up_deg": (-6.0, 6.0, "deg"),
    "right_down_deg": (-6.0, 6.0, "deg"),
    "temperature_c": (-20.0, 110.0, "degC"),
    "wait_minutes": (WAITS[0], WAITS[-1], "min"),
}
COVERAGE_FACTOR = 2.0
CAUTION = (
    "An estimate for teaching. Before the first run the stick stands high by what an empty filter takes: take no oil "
    "out. Over MAX: do not start, withdraw and weigh. Hot oil burns. The maker's instructions, local codes and a "
    "qualified technician decide."
)
_LABEL = "bench"
_QUANTILE = 1.959963984540054  # a normal value's 97.5 % quantile: what `tornado` moves an input by, in its deviations


@dataclass(frozen=True)
class Moves:
    """Where the controls of the bench stand.

    Parameters
    ----------
    poured_l : float
        All the oil that went in, what the filter was primed with included [L], 0 to the most that the bench offers.
    nose_up_deg, right_down_deg : float
        How the ground slopes when the stick is read [deg], -6 to 6; the circuit's installed attitude comes on top.
    temperature_c : float
        Temperature at the end of the run, or of the oil poured where the engine was not run [degC], -20 to 110.
    wait_minutes : float
        From the end of the run, or of the pour, to the reading [min], 0.25 to 720.
    primed : bool
        Whether the new filter was filled beforehand, out of what is poured.
    ran : bool
        Whether the engine ran for a minute.

    Examples
    --------
    >>> from fillmark.bench import Moves
    >>> Moves(poured_l=7.4, wait_minutes=15).primed
    False
    """

    poured_l: float
    nose_up_deg: float = 0.0
    right_down_deg: float = 0.0
    temperature_c: float = 40.0
    wait_minutes: float = 5.0
    primed: bool = False
    ran: bool = True


@dataclass(frozen=True)
class Seen:
    """What the core says to one place of the controls.

    Attributes
    ----------
    moves : Moves
        The controls.
    reading : Reading
        What the stick says, by `simulate`: mm from the tip, part of the span, litres from MAX.
    standard_uncertainty_mm : float
        Of that reading [mm], to first order (JCGM 100:2008, 5.1.2).
    band_at_reference : bool
        Whether the uncertainty is that of a reading in the reference attitude: where the sump parts into basins,
        each of some forty simulations takes ten milliseconds.
    places : dict of str to float
        What every place holds when the stick is read [L].
    from_max_l : float
        Where the level truly is, drained back, in the reference condition [L]; positive is over MAX.
    level_mm : float
        Height of the free surface at the stick above the sump's lowest point, as it stands [mm].
    attitude : Attitude
        Of the circuit when the stick is read.
    """

    moves: Moves
    reading: Reading
    standard_uncertainty_mm: float
    band_at_reference: bool
    places: dict[str, float]
    from_max_l: float
    level_mm: float
    attitude: Attitude

    @property
    def band_mm(self) -> tuple[float, float]:
        """Where the reading is expected, with coverage factor 2 [mm]."""
        half = COVERAGE_FACTOR * self.standard_uncertainty_mm
        return self.reading.mm - half, self.reading.mm + half


class Bench:
    """A circuit on the bench: one service, of which a few things can be moved.

    The oil at MAX is drained warm (60 degC, 10 min) through the lowest plug, the filter is changed, oil is poured, the
    engine runs for a minute, and after a wait the stick is read. Every number is computed by the core at each move:
    readings and places by `simulate`, the uncertainty by `tornado`, which moves every uncertain input of the circuit by
    itself; the effects are added by their squares.

    Parameters
    ----------
    circuit : Circuit or str
        What is on the bench, or the name of a demo.

    Raises
    ------
    CircuitError
        If there is no demo of that name.

    Examples
    --------
    >>> from fillmark.bench import Bench
    >>> bench = Bench("deck-generator")
    >>> seen = bench.look(bench.start(poured_l=4.2))
    >>> 0.5 < seen.reading.fraction < 1.2
    True
    """

    def __init__(self, circuit: Circuit | str) -> None:
        self.circuit = Circuit.demo(circuit) if isinstance(circuit, str) else circuit
        self.has_filter = entry(self.circuit, "filter") is not None
        self.book_l = _book_l(self.circuit, self.has_filter)
        self.most_l = math.ceil(1.3 * self.book_l)
        self._filter_l = _nominal_l(self.circuit, "filter.net_volume") if self.has_filter else 0.0
        self._jug = "jug" if entry(self.circuit, "instruments.jug") is not None else None
        self._plug = _lowest_plug(self.circuit)

    def start(self, **controls: Any) -> Moves:  # noqa: ANN401 - the fields of Moves
        """Give the controls as they stand at first, some of them set.

        Parameters
        ----------
        **controls
            Fields of `Moves`; the book's amount is poured where `poured_l` is not among them.

        Returns
        -------
        Moves
            Checked.

        Raises
        ------
        QuantityError
            If a control is unknown, no number, or outside its range.

        Examples
        --------
        >>> from fillmark.bench import Bench
        >>> Bench("shuttle-bus").start(wait_minutes=15).poured_l
        7.4
        """
        known = [field.name for field in fields(Moves)]
        for name in controls:
            if name not in known:
                message = f"bench: there is no control {name!r}; there are {', '.join(known)}"
                raise QuantityError(message, "quantity.unknown_word", {"control": name})
        return self.checked(replace(Moves(self.book_l), **controls))

    def checked(self, moves: Moves) -> Moves:
        """Give the controls back if every one is within its range.

        Raises
        ------
        QuantityError
            If one is no number or outside.
        """
        for name, (low, high, unit) in {"poured_l": (0.0, float(self.most_l), "L"), **LIMITS}.items():
            value = getattr(moves, name)
            if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
                message = f"bench: {name} = {value!r} is outside [{low:g}, {high:g}] {unit}"
                given = {"what": name, "value": value, "low": low, "high": high, "unit": unit}
                raise QuantityError(message, "quantity.out_of_range", given)
        return moves

    def attitude(self, moves: Moves) -> Attitude:
        """Attitude of the circuit on ground that slopes so."""
        ground = Attitude(nose_up_deg=moves.nose_up_deg, right_down_deg=moves.right_down_deg)
        return self.circuit.reference_attitude.on_ground(ground)

    def events(self, moves: Moves, *, at: Attitude | None = None) -> list[Event]:
        """Write the service down: what `simulate` and `predict` take.

        Parameters
        ----------
        moves : Moves
            The controls.
        at : Attitude, optional
            Where the stick is read; as the controls say, where not given.

        Returns
        -------
        list of Event
            With one reading, labelled ``"bench"``.
        """
        at = self.attitude(moves) if at is None else at
        done: list[Event] = [Drain(minutes=10, temperature_c=60, plug=self._plug)]
        in_filter = min(self._filter_l, moves.poured_l) if moves.primed and self.has_filter else 0.0
        if self.has_filter:
            done.append(ChangeFilter(primed_l=in_filter))
        warm = 20.0 if moves.ran else moves.temperature_c
        done.append(Pour(moves.poured_l - in_filter, temperature_c=warm, measured_with=self._jug))
        if moves.ran:
            done.append(Run(minutes=1, temperature_c=moves.temperature_c))
        return [*done, Rest(minutes=moves.wait_minutes), Read(label=_LABEL, attitude=at)]

    def look(self, moves: Moves) -> Seen:
        """Ask the core what the stick says, how sure that is, and where the oil is.

        Parameters
        ----------
        moves : Moves
            The controls.

        Returns
        -------
        Seen
            Everything the pictures show.

        Raises
        ------
        QuantityError
            If a control is outside its range.
        ServiceError
            If the service cannot be carried out, such as more poured than the sump can hold.
        """
        attitude = self.attitude(self.checked(moves))
        line = _simulate(self.circuit, self.events(moves))
        reading = line.reading(_LABEL)
        apart = len(self.circuit.sump.basins(attitude=attitude)) > 1 if attitude != self.reference else False
        u = self._standard_uncertainty_mm(moves, self.reference if apart else attitude)
        level = self.circuit.sump.level_mm(volume_l=line.rows[-1].sump_l, attitude=attitude)
        return Seen(moves, reading, u, apart, _places(line), line.v_drained_l - line.v_max_l, float(level), attitude)

    @property
    def reference(self) -> Attitude:
        """Attitude at which the marks are true."""
        return self.circuit.reference_attitude

    def _standard_uncertainty_mm(self, moves: Moves, at: Attitude) -> float:
        effects = _tornado(self.circuit, self.events(moves, at=at), of=_LABEL).columns()
        widths = (effects["at_high"][i] - effects["at_low"][i] for i in range(len(effects["input"])))
        return math.sqrt(sum((float(w) / (2.0 * _QUANTILE)) ** 2 for w in widths))


def _places(line: Timeline) -> dict[str, float]:
    """Say what every place holds at the end [L]."""
    ledger = line.ledger.columns()
    last = ledger["row"] == ledger["row"].max()
    return {str(p): float(v) for p, v in zip(ledger["place"][last], ledger["volume_l"][last], strict=True)}


def _book_l(circuit: Circuit, has_filter: bool) -> float:
    for path in ("book.service_with_filter", "book.service_without_filter")[0 if has_filter else 1 :]:
        if entry(circuit, path) is not None:
            return _nominal_l(circuit, path)
    return round(0.6 * circuit.sump.capacity_l, 1)


def _nominal_l(circuit: Circuit, path: str) -> float:
    """Nominal litres of an entry, as the core reads its text with its unit."""
    value, sump = Uncertain(str(circuit[path])), circuit.sump
    level = sump.level_mm(volume_l=f"{value.nominal} {value.unit}", attitude=circuit.reference_attitude)
    return round(float(sump.volume_l(level_mm=level, attitude=circuit.reference_attitude)), 6)


def _lowest_plug(circuit: Circuit) -> str | None:
    plugs: dict[str, Any] = entry(circuit, "plugs") or {}
    if len(plugs) < 2:
        return None
    up = circuit.reference_attitude.up
    return min(plugs, key=lambda name: sum(x * u for x, u in zip(plugs[name]["at_mm"], up, strict=True)))
