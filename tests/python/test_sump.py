"""Level and volume through the Python face, against formulas of the solid (the kernel has its own tests in Rust)."""

import math

import fillmark as fm
import numpy as np
import pytest

BOX = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)


def test_a_level_box_is_area_times_level():
    levels = np.linspace(0.0, 100.0, 11)
    assert BOX.volume_l(level_mm=levels) == pytest.approx(0.06 * levels, rel=1e-12)
    assert BOX.capacity_l == 6.0


@pytest.mark.parametrize("degrees", [0.01, 2.0, -7.0])
def test_a_pitched_box_at_mid_depth(degrees):
    # A plane that cuts all four upright edges: volume = area times the height, measured along z, of the plane above the
    # middle of the floor (the centroid of the section; elementary geometry).
    p = math.radians(degrees)
    tilted = fm.Attitude(nose_up_deg=degrees)
    along_up = 50.0 * math.cos(p) + 150.0 * abs(math.sin(p))  # of the middle at 50 mm, above the lower edge
    assert BOX.volume_l(level_mm=along_up, attitude=tilted) == pytest.approx(3.0, rel=1e-12)
    assert BOX.level_mm(volume_l=3.0, attitude=tilted) == pytest.approx(along_up, rel=1e-12)


def test_the_inverse_over_arrays_of_any_shape():
    pan = fm.Sump.box(length_mm="1 ft", width_mm=200.0, height_mm=100.0)
    here = fm.Attitude(nose_up_deg=3.0, right_down_deg=-1.0)
    volumes = np.linspace(0.0, pan.capacity_l, 24).reshape(2, 3, 4)
    levels = pan.level_mm(volume_l=volumes, attitude=here)
    assert levels.shape == volumes.shape
    assert pan.volume_l(level_mm=levels, attitude=here) == pytest.approx(volumes, abs=1e-9)


def test_up_has_the_stated_components():
    p, r = math.radians(12.0), math.radians(7.0)
    here = fm.Attitude(nose_up_deg=12.0, right_down_deg=7.0)
    assert here.up == pytest.approx((math.sin(p), math.cos(p) * math.sin(r), math.cos(p) * math.cos(r)), rel=1e-14)
    assert here.transverse_deg == pytest.approx(math.degrees(math.asin(math.cos(p) * math.sin(r))), rel=1e-14)


def test_attitude_is_keyword_only():
    with pytest.raises(TypeError):
        fm.Attitude(2.0)
    with pytest.raises(TypeError):
        BOX.volume_l(50.0, fm.Attitude())
