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


CIRCUIT, SERVICE, STATE, RECORD = (validator(name) for name in ("circuit", "service", "state", "record"))


def reads_circuit(data):
    fm.Circuit.loads(json.dumps(data))


def reads_service(data):
    fm.Service.loads(json.dumps(data))


def reads_record(data):
    fm.Record.loads(json.dumps(data))


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


@pytest.mark.parametrize("name", fm.incidents())
def test_records_of_the_written_incidents(name):
    written = tomllib.loads((DEMO / "incidents" / f"{name}.toml").read_text(encoding="utf-8"))
    RECORD.validate(written)
    reads_record(written)
    record = fm.incident(name)
    RECORD.validate(json.loads(record.to_json()))
    RECORD.validate(tomllib.loads(record.to_toml()))


# Everything that the file of a record may say.
FULL = {
    "format": 1,
    "name": "full",
    "note": "Invented.",
    "circuit": "shuttle-bus",
    "complaint": "reads_over",
    "tanked": False,
    "events": [
        "drain 10 min",
        {"pour": {"volume": "7.4(1) L", "measured_with": "jug"}},
        {"read": {}, "label": "first"},
        "rest 20 min",
    ],
    "readings": [
        {"of": "first", "mm": "122(1) mm", "source": "photo"},
        {"fraction": 1.4, "after": 3, "attitude": {"nose_up": "1(1) deg"}, "source": "told", "noise": "2 mm"},
        {"from_max": "0.4 L", "source": "remembered"},
        {"says": "above_blade", "source": "seen"},
    ],
    "measured": {"drained": "6.9(1) L", "poured": "7.4 L"},
    "signs": {
        "old_colour": True, "fuel_smell": False, "milky": False, "coolant_falls": False, "oil_on_floor": False,
        "loose_plug": False, "second_dip_differs": True, "old_filter": False, "wrong_stick": False,
    },
    "priors": {"poor drain": 3.5, "leak": 0},
}  # fmt: skip


def with_changed(path, value):
    """The full record with something at a path put in, or taken out where the value is None."""
    data = copy.deepcopy(FULL)
    *tables, last = path
    table = data
    for key in tables:
        table = table[key]
    if value is None:
        del table[last]
    else:
        table[last] = value
    return data


def test_a_full_record():
    RECORD.validate(FULL)
    reads_record(FULL)
    assert json.loads(fm.Record.loads(json.dumps(FULL)).to_json())["signs"] == FULL["signs"]


@pytest.mark.parametrize("complaint", ["reads_over", "reads_under", "rises", "falls", "differs"])
@pytest.mark.parametrize("says", ["dry", "under", "between", "over", "above_blade"])
def test_words_of_records(complaint, says):
    data = {"format": 1, "complaint": complaint, "events": [], "readings": [{"says": says}]}
    RECORD.validate(data)
    reads_record(data)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (["format"], None),
        (["format"], "1"),
        (["format"], -1),
        (["complaint"], None),
        (["complaint"], "smells"),
        (["events"], None),
        (["events"], "drain 10 min"),
        (["events", 1], {"puor": {"volume": "1 L"}}),
        (["events", 1], {"pour": {"volume": "7.4"}}),
        (["colour"], "red"),
        (["name"], 5),
        (["tanked"], "no"),
        (["readings"], {"mm": "122 mm"}),
        (["readings", 0, "mm"], "122 L"),
        (["readings", 0, "mm"], 122),
        (["readings", 0, "mn"], "122 mm"),
        (["readings", 0, "source"], "dreamt"),
        (["readings", 1, "fraction"], "1.4 mm"),
        (["readings", 1, "after"], -1),
        (["readings", 1, "after"], 1.5),
        (["readings", 1, "attitude"], {"nose": "1 deg"}),
        (["readings", 1, "noise"], "2 deg"),
        (["readings", 2, "from_max"], "0.4 mm"),
        (["readings", 3, "says"], "wet"),
        (["measured", "drained"], "6.9 kg"),
        (["measured", "burnt"], "1 L"),
        (["signs", "milky"], "no"),
        (["priors", "leak"], "often"),
        (["priors"], [1, 2]),
    ],
    ids=str,
)
def test_wrong_records_are_refused_by_both(path, value):
    RECORD.validate(FULL)
    data = with_changed(path, value)
    assert not RECORD.is_valid(data)
    with pytest.raises(fm.FillmarkError):
        reads_record(data)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (["format"], 2),
        (["readings"], []),
        (["readings", 0, "says"], "over"),
        (["readings", 0, "of"], "second"),
        (["readings", 1, "after"], 9),
        (["measured", "drained"], "-1 L"),
        (["priors", "leak"], -1.0),
        (["signs", "green"], True),
        (["events", 0], "drink 10 min"),
    ],
    ids=str,
)
def test_what_a_schema_cannot_say_the_reader_refuses(path, value):
    """A schema lets through some of what the reader refuses, never the reverse."""
    data = with_changed(path, value)
    RECORD.validate(data)
    with pytest.raises(fm.FillmarkError):
        reads_record(data)
