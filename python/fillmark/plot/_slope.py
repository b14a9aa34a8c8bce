"""How wrong the stick reads on a slope: over pitch and roll."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Attitude, Circuit
from fillmark.plot._canvas import new_axes, picture
from fillmark.plot._cut import mesh_mm
from fillmark.plot._drawing import Stick
from fillmark.plot._language import DARK

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from fillmark.plot._cut import Floats

__all__ = ["slope_errors_mm", "slope_map"]

_PLAN = 0.3  # side of the small plan, as a share of the map


@picture
def slope_map(
    circuit: Circuit,
    *,
    volume_l: float | None = None,
    nose_up_deg: Sequence[float] | Floats | None = None,
    right_down_deg: Sequence[float] | Floats | None = None,
    progress: Callable[[int, int], object] | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw how much the stick reads too high or too low on a slope, as a map over pitch and roll.

    The same liquid at one common level, read at each attitude, less what it reads at the reference attitude. A small
    plan shows the sump from above with the stick at its place: it reads high towards the side that is down.

    Parameters
    ----------
    circuit : Circuit
        Whose stick is read.
    volume_l : float, optional
        Liquid in the sump [L]; what stands below MAX in the reference attitude where not given.
    nose_up_deg, right_down_deg : sequence of float, optional
        Angles [deg], growing; 9 from 4 below to 4 above the reference attitude where not given. Every one of the first
        is taken with every one of the second.
    progress : callable, optional
        Is called with the number of attitudes done and the number there are.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Nose up [deg] over right side down [deg]; lines of equal error [mm], dashed where the stick reads low.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    GeometryError
        If the sump has no plan form, or does not hold the volume.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import slope_map
    >>> ax = slope_map(fm.Circuit.demo("deck-generator"))
    """
    ax = new_axes(ax)
    level = circuit.reference_attitude
    pitch = _about(level.nose_up_deg) if nose_up_deg is None else np.asarray(nose_up_deg, dtype=float)
    roll = _about(level.right_down_deg) if right_down_deg is None else np.asarray(right_down_deg, dtype=float)
    error = slope_errors_mm(circuit, pitch, roll, volume_l, progress)
    shades = _shades(error)
    filled = ax.contourf(roll, pitch, np.abs(error), levels=shades, cmap=_ramp(), zorder=1)
    span = circuit.max_mm - circuit.min_mm
    signed = np.unique(np.concatenate([-shades, shades]))
    styles = ["dashed" if value < 0.0 else "solid" for value in signed]
    widths = [2.2 if value == 0.0 else 1.0 for value in signed]
    lines = ax.contour(roll, pitch, error, levels=signed, colors=DARK, linewidths=widths, linestyles=styles, zorder=2)
    _name_lines(ax, lines, roll, pitch)
    bar = ax.figure.colorbar(filled, ax=ax, pad=0.02)
    bar.set_label(f"size of the error [mm]; the span is {span:.1f} mm")
    ax.set_xlabel("right side down [deg]")
    ax.set_ylabel("nose up [deg]")
    _plan(ax, circuit)
    return ax


def _about(deg: float) -> Floats:
    return np.asarray(deg + np.linspace(-4.0, 4.0, 9))


def slope_errors_mm(
    circuit: Circuit,
    pitch: Floats,
    roll: Floats,
    volume_l: float | None,
    progress: Callable[[int, int], object] | None = None,
) -> Floats:
    """Work out the reading at each pitch (rows) and roll (columns), less that at the reference attitude [mm]."""
    level = circuit.reference_attitude
    here = Stick(circuit, level)
    if volume_l is None:
        volume_l = circuit.sump.volume_l(level_mm=here.height_at(circuit.max_mm), attitude=level)
    right = here.reads(circuit.sump.level_mm(volume_l=volume_l, attitude=level))
    rows = []
    for done, p in enumerate(pitch, 1):
        rows.append([_reads(circuit, volume_l, p, r) - right for r in roll])
        if progress:
            progress(done * len(roll), len(pitch) * len(roll))
    return np.array(rows)


def _reads(circuit: Circuit, volume_l: float, pitch: float, roll: float) -> float:
    stands = Attitude(nose_up_deg=float(pitch), right_down_deg=float(roll))
    return Stick(circuit, stands).reads(circuit.sump.level_mm(volume_l=volume_l, attitude=stands))


def _name_lines(ax: Axes, lines: Any, roll: Floats, pitch: Floats) -> None:  # noqa: ANN401 - a contour set
    """Write the error on every line, clear of the plan, except where the edge of the map would cut the text."""

    def place(text: Any) -> Any:  # noqa: ANN401 - an array of two shares of the map's sides
        (x, y), low = text.get_position(), np.array([roll[0], pitch[0]])
        return (np.array([x, y]) - low) / (np.array([roll[-1], pitch[-1]]) - low)

    texts = list(ax.clabel(lines, fmt=_signed, inline=False))
    middle = ((roll[0] + roll[-1]) / 2.0, (pitch[0] + pitch[-1]) / 2.0)
    for text in [text for text in texts if place(text).max() < _PLAN + 0.04]:
        # Hidden by the plan: written once more where its line comes closest to the middle of the map.
        level = next(value for value in lines.levels if _signed(value) == text.get_text())
        again = ax.clabel(lines, [level], fmt=_signed, inline=False, manual=[middle])
        texts += [other for other in again if other not in texts]
    for text in texts:
        at = place(text)
        if np.abs(at - 0.5).max() > 0.46 or at.max() < _PLAN + 0.04:
            text.remove()
        else:
            text.set_bbox({"boxstyle": "round,pad=0.1", "facecolor": "white", "edgecolor": "none"})


def _signed(value: float) -> str:
    return "0" if value == 0.0 else f"{value:+g}".replace("-", "\N{MINUS SIGN}")


def _shades(error: Floats) -> Floats:
    """Choose round steps of the size of the error, from 0."""
    largest = float(np.abs(error).max()) or 1.0
    step = next(s for s in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0) if largest / s <= 9.0)
    return np.asarray(step * np.arange(int(np.ceil(largest / step)) + 1))


def _ramp() -> Any:  # noqa: ANN401 - a matplotlib colour map
    from matplotlib.colors import LinearSegmentedColormap

    return LinearSegmentedColormap.from_list("error", ["#ffffff", "#dbe7f0", "#9cc3e0", "#5f93bf"])


def _plan(ax: Axes, circuit: Circuit) -> None:
    """Draw the sump from above beside the map: nose up the page, right side to the right, as the axes of the map."""
    corners, _ = mesh_mm(circuit.sump)
    (x0, y0), (x1, y1) = corners[:, :2].min(axis=0), corners[:, :2].max(axis=0)
    inset = ax.inset_axes((0.015, 0.02, _PLAN, _PLAN), zorder=6)
    inset.set_facecolor("white")
    inset.plot([-y0, -y1, -y1, -y0, -y0], [x0, x0, x1, x1, x0], color=DARK, linewidth=1.4)
    tip = circuit.stick_path_mm[0]
    inset.plot(-tip[1], tip[0], marker="o", markersize=7, color=DARK)
    room = 0.3 * max(x1 - x0, y1 - y0)
    inset.set_xlim(-y1 - 2.5 * room, -y0 + 2.5 * room)
    inset.set_ylim(x0 - 0.6 * room, x1 + 1.5 * room)
    inset.set_aspect("equal", adjustable="box", anchor="SW")
    inset.annotate(
        "nose", (-(y0 + y1) / 2.0, x1), (0, 2), textcoords="offset points", ha="center", va="bottom", fontsize="small"
    )
    left = -tip[1] < -(y0 + y1) / 2.0
    edge, step, side = (-y1, -5, "right") if left else (-y0, 5, "left")
    inset.annotate(
        "stick", (edge, tip[0]), (step, 0), textcoords="offset points", va="center", ha=side, fontsize="small"
    )
    inset.set_xticks([])
    inset.set_yticks([])
    for spine in inset.spines.values():
        spine.set_visible(True)
