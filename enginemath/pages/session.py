"""One open page: takes messages, gives replies; needs neither a browser nor a server.

The messages are those of `docs/reference/lesson-pages.md`. A message holds names and texts; what
runs is the kit's own working alone.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from typing import Any

from enginemath.classroom.work_file import (
    Data,
    Unfit,
    handed_in_name,
    new_lesson,
    new_sheet,
    read_work,
)
from enginemath.pages.class_sheet import ClassSheet
from enginemath.pages.desk import Desk
from enginemath.pages.earlier_edition import moved, places
from enginemath.pages.lesson_at_work import WRITE_FIRST, LessonAtWork
from enginemath.pages.map_picture import map_picture
from enginemath.pages.messages import Reply, read_message, refusal
from enginemath.pages.older_lesson import put_newer, reached_in
from enginemath.pages.own_engines import bring_in, engines_of_own, make_new, sheet_named, table_for
from enginemath.pages.recording import Recording
from enginemath.pages.shelf import Shelf, number_of
from enginemath.pages.step_told import guess_found, panel_told, step_told
from enginemath.pages.steps import Lesson, Step, lesson_named
from enginemath.pages.work import Work
from enginemath.units import Refused


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
        self.at_work: LessonAtWork | None = None
        self.recording: Recording | None = None
        desk.sessions.append(self)

    @property
    def lesson(self) -> Lesson | None:
        """The lesson that is open."""
        return self.at_work.lesson if self.at_work else None

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
            return [refusal("this message is not JSON")]
        return self.answer(message)

    def answer(self, message: Any) -> list[Reply]:
        """Take one message; an unknown or unfit one is refused in a sentence."""
        about = message if isinstance(message, dict) else {}
        try:
            return self._answer(message)
        except Refused as why:
            return [refusal(str(why), about)]

    def _answer(self, message: Any) -> list[Reply]:
        do, given = read_message(message)
        replies: list[Reply] = _DOES[do](self, **given)
        return replies

    # The map, and who is here

    def _map(self, student: str = "") -> list[Reply]:
        self._be(student)
        shelf = self._shelf
        lessons = [shelf.told(lesson) for lesson in shelf.lessons()]
        ahead = [lesson["name"] for lesson in lessons if lesson["state"] != "done"]
        begun = [lesson["name"] for lesson in lessons if lesson["state"] == "begun"]
        next_one = next(iter([*begun[-1:], *ahead, lessons[-1]["name"]]))
        engines = engines_of_own(self.desk.folder)
        put_back = [said for engine in engines for said in engine["told"]]
        return [
            {
                "show": "map",
                "lessons": lessons,
                "sheets": [shelf.told(sheet) for sheet in shelf.sheets()],
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

    @property
    def _shelf(self) -> Shelf:
        return Shelf(self.desk.folder, self.work, projector=self.projector)

    @property
    def _mode(self) -> str:
        return "projector" if self.projector else "page"

    # An engine of one's own

    def _engine(self, sheet: str, table: str = "") -> list[Reply]:
        self.recording = Recording(sheet_named(self.desk.folder, sheet), table, self._now)
        return self.recording.opened()

    def _new_engine(self, name: str, cylinders: int, banks: str, unit: str) -> list[Reply]:
        return make_new(self.desk.folder, name, cylinders, banks, unit)

    def _group_table(self, sheet: str, group: str) -> list[Reply]:
        return table_for(self.desk.folder, sheet, group)

    def _open_sheet(self, files: str, replace: bool = False) -> list[Reply]:
        return bring_in(self.desk.folder, files, replace)

    # A lesson

    def _open(self, lesson: str, student: str = "") -> list[Reply]:
        self._be(student)
        at_work, at = self._put_to_work(self._shelf.find(lesson))
        at_work.show_picture(at_work.lesson.step(at))
        opened = {
            "show": "lesson",
            "name": at_work.lesson.name,
            "number": number_of(at_work.lesson),
            "judges": not isinstance(at_work.lesson, ClassSheet) or at_work.lesson.judges,
            "title": at_work.lesson.title,
            "steps": len(at_work.lesson.steps),
            "at": at,
            "done": at_work.done_steps(),
            "mode": self._mode,
            "student": self.work.data["student"],
            "warnings": self.work.warnings,
            "edition": self._shelf.edition_told(at_work.lesson),
        }
        steps = [self._step(at_work.lesson.step(number)) for number in range(1, at + 1)]
        return [opened, *(panel_told(at_work, number) for number in at_work.panels), *steps]

    def _put_to_work(self, lesson: Lesson) -> tuple[LessonAtWork, int]:
        """Open a lesson, and run it as far as it was reached."""
        try:
            return self._at_step(lesson)
        except Exception:
            newer = self._shelf.newer_of(lesson)
            if newer is None:
                raise
            # Working that the library of today does not bear any more: only the newer one runs.
            return self._at_step(newer)

    def _at_step(self, lesson: Lesson) -> tuple[LessonAtWork, int]:
        at_work = LessonAtWork(
            lesson, lambda: self._shelf.kept_of(lesson), self.desk.folder, projector=self.projector
        )
        self.at_work = at_work
        return at_work, at_work.reach_all()

    def _take_newer(self) -> list[Reply]:
        """Go on with the kit's newer edition of the lesson that is open."""
        older = self._opened().lesson
        if self._shelf.newer_of(older) is None:
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
        at_work = self._opened()
        lesson, now = at_work.lesson, at_work.step(step)
        lacks = at_work.lacks_guess(now)
        if lacks:
            raise Refused(lacks)
        if now.number == len(lesson.steps):
            raise Refused("this is the last step")
        after = lesson.step(now.number + 1)
        panels = set(at_work.panels)
        if after.number not in at_work.reached:
            at_work.reach(after)
        turned = at_work.show_picture(after)
        trouble = self._keep_lesson(
            lambda kept: kept.update(reached=max(kept["reached"], after.number))
        )
        new = [panel_told(at_work, each) for each in at_work.panels if each not in panels or turned]
        return [*new, self._step(now), self._step(after), *self._kept(trouble)]

    def _guess(self, step: int, text: str) -> list[Reply]:
        at_work = self._opened()
        now = at_work.step(step)
        panel = at_work.panels.get(now.number)
        if now.predicts:
            if not text.strip():
                raise Refused(WRITE_FIRST)
            said = ""
        elif panel and panel.guess:
            panel.take("guess", text)
            said = panel.guess.says
            if not panel.guess.given:
                raise Refused(said)
        else:
            raise Refused("this step asks for no guess")
        entry = {"text": text, "at": self._time(), **(guess_found(panel.guess) if panel else {})}

        def change(kept: Data) -> None:
            kept["guesses"][now.guess] = entry
            if panel:
                kept["panels"][now.panel] = panel.kept

        trouble = self._keep_lesson(change, now.number)
        shown = [panel_told(at_work, now.number)] if panel else []
        return [self._step(now), *shown, *self._kept(trouble)]

    def _answer_box(self, step: int, box: str, text: str) -> list[Reply]:
        at_work = self._opened()
        now = at_work.step(step)
        if box not in {each.key for each in now.boxes}:
            raise Refused(f'there is no box "{box}" in this step')
        judged = at_work.judge(now, {**at_work.texts(now), box: text})
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
                "done": at_work.is_done(now),
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
        now = self._opened().step(step)
        key = places(now).get(box)
        if key is None:
            raise Refused(f'there is no reading "{box}" in this step')

        def change(kept: Data) -> None:
            kept["readings"].pop(moved(self._opened().lesson, kept["readings"]).get(key), None)
            kept["readings"][key] = text

        trouble = self._keep_lesson(change, now.number)
        return self._kept(trouble, now.number, box)

    def _set(self, step: int, name: str, entry: Any) -> list[Reply]:
        at_work = self._opened()
        panel = at_work.panel(step)
        if panel.guess and name == panel.guess.name:
            return self._guess(step, str(entry))
        panel.take(name, entry)
        return [panel_told(at_work, step)]

    def _keep_panel(self, step: int) -> list[Reply]:
        at_work = self._opened()
        kept, name = at_work.panel(step).kept, at_work.lesson.step(step).panel
        trouble = self._keep_lesson(lambda each: each["panels"].update({name: kept}), step)
        return self._kept(trouble, step)

    def _uncover(self, step: int) -> list[Reply]:
        if not self.projector:
            raise Refused("nothing is covered here")
        at_work = self._opened()
        now = at_work.step(step)
        at_work.reached[now.number].uncovered = True
        panel = at_work.panels.get(now.number)
        shown = []
        if panel and panel.guess and not panel.guess.given and now.has_panel:
            panel.guess.waive()
            shown = [panel_told(at_work, now.number)]
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
        self.at_work = None
        return [*self._map(), *self._kept(trouble)]

    # What is kept

    def _opened(self) -> LessonAtWork:
        if self.at_work is None:
            raise Refused("open a lesson first")
        return self.at_work

    def _step(self, step: Step) -> Reply:
        return step_told(self._opened(), step)

    @property
    def entries(self) -> Data:
        """What the student has entered in the lesson that is open; empty where none is."""
        if self.lesson is None:
            return {}
        kept = self._shelf.kept_of(self.lesson)
        return {name: kept[name] for name in ("answers", "guesses", "readings", "panels")}

    def _keep_lesson(self, change: Callable[[Data], Any], step: int = 0) -> str:
        now = self._opened().lesson

        def change_lesson(data: Data) -> None:
            if isinstance(now, ClassSheet):
                lesson = data["sets"].setdefault(now.mark, new_sheet(now.student, now.mark))
            else:
                lesson = data["lessons"].setdefault(now.name, new_lesson())
                lesson["edition"] = now.edition
            change(lesson)
            lesson["done"] = self._opened().done_steps()

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


def _of_recording(name: str) -> Callable[..., list[Reply]]:
    """A message that goes on to the engine that is open."""

    def take(session: Session, **given: Any) -> list[Reply]:
        recording = session.recording
        if recording is None:
            raise Refused("open a sheet first")
        replies = recording.answer(name, given)
        if any(reply["show"] == "kept" for reply in replies):
            session.desk.tell_others_of_recording(session)
        return replies

    return take


_DOES: dict[str, Callable[..., list[Reply]]] = {
    "map": Session._map,
    "who": Session._who,
    "open": Session._open,
    "take newer": Session._take_newer,
    "on": Session._on,
    "guess": Session._guess,
    "answer": Session._answer_box,
    "reading": Session._reading,
    "set": Session._set,
    "keep": Session._keep_panel,
    "uncover": Session._uncover,
    "engine": Session._engine,
    "group table": Session._group_table,
    "new engine": Session._new_engine,
    "open sheet": Session._open_sheet,
    **{
        name: _of_recording(name.replace(" ", "_"))
        for name in (
            *("draft", "take", "clear", "leave out", "as before", "add", "go"),
            *("known", "readings", "line", "files", "report"),
        )
    },
    "hand in": Session._hand_in,
    "take back": Session._take_back,
}
"""What each message does."""
