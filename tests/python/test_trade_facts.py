"""What people who do the job expect (common practice, no source), with sump and stick given by round numbers."""

import math

import fillmark as fm
import pytest
from services import box, edited

US_QT_L = 0.946352946  # exact: 57.75 cubic inches (NIST Handbook 44, appendix C)
DONE = [fm.Drain(minutes=10), fm.ChangeFilter()]
THEN = [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="dip")]
# No hold-up while running: what the sump loses at the first run is the filter's volume alone.
NO_HOLD_UP = ('running = "0.3 L"', 'running = "0 L"')
# The stick stands 150 mm forward of the middle in a longer sump (400 x 200 mm: 80 mL per mm).
FORWARD = (
    ('length = "300 mm"', 'length = "400 mm"'),
    ("path_mm = [[0, 0, 5], [0, 0, 105]]", "path_mm = [[150, 0, 5], [150, 0, 105]]"),
)


def dip(circuit, *events):
    return fm.simulate(circuit, [*events, fm.Read(label="only")]).reading("only")


def test_the_service_capacity_brings_the_reading_to_max():
    # Common practice, no source. A service sheet says 5.7 US qt with filter (5.394 L). Drawn apart from it: a pan of
    # 300 x 200 mm whose MAX stands 85 mm above the floor (5.1 L), a plug that leaves 0.1 L, a filter of 0.4 L.
    circuit = box(
        ('height = "100 mm"', 'height = "150 mm"'),
        ("path_mm = [[0, 0, 5], [0, 0, 105]]", "path_mm = [[0, 0, 5], [0, 0, 145]]"),
        ('max = "50 mm"', 'max = "80 mm"'),
        ('heel = "0.2 L"', 'heel = "0.1 L"'),
        ('running = "0.3 L"', 'running = "0.2 L"\nfilm = "0.05 L"'),
    )
    reading = fm.simulate(circuit, [*DONE, fm.Pour("5.7 US qt"), *THEN]).reading("dip")
    scatter_mm = 1.0  # the default, of one reading
    assert abs(reading.mm - circuit.max_mm) < scatter_mm


@pytest.mark.parametrize("name", fm.demos())
@pytest.mark.parametrize("hours", [0.1, 1.0, 240.0])
def test_some_oil_always_stays(name, hours):
    # Common practice, no source: no drain empties an engine.
    circuit = fm.Circuit.demo(name)
    plug = "drain" if name == "winch-gearbox" else "main"
    off = [] if name == "winch-gearbox" else [fm.RemoveFilter()]
    state = fm.simulate(circuit, [fm.Drain(hours=hours, plug=plug), *off]).rows[-1].state.columns()
    inside = [i for i, place in enumerate(state["place"]) if place not in ("old filter", "pan", "floor", "burnt")]
    assert sum(state["old_oil_kg"][i] for i in inside) > 0.02
    assert state["old_oil_kg"][0] > 0.0  # in the sump, under the plug


def test_the_first_run_lowers_the_reading_by_the_filters_volume():
    # Common practice, no source: the new filter fills at the first run.
    circuit = box(NO_HOLD_UP)
    before = dip(circuit, *DONE, fm.Pour(3.5))
    after = dip(circuit, *DONE, fm.Pour(3.5), fm.Run(minutes=1))
    assert circuit.ml_per_mm == pytest.approx(60.0, rel=1e-12)
    assert before.mm - after.mm == pytest.approx(400.0 / circuit.ml_per_mm, rel=1e-9)


@pytest.mark.parametrize("angle_deg", [0.25, 0.5, 1.0, 2.0])
def test_turning_the_vehicle_round_flips_a_slope_error(angle_deg):
    # Common practice, no source. Closed form for a box whose floor and top stay clear: the surface turns about the
    # middle, so an upright blade at x reads x tan(theta) low with the nose up, and as much high with it down.
    circuit = box(*FORWARD)
    true = dip(circuit).mm
    up, down = (dip(circuit, fm.Tilt(fm.Attitude(nose_up_deg=sign * angle_deg))).mm - true for sign in (+1.0, -1.0))
    assert up == pytest.approx(-150.0 * math.tan(math.radians(angle_deg)), rel=1e-9)
    assert up == pytest.approx(-down, rel=1e-9)


def test_slope_sensitivity_at_150_mm():
    # Computed, not printed anywhere: 150 mm x tan(1 deg) = 2.62 mm.
    circuit = box(*FORWARD)
    error = dip(circuit).mm - dip(circuit, fm.Tilt(fm.Attitude(nose_up_deg=1.0))).mm
    assert error == pytest.approx(2.62, abs=0.005)


def test_a_leaning_stick_flips_to_first_order():
    # Common practice, no source. A blade that leans crosses the turned surface at another x: what does not flip is of
    # second order in the slope, so half the slope leaves a quarter of it.
    circuit = box(FORWARD[0], ("path_mm = [[0, 0, 5], [0, 0, 105]]", "path_mm = [[100, 0, 5], [150, 0, 105]]"))
    true = dip(circuit).mm

    def sum_and_difference(angle_deg):
        up, down = (dip(circuit, fm.Tilt(fm.Attitude(nose_up_deg=s * angle_deg))).mm - true for s in (1.0, -1.0))
        return up + down, up - down

    (whole, large), (half, small) = sum_and_difference(1.0), sum_and_difference(0.5)
    assert abs(whole) < 0.05 * abs(large)
    assert whole / half == pytest.approx(4.0, rel=0.01)
    assert large / small == pytest.approx(2.0, rel=0.01)


@pytest.mark.parametrize("primed_l", [0.1, 0.25, 0.4])
def test_prefill_is_part_of_the_fill(primed_l):
    # Common practice, no source: what goes into the filter beforehand is not poured again.
    circuit = box()
    dry = fm.simulate(circuit, [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(3.5), *THEN])
    primed = fm.simulate(
        circuit, [fm.Drain(minutes=10), fm.ChangeFilter(primed_l=primed_l), fm.Pour(3.5 - primed_l), *THEN]
    )
    assert primed.reading("dip").mm == pytest.approx(dry.reading("dip").mm, abs=1e-9)
    twice = fm.simulate(circuit, [fm.Drain(minutes=10), fm.ChangeFilter(primed_l=primed_l), fm.Pour(3.5), *THEN])
    excess_mm = 1e3 * primed_l / circuit.ml_per_mm
    assert twice.reading("dip").mm - dry.reading("dip").mm == pytest.approx(excess_mm, rel=1e-9)


@pytest.mark.parametrize("name", fm.demos())
@pytest.mark.parametrize("temperature_c", [-10.0, 20.0, 90.0])
def test_a_longer_wait_never_lowers_a_reading(name, temperature_c):
    # Common practice, no source: oil comes down, it does not go up. At constant temperature: cooling, it shrinks.
    circuit = fm.Circuit.demo(name).replace({"cooling.ambient": f"{temperature_c} degC"})
    run = fm.Run(minutes=1, temperature_c=temperature_c)
    waits = [0.0, 1.0, 10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 3600.0, 36000.0, 864000.0]
    readings = [dip(circuit, run, fm.Rest(seconds=wait)).mm for wait in waits]
    assert readings == sorted(readings)
    assert readings[-1] - readings[0] > 1.0  # and it does come down


def test_a_stick_that_stands_5_mm_proud_reads_5_mm_low():
    # Common practice, no source.
    seated, proud = box(), box(('max = "50 mm"', 'max = "50 mm"\nseat_offset = "5 mm"'))
    assert dip(seated).mm - dip(proud).mm == pytest.approx(5.0, abs=1e-9)


@pytest.mark.parametrize(
    ("said", "poured", "ratio"),
    # Exact ratios of the units' definitions (NIST Handbook 44, appendix C; imperial gallon 4.54609 L).
    [("US qt", "imp qt", 1.2009499), ("US qt", "L", 1 / US_QT_L), ("L", "imp qt", 1.1365225)],
)
def test_a_unit_slip_shows_in_proportion(said, poured, ratio):
    # Common practice, no source: the excess is in proportion to the fill.
    circuit = box(('heel = "0.2 L"', 'heel = "0.5 L"'))  # 3.3 mm above the tip
    start = dip(circuit, fm.Drain(minutes=10)).mm
    right, wrong = (dip(circuit, fm.Drain(minutes=10), fm.Pour(f"2 {unit}")).mm - start for unit in (said, poured))
    assert wrong / right == pytest.approx(ratio, rel=1e-7)


def test_the_circuits_text_is_what_the_facts_say():
    # 300 mm x 200 mm x 55 mm = 3.3 L below MAX.
    assert fm.simulate(box(), []).v_max_l == pytest.approx(3.3, rel=1e-12)
    assert edited().startswith("format = 1")


@pytest.mark.parametrize("name", fm.demos())
def test_a_circuit_that_stands_at_max_is_not_over_it(name):
    """Common practice, no source: an engine at MAX in the marks' own condition is full, not overfull."""
    assert fm.predict(fm.Circuit.demo(name), [], draws=2000).probability_over_max == 0.0
