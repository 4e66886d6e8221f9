"""A class's sheets sealed: what goes in, and what is refused; the browser opens them elsewhere."""

from __future__ import annotations

import base64
import json
import shutil
from pathlib import Path

import pytest

from enginemath.pages.offline.build import build_site
from enginemath.pages.offline.sealed_sheets import ROUNDS, seal_sheets
from enginemath.units import Refused
from tests.classroom.class_sets import make

needs_node = pytest.mark.skipif(shutil.which("node") is None, reason="Node.js is not here")


@needs_node
def test_each_student_gets_one_packet_and_all_are_of_one_length(tmp_path: Path) -> None:
    """Of two class sets in one folder; AES-GCM adds 16 bytes (NIST SP 800-38D, 5.2.1.2)."""
    for level in ("flat", "dome"):
        make(tmp_path / "class" / level, 2, level)
    text, students = seal_sheets(tmp_path / "class", tmp_path / "site")
    sealed = json.loads(text)
    assert students == len(sealed["sheets"]) == 2
    assert sealed["rounds"] == ROUNDS >= 600_000
    lengths = {tuple(len(base64.b64decode(part)) for part in each) for each in sealed["sheets"]}
    ((start, length),) = lengths
    assert start == 12
    assert length > 4 + 16
    assert set(sealed) == {"rounds", "salt", "sheets"}
    assert {file.name for file in (tmp_path / "class" / "slips").iterdir()} == {
        "slips.html",
        "words.csv",
    }
    again, _ = seal_sheets(tmp_path / "class", tmp_path / "site")
    assert json.loads(again)["salt"] != sealed["salt"]


def test_what_is_no_class_set_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no class set; name the folder that class-set made"):
        seal_sheets(tmp_path / "none", tmp_path / "site")
    (tmp_path / "set" / "students").mkdir(parents=True)
    with pytest.raises(Refused, match="no notebook of a class set"):
        seal_sheets(tmp_path / "set", tmp_path / "site")
    (tmp_path / "set" / "students" / "one.ipynb").write_text("{}")
    with pytest.raises(Refused, match=r"one\.ipynb: not a sheet of a class set"):
        seal_sheets(tmp_path / "set", tmp_path / "site")
    assert not (tmp_path / "set" / "slips").exists()


@pytest.mark.parametrize("out", ["set", "set/site", "."])
def test_slips_and_key_never_lie_in_the_site(tmp_path: Path, out: str) -> None:
    (tmp_path / "set" / "students").mkdir(parents=True)
    (tmp_path / "site").mkdir()
    with pytest.raises(Refused, match="need a folder apart from the class sets"):
        seal_sheets(tmp_path / "set", tmp_path / out)


def test_sets_are_looked_at_before_anything_is_fetched(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no class set"):
        build_site(tmp_path / "site", sets=tmp_path / "none", pyodide=tmp_path / "none.tgz")
    assert not (tmp_path / "site").exists()
