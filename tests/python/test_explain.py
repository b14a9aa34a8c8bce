"""Diagnoses through the Python face: records, hypotheses, verdicts, checks, cards."""

import pickle
import re
from html.parser import HTMLParser

import fillmark as fm
import numpy as np
import pytest

SERVICE = [
    fm.Drain(minutes=10, temperature_c=60),
    fm.ChangeFilter(),
    fm.Pour(7.4, measured_with="jug"),
    fm.Run(minutes=2),
    fm.Rest(minutes=20),
]
BUS = fm.Circuit.demo("shuttle-bus")
QUICK = {"particles": 32, "replicates": 2}


def record(readings=(119.0,), **more):
    return fm.Record(SERVICE, list(readings), **{"complaint": "reads_over", **more})


def own(**more):
    return fm.Hypothesis("x", SERVICE, **more)


# What raises every error of the domain: code, call.
REFUSED = [
    ("explain.nothing_seen", lambda: fm.Record(SERVICE, [], complaint="reads_over")),
    ("explain.bad_reading", lambda: record([{"mm": 119.0, "says": "over"}])),
    ("explain.bad_reading", lambda: record([{"mm": 119.0, "after": 9}])),
    ("explain.bad_reading", lambda: record([{"colour": "brown"}])),
    ("explain.bad_observation", lambda: record(drained_l="-1 L")),
    ("explain.bad_observation", lambda: record(complaint="reads_funny")),
    ("explain.bad_observation", lambda: record(signs={"green": True})),
    ("explain.contradiction", lambda: fm.diagnose(BUS, record([100.0]))),
    ("explain.impossible_events", lambda: fm.diagnose(BUS, fm.Record([fm.Pour(40)], [119.0], complaint="reads_over"))),
    ("explain.bad_prior", lambda: record(priors={"poor drain": -1.0})),
    ("explain.unknown_cause", lambda: fm.diagnose(BUS, record(), priors={"poor drian": 1.0})),
    ("explain.bad_observation", lambda: fm.cause_priors("smells")),
    ("explain.bad_hypothesis", lambda: fm.diagnose(BUS, record(), hypotheses=[own()])),
    ("explain.bad_hypothesis", lambda: own(complaints=["reads_over", "smells"])),
    ("explain.bad_column", lambda: fm.Record.from_columns({"reading_mm": [1.0]}, complaint="reads_over")),
    ("explain.bad_column", lambda: fm.Record.from_columns({"event": ["poor 1 L"]}, complaint="reads_over")),
    ("explain.option_out_of_range", lambda: fm.diagnose(BUS, record(), particles=4)),
]


@pytest.mark.parametrize(("code", "call"), REFUSED, ids=[code for code, _ in REFUSED])
def test_refusals(code, call):
    with pytest.raises(fm.ExplainError) as caught:
        call()
    assert caught.value.code == code
    assert isinstance(caught.value, ValueError)
    assert len(str(caught.value)) > 15


@pytest.fixture(scope="module")
def verdict():
    return fm.diagnose(BUS, record(drained_l="6.2(1) L", name="Tuesday", note="<b>Invented.</b>"))


def test_the_face(verdict):
    first = verdict.causes[0]
    assert first.name == "poor drain"
    assert first.probability > 0.7
    assert verdict.is_settled
    assert verdict.next_checks[0].bits >= verdict.next_checks[1].bits >= 0.0
    assert sum(cause.probability for cause in verdict.causes) == pytest.approx(1.0)
    assert sum(cause.prior for cause in verdict.causes) == pytest.approx(1.0)
    assert verdict.probability_of("poor drain") >= first.probability
    assert "poor drain" in str(verdict)
    assert "judgement" in str(verdict)
    assert "not fault" in str(verdict)


def test_every_cause_has_its_numbers(verdict):
    columns = verdict.columns()
    assert all(len(column) == len(verdict.causes) for column in columns.values())
    assert columns["bayes_factor_against"][0] == 1.0
    assert np.all(columns["prior_factor"] >= 1.0)
    assert np.all((columns["fit"] >= 0.0) & (columns["fit"] <= 1.0))
    size = verdict.causes[0].sizes
    assert size["name"].tolist() == ["left in beyond the nominal"]
    assert size["low"][0] < size["mean"][0] < size["high"][0]
    # The pan is short by what stays in: 7.0 L - 6.2 L by the nominal service, within the scatter of both.
    assert size["mean"][0] == pytest.approx(0.8, abs=0.25)
    seen = verdict.causes[0].observations
    assert seen["what"].tolist() == ["reading 1", "drained"]
    scatter = next(c for c in verdict.causes if c.name == "ordinary scatter")
    assert scatter.observations["ln_factor_of_leading"].sum() > 2.0


def test_same_seed_same_bits_and_pickles(verdict):
    again = fm.diagnose(BUS, verdict.record)
    assert again == verdict
    assert again.columns()["ln_evidence"].tobytes() == verdict.columns()["ln_evidence"].tobytes()
    assert pickle.loads(pickle.dumps(verdict)) == verdict
    assert pickle.loads(pickle.dumps(verdict.causes[1])) == verdict.causes[1]
    assert pickle.loads(pickle.dumps(verdict.next_checks[0])) == verdict.next_checks[0]
    assert fm.diagnose(BUS, verdict.record, seed=2).causes[0].probability != verdict.causes[0].probability


def test_records_travel():
    one = record(
        [{"litres_from_max": 0.6, "source": "told"}, {"fraction": 1.4, "after": 3}], signs={"milky": False}, tanked=True
    )
    for text in (one.to_json(), one.to_toml()):
        assert fm.Record.loads(text) == one
    assert pickle.loads(pickle.dumps(one)) == one
    assert one.signs == {"milky": False}
    assert one.readings[0]["from_max"] == "0.6 L"
    assert "2 readings" in repr(one)


def test_a_record_from_a_file(tmp_path):
    path = tmp_path / "incident-07.toml"
    path.write_text(record().to_toml(), encoding="utf-8")
    assert fm.Record.load(path) == record()
    path.write_text(record().to_toml().replace("mm =", "mn ="), encoding="utf-8")
    with pytest.raises(fm.CircuitError, match=r"incident-07\.toml: line \d+: unknown key `mn`"):
        fm.Record.load(path)
    with pytest.raises(fm.FileError):
        fm.Record.load(tmp_path / "nothing.toml")


def test_a_table_of_records():
    table = {
        "record": ["A", "A", "A", "B", "B"],
        "complaint": ["reads_over"] * 5,
        "event": ["drain 10 min at 60 degC", "change filter", "pour 7.4 L", "drain 10 min", "pour 7.4 L"],
        "reading_mm": [None, None, 119.0, float("nan"), 120.0],
        "source": ["", "", "told", "", ""],
    }
    records = fm.Record.from_table(table)
    assert [r.name for r in records] == ["A", "B"]
    verdicts = fm.diagnose_many(BUS, table, **QUICK)
    assert verdicts == fm.diagnose_many(BUS, records, **QUICK)
    assert verdicts[0] == fm.diagnose(BUS, records[0], **QUICK)


def test_own_hypotheses_are_called_once():
    calls = []

    def can(told):
        calls.append(told)
        return [*told[:3], fm.Pour(fm.Unknown("can", "0.98 .. 1.02 L")), *told[3:]]

    hypothesis = fm.Hypothesis("a whole can", can, weight=10, note="A can was added.")
    found = fm.diagnose(BUS, record([122.0], poured_l="8.4(1) L"), hypotheses=[hypothesis])
    assert len(calls) == 1
    assert [event.label for event in calls[0]][-1] == "reading 1"
    cause = next(c for c in found.causes if c.name == "a whole can")
    assert found.causes[0] == cause
    assert cause.sizes["name"].tolist() == ["can"]
    assert 0.98 <= cause.sizes["mean"][0] <= 1.02
    assert fm.Unknown("can", fm.Uncertain("0.9 .. 1.1 L")) == fm.Unknown("can", "0.9 .. 1.1 L")
    with pytest.raises(fm.QuantityError):
        fm.Unknown("can", "about a litre")


def test_priors_are_tables_that_may_be_replaced():
    for complaint in ("reads_over", "reads_under", "rises", "falls", "differs"):
        assert sum(fm.cause_priors(complaint).values()) == pytest.approx(100.0)
    with pytest.raises(ValueError, match="accepted: reads_over"):
        fm.cause_priors("smells")
    only = dict.fromkeys(fm.cause_priors("reads_over"), 0.0) | {"poor drain": 1.0, "none of these": 1.0}
    found = fm.diagnose(BUS, record(), priors=only, pairs=False, **QUICK)
    assert {c.name for c in found.causes if c.prior > 0.0} == {"poor drain", "none of these"}


def test_no_check_endangers():
    overfull = fm.diagnose(BUS, record([150.0], signs={"fuel_smell": True}), **QUICK)
    assert overfull.do_not_start
    assert not any(check.starts_or_moves for check in overfull.next_checks)
    assert all(check.starts_or_moves and check.blocked for check in overfull.blocked_checks)
    assert overfull.blocked_checks
    for check in [*overfull.next_checks, *overfull.blocked_checks]:
        assert not re.search(r"\b(add|pour|top up)\b", check.words.lower().replace("was added", ""))
        assert sum(check.outcomes["probability"]) == pytest.approx(1.0)


def test_milk_forbids_a_start():
    milky = fm.Record(SERVICE, [113.0], complaint="rises", signs={"milky": True})
    found = fm.diagnose(BUS, milky, **QUICK)
    assert "the oil looks milky" in found.do_not_start
    assert not any(check.starts_or_moves for check in found.next_checks)


class Page(HTMLParser):
    """Tags and addresses of a page."""

    def __init__(self):
        super().__init__()
        self.tags, self.links, self.open = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.links += [value for name, value in attrs if name in ("href", "src")]
        if tag not in ("meta", "rect", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        if tag != "rect":
            assert self.open.pop() == tag


def test_the_card_is_one_page(verdict, tmp_path):
    verdict.save_card(tmp_path / "card.html")
    text = (tmp_path / "card.html").read_text(encoding="utf-8")
    assert text == verdict.to_card()
    page = Page()
    page.feed(text)
    assert not page.open
    assert not page.links
    assert "script" not in page.tags
    assert "http" not in text
    assert "<b>" not in text
    assert "&lt;b&gt;Invented." in text
    for word in (
        "Ledger",
        "Cautions",
        "judgement",
        "SHA-256",
        fm.__version__,
        "poor drain",
        "not fault",
        "@media print",
    ):
        assert word in text
    assert not re.search(r">[+-]0\.00<", text)  # what rounds to nothing has no sign
    assert all(str(event) in text for event in verdict.record.events)  # the ledger names the steps as they are told
    # In grey: every colour has three equal parts.
    assert all(len(set(re.findall("..", c * (6 // len(c))))) == 1 for c in re.findall(r"#([0-9a-f]{3,6})\b", text))


def test_a_verdict_shows_itself(verdict):
    assert "poor drain" in verdict._repr_html_()
    assert "Tuesday" in repr(verdict)
    assert "&lt;" not in repr(verdict)


def test_no_probability_leaves_0_to_1():
    # Replicates of unlike weight: a sum of weights that are rounded one by one went beyond 1 by some 1e-15.
    verdict = fm.diagnose(fm.Circuit.demo("shuttle-bus"), fm.incident("incident-07"), particles=48, replicates=5)
    columns = verdict.columns()
    for name in ("probability", "prior", "fit", "over_max"):
        assert columns[name].min() >= 0.0
        assert columns[name].max() <= 1.0
    assert 1.0 in columns["over_max"]  # a slip of the unit leaves it over whatever else is unknown


def test_what_is_undone_forbids_a_start():
    events = ["drain 10 min at 60 degC", "change filter", "pour 7.4 L with jug", "run 2 min", "rest 20 min"]
    text = 'format = 1\ncomplaint = "reads_over"\nreadings = [{{ mm = "112.5 mm" }}]\nevents = {}\n'
    record = fm.Record.loads(text.format([*events, 'leak 0.001 L/min while running, called "plug"']))
    found = fm.diagnose(fm.Circuit.demo("shuttle-bus"), record, particles=16, replicates=2)
    told = "oil leaks out at 0.001 L/min while the engine runs (plug), and nothing has stopped it"
    assert found.do_not_start[0] == told
    assert f"do not start: {told}" in str(found)
    assert all(told in check.blocked for check in found.blocked_checks)
