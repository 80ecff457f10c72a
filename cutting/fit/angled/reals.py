"""Numbers that may be irrational, held between two exact fractions, and rounded up at the end.

Tangents and secants of an angle given in degrees are rational only at a few places (Niven 1956, Irrational Numbers,
corollary 3.12: among rational multiples of pi the tangent is rational only at 0 and 45 degrees, the cosine only at 0,
60 and 90); there they are held exactly, everywhere else between bounds closer than 1e-40.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import isqrt
from typing import Final

__all__ = ["ZERO", "Real", "exact", "hypotenuse", "round_up", "secant", "tangent"]

_DIGITS: Final = 60
_ONE: Final = 10**_DIGITS
_SLACK: Final = 10**8  # units of 1e-60: far more than the rounding of some hundred series terms
_FORTY_FIVE: Final = 45
_SIXTY: Final = 60
_PLAIN: Final = 10**12


@dataclass(frozen=True, slots=True)
class Real:
    """A real number known to lie between two fractions.

    Attributes
    ----------
    low, high : Fraction
        Equal where the number is known exactly.
    """

    low: Fraction
    high: Fraction

    def __add__(self, other: Real) -> Real:
        return Real(self.low + other.low, self.high + other.high)

    def __neg__(self) -> Real:
        return Real(-self.high, -self.low)

    def __sub__(self, other: Real) -> Real:
        return self + -other

    def __abs__(self) -> Real:
        if self.low >= 0:
            return self
        if self.high <= 0:
            return -self
        return Real(Fraction(0), max(-self.low, self.high))

    def times(self, factor: Fraction) -> Real:
        """Multiply by an exact number."""
        ends = (self.low * factor, self.high * factor)
        return Real(min(ends), max(ends))

    @property
    def is_exact(self) -> bool:
        """Whether the number is known exactly."""
        return self.low == self.high


def exact(value: Fraction) -> Real:
    """Hold a rational number."""
    return Real(value, value)


ZERO: Final = exact(Fraction(0))


def round_up(value: Real, step: Fraction) -> Fraction:
    """Return a rational number as it is, any other rounded up to a multiple of `step`.

    Tangents may add up to a rational number (those of 60 and 15 degrees make 2): a fraction with a denominator of at
    most 12 digits that agrees to more than 40 is taken for the number itself.

    Examples
    --------
    >>> round_up(secant(Fraction(45)).times(Fraction(5, 2)), Fraction(1, 100))
    Fraction(177, 50)
    >>> round_up(exact(Fraction(1, 3)), Fraction(1, 100))
    Fraction(1, 3)
    """
    if value.is_exact:
        return value.low
    near = value.low.limit_denominator(_PLAIN)
    if abs(near - value.low) <= value.high - value.low:
        return near
    return -(-value.high // step) * step


def tangent(degrees: Fraction) -> Real:
    """Tangent of an angle between -60 and 60 degrees (beyond that nothing is cut)."""
    if degrees < 0:
        return -tangent(-degrees)
    if degrees == 0:
        return ZERO
    if degrees == _FORTY_FIVE:
        return exact(Fraction(1))
    sine, cosine = _sine_cosine(degrees)
    return Real(sine.low / cosine.high, sine.high / cosine.low)


def secant(degrees: Fraction) -> Real:
    """1/cos of an angle between -60 and 60 degrees."""
    if degrees == 0:
        return exact(Fraction(1))
    if abs(degrees) == _SIXTY:
        return exact(Fraction(2))
    cosine = _sine_cosine(abs(degrees))[1]
    return Real(1 / cosine.high, 1 / cosine.low)


@lru_cache(maxsize=512)
def _sine_cosine(degrees: Fraction) -> tuple[Real, Real]:
    """Sine and cosine by their power series in whole units of 1e-60."""
    angle = _pi() * degrees.numerator // (180 * degrees.denominator)
    sine, cosine = _series(angle, 1), _series(angle, 0)
    return _around(sine), _around(cosine)


def _series(angle: int, power: int) -> int:
    """Sum the terms ``(-1)^n x^(2n+power) / (2n+power)!``."""
    term = angle if power else _ONE
    total = 0
    while term:
        total += term
        term = -(term * angle // _ONE) * angle // (_ONE * (power + 1) * (power + 2))
        power += 2
        if term == -1:  # floor division of a negative number never reaches 0
            break
    return total


def _around(value: int) -> Real:
    return Real(Fraction(value - _SLACK, _ONE), Fraction(value + _SLACK, _ONE))


@lru_cache(maxsize=1)
def _pi() -> int:
    """Return pi by Machin's formula, 16 arctan(1/5) - 4 arctan(1/239), in units of 1e-60."""
    return 16 * _arctan_of_inverse(5) - 4 * _arctan_of_inverse(239)


def _arctan_of_inverse(n: int) -> int:
    power = _ONE // n
    total, k = power, 1
    while power:
        power //= n * n
        k += 2
        total += (power // k) * (1 if k % 4 == 1 else -1)
    return total


def hypotenuse(a: Real, b: Real) -> Real:
    """``sqrt(a^2 + b^2)`` of two reals, held outward to 1e-40."""
    low = min(abs(a.low), abs(a.high)) ** 2 + min(abs(b.low), abs(b.high)) ** 2
    high = max(abs(a.low), abs(a.high)) ** 2 + max(abs(b.low), abs(b.high)) ** 2
    return _root(low, high)


def _root(low: Fraction, high: Fraction) -> Real:
    """Bounds of the square root of a number between two fractions."""
    scale = 10**40
    down = Fraction(isqrt(low.numerator * scale * scale // low.denominator), scale)
    up = Fraction(isqrt(-(-high.numerator * scale * scale // high.denominator)) + 1, scale)
    if low == high and down * down == low:
        return exact(down)
    return Real(down, up)
