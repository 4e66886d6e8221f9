"""What `enginemath ratio` says of an engine: as data, and as a table a machinist can read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import pint
from uncertainties import ufloat

from enginemath.bench.how_sure.engine_results import EXPONENT_RANGE, EngineResults, Result
from enginemath.bench.how_sure.improvements import bringing, budget_of, improvements
from enginemath.bench.how_sure.interval import Source
from enginemath.engine.matching import WORTH_TAKING
from enginemath.engine.parts import Engine
from enginemath.engine.running import POLYTROPIC_EXPONENT
from enginemath.engine.stack import PARTS, Stack, mean, stacks
from enginemath.engine.unusual import warnings
from enginemath.sheets.bench_sheet import BenchFields
from enginemath.sheets.build_sheet import Sheet
from enginemath.sheets.fields import Fields
from enginemath.sheets.height_budget import BLOCK, PISTON
from enginemath.units import (
    CC,
    CC_PER_CUBIC_INCH,
    Quantity,
    best,
    fixed,
    in_cc,
    in_mm,
    magnitude_in,
    nominal,
    percent,
    printable,
    shop_unit,
    show,
    show_ratio,
)
from enginemath.units.columns import folded, in_columns
from enginemath.units.words import count

BAR_WIDTH = 48
SMALL = 0.01
"""Share of the variance below which a source is not named in words."""
_CAUTION = "A computed ratio is not permission to run the engine."


def ratio_report(
    engine: Engine, as_written: bool = True, also: Sequence[str] = (), unit: str = ""
) -> dict[str, Any]:
    """The whole stack, the ratio of each cylinder, its uncertainty and warnings.

    Args:
        engine: as measured, or as planned.
        as_written: whether its ± were written beside results (format 1); False where they come
            from readings.
        also: warnings of the readings that it came from.
        unit: of lengths in warnings, in or mm; by default that of the first bore.

    Returns:
        Plain numbers and texts, ready for JSON: volumes in cc, lengths in mm, pressures in kPa.
        Every ± and interval is None where no reading carries an uncertainty; degrees of freedom
        are None where they are large. `effective_ratio` and the cranking pressures are there
        where rod and cam are known; of a two-stroke it is `trapped_ratio`, where rod and exhaust
        port are. A `u_` is one standard uncertainty.

    >>> from enginemath.sheets.build_sheet import EXAMPLE, parse
    >>> report = ratio_report(parse(EXAMPLE).engine)
    >>> round(report["compression_ratio"], 2), report["u_compression_ratio"]
    (9.9, None)
    >>> report["taken_as_exact"][:2]
    ['bore', 'stroke']
    """
    results = EngineResults(engine, as_written)
    cylinders = stacks(engine)
    ratio = results.mean_ratio
    return {
        "name": engine.name,
        "strokes": engine.strokes,
        "displacement_cc": in_cc(engine.displacement),
        "swept_cc": float(nominal(mean([magnitude_in(CC, each.swept) for each in cylinders]))),
        "cylinders": [_cylinder(results, number, stack) for number, stack in enumerate(cylinders)],
        "compression_ratio": nominal(results.mean_of_ratios),
        "u_compression_ratio": ratio.u,
        "interval_95": _listed(ratio),
        "degrees_of_freedom": ratio.whole_degrees,
        **({"uncertainty_method": ratio.note} if ratio.note else {}),
        "taken_as_exact": results.taken_as_exact,
        "budget": _budget(results.sources),
        **_running(results),
        "warnings": [*also, *warnings(engine, unit)],
    }


def sheet_report(sheet: Sheet, unit: str = "") -> dict[str, Any]:
    """What `ratio_report` says of a sheet, with its record and the rows that were left out."""
    report = ratio_report(sheet.engine, not sheet.is_of_readings, sheet.warnings, unit)
    fields = sheet.readings
    for cylinder in report["cylinders"]:
        cylinder |= _measured(fields, cylinder["number"])
    if isinstance(fields, BenchFields):
        report["record"] = {name: str(value) for name, value in fields.record.items()}
        report["left_out"] = [
            f"row {row.number}, {row.what}{_of(row.cylinder)}: {row.left_out}"
            for row in fields.measured.left_out
        ]
    return report


_OF_READINGS = (
    *("bore_taper_mm", "bore_out_of_round_mm"),
    *("block_height_mm", "compression_height_mm"),
)


def _measured(fields: Fields, number: int) -> dict[str, float | None]:
    """What a cylinder's readings say besides its volumes, in mm; None where they do not."""
    if not isinstance(fields, BenchFields):
        return dict.fromkeys(_OF_READINGS)
    shape = fields.measured.bore_shape(number)
    heights = {
        f"{name}_mm": fields.height(path, number)
        for name, path in (("block_height", BLOCK), ("compression_height", PISTON))
    }
    return {
        "bore_taper_mm": shape.taper,
        "bore_out_of_round_mm": shape.out_of_round,
        **{name: None if value is None else in_mm(value) for name, value in heights.items()},
    }


def _of(cylinder: int) -> str:
    return f" of cylinder {cylinder}" if cylinder else ""


def _listed(result: Result) -> list[float] | None:
    return result.interval_95 and list(result.interval_95)


def _cylinder(results: EngineResults, number: int, stack: Stack) -> dict[str, Any]:
    engine = results.engine
    ratio, squish = results.ratio(number), results.squish(number)
    prechamber = engine.chambers[number].prechamber
    match = results.to_match[number]
    return {
        "number": number + 1,
        "bank": engine.banks[number] if engine.banks else None,
        "bore_mm": in_mm(engine.cylinders[number].bore),
        "deck_clearance_mm": in_mm(engine.decks[number].clearance),
        "swept_cc": in_cc(stack.swept),
        **{f"{name}_cc": in_cc(volume) for name, volume in stack.parts.items()},
        "clearance_cc": in_cc(stack.clearance),
        "prechamber_cc": None if prechamber is None else in_cc(prechamber),
        "take_to_match_cc": match.value,
        "u_take_to_match_cc": match.u,
        "compression_ratio": ratio.value,
        "u_compression_ratio": ratio.u,
        "interval_95": _listed(ratio),
        "degrees_of_freedom": ratio.whole_degrees,
        **({"uncertainty_method": ratio.note} if ratio.note else {}),
        "squish_mm": squish and squish.value,
        "u_squish_mm": squish and squish.u,
        "squish_interval_95_mm": squish and _listed(squish),
        **_of_running(results, number),
    }


def _of_running(results: EngineResults, number: int | None) -> dict[str, Any]:
    """Of one cylinder counted from 0, or the mean of all; empty where rod or cam is not known."""
    if not results.runs:
        return {}
    effective, gauge = results.effective_ratio(number), results.gauge_pressure(number)
    name = "trapped_ratio" if results.engine.is_two_stroke else "effective_ratio"
    return {
        name: effective.value,
        f"u_{name}": effective.u,
        f"{name}_interval_95": _listed(effective),
        "cranking_pressure_kpa": results.pressure(number),
        "cranking_pressure_gauge_kpa": gauge.value,
        "u_cranking_pressure_kpa": gauge.u,
        "cranking_pressure_gauge_interval_95_kpa": _listed(gauge),
    }


def _running(results: EngineResults) -> dict[str, Any]:
    found = _of_running(results, None)
    return {**found, "polytropic_exponent": POLYTROPIC_EXPONENT} if found else {}


def _budget(sources: Sequence[Source]) -> list[dict[str, Any]]:
    """Share of the variance of each source; with what would make the result surer, in 95 %."""
    better = {one.source: one for one in improvements(sources)}
    return [
        {
            "source": name,
            "share": share,
            **(
                {
                    "change": better[name].change,
                    "half_width_95": better[name].now,
                    "half_width_95_then": better[name].then,
                    "or_else": [
                        {"change": change, "half_width_95_then": then}
                        for change, then in better[name].or_else
                    ],
                }
                if name in better
                else {}
            ),
        }
        for name, share in budget_of(sources)
    ]


def ratio_text(engine: Engine, report: dict[str, Any], unit: str = "") -> str:
    """The report as a table for the shop, the volumes of cylinder 1 as parts of a drawn bar.

    Args:
        engine: of the report.
        report: see `ratio_report`.
        unit: "in" or "mm" of all lengths; by default that of the bore.
    """
    unit = unit or shop_unit(engine.cylinder.bore)
    return "\n".join(
        [
            *heading(engine, report, unit),
            "",
            *_table(report, unit),
            "",
            *_bar(report["cylinders"][0]),
            "",
            *folded(findings(report, unit)),
            *_budget_lines(report),
            *folded([f"! {warning}" for warning in report["warnings"]]),
            *folded([f"left out: {row}" for row in report.get("left_out", ())]),
            _CAUTION,
        ]
    )


def heading(engine: Engine, report: dict[str, Any], unit: str) -> list[str]:
    """Name, record and sizes, a line each."""
    record = [
        f"{name.replace('_', ' ')}: {printable(value)}"
        for name, value in report.get("record", {}).items()
        if value.strip()
    ]
    return [
        printable(engine.name),
        *folded(["; ".join(record)] if record else []),
        f"{count(engine.count, 'cylinder')}, "
        f"bore {_span([each.bore for each in engine.cylinders], unit)}, "
        f"stroke {_span([each.stroke for each in engine.cylinders], unit)}, "
        f"swept {report['swept_cc']:.2f} cc, "
        f"displacement {_size(report['displacement_cc'], unit)}",
    ]


def _span(lengths: Sequence[pint.Quantity], unit: str) -> str:
    """One length, or the least and the most of several."""
    said = sorted(
        {show(best(length), unit) for length in lengths}, key=lambda text: (len(text), text)
    )
    return said[0] if len(said) == 1 else f"{said[0].split()[0]} to {said[-1]}"


def _size(cc: float, unit: str) -> str:
    return f"{cc:.1f} cc ({cc / CC_PER_CUBIC_INCH:.1f} cu in)" if unit == "in" else f"{cc:.1f} cc"


def _table(report: dict[str, Any], unit: str) -> list[str]:
    names = [f"{name}_cc" for name in (*PARTS, "clearance")]
    unsure = report["u_compression_ratio"] is not None
    spread = ["95 %"] if unsure else []
    rows: list[tuple[str, ...]] = [
        ("cylinder", *PARTS, "clearance", "ratio", *spread, "squish"),
        ("", *("cc" for _ in names), "", *("" for _ in spread), unit),
    ]
    for cylinder in report["cylinders"]:
        limits = [_limits(cylinder["interval_95"])] if unsure else []
        squish = cylinder["squish_mm"]
        rows.append(
            (
                f"{cylinder['number']} {printable(cylinder['bank'] or '')}".rstrip(),
                *(fixed(cylinder[name], 2) for name in names),
                _with_spread(cylinder["compression_ratio"], cylinder["u_compression_ratio"]),
                *limits,
                "-" if squish is None else show(Quantity(squish, "mm"), unit).split()[0],
            )
        )
    return in_columns(rows, right=range(len(rows[0])))


def _with_spread(ratio: float, u: float | None) -> str:
    return f"{show_ratio(ratio, 3)} ± {u:.3f}" if u else show_ratio(ratio, 3)


def _limits(interval: list[float] | None) -> str:
    return f"{show_ratio(interval[0])} to {show_ratio(interval[1])}" if interval else "-"


def _bar(cylinder: dict[str, Any]) -> list[str]:
    """The parts of the clearance volume end to end; a dome or a raised piston takes away."""
    parts = {name: cylinder[f"{name}_cc"] for name in PARTS if cylinder[f"{name}_cc"]}
    positions, end = {}, 0.0
    for name, volume in parts.items():
        positions[name] = sorted((end, end + volume))
        end += volume
    scale = BAR_WIDTH / max(stop for _, stop in positions.values())

    def cells(start: float, stop: float, mark: str) -> str:
        first = round(start * scale)
        return " " * first + mark * max(1, round(stop * scale) - first)

    lines = [f"Clearance volume of cylinder {cylinder['number']}"]
    for name, (start, stop) in positions.items():
        mark = "█" if parts[name] > 0 else "░"
        lines.append(f"  {name:<10}{parts[name]:>8.2f} cc  {cells(start, stop, mark)}")
    lines.append(f"  {'together':<10}{end:>8.2f} cc  {cells(0, end, '▒')}")
    if any(volume < 0 for volume in parts.values()):
        lines.append("  ░ is taken away")
    return lines


def findings(report: dict[str, Any], unit: str = "mm") -> list[str]:
    """What was found, a sentence each: ratio, what was taken as exact, what it does running.

    Args:
        report: see `ratio_report`.
        unit: "in" or "mm" of all lengths.
    """
    ratio = report["compression_ratio"]
    lines = [f"Compression ratio {show_ratio(ratio)} (mean of the cylinders)"]
    if report["u_compression_ratio"] is not None:
        lines = [
            f"Compression ratio {show_ratio(ratio)} ± {show_ratio(report['u_compression_ratio'])} "
            f"(mean of the cylinders, one standard uncertainty); "
            f"95 %: {_limits(report['interval_95'])}{_of_degrees(report['degrees_of_freedom'])}"
        ]
        if report["taken_as_exact"]:
            lines.append(f"Taken as exact, no ± given: {', '.join(report['taken_as_exact'])}")
    if report["strokes"] == 2:
        lines[0] = f"Full stroke: {lines[0][0].lower()}{lines[0][1:]}"
    ratios = [cylinder["compression_ratio"] for cylinder in report["cylinders"]]
    if len(ratios) > 1:
        lines.append(f"Cylinders from {show_ratio(min(ratios), 3)} to {show_ratio(max(ratios), 3)}")
    if "polytropic_exponent" in report:
        lines.append(_on_the_starter(report))
    return [*lines, *_of_chambers(report), *_of_bores(report, unit), *_of_heights(report, unit)]


def _of_chambers(report: dict[str, Any]) -> Iterator[str]:
    """How much to take from which chamber to reach the largest."""
    cylinders = report["cylinders"]
    less = [c for c in cylinders if c["take_to_match_cc"] >= WORTH_TAKING]
    if not less:
        return
    taken = "; ".join(
        f"{cylinder['number']}: {show(_taken(cylinder), 'cc')}{_within_its_spread(cylinder)}"
        for cylinder in less
    )
    largest = max(cylinders, key=lambda cylinder: cylinder["chamber_cc"])
    yield (
        f"Chambers matched to the largest, no. {largest['number']} with "
        f"{fixed(largest['chamber_cc'], 2)} cc: take from {taken}. Pour again before grinding"
    )


def _taken(cylinder: dict[str, Any]) -> pint.Quantity:
    volume, u = cylinder["take_to_match_cc"], cylinder["u_take_to_match_cc"]
    return Quantity(ufloat(volume, u) if u else volume, CC)


def _within_its_spread(cylinder: dict[str, Any]) -> str:
    u = cylinder["u_take_to_match_cc"]
    return " (within its ±)" if u and cylinder["take_to_match_cc"] < 2 * u else ""


def _of_bores(report: dict[str, Any], unit: str) -> Iterator[str]:
    """Taper and out of round of the bores that were read at several places."""
    for name, key in (("Taper", "bore_taper_mm"), ("Out of round", "bore_out_of_round_mm")):
        found = [c for c in report["cylinders"] if c.get(key) is not None]
        if found:
            each = "; ".join(
                f"no. {c['number']} {show(Quantity(c[key], 'mm'), unit).split()[0]}" for c in found
            )
            yield f"{name} of the bores, {unit}: {each}"


def _of_heights(report: dict[str, Any], unit: str) -> Iterator[str]:
    """Block and compression height, measured or from the rest of the height budget."""
    for name, key in (("Block", "block_height_mm"), ("Compression", "compression_height_mm")):
        found = {
            c["number"]: show(Quantity(c[key], "mm"), unit)
            for c in report["cylinders"]
            if c.get(key)
        }
        if len({*found.values()}) == 1:
            yield f"{name} height {next(iter(found.values()))}"
        elif found:
            each = "; ".join(f"no. {number} {said.split()[0]}" for number, said in found.items())
            yield f"{name} height by cylinder, {unit}: {each}"


def _of_degrees(degrees: float | None) -> str:
    return "" if degrees is None else f" ({degrees:g} degrees of freedom)"


def _on_the_starter(report: dict[str, Any]) -> str:
    name = "trapped_ratio" if report["strokes"] == 2 else "effective_ratio"
    effective, gauge = show_ratio(report[name]), report["cranking_pressure_gauge_kpa"]
    if report[f"u_{name}"]:
        effective += f" ± {show_ratio(report[f'u_{name}'])}"
    low, high = report["cranking_pressure_gauge_interval_95_kpa"] or (gauge, gauge)
    return (
        f"{name.replace('_', ' ').capitalize()} {effective}; on the starter about {gauge:.0f} kPa "
        f"({gauge / 6.894757:.0f} psi) on the gauge, with a polytropic exponent of "
        f"{report['polytropic_exponent']:g} (a rule of thumb); 95 %: {low:.0f} to {high:.0f} kPa, "
        f"the exponent's range of {POLYTROPIC_EXPONENT - EXPONENT_RANGE:.2f} to "
        f"{POLYTROPIC_EXPONENT + EXPONENT_RANGE:.2f} in it"
    )


def budget_sentences(report: dict[str, Any]) -> list[str]:
    """Where the ± comes from, and what would make it smaller, a line each.

    >>> from enginemath.sheets.build_sheet import EXAMPLE, parse
    >>> unsure = ratio_report(parse(EXAMPLE.replace('"6.0 cc"', '"6.0 ± 0.3 cc"')).engine)
    >>> budget_sentences(unsure)
    ['dish: 100 %; half of this ± would bring 95 % from ± 0.079 to ± 0.040']
    """
    lines = []
    small = [line["share"] for line in report["budget"] if line["share"] < SMALL]
    if len(small) < 2:
        small = []
    for line in report["budget"][: len(report["budget"]) - len(small)]:
        said = f"{printable(line['source'])}: {percent(line['share'])}"
        if "change" in line:
            changes = [line, *line["or_else"]]
            said += "; " + bringing(
                line["half_width_95"],
                [(one["change"], one["half_width_95_then"]) for one in changes],
                decimals=3,
            )
        lines.append(said)
    if small:
        lines.append(f"{len(small)} others: {percent(sum(small))}")
    return lines


def _budget_lines(report: dict[str, Any]) -> list[str]:
    sentences = budget_sentences(report)
    if len(sentences) < 2:
        return []
    return ["Where the ± of the mean comes from:", *folded(f"  {one}" for one in sentences)]
