"""Cooling, films on reduced time, waiting, and rates: the independent model against sums done by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from reference import Circuit, liquids, simulate
from reference.boxes import STORES, box_circuit, kg, pan_circuit

RUN_HOT = {"kind": "Run", "minutes": 1.0, "temperature_c": 90.0}


def test_everything_cools() -> None:
    """After one time constant a share 1/e of the heat above ambient is left: 20 + 70 / e = 45.75 degC, anywhere."""
    events = [
        RUN_HOT,
        {"kind": "RemoveFilter"},
        {"kind": "Withdraw", "volume_l": 0.5},
        {"kind": "Rest", "minutes": 30.0},
    ]
    state = simulate(box_circuit(cooling={"time_s": 1800.0, "ambient_c": 20.0}), events).rows[-1].state
    for path in ("sump", "old filter", "pan"):
        assert state[path].temperature_c == pytest.approx(20.0 + 70.0 / math.e)
    # Ambient is the reference temperature (15 degC) where none is stated; cooling does not ask in how many rests.
    thirds = [RUN_HOT] + 3 * [{"kind": "Rest", "minutes": 10.0}]
    state = simulate(box_circuit(cooling={"time_s": 1800.0}), thirds).rows[-1].state
    assert state["filter"].temperature_c == pytest.approx(15.0 + 75.0 / math.e)
    # A run cools nothing.
    assert simulate(box_circuit(cooling={"time_s": 60.0}), [RUN_HOT] * 2).rows[-1].state["sump"].temperature_c == 90.0


def test_what_returns_brings_its_heat() -> None:
    """A pool at 90 degC comes back whole into 2 kg at 30: mixed first, then a tenth of the excess over 20 is left."""
    data = box_circuit(
        filter=None,
        stores={"a": {"running_l": 0.5, "pool_time_s": 1e-3, "inertia_time_s": 1e-3}},
        cooling={"time_s": 100.0, "ambient_c": 20.0},
    )
    start = simulate(data, [RUN_HOT]).rows[-1].state
    start["sump"].temperature_c = 30.0
    sump, pool = start["sump"].mass, start["stores.a.pool"].mass
    rest = {"kind": "Rest", "seconds": 100.0 * math.log(10.0)}
    end = simulate(data, [rest], start=start).rows[-1].state
    mixed = (30.0 * sump + 90.0 * pool) / (sump + pool)
    assert end["stores.a.pool"].mass == pytest.approx(0.0, abs=1e-12)
    assert end["sump"].temperature_c == pytest.approx(20.0 + 0.1 * (mixed - 20.0))


def film_circuit(**more: Any) -> dict[str, Any]:
    """2 m2 of walls 0.3 m high: a film 2/3 A sqrt(H nu / (g t)) once the age is large against 1 (Jeffreys 1930).

    V0 / sqrt(t / (film_time nu / nu0)) is that with V0 = 2/3 A sqrt(H nu0 / (g film_time)): 2.332 L for 1 s.
    """
    film = 2.0 / 3.0 * 2.0 * math.sqrt(0.3 * 1e-4 / (9.80665 * 1.0)) * 1e3
    return box_circuit(filter=None, stores={"walls": {"running_l": film, "film_l": film, "film_time_s": 1.0}}, **more)


def film_ml(data: dict[str, Any], temperature_c: float, minutes: float) -> float:
    """Film after a run at a temperature and a rest [mL at 15 degC]."""
    events = [
        {"kind": "Run", "minutes": 1.0, "temperature_c": temperature_c},
        {"kind": "Rest", "minutes": minutes},
    ]
    return volume_ml(data, simulate(data, events).rows[-1].state)


def volume_ml(data: dict[str, Any], state: Any) -> float:
    """Film at its own temperature [mL]."""
    film = state["stores.walls.film"]
    return film.mass / Circuit.from_data(data).oil.density(film.temperature_c) * 1e6


def test_a_film_does_not_grow_when_it_cools() -> None:
    """57 mL at 90 degC after 5 min are 51 mL after 15 min more at 25 degC; 20 min at 25 degC leave 94 (calculated).

    Reduced time: V goes as s^-1/2, and the oil is 10.8 times as thick at 25 degC: 57.3 / sqrt(1 + 3 / 10.8) = 50.7.
    Not 94, as with the viscosity of the moment. Volumes are those of the oil at 90 degC.
    """
    data = film_circuit()
    assert film_ml(data, 90.0, 5.0) == pytest.approx(57.0, abs=0.7)
    assert film_ml(data, 25.0, 20.0) == pytest.approx(94.0, abs=0.7)
    hot = simulate(data, [RUN_HOT, {"kind": "Rest", "minutes": 5.0}]).rows[-1].state
    before = volume_ml(data, hot)
    # At once at 25 degC, from the state reached hot.
    cold = film_circuit(cooling={"time_s": 1e-3, "ambient_c": 25.0})
    line = simulate(cold, [{"kind": "Rest", "minutes": 15.0}], start=hot)
    film = line.rows[-1].state["stores.walls.film"]
    assert film.temperature_c == pytest.approx(25.0)
    assert film.mass / hot["stores.walls.film"].mass * before == pytest.approx(51.0, abs=0.7)
    oil = Circuit.from_data(data).oil
    ratio = oil.kinematic_viscosity(25.0) / oil.kinematic_viscosity(90.0)
    # Exact but for the 1 in 1 + age (6e-4 of the age) and the millisecond of cooling.
    assert film.mass / hot["stores.walls.film"].mass == pytest.approx(1 / math.sqrt(1 + 3 / ratio), rel=3e-4)
    # A film that cools slowly has thinned more than one that was cold at once.
    slow = film_circuit(cooling={"time_s": 1800.0, "ambient_c": 25.0})
    more = simulate(slow, [{"kind": "Rest", "minutes": 15.0}], start=hot).rows[-1].state["stores.walls.film"]
    assert more.mass < film.mass


@pytest.mark.parametrize(("cooling", "rel"), [(None, 1e-12), ({"time_s": 900.0, "ambient_c": 5.0}, 1e-8)])
def test_dividing_a_rest_changes_nothing(cooling: Any, rel: float) -> None:
    data = box_circuit(
        filter={"net_volume_l": 0.4, "valve": "leaking", "drains": 0.7},
        filler={"wetted_l": 0.05},
        stores=STORES,
        cooling=cooling,
    )
    events = [RUN_HOT, {"kind": "Pour", "volume_l": 0.3}]
    once = simulate(data, [*events, {"kind": "Rest", "seconds": 300.0}]).rows[-1].state
    parts = [{"kind": "Rest", "seconds": s} for s in (1.0, 59.0, 0.0, 240.0)]
    often = simulate(data, [*events, *parts]).rows[-1].state
    for path, place in once.items():
        assert often[path].mass == pytest.approx(place.mass, rel=rel, abs=1e-15), path
        assert often[path].age == pytest.approx(place.age, rel=rel), path
        assert often[path].temperature_c == pytest.approx(place.temperature_c, rel=rel), path


def test_a_longer_wait_reads_higher_unless_the_oil_cools() -> None:
    data = box_circuit(stores=STORES, filter={"net_volume_l": 0.4, "valve": "leaking"}, filler={"wetted_l": 0.02})
    waits = [{"kind": "Rest", "minutes": 2.0}, {"kind": "Read"}] * 40
    events = [RUN_HOT, {"kind": "Pour", "volume_l": 0.2, "temperature_c": 90.0}, *waits]
    shown = [dip.mm for dip in simulate(data, events).readings]
    assert shown == sorted(shown)
    # With cooling it first rises, then falls.
    data["cooling"] = {"time_s": 3600.0, "ambient_c": 15.0}
    shown = [dip.mm for dip in simulate(data, events).readings]
    assert shown[0] < max(shown) > shown[-1]


def test_oil_at_rest_shrinks() -> None:
    """4.5 L at 20 degC fill 4.745 L at 90 (868 kg/m3, API MPMS 11.1: +0.245 L): 0.245 / 0.045 = 5.4 mm of a pan of
    45 mL/mm, which go as it cools."""
    data = pan_circuit(0.045, 4.5, cooling={"time_s": 1800.0})
    hot, cold = simulate(data, [RUN_HOT, {"kind": "Read"}, {"kind": "Rest", "hours": 24.0}, {"kind": "Read"}]).readings
    assert hot.mm - cold.mm == pytest.approx(5.4, abs=0.05)
    assert cold.litres_from_max - hot.litres_from_max == pytest.approx(-0.245, abs=5e-4)
    assert cold.mm == pytest.approx(95.0)


# -- rates -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("rate", "seconds"), [(6.0, 40.0), (10.0, 24.0)])
def test_two_gaskets_stacked(rate: float, seconds: float) -> None:
    """Pump flow at idle, 6 to 10 L/min, empties 4 L in 40 to 24 s: 4 / 6 and 4 / 10 of a minute."""
    data = pan_circuit(0.05, 4.0, reference={"temperature_c": 15.0})
    leak = {"kind": "Leak", "rate_l_min": rate, "when": "running"}
    line = simulate(data, [leak, {"kind": "Run", "seconds": seconds - 3.0}, {"kind": "Run", "seconds": 3.1}])
    assert line.rows[2].state["sump"].mass == pytest.approx(kg(rate * 3.0 / 60.0))
    assert line.rows[2].state["floor"].mass == pytest.approx(kg(4.0 - rate / 20.0))
    assert line.rows[3].state["sump"].mass == 0.0
    assert line.rows[3].state["floor"].mass == pytest.approx(kg(4.0))


def test_when_rates_act() -> None:
    """0.1 L/min over a run of 2 min and a rest of 3: a leak in both, a use in the run."""
    events: list[dict[str, Any]] = [
        {"kind": "Leak", "rate_l_min": 0.1, "label": "seep"},
        {"kind": "Use", "rate_l_min": 0.1, "label": "use"},
        {"kind": "Run", "minutes": 2.0},
        {"kind": "Rest", "minutes": 3.0},
        {"kind": "Stop", "label": "seep"},
        {"kind": "Run", "minutes": 1.0},
        {"kind": "Rest", "minutes": 60.0},
    ]
    end = simulate(box_circuit(), events).rows[-1].state
    assert end["floor"].mass == pytest.approx(kg(0.5))
    assert end["burnt"].mass == pytest.approx(kg(0.3))
    assert end["sump"].mass == pytest.approx(kg(3.9 - 0.8))
    events[1] |= {"when": "always", "label": "seep"}
    end = simulate(box_circuit(), events).rows[-1].state
    assert (end["floor"].mass, end["burnt"].mass) == pytest.approx((kg(0.5), kg(0.5)))


def test_rates_are_of_volume_at_15_c() -> None:
    """0.1 L/min for 5 min at 90 degC: 0.5 L at 15 degC, whatever it fills hot."""
    events = [{"kind": "Use", "rate_l_min": 0.1}, RUN_HOT | {"minutes": 5.0}]
    assert simulate(box_circuit(), events).rows[-1].state["burnt"].mass == pytest.approx(kg(0.5))


@pytest.mark.parametrize(
    ("component", "density", "index"),
    [("fuel", 835.0, 2), ("coolant", liquids.coolant(15.0), 3), ("water", 999.102572, 4)],
)
def test_ingress(component: str, density: float, index: int) -> None:
    """0.2 L/min for 3 min at 15 degC: 0.6 L of it, 10 mm of the box; leaks then lose every component alike."""
    data = box_circuit(filter=None)
    events = [
        {"kind": "Ingress", "component": component, "rate_l_min": 0.2},
        {"kind": "Run", "minutes": 3.0},
        {"kind": "Read"},
        {"kind": "Withdraw", "volume_l": 1.5},
    ]
    line = simulate(data, events)
    # The density of water is Tanaka's, computed with another implementation.
    assert line.rows[2].state["sump"].kg[index] == pytest.approx(0.6e-3 * density, rel=1e-9)
    assert line.readings[0].mm == pytest.approx(70.0)
    assert simulate(data, events[:3]).v_drained_l == pytest.approx(4.5)
    assert simulate(data, events[:3]).over_max
    # A third of 4.5 L goes, so a third of each component.
    assert line.rows[4].state["pan"].kg[index] == pytest.approx(0.2e-3 * density, rel=1e-9)
    assert line.v_drained_l == pytest.approx(3.0)


def test_rates_act_in_their_order() -> None:
    """A use before the ingress burns oil alone; after it, its share of the fuel too."""
    use = {"kind": "Use", "rate_l_min": 1.0}
    fuel = {"kind": "Ingress", "component": "fuel", "rate_l_min": 1.0}
    run = {"kind": "Run", "minutes": 1.0}
    data = box_circuit(filter=None)
    assert simulate(data, [use, fuel, run]).rows[-1].state["burnt"].kg[2] == 0.0
    burnt = simulate(data, [fuel, use, run]).rows[-1].state["burnt"]
    whole = kg(3.9) + 0.835
    assert burnt.kg[2] == pytest.approx(kg(1.0) * 0.835 / whole)


def test_specific_heats() -> None:
    """1 L/min of water for a minute into oil at 15 degC comes at that temperature; the mixture warms by C."""
    data = box_circuit(filter=None)
    water = {"kind": "Ingress", "component": "water", "rate_l_min": 1.0}
    events = [water, {"kind": "Run", "minutes": 1.0}, {"kind": "Pour", "mass_kg": 1.0, "temperature_c": 40.0}]
    line = simulate(data, events)
    assert line.rows[2].state["sump"].temperature_c == pytest.approx(15.0)
    wet = 2.0 * kg(3.9) + 4.18 * 0.999102572
    assert line.rows[3].state["sump"].temperature_c == pytest.approx(15.0 + 25.0 * 2.0 / (wet + 2.0))


def test_hot_mixtures_expand_by_their_parts() -> None:
    """1 L of petrol in 3.9 L of oil, at 60 degC each by its own law; 745 kg/m3 falls to 703.74 (computed)."""
    data = box_circuit(filter=None)
    data["fluid"]["fuel"] = "petrol"
    fuel = {"kind": "Ingress", "component": "fuel", "rate_l_min": 1.0}
    line = simulate(data, [fuel, {"kind": "Run", "minutes": 1.0, "temperature_c": 60.0}])
    oil = Circuit.from_data(data).oil
    assert line.rows[-1].level_mm == pytest.approx((3.9 * 868.0 / oil.density(60.0) + 745.0 / 703.7376399) / 0.06)
