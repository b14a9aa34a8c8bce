"""Notebook faces and tables: well-formed, escaped, closed in themselves; columns as other tables take them."""

import io
import re
import subprocess
import sys
from xml.etree import ElementTree

import fillmark as fm
import numpy as np
import pandas
import polars
import pyarrow
import pytest
from fillmark import _html
from pictures import generator
from services import box, edited

NAME = 'Tom & "Ann" <script>alert(1)</script>'
SVG = "{http://www.w3.org/2000/svg}"
DONE = [fm.Drain(minutes=10), fm.ChangeFilter()]
THEN = [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="dip <1>")]


def circuit():
    return box(('name = "box"', "name = '" + NAME + "'\nnote = 'a < b'"))


def timeline():
    return fm.simulate(circuit(), [*DONE, fm.Pour(2.9), *THEN])


def prediction():
    return fm.predict(circuit(), [*DONE, fm.Pour(2.9), *THEN], draws=500, seed=1)


def plan():
    return fm.plan_refill(circuit(), done=DONE, then=THEN, draws=500)


SHOWN = {
    "circuit": circuit,
    "timeline": timeline,
    "ledger": lambda: timeline().ledger,
    "prediction": prediction,
    "plan": plan,
}


PLUG = fm.Plug(at_mm=(100.0, 0.0, 0.0), bore_mm=12.0)
INPUTS = {"a <b>": fm.Uncertain.rectangular(0.0, 1.0), "c": fm.Uncertain.rectangular(0.0, 4.0)}
SHOWN |= {
    "state": lambda: timeline().rows[-1].state,
    "pools": lambda: fm.Pools.at_level(box().sump, level_mm=50.0),
    "basins": lambda: box().sump.basins(),
    "heel map": lambda: box().sump.heel_map(PLUG, nose_up_deg=[0.0, 2.0], right_down_deg=[0.0]),
    "tornado": lambda: fm.tornado(lambda **x: x["a <b>"] + x["c"], INPUTS),
    "sensitivity": lambda: fm.sensitivity(lambda **x: x["a <b>"] + x["c"], INPUTS, draws=64),
}
SERVICE = [*DONE, fm.Pour(2.9), *THEN]
SHOWN |= {
    "diagnosis": lambda: fm.diagnose(circuit(), record(), particles=16, replicates=2),
    "assessment": lambda: fm.assess(circuit(), SERVICE, draws=200),
    "propagation": lambda: fm.propagate(lambda **x: x["a <b>"] + x["c"], INPUTS, draws=200),
    "worth measuring": lambda: fm.worth_measuring(lambda **x: x["a <b>"] + x["c"], INPUTS, draws=64),
    "wait advice": lambda: fm.wait_advice(circuit(), SERVICE[:-2], draws=50),
    "reconciliation": lambda: fm.reconcile(generator(), draws=50),
    "residue": lambda: timeline().residue(),
    "old oil": lambda: fm.old_oil(box(), [*DONE, fm.Pour(2.9), fm.Run(minutes=10)]),
    "litre scale": lambda: box().litre_scale(step_l=0.5),
    "strapping": lambda: box().sump.strapping(step_mm=20.0),
    "calibration": lambda: fm.calibrate(added_l=[0.0, 0.5, 1.0, 1.5], reading_mm=[50.0, 58.0, 67.0, 75.0], draws=200),
    "dip study": lambda: fm.dip_study(["a <b>", "a <b>", "c", "c"], [50.0, 51.0, 52.0, 52.5], draws=200),
    "weighed residue": lambda: fm.weighed_residue([5.9, 5.8], held_l="7.90(5) L", density_kg_m3=868, draws=200),
    "first order": lambda: fm.propagate(lambda **x: x["a <b>"] + x["c"], INPUTS, draws=200).results[0].first_order,
    "trend": lambda: fm.trend(over=[0, 20, 40, 60], reading_mm=[61.0, 56.0, 51.0, 46.0], ml_per_mm=60, draws=200),
}


def record():
    return fm.Record([*DONE, fm.Pour(3.4), fm.Run(minutes=2), fm.Rest(minutes=20)], [60.0], complaint="reads_over")


def said(html):
    return " ".join("".join(ElementTree.fromstring(html).itertext()).split())


@pytest.mark.parametrize("name", SHOWN)
def test_faces_are_well_formed_and_escaped(name):
    html = SHOWN[name]()._repr_html_()
    tree = ElementTree.fromstring(html)
    assert tree.tag == "div"
    assert not [e for e in tree.iter() if e.tag.removeprefix(SVG) in ("script", "style", "link", "img", "iframe")]
    assert "http" not in html.replace("http://www.w3.org/2000/svg", "")
    assert "<script" not in html
    if name in ("circuit", "timeline", "plan"):
        assert NAME in said(html)
    for one in tree.iter():
        colours = [v for k, v in one.attrib.items() if k in ("fill", "stroke") and v.startswith("#")]
        assert all(c[1:3] == c[3:5] == c[5:7] for c in colours), "grey only"


def test_a_circuit_shows_every_input_in_everyday_units():
    html = generator()._repr_html_()
    rows = [["".join(c.itertext()) for c in row] for row in ElementTree.fromstring(html).iter("tr")]
    inputs = generator().columns()["path"]
    assert [row[0] for row in rows[1:]] == list(inputs)
    by_path = {row[0]: row[1:] for row in rows}
    assert by_path["filter.net_volume"] == ["0.3", "0.02", "L"]
    assert by_path["dipstick.max"] == ["56.6", "0.3", "mm"]
    assert by_path["reference.temperature"] == ["20", "", "°C"]
    assert by_path["fluid.density_15c"][2] == "kg/m³"


def test_a_circuit_shows_no_more_digits_than_the_uncertainty_bears():
    # JCGM 100:2008, 7.2.6: two digits of the uncertainty, the estimate to the same place.
    bus = fm.Circuit.demo("shuttle-bus")
    inputs = bus.columns()
    i = list(inputs["path"]).index("plugs.main.lip")
    rows = [["".join(c.itertext()) for c in row] for row in ElementTree.fromstring(bus._repr_html_()).iter("tr")]
    (shown,) = [row for row in rows if row[0] == "plugs.main.lip"]
    assert shown[1:] == [f"{1e3 * inputs['nominal'][i]:.3g}", f"{1e3 * inputs['standard_uncertainty'][i]:.2g}", "L"]


def test_a_circuit_is_drawn_to_scale():
    svg = ElementTree.fromstring(box()._repr_svg_())
    assert svg.tag == f"{SVG}svg"
    walls = next(p for p in svg.iter(f"{SVG}path") if p.get("fill") == "none" and p.get("d", "").endswith("Z"))
    points = np.array([[float(v) for v in p.split()] for p in walls.get("d").strip("MZ ").split(" L")])
    wide, tall = np.ptp(points, axis=0)
    assert wide / tall == pytest.approx(300.0 / 100.0, rel=2e-3)  # coordinates are rounded to 0.1 px
    assert {t.text for t in svg.iter(f"{SVG}text")} == {"MIN", "MAX", "plug"}
    box_px = [float(v) for v in svg.get("viewBox").split()]
    for text in svg.iter(f"{SVG}text"):
        assert 0.0 < float(text.get("x")) < box_px[2] - 20.0
        assert 8.0 < float(text.get("y")) <= box_px[3]


def test_a_stick_beside_the_sump_leaves_the_drawing_out():
    beside = fm.Circuit.from_book(service_with_filter_l=5.4, service_without_filter_l=5.0)
    assert beside._repr_html_().startswith("<div>")
    away = fm.Circuit.loads(edited(("[[0, 0, 5], [0, 0, 105]]", "[[0, 99.9, 5], [0, 99.9, 105]]")))
    assert away._repr_svg_().startswith("<svg")


def test_a_timeline_shows_its_rows_and_how_it_ends():
    text = said(timeline()._repr_html_())
    reading = timeline().readings[0]
    assert f"{reading.mm:.1f}" in text
    assert "dip <1>" in text
    assert all(str(event) in text for event in timeline().events)
    over = timeline().v_drained_l - timeline().v_max_l
    assert f"ends {abs(over):.2f} L {'over' if over > 0 else 'under'} MAX" in text


def test_a_long_timeline_says_what_it_leaves_out():
    long = fm.simulate(box(), [fm.Rest(minutes=1)] * 100)
    html = long._repr_html_()
    assert html.count("<tr>") == 1 + 40 + 1
    assert "61 rows in the middle are not shown" in html


def test_a_prediction_and_a_plan_show_their_numbers():
    p, mm = prediction(), prediction().reading("dip <1>").mm
    low, high = mm.interval(0.95)
    text = said(p._repr_html_())
    assert f"{mm.mean:.1f}{mm.standard_uncertainty:.1f}{low:.1f} to {high:.1f}" in text
    assert f"{100.0 * p.probability_over_max:.1f} % of draws" in text
    found = plan()
    text = said(found._repr_html_())
    assert f"{found.first_pour_l:.2f} L" in text
    assert all(caution in text for caution in found.cautions)


def test_a_diagnosis_shows_every_caution():
    verdict = fm.diagnose(generator(), record(), particles=32, replicates=2)
    assert verdict.cautions
    assert all(caution in said(verdict._repr_html_()) for caution in verdict.cautions)


def test_any_other_result_is_a_table_of_its_columns():
    shown = SHOWN["heel map"]()
    rows = [["".join(c.itertext()) for c in row] for row in ElementTree.fromstring(shown._repr_html_()).iter("tr")]
    assert rows[0] == ["nose up [deg]", "right down [deg]", "heel [L]"]
    assert [float(row[0]) for row in rows[1:]] == [0.0, 2.0]
    assert [float(row[2]) for row in rows[1:]] == pytest.approx(shown.columns()["heel_l"], rel=1e-5)
    assert said(shown._repr_html_()).startswith("Heel map")


def test_cells_are_plain():
    assert _html.cell(None) == ""
    assert _html.cell(float("nan")) == ""
    assert _html.cell(-0.12345678) == "\N{MINUS SIGN}0.123457"
    assert _html.cell(np.int64(3)) == "3"
    assert _html.cell(np.True_) == "yes"
    assert _html.cell(False) == "no"
    assert _html.cell("<&>") == "&lt;&amp;&gt;"


def test_importing_the_package_imports_no_pictures_and_no_tables():
    heavy = "{'matplotlib', 'pandas', 'polars', 'pyarrow', 'IPython'}"
    code = f"import sys, fillmark; print(sorted({heavy} & set(sys.modules)))"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
    )


TABLES = {
    "circuit": lambda: circuit().columns(),
    "timeline": lambda: timeline().columns(),
    "ledger": lambda: timeline().ledger.columns(),
    "state": lambda: timeline().rows[-1].state.columns(),
    "prediction": lambda: prediction().columns(),
    "grades": fm.grades,
    "pools": lambda: fm.Pools.at_level(box().sump, level_mm=50.0).columns(),
    "basins": lambda: box().sump.basins().columns(),
    **{
        name: lambda name=name: SHOWN[name]().columns()
        for name in SHOWN
        if name not in ("circuit", "timeline", "ledger", "state", "prediction", "pools", "basins")
    },
}


def same(column, other):
    other = np.asarray(other)
    assert len(column) == len(other)
    if column.dtype.kind == "f":
        assert other.dtype.kind == "f"
        np.testing.assert_array_equal(column, other)
    else:
        assert column.tolist() == other.tolist()


@pytest.mark.parametrize("name", TABLES)
def test_columns_are_tables_elsewhere(name):
    columns = TABLES[name]()
    assert len({len(column) for column in columns.values()}) == 1
    assert all(isinstance(column, np.ndarray) and column.ndim == 1 for column in columns.values())
    frame, lazy, arrow = pandas.DataFrame(columns), polars.DataFrame(columns), pyarrow.table(columns)
    assert list(frame.columns) == lazy.columns == arrow.column_names == list(columns)
    for key, column in columns.items():
        same(column, frame[key].to_numpy())
        same(column, lazy[key].to_numpy())
        same(column, np.array(arrow[key].to_pylist(), dtype=column.dtype))


class Terminal(io.StringIO):
    def isatty(self):
        return True


def shown(stream, reports, **how):
    line = fm.ProgressLine("predict", stream=stream, **how)
    for done, asked in reports:
        line(done, asked)
    return stream.getvalue()


def test_a_line_of_progress_is_written_over_in_a_terminal_and_once_in_a_log():
    reports = [(0, 40), (10, 40), (40, 40)]
    written = shown(Terminal(), reports)
    assert written.startswith("\rpredict: [....................] 0 of 40")
    assert re.search(r"\rpredict: 40 of 40 in \d+\.\d s *\n$", written)
    assert re.fullmatch(r"predict: 40 of 40 in \d+\.\d s\n", shown(io.StringIO(), reports))
    left_clean = shown(Terminal(), reports, leave=False)
    assert left_clean.endswith("\r" + " " * len("predict: [....................] 0 of 40") + "\r")
    assert shown(io.StringIO(), reports, leave=False) == ""


def test_a_line_of_progress_tells_the_time_left_by_what_was_done(monkeypatch):
    clock = iter([0.0, 5.0, 7.0])  # made, and each report; two seconds for a quarter leave four for the half
    monkeypatch.setattr("fillmark._progress.time.monotonic", lambda: next(clock))
    assert shown(Terminal(), [(25, 100), (50, 100)]).endswith("[##########..........] 50 of 100, 4 s left")
