"""The reading against the wait, at several temperatures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from fillmark._core import Circuit, Event, Read, Rest, Run, simulate
from fillmark.plot._canvas import column, grid, new_axes, picture, points_per_unit, settle
from fillmark.plot._language import DARK, LINES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from fillmark.plot._cut import Floats

__all__ = ["reading_over_wait"]

_POINTS = 48


@picture
def reading_over_wait(
    circuit: Circuit,
    *,
    before: Sequence[Event] = (),
    temperatures_c: Sequence[float] = (-10.0, 20.0, 60.0, 90.0),
    minutes: tuple[float, float] = (0.5, 720.0),
    ax: Axes | None = None,
) -> Axes:
    """Draw what the stick reads after a run, over the time waited since, at several temperatures.

    Each line is one service: what was done before, a minute's run that ends at the temperature, then rest. Unless the
    circuit says how it cools, everything stays at that temperature, so expansion is in the reading as well.

    Parameters
    ----------
    circuit : Circuit
        Whose stick is read, at the attitude of its marks.
    before : sequence of Event
        What is done before the run, such as a drain and a pour; nothing where not given: the circuit is then at MAX in
        the reference condition.
    temperatures_c : sequence of float
        Temperature at the end of the run [°C]; at most six.
    minutes : tuple of float
        First and last wait [min], greater than 0.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Reading, from the tip [mm], over the wait [min], which is on a logarithmic axis.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    FillmarkError
        If the service cannot be carried out.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import reading_over_wait
    >>> ax = reading_over_wait(fm.Circuit.demo("shuttle-bus"), temperatures_c=[20.0, 90.0])
    """
    ax = new_axes(ax)
    wait = np.geomspace(*minutes, _POINTS)
    lines = [readings_mm(circuit, before, degrees, wait) for degrees in temperatures_c]
    labels = []
    for degrees, reading, style in zip(temperatures_c, lines, LINES, strict=False):
        ax.plot(wait, reading, linewidth=2.2, zorder=3, **style)
        labels.append((f"{degrees:g} °C".replace("-", "\N{MINUS SIGN}"), float(wait[-1]), float(reading[-1])))
    _marks(ax, circuit, np.concatenate(lines))
    _reference_wait(ax, circuit, minutes)
    ax.set_xscale("log")
    ticks = [t for t in (0.5, 1, 2, 5, 10, 20, 60, 180, 720, 1440) if minutes[0] <= t <= minutes[1]]
    ax.set_xticks(ticks, [f"{t:g}" if t < 180 else f"{t / 60:g} h" for t in ticks])
    ax.minorticks_off()
    ax.set_xlim(*minutes)
    grid(ax, "both")
    ax.set_xlabel("wait after the engine stopped [min, h]")
    ax.set_ylabel("reading, from the tip [mm]")
    settle(ax)
    scale = points_per_unit(ax, float(np.ptp(ax.get_ylim())), "y")
    column(ax, labels, right=minutes[1], points_per_unit=scale)
    return ax


def readings_mm(circuit: Circuit, before: Sequence[Event], temperature_c: float, wait: Floats) -> Floats:
    """Simulate the readings after waits [min] that grow, at one temperature [mm]."""
    events: list[Event] = [*before, Run(minutes=1, temperature_c=temperature_c)]
    for step in np.diff(wait, prepend=0.0):
        events += [Rest(minutes=float(step)), Read()]
    found = simulate(circuit, events).readings[-len(wait) :]
    return np.array([reading.mm for reading in found])


def _marks(ax: Axes, circuit: Circuit, readings: Floats) -> None:
    low, high = float(readings.min()), float(readings.max())
    room = 0.12 * max(high - low, 1.0)
    ax.set_ylim(min(low, circuit.max_mm) - room, max(high, circuit.max_mm) + room)
    for word, mark in (("MIN", circuit.min_mm), ("MAX", circuit.max_mm)):
        if ax.get_ylim()[0] <= mark <= ax.get_ylim()[1]:
            ax.axhline(mark, color=DARK, linewidth=1.4, zorder=2)
            ax.annotate(word, (0.0, mark), (5, 3), ("axes fraction", "data"), "offset points", va="bottom", zorder=4)


def _reference_wait(ax: Axes, circuit: Circuit, minutes: tuple[float, float]) -> None:
    inputs = circuit.columns()
    paths = list(inputs["path"])
    if "reference.wait" not in paths:
        return
    wait = float(inputs["nominal"][paths.index("reference.wait")]) / 60.0
    if minutes[0] < wait < minutes[1]:
        ax.axvline(wait, color=DARK, linewidth=1.0, linestyle=(0, (5, 3)), zorder=1)
        ax.annotate(
            f"the marks' wait, {wait:g} min", (wait, 0.0), (5, 6), ("data", "axes fraction"), "offset points", zorder=4,
            bbox={"boxstyle": "round,pad=0.1", "facecolor": "white", "edgecolor": "none", "alpha": 0.85},
        )  # fmt: skip
