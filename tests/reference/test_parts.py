"""Plugs, filter, filler, thermostat and other starts: the independent model against sums done by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from reference import Circuit, Mesh, Refused, Service, shapes, simulate, up_vector
from reference.boxes import box_circuit, kg, pan_circuit

TWO_PLUGS = {
    "main": {"at_mm": [0, 0, 0], "bore_mm": 14.0, "heel_l": 0.2},
    "side": {"at_mm": [0, 0, 0], "bore_mm": 14.0, "heel_l": 1.0},
}
RUN = {"kind": "Run", "minutes": 1.0}


def slowness(data: dict[str, Any], temperature_c: float = 15.0) -> float:
    return Circuit.from_data(data).slowness(temperature_c)


# -- plugs -----------------------------------------------------------------------------------------


def test_several_plugs() -> None:
    """The lowest of the open plugs rules: 1.0 L stay under the side plug, 0.2 L under the main one."""
    data = box_circuit(plugs=TWO_PLUGS)
    events: list[dict[str, Any]] = [
        {"kind": "OpenPlug", "plug": "side"},
        {"kind": "OpenPlug", "plug": "main"},
        {"kind": "ClosePlug", "plug": "main"},
        {"kind": "Pour", "volume_l": 2.0},
        {"kind": "ClosePlug"},
        {"kind": "Pour", "volume_l": 1.0},
    ]
    left = [row.state["sump"].mass for row in simulate(data, events).rows]
    assert left == pytest.approx([kg(v) for v in (3.9, 1.0, 0.2, 0.2, 1.0, 1.0, 2.0)])
    # A drain shuts its own plug and no other.
    events = [
        {"kind": "OpenPlug", "plug": "side"},
        {"kind": "Drain", "minutes": 5.0},
        {"kind": "Pour", "volume_l": 2.0},
    ]
    assert simulate(data, events).rows[-1].state["sump"].mass == pytest.approx(kg(1.0))
    with pytest.raises(Refused, match="plug is open"):
        simulate(data, [*events, RUN])


def test_what_stays_under_a_plug_is_a_mass() -> None:
    """Opened at 90 degC, 0.2 L of hot oil stay, and no more when they have shrunk in the cold."""
    data = box_circuit(
        filter=None,
        stores={"a": {"running_l": 0.5, "pool_time_s": 100.0}},
        cooling={"time_s": 600.0},
    )
    events: list[dict[str, Any]] = [
        RUN | {"temperature_c": 90.0},
        {"kind": "OpenPlug"},
        {"kind": "Rest", "hours": 12.0},
    ]
    line = simulate(data, events)
    hot = 0.2e-3 * Circuit.from_data(data).oil.density(90.0)
    assert line.rows[2].state["sump"].mass == pytest.approx(hot)
    assert line.rows[3].state["sump"].mass == pytest.approx(hot)
    assert line.rows[3].state["stores.a.pool"].mass == pytest.approx(0.0, abs=1e-9)
    charge = sum(place.mass for place in line.rows[0].state.values())
    assert line.rows[3].state["pan"].mass == pytest.approx(charge - hot)


def test_returns_pass_an_open_plug() -> None:
    """With 0.1 L in the sump and 0.2 L under the plug, 0.1 L of the 0.3 L that return stay; the rest is past it.

    Three quarters of what returns are new oil.
    """
    stores = {"a": {"running_l": 0.3, "pool_time_s": 1e-3, "inertia_time_s": 1e-3}}
    data = box_circuit(filter=None, stores=stores)
    start = simulate(data, [RUN]).rows[-1].state
    start["stores.a.pool"].kg = [0.25 * kg(0.3), 0.75 * kg(0.3), 0.0, 0.0, 0.0]
    start["sump"].kg = [kg(0.1), 0.0, 0.0, 0.0, 0.0]
    start["pan"].kg[0] = 0.0
    events = [{"kind": "OpenPlug"}, {"kind": "Rest", "minutes": 5.0}]
    end = simulate(data, events, start=start).rows[-1].state
    assert end["sump"].kg[:2] == pytest.approx([kg(0.1) + 0.25 * kg(0.1), 0.75 * kg(0.1)])
    assert end["pan"].kg[:2] == pytest.approx([0.25 * kg(0.2), 0.75 * kg(0.2)])


# Floor 300 x 220 mm with a fine hole at its high end: half of 0.3^2 x 0.22 tan(slope) m3 stays, 0.17, 0.52, 0.87 L.
@pytest.mark.parametrize(("slope", "litres"), [(1.0, 0.17), (3.0, 0.52), (5.0, 0.87)])
def test_a_wedge_stays_under_a_plug_at_the_high_end(slope: float, litres: float) -> None:
    data = box_circuit(
        sump={"box": {"length_mm": 300.0, "width_mm": 220.0, "height_mm": 150.0}},
        plugs={"main": {"at_mm": [150, 0, 0], "bore_mm": 1e-3}},
    )
    there = {"nose_up_deg": slope}
    events: list[dict[str, Any]] = [
        {"kind": "Tilt", "to": there},
        {"kind": "OpenPlug"},
        {"kind": "Rest", "hours": 1e12},
    ]
    rows = simulate(data, events).rows
    assert rows[2].state["pan"].mass == 0.0
    assert rows[3].state["sump"].mass == pytest.approx(kg(litres), abs=kg(0.005))
    assert rows[3].state["sump"].mass == pytest.approx(
        kg(0.5 * 0.3**2 * 0.22 * 1e3 * math.tan(math.radians(slope))), rel=1e-4
    )


def test_the_lowest_rim_point_counts() -> None:
    """A hole of 14 mm at x = 140: its rim 7 mm down the slope, so the wedge is 150 + 140 - 7 = 283 mm long.

    The sump holds 1.02 times its drawing, and the plug is opened for one event's own attitude.
    """
    data = box_circuit(
        geometry={"volume_scale": 1.02, "datum_mm": 1.0}, plugs={"main": {"at_mm": [140, 0, 0], "bore_mm": 14.0}}
    )
    event = {"kind": "Drain", "hours": 10.0, "attitude": {"nose_up_deg": 4.0}}
    left = simulate(data, [event]).rows[-1].state["sump"].mass
    wedge = 1.02 * 0.5 * 0.283**2 * 0.2 * math.tan(math.radians(4.0))
    assert left == pytest.approx(868.0 * wedge, rel=1e-9)
    # A lip keeps so much besides.
    data["plugs"]["main"]["lip_l"] = 0.05
    assert simulate(data, [event]).rows[-1].state["sump"].mass == pytest.approx(left + kg(0.05), rel=1e-9)
    # A hole in the side wall, its axis forward: its lowest point is half a bore under its centre.
    data["plugs"] = {"main": {"at_mm": [150, 0, 20], "bore_mm": 14.0, "axis": [1, 0, 0]}}
    left = simulate(data, [{"kind": "Drain", "hours": 10.0}]).rows[-1].state["sump"].mass
    assert left == pytest.approx(868.0 * 1.02 * 0.06 * 0.013)


def test_emptying_by_halves_is_not_modelled() -> None:
    data = box_circuit(plugs={"main": {"at_mm": [0, 0, 0], "bore_mm": 14.0}})
    with pytest.raises(NotImplementedError, match="long enough"):
        simulate(data, [{"kind": "Drain", "seconds": 10.0}])
    data["plugs"]["side"] = TWO_PLUGS["side"]
    with pytest.raises(NotImplementedError, match="stated"):
        simulate(data, [{"kind": "OpenPlug"}, {"kind": "OpenPlug", "plug": "side"}])


def test_basins() -> None:
    mesh = Mesh(*shapes.stepped((-0.15, -0.03), 0.15, -0.06, 0.05, 0.20))
    assert mesh.basins(up_vector()) == 1
    assert mesh.basins(up_vector(3.0)) == 1
    assert mesh.basins(up_vector(-3.0)) == 2  # the shelf's end lies lower than its edge


# -- filter ----------------------------------------------------------------------------------------


# Judgement of the model: what a leaking valve lets run back, and what is spilled, by how the filter stands.
@pytest.mark.parametrize(
    ("orientation", "drains", "spill"),
    [(None, 1.0, 0.0), ("base_up", 0.0, 0.03), ("sideways", 0.5, 0.3), ("base_down", 1.0, 0.8)],
)
def test_a_leaking_valve(orientation: str | None, drains: float, spill: float) -> None:
    """0.4 L filter at 15 degC: of its pool exp(-t / (drain_time nu/nu0)) is left; time 60 s where it is not stated."""
    table: dict[str, Any] = {"net_volume_l": 0.4, "valve": "leaking"}
    if orientation:
        table["orientation"] = orientation
    data = box_circuit(filter=table)
    left = math.exp(-300.0 / (60.0 * slowness(data)))
    line = simulate(data, [RUN, {"kind": "Rest", "minutes": 5.0}, {"kind": "RemoveFilter"}])
    full, rested, off = (row.state for row in line.rows[1:])
    assert (full["filter"].mass, full["filter.pool"].mass) == pytest.approx((kg(0.4 * (1 - drains)), kg(0.4 * drains)))
    assert rested["filter"].mass == full["filter"].mass
    assert rested["filter.pool"].mass == pytest.approx(kg(0.4 * drains) * left)
    held = kg(0.4) * (1 - drains * (1 - left))
    assert off["floor"].mass == pytest.approx(spill * held)
    assert off["old filter"].mass == pytest.approx((1 - spill) * held)
    # It started as after the reference wait, and so stands at MAX in the reference condition.
    start = line.rows[0].state
    assert start["filter.pool"].mass == pytest.approx(kg(0.4 * drains) * math.exp(-10.0 / slowness(data)))
    assert start["sump"].mass == pytest.approx(kg(3.9))
    assert simulate(data, [RUN]).v_drained_l == pytest.approx(3.9)
    assert not simulate(data, [RUN]).over_max


def test_what_is_stated_comes_before_the_orientation() -> None:
    data = box_circuit(
        filter={"net_volume_l": 0.4, "valve": "leaking", "orientation": "base_up", "drains": 0.25, "drain_time_s": 30.0}
    )
    end = simulate(data, [RUN, {"kind": "Rest", "minutes": 2.0}]).rows[-1].state
    assert end["filter"].mass == pytest.approx(kg(0.3))
    assert end["filter.pool"].mass == pytest.approx(kg(0.1) * math.exp(-120.0 / (30.0 * slowness(data))))
    # A sound valve keeps all, whatever would drain.
    data["filter"] = {"net_volume_l": 0.4, "orientation": "base_down", "spill": 0.5}
    line = simulate(data, [RUN, {"kind": "Rest", "hours": 9.0}, {"kind": "RemoveFilter"}])
    assert "filter.pool" not in line.rows[0].state
    assert line.rows[2].state["filter"].mass == pytest.approx(kg(0.4))
    assert line.rows[3].state["floor"].mass == pytest.approx(kg(0.2))


def test_priming_fills_what_it_keeps_first() -> None:
    data = box_circuit(filter={"net_volume_l": 0.4, "valve": "leaking", "orientation": "sideways"})
    end = simulate(data, [{"kind": "ChangeFilter", "primed_l": 0.3}]).rows[-1].state
    assert (end["filter"].kg[1], end["filter.pool"].kg[1]) == pytest.approx((kg(0.2), kg(0.1)))
    assert (end["filter"].kg[0], end["filter.pool"].kg[0]) == (0.0, 0.0)


def test_a_filter_of_another_size() -> None:
    """0.7 L in place of 0.4: the run takes 0.7 from the sump, and 'over MAX' reckons with it."""
    data = box_circuit()
    events = [{"kind": "ChangeFilter", "net_volume_l": 0.7, "primed_l": 0.65}, RUN]
    line = simulate(data, events)
    assert line.rows[-1].state["filter"].mass == pytest.approx(kg(0.7))
    assert line.rows[-1].state["sump"].mass == pytest.approx(kg(3.9 - 0.05))
    assert line.v_drained_l == pytest.approx(3.85)
    # A filter whose size is not stated is the circuit's again: 0.4 L.
    line = simulate(data, [*events, {"kind": "ChangeFilter"}, RUN])
    assert line.v_drained_l == pytest.approx(3.85 - 0.4)


# -- filler ----------------------------------------------------------------------------------------


def test_filler() -> None:
    """0.05 L of each pour stays on the way; what is still there is washed in by the next."""
    data = box_circuit(filler={"wetted_l": 0.05})
    slow = slowness(data)
    pour = {"kind": "Pour", "volume_l": 0.5}
    rows = simulate(data, [pour, {"kind": "Rest", "seconds": 90.0}, pour, RUN | {"minutes": 2.0}]).rows
    left = 1.0 / math.sqrt(1.0 + 90.0 / (60.0 * slow))
    assert rows[0].state["filler"].mass == 0.0
    assert rows[1].state["filler"].kg[1] == pytest.approx(kg(0.05))
    assert rows[1].state["sump"].mass == pytest.approx(kg(3.9 + 0.45))
    assert rows[2].state["filler"].mass == pytest.approx(kg(0.05) * left)
    assert rows[2].state["sump"].mass == pytest.approx(kg(3.9 + 0.5 - 0.05 * left))
    assert rows[3].state["filler"].mass == pytest.approx(kg(0.05))
    assert rows[3].state["filler"].age == 0.0
    assert rows[4].state["filler"].mass == pytest.approx(kg(0.05) / math.sqrt(1.0 + 120.0 / (60.0 * slow)))
    # A small pour stays there altogether; a mass is divided like a volume.
    assert simulate(data, [pour | {"volume_l": 0.03}]).rows[-1].state["sump"].kg[1] == 0.0
    poured = simulate(data, [{"kind": "Pour", "mass_kg": 0.5}]).rows[-1].state
    assert poured["sump"].kg[1] == pytest.approx(0.5 - kg(0.05))


def test_what_stays_on_the_filler_does_not_fill_the_sump() -> None:
    """A box of 9 L: 5.1 L more than the 3.9 L that are there just fit, 0.05 L of 5.15 L staying on the way."""
    data = box_circuit(filler={"wetted_l": 0.05})
    simulate(data, [{"kind": "Pour", "volume_l": 5.149}])
    service = Service(Circuit.from_data(data))
    before = service.state["sump"].mass
    with pytest.raises(Refused, match="capacity"):
        service.step({"kind": "Pour", "volume_l": 5.151})
    assert (service.state["sump"].mass, service.state["filler"].mass) == (before, 0.0)


# -- thermostat and starts -------------------------------------------------------------------------


def test_thermostat() -> None:
    """A cooler that opens at 80 degC keeps what it held through a cold run, and takes part in a hot one."""
    data = box_circuit(stores={"cooler": {"running_l": 0.5, "kept_l": 0.1, "opens_at_c": 80.0}})
    start = simulate(data, [RUN | {"temperature_c": 90.0}, {"kind": "Rest", "minutes": 1.0}]).rows[-1].state
    pool = start["stores.cooler.pool"].mass
    cold = simulate(data, [RUN | {"temperature_c": 79.0}], start=start).rows[-1].state
    assert cold["stores.cooler.pool"].mass == pool
    assert cold["stores.cooler.pool"].temperature_c == 79.0
    hot = simulate(data, [RUN | {"temperature_c": 80.0}], start=start).rows[-1].state
    oil = Circuit.from_data(data).oil
    assert hot["stores.cooler.pool"].mass == pytest.approx(0.5e-3 * oil.density(80.0))


@pytest.mark.parametrize("opens", [50.0, 60.0])
def test_thermostat_where_no_temperature_is_stated(opens: float) -> None:
    """3.9 L at 60 degC in the sump, 0.4 L at 30 in the filter: mixed (3.9 x 60 + 0.4 x 30) / 4.3 = 57.2 degC. The
    cooler's own oil at 20 degC is not asked."""
    data = box_circuit(stores={"cooler": {"running_l": 0.5, "opens_at_c": opens}, "head": {"running_l": 0.0}})
    start = simulate(data, []).rows[0].state
    start["sump"].temperature_c, start["filter"].temperature_c = 60.0, 30.0
    start["stores.cooler.pool"].temperature_c = 20.0
    end = simulate(data, [RUN], start=start).rows[-1].state
    mixed = (3.9 * 60.0 + 0.4 * 30.0) / 4.3
    held = start["stores.cooler.pool"].mass
    if opens < mixed:
        mixed = (kg(4.3) * mixed + held * 20.0) / (kg(4.3) + held)
        assert end["stores.cooler.pool"].mass > held
    else:
        assert end["stores.cooler.pool"].mass == held
    assert end["sump"].temperature_c == pytest.approx(mixed)


def test_from_another_state() -> None:
    """Half way and on gives what all at once gives; the start given stays as it was."""
    data = pan_circuit(0.06, 4.0, stores={"a": {"running_l": 0.3, "film_l": 0.1}})
    first: list[dict[str, Any]] = [{"kind": "Withdraw", "volume_l": 1.0}, RUN]
    then: list[dict[str, Any]] = [{"kind": "Rest", "minutes": 1.0}, {"kind": "Pour", "volume_l": 0.5}, {"kind": "Read"}]
    whole = simulate(data, first + then)
    middle = simulate(data, first).rows[-1].state
    kept = middle["sump"].mass
    later = simulate(data, then, start=middle)
    assert later.rows[-1].state == whole.rows[-1].state
    assert later.readings == whole.readings
    assert later.v_drained_l == whole.v_drained_l
    assert middle["sump"].mass == kept


def test_a_draw_takes_what_is_less_than_nothing_for_nothing() -> None:
    data = box_circuit(
        filter={"net_volume_l": 0.4, "valve": "leaking", "drains": 1.3, "spill": -0.1},
        filler={"wetted_l": -0.02},
        stores={"a": {"running_l": 0.2, "kept_l": -0.1, "film_l": 0.3}},
    )
    events: list[dict[str, Any]] = [
        {"kind": "Pour", "volume_l": -1.0},
        {"kind": "Leak", "rate_l_min": -1.0},
        RUN,
        {"kind": "ChangeFilter", "primed_l": -0.1},
    ]
    end = simulate(data, events, limits="clip").rows[-1].state
    assert end["stores.a.pool"].mass == end["stores.a.kept"].mass == end["filler"].mass == end["floor"].mass == 0.0
    assert end["stores.a.film"].mass == pytest.approx(kg(0.2))
    assert end["old filter"].mass == pytest.approx(kg(0.4))
