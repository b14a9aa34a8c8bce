"""The end of emptying through a plug whose heel the geometry says, for sumps of one basin.

How far a sump has emptied before its end is not modelled here: a rest that is not surely long enough is refused.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from .circuit import Circuit
from .geometry import Array, Mesh

GRAVITY = 9.80665
ENTRY_LOSS = 1.0
# Heads down to which the emptying is followed [m]; times as long as full flow would take, to be sure of a weir too.
LEAST_HEAD, SURELY = 1e-4, 10.0


def heel_by_geometry(circuit: Circuit, plugs: Sequence[str], up: Array) -> float:
    """Volume below the lowest rim point of the open holes, and the lip of that which alone leaves least [m3]."""
    if isinstance(circuit.sump, Mesh) and circuit.sump.basins(up) != 1:
        raise NotImplementedError("the sump has more than one basin in this attitude")
    drawing = circuit.standing(up)
    holes = [circuit.plugs[name] for name in plugs]
    below = [circuit.volume_scale * drawing.volume(hole.rim(up) - drawing.lowest) for hole in holes]
    least = min(range(len(holes)), key=lambda i: below[i] + holes[i].lip)
    return min(below) + holes[least].lip


def fully_drained(
    circuit: Circuit, plugs: Sequence[str], up: Array, volume: float, viscosity: float, seconds: float
) -> None:
    """Raise unless a rest [s] is surely long enough to empty a volume [m3] to its heel, viscosity in mm2/s.

    Full flow by the energy balance g (h + L) = (1 + K) v^2 / 2 + 32 nu L v / d^2 through the lowest hole alone.
    """
    drawing = circuit.standing(up)
    plug = min((circuit.plugs[name] for name in plugs), key=lambda plug: plug.rim(up))
    rim = max(plug.rim(up) - drawing.lowest, 0.0)
    top = drawing.level(volume / circuit.volume_scale)
    if top - rim <= LEAST_HEAD:
        return
    heads = np.geomspace(LEAST_HEAD, top - rim, 200)
    inertia, friction = 0.5 * (1.0 + ENTRY_LOSS), 32.0 * viscosity * 1e-6 * plug.boss / plug.bore**2
    drop = GRAVITY * (heads + plug.boss)
    speed = (np.sqrt(friction**2 + 4.0 * inertia * drop) - friction) / (2.0 * inertia)
    flow = speed * math.pi * plug.bore**2 / 4.0
    held = np.array([circuit.volume_scale * drawing.volume(rim + h) for h in heads])
    needed = float(np.sum(np.diff(held) * 0.5 * (1.0 / flow[1:] + 1.0 / flow[:-1])))
    if seconds < SURELY * needed:
        raise NotImplementedError(f"a rest of {seconds} s is not surely long enough: full flow takes {needed} s")
