"""Propagation through Python functions, and its points, against scipy, SALib and closed forms.

The published examples are tested in Rust (src/tests/propagate); here are the binding, NumPy models and other libraries.
"""

import math
import os
import subprocess
import sys

import fillmark as fm
import numpy as np
import pytest
from scipy import stats

M = 65_536
METHODS = ["pseudo-random", "sobol"]


def column(uncertain, **options):
    """Draws of one input."""
    return fm.propagate(lambda x: x, {"x": uncertain}, draws=M, **options).result().draws.values()


# Each distribution with its law in scipy. Samples, the curvilinear trapezoid and PERT have none of their own.
LAWS = [
    (fm.Uncertain.normal(1.0, 2.0), stats.norm(1, 2)),
    (fm.Uncertain.rectangular(-1.0, 3.0), stats.uniform(-1, 4)),
    (fm.Uncertain.triangular(0.0, 1.0, 4.0), stats.triang(0.25, 0, 4)),
    (fm.Uncertain.lognormal(2.0, 0.5), stats.lognorm(0.5, scale=2)),
    (fm.Uncertain.truncated(1.0, 2.0, 0.0, 2.5), stats.truncnorm(-0.5, 0.75, 1, 2)),
    (fm.Uncertain.arcsine(-1.0, 1.0), stats.arcsine(-1, 2)),
    (fm.Uncertain.beta(0.0, 2.0, 0.7, 3.0), stats.beta(0.7, 3, 0, 2)),
    (fm.Uncertain.pert(0.0, 1.0, 4.0), stats.beta(2, 4, 0, 4)),
    (fm.Uncertain.t(1.0, 0.5, 3.0), stats.t(3, 1, 0.5)),
]


@pytest.mark.parametrize(("uncertain", "law"), LAWS)
def test_a_distribution_is_that_of_scipy(uncertain, law):
    for p in (0.001, 0.3, 0.5, 0.9, 0.9999):
        assert uncertain.quantile(p) == pytest.approx(law.ppf(p), rel=1e-9, abs=1e-12)
        assert uncertain.cdf(law.ppf(p)) == pytest.approx(p, rel=1e-9)
    assert uncertain.mean == pytest.approx(law.mean(), rel=1e-9)
    assert uncertain.median == pytest.approx(law.median(), rel=1e-9)
    assert uncertain.standard_deviation == pytest.approx(law.std(), rel=1e-7)
    assert uncertain.interval(0.9) == pytest.approx(law.interval(0.9), rel=1e-9)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize(("uncertain", "law"), LAWS)
def test_draws_follow_the_law(uncertain, law, method):
    # Kolmogorov and Smirnov's test; the seed is fixed. Sobol' points are more even than chance, which it does not mind.
    assert stats.kstest(column(uncertain, method=method), law.cdf).pvalue > 1e-4


def test_a_curvilinear_trapezoid_is_drawn_as_the_guide_draws_it():
    # JCGM 101:2008, 6.4.3.4: a uniform lower limit, its mirror image as the upper limit, a uniform value between them.
    r = np.random.default_rng(1).random((2, M))
    low = -1.3 + 0.6 * r[0]
    drawn = low + (-2 * low) * r[1]
    ours = column(fm.Uncertain.rectangular(-1.0, 1.0, limits_within=0.3))
    assert stats.ks_2samp(drawn, ours).pvalue > 1e-4


def test_arrays_arrive_by_name_in_the_unit_of_the_text():
    seen = {}

    def model(**arrays):
        seen.update(arrays)
        return sum(arrays.values())

    inputs = {"filter.net_volume": fm.Uncertain.normal(0.35, 0.05, "L"), "fill": "5(1) US qt", "exact": 2.0}
    fm.propagate(model, inputs, draws=1000)
    assert {name: (a.dtype, a.ndim) for name, a in seen.items()} == dict.fromkeys(inputs, (np.dtype(float), 1))
    assert seen["filter.net_volume"].mean() == pytest.approx(0.35, abs=0.02)
    assert seen["fill"].mean() == pytest.approx(5.0, abs=0.3)
    assert np.all(seen["exact"] == 2.0)


@pytest.mark.parametrize("method", METHODS)
def test_several_results_and_their_covariance(method):
    def polar(x, y):
        return {"sum": x + y, "difference": x - y}

    inputs = {"x": fm.Uncertain.normal(0, 2), "y": fm.Uncertain.normal(0, 1)}
    both = fm.propagate(polar, inputs, draws=M, method=method)
    assert [r.name for r in both.results] == ["sum", "difference"]
    # cov(x + y, x - y) = var x - var y; its standard error for normal draws sqrt((u v)^2 + cov^2)/sqrt(M).
    assert both.covariance("sum", "difference") == pytest.approx(3.0, abs=4 * math.hypot(5.0, 3.0) / math.sqrt(M))
    assert both.correlation("sum", "difference") == pytest.approx(0.6, abs=0.02)
    expected = np.cov(*both.columns().values())[0, 1]
    assert both.covariance("sum", "difference") == pytest.approx(expected, rel=1e-9)


def test_summaries_are_those_of_numpy():
    found = fm.propagate(lambda x: np.exp(x), {"x": fm.Uncertain.normal(0, 1)}, draws=M).result()
    values = found.draws.values()
    assert found.mean == pytest.approx(values.mean(), rel=1e-12)
    assert found.standard_uncertainty == pytest.approx(values.std(ddof=1), rel=1e-12)
    assert found.interval(0.9) == pytest.approx(np.quantile(values, [0.05, 0.95]), rel=1e-12)
    ordered = np.sort(values)
    steps = int(0.9 * M + 0.5)
    first = np.argmin(ordered[steps:] - ordered[: M - steps])
    assert found.shortest_interval(0.9) == (ordered[first], ordered[first + steps])
    assert found.draws.shortest_interval(0.9) == found.shortest_interval(0.9)
    assert found.standard_error == pytest.approx(values.std(ddof=1) / math.sqrt(M), rel=1e-12)


def test_the_budget_of_a_product():
    inputs = {"a": fm.Uncertain.t(2.0, 0.1, 4), "b": fm.Uncertain.normal(3.0, 0.2), "c": 5.0}
    found = fm.propagate(lambda a, b, c: a * b + c, inputs, draws=M).result()
    first = found.first_order
    assert first.estimate == 11.0
    # JCGM 100: coefficients 3 and 2; u^2 = 0.3^2 + 0.4^2; degrees of freedom u^4/(0.3^4/4).
    assert first.standard_uncertainty == pytest.approx(0.5, rel=1e-9)
    assert first.degrees_of_freedom == pytest.approx(0.5**4 / (0.3**4 / 4), rel=1e-9)
    budget = first.columns()
    assert budget["input"].tolist() == ["a", "b"]
    np.testing.assert_allclose(budget["coefficient"], [3.0, 2.0], rtol=1e-9)
    np.testing.assert_allclose(budget["contribution"], [0.3, 0.4], rtol=1e-9)
    assert list(budget["degrees_of_freedom"]) == [4.0, math.inf]
    assert first.coverage_factor(0.95) == pytest.approx(stats.t.ppf(0.975, 30), rel=1e-9)
    low, high = first.interval(0.95)
    assert high - low == pytest.approx(2 * first.expanded_uncertainty(0.95))
    assert "coefficient" in str(first)
    assert len(str(first).splitlines()) == 4
    valid = found.validity(0.95, 1)
    assert valid["tolerance"] == pytest.approx(0.05)
    assert valid["valid"] is (max(valid["low_difference"], valid["high_difference"]) <= valid["tolerance"])


@pytest.mark.parametrize("method", METHODS)
def test_adaptive_stopping(method):
    inputs = {"x": fm.Uncertain.rectangular(0.1, 1.1)}
    found = fm.propagate(lambda x: np.log(x), inputs, digits=2, method=method)
    assert found.settled is True
    assert found.result().mean == pytest.approx(-0.6649002929, abs=0.005)
    cut = fm.propagate(lambda x: np.log(x), inputs, digits=4, most_draws=200_000, method=method)
    assert cut.settled is False
    assert "not settled" in repr(cut)
    assert fm.propagate(lambda x: x, inputs, draws=16).settled is None


def test_correlations_by_ranks_and_by_scores():
    inputs = {"a": fm.Uncertain.lognormal(1, 1), "b": fm.Uncertain.arcsine(0, 1)}
    for of, expected in [("ranks", 0.6), ("scores", 6 / math.pi * math.asin(0.3))]:
        found = fm.propagate(
            lambda a, b: {"a": a, "b": b}, inputs, draws=M, correlations={("a", "b"): 0.6}, correlation_of=of
        )
        rho = stats.spearmanr(*found.columns().values()).statistic
        assert rho == pytest.approx(expected, abs=4 / math.sqrt(M))


@pytest.mark.parametrize("dimensions", [1, 2, 17, 80])
def test_sobol_points_are_those_of_scipy(dimensions):
    # Scrambling must keep each point in its cell: with 2^k points, the sorted first digits are a permutation of scipy's
    # cells. The unscrambled points themselves are compared with scipy in src/numeric/sobol.rs.
    k = 8
    inputs = {f"x{i}": fm.Uncertain.rectangular(0, 1) for i in range(dimensions)}
    found = fm.propagate(lambda **x: dict(x), inputs, method="sobol", scrambles=2, draws=2 * 2**k)
    for i, ours in enumerate(found.columns().values()):
        theirs = stats.qmc.Sobol(dimensions, scramble=False).random(2**k)[:, i]
        for half in (ours[: 2**k], ours[2**k :]):
            assert sorted((half * 2**k).astype(int)) == sorted((theirs * 2**k).astype(int))
            # Points that share their first digit in scipy share it here: Owen's tree is only relabelled.
            for digits in (1, 3, 5):
                cells = {
                    (a, b)
                    for a, b in zip((theirs * 2**digits).astype(int), (half * 2**digits).astype(int), strict=True)
                }
                assert len(cells) == 2**digits


def test_scrambled_points_converge_faster():
    inputs = {name: fm.Uncertain.normal(0, 1) for name in "abcd"}
    found = {m: fm.propagate(lambda a, b, c, d: a + b + c + d, inputs, method=m).result() for m in METHODS}
    assert found["sobol"].standard_error < 0.1 * found["pseudo-random"].standard_error
    assert abs(found["sobol"].mean) < 4 * found["sobol"].standard_error


# What is refused, the class and a part of the message.
X = {"x": fm.Uncertain.normal(1, 0.1)}
REFUSED = [
    (lambda: fm.propagate(lambda x: x, {}), fm.EstimateError, "there are no inputs"),
    (lambda: fm.propagate(lambda x: x, [1]), TypeError, "is no mapping"),
    (lambda: fm.propagate(lambda x: x, {1: 2.0}), TypeError, "a name is text"),
    (lambda: fm.propagate(lambda x: x, {"x": None}), TypeError, r"inputs\[\"x\"\] = None is neither"),
    (lambda: fm.propagate(lambda x: x, {"x": math.nan}), fm.QuantityError, "x must be finite"),
    (lambda: fm.propagate(lambda x: x, {"x": "4 qt"}), fm.QuantityError, "US qt"),
    (lambda: fm.propagate(lambda x: x, X, correlations={("x", "y"): 0.5}), fm.EstimateError, "no input y"),
    (lambda: fm.propagate(lambda x: x, X, correlations={"x": 0.5}), TypeError, "a pair of names"),
    (lambda: fm.propagate(lambda x: x, X, correlations={("x", "y"): "a"}), TypeError, "a pair of names"),
    (lambda: fm.propagate(lambda x: x, X, correlation_of="values"), ValueError, 'accepted are "scores"'),
    (lambda: fm.propagate(lambda x: x, X, method="halton"), ValueError, 'accepted are "pseudo-random"'),
    (lambda: fm.propagate(lambda x: x, X, draws=-1), fm.EstimateError, "draws = -1"),
    (lambda: fm.propagate(lambda x: x, X, digits=-1), fm.EstimateError, "digits = 0"),
    (lambda: fm.propagate(lambda x: x, X, method="sobol", scrambles=-1), fm.EstimateError, "scrambles = 0"),
    (lambda: fm.propagate(lambda x: x, X, method="sobol", draws=100_000), fm.EstimateError, "take 65536 or 131072"),
    (lambda: fm.propagate(lambda x: x[:1], X), fm.EstimateError, "result with 1 values for 2 rows"),
    (lambda: fm.propagate(lambda x: 3.0, X), fm.EstimateError, "result with 1 values for 2 rows"),
    (lambda: fm.propagate(lambda x: {}, X), fm.EstimateError, "the model has no results"),
    (lambda: fm.propagate(lambda x: "text", X), TypeError, "wanted is an array of numbers"),
    (lambda: fm.propagate(lambda x: x / 0.0, X), fm.EstimateError, "result is inf"),
    (lambda: fm.propagate(lambda x: {f"y{len(x)}": x}, X), fm.EstimateError, "there is no result"),
    (lambda: fm.propagate(lambda x: x, X, draws=100).result("y"), fm.EstimateError, "the results are result"),
    (lambda: fm.propagate(lambda x: x, X, draws=100).result().interval(1.0), fm.QuantityError, "probability"),
    (lambda: fm.propagate(lambda x: x, X, draws=100).result().validity(digits=0), fm.QuantityError, "digits = 0"),
    (lambda: fm.sensitivity(lambda x: x, X, of="y"), fm.EstimateError, 'no result "y"'),
    (lambda: fm.sensitivity(lambda x: 0 * x, X), fm.EstimateError, "does not vary"),
    (lambda: fm.sensitivity(lambda x: x, X, draws=100), fm.EstimateError, "take 64 or 128"),
    (lambda: fm.sensitivity(lambda x: x, X, replicates=-2), fm.EstimateError, "replicates = 0"),
    (lambda: fm.tornado(lambda x: x, X, coverage=2.0), fm.EstimateError, "coverage = 2"),
]


@pytest.mark.filterwarnings("ignore:divide by zero")
@pytest.mark.parametrize(("call", "cls", "says"), REFUSED)
def test_refusals(call, cls, says):
    with pytest.raises(cls, match=says):
        call()


def test_an_error_of_the_model_comes_out_as_it_is():
    def model(x):
        raise ZeroDivisionError("mine")

    with pytest.raises(ZeroDivisionError, match="mine"):
        fm.propagate(model, X)


def test_progress_is_told_and_may_stop_the_work():
    told = []
    fm.propagate(lambda x: x, X, draws=20_000, progress=lambda done, asked: told.append((done, asked)))
    assert told == [(8192, 20_000), (16_384, 20_000), (20_000, 20_000)]

    def enough(done, asked):
        raise StopIteration(done)

    with pytest.raises(StopIteration):
        fm.propagate(lambda x: x, X, draws=20_000, progress=enough)


INTERRUPTED = """
import os, signal, threading, time
import fillmark as fm
inputs = {name: fm.Uncertain.normal(0, 1) for name in "abcdefgh"}
def model(**x):
    return sum(x.values())
sent = []
def press():
    sent.append(time.perf_counter())
    os.kill(os.getpid(), signal.SIGINT)
threading.Timer(0.5, press).start()
try:
    CALL
except KeyboardInterrupt:
    print(time.perf_counter() - sent[0])
"""


def run(code, **environment):
    path = os.pathsep.join(p for p in sys.path if p)
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        timeout=120,
        env={**os.environ, "PYTHONPATH": path, **environment},
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize(
    "call", ["fm.propagate(model, inputs, draws=100_000_000)", "fm.sensitivity(model, inputs, draws=2**20)"]
)
@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent another way there")
def test_ctrl_c_stops_the_work(call):
    # Uninterrupted, either takes more than ten seconds. The best of three, as others may be using the machine.
    waits = []
    while len(waits) < 3 and not any(wait < 0.3 for wait in waits):
        waits.append(float(run(INTERRUPTED.replace("CALL", call))))
    assert min(waits) < 0.3


BITS = """
import hashlib
import fillmark as fm
inputs = {"a": fm.Uncertain.normal(0, 1), "b": fm.Uncertain.pert(0, 1, 3), "c": "0.3 .. 0.4 L"}
found = fm.propagate(lambda a, b, c: a + b * c, inputs, draws=2**14, method=METHOD, correlations={("a", "b"): 0.5})
print(hashlib.sha256(found.result().draws.values().tobytes()).hexdigest())
"""


@pytest.mark.parametrize("method", METHODS)
def test_a_seed_gives_the_same_bits_on_any_number_of_threads(method):
    code = BITS.replace("METHOD", repr(method))
    assert len({run(code, RAYON_NUM_THREADS=threads) for threads in ("1", "2", "7")}) == 1


def ishigami(x1, x2, x3):
    return np.sin(x1) + 7 * np.sin(x2) ** 2 + 0.1 * x3**4 * np.sin(x1)


def test_indices_beside_salib():
    from SALib.analyze import sobol as analyse
    from SALib.sample import sobol as sample

    angle = fm.Uncertain.rectangular(-math.pi, math.pi)
    ours = fm.sensitivity(ishigami, {"x1": angle, "x2": angle, "x3": angle})
    problem = {"num_vars": 3, "names": ["x1", "x2", "x3"], "bounds": [[-math.pi, math.pi]] * 3}
    points = sample.sample(problem, 2**13, calc_second_order=False, seed=1)
    theirs = analyse.analyze(problem, ishigami(*points.T), calc_second_order=False, seed=1)
    found = ours.columns()
    # SALib's own error with so many points is some 3e-3; the exact values are tested in Rust to 2e-3.
    np.testing.assert_allclose(found["first"], theirs["S1"], atol=6e-3)
    np.testing.assert_allclose(found["total"], theirs["ST"], atol=6e-3)
    # Ishigami and Homma 1990, a = 7 and b = 0.1, closed form (computed).
    exact_first, exact_total = [0.313905, 0.442411, 0.0], [0.557589, 0.442411, 0.243684]
    np.testing.assert_allclose(found["first"], exact_first, atol=2e-3)
    np.testing.assert_allclose(found["total"], exact_total, atol=2e-3)
    assert "share of the variance of result" in str(ours)


def test_dependent_inputs_are_one_group():
    inputs = {name: fm.Uncertain.normal(0, 1) for name in "abc"}
    found = fm.sensitivity(lambda a, b, c: {"y": a + b + c}, inputs, of="y", correlations={("a", "c"): 0.5})
    assert found.inputs == [["a", "c"], ["b"]]
    assert found.columns()["input"].tolist() == ["a + c", "b"]
    np.testing.assert_allclose(found.columns()["first"], [0.75, 0.25], atol=2e-3)
    assert (found.result, found.mean) == ("y", pytest.approx(0.0, abs=1e-3))
    assert found.standard_uncertainty == pytest.approx(2.0, rel=1e-3)


def test_tornado():
    inputs = {"a": fm.Uncertain.rectangular(0, 1), "b": fm.Uncertain.normal(0, 3), "c": 1.0}
    found = fm.tornado(lambda a, b, c: a - b + c, inputs)
    columns = found.columns()
    assert columns["input"].tolist() == ["b", "a"]
    np.testing.assert_allclose(columns["low"], [stats.norm.ppf(0.025, 0, 3), 0.025], rtol=1e-12)
    np.testing.assert_allclose(columns["at_high"], [1.5 - stats.norm.ppf(0.975, 0, 3), 1.975], rtol=1e-12)
    assert found.nominal == 1.5
    assert "at nominal values" in str(found)


def test_tables_hold_samples_as_lists():
    circuit = fm.Circuit.demo("deck-generator").replace({"filter.net_volume": "samples(0.38, 0.40, 0.43) L"})
    assert fm.Circuit.loads(circuit.to_toml()) == circuit
    table = {"t": {"estimate": 0.4, "standard_uncertainty": 0.05, "degrees_of_freedom": 4, "unit": "L"}}
    tabled = fm.Circuit.loads(circuit.to_toml().replace('"samples(0.38, 0.40, 0.43) L"', inline(table)))
    assert fm.Circuit.loads(tabled.to_toml()) == tabled
    draws = fm.predict(tabled, [fm.ChangeFilter(), fm.Run(minutes=1), fm.Read(label="dip")], draws=100)
    assert draws.reading("dip").mm.standard_uncertainty > 0


def inline(table):
    if isinstance(table, dict):
        return "{ " + ", ".join(f"{key} = {inline(value)}" for key, value in table.items()) + " }"
    return repr(table).replace("'", '"')
