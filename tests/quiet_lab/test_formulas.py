"""Formulas in the text of a notebook become MathML."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import nbformat
import pytest

from enginemath.quiet_lab.formulas import set_formulas, with_mathml

LESSONS = Path(__file__).parents[2] / "lessons"
MATHML = "{http://www.w3.org/1998/Math/MathML}"


def test_a_fraction_has_its_numerator_over_its_denominator() -> None:
    """Source: MathML Core (W3C), mfrac: "exactly two children", numerator first."""
    math = ElementTree.fromstring(with_mathml(r"$r = \frac{V_s + V_c}{V_c}$"))
    (fraction,) = math.iter(f"{MATHML}mfrac")
    above, below = ("".join(part.itertext()) for part in fraction)
    assert (above, below) == ("Vs+Vc", "Vc")


def test_a_formula_on_its_own_stands_in_its_own_line() -> None:
    """Source: MathML Core (W3C), the attribute display."""
    assert ElementTree.fromstring(with_mathml("$$a$$")).get("display") == "block"
    assert ElementTree.fromstring(with_mathml("$a$")).get("display") is None


@pytest.mark.parametrize(
    "text",
    [
        "code `$b$` and ``a ` $b$``",
        "```sh\necho $A $B\n```",
        r"from \$38 to \$90",
        "one costs $38.\n\nThe other costs 90 $.",
        r"not a command: $\nosuchcommand{b}$",
        "$38",
    ],
)
def test_what_is_no_formula_stays(text: str) -> None:
    assert with_mathml(text) == text


@pytest.mark.parametrize("lesson", sorted(LESSONS.glob("*.ipynb")), ids=lambda file: file.stem)
def test_every_formula_of_the_lessons_can_be_set(lesson: Path) -> None:
    notebook = nbformat.read(lesson, as_version=4)
    code = [cell.source for cell in notebook.cells if cell.cell_type == "code"]
    set_formulas(notebook, {})
    text = [cell.source for cell in notebook.cells if cell.cell_type == "markdown"]
    assert not re.search(r"\$|\\[a-z]", "\n".join(text))
    assert [cell.source for cell in notebook.cells if cell.cell_type == "code"] == code
