"""What the commands gave as JSON before the library moved into its rooms, they give today.

`commands.json` holds, a line each, a command's arguments and what it gave: `ratio`, `plan`,
`diagnose` (of every quantity the right answer, one in another unit, one that nothing explains, and
what each mistake of the catalogue gives) and `audit` (a paper without a slip, and one for each
mistake). Numbers are equal to 1e-12, all else is equal; a new key is no difference.

Where an output changes on purpose, store it anew and look at what git says of it:

    RENEW_OLD_DOORS=1 python -m pytest tests/old_doors/test_commands_json.py

A command is added by its line, with `"gives": {}`, and the same.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest

from enginemath.cli import main
from tests.old_doors.comparing import differences

REPOSITORY = Path(__file__).parents[2]
FILE = Path(__file__).with_name("commands.json")
COMMANDS: list[dict[str, Any]] = json.loads(FILE.read_text(encoding="utf-8"))


def given(arguments: list[str]) -> dict[str, Any]:
    """What a command gives; files are named from the repository."""
    words = [str(REPOSITORY / word) if word.endswith(".toml") else word for word in arguments]
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(words) == 0, arguments
    return json.loads(out.getvalue())


def renew() -> None:
    """Store what the commands give now."""
    for command in COMMANDS:
        command["gives"] = given(command["arguments"])
    lines = ",\n".join(json.dumps(command, ensure_ascii=False) for command in COMMANDS)
    FILE.write_text(f"[\n{lines}\n]\n", encoding="utf-8")


def group(command: dict[str, Any]) -> str:
    """Command, sheet and quantity: what is tested together."""
    name, sheet, *rest = command["arguments"]
    asked = [rest[1]] if name == "diagnose" else []
    return " ".join([name, Path(sheet).stem, *asked])


if os.environ.get("RENEW_OLD_DOORS"):
    renew()
GROUPS = {
    name: list(commands) for name, commands in groupby(sorted(COMMANDS, key=group), key=group)
}


@pytest.mark.parametrize("name", GROUPS)
def test_a_command_gives_what_it_gave(name: str) -> None:
    for command in GROUPS[name]:
        found = list(differences(command["gives"], given(command["arguments"])))
        assert not found, f"{' '.join(command['arguments'])}: see the top of this file"


def test_every_command_with_json_and_every_engine_of_the_kit_is_in_it() -> None:
    """The benches (format 2) came after the move; they have tests of their own."""
    engines = [
        file.stem
        for file in (REPOSITORY / "datasets").glob("heron-*.toml")
        if "options" not in file.stem and "bench" not in file.stem
    ]
    assert len(engines) >= 3
    for name in ("ratio", "plan", "audit", "diagnose"):
        stored = {each.split()[1] for each in GROUPS if each.startswith(name)}
        assert stored >= set(engines), name
