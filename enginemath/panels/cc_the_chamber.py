"""Lesson 04: a chamber is poured by hand; then measured stands against true."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from enginemath.answers import tool_reading
from enginemath.bench.measuring import Fill
from enginemath.bench.practice_bench import DROP, FAST, Truth, VirtualBench
from enginemath.bench.tools import burette, poured_from
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.by_hand import LIFTED, Written, by_hand
from enginemath.drawing.pouring.head_on_bench import STRETCHES, Bench
from enginemath.drawing.pouring.measured import Blunder, Comparison, measured
from enginemath.panels.frame.engines import EngineOrName, engine_list, engine_of
from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import (
    Choice,
    Entry,
    EntryBox,
    Group,
    Note,
    Press,
    Setting,
    Tick,
)
from enginemath.panels.frame.tap import Tap
from enginemath.units import Number, fixed

BENCH, MEASURED = "the bench", "measured"
CARE = (
    ("thin_grease", "a thin line of grease", True),
    ("water_stood", "water as warm as the head", True),
)
"""What other care can be taken before a pour, and whether it is taken."""
AMOUNTS = ((5.0, "5 cc"), (1.0, "1 cc"), (0.2, "0.2 cc"), (DROP, "a drop"))
TILTED = 3.0
"""So far tilted, in degrees, the air is out from under the plate."""
WHY = {
    "air under the plate": ("bubble", "Air kept the place of water."),
    "plug hole open": ("plug", "Its hole took water that is not chamber."),
    "grease in the chamber": ("grease", "Thick grease kept the place of water."),
    "no grease, water crept out": ("grease", "Water crept out under the plate."),
    "warm water shrank": ("chamber", "More warm water went in than cold water stays."),
    "spilled over the plate": ("spill", "That water left the burette and is not in the chamber."),
    "not filled to the plate": ("chamber", "The water did not reach the plate."),
    "run but not written down": ("chamber", "Water ran that no reading tells of."),
}
"""Where a slip is seen, and what it does."""


def cc_the_chamber_numbers(
    fills: Sequence[tuple[str, str]], *, size: str = "25 mL", grade: str = "B"
) -> dict[str, Number]:
    """What the record of the panel `cc_the_chamber` comes to, without the panel.

    Args:
        fills: start and end reading of each fill.
        size, grade: of the burette, as on its glass.

    Returns:
        The chamber's volume, with what the burette adds to its uncertainty.

    >>> from enginemath.units import show
    >>> numbers = cc_the_chamber_numbers([("0.60 mL", "25.00 mL"), ("0.00 mL", "23.10 mL")])
    >>> show(numbers["chamber"], "cc")
    '47.50 ± 0.08 cc'
    """
    read = [Fill(start, end) for start, end in fills]
    return {"chamber": poured_from(burette(size, grade), read, "chamber")}


class CcTheChamber(Panel):
    title = "CC the chamber"
    large = True
    pictures = (BENCH, MEASURED)

    def __init__(self, engine: EngineOrName, seed: int, *, projector: bool):
        self.seed = seed
        self.engines = engine_list(engine)
        self.engines.then = self.reset
        self.bench = VirtualBench(engine_of(self.engines.chosen), seed)
        self.cylinders = Choice("cylinder", "", [("1", 1)], self._lift)
        lifted = round(LIFTED * self.bench.bore)
        self.plug = HandPiece("spark plug", "plug", (0, 1), unit="of thread", counted=True,
                              step=0.1, moved=self._screw,
                              says=lambda at: "in its hole" if at >= 1 else "out")  # fmt: skip
        self.grease = HandPiece("line of grease", "grease", (0, STRETCHES), unit="strokes",
                                counted=True, moved=self._prepare)  # fmt: skip
        self.plate = HandPiece("clear plate", "plate", (0, lifted), unit="mm", first=lifted,
                               moved=self._lower)  # fmt: skip
        self.tilt = HandPiece("tilt of the head", "tilt", (0, 4), unit="°", step=0.5,
                              moved=self._tilt)  # fmt: skip
        self.tap = Tap(self._run)
        self.care = {part: Tick(name, done, self._set_up) for part, name, done in CARE}
        self.start = EntryBox("start, fill 1", "write down", self._note_start, name="start reading")
        self.end = EntryBox("end, fill 1", "write down", self._note_end, name="end reading")
        self.all_the_same = self._button("go on with this reading", self._write_all_the_same)
        self.refill = self._button("refill the burette", self._refill)
        self.again = self._button("pour again", self._lift)
        for part in (self.start, self.end, self.all_the_same, self.refill, self.again):
            part.with_step = True
        self.taps = [self._button(name, self._running(cc)) for cc, name in AMOUNTS]
        self.record = Note("record")
        self._open_bench()
        super().__init__(
            left=[
                self.cylinders,
                self.plug,
                self.grease,
                Group("set up", *self.care.values()),
                self.plate,
                self.start,
                self.tap,
                Group("let run", *self.taps),
                self.tilt,
                self.end,
                self.all_the_same,
                self.refill,
                self.again,
                Group("written down", self.record),
            ],
            head=[self.engines],
            projector=projector,
        )  # fmt: skip

    @property
    def subject(self) -> str:
        return engine_of(self.engines.chosen).name

    def reset(self) -> None:
        for part, _, done in CARE:
            self.care[part].on = done
        self.shows.put(BENCH)
        self._open_bench()
        self.refresh()

    # The picture

    def picture(self, style: Style) -> Picture:
        truth = self._truth
        if truth and self._tells:
            found = Comparison(truth.measured, truth.u, truth.true)
            return measured(found, self._drawn(), written=self._written(),
                            blunders=self._blunders(truth), key=self.key, style=style)  # fmt: skip
        return by_hand(
            self._drawn(),
            self.bench.reading,
            capacity=float(self.bench.capacity),
            tap=self.tap.at,
            burette=self._closed,
            written=self._written() if self._closed else (),
            grips=[each.grip() for each in self._pieces if each.shown],
            ring=self.ring,
            key=self.key,
            style=style,
        )

    def _drawn(self) -> Bench:
        """The bench as it stands, for the drawing."""
        chamber = self.bench.true_of(self.cylinders.chosen)
        if not self._closed:
            return Bench(chamber, self.bench.bore, plug=self.plug.at, grease=int(self.grease.at),
                         plate=self.plate.at)  # fmt: skip
        pour = self.bench.pour
        return Bench(
            chamber,
            self.bench.bore,
            inside=pour.shown,
            plug=float(pour.plug),
            grease=int(self.grease.at),
            tilt=self.tilt.at,
            bubble=pour.bubble,
            spilled=pour.spilled if pour.spill_shows else 0.0,
        )

    def _written(self) -> list[Written]:
        done = [Written(f"{fixed(f.start, 2)} mL", f"{fixed(f.end, 2)} mL")
                for f in self.bench.pour.fills]  # fmt: skip
        if self.bench.start_is_noted:
            return [*done, Written(f"{self.start.text.strip()}")]
        return done if self.bench.fill_is_noted else [*done, Written()]

    def _blunders(self, truth: Truth) -> list[Blunder]:
        blunders = [
            Blunder(WHY[name][0], name, error)
            for name, error in truth.errors.items()
            if name != "readings"
        ]
        for number, fill in enumerate(self.bench.pour.fills, 1):
            for name, off in (("start", fill.true_start - fill.start),
                              ("end", fill.end - fill.true_end)):  # fmt: skip
                if abs(off) > DROP:
                    blunders.append(Blunder(f"{name} {number}", f"{name} {number} misread", off))
        return sorted(blunders, key=lambda each: -abs(each.cc))

    @property
    def _truth(self) -> Truth | None:
        """The pour in hand beside the true volume, once it is written down and left so."""
        bench = self.bench
        if not self._closed or not bench.fill_is_noted or (bench.empty and not bench.full):
            return None
        return self.bench.truths()[-1]

    @property
    def _tells(self) -> bool:
        return bool(self.shows.chosen == MEASURED)

    # The words

    def words(self) -> str:
        truth = self._truth
        if truth and self._tells:
            return self._told(truth)
        if not self._closed:
            return f"Cylinder {self.cylinders.chosen}: the plate is off. {self._still_open()}"
        bench = self.bench
        if bench.full:
            state = "the chamber is full to the plate"
        elif bench.empty:
            state = "the burette is at its last line"
        else:
            state = "the chamber is not full yet"
        if bench.pour.spill_shows:
            state += ", water has spilled over the plate"
        return f"Cylinder {bench.pour.cylinder}: {state}. {self._next_step()}"

    def _still_open(self) -> str:
        signs = [
            f"{'✓' if done else '·'} {name}"
            for name, done in (("plug in its hole", self.plug.at >= 1),
                               ("line of grease", self.grease.at >= STRETCHES),
                               ("plate on top", False))
        ]  # fmt: skip
        return "   ".join(sign.replace(" ", "\u00a0") for sign in signs)

    def _next_step(self) -> str:
        """What the order of the work wants now; of slips it says nothing."""
        bench = self.bench
        if bench.fill_is_noted:
            if bench.full:
                return "Full, and all written down: go on."
            return "Not full yet: refill the burette."
        if not bench.start_is_noted:
            return "It is closed and the burette is filled. Read it: write down the start."
        if bench.full:
            return "Look along the plate: is it water everywhere? If it is, write down the end."
        if bench.empty:
            return "The tap is shut at the last line. Write down the end."
        return "Hold the tap and turn it: the further, the faster. Drops at the end."

    def _told(self, truth: Truth) -> str:
        """Measured against true, what the ± explains, and what it does not."""
        off = abs(truth.measured - truth.true)
        first = (
            f"Cylinder {truth.cylinder}: you measured {fixed(truth.measured, 2)} ± "
            f"{fixed(truth.u, 2)} cc, true {fixed(truth.true, 2)} cc."
        )
        if off <= truth.u + 1e-9:
            return f"{first} The ± explains the {fixed(off, 2)} cc between them: a careful pour."
        times = fixed(off / truth.u, 0)
        told = (
            f"{first} A blunder, not the ±: {fixed(off, 2)} cc is {times} times the ±. "
            "No ± explains that; something happened."
        )
        why = [
            WHY[each.name][1] if each.name in WHY else f"Look at {each.name.partition(' mis')[0]}."
            for each in self._blunders(truth)
            if abs(each.cc) > truth.u
        ]
        return " ".join([told, *why])

    # What is touched

    @property
    def _closed(self) -> bool:
        """Whether the plate lies on the head, and the burette stands over it."""
        return self.plate.at <= 0 and bool(self.bench.pours)

    @property
    def _pieces(self) -> list[HandPiece]:
        return [self.plug, self.grease, self.plate, self.tap, self.tilt]

    def _show(self) -> None:
        """What can be touched now is shown; a reading's hint goes with the next entry."""
        bench, on = self.bench, self._closed
        tells = self._tells and self._truth is not None
        noted = on and bench.fill_is_noted
        runs = on and bench.start_is_noted
        poured = on and bool(bench.pour.in_chamber or bench.pour.fills)
        shown: dict[Setting, bool] = {
            self.plug: not on,
            self.grease: not on,
            self.plate: not poured and not runs,
            self.tap: runs and not bench.empty,
            self.tilt: on and not noted,
            self.start: on and not noted and not runs,
            self.end: runs and self._ran,
            self.all_the_same: bool(self._doubted),
            self.refill: noted and not bench.full and not tells,
            self.again: noted and (tells or bench.full),
        }
        only_told = (self.plug, self.grease, self.plate, self.tap, self.tilt)
        for setting, now in shown.items():
            setting.shown = now and not (tells and setting in only_told)
        for press in self.taps:
            press.shown = self.tap.shown
        if not self.tap.shown:
            self.tap.shut()
        number = len(bench.pour.fills) + (0 if noted else 1) if on else 1
        self.start.ask_for(f"start, fill {number}")
        self.end.ask_for(f"end, fill {number}")
        self.record.html = _table(bench.record())
        super()._show()

    def _keep(self, setting: Setting, entry: Entry) -> None:
        """What ran is kept as one amount."""
        if isinstance(setting, Tap):
            self.kept = setting.kept_in(self.kept)
            return
        super()._keep(setting, entry)

    def _open_bench(self) -> None:
        self.bench = VirtualBench(engine_of(self.engines.chosen), self.seed)
        self.cylinders.restart([(str(each), each) for each in range(1, self.bench.count + 1)])
        for piece in self._pieces:
            piece.put(piece.first)
        self._new_pour()

    def _new_pour(self) -> None:
        self.ring = self._doubted = ""
        self._ran = False
        self._asked: EntryBox | None = None
        self.tap.shut()
        self.tilt.put(0)
        self.start.clear()
        self.end.clear()

    def _prepare(self, _: float) -> None:
        self.refresh()

    def _screw(self, at: float) -> None:
        if at >= 0.85:
            self.plug.put(1.0)
        self.refresh()

    def _lower(self, at: float) -> None:
        if at <= 1:
            self.plate.put(0.0)
            self._new_pour()
            self.bench.begin(
                self.cylinders.chosen,
                plug=self.plug.at >= 1,
                greased=self.grease.at >= STRETCHES,
                level=True,
                **{part: tick.on for part, tick in self.care.items()},
            )
        self.refresh()

    def _lift(self) -> None:
        """The plate is off: another chamber, or the same one emptied and dried."""
        self.plate.put(self.plate.first)
        self._new_pour()
        self.refresh()

    def _set_up(self) -> None:
        self.refresh()
        if self._closed:
            self.refuse("that counts when the plate is put on again")

    def _note_start(self, typed: str) -> str:
        return self._note(self.start, self.bench.note_start, typed)

    def _note_end(self, typed: str) -> str:
        return self._note(self.end, self.bench.note_end, typed)

    def _note(self, box: EntryBox, write: Callable[[str], None], typed: str) -> str:
        """Write a reading down; one that looks misread is asked about first."""
        tool = tool_reading.TOOLS["burette", "mL"]
        verdict = tool_reading.judge(tool_reading.Setting(tool, self.bench.reading), typed)
        if not verdict.is_right and verdict.kind not in ("unreadable", "nothing_written"):
            self._asked, self._doubted, self.ring = box, typed, "meniscus"
            self.refresh()
            return f"{verdict.sign} {verdict.sentence}"
        return self._write(box, write, typed)

    def _write(self, box: EntryBox, write: Callable[[str], None], typed: str) -> str:
        write(typed)
        self._doubted = self.ring = ""
        self._ran = False
        if box is self.end:
            self.tilt.put(0.0)
        other = self.end if box is self.start else self.start
        other.clear()
        self.refresh()
        return "Written down."

    def _write_all_the_same(self) -> None:
        box = self._asked
        if box and self._doubted:
            write = self.bench.note_start if box is self.start else self.bench.note_end
            box.says = self._write(box, write, self._doubted)

    def _running(self, cc: float) -> Callable[[], None]:
        return lambda: self._let_run(cc)

    def _run(self, cc: float) -> None:
        """Let so much run through the tap: never so fast that it carries air along."""
        while cc > 1e-9 and not (self.bench.start_is_noted and self.bench.empty):
            part = min(cc, FAST / 2)
            self._let_run(part)
            cc -= part
        self.refresh()

    def _let_run(self, cc: float) -> None:
        self.bench.run(cc)
        self._ran = True
        self._doubted = self.ring = self.end.says = ""

    def _tilt(self, at: float) -> None:
        if self._closed and at >= TILTED and self.bench.pour.bubble:
            self.bench.chase_bubble()
            self.tilt.put(0.0)
        self.refresh()

    def _refill(self) -> None:
        self.bench.refill()
        self.start.clear()
        self.end.clear()

    def _button(self, name: str, work: Callable[[], None]) -> Press:
        def work_and_show() -> None:
            work()
            self._show()

        return Press(name, work_and_show)


def _table(rows: Sequence[dict[str, str]]) -> str:
    heads = "".join(f"<th scope='col'>{name}</th>" for name in rows[0]) if rows else ""
    body = "".join(
        f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row.values())}</tr>" for row in rows
    )
    return f"<table><caption>record</caption><tr>{heads}</tr>{body}</table>" if rows else ""


def cc_the_chamber(
    engine: EngineOrName = "heron-four", *, seed: int = 1, projector: bool = False
) -> Any:
    """Pour the chambers of a head whose true volumes are hidden.

    Args:
        engine: whose head it resembles: name of one of the kit's engines, a sheet, or an engine.
        seed: of the hidden volumes; the same seed gives a class the same head.
        projector: large type and high contrast.

    >>> cc_the_chamber("heron-one")
    <panel: CC the chamber — Heron One>
    """
    return CcTheChamber(engine, seed, projector=projector)
