"""From the amount poured to the reading, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Attitude, Timeline
from fillmark._errors import QuantityError
from fillmark.plot._canvas import even, font_points, grid, new_axes, picture
from fillmark.plot._drawing import Stick
from fillmark.plot._events import attitudes
from fillmark.plot._language import DARK, GRID, HEEL, OUTSIDE, PLACES, Look, group
from fillmark.plot._stick import litres_along

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["Step", "steps", "waterfall"]

_LEAST_L = 0.005  # thinner bars are not drawn
_WARMTH = Look("expansion", "#ffffff", "....", "#6b6b6b")
_LOST = Look("lost", PLACES["floor"].tone, PLACES["floor"].hatch, PLACES["floor"].lines)


@dataclass(frozen=True)
class Step:
    """One bar: what it is, how much it adds [L], and how it looks."""

    name: str
    litres: float
    look: Look


@picture
def waterfall(line: Timeline, reading: str | None = None, *, ax: Axes | None = None) -> Axes:
    """Draw the way from the amount poured to what the stick reads.

    Bars rise by what was poured and what had stayed in, fall by what fills the filter and is aloft or kept in stores
    at the reading, and end at what is then in the sump. Expansion is the change of volume with temperature between
    these moments, at constant mass. Every bar is read from the ledger.

    Parameters
    ----------
    line : Timeline
        A service with at least one pour before the reading.
    reading : str, optional
        Label of the reading; the last one where not given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Volume [L]; on the right what the stick reads with that much in the sump, from the tip [mm].

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If the timeline has no reading, or no pour before it.
    ServiceError
        If no reading, or more than one, carries the label.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import waterfall
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> done = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(6.9)]
    >>> service = [*done, fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read()]
    >>> ax = waterfall(fm.simulate(bus, service))
    """
    ax = new_axes(ax)
    row, said = _reading(line, reading)
    every = steps(line, row)
    found = [step for step in every if abs(step.litres) >= _LEAST_L or step is every[0]]
    level = sum(step.litres for step in every) - sum(step.litres for step in found)  # what is too thin to draw
    end = len(found)
    wide = ax.bbox.width * 72.0 / ax.figure.dpi
    # Right of the last bar stand MIN and MAX, clear of half of the value over that bar.
    aside = 5.4 * font_points()
    right = max(1.2, aside * (end + 0.6) / max(wide - aside, aside))
    room = wide / (end + 0.6 + right)
    for i, step in enumerate(found):
        ax.bar(i, step.litres, 0.62, bottom=level, zorder=2, **step.look.patch())
        _edge(ax, i, level, step.litres)
        top = max(level, level + step.litres)
        _value(ax, i, top, f"{step.litres:+.2f}".replace("-", "\N{MINUS SIGN}"), room)
        level += step.litres
        ax.plot([i + 0.31, i + 1 - 0.31], [level, level], color=DARK, linewidth=0.8, zorder=3)
    ax.bar(end, level, 0.62, zorder=2, **PLACES["sump"].patch())
    _edge(ax, end, 0.0, level)
    _value(ax, end, level, f"{level:.2f}", room, weight="bold")
    names = [*(step.name for step in found), f"in sump, reads {said:.1f}\N{NO-BREAK SPACE}mm"]
    _name_bars(ax, names, room)
    ax.set_xlim(-0.6, end + right)
    highest = max(np.cumsum([step.litres for step in found]))
    lowest = min(0.0, *np.cumsum([step.litres for step in found]))
    ax.set_ylim(lowest, 1.1 * highest)
    ax.set_ylabel("volume [L]")
    grid(ax)
    _stick_axis(ax, line, attitudes(line)[row])
    return ax


def _reading(line: Timeline, label: str | None) -> tuple[int, float]:
    """Find the row of a reading and what it says [mm]."""
    if label is not None:
        line.reading(label)  # refuses what is not there, or twice
    table = line.columns()
    rows = [i for i, mm in enumerate(table["mm"]) if not np.isnan(mm) and (label is None or table["label"][i] == label)]
    if not rows:
        raise QuantityError("the timeline has no reading", "quantity.no_reading")
    return rows[-1], float(table["mm"][rows[-1]])


def steps(line: Timeline, row: int) -> list[Step]:
    """Take the ledger apart into the bars of the waterfall: their sum is what is in the sump in that row [L].

    What was lost or let in counts at 15 °C; its change with temperature is in the expansion.
    """
    table, names = line.ledger.columns(), [str(event) for event in line.columns()["event"]]
    pours = [i for i, name in enumerate(names[: row + 1]) if name == "Pour"]
    if not pours:
        raise QuantityError(f"no pour comes before the reading in row {row}", "quantity.no_pour", {"row": row})
    at, where = table["row"], table["place"]
    volume, cold = table["volume_l"], table["volume_15c_l"]
    out, before, now = np.isin(where, sorted(OUTSIDE)), at == pours[0] - 1, at == row
    sump = np.isin(where, ["sump", "sump.apart"])
    poured, poured_cold = (sum(float(v[at == i].sum() - v[at == i - 1].sum()) for i in pours) for v in (volume, cold))
    heel, aside = float(volume[before & sump].sum()), float(volume[before & ~out & ~sump].sum())
    lost = float(cold[now & out].sum() - cold[before & out].sum())
    let_in = float(cold[now].sum() - cold[before].sum()) - poured_cold
    warmth = float(volume[now & ~out].sum()) - (poured + heel + aside + let_in - lost)
    return [
        Step("poured", poured, PLACES["sump"]),
        Step("stayed in the sump", heel, HEEL),
        Step("stayed in stores, filter", aside, PLACES["kept"]),
        Step("let in", let_in, PLACES["other"]),
        Step("lost", -lost, _LOST),
        Step("expansion", warmth, _WARMTH),
        *_held_elsewhere(where[now & ~out], volume[now & ~out]),
    ]


def _held_elsewhere(where: Any, volume: Any) -> list[Step]:  # noqa: ANN401 - arrays
    """Sum what filter and stores hold, as bars that fall."""
    names = {
        "apart": "lies apart",
        "filter": "fills the filter",
        "pool": "on its way back",
        "film": "film",
        "kept": "kept in stores",
    }
    found: dict[str, float] = {}
    for place, litres in zip(where, volume, strict=True):
        if place != "sump":
            found[group(str(place))] = found.get(group(str(place)), 0.0) + float(litres)
    return [Step(names.get(g, PLACES[g].label), -litres, PLACES[g]) for g, litres in found.items()]


def _value(ax: Axes, x: float, y: float, text: str, room: float, weight: str = "normal") -> None:
    """Write the volume over its bar, no wider than the bars are apart."""
    size = min(font_points(), room / (0.8 * len(text)))
    box = {"boxstyle": "round,pad=0.1", "facecolor": "white", "edgecolor": "none"}
    ax.annotate(
        text,
        (x, y),
        (0, 3),
        textcoords="offset points",
        ha="center",
        va="bottom",
        fontsize=size,
        bbox=box,
        zorder=4,
        weight=weight,
    )


def _name_bars(ax: Axes, names: Sequence[str], room: float) -> None:
    """Write the names below the bars; where they would get too small, every second one in a row of its own."""
    longest = max(len(word) for name in names for word in name.split(" "))
    size = min(0.9 * font_points(), room / (0.62 * longest))
    if size >= 0.72 * font_points():
        rows = 1
    else:
        rows, size = 2, min(0.85 * font_points(), 1.9 * room / (0.62 * longest))
    width = max(longest, int(0.97 * rows * room / (0.6 * size)))
    said = [fill(name, width) for name in names]
    ax.set_xticks(range(0, len(said), rows), said[::rows], fontsize=size)
    if rows == 2:
        lines = 1 + max(name.count("\n") for name in said[::2])
        ax.set_xticks(range(1, len(said), 2), said[1::2], fontsize=size, minor=True)
        ax.tick_params("x", which="minor", length=5.0 + 1.2 * size * lines, width=0.5, color=GRID)


def _edge(ax: Axes, i: int, base: float, height: float) -> None:
    x = [i - 0.31, i - 0.31, i + 0.31, i + 0.31, i - 0.31]
    ax.plot(x, [base, base + height, base + height, base, base], color=DARK, linewidth=1.0, zorder=3)


def _stick_axis(ax: Axes, line: Timeline, attitude: Attitude) -> None:
    """Show on the right what the stick reads with so much in the sump, and the marks across the picture."""
    drawing = Stick(line.circuit, attitude)
    length = drawing.length - max(drawing.seat_offset, 0.0)
    mm, from_max = litres_along(drawing, 0.0, length)
    at_max = drawing.height_at(line.circuit.max_mm)
    litres = from_max + line.circuit.sump.volume_l(level_mm=at_max, attitude=attitude)
    keep = np.concatenate([[True], np.diff(litres) > 1e-9])
    mm, litres = mm[keep], litres[keep]
    marks = {"MIN": line.circuit.min_mm, "MAX": line.circuit.max_mm}
    heights = {word: float(np.interp(mark, mm, litres)) for word, mark in marks.items()}
    low, high = ax.get_ylim()
    word_high = 1.5 * font_points() / (ax.bbox.height * 72.0 / ax.figure.dpi)  # as a share of the axes
    ax.set_ylim(low, max(high, low + (heights["MAX"] - low) / (1.0 - word_high)))
    for word, height in heights.items():
        ax.axhline(height, color=DARK, linewidth=1.0, linestyle=(0, (5, 3)), zorder=1)
        ax.annotate(word, (1.0, height), (-4, 2), ("axes fraction", "data"), "offset points", va="bottom", ha="right")
    second = ax.twinx()
    second.set_ylim(ax.get_ylim())
    low, high = ax.get_ylim()
    shown = (litres >= low) & (litres <= high)
    ticks = even(float(mm[shown][0]), float(mm[shown][-1]), 8)
    second.set_yticks(np.interp(ticks, mm, litres), [f"{tick:g}" for tick in ticks])
    second.spines["right"].set_visible(True)
    second.set_ylabel("the stick reads [mm]")
