"""Class sets for the tests, and students who fill them in."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import nbformat

from enginemath.classroom.sets.key import Entry
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.make_set import ClassSet, make_class_set
from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.secret import ClassSecret

SECRET = "tin heron, second year"


def class_of(count: int) -> list[Student]:
    return [
        Student(f"{1000 + number}", f"Student {number}", "ABC"[number % 3])
        for number in range(count)
    ]


def make(folder: Path, count: int = 4, level: str = "full", **options: Any) -> ClassSet:
    return make_class_set(class_of(count), folder, LEVELS[level], ClassSecret(SECRET), **options)


def right(entry: Entry) -> dict[str, str]:
    """The right answers as they should be written."""
    return {name: entry.assignment.written(name) for name in entry.assignment.right}


def filled(text: str, answers: Mapping[str, str]) -> str:
    """A notebook's text with answers in its cells."""
    content = json.loads(text)
    for cell in content["cells"]:
        source = "".join(cell["source"])
        name, is_answer, _ = source.partition(' = ""')
        if is_answer and name in answers:
            cell["source"] = [f'{name} = "{answers[name]}"']
    return json.dumps(content, indent=1, ensure_ascii=False)


def with_hints(folder: Path, level: str) -> tuple[Path, Entry]:
    """A student's notebook that checks answers, and what the key says of it."""
    made = make(folder, 1, level, hints=True)
    (file,) = made.students.glob("*.ipynb")
    (entry,) = made.key.entries
    return file, entry


def run_cells(file: Path, answers: Mapping[str, str]) -> dict[str, object]:
    """Run a notebook's cells with answers in them; the names that they leave."""
    names: dict[str, object] = {}
    for cell in nbformat.reads(filled(file.read_text(encoding="utf-8"), answers), 4).cells:
        if cell.cell_type == "code":
            exec(cell.source, names)
    return names


def hand_in(made: ClassSet, folder: Path, entry: Entry, answers: Mapping[str, str]) -> Path:
    """Put a student's filled notebook into a folder."""
    folder.mkdir(exist_ok=True)
    name = f"{entry.student.file}.ipynb"
    file = folder / name
    text = (made.students / name).read_text(encoding="utf-8")
    file.write_text(filled(text, answers), encoding="utf-8")
    return file


def by_hand(written: Mapping[str, Any], target: float | None = None) -> dict[str, float]:
    """Every answer from a sheet's texts, worked apart from the library in cm and cc."""
    cm = {"mm": 0.1, "in": 2.54}

    def length(text: str) -> float:
        number, unit = text.split(" ")
        return float(number) * cm[unit]

    def cc(text: str) -> float:
        return float(re.sub(r" (cc|mL)$", "", text))

    cylinder, deck_table, gasket = written["cylinder"], written["deck"], written["gasket"]
    bore, deck = length(cylinder["bore"]), length(deck_table["clearance"])
    if "stroke" in cylinder:
        stroke = length(cylinder["stroke"])
    else:
        stroke = length(deck_table["depth_at_bdc"]) - deck
    area = math.pi * (bore / 2) ** 2
    opening = math.pi * (length(gasket["bore"]) / 2) ** 2
    thickness = length(gasket["compressed_thickness"])
    piston = written.get("piston", {})
    if "known_depth" in piston:
        known = piston["known_depth"]
        crown = cc(known["poured"]) - area * length(known["depth"])
    else:
        crown = cc(piston.get("dish", "0 cc")) - cc(piston.get("dome", "0 cc"))
        crown += cc(piston.get("reliefs", "0 cc"))
    crevice = 0.0
    if "ring_land" in written:
        land = bore - length(written["ring_land"]["clearance"])
        crevice = math.pi / 4 * (bore**2 - land**2) * length(written["ring_land"]["height"])
    chamber = sum(cc(end) - cc(start) for start, end in written["chamber"]["fills"])
    swept = area * stroke
    clearance = chamber + opening * thickness + area * deck + crown + crevice
    answers = {
        "swept_volume": swept,
        "displacement": swept * cylinder["count"],
        "gasket_volume": opening * thickness,
        "deck_volume": area * deck,
        "crown_volume": crown,
        "clearance_volume": clearance,
        "compression_ratio": 1 + swept / clearance,
    }
    if "cam" in written:
        radius, rod = stroke / 2, length(cylinder["rod_length"])
        turned = math.radians(180 + float(written["cam"]["intake_closes"].removesuffix(" deg")))
        lean = math.asin(radius * math.sin(turned) / rod)
        drop = radius + rod - radius * math.cos(turned) - rod * math.cos(lean)
        answers |= {
            "piston_drop": 10 * drop,
            "trapped_volume": area * drop,
            "effective_ratio": (area * drop + clearance) / clearance,
        }
    if target is not None:
        wanted = swept / (target - 1)
        new = thickness + (wanted - clearance) / opening
        answers |= {
            "wanted_clearance": wanted,
            "volume_change": wanted - clearance,
            "gasket_thickness": 10 * new,
            "squish_clearance": 10 * (new + deck),
        }
    return answers
