"""An exercise book for the lessons: the twenty-five questions, with other figures for each trainee number.

A blank checks itself: the core computes the answer when it is asked, and none is stored. `key` is for the trainer.
"""

from fillmark.lessons._book import ExerciseBook, Mark, key
from fillmark.lessons._questions import QUESTIONS, Question

__all__ = ["QUESTIONS", "ExerciseBook", "Mark", "Question", "key"]
