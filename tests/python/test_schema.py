"""The committed JSON Schemas against the files that the package reads: both accept the same and refuse the same."""

import copy
import importlib.resources
import json
from pathlib import Path

import fillmark as fm
import jsonschema
import pytest
from reference.text import document
from services import BOX, core_service

tomllib = pytest.importorskip("tomllib", reason="the standard library reads TOML from Python 3.11 on")

FOLDER = Path(__file__).resolve().parents[2] / "schema"
DEMO = importlib.resources.files("fillmark") / "demo"


def validator(name):
    schema = json.loads((FOLDER / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


CIRCUIT, SERVICE, STATE = validator("circuit"), validator("service"), validator("state")


def reads_circuit(data):
    fm.Circuit.loads(json.dumps(data))


def reads_service(data):
    fm.Service.loads(json.dumps(data))


@pytest.mark.parametrize("name", fm.demos())
def test_demo_circuits(name):
    CIRCUIT.validate(tomllib.loads((DEMO / f"{name}.toml").read_text(encoding="utf-8")))
    circuit = fm.Circuit.demo(name)
    CIRCUIT.validate(json.loads(circuit.to_json()))
    CIRCUIT.validate(tomllib.loads(circuit.to_toml()))
    STATE.validate(json.loads(fm.simulate(circuit, []).rows[0].state.to_json()))


@pytest.mark.parametrize("first", range(0, 60, 10))
def test_random_circuits_services_and_states(first):
    for seed in range(first, first + 10):
        circuit, events, data, *_ = core_service(seed)
        CIRCUIT.validate(document(data))
        CIRCUIT.validate(json.loads(circuit.to_json()))
        service = fm.Service(events, name=f"random {seed}")
        SERVICE.validate(json.loads(service.to_json()))
        SERVICE.validate(tomllib.loads(service.to_toml()))
        for row in fm.simulate(circuit, events).rows:
            STATE.validate(json.loads(row.state.to_json()))


# Every form in which a quantity may be written (see the Rust documentation of `units`).
QUANTITIES = [
    "0.4 L", ".5 L", "1e-3 m3", "1/2 US qt", "5 1/2 imp gal", "0.35(5) L", "7.4(1)e-1 l", "0.35(0.05) litres",
    "0.35 ± 0.10 L k=2", "0.35 +/- 0.10 L, k=2", "(0.35 ± 0.10) L (k = 2)", "0.30 .. 0.40 L", "normal(0.35, 0.05) L",
    "rectangular(0.30, 0.40, 0.01) L", "truncated(0.35, 0.05, 0, inf) L", "samples(0.34, 0.35) cm³", "24 cu. in.",
    "0.4 dm^3", "400 cc", " 0.4   L ", "13 US fl oz", "400000 µL",
    {"normal": {"mean": 0.35, "standard_uncertainty": 0.05, "unit": "L"}},
    {"rectangular": {"low": 0.3, "high": 0.4, "unit": "L"}},
    {"rectangular": {"low": 0.3, "high": 0.4, "limits_within": 0.01, "unit": "L"}},
    {"truncated": {"mean": 0.35, "standard_uncertainty": 0.05, "low": 0, "unit": "L"}},
    {"samples": {"values": [0.34, 0.35, 0.37], "unit": "L"}},
]  # fmt: skip


@pytest.mark.parametrize("value", QUANTITIES, ids=str)
def test_quantities(value):
    data = {"format": 1, "events": [{"pour": {"volume": value}}]}
    SERVICE.validate(data)
    reads_service(data)


@pytest.mark.parametrize(
    "event",
    [
        "pour 6.9 L with jug",
        {"do": "read", "label": "dip"},
        {"do": "rest 5 min", "attitude": {"nose_up": "2 deg"}},
        {"change_filter": {}},
        {"wipe": {}},
        {"ingress": {"component": "water", "rate": "1 mL/min", "when": "always"}},
    ],
    ids=str,
)
def test_ways_to_write_an_event(event):
    SERVICE.validate({"format": 1, "events": [event]})
    reads_service({"format": 1, "events": [event]})


@pytest.mark.parametrize(
    "events",
    [
        None,
        [{}],
        [5],
        [{"label": "a"}],
        [{"puor": {"volume": "1 L"}}],
        [{"pour": {}}],
        [{"pour": {"volume": "1 L", "mass": "1 kg"}}],
        [{"pour": {"volume": "1 L", "by": "jug"}}],
        [{"pour": {"volume": "1"}}],
        [{"pour": {"volume": 1}}],
        [{"pour": {"volume": "1 kg"}}],
        [{"pour": {"volume": "1 qt"}}],
        [{"pour": {"volume": "L"}}],
        [{"pour": {"volume": {"normal": {"mean": 1, "unit": "L"}}}}],
        [{"pour": {"volume": {"norml": {"mean": 1, "standard_uncertainty": 1, "unit": "L"}}}}],
        [{"rest": "5 min"}],
        [{"rest": {}}],
        [{"wipe": {"label": "a"}}],
        [{"wipe": {}, "read": {}}],
        [{"wipe": {}, "do": "read"}],
        [{"leak": {"rate": "1 L/min", "when": "never"}}],
        [{"ingress": {"component": "sand", "rate": "1 L/min"}}],
        [{"read": {"face": "left"}}],
        [{"read": {}, "lable": "a"}],
        [{"tilt": {}}],
    ],
    ids=str,
)
def test_wrong_services_are_refused_by_both(events):
    data = {"format": 1} if events is None else {"format": 1, "events": events}
    assert not SERVICE.is_valid(data)
    with pytest.raises(fm.FillmarkError):
        reads_service(data)


WRONG = [
    ("format", 2),
    ("name", 5),
    ("colour", "red"),
    ("sump.box.length", "300"),
    ("sump.box.length", "300 L"),
    ("sump.box.depth", "300 mm"),
    ("sump.cone", {}),
    ("dipstick.min", None),
    ("dipstick.path_mm", [[0, 0]]),
    ("dipstick.tube_pressure", "3 mm"),
    ("plugs.main.bore", None),
    ("plugs.main.lips", "0.1 L"),
    ("filter.valve", "weeping"),
    ("filter.orientation", "up"),
    ("filter.can", {"diameter": "80 mm"}),
    ("stores.head.kind", "tank"),
    ("stores.head.opens_at", "80"),
    ("fluid.kv40", None),
    ("fluid.fuel", "coal"),
    ("reference.wait", "5 L"),
    ("instruments.jug.scale", "1 L"),
    ("cooling", {}),
    ("cooling", {"time": "40 min", "ambience": "20 degC"}),
    ("filler", {"wet": "10 mL"}),
    ("sticks", {"old": {"min": "30 mm"}}),
    ("crank", {"path": [[0, 0, 0]]}),
    ("pickup", {"at_mm": [0, 0]}),
    ("pump", {"displacement": "12 mL"}),
    ("geometry", {"metal": "wood"}),
]


@pytest.mark.parametrize(("path", "value"), WRONG, ids=str)
def test_wrong_circuits_are_refused_by_both(path, value):
    data = tomllib.loads(BOX)
    CIRCUIT.validate(data)
    reads_circuit(data)
    wrong = copy.deepcopy(data)
    *tables, last = path.split(".")
    table = wrong
    for name in tables:
        table = table[name]
    if value is None:
        del table[last]
    else:
        table[last] = value
    assert not CIRCUIT.is_valid(wrong)
    with pytest.raises(fm.FillmarkError):
        reads_circuit(wrong)
