"""The figure of a one-page incident card: what was found, what was expected, how it came about, what explains it."""

from __future__ import annotations

from typing import Any

from fillmark._core import PredictedReading, Timeline
from fillmark.plot._canvas import new_panels, picture
from fillmark.plot._causes import cause_ranking
from fillmark.plot._section import section
from fillmark.plot._stick import stick
from fillmark.plot._waterfall import waterfall
from fillmark.plot._where import whereabouts

__all__ = ["incident"]

_PAGE = (13.0, 7.3125)  # inches, 16:9; more on it than on other slides
_CAUTION = (
    "An estimate for teaching and analysis; it assigns causes, not fault. Start nothing to test an overfull engine. "
    "The maker's instructions, local codes and a qualified technician decide."
)


@picture
def incident(
    line: Timeline,
    *,
    seen_mm: float,
    expected: PredictedReading | None = None,
    probability: float = 0.95,
    reading: str | None = None,
    causes: Any = None,  # noqa: ANN401 - as `cause_ranking` takes
    ax: Any = None,  # noqa: ANN401 - four Axes
) -> Any:  # noqa: ANN401
    """Draw an incident on one page: the sump as it was found, the stick, the way to the reading, and what explains it.

    On a figure of its own a caution stands below.

    Parameters
    ----------
    line : Timeline
        The service as the job line has it, with a pour and a reading.
    seen_mm : float
        What the stick was seen to read [mm].
    expected : PredictedReading, optional
        What it was expected to read, such as ``prediction.reading(label)``; drawn as a band.
    probability : float
        Coverage probability of that band.
    reading : str, optional
        Label of the reading in the timeline; the last one where not given.
    causes : mapping or object, optional
        As `cause_ranking` takes them; where the oil is, step by step, where not given.
    ax : array of four matplotlib.axes.Axes, optional
        Where to draw.

    Returns
    -------
    numpy.ndarray of matplotlib.axes.Axes
        Four: section, stick, waterfall, causes.

    Raises
    ------
    ImportError, QuantityError, ServiceError, GeometryError
        As the four pictures.

    Examples
    --------
    >>> import fillmark as fm
    >>> from fillmark.plot import incident
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> done = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(7.4)]
    >>> service = [*done, fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read()]
    >>> axes = incident(fm.simulate(bus, service), seen_mm=114.0)
    """
    circuit = line.circuit
    band = None if expected is None else expected.mm.interval(probability)
    panels = new_panels(ax, 2, 2, size=_PAGE, width_ratios=(1.25, 1.0))[:4]
    section(circuit, reading_mm=seen_mm, ax=panels[0])
    panels[0].set_title("as it was found", loc="left")
    stick(circuit, reading_mm=seen_mm, band_mm=band, ax=panels[1])
    panels[1].set_title(
        "the stick: seen" + (f", and expected at {100.0 * probability:.0f} %" if band else ""), loc="left", pad=38
    )
    waterfall(line, reading, ax=panels[2])
    panels[2].set_title("from the pour to the reading, as the job line has it", loc="left")
    if causes is None:
        whereabouts(line, ax=panels[3])
        panels[3].set_title("where the oil was", loc="left")
    else:
        cause_ranking(causes, most=6, ax=panels[3])
        panels[3].set_title("what explains it", loc="left")
    if ax is None:  # a page of its own
        panels[0].figure.supxlabel(_CAUTION, fontsize="small")
    return panels
