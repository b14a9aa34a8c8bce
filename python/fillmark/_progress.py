"""A line that shows how far a long call is: in a terminal, in a notebook, or in a log."""

from __future__ import annotations

import sys
import time
from importlib import import_module
from typing import Any, TextIO

__all__ = ["ProgressLine"]

_WIDTH = 20
_EVERY_S = 0.2


class ProgressLine:
    """A line of text that says how far a long call is and about how long it will still take.

    Every function with a ``progress`` takes one: `predict`, `plan_refill`, `plan_withdraw`, `propagate`, `sensitivity`,
    `worth_measuring`, `wait_advice`, `diagnose`, `diagnose_many` and some pictures. In a terminal and in a notebook the
    line is written over; elsewhere, such as in a log, it is written once, at the end. It is used for one call.

    Parameters
    ----------
    what : str, optional
        What is done, written first.
    stream : file, optional
        Where to write; the standard error where not given.
    leave : bool
        Whether the line stays when the call is done; where not, a terminal is left clean and a log gets no line.

    Examples
    --------
    >>> import sys
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> shown = fm.ProgressLine("predict", stream=sys.stdout)
    >>> p = fm.predict(bus, [fm.Read()], draws=2000, progress=shown)  # doctest: +ELLIPSIS
    predict: 2000 of 2000 in ... s
    """

    def __init__(self, what: str = "", *, stream: TextIO | None = None, leave: bool = True) -> None:
        self._head = f"{what}: " if what else ""
        self._stream = sys.stderr if stream is None else stream
        self._begun = time.monotonic()
        self._shown_at = -1.0
        self._handle: Any = None
        self._notebook = stream is None and _in_notebook()
        self._over = self._notebook or self._stream.isatty()
        self._longest = 0
        self._leave = leave
        self._first: tuple[int, float] | None = None

    def __call__(self, done: int, asked: int) -> None:
        """Say that so many are done of so many.

        Parameters
        ----------
        done, asked : int
            How many are done, and how many there will be as far as is known.
        """
        now = time.monotonic() - self._begun
        ended = done >= asked
        if not ended and (not self._over or now - self._shown_at < _EVERY_S):
            return
        self._shown_at = now
        self._first = self._first or (done, now)
        self._write(f"{self._head}{done} of {asked} in {now:.1f} s" if ended else self._line(done, asked, now), ended)

    def _line(self, done: int, asked: int, now: float) -> str:
        filled = int(_WIDTH * done / asked) if asked else 0
        # By what was done since the first report: what comes before it is done once.
        first, at = self._first or (done, now)
        left = f", {(now - at) / (done - first) * (asked - done):.0f} s left" if done > first and now - at > 1.0 else ""
        return f"{self._head}[{'#' * filled}{'.' * (_WIDTH - filled)}] {done} of {asked}{left}"

    def _write(self, text: str, ended: bool) -> None:
        if self._notebook:
            self._display(text)
        elif self._over:
            self._longest = max(self._longest, len(text))
            line = text.ljust(self._longest) + ("\n" if ended else "")
            self._stream.write(f"\r{line}" if self._leave or not ended else f"\r{' ' * self._longest}\r")
            self._stream.flush()
        elif self._leave:
            self._stream.write(text + "\n")

    def _display(self, text: str) -> None:
        shown = {"text/plain": text}
        if self._handle is None:
            ipython: Any = import_module("IPython.display")
            self._handle = ipython.display(shown, raw=True, display_id=True)
        else:
            self._handle.update(shown, raw=True)


def _in_notebook() -> bool:
    """Say whether a notebook's kernel runs this; IPython is not imported to find out."""
    shell = getattr(sys.modules.get("IPython"), "get_ipython", lambda: None)()
    return shell is not None and type(shell).__name__ == "ZMQInteractiveShell"
