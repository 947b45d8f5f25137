"""What a history came to: a profile's episodes, and the value that was followed through them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..comparison.history import Episode, Followed
from ..quantities.number import is_number, tidy


@dataclass(frozen=True, slots=True)
class Told:
    """Everything that a report of a history says, the first commit first.

    `scale` turns the followed value into `unit`, that of its key as entered last.
    """

    judged_on: str
    tool: str
    catalogue: str
    file: str
    name: str
    shallow: bool
    followed: Followed | None
    scale: float
    unit: str
    episodes: tuple[Episode, ...]

    def value(self, episode: Episode) -> Any:
        """The followed value of an episode, as entered."""
        value = episode.value
        return tidy(value * self.scale) if is_number(value) else value
