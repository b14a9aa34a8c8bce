"""Arguments that only Python can hand over wrongly: text that is none, odd paths, numbers beyond a float, masked arrays, words."""

# ruff: noqa: E501 (messages are kept whole)

import re

import fillmark as fm
import numpy as np
import pytest
from pans import ribbed
from services import BOX, box
from test_bad_input import CORNERS, FACES, SHAPE
from test_command_errors import stl

HALF = "\ud800"  # half of a UTF-16 pair: no character by itself
PAN = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
NO_TEXT = r"'\ud800' has half of a UTF-16 pair at character 0; accepted is text that UTF-8 can hold"
HUGE = 10**400
CENTRED = [(x - 150, y - 100, z) for x, y, z in CORNERS]
MASKED = np.ma.masked_array([10.0, 20.0, 30.0], mask=[False, True, True])
LEAVE = "leave masked elements out (`.compressed()`) or give them a value (`.filled(...)`)"


def beyond(name):
    return f"{name} must be finite: it is 1{59 * '0'}..., beyond 1.8e308"


# what is done; class, code, the whole message
TABLE = [
    (lambda: fm.Circuit.loads(HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Service.loads(HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Record.loads(HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Hypothesis.loads(HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Event.from_json(HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Event.from_text(HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Uncertain(HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Read(label=HALF), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Pour(HALF), fm.QuantityError, "quantity.no_text", f"volume_l: {NO_TEXT}"),
    (lambda: PAN.volume_l(level_mm=HALF), fm.QuantityError, "quantity.no_text", f"level_mm: {NO_TEXT}"),
    (lambda: box().replace({"fluid.kv40": HALF}), fm.QuantityError, "quantity.no_text", f"fluid.kv40: {NO_TEXT}"),
    (lambda: box().replace({HALF: "1"}), fm.QuantityError, "quantity.no_text", NO_TEXT),
    (lambda: fm.Circuit.load(HALF), fm.FileError, "circuit.file_unreadable", rf"cannot read '\ud800': {NO_TEXT}"),
    (lambda: fm.Sump.from_stl(HALF), fm.FileError, "circuit.file_unreadable", rf"cannot read '\ud800': {NO_TEXT}"),
    (lambda: fm.Pour(HUGE), fm.QuantityError, "quantity.not_finite", beyond("volume_l")),
    (lambda: PAN.volume_l(level_mm=HUGE), fm.QuantityError, "quantity.not_finite", beyond("level_mm")),
    (
        lambda: PAN.volume_l(level_mm=MASKED),
        fm.QuantityError,
        "quantity.masked",
        f"level_mm: element 1 is masked, the first of 2 such; {LEAVE}",
    ),
    (
        lambda: PAN.volume_l(level_mm=np.ma.masked),
        fm.QuantityError,
        "quantity.masked",
        f"level_mm: element 0 is masked; {LEAVE}",
    ),
    (
        lambda: fm.Sump.from_mesh(vertices_mm=np.ma.masked_less(np.zeros((4, 3)), 1.0), faces=[(0, 1, 2)] * 4),
        fm.QuantityError,
        "quantity.masked",
        f"vertices_mm: element 0 is masked, the first of 12 such; {LEAVE}",
    ),
    (
        lambda: fm.propagate(lambda a: np.ma.masked_less(a, 0.0), {"a": fm.Uncertain.normal(0, 1)}, draws=8),
        fm.QuantityError,
        "quantity.masked",
        None,
    ),
    (
        lambda: fm.predict(box(), [fm.Read()], seed=2**64),
        fm.EstimateError,
        "estimate.option_out_of_range",
        "seed = 18446744073709551616 is outside 0 to 18446744073709551615",
    ),
    (
        lambda: fm.predict(box(), [fm.Read()], seed=-1),
        fm.EstimateError,
        "estimate.option_out_of_range",
        "seed = -1 is outside 0 to 18446744073709551615",
    ),
    (
        lambda: fm.predict(box(), [fm.Read()], draws=-1),
        fm.EstimateError,
        "estimate.option_out_of_range",
        "draws = -1 is outside 1 to 100000000",
    ),
    (
        lambda: fm.Sump.from_stl("no such.stl", unit="furlong"),
        fm.QuantityError,
        "quantity.unknown_word",
        'unit = "furlong"; accepted are "mm", "cm", "m" and "in"',
    ),
    # The nominal value of an uncertain one counts, as in a service.
    *(
        (call, fm.QuantityError, "quantity.out_of_range", message)
        for call, message in [
            (lambda: fm.Pour(-1.0), "Pour.volume = -1 L is outside 0 to 1000 L"),
            (lambda: fm.Pour(mass_kg="-1(2) kg"), "Pour.mass = -1 kg is outside 0 to 1000 kg"),
            (lambda: fm.Withdraw(1e6), "Withdraw.volume = 1000000 L is outside 0 to 1000 L"),
            (lambda: fm.Run(minutes=0), "Run.duration = 0 s is outside 0.001 to 100000000 s"),
            (lambda: fm.Rest(minutes=-1), "Rest.duration = -60 s is outside 0 to 100000000 s"),
            (lambda: fm.Drain(hours=-1), "Drain.duration = -3600 s is outside 0 to 100000000 s"),
            (lambda: fm.OpenPlug(temperature_c=400), "OpenPlug.temperature = 400 degC is outside -50 to 150 degC"),
            (lambda: fm.ChangeFilter(primed_l=-1), "ChangeFilter.primed = -1 L is outside 0 to 1000 L"),
            (lambda: fm.Leak("-1 L/min"), "Leak.rate = -1 L/min is outside 0 to 1000 L/min"),
            (lambda: fm.Read(smear_mm=300), "Read.smear = 300 mm is outside -200 to 200 mm"),
        ]
    ),
    (
        lambda: fm.Leak(1.0, when="now"),
        fm.QuantityError,
        "quantity.unknown_word",
        'when = "now": "running" or "always" is wanted',
    ),
    (
        lambda: fm.Sump.from_table(level_mm=[0, 1], volume_l=[0]),
        fm.QuantityError,
        "quantity.wrong_length",
        "level_mm has 2 values, volume_l has 1",
    ),
    (
        lambda: fm.Sump.from_mesh(vertices_mm=[(0, 0)], faces=[(0, 1, 2)]),
        fm.QuantityError,
        "quantity.wrong_shape",
        "vertices_mm must be an array of shape (n, 3): its shape is [1, 2]",
    ),
    (
        lambda: fm.Sump.from_mesh(vertices_mm=np.zeros((4, 3)), faces=[(0, -1, 2)]),
        fm.QuantityError,
        "quantity.no_corner",
        "faces[0] holds -1, which is no corner number",
    ),
    (
        lambda: fm.Sump.box(length_mm=1e300, width_mm=1.0, height_mm=1.0),
        fm.QuantityError,
        "quantity.out_of_range",
        "length = 1e300 mm is outside 1 to 20000 mm",
    ),
]


@pytest.mark.parametrize(
    ("call", "cls", "code", "message"), TABLE, ids=[f"{row[2]}-{i}" for i, row in enumerate(TABLE)]
)
def test_refused(call, cls, code, message):
    with pytest.raises(fm.FillmarkError) as caught:
        call()
    assert (type(caught.value), caught.value.code) == (cls, code)
    assert message is None or str(caught.value) == message


def test_a_value_that_is_no_json():
    with pytest.raises(fm.QuantityError, match=r"^instruments\.jug\.scale = 1000.* is no value: ") as caught:
        box().replace({"instruments.jug.scale": HUGE})
    assert caught.value.code == "quantity.no_value"


@pytest.mark.parametrize("path", [3, None, b"pan.toml"])
def test_what_is_no_path_is_a_type_error(path):
    with pytest.raises(TypeError):
        fm.Circuit.load(path)


def test_a_folder_is_no_circuit(tmp_path):
    with pytest.raises(fm.FileError, match=re.escape(f"cannot read {tmp_path}: Is a directory")):
        fm.Circuit.load(tmp_path)


def test_an_uncertain_amount_may_reach_below_nothing():
    assert str(fm.Pour("0.01(2) L")) == "pour 0.01(2) L"


def test_an_array_of_which_nothing_is_masked_is_taken():
    levels = np.ma.masked_array([10.0, 20.0], mask=[False, False])
    assert PAN.volume_l(level_mm=levels) == pytest.approx([0.6, 1.2])


@pytest.mark.parametrize(
    ("levels", "holds"),
    [
        (["10 mm", "20 mm"], "is of type list and holds text (only a single value may be text with a unit)"),
        ([10.0, None], "is of type list and holds other things than numbers, or numbers too large"),
        (np.array([True]), "is of type ndarray and holds values of type bool"),
    ],
)
def test_an_array_of_something_else(levels, holds):
    with pytest.raises(TypeError) as caught:
        PAN.volume_l(level_mm=levels)
    assert str(caught.value) == f"level_mm = {levels!r} {holds}; accepted are finite numbers (mm)"


def test_a_repr_that_makes_nothing_when_pasted_stands_in_angle_brackets():
    data = stl([[c for corner in face for c in CENTRED[corner]] for face in FACES])
    drawn = fm.Sump.from_stl_bytes(data)
    assert repr(drawn) == f"<Sump.from_stl_bytes(data=<{len(data)} bytes>, unit='mm')>"
    assert repr(drawn.translated((1.0, 0.0, 0.0))).startswith("<Sump.from_stl_bytes(data=<")
    assert repr(drawn.translated((1.0, 0.0, 0.0))).endswith(")>")
    named = fm.Circuit.loads(BOX.replace(SHAPE, '[sump.stl]\nfile = "pan.stl"'), files={"pan.stl": data})
    assert repr(named).startswith("<Circuit.loads(")
    assert repr(named).endswith(", files=<...>)>")
    assert eval(repr(PAN), vars(fm)) == PAN
    assert repr(ribbed())[0] != "<"
