"""Where a field stands: every TOML way of writing it."""

from __future__ import annotations

import tomllib

import pytest

from enginemath.sheets.toml_lines import field_lines, line_of, written_twice

SHEET = '''\
format = 1 # a comment with [brackets] and = signs
name = "Bench [cylinder] engine, bore = 3"

[cylinder]
count = 4
"bore" = "92.0 mm"
'stroke' = "88.5 mm"

[ chamber ]
volumes = [
    "47.2 cc",  # cylinder 1, "quoted"
    "47.5 cc",

    "47.6 cc", "47.4 cc",
]
[deck]
clearance = "0.35 mm"
[piston]
known_depth = { depth = "12.70 mm", poured = "93.2 cc" }
[notes]
text = """
[gasket]
bore = "not a field"
"""
raw = \'\'\'
[gasket]
\'\'\'
when = 2024-05-06T07:08:09.5
fills = [["0.60 mL", "25.00 mL"],
         [0.0,
          23.10]]
site.altitude = "1200 m"
[gasket]
bore = "93.2 mm"
[[piece]]
name = "thin"
[[piece]]
name = "thick"
price = 38.5
[piece.maker]
town = "Heron"
'''

LINES = {
    "format": 1,
    "name": 2,
    "cylinder": 4,
    "cylinder.count": 5,
    "cylinder.bore": 6,
    "cylinder.stroke": 7,
    "chamber": 9,
    "chamber.volumes": 10,
    "chamber.volumes[1]": 11,
    "chamber.volumes[2]": 12,
    "chamber.volumes[3]": 14,
    "chamber.volumes[4]": 14,
    "deck.clearance": 17,
    "piston.known_depth": 19,
    "piston.known_depth.depth": 19,
    "piston.known_depth.poured": 19,
    "notes": 20,
    "notes.text": 21,
    "notes.raw": 25,
    "notes.when": 28,
    "notes.fills[1]": 29,
    "notes.fills[1][2]": 29,
    "notes.fills[2]": 30,
    "notes.fills[2][2]": 31,
    "notes.site.altitude": 32,
    "gasket": 33,
    "gasket.bore": 34,
    "piece[1]": 35,
    "piece[1].name": 36,
    "piece[2]": 37,
    "piece[2].price": 39,
    "piece[2].maker": 40,
    "piece[2].maker.town": 41,
}


@pytest.mark.parametrize(("name", "line"), LINES.items(), ids=LINES)
def test_line(name: str, line: int) -> None:
    assert line_of(SHEET, name) == line


def test_the_sheet_is_toml() -> None:
    assert tomllib.loads(SHEET)["gasket"]["bore"] == "93.2 mm"


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_every_field_that_the_reader_finds_has_its_place(ending: str) -> None:
    def walk(value: object, name: str) -> list[str]:
        if isinstance(value, dict):
            below = [walk(each, f"{name}.{key}".lstrip(".")) for key, each in value.items()]
        elif isinstance(value, list):
            below = [walk(each, f"{name}[{n}]") for n, each in enumerate(value, start=1)]
        else:
            return [name]
        return [each for names in below for each in names]

    text = SHEET.replace("\n", ending)
    fields = walk(tomllib.loads(text), "")
    found = field_lines(text)
    assert set(fields) <= set(found)
    assert {name: found[name] for name in LINES} == LINES


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("deck.depth_at_bdc", 16),  # missing: its table
        ("chamber.volumes[9]", 10),  # beyond the list: the list
        ("chamber.volumes[2].volume", 12),
        ("ring_land.height", None),
        ("ring_land", None),
        ("", None),
    ],
)
def test_what_is_not_there_stands_where_it_would_be(name: str, line: int | None) -> None:
    assert line_of(SHEET, name) == line


def test_nested_too_deep_to_walk_has_no_line() -> None:
    assert line_of("a = " + "[" * 3000 + "]" * 3000, "a[1][1]") is None


# By the TOML 1.0 specification each of these is refused ("defining a key more than once").
TWICE = [
    ("a = 1\na = 2", ("a", 1, 2)),
    ("[c]\nb = 1\nx = 2\n'b' = [\n3]", ("c.b", 2, 4)),
    ("[c]\na = 1\n[d]\n[c]\nb = 1", ("c", 1, 4)),
    ("c = { a = 1, a = 2 }", ("c.a", 1, 1)),
    ("c = { a = 1 }\n[c]\nb = 1", ("c", 1, 2)),
    ("[c]\na = 1\na.b = 2", ("c.a", 2, 3)),
    ("a.b = 1\na.b = 2", ("a.b", 1, 2)),
    ("[[g]]\nprice = 1\n[[g]]\nprice = 1\nprice = 2", ("g[2].price", 4, 5)),
    ("[[g]]\n[g.m]\na = 1\n[[g]]\n[g.m]\na = 1\na = 2", ("g[2].m.a", 6, 7)),
    ("[g]\na = 1\n[[g]]\nb = 1", ("g", 1, 3)),
    ("[[g]]\na = 1\n[g]\nb = 1", ("g", 1, 3)),
    ("[[g]]\na = [{ b = 1, b = 2 }]", ("g[1].a[1].b", 2, 2)),
]


@pytest.mark.parametrize(("text", "twice"), TWICE, ids=[text for text, _ in TWICE])
def test_what_stands_twice(text: str, twice: tuple[str, int, int]) -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        tomllib.loads(text)
    assert written_twice(text) == twice


@pytest.mark.parametrize(
    "text",
    [SHEET, "[a.b]\n[a]\nc = 1", "a.b = 1\na.c = 2", "a = [ }", "a = [{ b = 1 }, { b = 2 }]"],
)
def test_nothing_stands_twice(text: str) -> None:
    assert written_twice(text) is None


def test_nested_too_deep_to_walk_tells_nothing() -> None:
    assert written_twice("a = " + "[" * 3000 + "]" * 3000) is None
