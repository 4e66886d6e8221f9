"""The house keeps its floors: a file imports only from floors below it, and never in a circle.

A room is a folder of `enginemath` (or a file at its top); the files of one room may import each
other. Whoever adds a room places it here.
"""

from __future__ import annotations

import ast
import sys
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[1]
HOUSE = REPOSITORY / "enginemath"

# The floors, from the ground up. A room imports only from floors below its own.
FLOORS: list[set[str]] = [
    {"units"},
    {"formulas"},
    {"engine"},
    {"bench", "drawing"},
    {"sheets"},
    {"change"},
    {"answers"},
    {"classroom", "panels"},
    {"lesson", "quiet_lab"},
    {"pages"},
    {"geometry", "buildsheet", "enginemath"},  # front doors: they hand names on, nothing else
    {"cli"},
    {"__main__"},
]
MOST_ENTRIES, MOST_ARROWS = 16, 95

HEIGHT = {room: height for height, rooms in enumerate(FLOORS) for room in rooms}


def module_name(file: Path) -> str:
    parts = file.relative_to(HOUSE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def room_of(module: str) -> str:
    """``enginemath.drawing.paper.svg`` stands in the room ``drawing``."""
    below = module.split(".")[1:]
    return below[0] if below else "enginemath"


FILES = {
    module_name(file): file
    for file in sorted(HOUSE.rglob("*.py"))
    if "_kit" not in file.relative_to(HOUSE).parts
}


def imported(source: str, module: str, modules: Iterable[str]) -> set[str]:
    """The modules that a source names in any import, also inside a function."""
    known, found = set(modules), set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                # "from . import x" counts from the package that the module stands in.
                package = module if module in packages(known) else module.rpartition(".")[0]
                above = package.split(".")[: len(package.split(".")) - node.level + 1]
                base = ".".join([*above, *([base] if base else [])])
            names = {f"{base}.{each.name}" for each in node.names}
            found |= names & known or {base}
            if names - known:
                found.add(base)
    return found - {module}


def packages(modules: Iterable[str]) -> set[str]:
    return {module.rpartition(".")[0] for module in modules}


IMPORTS = {
    module: imported(file.read_text(encoding="utf-8"), module, FILES)
    for module, file in FILES.items()
}


def inside(modules: Iterable[str]) -> set[str]:
    return {module for module in modules if module.partition(".")[0] == "enginemath"}


def climbs(module: str, imports: Iterable[str], height: Mapping[str, int]) -> list[str]:
    """The imports of a module that do not lead downwards."""
    room = room_of(module)
    rooms = {room_of(each) for each in inside(imports)} - {room}
    return sorted(other for other in rooms if height[other] >= height[room])


def circle(imports: Mapping[str, Iterable[str]]) -> list[str]:
    """Modules that import each other in a circle; empty where there is none."""
    done: set[str] = set()

    def walk(module: str, path: list[str]) -> list[str]:
        if module in path:
            return [*path[path.index(module) :], module]
        if module in done:
            return []
        for other in sorted(imports.get(module, ())):
            found = walk(other, [*path, module])
            if found:
                return found
        done.add(module)
        return []

    for module in sorted(imports):
        found = walk(module, [])
        if found:
            return found
    return []


def test_every_room_has_its_place() -> None:
    rooms = {room_of(module) for module in FILES}
    assert rooms - set(HEIGHT) == set(), "place these rooms in FLOORS"
    assert set(HEIGHT) - rooms == set(), "these rooms are gone: take them out of FLOORS"
    assert sum(map(len, FLOORS)) == len(HEIGHT), "a room stands twice"


def test_rooms_are_few() -> None:
    """Few enough to be read at a glance, and few arrows between them."""
    entries = {room_of(module) for module in FILES} - {"enginemath", "__main__"}
    arrows = {
        (room_of(module), room_of(other))
        for module, names in IMPORTS.items()
        for other in inside(names)
        if room_of(other) != room_of(module)
    }
    assert len(entries) <= MOST_ENTRIES
    assert len(arrows) <= MOST_ARROWS


def test_the_tests_mirror_the_house() -> None:
    """A room is tested in the folder of its name."""
    folders = {path.name for path in (REPOSITORY / "tests").iterdir() if path.is_dir()}
    rooms = {room_of(module) for module in packages(FILES) if module.count(".") == 1}
    renamed = {"lesson": "lessons"}
    assert {renamed.get(room, room) for room in rooms} - folders == set()


@pytest.mark.parametrize("module", FILES)
def test_imports_lead_downwards(module: str) -> None:
    assert climbs(module, IMPORTS[module], HEIGHT) == []


def test_no_circle() -> None:
    assert circle({module: inside(names) for module, names in IMPORTS.items()}) == []


def test_only_declared_libraries_are_imported() -> None:
    """SciPy and the like check the formulas in the tests; the kit itself does without."""
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["complete"]]
    declared = {requirement.partition(">")[0].replace("-", "_") for requirement in wanted}
    declared |= {
        "traitlets",
        "IPython",
        "jupyter_core",
        "jupyter_client",
        "jupyter_server",
        "tornado",
        "ipykernel",
    }  # come with these
    for module, names in IMPORTS.items():
        libraries = {name.partition(".")[0] for name in names} - sys.stdlib_module_names
        assert libraries - declared - {"enginemath"} == set(), module


class TestTheTestItself:
    """It can fail: made-up houses with one fault each."""

    MODULES = ("enginemath", "enginemath.low", "enginemath.high", "enginemath.high.window")
    HEIGHTS = {"low": 0, "high": 1, "enginemath": 2}  # noqa: RUF012

    @pytest.mark.parametrize(
        "source",
        [
            "import enginemath.high",
            "from enginemath import high",
            "from enginemath.high import window",
            "from enginemath.high.window import pane",
            "def later():\n    from enginemath.high import window",
            "from . import high",
            "from .high import window",
            "from enginemath import Cylinder",
            "import enginemath as em",
        ],
    )
    def test_an_import_upwards_is_found(self, source: str) -> None:
        found = imported(source, "enginemath.low", self.MODULES)
        assert climbs("enginemath.low", found, self.HEIGHTS) != []

    @pytest.mark.parametrize(
        "source",
        [
            "from enginemath import low",
            "from enginemath.high import door",
            "from . import door",
            "from .. import low",
            "import math, numpy",
        ],
    )
    def test_downwards_and_within_a_package_is_right(self, source: str) -> None:
        found = imported(source, "enginemath.high.window", self.MODULES)
        assert climbs("enginemath.high.window", found, self.HEIGHTS) == []

    def test_a_circle_is_found(self) -> None:
        assert circle({"a": ["b"], "b": ["c"], "c": ["a"], "d": []}) == ["a", "b", "c", "a"]
        assert circle({"a": ["b", "c"], "b": ["c"], "c": []}) == []
