"""What the uncertainty comes from: one input after the other moved by its standard uncertainty."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Circuit, Event, simulate
from fillmark._errors import FillmarkError, QuantityError
from fillmark.plot._canvas import font_points, grid, new_axes, picture
from fillmark.plot._language import DARK, PLACES
from fillmark.plot._tables import named

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["one_at_a_time", "tornado", "variance_shares"]

_LEAST = 0.005  # bars shorter than this share of the longest are left out


@picture
def tornado(
    data: Any,  # noqa: ANN401 - see the docstring
    *,
    centre: float | None = None,
    quantity: str | None = None,
    most: int = 10,
    ax: Axes | None = None,
) -> Axes:
    """Draw how far each input moves a result, the most important first.

    Parameters
    ----------
    data : mapping or object
        What `fillmark.tornado` gives; a mapping of input to (result with the input low, result with the input high),
        such as `one_at_a_time` gives; or a mapping of columns or an object with `columns()`, with ``input`` (or
        ``path``, ``name``), ``at_low`` and ``at_high``.
    centre : float, optional
        The result with every input at its nominal value; that of the data, else the middle of all bars, where not
        given.
    quantity : str, optional
        What is drawn, with its unit in brackets; the data's result in words, else "reading [mm]", where not given.
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
    names, (low, high) = named(data, "", ("input", "path", "name"), (("at_low",), ("at_high",)))
    centre = getattr(data, "nominal", None) if centre is None else centre
    said = quantity or _in_words(str(getattr(data, "result", "reading mm")))
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
    others = "1 input that matters less is" if left_out == 1 else f"{left_out} inputs that matter less are"
    ax.set_xlabel(said + (f"; {others} left out" if left_out else ""))
    ax.margins(x=0.08)
    ax.tick_params("y", length=0)
    grid(ax, "x")
    _key(ax, {**light, "hatch": ""}, dark)
    return ax


def _in_words(result: str) -> str:
    """Name a result of a service with its unit in brackets; any other as it is."""
    endings = {
        "final fraction": "level at the end, drained back [of the span]",
        "final litres": "volume at the end, drained back [L]",
        " litres_from_max": ", volume from MAX [L]",
        " fraction": " [of the span]",
        " mm": " [mm]",
    }
    for ending, words in endings.items():
        if result.endswith(ending):
            return result.removesuffix(ending) + words
    return result


def _key(
    ax: Axes, low: dict[str, Any], high: dict[str, Any], names: tuple[str, str] = ("input low", "input high")
) -> None:
    from matplotlib.patches import Patch

    keys = [
        Patch(**{**low, "linewidth": 0.8, "edgecolor": DARK}, label=names[0]),
        Patch(**{**high, "linewidth": 0.8}, label=names[1]),
    ]
    ax.legend(
        handles=keys, loc="lower right", frameon=True, framealpha=0.9, edgecolor="none", fontsize=0.92 * font_points()
    )


def one_at_a_time(
    circuit: Circuit, events: Sequence[Event], reading: str, *, progress: Callable[[int, int], object] | None = None
) -> dict[str, tuple[float, float]]:
    """Simulate a reading with each uncertain input of the circuit one standard uncertainty lower and higher.

    Uncertain amounts of the events themselves stay at their nominal values. The scatter of one reading is among the
    inputs. An input that the circuit does not admit so far out, such as a store's film beyond what is in the store
    while running, is moved as far as it goes.

    Parameters
    ----------
    circuit : Circuit
        Its inputs, as `Circuit.columns` lists them.
    events : sequence of Event
        A service.
    reading : str
        Label of the reading.
    progress : callable, optional
        Is called with the number of inputs done and the number there are.

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
    columns = [inputs[name] for name in ("path", "nominal", "standard_uncertainty", "unit")]
    for done, (path, nominal, spread, unit) in enumerate(zip(*columns, strict=True), 1):
        if path == "dipstick.scatter" and nominal > 0.0:
            found[str(path)] = (at - 1e3 * float(nominal), at + 1e3 * float(nominal))
        elif spread > 0.0:
            moved = [_moved(circuit, str(path), float(nominal), float(side * spread), str(unit)) for side in (-1, 1)]
            low, high = (simulate(one, events).reading(reading).mm for one in moved)
            found[str(path)] = (low, high)
        if progress:
            progress(done, len(columns[0]))
    return found


def _moved(circuit: Circuit, path: str, nominal: float, by: float, unit: str) -> Circuit:
    """Move one input, so far as the circuit admits it: to a thousandth of the way."""
    try:
        return _with(circuit, path, nominal + by, unit)
    except FillmarkError:
        moved, admitted, refused = circuit, 0.0, 1.0
    while refused - admitted > 1e-3:
        share = (admitted + refused) / 2.0
        try:
            moved, admitted = _with(circuit, path, nominal + share * by, unit), share
        except FillmarkError:
            refused = share
    return moved


def _with(circuit: Circuit, path: str, value: float, unit: str) -> Circuit:
    return circuit.replace({path: value if unit == "1" else f"{value!r} {unit}"})


@picture
def variance_shares(data: Any, *, most: int = 10, ax: Axes | None = None) -> Axes:  # noqa: ANN401 - see the docstring
    """Draw the shares that inputs have in the variance of a result, the largest first.

    Parameters
    ----------
    data : mapping or object
        What `fillmark.sensitivity` gives, or anything with columns ``input``, ``total`` and optionally ``first``,
        ``total_half_width``.
    most : int
        How many inputs are drawn.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Share of the variance [%]: the whole bar is the total index, its dark hatched part the first-order index.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If there is no input with a total share.

    Examples
    --------
    >>> from fillmark.plot import variance_shares
    >>> ax = variance_shares({"input": ["heel", "jug"], "first": [0.7, 0.2], "total": [0.75, 0.25]})
    """
    names, (total, first, half) = named(data, "", ("input", "name"), (("total",), ("first",), ("total_half_width",)))
    if not names or total is None:
        raise QuantityError("there is no input with a total share to draw", "quantity.no_table")
    ax = new_axes(ax)
    dark, light = PLACES["pool"].patch(), {**PLACES["film"].patch(), "hatch": ""}
    order = np.argsort(-total, kind="stable")[:most]
    for y, i in enumerate(order):
        ax.barh(y, 100.0 * total[i], 0.62, zorder=2, **{**light, "edgecolor": DARK, "linewidth": 1.0})
        if first is not None:
            ax.barh(y, 100.0 * min(max(first[i], 0.0), total[i]), 0.62, zorder=3, **dark)
        if half is not None:
            ends = [100.0 * (total[i] - half[i]), 100.0 * (total[i] + half[i])]
            ax.plot(ends, [y, y], color=DARK, linewidth=2.0, zorder=4)
    ax.set_yticks(range(len(order)), [fill(names[i], 30) for i in order])
    ax.set_ylim(len(order) - 0.4, -0.6)
    ax.set_xlim(left=0.0)
    ax.set_xlabel("share of the variance [%]" + ("; the line is its interval" if half is not None else ""))
    ax.tick_params("y", length=0)
    grid(ax, "x")
    if first is not None:
        _key(ax, light, dark, ("with interactions", "by itself"))
    return ax
