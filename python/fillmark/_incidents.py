"""Eighteen written incidents of the demo scenario.

Invented for teaching: no real engine, vehicle or person stands behind them.
"""

from __future__ import annotations

import re
from importlib.resources import files

from fillmark._core import Record
from fillmark._errors import ExplainError

__all__ = ["incident", "incidents"]


def incidents() -> list[str]:
    """List the names of the written incidents.

    Returns
    -------
    list of str
        Names for `incident`, in order.

    Examples
    --------
    >>> import fillmark as fm
    >>> len(fm.incidents())
    18
    """
    folder = files("fillmark") / "demo" / "incidents"
    return sorted(entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml"))


def incident(name: str) -> Record:
    """Read a written incident.

    Parameters
    ----------
    name : str
        One of `incidents`.

    Returns
    -------
    Record
        Its ``circuit`` is the name of a demo circuit.

    Raises
    ------
    ExplainError
        If there is no such incident.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.incident("incident-01").circuit
    'shuttle-bus'
    """
    known = incidents()
    if name not in known:
        number = re.search(r"\d+", name)
        nearest = f"incident-{int(number[0]):02d}" if number else ""
        perhaps = f"; perhaps you mean {nearest}" if nearest in known else ""
        message = f"there is no incident {name!r}; there are {known[0]} to {known[-1]}{perhaps}"
        raise ExplainError(message, "explain.no_such_incident", {"incident": name})
    text = (files("fillmark") / "demo" / "incidents" / f"{name}.toml").read_text(encoding="utf-8")
    return Record.loads(text)
