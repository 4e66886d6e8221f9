"""Every panel through both of its hosts: the same picture and the same words.

The notebook host is driven by its widgets, as a browser drives them; the page host by entries.
"""

from __future__ import annotations

import json
import re
from dataclasses import asdict
from html import unescape
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from ipywidgets import HTML, Button, Checkbox, Dropdown, FloatSlider, Text

import enginemath
from enginemath.panels.frame import notebook
from enginemath.panels.frame.notebook import NotebookPanel, in_notebook
from enginemath.sheets import EXAMPLE, parse
from tests.panels.opened import ALL, OF_AN_ENGINE, WITH_A_GUESS, inside, opened


def words_of(html: str) -> str:
    """What a piece of HTML says."""
    return unescape("".join(ElementTree.fromstring(f"<p>{html}</p>").itertext()))


def svg_of(host: NotebookPanel) -> str:
    """The picture that a notebook shows."""
    value = host.image.value
    return value[value.index("<svg") : value.rindex("</svg>") + 6]


def same(host: NotebookPanel, panel: Any) -> None:
    """Both hosts show the same; ids begin with the panel's own key."""
    view = panel.view()
    key = host.panel.key
    assert svg_of(host).replace(key, "key") == view.svg.replace(panel.key, "key")
    assert words_of(host.status.value).removeprefix("✗ ") == (
        view.refusal or view.words + view.notes.replace("\n", "")
    )
    assert json.loads(json.dumps(asdict(view))) == asdict(view), "plain data"


def by_label(host: NotebookPanel, kind: type, label: str) -> Any:
    """The widget of a kind under a label."""
    found = [w for w in inside(host) if isinstance(w, kind) and w.description == label]
    assert len(found) == 1, (kind, label, found)
    return found[0]


def drive(host: NotebookPanel, panel: Any, setting: Any, number: int) -> None:
    """Do the same to both: one change of a setting."""
    if setting.kind == "number":
        if number % 2:
            text = setting.text.replace("1", "2", 1)
            by_label(host, Text, setting.label).value = text
            panel.take(setting.name, text)
        else:
            place = round(setting.at + 3 * setting.step, 6)
            shown = next(
                each for each in (*host._left, *host._head)
                if getattr(getattr(each, "control", None), "name", "") == setting.name
            )  # fmt: skip
            assert isinstance(shown.slider, FloatSlider)
            shown.slider.value = place
            panel.take(setting.name, place)
    elif setting.kind == "choice":
        place = (setting.place + 1) % len(setting.options)
        by_label(host, Dropdown, setting.label).value = place
        panel.take(setting.name, place)
    elif setting.kind == "tick":
        by_label(host, Checkbox, setting.label).value = not setting.on
        panel.take(setting.name, not setting.on)
    elif setting.kind == "press":
        by_label(host, Button, setting.label).click()
        panel.take(setting.name, True)
    else:
        text = "23.45 mL" if "reading" in setting.label else "9.5 mm"
        by_label(host, Text, setting.label).value = text
        panel.take(setting.name, text)


@pytest.mark.parametrize("name", ALL)
def test_every_setting_does_the_same_in_both_hosts(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    host, panel = in_notebook(opened(name)), opened(name)
    same(host, panel)
    number = 0
    for setting_name in [setting.name for setting in panel.settings]:
        setting = panel.setting_named(setting_name) if _is_there(panel, setting_name) else None
        if setting is None or setting.locked or not setting.shown or setting_name == "engine":
            continue
        number += 1
        drive(host, panel, setting, number)
        same(host, panel)
    assert number >= 3
    panel.take("reset all", True)
    by_label(host, Button, "reset all").click()
    same(host, panel)


def _is_there(panel: Any, name: str) -> bool:
    return any(setting.name == name for setting in panel.settings)


@pytest.mark.parametrize("name", WITH_A_GUESS)
def test_a_guess_opens_both_alike(name: str) -> None:
    host, panel = (
        in_notebook(opened(name, predict=True)),
        opened(name, predict=True),
    )
    same(host, panel)
    assert not panel.view().answered
    open_ones = {
        each["name"]
        for each in panel.view().settings
        if each["kind"] == "number" and not each["locked"]
    }
    assert open_ones <= {control.name for control in panel.free()} | {"tap"}, "give nothing away"
    sliders = [w for w in inside(host.side) if isinstance(w, FloatSlider)]
    assert sum(not w.disabled for w in sliders) == len(open_ones)
    question = panel.guess.prediction
    right = question.shown(question.answer())
    assert host.guess is not None
    host.guess.box.value = right
    panel.take("guess", right)
    same(host, panel)
    assert "it is" in words_of(host.guess.feedback.value)
    assert host.guess.box.disabled
    assert not any(w.disabled for w in inside(host.side) if isinstance(w, FloatSlider))


@pytest.mark.parametrize("name", [*OF_AN_ENGINE, "how_sure", "cc_the_chamber", "build_sheet"])
def test_another_engine_in_both(name: str) -> None:
    host, panel = in_notebook(opened(name)), opened(name)
    by_label(host, Dropdown, "engine").value = 2
    panel.take("engine", 2)
    same(host, panel)


@pytest.mark.parametrize("name", ALL)
def test_what_was_kept_brings_a_panel_back(name: str) -> None:
    """After a killed Python: the entries alone make the same picture again."""
    panel, number = opened(name), 0
    for setting in list(panel.settings):
        if setting.kind in ("number", "press", "choice") and setting.name != "reset all":
            if setting.locked or not setting.shown or not _is_there(panel, setting.name):
                continue
            number += 1
            entry = {"number": round(setting_at(setting), 6), "press": True, "choice": 0}
            panel.take(setting.name, entry[setting.kind])
    again = opened(name)
    again.restore(json.loads(json.dumps(panel.kept)))
    assert again.svg.replace(again.key, "") == panel.svg.replace(panel.key, "")
    assert again.view().words == panel.view().words


def setting_at(setting: Any) -> float:
    return getattr(setting, "at", 0.0) + 2 * getattr(setting, "step", 0.0)


def test_a_name_is_text_in_a_notebook() -> None:
    evil = "<script>alert(1)</script>"
    text = EXAMPLE.replace("Bench engine, bay 3", evil) + '[cam]\nintake_closes = "60 deg"\n'
    for name in OF_AN_ENGINE:
        host = in_notebook(opened(name, parse(text)))
        for widget in inside(host):
            if isinstance(widget, HTML) and widget is not host._style:
                assert "<script" not in widget.value


def test_a_refusal_is_text_in_a_notebook() -> None:
    host = in_notebook(opened("add_it_up"))
    by_label(host, Text, "chamber").value = "<script>alert(1)</script>"
    told = " ".join(w.value for w in inside(host) if isinstance(w, HTML) and w is not host._style)
    assert "&lt;script&gt;" in told
    assert "<script" not in told


def test_an_error_is_text_in_a_notebook(monkeypatch: pytest.MonkeyPatch) -> None:
    host = in_notebook(opened("add_it_up"))
    monkeypatch.setattr(host.panel, "picture", lambda _: 1 / 0)
    by_label(host, Text, "chamber").value = "45 cc"
    assert "ZeroDivisionError: division by zero" in words_of(host.alert.value)


def test_every_widget_has_a_label_and_a_slider_no_second_nameless_box() -> None:
    for name in ALL:
        for widget in inside(in_notebook(opened(name))):
            if isinstance(widget, Text | Dropdown | Button | Checkbox):
                assert widget.description.strip(), (name, widget)
            if isinstance(widget, FloatSlider):
                assert widget.readout is False


def test_large_type_is_told_to_the_page_around() -> None:
    host = in_notebook(opened("add_it_up"))
    by_label(host, Checkbox, "projector").value = True
    assert "em-projector" in host._dom_classes
    by_label(host, Checkbox, "projector").value = False
    assert "em-projector" not in host._dom_classes


def test_a_step_back_from_beyond_the_end_keeps_the_slider() -> None:
    """A new slider would take the keyboard's focus away with the old one."""
    host = in_notebook(opened("add_it_up"))
    box = by_label(host, Text, "deck clearance")
    box.value = "3.2 mm"
    shown = next(s for s in host._left if s.control.name == "deck clearance")  # type: ignore[attr-defined]
    slider = shown.slider  # type: ignore[attr-defined]
    slider.value -= slider.step
    assert shown.slider is slider  # type: ignore[attr-defined]
    assert slider.max == pytest.approx(3.2)


def test_leaving_a_box_by_a_click_on_its_button_is_one_act(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    host = in_notebook(opened("build_sheet"))
    by_label(host, Text, "file name for the sheet as planned").value = "planned"
    by_label(host, Button, "save").click()
    assert host.panel.save.says == "Saved as planned.toml."  # type: ignore[attr-defined]


def test_a_panel_has_one_set_of_widgets() -> None:
    panel = opened("add_it_up")
    assert in_notebook(panel) is in_notebook(panel)


def test_one_file_alone_imports_widgets() -> None:
    kit = Path(enginemath.__file__).parent
    wanted = re.compile(r"^\s*(?:from|import) ipywidgets", re.MULTILINE)
    found = [file for file in kit.rglob("*.py") if wanted.search(file.read_text("utf-8"))]
    assert found == [Path(notebook.__file__)]
