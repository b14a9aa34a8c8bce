"""Jobs that put a refill plan to the test: truths drawn by NumPy, carried out by the model of `tests/reference`.

A truth is one draw of every uncertain input of a demo circuit, from the distribution that its file states (normal, or
normal cut at two limits), by NumPy's own generator. The model then does what the plan says: drain, change the filter,
pour, run, rest, read the stick with its noise, and add or take out what the plan's table says for that reading. Over
MAX is the model's verdict. The core has no part in it but the plan.
"""

from __future__ import annotations

import copy
import functools
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import fillmark as fm
import numpy as np
from fillmark import Circuit as Core
from numpy.typing import NDArray
from reference import Circuit, Mesh, Service, StrappingTable
from reference.geometry import Array, up_vector
from reference.state import Event, Row
from services import core_event

DEMO = Path(fm.__file__).parent / "demo"
CIRCUITS = ("shuttle-bus", "deck-generator", "harbour-launch")
DONE: list[Event] = [{"kind": "Drain", "minutes": 15, "temperature_c": 60}, {"kind": "ChangeFilter"}]
THEN: list[Event] = [{"kind": "Run", "minutes": 1}, {"kind": "Rest", "minutes": 15}, {"kind": "Read", "label": "dip"}]
PROBE_L = 1e-3
# Factor and ending of the model's keys for each stored unit.
KEYS = {"m3": (1e3, "_l"), "m": (1e3, "_mm"), "m2/s": (1e6, "_mm2_s"), "s": (1.0, "_s"), "degC": (1.0, "_c")}
KEYS |= {"kg/m3": (1.0, "_kg_m3"), "Pa": (1.0, "_pa"), "1": (1.0, "")}
CUT = re.compile(r"truncated\((.*)\) (L|m3)")


def plan(name: str, risk: float, **more: Any) -> fm.Plan:
    """The plan of the core for one of the demo circuits."""
    events = {"done": [core_event(e) for e in DONE], "then": [core_event(e) for e in THEN]}
    return fm.plan_refill(Core.demo(name), risk_over_max=risk, **events, **more)


def truths(name: str, count: int, seed: int, skip: int = 0) -> Iterator[tuple[Circuit, float]]:
    """Circuits of the model, each with every uncertain input drawn, and the noise of its reading, from one on.

    Every input has a generator of its own, by its path, so that one that comes to the file changes no other.
    """
    core = Core.demo(name)
    inputs = core.columns()
    drawn = {str(path): _drawn(core, i, count, _generator(seed, path)) for i, path in enumerate(inputs["path"])}
    units = {str(path): str(unit) for path, unit in zip(inputs["path"], inputs["unit"], strict=True)}
    noise = _generator(seed, "noise").standard_normal(count)
    base, sump = _shape(name)
    for i in range(skip, count):
        data = copy.deepcopy(base)
        for path, values in drawn.items():
            _put(data, path, float(values[i]), units[path])
        circuit = Circuit.from_data(data)
        circuit.sump = sump
        yield circuit, float(noise[i])


def _generator(seed: int, name: str) -> np.random.Generator:
    return np.random.default_rng([seed, *name.encode()])


def _drawn(core: Core, i: int, count: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """Draws of an input in its stored unit."""
    inputs = core.columns()
    mean, spread = float(inputs["nominal"][i]), float(inputs["standard_uncertainty"][i])
    if spread == 0.0:
        return np.full(count, mean)
    path = str(inputs["path"][i])
    text = str(core[path])
    cut = CUT.fullmatch(text)
    if cut is None:
        if not re.fullmatch(r"[\d.]+\(\d+\)( \S+)?", text):
            raise NotImplementedError(f"a distribution of the form {text}")
        values = rng.normal(mean, spread, count)
        # A time, which must be above nothing for the model, is drawn again until it is: one in ten thousand at most.
        while path.endswith("time") and (outside := values <= 0.0).any():
            values[outside] = rng.normal(mean, spread, outside.sum())
        return values
    mean, spread, low, high = (float(x) * {"L": 1e-3, "m3": 1.0}[cut[2]] for x in cut[1].split(","))
    values = rng.normal(mean, spread, count)
    while (outside := (values < low) | (values > high)).any():
        values[outside] = rng.normal(mean, spread, outside.sum())
    return values


@functools.cache
def _shape(name: str) -> tuple[dict[str, Any], Tabled]:
    """What of a circuit is no number with an uncertainty, as the model's data; and its sump."""
    told = json.loads(Core.demo(name).to_json())
    data: dict[str, Any] = {"sump": {"box": {"length_mm": 1, "width_mm": 1, "height_mm": 1}}, "dipstick": {}}
    data["dipstick"]["path_mm"] = told["dipstick"]["path_mm"]
    for name, plug in told["plugs"].items():
        data.setdefault("plugs", {})[name] = {"at_mm": plug["at_mm"]}
        for key in ("bore", "boss"):
            data["plugs"][name][f"{key}_mm"] = float(str(plug.get(key, "0 mm")).removesuffix(" mm"))
    attitude = told.get("reference", {}).get("attitude", {})
    data["reference"] = {"attitude": {f"{k}_deg": float(v.removesuffix(" deg")) for k, v in attitude.items()}}
    if "mesh" in told["sump"]:
        up = up_vector(**data["reference"]["attitude"])
        mesh = Mesh(np.array(told["sump"]["mesh"]["vertices_mm"]) / 1e3, told["sump"]["mesh"]["faces"])
        assert mesh.basins(up) == 1
        standing = mesh.stand(up)
        levels = np.append(np.arange(0.0, standing.span, 1e-4), standing.span)
        return data, Tabled(up, standing.lowest, levels, standing.volumes(levels))
    return data, _level_table(_stl((DEMO / told["sump"]["stl"]["file"]).read_bytes()))


class Tabled(StrappingTable):
    """A sump in one attitude as a table of its volume at every 0.1 mm: a tenth of the time that the mesh takes."""

    def __init__(self, up: Array, lowest: float, levels: Array, volumes: Array) -> None:
        first = int(np.argmax(volumes > 1e-12)) - 1
        rising = np.append([True], np.diff(volumes[first:]) > 0.0)
        volumes = np.append([0.0], volumes[first + 1 :])
        super().__init__((levels[first:] - levels[first])[rising], volumes[rising])
        self.up, self.lowest = up, lowest + float(levels[first])

    def stand(self, up: Any) -> Tabled:
        """Itself in its attitude."""
        assert abs(up - self.up).max() <= 1e-12
        return self


def _stl(data: bytes) -> Array:
    """Corners of the faces of a binary STL file (header of 80 bytes, count, 50 bytes for each face) [m]."""
    count = int.from_bytes(data[80:84], "little")
    face = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    return np.frombuffer(data, face, count, 84)["corners"].astype(float) / 1e3


def _level_table(corners: Array) -> Tabled:
    """A drawing of very many faces, standing level.

    The volume between each face and the plane, over the part of its shadow on the plane that lies below it (a prism
    over a triangle, elementary geometry), with the sign of where the face looks.
    """
    shadow = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])[:, 2] / -2.0
    lowest = float(corners[:, :, 2].min())
    z = np.sort(corners[:, :, 2] - lowest, axis=1)
    z, shadow = z[shadow != 0.0], shadow[shadow != 0.0]
    order = np.argsort(z[:, 2])
    z, shadow = z[order], shadow[order]
    (low, middle, high), mean = z.T, z.mean(axis=1)
    area, moment = (np.append([0.0], np.cumsum(x)) for x in (shadow, shadow * mean))
    levels = np.arange(0.0, z.max(), 1e-4)
    volumes = []
    for h in levels:
        under = int(np.searchsorted(high, h, side="right"))  # these faces lie below the plane
        cut = under + np.flatnonzero(low[under:] < h)
        a, b, c = low[cut], middle[cut], high[cut]
        below = (h - a) ** 3 / np.maximum((b - a) * (c - a), 1e-30) / 3.0
        above = h - mean[cut] + (c - h) ** 3 / np.maximum((c - a) * (c - b), 1e-30) / 3.0
        volumes.append(h * area[under] - moment[under] + float(shadow[cut] @ np.where(h <= b, below, above)))
    return Tabled(up_vector(), lowest, levels, np.array(volumes))


def _put(data: dict[str, Any], path: str, value: float, unit: str) -> None:
    """An input where the model's data have it."""
    factor, ending = KEYS[unit]
    *tables, key = path.split(".")
    if tables[0] in ("pickup", "crank", "pump"):
        return
    for table in tables:
        data = data.setdefault(table, {})
    data[key + ending] = value * factor


class Job(Service):
    """A service of which only the readings are recorded."""

    dips: dict[float, Dip]

    def _record(self, event: Event, up: Array) -> Row:
        reading = self.read(event, up) if event["kind"] == "Read" else None
        return Row(event["kind"], event.get("label"), {}, float("nan"), tuple(self.flags), reading)

    def _empty(self, seconds: float, up: Array) -> None:
        """As in the model, whose check that the rest is long enough a test makes once."""
        mass, heel = self.state["sump"].mass, self.drained_mass(up)
        if mass > heel:
            self._move("sump", "pan", (mass - heel) / mass)

    def branch(self) -> Job:
        """The same service again, to go on with in another way."""
        other = copy.copy(self)
        other.state = {path: place.copy() for path, place in self.state.items()}
        return other

    def room_l(self) -> float:
        """Volume up to MAX, drained back [L]."""
        return (self.circuit.v_max() - self.v_drained()) * 1e3


@dataclass(frozen=True)
class Dip:
    """What stands after a first pour: the job, its reading [mm], and the span between the marks [L]."""

    job: Job
    mm: float
    span_l: float

    def ends(self, change_l: float) -> tuple[bool, float]:
        """Whether a correction ends over MAX, and at which fraction of the span, by volume."""
        job = self.job.branch()
        if change_l > 0.0:
            job.step({"kind": "Pour", "volume_l": change_l, "measured_with": "jug"})
        elif change_l < 0.0:
            job.step({"kind": "Withdraw", "volume_l": -change_l, "measured_with": "jug"})
        return job.result().over_max, 1.0 - job.room_l() / self.span_l

    def gains(self) -> tuple[float, float, float]:
        """Room up to MAX [L], and what a stated litre adds to, or takes from, the drained-back volume."""
        job, room = self.job.branch(), self.job.room_l()
        job.step({"kind": "Withdraw", "volume_l": PROBE_L, "measured_with": "jug"})
        less = job.room_l()
        job.step({"kind": "Pour", "volume_l": PROBE_L, "measured_with": "jug"})
        return room, (less - job.room_l()) / PROBE_L, (less - room) / PROBE_L


def started(circuit: Circuit) -> Job:
    """A job up to the first pour."""
    job = Job(circuit, "clip")
    for event in DONE:
        job.step(event)
    job.dips = {}
    return job


def dipped(start: Job, pour_l: float, noise: float) -> Dip:
    """A job from the first pour to the reading; rules that pour alike share it, as a job has one noise."""
    if pour_l not in start.dips:
        start.dips[pour_l] = _dipped(start, pour_l, noise)
    return start.dips[pour_l]


def _dipped(start: Job, pour_l: float, noise: float) -> Dip:
    job = start.branch()
    if pour_l > 0.0:
        job.step({"kind": "Pour", "volume_l": pour_l, "measured_with": "jug"})
    for event in THEN:
        row = job.step({**event, "z": noise} if event["kind"] == "Read" else event)
    circuit, up = job.circuit, job.circuit.reference_up
    below = [circuit.volume_below(circuit.stick.height(mark, up), up) for mark in circuit.marks]
    assert row.reading is not None
    return Dip(job, row.reading.mm, (below[1] - below[0]) * 1e3)


def followed(made: fm.Plan) -> Callable[[Job, float], tuple[bool, float]]:
    """Doing what a plan says."""

    def job(start: Job, noise: float) -> tuple[bool, float]:
        dip = dipped(start, made.first_pour_l, noise)
        return dip.ends(made.after_reading(mm=dip.mm).change_l)

    return job


@dataclass(frozen=True)
class Seen:
    """What many dips after one first pour say, each entry of an array being one job."""

    mm: Array
    room_l: Array
    added: Array
    taken: Array
    span_l: Array

    def best(self, risk: float, step_l: float = 0.1, bin_mm: float = 1.0) -> float:
        """Bound of the mean final fraction of any table on these jobs, monotone or not, made with the truth in hand.

        The lowest, over the price, of the sum over the bins of the best of `level − price (over − risk)` (weak
        duality of a Lagrange relaxation, textbook); at most half of a bin may end over MAX, as in the plan.
        """
        steps = np.arange(-12, 25)[:, None] * step_l
        gain = np.where(steps < 0.0, self.taken, self.added)
        ends = 1.0 - (self.room_l - steps * gain) / self.span_l
        _, bins, count = np.unique(np.round(self.mm / bin_mm), return_inverse=True, return_counts=True)
        total = len(self.mm)
        level = np.array([np.bincount(bins, row) for row in ends]) / total
        over = np.array([np.bincount(bins, row) for row in ends > 1.0]) / total
        allowed = over <= 0.5 * count / total
        prices = np.geomspace(1e-3, 1e3, 300)
        return min(float(np.where(allowed, level - p * over, -np.inf).max(axis=0).sum() + p * risk) for p in prices)


def seen(name: str, pours_l: list[float], count: int, seed: int) -> dict[float, Seen]:
    """Jobs with each of some first pours, all on the same truths."""
    rows: dict[float, list[tuple[float, ...]]] = {pour: [] for pour in pours_l}
    for circuit, noise in truths(name, count, seed):
        start = started(circuit)
        for pour in pours_l:
            dip = dipped(start, pour, noise)
            rows[pour].append((dip.mm, *dip.gains(), dip.span_l))
    return {pour: Seen(*np.array(found).T) for pour, found in rows.items()}


def outcomes(
    name: str, rules: dict[str, Callable[[Job, float], tuple[bool, float]]], count: int, seed: int, skip: int = 0
) -> dict[str, Array]:
    """By rule: of every job from `skip` to `count` of the truths, whether it ends over MAX, and at which fraction."""
    found: dict[str, list[tuple[float, float]]] = {rule: [] for rule in rules}
    for circuit, noise in truths(name, count, seed, skip):
        start = started(circuit)
        for rule, carry_out in rules.items():
            over, fraction = carry_out(start, noise)
            found[rule].append((float(over), fraction))
    return {rule: np.array(rows) for rule, rows in found.items()}


def poured(volume_l: float) -> Callable[[Job, float], tuple[bool, float]]:
    """Pouring an amount, and nothing else."""
    return lambda start, noise: dipped(start, volume_l, noise).ends(0.0)


def topped_up(name: str, volume_l: float, step_l: float = 0.1) -> Callable[[Job, float], tuple[bool, float]]:
    """Pouring an amount, then filling up to where the stick says MAX, in steps of the jug; nothing is taken out."""
    core = Core.demo(name)

    def job(start: Job, noise: float) -> tuple[bool, float]:
        dip = dipped(start, volume_l, noise)
        missing = max(0.0, (core.max_mm - dip.mm) * core.ml_per_mm / 1e3)
        return dip.ends(np.floor(missing / step_l + 1e-9) * step_l)

    return job
