"""The sump cut at the stick: level, marks, plug, pickup, crank path and the oil that a drain leaves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Attitude, Circuit, Plug, Pools
from fillmark.plot import _parts
from fillmark.plot._canvas import column, even, font_points, new_axes, new_panels, picture, tag
from fillmark.plot._cut import Floats
from fillmark.plot._drawing import Drawing, Stick
from fillmark.plot._language import BAND, DARK, HEEL, PLACES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["draw_outline", "draw_stick", "patch", "section", "tilted"]

_AHEAD = {"x": "forward", "y": "to the left", "stick": "as the stick leans"}
_HIGH = 0.2  # of the height of the sump: from here up a plug is named beside the drawing, not below
_ASIDE = 18.0  # points from the sump to its labels


@picture
def section(
    circuit: Circuit,
    *,
    level_mm: float | None = None,
    reading_mm: float | None = None,
    pools: Pools | None = None,
    band_mm: tuple[float, float] | None = None,
    attitude: Attitude | None = None,
    along: str = "x",
    drained: Plug | Sequence[Plug] | None = None,
    pickup_mm: tuple[float, float, float] | None = None,
    crank_path_mm: Sequence[_parts.Point] | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw the sump cut by a vertical plane through the tip of the stick, as it stands on the ground.

    The vertical axis is the level: height above the sump's lowest point at this attitude, along *up*. Given a level
    or a reading, the free surface is drawn at one common level in every part of the sump; given pools, each at its
    own. What stays in when a full sump is drained through its plugs at this attitude is shaded darker. Stick, plug,
    pickup and crank path are drawn where they appear when seen square to the plane; they need not lie in it. A sump
    without a drawing (a strapping table, a service sheet) is shown as a square box of its mean free surface, without
    a heel.

    Parameters
    ----------
    circuit : Circuit
        What is drawn.
    level_mm : float, optional
        Level of the liquid [mm], 0 to the height of the sump at this attitude.
    reading_mm : float, optional
        The level instead, as the stick says it: distance from the tip along the blade [mm].
    pools : Pools, optional
        Liquid as it lies instead, in pools with their own levels, at their attitude.
    band_mm : tuple of float, optional
        Two readings between which the stick is expected to read [mm]; the space between their levels is hatched.
    attitude : Attitude, optional
        How the vehicle stands; that of `pools`, else the attitude at which the marks are true, where not given.
    along : {"x", "y", "stick"}
        Which horizontal direction the plane holds besides *up*: forward, to the left, or that in which the stick leans
        (for an upright stick, forward).
    drained : Plug or sequence of Plug, optional
        Through what the sump was drained; the circuit's plugs where not given, ``()`` to show no heel.
    pickup_mm : tuple of float, optional
        Mouth of the oil pump's pickup, body frame [mm]; the circuit's where not given.
    crank_path_mm : sequence of tuple of float, optional
        Points that bound the crank's path below, body frame [mm]: the two ends of its lowest line, or as many around it
        as show its shape; the circuit's where not given.
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
        If a level, a reading or `along` is not among those accepted, or more than one of level, reading and pools is
        given.
    GeometryError
        If the sump has no plan form and is not level, or the plane misses it.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import section
    >>> ax = section(fm.Circuit.demo("shuttle-bus"), reading_mm=104.0, band_mm=(100.0, 108.0))
    """
    ax = new_axes(ax)
    if pools is not None:
        attitude = attitude or pools.attitude
    drawing = Drawing(circuit, attitude or circuit.reference_attitude, along)
    level = drawing.level(level_mm, reading_mm, pools)
    band = None if band_mm is None else sorted(drawing.height_at(mm) for mm in band_mm)
    pickup, crank = _parts.pickup(circuit, pickup_mm), _parts.crank_path(circuit, crank_path_mm)
    _frame(ax, drawing, pickup, crank, _words(level, reading_mm, band_mm))
    labels = [("MIN", *drawing.on_blade(circuit.min_mm)), ("MAX", *drawing.on_blade(circuit.max_mm))]
    labels += _liquid(ax, drawing, level, pools, _words(level, reading_mm, band_mm))
    _band(ax, drawing, band)
    labels += _heel(ax, drawing, drained)
    labels += _fittings(ax, drawing, pickup, crank)
    draw_outline(ax, drawing)
    draw_stick(ax, drawing)
    labels += _plugs(ax, drawing)
    right = drawing.extent()[1][0]
    column(ax, labels, right=right, points_per_unit=drawing.points_per_mm, aside=_ASIDE)
    return ax


@picture
def tilted(
    circuit: Circuit,
    attitudes: Sequence[Attitude] | None = None,
    *,
    volume_l: float | None = None,
    along: str = "x",
    ax: Any = None,  # noqa: ANN401 - one Axes for each attitude
) -> Any:  # noqa: ANN401
    """Draw the same liquid in the sump at several attitudes side by side, and what the stick then reads.

    Parameters
    ----------
    circuit : Circuit
        What is drawn.
    attitudes : sequence of Attitude, optional
        How the vehicle stands; where not given, at the reference attitude and with the nose 5° higher.
    volume_l : float, optional
        Liquid in the sump [L], at one common level; what stands below MAX in the reference attitude where not given.
    along : {"x", "y", "stick"}
        As in `section`.
    ax : array of matplotlib.axes.Axes, optional
        Where to draw, one for each attitude.

    Returns
    -------
    numpy.ndarray of matplotlib.axes.Axes
        One for each attitude.

    Raises
    ------
    ImportError, QuantityError, GeometryError
        As `section`; also if the number of axes is not that of the attitudes.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import tilted
    >>> axes = tilted(fm.Circuit.demo("deck-generator"), volume_l=4.0)
    """
    if attitudes is None:
        at = circuit.reference_attitude
        attitudes = (at, Attitude(nose_up_deg=at.nose_up_deg + 5.0, right_down_deg=at.right_down_deg))
    sump = circuit.sump
    if volume_l is None:
        at_max = Stick(circuit, circuit.reference_attitude).height_at(circuit.max_mm)
        volume_l = sump.volume_l(level_mm=at_max, attitude=circuit.reference_attitude)
    panels = new_panels(ax, 1, len(attitudes))[: len(attitudes)]
    for number, (panel, attitude) in enumerate(zip(panels, attitudes, strict=True)):
        drawing = Drawing(circuit, attitude, along)
        level = sump.level_mm(volume_l=volume_l, attitude=attitude)
        _frame(panel, drawing, None, None, "")
        _liquid(panel, drawing, level, None, "")
        _heel(panel, drawing, None)
        draw_outline(panel, drawing)
        draw_stick(panel, drawing)
        for text, x, z in _plugs(panel, drawing):
            tag(panel, x, z, f"{text}   ", ha="right", bbox=None)
        panel.set_title(f"{_parts.stands(attitude)}: {volume_l:.2f} L\nreads {drawing.reads(level):.1f} mm", loc="left")
        panel.set_xlabel(f"along the ground, {_AHEAD[along]} [mm]")
        panel.set_ylabel("" if number else panel.get_ylabel())
    _one_scale(panels)
    return panels


def _one_scale(panels: Sequence[Axes]) -> None:
    """Give all panels the same limits, hence the same scale."""
    for panel in panels:
        panel.spines["bottom"].set_bounds(None, None)
    for limits, put in (("get_xlim", "set_xlim"), ("get_ylim", "set_ylim")):
        low, high = zip(*(getattr(panel, limits)() for panel in panels), strict=True)
        for panel in panels:
            getattr(panel, put)(min(low), max(high))


def _words(level: float | None, reading_mm: float | None, band_mm: tuple[float, float] | None) -> str:
    """Say what is written at the free surface."""
    said = f"level {level or 0.0:.0f} mm" if reading_mm is None else f"reads {reading_mm:.1f} mm"
    return said if band_mm is None else f"{said}\nexpected {min(band_mm):.1f} to\n{max(band_mm):.1f} mm"


def patch(loops: list[Floats], **style: Any) -> Any:  # noqa: ANN401 - a PathPatch and its properties
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    # Loops around islands run the other way, so the islands stay empty.
    paths = [Path(np.vstack([loop, loop[:1]]), closed=True) for loop in loops]
    return PathPatch(Path.make_compound_path(*paths), **style)


def _points_per_mm(ax: Axes, drawing: Drawing, beside: float) -> float:
    """About how large the drawing comes out, beside so many points of text."""
    low, high = drawing.extent()
    width, height = (72.0 / ax.figure.dpi * size for size in (ax.bbox.width, ax.bbox.height))
    return float(min((width - beside) / (high[0] - low[0]), height / (high[1] - low[1])))


def _frame(ax: Axes, drawing: Drawing, pickup: Floats | None, crank: Floats | None, longest: str) -> None:
    ax.set_xlabel(f"along the ground, {_AHEAD[drawing.along]} [mm]")
    ax.set_ylabel("level above the lowest point [mm]")
    ax.set_aspect("equal")
    ax.spines[["top", "right"]].set_visible(False)
    for more in (pickup, crank):
        if more is not None:
            drawing.include(more)
    low, high = drawing.extent()
    letters = max(len(line) for line in (*longest.split("\n"), "crank path")) if longest else 0
    beside = 0.62 * font_points() * letters + _ASIDE + 4.0 if longest else 6.0
    drawing.points_per_mm = _points_per_mm(ax, drawing, beside)
    room = 1.0 / drawing.points_per_mm
    # The labels stand inside the axes, which end for the eye at the sump.
    ax.set_xlim(low[0] - 10.0 * room, high[0] + beside * room)
    ax.set_ylim(low[1] - 3.0 * font_points() * room, high[1] + 6.0 * room)
    ax.spines["bottom"].set_bounds(low[0] - 10.0 * room, high[0] + 6.0 * room)
    ax.set_xticks(even(float(low[0]), float(high[0]), 5))
    ax.set_yticks(even(0.0, float(high[1]), 5))


def _liquid(
    ax: Axes,
    drawing: Drawing,
    level: float | None,
    pools: Pools | None,
    words: str,
) -> list[tuple[str, float, float]]:
    """Shade the liquid and draw its free surfaces; give the labels that say at which level they stand."""
    if pools is not None:
        found = drawing.pools(pools)
    elif level is not None and (liquid := drawing.strip(-np.inf, level)):
        found = [(level, liquid)]
    else:
        return [] if level is None else [(words, drawing.extent()[1][0], level)]
    labels: dict[float, float] = {}
    for height, loops in found:
        ax.add_patch(patch(loops, zorder=1, gid="liquid", **PLACES["sump"].patch()))
        for ends in drawing.surface(height, loops if pools is not None else None):
            ax.plot(ends, [height, height], color=DARK, linewidth=1.4, zorder=3)
            labels[height] = max(labels.get(height, -np.inf), ends[-1])
    if pools is None:
        return [(words, labels.get(level or 0.0, drawing.extent()[1][0]), level or 0.0)]
    return [(f"level {height:.0f} mm", x, height) for height, x in labels.items()]


def _band(ax: Axes, drawing: Drawing, band: list[float] | None) -> None:
    if band is not None and (strip := drawing.strip(*band)):
        ax.add_patch(patch(strip, zorder=2, gid="band", **BAND))


def _heel(ax: Axes, drawing: Drawing, drained: Plug | Sequence[Plug] | None) -> list[tuple[str, float, float]]:
    """Shade what stays in when a full sump is drained; give its label."""
    plugs = _parts.plugs(drawing.circuit) if drained is None else drained
    if drawing.circuit.sump.vertices_mm is None or not plugs:
        return []
    full = Pools.at_level(drawing.circuit.sump, level_mm=drawing.height, attitude=drawing.attitude)
    left = full.drain(plugs)
    found = drawing.pools(left)
    for _, loops in found:
        ax.add_patch(patch(loops, zorder=2.5, gid="heel", **HEEL.patch()))
    if not found or left.volume_l < 0.005:
        return []
    height, loops = max(found, key=lambda pool: float(np.ptp(np.vstack(pool[1])[:, 0])))
    x = float(np.vstack(loops)[:, 0].max())
    return [(f"heel {left.volume_l:.2f} L", x, height)]


def _fittings(
    ax: Axes, drawing: Drawing, pickup: Floats | None, crank: Floats | None
) -> list[tuple[str, float, float]]:
    """Draw pickup and crank path; give their labels."""
    labels = []
    if pickup is not None:
        (x, z), size = drawing.flat(pickup)[0], 4.0 / drawing.points_per_mm
        ax.plot([x - 2 * size, x + 2 * size], [z, z], color=DARK, linewidth=2.4, zorder=6)
        ax.plot([x, x], [z, z + 5 * size], color=DARK, linewidth=2.4, linestyle=(0, (1.5, 0.8)), zorder=6)
        labels.append(("pickup", float(x), float(z)))
    if crank is not None:
        points = _parts.hull(drawing.flat(crank))
        style: dict[str, Any] = {"linewidth": 1.2, "linestyle": (0, (5, 3)), "zorder": 5, "gid": "crank path"}
        if len(points) > 2:
            ax.add_patch(patch([points], facecolor="none", edgecolor=DARK, **style))
        else:
            ax.plot(*points.T, color=DARK, **style)
        lowest = points[points[:, 1] <= points[:, 1].min() + 1e-6]
        right = lowest[lowest[:, 0].argmax()]
        labels.append(("crank path", float(right[0]), float(right[1])))
    return labels


def draw_outline(ax: Axes, drawing: Drawing, width: float = 1.8) -> None:
    """Draw the walls where the plane cuts them."""
    style = {"facecolor": "none", "edgecolor": DARK, "linewidth": width}
    ax.add_patch(patch(drawing.loops, zorder=4, gid="outline", **style))


def draw_stick(ax: Axes, drawing: Drawing, width: float = 2.4) -> None:
    """Draw the stick, seen square to the plane, with a short line across it at each mark."""
    stick = drawing.stick
    ax.plot(*stick.T, color="white", linewidth=2.5 * width, solid_capstyle="butt", zorder=3.5)
    ax.plot(*stick.T, color=DARK, linewidth=width, solid_capstyle="butt", zorder=6)
    run, rise = stick[-1] - stick[0]
    across = 5.0 / drawing.points_per_mm * np.array([rise, -run]) / np.hypot(rise, run)
    for mark in (drawing.circuit.min_mm, drawing.circuit.max_mm):
        at = drawing.on_blade(mark)
        ax.plot(*np.array([at - across, at + across]).T, color=DARK, linewidth=width, zorder=6)


def _plugs(ax: Axes, drawing: Drawing) -> list[tuple[str, float, float]]:
    """Draw the plugs, with their names below those low down; give labels for those higher up a wall."""
    plugs = _parts.entry(drawing.circuit, "plugs") or {}
    labels = []
    for name, plug in plugs.items():
        at = drawing.flat(np.array([plug["at_mm"]], dtype=float))[0]
        ax.plot(*at, marker="s", markersize=8, color=DARK, zorder=7, clip_on=False)
        text = "plug" if len(plugs) == 1 else f"{name} plug"
        if at[1] > _HIGH * drawing.height:
            labels.append((text, float(at[0]), float(at[1])))
        else:
            ax.annotate(text, at, (0, -7), textcoords="offset points", ha="center", va="top", annotation_clip=False)
    return labels
