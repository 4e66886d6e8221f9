"""What the readings of an engine say so far, in few words and numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from enginemath.bench.how_sure.engine_results import EngineResults
from enginemath.bench.how_sure.improvements import budget_of
from enginemath.engine.parts import Engine
from enginemath.engine.stack import PARTS, mean, stacks
from enginemath.sheets.build_sheet import parse
from enginemath.sheets.so_far import usual_ranges, what_is_missing
from enginemath.units import CC, deviation, magnitude_in, nominal


@dataclass(frozen=True)
class Volume:
    """One part, cc: its ends, whether it was read, and its ± where all is read."""

    name: str
    low: float
    high: float
    known: bool
    u: float | None = None


@dataclass(frozen=True)
class SoFar:
    """What can be said.

    Args:
        volumes: swept volume and the parts of the clearance.
        ends: of the ratio: its 95 %; while readings are missing, over the usual range of those.
        ratio, u: where all is read.
        cylinders: each one's ratio, where all is read.
        missing: names of what the ratio still needs.
        shares: where the ± comes from, the largest first.
        warnings: of the readings.
    """

    volumes: tuple[Volume, ...]
    ends: tuple[float, float]
    ratio: float | None = None
    u: float | None = None
    cylinders: tuple[float, ...] = ()
    missing: tuple[str, ...] = ()
    shares: tuple[tuple[str, float], ...] = ()
    warnings: tuple[str, ...] = ()


def known_so_far(text: str, folder: Path, tables: Mapping[str, str]) -> SoFar:
    """What a sheet's readings say.

    Args:
        text: of the sheet.
        folder: in which its tables stand.
        tables: texts of tables by name, in place of files.

    Raises:
        SheetRefused: a sheet or a reading that cannot be.
    """
    fields, missing = what_is_missing(text, folder, tables)
    if missing:
        ranges, ends = usual_ranges(fields)
        volumes = tuple(Volume(name, *ranges[name]) for name in ("swept", *PARTS))
        return SoFar(volumes, ends, missing=tuple(missing), warnings=tuple(fields.warnings()))
    sheet = parse(text, folder, tables)
    return _of_engine(sheet.engine, tuple(sheet.warnings))


def _of_engine(engine: Engine, warnings: tuple[str, ...]) -> SoFar:
    results = EngineResults(engine)
    found = stacks(engine)
    volumes = []
    for name in ("swept", *PARTS):
        each = [
            magnitude_in(CC, stack.swept if name == "swept" else stack.parts[name])
            for stack in found
        ]
        middle = mean(each)
        volumes.append(
            Volume(name, float(nominal(middle)), float(nominal(middle)), True, deviation(middle))
        )
    ratio = results.mean_ratio
    return SoFar(
        volumes=tuple(volumes),
        ends=ratio.interval_95 or (ratio.value, ratio.value),
        ratio=ratio.value,
        u=ratio.u,
        cylinders=tuple(results.ratio(n).value for n in range(engine.count)),
        shares=tuple(budget_of(results.sources)),
        warnings=warnings,
    )
