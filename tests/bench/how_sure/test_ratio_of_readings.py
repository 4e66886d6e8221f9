"""The mean ratio as one formula of the readings that carry an uncertainty."""

from __future__ import annotations

import pytest

from enginemath.bench.how_sure.propagation import propagate
from enginemath.bench.how_sure.ratio_of_readings import RatioModel
from enginemath.engine.stack import mean_ratio
from enginemath.sheets import EXAMPLE, parse, read_sheet
from enginemath.sheets.kit_data import path

ENGINES = ["heron-one", "heron-four", "heron-eight"]


@pytest.mark.parametrize("name", ENGINES)
def test_at_the_readings_it_gives_the_engine_s_mean_ratio(name: str) -> None:
    engine = read_sheet(path(f"{name}.toml")).engine
    model = RatioModel(engine)
    ratio = mean_ratio(engine)
    assert model(*(r.nominal_value for r in model.readings)) == pytest.approx(
        ratio.nominal_value, rel=1e-12
    )


@pytest.mark.parametrize("name", ENGINES)
def test_its_spread_is_that_of_the_uncertainties_package(name: str) -> None:
    """Source: the uncertainties package's own propagation through the stack of quantities."""
    engine = read_sheet(path(f"{name}.toml")).engine
    model = RatioModel(engine)
    spread = propagate(model, model.readings)
    assert spread.method == "first order"
    assert spread.u == pytest.approx(mean_ratio(engine).std_dev, rel=1e-4)


@pytest.mark.parametrize("name", ENGINES)
def test_first_order_agrees_with_monte_carlo(name: str) -> None:
    """JCGM 101:2008, 8: the published way to trust first order."""
    numpy = pytest.importorskip("numpy")
    engine = read_sheet(path(f"{name}.toml")).engine
    model = RatioModel(engine)
    rng = numpy.random.default_rng(7)
    draws = [rng.normal(r.nominal_value, r.std_dev, 200_000) for r in model.readings]
    ratios = model(*draws)
    spread = propagate(model, model.readings)
    assert spread.u == pytest.approx(ratios.std(), rel=0.02)
    low, high = numpy.quantile(ratios, [0.025, 0.975])
    assert spread.interval_95 == pytest.approx((low, high), abs=0.03 * spread.u + 0.003)


def test_the_bore_is_one_reading_for_all_the_volumes_it_goes_into() -> None:
    engine = parse(EXAMPLE.replace("92.0 mm", "92.0 ± 0.1 mm")).engine
    model = RatioModel(engine)
    assert [r.tag.name for r in model.readings] == ["bore"]
    bigger = parse(EXAMPLE.replace("92.0 mm", "92.1 mm")).engine
    assert model(92.1) == pytest.approx(mean_ratio(bigger), rel=1e-12)


def test_inches_and_millimetres_give_one_formula() -> None:
    inches = parse(EXAMPLE.replace('"1.10 mm"', '"0.0433 ± 0.0008 in"')).engine
    model = RatioModel(inches)
    assert model(0.0433) == pytest.approx(mean_ratio(inches).nominal_value, rel=1e-12)


def test_a_sheet_without_uncertainty_has_no_reading_to_vary() -> None:
    model = RatioModel(parse(EXAMPLE).engine)
    assert model.readings == ()
    assert model() == pytest.approx(mean_ratio(parse(EXAMPLE).engine))


def test_a_poured_gasket_opening() -> None:
    text = EXAMPLE.replace('bore = "93.2 mm"\n', 'volume = "7.5 ± 0.1 cc"\n')
    engine = parse(text).engine
    model = RatioModel(engine)
    assert [r.tag.name for r in model.readings] == ["gasket volume"]
    assert model(7.5) == pytest.approx(mean_ratio(engine).nominal_value)
