"""The decorator that turns a formula into a worked quantity: name, unit, inputs, source, once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from .operand import EXACT, Side

Combine = Literal["all", "least"]
Formula = TypeVar("Formula", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True, eq=False)
class Worked:
    """A formula with everything that is said about it above the `def`.

    `inputs` maps the function's argument to the quantity that fills it. An argument with a default
    is optional: where the quantity is unknown or absent, the default stands. `rises` and `falls`
    name the arguments through which a bound passes on, upright or turned over.
    """

    name: str
    unit: str
    inputs: dict[str, str]
    source: str
    function: Callable[..., Any]
    optional: frozenset[str]
    rises: frozenset[str]
    falls: frozenset[str]
    combine: Combine
    side: Side
    formula: str | None


def worked(
    name: str,
    unit: str,
    *,
    source: str,
    rises: tuple[str, ...] = (),
    falls: tuple[str, ...] = (),
    combine: Combine = "all",
    side: Side = EXACT,
    formula: str | None = None,
    **inputs: str,
) -> Callable[[Formula], Formula]:
    """Declare the function below as the formula of quantity `name`.

    `unit` is the unit's suffix as in a key ("V", "A_rms", "" for a plain number). `combine="least"`
    takes the least over those inputs that are there: an input that is absent drops out, one that is
    not told leaves the result at *no more than*. `side` marks a formula that gives only a bound.
    `formula` is needed only where the body is more than one `return`.
    """

    def declare(function: Formula) -> Formula:
        arguments = function.__code__.co_varnames[: function.__code__.co_argcount]
        if arguments != tuple(inputs):
            raise TypeError(f"{name}: the inputs {list(inputs)} are not the arguments")
        optional = frozenset(arguments[len(arguments) - len(function.__defaults__ or ()) :])
        spec = Worked(
            name=name,
            unit=unit,
            inputs=dict(inputs),
            source=source,
            function=function,
            optional=optional,
            rises=frozenset(rises),
            falls=frozenset(falls),
            combine=combine,
            side=side,
            formula=formula,
        )
        function.worked = spec  # type: ignore[attr-defined]
        function.__doc__ = f"{function.__doc__ or ''}\n\n{_told(spec)}"
        return function

    return declare


def _told(spec: Worked) -> str:
    """What is said above the formula, for `help()`."""
    said = ", ".join(f"{argument} = {quantity}" for argument, quantity in spec.inputs.items())
    return (
        f"Quantity {spec.name}, unit {spec.unit or 'none'}; from {said}.\nSource: {spec.source}\n"
    )
