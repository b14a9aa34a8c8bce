"""The tables of defaults in the documentation: values read from the running library, each with where it comes from.

Imported by docs/conf.py and by a test. A circuit that states as little as it may is loaded, and its inputs are listed;
an input without a provenance here, and a provenance without an input, is an error. So is a stale name of an argument.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterator

import fillmark as fm

BARE = """
format = 1
name = "bare"

[sump.box]
length = "300 mm"
width = "200 mm"
height = "100 mm"

[dipstick]
path_mm = [[0, 0, 5], [0, 0, 105]]
min = "30 mm"
max = "50 mm"

[sticks.other]
min = "30 mm"
max = "50 mm"

[plugs.main]
at_mm = [0, 0, 0]
bore = "12 mm"

[filter]
can = { diameter = "76 mm", length = "80 mm" }
valve = "leaking"
ORIENTATION

[filler]
wetted = "10 mL"

[cooling]
time = "40 min"

[pickup]
at_mm = [0, 0, 10]

[stores.plain]
STORES

[fluid]
grade = "10W-40"

[instruments.jug]
"""
KINDS = ("head", "galleries", "cooler", "lines", "crankcase")
ORIENTATIONS = ("base_up", "sideways", "base_down")
STATED = {"dipstick.min", "dipstick.max", "sticks.other.min", "sticks.other.max", "cooling.time", "filler.wetted"}

STORE = ("kept", "running", "film", "pool_time", "inertia_time", "film_time", "opens_at")
JUDGEMENT = "judgement"
CHARGE = f"{JUDGEMENT}; oil aloft at idle is 5 to 10 % of the charge (from memory), its division a judgement"
# Path: where the default comes from.
INPUTS = {
    "geometry.volume_scale": "the drawing taken as it is",
    "geometry.datum": "the drawing taken as it is",
    "dipstick.scatter": "common practice, no source: about 1 mm on dark oil, 2 mm on clear oil",
    "dipstick.seat_offset": "a stick that seats",
    "dipstick.meniscus": "no creep up the blade; the capillary length of oil, √(σ/ρg), is 1.9 mm",
    "dipstick.smear": "a stick that is wiped",
    "dipstick.faces": "both sides read alike; on a bent tube they differ by 1 to 4 mm (common practice, no source)",
    "dipstick.tube_pressure": "no pressure difference; 100 Pa are 12.0 mm of oil (ρ = 850 kg/m³)",
    "sticks.other.longer": "the same length",
    "fluid.density_15c": f"{JUDGEMENT}: fresh oils of the kind, where only a grade is given",
    "fluid.kv40": f"{JUDGEMENT} on the viscosity index, joined by ASTM D2270, where only a grade is given",
    "fluid.kv100": "SAE J300, edition 202405: the window of the grade, rectangular, where only a grade is given",
    "reference.temperature": "convention: 20 °C (ISO 1 reference temperature for length)",
    "reference.wait": f"{JUDGEMENT}; published waits range from 2 to 60 min",
    "filter.net_volume": "calculated from wall, media and end plates: 0.49 to 0.81 of the can's outer cylinder",
    "filter.spill": f"{JUDGEMENT}; nothing where the orientation is not stated",
    "filter.drains": f"{JUDGEMENT}; only with a leaking valve",
    "filter.drain_time": JUDGEMENT,
    "filler.film_time": JUDGEMENT,
    "pickup.margin": JUDGEMENT,
    "plugs.main.lip": "the drawing taken as it is",
    "stores.*.kept": CHARGE,
    "stores.*.running": CHARGE,
    "stores.*.film": CHARGE,
    "stores.*.pool_time": f"{JUDGEMENT}; return holes empty in seconds when thin, tens of them when cold (calculated)",
    "stores.*.inertia_time": f"{JUDGEMENT}; return holes empty in about a second when thin (calculated)",
    "stores.*.film_time": f"{JUDGEMENT}: after 5 min about 40 % is left, as on 0.3 m of wall",
    "stores.*.opens_at": JUDGEMENT,
    "instruments.jug.scale": "an instrument that reads true; a jug is good to 2 to 5 % (common practice, no source)",
}
# Function or method, argument: where the default comes from.
ARGUMENTS = {
    ("plan_refill", "risk_over_max"): f"{JUDGEMENT}: one refill in twenty",
    ("plan_refill", "draws"): "the standard error of a probability of 5 % is then 0.07 %",
    ("predict", "draws"): "the standard error of a probability of 5 % is then 0.07 %",
    ("assess", "draws"): "the standard error of a probability of 5 % is then 0.07 %",
    ("propagate", "draws"): f"{JUDGEMENT}: a power of two, for Sobol' points",
    ("propagate", "coverage"): "usual: 95 %",
    ("propagate", "scrambles"): JUDGEMENT,
    ("sensitivity", "draws"): JUDGEMENT,
    ("sensitivity", "replicates"): JUDGEMENT,
    ("Circuit.from_book", "span_mm"): "25 mm where not given: judgement",
}
UNITS = {"m": (1e3, "mm"), "m3": (1e3, "L"), "m2/s": (1e6, "mm²/s"), "degC": (1.0, "°C"), "1": (1.0, "")}


def inputs(stores: str = "", orientation: str = "") -> dict[str, str]:
    """Return the inputs that a bare circuit does not state, with their values and uncertainties."""
    circuit = fm.Circuit.loads(BARE.replace("STORES", stores).replace("ORIENTATION", orientation))
    columns = circuit.columns()
    rows = zip(*(columns[name] for name in ("path", "nominal", "standard_uncertainty", "unit")), strict=True)
    return {str(path): _value(float(v), float(u), str(unit)) for path, v, u, unit in rows if path not in STATED}


def _value(nominal: float, spread: float, unit: str) -> str:
    scale, name = UNITS.get(unit, (1.0, unit))
    value = f"{nominal * scale:.4g}"
    if spread:
        value += f" (standard uncertainty {spread * scale:.2g})"
    return f"{value} {name}".strip()


def _input_rows() -> Iterator[tuple[str, str, str]]:
    found = inputs()
    patterns = {path.replace("stores.plain.", "stores.*.") for path in found} | {"stores.*.opens_at"}
    if patterns != set(INPUTS):
        raise SystemExit(f"defaults without a provenance, or the reverse: {sorted(patterns ^ set(INPUTS))}")
    for path, value in found.items():
        if not path.startswith("stores."):
            yield f"`{path}`", value, INPUTS[path]
        if path in {"filter.spill", "filter.drains"}:
            for way in ORIENTATIONS:
                yield f"`{path}`, `{way}`", inputs(orientation=f'orientation = "{way}"')[path], INPUTS[path]


def _stores() -> Iterator[str]:
    """Yield the rows of the table of stores: a kind each."""
    found = inputs("\n".join(f'[stores.{kind}]\nkind = "{kind}"' for kind in KINDS))
    yield "| kind | " + " | ".join(f"`{name}`" for name in STORE) + " |"
    yield "|---" * (len(STORE) + 1) + "|"
    for kind in (*KINDS, "plain"):
        values = [found.get(f"stores.{kind}.{name}", "none") for name in STORE]
        yield "| " + " | ".join([f"`{kind}`" if kind != "plain" else "not stated", *values]) + " |"


def _argument_rows() -> Iterator[tuple[str, str, str]]:
    for (function, argument), source in ARGUMENTS.items():
        thing = fm
        for part in function.split("."):
            thing = getattr(thing, part)
        default = inspect.signature(thing).parameters[argument].default  # type: ignore[arg-type]
        yield f"`{function}`, `{argument}`", "not given" if default is None else str(default), source


def table() -> str:
    """Return the tables in Markdown."""
    out = ["## Inputs of a circuit", "", *_rows("input", _input_rows()), "", "## Stores", ""]
    out += ["For a sump that holds 3.3 L at MAX; volumes are shares of that.", "", *_stores(), ""]
    sources = {name: INPUTS[f"stores.*.{name}"] for name in STORE}
    out += [f"* `{name}`: {source}" for name, source in sources.items()]
    out += ["", "## Arguments of functions", "", *_rows("function, argument", _argument_rows())]
    return "\n".join(out) + "\n"


def _rows(first: str, rows: Iterator[tuple[str, str, str]]) -> Iterator[str]:
    yield f"| {first} | default | where it comes from |"
    yield "|---|---|---|"
    for name, value, source in rows:
        yield f"| {name} | {value} | {source} |"


if __name__ == "__main__":
    print(table())
