"""The example beside every formula, run."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import gonogo.quantities
import gonogo.tables
import pytest
from gonogo.quantities.registry import WORKED

MODULES = [
    f"{package.__name__}.{module.name}"
    for package in (gonogo.quantities, gonogo.tables)
    for module in pkgutil.iter_modules(package.__path__)
]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_hold(name: str) -> None:
    """A docstring that lies is worse than none."""
    failed, _ = doctest.testmod(importlib.import_module(name))
    assert failed == 0


@pytest.mark.parametrize("name", sorted(WORKED))
def test_every_quantity_has_a_source_a_unit_a_sentence_and_an_example(name: str) -> None:
    """What a practitioner needs to check a formula without reading Python."""
    for spec in WORKED[name]:
        text = spec.function.__doc__ or ""
        assert len(spec.source) >= 6
        assert ">>> " in text
        assert text.strip()[0].isupper()
