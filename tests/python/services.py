"""Circuits and services shared by tests: a plain box circuit as text, and random services for the core."""

import functools
from typing import Any

import fillmark as fm
from reference import Result
from reference.random_services import random_service
from reference.text import to_toml

# 60 mL per mm of upright blade; MAX at 50 mm of blade is 55 mm above the floor, 3.3 L.
BOX = """\
format = 1
name = "box"

[sump.box]
length = "300 mm"
width = "200 mm"
height = "100 mm"

[dipstick]
path_mm = [[0, 0, 5], [0, 0, 105]]
min = "30 mm"
max = "50 mm"

[plugs.main]
at_mm = [100, 0, 0]
bore = "12 mm"
heel = "0.2 L"

[filter]
net_volume = "0.4 L"

[stores.head]
running = "0.3 L"

[fluid]
density_15c = "868 kg/m3"
kv40 = "95 mm2/s"
kv100 = "14.3 mm2/s"

[reference]
temperature = "20 degC"

[instruments.jug]
scale = 1
"""


def edited(*changes: tuple[str, str]) -> str:
    """The box circuit's text with passages replaced, each of which must be there once."""
    text = BOX
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} is not once in the circuit's text"
        text = text.replace(old, new)
    return text


def box(*changes: tuple[str, str]) -> fm.Circuit:
    """The box circuit with passages of its text replaced."""
    return fm.Circuit.loads(edited(*changes))


def core_attitude(data: dict[str, float]) -> fm.Attitude:
    """The core's attitude from the model's data."""
    return fm.Attitude(**data)


def core_event(event: dict[str, Any]) -> fm.Event:
    """The core's event of the same kind, from the same keywords."""
    keys = {k: v for k, v in event.items() if k not in ("kind", "to", "attitude")}
    if "attitude" in event:
        keys["attitude"] = core_attitude(event["attitude"])
    positional = [core_attitude(event["to"])] if event["kind"] == "Tilt" else []
    if event["kind"] == "Stop":  # the label is that of the rate
        positional, keys = [keys.pop("label")], keys
    return getattr(fm, event["kind"])(*positional, **keys)


@functools.cache
def core_service(seed: int) -> tuple[fm.Circuit, list[fm.Event], dict[str, Any], list[dict[str, Any]], Result]:
    """Circuit and events of a random service for the core; the same as data; the model's result. Not to be changed."""
    data, events, model = random_service(seed)
    plain = [dict(e) for e in events]
    return fm.Circuit.loads(to_toml(data)), [core_event(e) for e in plain], data, plain, model
