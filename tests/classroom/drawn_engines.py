"""Random plausible engines, from a 50 cc single to a 16-litre diesel, as sheet and as numbers."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

INCH = 25.4


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


def draw(seed: int) -> Drawn:
    """One engine; the same seed gives the same engine."""
    rng = random.Random(seed)
    inches = rng.random() < 0.4
    kind = rng.choices(["small single", "car", "vee", "lorry"], [2, 5, 3, 2])[0]
    count = {"small single": [1, 1, 2], "car": [3, 4, 4, 6], "vee": [6, 8], "lorry": [6]}[kind]
    count = rng.choice(count)
    low, high = {"small single": (38, 75), "car": (68, 96), "vee": (86, 108), "lorry": (100, 140)}[
        kind
    ]
    wanted = (
        rng.uniform(14, 19) if kind == "lorry" and rng.random() < 0.8 else rng.uniform(7.5, 12.5)
    )

    lines: dict[str, list[str]] = {}

    def length(table: str, name: str, mm: float, places: tuple[int, int]) -> float:
        """Write a length in the sheet's unit, and give back what was written, in mm."""
        text = f"{mm / INCH:.{places[0]}f}" if inches else f"{mm:.{places[1]}f}"
        lines.setdefault(table, []).append(f'{name} = "{text} {"in" if inches else "mm"}"')
        return float(text) * (INCH if inches else 1.0)

    def volume(table: str, name: str, cc: float, places: int = 1) -> float:
        text = f"{cc:.{places}f}"
        lines.setdefault(table, []).append(f'{name} = "{text} cc"')
        return float(text)

    lines["cylinder"] = [f"count = {count}"]
    bore = length("cylinder", "bore", rng.uniform(low, high), (3, 2))
    stroke_mm = bore * rng.uniform(0.8, 1.2)
    rod = length("cylinder", "rod_length", stroke_mm * rng.uniform(1.5, 1.9), (3, 1))

    above = rng.random() < 0.1
    deck_mm = rng.uniform(-0.25, -0.08) if above else rng.uniform(0.12, 0.65)
    how = rng.choice(["stroke", "stroke", "stroke", "both", "no stroke"])
    each_deck = count > 1 and how == "stroke" and rng.random() < 0.25
    unit = "in" if inches else "mm"
    factor = INCH if inches else 1.0
    if each_deck:
        texts = [
            f"{(deck_mm + rng.uniform(-0.03, 0.03)) / factor:.{4 if inches else 2}f}"
            for _ in range(count)
        ]
        lines["deck"] = ["clearances = [" + ", ".join(f'"{t} {unit}"' for t in texts) + "]"]
        decks = [float(t) * factor for t in texts]
    else:
        decks = [length("deck", "clearance", deck_mm, (4, 2))] * count
    if how == "stroke":
        stroke = length("cylinder", "stroke", stroke_mm, (3, 2))
    elif how == "both":
        stroke = length("cylinder", "stroke", stroke_mm, (3, 2))
        text = f"{(stroke + decks[0]) / factor:.4f}"
        lines["deck"].append(f'depth_at_bdc = "{text} {unit}"')
    else:
        depth = length("deck", "depth_at_bdc", stroke_mm + decks[0], (4, 2))
        stroke = depth - decks[0]

    swept = 0.785398 * bore * bore * stroke / 1000
    clearance = swept / (wanted - 1)

    if rng.random() < 0.1:
        gasket_bore = thickness = free = None
        gasket_volume = volume(
            "gasket", "volume", 0.785398 * (bore * 1.015) ** 2 * rng.uniform(0.7, 1.6) / 1000, 2
        )
        gasket = gasket_volume
    else:
        gasket_volume = None
        gasket_bore = length("gasket", "bore", bore + rng.uniform(0.6, 2.4), (3, 1))
        thickness_mm = rng.uniform(0.5, 1.6)
        thickness = length("gasket", "compressed_thickness", thickness_mm, (4, 2))
        free = None
        if rng.random() < 0.75:
            free = length(
                "gasket", "free_thickness", thickness_mm * rng.uniform(1.12, 1.35), (4, 2)
            )
        gasket = 0.785398 * gasket_bore**2 * thickness / 1000
    deck_cc = 0.785398 * bore * bore * decks[0] / 1000

    result = Drawn("", count, bore, stroke, rod, decks, [])
    result.gasket_bore, result.thickness, result.free = gasket_bore, thickness, free
    result.gasket_volume = gasket_volume

    room = clearance - gasket - deck_cc
    shape = rng.choice(["flat", "dish", "dish", "dome", "dome", "known depth"])
    size = clearance * rng.uniform(0.05, 0.18)
    places = 2 if swept < 120 else 1
    crown = 0.0
    if shape == "dish":
        result.dish = crown = volume("piston", "dish", size, places)
    elif shape == "dome":
        result.dome = volume("piston", "dome", size, places)
        crown = -result.dome
    if shape != "known depth" and rng.random() < 0.75:
        result.reliefs = volume("piston", "reliefs", clearance * rng.uniform(0.02, 0.06), places)
        crown += result.reliefs
    if shape == "known depth":
        crown = size * rng.choice([1, -1])
        depth_mm = bore * rng.uniform(0.1, 0.2)
        text = f"{depth_mm / factor:.3f}"
        result.known_depth = float(text) * factor
        disc = 0.785398 * bore * bore * result.known_depth / 1000
        poured = f"{disc + crown:.1f}"
        result.poured = float(poured)
        crown = result.poured - disc
        lines["piston"] = [f'known_depth = {{ depth = "{text} {unit}", poured = "{poured} cc" }}']

    chamber = max(room - crown, clearance * 0.3)
    style = rng.choice(["volume", "fills", "fills", "volumes"])
    if style == "volumes" and count > 1:
        texts = [f"{chamber * rng.uniform(0.992, 1.008):.{places}f}" for _ in range(count)]
        lines["chamber"] = ["volumes = [" + ", ".join(f'"{t} cc"' for t in texts) + "]"]
        result.chambers = [float(t) for t in texts]
    elif style == "fills":
        burette = rng.choice([size for size in (10, 25, 50, 100) if size > chamber / 4])
        fills, left = [], chamber
        while left > 0.02:
            start = rng.choice([0.0, round(rng.uniform(0.1, 1.5), 2)])
            run = min(left, burette - start - rng.uniform(0.0, 1.0))
            fills.append((f"{start:.2f}", f"{start + run:.2f}"))
            left -= run
        lines["chamber"] = [
            "fills = [" + ", ".join(f'["{a} mL", "{b} mL"]' for a, b in fills) + "]"
        ]
        result.fills = [(float(a), float(b)) for a, b in fills]
        result.chambers = [sum(b - a for a, b in result.fills)] * count
    else:
        result.chambers = [volume("chamber", "volume", chamber, places)] * count

    if rng.random() < 0.6:
        result.land_height = length("ring_land", "height", bore * rng.uniform(0.05, 0.09), (3, 1))
        result.land_clearance = length(
            "ring_land", "clearance", bore * rng.uniform(0.004, 0.008), (4, 2)
        )
    result.rod = rod
    if rng.random() < 0.7:
        result.closes = float(rng.randint(35, 75))
        lines["cam"] = [f'intake_closes = "{result.closes:.0f} deg"']

    order = ("cylinder", "chamber", "gasket", "deck", "piston", "ring_land", "cam")
    result.text = f'format = 1\nname = "Drawn {seed}"\n' + "".join(
        f"[{table}]\n" + "\n".join(lines[table]) + "\n" for table in order if table in lines
    )
    return result
