"""Uncertain attitudes in predictions, and services from a given state; more in Rust (estimate/leaning)."""

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
    row = shares["input"].tolist().index("events[1].attitude.nose_up")
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
    assert (
        line.readings[0].mm == fm.simulate(box(STICK), [fm.Read(attitude=fm.Attitude(nose_up_deg=2.0))]).readings[0].mm
    )


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
        fm.predict(other, [fm.Read()], start=start, draws=200)
    with pytest.raises(fm.ServiceError, match="start"):
        fm.plan_withdraw(other, done=[], then=[fm.Rest(minutes=5)], start=start, draws=200)


def draws_of(laws: dict[str, fm.Uncertain], draws: int, seed: int) -> dict[str, np.ndarray]:
    """The draws that a prediction makes of inputs of these names: a draw is a function of seed, name and row."""
    seen: dict[str, np.ndarray] = {}

    def model(**inputs: np.ndarray) -> np.ndarray:
        for name, column in inputs.items():
            seen[name] = np.concatenate([seen.get(name, np.empty(0)), column])
        return np.zeros(len(next(iter(inputs.values()))))

    fm.propagate(model, laws, draws=draws, seed=seed)
    return {name: column[-draws:] for name, column in seen.items()}  # what first order asks for comes before


@pytest.mark.parametrize(
    ("name", "pour_l", "pitch_deg"),
    [
        ("shuttle-bus", 6.9, 0.5),
        ("shuttle-bus", 5.6, -1.5),
        ("deck-generator", 4.0, 0.5),
        ("harbour-launch", 13.0, 8.5),
    ],
)
def test_every_draw_is_the_exact_service_at_its_attitude(name, pour_l, pitch_deg):
    # Reference: `simulate` with the exact geometry, once for every draw. All else stands at its nominal value.
    circuit, count, seed = fm.Circuit.demo(name), 15, 3
    uncertain = np.array(circuit.columns()["standard_uncertainty"]) > 0.0
    rows = zip(circuit.columns()["path"][uncertain], circuit.columns()["nominal"][uncertain], strict=True)
    units = dict(zip(circuit.columns()["path"], circuit.columns()["unit"], strict=True))
    still = circuit.replace({str(path): f"{float(value)!r} {units[path]}" for path, value in rows})
    still = still.replace({"dipstick.scatter": "0 mm"})
    done = [fm.Drain(minutes=15), fm.ChangeFilter(), fm.Pour(pour_l), fm.Run(minutes=1), fm.Rest(minutes=15)]
    sloped = fm.Read(attitude=f"nose up {pitch_deg}(8) deg right down 0.2(6) deg")
    p = fm.predict(still, [*done, sloped], draws=count, seed=seed)
    laws = {
        f"events[5].attitude.{angle}": fm.Uncertain.normal(math.radians(mean), math.radians(u))
        for angle, mean, u in (("nose_up", pitch_deg, 0.8), ("right_down", 0.2, 0.6))
    }
    pitch, roll = np.degrees(list(draws_of(laws, count, seed).values()))
    assert pitch.std() > 0.4
    assert roll.std() > 0.3
    within_mm = (
        p.attitude_errors_mm["events[5].attitude"] / 0.6 + 1e-6
    )  # every blade rises by more than 0.6 of its length
    assert within_mm < 0.034
    for i in range(count):
        attitude = fm.Attitude(nose_up_deg=float(pitch[i]), right_down_deg=float(roll[i]))
        exact = fm.simulate(still, [*done, fm.Read(attitude=attitude)]).readings[0]
        assert p.readings[0].mm.values()[i] == pytest.approx(exact.mm, abs=within_mm)
        # Once for the reading, once for MAX.
        litres = 2.0 * within_mm * still.ml_per_mm / 1e3
        assert p.readings[0].litres_from_max.values()[i] == pytest.approx(exact.litres_from_max, abs=litres)
