"""Grades as data, classification, windows and conformity."""

import fillmark as fm
import numpy as np
import pytest
from scipy import stats

TABLE = fm.grades()


def row(standard, grade):
    at = np.flatnonzero((TABLE["standard"] == standard) & (TABLE["grade"] == grade))
    assert len(at) == 1
    return {name: column[at[0]] for name, column in TABLE.items()}


def test_the_table_is_complete():
    # ISO 3448 and ASTM D2422: "twenty viscosity grades". SAE J300_202405 and J306_201902 have 14 each.
    counts = {s: int((TABLE["standard"] == s).sum()) for s in ("SAE J300", "SAE J306", "ISO 3448")}
    assert counts == {"SAE J300": 14, "SAE J306": 14, "ISO 3448": 20}
    assert set(TABLE["edition"]) == {"J300_202405", "J306_201902", "ISO 3448:1992"}
    assert {len(column) for column in TABLE.values()} == {48}


# Public reproductions of SAE J300 (2024): cranking, its temperature, pumping temperature, lowest KV100.
@pytest.mark.parametrize(("grade", "cold", "cold_c", "pump_c", "low"), [
    ("0W", 6200, -35, -40, 3.8), ("5W", 6600, -30, -35, 3.8), ("10W", 7000, -25, -30, 4.1),
    ("15W", 7000, -20, -25, 5.6),
    ("20W", 9500, -15, -20, 5.6), ("25W", 13000, -10, -15, 9.3),
])  # fmt: skip
def test_j300_winter(grade, cold, cold_c, pump_c, low):
    it = row("SAE J300", grade)
    assert (it["cold_mpa_s"], it["cold_c"], it["pumping_c"], it["low_mm2_s"]) == (cold, cold_c, pump_c, low)
    assert it["pumping_mpa_s"] == 60000.0
    assert it["high_mm2_s"] == np.inf


# The same: lowest KV100, the limit it stays below, lowest HTHS. The 5.6 of grade 20 and the 2.9 of 40 are superseded.
@pytest.mark.parametrize(("grade", "low", "high", "hths"), [
    ("8", 4.0, 6.1, 1.7), ("12", 5.0, 7.1, 2.0), ("16", 6.1, 8.2, 2.3), ("20", 6.9, 9.3, 2.6), ("30", 9.3, 12.5, 2.9),
    ("40", 12.5, 16.3, 3.7), ("50", 16.3, 21.9, 3.7), ("60", 21.9, 26.1, 3.7),
])  # fmt: skip
def test_j300_summer(grade, low, high, hths):
    it = row("SAE J300", grade)
    assert (it["low_mm2_s"], it["high_mm2_s"], it["hths_mpa_s"]) == (low, high, hths)
    assert not it["high_may_be_reached"]
    assert it["temperature_c"] == 100.0


# A public chart headed "J306 effective February 2019".
@pytest.mark.parametrize(("grade", "low", "high"), [
    ("65", 3.8, 5.0), ("70", 5.0, 6.5), ("75", 6.5, 8.5), ("80", 8.5, 11.0), ("85", 11.0, 13.5), ("90", 13.5, 18.5),
    ("110", 18.5, 24.0), ("140", 24.0, 32.5), ("190", 32.5, 41.0), ("250", 41.0, np.inf), ("70W", 3.8, np.inf),
    ("75W", 3.8, np.inf), ("80W", 8.5, np.inf), ("85W", 11.0, np.inf),
])  # fmt: skip
def test_j306(grade, low, high):
    it = row("SAE J306", grade)
    assert (it["low_mm2_s"], it["high_mm2_s"]) == (low, high)
    cold = {"70W": -55.0, "75W": -40.0, "80W": -26.0, "85W": -12.0}.get(grade, np.nan)
    np.testing.assert_equal(it["cold_c"], cold)


# Two public tables of ISO 3448; 2200 and 3200 by its rule of midpoint +-10 %.
@pytest.mark.parametrize(("number", "low", "high"), [
    (2, 1.98, 2.42), (3, 2.88, 3.52), (5, 4.14, 5.06), (7, 6.12, 7.48), (10, 9.0, 11.0), (15, 13.5, 16.5),
    (22, 19.8, 24.2),
    (32, 28.8, 35.2), (46, 41.4, 50.6), (68, 61.2, 74.8), (100, 90, 110), (150, 135, 165), (220, 198, 242),
    (320, 288, 352),
    (460, 414, 506), (680, 612, 748), (1000, 900, 1100), (1500, 1350, 1650), (2200, 1980, 2420), (3200, 2880, 3520),
])  # fmt: skip
def test_iso_3448(number, low, high):
    it = row("ISO 3448", f"ISO VG {number}")
    assert (it["low_mm2_s"], it["high_mm2_s"]) == pytest.approx((low, high), rel=1e-12)
    assert it["high_may_be_reached"]
    assert it["temperature_c"] == 40.0


def test_upper_limits_of_sae_are_strict():
    # SAE J300: the upper limit must not be reached, so 12.5 is a 40.
    assert fm.classify_kv100(kv100_mm2_s=12.5) == ("40",)
    assert fm.classify_kv100(kv100_mm2_s=12.499999) == ("30",)
    assert fm.classify_kv100(kv100_mm2_s=26.1) == ()


def test_overlaps_are_shown():
    # SAE J300, grades 8 to 20 overlap: every viscosity against the table itself.
    summer = [
        n for n in range(len(TABLE["grade"])) if TABLE["standard"][n] == "SAE J300" and TABLE["hths_mpa_s"][n] > 0
    ]
    for nu in np.arange(3.9, 27.0, 0.05).round(2):
        want = tuple(str(TABLE["grade"][n]) for n in summer if TABLE["low_mm2_s"][n] <= nu < TABLE["high_mm2_s"][n])
        assert fm.classify_kv100(kv100_mm2_s=float(nu)) == want
    assert fm.classify_kv100(kv100_mm2_s=7.0) == ("12", "16", "20")


def test_classes_of_gear_and_industrial_oil():
    # NOAA oil database, commit ca22bdb: AD02232 and AD02545, sold as 20W-40 and 15W-40, measured 14 and 15 mm2/s.
    assert fm.classify_kv100(kv100_mm2_s=14.0) == fm.classify_kv100(kv100_mm2_s="15 cSt") == ("40",)
    assert fm.classify_kv100(kv100_mm2_s=15.0, standard="SAE J306") == ("90",)
    assert fm.classify_iso_vg(kv40_mm2_s=46.0) == ("ISO VG 46",)
    assert fm.classify_iso_vg(kv40_mm2_s=27.0) == ()  # between classes


def test_a_grade_carries_what_it_leaves_open():
    it = fm.Fluid.oil(grade="10W-40")
    assert list(it.windows) == ["density_15c", "kv100", "viscosity_index"]
    assert str(it.windows["kv100"]) == "12.5 .. 16.3 mm2/s"  # SAE J300
    # Rectangular: width over the square root of 12 (JCGM 100, 4.3.7).
    assert it.windows["kv100"].standard_uncertainty == pytest.approx(3.8 / 12**0.5)
    assert it.judged == ("density_15c", "viscosity_index")
    assert it.kv100_mm2_s == pytest.approx(it.windows["kv100"].nominal)
    assert list(fm.Fluid.oil(grade="ISO VG 46").windows)[1] == "kv40"
    assert fm.Fluid.oil(grade="10W").judged == ("density_15c", "kv100", "viscosity_index")  # J300 sets no upper limit
    assert fm.Fluid.water().windows == {}
    thin, thick = (fm.Fluid.of_grade("10W-40", viscosity=share) for share in (0.0, 1.0))
    assert (thin.kv100_mm2_s, thick.kv100_mm2_s) == pytest.approx((12.5, 16.3))
    heavy = fm.Fluid.of_grade("10W-40", density=1.0)
    assert heavy.density_15c_kg_m3 > fm.Fluid.of_grade("10W-40", density=0.0).density_15c_kg_m3


@pytest.mark.parametrize(("grade", "density", "kv100", "index"), [
    # Measured oils must lie in the windows of their labels: NOAA oil database, commit ca22bdb, AD02545 and AD02232.
    ("15W-40", 879.0, 15.0, 139.1), ("20W-40", 881.0, 14.0, 112.2),
])  # fmt: skip
def test_measured_oils_lie_in_their_windows(grade, density, kv100, index):
    low = fm.Fluid.of_grade(grade, density=0.0, viscosity=0.0, index=0.0)
    high = fm.Fluid.of_grade(grade, density=1.0, viscosity=1.0, index=1.0)
    assert low.density_15c_kg_m3 <= density <= high.density_15c_kg_m3
    assert low.kv100_mm2_s <= kv100 <= high.kv100_mm2_s
    assert low.viscosity_index <= index <= high.viscosity_index


def test_conformity_of_the_guide():
    # JCGM 106:2012, clause 7 (printed 0.66, from memory), and by SciPy's normal distribution.
    p = fm.conformity_probability("40", measured_mm2_s=13.6, standard_uncertainty_mm2_s=1.8)
    assert p == pytest.approx(0.6626, abs=5e-5)
    for grade, low, high in [
        ("40", 12.5, 16.3),
        ("25W-30", 9.3, 12.5),
        ("ISO VG 46", 41.4, 50.6),
        ("250", 41.0, np.inf),
    ]:
        for y in (9.0, 13.6, 41.0, 47.0):
            want = stats.norm.cdf(high, y, 1.8) - stats.norm.cdf(low, y, 1.8)
            got = fm.conformity_probability(grade, measured_mm2_s=y, standard_uncertainty_mm2_s=1.8)
            assert got == pytest.approx(want, abs=1e-12)
