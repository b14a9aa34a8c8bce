"""Whether a 95 % interval holds 95 % of what it speaks of, if the stated uncertainties are right.

Truths are drawn by NumPy from the stated uncertainties and served by the independent model in `tests/reference`; each
gives one noisy reading of the stick. The share of these readings inside the 95 % interval of one prediction is a
binomial share. The short test asks for four of its standard errors, the long one (``make validate``) for 94 to 96 %.
"""

from __future__ import annotations

import copy
import math
from pathlib import Path
from typing import Any

import fillmark as fm
import numpy as np
import pytest
from reference import simulate
from reference.boxes import box_circuit
from reference.text import to_toml

Data = dict[str, Any]
REPORTS = Path(__file__).resolve().parents[2] / "docs" / "validation"
MANY = 20_000

# Path in the core, what is stated, where it stands in the model's data and how NumPy draws it.
STATED: list[tuple[str, str, tuple[str, ...], tuple[str, float, float]]] = [
    ("instruments.jug.scale", "1.00(2)", ("instruments", "jug", "scale"), ("normal", 1.0, 0.02)),
    ("plugs.main.heel", "0.25(5) L", ("plugs", "main", "heel_l"), ("normal", 0.25, 0.05)),
    ("filter.net_volume", "0.35 .. 0.45 L", ("filter", "net_volume_l"), ("uniform", 0.35, 0.45)),
    ("stores.b.running", "0.30(3) L", ("stores", "b", "running_l"), ("normal", 0.3, 0.03)),
    ("stores.b.film", "0.05 .. 0.15 L", ("stores", "b", "film_l"), ("uniform", 0.05, 0.15)),
    ("stores.b.film_time", "30 .. 120 s", ("stores", "b", "film_time_s"), ("uniform", 30.0, 120.0)),
    ("fluid.kv40", "95(8) mm2/s", ("fluid", "kv40_mm2_s"), ("normal", 95.0, 8.0)),
    ("geometry.volume_scale", "1.00(1)", ("geometry", "volume_scale"), ("normal", 1.0, 0.01)),
    ("geometry.datum", "0.0(10) mm", ("geometry", "datum_mm"), ("normal", 0.0, 1.0)),
    ("dipstick.seat_offset", "-1 .. 1 mm", ("dipstick", "seat_offset_mm"), ("uniform", -1.0, 1.0)),
]
POUR, POUR_C, REST = ("normal", 3.2, 0.1), ("normal", 20.0, 5.0), ("normal", 5.0, 1.0)
SERVICE = [
    fm.Drain(minutes=10, temperature_c=60),
    fm.ChangeFilter(),
    fm.Pour("3.20(10) L", temperature_c="20(5) degC", measured_with="jug"),
    fm.Read(label="before"),
    fm.Run(minutes=1, temperature_c=50),
    fm.Rest("5.0(10) min"),
    fm.Read(label="after"),
]


def data(**reference: float) -> Data:
    """The box with a store, a jug and a stick whose reading scatters by 1.5 mm; everything at its stated centre."""
    stick = {
        "path_mm": [[0, 0, 5], [0, 0, 205]],
        "min_mm": 35.0,
        "max_mm": 60.0,
        "scatter_mm": 1.5,
        "seat_offset_mm": 0.0,
    }
    store = {"running_l": 0.3, "kept_l": 0.05, "film_l": 0.1, "pool_time_s": 20.0, "film_time_s": 75.0}
    return box_circuit(
        name="covered",
        dipstick=stick,
        stores={"b": store},
        geometry={"volume_scale": 1.0, "datum_mm": 0.0},
        instruments={"jug": {"scale": 1.0}},
        reference={"temperature_c": 20.0, "wait_s": 600.0, **reference},
        cooling={"time_s": 3600.0, "ambient_c": 15.0},
    )


def drawn(rng: np.random.Generator, law: tuple[str, float, float]) -> float:
    """One value of a law."""
    return float(getattr(rng, law[0])(*law[1:]))


def truth(rng: np.random.Generator, plain: Data) -> tuple[float, float]:
    """The two noisy readings of one truth [mm]."""
    true = copy.deepcopy(plain)
    for _, _, place, law in STATED:
        table = true
        for key in place[:-1]:
            table = table[key]
        table[place[-1]] = drawn(rng, law)
    noise = rng.normal(size=2)
    events = [
        {"kind": "Drain", "minutes": 10.0, "temperature_c": 60.0},
        {"kind": "ChangeFilter"},
        {
            "kind": "Pour",
            "volume_l": drawn(rng, POUR),
            "temperature_c": drawn(rng, POUR_C),
            "measured_with": "jug",
        },
        {"kind": "Read", "label": "before", "z": noise[0]},
        {"kind": "Run", "minutes": 1.0, "temperature_c": 50.0},
        {"kind": "Rest", "minutes": drawn(rng, REST)},
        {"kind": "Read", "label": "after", "z": noise[1]},
    ]
    before, after = simulate(true, events, limits="clip").readings
    return before.mm, after.mm


def covered(truths: int, seed: int, method: str) -> list[float]:
    """The share of noisy readings inside the 95 % interval, for either reading."""
    plain = data()
    circuit = fm.Circuit.loads(to_toml(plain)).replace({path: stated for path, stated, _, _ in STATED})
    prediction = fm.predict(circuit, SERVICE, draws=2**17, seed=seed, method=method)
    rng = np.random.default_rng(seed)
    seen = np.array([truth(rng, plain) for _ in range(truths)])
    shares = []
    for column, reading in zip(seen.T, prediction.readings, strict=True):
        low, high = reading.mm.interval(0.95)
        shares.append(float(np.mean((low <= column) & (column <= high))))
    return shares


def test_intervals_hold_what_they_say():
    truths = 300
    for share in covered(truths, 2, "sobol"):
        assert abs(share - 0.95) < 4 * math.sqrt(0.95 * 0.05 / truths)


@pytest.mark.slow
def test_intervals_hold_94_to_96_percent():
    shares = covered(MANY, 3, "pseudo-random")
    report(MANY, shares)
    for share in shares:
        assert 0.94 <= share <= 0.96


def report(count: int, shares: list[float]) -> None:
    """Write the page of docs/validation."""
    truths = f"{count:,}" if count == MANY else f"The first {count:,} of {MANY:,}"
    lines = [REPORT.replace("COUNT", truths), "| reading | inside | standard error |", "|---|---:|---:|"]
    names = ("after the pour, before the engine ran", "after a run of 1 min and a rest of 5 min")
    for name, share in zip(names, shares, strict=True):
        lines.append(f"| {name} | {share:.4f} | {math.sqrt(share * (1 - share) / count):.4f} |")
    REPORTS.mkdir(parents=True, exist_ok=True)
    (REPORTS / "coverage.md").write_text("\n".join([*lines, ""]), encoding="utf-8")


REPORT = """\
# Readings inside the 95 % interval of a prediction

Written by `pytest -m slow tests/python/test_coverage.py` (part of `make validate`). COUNT truths drawn by NumPy
(`default_rng(3)`) from the stated uncertainties of ten inputs of a box circuit and three of its service, carried out by
the independent model of `tests/reference`; each gives one reading with the scatter of the stick (1.5 mm). Prediction:
131,072 pseudo-random draws, seed 3. Asked are 94 to 96 %.
"""
