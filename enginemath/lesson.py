"""What a lesson's first line imports: trade words, a check, and errors in plain sentences."""

from __future__ import annotations

import atexit
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import pint

from enginemath import (
    atmosphere,
    bench_check,
    misprints,
    order_check,
    running_check,
    size_check,
    sure_check,
)
from enginemath.bench import (
    WATER,
    Fill,
    Repeats,
    at_temperature,
    bore_after_overbore,
    deck_clearance,
    flat_plate_crown,
    known_depth_crown,
    poured_volume,
    what_the_crown_is,
)
from enginemath.best_value import best_value, on_paper, readings_of
from enginemath.buildsheet import Sheet, read_sheet, write_sheet
from enginemath.choosing import (
    by_wish,
    choice_of,
    compared,
    judged,
    of_wanted_clearance,
    price_list,
    verdict,
    with_target,
)
from enginemath.claims import against_claims
from enginemath.classroom import diagnose
from enginemath.compression import clearance_for, clearance_volume, compression_ratio, height_of
from enginemath.cycle import compressed_temperature, efficiency_gain, otto_efficiency
from enginemath.datasets import cars, path
from enginemath.fuel import fuel_advice
from enginemath.geometry import annulus, cos, cylinder_volume, disc, piston_drop, sin
from enginemath.groupsheet import deck_sides, every_pour, group_sheet, record
from enginemath.instruments import (
    CALIPER,
    DEPTH_GAUGE,
    DIAL_INDICATOR,
    MICROMETER,
    Instrument,
    burette,
    combined,
    rectangular,
)
from enginemath.labels import named
from enginemath.machining import cut_deck, cut_head, effect, fit_gasket, fit_piston, metal_left
from enginemath.measuring_system import analyse
from enginemath.panels import (
    add_it_up,
    bore_and_stroke,
    build_sheet,
    cc_the_chamber,
    choose_the_change,
    dish_and_dome,
    fuel_air_and_cam,
    gasket_and_deck,
    how_sure,
    read_the_tools,
    two_volumes,
    write_a_number,
)
from enginemath.panels.engines import EngineOrName, engine_of
from enginemath.parts import Gasket, Piston
from enginemath.propagation import propagate
from enginemath.ratio_model import RatioModel
from enginemath.readings import (
    ByGroup,
    chamber_pours,
    deck_readings,
    fills,
    gauge_readings,
    known_depth_crowns,
)
from enginemath.report import ratio_report, ratio_text
from enginemath.rules import (
    CHAMBERS_MATCHED,
    COMPRESSION_TEST,
    CRANKING_EXPONENT,
    EFFECTIVE_RATIO,
    OCTANE_WITH_ALTITUDE,
    PISTON_BELOW_DECK,
    POURS,
    PREMIUM_ALUMINIUM_HEAD,
    PREMIUM_IRON_HEAD,
    REGULAR_FUEL,
    SQUISH,
    Rule,
)
from enginemath.running import (
    cranking,
    cranking_pressure,
    effective_ratio,
    gauge_pressure,
    pressure_at_altitude,
    swept_from_intake_closing,
    timing_note,
)
from enginemath.size_chart import chart_of_sizes
from enginemath.stack import mean_ratio, stacks
from enginemath.study import Study, read_study
from enginemath.sure_check import doubts_table, study_table
from enginemath.tester import CompressionTest
from enginemath.tool_to_read import StillTool, reading_verdict, show_tool, tool_to_read
from enginemath.uncertainty import budget
from enginemath.units import (
    Number,
    Refused,
    best,
    in_plain_words,
    nominal,
    read,
    read_as,
    show,
    show_ratio,
)
from enginemath.workorder import Height, WorkOrder, order_link, order_text, work_order
from enginemath.writing import TASKS, how_read

if TYPE_CHECKING:
    from enginemath.planning.options import Options

__all__ = [
    "CALIPER",
    "CHAMBERS_MATCHED",
    "COMPRESSION_TEST",
    "CRANKING_EXPONENT",
    "DEPTH_GAUGE",
    "DIAL_INDICATOR",
    "EFFECTIVE_RATIO",
    "MICROMETER",
    "OCTANE_WITH_ALTITUDE",
    "PISTON_BELOW_DECK",
    "POURS",
    "PREMIUM_ALUMINIUM_HEAD",
    "PREMIUM_IRON_HEAD",
    "REGULAR_FUEL",
    "SQUISH",
    "WATER",
    "CompressionTest",
    "Fill",
    "Gasket",
    "Height",
    "Piston",
    "RatioModel",
    "Repeats",
    "Sheet",
    "add_it_up",
    "against_claims",
    "analyse",
    "annulus",
    "at_temperature",
    "atmosphere",
    "best",
    "best_value",
    "bore_after_overbore",
    "bore_and_stroke",
    "budget",
    "build_sheet",
    "burette",
    "cars",
    "cc_the_chamber",
    "chamber_pours",
    "chart_of_sizes",
    "check",
    "check_above_piston",
    "check_altitude",
    "check_bored_out",
    "check_choice",
    "check_combined",
    "check_compression_test",
    "check_deck",
    "check_deck_after",
    "check_gauge",
    "check_improve",
    "check_mean",
    "check_mean_uncertainty",
    "check_metal_left",
    "check_misprint",
    "check_odd_group",
    "check_odd_pour",
    "check_on_paper",
    "check_place",
    "check_pour",
    "check_reading",
    "check_squish",
    "check_tool_uncertainty",
    "check_wanted_clearance",
    "check_written",
    "choice_of",
    "choose_the_change",
    "clearance_for",
    "clearance_volume",
    "combined",
    "compare_choice",
    "compressed_temperature",
    "compression_ratio",
    "cos",
    "cranking",
    "cranking_pressure",
    "cut_deck",
    "cut_head",
    "cylinder_volume",
    "deck_clearance",
    "deck_readings",
    "deck_sides",
    "disc",
    "dish_and_dome",
    "doubts_table",
    "effect",
    "effective_ratio",
    "efficiency_gain",
    "fills",
    "fit_gasket",
    "fit_piston",
    "flat_plate_crown",
    "fuel_advice",
    "fuel_air_and_cam",
    "gasket_and_deck",
    "gauge_pressure",
    "gauge_readings",
    "givens",
    "group_sheet",
    "how_sure",
    "known_depth_crown",
    "known_depth_crowns",
    "load_options",
    "load_sheet",
    "load_study",
    "mean_ratio",
    "named",
    "nominal",
    "on_paper",
    "order_text",
    "otto_efficiency",
    "piston_drop",
    "poured_volume",
    "pressure_at_altitude",
    "propagate",
    "read",
    "read_sheet",
    "read_study",
    "read_the_tools",
    "readings_of",
    "rectangular",
    "scratch_folder",
    "show",
    "show_layers",
    "show_limits",
    "show_link",
    "show_metal_left",
    "show_order",
    "show_pours",
    "show_prices",
    "show_ratio",
    "show_reading",
    "show_record",
    "show_report",
    "show_task",
    "show_tool",
    "show_wishes",
    "show_without",
    "sin",
    "stacks",
    "study_table",
    "swept_from_intake_closing",
    "timing_note",
    "tool_to_read",
    "try_all",
    "two_volumes",
    "what_if",
    "what_the_crown_is",
    "with_target",
    "work_order",
    "write_a_number",
    "write_sheet",
]


def load_sheet(name: str) -> Sheet:
    """Open one of the kit's build sheets by its short name: ``"heron-four"``.

    Raises:
        Refused: no such sheet.

    >>> load_sheet("heron-four").name
    'Heron Four'
    """
    return read_sheet(path(f"{name}.toml"))


def load_options(name: str) -> Options:
    """Open the price list of one of the kit's engines by its short name: ``"heron-four"``.

    Raises:
        Refused: no such list.

    >>> load_options("heron-four").target.aim
    9.25
    """
    from enginemath.planning.reading import read_options

    return read_options(path(f"{name}-options.toml"))


def load_study(name: str) -> Study:
    """Open the class's readings of the same chambers by their short name: ``"class-chambers"``.

    Raises:
        Refused: no such readings.

    >>> load_study("class-chambers").groups
    ('A', 'B', 'C', 'D', 'E')
    """
    return read_study(path(f"{name}.csv"))


def show_without(study: Study, *, group: Any) -> None:
    """Print how well a class measures with one group left out.

    >>> show_without(load_study("class-chambers"), group="")
    group: nothing written yet
    """
    letter = _as_written(group).strip()
    if not letter:
        print("group: nothing written yet")
        return
    try:
        system = analyse(sure_check.without(study, letter.upper()))
    except Refused as refusal:
        print(refusal)
        return
    print(system.table(), system.verdict(), sep="\n")
    print("kinds of chamber that can be told apart:", system.categories)


def show_layers(volume: Any, **widths: str) -> None:
    """Print how thick a volume lies on discs of some widths, a line for each.

    >>> show_layers("0.78 cc", spark_plug="14 mm")
    spark plug: 5.067 mm = 0.1995 in
    """
    text = _as_written(volume)
    if not text.strip():
        print("offset: nothing written yet")
        return
    try:
        lying = read_as(text, "cc")
    except Refused as refusal:
        print(refusal)
        return
    for name, width in widths.items():
        layer = height_of(lying, read(width)).to("mm")
        print(f"{name.replace('_', ' ')}: {show(layer, 'mm')} = {show(layer, 'in')}")


def show_prices(options: Options) -> None:
    """Print what the shop can fit and cut, and for how much."""
    print(price_list(options))


def show_limits(sheet: Sheet, options: Options) -> None:
    """Print what is wanted of an engine, and which limits it breaks as it is.

    >>> show_limits(load_sheet("heron-four"), load_options("heron-four"))
    ratio 8.606 to 8.682, wanted 9.000 to 9.500: BROKEN
    squish 1.730 to 1.790 mm, wanted 0.900 to 1.150 mm: BROKEN
    deck clearance 0.380 to 0.440 mm, wanted 0.000 mm or more: kept
    """
    print(*judged(sheet.engine, options), sep="\n")


def scratch_folder() -> Path:
    """A fresh folder for files that need not be kept; it goes when the notebook is closed."""
    folder = TemporaryDirectory(prefix="enginemath-", ignore_cleanup_errors=True)
    atexit.register(folder.cleanup)
    return Path(folder.name)


def show_report(sheet: Sheet) -> None:
    """Print an engine's whole stack, its ratios and their uncertainty."""
    print(ratio_text(sheet.engine, ratio_report(sheet.engine)))


def show_order(
    sheet: Sheet, options: Options, *, block: Height | None = None, **choice: str
) -> None:
    """Print a work order, or why it may not be written.

    Args:
        sheet: the engine as measured.
        options: the price list.
        block: height of the block against the maker's minimum.
        choice: see `check_choice`.

    >>> show_order(load_sheet("heron-four"), load_options("heron-four"),
    ...            gasket="as measured", piston="", deck_cut="0 mm", head_cut="0 mm")
    piston: nothing written yet; write "as measured" to keep it
    """
    try:
        print(order_text(work_order(sheet, options, choice_of(options, **choice), block=block)))
    except Refused as refusal:
        print(refusal)


def show_link(order: WorkOrder) -> None:
    """Show a link that saves a work order as a page to print."""
    from IPython.display import HTML, display

    display(HTML(order_link(order)))


def show_metal_left(height: str, *, minimum: str, cut: str) -> None:
    """Print how much may still be cut after a cut, or why the cut may not be made.

    Args:
        height: of head or block as measured now, a length.
        minimum: the least height that the maker allows, a length.
        cut: planned, a length.

    >>> show_metal_left("212.46 mm", minimum="212.10 mm", cut="0.35 mm")
    left to cut after this: 0.010 mm = 0.0004 in
    """
    try:
        left = metal_left(height, minimum, cut)
    except Refused as refusal:
        print(refusal)
    else:
        print(f"left to cut after this: {show(left, 'mm')} = {show(left, 'in')}")


def try_all(sheet: Sheet, options: Options, top: int = 3) -> None:
    """Try every combination on a price list; print the best, or the nearest misses."""
    from enginemath.planning import plan_report, plan_text

    print(plan_text(plan_report(sheet, options, top)))


def show_wishes(sheet: Sheet, options: Options) -> None:
    """Of all plans that keep to every limit, print the one that serves each wish best.

    >>> show_wishes(load_sheet("heron-four"), load_options("heron-four"))
    wish         price  ratio  tightest squish  deck cut  head cut  gasket        piston
    cheapest     208    9.221  0.980 mm         0.350 mm  0.000 mm  medium steel  as measured
    best squish  222    9.263  0.930 mm         0.250 mm  0.000 mm  thin steel    as measured
    least metal  370    9.182  1.030 mm         0.000 mm  0.000 mm  medium steel  tall, same dish
    """
    print(by_wish(sheet.engine, options))


def givens(sheet: Sheet) -> None:
    """Print what was read on the bench, as it was written down, and nothing worked out.

    >>> givens(load_sheet("heron-one"))  # doctest: +ELLIPSIS
    Heron One
    cylinder: count 1
    cylinder: bore 58.64 ± 0.01 mm
    ...
    """
    print(sheet.name)
    for table, readings in sheet.written.items():
        if isinstance(readings, dict):
            for name, value in readings.items():
                print(f"{table.replace('_', ' ')}: {name.replace('_', ' ')} {_given(value)}")


def _given(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name} {text}" for name, text in value.items())
    if isinstance(value, list):
        return "; ".join(_given(item) for item in value)
    return str(value)


def show_record(table: str, *, cylinder: int, group: str | None = None) -> None:
    """Print rows of a record sheet, as the class wrote them, and nothing worked out.

    Args:
        table: name of the data file without its ending.
        cylinder: counted from 1.
        group: letter; None for all groups.

    >>> show_record("heron-four-deck", cylinder=2, group="D")
    group  cylinder  side   reading
    D      2         left   0.43 mm
    D      2         right  0.40 mm
    """
    rows = record(table, cylinder=cylinder, group=group)
    lines = [list(rows[0]), *(list(row.values()) for row in rows)]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    for line in lines:
        print("  ".join(map(str.ljust, line, widths)).rstrip())


def show_pours(engine: str) -> None:
    """Print the chamber volume that each group poured, a line for each cylinder.

    >>> show_pours("heron-one")
    cylinder  A         B         C         D         E
    1         12.10 cc  12.05 cc  12.10 cc  11.95 cc  12.05 cc
    """
    pours = every_pour(engine)
    print("  ".join(["cylinder", *(group.ljust(8) for group in pours[1])]).rstrip())
    for cylinder, by_group in pours.items():
        print(f"{cylinder:<8}", *(show(volume, "cc") for volume in by_group.values()), sep="  ")


def check(sheet: Sheet, **answers: Any) -> None:
    """Say of each answer whether it is right, and if not, which mistake it shows.

    Args:
        sheet: the engine that the question is about.
        answers: by quantity, such as ``compression_ratio="9.83"`` or
            ``clearance_volume="66.65 cc"``. An empty answer is asked for.

    >>> check(load_sheet("heron-four"), compression_ratio="")
    compression ratio: nothing written yet
    """
    for quantity, answer in answers.items():
        print(f"{quantity.replace('_', ' ')}: {_verdict(sheet, quantity, answer)}")


def check_pour(
    engine: str, *, cylinder: int, group: str, volume: Any, method: str = "pours"
) -> None:
    """Say whether the volume of a pour on record is right, and if not, what went wrong.

    Args:
        engine: such as ``"heron-four"``.
        cylinder: counted from 1.
        group: letter.
        volume: the answer.
        method: ``"pours"`` for the chambers, ``"known-depth"`` for the pistons.

    >>> check_pour("heron-four", cylinder=2, group="D", volume="24.55 cc")
    poured volume: not yet. How often was the burette filled? Add up what ran out in every fill.
    """
    question = bench_check.of_pour(fills(engine, cylinder, method)[group])
    print(f"poured volume: {question.verdict(_as_written(volume))}")


def check_reading(tool: StillTool, reading: Any) -> None:
    """Say whether a drawn tool was read right, and if not, how it was misread.

    >>> check_reading(tool_to_read("micrometer", "mm", 7), "18.38 mm")
    micrometer: not yet. 0.50 mm too small. A half-millimetre line below the datum line was missed.
    """
    print(f"{tool.setting.tool.name}: {reading_verdict(tool, _as_written(reading))}")


def check_mean(readings: ByGroup, *, mean: Any) -> None:
    """Say whether the mean of the groups' readings is right, and if not, what went wrong.

    >>> check_mean(chamber_pours("heron-one", 1), mean="60.25 cc")
    mean: not yet. That is the sum. How many readings are in it?
    """
    question = bench_check.of_mean(list(readings.values()))
    print(f"mean: {question.verdict(_as_written(mean))}")


def check_odd_pour(engine: str, *, cylinder: Any, group: Any, mean: Any = None) -> None:
    """Say whether a careless pour was found, and whether the others' mean is right.

    Args:
        engine: such as ``"heron-four"``.
        cylinder: the answer, a number from 1.
        group: the answer, a letter.
        mean: the answer for that chamber's mean without the careless pour; None: not asked for.

    >>> check_odd_pour("heron-one", cylinder="1", group="E")
    careless pour: not yet. That one lies 0.02 cc from the others' middle; one lies farther
    """
    odd = bench_check.OddPour(every_pour(engine))
    number = _as_written(cylinder)
    print(f"careless pour: {odd.verdict(number, _as_written(group))}")
    if mean is not None:
        question = odd.kept_mean(number)
        verdict = (
            question.verdict(_as_written(mean)) if question else "find the careless pour first"
        )
        print(f"mean of the others: {verdict}")


def check_deck(sides: tuple[str, str], *, clearance: Any, above: bool = False) -> None:
    """Say whether the deck clearance from two readings is right, and if not, what went wrong.

    Args:
        sides: read on either side of the pin, positive below the deck.
        clearance: the answer.
        above: whether the sides are read above the deck instead.

    >>> check_deck(("0.43 mm", "0.40 mm"), clearance="0.43 mm")
    deck clearance: not yet. That is one side of the pin. The piston rocks: use both sides.
    """
    sign = -1 if above else 1
    question = bench_check.of_deck(*(sign * read(side) for side in sides))
    print(f"deck clearance: {question.verdict(_as_written(clearance))}")


def check_squish(sheet: EngineOrName, *, clearance: Any, cylinder: int = 1) -> None:
    """Say whether a squish clearance is right, and if not, what went wrong.

    >>> check_squish(load_sheet("heron-one"), clearance="1.04 mm")
    squish clearance: not yet. How thick is the gasket once the head is bolted down?
    """
    question = bench_check.of_squish(engine_of(sheet), cylinder)
    print(f"squish clearance: {question.verdict(_as_written(clearance))}")


def check_wanted_clearance(
    sheet: Sheet, *, ratio: float, clearance: Any, cylinder: int = 1
) -> None:
    """Say whether the clearance volume for a wanted ratio is right, and if not, what went wrong.

    >>> check_wanted_clearance(load_sheet("heron-four"), ratio=9.4, clearance="55.89 cc")
    clearance volume: not yet. The ratio counts the clearance volume too: take one off it first.
    """
    question = of_wanted_clearance(sheet.engine, ratio, cylinder)
    print(f"clearance volume: {question.verdict(_as_written(clearance))}")


def check_mean_uncertainty(readings: list[pint.Quantity], *, u: Any) -> None:
    """Say whether the standard uncertainty of a mean is right, and if not, what went wrong.

    >>> check_mean_uncertainty([*chamber_pours("heron-one", 1).values()], u="0.061 cc")
    u of the mean: not yet. That is the spread of one reading. A mean of several is surer.
    """
    print(f"u of the mean: {sure_check.of_mean_uncertainty(readings).verdict(_as_written(u))}")


def check_tool_uncertainty(tool: Instrument, *, u: Any) -> None:
    """Say whether the standard uncertainty behind a tool's limit is right, and if not, why.

    >>> check_tool_uncertainty(CALIPER, u="0.03 mm")
    u of the caliper: not yet. That is the limit itself. It seldom is off by so much.
    """
    print(f"u of the {tool.name}: {sure_check.of_tool(tool.limit).verdict(_as_written(u))}")


def check_combined(*parts: str, u: Any) -> None:
    """Say whether standard uncertainties were put together right, and if not, what went wrong.

    >>> check_combined("0.03 cc", "0.04 cc", u="0.07 cc")
    u together: not yet. They seldom both push the same way: square, add, take the root.
    """
    question = sure_check.of_combined(*map(read, parts))
    print(f"u together: {question.verdict(_as_written(u))}")


def check_improve(result: Any, *, reading: Any) -> None:
    """Say whether this is the reading to measure better first.

    Args:
        result: worked out from named, uncertain readings.
        reading: the answer, a name from the table.
    """
    print(f"measure better: {sure_check.improve_verdict(result, _as_written(reading))}")


def check_odd_group(study: Study, *, group: Any, offset: Any) -> None:
    """Say whether the group out of line was found, and whether its offset is right.

    >>> check_odd_group(load_study("class-chambers"), group="A", offset="")
    group: not yet. Group A stays within what chance does to a mean; one group does not
    offset: find the group first
    """
    letter = _as_written(group)
    found = sure_check.odd_group_verdict(study, letter)
    print(f"group: {found}")
    if found != "right":
        print("offset: find the group first")
        return
    question = sure_check.of_offset(study, letter.split()[-1].upper())
    print(f"offset: {question.verdict(_as_written(offset))}")


def check_gauge(pressure: str, ambient: pint.Quantity, *, gauge: Any) -> None:
    """Say whether what a gauge shows is right, and if not, what went wrong.

    Args:
        pressure: absolute.
        ambient: absolute pressure of the air at the gauge.
        gauge: the answer.
    """
    question = running_check.of_gauge(read(pressure), ambient)
    print(f"gauge: {question.verdict(_as_written(gauge))}")


def check_altitude(at_sea_level: str, altitude: str, *, gauge: Any) -> None:
    """Say whether a gauge reading of sea level was carried right to a height.

    >>> check_altitude("1200 kPa", "5000 ft", gauge="1083 kPa")
    gauge at 5000 ft: not yet. That is absolute. What does the gauge up there show?
    """
    question = running_check.of_altitude(read(at_sea_level), read(altitude))
    print(f"gauge at {altitude}: {question.verdict(_as_written(gauge))}")


def check_compression_test(readings: tuple[str, ...], *, share: Any, low_cylinder: Any) -> None:
    """Say whether a compression test was read right.

    >>> check_compression_test(("1250 kPa", "880 kPa"), share="70 %", low_cylinder="1")
    share of the highest: right
    low cylinder: not yet. Hold every cylinder against the highest one
    """
    test = CompressionTest(readings)
    print(f"share of the highest: {running_check.share_verdict(test, _as_written(share))}")
    print(f"low cylinder: {running_check.low_cylinder_verdict(test, _as_written(low_cylinder))}")


def check_place(rule: Rule, value: Number, *, answer: Any) -> None:
    """Say whether a value was put right: below, inside or above a rule of thumb's range."""
    verdict = running_check.place_verdict(rule, value, _as_written(answer))
    print(f"{rule.name.rstrip(',')}: {verdict}")


def check_on_paper(value: str, u: str, *, written: Any) -> None:
    """Say whether a mean and its standard uncertainty are written down well.

    >>> check_on_paper("47.3833 cc", "0.0786 cc", written="47.4 cc")
    on paper: not yet. Write the ± too, like "59.0 ± 0.4 cc"
    """
    print(f"on paper: {order_check.on_paper_verdict(value, u, _as_written(written))}")


def check_metal_left(height: str, *, minimum: str, cut: str, left: Any) -> None:
    """Say whether what may still be cut after a cut is right, and if not, what went wrong.

    >>> check_metal_left("132.60 mm", minimum="132.30 mm", cut="0.20 mm", left="0.10 mm")
    left to cut: right
    """
    question = order_check.of_metal_left(height, minimum, cut)
    print(f"left to cut: {question.verdict(_as_written(left))}")


def check_deck_after(sheet: Sheet, *, cut: str, clearance: Any, cylinder: int = 1) -> None:
    """Say whether a deck clearance after a cut is right, and if not, what went wrong.

    >>> check_deck_after(load_sheet("heron-one"), cut="0.10 mm", clearance="0.24 mm")
    deck clearance: not yet. That is what it was before the cut.
    """
    question = order_check.of_deck_after(sheet.engine, cut, cylinder)
    print(f"deck clearance: {question.verdict(_as_written(clearance))}")


def check_choice(sheet: Sheet, options: Options, **choice: str) -> None:
    """Say what a choice of parts and cuts makes of an engine, and which limit it breaks.

    Args:
        sheet: the engine as measured.
        options: the price list.
        choice: `gasket` and `piston`, names on the list or ``"as measured"``; `deck_cut` and
            `head_cut`, depths with a unit, ``"0 mm"`` for no cut.

    >>> check_choice(load_sheet("heron-four"), load_options("heron-four"),
    ...              gasket="thin steel", piston="as measured", deck_cut="", head_cut="0 mm")
    deck cut: nothing written yet; write "0 mm" for no cut
    """
    try:
        print(*verdict(sheet.engine, choice_of(options, **choice), options), sep="\n")
    except Refused as refusal:
        print(refusal)


def compare_choice(sheet: Sheet, options: Options, **choice: str) -> None:
    """Say how a choice of parts and cuts stands among all combinations on the price list.

    Args:
        sheet, options, choice: see `check_choice`.
    """
    try:
        print(compared(sheet.engine, choice_of(options, **choice), options))
    except Refused as refusal:
        print(refusal)


def what_if(row: int, **instead: Any) -> None:
    """Print what other numbers would make of a printed record of 1985.

    Args:
        row: its number.
        instead: `bore`, `stroke` or `size` with a unit, or `cylinders`.

    >>> what_if(112, stroke="3.19 in")
    row 112 as printed: 82.4 cu in worked out, 120 printed: -31.4 %
    with stroke 3.19 in: 120.0 cu in worked out, 120 printed: +0.0 %
    printed digits changed: 1
    the same bore, stroke, cylinders and size stand in rows 108, 110, 116
    """
    printed = misprints.record_of(row)
    print(*misprints.evidence(printed, misprints.what_if(printed, **instead)), sep="\n")


def check_misprint(row: Any, *, number: Any, should_be: Any) -> None:
    """Print what speaks for one wrong number in a printed record of 1985.

    >>> check_misprint("55", number="bore", should_be="")
    bore: nothing written yet
    """
    try:
        written = map(_as_written, (row, number, should_be))
        print(*size_check.argument(*written), sep="\n")
    except Refused as refusal:
        print(refusal)


def check_bored_out(sheet: Sheet, *, over: str, displacement: Any) -> None:
    """Say whether the displacement after an overbore is right, and if not, what went wrong.

    >>> check_bored_out(load_sheet("heron-eight"), over="30 thou", displacement="5092.1 cc")
    displacement: not yet. That is what it was before.
    """
    print(f"displacement: {size_check.bored_out_verdict(sheet, over, _as_written(displacement))}")


def check_above_piston(sheet: EngineOrName, *, angle: str, volume: Any, cylinder: int = 1) -> None:
    """Say whether the volume above a piston is right, and if not, what went wrong.

    Args:
        sheet: the engine; its rod length is known.
        angle: of the crank after top dead centre.
        volume: the answer.
        cylinder: counted from 1.

    >>> check_above_piston(load_sheet("heron-one"), angle="180 deg", volume="130.6 cc")
    at 180 deg: not yet. That is what the piston sweeps. What was above it before it came down?
    """
    text = _as_written(volume)
    verdict = size_check.above_piston_verdict(engine_of(sheet), angle, text, cylinder)
    print(f"at {angle}: {verdict}")


def show_reading(*texts: str) -> None:
    """Print how the kit reads each text, or why it does not.

    >>> show_reading("1 in", "1 mil")
    "1 in" is 25.400 mm = 1.0000 in = 1000.0 thou
    "1 mil": a mil is a thousandth of an inch to some and a millimetre to others; write thou or mm
    """
    for text in texts:
        print(how_read(text))


def show_task(number: int) -> None:
    """Print what was said in the shop, to be written as a number with its unit."""
    print(TASKS[number].words)


def check_written(number: int, written: Any) -> None:
    """Say whether a number was written as it was said, and if not, what went wrong.

    >>> check_written(1, "87.6 mm")
    not yet. A hundredth is the second place behind the point.
    """
    print(TASKS[number].verdict(_as_written(written)))


def _verdict(sheet: Sheet, quantity: str, answer: Any) -> str:
    text = _as_written(answer)
    if not text.strip():
        return "nothing written yet"
    try:
        return diagnose(sheet, quantity, text).says
    except Refused as refusal:
        return str(refusal)


def _as_written(answer: Any) -> str:
    if isinstance(answer, str):
        return answer
    if answer is None or answer is ...:
        return ""
    if isinstance(answer, pint.Quantity):
        return f"{answer:~}"
    return repr(answer)


def say_plainly(error: BaseException) -> str:
    """One sentence for a student about what went wrong in a cell.

    >>> say_plainly(NameError("name 'bor' is not defined", name="bor"))
    'bor is not a name that has a value yet: run the cells above, check its spelling, or put \
your answer in quotes'
    """
    if isinstance(error, Refused):
        return str(error)
    if isinstance(error, pint.DimensionalityError):
        return in_plain_words(error)
    if isinstance(error, NameError):
        name = error.name or "a word here"
        return (
            f"{name} is not a name that has a value yet: run the cells above, check its "
            "spelling, or put your answer in quotes"
        )
    return f"this cell could not be worked out ({type(error).__name__}: {error})"


def _speak_plainly_here() -> None:
    """In a notebook, show one sentence in place of a traceback."""
    try:
        from IPython import get_ipython
    except ImportError:
        return
    shell = get_ipython()
    if shell is None:
        return

    def show_sentence(_shell: Any, _kind: Any, error: BaseException, *_: Any, **__: Any) -> None:
        print(say_plainly(error))

    shell.set_custom_exc((Exception,), show_sentence)


_speak_plainly_here()
