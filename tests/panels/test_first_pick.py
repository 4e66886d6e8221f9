"""What can be picked was read and planned when the panel opened: no hand waits for it."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from typing import Any

import pytest

from enginemath.panels.frame.engines import kit_sheet
from enginemath.panels.frame.setting import Choice
from enginemath.sheets import kit_data
from tests.panels.opened import ALL, opened

READ_ONCE = {
    "choose_the_change": ("_kit_options",),
    "how_sure": ("_class_study",),
    "build_sheet": ("_kit_planned",),
}
"""By panel: what its file works out once in a program."""


def file_of(name: str) -> Any:
    return import_module(f"enginemath.panels.{name}")


@pytest.fixture
def as_in_a_new_program(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of the kit was read yet; what other tests have read is theirs again afterwards."""
    for module, name in [
        *((file_of(panel), name) for panel, names in READ_ONCE.items() for name in names),
        (import_module("enginemath.panels.frame.engines"), kit_sheet.__name__),
    ]:
        known = getattr(module, name)
        monkeypatch.setattr(module, name, cache(known.__wrapped__))


def late(*_: Any, **__: Any) -> Any:
    raise AssertionError("only now")


@pytest.mark.usefixtures("as_in_a_new_program")
@pytest.mark.parametrize("name", ALL)
def test_a_pick_reads_and_plans_nothing(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    panel = opened(name)
    monkeypatch.setattr(kit_data, "path", late)
    monkeypatch.setattr(file_of("build_sheet"), "plan_report", late)
    monkeypatch.setattr(file_of("build_sheet"), "work_order", late)
    for setting in panel.settings:
        if isinstance(setting, Choice) and setting.shown and not setting.locked:
            for place in (*range(len(setting.options)), 0):
                panel.take(setting.name, place)
                assert not panel.trouble, (setting.name, place)
