"""The evidence of a written incident against nested sampling by dynesty, an independent sampler, and its own likelihood."""

import fillmark as fm
import numpy as np
import pytest
from scipy import stats

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
# What the circuit's file leaves open: path, unit, and the standard normal score turned into a value.
OPEN = {
    "geometry.volume_scale": ("", stats.norm(1.0, 0.005)),
    "geometry.datum": ("mm", stats.norm(0.0, 0.5)),
    "dipstick.min": ("mm", stats.norm(45.0, 0.5)),
    "dipstick.max": ("mm", stats.norm(61.5, 0.5)),
    "plugs.drain.lip": ("L", stats.truncnorm(-2.5, (1 - 0.05) / 0.02, 0.05, 0.02)),
    "cooling.time": ("min", stats.norm(50.0, 15.0)),
    "fluid.density_15c": ("kg/m3", stats.norm(893.0, 3.0)),
    "fluid.kv40": ("mm2/s", stats.norm(222.0, 8.0)),
    "fluid.kv100": ("mm2/s", stats.norm(19.2, 0.6)),
    "instruments.jug.scale": ("", stats.norm(1.0, 0.02)),
}
PROUD = stats.lognorm(0.6, scale=5.0)


def transform(u):
    """From the unit cube to the values: the circuit's, then how far the stick stands proud [mm]."""
    u = np.clip(u, 1e-4, 1 - 1e-4)
    return np.array([law.ppf(x) for (_, law), x in zip([*OPEN.values(), ("mm", PROUD)], u, strict=True)])


def sign(there, x, at, spread, low, high):
    yes = low + (high - low) * stats.norm.cdf((x - at) / spread)
    return np.log(yes if there else 1 - yes)


def log_likelihood(values):
    """As `docs/explain.md` has it: normal about the simulated number with a chance of a mistake; signs by their curves."""
    changes = {path: f"{v!r} {unit}".strip() for (path, (unit, _)), v in zip(OPEN.items(), values, strict=False)}
    circuit = fm.Circuit.demo("winch-gearbox").replace(changes)
    proud = float(values[-1])
    line = fm.simulate(circuit, [*EVENTS, fm.Read(label="dip", seat_offset_mm=proud), fm.Read(label="again")])
    dip, again = (line.reading(label).mm for label in ("dip", "again"))
    mixed = (1 - MISTAKEN) * stats.norm.pdf(SEEN_MM, dip, SCATTER_MM) + MISTAKEN / BLADE_MM
    tally = (1 - MISTAKEN) * stats.norm.pdf(0.0, 0.0, POURED_SD_L) + MISTAKEN / (2 * POURED_L)
    second = sign(True, abs(dip - again), 3.0, 1.0, 0.05, 0.97)
    floor = sign(False, 0.0, 0.05, 0.02, 0.05, 0.95)
    # The core's densities are per metre and per cubic metre.
    return float(np.log(mixed * 1e3) + np.log(tally * 1e3) + second + floor)


def evidence_of_the_library():
    record = fm.incident("incident-18")
    verdict = fm.diagnose(fm.Circuit.demo("winch-gearbox"), record, particles=512, replicates=16)
    columns = verdict.columns()
    at = columns["name"].index("stick not seated")
    return columns["ln_evidence"][at], columns["standard_error"][at]


@pytest.mark.slow
def test_evidence_of_an_incident_agrees_with_nested_sampling():
    import dynesty

    sampler = dynesty.NestedSampler(
        lambda v: log_likelihood(v), transform, len(OPEN) + 1, nlive=300, sample="rslice", rstate=np.random.default_rng(1)
    )
    sampler.run_nested(dlogz=0.05, print_progress=False)
    found = sampler.results
    ln, error = evidence_of_the_library()
    theirs, their_error = found.logz[-1], found.logzerr[-1]
    print(f"ln evidence: {ln:.3f} ± {error:.3f}, dynesty {theirs:.3f} ± {their_error:.3f}, {int(found.ncall.sum())} calls")
    assert abs(ln - theirs) < 4 * np.hypot(error, their_error)


def test_evidence_of_an_incident_agrees_with_importance_sampling():
    """The mean likelihood over draws of the prior, by the same independent likelihood."""
    rng = np.random.default_rng(2)
    likelihood = np.exp([log_likelihood(transform(u)) for u in rng.random((3000, len(OPEN) + 1))])
    mean, error = likelihood.mean(), likelihood.std(ddof=1) / np.sqrt(likelihood.size)
    ln, ours = evidence_of_the_library()
    assert abs(ln - np.log(mean)) < 4 * np.hypot(ours, error / mean)
