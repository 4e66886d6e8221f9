"""Pages from templates: whatever a text holds, it cannot become a tag; drawings go in whole."""

from __future__ import annotations

import re
import subprocess
import sys
from html import unescape
from pathlib import Path

import pytest
from jinja2 import UndefinedError

import enginemath
from enginemath.sheets.html_page import _templates, fill

HOUSE = Path(enginemath.__file__).parent
LINK = "change/work_order/link.html"
TEMPLATES = sorted(
    file.relative_to(HOUSE).as_posix()
    for room in ("classroom", "change")
    for file in (HOUSE / room).rglob("*.html")
)
DRAWINGS = {"drawing", "pour", "crank", "histogram", "picture.svg()"}


@pytest.mark.parametrize(
    "name",
    [
        "<script>alert(1)</script>",
        "\"><img src=x onerror='alert(1)'>",
        "Tin & Heron's “Eight”",
        "{{ 7 * 7 }} {% raw %}",
        "ü ß 日本 👩\u200d🔧",
    ],
)
def test_a_text_stays_a_text(name: str) -> None:
    page = fill(LINK, file=name, page="", says=name)
    assert unescape(re.findall('download="([^"]*)"', page)[0]) == name
    assert unescape(re.findall(">(.*)</a>", page)[0]) == name
    assert re.findall(r"<[^>]*>", page)[1:] == ["</a>"]


@pytest.mark.parametrize(
    ("name", "shown"),
    [("Ana\x07", "Ana?"), ("Ana\n\tSilva\x1b", "Ana Silva?"), ("\u202eAna", "?Ana"), ("\0", "?")],
)
def test_what_nobody_can_see_is_shown(name: str, shown: str) -> None:
    assert f">{shown}<" in fill(LINK, file="", page="", says=name)


def test_a_part_that_is_missing_is_an_error() -> None:
    with pytest.raises(UndefinedError, match="says"):
        fill(LINK, file="", page="")


@pytest.mark.parametrize("template", TEMPLATES)
def test_only_drawings_go_in_unescaped(template: str) -> None:
    source = (HOUSE / template).read_text(encoding="utf-8")
    unescaped = re.findall(r"{{ *([^}|]*?) *\| *safe *}}", source)
    assert set(unescaped) <= DRAWINGS
    assert len(re.findall(r"\|\s*safe\b", source)) == len(unescaped)
    assert "autoescape" not in source


@pytest.mark.parametrize("title", ['a "b"', "</style><b>", "one\\", "Ole\nÅs 🙂", "}*{"])
def test_a_title_in_a_style_sheet_ends_nowhere_but_at_its_end(title: str) -> None:
    """As the standard for style sheets reads it: an escape is up to six digits and one space."""
    page = fill("classroom/page.html").replace('""', "")
    assert "counter(page)" in page
    text = _templates().from_string("{{ title|e|css_text }}").render(title=title)
    assert not re.search(r"[^A-Za-z0-9\\ ]", text[1:-1])
    read = re.sub(r"\\([0-9a-f]{6}) ", lambda found: chr(int(found[1], 16)), text)
    assert read == f'"{" ".join(title.split())}"'


def test_every_template_is_found() -> None:
    assert len(TEMPLATES) >= 8
    for template in TEMPLATES:
        assert _templates().get_template(template)


def test_without_the_library_only_pages_fail() -> None:
    """The text of a work order needs no templates."""
    code = """
import sys
sys.modules["jinja2"] = None
from enginemath.change import read_options
from enginemath.change.combination import choice_of
from enginemath.change.work_order import order_page, order_text, work_order
from enginemath.sheets import read_sheet
from enginemath.sheets.kit_data import path
options = read_options(path("heron-four-options.toml"))
choice = choice_of(
    options, gasket="medium steel", piston="as measured", deck_cut="0.35 mm", head_cut="0 mm"
)
order = work_order(read_sheet(path("heron-four.toml")), options, choice)
print(order_text(order).splitlines()[0])
try:
    order_page(order)
except ImportError:
    print("no page")
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout.splitlines() == ["WORK ORDER: Heron Four", "no page"], done.stderr
