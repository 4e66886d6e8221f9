"""A blunder against the size that the sheet claims: a maker's figure, or an older sheet's."""

from __future__ import annotations

import pytest

from enginemath.sheets import parse
from enginemath.sheets.ratio_report import sheet_report
from enginemath.sheets.text_file import SheetRefused

SHEET = """\
format = 2
name = "Claims"
readings = "r.csv"
[tools.burette]
kind = "burette"
size = "50 mL"
class = "B"
[tools.mic]
kind = "micrometer"
[cylinder]
count = 1
bore = "92.0 mm"
stroke = "88.5 mm"
[gasket]
bore = "93.2 mm"
[deck]
clearance = "0.35 mm"
[claimed]
{claims}
"""
TABLE = """\
what,cylinder,pour,fill,depth,start,end,reading,tool
compressed thickness,1,,,,,,1.10 mm,mic
chamber,1,1,1,,0.0 mL,23.6 mL,,burette
chamber,1,2,1,,0.0 mL,23.8 mL,,burette
known depth,1,1,1,8.00 mm,0.0 mL,45.0 mL,,burette
known depth,1,1,2,8.00 mm,0.0 mL,17.0 mL,,burette
"""
"""One of the chamber's two fills is missing in both pours; they agree with each other."""


def warned(claims: str, table: str = TABLE) -> list[str]:
    sheet = parse(SHEET.replace("{claims}", claims), tables={"r.csv": table})
    return [text for text in sheet_report(sheet)["warnings"] if "claimed" in text]


def test_repeats_that_agree_are_told_apart_from_the_claim() -> None:
    (said,) = warned('chamber = "47.5 cc"')
    assert said == (
        "chamber of cylinder 1: 23.70 cc read, and 47.50 cc claimed: no scatter is so large. "
        "Is it another part? If not: is a fill missing, or a start not taken off?"
    )


@pytest.mark.parametrize(
    ("claims", "names"),
    [
        ('chamber = "23.5 cc"', []),
        ('chamber = "23.5 ± 0.1 cc"', []),  # u of the burette 0.058 cc, one fill; 3 × 0.12 cc
        ('chamber = "23.1 ± 0.05 cc"', ["chamber"]),
        ('compressed_thickness = "1.35 mm"', ["compressed thickness"]),
        ('compressed_thickness = "0.044 in"', []),
        # The disc of 92.0 mm and 8 mm is 53.181 cc, so the crown is 62.0 − 53.181 = 8.82 cc.
        ('dish = "6.0 cc"\nreliefs = "2.8 cc"', []),
        ('dome = "6.0 cc"', ["crown"]),
        ('bore = "80 mm"', []),  # was not read, but written on the sheet
        ("", []),
    ],
)
def test_what_lies_beyond_its_claim(claims: str, names: list[str]) -> None:
    found = warned(claims)
    assert len(found) == len(names)
    assert all(text.startswith(name) for text, name in zip(found, names, strict=True))


def test_a_claim_goes_into_no_result() -> None:
    without, with_claims = (
        sheet_report(parse(SHEET.replace("{claims}", claims), tables={"r.csv": TABLE}))
        for claims in ("", 'chamber = "47.5 ± 0.1 cc"')
    )
    assert without["cylinders"] == with_claims["cylinders"]


@pytest.mark.parametrize(
    ("claims", "reason"),
    [
        ('chambers = "47.5 cc"', "claimed.chambers: unknown; did you mean chamber"),
        ('chamber = "47.5 mm"', "claimed.chamber: .*volume"),
        ('chamber = "47.5"', "claimed.chamber: .*no unit"),
        ("chamber = 47.5", "claimed.chamber: .*quotes"),
    ],
)
def test_a_claim_that_cannot_be_is_refused(claims: str, reason: str) -> None:
    with pytest.raises(SheetRefused, match=reason):
        parse(SHEET.replace("{claims}", claims), tables={"r.csv": TABLE})
