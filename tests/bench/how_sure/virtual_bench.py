"""Virtual benches: an engine with a known truth, tools that are off, hands that scatter.

Nothing of the library works out what a bench shows: the truth is drawn, the readings are written
into a table as a class would, and the kit reads sheet and table as files.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Tool:
    """A tool: its kind on the sheet, its limit and division, in mm or mL."""

    kind: str
    limit: float
    division: float
    unit: str = "mm"
    more: str = ""


DIAL = Tool("dial indicator", 0.02, 0.01)
DEPTH_MICROMETER = Tool("depth micrometer", 0.01, 0.01)
DEPTH_GAUGE = Tool("depth gauge", 0.03, 0.02)
MICROMETER = Tool("micrometer", 0.005, 0.01)
CALIPER = Tool("caliper", 0.03, 0.02)
BURETTE = Tool("burette", 0.1, 0.1, "mL", 'size = "50 mL"\nclass = "B"\n')
FINE = {
    "dial": Tool("dial indicator", 0.001, 0.001),
    "depth tool": Tool("depth micrometer", 0.001, 0.001),
    "bore tool": Tool("micrometer", 0.001, 0.001),
    "gap tool": Tool("micrometer", 0.001, 0.001),
    "burette": Tool("burette", 0.005, 0.02, "mL", 'size = "50 mL"\nclass = "A"\n'),
}
"""Tools that are next to nothing off: what is left is the scatter of the hands."""


@dataclass(frozen=True)
class Bench:
    """How an engine is measured.

    Args:
        cylinders: how many.
        pours: repeats of each chamber and each crown.
        repeats: of every length.
        scatter: standard deviation of one pour in cc and of one length in mm.
        tools: by name; "burette" pours chamber and crown alike.
        depth_by: name of the tool that reads the known depth; "dial" reads the decks too.
        rock: largest tilt of a piston on either side of its pin, mm.
    """

    cylinders: int = 1
    pours: int = 3
    repeats: int = 3
    scatter: tuple[float, float] = (0.15, 0.006)
    tools: dict[str, Tool] = field(
        default_factory=lambda: {
            "dial": DIAL,
            "depth tool": DEPTH_MICROMETER,
            "bore tool": MICROMETER,
            "gap tool": MICROMETER,
            "burette": BURETTE,
        }
    )
    depth_by: str = "dial"
    rock: float = 0.0


@dataclass
class Drawn:
    """One day at a bench: the truth, the sheet and its table."""

    ratios: list[float]
    mean_ratio: float
    squish: list[float]
    sheet: str
    table: str


def drawn(bench: Bench, seed: int) -> Drawn:
    """An engine with its truth, and what a class would write down of it."""
    chance = random.Random(seed)
    off = {name: chance.uniform(-tool.limit, tool.limit) for name, tool in bench.tools.items()}
    rows = ["what,cylinder,place,pour,fill,depth,depth tool,start,end,reading,tool"]
    ratios, squish = [], []
    stroke, thickness = chance.uniform(80, 95), chance.uniform(0.9, 1.5)
    bore_0, gasket_bore = chance.uniform(85, 95), chance.uniform(96, 98)
    _lengths(bench, chance, off, rows, "stroke", "", stroke, "depth tool")
    _lengths(bench, chance, off, rows, "gasket bore", "", gasket_bore, "gap tool")
    _lengths(bench, chance, off, rows, "compressed thickness", "", thickness, "gap tool")
    for n in range(1, bench.cylinders + 1):
        bore = bore_0 + chance.gauss(0, 0.01)
        deck = chance.uniform(0.2, 0.5)
        chamber, crown = chance.uniform(44, 52), chance.uniform(4, 10)
        _lengths(bench, chance, off, rows, "bore", n, bore, "bore tool")
        _decks(bench, chance, off, rows, n, deck)
        for pour in range(1, bench.pours + 1):
            real = chamber + chance.gauss(0, bench.scatter[0])
            _pour(bench, chance, off, rows, f"chamber,{n},,{pour}", ",,", real)
            depth = chance.uniform(12, 13)
            shown = depth + off[bench.depth_by] + chance.gauss(0, bench.scatter[1])
            step = bench.tools[bench.depth_by].division
            above = crown + math.pi / 4 * bore**2 * depth / 1000
            cell = f"{_to(shown, step)} mm"
            real = above + chance.gauss(0, bench.scatter[0])
            _pour(
                bench,
                chance,
                off,
                rows,
                f"known depth,{n},,{pour}",
                f",{cell},{bench.depth_by}",
                real,
            )
        disc = math.pi / 4 / 1000
        clearance = chamber + disc * gasket_bore**2 * thickness + disc * bore**2 * deck + crown
        ratios.append(1 + disc * bore**2 * stroke / clearance)
        squish.append(deck + thickness)
    sheet = [
        'format = 2\nname = "virtual"\nreadings = "table.csv"',
        f"[cylinder]\ncount = {bench.cylinders}",
    ]
    for name, tool in bench.tools.items():
        limits = f'limit = "{tool.limit} {tool.unit}"\ndivision = "{tool.division} {tool.unit}"'
        sheet.append(f'[tools."{name}"]\nkind = "{tool.kind}"\n{tool.more}{limits}')
    mean = sum(ratios) / len(ratios)
    return Drawn(ratios, mean, squish, "\n".join(sheet), "\n".join(rows) + "\n")


def _to(value: float, step: float) -> str:
    return f"{step * round(value / step):.4f}"


def _lengths(
    bench: Bench,
    chance: random.Random,
    off: dict[str, float],
    rows: list[str],
    what: str,
    cylinder: object,
    truth: float,
    tool: str,
) -> None:
    for _ in range(bench.repeats):
        shown = truth + off[tool] + chance.gauss(0, bench.scatter[1])
        rows.append(f"{what},{cylinder},,,,,,,,{_to(shown, bench.tools[tool].division)} mm,{tool}")


def _decks(
    bench: Bench,
    chance: random.Random,
    off: dict[str, float],
    rows: list[str],
    cylinder: int,
    truth: float,
) -> None:
    for pour in range(1, bench.repeats + 1):
        tilt = chance.uniform(-bench.rock, bench.rock)
        for place, side in (("front", tilt), ("rear", -tilt)):
            shown = truth + side + off["dial"] + chance.gauss(0, bench.scatter[1])
            cell = _to(shown, bench.tools["dial"].division)
            rows.append(f"deck clearance,{cylinder},{place},{pour},,,,,,{cell} mm,dial")


def _pour(
    bench: Bench,
    chance: random.Random,
    off: dict[str, float],
    rows: list[str],
    head: str,
    depth: str,
    volume: float,
) -> None:
    """Fills of at most 45 mL; what runs out differs from what is shown by the burette's error."""
    step = bench.tools["burette"].division / 2
    fills = math.ceil(volume / 45)
    for fill in range(1, fills + 1):
        start = chance.uniform(0, 1)
        end = start + volume / fills + off["burette"]
        depth_cells = depth if depth.strip(",") else ",,"
        rows.append(
            f"{head},{fill}{depth_cells},{_to(start, step)} mL,{_to(end, step)} mL,,burette"
        )
