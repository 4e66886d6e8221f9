"""Settings for all tests."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

# A busy machine is slow now and then; that is no fault of the formula that is tried.
#
# Examples are drawn alike each time, so that a test fails where it is broken and not at whoever
# comes by: a search with other examples is for who changes a formula or a drawing, not for CI.
#     pytest --hypothesis-profile=search tests/drawing
settings.register_profile("kit", deadline=None, derandomize=True)
settings.register_profile("light", deadline=None, derandomize=True, max_examples=20)
"""What `.ci/both-ends` runs."""
settings.register_profile("search", deadline=None)
settings.load_profile("kit")

ROOT = Path(__file__).parents[1]
LONGEST_FIRST = (
    *("tests/browser/test_pages.py", "tests/browser/test_site.py"),
    *("tests/browser/test_lessons.py", "tests/browser/test_panels.py"),
    *("tests/browser/test_fits.py", "tests/browser/test_keyboard.py", "tests/docs/test_pages.py"),
    *("tests/browser/test_class_pages.py", "tests/browser/test_hosts.py"),
    *("tests/panels/test_bench_panels.py", "tests/answers/test_one_judge.py"),
    *("tests/bench/how_sure/test_coverage.py", "tests/answers/test_diagnosis_rates.py"),
    *("tests/browser/test_record.py", "tests/bench/how_sure/test_ratio_of_readings.py"),
    *("tests/pages/test_session.py", "tests/change/search/test_memory.py"),
    *("tests/change/search/test_try_few.py", "tests/change/search/test_try_many.py"),
    *("tests/change/search/test_banks.py", "tests/classroom/marking/test_mark_class.py"),
)
"""What takes more than some ten seconds; begun last, it would keep one worker alone at the end."""


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_setupnodes(config: pytest.Config) -> None:
    """Workers take files in the order below, not those with the most tests first."""
    config.option.loadscopereorder = False


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files first; the others stay in their order."""
    gone = [name for name in LONGEST_FIRST if not (ROOT / name).is_file()]
    if gone:
        raise pytest.UsageError(f"tests/conftest.py names files that are gone: {gone}")
    places = {ROOT / name: place for place, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: places.get(item.path, len(places)))
