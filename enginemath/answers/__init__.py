"""For a whole class: what an answer shows."""

from enginemath.classroom.audit import Audit, audit
from enginemath.classroom.diagnosis import Diagnosis, Explanation, diagnose, predictions
from enginemath.classroom.mistakes import CATALOGUE, Mistake
from enginemath.classroom.quantities import QUANTITIES

__all__ = [
    "CATALOGUE",
    "QUANTITIES",
    "Audit",
    "Diagnosis",
    "Explanation",
    "Mistake",
    "audit",
    "diagnose",
    "predictions",
]
