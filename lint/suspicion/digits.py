"""Digits: what a number was before two of them changed places, one was misread, typed too many or left out."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

# Digits that are taken for each other on a worn label or in somebody's handwriting; common practice.
_LOOK_ALIKE = ("06", "17", "38", "49", "56")


def exchanged(value: float) -> Iterator[float]:
    """A number with two neighbouring digits exchanged, each way once.

    One that only moves the decimal point, or begins with a nought, is another slip.

    >>> list(exchanged(54.0)), list(exchanged(1.35)), list(exchanged(300.0))
    ([45.0], [3.15, 1.53], [])
    """
    text = _in_digits(value)
    digits = [place for place, sign in enumerate(text) if sign.isdigit()]
    for one, other in pairwise(digits):
        if text[one] != text[other]:
            signs = list(text)
            signs[one], signs[other] = signs[other], signs[one]
            told = "".join(signs)
            if is_written_so(told) and _digits(float(told)) != _digits(value):
                yield float(told)


def without_a_digit(value: float) -> Iterator[float]:
    """A number with one digit less, as it was before one was typed too many or twice.

    A nought at the end, or before it a point, is the slip of a decimal point.

    >>> list(without_a_digit(145.0)), list(without_a_digit(4.55)), list(without_a_digit(300.0))
    ([45.0, 15.0, 14.0], [4.5], [])
    """
    text = _in_digits(value)
    found: list[float] = []
    for place, sign in enumerate(text):
        told = text[:place] + text[place + 1 :]
        if not sign.isdigit() or not told.strip("-") or not is_written_so(told):
            continue
        less = float(told)
        if less not in (0.0, *found) and _digits(less) != _digits(value):
            found.append(less)
    yield from found


def with_a_first_digit(value: float) -> Iterator[float]:
    """A whole number of two digits or more with each first digit, as it was before that was left out.

    >>> list(with_a_first_digit(25.0))[:2], list(with_a_first_digit(2.5)), list(with_a_first_digit(5.0))
    ([125.0, 225.0], [], [])
    """
    text = _in_digits(value)
    if text.isdigit() and len(text) > 1:
        yield from (float(f"{first}{text}") for first in range(1, 10))


def misread(value: float) -> Iterator[float]:
    """A number with one digit as it was before it was taken for one that looks like it.

    >>> list(misread(35.0)), list(misread(4.2)), list(misread(60.0))
    ([85.0, 36.0], [9.2], [50.0, 66.0])
    """
    text = _in_digits(value)
    for place, sign in enumerate(text):
        for pair in _LOOK_ALIKE:
            if sign.isdigit() and sign in pair:
                told = text[:place] + pair.replace(sign, "") + text[place + 1 :]
                if is_written_so(told) and float(told):
                    yield float(told)


def _in_digits(value: float) -> str:
    return format(Decimal(repr(value)).normalize(), "f")


def _digits(value: float) -> tuple[int, ...]:
    """The digits of a number without noughts at its ends."""
    return Decimal(repr(value)).normalize().as_tuple().digits


def is_written_so(text: str) -> bool:
    """Whether a number is written so: with a digit at each end, and no nought before another digit.

    >>> is_written_so("015"), is_written_so("0.15"), is_written_so("15."), is_written_so(".5")
    (False, True, False, False)
    """
    told = text.lstrip("-")
    return told[0].isdigit() and told[-1].isdigit() and not (told[0] == "0" and told[1:2].isdigit())


def digits_of(value: float) -> int:
    """How many digits a number takes, without noughts at its ends.

    >>> digits_of(1500.0), digits_of(0.25), digits_of(103.92)
    (2, 2, 5)
    """
    return len(Decimal(repr(float(value))).normalize().as_tuple().digits)
