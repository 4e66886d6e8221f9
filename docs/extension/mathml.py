"""Formulas as MathML, which browsers draw by themselves: no script, no font, no network."""

from __future__ import annotations

from docutils import nodes
from docutils.utils.math import latex2mathml
from sphinx.application import Sphinx
from sphinx.writers.html5 import HTML5Translator


def in_the_line(page: HTML5Translator, formula: nodes.math) -> None:
    """Write a formula that stands in a sentence."""
    page.body.append(latex2mathml.tex2mathml(formula.astext()))
    raise nodes.SkipNode


def on_its_own(page: HTML5Translator, formula: nodes.math_block) -> None:
    """Write a formula that stands in a line of its own."""
    mathml = latex2mathml.tex2mathml(formula.astext(), as_block=True)
    page.body.append(f'<div class="math">{mathml}</div>\n')
    raise nodes.SkipNode


def setup(app: Sphinx) -> dict[str, bool]:
    """Join Sphinx."""
    app.add_html_math_renderer("mathml", (in_the_line, None), (on_its_own, None))
    return {"parallel_read_safe": True, "parallel_write_safe": True}
