"""Exercises and predictions: the bank of texts, the draw of a learner's numbers, the marking.

>>> from glazekit.exercises import draw, exercise, mark, pose
>>> question = pose(exercise("1.2"), draw("1.2", class_code="tuesday", nickname="Wren"))
>>> mark(question, {"feldspar_g": ""}).state
'blank'
"""

from glazekit.exercises.bank import (
    KINDS,
    Box,
    Exercise,
    Mistake,
    Option,
    Prediction,
    exercise,
    exercises_of,
    prediction,
    prediction_record,
    predictions_of,
)
from glazekit.exercises.checking import Mark, mark, record_of
from glazekit.exercises.draws import Draw, course_draw, draw
from glazekit.exercises.posing import Question, pose, right_answers

__all__ = [
    "KINDS",
    "Box",
    "Draw",
    "Exercise",
    "Mark",
    "Mistake",
    "Option",
    "Prediction",
    "Question",
    "course_draw",
    "draw",
    "exercise",
    "exercises_of",
    "mark",
    "pose",
    "prediction",
    "prediction_record",
    "predictions_of",
    "record_of",
    "right_answers",
]
