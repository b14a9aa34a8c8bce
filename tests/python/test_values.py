"""Every exported value class: repr pastes back, equality, pickling and copying by value, frozen."""

import copy
import importlib.resources
import pickle

import fillmark as fm
import pytest

DEMO = importlib.resources.files("fillmark") / "demo"
OIL = {"density_15c_kg_m3": 868.0, "kv40_mm2_s": 95.0, "kv100_mm2_s": 14.3}

# One or more examples of each class in `fillmark.__all__`; a class without an example fails `test_every_class_is_here`.
EXAMPLES = {
    "Attitude": [
        fm.Attitude(),
        fm.Attitude(nose_up_deg=2.0),
        fm.Attitude(nose_up_deg=-1 / 3, right_down_deg=0.1),
        fm.Attitude.from_up((0.1, -0.2, 3.0)),
    ],
    "Fluid": [
        fm.Fluid.oil(**OIL),
        fm.Fluid.oil(**OIL, edition="1980"),
        fm.Fluid.oil(grade="10W-40"),
        # Numbers whose conversion to SI and back is not exact in floating point.
        fm.Fluid.oil(density_15c_kg_m3=870.1, kv40_mm2_s=68.7, kv100_mm2_s=1 / 0.07),
    ],
    "Sump": [
        fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.1),
        fm.Sump.box(length_mm="1 ft", width_mm=1 / 3 * 1000, height_mm=100),
        fm.Sump.from_table(level_mm=[0.0, 40.1, 90.0], volume_l=[0.0, 2.2, 6.0]),
        fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.1),
        fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.1, capacity_l=9.9),
        fm.Sump.from_stl(DEMO / "stepped_bus.stl"),
    ],
}
# The repr of a sump from a file only counts the file's bytes.
NOT_PASTED = "<"
CASES = [pytest.param(value, id=f"{name}-{i}") for name, values in EXAMPLES.items() for i, value in enumerate(values)]


def test_every_class_is_here():
    classes = {
        name
        for name in fm.__all__
        if isinstance(getattr(fm, name), type) and not issubclass(getattr(fm, name), BaseException)
    }
    assert classes == set(EXAMPLES)


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
