"""Why no value of a setting fits: rules that conflict, one that is broken anyway, one that is not decided."""

from __future__ import annotations

from ..judgement.window import Window


def clash_words(window: Window) -> str:
    """Why no value fits."""
    if fit_unknown(window):
        return f"{window.conflict[0]} is not decided{where_words(window)}"
    if len(window.conflict) == 1:
        return f"{window.conflict[0]} is broken{where_words(window)}, whatever is entered"
    return f"conflict of {' and '.join(window.conflict)}"


def fit_unknown(window: Window) -> bool:
    """Whether nothing is told to fit only because a rule is not decided."""
    return len(window.conflict) == 1 and window.conflict[0] in window.undecided


def where_words(window: Window) -> str:
    """Where the rules of a window are asked, if that is not only as everything is entered."""
    return " at a corner" if window.at_corners else ""
