"""Diagnoses of incidents whose truth is drawn from the priors and carried out by the model in `tests/reference`.

If cause and sizes are drawn from the priors, and the record is simulated from them, then over many records a cause
that is given the probability p is the true one in a share p of them, and the true size has a uniform rank among
draws of its posterior (simulation-based calibration: Cook, Gelman and Rubin 2006, Journal of Computational and
Graphical Statistics 15:675). That holds as well for the records that are kept because their reading lies above MAX, as
the choice depends on the reading alone.
"""

from pathlib import Path

import fillmark as fm
import numpy as np
import pytest
import truths
from scipy import stats
from services import box

REPORTS = Path(__file__).resolve().parents[2] / "docs" / "validation"
CIRCUIT = box(("scale = 1\n", 'scale = "1.00(2)"\n'), ('heel = "0.2 L"', 'heel = "0.20(3) L"'))
TOLD = [
    fm.Drain(minutes=10),
    fm.ChangeFilter(),
    fm.Pour(truths.POURED_L, measured_with="jug"),
    fm.Run(minutes=2),
    fm.Rest(minutes=20),
]
# Probability of a false alarm of a whole table of tests, shared out among them (Bonferroni).
ALARM = 1e-3
MANY = 4000


def diagnosed(incidents, **options):
    """Of every incident: the probability given to each family, and where its true size stands (see `place`)."""
    weights = dict.fromkeys(fm.cause_priors("reads_over"), 0.0) | truths.WEIGHTS
    records = [
        fm.Record(
            TOLD,
            [one.reading_mm],
            complaint="reads_over",
            drained_l=fm.Uncertain.normal(one.drained_l, truths.DRAINED_SD_L, "L"),
            signs=one.signs,
        )
        for one in incidents
    ]
    verdicts = fm.diagnose_many(CIRCUIT, records, priors=weights, pairs=False, **options)
    return [
        ([verdict.probability_of(name) for name in truths.FAMILIES], place(one, verdict))
        for one, verdict in zip(incidents, verdicts, strict=True)
    ]


def place(one, verdict):
    """Where the true size stands among the 39 quantiles of its posterior given the true cause, 0 to 39; or None."""
    if one.cause not in truths.SIZES:
        return None
    cause = next(c for c in verdict.causes if c.name == one.cause)
    at = cause.sizes["name"].tolist().index(truths.SIZES[one.cause])
    return int(np.searchsorted(cause.sizes["quantiles"][at], one.size))


def probabilities(incidents, found):
    """What was given to every family, and which of them it was; one row an incident."""
    given = np.array([probabilities for probabilities, _ in found])
    true = np.array([[name == one.cause for name in truths.FAMILIES] for one in incidents])
    return given, true


def reliability(given, true):
    """For classes of a tenth: how many, their mean, how often right, standard error of that if they hold."""
    rows = []
    place = np.minimum((given * 10).astype(int), 9)
    for k in range(10):
        p, right = given[place == k], true[place == k]
        if p.size:
            rows.append((k / 10, p.size, p.mean(), right.mean(), np.sqrt((p * (1 - p)).sum()) / p.size))
    return rows


def ranks(incidents, found):
    """For each family with a size: the places of the truths."""
    places = {}
    for one, (_, at) in zip(incidents, found, strict=True):
        if at is not None:
            places.setdefault(one.cause, []).append(at)
    return {name: np.array(of) for name, of in places.items()}


def p_values(places):
    """That ranks are uniform (chi-squared of ten classes), and that the 95 % interval holds 95 % (binomial)."""
    counts = np.bincount(places // 4, minlength=10)
    inside = int(((places > 0) & (places < 39)).sum())
    return stats.chisquare(counts).pvalue, stats.binomtest(inside, len(places), 0.95).pvalue, inside / len(places)


def brier(given, true):
    return float(((given - true) ** 2).sum(axis=1).mean())


def scores(incidents, given, true):
    """Brier scores: the diagnosis, the priors alone, and a rule with thresholds."""
    shares = true.mean(axis=0)  # of the records that were kept: the best that can be said without reading one
    rule = np.array([[name == truths.rule_of_thumb(one) for name in truths.FAMILIES] for one in incidents], float)
    leading = given.argmax(axis=1) == true.argmax(axis=1)
    return {
        "diagnosis": (brier(given, true), leading.mean()),
        "priors alone": (brier(shares, true), true[:, shares.argmax()].mean()),
        "rule with thresholds": (brier(rule, true), (rule * true).sum(axis=1).mean()),
    }


def check(incidents, found, least):
    given, true = probabilities(incidents, found)
    assert true.sum(axis=0).min() >= least, dict(zip(truths.FAMILIES, true.sum(axis=0), strict=True))
    rows = reliability(given, true)
    limit = stats.norm.isf(ALARM / 2 / len(rows))
    for low, count, mean, right, error in rows:
        # A half record more: the normal law stands for a sum of few yes and no.
        assert abs(right - mean) <= limit * error + 0.5 / count, (low, count, mean, right, error)
    sizes = ranks(incidents, found)
    assert set(sizes) == set(truths.SIZES)
    for name, places in sizes.items():
        uniform, covered, _ = p_values(places)
        assert min(uniform, covered) > ALARM / 2 / len(sizes), (name, uniform, covered, np.bincount(places // 4))
    score = scores(incidents, given, true)
    assert score["diagnosis"][0] < score["rule with thresholds"][0]
    assert score["diagnosis"][0] < score["priors alone"][0]


def test_probabilities_and_sizes_are_calibrated():
    incidents = truths.kept(1, 720)
    check(incidents, diagnosed(incidents, particles=64, replicates=2), least=50)


def test_the_tests_of_calibration_can_fail():
    """Probabilities that are too bold, and intervals that are too narrow, are found."""
    rng = np.random.default_rng(1)
    p = rng.random((4000, 1))
    true = rng.random((4000, 1)) < 0.5 + 0.7 * (p - 0.5)
    assert any(abs(right - mean) > 4 * error for _, _, mean, right, error in reliability(p, true))
    narrow = np.clip(np.round(19.5 + 1.5 * 40 * (rng.random(400) - 0.5)), 0, 39).astype(int)
    assert min(p_values(narrow)[:2]) < ALARM / 14


@pytest.mark.slow
def test_probabilities_and_sizes_are_calibrated_over_many():
    incidents = truths.kept(2, MANY)
    found = diagnosed(incidents)
    report(incidents, found)
    check(incidents, found, least=250)


def report(incidents, found):
    given, true = probabilities(incidents, found)
    count = f"{len(incidents):,}" if len(incidents) == MANY else f"The first {len(incidents):,} of {MANY:,}"
    lines = [
        HEAD.replace("COUNT", count),
        "| probability | how many | mean | right | standard error |",
        "|---|---:|---:|---:|---:|",
    ]
    for low, count, mean, right, error in reliability(given, true):
        lines.append(f"| {low:.1f} to {low + 0.1:.1f} | {count:,} | {mean:.3f} | {right:.3f} | {error:.3f} |")
    lines += ["", SIZES, "| cause | incidents | in the 95 % interval | p of that | p of uniform ranks |"]
    lines.append("|---|---:|---:|---:|---:|")
    for name, places in ranks(incidents, found).items():
        uniform, covered, share = p_values(places)
        lines.append(f"| {name} | {len(places)} | {share:.3f} | {covered:.2f} | {uniform:.2f} |")
    lines += ["", SCORES, "| | Brier score | leading cause right |", "|---|---:|---:|"]
    lines += [f"| {name} | {b:.3f} | {r:.3f} |" for name, (b, r) in scores(incidents, given, true).items()]
    lines += ["", "| cause | incidents | leads | mean probability |", "|---|---:|---:|---:|"]
    for k, name in enumerate(truths.FAMILIES):
        of = true[:, k]
        led = given[of].argmax(axis=1) == k
        lines.append(f"| {name} | {of.sum()} | {led.mean():.2f} | {given[of, k].mean():.2f} |")
    REPORTS.mkdir(parents=True, exist_ok=True)
    (REPORTS / "explain_calibration.md").write_text("\n".join([*lines, ""]), encoding="utf-8")


HEAD = """\
# Diagnoses of known causes

Written by `pytest -m slow tests/python/test_explain_calibration.py` (part of `make validate`).

COUNT incidents on a box sump that read over MAX: cause by weight, sizes from the priors of the causes, jug 2 %, heel
0.03 L (NumPy, `default_rng(2)`), carried out by the independent model of `tests/reference`; seen were the reading (1
mm), what was drained (0.1 L), whether a second dip differs and whether the filter is the old one, 2 % of the numbers
simply mistaken. Diagnosed with the same weights, without pairs, 128 particles, up to 8 replicates.

Probabilities of all causes of all incidents by classes of a tenth: what was given in the mean, how often it was right,
and the standard error of that if the probabilities hold.
"""
SIZES = """\
Sizes: the true size among the quantiles of its posterior, given the true cause. *p*: probability of a result at least
as odd if intervals and ranks hold; of the fourteen, one below 0.07 is expected.
"""
SCORES = """\
Brier score (sum over causes of the squared error of the probability, in the mean; 0 is perfect, 2 certain and wrong).
*Priors alone*: the share of each cause among these records, whatever is read. *Rule with thresholds*: what was looked
for first, then the pan short by 0.2 L, then scatter up to 0.2 span over, a top-up up to 0.4, another variant up to 0.6,
beyond it a unit slip; its answer counts as certain.
"""
