"""What a page is told of a step: its text, its boxes, its results, and nothing before its time."""

from __future__ import annotations

from dataclasses import asdict

from enginemath.pages.class_sheet import ClassSheet
from enginemath.pages.earlier_edition import left_over, moved, places
from enginemath.pages.lesson_at_work import LessonAtWork
from enginemath.pages.messages import Reply
from enginemath.pages.steps import PREDICTED, Box, Predicted, Step
from enginemath.pages.text import as_html
from enginemath.panels.frame.guess import Guess


def step_told(at_work: LessonAtWork, step: Step) -> Reply:
    """The message about a step that was reached."""
    reached = at_work.reached[step.number]
    answers = bool(step.cells or step.predicted)
    covered = at_work.projector and not reached.uncovered and answers
    last = step.number == len(at_work.lesson.steps)
    return {
        "show": "step",
        "step": step.number,
        "title": step.title,
        "heading": step.heading,
        "text": step.html or as_html(step.text),
        "parts": [
            {"title": each.title, "text": as_html(each.text), "picture": each.picture}
            for each in step.parts
        ],
        "guess": _guess(at_work, step),
        "working": _working(at_work, step, covered),
        "boxes": [_box(at_work, step, box) for box in step.boxes],
        "verdicts": [] if covered else [each.as_dict() for each in reached.judged],
        "readings": _readings(at_work, step),
        "panel": step.number if step.has_panel else None,
        "picture": step.picture,
        "covered": covered,
        "done": at_work.is_done(step),
        "last": last,
        "looks_back": _looks_back(at_work, step, covered) if last else [],
        "written_earlier": _written_earlier(at_work) if last else [],
    }


def panel_told(at_work: LessonAtWork, number: int) -> Reply:
    """The message about a panel."""
    return {"show": "panel", "step": number, **vars(at_work.panels[number].view())}


def guess_found(guess: Guess | None) -> dict[str, str]:
    """What a panel's guess was about, what was found, and how far off the guess was."""
    if guess is None or guess.found is None:
        return {}
    asked, found = guess.prediction.asks, guess.found
    return {"asked": asked, "is": found.answer, "off": found.off}


def _working(at_work: LessonAtWork, step: Step, covered: bool) -> list[Reply]:
    working, sheet = [], at_work.lesson
    if isinstance(sheet, ClassSheet) and step.number == 1:
        readings = [each.as_dict() for each in sheet.board(at_work.all_texts())]
        working.append({"code": "", "shown": readings, "part": 0})
    for cell, shown in zip(step.cells, at_work.reached[step.number].shown, strict=True):
        told = [] if covered else [each.as_dict() for each in shown]
        working.append({"code": cell.code, "shown": told, "part": cell.part})
    return working


def _guess(at_work: LessonAtWork, step: Step) -> Reply | None:
    panel = at_work.panels.get(step.number)
    if step.predicts:
        text = at_work.guess_text(step)
        return {"kind": "words", "question": "", "text": text, "says": ""}
    if panel and panel.guess and step.has_panel:
        guess = panel.guess
        return {
            "kind": "number",
            "question": guess.label,
            "text": guess.text,
            "says": guess.says if guess.given else "",
            "given": guess.given,
        }
    return None


def _box(at_work: LessonAtWork, step: Step, box: Box) -> Reply:
    return {
        "key": box.key,
        "label": at_work.reached[step.number].labels.get(box.key, box.name),
        "unit": box.unit,
        "part": box.part,
        "example": box.example,
        "takes": box.takes,
        "text": at_work.texts(step)[box.key],
    }


def _readings(at_work: LessonAtWork, step: Step) -> dict[str, str]:
    kept = at_work.kept["readings"]
    older = moved(at_work.lesson, kept)
    keys = {name: older.get(key, key) for name, key in places(step).items()}
    return {name: kept[key] for name, key in keys.items() if key in kept}


# Where the lesson ends


def _looks_back(at_work: LessonAtWork, last: Step, covered: bool) -> list[Reply]:
    """Each guess beside what was found."""
    told = [*_predicted(at_work, last), *_guessed(at_work)]
    return [{**each, "is": "", "off": ""} if covered else each for each in told]


def _predicted(at_work: LessonAtWork, last: Step) -> list[Reply]:
    """The guess in words, and what was found."""
    said = at_work.kept["guesses"].get(PREDICTED, {}).get("text", "")
    rows = last.predicted or ((Predicted("what you predicted", ""),) if said else ())
    return [{"asked": row.asked, "said": said, "is": row.found, "off": ""} for row in rows]


def _guessed(at_work: LessonAtWork) -> list[Reply]:
    """The guesses of numbers; a panel's answer as it was when the guess was given."""
    told = []
    for step in at_work.lesson.steps:
        panel = at_work.panels.get(step.number)
        if step.panel and panel and panel.guess and panel.guess.found:
            told.append({"said": panel.guess.found.guess, **guess_found(panel.guess)})
    return told


def _written_earlier(at_work: LessonAtWork) -> list[Reply]:
    """What was written in an earlier edition and has no place in this one."""
    if isinstance(at_work.lesson, ClassSheet):
        return []
    return [asdict(each) for each in left_over(at_work.lesson, at_work.kept)]
