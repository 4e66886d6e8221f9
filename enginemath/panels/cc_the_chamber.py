"""Lesson 04: a virtual bench to pour chambers on; the truth comes at the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from enginemath.bench.how_sure.error_budget import budget
from enginemath.bench.measuring import Fill
from enginemath.bench.practice_bench import DROP, VirtualBench
from enginemath.bench.tools import burette, poured_from
from enginemath.drawing.charts.error_budget import BudgetBar, error_budget
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.pour import PourView, pour
from enginemath.panels.frame.engines import EngineOrName, engine_list, engine_of
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import Choice, EntryBox, Group, Note, Press, Tick
from enginemath.units import Number, Refused, shop_unit

CARE = (
    ("plug", "spark plug fitted", False),
    ("thin_grease", "a thin line of grease", True),
    ("water_stood", "water as warm as the head", True),
)
"""What care can be taken before a pour, and whether it is taken unless the student changes it."""
AMOUNTS = ((5.0, "5 cc"), (1.0, "1 cc"), (0.2, "0.2 cc"), (DROP, "a drop"))


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

    def __init__(self, engine: EngineOrName, seed: int, *, projector: bool):
        self.seed, self.shown = seed, False
        self.engines = engine_list(engine)
        self.engines.then = self.reset
        self.cylinders = Choice("cylinder", "", [("1", 1)], self.refresh)
        self.care = {
            part: Tick(name, done, self._set_up)
            for part, name, done in CARE
        }  # fmt: skip
        self.begin = self._button("plate on, burette filled", self._begin)
        self.start = EntryBox("2. start reading", "write down", self._note_start, "0.35 mL")
        self.taps = [self._button(name, self._running(cc)) for cc, name in AMOUNTS]
        self.tilt = self._button("tilt, let the air out", self._tilt)
        self.end = EntryBox("4. end reading", "write down", self._note_end, "24.60 mL")
        self.refill = self._button("refill the burette", self._refill)
        self.reveal = self._button("show the truth", self._reveal)
        self.record = Note("record")
        self._open_bench()
        super().__init__(
            left=[
                Group("1. set up", self.cylinders, *self.care.values(), self.begin),
                self.start,
                Group("3. let run", *self.taps, self.tilt),
                self.end,
                Group("5. not full yet?", self.refill),
                Group("6. all poured?", self.reveal, self.record),
            ],
            head=[self.engines],
            projector=projector,
        )

    @property
    def subject(self) -> str:
        return engine_of(self.engines.chosen).name

    def reset(self) -> None:
        for part, _, done in CARE:
            self.care[part].on = done
        self._open_bench()
        self.start.clear()
        self.end.clear()
        self.refresh()

    def picture(self, style: Style) -> Picture:
        bench, large = self.bench, style.enlargement
        if self.shown and bench.record():
            return self._budget(style)
        view = PourView(
            chamber=bench.true_volume,
            bore=bench.bore,
            poured=bench.pour.shown,
            reading=bench.reading,
            capacity=float(bench.capacity),
            bubble=bench.pour.bubble,
            plug=bench.pour.plug,
            grease=not bench.pour.thin_grease,
            spilled=bench.pour.spilled if bench.pour.spill_shows else 0.0,
        )
        unit = shop_unit(engine_of(self.engines.chosen).cylinder.bore)
        size = 760 * large, 580 * large
        return pour(view, unit=unit, tell=False, size=size, key=self.key, style=style)

    def _budget(self, style: Style) -> Picture:
        """What careful work with this burette would leave unsure, for the last pour noted."""
        last = [pour for pour in self.bench.pours if pour.fills][-1]
        found = budget(self.bench.measured(last))
        bars = [BudgetBar(line.name, line.share, "chamber") for line in found.lines]
        size = 760 * style.enlargement, 240 * style.enlargement
        measured = f"chamber {last.cylinder} measured"
        return error_budget(bars, of=measured, value=found.value, u=found.u,
                            unit="cc", size=size, key=self.key, style=style)  # fmt: skip

    def words(self) -> str:
        bench = self.bench
        if self.shown:
            return "\n".join(map(str, bench.truths()))
        if bench.full:
            state = "The chamber is full to the plate."
        elif bench.empty:
            state = "The burette is at its last line."
        else:
            state = "The chamber is not full yet."
        if bench.pour.spill_shows:
            state += " Water has spilled over the plate."
        return f"Cylinder {bench.pour.cylinder}. {state} Next: {self._next_step()}."

    def _next_step(self) -> str:
        """What the order of the work wants now; of slips it says nothing."""
        bench = self.bench
        if bench.fill_is_noted:
            return "put the plate on another chamber" if bench.full else "refill the burette"
        if not bench.start_is_noted:
            return "read the burette and write down the start"
        if bench.full or bench.empty:
            return "read the burette and write down the end"
        return "let run, drops at the end"

    def _open_bench(self) -> None:
        self.bench = VirtualBench(engine_of(self.engines.chosen), self.seed)
        self.bench.begin(1, **self._set_with())
        self.cylinders.restart([(str(each), each) for each in range(1, self.bench.count + 1)])
        self.shown = False
        self.record.html = ""

    def _begin(self) -> None:
        self.bench.begin(self.cylinders.chosen, **self._set_with())
        self.shown = False
        self.start.clear()
        self.end.clear()

    def _show(self) -> None:
        """What went before is done with: no refusal of an earlier reading stays."""
        super()._show()
        for reading in (self.start, self.end):
            if not reading.locked:
                reading.says = ""

    def _set_with(self) -> dict[str, bool]:
        """What care was taken, as `VirtualBench.begin` takes it."""
        return {part: tick.on for part, tick in self.care.items()}

    def _set_up(self) -> None:
        """Before the pour all this can still be changed; after it, for the next one."""
        if not self.bench.pour.in_chamber:
            for part, done in self._set_with().items():
                setattr(self.bench.pour, part, done)
        self.refresh()
        if self.bench.pour.in_chamber and not self.bench.full:
            self.refuse("liquid is in the chamber: that counts when the plate is put on again")

    def _note_start(self, typed: str) -> str:
        self.bench.note_start(typed)
        self.start.locked = True
        self.refresh()
        return "Written down."

    def _note_end(self, typed: str) -> str:
        self.bench.note_end(typed)
        self.end.locked = True
        self.record.html = _table(self.bench.record())
        self.refresh()
        return "Written down."

    def _running(self, cc: float) -> Callable[[], None]:
        return lambda: self.bench.run(cc)

    def _tilt(self) -> None:
        self.bench.chase_bubble()

    def _refill(self) -> None:
        self.bench.refill()
        self.start.clear()
        self.end.clear()

    def _reveal(self) -> None:
        if not self.bench.record():
            raise Refused("nothing is on the record yet: pour, and write both readings down")
        self.shown = True

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
    return f"<table><caption>record</caption><tr>{heads}</tr>{body}</table>"


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
