"""The first refill of every demo circuit: the numbers, the page and the picture of ``python -m fillmark``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import fill
from typing import Any

from fillmark._core import (
    ChangeFilter,
    Circuit,
    Drain,
    Plan,
    Pour,
    Read,
    Rest,
    Run,
    Uncertain,
    demos,
    plan_refill,
    predict,
)
from fillmark._html import percent
from fillmark._plain import reading_data, spread

__all__ = ["Refill", "as_json", "as_text", "draw", "refills"]

EARLY = "after a minute's run and 5 min"
LATE = "after 30 min"
DONE = (Drain(minutes=10, temperature_c=60), ChangeFilter())
THEN = (Run(minutes=1), Rest(minutes=5), Read(label=EARLY), Rest(minutes=25), Read(label=LATE))
RISK = 0.05
JUG_STEP_L = 0.1
DRAWS = 20_000
SEED = 1
WIDTH = 96


@dataclass(frozen=True)
class Refill:
    """A planned first refill, and what the book figure would have risked."""

    name: str
    plan: Plan
    book_l: float
    book_over_max: float


def refills() -> list[Refill]:
    """Plan the refill of every demo circuit that has a filter to change and a book figure for it."""
    return [_refill(name) for name in demos() if _drains_and_refills(Circuit.demo(name))]


def _drains_and_refills(circuit: Circuit) -> bool:
    try:
        return bool(circuit["plugs"] and circuit["filter.net_volume"] and circuit["book.service_with_filter"])
    except KeyError:
        return False


def _refill(name: str) -> Refill:
    circuit = Circuit.demo(name)
    plan = plan_refill(circuit, done=DONE, then=THEN, risk_over_max=RISK, jug_step_l=JUG_STEP_L, draws=DRAWS, seed=SEED)
    book = circuit["book.service_with_filter"]
    by_the_book = predict(circuit, [*DONE, Pour(book, measured_with="jug")], draws=DRAWS, seed=SEED)
    return Refill(name, plan, Uncertain(book).nominal, by_the_book.probability_over_max)


def as_json(found: Sequence[Refill], picture: Path | None) -> dict[str, Any]:
    """Collect every number of the page, with the unit in its name."""
    return {
        "draws": DRAWS,
        "seed": SEED,
        "risk_over_max": RISK,
        "jug_step_l": JUG_STEP_L,
        "picture": None if picture is None else picture.as_posix(),
        "circuits": [_numbers(refill) for refill in found],
        "cautions": _cautions(found),
    }


def _numbers(refill: Refill) -> dict[str, Any]:
    plan = refill.plan
    return {
        "name": refill.name,
        "invented": True,
        "book_service_with_filter_l": refill.book_l,
        "book_probability_over_max": refill.book_over_max,
        "first_pour_l": round(plan.first_pour_l, 9),
        "residue_l": spread(plan.residue_l),
        "probability_over_max": plan.probability_over_max,
        "ml_per_mm": plan.ml_per_mm,
        "min_mm": plan.circuit.min_mm,
        "max_mm": plan.circuit.max_mm,
        "readings": [reading_data(reading) for reading in plan.readings],
    }


def _cautions(found: Sequence[Refill]) -> list[str]:
    """List the cautions of all plans, each once."""
    return list(dict.fromkeys(caution for refill in found for caution in refill.plan.cautions))


def as_text(found: Sequence[Refill]) -> str:
    """Write the page, at most 100 columns wide."""
    lines = [
        "The first refill after an oil and filter change",
        "",
        "  done     oil drained for 10 min at 60 °C, filter changed, the new one not primed",
        "  then     pour, run a minute, rest 5 min, read; rest until 30 min after the run, read again",
        f"  rule     pour the most, in jug steps of {JUG_STEP_L} L, that leaves at most a {percent(RISK, 0)} chance",
        "           of ending over MAX once everything has drained back",
        "",
        "Intervals hold 95 % of the draws: they are right if the stated uncertainties are right.",
    ]
    for refill in found:
        lines += ["", *_page(refill)]
    lines += ["", "Cautions"]
    lines += [fill(c, WIDTH, initial_indent="  - ", subsequent_indent="    ") for c in _cautions(found)]
    return "\n".join(lines)


def _page(refill: Refill) -> list[str]:
    plan, circuit = refill.plan, refill.plan.circuit
    low, high = plan.residue_l.interval(0.95)
    by_the_book, planned = percent(refill.book_over_max), percent(plan.probability_over_max)
    lines = [
        f"{refill.name}: invented for teaching, no real engine stands behind it",
        f"  book, with filter   {refill.book_l:5.2f} L   would end over MAX in {by_the_book} of draws",
        f"  first pour          {plan.first_pour_l:5.2f} L   ends over MAX in {planned} of draws",
        f"  residue             {plan.residue_l.mean:5.2f} L   {low:.2f} to {high:.2f} L stay in",
        f"  stick at MAX        {plan.ml_per_mm:5.0f} mL per mm of blade; "
        f"MIN at {circuit.min_mm:.1f} mm, MAX at {circuit.max_mm:.1f} mm from the tip",
        f"  {'the stick should read':<34}{'mm':>6}   {'95 % interval':<17}0 = MIN, 1 = MAX",
    ]
    for reading in plan.readings:
        low, high = reading.mm.interval(0.95)
        fraction = reading.fraction
        within = f"{low:5.1f} to {high:5.1f}"
        span = f"{fraction.mean:.2f} ({fraction.interval(0.95)[0]:.2f} to {fraction.interval(0.95)[1]:.2f})"
        lines.append(f"    {reading.label:<32}{reading.mm.mean:6.1f}   {within:<17}{span}")
    return lines


def draw(found: Sequence[Refill], path: Path) -> None:
    """Draw every circuit's sump at the expected late level, beside what its stick should read, into a PNG file.

    An `ImportError` says what to install if matplotlib is missing.
    """
    from fillmark import plot

    plot.require()
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(12.0, 4.4 * len(found)), dpi=100, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.subplots(len(found), 2, squeeze=False, width_ratios=(2.2, 1.0))
    for refill, (left, right) in zip(found, axes, strict=True):
        late = refill.plan.readings[-1]
        plot.section(refill.plan.circuit, reading_mm=late.mm.mean, band_mm=late.mm.interval(0.95), ax=left)
        left.set_title(f"{refill.name} (invented), {LATE} at rest, {refill.plan.first_pour_l:.1f} L poured", loc="left")
        plot.blade(refill.plan.circuit, refill.plan.readings, ax=right)
        right.set_title("expected readings, 95 %", loc="left")
    figure.supxlabel(
        "An estimate for teaching. Hot oil burns; take no oil out before the first run; "
        "the maker's instructions, local codes and a qualified technician decide.",
        fontsize="small",
    )
    path.parent.mkdir(parents=True, exist_ok=True)
    # Whole or not at all: beside its place first.
    part = path.with_name(f".{path.name}.part")
    try:
        figure.savefig(part, format=path.suffix.lstrip(".") or "png")
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
