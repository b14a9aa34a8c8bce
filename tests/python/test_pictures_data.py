"""What the pictures show, against elementary geometry, the ledger and SciPy."""

import math
from types import SimpleNamespace

import fillmark as fm
import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.special import expit, logit
from scipy.stats import norm
from services import box, edited

matplotlib = pytest.importorskip("matplotlib")
matplotlib.use("Agg")

from fillmark import plot  # noqa: E402
from fillmark.plot import _cut, _parts  # noqa: E402
from fillmark.plot._drawing import Drawing  # noqa: E402
from fillmark.plot._waterfall import steps  # noqa: E402
from fillmark.plot._where import within  # noqa: E402
from matplotlib import pyplot  # noqa: E402
from matplotlib.patches import Rectangle  # noqa: E402
from matplotlib.text import Text  # noqa: E402
from pictures import CAUSES, DONE, THEN, generator, line, pools, two_wells, wells_circuit  # noqa: E402

ML_PER_MM = 60.0  # of the box: 300 mm by 200 mm, an upright blade


@pytest.fixture(autouse=True)
def _close_figures():
    yield
    pyplot.close("all")


def area(patch):
    polygons = patch.get_path().to_polygons(closed_only=True)
    return abs(sum(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]) / 2.0 for x, y in (p.T for p in polygons)))


def patches(ax, gid):
    return [p for p in ax.patches if p.get_gid() == gid]


def test_the_level_over_the_volume_of_a_box_is_a_straight_line():
    left, right = plot.level_volume(box())
    volume, level = left.lines[0].get_data()
    assert volume * 1e3 == pytest.approx(ML_PER_MM * level, abs=1e-9)
    assert right.lines[0].get_xdata() == pytest.approx(ML_PER_MM, rel=1e-12)
    # MAX at 50 mm of blade, whose tip is 5 mm above the floor.
    assert "MAX 3.30 L" in [t.get_text() for t in left.texts]


def test_a_sump_alone_has_a_level_curve_too():
    left, _ = plot.level_volume(fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0))
    assert left.lines[0].get_xdata()[-1] == pytest.approx(6.0)


def test_the_litre_scale_of_the_stick_stands_at_its_places():
    ax = plot.stick(box(), reading_mm=45.0, band_mm=(42.0, 48.0))
    at = {t.get_text(): t.get_position()[1] for t in ax.texts if t.get_position()[0] < 0.66}
    assert at["\N{MINUS SIGN}0.5"] == pytest.approx(50.0 - 500.0 / ML_PER_MM)
    assert at["0"] == pytest.approx(50.0)
    (oil,) = patches(ax, "oil")
    assert oil.get_y() + oil.get_height() == pytest.approx(45.0)
    (band,) = patches(ax, "band")
    assert (band.get_y(), band.get_height()) == (42.0, 6.0)
    with pytest.raises(fm.QuantityError, match=r"reading = 120.0 mm is outside \[0, 100.000\] mm"):
        plot.stick(box(), reading_mm=120.0)


def test_the_reading_rises_with_the_wait_and_is_max_after_the_marks_wait():
    ax = plot.reading_over_wait(generator(), temperatures_c=[20.0, -10.0], minutes=(1.0, 100.0))
    warm, cold = (one.get_data() for one in ax.lines[:2])
    assert np.all(np.diff(warm[1]) > 0.0)
    assert np.all(cold[1] < warm[1])
    # The circuit is at MAX in its reference condition: 20 °C, 10 min.
    assert np.interp(10.0, *warm) == pytest.approx(generator().max_mm, abs=0.01)
    alone = fm.simulate(generator(), [fm.Run(minutes=1, temperature_c=-10), fm.Rest(minutes=100), fm.Read()])
    assert cold[1][-1] == pytest.approx(alone.readings[0].mm, abs=1e-9)


def test_stacked_bars_hold_all_that_the_ledger_holds():
    ax = plot.whereabouts(line())
    bars = [p for p in ax.patches if isinstance(p, Rectangle)]
    table = line().ledger.columns()
    for row in range(len(line().rows)):
        heights = sum(p.get_height() for p in bars if round(p.get_x() + p.get_width() / 2.0) == row)
        assert heights == pytest.approx(table["volume_l"][table["row"] == row].sum(), rel=1e-3)
    assert sum(within(line())[-1].values()) == pytest.approx(table["volume_l"][table["row"] == 6].sum(), rel=1e-12)


def test_the_moments_after_a_run_are_the_ones_named():
    ax = plot.whereabouts(generator(), temperature_c=60.0)
    assert [t.get_text().replace("\n", " ") for t in ax.get_xticklabels()] == [
        "running", "1 min", "10 min", "12 h overnight",
    ]  # fmt: skip
    rests = [fm.Rest(minutes=1), fm.Rest(minutes=9)]
    seen = fm.simulate(generator(), [fm.Run(minutes=10, temperature_c=60.0), *rests])
    sump = [p.get_height() for p in ax.containers[0]]
    assert sump[:3] == pytest.approx([row.sump_l for row in seen.rows[1:]], rel=1e-12)


@pytest.mark.parametrize("temperature", [20.0, 80.0])
def test_the_bars_of_the_waterfall_lead_to_what_is_in_the_sump(temperature):
    then = [fm.Run(minutes=1, temperature_c=temperature), fm.Rest(minutes=5), fm.Read(label="dip")]
    service = fm.simulate(box(), [*DONE, fm.Pour(2.0), fm.Pour("0.9 L"), *then])
    found = steps(service, len(service.rows) - 1)
    assert sum(step.litres for step in found) == pytest.approx(service.rows[-1].sump_l, rel=1e-12)
    by_name = {step.name: step.litres for step in found}
    assert by_name["poured"] == pytest.approx(2.9, abs=2e-3)  # mixing oil of two temperatures changes a little
    assert by_name["stayed in the sump"] == pytest.approx(0.2, abs=1e-9)
    assert by_name["fills the filter"] == pytest.approx(-0.4, abs=1e-9)
    # Expansion of oil: 7.7 to 7.9e-4 per degree (API MPMS 11.1 for these densities, computed), here of about 3.1 L; the
    # residue had been at 60 °C.
    expected = 2.9 * 7.8e-4 * (temperature - 20.0) - 0.2 * 7.8e-4 * (60.0 - temperature)
    assert by_name["expansion"] == pytest.approx(expected, abs=0.015)
    ax = plot.waterfall(service)
    assert ax.containers[-1][0].get_height() == pytest.approx(service.rows[-1].sump_l, rel=1e-12)


def test_a_waterfall_needs_a_pour_and_a_reading():
    with pytest.raises(fm.QuantityError, match="no pour comes before"):
        plot.waterfall(fm.simulate(box(), [fm.Read()]))
    with pytest.raises(fm.QuantityError, match="has no reading"):
        plot.waterfall(fm.simulate(box(), [fm.Drain(minutes=1), fm.Pour(1.0)]))


def test_a_slope_moves_the_reading_by_its_tangent():
    # A plane through the middle of a box falls by x tan(p) towards the nose that is up (elementary geometry); at 150 mm
    # 2.62 mm for each degree.
    circuit = box(("[[0, 0, 5], [0, 0, 105]]", "[[-100, 40, 5], [-100, 40, 105]]"))
    angles = np.array([-2.0, 0.0, 1.0])
    found = plot._slope.slope_errors_mm(circuit, angles, angles, 3.0)
    assert found[:, 1] == pytest.approx(100.0 * np.tan(np.radians(angles)), abs=1e-9)
    assert found[1] == pytest.approx(-40.0 * np.tan(np.radians(angles)), abs=1e-9)
    assert 150.0 * math.tan(math.radians(1.0)) == pytest.approx(2.62, abs=0.005)


def test_the_sequence_shades_what_is_in_the_sump():
    service = fm.simulate(box(), [*DONE, fm.Pour(2.0), *THEN, fm.Tilt(fm.Attitude(nose_up_deg=3.0)), fm.Read()])
    panels = plot.fill_sequence(service)
    assert len(panels) == 6
    shaded = [area(patches(ax, "liquid")[0]) for ax in panels]
    levels = [service.rows[i].level_mm for i in range(6)]
    assert shaded == pytest.approx([300.0 * level for level in levels], rel=1e-9)
    assert "1 start" in panels[0].get_title(loc="left")
    (tilted,) = plot.fill_sequence(service, rows=[8])
    assert area(patches(tilted, "liquid")[0]) == pytest.approx(service.rows[8].sump_l * 1e6 / 200.0, rel=1e-9)
    with pytest.raises(fm.QuantityError, match="13 rows are asked for; 1 to 12"):
        plot.fill_sequence(service, rows=[0] * 13)
    with pytest.raises(fm.QuantityError, match="needs 2 axes, ax has 1"):
        plot.fill_sequence(service, rows=[0, 1], ax=pyplot.figure().subplots())


def widths(ax):
    return [p.get_width() for p in ax.patches if isinstance(p, Rectangle)]


CAUSE_TABLE = {
    "name": list(CAUSES),
    "probability": np.array([c[0] for c in CAUSES.values()]),
    "low": np.array([c[1] for c in CAUSES.values()]),
    "high": np.array([c[2] for c in CAUSES.values()]),
}


class Verdict:
    """Anything with `columns()`."""

    def columns(self):
        return CAUSE_TABLE


LISTED = SimpleNamespace(
    causes=[SimpleNamespace(name=n, probability=c[0], low=c[1], high=c[2]) for n, c in CAUSES.items()]
)


@pytest.mark.parametrize(
    "data", [CAUSES, CAUSE_TABLE, Verdict(), LISTED], ids=["mapping", "table", "columns", "causes"]
)
def test_causes_are_ranked_and_the_rest_is_summed(data):
    ax = plot.cause_ranking(data, most=3)
    assert [t.get_text().replace("\n", " ") for t in ax.get_yticklabels()] == [*list(CAUSES)[:3], "2 others"]
    assert widths(ax) == pytest.approx([47.0, 21.0, 17.0, 15.0])
    spans = [tuple(one.get_xdata()) for one in ax.lines if len(set(one.get_ydata())) == 1 and len(one.get_xdata()) == 2]
    assert np.array(spans) == pytest.approx(np.array([(33.0, 60.0), (10.0, 34.0), (6.0, 25.0)]))


def test_causes_from_dataframes():
    pandas, polars = pytest.importorskip("pandas"), pytest.importorskip("polars")
    for frame in (pandas.DataFrame(CAUSE_TABLE), polars.DataFrame(CAUSE_TABLE)):
        assert widths(plot.cause_ranking(frame)) == pytest.approx([47.0, 21.0, 17.0, 8.0, 7.0])


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"slope": 1.2}, r"probability of 'slope' = 1.2 is outside \[0, 1\]"),
        ({"slope": (0.5, 0.6, 0.9)}, "the interval of 'slope', 0.6 to 0.9, does not hold its probability 0.5"),
        ({}, "no cause with a probability"),
        ({"name": ["slope"], "probability": [0.1, 0.2]}, "column 'probability' has 2 values, 1 are expected"),
        (3, "data = 3 is neither a mapping"),
        (Verdict.columns, "neither a mapping"),
    ],
)
def test_causes_that_cannot_be_drawn_are_refused(data, said):
    with pytest.raises(fm.QuantityError, match=said):
        plot.cause_ranking(data)


def test_the_tornado_is_widest_at_the_top():
    circuit = box(('net_volume = "0.4 L"', 'net_volume = "0.40(3) L"'), ("scale = 1", 'scale = "1.00(2)"'))
    found = plot.one_at_a_time(circuit, [*DONE, fm.Pour(2.4, measured_with="jug"), *THEN], "first dip")
    at = sum(found["filter.net_volume"]) / 2.0
    # 0.03 L of 60 mL/mm is 0.5 mm; 2 % of 2.4 L is 0.8 mm (elementary).
    assert found["filter.net_volume"] == pytest.approx((at + 0.5, at - 0.5), abs=1e-6)
    assert found["instruments.jug.scale"] == pytest.approx((at - 0.8, at + 0.8), abs=5e-4)  # oil of two temperatures
    assert found["dipstick.scatter"] == pytest.approx((at - 1.0, at + 1.0), abs=1e-9)
    ax = plot.tornado(found, centre=at)
    assert [t.get_text() for t in ax.get_yticklabels()] == [
        "dipstick.scatter",
        "instruments.jug.scale",
        "filter.net_volume",
    ]
    assert np.abs(widths(ax)[:6]) == pytest.approx([1.0, 1.0, 0.8, 0.8, 0.5, 0.5], abs=5e-4)
    columns = {"path": list(found), "at_low": [v[0] for v in found.values()], "at_high": [v[1] for v in found.values()]}
    assert np.abs(widths(plot.tornado(columns, centre=at))[:2]) == pytest.approx([1.0, 1.0], abs=1e-9)
    with pytest.raises(fm.QuantityError, match="no input"):
        plot.tornado({})


def test_an_input_moves_as_far_as_the_circuit_admits():
    # The film of a store is part of what is in it while running, so it goes up to that and no further.
    circuit = fm.Circuit.demo("winch-gearbox")
    inputs = dict(zip(circuit.columns()["path"], circuit.columns()["nominal"], strict=True))
    service = [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="dip")]
    running = circuit.replace({"stores.gears.film": f"{1e3 * inputs['stores.gears.running']} L"})
    low, high = plot.one_at_a_time(circuit, service, "dip")["stores.gears.film"]
    assert low > high
    assert high == pytest.approx(fm.simulate(running, service).reading("dip").mm, abs=1e-3)


INPUTS = {"a": fm.Uncertain.rectangular(0.0, 1.0), "b": fm.Uncertain.rectangular(0.0, 4.0)}


def test_results_of_the_estimates_are_drawn_as_they_come():
    found = fm.tornado(lambda a, b: a - b, INPUTS, coverage=0.5)
    ax = plot.tornado(found)
    assert [t.get_text() for t in ax.get_yticklabels()] == ["b", "a"]
    assert widths(ax)[:4] == pytest.approx([1.0, -1.0, -0.25, 0.25])  # a quarter of each range, b with its sign turned
    assert ax.get_xlabel() == "result"
    # The variance of a sum of independent inputs is the sum of theirs: 1 to 16.
    shares = fm.sensitivity(lambda a, b: a + b, INPUTS, draws=1024)
    ax = plot.variance_shares(shares)
    assert [t.get_text() for t in ax.get_yticklabels()] == ["b", "a"]
    assert [widths(ax)[i] for i in (0, 2)] == pytest.approx([100.0 * 16.0 / 17.0, 100.0 / 17.0], abs=1.0)
    with pytest.raises(fm.QuantityError, match="no input with a total share"):
        plot.variance_shares({"input": ["a"]})


def test_progress_is_told():
    told = []
    plot.one_at_a_time(box(), [fm.Read(label="dip")], "dip", progress=lambda done, asked: told.append((done, asked)))
    count = len(box().columns()["path"])
    assert told == [(i, count) for i in range(1, count + 1)]
    told.clear()
    plot.slope_map(box(), nose_up_deg=[-1, 1], right_down_deg=[-1, 0, 1], progress=lambda *n: told.append(n))
    assert told == [(3, 6), (6, 6)]


@pytest.mark.parametrize(("used", "fuel"), [(0.3, 0.1), (0.1, 0.25), (0.2, 0.2), (0.2, 0.0)])
def test_dilution_is_that_of_a_stirred_tank(used, fuel):
    distance = np.linspace(0.0, 5000.0, 6)
    found = plot.level_over_distance(box(), distance, use_l_per_1000km=used, fuel_l_per_1000km=fuel)
    whole = 3.3 + 0.4  # below MAX, and the filter

    def balance(d, f):
        return fuel / 1e3 - used / 1e3 * f / (whole + (fuel - used) * d / 1e3)

    # The same balance by SciPy's integrator.
    by_scipy = solve_ivp(balance, (0.0, 5000.0), [0.0], t_eval=distance, rtol=1e-10, atol=1e-12).y[0]
    volume = whole + (fuel - used) * distance / 1e3
    assert found["fuel_percent"] == pytest.approx(100.0 * by_scipy / volume, abs=1e-6)
    assert found["mm"] == pytest.approx(50.0 + (fuel - used) * distance / ML_PER_MM, abs=1e-9)
    upper, lower = plot.over_distance(found, circuit=box())
    assert upper.lines[0].get_ydata() == pytest.approx(found["mm"])
    assert lower.lines[0].get_ydata() == pytest.approx(found["fuel_percent"])


def test_distances_that_cannot_be_drawn_are_refused():
    with pytest.raises(fm.QuantityError, match=r"use_l_per_1000km = -1\.0 is negative"):
        plot.level_over_distance(box(), [0.0], use_l_per_1000km=-1.0)
    with pytest.raises(fm.QuantityError, match=r"4\.00 L would be used of the 3\.30 L below MAX"):
        plot.level_over_distance(box(), [4000.0], use_l_per_1000km=1.0)
    with pytest.raises(fm.QuantityError, match=r"^columns distance_km and mm are needed$"):
        plot.over_distance({"mm": [1.0]})
    upper, lower = plot.over_distance({"distance_km": [0.0, 1.0], "mm": [50.0, 49.0]})
    assert upper.get_visible()
    assert not lower.get_visible()


def test_the_part_under_the_tip_is_that_of_its_well():
    drawing = Drawing(wells_circuit(), fm.Attitude(), "x")
    assert _cut.area_mm2(drawing.under_tip(30.0)) == pytest.approx(100.0 * 30.0)


def test_the_incident_page_has_what_was_seen_and_expected():
    section, stick, waterfall, causes = plot.incident(line(), seen_mm=61.0, causes=CAUSES)
    assert "reads 61.0 mm" in [t.get_text() for t in section.texts]
    assert patches(stick, "oil")[0].get_y() + patches(stick, "oil")[0].get_height() == pytest.approx(61.0)
    assert waterfall.containers[-1][0].get_height() == pytest.approx(line().rows[-1].sump_l)
    assert widths(causes)[0] == pytest.approx(47.0)


def test_parts_below_a_level_are_told_apart():
    outline = [two_wells().vertices_mm[:8, [0, 2]]]
    assert [round(_cut.area_mm2(part)) for part in _cut.parts(outline, 40.0)] == [4000, 4000]
    assert [round(_cut.area_mm2(part)) for part in _cut.parts(outline, 60.0)] == [5000 + 5000 + 2500]
    for height in (1.0, 25.0, 49.0, 51.0, 99.0, 100.0):
        parts = _cut.parts(outline, height)
        assert sum(_cut.area_mm2(p) for p in parts) == pytest.approx(
            _cut.area_mm2(_cut.below(outline, height)), rel=1e-12
        )


def test_an_island_stays_with_the_part_around_it():
    outer = np.array([(0, 0), (100, 0), (100, 100), (0, 100)], dtype=float)
    island = np.array([(40, 20), (40, 40), (60, 40), (60, 20)], dtype=float)
    (part,) = _cut.parts([outer, island], 60.0)
    assert _cut.area_mm2(part) == pytest.approx(100.0 * 60.0 - 20.0 * 20.0)
    (cut,) = _cut.parts([outer, island], 30.0)  # the line passes through the island
    assert _cut.area_mm2(cut) == pytest.approx(100.0 * 30.0 - 20.0 * 10.0)


def test_pools_stand_at_their_own_levels():
    ax = plot.section(wells_circuit(), pools=pools())
    assert sorted(area(p) for p in patches(ax, "liquid")) == pytest.approx([100.0 * 10.0, 100.0 * 40.0])
    assert {"level 40 mm", "level 10 mm"} < {t.get_text() for t in ax.texts}


def test_the_heel_is_what_the_rib_keeps_back():
    # Drained through the second well, the first stays full to the rib: 100 mm x 50 mm x 40 mm.
    ax = plot.section(wells_circuit(), level_mm=80.0)
    (heel,) = patches(ax, "heel")
    assert area(heel) == pytest.approx(100.0 * 50.0)
    assert "heel 0.20 L" in [t.get_text() for t in ax.texts]
    assert not patches(plot.section(wells_circuit(), level_mm=80.0, drained=()), "heel")
    both = [fm.Plug(at_mm=(x, 0.0, 0.0), bore_mm=12.0) for x in (50.0, 200.0)]
    assert not patches(plot.section(wells_circuit(), level_mm=80.0, drained=both), "heel")


def test_level_and_tilted_hold_the_same_liquid():
    level, up = plot.tilted(box(), volume_l=3.0)
    assert area(patches(level, "liquid")[0]) == pytest.approx(3e6 / 200.0, rel=1e-9)
    assert area(patches(up, "liquid")[0]) == pytest.approx(3e6 / 200.0, rel=1e-9)
    assert level.get_xlim() == up.get_xlim()
    # The stick stands in the middle of the box, where the depth stays 50 mm; the tip is 5 mm up.
    assert "reads 45.0 mm" in level.get_title(loc="left")
    assert "nose 5° up: 3.00 L\nreads 45.0 mm" in up.get_title(loc="left")


def test_the_crank_path_is_drawn_as_its_points_bound_it():
    ends = [(-100.0, 0.0, 80.0), (100.0, 0.0, 80.0)]
    straight = next(one for one in plot.section(box(), crank_path_mm=ends).lines if one.get_gid() == "crank path")
    assert straight.get_xydata() == pytest.approx(np.array([(-100.0, 80.0), (100.0, 80.0)]))
    turn = np.linspace(0.0, 2.0 * math.pi, 48, endpoint=False)
    around = [(0.0, 40.0 * math.sin(a), 120.0 - 40.0 * math.cos(a)) for a in turn]
    (circle,) = patches(plot.section(box(), along="y", crank_path_mm=around), "crank path")
    assert area(circle) == pytest.approx(48 / 2.0 * 40.0**2 * math.sin(2.0 * math.pi / 48), rel=1e-9)  # 48 corners
    labels = [t.get_text() for t in plot.section(box(), pickup_mm=(0.0, 0.0, 10.0), crank_path_mm=ends).texts]
    assert {"pickup", "crank path"} < set(labels)


def test_a_plug_up_the_wall_is_named_beside_the_drawing():
    text = edited(
        ('heel = "0.2 L"\n', 'heel = "0.2 L"\n\n[plugs.level]\nat_mm = [150, 0, 55]\nbore = "12 mm"\nheel = "3 L"\n')
    )
    ax = plot.section(fm.Circuit.loads(text), level_mm=54.0)
    ax.figure.draw_without_rendering()
    written = {t.get_text(): Text.get_window_extent(t) for t in ax.texts}  # without the lines to the places
    assert written["main plug"].y1 < ax.transData.transform((0.0, 0.0))[1]
    assert written["level plug"].x0 > ax.transData.transform((150.0, 0.0))[0]


def test_a_sump_without_a_plug_is_drawn_without_one():
    text = edited(('[plugs.main]\nat_mm = [100, 0, 0]\nbore = "12 mm"\nheel = "0.2 L"\n\n', ""))
    ax = plot.section(fm.Circuit.loads(text), level_mm=50.0)
    assert "plug" not in [t.get_text() for t in ax.texts]
    assert not patches(ax, "heel")
    assert "plug" not in fm.Circuit.loads(text)._repr_svg_()


def test_a_hull_leaves_out_what_is_inside():
    square = np.array([(0, 0), (2, 0), (2, 2), (0, 2), (1, 1), (1, 0)], dtype=float)
    assert sorted(map(tuple, _parts.hull(square))) == [(0, 0), (0, 2), (2, 0), (2, 2)]


def test_an_axes_given_is_drawn_on_in_its_own_text_size():
    figure, axes = pyplot.subplots(1, 2)
    before = matplotlib.rcParams["font.size"]
    assert plot.waterfall(line(), ax=axes[0]) is axes[0]
    assert plot.level_volume(box(), ax=pyplot.figure().subplots(1, 2))[0].figure is not figure
    assert axes[0].yaxis.label.get_fontsize() == before
    assert matplotlib.rcParams["font.size"] == before


def test_causes_have_the_interval_that_their_evidence_leaves():
    # Two causes: ln odds = ln Z1 - ln Z2 + ln w1/w2, so that its variance is the sum of both (JCGM 100, 5.1.2).
    columns = {"name": ["a", "b"], "probability": [0.8, 0.2], "standard_error": [0.3, 0.4]}
    ax = plot.cause_ranking(columns)
    assert "line: 95 % as computed" in ax.get_xlabel()
    spans = [line.get_xdata() for line in ax.lines if len(set(line.get_xdata())) == 2]
    reach = norm.ppf(0.975) * math.hypot(0.3, 0.4)
    expected = [100.0 * expit(logit(0.8) + side * reach) for side in (-1.0, 1.0)]
    np.testing.assert_allclose(spans[0], expected, rtol=1e-4)  # 1.96 for the quantile
    np.testing.assert_allclose(np.sort(100.0 - spans[1]), expected, rtol=1e-4)


def test_certain_and_impossible_causes_have_no_width():
    ax = plot.cause_ranking({"name": ["a", "b"], "probability": [1.0, 0.0], "standard_error": [0.3, 0.4]})
    assert all(len(set(line.get_xdata())) == 1 for line in ax.lines)


def test_the_map_of_slopes_lies_about_the_attitude_of_the_marks():
    launch = fm.Circuit.demo("harbour-launch")  # installed 8 deg nose-up
    ax = plot.slope_map(launch)
    assert ax.get_ylim() == pytest.approx((4.0, 12.0))
    assert ax.get_xlim() == pytest.approx((-4.0, 4.0))
    level, higher = plot.tilted(launch)
    assert level.get_title(loc="left").startswith("nose 8° up")
    assert higher.get_title(loc="left").startswith("nose 13° up")


def test_only_what_the_circuit_has_is_gauged():
    winch = fm.Circuit.demo("winch-gearbox")  # no filter
    panels = plot.fill_sequence(
        fm.simulate(winch, [fm.Drain(plug="drain", minutes=10), fm.Pour(3.0), fm.Run(minutes=1)])
    )
    words = [text.get_text() for panel in panels for text in panel.texts]
    assert not any("filter" in word for word in words)
    assert sum("stores" in word for word in words) == len(panels)


@pytest.mark.parametrize(
    ("of", "said"),
    [("final_fraction", "level at the end, drained back [of the span]"),
     ("final_litres", "volume at the end, drained back [L]"), ("dip mm", "dip [mm]"),
     ("dip fraction", "dip [of the span]"),
     ("dip litres_from_max", "dip, volume from MAX [L]")],
)  # fmt: skip
def test_a_tornado_names_its_result_with_the_unit(of, said):
    found = fm.tornado(generator(), [fm.Pour(0.1), fm.Read(label="dip")], of=of.replace("final_", "final "))
    assert plot.tornado(found).get_xlabel().split(";")[0] == said


def test_a_trend_is_drawn_with_the_readings_it_comes_from():
    over, mm = [0, 20, 40, 60, 80], [61.0, 56.5, 51.0, 46.0, 41.5]
    trend = fm.trend(over=over, reading_mm=mm, ml_per_mm=60, scatter_mm=1, unit="h", per=10)
    upper, lower = plot.over_distance(trend, circuit=box(), seen=(over, mm))
    assert not lower.get_visible()
    assert upper.get_xlabel() == "use [h]"
    (dots,) = [line for line in upper.lines if line.get_gid() == "seen"]
    np.testing.assert_array_equal(dots.get_ydata(), mm)
    (drawn,) = [line for line in upper.lines if line.get_label() == "the stick"]
    np.testing.assert_array_equal(drawn.get_ydata(), trend.columns()["mm"])


@pytest.mark.parametrize(
    ("given", "said"), [({"width_mm": 20.0}, r"width_mm = 20\.0"), ({"text_pt": 50.0}, "text_pt = 50")]
)
def test_a_page_that_is_none_is_refused(given, said):
    with pytest.raises(fm.QuantityError, match=said), plot.page(**given):
        pass


def test_after_a_page_pictures_are_slides_again():
    with pytest.raises(ZeroDivisionError), plot.page():
        raise ZeroDivisionError
    assert plot.level_volume(generator())[0].figure.get_figwidth() == 10.0
