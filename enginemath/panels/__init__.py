"""Panels: one function a lesson, a drawing that follows its sliders.

Each panel has a twin in plain code, `…_numbers`, that gives the same numbers without it.
"""

import sys
from types import ModuleType
from typing import Any

from enginemath.panels.frame.on_first_call import on_first_call

with on_first_call():
    from enginemath.answers.writing_questions import write_a_number_numbers
    from enginemath.panels.add_it_up import add_it_up, add_it_up_numbers
    from enginemath.panels.bore_and_stroke import bore_and_stroke, bore_and_stroke_numbers
    from enginemath.panels.build_sheet import build_sheet, build_sheet_numbers
    from enginemath.panels.cc_the_chamber import cc_the_chamber, cc_the_chamber_numbers
    from enginemath.panels.choose_the_change import choose_the_change, choose_the_change_numbers
    from enginemath.panels.dish_and_dome import dish_and_dome, dish_and_dome_numbers
    from enginemath.panels.fuel_air_and_cam import fuel_air_and_cam, fuel_air_and_cam_numbers
    from enginemath.panels.gasket_and_deck import gasket_and_deck, gasket_and_deck_numbers
    from enginemath.panels.how_sure import how_sure, how_sure_numbers
    from enginemath.panels.read_the_tools import read_the_tools, read_the_tools_numbers
    from enginemath.panels.two_volumes import two_volumes, two_volumes_numbers
    from enginemath.panels.write_a_number import write_a_number

__all__ = [
    "add_it_up",
    "add_it_up_numbers",
    "bore_and_stroke",
    "bore_and_stroke_numbers",
    "build_sheet",
    "build_sheet_numbers",
    "cc_the_chamber",
    "cc_the_chamber_numbers",
    "choose_the_change",
    "choose_the_change_numbers",
    "dish_and_dome",
    "dish_and_dome_numbers",
    "fuel_air_and_cam",
    "fuel_air_and_cam_numbers",
    "gasket_and_deck",
    "gasket_and_deck_numbers",
    "how_sure",
    "how_sure_numbers",
    "read_the_tools",
    "read_the_tools_numbers",
    "two_volumes",
    "two_volumes_numbers",
    "write_a_number",
    "write_a_number_numbers",
]


class _Room(ModuleType):
    """A panel and its file have one name; here it is the panel's, also when its file is read."""

    def __setattr__(self, name: str, value: Any) -> None:
        if name not in __all__:
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Room
