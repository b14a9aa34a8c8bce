"""The independent model of a service against sums done by hand and laws of conservation."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from reference import COMPONENTS, Circuit, Refused, Service, simulate
from reference.boxes import STORES, box_circuit, kg
from reference.random_services import random_service
from reference.text import document, to_json, to_toml


def test_start_stands_at_max() -> None:
    line = simulate(box_circuit(), [{"kind": "Read"}])
    assert line.v_max_l == pytest.approx(65 * 0.06)
    assert line.v_drained_l == pytest.approx(line.v_max_l)
    dip = line.readings[0]
    assert (dip.mm, dip.fraction) == pytest.approx((60.0, 1.0))
    assert dip.flag is None
    assert dip.litres_from_max == pytest.approx(0.0, abs=1e-12)
    assert line.rows[0].level_mm == pytest.approx(65.0)


def test_drain_change_pour_run() -> None:
    """0.2 L stay under the plug; of 4.1 L poured, 0.4 L fill the filter: 3.9 L stand in the sump."""
    events: list[dict[str, Any]] = [
        {"kind": "Drain", "minutes": 10.0},
        {"kind": "ChangeFilter", "primed_l": 0.1},
        {"kind": "Pour", "volume_l": 4.0},
        {"kind": "Read", "label": "before the run"},
        {"kind": "Run", "minutes": 1.0},
        {"kind": "Read", "label": "after"},
    ]
    line = simulate(box_circuit(), events)
    assert line.rows[1].state["pan"].mass == pytest.approx(kg(3.9 - 0.2))
    assert line.rows[2].state["old filter"].mass == pytest.approx(kg(0.4))
    assert line.readings[0].mm == pytest.approx(4.2 / 0.06 - 5.0)
    assert line.readings[1].mm == pytest.approx(3.9 / 0.06 - 5.0)
    end = line.rows[-1].state
    # 0.2 L of 4.3 L is old everywhere in the circuit after the run.
    for path in ("sump", "filter"):
        assert end[path].kg[0] / end[path].mass == pytest.approx(0.2 / 4.3)
    assert line.v_drained_l == pytest.approx(3.9)


def test_pour_through_an_open_plug() -> None:
    """2 L on 0.2 L of old oil, then down to 0.2 L again: a share 0.2 / 2.2 of the heel is old."""
    events: list[dict[str, Any]] = [
        {"kind": "OpenPlug"},
        {"kind": "Pour", "volume_l": 2.0},
        {"kind": "ClosePlug"},
    ]
    sump = simulate(box_circuit(), events).rows[-1].state["sump"]
    assert sump.mass == pytest.approx(kg(0.2))
    assert sump.kg[0] == pytest.approx(kg(0.2) * 0.2 / 2.2)


def test_heat_mixes_by_mass() -> None:
    """Equal specific heats: 1 kg at 50 on what is there at 15 degC."""
    sump = simulate(box_circuit(), [{"kind": "Pour", "mass_kg": 1.0, "temperature_c": 50.0}]).rows[-1].state["sump"]
    old = kg(3.9)
    assert sump.temperature_c == pytest.approx((old * 15 + 50) / (old + 1))


def test_warm_oil_stands_higher() -> None:
    """API MPMS 11.1-2004, 870 kg/m3: VCF 0.981865 at 40 degC (computed, six decimals)."""
    data = box_circuit()
    data["fluid"]["density_15c_kg_m3"] = 870.0
    rows = simulate(data, [{"kind": "Run", "minutes": 5.0, "temperature_c": 40.0}]).rows
    warm = (3.9 + 0.4) / 0.981865 - 0.4
    assert rows[-1].level_mm == pytest.approx(warm / 0.06, rel=2e-6)


def test_return_from_stores() -> None:
    """Pool exp(-t / tau) and film sqrt(1 / (1 + age)) after a run, written out for 15 degC."""
    data = box_circuit(stores=STORES)
    slow = Circuit.from_data(data).slowness(15.0)
    line = simulate(data, [{"kind": "Run", "minutes": 1.0}, {"kind": "Rest", "seconds": 90.0}])
    run, rest = line.rows[1].state, line.rows[2].state
    assert run["stores.b.film"].age == 0.0
    assert run["stores.b.pool"].mass == pytest.approx(kg(0.2))
    assert rest["stores.a.pool"].mass == pytest.approx(kg(0.2) * math.exp(-90 / (1 + 20 * slow)))
    assert rest["stores.b.film"].age == pytest.approx(90 / (60 * slow))
    assert rest["stores.b.film"].mass == pytest.approx(kg(0.1) / math.sqrt(1 + 90 / (60 * slow)))
    assert rest["stores.b.kept"].mass == pytest.approx(kg(0.05))
    # The paths stand in the order of the stores' names.
    assert list(rest)[:4] == ["sump", "stores.a.pool", "stores.a.film", "stores.a.kept"]
    # Nothing was added or lost: the circuit still stands at MAX in its reference condition, and is not over it.
    assert line.v_drained_l == pytest.approx(line.v_max_l, rel=1e-13)
    assert not line.over_max


def test_start_equals_run_and_wait() -> None:
    """A run and the reference wait bring the start back: same charge, same condition."""
    data = box_circuit(stores=STORES)
    events = [{"kind": "Run", "minutes": 3.0}, {"kind": "Rest", "seconds": 600.0}]
    line = simulate(data, events)
    for path, place in line.rows[0].state.items():
        assert line.rows[-1].state[path].mass == pytest.approx(place.mass, rel=1e-12, abs=1e-15)


def test_dividing_a_rest_changes_nothing() -> None:
    data = box_circuit(stores=STORES)
    run = {"kind": "Run", "minutes": 1.0}
    once = simulate(data, [run, {"kind": "Rest", "seconds": 300.0}]).rows[-1]
    thrice = simulate(data, [run, *[{"kind": "Rest", "seconds": s} for s in (1.0, 59.0, 240.0)]]).rows[-1]
    for path, place in once.state.items():
        assert thrice.state[path].mass == pytest.approx(place.mass, rel=1e-12, abs=1e-15)


def test_slope_scale_datum_seat() -> None:
    """A stick at x = 100 mm on a box nose up by 2 deg reads lower by 100 tan(2 deg) along *z*."""
    data = box_circuit(geometry={"volume_scale": 1.02, "datum_mm": 0.5})
    data["dipstick"] |= {"path_mm": [[100, 0, 5], [100, 0, 205]], "seat_offset_mm": 1.5}
    read = {"kind": "Read", "attitude": {"nose_up_deg": 2.0}}
    line = simulate(data, [{"kind": "Read"}, read])
    assert line.v_max_l == pytest.approx(1.02 * 0.06 * (65 - 0.5))
    assert line.readings[0].mm == pytest.approx(60 - 1.5)
    assert line.readings[0].litres_from_max == pytest.approx(-1.5 * 0.06 * 1.02)
    slope = math.radians(2.0)
    # The datum is along *up*, so on the upright blade it is 0.5 / cos.
    expected = 64.5 + 0.5 / math.cos(slope) - 100 * math.tan(slope) - 5 - 1.5
    assert line.readings[1].mm == pytest.approx(expected, rel=1e-12)


def test_leaning_and_bent_sticks() -> None:
    """Along a blade at an angle to *up* lengths grow by 1 / cos."""
    data = box_circuit()
    lean = math.radians(40.0)
    data["dipstick"]["path_mm"] = [
        [0, 0, 5],
        [0, 0, 35],
        [200 * math.sin(lean), 0, 35 + 200 * math.cos(lean)],
    ]
    data["dipstick"]["max_mm"] = 70.0
    line = simulate(data, [{"kind": "Withdraw", "volume_l": 0.6}, {"kind": "Read"}])
    assert line.v_max_l == pytest.approx(0.06 * (35 + 40 * math.cos(lean)))
    assert line.readings[0].mm == pytest.approx(70 - 10 / math.cos(lean))


def test_first_crossing_counts() -> None:
    """Nose down by 5 deg the middle piece (40 mm forwards, 2 mm up) falls: three crossings."""
    data = box_circuit()
    data["dipstick"]["path_mm"] = [[0, 0, 5], [0, 0, 64], [40, 0, 66], [40, 0, 150]]
    read = {"kind": "Read", "attitude": {"nose_up_deg": -5.0}}
    line = simulate(data, [{"kind": "Withdraw", "volume_l": line_to(data, 63.5)}, read])
    assert line.readings[0].mm == pytest.approx(58.5)


def line_to(data: dict[str, Any], level_mm: float) -> float:
    """Litres to withdraw from the start for a level over the middle of the box."""
    return simulate(data, []).v_max_l - 0.06 * level_mm


def test_flags_and_noise() -> None:
    events = [{"kind": "Read", "z": 2.0}, {"kind": "Drain", "minutes": 1.0}, {"kind": "Read", "z": -3.0}]
    data = box_circuit()
    data["dipstick"]["scatter_mm"] = 0.7
    high, low = simulate(data, events).readings
    assert high.mm == pytest.approx(61.4)
    assert high.flag is None
    assert (low.mm, low.flag) == (0.0, "below tip")
    data["dipstick"]["path_mm"] = [[0, 0, 5], [0, 0, 70]]
    over = simulate(data, [{"kind": "Pour", "volume_l": 1.0}, {"kind": "Read"}]).readings[0]
    assert over.mm == pytest.approx(65.0)
    assert over.flag == "above blade"


@pytest.mark.parametrize(
    "events",
    [
        [{"kind": "ClosePlug"}],
        [{"kind": "OpenPlug"}, {"kind": "OpenPlug"}],
        [{"kind": "OpenPlug", "plug": "none such"}],
        [{"kind": "OpenPlug"}, {"kind": "Run", "minutes": 1.0}],
        [{"kind": "RemoveFilter"}, {"kind": "Run", "minutes": 1.0}],
        [{"kind": "RemoveFilter"}, {"kind": "RemoveFilter"}],
        [{"kind": "FitFilter"}],
        [{"kind": "ChangeFilter", "primed_l": 0.41}],
        [{"kind": "Pour", "volume_l": 5.2}],
        [{"kind": "Pour", "volume_l": 1.0, "mass_kg": 1.0}],
        [{"kind": "Withdraw", "volume_l": 4.0}],
        [{"kind": "Sing"}],
        [{"kind": "OpenPlug"}, {"kind": "ClosePlug", "plug": "side"}],
        [{"kind": "ChangeFilter", "net_volume_l": 0.3, "primed_l": 0.31}],
        [{"kind": "Pour", "volume_l": -0.1}],
        [{"kind": "Leak", "rate_l_min": -0.1}],
        [{"kind": "Use", "rate_l_min": 0.1, "when": "sometimes"}],
        [{"kind": "Use", "rate_l_min": 0.1, "label": "worn"}, {"kind": "Stop", "label": "leak"}],
        [{"kind": "Read", "stick": "none such"}],
        [{"kind": "Read", "face": "upper"}],
    ],
)
def test_refused(events: list[dict[str, Any]]) -> None:
    with pytest.raises(Refused):
        simulate(box_circuit(), events)


def test_clipped_in_a_draw() -> None:
    line = simulate(box_circuit(), [{"kind": "Pour", "volume_l": 6.0}], limits="clip")
    assert line.rows[1].flags == ("overflowed",)
    assert line.rows[1].state["floor"].mass == pytest.approx(kg(0.9))
    line = simulate(box_circuit(), [{"kind": "Withdraw", "volume_l": 6.0}], limits="clip")
    assert line.rows[1].flags == ("emptied",)
    assert line.rows[1].state["sump"].mass == 0.0


def test_jug_scales_volumes_and_not_masses() -> None:
    data = box_circuit(instruments={"jug": {"scale": 1.05}})
    for amount, expected in (({"volume_l": 1.0}, kg(1.05)), ({"mass_kg": 1.0}, 1.0)):
        line = simulate(data, [{"kind": "Pour", "measured_with": "jug", "temperature_c": 15.0, **amount}])
        assert line.rows[1].state["sump"].kg[1] == pytest.approx(expected)


def flowed_in(service: Service, event: dict[str, Any]) -> list[float]:
    """Mass of each component [kg] that the active ingresses bring during an event."""
    seconds = sum(event.get(unit, 0.0) * n for unit, n in (("seconds", 1), ("minutes", 60), ("hours", 3600)))
    density = service.circuit.densities(15.0)
    masses = [0.0] * len(COMPONENTS)
    for rate in service.rates:
        if rate.component is not None and (rate.when == "always" or event["kind"] == "Run"):
            masses[rate.component] += rate.volume_rate * seconds * density[rate.component]
    return masses


@pytest.mark.parametrize("seed", range(60))
def test_random_services_conserve_mass(seed: int) -> None:
    circuit, events, result = random_service(seed)
    service = Service(Circuit.from_data(circuit))
    for event in events:
        before = [sum(p.kg[k] for p in service.state.values()) for k in range(5)]
        service.step(event)
        after = [sum(p.kg[k] for p in service.state.values()) for k in range(5)]
        gained = [a - b - more for a, b, more in zip(after, before, flowed_in(service, event), strict=True)]
        if event["kind"] == "Pour" and "mass_kg" in event:
            gained[1] -= event["mass_kg"]
        elif event["kind"] in ("Pour", "FitFilter", "ChangeFilter"):
            assert gained.pop(1) >= 0.0
        assert gained == pytest.approx([0.0] * len(gained), abs=1e-12 * sum(after))
    assert service.result() == result
    for row in service.rows:
        for place in row.state.values():
            assert min(place.kg) >= 0.0


@pytest.mark.parametrize("seed", range(20))
def test_text_and_data_say_the_same(seed: int) -> None:
    circuit, events, result = random_service(seed)
    assert (circuit, events, result) == random_service(seed)
    tomllib = pytest.importorskip("tomllib")  # Python 3.11 and newer
    read = tomllib.loads(to_toml(circuit))
    assert read == json.loads(to_json(circuit)) == json.loads(json.dumps(document(circuit)))
    number, unit = read["dipstick"]["max"].split()
    assert (float(number), unit) == (circuit["dipstick"]["max_mm"], "mm")
    assert json.loads(json.dumps(events)) == events


def paths(table: dict[str, Any], name: str = "") -> set[str]:
    """The keys of nested data; stores, plugs, sticks by one name each."""
    keys: set[str] = set()
    for key, value in table.items():
        inner = "NAME" if name in ("stores.", "plugs.", "sticks.", "instruments.") else key
        keys |= paths(value, f"{name}{inner}.") if isinstance(value, dict) else {name + inner}
    return keys


def test_random_services_reach_everything() -> None:
    kinds: set[str] = set()
    flags: set[str | None] = set()
    keys: set[str] = set()
    said: set[str] = set()
    for seed in range(100):
        circuit, events, result = random_service(seed)
        kinds.update(e["kind"] for e in events)
        said.update(f"{e['kind']} {key}" for e in events for key in e)
        flags.update(r.flag for r in result.readings)
        keys |= paths(circuit)
        assert 5 <= len(events) <= 15
    assert len(kinds) == 17
    assert flags == {None, "below tip", "above blade"}
    more = ["face", "stick", "smear_mm", "seat_offset_mm", "tube_pressure_pa"]
    assert said >= {f"Read {key}" for key in more} | {"ChangeFilter net_volume_l", "Ingress when", "Leak when"}
    assert keys >= {f"dipstick.{key}" for key in ("meniscus_mm", "smear_mm", "faces_mm", "tube_pressure_pa")}
    assert keys >= {f"filter.{key}" for key in ("valve", "orientation", "drains", "drain_time_s", "spill")}
    assert keys >= {"sticks.NAME.longer_mm", "stores.NAME.opens_at_c", "cooling.time_s", "cooling.ambient_c"}
    assert keys >= {"filler.wetted_l", "filler.film_time_s", "fluid.fuel"}
