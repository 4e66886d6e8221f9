"""Bad sheets: each is refused in one line that names file, line, field and what was read."""

from __future__ import annotations

from pathlib import Path

import pytest

from enginemath.cli import main
from enginemath.sheets import parse, read_sheet
from enginemath.sheets.text_file import SheetRefused

from .full_sheet import FULL, changed

VOLUME = 'volume = "47.5 cc"'
CLEARANCE = 'clearance = "0.35 mm"'
DISH = 'dish = "6.0 cc"\nreliefs = "2.8 cc"'
GASKET = 'bore = "93.2 mm"\ncompressed_thickness = "1.10 mm"\nfree_thickness = "1.35 mm"'
FOUR = '["47.5 cc", "47.5 cc", "47.5 cc", "47.5 cc"]'


def without(line: str) -> str:
    return changed((f"{line}\n", ""))


def but(old: str, new: str) -> str:
    return changed((old, new))


# The sheet, the line that is named, the field, and a part of what is said.
BAD: list[tuple[str, int | None, str, str]] = [
    # Not TOML.
    ("format = ", 1, "", "not TOML"),
    ("this is no sheet", 1, "", "not TOML"),
    (but('"92.0 mm"', '"92.0 mm'), 5, "", "not TOML"),
    (but('"92.0 mm"', "92.0 mm"), 5, "cylinder.bore", 'write it in quotes, bore = "92.0 mm"'),
    (but('"47.5 cc"', '["47.2 cc", '), 11, "", "not TOML"),
    (FULL + 'bore = "\0"\n', 29, "", "not TOML"),
    # Written twice.
    (FULL + "[deck]\n", 29, "deck", "written twice, first on line 15"),
    (but('bore = "92.0 mm"', 'bore = "92.0 mm"\nbore = "92.5 mm"'), 6, "cylinder.bore", "written twice, first on line 5"),
    # Format and name.
    ("", None, "format", "missing; write format = 1 on the first line"),
    (without("format = 1"), None, "format", "missing"),
    (but("format = 1", "format = 3"), 1, "format", "3: this kit reads format 2; the sheet is from a newer kit"),
    (but("format = 1", "format = 0"), 1, "format", "0: write format = 1"),
    (but("format = 1", 'format = "1"'), 1, "format", "'1': write format = 1"),
    (but("format = 1", "format = 1.0"), 1, "format", "1.0: write format = 1"),
    (but("format = 1", "format = true"), 1, "format", "true: write format = 1"),
    (but("format = 1", "format = 0x" + "f" * 9000), 1, "format", "from a newer kit"),
    (without('name = "Bench engine, bay 3"'), None, "name", "missing; say which engine it is"),
    (but('"Bench engine, bay 3"', '""'), 2, "name", "missing"),
    (but('"Bench engine, bay 3"', '" "'), 2, "name", "say in words which engine it is"),
    (but('"Bench engine, bay 3"', "8"), 2, "name", "8: say in words which engine it is"),
    # What no engine has.
    (but('bore = "93.2 mm"', 'bore = "45.9 mm"'), 12, "gasket.bore", "under half of the bore"),
    (changed(('"47.5 cc"', '"0.1 cc"'), ('dish = "6.0 cc"\nreliefs = "2.8 cc"', "")), 9, "chamber", "above 40, the highest that this kit takes"),
    # Tables and fields.
    (FULL + '[header]\ntube = "1 m"\n', 29, "header", "unknown; no such field"),
    (but("[piston]", "[pistons]"), 17, "pistons", "unknown; did you mean piston?"),
    (but("rod_length", "rod_lenght"), 7, "cylinder.rod_lenght", "unknown; did you mean rod_length?"),
    (but("rod_length", "conrod"), 7, "cylinder.conrod", "unknown"),
    (but(CLEARANCE, CLEARANCE + '\nheight = "1 mm"'), 17, "deck.height", "unknown"),
    (but("format = 1", 'format = 1\nbore = "92 mm"'), 2, "bore", "unknown"),
    (but("format = 1", 'format = 1\n"two\\nlines" = 1'), 2, "two\nlines", "unknown"),
    (but("format = 1", "format = 1\n" + "k" * 3000 + " = 1"), 2, "k" * 3000, "…: unknown"),
    (but("[fuel]\nantiknock_index = 87", "[[fuel]]\nantiknock_index = 87"), 27, "fuel", "a table is wanted, [fuel]"),
    (changed(("format = 1", "format = 1\nsite = 5"), ('[site]\naltitude = "1200 m"\n', "")), 2, "site", "5: a table is wanted"),
    (FULL.partition("[cylinder]")[0], None, "cylinder", "missing"),
    (changed(("[chamber]\n", ""), (f"{VOLUME}\n", "")), None, "chamber", "missing"),
    (changed(("[gasket]\n", ""), (f"{GASKET}\n", "")), None, "gasket", "missing"),
    (changed(("[deck]\n", ""), (f"{CLEARANCE}\n", "")), None, "deck", "missing"),
    (without('bore = "92.0 mm"'), 3, "cylinder.bore", "missing"),
    # The number of cylinders.
    (without("count = 4"), 3, "cylinder.count", "missing; say how many cylinders"),
    (but("count = 4", "count = 0"), 4, "cylinder.count", "0: write a whole number from 1 to 24"),
    (but("count = 4", "count = -4"), 4, "cylinder.count", "-4: write a whole number"),
    (but("count = 4", "count = 4.5"), 4, "cylinder.count", "4.5: write a whole number"),
    (but("count = 4", 'count = "4"'), 4, "cylinder.count", "without quotes"),
    (but("count = 4", "count = true"), 4, "cylinder.count", "true: write a whole number"),
    (but("count = 4", "count = 400"), 4, "cylinder.count", "400: write a whole number"),
    (but("count = 4", "count = 2024-05-06"), 4, "cylinder.count", "write a whole number"),
    (but("count = 4", "count = 0x" + "f" * 9000), 4, "cylinder.count", "write a whole number"),
    (but("count = 4", "count." + "a." * 900 + "b = 4"), 4, "cylinder.count", "write a whole number"),
    # One reading: no unit, wrong kind, misread numbers.
    (but('"92.0 mm"', "92.0"), 5, "cylinder.bore", "92.0: write the number and its unit in quotes"),
    (but('"92.0 mm"', '"92.0"'), 5, "cylinder.bore", '"92.0": no unit'),
    (but('"92.0 mm"', '"92,0 mm"'), 5, "cylinder.bore", "write a decimal point, not a comma (92.0 or 920)"),
    (but('"92.0 mm"', '"92.0 cc"'), 5, "cylinder.bore", "92 cc: a length is wanted here, and this is a volume"),
    (but('"92.0 mm"', '"92.0 mm 3 in"'), 5, "cylinder.bore", "two units"),
    (but('"92.0 mm"', '"9**9 mm"'), 5, "cylinder.bore", "work it out first"),
    (but('"92.0 mm"', '"nan mm"'), 5, "cylinder.bore", "not a number that can be measured"),
    (but('"92.0 mm"', '"1e999 mm"'), 5, "cylinder.bore", "not a number that can be measured"),
    (but('"92.0 mm"', "nan"), 5, "cylinder.bore", "nan: write the number and its unit in quotes"),
    (but('"92.0 mm"', '""'), 5, "cylinder.bore", "nothing written"),
    (but('"92.0 mm"', '"""\n"""'), 5, "cylinder.bore", "nothing written"),
    (but('"92.0 mm"', '["92.0 mm"]'), 5, "cylinder.bore", "write the number and its unit in quotes"),
    (but('"92.0 mm"', "{ a = 1 }"), 5, "cylinder.bore", "a table: write the number and its unit in quotes"),
    (but('"92.0 mm"', "true"), 5, "cylinder.bore", "true: write the number"),
    (but('"92.0 mm"', '"92.0 ± 200 mm"'), 5, "cylinder.bore", "so wide that the reading says nothing"),
    (but('"92.0 mm"', '"92.0 mm ± 0.1"'), 5, "cylinder.bore", "write the uncertainty before the unit"),
    (but('"92.0 mm"', '"3 5/8"'), 5, "cylinder.bore", "no unit"),
    # One reading: what no engine has.
    (but('"92.0 mm"', '"3.905 mm"'), 5, "cylinder.bore", "bore 3.905 mm: did you mean 3.905 in?"),
    (but('"92.0 mm"', '"92.0 in"'), 5, "cylinder.bore", "bore 92 in: did you mean 92 mm?"),
    (but('"92.0 mm"', '"0 mm"'), 5, "cylinder.bore", "bore 0 mm: cannot be zero"),
    (but('"92.0 mm"', '"-92.0 mm"'), 5, "cylinder.bore", "cannot be negative"),
    (but('"88.5 mm"', '"3.48 mm"'), 6, "cylinder.stroke", "did you mean 3.48 in?"),
    (but('"145 mm"', '"5.7 mm"'), 7, "cylinder.rod_length", "did you mean 5.7 in?"),
    (but('"145 mm"', '"40 mm"'), 7, "cylinder.rod_length", "shorter than half the stroke"),
    (but('"0 mm"', '"40 mm"'), 8, "cylinder.pin_offset", "did you mean 40 thou?"),
    (but('"47.5 cc"', '"0 cc"'), 10, "chamber.volume", "cannot be zero"),
    (but('"47.5 cc"', '"-47.5 cc"'), 10, "chamber.volume", "cannot be negative"),
    (but('"47.5 cc"', '"47.5 mm"'), 10, "chamber.volume", "a volume is wanted here"),
    (but('"47.5 cc"', '"47.5 L"'), 10, "chamber.volume", "did you mean 47.5 cc?"),
    (but('"93.2 mm"', '"93.2 in"'), 12, "gasket.bore", "did you mean 93.2 mm?"),
    (but('"1.10 mm"', '"0.0433 mm"'), 13, "gasket.compressed_thickness", "did you mean 0.0433 in?"),
    (but('"1.10 mm"', '"0 mm"'), 13, "gasket.compressed_thickness", "cannot be zero"),
    (but('"1.10 mm"', '"-1.10 mm"'), 13, "gasket.compressed_thickness", "cannot be negative"),
    (but('"1.10 mm"', '"1.10 in"'), 13, "gasket.compressed_thickness", "did you mean 1.1 mm?"),
    (but('"1.35 mm"', '"0.0531 mm"'), 14, "gasket.free_thickness", "did you mean 0.0531 in?"),
    (but('"0.35 mm"', '"35 mm"'), 16, "deck.clearance", "outside what an engine can have"),
    (but('"6.0 cc"', '"-6.0 cc"'), 18, "piston.dish", "a negative dish is a dome"),
    (but('dish = "6.0 cc"', 'dome = "-6.0 cc"'), 18, "piston.dome", "a negative dome is a dish"),
    (but('"2.8 cc"', '"2.8"'), 19, "piston.reliefs", "no unit"),
    (but('"6.0 mm"', '"0 mm"'), 21, "ring_land.height", "cannot be zero"),
    (but('"0.60 mm"', '"0.60 cc"'), 22, "ring_land.clearance", "a length is wanted here"),
    (but('"60 deg"', '"60 mm"'), 24, "cam.intake_closes", "an angle is wanted here"),
    (but('"60 deg"', '"60 rad"'), 24, "cam.intake_closes", "did you mean 60 deg?"),
    (but('"60 deg"', '"240 deg"'), 24, "cam.intake_closes", "outside what an engine can have"),
    (but('"1200 m"', '"12000 m"'), 26, "site.altitude", "did you mean 12000 ft?"),
    (but("= 87", '= "87"'), 28, "fuel.antiknock_index", "'87': write a number from 60 to 130"),
    (but("= 87", "= 8.7"), 28, "fuel.antiknock_index", "8.7: write a number"),
    (but("= 87", "= nan"), 28, "fuel.antiknock_index", "nan: write a number"),
    (but("= 87", "= true"), 28, "fuel.antiknock_index", "true: write a number"),
    # The chamber's three ways.
    (without(VOLUME), 9, "chamber", "one of volume, volumes and fills is wanted; none is there"),
    (but(VOLUME, f"{VOLUME}\nvolumes = {FOUR}"), 9, "chamber", "not volume and volumes together"),
    (but(VOLUME, f'{VOLUME}\nfills = [["0 mL", "47.5 mL"]]'), 9, "chamber", "not volume and fills together"),
    (but(VOLUME, 'volumes = ["47.5 cc", "47.5 cc"]'), 10, "chamber.volumes", "2 values: a list of 4 is wanted"),
    (but(VOLUME, 'volumes = "47.5 cc"'), 10, "chamber.volumes", "a list of 4 is wanted, one for each cylinder"),
    (but(VOLUME, "volumes = []"), 10, "chamber.volumes", "0 values: a list of 4 is wanted"),
    (but(VOLUME, f"volumes = {FOUR}".replace('"47.5 cc", "47.5 cc"]', '\n47.5,\n"47.5 cc"]')), 11, "chamber.volumes[3]", "47.5: write the number and its unit"),
    (but(VOLUME, 'volumes = [\n"47.5 cc",\n"47.5 cc",\n"47.5 mm",\n"47.5 cc"]'), 13, "chamber.volumes[3]", "a volume is wanted here"),
    (but(VOLUME, "fills = []"), 10, "chamber.fills", '[["0.60 mL", "25.00 mL"]]'),
    (but(VOLUME, 'fills = "47.5 mL"'), 10, "chamber.fills", 'write [["start", "end"], …]'),
    (but(VOLUME, 'fills = ["0 mL", "47.5 mL"]'), 10, "chamber.fills[1]", "a start and an end reading are wanted"),
    (but(VOLUME, 'fills = [["0 mL", "1 mL", "2 mL"]]'), 10, "chamber.fills[1]", "a start and an end reading"),
    (but(VOLUME, 'fills = [\n["0.60 mL", "25.00 mL"],\n["23.10 mL", "0.00 mL"],\n]'), 12, "chamber.fills[2]", "the end 0.00 mL is above the start 23.10 mL; exchanged?"),
    (but(VOLUME, 'fills = [["5 mL", "5 mL"]]'), 10, "chamber.fills[1]", "nothing was poured"),
    (but(VOLUME, 'fills = [["0 mL", 47.5]]'), 10, "chamber.fills[1]", "write the number and its unit in quotes"),
    (but(VOLUME, 'fills = [["0 mL", "47.5"]]'), 10, "chamber.fills[1]", "no unit"),
    # The gasket's two ways.
    (without('compressed_thickness = "1.10 mm"'), 11, "gasket.compressed_thickness", "compressed thickness missing: give a gasket's bore and its compressed thickness, or its volume"),
    (without('bore = "93.2 mm"'), 11, "gasket.bore", "bore missing: give a gasket's bore and its compressed thickness"),
    (but(GASKET, 'free_thickness = "1.35 mm"'), 11, "gasket", "bore and compressed thickness missing"),
    (but('bore = "93.2 mm"', 'bore = "93.2 mm"\nvolume = "7.5 cc"'), 13, "gasket.volume", "give a gasket's bore or its volume, not both"),
    (changed(('"1.10 mm"', '"1.35 mm"'), ('free_thickness = "1.35 mm"', 'free_thickness = "1.10 mm"')), 14, "gasket.free_thickness", "thinner free (1.100 mm) than compressed (1.350 mm)"),
    # Stroke, deck clearance and depth at bottom dead centre.
    (without(CLEARANCE), 15, "deck.clearance", "missing; read it at top dead centre"),
    (without('stroke = "88.5 mm"'), 3, "cylinder.stroke", "missing; measure it, or give deck.depth_at_bdc"),
    (but(CLEARANCE, f'{CLEARANCE}\ndepth_at_bdc = "88.5 mm"'), 17, "deck.depth_at_bdc", "depth at bottom dead centre 88.500 mm is not stroke 88.500 mm plus deck clearance 0.350 mm"),
    (but(CLEARANCE, f'{CLEARANCE}\ndepth_at_bdc = "3.5 mm"'), 17, "deck.depth_at_bdc", "did you mean 3.5 in?"),
    (but(CLEARANCE, 'depth_at_bdc = "150 mm"'), 16, "deck.depth_at_bdc", "deck clearance 61.5 mm: outside"),
    (changed(('stroke = "88.5 mm"\n', ""), (CLEARANCE, f'{CLEARANCE}\ndepth_at_bdc = "10.2 mm"')), 16, "deck.depth_at_bdc", "stroke 9.85 mm"),
    (but(CLEARANCE, 'clearances = ["0.35 mm"]'), 16, "deck.clearances", "1 value: a list of 4 is wanted"),
    (but(CLEARANCE, f'{CLEARANCE}\nclearances = ["0.35 mm"]'), 17, "deck.clearances", "give clearance for all cylinders or clearances, not both"),
    (but(CLEARANCE, 'clearances = ["0.35 mm", "0.35 mm", "0.35", "0.35 mm"]'), 16, "deck.clearances[3]", "no unit"),
    (but('"0.35 mm"', '"-1.20 mm"'), 16, "deck.clearance", "cylinder 1: the piston stands 1.200 mm above the deck"),
    (but(CLEARANCE, 'clearances = [\n"0.35 mm",\n"0.35 mm",\n"-1.20 mm",\n"0.35 mm"]'), 19, "deck.clearances[3]", "cylinder 3: the piston stands 1.200 mm above the deck"),
    (but(CLEARANCE, 'depth_at_bdc = "87.30 mm"'), 16, "deck.depth_at_bdc", "cylinder 1: the piston stands 1.200 mm above the deck"),
    (changed((GASKET, 'volume = "7.5 cc"'), ('"0.35 mm"', '"-8 mm"'), ('"47.5 cc"', '"4.7 cc"')), 14, "deck.clearance", "nothing is left to burn in"),
    # The piston's crown.
    (but(DISH, f'{DISH}\ndome = "4 cc"'), 20, "piston.dome", "a dish and a dome at once"),
    (but(DISH, 'dome = "80 cc"'), 18, "piston.dome", "nothing is left to burn in"),
    (but('"6.0 cc"', '"600 cc"'), 18, "piston.dish", "dish 600 cc: larger than the swept volume (588.31 cc), and no piston is so deep: measure it again"),
    (but('"6.0 cc"', '"40 cu in"'), 18, "piston.dish", "dish 40 cu in: larger than the swept volume (588.31 cc), and no piston is so deep: did you mean 40 cc?"),
    (but(DISH, 'known_depth = { depth = "12.7 mm", poured = "930 cc" }'), 18, "piston.known_depth.poured", "dish 845.58 cc: larger than the swept volume"),
    (but(DISH, "known_depth = 2024-01-01"), 18, "piston.known_depth", "a date: write {"),
    (but(DISH, 'known_depth = { depth = "12.7 mm", pourd = "93.2 cc" }'), 18, "piston.known_depth.pourd", "unknown; did you mean poured?"),
    (but(DISH, 'known_depth = "12.7 mm"'), 18, "piston.known_depth", 'write { depth = "…", poured = "…" }'),
    (but(DISH, 'known_depth = { depth = "12.7 mm" }'), 18, "piston.known_depth.poured", 'missing; write { depth = "…", poured = "…" }'),
    (but(DISH, 'known_depth = { depth = "12.7 in", poured = "93.2 cc" }'), 18, "piston.known_depth.depth", "known depth 12.7 in: did you mean 12.7 mm?"),
    (but(DISH, 'known_depth = { depth = "12.7 mm", poured = 93.2 }'), 18, "piston.known_depth.poured", "93.2: write the number"),
    (but(DISH, 'known_depth = { depth = "12.7 mm", poured = "93.2 cc" }\ndish = "6 cc"'), 18, "piston.known_depth", "the pour holds the whole crown already; leave out dish"),
    (but(DISH, 'known_depth = { depth = "12.7 mm", poured = "9.32 cc" }'), 18, "piston.known_depth.poured", "nothing is left to burn in"),
    # The ring land.
    (without('clearance = "0.60 mm"'), 20, "ring_land.clearance", "missing"),
    (without('height = "6.0 mm"'), 20, "ring_land.height", "missing"),
]  # fmt: skip
# ruff: noqa: E501

IDS = [f"{number}: {field[:30]!r}" for number, (_, _, field, _) in enumerate(BAD, start=1)]


@pytest.fixture(params=BAD, ids=IDS)
def bad(request: pytest.FixtureRequest) -> tuple[str, int | None, str, str]:
    return request.param


def test_there_are_enough_of_them() -> None:
    assert len(BAD) >= 70
    assert len({text for text, *_ in BAD}) == len(BAD)


def test_refused_with_field_line_and_reason(bad: tuple[str, int | None, str, str]) -> None:
    text, line, field, words = bad
    with pytest.raises(SheetRefused) as refusal:
        parse(text)
    found = refusal.value
    assert (found.field, found.line) == (field, line)
    said = str(found)
    assert words in said
    assert said.splitlines() == [said]
    assert said.isprintable()
    assert len(said) < 900


@pytest.mark.parametrize("how", [[], ["--json"]], ids=["text", "json"])
def test_the_command_says_one_line_and_leaves_the_file_alone(
    bad: tuple[str, int | None, str, str],
    how: list[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    text, line, field, words = bad
    file = tmp_path / "engine.toml"
    file.write_bytes(text.encode())
    before = file.stat()

    assert main(["ratio", str(file), *how]) == 2

    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert err.endswith("\n")
    assert str(file) in err
    assert field.split("\n")[0][:100] in err
    assert words in err
    if line:
        assert f", line {line}: " in err
    assert file.read_bytes() == text.encode()
    assert (file.stat().st_mtime_ns, file.stat().st_ino) == (before.st_mtime_ns, before.st_ino)
    assert [path.name for path in tmp_path.iterdir()] == ["engine.toml"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe\x00", "not a text file in UTF-8"),
        ("name = 'Motor f\xfcr Halle 3'".encode("latin-1"), "not a text file in UTF-8"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "not a text file in UTF-8"),
        (b"\x00" * 100, "not TOML"),
        (b"#" * 2_000_000, "too large for a sheet"),
    ],
)
def test_what_is_no_text(content: bytes, words: str, tmp_path: Path) -> None:
    file = tmp_path / "engine.toml"
    file.write_bytes(content)
    with pytest.raises(SheetRefused) as refusal:
        read_sheet(file)
    assert words in str(refusal.value)
    assert file.read_bytes() == content


def test_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(["ratio", str(tmp_path / "none.toml")]) == 2
    assert main(["ratio", str(tmp_path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 2
    assert "none.toml: cannot be read (No such file or directory)" in err
