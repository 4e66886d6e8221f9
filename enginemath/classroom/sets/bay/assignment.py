"""One student's cylinder of an engine in the bay, and what is asked about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.own_readings.judging import OwnPaper, judge_own_paper
from enginemath.answers.own_readings.record import Record, record_from
from enginemath.classroom.sets.assignment import AnswerKey
from enginemath.classroom.sets.bay.benches import Bench
from enginemath.classroom.sets.levels import Level

NAME = "bay"


@dataclass(frozen=True)
class BayAssignment(AnswerKey):
    """What one student has to read and to work out.

    Args:
        level: see `bay_level`.
        name: of the engine.
        bench: where the student works.
        record: of the student's cylinder.
    """

    name: str
    bench: Bench
    record: Record

    @property
    def readings(self) -> Readings:
        """Those on record."""
        return self.record.readings

    @property
    def place(self) -> str:
        """The engine and the cylinder, in words."""
        bank = f", {self.bench.bank} bank" if self.bench.bank else ""
        return f"{self.name}, cylinder {self.bench.cylinder}{bank}"

    def judge(self, texts: Mapping[str, str]) -> OwnPaper:
        """Judge the readings by the record, and the answers by the readings."""
        asked = {question.name: texts.get(question.name, "") for question in self.questions}
        return judge_own_paper(self.record, texts, asked)

    def as_dict(self) -> dict[str, Any]:
        """Plain data, from which `bay_from` makes it again."""
        return {
            "engine": self.name,
            "bench": asdict(self.bench),
            "record": self.record.as_dict(),
            "questions": list(self.level.names),
        }


def bay_from(data: Mapping[str, Any]) -> BayAssignment:
    """A student's cylinder from its plain data."""
    level = _level(tuple(data["questions"]))
    record, bench = record_from(data["record"]), Bench(**data["bench"])
    return BayAssignment(level, data["engine"], bench, record)


def bay_level(records: Sequence[Record]) -> Level:
    """What is asked of a class: the whole stack, as far as its engines have it."""
    every = [record.readings for record in records]
    boxes = {box.name for record in records for box in record.boxes}
    names = {
        "swept_volume": True,
        "displacement": any(r.count > 1 for r in every),
        "chamber_volume": "read_chamber_start_1" in boxes,
        "gasket_volume": not any(r.gasket_poured for r in every),
        "deck_volume": True,
        "crown_volume": any(r.known_depth or r.dish or r.dome or r.reliefs for r in every),
        "clearance_volume": True,
        "compression_ratio": True,
    }
    return _level(tuple(name for name, is_asked in names.items() if is_asked))


def _level(names: tuple[str, ...]) -> Level:
    says = "the engine in the bay, from readings that the students take themselves"
    return Level(NAME, says, (), "flat", names, crevice=True)
