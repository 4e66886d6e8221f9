"""Lesson 11: from one engine's sheet to a work order for the machine shop."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from html import escape
from pathlib import Path
from typing import Any

from enginemath.change.combination import Combination, bank_names, choice_of, machined
from enginemath.change.plan_report import plan_report
from enginemath.change.price_list import AS_MEASURED, Options
from enginemath.change.work_order import work_order
from enginemath.change.work_order.agreed import CAUTIONS, ordered
from enginemath.drawing.cylinder.shelf import WIDE, Item, Shelf, draw_shelves
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.large_line import STRIP, Said, said_of
from enginemath.drawing.paper.number_line import ratio_line, squish_line
from enginemath.drawing.paper.palette import Style
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.parts import Engine, one_cylinder, plain
from enginemath.engine.stack import mean_ratio, stack_of
from enginemath.panels.choose_the_change import lengths_band, options_for
from enginemath.panels.frame.engines import EngineOrName, engine_list, sheet_for
from enginemath.panels.frame.panel import Panel
from enginemath.panels.frame.setting import Choice, EntryBox, Note
from enginemath.sheets import Sheet, sheet_of, write_sheet
from enginemath.units import (
    MM,
    Quantity,
    Refused,
    in_mm,
    nominal,
    percent,
    shop_unit,
    show,
    show_ratio,
)

TOP = 5
ENGINE, PLANS = "the engine", "the plans"


def build_sheet_numbers(
    engine: EngineOrName = "heron-four", options: Options | None = None, *, top: int = TOP
) -> list[dict[str, Any]]:
    """The plans of the panel `build_sheet`, without the panel.

    Args:
        engine: name of one of the kit's engines, a sheet, or an engine.
        options: what could be done; by default the kit's for its own engines.
        top: how many plans.

    Returns:
        The best plans, as `enginemath.change.plan_report` gives them; empty where none
        keeps to every limit.

    >>> plan = build_sheet_numbers("heron-four")[0]
    >>> plan["gasket"], plan["deck_cut_mm"], show_ratio(plan["compression_ratio"])
    ('medium steel', 0.3, '9.18')
    """
    found = plan_report(sheet_for(engine), options or options_for(engine), top)
    return found["plans"]


@dataclass
class Planned:
    """An engine with its plans, and what each comes to: worked out once, when it is asked for."""

    sheet: Sheet
    options: Options
    _after: dict[tuple[int, ...], Engine] = field(default_factory=dict)
    _jobs: dict[tuple[int, ...], Sequence[str]] = field(default_factory=dict)

    @cached_property
    def plans(self) -> list[dict[str, Any]]:
        """The best plans; empty where none keeps to every limit."""
        return build_sheet_numbers(self.sheet, self.options)

    def after(self, choice: Combination) -> Engine:
        """The engine after a plan."""
        if choice.numbers not in self._after:
            self._after[choice.numbers] = machined(self.sheet.engine, self.options, choice)
        return self._after[choice.numbers]

    def jobs(self, choice: Combination) -> Sequence[str]:
        """What the machine shop is to do, as the work order says it."""
        if choice.numbers not in self._jobs:
            self._jobs[choice.numbers] = ordered(work_order(self.sheet, self.options, choice)).lines
        return self._jobs[choice.numbers]

    def written_out(self) -> Planned:
        """Itself, with every plan worked out, so that no hand waits for one that it picks."""
        for plan in self.plans:
            with suppress(Refused):  # it says so when it is chosen
                choice = self.choice(plan)
                self.after(choice)
                self.jobs(choice)
        return self

    def choice(self, plan: dict[str, Any]) -> Combination:
        """A plan as a choice from the list."""
        return choice_of(
            self.options,
            gasket=plan["gasket"],
            piston=plan["piston"],
            rods=plan["rods"],
            crank=plan["crank"],
            deck_cut=self._cuts(plan["deck_cuts_mm"]),
            head_cut=self._cuts(plan["head_cuts_mm"]),
            banks=bank_names(self.sheet.engine),
        )

    def _cuts(self, cuts: dict[str, float]) -> Quantity | dict[str, Quantity]:
        """The cut of the one bank, or of each by its name."""
        found = {bank: Quantity(mm, MM) for bank, mm in cuts.items()}
        return found if self.sheet.engine.banks else next(iter(found.values()))


@cache
def _kit_planned(name: str) -> Planned:
    return Planned(sheet_for(name), options_for(name)).written_out()


class BuildSheet(Panel):
    title = "Build sheet"
    large = True
    pictures = (PLANS, ENGINE)

    def __init__(self, engine: EngineOrName, options: Options | None, *, projector: bool):
        self._given = options
        self.engines = engine_list(engine)
        self.engines.then = self._choose_engine
        self.plans = Choice("plan", "metal", [("as measured", None)], self.refresh)
        self.order = Note("order")
        self.save = EntryBox("file name for the sheet as planned", "save", self._save)
        self._own: dict[int, Planned] = {}
        for place in [] if options else range(len(self.engines.options)):
            self._planned_for(place)  # now, before a hand waits for it
        self._plan()
        super().__init__(
            left=[self.plans, self.order, self.save],
            head=[self.engines],
            predict=False,
            projector=projector,
        )

    @property
    def subject(self) -> str:
        return self.sheet.name

    def reset(self) -> None:
        self.plans.restart()
        self.save.clear()
        self.refresh()

    def work_out(self) -> None:
        self.plans.shown = self.save.shown = self._plans_are_shown
        plan = self.plans.chosen if self._plans_are_shown else None
        engine = self.sheet.engine
        self.after = self.planned.after(self.planned.choice(plan)) if plan else engine
        self.order.html = _listed(self._summary(plan))

    @property
    def _plans_are_shown(self) -> bool:
        return bool(self.shows.chosen == PLANS)

    def picture(self, style: Style) -> Picture:
        target = self.options.target
        ratio = nominal(mean_ratio(self.after))
        line = ratio_line(ratio, (target.low, target.high), aim=target.aim)
        lines = [replace(line, name="mean compression ratio")]
        squish = self.after.squish()
        if squish is not None:
            band = lengths_band(target.squish)
            gap = squish_line(in_mm(squish), band, unit=self._unit)
            lines.append(replace(gap, name="cylinder 1's squish clearance"))
        plan = self.plans.chosen if self._plans_are_shown else None
        cut = next(iter(plan["deck_cuts_mm"].values())) if plan else 0.0
        known = self.after.gasket.compressed_thickness is not None
        picture = taking_hold(
            section_view(plain(one_cylinder(self.after, 0))),
            lines,
            found=section_view(plain(one_cylinder(self.sheet.engine, 0))),
            lens=("gasket", "deck") if known else ("deck",),
            before=float(nominal(mean_ratio(self.sheet.engine))),
            lowered=cut,
            high=True,
            said=[
                *(
                    said_of(each, name, drawn=name == "ratio")
                    for each, name in zip(lines, ("ratio", "squish"), strict=False)
                ),
                *([Said(f"price {plan['price']:g}")] if plan else []),
            ],
            unit=self._unit,
            key=self.key,
            style=style,
        )
        if self._plans_are_shown:
            foot = picture.height - (STRIP + 8) * style.frame
            draw_shelves(picture, [self._shelf()], picture.width - (WIDE + 6) * style.frame, foot)
        return picture

    def _shelf(self) -> Shelf:
        """The plans to choose from, each with the chance that it keeps every limit."""
        items = []
        for label, plan in self.plans.options:
            chance = plan and plan["kept_probability"]
            items.append(
                Item(
                    label.partition(",")[0],
                    "" if chance is None else f"kept {percent(chance)}",
                    f"{plan['price']:g}" if plan else "",
                )
            )
        return Shelf(self.plans.name, items, self.plans.place)

    def words(self) -> str:
        if not self._plans_are_shown:
            return ""
        ratios = [nominal(stack_of(self.after, number).ratio) for number in range(self.after.count)]
        told = [
            f"Mean ratio {show_ratio(sum(ratios) / len(ratios))}, cylinders from "
            f"{show_ratio(min(ratios))} to {show_ratio(max(ratios))}. Cylinder 1 is drawn.",
        ]
        return "\n".join([*self._work_order(), *told, CAUTIONS[0]])

    @property
    def _unit(self) -> str:
        return shop_unit(self.sheet.engine.cylinder.bore)

    def _choose_engine(self) -> None:
        self._plan()
        self.refresh()

    def _plan(self) -> None:
        self.planned = self._planned_for(self.engines.place)
        self.sheet, self.options = self.planned.sheet, self.planned.options
        named = [
            (
                f"{number}: ratio {show_ratio(plan['compression_ratio'])}, price {plan['price']:g}",
                plan,
            )
            for number, plan in enumerate(self.planned.plans, start=1)
        ]
        self.plans.restart([*named, ("as measured", None)])

    def _planned_for(self, place: int) -> Planned:
        """Of an engine of the list, by its place there."""
        _, engine = self.engines.options[place]
        if isinstance(engine, str) and not self._given:
            return _kit_planned(engine)
        if place not in self._own:
            options = self._given or options_for(engine)
            self._own[place] = Planned(sheet_for(engine), options).written_out()
        return self._own[place]

    def _work_order(self) -> list[str]:
        """What the machine shop is to do, as the work order says it."""
        plan = self.plans.chosen
        if plan is None:
            found = (
                "" if self.planned.plans else " No combination of the list keeps to every limit."
            )
            return [f"Nothing is changed.{found}"]
        if _leaves_all(plan):
            return ["Nothing is changed: as measured, the engine keeps to every limit."]
        jobs = self.planned.jobs(self.planned.choice(plan))
        return [f"{number}. {job}" for number, job in enumerate(jobs, start=1)]

    def _summary(self, plan: dict[str, Any] | None) -> list[str]:
        if plan is None:
            return ["as measured"]
        chance = plan["in_band_probability"]
        lines = [
            f"gasket: {plan['gasket']}",
            f"piston: {plan['piston']}",
            *(f"{part}: {plan[part]}" for part in ("rods", "crank") if plan[part] != AS_MEASURED),
            *self._cuts_said("deck", plan),
            *self._cuts_said("head", plan),
            f"deck clearance, mean: {self._length(plan['deck_clearance_mm'])}",
            *(
                [f"squish clearance, mean: {self._length(plan['squish_mm'])}"]
                if plan["squish_mm"] is not None
                else []
            ),
            f"price: {plan['price']:g}",
        ]
        if chance is not None:
            lines.append(f"every cylinder in the band: chance {percent(chance)}")
        return lines

    def _cuts_said(self, face: str, plan: dict[str, Any]) -> list[str]:
        cuts = plan[f"{face}_cuts_mm"]
        if len(cuts) == 1:
            return [f"{face} cut: {self._length(mm)}" for mm in cuts.values()]
        return [f"{face} cut, bank {bank}: {self._length(mm)}" for bank, mm in cuts.items()]

    def _length(self, mm: float) -> str:
        return show(Quantity(mm, MM), self._unit)

    def _save(self, name: str) -> str:
        file = f"{name.strip().removesuffix('.toml')}.toml"
        if not _FILE_NAME.fullmatch(file) or _TAKEN_BY_WINDOWS.match(file):
            raise Refused(
                "write a file name without a folder, like heron-four-planned.toml; "
                "letters, digits, spaces, points, - and _"
            )
        path = (self.folder or Path()) / file
        if path.exists():
            raise Refused(f"{file} is there already: choose another name")
        write_sheet(sheet_of(self.after), path)
        return f"Saved as {file}."


_FILE_NAME = re.compile(r"[^\W_][\w .-]{0,60}\.toml")
_TAKEN_BY_WINDOWS = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)\.", re.IGNORECASE)


def _leaves_all(plan: dict[str, Any]) -> bool:
    """Whether a plan leaves the engine as it was measured."""
    parts_stay = all(plan[part] == AS_MEASURED for part in ("gasket", "piston", "rods", "crank"))
    cuts = (*plan["deck_cuts_mm"].values(), *plan["head_cuts_mm"].values())
    return parts_stay and not any(cuts)


def _listed(lines: list[str]) -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<ul>{items}</ul>"


def build_sheet(
    engine: EngineOrName = "heron-four", options: Options | None = None, *, projector: bool = False
) -> Any:
    """Choose a plan for an engine and read its work order.

    Args:
        engine: shown first: name of one of the kit's engines, a sheet, or an engine.
        options: what could be done; by default the kit's for its own engines.
        projector: large type and high contrast.

    >>> build_sheet("heron-four")
    <panel: Build sheet — Heron Four>
    """
    return BuildSheet(engine, options, projector=projector)
