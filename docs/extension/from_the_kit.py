"""Directives that ask the kit itself, so that the pages cannot fall behind it.

- ``mistakes``: the catalogue of mistakes;
- ``readings``: the readings of a build sheet, with their limits;
- ``rules-of-thumb``: the trade's rules, with their status;
- ``levels``: how hard a class set can be;
- ``names MODULE``: what a module offers, a line each; ``:here:`` links its functions to the page's
  own ``functions-of MODULE``, which says what each does;
- ``run ARGUMENTS``: an `enginemath` command and what it prints;
- ``file PATH``: a file of the repository;
- ``section-of ENGINE``, ``stack-of ENGINE``: a drawing of one of the kit's engines;
- ``taking KIND``: where a kind of reading is taken, with what, and what it can be.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterable, Sequence
from contextlib import chdir, redirect_stdout
from importlib import import_module
from inspect import getdoc, isfunction, unwrap
from io import StringIO
from pathlib import Path
from types import ModuleType
from typing import ClassVar
from unittest import mock

from docutils import nodes
from docutils.parsers.rst import directives
from sphinx.application import Sphinx
from sphinx.util.docutils import SphinxDirective

from enginemath import cli
from enginemath.answers import CATALOGUE
from enginemath.classroom.sets.levels import LEVELS
from enginemath.drawing.cylinder.section import section
from enginemath.drawing.cylinder.views import section_view, stack_view
from enginemath.drawing.cylinder.volume_blocks import stack
from enginemath.drawing.taking.scenes import Taken, taking
from enginemath.engine import limits, rules_of_thumb
from enginemath.engine.parts import one_cylinder, plain
from enginemath.engine.stack import stacks
from enginemath.panels.frame.engines import engine_of
from enginemath.panels.frame.on_first_call import read_all
from enginemath.sheets.fields import READINGS
from enginemath.sheets.own_engine.bench_order import TAKINGS
from enginemath.sheets.what_is_read import WHATS

ROOT = Path(__file__).parents[2]


class FromTheKit(SphinxDirective):
    """Shows what `markdown` says, in the page's own language."""

    def markdown(self) -> str:
        """What stands in the page."""
        raise NotImplementedError

    def run(self) -> list[nodes.Node]:
        """Read the text as a part of the page."""
        return self.parse_text_to_nodes(self.markdown())


class Mistakes(FromTheKit):
    """Every mistake that a diagnosis can name."""

    def markdown(self) -> str:
        """A table, in the order of the hand calculation."""
        rows = ((f"`{m.id}`", m.tells, m.hint) for m in CATALOGUE.values())
        return _table(("id", "what the student did", "what the student is told"), rows)


class Readings(FromTheKit):
    """Every reading of a build sheet, with its limits."""

    def markdown(self) -> str:
        """A table."""
        rows = (
            (f"`{table}.{field}`", limit.name, limit.bounds, _usual(limit))
            for table, fields in READINGS.items()
            for field, limit in fields.items()
        )
        return _table(("field", "reading", "can be", "usual"), rows)


class RulesOfThumb(FromTheKit):
    """Every rule of thumb."""

    def markdown(self) -> str:
        """A table."""
        rows = (
            (rule.name.rstrip(","), rule.range, rule.status, rule.caution)
            for rule in rules_of_thumb.RULES
        )
        return _table(("rule", "range", "status", "caution"), rows)


class Levels(FromTheKit):
    """How hard a class set can be."""

    def markdown(self) -> str:
        """A table, from easy to hard."""
        return _table(
            ("level", "trains"), ((f"`{level.name}`", level.says) for level in LEVELS.values())
        )


def _read(name: str) -> ModuleType:
    module = import_module(name)
    read_all(module)
    return module


class Names(FromTheKit):
    """What a module offers."""

    required_arguments = 1
    option_spec: ClassVar = {"here": directives.flag}

    def markdown(self) -> str:
        """A table: each name, linked to where it is documented, and its purpose."""
        module = _read(self.arguments[0])
        rows = []
        for name in module.__all__:
            offered = unwrap(getattr(module, name))
            page = _full_name(offered)
            if "here" in self.options and isfunction(offered):
                page = f"{module.__name__}.{name}"
            link = f"{{py:obj}}`{name} <{page}>`" if page else f"`{name}`"
            purpose = (getdoc(offered) or "") if page else _OTHERS.get(name, "")
            rows.append((link, purpose.partition("\n")[0]))
        return _table(("name", "purpose"), rows)


_OTHERS = {
    "Quantity": "A number with a unit of the kit's registry.",
    "ureg": "The kit's registry of units.",
}


class FunctionsOf(FromTheKit):
    """What each function does that a module offers, also those that it has from elsewhere."""

    required_arguments = 1

    def markdown(self) -> str:
        """Their docstrings, under the module's own name."""
        module = _read(self.arguments[0])
        functions = (name for name in module.__all__ if isfunction(unwrap(getattr(module, name))))
        lines = (f".. autofunction:: {module.__name__}.{name}" for name in functions)
        return "\n".join(["```{eval-rst}", *lines, "```"])


class Run(FromTheKit):
    """A command and what it prints, run while the page is built."""

    required_arguments = 1
    final_argument_whitespace = True

    def markdown(self) -> str:
        """A block as on a terminal."""
        (command,) = self.arguments
        return f"````text\n$ enginemath {command}\n{_printed(shlex.split(command))}\n````"


class File(FromTheKit):
    """A file of the repository as it is."""

    required_arguments = 1

    def markdown(self) -> str:
        """A block in the file's own language."""
        path = ROOT / self.arguments[0]
        self.env.note_dependency(str(path))
        return f"````{path.suffix[1:]}\n{path.read_text(encoding='utf-8').rstrip()}\n````"


class SectionOf(SphinxDirective):
    """One cylinder of an engine in section."""

    required_arguments = 1

    def run(self) -> list[nodes.Node]:
        """The drawing."""
        engine = plain(one_cylinder(engine_of(self.arguments[0]), 0))
        return [nodes.raw("", section(section_view(engine)).svg(), format="html")]


class StackOf(SphinxDirective):
    """The volumes of one cylinder of an engine."""

    required_arguments = 1

    def run(self) -> list[nodes.Node]:
        """The drawing."""
        engine = plain(one_cylinder(engine_of(self.arguments[0]), 0))
        picture = stack(stack_view(stacks(engine)[0], engine))
        return [nodes.raw("", picture.svg(), format="html")]


class TakingOf(SphinxDirective):
    """How one kind of reading is taken: the record page's own picture, its words and its limits."""

    required_arguments = 1
    final_argument_whitespace = True

    def run(self) -> list[nodes.Node]:
        """The drawing, and below it what is done."""
        what = self.arguments[0]
        how, (shown, value) = TAKINGS[what], _SHOWN[what]
        box = "end" if how.is_poured else "reading"
        place = next(iter(how.places))
        drawn = Taken(what, box, place, value, shown, other=value)
        tools = " and ".join(filter(None, (how.depth_tool, how.tool)))
        title, key = f"{what.capitalize()}, with the {tools}", f"taking-{what.replace(' ', '-')}"
        picture = taking(drawn, title, key=key)
        limit = WHATS[what].limit
        usual = _usual(limit)
        places = ", ".join(filter(None, how.places))
        said = [
            f"**With the {tools}.** {how.how}",
            f"Read at: {places}." if places else "",
            f"Usual: {usual} (common practice, no source)." if usual else "",
        ]
        words = self.parse_text_to_nodes("\n\n".join(filter(None, said)))
        return [nodes.raw("", picture.svg(), format="html"), *words]


_SHOWN = {
    "deck clearance": ("0.53 mm", 0.53),
    "depth at bdc": ("88.90 mm", 88.9),
    "bore": ("101.61 mm", 101.61),
    "known depth": ("77.60 mL", 77.6),
    "chamber": ("64.40 mL", 64.4),
    "gasket bore": ("104.10 mm", 104.1),
    "compressed thickness": ("1.04 mm", 1.04),
    "free thickness": ("1.32 mm", 1.32),
    "stroke": ("88.37 mm", 88.37),
    "rod length": ("144.8 mm", 144.8),
    "dish": ("6.20 mL", 6.2),
    "dome": ("4.5 cc", 4.5),
    "reliefs": ("2.80 mL", 2.8),
    "land height": ("6.10 mm", 6.1),
    "land diameter": ("101.05 mm", 101.05),
    "block height": ("229.4 mm", 229.4),
    "compression height": ("39.8 mm", 39.8),
    "pin offset": ("0.8 mm", 0.8),
    "intake closes": ("61°", 61.0),
    "exhaust closes": ("82°", 82.0),
    "prechamber": ("14.30 mL", 14.3),
    "plug hole pour": ("80.20 mL", 80.2),
}
"""What the tool shows in each picture: of one invented engine."""


def _full_name(offered: object) -> str | None:
    """The full name under which something of the kit is documented: its package's, if offered."""
    home = getattr(offered, "__module__", "")
    name = getattr(offered, "__qualname__", "")
    if not name or home.partition(".")[0] != "enginemath":
        return None
    package = home.rpartition(".")[0]
    if package not in ("", "enginemath") and name in getattr(import_module(package), "__all__", ()):
        home = package
    return f"{home}.{name}"


def _table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [headings, ["---"] * len(headings), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _usual(limit: limits.Limit) -> str:
    return "" if limit.usual is None else f"{limit.usual[0]:g} to {limit.usual[1]:g} {limit.unit}"


def _printed(arguments: Sequence[str]) -> str:
    """What a command prints on a terminal of 80 columns."""
    printed = StringIO()
    with chdir(ROOT), redirect_stdout(printed), mock.patch.dict(os.environ, COLUMNS="80"):
        try:
            code = cli.main(arguments)
        except SystemExit as after_help:
            code = after_help.code
    if code:
        raise ValueError(f"enginemath {shlex.join(arguments)} ends with {code}")
    return printed.getvalue().rstrip()


def setup(app: Sphinx) -> dict[str, bool]:
    """Join Sphinx."""
    for name, directive in {
        "mistakes": Mistakes,
        "readings": Readings,
        "rules-of-thumb": RulesOfThumb,
        "levels": Levels,
        "names": Names,
        "functions-of": FunctionsOf,
        "run": Run,
        "file": File,
        "section-of": SectionOf,
        "stack-of": StackOf,
        "taking": TakingOf,
    }.items():
        app.add_directive(name, directive)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
