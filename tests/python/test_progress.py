"""Long calls say how far they are, and end when whoever is told raises."""

import fillmark as fm
import pytest
from services import box
from test_display import DONE, SERVICE, THEN, generator, record

LONG = {
    "predict": lambda told: fm.predict(generator(), SERVICE, draws=4000, progress=told),
    "plan_refill": lambda told: fm.plan_refill(generator(), done=DONE, then=THEN, draws=3000, progress=told),
    "plan_withdraw": lambda told: fm.plan_withdraw(
        generator(), done=[*DONE, fm.Pour(4.4)], then=[fm.Rest(minutes=15)], draws=3000, progress=told
    ),
    "diagnose": lambda told: fm.diagnose(box(), record(), particles=16, replicates=3, progress=told),
    "diagnose_many": lambda told: fm.diagnose_many(box(), [record()] * 3, particles=16, replicates=2, progress=told),
}


@pytest.mark.parametrize("name", LONG)
def test_long_calls_tell_how_far_they_are(name):
    told = []
    LONG[name](lambda done, asked: told.append((done, asked)))
    done = [d for d, _ in told]
    assert done == sorted(set(done))
    assert all(0 < d <= asked for d, asked in told)
    assert told[-1][0] == told[-1][1]
    if name.startswith("plan"):
        assert told[-1][0] % 3000 == 0  # whole passes through the draws
    if name == "diagnose_many":
        assert told[-1] == (3, 3)


@pytest.mark.parametrize("name", LONG)
def test_what_progress_raises_ends_a_long_call(name):
    def enough(done, asked):
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        LONG[name](enough)
