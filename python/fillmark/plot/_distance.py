"""The level as the distance grows: oil use, fuel that gets in, and what the stick says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._core import Circuit
from fillmark._errors import QuantityError
from fillmark.plot._canvas import column, grid, new_panels, picture, points_per_unit, settle
from fillmark.plot._drawing import Stick
from fillmark.plot._language import DARK, LINES, PLACES
from fillmark.plot._tables import floats, table

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["level_over_distance", "over_distance"]


@picture
def over_distance(
    data: Any,  # noqa: ANN401 - see the docstring
    *,
    circuit: Circuit | None = None,
    seen: tuple[ArrayLike, ArrayLike] | None = None,
    fuel_caution_percent: float | None = 3.4,
    ax: Any = None,  # noqa: ANN401 - two Axes
) -> Any:  # noqa: ANN401
    """Draw the reading over the distance, with what oil use and fuel alone would do, and the share of fuel below.

    Parameters
    ----------
    data : mapping of columns or object with columns()
        ``distance_km`` and ``mm``: distance since the oil was filled and the reading, from the tip; optionally
        ``low_mm`` and ``high_mm`` (an interval), ``use_only_mm`` and ``fuel_only_mm``, ``fuel_percent`` (by volume),
        and readings that were taken: ``seen_mm``, NaN where none was. Such as `level_over_distance` gives. Or what
        `fillmark.trend` gives, whose distance is called ``over``.
    circuit : Circuit, optional
        Whose marks are drawn.
    seen : tuple of two arrays, optional
        Distances [km] and readings [mm] that were taken, at places of their own.
    fuel_caution_percent : float, optional
        Where the line of caution is drawn [%]; 3.4 is a published laboratory limit for diesel oil; None for no line.
    ax : array of two matplotlib.axes.Axes, optional
        Where to draw.

    Returns
    -------
    numpy.ndarray of matplotlib.axes.Axes
        Two: reading [mm] and fuel in the oil [%], over the distance [km], or over the use in the unit of the trend.
        Without ``fuel_percent`` the second is hidden.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If a column is missing or of another length.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import level_over_distance, over_distance
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> data = level_over_distance(bus, [0.0, 5e3, 1e4], use_l_per_1000km=0.1, fuel_l_per_1000km=0.03)
    >>> axes = over_distance(data, circuit=bus)
    """
    from matplotlib.ticker import MaxNLocator

    columns = table(data)
    distance = floats(columns, ("distance_km", "over"))
    if distance is None or floats(columns, ("mm",)) is None:
        raise QuantityError(
            "columns distance_km and mm are needed", "quantity.no_column", {"needed": ["distance_km", "mm"]}
        )
    rows = len(distance)
    fuel = floats(columns, ("fuel_percent",), rows)
    upper, lower = new_panels(ax, 2, 1, height_ratios=(2.2, 1.0) if fuel is not None else (1.0, 1e-3))[:2]
    _readings(upper, columns, distance)
    if seen is not None:
        _seen(upper, *seen)
    if circuit is not None:
        for word, mark in (("MIN", circuit.min_mm), ("MAX", circuit.max_mm)):
            upper.axhline(mark, color=DARK, linewidth=1.6, zorder=2)
            shift, side = (2, "bottom") if word == "MAX" else (-3, "top")
            place = {"xycoords": ("axes fraction", "data"), "textcoords": "offset points"}
            ground = {"boxstyle": "round,pad=0.08", "facecolor": "white", "edgecolor": "none", "alpha": 0.9}
            upper.annotate(word, (1.0, mark), (-5, shift), va=side, ha="right", bbox=ground, zorder=4, **place)
        upper.margins(y=0.12)
    _fuel(lower, distance, fuel, fuel_caution_percent)
    last = upper if fuel is None else lower
    last.set_xlabel("distance since the oil was filled [km]" if "distance_km" in columns else f"use [{_unit(data)}]")
    for panel in (upper, lower):
        panel.set_xlim(float(distance.min()), float(distance.max()))
        panel.xaxis.set_major_locator(MaxNLocator(6))
        grid(panel, "both")
    if fuel is not None:
        upper.tick_params(labelbottom=False)
    upper.set_ylabel("reading, from the tip [mm]")
    _name_lines(upper)
    return np.array([upper, lower], dtype=object)


def _readings(ax: Any, columns: dict[str, Any], distance: Any) -> None:  # noqa: ANN401 - Axes and columns
    rows = len(distance)
    low, high = floats(columns, ("low_mm",), rows), floats(columns, ("high_mm",), rows)
    if low is not None and high is not None:
        ax.fill_between(
            distance, low, high, facecolor="#e3edf5", edgecolor="#9cc3e0", hatch="....", linewidth=0, zorder=1
        )
    lines = (("mm", "the stick", 0), ("use_only_mm", "oil use alone", 2), ("fuel_only_mm", "fuel alone", 1))
    for name, label, style in lines:
        value = floats(columns, (name,), rows)
        if value is not None:
            ax.plot(distance, value, linewidth=2.4 if name == "mm" else 1.8, zorder=3, label=label, **LINES[style])
    seen = floats(columns, ("seen_mm",), rows)
    if seen is not None:
        _seen(ax, distance, seen)


def _seen(ax: Any, distance: ArrayLike, mm: ArrayLike) -> None:  # noqa: ANN401 - Axes
    ax.plot(distance, mm, linestyle="none", marker="o", markersize=7, color=DARK, zorder=5, gid="seen", clip_on=False)


def _unit(trend: Any) -> str:  # noqa: ANN401 - what has columns with `over`
    """Find the unit of the use of a trend, by any of its places on that scale."""
    places = (getattr(trend, name, None) for name in ("change_over", "jump_over", "reaches_min", "reaches_max"))
    return next((str(place.unit) for place in places if place is not None), "km")


def _fuel(ax: Any, distance: Any, fuel: Any, caution: float | None) -> None:  # noqa: ANN401 - Axes and columns
    if fuel is None:
        ax.set_visible(False)
        return
    look = PLACES["filter"].patch()
    ax.fill_between(distance, 0.0, fuel, zorder=2, **look)
    ax.plot(distance, fuel, color=DARK, linewidth=1.6, zorder=3)
    if caution is not None:
        ax.axhline(caution, color=DARK, linewidth=1.2, linestyle=(0, (5, 3)), zorder=4)
        ax.annotate(
            f"caution {caution:g} %", (0.0, caution), (5, 2), ("axes fraction", "data"), "offset points", va="bottom"
        )
    ax.set_ylim(0.0, 1.35 * max(float(np.nanmax(fuel)), caution or 0.0))
    ax.set_ylabel("fuel in the oil [%]")


def _name_lines(ax: Any) -> None:  # noqa: ANN401 - Axes
    settle(ax)
    labels = []
    for line in ax.lines:
        if not line.get_label().startswith("_"):
            x, y = line.get_data()
            labels.append((line.get_label(), float(x[-1]), float(y[-1])))
    scale = points_per_unit(ax, float(np.ptp(ax.get_ylim())), "y")
    column(ax, labels, right=ax.get_xlim()[1], points_per_unit=scale)


def level_over_distance(
    circuit: Circuit,
    distance_km: ArrayLike,
    *,
    use_l_per_1000km: float,
    fuel_l_per_1000km: float = 0.0,
) -> dict[str, Any]:
    """Work out reading and dilution as oil is used and fuel gets in, from MAX in the reference attitude.

    Oil and fuel mix at once; what is used takes both in the proportion they then have. With the volume ``V = V0 + k
    d``, ``k`` the fuel that gets in less what is used, the share of fuel is ``1 - (V0 / V)**(fuel / k)``, or
    ``1 - exp(-fuel d / V0)`` where k is 0: the balance of a stirred tank, solved here.

    Parameters
    ----------
    circuit : Circuit
        Its sump, stick and marks; filter and stores hold their nominal volumes.
    distance_km : array
        Distances [km], 0 or more.
    use_l_per_1000km, fuel_l_per_1000km : float
        Oil used and fuel let in [L/1000 km], 0 or more.

    Returns
    -------
    dict of str to numpy.ndarray
        ``distance_km``, ``mm``, ``use_only_mm``, ``fuel_only_mm``, ``fuel_percent``.

    Raises
    ------
    QuantityError
        If a number is negative, or more is used than the sump holds.
    GeometryError
        If the fuel overfills the sump.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import level_over_distance
    >>> found = level_over_distance(fm.Circuit.demo("shuttle-bus"), [0.0, 1000.0], use_l_per_1000km=0.5)
    >>> bool(found["mm"][1] < found["mm"][0])
    True
    """
    distance = np.atleast_1d(np.asarray(distance_km, dtype=float))
    for what, value in (("use_l_per_1000km", use_l_per_1000km), ("fuel_l_per_1000km", fuel_l_per_1000km),
                        ("distance_km", float(distance.min(initial=np.inf)))):  # fmt: skip
        if not value >= 0.0:
            raise QuantityError(
                f"{what} = {value} is negative", "quantity.out_of_range", {"what": what, "value": value, "low": 0.0}
            )
    stick = Stick(circuit, circuit.reference_attitude)
    at_max = circuit.sump.volume_l(level_mm=stick.height_at(circuit.max_mm), attitude=circuit.reference_attitude)
    used, fuel = use_l_per_1000km * distance / 1000.0, fuel_l_per_1000km * distance / 1000.0
    if (used - fuel).max() > at_max:
        message = f"{(used - fuel).max():.2f} L would be used of the {at_max:.2f} L below MAX"
        raise QuantityError(message, "quantity.out_of_range", {"value": float(used.max()), "high": at_max})

    def reads(change: Any) -> Any:  # noqa: ANN401 - litres, an array
        levels = circuit.sump.level_mm(
            volume_l=np.clip(at_max + change, 0.0, None), attitude=circuit.reference_attitude
        )
        return np.array([stick.reads(float(level)) for level in levels])

    whole = at_max + _held_elsewhere_l(circuit)
    return {
        "distance_km": distance,
        "mm": reads(fuel - used),
        "use_only_mm": reads(-used),
        "fuel_only_mm": reads(fuel),
        "fuel_percent": 100.0 * _fuel_share(whole, used, fuel),
    }


def _held_elsewhere_l(circuit: Circuit) -> float:
    """Sum what filter and stores hold while the engine runs, which mixes with the sump [L]."""
    inputs = circuit.columns()
    held = [
        value for path, value in zip(inputs["path"], inputs["nominal"], strict=True)
        if path == "filter.net_volume" or (path.startswith("stores.") and path.endswith(".kept"))
    ]  # fmt: skip
    return 1e3 * float(sum(held))


def _fuel_share(whole: float, used: Any, fuel: Any) -> Any:  # noqa: ANN401 - arrays
    with np.errstate(divide="ignore", invalid="ignore"):
        change = fuel - used
        mixed = 1.0 - (whole / (whole + change)) ** (fuel / change)
    return np.where(np.abs(change) < 1e-9 * whole, 1.0 - np.exp(-fuel / whole), mixed)
