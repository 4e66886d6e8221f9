"""`plan` with its files and `order`, as they are called; what is refused leaves nothing behind."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from enginemath.change.plan_report import plan_report
from enginemath.change.price_list_file import parse_options
from enginemath.change.work_order import order_page, order_text, plan_order
from enginemath.change.work_order.agreed import to_sign
from enginemath.change.work_order.bench import for_the_bench
from enginemath.cli import main
from enginemath.sheets import parse
from tests.change.eight import OPTIONS, SHEET

ROOT = Path(__file__).parents[3]


@pytest.fixture
def bay(tmp_path: Path) -> Path:
    (tmp_path / "eight.toml").write_text(SHEET, encoding="utf-8")
    (tmp_path / "options.toml").write_text(OPTIONS, encoding="utf-8")
    return tmp_path


def run(bay: Path, command: str, *words: str) -> int:
    return main([command, str(bay / "eight.toml"), str(bay / "options.toml"), *words])


def test_an_order_is_written_for_each_bank(bay: Path) -> None:
    out = bay / "order.html"
    report = plan_report(parse(SHEET), parse_options(OPTIONS))
    number, plan = next(
        (number, plan)
        for number, plan in enumerate(report["plans"], start=1)
        if all(plan["deck_cuts_mm"].values())
    )
    assert run(bay, "order", "--plan", str(number), "--out", str(out)) == 0
    page = re.sub("</?span[^>]*>", "", out.read_text(encoding="utf-8"))
    for bank in ("left", "right"):
        height = plan["deck_heights_mm"][bank] / 25.4
        assert f"Cut the deck of bank {bank} to a height of {height:.4f} in" in page
        assert f"block of bank {bank}" in page
    assert "shop manual, page 12" in page
    assert re.search(r"Ra 0\.8 µm.*common practice|ommon practice, no source: about Ra", page)
    before_bench = page[: page.index('class="bench"')]
    assert "Signatures" in before_bench
    assert "Cut the deck" in before_bench
    assert f"<td>{plan['price']:g}</td>" in before_bench


def test_what_is_paid_adds_up() -> None:
    sheet, options = parse(SHEET), parse_options(OPTIONS)
    for number in range(1, 6):
        order = plan_order(sheet, options, number)
        text = order_text(order)
        paid = text[text.index("Bought and paid") : text.index("Do not cut below")]
        *each, together = [float(line.split()[-1]) for line in paid.split("\n")[3:] if line.strip()]
        assert sum(each) == together == order.choice.price


def test_the_eight_s_page_is_whole() -> None:
    page = order_page(plan_order(parse(SHEET), parse_options(OPTIONS), 3))
    assert page.count("<table") == page.count("</table>")
    assert page.count("<svg") == 3
    assert "http" not in page.replace("http://www.w3.org", "")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--plan", "999999999", "--out", "o.html"], "no such plan; there are"),
        (["--plan", "1", "--out", "there.html"], "is there already"),
        (["--plan", "1", "--out", "o.pdf"], "saved as .html"),
    ],
)
def test_what_cannot_be_ordered_is_one_sentence(
    bay: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    (bay / "there.html").write_text("mine", encoding="utf-8")
    before = {file: file.read_bytes() for file in bay.iterdir()}
    words[-1] = str(bay / words[-1])
    assert run(bay, "order", *words) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert says in told.err
    assert told.err.count("\n") == 1
    assert {file: file.read_bytes() for file in bay.iterdir()} == before


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("9.000 in", "9.030 in"),
        ('name = "right"', 'name = "middle"'),
        ('bore = "3.90 in"', 'bore = "1.89 in"'),
    ],
    ids=["minimum broken", "no such bank", "gasket under half the bore"],
)
def test_a_job_that_cannot_be_is_one_sentence(
    bay: Path, capsys: pytest.CaptureFixture[str], old: str, new: str
) -> None:
    (bay / "options.toml").write_text(OPTIONS.replace(old, new, 1), encoding="utf-8")
    out, table = bay / "o.html", bay / "p.csv"
    assert run(bay, "order", "--plan", "1", "--out", str(out)) == 2
    assert run(bay, "plan", "--csv", str(table)) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 2
    assert not out.exists()
    assert not table.exists()


def test_a_plan_as_a_table_and_as_a_page(bay: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table, page = bay / "p.csv", bay / "p.html"
    files = ["--csv", str(table), "--html", str(page)]
    assert run(bay, "plan", "--top", "4", "--units", "mm", *files) == 0
    told = capsys.readouterr().out
    assert " mm" in told
    assert " in\n" not in told
    rows = list(csv.DictReader(table.open(encoding="utf-8", newline="")))
    report = plan_report(parse(SHEET), parse_options(OPTIONS), 4)
    assert len(rows) == 4
    for row, plan in zip(rows, report["plans"], strict=True):
        assert float(row["price"]) == plan["price"]
        assert float(row["deck_cuts_mm, left"]) == plan["deck_cuts_mm"]["left"]
        assert float(row["kept_probability"]) == plan["kept_probability"]
    assert "Plans that keep to every limit" in page.read_text(encoding="utf-8")


def test_a_table_in_inches_has_inches(bay: Path) -> None:
    table = bay / "p.csv"
    assert run(bay, "plan", "--units", "in", "--csv", str(table)) == 0
    (first, *_) = csv.DictReader(table.open(encoding="utf-8", newline=""))
    assert float(first["deck_heights_in, left"]) == pytest.approx(9.025, abs=0.021)
    assert not any("_mm" in name for name in first)


def test_a_plan_is_not_written_over_its_own_sheet(
    bay: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(bay, "plan", "--csv", str(bay / "eight.toml")) == 2
    assert "write to another file" in capsys.readouterr().err
    assert (bay / "eight.toml").read_text(encoding="utf-8") == SHEET


def test_the_shop_s_guide_explains_every_part_of_the_order() -> None:
    """Each heading and each column of the cuts is in the guide, by its name on the paper."""
    guide = (ROOT / "docs" / "how-to" / "the-order-for-the-shop.md").read_text("utf-8")
    order = plan_order(parse(SHEET), parse_options(OPTIONS), 2)
    sections = [*to_sign(order), *for_the_bench(order)]
    explained = {row.split("|")[1].strip() for row in guide.splitlines() if row.startswith("| ")}
    assert {section.heading for section in sections} | {"Signatures"} == explained - {
        "on the order",
    }
    (cuts,) = (section for section in sections if section.heading == "The cuts")
    assert {f"**{name}**" for name in cuts.columns[1:]} <= set(re.findall(r"\*\*[^*]+\*\*", guide))
