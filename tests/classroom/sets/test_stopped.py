"""A class set that is stopped, killed or has no room: nothing half is left, and again is clean."""

from __future__ import annotations

import contextlib
import errno
import os
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from enginemath.classroom.commands import class_set, mark
from enginemath.classroom.sets.secret import FILE as SECRET_FILE
from enginemath.classroom.sets.secret import SALT_FILE, VARIABLE
from enginemath.units import Refused

unix = pytest.mark.skipif(os.name != "posix", reason="processes and permissions as on Unix")


@pytest.fixture(autouse=True)
def roster(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(VARIABLE, raising=False)
    file = tmp_path / "roster.csv"
    file.write_text("name,id\nAna Silva,7\nNoor Haddad,8\n", encoding="utf-8")
    return file


def files(folder: Path) -> dict[str, bytes]:
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file()
    }


def writes(roster: Path, folder: Path, secret: str | None) -> int:
    """How many files a class set writes, one after the other."""
    class_set(roster, folder, "flat", secret)
    return len(files(folder))


@pytest.mark.parametrize(
    ("secret", "error"),
    [(None, OSError(errno.ENOSPC, "No space left")), ("heron", KeyboardInterrupt())],
)
def test_a_full_disk_and_a_stop_leave_nothing(
    roster: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    secret: str | None,
    error: BaseException,
) -> None:
    roster.write_text("name,id\nAna Silva,7\n", encoding="utf-8")
    sync = os.fsync
    last = writes(roster, tmp_path / "whole", secret)
    left_before = {"roster.csv", "whole"}
    for place in range(1, last + 1):
        done: list[int] = []

        def full(handle: int, place: int = place, done: list[int] = done) -> None:
            done.append(handle)
            if len(done) == place:
                raise error
            sync(handle)

        monkeypatch.setattr(os, "fsync", full)
        with pytest.raises((Refused, KeyboardInterrupt)):
            class_set(roster, tmp_path / "a" / "set", "flat", secret)
        assert {each.name for each in tmp_path.iterdir()} == left_before


def killed_at(place: int, when: str, work: Callable[[], object]) -> None:
    """Do some work in a process of its own, which is killed at one of its writes."""
    child = os.fork()
    if child == 0:
        with contextlib.suppress(BaseException):
            replace, done = os.replace, []

            def killing(source: str, target: str) -> None:
                done.append(target)
                if len(done) == place and when == "before":
                    os.kill(os.getpid(), signal.SIGKILL)
                replace(source, target)
                if len(done) == place:
                    os.kill(os.getpid(), signal.SIGKILL)

            os.replace = killing  # type: ignore[assignment]
            work()
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status)


@unix
@pytest.mark.filterwarnings("ignore::DeprecationWarning")  # fork beside threads of the tests
@pytest.mark.parametrize(("when", "secret"), [("before", None), ("after", "heron")])
def test_a_kill_at_every_write_of_a_class_set(
    roster: Path, tmp_path: Path, when: str, secret: str | None
) -> None:
    roster.write_text("name,id\nAna Silva,7\n", encoding="utf-8")
    last = writes(roster, tmp_path / "whole", secret)
    for place in range(1, last + 1):
        folder = tmp_path / str(place)
        killed_at(place, when, lambda: class_set(roster, folder, "flat", secret))  # noqa: B023
        kept = files(folder)
        assert any(name.endswith(".tmp") for name in kept) == (when == "before")
        made = class_set(roster, folder, "flat", secret)
        again = files(folder)
        assert len(again) == last, "nothing half written is left"
        assert {name: again[name] for name in kept if not name.endswith(".tmp")}.items() <= {
            name: kept[name] for name in kept
        }.items(), "what was whole has stayed"
        report = mark(made.students, tmp_path / "marks", secret, None, folder)
        assert len(report.marks.returned) == 1


@unix
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_a_kill_at_every_write_of_the_marks(roster: Path, tmp_path: Path) -> None:
    made = class_set(roster, tmp_path / "set", "flat")
    mark(made.students, tmp_path / "whole", None, None, tmp_path / "set")
    whole = files(tmp_path / "whole")
    for place in range(1, len(whole) + 1):
        out = tmp_path / str(place)
        given = made.students, out, None, None, tmp_path / "set"
        killed_at(place, "before", lambda: mark(*given))  # noqa: B023
        mark(*given)
        assert files(out) == whole


LONG_WORK = """\
import signal, sys, time
signal.signal(signal.SIGINT, signal.default_int_handler)  # tests in the background ignore Ctrl-C
from enginemath.cli import main
import enginemath.classroom.sets.make_set as make_set

one = make_set._one
def slowly(*given):
    time.sleep(0.3)
    return one(*given)
make_set._one = slowly
if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
"""


def children(of: int) -> set[int]:
    found = set()
    for status in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            if int(status.read_text().rpartition(")")[2].split()[1]) == of:
                found.add(int(status.parent.name))
    return found


def is_there(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs Linux's list of processes")
@pytest.mark.parametrize("how", ["kill -9", "Ctrl-C"])
def test_no_hand_outlives_a_class_set(roster: Path, tmp_path: Path, how: str) -> None:
    roster.write_text("name,id\n" + "".join(f"S,{n}\n" for n in range(400)), encoding="utf-8")
    (tmp_path / "slow.py").write_text(LONG_WORK, encoding="utf-8")
    command = [sys.executable, "slow.py", "class-set", "roster.csv", "--out", "set"]
    process = subprocess.Popen(
        [*command, "--level", "flat"], cwd=tmp_path, stderr=subprocess.PIPE, text=True,
        start_new_session=True,
    )  # fmt: skip
    ends = time.monotonic() + 30
    while len(hands := children(process.pid)) < 2 and time.monotonic() < ends:
        time.sleep(0.05)
    assert len(hands) >= 2
    time.sleep(0.3)
    if how == "Ctrl-C":
        os.killpg(process.pid, signal.SIGINT)
    else:
        process.kill()
    _, said = process.communicate(timeout=20)
    ends = time.monotonic() + 5
    while any(map(is_there, hands)) and time.monotonic() < ends:
        time.sleep(0.05)
    assert not any(map(is_there, hands))
    if how == "Ctrl-C":
        assert process.returncode == 130
        assert said == "enginemath: stopped before the end; what was begun is taken back or whole\n"
        assert not (tmp_path / "set").exists()


@unix
def test_key_and_answers_are_their_owners_alone(roster: Path, tmp_path: Path) -> None:
    made = class_set(roster, tmp_path / "set", "flat", "heron")
    (made.instructor / "answers.html").chmod(0o644)
    class_set(roster, tmp_path / "set", "flat", "heron")
    for file in made.instructor.iterdir():
        assert stat.S_IMODE(file.stat().st_mode) == 0o600, file.name
    assert stat.S_IMODE(made.instructor.stat().st_mode) == 0o700


def test_a_secret_that_could_be_guessed_is_salted(roster: Path, tmp_path: Path) -> None:
    one = class_set(roster, tmp_path / "one", "flat", "heron")
    other = class_set(roster, tmp_path / "other", "flat", "heron")
    assert (one.instructor / SALT_FILE).exists()
    assert "salt" in str(one)
    assert files(one.students).keys() == files(other.students).keys()
    assert not set(files(one.students).values()) & set(files(other.students).values())
    before = files(one.students)
    assert files(class_set(roster, tmp_path / "one", "flat", "heron").students) == before
    (one.instructor / SALT_FILE).unlink()
    assert files(class_set(roster, tmp_path / "one", "flat", "heron").students) == before
    assert len(mark(one.students, tmp_path / "m", "heron", None, one.folder).marks.returned) == 2
    with pytest.raises(Refused, match="nothing was marked"):
        mark(one.students, tmp_path / "m", "herons", None, one.folder)
    with pytest.raises(Refused, match="there already, and different"):
        class_set(roster, tmp_path / "one", "flat", "herons")


def test_a_long_secret_gives_the_same_engines_everywhere(roster: Path, tmp_path: Path) -> None:
    secret = "four words, but long ones"
    one, other = (class_set(roster, tmp_path / name, "flat", secret) for name in ("one", "other"))
    assert files(one.students) == files(other.students)
    assert not (one.instructor / SALT_FILE).exists()


def test_a_set_made_without_a_salt_takes_a_late_student(
    roster: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the kit made them before it knew of salts."""
    with monkeypatch.context() as patched:
        patched.setattr(
            "enginemath.classroom.sets.secret.ClassSecret.is_guessable", property(lambda _: False)
        )
        made = class_set(roster, tmp_path / "set", "flat", "heron")
    before = files(made.students)
    assert not (made.instructor / SALT_FILE).exists()
    roster.write_text(roster.read_text() + "Late Comer,9\n", encoding="utf-8")
    made = class_set(roster, tmp_path / "set", "flat", "heron")
    assert before.items() <= files(made.students).items()
    assert len(mark(made.students, tmp_path / "m", "heron", None, made.folder).marks.returned) == 3


@unix
def test_a_pipe_is_no_secret_no_roster_and_no_sheet(roster: Path, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(Refused, match="not a plain file"):
        class_set(tmp_path / "pipe", tmp_path / "set", "flat")
    with pytest.raises(Refused, match="not a plain file"):
        class_set(roster, tmp_path / "set", "flat", None, tmp_path / "pipe")
    made = class_set(roster, tmp_path / "set", "flat")
    page = made.students / "ana-silva-7.html"
    page.unlink()
    os.mkfifo(page)
    with pytest.raises(Refused, match="not a plain file"):
        class_set(roster, tmp_path / "set", "flat")
    (made.instructor / SECRET_FILE).unlink()
    os.mkfifo(made.instructor / SECRET_FILE)
    with pytest.raises(Refused, match="there already"):
        class_set(roster, tmp_path / "set", "flat")
