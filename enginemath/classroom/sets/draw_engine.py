"""A plausible engine as a class would find it on the bench, drawn by chance."""

from __future__ import annotations

from random import Random
from typing import Any

from enginemath.answers.by_hand.volumes import MM3
from enginemath.classroom.sets.levels import Level
from enginemath.formulas.compression import clearance_for
from enginemath.formulas.geometry import annulus, disc
from enginemath.sheets import Sheet
from enginemath.units import MM_PER_INCH

_CYLINDERS = (2, 3, 5, 6, 8)
"""Not 4: the whole engine for one cylinder would give what the bore for the radius gives."""
_RATIOS = (8.2, 11.4)
_CLOSES = (40, 72)
"""When the intake closes, degrees after bottom dead centre."""
_BURETTE = 50.0
_GRADUATION = 0.05


class _Bench:
    """Readings written down in one unit of length, each with the decimals that a tool shows."""

    def __init__(self, rng: Random, unit: str):
        self.rng, self.unit = rng, unit
        self.mm = 1.0 if unit == "mm" else MM_PER_INCH

    def length(self, low: float, high: float, decimals: int) -> tuple[str, float]:
        """A length in mm between two, as text in its unit and as read, in mm."""
        return self.read(self.rng.uniform(low, high), decimals)

    def read(self, mm: float, decimals: int) -> tuple[str, float]:
        """A length as text in its unit, with two decimals more in inches, and as read, in mm."""
        text = f"{mm / self.mm:.{decimals if self.unit == 'mm' else decimals + 2}f}"
        return f"{text} {self.unit}", float(text) * self.mm

    def volume(self, low: float, high: float) -> tuple[str, float]:
        text = f"{self.rng.uniform(low, high):.1f}"
        return f"{text} cc", float(text)


def draw_engine(rng: Random, level: Level, name: str) -> Sheet:
    """Draw one engine and its raw readings.

    Raises:
        Refused: what was drawn cannot be; draw again.
    """
    bench = _Bench(rng, rng.choice(level.units))
    written: dict[str, Any] = {"format": 1, "name": name}
    bore_text, bore = bench.length(68.0, 101.0, 2)
    stroke = bore * rng.uniform(0.82, 1.12)
    deck_text, deck = bench.length(0.12, 0.60, 2)
    written["cylinder"] = {"count": rng.choice(_CYLINDERS), "bore": bore_text}
    written["deck"] = {"clearance": deck_text}
    if level.depth_at_bdc:
        written["deck"]["depth_at_bdc"], depth = bench.read(stroke + deck, 2)
        stroke = depth - deck
    else:
        written["cylinder"]["stroke"], stroke = bench.read(stroke, 2)

    opening_text, opening = bench.length(bore + 0.8, bore + 2.2, 1)
    thickness = rng.uniform(0.7, 1.6)
    free_text, _ = bench.read(thickness * rng.uniform(1.15, 1.3), 2)
    thickness_text, thickness = bench.read(thickness, 2)
    written["gasket"] = {
        "bore": opening_text,
        "compressed_thickness": thickness_text,
        "free_thickness": free_text,
    }

    clearance = clearance_for(rng.uniform(*_RATIOS), MM3 * disc(bore, stroke))
    crown = _draw_crown(bench, level, written, bore, clearance)
    room = clearance - crown - MM3 * (disc(bore, deck) + disc(opening, thickness))
    if level.crevice:
        height_text, height = bench.length(0.06 * bore, 0.08 * bore, 1)
        gap_text, gap = bench.length(0.0055 * bore, 0.0075 * bore, 2)
        written["ring_land"] = {"height": height_text, "clearance": gap_text}
        room -= MM3 * annulus(bore, bore - gap, height)
    if level.cam:
        written["cylinder"]["rod_length"], _ = bench.length(1.55 * stroke, 1.85 * stroke, 1)
        written["cam"] = {"intake_closes": f"{rng.randint(*_CLOSES)} deg"}
    written["chamber"] = {"fills": _draw_fills(rng, room, level.crown != "flat")}
    return Sheet(written)


def _draw_crown(
    bench: _Bench, level: Level, written: dict[str, Any], bore: float, clearance: float
) -> float:
    """Write the piston's crown, and give its volume."""
    if level.crown == "flat":
        return 0.0
    size = bench.rng.uniform(0.07, 0.16) * clearance
    if level.crown == "known depth":
        depth_text, depth = bench.read(bench.rng.uniform(0.11, 0.14) * bore, 2)
        poured = round((MM3 * disc(bore, depth) - size) / _GRADUATION) * _GRADUATION
        written["piston"] = {"known_depth": {"depth": depth_text, "poured": f"{poured:.2f} cc"}}
        return poured - MM3 * disc(bore, depth)
    dome = level.crown == "dish or dome" and bench.rng.random() < 0.4
    shape_text, shape = bench.volume(size, size)
    reliefs_text, reliefs = bench.volume(0.025 * clearance, 0.06 * clearance)
    written["piston"] = {"dome" if dome else "dish": shape_text, "reliefs": reliefs_text}
    return (-shape if dome else shape) + reliefs


def _draw_fills(rng: Random, volume: float, refilled: bool) -> list[list[str]]:
    """Readings of a burette, start and end, that pour a volume; refilled where it must be."""
    fills: list[list[str]] = []
    while volume > _GRADUATION:
        start = rng.choice([0.0, rng.uniform(0.2, 2.0)])
        share = rng.uniform(0.45, 0.65) if refilled and not fills else 1.0
        end = min(start + share * volume, _BURETTE - rng.uniform(0.5, 3.0))
        readings = [round(reading / _GRADUATION) * _GRADUATION for reading in (start, end)]
        fills.append([f"{reading:.2f} mL" for reading in readings])
        volume -= readings[1] - readings[0]
    return fills


def draw_target(rng: Random, sheet: Sheet, swept: float, clearance: float) -> float:
    """A target ratio, to one decimal, that another gasket reaches."""
    gasket = sheet.engine.gasket
    assert gasket.bore is not None
    assert gasket.compressed_thickness is not None
    bore, thickness = gasket.bore.m_as("mm"), gasket.compressed_thickness.m_as("mm")
    others = [mm / 100 for mm in range(50, 220, 5) if abs(mm / 100 - thickness) > 0.2]
    change = MM3 * disc(bore, rng.choice(others) - thickness)
    return round(1 + swept / (clearance + change), 1)
