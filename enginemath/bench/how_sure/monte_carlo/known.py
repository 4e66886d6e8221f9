"""What is known about one reading before any draw."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

Array = Any
"""A NumPy array of floats."""


class Distribution(Protocol):
    """What is known about one reading: it can fill an array with possible values."""

    @property
    def value(self) -> float:
        """The best value."""

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws from a NumPy generator."""


@dataclass(frozen=True)
class Normal:
    """A best value and its standard uncertainty. JCGM 101:2008, 6.4.7."""

    value: float
    u: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        generator.standard_normal(out=out)
        out *= self.u
        out += self.value


@dataclass(frozen=True)
class Rectangular:
    """Anywhere within limits, all alike. JCGM 101:2008, 6.4.2."""

    value: float
    half_width: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        generator.random(out=out)
        out *= 2 * self.half_width
        out += self.value - self.half_width


@dataclass(frozen=True)
class Triangular:
    """Values within limits, more likely near the middle. JCGM 101:2008, 6.4.5."""

    value: float
    half_width: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        generator.random(out=out)
        out -= generator.random(out.size)
        out *= self.half_width
        out += self.value


@dataclass(frozen=True)
class StudentT:
    """The mean of a few repeats, `u` = s/√n. JCGM 101:2008, 6.4.9."""

    value: float
    u: float
    degrees_of_freedom: float

    def fill(self, generator: Any, out: Array) -> None:
        """Overwrite `out` with draws."""
        out[:] = generator.standard_t(self.degrees_of_freedom, out.size)
        out *= self.u
        out += self.value
