"""A panel in a notebook: stock widgets that send entries and show the view.

The only file of the kit that imports ipywidgets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from html import escape
from time import monotonic
from typing import Any
from weakref import WeakKeyDictionary

from ipywidgets import (
    HTML,
    Box,
    Button,
    Checkbox,
    DOMWidget,
    Dropdown,
    FloatSlider,
    HBox,
    Text,
    VBox,
)

from enginemath.panels.frame.control import Control
from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.panels.frame.look import Still, alert, style_sheet
from enginemath.panels.frame.setting import (
    Choice,
    Entry,
    EntryBox,
    Group,
    Note,
    Part,
    Press,
    Setting,
    Tick,
)
from enginemath.units import Refused

_DUST = 1e-3
"""Share of a step that is rounding: a slider says 1.1500000000000001."""
_ONE_ACT = 1.0
"""Seconds within which leaving the box and the click that does it are one."""

Send = Callable[[Setting, Entry], None]
_hosts: WeakKeyDictionary[Any, NotebookPanel] = WeakKeyDictionary()


def in_notebook(panel: Any) -> NotebookPanel:
    """The widgets of a panel, the same ones each time."""
    if panel not in _hosts:
        _hosts[panel] = NotebookPanel(panel)
    return _hosts[panel]


class Shown:
    """What shows one setting: its widget, and how it follows."""

    widget: DOMWidget

    def __init__(self) -> None:
        self._quiet = False

    def follow(self) -> None:
        """Show the setting as it stands."""
        with self.quietly():
            self._follow()

    def _follow(self) -> None:
        raise NotImplementedError

    @contextmanager
    def quietly(self) -> Iterator[None]:
        """What changes within comes from the panel and is not sent back to it."""
        self._quiet = True
        try:
            yield
        finally:
            self._quiet = False


class ShownControl(Shown):
    """A box, a slider and a way back."""

    def __init__(self, control: Control | HandPiece, send: Send):
        super().__init__()
        self.control, self._send = control, send
        self.box = Text(description=control.label, continuous_update=False)
        self.slider = FloatSlider(readout=False)
        self.back = Button(description="↺", tooltip=f"reset {control.label}")
        self.message = HTML().add_class("em-message")
        self.box.observe(self._typed, "value")
        self.back.on_click(lambda _: send(control, None))
        self._row = HBox([self.box, self.back]).add_class("em-control-row")
        self.widget = VBox([self._row, self.slider, self.message])
        self.widget.add_class("em-control").add_class(f"em-part-{control.part}")

    def _typed(self, change: dict[str, Any]) -> None:
        if not self._quiet:
            self._send(self.control, change["new"])

    def _slid(self, change: dict[str, Any]) -> None:
        control = self.control
        if not self._quiet and abs(change["new"] - control.at) > control.step * _DUST:
            self._send(control, change["new"])

    def _follow(self) -> None:
        control, slider = self.control, self.slider
        self.widget.layout.display = "" if control.shown else "none"
        for part in (self.box, self.slider, self.back):
            part.disabled = control.locked
        if not control.shown:  # it may be the answer to a guess that is still to come
            self.box.value = ""
            return
        refusal = f"<p>{escape(control.says)}</p>" if control.says else ""
        self.message.value = refusal
        self.box.value = control.text
        if (slider.min, slider.max, slider.step) != (control.low, control.high, control.step):
            self._fit_slider()
        elif not control.says and abs(slider.value - control.at) > control.step * _DUST:
            slider.value = control.at

    def _fit_slider(self) -> None:
        """A new slider for new ends: a browser that changes them one by one moves the handle."""
        old, control = self.slider, self.control
        ends = {"min": control.low, "max": control.high, "step": control.step}
        self.slider = FloatSlider(control.at, **ends, readout=False, disabled=old.disabled)
        self.slider.observe(self._slid, "value")
        self.widget.children = (self._row, self.slider, self.message)
        old.close()


class ShownChoice(Shown):
    """A list to choose from."""

    def __init__(self, choice: Choice, send: Send):
        super().__init__()
        self.choice, self._send = choice, send
        self.list = Dropdown(description=choice.label)
        self.list.observe(self._chosen, "value")
        self.widget = self.list
        if choice.part:
            self.widget = Box([self.list]).add_class("em-choice")
            self.widget.add_class(f"em-part-{choice.part}")

    def _chosen(self, change: dict[str, Any]) -> None:
        if not self._quiet and change["new"] is not None:
            self._send(self.choice, change["new"])

    def _follow(self) -> None:
        choice = self.choice
        options = [(label, place) for place, (label, _) in enumerate(choice.options)]
        if list(self.list.options) != options:
            self.list.options = options
        self.list.value = choice.place
        self.list.disabled = choice.locked
        self.widget.layout.display = "" if choice.shown else "none"


class ShownTick(Shown):
    """A box to tick."""

    def __init__(self, tick: Tick, send: Send):
        super().__init__()
        self.tick, self._send = tick, send
        self.widget = Checkbox(value=tick.on, description=tick.label, indent=False)
        self.widget.observe(self._ticked, "value")

    def _ticked(self, change: dict[str, Any]) -> None:
        if not self._quiet:
            self._send(self.tick, change["new"])

    def _follow(self) -> None:
        self.widget.value = self.tick.on


class ShownPress(Shown):
    """A button."""

    def __init__(self, press: Press, send: Send):
        super().__init__()
        self.press = press
        self.widget = Button(description=press.label)
        self.widget.on_click(lambda _: send(press, True))

    def _follow(self) -> None:
        self.widget.disabled = self.press.locked
        self.widget.layout.display = "" if self.press.shown else "none"


class ShownEntryBox(Shown):
    """A line to type on, a button, and the reply behind them."""

    def __init__(self, entry: EntryBox, send: Send):
        super().__init__()
        self.entry, self._send = entry, send
        self._typed_at = -_ONE_ACT
        self.box = Text(description=entry.label, placeholder=entry.example, continuous_update=False)
        self.button = Button(description=entry.button)
        self.feedback = HTML().add_class("em-feedback")
        self.button.on_click(self._clicked)
        self.box.observe(self._typed, "value")
        self.widget = HBox([self.box, self.button, self.feedback]).add_class("em-entry")

    def _typed(self, change: dict[str, Any]) -> None:
        if not self._quiet and change["new"]:
            self._typed_at = monotonic()
            self._submit()

    def _clicked(self, _: Button) -> None:
        """A click on the button leaves the box, and that has taken what is in it already."""
        if monotonic() - self._typed_at >= _ONE_ACT:
            self._submit()

    def _submit(self) -> None:
        if not self.entry.locked:
            self._send(self.entry, self.box.value)

    def _follow(self) -> None:
        entry = self.entry
        self.box.description = entry.label
        self.box.value = entry.text
        self.feedback.value = f"<span>{escape(entry.says)}</span>"
        self.box.disabled = self.button.disabled = entry.locked
        self.widget.layout.display = "" if entry.shown else "none"


class ShownNote(Shown):
    """A piece of HTML."""

    def __init__(self, note: Note):
        super().__init__()
        self.note = note
        self.widget = HTML().add_class(f"em-{note.kind}")

    def _follow(self) -> None:
        self.widget.value = self.note.html


class ShownGroup(Shown):
    """Settings and notes under a title; buttons that follow each other stand in one line."""

    def __init__(self, group: Group, send: Send):
        super().__init__()
        self.members = [shown(member, send) for member in group.members]
        lines: list[DOMWidget] = [HTML(f"<b>{escape(group.title)}</b>")]
        taps: list[DOMWidget] = []
        for member in self.members:
            if isinstance(member, ShownPress):
                taps.append(member.widget)
            else:
                lines.append(member.widget)
        if taps:
            place = 1 if len(taps) > 1 else len(lines)
            lines.insert(place, HBox(taps).add_class("em-taps"))
        self.widget = VBox(lines).add_class("em-step")

    def _follow(self) -> None:
        for member in self.members:
            member.follow()


_WIDGETS: dict[type, Callable[..., Shown]] = {
    Control: ShownControl,
    HandPiece: ShownControl,
    Choice: ShownChoice,
    Tick: ShownTick,
    Press: ShownPress,
    EntryBox: ShownEntryBox,
    Group: ShownGroup,
}


def shown(part: Part, send: Send) -> Shown:
    """What shows a part of a panel."""
    if isinstance(part, Note):
        return ShownNote(part)
    kind = next(kind for kind in _WIDGETS if isinstance(part, kind))
    return _WIDGETS[kind](part, send)


class NotebookPanel(VBox):
    """A panel as widgets.

    Args:
        panel: which one.
    """

    def __init__(self, panel: Any):
        self.panel = panel
        self._still = Still(panel.key, panel._last_picture)
        self._head = [shown(part, self._pass_on) for part in panel.head]
        self.guess = ShownEntryBox(panel.guess, self._pass_on) if panel.guess else None
        self.side = VBox().add_class("em-side")
        self._left_of: Sequence[Part] = ()
        self.image = HTML().add_class("em-drawing")
        self.status = HTML().add_class("em-status")
        self.alert = HTML().add_class("em-alert")
        body = Box([self.side, self.image]).add_class("em-body")
        name = HTML(f"<span>{escape(panel.title)}</span>").add_class("em-title")
        first_line = HBox([name, *(each.widget for each in self._head)]).add_class("em-head")
        self._style = HTML(style_sheet() + self._still.hiding).add_class("em-hidden")
        middle = [self.guess.widget] if self.guess else []
        super().__init__([self._style, first_line, *middle, body, self.status, self.alert])
        self.add_class("em-panel")
        panel.on_change(self.follow)
        self.follow()

    def follow(self) -> None:
        """Show the panel as it stands."""
        panel, view = self.panel, self.panel.view()
        if self._left_of is not panel.left:
            self._left_of = panel.left
            self._left = [shown(part, self._pass_on) for part in panel.left]
            self.side.children = tuple(each.widget for each in self._left)
        for each in (*self._head, *self._left, *([self.guess] if self.guess else [])):
            each.follow()
        size = f"--wide: {view.width:g}px; --ratio: {view.width / view.height:.3f}"
        self.image.value = f'<div style="{size}">{view.svg}</div>'
        self.status.value = _said(view.words, view.notes, view.refusal)
        self.alert.value = alert(panel.trouble.says, panel.trouble.trace) if panel.trouble else ""
        if panel.projector.on != ("em-projector" in self._dom_classes):
            (self.add_class if panel.projector.on else self.remove_class)("em-projector")
        self._still.follow()

    def show(self) -> None:
        """Display it, and its picture as it is stored in the notebook."""
        from IPython.display import display

        display(self._repr_mimebundle_(), raw=True)
        self._still.show()

    def _pass_on(self, setting: Setting, entry: Entry) -> None:
        try:
            self.panel.take(setting.name, entry)
        except Refused:
            self.follow()

    def __repr__(self) -> str:
        return repr(self.panel)


def _said(words: str, notes: str, refusal: str) -> str:
    """The line that answers the settings, and the notes on it; or what cannot be."""
    if refusal:
        return f'<span class="em-refusal">✗ {escape(refusal)}</span>'
    if not words:
        return ""
    lines = escape(notes).replace("\n", "<br/>")
    return f'<div>{escape(words)}</div><div class="em-notes">{lines}</div>'
