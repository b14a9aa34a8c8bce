"""A stick from step pours: bands that hold, the jug's shared error, the circuit that it goes into, what is refused."""

# ruff: noqa: E501 (rows of a table are kept whole)

from pathlib import Path

import fillmark as fm
import numpy as np
import pytest
from services import box

REPORTS = Path(__file__).resolve().parents[2] / "docs" / "validation"
POURS = [0.0, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3]
KINDS = ["straight sides", "sides that lean evenly", "a step", "wavy"]


def stick(rng, kind):
    """True reading [mm] over true volume poured [L] of an invented sump of about 45 mL/mm, with sides of this kind."""
    whole = 2.1
    if kind == "straight sides":
        return lambda v: 20 + 22.0 * v
    if kind == "sides that lean evenly":  # the slope changes by up to 45 % either way
        lean = rng.uniform(-0.45, 0.45)
        return lambda v: 20 + 22.0 * (v + lean * (v * v / whole - v))
    if kind == "a step":  # the area changes by up to 49 % somewhere
        at, ratio = whole * rng.uniform(0.2, 0.8), np.exp(rng.uniform(-0.4, 0.4))
        first = 46.2 / (at + (whole - at) * ratio)
        return lambda v: 20 + first * np.where(v < at, v, at + ratio * (v - at))
    size, per_litre, phase = rng.uniform(0, 3), rng.uniform(1.5, 4), rng.uniform(0, 2 * np.pi)
    return lambda v: 20 + 22.0 * v + size * (np.sin(per_litre * v + phase) - np.sin(phase))


def inverse(stick, mm):
    """The volume at a reading, from a fine table."""
    volume = np.linspace(-1.0, 4, 50_001)
    return np.interp(mm, np.maximum.accumulate(stick(volume)), volume)


def holds(band, truth):
    return band.low <= truth <= band.high


def coverage(kind, runs, seed, *, known, pour_scatter_l=0.0):
    """Shares of simulated calibrations whose 95 % bands hold the truth: span, zero, mL/mm and volume on the blade."""
    rng = np.random.default_rng([seed, KINDS.index(kind)])
    found = []
    for run in range(runs):
        true_stick = stick(rng, kind)
        scale = 1 + 0.02 * rng.standard_normal()
        sigma = 1.0 if known else np.exp(0.4 * rng.standard_normal())
        single = pour_scatter_l * rng.standard_normal(len(POURS)) * (np.array(POURS) > 0)
        true = np.cumsum(scale * np.array(POURS) + single)
        fit = fm.calibrate(
            POURS,
            true_stick(true) + sigma * rng.standard_normal(len(true)),
            min_mm=27,
            max_mm=60,
            jug_scale="1.00(2)",
            pour_scatter_l=pour_scatter_l,
            scatter_mm="1 mm" if known else None,
            draws=1000,
            seed=run,
        )
        rows = fit.columns()
        inner = slice(2, 39, 4)
        mm = rows["mm"][inner]
        volume = inverse(true_stick, mm)
        slope = 1e3 * (inverse(true_stick, mm + 0.05) - inverse(true_stick, mm - 0.05)) / 0.1
        span = inverse(true_stick, 60.0) - inverse(true_stick, 27.0)
        found.append(
            [
                holds(fit.span_l, span),
                holds(fit.zero_mm, float(true_stick(np.array(0.0)))),
                np.mean((rows["low_ml_per_mm"][inner] <= slope) & (slope <= rows["high_ml_per_mm"][inner])),
                np.mean((rows["low_volume_l"][inner] <= volume) & (volume <= rows["high_volume_l"][inner])),
            ]
        )
    return np.mean(found, axis=0)


def test_bands_hold_in_the_short_run():
    found = np.mean([coverage(kind, 15, 3, known=True) for kind in KINDS], axis=0)
    # 60 runs at 95 %: four standard errors of a share are 0.11.
    assert found.min() > 0.84


RUNS = 1000
CASES = {
    "scatter known": {"known": True},
    "scatter uncertain": {"known": False},
    "each pour 10 mL besides": {"known": True, "pour_scatter_l": 0.01},
}


@pytest.mark.slow
def test_bands_hold():
    found = {
        case: {kind: (RUNS, coverage(kind, RUNS, 11, **options)) for kind in KINDS} for case, options in CASES.items()
    }
    report(found)
    check(found)


def alike(of):
    """Number of runs, and shares over the four kinds alike."""
    return sum(runs for runs, _ in of.values()), np.mean([shares for _, shares in of.values()], axis=0)


def report(found):
    lines = [
        COVERAGE,
        "| case | sides | runs | span | zero | mL per mm | volume |",
        "|---|---|---:|---:|---:|---:|---:|",
    ]
    for case, of in found.items():
        for kind, (runs, shares) in (of | {"**all four alike**": alike(of)}).items():
            lines.append(f"| {case} | {kind} | {runs:,} | " + " | ".join(f"{share:.3f}" for share in shares) + " |")
    REPORTS.mkdir(parents=True, exist_ok=True)
    (REPORTS / "learn_calibrate.md").write_text("\n".join([*lines, ""]), encoding="utf-8")


def check(found):
    """93 to 97 % as asked over the four kinds alike, and two standard errors of a share for the number of runs."""
    for case, of in found.items():
        runs, shares = alike(of)
        error = 2 * np.sqrt(0.05 * 0.95 / runs)
        assert 0.93 - error <= shares.min(), (case, shares)
        assert shares.max() <= 0.97 + error, (case, shares)


COVERAGE = """\
# Sticks from step pours: do 95 % bands hold?

Written by `pytest -m slow tests/python/test_learn_calibrate.py` (part of `make validate`). Shares of simulated calibrations
whose 95 % band holds the truth: up to 1,000 a row, eight readings 0.3 L apart, about 45 mL per mm, readings 1 mm (or, uncertain,
lognormal about it), a jug of 2 %, marks 33 mm apart. Sides straight; leaning evenly, the slope changing by up to 45 %; a
step of the area by up to 49 % somewhere; wavy, by up to 3 mm. *mL per mm* and *volume*: mean over ten places on the blade.

Asked are 93 to 97 % over the four kinds alike: which kind a sump is nobody tells the calibration. Of one kind alone
a band holds more often where the truth is simpler than what is allowed for (the slope on straight sides), and less often
where it is less so.
"""
READINGS = """\
# Readings of a circuit that learnt its stick

Written by `pytest -m slow tests/python/test_learn_calibrate.py` (part of `make validate`). A box sump whose scale (0.5 %) and datum (0.5 mm) are drawn from what its circuit states is read over step pours (0.5 mm), learnt,
put into the circuit, and a service is predicted with it. Error of the predicted reading over its standard uncertainty, root
mean square, and the share of 95 % intervals that hold the truth; *independent*: the same with `geometry.correlation` at 0.
"""

BOX = box(
    ("[plugs.main]", '[geometry]\nvolume_scale = "1.000(5)"\ndatum = "0.0(5) mm"\n\n[plugs.main]'),
)


def learnt_readings(runs, seed):
    """Of repeated calibrations: errors of predicted readings [mm] over their u, with and without the correlation; coverage."""
    rng = np.random.default_rng(seed)
    events = [[fm.Drain(minutes=60), fm.ChangeFilter(), fm.Pour(p), fm.Read(label="dip")] for p in (2.0, 2.5, 3.0)]
    rows = []
    for run in range(runs):
        k, datum = 1 + 0.005 * rng.standard_normal(), 0.5 * rng.standard_normal()
        # 60 mL per mm of upright blade, its tip 5 mm above the floor.
        volume = 2.2 + np.array([0.0, 0.3, 0.6, 0.9, 1.2])
        read = volume / (0.06 * k) - 5 + datum + 0.5 * rng.standard_normal(5)
        fit = fm.calibrate(np.diff(volume, prepend=2.2), read, start_l=2.2, scatter_mm=0.5, draws=1000, seed=run)
        learnt = fit.apply(BOX).replace({"dipstick.scatter": "0.0001 mm"})
        true = BOX.replace({"geometry.volume_scale": repr(k), "geometry.datum": f"{datum!r} mm"})
        loose = learnt.replace({"geometry.correlation": 0.0})
        for told in events:
            truth = fm.simulate(true, told).reading("dip").mm
            dip, apart = (fm.predict(c, told, draws=1000, seed=run).reading("dip").mm for c in (learnt, loose))
            low, high = dip.interval(0.95)
            error = dip.mean - truth
            rows.append([error / dip.standard_uncertainty, error / apart.standard_uncertainty, low <= truth <= high])
    return np.array(rows, float).reshape(runs, 3, 3)


@pytest.mark.slow
def test_learnt_readings_hold():
    found = learnt_readings(600, 5)
    rms, inside = np.sqrt((found[..., :2] ** 2).mean(axis=0)), found[..., 2].mean(axis=0)
    lines = [
        READINGS,
        "| poured | error over u | the same, independent | 95 % intervals that hold |",
        "|---|---:|---:|---:|",
    ]
    for poured, of, share in zip((2.0, 2.5, 3.0), rms, inside, strict=True):
        lines.append(f"| {poured} L | {of[0]:.2f} | {of[1]:.2f} | {share:.3f} |")
    REPORTS.mkdir(parents=True, exist_ok=True)
    (REPORTS / "learn_readings.md").write_text("\n".join([*lines, ""]), encoding="utf-8")
    # Standard error of a root mean square of 600: 0.03. Of a share: 0.009; two of it for the number of runs.
    assert (abs(rms[:, 0] - 1) < 0.12).all(), rms
    assert (abs(inside - 0.95) < 0.02 + 0.018).all(), inside


def test_a_learnt_circuit_predicts_readings_with_the_joint_covariance():
    """Against the errors of repeated calibrations of sumps drawn from what the circuit states (Monte Carlo)."""
    found = learnt_readings(40, 4)
    rms = np.sqrt((found[..., :2] ** 2).mean(axis=0))
    # Four standard errors of a root mean square of 40: 4/sqrt(80).
    assert (abs(rms[:, 0] - 1) < 0.45).all(), rms
    # Scale and datum hang together: taken apart, they would have readings half as uncertain again as they are.
    assert (rms[:, 1] < 0.8 * rms[:, 0]).all(), rms


def test_straight_pours_agree_with_least_squares():
    rng = np.random.default_rng(4)
    volume = np.cumsum(POURS)
    read = 20 + 22 * volume + 0.2 * rng.standard_normal(8)
    slope = np.polyfit(volume, read, 1)[0]
    fit = fm.calibrate(POURS, read, scatter_mm=0.2)
    assert fit.ml_per_mm.median == pytest.approx(1e3 / slope, rel=0.01)


def test_a_sump_that_widens_much_towards_the_top_is_no_refusal():
    # True slope of 12 mm/L at the end and 32 in the middle (wavy sides of the study below); most curves of the prior that
    # pass here fall beyond the last pour, and one in thirty rises.
    read = [18.60, 22.77, 28.87, 35.58, 44.55, 54.79, 61.57, 61.03]
    fit = fm.calibrate(POURS, read, scatter_mm=1.0, draws=1000)
    rows = fit.columns()
    assert (rows["low_ml_per_mm"] > 0).all()
    assert rows["ml_per_mm"][-1] > 1.5 * fit.ml_per_mm.median


def test_the_error_of_the_jug_is_shared():
    read = 20 + 22 * np.cumsum(POURS)
    plain = fm.calibrate(POURS, read, scatter_mm=0.1).ml_per_mm
    jug = fm.calibrate(POURS, read, scatter_mm=0.1, jug_scale="1.00(2)").ml_per_mm
    many = fm.calibrate([0.0] + [0.1] * 21, 20 + 2.2 * np.arange(22), scatter_mm=0.1, jug_scale="1.00(2)").ml_per_mm
    assert plain.standard_uncertainty / plain.mean < 0.004
    # More pours with the same jug do not make its 2 % smaller.
    for fit in (jug, many):
        assert fit.standard_uncertainty / fit.mean == pytest.approx(0.02, rel=0.1)


def test_what_the_columns_say():
    fit = fm.calibrate(POURS, 20 + 22 * np.cumsum(POURS), start_l=1.5)
    rows = fit.columns()
    assert set(rows) == {f"{side}{name}" for side in ("", "low_", "high_") for name in ("ml_per_mm", "volume_l")} | {
        "mm"
    }
    assert (np.diff(rows["volume_l"]) > 0).all()
    assert rows["volume_l"][0] == pytest.approx(1.5, abs=0.05)
    assert fit.span_l is None
    assert fit.volume_between_l(25, 50).median == pytest.approx(25 / 22, rel=0.03)
    assert "mL/mm" in str(fit)
    assert "<table" in fit._repr_html_()


def test_the_next_pour_never_stands_above_max():
    fit = fm.calibrate([0, 0.3, 0.3, 0.3], [27.0, 33.5, 40.0, 47.0], min_mm=27, max_mm=50, scatter_mm=0.5)
    rows = fit.next_pours()
    assert (rows["reading_mm"] < 50).all()
    assert (np.diff(rows["left"]) >= 0).all()
    assert 0.3 < rows["left"][0] < 1
    # A reading near MAX tells more of the span than one taken again at the last level.
    assert rows["added_l"][0] > 0


def test_reading_again_is_always_offered():
    # It stands at MAX: nothing may be poured, but it may be read again.
    full = fm.calibrate([0, 0.3, 0.3, 0.3], [27.0, 33.5, 40.0, 47.0], min_mm=27, max_mm=47, scatter_mm=0.5)
    assert full.next_pours()["added_l"].tolist() == [0.0]


def test_with_a_poor_jug_reading_again_teaches_more_than_a_small_pour():
    added, read = [0, 0.4, 0.4, 0.4], [20.0, 28.6, 37.2, 46.3]

    def teaches_less_than_reading_again(pour_scatter_l):
        """Pours [L] that would leave more uncertain than reading the level again."""
        rows = fm.calibrate(added, read, scatter_mm=1.0, pour_scatter_l=pour_scatter_l).next_pours()
        again = rows["left"][rows["added_l"].tolist().index(0)]
        return rows["added_l"][rows["left"] > again].tolist()

    assert teaches_less_than_reading_again(0.0) == []
    worse = teaches_less_than_reading_again(0.05)
    assert worse
    assert max(worse) < 0.1


@pytest.mark.slow
def test_the_next_reading_leaves_what_was_promised():
    """Against what one more reading does to the standard uncertainty, on average over readings that may come."""
    added, read = [0, 0.4, 0.4, 0.4], [20.0, 28.6, 37.2, 46.3]
    fit = fm.calibrate(added, read, scatter_mm=1.0, draws=20_000)
    rows = fit.next_pours()
    amount = rows["added_l"][0]
    rng = np.random.default_rng(8)
    low, high = fit.columns()["mm"][[0, -1]]
    before = fit.volume_between_l(low, high).standard_uncertainty
    sd = (rows["high_reading_mm"][0] - rows["low_reading_mm"][0]) / 3.92
    after = []
    for z in rng.standard_normal(40):
        new = rows["reading_mm"][0] + z * np.hypot(sd, 1.0)
        more = fm.calibrate([*added, amount], [*read, new], scatter_mm=1.0, draws=2000)
        after.append(more.volume_between_l(low, high).standard_uncertainty ** 2)
    assert np.sqrt(np.mean(after)) / before == pytest.approx(rows["left"][0], rel=0.1)


def shifted_bus_readings(volume_scale, datum_mm):
    """Readings of the demo bus whose sump differs from its drawing, between its marks, without scatter."""
    bus = fm.Circuit.demo("shuttle-bus")
    true = bus.replace({"geometry.volume_scale": str(volume_scale), "geometry.datum": f"{datum_mm} mm"})
    scale = true.litre_scale(step_l=0.25)
    rows = scale.columns()
    keep = (rows["mm"] > bus.min_mm - 15) & (rows["mm"] < bus.max_mm + 5)
    return bus, rows["mm"][keep], rows["volume_l"][keep]


def test_what_was_learnt_goes_into_the_circuit():
    bus, mm, volume = shifted_bus_readings(1.006, 0.8)
    fit = fm.calibrate(np.diff(volume, prepend=volume[0]), mm, start_l=float(volume[0]), scatter_mm=0.2)
    found = fit.against(bus)
    # A short piece of blade hardly tells the two apart: what makes it read higher may be either. Bands: the study above.
    for name, truth, stated in (("volume_scale", 1.006, 0.005), ("datum_mm", 0.8, 0.5)):
        assert abs(found[name].mean - truth) < 2 * stated
        assert found[name].standard_uncertainty < stated
    assert 0.9 < found["correlation"] < 1
    assert found["left_over_l"] < 0.05
    learnt = fit.apply(bus)
    inputs = learnt.columns()
    nominal = dict(zip(inputs["path"], inputs["nominal"], strict=True))
    assert nominal["geometry.volume_scale"] == pytest.approx(found["volume_scale"].mean, abs=1e-5)
    assert nominal["geometry.datum"] == pytest.approx(found["datum_mm"].mean / 1e3, abs=1e-8)
    assert nominal["dipstick.scatter"] == pytest.approx(2e-4)
    assert "correlation" in learnt.to_toml()
    # What matters: the circuit now reads as its stick did, though scale and datum alone are hardly told apart.
    scale = learnt.litre_scale(step_l=0.05).columns()
    np.testing.assert_allclose(np.interp(volume, scale["volume_l"], scale["mm"]), mm, atol=0.2)


def test_a_sump_far_from_its_drawing_is_learnt_as_well():
    # 4 % and 2 mm are eight and four standard uncertainties of what the circuit states.
    bus, mm, volume = shifted_bus_readings(1.04, 2.0)
    learnt = fm.calibrate(np.diff(volume, prepend=volume[0]), mm, start_l=float(volume[0]), scatter_mm=0.2).apply(bus)
    scale = learnt.litre_scale(step_l=0.05).columns()
    np.testing.assert_allclose(np.interp(volume, scale["volume_l"], scale["mm"]), mm, atol=0.5)


def test_without_a_start_the_datum_stays():
    bus, mm, volume = shifted_bus_readings(0.99, 0.0)
    fit = fm.calibrate(np.diff(volume, prepend=volume[0]), mm, scatter_mm=0.2)
    found = fit.against(bus)
    assert found["datum_mm"] is None
    assert found["volume_scale"].median == pytest.approx(0.99, abs=0.01)
    assert "geometry.datum" not in repr(fit.apply(bus)).partition("replace")[2]


# what is done; class, code, part of the message
REFUSED = [
    (lambda: fm.calibrate([0, 1], [1.0, 2, 3]), fm.LearnError, "learn.lengths_differ", "added_l has 2 entries and reading_mm 3"),
    (lambda: fm.calibrate([0, 1], [1.0, 2]), fm.LearnError, "learn.too_few", "at least 3"),
    (lambda: fm.calibrate([0] + [1] * 501, range(502)), fm.LearnError, "learn.too_many", "at most 500"),
    (lambda: fm.calibrate([0, 1, 1], [30.0, 20, 10]), fm.LearnError, "learn.not_rising", "from 30.0 mm to 10.0 mm while 2.000 L"),
    (lambda: fm.calibrate([0, 1, 1, 1, 1], [10.0, 40, 12, 41, 14], scatter_mm=0.5), fm.LearnError, "learn.not_rising", "from 10.0 mm to 14.0 mm"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 20, 30], min_mm=5), fm.LearnError, "learn.marks", "one mark is given"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 20, 30], min_mm=25, max_mm=15), fm.LearnError, "learn.marks", "is not below"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 20, 30], min_mm=12, max_mm=90), fm.LearnError, "learn.mark_outside_pours", "5.0 to 35.0 mm"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 200, 400]).against(fm.Circuit.demo("shuttle-bus")), fm.LearnError, "learn.not_this_stick", "another stick"),
    (lambda: fm.calibrate([0, 1, -1], [10.0, 20, 30]), fm.QuantityError, "quantity.out_of_range", "added_l[2] = -1 L"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, np.nan, 30]), fm.QuantityError, "quantity.not_finite", "reading_mm"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 20, 30], coverage=1), fm.QuantityError, "quantity.out_of_range", "coverage"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 20, 30], draws=5), fm.QuantityError, "quantity.out_of_range", "draws"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 20, 30], jug_scale=3), fm.QuantityError, "quantity.out_of_range", "jug_scale"),
    (lambda: fm.calibrate([0, 1, 1], [10.0, 20, 30], scatter_mm=0), fm.QuantityError, "quantity.out_of_range", "scatter_mm"),
]  # fmt: skip


@pytest.mark.parametrize(("call", "cls", "code", "part"), REFUSED)
def test_refused(call, cls, code, part):
    with pytest.raises(cls) as caught:
        call()
    assert caught.value.code == code
    assert part in str(caught.value)
