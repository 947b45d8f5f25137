"""What battery and phase cables carry."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from gonogo.documents.given import Given, Place, Value
from gonogo.quantities import battery_cable, phase_cable
from gonogo.quantities.book import Book
from gonogo.quantities.operand import EXACT, NO_MORE, NotWorked, Operand

HOUSE = {"house.bundle_factor": 0.7}


def carries(given: Mapping[str, Value], name: str) -> Operand:
    """What a book makes of a cable; keys without their section."""
    entries = {f"wiring.{key}": value for key, value in given.items()}
    entered = {
        name: Given(value, value, name.rpartition(".")[2], Place("bike.yaml", 1, 1), (), ())
        for name, value in entries.items()
    }
    return Book(entered, HOUSE, "2026-11-25").operand(name)
