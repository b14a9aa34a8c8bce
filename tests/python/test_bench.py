"""The bench: what it shows is what the core says, and what it refuses."""

import subprocess
import sys
from xml.etree import ElementTree

import fillmark as fm
import numpy as np
import pytest
from fillmark import bench
from fillmark.bench import _live, _pictures
from fillmark.bench._moves import WAITS

MOVES = (
    {},
    {"nose_up_deg": 2.5, "right_down_deg": 1.0},
    {"temperature_c": -10.0, "wait_minutes": 1.0},
    {"ran": False},
    {"ran": False, "primed": True},
)


@pytest.fixture(scope="module")
def benches():
    return {name: bench.Bench(name) for name in fm.demos()}


@pytest.mark.parametrize("name", fm.demos())
@pytest.mark.parametrize("controls", MOVES)
def test_reading_is_that_of_simulate_and_band_that_of_predict(benches, name, controls):
    b = benches[name]
    seen = b.look(b.start(**controls))
    line = fm.simulate(b.circuit, b.events(seen.moves))
    assert seen.reading == line.reading("bench")
    assert seen.from_max_l == line.v_drained_l - line.v_max_l
    p = fm.predict(b.circuit, b.events(seen.moves), draws=20_000).reading("bench").mm
    # 20 000 draws know a standard uncertainty to 0.5 %; first order leaves out what bends.
    np.testing.assert_allclose(seen.standard_uncertainty_mm, p.standard_uncertainty, rtol=0.02)
    np.testing.assert_allclose(seen.reading.mm, p.mean, atol=0.15)


@pytest.mark.slow  # half a minute of draws: the sump of the bus parts into pools at this attitude
def test_band_taken_level_is_that_of_the_slope():
    b = bench.Bench("shuttle-bus")
    seen = b.look(b.start(nose_up_deg=2.0))
    assert seen.band_at_reference
    p = fm.predict(b.circuit, b.events(seen.moves), draws=500).reading("bench").mm
    np.testing.assert_allclose(seen.standard_uncertainty_mm, p.standard_uncertainty, rtol=0.1)


def test_installed_attitude_comes_on_top(benches):
    launch = benches["harbour-launch"]
    at = launch.attitude(launch.start(nose_up_deg=2.0))
    assert at.nose_up_deg == pytest.approx(10.0)  # installed 8 deg nose-up


def test_prime_is_part_of_the_pour(benches):
    b = benches["shuttle-bus"]
    poured = {}
    for primed in (False, True):
        events = b.events(b.start(poured_l=7.0, primed=primed))
        poured[primed] = sum(fm.simulate(b.circuit, events).ledger.balance()["poured_kg"])
    # Both go in at 20 degC (the filter's prime at the temperature of the circuit at rest, which is 20 degC too).
    assert poured[True] == pytest.approx(poured[False], rel=2e-3)
    truths = [b.look(b.start(poured_l=7.0, primed=primed)).from_max_l for primed in (False, True)]
    assert truths[0] == pytest.approx(truths[1], abs=5e-3)


def test_an_empty_filter_takes_its_volume_from_the_stick(benches):
    b = benches["deck-generator"]
    empty, full = (b.look(b.start(ran=False, primed=primed)).places["sump"] for primed in (False, True))
    assert empty - full == pytest.approx(0.30, abs=0.005)  # the net volume stated in the circuit


@pytest.mark.parametrize("name", fm.demos())
def test_pictures_are_well_formed_and_say_the_reading(benches, name):
    b = benches[name]
    seen = b.look(b.start())
    cells = _pictures.cells(b, seen)
    for part in ("section", "stick", "bars"):
        root = ElementTree.fromstring(cells[part])
        assert root.get("role") == "img"
        assert root.get("aria-label")
    assert f"{seen.reading.mm:.1f} mm" in cells["stick"]
    assert f"{seen.reading.mm:.1f} mm" in cells["words"]
    held = sum(v for p, v in seen.places.items() if p not in ("pan", "old filter", "floor", "burnt"))
    assert f"{held:.2f} L in the circuit" in cells["bars"]


def test_free_surface_is_drawn_at_the_reading(benches):
    """Pixels of the surface and of the marks lie as the millimetres do (upright stick of the generator)."""
    b = benches["deck-generator"]
    seen = b.look(b.start())
    root = ElementTree.fromstring(_pictures.section(b, seen))
    ns = {"s": "http://www.w3.org/2000/svg"}
    lines = root.findall("s:line", ns)
    (surface,) = [float(x.get("y1")) for x in lines if x.get("stroke-width") == "1.2"]
    at_max, at_min = (float(x.get("y1")) for x in lines if x.get("stroke-width") == "2.4")
    along = (at_max - surface) / (at_min - at_max)
    np.testing.assert_allclose(
        along, (seen.reading.mm - b.circuit.max_mm) / (b.circuit.max_mm - b.circuit.min_mm), atol=0.02
    )


@pytest.mark.parametrize(
    ("controls", "said"),
    [
        ({"poured_l": -1.0}, r"poured_l = -1.0 is outside \[0, 10\] L"),
        ({"poured_l": "7"}, "poured_l = '7' is outside"),
        ({"nose_up_deg": 7.0}, r"nose_up_deg = 7.0 is outside \[-6, 6\] deg"),
        ({"temperature_c": float("nan")}, "temperature_c = nan is outside"),
        ({"wait_minutes": 7.0}, "wait_minutes = 7.0 is none of 0.25, 0.5, 1, 2"),
        ({"volume": 7.0}, "there is no control 'volume'; there are poured_l"),
    ],
)
def test_refusals_name_the_control(controls, said):
    with pytest.raises(fm.QuantityError, match=said):
        bench.live("shuttle-bus", **controls)


def test_what_the_core_refuses_is_said_in_words(benches):
    b = benches["winch-gearbox"]
    cells = _live.answer(b, b.start(poured_l=float(b.most_l)), "k")
    assert cells["section"] or cells["words"].startswith("This cannot be: ")
    tall = bench.Bench("deck-generator")
    tall.most_l = 50
    said = _live.answer(tall, tall.start(poured_l=40.0), "k")
    assert said["section"] == ""
    assert "ullage" in said["words"]


def test_widget_answers_a_move():
    pytest.importorskip("anywidget")
    shown = bench.live("deck-generator", poured_l=4.0)
    before = shown.words
    shown.moves = {**shown.moves, "poured_l": 4.2, "serial": 1}
    assert shown.words != before
    assert shown.seen["serial"] == 1
    b = bench.Bench("deck-generator")
    mm = fm.simulate(b.circuit, b.events(b.start(poured_l=4.2))).reading("bench").mm
    assert f"reads {mm:.1f} mm" in shown.words
    shown.put(wait_minutes=60.0, nose_up_deg=-3.0)
    assert WAITS[shown.moves["wait"]] == 60.0
    mm = (
        fm.simulate(b.circuit, b.events(b.start(poured_l=4.2, wait_minutes=60.0, nose_up_deg=-3.0))).reading("bench").mm
    )
    assert f"reads {mm:.1f} mm" in shown.words


def test_every_control_has_a_label_and_a_unit(benches):
    for b in benches.values():
        found = _live.controls(b)
        names = [c["name"] for c in found]
        assert ("primed" in names) == b.has_filter
        for control in found:
            assert control["label"]
            assert control["kind"] == "tick" or control["unit"]


def test_without_anywidget_the_bench_stands_still():
    code = (
        "import sys; sys.modules['anywidget'] = None\n"
        "import importlib.util as u; real = u.find_spec\n"
        "u.find_spec = lambda name, *a: None if name == 'anywidget' else real(name, *a)\n"
        "from fillmark import bench\n"
        "shown = bench.live('deck-generator')\n"
        "assert type(shown).__name__ == 'Figure', shown\n"
        "assert shown._repr_html_().count('<svg') == 3\n"
        "assert 'matplotlib' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
