"""The core against the independent model in `tests/reference`, on 1,000 random services.

Both start from the same circuit (the core from TOML text, the model from data with the same floats)
and carry out the same events. Masses must agree to 1e-9 of the charge, levels and readings to 1e-9 of
the blade's length, volumes to 1e-9 of the charge's volume, temperatures to 1e-7 degC. A place that
holds less than 1e-6 of the charge has its mass compared, but not its temperature and age. A sump that
holds less than 1e-12 of it (what rounding leaves when everything has gone into filter and stores) has
no level and no reading to compare: in a corner the level goes as the cube root of the volume.
"""

from __future__ import annotations

from typing import Any

import fillmark
import numpy as np
import pytest
from reference import COMPONENTS, Circuit, Result
from reference.random_services import random_circuit, random_events
from reference.state import State
from reference.text import to_toml
from services import core_event, core_service

SERVICES, BLOCK = 1000, 50
REL = 1e-9
TEMPERATURE_C = 1e-7
PRESENT = 1e-6
WET = 1e-12


def compare_state(where: str, columns: dict[str, Any], state: State, charge: float) -> None:
    """Every place of the model's state against the core's columns."""
    index = {str(path): i for i, path in enumerate(columns["place"])}
    unknown = set(index) - set(state)
    assert not unknown, f"{where}: places unknown to the model: {unknown}"
    for path, place in state.items():
        if path not in index:
            assert place.mass == 0.0, f"{where}: the core has no place {path!r}"
            continue
        i = index[path]
        got = [float(columns[f"{name}_kg"][i]) for name in COMPONENTS]
        np.testing.assert_allclose(got, place.kg, rtol=0, atol=REL * charge, err_msg=f"{where} {path} masses")
        if place.mass < PRESENT * charge:
            continue
        temperature = float(columns["temperature_c"][i])
        assert temperature == pytest.approx(place.temperature_c, abs=TEMPERATURE_C), f"{where} {path}"
        if path.endswith(".film") or path == "filler":
            age = float(columns["age"][i])
            assert age == pytest.approx(place.age, rel=REL, abs=REL), f"{where} {path} age"


def compare_readings(where: str, readings: Any, model: Result, circuit: Circuit, litres: float) -> None:
    """Readings: the blade's length scales millimetres, the charge scales litres."""
    length_mm = circuit.stick.length * 1e3
    span_mm = (circuit.stick.max - circuit.stick.min) * 1e3
    charge = sum(place.mass for place in model.rows[-1].state.values())
    rows = [row for row in model.rows if row.reading is not None]
    assert len(readings) == len(rows), where
    for got, row in zip(readings, rows, strict=True):
        want = row.reading
        assert want is not None
        place = f"{where} reading {want.label!r}"
        assert got.label == want.label, place
        assert got.flag == want.flag, place
        if row.state["sump"].mass <= WET * charge:
            continue
        assert got.mm == pytest.approx(want.mm, rel=0, abs=REL * length_mm), place
        assert got.fraction == pytest.approx(want.fraction, rel=0, abs=REL * length_mm / span_mm), place
        assert got.litres_from_max == pytest.approx(want.litres_from_max, rel=0, abs=REL * litres), place


def compare(seed: int) -> None:
    """One random service in both."""
    core, events, data, _, model = core_service(seed)
    compare_service(seed, core, events, Circuit.from_data(data), model)


def compare_service(
    seed: int, core: fillmark.Circuit, events: list[fillmark.Event], circuit: Circuit, model: Result
) -> None:
    """The same service in both."""
    line = fillmark.simulate(core, events)
    # All that was ever in the circuit, pours included.
    charge = sum(place.mass for place in model.rows[-1].state.values())
    litres = charge / circuit.oil.density_15c * 1e3
    assert len(line.rows) == len(model.rows), f"seed {seed}"
    for i, (got, want) in enumerate(zip(line.rows, model.rows, strict=True)):
        where = f"seed {seed} row {i} ({want.kind})"
        compare_state(where, got.state.columns(), want.state, charge)
        level = pytest.approx(want.level_mm, rel=0, abs=REL * circuit.stick.length * 1e3)
        if want.state["sump"].mass > WET * charge:
            assert got.level_mm == level, where
    compare_readings(f"seed {seed}", line.readings, model, circuit, litres)
    assert line.v_max_l == pytest.approx(model.v_max_l, rel=0, abs=REL * litres), f"seed {seed}"
    assert line.v_drained_l == pytest.approx(model.v_drained_l, rel=0, abs=REL * litres), f"seed {seed}"


@pytest.mark.parametrize("first", range(0, SERVICES, BLOCK))
def test_random_services(first: int) -> None:
    for seed in range(first, first + BLOCK):
        compare(seed)


@pytest.mark.parametrize("seed", range(20))
def test_marks_that_hold_with_the_engine_running(seed: int) -> None:
    """A random circuit with such marks: its start, and what counts as elsewhere, are those of full stores."""
    rng = np.random.default_rng(10_000 + seed)
    data = random_circuit(rng, f"running-{seed}")
    condition = {key: value for key, value in data.get("reference", {}).items() if key != "wait_s"}
    data["reference"] = condition | {"engine": "running", "stick": "screwed"}
    plain, model = random_events(rng, data)
    core = fillmark.Circuit.loads(to_toml(data))
    compare_service(seed, core, [core_event(dict(event)) for event in plain], Circuit.from_data(data), model)
