"""The live bench: a widget for notebooks, and its static figure where anywidget is not installed."""

from __future__ import annotations

import importlib.util
from dataclasses import asdict
from functools import cache
from html import escape
from itertools import count
from pathlib import Path
from typing import Any

from fillmark._core import Circuit
from fillmark._errors import FillmarkError, QuantityError
from fillmark.bench._moves import CAUTION, LIMITS, WAITS, Bench, Moves
from fillmark.bench._pictures import cells

__all__ = ["Figure", "controls", "live", "moved", "shown"]

_HERE = Path(__file__).parent
_KEYS = count(1)  # one page may show several benches, and the names of hatches are the page's


def controls(bench: Bench) -> list[dict[str, Any]]:
    """List the controls of a bench as plain data: name, label, unit, range and step of each."""

    def slide(name: str, label: str, unit: str, low: float, high: float, step: float, decimals: int) -> dict[str, Any]:
        ends = {"low": low, "high": high, "step": step, "decimals": decimals}
        return {"kind": "slide", "name": name, "label": label, "unit": unit, **ends}

    waits = {"low": 0, "high": len(WAITS) - 1, "step": 1, "words": [_minutes(m) for m in WAITS]}
    found = [
        slide("poured_l", "poured", "L", 0.0, float(bench.most_l), 0.05, 2),
        slide("nose_up_deg", "ground, nose up", "°", *LIMITS["nose_up_deg"][:2], 0.5, 1),
        slide("right_down_deg", "ground, right down", "°", *LIMITS["right_down_deg"][:2], 0.5, 1),
        slide("temperature_c", "oil temperature", "°C", *LIMITS["temperature_c"][:2], 5.0, 0),
        {"kind": "choice", "name": "wait", "label": "wait", "unit": "min", **waits},
        {"kind": "tick", "name": "ran", "label": "engine run for 1 min before the wait"},
    ]
    if bench.has_filter:
        found.append({"kind": "tick", "name": "primed", "label": "filter primed, out of what is poured"})
    return found


def _minutes(minutes: float) -> str:
    if minutes < 1.0:
        return f"{60 * minutes:.0f} s"
    return f"{minutes:.0f} min" if minutes < 120.0 else f"{minutes / 60:.0f} h"


def shown(moves: Moves) -> dict[str, Any]:
    """Turn controls into what the face shows: the wait becomes its place in the list of waits."""
    if moves.wait_minutes not in WAITS:
        accepted = ", ".join(f"{m:g}" for m in WAITS)
        message = f"bench: wait_minutes = {moves.wait_minutes!r} is none of {accepted}"
        raise QuantityError(message, "quantity.unknown_word", {"wait_minutes": moves.wait_minutes})
    rest = {name: value for name, value in asdict(moves).items() if name != "wait_minutes"}
    return rest | {"wait": WAITS.index(moves.wait_minutes)}


def moved(given: dict[str, Any]) -> Moves:
    """Turn what the face sends into controls; the range is checked when they are looked at."""
    wait = WAITS[min(max(int(given["wait"]), 0), len(WAITS) - 1)]
    numbers = {name: float(given[name]) for name in ("poured_l", "nose_up_deg", "right_down_deg", "temperature_c")}
    return Moves(**numbers, wait_minutes=wait, primed=bool(given["primed"]), ran=bool(given["ran"]))


def answer(bench: Bench, moves: Moves, key: str) -> dict[str, str]:
    """Pictures and words for a place of the controls; where the core refuses it, its message alone."""
    try:
        return cells(bench, bench.look(moves), key)
    except FillmarkError as error:
        return {"section": "", "stick": "", "bars": "", "words": f"This cannot be: {error}"}


class Figure:
    """The bench standing still: the same pictures for one place of the controls, as HTML.

    Parameters
    ----------
    bench : Bench
        What is shown.
    moves : Moves
        Where the controls stand.

    Examples
    --------
    >>> from fillmark.bench import Bench, Figure
    >>> bench = Bench("deck-generator")
    >>> "<svg" in Figure(bench, bench.start())._repr_html_()
    True
    """

    def __init__(self, bench: Bench, moves: Moves) -> None:
        self.bench, self.moves = bench, bench.checked(moves)
        self._cells = answer(bench, moves, f"fm{next(_KEYS)}")

    @property
    def words(self) -> str:
        """What the pictures show, in words."""
        return self._cells["words"]

    def __repr__(self) -> str:
        return f"Figure of {self.bench.circuit.name}: {self.words}"

    def _repr_html_(self) -> str:
        at = ", ".join(_said(control, shown(self.moves)) for control in controls(self.bench))
        title = f"<strong>{escape(_title(self.bench))}, standing still</strong>: {escape(at)}"
        pictures = "".join(f"<div>{self._cells[name]}</div>" for name in ("section", "stick"))
        upper = f'<div style="display:flex;flex-wrap:wrap;gap:12px">{pictures}</div>'
        words = f"<p><strong>{escape(self.words)}</strong></p>"
        page = f"<div>{title}</div>{upper}{words}{self._cells['bars']}<p><small>{escape(CAUTION)}</small></p>"
        return f'<div style="background:white;color:#202020;max-width:900px;padding:8px">{page}</div>'


def _said(control: dict[str, Any], at: dict[str, Any]) -> str:
    value = at[control["name"]]
    if control["kind"] == "tick":
        return f"{control['label']}: {'yes' if value else 'no'}"
    words = (
        control["words"][value] if control["kind"] == "choice" else f"{value:.{control['decimals']}f} {control['unit']}"
    )
    return f"{control['label']} {words}"


def _title(bench: Bench) -> str:
    return f"bench: {bench.circuit.name}"


@cache
def _widget() -> Any:  # noqa: ANN401 - anywidget is untyped
    """Define the widget; anywidget is imported here and nowhere else."""
    import anywidget
    import traitlets

    class LiveBench(anywidget.AnyWidget):
        """The bench in a notebook: moves come from the face, pictures go to it."""

        _esm = _HERE / "widget.js"
        _css = _HERE / "widget.css"
        title = traitlets.Unicode().tag(sync=True)
        caution = traitlets.Unicode(CAUTION).tag(sync=True)
        controls: Any = traitlets.List().tag(sync=True)
        moves = traitlets.Dict().tag(sync=True)
        seen = traitlets.Dict().tag(sync=True)

        def __init__(self, bench: Bench, at: Moves) -> None:
            self.bench, self._key = bench, f"fm{next(_KEYS)}"
            first = {**shown(at), "serial": 0}
            super().__init__(title=_title(bench), controls=controls(bench), moves=first, seen=self._answer(first))
            self.observe(lambda change: setattr(self, "seen", self._answer(change["new"])), names="moves")

        def _answer(self, given: dict[str, Any]) -> dict[str, Any]:
            return {**answer(self.bench, moved(given), self._key), "serial": given.get("serial", 0)}

        def put(self, **controls: Any) -> None:  # noqa: ANN401
            """Move controls from Python, by the names of `Moves`."""
            at = asdict(moved(self.moves)) | controls
            given = shown(self.bench.checked(Moves(**at)))
            self.moves = {**given, "serial": self.moves.get("serial", 0) + 1}

        @property
        def words(self) -> str:
            """What the pictures show, in words."""
            return str(self.seen["words"])

    return LiveBench


def live(circuit: Circuit | str = "shuttle-bus", **controls: Any) -> Any:  # noqa: ANN401 - a widget or a Figure
    """Show the bench in a notebook: controls, the sump cut at the stick, the stick close up, where the oil is.

    At each move the core computes the reading, its uncertainty and the ledger anew. All controls are reached by the
    keyboard: Tab goes from one to the next, the arrows move it, Space ticks a box.

    Parameters
    ----------
    circuit : Circuit or str
        What is on the bench, or the name of a demo.
    **controls
        Where the controls stand at first: fields of `Moves`.

    Returns
    -------
    widget or Figure
        The widget; where anywidget is not installed (extra ``notebook``), the same pictures standing still.

    Raises
    ------
    CircuitError
        If there is no demo of that name.
    QuantityError
        If a control is unknown or outside its range.

    Examples
    --------
    >>> from fillmark import bench
    >>> bench.live("deck-generator", poured_l=4.2).words.startswith("The stick reads ")
    True
    """
    bench = Bench(circuit)
    moves = bench.start(**controls)
    if importlib.util.find_spec("anywidget") is None:
        return Figure(bench, moves)
    return _widget()(bench, moves)
