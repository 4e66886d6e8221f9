"""Benches of another kind, that the kit's rules were not tuned on.

Stroke from the depth at bottom dead centre, two or three repeats at will, several groups, a ring
land, a cam card, results written with a ± in place of readings; hands that scatter other than a
bell. The truth of every result is worked out in `day_of`, with nothing of the library.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

from enginemath.sheets import parse
from enginemath.sheets.ratio_report import sheet_report

MM3 = 1000.0
TOOLS = {
    "dial": ("dial indicator", 0.02, 0.01),
    "depth micrometer": ("depth micrometer", 0.01, 0.01),
    "depth gauge": ("depth gauge", 0.03, 0.02),
    "caliper": ("caliper", 0.03, 0.02),
    "micrometer": ("micrometer", 0.005, 0.01),
    "bore gauge": ("bore gauge", 0.005, 0.01),
}
"""Kind, limit and division in mm: what the kit looks up for each kind."""


@dataclass(frozen=True)
class Habit:
    """How a bench works.

    Args:
        cylinders: how many.
        repeats: least and most of every reading, drawn anew for each thing.
        pour_scatter, scatter: standard deviations of a pour in cc and of a length in mm.
        shape: of the hands' scatter: "bell", "flat" or "two" (either of two values).
        depth_by: the tool that reads a known depth.
        burette: size, class, limit and division in mL.
        fine: part of their kinds' limits and divisions that the tools have.
        rock: largest tilt of a piston on either side of its pin, mm.
        written: what stands on the sheet as a result with a ± (JCGM 100:2008, 4.3: a bell).
        groups: how many share the work.
        second_burette: whether the crowns are poured from a burette of their own.
        banks: whether the sheet names two.
    """

    cylinders: int = 1
    repeats: tuple[int, int] = (2, 3)
    pour_scatter: float = 0.12
    scatter: float = 0.006
    shape: str = "bell"
    depth_by: str = "dial"
    burette: tuple[str, str, float, float] = ("25 mL", "B", 0.06, 0.05)
    fine: float = 1.0
    rock: float = 0.02
    written: tuple[str, ...] = ()
    groups: int = 1
    second_burette: bool = False
    banks: bool = False


@dataclass
class Day:
    """The truth by the name of a result and the cylinder (0: the mean), and what was written."""

    truth: dict[tuple[str, int], float] = field(default_factory=dict)
    sheet: str = ""
    table: str = ""


class Hands:
    """Hands with tools that are off by the same each time."""

    def __init__(self, habit: Habit, chance: random.Random):
        self.habit, self.chance = habit, chance
        self.pours = 0
        self.rows = ["what,cylinder,group,place,pour,fill,depth,depth tool,start,end,reading,tool"]
        self.off = {
            name: chance.uniform(-limit, limit) * habit.fine
            for name, (_, limit, _) in TOOLS.items()
        }
        limit = habit.burette[2] * habit.fine
        for name in ("burette", "second burette"):
            self.off[name] = chance.uniform(-limit, limit)

    def _scatter(self, s: float) -> float:
        if self.habit.shape == "flat":
            return self.chance.uniform(-s, s) * 3**0.5
        if self.habit.shape == "two":
            return self.chance.choice((-s, s))
        return self.chance.gauss(0.0, s)

    def repeats(self) -> range:
        """Numbers of the repeats of one thing."""
        return range(1, self.chance.randint(*self.habit.repeats) + 1)

    def _group(self, pour: int) -> str:
        return "ABCDEFGH"[pour % self.habit.groups]

    def _shown(self, value: float, tool: str) -> str:
        step = TOOLS[tool][2] * self.habit.fine
        shown = value + self.off[tool] + self._scatter(self.habit.scatter)
        return f"{step * round(shown / step):.5f} mm"

    def length(self, what: str, cylinder: int, truth: float, tool: str) -> None:
        """Read a length a few times."""
        for pour in self.repeats():
            cell = self._shown(truth, tool)
            who = self._group(pour)
            self.rows.append(f"{what},{cylinder or ''},{who},,,,,,,,{cell},{tool}")

    def deck(self, cylinder: int, truth: float) -> None:
        """Read both sides of the pin a few times, the piston tilted another way each time."""
        for pour in self.repeats():
            tilt = self.chance.uniform(-self.habit.rock, self.habit.rock)
            for place, side in (("front", tilt), ("rear", -tilt)):
                cell = self._shown(truth + side, "dial")
                who = self._group(pour)
                self.rows.append(f"deck clearance,{cylinder},{who},{place},{pour},,,,,,{cell},dial")

    def pour(self, what: str, cylinder: int, truth: float, depth: str = "") -> None:
        """Pour once, in as many fills as the burette asks for."""
        size, _, _, division = self.habit.burette
        step = division * self.habit.fine / 2
        volume = truth + self._scatter(self.habit.pour_scatter)
        fills = math.ceil(volume / (0.9 * float(size.split()[0])))
        self.pours += 1
        who = self._group(self.pours)
        tool = self.habit.depth_by if depth else ""
        burette = "second burette" if depth and self.habit.second_burette else "burette"
        for fill in range(1, fills + 1):
            start = self.chance.uniform(0, 1)
            end = start + volume / fills + self.off[burette]
            cells = (step * round(cell / step) for cell in (start, end))
            said = ",".join(f"{cell:.4f} mL" for cell in cells)
            self.rows.append(
                f"{what},{cylinder},{who},,{self.pours},{fill},{depth},{tool},{said},,{burette}"
            )

    def known_depth(self, cylinder: int, bore: float, crown: float) -> None:
        """Lower the piston, read how far, pour above it."""
        for _ in self.repeats():
            depth = self.chance.uniform(8, 12)
            above = crown + disc(bore, depth)
            self.pour("known depth", cylinder, above, self._shown(depth, self.habit.depth_by))


def disc(diameter: float, height: float) -> float:
    """In cc from mm."""
    return math.pi / 4 * diameter**2 * height / MM3


def day_of(habit: Habit, seed: int) -> Day:
    """An engine, and what was written down of it."""
    chance = random.Random(f"{habit} {seed}")
    hands, day = Hands(habit, chance), Day()
    bore_0, stroke = chance.uniform(70, 100), chance.uniform(68, 98)
    rod, closing = stroke * chance.uniform(1.5, 1.8), chance.uniform(40, 65)
    opening, thickness = bore_0 + chance.uniform(0.8, 2.0), chance.uniform(0.7, 1.5)
    land_height, gap = chance.uniform(5, 8), chance.uniform(0.4, 0.7)
    exponent = chance.uniform(1.20, 1.30)
    fields: dict[str, dict[str, str]] = {"cylinder": {"count": str(habit.cylinders)}}

    def shared(table: str, name: str, what: str, truth: float, u: float, tool: str) -> None:
        if name in habit.written:
            said = f'"{truth + chance.gauss(0, u):.5f} ± {u} mm"'
            fields.setdefault(table, {})[name] = said
        else:
            hands.length(what, 0, truth, tool)

    shared("cylinder", "rod_length", "rod length", rod, 0.05, "caliper")
    shared("gasket", "bore", "gasket bore", opening, 0.05, "caliper")
    shared("gasket", "compressed_thickness", "compressed thickness", thickness, 0.02, "micrometer")
    fields["cam"] = {
        "intake_closes": f'"{closing + chance.gauss(0, 2):.2f} ± 2 deg"',
        "checking_lift": '"0 mm"',
    }
    fields["site"] = {"altitude": '"0 m"'}
    fields["ring_land"] = {"filled": "true"}
    size = math.pi / 4 * bore_0**2 * stroke / MM3
    for n in range(1, habit.cylinders + 1):
        bore, deck = bore_0 + chance.gauss(0, 0.01), chance.uniform(-0.1, 0.5)
        chamber, crown = size * chance.uniform(0.08, 0.12), size * chance.uniform(-0.015, 0.03)
        hands.length("bore", n, bore, "bore gauge")
        hands.deck(n, deck)
        hands.length("depth at bdc", n, stroke + deck, "depth gauge")
        hands.length("land diameter", n, bore - gap, "micrometer")
        hands.length("land height", n, land_height, "caliper")
        for _ in hands.repeats():
            hands.pour("chamber", n, chamber)
        hands.known_depth(n, bore, crown)
        crevice = disc(bore, land_height) - disc(bore - gap, land_height)
        left = chamber + disc(opening, thickness) + disc(bore, deck) + crown + crevice
        day.truth["ratio", n] = 1 + disc(bore, stroke) / left
        day.truth["squish", n] = deck + thickness
        trapped = disc(bore, travel_left(stroke / 2, rod, closing))
        effective = 1 + trapped / left
        day.truth["effective", n] = effective
        # Standard atmosphere at sea level: 101.325 kPa (ISO 2533:1975).
        day.truth["pressure", n] = 101.325 * (effective**exponent - 1)
    for name in ("ratio", "effective", "pressure"):
        each = [day.truth[name, n] for n in range(1, habit.cylinders + 1)]
        day.truth[name, 0] = sum(each) / len(each)
    day.sheet, day.table = _written(habit, fields), "\n".join(hands.rows) + "\n"
    return day


def travel_left(crank: float, rod: float, closing: float) -> float:
    """Distance from intake closing to top dead centre, mm; degrees after bottom dead centre."""
    angle = math.radians(180 + closing)
    pin = crank * math.cos(angle) + math.sqrt(rod**2 - (crank * math.sin(angle)) ** 2)
    return crank + rod - pin


def _written(habit: Habit, fields: dict[str, dict[str, str]]) -> str:
    lines = ["format = 2", 'name = "other"', 'readings = "table.csv"']
    for name, (kind, limit, division) in TOOLS.items():
        lines += [f'[tools."{name}"]', f'kind = "{kind}"']
        if habit.fine != 1:
            lines += [
                f'limit = "{limit * habit.fine:.6f} mm"',
                f'division = "{division * habit.fine:.6f} mm"',
            ]
    size, grade, limit, division = habit.burette
    for name in ("burette", "second burette"):
        lines += [f'[tools."{name}"]', 'kind = "burette"', f'size = "{size}"', f'class = "{grade}"']
        if habit.fine != 1:
            lines += [
                f'limit = "{limit * habit.fine:.6f} mL"',
                f'division = "{division * habit.fine:.6f} mL"',
            ]
    if habit.banks:
        numbers = range(1, habit.cylinders + 1)
        for name, bank in (("left", numbers[::2]), ("right", numbers[1::2])):
            lines += ["[[bank]]", f'name = "{name}"', f"cylinders = {[*bank]}"]
    for table, given in fields.items():
        lines += [f"[{table}]", *(f"{name} = {text}" for name, text in given.items())]
    return "\n".join(lines) + "\n"


def inside(habit: Habit, seed: int) -> list[tuple[str, bool]]:
    """Of each result of an engine, by its name, whether its stated 95 % holds the truth."""
    day = day_of(habit, seed)
    report = sheet_report(parse(day.sheet, tables={"table.csv": day.table}))
    found = []
    for of in (report, *report["cylinders"]):
        n = of.get("number", 0)
        for name, limits in INTERVALS.items():
            if (name, n) in day.truth:
                low, high = of[limits]
                called = f"{name}, mean" if not n else name
                found.append((called, low <= day.truth[name, n] <= high))
    return found


INTERVALS = {
    "ratio": "interval_95",
    "squish": "squish_interval_95_mm",
    "effective": "effective_ratio_interval_95",
    "pressure": "cranking_pressure_gauge_interval_95_kpa",
}


def any_habit(seed: int) -> Habit:
    """Any mix of all that a bench may have: shop's tools or fine ones, each setting by chance."""
    chance = random.Random(seed)
    cylinders = chance.choice((1, 1, 2, 4, 8))
    return Habit(
        cylinders=cylinders,
        repeats=chance.choice(((2, 2), (2, 3), (3, 3), (3, 5), (5, 8))),
        pour_scatter=chance.choice((0.03, 0.08, 0.12, 0.2)),
        scatter=chance.choice((0.002, 0.006, 0.01)),
        depth_by=chance.choice(("dial", "depth micrometer", "depth gauge", "caliper")),
        burette=chance.choice(
            (("25 mL", "B", 0.06, 0.05), ("10 mL", "B", 0.04, 0.02), ("50 mL", "A", 0.05, 0.1))
        ),
        fine=chance.choice((1.0, 1.0, 0.3, 0.05)),
        rock=chance.choice((0.0, 0.02, 0.04)),
        written=chance.choice(((), ("rod_length", "bore", "compressed_thickness"))),
        groups=chance.choice((1, 1, 3)),
        second_burette=chance.choice((False, True)),
        banks=cylinders > 1 and chance.choice((False, True)),
    )


HABITS = {
    "one cylinder": Habit(),
    "four cylinders": Habit(cylinders=4),
    "eight cylinders": Habit(cylinders=8),
    "two repeats": Habit(repeats=(2, 2)),
    "scatter alone": Habit(fine=0.05, rock=0.001),
    "scatter alone, two repeats": Habit(fine=0.05, rock=0.001, repeats=(2, 2)),
    "scatter alone, four cylinders": Habit(fine=0.05, rock=0.001, cylinders=4),
    "fine tools, rocking pistons": Habit(fine=0.05, rock=0.03),
    "fine tools, rocking, two repeats": Habit(fine=0.05, rock=0.03, repeats=(2, 2)),
    "fine tools, rocking, four": Habit(fine=0.05, rock=0.05, cylinders=4),
    "shop's tools, rocking pistons": Habit(rock=0.05),
    "two burettes": Habit(second_burette=True),
    "two banks": Habit(cylinders=4, banks=True),
    "many repeats": Habit(repeats=(5, 8)),
    "steady hands": Habit(pour_scatter=0.01, scatter=0.001),
    "depth by micrometer": Habit(depth_by="depth micrometer"),
    "depth by gauge": Habit(depth_by="depth gauge"),
    "depth by caliper": Habit(depth_by="caliper"),
    "10 mL burette": Habit(burette=("10 mL", "B", 0.04, 0.02)),
    "50 mL burette, class A": Habit(burette=("50 mL", "A", 0.05, 0.1)),
    "hands without a bell": Habit(fine=0.05, rock=0.001, shape="flat"),
    "either of two values": Habit(fine=0.05, rock=0.001, shape="two"),
    "results with a ±": Habit(cylinders=4, written=("rod_length", "bore", "compressed_thickness")),
    "four groups": Habit(cylinders=4, groups=4),
}
