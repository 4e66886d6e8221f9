"""The one judge: what an answer shows, whoever asks."""

from enginemath.answers.audit import Audit, audit
from enginemath.answers.diagnosis import Diagnosis, Explanation, diagnose, predictions
from enginemath.answers.mistakes import CATALOGUE, Mistake
from enginemath.answers.quantities import QUANTITIES

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
