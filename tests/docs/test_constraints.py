"""The file of versions and hashes that a school installs from, against pyproject.toml."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "docs" / "how-to" / "constraints.txt").read_text(encoding="utf-8")
PINNED = [
    Requirement(line.removesuffix("\\")) for line in TEXT.splitlines() if re.match(r"\w", line)
]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
NAMED = [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["complete"]]


@pytest.mark.parametrize("named", NAMED)
@pytest.mark.parametrize("python", ["3.11", "3.12", "3.13", "3.14"])
def test_one_version_of_each_library_within_its_bounds(named: str, python: str) -> None:
    wanted = Requirement(named)
    here = {"python_version": python, "python_full_version": f"{python}.9"}
    (pinned,) = [
        each
        for each in PINNED
        if canonicalize_name(each.name) == canonicalize_name(wanted.name)
        and (each.marker is None or each.marker.evaluate(here))
    ]
    (only,) = pinned.specifier
    assert only.operator == "=="
    assert wanted.specifier.contains(only.version)


def test_every_version_has_hashes_and_no_address() -> None:
    entries = re.split(r"\n(?=\w)", TEXT)[1:]
    assert len(entries) == len(PINNED)
    for entry in entries:
        assert re.search(r"\n    --hash=sha256:[0-9a-f]{64}", entry), entry
    assert not re.search(r"://|--(?:index|extra-index|find-links|trusted)", TEXT)
