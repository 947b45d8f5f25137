"""The types of expressions, and how the names in them are looked up."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from ..quantities.operand import Operand
from ..quantities.worked import Sort
from .unit import NONE, Unit

Lookup = Callable[[str], Operand]


class Type(NamedTuple):
    """What an expression yields: a number with its unit (None: a bare number), a text, a truth.

    `choices` holds the texts that a text quantity may have, where the schema lists them.
    """

    sort: Sort
    unit: Unit | None = None
    choices: tuple[str, ...] = ()


BOOLEAN = Type("boolean")
BARE = Type("number")
TEXT = Type("text")
PLAIN = Unit(NONE)
Vocabulary = Mapping[str, Type]
