"""One open page: takes messages, gives replies; needs neither a browser nor a server.

The messages are those of `docs/reference/lesson-pages.md`. A message holds names and texts; what
runs is the kit's own working alone.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from enginemath.classroom.work_file import (
    Data,
    Unfit,
    handed_in_name,
    new_lesson,
    new_sheet,
    read_work,
)
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR, Style
from enginemath.pages.class_sheet import ClassSheet, label_of_box, sheets_in
from enginemath.pages.earlier_edition import left_over, moved, places
from enginemath.pages.map_picture import map_picture
from enginemath.pages.older_lesson import older_lesson, put_newer, reached_in
from enginemath.pages.own_engines import bring_in, engines_of_own, make_new, sheet_named
from enginemath.pages.recording import Recording
from enginemath.pages.steps import (
    PREDICTED,
    Box,
    Lesson,
    Predicted,
    Step,
    lesson_named,
    lesson_names,
)
from enginemath.pages.text import as_html
from enginemath.pages.work import Work
from enginemath.pages.working import Judged, Shown, Working, labels
from enginemath.panels.frame.guess import Guess
from enginemath.panels.frame.panel import Panel
from enginemath.units import Refused

MOST_TEXT = 2_000
"""Characters of one text of a student."""
Reply = dict[str, Any]


class Desk:
    """What the open pages of one work folder share: each student's work, and who looks at it.

    Args:
        folder: the work folder; None keeps nothing.
    """

    def __init__(self, folder: Path | None):
        self.folder = folder
        self._works: dict[str, Work] = {}
        self.sessions: list[Session] = []

    def work_of(self, student: str) -> Work:
        """A student's work, the same for all their windows."""
        if student not in self._works:
            self._works[student] = Work(self.folder, student)
        return self._works[student]

    def read_again(self) -> None:
        """Read every work file that was changed elsewhere, and go on with it."""
        for work in self._works.values():
            work.read_again()

    def tell_others(self, session: Session, step: int) -> None:
        """Tell the other windows on the same lesson that a step has changed."""
        for other in self.sessions:
            same_work = other.work.path is not None and other.work.path == session.work.path
            ours, theirs = session.lesson, other.lesson
            if other is not session and same_work and ours and theirs and theirs.name == ours.name:
                other.push({"show": "changed", "step": step})


@dataclass
class Reached:
    """A step that was reached: what its working showed, and what is judged."""

    shown: list[list[Shown]]
    judged: list[Judged]
    labels: dict[str, str]
    uncovered: bool = False


class Session:
    """One open page.

    Args:
        desk: shared with the other windows.
        projector: for a class: nothing is kept, no guess is asked for, results are covered.
        push: called with what the page is told without having asked.
        now: the clock.

    >>> session = Session(Desk(None))
    >>> session.answer({"do": "open", "lesson": "07-add-it-up"})[0]["title"]
    'Add it up'
    """

    def __init__(
        self,
        desk: Desk,
        *,
        projector: bool = False,
        push: Callable[[Reply], None] = lambda _: None,
        now: Callable[[], datetime] = datetime.now,
    ):
        self.desk, self.projector, self.push, self._now = desk, projector, push, now
        self.work = Work(None) if projector else desk.work_of("")
        self.lesson: Lesson | None = None
        self._working: Working | None = None
        self._reached: dict[int, Reached] = {}
        self._panels: dict[int, Panel] = {}
        self._recording: Recording | None = None
        desk.sessions.append(self)

    def close(self) -> None:
        """The page is gone."""
        if self in self.desk.sessions:
            self.desk.sessions.remove(self)

    # Messages

    def take(self, text: str) -> list[str]:
        """Take one message as text; the replies as texts."""
        return [json.dumps(reply, ensure_ascii=False) for reply in self._replies(text)]

    def _replies(self, text: str) -> list[Reply]:
        try:
            message = json.loads(text)
        except (ValueError, RecursionError):
            return [_refusal("this message is not JSON")]
        return self.answer(message)

    def answer(self, message: Any) -> list[Reply]:
        """Take one message; an unknown or unfit one is refused in a sentence."""
        about = message if isinstance(message, dict) else {}
        try:
            return self._answer(message)
        except Refused as refusal:
            return [_refusal(str(refusal), about)]

    def _answer(self, message: Any) -> list[Reply]:
        if not isinstance(message, dict) or not isinstance(message.get("do"), str):
            raise Refused("a message says what it wants done")
        do, *_ = message["do"].split("\n")
        if do not in _MESSAGES:
            raise Refused(f'there is no message "{do[:40]}"')
        method, fields = _MESSAGES[do]
        given = {name: value for name, value in message.items() if name != "do"}
        for name in given:
            if name not in fields:
                raise Refused(f'"{do}" takes no "{name[:40]}"')
        for name, field in fields.items():
            if name in given:
                field.check(do, name, given[name])
            elif field.needed:
                raise Refused(f'"{do}" needs "{name}"')
        replies: list[Reply] = method(self, **given)
        return replies

    # The map, and who is here

    def _map(self, student: str = "") -> list[Reply]:
        self._be(student)
        lessons = [self._told(self._older(name) or lesson_named(name)) for name in lesson_names()]
        ahead = [lesson["name"] for lesson in lessons if lesson["state"] != "done"]
        begun = [lesson["name"] for lesson in lessons if lesson["state"] == "begun"]
        next_one = next(iter([*begun[-1:], *ahead, lessons[-1]["name"]]))
        engines = engines_of_own(self.desk.folder)
        put_back = [said for engine in engines for said in engine["told"]]
        return [
            {
                "show": "map",
                "lessons": lessons,
                "sheets": [self._told(sheet) for sheet in self._sheets()],
                "engines": engines,
                "next": next_one,
                "student": self.work.data["student"],
                "warnings": [*self.work.warnings, *put_back],
                "mode": self._mode,
                "picture": map_picture(lessons, next_one, projector=self.projector),
            }
        ]

    def _who(self, name: str, id: str) -> list[Reply]:
        name, student = " ".join(name.split()), " ".join(id.split())
        if not name or not student:
            raise Refused("write your name and your id")
        theirs = self.work.data["student"]["id"]
        if theirs and theirs != student:
            self._be(student)
        trouble = self._keep(lambda data: data["student"].update(name=name, id=student))
        return [*self._map(student), *self._kept(trouble)]

    def _be(self, student: str) -> None:
        """Work as a student whose id this browser has kept."""
        if not self.projector and student != self.work.data["student"]["id"] and student:
            self.work = self.desk.work_of(student)

    def _sheets(self) -> list[ClassSheet]:
        """Sheets of class sets that lie in the work folder."""
        if self.projector:
            return []
        return sheets_in(self.desk.folder, self.work.data["student"]["id"])

    def _lesson_of(self, name: str) -> Lesson:
        sheet = next((each for each in self._sheets() if each.name == name), None)
        return sheet or self._older(name) or lesson_named(name)

    def _older(self, name: str) -> Lesson | None:
        """The edition of a lesson that the student began, where the kit has a newer one by now."""
        begun = self._begun_edition(name)
        if self.projector or not begun or begun == lesson_named(name).edition:
            return None
        return older_lesson(self.desk.folder, name, begun)

    def _begun_edition(self, name: str) -> str:
        edition: str = self.work.lesson(name).get("edition", "")
        return edition

    def _told(self, lesson: Lesson) -> Data:
        kept = self._kept_of(lesson)
        reached = min(kept["reached"], len(lesson.steps))
        state = "new" if reached == 1 and not kept["guesses"] else "begun"
        if reached == len(lesson.steps):
            state = "done"
        return {
            "name": lesson.name,
            "number": _number(lesson),
            "title": lesson.title,
            "about": lesson.about,
            "state": state,
            "reached": reached,
            "steps": len(lesson.steps),
        }

    @property
    def _mode(self) -> str:
        return "projector" if self.projector else "page"

    # An engine of one's own

    def _engine(self, sheet: str, table: str = "") -> list[Reply]:
        self._recording = Recording(sheet_named(self.desk.folder, sheet), table, self._now)
        return self._recording.opened()

    def _new_engine(self, name: str, cylinders: int, banks: str, unit: str) -> list[Reply]:
        return make_new(self.desk.folder, name, cylinders, banks, unit)

    def _open_sheet(self, files: str, replace: bool = False) -> list[Reply]:
        return bring_in(self.desk.folder, files, replace)

    @property
    def _style(self) -> Style:
        return PAGE_PROJECTOR if self.projector else PAGE

    # A lesson

    def _open(self, lesson: str, student: str = "") -> list[Reply]:
        self._be(student)
        self.lesson = self._lesson_of(lesson)
        try:
            at = self._reach_all()
        except Exception:
            if self._edition_told() != "older":
                raise
            # Working that the library of today does not bear any more: only the newer one runs.
            self.lesson = lesson_named(lesson)
            at = self._reach_all()
        self._show_picture(self.lesson.step(at))
        opened = {
            "show": "lesson",
            "name": self.lesson.name,
            "number": _number(self.lesson),
            "judges": not isinstance(self.lesson, ClassSheet) or self.lesson.judges,
            "title": self.lesson.title,
            "steps": len(self.lesson.steps),
            "at": at,
            "done": self._done_steps(),
            "mode": self._mode,
            "student": self.work.data["student"],
            "warnings": self.work.warnings,
            "edition": self._edition_told(),
        }
        steps = [self._step(self.lesson.step(number)) for number in range(1, at + 1)]
        return [opened, *steps, *(self._panel(number) for number in self._panels)]

    def _reach_all(self) -> int:
        """Run the steps as far as they were reached; the number of the last.

        Where a newer edition asks for a guess that was not given yet, it is the last.
        """
        lesson = self._open_lesson()
        self._working, self._reached, self._panels = Working(self._style, self.desk.folder), {}, {}
        self._open_panel_ahead()
        reached = min(self._kept_lesson["reached"], len(lesson.steps))
        for step in lesson.steps[: reached - 1]:
            self._reach(step)
            if self._lacks_guess(step):
                return step.number
        self._reach(lesson.step(reached))
        return reached

    def _edition_told(self) -> str:
        """Whether the student works in an older edition, or in a newer one than was begun."""
        lesson = self._open_lesson()
        if isinstance(lesson, ClassSheet) or self.projector:
            return ""
        if lesson.edition != lesson_named(lesson.name).edition:
            return "older"
        begun = self._begun_edition(lesson.name)
        return "newer" if begun and begun != lesson.edition else ""

    def _take_newer(self) -> list[Reply]:
        """Go on with the kit's newer edition of the lesson that is open."""
        older = self._open_lesson()
        if self._edition_told() != "older":
            raise Refused("this is the newest edition that the kit has")
        newer = lesson_named(older.name)
        trouble = put_newer(self.desk.folder, older.name)
        if trouble:
            raise Refused(trouble)

        def change(data: Data) -> None:
            kept = data["lessons"].setdefault(older.name, new_lesson())
            kept.update(
                edition=newer.edition, reached=reached_in(newer, older, kept["reached"]), done=[]
            )

        trouble = self._keep(change)
        return [*self._open(older.name), *self._kept(trouble)]

    def _on(self, step: int) -> list[Reply]:
        lesson, now = self._open_lesson(), self._reached_step(step)
        self._needs_guess(now)
        if now.number == len(lesson.steps):
            raise Refused("this is the last step")
        after = lesson.step(now.number + 1)
        panels = set(self._panels)
        if after.number not in self._reached:
            self._reach(after)
        turned = self._show_picture(after)
        trouble = self._keep_lesson(
            lambda kept: kept.update(reached=max(kept["reached"], after.number))
        )
        new = [self._panel(number) for number in self._panels if number not in panels or turned]
        return [self._step(now), self._step(after), *new, *self._kept(trouble)]

    def _needs_guess(self, step: Step) -> None:
        """Nothing that comes after a guess is given before it."""
        lacks = self._lacks_guess(step)
        if lacks:
            raise Refused(lacks)

    def _lacks_guess(self, step: Step) -> str:
        """What is to be guessed first; empty where nothing is."""
        if self.projector:
            return ""
        if step.predicts and not self._guess_text(step):
            return "write your guess first: it is kept, and nobody marks it"
        panel = self._panels.get(step.number)
        if panel and step.has_panel and not panel.answer_is_shown:
            return "give your guess first"
        return ""

    def _guess(self, step: int, text: str) -> list[Reply]:
        now = self._reached_step(step)
        panel = self._panels.get(now.number)
        if now.predicts:
            if not text.strip():
                raise Refused("write your guess first: it is kept, and nobody marks it")
            said = ""
        elif panel and panel.guess:
            panel.take("guess", text)
            said = panel.guess.says
            if not panel.guess.given:
                raise Refused(said)
        else:
            raise Refused("this step asks for no guess")
        entry = {"text": text, "at": self._time(), **(_found(panel.guess) if panel else {})}

        def change(kept: Data) -> None:
            kept["guesses"][now.guess] = entry
            if panel:
                kept["panels"][now.panel] = panel.kept

        trouble = self._keep_lesson(change, now.number)
        shown = [self._panel(now.number)] if panel else []
        return [self._step(now), *shown, *self._kept(trouble)]

    def _answer_box(self, step: int, box: str, text: str) -> list[Reply]:
        now = self._reached_step(step)
        if box not in {each.key for each in now.boxes}:
            raise Refused(f'there is no box "{box}" in this step')
        texts = {**self._texts(now), box: text}
        judged = self._judge(now, texts)
        ours = next((each for each in judged if box in each.boxes), None)
        entry = {
            "text": text,
            "kind": ours.kind if ours else "told",
            "says": ours.says if ours else "",
            "at": self._time(),
        }
        trouble = self._keep_lesson(lambda kept: kept["answers"].update({box: entry}), now.number)
        verdicts = [each.as_dict() for each in judged]
        return [
            {
                "show": "verdicts",
                "step": now.number,
                "box": box,
                "text": text,
                "verdicts": verdicts,
                "done": self._is_done(now),
            },
            *self._board_anew(now),
            *self._kept(trouble, now.number, box),
        ]

    def _board_anew(self, step: Step) -> list[Reply]:
        """The first step of a sheet again, whose board holds the readings that were taken."""
        sheet = self.lesson
        if not isinstance(sheet, ClassSheet) or not sheet.is_read(step):
            return []
        return [self._step(sheet.step(1))]

    def _reading(self, step: int, box: str, text: str) -> list[Reply]:
        now = self._reached_step(step)
        key = places(now).get(box)
        if key is None:
            raise Refused(f'there is no reading "{box}" in this step')

        def change(kept: Data) -> None:
            kept["readings"].pop(moved(self._open_lesson(), kept["readings"]).get(key), None)
            kept["readings"][key] = text

        trouble = self._keep_lesson(change, now.number)
        return self._kept(trouble, now.number, box)

    def _set(self, step: int, name: str, entry: Any) -> list[Reply]:
        panel = self._panels.get(step)
        if panel is None:
            raise Refused("this step has no panel")
        if panel.guess and name == panel.guess.name:
            return self._guess(step, str(entry))
        panel.take(name, entry)
        return [self._panel(step)]

    def _keep_panel(self, step: int) -> list[Reply]:
        panel = self._panels.get(step)
        if panel is None:
            raise Refused("this step has no panel")
        kept, name = panel.kept, self._open_lesson().step(step).panel
        trouble = self._keep_lesson(lambda each: each["panels"].update({name: kept}), step)
        return self._kept(trouble, step)

    def _uncover(self, step: int) -> list[Reply]:
        if not self.projector:
            raise Refused("nothing is covered here")
        now = self._reached_step(step)
        self._reached[now.number].uncovered = True
        panel = self._panels.get(now.number)
        shown = []
        if panel and panel.guess and not panel.guess.given and now.has_panel:
            panel.guess.waive()
            shown = [self._panel(now.number)]
        return [self._step(now), *shown]

    def _hand_in(self) -> list[Reply]:
        student = self.work.data["student"]
        if not student["name"] or not student["id"]:
            raise Refused("first say who you are: the file carries your name")
        data = {**self.work.copy(), "handed_in": self._time()}
        text = json.dumps(data, ensure_ascii=False, indent=1)
        return [{"show": "file", "name": handed_in_name(student["id"]), "text": text}]

    def _take_back(self, text: str) -> list[Reply]:
        try:
            found = read_work(text)
        except Unfit as why:
            raise Refused(f"this file {why}") from None
        ours, theirs = self.work.data["student"]["id"], found["student"]["id"]
        if ours and theirs and ours != theirs:
            raise Refused("this file holds another student's work")
        found.pop("handed_in", None)
        trouble = self._keep(lambda data: data.update(found))
        self.lesson, self._reached, self._panels = None, {}, {}
        return [*self._map(), *self._kept(trouble)]

    # Steps

    def _open_panel_ahead(self) -> None:
        """The panel is there from the first step on, where it keeps its answer to itself."""
        for step in self._open_lesson().steps:
            for cell in step.cells:
                if cell.kind == "panel":
                    panel = self._run_panel(step)
                    if panel and panel.answer_is_shown and panel.tells_at_once:
                        del self._panels[step.number]

    def _show_picture(self, step: Step) -> bool:
        """Turn the panel to the picture that a step is about; whether it had another."""
        before = [panel.svg for panel in self._panels.values()]
        first = next((part.picture for part in step.parts if part.picture), "")
        for panel in self._panels.values():
            panel.show_picture(step.picture or first)
        return before != [panel.svg for panel in self._panels.values()]

    def _run_panel(self, step: Step) -> Panel | None:
        assert self._working is not None
        for cell in step.cells:
            if cell.kind == "panel":
                _, panel = self._working.run(cell)
                if panel:
                    panel.stand_alone(self.desk.folder)
                    if self.projector:
                        panel.projector.take(True)
                    panel.restore(self._kept_lesson["panels"].get(step.panel, []))
                    self._panels[step.number] = panel
                    return panel
        return None

    def _reach(self, step: Step) -> None:
        """Run a step's working; what it shows may be sent from now on."""
        assert self._working is not None
        shown: list[list[Shown]] = []
        for cell in step.cells:
            if cell.kind == "panel" and step.number not in self._panels:
                self._run_panel(step)
            shown.append([] if cell.kind != "working" else self._working.run(cell)[0])
        self._reached[step.number] = Reached(shown, [], {})
        if isinstance(self.lesson, ClassSheet):
            labels_of = {box.key: label_of_box(box) for box in step.boxes}
            self._reached[step.number].labels.update(labels_of)
        if step.boxes:
            self._judge(step, self._texts(step))

    def _judge(self, step: Step, texts: dict[str, str]) -> list[Judged]:
        assert self._working is not None
        reached, judged = self._reached[step.number], list[Judged]()
        if isinstance(self.lesson, ClassSheet):
            all_texts = self._all_texts(self.lesson) | texts
            reached.judged = self.lesson.judge(step, all_texts)
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

    def _step(self, step: Step) -> Reply:
        reached, lesson = self._reached[step.number], self._open_lesson()
        answers = bool(step.cells or step.predicted)
        covered = self.projector and not reached.uncovered and answers
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
            "guess": self._guess_now(step),
            "working": self._working_now(step, covered),
            "boxes": [self._box(step, box) for box in step.boxes],
            "verdicts": [] if covered else [each.as_dict() for each in reached.judged],
            "readings": self._readings(step),
            "panel": step.number if step.has_panel else None,
            "picture": step.picture,
            "covered": covered,
            "done": self._is_done(step),
            "last": step.number == len(lesson.steps),
            "looks_back": self._looks_back(step, covered),
            "written_earlier": self._written_earlier(step),
        }

    def _working_now(self, step: Step, covered: bool) -> list[Reply]:
        working = []
        if isinstance(self.lesson, ClassSheet) and step.number == 1:
            board = self.lesson.board(self._all_texts(self.lesson))
            readings = [each.as_dict() for each in board]
            working.append({"code": "", "shown": readings, "part": 0})
        for cell, shown in zip(step.cells, self._reached[step.number].shown, strict=True):
            told = [] if covered else [each.as_dict() for each in shown]
            working.append({"code": cell.code, "shown": told, "part": cell.part})
        return working

    def _guess_now(self, step: Step) -> Reply | None:
        panel = self._panels.get(step.number)
        text = self._guess_text(step)
        if step.predicts:
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

    def _looks_back(self, step: Step, covered: bool) -> list[Reply]:
        """Each guess beside what was found, where the lesson ends."""
        if step.number != len(self._open_lesson().steps):
            return []
        told = [*self._predicted(step), *self._guessed()]
        return [{**each, "is": "", "off": ""} if covered else each for each in told]

    def _predicted(self, last: Step) -> list[Reply]:
        """The guess in words, and what was found."""
        said = self._kept_lesson["guesses"].get(PREDICTED, {}).get("text", "")
        rows = last.predicted or ((Predicted("what you predicted", ""),) if said else ())
        return [{"asked": row.asked, "said": said, "is": row.found, "off": ""} for row in rows]

    def _guessed(self) -> list[Reply]:
        """The guesses of numbers; a panel's answer as it was when the guess was given."""
        told = []
        for step in self._open_lesson().steps:
            panel = self._panels.get(step.number)
            if step.panel and panel and panel.guess and panel.guess.found:
                told.append({"said": panel.guess.found.guess, **_found(panel.guess)})
        return told

    def _box(self, step: Step, box: Box) -> Reply:
        return {
            "key": box.key,
            "label": self._reached[step.number].labels.get(box.key, box.name),
            "unit": box.unit,
            "part": box.part,
            "example": box.example,
            "takes": box.takes,
            "text": self._texts(step)[box.key],
        }

    def _readings(self, step: Step) -> dict[str, str]:
        kept = self._kept_lesson["readings"]
        older = moved(self._open_lesson(), kept)
        keys = {name: older.get(key, key) for name, key in places(step).items()}
        return {name: kept[key] for name, key in keys.items() if key in kept}

    def _written_earlier(self, step: Step) -> list[Reply]:
        """What was written in an earlier edition and has no place in this one: at the end."""
        lesson = self._open_lesson()
        if isinstance(lesson, ClassSheet) or step.number != len(lesson.steps):
            return []
        return [asdict(each) for each in left_over(lesson, self._kept_lesson)]

    def _texts(self, step: Step) -> dict[str, str]:
        answers = self._kept_lesson["answers"]
        return {box.key: answers.get(box.key, {}).get("text", "") for box in step.boxes}

    def _all_texts(self, sheet: ClassSheet) -> dict[str, str]:
        """What stands in every box of a sheet where something was written."""
        kept = self._kept_of(sheet)["answers"]
        every = (box.key for step in sheet.steps for box in step.boxes)
        return {key: kept[key]["text"] for key in every if key in kept}

    def _guess_text(self, step: Step) -> str:
        text: str = self._kept_lesson["guesses"].get(step.guess, {}).get("text", "")
        return text

    def _is_done(self, step: Step) -> bool:
        if step.predicts:
            return bool(self._guess_text(step))
        panel = self._panels.get(step.number)
        if step.has_panel and panel:
            return panel.answer_is_shown
        reached = self._reached.get(step.number)
        if isinstance(self.lesson, ClassSheet) and step.boxes:
            return self.lesson.is_filled(step, self._texts(step))
        if step.boxes:
            kinds = [each.kind for each in reached.judged if each.boxes] if reached else [""]
            return all(kind in ("right", "follows", "told") for kind in kinds)
        return self._kept_lesson["reached"] > step.number or step.number == len(
            self._open_lesson().steps
        )

    def _done_steps(self) -> list[int]:
        return [n for n in self._reached if self._is_done(self._open_lesson().step(n))]

    def _panel(self, step: int) -> Reply:
        return {"show": "panel", "step": step, **vars(self._panels[step].view())}

    # What is kept

    def _open_lesson(self) -> Lesson:
        if self.lesson is None:
            raise Refused("open a lesson first")
        return self.lesson

    @property
    def _kept_lesson(self) -> Data:
        return self._kept_of(self._open_lesson())

    def _kept_of(self, lesson: Lesson) -> Data:
        if isinstance(lesson, ClassSheet):
            found: Data = self.work.data["sets"].get(lesson.mark) or new_lesson()
            return found
        return self.work.lesson(lesson.name)

    def _reached_step(self, number: int) -> Step:
        step = self._open_lesson().step(number)
        if step.number not in self._reached:
            raise Refused(f"step {number} comes later")
        return step

    @property
    def entries(self) -> Data:
        """What the student has entered in the lesson that is open; empty where none is."""
        if self.lesson is None:
            return {}
        kept = self._kept_of(self.lesson)
        return {name: kept[name] for name in ("answers", "guesses", "readings", "panels")}

    def _keep_lesson(self, change: Callable[[Data], Any], step: int = 0) -> str:
        now = self._open_lesson()

        def change_lesson(data: Data) -> None:
            if isinstance(now, ClassSheet):
                lesson = data["sets"].setdefault(now.mark, new_sheet(now.student, now.mark))
            else:
                lesson = data["lessons"].setdefault(now.name, new_lesson())
                lesson["edition"] = now.edition
            change(lesson)
            lesson["done"] = self._done_steps()

        trouble = self._keep(change_lesson)
        if step:
            self.desk.tell_others(self, step)
        return trouble

    def _keep(self, change: Callable[[Data], Any]) -> str:
        return self.work.keep(change)

    def _kept(self, trouble: str, step: int = 0, box: str = "") -> list[Reply]:
        if self.projector:
            return []
        about = {"step": step, "box": box} if step else {}
        if trouble:
            return [{"show": "kept", "trouble": trouble, **about}]
        return [{"show": "kept", "at": self._now().strftime("%H:%M"), **about}]

    def _time(self) -> str:
        return self._now().isoformat(timespec="seconds")


def _found(guess: Guess | None) -> dict[str, str]:
    """What a panel's guess was about, what was found, and how far off the guess was."""
    if guess is None or guess.found is None:
        return {}
    asked, found = guess.prediction.asks, guess.found
    return {"asked": asked, "is": found.answer, "off": found.off}


def _number(lesson: Lesson) -> int | None:
    return None if isinstance(lesson, ClassSheet) else lesson.number


@dataclass(frozen=True)
class _Field:
    """What a field of a message may hold."""

    kinds: tuple[type, ...]
    needed: bool = True
    longest: int = MOST_TEXT

    def check(self, do: str, name: str, value: Any) -> None:
        if type(value) not in self.kinds:
            raise Refused(f'"{do}": "{name}" cannot be {json.dumps(value)[:40]}')
        if isinstance(value, str) and len(value) > self.longest:
            raise Refused(f'"{do}": "{name}" is longer than {self.longest} characters')


def _of_recording(name: str) -> Callable[..., list[Reply]]:
    """A message that goes on to the engine that is open."""

    def take(session: Session, **given: Any) -> list[Reply]:
        recording = session._recording
        if recording is None:
            raise Refused("open a sheet first")
        replies = recording.answer(name, given)
        if any(reply["show"] == "kept" for reply in replies):
            for other in session.desk.sessions:
                theirs = other._recording
                if other is not session and theirs and theirs.is_of(recording):
                    other.push({"show": "changed", "step": 0})
        return replies

    return take


_TEXT, _STEP = _Field((str,)), _Field((int,))
_SURE = _Field((bool,), needed=False)
_FILES = _Field((str,), longest=5_000_000)
_STUDENT = _Field((str,), needed=False)
_MESSAGES: dict[str, tuple[Callable[..., list[Reply]], dict[str, _Field]]] = {
    "map": (Session._map, {"student": _STUDENT}),
    "who": (Session._who, {"name": _TEXT, "id": _TEXT}),
    "open": (Session._open, {"lesson": _TEXT, "student": _STUDENT}),
    "take newer": (Session._take_newer, {}),
    "on": (Session._on, {"step": _STEP}),
    "guess": (Session._guess, {"step": _STEP, "text": _TEXT}),
    "answer": (Session._answer_box, {"step": _STEP, "box": _TEXT, "text": _TEXT}),
    "reading": (Session._reading, {"step": _STEP, "box": _TEXT, "text": _TEXT}),
    "set": (
        Session._set,
        {"step": _STEP, "name": _TEXT, "entry": _Field((str, int, float, bool, type(None)))},
    ),
    "keep": (Session._keep_panel, {"step": _STEP}),
    "uncover": (Session._uncover, {"step": _STEP}),
    "engine": (Session._engine, {"sheet": _TEXT, "table": _STUDENT}),
    "new engine": (
        Session._new_engine,
        {"name": _TEXT, "cylinders": _STEP, "banks": _TEXT, "unit": _TEXT},
    ),
    "open sheet": (Session._open_sheet, {"files": _FILES, "replace": _SURE}),
    "draft": (_of_recording("draft"), {"text": _TEXT}),
    "take": (_of_recording("take"), {"text": _TEXT, "sure": _SURE}),
    "clear": (_of_recording("clear"), {}),
    "leave out": (_of_recording("leave_out"), {"text": _TEXT}),
    "as before": (_of_recording("as_before"), {}),
    "add": (_of_recording("add"), {"kind": _TEXT}),
    "go": (_of_recording("go"), {"to": _TEXT}),
    "known": (_of_recording("known"), {}),
    "readings": (_of_recording("readings"), {}),
    "line": (_of_recording("line"), {"number": _STEP, "text": _TEXT, "sure": _SURE}),
    "files": (_of_recording("files"), {}),
    "report": (_of_recording("report"), {}),
    "hand in": (Session._hand_in, {}),
    "take back": (Session._take_back, {"text": _Field((str,), longest=5_000_000)}),
}
"""Every message that exists, with what it does and what it takes."""


def _refusal(says: str, about: dict[str, Any] | None = None) -> Reply:
    where = {
        name: value
        for name, value in (about or {}).items()
        if name in ("step", "box", "name") and isinstance(value, str | int)
    }
    return {"show": "refusal", "says": says, **where}
