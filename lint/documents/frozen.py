"""A frozen dataclass that is quickly made: what the library writes anew for each class stands here once.

To make a frozen dataclass takes the library half a millisecond, nearly all of it for methods that are
compiled one by one. A check that must feel instant makes dozens. Here only the initializer is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, FrozenInstanceError, dataclass
from operator import attrgetter
from typing import Any, NoReturn, TypeVar, dataclass_transform

Made = TypeVar("Made")


@dataclass_transform(frozen_default=True)
def frozen(cls: type[Made]) -> type[Made]:
    """The class as `dataclass(frozen=True, slots=True)` makes it, equal and hashed by its fields.

    Of a field's options it takes the default, its factory and `compare`; it has no `__post_init__`.

    >>> @frozen
    ... class Point:
    ...     x: float
    ...     y: float = 0.0
    >>> Point(1.0), Point(1.0) == Point(1.0, 0.0), hash(Point(2.0)) == hash(Point(2.0))
    (Point(x=1.0, y=0.0), True, True)
    >>> Point(1.0).x = 2.0
    Traceback (most recent call last):
    dataclasses.FrozenInstanceError: cannot assign to field 'x'
    """
    made = frozen_by_identity(cls)
    fields = made.__dataclass_fields__.values()  # type: ignore[attr-defined]
    names = [field.name for field in fields if field.compare]
    values: Callable[[Any], Any] = attrgetter(*names) if names else lambda record: ()

    def equal(self: Any, other: object) -> bool:
        if other.__class__ is not self.__class__:
            return NotImplemented  # type: ignore[no-any-return]
        return bool(values(self) == values(other))

    def hashed(self: Any) -> int:
        return hash(values(self))

    made.__eq__ = equal  # type: ignore[method-assign]
    if "__hash__" not in cls.__dict__:  # one of its own, where a field holds what has none
        made.__hash__ = hashed  # type: ignore[method-assign]
    return made


@dataclass_transform(frozen_default=True, eq_default=False)
def frozen_by_identity(cls: type[Made]) -> type[Made]:
    """The same of which each instance is equal to itself alone, as with `eq=False`."""
    made: Any = dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    made.__init__ = _initializer(made)
    made.__repr__ = _told
    made.__setattr__, made.__delattr__ = _no_change, _no_removal
    made.__getstate__, made.__setstate__ = _state, _put_back
    return made  # type: ignore[no-any-return]


def _initializer(made: Any) -> Any:
    """The function that sets each field: only it is compiled for the class."""
    fields: Mapping[str, Field[Any]] = made.__dataclass_fields__
    known: dict[str, Any] = {"_set": object.__setattr__}
    arguments, lines = [], []
    for name, field in fields.items():
        default = f"_default_{name}"
        value = name
        if field.default is not MISSING:
            known[default] = field.default
            arguments.append(f"{name}={default}")
        elif field.default_factory is not MISSING:
            known[default], known["_missing"] = field.default_factory, MISSING
            arguments.append(f"{name}=_missing")
            value = f"{default}() if {name} is _missing else {name}"
        else:
            arguments.append(name)
        lines.append(f"\n _set(self, {name!r}, {value})")
    # The text holds names of fields in our own code, and nothing else: as the library does it.
    text = f"def __init__({', '.join(('self', *arguments))}):{''.join(lines) or ' pass'}"
    exec(text, known)  # noqa: S102
    known["__init__"].__qualname__ = f"{made.__qualname__}.__init__"
    return known["__init__"]


def _names(record: Any) -> tuple[str, ...]:
    return tuple(record.__dataclass_fields__)


def _told(self: Any) -> str:
    values = ", ".join(f"{name}={getattr(self, name)!r}" for name in _names(self))
    return f"{type(self).__qualname__}({values})"


def _no_change(self: Any, name: str, value: object) -> NoReturn:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_removal(self: Any, name: str) -> NoReturn:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, name) for name in _names(self)]


def _put_back(self: Any, state: list[Any]) -> None:
    for name, value in zip(_names(self), state, strict=True):
        object.__setattr__(self, name, value)
