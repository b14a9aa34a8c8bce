"""The stick: a close-up with millimetres and litres, and expected readings against its marks."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np

from fillmark._core import Attitude, Circuit, PredictedReading
from fillmark.plot._canvas import US_QUART_L, even, font_points, new_axes, picture, points_per_unit, spread
from fillmark.plot._drawing import Stick
from fillmark.plot._language import BAND, DARK, EXPECTED, PALE, PLACES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from fillmark.plot._cut import Floats

__all__ = ["blade", "stick"]

_BLADE = 0.12  # width of the blade, of the width of the picture


@picture
def stick(
    circuit: Circuit,
    *,
    reading_mm: float | None = None,
    band_mm: tuple[float, float] | None = None,
    attitude: Attitude | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw the blade about its marks, with a scale in millimetres, in litres and in US quarts.

    The litres are what stands in the sump below that place of the blade, less what stands below MAX, at one common
    level: what to add (below MAX) or take out (above) when everything has drained back.

    Parameters
    ----------
    circuit : Circuit
        Whose stick is drawn.
    reading_mm : float, optional
        A reading, distance from the tip along the blade [mm]; oil is drawn on the blade up to it.
    band_mm : tuple of float, optional
        Two readings between which the stick is expected to read [mm], hatched.
    attitude : Attitude, optional
        How the vehicle stands; the attitude at which the marks are true where not given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Distance from the tip along the blade [mm] upwards; its horizontal axis means nothing.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If a reading is not on the blade.
    GeometryError
        If the sump has no plan form and is not level.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import stick
    >>> ax = stick(fm.Circuit.demo("shuttle-bus"), reading_mm=104.0, band_mm=(100.0, 108.0))
    """
    ax = new_axes(ax)
    drawing = Stick(circuit, attitude or circuit.reference_attitude)
    for mm in (reading_mm, *(band_mm or ())):
        if mm is not None:
            drawing.height_at(mm)  # refuses what is not on the blade
    low, high = _window(drawing, reading_mm, band_mm)
    _draw_blade(ax, circuit, low, high, reading_mm, band_mm)
    _litre_scale(ax, drawing, low, high)
    ax.set_ylim(low, high)
    ax.set_xlim(0.0, 1.0)
    ax.set_xticks([])
    ax.spines["bottom"].set_visible(False)
    ax.set_yticks(even(low, high, 8 if (high - low) > 12 else 5))
    ax.set_ylabel("from the tip along the blade [mm]")
    return ax


def _window(drawing: Stick, reading: float | None, band: tuple[float, float] | None) -> tuple[float, float]:
    """Choose how much of the blade is shown: the span and 0.6 of it either side, and what else is asked for."""
    span = drawing.circuit.max_mm - drawing.circuit.min_mm
    asked = [mm for mm in (reading, *(band or ())) if mm is not None]
    low = min([drawing.circuit.min_mm - 0.6 * span, *(mm - 0.15 * span for mm in asked)])
    high = max([drawing.circuit.max_mm + 0.6 * span, *(mm + 0.15 * span for mm in asked)])
    return max(low, 0.0), min(high, drawing.length)


def _places(ax: Axes) -> tuple[float, float, float, float]:
    """Choose the left and right edge of the blade and where its two scales stand, as shares of the width."""
    letter = 0.6 * font_points() / (ax.bbox.width * 72.0 / ax.figure.dpi)
    left = min(max(0.38, 15.0 * letter + 0.1), 0.55)
    right = left + _BLADE
    return left, right, right + 0.03, right + 0.03 + min(max(0.2, 10.0 * letter), 0.28)


def _draw_blade(
    ax: Axes, circuit: Circuit, low: float, high: float, reading: float | None, band: tuple[float, float] | None
) -> None:
    from matplotlib.patches import Rectangle

    left, right, _, _ = _places(ax)
    ax.add_patch(Rectangle((left, low), right - left, high - low, facecolor="#fafafa", edgecolor="none", zorder=1))
    if reading is not None:
        oil = PLACES["sump"].patch()
        ax.add_patch(Rectangle((left, low), right - left, reading - low, zorder=2, gid="oil", **oil))
        ax.plot([left - 0.05, right], [reading, reading], color=DARK, linewidth=1.6, zorder=5)
    if band is not None:
        bottom, top = min(band), max(band)
        ax.add_patch(Rectangle((left, bottom), right - left, top - bottom, zorder=4, gid="band", **BAND))
    for edge in (left, right):
        ax.plot([edge, edge], [low, high], color=DARK, linewidth=1.4, zorder=6)
    for mark in (circuit.min_mm, circuit.max_mm):
        ax.plot([left, right], [mark, mark], color=DARK, linewidth=3.0, zorder=6, solid_capstyle="butt")
    _left_labels(ax, circuit, low, high, reading, band)


def _left_labels(
    ax: Axes, circuit: Circuit, low: float, high: float, reading: float | None, band: tuple[float, float] | None
) -> None:
    labels = [(circuit.min_mm, f"MIN {circuit.min_mm:.1f}"), (circuit.max_mm, f"MAX {circuit.max_mm:.1f}")]
    if reading is not None:
        labels.append((reading, f"reads {reading:.1f}"))
    if band is not None:
        # At the end of the band that is farther from everything else that is named.
        at = max(band, key=lambda mm: min(abs(mm - other) for other, _ in labels))
        labels.append((at, f"expected\n{min(band):.1f} to {max(band):.1f}"))
    labels.sort()
    scale = points_per_unit(ax, high - low, "y")
    halves = [0.71 * font_points() * (1 + text.count("\n")) for _, text in labels]
    left = _places(ax)[0]
    rises = spread([(mm - labels[0][0]) * scale for mm, _ in labels], halves)
    for (mm, text), rise in zip(labels, rises, strict=True):
        at = labels[0][0] + rise / scale
        line = {"arrowstyle": "-", "color": DARK, "linewidth": 0.6, "shrinkA": 1, "shrinkB": 0, "relpos": (1.0, 0.5)}
        ax.annotate(text, (left, mm), (left - 0.09, at), ha="right", va="center", arrowprops=line, zorder=8)


def _litre_scale(ax: Axes, drawing: Stick, low: float, high: float) -> None:
    mm, litres = litres_along(drawing, low, high)
    _, _, litre_scale, quart_scale = _places(ax)
    size = min(font_points(), (quart_scale - litre_scale) * ax.bbox.width * 72.0 / ax.figure.dpi / (0.62 * 8))
    scales = (("L", litres, litre_scale), ("US qt", litres / US_QUART_L, quart_scale))
    for unit, amount, x in scales:
        ax.plot([x, x], [low, high], color=DARK, linewidth=0.8, zorder=2)
        for value in even(float(amount[0]), float(amount[-1]), 7):
            at = float(np.interp(value, amount, mm))
            if not low + 0.02 * (high - low) <= at <= high - 0.02 * (high - low):
                continue
            ax.plot([x, x + 0.015], [at, at], color=DARK, linewidth=0.8, zorder=2)
            text = "0" if abs(value) < 1e-9 else f"{value:+.4g}".replace("-", "\N{MINUS SIGN}")
            ax.text(x + 0.03, at, text, va="center", ha="left", zorder=3)
        head, at_top = f"[{unit}]\nfrom MAX", ("data", "axes fraction")
        ax.annotate(head, (x, 1.0), (0, 5), at_top, "offset points", va="bottom", ha="left", fontsize=size)


def litres_along(drawing: Stick, low: float, high: float) -> tuple[Floats, Floats]:
    """Tabulate places of the blade [mm] and the litres from MAX that stand below each."""
    circuit, sump = drawing.circuit, drawing.circuit.sump
    mm = np.append(np.linspace(low, high, 121), circuit.max_mm)
    levels = np.clip([drawing.height_at(float(at)) for at in mm], 0.0, drawing.height)
    volumes = sump.volume_l(level_mm=levels, attitude=drawing.attitude)
    return mm[:-1], volumes[:-1] - volumes[-1]


@picture
def blade(
    circuit: Circuit, readings: Sequence[PredictedReading], *, probability: float = 0.95, ax: Axes | None = None
) -> Axes:
    """Draw what the stick is expected to read, one reading after the other, against its marks.

    Parameters
    ----------
    circuit : Circuit
        Whose marks are drawn.
    readings : sequence of PredictedReading
        Such as ``plan.readings``; a dot at the mean, a bar over the coverage interval.
    probability : float
        Coverage probability of the bars, greater than 0, less than 1.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Distance from the tip along the blade [mm] over the readings in order.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If the probability is out of range.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import blade
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> p = fm.predict(bus, [fm.Read(label="as it stands")], draws=1000)
    >>> ax = blade(bus, p.readings)
    """
    ax = new_axes(ax)
    from matplotlib.ticker import MaxNLocator

    ax.axhspan(circuit.min_mm, circuit.max_mm, facecolor=PALE, zorder=0)
    for word, mark in (("MIN", circuit.min_mm), ("MAX", circuit.max_mm)):
        ax.axhline(mark, color=DARK, linewidth=1.6, zorder=1)
        ax.annotate(word, (1.0, mark), (4, 0), ("axes fraction", "data"), "offset points", va="center")
    for place, reading in enumerate(readings):
        low, high = reading.mm.interval(probability)
        ax.plot([place, place], [low, high], color=EXPECTED, linewidth=7.0, solid_capstyle="butt", zorder=2)
        ax.plot(place, reading.mm.mean, marker="o", markersize=7, color=DARK, zorder=3)
    names = [reading.label or f"reading {i}" for i, reading in enumerate(readings, 1)]
    # A letter is about 0.6 of its size wide; axis labels take about a sixth of the width.
    size = 0.9 * font_points()
    room = ax.bbox.width * 72.0 / ax.figure.dpi * 0.83 / max(len(names), 1)
    ax.set_xticks(
        range(len(names)), [fill(name, max(6, int(room / (0.61 * size)) - 1)) for name in names], fontsize=size
    )
    ax.set_xlim(-0.6, len(names) - 0.4)
    ax.yaxis.set_major_locator(MaxNLocator(integer=True))
    ax.set_ylabel("reading, from the tip along the blade [mm]")
    ax.set_xlabel(f"dot: mean; bar: {100.0 * probability:g} % of draws")
    return ax
