"""A section through a circuit as a small SVG, for notebooks: without matplotlib, in grey, with a hatched liquid."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import TypeAlias
from zlib import crc32

import numpy as np

from fillmark._core import Circuit
from fillmark._errors import GeometryError
from fillmark.plot._cut import Floats
from fillmark.plot._drawing import Drawing
from fillmark.plot._parts import entry

__all__ = ["section"]

Place: TypeAlias = Callable[[Floats], tuple[float, float]]

_WIDTH = 420.0  # px, drawing and labels
_LABELS = 60.0
_MARGIN = 12.0
_LINE = "#202020"


def section(circuit: Circuit) -> str:
    """Draw the sump at MAX in its reference attitude; empty text where the plane of the stick misses the sump."""
    try:
        drawing = Drawing(circuit, circuit.reference_attitude, "x")
    except GeometryError:
        return ""
    low, high = drawing.extent()
    scale = (_WIDTH - _LABELS - 2.0 * _MARGIN) / float(high[0] - low[0])
    tall = scale * float(high[1] - low[1]) + 2.0 * _MARGIN + 14.0

    def place(point: Floats) -> tuple[float, float]:
        x, y = float(point[0] - low[0]), float(high[1] - point[1])
        return round(_MARGIN + scale * x, 1), round(_MARGIN + scale * y, 1)

    level = min(drawing.height_at(circuit.max_mm), drawing.height)
    liquid, walls = (_path(loops, place) for loops in (drawing.strip(-1e9, level), drawing.loops))
    pattern = f"liquid-{crc32(liquid.encode()):08x}"  # one page may show several circuits
    parts = [
        _pattern(pattern),
        f'<path d="{liquid}" fill="url(#{pattern})" fill-rule="evenodd" stroke="none"/>',
        *(_level_line(ends, level, place) for ends in drawing.surface(level)),
        f'<path d="{walls}" fill="none" stroke="{_LINE}" stroke-width="1.6"/>',
        *_stick(drawing, place),
        *_plugs(circuit, drawing, place),
    ]
    title = f"<title>{escape(circuit.name)}, cut at the stick, at MAX</title>"
    size = f'width="{_WIDTH:.0f}" height="{tall:.0f}" viewBox="0 0 {_WIDTH:.0f} {tall:.0f}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="sans-serif" font-size="11">'
    ground = '<rect width="100%" height="100%" fill="white"/>'
    return f"{head}{title}{ground}{''.join(parts)}</svg>"


def _level_line(ends: tuple[float, float], level: float, place: Place) -> str:
    (left, y), (right, _) = (place(np.array([x, level])) for x in ends)
    return f'<path d="M{left} {y}H{right}" stroke="{_LINE}" stroke-width="1"/>'


def _pattern(name: str) -> str:
    lines = '<path d="M0 3H8" stroke="#8a8a8a" stroke-width="0.7"/>'
    ground = '<rect width="8" height="6" fill="#dcdcdc"/>'
    pattern = f'<pattern id="{name}" width="8" height="6" patternUnits="userSpaceOnUse">{ground}{lines}</pattern>'
    return f"<defs>{pattern}</defs>"


def _path(loops: list[Floats], place: Place) -> str:
    return " ".join("M" + " L".join("{} {}".format(*place(p)) for p in loop) + " Z" for loop in loops)


def _stick(drawing: Drawing, place: Place) -> list[str]:
    points = " ".join("{},{}".format(*place(p)) for p in drawing.stick)
    found = [f'<polyline points="{points}" fill="none" stroke="{_LINE}" stroke-width="2.2"/>']
    marks = [
        (word, place(drawing.on_blade(mm)))
        for word, mm in (("MAX", drawing.circuit.max_mm), ("MIN", drawing.circuit.min_mm))
    ]
    apart = max(0.0, 13.0 - (marks[1][1][1] - marks[0][1][1])) / 2.0
    for (word, (x, y)), shift in zip(marks, (-apart, apart), strict=True):
        right = _WIDTH - _LABELS
        found.append(f'<path d="M{x - 5} {y}H{x + 5}" stroke="{_LINE}" stroke-width="2.2"/>')
        found.append(f'<path d="M{x + 5} {y}L{right} {y + shift:.1f}" stroke="{_LINE}" stroke-width="0.5"/>')
        found.append(f'<text x="{right + 4:.0f}" y="{y + shift + 4:.1f}">{word}</text>')
    return found


def _plugs(circuit: Circuit, drawing: Drawing, place: Place) -> list[str]:
    found, plugs = [], entry(circuit, "plugs") or {}
    for name, plug in plugs.items():
        x, y = place(drawing.flat(np.array([plug["at_mm"]], dtype=float))[0])
        text = "plug" if len(plugs) == 1 else f"plug {name}"
        found.append(f'<rect x="{x - 3.5}" y="{y - 3.5}" width="7" height="7" fill="{_LINE}"/>')
        found.append(f'<text x="{x}" y="{y + 15}" text-anchor="middle">{escape(text)}</text>')
    return found
