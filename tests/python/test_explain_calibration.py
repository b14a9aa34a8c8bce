"""Diagnoses of records whose truth is drawn from the priors and simulated by the model in `tests/reference`.

If cause and sizes are drawn from the priors, and the record is simulated from them, then over many records a cause
that is given the probability p is the true one in a share p of them, and a 95 % interval holds the true size in 95 %
(simulation-based calibration: Cook, Gelman and Rubin 2006, Journal of Computational and Graphical Statistics 15:675).
That holds as well for the records that are kept because their reading lies above MAX, as the choice depends on the
reading alone.
"""

import fillmark as fm
import numpy as np
import pytest
from reference.service import simulate
from services import box

WEIGHTS = {
    "ordinary scatter": 3.0,
    "poor drain": 3.0,
    "stick not wiped": 2.0,
    "wrong stick or tube": 2.0,
    "filter kept": 2.0,
}
CIRCUIT = box(("scale = 1\n", 'scale = "1.00(2)"\n'), ('heel = "0.2 L"', 'heel = "0.20(3) L"'))
TOLD = [
    fm.Drain(minutes=10),
    fm.ChangeFilter(),
    fm.Pour(3.5, measured_with="jug"),
    fm.Run(minutes=2),
    fm.Rest(minutes=20),
]
MIN_MM, MAX_MM, BLADE_MM = 30.0, 50.0, 100.0
# What the priors on sizes scale with: 3.3 L at MAX and 0.4 L in the filter.
CHARGE_L = 3.7


def truth(rng):
    """A cause, its size, and what the stick and the pan say, from the independent model."""
    names, weights = list(WEIGHTS), np.array(list(WEIGHTS.values()))
    cause = names[rng.choice(len(names), p=weights / weights.sum())]
    left = 0.06 * CHARGE_L * np.exp(0.7 * rng.standard_normal()) if cause == "poor drain" else 0.0
    circuit = {
        "sump": {"box": {"length_mm": 300.0, "width_mm": 200.0, "height_mm": 100.0}},
        "dipstick": {"path_mm": [[0, 0, 5], [0, 0, 105]], "min_mm": MIN_MM, "max_mm": MAX_MM},
        "plugs": {"main": {"at_mm": [100, 0, 0], "bore_mm": 12.0, "heel_l": 0.2 + 0.03 * rng.standard_normal() + left}},
        "filter": {"net_volume_l": 0.4},
        "stores": {"head": {"running_l": 0.3}},
        "fluid": {"density_15c_kg_m3": 868.0, "kv40_mm2_s": 95.0, "kv100_mm2_s": 14.3},
        "reference": {"temperature_c": 20.0},
        "instruments": {"jug": {"scale": 1.0 + 0.02 * rng.standard_normal()}},
    }
    events = [
        {"kind": "Drain", "minutes": 10},
        *([] if cause == "filter kept" else [{"kind": "ChangeFilter"}]),
        {"kind": "Pour", "volume_l": 3.5, "measured_with": "jug"},
        {"kind": "Run", "minutes": 2},
        {"kind": "Rest", "minutes": 20},
        {"kind": "Read", "label": "dip"},
    ]
    result = simulate(circuit, events, limits="clip")
    reading = next(row.reading for row in result.rows if row.reading is not None).mm
    drained = result.rows[-1].state["pan"].mass / 0.8648
    size = left
    if cause == "stick not wiped":
        size = 6.0 * np.exp(0.7 * rng.standard_normal())
        reading += size
    if cause == "wrong stick or tube":
        size = 8.0 * rng.standard_normal()
        reading += size
    reading = float(np.clip(reading, 0.0, BLADE_MM)) + rng.standard_normal()
    if rng.random() < 0.02:
        reading = BLADE_MM * rng.random()
    return cause, size, float(np.clip(reading, 0.0, BLADE_MM)), drained + 0.1 * rng.standard_normal()


def kept(seed, count):
    """So many truths whose reading lies above MAX."""
    rng = np.random.default_rng(seed)
    found = []
    while len(found) < count:
        drawn = truth(rng)
        if drawn[2] > MAX_MM:
            found.append(drawn)
    return found


def diagnosed(truths, **options):
    weights = dict.fromkeys(fm.cause_priors("reads_over"), 0.0) | WEIGHTS
    records = [
        fm.Record(TOLD, [mm], complaint="reads_over", drained_l=fm.Uncertain.normal(litres, 0.1, "L"))
        for *_, mm, litres in truths
    ]
    return fm.diagnose_many(CIRCUIT, records, priors=weights, pairs=False, **options)


def check(truths, verdicts):
    names = list(WEIGHTS)
    given = np.array([[v.probability_of(name) for name in names] for v in verdicts])
    true = np.array([[name == cause for name in names] for cause, *_ in truths])
    # Every probability that was given, against how often it was right, in five classes: within four binomial errors.
    for low in np.arange(0.0, 1.0, 0.2):
        inside = (given >= low) & (given < low + 0.2 if low < 0.79 else given <= 1.0)
        p = given[inside]
        assert abs(true[inside].sum() - p.sum()) <= 4.0 * np.sqrt((p * (1 - p)).sum()) + 0.5, low
    # Brier scores: better than the priors alone, and than a rule: scatter up to 0.2 span, poor drain beyond.
    brier = ((given - true) ** 2).sum(axis=1).mean()
    prior = np.array(list(WEIGHTS.values())) / sum(WEIGHTS.values())
    over = np.array([(mm - MAX_MM) / (MAX_MM - MIN_MM) for *_, mm, _ in truths])
    rule = np.zeros_like(given)
    rule[np.arange(len(rule)), np.where(over < 0.2, 0, 1)] = 1.0
    assert brier < ((prior - true) ** 2).sum(axis=1).mean()
    assert brier < ((rule - true) ** 2).sum(axis=1).mean()
    return brier


def coverage(truths, verdicts):
    """How often the 95 % interval of the true cause holds the true size."""
    inside = []
    for (cause, size, *_), verdict in zip(truths, verdicts, strict=True):
        found = next(c for c in verdict.causes if c.name == cause)
        if len(found.sizes["name"]):
            inside.append(found.sizes["low"][0] <= size <= found.sizes["high"][0])
    return np.array(inside)


def test_probabilities_are_calibrated():
    truths = kept(1, 50)
    verdicts = diagnosed(truths, particles=64, replicates=2)
    check(truths, verdicts)
    inside = coverage(truths, verdicts)
    assert inside.sum() >= 0.95 * len(inside) - 4.0 * np.sqrt(0.95 * 0.05 * len(inside))


@pytest.mark.slow
def test_probabilities_are_calibrated_over_many():
    truths = kept(2, 1000)
    verdicts = diagnosed(truths)
    check(truths, verdicts)
    inside = coverage(truths, verdicts)
    assert abs(inside.mean() - 0.95) < 4.0 * np.sqrt(0.95 * 0.05 / len(inside))
