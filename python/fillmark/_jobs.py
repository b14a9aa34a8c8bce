"""What ``python -m fillmark plan|predict|explain FILE`` does: read the file, ask, collect the answer.

A job returns an `Answer`; what cannot be answered raises a `FillmarkError`, whose message then says which line of the
service it is about.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from math import isfinite
from pathlib import Path
from typing import Any

from fillmark._core import (
    Check,
    Circuit,
    Event,
    Pour,
    PredictedReading,
    Prediction,
    Record,
    Run,
    Service,
    Verdict,
    assess,
    demos,
    diagnose,
    plan_refill,
    predict,
)
from fillmark._errors import ExplainError, FileError, FillmarkError
from fillmark._incidents import incident
from fillmark._plain import reading_data, spread
from fillmark._progress import ProgressLine

__all__ = ["Answer", "Input", "explain_job", "plan_job", "predict_job", "read_input"]

STDIN = "-"
NOTHING_TO_DO = "within"


@dataclass(frozen=True)
class Input:
    """A service as its file says it, with the circuit it is meant for."""

    file: str
    service: Service
    circuit: Circuit


@dataclass(frozen=True)
class Answer:
    """A page, the same numbers as plain data, and whether the answer is a warning."""

    text: str
    data: dict[str, Any]
    warns: bool


def read_input(file: str, circuit: str | None = None) -> Input:
    """Read a service and find its circuit.

    Parameters
    ----------
    file : str
        Path of the service; ``-`` for the standard input.
    circuit : str, optional
        A demo's name or the path of a circuit; where not given, what the service says, and a file is then looked for
        beside that of the service.

    Raises
    ------
    FillmarkError
        If either cannot be read or the circuit is not named.
    """
    service = _service(file)
    beside = Path() if file == STDIN else Path(file).parent
    if circuit is not None:
        return Input(file, service, _circuit(circuit, Path()))
    return Input(file, service, _circuit(_named(file, service.circuit), beside))


def _named(file: str, circuit: str | None) -> str:
    """Return the name of the circuit that a file states."""
    if circuit is None:
        raise FillmarkError(
            f"{_shown(file)} does not say which circuit it is meant for: add `circuit`, or give --circuit, with the "
            f"name of a demo ({', '.join(demos())}) or the file of a circuit",
            "command.no_circuit",
            {"in_file": file},
        )
    return circuit


def _shown(file: str) -> str:
    return "the standard input" if file == STDIN else file


def _service(file: str) -> Service:
    if file == STDIN:
        return Service.loads(sys.stdin.read())
    try:
        return Service.load(file)
    except FillmarkError:
        if _loads(Circuit.load, file):
            raise FillmarkError(
                f"{file} is a circuit; wanted is a service that names it, such as:\n"
                f"  circuit: {Path(file).name}\n  drain 10 min\n  change filter\n  pour 1 L\n  run 1 min\n  read",
                "command.circuit_given",
                {"in_file": file},
            ) from None
        if _loads(Record.load, file) or (not Path(file).exists() and _loads(incident, file)):
            raise FillmarkError(
                f"{file} is a record of an incident, which is for `explain`; wanted is a service",
                "command.record_given",
                {"in_file": file},
            ) from None
        raise


def _loads(load: Callable[[str], object], file: str) -> bool:
    try:
        load(file)
    except FillmarkError:
        return False
    return True


def _circuit(name: str, beside: Path) -> Circuit:
    if name in demos():
        return Circuit.demo(name)
    if not Path(name).suffix and not (beside / name).exists():
        return Circuit.demo(name)  # which says what demos there are
    return Circuit.load(beside / name)


def plan_job(given: Input, *, as_markdown: bool = False, draws: int, seed: int, **options: Any) -> Answer:  # noqa: ANN401 - see plan_refill
    """Plan the pour of a service: what comes before it is done already, what comes after will be done.

    The amount of the first pour is what the plan decides, so that of the file is not looked at, but the instrument and
    the temperature are. Where the service pours nothing, the pour comes before the first run, else at the end. Other
    options are those of `plan_refill`.
    """
    events = given.service.events
    at = _first(events, Pour)
    pours = at is not None
    if at is None:
        first_run = _first(events, Run)
        at = len(events) if first_run is None else first_run
    behind = at + 1 if pours else at
    how = _how_to_pour(events[at]) if pours else {}
    with _naming_the_event(events, {"done": 0, "then": behind, "events": 0}):
        plan = plan_refill(
            given.circuit, done=events[:at], then=events[behind:], draws=draws, seed=seed, progress=_line("plan"),
            **how, **options,
        )  # fmt: skip
    data = {"service": given.service.name, "draws": draws, "seed": seed, **plan.to_dict()}
    warns = not plan.may_start or plan.first_pour_l <= 0.0
    if as_markdown:
        return Answer(plan.to_markdown().rstrip(), data, warns)
    head = f"{given.service.name}: " if given.service.name else ""
    where = f"the pour, event {at + 1} of {len(events)}," if pours else f"a pour before event {at + 1}"
    if not pours and at == len(events):
        where = "a pour after the last event"
    return Answer(f"{head}{where} is what the plan decides\n\n{str(plan).rstrip()}", data, warns)


def _first(events: Sequence[Event], kind: type[Event]) -> int | None:
    return next((i for i, event in enumerate(events) if isinstance(event, kind)), None)


def _how_to_pour(pour: Event) -> dict[str, Any]:
    """Return what the file says of the pour besides its amount."""
    written = json.loads(pour.to_json())
    if "attitude" in written:
        raise FillmarkError(
            f"{pour}: a plan cannot take an attitude that holds for the pour only; say `tilt` before it",
            "command.attitude_of_pour",
            {},
        )
    said = written["pour"]
    return {"measured_with": said.get("measured_with"), "temperature_c": said.get("temperature")}


def predict_job(given: Input, *, draws: int, seed: int) -> Answer:
    """Predict the readings of a service, and judge what it leaves behind."""
    events = given.service.events
    with _naming_the_event(events, {"events": 0}):
        prediction = predict(given.circuit, events, draws=draws, seed=seed, progress=_line("predict"))
        judged = assess(given.circuit, events, draws=draws, seed=seed)
    page = "\n".join(_prediction_lines(given, prediction))
    data = {
        "service": given.service.name,
        "circuit": given.circuit.name,
        "draws": draws,
        "seed": seed,
        "readings": [reading_data(reading) for reading in prediction.readings],
        "probability_over_max": prediction.probability_over_max,
        "drained_back_l": spread(prediction.drained_back_l),
        "bent": prediction.bent,
        "assessment": judged.to_dict(),
    }
    return Answer(f"{page}\n\n{str(judged).rstrip()}", data, judged.verdict != NOTHING_TO_DO)


def _prediction_lines(given: Input, prediction: Prediction) -> Iterator[str]:
    name = given.service.name
    yield f"{name}: readings of {given.circuit.name}" if name else f"Readings of {given.circuit.name}"
    yield f"  95 % intervals over {prediction.draws} draws: right if the stated uncertainties are right"
    for i, reading in enumerate(prediction.readings, 1):
        yield from _reading_lines(reading.label or f"reading {i}", reading, prediction.draws)
    if not prediction.readings:
        yield "  the service takes no reading: add `read` where the stick is read"
    if prediction.bent:
        share = 100.0 * prediction.bent / prediction.draws
        yield f"  in {share:.1f} % of draws an amount did not fit: excess to the floor, or less taken out than stated"
    yield f"  over MAX, drained back: {100.0 * prediction.probability_over_max:.1f} % of draws"


def _reading_lines(label: str, reading: PredictedReading, draws: int) -> Iterator[str]:
    (low, high), (least, most) = reading.mm.interval(0.95), reading.fraction.interval(0.95)
    litres = reading.litres_from_max.mean
    side = "below" if litres < 0.0 else "above"
    yield (
        f"  {label:<28} {reading.mm.mean:6.1f} mm ({low:.1f} to {high:.1f}), "
        f"{reading.fraction.mean:.2f} of the span ({least:.2f} to {most:.2f}), {abs(litres):.2f} L {side} MAX"
    )
    for count, what in ((reading.below_tip, "came out dry"), (reading.above_blade, "was wet above the blade")):
        if count:
            yield f"  {'':<28} the stick {what} in {100.0 * count / draws:.1f} % of draws"


def explain_job(
    file: str, circuit: str | None = None, *, card: str | None = None, seed: int, particles: int, replicates: int
) -> Answer:
    """Explain a record: its causes by probability, what speaks for them, what to check next.

    `file` may be the name of an invented incident as well; `circuit` is as in `read_input`. A page of HTML is written
    to `card`, where that is given.
    """
    record = _record(file)
    beside = Path() if file == STDIN else Path(file).parent
    known = _circuit(circuit, Path()) if circuit is not None else _circuit(_named(file, record.circuit), beside)
    with _naming_the_event(record.events, {"events": 0}):
        verdict = diagnose(
            known, record, seed=seed, particles=particles, replicates=replicates, progress=_line("explain")
        )
    if card is not None:
        try:
            verdict.save_card(card)
        except OSError as error:
            raise FileError(f"cannot write {card}: {error}", "command.card_unwritable", {"file": card}) from error
    return Answer(_explanation(verdict), _verdict_data(verdict), bool(verdict.do_not_start))


def _explanation(verdict: Verdict) -> str:
    """Write what forbids a start, then the verdict with its cautions."""
    text, reasons = str(verdict).rstrip(), "; ".join(verdict.do_not_start)
    return f"Do not start the engine, do not move the vehicle: {reasons}.\n\n{text}" if reasons else text


def _record(file: str) -> Record:
    if file == STDIN:
        return Record.loads(sys.stdin.read())
    if not Path(file).exists() and not Path(file).suffix:
        try:
            return incident(file)
        except ExplainError as error:
            raise ExplainError(f"there is no file {file}, and {error}", error.code, error.fields) from None
    try:
        return Record.load(file)
    except FillmarkError:
        if _loads(Service.load, file):
            raise FillmarkError(
                f"{file} is a service, which is for `plan` and `predict`; wanted is a record: a service's steps with "
                "what the stick said; `python -m fillmark explain --help` shows one",
                "command.service_given",
                {"in_file": file},
            ) from None
        raise


def _verdict_data(verdict: Verdict) -> dict[str, Any]:
    return {
        "record": verdict.record.name,
        "circuit": verdict.circuit.name,
        "seed": verdict.seed,
        "conclusion": verdict.conclusion,
        "settled": verdict.is_settled,
        "do_not_start": list(verdict.do_not_start),
        "causes": _records(verdict.columns()),
        "look_alikes": list(verdict.look_alikes),
        "not_applicable": dict(verdict.not_applicable),
        "next_checks": [_check_data(check) for check in verdict.next_checks],
        "blocked_checks": [_check_data(check) for check in verdict.blocked_checks],
        "judgement": verdict.judgement,
        "cautions": list(verdict.cautions),
    }


def _check_data(check: Check) -> dict[str, Any]:
    return {
        "name": check.name,
        "do": check.words,
        "precondition": check.precondition,
        "starts_or_moves": check.starts_or_moves,
        "bits": check.bits,
        "blocked": check.blocked,
        "outcomes": _records(check.outcomes),
    }


def _records(columns: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Turn columns into rows that JSON takes; what is not a number becomes null."""
    plain = {name: [*column.tolist()] if hasattr(column, "tolist") else [*column] for name, column in columns.items()}
    rows = zip(*plain.values(), strict=True)
    return [{name: _number(value) for name, value in zip(plain, row, strict=True)} for row in rows]


def _number(value: Any) -> Any:  # noqa: ANN401 - whatever stands in a column
    return None if isinstance(value, float) and not isfinite(value) else value


def _line(what: str) -> ProgressLine | None:
    """Give a line that shows how far a job is, where somebody looks on."""
    return ProgressLine(what, leave=False) if sys.stderr.isatty() else None


@contextmanager
def _naming_the_event(events: Sequence[Event], offsets: dict[str, int]) -> Iterator[None]:
    """Add the line of the event to an error about one; `offsets` says where each list begins in the service."""
    try:
        yield
    except FillmarkError as error:
        index = error.fields.get("event")
        if not isinstance(index, int):
            raise
        place = index + offsets.get(error.fields.get("list", "events"), 0)
        if not 0 <= place < len(events):
            raise
        message = f"{error}\n  event {place + 1} of {len(events)}: {events[place]}"
        raise type(error)(message, error.code, error.fields) from error
