"""Every exported value class: repr pastes back, equality, pickling and copying by value, frozen."""

import copy
import pickle

import fillmark as fm
import pytest

OIL = {"density_15c_kg_m3": 868.0, "kv40_mm2_s": 95.0, "kv100_mm2_s": 14.3}

# One or more examples of each class in `fillmark.__all__`; a class without an example fails `test_every_class_is_here`.
EXAMPLES = {
    "Fluid": [
        fm.Fluid.oil(**OIL),
        fm.Fluid.oil(**OIL, edition="1980"),
        fm.Fluid.oil(grade="10W-40"),
        # Numbers whose conversion to SI and back is not exact in floating point.
        fm.Fluid.oil(density_15c_kg_m3=870.1, kv40_mm2_s=68.7, kv100_mm2_s=1 / 0.07),
    ],
}
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


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_class_says_where_it_is(name):
    assert getattr(fm, name).__module__ == "fillmark"
    assert getattr(fm, name).__qualname__ == name
