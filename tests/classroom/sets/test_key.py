"""The key: sealed, found, and refused where it is not what was handed out."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from enginemath.classroom.sets.key import FILE, FOLDER, find_key, read_key
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.units import Refused
from tests.classroom.class_sets import SECRET, make


@pytest.fixture(scope="module")
def key_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("set")
    make(folder, 3, "plan")
    return folder / FOLDER / FILE


def test_it_reads_back(key_file: Path, tmp_path: Path) -> None:
    made = make(tmp_path, 3, "plan")
    assert read_key(key_file, ClassSecret(SECRET)) == made.key


def test_a_wrong_secret_is_told(key_file: Path) -> None:
    with pytest.raises(Refused, match=r"class secret is not the one .* nothing was marked"):
        read_key(key_file, ClassSecret("wrong"))


@pytest.mark.parametrize("field", ["level", "title", "target", "bore", "tag", "id"])
def test_a_changed_key_is_told(key_file: Path, tmp_path: Path, field: str) -> None:
    content = json.loads(key_file.read_text(encoding="utf-8"))
    student = content["students"][1]
    if field in content:
        content[field] = "flat"
    elif field == "bore":
        student["sheet"]["cylinder"]["bore"] = "90.00 mm"
    else:
        student[field] = 9.0 if field == "target" else "77"
    changed = tmp_path / FILE
    changed.write_text(json.dumps(content), encoding="utf-8")
    with pytest.raises(Refused, match="changed since it was made"):
        read_key(changed, ClassSecret(SECRET))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "broken"),
        (b"[]", "broken"),
        (b'{"students": 1}', "broken"),
        (b"\xff\xfe\x00", "broken"),
        (b"[" * 100_000, "broken"),
        (b"[" + b"[]," * 300_000, "too many parts"),
        (rb'{"format": 1, "students": [], "secret": "\ud800", "seal": ""}', "broken"),
        (rb'{"format": 1, "title": "\ud800", "students": [], "secret": "", "seal": ""}', "broken"),
        (b'{"format": 3, "students": [], "secret": "", "seal": ""}', "newer kit"),
    ],
)
def test_a_broken_key_is_refused_by_name(tmp_path: Path, content: bytes, words: str) -> None:
    file = tmp_path / FILE
    file.write_bytes(content)
    with pytest.raises(Refused, match=words) as refusal:
        read_key(file, ClassSecret(SECRET))
    assert FILE in str(refusal.value)


def test_where_it_is_found(key_file: Path, tmp_path: Path) -> None:
    made = key_file.parents[1]
    assert find_key(made / "students") == key_file
    assert find_key(made, made) == key_file
    assert find_key(made) == key_file
    assert find_key(tmp_path, made) == key_file
    assert find_key(tmp_path, key_file) == key_file
    with pytest.raises(Refused, match="--key"):
        find_key(tmp_path / "nowhere" / "at" / "all")


@pytest.mark.parametrize("laid", [FILE, f"{FOLDER}/{FILE}"])
def test_none_is_taken_that_came_back(key_file: Path, tmp_path: Path, laid: str) -> None:
    (tmp_path / laid).parent.mkdir(exist_ok=True)
    (tmp_path / laid).write_bytes(key_file.read_bytes())
    with pytest.raises(Refused, match="--key"):
        find_key(tmp_path)
