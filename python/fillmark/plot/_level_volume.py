"""Level over volume, and how many millilitres make a millimetre."""

from __future__ import annotations

from typing import Any

import numpy as np

from fillmark._core import Attitude, Circuit, Sump
from fillmark.plot._canvas import grid, new_panels, picture, quarts
from fillmark.plot._drawing import Stick
from fillmark.plot._language import DARK, LINES

__all__ = ["level_volume"]

_POINTS = 400


@picture
def level_volume(
    shape: Circuit | Sump,
    *,
    attitude: Attitude | None = None,
    ax: Any = None,  # noqa: ANN401 - two Axes
) -> Any:  # noqa: ANN401
    """Draw the level over the volume, with US quarts above, and beside it the millilitres to each millimetre of level.

    Parameters
    ----------
    shape : Circuit or Sump
        What is filled, at one common level. Of a circuit also the levels of the marks are drawn.
    attitude : Attitude, optional
        How the vehicle stands; of a circuit the attitude at which the marks are true where not given, else level.
    ax : array of two matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    numpy.ndarray of matplotlib.axes.Axes
        Two: level [mm] over volume [L], and level [mm] over the free surface [mL/mm].

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If fewer than two axes are given.
    GeometryError
        If the sump has no plan form and is not level.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import level_volume
    >>> axes = level_volume(fm.Circuit.demo("deck-generator"))
    """
    circuit = shape if isinstance(shape, Circuit) else None
    sump = shape.sump if isinstance(shape, Circuit) else shape
    attitude = attitude or (circuit.reference_attitude if circuit else Attitude())
    left, right = new_panels(ax, 1, 2, width_ratios=(1.7, 1.0))[:2]
    height = sump.height_mm(attitude=attitude)
    # A flat floor makes the free surface jump: points close on both sides show the step.
    level = np.unique(np.concatenate([np.linspace(0.0, height, _POINTS), *_beside_jumps(sump, attitude, height)]))
    left.plot(sump.volume_l(level_mm=level, attitude=attitude), level, linewidth=2.2, **LINES[0])
    right.plot(sump.free_surface_mm2(level_mm=level, attitude=attitude) / 1e3, level, linewidth=2.2, **LINES[0])
    if circuit:
        _marks(left, right, circuit, attitude)
    for panel in (left, right):
        panel.set_ylim(0.0, height * 1.02)
        panel.set_xlim(left=0.0)
        grid(panel, "both")
    right.set_xlim(right=right.get_xlim()[1] * 1.12)
    left.set_xlabel("volume in the sump [L]")
    left.set_ylabel("level above the lowest point [mm]")
    right.set_xlabel("free surface [mL per mm of level]")
    right.set_ylabel("level [mm]")
    quarts(left, "x")
    return np.array([left, right], dtype=object)


def _beside_jumps(sump: Sump, attitude: Attitude, height: float) -> list[np.ndarray[Any, np.dtype[np.float64]]]:
    """Find levels of horizontal floors: heights that two or more corners share."""
    corners = sump.vertices_mm
    if corners is None:
        return []
    up = corners @ np.array(attitude.up)
    levels, count = np.unique(np.round(up - up.min(), 6), return_counts=True)
    flat = levels[(count > 2) & (levels > 0.0) & (levels < height)]
    return [flat[:200] - 1e-4, flat[:200] + 1e-4]


def _marks(left: Any, right: Any, circuit: Circuit, attitude: Attitude) -> None:  # noqa: ANN401 - two Axes
    drawing = Stick(circuit, attitude)
    sump = circuit.sump
    for word, mark in (("MIN", circuit.min_mm), ("MAX", circuit.max_mm)):
        level = drawing.height_at(mark)
        volume = sump.volume_l(level_mm=level, attitude=attitude)
        area = sump.free_surface_mm2(level_mm=level, attitude=attitude) / 1e3
        side = {"MIN": ("top", -5), "MAX": ("bottom", 4)}[word]
        for panel, value, text in ((left, volume, f"{word} {volume:.2f} L"), (right, area, f"{area:.0f} mL/mm")):
            panel.axhline(level, color=DARK, linewidth=1.0, linestyle=(0, (5, 3)), zorder=1)
            panel.plot(value, level, marker="o", color=DARK, markersize=6, zorder=4)
            panel.annotate(
                text, (0.02, level), (0, side[1]), ("axes fraction", "data"), "offset points", va=side[0], zorder=5,
                bbox={"boxstyle": "round,pad=0.1", "facecolor": "white", "edgecolor": "none", "alpha": 0.85},
            )  # fmt: skip
