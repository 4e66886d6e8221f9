"""Readings that are possible and still deserve a second look."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from enginemath.engine.unusual import warnings
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import read


def said(*changes: tuple[str, str]) -> list[str]:
    text = EXAMPLE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return warnings(parse(text).engine)


GOOD = (('"0.35 mm"', '"0.10 mm"'), ('"1.10 mm"', '"0.95 mm"'))


def test_a_usual_engine_raises_no_doubt() -> None:
    assert said(*GOOD) == []


FILLS = 'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]'
GASKET = 'bore = "93.2 mm"\ncompressed_thickness = "1.10 mm"\nfree_thickness = "1.35 mm"'
PISTON = 'dish = "6.0 cc"\nreliefs = "2.8 cc"'


def _pour(depth: str, poured: str) -> str:
    return f'known_depth = {{ depth = "{depth}", poured = "{poured}" }}'


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([('"0.35 mm"', '".05 in"')], "did you mean 0.05 mm?"),
        ([('"0.35 mm"', '"-0.2 mm"')], "deck clearance −0.2 mm is unusual"),
        ([('"93.2 mm"', '"91.2 mm"')], "gasket: its bore 91.200 mm is smaller than the cylinder's"),
        ([], "Squish clearance, steel rods: 1.45 mm is above"),
        ([('"0.35 mm"', '"0 mm"'), ('"1.10 mm"', '"0.70 mm"')], "0.7 mm is below"),
        ([('"6.0 cc"', '"200 cc"')], "dish 200 cc is unusual"),
        ([('"6.0 cc"', '"400 cc"')], "is outside 6 to 24"),
        # A unit that was mistaken, or a point.
        ([(FILLS, 'volume = "47.5 cu in"')], "chamber volume 47.5 cu in is unusual (3 to 400 cc): did you mean 47.5 cc?"),
        ([('"6.0 cc"', '"6.0 cu in"')], "dish 6 cu in: did you mean 6 cc? The ratio would be 9.9"),
        ([('"92.0 mm"', '"3.622 cm"')], "gasket bore 93.2 mm is 56.980 mm larger than the bore 3.622 cm"),
        ([('"92.0 mm"', '"3.622 cm"')], "bore 3.622 cm: did you mean 3.622 in? The ratio would be 9.9"),
        ([(GASKET, 'volume = "75 cc"')], "gasket volume 75 cc would be a gasket 11.3 mm thick on this bore: did you mean 7.5 cc?"),
        ([(GASKET, 'volume = "4 cu in"')], "did you mean 4 cc?"),
        ([(PISTON, _pour("0.5 mm", "93.2 cc"))], "known depth 0.5 mm is unusual (3 to 80 mm): did you mean 0.5 in?"),
        ([(PISTON, _pour("12.7 mm", "93.2 ± 20 cc"))], "poured volume 93.2 cc: ± 20 cc is more than a tenth"),
        ([('"2.8 cc"', '"2.8 cc"\n[site]\naltitude = "1200 mm"')], "altitude 1200 mm: did you mean 1200 m?"),
        ([('"92.0 mm"', '"92.0 ± 50 mm"')], "bore 92 mm: ± 50 mm is more than a tenth of it"),
    ],
)  # fmt: skip
# ruff: noqa: E501
def test_what_is_doubted(changes: list[tuple[str, str]], words: str) -> None:
    assert any(words in sentence for sentence in said(*changes))


def test_cylinders_that_do_not_match() -> None:
    volumes = '["47.0 cc", "47.5 cc", "48.1 cc", "47.4 cc"]'
    chambers = said((FILLS, f"volumes = {volumes}"), *GOOD)
    assert "Largest less smallest chamber: 1.1 cc, but the usual is at most 1 cc" in chambers[0]
    decks = said(('clearance = "0.35 mm"', 'clearances = ["0 mm", "0.1 mm", "0.2 mm", "0.1 mm"]'))
    assert any("deck clearances differ by 0.200 mm" in sentence for sentence in decks)


FLAT = (PISTON, 'dish = "0 cc"')


@pytest.mark.parametrize(
    ("volumes", "sentences"),
    [
        # 588.313 cc swept, 9.831 cc of gasket and deck: the ratio is 1 + 588.313 / (9.831 + chamber).
        (
            ("47 cc", "130 cc", "47 cc", "47 cc"),
            ["cylinder 2: a ratio of 5.21 is outside"],
        ),
        (
            ("130 cc", "130 cc", "130 cc", "130 cc"),
            ["cylinders 1, 2, 3 and 4: a ratio of 5.21 is outside"],
        ),
        (
            ("130 cc", "47 cc", "140 cc", "47 cc"),
            ["cylinders 1 and 3: ratios from 4.93 to 5.21 are outside"],
        ),
        (
            ("10 cc", "130 cc", "47 cc", "11 cc"),
            [
                "cylinder 2: a ratio of 5.21 is outside",
                "cylinders 1 and 4: ratios from 29.24 to 30.67 are outside",
            ],
        ),
    ],
)
def test_odd_ratios_are_said_once_with_their_cylinders(
    volumes: tuple[str, ...], sentences: list[str]
) -> None:
    chambers = f"volumes = {list(volumes)}"
    about = [each for each in said((FILLS, chambers), FLAT) if "where engines lie" in each]
    assert about == [f"{each} 6 to 24, where engines lie: check every volume" for each in sentences]


@pytest.mark.parametrize(("index", "doubted"), [(87, True), (91, False), (98, False)])
def test_the_fuel_s_rule_of_thumb(index: int, doubted: bool) -> None:
    sentences = said(
        *GOOD,
        ("reliefs =", "reliefs ="),
        ('"2.8 cc"', f'"2.8 cc"\n[fuel]\nantiknock_index = {index}'),
        ('"6.0 cc"', '"9.0 cc"'),
    )
    assert any("pump fuel" in sentence for sentence in sentences) is doubted


def test_each_doubt_is_said_once() -> None:
    sentences = said(('"0.35 mm"', '".05 in"'))
    assert len(sentences) == len(set(sentences))


def test_two_units_that_would_mend_the_ratio_tell_nothing() -> None:
    """A point misplaced in the chamber: dish and chamber in cu in would both make it an engine."""
    assert not any("did you mean" in sentence for sentence in said((FILLS, 'volume = "4.75 cc"')))


def test_a_dome_poured_keeps_its_readings_until_the_piston_is_another() -> None:
    piston = parse(EXAMPLE.replace(PISTON, _pour("12.70 mm", "79.9 cc"))).engine.piston
    assert piston.known_depth == (read("12.70 mm"), read("79.9 cc"))
    assert replace(piston, dome="4 cc").known_depth is None


def _plausible(rng: random.Random) -> str:
    """An engine that could be, from a 50 cc single to a 16-litre eight, in mm or in inches."""
    bore = rng.uniform(40, 142)
    small = bore < 60
    stroke = bore * rng.uniform(0.95 if small else 0.8, 1.25)
    swept = 0.7854 * bore**2 * stroke / 1000
    inch = rng.random() < 0.5

    def mm(length: float) -> str:
        return f"{length / 25.4:.4f} in" if inch else f"{length:.2f} mm"

    thickness = rng.uniform(0.25, 0.7) if small else rng.uniform(0.35, 1.8)
    opening = bore * rng.uniform(1.0, 1.06)
    gasket = 0.7854 * opening**2 * thickness / 1000
    deck = rng.uniform(0, 0.3 if small else 0.7)
    rest = (
        swept / (rng.uniform(7.5, 10 if small else 18) - 1)
        - gasket
        - 0.7854 * bore**2 * deck / 1000
    )
    crown = rest * rng.uniform(-0.15, 0.05 if small else 0.35)
    chamber = rest - crown
    if rng.random() < 0.4:
        depth = rng.uniform(0.07, 0.15) * bore + 2
        piston = _pour(mm(depth), f"{crown + 0.7854 * bore**2 * depth / 1000:.2f} cc")
    else:
        piston = f'{"dish" if crown > 0 else "dome"} = "{abs(crown):.2f} cc"'
    volume = f"{chamber / 16.387:.3f} cu in" if inch and rng.random() < 0.5 else f"{chamber:.2f} cc"
    head_gasket = f'bore = "{mm(opening)}"\ncompressed_thickness = "{mm(thickness)}"'
    if rng.random() < 0.4:
        head_gasket = f'volume = "{gasket * rng.uniform(0.95, 1.15):.2f} cc"'
    spread = rng.choice(["", " ± 0.02"])
    return f"""\
format = 1
name = "Drawn"
[cylinder]
count = {rng.choice([1, 2, 4, 6, 8])}
bore = "{mm(bore).replace(" ", spread + " ")}"
stroke = "{mm(stroke)}"
[chamber]
volume = "{volume}"
[gasket]
{head_gasket}
[deck]
clearance = "{mm(deck)}"
[piston]
{piston}
"""


def test_plausible_engines_raise_no_doubt_of_what_was_read() -> None:
    rng = random.Random(20)
    about = ("unusual", "did you mean", "larger than", "thick", "tenth", "outside")
    for _ in range(150):
        text = _plausible(rng)
        doubted = [each for each in warnings(parse(text).engine) if any(w in each for w in about)]
        assert doubted == [], text
