"""However large the grid is, a search takes little memory."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

PROGRAM = """
import sys
from enginemath.sheets import EXAMPLE, parse
from enginemath.change.price_list_file import parse_options
from enginemath.change.plan_report import plan_report

report = plan_report(parse(EXAMPLE), parse_options(sys.stdin.read()))
status = open("/proc/self/status").read()
print(report["tried"], int(status.split("VmHWM:")[1].split()[0]) // 1024)
"""
GASKET = (
    '[[gasket]]\nname = "g{0}"\nbore = "93.{0:03}mm"\ncompressed_thickness = "1 mm"\nprice = {0}\n'
)
PISTON = '[[piston]]\nname = "p{0}"\ndish = "{0}e-3 cc"\nprice = {0}\n'
CUT = '[{0}_cut]\nstep = "{1} mm"\nmax = "0.3 mm"\nprice = 1\n'
MOST_MB = 500


def options(gaskets: int, pistons: int, deck_step: float, head_step: float) -> str:
    return "".join(
        [
            "format = 1\n[target]\nratio = [9, 12]\n",
            *(GASKET.format(number) for number in range(gaskets)),
            *(PISTON.format(number) for number in range(pistons)),
            CUT.format("deck", deck_step),
            CUT.format("head", head_step),
            "cc_per_mm = 4\n",
        ]
    )


@pytest.mark.parametrize(
    ("text", "combinations"),
    [
        (options(0, 0, 1e-4, 1e-4), 3001 * 3001),
        (options(0, 0, 3e-7, 0.3), 1_000_001 * 2),
        (options(900, 900, 0.15, 0.3), 901 * 901 * 3 * 2),
    ],
    ids=["two fine cuts", "one very fine cut", "many parts"],
)
def test_peak_memory(text: str, combinations: int) -> None:
    if not Path("/proc/self/status").exists():
        pytest.skip("peak memory is asked of Linux")
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM], input=text, capture_output=True, text=True, check=True
    )
    tried, megabytes = map(int, done.stdout.split())
    assert tried == combinations
    assert megabytes < MOST_MB
