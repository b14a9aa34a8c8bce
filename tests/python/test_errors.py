"""Every error class: raised by the library, with code and fields, surviving a pickle, also a built-in."""

import pickle

import fillmark as fm
import numpy as np
import pytest


def oil(density=868.0, kv40=95.0, kv100=14.3):
    return fm.Fluid.oil(density_15c_kg_m3=density, kv40_mm2_s=kv40, kv100_mm2_s=kv100)


def box(length_mm=300.0):
    return fm.Sump.box(length_mm=length_mm, width_mm=200.0, height_mm=100.0)


def bus():
    return fm.Circuit.demo("shuttle-bus")


def serve(*events):
    return fm.simulate(bus(), events)


# class, what raises it, the code, fields among those it carries
RAISED = [
    (fm.QuantityError, lambda: oil(density=float("nan")), "quantity.not_finite", {"what": "density_15c_kg_m3"}),
    (fm.FluidError, lambda: oil(kv40=14.3, kv100=95.0), "fluid.viscosity_not_falling", {"hot_c": 100.0}),
    (fm.FluidError, lambda: fm.Fluid.oil(grade="10Q-40"), "fluid.unknown_grade", {}),
    (fm.FluidError, lambda: oil(density=700.0), "fluid.outside_relation", {"unit": "kg/m3", "low": 800.9}),
    (
        fm.FluidError,
        lambda: oil().density_kg_m3(temperature_c=[20.0, 30.0, 999.0]),
        "fluid.outside_relation",
        {"element": 2, "high": 150.0},
    ),
    (fm.GeometryError, lambda: fm.Attitude(right_down_deg=90), "geometry.tilt_too_large", {"value_deg": 90.0}),
    (fm.GeometryError, lambda: box().level_mm(volume_l=6.5), "geometry.volume_above_capacity", {}),
    (fm.GeometryError, lambda: fm.Sump.from_stl_bytes(b"solid"), "geometry.stl_syntax", {}),
    (fm.CircuitError, lambda: fm.Circuit.demo("bus"), "circuit.unknown_demo", {"name": "bus"}),
    (fm.ServiceError, lambda: serve(fm.ClosePlug()), "service.impossible", {"event": 0, "action": "ClosePlug"}),
    (fm.EstimateError, lambda: fm.predict(bus(), [], draws=0), "estimate.option_out_of_range", {"option": "draws"}),
    (fm.LearnError, lambda: fm.calibrate([0, 1], [10, 20]), "learn.too_few", {"found": 2, "needed": 3}),
    (fm.ExplainError, lambda: fm.Record([], [], complaint="reads_over"), "explain.nothing_seen", {}),
    (fm.FileError, lambda: fm.Sump.from_stl("no such.stl"), "circuit.file_unreadable", {"file": "no such.stl"}),
    (fm.QuantityError, lambda: box(length_mm=1e9), "quantity.out_of_range", {}),
    (
        fm.QuantityError,
        lambda: oil().density_kg_m3(temperature_c=np.array([[20.0, np.nan], [np.inf, 1.0]])),
        "quantity.not_finite",
        {"what": "temperature_c", "first_index": 1, "count": 2},
    ),
]
# Classes that no binding can raise yet. A class leaves this set with the first binding that raises it.
NOT_YET = {
    fm.InternalError,  # a defect: there must be no way to raise it on purpose
}
CLASSES = {c for c in (getattr(fm, name) for name in fm.__all__) if isinstance(c, type) and issubclass(c, Exception)}
BUILT_IN = {fm.FileError: OSError, fm.InternalError: RuntimeError, fm.FillmarkError: Exception}


def test_every_class_is_raised_or_listed():
    raised = {row[0] for row in RAISED}
    assert raised | NOT_YET | {fm.FillmarkError} == CLASSES
    assert not raised & NOT_YET


@pytest.mark.parametrize(("cls", "call", "code", "fields"), RAISED)
def test_raised_with_code_and_fields(cls, call, code, fields):
    with pytest.raises(cls) as caught:
        call()
    error = caught.value
    assert type(error) is cls
    assert error.code == code
    assert error.fields.items() >= fields.items()
    for key in ("what", "unit"):
        assert str(error.fields.get(key, "")) in str(error)


@pytest.mark.parametrize("cls", sorted(CLASSES, key=lambda c: c.__name__))
def test_bases_and_pickling(cls):
    assert issubclass(cls, fm.FillmarkError)
    assert issubclass(cls, BUILT_IN.get(cls, ValueError))
    error = cls("what is wrong", "domain.case", {"value": 1.5, "index": [1, 2]})
    for protocol in range(pickle.HIGHEST_PROTOCOL + 1):
        back = pickle.loads(pickle.dumps(error, protocol))
        assert type(back) is cls
        assert (str(back), back.code, back.fields) == ("what is wrong", error.code, error.fields)


@pytest.mark.parametrize(("cls", "call", "code", "fields"), RAISED)
def test_a_raised_error_pickles(cls, call, code, fields):
    with pytest.raises(cls) as caught:
        call()
    back = pickle.loads(pickle.dumps(caught.value))
    assert (str(back), back.code, back.fields) == (str(caught.value), code, caught.value.fields)


def test_an_element_error_names_the_element_and_the_argument():
    with pytest.raises(fm.FluidError, match=r"\(element 1 of temperature_c\)$"):
        oil().volume_correction(temperature_c=[0.0, 151.0])
