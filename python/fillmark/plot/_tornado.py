"""What the uncertainty comes from: one input after the other moved by its standard uncertainty."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Circuit, Event, simulate
from fillmark._errors import QuantityError
from fillmark.plot._canvas import font_points, grid, new_axes, picture
from fillmark.plot._language import DARK, PLACES
from fillmark.plot._tables import named

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["one_at_a_time", "tornado"]

_LEAST = 0.005  # bars shorter than this share of the longest are left out


@picture
def tornado(
    data: Any,  # noqa: ANN401 - see the docstring
    *,
    centre: float | None = None,
    quantity: str = "reading [mm]",
    most: int = 10,
    ax: Axes | None = None,
) -> Axes:
    """Draw how far each input moves a result, the most important first.

    Parameters
    ----------
    data : mapping or object
        A mapping of input to (result with the input low, result with the input high), such as `one_at_a_time` gives; or
        a mapping of columns, an object with `columns()`, or one whose ``inputs`` are listed, with ``path`` (or
        ``name``), ``low`` and ``high``; or an object whose ``bars`` have ``input`` and ``results``, a pair.
    centre : float, optional
        The result with every input at its nominal value; the middle of all bars where not given.
    quantity : str
        What is drawn, with its unit in brackets.
    most : int
        How many inputs are drawn, of those that move the result by at least 0.5 % of what the first does; how many are
        left out is said.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        The quantity; light bars with the input low, dark hatched ones with the input high.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If there is no input, or a column is missing.

    Examples
    --------
    >>> from fillmark.plot import tornado
    >>> ax = tornado({"jug": (105.2, 106.6), "heel": (105.5, 106.3), "filter": (106.2, 105.6)}, centre=105.9)
    """
    if hasattr(data, "bars"):
        centre = getattr(data, "nominal", None) if centre is None else centre
        data = {bar.input: tuple(bar.results) for bar in data.bars}
    names, (low, high) = named(data, "inputs", ("path", "input", "name"), (("low",), ("high",)))
    if not names or low is None or high is None:
        raise QuantityError("there is no input with a low and a high result to draw", "quantity.no_table")
    ax = new_axes(ax)
    middle = float(np.mean([low, high])) if centre is None else float(centre)
    reach = np.maximum(np.abs(low - middle), np.abs(high - middle))
    order = np.argsort(-reach, kind="stable")[:most]
    order = order[reach[order] >= _LEAST * reach.max()]
    dark, light = PLACES["pool"].patch(), PLACES["film"].patch()
    for y, i in enumerate(order):
        for value, look in ((low[i], {**light, "hatch": ""}), (high[i], dark)):
            ax.barh(y, value - middle, 0.62, left=middle, zorder=2, **look)
            x = [middle, value, value, middle]
            ax.plot(x, [y - 0.31, y - 0.31, y + 0.31, y + 0.31], color=DARK, linewidth=1.0, zorder=3)
    ax.axvline(middle, color=DARK, linewidth=1.4, zorder=4)
    ax.set_yticks(range(len(order)), [fill(names[i], 30) for i in order])
    left_out = len(names) - len(order)
    ax.set_ylim(len(order) - 0.4, -0.6)
    ax.set_xlabel(quantity + (f"; {left_out} inputs that matter less are left out" if left_out else ""))
    ax.margins(x=0.08)
    ax.tick_params("y", length=0)
    grid(ax, "x")
    _key(ax, {**light, "hatch": ""}, dark)
    return ax


def _key(ax: Axes, low: dict[str, Any], high: dict[str, Any]) -> None:
    from matplotlib.patches import Patch

    keys = [
        Patch(**{**low, "linewidth": 0.8, "edgecolor": DARK}, label="input low"),
        Patch(**{**high, "linewidth": 0.8}, label="input high"),
    ]
    ax.legend(
        handles=keys, loc="lower right", frameon=True, framealpha=0.9, edgecolor="none", fontsize=0.92 * font_points()
    )


def one_at_a_time(circuit: Circuit, events: Sequence[Event], reading: str) -> dict[str, tuple[float, float]]:
    """Simulate a reading with each uncertain input of the circuit one standard uncertainty lower and higher.

    Uncertain amounts of the events themselves stay at their nominal values. The scatter of one reading is among the
    inputs.

    Parameters
    ----------
    circuit : Circuit
        Its inputs, as `Circuit.columns` lists them.
    events : sequence of Event
        A service.
    reading : str
        Label of the reading.

    Returns
    -------
    dict of str to tuple of float
        By the input's path, the reading with it low and with it high [mm].

    Raises
    ------
    ServiceError
        If the service cannot be carried out, or has not exactly one reading of that label.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import one_at_a_time
    >>> found = one_at_a_time(fm.Circuit.demo("deck-generator"), [fm.Pour(0.1), fm.Read(label="dip")], "dip")
    >>> low, high = found["instruments.jug.scale"] if "instruments.jug.scale" in found else (0.0, 0.0)
    >>> low <= high
    True
    """
    inputs = circuit.columns()
    at = simulate(circuit, events).reading(reading).mm
    found: dict[str, tuple[float, float]] = {}
    for path, nominal, spread, unit in zip(
        *(inputs[name] for name in ("path", "nominal", "standard_uncertainty", "unit")), strict=True
    ):
        if path == "dipstick.scatter" and nominal > 0.0:
            found[str(path)] = (at - 1e3 * float(nominal), at + 1e3 * float(nominal))
        elif spread > 0.0:
            moved = [_with(circuit, str(path), float(nominal + side * spread), str(unit)) for side in (-1.0, 1.0)]
            low, high = (simulate(one, events).reading(reading).mm for one in moved)
            found[str(path)] = (low, high)
    return found


def _with(circuit: Circuit, path: str, value: float, unit: str) -> Circuit:
    return circuit.replace({path: value if unit == "1" else f"{value!r} {unit}"})
