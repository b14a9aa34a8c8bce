"""Tables and drawings as small pieces of HTML and SVG: escaped, in grey, without scripts, styles or a network."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Any

__all__ = ["caption", "cell", "items", "percent", "rows_of", "table"]

_CELL = "padding:2px 8px;text-align:{side};border-bottom:1px solid #bbb"
_HEAD = "padding:2px 8px;text-align:{side};border-bottom:2px solid #444"


def cell(value: Any) -> str:  # noqa: ANN401 - whatever a column holds
    """Write a value: floats in six digits, none and not-a-number as nothing, all text escaped."""
    if value is None:
        return ""
    if isinstance(value, str):
        return escape(value)
    number = getattr(value, "item", lambda: value)()
    if isinstance(number, bool):
        return "yes" if number else "no"
    if isinstance(number, float):
        return "" if number != number else f"{number:.6g}".replace("-", "\N{MINUS SIGN}")
    return escape(str(number))


def percent(share: float, decimals: int = 1) -> str:
    """Write a share of 1 in per cent, with a space as ISO 80000-1 has it."""
    return f"{100.0 * share:.{decimals}f} %"


def table(head: Sequence[str], rows: Iterable[Sequence[Any]], left: Sequence[str] = ()) -> str:
    """Write a table; columns named in `left` are text."""
    sides = ["left" if name in left else "right" for name in head]
    cells = [f'<th style="{_HEAD.format(side=s)}">{escape(h)}</th>' for h, s in zip(head, sides, strict=True)]
    lines = [f"<tr>{''.join(cells)}</tr>"]
    for row in rows:
        cells = [f'<td style="{_CELL.format(side=s)}">{cell(v)}</td>' for v, s in zip(row, sides, strict=True)]
        lines.append(f"<tr>{''.join(cells)}</tr>")
    return f'<table style="border-collapse:collapse">{"".join(lines)}</table>'


def rows_of(
    columns: Mapping[str, Any], names: Sequence[str], most: int, decimals: Mapping[str, int] | None = None
) -> tuple[list[list[Any]], int]:
    """Turn columns into rows, the first half and the last half of `most` of them; and say how many were left out.

    Three dots stand where rows are left out. Columns named in `decimals` are written with so many.
    """
    count = len(columns[names[0]])
    shown = list(range(count)) if count <= most else [*range(most // 2), *range(count - most // 2, count)]
    places = [(decimals or {}).get(name) for name in names]
    rows = [[_fixed(columns[name][i], n) for name, n in zip(names, places, strict=True)] for i in shown]
    if count > most:
        rows.insert(most // 2, ["\N{VERTICAL ELLIPSIS}"] * len(names))
    return rows, count - len(shown)


def _fixed(value: Any, decimals: int | None) -> Any:  # noqa: ANN401
    if decimals is None or value != value:
        return value
    return f"{value:.{decimals}f}".replace("-", "\N{MINUS SIGN}")


def caption(text: str) -> str:
    """Write a heading over a table."""
    return f'<div style="font-weight:bold;margin:4px 0">{escape(text)}</div>'


def items(texts: Iterable[str], kind: str = "ul") -> str:
    """Write a list, or a numbered one (``ol``)."""
    return f"<{kind}>{''.join(f'<li>{escape(text)}</li>' for text in texts)}</{kind}>"
