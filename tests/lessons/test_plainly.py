"""In a real kernel, what goes wrong in a cell is said in one sentence and not as a traceback."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from jupyter_client.manager import start_new_kernel

Cell = Callable[[str], tuple[str, list[str]]]


@pytest.fixture(scope="module")
def cell() -> Iterator[Cell]:
    """Run one cell in a kernel where the lesson's first line has run."""
    manager, client = start_new_kernel(kernel_name="python3")

    def run(source: str) -> tuple[str, list[str]]:
        printed: list[str] = []
        kinds: list[str] = []

        def keep(message: dict[str, Any]) -> None:
            kinds.append(message["msg_type"])
            printed.append(message["content"].get("text", ""))

        client.execute_interactive(source, timeout=60, output_hook=keep)
        return "".join(printed), kinds

    run("from enginemath.lesson import *")
    yield run
    client.stop_channels()
    manager.shutdown_kernel(now=True)


@pytest.mark.parametrize(
    ("source", "sentence"),
    [
        ("my_ratio = nine", "nine is not a name that has a value yet"),
        ("my_ratio = 9.26 cc", "line 1 is not written so that the kit can read it"),
        ('read("3,9 mm")', "write a decimal point, not a comma"),
        ('read("92 mm") + read("5 cc")', "a length (mm) and a volume (cc) cannot be added"),
        ('load_sheet("heron-ninety")', "heron-ninety"),
        ("1 / 0", "this cell could not be worked out (ZeroDivisionError"),
    ],
)
def test_one_sentence(cell: Cell, source: str, sentence: str) -> None:
    printed, kinds = cell(source)
    assert sentence in printed
    assert "Traceback" not in printed
    assert "error" not in kinds
    assert printed.count("\n") == 1


def test_the_next_cell_works_again(cell: Cell) -> None:
    cell("my_ratio = nine")
    assert cell('print(show(read("1 in"), "mm"))')[0] == "25.400 mm\n"
