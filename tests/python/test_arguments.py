"""What an argument may be, on a function that takes one value or many."""

import threading
from decimal import Decimal
from fractions import Fraction

import fillmark as fm
import numpy as np
import pandas as pd
import pint
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from services import box

OIL = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
UNITS = pint.UnitRegistry()


def density(value):
    return OIL.density_kg_m3(temperature_c=value)


AT_60 = density(60.0)


@pytest.mark.parametrize("one", [60, 60.0, np.float64(60), np.float32(60), np.int16(60), np.array(60.0), Decimal(60)])
def test_one_value_gives_a_float(one):
    assert type(density(one)) is float
    assert density(one) == AT_60


def test_a_fraction_is_a_number():
    assert density(Fraction(121, 2)) == density(60.5)


@pytest.mark.parametrize(
    "many",
    [
        [60.0, 61.0],
        (60, 61),
        range(60, 62),
        np.array([60, 61], dtype=np.uint8),
        np.array([60, 61], dtype=np.float32),
        np.array([[60.0, 0.0], [61.0, 0.0]])[:, 0],
        np.array([61.0, 60.0])[::-1],
        pd.Series([60.0, 61.0]),
        pl.Series([60.0, 61.0]),
    ],
    ids=lambda v: type(v).__name__,
)
def test_many_values_give_an_array(many):
    out = density(many)
    assert isinstance(out, np.ndarray)
    assert out.dtype == np.float64
    assert out.tolist() == [AT_60, density(61.0)]


@given(hnp.arrays(np.float64, hnp.array_shapes(min_dims=1, max_dims=4, min_side=0), elements=st.floats(-50, 150)))
def test_shape_is_kept_and_elements_are_the_scalar_results(values):
    out = density(values)
    assert out.shape == values.shape
    assert all(o == density(float(v)) for o, v in zip(out.flat, values.flat, strict=True))


def test_long_arrays_are_the_same():
    values = np.linspace(-50, 150, 10_000)
    assert density(values).tolist() == [x for part in np.split(values, 100) for x in density(part).tolist()]


def test_an_object_with_pints_face():
    assert density(UNITS.Quantity(333.15, "kelvin")) == pytest.approx(AT_60, rel=1e-15)
    assert density(UNITS.Quantity(np.array([140.0, 141.8]), "degF")) == pytest.approx([AT_60, density(61.0)], rel=1e-14)
    oil = fm.Fluid.oil(
        density_15c_kg_m3=UNITS.Quantity(0.868, "g/cm**3"),
        kv40_mm2_s=UNITS.Quantity(95, "centistokes"),
        kv100_mm2_s=UNITS.Quantity(14.3e-6, "m**2/s"),
    )
    assert oil.kv40_mm2_s == pytest.approx(95.0, rel=1e-14)
    assert oil.density_15c_kg_m3 == pytest.approx(868.0, rel=1e-14)


# 1 degF = 5/9 K and 32 degF = 0 degC (NIST SP 811, Appendix B).
def test_text_with_a_unit():
    assert density("60 degC") == AT_60
    assert density("140 degF") == pytest.approx(AT_60, rel=1e-14)
    oil = fm.Fluid.oil(density_15c_kg_m3="0.868 g/cm3", kv40_mm2_s="95 cSt", kv100_mm2_s="14.3e-6 m2/s")
    assert oil.density_15c_kg_m3 == pytest.approx(868.0, rel=1e-15)
    assert (oil.kv40_mm2_s, oil.kv100_mm2_s) == (95.0, 14.3)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("60", "missing_unit"),
        ("60 mm", "wrong_dimension"),
        ("60 degX", "unknown_unit"),
        ("60,5 degC", "decimal_comma"),
        ("sixty degC", "not_a_number"),
        ("60(1) degC", "uncertain"),
        ("", "not_a_number"),
    ],
)
def test_text_that_cannot_be_read_is_refused_by_name(text, code):
    with pytest.raises(fm.QuantityError, match="temperature_c") as caught:
        density(text)
    assert caught.value.code == f"quantity.{code}"


def test_a_unit_of_another_kind_is_refused():
    with pytest.raises(fm.QuantityError, match=r"temperature_c = .*60.* cannot be converted to degC") as caught:
        density(UNITS.Quantity(60, "metre"))
    assert caught.value.code == "quantity.not_convertible"
    assert isinstance(caught.value.__cause__, pint.DimensionalityError)


@pytest.mark.parametrize(
    "wrong",
    [True, np.bool_(True), None, 1j, object(), [True, False], ["60"], [1j], {"a": 1}, b"60", [None]],
    ids=lambda wrong: "an object" if type(wrong) is object else repr(wrong),
)
def test_other_types_are_refused_by_name(wrong):
    with pytest.raises(TypeError, match=r"^temperature_c = .* is of type "):
        density(wrong)


def test_ragged_lists_are_refused_by_name():
    with pytest.raises(ValueError, match=r"temperature_c = .* is no array of numbers"):
        density([[1.0], [1.0, 2.0]])


def test_an_array_where_one_value_is_wanted():
    with pytest.raises(TypeError, match=r"kv40_mm2_s = array"):
        fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=np.array([95.0]), kv100_mm2_s=14.3)


def test_other_threads_run_meanwhile():
    # The whole computation is one call; the counter moves only if that call lets other threads run.
    values = np.full(2_000_000, 60.0)
    count, stop = 0, threading.Event()

    def work():
        nonlocal count
        while not stop.is_set():
            count += 1

    thread = threading.Thread(target=work)
    thread.start()
    before = count
    density(values)
    after = count
    stop.set()
    thread.join()
    assert after > before


# what the message of a slip says


def of_sheet(**more):
    return fm.Circuit.from_book(service_with_filter_l=7.4, **more)


@pytest.mark.parametrize(
    ("call", "cls", "words"),
    [
        (
            lambda: fm.Tilt(2),
            TypeError,
            "attitude = 2 is of type int; accepted are an Attitude, or words such as 'nose up",
        ),
        (
            lambda: of_sheet(stores="head"),
            TypeError,
            "stores = 'head' is no list of names; one is wanted, such as ['head']",
        ),
        (lambda: of_sheet(span_mm=0), fm.QuantityError, "span_mm = 0 mm is outside 1 to 1000 mm"),
        (lambda: fm.Pour("1 kg"), fm.QuantityError, "a volume is wanted"),
        (lambda: fm.Pour("1 kg"), fm.QuantityError, "; by weight it is mass_kg="),
        (
            lambda: fm.simulate(box(), [fm.Read(stick="other")]),
            fm.ServiceError,
            "no stick `other`; the circuit has none",
        ),
        (
            lambda: fm.simulate(box(), [fm.Stop("weep")]),
            fm.ServiceError,
            "no active rate is labelled `weep`; no rate with a label is active",
        ),
        (
            lambda: box()["plugs.mian"],
            KeyError,
            "no input `plugs.mian` in circuit `box`; did you mean `plugs.main`?",
        ),
    ],
)
def test_a_slip_is_told_what_is_accepted(call, cls, words):
    with pytest.raises(cls) as caught:
        call()
    assert words in str(caught.value)


def test_no_key_is_suggested_where_none_is_near():
    with pytest.raises(fm.CircuitError) as caught:
        fm.Circuit.demo("shuttle-bus").replace({"sticks.other.min": "5 mm"})
    assert caught.value.fields["nearest"] == ""


def test_a_row_below_0_counts_from_the_end():
    line = fm.simulate(box(), [fm.Drain(minutes=10), fm.Pour(3.0)])
    assert line.residue(-1) == line.residue(2)
    assert line.residue(-3) == line.residue(0)
    with pytest.raises(fm.ServiceError, match="no row -4; the timeline has rows 0 to 2") as caught:
        line.residue(-4)
    assert caught.value.code == "service.no_such_row"
