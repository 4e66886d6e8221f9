"""An own engine's readings spoken to in messages: nothing is lost, a slip is asked about."""

from __future__ import annotations

import json
import os
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

import pytest

from enginemath.pages.desk import Desk
from enginemath.pages.offline.in_worker import Host
from enginemath.pages.recording import Recording
from enginemath.sheets.own_engine.sharing import after_work, table_of_group
from tests.pages.test_session import Page
from tests.sheets.own_engine.bench import fill_in, filled_eight, new_eight

SHEET = "bay3.toml"


def opened(folder: Path, **how: Any) -> Page:
    page = Page(Desk(folder), **how)
    assert [reply["show"] for reply in page.say("engine", sheet=SHEET)] == ["engine", "box"]
    return page


@pytest.fixture
def page(tmp_path: Path) -> Page:
    new_eight(tmp_path)
    return opened(tmp_path)


def words(picture: str) -> str:
    return " ".join(ElementTree.fromstring(picture).itertext())


def test_an_entry_opens_the_next_box_once_it_is_on_disk(page: Page, tmp_path: Path) -> None:
    box, kept = page.say("take", text="0.0210")
    assert box["show"] == "box"
    assert box["name"] == "deck clearance, cylinder 1, right of the pin"
    assert box["said"]["says"] == "0.0210 in · deck clearance, cylinder 1, left of the pin"
    assert kept == {"show": "kept", "at": "10:05", "told": []}
    assert "0.0210 in" in (tmp_path / "bay3-readings.csv").read_text()
    assert "0.0210 in" in (tmp_path / "bay3-readings.kept.jsonl").read_text()
    another_day = opened(tmp_path)
    assert another_day.one("box", "go", to="back")["text"] == "0.0210"


def test_the_drawing_follows_what_is_typed_and_nothing_is_kept(page: Page, tmp_path: Path) -> None:
    before = sorted(tmp_path.iterdir())
    drawn = page.one("drawn", "draft", text="0.023")
    assert "0.023 in" in words(drawn["picture"])
    assert "with the dial" in words(drawn["picture"])
    assert page.one("drawn", "draft", text="0.0,2")["picture"]
    assert sorted(tmp_path.iterdir()) == before
    assert "0.023" not in (tmp_path / "bay3-readings.csv").read_text()


def test_a_slip_is_a_question_with_its_answers(page: Page) -> None:
    for text in ("0.021", "0.022", "0.021", "0.022"):
        page.say("take", text=text)
    (asked,) = page.say("take", text="0.40")
    assert asked["says"] == "0.40 in among 0.022 in: did you mean 0.040 in?"
    assert asked["picks"] == [{"label": "take 0.040 in", "text": "0.040 in", "sure": True}]
    assert page.one("box", "take", text="0.040 in", sure=True)["number"] == 6
    (asked,) = page.say("take", text="0.070")
    assert [pick["label"] for pick in asked["picks"]] == ["take 0.0070 in", "0.070 in is right"]


def test_going_to_and_fro(page: Page) -> None:
    assert page.one("box", "go", to="skip")["number"] == 2
    assert page.one("box", "go", to="chamber")["name"] == "chamber, cylinder 1, pour 1, start"
    assert page.one("box", "go", to="72")["what"] == "compressed thickness"
    assert page.one("box", "leave out", text="torn")["number"] == 1
    assert page.one("box", "go", to="72")["left_out"] == "torn"
    for to in ("0", "73", "nothing of the kind"):
        assert page.refused("go", to=to)


def test_what_is_known_grows_below_the_drawing(page: Page, tmp_path: Path) -> None:
    first = words(page.one("known", "known")["picture"])
    assert "common practice, no source" in first
    assert "wide for want of stroke" in first
    fill_in(tmp_path / "bay3-readings.csv")
    last = page.one("known", "known")
    assert last["missing"] == []
    assert "ratio 9.67 ± 0.03" in words(last["picture"])
    assert "the ± comes mostly from burette" in words(last["picture"])


def test_all_readings_at_once(tmp_path: Path) -> None:
    filled_eight(tmp_path)
    page = opened(tmp_path)
    readings = page.one("readings", "readings")
    assert len(readings["lines"]) == 72
    assert readings["lines"][56]["name"] == "chamber, cylinder 3, pour 1, end"
    line, kept = page.say("line", number=57, text="64.5")
    assert (line["text"], kept["show"]) == ("64.5 mL", "kept")
    (asked,) = page.say("line", number=57, text="6.45")
    assert (asked["show"], asked["line"]) == ("said", 57)
    assert page.say("line", number=57, text="")[0]["text"] == ""
    assert page.refused("line", number=73, text="1")


def test_the_result_is_a_page(page: Page, tmp_path: Path) -> None:
    assert "bore" in page.one("file", "report")["text"]  # still missing
    fill_in(tmp_path / "bay3-readings.csv")
    after_work(tmp_path / "found.toml", tmp_path / SHEET)
    fill_in(tmp_path / "found-readings.csv")
    result = page.one("file", "report")
    assert result["name"] == "bay3-ratio.html"
    assert "9.67" in result["text"]
    page.say("engine", sheet="found.toml")
    both = page.one("file", "report")
    assert both["name"] == "found-before-and-after.html"
    assert both["text"].count("9.67") > result["text"].count("9.67")


def test_groups_stand_side_by_side_once_both_have_read(page: Page, tmp_path: Path) -> None:
    table = table_of_group(tmp_path / SHEET, "B")
    page.say("take", text="0.0210")
    page.say("take", text="0.0230")
    assert page.one("engine", "engine", sheet=SHEET, table=table)["group"] == "B"
    assert [line["others"] for line in page.one("readings", "readings")["lines"][:2]] == ["", ""]
    page.say("take", text="0.0215")
    lines = page.one("readings", "readings")["lines"]
    assert [line["others"] for line in lines[:2]] == ["no group: 0.0210 in", ""]


def test_a_table_changed_elsewhere_is_read_before_the_next_message(
    page: Page, tmp_path: Path
) -> None:
    page.say("take", text="0.0210")
    table = tmp_path / "bay3-readings.csv"
    lines = table.read_text().split("\n")
    table.write_text("\n".join([lines[0], *lines[3:], lines[1], lines[2]]))  # sorted otherwise
    drawn = page.one("drawn", "draft", text="0.0215")
    assert "deck clearance, cylinder 1, right of the pin" in words(drawn["picture"])
    page.say("take", text="0.0215")
    table.write_text(table.read_text().replace("0.0210 in", ""))  # an older one saved over it
    assert "was missing in bay3-readings.csv and is back in it" in page.one(
        "kept", "take", text="0.0205"
    )["told"][0]  # fmt: skip
    assert "0.0210 in" in table.read_text()


def test_a_sheet_changed_elsewhere_counts_at_once(page: Page, tmp_path: Path) -> None:
    sheet = tmp_path / SHEET
    text = sheet.read_text()
    sheet.write_text(
        text.replace("[1, 3, 5, 7]", "[1, 2, 3, 4]").replace("[2, 4, 6, 8]", "[5, 6, 7, 8]")
    )
    page.say("take", text="0.0210")
    assert page.session.recording
    assert page.session.recording.record.banks["left"] == [1, 2, 3, 4]
    sheet.write_text("half a she")  # somebody is writing it: told, and nothing is taken
    assert "not TOML" in page.refused("take", text="0.0215")
    assert "0.0215" not in (tmp_path / "bay3-readings.csv").read_text()
    sheet.write_text(text)
    assert page.one("box", "take", text="0.0215")["number"] == 3


def test_two_windows_hear_of_each_other(tmp_path: Path) -> None:
    new_eight(tmp_path)
    desk = Desk(tmp_path)
    one, other = Page(desk), Page(desk)
    for page in (one, other):
        page.say("engine", sheet=SHEET)
    one.say("take", text="0.0210")
    assert other.pushed == [{"show": "changed", "step": 0}]
    told = other.one("box", "take", text="0.0230")["said"]["says"]
    assert "somebody else wrote 0.0210 in here in the meantime" in told
    assert "0.0230" not in (tmp_path / "bay3-readings.csv").read_text()


def test_a_full_disk_is_told_beside_the_box(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, os.strerror(28))

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        said, kept = page.say("take", text="0.0210")
        assert said["says"].startswith("Not kept: No space left on device. What you typed stays")
        assert kept["trouble"] == said["says"]
    assert page.one("box", "take", text="0.0210")["number"] == 2


@pytest.mark.parametrize("sheet", ["../bay3.toml", "/etc/passwd", "", "gone.toml", "."])
def test_nothing_outside_the_folder_is_opened(sheet: str, page: Page) -> None:
    assert "there is no sheet" in page.refused("engine", sheet=sheet)


def test_no_message_reaches_more_than_it_names(tmp_path: Path) -> None:
    page = Page(Desk(tmp_path))
    assert page.refused("take", text="1") == "open a sheet first"
    assert "takes no" in page.refused("take", text="1", sheet=SHEET)
    assert {*vars(Recording)} >= {"take", "draft", "go"}
    assert "no message" in page.refused("_fresh")


def test_a_new_engine_is_begun_on_the_page(tmp_path: Path) -> None:
    page = Page(Desk(tmp_path))
    begin = {"name": "bay3", "cylinders": 8, "banks": "left, right", "unit": "in"}
    assert page.one("made", "new engine", **begin)["sheet"] == SHEET
    (engine,) = page.one("map", "map")["engines"]
    (table,) = engine["tables"]
    assert (engine["sheet"], engine["trouble"]) == (SHEET, "")
    assert engine["ratio"].startswith("ratio ")
    assert table["next"].startswith("deck clearance, cylinder 1")
    assert page.one("box", "engine", sheet=SHEET)["of"] == 72
    assert page.refused("new engine", **begin).startswith("bay3.toml: is there already")
    for bad in ({"name": "../x"}, {"name": ".x"}, {"unit": "ft"}, {"cylinders": 0}):
        assert page.refused("new engine", **{**begin, "name": "other"} | bad)
    assert not (tmp_path / "other.toml").exists()


def test_groups_begin_and_bring_together_their_tables_on_the_page(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    for folder in (here, there):
        folder.mkdir()
        new_eight(folder)
    page, other = Page(Desk(here)), Page(Desk(there))
    made = page.one("made", "group table", sheet=SHEET, group="A")
    assert (made["sheet"], made["table"]) == (SHEET, "bay3-readings-a.csv")
    assert page.one("engine", "engine", sheet=SHEET, table=made["table"])["group"] == "A"
    page.say("take", text="0.0210")
    other.say("group table", sheet=SHEET, group="B")
    other.say("engine", sheet=SHEET, table="bay3-readings-b.csv")
    other.say("take", text="0.0215")
    theirs = {"bay3-readings-b.csv": (there / "bay3-readings-b.csv").read_text()}
    assert page.one("made", "open sheet", files=json.dumps(theirs))["sheet"] == SHEET
    (engine,) = page.one("map", "map")["engines"]
    assert [(t["group"], t["done"]) for t in engine["tables"]] == [("", 0), ("A", 1), ("B", 1)]
    # Nothing is written over, and a stranger's table finds no engine.
    changed = {"bay3-readings-b.csv": theirs["bay3-readings-b.csv"].replace("0.0215", "0.0225")}
    says = page.refused("open sheet", files=json.dumps(changed))
    assert says.startswith("bay3-readings-b.csv: bay3-readings-b.csv is there already, with other")
    strange = {"bay9-readings.csv": theirs["bay3-readings-b.csv"]}
    assert "no engine here goes by that name" in page.refused(
        "open sheet", files=json.dumps(strange)
    )
    assert page.refused("group table", sheet=SHEET, group="//").startswith("group '")
    assert "no sheet" in page.refused("group table", sheet="gone.toml", group="A")


class TestBrowserEdition:
    """The same session in a page's worker: files are opened, kept and saved again."""

    def host(self, folder: Path, files: dict[str, str]) -> Host:
        return Host(json.dumps(files), False, lambda _: None, folder)

    def say(self, host: Host, do: str, **fields: Any) -> tuple[list[dict[str, Any]], list[str]]:
        files, *told = map(json.loads, host.take(json.dumps({"do": do, **fields})).split("\n"))
        return told, sorted(files)

    def test_a_sheet_opened_as_a_file_is_kept_and_saved_again(self, tmp_path: Path) -> None:
        home, worker = tmp_path / "home", tmp_path / "worker"
        home.mkdir()
        new_eight(home)
        files = {n: (home / n).read_text() for n in (SHEET, "bay3-readings.csv")}
        host = self.host(worker, {})
        told, kept = self.say(host, "open sheet", files=json.dumps(files))
        assert told == [{"show": "made", "sheet": SHEET}]
        assert kept == ["bay3-readings.csv", SHEET]
        self.say(host, "engine", sheet=SHEET)
        _, kept = self.say(host, "take", text="0.0210")
        assert kept == ["bay3-readings.csv", "bay3-readings.kept.jsonl"]
        told, _ = self.say(host, "files")
        assert "0.0210 in" in told[0]["text"]
        # Opened anew from the browser's storage: there again.
        stored = {path.name: path.read_text() for path in worker.iterdir()}
        again = self.host(tmp_path / "again", stored)
        told, _ = self.say(again, "engine", sheet=SHEET)
        assert told[1]["number"] == 2
        # A file from another day with other readings is no reason to lose these.
        told, kept = self.say(again, "open sheet", files=json.dumps(files))
        assert told[0]["show"] == "clash"
        assert not kept
        self.say(again, "open sheet", files=json.dumps(files), replace=True)
        told, _ = self.say(again, "engine", sheet=SHEET)
        assert told[1]["number"] == 1
        assert told[0]["warnings"] == []

    def test_the_price_list_of_an_engine_comes_along(self, tmp_path: Path) -> None:
        home = tmp_path / "home"
        home.mkdir()
        new_eight(home)
        files = {n: (home / n).read_text() for n in (SHEET, "bay3-readings.csv")}
        host = self.host(tmp_path / "worker", {})
        prices = "format = 1\n[target]\nratio = [9, 10]\n"
        for name, text, says in (
            ("bay4-options.toml", prices, "the price list of this engine is called bay3-options"),
            ("bay3-options.toml", prices + "x = 1", "bay3-options.toml: "),
        ):
            told, kept = self.say(host, "open sheet", files=json.dumps({**files, name: text}))
            assert says in told[0]["says"]
            assert not kept
        files["bay3-options.toml"] = prices
        told, kept = self.say(host, "open sheet", files=json.dumps(files))
        assert told == [{"show": "made", "sheet": SHEET}]
        assert "bay3-options.toml" in kept

    @pytest.mark.parametrize(
        "files",
        [
            "not JSON",
            "[1]",
            "{}",
            '{"a.toml": 1}',
            '{"../a.toml": "format = 2"}',
            '{".a.toml": "format = 2"}',
            '{"a.toml": "readings = \\"gone.csv\\""}',
            '{"a.toml": "readings = \\"a.csv\\"", "a.csv": "nothing"}',
            '{"a.toml": "broken"}',
        ],
    )
    def test_what_is_no_sheet_is_refused_and_nothing_is_written(
        self, files: str, tmp_path: Path
    ) -> None:
        host = self.host(tmp_path, {})
        told, kept = self.say(host, "open sheet", files=files)
        assert told[0]["show"] == "refusal"
        assert not kept
