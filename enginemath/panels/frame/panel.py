"""What all panels have: a picture, controls beside it, a guess first, and the numbers in words."""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from html import escape
from itertools import count
from typing import Any

import pint
from ipywidgets import HTML, Box, Button, Checkbox, DOMWidget, HBox, VBox

from enginemath.drawing.paper.palette import PROJECTOR, SCREEN, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.entry import Choice, EntryBox
from enginemath.panels.frame.guess import Guess, Question
from enginemath.panels.frame.look import Still, alert, style_sheet
from enginemath.units import Refused

_keys = count(1)


class Panel(VBox):
    """A picture that follows its controls.

    A panel says what it shows in a few places: `picture`, `words`, `question` with
    `picture_before_guess`, and `change`, which takes what a control was moved to.

    Args:
        left: controls beside the picture, from above.
        head: what else stands in the first line.
        predict: whether the panel's question comes first.
        projector: large type and high contrast.
    """

    title = "Panel"

    def __init__(
        self,
        *,
        left: Sequence[DOMWidget] = (),
        head: Sequence[DOMWidget] = (),
        predict: bool = True,
        projector: bool = False,
    ):
        self.key = f"em{next(_keys)}"
        self._picture_now: Picture | None = None
        self._still = Still(self.key, self._last_picture)
        self.side = VBox().add_class("em-side")
        self.stand_left(left)
        question = self.named_question() if predict else None
        self.guess = Guess(question, self.refresh) if question else None
        if self.guess:
            self.guess.guard = self.guarded
        self.projector = Checkbox(value=projector, description="projector", indent=False)
        self.reset_all = Button(description="reset all")
        self.image = HTML().add_class("em-drawing")
        self.status = HTML().add_class("em-status")
        self.alert = HTML().add_class("em-alert")
        self.watch(self.projector, self.refresh)
        self.reset_all.on_click(lambda _: self.guarded(self.reset))
        body = Box([self.side, self.image]).add_class("em-body")
        name = HTML(f"<span>{escape(self.title)}</span>").add_class("em-title")
        first_line = HBox([name, *head, self.projector, self.reset_all]).add_class("em-head")
        self._style = HTML(style_sheet() + self._still.hiding).add_class("em-hidden")
        middle = [self.guess] if self.guess else []
        super().__init__([self._style, first_line, *middle, body, self.status, self.alert])
        self.add_class("em-panel")
        self.refresh()

    # What a panel must say

    def question(self) -> Question | None:
        """What to guess first, as things stand now; None where nothing is asked."""
        return None

    def named_question(self) -> Question | None:
        """The question after its engine's name: it stays there when another engine is chosen."""
        question = self.question()
        if question is None or not self.subject:
            return question
        return replace(question, text=f"{self.subject}: {question.text}")

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

    def change(self, control: Control, value: pint.Quantity) -> None:
        """Take a control's new value.

        Raises:
            Refused: it cannot be; says why.
        """
        raise NotImplementedError

    def reset(self) -> None:
        """Everything as at the start."""
        for control in self.controls:
            control.reset()

    # What all panels do

    @property
    def answer_is_shown(self) -> bool:
        """Whether a guess was given, or none is asked for."""
        return self.guess is None or self.guess.given

    @property
    def style_now(self) -> Style:
        """The style that the picture is drawn in."""
        return PROJECTOR if self.projector.value else SCREEN

    def take(self, control: Control, value: pint.Quantity) -> None:
        """Take a control's new value and show what it does.

        Raises:
            Refused: it cannot be, or the panel met an error, which it then shows.
        """
        with self._errors_shown():
            self.change(control, value)
            self._show()
            for other in self.controls:
                if other.refused and other is not control:
                    other.show_held()
            return
        raise Refused("not taken: the panel met an error, see below")

    def refresh(self) -> None:
        """Draw and say everything anew."""
        self.guarded(self._show)

    def stand_left(self, parts: Sequence[DOMWidget]) -> None:
        """Put controls and choices beside the picture, from above."""
        self.controls = [part for part in parts if isinstance(part, Control)]
        self._choices = [part for part in parts if isinstance(part, Choice)]
        for part in parts:
            if isinstance(part, EntryBox):
                part.guard = self.guarded
        self.side.children = tuple(parts)

    def refuse(self, why: str) -> None:
        """Say in place of the numbers what cannot be; the picture stays as it was."""
        self.status.value = f'<span class="em-refusal">✗ {escape(why)}</span>'

    def guarded(self, work: Callable[[], object]) -> None:
        """Do some work; an error or a refusal in it shows in the panel."""
        with self._errors_shown():
            try:
                work()
            except Refused as refusal:
                self.refuse(str(refusal))

    def watch(self, widget: DOMWidget, work: Callable[[], object], trait: str = "value") -> None:
        """Do some work when a widget changes; an error in it shows in the panel."""
        widget.observe(lambda _: self.guarded(work), trait)

    def _show(self) -> None:
        self.work_out()
        shown = self.answer_is_shown
        picture = self.picture if shown else self.picture_before_guess
        drawn = picture(self.style_now)
        told = _said(self.words()) if shown else ""
        size = f"--wide: {drawn.width:g}px; --ratio: {drawn.width / drawn.height:.3f}"
        self.image.value = f'<div style="{size}">{drawn.svg()}</div>'
        self.status.value = told
        hidden = self.hidden()
        for control in self.controls:
            control.disable(not shown)
            control.layout.display = "none" if control in hidden else ""
        for choice in self._choices:
            choice.disable(not shown)
        if self.projector.value != ("em-projector" in self._dom_classes):
            (self.add_class if self.projector.value else self.remove_class)("em-projector")
        self._picture_now = drawn
        self.alert.value = ""
        self._still.follow()

    def _last_picture(self) -> Picture:
        assert self._picture_now is not None
        return self._picture_now

    @contextmanager
    def _errors_shown(self) -> Iterator[None]:
        """Show an error that nobody foresaw; a refusal is for the caller to say."""
        try:
            yield
        except Refused:
            raise
        except Exception as error:
            self.alert.value = alert(error, traceback.format_exc())

    @property
    def subject(self) -> str:
        """What the panel shows, after its title."""
        return ""

    def __repr__(self) -> str:
        subject = f" — {self.subject}" if self.subject else ""
        return f"<panel: {self.title}{subject}>"

    def _ipython_display_(self, **_: Any) -> None:
        from IPython.display import display

        display(self._repr_mimebundle_(), raw=True)
        self._still.show()


def _said(words: str) -> str:
    """The first line, which answers the controls, and the notes on it."""
    answer, _, notes = escape(words).partition("\n")
    notes = notes.replace("\n", "<br/>")
    return f'<div>{answer}</div><div class="em-notes">{notes}</div>'
