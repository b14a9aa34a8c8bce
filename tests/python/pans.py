"""Sumps shared by tests: pans with uneven floors, and a box with a rib."""

import fillmark as fm
import numpy as np
from numpy.typing import NDArray


def height_field(floor_mm: NDArray[np.float64], cell_mm: float, top_mm: float) -> fm.Sump:
    """A pan over a grid: floor heights by (x, y), every cell cut along the diagonal from (i, j) to (i + 1, j + 1)."""
    nx, ny = floor_mm.shape
    x, y = np.meshgrid(np.arange(nx) * cell_mm, np.arange(ny) * cell_mm, indexing="ij")
    low = np.column_stack([x.ravel(), y.ravel(), floor_mm.ravel()])
    high = np.column_stack([x.ravel(), y.ravel(), np.full(nx * ny, top_mm)])
    number = np.arange(nx * ny).reshape(nx, ny)
    a, b, c, d = number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]
    floor = np.concatenate([np.stack(t, axis=-1).reshape(-1, 3) for t in ((a, c, b), (a, d, c))])
    roof = floor[:, ::-1] + nx * ny
    # Round the edge, counter-clockwise seen from above.
    rim = np.concatenate([number[:-1, 0], number[-1, :-1], number[:0:-1, -1], number[0, :0:-1]])
    step = np.roll(rim, -1)
    walls = np.concatenate(
        [np.column_stack([rim, step, step + nx * ny]), np.column_stack([rim, step + nx * ny, rim + nx * ny])]
    )
    return fm.Sump.from_mesh(vertices_mm=np.concatenate([low, high]), faces=np.concatenate([floor, roof, walls]))


def ribbed(thickness_mm: float = 4.0, height_mm: float = 10.0) -> fm.Sump:
    """A box 300 x 200 x 100 mm with a rib across the middle of its floor, already subtracted; x and y from 0."""
    a, b, h = 150.0 - thickness_mm / 2, 150.0 + thickness_mm / 2, height_mm
    outline = [(0.0, 0.0), (a, 0.0), (a, h), (b, h), (b, 0.0), (300.0, 0.0), (300.0, 100.0), (0.0, 100.0)]
    side = [(0, 1, 2), (0, 2, 7), (7, 2, 3), (7, 3, 6), (3, 5, 6), (3, 4, 5)]
    corners = [(x, y, z) for y in (0.0, 200.0) for x, z in outline]
    faces = [t for i, j, k in side for t in ((i, j, k), (i + 8, k + 8, j + 8))]
    for i in range(8):
        j = (i + 1) % 8
        faces += [(i, j + 8, j), (i, i + 8, j + 8)]
    return fm.Sump.from_mesh(vertices_mm=corners, faces=faces)
