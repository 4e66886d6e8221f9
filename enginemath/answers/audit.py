"""The audit of a hand calculation: every step worked again, and where it first went wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Literal

from enginemath.answers.by_hand.readings import readings_of
from enginemath.answers.by_hand.steps import STEPS, step_of
from enginemath.answers.wording import number
from enginemath.answers.working import TOO_EARLY, JudgedStep, Working
from enginemath.answers.written_answer import Answer, read_answer
from enginemath.sheets import Sheet
from enginemath.units import Refused

Outcome = Literal["right", "rounded", "follows", "slip"]


@dataclass(frozen=True)
class Audited:
    """One step of a hand calculation.

    Args:
        name: one of `STEPS`.
        written: as it was written.
        answer: its number, in cc, mm or bare.
        expected: from the sheet's readings; a volume or ratio is the mean over the cylinders.
        from_earlier: what the numbers written before it give; None where there are none.
        verdict: ``"right"``; ``"rounded"`` where the method is right; ``"follows"`` from an
            earlier slip; or a ``"slip"`` of its own.
        mistakes: ids of what explains a slip; empty where nothing does.
        says: for the instructor; it holds the answer.
    """

    name: str
    written: str
    answer: float
    expected: float
    from_earlier: float | None
    verdict: Outcome
    mistakes: tuple[str, ...]
    says: str

    def __str__(self) -> str:
        """One line for the instructor."""
        return f"{STEPS[self.name].words}: {self.written.strip()} written, {self.says}"


@dataclass(frozen=True)
class Audit:
    """A hand calculation with each step judged, in the order of the blackboard."""

    steps: tuple[Audited, ...]

    @property
    def first_slip(self) -> Audited | None:
        """Where it first went wrong; None where it did not."""
        return next((step for step in self.steps if step.verdict == "slip"), None)

    @property
    def slips(self) -> tuple[Audited, ...]:
        """Every step with a slip of its own: what follows from an earlier one is not counted."""
        return tuple(step for step in self.steps if step.verdict == "slip")

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers and texts, ready for JSON."""
        first = self.first_slip
        return {
            "first_slip": first and first.name,
            "steps": [asdict(step) | {"mistakes": list(step.mistakes)} for step in self.steps],
        }

    def __str__(self) -> str:
        """For the instructor: it holds the answers."""
        first = self.first_slip
        verdict = f"First slip: {STEPS[first.name].words}." if first else "No slip."
        return "\n".join([*map(str, self.steps), verdict])


def audit(sheet: Sheet, working: Mapping[str, str], target: float | None = None) -> Audit:
    """Work a hand calculation again, step by step.

    Args:
        sheet: the engine that was worked on.
        working: what was written for each step, by the names in `STEPS`; a step that was not
            written down is left out.
        target: ratio to reach, for the steps that lead to one.

    Raises:
        Refused: no such step, or a number that cannot be read; names the step.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> working = {"swept_volume": "588.3 cc", "gasket_volume": "9.21 cc",
    ...            "clearance_volume": "67.84 cc", "compression_ratio": "9.672"}
    >>> print(audit(parse(EXAMPLE), working))
    swept volume: 588.3 cc written, right
    gasket volume: 9.21 cc written, 7.504 cc expected: a slip. The student used the gasket's \
free thickness, not the compressed one: 9.210 cc.
    clearance volume: 67.84 cc written, 66.131 cc expected: follows from the numbers before
    compression ratio: 9.672 written, 9.896 expected: follows from the numbers before
    First slip: gasket volume.
    """
    answers = _read(working)
    judged = Working(readings_of(sheet, target), answers).judged()
    return Audit(tuple(_audited(step, working[step.name]) for step in judged))


def _read(working: Mapping[str, str]) -> dict[str, Answer]:
    for name in working:
        step_of(name)
    read = {}
    for name, step in STEPS.items():
        if name in working:
            try:
                read[name] = read_answer(working[name], step)
            except Refused as refusal:
                raise Refused(f"{step.words}: {refusal}") from None
    return read


def _audited(step: JudgedStep, written: str) -> Audited:
    outcome, why = _outcome(step)
    return Audited(
        step.name,
        written,
        step.answer.value,
        step.expected,
        step.from_earlier,
        outcome,
        step.verdict.mistakes,
        f"{number(step.expected, STEPS[step.name])} expected: {why}" if why else "right",
    )


def _outcome(step: JudgedStep) -> tuple[Outcome, str]:
    """What a step comes to, and why, for the instructor."""
    verdict = step.verdict
    match verdict.kind:
        case "right":
            return "right", ""
        case "follows":
            if step.led_astray:
                return "follows", "follows from the numbers before"
            return "rounded", TOO_EARLY
        case "nearly":
            return "rounded", verdict.tells
        case "mistake":
            return "slip", f"a slip. {verdict.tells}"
    return "slip", "a slip that no usual mistake explains: ask for the working"
