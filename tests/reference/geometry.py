"""Exact volume of liquid below a plane, for any closed triangle mesh at any attitude.

Frame: x forward, y left, z up; metres. *Level* is the height of the free surface above the
lowest point of the sump, along *up*.

Method. The liquid is cut into cones with one common tip that lies **in the free surface**: one
cone over the wetted part of every face. The surface itself then needs no closing cap, because its
own cone is flat. The signed cone over a whole face is a sixth of a determinant; the wetted part of
a triangle is a triangle (one corner under), a triangle less a triangle (two corners under), or all
of it, so its share of the face is a product of two edge ratios. This is the divergence theorem
(volume = 1/3 of the surface integral of x.n) with the origin put in the cutting plane.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

# Parts into which the inverse cuts its bracket at each round.
SECTIONS = 64
# A cubic through its values at these places: its coefficients are this matrix times the values.
THIRDS = np.linspace(0.0, 1.0, 4)
CUBIC = np.linalg.inv(np.vander(THIRDS, increasing=True))


def up_vector(nose_up_deg: float = 0.0, right_down_deg: float = 0.0) -> Array:
    """Direction of *up* in the body frame, pitch first and then roll [-]."""
    p, r = math.radians(nose_up_deg), math.radians(right_down_deg)
    return np.array([math.sin(p), math.cos(p) * math.sin(r), math.cos(p) * math.cos(r)])


class Mesh:
    """A closed, outward-oriented triangle mesh of the liquid space [m]."""

    def __init__(self, vertices: ArrayLike, faces: ArrayLike) -> None:
        self.vertices: Array = np.asarray(vertices, dtype=float).reshape(-1, 3)
        self.faces: NDArray[np.intp] = np.asarray(faces, dtype=np.intp).reshape(-1, 3)
        _refuse_open(self.faces)
        middle = self.vertices.mean(axis=0)
        a, b, c = (self.vertices[self.faces[:, i]] - middle for i in range(3))
        self.capacity: float = math.fsum(np.einsum("ij,ij->i", a, np.cross(b, c))) / 6.0
        if not self.capacity > 0.0:
            raise ValueError(f"mesh encloses {self.capacity} m3: its faces must look outwards")
        self._standing: dict[bytes, Standing] = {}

    def surrounds(self, point: ArrayLike) -> bool:
        """Whether a point is inside: the surface then fills the whole sphere of directions from it.

        Solid angle of a triangle: A. van Oosterom and J. Strackee, "The solid angle of a plane triangle", IEEE
        Transactions on Biomedical Engineering BME-30 (1983) 125 (formula from memory; tested on a box).
        """
        a, b, c = np.moveaxis(self.vertices[self.faces] - np.asarray(point, dtype=float), 1, 0)
        la, lb, lc = (np.linalg.norm(side, axis=1) for side in (a, b, c))
        triple = np.einsum("ij,ij->i", a, np.cross(b, c))
        dots = np.einsum("ij,ij->i", a, b) * lc + np.einsum("ij,ij->i", b, c) * la + np.einsum("ij,ij->i", c, a) * lb
        return bool(2.0 * np.sum(np.arctan2(triple, la * lb * lc + dots)) > 2.0 * np.pi)

    def basins(self, up: ArrayLike) -> int:
        """How many corners, or level groups of corners joined by edges, have no lower neighbour in an attitude.

        Of a mesh without hanging tips that is the number of its basins.
        """
        heights = self.vertices @ np.asarray(up, dtype=float)
        left: dict[int, set[int]] = {}
        for i, j in self.faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2).tolist():
            left.setdefault(i, set()).add(j)
        level, count = 1e-9, 0
        while left:
            group, border = set[int](), {next(iter(left))}
            lower = False
            while border:
                i = border.pop()
                group.add(i)
                for j in left.get(i, ()):
                    lower |= bool(heights[j] < heights[i] - level)
                    if abs(heights[j] - heights[i]) <= level and j not in group:
                        border.add(j)
            count += not lower
            left = {i: near for i, near in left.items() if i not in group}
        return count

    def stand(self, up: ArrayLike) -> Standing:
        """The mesh in the attitude whose *up* is given."""
        direction = np.asarray(up, dtype=float)
        key = direction.tobytes()
        if key not in self._standing:
            self._standing[key] = Standing(self, direction)
        return self._standing[key]


class Standing:
    """A mesh in one attitude: volume below a level, and back."""

    def __init__(self, mesh: Mesh, up: Array) -> None:
        heights = mesh.vertices @ up
        self.lowest: float = float(heights.min())  # along up, body-frame origin [m]
        self.span: float = float(heights.max()) - self.lowest
        self.capacity: float = mesh.capacity
        corners = mesh.vertices[mesh.faces]
        normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        self._facing: Array = normals @ up
        offset = corners[:, 0] - mesh.vertices.mean(axis=0)
        sideways = offset - np.outer(offset @ up, up)
        self._sideways: Array = np.einsum("ij,ij->i", normals, sideways)
        face_heights = heights[mesh.faces] - self.lowest
        self._first: Array = face_heights[:, 0]
        self._sorted: Array = np.sort(face_heights, axis=1)
        self._knots: Array = np.unique(heights - self.lowest)
        self._held: Array = self.volumes(self._knots)
        self._levels: dict[float, float] = {}

    def volumes(self, levels: ArrayLike) -> Array:
        """Volume below each level [m3]; nothing below 0, everything above the top."""
        h = np.asarray(levels, dtype=float).reshape(-1, 1)
        cones = (self._first - h) * self._facing + self._sideways
        total = np.sum(cones * _wetted(self._sorted, h), axis=1) / 6.0
        total = np.minimum(np.maximum(total, 0.0), self.capacity)
        h = h[:, 0]
        return np.where(h <= 0.0, 0.0, np.where(h >= self.span, self.capacity, total))

    def volume(self, level: float) -> float:
        """Volume below one level [m3]."""
        return float(self.volumes([level])[0])

    def level(self, volume: float) -> float:
        """Level at which the mesh holds a volume [m], by bracketing; held between empty and full."""
        if volume <= 0.0:
            return 0.0
        if volume >= self.capacity:
            return self.span
        if volume not in self._levels:
            self._levels[volume] = self._section(volume, *self._guess(volume))
        return self._levels[volume]

    def _guess(self, volume: float) -> tuple[float, float]:
        """A narrow bracket of the level: between the heights of two corners the volume is a cubic."""
        first = int(np.searchsorted(self._held, volume, side="right")) - 1
        low, high = float(self._knots[first]), float(self._knots[min(first + 1, len(self._knots) - 1)])
        a, b, c, d = (CUBIC @ (self.volumes(low + (high - low) * THIRDS) - volume)).tolist()
        below, above = 0.0, 1.0
        for _ in range(48):
            middle = 0.5 * (below + above)
            under = a + middle * (b + middle * (c + middle * d)) < 0.0
            below, above = (middle, above) if under else (below, middle)
        root, reach = low + above * (high - low), 1e-7 * (high - low)
        near = max(low, root - reach), min(high, root + reach)
        ends = self.volumes(near)
        return near if ends[0] < volume <= ends[1] else (low, high)

    def _section(self, volume: float, low: float, high: float) -> float:
        while high - low > 1e-14 * high:
            levels = np.linspace(low, high, SECTIONS + 1)
            inside = self.volumes(levels[1:-1]) < volume
            first = int(np.argmin(inside)) if not inside.all() else SECTIONS - 1
            if not (low < levels[first] or levels[first + 1] < high):
                break
            low, high = float(levels[first]), float(levels[first + 1])
        return 0.5 * (low + high)


def _wetted(z: Array, h: Array) -> Array:
    """Share of each face (heights sorted upwards, shape faces x 3) that lies below each h."""
    z0, z1, z2 = z[:, 0], z[:, 1], z[:, 2]

    def ratio(part: Array, whole: Array) -> Array:
        return np.minimum(np.maximum(part / np.where(whole > 0.0, whole, 1.0), 0.0), 1.0)

    one_corner = ratio(h - z0, z1 - z0) * ratio(h - z0, z2 - z0)
    two_corners = 1.0 - ratio(z2 - h, z2 - z1) * ratio(z2 - h, z2 - z0)
    share = np.where(h <= z1, one_corner, two_corners)
    return np.where(h <= z0, 0.0, np.where(h >= z2, 1.0, share))


def _refuse_open(faces: NDArray[np.intp]) -> None:
    edges: Counter[tuple[int, int]] = Counter()
    for i, j, k in faces.tolist():
        edges.update([(i, j), (j, k), (k, i)])
    for (i, j), n in edges.items():
        if n != edges.get((j, i), 0):
            raise ValueError(f"mesh is not closed at the edge between vertices {i} and {j}")


class StrappingTable:
    """Measured pairs of level [m] and volume [m3], straight between pairs; level ground only."""

    def __init__(self, levels: ArrayLike, volumes: ArrayLike) -> None:
        self._levels: Array = np.asarray(levels, dtype=float)
        self._volumes: Array = np.asarray(volumes, dtype=float)
        if self._levels.shape != self._volumes.shape or self._levels.size < 2:
            raise ValueError("a strapping table takes two equally long rows of at least two values")
        if (np.diff(self._levels) <= 0).any() or (np.diff(self._volumes) <= 0).any():
            raise ValueError("levels and volumes of a strapping table must rise")
        if self._levels[0] != 0.0 or self._volumes[0] != 0.0:
            raise ValueError("a strapping table starts at level 0, volume 0")
        self.lowest: float = 0.0
        self.span: float = float(self._levels[-1])
        self.capacity: float = float(self._volumes[-1])

    def stand(self, up: ArrayLike) -> StrappingTable:
        """Itself on level ground; anything else is refused, as a table has no plan form."""
        if not np.allclose(np.asarray(up, dtype=float), [0.0, 0.0, 1.0], rtol=0.0, atol=1e-12):
            raise ValueError("a strapping table holds on level ground only")
        return self

    def surrounds(self, point: ArrayLike) -> bool:
        """Whether a point stands between the first and the last level; there is no plan form to ask."""
        return 0.0 <= float(np.asarray(point, dtype=float)[2]) <= self.span

    def volume(self, level: float) -> float:
        """Volume below a level [m3]."""
        return float(np.interp(level, self._levels, self._volumes))

    def level(self, volume: float) -> float:
        """Level at which the table holds a volume [m]."""
        return float(np.interp(volume, self._volumes, self._levels))


def box_volume_below(size: Sequence[float], up: ArrayLike, level: float) -> float:
    """Volume of a box (length, width, height) below a level, in closed form [m3].

    Inclusion and exclusion over the corners: the part of a box with edges a_i under a plane whose
    normal has components n_i > 0 is the sum over the corners S of
    (-1)^|S| max(0, level - sum_S n_i a_i)^d / (d! prod n_i), d the number of edges that are not
    level; level edges multiply. Shares nothing with `Standing`. Ill-conditioned for tilts that are
    small but not zero: about 1e-16 over the product of the n_i.
    """
    slopes = np.abs(np.asarray(up, dtype=float))
    edges = [(n, a) for n, a in zip(slopes, size, strict=True) if n > 0.0]
    volume = math.prod(a for n, a in zip(slopes, size, strict=True) if n == 0.0)
    terms = [max(0.0, level) ** len(edges)]
    for corner in range(1, 2 ** len(edges)):
        taken = [n * a for bit, (n, a) in enumerate(edges) if corner >> bit & 1]
        terms.append((-1) ** len(taken) * max(0.0, level - math.fsum(taken)) ** len(edges))
    below = math.fsum(terms) / (math.factorial(len(edges)) * math.prod(n for n, _ in edges))
    return float(volume * below)
