"""A circuit's data as text in the project's own file format.

Numbers are written with `repr`, so the text and the data hold the same floats.
"""

from __future__ import annotations

import copy
import json
from typing import Any

Data = dict[str, Any]

UNITS = {
    "_kg_m3": "kg/m3",
    "_mm2_s": "mm2/s",
    "_deg": "deg",
    "_mm": "mm",
    "_pa": "Pa",
    "_l": "L",
    "_s": "s",
    "_c": "degC",
}


def document(circuit: Data) -> Data:
    """A circuit's data as the file format's nested keys, values as text with a unit."""
    return {"format": 1, **_with_units(copy.deepcopy(circuit))}


def _with_units(table: Data) -> Data:
    new: Data = {}
    for key, value in table.items():
        if isinstance(value, dict):
            new[key] = _with_units(value)
        elif isinstance(value, str) or key in ("path_mm", "at_mm", "vertices_mm", "faces"):
            new[key] = value
        elif key == "density_15c_kg_m3":
            new["density_15c"] = f"{float(value)!r} kg/m3"
        else:
            ending = next((e for e in UNITS if key.endswith(e)), "")
            unit = f" {UNITS[ending]}" if ending else ""
            new[key[: len(key) - len(ending)]] = f"{float(value)!r}{unit}"
    return new


def to_json(circuit: Data) -> str:
    """The circuit as JSON text."""
    return json.dumps(document(circuit), indent=2)


def to_toml(circuit: Data) -> str:
    """The circuit as TOML text."""
    lines: list[str] = []
    _toml_table(document(circuit), [], lines)
    return "\n".join(lines) + "\n"


def _toml_table(table: Data, path: list[str], lines: list[str]) -> None:
    plain = {k: v for k, v in table.items() if not isinstance(v, dict) or k == "attitude"}
    if path and plain:
        lines.append(f"[{'.'.join(path)}]")
    for key, value in plain.items():
        if isinstance(value, dict):
            pairs = ", ".join(f"{k} = {json.dumps(v)}" for k, v in value.items())
            lines.append(f"{key} = {{ {pairs} }}")
        else:
            lines.append(f"{key} = {json.dumps(value)}")
    for key, value in table.items():
        if key not in plain:
            _toml_table(value, [*path, key], lines)
