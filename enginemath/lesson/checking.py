"""Checks of a student's answers: right, or which mistake it shows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pint

from enginemath.answers import (
    bench_questions,
    change_questions,
    how_sure_questions,
    running_questions,
    size_questions,
)
from enginemath.answers.by_hand.readings import Readings, readings_of
from enginemath.answers.by_hand.steps import step_of
from enginemath.answers.change_questions import judge_choice, of_wanted_clearance
from enginemath.answers.own_readings.boxes import is_reading_box
from enginemath.answers.own_readings.judging import judge_own_paper
from enginemath.answers.own_readings.record import record_of_text
from enginemath.answers.paper import judge_paper
from enginemath.answers.question import Question
from enginemath.answers.tool_reading.still_tool import StillTool, judge_reading
from enginemath.answers.verdict import unreadable
from enginemath.answers.writing_questions import task_numbered
from enginemath.bench.compression_test import CompressionTest
from enginemath.bench.how_sure.class_study import Study
from enginemath.bench.tools import Instrument
from enginemath.change.combination import Combination, bank_names, chosen
from enginemath.change.job import job_of_choices
from enginemath.change.limits_kept import choice_report
from enginemath.change.price_list import Options
from enginemath.engine.rules_of_thumb import Rule
from enginemath.lesson.plainly import as_written
from enginemath.lesson.telling import tell
from enginemath.panels.frame.engines import EngineOrName, engine_of
from enginemath.sheets import Sheet, parse
from enginemath.sheets.class_readings import ByGroup, every_pour, fills_of_group
from enginemath.units import Number, Refused, read


def check(sheet: Sheet, **answers: Any) -> None:
    """Say of each answer whether it is right, and if not, which mistake it shows.

    Args:
        sheet: the engine that the question is about.
        answers: by quantity, such as ``compression_ratio="9.83"`` or
            ``clearance_volume="66.65 cc"``. An empty answer is asked for.

    >>> from enginemath.lesson import *
    >>> check(load_sheet("heron-four"), compression_ratio="")
    compression ratio: nothing written yet
    """
    _check_paper(readings_of(sheet), answers)


def check_sheet(sheet: str, target: float | None = None, **answers: Any) -> None:
    """Say of each answer on a worksheet whether it is right, and if not, which mistake it shows.

    Args:
        sheet: the text of the build sheet with the engine's readings.
        target: ratio to reach, where the sheet has one.
        answers: by step of the hand calculation, as for `check`.

    >>> from enginemath.sheets import EXAMPLE
    >>> check_sheet(EXAMPLE, target=10.4, gasket_volume="9.21 cc", wanted_clearance="62.59")
    gasket volume: not yet. How thick is the gasket once the head is bolted down?
    wanted clearance: right; write the unit: cc was taken
    """
    _check_paper(readings_of(parse(sheet), target), answers)


def check_own_readings(bench: str, **written: Any) -> None:
    """Say of each answer whether it is right from the readings that were written down.

    Args:
        bench: what is read of the engine in the bay, as the sheet of a class set holds it.
        written: by box of a reading, and by step of the hand calculation.

    Raises:
        Refused: `bench` is no such text.
    """
    record = record_of_text(bench)
    texts = {name: as_written(text) for name, text in written.items()}
    steps = {name: text for name, text in texts.items() if not is_reading_box(name)}
    paper = judge_own_paper(record, texts, steps)
    for reading in paper.readings:
        if reading.taken.refusal or reading.taken.taken_as:
            tell(reading.asked.words, reading.verdict)
    for name, on_paper in paper.steps.items():
        tell(step_of(name).words, on_paper.verdict)


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

    >>> from enginemath.lesson import *
    >>> check_pour("heron-four", cylinder=2, group="D", volume="24.55 cc")
    poured volume, group D: not yet. How often was the burette filled? Add up what ran out in \
every fill.
    """
    question = bench_questions.of_pour(fills_of_group(engine, cylinder, group, method))
    _tell(f"poured volume, group {group}", question, volume)


def check_reading(tool: StillTool, reading: Any) -> None:
    """Say whether a drawn tool was read right, and if not, how it was misread.

    >>> from enginemath.lesson import *
    >>> check_reading(tool_to_read("micrometer", "mm", 7), "18.38 mm")
    micrometer: not yet. Look below the datum line: is there a half-millimetre line uncovered?
    """
    read = tool.setting.tool
    name = f"{read.name} in inches" if read.unit == "in" else read.name
    tell(name, judge_reading(tool, as_written(reading)))


def check_mean(readings: ByGroup, *, mean: Any) -> None:
    """Say whether the mean of the groups' readings is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_mean(chamber_pours("heron-one", 1), mean="60.25 cc")
    mean: not yet. That is the sum. How many readings are in it?
    """
    question = bench_questions.of_mean(list(readings.values()))
    _tell("mean", question, mean)


def check_odd_pour(engine: str, *, cylinder: Any, group: Any, mean: Any = None) -> None:
    """Say whether a careless pour was found, and whether the others' mean is right.

    Args:
        engine: such as ``"heron-four"``.
        cylinder: the answer, a number from 1.
        group: the answer, a letter.
        mean: the answer for that chamber's mean without the careless pour; None: not asked for.

    >>> from enginemath.lesson import *
    >>> check_odd_pour("heron-one", cylinder="1", group="E")
    careless pour: not yet. Which pour lies farthest from the others of its own chamber?
    """
    odd = bench_questions.OddPour(every_pour(engine))
    number = as_written(cylinder)
    tell("careless pour", odd.judge(number, as_written(group)))
    if mean is not None:
        question = odd.kept_mean(number)
        if question is None:
            print("mean of the others: find the careless pour first")
        else:
            _tell("mean of the others", question, mean)


def check_deck(sides: tuple[str, str], *, clearance: Any, above: bool = False) -> None:
    """Say whether the deck clearance from two readings is right, and if not, what went wrong.

    Args:
        sides: read on either side of the pin, positive below the deck.
        clearance: the answer.
        above: whether the sides are read above the deck instead.

    >>> from enginemath.lesson import *
    >>> check_deck(("0.43 mm", "0.40 mm"), clearance="0.43 mm")
    deck clearance: not yet. Look at the deck. That is one side of the pin. The piston rocks: what \
of the other side?
    """
    sign = -1 if above else 1
    question = bench_questions.of_deck(*(sign * read(side) for side in sides))
    _tell("deck clearance", question, clearance)


def check_deck_volume(sheet: Sheet, sides: tuple[str, str], *, volume: Any) -> None:
    """Say whether the deck volume from two readings is right, and if not, what went wrong.

    Args:
        sheet: the engine as measured.
        sides: deck clearance on either side of the pin.
        volume: the answer.
    """
    verdict = size_questions.judge_deck_volume(sheet, sides, as_written(volume))
    tell("deck volume", verdict)


def check_squish(sheet: EngineOrName, *, clearance: Any, cylinder: int = 1) -> None:
    """Say whether a squish clearance is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_squish(load_sheet("heron-one"), clearance="1.04 mm")
    squish clearance: not yet. How thick is the gasket once the head is bolted down?
    """
    question = bench_questions.of_squish(engine_of(sheet), cylinder)
    _tell("squish clearance", question, clearance)


def check_wanted_clearance(
    sheet: Sheet, *, ratio: float, clearance: Any, cylinder: int = 1
) -> None:
    """Say whether the clearance volume for a wanted ratio is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_wanted_clearance(load_sheet("heron-four"), ratio=9.4, clearance="55.89 cc")
    clearance volume: not yet. The ratio counts the clearance volume too. What is left without it?
    """
    question = of_wanted_clearance(sheet.engine, ratio, cylinder)
    _tell("clearance volume", question, clearance)


def check_mean_uncertainty(readings: list[pint.Quantity], *, u: Any) -> None:
    """Say whether the standard uncertainty of a mean is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_mean_uncertainty([*chamber_pours("heron-one", 1).values()], u="0.061 cc")
    u of the mean: not yet. That is the spread of one reading. How much surer is a mean of several?
    """
    _tell("u of the mean", how_sure_questions.of_mean_uncertainty(readings), u)


def check_tool_uncertainty(tool: Instrument, *, u: Any) -> None:
    """Say whether the standard uncertainty behind a tool's limit is right, and if not, why.

    >>> from enginemath.lesson import *
    >>> check_tool_uncertainty(CALIPER, u="0.03 mm")
    u of the caliper: not yet. That is the limit itself. Is the tool often off by so much?
    """
    _tell(f"u of the {tool.name}", how_sure_questions.of_tool(tool.limit), u)


def check_combined(*parts: str, u: Any) -> None:
    """Say whether standard uncertainties were put together right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_combined("0.03 cc", "0.04 cc", u="0.07 cc")
    u together: not yet. Do they always push the same way? Square, add, take the root.
    """
    question = how_sure_questions.of_combined(*map(read, parts))
    _tell("u together", question, u)


def check_improve(result: Any, *, reading: Any) -> None:
    """Say whether this is the reading to measure better first.

    Args:
        result: worked out from named, uncertain readings.
        reading: the answer, a name from the table.
    """
    tell("measure better", how_sure_questions.judge_improve(result, as_written(reading)))


def check_odd_group(study: Study, *, group: Any, offset: Any) -> None:
    """Say whether the group out of line was found, and whether its offset is right.

    >>> from enginemath.lesson import *
    >>> check_odd_group(load_study("class-chambers"), group="A", offset="")
    group: not yet. Group A stays within what chance does to a mean. Which group does not?
    offset: find the group first
    """
    answers = as_written(group), as_written(offset)
    found, apart = how_sure_questions.judge_odd_group(study, *answers)
    tell("group", found)
    if apart:
        tell("offset", apart)
    else:
        print("offset: find the group first")


def check_gauge(pressure: str, ambient: pint.Quantity, *, gauge: Any) -> None:
    """Say whether what a gauge shows is right, and if not, what went wrong.

    Args:
        pressure: absolute.
        ambient: absolute pressure of the air at the gauge.
        gauge: the answer.
    """
    question = running_questions.of_gauge(read(pressure), ambient)
    _tell("gauge", question, gauge)


def check_altitude(at_sea_level: str, altitude: str, *, gauge: Any) -> None:
    """Say whether a gauge reading of sea level was carried right to a height.

    >>> from enginemath.lesson import *
    >>> check_altitude("1200 kPa", "5000 ft", gauge="1083 kPa")
    gauge at 5000 ft: not yet. That is absolute. What does the gauge up there show?
    """
    question = running_questions.of_altitude(read(at_sea_level), read(altitude))
    _tell(f"gauge at {altitude}", question, gauge)


def check_compression_test(readings: tuple[str, ...], *, share: Any, low_cylinder: Any) -> None:
    """Say whether a compression test was read right.

    >>> from enginemath.lesson import *
    >>> check_compression_test(("1250 kPa", "880 kPa"), share="70 %", low_cylinder="1")
    share of the highest: right
    low cylinder: not yet. Hold every cylinder against the highest one. Does each reach its share?
    """
    test = CompressionTest(readings)
    tell("share of the highest", running_questions.judge_share(test, as_written(share)))
    low = running_questions.judge_low_cylinder(test, as_written(low_cylinder))
    tell("low cylinder", low)


def check_place(rule: Rule, value: Number, *, answer: Any) -> None:
    """Say whether a value was put right: below, inside or above a rule of thumb's range."""
    tell(rule.name, running_questions.judge_side(rule, value, as_written(answer)))


def check_on_paper(value: str, u: str, *, written: Any) -> None:
    """Say whether a mean and its standard uncertainty are written down well.

    >>> from enginemath.lesson import *
    >>> check_on_paper("47.3833 cc", "0.0786 cc", written="47.4 cc")
    mean on paper: not yet. Where is the ±? Write it too, like "59.0 ± 0.4 cc".
    """
    tell("mean on paper", change_questions.judge_on_paper(value, u, as_written(written)))


def check_metal_left(height: str, *, minimum: str, cut: str, left: Any) -> None:
    """Say whether what may still be cut after a cut is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_metal_left("132.60 mm", minimum="132.30 mm", cut="0.20 mm", left="0.10 mm")
    left to cut: right
    """
    question = change_questions.of_metal_left(height, minimum, cut)
    _tell("left to cut", question, left)


def check_deck_after(sheet: Sheet, *, cut: str, clearance: Any, cylinder: int = 1) -> None:
    """Say whether a deck clearance after a cut is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_deck_after(load_sheet("heron-one"), cut="0.10 mm", clearance="0.24 mm")
    deck clearance: not yet. Look at the deck. That is what it was before the cut. What is it after?
    """
    question = change_questions.of_deck_after(sheet.engine, cut, cylinder)
    _tell("deck clearance", question, clearance)


def check_squish_after(sheet: EngineOrName, *, cut: str, clearance: Any, cylinder: int = 1) -> None:
    """Say whether a squish clearance after a deck cut is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_squish_after(load_sheet("heron-four"), cut="0.20 mm", clearance="1.93 mm")
    squish clearance: not yet. The deck comes down to the piston. Does the gap grow?
    """
    question = change_questions.of_squish_after(engine_of(sheet), cut, cylinder)
    _tell("squish clearance", question, clearance)


def check_choice(sheet: Sheet, options: Options, **choice: Any) -> None:
    """Say what a choice of parts and cuts makes of an engine, and which limit it breaks.

    Args:
        sheet: the engine as measured.
        options: the price list.
        choice: `gasket`, `piston`, `rods` and `crank`, names on the list or ``"as measured"``;
            `deck_cut` and `head_cut`, depths with a unit, ``"0 mm"`` for no cut. On an engine with
            banks one depth is cut off each; ``{"left": "0.010 in"}`` cuts that bank alone. What is
            left out stays as it is.

    >>> from enginemath.lesson import *
    >>> check_choice(load_sheet("heron-four"), load_options("heron-four"),
    ...              gasket="thin steel", piston="as measured", deck_cut="", head_cut="0 mm")
    deck cut: nothing written yet; write "0 mm" for no cut
    """
    try:
        made = _choice(sheet, options, choice)
        print(*choice_report(job_of_choices(sheet, options), made), sep="\n")
    except Refused as refusal:
        tell("", unreadable(str(refusal)))


def _choice(sheet: Sheet, options: Options, choice: Mapping[str, Any]) -> Combination:
    return chosen(options, banks=bank_names(sheet.engine), **choice)


def compare_choice(sheet: Sheet, options: Options, **choice: Any) -> None:
    """Say how a choice of parts and cuts stands among all combinations on the price list.

    Args:
        sheet, options, choice: see `check_choice`.
    """
    try:
        made = _choice(sheet, options, choice)
        tell("", judge_choice(job_of_choices(sheet, options), made))
    except Refused as refusal:
        tell("", unreadable(str(refusal)))


def check_misprint(row: Any, *, number: Any, should_be: Any) -> None:
    """Print what speaks for one wrong number in a printed record of 1985.

    >>> from enginemath.lesson import *
    >>> check_misprint("55", number="bore", should_be="")
    bore: nothing written yet
    """
    try:
        written = map(as_written, (row, number, should_be))
        print(*size_questions.argument(*written), sep="\n")
    except Refused as refusal:
        tell("", unreadable(str(refusal)))


def check_bored_out(sheet: Sheet, *, over: str, displacement: Any) -> None:
    """Say whether the displacement after an overbore is right, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_bored_out(load_sheet("heron-eight"), over="30 thou", displacement="5092.1 cc")
    displacement: not yet. Look at the bore. That is what it was before. What is it now?
    """
    verdict = size_questions.judge_bored_out(sheet, over, as_written(displacement))
    tell("displacement", verdict)


def check_above_piston(sheet: EngineOrName, *, angle: str, volume: Any, cylinder: int = 1) -> None:
    """Say whether the volume above a piston is right, and if not, what went wrong.

    Args:
        sheet: the engine; its rod length is known.
        angle: of the crank after top dead centre.
        volume: the answer.
        cylinder: counted from 1.

    >>> from enginemath.lesson import *
    >>> check_above_piston(load_sheet("heron-one"), angle="180 deg", volume="130.6 cc")
    volume at 180°: not yet. That is what the piston sweeps. What was above it before it came down?
    """
    text = as_written(volume)
    verdict = size_questions.judge_above_piston(engine_of(sheet), angle, text, cylinder)
    tell(f"volume at {read(angle).m_as('deg'):g}°", verdict)


def check_written(number: int, written: Any) -> None:
    """Say whether a number was written as it was said, and if not, what went wrong.

    >>> from enginemath.lesson import *
    >>> check_written(1, "87.6 mm")
    bore: not yet. Which place after the point is a hundredth: the first, the second or the third?
    """
    task = task_numbered(number)
    tell(task.name, task.judge(as_written(written)))


def _tell(name: str, question: Question, answer: Any) -> None:
    tell(name, question.judge(as_written(answer)))


def _check_paper(readings: Readings, answers: Mapping[str, Any]) -> None:
    texts = {name: as_written(answer) for name, answer in answers.items()}
    for name, on_paper in judge_paper(readings, texts).items():
        tell(step_of(name).words, on_paper.verdict)
