"""A lesson's first line reads few files; what it names reads its own when it is called."""

from __future__ import annotations

import inspect
import subprocess
import sys
import threading
from importlib import import_module

import pytest

from enginemath import lesson, panels
from enginemath.panels.frame.on_first_call import OnFirstCall, on_first_call

MOST_FILES = 60
"""Of the kit, that the first line of a lesson reads."""


def test_the_first_line_reads_no_drawing_and_no_answer() -> None:
    code = """
import sys
from enginemath.lesson import *
rooms = [name.split(".")[1] for name in sys.modules if name.startswith("enginemath.")]
assert not {"drawing", "answers", "change"} & set(rooms), rooms
print(len(rooms))
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert 0 < int(done.stdout) <= MOST_FILES


@pytest.mark.parametrize("room", [lesson, panels], ids=["lesson", "panels"])
def test_every_name_is_found_and_told_as_by_its_own_file(room: object) -> None:
    later = {
        name: each for name in room.__all__ if isinstance(each := getattr(room, name), OnFirstCall)
    }
    assert len(later) > 20
    for name, each in later.items():
        own = getattr(import_module(each.__module__), each.__name__)
        assert each.from_file() is inspect.unwrap(each) is own
        assert each.__name__ == name == own.__name__ or name == "doubts_table"
        assert (inspect.getdoc(each), inspect.signature(each)) == (
            inspect.getdoc(own),
            inspect.signature(own),
        )


def test_to_look_for_what_a_room_holds_reads_nothing() -> None:
    """As a search for docstring examples does, that walks through the names as they stand."""
    code = """
import doctest, sys
from enginemath import lesson
before = set(sys.modules)
doctest.DocTestFinder().find(lesson)
print(len({name for name in set(sys.modules) - before if name.startswith("enginemath")}))
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "0\n"


def test_a_panel_and_its_file_have_one_name() -> None:
    file = import_module("enginemath.panels.add_it_up")
    assert inspect.ismodule(file)
    assert inspect.getdoc(panels.add_it_up) == inspect.getdoc(file.add_it_up)
    assert inspect.unwrap(panels.add_it_up) is file.add_it_up


def test_one_may_ask_what_is_of_a_class() -> None:
    block = lesson.Height("212.46 mm", "212.10 mm", source="shop manual, block")
    assert isinstance(block, lesson.Height)
    assert not isinstance("212.46 mm", lesson.Height)


def test_what_others_import_meanwhile_is_read() -> None:
    found = []

    def elsewhere() -> None:
        space: dict[str, object] = {"__name__": "elsewhere"}
        exec("from enginemath.units import percent", space)
        found.append(space["percent"])

    with on_first_call():
        from enginemath.units import fixed

        other = threading.Thread(target=elsewhere)
        other.start()
        other.join()
    assert isinstance(fixed, OnFirstCall)
    assert not isinstance(found[0], OnFirstCall)
    from enginemath.units import fixed as read

    assert not isinstance(read, OnFirstCall)


def test_a_name_that_is_not_in_its_file_is_missed_when_it_is_called() -> None:
    with pytest.raises(AttributeError, match="no_such_thing"):
        OnFirstCall("enginemath.units", "no_such_thing")()


def test_all_is_read_before_a_hand_waits_for_it() -> None:
    code = """
import sys
from enginemath import panels
from enginemath.panels.frame.on_first_call import read_all
assert "enginemath.panels.add_it_up" not in sys.modules
read_all(panels)
print(sum(name.startswith("enginemath.panels.") and name.count(".") == 2 for name in sys.modules))
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert int(done.stdout) == 13, "twelve panels and their frame"
