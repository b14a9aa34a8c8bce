"""Time fillmark's geometry beside general tools on the same solids, in one run, and print the ratios of medians.

    python benches/peers/peers.py [--quick]

Every operation is timed on objects that are ready: the mesh has been read, checked and handed over before the clock
starts. The named operations are

* fillmark, first volume: ``Sump.direct_volume_l(level_mm=..., attitude=...)`` at an attitude never asked before;
* fillmark, preparation: ``Sump.height_mm(attitude=...)`` at a new attitude, which prepares its whole curve;
* manifold3d: ``Manifold.trim_by_plane(...).volume()``;
* trimesh: ``Trimesh.slice_plane(..., cap=True).volume``;
* NumPy: ``np.interp`` on the curve's own knots, and a gather-sum over the heights and faces that a volume must read
  (the compiled gather-sum is in ``benches/geometry.rs``).

Rounds of all operations alternate, so that a busy machine slows them alike, and medians are of single calls.
"""

from __future__ import annotations

import argparse
import platform
import statistics
import sys
import time
from collections.abc import Callable
from importlib.metadata import version

import fillmark as fm
import manifold3d
import numpy as np
import trimesh
from fillmark import _core

Timed = dict[str, list[float]]


def rounds(operations: dict[str, tuple[Callable[[], object], int]], count: int) -> dict[str, float]:
    """Return the median seconds of each operation; it is called so many times in each of `count` rounds."""
    taken: Timed = {name: [] for name in operations}
    for _ in range(count):
        for name, (call, times) in operations.items():
            # Long calls are timed one by one, so that an interruption spoils one of them; short ones in tens.
            batch = 1 if times <= 100 else 10
            for _ in range(times // batch):
                began = time.perf_counter()
                for _ in range(batch):
                    call()
                taken[name].append((time.perf_counter() - began) / batch)
    return {name: statistics.median(list_) for name, list_ in taken.items()}


class NewAttitudes:
    """Attitudes that were never asked before, all near 3 degrees nose up and 2 right down."""

    def __init__(self) -> None:
        self.count = 0

    def __call__(self) -> fm.Attitude:
        """Return the next one."""
        self.count += 1
        return fm.Attitude(nose_up_deg=3.0 + 1e-9 * self.count, right_down_deg=2.0)


def body(subdivisions: int) -> tuple[np.ndarray, np.ndarray]:
    """Return a lumpy closed sphere: 20 * 4**subdivisions faces, no two vertices at one height [mm]."""
    sphere = trimesh.creation.icosphere(subdivisions=subdivisions, radius=150.0)
    lumps = 1.0 + 0.1 * np.sin(sphere.vertices[:, :1] / 20.0) * np.cos(sphere.vertices[:, 1:2] / 30.0)
    return np.asarray(sphere.vertices) * lumps, np.asarray(sphere.faces)


def gather_sum(vertices: np.ndarray, faces: np.ndarray) -> Callable[[], float]:
    """Return the least that any sum over faces does: gather three heights each, weigh and add them."""
    heights = np.ascontiguousarray(vertices[:, 2])
    weights = np.ones(len(faces))
    corners = [np.ascontiguousarray(faces[:, k]) for k in range(3)]
    return lambda: float((heights[corners[0]] + heights[corners[1]] + heights[corners[2]]) @ weights)


def first_volumes(subdivisions: int, count: int) -> None:
    """Compare the first volume at a new attitude."""
    vertices, faces = body(subdivisions)
    sump = fm.Sump.from_mesh(vertices_mm=vertices, faces=faces)
    solid = manifold3d.Manifold(manifold3d.Mesh64(vert_properties=vertices, tri_verts=faces.astype(np.uint64)))
    solid.volume()
    cutter = trimesh.Trimesh(vertices, faces, process=False)
    assert cutter.is_watertight
    new = NewAttitudes()
    up = np.array(new().up)
    offset = float((vertices @ up).min()) + 120.0

    def ours() -> float:
        return sump.direct_volume_l(level_mm=120.0, attitude=new())

    def trimmed() -> float:
        return float(solid.trim_by_plane(tuple(-up), -offset).volume())

    def sliced() -> float:
        return float(cutter.slice_plane(offset * up, -up, cap=True).volume)

    assert abs(ours() - trimmed() / 1e6) < 1e-6 * sump.capacity_l
    assert abs(ours() - sliced() / 1e6) < 1e-6 * sump.capacity_l
    least = gather_sum(vertices, faces)
    small = max(1, 20_000 // len(faces))
    took = rounds(
        {"ours": (ours, 5 * small), "gather": (least, 5 * small), "manifold3d": (trimmed, 1), "trimesh": (sliced, 1)},
        count,
    )
    ours_s = took["ours"]
    print(
        f"first volume, {len(faces):,} faces: {1e3 * ours_s:.4f} ms; NumPy's gather-sum {1e3 * took['gather']:.4f} ms"
    )
    print(f"    over the gather-sum      {ours_s / took['gather']:8.2f} x")
    for peer in ("manifold3d", "trimesh"):
        print(f"    {peer:<10} over ours     {took[peer] / ours_s:8.0f} x   ({1e3 * took[peer]:.2f} ms)")


def preparations(largest: int, count: int) -> None:
    """Show how preparation grows with the number of faces, and compare drawn sumps."""
    new = NewAttitudes()
    print("preparation at a new attitude:")
    for subdivisions in range(3, largest + 1):
        vertices, faces = body(subdivisions)
        sump = fm.Sump.from_mesh(vertices_mm=vertices, faces=faces)
        took = rounds({"ours": (lambda sump=sump: sump.height_mm(attitude=new()), 1)}, count)["ours"]
        n = len(faces)
        print(f"    {n:>9,} faces {1e3 * took:9.3f} ms   {1e9 * took / (n * np.log2(n)):6.2f} ns / (n log2 n)")
    bus = fm.Circuit.demo("shuttle-bus").sump
    took = rounds({"ours": (lambda: bus.height_mm(attitude=new()), 1)}, 3 * count)["ours"]
    print(f"    {bus.face_count:>9,} faces {1e3 * took:9.3f} ms   (the drawn demo sump)")


def arrays(count: int) -> None:
    """Compare a million levels with linear interpolation on the same knots, and a single call with an empty one."""
    bus = fm.Circuit.demo("shuttle-bus").sump
    here = fm.Attitude(nose_up_deg=1.5, right_down_deg=0.5)
    up = np.array(here.up)
    heights = np.unique(bus.vertices_mm @ up)
    knots = heights - heights[0]
    height = bus.height_mm(attitude=here)
    values = bus.volume_l(level_mm=np.minimum(knots, height), attitude=here)
    rng = np.random.default_rng(1)
    shuffled = rng.uniform(0.0, height, 1_000_000)
    print(f"a million levels, {len(knots):,} knots:")
    for name, levels in (("in random order", shuffled), ("sorted", np.sort(shuffled))):
        took = rounds(
            {
                "ours": (lambda levels=levels: bus.volume_l(level_mm=levels, attitude=here), 1),
                "interp": (lambda levels=levels: np.interp(levels, knots, values), 1),
            },
            count,
        )
        ratio = took["ours"] / took["interp"]
        print(f"    {name:<16} {1e3 * took['ours']:7.1f} ms, np.interp {1e3 * took['interp']:7.1f} ms: {ratio:.2f} x")
    took = rounds(
        {
            "volume_l": (lambda: bus.volume_l(level_mm=60.0, attitude=here), 20_000),
            "level_mm": (lambda: bus.level_mm(volume_l=6.0, attitude=here), 20_000),
            "floor": (lambda: _core._nothing(level_mm=60.0, attitude=here), 20_000),
        },
        count,
    )
    floor = took["floor"]
    print(f"single call: PyO3's floor (an empty function with the same keywords) {1e6 * floor:.3f} us")
    for name in ("volume_l", "level_mm"):
        print(f"    {name:<10} {1e6 * took[name]:.3f} us, {1e6 * (took[name] - floor):.3f} us over the floor")


def responses(count: int) -> None:
    """Compare the fast response with exact answers at the same points."""
    for name, tip, volumes in (
        ("shuttle-bus", (60.0, 40.0, -80.0), (5.2, 8.2)),
        ("deck-generator", (-100.0, 50.0, 10.0), (2.0, 4.0)),
    ):
        sump = fm.Circuit.demo(name).sump
        tilt = {"nose_up_deg": (-4.0, 4.0), "right_down_deg": (-4.0, 4.0)}
        began = time.perf_counter()
        response = fm.Response(sump, at_mm=tip, volume_l=volumes, **tilt)
        built = time.perf_counter() - began
        rng = np.random.default_rng(2)

        def ask(
            n: int, rng: np.random.Generator = rng, volumes: tuple[float, float] = volumes
        ) -> dict[str, np.ndarray]:
            return {
                "volume_l": rng.uniform(*volumes, n),
                "nose_up_deg": rng.uniform(-4.0, 4.0, n),
                "right_down_deg": rng.uniform(-4.0, 4.0, n),
            }

        # Enough points that the fixed cost of a call does not count.
        many, few = ask(200_000), ask(20 if sump.face_count > 1000 else 2000)
        took = rounds(
            {
                "fast": (lambda response=response, many=many: response.height_mm(**many), 1),
                "exact": (lambda response=response, few=few: response.exact_mm(**few), 1),
            },
            count,
        )
        fast, exact = took["fast"] / 200_000, took["exact"] / len(few["volume_l"])
        print(
            f"response, {name}: built in {built:.2f} s ({response.curves} curves, {response.patches} polynomials, "
            f"worst {response.worst_error_mm:.4f} mm, exact share {response.exact_share:.4f});\n"
            f"    {1e9 * fast:.0f} ns each, exact {1e6 * exact:.1f} us: {exact / fast:,.0f} x"
        )


def main() -> None:
    """Run everything."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--quick", action="store_true", help="fewer rounds, no mesh above 100,000 faces")
    quick = parser.parse_args().quick
    count = 3 if quick else 9
    print(f"{platform.platform()}, CPython {platform.python_version()}, NumPy {np.__version__}")
    print(f"manifold3d {version('manifold3d')}, trimesh {version('trimesh')}")
    first_volumes(3, count)
    first_volumes(5 if quick else 7, max(3, count // 2))
    preparations(6 if quick else 8, max(3, count // 2))
    arrays(count)
    responses(max(3, count // 2))


if __name__ == "__main__":
    sys.exit(main())
