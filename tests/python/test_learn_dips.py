"""Repeatability and reproducibility of dips against published examples and general tools; what is refused."""

from pathlib import Path

import fillmark as fm
import numpy as np
import pytest
from scipy import stats

REPORTS = Path(__file__).resolve().parents[2] / "docs" / "validation"

# JCGM 100:2008, H.5, Table H.9 (from memory; the results below come out as printed): ten days of five voltages each,
# means above 10 V and standard deviations of each day, in microvolt. Any five values with that mean and deviation do.
DAYS = [172, 116, 13, 144, 106, 31, 60, 125, 163, 41]
DEVIATIONS = [60, 77, 111, 101, 67, 93, 80, 73, 88, 86]
SHAPE = np.array([-2, -1, 0, 1, 2]) / np.sqrt(2.5)


def guide():
    """The voltages of the Guide's example as readings: one microvolt one millimetre, 1000 mm added."""
    read = 1000 + np.array(DAYS)[:, None] + np.array(DEVIATIONS)[:, None] * SHAPE
    return fm.dip_study(np.repeat(np.arange(10), 5), read.ravel())


def test_the_analysis_of_variance_of_the_guide():
    study = guide()
    assert study.levels()["mean_mm"][0] == pytest.approx(1097.1)
    # Printed: s_W = 85, s_B = 43 (H.5.2.4), F = 2.25 from rounded numbers.
    assert round(study.repeatability_mm) == 85
    assert round(study.between_trainees_mm) == 43
    both = 5 * study.between_trainees_mm**2 + study.repeatability_mm**2
    assert np.sqrt(both) == pytest.approx(128, abs=0.5)
    assert both / study.repeatability_mm**2 == pytest.approx(2.25, abs=0.02)


# Gauge study in the documentation of the VARCOMP procedure of SAS/STAT (example "Using the GRR method"): parts 1 to 3,
# three operators, three readings each.
HOUF = {
    "1": [[37, 38, 37], [41, 41, 40], [41, 42, 41]],
    "2": [[42, 41, 43], [42, 42, 42], [43, 42, 43]],
    "3": [[30, 31, 31], [31, 31, 31], [29, 30, 28]],
}


def houf(levels):
    rows = [(o, level, r) for level in levels for o, cell in zip("abc", HOUF[level], strict=True) for r in cell]
    trainee, level, read = zip(*rows, strict=True)
    return fm.dip_study(trainee, read, level=level)


@pytest.mark.parametrize("level", HOUF)
def test_one_level_against_the_analysis_of_variance_of_scipy(level):
    cells = np.array(HOUF[level], float)
    study = houf([level])
    within = cells.var(axis=1, ddof=1).mean()
    f = stats.f_oneway(*cells).statistic
    assert study.repeatability_mm == pytest.approx(np.sqrt(within))
    assert study.between_trainees_mm == pytest.approx(np.sqrt(max(0, (f - 1) * within / 3)))
    assert study.reproducibility_mm**2 == pytest.approx(study.repeatability_mm**2 + study.between_trainees_mm**2)


def test_levels_are_pooled():
    study, alone = houf(HOUF), [houf([level]) for level in HOUF]
    assert study.repeatability_mm == pytest.approx(np.sqrt(np.mean([s.repeatability_mm**2 for s in alone])))
    assert study.between_trainees_mm == pytest.approx(np.sqrt(np.mean([s.between_trainees_mm**2 for s in alone])))
    np.testing.assert_allclose(study.levels()["repeatability_mm"], [s.repeatability_mm for s in alone])
    assert study.repeatability_limit_mm == pytest.approx(2.8 * study.repeatability_mm)
    assert study.reproducibility_limit_mm == pytest.approx(2.8 * study.reproducibility_mm)


def test_unequal_numbers_of_readings_by_hand():
    trainee = ["a"] * 2 + ["b"] * 3 + ["c"] * 4
    read = np.array([40.0, 42, 45, 44, 46, 41, 40, 43, 42])
    study = fm.dip_study(trainee, read)
    cells = [read[:2], read[2:5], read[5:]]
    n = np.array([2, 3, 4])
    within = sum((c.size - 1) * c.var(ddof=1) for c in cells) / 6
    between = sum(c.size * (c.mean() - read.mean()) ** 2 for c in cells) / 2
    each = (9 - (n**2).sum() / 9) / 2
    assert study.repeatability_mm == pytest.approx(np.sqrt(within))
    assert study.between_trainees_mm == pytest.approx(np.sqrt((between - within) / each))


def test_mandels_statistics_and_the_tests_for_outliers():
    rng = np.random.default_rng(3)
    read = 40 + 0.5 * rng.standard_normal((8, 3))
    read[5] += 6.0  # reads high
    read[2] = [36, 40, 44]  # scatters
    study = fm.dip_study(np.repeat(list("ABCDEFGH"), 3), read.ravel())
    rows, found = study.columns(), study.checks()
    means = read.mean(axis=1)
    np.testing.assert_allclose(rows["h"], (means - means.mean()) / means.std(ddof=1))
    np.testing.assert_allclose(rows["k"], read.std(axis=1, ddof=1) / study.repeatability_mm)
    at = {test: i for i, test in enumerate(found["test"])}
    cochran, high, low = at["Cochran"], at["Grubbs, highest"], at["Grubbs, lowest"]
    assert found["trainee"][cochran] == "C"
    assert found["statistic"][cochran] == pytest.approx(16 / read.var(axis=1, ddof=1).sum())
    # ISO 5725-2:1994, Table 4, p = 8, n = 3 (from memory): 0.516 at 5 %, 0.615 at 1 %; Table 5, p = 8: 2.126 and 2.274.
    assert found["critical_5"][cochran] == pytest.approx(0.516, abs=5e-4)
    assert found["critical_1"][cochran] == pytest.approx(0.615, abs=5e-4)
    assert found["critical_5"][high] == pytest.approx(2.126, abs=1e-3)
    assert found["critical_1"][high] == pytest.approx(2.274, abs=1e-3)
    assert (found["finding"][cochran], found["finding"][high], found["finding"][low]) == ("outlier", "outlier", "")
    assert found["trainee"][high] == "F"
    assert "outlier" in str(study)


def coverage(runs, seed, trainees=6, readings=4):
    rng = np.random.default_rng(seed)
    found = []
    for run in range(runs):
        own = 1.5 * rng.standard_normal((trainees, 1))
        read = 100 + own + rng.standard_normal((trainees, readings))
        study = fm.dip_study(np.repeat(np.arange(trainees), readings), read.ravel(), seed=run, draws=1500)
        bands = study.bands()
        truths = {"repeatability": 1.0, "between_trainees": 1.5, "reproducibility": np.hypot(1.0, 1.5)}
        found.append([bands[name].low <= truth <= bands[name].high for name, truth in truths.items()])
    return np.mean(found, axis=0)


def test_bands_hold_in_the_short_run():
    # 200 runs at 95 %: four standard errors of a share are 0.062.
    assert coverage(200, 4).min() > 0.888


@pytest.mark.slow
def test_bands_hold():
    runs = 3000
    found = {size: coverage(runs, 23, *size) for size in ((6, 4), (10, 2), (4, 3))}
    lines = [COVERAGE, "| trainees | readings each | repeatability | between trainees | reproducibility |"]
    lines.append("|---:|---:|---:|---:|---:|")
    for (trainees, readings), shares in found.items():
        lines.append(f"| {trainees} | {readings} | " + " | ".join(f"{share:.3f}" for share in shares) + " |")
    REPORTS.mkdir(parents=True, exist_ok=True)
    (REPORTS / "learn_dips.md").write_text("\n".join([*lines, ""]), encoding="utf-8")
    error = 2 * np.sqrt(0.05 * 0.95 / runs)
    for size, shares in found.items():
        assert 0.93 - error <= shares.min(), (size, shares)
        assert shares.max() <= 0.97 + error, (size, shares)


COVERAGE = """\
# Dip studies: do 95 % bands hold?

Written by `pytest -m slow tests/python/test_learn_dips.py` (part of `make validate`). Shares of 3,000 simulated studies
of one level whose 95 % band holds the truth: repeatability 1 mm, trainees 1.5 mm apart.
"""


def inputs(circuit):
    columns = circuit.columns()
    pairs = zip(columns["nominal"], columns["standard_uncertainty"], strict=True)
    return dict(zip(columns["path"], pairs, strict=True))


def test_the_precision_goes_into_a_circuit():
    study, bus = houf(HOUF), fm.Circuit.demo("shuttle-bus")
    anyone, same = inputs(study.apply(bus)), inputs(study.apply(bus, reader="same trainee"))
    assert anyone["dipstick.scatter"][0] == pytest.approx(study.reproducibility_mm / 1e3, rel=0.2)
    assert same["dipstick.scatter"][0] == pytest.approx(study.repeatability_mm / 1e3, rel=0.02)
    before = inputs(bus).get("dipstick.seat_offset", (0.0, 0.0))[1]
    assert same["dipstick.seat_offset"][1] == pytest.approx(np.hypot(before, study.between_trainees_mm / 1e3), rel=1e-3)
    # Relative uncertainty of a standard deviation with 18 degrees of freedom: 1/sqrt(36) (JCGM 100, E.4.3).
    assert same["dipstick.scatter"][1] / same["dipstick.scatter"][0] == pytest.approx(1 / 6, rel=0.05)
    with pytest.raises(ValueError, match="accepted are"):
        study.apply(bus, reader="nobody")


AB = ["a", "a", "b"]
# arguments; class, code, part of the message
REFUSED = [
    (([], []), fm.LearnError, "learn.too_few", "0 readings"),
    ((["a", "a"], [1, 2]), fm.LearnError, "learn.too_few", "1 trainees at level"),
    ((["a", "b"], [1, 2]), fm.LearnError, "learn.too_few", "repeated readings"),
    ((["a"] * 2001, [1] * 2001), fm.LearnError, "learn.too_many", "2000"),
    ((AB, [1, 2]), fm.LearnError, "learn.lengths_differ", "trainee 3"),
    ((AB, [1, -2, 3]), fm.QuantityError, "quantity.out_of_range", "reading_mm[1]"),
    ((AB, [1, np.inf, 3]), fm.QuantityError, "quantity.not_finite", "reading_mm"),
]


@pytest.mark.parametrize(("arguments", "cls", "code", "part"), REFUSED)
def test_refused(arguments, cls, code, part):
    with pytest.raises(cls) as caught:
        fm.dip_study(*arguments)
    assert caught.value.code == code
    assert part in str(caught.value)
