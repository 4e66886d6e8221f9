"""Printed records of engines held against the formula: do bore and stroke make the printed size?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache

from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.formulas.geometry import disc
from enginemath.sheets.kit_data import rows
from enginemath.units import Quantity, Refused, nominal, signed

SIZE = Limit("size", "cu_in", 0, 5000, above_low=True)
SAME = 5e-4
"""Half of the last printed digit, in inches: numbers nearer than this are printed alike."""


@dataclass(frozen=True)
class Record:
    """One printed row: bore and stroke in inches, size in cubic inches.

    >>> record = record_of(55)
    >>> print(record.worked_out, record.off)
    93.9 3.2
    """

    row: int
    bore: float
    stroke: float
    cylinders: int
    size: float

    @property
    def worked_out(self) -> float:
        """Size that bore, stroke and cylinders make, in cubic inches, to a tenth."""
        return round(self._exact, 1)

    @property
    def off(self) -> float:
        """Size worked out less size printed, in per cent of the printed one, to a tenth."""
        return round(100 * (self._exact / self.size - 1), 1) + 0.0

    @property
    def _exact(self) -> float:
        return self.cylinders * disc(self.bore, self.stroke)


@cache
def records() -> tuple[Record, ...]:
    """The records of 1985 that print a bore and a stroke, in the order of the rows.

    >>> len(records())
    201
    """
    return tuple(
        Record(
            int(row["row"]),
            float(row["bore_in"]),
            float(row["stroke_in"]),
            int(row["cylinders"]),
            float(row["engine_size_cuin"]),
        )
        for row in rows("cars-1985.csv")
        if row["bore_in"] and row["stroke_in"]
    )


def record_of(row: int) -> Record:
    """The record in a row.

    Raises:
        Refused: no such row, or one without bore and stroke.
    """
    for record in records():
        if record.row == row:
            return record
    raise Refused(f"row {row!r:.20}: no such row with a bore and a stroke; write one from 1 to 205")


def what_if(
    printed: Record,
    *,
    bore: str | None = None,
    stroke: str | None = None,
    cylinders: int | None = None,
    size: str | None = None,
) -> Record:
    """The record with other numbers in place of the printed ones.

    Args:
        printed: the record as it stands.
        bore, stroke: text with a unit of length.
        cylinders: a whole number.
        size: text with a unit of volume.

    Raises:
        Refused: nothing written, or a number that cannot be.

    >>> print(*evidence(record_of(55), what_if(record_of(55), bore="3.03 in")), sep="\\n")
    row 55 as printed: 93.9 cu in worked out, 91 printed: +3.2 %
    with bore 3.03 in: 90.9 cu in worked out, 91 printed: −0.2 %
    printed digits changed: 1
    the same bore, stroke, cylinders and size stand in rows 51 to 54
    """
    changes: dict[str, float] = {}
    for name, written, limit, unit in (
        ("bore", bore, limits.BORE, "inch"),
        ("stroke", stroke, limits.STROKE, "inch"),
        ("size", size, SIZE, "cu_in"),
    ):
        if written is not None:
            changes[name] = _number(name, written, limit, unit)
    if cylinders is not None:
        changes["cylinders"] = _count(cylinders)
    return replace(printed, **changes)  # type: ignore[arg-type]


def _number(name: str, written: str, limit: Limit, unit: str) -> float:
    if isinstance(written, str) and not written.strip():
        raise Refused(f"{name}: nothing written yet")
    if not isinstance(written, (str, Quantity)):
        raise Refused(f"{name} {written!r:.40}: write it in quotes, with its unit")
    return float(nominal(limit.accept(written).m_as(unit)))


def _count(cylinders: int) -> int:
    whole = isinstance(cylinders, int) and not isinstance(cylinders, bool)
    if not whole or not 1 <= cylinders <= limits.MOST_CYLINDERS:
        raise Refused(f"cylinders {cylinders!r:.20}: write a whole number, without quotes")
    return cylinders


def evidence(printed: Record, other: Record) -> list[str]:
    """What speaks for other numbers: how far off, how much is changed, where they stand already."""
    return [
        f"row {printed.row} as printed: {_compared(printed)}",
        f"with {', '.join(_changes(printed, other)) or 'nothing changed'}: {_compared(other)}",
        _how_much(printed, other),
        _elsewhere(other),
    ]


def _compared(record: Record) -> str:
    off = signed(record.off, 1)
    return f"{record.worked_out:.1f} cu in worked out, {record.size:g} printed: {off} %"


def _changes(printed: Record, other: Record) -> Iterator[str]:
    for name, unit in (("bore", " in"), ("stroke", " in"), ("cylinders", ""), ("size", " cu in")):
        if getattr(printed, name) != getattr(other, name):
            yield f"{name} {_printed(other, name)}{unit}"


def _printed(record: Record, name: str) -> str:
    value = getattr(record, name)
    return f"{value:.2f}" if name in ("bore", "stroke") else f"{value:g}"


def _how_much(printed: Record, other: Record) -> str:
    if (printed.bore, printed.stroke) == (other.stroke, other.bore) != (other.bore, other.stroke):
        return "bore and stroke are exchanged"
    changed = 0
    for name in ("bore", "stroke", "cylinders", "size"):
        before, after = _printed(printed, name), _printed(other, name)
        width = max(len(before), len(after))
        pairs = zip(before.rjust(width), after.rjust(width), strict=True)
        changed += sum(a != b for a, b in pairs)
    return f"printed digits changed: {changed}"


def _elsewhere(other: Record) -> str:
    pairs = [r for r in records() if r.row != other.row and _alike(r, other)]
    whole = [r for r in pairs if (r.cylinders, r.size) == (other.cylinders, other.size)]
    if whole:
        where = spoken_rows(r.row for r in whole)
        return f"the same bore, stroke, cylinders and size stand in {where}"
    if pairs:
        where = spoken_rows(r.row for r in pairs)
        return f"this bore and stroke stand in {where}, of another size"
    return "no other row has this bore and stroke"


def _alike(one: Record, other: Record) -> bool:
    return abs(one.bore - other.bore) < SAME and abs(one.stroke - other.stroke) < SAME


def spoken_rows(numbers: Iterable[int]) -> str:
    """Row numbers as they are said: ``rows 90, 92 to 99``.

    >>> spoken_rows([94, 90, 92, 93]), spoken_rows([112, 111]), spoken_rows([135])
    ('rows 90, 92 to 94', 'rows 111, 112', 'row 135')
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    alone = len(runs) == 1 and len(runs[0]) == 1
    return f"{'row' if alone else 'rows'} {', '.join(said)}"
