"""What explains a reading: causes by probability, with intervals."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from fillmark._errors import QuantityError
from fillmark.plot._canvas import font_points, grid, new_axes, picture
from fillmark.plot._language import DARK, PLACES
from fillmark.plot._tables import named

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from fillmark.plot._cut import Floats

__all__ = ["cause_ranking"]

_CAUSE = PLACES["filter"].tone


@picture
def cause_ranking(data: Any, *, most: int = 10, ax: Axes | None = None) -> Axes:  # noqa: ANN401 - see the docstring
    """Draw causes by how probable they are, the most probable first, with their intervals.

    Parameters
    ----------
    data : mapping or object
        A mapping of cause to probability, or to (probability, low, high), or to (probability, low, high, prior); a
        mapping of columns or an object with `columns()`, with ``name``, ``probability`` and optionally ``low``,
        ``high``, ``prior``, ``standard_error``; or an object whose ``causes`` have these attributes, such as what
        `fillmark.diagnose` gives. Probabilities are 0 to 1. Where there are no intervals but standard errors of the
        logarithms of the evidence, the interval is the 95 % that these leave for the odds: how exactly the
        probability was computed, not what is known of the priors.
    most : int
        How many are drawn; the others are added up in one bar, without an interval.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure where not given.

    Returns
    -------
    matplotlib.axes.Axes
        Probability [%]; a diamond where the prior probability is given.

    Raises
    ------
    ImportError
        If matplotlib is not installed.
    QuantityError
        If there is no cause, a probability is not between 0 and 1, or an interval does not contain it.

    Examples
    --------
    >>> from fillmark.plot import cause_ranking
    >>> ax = cause_ranking({"poor drain": (0.62, 0.45, 0.75), "slope": (0.38, 0.25, 0.55)})
    """
    names, (probability, low, high, prior, error) = named(
        data, "causes", ("name", "cause"),
        (("probability", "posterior"), ("low", "probability_low"), ("high", "probability_high"), ("prior",),
         ("standard_error",)),
    )  # fmt: skip
    probability = _checked(names, probability, low, high)
    computed = low is None and high is None
    if computed and error is not None:
        low, high = _computed(probability, error)
    ax = new_axes(ax)
    order = np.argsort(-probability, kind="stable")[:most]
    rest = float(probability.sum() - probability[order].sum())
    bars = [(names[i], probability[i]) for i in order]
    if len(names) > most:
        left = len(names) - most
        bars.append(("1 other" if left == 1 else f"{left} others", rest))
    place = np.arange(len(bars))
    ax.barh(place, [100.0 * p for _, p in bars], 0.62, facecolor=_CAUSE, edgecolor=DARK, linewidth=1.0, zorder=2)
    ends = np.array([100.0 * p for _, p in bars])
    for y, i in enumerate(order):
        if low is not None and high is not None:
            ends[y] = max(ends[y], 100.0 * high[i])
            ax.plot([100.0 * low[i], 100.0 * high[i]], [y, y], color=DARK, linewidth=2.0, zorder=4)
            for end in (low[i], high[i]):
                ax.plot([100.0 * end] * 2, [y - 0.15, y + 0.15], color=DARK, linewidth=2.0, zorder=4)
        if prior is not None:
            ax.plot(100.0 * prior[i], y, marker="D", markersize=7, color="white", markeredgecolor=DARK, zorder=5)
    pitch = ax.bbox.height * 72.0 / ax.figure.dpi / len(bars)  # points from one bar to the next, about
    size = min(font_points(), 0.62 * pitch)
    ax.set_yticks(place, [fill(name, 28 if pitch > 3.4 * size else 60) for name, _ in bars], fontsize=size)
    ax.set_ylim(len(bars) - 0.5, -0.5)
    before = None if prior is None else 100.0 * prior[order]
    most_seen = max(ends.max(), 0.0 if before is None else before.max())
    ax.set_xlim(0.0, min(118.0, max(1.18 * most_seen, 10.0)))
    ax.set_xticks([t for t in ax.get_xticks() if t <= 100.0])
    per_point = ax.get_xlim()[1] / (ax.bbox.width * 72.0 / ax.figure.dpi)
    for y, (_, p) in enumerate(bars):
        end, said = float(ends[y]), _percent(p)
        # Before the diamond if there is room, else behind it.
        room = (0.62 * size * len(said) + 14.0) * per_point
        if before is not None and y < len(before) and end - 5.0 * per_point < before[y] < end + room:
            end = max(end, float(before[y]))
        ax.annotate(said, (end, y), (7, 0), textcoords="offset points", va="center", fontsize=size)
    notes = []
    if low is not None and high is not None:
        notes = ["line: 95 % as computed" if computed else "line: interval"]
    notes += ["\N{WHITE DIAMOND}: before the evidence"] if prior is not None else []
    ax.set_xlabel("probability [%]" + ("\n" + ", ".join(notes) if notes else ""))
    ax.tick_params("y", length=0)
    grid(ax, "x")
    return ax


def _checked(names: list[str], probability: Any, low: Any, high: Any) -> Any:  # noqa: ANN401 - columns or None
    if not names or probability is None:
        raise QuantityError("there is no cause with a probability to draw", "quantity.no_table")
    for i, (name, p) in enumerate(zip(names, probability, strict=True)):
        if not 0.0 <= p <= 1.0:
            message = f"probability of {name!r} = {p} is outside [0, 1]"
            raise QuantityError(
                message, "quantity.out_of_range", {"what": name, "value": float(p), "low": 0.0, "high": 1.0}
            )
        if low is not None and high is not None and not 0.0 <= low[i] <= p <= high[i] <= 1.0:
            message = (
                f"the interval of {name!r}, {low[i]} to {high[i]}, does not hold its probability {p} within [0, 1]"
            )
            raise QuantityError(message, "quantity.out_of_range", {"what": name, "value": float(p)})
    return probability


def _computed(probability: Floats, error: Floats) -> tuple[Floats, Floats]:
    """Find the 95 % that standard errors of ln evidence leave for each probability, by its logarithmic odds."""
    p, low, high = probability, probability.copy(), probability.copy()
    for i in np.flatnonzero((p > 0.0) & (p < 1.0)):
        others = np.delete(p * error, i) / (1.0 - p[i])
        reach = 1.96 * np.sqrt(error[i] ** 2 + np.sum(others**2))
        odds = p[i] / (1.0 - p[i])
        low[i], high[i] = (odds * factor / (1.0 + odds * factor) for factor in (np.exp(-reach), np.exp(reach)))
    return np.minimum(low, p), np.maximum(high, p)


def _percent(p: float) -> str:
    if 0.0 < p < 0.01:
        return "< 1 %"
    return f"{100.0 * p:.0f} %"
