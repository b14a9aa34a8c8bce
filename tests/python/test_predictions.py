"""Predictions and questions to a service from Python; closed forms are tested in Rust (src/tests/predicted)."""

import itertools
import math
import os
import pickle
import subprocess
import sys
import textwrap

import fillmark as fm
import numpy as np
import pytest
from services import box

HEEL, JUG = "plugs.main.heel", "instruments.jug.scale"
FILL = [fm.Drain(minutes=10), fm.Pour(2.0, measured_with="jug"), fm.Read(label="dip")]


def circuit(*changes):
    """The box with an uncertain heel (0.05 L) and jug (0.02 of what it measures)."""
    bare = ('[filter]\nnet_volume = "0.4 L"\n\n[stores.head]\nrunning = "0.3 L"\n\n', "")
    uncertain = (("scale = 1", 'scale = "1.00(2)"'), ('heel = "0.2 L"', 'heel = "0.20(5) L"'))
    still = ('max = "50 mm"', 'max = "50 mm"\nscatter = "0 mm"')
    return box(bare, *uncertain, still, *changes)


def test_correlated_inputs():
    tied = fm.predict(circuit(), FILL, draws=2**16, correlations={(HEEL, JUG): 0.9})
    exact = math.sqrt(0.05**2 + 0.04**2 + 2 * 0.9 * 0.05 * 0.04)
    u = tied.drained_back_l.standard_uncertainty
    assert u == pytest.approx(exact, rel=4 / math.sqrt(2 * 2**16))
    assert "correlations={('plugs.main.heel', 'instruments.jug.scale'): 0.9}" in repr(tied)
    assert pickle.loads(pickle.dumps(tied)) == tied
    with pytest.raises(fm.EstimateError, match="no input x"):
        fm.predict(circuit(), FILL, correlations={("x", JUG): 0.5})


def test_sobol_points_and_digits():
    sobol = fm.predict(circuit(), FILL, method="sobol")
    assert sobol.draws == 16 * 8192
    assert sobol.drained_back_l.mean == pytest.approx(2.2, abs=2e-5)
    for method in ("pseudo-random", "sobol"):
        found = fm.predict(circuit(), FILL, digits=2, method=method)
        assert found.settled
        assert found.draws >= 80_000
        assert pickle.loads(pickle.dumps(found)) == found
        cut = fm.predict(circuit(), FILL, digits=4, most_draws=150_000, method=method)
        assert cut.settled is False
        assert "not settled" in str(cut)
    assert sobol.settled is None


def test_a_prediction_prints_what_it_rests_on():
    p = fm.predict(
        fm.Circuit.demo("shuttle-bus"), [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="dip")], draws=500
    )
    text = str(p)
    assert "if the stated uncertainties are right" in text
    assert "rests on judgement inputs" in text
    assert p.judgement_share == pytest.approx(0.0, abs=1e-6)  # it starts at MAX, whatever the stores hold
    assert 0.0 < p.reading("dip").judgement_share < 0.5
    assert all(0.0 <= r.judgement_share <= 1.0 for r in p.readings)
    assert any(path.startswith("stores.") for path in p.judgement_inputs)
    assert p.columns()["under_min"].mean() == p.probability_under_min


def test_an_assessment_says_what_it_rests_on():
    judged = circuit(("format = 1", 'format = 1\njudgement = ["plugs"]'))
    found = fm.assess(judged, FILL, draws=500)
    assert found.judgement_share == pytest.approx(0.05**2 / (0.05**2 + 0.04**2), abs=0.06)
    assert "rests on judgement inputs" in str(found)


def test_covariances_are_those_of_numpy():
    events = [*FILL, fm.Pour(0.5, measured_with="jug"), fm.Read(label="again")]
    p = fm.predict(circuit(("scatter", "scatter"), ('"0 mm"', '"1 mm"')), events, draws=5000)
    mm = np.array([r.mm.values() for r in p.readings])
    np.testing.assert_allclose(p.covariance_mm2(), np.cov(mm), rtol=1e-10)
    np.testing.assert_allclose(p.correlation(), np.corrcoef(mm), rtol=1e-10)
    assert p.covariance_mm2().shape == (2, 2)


def test_progress_is_told_and_may_refuse():
    told = []
    p = fm.predict(
        fm.Circuit.demo("shuttle-bus"), [fm.Read()], draws=300_000, progress=lambda *so_far: told.append(so_far)
    )
    assert told[-1] == (p.draws, p.draws)
    assert all(a[0] < b[0] for a, b in itertools.pairwise(told))
    assert {asked for _, asked in told} == {p.draws}

    def enough(_done, _asked):
        raise LookupError("enough")

    with pytest.raises(LookupError, match="enough"):
        fm.predict(fm.Circuit.demo("shuttle-bus"), [fm.Read()], draws=2_000_000, progress=enough)


CALLS = [
    "fm.predict(bus, [fm.Read()], draws=50_000_000)",
    "fm.sensitivity(bus, [fm.Read()], of='0', draws=2**18)",
    "fm.worth_measuring(bus, [fm.Read()], of='0', draws=2**18)",
    "fm.propagate(bus, [fm.Read()], draws=50_000_000)",
    "fm.wait_advice(bus, [fm.Run(minutes=1)], draws=5_000_000)",
]


@pytest.mark.skipif(os.name == "nt", reason="signals are sent another way there")
@pytest.mark.parametrize("call", CALLS)
def test_ctrl_c_stops_within_three_tenths_of_a_second(call):
    code = f"""
    import os, signal, threading, time
    import fillmark as fm

    bus = fm.Circuit.demo("shuttle-bus")
    fm.predict(bus, [fm.Read()], draws=10)
    sent, free = [], []

    def press():
        time.sleep(0.4)
        began = time.perf_counter()
        for _ in range(1000):  # other threads run meanwhile
            pass
        free.append(time.perf_counter() - began)
        sent.append(time.perf_counter())
        os.kill(os.getpid(), signal.SIGINT)

    threading.Thread(target=press).start()
    try:
        {call}
    except KeyboardInterrupt:
        print(time.perf_counter() - sent[0], free[0])
    """
    done = subprocess.run([sys.executable, "-c", textwrap.dedent(code)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    waited, free = map(float, done.stdout.split())
    assert waited < 0.3
    assert free < 0.3


def test_shares_of_a_service():
    found = fm.sensitivity(circuit(), FILL, of="final litres")
    columns = found.columns()
    exact = {HEEL: 0.05**2, JUG: 0.04**2}
    for name, square in exact.items():
        row = columns["input"].tolist().index(name)
        assert columns["total"][row] == pytest.approx(square / sum(exact.values()), abs=2e-3)
    assert columns["judgement"].tolist() == [False] * len(columns["input"])
    judged = fm.sensitivity(circuit(("format = 1", 'format = 1\njudgement = ["plugs"]')), FILL, draws=64)
    assert dict(zip(judged.columns()["input"], judged.columns()["judgement"], strict=True))[HEEL]
    assert "judgement" in str(judged)
    assert pickle.loads(pickle.dumps(judged)) == judged
    tied = fm.sensitivity(circuit(), FILL, draws=64, correlations={(HEEL, JUG): 0.5})
    assert [HEEL, JUG] in tied.inputs or [JUG, HEEL] in tied.inputs
    with pytest.raises(fm.EstimateError, match='no result "second"'):
        fm.sensitivity(circuit(), FILL, of="second")


def test_the_most_worthwhile_measurement():
    found = fm.worth_measuring(circuit(), FILL)
    columns = found.columns()
    assert columns["input"][:2].tolist() == [HEEL, JUG]
    share = 0.05**2 / (0.05**2 + 0.04**2)
    assert columns["known"][0] == pytest.approx(share, abs=3e-3)
    assert columns["halved"][0] == pytest.approx(0.75 * share, abs=3e-3)
    assert (columns["standard_uncertainty"][0], columns["unit"][:2].tolist()) == (pytest.approx(0.05), ["L", "1"])
    assert "u = 0.0500 L" in str(found)
    by_function = fm.worth_measuring(
        lambda a, b: a + b, {"a": fm.Uncertain.normal(0, 2), "b": fm.Uncertain.normal(0, 1)}
    )
    assert by_function.columns()["input"].tolist() == ["a", "b"]
    assert "unit" not in by_function.columns()


def test_one_input_at_a_time_of_a_service():
    found = fm.tornado(circuit(), FILL, of="dip")
    columns = found.columns()
    assert columns["input"][:2].tolist() == [HEEL, JUG]
    assert columns["unit"][:2].tolist() == ["L", "1"]
    assert (columns["low"][0], columns["high"][0]) == (pytest.approx(0.102, abs=1e-3), pytest.approx(0.298, abs=1e-3))
    assert "low, high in L" in str(found)


def test_a_service_is_propagated_with_first_order_beside():
    found = fm.propagate(circuit(), FILL, draws=2**14).result("dip mm")
    exact = math.hypot(0.05, 0.04) / 0.06
    assert found.first_order.standard_uncertainty == pytest.approx(exact, rel=1e-9)
    assert found.validity(digits=1)["valid"]


def test_wait_advice_is_where_the_rows_cross():
    bus = fm.Circuit.demo("shuttle-bus")
    hot = [fm.Run(minutes=10, temperature_c=90)]
    advice = fm.wait_advice(bus, hot, shows_mm=2.0, draws=400)
    columns = advice.columns()
    after = columns["seconds"] >= advice.seconds
    assert (columns["on_stick_mm"][after] < 2.0).all()
    assert (columns["on_stick_mm"][~after] >= 2.0).all()
    # Nothing cools in the box: a reading after the wait and one a long time later differ by what the stick shows.
    run, (wait, late) = (
        fm.Run(minutes=10, temperature_c=40),
        (fm.wait_advice(box(), [fm.Run(minutes=10, temperature_c=40)]).seconds, 1e8),
    )
    line = fm.simulate(
        box(), [run, fm.Rest(seconds=wait), fm.Read(label="a"), fm.Rest(seconds=late), fm.Read(label="b")]
    )
    assert line.reading("b").mm - line.reading("a").mm == pytest.approx(1.0, abs=0.01)
    text = str(advice)
    assert "if the stated uncertainties are right" in text
    assert "cools" in text
    assert pickle.loads(pickle.dumps(advice)) == advice
    assert advice.wait_seconds.quantile(0.95) >= advice.wait_seconds.quantile(0.5)
    with pytest.raises(fm.EstimateError, match="leaves a plug open"):
        fm.wait_advice(bus, [fm.OpenPlug()])
