"""What a page shows of Python does what the page says."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

from tests.prose import PAGES, ROOT

SNIPPET = re.compile(r"^```pycon\n(.*?)^```$", re.MULTILINE | re.DOTALL)
WITH_SNIPPETS = [path for path in PAGES if SNIPPET.search(path.read_text(encoding="utf-8"))]


@pytest.mark.parametrize("path", WITH_SNIPPETS, ids=lambda path: path.name)
def test_snippets(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    said: list[str] = []
    names: dict[str, object] = {}
    parser = doctest.DocTestParser()
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    for snippet in SNIPPET.findall(path.read_text(encoding="utf-8")):
        test = parser.get_doctest(snippet, names, path.name, str(path), 0)
        runner.run(test, out=said.append, clear_globs=False)
        names = test.globs
    assert runner.tries
    assert not runner.failures, "".join(said)


def test_there_are_snippets() -> None:
    assert len(WITH_SNIPPETS) >= 4
