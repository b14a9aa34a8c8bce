"""Eighteen written incidents (invented): the true cause leads where data can tell; else it is said."""

import fillmark as fm
import pytest

# The cause that each was written about. "or" where two causes leave the same traces: a look-alike.
TRUTH = {
    "incident-01": ("poor drain",),
    "incident-02": ("read early, then topped up",),
    "incident-03": ("dry capacity poured", "figure of another variant poured"),
    "incident-04": ("read on a slope",),
    "incident-05": ("filter kept",),
    "incident-06": ("read early, then topped up", "prefill counted twice"),
    "incident-07": ("unit slip",),
    "incident-08": ("not drained",),
    "incident-09": ("filled twice",),
    "incident-10": ("wrong stick or tube",),
    "incident-11": ("stick not wiped",),
    "incident-12": ("pressure in the tube", "stick not wiped"),
    "incident-13": ("fuel in the oil",),
    "incident-14": ("coolant in the oil",),
    "incident-15": ("leak",),
    "incident-16": ("read late with a tank",),
    "incident-17": ("read too soon",),
    "incident-18": ("stick not seated",),
}


def diagnosed(name):
    record = fm.incident(name)
    return fm.diagnose(fm.Circuit.demo(record.circuit), record)


def test_every_incident_is_written_and_says_that_it_is_invented():
    assert fm.incidents() == list(TRUTH)
    assert all(fm.incident(name).note.startswith("Invented.") for name in TRUTH)
    with pytest.raises(ValueError, match="incident-18"):
        fm.incident("incident-19")


@pytest.mark.parametrize("name", [name for name, causes in TRUTH.items() if len(causes) == 1])
def test_the_true_cause_leads(name):
    verdict = diagnosed(name)
    assert verdict.causes[0].name == TRUTH[name][0], str(verdict)
    assert verdict.causes[0].fit > 0.01


@pytest.mark.parametrize("name", [name for name, causes in TRUTH.items() if len(causes) == 2])
def test_look_alikes_are_said_and_a_check_separates_them(name):
    verdict = diagnosed(name)
    assert not verdict.is_settled, str(verdict)
    leading = {verdict.causes[0].name, *verdict.look_alikes}
    assert set(TRUTH[name]) <= leading, str(verdict)
    # Some check has, for each of the two, an outcome after which it leads.
    led = [set(check.outcomes["cause"]) for check in verdict.next_checks]
    assert any(set(TRUTH[name]) <= causes for causes in led), str(verdict)
