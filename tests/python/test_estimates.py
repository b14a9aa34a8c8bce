"""Predictions and plans against closed forms, on a box circuit whose reading is linear in every input.

Everything stands at 20 degC, so no volume changes. After a drain the sump holds the heel H; a pour of the stated V with
a jug of scale k brings it to H + k V; an upright blade whose tip is 5 mm above the floor of area A then reads
s = (H + k V) / A - 5 mm. Tolerances are four Monte Carlo standard errors of M draws (JCGM 101:2008 propagates by draws;
the errors are textbook sampling theory):

    mean                     u / sqrt(M)
    standard deviation       u sqrt((kurtosis - 1) / (4 M)); kurtosis 3 (normal) or 1.8 (rectangular)
    quantile of order q      sqrt(q (1 - q) / M) / density there
    share p of the draws     sqrt(p (1 - p) / M)
"""

import math
import os
import subprocess
import sys
from statistics import NormalDist

import fillmark as fm
import numpy as np
import pytest
from services import BOX, box

M = 100_000
AREA_MM2 = 300.0 * 200.0
TIP_MM = 5.0
BARE = (
    ('[filter]\nnet_volume = "0.4 L"\n\n[stores.head]\nrunning = "0.3 L"\n\n', ""),
    ('max = "50 mm"', 'max = "50 mm"\nscatter = "0 mm"'),
)
NORMAL, RECTANGULAR = 3.0, 1.8
FILL = [fm.Drain(minutes=10), fm.Pour(3.0, measured_with="jug"), fm.Read(label="dip")]


def reading_mm(heel_l, poured_l):
    return (heel_l + poured_l) * 1e6 / AREA_MM2 - TIP_MM


def check(draws, mean, u, kurtosis, density, ends):
    """Mean, standard deviation and the ends of the 95 % interval, each within four standard errors."""
    assert draws.mean == pytest.approx(mean, rel=0, abs=4 * u / math.sqrt(M))
    assert draws.standard_uncertainty == pytest.approx(u, rel=0, abs=4 * u * math.sqrt((kurtosis - 1) / (4 * M)))
    for found, end in zip(draws.interval(0.95), ends, strict=True):
        assert found == pytest.approx(end, rel=0, abs=4 * math.sqrt(0.025 * 0.975 / M) / density(end))


def test_a_normal_jug():
    circuit = box(*BARE, ("scale = 1", 'scale = "1.00(2)"'))
    mean, u = reading_mm(0.2, 3.0), 0.02 * 3.0e6 / AREA_MM2
    law = NormalDist(mean, u)
    draws = fm.predict(circuit, FILL, draws=M, seed=1).reading("dip").mm
    check(draws, mean, u, NORMAL, law.pdf, (law.inv_cdf(0.025), law.inv_cdf(0.975)))


def test_a_rectangular_heel():
    circuit = box(*BARE, ('heel = "0.2 L"', 'heel = "0.1 .. 0.5 L"'))
    low, high = reading_mm(0.1, 3.0), reading_mm(0.5, 3.0)
    width = high - low
    draws = fm.predict(circuit, FILL, draws=M, seed=2).reading("dip").mm
    ends = (low + 0.025 * width, high - 0.025 * width)
    check(draws, 0.5 * (low + high), width / math.sqrt(12), RECTANGULAR, lambda _: 1.0 / width, ends)
    values = draws.values()
    assert low <= values.min() < low + 0.001 * width
    assert high - 0.001 * width < values.max() <= high


def test_the_sticks_noise_and_the_jug_add_in_quadrature():
    circuit = box(*BARE[:1], ('max = "50 mm"', 'max = "50 mm"\nscatter = "1.5 mm"'), ("scale = 1", 'scale = "1.00(2)"'))
    mean, u = reading_mm(0.2, 3.0), math.hypot(1.5, 0.02 * 3.0e6 / AREA_MM2)
    law = NormalDist(mean, u)
    prediction = fm.predict(circuit, FILL, draws=M, seed=3)
    check(prediction.reading("dip").mm, mean, u, NORMAL, law.pdf, (law.inv_cdf(0.025), law.inv_cdf(0.975)))
    # The verdict is noise-free: the noise of the reading does not reach it.
    assert prediction.drained_back_l.standard_uncertainty == pytest.approx(0.06, rel=0, abs=4 * 0.06 / math.sqrt(2 * M))


def test_two_pours_with_one_jug_share_its_error():
    circuit = box(*BARE, ("scale = 1", 'scale = "1.00(2)"'))
    twice = [fm.Drain(minutes=10), *[fm.Pour(1.5, measured_with="jug")] * 2, fm.Read(label="dip")]
    once = fm.predict(circuit, FILL, draws=M, seed=1).reading("dip").mm.values()
    np.testing.assert_allclose(fm.predict(circuit, twice, draws=M, seed=1).reading("dip").mm.values(), once, rtol=1e-12)


@pytest.mark.parametrize("poured_l", [2.9, 3.0, 3.05, 3.1, 3.25])
def test_over_max_is_the_normal_tail(poured_l):
    # Over MAX when 0.2 L + k V exceeds the 3.3 L below MAX: P = 1 - cdf(3.3 L) of N(0.2 + V, 0.02 V).
    circuit = box(*BARE, ("scale = 1", 'scale = "1.00(2)"'))
    events = [fm.Drain(minutes=10), fm.Pour(poured_l, measured_with="jug")]
    expected = 1.0 - NormalDist(0.2 + poured_l, 0.02 * poured_l).cdf(3.3)
    prediction = fm.predict(circuit, events, draws=M, seed=4)
    assert prediction.probability_over_max == pytest.approx(
        expected, rel=0, abs=4 * math.sqrt(expected * (1 - expected) / M)
    )
    assert prediction.bent == 0


def test_a_draw_below_nothing_counts_as_nothing():
    # N(0.02, 0.02) L of prime and of kept liquid is negative in a sixth of the draws; masses are not.
    circuit = box(("[stores.head]\n", '[stores.head]\nkept = "0.02(2) L"\n'))
    events = [fm.Drain(minutes=10), fm.RemoveFilter(), fm.FitFilter("0.02(2) L")]
    drained = fm.predict(circuit, events, draws=20_000, seed=5).drained_back_l.values()
    # heel 0.2 L and head left over, less 0.4 L of filter, plus prime and kept less kept: the prime is never negative.
    exact = fm.predict(box(), [fm.Drain(minutes=10), fm.RemoveFilter(), fm.FitFilter(0.0)], draws=1).drained_back_l
    assert drained.min() == pytest.approx(exact.mean, abs=1e-12)
    assert np.mean(drained <= exact.mean + 1e-12) == pytest.approx(NormalDist().cdf(-1.0), abs=0.02)


PLANS = [
    (0.05, 0.1, [fm.Drain(minutes=10), fm.ChangeFilter()], [fm.Run(minutes=1), fm.Rest(minutes=5)]),
    (0.01, 0.25, [fm.Drain(minutes=10)], [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="dip")]),
    (0.5, 0.05, [fm.Withdraw(0.5)], []),
    (0.2, 0.1, [], []),
]


@pytest.mark.parametrize(("risk", "step_l", "done", "then"), PLANS)
def test_the_first_pour_is_the_largest_step_within_the_risk(risk, step_l, done, then):
    # Every step that fits the sump is tried, not only those that bisection visits.
    circuit = box(
        ("scale = 1", 'scale = "1.00(2)"'),
        ('heel = "0.2 L"', 'heel = "0.20(5) L"'),
        ('net_volume = "0.4 L"', 'net_volume = "0.40(3) L"'),
    )
    plan = fm.plan_refill(circuit, done=done, then=then, risk_over_max=risk, jug_step_l=step_l, draws=2000, seed=6)
    within, risks, refused = [], [], None
    for steps in range(200):
        events = [*done, fm.Pour(round(steps * step_l, 6), measured_with="jug"), fm.Read(), *then]
        try:
            over = fm.predict(circuit, events, draws=2000, seed=6).probability_over_max
        except fm.ServiceError as error:
            refused = error.code
            break
        risks.append(over)
        if over <= risk:
            within.append(steps)
    assert refused == "service.pour_beyond_ullage"
    assert risks == sorted(risks)
    largest = max(within, default=0)
    assert plan.first_pour_l == pytest.approx(largest * step_l, abs=1e-9)
    assert plan.probability_over_max == risks[largest]


def test_a_plan_for_a_tank_of_900_litres():
    # Doubling the pour passes 1000 L, the most a pour may be: that must end the search, not the plan.
    circuit = box(
        ('length = "300 mm"', 'length = "1000 mm"'),
        ('width = "200 mm"', 'width = "1000 mm"'),
        ('height = "100 mm"', 'height = "900 mm"'),
        ("path_mm = [[0, 0, 5], [0, 0, 105]]", "path_mm = [[0, 0, 5], [0, 0, 890]]"),
        ('max = "50 mm"', 'max = "845 mm"'),
        ('heel = "0.2 L"', 'heel = "15 L"'),
    )
    plan = fm.plan_refill(circuit, done=[fm.Drain(hours=1)], then=[], jug_step_l=20, draws=200)
    assert plan.first_pour_l == 820.0  # 850 L below MAX, 15 L of them left, in steps of 20 L


def run(code, **environment):
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        timeout=120,
        env={**environment_of(), **environment},
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def environment_of():
    return {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}


BITS = f"""
import hashlib
import fillmark as fm
circuit = fm.Circuit.loads({BOX!r}).replace({{"instruments.jug.scale": "1.00(2)", "plugs.main.heel": "0.20(5) L"}})
events = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(3.5, measured_with="jug"), fm.Run(minutes=1), fm.Read()]
p = fm.predict(circuit, events, draws=20_001, seed=SEED)
print(hashlib.sha256(p.readings[0].mm.values().tobytes() + p.drained_back_l.values().tobytes()).hexdigest())
"""


def test_a_seed_gives_the_same_bits_on_any_number_of_threads():
    bits = {run(BITS.replace("SEED", "7"), RAYON_NUM_THREADS=threads) for threads in ("1", "2", "7")}
    assert len(bits) == 1
    assert run(BITS.replace("SEED", "8")) not in bits


INTERRUPTED = """
import os, signal, threading, time
import fillmark as fm
bus = fm.Circuit.demo("shuttle-bus")
events = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(6.9), fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read()]
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


@pytest.mark.parametrize(
    "call",
    [
        "fm.predict(bus, events, draws=20_000_000)",
        "fm.plan_refill(bus, done=events[:2], then=events[3:], draws=10_000_000)",
    ],
)
@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent another way there")
def test_ctrl_c_stops_a_prediction(call):
    # Uninterrupted, either takes many seconds; alone on a machine it stops within 0.3 s. The best of three, as the
    # other tests use the machine as well.
    waits = []
    while len(waits) < 3 and not any(wait < 0.5 for wait in waits):
        waits.append(float(run(INTERRUPTED.replace("CALL", call))))
    assert min(waits) < 2.0


def test_a_plan_that_allows_no_pour_says_so():
    """A filter primed full with cold oil holds more mass than the warm one that went: over MAX already."""
    generator = fm.Circuit.demo("deck-generator").replace({"filter.net_volume": "0.30 L"})
    cold = fm.ChangeFilter(primed_l=0.30, temperature_c=-20)
    plan = fm.plan_refill(generator, done=[cold], then=[fm.Run(minutes=1)], draws=500)
    assert plan.first_pour_l == 0.0
    assert plan.probability_over_max == 1.0
    assert "even without a pour the risk is higher: add nothing" in str(plan)
