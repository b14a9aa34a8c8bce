"""One visual language: the same place has the same tone and the same hatch in every picture.

Every pair of places differs by its hatch, so that a photocopy tells them apart; tones differ in lightness as far as
they stand beside each other. Oil in the sump is yellow, oil elsewhere in the engine blue, what has left it grey.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

__all__ = [
    "BAND",
    "DARK",
    "EXPECTED",
    "GRID",
    "HEEL",
    "LINES",
    "NEW",
    "OLD",
    "OUTSIDE",
    "PALE",
    "PLACES",
    "Look",
    "group",
    "look",
    "mixed",
]

DARK = "#202020"
GRID = "#c8c8c8"
PALE = "#ececec"
OLD = "#7a5426"  # old oil
NEW = "#f2dcae"  # new oil
EXPECTED = "#b08436"  # bars of an interval of a reading
BAND: dict[str, Any] = {"facecolor": "none", "edgecolor": DARK, "hatch": "//////", "linewidth": 0}

# One after the other where a picture has several lines: dash pattern and lightness together.
LINES: tuple[dict[str, Any], ...] = (
    {"color": "#12344f", "linestyle": "-"},
    {"color": "#2f6c9c", "linestyle": (0, (6, 2))},
    {"color": "#b07a1e", "linestyle": (0, (4, 1.5, 1, 1.5))},
    {"color": "#6d6d6d", "linestyle": (0, (1, 1.2))},
    {"color": "#202020", "linestyle": (0, (10, 2))},
    {"color": "#d0952f", "linestyle": "-"},
)


@dataclass(frozen=True)
class Look:
    """Tone, hatch and name of a place."""

    label: str
    tone: str
    hatch: str
    lines: str  # colour of the hatch

    def patch(self) -> dict[str, Any]:
        """Properties of a matplotlib patch; the outline is drawn apart, because the hatch takes the edge's colour."""
        return {"facecolor": self.tone, "edgecolor": self.lines, "hatch": self.hatch, "linewidth": 0}


HEEL = Look("heel: stays in when drained", "#b98b3c", "xxx", "#5e4316")
PLACES: dict[str, Look] = {
    "sump": Look("sump", NEW, "--", "#c29a52"),
    "apart": Look("sump, pools apart", "#d6ae5e", "--..", "#7a5426"),
    "pool": Look("stores, pool", "#5f93bf", "\\\\", "#d7e6f1"),
    "film": Look("stores, film", "#dbe7f0", "..", "#2f5f8a"),
    "kept": Look("stores, kept", "#2f5f8a", "xx", "#9cc3e0"),
    "filter": Look("filter", "#9cc3e0", "///", "#2f5f8a"),
    "filler": Look("filler path", "#dcebd5", "||", "#5d7d4d"),
    "old filter": Look("old filter", "#a8a8a8", "+++", "#e4e4e4"),
    "pan": Look("catch pan", "#d2d2d2", "|||", "#8a8a8a"),
    "floor": Look("floor", "#6b6b6b", "oo", "#d2d2d2"),
    "burnt": Look("burnt", "#ffffff", "**", "#6b6b6b"),
    "other": Look("elsewhere", "#8e8e8e", "//..", "#f4f4f4"),
}
OUTSIDE = frozenset({"old filter", "pan", "floor", "burnt"})


def group(place: str) -> str:
    """Name the entry of `PLACES` for the path of a place, such as ``stores.head.pool``."""
    head, last = place.split(".")[0], place.split(".")[-1]
    if place == "sump.apart":
        return "apart"
    if head == "stores":
        return last if last in PLACES else "other"
    return head if head in PLACES else "other"


def look(place: str) -> Look:
    """Look of a place, by its path."""
    return PLACES[group(place)]


def mixed(new_share: float) -> tuple[float, float, float]:
    """Tone of oil of which a share is new (0: all old, dark; 1: all new, light), linear between."""
    old, new = (tuple(int(c[i : i + 2], 16) / 255.0 for i in (1, 3, 5)) for c in (OLD, NEW))
    share = min(max(new_share, 0.0), 1.0)
    red, green, blue = (o + share * (n - o) for o, n in zip(old, new, strict=True))
    return red, green, blue
