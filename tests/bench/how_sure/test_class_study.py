"""The class as a measuring system, against a published example, statsmodels and SciPy."""

from __future__ import annotations

import random
from pathlib import Path
from statistics import NormalDist

import pytest

from enginemath.bench.how_sure.class_study import FALSE_ALARM, MeasuringSystem, Study, analyse
from enginemath.sheets.study_file import read_study
from enginemath.units import Refused

# AIAG, Measurement Systems Analysis, 4th ed., the study of 10 parts, 3 appraisers and 3 trials
# (data and results from memory; the sums of squares recompute to every printed digit).
AIAG = {
    "A": (
        (0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36),
        (0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25),
        (0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31),
    ),
    "B": (
        (0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68),
        (0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62),
        (0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50),
    ),
    "C": (
        (0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49),
        (-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77),
        (-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16),
    ),
}


def aiag() -> MeasuringSystem:
    readings = tuple(tuple(zip(*trials, strict=True)) for trials in AIAG.values())
    return analyse(Study(tuple(AIAG), tuple("0123456789"), "mm", readings))


def test_published_sums_of_squares() -> None:
    squares = {effect.name: effect.sum_of_squares for effect in aiag().effects}
    assert squares == pytest.approx(
        {"chambers": 88.3619, "groups": 3.1673, "interaction": 0.3590, "repeatability": 2.7589},
        abs=0.00006,
    )
    degrees = [effect.degrees_of_freedom for effect in aiag().effects]
    assert degrees == [9, 2, 18, 60]


def test_published_parts_of_the_variation() -> None:
    system = aiag()
    assert system.pooled
    assert system.repeatability == pytest.approx(0.199933, abs=1e-6)
    assert system.reproducibility == pytest.approx(0.226838, abs=1e-6)
    assert system.interaction == 0
    assert system.measuring == pytest.approx(0.302373, abs=2e-6)  # rounded on the way
    assert system.between_chambers == pytest.approx(1.042327, abs=1e-6)
    assert 100 * system.measuring_share == pytest.approx(27.9, abs=0.05)
    assert system.categories == 4


def made_up(  # every number is drawn, so that no two studies are alike
    seed: int,
    *,
    groups: int = 4,
    chambers: int = 5,
    repeats: int = 3,
    hand: float = 0.1,
    group: float = 0.0,
    together: float = 0.0,
) -> Study:
    draw = random.Random(seed).gauss
    of_chamber = [draw(47, 0.5) for _ in range(chambers)]
    of_group = [draw(0, group) for _ in range(groups)]
    readings = []
    for own in of_group:
        cells = []
        for volume in of_chamber:
            middle = own + volume + draw(0, together)
            cells.append(tuple(draw(middle, hand) for _ in range(repeats)))
        readings.append(tuple(cells))
    names = tuple("ABCDEFGHIJ"[:groups])
    return Study(names, tuple(str(n + 1) for n in range(chambers)), "cc", tuple(readings))


@pytest.mark.parametrize("together", [0.0, 0.3])
def test_analysis_of_variance_is_that_of_statsmodels(together: float) -> None:
    pandas = pytest.importorskip("pandas")
    formula_api = pytest.importorskip("statsmodels.formula.api")
    anova = pytest.importorskip("statsmodels.stats.anova")
    study = made_up(7, group=0.2, together=together)
    rows = [
        {"group": group, "chamber": chamber, "volume": value}
        for group, row in zip(study.groups, study.readings, strict=True)
        for chamber, cell in zip(study.chambers, row, strict=True)
        for value in cell
    ]
    fitted = formula_api.ols("volume ~ C(chamber) * C(group)", pandas.DataFrame(rows)).fit()
    table = anova.anova_lm(fitted)
    ours = {effect.name: effect for effect in analyse(study).effects}
    theirs = {
        "chambers": "C(chamber)",
        "groups": "C(group)",
        "interaction": "C(chamber):C(group)",
        "repeatability": "Residual",
    }
    for name, term in theirs.items():
        assert ours[name].sum_of_squares == pytest.approx(table.loc[term, "sum_sq"], rel=1e-7)
        assert ours[name].degrees_of_freedom == table.loc[term, "df"]
    assert ours["interaction"].f == pytest.approx(table.loc["C(chamber):C(group)", "F"], rel=1e-7)
    assert ours["interaction"].p == pytest.approx(
        table.loc["C(chamber):C(group)", "PR(>F)"], rel=1e-6
    )


def test_groups_are_tested_against_the_interaction_where_there_is_one() -> None:
    stats = pytest.importorskip("scipy.stats")
    system = analyse(made_up(7, group=0.2, together=0.3))
    chambers, groups, interaction, repeats = system.effects
    assert not system.pooled
    for effect in (chambers, groups):
        f = effect.mean_square / interaction.mean_square
        assert effect.f == pytest.approx(f)
        expected = stats.f.sf(f, effect.degrees_of_freedom, interaction.degrees_of_freedom)
        assert effect.p == pytest.approx(expected, rel=1e-9)
    assert interaction.f == pytest.approx(interaction.mean_square / repeats.mean_square)


def test_the_parts_come_back() -> None:
    """Mean of the variances over many made-up studies; the true parts are known."""
    truth = {"hand": 0.1, "group": 0.3, "together": 0.2}
    systems = [analyse(made_up(seed, groups=8, **truth)) for seed in range(150)]

    def typical(part: str) -> float:
        return (sum(getattr(system, part) ** 2 for system in systems) / len(systems)) ** 0.5

    assert typical("repeatability") == pytest.approx(0.1, rel=0.05)
    assert typical("between_groups") == pytest.approx(0.3, rel=0.1)
    assert typical("interaction") == pytest.approx(0.2, rel=0.1)
    assert typical("between_chambers") == pytest.approx(0.5, rel=0.1)


def test_groups_that_agree_are_seldom_called_out_of_line() -> None:
    """Offset and scatter each raise a false alarm in at most about one study in twenty."""
    studies = [analyse(made_up(seed)) for seed in range(400)]
    chance = NormalDist(FALSE_ALARM * 400, (FALSE_ALARM * 400) ** 0.5)
    for fault in ("offset", "scatter"):
        alarms = sum(
            any(fault in check.out_of_line for check in system.checks) for system in studies
        )
        assert alarms < chance.inv_cdf(0.999)
        assert alarms > 0


def shifted(study: Study, group: str, by: float = 0.0, wider: float = 1.0) -> Study:
    number = study.groups.index(group)
    cells = tuple(
        tuple(sum(cell) / len(cell) + wider * (v - sum(cell) / len(cell)) + by for v in cell)
        for cell in study.readings[number]
    )
    readings = (*study.readings[:number], cells, *study.readings[number + 1 :])
    return Study(study.groups, study.chambers, study.unit, readings)


def test_one_group_far_off_does_not_drag_the_others_out_of_line() -> None:
    system = analyse(shifted(made_up(3), "C", by=2.0))
    assert [check.group for check in system.out_of_line] == ["C"]
    (wrong,) = system.out_of_line
    assert wrong.out_of_line == "offset"
    assert wrong.offset == pytest.approx(2.0, abs=0.15)


def test_two_groups_off_are_both_found() -> None:
    system = analyse(shifted(shifted(made_up(3, groups=6), "C", by=2.0), "E", by=-1.0))
    assert [check.group for check in system.out_of_line] == ["C", "E"]


def test_a_group_that_reads_carelessly() -> None:
    system = analyse(shifted(made_up(3), "B", wider=5.0))
    (careless,) = system.out_of_line
    assert (careless.group, careless.out_of_line) == ("B", "scatter")


def test_of_two_groups_none_is_called_wrong() -> None:
    system = analyse(shifted(made_up(3, groups=2), "B", by=2.0))
    assert not any("offset" in check.out_of_line for check in system.checks)
    assert system.effects[1].p < 0.001


def test_the_schools_own_class() -> None:
    """The spare head of the Heron Four: group D's plug was too short, so it reads large."""
    file = Path(__file__).parents[3] / "datasets" / "class-chambers.csv"
    system = analyse(read_study(file))
    assert [check.group for check in system.out_of_line] == ["D"]
    assert system.out_of_line[0].offset == pytest.approx(0.75, abs=0.25)


def test_shares_add_up_and_units_change_nothing() -> None:
    study = made_up(11, group=0.1, together=0.1)
    system = analyse(study)
    squares = [system.repeatability, system.reproducibility, system.between_chambers]
    assert sum(part**2 for part in squares) == pytest.approx(system.total**2)
    in_cu_in = tuple(
        tuple(tuple(v / 16.387064 for v in cell) for cell in row) for row in study.readings
    )
    inch = analyse(Study(study.groups, study.chambers, "cu in", in_cu_in))
    assert inch.measuring_share == pytest.approx(system.measuring_share)
    assert inch.categories == system.categories
    assert inch.repeatability * 16.387064 == pytest.approx(system.repeatability)


def test_readings_that_are_all_the_same() -> None:
    same = Study(("A", "B"), ("1", "2"), "cc", (((47.0, 47.0), (47.0, 47.0)),) * 2)
    with pytest.raises(Refused, match="all readings are the same"):
        analyse(same)


def test_a_class_that_reads_without_any_spread() -> None:
    exact = Study(("A", "B"), ("1", "2"), "cc", (((47.0, 47.0), (48.0, 48.0)),) * 2)
    system = analyse(exact)
    assert system.measuring == 0
    assert system.categories is None
    assert system.verdict().endswith("good")


def test_chambers_that_do_not_differ_are_one_category() -> None:
    study = made_up(5)
    level = tuple(
        tuple(
            tuple(v - study.mean_of_chamber(name) for v in cell)
            for name, cell in zip(study.chambers, row, strict=True)
        )
        for row in study.readings
    )
    system = analyse(Study(study.groups, study.chambers, "cc", level))
    assert system.between_chambers == 0
    assert system.categories == 1
    assert "too much" in system.verdict()


def test_the_table_says_each_part() -> None:
    table = aiag().table()
    for words in ("repeatability", "0.1999", "18.4 %", "chambers", "1.0423", "96.0 %", "92.2 %"):
        assert words in table
