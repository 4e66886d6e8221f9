"""Engines with readings of their own, and what could be done to them, drawn at random.

Sheets are those of `enginemath new`, their tables filled in as a class would: one set of tools for
all that is read, each off by its own error, and every reading rounded to its tool's scale.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import Any

import numpy as np

from enginemath.change.price_list import Options
from enginemath.change.price_list_file import parse_options
from enginemath.sheets import Sheet, parse
from enginemath.sheets.own_engine.bench_order import readings_to_take
from enginemath.sheets.own_engine.new_sheet import blank_table, sheet_text

TABLE = "bay-readings.csv"
# How far a tool may be off, how far a hand scatters, and its scale; mm or cc. Common practice.
TOOLS = {
    "dial": (0.01, 0.008, 0.01),
    "depth gauge": (0.03, 0.01, 0.02),
    "bore gauge": (0.01, 0.004, 0.01),
    "burette": (0.1, 0.12, 0.1),
    "caliper": (0.03, 0.01, 0.02),
    "micrometer": (0.004, 0.004, 0.01),
}


@dataclass(frozen=True)
class Truth:
    """An engine as it is, mm and cc, and what its gasket leaves."""

    count: int
    banks: tuple[str, ...]
    bore: float
    stroke: float
    decks: tuple[float, ...]
    chambers: tuple[float, ...]
    crown: float
    thickness: float

    @property
    def swept(self) -> float:
        """Of one cylinder, cc."""
        return pi / 4 * self.bore**2 * self.stroke / 1000

    def ratio(self, deck: float, thickness: float, chamber: float) -> float:
        """Of a cylinder, its gasket as wide as those of `options_text`."""
        area = pi / 4 / 1000
        gasket, above = area * (self.bore + 1.2) ** 2 * thickness, area * self.bore**2 * deck
        return 1 + self.swept / (chamber + gasket + above + self.crown)


def truth(dice: np.random.Generator) -> Truth:
    """An engine of one to eight cylinders, in one bank or two."""
    count = int(dice.choice([1, 2, 4, 6, 8]))
    banks = ("left", "right") if count > 1 and dice.random() < 0.5 else ()
    bore = round(dice.uniform(62, 104), 2)
    stroke = round(bore * dice.uniform(0.82, 1.12), 2)
    swept = pi / 4 * bore**2 * stroke / 1000
    # Each bank's deck stands by itself, as the last shop has left it.
    by_bank = dice.uniform(0.25, 0.6, 2)
    decks = [by_bank[n % 2 if banks else 0] + dice.normal(0, 0.015) for n in range(count)]
    chambers = swept * dice.uniform(0.075, 0.1) + dice.normal(0, 0.2, count)
    crown = swept * dice.uniform(0.0, 0.02)
    return Truth(count, banks, bore, stroke, tuple(decks), tuple(chambers), crown, 1.2)


def readings_text(engine: Truth, dice: np.random.Generator) -> str:
    """The table as it is filled in at the bench."""
    off = {tool: dice.uniform(-limit, limit) for tool, (limit, _, _) in TOOLS.items()}

    def read(tool: str, true: float) -> str:
        _, scatter, scale = TOOLS[tool]
        return f"{round((true + off[tool] + dice.normal(0, scatter)) / scale) * scale:.3f}"

    head, *rows = csv.reader(io.StringIO(blank_table(list(readings_to_take(engine.count, "mm")))))
    for row in rows:
        cell = dict(zip(head, row, strict=True))
        place = int(cell["cylinder"] or 1) - 1
        depth = 8.0 + engine.decks[0]
        poured = pi / 4 * engine.bore**2 * depth / 1000 + engine.crown
        true = {
            "deck clearance": engine.decks[place],
            "depth at bdc": engine.stroke + engine.decks[place],
            "bore": engine.bore,
            "gasket bore": engine.bore + 1.2,
            "compressed thickness": engine.thickness,
        }
        if cell["what"] in ("chamber", "known depth"):
            volume = engine.chambers[place] if cell["what"] == "chamber" else poured
            row[head.index("start")] = "0.0"
            row[head.index("end")] = read("burette", volume)
            if cell["what"] == "known depth":
                row[head.index("depth")] = read("depth gauge", depth)
        else:
            row[head.index("reading")] = read(cell["tool"], true[cell["what"]])
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([head, *rows])
    return out.getvalue()


def options_text(engine: Truth, dice: np.random.Generator) -> str:
    """A price list whose band lies where one gasket and some cut would put the engine."""
    thick, deck_cut = float(dice.choice([0.7, 0.8, 0.9, 1.0])), dice.uniform(0, 0.3)
    deck = float(np.mean(engine.decks)) - deck_cut
    middle = engine.ratio(deck, thick, float(np.mean(engine.chambers)))
    half = dice.uniform(0.08, 0.35)
    gaskets = "".join(
        f'[[gasket]]\nname = "{name}"\nbore = "{engine.bore + 1.2:.2f} mm"\n'
        f'compressed_thickness = "{each:.2f} mm"\nprice = {price}\n'
        for name, each, price in (("thin", thick, 60), ("thick", thick + 0.15, 40))
    )
    squish = ""
    if dice.random() < 0.8:
        tight = deck + thick - dice.uniform(0.05, 0.15)
        squish = f'squish = ["{tight:.3f} mm", "{tight + dice.uniform(0.12, 0.3):.3f} mm"]'
    limits = [f'deck_clearance_min = "{deck - dice.uniform(0.02, 0.2):.3f} mm"']
    heights = []
    if dice.random() < 0.6:
        least = 220.0 - deck_cut - dice.uniform(0.02, 0.12)
        limits += [f'block_height_min = "{least:.3f} mm"', 'minimums_from = "shop manual"']
        heights.append('block = "220.000 ± 0.015 mm"')
    if dice.random() < 0.4:
        room = dice.uniform(0.05, 0.3)
        limits.append('intake_valve_min = "2.0 mm"')
        heights.append(f'intake_valve = "{2.0 + 1.2 - thick + deck_cut + room:.3f} ± 0.03 mm"')
    piston = ""
    if dice.random() < 0.3:
        piston = (
            '[[piston]]\nname = "next size"\noverbore = "0.50 mm"\ndeeper_valve_pockets = "0 mm"\n'
            f'dish = "{engine.crown + dice.uniform(0, 1.5):.2f} cc"\nprice = 300\n'
        )
    head_cut = ""
    if dice.random() < 0.5:
        area = pi / 4 * engine.bore**2 / 100
        head_cut = (
            f'[head_cut]\nstep = "0.10 mm"\nmax = "0.30 mm"\nopen_area = "{area:.1f} cm**2"\n'
            "price = 90\n"
        )
    table = "\n".join(["[limits]", *limits, *(["[heights]", *heights] if heights else [])])
    return f"""format = 1
[target]
ratio = [{middle - half:.3f}, {middle + half:.3f}]
{squish}
{table}
[deck_cut]
step = "0.05 mm"
max = "0.40 mm"
price = 150
{head_cut}[tolerances]
deck_cut = "{dice.uniform(0.005, 0.03):.3f} mm"
head_cut = "0.02 mm"
compressed_thickness = "{dice.uniform(0.01, 0.03):.3f} mm"
{gaskets}{piston}"""


def random_jobs(seed: int) -> Iterator[tuple[Sheet, Options]]:
    """Engines and price lists without end, the same for the same seed."""
    dice: Any = np.random.default_rng(seed)
    while True:
        engine = truth(dice)
        table = readings_text(engine, dice)
        text = sheet_text("bay", TABLE, "bay-record.html", engine.count, engine.banks, "mm")
        yield parse(text, None, {TABLE: table}), parse_options(options_text(engine, dice))
