"""Residue of weighed drains: against the law of propagation, over many services, into a circuit; what is refused."""

import re
from pathlib import Path

import fillmark as fm
import numpy as np
import pytest

ROOT = Path(__file__).resolve().parents[2]
KNOWN = {"held_l": "7.90(5) L", "density_kg_m3": "868(3) kg/m3", "filter_l": "0.38(3) L"}


def test_one_service_by_the_law_of_propagation():
    found = fm.weighed_residue(
        [5.9], **KNOWN, scale="1.000(2)", weighing_kg=0.02, held_scatter_l=0.06, service_scatter_l=0
    )
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


def test_one_service_does_not_say_how_services_scatter():
    alone = fm.weighed_residue([5.9], **KNOWN)
    exact = fm.weighed_residue([5.9], **KNOWN, service_scatter_l=0)
    # By default lognormal with median 1 % of 7.9 L and sigma 0.7: a mean square of 0.079² exp(2 0.7²) L².
    added = 0.079**2 * np.exp(2 * 0.7**2)
    assert alone.residue_l.standard_uncertainty**2 == pytest.approx(
        exact.residue_l.standard_uncertainty**2 + added, rel=0.1
    )
    said = fm.weighed_residue([5.9], **KNOWN, service_scatter_l="lognormal(0.079, 0.7) L")
    assert said.residue_l.low == pytest.approx(alone.residue_l.low, rel=1e-12)


def coverage(services, spread, runs=3000):
    """How often the 95 % bands of the mean residue and of the next hold the truth; `spread` None: from the prior."""
    rng = np.random.default_rng([services, 0 if spread is None else round(1e3 * spread)])
    hits = np.zeros(2)
    for run in range(runs):
        held, density, kept = 7.9 + 0.05 * rng.standard_normal(), 868 + 3 * rng.standard_normal(), 0.38
        own = 0.079 * np.exp(0.7 * rng.standard_normal()) if spread is None else spread
        residue = 0.7 + own * rng.standard_normal(services + 1)
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
        hits += [holds(found.residue_l, 0.7), holds(found.next_l, residue[-1])]
    return hits / runs


def holds(band, truth):
    return band.low <= truth <= band.high


def test_bands_hold_in_the_short_run():
    # 300 runs at 95 %: four standard errors of a share are 0.05.
    assert coverage(2, None, runs=300).min() > 0.90


@pytest.mark.slow
def test_bands_hold():
    lines = [COVERAGE, "| services | scatter from service to service | mean | next |", "|---:|---|---:|---:|"]
    found = {(n, spread): coverage(n, spread) for n in (1, 2, 5, 20) for spread in (None, 0.03, 0.08, 0.2)}
    for (n, spread), (mean, following) in found.items():
        lines.append(
            f"| {n} | {'from the prior' if spread is None else f'{spread} L'} | {mean:.3f} | {following:.3f} |"
        )
    (ROOT / "docs/validation").mkdir(parents=True, exist_ok=True)
    (ROOT / "docs/validation/learn_weighed.md").write_text("\n".join([*lines, ""]), encoding="utf-8")
    error = 2 * np.sqrt(0.05 * 0.95 / 3000)
    for (n, spread), shares in found.items():
        if spread is None or n >= 20:
            assert 0.93 - error <= shares.min(), (n, spread, shares)
            assert shares.max() <= 0.97 + error, (n, spread, shares)


COVERAGE = """\
# Residue of weighed drains: do 95 % bands hold?

Written by `pytest -m slow tests/python/test_learn_weighed.py` (part of `make validate`). Shares of 3,000 simulated
studies whose 95 % band holds the truth, of the mean residue of such drains and of the next one. Held 7.90(5) L, density
868(3) kg/m3, weighing 0.02 kg; residues scatter from service to service by an amount drawn from the prior (lognormal,
median 0.079 L, 0.7), or by one that is fixed: 0.03 L is at its 8 % quantile, 0.2 L at its 91 %. One or two services
cannot contradict the prior, so there a fixed scatter far from it is held more, or less, often.
"""


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
