"""Readings taken on a page: one box at a time, each on disk before the next is asked for.

`Recording` takes the messages of `docs/reference/lesson-pages.md` that speak of an engine of one's
own, as `session.Session` does those of a lesson.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from enginemath.drawing.taking.at_the_bench import Seen, at_the_bench
from enginemath.drawing.taking.known_so_far import Known, Part, known_so_far
from enginemath.drawing.taking.scenes import Taken
from enginemath.engine.rules_of_thumb import COMMON_PRACTICE
from enginemath.sheets import read_sheet
from enginemath.sheets.own_engine import known
from enginemath.sheets.own_engine.bench_record import BenchRecord, Box, Entry
from enginemath.sheets.own_engine.kept_table import Disagrees, cell_of
from enginemath.sheets.own_engine.slips import Cell
from enginemath.sheets.ratio_page import report_page
from enginemath.sheets.readings_table import Row
from enginemath.sheets.so_far import report_so_far
from enginemath.sheets.what_is_read import WHATS
from enginemath.units import Refused, true_minus

Reply = dict[str, Any]
ALL_TAKEN = "Every reading is taken. Look at all readings once more, then at the result."
_ROW_NAMES = {"crown": "dish", "crevice": "ring land"}


class Recording:
    """One engine open on one page.

    Args:
        sheet: the file.
        table: its table that is filled in; by default the first.
        now: the clock.

    Raises:
        SheetRefused: the sheet or a table cannot be.
    """

    def __init__(self, sheet: Path, table: str, now: Callable[[], datetime]):
        self.record = BenchRecord(sheet, table)
        self._now = now
        self._shown: str | None = None
        self.at: Box | None = self.record.first_open() or next(iter(self.record.boxes), None)
        if self.at is None:
            raise Refused(f"{self.record.table.path.name}: no readings to take; it has no row")

    def answer(self, name: str, given: dict[str, Any]) -> list[Reply]:
        """Take one message; tables that were changed elsewhere are read again before it."""
        self._fresh()
        replies: list[Reply] = getattr(self, name)(**given)
        return replies

    def is_of(self, other: Recording) -> bool:
        """Whether another page has the same sheet open."""
        return self.record.sheet == other.record.sheet

    def _fresh(self) -> None:
        """Stay at the same reading, wherever a table that was changed elsewhere has it now."""
        table, at = self.record.table, self.at
        key = table.key(at.number) if at in self.record.boxes and at else None
        if self.record.look_again() and key is not None and at is not None:
            now = [row.number for row in table.rows if table.key(row.number) == key]
            self.at = Box(now[0], at.cell) if now else None

    # What is shown

    def opened(self) -> list[Reply]:
        """The engine and the box that is next."""
        record = self.record
        told = [*record.table.told]
        record.table.told.clear()
        return [
            {
                "show": "engine",
                "sheet": record.sheet.name,
                "name": record.name,
                "group": record.group,
                "table": record.table.path.name,
                "after": record.is_after_work,
                "warnings": told,
            },
            self.box(),
        ]

    def box(self, said: Reply | None = None) -> Reply:
        """The box that is asked for now."""
        record, at = self.record, self._there()
        row = record.table.row(at.number)
        boxes = record.boxes
        taking = record.taking(row)
        text = self._shown = cell_of(row, at.cell)
        return {
            "show": "box",
            "number": boxes.index(at) + 1,
            "of": len(boxes),
            "what": row.what,
            "where": ", ".join(filter(None, (record.where(row), self._which(row, at)))),
            "how": taking.how,
            "name": record.name_of(at),
            "unit": record.unit(at),
            "tool": record.tool(at),
            "text": text.removesuffix(record.unit(at)).rstrip(),
            "left_out": row.left_out,
            "before": record.before(at),
            "poured": WHATS[row.what].is_poured,
            "order": [
                {"what": what, "done": done, "of": of, "tool": tool, "on": what == row.what}
                for what, done, of, tool in record.progress()
            ],
            "said": said,
            "picture": self.picture(text),
        }

    def _which(self, row: Row, at: Box) -> str:
        return at.cell if WHATS[row.what].is_poured and not row.reading else ""

    def _there(self) -> Box:
        """The box that is on; where the table has lost it, the first that is there."""
        if self.at not in self.record.boxes:
            self.at = self.record.first_open() or self.record.boxes[0]
        assert self.at is not None
        return self.at

    def picture(self, text: str) -> str:
        """The drawing, following what stands in the box."""
        record, at = self.record, self._there()
        row = record.table.row(at.number)
        cell = None
        if text.strip():
            try:
                cell = record.read(at, text)
            except Refused:
                cell = None
        taken = Taken(
            row.what,
            at.cell,
            row.place,
            cell.value if cell else None,
            f"{cell.digits} {cell.unit}" if cell else "?",
            "in" if record.unit(at) == "in" else "mm",
            self._middle(row, at),
        )
        title = f"{record.name_of(at)}, with the {record.tool(at)}"
        return at_the_bench(taken, self._seen(row), title).svg()

    def _middle(self, row: Row, at: Box) -> float | None:
        others = self.record.values(row, at.cell)
        return sum(others) / len(others) if others else None

    def _seen(self, row: Row) -> Seen:
        record = self.record
        same = [r for r in record.rows if r.what == row.what]
        cylinders = {r.cylinder for r in same if r.cylinder}
        done = {n for n in cylinders if all(record.is_done(r) for r in same if r.cylinder == n)}
        dots: dict[int, list[bool]] = {}
        if row.what == "deck clearance":
            for each in same:
                dots.setdefault(each.cylinder, []).append(record.is_done(each))
        own = [r.number for r in same if r.cylinder == row.cylinder]
        return Seen(
            banks=record.banks,
            at=row.cylinder,
            done=frozenset(done),
            dots=dots,
            at_place=own.index(row.number),
            notes=[note for each in same if (note := self._note(each))],
        )

    def _note(self, row: Row) -> tuple[str, str] | None:
        record = self.record
        cell = record.cells(row)[-1]
        if row.left_out or not cell_of(row, cell):
            return None
        about = [f"{row.cylinder}" if row.cylinder else "", row.place,
                 f"pour {row.pour}" if row.pour else ""]  # fmt: skip
        name = " · ".join(filter(None, about)) or row.what
        poured = record.poured(row) if WHATS[row.what].is_poured else None
        shown = f"{poured:.2f} cc" if poured is not None else cell_of(row, cell)
        return name, shown

    def known(self) -> list[Reply]:
        """What can be said so far, as a drawing; a refusal where a reading cannot be."""
        record = self.record
        text = record.sheet.read_text(encoding="utf-8-sig")
        try:
            found = known.known_so_far(text, record.sheet.parent, record.tables())
        except Refused as refusal:
            shown = Known([], "not yet", (str(refusal)[:110], ""))
            return [{"show": "known", "picture": _strip(shown), "warnings": [str(refusal)]}]
        return [
            {
                "show": "known",
                "picture": _strip(_shown(found)),
                "warnings": list(found.warnings),
                "missing": list(found.missing),
            }
        ]

    # What a hand does

    def draft(self, text: str) -> list[Reply]:
        """What stands in the box before it is taken."""
        return [{"show": "drawn", "picture": self.picture(text)}]

    def take(self, text: str, sure: bool = False) -> list[Reply]:
        """Take what stands in the box; the next box opens when it is on disk."""
        at = self._there()
        try:
            entry = self.record.take(at, text, sure, self._shown)
        except Disagrees as other:
            return [self.box(_said("near", "?", str(other), [("read again", "", False)])),
                    self._kept("")]  # fmt: skip
        except OSError as error:
            return self._not_kept(error)
        if entry.kept is None:
            return [_asked(entry, self.record.unit(at))]
        shown = f"{true_minus(entry.kept.digits)} {entry.kept.unit}"
        name = self.record.name_of(at)
        self.at = self.record.first_open(at) or at
        said = _said("right", "✓", f"{shown} · {name}")
        if self.record.first_open() is None:
            said = _said("right", "✓", ALL_TAKEN)
        return [self.box(said), self._kept(self.record.table.trouble)]

    def clear(self) -> list[Reply]:
        """Empty the box again."""
        try:
            self.record.clear(self._there())
        except (OSError, Disagrees) as error:
            return self._not_kept(error)
        return [self.box(_said("none", "·", "empty again")), self._kept(self.record.table.trouble)]

    def leave_out(self, text: str) -> list[Reply]:
        """Leave the row out, with a reason."""
        at = self._there()
        name = self.record.name_of(at)
        try:
            self.record.leave_out(at, text)
        except OSError as error:
            return self._not_kept(error)
        self.at = self.record.first_open(at) or at
        said = _said("none", "–", f"left out: {name}")
        return [self.box(said), self._kept(self.record.table.trouble)]

    def as_before(self) -> list[Reply]:
        """Take over what was read before the work."""
        at = self._there()
        what = self.record.table.row(at.number).what
        try:
            taken = self.record.as_before(at)
        except OSError as error:
            return self._not_kept(error)
        self.at = self.record.first_open(at) or at
        said = _said("none", "·", f"{what}: {taken} taken over from before the work")
        return [self.box(said), self._kept(self.record.table.trouble)]

    def add(self, kind: str) -> list[Reply]:
        """One row more: the burette filled again, or the same thing read anew."""
        try:
            self.at = self.record.add(self._there(), kind)
        except OSError as error:
            return self._not_kept(error)
        return [self.box()]

    def go(self, to: str) -> list[Reply]:
        """To another box: "back", "skip", a number of the order, or a kind of reading."""
        boxes, at = self.record.boxes, self._there()
        place = boxes.index(at)
        if to == "back":
            self.at = boxes[max(0, place - 1)]
        elif to == "skip":
            self.at = self.record.first_open(at) or at
            return [self.box(_said("none", "·", "skipped; it comes again at the end"))]
        elif re.fullmatch(r"[0-9]{1,6}", to):
            if not 1 <= int(to) <= len(boxes):
                raise Refused(f"there are {len(boxes)} boxes")
            self.at = boxes[int(to) - 1]
        else:
            self.at = self._first_of(to)
        return [self.box()]

    def _first_of(self, what: str) -> Box:
        of_kind = [b for b in self.record.boxes if self.record.table.row(b.number).what == what]
        if not of_kind:
            raise Refused(f'there is no reading "{what[:40]}" in the table')
        rows = self.record.table
        open_ones = [
            b for b in of_kind
            if not cell_of(rows.row(b.number), b.cell) and not rows.row(b.number).left_out
        ]  # fmt: skip
        return (open_ones or of_kind)[0]

    def readings(self) -> list[Reply]:
        """All readings, one line each.

        Those of other groups stand beside what was read already, so that nobody reads what they
        expect to.
        """
        record = self.record
        others: dict[tuple[str, ...], list[str]] = {}
        for row in record.others():
            if not row.is_blank:
                shown = row.reading or f"{row.start} to {row.end}"
                key = row.what, str(row.cylinder), row.place, row.pour
                others.setdefault(key, []).append(f"{row.group or 'no group'}: {shown}")
        lines = []
        for number, box in enumerate(record.boxes, start=1):
            row = record.table.row(box.number)
            first = box.cell == record.cells(row)[0]
            key = row.what, str(row.cylinder), row.place, row.pour
            is_read = first and record.is_done(row)
            lines.append(
                {
                    "number": number,
                    "what": row.what,
                    "cylinder": str(row.cylinder or ""),
                    "place": ", ".join(
                        filter(None, (row.place, row.pour and f"pour {row.pour}",
                                      row.fill and f"fill {row.fill}", self._which(row, box)))
                    ),
                    "text": cell_of(row, box.cell),
                    "unit": record.unit(box),
                    "tool": record.tool(box),
                    "left_out": row.left_out if first else "",
                    "before": record.before(box),
                    "others": "; ".join(others.get(key, [])) if is_read else "",
                    "name": record.name_of(box),
                }
            )  # fmt: skip
        return [{"show": "readings", "lines": lines, "after": record.is_after_work,
                 "groups": bool(others)}]  # fmt: skip

    def line(self, number: int, text: str, sure: bool = False) -> list[Reply]:
        """Take one line of the whole table."""
        boxes = self.record.boxes
        if not 1 <= number <= len(boxes):
            raise Refused(f"there are {len(boxes)} boxes")
        self.at = boxes[number - 1]
        self._shown = None
        if not text.strip():
            replies = self.clear()
        else:
            try:
                replies = self.take(text, sure)
            except Refused as refusal:
                return [{**_said("wrong", "✗", f"line {number}: {refusal}"), "line": number}]
        if replies[0]["show"] == "said":
            return [{**replies[0], "line": number, "text": text}]
        row = self.record.table.row(boxes[number - 1].number)
        kept = {"show": "line", "line": number, "text": cell_of(row, boxes[number - 1].cell)}
        return [kept, *[r for r in replies if r["show"] == "kept"]]

    def files(self) -> list[Reply]:
        """Sheet and table, to be saved by hand."""
        record = self.record
        record.table.look_again()
        return [
            {"show": "file", "name": record.table.path.name, "text": record.table.text},
            {
                "show": "file",
                "name": record.sheet.name,
                "text": record.sheet.read_text(encoding="utf-8-sig"),
            },
        ]

    def report(self) -> list[Reply]:
        """The result as a page to print, so far as it is known; after the work, beside before."""
        sheet = self.record.sheet
        every = [*filter(None, [self.record.sheet_before]), sheet]
        reports = [report_so_far(path) for path in every]
        engines = [
            None if report["missing"] else read_sheet(path).engine
            for path, report in zip(every, reports, strict=True)
        ]
        name = f"{sheet.stem}-{'before-and-after' if len(every) > 1 else 'ratio'}.html"
        return [{"show": "file", "name": name, "text": report_page(reports, engines)}]

    # What is kept

    def _kept(self, trouble: str = "") -> Reply:
        told = [*self.record.table.told, *filter(None, [trouble])]
        self.record.table.told.clear()
        return {"show": "kept", "at": self._now().strftime("%H:%M"), "told": told}

    def _not_kept(self, error: Exception) -> list[Reply]:
        reason = getattr(error, "strerror", None) or str(error)
        says = f"Not kept: {reason}. What you typed stays here; make room, then take it again."
        if isinstance(error, Disagrees):
            says = str(error)
        return [_said("wrong", "✗", says), {"show": "kept", "trouble": says}]


def _said(
    kind: str, sign: str, says: str, picks: list[tuple[str, str, bool]] | None = None
) -> Reply:
    return {
        "show": "said",
        "kind": kind,
        "sign": sign,
        "says": says,
        "picks": [
            {"label": label, "text": text, "sure": sure} for label, text, sure in picks or []
        ],
    }


def _asked(entry: Entry, unit: str) -> Reply:
    """A slip, as a question with its answers."""
    slip, cell = entry.slip, entry.cell
    assert slip is not None
    assert cell is not None
    picks: list[tuple[str, str, bool]] = []
    if slip.meant:
        picks.append((f"take {true_minus(slip.meant)}", slip.meant, True))
        says = f"{slip.asks}: did you mean {true_minus(slip.meant)}?"
    else:
        picks.append(("read again", "", False))
        says = f"{slip.asks}?" if slip.asks.endswith(("end", "exchanged")) else f"{slip.asks}."
        if not slip.asks.endswith(("again", "end", "exchanged")):
            says = f"{slip.asks}: read it again."
    if not cell.cannot:
        picks.append((f"{_as_typed(cell, unit)} is right", cell.text, True))
    return _said("near", "?", says, picks)


def _as_typed(cell: Cell, unit: str) -> str:
    return f"{true_minus(cell.digits)} {cell.unit or unit}"


def _shown(found: known.SoFar) -> Known:
    """The strip below the drawing."""
    parts = [
        Part(volume.name, _ROW_NAMES.get(volume.name, volume.name), _volume(volume), volume.known)
        for volume in found.volumes
        if volume.name != "crevice" or abs(volume.high) > 1e-9
    ]
    low, high = found.ends
    if found.ratio is None:
        wide = sorted((v for v in found.volumes if not v.known), key=lambda v: v.low - v.high)
        names = [_ROW_NAMES.get(v.name, v.name) for v in wide if v.name != "swept"][:2]
        if any(v.name == "swept" for v in wide):
            names = ["stroke", *names][:2]
        first = f"wide for want of {' and '.join(names)}: usual ranges stand in"
        missing = f"still to be read: {', '.join(found.missing)}"
        return Known(
            parts,
            f"ratio {low:.1f} to {high:.1f}",
            (first, _cut(missing, 72)),
            found.ends,
            foot=f"usual ranges: {COMMON_PRACTICE}",
        )
    spread = f" ± {found.u:.2f}" if found.u else ""
    ends = f"95 %: {low:.2f} to {high:.2f}"
    each = found.cylinders
    if len(each) > 1:
        ends += f"; cylinders from {min(each):.2f} to {max(each):.2f}"
    most = ", ".join(f"{name} {share:.0%}".replace("%", " %") for name, share in found.shares[:2])
    return Known(
        parts,
        f"ratio {found.ratio:.2f}{spread}",
        (ends, f"the ± comes mostly from {most}" if most else ""),
        found.ends,
        best=found.ratio,
        cylinders=each,
    )


def _volume(volume: known.Volume) -> str:
    if volume.u is not None:
        decimals = 1 if volume.low >= 100 else 2
        step = 10.0**-decimals
        return f"{true_minus(f'{volume.low:.{decimals}f}')} ± {max(volume.u, step):.{decimals}f} cc"
    decimals = 0 if volume.high - volume.low > 5 else 1 if volume.high >= 100 else 2
    ends = [true_minus(f"{end:.{decimals}f}") for end in (volume.low, volume.high)]
    said = f"{ends[0]} to {ends[1]} cc" if ends[0] != ends[1] else f"{ends[0]} cc"
    return said if volume.known else f"{said}, usual"


def _cut(text: str, length: int) -> str:
    if len(text) <= length:
        return text
    return f"{text[: length - 2].rpartition(' ')[0].rstrip(',')} …"


def _strip(shown: Known) -> str:
    """The strip as SVG."""
    return known_so_far(shown).svg()
