"""``python -m fillmark``: the main job on the demo circuits."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from fillmark import __version__, _first_refill

PICTURE = Path("out", "first-refill.png")


def main(argv: Sequence[str] | None = None) -> int:
    """Plan the first refill of every demo circuit, print the numbers and draw a picture.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments after the program's name; those of the process where not given.

    Returns
    -------
    int
        Exit code: 0, or 1 if the picture cannot be written. An unknown argument leaves with 2.
    """
    options = _parser().parse_args(argv)
    found = _first_refill.refills()
    written, said, code = _picture(found)
    if options.json:
        print(json.dumps(_first_refill.as_json(found, written), indent=2, ensure_ascii=False))
    else:
        print(_first_refill.as_text(found))
        print()
    print(said, file=sys.stderr if options.json or code else sys.stdout)
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m fillmark",
        description="Plan the first refill of the invented demo circuits: how much stays in, how much to pour, what "
        f"the stick should read, how sure that is. Writes one picture to {PICTURE.as_posix()}.",
    )
    parser.add_argument("--json", action="store_true", help="print the same numbers as JSON")
    parser.add_argument("--version", action="version", version=f"fillmark {__version__}")
    return parser


def _picture(found: Sequence[_first_refill.Refill]) -> tuple[Path | None, str, int]:
    """Draw; say where the picture is (None: nowhere), what to tell the user, and the exit code."""
    try:
        _first_refill.draw(found, PICTURE)
    except ImportError as error:
        return None, f"No picture: {error}", 0
    except OSError as error:
        return None, f"fillmark: the picture {PICTURE.as_posix()} cannot be written: {error}", 1
    return PICTURE, f"Picture: {PICTURE.as_posix()}", 0


if __name__ == "__main__":
    sys.exit(main())
