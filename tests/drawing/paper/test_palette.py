from __future__ import annotations

from itertools import combinations

import pytest

from enginemath.drawing.paper.number_line import number_line, ratio_line
from enginemath.drawing.paper.palette import (
    PARTS,
    PROJECTOR,
    SCREEN,
    WARNING,
    background,
    hatch_ink,
)
from tests.drawing.reader import read

# Full colour blindness (severity 1.0) in linear RGB. G. M. Machado, M. M. Oliveira and
# L. A. F. Fernandes, "A physiologically-based model for simulation of color vision deficiency",
# IEEE Trans. Vis. Comput. Graph. 15 (2009), table 1; numbers read in two public copies.
MACHADO = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
TOUCHING = [
    ("chamber", "gasket"), ("chamber", "metal"), ("gasket", "deck"), ("gasket", "swept"),
    ("gasket", "crevice"), ("deck", "swept"), ("deck", "crown"), ("deck", "crevice"),
    ("swept", "crown"), ("swept", "metal"), ("swept", "crevice"), ("crown", "metal"),
    ("crevice", "metal"), ("chamber", "crown"), ("crevice", "crown"), ("gasket", "metal"),
    ("water", "metal"), ("water", "chamber"), ("water", "crown"), ("water", "swept"),
]  # fmt: skip
"""Parts that share an edge in the section, in the stack or in a pour; water and swept never do,
but are both blue."""


def linear(colour: str) -> list[float]:
    """Linear RGB of an sRGB colour (IEC 61966-2-1)."""
    channels = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    return [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]


def luminance(rgb: list[float]) -> float:
    return 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.1, success criterion 1.4.3."""
    high, low = sorted((luminance(linear(one)), luminance(linear(other))), reverse=True)
    return (high + 0.05) / (low + 0.05)


def lab(rgb: list[float]) -> list[float]:
    """CIE L*a*b* under D65 (ISO/CIE 11664-4), from linear sRGB."""
    r, g, b = (min(max(c, 0.0), 1.0) for c in rgb)
    x = (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047
    y = 0.2126 * r + 0.7152 * g + 0.0722 * b
    z = (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883
    x, y, z = (c ** (1 / 3) if c > 0.008856 else 7.787 * c + 16 / 116 for c in (x, y, z))
    return [116 * y - 16, 500 * (x - y), 200 * (y - z)]


def apart(one: str, other: str, matrix=((1, 0, 0), (0, 1, 0), (0, 0, 1))) -> float:
    """Colour difference ΔE*ab as seen through a simulation."""
    seen = [
        lab([sum(m * c for m, c in zip(row, linear(colour), strict=True)) for row in matrix])
        for colour in (one, other)
    ]
    return sum((a - b) ** 2 for a, b in zip(*seen, strict=True)) ** 0.5


@pytest.mark.parametrize("style", [SCREEN, PROJECTOR], ids=lambda style: style.name)
class TestEveryStyle:
    def test_text_meets_aa_on_the_paper_of_its_halo(self, style) -> None:
        for ink in (style.ink, style.quiet):
            assert contrast(ink, style.paper) >= (7.0 if style is PROJECTOR else 4.5)
        for text in read(number_line(ratio_line(9.8, (9.0, 9.5)), style=style).svg()).texts:
            assert contrast(text.fill, style.paper) >= 4.5

    def test_lines_and_warning_meet_three_to_one(self, style) -> None:
        """WCAG 2.1, success criterion 1.4.11."""
        for colour in (style.ink, style.quiet, WARNING):
            assert contrast(colour, style.paper) >= 3.0

    def test_hatch_shows_on_its_own_ground_without_colour(self, style) -> None:
        for part in PARTS:
            assert contrast(hatch_ink(part, style), background(part, style)) >= 1.8, part

    def test_type_is_at_least_eleven_px(self, style) -> None:
        assert min(style.text, style.small, style.heading) >= 11

    @pytest.mark.parametrize("sight", MACHADO)
    def test_touching_parts_stay_apart_in_colour(self, style, sight: str) -> None:
        for one, other in TOUCHING:
            colours = background(one, style), background(other, style)
            assert apart(*colours, MACHADO[sight]) >= 10, (one, other)


def test_every_part_has_a_hatch_of_its_own() -> None:
    hatches = [hatch for _, hatch in PARTS.values()]
    assert len(set(hatches)) == len(hatches)
    assert len({colour for colour, _ in PARTS.values()}) == len(PARTS)


def test_simulation_makes_red_and_green_look_alike() -> None:
    """Guards the test itself: what a deuteranope confuses must come out close."""
    seen = {name: apart("#c00000", "#5a6e00", matrix) for name, matrix in MACHADO.items()}
    assert seen["deuteranopia"] < 0.5 * apart("#c00000", "#5a6e00")
    assert all(apart(*pair) > 10 for pair in combinations(("#c00000", "#5a6e00", "#0000c0"), 2))
