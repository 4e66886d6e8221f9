"""What holds for every panel."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from ipywidgets import HTML

from enginemath import panels
from enginemath.panels.frame.engines import engine_names
from enginemath.panels.frame.entry import Choice
from enginemath.sheets import EXAMPLE, parse
from tests.panels.opened import (
    ALL,
    OF_AN_ENGINE,
    SVG,
    WITH_A_GUESS,
    drawn,
    inside,
    opened,
    said,
    texts,
)


@pytest.fixture(scope="module", params=list(ALL))
def panel(request: pytest.FixtureRequest) -> Any:
    return opened(request.param)


def test_it_opens_with_a_picture_that_says_its_numbers(panel: Any) -> None:
    svg = drawn(panel)
    assert svg.get("role") == "img"
    title = svg.find(f"{SVG}title")
    assert title is not None
    assert title.text
    described = svg.find(f"{SVG}desc")
    assert described is not None
    assert re.search(r"\d", described.text or ""), "the description says numbers"
    labelled = svg.get("aria-labelledby", "").split()
    assert [title.get("id"), described.get("id")] == labelled
    assert said(panel.alert) == ""
    assert len(said(panel.status)) > 10


def test_ids_are_the_panels_own(panel: Any) -> None:
    """Two panels on one page must not share an id."""
    ids = [node.get("id") for node in drawn(panel).iter() if node.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name.startswith(f"{panel.key}-") for name in ids)
    used = panel.image.value
    for name in (part.split(")")[0] for part in used.split("url(#")[1:]):
        assert name in ids, "a fill or a clip that is not there"


def test_it_is_named_the_same_each_time(panel: Any) -> None:
    assert repr(panel).startswith(f"<panel: {panel.title}")
    assert panel._repr_mimebundle_()["text/plain"] == repr(panel)


def test_every_box_and_list_has_a_label(panel: Any) -> None:
    labelled = ("TextModel", "DropdownModel", "ButtonModel", "CheckboxModel")
    for widget in inside(panel):
        if widget._model_name in labelled:
            assert widget.description.strip(), widget


def test_projector_mode_draws_larger_and_says_the_same(panel: Any) -> None:
    def largest() -> float:
        sizes = [float(node.get("font-size") or 0) for node in drawn(panel).iter()]
        return max(sizes)

    before, told, numbers = largest(), said(panel.status), sorted(texts(panel))
    panel.projector.value = True
    assert "em-projector" in panel._dom_classes
    assert largest() >= 1.25 * before
    assert said(panel.status) == told
    panel.projector.value = False
    assert "em-projector" not in panel._dom_classes
    assert sorted(texts(panel)) == numbers


def test_everything_drawn_for_the_projector_fits(panel: Any) -> None:
    panel.projector.value = True
    picture = panel._picture_now
    panel.projector.value = False
    for label in picture.labels:
        assert label.left >= -1, label
        assert label.right <= picture.width + 1, label
        assert label.bottom <= picture.height + 1, label


def test_an_error_nobody_foresaw_is_shown_and_not_swallowed(
    panel: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = panel.image.value

    def fails(style: Any) -> None:
        raise ZeroDivisionError("<b>zero</b>")

    monkeypatch.setattr(panel, "picture", fails)
    panel.refresh()
    assert "ZeroDivisionError: <b>zero</b>" in said(panel.alert)
    assert "&lt;b&gt;" in panel.alert.value
    assert panel.image.value == before, "the last good picture stays"
    monkeypatch.undo()
    panel.refresh()
    assert said(panel.alert) == ""


@pytest.mark.parametrize("name", OF_AN_ENGINE)
class TestControls:
    def test_each_control_moves_the_picture_and_resets(self, name: str) -> None:
        panel = opened(name)
        for control in panel.controls:
            if control in panel.hidden():
                continue
            before, told = panel.image.value, said(panel.status)
            low, high = control.slider.min, control.slider.max
            aside = -1 if control.slider.value > (low + high) / 2 else 1
            control.slider.value += aside * 3 * control.slider.step
            assert panel.image.value != before, control.dial.name
            assert said(control.message) == ""
            control.back.click()
            assert said(panel.status) == told, control.dial.name

    def test_inches_show_the_same_engine(self, name: str) -> None:
        panel = opened(name)
        held = [control.held for control in panel.controls]
        panel.lengths.value = "in"
        lengths = [c.box.value for c in panel.controls if "in" in c.dial.step]
        assert all(text.endswith(" in") for text in lengths)
        assert [control.held for control in panel.controls] == held
        panel.lengths.value = "mm"
        assert said(panel.alert) == ""

    @pytest.mark.parametrize("engine", engine_names())
    def test_every_engine_can_be_chosen(self, name: str, engine: str) -> None:
        panel = opened(name)
        panel.engines.value = engine
        assert said(panel.alert) == ""
        assert repr(panel).lower().replace(" ", "-").endswith(f"{engine}>")
        assert said(panel.status) == said(opened(name, engine).status)

    def test_reset_all_brings_everything_back(self, name: str) -> None:
        panel = opened(name)
        told, picture = said(panel.status), panel.image.value
        for control in panel.controls[:3]:
            control.slider.value += 2 * control.slider.step
        for choice in (part for part in inside(panel.side) if isinstance(part, Choice)):
            choice.list.index = (choice.list.index + 1) % len(choice.list.options)
        panel.reset_all.click()
        assert (said(panel.status), panel.image.value) == (told, picture)

    def test_a_bad_text_leaves_the_picture(self, name: str) -> None:
        panel = opened(name)
        before = panel.image.value
        panel.controls[0].box.value = "twelve"
        assert said(panel.controls[0].message)
        assert panel.image.value == before
        panel.controls[0].slider.value += panel.controls[0].slider.step
        assert said(panel.controls[0].message) == ""

    def test_a_name_cannot_bring_a_script(self, name: str) -> None:
        evil = "<script>alert(1)</script>"
        text = EXAMPLE.replace("Bench engine, bay 3", evil)
        text += '[cam]\nintake_closes = "60 deg"\n'
        panel = opened(name, parse(text))
        assert evil in repr(panel)
        for widget in inside(panel):
            if isinstance(widget, HTML) and widget is not panel._style:
                assert "<script" not in widget.value


def moved(panel: Any) -> None:
    control = next(c for c in panel.controls if c not in panel.hidden())
    control.slider.value += 2 * control.slider.step


@pytest.mark.parametrize("name", WITH_A_GUESS)
class TestGuess:
    def test_the_answer_is_hidden_until_a_guess_is_given(self, name: str) -> None:
        panel = opened(name, predict=True)
        right = panel.guess.question.shown(panel.guess.question.answer())
        assert said(panel.status) == ""
        number = right.split()[0]
        bold = [text for text in texts(panel) if number in text.split()]
        boxes = [c.box.value for c in panel.controls if c not in panel.hidden()]
        assert bold == []
        assert right not in boxes
        assert all(control.slider.disabled for control in panel.controls)
        panel.guess.box.value = right
        assert "it is" in said(panel.guess.feedback)
        assert said(panel.status)
        assert not any(control.slider.disabled for control in panel.controls)

    def test_a_question_once_answered_names_the_engine_that_it_was_about(self, name: str) -> None:
        panel = opened(name, "heron-four", predict=True)
        assert panel.guess.box.description.startswith("Heron Four: ")
        panel.engines.value = "heron-one"
        assert panel.guess.box.description.startswith("Heron One: ")
        right = panel.guess.question.shown(panel.guess.question.answer())
        panel.guess.box.value = right
        panel.engines.value = "heron-eight"
        assert right in said(panel.guess.feedback)
        assert panel.guess.box.description.startswith("Heron One: ")

    def test_no_number_is_no_guess(self, name: str) -> None:
        panel = opened(name, predict=True)
        panel.guess.button.click()
        assert said(panel.guess.feedback) == "Write something first."
        panel.guess.box.value = "a lot"
        assert said(panel.guess.feedback)
        assert not panel.answer_is_shown

    def test_a_far_guess_is_told_how_far_and_which_way(self, name: str) -> None:
        panel = opened(name, predict=True)
        unit = panel.guess.question.unit
        panel.guess.box.value = f"500 {unit}" if unit else "500"
        assert "too high" in said(panel.guess.feedback)
        panel = opened(name, predict=True)
        panel.guess.box.value = f"0.001 {unit}" if unit else "1.001"
        assert ("too low" in said(panel.guess.feedback)) == (name != "how_sure")


def test_pictures_follow_in_the_order_of_the_changes() -> None:
    panel = opened("add_it_up")
    control = panel.controls[0]
    seen: list[str] = []
    panel.status.observe(lambda change: seen.append(change["new"]), "value")
    for step in range(1, 21):
        control.slider.value = 46.0 + step * control.slider.step
    assert len(seen) == 20
    ratios = [float(text.split("ratio ")[1].split(",")[0]) for text in seen]
    assert ratios == sorted(ratios, reverse=True), "a larger chamber, a lower ratio"


@pytest.mark.parametrize("name", ["build_sheet", "choose_the_change"])
def test_another_engine_is_drawn_once_and_refuses_nothing_on_the_way(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = opened(name, "heron-four")
    for choice in (part for part in inside(panel.side) if isinstance(part, Choice)):
        choice.list.index = 1
    pictures: list[Any] = []
    refusals: list[str] = []
    draw = panel.picture
    monkeypatch.setattr(panel, "picture", lambda style: pictures.append(style) or draw(style))
    monkeypatch.setattr(panel, "refuse", refusals.append)
    panel.engines.value = "heron-one"
    assert (len(pictures), refusals) == (1, [])


def test_drawings_are_made_in_the_drawing_room_alone() -> None:
    """A panel puts pictures side by side; a shape, a line or a label is drawn by `drawing`."""
    shapes = re.compile(
        r"<(svg|path|rect|line|circle|text|polygon)\b"
        r"|\bPicture\(|drawing\.paper\.(axes|dimension_lines|scales|typeface)\b"
    )
    files = sorted(Path(panels.__file__).parent.rglob("*.py"))
    assert len(files) > 20
    assert [file.name for file in files if shapes.search(file.read_text(encoding="utf-8"))] == []


def test_no_chart_library_is_needed() -> None:
    import subprocess
    import sys

    code = (
        "import sys; sys.modules.update({name: None for name in "
        "('numpy', 'pandas', 'matplotlib', 'scipy')})\n"
        "from enginemath.panels import add_it_up, choose_the_change\n"
        "panel = add_it_up(predict=False)\n"
        "panel.controls[0].slider.value += 1\n"
        "assert 'ratio' in panel.status.value and not panel.alert.value\n"
        "panel = choose_the_change(predict=False)\n"
        "panel.gaskets.list.index = 2\n"
        "assert 'ratio' in panel.status.value and not panel.alert.value\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
