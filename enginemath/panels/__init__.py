"""Panels: one function a lesson, a drawing that follows its sliders.

Each panel has a twin in plain code, `…_numbers`, that gives the same numbers without it.
"""

from enginemath.panels.add_it_up import add_it_up, add_it_up_numbers
from enginemath.panels.choose_the_change import choose_the_change, choose_the_change_numbers
from enginemath.panels.dish_and_dome import dish_and_dome, dish_and_dome_numbers

__all__ = [
    "add_it_up",
    "add_it_up_numbers",
    "choose_the_change",
    "choose_the_change_numbers",
    "dish_and_dome",
    "dish_and_dome_numbers",
]
