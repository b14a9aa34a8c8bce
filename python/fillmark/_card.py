"""The incident card: a verdict as one self-contained page of HTML, in grey, for screen and print, without a network."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from fillmark import _html
from fillmark._core import build_info, simulate

if TYPE_CHECKING:
    from fillmark._core import Cause, Check, Verdict

__all__ = ["card", "input_hash"]

_STYLE = (
    "body{font:14px/1.4 sans-serif;color:#111;background:#fff;max-width:52em;margin:1.5em auto;padding:0 1em}"
    "h1{font-size:1.4em;margin:0}h2{font-size:1.05em;border-bottom:1px solid #999;margin:1.3em 0 .4em}"
    "table{margin:.3em 0}.stop{border:3px solid #111;padding:.4em .8em;font-weight:bold;margin:.8em 0}"
    ".note{color:#444}td+td:not(:last-child){white-space:nowrap}td:last-child{overflow-wrap:anywhere}"
    "@media print{body{max-width:none;margin:0;padding:0;font-size:7.5pt;line-height:1.25}"
    "main{columns:2;column-gap:6mm}h2{margin:.8em 0 .2em}p{margin:.3em 0}ul{margin:.2em 0;padding-left:1.5em}"
    "h2,tr,p{break-inside:avoid}h2{break-after:avoid}td,th{padding:1px 4px !important}"
    "svg{width:36px}@page{size:A4;margin:12mm}}"
)
_SHOWN = 0.005
_MOST_CHECKS = 5
_LEAST_BITS = 0.005  # a check that tells less is named, its outcomes are not listed
_PLAIN = {"mm", "says", "source"}  # what a reading says of itself without the name of the key


def input_hash(verdict: Verdict) -> str:
    """Return the SHA-256 of what went in: circuit and record as JSON, and the seed."""
    parts = (verdict.circuit.to_json(), verdict.record.to_json(), str(verdict.seed))
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def card(verdict: Verdict) -> str:
    """Write the page."""
    name = verdict.record.name or "Record"
    sections = [
        ("What was told", _told(verdict)),
        ("What it comes to", _conclusion(verdict)),
        ("Causes", _causes(verdict)),
        ("From what was told to what was read", _waterfall(verdict)),
        ("Seen and predicted", _observations(verdict)),
        ("Next checks", _checks(verdict)),
        ("Ledger of the events as told", _ledger(verdict)),
        ("Cautions", _html.items(verdict.cautions)),
        ("What is judgement", _judgement(verdict)),
        ("Made by", _made(verdict)),
    ]
    body = "".join(f"<section><h2>{_html.cell(title)}</h2>{content}</section>" for title, content in sections)
    head = f'<meta charset="utf-8"><title>{_html.cell(name)}</title><style>{_STYLE}</style>'
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head>{head}</head><body><h1>{_html.cell(name)}</h1>'
        f"<p>{_html.cell(verdict.circuit.name)}: {_html.cell(_complaint(verdict))}</p>"
        f"{_stop(verdict)}<main>{body}</main></body></html>\n"
    )


def _complaint(verdict: Verdict) -> str:
    return {
        "reads_over": "reads over after a service",
        "reads_under": "reads low after a service",
        "rises": "rises between services",
        "falls": "falls between services",
        "differs": "differs between dips",
    }[verdict.record.complaint]


def _signed(value: float) -> str:
    """Write a difference to two decimals; what rounds to nothing has no sign."""
    return f"{value:+.2f}".replace("-", "\N{MINUS SIGN}") if abs(value) >= 0.005 else "0.00"


def _stop(verdict: Verdict) -> str:
    if not verdict.do_not_start:
        return ""
    reasons = "; ".join(verdict.do_not_start)
    return f'<div class="stop">Do not start the engine, do not move the vehicle: {_html.cell(reasons)}.</div>'


def _told(verdict: Verdict) -> str:
    record = verdict.record
    note = f'<p class="note">{_html.cell(record.note)}</p>' if record.note else ""
    events = _html.items(str(event) for event in record.events)
    readings = _html.items(
        ", ".join(str(value) if key in _PLAIN else f"{key.replace('_', ' ')} {value}" for key, value in reading.items())
        for reading in record.readings
    )
    signs = [f"{sign.replace('_', ' ')}: {'yes' if there else 'no'}" for sign, there in record.signs.items()]
    return f"{note}{events}<p>Readings</p>{readings}" + (f"<p>Signs</p>{_html.items(signs)}" if signs else "")


def _conclusion(verdict: Verdict) -> str:
    first = verdict.causes[0]
    alike = verdict.look_alikes
    said = f"<p><strong>{_html.cell(verdict.conclusion)}</strong></p><p>{_html.cell(first.words)}</p>"
    if alike:
        said += f"<p>Not told apart by these data: {_html.cell(', '.join([first.name, *alike]))}.</p>"
    mean, spread = first.spans
    level = f"True level if so: {mean:.2f} ± {spread:.2f} spans (0 at MIN, 1 at MAX), drained back."
    moved = f"The odds of the priors would have to move by a factor of {first.prior_factor:.1f} to change the leader."
    return f"{said}<p>{level} {moved}</p>"


def _bar(share: float) -> str:
    width = max(1, round(160 * share))
    return (
        '<svg width="160" height="10" viewBox="0 0 160 10" preserveAspectRatio="none" role="img" '
        f'aria-label="{_html.percent(share, 0)}">'
        '<rect width="160" height="10" fill="#eee"/>'
        f'<rect width="{width}" height="10" fill="#555"/></svg>'
    )


def _causes(verdict: Verdict) -> str:
    cell = 'style="padding:2px 8px;border-bottom:1px solid #bbb"'
    head = "".join(f"<th {cell}>{h}</th>" for h in ("cause", "now", "", "before", "ln evidence", "against it"))
    rows = []
    for cause in verdict.causes:
        if cause.probability < _SHOWN:
            continue
        cells = (
            _html.cell(cause.name),
            _html.percent(cause.probability),
            _bar(cause.probability),
            _html.percent(cause.prior),
            f"{cause.ln_evidence:.2f} ± {cause.standard_error:.2f}",
            f"{cause.bayes_factor_against:.3g}",
        )
        rows.append("<tr>" + "".join(f"<td {cell}>{c}</td>" for c in cells) + "</tr>")
    note = "Last column: Bayes factor of the leading cause against this one. Causes below 0.5 % are left out."
    table = f'<table style="border-collapse:collapse"><tr>{head}</tr>{"".join(rows)}</table>'
    return f'{table}<p class="note">{note}</p>{_sizes(verdict.causes[0])}'


def _sizes(cause: Cause) -> str:
    sizes = cause.sizes
    if not len(sizes["name"]):
        return ""
    rows = [
        (name, f"{mean:.3g} {unit}", f"{low:.3g} to {high:.3g}", f"{before:.3g} to {after:.3g}")
        for name, unit, mean, low, high, before, after in zip(
            *(sizes[k] for k in ("name", "unit", "mean", "low", "high", "prior_low", "prior_high")), strict=True
        )
    ]
    head = (f"size, if it is {cause.name}", "mean", "95 % now", "95 % before")
    return _html.table(head, rows, (head[0],))


def _waterfall(verdict: Verdict) -> str:
    """Show for every reading what the events as told predict, what the leading cause adds, what is left over."""
    first = verdict.causes[0]
    told = next((c for c in verdict.causes if c.told or c.name == "ordinary scatter"), first)
    rows: list[tuple[str, ...]] = []
    with_cause, as_told = first.observations, told.observations
    for i, what in enumerate(with_cause["what"]):
        seen = with_cause["value"][i]
        unit = with_cause["unit"][i]
        if seen != seen or not unit:
            continue
        base, reached = as_told["predicted"][i], with_cause["predicted"][i]
        rows.append(
            (what, f"{base:.2f}", _signed(reached - base), _signed(seen - reached), f"{seen:.2f}", unit)
        )  # fmt: skip
    head = ("", "as told", f"{first.name} adds", "left over", "seen", "unit")
    note = "Predictions after the data; those of the events as told take what they can from scatter and jugs first."
    return _html.table(head, rows, ("", "unit")) + f'<p class="note">{note}</p>'


def _observations(verdict: Verdict) -> str:
    first = verdict.causes[0]
    seen = first.observations
    against = verdict.causes[1].observations["ln_factor_of_leading"] if len(verdict.causes) > 1 else None
    rows = []
    for i, what in enumerate(seen["what"]):
        spread = seen["standard_uncertainty"][i]
        predicted = f"{seen['predicted'][i]:.2f} ± {spread:.2f} {seen['unit'][i]}" if spread > 0 else ""
        spoke = _signed(against[i]) if against is not None else ""
        rows.append((what, seen["seen"][i], predicted, f"{seen['tail'][i]:.2f}", spoke))
    other = f" against {verdict.causes[1].name}" if against is not None else ""
    head = ("observation", "seen", "predicted", "tail prob.", f"spoke for it by ln{other}")
    fit = f"Data that fit {first.name} at most as well as these have probability {first.fit:.2f}."
    return _html.table(head, rows, ("observation", "seen")) + f"<p>{_html.cell(fit)}</p>"


def _checks(verdict: Verdict) -> str:
    shown = "".join(_check(check) for check in verdict.next_checks[:_MOST_CHECKS])
    blocked = [f"{check.name}: {check.blocked}" for check in verdict.blocked_checks]
    return shown + (f"<p>Not now:</p>{_html.items(blocked)}" if blocked else "")


def _check(check: Check) -> str:
    outcomes = check.outcomes
    rows = [
        (outcome, _html.percent(p, 0), f"{cause} ({_html.percent(q, 0)})")
        for outcome, p, cause, q in zip(
            *(outcomes[k] for k in ("outcome", "probability", "cause", "cause_probability")), strict=True
        )
        if p >= 0.01
    ]
    table = _html.table(("outcome", "probability", "then leads"), rows, ("outcome", "then leads"))
    title = _html.cell(f"{check.name} ({check.bits:.2f} bit)")
    if check.bits < _LEAST_BITS:
        table = ""
    return (
        f"<p><strong>{title}</strong> {_html.cell(check.words)} <em>{_html.cell(check.precondition)}.</em></p>{table}"
    )


def _ledger(verdict: Verdict) -> str:
    line = simulate(verdict.circuit, verdict.record.events)
    columns: dict[str, Any] = {**line.columns(), "event": ["start", *map(str, line.events)]}
    names = ("event", "level_mm", "sump_l")
    rows, left_out = _html.rows_of(columns, names, 40, {"level_mm": 1, "sump_l": 3})
    over = line.v_drained_l - line.v_max_l
    side = "over" if over > 0.0 else "under"
    end = f"At nominal values the events as told end {abs(over):.2f} L {side} MAX, drained back."
    more = f" {left_out} rows are left out." if left_out else ""
    return _html.table(("event", "level [mm]", "in the sump [L]"), rows, ("event",)) + f"<p>{end}{more}</p>"


def _judgement(verdict: Verdict) -> str:
    judged = json.loads(verdict.circuit.to_json()).get("judgement", [])
    rest = f"<p>Inputs of the circuit that rest on judgement: {_html.cell(', '.join(judged))}.</p>" if judged else ""
    skipped = [f"{name}: {why}" for name, why in verdict.not_applicable.items()]
    never = f"<p>Not weighed:</p>{_html.items(skipped)}" if skipped else ""
    return f"<p>{_html.cell(verdict.judgement)}</p>{rest}{never}"


def _made(verdict: Verdict) -> str:
    info = build_info()
    rows = [
        ("fillmark", info["version"]),
        ("seed", str(verdict.seed)),
        ("runs of the model", str(verdict.evaluations)),
        ("SHA-256 of the inputs", input_hash(verdict)),
    ]
    note = "This is an estimate for teaching and analysis; it assigns causes, not fault."
    return _html.table(("", " "), rows, ("", " ")) + f"<p>{note}</p>"
