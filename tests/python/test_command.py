"""``python -m fillmark plan|predict|explain FILE``: the page, the JSON, the exit code."""

import io
import json
import re
import subprocess
import sys

import fillmark as fm
import pytest
from fillmark import __main__ as program
from services import BOX

SERVICE = """\
name: Monday
circuit: box.toml
drain 10 min
change filter
pour 2.9 L with jug, oil at 25 degC
run 1 min
rest 10 min
read "dip"
"""
DONE = [fm.Drain(minutes=10), fm.ChangeFilter()]
THEN = [fm.Run(minutes=1), fm.Rest(minutes=10), fm.Read(label="dip")]


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Run the program in a folder with a circuit and a service; return the exit code, what it printed and said."""
    monkeypatch.chdir(tmp_path)
    tmp_path.joinpath("box.toml").write_text(BOX, encoding="utf-8")
    tmp_path.joinpath("monday.txt").write_text(SERVICE, encoding="utf-8")

    def call(*argv):
        try:
            code = program.main([*map(str, argv)])
        except SystemExit as left:
            code = left.code
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        return code, said.out, said.err

    return call


def plan(done=DONE, then=THEN, **more):
    # The box's jug is exact, so its readings scatter by the blade's noise alone.
    return fm.plan_refill(fm.Circuit.loads(BOX), done=done, then=then, draws=2000, temperature_c=25, **more)


def test_plan_prints_the_plan(run):
    code, page, said = run("plan", "monday.txt", "--draws", 2000)
    assert (code, said) == (0, "")
    assert page.startswith("Monday: the pour, event 3 of 6, is what the plan decides\n")
    assert str(plan(measured_with="jug")).strip() in page


def test_plan_takes_the_options(run):
    code, text, _ = run(
        "plan", "monday.txt", "--draws", 2000, "--seed", 7, "--risk-over-max", "0.2", "--jug-step", "0.25 L", "--json"
    )
    wanted = plan(seed=7, risk_over_max=0.2, jug_step_l=0.25)
    told = json.loads(text)
    assert code == 0
    assert told["first_pour_l"] == pytest.approx(wanted.first_pour_l, abs=1e-9)
    assert told["first_pour_l"] / 0.25 == pytest.approx(round(told["first_pour_l"] / 0.25), abs=1e-9)
    assert told["probability_over_max"] == wanted.probability_over_max <= told["risk_over_max"] == 0.2
    assert [r["label"] for r in told["readings"]] == [r.label for r in wanted.readings]
    assert [r["mm"]["mean"] for r in told["readings"]] == [r.mm.mean for r in wanted.readings]
    assert told["residue_l"]["mean"] == wanted.residue_l.mean
    assert [row["do"] for row in told["table"]] == [row.text for row in wanted.corrections]


def test_plan_as_markdown_with_a_second_unit(run):
    options = ["--other-unit", "US qt", "--reading-step", "1 mm", "--markdown"]
    code, page, _ = run("plan", "monday.txt", "--draws", 2000, *options)
    wanted = plan(measured_with="jug", other_unit="US qt", reading_step_mm=1.0)
    assert code == 0
    assert page == f"{wanted.to_markdown().rstrip()}\n"
    assert "US qt" in page


@pytest.mark.parametrize(
    ("events", "where"),
    [
        (["drain 10 min", "run 1 min", "read"], "a pour before event 2"),
        (["drain 10 min", "change filter"], "a pour after the last event"),
        (["pour 1 L"], "the pour, event 1 of 1,"),
    ],
)
def test_where_the_pour_is(run, tmp_path, events, where):
    (tmp_path / "a.txt").write_text("\n".join(["circuit: box.toml", *events]), encoding="utf-8")
    code, page, _ = run("plan", "a.txt", "--draws", 200)
    assert page.startswith(f"{where} is what the plan decides")
    assert code == (1 if events == ["pour 1 L"] else 0)  # a sump at MAX takes nothing: the answer is a warning


def test_the_jug_and_the_oil_of_the_file_count(run, tmp_path):
    text = BOX.replace("scale = 1", 'scale = "1.00(4)"') + '[instruments.can]\nscale = "1.10"\n'
    (tmp_path / "box.toml").write_text(text, encoding="utf-8")
    found = {}
    for jug in ("jug", "can"):
        (tmp_path / "a.txt").write_text(SERVICE.replace("with jug", f"with {jug}"), encoding="utf-8")
        found[jug] = json.loads(run("plan", "a.txt", "--draws", 2000, "--json")[1])["first_pour_l"]
    assert found["jug"] != found["can"]


def test_predict_prints_readings_and_verdict(run):
    code, page, said = run("predict", "monday.txt", "--draws", 2000)
    service = [*DONE, fm.Pour("2.9 L", measured_with="jug", temperature_c=25), *THEN]
    circuit = fm.Circuit.loads(BOX)
    dip = fm.predict(circuit, service, draws=2000).reading("dip")
    low, high = dip.mm.interval(0.95)
    assert (code, said) == (0, "")
    assert f"{dip.mm.mean:.1f} mm ({low:.1f} to {high:.1f}), {dip.fraction.mean:.2f} of the span" in page
    assert str(fm.assess(circuit, service, draws=2000)).strip() in page
    _, text, _ = run("predict", "monday.txt", "--draws", 2000, "--json")
    told = json.loads(text)
    assert (told["service"], told["circuit"], told["draws"], told["seed"]) == ("Monday", "box", 2000, 1)
    assert told["readings"][0]["mm"] == {
        "mean": dip.mm.mean,
        "standard_uncertainty": dip.mm.standard_uncertainty,
        "interval_95": list(dip.mm.interval(0.95)),
    }
    assert told["assessment"]["verdict"] == fm.assess(circuit, service, draws=2000).verdict


@pytest.mark.parametrize(
    ("event", "verdict"),
    [
        ("pour 2 L", "do not start"),
        ("pour 0.3 L", "correct"),
        ("drain 10 min", "do not run"),
        ("withdraw 0.2 L", "within"),
    ],
)
def test_a_verdict_other_than_within_leaves_with_1(run, tmp_path, event, verdict):
    (tmp_path / "a.txt").write_text(f"circuit: box.toml\n{event}\n", encoding="utf-8")
    code, text, _ = run("predict", "a.txt", "--draws", 500, "--json")
    assert json.loads(text)["assessment"]["verdict"] == verdict
    assert code == (0 if verdict == "within" else 1)


def test_predict_says_what_did_not_fit(run, tmp_path):
    text = BOX.replace("scale = 1", 'scale = "1.0(1)"')
    (tmp_path / "box.toml").write_text(text, encoding="utf-8")
    (tmp_path / "a.txt").write_text("circuit: box.toml\npour 2.6 L with jug\nread", encoding="utf-8")
    code, page, _ = run("predict", "a.txt", "--draws", 500)
    assert code == 1
    assert re.search(r"in \d+\.\d % of draws an amount did not fit", page)
    assert re.search(r"reading 1 +9\d\.\d mm", page)
    (tmp_path / "a.txt").write_text("circuit: box.toml\nrest 1 min", encoding="utf-8")
    assert "the service takes no reading: add `read`" in run("predict", "a.txt", "--draws", 50)[1]


RECORD = """\
format = 1
name = "job 7"
circuit = "box.toml"
complaint = "reads_over"
events = ["drain 10 min", "change filter", "pour 3.4 L with jug", "run 2 min", "rest 20 min"]

[[readings]]
mm = "58 mm"

[measured]
drained = "3.1(1) L"
"""
FEW = ["--particles", "32", "--replicates", "2"]


@pytest.fixture
def record(tmp_path):
    tmp_path.joinpath("job7.toml").write_text(RECORD, encoding="utf-8")
    return fm.diagnose(fm.Circuit.loads(BOX), fm.Record.loads(RECORD), particles=32, replicates=2)


def test_explain_prints_the_verdict(run, record):
    code, page, said = run("explain", "job7.toml", *FEW)
    assert said == ""
    assert page.rstrip().endswith(str(record).rstrip())
    assert page.count("assigns causes, not fault") == 1
    assert [line for line in page.splitlines() if line.startswith("  - ")] == [f"  - {c}" for c in record.cautions]
    assert "cautions:\n  - Hot oil burns." in page
    assert code == (1 if record.do_not_start else 0)
    _, text, _ = run("explain", "job7.toml", *FEW, "--json")
    told = json.loads(text)
    assert [cause["name"] for cause in told["causes"]] == [cause.name for cause in record.causes]
    assert [cause["probability"] for cause in told["causes"]] == [cause.probability for cause in record.causes]
    assert [check["bits"] for check in told["next_checks"]] == [check.bits for check in record.next_checks]
    assert (told["record"], told["conclusion"]) == ("job 7", record.conclusion)


def test_explain_writes_a_card(run, record, tmp_path):
    run("explain", "job7.toml", *FEW, "--card", "card.html")
    assert (tmp_path / "card.html").read_text(encoding="utf-8") == record.to_card()
    code, page, said = run("explain", "job7.toml", *FEW, "--card", "no folder/card.html")
    assert (code, page) == (2, "")
    assert said.startswith("fillmark: cannot write no folder/card.html: ")


def test_a_file_for_another_job_is_named_as_what_it_is(run, record):
    code, page, said = run("explain", "monday.txt")
    assert (code, page) == (2, "")
    assert said.startswith("fillmark: monday.txt is a service, which is for `plan` and `predict`; wanted is a record")
    for file, job in (("job7.toml", "predict"), ("incident-07", "plan")):
        code, page, said = run(job, file)
        assert (code, page) == (2, "")
        assert said == f"fillmark: {file} is a record of an incident, which is for `explain`; wanted is a service\n"


def test_a_risk_that_the_draws_cannot_show_is_refused(run):
    # Ten of the draws over MAX are the least: 10 / 0.05 = 200, 10 / 0.01 = 1000.
    assert run("plan", "monday.txt", "--draws", 200)[0] == 0
    for draws, risk, least in ((199, "0.05", 200), (1, "0.05", 200), (500, "0.01", 1000)):
        code, page, said = run("plan", "monday.txt", "--draws", draws, "--risk-over-max", risk)
        assert (code, page) == (2, "")
        assert said == (
            f"fillmark: {draws} draws cannot show a risk of {risk}, which is 10 of {least} draws; "
            f"accepted: {least} draws or more\n"
        )


def test_explain_takes_an_incident_by_name(run):
    code, text, _ = run("explain", "incident-07", *FEW, "--json")
    told = json.loads(text)
    assert told["record"] == "incident-07"
    assert code == (1 if told["do_not_start"] else 0)


def test_a_record_that_forbids_a_start_leaves_with_1(run, tmp_path):
    (tmp_path / "milky.toml").write_text(RECORD + "\n[signs]\nmilky = true\n", encoding="utf-8")
    code, text, _ = run("explain", "milky.toml", *FEW, "--json")
    reasons = json.loads(text)["do_not_start"]
    assert "the oil looks milky" in reasons
    assert code == 1
    code, page, _ = run("explain", "milky.toml", *FEW)
    assert page.startswith(f"Do not start the engine, do not move the vehicle: {'; '.join(reasons)}.\n\n")
    assert code == 1


def test_the_record_in_the_help_is_one(run):
    example = program.RECORDS.partition("\n\n")[2]
    record = fm.Record.loads("\n".join(line.strip() for line in example.splitlines()))
    assert record.circuit in fm.demos()


def test_every_notation_and_the_standard_input(run, tmp_path, monkeypatch):
    service = fm.Service.loads(SERVICE)
    pages = []
    for name, text in (("a.toml", service.to_toml()), ("a.json", service.to_json()), ("a.txt", SERVICE)):
        (tmp_path / name).write_text(text, encoding="utf-8")
        pages.append(run("predict", name, "--draws", 200)[1])
    monkeypatch.setattr(sys, "stdin", io.StringIO(SERVICE))
    pages.append(run("predict", "-", "--draws", 200)[1])
    assert len(set(pages)) == 1


def test_where_the_circuit_is_looked_for(run, tmp_path):
    apart = tmp_path / "apart"
    apart.mkdir()
    (apart / "a.txt").write_text(SERVICE, encoding="utf-8")
    (apart / "box.toml").write_text(BOX.replace('name = "box"', 'name = "other box"'), encoding="utf-8")
    circuit = lambda *argv: json.loads(run("predict", *argv, "--draws", 50, "--json")[1])["circuit"]  # noqa: E731
    assert circuit("apart/a.txt") == "other box"  # beside the service
    assert circuit("apart/a.txt", "--circuit", "box.toml") == "box"  # from the working folder
    assert circuit("apart/a.txt", "--circuit", "shuttle-bus") == "shuttle-bus"


@pytest.mark.parametrize(
    "argv", [["plan"], ["predict"], ["explain"], ["frob"], ["plan", "monday.txt", "--risk-over-max", "much"]]
)
def test_wrong_usage_leaves_with_2(run, argv):
    code, page, said = run(*argv)
    assert (code, page) == (2, "")
    assert said.startswith("usage: python -m fillmark")


@pytest.mark.parametrize("argv", [["--help"], ["plan", "--help"], ["predict", "--help"], ["explain", "--help"]])
def test_help_names_the_exit_codes_and_fits(run, argv):
    code, page, _ = run(*argv)
    assert code == 0
    assert "exit codes:" in page
    assert max(map(len, page.splitlines())) <= 100


def test_the_service_in_the_help_is_one(run):
    example = program.SERVICES.partition("\n\n")[2]
    assert [str(e) for e in fm.Service.loads(example)] == [line.strip() for line in example.splitlines()[1:]]


def test_ctrl_c_and_a_defect(run, monkeypatch):
    def stop(*_args, **_more):
        raise KeyboardInterrupt

    def break_down(*_args, **_more):
        raise fm.InternalError("a defect", "internal.panic", {})

    monkeypatch.setattr(program._jobs, "plan_job", stop)
    assert run("plan", "monday.txt") == (130, "", "fillmark: stopped\n")
    monkeypatch.setattr(program._jobs, "plan_job", break_down)
    assert run("plan", "monday.txt") == (3, "", "fillmark: a defect\n")


def test_what_nobody_thought_of_is_a_defect_without_a_traceback(run, monkeypatch):
    def slip(*_args, **_more):
        raise TypeError("not callable")

    monkeypatch.setattr(program._jobs, "plan_job", slip)
    code, page, said = run("plan", "monday.txt")
    assert (code, page) == (3, "")
    assert said.startswith("fillmark: a defect of fillmark: TypeError: not callable (test_command.py, line ")
    assert said.count("\n") == 1


def test_an_incident_of_another_name_is_refused_with_the_nearest(run):
    code, page, said = run("explain", "incident-7")
    assert (code, page) == (2, "")
    assert said == (
        "fillmark: there is no file incident-7, and there is no incident 'incident-7'; there are incident-01 to "
        "incident-18; perhaps you mean incident-07\n"
    )


def test_as_a_program_into_a_pipe_that_closes(run, tmp_path):
    command = [sys.executable, "-m", "fillmark", "predict", "monday.txt", "--draws", "50"]
    with subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as done:
        done.stdout.close()
        said = done.stderr.read()
    assert said == ""
    assert done.returncode == 1
