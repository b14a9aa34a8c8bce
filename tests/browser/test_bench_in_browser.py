"""The live bench in a served JupyterLab: what is shown after a move is what the core says to it."""

import re

import fillmark as fm
import pytest
from fillmark.bench import Bench

CELL = "from fillmark import bench\nbench.live({name!r}, poured_l={litres})"
READS = re.compile(r"The stick reads ([\u2212\d.]+) mm ± ([\d.]+) mm")


def words(page):
    return page.locator("[data-words]").inner_text()


def expected(bench, **controls):
    """The sentence's numbers by `simulate` and, for the band, by `predict`."""
    events = bench.events(bench.start(**controls))
    mm = fm.simulate(bench.circuit, events).reading("bench").mm
    u = fm.predict(bench.circuit, events, draws=20_000).reading("bench").mm.standard_uncertainty
    return mm, 2.0 * u


def agree(page, bench, **controls):
    """Wait until the page says what the core says."""
    mm, half = expected(bench, **controls)
    page.wait_for_function(
        "said => document.querySelector('[data-words]').textContent.includes(said)", arg=f"reads {mm:.1f} mm"
    )
    shown, band = (float(x.replace("\u2212", "-")) for x in READS.search(words(page)).groups())
    assert shown == pytest.approx(mm, abs=0.0501)
    assert band == pytest.approx(half, rel=0.03, abs=0.06)
    # The picture of the stick says the same, and so does its name for a screen reader.
    assert f"reads {mm:.1f} mm" in page.locator(".fm-bench-stick svg").get_attribute("aria-label")


def press(page, control, key, times=1):
    page.locator(f"[data-control='{control}']").focus()
    for _ in range(times):
        page.keyboard.press(key)


def test_moves_by_keyboard_change_the_reading_to_what_the_core_says(lab):
    bench = Bench("deck-generator")
    page = lab("generator", CELL.format(name="deck-generator", litres=4.0))
    at = {"poured_l": 4.0}
    agree(page, bench, **at)

    press(page, "poured_l", "ArrowRight", 4)  # 0.05 L each
    at["poured_l"] = 4.2
    agree(page, bench, **at)

    press(page, "nose_up_deg", "ArrowRight", 4)  # half a degree each
    press(page, "right_down_deg", "ArrowLeft", 2)
    at |= {"nose_up_deg": 2.0, "right_down_deg": -1.0}
    agree(page, bench, **at)

    press(page, "temperature_c", "ArrowLeft", 4)  # 5 °C each
    press(page, "wait", "End")
    at |= {"temperature_c": 20.0, "wait_minutes": 720.0}
    agree(page, bench, **at)
    assert page.locator("[data-control='wait']").get_attribute("aria-valuetext") == "12 h"

    press(page, "ran", "Space")
    at["ran"] = False
    agree(page, bench, **at)
    assert "take no oil out" in words(page)

    press(page, "primed", "Space")
    at["primed"] = True
    agree(page, bench, **at)


def test_tab_reaches_every_control_in_order_and_each_has_a_label_with_its_unit(lab):
    page = lab("order", CELL.format(name="deck-generator", litres=4.0))
    names = page.eval_on_selector_all(".fm-bench [data-control]", "all => all.map(x => x.dataset.control)")
    assert names == ["poured_l", "nose_up_deg", "right_down_deg", "temperature_c", "wait", "ran", "primed"]
    page.locator("[data-control='poured_l']").focus()
    reached = []
    for _ in names:
        reached.append(page.evaluate("document.activeElement.dataset.control"))
        page.keyboard.press("Tab")
    assert reached == names
    for name, unit in (("poured_l", "L"), ("nose_up_deg", "°"), ("temperature_c", "°C"), ("wait", "min")):
        control = page.locator(f"[data-control='{name}']")
        assert page.locator(f"label[for='{control.get_attribute('id')}']").inner_text()
        assert control.get_attribute("aria-valuetext").endswith(unit)
    assert page.locator("[data-words]").get_attribute("aria-live") == "polite"


def test_a_move_from_python_moves_the_control(lab):
    cells = ("from fillmark import bench\nb = bench.live('deck-generator', poured_l=4.0)\nb", "b.put(poured_l=3.5)")
    page = lab("python", *cells)
    page.locator(".jp-Notebook .jp-CodeCell .cm-content").nth(1).click()
    page.keyboard.press("Control+Enter")
    agree(page, Bench("deck-generator"), poured_l=3.5)
    assert page.locator("[data-control='poured_l']").input_value() == "3.5"


@pytest.mark.parametrize("width", [1400, 640])
def test_nothing_is_cut_off(lab, pictures, width):
    page = lab(f"bus{width}", CELL.format(name="shuttle-bus", litres=7.1), width=width, height=1100)
    if width < 1000:
        page.keyboard.press("Escape")
        page.keyboard.press("Control+b")  # the file browser takes half of a small window
    press(page, "nose_up_deg", "ArrowRight", 5)
    press(page, "right_down_deg", "ArrowRight", 2)
    agree(page, Bench("shuttle-bus"), poured_l=7.1, nose_up_deg=2.5, right_down_deg=1.0)
    page.wait_for_timeout(300)
    page.screenshot(path=pictures / f"lab_{width}.png")
    bench = page.locator(".fm-bench")
    bench.scroll_into_view_if_needed()
    bench.screenshot(path=pictures / f"bench_{width}.png")
    overflow = """x => [...x.querySelectorAll('div, p, label, output')]
        .filter(e => e.scrollWidth > e.clientWidth + 2 && getComputedStyle(e).display !== 'inline')
        .map(e => e.className || e.textContent)"""
    assert bench.evaluate("x => x.scrollWidth <= x.clientWidth + 1")
    assert not bench.evaluate(overflow)
