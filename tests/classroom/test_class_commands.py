"""`enginemath class-set` and `enginemath mark`, as they are typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from enginemath.classroom.sets.secret import VARIABLE
from enginemath.cli import main

ROSTER = "name,id,period\nAna Silva,7,A\nNoor Haddad,8,A\n"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(VARIABLE, raising=False)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "roster.csv").write_text(ROSTER, encoding="utf-8")
    return tmp_path


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(arguments) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    return err


def test_from_the_roster_to_the_marks(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    said = run(capsys, "class-set", "roster.csv", "--out", "set", "--level", "flat")
    assert "2 engines, level flat" in said
    assert "class-secret.txt" in said
    (folder / "set" / "students").rename(folder / "back")
    said = run(capsys, "mark", "back", "--out", "marks", "--key", "set")
    assert said.startswith("2 of 2 papers marked, 0 % on average")
    assert (folder / "marks" / "gradebook.csv").exists()


def test_one_student_gets_one_engine(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    (folder / "roster.csv").write_text("name,id\nAna Silva,7\n", encoding="utf-8")
    assert run(capsys, "class-set", "roster.csv", "--out", "set").startswith("1 engine, level full")


def test_the_key_is_found_beside_what_came_back(
    capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    run(capsys, "class-set", "roster.csv", "--out", "set", "--secret", "heron", "--title", "Test 4")
    assert not (folder / "set" / "instructor" / "class-secret.txt").exists()
    page = (folder / "set" / "students" / "ana-silva-7.html").read_text(encoding="utf-8")
    assert "<h1>Test 4</h1>" in page
    said = run(capsys, "mark", "set/students", "--out", "marks", "--secret", "heron")
    assert "2 of 2 papers marked" in said
    assert "no class secret" in refused(capsys, "mark", "set", "--out", "marks")
    assert "nothing was marked" in refused(
        capsys, "mark", "set", "--out", "marks", "--secret", "other"
    )


def test_the_secret_from_a_file_and_from_the_variable(
    capsys: pytest.CaptureFixture[str], folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "mine.txt").write_text("grey herons fish at dawn\n", encoding="utf-8")
    given = ("class-set", "roster.csv", "--level", "flat")
    run(capsys, *given, "--out", "one", "--secret-file", "mine.txt")
    monkeypatch.setenv(VARIABLE, "grey herons fish at dawn")
    run(capsys, *given, "--out", "other")
    for file in (folder / "one").rglob("*.ipynb"):
        assert file.read_bytes() == (folder / "other" / "students" / file.name).read_bytes()


def test_hints(capsys: pytest.CaptureFixture[str], folder: Path) -> None:
    run(capsys, "class-set", "roster.csv", "--out", "set", "--hints")
    text = (folder / "set" / "students" / "ana-silva-7.ipynb").read_text(encoding="utf-8")
    assert "check_sheet(" in text


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("class-set", "none.csv", "--out", "set"), "cannot be read"),
        (("class-set", "roster.csv", "--out", "set", "--level", "hard"), "one of flat, dish"),
        (("class-set", "roster.csv", "--out", "set", "--secret", " "), "empty"),
        (("class-set", "roster.csv", "--out", "roster.csv"), "cannot be made"),
        (("mark", "none", "--out", "marks"), "no such folder"),
        (("mark", ".", "--out", "marks"), "no key"),
        (("mark", "roster.csv", "--out", "marks"), "no such folder"),
    ],
)
def test_refusals_are_one_line(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, *arguments)
