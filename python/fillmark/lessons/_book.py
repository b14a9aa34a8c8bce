"""The exercise book: blanks that check themselves, with other figures for each trainee number, and a key."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from fillmark._errors import QuantityError
from fillmark._html import percent
from fillmark.lessons._questions import QUESTIONS, Question

__all__ = ["ExerciseBook", "Mark", "key"]

_LARGEST = 10**9
_SLIPS = (
    (1000.0, "The digits are right: look at the unit, by a factor of 1000."),
    (0.001, "The digits are right: look at the unit, by a factor of 1000."),
    (-1.0, "The size is right, the sign is not."),
)


@dataclass(frozen=True)
class Mark:
    """What the book says to an answer.

    Attributes
    ----------
    number : int
        Of the question.
    right : bool or None
        None while the blank is empty.
    words : str
        For the trainee.
    """

    number: int
    right: bool | None
    words: str

    def __str__(self) -> str:
        return f"{self.number}: {self.words}"


class ExerciseBook:
    """The twenty-five questions with figures of one trainee.

    Every answer is computed by the core when it is asked for; none is stored. The figures follow from the trainee
    number alone, so a trainer can reproduce any book. An answer is right within the tolerance that the exercise states,
    and never closer than half of its last decimal.

    Parameters
    ----------
    trainee : int
        1 to 1 000 000 000; 0 is the lessons' own figures.

    Raises
    ------
    QuantityError
        If the number is no whole number in that range.

    Examples
    --------
    >>> from fillmark.lessons import ExerciseBook
    >>> book = ExerciseBook(trainee=17)
    >>> "deck generator" in book.ask(6)
    True
    >>> book.check(6, ...).words
    'Still empty.'
    """

    def __init__(self, trainee: int) -> None:
        if type(trainee) is not int or not 0 <= trainee <= _LARGEST:
            message = f"trainee = {trainee!r} is no whole number in [0, {_LARGEST}]"
            raise QuantityError(message, "quantity.out_of_range", {"what": "trainee", "low": 0, "high": _LARGEST})
        self.trainee = trainee
        self.marks: dict[int, Mark] = {}

    def __repr__(self) -> str:
        return f"ExerciseBook(trainee={self.trainee})"

    def ask(self, number: int) -> str:
        """Give the text of an exercise, with this trainee's figures, the unit and the tolerance.

        Parameters
        ----------
        number : int
            Of the question, 1 to 25.

        Returns
        -------
        str
            Question, exercise, what is asked for.

        Raises
        ------
        QuantityError
            If there is no such question.
        """
        question = _question(number)
        closeness = "exactly" if question.within == 0.0 else f"to {percent(question.within, 0)}"
        text = question.text(question.figures(self.trainee))
        return f"{number} ({question.lesson}). {question.title}\n{text}\nAnswer in {question.unit}, {closeness}."

    def check(self, number: int, answer: Any = ...) -> Mark:  # noqa: ANN401 - a number, or a blank
        """Say whether an answer is right, and if not, which way it is off; the true one is not told.

        Parameters
        ----------
        number : int
            Of the question, 1 to 25.
        answer : float or ...
            In the unit that the exercise asks for; ``...`` (or None) is a blank.

        Returns
        -------
        Mark
            Also kept in ``marks``.

        Raises
        ------
        QuantityError
            If there is no such question, or the answer is no finite number.
        """
        question = _question(number)
        self.marks[number] = _mark(question, answer, self.trainee)
        return self.marks[number]

    def score(self) -> str:
        """Count the exercises that are answered rightly, wrongly, and not at all."""
        said = [mark.right for mark in self.marks.values()]
        open_ = len(QUESTIONS) - said.count(True) - said.count(False)
        return f"{said.count(True)} right, {said.count(False)} wrong, {open_} open of {len(QUESTIONS)}"


def key(trainees: Iterable[int]) -> dict[str, list[Any]]:
    """Compute the answers for trainees, for whoever marks by hand.

    Parameters
    ----------
    trainees : iterable of int
        Trainee numbers.

    Returns
    -------
    dict of str to list
        Columns ``trainee``, ``question``, ``figures``, ``answer`` (both text, the answer rounded), ``unit``.

    Examples
    --------
    >>> from fillmark.lessons import key
    >>> len(key([17, 18])["answer"])
    50
    """
    columns: dict[str, list[Any]] = {name: [] for name in ("trainee", "question", "figures", "answer", "unit")}
    for trainee in trainees:
        for number in sorted(QUESTIONS):
            question = QUESTIONS[number]
            figures = question.figures(ExerciseBook(trainee).trainee)
            said = ", ".join(f"{name} {value:g}" for name, value in figures.items())
            answer = f"{question.answer(figures):.{question.decimals}f}"
            for name, value in zip(columns, (trainee, number, said, answer, question.unit), strict=True):
                columns[name].append(value)
    return columns


def _question(number: int) -> Question:
    if isinstance(number, bool) or number not in QUESTIONS:
        message = f"question = {number!r} is outside [1, {len(QUESTIONS)}]"
        raise QuantityError(message, "quantity.out_of_range", {"what": "question", "low": 1, "high": len(QUESTIONS)})
    return QUESTIONS[number]


def _mark(question: Question, answer: Any, trainee: int) -> Mark:  # noqa: ANN401
    if answer is ... or answer is None:
        return Mark(question.number, None, "Still empty.")
    if isinstance(answer, (bool, str)) or not hasattr(answer, "__float__") or not math.isfinite(float(answer)):
        message = f"answer {question.number} = {answer!r} is no finite number"
        raise QuantityError(message, "quantity.not_finite", {"what": f"answer {question.number}"})
    given, true = float(answer), question.answer(question.figures(trainee))
    if _close(question, given, true):
        return Mark(question.number, True, "Right.")
    for factor, words in _SLIPS:
        if _close(question, given / factor, true):
            return Mark(question.number, False, words)
    return Mark(question.number, False, "Not yet: too high." if given > true else "Not yet: too low.")


def _close(question: Question, given: float, true: float) -> bool:
    rounding = 0.5 * 10.0**-question.decimals if question.within else 0.0
    return abs(given - true) <= max(question.within * abs(true), rounding) * (1.0 + 1e-9)
