"""How the sump fills and empties as a service proceeds: small sections in a row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Timeline
from fillmark._errors import QuantityError
from fillmark.plot._canvas import even, new_panels, picture, words
from fillmark.plot._drawing import Drawing
from fillmark.plot._events import attitudes
from fillmark.plot._language import DARK, PLACES, group, mixed
from fillmark.plot._parts import entry
from fillmark.plot._section import draw_outline, draw_stick, patch

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["fill_sequence"]

_COLUMNS = 4


@picture
def fill_sequence(
    line: Timeline,
    rows: Sequence[int] | None = None,
    *,
    along: str = "x",
    ax: Any = None,  # noqa: ANN401
) -> Any:  # noqa: ANN401 - an array of Axes
    """Draw the sump after each event of a service, side by side.

    The darker the oil, the more of it is old. Of pools that lie apart only the one under the stick is drawn; what the
    others hold is said after a plus. Columns at the right show what filter and stores (kept, film, pool) hold, as far
    as the circuit has them, on the scale of the most that either holds in the service.

    Parameters
    ----------
    line : Timeline
        A service.
    rows : sequence of int, optional
        Which rows of the timeline are drawn, at most 12; where not given, the start and every event that changes
        something in the circuit.
    along : {"x", "y", "stick"}
        As in `section`.
    ax : array of matplotlib.axes.Axes, optional
        Where to draw, one for each row.

    Returns
    -------
    numpy.ndarray of matplotlib.axes.Axes
        One for each row drawn, at one scale in mm.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If there are more than 12 rows, or fewer axes than rows.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import fill_sequence
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> service = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(6.9), fm.Run(minutes=1), fm.Rest(minutes=5)]
    >>> axes = fill_sequence(fm.simulate(bus, service))
    """
    shown = _changing(line) if rows is None else list(rows)
    if not 1 <= len(shown) <= 12:
        message = f"{len(shown)} rows are asked for; 1 to 12 can be drawn"
        raise QuantityError(message, "quantity.out_of_range", {"value": len(shown), "low": 1, "high": 12})
    columns = 3 if len(shown) in (5, 6, 9) else min(_COLUMNS, len(shown))
    panels = new_panels(ax, -(-len(shown) // columns), columns) if ax is None else new_panels(ax, 1, len(shown))
    for spare in panels[len(shown) :]:
        spare.set_visible(False)
    panels, stands, table = panels[: len(shown)], attitudes(line), line.columns()
    states = [_contents(line, row) for row in range(len(line.rows))]
    gauges = [
        (name, parts)
        for name, parts in (("filter", ("filter",)), ("stores", ("kept", "filler", "film", "pool")))
        if entry(line.circuit, name) or any(state[name] > 0.0 for state in states)
    ]
    most = max([1e-9, *(state[name] for state in states for name, _ in gauges)])
    for number, (panel, row) in enumerate(zip(panels, shown, strict=True)):
        drawing = Drawing(line.circuit, stands[row], along)
        _small_section(panel, drawing, line.rows[row].level_mm, states[row])
        _gauges(panel, drawing, states[row], most, gauges)
        event = str(table["label"][row]) or words(str(table["event"][row]))
        apart = f" + {states[row]['apart']:.2f}" if states[row]["apart"] > 0.005 else ""
        said = f"{number + 1} {event}\n{states[row]['sump']:.2f}{apart} L in the sump"
        panel.set_title(said, loc="left", fontsize="medium")
    _same_scale(panels, columns)
    if ax is None:
        panels[0].figure.supxlabel("oil: dark old, light new", fontsize="medium")
    return panels


def _changing(line: Timeline) -> list[int]:
    """Choose the start and the rows whose contents differ from those before."""
    table = line.ledger.columns()
    count = len(line.rows)
    volumes = table["volume_l"].reshape(count, -1)
    moved = np.abs(np.diff(volumes, axis=0)).max(axis=1) > 1e-4
    return [0, *(int(i) + 1 for i in np.flatnonzero(moved))][:12]


def _contents(line: Timeline, row: int) -> dict[str, float]:
    """Sum what sump, filter and stores hold [L], and the share of the oil in the sump that is new."""
    table = line.ledger.columns()
    here = table["row"] == row
    found = dict.fromkeys(("sump", "apart", "filter", "stores", "kept", "film", "pool", "filler", "old", "new"), 0.0)
    for place, litres, old, new in zip(
        *(table[name][here] for name in ("place", "volume_l", "old_oil_kg", "new_oil_kg")), strict=True
    ):
        kind = group(str(place))
        if kind == "sump":
            found["sump"] += float(litres)
            found["old"] += float(old)
            found["new"] += float(new)
        elif kind in ("filter", "apart"):
            found[kind] += float(litres)
        elif kind in ("pool", "film", "kept", "filler"):
            found["stores"] += float(litres)
            found[kind] += float(litres)
    return found


def _small_section(ax: Axes, drawing: Drawing, level: float, state: dict[str, float]) -> None:
    oil = state["old"] + state["new"]
    liquid = drawing.strip(-np.inf, level)
    if state["apart"] > 0.0:
        liquid = drawing.under_tip(level)
    if level > 0.0 and oil > 0.0 and liquid:
        look = {**PLACES["sump"].patch(), "facecolor": mixed(state["new"] / oil), "edgecolor": "#6f5220"}
        ax.add_patch(patch(liquid, zorder=1, gid="liquid", **look))
        for ends in drawing.surface(level, liquid if state["apart"] > 0.0 else None):
            ax.plot(ends, [level, level], color=DARK, linewidth=1.2, zorder=3)
    draw_outline(ax, drawing, 1.3)
    draw_stick(ax, drawing, 1.6)


def _gauges(
    ax: Axes, drawing: Drawing, state: dict[str, float], most: float, gauges: Sequence[tuple[str, tuple[str, ...]]]
) -> None:
    """Draw columns beside the sump, as high as the sump for the most that is held."""
    from matplotlib.patches import Rectangle

    low, high = drawing.extent()
    wide, tall = 0.07 * (high[0] - low[0]), 0.9 * (high[1] - low[1])
    for i, (name, keys) in enumerate(gauges):
        left, base = high[0] + wide * (0.9 + 2.1 * i), 0.0
        for key in keys:
            held = tall * state[key] / most
            ax.add_patch(Rectangle((left, base), wide, held, zorder=2, gid=key, **PLACES[key].patch()))
            base += held
        ax.add_patch(Rectangle((left, 0.0), wide, tall, facecolor="none", edgecolor=DARK, linewidth=1.0, zorder=3))
        ax.annotate(
            f"{name} {state[name]:.2f} L", (left + wide / 2.0, tall), (0, 2), textcoords="offset points", rotation=90,
            fontsize="small", ha="center", va="bottom", annotation_clip=False,
        )  # fmt: skip
    ax.set_xlim(low[0] - wide, high[0] + (0.2 + 2.1 * len(gauges)) * wide)
    ax.set_ylim(low[1] - 0.04 * tall, high[1] + 0.5 * tall)


def _same_scale(panels: Sequence[Axes], columns: int) -> None:
    x, y = (np.array([getattr(p, get)() for p in panels]) for get in ("get_xlim", "get_ylim"))
    for number, panel in enumerate(panels):
        panel.set_xlim(x[:, 0].min(), x[:, 1].max())
        panel.set_ylim(y[:, 0].min(), y[:, 1].max())
        panel.set_aspect("equal")
        panel.spines["bottom"].set_visible(False)
        panel.set_xticks([])
        if number % columns:
            panel.set_yticks([])
            panel.spines["left"].set_visible(False)
        else:
            panel.set_ylabel("level [mm]")
            panel.set_yticks(even(0.0, y[:, 1].max() / 1.5, 3))
            panel.spines["left"].set_bounds(0.0, y[:, 1].max() / 1.5)
