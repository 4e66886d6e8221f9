"""What `enginemath ratio` says of an engine: as data, and as a table a machinist can read."""

from __future__ import annotations

from typing import Any

from enginemath.bench.how_sure.propagation import Spread, propagate
from enginemath.bench.how_sure.ratio_of_readings import RatioModel
from enginemath.engine.parts import Engine
from enginemath.engine.running import POLYTROPIC_EXPONENT, cranking
from enginemath.engine.stack import PARTS, Stack, mean, stacks
from enginemath.engine.unusual import warnings
from enginemath.units import (
    Quantity,
    best,
    fixed,
    in_cc,
    in_mm,
    nominal,
    printable,
    shop_unit,
    show,
    show_ratio,
)
from enginemath.units.columns import folded, in_columns
from enginemath.units.words import count

BAR_WIDTH = 48
_CAUTION = "A computed ratio is not permission to run the engine."


def ratio_report(engine: Engine) -> dict[str, Any]:
    """The whole stack, the ratio of each cylinder, its uncertainty and warnings.

    Returns:
        Plain numbers and texts, ready for JSON: volumes in cc, lengths in mm, pressures in kPa.
        `u_compression_ratio` and `interval_95` are None where no reading carries an uncertainty.
        `effective_ratio` and the cranking pressures are there where rod and cam are known.

    >>> from enginemath.sheets.build_sheet import EXAMPLE, parse
    >>> report = ratio_report(parse(EXAMPLE).engine)
    >>> round(report["compression_ratio"], 2), report["u_compression_ratio"]
    (9.9, None)
    """
    cylinders = stacks(engine)
    spread = _spread(engine)
    ratio = nominal(mean([stack.ratio for stack in cylinders]))
    return {
        "name": engine.name,
        "displacement_cc": in_cc(engine.displacement),
        "swept_cc": in_cc(engine.cylinder.swept),
        "cylinders": [_cylinder(engine, number, stack) for number, stack in enumerate(cylinders)],
        "compression_ratio": ratio,
        "u_compression_ratio": spread and spread.u,
        "interval_95": spread and list(spread.interval_95),
        **({"uncertainty_method": spread.note} if spread else {}),
        **_running(engine),
        "warnings": warnings(engine),
    }


def _cylinder(engine: Engine, number: int, stack: Stack) -> dict[str, Any]:
    squish = engine.squish(number)
    return {
        "number": number + 1,
        **{f"{name}_cc": in_cc(volume) for name, volume in stack.parts.items()},
        "clearance_cc": in_cc(stack.clearance),
        "compression_ratio": nominal(stack.ratio),
        "squish_mm": None if squish is None else in_mm(squish),
    }


def _spread(engine: Engine) -> Spread | None:
    model = RatioModel(engine)
    return propagate(model, model.readings) if model.readings else None


def _running(engine: Engine) -> dict[str, float]:
    if engine.intake_closes is None or engine.cylinder.rod_length is None:
        return {}
    on_the_starter = [cranking(engine, number) for number in range(engine.count)]
    return {
        "effective_ratio": nominal(mean([c.effective_ratio for c in on_the_starter])),
        "cranking_pressure_kpa": nominal(mean([c.pressure.m_as("kPa") for c in on_the_starter])),
        "cranking_pressure_gauge_kpa": nominal(mean([c.gauge.m_as("kPa") for c in on_the_starter])),
        "polytropic_exponent": POLYTROPIC_EXPONENT,
    }


def ratio_text(engine: Engine, report: dict[str, Any]) -> str:
    """The report as a table for the shop, the volumes of cylinder 1 as parts of a drawn bar."""
    return "\n".join(
        [
            *_heading(engine, report),
            "",
            *_table(report, shop_unit(engine.cylinder.bore)),
            "",
            *_bar(report["cylinders"][0]),
            "",
            *folded(_findings(report)),
            *folded([f"! {warning}" for warning in report["warnings"]]),
            _CAUTION,
        ]
    )


def _heading(engine: Engine, report: dict[str, Any]) -> list[str]:
    cylinder = engine.cylinder
    unit = shop_unit(cylinder.bore)
    return [
        printable(engine.name),
        f"{count(engine.count, 'cylinder')}, bore {show(best(cylinder.bore), unit)}, "
        f"stroke {show(best(cylinder.stroke), unit)}, swept {report['swept_cc']:.2f} cc, "
        f"displacement {report['displacement_cc']:.1f} cc",
    ]


def _table(report: dict[str, Any], unit: str) -> list[str]:
    names = [f"{name}_cc" for name in (*PARTS, "clearance")]
    rows: list[tuple[str, ...]] = [
        ("cylinder", *PARTS, "clearance", "ratio", "squish"),
        ("", *("cc" for _ in names), "", unit),
    ]
    for cylinder in report["cylinders"]:
        squish = cylinder["squish_mm"]
        rows.append(
            (
                str(cylinder["number"]),
                *(fixed(cylinder[name], 2) for name in names),
                show_ratio(cylinder["compression_ratio"], 3),
                "-" if squish is None else show(Quantity(squish, "mm"), unit).split()[0],
            )
        )
    return in_columns(rows, right=range(len(rows[0])))


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


def _findings(report: dict[str, Any]) -> list[str]:
    ratio = report["compression_ratio"]
    lines = [f"Compression ratio {show_ratio(ratio)} (mean of the cylinders)"]
    if report["u_compression_ratio"] is not None:
        low, high = report["interval_95"]
        lines = [
            f"Compression ratio {show_ratio(ratio)} ± {show_ratio(report['u_compression_ratio'])} "
            f"(mean of the cylinders, one standard uncertainty); "
            f"95 %: {show_ratio(low)} to {show_ratio(high)}"
        ]
    ratios = [cylinder["compression_ratio"] for cylinder in report["cylinders"]]
    if len(ratios) > 1:
        lines.append(f"Cylinders from {show_ratio(min(ratios), 3)} to {show_ratio(max(ratios), 3)}")
    if "effective_ratio" in report:
        lines += [
            f"Effective ratio {show_ratio(report['effective_ratio'])}; on the starter about "
            f"{report['cranking_pressure_gauge_kpa']:.0f} kPa "
            f"({report['cranking_pressure_gauge_kpa'] / 6.894757:.0f} psi) on the gauge, with a "
            f"polytropic exponent of {report['polytropic_exponent']:g} (a rule of thumb)",
        ]
    return lines
