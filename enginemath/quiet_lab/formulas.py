"""Formulas of a lesson as MathML, which browsers draw by themselves: no script, no network."""

from __future__ import annotations

import re
from typing import Any

from docutils.utils.math import MathError
from docutils.utils.math.latex2mathml import tex2mathml

FORMULA = re.compile(
    r"(?P<code>`+).*?(?P=code)"
    r"|(?<!\\)\$\$(?P<alone>.+?)(?<!\\)\$\$"
    r"|(?<!\\)\$(?P<in_line>(?:(?!\n\n).)+?)(?<!\\)\$",
    re.DOTALL,
)


def set_formulas(notebook: Any, resources: Any) -> tuple[Any, Any]:
    """Set the formulas in the text of a notebook that is to become a page.

    Args:
        notebook: as nbformat reads it; its text cells are changed.
        resources: what Jupyter hands on from step to step.

    Returns:
        Both, as Jupyter's conversion wants them.
    """
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            cell.source = with_mathml(cell.source)
    return notebook, resources


def with_mathml(text: str) -> str:
    """Text with each formula written in MathML; one that cannot be set stays as it is.

    >>> with_mathml("Bore $b$; in code `$b$`.")
    'Bore <math xmlns="http://www.w3.org/1998/Math/MathML"><mi>b</mi></math>; in code `$b$`.'
    """
    return FORMULA.sub(_mathml, text)


def _mathml(found: re.Match[str]) -> str:
    formula = found["alone"] or found["in_line"]
    if formula is None:
        return found[0]
    try:
        mathml = tex2mathml(formula, as_block=found["alone"] is not None)
    except MathError:
        return found[0]
    return "".join(line.strip() for line in mathml.splitlines())
