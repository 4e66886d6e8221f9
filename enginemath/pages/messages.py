"""The messages that a page may send, and what each must hold: `docs/reference/lesson-pages.md`."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from enginemath.units import Refused

Reply = dict[str, Any]
"""A message to the page."""
MOST_TEXT = 2_000
"""Characters of one text of a student."""


@dataclass(frozen=True)
class Field:
    """What a field of a message may hold."""

    kinds: tuple[type, ...]
    needed: bool = True
    longest: int = MOST_TEXT

    def check(self, do: str, name: str, value: Any) -> None:
        """Take a value, or refuse it in a sentence."""
        if type(value) not in self.kinds:
            raise Refused(f'"{do}": "{name}" cannot be {json.dumps(value)[:40]}')
        if isinstance(value, str) and len(value) > self.longest:
            raise Refused(f'"{do}": "{name}" is longer than {self.longest} characters')


_TEXT, _STEP = Field((str,)), Field((int,))
_SURE = Field((bool,), needed=False)
_FILES = Field((str,), longest=5_000_000)
_STUDENT = Field((str,), needed=False)
MESSAGES: dict[str, dict[str, Field]] = {
    "map": {"student": _STUDENT},
    "who": {"name": _TEXT, "id": _TEXT},
    "open": {"lesson": _TEXT, "student": _STUDENT},
    "take newer": {},
    "on": {"step": _STEP},
    "guess": {"step": _STEP, "text": _TEXT},
    "answer": {"step": _STEP, "box": _TEXT, "text": _TEXT},
    "reading": {"step": _STEP, "box": _TEXT, "text": _TEXT},
    "set": {"step": _STEP, "name": _TEXT, "entry": Field((str, int, float, bool, type(None)))},
    "keep": {"step": _STEP},
    "uncover": {"step": _STEP},
    "engine": {"sheet": _TEXT, "table": _STUDENT},
    "group table": {"sheet": _TEXT, "group": _TEXT},
    "new engine": {"name": _TEXT, "cylinders": _STEP, "banks": _TEXT, "unit": _TEXT},
    "open sheet": {"files": _FILES, "replace": _SURE},
    "draft": {"text": _TEXT},
    "take": {"text": _TEXT, "sure": _SURE},
    "clear": {},
    "leave out": {"text": _TEXT},
    "as before": {},
    "add": {"kind": _TEXT},
    "go": {"to": _TEXT},
    "known": {},
    "readings": {},
    "line": {"number": _STEP, "text": _TEXT, "sure": _SURE},
    "files": {},
    "report": {},
    "hand in": {},
    "take back": {"text": Field((str,), longest=5_000_000)},
}
"""Every message that exists, with what it takes."""


def read_message(message: Any) -> tuple[str, dict[str, Any]]:
    """What a message wants done, and what it gives for it.

    Raises:
        Refused: there is no such message, or a field is missing or unfit.

    >>> read_message({"do": "on", "step": 3})
    ('on', {'step': 3})
    """
    if not isinstance(message, dict) or not isinstance(message.get("do"), str):
        raise Refused("a message says what it wants done")
    do, *_ = message["do"].split("\n")
    if do not in MESSAGES:
        raise Refused(f'there is no message "{do[:40]}"')
    fields = MESSAGES[do]
    given = {name: value for name, value in message.items() if name != "do"}
    for name in given:
        if name not in fields:
            raise Refused(f'"{do}" takes no "{name[:40]}"')
    for name, field in fields.items():
        if name in given:
            field.check(do, name, given[name])
        elif field.needed:
            raise Refused(f'"{do}" needs "{name}"')
    return do, given


def refusal(says: str, about: dict[str, Any] | None = None) -> Reply:
    """A refusal, and the step, the box and the setting that it is about."""
    where = {
        name: value
        for name, value in (about or {}).items()
        if name in ("step", "box", "name") and isinstance(value, str | int)
    }
    return {"show": "refusal", "says": says, **where}
