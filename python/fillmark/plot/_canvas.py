"""Where pictures are drawn: figures of the size of the paper, the style of text and lines, labels that stay apart."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Literal, ParamSpec, TypeVar

import numpy as np

from fillmark._errors import QuantityError
from fillmark.plot._language import DARK, GRID
from fillmark.plot._paper import SLIDE_IN, paper

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = [
    "US_QUART_L",
    "column",
    "even",
    "grid",
    "line_points",
    "new_axes",
    "new_panels",
    "picture",
    "quarts",
    "require",
    "spread",
    "tag",
]

US_QUART_L = 0.946352946  # exact: 57.75 cubic inches
_HELP = "pictures need matplotlib; install it with: python -m pip install 'matplotlib>=3.7'"
_STYLE: dict[Any, Any] = {"hatch.linewidth": 0.6, "axes.spines.top": False, "axes.spines.right": False}

P = ParamSpec("P")
R = TypeVar("R")


def require() -> None:
    """Raise an `ImportError` that says what to install, if matplotlib is missing."""
    try:
        import matplotlib  # noqa: F401
    except ImportError as error:
        raise ImportError(_HELP) from error


def picture(draw: Callable[P, R]) -> Callable[P, R]:
    """Draw in the style of the pictures; with text for a slide where no `ax` is given."""

    @functools.wraps(draw)
    def styled(*args: P.args, **kwargs: P.kwargs) -> R:
        require()
        import matplotlib

        style = _STYLE if kwargs.get("ax") is not None else {**_STYLE, **paper().style()}
        with matplotlib.rc_context(style):
            drawn = draw(*args, **kwargs)
            if kwargs.get("ax") is None and paper().scale != 1.0:
                first: Any = np.asarray(drawn, dtype=object).ravel()[0]
                _thin(first.figure, paper().scale)
            # In a notebook the first figure switches interactive display on; leaving the context must not undo that.
            interactive = matplotlib.is_interactive()
        matplotlib.interactive(interactive)
        return drawn

    return styled


def _thin(figure: Any, scale: float) -> None:  # noqa: ANN401 - a Figure
    """Make lines, outlines and markers as thin on the page as they are on the slide."""
    from matplotlib.axes import Axes

    for ax in figure.findobj(Axes):
        for line in ax.lines:
            line.set(linewidth=scale * line.get_linewidth(), markersize=scale * line.get_markersize())
        for outline in [*ax.patches, *ax.spines.values(), *ax.collections]:
            outline.set_linewidth(scale * np.asarray(outline.get_linewidth()))


def new_axes(ax: Axes | None, size: tuple[float, float] = SLIDE_IN) -> Axes:
    """Take the axes given, or make a figure of the size of a slide."""
    if ax is None:
        from matplotlib import pyplot

        ax = pyplot.subplots(figsize=paper().size(size), layout="constrained")[1]
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def new_panels(
    ax: Any,  # noqa: ANN401 - axes or an array of them
    rows: int,
    columns: int,
    size: tuple[float, float] = SLIDE_IN,
    **grid_of: Any,  # noqa: ANN401 - as a grid takes it
) -> Any:  # noqa: ANN401
    """Take the axes given, flat, or make rows and columns of them on a slide.

    Raises
    ------
    QuantityError
        If another number of axes is given than the picture needs.
    """
    wanted = rows * columns
    if ax is None:
        from matplotlib import pyplot

        figure, ax = pyplot.subplots(
            rows, columns, figsize=paper().size(size), layout="constrained", squeeze=False, gridspec_kw=grid_of or None
        )
        engine: Any = figure.get_layout_engine()
        engine.set(w_pad=0.08, h_pad=0.08)
    given = np.atleast_1d(np.asarray(ax, dtype=object)).ravel()
    if len(given) < wanted:
        message = f"this picture needs {wanted} axes, ax has {len(given)}"
        raise QuantityError(message, "quantity.wrong_number_of_axes", {"given": len(given), "needed": wanted})
    for one in given[:wanted]:
        one.spines[["top", "right"]].set_visible(False)
    return given


def font_points() -> float:
    """Size of ordinary text in force [pt]."""
    import matplotlib

    return float(matplotlib.rcParams["font.size"])


def line_points() -> float:
    """Distance from one line of text to the next [pt]."""
    return 1.42 * font_points()


def spread(wanted: Sequence[float], half: Sequence[float]) -> list[float]:
    """Heights of labels, rising, kept apart by their half heights and, as a group, where they were wanted."""
    placed = list(wanted)
    for i in range(1, len(placed)):
        placed[i] = max(placed[i], placed[i - 1] + half[i - 1] + half[i])
    shift = (sum(placed) - sum(wanted)) / len(placed) if placed else 0.0
    return [height - shift for height in placed]


def column(
    ax: Axes, labels: Sequence[tuple[str, float, float]], *, right: float, points_per_unit: float, aside: float = 18.0
) -> None:
    """Write labels in a column beside `right` (data), each with a thin line to its place ``(text, x, y)``."""
    from matplotlib.transforms import ScaledTranslation

    if not labels:
        return
    labels = sorted(labels, key=lambda label: label[2])
    # Text is set apart in points from one anchor, so the labels stay apart at any size of the picture.
    anchor = sum(height for _, _, height in labels) / len(labels)
    halves = [line_points() / 2.0 * (1 + text.count("\n")) for text, *_ in labels]
    rises = spread([(height - anchor) * points_per_unit for _, _, height in labels], halves)
    for (text, x, height), rise in zip(labels, rises, strict=True):
        place = ax.transData + ScaledTranslation(aside / 72.0, rise / 72.0, ax.figure.dpi_scale_trans)
        line = {"arrowstyle": "-", "color": DARK, "linewidth": 0.6, "shrinkA": 1, "shrinkB": 0, "relpos": (0.0, 0.5)}
        ax.annotate(
            text, (x, height), (right, anchor), textcoords=place, va="center", annotation_clip=False, arrowprops=line,
            zorder=8,
        )  # fmt: skip


def tag(ax: Axes, x: float, y: float, text: str, **style: Any) -> None:  # noqa: ANN401
    """Write on a white ground, so that it reads on any tone or hatch."""
    box = {"boxstyle": "round,pad=0.15", "facecolor": "white", "edgecolor": "none", "alpha": 0.9}
    ax.text(x, y, text, **{"ha": "center", "va": "center", "bbox": box, "zorder": 9, **style})


def grid(ax: Axes, axis: Literal["both", "x", "y"] = "y") -> None:
    """Thin lines behind everything."""
    ax.grid(axis=axis, color=GRID, linewidth=0.6, zorder=0)
    ax.set_axisbelow(True)


def quarts(ax: Axes, which: Literal["x", "y"]) -> None:
    """Add a second axis in US quarts to one in litres."""
    change = (lambda v: v / US_QUART_L, lambda v: v * US_QUART_L)
    second = (
        ax.secondary_xaxis("top", functions=change) if which == "x" else ax.secondary_yaxis("right", functions=change)
    )
    spine = "top" if which == "x" else "right"
    second.spines[spine].set_visible(True)
    (second.set_xlabel if which == "x" else second.set_ylabel)("[US qt]")


def points_per_unit(ax: Axes, span: float, which: str) -> float:
    """About how many points one unit of an axis comes to, for text that must not overlap."""
    extent = ax.bbox.width if which == "x" else ax.bbox.height
    return float(extent * 72.0 / ax.figure.dpi / span)


def settle(ax: Axes) -> None:
    """Lay the figure out, so that the size of the axes in points is known."""
    figure: Any = ax.figure
    figure.figure.draw_without_rendering()  # the whole figure, also from a part of one


def words(name: str) -> str:
    """Write the name of an event in words: ``ChangeFilter`` as ``change filter``."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()


def even(low: float, high: float, about: int) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Round steps (1, 2 or 5 times a power of ten) from `low` to `high`, about so many of them."""
    raw = (high - low) / max(about, 1)
    power = 10.0 ** np.floor(np.log10(raw))
    step = power * next(m for m in (1.0, 2.0, 5.0, 10.0) if m * power >= raw * 0.999)
    first = np.ceil(low / step - 1e-9)
    return np.asarray(step * np.arange(first, np.floor(high / step + 1e-9) + 1.0) + 0.0)
