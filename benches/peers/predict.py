"""Time a prediction beside the same model tabulated in NumPy, in one run, and print the ratios.

    python benches/peers/predict.py [--draws 1000000] [--rounds 5]

The service is drain, new filter, pour, run, rest and one reading of the demo ``shuttle-bus`` at 20 degC, with 14
uncertain inputs: those of ``STATED``, pitch and roll of the reading, its noise, and the pour. The NumPy model knows
this one service only: it tabulates the level curve on 4,096 knots and, over pitch and roll, the free surface of a
volume and the volume below a surface (straight lines between 11 x 11 attitudes and 513 knots), draws every input
with ``numpy.random.Generator`` and works in arrays, whole or in blocks that fit a cache, whichever is faster. Both
return the reading (mm, fraction, litres from MAX), the volume drained back, and the flags over MAX and under MIN of
every draw; they are checked against each other first. Preparation (compiling, tabulating) is timed apart.

fillmark runs in a process of its own with one thread and with two; NumPy has one. Quantiles are not part of either.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import fillmark as fm
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# Path: mean and standard uncertainty in the unit of the NumPy model; all normal.
STATED: dict[str, tuple[float, float, str]] = {
    "instruments.jug.scale": (1.0, 0.02, " 1"),
    "plugs.main.heel": (0.45, 0.05, " L"),
    "filter.net_volume": (0.45, 0.03, " L"),
    "stores.head.running": (0.45, 0.05, " L"),
    "stores.head.film": (0.12, 0.01, " L"),
    "stores.head.pool_time": (12.0, 1.0, " s"),
    "geometry.volume_scale": (1.0, 0.005, " 1"),
    "geometry.datum": (0.0, 0.5, " mm"),
    "fluid.kv40": (95.0, 3.0, " mm2/s"),
    "fluid.kv100": (14.3, 0.3, " mm2/s"),
}
# And of the events: the pour (L), nose up and right down where the stick is read (deg); its noise is in scatters.
POURED = (6.6, 0.05)
TILT = 0.5
COOLER_TIME, INERTIA, FILM_TIME, DRAIN, REST, REFERENCE_WAIT = 90.0, 1.0, 60.0, 600.0, 300.0, 900.0
STILL = {
    "dipstick.min": "95.8 mm",
    "dipstick.max": "111.4 mm",
    "stores.head.kept": "0.08 L",
    "stores.cooler.kept": "0.15 L",
    "stores.cooler.running": "0.10 L",
    "cooling.time": "40 min",
    "fluid.density_15c": "868 kg/m3",
    "pickup.margin": "10 mm",
    "pump.idle_rpm": "750",
}


def stated(mean: float, u: float, unit: str) -> str:
    """Write a normal value as text."""
    return f"normal({mean!r}, {u!r}){unit}"


def circuit() -> fm.Circuit:
    """Return the bus with these uncertainties and no others."""
    bus = fm.Circuit.demo("shuttle-bus")
    changes: dict[str, fm.Uncertain | float | str] = {path: stated(*law) for path, law in STATED.items()}
    return bus.replace(changes | STILL)


def service() -> list[fm.Event]:
    """Return drain, filter, pour, run, rest, read."""
    return [
        fm.Drain(seconds=DRAIN),
        fm.ChangeFilter(),
        fm.Pour(stated(*POURED, " L"), measured_with="jug"),
        fm.Run(minutes=1),
        fm.Rest(seconds=REST),
        fm.Read(label="dip", attitude=f"nose up normal(0.0, {TILT}) deg right down normal(0.0, {TILT}) deg"),
    ]


class Tilted:
    """Values over nose-up, right-down (deg) and one more quantity, all evenly spaced; straight lines between."""

    ANGLES = np.linspace(-4.5 * TILT, 4.5 * TILT, 11)

    def __init__(self, values: Array, low: float, high: float) -> None:
        """Take values of shape (nose-up, right-down, quantity)."""
        self.values, self.low = values.ravel(), low
        self.row, self.plane = values.shape[2], values.shape[1] * values.shape[2]
        self.per = (self.row - 1) / (high - low)

    @staticmethod
    def place(x: Array, low: float, per: float, nodes: int) -> tuple[NDArray[np.intp], Array]:
        """Find the node below and how far it is to the next."""
        at = np.clip((x - low) * per, 0.0, nodes - 1.000001)
        node = at.astype(np.intp)
        return node, at - node

    @classmethod
    def corner(cls, nose_up: Array, right_down: Array) -> tuple[NDArray[np.intp], Array, NDArray[np.intp], Array]:
        """Find the attitudes around these."""
        low, per, nodes = cls.ANGLES[0], 1.0 / (cls.ANGLES[1] - cls.ANGLES[0]), len(cls.ANGLES)
        return *cls.place(nose_up, low, per, nodes), *cls.place(right_down, low, per, nodes)

    def at(self, corner: tuple[NDArray[np.intp], Array, NDArray[np.intp], Array], x: Array) -> Array:
        """Interpolate at attitudes, by their corners, and a quantity."""
        i, s, j, t = corner
        k, u = self.place(x, self.low, self.per, self.row)
        first = i * self.plane + j * self.row + k

        def line(at: NDArray[np.intp]) -> Array:
            below = self.values[at]
            return below + u * (self.values[at + 1] - below)

        def face(at: NDArray[np.intp]) -> Array:
            left = line(at)
            return left + t * (line(at + self.row) - left)

        near = face(first)
        return near + s * (face(first + self.plane) - near)


class Tabulated:
    """The service in NumPy: volumes at 20 degC, where everything stands."""

    def __init__(self, bus: fm.Circuit) -> None:
        """Tabulate the level curve and the blade."""
        sump = bus.sump
        self.level = np.linspace(0.0, sump.height_mm(), 4096)
        self.volume = np.asarray(sump.volume_l(level_mm=self.level))
        tip, top = np.array([60.0, 40.0, -80.0]), np.array([100.0, 80.0, 120.0])
        self.blade = (top - tip) / np.linalg.norm(top - tip)
        low = sump.surface(level_mm=1e-6).offset_mm
        self.tip, self.rise = tip[2] - low, self.blade[2]
        self.min, self.max = 95.8, 111.4
        self.surface, self.below = self.tilted(sump, tip)

    @staticmethod
    def tilted(sump: fm.Sump, tip: Array) -> tuple[Tilted, Tilted]:
        """Tabulate, over attitudes, the height over the tip (mm) of volumes (L), and back."""
        volumes, heights = np.linspace(1.0, 12.0, 513), np.linspace(30.0, 160.0, 513)
        shape, corners = (len(Tilted.ANGLES), len(Tilted.ANGLES), 513), np.asarray(sump.vertices_mm)
        surface, below = np.empty(shape), np.empty(shape)
        for i, nose_up in enumerate(Tilted.ANGLES):
            for j, right_down in enumerate(Tilted.ANGLES):
                attitude = fm.Attitude(nose_up_deg=nose_up, right_down_deg=right_down)
                over = float((corners @ attitude.up).min() - tip @ attitude.up)
                surface[i, j] = sump.level_mm(volume_l=volumes, attitude=attitude) + over
                levels = np.clip(heights - over, 0.0, sump.height_mm(attitude=attitude))
                below[i, j] = sump.volume_l(level_mm=levels, attitude=attitude)
        return Tilted(surface, volumes[0], volumes[-1]), Tilted(below, heights[0], heights[-1])

    def __call__(self, draws: int, rng: np.random.Generator, block: int) -> dict[str, Array]:
        """Make all draws, block by block."""
        parts = [self.block(min(block, draws - first), rng) for first in range(0, draws, block)]
        return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}

    def block(self, n: int, rng: np.random.Generator) -> dict[str, Array]:
        """Make some draws."""
        x = {path: rng.normal(mean, u, n) for path, (mean, u, _) in STATED.items()}
        nose_up, right_down = rng.normal(0.0, TILT, n), rng.normal(0.0, TILT, n)
        return self.served(x, rng.normal(*POURED, n), nose_up, right_down, rng.standard_normal(n))

    def served(
        self, x: dict[str, Array], poured: Array, nose_up: Array, right_down: Array, noise: Array
    ) -> dict[str, Array]:
        """Serve these inputs."""
        nu = viscosity(x["fluid.kv40"], x["fluid.kv100"]) / 100.0
        k, datum = x["geometry.volume_scale"], x["geometry.datum"]
        net = x["filter.net_volume"]
        film = x["stores.head.film"]
        pools = [
            (0.10, INERTIA + COOLER_TIME * nu),
            (x["stores.head.running"] - film, INERTIA + x["stores.head.pool_time"] * nu),
        ]
        film_time = FILM_TIME * nu
        kept = 0.15 + 0.08

        def left(wait: float) -> Array:
            return sum(pool * np.exp(-wait / t) for pool, t in pools) + film / np.sqrt(1.0 + wait / film_time)

        v_max = k * np.interp(self.tip + self.max * self.rise - datum, self.level, self.volume)
        v_min = k * np.interp(self.tip + self.min * self.rise - datum, self.level, self.volume)
        elsewhere = net + kept + left(REFERENCE_WAIT)
        # What the stores still hold after the drain, and so stays in.
        stays = x["plugs.main.heel"] + kept + left(REFERENCE_WAIT + DRAIN)
        total = stays + poured * x["instruments.jug.scale"]
        sump = total - net - kept - left(REST)
        corner, rise = Tilted.corner(nose_up, right_down), self.rise_at(nose_up, right_down)
        mm = (self.surface.at(corner, sump / k) + datum) / rise + noise
        from_max = self.below.at(corner, mm * rise - datum) - self.below.at(corner, self.max * rise - datum)
        drained = total - elsewhere
        return {
            "mm": mm,
            "fraction": (mm - self.min) / (self.max - self.min),
            "litres_from_max": k * from_max,
            "drained_back_l": drained,
            "over_max": drained > v_max,
            "under_min": drained < v_min,
        }

    def rise_at(self, nose_up: Array, right_down: Array) -> Array:
        """Rise of the blade along *up* for each millimetre of it."""
        p, r = np.radians(nose_up), np.radians(right_down)
        x, y, z = self.blade
        return x * np.sin(p) + np.cos(p) * (y * np.sin(r) + z * np.cos(r))


def viscosity(kv40: Array, kv100: Array) -> Array:
    """Take ASTM D341 at 20 degC in its form for more than 2 mm2/s."""
    w40, w100 = np.log10(np.log10(kv40 + 0.7)), np.log10(np.log10(kv100 + 0.7))
    t40, t100, t = (np.log10(c + 273.15) for c in (40.0, 100.0, 20.0))
    return 10.0**10.0 ** (w40 + (w100 - w40) * (t - t40) / (t100 - t40)) - 0.7


def checked(bus: fm.Circuit, model: Tabulated) -> None:
    """Refuse to time two models that are not one."""
    exact = {path: np.array([mean]) for path, (mean, _, _) in STATED.items()}
    ours = fm.simulate(bus, service())
    level = np.zeros(1)
    theirs = model.served(exact, np.array([POURED[0]]), level, level, level)
    assert abs(ours.reading("dip").mm - theirs["mm"][0]) < 0.02, (ours.reading("dip").mm, theirs["mm"][0])
    assert abs(ours.v_drained_l - theirs["drained_back_l"][0]) < 2e-3
    n = 200_000
    p, q = fm.predict(bus, service(), draws=n, seed=1), model(n, np.random.default_rng(1), n)
    u = p.reading("dip").mm.standard_uncertainty
    assert abs(p.reading("dip").mm.mean - q["mm"].mean()) < 8 * u / np.sqrt(n) + 0.02
    assert abs(u / q["mm"].std() - 1.0) < 0.02
    assert abs(p.probability_over_max - q["over_max"].mean()) < 0.01


def seconds(call: Callable[[], object]) -> float:
    """Time one call."""
    began = time.perf_counter()
    call()
    return time.perf_counter() - began


def child(draws: int, rounds: int) -> None:
    """Time predictions in this process and print them."""
    bus, events = circuit(), service()
    fm.predict(bus, events, draws=1000)
    took = [seconds(lambda: fm.predict(bus, events, draws=draws, seed=1)) for _ in range(rounds)]
    print(json.dumps({"took": took, "prepare": seconds(lambda: fm.predict(bus, events, draws=1))}))


def ours(threads: int, draws: int, rounds: int) -> dict[str, float]:
    """Return median seconds of a prediction on so many threads, and of one draw with its preparation."""
    done = subprocess.run(
        [sys.executable, __file__, "--child", "--draws", str(draws), "--rounds", str(rounds)],
        env=os.environ | {"RAYON_NUM_THREADS": str(threads)},
        capture_output=True,
        text=True,
        check=True,
    )
    found = json.loads(done.stdout)
    return {"took": statistics.median(found["took"]), "prepare": found["prepare"]}


def main() -> None:
    """Time both and print the ratios."""
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--draws", type=int, default=1_000_000)
    arguments.add_argument("--rounds", type=int, default=5)
    arguments.add_argument("--child", action="store_true")
    given = arguments.parse_args()
    if given.child:
        child(given.draws, given.rounds)
        return
    bus = circuit()
    prepared = seconds(lambda: Tabulated(bus))
    model = Tabulated(bus)
    checked(bus, model)
    peers: dict[int, list[float]] = {given.draws: [], 65_536: [], 16_384: [], 4_096: []}
    one, two = [], []
    for turn in range(given.rounds):  # alternating, so that a busy machine slows both alike
        for block, took in peers.items():
            rng = np.random.default_rng(turn)
            took.append(seconds(lambda block=block, rng=rng: model(given.draws, rng, block)))
        one.append(ours(1, given.draws, 1))
        two.append(ours(2, given.draws, 1))
    block, best = min(((b, statistics.median(t)) for b, t in peers.items()), key=lambda pair: pair[1])
    inputs = len(STATED) + 4
    print(f"{given.draws:,} draws of {inputs} uncertain inputs; NumPy {np.__version__} in blocks of {block:,}")
    print(f"  NumPy, tabulated      {best:8.3f} s            (tables {prepared * 1e3:.1f} ms)")
    for threads, runs in ((1, one), (2, two)):
        took = statistics.median(run["took"] for run in runs)
        ready = statistics.median(run["prepare"] for run in runs)
        print(f"  fillmark, threads: {threads}  {took:8.3f} s   {best / took:5.2f} x  (ready {ready * 1e3:.1f} ms)")


if __name__ == "__main__":
    main()
