"""What must hold of every service and every circuit, on random ones (seeds apart from those of the comparison)."""

import json
import pickle
import re

import fillmark as fm
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from services import BOX, box, core_attitude, core_service

SEEDS = range(5000, 5060)
COMPONENTS = ("old_oil", "new_oil", "fuel", "coolant", "water")


def attitudes(data, events):
    """The attitude of every row: the start, then one per event."""
    standing = core_attitude(data.get("reference", {}).get("attitude", {}))
    yield standing
    for event in events:
        if event["kind"] == "Tilt":
            standing = core_attitude(event["to"])
        yield core_attitude(event["attitude"]) if "attitude" in event else standing


def masses(line):
    columns = line.rows[-1].state.columns()
    return np.array([columns[f"{component}_kg"] for component in COMPONENTS])


@pytest.mark.parametrize("seed", SEEDS)
def test_no_drop_is_lost(seed):
    circuit, events, *_ = core_service(seed)
    assert fm.simulate(circuit, events).ledger.imbalance < 1e-12


@pytest.mark.parametrize("seed", SEEDS)
def test_the_reported_level_holds_the_reported_volume(seed):
    circuit, events, data, plain, _ = core_service(seed)
    scale = data.get("geometry", {}).get("volume_scale", 1.0)
    line = fm.simulate(circuit, events)
    for row, attitude in zip(line.rows, attitudes(data, plain), strict=True):
        held = scale * circuit.sump.volume_l(level_mm=row.level_mm, attitude=attitude)
        assert held == pytest.approx(row.sump_l, rel=1e-9, abs=1e-9 * circuit.sump.capacity_l)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("share", [0.5, 0.013])
def test_dividing_a_rest_changes_nothing(seed, share):
    # 1e-12, and 1e-8 where it cools: with rates that act meanwhile and with open plugs as well.
    circuit, events, data, plain, _ = core_service(seed)
    divided = []
    for event, core in zip(plain, events, strict=True):
        if event["kind"] != "Rest":
            divided.append(core)
            continue
        unit = next(u for u in ("seconds", "minutes", "hours") if u in event)
        own = {"attitude": core_attitude(event["attitude"])} if "attitude" in event else {}
        divided += [fm.Rest(**{unit: part * event[unit]}, **own) for part in (share, 1.0 - share)]
    whole, parts = fm.simulate(circuit, events), fm.simulate(circuit, divided)
    share_of = 1e-8 if "cooling" in data else 1e-12
    np.testing.assert_allclose(masses(parts), masses(whole), rtol=0, atol=share_of * masses(whole).sum())
    length = np.linalg.norm(np.diff(circuit.stick_path_mm, axis=0), axis=1).sum()
    for a, b in zip(whole.readings, parts.readings, strict=True):
        assert b.mm == pytest.approx(a.mm, rel=0, abs=10 * share_of * length)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_prediction_without_uncertainty_is_the_simulation(seed):
    # The reading's noise is the one input that is always uncertain.
    circuit, events, *_ = core_service(seed)
    still = circuit.replace({"dipstick.scatter": "0 mm"})
    line, prediction = fm.simulate(still, events), fm.predict(still, events, draws=3)
    for reading, predicted in zip(line.readings, prediction.readings, strict=True):
        assert predicted.mm.values().tolist() == [reading.mm] * 3
        assert predicted.fraction.values().tolist() == [reading.fraction] * 3
        assert predicted.litres_from_max.values().tolist() == [reading.litres_from_max] * 3
    assert prediction.drained_back_l.values().tolist() == [line.v_drained_l] * 3
    assert prediction.probability_over_max == float(line.v_drained_l > line.v_max_l)


@pytest.mark.parametrize("seed", SEEDS[:20])
def test_states_pickle_and_compare(seed):
    circuit, events, *_ = core_service(seed)
    states = [row.state for row in fm.simulate(circuit, events).rows]
    for state in states:
        assert pickle.loads(pickle.dumps(state)) == state
        assert fm.State(state.to_json()) == state
    again = [row.state for row in fm.simulate(circuit, events).rows]
    assert again == states
    assert states[0] != states[-1]


@pytest.mark.parametrize("seed", SEEDS[:20])
def test_files_of_random_circuits_read_back(seed):
    circuit, *_ = core_service(seed)
    for text in (circuit.to_toml(), circuit.to_json()):
        back = fm.Circuit.loads(text)
        assert back == circuit
        assert (back.to_toml(), back.to_json()) == (circuit.to_toml(), circuit.to_json())
    assert pickle.loads(pickle.dumps(circuit)) == circuit


WRITTEN = {
    "plugs.main.heel": "0.20(5) US qt",
    "filter.net_volume": "0.40 ± 0.10 L k=2",
    "stores.head.running": "0.25 .. 0.35 L",
    "stores.head.kept": "lognormal(0.05, 0.4) L",
    "stores.head.film": "truncated(0.1, 0.02, 0, 0.2) L",
    "stores.head.pool_time": "triangular(10, 20, 40) s",
    "reference.temperature": "68 degF",
    "reference.wait": "0.25 h",
    "dipstick.min": "1 1/4 in",
    "fluid.kv40": "95 cSt",
    "instruments.jug.scale": "1.00(2)",
    "geometry.volume_scale": "1.000(5)",
    "geometry.datum": "normal(0, 0.5) mm",
}


def test_values_and_units_stay_as_written():
    circuit = box().replace(WRITTEN)
    for back in (fm.Circuit.loads(circuit.to_toml()), fm.Circuit.loads(circuit.to_json())):
        assert back == circuit
        assert {path: back[path] for path in WRITTEN} == WRITTEN
    document = json.loads(circuit.to_json())
    for path, text in WRITTEN.items():
        node = document
        for key in path.split("."):
            node = node[key]
        assert node == text


@pytest.mark.parametrize("path", WRITTEN)
def test_replace_keeps_everything_else(path):
    circuit = box()
    before = circuit.columns()
    changed = circuit.replace({path: WRITTEN[path]})
    after = changed.columns()
    assert before["path"].tolist() == after["path"].tolist()
    moved = (before["nominal"] != after["nominal"]) | (before["standard_uncertainty"] != after["standard_uncertainty"])
    # 68 degF is the reference temperature it had, 95 cSt the viscosity, and so on: at most this one input moves.
    assert set(before["path"][moved]) <= {path}
    assert changed[path] == WRITTEN[path]
    assert circuit == box()
    assert changed.replace({path: circuit[path]}).columns()["nominal"].tolist() == before["nominal"].tolist()
    assert changed.name == circuit.name
    assert changed.sump == circuit.sump


SPANS = [found.span(1) for found in re.finditer(r"= (.+)$", BOX, re.M)]
ODD = [
    "nan",
    "inf",
    "-1",
    "1e308",
    '"1e308 L"',
    '"-5 mm"',
    "[]",
    "{}",
    '"0 L"',
    '"1e300 mm"',
    '""',
    "true",
    '"0 kg/m3"',
]


@given(
    st.sampled_from(SPANS), st.sampled_from(ODD), st.integers(0, len(BOX) - 1), st.sampled_from([*'[]{}"=.,0 \n#é', ""])
)
def test_a_damaged_file_is_read_or_refused(span, odd, at, character):
    for text in (BOX[: span[0]] + odd + BOX[span[1] :], BOX[:at] + character + BOX[at + 1 :]):
        try:
            circuit = fm.Circuit.loads(text)
        except fm.InternalError:
            raise
        except fm.FillmarkError:
            continue
        assert fm.Circuit.loads(circuit.to_toml()) == circuit
