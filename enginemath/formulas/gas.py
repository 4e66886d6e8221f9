"""Air as the cylinder's gas: with a constant heat capacity, or warming up as real air does.

Bare numbers are in kelvin and kJ/kg; quantities answer with quantities. Energies are counted
from a zero of their own: only differences mean something.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from enginemath.units import Number, nominal
from enginemath.units.any_number import bare, higher_of, lower_of, with_unit

_STEPS = 6  # of Newton's method; the fourth already stands still over the whole range


@dataclass(frozen=True)
class Gas:
    """An ideal gas whose heat capacity at constant volume is a polynomial in temperature.

    Args:
        name: as a legend shows it.
        gas_constant: kJ/(kg·K).
        cold: coefficients of cv up to `meeting`, kJ/kg over powers of a kelvin, constant first.
        hot: coefficients above `meeting`; none where `cold` serves throughout.
        meeting: temperature where both agree, K.
        coldest: lowest temperature that the coefficients are good for, K.
        hottest: highest, K.

    >>> textbook_air = Gas("constant cv", 0.287, cold=(0.718,))
    >>> round(textbook_air.energy(600.0) - textbook_air.energy(300.0), 1)
    215.4
    """

    name: str
    gas_constant: float
    cold: tuple[float, ...]
    hot: tuple[float, ...] = ()
    meeting: float = 1000.0
    coldest: float = 200.0
    hottest: float = 6000.0

    def heat_capacity(self, temperature: Number) -> Number:
        """Heat capacity at constant volume.

            cv = c₀ + c₁·T + c₂·T² + …

        Args:
            temperature: T; bare in kelvin.

        Returns:
            cv, energy for a mass and a degree; bare in kJ/(kg·K).

        Source: the gas's own coefficients; `DRY_AIR` has them from NASA TM-4513 (1993).

        >>> round(DRY_AIR.heat_capacity(300.0), 3), round(DRY_AIR.heat_capacity(1500.0), 3)
        (0.718, 0.921)
        """
        above_meeting = self._from_meeting(_polynomial, bare(temperature, "kelvin"))
        capacity = _polynomial(self.cold, self.meeting) + above_meeting
        return with_unit(capacity, "kJ/kg/kelvin", like=temperature)

    def gamma(self, temperature: Number) -> Number:
        """Ratio of the heat capacities: the exponent of compression without heat loss.

            γ = cp/cv = 1 + R/cv

        Args:
            temperature: at which cv is taken; bare in kelvin.

        Returns:
            A bare number above 1.

        Source: cp − cv = R, ideal gas.

        >>> round(DRY_AIR.gamma(300.0), 3), round(DRY_AIR.gamma(1500.0), 3)
        (1.4, 1.312)
        """
        return 1 + self.gas_constant / bare(self.heat_capacity(temperature), "kJ/kg/kelvin")

    def energy(self, temperature: Number) -> Number:
        """Internal energy; only differences mean something.

            u₂ − u₁ = ∫ cv dT, from T₁ to T₂

        Args:
            temperature: T; bare in kelvin.

        Returns:
            Energy of a mass; bare in kJ/kg.

        Source: du = cv·dT, ideal gas.

        >>> round(DRY_AIR.energy(600.0) - DRY_AIR.energy(300.0), 1)
        220.9
        """
        energy = self._from_meeting(_integral, bare(temperature, "kelvin"))
        return with_unit(energy, "kJ/kg", like=temperature)

    def enthalpy(self, temperature: Number) -> Number:
        """Enthalpy; only differences mean something.

            h = u + R·T

        Args:
            temperature: T; bare in kelvin.

        Returns:
            Energy of a mass; bare in kJ/kg.

        Source: the definition h = u + p·v, with p·v = R·T.

        >>> round(DRY_AIR.enthalpy(600.0) - DRY_AIR.enthalpy(300.0), 1)
        307.0
        """
        kelvin = bare(temperature, "kelvin")
        enthalpy = self.energy(kelvin) + self.gas_constant * kelvin
        return with_unit(enthalpy, "kJ/kg", like=temperature)

    def relative_density(self, temperature: Number) -> Number:
        """How dense the gas grows when compression alone brings it to a temperature.

            ρ₂/ρ₁ = e^∫ cv/(R·T) dT, from T₁ to T₂

        The ratio of two relative densities is the volume ratio of a compression without heat
        loss and friction. Air tables print its inverse as relative specific volume.

        Args:
            temperature: T; bare in kelvin.

        Returns:
            A bare number; only ratios of two mean something.

        Source: T·ds = cv·dT + p·dv = 0; ideal gas.

        >>> cold, hot = DRY_AIR.relative_density(290.0), DRY_AIR.relative_density(652.1)
        >>> round(hot / cold, 2)
        8.0
        """
        density = 1.0
        for coefficients, end in self._pieces(bare(temperature, "kelvin")):
            density = density * self._densified(coefficients, end)
        return density

    def compressed(self, temperature: Number, ratio: Number) -> Number:
        """Temperature after compression without heat loss and friction.

            ρ(T₂) = r·ρ(T₁), solved for T₂; where γ is constant, T₂ = T₁·r^(γ−1)

        ρ is `relative_density`.

        Args:
            temperature: T₁, before; bare in kelvin.
            ratio: r, volume before / volume after, a bare number; below 1 for an expansion.

        Returns:
            A temperature; bare in kelvin.

        Source: solved by Newton's method in the logarithms: each step is the textbook T·r^(γ−1)
        with γ where the last one ended.

        >>> round(DRY_AIR.compressed(290.0, 8.0), 1)
        652.1
        """
        kelvin = bare(temperature, "kelvin")
        target = self.relative_density(kelvin) * bare(ratio, "")

        def closer(to_density: Number, kelvin: Number) -> Number:
            missing = to_density / self.relative_density(kelvin)
            return kelvin * missing ** (self.gamma(kelvin) - 1)

        return with_unit(_newton(closer, target, nominal(kelvin)), "kelvin", like=temperature)

    def heated(self, temperature: Number, heat: Number, at_pressure: bool = False) -> Number:
        """Temperature after heat is added, at constant volume or at constant pressure.

            u(T₂) = u(T₁) + q, at constant volume

            h(T₂) = h(T₁) + q, at constant pressure

        Args:
            temperature: T₁, before; bare in kelvin.
            heat: q, added; negative where it is taken away; bare in kJ/kg.
            at_pressure: True where the pressure stays and the volume grows.

        Returns:
            A temperature; bare in kelvin.

        Source: first law, solved for the temperature by Newton's method.

        >>> round(DRY_AIR.heated(652.1, 800.0), 1)
        1576.6
        """
        kelvin = bare(temperature, "kelvin")
        heat_content = self.enthalpy if at_pressure else self.energy
        of_expansion = self.gas_constant if at_pressure else 0.0
        target = heat_content(kelvin) + bare(heat, "kJ/kg")

        def closer(to_content: Number, kelvin: Number) -> Number:
            missing = to_content - heat_content(kelvin)
            return kelvin + missing / (self.heat_capacity(kelvin) + of_expansion)

        return with_unit(_newton(closer, target, nominal(kelvin)), "kelvin", like=temperature)

    @classmethod
    def with_gamma(cls, gamma: float, gas_constant: float = 0.287) -> Gas:
        """A gas whose ratio of heat capacities stays the same, hot or cold.

            cv = R/(γ − 1)

        Args:
            gamma: γ, ratio of the heat capacities, above 1.
            gas_constant: R, in kJ/(kg·K).

        Returns:
            The gas; it answers as every other.

        Source: `gamma` solved for cv.

        >>> round(Gas.with_gamma(1.4).heat_capacity(1500.0), 4)
        0.7175
        """
        return cls(f"constant γ = {gamma:g}", gas_constant, (gas_constant / (gamma - 1),))

    def _pieces(self, kelvin: Number) -> list[tuple[tuple[float, ...], Number]]:
        """The coefficients, each with where its piece of the way from `meeting` ends."""
        if not self.hot:
            return [(self.cold, kelvin)]
        return [
            (self.cold, lower_of(kelvin, self.meeting)),
            (self.hot, higher_of(kelvin, self.meeting)),
        ]

    def _from_meeting(
        self, function: Callable[[Sequence[float], Number], Number], kelvin: Number
    ) -> Number:
        return sum(
            function(coefficients, end) - function(coefficients, self.meeting)
            for coefficients, end in self._pieces(kelvin)
        )

    def _densified(self, coefficients: tuple[float, ...], end: Number) -> Number:
        constant, *rising = coefficients
        by_rising = 0.0
        if rising:
            powers = [0.0, *(c / (k + 1) for k, c in enumerate(rising))]
            by_rising = _polynomial(powers, end) - _polynomial(powers, self.meeting)
        by_constant = (end / self.meeting) ** (constant / self.gas_constant)
        return by_constant * math.e ** (by_rising / self.gas_constant)


def _newton(closer: Callable[[Number, Number], Number], target: Number, start: Number) -> Number:
    """Best values first; the last step carries the uncertainty of what is wanted."""
    found = start
    for _ in range(_STEPS - 1):
        found = closer(nominal(target), found)
    return closer(target, found)


def _polynomial(coefficients: Sequence[float], x: Number) -> Number:
    value = coefficients[-1]
    for coefficient in coefficients[-2::-1]:
        value = value * x + coefficient
    return value


def _integral(coefficients: Sequence[float], x: Number) -> Number:
    return _polynomial([0.0, *(c / (k + 1) for k, c in enumerate(coefficients))], x)


_MOLAR_GAS_CONSTANT = 8.314462618  # kJ/(kmol·K), CODATA 2018

_SHARE_AND_MASS = {"N2": (0.78084, 28.014), "O2": (0.209476, 31.998), "Ar": (0.00934, 39.95)}
"""Shares of dry air by number, and kg/kmol.

Source: US Standard Atmosphere 1976, without its 0.03 % of CO2; IUPAC (both from memory).
"""

_NASA = {
    "N2": (
        (3.53100528, -1.23660987e-04, -5.02999437e-07, 2.43530612e-09, -1.40881235e-12),
        (2.95257626, 1.39690057e-03, -4.92631691e-07, 7.86010367e-11, -4.60755321e-15),
    ),
    "O2": (
        (3.78245636, -2.99673415e-03, 9.847302e-06, -9.68129508e-09, 3.24372836e-12),
        (3.66096083, 6.56365523e-04, -1.41149485e-07, 2.05797658e-11, -1.29913248e-15),
    ),
    "Ar": ((2.5, 0.0, 0.0, 0.0, 0.0), (2.5, 0.0, 0.0, 0.0, 0.0)),
}
"""cp/R over powers of T, 200 to 1000 K and 1000 to 6000 K.

Source: B. J. McBride, S. Gordon and M. A. Reno, NASA TM-4513 (1993), as read in Cantera's
nasa_gas.yaml.
"""


def _dry_air() -> Gas:
    whole = sum(share for share, _ in _SHARE_AND_MASS.values())
    mass = sum(share * mass for share, mass in _SHARE_AND_MASS.values()) / whole
    gas_constant = _MOLAR_GAS_CONSTANT / mass

    def mixed(piece: int) -> tuple[float, ...]:
        columns = zip(*(_NASA[species][piece] for species in _SHARE_AND_MASS), strict=True)
        shares = [share / whole for share, _ in _SHARE_AND_MASS.values()]
        cp, *rising = (
            sum(s * c for s, c in zip(shares, column, strict=True)) for column in columns
        )
        return tuple(gas_constant * c for c in (cp - 1, *rising))

    return Gas("dry air", gas_constant, mixed(0), mixed(1), meeting=1000.0)


DRY_AIR = _dry_air()
"""Air whose heat capacity grows as it warms; never dissociates, so it flatters above 2500 K."""

TEXTBOOK_AIR = Gas.with_gamma(1.4)
"""Cold air whatever its temperature: γ = 1.4, R = 0.287 kJ/(kg·K)."""
