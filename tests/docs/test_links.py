"""Links between the pages of the repository, as they are followed on a disk."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.prose import PAGES, ROOT

LINK = re.compile(r"\]\((?!https?:|mailto:|#)([^)#\s]+)(?:#[^)]*)?\)")


def leading_nowhere(page: Path) -> list[str]:
    """Links to files that are not there."""
    links = LINK.findall(page.read_text(encoding="utf-8"))
    return [link for link in links if not (page.parent / link).exists()]


@pytest.mark.parametrize("page", PAGES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_link_leads_to_a_file(page: Path) -> None:
    assert not leading_nowhere(page)


def test_a_link_to_nothing_is_found(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("[here](page.md#top), [there](gone.md), [far](https://example.org/x.md)")
    assert leading_nowhere(page) == ["gone.md"]
