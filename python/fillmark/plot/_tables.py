"""Plain data or an object of a later analysis, read the same way: by `columns()`, by attributes, or as a mapping."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from fillmark._errors import QuantityError
from fillmark.plot._cut import Floats

__all__ = ["floats", "named", "table"]


def table(data: Any) -> dict[str, Any]:  # noqa: ANN401 - a mapping of columns, or an object with `columns()`
    """Give the columns of a mapping, of an object with `columns()`, or of a dataframe."""
    columns = getattr(data, "columns", None)
    if callable(columns):
        return dict(columns())
    if isinstance(data, Mapping):
        return dict(data)
    if columns is not None:  # a dataframe
        return {str(name): np.asarray(data[name]) for name in columns}
    message = f"data = {data!r} is neither a mapping of columns nor an object with columns()"
    raise QuantityError(message, "quantity.no_table")


def floats(columns: Mapping[str, Any], names: Sequence[str], rows: int | None = None) -> Floats | None:
    """Give the first of these columns that is there, as finite-length floats; None if none is."""
    for name in names:
        if name in columns and columns[name] is not None:
            found = np.asarray(columns[name], dtype=float).ravel()
            if rows is not None and len(found) != rows:
                message = f"column {name!r} has {len(found)} values, {rows} are expected"
                raise QuantityError(
                    message, "quantity.wrong_length", {"column": name, "found": len(found), "expected": rows}
                )
            return found
    return None


def named(
    data: Any,  # noqa: ANN401 - whatever is asked for below
    parts: str,
    names: Sequence[str],
    values: Sequence[Sequence[str]],
) -> tuple[list[str], list[Floats | None]]:
    """Read names and columns of values from what a picture was given.

    Parameters
    ----------
    data : object
        A mapping of name to number or tuple of numbers; a mapping of columns or an object with `columns()`; or an
        object whose attribute `parts` is a list of things with the attributes asked for.
    parts : str
        That attribute, such as ``causes``.
    names : sequence of str
        What the column (or attribute) of names may be called.
    values : sequence of sequence of str
        For each column of values, what it may be called; a mapping of tuples gives them in this order.
    """
    if isinstance(data, Mapping) and not any(name in data for name in names):
        labels = [str(key) for key in data]
        rows = [np.atleast_1d(np.asarray(value, dtype=float)) for value in data.values()]
        short = min((len(row) for row in rows), default=0)
        return labels, [np.array([row[i] for row in rows]) if i < short else None for i in range(len(values))]
    listed = getattr(data, parts, None)
    if isinstance(listed, Sequence):
        labels = [str(next(getattr(item, n) for n in names if hasattr(item, n))) for item in listed]
        return labels, [_attribute(listed, options) for options in values]
    columns = table(data)
    key = next((name for name in names if name in columns), None)
    if key is None:
        message = (
            f"no column of names among {', '.join(map(repr, columns))}; one of {', '.join(map(repr, names))} is needed"
        )
        raise QuantityError(message, "quantity.no_column", {"needed": list(names)})
    labels = [str(label) for label in columns[key]]
    return labels, [floats(columns, options, len(labels)) for options in values]


def _attribute(items: Sequence[Any], options: Sequence[str]) -> Floats | None:
    for option in options:
        if items and all(getattr(item, option, None) is not None for item in items):
            return np.array([float(getattr(item, option)) for item in items])
    return None
