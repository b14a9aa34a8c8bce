"""Diagnoses as jobs: the same bits for any number of threads, stopped by Ctrl-C, refused in the order of a table."""

import os
import signal
import subprocess
import sys
import threading
import time

import fillmark as fm
import pytest
from services import BOX

SERVICE = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(3.5, measured_with="jug"), fm.Run(minutes=2), fm.Rest(minutes=20)]

BITS = f"""
import hashlib
import fillmark as fm
circuit = fm.Circuit.loads({BOX!r}).replace({{"instruments.jug.scale": "1.00(2)", "plugs.main.heel": "0.20(5) L"}})
events = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(3.5, measured_with="jug"), fm.Run(minutes=2), fm.Rest(minutes=20)]
records = [fm.Record(events, [mm], complaint="reads_over", drained_l="2.9(1) L") for mm in (54.0, 58.0, 66.0)]
told = hashlib.sha256()
for verdict in fm.diagnose_many(circuit, records, particles=32, replicates=6, seed=SEED):
    columns = verdict.columns()
    for name in ("probability", "ln_evidence", "standard_error", "fit", "spans", "over_max"):
        told.update(columns[name].tobytes())
    told.update(repr([cause.sizes for cause in verdict.causes]).encode())
    told.update(repr([(check.name, check.bits) for check in verdict.next_checks]).encode())
print(told.hexdigest())
"""


def run(code, threads):
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p), "RAYON_NUM_THREADS": threads}
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
    return done.stdout


def test_a_seed_gives_the_same_bits_on_any_number_of_threads():
    bits = {run(BITS.replace("SEED", "7"), threads) for threads in ("1", "2", "7")}
    assert len(bits) == 1
    assert run(BITS.replace("SEED", "8"), "2") not in bits


@pytest.mark.skipif(os.name == "nt", reason="signals are sent another way there")
def test_ctrl_c_stops_a_diagnosis():
    # Hours of work, to be stopped after a quarter of a second.
    record = fm.Record(SERVICE, [58.0], complaint="reads_over")
    circuit = fm.Circuit.loads(BOX).replace({"instruments.jug.scale": "1.00(2)"})
    sent = []

    def press():
        sent.append(time.perf_counter())
        os.kill(os.getpid(), signal.SIGINT)

    timer = threading.Timer(0.25, press)
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            fm.diagnose(circuit, record, particles=200_000, replicates=1000)
        waited = time.perf_counter() - sent[0]
    finally:
        timer.cancel()
    # The flag is looked at every 256 runs; on a busy machine a thread may wait for its turn. The whole would take hours.
    assert waited < 20.0


def test_the_first_record_that_cannot_be_is_the_error():
    good = fm.Record(SERVICE, [58.0], complaint="reads_over")
    contradiction, impossible = (
        fm.Record(SERVICE, [40.0], complaint="reads_over"),
        fm.Record([fm.Pour(40)], [58.0], complaint="reads_over"),
    )
    circuit = fm.Circuit.loads(BOX)
    for records, code in (
        ([good, contradiction, impossible], "explain.contradiction"),
        ([impossible, contradiction, good], "explain.impossible_events"),
    ):
        with pytest.raises(fm.ExplainError) as caught:
            fm.diagnose_many(circuit, records, particles=16, replicates=2)
        assert caught.value.code == code
