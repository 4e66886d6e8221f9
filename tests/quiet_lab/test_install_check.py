"""`enginemath lessons --check` says in plain words what works."""

from __future__ import annotations

import importlib.metadata
import webbrowser
from typing import Any

import pytest

from enginemath.quiet_lab import install_check
from enginemath.quiet_lab.install_check import Finding, check_install, summary


def found(what: str) -> Finding:
    return next(finding for finding in check_install() if finding.what == what)


def test_a_whole_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(webbrowser, "get", lambda: object())
    findings = check_install()
    assert [finding.what for finding in findings] == [
        *("Python", "packages", "lessons", "kernel", "widgets", "fonts", "browser")
    ]
    assert all(finding.works for finding in findings), summary(findings)
    assert summary(findings).endswith("start `enginemath lessons`.")


@pytest.fixture
def no_kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(install_check, "_kernel", lambda: "not started in this test")


def test_what_is_missing_is_named(monkeypatch: pytest.MonkeyPatch, no_kernel: None) -> None:
    whole = importlib.metadata.version

    def version(name: str) -> str:
        if name == "pandas":
            raise importlib.metadata.PackageNotFoundError(name)
        return whole(name)

    monkeypatch.setattr(importlib.metadata, "version", version)
    finding = found("packages")
    assert str(finding) == "NOT  packages: missing: pandas; install the kit again"
    assert "To mend: packages" in summary([finding])


def test_an_old_python(monkeypatch: pytest.MonkeyPatch, no_kernel: None) -> None:
    monkeypatch.setattr(install_check.sys, "version_info", (3, 9, 1))
    assert found("Python").words == "3.9.1 is too old; install Python 3.11 or newer"


def test_no_browser(monkeypatch: pytest.MonkeyPatch, no_kernel: None) -> None:
    def none() -> Any:
        raise webbrowser.Error("could not locate runnable browser")

    monkeypatch.setattr(webbrowser, "get", none)
    assert found("browser").words.startswith("none found; start `enginemath lessons`")


def test_no_widgets(monkeypatch: pytest.MonkeyPatch, no_kernel: None) -> None:
    monkeypatch.setattr("jupyter_core.paths.jupyter_path", lambda _: [])
    assert found("widgets").words == ("JupyterLab cannot show sliders; install jupyterlab_widgets")
