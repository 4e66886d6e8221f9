"""Spelling: codespell over everything that people read, and British forms kept to."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import codespell_lib
import pytest

from tests.prose import LESSONS, PAGES, ROOT, markdown_of, without_code

SOLVED = sorted((ROOT / "instructor" / "solved").glob("*.ipynb"))
AMERICAN = Path(codespell_lib.__file__).with_name("data") / "dictionary_en-GB_to_en-US.txt"
ALSO_BRITISH = re.compile(
    r"airplane|analog|axe?|check|curb|draft|fill|licens|meter|practic|program|sulfur|tire"
)
"""American forms that are British words too, if of another meaning."""
KNOWN = "aas,fro,ines"
"""Rightly spelled, and not known to codespell: two names of the class, and "to and fro"."""


def misspelled(folder: Path, texts: dict[str, str]) -> list[str]:
    """What codespell finds in some texts."""
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    command = [sys.executable, "-m", "codespell_lib", "--ignore-words-list", KNOWN, str(folder)]
    found = subprocess.run(command, capture_output=True, text=True, check=False)
    return [line.replace(str(folder), "") for line in found.stdout.splitlines()]


def american(text: str) -> list[str]:
    """American forms in a text, each with the British one."""
    return [
        f"{word} -> {BRITISH[word]}"
        for word in re.findall(r"[a-z]+", text.lower())
        if word in BRITISH
    ]


def _british() -> dict[str, str]:
    pairs = (line.split("->") for line in AMERICAN.read_text(encoding="utf-8").splitlines())
    return {us.strip(" ,"): gb for gb, us in pairs if not ALSO_BRITISH.match(us)}


BRITISH = _british()


def test_no_word_is_misspelled(tmp_path: Path) -> None:
    texts = {
        str(path.relative_to(ROOT)).replace("/", "·").replace("\\", "·"): without_code(
            markdown_of(path)
        )
        for path in [*PAGES, *LESSONS, *SOLVED]
    }
    assert len(texts) > 30
    assert not misspelled(tmp_path, texts)


def test_a_misspelled_word_is_found(tmp_path: Path) -> None:
    (found,) = misspelled(tmp_path, {"page.md": "The chamber is seperate."})
    assert "seperate ==> separate" in found


@pytest.mark.parametrize("path", [*PAGES, *LESSONS], ids=lambda path: path.name)
def test_spelling_is_british(path: Path) -> None:
    assert not american(without_code(markdown_of(path)))


def test_an_american_form_is_found() -> None:
    assert american("Find the center of the bore.") == ["center -> centre"]
