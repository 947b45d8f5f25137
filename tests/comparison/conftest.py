"""A sound vehicle to change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from gonogo.comparison.comparison import Comparison
from ruamel.yaml import YAML

from .revision import STORIES, Plain, changed, compared


@pytest.fixture(scope="session")
def bike() -> Plain:
    """A sound vehicle: GO, nothing flagged, nothing waiting."""
    text = (STORIES / "hotter-tune" / "before.yaml").read_text("utf-8")
    document: Plain = YAML(typ="safe").load(text)
    return document


@pytest.fixture(scope="session")
def alter(bike: Plain) -> Callable[[Mapping[str, Any]], Comparison]:
    """The sound vehicle compared with itself after some changes."""
    return lambda changes: compared(bike, changed(bike, changes))
