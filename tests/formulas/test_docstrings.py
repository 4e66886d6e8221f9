"""The formula rooms read like a book: each public function tells all that a reader needs.

Its formula as on the blackboard, each argument and the result with its unit, what it refuses,
where it is from, and one worked example that runs. Methods and properties are functions too.
"""

from __future__ import annotations

import ast
import doctest
import importlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[2] / "enginemath"
ROOMS = [
    "formulas/[a-z]*.py",
    "engine/cycle/[a-z]*.py",
    "engine/part_for_ratio.py",
    "engine/running.py",
    "engine/stack.py",
    "bench/measuring.py",
    "bench/how_sure/distributions.py",
    "bench/how_sure/propagation.py",
    "change/cuts.py",
]
FILES = [file for room in ROOMS for file in sorted(HOUSE.glob(room))]

NUMBERS = {"Number", "float", "pint.Quantity"}
UNIT = re.compile(
    r"\b(angle|area|bare|capacity|chance|cc|density|energy|factor|heat|height|K|kelvin|length|"
    r"mass|number|percent|points|pressure|ratio|share|slope|temperature|unit|units|volume|work)\b",
    re.IGNORECASE,
)
ENTRY = re.compile(r"^    (\w+): (.*(?:\n {5,}.*)*)", re.MULTILINE)


@dataclass(frozen=True)
class Function:
    """A public function as its file has it."""

    name: str
    node: ast.FunctionDef
    refuses: bool

    @property
    def text(self) -> str:
        return ast.get_docstring(self.node) or ""

    @property
    def opening(self) -> str:
        """What stands before the first section and the example: purpose, formula, remarks."""
        return re.split(r"^(?:(?:Args|Returns|Raises|Source):|>>>)", self.text, flags=re.M)[0]

    def section(self, title: str) -> str:
        """A section's text, up to the next section or the example."""
        ends = r"(?=^(?:Args|Returns|Raises|Source):|^>>>|\Z)"
        found = re.search(rf"^{title}:(.*?){ends}", self.text, re.MULTILINE | re.DOTALL)
        return found[1].rstrip() if found else ""

    @property
    def parameters(self) -> dict[str, str]:
        """The arguments by name, each with its annotation."""
        taken = self.node.args
        arguments = [*taken.posonlyargs, *taken.args, *taken.kwonlyargs]
        return {
            argument.arg: ast.unparse(argument.annotation) if argument.annotation else ""
            for argument in arguments
            if argument.arg not in {"self", "cls"}
        }

    @property
    def is_number(self) -> bool:
        return self.node.returns is not None and ast.unparse(self.node.returns) in NUMBERS


def lacks(function: Function) -> list[str]:
    """What a docstring still owes its reader."""
    missing = []
    told = dict(ENTRY.findall(function.section("Args")))
    taken = function.parameters
    missing += [f"argument {name}" for name in taken if name not in told]
    missing += [f"{name}, which is no argument," for name in told if name not in taken]
    missing += [
        f"unit of {name}"
        for name, kind in taken.items()
        if ("Number" in kind or "Quantity" in kind) and "Callable" not in kind
        if name in told and not UNIT.search(told[name])
    ]
    if not function.section("Returns").strip():
        missing.append("Returns")
    elif function.is_number and not UNIT.search(function.section("Returns")):
        missing.append("unit of the result")
    if function.refuses and not re.search(r"^    Refused: \S", function.section("Raises"), re.M):
        missing.append("Raises")
    if not function.section("Source").strip():
        missing.append("Source")
    if function.is_number and not re.search(r"^    .* = ", function.opening, re.M):
        missing.append("formula")
    examples = doctest.DocTestParser().get_examples(function.text)
    own_name = re.compile(rf"\b{function.node.name}\b")
    if not any(own_name.search(e.source) for e in examples) or not any(e.want for e in examples):
        missing.append("example that uses it and shows a result")
    return missing


def functions_of(source: str, module: str) -> Iterator[Function]:
    """The public functions of a file, and the public methods of its public classes."""
    tree = ast.parse(source)
    known = {node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}
    for node in tree.body:
        inside = node.body if isinstance(node, ast.ClassDef) else [node]
        path = f"{module}.{node.name}." if isinstance(node, ast.ClassDef) else f"{module}."
        for function in inside:
            if not isinstance(function, ast.FunctionDef):
                continue
            if "._" not in f"{path}{function.name}":
                yield Function(path + function.name, function, _refuses(function, known, set()))


def _refuses(node: ast.AST, known: dict[str, ast.FunctionDef], seen: set[str]) -> bool:
    """Whether it raises, has a limit accept something, or calls such a function of its file."""
    for part in ast.walk(node):
        if isinstance(part, ast.Raise):
            return True
        if isinstance(part, ast.Attribute) and part.attr == "accept":
            return True
        if isinstance(part, ast.Name) and part.id in known and part.id not in seen:
            seen.add(part.id)
            if _refuses(known[part.id], known, seen):
                return True
    return False


FUNCTIONS = [
    function
    for file in FILES
    for function in functions_of(
        file.read_text("utf-8"), ".".join(file.relative_to(HOUSE).with_suffix("").parts)
    )
]


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.name)
def test_a_public_function_tells_all_a_reader_needs(function: Function) -> None:
    assert lacks(function) == []


class _AsPytest(doctest.DocTestFinder):
    """Finds what `pytest --doctest-modules` runs: the examples of cached properties too."""

    def _from_module(self, module: object, object: object) -> bool:
        inside = object.func if isinstance(object, cached_property) else object
        return super()._from_module(module, inside)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_example_runs(file: Path) -> None:
    module = ".".join(file.relative_to(HOUSE.parent).with_suffix("").parts)
    loaded = importlib.import_module(module)
    run = {test.name for test in _AsPytest().find(loaded, module) if test.examples}
    here = functions_of(file.read_text("utf-8"), module)
    assert {function.name for function in here} <= run


def test_the_rooms_are_there() -> None:
    rooms = {function.name.partition(".")[0] for function in FUNCTIONS}
    assert rooms == {"formulas", "engine", "bench", "change"}
    assert len(FUNCTIONS) >= 98


WHOLE = '''
def height_of(volume: Number, diameter: Number) -> Number:
    """Height of a disc.

        h = V/(π/4·d²)

    Args:
        volume: V, in the cube of the
            length unit.
        diameter: d, a length.

    Returns:
        A length.

    Raises:
        Refused: a disc without a diameter.

    Source: `disc` solved for the height.

    >>> height_of(10.0, 2.0)
    3.18
    """
    raise Refused("no diameter")
'''


def test_a_whole_docstring_lacks_nothing() -> None:
    (function,) = functions_of(WHOLE, "m")
    assert lacks(function) == []


@pytest.mark.parametrize(
    ("gone", "instead", "missing"),
    [
        ("    h = V/(π/4·d²)", "", "formula"),
        ("        diameter: d, a length.\n", "", "argument diameter"),
        ("diameter: d, a length.", "diameter: d, whatever.", "unit of diameter"),
        ("        diameter: d,", "        bore: d,", "bore, which is no argument,"),
        ("A length.", "", "Returns"),
        ("A length.", "What comes out.", "unit of the result"),
        ("Refused: a disc without a diameter.", "", "Raises"),
        ("Source: `disc` solved for the height.", "", "Source"),
        ("Source: `disc` solved for the height.", "Source:", "Source"),
        (">>> height_of(10.0, 2.0)", ">>> other(10.0, 2.0)", "example that uses it"),
        ("    3.18\n", "", "example that uses it"),
        (">>> height_of(10.0, 2.0)\n    3.18", "", "example that uses it"),
    ],
)
def test_what_lacks_is_named(gone: str, instead: str, missing: str) -> None:
    assert WHOLE.count(gone) == 1
    (function,) = functions_of(WHOLE.replace(gone, instead), "m")
    assert any(lack.startswith(missing) for lack in lacks(function))


def test_private_functions_may_be_short_and_methods_are_counted() -> None:
    source = "def _own(): ...\nclass Gas:\n    def _own(self): ...\n    def gamma(self): ...\n"
    source += "class _Own:\n    def gamma(self): ...\n"
    assert [function.name for function in functions_of(source, "gas")] == ["gas.Gas.gamma"]


def test_a_function_refuses_also_through_its_helper() -> None:
    source = "def height():\n    return _read()\ndef _read():\n    raise Refused\n"
    source += "def bore(text):\n    return BORE.accept(text)\ndef plain():\n    return 1\n"
    assert [f.refuses for f in functions_of(source, "m") if "_" not in f.name] == [
        True,
        True,
        False,
    ]
