"""How large a picture is drawn: as a slide, or for a printed page."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any

from fillmark._errors import QuantityError

__all__ = ["SLIDE_IN", "page", "paper"]

SLIDE_IN = (10.0, 5.625)  # inches, 16:9
_SLIDE_PT, _SLIDE_DPI, _PRINT_DPI = 12.0, 120.0, 300.0
_MM_PER_IN = 25.4


@dataclass(frozen=True)
class Paper:
    """Size of what is drawn on, against that of a slide, with its text."""

    scale: float = 1.0
    text_pt: float = _SLIDE_PT
    dpi: float = _SLIDE_DPI

    def size(self, slide: tuple[float, float]) -> tuple[float, float]:
        """Size of a figure that is so large as a slide [in]."""
        return slide[0] * self.scale, slide[1] * self.scale

    def style(self) -> dict[Any, Any]:
        """Text and resolution, for matplotlib."""
        return {
            "font.size": self.text_pt,
            "axes.titlesize": self.text_pt * 13.0 / 12.0,
            "axes.labelsize": self.text_pt,
            "figure.dpi": self.dpi,
        }


_paper: ContextVar[Paper] = ContextVar("paper", default=Paper())  # noqa: B039 - it is frozen


def paper() -> Paper:
    """Say what is drawn on now."""
    return _paper.get()


@contextmanager
def page(width_mm: float = 170.0, *, text_pt: float | None = None) -> Iterator[None]:
    """Draw pictures for a printed page: so wide, at 300 dots per inch, with text in proportion.

    A picture keeps the proportions of the slide, 16:9; `incident`, which has more on it, is 1.3 times as wide.

    Parameters
    ----------
    width_mm : float
        Width of a picture [mm], 100 to 400; 170 is that of the text of an A4 page with margins of 20 mm.
    text_pt : float, optional
        Size of the text [pt], 5 to 30; in proportion to the width, 8 at 170 mm, where not given. Larger text may not
        fit.

    Raises
    ------
    QuantityError
        If the width or the size is out of range.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark import plot
    >>> with plot.page(width_mm=170.0):
    ...     ax = plot.level_volume(fm.Circuit.demo("deck-generator"))
    >>> bool(abs(ax.flat[0].figure.get_figwidth() * 25.4 - 170.0) < 1e-9)
    True
    """
    _within("width_mm", width_mm, 100.0, 400.0)
    scale = width_mm / (SLIDE_IN[0] * _MM_PER_IN)
    if text_pt is not None:
        _within("text_pt", text_pt, 5.0, 30.0)
    token = _paper.set(Paper(scale, _SLIDE_PT * scale if text_pt is None else text_pt, _PRINT_DPI))
    try:
        yield
    finally:
        _paper.reset(token)


def _within(what: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        message = f"{what} = {value} is outside [{low:g}, {high:g}]"
        raise QuantityError(message, "quantity.out_of_range", {"what": what, "value": value, "low": low, "high": high})
