"""For a whole class: what an answer shows."""

from enginemath.classroom.diagnosis import Diagnosis, Explanation, diagnose, predictions
from enginemath.classroom.mistakes import CATALOGUE, Mistake
from enginemath.classroom.quantities import QUANTITIES

__all__ = [
    "CATALOGUE",
    "QUANTITIES",
    "Diagnosis",
    "Explanation",
    "Mistake",
    "diagnose",
    "predictions",
]
