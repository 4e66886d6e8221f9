"""The air-standard cycle: the most that a compression ratio can be worth.

The gas is air throughout, combustion is heat from outside, nothing leaks and no heat is lost.
A real engine gives clearly less, but the direction holds. Bare numbers are in kPa (absolute),
kelvin, kJ/kg and m³/kg; inputs with units answer with units.
"""

from __future__ import annotations

from enginemath.engine.cycle.closed_form import (
    charge_heat,
    efficiency_gain,
    otto_efficiency,
    otto_mean_effective_pressure,
)
from enginemath.engine.cycle.corners import Cycle, State, dual, otto
from enginemath.formulas.compressed_gas import (
    GAMMA,
    compressed_pressure,
    compressed_temperature,
    compression_work,
)

__all__ = [
    "GAMMA",
    "Cycle",
    "State",
    "charge_heat",
    "compressed_pressure",
    "compressed_temperature",
    "compression_work",
    "dual",
    "efficiency_gain",
    "otto",
    "otto_efficiency",
    "otto_mean_effective_pressure",
]
