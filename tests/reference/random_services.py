"""Random circuits and random legal lists of events, from a NumPy seed.

A circuit comes as plain data (keys carry the unit, see `Circuit.from_data`); `text` writes it in the project's own
file format. All circuits are invented.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from . import shapes
from .circuit import LITRE, Circuit
from .service import Service
from .state import Event, Result

Data = dict[str, Any]
Random = np.random.Generator

# The charge and every pour stay under this part of the sump's capacity, all of it hot (95 degC) and
# in the sump, so that every pour is legal.
FULLEST = 0.93
HOTTEST_C = 95.0


def random_service(seed: int) -> tuple[Data, list[Event], Result]:
    """One circuit, 5 to 15 legal events on it, and what `simulate` makes of them."""
    rng = np.random.default_rng(seed)
    circuit = random_circuit(rng, f"random-{seed}")
    return circuit, *random_events(rng, circuit)


# -- circuits --------------------------------------------------------------------------------------


def random_circuit(rng: Random, name: str) -> Data:
    """A circuit whose charge fits its sump with room to pour more."""
    while True:
        data = _draw_circuit(rng, name)
        circuit = Circuit.from_data(data)
        v_max = circuit.v_max()
        hot = Service(circuit).circuit_volume(HOTTEST_C)
        if v_max > 0.15 * circuit.capacity and hot < 0.85 * circuit.capacity and _marks_in_sump(circuit):
            return data


def _marks_in_sump(circuit: Circuit) -> bool:
    """Whether both marks stand in the liquid space; a stick whose marks do not is no stick of this sump."""
    points = [[np.interp(s, circuit.stick.along, column) for column in circuit.stick.path.T] for s in circuit.marks]
    return all(circuit.sump.surrounds(point) for point in points)


def _draw_circuit(rng: Random, name: str) -> Data:
    sump, deepest, top = _sump(rng)
    litres = _capacity_l(sump)
    data: Data = {"name": name, "sump": sump}
    geometry = _some(rng, {"volume_scale": rng.uniform(0.97, 1.03), "datum_mm": rng.uniform(-2.0, 2.0)})
    if geometry:
        data["geometry"] = geometry
    data["dipstick"] = _stick(rng, deepest, top)
    if rng.random() < 0.4:
        data["sticks"] = {"other": _other_stick(rng, data["dipstick"])}
    data["plugs"] = _plugs(rng, deepest, litres)
    if rng.random() < 0.75:
        data["filter"] = _filter(rng, litres)
    if rng.random() < 0.4:
        data["filler"] = {"wetted_l": rng.uniform(0.002, 0.02) * litres}
        data["filler"] |= _some(rng, {"film_time_s": rng.uniform(5.0, 200.0)})
    names = rng.permutation(["head", "cooler", "gallery", "arm_b", "arm_a", "cooler2"])
    stores = {str(n): _store(rng, litres) for n in names[: rng.integers(0, 4)]}
    if stores:
        data["stores"] = stores
    kv100 = rng.uniform(6.0, 20.0)
    data["fluid"] = {
        "density_15c_kg_m3": rng.uniform(825.0, 940.0),
        "kv40_mm2_s": kv100 * rng.uniform(5.5, 11.0),
        "kv100_mm2_s": kv100,
    }
    if rng.random() < 0.7:
        data["fluid"]["fuel"] = str(rng.choice(["diesel", "petrol"]))
    reference = _some(rng, {"temperature_c": rng.uniform(5.0, 60.0), "wait_s": rng.uniform(60.0, 3600.0)})
    if rng.random() < 0.4:
        reference["attitude"] = _attitude(rng, 0.0 if _may_part(sump) else 4.0)
    if reference:
        data["reference"] = reference
    if rng.random() < 0.5:
        data["cooling"] = {"time_s": 10.0 ** rng.uniform(2.5, 4.5)}
        data["cooling"] |= _some(rng, {"ambient_c": rng.uniform(-5.0, 35.0)})
    if rng.random() < 0.6:
        data["instruments"] = {"jug": {"scale": rng.uniform(0.95, 1.05)}}
    return data


def _some(rng: Random, values: Data) -> Data:
    """Each value with probability 0.7: what is left out takes its default."""
    return {key: value for key, value in values.items() if rng.random() < 0.7}


def _may_part(sump: Data) -> bool:
    """Whether liquid may lie in several pools when such a sump is tilted: the model has one. Then it stays level."""
    return "mesh" in sump and len(sump["mesh"]["vertices_mm"]) > 8


def _attitude(rng: Random, most_deg: float) -> Data:
    return {
        "nose_up_deg": rng.uniform(-most_deg, most_deg),
        "right_down_deg": rng.uniform(-most_deg, most_deg),
    }


def _sump(rng: Random) -> tuple[Data, list[float], float]:
    """A sump, a point of its lowest floor, and the height of its top [mm]."""
    length, width, height = rng.uniform(200, 450), rng.uniform(150, 320), rng.uniform(90, 200)
    shape = rng.choice(["box", "box", "wedge", "stepped", "l_shaped", "frustum"])
    if shape == "box":
        box = {"length_mm": length, "width_mm": width, "height_mm": height}
        return {"box": box}, [0.1 * length, 0.0, 0.0], height
    x, y = length / 2, width / 2
    if shape == "wedge":  # the floor falls towards the nose
        rise = rng.uniform(10.0, 0.4 * height)
        outline = [(-x, rise), (x, 0.0), (x, height), (-x, height)]
        vertices, faces = shapes.prism(outline, "y", -y, y)
        point = [0.999 * x, 0.0, 0.001 * rise / 2]
    elif shape == "stepped":
        step, floor = rng.uniform(-0.5 * x, 0.3 * x), -rng.uniform(20.0, 0.5 * height)
        vertices, faces = shapes.stepped((-x, step), x, floor, height, width)
        point = [(step - x) / 2, 0.0, floor]
    elif shape == "l_shaped":  # in plan
        a, b = rng.uniform(-0.5, 0.5) * x, rng.uniform(-0.5, 0.5) * y
        outline = [(-x, -y), (x, -y), (x, b), (a, b), (a, y), (-x, y)]
        vertices, faces = shapes.prism(outline, "z", 0.0, height)
        point = [(a - x) / 2, 0.0, 0.0]
    else:
        shrink = rng.uniform(0.6, 0.95, size=2)
        vertices, faces = shapes.frustum((length * shrink[0], width * shrink[1]), (length, width), height)
        point = [0.05 * length, 0.05 * width, 0.0]
    vertices = [[float(c) for c in vertex] for vertex in vertices]
    return {"mesh": {"vertices_mm": vertices, "faces": faces}}, [float(c) for c in point], height


def _capacity_l(sump: Data) -> float:
    bare = {"sump": sump, "dipstick": {"path_mm": [[0, 0, 0], [0, 0, 1]], "min_mm": 0, "max_mm": 1}}
    oil = {"density_15c_kg_m3": 870.0, "kv40_mm2_s": 90.0, "kv100_mm2_s": 14.0}
    return Circuit.from_data({**bare, "fluid": oil}).capacity / LITRE


def _stick(rng: Random, deepest: list[float], top: float) -> Data:
    """A blade from just over the lowest floor up and out: straight, bent once, or bent twice.

    The middle of three pieces is often so flat that a slope makes it fall: then the surface may
    cross the blade three times, and the first crossing counts.
    """
    depth = top - deepest[2]
    point = np.array(deepest) + [0.0, 0.0, rng.uniform(2.0, 0.2 * depth)]
    path = [point]
    pieces = int(rng.choice([1, 1, 2, 3, 3]))
    lean, heading = np.radians(rng.uniform(0.0, 40.0)), rng.uniform(-np.pi, np.pi)
    for piece in range(pieces):
        way = [np.sin(lean) * np.cos(heading), np.sin(lean) * np.sin(heading), np.cos(lean)]
        point = point + rng.uniform(0.5, 1.3) * depth / pieces * np.array(way)
        path.append(point)
        flat = piece == 0 and pieces == 3 and rng.random() < 0.7
        lean = np.radians(rng.uniform(86.0, 89.5) if flat else rng.uniform(0.0, 50.0))
        heading += rng.uniform(-0.6, 0.6)
    length = float(np.linalg.norm(np.diff(path, axis=0), axis=1).sum())
    high = length * rng.uniform(0.3, 0.8)
    marks = {"min_mm": high * rng.uniform(0.3, 0.8), "max_mm": high}
    extras = {
        "scatter_mm": rng.uniform(0.5, 2.0),
        "seat_offset_mm": rng.uniform(-4.0, 4.0),
        "meniscus_mm": rng.uniform(0.0, 2.7),
        "smear_mm": rng.uniform(0.0, 30.0),
        "faces_mm": rng.uniform(0.0, 4.0),
        "tube_pressure_pa": rng.uniform(-150.0, 150.0),
    }
    return {"path_mm": [[float(c) for c in p] for p in path], **marks, **_some(rng, extras)}


def _other_stick(rng: Random, blade: Data) -> Data:
    """Another stick for the same tube, with marks of its own."""
    stick = _some(rng, {"longer_mm": rng.uniform(0.0, 15.0)})
    high = (blade["max_mm"] + stick.get("longer_mm", 0.0)) * rng.uniform(0.8, 1.1)
    return {"min_mm": high * rng.uniform(0.3, 0.8), "max_mm": high, **stick}


def _plugs(rng: Random, deepest: list[float], litres: float) -> Data:
    heel = 0.0 if rng.random() < 0.1 else rng.uniform(0.0, 0.12) * litres
    plugs = {"main": {"at_mm": list(deepest), "bore_mm": rng.uniform(10.0, 20.0), "heel_l": heel}}
    if rng.random() < 0.4:
        side = {"at_mm": list(deepest), "bore_mm": 12.0, "heel_l": rng.uniform(0.05, 0.3) * litres}
        plugs["side"] = side
    return plugs


def _filter(rng: Random, litres: float) -> Data:
    optional = {
        "valve": "leaking",
        "orientation": str(rng.choice(["base_up", "sideways", "base_down"])),
        "drains": rng.uniform(0.0, 1.0),
        "drain_time_s": rng.uniform(5.0, 300.0),
        "spill": rng.uniform(0.0, 0.9),
    }
    chosen = {key: value for key, value in optional.items() if rng.random() < 0.4}
    return {"net_volume_l": rng.uniform(0.02, 0.08) * litres, **chosen}


def _store(rng: Random, litres: float) -> Data:
    running = rng.uniform(0.01, 0.06) * litres
    store = {"running_l": running}
    optional = {
        "kept_l": rng.uniform(0.0, 0.02) * litres,
        "film_l": rng.uniform(0.0, 1.0) * running,
        "pool_time_s": rng.uniform(2.0, 90.0),
        "inertia_time_s": rng.uniform(0.2, 5.0),
        "film_time_s": rng.uniform(10.0, 240.0),
    }
    if rng.random() < 0.4:
        store["opens_at_c"] = rng.uniform(15.0, 90.0)
    return {**store, **_some(rng, optional)}


# -- events ----------------------------------------------------------------------------------------


def random_events(rng: Random, data: Data) -> tuple[list[Event], Result]:
    """5 to 15 events, at least one a reading, each legal after those before it; and their result."""
    service = Service(Circuit.from_data(data))
    events: list[Event] = []
    wanted = int(rng.integers(5, 16))
    while len(events) < wanted:
        last = len(events) == wanted - 1 and not any(e["kind"] == "Read" for e in events)
        event = _draw_event(rng, service, data, "Read" if last else str(_draw_kind(rng, service)))
        if event is None:
            continue
        if rng.random() < 0.2 and event["kind"] != "Tilt":  # a Tilt has its own
            event["attitude"] = _attitude(rng, 0.0 if _may_part(data["sump"]) else 12.0)
        if "label" not in event and (event["kind"] == "Read" or rng.random() < 0.3):
            event["label"] = f"event {len(events)}"
        service.step(event)
        events.append(event)
    return events, service.result()


def _draw_kind(rng: Random, service: Service) -> str:
    weights = {"Pour": 3.0, "Rest": 2.0, "Tilt": 1.0, "Read": 3.0, "Withdraw": 1.0, "Wipe": 0.7}
    if service.filter is not None:
        weights |= {"RemoveFilter": 0.5, "ChangeFilter": 1.0} if service.fitted else {"FitFilter": 3.0}
    if service.open_plugs:
        weights["ClosePlug"] = 3.0
    elif service.fitted or service.filter is None:
        weights["Run"] = 2.5
    if len(service.open_plugs) < len(service.circuit.plugs):
        weights |= {"OpenPlug": 1.0, "Drain": 1.5}
    if len(service.rates) < 3:
        weights |= {"Leak": 0.4, "Use": 0.4, "Ingress": 0.7}
    if any(rate.label for rate in service.rates):
        weights["Stop"] = 0.7
    kinds = list(weights)
    chances = np.array(list(weights.values()))
    return str(rng.choice(kinds, p=chances / chances.sum()))


def _draw_event(rng: Random, service: Service, data: Data, kind: str) -> Data | None:
    event: Data = {"kind": kind}
    if kind in ("OpenPlug", "Drain"):
        event["plug"] = str(rng.choice([name for name in data["plugs"] if name not in service.open_plugs]))
    if kind == "ClosePlug" and rng.random() < 0.6:
        event["plug"] = str(rng.choice(service.open_plugs))
    if kind in ("FitFilter", "ChangeFilter"):
        holds = data["filter"]["net_volume_l"]
        if rng.random() < 0.3:
            holds = event["net_volume_l"] = rng.uniform(0.6, 1.4) * data["filter"]["net_volume_l"]
        event["primed_l"] = float(rng.choice([0.0, rng.uniform(0.0, 0.99)])) * holds
    if kind in ("Rest", "Drain", "Run"):
        unit = str(rng.choice(["seconds", "minutes", "hours"])) if kind == "Rest" else "minutes"
        event[unit] = rng.uniform(0.02, 30.0) * {"seconds": 60.0, "minutes": 1.0, "hours": 0.1}[unit]
    if kind in ("Pour", "FitFilter", "ChangeFilter") and rng.random() < 0.6:
        event["temperature_c"] = rng.uniform(-5.0, 40.0)
    if kind in ("OpenPlug", "Drain", "Run") and rng.random() < 0.6:
        event["temperature_c"] = rng.uniform(0.0, HOTTEST_C)
    if kind == "Tilt":
        event["to"] = _attitude(rng, 0.0 if _may_part(data["sump"]) else 10.0)
    if kind == "Read":
        return {**event, **_draw_reading(rng, data)}
    if kind in ("Leak", "Use", "Ingress"):
        return {**event, **_draw_rate(rng, service, kind)}
    if kind == "Stop":
        event["label"] = str(rng.choice([rate.label for rate in service.rates if rate.label]))
    if kind == "Pour":
        return _draw_pour(rng, service, data, event)
    if kind == "Withdraw":
        return _draw_withdraw(rng, service, event)
    return event


def _draw_reading(rng: Random, data: Data) -> Data:
    optional = {
        "smear_mm": rng.uniform(0.0, 40.0),
        "seat_offset_mm": rng.uniform(-5.0, 8.0),
        "tube_pressure_pa": rng.uniform(-200.0, 200.0),
        "face": str(rng.choice(["lower", "higher"])),
    }
    if "sticks" in data:
        optional["stick"] = "other"
    return {key: value for key, value in optional.items() if rng.random() < 0.25}


def _draw_rate(rng: Random, service: Service, kind: str) -> Data:
    """A rate that moves up to a tenth of the sump in an event; a label is now and then shared."""
    most = 0.003 if kind == "Leak" else 0.001
    event: Data = {"rate_l_min": most * rng.uniform(0.02, 1.0) * service.circuit.capacity / LITRE}
    if kind == "Ingress":
        event["component"] = str(rng.choice(["fuel", "coolant", "water"]))
    if rng.random() < 0.5:
        event["when"] = str(rng.choice(["running", "always"]))
    if rng.random() < 0.8:
        event["label"] = f"rate {rng.integers(0, 3)}"
    return event


def _draw_pour(rng: Random, service: Service, data: Data, event: Data) -> Data | None:
    """A pour that keeps all that is in the circuit, hot, under the sump's capacity."""
    circuit = service.circuit
    room = FULLEST * circuit.capacity - service.circuit_volume(HOTTEST_C)
    if room < 0.02 * circuit.capacity:
        return None
    mass = rng.uniform(0.05, 0.95) * room * circuit.oil.density(HOTTEST_C)
    if rng.random() < 0.3:
        return {**event, "mass_kg": mass}
    volume = mass / circuit.oil.density(event.get("temperature_c", circuit.reference_c))
    if "instruments" in data and rng.random() < 0.7:
        event["measured_with"] = "jug"
        volume /= 1.06
    return {**event, "volume_l": volume / LITRE}


def _draw_withdraw(rng: Random, service: Service, event: Data) -> Data | None:
    held = service.state["sump"].mass
    if held < 1e-3 * service.circuit.capacity * service.circuit.oil.density_15c:
        return None
    share = rng.uniform(0.02, 0.6)
    if rng.random() < 0.3:
        return {**event, "mass_kg": share * held}
    return {**event, "volume_l": share * service.sump_volume() / LITRE}
