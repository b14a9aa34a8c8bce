"""A live bench for notebooks: pour, tilt, warm, wait, and see what the stick says.

``bench.live("shuttle-bus")`` shows it (extra ``notebook``); without anywidget the same pictures stand still. `Bench` is
the computation alone: a service of which a few things can be moved, answered by the core.
"""

from fillmark.bench._live import Figure, live
from fillmark.bench._moves import Bench, Moves, Seen

__all__ = ["Bench", "Figure", "Moves", "Seen", "live"]
