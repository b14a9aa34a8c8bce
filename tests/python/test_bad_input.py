"""Everything a person can get wrong through the Python face: class, code, fields and the whole message.

One row for every case. `messages` raises these and those of other tables: with the few that only Rust can make, every
variant of every error enum, which the last tests read from the sources.
"""

# ruff: noqa: E501 (messages are kept whole)

import struct

import error_table
import fillmark as fm
import numpy as np
import pytest
from services import box, edited

NAN = float("nan")
VOLUMES = (
    "L, mL, US qt, US gal, US pt, US fl oz, imp qt, imp gal, imp pt, imp fl oz, dL, cL, uL, m3, dm3, cm3, mm3, in3"
)
TOP = (
    "format, name, note, sump, geometry, dipstick, plugs, filter, stores, filler, sticks, cooling, crank, pickup, pump, "
    "fluid, book, reference, judgement, instruments"
)
STORE = "kind, kept, running, film, pool_time, inertia_time, film_time, opens_at"
STICK = "path_mm, min, max, scatter, seat_offset, meniscus, smear, faces, tube_pressure"
PLUG_KEYS = "at_mm, bore, boss, axis, heel, lip"
FILTER_KEYS = "net_volume, can, valve, orientation, drains, drain_time, spill"
FLUID_KEYS = "grade, density_15c, kv40, kv100, fuel"
EVENTS = (
    "open_plug, close_plug, remove_filter, fit_filter, drain, change_filter, pour, withdraw, run, rest, tilt, leak, use, "
    "ingress, stop, wipe, read"
)
PATH = "path_mm = [[0, 0, 5], [0, 0, 105]]"
SHAPE = '[sump.box]\nlength = "300 mm"\nwidth = "200 mm"\nheight = "100 mm"'
CORNERS = [(x, y, z) for z in (0, 100) for y in (0, 200) for x in (0, 300)]
FACES = [
    (0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4),
    (2, 6, 3), (3, 6, 7), (0, 4, 2), (2, 4, 6), (1, 3, 5), (3, 7, 5),
]  # fmt: skip


class Reading:
    """Reading the box circuit's text with passages replaced."""

    def __init__(self, *changes):
        self.text = edited(*changes)

    def __call__(self):
        return fm.Circuit.loads(self.text)


read = Reading  # a row reads as a sentence


def key(table, line):
    """Reading the box circuit's text with a line added to a table."""
    return Reading((f"{table}\n", f"{table}\n{line}\n"))


class Serving:
    """Simulating a service of the box circuit with passages of its text replaced."""

    def __init__(self, *events, on=()):
        self.events, self.circuit = events, edited(*on)

    def __call__(self):
        return fm.simulate(fm.Circuit.loads(self.circuit), list(self.events))


class Text:
    """Reading a service from its text."""

    def __init__(self, text):
        self.text = text

    def __call__(self):
        return fm.Service.loads(self.text)


class Planning:
    """Planning a refill of the box circuit."""

    def __init__(self, done=(), then=(), **options):
        self.done, self.then, self.options = done, then, options

    def __call__(self):
        return fm.plan_refill(box(), done=list(self.done), then=list(self.then), **self.options)


serve, plan = Serving, Planning


def mesh(corners=CORNERS, faces=FACES):
    """Making a sump of a mesh."""
    return lambda: fm.Sump.from_mesh(vertices_mm=corners, faces=faces)


def sheet(**figures):
    """A circuit from a service sheet."""
    return lambda: fm.Circuit.from_book(**figures)


DRAIN = fm.Drain(minutes=10)
SIDE = ("[filter]", '[plugs.side]\nat_mm = [0, 0, 0]\nbore = "12 mm"\nheel = "0.5 L"\n\n[filter]')
NO_PLUG = ('[plugs.main]\nat_mm = [100, 0, 0]\nbore = "12 mm"\nheel = "0.2 L"\n\n', "")
NO_HEEL = ('\nheel = "0.2 L"', "")
NO_FILTER = ('[filter]\nnet_volume = "0.4 L"\n\n', "")
UNCERTAIN = ('temperature = "20 degC"', 'temperature = "20 degC"\nattitude = { nose_up = "1.0(5) deg" }')
TWICE = [fm.Read(label="a"), fm.Read(label="a")]
# A binary STL that promises 12 faces and holds one and a half.
TRUNCATED = bytes(80) + struct.pack("<I", 12) + bytes(75)

# what is done; class, code, fields; the whole message
TABLE = [
    # files: syntax, keys, values
    (
        read(('name = "box"', "name = box")),
        fm.CircuitError,
        "circuit.syntax",
        {"format": "TOML", "line": 2, "column": 8, "message": "string values must be quoted, expected literal string"},
        "line 2, column 8: not valid TOML: string values must be quoted, expected literal string",
    ),
    (
        lambda: fm.Circuit.loads('{"format": 1,\n "name": }'),
        fm.CircuitError,
        "circuit.syntax",
        {"format": "JSON", "line": 2, "column": 10, "message": "expected value"},
        "line 2, column 10: not valid JSON: expected value",
    ),
    (
        lambda: fm.Circuit.loads(box().to_json() + " x"),
        fm.CircuitError,
        "circuit.syntax",
        {"format": "JSON", "line": 1, "column": 489, "message": "text after the end of the document"},
        "line 1, column 489: not valid JSON: text after the end of the document",
    ),
    (
        read(('name = "box"', 'nam = "box"')),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "", "key": "nam", "line": 2, "nearest": "name", "accepted": TOP},
        "line 2: unknown key `nam`; did you mean `name`?; accepted here: " + TOP,
    ),
    (
        read(("[sump.box]", "[sump.bx]")),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "sump", "key": "bx", "line": 4, "nearest": "", "accepted": "box, mesh, stl, table"},
        "line 4: unknown key `bx` in sump; accepted here: box, mesh, stl, table",
    ),
    (
        key("[sump.box]", 'lenght = "300 mm"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "sump.box", "key": "lenght", "line": 5, "nearest": "length", "accepted": "length, width, height"},
        "line 5: unknown key `lenght` in sump.box; did you mean `length`?; accepted here: length, width, height",
    ),
    (
        key("[dipstick]", 'mx = "50 mm"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "dipstick",
            "key": "mx",
            "line": 10,
            "nearest": "",
            "accepted": STICK,
        },
        "line 10: unknown key `mx` in dipstick; accepted here: " + STICK,
    ),
    (
        key("[plugs.main]", 'boar = "12 mm"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "plugs.main", "key": "boar", "line": 15, "nearest": "bore", "accepted": PLUG_KEYS},
        "line 15: unknown key `boar` in plugs.main; did you mean `bore`?; accepted here: " + PLUG_KEYS,
    ),
    (
        key("[filter]", 'net_vol = "0.4 L"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "filter", "key": "net_vol", "line": 20, "nearest": "net_volume", "accepted": FILTER_KEYS},
        "line 20: unknown key `net_vol` in filter; did you mean `net_volume`?; accepted here: " + FILTER_KEYS,
    ),
    (
        key("[stores.head]", 'pool = "20 s"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "stores.head", "key": "pool", "line": 23, "nearest": "pool_time", "accepted": STORE},
        "line 23: unknown key `pool` in stores.head; did you mean `pool_time`?; accepted here: " + STORE,
    ),
    (
        key("[fluid]", 'kv50 = "60 mm2/s"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "fluid", "key": "kv50", "line": 26, "nearest": "kv40", "accepted": FLUID_KEYS},
        "line 26: unknown key `kv50` in fluid; did you mean `kv40`?; accepted here: " + FLUID_KEYS,
    ),
    (
        key("[reference]", 'temp = "20 degC"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "reference",
            "key": "temp",
            "line": 31,
            "nearest": "temperature",
            "accepted": "temperature, engine, wait, stick, attitude",
        },
        "line 31: unknown key `temp` in reference; did you mean `temperature`?; accepted here: temperature, engine, wait, stick, "
        "attitude",
    ),
    (
        key("[reference]", 'attitude = { nose = "1 deg" }'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "reference.attitude",
            "key": "nose",
            "line": 31,
            "nearest": "nose_up",
            "accepted": "nose_up, right_down",
        },
        "line 31: unknown key `nose` in reference.attitude; did you mean `nose_up`?; accepted here: nose_up, right_down",
    ),
    (
        key("[instruments.jug]", "scal = 1"),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "instruments.jug", "key": "scal", "line": 34, "nearest": "scale", "accepted": "scale"},
        "line 34: unknown key `scal` in instruments.jug; did you mean `scale`?; accepted here: scale",
    ),
    (
        read(("[dipstick]", "[geometry]\nvolume = 1\n\n[dipstick]")),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "geometry",
            "key": "volume",
            "line": 10,
            "nearest": "volume_scale",
            "accepted": "volume_scale, datum, metal, metal_expansion, drawn_at, correlation",
        },
        "line 10: unknown key `volume` in geometry; did you mean `volume_scale`?; accepted here: volume_scale, datum, metal, metal_expansion, drawn_at, correlation",
    ),
    (
        read(("[dipstick]", '[book]\nservice = "5 L"\n\n[dipstick]')),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "book",
            "key": "service",
            "line": 10,
            "nearest": "service_with_filter",
            "accepted": "service_with_filter, service_without_filter, dry, residue, span",
        },
        "line 10: unknown key `service` in book; did you mean `service_with_filter`?; accepted here: service_with_filter, service_without_filter, dry, residue, span",
    ),
    (
        read((SHAPE, '[sump.stl]\nfile = "pan.stl"\nunits = "mm"')),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "sump.stl", "key": "units", "line": 6, "nearest": "unit", "accepted": "file, unit"},
        "line 6: unknown key `units` in sump.stl; did you mean `unit`?; accepted here: file, unit",
    ),
    (
        lambda: fm.Event.from_json('{"do": {"por": {}}}'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "do",
            "key": "por",
            "line": 1,
            "nearest": "pour",
            "accepted": EVENTS,
        },
        "line 1: unknown key `por` in do; did you mean `pour`?; accepted here: " + EVENTS,
    ),
    (
        read(("[fluid]", '[cooling]\ntim = "40 min"\n\n[fluid]')),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "cooling", "key": "tim", "line": 26, "nearest": "time", "accepted": "time, ambient"},
        "line 26: unknown key `tim` in cooling; did you mean `time`?; accepted here: time, ambient",
    ),
    (
        read(("[fluid]", '[filler]\nweted = "10 mL"\n\n[fluid]')),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "filler", "key": "weted", "line": 26, "nearest": "wetted", "accepted": "wetted, film_time"},
        "line 26: unknown key `weted` in filler; did you mean `wetted`?; accepted here: wetted, film_time",
    ),
    (
        read(("[fluid]", '[sticks.old]\nlongre = "5 mm"\n\n[fluid]')),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "sticks.old", "key": "longre", "line": 26, "nearest": "longer", "accepted": "min, max, longer"},
        "line 26: unknown key `longre` in sticks.old; did you mean `longer`?; accepted here: min, max, longer",
    ),
    (
        read(("[fluid]", "[crank]\npath = [[0, 0, 70]]\n\n[fluid]")),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "crank", "key": "path", "line": 26, "nearest": "path_mm", "accepted": "path_mm"},
        "line 26: unknown key `path` in crank; did you mean `path_mm`?; accepted here: path_mm",
    ),
    (
        read(("[fluid]", "[pickup]\nat = [0, 0, 10]\n\n[fluid]")),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "pickup", "key": "at", "line": 26, "nearest": "at_mm", "accepted": "at_mm, margin"},
        "line 26: unknown key `at` in pickup; did you mean `at_mm`?; accepted here: at_mm, margin",
    ),
    (
        read(("[fluid]", '[pump]\ndisplacment = "12 mL"\n\n[fluid]')),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "pump",
            "key": "displacment",
            "line": 26,
            "nearest": "displacement",
            "accepted": "displacement, idle_rpm",
        },
        "line 26: unknown key `displacment` in pump; did you mean `displacement`?; accepted here: displacement, idle_rpm",
    ),
    (
        key("[filter]", 'vavle = "leaking"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "filter",
            "key": "vavle",
            "line": 20,
            "nearest": "valve",
            "accepted": "net_volume, can, valve, orientation, drains, drain_time, spill",
        },
        "line 20: unknown key `vavle` in filter; did you mean `valve`?; accepted here: net_volume, can, valve, orientation, drains, drain_time, spill",
    ),
    (
        key("[filter]", 'valve = "leeking"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "filter.valve", "key": "leeking", "line": 20, "nearest": "leaking", "accepted": "sound, leaking"},
        "line 20: unknown key `leeking` in filter.valve; did you mean `leaking`?; accepted here: sound, leaking",
    ),
    (
        key("[filter]", 'orientation = "base_upp"'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "filter.orientation",
            "key": "base_upp",
            "line": 20,
            "nearest": "base_up",
            "accepted": "base_up, sideways, base_down",
        },
        "line 20: unknown key `base_upp` in filter.orientation; did you mean `base_up`?; accepted here: base_up, sideways, base_down",
    ),
    (
        key("[filter]", 'can = { diametre = "80 mm", length = "90 mm" }'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "filter.can", "key": "diametre", "line": 20, "nearest": "diameter", "accepted": "diameter, length"},
        "line 20: unknown key `diametre` in filter.can; did you mean `diameter`?; accepted here: diameter, length",
    ),
    (
        lambda: fm.Event.from_json('{"rest": {"duratoin": "5 min"}}'),
        fm.CircuitError,
        "circuit.unknown_key",
        {"path": "rest", "key": "duratoin", "line": 1, "nearest": "duration", "accepted": "duration"},
        "line 1: unknown key `duratoin` in rest; did you mean `duration`?; accepted here: duration",
    ),
    (
        lambda: fm.Event.from_json('{"puor": {}}'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "",
            "key": "puor",
            "line": 1,
            "nearest": "pour",
            "accepted": "open_plug, close_plug, remove_filter, fit_filter, drain, change_filter, pour, withdraw, run, rest, tilt, leak, use, ingress, stop, wipe, read, do, label, attitude",
        },
        "line 1: unknown key `puor`; did you mean `pour`?; accepted here: open_plug, close_plug, remove_filter, fit_filter, drain, change_filter, pour, withdraw, run, rest, tilt, leak, use, ingress, stop, wipe, read, do, label, attitude",
    ),
    (
        Text('format = 1\n\n[[events]]\nread = { smaer = "5 mm" }'),
        fm.CircuitError,
        "circuit.unknown_key",
        {
            "path": "events[0].read",
            "key": "smaer",
            "line": 4,
            "nearest": "smear",
            "accepted": "smear, seat_offset, tube_pressure, face, stick",
        },
        "line 4: unknown key `smaer` in events[0].read; did you mean `smear`?; accepted here: smear, seat_offset, tube_pressure, face, stick",
    ),
    (
        Text("wipe\n  pour 1 L wiht jug"),
        fm.ServiceError,
        "service.unknown_word",
        {
            "line": 2,
            "column": 12,
            "word": "wiht",
            "nearest": "with",
            "accepted": "with, oil at, called, standing, level, nose up, nose down, right down, right up",
        },
        "line 2, column 12: unknown word `wiht`; did you mean `with`?; accepted here: with, oil at, called, standing, level, nose up, nose down, right down, right up",
    ),
    (
        lambda: fm.Event.from_text("rest"),
        fm.ServiceError,
        "service.bad_text",
        {"line": 1, "column": 5, "word": "", "message": "a time such as 4.2 s is missing here"},
        "line 1, column 5: a time such as 4.2 s is missing here",
    ),
    (
        plan(done=[DRAIN, fm.ClosePlug()]),
        fm.ServiceError,
        "service.impossible",
        {"event": 1, "action": "ClosePlug", "reason": "no plug is open", "list": "done"},
        "done[1] ClosePlug: no plug is open",
    ),
    (
        plan(done=[DRAIN], then=[fm.Run(minutes=1), fm.ClosePlug()]),
        fm.ServiceError,
        "service.impossible",
        {"event": 1, "action": "ClosePlug", "reason": "no plug is open", "list": "then"},
        "then[1] ClosePlug: no plug is open",
    ),
    (
        lambda: fm.propagate(lambda a: a[:-1], {"a": fm.Uncertain.normal(1, 0.1)}, draws=128),
        fm.EstimateError,
        "estimate.wrong_length",
        {"result": "result", "found": 1, "wanted": 2},
        "the model gave result with 1 values for 2 rows of inputs; one for each row is needed",
    ),
    (
        lambda: fm.State("{}"),
        fm.CircuitError,
        "circuit.bad_value",
        {"path": "", "line": 1, "message": "missing field `places`"},
        "line 1: missing field `places`",
    ),
    (
        read(("format = 1", "format = 2")),
        fm.CircuitError,
        "circuit.unknown_format",
        {"found": 2, "expected": 1, "line": 1},
        "line 1: format = 2 is not known; this version reads format = 1",
    ),
    (
        read(("format = 1", "format = 2\nwarp = 3")),
        fm.CircuitError,
        "circuit.unknown_format",
        {"found": 2, "expected": 1, "line": 1},
        "line 1: format = 2 is not known; this version reads format = 1",
    ),
    (
        read(('"0.2 L"', '"0.2 kg"')),
        fm.CircuitError,
        "circuit.bad_value",
        {
            "path": "plugs.main.heel",
            "line": 17,
            "message": 'volume: "0.2 kg": kg is a mass, a volume is wanted: ' + VOLUMES,
        },
        'line 17: plugs.main.heel: volume: "0.2 kg": kg is a mass, a volume is wanted: ' + VOLUMES,
    ),
    (
        read(('"0.2 L"', '"0.2 qt"')),
        fm.CircuitError,
        "circuit.bad_value",
        {
            "path": "plugs.main.heel",
            "line": 17,
            "message": 'volume: "0.2 qt": "qt" is not one unit; say US qt (0.946352946 L) or imp qt (1.1365225 L)',
        },
        'line 17: plugs.main.heel: volume: "0.2 qt": "qt" is not one unit; say US qt (0.946352946 L) or imp qt (1.1365225 L)',
    ),
    (
        read(('"0.2 L"', "0.2")),
        fm.CircuitError,
        "circuit.bad_value",
        {
            "path": "plugs.main.heel",
            "line": 17,
            "message": 'volume: "0.2" has no unit; a volume is wanted, such as 0.2 L, 0.2 mL or 0.2 US qt',
        },
        'line 17: plugs.main.heel: volume: "0.2" has no unit; a volume is wanted, such as 0.2 L, 0.2 mL or 0.2 US qt',
    ),
    (
        read(('"0.2 L"', "nan")),
        fm.CircuitError,
        "circuit.bad_value",
        {"path": "plugs.main.heel", "line": 17, "message": "volume must be finite: it is NaN"},
        "line 17: plugs.main.heel: volume must be finite: it is NaN",
    ),
    (
        read(('"0.2 L"', '"0,2 L"')),
        fm.CircuitError,
        "circuit.bad_value",
        {
            "path": "plugs.main.heel",
            "line": 17,
            "message": 'volume: "0,2 L" has a comma in a number; write 0.2 L (decimal point, nothing between thousands)',
        },
        'line 17: plugs.main.heel: volume: "0,2 L" has a comma in a number; write 0.2 L (decimal point, nothing between thousands)',
    ),
    (
        read(('kv40 = "95 mm2/s"\n', "")),
        fm.CircuitError,
        "circuit.bad_value",
        {"path": "fluid", "line": 25, "message": "missing field `kv40`; without it give the oil's `grade`"},
        "line 25: fluid: missing field `kv40`; without it give the oil's `grade`",
    ),
    (
        read(('"300 mm"', '"300(2) mm"')),
        fm.CircuitError,
        "circuit.bad_value",
        {
            "path": "sump.box.length",
            "line": 5,
            "message": '"300(2) mm" is uncertain, but a drawing is exact; state how far the sump may differ from it as geometry.volume_scale and geometry.datum',
        },
        'line 5: sump.box.length: "300(2) mm" is uncertain, but a drawing is exact; state how far the sump may differ from it as geometry.volume_scale and geometry.datum',
    ),
    (
        read(('"300 mm"', '"30 m"')),
        fm.QuantityError,
        "quantity.out_of_range",
        {"what": "sump.box.length", "value": 30000.0, "low": 1.0, "high": 20000.0, "unit": "mm", "line": 5},
        "line 5: sump.box.length = 30000 mm is outside 1 to 20000 mm",
    ),
    (
        read(('"0.2 L"', '"-0.2 L"')),
        fm.QuantityError,
        "quantity.out_of_range",
        {"what": "plugs.main.heel", "value": -0.2, "low": 0.0, "high": 1000.0, "unit": "L", "line": 17},
        "line 17: plugs.main.heel = -0.2 L is outside 0 to 1000 L",
    ),
    (
        read(("scale = 1", "scale = 3")),
        fm.QuantityError,
        "quantity.out_of_range",
        {"what": "instruments.jug.scale", "value": 3.0, "low": 0.5, "high": 2.0, "unit": "", "line": 34},
        "line 34: instruments.jug.scale = 3 is outside 0.5 to 2",
    ),
    (
        read((SHAPE, "[sump.table]\nlevel_mm = [0, 50, 100]\nvolume_l = [0, 3]")),
        fm.CircuitError,
        "circuit.bad_value",
        {"path": "sump.table", "line": 4, "message": "level_mm has 3 entries and volume_l 2; they go in pairs"},
        "line 4: sump.table: level_mm has 3 entries and volume_l 2; they go in pairs",
    ),
    # files: what does not fit together
    (
        read(('max = "50 mm"', 'max = "20 mm"')),
        fm.CircuitError,
        "circuit.marks_in_wrong_order",
        {"stick": "dipstick", "min_mm": 30.0, "max_mm": 20.0, "line": 12},
        "line 12: dipstick: MAX at 20 mm must stand above MIN at 30 mm, both from the tip along the blade",
    ),
    (
        read(('max = "50 mm"', 'max = "120 mm"')),
        fm.CircuitError,
        "circuit.mark_off_blade",
        {"mark": "MAX", "mark_mm": 120.0, "blade_mm": 100.0, "line": 12},
        "line 12: dipstick: MAX at 120 mm is not on the blade, which is 100 mm long",
    ),
    (
        read((PATH, "path_mm = [[400, 0, 5], [400, 0, 105]]")),
        fm.CircuitError,
        "circuit.stick_misses_sump",
        {
            "mark": "MIN",
            "at_mm": [400.0, 0.0, 35.0],
            "low_mm": [-150.0, -100.0, 0.0],
            "high_mm": [150.0, 100.0, 100.0],
            "line": 11,
        },
        "line 11: dipstick: the stick misses the sump: MIN stands at (400, 0, 35) mm, outside the liquid space x -150..150, y -100..100, z 0..100 mm",
    ),
    (
        read((PATH, "path_mm = [[0, 0, 5]]")),
        fm.CircuitError,
        "circuit.bad_path",
        {"message": "1 point given; at least two are needed, tip first", "line": 10},
        "line 10: dipstick.path_mm: 1 point given; at least two are needed, tip first",
    ),
    (
        read((PATH, "path_mm = [[0, 0, 105], [0, 0, 5]]")),
        fm.CircuitError,
        "circuit.bad_path",
        {"message": "point 1 at z = 5 mm does not rise above point 0 at z = 105 mm; the tip comes first", "line": 10},
        "line 10: dipstick.path_mm: point 1 at z = 5 mm does not rise above point 0 at z = 105 mm; the tip comes first",
    ),
    (
        read((PATH, "path_mm = [[0, 0, 5], [0, nan, 105]]")),
        fm.QuantityError,
        "quantity.not_finite",
        {"what": "dipstick.path_mm[1]", "value": "NaN", "first_index": 1, "count": 1, "line": 10},
        "line 10: dipstick.path_mm[1] must be finite: element 1 is NaN",
    ),
    (
        read((PATH, "path_mm = [[0, 0, -5], [0, 0, 105]]")),
        fm.CircuitError,
        "circuit.stick_misses_sump",
        {
            "mark": "the tip",
            "at_mm": [0.0, 0.0, -5.0],
            "low_mm": [-150.0, -100.0, 0.0],
            "high_mm": [150.0, 100.0, 100.0],
            "line": 10,
        },
        "line 10: dipstick: the stick misses the sump: the tip stands at (0, 0, -5) mm, outside the liquid space x -150..150, y -100..100, z 0..100 mm",
    ),
    (
        read(("[100, 0, 0]", "[900, 0, 0]")),
        fm.GeometryError,
        "geometry.outside_liquid",
        {"what": "plug `main`", "point_mm": [900.0, 0.0, 0.0], "distance_mm": 750.0, "limit_mm": 50.0, "line": 15},
        "line 15: the plug `main` at (900.000, 0.000, 0.000) mm is 750.0 mm outside the liquid space, more than 50 mm: check its place",
    ),
    (
        read(("[100, 0, 0]", "[100, 0, 1e300]")),
        fm.QuantityError,
        "quantity.out_of_range",
        {"what": "plugs.main.at_mm.z", "value": 1e300, "low": -20000.0, "high": 20000.0, "unit": "mm", "line": 15},
        "line 15: plugs.main.at_mm.z = 1e300 mm is outside -20000 to 20000 mm",
    ),
    (
        read(("[fluid]", "[pickup]\nat_mm = [0, 0, -10]\n\n[fluid]")),
        fm.CircuitError,
        "circuit.outlet_misses_sump",
        {"what": "pickup", "at_mm": [0, 0, -10], "low_mm": [-150, -100, 0], "high_mm": [150, 100, 100], "line": 26},
        "line 26: pickup at (0, 0, -10) mm misses the sump, whose liquid space is x -150..150, y -100..100, z 0..100 mm",
    ),
    (
        read(("[fluid]", "[crank]\npath_mm = []\n\n[fluid]")),
        fm.CircuitError,
        "circuit.bad_value",
        {
            "path": "crank.path_mm",
            "line": 26,
            "message": "no point given; one or more are needed, such as [[-120, 0, 60], [120, 0, 60]]",
        },
        "line 26: crank.path_mm: no point given; one or more are needed, such as [[-120, 0, 60], [120, 0, 60]]",
    ),
    (
        read(("[fluid]", "[crank]\npath_mm = [[0, 0, 90], [nan, 0, 90]]\n\n[fluid]")),
        fm.QuantityError,
        "quantity.not_finite",
        {"what": "crank.path_mm[1]", "value": "NaN", "first_index": 0, "count": 1, "line": 26},
        "line 26: crank.path_mm[1] must be finite: element 0 is NaN",
    ),
    (
        read(('"0.2 L"', '"3.4 L"')),
        fm.CircuitError,
        "circuit.too_much",
        {
            "what": "plugs.main.heel",
            "value_l": 3.4,
            "container": "the sump's volume at MAX",
            "limit_l": 3.3,
            "line": 17,
        },
        "line 17: plugs.main.heel = 3.4 L is more than the sump's volume at MAX = 3.3 L",
    ),
    (
        # All comes back within the wait, so that the limit is what the sump holds at MAX.
        read(('running = "0.3 L"', 'running = "20 L"\npool_time = "0.1 s"')),
        fm.CircuitError,
        "circuit.too_much",
        {
            "what": "stores.head.running",
            "value_l": 20.0,
            "container": "what a circuit at MAX has for a run to take up",
            "limit_l": 3.3,
            "line": 23,
        },
        "line 23: stores.head.running = 20 L is more than what a circuit at MAX has for a run to take up = 3.3 L",
    ),
    (
        read(('"0.2 L"', '"20 L"')),
        fm.CircuitError,
        "circuit.too_much",
        {"what": "plugs.main.heel", "value_l": 20.0, "container": "the sump's capacity", "limit_l": 6.0, "line": 17},
        "line 17: plugs.main.heel = 20 L is more than the sump's capacity = 6 L",
    ),
    (
        read(('running = "0.3 L"', 'running = "0.3 L"\nfilm = "0.5 L"')),
        fm.CircuitError,
        "circuit.too_much",
        {"what": "stores.head.film", "value_l": 0.5, "container": "stores.head.running", "limit_l": 0.3, "line": 24},
        "line 24: stores.head.film = 0.5 L is more than stores.head.running = 0.3 L",
    ),
    (
        lambda: fm.SuctionTube(
            tip_mm=(0.0, 0.0, 300.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0
        ).left_l(fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)),
        fm.CircuitError,
        "circuit.outlet_misses_sump",
        {"what": "tip", "at_mm": [0, 0, 300], "low_mm": [-150, -100, 0], "high_mm": [150, 100, 100]},
        "tip at (0, 0, 300) mm misses the sump, whose liquid space is x -150..150, y -100..100, z 0..100 mm",
    ),
    (
        read(('"95 mm2/s"', '"9.5 mm2/s"')),
        fm.FluidError,
        "fluid.viscosity_not_falling",
        {"cold_c": 40.0, "cold_mm2_s": 9.5, "hot_c": 100.0, "hot_mm2_s": 14.3, "line": 25},
        "line 25: kinematic viscosity 14.3 mm2/s at 100 degC must be below 9.5 mm2/s at 40 degC (are the two values exchanged?)",
    ),
    (
        lambda: fm.Circuit.load("no such.toml"),
        fm.FileError,
        "circuit.file_unreadable",
        {"file": "no such.toml", "message": "No such file or directory"},
        "cannot read no such.toml: No such file or directory",
    ),
    (
        read((SHAPE, '[sump.stl]\nfile = "pan.stl"')),
        fm.FileError,
        "circuit.file_unreadable",
        {"file": "pan.stl", "message": "it is not among `files`"},
        "cannot read pan.stl: it is not among `files`",
    ),
    (
        lambda: fm.Circuit.demo("bus"),
        fm.CircuitError,
        "circuit.unknown_demo",
        {"name": "bus", "accepted": "shuttle-bus, deck-generator, harbour-launch, winch-gearbox"},
        "no demo circuit `bus`; there are: shuttle-bus, deck-generator, harbour-launch, winch-gearbox",
    ),
    (
        lambda: box().replace({"filter.net_volum": "0.3 L"}),
        fm.CircuitError,
        "circuit.unknown_path",
        {"path": "filter.net_volum", "circuit": "box", "nearest": "filter.net_volume"},
        "no input `filter.net_volum` in circuit `box`; did you mean `filter.net_volume`?",
    ),
    (
        lambda: box().replace({"filter.net_volume": "0.3 kg"}),
        fm.CircuitError,
        "circuit.bad_value",
        {
            "path": "filter.net_volume",
            "line": 0,
            "message": 'volume: "0.3 kg": kg is a mass, a volume is wanted: ' + VOLUMES,
        },
        'filter.net_volume: volume: "0.3 kg": kg is a mass, a volume is wanted: ' + VOLUMES,
    ),
    (
        lambda: box().replace({"instruments.jug.scale": NAN}),
        fm.QuantityError,
        "quantity.not_finite",
        {"what": "instruments.jug.scale", "value": "NaN", "first_index": None, "count": 1},
        "instruments.jug.scale must be finite: it is NaN",
    ),
    (
        lambda: box().replace({"dipstick.path_mm": [[0, 0, 5], [0, 0, NAN]]}),
        fm.QuantityError,
        "quantity.not_finite",
        {},
        "dipstick.path_mm must be finite: it is [[0, 0, 5], [0, 0, nan]]",
    ),
    (
        lambda: box((PATH, "path_mm = [[-140, 0, 5], [-140, 0, 60]]")).marks_at(fm.Attitude(nose_up_deg=8.0)),
        fm.CircuitError,
        "circuit.off_blade",
        {"what": "MAX", "volume_l": 3.3, "side": "above the top", "nose_up_deg": 8.0, "right_down_deg": 0.0},
        "MAX: 3.300 L stands above the top of the blade at 8 deg nose-up, 0 deg right-down; a longer dipstick.path_mm is wanted",
    ),
    (
        lambda: box().pressure_delay(),
        fm.CircuitError,
        "circuit.part_missing",
        {"part": "pump", "circuit": "box"},
        "circuit `box` has no [pump]; state it in the circuit",
    ),
    (
        sheet(service_with_filter_l=7.4, stores=["turbo"]),
        fm.CircuitError,
        "circuit.unknown_store_kind",
        {"name": "turbo", "accepted": "galleries, head, cooler, lines, crankcase"},
        "no kind of store `turbo`; there are: galleries, head, cooler, lines, crankcase",
    ),
    (
        lambda: fm.simulate(box(), []).residue(7),
        fm.ServiceError,
        "service.no_such_row",
        {"row": 7, "rows": 1},
        "no row 7; the timeline has rows 0 to 0",
    ),
    (
        sheet(service_with_filter_l=5.0, service_without_filter_l=5.4),
        fm.CircuitError,
        "circuit.book_contradicts",
        {"message": "service capacity without filter = 5.4 L exceeds the one with filter = 5 L"},
        "book: service capacity without filter = 5.4 L exceeds the one with filter = 5 L",
    ),
    (
        sheet(service_with_filter_l=5.4, service_without_filter_l=5.0, span_l=9.0),
        fm.CircuitError,
        "circuit.book_contradicts",
        {"message": "span = 9 L is not less than the 5.534066 L held at MAX"},
        "book: span = 9 L is not less than the 5.534066 L held at MAX",
    ),
    (
        read(
            ("[reference]", '[book]\nservice_with_filter = "5 L"\nservice_without_filter = "5.7 US qt"\n\n[reference]')
        ),
        fm.CircuitError,
        "circuit.book_contradicts",
        {"message": "service_without_filter = 5.7 US qt exceeds service_with_filter = 5 L", "line": 30},
        "line 30: book: service_without_filter = 5.7 US qt exceeds service_with_filter = 5 L",
    ),
    (
        read(("[reference]", '[book]\nservice_with_filter = "5 L"\ndry = "4.5 L"\n\n[reference]')),
        fm.CircuitError,
        "circuit.book_contradicts",
        {"message": "service_with_filter = 5 L exceeds dry = 4.5 L", "line": 30},
        "line 30: book: service_with_filter = 5 L exceeds dry = 4.5 L",
    ),
    # services
    (
        serve(fm.Drain(minutes=10), fm.OpenPlug(), fm.Drain(minutes=1)),
        fm.ServiceError,
        "service.impossible",
        {"event": 2, "action": "Drain", "reason": "this plug is open already; ClosePlug first"},
        "events[2] Drain: this plug is open already; ClosePlug first",
    ),
    (
        serve(fm.OpenPlug(), fm.Run(minutes=1)),
        fm.ServiceError,
        "service.impossible",
        {"event": 1, "action": "Run", "reason": "a plug is open; ClosePlug first"},
        "events[1] Run: a plug is open; ClosePlug first",
    ),
    (
        serve(fm.RemoveFilter(), fm.Run(minutes=1)),
        fm.ServiceError,
        "service.impossible",
        {"event": 1, "action": "Run", "reason": "the filter is off; FitFilter first"},
        "events[1] Run: the filter is off; FitFilter first",
    ),
    (
        serve(fm.RemoveFilter(), fm.ChangeFilter()),
        fm.ServiceError,
        "service.impossible",
        {"event": 1, "action": "ChangeFilter", "reason": "no filter is fitted; FitFilter first"},
        "events[1] ChangeFilter: no filter is fitted; FitFilter first",
    ),
    (
        serve(fm.FitFilter()),
        fm.ServiceError,
        "service.impossible",
        {"event": 0, "action": "FitFilter", "reason": "a filter is fitted already; RemoveFilter first"},
        "events[0] FitFilter: a filter is fitted already; RemoveFilter first",
    ),
    (
        serve(fm.ChangeFilter(), on=[NO_FILTER]),
        fm.ServiceError,
        "service.impossible",
        {"event": 0, "action": "ChangeFilter", "reason": "the circuit has no filter"},
        "events[0] ChangeFilter: the circuit has no filter",
    ),
    (
        serve(fm.ClosePlug()),
        fm.ServiceError,
        "service.impossible",
        {"event": 0, "action": "ClosePlug", "reason": "no plug is open"},
        "events[0] ClosePlug: no plug is open",
    ),
    (
        serve(fm.OpenPlug("main"), fm.ClosePlug("side"), on=[SIDE]),
        fm.ServiceError,
        "service.impossible",
        {"event": 1, "action": "ClosePlug", "reason": "that plug is not open"},
        "events[1] ClosePlug: that plug is not open",
    ),
    (
        serve(DRAIN, on=[NO_PLUG]),
        fm.ServiceError,
        "service.impossible",
        {"event": 0, "action": "Drain", "reason": "the circuit has no plug"},
        "events[0] Drain: the circuit has no plug",
    ),
    (
        serve(DRAIN, on=[SIDE]),
        fm.ServiceError,
        "service.which_plug",
        {"event": 0, "accepted": "main, side"},
        "events[0]: the circuit has several plugs, say which (`through NAME` in a line of text, `plug` else): main, side",
    ),
    (
        serve(fm.OpenPlug("drain"), on=[SIDE]),
        fm.ServiceError,
        "service.unknown_name",
        {"event": 0, "kind": "plug", "name": "drain", "accepted": "main, side"},
        "events[0]: no plug `drain`; the circuit has: main, side",
    ),
    (
        serve(fm.Pour(1.0, measured_with="can")),
        fm.ServiceError,
        "service.unknown_name",
        {"event": 0, "kind": "instrument", "name": "can", "accepted": "jug"},
        "events[0]: no instrument `can`; the circuit has: jug",
    ),
    (
        serve(fm.Pour(5.0)),
        fm.ServiceError,
        "service.pour_beyond_ullage",
        {"event": 0, "poured_l": 5.0, "ullage_l": 2.6999999999999997, "excess_l": 2.3},
        "events[0] Pour: 5.000 L is 2.300 L more than the ullage of 2.700 L",
    ),
    (
        serve(fm.OpenPlug(), fm.Pour(6.0)),
        fm.ServiceError,
        "service.pour_beyond_ullage",
        {"event": 1, "poured_l": 6.0, "ullage_l": 5.8, "excess_l": 0.2000000000000005},
        "events[1] Pour: 6.000 L is 0.200 L more than the ullage of 5.800 L",
    ),
    (
        serve(DRAIN, fm.Withdraw(0.5)),
        fm.ServiceError,
        "service.withdraw_beyond_held",
        {"event": 1, "asked_l": 0.5, "held_l": 0.2},
        "events[1] Withdraw: 0.500 L is more than the 0.200 L in the sump",
    ),
    (
        serve(DRAIN, fm.Withdraw(mass_kg=0.5)),
        fm.ServiceError,
        "service.withdraw_beyond_held",
        {"event": 1, "asked_l": 0.5781298965407586, "held_l": 0.2},
        "events[1] Withdraw: 0.578 L is more than the 0.200 L in the sump",
    ),
    (
        serve(
            DRAIN,
            fm.Withdraw(mass_kg=1.0),
            on=[('heel = "0.2 L"', 'heel = "0 L"'), ('running = "0.3 L"', 'running = "0 L"')],
        ),
        fm.ServiceError,
        "service.withdraw_beyond_held",
        {"event": 1, "asked_l": 1.1562597930815173, "held_l": 0.0},
        "events[1] Withdraw: 1.156 L is more than the 0.000 L in the sump",
    ),
    (
        serve(fm.ChangeFilter(primed_l=0.5)),
        fm.ServiceError,
        "service.primed_beyond_filter",
        {"event": 0, "primed_l": 0.5, "net_volume_l": 0.4},
        "events[0]: the filter is primed with 0.500 L, but filter.net_volume is 0.400 L",
    ),
    (
        serve(fm.Event.from_text("pour -1 L")),
        fm.ServiceError,
        "service.out_of_range",
        {"event": 0, "field": "volume", "value": -1.0, "low": 0.0, "high": 1000.0, "unit": "L"},
        "events[0].volume = -1 L is outside 0 to 1000 L",
    ),
    (
        serve(fm.Event.from_text("pour 1000000 L")),
        fm.ServiceError,
        "service.out_of_range",
        {"event": 0, "field": "volume", "value": 1000000.0, "low": 0.0, "high": 1000.0, "unit": "L"},
        "events[0].volume = 1000000 L is outside 0 to 1000 L",
    ),
    (
        serve(fm.Event.from_text("run 0 min")),
        fm.ServiceError,
        "service.out_of_range",
        {"event": 0, "field": "duration", "value": 0.0, "low": 0.001, "high": 100000000.0, "unit": "s"},
        "events[0].duration = 0 s is outside 0.001 to 100000000 s",
    ),
    (
        serve(fm.Event.from_text("drain 1 min at 400 degC")),
        fm.ServiceError,
        "service.out_of_range",
        {"event": 0, "field": "temperature", "value": 400.0, "low": -50.0, "high": 150.0, "unit": "degC"},
        "events[0].temperature = 400 degC is outside -50 to 150 degC",
    ),
    (
        lambda: fm.simulate(box(), TWICE).reading("a"),
        fm.ServiceError,
        "service.unknown_label",
        {"label": "a", "accepted": "a, a"},
        "2 readings are labelled `a`; to be asked for by its label, a reading needs one of its own",
    ),
    (
        lambda: fm.predict(box(), TWICE[:1], draws=10).reading("b"),
        fm.ServiceError,
        "service.unknown_label",
        {"label": "b", "accepted": "a"},
        "no reading is labelled `b`; labels of readings: a",
    ),
    (
        lambda: fm.simulate(box(), [fm.Read()]).reading("b"),
        fm.ServiceError,
        "service.unknown_label",
        {"label": "b", "accepted": ""},
        "no reading is labelled `b`; no reading has a label",
    ),
    (
        lambda: fm.Pour(NAN),
        fm.QuantityError,
        "quantity.not_finite",
        {"what": "volume_l", "value": "NaN", "first_index": None, "count": 1},
        "volume_l must be finite: it is NaN",
    ),
    (
        lambda: fm.Pour("1 kg"),
        fm.QuantityError,
        "quantity.wrong_dimension",
        {
            "what": "volume_l",
            "text": "1 kg",
            "unit": "kg",
            "found": "mass",
            "wanted": "volume",
            "accepted": [
                "L",
                "mL",
                "US qt",
                "US gal",
                "US pt",
                "US fl oz",
                "imp qt",
                "imp gal",
                "imp pt",
                "imp fl oz",
                "dL",
                "cL",
                "uL",
                "m3",
                "dm3",
                "cm3",
                "mm3",
                "in3",
            ],
        },
        'volume_l: "1 kg": kg is a mass, a volume is wanted: ' + VOLUMES + "; by weight it is mass_kg=",
    ),
    (
        lambda: fm.simulate(
            fm.Circuit.from_book(service_with_filter_l=5.4, service_without_filter_l=5.0),
            [fm.Tilt(fm.Attitude(nose_up_deg=2.0))],
        ),
        fm.GeometryError,
        "geometry.needs_plan_form",
        {"source_kind": "strapping table", "nose_up_deg": 2.0, "right_down_deg": 0.0},
        "a sump known by its strapping table only serves level ground: 2 deg nose-up, 0 deg right-down needs its plan form (a mesh) or the centroid of its free surface (centroid_mm)",
    ),
    (
        lambda: fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.0).basins(),
        fm.GeometryError,
        "geometry.no_plan_form",
        {"source_kind": "span"},
        "a sump known by its span has no plan form, which this question needs: give the shape of the liquid space (a box, sections, a floor or a mesh)",
    ),
    (
        lambda: fm.Sump.from_table(level_mm=[0, 90], volume_l=[0, 6], centroid_mm=(20, 0)).level_mm(
            volume_l=3.0, attitude=fm.Attitude(nose_up_deg=12.0)
        ),
        fm.GeometryError,
        "geometry.tilt_beyond_table",
        {"source_kind": "strapping table", "tilt_deg": 12.0, "most_deg": 10.0},
        "a sump known by its strapping table and the centroid of its free surface serves tilts up to 10 deg: this is 12 deg; beyond, give the shape of the liquid space",
    ),
    (
        lambda: fm.Sump.from_table(level_mm=[0, 40, 90], volume_l=[0, 2, 6], centroid_mm=[(20, 0), (30, 0)]),
        fm.GeometryError,
        "geometry.centroid_rows",
        {"given": 2, "rows": 3},
        "the centroid of the free surface is one point, or one for each of the 3 rows; 2 given",
    ),
    (
        lambda: fm.Sump.from_table(level_mm=[0, 90], volume_l=[0, 6], centroid_mm=[(20, 0), (920, 0)]).level_mm(
            volume_l=3.0, attitude=fm.Attitude(nose_up_deg=-8.0)
        ),
        fm.GeometryError,
        "geometry.centroid_shifts",
        {"row": 1, "shift_mm": 900.0, "rise_mm": 90.0, "nose_up_deg": -8.0, "right_down_deg": 0.0},
        "strapping table, row 1: at -8 deg nose-up, 0 deg right-down its tilted free surface is not above that of the row before, because the centroid moves 900 mm while the level rises 90 mm; leave the rows between out, or give the shape of the liquid space",
    ),
    # estimates
    (
        lambda: fm.predict(box(), [fm.Read()], draws=0),
        fm.EstimateError,
        "estimate.option_out_of_range",
        {"option": "draws", "value": 0.0, "low": 1.0, "high": 100000000.0},
        "draws = 0 is outside 1 to 100000000",
    ),
    (
        lambda: fm.predict(box(UNCERTAIN, NO_HEEL), [fm.Drain(minutes=10), fm.Read()], draws=10),
        fm.EstimateError,
        "estimate.uncertain_attitude",
        {
            "path": "reference.attitude",
            "reason": "what an open plug leaves there is told by the geometry at one attitude; state plugs.main.heel, or give the events that drain an exact attitude",
        },
        "reference.attitude is uncertain: what an open plug leaves there is told by the geometry at one attitude; state plugs.main.heel, or give the events that drain an exact attitude",
    ),
    (
        lambda: fm.wait_advice(box(), [fm.Run(minutes=1), fm.OpenPlug()]),
        fm.EstimateError,
        "estimate.plug_open",
        {"event": 1},
        "events[1] leaves a plug open; what drains back then leaves the sump. Close it before waiting for a reading",
    ),
    (
        lambda: fm.predict(box(), [fm.Read(label="a")], draws=10).reading("a").mm.interval(1.5),
        fm.QuantityError,
        "quantity.out_of_range",
        {"what": "probability", "value": 1.5, "low": 1e-09, "high": 0.999999999, "unit": ""},
        "probability = 1.5 is outside 0.000000001 to 0.999999999",
    ),
    (
        plan(risk_over_max=0.9),
        fm.EstimateError,
        "estimate.option_out_of_range",
        {"option": "risk_over_max", "value": 0.9, "low": 0.0001, "high": 0.5},
        "risk_over_max = 0.9 is outside 0.0001 to 0.5",
    ),
    (
        plan(jug_step_l=0.0),
        fm.EstimateError,
        "estimate.option_out_of_range",
        {"option": "jug_step_l", "value": 0.0, "low": 0.001, "high": 20.0},
        "jug_step_l = 0 is outside 0.001 to 20",
    ),
    (
        plan(draws=10**9),
        fm.EstimateError,
        "estimate.option_out_of_range",
        {"option": "draws", "value": 1000000000.0, "low": 1.0, "high": 100000000.0},
        "draws = 1000000000 is outside 1 to 100000000",
    ),
    (
        plan(done=[DRAIN], then=[fm.Run(minutes=1), fm.Pour(1.0)]),
        fm.EstimateError,
        "estimate.pour_in_plan",
        {"list": "then", "event": 1},
        "then[1] pours; plan_refill decides the pour itself, leave Pour out of `then`",
    ),
    (
        lambda: fm.plan_withdraw(box(), done=[fm.Pour(1.0)], then=[fm.Rest(minutes=5), fm.Run(minutes=1)]),
        fm.EstimateError,
        "estimate.run_in_plan",
        {"event": 1},
        "then[1] runs; an engine that may be overfull is not started to find out, leave Run out of `then`",
    ),
    (
        plan(done=[fm.OpenPlug(), fm.Rest(minutes=5)]),
        fm.EstimateError,
        "estimate.plug_open_in_plan",
        {},
        "a plug is open when oil is to be poured or the stick to be read; ClosePlug first",
    ),
    (
        plan(reading_step_mm=0.0),
        fm.EstimateError,
        "estimate.option_out_of_range",
        {"option": "reading_step_mm", "value": 0.0, "low": 0.1, "high": 10.0},
        "reading_step_mm = 0 is outside 0.1 to 10",
    ),
    (
        plan(other_unit="kg"),
        fm.QuantityError,
        "quantity.wrong_dimension",
        {
            "what": "other_unit",
            "text": "1 kg",
            "unit": "kg",
            "found": "mass",
            "wanted": "volume",
            "accepted": VOLUMES.split(", "),
        },
        f'other_unit: "1 kg": kg is a mass, a volume is wanted: {VOLUMES}',
    ),
    (
        lambda: fm.plan_refill(
            box(('name = "box"', 'name = "box"\njudgement = ["plugs"]'), ('heel = "0.2 L"', 'heel = "0.20(5) L"')),
            done=[DRAIN],
            then=[],
            risk_over_max=0.005,
            draws=2000,
        ),
        fm.EstimateError,
        "estimate.risk_rests_on_judgement",
        {"risk": 0.005, "share": 0.9994475856338806, "inputs": ["plugs.main.heel"]},
        "risk_over_max = 0.005 is below 0.01, and judgement carries 100 % of the variance of the final level, more than 50 %: so rare an event is no better known than the judgement. Accept 0.01 or more, or measure plugs.main.heel",
    ),
    (
        lambda: fm.plan_refill(box(), done=[DRAIN], then=[], risk_over_max=0.03, draws=333),
        fm.EstimateError,
        "estimate.too_few_draws",
        {"draws": 333, "risk": 0.03, "low": 334},
        "333 draws cannot show a risk of 0.03, which is 10 of 334 draws; accepted: 334 draws or more",
    ),
    # sumps
    (
        lambda: box().sump.volume_l(level_mm=np.array([1.0, NAN, np.inf])),
        fm.QuantityError,
        "quantity.not_finite",
        {"what": "level_mm", "value": "NaN", "first_index": 1, "count": 2},
        "level_mm must be finite: element 1 is NaN, the first of 2 such",
    ),
    (
        lambda: box().sump.volume_l(level_mm=120.0),
        fm.GeometryError,
        "geometry.level_outside",
        {"level_mm": 120.0, "low_mm": 0.0, "height_mm": 100.0, "nose_up_deg": 0.0, "right_down_deg": 0.0},
        "level = 120 mm is outside 0 mm to 100 mm, the height of this sump at the attitude 0 deg nose-up, 0 deg right-down",
    ),
    (
        lambda: box().sump.level_mm(volume_l=[1.0, 7.0]),
        fm.GeometryError,
        "geometry.volume_above_capacity",
        {"volume_l": 7.0, "capacity_l": 6.0, "excess_l": 1.0, "element": 1},
        "volume = 7 L is 1 L more than the sump holds (6 L) (element 1 of volume_l)",
    ),
    (
        mesh(faces=FACES[:-1]),
        fm.GeometryError,
        "geometry.open_mesh",
        {"from_mm": [300.0, 200.0, 0.0], "to_mm": [300.0, 0.0, 100.0], "count": 3},
        "the surface is open: the edge from (300.000, 200.000, 0.000) mm to (300.000, 0.000, 100.000) mm has a face on one side only, the first of 3 such edges; close the hole (export the liquid space as a solid) and make sure that faces share their corners",
    ),
    (
        mesh(faces=[face[::-1] for face in FACES]),
        fm.GeometryError,
        "geometry.inside_out",
        {"volume_l": -6.0},
        "the mesh is inside out: it encloses -6.000000 L; flip every face so that it looks outwards",
    ),
    (
        mesh(corners=[(NAN, 0, 0), *CORNERS[1:]]),
        fm.GeometryError,
        "geometry.vertex_not_finite",
        {"first_index": 0, "value": ["NaN", "0", "0"], "count": 1},
        "vertex 0 is (NaN, 0, 0), which must be finite",
    ),
    (
        mesh(corners=[tuple(1000 * c for c in corner) for corner in CORNERS]),
        fm.GeometryError,
        "geometry.absurd_size",
        {"size_mm": 300000.0, "low_mm": 1.0, "high_mm": 20000.0},
        "the largest dimension is 300000 mm, outside 1 to 20000 mm: check the unit of the drawing (an STL carries none: it may be in inches or metres)",
    ),
    (
        lambda: fm.Sump.from_stl_bytes(TRUNCATED),
        fm.GeometryError,
        "geometry.stl_length",
        {"faces": 12, "expected_bytes": 684, "actual_bytes": 159},
        "binary STL: the count at byte 80 says 12 faces, which takes 684 bytes, but there are 159; the file is truncated or not an STL",
    ),
]


@pytest.mark.parametrize(("call", "cls", "code", "fields", "message"), TABLE, ids=[row[-1][:50] for row in TABLE])
def test_refused(call, cls, code, fields, message):
    with pytest.raises(cls) as caught:
        call()
    error = caught.value
    assert type(error) is cls
    assert error.code == code
    assert error.fields.keys() == fields.keys()
    for name, value in fields.items():
        exact = not isinstance(value, float)
        assert error.fields[name] == (value if exact else pytest.approx(value, rel=1e-12)), name
    assert str(error) == message


@pytest.fixture(scope="module")
def made():
    """Every code that an example really raises; `src/tests/unreached.rs` makes the rest, which `messages.NONE` lists."""
    import messages  # it reads this table

    return set(messages.examples()), set(messages.NONE)


@pytest.mark.parametrize("domain", [domain for domain, _ in error_table.domains()])
def test_every_variant_is_produced(domain, made):
    raised, by_rust = made
    source = dict(error_table.domains())[domain]
    codes = {variant.code for variant in error_table.variants(domain, source)}
    assert len(codes) >= 4
    assert not raised & by_rust
    assert codes <= raised | by_rust


def test_a_named_file_is_looked_for_beside_the_circuit(tmp_path):
    (tmp_path / "pan.toml").write_text(edited((SHAPE, '[sump.stl]\nfile = "pan.stl"')), encoding="utf-8")
    with pytest.raises(fm.FileError, match=r"pan\.toml: cannot read pan\.stl: ") as caught:
        fm.Circuit.load(tmp_path / "pan.toml")
    assert isinstance(caught.value, OSError)
    assert caught.value.code == "circuit.file_unreadable"
    assert caught.value.fields["file"] == "pan.stl"


def test_a_file_that_is_no_text(tmp_path):
    (tmp_path / "pan.toml").write_bytes(b"name = \xff\xfe")
    with pytest.raises(fm.FileError, match=r"pan\.toml: stream did not contain valid UTF-8$"):
        fm.Circuit.load(tmp_path / "pan.toml")


def test_an_error_in_a_circuit_file_names_the_file_and_the_line(tmp_path):
    file = tmp_path / "typo.toml"
    file.write_text(fm.Circuit.demo("deck-generator").to_toml().replace("scatter =", "scater ="), encoding="utf-8")
    with pytest.raises(fm.CircuitError, match=r"typo\.toml: line \d+: unknown key `scater` in dipstick") as caught:
        fm.Circuit.load(file)
    assert caught.value.fields["in_file"] == str(file)
    assert caught.value.fields["nearest"] == "scatter"
