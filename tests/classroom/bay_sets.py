"""Class sets about an engine in the bay, and students who read it and work with what they read."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

from enginemath.answers.own_readings.boxes import ToRead
from enginemath.answers.own_readings.record import Record
from enginemath.classroom.sets.bay.make_bay_set import make_bay_set
from enginemath.classroom.sets.key import Entry
from enginemath.classroom.sets.make_set import ClassSet
from enginemath.classroom.sets.roster import Student
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.sheets import read_sheet
from enginemath.sheets.kit_data import path
from tests.classroom.class_sets import SECRET, class_of

INCH = 25.4
GRADUATION = 0.05


def make_bay(
    folder: Path,
    students: int | Sequence[Student] = 4,
    *engines: str,
    hints: bool = False,
    by_bank: bool = False,
) -> ClassSet:
    sheets = [read_sheet(path(f"{name}.toml")) for name in engines or ("heron-four",)]
    who = class_of(students) if isinstance(students, int) else students
    return make_bay_set(who, folder, sheets, ClassSecret(SECRET), hints=hints, by_bank=by_bank).made


class AtTheBench:
    """A student who reads one cylinder: every reading a little off, or one of them far.

    Args:
        record: of the cylinder.
        seed: of the hand.
        off: by what is read, how far it is off, in units of what is allowed.
    """

    def __init__(self, record: Record, seed: int = 0, off: Mapping[str, float] | None = None):
        self.record, self.rng, self.off = record, Random(seed), dict(off or {})
        self.texts: dict[str, str] = {}
        self.numbers: dict[str, float] = {}
        """In mm and cc, as a student has them who reads off the paper."""
        for thing in record.to_read:
            self._read(thing)

    def _read(self, thing: ToRead) -> None:
        expected = self.record.expected[thing.what]
        share = self.off.get(thing.what, self.rng.uniform(-0.3, 0.3))
        value = expected.value + share * expected.allowed
        if thing.fills:
            self._pour(thing, value)
        elif thing.sides == 2:
            rock = self.rng.uniform(0, 0.02)
            sides = [self._length(box.name, value + d, box.unit) for box, d in
                     zip(thing.boxes, (rock, -rock), strict=True)]  # fmt: skip
            self.numbers[thing.what] = sum(sides) / 2
        elif thing.unit == "cc":
            (box,) = thing.boxes
            self.texts[box.name] = f"{value:.2f} cc"
            self.numbers[thing.what] = round(value, 2)
        else:
            (box,) = thing.boxes
            self.numbers[thing.what] = self._length(box.name, value, box.unit)

    def _length(self, name: str, mm: float, unit: str) -> float:
        shown = round(mm / INCH, 4) if unit == "in" else round(mm, 2)
        self.texts[name] = f"{shown:.4f} in" if unit == "in" else f"{shown:.2f} mm"
        return shown * INCH if unit == "in" else shown

    def _pour(self, thing: ToRead, value: float) -> None:
        boxes = [box.name for box in thing.boxes]
        if thing.is_known_depth:
            depth = self._length(boxes.pop(0), self.record.readings.known_depth or 0, thing.unit)
            self.numbers["known depth"] = depth
            value += math.pi / 4 * self.record.readings.bore**2 * depth / 1000
        poured, fills = 0.0, (len(boxes) // 2) - 1
        for fill in range(fills):
            start = round(self.rng.uniform(0, 0.8) / GRADUATION) * GRADUATION
            part = (value - poured) / (fills - fill)
            end = round((start + part) / GRADUATION) * GRADUATION
            self.texts[boxes[2 * fill]] = f"{start:.2f} mL"
            self.texts[boxes[2 * fill + 1]] = f"{end:.2f} mL"
            poured += end - start
        self.numbers["poured" if thing.is_known_depth else thing.what] = poured

    def worked(self) -> dict[str, float]:
        """Every answer from the student's own numbers, apart from the library, in cc."""
        n, r = self.numbers, self.record.readings
        area = math.pi * (n["bore"] / 20) ** 2
        stroke = n.get("stroke") or n["depth at bdc"] - n["deck clearance"]
        swept = area * stroke / 10
        gasket = math.pi * (n["gasket bore"] / 20) ** 2 * n["compressed thickness"] / 10
        deck = area * n["deck clearance"] / 10
        crown = n.get("dish", 0.0) - n.get("dome", 0.0) + n.get("reliefs", 0.0)
        if "poured" in n:
            crown = n["poured"] - area * n["known depth"] / 10
        crevice = 0.0
        if "land height" in n:
            ring = (n["bore"] / 10) ** 2 - (n["land diameter"] / 10) ** 2
            crevice = math.pi / 4 * ring * n["land height"] / 10
        clearance = n["chamber"] + gasket + deck + crown + crevice
        return {
            "swept_volume": swept,
            "displacement": r.count * swept,
            "chamber_volume": n["chamber"],
            "gasket_volume": gasket,
            "deck_volume": deck,
            "crown_volume": crown,
            "clearance_volume": clearance,
            "compression_ratio": (swept + clearance) / clearance,
        }

    def paper(self, entry: Entry) -> dict[str, str]:
        """Readings and answers as they stand on a sheet."""
        assert entry.bay
        worked = self.worked()
        answers = {
            question.name: f"{question.written(worked[question.name])} {question.unit}".strip()
            for question in entry.level.questions
        }
        return {**self.texts, **answers}


def fill_in(text: str, written: Mapping[str, str]) -> str:
    """A notebook's text with readings and answers in its cells."""
    content = json.loads(text)
    for cell in content["cells"]:
        if cell["cell_type"] == "code":
            source = "".join(cell["source"])
            cell["source"] = [
                re.sub(
                    r'^(\w+) = ""',
                    lambda found: f'{found[1]} = "{written.get(found[1], "")}"',
                    source,
                    flags=re.MULTILINE,
                )
            ]
    return json.dumps(content, indent=1, ensure_ascii=False)


def hand_in_bay(made: ClassSet, folder: Path, entry: Entry, written: Mapping[str, str]) -> Path:
    """Put a student's filled notebook into a folder."""
    folder.mkdir(exist_ok=True)
    name = f"{entry.student.file}.ipynb"
    file = folder / name
    text = (made.students / name).read_text(encoding="utf-8")
    file.write_text(fill_in(text, written), encoding="utf-8")
    return file
