"""Triangles of a sump, and what a plane cuts out of them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from fillmark._core import Attitude, Sump

__all__ = ["Floats", "View", "area_mm2", "below", "cut", "mesh_mm", "parts"]

Floats: TypeAlias = NDArray[np.float64]
Faces: TypeAlias = NDArray[np.intp]

_BOX = np.array([[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7], [0, 1, 5], [0, 5, 4],
                 [1, 2, 6], [1, 6, 5], [2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7]])  # fmt: skip


def mesh_mm(sump: Sump) -> tuple[Floats, Faces]:
    """Give corners (n, 3) in the body frame [mm] and triangles (m, 3), counter-clockwise seen from outside.

    A sump known by a table or by its marks has no drawing: it is shown as a straight-sided square box of its height and
    mean free surface, standing on z = 0 about the origin.
    """
    vertices, faces = sump.vertices_mm, sump.faces
    if vertices is not None and faces is not None:
        return vertices, faces.astype(np.intp)
    height = sump.height_mm()
    half = math.sqrt(sump.capacity_l * 1e6 / height) / 2.0
    floor = [[-half, -half], [half, -half], [half, half], [-half, half]]
    return np.array([[*corner, z] for z in (0.0, height) for corner in floor]), _BOX


@dataclass(frozen=True)
class View:
    """A vertical plane in the ground frame: `across` lies level in it, `up` is the vertical."""

    origin: Floats
    across: Floats
    up: Floats

    @staticmethod
    def along(direction: Floats, attitude: Attitude, origin: Floats) -> View:
        """Lay the plane through `origin` that holds the vertical and a direction of the body frame."""
        up = np.array(attitude.up)
        level = direction - (direction @ up) * up
        return View(origin, level / np.linalg.norm(level), up)

    def flat(self, points: Floats) -> Floats:
        """Turn points (n, 3) of the body frame into (n, 2): along `across`, along `up`, from its origin [mm]."""
        return np.stack([points @ self.across, points @ self.up], axis=-1)

    def off(self, points: Floats) -> Floats:
        """Measure how far points lie beyond the plane, with sign [mm]."""
        return np.asarray((points - self.origin) @ np.cross(self.across, self.up))


def cut(vertices: Floats, faces: Faces, view: View) -> list[Floats]:
    """Cut the triangles by the plane of `view`, into closed loops (n, 2) in its coordinates [mm].

    The liquid space is what an odd number of loops surround. A corner in the plane counts as beyond it, so every
    crossed triangle gives one segment between two of its edges, and the segments chain without gaps.
    """
    away = view.off(vertices)
    beyond = (away >= 0.0)[faces]
    crossed = faces[beyond.any(axis=1) & ~beyond.all(axis=1)]
    flat = view.flat(vertices)
    # Where bodies touch along an edge, more than one segment sets out from it.
    following: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for a, b, c in crossed.tolist():
        leaves, enters = _crossed_edges((a, b, c), away)
        following.setdefault(leaves, []).append(enters)
    loops = []
    while following:
        first = next(iter(following))
        loop, edge = [first], _take(following, first)
        while edge != first:
            loop.append(edge)
            edge = _take(following, edge)
        loops.append(np.array([_point(e, away, flat) for e in loop]))
    return loops


def _crossed_edges(corners: tuple[int, int, int], away: Floats) -> tuple[tuple[int, int], tuple[int, int]]:
    """Find the edge that leaves the near side and the one that comes back, each by its corners in rising order."""
    pairs = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    leaves = next(p for p in pairs if away[p[0]] < 0.0 <= away[p[1]])
    enters = next(p for p in pairs if away[p[1]] < 0.0 <= away[p[0]])
    return (min(leaves), max(leaves)), (min(enters), max(enters))


def _take(following: dict[tuple[int, int], list[tuple[int, int]]], edge: tuple[int, int]) -> tuple[int, int]:
    """Use up one segment that sets out from `edge`, and say where it ends."""
    ends = following[edge]
    end = ends.pop()
    if not ends:
        del following[edge]
    return end


def _point(edge: tuple[int, int], away: Floats, flat: Floats) -> Floats:
    a, b = edge
    share = away[a] / (away[a] - away[b])
    return np.asarray(flat[a] + share * (flat[b] - flat[a]))


def below(loops: list[Floats], height: float) -> list[Floats]:
    """Keep what of the loops lies at or below a height (Sutherland and Hodgman 1974, one edge).

    A loop that the line cuts into several parts stays one loop; the parts are joined along the line, which encloses
    nothing.
    """
    clipped = (_below(loop, height) for loop in loops)
    return [loop for loop in clipped if len(loop) >= 3]


def _below(loop: Floats, height: float) -> Floats:
    kept: list[Any] = []
    for p, q in zip(loop, np.roll(loop, -1, axis=0), strict=True):
        if p[1] <= height:
            kept.append(p)
        if (p[1] <= height) != (q[1] <= height):
            kept.append([p[0] + (height - p[1]) / (q[1] - p[1]) * (q[0] - p[0]), height])
    return np.array(kept, dtype=float).reshape(-1, 2)


def parts(loops: list[Floats], height: float) -> list[list[Floats]]:
    """Divide what lies at or below a height into connected parts, each an outer loop and the islands in it.

    Pieces of the loops below the line are joined along it: between its crossings with the loops, taken in order, the
    line runs alternately inside and outside.
    """
    whole, pieces = [], []
    for loop in loops:
        if bool((loop[:, 1] <= height).all()):
            whole.append(loop)
        else:
            pieces += _pieces(loop, height)
    closed = whole + _joined(pieces)
    outer = [loop for loop in closed if _signed_mm2(loop) * _sense(loops) > 0.0]
    islands = [loop for loop in closed if _signed_mm2(loop) * _sense(loops) < 0.0]
    return [[loop, *(i for i in islands if _inside(i[0], loop))] for loop in outer]


def _sense(loops: list[Floats]) -> float:
    """Give the sign of the area of outer loops: that of the largest."""
    return float(np.sign(max((_signed_mm2(loop) for loop in loops), key=abs)))


def _pieces(loop: Floats, height: float) -> list[Floats]:
    """Cut a loop, part of which is above the height, into the runs below it, each from crossing to crossing."""
    above = loop[:, 1] > height
    loop = np.roll(loop, -int(above.argmax()), axis=0)  # begin above
    found: list[Floats] = []
    run: list[Any] = []
    for p, q in zip(loop, np.roll(loop, -1, axis=0), strict=True):
        if (p[1] > height) != (q[1] > height):
            run.append([p[0] + (height - p[1]) / (q[1] - p[1]) * (q[0] - p[0]), height])
        if q[1] <= height:
            run.append(q)
        elif run:
            found.append(np.array(run))
            run = []
    return found


def _joined(pieces: list[Floats]) -> list[Floats]:
    """Close the runs along the line: the crossing that ends one is joined to its neighbour on the inner side."""
    ends = sorted((float(p[e, 0]), i, e) for i, p in enumerate(pieces) for e in (0, -1))
    partner = {}
    for (_, i, e), (_, j, f) in zip(ends[::2], ends[1::2], strict=True):
        partner[i, e], partner[j, f] = (j, f), (i, e)
    closed, left = [], set(range(len(pieces)))
    while left:
        first = next(iter(left))
        loop, at = [pieces[first]], first
        left.discard(first)
        while (at := partner[at, -1][0]) in left:
            loop.append(pieces[at])
            left.discard(at)
        closed.append(np.vstack(loop))
    return closed


def _inside(point: Floats, loop: Floats) -> bool:
    """Whether a ray from the point crosses the loop an odd number of times."""
    (x, y), (xs, ys) = point, loop.T
    xs2, ys2 = np.roll(xs, -1), np.roll(ys, -1)
    over = (ys <= y) != (ys2 <= y)
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = xs + (y - ys) / (ys2 - ys) * (xs2 - xs)
    return bool(np.count_nonzero(over & (cross > x)) % 2)


def _signed_mm2(loop: Floats) -> float:
    x, y = loop.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0


def area_mm2(loops: list[Floats]) -> float:
    """Measure the area inside loops that run as `cut` gives them: a loop inside another counts negative [mm2]."""
    return abs(sum(_signed_mm2(loop) for loop in loops))
