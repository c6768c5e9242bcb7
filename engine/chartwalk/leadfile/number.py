"""Exact numbers as `.lead` files write them: 2, 1.5, 1/3."""

import re
from fractions import Fraction
from typing import Final

_DIGITS: Final = r"\d{1,60}"  # more than any music needs, and too few to hold the reader up
_NUMBER: Final = re.compile(rf"{_DIGITS}(?:\.{_DIGITS}|/0*[1-9]\d{{0,59}})?|\.{_DIGITS}")


def parse_number(text: str) -> Fraction:
    """Read a whole number, a decimal or a fraction; raise ValueError on anything else.

    >>> parse_number("1.5"), parse_number("1/3"), parse_number(".5")
    (Fraction(3, 2), Fraction(1, 3), Fraction(1, 2))
    """
    if not _NUMBER.fullmatch(text):
        raise ValueError(f"{text!r} is no number: write 2, 1.5 or 1/3")
    return Fraction(text)


def format_number(value: Fraction) -> str:
    """Write a number so that `parse_number` gives it back: a short decimal or a fraction.

    >>> format_number(Fraction(3, 2)), format_number(Fraction(2, 3)), format_number(Fraction(4))
    ('1.5', '2/3', '4')
    """
    for digits in range(4):
        scaled = value * 10**digits
        if scaled.denominator == 1:
            return f"{float(value):.{digits}f}"
    return f"{value.numerator}/{value.denominator}"


def quarters(value: Fraction) -> str:
    """Say a length in words.

    >>> quarters(Fraction(1)), quarters(Fraction(7, 2))
    ('1 quarter', '3.5 quarters')
    """
    return f"{format_number(value)} quarter{'' if value == 1 else 's'}"
