"""Services as files and as lines of text; a service that starts from a state."""

import json
import sys

import fillmark as fm
import pytest
from services import core_service

if sys.version_info >= (3, 11):
    import tomllib
else:
    tomllib = None

LINES = """\
name: Monday
note: "two lines\\nof it"
circuit: shuttle-bus

open plug main at 60 degC
close plug, called "shut"
remove filter
fit filter, primed 0.1(1) L, holds 0.5 L, oil at 68 degF
drain 10 min through main
change filter
pour 6 1/2 US qt with jug, oil at 20 degC
withdraw 0.25 kg
run 1 min to 90 degC
rest 5 .. 6 min
tilt nose up 2 deg, right down 1 deg
leak 7 L/min while running, called "two gaskets"
use 0.03 L/h
ingress coolant 20 mL/min always
stop "two gaskets"
wipe
read "first dip", stick other, smear 5 mm, seat offset 1 mm, tube pressure 0.5 hPa, higher face, standing nose up 3 %
"""


def test_every_event_has_a_line():
    service = fm.Service.loads(LINES)
    assert service.to_text() == LINES
    assert str(service) == LINES.rstrip("\n")
    kinds = {type(event) for event in service}
    assert kinds == set(fm.Event.__subclasses__())
    assert [str(event) for event in service] == LINES.splitlines()[4:]
    assert all(fm.Event.from_text(str(event)) == event for event in service)


def test_a_service_is_a_sequence_of_its_events():
    service = fm.Service.loads(LINES)
    assert (service.name, service.note, service.circuit) == ("Monday", "two lines\nof it", "shuttle-bus")
    assert len(service) == len(service.events) == 17
    assert list(service) == service.events
    assert service[0] == service[-17] == fm.OpenPlug("main", temperature_c=60)
    for outside in (17, -18):
        with pytest.raises(IndexError, match=f"event {outside} of 17"):
            service[outside]
    assert fm.Service(service) == fm.Service(service.events)
    assert fm.Service(service) != service


def test_it_stands_wherever_events_do():
    bus = fm.Circuit.demo("shuttle-bus")
    text = 'drain 10 min\nchange filter\npour 6.9 L with jug\nrun 1 min\nread "dip"\n'
    service = fm.Service.loads(text)
    line = fm.simulate(bus, service)
    assert line == fm.simulate(bus, service.events)
    assert fm.predict(bus, service, draws=100).reading("dip").fraction.mean > 0
    plan = fm.plan_refill(bus, done=fm.Service.loads("drain 10 min"), then=fm.Service.loads("run 1 min"), draws=200)
    assert plan.first_pour_l > 5.0


@pytest.mark.parametrize("seed", range(40))
def test_random_services_survive_every_notation(seed):
    _, events, *_ = core_service(seed)
    service = fm.Service(events, name=f"random {seed}")
    for text in (service.to_toml(), service.to_json(), service.to_text()):
        assert fm.Service.loads(text) == service
    assert all(fm.Event.from_json(event.to_json()) == event for event in events)


def test_files_are_read_by_what_they_say(tmp_path):
    service = fm.Service.loads(LINES)
    for name, text in (("a.toml", service.to_toml()), ("a.json", service.to_json()), ("a.txt", LINES)):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        assert fm.Service.load(path) == service
    path.write_text("wipe\ndrian 10 min", encoding="utf-8")
    with pytest.raises(
        fm.ServiceError, match=r"a\.txt: line 2, column 1: unknown word `drian`; did you mean `drain`\?"
    ):
        fm.Service.load(path)
    with pytest.raises(fm.FileError):
        fm.Service.load(tmp_path / "none.toml")


@pytest.mark.skipif(tomllib is None, reason="the standard library reads TOML from Python 3.11 on")
def test_toml_and_json_say_the_same():
    service = fm.Service.loads(LINES)
    assert tomllib.loads(service.to_toml()) == json.loads(service.to_json())
    pour = json.loads(service.to_json())["events"][6]
    assert pour == {"pour": {"volume": "6 1/2 US qt", "temperature": "20 degC", "measured_with": "jug"}}


def test_a_service_in_two_parts_is_the_service():
    bus = fm.Circuit.demo("shuttle-bus")
    before = [fm.Drain(minutes=10, temperature_c=60), fm.ChangeFilter(), fm.Pour(6.5)]
    after = [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="dip")]
    whole = fm.simulate(bus, [*before, *after])
    middle = fm.simulate(bus, before).rows[-1].state
    for start in (middle, fm.State(middle.to_json())):
        rest = fm.simulate(bus, after, start=start)
        assert rest.rows[0].state == middle
        assert rest.rows[-1].state == whole.rows[-1].state
        assert rest.reading("dip").mm == whole.reading("dip").mm


def test_a_start_must_be_a_state_of_the_circuit():
    bus, launch = fm.Circuit.demo("shuttle-bus"), fm.Circuit.demo("deck-generator")
    state = fm.simulate(bus, []).rows[0].state
    with pytest.raises(fm.ServiceError, match=r"^start: its places are sump, .*; this circuit's are "):
        fm.simulate(launch, [], start=state)
    data = json.loads(state.to_json())
    data["contents"][0]["mass"][1] = -1.0
    with pytest.raises(fm.ServiceError, match=r"^start: sump holds -1; masses"):
        fm.simulate(bus, [], start=fm.State(json.dumps(data)))
    data["contents"].pop()
    with pytest.raises(fm.ServiceError, match="start: "):
        fm.simulate(bus, [], start=fm.State(json.dumps(data)))
    data["contents"][0]["masses"] = data["contents"][0].pop("mass")
    with pytest.raises(fm.CircuitError, match=r"unknown key `masses` in contents\[0\]; did you mean `mass`\?"):
        fm.State(json.dumps(data))
    with pytest.raises(TypeError):
        fm.simulate(bus, [], start=state.to_json())
