"""Every command and file that a page names is there, and the reference lists what is printed."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from enginemath import cli
from tests.old_doors.kit import averages
from tests.prose import LESSONS, PAGES, ROOT, markdown_of

REFERENCE = (ROOT / "docs" / "reference" / "commands.md").read_text(encoding="utf-8")
OPTIONS = ROOT / "datasets" / "heron-four-options.toml"
CODE = re.compile(
    r"^( *)(`{3,})(?P<info>[^\n]*)\n(?P<block>.*?)^\1\2 *$|`(?P<word>[^`]+)`", re.M | re.S
)
CALLED = re.compile(
    r"(?<!import )(?<!from )(?<![\w/\\-] )\benginemath "
    r"(?P<command>[a-z][a-z-]*)(?P<rest>[^\n&>|;]*)"
)


def code_of(markdown: str) -> str:
    """All code of a page, a piece each line; a `run` directive counts as the command it runs."""
    pieces = []
    for match in CODE.finditer(markdown):
        if match["word"]:
            pieces.append(match["word"])
        elif match["info"].startswith("{run}"):
            pieces.append("enginemath " + match["info"].removeprefix("{run} "))
        else:
            pieces.append(match["block"])
    return "\n".join(pieces)


def calls(markdown: str) -> list[tuple[str, str]]:
    """Commands that a page tells people to type, with what follows each."""
    return [(call["command"], call["rest"]) for call in CALLED.finditer(code_of(markdown))]


def help_of(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """What `--help` says."""
    with pytest.raises(SystemExit):
        cli.main([*arguments, "--help"])
    return capsys.readouterr().out


def commands(capsys: pytest.CaptureFixture[str]) -> list[str]:
    """Commands that there are."""
    return re.findall(r"^    ([a-z][a-z-]*)\b", help_of(capsys), re.MULTILINE)


@pytest.mark.parametrize(
    "path",
    [path for path in [*PAGES, *LESSONS] if calls(markdown_of(path))],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_every_command_named_is_there(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    there = commands(capsys)
    for command, rest in calls(markdown_of(path)):
        assert command in there, f"enginemath {command}"
        said = help_of(capsys, command)
        for option in re.findall(r"(?<!\S)--[a-z-]+", rest):
            assert re.search(rf"{option}\b", said), f"enginemath {command} {option}"


@pytest.mark.parametrize("path", PAGES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_file_named_in_a_command_is_there(path: Path) -> None:
    for _, rest in calls(path.read_text(encoding="utf-8")):
        for file in re.findall(r"datasets[/\\][\w.-]+", rest):
            assert (ROOT / file.replace("\\", "/")).is_file()


def test_the_readme_s_commands_are_looked_at() -> None:
    named = {command for command, _ in calls((ROOT / "README.md").read_text(encoding="utf-8"))}
    assert {"ratio", "plan", "diagnose", "lessons"} <= named
    assert calls("`enginemath nonsense --fast`") == [("nonsense", " --fast")]


def test_the_reference_has_a_section_for_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert sorted(re.findall(r"^## (\S+)$", REFERENCE, re.MULTILINE)) == sorted(commands(capsys))


def fields(heading: str) -> set[str]:
    """Fields in one table of the reference."""
    _, _, table = REFERENCE.partition(f"| JSON field of {heading} |")
    assert table, heading
    return set(re.findall(r"^\| `(\w+)`", table.partition("\n\n")[0], re.MULTILINE))


def printed(capsys: pytest.CaptureFixture[str], *arguments: object) -> dict:
    """What a command prints as JSON."""
    assert cli.main([*map(str, arguments), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_fields_of_ratio(capsys: pytest.CaptureFixture[str]) -> None:
    report = printed(capsys, "ratio", ROOT / "datasets" / "heron-four.toml")
    of_averages = printed(capsys, "ratio", averages("heron-four"))
    assert fields("`ratio`") == {*report, *of_averages}
    assert fields("a cylinder") == set(report["cylinders"][0])


def test_fields_of_plan(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    sheet, wish = ROOT / "datasets" / "heron-four.toml", tmp_path / "out-of-reach.toml"
    wish.write_text(
        OPTIONS.read_text("utf-8").replace("[9.0, 9.5]", "[19.0, 19.5]").replace("9.25", "19.25")
    )
    report, none = (printed(capsys, "plan", sheet, options) for options in (OPTIONS, wish))
    assert fields("`plan`") == set(report) == set(none)
    assert report["plans"] and none["nearest_misses"]  # noqa: PT018
    plans = [*report["plans"], *report["front"], *none["nearest_misses"]]
    assert fields("a plan") == {name for plan in plans for name in plan}


def test_fields_of_diagnose(capsys: pytest.CaptureFixture[str]) -> None:
    sheet = ROOT / "datasets" / "heron-four.toml"
    question = ("--quantity", "compression_ratio", "--answer", "7.65")
    report = printed(capsys, "diagnose", sheet, *question)
    assert fields("`diagnose`") == set(report)
    assert fields("an explanation") == set(report["explanations"][0])


def test_fields_of_audit(capsys: pytest.CaptureFixture[str]) -> None:
    sheet = ROOT / "datasets" / "heron-four.toml"
    report = printed(capsys, "audit", sheet, "swept_volume=525.4 cc", "compression_ratio=7.65")
    assert fields("`audit`") == set(report)
    assert fields("a step") == set(report["steps"][0])
