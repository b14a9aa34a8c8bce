"""Time a move of the live bench: the core's answer and the pictures, on every demo circuit.

Run as ``python benches/bench_widget.py``. Two kinds of move are timed: one that changes the service (the pour), and one
that stands the circuit at an attitude it has not stood at before, for which its sump must be prepared anew. The time is
that of the processor, all threads added, so that other work on the machine does not count; the target is 100 ms.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterable

import fillmark as fm
from fillmark.bench import Bench, Moves
from fillmark.bench._live import answer

TARGET_MS = 100.0


def milliseconds(bench: Bench, moves: Iterable[Moves]) -> list[float]:
    """Answer every move once; give what each took [ms]."""
    took = []
    for one in moves:
        began = time.process_time()
        answer(bench, one, "b")
        took.append((time.process_time() - began) * 1e3)
    return took


def main() -> None:
    """Print median and worst of both kinds of move."""
    print(f"{'circuit':<16}{'move':<14}{'first':>8}{'median':>8}{'worst':>8}  ms of processor")
    for name in fm.demos():
        bench = Bench(name)
        first = milliseconds(bench, [bench.start()])[0]
        pours = [bench.start(poured_l=round(bench.book_l * share / 100.0, 2)) for share in range(80, 110)]
        slopes = [bench.start(nose_up_deg=p / 2, right_down_deg=r / 2) for p in range(-12, 13, 5) for r in (-7, 0, 5)]
        for kind, moves in (("pour, level", pours), ("new attitude", slopes)):
            took = milliseconds(bench, moves)
            late = "" if max(took) <= TARGET_MS else f"  over {TARGET_MS:.0f}"
            row = f"{first:8.1f}{statistics.median(took):8.1f}{max(took):8.1f}"
            print(f"{name:<16}{kind:<14}{row}{late}")


if __name__ == "__main__":
    main()
