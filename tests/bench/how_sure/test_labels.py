"""Names that readings carry into a budget."""

from __future__ import annotations

from uncertainties import ufloat

from enginemath.bench.how_sure.labels import Label, label_of, named
from enginemath.units import Quantity, read


def test_a_reading_keeps_its_first_name() -> None:
    bore = named(named(read("92.00 ± 0.01 mm"), "bore"), "something else")
    assert bore.m.tag == Label("bore", "mm")


def test_a_name_survives_a_change_of_unit() -> None:
    bore = named(read("3.622 ± 0.001 in"), "bore")
    (reading,) = bore.to("mm").m.derivatives
    assert label_of(reading) == Label("bore", "in")


def test_plain_and_worked_out_numbers_pass() -> None:
    plain = read("92.0 mm")
    assert named(plain, "bore") is plain
    worked_out = Quantity(ufloat(1, 0.1) + ufloat(2, 0.1), "mm")
    assert named(worked_out, "sum") is worked_out
    assert not hasattr(worked_out.m, "tag")


def test_a_text_tag_is_a_name() -> None:
    assert label_of(ufloat(1.1, 0.02, "thickness")) == Label("thickness")
