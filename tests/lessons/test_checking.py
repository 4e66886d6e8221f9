"""What a check prints of an answer."""

from __future__ import annotations

from typing import Any

import pytest

from enginemath.answers import diagnose
from enginemath.lesson import check, load_sheet

MISSING = "Write the unit: cc was taken."


def said(capsys: pytest.CaptureFixture[str], **answers: Any) -> list[str]:
    check(load_sheet("heron-four"), **answers)
    return capsys.readouterr().out.splitlines()


@pytest.mark.parametrize("answer", ["68.69", 68.69, " 68.69 ", "6.869e1", "68 11/16"])
def test_a_volume_without_its_unit_is_judged_and_the_unit_asked_for(
    capsys: pytest.CaptureFixture[str], answer: Any
) -> None:
    assert said(capsys, clearance_volume=answer) == [
        "clearance volume: right; write the unit: cc was taken"
    ]


@pytest.mark.parametrize("answer", ["68.69 cc", "68.69cm³", "0.06869 L", "4.192 cu in"])
def test_a_volume_with_its_unit_is_right_and_no_more(
    capsys: pytest.CaptureFixture[str], answer: str
) -> None:
    assert said(capsys, clearance_volume=answer) == ["clearance volume: right"]


@pytest.mark.parametrize("answer", [8.65, "8.65", "8.65:1", "8 13/20"])
def test_a_ratio_has_no_unit(capsys: pytest.CaptureFixture[str], answer: Any) -> None:
    assert said(capsys, compression_ratio=answer) == ["compression ratio: right"]


@pytest.mark.parametrize("number", ["60.12", "1234.5", "69", "68", "4.192"])
def test_the_unit_is_asked_for_after_any_hint(
    capsys: pytest.CaptureFixture[str], number: str
) -> None:
    bare, full = (said(capsys, clearance_volume=n)[0] for n in (number, f"{number} cc"))
    assert full.endswith((".", "?"))
    assert bare == f"{full} {MISSING}"


def test_a_diagnosis_takes_a_bare_number_as_one_in_cc() -> None:
    sheet = load_sheet("heron-four")
    for number in ("68.69", "60.12", "4.192"):
        bare, full = (diagnose(sheet, "clearance_volume", n) for n in (number, f"{number} cc"))
        assert bare.as_dict() == full.as_dict()
        assert list(bare.as_dict()) == ["quantity", "unit", "expected", "correct", "explanations"]
