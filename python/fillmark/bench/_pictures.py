"""The pictures of the bench as SVG: the sump cut at the stick, the stick close up, where the oil is.

The live bench and its static figure show the same text. Tones and hatches are those of `fillmark.plot`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from html import escape

import numpy as np

from fillmark._errors import GeometryError
from fillmark.bench._moves import COVERAGE_FACTOR, Bench, Seen
from fillmark.plot._cut import Floats
from fillmark.plot._drawing import Drawing
from fillmark.plot._language import DARK, GRID, OUTSIDE, PALE, PLACES, Look, group
from fillmark.plot._parts import entry, stands

__all__ = ["bars", "cells", "section", "sentence", "stick"]

_MINUS = "\N{MINUS SIGN}"
_SOFT = "#606060"
_LEAST_L = 5e-4
_TILE = 8.0  # px, side of a tile of a hatch


def number(value: float, decimals: int, sign: bool = False) -> str:
    """Write a number for people: with a true minus, never a minus nought."""
    text = f"{value:+.{decimals}f}" if sign else f"{value:.{decimals}f}"
    return text.replace("-", "" if float(text) == 0.0 else _MINUS)


def side(litres: float) -> str:
    """Say on which side of MAX, and by how much."""
    if abs(litres) < 0.005:
        return "at MAX"
    return f"{abs(litres):.2f} L {'over' if litres > 0.0 else 'under'} MAX"


def sentence(bench: Bench, seen: Seen) -> str:
    """Say in words what the pictures show; this is what a screen reader reads out after a move."""
    reading = seen.reading
    if reading.flag is not None:
        said = f"The stick reads {number(reading.mm, 1)} mm: {reading.flag}."
    else:
        half = COVERAGE_FACTOR * seen.standard_uncertainty_mm
        said = (
            f"The stick reads {number(reading.mm, 1)} mm ± {half:.1f} mm (k = 2), {number(reading.fraction, 2)} of the "
            f"span, {side(reading.litres_from_max)} on the stick."
        )
    where = " The ± is that of a level reading." if seen.band_at_reference else ""
    truly = f" Drained back and level the oil stands {side(seen.from_max_l)}."
    return said + where + truly + _advice(bench, seen)


def _advice(bench: Bench, seen: Seen) -> str:
    over_spans = seen.from_max_l / max(_span_l(bench), 1e-9)
    if not seen.moves.ran and bench.has_filter and not seen.moves.primed:
        return " The filter is still empty: take no oil out before the first run."
    if over_spans > 0.5:
        return " More than half a span over: do not start; withdraw and weigh."
    return ""


def _span_l(bench: Bench) -> float:
    return -float(bench.circuit.litres_from_max(mm=bench.circuit.min_mm))


def _svg(width: float, height: float, title: str, parts: Iterable[str]) -> str:
    ground = f'<rect width="{width:.0f}" height="{height:.0f}" fill="white"/>'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}"'
    style = 'role="img" font-family="sans-serif" font-size="12" style="max-width:100%;height:auto"'
    return f'{head} {style} aria-label="{escape(title, quote=True)}">{ground}{"".join(parts)}</svg>'


def _text(x: float, y: float, words: str, anchor: str = "start", more: str = "") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{DARK}" {more}>{escape(words)}</text>'


def _line(x: float, y: float, x2: float, y2: float, width: float = 1.0, colour: str = DARK, dash: str = "") -> str:
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    ends = f'x1="{x:.1f}" y1="{y:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"'
    return f'<line {ends} stroke="{colour}" stroke-width="{width}"{dashes}/>'


_STROKES = {
    "-": f"M0 {_TILE / 2}H{_TILE}",
    "|": f"M{_TILE / 2} 0V{_TILE}",
    "/": f"M-1 {_TILE + 1}L{_TILE + 1} -1M-1 1L1 -1M{_TILE - 1} {_TILE + 1}L{_TILE + 1} {_TILE - 1}",
    "\\": f"M-1 -1L{_TILE + 1} {_TILE + 1}M{_TILE - 1} -1L{_TILE + 1} 1M-1 {_TILE - 1}L1 {_TILE + 1}",
    "x": f"M0 0L{_TILE} {_TILE}M0 {_TILE}L{_TILE} 0",
    "+": f"M{_TILE / 2} 0V{_TILE}M0 {_TILE / 2}H{_TILE}",
}


def _hatch(name: str, look: Look) -> str:
    """Define the pattern of a place: its tone under its hatch."""
    strokes = "".join(_STROKES.get(sign, "") for sign in dict.fromkeys(look.hatch))
    lines = f'<path d="{strokes}" stroke="{look.lines}" stroke-width="1" fill="none"/>' if strokes else ""
    dots = (
        "".join(f'<circle cx="{x}" cy="{y}" r="1" fill="{look.lines}"/>' for x, y in ((2, 2), (6, 6)))
        if set(look.hatch) & set(".o*")
        else ""
    )
    ground = f'<rect width="{_TILE}" height="{_TILE}" fill="{look.tone}"/>'
    size = f'width="{_TILE}" height="{_TILE}" patternUnits="userSpaceOnUse"'
    return f'<pattern id="{name}" {size}>{ground}{lines}{dots}</pattern>'


def _band_hatch(name: str) -> str:
    lines = f'<path d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5" stroke="{DARK}" stroke-width="0.8" fill="none"/>'
    return f'<pattern id="{name}" width="6" height="6" patternUnits="userSpaceOnUse">{lines}</pattern>'


def section(bench: Bench, seen: Seen, key: str = "s") -> str:
    """Draw the sump cut by the vertical plane through the stick, as it stands on the ground.

    The oil is drawn at the level of the pool in which the stick's tip stands.
    """
    width, margin, labels = 520.0, 14.0, 74.0
    title = f"{bench.circuit.name}, cut at the stick, {stands(seen.attitude)}"
    try:
        drawing = Drawing(bench.circuit, seen.attitude, "x")
    except GeometryError:
        return _svg(width, 40.0, title, [_text(margin, 24.0, "The plane of the stick misses the sump: no section.")])
    low, high = drawing.extent()
    scale = min((width - labels - 2.0 * margin) / float(high[0] - low[0]), 280.0 / float(high[1] - low[1]))
    top = 30.0
    height = top + scale * float(high[1] - low[1]) + 2.0 * margin + 16.0

    def place(point: Floats) -> tuple[float, float]:
        x, y = float(point[0] - low[0]), float(high[1] - point[1])
        return round(margin + scale * x, 1), round(top + margin + scale * y, 1)

    level = _level(drawing, seen)
    parts = [f"<defs>{_hatch(f'{key}-oil', PLACES['sump'])}{_band_hatch(f'{key}-band')}</defs>"]
    parts.append(_text(margin, 18.0, title, more='font-weight="bold"'))
    parts.append(_area(drawing.strip(-1e9, min(level, drawing.height)), place, f"url(#{key}-oil)"))
    parts += _expected(drawing, seen, place, f"url(#{key}-band)")
    parts += [_line(*place(np.array([a, level])), *place(np.array([b, level])), 1.2) for a, b in drawing.surface(level)]
    parts.append(f'<path d="{_path(drawing.loops, place)}" fill="none" stroke="{DARK}" stroke-width="1.8"/>')
    parts += _fittings(bench, drawing, place, width - labels)
    parts.append(_scale_bar(scale, width, height, margin))
    return _svg(width, height, title, parts)


def _level(drawing: Drawing, seen: Seen) -> float:
    """Height of the surface at the stick: where the blade is wet, or, off the blade, what the volume comes to."""
    inside = seen.reading.flag is None and 0.0 < seen.reading.mm < drawing.length - drawing.seat_offset
    return drawing.height_at(seen.reading.mm) if inside else seen.level_mm


def _expected(drawing: Drawing, seen: Seen, place: Callable[[Floats], tuple[float, float]], fill: str) -> list[str]:
    """Hatch the space between the levels of the interval."""
    if seen.reading.flag is not None:
        return []
    ends = (min(max(mm, 0.0), drawing.length - drawing.seat_offset) for mm in seen.band_mm)
    low, high = sorted(min(drawing.height_at(mm), drawing.height) for mm in ends)
    return [_area(drawing.strip(low, high), place, fill)] if high > low else []


def _area(loops: list[Floats], place: Callable[[Floats], tuple[float, float]], fill: str) -> str:
    return f'<path d="{_path(loops, place)}" fill="{fill}" fill-rule="evenodd" stroke="none"/>'


def _path(loops: list[Floats], place: Callable[[Floats], tuple[float, float]]) -> str:
    return " ".join("M" + " L".join("{} {}".format(*place(p)) for p in loop) + " Z" for loop in loops)


def _fittings(
    bench: Bench, drawing: Drawing, place: Callable[[Floats], tuple[float, float]], right: float
) -> list[str]:
    """Draw the stick with its marks, and the plugs."""
    circuit = bench.circuit
    points = " ".join("{},{}".format(*place(p)) for p in drawing.stick)
    found = [f'<polyline points="{points}" fill="none" stroke="{DARK}" stroke-width="2.6"/>']
    marks = [(word, place(drawing.on_blade(mm))) for word, mm in (("MAX", circuit.max_mm), ("MIN", circuit.min_mm))]
    apart = max(0.0, 14.0 - (marks[1][1][1] - marks[0][1][1])) / 2.0
    for (word, (x, y)), shift in zip(marks, (-apart, apart), strict=True):
        found.append(_line(x - 6.0, y, x + 6.0, y, 2.4))
        found.append(_line(x + 6.0, y, right, y + shift, 0.6, _SOFT))
        found.append(_text(right + 4.0, y + shift + 4.0, word))
    plugs = entry(circuit, "plugs") or {}
    for name, plug in plugs.items():
        x, y = place(drawing.flat(np.array([plug["at_mm"]], dtype=float))[0])
        found.append(f'<rect x="{x - 4:.1f}" y="{y - 4:.1f}" width="8" height="8" fill="{DARK}"/>')
        found.append(_text(x, y + 17.0, "plug" if len(plugs) == 1 else f"{name} plug", "middle"))
    return found


def _scale_bar(scale: float, width: float, height: float, margin: float) -> str:
    x, y = width - margin - 100.0 * scale, height - 8.0
    return _line(x, y, x + 100.0 * scale, y, 2.0) + _text(x - 4.0, y + 4.0, "100 mm", "end")


def stick(bench: Bench, seen: Seen, key: str = "t") -> str:
    """Draw the blade close up: millimetres on the left, litres from MAX on the right, marks, reading and band."""
    width, height, top, bottom = 300.0, 356.0, 40.0, 42.0
    circuit, reading = bench.circuit, seen.reading
    low, high = _window(bench, seen)

    def y(mm: float) -> float:
        return top + (high - mm) / (high - low) * (height - top - bottom)

    left, right = 118.0, 152.0
    parts = [f"<defs>{_hatch(f'{key}-oil', PLACES['sump'])}{_band_hatch(f'{key}-band')}</defs>"]
    parts.append(_text(14.0, 18.0, "stick, close up", more='font-weight="bold"'))
    parts.append(_text(left - 8.0, 34.0, "mm from the tip", "end", f'style="fill:{_SOFT}"'))
    parts.append(_text(right + 44.0, 34.0, "L from MAX, level", more=f'style="fill:{_SOFT}"'))
    foot = y(low)
    parts.append(f'<rect x="{left}" y="{top}" width="{right - left}" height="{foot - top:.1f}" fill="{PALE}"/>')
    wet = y(min(max(reading.mm, low), high))
    parts.append(
        f'<rect x="{left}" y="{wet:.1f}" width="{right - left}" height="{foot - wet:.1f}" fill="url(#{key}-oil)"/>'
    )
    parts += _ruler(low, high, y, left)
    parts += _litres(bench, low, high, y, right + 46.0)
    if reading.flag is None:
        ends = [y(min(max(mm, low), high)) for mm in seen.band_mm]
        area = f'x="{left - 8}" y="{ends[1]:.1f}" width="{right - left + 16}" height="{ends[0] - ends[1]:.1f}"'
        parts.append(f'<rect {area} fill="url(#{key}-band)" stroke="{DARK}" stroke-width="0.8"/>')
    for word, mm in (("MAX", circuit.max_mm), ("MIN", circuit.min_mm)):
        parts.append(_line(left, y(mm), right + 6.0, y(mm), 3.0))
        parts.append(_text(right + 8.0, y(mm) + 4.0, word, more='font-weight="bold" font-size="11"'))
    parts.append(f'<path d="M{left - 9} {wet:.1f}l-9 -5v10z" fill="{DARK}"/>')
    parts.append(_line(left - 9.0, wet, right, wet, 1.6))
    parts.append(
        f'<rect x="{left}" y="{top}" width="{right - left}" height="{foot - top:.1f}" fill="none" stroke="{DARK}"/>'
    )
    said = f"reads {number(reading.mm, 1)} mm" + ("" if reading.flag is None else f" ({reading.flag})")
    parts.append(_text(14.0, height - 23.0, said, more='font-weight="bold"'))
    half = COVERAGE_FACTOR * seen.standard_uncertainty_mm
    band = "" if reading.flag is not None else f"hatched: expected within ± {half:.1f} mm (k = 2)"
    parts.append(_text(14.0, height - 7.0, band))
    return _svg(width, height, f"stick close up, {said}; {band}", parts)


def _window(bench: Bench, seen: Seen) -> tuple[float, float]:
    """Part of the blade that is shown: the span and as much above and below, and the reading in any case [mm]."""
    circuit = bench.circuit
    span = circuit.max_mm - circuit.min_mm
    low, high = circuit.min_mm - 0.8 * span, circuit.max_mm + 1.2 * span
    if seen.reading.flag is None:
        low, high = min(low, seen.band_mm[0] - 0.2 * span), max(high, seen.band_mm[1] + 0.2 * span)
    return max(low, 0.0), high


def _step(width: float, most: int) -> float:
    """Choose a step of 1, 2 or 5 times a power of ten that gives at most so many."""
    rough = width / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * m for m in (1.0, 2.0, 5.0, 10.0) if power * m >= rough * (1.0 - 1e-9))


def _ruler(low: float, high: float, y: Callable[[float], float], left: float) -> list[str]:
    step = max(_step(high - low, 10), 1.0)
    found = []
    for mm in np.arange(math.ceil(low / step) * step, high, step):
        found.append(_line(left - 6.0, y(mm), left, y(mm), 1.0, _SOFT))
        found.append(_text(left - 24.0, y(mm) + 4.0, f"{mm:.0f}", "end"))
    return found


def _litres(bench: Bench, low: float, high: float, y: Callable[[float], float], x: float) -> list[str]:
    ends = [float(bench.circuit.litres_from_max(mm=mm)) for mm in (low, high)]
    step = _step(ends[1] - ends[0], 9)
    scale = bench.circuit.litre_scale(step_l=step).columns()
    found = [_line(x, y(low), x, y(high), 1.0, GRID)]
    for mm, litres in zip(scale["mm"], scale["from_max_l"], strict=True):
        if low <= mm <= high:
            found.append(_line(x, y(float(mm)), x + 5.0, y(float(mm)), 1.0, _SOFT))
            said = number(float(litres), 1 if step >= 0.1 else 2, sign=True)
            found.append(_text(x + 9.0, y(float(mm)) + 4.0, "0" if abs(litres) < 1e-9 else said))
    return found


def bars(seen: Seen, key: str = "b") -> str:
    """Draw where the oil is when the stick is read: a bar for each place, with its litres."""
    held: dict[str, float] = {}
    for path, litres in seen.places.items():
        held[group(path)] = held.get(group(path), 0.0) + litres
    shown = [place for place in PLACES if held.get(place, 0.0) > _LEAST_L]
    width, row, left, top = 840.0, 24.0, 150.0, 28.0
    largest = max((held[place] for place in shown), default=1.0)
    inside = sum(litres for place, litres in held.items() if place not in OUTSIDE)
    title = f"where the oil is when the stick is read: {inside:.2f} L in the circuit"
    parts = ["<defs>" + "".join(_hatch(_id(key, place), PLACES[place]) for place in shown) + "</defs>"]
    parts.append(_text(14.0, 18.0, title, more='font-weight="bold"'))
    for i, place in enumerate(shown):
        y, long = top + row * i, (width - left - 90.0) * held[place] / largest
        fill = f"url(#{_id(key, place)})"
        parts.append(_text(left - 8.0, y + 15.0, PLACES[place].label, "end"))
        box = f'x="{left}" y="{y + 3:.1f}" width="{max(long, 1.0):.1f}" height="{row - 6:.0f}"'
        parts.append(f'<rect {box} fill="{fill}" stroke="{DARK}" stroke-width="0.8"/>')
        parts.append(_text(left + long + 6.0, y + 15.0, f"{held[place]:.3f} L"))
    return _svg(width, top + row * len(shown) + 6.0, title, parts)


def _id(key: str, place: str) -> str:
    return f"{key}-{place.replace(' ', '-')}"


def cells(bench: Bench, seen: Seen, key: str = "f") -> dict[str, str]:
    """Draw everything: ``section``, ``stick`` and ``bars`` as SVG, ``words`` as plain text."""
    return {
        "section": section(bench, seen, f"{key}-section"),
        "stick": stick(bench, seen, f"{key}-stick"),
        "bars": bars(seen, f"{key}-bars"),
        "words": sentence(bench, seen),
    }
