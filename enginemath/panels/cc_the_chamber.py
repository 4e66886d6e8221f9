"""Lesson 04: a virtual bench to pour chambers on; the truth comes at the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from ipywidgets import HTML, Button, Checkbox, DOMWidget, Dropdown, HBox, VBox

from enginemath.bench.how_sure.error_budget import budget
from enginemath.bench.measuring import Fill
from enginemath.bench.practice_bench import DROP, VirtualBench
from enginemath.bench.tools import burette, poured_from
from enginemath.drawing.charts.error_budget import BudgetBar, error_budget
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.pour import PourView, pour
from enginemath.panels.frame.engines import EngineOrName, engine_list, engine_of
from enginemath.panels.frame.entry import EntryBox
from enginemath.panels.frame.panel import Panel
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
        self.cylinders = Dropdown(options=[1], value=1, description="cylinder")
        self.care = {
            part: Checkbox(value=done, description=name, indent=False)
            for part, name, done in CARE
        }  # fmt: skip
        self.begin = self._button("plate on, burette filled", self._begin)
        self.start = EntryBox("2. start reading", "write down", self._note_start, "0.35 mL")
        self.taps = [self._button(name, self._running(cc)) for cc, name in AMOUNTS]
        self.tilt = self._button("tilt, let the air out", self._tilt)
        self.end = EntryBox("4. end reading", "write down", self._note_end, "24.60 mL")
        self.refill = self._button("refill the burette", self._refill)
        self.reveal = self._button("show the truth", self._reveal)
        self.record = HTML().add_class("em-record")
        self._open_bench()
        super().__init__(
            left=[
                _step("1. set up", self.cylinders, *self.care.values(), self.begin),
                self.start,
                _step("3. let run", HBox(self.taps).add_class("em-taps"), self.tilt),
                self.end,
                _step("5. not full yet?", self.refill),
                _step("6. all poured?", self.reveal, self.record),
            ],
            head=[self.engines],
            projector=projector,
        )
        self.watch(self.engines, self.reset)
        self.watch(self.cylinders, self.refresh)
        for box in self.care.values():
            self.watch(box, self._set_up)

    @property
    def subject(self) -> str:
        return engine_of(self.engines.value).name

    def reset(self) -> None:
        for part, _, done in CARE:
            self.care[part].value = done
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
        unit = shop_unit(engine_of(self.engines.value).cylinder.bore)
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
        self.bench = VirtualBench(engine_of(self.engines.value), self.seed)
        self.bench.begin(1, **self._set_with())
        self.cylinders.options = list(range(1, self.bench.count + 1))
        self.cylinders.value = 1
        self.shown = False
        self.record.value = ""

    def _begin(self) -> None:
        self.bench.begin(self.cylinders.value, **self._set_with())
        self.shown = False
        self.start.clear()
        self.end.clear()

    def _show(self) -> None:
        """What went before is done with: no refusal of an earlier reading stays."""
        super()._show()
        for reading in (self.start, self.end):
            if not reading.box.disabled:
                reading.say("")

    def _set_with(self) -> dict[str, bool]:
        """What care was taken, as `VirtualBench.begin` takes it."""
        return {part: box.value for part, box in self.care.items()}

    def _set_up(self) -> None:
        """Before the pour all this can still be changed; after it, for the next one."""
        if not self.bench.pour.held:
            for part, done in self._set_with().items():
                setattr(self.bench.pour, part, done)
        self.refresh()
        if self.bench.pour.held and not self.bench.full:
            self.refuse("liquid is in the chamber: that counts when the plate is put on again")

    def _note_start(self, typed: str) -> str:
        self.bench.note_start(typed)
        self.start.lock(True)
        self.refresh()
        return "Written down."

    def _note_end(self, typed: str) -> str:
        self.bench.note_end(typed)
        self.end.lock(True)
        self.record.value = _table(self.bench.record())
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

    def _button(self, name: str, work: Callable[[], None]) -> Button:
        button = Button(description=name)

        def work_and_show() -> None:
            work()
            self._show()

        button.on_click(lambda _: self.guarded(work_and_show))
        return button


def _step(name: str, *parts: DOMWidget) -> VBox:
    """One step of the work under its number."""
    return VBox([HTML(f"<b>{name}</b>"), *parts]).add_class("em-step")


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
