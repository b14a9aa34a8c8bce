"""Sections through sumps: areas against elementary geometry and against volumes computed outside the project."""

import doctest
import functools
import json
import math
import sys
from itertools import pairwise
from pathlib import Path

import fillmark as fm
import numpy as np
import pytest
from fillmark.plot import _cut
from fillmark.plot._cut import View

matplotlib = pytest.importorskip("matplotlib")
matplotlib.use("Agg")

from fillmark.plot import blade, section  # noqa: E402
from matplotlib import pyplot  # noqa: E402
from matplotlib.axes import Axes  # noqa: E402
from matplotlib.text import Text  # noqa: E402

DATA = Path(__file__).resolve().parents[1] / "data"
DEMOS = fm.demos()
BOX = """
format = 1
name = "box"
[sump.box]
length = "300 mm"
width = "200 mm"
height = "100 mm"
[dipstick]
path_mm = [[0.0, 0.0, 10.0], [0.0, 0.0, 150.0]]
min = "30 mm"
max = "50 mm"
[plugs.main]
at_mm = [-140.0, 0.0, 0.0]
bore = "12 mm"
heel = "0.1 L"
[fluid]
density_15c = "868 kg/m3"
kv40 = "95 mm2/s"
kv100 = "14.3 mm2/s"
[reference]
temperature = "20 degC"
wait = "10 min"
"""


@pytest.fixture(autouse=True)
def _close_figures():
    yield
    pyplot.close("all")


def box(sump=None, files=None):
    """The circuit above, also with another sump."""
    text = BOX if sump is None else BOX.replace(BOX[BOX.index("[sump") : BOX.index("[dipstick]")], sump)
    return fm.Circuit.loads(text, files=files)


def shaded_mm2(ax, gid="liquid"):
    """Area of what is shaded, from the picture's own polygons; an island in it runs the other way."""
    (patch,) = [p for p in ax.patches if p.get_gid() == gid]
    polygons = patch.get_path().to_polygons(closed_only=True)
    return abs(sum(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]) / 2.0 for x, y in (p.T for p in polygons)))


def test_a_level_box_is_length_times_level():
    ax = section(box(), level_mm=50.0)
    assert isinstance(ax, Axes)
    assert shaded_mm2(ax) == pytest.approx(300.0 * 50.0, rel=1e-12)
    assert shaded_mm2(ax, "outline") == pytest.approx(300.0 * 100.0, rel=1e-12)
    assert shaded_mm2(section(box(), level_mm=50.0, along="y")) == pytest.approx(200.0 * 50.0, rel=1e-12)


def test_a_pitched_box_at_mid_depth():
    # The surface cuts both ends: area = length times the depth at the middle (a trapezium; elementary geometry).
    p = math.radians(5.0)
    level = 50.0 * math.cos(p) + 150.0 * math.sin(p)
    ax = section(box(), level_mm=level, attitude=fm.Attitude(nose_up_deg=5.0))
    assert shaded_mm2(ax) == pytest.approx(300.0 * 50.0, rel=1e-12)


def test_a_rolled_box_is_cut_by_the_plumb_plane_through_the_tip():
    # The plane leans against the box by r. It meets the floor 10 mm / cos r below the tip, which stands 10 mm above the
    # floor: the tip is 10 cos r along *up* above the origin, the lowest edge 100 sin r below it (elementary geometry).
    r = math.radians(4.0)
    ax = section(box(), level_mm=60.0, attitude=fm.Attitude(right_down_deg=4.0))
    floor = 10.0 * math.cos(r) - 10.0 / math.cos(r) + 100.0 * math.sin(r)
    assert shaded_mm2(ax) == pytest.approx(300.0 * (60.0 - floor), rel=1e-12)


def test_the_band_lies_between_its_two_readings():
    ax = section(box(), reading_mm=40.0, band_mm=(45.0, 35.0))
    assert shaded_mm2(ax) == pytest.approx(300.0 * 50.0, rel=1e-12)  # the tip stands 10 mm above the floor
    assert shaded_mm2(ax, "band") == pytest.approx(300.0 * 10.0, rel=1e-12)


def test_a_body_in_the_liquid_stays_empty():
    outer, faces = _cut.mesh_mm(fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0))
    inner = outer * (0.1, 0.5, 0.2) + (0.0, 0.0, 20.0)  # 30 mm long, 20 mm high
    shells = {
        "vertices_mm": np.vstack([outer, inner]).tolist(),
        "faces": np.vstack([faces, faces[:, ::-1] + len(outer)]).tolist(),
    }
    ax = section(box(f"[sump.mesh]\nvertices_mm = {shells['vertices_mm']}\nfaces = {shells['faces']}\n"), level_mm=50.0)
    assert shaded_mm2(ax) == pytest.approx(300.0 * 50.0 - 30.0 * 20.0, rel=1e-12)


def test_a_drawing_in_inches_is_shown_in_mm():
    corners, faces = _cut.mesh_mm(fm.Sump.box(length_mm=254.0, width_mm=203.2, height_mm=101.6))
    lines = ["solid box"]
    for face in faces:
        rows = [f"vertex {x} {y} {z}" for x, y, z in corners[face] / 25.4]
        lines += ["facet normal 0 0 0", "outer loop", *rows, "endloop", "endfacet"]
    text = "\n".join([*lines, "endsolid box"]).encode()
    circuit = box('[sump.stl]\nfile = "box.stl"\nunit = "in"\n', files={"box.stl": text})
    assert shaded_mm2(section(circuit, level_mm=50.0)) == pytest.approx(254.0 * 50.0, rel=1e-6)


ROWS = [r for r in json.loads((DATA / "stepped_bus.json").read_text())["rows"] if abs(r["right_down_deg"]) < 1e-9]


@functools.cache
def slices(nose_up_deg):
    """Loops of the shuttle-bus in planes 1 mm apart, over its whole breadth."""
    vertices, faces = _cut.mesh_mm(fm.Circuit.demo("shuttle-bus").sump)
    attitude = fm.Attitude(nose_up_deg=nose_up_deg)
    middles = [np.array([0.0, y, 0.0]) for y in np.arange(-124.5, 125.0, 1.0)]
    return [_cut.cut(vertices, faces, View.along(np.array([1.0, 0.0, 0.0]), attitude, at)) for at in middles]


@pytest.mark.parametrize("row", ROWS[::4], ids=lambda r: f"{r['nose_up_deg']} deg, {r['height_mm']:.0f} mm")
def test_sections_side_by_side_make_the_volume_of_the_solid(row):
    # tests/data/stepped_bus.json: volumes of the exact solid by OpenCASCADE booleans, not of this mesh. Slices of 1 mm
    # by the midpoint rule were measured to differ by at most 6.3e-5 of the capacity, 2e-5 of it from the tessellation.
    total = sum(_cut.area_mm2(_cut.below(loops, row["height_mm"])) for loops in slices(row["nose_up_deg"]))
    assert total / 1e6 == pytest.approx(row["volume_l"], abs=1e-4 * 14.321)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("degrees", [0.0, 5.0, -3.0])
@pytest.mark.parametrize("along", ["x", "y", "stick"])
def test_the_surface_drawn_through_a_reading_is_the_level_simulated(name, degrees, along):
    circuit = fm.Circuit.demo(name)
    attitude = fm.Attitude(nose_up_deg=degrees)
    line = fm.simulate(circuit, [fm.Read(label="dip", attitude=attitude)])
    ax = section(circuit, reading_mm=line.reading("dip").mm, attitude=attitude, along=along)
    (patch,) = [p for p in ax.patches if p.get_gid() == "liquid"]
    assert patch.get_path().vertices[:, 1].max() == pytest.approx(line.rows[-1].level_mm, abs=1e-6)


def texts(ax):
    """Boxes of everything written about a picture, by its text."""
    ax.figure.canvas.draw()
    return {t.get_text(): Text.get_window_extent(t) for t in ax.texts}  # without the lines to the places


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("degrees", [0.0, 5.0])
def test_labels_are_inside_the_picture_and_apart(name, degrees):
    circuit = fm.Circuit.demo(name)
    middle = (circuit.min_mm + circuit.max_mm) / 2.0
    ax = section(
        circuit, reading_mm=middle, band_mm=(middle - 3.0, middle + 3.0), attitude=fm.Attitude(nose_up_deg=degrees)
    )
    boxes = texts(ax)
    assert {"MIN", "MAX"} < set(boxes)
    assert any("plug" in word for word in boxes)
    assert f"reads {middle:.1f} mm\nexpected {middle - 3.0:.1f} to\n{middle + 3.0:.1f} mm" in boxes
    whole = ax.figure.bbox
    for a, b in boxes.items():
        assert whole.x0 <= b.x0, a
        assert b.x1 <= whole.x1, a
        assert whole.y0 <= b.y0, a
        assert b.y1 <= whole.y1, a
        assert not any(b.overlaps(other) for word, other in boxes.items() if word != a), a


def test_a_service_sheet_is_a_square_box_of_its_mean_free_surface():
    sheet = fm.Circuit.from_book(service_with_filter_l=5.4, service_without_filter_l=5.0)
    side = math.sqrt(sheet.sump.capacity_l * 1e6 / sheet.sump.height_mm())
    ax = section(sheet, level_mm=100.0)
    assert shaded_mm2(ax) == pytest.approx(100.0 * side, rel=1e-12)
    with pytest.raises(fm.GeometryError):
        section(sheet, level_mm=100.0, attitude=fm.Attitude(nose_up_deg=1.0))


def test_nothing_given_draws_an_empty_sump_where_it_is_told():
    _, ax = pyplot.subplots()
    assert section(box(), ax=ax) is ax
    assert [p.get_gid() for p in ax.patches] == ["outline"]
    assert ax.get_xlabel().endswith("[mm]")
    assert ax.get_ylabel().endswith("[mm]")
    assert ax.get_aspect() == 1.0


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"level_mm": 100.1}, r"level = 100.1 mm is outside \[0, 100.000\] mm"),
        ({"level_mm": math.nan}, "level = nan mm"),
        ({"reading_mm": -1.0}, r"reading = -1.0 mm is outside \[0, 140.000\] mm"),
        ({"band_mm": (30.0, 141.0)}, "reading = 141.0 mm"),
        ({"level_mm": 50.0, "reading_mm": 40.0}, "not more than one"),
        ({"along": "z"}, "along = 'z' is none of 'x', 'y', 'stick'"),
    ],
)
def test_what_cannot_be_drawn_is_refused(given, said):
    with pytest.raises(fm.QuantityError, match=said):
        section(box(), **given)


def test_without_matplotlib_it_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(ImportError, match=r"pip install 'matplotlib>=3.7'"):
        section(box())


def test_the_blade_shows_mean_and_interval_of_every_reading():
    circuit = box()
    p = fm.predict(circuit, [fm.Read(label="first"), fm.Read()], draws=2000)
    ax = blade(circuit, p.readings, probability=0.9)
    bars = [line.get_ydata() for line in ax.lines if len(line.get_ydata()) == 2 and line.get_linewidth() > 5.0]
    assert [tuple(bar) for bar in bars] == [r.mm.interval(0.9) for r in p.readings]
    assert [t.get_text() for t in ax.get_xticklabels()] == ["first", "reading 2"]


def test_the_names_below_the_blade_stay_apart():
    labels = ["before the first start", "after a minute's run and 5 min", "after 30 min"]
    p = fm.predict(box(), [fm.Read(label=label) for label in labels], draws=100)
    figure, axes = pyplot.subplots(1, 2, figsize=(12, 4.6), layout="constrained", width_ratios=(2.2, 1.0))
    ax = blade(box(), p.readings, ax=axes[1])
    figure.canvas.draw()
    ticks = ax.get_xticklabels()
    assert [" ".join(t.get_text().split()) for t in ticks] == labels
    places = [t.get_window_extent() for t in ticks]
    assert all(a.x1 + 2.0 < b.x0 for a, b in pairwise(places))
    assert all(figure.bbox.y0 <= b.y0 for b in places)


def test_the_examples_run():
    from fillmark import plot

    finder, runner = doctest.DocTestFinder(recurse=False), doctest.DocTestRunner()
    for name in plot.__all__:
        for test in finder.find(getattr(plot, name), name, globs={}):
            runner.run(test)
    assert runner.summarize().failed == 0
    assert runner.summarize().attempted >= 2 * len(plot.__all__)


def test_a_picture_leaves_interactive_display_on():
    # The first figure of a notebook switches it on; without it the following ones are not shown.
    from fillmark.plot._canvas import picture

    @picture
    def first():
        matplotlib.interactive(True)

    before = matplotlib.is_interactive()
    try:
        first()
        assert matplotlib.is_interactive()
    finally:
        matplotlib.interactive(before)
