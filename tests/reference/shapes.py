"""Sump shapes as vertices and outward triangles, built from polygons by extrusion."""

from __future__ import annotations

from collections.abc import Sequence

Point = tuple[float, float]
Vertices = list[list[float]]
Faces = list[list[int]]


def box(length: float, width: float, height: float) -> tuple[Vertices, Faces]:
    """x in [-length/2, length/2], y in [-width/2, width/2], z in [0, height]."""
    x, y = length / 2, width / 2
    return prism([(-x, -y), (x, -y), (x, y), (-x, y)], "z", 0.0, height)


def prism(outline: Sequence[Point], axis: str, low: float, high: float) -> tuple[Vertices, Faces]:
    """An outline swept along an axis: (x, y) along "z", or (x, z) along "y".

    The outline is simple and runs anticlockwise as plotted with its first coordinate to the right.
    """
    n = len(outline)
    caps = _ears(outline)
    sides = [(i, (i + 1) % n) for i in range(n)]
    faces = [[c, b, a] for a, b, c in caps] + [[a + n, b + n, c + n] for a, b, c in caps]
    for i, j in sides:
        faces += [[i, j, j + n], [i, j + n, i + n]]
    if axis == "z":
        return [[x, y, z] for z in (low, high) for x, y in outline], faces
    # (x, z) seen from the front is left-handed towards +y, so the faces turn round.
    return [[x, y, z] for y in (low, high) for x, z in outline], [f[::-1] for f in faces]


def frustum(bottom: Point, top: Point, height: float) -> tuple[Vertices, Faces]:
    """A box whose length and width differ at bottom and top (an obelisk)."""
    vertices, faces = box(1.0, 1.0, height)
    for vertex in vertices:
        length, width = bottom if vertex[2] == 0.0 else top
        vertex[0] *= length
        vertex[1] *= width
    return vertices, faces


def stepped(well: Point, shelf_end: float, floor: float, top: float, width: float) -> tuple[Vertices, Faces]:
    """A well x in `well` with its floor at z = `floor`, then a shelf at z = 0 to x = `shelf_end`."""
    a, b = well
    outline = [(a, floor), (b, floor), (b, 0.0), (shelf_end, 0.0), (shelf_end, top), (a, top)]
    return prism(outline, "y", -width / 2, width / 2)


def _ears(outline: Sequence[Point]) -> list[tuple[int, int, int]]:
    """Triangles of a simple anticlockwise polygon on its own corners (ear clipping)."""
    left = list(range(len(outline)))
    ears = []
    while len(left) > 3:
        for k in range(len(left)):
            a, b, c = left[k - 1], left[k], left[(k + 1) % len(left)]
            others = [outline[i] for i in left if i not in (a, b, c)]
            if _turn(outline[a], outline[b], outline[c]) > 0 and not any(
                _inside(p, outline[a], outline[b], outline[c]) for p in others
            ):
                ears.append((a, b, c))
                left.remove(b)
                break
        else:
            raise ValueError("the outline is not a simple anticlockwise polygon")
    return [*ears, (left[0], left[1], left[2])]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _inside(p: Point, a: Point, b: Point, c: Point) -> bool:
    return _turn(a, b, p) >= 0 and _turn(b, c, p) >= 0 and _turn(c, a, p) >= 0
