"""The class secret: the same again, found where it is given, and never in a student's file."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from enginemath.classroom.sets.secret import FILE, VARIABLE, ClassSecret, find_secret, make_secret
from enginemath.units import Refused


@pytest.fixture(autouse=True)
def no_variable(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)


def test_words_are_kept_apart() -> None:
    secret = ClassSecret("heron")
    assert secret.number("a", "bc") != secret.number("ab", "c")
    assert secret.tag("a") != ClassSecret("Heron").tag("a")


def test_a_seal_is_of_everything() -> None:
    secret, content = ClassSecret("heron"), {"students": [{"id": "1"}]}
    seal = secret.seal(content)
    assert seal == ClassSecret(" heron\n").seal(content)
    assert seal != secret.seal({"students": [{"id": "2"}]})


def test_where_it_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert find_secret(None, None, tmp_path) is None
    (tmp_path / FILE).write_text("beside\n")
    (tmp_path / "mine").write_text("\ufefffrom a file\r\n", encoding="utf-8")

    def tag(text: str | None = None, file: Path | None = None) -> str:
        found = find_secret(text, file, tmp_path)
        assert found is not None
        return found.tag("x")

    assert tag() == ClassSecret("beside").tag("x")
    monkeypatch.setenv(VARIABLE, "variable")
    assert tag() == ClassSecret("variable").tag("x")
    assert tag(file=tmp_path / "mine") == ClassSecret("from a file").tag("x")
    assert tag("given") == ClassSecret("given").tag("x")
    with pytest.raises(Refused, match="not both"):
        tag("given", tmp_path / "mine")


@pytest.mark.parametrize("text", ["", "  \n", "x" * 5000])
def test_what_is_no_secret(text: str) -> None:
    with pytest.raises(Refused, match="class secret"):
        ClassSecret(text)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be read"):
        find_secret(None, tmp_path / "none", tmp_path)


def test_a_secret_that_is_drawn(tmp_path: Path) -> None:
    made = make_secret(tmp_path)
    again = find_secret(None, None, tmp_path)
    assert again is not None
    assert again.tag("x") == made.tag("x")
    if os.name == "posix":
        assert (tmp_path / FILE).stat().st_mode & 0o077 == 0
    with pytest.raises(Refused, match="cannot be written"):
        make_secret(tmp_path)
