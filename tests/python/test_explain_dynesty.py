"""The evidence of a written incident against nested sampling by dynesty, with a likelihood written anew."""

import math
from pathlib import Path

import fillmark as fm
import numpy as np
import pytest
from scipy import stats
from scipy.special import ndtr, ndtri

REPORTS = Path(__file__).resolve().parents[2] / "docs" / "validation"

# incident-18 (the winch's stick stood proud), as its file has it.
EVENTS = [
    fm.Drain(minutes=30, plug="drain"),
    fm.Pour(3.05, measured_with="jug"),
    fm.Run(minutes=5),
    fm.Rest(hours=1),
]
SEEN_MM, SCATTER_MM, BLADE_MM = 54.0, 1.0, 150.0
POURED_L, POURED_SD_L = 3.05, 0.05
MISTAKEN = 0.02
# What the circuit's file leaves open: path, unit, mean and standard deviation of its normal distribution.
OPEN = {
    "geometry.volume_scale": ("", 1.0, 0.005),
    "geometry.datum": ("mm", 0.0, 0.5),
    "dipstick.min": ("mm", 45.0, 0.5),
    "dipstick.max": ("mm", 61.5, 0.5),
    "plugs.drain.lip": ("L", 0.05, 0.02),
    "cooling.time": ("min", 50.0, 15.0),
    "fluid.density_15c": ("kg/m3", 893.0, 3.0),
    "fluid.kv40": ("mm2/s", 222.0, 8.0),
    "fluid.kv100": ("mm2/s", 19.2, 0.6),
    "instruments.jug.scale": ("", 1.0, 0.02),
}
PATHS, UNITS = list(OPEN), [unit for unit, _, _ in OPEN.values()]
MEANS, SPREADS = np.array([law[1:] for law in OPEN.values()]).T
LIP, COOLING = PATHS.index("plugs.drain.lip"), PATHS.index("cooling.time")
LEAST = float(ndtr(-2.5))  # the lip is cut at nothing, 2.5 standard deviations below its mean; 1 L is beyond any draw
PROUD_MEDIAN, PROUD_SIGMA = 5.0, 0.6
CIRCUIT = fm.Circuit.demo("winch-gearbox")


def transform(u):
    """From the unit cube to the values: the circuit's, then how far the stick stands proud [mm], lognormal."""
    u = np.clip(u, 1e-4, 1 - 1e-4)
    u[LIP] = LEAST + (1 - LEAST) * u[LIP]
    z = ndtri(u)
    values = np.append(MEANS + SPREADS * z[:-1], PROUD_MEDIAN * np.exp(PROUD_SIGMA * z[-1]))
    # Three draws in ten thousand of the cooling time lie below nothing, where a circuit has none.
    values[COOLING] = max(values[COOLING], 0.1)
    return values


def normal(x, mean, spread):
    return math.exp(-0.5 * ((x - mean) / spread) ** 2) / (spread * math.sqrt(2 * math.pi))


def test_the_transform_is_that_of_the_stated_laws():
    """Against the distributions of SciPy."""
    u = np.random.default_rng(3).uniform(0.001, 0.999, (50, len(OPEN) + 1))
    found = np.array([transform(row) for row in u])
    laws = [stats.norm(mean, spread) for mean, spread in zip(MEANS, SPREADS, strict=True)]
    laws[LIP] = stats.truncnorm(-2.5, (1 - 0.05) / 0.02, 0.05, 0.02)
    for law, column, at in zip([*laws, stats.lognorm(PROUD_SIGMA, scale=PROUD_MEDIAN)], found.T, u.T, strict=True):
        np.testing.assert_allclose(column, np.maximum(law.ppf(at), 0.1 if law is laws[COOLING] else -np.inf), 1e-9)


def sign(there, x, at, spread, low, high):
    yes = low + (high - low) * ndtr((x - at) / spread)
    return math.log(yes if there else 1 - yes)


def log_likelihood(values):
    """As `docs/explain.md` has it: normal about the simulated number, or mistaken; signs by their curves."""
    changes = {path: f"{float(v)!r} {unit}".strip() for path, unit, v in zip(PATHS, UNITS, values, strict=False)}
    circuit = CIRCUIT.replace(changes)
    proud = float(values[-1])
    line = fm.simulate(circuit, [*EVENTS, fm.Read(label="dip", seat_offset_mm=proud), fm.Read(label="again")])
    dip, again = (line.reading(label).mm for label in ("dip", "again"))
    mixed = (1 - MISTAKEN) * normal(SEEN_MM, dip, SCATTER_MM) + MISTAKEN / BLADE_MM
    tally = (1 - MISTAKEN) * normal(0.0, 0.0, POURED_SD_L) + MISTAKEN / (2 * POURED_L)
    second = sign(True, abs(dip - again), 3.0, 1.0, 0.05, 0.97)
    floor = sign(False, 0.0, 0.05, 0.02, 0.05, 0.95)
    # The core's densities are per metre and per cubic metre.
    return math.log(mixed * 1e3) + math.log(tally * 1e3) + second + floor


def evidence_of_the_library():
    record = fm.incident("incident-18")
    verdict = fm.diagnose(CIRCUIT, record, particles=512, replicates=16)
    columns = verdict.columns()
    at = list(columns["name"]).index("stick not seated")
    return columns["ln_evidence"][at], columns["standard_error"][at]


@pytest.mark.slow
def test_evidence_of_an_incident_agrees_with_nested_sampling():
    import dynesty

    sampler = dynesty.NestedSampler(
        log_likelihood,
        transform,
        len(OPEN) + 1,
        nlive=150,
        sample="rwalk",  # its choice for 10 to 20 unknowns
        rstate=np.random.default_rng(1),
    )
    sampler.run_nested(dlogz=0.05, print_progress=False)
    found = sampler.results
    ln, error = evidence_of_the_library()
    theirs, their_error = found.logz[-1], found.logzerr[-1]
    lines = [REPORT, "| | ln evidence | standard error | evaluations |", "|---|---:|---:|---:|"]
    lines.append(f"| fillmark | {ln:.3f} | {error:.3f} | |")
    lines.append(f"| dynesty {dynesty.__version__} | {theirs:.3f} | {their_error:.3f} | {int(found.ncall.sum()):,} |")
    REPORTS.mkdir(parents=True, exist_ok=True)
    (REPORTS / "explain_nested.md").write_text("\n".join([*lines, ""]), encoding="utf-8")
    assert abs(ln - theirs) < 4 * np.hypot(error, their_error)


def test_evidence_of_an_incident_agrees_with_importance_sampling():
    """The mean likelihood over draws of the prior, by the same independent likelihood."""
    rng = np.random.default_rng(2)
    likelihood = np.exp([log_likelihood(transform(u)) for u in rng.random((3000, len(OPEN) + 1))])
    mean, error = likelihood.mean(), likelihood.std(ddof=1) / np.sqrt(likelihood.size)
    ln, ours = evidence_of_the_library()
    assert abs(ln - np.log(mean)) < 4 * np.hypot(ours, error / mean)


REPORT = """\
# The evidence of an incident by nested sampling

Written by `pytest -m slow tests/python/test_explain_dynesty.py` (part of `make validate`). The written incident 18
(the winch's stick stood proud): evidence of *stick not seated*, eleven unknowns, by `diagnose` (512 particles, 16
replicates, seed 1) and by the nested sampler dynesty (150 live points, random walks, `default_rng(1)`) with prior and
likelihood written anew in NumPy from the page on how a reading is explained; `simulate` gives the reading. They agree
if they differ by less than four standard errors of the difference.
"""
