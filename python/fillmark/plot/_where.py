"""Where the oil is: stacked bars of the places, and the way from the amount poured to the reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np

from fillmark._core import Circuit, Rest, Run, Timeline, simulate
from fillmark.plot._canvas import font_points, grid, new_axes, picture, quarts, tag, words
from fillmark.plot._language import DARK, PLACES, group

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["whereabouts", "within"]

_TEXT_FROM = 0.045  # of the height of the tallest bar: thinner layers are not written in


@picture
def whereabouts(
    what: Circuit | Timeline,
    *,
    temperature_c: float = 60.0,
    rows: Mapping[str, int] | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw where the oil is, place by place, as stacked bars.

    Parameters
    ----------
    what : Circuit or Timeline
        Of a circuit: the engine running, then 1 min, 10 min and 12 h after it stopped, at one temperature, starting
        at MAX. Of a timeline: one bar for each row asked for; catch pan, floor and the old filter are left out until
        they hold something.
    temperature_c : float
        Temperature at the end of the run [°C]; used with a circuit only.
    rows : mapping of str to int, optional
        Name of each bar and its row of the timeline; every row, under its label or its event's name, where not given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Volume at its own temperature [L], with US quarts on the right, over the moments.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    FillmarkError
        If the run cannot be simulated.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import whereabouts
    >>> ax = whereabouts(fm.Circuit.demo("shuttle-bus"), temperature_c=90.0)
    """
    ax = new_axes(ax)
    if isinstance(what, Circuit):
        rests = [Rest(minutes=1), Rest(minutes=9), Rest(minutes=12 * 60 - 10)]
        line = simulate(what, [Run(minutes=10, temperature_c=temperature_c), *rests])
        rows = {"running": 1, "1 min": 2, "10 min": 3, "12 h overnight": 4}
    else:
        line = what
    if rows is None:
        table = line.columns()
        names = [str(label) or words(str(event)) for label, event in zip(table["label"], table["event"], strict=True)]
        bars = list(enumerate(names))
    else:
        bars = [(row, name) for name, row in rows.items()]
    held = within(line)
    _stack(ax, [held[row] for row, _ in bars])
    size = font_points() * (1.0 if len(bars) < 7 else 0.85)
    width = max(6, int(ax.bbox.width * 72.0 / ax.figure.dpi * 0.72 / len(bars) / (0.6 * size)))
    ax.set_xticks(range(len(bars)), [fill(name, width) for _, name in bars], fontsize=size)
    ax.set_ylabel("volume [L]")
    grid(ax)
    quarts(ax, "y")
    return ax


def within(line: Timeline) -> list[dict[str, float]]:
    """Sum the volumes of each row by group of places, in the order of the language [L]."""
    table = line.ledger.columns()
    found: list[dict[str, float]] = [dict.fromkeys(PLACES, 0.0) for _ in line.rows]
    for row, place, volume in zip(table["row"], table["place"], table["volume_l"], strict=True):
        found[int(row)][group(str(place))] += float(volume)
    return found


def _stack(ax: Axes, bars: Sequence[Mapping[str, float]]) -> None:
    from matplotlib.patches import Patch
    from matplotlib.transforms import ScaledTranslation

    tallest = max(sum(bar.values()) for bar in bars)
    shown = [place for place in PLACES if any(bar[place] > 5e-4 * tallest for bar in bars)]
    base = np.zeros(len(bars))
    for place in shown:
        heights = np.array([bar[place] for bar in bars])
        look = PLACES[place]
        ax.bar(range(len(bars)), heights, 0.62, bottom=base, zorder=2, label=look.label, **look.patch())
        for i, (low, high) in enumerate(zip(base, heights, strict=True)):
            if high > 0.0:
                ax.plot([i - 0.31, i + 0.31], [low + high] * 2, color=DARK, linewidth=0.8, zorder=3)
            if high >= _TEXT_FROM * tallest:
                tag(ax, i, low + high / 2.0, f"{high:.2f}", fontsize=0.85 * font_points())
        base += heights
    for i, top in enumerate(base):
        ax.plot([i - 0.31, i - 0.31, i + 0.31, i + 0.31], [0.0, top, top, 0.0], color=DARK, linewidth=1.2, zorder=3)
    ax.set_xlim(-0.6, len(bars) - 0.4)
    ax.set_ylim(0.0, 1.04 * tallest)
    keys = [Patch(**{**PLACES[p].patch(), "linewidth": 0.8}, label=PLACES[p].label) for p in reversed(shown)]
    # Clear of the second axis: its ticks, their labels of up to four characters, and its name.
    aside = ScaledTranslation((8.0 + 3.6 * font_points()) / 72.0, 0.0, ax.figure.dpi_scale_trans)
    ax.legend(
        handles=keys, loc="upper left", bbox_to_anchor=(1.0, 1.0), bbox_transform=ax.transAxes + aside, frameon=False,
        handleheight=1.3, handlelength=2.2, borderaxespad=0.0,
    )  # fmt: skip
