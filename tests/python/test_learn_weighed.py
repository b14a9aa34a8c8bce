"""Residue of weighed drains: against the law of propagation, over many services, into a circuit; what is refused."""

import re
from pathlib import Path

import fillmark as fm
import numpy as np
import pytest

ROOT = Path(__file__).resolve().parents[2]
KNOWN = {"held_l": "7.90(5) L", "density_kg_m3": "868(3) kg/m3", "filter_l": "0.38(3) L"}


def test_one_service_by_the_law_of_propagation():
    found = fm.weighed_residue([5.9], **KNOWN, scale="1.000(2)", weighing_kg=0.02, held_scatter_l=0.06)
    drained = 5.9 / 868 * 1e3
    parts = [0.05, drained * 3 / 868, 0.03, drained * 0.002, 0.06, 0.02 / 868 * 1e3]
    # JCGM 100, 5.1.2. The model bends little; Monte Carlo error of 10 000 draws: 0.7 % of u, four of them.
    assert found.residue_l.mean == pytest.approx(7.9 - drained - 0.38, abs=0.004)
    assert found.residue_l.standard_uncertainty == pytest.approx(np.sqrt(np.sum(np.square(parts))), rel=0.03)
    shares = found.shares()
    assert sum(shares.values()) == pytest.approx(1)
    assert shares["held"] == pytest.approx(0.05**2 / np.sum(np.square(parts)))
    assert found.spread_l is None


def test_shared_errors_do_not_shrink_with_the_number_of_services():
    rng = np.random.default_rng(1)
    few, many = (fm.weighed_residue(5.9 + 0.01 * rng.standard_normal(n), **KNOWN) for n in (3, 300))
    shared = np.sqrt(0.05**2 + 0.03**2 + (5.9 / 868 * 1e3 * 3 / 868) ** 2)
    assert many.residue_l.standard_uncertainty == pytest.approx(shared, rel=0.03)
    assert few.residue_l.standard_uncertainty > 0.97 * shared
    assert many.shares()["single services"] < 1e-3


@pytest.mark.slow
@pytest.mark.parametrize("services", [1, 2, 5])
def test_bands_hold(services):
    """95 % bands of the mean residue and of the next one hold the truth in 93 to 97 % of simulated studies."""
    rng = np.random.default_rng(services)
    runs, hits = 3000, np.zeros(2)
    for run in range(runs):
        held, density, kept = 7.9 + 0.05 * rng.standard_normal(), 868 + 3 * rng.standard_normal(), 0.38
        spread = 0.06 if services > 1 else 0.0
        residue = 0.7 + spread * rng.standard_normal(services + 1)
        weighed = (held - kept - residue[:services]) * density / 1e3
        weighed += 0.02 * rng.standard_normal(services)
        found = fm.weighed_residue(
            weighed,
            held_l="7.90(5) L",
            density_kg_m3="868(3) kg/m3",
            filter_l=0.38,
            weighing_kg=0.02,
            draws=1000,
            seed=run,
        )
        hits += [
            found.residue_l.low <= 0.7 <= found.residue_l.high,
            found.next_l.low <= residue[-1] <= found.next_l.high,
        ]
    error = 2 * np.sqrt(0.05 * 0.95 / runs)
    print(services, hits / runs)
    # Student's t over a few services adds to what is shared, so the bands are rather too wide than too narrow.
    assert hits[0] / runs >= 0.93 - error
    assert hits[0] / runs <= (0.97 if services != 2 else 0.99) + error
    assert hits[1] / runs >= 0.93 - error


def test_it_goes_into_the_book():
    bus = fm.Circuit.demo("shuttle-bus")
    found = fm.weighed_residue([5.9, 5.85, 5.93], **KNOWN)
    learnt = found.apply(bus)
    assert "residue" in learnt.to_toml()
    rows = found.columns()
    assert list(rows) == ["service", "residue_l", "low_residue_l", "high_residue_l"]
    assert found.spread_l == pytest.approx(np.std([5.9, 5.85, 5.93], ddof=1) / 868 * 1e3)
    assert "next such drain" in str(found)
    assert "<table" in found._repr_html_()


# arguments; class, code, part of the message
REFUSED = [
    ({"drained_kg": []}, fm.LearnError, "learn.too_few", "0 drained masses"),
    ({"drained_kg": [1] * 501}, fm.LearnError, "learn.too_many", "at most 500"),
    ({"drained_kg": [7.5]}, fm.LearnError, "learn.more_than_held", "came out of a circuit that held 7.900 L"),
    ({"drained_kg": [-1]}, fm.QuantityError, "quantity.out_of_range", "drained_kg[0]"),
    ({"drained_kg": [5.0], "density_kg_m3": 86}, fm.QuantityError, "quantity.out_of_range", "density_kg_m3"),
    ({"drained_kg": [5.0], "coverage": 2}, fm.QuantityError, "quantity.out_of_range", "coverage"),
]


@pytest.mark.parametrize(("changes", "cls", "code", "part"), REFUSED)
def test_refused(changes, cls, code, part):
    with pytest.raises(cls) as caught:
        fm.weighed_residue(**{**KNOWN, **changes})
    assert caught.value.code == code
    assert part in str(caught.value)


def test_every_variant_is_produced_somewhere():
    source = (ROOT / "src" / "infer" / "learn" / "error.rs").read_text(encoding="utf-8")
    body = source.partition("pub enum LearnError {")[2].partition("\n}")[0]
    names = re.findall(r"^    ([A-Z]\w*) \{", body, re.M)
    assert len(names) >= 10
    files = [*ROOT.glob("tests/python/test_learn*.py"), *ROOT.glob("src/infer/learn/**/tests.rs")]
    tests = "".join(path.read_text(encoding="utf-8") for path in files)
    for name in names:
        assert "learn." + re.sub(r"(?<=.)([A-Z])", r"_\1", name).lower() in tests
