"""Random plausible engines, from a 50 cc single to a 16-litre diesel, as sheet and as numbers."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

INCH = 25.4
TABLES = ("cylinder", "chamber", "gasket", "deck", "piston", "ring_land", "cam")

Places = tuple[int, int]
"""Decimals of a length: in inches, in mm."""


@dataclass
class Drawn:
    """An engine as drawn: lengths in mm, volumes in cc, angles in degrees."""

    text: str
    count: int
    bore: float
    stroke: float
    rod: float
    decks: list[float]
    chambers: list[float]
    fills: list[tuple[float, float]] = field(default_factory=list)
    gasket_bore: float | None = None
    thickness: float | None = None
    free: float | None = None
    gasket_volume: float | None = None
    dish: float = 0.0
    dome: float = 0.0
    reliefs: float = 0.0
    known_depth: float | None = None
    poured: float = 0.0
    land_height: float = 0.0
    land_clearance: float = 0.0
    closes: float | None = None


@dataclass(frozen=True)
class Kind:
    """A kind of engine: how often it is drawn, how many cylinders, how wide, in mm."""

    share: int
    counts: tuple[int, ...]
    bores: tuple[float, float]
    diesel: float = 0.0
    """How often its ratio is that of a diesel."""


KINDS = {
    "small single": Kind(2, (1, 1, 2), (38, 75)),
    "car": Kind(5, (3, 4, 4, 6), (68, 96)),
    "vee": Kind(3, (6, 8), (86, 108)),
    "lorry": Kind(2, (6,), (100, 140), diesel=0.8),
}


class Paper:
    """The sheet as it is filled in; each line gives back what was written, in mm or cc."""

    def __init__(self, inches: bool) -> None:
        self.unit, self.mm = ("in", INCH) if inches else ("mm", 1.0)
        self.column = 0 if inches else 1
        self.lines: dict[str, list[str]] = {}

    def line(self, table: str, name: str, value: object) -> None:
        self.lines.setdefault(table, []).append(f"{name} = {value}")

    def read(self, mm: float, places: Places) -> tuple[str, float]:
        """A length as a tool in the sheet's unit reads it: the text, and the same in mm."""
        number = f"{mm / self.mm:.{places[self.column]}f}"
        return f'"{number} {self.unit}"', float(number) * self.mm

    def length(self, table: str, name: str, mm: float, places: Places) -> float:
        text, written = self.read(mm, places)
        self.line(table, name, text)
        return written

    def volume(self, table: str, name: str, cc: float, places: int) -> float:
        number = f"{cc:.{places}f}"
        self.line(table, name, f'"{number} cc"')
        return float(number)

    def text(self, name: str) -> str:
        written = {table: self.lines[table] for table in TABLES if table in self.lines}
        return f'format = 1\nname = "{name}"\n' + "".join(
            f"[{table}]\n" + "\n".join(lines) + "\n" for table, lines in written.items()
        )


def draw(seed: int) -> Drawn:
    """One engine; the same seed gives the same engine."""
    rng = random.Random(seed)
    paper = Paper(inches=rng.random() < 0.4)
    kind = rng.choices(list(KINDS.values()), [each.share for each in KINDS.values()])[0]
    count = rng.choice(kind.counts)
    diesel = kind.diesel and rng.random() < kind.diesel
    ratio = rng.uniform(14, 19) if diesel else rng.uniform(7.5, 12.5)

    paper.line("cylinder", "count", count)
    bore = paper.length("cylinder", "bore", rng.uniform(*kind.bores), (3, 2))
    travel = bore * rng.uniform(0.8, 1.2)
    rod = paper.length("cylinder", "rod_length", travel * rng.uniform(1.5, 1.9), (3, 1))
    decks, stroke = draw_deck(rng, paper, count, travel)
    engine = Drawn("", count, bore, stroke, rod, decks, [])

    clearance = disc(bore, stroke) / (ratio - 1)
    room = clearance - draw_gasket(rng, paper, engine) - disc(bore, decks[0])
    room -= draw_crown(rng, paper, engine, clearance)
    draw_chambers(rng, paper, engine, max(room, clearance * 0.3))
    draw_ring_land(rng, paper, engine)
    draw_cam(rng, paper, engine)
    engine.text = paper.text(f"Drawn {seed}")
    return engine


def draw_deck(
    rng: random.Random, paper: Paper, count: int, travel: float
) -> tuple[list[float], float]:
    """Deck clearances, and the stroke that is written or follows from the depth at BDC."""
    above = rng.random() < 0.1
    clearance = rng.uniform(-0.25, -0.08) if above else rng.uniform(0.12, 0.65)
    how = rng.choice(["stroke", "stroke", "stroke", "both", "no stroke"])
    if count > 1 and how == "stroke" and rng.random() < 0.25:
        each = [paper.read(clearance + rng.uniform(-0.03, 0.03), (4, 2)) for _ in range(count)]
        paper.line("deck", "clearances", f"[{', '.join(text for text, _ in each)}]")
        decks = [deck for _, deck in each]
    else:
        decks = [paper.length("deck", "clearance", clearance, (4, 2))] * count
    if how == "no stroke":
        depth = paper.length("deck", "depth_at_bdc", travel + decks[0], (4, 2))
        return decks, depth - decks[0]
    stroke = paper.length("cylinder", "stroke", travel, (3, 2))
    if how == "both":
        paper.length("deck", "depth_at_bdc", stroke + decks[0], (4, 4))
    return decks, stroke


def draw_gasket(rng: random.Random, paper: Paper, engine: Drawn) -> float:
    """A gasket by bore and thickness, or poured; gives back its volume."""
    if rng.random() < 0.1:
        opening = disc(engine.bore * 1.015, rng.uniform(0.7, 1.6))
        engine.gasket_volume = paper.volume("gasket", "volume", opening, 2)
        return engine.gasket_volume
    bore = paper.length("gasket", "bore", engine.bore + rng.uniform(0.6, 2.4), (3, 1))
    compressed = rng.uniform(0.5, 1.6)
    thickness = paper.length("gasket", "compressed_thickness", compressed, (4, 2))
    if rng.random() < 0.75:
        free = compressed * rng.uniform(1.12, 1.35)
        engine.free = paper.length("gasket", "free_thickness", free, (4, 2))
    engine.gasket_bore, engine.thickness = bore, thickness
    return disc(bore, thickness)


def draw_crown(rng: random.Random, paper: Paper, engine: Drawn, clearance: float) -> float:
    """A flat, dished or domed piston, or one poured at a known depth; gives back its crown."""
    shape = rng.choice(["flat", "dish", "dish", "dome", "dome", "known depth"])
    size = clearance * rng.uniform(0.05, 0.18)
    if shape == "known depth":
        return _known_depth(rng, paper, engine, size * rng.choice([1, -1]))
    places = cc_places(engine)
    if shape == "dish":
        engine.dish = paper.volume("piston", "dish", size, places)
    elif shape == "dome":
        engine.dome = paper.volume("piston", "dome", size, places)
    if rng.random() < 0.75:
        reliefs = clearance * rng.uniform(0.02, 0.06)
        engine.reliefs = paper.volume("piston", "reliefs", reliefs, places)
    return engine.dish - engine.dome + engine.reliefs


def _known_depth(rng: random.Random, paper: Paper, engine: Drawn, crown: float) -> float:
    depth, engine.known_depth = paper.read(engine.bore * rng.uniform(0.1, 0.2), (3, 3))
    above = disc(engine.bore, engine.known_depth)
    poured = f"{above + crown:.1f}"
    engine.poured = float(poured)
    paper.line("piston", "known_depth", f'{{ depth = {depth}, poured = "{poured} cc" }}')
    return engine.poured - above


def draw_chambers(rng: random.Random, paper: Paper, engine: Drawn, size: float) -> None:
    """One volume for all chambers, one for each, or the burette readings of one."""
    how, places = rng.choice(["volume", "fills", "fills", "volumes"]), cc_places(engine)
    if how == "fills":
        engine.fills = _fills(rng, size)
        fills = (f'["{start:.2f} mL", "{end:.2f} mL"]' for start, end in engine.fills)
        paper.line("chamber", "fills", f"[{', '.join(fills)}]")
        engine.chambers = [sum(end - start for start, end in engine.fills)] * engine.count
    elif how == "volumes" and engine.count > 1:
        each = [f"{size * rng.uniform(0.992, 1.008):.{places}f}" for _ in range(engine.count)]
        volumes = ", ".join(f'"{number} cc"' for number in each)
        paper.line("chamber", "volumes", f"[{volumes}]")
        engine.chambers = [float(number) for number in each]
    else:
        engine.chambers = [paper.volume("chamber", "volume", size, places)] * engine.count


def _fills(rng: random.Random, chamber: float) -> list[tuple[float, float]]:
    """Start and end of each pour, from a burette that four pours or so empty into the chamber."""
    burette = rng.choice([size for size in (10, 25, 50, 100) if size > chamber / 4])
    fills, left = [], chamber
    while left > 0.02:
        start = rng.choice([0.0, round(rng.uniform(0.1, 1.5), 2)])
        run = min(left, burette - start - rng.uniform(0.0, 1.0))
        fills.append((start, float(f"{start + run:.2f}")))
        left -= run
    return fills


def draw_ring_land(rng: random.Random, paper: Paper, engine: Drawn) -> None:
    if rng.random() < 0.6:
        height = engine.bore * rng.uniform(0.05, 0.09)
        engine.land_height = paper.length("ring_land", "height", height, (3, 1))
        clearance = engine.bore * rng.uniform(0.004, 0.008)
        engine.land_clearance = paper.length("ring_land", "clearance", clearance, (4, 2))


def draw_cam(rng: random.Random, paper: Paper, engine: Drawn) -> None:
    if rng.random() < 0.7:
        engine.closes = float(rng.randint(35, 75))
        paper.line("cam", "intake_closes", f'"{engine.closes:.0f} deg"')


def disc(diameter: float, height: float) -> float:
    """In cc, of mm; π/4 to six digits, apart from the library."""
    return 0.785398 * diameter * diameter * height / 1000


def cc_places(engine: Drawn) -> int:
    """Decimals of a volume in cc: a small engine's are written finer."""
    return 2 if disc(engine.bore, engine.stroke) < 120 else 1
