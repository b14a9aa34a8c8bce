"""``python -m fillmark``: the main job on the demo circuits, or on a user's files."""

from __future__ import annotations

import argparse
import json
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from fillmark import __version__, _first_refill, _jobs
from fillmark._errors import FillmarkError, InternalError

PICTURE = Path("out", "first-refill.png")
ANSWERED, WARNED, REFUSED, DEFECT, STOPPED = 0, 1, 2, 3, 130
EXIT_CODES = """\
exit codes:
  0    answered
  1    answered, and the answer is a warning: nothing may be poured or the engine not be started
       (plan), the verdict is not `within` (predict), something forbids a start (explain);
       without a job: the picture cannot be written
  2    not answered: wrong usage, a file that cannot be read, or what it says cannot be understood
       or done
  3    a defect of fillmark
  130  stopped by Ctrl-C
"""
SERVICES = """\
FILE is a service: lines of text as below, TOML or JSON. `circuit` names a demo circuit or a file
beside FILE. Of several plugs `drain 10 min through NAME` says which; all events are listed by
help(fillmark.Service) in Python.

  circuit: shuttle-bus
  drain 10 min at 60 degC
  change filter
  pour 6.9 L with jug, oil at 20 degC
  run 1 min
  rest 5 min
  read "first dip"
"""
RECORDS = """\
FILE is a record: TOML as below, or JSON; or the name of an invented incident, such as incident-07.
`circuit` names a demo circuit or a file beside FILE.

  format = 1
  circuit = "shuttle-bus"
  complaint = "reads_over"
  events = [
      "drain 10 min at 60 degC", "change filter", "pour 7.4 L with jug", "run 2 min", "rest 20 min",
  ]

  [[readings]]
  mm = "119 mm"

  [measured]
  drained = "6.2(1) L"

  [signs]
  oil_on_floor = false
"""


def main(argv: Sequence[str] | None = None) -> int:
    """Do the job that the arguments name and print the answer.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments after the program's name; those of the process where not given.

    Returns
    -------
    int
        Exit code, see ``--help``. An unknown argument leaves with 2.
    """
    options = _parser().parse_args(argv)
    try:
        code = int(options.do(options))
        sys.stdout.flush()
        return code
    except FillmarkError as error:
        return _refuse(error, options.json)
    except KeyboardInterrupt:
        print("fillmark: stopped", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # The reader of the page has gone, as `head` does; nothing is left to say. See the note on SIGPIPE in the
        # documentation of the module signal.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return WARNED
    except Exception as error:  # what nobody thought of: say so, and where, without a traceback
        place = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{Path(place.filename).name}, line {place.lineno}"
        message = f"a defect of fillmark: {type(error).__name__}: {error} ({where}); please report it with build_info()"
        return _refuse(InternalError(message, "internal.unexpected", {"where": where}), options.json)


def _refuse(error: FillmarkError, as_json: bool) -> int:
    """Say what is wrong, without a traceback; as JSON on the standard output as well where that was asked for."""
    print(f"fillmark: {error}", file=sys.stderr)
    if as_json:
        _print_json({"error": {"code": error.code, "message": str(error), "fields": error.fields}})
    return DEFECT if isinstance(error, InternalError) else REFUSED


def _print_json(data: dict[str, Any]) -> None:
    print(json.dumps(data, indent=2, ensure_ascii=False))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m fillmark",
        description="Without a job: plan the first refill of the invented demo circuits: how much stays in, how\n"
        "much to pour, what the stick should read, how sure that is. Writes one picture to\n"
        f"{PICTURE.as_posix()}.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--json", action="store_true", help="print the same numbers as JSON")
    parser.add_argument("--version", action="version", version=f"fillmark {__version__}")
    parser.set_defaults(do=_demo)
    jobs = parser.add_subparsers(title="jobs on your files", metavar="JOB", prog="python -m fillmark")
    plan = _job(jobs, "plan", _plan, "how much to pour, and what the stick should read then")
    plan.add_argument(
        "--risk-over-max", type=float, default=0.05, metavar="P", help="accepted risk of ending over MAX [0.05]"
    )
    plan.add_argument("--jug-step", metavar="VOLUME", help='smallest amount the jug measures out, such as "0.1 L"')
    plan.add_argument("--reading-step", metavar="LENGTH", help='what the stick is read to, such as "0.5 mm"')
    plan.add_argument("--other-unit", metavar="UNIT", help='unit of volume to print beside litres, such as "US qt"')
    plan.add_argument("--markdown", action="store_true", help="print the page as Markdown")
    predict = _job(jobs, "predict", _predict, "what the stick will read, and what the service leaves behind")
    for job in (plan, predict):
        job.add_argument("--draws", type=int, default=20_000, metavar="N", help="draws of the Monte Carlo [20000]")
    explain = _job(jobs, "explain", _explain, "what explains a reading, and what to check next", RECORDS)
    explain.add_argument("--card", metavar="PAGE", help="write a page of HTML, for screen and print, to this file")
    explain.add_argument("--particles", type=int, default=128, metavar="N", help="particles of a replicate [128]")
    explain.add_argument("--replicates", type=int, default=8, metavar="N", help="independent replicates [8]")
    return parser


def _job(
    jobs: Any,  # noqa: ANN401 - argparse names no public type for it
    name: str,
    do: Callable[[argparse.Namespace], int],
    what: str,
    file: str = SERVICES,
) -> argparse.ArgumentParser:
    job: argparse.ArgumentParser = jobs.add_parser(
        name,
        help=what,
        description=f"Say {what}.\nEvery stated uncertainty is drawn from.",
        epilog=f"{file}\n{EXIT_CODES}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    job.add_argument("file", metavar="FILE", help="see below; - for the standard input")
    job.add_argument("--circuit", metavar="CIRCUIT", help="a demo's name or a circuit's file; else what FILE says")
    job.add_argument("--seed", type=int, default=1, metavar="N", help="seed of the draws [1]")
    # Suppressed, so that the default here does not undo a --json that stands before the job.
    job.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="print the same numbers as JSON")
    job.set_defaults(do=do)
    return job


def _plan(options: argparse.Namespace) -> int:
    given = _jobs.read_input(options.file, options.circuit)
    answer = _jobs.plan_job(
        given,
        as_markdown=options.markdown,
        draws=options.draws,
        seed=options.seed,
        risk_over_max=options.risk_over_max,
        jug_step_l=options.jug_step,
        reading_step_mm=options.reading_step,
        other_unit=options.other_unit,
    )
    return _tell(options, answer)


def _predict(options: argparse.Namespace) -> int:
    given = _jobs.read_input(options.file, options.circuit)
    return _tell(options, _jobs.predict_job(given, draws=options.draws, seed=options.seed))


def _explain(options: argparse.Namespace) -> int:
    answer = _jobs.explain_job(
        options.file,
        options.circuit,
        card=options.card,
        seed=options.seed,
        particles=options.particles,
        replicates=options.replicates,
    )
    return _tell(options, answer)


def _tell(options: argparse.Namespace, answer: _jobs.Answer) -> int:
    if options.json:
        _print_json(answer.data)
    else:
        print(answer.text)
    return WARNED if answer.warns else ANSWERED


def _demo(options: argparse.Namespace) -> int:
    found = _first_refill.refills()
    written, said, code = _picture(found)
    if options.json:
        _print_json(_first_refill.as_json(found, written))
    else:
        print(_first_refill.as_text(found))
        print()
    print(said, file=sys.stderr if options.json or code else sys.stdout)
    return code


def _picture(found: Sequence[_first_refill.Refill]) -> tuple[Path | None, str, int]:
    """Draw; say where the picture is (None: nowhere), what to tell the user, and the exit code."""
    try:
        _first_refill.draw(found, PICTURE)
    except ImportError as error:
        return None, f"No picture: {error}", ANSWERED
    except OSError as error:
        return None, f"fillmark: the picture {PICTURE.as_posix()} cannot be written: {error}", WARNED
    return PICTURE, f"Picture: {PICTURE.as_posix()}", ANSWERED


if __name__ == "__main__":
    sys.exit(main())
