"""What holds for every panel."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from enginemath import panels
from enginemath.panels.frame.engines import engine_names
from enginemath.sheets import EXAMPLE, parse
from tests.panels.opened import (
    ALL,
    OF_AN_ENGINE,
    SVG,
    WITH_A_GUESS,
    alerted,
    choices,
    drawn,
    opened,
    said,
    step,
    texts,
)


@pytest.fixture(scope="module", params=list(ALL))
def panel(request: pytest.FixtureRequest) -> Any:
    return opened(request.param)


def test_it_opens_with_a_picture_that_says_its_numbers(panel: Any) -> None:
    svg = drawn(panel)
    if sliders(
        svg
    ):  # they would not be told inside an img: the drawing is one, they stand beside it
        assert svg.get("role") == "group"
        (image,) = svg.findall(f"{SVG}g[@role='img']")
        assert not sliders(image)
    else:
        image = svg
    assert image.get("role") == "img"
    title = svg.find(f"{SVG}title")
    assert title is not None
    assert title.text
    described = svg.find(f"{SVG}desc")
    assert described is not None
    assert re.search(r"\d", described.text or ""), "the description says numbers"
    labelled = image.get("aria-labelledby", "").split()
    assert [title.get("id"), described.get("id")] == labelled
    assert alerted(panel) == ""
    assert len(said(panel)) > 10


def sliders(svg: Any) -> list[Any]:
    """The handles in a picture."""
    return [node for node in svg.iter() if node.get("role") == "slider"]


def test_a_handle_is_the_slider_of_a_setting(panel: Any) -> None:
    """A page moves the setting that the handle is named after, on the setting's own steps."""
    for name in [handle.get("data-handle") for handle in sliders(drawn(panel))]:
        setting = panel.setting_named(name)
        assert setting.shown
        assert not setting.locked
        further = min(round(setting.at + 2 * setting.step, 6), setting.high)
        for place in (setting.at, further, setting.low):
            panel.take(name, place)
            (handle,) = [each for each in sliders(drawn(panel)) if each.get("data-handle") == name]
            assert handle.get("aria-label") == name
            assert setting.at == pytest.approx(place)
            rounded = 0.5001 * setting.step  # a bore of 88.34 mm lies between two steps
            assert float(handle.get("aria-valuenow")) == pytest.approx(place, abs=rounded)
            assert float(handle.get("aria-valuemin")) == pytest.approx(setting.low)
            assert float(handle.get("aria-valuemax")) == pytest.approx(setting.high)
            assert float(handle.get("data-step")) == pytest.approx(setting.step)
        panel.take(name, None)


def test_ids_are_the_panels_own(panel: Any) -> None:
    """Two panels on one page must not share an id."""
    ids = [node.get("id") for node in drawn(panel).iter() if node.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name.startswith(f"{panel.key}-") for name in ids)
    used = panel.svg
    for name in (part.split(")")[0] for part in used.split("url(#")[1:]):
        assert name in ids, "a fill or a clip that is not there"


def test_it_is_named_the_same_each_time(panel: Any) -> None:
    assert repr(panel).startswith(f"<panel: {panel.title}")
    assert panel._repr_mimebundle_()["text/plain"] == repr(panel)


def test_every_setting_has_a_name_of_its_own_and_a_label(panel: Any) -> None:
    names = [setting.name for setting in panel.settings]
    assert len(names) == len(set(names))
    assert all(setting.label.strip() for setting in panel.settings)


def test_projector_mode_draws_larger_and_says_the_same(panel: Any) -> None:
    def largest() -> float:
        sizes = [float(node.get("font-size") or 0) for node in drawn(panel).iter()]
        return max(sizes)

    before, told, numbers = largest(), said(panel), sorted(texts(panel))
    panel.projector.take(True)
    assert largest() >= 1.25 * before
    assert said(panel) == told
    panel.projector.take(False)
    assert sorted(texts(panel)) == numbers


def test_everything_drawn_for_the_projector_fits(panel: Any) -> None:
    panel.projector.take(True)
    picture = panel.picture_now
    panel.projector.take(False)
    for label in picture.labels:
        assert label.left >= -1, label
        assert label.right <= picture.width + 1, label
        assert label.bottom <= picture.height + 1, label


def test_an_error_nobody_foresaw_is_shown_and_not_swallowed(
    panel: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = panel.svg

    def fails(style: Any) -> None:
        raise ZeroDivisionError("<b>zero</b>")

    monkeypatch.setattr(panel, "picture", fails)
    panel.refresh()
    assert "ZeroDivisionError: <b>zero</b>" in alerted(panel)
    assert panel.svg == before, "the last good picture stays"
    monkeypatch.undo()
    panel.refresh()
    assert alerted(panel) == ""


@pytest.mark.parametrize("name", OF_AN_ENGINE)
class TestControls:
    def test_each_control_moves_the_picture_and_resets(self, name: str) -> None:
        panel = opened(name)
        for control in panel.controls:
            if control in panel.hidden():
                continue
            before, told = panel.svg, said(panel)
            low, high = control.low, control.high
            aside = -1 if control.at > (low + high) / 2 else 1
            step(control, aside * 3)
            assert panel.svg != before, control.dial.name
            assert control.says == ""
            control.reset()
            assert said(panel) == told, control.dial.name

    def test_inches_show_the_same_engine(self, name: str) -> None:
        panel = opened(name)
        values = [control.last_good for control in panel.controls]
        panel.lengths.choose("in")
        lengths = [c.text for c in panel.controls if "in" in c.dial.step]
        assert all(text.endswith(" in") for text in lengths)
        assert [control.last_good for control in panel.controls] == values
        panel.lengths.choose("mm")
        assert alerted(panel) == ""

    @pytest.mark.parametrize("engine", engine_names())
    def test_every_engine_can_be_chosen(self, name: str, engine: str) -> None:
        panel = opened(name)
        panel.engines.choose(engine)
        assert alerted(panel) == ""
        assert repr(panel).lower().replace(" ", "-").endswith(f"{engine}>")
        assert said(panel) == said(opened(name, engine))

    def test_reset_all_brings_everything_back(self, name: str) -> None:
        panel = opened(name)
        told, picture = said(panel), panel.svg
        for control in panel.controls[:3]:
            step(control, 2)
        for choice in choices(panel):
            choice.take((choice.place + 1) % len(choice.options))
        panel.reset_all.press()
        assert (said(panel), panel.svg) == (told, picture)

    def test_a_bad_text_leaves_the_picture(self, name: str) -> None:
        panel = opened(name)
        before = panel.svg
        panel.controls[0].type("twelve")
        assert panel.controls[0].says
        assert panel.svg == before
        step(panel.controls[0], 1)
        assert panel.controls[0].says == ""

    def test_a_name_cannot_bring_a_script(self, name: str) -> None:
        evil = "<script>alert(1)</script>"
        text = EXAMPLE.replace("Bench engine, bay 3", evil)
        text += '[cam]\nintake_closes = "60 deg"\n'
        panel = opened(name, parse(text))
        assert evil in repr(panel)
        assert "<script" not in panel.svg


def moved(panel: Any) -> None:
    control = next(c for c in panel.controls if c not in panel.hidden())
    step(control, 2)


@pytest.mark.parametrize("name", WITH_A_GUESS)
class TestGuess:
    def test_the_answer_is_hidden_until_a_guess_is_given(self, name: str) -> None:
        panel = opened(name, predict=True)
        right = panel.guess.prediction.shown(panel.guess.prediction.answer())
        assert said(panel) == ""
        number = right.split()[0]
        bold = [text for text in texts(panel) if number in text.split()]
        boxes = [c.text for c in panel.controls if c not in panel.hidden()]
        assert bold == []
        assert right not in boxes
        free = panel.free()
        assert all(control.locked for control in panel.controls if control not in free)
        panel.guess.take(right)
        assert "it is" in panel.guess.says
        assert said(panel)
        assert not any(control.locked for control in panel.controls)

    def test_a_question_once_answered_names_the_engine_that_it_was_about(self, name: str) -> None:
        panel = opened(name, "heron-four", predict=True)
        assert panel.guess.label.startswith("Heron Four: ")
        panel.engines.choose("heron-one")
        assert panel.guess.label.startswith("Heron One: ")
        right = panel.guess.prediction.shown(panel.guess.prediction.answer())
        assert panel.guess.prediction.asks.startswith("Heron One: ")
        panel.guess.take(right)
        panel.engines.choose("heron-eight")
        assert right in panel.guess.says
        assert panel.guess.label.startswith("Heron One: ")

    def test_no_number_is_no_guess(self, name: str) -> None:
        panel = opened(name, predict=True)
        panel.guess.take("")
        assert panel.guess.says == "Write something first."
        panel.guess.take("a lot")
        assert panel.guess.says
        assert not panel.answer_is_shown

    def test_a_far_guess_is_told_how_far_and_which_way(self, name: str) -> None:
        panel = opened(name, predict=True)
        unit = panel.guess.prediction.unit
        panel.guess.take(f"500 {unit}" if unit else "500")
        assert "too high" in panel.guess.says
        panel = opened(name, predict=True)
        panel.guess.take(f"0.001 {unit}" if unit else "1.001")
        assert ("too low" in panel.guess.says) == (name != "how_sure")


def test_pictures_follow_in_the_order_of_the_changes() -> None:
    panel = opened("add_it_up")
    control = panel.controls[0]
    seen: list[str] = []
    panel.on_change(lambda: seen.append(panel.told))
    for steps in range(1, 21):
        panel.take(control.name, 46.0 + steps * control.step)
    assert len(seen) == 20
    ratios = [float(text.split("ratio ")[1].split(",")[0]) for text in seen]
    assert ratios == sorted(ratios, reverse=True), "a larger chamber, a lower ratio"


@pytest.mark.parametrize("name", ["build_sheet", "choose_the_change"])
def test_another_engine_is_drawn_once_and_refuses_nothing_on_the_way(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = opened(name, "heron-four")
    for choice in choices(panel):
        choice.take(1)
    pictures: list[Any] = []
    refusals: list[str] = []
    draw = panel.picture
    monkeypatch.setattr(panel, "picture", lambda style: pictures.append(style) or draw(style))
    monkeypatch.setattr(panel, "refuse", refusals.append)
    panel.engines.choose("heron-one")
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
        "panel.controls[0].slide(47.9)\n"
        "assert 'ratio' in panel.told and not panel.trouble\n"
        "panel = choose_the_change(predict=False)\n"
        "panel.gaskets.take(2)\n"
        "assert 'ratio' in panel.told and not panel.trouble\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
