"""Every handle of every lesson's panel, moved by messages as a page moves it: Python's work.

A message is a text, and its answer is texts; the time is the processor's.
"""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain, cycle, islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from enginemath.pages.session import Desk, Session
from enginemath.pages.steps import lesson_named, lesson_names

MOVES = 40
SLOWEST = 5
"""Handles whose slowest single message is told."""
PLACES = 5
"""How far a handle is taken to each side, in steps."""
GUESSES = ("lower", "9.2", "40 mm", "8 cc", "0.05")
POUR = [
    *(("spark plug", 1), ("line of grease", 4), ("clear plate", 0)),
    *(("start reading", "0.00 mL"), ("tap", "8 cc")),
]
"""By hand up to where water runs into the chamber of lesson 04."""
POURED = [*(("tap", f"{cc} cc") for cc in (9, 8.3)), ("end reading", "25.00 mL")]
"""And to where it is written down."""


@dataclass(frozen=True)
class Handle:
    """Milliseconds of Python for each of its moves.

    Args:
        where: lesson, stage of the panel and picture.
        name: of the handle.
        times: one a move.
    """

    where: str
    name: str
    times: list[float]

    @property
    def median(self) -> float:
        """Half of the moves take less."""
        return statistics.median(self.times)

    @property
    def slowest(self) -> float:
        """The slowest of all: mostly the first."""
        return max(self.times)

    @property
    def p95(self) -> float:
        """19 of 20 moves take less."""
        return sorted(self.times)[round(0.95 * len(self.times)) - 1]


class Driver:
    """One lesson's page at its panel.

    Args:
        lesson: its name.
        folder: where the work is kept.
    """

    def __init__(self, lesson: str, folder: Path | None = None):
        self.lesson, self._session = lesson, Session(Desk(folder))
        self.view: dict[str, Any] = {}
        """The panel as the page has it now."""
        self._say({"do": "open", "lesson": lesson})
        self.step = 1
        panel = next(step.number for step in lesson_named(lesson).steps if step.has_panel)
        while self.step < panel:
            if self._say({"do": "on", "step": self.step})[0]["show"] == "refusal":
                self._say({"do": "guess", "step": self.step, "text": "lower"})
                self._say({"do": "on", "step": self.step})
            self.step += 1

    def _say(self, message: dict[str, Any]) -> list[dict[str, Any]]:
        return self._hear(self._session.answer(message))

    def _hear(self, replies: list[dict[str, Any]]) -> list[dict[str, Any]]:
        for reply in replies:
            if reply["show"] == "panel":
                self.view = reply
        return replies

    def guess(self) -> bool:
        """Give the guess; whether the panel asked for one."""
        if self.view["answered"]:
            return False
        for text in GUESSES:
            self._say({"do": "guess", "step": self.step, "text": text})
            if self.view["answered"]:
                return True
        raise AssertionError(f"{self.lesson}: no guess is taken")

    def set(self, name: str, entry: Any) -> float:
        """Move one thing; milliseconds of the message."""
        message = {"do": "set", "step": self.step, "name": name, "entry": entry}
        text = json.dumps(message)
        since = time.process_time()
        told = self._session.take(text)
        took = 1000 * (time.process_time() - since)
        replies = self._hear([json.loads(reply) for reply in told])
        assert replies[0]["show"] == "panel", (self.lesson, name, entry, told)
        return took

    def keep(self) -> float:
        """What a page sends when the hand lets go; milliseconds of the message."""
        text = json.dumps({"do": "keep", "step": self.step})
        since = time.process_time()
        self._session.take(text)
        return 1000 * (time.process_time() - since)

    def settings(self) -> dict[str, dict[str, Any]]:
        """What can be touched now, by name."""
        return {
            each["name"]: each
            for each in self.view["settings"]
            if each.get("shown") and not each.get("locked")
        }

    def stages(self) -> Iterator[str]:
        """The panel before its guess, after it, and as far as hands bring it."""
        if not self.view["answered"]:
            yield "before the guess"
        self.guess()
        yield "after"
        if "clear plate" in self.settings():
            self._all(POUR)
            yield "pouring"
            self._all(POURED)
            yield "poured"

    def _all(self, entries: list[tuple[str, Any]]) -> None:
        for name, entry in entries:
            self._say({"do": "set", "step": self.step, "name": name, "entry": entry})


def every_handle(moves: int = MOVES) -> Iterator[Handle]:
    """Move all that can be moved, lesson by lesson."""
    with TemporaryDirectory() as folder:
        for lesson in lesson_names():
            yield from _handles_of(Driver(lesson, Path(folder)), moves)


def _handles_of(driver: Driver, moves: int) -> Iterator[Handle]:
    for stage in driver.stages():
        pictures = driver.settings().get("picture", {}).get("options", [""])
        for picture in pictures:
            if picture:
                driver.set("picture", picture)
            where = ", ".join(filter(None, (driver.lesson[:2], stage, picture)))
            for name, state in driver.settings().items():
                times = list(_moved(driver, name, state, moves))
                if times:
                    yield Handle(where, name, times)
            yield Handle(where, "(the hand lets go)", [driver.keep() for _ in range(5)])
        if pictures[0]:
            driver.set("picture", pictures[0])


def _moved(driver: Driver, name: str, state: dict[str, Any], moves: int) -> Iterator[float]:
    """Move one handle to and fro, and leave it where it stood."""
    if state["kind"] == "choice":
        places = [place for place in range(len(state["options"])) if place != state["picked"]]
        if name == "picture" or not places:
            return
        around: list[Any] = [*places, state["picked"]]
        count = len(around) * max(1, moves // (4 * len(around)))
    elif state["kind"] == "number":
        at, step = state["at"], state["step"]
        sides = chain.from_iterable((at + n * step, at - n * step) for n in range(1, PLACES + 1))
        around = [round(p, 6) for p in sides if state["low"] <= p <= state["high"]]
        count = moves
    else:
        return
    for place in islice(cycle(around), count):
        if name not in driver.settings():
            return
        yield driver.set(name, place)
    if state["kind"] == "number" and name in driver.settings():
        driver.set(name, state["at"])


def report(limit: float) -> bool:
    """Print each lesson's slowest handle, and every one over a limit; whether there is none.

    The slowest single messages too, without a limit: a busy machine counts in them.
    """
    found = list(every_handle())
    by_lesson = {handle.where[:2]: handle for handle in sorted(found, key=lambda h: h.median)}
    over = [handle for handle in found if handle.median > limit]
    for handle in sorted({id(h): h for h in (*by_lesson.values(), *over)}.values(), key=_place):
        print(
            f"{handle.where}: {handle.name}: Python's work for a message, median "
            f"{handle.median:.2f} ms, p95 {handle.p95:.2f} ms of {len(handle.times)}"
        )
    for handle in sorted(found, key=lambda h: -h.slowest)[:SLOWEST]:
        print(f"{handle.where}: {handle.name}: slowest single message {handle.slowest:.1f} ms")
    moves = sorted(time for handle in found for time in handle.times)
    print(
        f"{len(found)} handles, {len(moves)} messages: median {statistics.median(moves):.2f} ms, "
        f"p95 {moves[round(0.95 * len(moves)) - 1]:.2f} ms; {len(over)} handles over {limit:g} ms"
    )
    return not over


def _place(handle: Handle) -> tuple[str, float]:
    return handle.where[:2], -handle.median
