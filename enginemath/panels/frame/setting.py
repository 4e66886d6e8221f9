"""What can be set on a panel: choices, ticks, buttons, lines of text; and notes beside them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from enginemath.units import Refused

Entry = str | float | bool | None
"""What one message sets: a text as it was typed, a place, a press; nothing: back to the start."""
Work = Callable[[], object]


def at_once(work: Work) -> None:
    """Do some work as it is; a panel puts its own guard in place of this."""
    work()


class Setting:
    """One thing that can be set.

    Args:
        name: in shop words; no other setting of the panel has it.
        part: that it belongs to, as the drawings colour it; empty for none.

    `shown` and `locked` say what may be touched now; `says` is what is said beside it. What is
    `with_step` stands on a page with the step's words, not with the picture.
    """

    kind = "setting"
    with_step = False
    let_go = False
    """Whether it works while it is held, and may stop before the hand lets go."""

    def __init__(self, name: str, part: str = ""):
        self.name, self.part = name, part
        self.shown, self.locked = True, False
        self.says = ""
        self.guard: Callable[[Work], None] = at_once

    @property
    def label(self) -> str:
        """What stands beside it."""
        return self.name

    def take(self, entry: Entry) -> None:
        """Take one entry.

        Raises:
            Refused: an entry of another kind.
        """
        raise NotImplementedError

    def state(self) -> dict[str, Any]:
        """How it stands now, as plain data."""
        return {
            "name": self.name,
            "kind": self.kind,
            "label": self.label,
            "part": self.part,
            "shown": self.shown,
            "locked": self.locked,
            "says": self.says,
            "with_step": self.with_step,
        }

    def unfit(self, entry: Entry) -> Refused:
        """The refusal of an entry of another kind."""
        return Refused(f"{self.name}: {entry!r} cannot be set here")


class Slide(Setting):
    """One that goes along between two ends, and has a box with its number.

    `text` is what its box shows, `at` its place from `low` to `high`, all three in `unit`;
    `step` is the smallest move, `moved` whether it is elsewhere than at the start.
    """

    kind = "number"

    def state(self) -> dict[str, Any]:
        """What it shows, with its text, its place and its ends; nothing where it is not shown."""
        along = ("text", "at", "low", "high", "step", "unit", "moved")
        told = {each: getattr(self, each) for each in along}
        if not self.shown:  # it may be the answer to a guess that is still to come
            told |= {"text": "", "at": 0.0, "low": 0.0, "high": 0.0, "moved": False}
        return {**super().state(), **told}


class Choice(Setting):
    """One of several to choose.

    Args:
        name, part: see `Setting`.
        options: what there is, the present one first, each with its value.
        then: is done when somebody has chosen.
    """

    kind = "choice"

    def __init__(
        self,
        name: str,
        part: str,
        options: Sequence[tuple[str, Any]],
        then: Work = lambda: None,
    ):
        super().__init__(name, part)
        self.options, self.then = list(options), then
        self.place = 0

    @property
    def chosen(self) -> Any:
        """The value that is chosen."""
        return self.options[self.place][1]

    @property
    def at(self) -> int:
        """Which one is chosen, for a handle that goes along the list."""
        return self.place

    low, step = 0, 1

    @property
    def high(self) -> int:
        """The last one."""
        return len(self.options) - 1

    def choose(self, value: Any) -> None:
        """Choose as a hand does: what hangs on it is done."""
        self.put(value)
        self.guard(self.then)

    def put(self, value: Any) -> None:
        """Let a value be chosen; nobody is told."""
        self.place = next(
            place for place, (_, each) in enumerate(self.options) if each is value or each == value
        )

    def restart(self, options: Sequence[tuple[str, Any]] | None = None) -> None:
        """Back to the first of these, or of the present, options."""
        if options is not None:
            self.options = list(options)
        self.place = 0

    def take(self, entry: Entry) -> None:
        """Choose by label or by place; None: the first one."""
        labels = [label for label, _ in self.options]
        entry = 0 if entry is None else entry
        if isinstance(entry, str) and entry in labels:
            place = labels.index(entry)
        elif type(entry) in (int, float) and entry in range(len(labels)):
            place = int(entry)
        else:
            raise Refused(f"{self.name}: there is no {entry!r}; there are: {', '.join(labels)}")
        if place != self.place:
            self.place = place
            self.guard(self.then)

    def state(self) -> dict[str, Any]:
        """What it shows, with the labels to choose from; none where it is not shown."""
        labels = [label for label, _ in self.options]
        along = {"at": self.at, "low": self.low, "high": self.high, "step": self.step}
        if not self.shown:  # they may hold a result that is still to come
            return {**super().state(), **along, "options": [], "picked": 0, "text": ""}
        picked = {"options": labels, "picked": self.place, "text": labels[self.place]}
        return {**super().state(), **along, **picked}


class Tick(Setting):
    """Yes or no.

    Args:
        name: see `Setting`.
        on: at the start.
        then: is done when somebody has ticked it.
    """

    kind = "tick"

    def __init__(self, name: str, on: bool, then: Work = lambda: None):
        super().__init__(name)
        self.on, self.then = on, then

    def take(self, entry: Entry) -> None:
        """Tick or clear it."""
        if not isinstance(entry, bool):
            raise self.unfit(entry)
        if entry != self.on:
            self.on = entry
            self.guard(self.then)

    def state(self) -> dict[str, Any]:
        """What it shows, with what is ticked."""
        return {**super().state(), "on": self.on}


class Press(Setting):
    """A button.

    Args:
        name: see `Setting`.
        then: is done when somebody presses it.
    """

    kind = "press"

    def __init__(self, name: str, then: Work):
        super().__init__(name)
        self.then = then

    def press(self) -> None:
        """Press it."""
        self.guard(self.then)

    def take(self, entry: Entry) -> None:
        """Press it."""
        if entry is not True:
            raise self.unfit(entry)
        self.press()


class EntryBox(Setting):
    """A line to type on, a button, and the reply.

    Args:
        label: what is to be typed.
        button: what the button says.
        reply: takes what was typed and gives the reply; raises `Refused` where it cannot be read.
        example: of what can be typed, shown in the empty box.
        name: see `Setting`; by default the label.
    """

    kind = "text"

    def __init__(
        self,
        label: str,
        button: str,
        reply: Callable[[str], str],
        example: str = "",
        name: str = "",
    ):
        super().__init__(name or label)
        self._label, self._reply = label, reply
        self.button, self.example = button, example
        self.text = ""

    @property
    def label(self) -> str:
        """What is to be typed."""
        return self._label

    def ask_for(self, label: str) -> None:
        """Ask for something else."""
        self._label = label

    def take(self, entry: Entry) -> None:
        """Take what was typed."""
        if not isinstance(entry, str):
            raise self.unfit(entry)
        self.text = entry
        self.guard(self._take)

    def _take(self) -> None:
        try:
            self.says = self._reply(self.text)
        except Refused as refusal:
            self.says = str(refusal) if self.text.strip() else "Write something first."

    def clear(self) -> None:
        """An empty box without a reply, ready for the next answer."""
        self.locked = False
        self.text = self.says = ""

    def state(self) -> dict[str, Any]:
        """What it shows, with what is typed."""
        typed = {"text": self.text, "button": self.button, "example": self.example}
        return {**super().state(), **typed}


class Note:
    """A piece of HTML that stands among the settings; every text in it is escaped already.

    Args:
        kind: one word; it becomes a class.
    """

    def __init__(self, kind: str):
        self.kind, self.html = kind, ""


class Group:
    """Settings and notes that stand together under a title."""

    def __init__(self, title: str, *members: Setting | Note):
        self.title, self.members = title, members


Part = Setting | Note | Group


def settings_in(parts: Sequence[Part]) -> Iterator[Setting]:
    """All settings of these parts, from above."""
    for part in parts:
        if isinstance(part, Group):
            yield from settings_in(part.members)
        elif isinstance(part, Setting):
            yield part
