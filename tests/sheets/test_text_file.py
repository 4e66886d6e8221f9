"""Files are read with one clear refusal, and written whole or not at all."""

from __future__ import annotations

import datetime
import errno
import os
import stat
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.sheets import text_file
from enginemath.sheets.text_file import (
    SheetRefused,
    clear_half_written,
    from_file,
    lines_from,
    load_toml,
    short,
    within,
    write_atomically,
)
from enginemath.units import Refused, read

OLD, NEW = 'name = "old"\n', 'name = "new: 59.0 ± 0.4 cc"\n'


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "engine.toml"
    path.write_text(OLD, encoding="utf-8")
    return path


class TestSaving:
    def test_the_new_text_is_there_and_nothing_else(self, file: Path) -> None:
        write_atomically(file, NEW)
        assert file.read_bytes() == NEW.encode()
        assert os.listdir(file.parent) == [file.name]

    def test_a_file_that_was_not_there(self, tmp_path: Path) -> None:
        write_atomically(tmp_path / "first.toml", NEW)
        assert (tmp_path / "first.toml").read_bytes() == NEW.encode()

    def test_a_path_as_text_and_in_the_working_folder(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.chdir(tmp_path)
        write_atomically("first.toml", NEW)
        assert Path("first.toml").read_bytes() == NEW.encode()

    @pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
    @pytest.mark.parametrize("mode", [0o644, 0o600, 0o664])
    def test_permissions_stay(self, file: Path, mode: int) -> None:
        file.chmod(mode)
        write_atomically(file, NEW)
        assert stat.S_IMODE(file.stat().st_mode) == mode

    @pytest.mark.skipif(os.name == "nt", reason="links need a privilege on Windows")
    def test_a_link_stays_a_link(self, file: Path) -> None:
        link = file.with_name("link.toml")
        link.symlink_to(file)
        write_atomically(link, NEW)
        assert link.is_symlink()
        assert file.read_bytes() == NEW.encode()


# Every step of a save, and how it can go wrong.
STEPS: list[tuple[object, str]] = [
    (tempfile, "mkstemp"),
    (os, "fdopen"),
    (os, "fsync"),
    (os, "chmod"),
    (os, "replace"),
]


def failing(error: BaseException) -> Callable[..., Any]:
    def fail(*_: object, **__: object) -> None:
        raise error

    return fail


@pytest.mark.parametrize(("module", "step"), STEPS, ids=[step for _, step in STEPS])
class TestASaveThatIsInterrupted:
    @pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EACCES])
    def test_a_failing_disk(
        self,
        file: Path,
        monkeypatch: pytest.MonkeyPatch,
        module: object,
        step: str,
        code: int,
    ) -> None:
        monkeypatch.setattr(module, step, failing(OSError(code, os.strerror(code))))
        with pytest.raises(SheetRefused) as refusal:
            write_atomically(file, NEW)
        assert str(refusal.value) == f"{file}: cannot be written ({os.strerror(code)})"
        assert file.read_bytes() == OLD.encode()
        assert os.listdir(file.parent) == [file.name]

    def test_an_impatient_user(
        self, file: Path, monkeypatch: pytest.MonkeyPatch, module: object, step: str
    ) -> None:
        monkeypatch.setattr(module, step, failing(KeyboardInterrupt()))
        with pytest.raises(KeyboardInterrupt):
            write_atomically(file, NEW)
        assert file.read_bytes() == OLD.encode()
        assert os.listdir(file.parent) == [file.name]


class HalfAFile:
    """A file on a disk that fills up while it is written."""

    def __init__(self, handle: int):
        self._file = open(handle, "wb")  # noqa: SIM115

    def __enter__(self) -> HalfAFile:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def write(self, content: bytes) -> None:
        self._file.write(content[: len(content) // 2])
        self._file.flush()
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_disk_that_fills_up_half_way(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(text_file.os, "fdopen", lambda handle, _: HalfAFile(handle))
    with pytest.raises(SheetRefused, match="cannot be written"):
        write_atomically(file, NEW)
    assert file.read_bytes() == OLD.encode()
    assert os.listdir(file.parent) == [file.name]


def test_the_old_file_is_whole_until_the_new_one_is(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Just before the exchange the old text is all there, and the new one is, beside it."""
    seen = []
    exchange = os.replace

    def watched(source: str, target: str) -> None:
        seen.append((file.read_text("utf-8"), Path(source).read_text("utf-8")))
        assert Path(source).parent == file.parent
        exchange(source, target)

    monkeypatch.setattr(os, "replace", watched)
    write_atomically(file, NEW)
    assert seen == [(OLD, NEW)]


class TestHalfWritten:
    """What a killed run leaves is cleared by the next one; what is being written stays."""

    def left(self, folder: Path, by: int) -> Path:
        file = folder / f".engine.toml.{by}.abcd1234.tmp"
        file.write_text("half")
        return file

    @pytest.mark.skipif(os.name != "posix", reason="processes as on Unix")
    def test_of_a_process_that_is_gone(self, tmp_path: Path) -> None:
        done = subprocess.run([sys.executable, "-c", "import os; print(os.getpid())"],
                              capture_output=True, text=True, check=True)  # fmt: skip
        gone, here = self.left(tmp_path, int(done.stdout)), self.left(tmp_path, os.getppid())
        others = tmp_path / ".another.tmp"
        others.touch()
        clear_half_written(tmp_path)
        assert not gone.exists()
        assert here.exists()
        assert others.exists()

    def test_a_long_name_can_be_saved(self, tmp_path: Path) -> None:
        file = tmp_path / ("e" * 250 + ".toml")
        write_atomically(file, NEW)
        assert file.read_text("utf-8") == NEW

    @pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
    def test_for_the_owner_alone(self, file: Path) -> None:
        write_atomically(file, NEW, for_owner_alone=True)
        assert stat.S_IMODE(file.stat().st_mode) == 0o600


class TestWhatCannotBeWritten:
    def test_a_folder_that_is_not_there(self, tmp_path: Path) -> None:
        path = tmp_path / "no such folder" / "engine.toml"
        with pytest.raises(SheetRefused, match=r"cannot be written \(No such file"):
            write_atomically(path, NEW)

    def test_a_folder_in_place_of_the_file(self, tmp_path: Path) -> None:
        (tmp_path / "engine.toml").mkdir()
        with pytest.raises(SheetRefused, match="cannot be written"):
            write_atomically(tmp_path / "engine.toml", NEW)
        assert os.listdir(tmp_path) == ["engine.toml"]

    @pytest.mark.skipif(
        os.name == "nt" or (hasattr(os, "geteuid") and os.geteuid() == 0),
        reason="everything is writable for this user",
    )
    def test_a_folder_that_may_not_be_written(self, file: Path) -> None:
        file.parent.chmod(0o555)
        try:
            with pytest.raises(SheetRefused, match="cannot be written"):
                write_atomically(file, NEW)
        finally:
            file.parent.chmod(0o755)
        assert file.read_bytes() == OLD.encode()

    def test_a_name_that_cannot_be(self, tmp_path: Path) -> None:
        with pytest.raises(SheetRefused, match="cannot be written"):
            write_atomically(f"{tmp_path}/a\0b", NEW)

    def test_a_text_that_has_no_bytes(self, file: Path) -> None:
        with pytest.raises(SheetRefused, match="cannot be written"):
            write_atomically(file, "\ud800")
        assert file.read_bytes() == OLD.encode()
        assert os.listdir(file.parent) == [file.name]


class TestReading:
    def test_text_with_and_without_a_byte_order_mark(self, file: Path) -> None:
        for encoding in ("utf-8", "utf-8-sig"):
            file.write_text(NEW, encoding=encoding)
            assert from_file(file, str) == NEW

    @pytest.mark.parametrize(
        ("content", "words"),
        [
            (b"\xff\xfename", "not a text file in UTF-8"),
            (NEW.encode("latin-1"), "not a text file in UTF-8"),
            (b"#" * (text_file.LARGEST_FILE + 1), "too large for a sheet"),
        ],
    )
    def test_what_is_no_text(self, file: Path, content: bytes, words: str) -> None:
        file.write_bytes(content)
        with pytest.raises(SheetRefused) as refusal:
            from_file(file, str)
        assert str(refusal.value) == f"{file}: {words}"
        assert file.read_bytes() == content

    def test_as_large_as_may_be(self, file: Path) -> None:
        file.write_bytes(b"#" * text_file.LARGEST_FILE)
        assert len(from_file(file, str)) == text_file.LARGEST_FILE

    def test_not_there(self, tmp_path: Path) -> None:
        with pytest.raises(SheetRefused, match=r"none\.toml: cannot be read \(No such file"):
            from_file(tmp_path / "none.toml", str)

    def test_a_folder(self, tmp_path: Path) -> None:
        with pytest.raises(SheetRefused, match="cannot be read"):
            from_file(tmp_path, str)

    def test_a_name_that_cannot_be(self) -> None:
        with pytest.raises(SheetRefused, match="cannot be read"):
            from_file("a\0b", str)

    @pytest.mark.skipif(os.name != "posix", reason="pipes and devices as on Unix")
    def test_a_pipe_or_a_device_is_not_waited_for(self, tmp_path: Path) -> None:
        os.mkfifo(tmp_path / "pipe.toml")
        (tmp_path / "link.toml").symlink_to(tmp_path / "pipe.toml")
        for file in (tmp_path / "pipe.toml", tmp_path / "link.toml", Path("/dev/zero")):
            with pytest.raises(SheetRefused, match=r"cannot be read \(not a plain file\)"):
                from_file(file, str)

    def test_what_the_reader_refuses_gets_the_file(self, file: Path) -> None:
        def refuse(_: str) -> None:
            raise SheetRefused("cannot be", field="cylinder.bore", line=3)

        with pytest.raises(SheetRefused) as refusal:
            from_file(file, refuse)
        assert str(refusal.value) == f"{file}, line 3: cylinder.bore: cannot be"
        assert (refusal.value.file, refusal.value.line) == (str(file), 3)


class TestRefusals:
    @pytest.mark.parametrize(
        ("place", "said"),
        [
            ({}, "cannot be"),
            ({"field": "deck"}, "deck: cannot be"),
            ({"line": 3}, "line 3: cannot be"),
            ({"file": "a.toml"}, "a.toml: cannot be"),
            ({"file": "a.toml", "line": 3}, "a.toml, line 3: cannot be"),
            ({"file": "a.toml", "line": 3, "field": "deck"}, "a.toml, line 3: deck: cannot be"),
        ],
    )
    def test_file_line_and_field(self, place: dict[str, Any], said: str) -> None:
        assert str(SheetRefused("cannot be", **place)) == said

    @given(st.text(), st.text(), st.text())
    def test_always_one_line(self, reason: str, field: str, file: str) -> None:
        said = str(SheetRefused(reason, field, file))
        assert said.splitlines() in ([said], [])
        assert said.isprintable()
        assert len(said) < 1300

    def test_within_names_the_field_once(self) -> None:
        @within("cylinder")
        @within("cylinder.bore")
        def bore() -> None:
            read("92")

        with pytest.raises(SheetRefused, match=r'^cylinder\.bore: "92": no unit'):
            bore()

    def test_within_names_the_dimension_of_a_part_too(self) -> None:
        with pytest.raises(SheetRefused, match=r"^cylinder\.rod_length: too"), within("cylinder"):
            raise Refused("too short", field="rod_length")

    def test_within_lets_results_pass(self) -> None:
        with within("cylinder.bore"):
            assert read("92 mm").m == 92

    def test_a_refused_sheet_is_a_refusal(self) -> None:
        assert issubclass(SheetRefused, Refused)


class TestToml:
    @pytest.mark.parametrize(
        ("text", "line"),
        [
            ("a = ", 1),
            ("a = 1\nb = \n", 2),
            ("a = 1\n\n[b\n", 3),
            ('a = "open', 1),
            ("a = [1,\n2,\n", 3),
            ("a = 2024-02-31", 1),
            ("[a = 1", 1),
            ("a = 1\n]]", 2),
            ("a = 1\nb = 'open\na = 1", 3),
            ("a = 1\nb = '''open\na = 1\nb = 2", 4),
        ],
    )
    def test_broken_text_names_its_line(self, text: str, line: int) -> None:
        with pytest.raises(SheetRefused) as refusal:
            load_toml(text)
        assert str(refusal.value).startswith(f"line {line}: not TOML: ")

    def test_what_stands_twice_is_named_with_both_lines(self) -> None:
        with pytest.raises(SheetRefused) as refusal:
            load_toml('[cylinder]\nbore = "92.0 mm"\nbore = [1,\n2]\n')
        assert str(refusal.value) == "line 3: cylinder.bore: written twice, first on line 2"
        assert (refusal.value.field, refusal.value.line) == ("cylinder.bore", 3)

    @pytest.mark.parametrize(
        "text",
        [
            "a = " + "[" * 5000 + "]" * 5000,
            "a = " + "{b=" * 5000 + "1" + "}" * 5000,
            ".".join("a" * 50_000) + " = 1",
            "[" + ".".join("a" * 50_000) + "]",
            "a = " + "9" * 5000,
        ],
        ids=["lists", "tables", "key", "header", "number"],
    )
    def test_monsters_are_refused_at_once(self, text: str) -> None:
        with pytest.raises(SheetRefused, match="nested too deep or a number too long"):
            load_toml(text)

    @pytest.mark.parametrize(
        "text",
        [
            "\n".join(f"b{n}.{'.'.join('a' * 999)} = 1" for n in range(98)),
            "[" + ".".join("a" * 999) + "]\n" + "\n".join(f"x{n} = 1" for n in range(30_000)),
            '["' + "a" * 100_000 + '"]\n' + "\n".join(f"x{n} = 1" for n in range(12_000)),
            'a = "' + '\\"' * 97_000,
            "a = [" + "{b = 1}, " * 20_000 + "]",
        ],
        ids=["dotted", "header", "long name", "quotes", "inline"],
    )
    def test_no_text_of_a_sheets_size_takes_long(self, text: str) -> None:
        def read_it() -> None:
            with lines_from(text):
                load_toml(text)
                raise SheetRefused("no sheet", field="a")

        started = time.process_time()
        with pytest.raises(SheetRefused):
            read_it()
        assert time.process_time() - started < 2

    def test_points_in_values_are_no_nesting(self) -> None:
        text = "v = [" + "0.1, " * 1500 + "]\nname = '" + "." * 3000 + "'"
        assert len(load_toml(text)["v"]) == 1500

    def test_what_stands_twice_is_found_at_once_in_a_monster(self) -> None:
        text = "[[a]]\n" * 20_000 + "b = 1\n" * 2 + 'c = "' + '\\"' * 20_000
        with pytest.raises(SheetRefused, match=r"^line 20002: a\[20000\]\.b: written twice"):
            load_toml(text)


class TestShort:
    def test_a_value_as_it_was_written(self) -> None:
        assert short(92.0) == "92.0"
        assert short("92.0") == "'92.0'"
        assert short(True) == "true"

    @pytest.mark.parametrize(
        ("value", "said"),
        [
            ({"a": 1}, "a table"),
            (datetime.date(2024, 1, 1), "a date"),
            (datetime.datetime(2024, 1, 1, 12), "a date"),
            (datetime.time(12), "a time"),
            (["92.0 mm", {"a": 1}, [datetime.date(2024, 1, 1)]], "['92.0 mm', a table, [a date]]"),
        ],
    )
    def test_in_shop_words_what_is_no_number_and_no_text(self, value: object, said: str) -> None:
        assert short(value) == said

    @pytest.mark.parametrize("value", ["x" * 500, list(range(500)), "a\nb", {"a": "\u2028"}])
    def test_one_short_line(self, value: object) -> None:
        assert len(short(value)) <= 60
        assert short(value).splitlines() == [short(value)]

    def test_what_python_cannot_print(self) -> None:
        deep: list[Any] = []
        for _ in range(100_000):
            deep = [deep]
        assert short(deep) == "what is written there"
        assert short(int("f" * 20_000, 16)) == "what is written there"
