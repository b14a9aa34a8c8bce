"""An independent model of a circuit and its service, in NumPy, to test the core against.

Written from `docs/model.md` and the published sources named in each file, apart from the core: it
shares no code and no intermediate number with it. Scalar code, clear rather than fast.

Tests import it as ``from reference import simulate`` with ``tests`` on pytest's ``pythonpath``
(``pytest -o pythonpath=tests`` from the root). It needs NumPy; its own tests need SciPy too.
"""

from .circuit import COMPONENTS, Circuit
from .fluid import Oil
from .geometry import Mesh, StrappingTable, box_volume_below, up_vector
from .service import Service, simulate
from .state import Place, Reading, Refused, Result, Row, State

__all__ = [
    "COMPONENTS",
    "Circuit",
    "Mesh",
    "Oil",
    "Place",
    "Reading",
    "Refused",
    "Result",
    "Row",
    "Service",
    "State",
    "StrappingTable",
    "box_volume_below",
    "simulate",
    "up_vector",
]
