"""The question whether a display works out the road speed, which then needs settings of its own."""

from __future__ import annotations

from ..documents.error import UsageError
from .questions import HELP, NO, YES

DISPLAY = "settings.speed_shown"
DISPLAY_ASKED = (
    "Does a display show the road speed, worked out from settings: yes or no? (Enter: not known)"
)


def display_told(answer: str) -> str:
    """`fitted`, `none`, or nothing where it is not known."""
    if answer == HELP:
        raise UsageError(
            "A display that works the speed out needs the wheel's rolling circumference and the "
            "reduction as settings. One with a sensor of its own on the wheel does not."
        )
    word = answer.lower()
    if word in YES:
        return "fitted"
    if word in NO or word == "none":
        return "none"
    if word:
        raise UsageError("Expected yes or no, or Enter.")
    return ""
