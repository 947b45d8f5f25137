"""What expressions are made of: their types, and the shapes of the nodes of their trees."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from ..documents.frozen import frozen
from ..documents.units import UNITS, Unit
from ..quantities.operand import Lookup, Operand
from ..quantities.worked import Sort


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
PLAIN = UNITS[""]
Vocabulary = Mapping[str, Type]


@frozen
class Node:
    """A part of an expression, with the type of what it yields."""

    type: Type

    @property
    def below(self) -> tuple[Node, ...]:
        """The nodes below this one, from left to right."""
        return ()

    @property
    def names(self) -> frozenset[str]:
        """Every quantity that is read here or below."""
        return frozenset().union(*(part.names for part in self.below))

    def evaluate(self, look_up: Lookup) -> Operand:
        """The value, with each quantity as `look_up` has it."""
        raise NotImplementedError


@frozen
class TwoParts(Node):
    """Two numbers combined."""

    left: Node
    right: Node

    @property
    def below(self) -> tuple[Node, ...]:
        """Both sides."""
        return self.left, self.right


@frozen
class Single(Node):
    """Something made of one part."""

    part: Node

    @property
    def below(self) -> tuple[Node, ...]:
        """The one part."""
        return (self.part,)


@frozen
class Several(Node):
    """Something made of any number of parts."""

    parts: tuple[Node, ...]

    @property
    def below(self) -> tuple[Node, ...]:
        """All parts."""
        return self.parts
