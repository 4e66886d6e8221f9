"""The kernel that the kit's Lab starts, beside the one that Jupyter starts as it comes."""

from __future__ import annotations

import ast
from typing import Any

import pytest
from jupyter_client.manager import KernelManager, run_kernel

from enginemath import quiet_lab

ASK = """\
import sys
print({
    "debugger": sys.modules.get("debugpy") is not None,
    "paths": sys.path,
    "resident": int(open("/proc/self/status").read().split("VmRSS:")[1].split()[0])
    if sys.platform == "linux" else 0,
})
"""


def of_a_kernel(monkeypatch: pytest.MonkeyPatch, path: str, **how: Any) -> dict[str, Any]:
    """What a kernel tells of itself that is started with a search path."""
    monkeypatch.setenv("JUPYTER_PATH", path)
    printed: list[str] = []
    with run_kernel(kernel_name="python3", **how) as client:
        client.execute_interactive(
            ASK,
            timeout=60,
            output_hook=lambda message: printed.append(message["content"].get("text", "")),
        )
    told: dict[str, Any] = ast.literal_eval("".join(printed))
    return told


def test_a_lessons_kernel_has_no_debugger(monkeypatch: pytest.MonkeyPatch) -> None:
    kits = of_a_kernel(monkeypatch, quiet_lab.environment()["JUPYTER_PATH"])
    as_it_comes = of_a_kernel(monkeypatch, "")
    assert (kits["debugger"], as_it_comes["debugger"]) == (False, True)
    assert not any(path.startswith(str(quiet_lab.SETTINGS)) for path in kits["paths"])
    if kits["resident"]:
        assert kits["resident"] < as_it_comes["resident"] - 4096


def test_a_lessons_kernel_can_be_encrypted_where_a_server_asks_for_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    if not hasattr(KernelManager, "transport_encryption"):
        pytest.skip("the Jupyter that is installed does not encrypt")
    kits = quiet_lab.environment()["JUPYTER_PATH"]
    assert not of_a_kernel(monkeypatch, kits, transport_encryption="required")["debugger"]
