"""One lesson that is open: how far it was reached, its panels, and what is judged in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from enginemath.classroom.work_file import Data
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from enginemath.pages.class_sheet import ClassSheet, label_of_box
from enginemath.pages.steps import Lesson, Step
from enginemath.pages.working import Judged, Shown, Working, labels
from enginemath.panels.frame.panel import Panel
from enginemath.units import Refused

WRITE_FIRST = "write your guess first: it is kept, and nobody marks it"


@dataclass
class Reached:
    """A step that was reached: what its working showed, and what is judged."""

    shown: list[list[Shown]]
    judged: list[Judged]
    labels: dict[str, str]
    uncovered: bool = False


class LessonAtWork:
    """A lesson whose working runs step by step; nothing of a later step is there.

    Args:
        lesson: as it is shown.
        kept: gives the lesson's part of the work file as it stands.
        folder: the work folder.
        projector: for a class: no guess is asked for, results are covered.
    """

    def __init__(
        self,
        lesson: Lesson,
        kept: Callable[[], Data],
        folder: Path | None,
        *,
        projector: bool = False,
    ):
        self.lesson, self.projector = lesson, projector
        self._kept, self._folder = kept, folder
        self.reached: dict[int, Reached] = {}
        self.panels: dict[int, Panel] = {}
        self._working = Working(PAGE_PROJECTOR if projector else PAGE, folder)
        self._open_panel_ahead()

    @property
    def kept(self) -> Data:
        """The lesson's part of the work file."""
        return self._kept()

    # How far

    def reach_all(self) -> int:
        """Run the steps as far as they were reached; the number of the last.

        Where a newer edition asks for a guess that was not given yet, it is the last.
        """
        reached = min(self.kept["reached"], len(self.lesson.steps))
        for step in self.lesson.steps[: reached - 1]:
            self.reach(step)
            if self.lacks_guess(step):
                return step.number
        self.reach(self.lesson.step(reached))
        return reached

    def reach(self, step: Step) -> None:
        """Run a step's working; what it shows may be sent from now on."""
        shown: list[list[Shown]] = []
        for cell in step.cells:
            if cell.kind == "panel" and step.number not in self.panels:
                self._run_panel(step)
            shown.append([] if cell.kind != "working" else self._working.run(cell)[0])
        self.reached[step.number] = Reached(shown, [], {})
        if isinstance(self.lesson, ClassSheet):
            labels_of = {box.key: label_of_box(box) for box in step.boxes}
            self.reached[step.number].labels.update(labels_of)
        if step.boxes:
            self.judge(step, self.texts(step))

    def step(self, number: int) -> Step:
        """A step that was reached.

        Raises:
            Refused: it comes later, or there is none.
        """
        step = self.lesson.step(number)
        if step.number not in self.reached:
            raise Refused(f"step {number} comes later")
        return step

    def is_done(self, step: Step) -> bool:
        """Whether all that a step asks for is given, and right."""
        if step.predicts:
            return bool(self.guess_text(step))
        panel = self.panels.get(step.number)
        if step.has_panel and panel:
            return panel.answer_is_shown
        reached = self.reached.get(step.number)
        if isinstance(self.lesson, ClassSheet) and step.boxes:
            return self.lesson.is_filled(step, self.texts(step))
        if step.boxes:
            kinds = [each.kind for each in reached.judged if each.boxes] if reached else [""]
            return all(kind in ("right", "follows", "told") for kind in kinds)
        return self.kept["reached"] > step.number or step.number == len(self.lesson.steps)

    def done_steps(self) -> list[int]:
        """The numbers of the steps that are done."""
        return [number for number in self.reached if self.is_done(self.lesson.step(number))]

    # Guesses

    def lacks_guess(self, step: Step) -> str:
        """What is to be guessed before anything that comes after it; empty where nothing is."""
        if self.projector:
            return ""
        if step.predicts and not self.guess_text(step):
            return WRITE_FIRST
        panel = self.panels.get(step.number)
        if panel and step.has_panel and not panel.answer_is_shown:
            return "give your guess first"
        return ""

    def guess_text(self, step: Step) -> str:
        """The guess that is kept of a step; empty for none."""
        text: str = self.kept["guesses"].get(step.guess, {}).get("text", "")
        return text

    # Panels

    def panel(self, number: int) -> Panel:
        """The panel that opened with a step.

        Raises:
            Refused: the step has none.
        """
        if number not in self.panels:
            raise Refused("this step has no panel")
        return self.panels[number]

    def show_picture(self, step: Step) -> bool:
        """Turn the panel to the picture that a step is about; whether it had another."""
        before = [panel.svg for panel in self.panels.values()]
        first = next((part.picture for part in step.parts if part.picture), "")
        for panel in self.panels.values():
            panel.show_picture(step.picture or first)
        return before != [panel.svg for panel in self.panels.values()]

    def _open_panel_ahead(self) -> None:
        """The panel is there from the first step on, where it keeps its answer to itself."""
        for step in self.lesson.steps:
            for cell in step.cells:
                if cell.kind == "panel":
                    panel = self._run_panel(step)
                    if panel and panel.answer_is_shown and panel.tells_at_once:
                        del self.panels[step.number]

    def _run_panel(self, step: Step) -> Panel | None:
        for cell in step.cells:
            if cell.kind == "panel":
                _, panel = self._working.run(cell)
                if panel:
                    panel.stand_alone(self._folder)
                    if self.projector:
                        panel.projector.take(True)
                    panel.restore(self.kept["panels"].get(step.panel, []))
                    self.panels[step.number] = panel
                    return panel
        return None

    # Answers

    def texts(self, step: Step) -> dict[str, str]:
        """What stands in each box of a step."""
        answers = self.kept["answers"]
        return {box.key: answers.get(box.key, {}).get("text", "") for box in step.boxes}

    def all_texts(self) -> dict[str, str]:
        """What stands in every box where something was written."""
        kept = self.kept["answers"]
        every = (box.key for step in self.lesson.steps for box in step.boxes)
        return {key: kept[key]["text"] for key in every if key in kept}

    def judge(self, step: Step, texts: dict[str, str]) -> list[Judged]:
        """Judge what stands in a step's boxes; its verdicts stay with it."""
        reached, judged = self.reached[step.number], list[Judged]()
        if isinstance(self.lesson, ClassSheet):
            reached.judged = self.lesson.judge(step, self.all_texts() | texts)
            return reached.judged
        for cell in step.cells:
            if cell.kind == "check":
                found = self._working.judge(cell, step.boxes, texts)
                ours = [box for box in step.boxes if box.part == cell.part]
                named = labels(cell, ours, found)
                reached.labels = {**named, **reached.labels}
                judged += found
        reached.judged = judged
        return judged
