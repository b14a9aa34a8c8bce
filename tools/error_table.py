"""Write docs/errors.md: every error code, its class, what it means, its fields, and a message that was really raised.

Run as ``python tools/error_table.py`` after adding or rewording an error. Codes, meanings and fields are read from the
enums in src/*/error.rs, the messages are raised by tests/python/messages.py; what Python alone raises stands below.
"""

from __future__ import annotations

import importlib
import re
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "errors.md"
# Titles by the domain of the code, in the order of the page; a domain that is not named here comes last.
TITLES = {
    "quantity": "Numbers and the text of quantities",
    "circuit": "Circuits and files",
    "service": "Services",
    "estimate": "Estimates",
    "explain": "Explanations",
    "geometry": "Geometry",
    "fluid": "Fluids",
    "learn": "Learning",
}
HEAD = """\
# Every error message

<!-- Written by `python tools/error_table.py`; do not edit. -->

Every exception of `fillmark` descends from `FillmarkError` and carries a stable `code`, which does not change when a
message is reworded, and `fields`, the values of the message as plain Python objects. `QuantityError`, `GeometryError`,
`FluidError`, `CircuitError`, `ServiceError`, `EstimateError`, `LearnError` and `ExplainError` are also `ValueError`;
`FileError` is also `OSError`.
`InternalError` (code `internal.panic`, of the command also `internal.unexpected`) is a defect of fillmark: please
report it with `build_info()`.

On the command line the message follows `fillmark: ` on the standard error, the program leaves with 2, and with `--json`
the standard output holds `{"error": {"code": ..., "message": ..., "fields": {...}}}`. An error in a file also names the
file, and an error about a value or an event its line.

The messages below were raised; numbers and names in them are those of the example.
"""
PACKAGE = """\

## Of pictures and written incidents alone

| code | class | what it means |
|---|---|---|
| `explain.no_such_incident` | `ExplainError` | No invented incident has that name. |
| `geometry.plane_misses` | `GeometryError` | The plane that a section is cut along misses the sump. |
| `quantity.given_twice` | `QuantityError` | A section is given more than one of level, reading and pools. |
| `quantity.no_column` | `QuantityError` | A table has no column that the picture needs. |
| `quantity.no_pour` | `QuantityError` | No pour comes before the reading that a waterfall leads to. |
| `quantity.no_reading` | `QuantityError` | A timeline has no reading. |
| `quantity.no_table` | `QuantityError` | What is to be drawn is no table, or an empty one. |
| `quantity.unknown_word` | `QuantityError` | A word is none of those accepted. |
| `quantity.wrong_length` | `QuantityError` | Columns of a table differ in length. |
| `quantity.wrong_number_of_axes` | `QuantityError` | A picture needs another number of axes than `ax` has. |
"""
ARGUMENTS = """\

## Of arguments in Python alone

| code | class | what it means |
|---|---|---|
| `quantity.empty` | `QuantityError` | A name or a list that needs something in it is empty. |
| `quantity.masked` | `QuantityError` | Elements of an array are masked; what is meant by them is not guessed. |
| `quantity.no_corner` | `QuantityError` | A face names a corner by a number that is below 0 or too large. |
| `quantity.no_numbers` | `QuantityError` | What is given is no array of numbers, such as rows of unequal length. |
| `quantity.no_text` | `QuantityError` | A text holds half of a UTF-16 pair, which is no character. |
| `quantity.no_value` | `QuantityError` | A value that no file may hold, such as a whole number beyond every float. |
| `quantity.not_convertible` | `QuantityError` | A quantity object cannot be converted to the unit. |
| `quantity.uncertain` | `QuantityError` | An uncertain value stands where an exact one is wanted. |
| `quantity.wrong_shape` | `QuantityError` | An array has another shape than is wanted. |
"""
COMMAND = """\

## Of the command alone

| code | what it means |
|---|---|
| `command.no_circuit` | The service does not say which circuit it is meant for, and `--circuit` is not given. |
| `command.circuit_given` | The file is a circuit where a service is wanted. |
| `command.record_given` | The file is a record where a service is wanted. |
| `command.service_given` | The file is a service where a record is wanted. |
| `command.attitude_of_pour` | The pour that a plan decides has an attitude of its own; say `tilt` before it. |
| `command.card_unwritable` | The page that `--card` asks for cannot be written. |
"""


@dataclass(frozen=True)
class Variant:
    """One variant of an error enum."""

    code: str
    meaning: str
    fields: tuple[str, ...]


def domains() -> list[tuple[str, str]]:
    """Return the domain of every error enum, with its source, in the order of the page."""
    found = []
    for path in sorted(ROOT.glob("src/**/error.rs")):
        source = path.read_text(encoding="utf-8")
        if named := re.search(r'^    const DOMAIN: &\'static str = "(\w+)";$', source, re.M):
            found.append((named[1], source))
    order = [*TITLES]
    return sorted(found, key=lambda pair: order.index(pair[0]) if pair[0] in TITLES else len(order))


def variants(domain: str, source: str) -> list[Variant]:
    """Read the variants of a domain's enum from its source."""
    found = re.search(r"^pub enum \w+Error \{\n(.*?)^\}", source, re.M | re.S)
    if found is None:
        raise SystemExit(f"the source of the errors of {domain} has no error enum")
    out, said = [], []
    for line in found[1].splitlines():
        if line.startswith("    /// "):
            said.append(line[8:])
        elif name := re.match(r"    ([A-Z]\w*)(?: \{|\(|,)", line):
            code = re.sub(r"(?<=.)([A-Z])", r"_\1", name[1]).lower()
            body = found[1].split(f"    {name[1]} {{\n", 1)[1].split("\n    },", 1)[0] if " {" in line else ""
            fields = tuple(re.findall(r"^        (\w+): ", body, re.M))
            out.append(Variant(f"{domain}.{code}", " ".join(said), fields))
            said = []
    return out


def messages() -> tuple[dict[str, tuple[str, str]], dict[str, str]]:
    """Raise the examples; return class and message by code, and the codes without one with the reason."""
    for folder in ("tests", "tests/python"):
        path = str(ROOT / folder)
        if path not in sys.path:
            sys.path.insert(0, path)
    module = importlib.import_module("messages")
    return module.examples(), module.NONE


def page() -> str:
    """Return the page."""
    raised, without = messages()
    parts = [HEAD]
    for domain, source in domains():
        parts.append(f"\n## {TITLES.get(domain, domain.capitalize())}\n")
        for variant in variants(domain, source):
            parts.append(_entry(variant, raised.get(variant.code), without.get(variant.code)))
    return "".join([*parts, ARGUMENTS, PACKAGE, COMMAND])


def _entry(variant: Variant, raised: tuple[str, str] | None, without: str | None) -> str:
    fields = ", ".join(f"`{name}`" for name in variant.fields) or "none"
    lines = [f"\n### `{variant.code}`\n", variant.meaning]
    if raised is not None:
        lines += [f"\n`{raised[0]}`; fields: {fields}.\n", "```text", raised[1], "```"]
    elif without is not None:
        lines.append(f"\nFields: {fields}. No example: {without}.")
    else:
        raise SystemExit(f"tests/python/messages.py makes no example of {variant.code}, nor says why")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
