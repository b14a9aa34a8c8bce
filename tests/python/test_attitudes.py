"""Uncertain attitudes in predictions, and services from a given state; draw by draw they are tested in Rust (estimate/leaning)."""

import math
import pickle

import fillmark as fm
import numpy as np
import pytest
from services import box

# The stick of this box stands upright at x = 60 mm, y = -40 mm; nothing else is uncertain.
STICK = ("path_mm = [[0, 0, 5], [0, 0, 105]]", "path_mm = [[60, -40, 5], [60, -40, 105]]")
STILL = ('max = "50 mm"', 'max = "50 mm"\nscatter = "0 mm"')
SLOPED = ('temperature = "20 degC"', 'temperature = "20 degC"\nattitude = { nose_up = "0.0(10) deg" }')


def test_a_reading_turns_with_pitch_and_roll_about_the_middle_of_a_box():
    # Elementary geometry: the surface at (x, y) stands x tan p / cos r + y tan r lower. First order: JCGM 100, 5.1.
    circuit, draws = box(STICK, STILL), 2**16
    sloped = fm.Read(label="sloped", attitude="nose up 0.0(8) deg right down 0.0(6) deg")
    p = fm.predict(circuit, [sloped, fm.Read(label="level")], draws=draws)
    u = math.hypot(60.0 * math.radians(0.8), 40.0 * math.radians(0.6))
    assert p.reading("sloped").mm.standard_uncertainty == pytest.approx(u, rel=4 / math.sqrt(2 * draws) + 1e-3)
    assert p.reading("sloped").mm.mean == pytest.approx(p.reading("level").mm.mean, abs=4 * u / math.sqrt(draws))
    assert p.reading("level").mm.standard_uncertainty < 1e-9
    assert p.attitude_errors_mm.keys() == {"events[0].attitude"}
    assert 0.0 <= p.attitude_errors_mm["events[0].attitude"] <= 0.02
    assert fm.predict(circuit, [fm.Read()], draws=10).attitude_errors_mm == {}


def test_every_draw_lies_on_the_plane_of_its_own_angles():
    # A tilt is drawn once for all that follows it.
    circuit = box(STICK, STILL)
    events = [fm.Tilt("nose up 0.0(8) deg"), fm.Read(label="a"), fm.Wipe(), fm.Read(label="b")]
    p = fm.predict(circuit, events, draws=1000)
    assert np.array_equal(p.reading("a").mm.values(), p.reading("b").mm.values())
    angles = np.degrees(np.arctan((50.0 - p.reading("a").mm.values()) / 60.0))
    assert np.abs(angles).max() < 4.5
    assert angles.std() == pytest.approx(0.8, rel=4 / math.sqrt(2000))


def test_marks_are_true_on_the_slope_that_the_vehicle_stands_on():
    circuit = box(STICK, STILL, SLOPED)
    p = fm.predict(circuit, [fm.Read(label="own"), fm.Read(label="level", attitude=fm.Attitude())], draws=2000)
    assert p.reading("own").mm.values() == pytest.approx(np.full(2000, 50.0), abs=0.02)
    u = 60.0 * math.radians(1.0)
    assert p.reading("level").mm.standard_uncertainty == pytest.approx(u, rel=4 / math.sqrt(4000) + 1e-3)


def test_what_drives_a_reading_on_a_slope_goes_by_its_angles():
    events = [fm.Pour("0.10(2) L"), fm.Read(label="dip", attitude="nose up 1.0(20) deg right down 0.0(1) deg")]
    names = {"events[1].attitude.nose_up", "events[1].attitude.right_down", "events[0].volume"}
    bars = fm.tornado(box(STICK, STILL), events, of="dip").columns()
    assert bars["input"][0] == "events[1].attitude.nose_up"
    assert bars["unit"][0] == "deg"
    assert names <= set(bars["input"])
    shares = fm.sensitivity(box(STICK, STILL), events, of="dip").columns()
    pitch, pour = ((60.0 * math.radians(2.0)) ** 2, (0.02 / 0.06) ** 2)
    roll = (40.0 * math.radians(0.1)) ** 2
    row = shares["input"].index("events[1].attitude.nose_up")
    assert shares["total"][row] == pytest.approx(pitch / (pitch + pour + roll), abs=5e-3)


def test_an_attitude_in_words():
    event = fm.Read(attitude="nose up 2.0(5) deg")
    assert repr(event) == "Read(attitude='nose up 2.0(5) deg')"
    assert fm.Read(attitude="nose up 2 deg") == fm.Read(attitude=fm.Attitude(nose_up_deg=2.0))
    assert repr(fm.Read(attitude="nose up 2 deg")) == "Read(attitude=Attitude(nose_up_deg=2.0))"
    with pytest.raises(fm.ServiceError, match="unknown word `nosy`"):
        fm.Read(attitude="nosy 2 deg")
    with pytest.raises(fm.ServiceError, match="an attitude alone"):
        fm.Tilt('level called "x"')
    with pytest.raises(TypeError, match="attitude"):
        fm.Read(attitude=2.0)
    # A simulation takes the nominal angles.
    line = fm.simulate(box(STICK), [event])
    assert line.readings[0].mm == fm.simulate(box(STICK), [fm.Read(attitude=fm.Attitude(nose_up_deg=2.0))]).readings[0].mm


def test_a_prediction_from_a_state():
    circuit = box(STILL)
    whole = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(2.5), fm.Run(minutes=1), fm.Rest(minutes=10), fm.Read()]
    line = fm.simulate(circuit, whole)
    start = line.rows[2].state
    p = fm.predict(circuit, whole[2:], start=start, draws=100)
    assert p.readings[0].mm.values() == pytest.approx(np.full(100, line.readings[0].mm), abs=1e-9)
    assert pickle.loads(pickle.dumps(p)) == p
    plan = fm.plan_refill(circuit, done=[], then=whole[3:5], start=start, draws=500)
    assert plan.first_pour_l == fm.plan_refill(circuit, done=whole[:2], then=whole[3:5], draws=500).first_pour_l
    assert "stands high by what the filter still takes" in str(plan)
    other = fm.Circuit.demo("shuttle-bus")
    with pytest.raises(fm.ServiceError, match="start"):
        fm.predict(other, [fm.Read()], start=start, draws=10)
    with pytest.raises(fm.ServiceError, match="start"):
        fm.plan_withdraw(other, done=[], then=[fm.Rest(minutes=5)], start=start, draws=10)
