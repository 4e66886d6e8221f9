"""What all panels have: a picture, settings beside it, a guess first, and the numbers in words."""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path
from typing import Any, NamedTuple

import pint

from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR, PROJECTOR, SCREEN, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.guess import Guess, Prediction
from enginemath.panels.frame.setting import (
    Choice,
    Entry,
    Group,
    Note,
    Part,
    Press,
    Setting,
    Tick,
    Work,
    settings_in,
)
from enginemath.units import Refused

_keys = count(1)
MOST_KEPT = 4000
"""Entries that are kept of one panel."""


class Trouble(NamedTuple):
    """An error that nobody foresaw, and its trace."""

    says: str
    trace: str


@dataclass(frozen=True)
class View:
    """A panel as it stands: all that a host shows.

    `words` answer the settings, `notes` follow; `refusal` stands in their place; `settings` are
    plain data, in their order, those of a group with its title. A `large` picture says its numbers
    itself and is taken by hand. What is to be done there before the lesson goes on, `waits` says.
    """

    title: str
    subject: str
    svg: str
    width: float
    height: float
    words: str
    notes: str
    refusal: str
    trouble: str
    answered: bool
    large: bool
    waits: str
    settings: list[dict[str, Any]]


class Panel:
    """A picture that follows its settings; which host shows it, it does not know.

    A panel says what it shows in a few places: `picture`, `words`, `prediction` with
    `picture_before_guess`, and `change`, which takes what a control was moved to.

    Args:
        left: what stands beside the picture, from above.
        head: what else stands in the first line.
        predict: whether the panel's question comes first.
        projector: large type and high contrast.
    """

    title = "Panel"
    tells_at_once = False
    """Whether it shows results without being asked: then it waits for its step on a page."""
    large = False
    """Whether its picture is a page's large one, with handles."""
    pictures: Sequence[str] = ()
    """Names of its pictures, the first one shown first; empty where there is but one."""
    guess: Guess | None = None
    folder: Path | None = None
    """Where a panel that saves a file puts it; None: where Python was started."""
    _replaying = _opened = False

    def __init__(
        self,
        *,
        left: Sequence[Part] = (),
        head: Sequence[Setting] = (),
        predict: bool = True,
        projector: bool = False,
    ):
        self.key = f"em{next(_keys)}"
        self.picture_now: Picture | None = None
        self.svg = self.told = self.refusal = ""
        self.trouble: Trouble | None = None
        self.kept: list[tuple[str, Entry]] = []
        self._watchers: list[Work] = []
        self.projector = Tick("projector", projector, self.refresh)
        self.reset_all = Press("reset all", self.reset)
        self.shows = Choice("picture", "", [(name, name) for name in self.pictures], self.refresh)
        chosen = [self.shows] if self.pictures else []
        self.head = [*chosen, *head, self.projector, self.reset_all]
        self.stand_left(left)
        prediction = self.named_prediction() if predict else None
        self.guess = Guess(prediction, self.refresh) if prediction else None
        self._opened = True
        for setting in (*self.head, *([self.guess] if self.guess else [])):
            setting.guard = self.guarded
        self.refresh()

    # What a panel must say

    def prediction(self) -> Prediction | None:
        """What to guess first, as things stand now; None where nothing is asked."""
        return None

    def named_prediction(self) -> Prediction | None:
        """The question after its engine's name; in few words only after that of another engine."""
        prediction = self.prediction()
        if prediction is None or not self.subject:
            return prediction
        text, asks = (f"{self.subject}: {each}" for each in (prediction.text, prediction.asks))
        return replace(prediction, text=text, asks=asks if self._opened else prediction.asks)

    def free(self) -> Sequence[Setting]:
        """What may be moved or chosen before the guess: it gives nothing away."""
        return ()

    def hidden(self) -> Sequence[Control]:
        """Controls that are not shown now: of no use here, or giving the answer away."""
        return ()

    def work_out(self) -> None:
        """Work out, once for each change, what picture and words both need."""

    def picture(self, style: Style) -> Picture:
        """The picture, with the answer in it; its key is the panel's."""
        raise NotImplementedError

    def picture_before_guess(self, style: Style) -> Picture:
        """The picture without the answer."""
        return self.picture(style)

    def words(self) -> str:
        """The numbers in words."""
        raise NotImplementedError

    def words_before_guess(self) -> str:
        """What can be said without the answer."""
        return ""

    def waits(self) -> str:
        """What is to be done by hand in this picture before the lesson goes on; empty: nothing."""
        return ""

    def change(self, control: Control, value: pint.Quantity) -> None:
        """Take a control's new value.

        Raises:
            Refused: it cannot be; says why.
        """
        raise NotImplementedError

    def outlives_reset(self) -> list[Setting]:
        """What stays when everything is put back: the guess, and what was chosen."""
        chosen = [each for each in self.settings if isinstance(each, Choice)]
        return [*([self.guess] if self.guess else []), *chosen]

    def reset(self) -> None:
        """Everything as at the start."""
        for control in self.controls:
            control.reset()

    # What a host asks for

    @property
    def settings(self) -> list[Setting]:
        """All that can be set, in the order in which it stands."""
        guess = [self.guess] if self.guess else []
        return [*self.head, *guess, *settings_in(self.left)]

    def setting_named(self, name: str) -> Setting:
        """The setting of a name.

        Raises:
            Refused: there is none.
        """
        for setting in self.settings:
            if setting.name == name:
                return setting
        raise Refused(f'nothing here is named "{name}"')

    def take(self, name: str, entry: Entry) -> None:
        """Take one entry of a host.

        Args:
            name: of a setting.
            entry: a text as it was typed; the place of a slider or an option; whether something
                is ticked; True to press; None to go back to the first value.

        Raises:
            Refused: no such setting, one that may not be touched now, or an entry of another kind.

        >>> from enginemath.panels import add_it_up
        >>> panel = add_it_up("heron-four", predict=False)
        >>> panel.take("chamber", "46.0 cc")
        >>> panel.view().words[:33]
        'Cylinder 1: compression ratio 8.7'
        """
        setting = self.setting_named(name)
        if setting.let_go and not setting.shown and type(entry) in (int, float):
            return  # the hand still holds what has shut by itself
        if setting.locked or not setting.shown:
            raise Refused(f"{setting.name}: not to be set now")
        setting.take(entry)
        self._keep(setting, entry)
        for work in self._watchers:
            work()

    def restore(self, kept: Sequence[tuple[str, Entry]]) -> None:
        """Bring the panel to where it was left: what no longer fits is left out."""
        self._replaying = True
        try:
            for name, entry in kept:
                with suppress(Refused):
                    self.take(name, entry)
        finally:
            self._replaying = False
        self.refresh()

    def stand_alone(self, folder: Path | None) -> None:
        """Share nothing with other panels, and save files in a folder: a page's student is one."""
        self.folder = folder

    def view(self) -> View:
        """The panel as it stands."""
        drawn, (words, _, notes) = self._last_picture(), self.told.partition("\n")
        return View(
            title=self.title,
            subject=self.subject,
            svg=self.svg,
            width=drawn.width,
            height=drawn.height,
            words=words,
            notes=notes,
            refusal=self.refusal,
            trouble=self.trouble.says if self.trouble else "",
            answered=self.answer_is_shown,
            large=self.large,
            waits=self.waits(),
            settings=self._states(),
        )

    def show_picture(self, name: str) -> None:
        """Show the picture of a name, where there is one of that name."""
        if name in self.pictures and name != self.shows.chosen:
            self.take(self.shows.name, name)

    def on_change(self, work: Work) -> None:
        """Do some work after each entry."""
        self._watchers.append(work)

    # What all panels do

    @property
    def answer_is_shown(self) -> bool:
        """Whether a guess was given, or none is asked for."""
        return self.guess is None or self.guess.given

    @property
    def style_now(self) -> Style:
        """The style that the picture is drawn in."""
        if self.large:
            return PAGE_PROJECTOR if self.projector.on else PAGE
        return PROJECTOR if self.projector.on else SCREEN

    def move(self, control: Control, value: pint.Quantity) -> None:
        """Take a control's new value and show what it does.

        Raises:
            Refused: it cannot be, or the panel met an error, which it then shows.
        """
        with self._errors_shown():
            self.change(control, value)
            self._show()
            for other in self.controls:
                if other.refused and other is not control:
                    other.show_last_good()
            return
        raise Refused("not taken: the panel met an error, see below")

    def refresh(self) -> None:
        """Draw and say everything anew."""
        self.guarded(self._show)

    def stand_left(self, parts: Sequence[Part]) -> None:
        """Put settings beside the picture, from above."""
        self.left = list(parts)
        settings = list(settings_in(parts))
        self.controls = [setting for setting in settings if isinstance(setting, Control)]
        self._choices = [setting for setting in parts if isinstance(setting, Choice)]
        for setting in settings:
            setting.guard = self.guarded

    def refuse(self, why: str) -> None:
        """Say in place of the numbers what cannot be; the picture stays as it was."""
        self.refusal = why

    def guarded(self, work: Callable[[], object]) -> None:
        """Do some work; an error or a refusal in it shows in the panel."""
        with self._errors_shown():
            try:
                work()
            except Refused as refusal:
                self.refuse(str(refusal))

    def _show(self) -> None:
        self.work_out()
        shown = self.answer_is_shown
        hidden, free = self.hidden(), () if shown else self.free()
        for control in self.controls:
            control.locked = not shown and control not in free
            control.shown = control not in hidden
        for choice in self._choices:
            choice.locked = not shown and choice not in free
        if self._replaying:
            return
        picture = self.picture if shown else self.picture_before_guess
        drawn = picture(self.style_now)
        told = self.words() if shown else self.words_before_guess()
        self.svg, self.told, self.refusal = drawn.svg(), told, ""
        self.picture_now, self.trouble = drawn, None

    def _last_picture(self) -> Picture:
        assert self.picture_now is not None
        return self.picture_now

    def _keep(self, setting: Setting, entry: Entry) -> None:
        """Remember an entry; a number moved again takes the place of its last one."""
        if self.guess and setting is self.guess and not self.guess.given:
            return
        if isinstance(setting, Control):
            if setting.refused:
                return
            for place in range(len(self.kept) - 1, -1, -1):
                name, _ = self.kept[place]
                if name == setting.name:
                    del self.kept[place]
                    break
                if name not in {control.name for control in self.controls}:
                    break
        elif setting.kind == "number" and self.kept and self.kept[-1][0] == setting.name:
            self.kept = self.kept[:-1]
        elif setting is self.reset_all:
            names = {each.name for each in self.outlives_reset()}
            self.kept = [kept for kept in self.kept if kept[0] in names]
        self.kept = [*self.kept, (setting.name, entry)][-MOST_KEPT:]

    def _states(self) -> list[dict[str, Any]]:
        states = [{**setting.state(), "where": "head"} for setting in self.head]
        if self.guess:
            states.append({**self.guess.state(), "where": "guess"})
        for part in self.left:
            members = part.members if isinstance(part, Group) else (part,)
            group = part.title if isinstance(part, Group) else ""
            for each in members:
                plain = {"name": "", "kind": "note", "class": each.kind, "html": each.html} if (
                    isinstance(each, Note)
                ) else each.state()  # fmt: skip
                states.append({**plain, "where": "left", "group": group})
        return states

    @contextmanager
    def _errors_shown(self) -> Iterator[None]:
        """Show an error that nobody foresaw; a refusal is for the caller to say."""
        try:
            yield
        except Refused:
            raise
        except Exception as error:
            self.trouble = Trouble(f"{type(error).__name__}: {error}", traceback.format_exc())

    @property
    def subject(self) -> str:
        """What the panel shows, after its title."""
        return ""

    def __repr__(self) -> str:
        subject = f" — {self.subject}" if self.subject else ""
        return f"<panel: {self.title}{subject}>"

    # In a notebook

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        from enginemath.panels.frame.notebook import in_notebook

        return in_notebook(self)._repr_mimebundle_()

    def _ipython_display_(self, **_: Any) -> None:
        from enginemath.panels.frame.notebook import in_notebook

        in_notebook(self).show()
