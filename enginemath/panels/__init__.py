"""Panels: one function a lesson, a drawing that follows its sliders.

Each panel has a twin in plain code, `…_numbers`, that gives the same numbers without it.
"""

from enginemath.panels.add_it_up import add_it_up, add_it_up_numbers

__all__ = ["add_it_up", "add_it_up_numbers"]
