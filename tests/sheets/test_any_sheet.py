"""No text, TOML or value makes anything but a refusal of one line, or an engine with a ratio."""

from __future__ import annotations

import math
from typing import Any

import tomli_w
from hypothesis import example, given, settings
from hypothesis import strategies as st

from enginemath.sheets import Sheet, parse
from enginemath.sheets.fields import READINGS
from enginemath.sheets.ratio_report import ratio_report, ratio_text
from enginemath.units import Refused

from .full_sheet import FULL

FIELDS = {table: list(fields) for table, fields in READINGS.items()}
FIELDS["cylinder"].append("count")
FIELDS["chamber"] += ["volumes", "fills"]
FIELDS["deck"].append("clearances")
FIELDS["piston"].append("known_depth")
FIELDS["fuel"] = ["antiknock_index"]

LINES = [line.partition(" = ") for line in FULL.splitlines() if " = " in line]
WRITTEN = sorted({value for _, _, value in LINES})


def check(text: str) -> None:
    """Parse a text and work it out to the end."""
    try:
        sheet = parse(text)
    except Refused as refusal:
        one_line(str(refusal))
        return
    answers(sheet)


def answers(sheet: Sheet) -> None:
    try:
        report = ratio_report(sheet.engine)
    except Refused as refusal:
        one_line(str(refusal))
        return
    assert math.isfinite(report["compression_ratio"])
    assert report["compression_ratio"] > 1
    assert ratio_text(sheet.engine, report)


def one_line(said: str) -> None:
    assert said.splitlines() == [said]
    assert len(said) < 1000


@given(st.text(max_size=200))
@settings(max_examples=150)
def test_any_text(text: str) -> None:
    check(text)


@given(st.text("format=1[]{}\"'\\.,#\n\t name0x-+:Z", max_size=60))
@settings(max_examples=200)
def test_texts_of_the_marks_that_toml_is_made_of(text: str) -> None:
    check(text)


@given(st.binary(max_size=200))
@settings(max_examples=50)
def test_any_bytes_that_are_a_text(content: bytes) -> None:
    check(content.decode("utf-8", errors="replace"))


CHANGES = st.lists(
    st.tuples(
        st.integers(0, len(FULL) - 1),
        st.integers(0, 6),
        st.one_of(st.text(max_size=4), st.sampled_from(list("\"'[]{}=.,-±/0159emnic \n"))),
    ),
    min_size=1,
    max_size=4,
)


@given(CHANGES)
@settings(max_examples=200)
def test_a_sheet_with_letters_struck_out_and_put_in(changes: list[tuple[int, int, str]]) -> None:
    text = FULL
    for at, struck, put in changes:
        text = text[:at] + put + text[at + struck :]
    check(text)


@given(
    st.lists(
        st.tuples(st.integers(0, len(LINES) - 1), st.sampled_from(WRITTEN)),
        min_size=1,
        max_size=3,
    )
)
@settings(max_examples=150)
def test_a_sheet_with_values_in_the_wrong_place(swaps: list[tuple[int, str]]) -> None:
    text = FULL
    for line, value in swaps:
        name, _, old = LINES[line]
        text = text.replace(f"{name} = {old}", f"{name} = {value}")
    check(text)


@given(st.lists(st.integers(0, FULL.count("\n") - 1), min_size=1, max_size=5))
@settings(max_examples=100)
def test_a_sheet_with_lines_lost_or_doubled(numbers: list[int]) -> None:
    lines = FULL.splitlines()
    for number in numbers:
        lines[number % len(lines) :] = (
            lines[number % len(lines) + 1 :]
            if number % 2
            else [lines[number % len(lines)], *lines[number % len(lines) :]]
        )
    check("\n".join(lines))


# Values as a sheet could hold them: readings near and far from what an engine has, and nonsense.
units = st.sampled_from(
    ["mm", "in", "thou", "cm", "cc", "mL", "cu in", "L", "deg", "m", "ft", "kg", ""]
)
numbers = st.one_of(
    st.floats(0, 150).map(lambda number: f"{number:.3f}"),
    st.floats().map(repr),
    st.integers(-(10**6), 10**6).map(str),
    st.sampled_from(["3 29/32", "1/0", "59.0(4)", "0", "-0.0", "1e308", "5e-324", "1,5"]),
)
spreads = st.one_of(
    st.just(""), st.floats(0, 5).map(" ± {:.3g}".format), st.floats().map(" ± {!r}".format)
)
readings = st.one_of(
    st.builds("{}{} {}".format, numbers, spreads, units),
    st.sampled_from([value.strip('"') for value in WRITTEN]),
    st.text(max_size=12),
)
scalars = st.one_of(
    readings,
    st.integers(),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=5),
        st.dictionaries(st.one_of(st.sampled_from(["depth", "poured"]), st.text()), inner),
    ),
    max_leaves=8,
)


def table(name: str) -> st.SearchStrategy[dict[str, Any]]:
    fields = {field: st.one_of(readings, values) for field in FIELDS[name]}
    if name == "cylinder":
        fields["count"] = st.one_of(st.integers(1, 4), values)
    return st.fixed_dictionaries({}, optional=fields)


FORMAT = {"format": st.one_of(st.just(1), values), "name": st.one_of(st.text(min_size=1), values)}
TABLES = {name: st.one_of(table(name), values) for name in FIELDS}


@given(st.fixed_dictionaries(FORMAT, optional=TABLES))
@settings(max_examples=150)
def test_any_tables_as_toml_and_as_they_are(written: dict[str, Any]) -> None:
    check(tomli_w.dumps(written))
    try:
        answers(Sheet(written))
    except Refused as refusal:
        one_line(str(refusal))


@given(
    st.sampled_from([(name, field) for name, fields in FIELDS.items() for field in fields]),
    st.one_of(readings, values),
)
@example(("cylinder", "bore"), "1.000 ± 5.3e152 in")
@settings(max_examples=250)
def test_a_good_sheet_with_any_value_in_one_field(place: tuple[str, str], value: Any) -> None:
    written = parse(FULL).written
    table, field = place
    check(tomli_w.dumps({**written, table: {**written[table], field: value}}))


near = st.floats(0.8, 1.2)


@given(st.lists(near, min_size=9, max_size=9), st.lists(st.floats(0, 0.01), min_size=9, max_size=9))
@settings(max_examples=40)
def test_engines_near_the_example_are_never_refused(
    factors: list[float], doubts: list[float]
) -> None:
    """The free thickness and the rod stay, so that nothing contradicts."""
    text = FULL.replace("1.35 mm", "2.00 mm").replace("145 mm", "160 mm")
    for value, factor, doubt in zip(
        ["92.0 mm", "88.5 mm", "47.5 cc", "93.2 mm", "1.10 mm", "0.35 mm", "6.0 cc", "2.8 cc",
         "60 deg"],
        factors,
        doubts,
        strict=True,
    ):  # fmt: skip
        number, unit = value.split()
        text = text.replace(
            f'"{value}"', f'"{float(number) * factor!r} ± {float(number) * doubt!r} {unit}"'
        )
    report = ratio_report(parse(text).engine)
    assert 4 < report["compression_ratio"] < 20
