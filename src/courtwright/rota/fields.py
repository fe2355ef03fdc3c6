"""Finite fields, for the designs that theory builds from them."""

from __future__ import annotations

from functools import lru_cache
from itertools import product


class Field:
    """GF(q): the numbers 0 to q - 1, read as polynomials over the integers modulo a prime.

    A number's digits in base `prime` are its coefficients; addition is digit by digit.
    The product goes by powers of one element that reaches all the others (Galois 1830, Moore 1893).
    """

    def __init__(self, prime: int, degree: int) -> None:
        self.prime, self.degree = prime, degree
        self.order: int = prime**degree
        self.powers: tuple[int, ...] = next(
            powers
            for tail in product(range(prime), repeat=degree)
            if len(powers := self._powers_of_x(tail)) == self.order - 1
        )
        """1, w, w², ...: every element but 0, each once"""
        self._log = {element: power for power, element in enumerate(self.powers)}

    def _powers_of_x(self, tail: tuple[int, ...]) -> tuple[int, ...]:
        """1, x, x², ... until 1 returns or all turns to 0, where x to the degree is the polynomial `tail`."""
        powers, element = [1], self._times_x(1, tail)
        while element not in (0, 1) and len(powers) < self.order:
            powers.append(element)
            element = self._times_x(element, tail)
        return tuple(powers)

    def _times_x(self, element: int, tail: tuple[int, ...]) -> int:
        top, rest = divmod(element, self.order // self.prime)
        shifted = rest * self.prime
        return self.add(shifted, self._number([top * digit % self.prime for digit in tail]))

    def _number(self, digits: list[int]) -> int:
        number = 0
        for digit in reversed(digits):
            number = number * self.prime + digit
        return number

    def _digits(self, element: int) -> list[int]:
        return [element // self.prime**place % self.prime for place in range(self.degree)]

    def add(self, one: int, other: int) -> int:
        """The sum."""
        both = zip(self._digits(one), self._digits(other), strict=True)
        return self._number([(a + b) % self.prime for a, b in both])

    def times(self, one: int, other: int) -> int:
        """The product."""
        if 0 in (one, other):
            return 0
        return self.power(self._log[one] + self._log[other])

    def power(self, exponent: int) -> int:
        """The generator w to the exponent."""
        return self.powers[exponent % (self.order - 1)]


@lru_cache(maxsize=32)
def field(order: int) -> Field | None:
    """The field of that many elements; None unless the order is a power of a prime."""
    prime = next((divisor for divisor in range(2, order + 1) if order % divisor == 0), 0)
    degree = 1
    while prime and prime**degree < order:
        degree += 1
    return Field(prime, degree) if prime and prime**degree == order else None
