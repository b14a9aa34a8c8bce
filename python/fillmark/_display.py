"""How results show themselves in a notebook: `_repr_html_` of circuits and results, `_repr_svg_` of a circuit.

The classes are compiled; their notebook faces are set on them when the package is imported. What a face needs beyond
the standard library is imported when it is first shown.
"""

from __future__ import annotations

import re
from math import floor, log10
from typing import Any

from fillmark import _html
from fillmark._core import (
    Assessment,
    Basins,
    Calibration,
    Circuit,
    DipStudy,
    DrainCurve,
    FirstOrder,
    HeelMap,
    Ledger,
    LitreScale,
    OldOil,
    Plan,
    Pools,
    Prediction,
    Propagation,
    Reconciliation,
    Residue,
    Sensitivity,
    State,
    Strapping,
    Timeline,
    Tornado,
    Trend,
    Verdict,
    WaitAdvice,
    WeighedResidue,
    WorthMeasuring,
)

__all__ = ["circuit_html", "circuit_svg", "ledger_html", "plan_html", "prediction_html", "table_html", "timeline_html"]

_MOST_ROWS = 40
_LEAST_L = 1e-4


def circuit_html(circuit: Circuit) -> str:
    """Show a circuit: its section at MAX and every uncertain input."""
    inputs = circuit.columns()
    rows = zip(*(inputs[name] for name in ("path", "nominal", "standard_uncertainty", "unit")), strict=True)
    shown = [_everyday(*row) for row in rows]
    head = ("input", "value", "standard uncertainty", "unit")
    note = f"<div>{_html.cell(circuit.note)}</div>" if circuit.note else ""
    facts = (
        f"MIN {circuit.min_mm:.1f} mm, MAX {circuit.max_mm:.1f} mm from the tip along the blade; "
        f"{circuit.ml_per_mm:.0f} mL per mm of blade at MAX"
    )
    body = _html.table(head, shown, ("input", "unit"))
    return f"<div>{_html.caption(circuit.name)}{note}<div>{facts}</div>{circuit_svg(circuit)}{body}</div>"


def _everyday(path: str, nominal: float, spread: float, unit: str) -> tuple[str, float, float | None, str]:
    """Turn a value from SI into the unit that people use for it, with no more digits than its uncertainty bears."""
    scale, name = {
        "m": (1e3, "mm"),
        "m3": (1e3, "L"),
        "m2/s": (1e6, "mm²/s"),
        "kg/m3": (1.0, "kg/m³"),
        "degC": (1.0, "°C"),
        "1": (1.0, ""),
    }.get(str(unit), (1.0, str(unit)))
    value, u = float(nominal) * scale, float(spread) * scale
    if u == 0.0:
        return str(path), value, None, name
    digits = 1 - floor(log10(u))  # two of the uncertainty: JCGM 100:2008, 7.2.6
    return str(path), round(value, digits), round(u, digits), name


def circuit_svg(circuit: Circuit) -> str:
    """Draw the sump cut at the stick, in its reference attitude at MAX, as SVG: grey lines, the liquid hatched.

    Nothing where the plane of the stick misses the sump.
    """
    from fillmark import _svg

    return _svg.section(circuit)


def timeline_html(line: Timeline) -> str:
    """Show a service row by row, with its readings."""
    columns = {**line.columns(), "event": ["start", *map(str, line.events)]}  # as a person writes them, labels included
    names = ("event", "level_mm", "sump_l", "mm", "fraction")
    rows, left_out = _html.rows_of(columns, names, _MOST_ROWS, {"level_mm": 1, "sump_l": 3, "mm": 1, "fraction": 2})
    head = ("event", "level [mm]", "in the sump [L]", "reading [mm]", "of the span")
    over = line.v_drained_l - line.v_max_l
    side = "over" if over > 0.0 else "under"
    end = f"Drained back, in the reference condition, the sump ends {abs(over):.2f} L {side} MAX."
    title = f"{line.circuit.name}: a service of {len(line.events)} events"
    body = _html.table(head, rows, ("event",))
    return f"<div>{_html.caption(title)}{body}{_left_out(left_out)}<div>{end}</div></div>"


def ledger_html(ledger: Ledger) -> str:
    """Show the ledger: what every place holds after every event."""
    columns = ledger.columns()
    held = columns["volume_l"] >= _LEAST_L
    columns = {name: column[held] for name, column in columns.items()}
    oils = [n for n in columns if n.endswith("_kg") and bool((columns[n] > 0.0).any())]
    names = ("row", "event", "place", *oils, "temperature_c", "volume_l", "volume_15c_l")
    decimals = {**dict.fromkeys(oils, 4), "temperature_c": 1, "volume_l": 4, "volume_15c_l": 4}
    rows, left_out = _html.rows_of(columns, names, _MOST_ROWS, decimals)
    head = [_with_unit(name) for name in names]
    body = _html.table(head, rows, ("event", "place"))
    said = f"relative imbalance {ledger.imbalance:.1e}; places that hold less than 0.1 mL are not shown"
    return f"<div>{_html.caption('Ledger')}{body}{_left_out(left_out)}<div>{said}</div></div>"


def _with_unit(name: str) -> str:
    endings = {
        "_15c_l": "L at 15 °C",
        "_kg": "kg",
        "_c": "°C",
        "_l": "L",
        "_mm": "mm",
        "_ml_per_mm": "mL/mm",
        "_deg": "deg",
        "_l_min": "L/min",
    }
    for ending, unit in endings.items():
        if name.endswith(ending):
            return f"{name.removesuffix(ending).replace('_', ' ')} [{unit}]"
    return name.replace("_", " ")


def prediction_html(prediction: Prediction) -> str:
    """Show the readings of a prediction with their uncertainty, and the probability of being over MAX."""
    title = f"Prediction from {prediction.draws} draws, seed {prediction.seed}"
    over = (
        f"over MAX, drained back: {_html.percent(prediction.probability_over_max)} of draws, under MIN: "
        f"{_html.percent(prediction.probability_under_min)}, if the stated uncertainties are right; "
        f"{_html.percent(prediction.judgement_share, 0)} of the variance of that level rests on judgement inputs"
    )
    return f"<div>{_html.caption(title)}{_readings(prediction.readings)}<div>{_html.cell(over)}</div></div>"


def plan_html(plan: Plan) -> str:
    """Show a plan: its figures, the readings to expect, what to do in order, the table, the cautions."""
    title = _html.caption(plan.to_dict()["title"])
    figures = _html.table(("", " "), plan.figures, ("", " "))
    warning = f"<div><strong>Do not start: {_html.cell(plan.no_start)}.</strong></div>" if plan.no_start else ""
    columns = plan.columns()
    rows = zip(
        *(columns[name] for name in ("from_mm", "to_mm", "do", "probability", "over_max", "fraction")), strict=True
    )
    head = ("from [mm]", "to [mm]", "do", "share of draws", "over MAX afterwards", "ends at, of the span")
    shown = [
        (_mm(low), _mm(high), do, _html.percent(share), _html.percent(over), "" if end != end else f"{end:.2f}")
        for low, high, do, share, over, end in rows
    ]
    table = _html.table(head, shown, ("do",))
    steps = _html.items(plan.steps, "ol")
    right = "<div>Probabilities and 95 % intervals hold if the stated uncertainties are right.</div>"
    cautions = f"<div>Cautions</div>{_html.items(plan.cautions)}" if plan.cautions else ""
    return f"<div>{title}{figures}{warning}{steps}{table}{_readings(plan.readings)}{right}{cautions}</div>"


def _mm(value: float) -> str:
    return "" if value != value else f"{value:.1f}"


def _readings(readings: list[Any]) -> str:
    head = ("reading", "mean [mm]", "standard uncertainty [mm]", "95 % interval [mm]", "of the span", "95 % interval")
    rows = []
    for i, reading in enumerate(readings, 1):
        mm, part = reading.mm, reading.fraction
        (low, high), (least, most) = mm.interval(0.95), part.interval(0.95)
        rows.append(
            (reading.label or f"reading {i}", f"{mm.mean:.1f}", f"{mm.standard_uncertainty:.1f}",
             f"{low:.1f} to {high:.1f}", f"{part.mean:.2f}", f"{least:.2f} to {most:.2f}")
        )  # fmt: skip
    return _html.table(head, rows, ("reading",))


def verdict_html(verdict: Verdict) -> str:
    """Show a diagnosis: what it comes to, the causes, the next checks, the cautions."""
    shown = [cause for cause in verdict.causes if cause.probability >= 0.005]
    rows = [
        (c.name, _html.percent(c.probability), _html.percent(c.prior), f"{c.bayes_factor_against:.3g}") for c in shown
    ]
    causes = _html.table(("cause", "now", "before", "Bayes factor of the leading cause against it"), rows, ("cause",))
    checks = [(f"{c.bits:.2f}", c.name, c.words) for c in verdict.next_checks[:4]]
    next_checks = _html.table(("bit", "next check", "what to do"), checks, ("next check", "what to do"))
    stop = [f"Do not start: {reason}." for reason in verdict.do_not_start]
    title = _html.caption(f"{verdict.record.name or 'Record'}: {verdict.conclusion}")
    note = f"<div>{_html.cell(verdict.judgement)}</div>"
    cautions = f"<div>Cautions</div>{_html.items(verdict.cautions)}"
    return f"<div>{title}{_html.items(stop) if stop else ''}{causes}{next_checks}{note}{cautions}</div>"


def assessment_html(judged: Assessment) -> str:
    """Show an assessment: the verdict and why, the probability of every band, what it means for crank and pickup."""
    title = _html.caption(f"{judged.verdict}: {judged.words}")
    reasons = _html.items(judged.reasons) if judged.reasons else ""
    bands = [(band, _html.percent(share)) for band, share in judged.probabilities.items()]
    rows = [("true level, drained back [spans; 0 MIN, 1 MAX]", *_summary(judged.spans, 2), "")]
    for name, draws, used_up in (
        ("gap from the static hot level to the crank [mm]", judged.crank_gap_mm, judged.probability_crank_reached),
        ("depth to spare over the pickup [mm]", judged.pickup_spare_mm, judged.probability_pickup_uncovered),
    ):
        known = used_up is not None
        rows.append((name, *_summary(draws, 1), _html.percent(used_up or 0.0)) if known else (name, "unknown", "", ""))
    found = _html.table(("", "mean", "95 % interval", "used up in, of draws"), rows, ("",))
    shares = _html.table(("level", "share of draws"), bands, ("level",))
    cautions = _html.items(f"{text} ({why})" for text, why in judged.cautions)
    right = "<div>Probabilities and 95 % intervals hold if the stated uncertainties are right.</div>"
    return f"<div>{title}{reasons}{shares}{found}{right}<div>Cautions</div>{cautions}</div>"


def _summary(draws: Any, decimals: int) -> tuple[str, str]:  # noqa: ANN401 - draws
    low, high = draws.interval(0.95)
    return f"{draws.mean:.{decimals}f}", f"{low:.{decimals}f} to {high:.{decimals}f}"


def propagation_html(propagation: Propagation) -> str:
    """Show every result of a propagation with its uncertainty."""
    rows = []
    for name, draws in zip(propagation.columns(), propagation.results, strict=True):
        low, high = draws.interval(0.95)
        rows.append((name, draws.mean, draws.standard_uncertainty, f"{low:.6g} to {high:.6g}"))
    body = _html.table(("result", "mean", "standard uncertainty", "95 % interval"), rows, ("result",))
    title = f"Propagation through {propagation.draws} draws"
    return f"<div>{_html.caption(title)}{body}<div>Right if the stated uncertainties are right.</div></div>"


def table_html(result: Any) -> str:  # noqa: ANN401 - anything with columns()
    """Show any result with `columns()` as a table under the words of its class."""
    columns = result.columns()
    names = list(columns)
    rows, left_out = _html.rows_of(columns, names, _MOST_ROWS)
    text = [name for name in names if len(columns[name]) and isinstance(columns[name][0], str)]
    title = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", type(result).__name__).capitalize()
    body = _html.table([_with_unit(name) for name in names], rows, [_with_unit(name) for name in text])
    return f"<div>{_html.caption(title)}{body}{_left_out(left_out)}</div>"


def _left_out(count: int) -> str:
    return f"<div>{count} rows in the middle are not shown; columns() has them all</div>" if count else ""


_FACES: tuple[tuple[Any, str, Any], ...] = (
    (Circuit, "_repr_html_", circuit_html),
    (Circuit, "_repr_svg_", circuit_svg),
    (Timeline, "_repr_html_", timeline_html),
    (Ledger, "_repr_html_", ledger_html),
    (Prediction, "_repr_html_", prediction_html),
    (Plan, "_repr_html_", plan_html),
    (Verdict, "_repr_html_", verdict_html),
    (Assessment, "_repr_html_", assessment_html),
    (Propagation, "_repr_html_", propagation_html),
    *(
        (owner, "_repr_html_", table_html)
        for owner in (
            *(Basins, Calibration, DipStudy, DrainCurve, FirstOrder, HeelMap, LitreScale, OldOil, Pools),
            *(Reconciliation, Residue, Sensitivity, State, Strapping, Tornado, Trend, WaitAdvice, WeighedResidue),
            WorthMeasuring,
        )
    ),
)


def register() -> None:
    """Set the notebook faces on their classes."""
    for owner, name, face in _FACES:
        setattr(owner, name, face)
