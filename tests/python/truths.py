"""Incidents whose cause and sizes are drawn from the priors and which the model in `tests/reference` carries out.

Nothing here asks the library: the priors are written once more from the documentation of the causes, and the record is
what the independent model leaves, seen with the noise that the diagnosis assumes.
"""

from dataclasses import dataclass, field

import numpy as np
from reference.service import simulate
from scipy.stats import norm

MIN_MM, MAX_MM, BLADE_MM = 30.0, 50.0, 100.0
SPAN_MM, SPAN_L = MAX_MM - MIN_MM, 1.2
# What the priors on sizes scale with: 3.3 L at MAX and 0.4 L in the filter.
CHARGE_L, FILTER_L = 3.7, 0.4
POURED_L, DRAINED_SD_L = 3.5, 0.1
# Share of readings and amounts that are simply mistaken.
MISTAKEN = 0.02
# US qt, imp qt and L: the ratios of their definitions.
RATIOS = np.array([1 / 0.946352946, 1.1365225, 1.1365225 / 0.946352946])

# Prior weights, chosen so that records that read over MAX come from every cause about alike.
WEIGHTS = {
    "ordinary scatter": 14.0,
    "poor drain": 9.0,
    "read early, then topped up": 6.0,
    "figure of another variant poured": 6.0,
    "filter kept": 6.0,
    "prefill counted twice": 7.0,
    "stick not wiped": 9.0,
    "unit slip": 6.0,
    "dispenser out": 11.0,
    "wrong stick or tube": 12.0,
}
FAMILIES = list(WEIGHTS)
# The size of each cause that leaves one open.
SIZES = {
    "poor drain": "left in beyond the nominal",
    "read early, then topped up": "top-up not told",
    "figure of another variant poured": "poured over told",
    "prefill counted twice": "prefill",
    "stick not wiped": "smear",
    "dispenser out": "given over said",
    "wrong stick or tube": "reads off by",
}


@dataclass
class Incident:
    """What happened, and what was seen."""

    cause: str
    size: float
    reading_mm: float
    drained_l: float
    signs: dict[str, bool] = field(default_factory=dict)

    @property
    def excess(self) -> float:
        """How far over MAX it reads, in spans."""
        return (self.reading_mm - MAX_MM) / SPAN_MM


def _lognormal(rng, median, sigma):
    return median * np.exp(sigma * rng.standard_normal())


def _size(rng, cause):
    """A size from the prior of a cause."""
    match cause:
        case "poor drain":
            return _lognormal(rng, 0.06 * CHARGE_L, 0.7)
        case "read early, then topped up":
            return _lognormal(rng, 0.25 * SPAN_L, 0.6)
        case "figure of another variant poured":
            return rng.triangular(1.03, 1.08, 1.5)
        case "prefill counted twice":
            return rng.uniform(0.5 * FILTER_L, 0.98 * FILTER_L)
        case "stick not wiped":
            return _lognormal(rng, 6.0, 0.7)
        case "unit slip":
            return rng.choice(RATIOS)
        case "dispenser out":
            return 1.0 + 0.08 * rng.standard_normal()
        case "wrong stick or tube":
            return 8.0 * rng.standard_normal()
    return 0.0


def _circuit(rng, cause, size):
    left = size if cause == "poor drain" else 0.0
    jug = size if cause == "dispenser out" else 1.0
    return {
        "sump": {"box": {"length_mm": 300.0, "width_mm": 200.0, "height_mm": 100.0}},
        "dipstick": {"path_mm": [[0, 0, 5], [0, 0, 105]], "min_mm": MIN_MM, "max_mm": MAX_MM},
        "plugs": {"main": {"at_mm": [100, 0, 0], "bore_mm": 12.0, "heel_l": 0.2 + 0.03 * rng.standard_normal() + left}},
        "filter": {"net_volume_l": FILTER_L},
        "stores": {"head": {"running_l": 0.3}},
        "fluid": {"density_15c_kg_m3": 868.0, "kv40_mm2_s": 95.0, "kv100_mm2_s": 14.3},
        "reference": {"temperature_c": 20.0},
        "instruments": {"jug": {"scale": jug * (1.0 + 0.02 * rng.standard_normal())}},
    }


def _events(cause, size):
    poured = POURED_L * (size if cause in ("figure of another variant poured", "unit slip") else 1.0)
    change = {"kind": "ChangeFilter"} | ({"primed_l": size} if cause == "prefill counted twice" else {})
    return [
        {"kind": "Drain", "minutes": 10},
        *([] if cause == "filter kept" else [change]),
        {"kind": "Pour", "volume_l": poured, "measured_with": "jug"},
        {"kind": "Run", "minutes": 2},
        *([{"kind": "Pour", "volume_l": size}] if cause == "read early, then topped up" else []),
        {"kind": "Rest", "minutes": 20},
        {"kind": "Read", "label": "dip"},
    ]


def incident(rng, cause):
    """One incident of a cause, as the independent model has it."""
    size = float(_size(rng, cause))
    result = simulate(_circuit(rng, cause, size), _events(cause, size), limits="clip")
    mm = next(row.reading for row in result.rows if row.reading is not None).mm
    drained = result.rows[-1].state["pan"].mass / 0.8648
    raised = size if cause in ("stick not wiped", "wrong stick or tube") else 0.0
    mm = float(np.clip(mm + raised, 0.0, BLADE_MM)) + rng.standard_normal()
    if rng.random() < MISTAKEN:
        mm = BLADE_MM * rng.random()
    seen = drained + DRAINED_SD_L * rng.standard_normal()
    if rng.random() < MISTAKEN:
        seen = 2.0 * drained * rng.random()
    smear = size if cause == "stick not wiped" else 0.0
    signs = {
        "second_dip_differs": rng.random() < 0.05 + 0.92 * norm.cdf((smear - 3.0) / 1.0),
        "old_filter": rng.random() < (0.95 if cause == "filter kept" else 0.02),
    }
    return Incident(cause, size, float(np.clip(mm, 0.0, BLADE_MM)), max(0.0, seen), signs)


def kept(seed, count):
    """So many incidents, their causes drawn by weight, whose reading lies above MAX."""
    rng = np.random.default_rng(seed)
    weights = np.array(list(WEIGHTS.values()))
    found = []
    while len(found) < count:
        drawn = incident(rng, FAMILIES[rng.choice(len(FAMILIES), p=weights / weights.sum())])
        if drawn.reading_mm > MAX_MM:
            found.append(drawn)
    return found


def kept_of(seed, cause, count):
    """So many incidents of one cause whose reading lies above MAX."""
    rng = np.random.default_rng([seed, FAMILIES.index(cause)])
    found = []
    while len(found) < count:
        drawn = incident(rng, cause)
        if drawn.reading_mm > MAX_MM:
            found.append(drawn)
    return found


def rule_of_thumb(one):
    """The cause that a rule with thresholds names: what was looked for first, then the pan, then how far over it is."""
    if one.signs["second_dip_differs"]:
        return "stick not wiped"
    if one.signs["old_filter"]:
        return "filter kept"
    if one.drained_l < 2.9:  # 3.1 L come out nominally
        return "poor drain"
    if one.excess < 0.2:
        return "ordinary scatter"
    if one.excess < 0.4:
        return "read early, then topped up"
    return "unit slip" if one.excess > 0.6 else "figure of another variant poured"
