"""Time what a user waits for at first: importing the package, and the first plan, each in a fresh interpreter.

    python benches/start.py [--times 20]

Printed are the least and the median of wall-clock and of processor seconds. On a busy machine the least processor time
is the one to compare.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys

TIMED = """
import time
wall, cpu = time.perf_counter(), time.process_time()
{what}
print(time.perf_counter() - wall, time.process_time() - cpu)
"""
WHAT = {
    "import numpy": "import numpy",
    "import fillmark, NumPy imported": "import fillmark",
    "import fillmark": "import fillmark",
    "first plan of the shuttle-bus, 20,000 draws, import included": (
        "import fillmark as fm\n"
        "bus = fm.Circuit.demo('shuttle-bus')\n"
        "fm.plan_refill(bus, done=[fm.Drain(minutes=10), fm.ChangeFilter()], then=[fm.Run(minutes=1)], draws=20_000)"
    ),
}


def fresh(what: str, first: str = "") -> tuple[float, float]:
    """Run a statement in a fresh interpreter; return its wall-clock and processor seconds."""
    code = first + TIMED.format(what=what)
    said = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout.split()
    return float(said[0]), float(said[1])


def main() -> None:
    """Time every statement, in turn, and print a table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--times", type=int, default=20, help="fresh interpreters for each")
    times = parser.parse_args().times
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in WHAT}
    for _ in range(times):
        for name, what in WHAT.items():
            taken[name].append(fresh(what, "import numpy\n" if name.endswith("NumPy imported") else ""))
    for name, pairs in taken.items():
        wall, cpu = zip(*pairs, strict=True)
        print(
            f"{name:<62} wall {min(wall):.3f} s (median {statistics.median(wall):.3f}), "
            f"processor {min(cpu):.3f} s (median {statistics.median(cpu):.3f})"
        )


if __name__ == "__main__":
    main()
