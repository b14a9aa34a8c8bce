"""Time diagnoses: every written incident alone, then a table of records.

    python benches/explain.py [--records 1000]

Wall-clock and processor seconds. Targets on two cores: 1 s a record, 10 minutes for 1,000 records.
"""

from __future__ import annotations

import argparse
import statistics
import time

import fillmark as fm


def timed(work: object) -> tuple[float, float]:
    """Run a function; return its wall-clock and processor seconds."""
    wall, cpu = time.perf_counter(), time.process_time()
    work()  # type: ignore[operator]
    return time.perf_counter() - wall, time.process_time() - cpu


def incidents(times: int) -> None:
    """Each written incident, the least of so many times."""
    print(f"{'incident':<12} {'circuit':<15} {'causes':>6} {'runs':>9} {'wall s':>7} {'cpu s':>7}  first time, wall s")
    walls = []
    for name in fm.incidents():
        record = fm.incident(name)
        circuit = fm.Circuit.demo(record.circuit)
        first = timed(lambda c=circuit, r=record: fm.diagnose(c, r))
        wall, cpu = min(timed(lambda c=circuit, r=record: fm.diagnose(c, r)) for _ in range(times))
        verdict = fm.diagnose(circuit, record)
        walls.append(wall)
        causes, runs = len(verdict.causes), verdict.evaluations
        print(f"{name:<12} {record.circuit:<15} {causes:>6} {runs:>9,} {wall:>7.2f} {cpu:>7.2f}  {first[0]:.2f}")
    print(f"wall-clock seconds of an incident: median {statistics.median(walls):.2f}, most {max(walls):.2f}")


def table(count: int) -> None:
    """A table of over-full services of the shuttle-bus, all readings different."""
    service = ["drain 10 min at 60 degC", "change filter", "pour 7.4 L with jug", "run 2 min", "rest 20 min"]
    rows: dict[str, list[object]] = {"record": [], "complaint": [], "event": [], "reading_mm": []}
    for k in range(count):
        rows["record"] += [f"record {k}"] * len(service)
        rows["complaint"] += ["reads_over"] * len(service)
        rows["event"] += service
        rows["reading_mm"] += [None] * (len(service) - 1) + [112.5 + 20.0 * k / count]
    bus = fm.Circuit.demo("shuttle-bus")
    wall, cpu = timed(lambda: fm.diagnose_many(bus, rows))
    each = wall / count
    print(f"{count:,} records of the shuttle-bus in one call: {wall:.0f} s ({cpu:.0f} s of processor), {each:.2f} s each")


def main() -> None:
    """Time both and print."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--records", type=int, default=1000, help="records of the table")
    parser.add_argument("--times", type=int, default=3, help="how often each incident is timed")
    asked = parser.parse_args()
    incidents(asked.times)
    table(asked.records)


if __name__ == "__main__":
    main()
