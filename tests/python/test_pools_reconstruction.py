"""Basins of random pans against scikit-image's morphological reconstruction.

Reconstruction by erosion (Vincent 1993, IEEE Trans. Image Process. 2:176) gives for every grid point the lowest
possible highest point of a path to the marked one. On the triangulation's own neighbours (the cells are cut along one
diagonal, so a point has six) that is the level at which the two are joined: the sill between them. It knows nothing of
meshes, planes or merge trees.
"""

from collections.abc import Sequence

import fillmark as fm
import numpy as np
import pytest
from numpy.typing import NDArray
from pans import height_field
from skimage.morphology import reconstruction

SIX = np.array([[1, 1, 0], [1, 1, 1], [0, 1, 1]])
CELL = 10.0


def joined(height: NDArray[np.float64], low: tuple[int, int]) -> NDArray[np.float64]:
    """Lowest possible highest point of a path from every grid point to `low`."""
    seed = np.full_like(height, height.max())
    seed[low] = height[low]
    return reconstruction(seed, height, method="erosion", footprint=SIX)


def key(point_mm: Sequence[float]) -> tuple[float, ...]:
    """A corner by its coordinates to 1e-6 mm."""
    return tuple(round(float(c), 6) for c in point_mm)


def chain(basins: fm.Basins, number: int) -> list[int]:
    """The basin and all it becomes part of."""
    out = [number]
    while (parent := basins[out[-1]].parent) is not None:
        out.append(parent)
    return out


@pytest.mark.parametrize("seed", range(12))
def test_every_sill_between_any_two_basins(seed):
    rng = np.random.default_rng(seed)
    nx, ny = rng.integers(6, 14, size=2)
    floor = rng.uniform(0.0, 12.0, size=(nx, ny))
    if seed % 3 == 0:  # flats and ties
        floor = np.floor(floor * 2.0) / 2.0
    here = fm.Attitude(nose_up_deg=rng.uniform(-12, 12), right_down_deg=rng.uniform(-12, 12)) if seed else fm.Attitude()
    pan = height_field(floor, CELL, 120.0)
    points = pan.vertices_mm[: nx * ny].reshape(nx, ny, 3)
    height = points @ here.up
    grid = {key(p): (int(i), int(j)) for (i, j), p in zip(np.ndindex(nx, ny), points.reshape(-1, 3), strict=True)}
    basins = pan.basins(attitude=here)
    leaves = [b for b in basins.rows if not b.children]
    # A flat counts once in the mesh; on the grid any of its points will do.
    lows = [grid[key(b.lowest_point_mm)] for b in leaves]
    compared = 0
    for a, low in zip(leaves, lows, strict=True):
        level = joined(height, low)
        for b, other in zip(leaves, lows, strict=True):
            if a.number == b.number:
                continue
            common = set(chain(basins, b.number))
            last = [n for n in chain(basins, a.number) if n not in common][-1]
            # Exactly: the sill's height is that of the very grid point that reconstruction found.
            assert height[grid[key(basins[last].sill_point_mm)]] == level[other]
            # From the file's millimetres to metres and back the level itself is good to rounding.
            assert basins[last].sill_mm + height.min() == pytest.approx(level[other], abs=1e-10)
            compared += 1
    assert compared == len(leaves) * (len(leaves) - 1)
    # Points that hold liquid when all else is empty: as many pools as basins with a lowest point of their own.
    minima = local_minima(height)
    assert len(leaves) == minima


def local_minima(height: NDArray[np.float64]) -> int:
    """How many flats or points have only higher neighbours, by search over equal heights."""
    nx, ny = height.shape
    seen: set[tuple[int, int]] = set()
    count = 0
    for start in np.ndindex(nx, ny):
        if start in seen:
            continue
        flat, queue, lowest = {start}, [start], True
        while queue:
            i, j = queue.pop()
            for di, dj in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1)):
                near = (i + di, j + dj)
                if not (0 <= near[0] < nx and 0 <= near[1] < ny) or near in flat:
                    continue
                if height[near] == height[start]:
                    flat.add(near)
                    queue.append(near)
                elif height[near] < height[start]:
                    lowest = False
        seen |= flat
        count += lowest
    return count


@pytest.mark.parametrize("seed", range(4))
def test_volumes_converge_at_first_order(seed):
    # One smooth floor, sampled on finer and finer grids. Reconstruction's volume is a sum of cells, the core's that of
    # the triangulation: half a cell too many along the walls, so the difference goes down with the size of a cell.
    rng = np.random.default_rng(seed)
    waves = [(*rng.uniform(1.0, 4.0, size=2), *rng.uniform(0.0, 2.0 * np.pi, size=2)) for _ in range(5)]
    here = fm.Attitude(nose_up_deg=rng.uniform(-4, 4), right_down_deg=rng.uniform(-4, 4))
    side, cells = 200.0, [20, 40, 80, 160]
    misses = []
    for n in cells:
        x, y = np.meshgrid(np.linspace(0.0, side, n + 1), np.linspace(0.0, side, n + 1), indexing="ij")
        turn = 2.0 * np.pi / side
        floor = sum(4.0 * np.sin(k * turn * x + a) * np.sin(m * turn * y + b) for k, m, a, b in waves)
        pan = height_field(floor, side / n, 120.0)
        points = np.stack([x, y, floor], axis=-1)
        height = points @ here.up
        low = np.unravel_index(height.argmin(), height.shape)
        # Everything drains that can by the lowest point. Depth along z times the area of a cell seen along z.
        depth = (joined(height, low) - height) / here.up[2]
        cellwise_l = depth.sum() * (side / n) ** 2 * 1e-6
        heel_l = pan.heel_l(fm.Plug(at_mm=tuple(points[low]), bore_mm=1.0), attitude=here)
        misses.append(cellwise_l - heel_l)
    assert min(misses) > 0.0
    orders = np.log2(np.array(misses[:-1]) / misses[1:])
    assert orders[-1] == pytest.approx(1.0, abs=0.3)
    assert orders.min() > 1.0
