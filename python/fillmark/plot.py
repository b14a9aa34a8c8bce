"""Pictures, drawn with matplotlib, which is imported when a picture is asked for.

They use one hue, and hatching where a grey copy must tell two things apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Attitude, Circuit, PredictedReading
from fillmark._cut import Floats
from fillmark._section import Drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["blade", "section"]

LINE = 15.0  # points from one line of text to the next
OIL = "#f2dcae"
OIL_LINES = "#c29a52"
OIL_DARK = "#b08436"
DARK = "#202020"
_HELP = "pictures need matplotlib; install it with: python -m pip install 'matplotlib>=3.7'"


def section(
    circuit: Circuit,
    *,
    level_mm: float | None = None,
    reading_mm: float | None = None,
    band_mm: tuple[float, float] | None = None,
    attitude: Attitude | None = None,
    along: str = "x",
    ax: Axes | None = None,
) -> Axes:
    """Draw the sump cut by a vertical plane through the tip of the stick, as it stands on the ground.

    The vertical axis is the level: height above the sump's lowest point at this attitude, along *up*. The free surface
    is drawn at one common level in every part of the sump. Stick and plug are drawn where they appear when seen square
    to the plane; they need not lie in it. A sump without a drawing (a strapping table, a service sheet) is shown as a
    square box of its mean free surface.

    Parameters
    ----------
    circuit : Circuit
        What is drawn.
    level_mm : float, optional
        Level of the liquid [mm], 0 to the height of the sump at this attitude.
    reading_mm : float, optional
        The level instead, as the stick says it: distance from the tip along the blade [mm].
    band_mm : tuple of float, optional
        Two readings between which the stick is expected to read [mm]; the space between their levels is hatched.
    attitude : Attitude, optional
        How the vehicle stands; the attitude at which the marks are true where not given.
    along : {"x", "y", "stick"}
        Which horizontal direction the plane holds besides *up*: forward, to the left, or that in which the stick leans
        (for an upright stick, forward).
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        With equal scales on both axes.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If a level, a reading or `along` is not among those accepted, or both a level and a reading are given.
    GeometryError
        If the sump has no plan form and is not level, or the plane misses it.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import section
    >>> ax = section(fm.Circuit.demo("shuttle-bus"), reading_mm=104.0, band_mm=(100.0, 108.0))
    """
    ax = _axes(ax, (7.0, 4.6))
    drawing = Drawing(circuit, attitude or circuit.reference_attitude, along)
    level = drawing.level(level_mm, reading_mm)
    band = None if band_mm is None else sorted(drawing.level(None, mm) or 0.0 for mm in band_mm)
    _frame(ax, drawing)
    _draw_sump(ax, drawing, level, band)
    _draw_stick(ax, drawing)
    _draw_plugs(ax, drawing)
    _label(ax, drawing, level, _words(level, reading_mm, band_mm))
    return ax


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
    ax = _axes(ax, (4.0, 4.6))
    from matplotlib.ticker import MaxNLocator

    ax.axhspan(circuit.min_mm, circuit.max_mm, facecolor="#ececec", zorder=0)
    for word, mark in (("MIN", circuit.min_mm), ("MAX", circuit.max_mm)):
        ax.axhline(mark, color=DARK, linewidth=1.6, zorder=1)
        ax.annotate(word, (1.0, mark), (4, 0), ("axes fraction", "data"), "offset points", va="center")
    for place, reading in enumerate(readings):
        low, high = reading.mm.interval(probability)
        ax.plot([place, place], [low, high], color=OIL_DARK, linewidth=7.0, solid_capstyle="butt", zorder=2)
        ax.plot(place, reading.mm.mean, marker="o", markersize=7, color=DARK, zorder=3)
    names = [reading.label or f"reading {i}" for i, reading in enumerate(readings, 1)]
    # At 9 points a letter is about 5.5 points wide; axis labels take about a sixth of the width.
    room = ax.bbox.width * 72.0 / ax.figure.dpi * 0.83 / max(len(names), 1)
    ax.set_xticks(range(len(names)), [fill(name, max(6, int(room / 5.5) - 1)) for name in names], fontsize=9)
    ax.set_xlim(-0.6, len(names) - 0.4)
    ax.yaxis.set_major_locator(MaxNLocator(integer=True))
    ax.set_ylabel("reading, from the tip along the blade [mm]")
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def require() -> None:
    """Raise an `ImportError` that says what to install, if matplotlib is missing."""
    try:
        import matplotlib  # noqa: F401
    except ImportError as error:
        raise ImportError(_HELP) from error


def _axes(ax: Axes | None, size: tuple[float, float]) -> Axes:
    require()
    if ax is not None:
        return ax
    from matplotlib import pyplot

    return pyplot.subplots(figsize=size, layout="constrained")[1]


def _words(level: float | None, reading_mm: float | None, band_mm: tuple[float, float] | None) -> str:
    """Say what is written at the free surface."""
    said = f"level {level or 0.0:.0f} mm" if reading_mm is None else f"stick reads {reading_mm:.1f} mm"
    return said if band_mm is None else f"{said}\nexpected band {min(band_mm):.1f} to {max(band_mm):.1f} mm"


def _patch(loops: list[Floats], **style: Any) -> Any:  # noqa: ANN401 - a PathPatch and its properties
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    # Loops around islands run the other way, so the islands stay empty.
    paths = [Path(np.vstack([loop, loop[:1]]), closed=True) for loop in loops]
    return PathPatch(Path.make_compound_path(*paths), **style)


def _points_per_mm(ax: Axes, drawing: Drawing) -> float:
    """About how large the drawing comes out, for text that must not overlap."""
    low, high = drawing.extent()
    return float(min(ax.bbox.width / (high[0] - low[0]), ax.bbox.height / (high[1] - low[1]))) * 72.0 / ax.figure.dpi


def _frame(ax: Axes, drawing: Drawing) -> None:
    ahead = {"x": "forward", "y": "to the left", "stick": "as the stick leans"}[drawing.along]
    ax.set_xlabel(f"along the ground, {ahead} [mm]")
    ax.set_ylabel("level above the lowest point [mm]")
    ax.set_aspect("equal")
    ax.spines[["top", "right"]].set_visible(False)
    low, high = drawing.extent()
    room = 1.0 / _points_per_mm(ax, drawing)
    ax.set_xlim(low[0] - 10.0 * room, high[0] + 6.0 * room)
    ax.set_ylim(low[1] - 30.0 * room, high[1] + 6.0 * room)


def _draw_sump(ax: Axes, drawing: Drawing, level: float | None, band: list[float] | None) -> None:
    if level is not None and (liquid := drawing.strip(-np.inf, level)):
        shade = {"facecolor": OIL, "edgecolor": OIL_LINES, "hatch": "--", "linewidth": 0}
        ax.add_patch(_patch(liquid, zorder=1, gid="liquid", **shade))
        for ends in drawing.surface(level):
            ax.plot(ends, [level, level], color=DARK, linewidth=1.4, zorder=3)
    if band is not None and (strip := drawing.strip(*band)):
        shade = {"facecolor": "none", "edgecolor": DARK, "hatch": "//////", "linewidth": 0}
        ax.add_patch(_patch(strip, zorder=2, gid="band", **shade))
    ax.add_patch(_patch(drawing.loops, facecolor="none", edgecolor=DARK, linewidth=1.8, zorder=4, gid="outline"))


def _draw_stick(ax: Axes, drawing: Drawing) -> None:
    stick = drawing.stick
    ax.plot(*stick.T, color="white", linewidth=6.0, solid_capstyle="butt", zorder=3.5)
    ax.plot(*stick.T, color=DARK, linewidth=2.4, solid_capstyle="butt", zorder=6)
    run, rise = stick[-1] - stick[0]
    across = 5.0 / _points_per_mm(ax, drawing) * np.array([rise, -run]) / np.hypot(rise, run)
    for mark in (drawing.circuit.min_mm, drawing.circuit.max_mm):
        at = drawing.on_blade(mark)
        ax.plot(*np.array([at - across, at + across]).T, color=DARK, linewidth=2.4, zorder=6)


def _draw_plugs(ax: Axes, drawing: Drawing) -> None:
    plugs = drawing.circuit["plugs"]
    for name, plug in plugs.items():
        at = drawing.flat(np.array([plug["at_mm"]], dtype=float))[0]
        ax.plot(*at, marker="s", markersize=8, color=DARK, zorder=7, clip_on=False)
        text = "plug" if len(plugs) == 1 else f"plug {name}"
        ax.annotate(text, at, (0, -7), textcoords="offset points", ha="center", va="top", annotation_clip=False)


def _label(ax: Axes, drawing: Drawing, level: float | None, words: str) -> None:
    """Write what stands at which height in a column to the right, each with a thin line to its place."""
    from matplotlib.transforms import ScaledTranslation

    circuit = drawing.circuit
    right = drawing.extent()[1][0]
    labels = [("MIN", *drawing.on_blade(circuit.min_mm)), ("MAX", *drawing.on_blade(circuit.max_mm))]
    if level is not None:
        ends = drawing.surface(level)
        labels.append((words, ends[-1][1] if ends else right, level))
    labels.sort(key=lambda label: label[2])
    # Text is set apart in points from one anchor, so the labels stay apart at any size of the picture.
    scale = _points_per_mm(ax, drawing)
    anchor = sum(height for _, _, height in labels) / len(labels)
    halves = [LINE / 2.0 * (1 + text.count("\n")) for text, *_ in labels]
    rises = _spread([(height - anchor) * scale for _, _, height in labels], halves)
    for (text, x, height), rise in zip(labels, rises, strict=True):
        aside = ax.transData + ScaledTranslation(18.0 / 72.0, rise / 72.0, ax.figure.dpi_scale_trans)
        line = {"arrowstyle": "-", "color": DARK, "linewidth": 0.6, "shrinkA": 1, "shrinkB": 0}
        ax.annotate(
            text,
            (x, height),
            (right, anchor),
            textcoords=aside,
            va="center",
            annotation_clip=False,
            arrowprops=line,
            zorder=8,
        )


def _spread(wanted: list[float], half: list[float]) -> list[float]:
    """Heights of labels, rising, kept apart by their half heights and, as a group, where they were wanted."""
    placed = list(wanted)
    for i in range(1, len(placed)):
        placed[i] = max(placed[i], placed[i - 1] + half[i - 1] + half[i])
    shift = sum(placed) / len(placed) - sum(wanted) / len(wanted)
    return [height - shift for height in placed]
