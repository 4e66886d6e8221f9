"""The command line: what it prints, and how it refuses."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.quiet_lab import SETTINGS
from enginemath.quiet_lab.install_check import Finding
from enginemath.sheets import EXAMPLE
from enginemath.sheets.kit_data import path


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    file = tmp_path / "sheet.toml"
    file.write_text(EXAMPLE, encoding="utf-8")
    return file


def refused(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    assert main([str(argument) for argument in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.endswith("\n")
    assert err.count("\n") == 1
    return err


def test_ratio(capsys: pytest.CaptureFixture[str], sheet: Path) -> None:
    assert main(["ratio", str(sheet)]) == 0
    out, err = capsys.readouterr()
    assert out.startswith("Bench engine, bay 3\n")
    assert err == ""


def test_ratio_json(capsys: pytest.CaptureFixture[str], sheet: Path) -> None:
    assert main(["ratio", str(sheet), "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["compression_ratio"] == pytest.approx(9.896, abs=5e-4)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (EXAMPLE.replace("92.0 mm", "3.905 mm"), "did you mean 3.905 in?"),
        (EXAMPLE.replace('"92.0 mm"', "92.0"), "cylinder.bore: 92.0: write the number and its"),
        (EXAMPLE.replace("format = 1", "format = 3"), "format: 3: this kit reads format 2"),
        ("format = ", "line 1: not TOML"),
        (b"\xff\xfe", "not a text file in UTF-8"),
        (b"\x00" * 2_000_000, "too large for a sheet"),
        ("", "format: missing"),
    ],
)
def test_a_bad_sheet_is_refused_in_one_line(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, content: str | bytes, words: str
) -> None:
    file = tmp_path / "bad.toml"
    raw = content if isinstance(content, bytes) else content.encode()
    file.write_bytes(raw)
    message = refused(capsys, "ratio", file, "--json")
    assert words in message
    assert "bad.toml" in message
    assert file.read_bytes() == raw


def test_a_missing_sheet_and_a_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert "cannot be read" in refused(capsys, "ratio", tmp_path / "nothing.toml")
    assert "cannot be read" in refused(capsys, "ratio", tmp_path)


WORKING = ["gasket_volume=9.21 cc", "clearance_volume=67.84 cc", "compression_ratio=9.672"]


def test_audit_names_the_first_slip(capsys: pytest.CaptureFixture[str], sheet: Path) -> None:
    assert main(["audit", str(sheet), *WORKING]) == 0
    assert capsys.readouterr().out.endswith("First slip: gasket volume.\n")
    assert main(["audit", str(sheet), *WORKING, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["first_slip"] == "gasket_volume"
    assert "write name=text" in refused(capsys, "audit", sheet, "9.672")
    twice = ("swept_volume=588.3 cc", "swept_volume=1 cc")
    assert "step swept_volume: written twice" in refused(capsys, "audit", sheet, *twice)
    assert "did you mean gasket_volume?" in refused(capsys, "audit", sheet, "gasket_volum=9 cc")


def test_diagnose(capsys: pytest.CaptureFixture[str], sheet: Path) -> None:
    asked = ["diagnose", str(sheet), "--quantity", "compression_ratio", "--json", "--answer"]
    assert main([*asked, "8.90"]) == 0
    diagnosis = json.loads(capsys.readouterr().out)
    assert diagnosis["correct"] is False
    assert diagnosis["explanations"][0]["mistakes"] == ["forgot-plus-one"]
    assert main([*asked, "9.90"]) == 0
    assert json.loads(capsys.readouterr().out)["correct"] is True
    assert "9,90" in refused(capsys, *asked, "9,90")
    assert "colour" in refused(capsys, "diagnose", sheet, "--quantity", "colour", "--answer", "1")


@pytest.mark.parametrize("quantity", ["compression_ratio", "clearance_volume"])
@pytest.mark.parametrize("answer", ["rubbish", "", "9,90", "5 mm", "1/0", "-"])
def test_an_answer_that_cannot_be_read_is_named(
    capsys: pytest.CaptureFixture[str], sheet: Path, quantity: str, answer: str
) -> None:
    asked = ("diagnose", sheet, "--quantity", quantity, f"--answer={answer}")
    for arguments in (asked, (*asked, "--json")):
        assert refused(capsys, *arguments).startswith("enginemath: --answer: ")


def test_only_the_answer_is_blamed_on_the_answer(
    capsys: pytest.CaptureFixture[str], sheet: Path, tmp_path: Path
) -> None:
    missing = tmp_path / "nothing.toml"
    for asked in (
        (missing, "--quantity", "deck_volume", "--answer", "rubbish"),
        (sheet, "--quantity", "colour", "--answer", "rubbish"),
    ):
        assert "--answer" not in refused(capsys, "diagnose", *asked)


@pytest.mark.parametrize("answer", ["-2.33cc", "-2.33 cc", "-2.33", "-.233e1cc"])
def test_an_answer_may_begin_with_a_minus_sign(
    capsys: pytest.CaptureFixture[str], sheet: Path, answer: str
) -> None:
    arguments = ["diagnose", str(sheet), "--quantity", "deck_volume", "--answer", answer, "--json"]
    assert main(arguments) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["explanations"][0]["mistakes"] == ["deck-sign"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["plan", "a.toml"], "enginemath plan: the following arguments are required: OPTIONS"),
        (["plan", "a.toml", "b.toml", "--top", "0"], "0: write a whole number, 1 or more"),
        (["plan", "a.toml", "b.toml", "--top", "few"], "few: write a whole number, 1 or more"),
        (["weigh", "a.toml"], "invalid choice: 'weigh'"),
        ([], "required: command"),
    ],
)
def test_a_command_that_cannot_be_is_refused_in_one_line(
    capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert left.value.code == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert words in said.err


def test_plan(capsys: pytest.CaptureFixture[str]) -> None:
    files = [str(path(f"heron-four{end}.toml")) for end in ("", "-options")]
    assert main(["plan", *files, "--json", "--top", "3"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert (plan["tried"], plan["feasible"], len(plan["plans"])) == (2448, 79, 3)
    assert main(["plan", *files]) == 0
    assert "not permission to cut or to run" in capsys.readouterr().out
    assert "cannot be read" in refused(capsys, "plan", files[0], "nothing.toml")


def test_lessons_are_copied_and_named(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    assert main(["lessons", "--folder", str(folder), "--copy-only"]) == 0
    assert f"Lessons in {folder}" in capsys.readouterr().out
    assert (folder / "07-add-it-up.ipynb").exists()
    assert "lesson 77" in refused(capsys, "lessons", "--folder", folder, "--lesson", 77)
    asked = ("lessons", "--folder", folder, "--lesson", 77, "--copy-only")
    assert "lesson 77" in refused(capsys, *asked)


def test_a_home_that_is_nobodys(capsys: pytest.CaptureFixture[str]) -> None:
    words = refused(capsys, "lessons", "--folder", "~nosuchuser/x", "--copy-only")
    assert "--folder ~nosuchuser/x: nobody here has a home folder of that name" in words


def test_the_version(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert left.value.code == 0
    assert capsys.readouterr().out == f"enginemath {version('enginemath')}\n"


@pytest.mark.parametrize(("works", "code"), [(True, 0), (False, 1)])
def test_a_check_that_finds_something_to_mend_says_so_by_its_code(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, works: bool, code: int
) -> None:
    found = [Finding("Python", True, "3"), Finding("fonts", works, "…")]
    monkeypatch.setattr("enginemath.quiet_lab.install_check.check_install", lambda: found)
    assert main(["lessons", "--check"]) == code
    assert ("To mend: fonts." in capsys.readouterr().out) == (not works)


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (KeyboardInterrupt(), 130, "stopped before the end"),
        (OverflowError("too\nlarge"), 2, "a fault of the kit itself (OverflowError: too large)"),
        (MemoryError(), 2, "too large or nested too deep"),
    ],
)
def test_whatever_is_raised_is_told_in_one_line(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    sheet: Path,
    error: BaseException,
    code: int,
    words: str,
) -> None:
    def fail(_: object) -> None:
        raise error

    monkeypatch.setattr("enginemath.sheets.ratio_command.read_sheet", fail)
    assert main(["ratio", str(sheet)]) == code
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert words in err
    monkeypatch.setenv("ENGINEMATH_SHOW_FAULTS", "1")
    if isinstance(error, OverflowError):
        with pytest.raises(OverflowError):
            main(["ratio", str(sheet)])


def test_names_that_cannot_be_are_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "roster.csv").write_text("name,id\nAna Silva,7\n", encoding="utf-8")
    long = "x" * 300
    assert "cannot be made (File name too long)" in refused(
        capsys, "class-set", "roster.csv", "--out", long
    )
    assert "no such folder" in refused(capsys, "mark", long, "--out", "marks")
    assert "no key in" in refused(capsys, "mark", ".", "--out", "marks", "--key", long)
    assert "File name too long" in refused(capsys, "site", "--out", long)
    assert "a folder; name the sheet" in refused(capsys, "new", ".")
    assert "write name=text" in refused(capsys, "audit", "x.toml", "y" * 100_000)[:200]


@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "latin-1", "ascii", "koi8-r"])
def test_letters_that_an_encoding_has_not_get_plain_ones(sheet: Path, encoding: str) -> None:
    sheet.write_text(EXAMPLE.replace('"0.35 mm"', '"-0.35 ± 0.02 mm"'), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "enginemath", "ratio", str(sheet)],
        capture_output=True, check=True, env=os.environ | {"PYTHONIOENCODING": encoding},
    )  # fmt: skip
    said = done.stdout.decode(encoding)
    plain = "−" not in encoded_in(encoding)
    assert "?" not in said
    assert ("-2.33" if plain else "−2.33") in said
    assert ("±" if "±" in encoded_in(encoding) else "+/-") in said
    assert ("█" if "█" in encoded_in(encoding) else "##") in said


def encoded_in(encoding: str) -> str:
    return "−±█".encode(encoding, "ignore").decode(encoding)


@pytest.mark.parametrize(
    ("line", "offered"),
    [("enginemath cl", "class-set"), ("enginemath class-set --lev", "--level"),
     ("enginemath --v", "--version")],
)  # fmt: skip
def test_a_shell_completes_a_line(tmp_path: Path, line: str, offered: str) -> None:
    """As bash asks it; zsh asks the same way."""
    pytest.importorskip("argcomplete")
    said = tmp_path / "said"
    asked = {"_ARGCOMPLETE": "1", "COMP_LINE": line, "COMP_POINT": str(len(line)),
             "COMP_TYPE": "9", "_ARGCOMPLETE_IFS": "\n", "_ARGCOMPLETE_SHELL": "bash",
             "_ARGCOMPLETE_STDOUT_FILENAME": str(said)}  # fmt: skip
    subprocess.run([sys.executable, "-m", "enginemath"], env=os.environ | asked, check=True)
    assert offered in said.read_text().split("\n")[0]


def test_completing_costs_nothing_where_no_shell_asks(sheet: Path) -> None:
    script = "import sys; from enginemath.cli import main; main(['ratio', sys.argv[1]]); " \
        "assert 'argcomplete' not in sys.modules"  # fmt: skip
    subprocess.run([sys.executable, "-c", script, str(sheet)], check=True, capture_output=True)


@pytest.mark.parametrize(("asked", "opened"), [([], "00-"), (["--lesson", "4"], "04-")])
def test_lessons_open_a_quiet_lab_on_the_lesson(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, asked: list[str], opened: str
) -> None:
    calls: list[tuple[list[str], dict[str, str]]] = []
    monkeypatch.setattr(
        "enginemath.cli.subprocess.run", lambda command, **how: calls.append((command, how["env"]))
    )
    assert main(["lessons", "--lab", "--folder", str(tmp_path), *asked]) == 0
    ((command, environment),) = calls
    assert command[1:3] == ["-Pm", "jupyterlab"]
    assert Path(command[3]).name.startswith(opened)
    assert Path(command[3]).exists()
    quiet = Path(environment["JUPYTER_CONFIG_PATH"].split(os.pathsep)[0])
    settings = json.loads((quiet / "jupyter_lab_config.json").read_text())
    assert settings["LabApp"]["news_url"] is None
    page = json.loads((quiet / "labconfig" / "page_config.json").read_text())
    assert "@jupyterlab/debugger-extension" in page["disabledExtensions"]
    overrides = json.loads((quiet / "labconfig" / "default_setting_overrides.json").read_text())
    notebooks = overrides["@jupyterlab/notebook-extension:tracker"]
    assert notebooks["kernelStatus"]["showOnStatusBar"]


def test_the_server_runs_in_a_folder_of_the_kit(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Extensions of the server read settings, which are Python, from the folder that it runs in."""
    calls: list[tuple[list[str], Path]] = []
    monkeypatch.setattr(
        "enginemath.cli.subprocess.run", lambda command, **how: calls.append((command, how["cwd"]))
    )
    monkeypatch.chdir(tmp_path)
    main(["new", "bay.toml"])
    main(["record", "bay.toml"])
    main(["lessons", "--lab", "--folder", "mine"])
    for (command, ran_in), root in zip(calls, [tmp_path, tmp_path / "mine"], strict=True):
        assert ran_in == SETTINGS
        assert command[-1] == f"--ServerApp.root_dir={root.resolve()}"
    assert Path(calls[1][0][3]).is_absolute()


@pytest.mark.parametrize(
    ("asked", "page"),
    [
        ([], "/enginemath/"),
        (["--lesson", "7"], "/enginemath/?lesson=07-add-it-up"),
        (["--demo"], "/enginemath/?projector=1"),
        (["--lesson", "7", "--demo"], "/enginemath/?projector=1&lesson=07-add-it-up"),
    ],
)
def test_lessons_open_as_pages(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, asked: list[str], page: str
) -> None:
    calls: list[list[str]] = []
    monkeypatch.setattr("enginemath.cli.subprocess.run", lambda command, **_: calls.append(command))
    assert main(["lessons", "--folder", str(tmp_path), *asked]) == 0
    ((_, _, program, *options),) = calls
    assert program == "jupyterlab"
    assert f"--LabApp.default_url={page}" in options
    assert "--no-browser" not in options


def test_no_browser_has_the_server_print_the_address(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    calls: list[tuple[list[str], dict[str, str]]] = []
    monkeypatch.setattr(
        "enginemath.cli.subprocess.run", lambda command, **how: calls.append((command, how["env"]))
    )
    assert main(["lessons", "--folder", str(tmp_path), "--no-browser"]) == 0
    ((command, environment),) = calls
    assert "--no-browser" in command
    assert environment["ENGINEMATH_SAY_ADDRESS"] == "/enginemath/"


def test_the_module_is_the_command(sheet: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "enginemath", "ratio", str(sheet), "--json"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert json.loads(done.stdout)["name"] == "Bench engine, bay 3"
    assert done.stderr == ""


def test_a_terminal_without_block_characters_still_gets_a_table(sheet: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "enginemath", "ratio", str(sheet)],
        capture_output=True,
        check=True,
        env={"PYTHONIOENCODING": "ascii", "PATH": ""},
    )
    assert b"Compression ratio 9.90" in done.stdout


def test_a_reader_that_stops_early_is_no_error(sheet: Path) -> None:
    command = f"'{sys.executable}' -m enginemath ratio '{sheet}' --json | head -n 1"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("{\n", "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_a_full_disk_is_told_in_one_line(sheet: Path) -> None:
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "enginemath", "ratio", str(sheet)],
            stdout=full, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "cannot be written" in done.stderr


def test_json_is_the_same_in_every_encoding(sheet: Path) -> None:
    """A pipe of Windows is not UTF-8."""
    sheet.write_text(EXAMPLE.replace("Bench engine", "Prüfstand 漢"), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "enginemath", "ratio", str(sheet), "--json"],
        capture_output=True, check=True, env=os.environ | {"PYTHONIOENCODING": "cp1252"},
    )  # fmt: skip
    assert json.loads(done.stdout.decode("utf-8"))["name"].startswith("Prüfstand 漢")


@pytest.mark.parametrize("name", ["heron-one", "heron-four", "heron-eight"])
def test_every_sheet_of_the_kit(capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert main(["ratio", str(path(f"{name}.toml"))]) == 0
    assert "Compression ratio" in capsys.readouterr().out
