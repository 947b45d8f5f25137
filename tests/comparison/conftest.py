"""A sound vehicle to change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from gonogo.comparison.comparison import Comparison
from ruamel.yaml import YAML

from .revision import EXAMPLES, Plain, changed, compared


def pytest_configure(config: pytest.Config) -> None:
    """The marker of tests that need a browser."""
    config.addinivalue_line("markers", "browser: looks at a page in a real headless Chromium")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Tests in a browser run when they are asked for: `pytest -m browser`."""
    if "browser" in config.option.markexpr:
        return
    apart = [item for item in items if item.get_closest_marker("browser")]
    config.hook.pytest_deselected(items=apart)
    items[:] = [item for item in items if item not in apart]


@pytest.fixture(scope="session")
def bike() -> Plain:
    """A sound vehicle: GO, nothing flagged, nothing waiting."""
    text = (EXAMPLES / "revisions" / "hotter-tune" / "before.yaml").read_text("utf-8")
    document: Plain = YAML(typ="safe").load(text)
    return document


@pytest.fixture(scope="session")
def alter(bike: Plain) -> Callable[[Mapping[str, Any]], Comparison]:
    """The sound vehicle compared with itself after some changes."""
    return lambda changes: compared(bike, changed(bike, changes))
