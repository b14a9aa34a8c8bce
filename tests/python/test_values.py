"""Every exported value class: repr pastes back, equality, pickling and copying by value, frozen."""

import copy
import importlib.resources
import pickle

import fillmark as fm
import pytest
from pans import ribbed

DEMO = importlib.resources.files("fillmark") / "demo"
OIL = {"density_15c_kg_m3": 868.0, "kv40_mm2_s": 95.0, "kv100_mm2_s": 14.3}

SET = fm.Circuit.demo("deck-generator")
SHEET = fm.Circuit.from_book(service_with_filter_l="5.7 US qt", service_without_filter_l=5.0, span_l=1.0, residue_l=0.4)
SERVICE = [
    fm.Drain(minutes=10, temperature_c=60),
    fm.ChangeFilter(),
    fm.Pour(6.9, measured_with="jug"),
    fm.Read(label="a"),
]
LINE = fm.simulate(SET, SERVICE)
PREDICTED = fm.predict(SET, SERVICE, draws=200, seed=3)
PLAN = fm.plan_refill(
    SET, done=SERVICE[:2], then=[fm.Run(minutes=1)], jug_step_l=0.1, temperature_c="15 degC", draws=200
)
APART = fm.simulate(fm.Circuit.demo("shuttle-bus"), [fm.Drain(minutes=60, attitude=fm.Attitude(nose_up_deg=4))])
GUESSES = {"a": fm.Uncertain.t(1.0, 0.1, 4), "b": fm.Uncertain.normal(2.0, 1 / 3)}
SPREAD = fm.propagate(lambda a, b: {"sum": a + b, "product": a * b}, GUESSES, draws=100)
SETTLED = fm.propagate(lambda a, b: a - b, GUESSES, digits=1, method="sobol")

CHANGE = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(4.0), fm.Run(minutes=1)]

PAN = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
PLUG = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=14.0)
TEN_W = fm.Fluid.oil(grade="10W-40")
LEANING = fm.Attitude(nose_up_deg=1.5)

# Two wells with a ridge between them.
RIBBED = ribbed()
POURED = fm.Pools(RIBBED).pour(0.2, at_mm=(50.0, 80.0, 90.0)).pour(0.1, at_mm=(250.0, 120.0, 90.0))

OPEN = fm.inspect_mesh(
    vertices_mm=[(0, 0, 0), (10, 0, 0), (0, 10, 0), (0, 0, 10)], faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2)]
)
TANK = fm.Sump.cylinder(diameter_mm=250.1, length_mm=300.0, axis="x", ends=(fm.End.ellipsoidal(), fm.End.flat()))
PICKUP = fm.Sump.box(length_mm=20.0, width_mm=20.0, height_mm=20.0)
LIFTED = PICKUP.translated((0.0, 0.0, 30.1))

LEARNT = fm.calibrate(
    [0, 0.5, 0.4, 0.5], [20.0, 31.0, 40.0, 51.5], min_mm=24, max_mm="48 mm", jug_scale="1.00(2)", draws=100
)

RECORD = fm.trend(
    [0, 2500, 5000, 9000], [60, 57.5, 55.1, 52], ml_per_mm="normal(45, 1) mL/mm", min_mm=30, max_mm=62, draws=200,
    added_over=[5000], added_l=[0.1],
)  # fmt: skip

DIPS = fm.dip_study(["Ada", "Ada", "Bo", "Bo", "Cy"], [41.0, 42.0, 43.5, 44.1, 40.5], draws=200)
WEIGHED = fm.weighed_residue([5.9, 5.85], held_l="7.90(5) L", density_kg_m3=868, draws=200)

# One or more examples of each class in `fillmark.__all__`; a class without an example fails `test_every_class_is_here`.
EXAMPLES = {
    "Attitude": [
        fm.Attitude(),
        fm.Attitude(nose_up_deg=2.0),
        fm.Attitude(nose_up_deg=-1 / 3, right_down_deg=0.1),
        fm.Attitude.from_up((0.1, -0.2, 3.0)),
        fm.Attitude.from_lift(lift_mm=150, wheelbase_mm="3 m"),
        fm.Attitude.from_grade(along=0.05, across="-2 %"),
        fm.Attitude(nose_up_deg=8.0).on_ground(fm.Attitude(nose_up_deg=-3.0, right_down_deg=1.0)),
        fm.Attitude.from_turned_inclinometer(along_deg=(3.4, -2.6), across_deg=(0.1, 0.7))[0],
        fm.Attitude(nose_up_deg=1.0).accelerated(forward_m_s2=-1.5, left_m_s2="0.3 m/s2"),
    ],
    "DipStudy": [DIPS, fm.dip_study([1, 1, 2, 2], [10, 11, 12, 12.1], level=["low"] * 4, seed=4, draws=200)],
    "WeighedResidue": [WEIGHED, fm.weighed_residue([5], held_l=7, density_kg_m3=868, filter_l="0.38 L", draws=200)],
    "Trend": [RECORD, fm.trend([0, 1, 2], [10, 9, 7], ml_per_mm=LEARNT.ml_per_mm, unit="h", per=100, draws=100)],
    "Band": [
        LEARNT.span_l,
        RECORD.reaches_max,
        fm.Band(median=1, mean=float("inf"), standard_uncertainty=float("nan"), low=0, high=2.5),
    ],
    "Calibration": [
        LEARNT,
        fm.calibrate([0, 1, 1], [10, 20, 30.1], start_l=fm.Uncertain("2.0(1) L"), scatter_mm=0.5, draws=100, seed=2),
    ],
    "End": [
        fm.End.flat(),
        fm.End.conical(depth_mm="5 cm"),
        fm.End.spherical(depth_mm=33.3),
        fm.End.ellipsoidal(),
        fm.End.ellipsoidal(depth_mm=1 / 3),
        fm.End.torispherical(knuckle=0.1),
    ],
    "Inspection": [OPEN, PAN.inspect(), LIFTED.inspect()],
    "Finding": OPEN.findings,
    "Shell": [*PAN.inspect().shells, *PAN.with_displacer(LIFTED).inspect().shells[1:]],
    "Response": [
        fm.Response(
            PAN,
            at_mm=(100.0, 0.0, 10.0),
            volume_l=(2.0, 4.1),
            nose_up_deg=(-1.0, 1.0),
            right_down_deg=(0.0, 0.0),
            tolerance_mm=tolerance,
        )
        for tolerance in (0.02, 0.1)
    ],
    "Strapping": [PAN.strapping(step_mm=10), PAN.strapping(step_mm=7.1, attitude=LEANING)],
    "Surface": [PAN.surface(level_mm=50), LIFTED.surface(level_mm="1.1 cm", attitude=LEANING)],
    "WettedArea": [
        PAN.wetted(level_mm=50.1),
        PAN.wetted(level_mm=[[0.0, 50.0], [60.0, 70.1]], attitude=LEANING, floor_slope_deg=1),
    ],
    "Fluid": [
        fm.Fluid.oil(**OIL),
        fm.Fluid.oil(**OIL, edition="1980"),
        fm.Fluid.oil(grade="10W-40"),
        fm.Fluid.oil(grade="10W-40", edition="1980"),
        fm.Fluid.oil(density_15c_kg_m3=868.0, viscosity_points=((0.0, 650.0), (60.0, 45.1))),
        fm.Fluid.of_grade("ISO VG 46", index=1 / 3),
        fm.Fluid.water(),
        fm.Fluid.coolant(percent=50, basis="mass"),
        fm.Fluid.coolant(percent=33.3, basis="volume"),
        fm.Fluid.fuel(density_15c_kg_m3=835.1),
        fm.Fluid.table(temperature_c=[0.0, 15.0, 99.9], density_kg_m3=[878.0, 868.0, 813.0]),
        fm.Fluid.table(temperature_c=[0, 99], density_kg_m3=[878, 813], kv40_mm2_s=95.0, kv100_mm2_s=14.3),
        # Numbers whose conversion to SI and back is not exact in floating point.
        fm.Fluid.oil(density_15c_kg_m3=870.1, kv40_mm2_s=68.7, kv100_mm2_s=1 / 0.07),
    ],
    "Plug": [PLUG, fm.Plug(at_mm=(150.0, 0.1, 20.0), bore_mm="1/2 in", boss_mm=12.1, axis=(3.0, 0.0, -4.0))],
    "HeelMap": [
        PAN.heel_map(PLUG, nose_up_deg=[-1.0, 0.1], right_down_deg=0.0),
        PAN.heel_map([PLUG, PLUG], nose_up_deg=[-1.0, 0.1], right_down_deg=[0.3]),
    ],
    "Basins": [PAN.basins(), RIBBED.basins(attitude=LEANING)],
    "Basin": [PAN.basins()[0], *RIBBED.basins()],
    "AirLock": [
        *PAN.air_locks(vents_mm=[(150.0, 0.0, 60.0)], attitude=LEANING),
        fm.AirLock(highest_point_mm=(0, 1, 2.5), level_mm="9 cm", volume_l=1),
    ],
    "Pools": [
        fm.Pools(PAN),
        fm.Pools(PAN, attitude=LEANING),
        POURED,
        POURED.turn(LEANING),
        fm.Pools(PAN, {0: "1.1 L"}, unsettled_l=0.01),
    ],
    "Pool": POURED.pools,
    "Hysteresis": [POURED.hysteresis(LEANING), fm.Hysteresis(moved_l=0.1, unsettled_l=0, real=True)],
    "DrainFlow": [
        fm.drain_flow(PLUG, TEN_W, head_mm=80.0, temperature_c=60.0, model="short tube"),
        fm.drain_flow(PLUG, TEN_W, head_mm=80.0, temperature_c=60.0, model="constant Cd", cd=0.6, vent="shut"),
    ],
    "DrainCurve": [
        fm.drain_curve(PAN, PLUG, TEN_W, volume_l=4.0, temperature_c=60.0, model="energy balance", steps=9),
        fm.drain_curve(
            PAN,
            PLUG,
            TEN_W,
            volume_l=4.1,
            temperature_c=60.0,
            model="energy balance",
            entry_loss=0.5,
            steps=9,
            vent="restricted",
            vent_area_mm2=3.0,
            to_head_mm=2.0,
            near_empty="ignore",
            attitude=LEANING,
        ),
    ],
    "EmptyingTime": [
        fm.emptying_time(PAN, PLUG, TEN_W, volume_l=4.0, temperature_c=60.0, model="energy balance"),
        fm.emptying_time(
            PAN, PLUG, fm.Fluid.oil(**OIL), volume_l=4.0, temperature_c=60.0, model="short tube", attitude=LEANING
        ),
    ],
    "SuctionTube": [
        fm.SuctionTube(tip_mm=(80.0, 0.0, 3.1), bore_mm=6.1, length_mm=1500.0, rise_mm=900.0, vacuum_kpa="0.7 bar"),
        fm.SuctionTube(
            tip_mm=(80.0, 0.0, 3.1), bore_mm=6.1, length_mm=1500.0, rise_mm=9, vacuum_kpa=70.0, axis=(0.0, 1.0, 1.0)
        ),
    ],
    "ReducedTime": [fm.ReducedTime(), fm.ReducedTime().after(minutes=5, kinematic_viscosity_mm2_s=14.1)],
    "WallFilm": [
        fm.WallFilm(length_mm=300.1, width_mm=400),
        fm.WallFilm(length_mm=1, width_mm=2, slope_deg=5, start_um=9),
    ],
    "FloorFilm": [
        fm.FloorFilm(length_mm=300.1, width_mm=220.0),
        fm.FloorFilm(length_mm=9, width_mm=1, slope_deg=5, lip_mm=0),
    ],
    "Circuit": [
        fm.Circuit.demo("shuttle-bus"),
        fm.Circuit.demo("deck-generator").replace({"filter.net_volume": "0.4(1) L", "instruments.jug.scale": 1.02}),
        fm.Circuit.loads(fm.Circuit.demo("deck-generator").to_toml()),
        SHEET,
    ],
    "Event": [fm.Event.from_json(fm.Read().to_json())],
    "OpenPlug": [fm.OpenPlug(), fm.OpenPlug("main", temperature_c="140 degF", label="hot")],
    "ClosePlug": [fm.ClosePlug(), fm.ClosePlug("main")],
    "Drain": [fm.Drain(minutes=10, temperature_c=60), fm.Drain(hours=12, plug="main")],
    "RemoveFilter": [fm.RemoveFilter()],
    "FitFilter": [fm.FitFilter(), fm.FitFilter(0.2, temperature_c=20)],
    "ChangeFilter": [fm.ChangeFilter(), fm.ChangeFilter(primed_l="0.2(1) L")],
    "Pour": [fm.Pour(6.9), fm.Pour(mass_kg=5.5), fm.Pour("5 1/2 US qt", measured_with="jug", temperature_c=20)],
    "Withdraw": [fm.Withdraw(0.25), fm.Withdraw(mass_kg="0.2 kg", measured_with="jug")],
    "Run": [fm.Run(minutes=1), fm.Run(seconds=30, temperature_c=80)],
    "Rest": [fm.Rest(minutes=5), fm.Rest(hours=12, label="overnight")],
    "Tilt": [fm.Tilt(fm.Attitude(nose_up_deg=2.0, right_down_deg=-0.3)), fm.Tilt("nose up 2.0(5) deg")],
    "Read": [
        fm.Read(),
        fm.Read(label="first dip", attitude=fm.Attitude(right_down_deg=-1.5)),
        fm.Read(attitude="nose up 1.0(5) deg, right down -0.2(3) deg"),
    ],
    "Uncertain": [
        fm.Uncertain("0.35(5) L"),
        fm.Uncertain.normal(0.35, 0.05, "L"),
        fm.Uncertain.rectangular(-1.0, 2.0, "mm"),
        fm.Uncertain.triangular(0.3, 0.35, 0.4, "US qt"),
        fm.Uncertain.lognormal(0.3, 0.66, "L"),
        fm.Uncertain.truncated(0.25, 0.1, 0.0, 1.0, "L"),
        fm.Uncertain.rectangular(0.3, 0.4, "L", limits_within=0.01),
        fm.Uncertain.arcsine(0.3, 0.4),
        fm.Uncertain.pert(0.3, 0.35, 0.45, "L"),
        fm.Uncertain.beta(0.3, 0.45, 2.0, 3.0, "L"),
        fm.Uncertain.t(43.2, 0.4, 4.0, "mm"),
        fm.Uncertain.samples([0.35, 0.34, 1 / 3], "L"),
    ],
    "Leak": [fm.Leak("7 L/min"), fm.Leak(0.2, when="running", label="two gaskets")],
    "Use": [fm.Use("0.03 L/h"), fm.Use(1e-3, when="always")],
    "Ingress": [fm.Ingress("fuel", "20 mL/min"), fm.Ingress("water", 0.1, when="always", label="cracked")],
    "Stop": [fm.Stop("two gaskets"), fm.Stop('it\'s "open"', label="shut")],
    "Wipe": [fm.Wipe(), fm.Wipe(label="clean")],
    "Service": [
        fm.Service([]),
        fm.Service(SERVICE),
        fm.Service(SERVICE[:2], name="Monday", note="it's\ntwo lines", circuit="deck-generator"),
    ],
    "Timeline": [LINE, fm.simulate(SET, SERVICE[2:], start=LINE.rows[2].state)],
    "Row": LINE.rows,
    "RowPool": APART.rows[-1].pools,
    "Reading": LINE.readings,
    "Ledger": [LINE.ledger],
    "State": [LINE.rows[-1].state],
    "Prediction": [PREDICTED],
    "PredictedReading": PREDICTED.readings,
    "Draws": [fm.Draws([1.0, 2.5, -1.0]), PREDICTED.readings[0].mm],
    "Plan": [PLAN, fm.plan_withdraw(SET, done=[fm.Pour(0.5)], then=[], other_unit="US qt", draws=200)],
    "Correction": PLAN.corrections,
    "Propagation": [SPREAD, SETTLED],
    "PropagatedResult": [*SPREAD.results, *SETTLED.results],
    "FirstOrder": [SPREAD.result("product").first_order],
    "Sensitivity": [fm.sensitivity(lambda a, b: a * b, GUESSES, draws=64, correlations={("a", "b"): 0.5})],
    "Tornado": [fm.tornado(lambda a, b: a * b, GUESSES), fm.tornado(SET, SERVICE)],
    "WorthMeasuring": [
        fm.worth_measuring(lambda a, b: a * b, GUESSES, draws=64),
        fm.worth_measuring(SET, SERVICE, draws=16, replicates=4),
    ],
    "Record": [fm.Record(CHANGE, [119.0], complaint="reads_over", drained_l="6.2(1) L", signs={"loose_plug": False})],
    "Unknown": [fm.Unknown("can", "0.9 .. 1.1 L"), fm.Unknown("can", fm.Uncertain.normal(1.0, 0.1))],
    "WaitAdvice": [fm.wait_advice(SET, SERVICE, draws=10)],
    "Assessment": [
        fm.assess(SET, SERVICE, draws=50, seed=2, surge_deg=1.0),
        LINE.assess(hot_temperature_c=80, attitude=LEANING),
    ],
    "LitreScale": [SET.litre_scale(step_l=0.1), SET.litre_scale(step_l=0.3, from_mark="MIN", attitude=LEANING)],
    "OldOil": [fm.old_oil(SET, CHANGE, changes=2)],
    "PressureDelay": [SET.pressure_delay(), SET.pressure_delay(primed_l="0.2(1) L", empty_galleries_l=0.1)],
    "Reconciliation": [fm.reconcile(SET, draws=50), fm.reconcile(SHEET, minutes=5, temperature_c=20, draws=50)],
    "Residue": [LINE.residue(), LINE.residue(0)],
    "Sump": [
        fm.Sump.tapered(floor_mm=(260.0, 150.0), top_mm=(300.0, 200.0), height_mm=90.1),
        fm.Sump.from_mesh(
            vertices_mm=[(0, 0, 0), (100, 0, 0), (0, 100, 0), (0, 0, 100)],
            faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)],
        ),
        SET.sump,
        SHEET.sump,
        fm.Circuit.demo("shuttle-bus").sump,
        fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.1),
        fm.Sump.box(length_mm="1 ft", width_mm=1 / 3 * 1000, height_mm=100),
        fm.Sump.from_table(level_mm=[0.0, 40.1, 90.0], volume_l=[0.0, 2.2, 6.0]),
        fm.Sump.from_table(level_mm=[0.0, 40.1], volume_l=[0.0, 2.2], centroid_mm=(20.5, 0.0)),
        fm.Sump.from_table(level_mm=[0.0, 40.1], volume_l=[0.0, 2.2], centroid_mm=[(20.5, 0.0), (21.0, 0.0)]),
        fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.1),
        fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.1, centroid_mm=(20.5, 0.0)),
        fm.Sump.expanded(PAN, temperature_c=90.0, metal="cast aluminium"),
        fm.Sump.expanded(PAN, temperature_c=90.0, expansion_ppm_k=11.1, drawn_at_c=15.0),
        fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.1, capacity_l=9.9),
        fm.Sump.from_stl(DEMO / "stepped_bus.stl"),
        fm.Sump.stepped(
            length_mm=300.0, width_mm=200.0, tray_height_mm=50.0, well_length_mm=120.1, well_depth_mm="6 cm"
        ),
        fm.Sump.stepped(
            length_mm=300,
            width_mm=200,
            tray_height_mm=50,
            well_length_mm=120.1,
            well_depth_mm=60,
            well_from_rear_mm=30,
        ),
        TANK,
        fm.Sump.cylinder(diameter_mm=250, length_mm=100, facet_tolerance=1e-3),
        fm.Sump.from_sections(
            at_mm=[0, 300.1],
            outlines_mm=[[(-50, 0), (50, 0), (50, 60), (-50, 60)], [(-80, -20), (80, -20), (80, 60), (-80, 60)]],
        ),
        fm.Sump.from_floor(x_mm=[0, 100, 300], y_mm=[0, 200], z_mm=[[0, 0.1], [0, 0], [40, 40]], top_mm=90),
        PAN.with_displacer(LIFTED),
        LIFTED,
        PAN.rotated((0.0, 1.0, 1.0), angle_deg=30.1),
        TANK.scaled(0.501),
        PAN.with_displacer(fm.Sump.cylinder(diameter_mm=20, length_mm=30).translated((0, 0, 20.1))),
    ],
}
# A diagnosis and its parts take seconds to make, a hypothesis may hold a function: `test_explain.py` has them.
# A line of progress is used for one call: `test_progress.py` has it.
ELSEWHERE = {"Cause", "Check", "Hypothesis", "ProgressLine", "Verdict"}
# The repr of a sump from a file only counts the file's bytes.
NOT_PASTED = "<"
CASES = [pytest.param(value, id=f"{name}-{i}") for name, values in EXAMPLES.items() for i, value in enumerate(values)]


def test_every_class_is_here():
    classes = {
        name
        for name in fm.__all__
        if isinstance(getattr(fm, name), type) and not issubclass(getattr(fm, name), BaseException)
    }
    assert classes == set(EXAMPLES) | ELSEWHERE


@pytest.mark.parametrize("value", CASES)
def test_repr_pastes_back(value):
    if NOT_PASTED in repr(value):
        pytest.skip("made from the bytes of a file")
    assert eval(repr(value), {name: getattr(fm, name) for name in fm.__all__}) == value


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
@pytest.mark.parametrize("value", CASES)
def test_pickles_by_value(value, protocol):
    assert pickle.loads(pickle.dumps(value, protocol)) == value


@pytest.mark.parametrize("value", CASES)
def test_copies(value):
    assert copy.copy(value) == value
    assert copy.deepcopy({"it": [value]}) == {"it": [value]}


@pytest.mark.parametrize("value", CASES)
def test_equality_is_by_value_and_by_class(value):
    assert value == value
    assert value != "something else"
    others = [v.values[0] for v in CASES if repr(v.values[0]) != repr(value)]
    assert all(value != other for other in others)


@pytest.mark.parametrize("value", CASES)
def test_cannot_be_changed(value):
    with pytest.raises(AttributeError):
        value.something = 1
    for name in vars(type(value)):
        if not name.startswith("_") and not callable(getattr(value, name)):
            with pytest.raises(AttributeError):
                setattr(value, name, getattr(value, name))


@pytest.mark.parametrize("value", CASES)
def test_hash_is_by_value_where_there_is_one(value):
    if isinstance(value, fm.Attitude):
        assert hash(value) == hash(copy.copy(value))
    else:
        with pytest.raises(TypeError, match="unhashable"):
            hash(value)


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_class_says_where_it_is(name):
    assert getattr(fm, name).__module__ == "fillmark"
    assert getattr(fm, name).__qualname__ == name
