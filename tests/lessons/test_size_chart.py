"""The chart of printed sizes: a picture that says in words what it shows."""

from __future__ import annotations

from html import escape

import pandas
import pytest

from enginemath.formulas.geometry import disc
from enginemath.lesson.size_chart import chart_of_sizes
from enginemath.sheets.kit_data import path
from enginemath.sheets.printed_records import records


def test_the_words_name_every_row_outside_the_band() -> None:
    """Rows found here with pandas, not with the audit's own records."""
    table = pandas.read_csv(path("cars-1985.csv")).dropna(subset="bore_in")
    share = table.cylinders * disc(table.bore_in, table.stroke_in) / table.engine_size_cuin - 1
    outside = set(table.row[abs(share) > 0.05])
    words = chart_of_sizes().says
    assert f"{len(outside)} points (triangles) lie outside it" in words
    named = "\n".join(words.splitlines()[5:])
    assert len(outside) == 20
    assert all(str(row) in named for row in outside - set(range(93, 99)))
    assert "90, 92 to 99: +5.7 %" in named


@pytest.mark.parametrize("band", [1.0, 5.0, 10.0])
def test_rings_and_triangles_are_all_the_records(band: float) -> None:
    words = chart_of_sizes(band).says
    rings = sum(abs(record.off) <= band for record in records())
    assert f"{rings} points (rings)" in words
    assert f"{201 - rings} points (triangles)" in words


def test_the_picture_carries_its_words() -> None:
    chart = chart_of_sizes()
    data = chart._repr_mimebundle_()
    assert data["text/plain"] == chart.picture.description == chart.says
    assert data["text/html"] == chart.picture.svg()
    assert all(escape(line) in data["text/html"] for line in chart.says.splitlines())


def test_the_picture_is_the_same_on_every_run() -> None:
    assert chart_of_sizes().picture.svg() == chart_of_sizes().picture.svg()
