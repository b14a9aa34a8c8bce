"""Eighteen written incidents of the demo scenario.

Invented for teaching: no real engine, vehicle or person stands behind them.
"""

from __future__ import annotations

from importlib.resources import files

from fillmark._core import Record

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
    ValueError
        If there is no such incident.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.incident("incident-01").circuit
    'shuttle-bus'
    """
    known = incidents()
    if name not in known:
        raise ValueError(f"no incident {name!r}; the incidents are {', '.join(known)}")
    text = (files("fillmark") / "demo" / "incidents" / f"{name}.toml").read_text(encoding="utf-8")
    return Record.loads(text)
