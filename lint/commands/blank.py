"""A profile to fill in with an editor: `gonogo new --blank`, which asks nothing."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TextIO

from ..documents.atomic_write import write
from ..documents.blank_profile import blank_text, is_of_one_motor, node_of
from ..documents.error import DocumentErrors, UsageError
from ..documents.motors import MOTORS
from ..documents.repository import open_repository
from ..documents.schema import properties
from ..documents.template import TemplateValue
from ..documents.text import clean, so_many
from ..judgement.first_ride import first_ride
from ..judgement.site_rules import shop_of
from .output import GO, deliver
from .proposal import drafted

_OF_EACH = ("motor.", "controller.")  # what stands under each of several motors
BLANK_HEADING = """\
All that a first ride needs. A line counts once it is no comment any more: for each value that \
you know take "# " away, there and on the line of its section (such as "# pack:"), and put your \
own value in: those here are examples. What the vehicle does not have is none, where the line \
says so; what you do not know stays a comment. `gonogo check` says what is missing, first for the \
stand, then for a ride; `gonogo fill` proposes careful settings once the parts are entered.

A pack above 60 V DC can kill and any lithium pack can burn. Before anything turns: wheel clear \
of the ground, chain or belt off or the motor free, and a way to cut the power within reach."""


def motor_names(told: str) -> tuple[str, ...]:
    """The names of several motors, as told in one option; raises UsageError."""
    form = node_of(MOTORS)
    names = tuple(name.strip() for name in told.split(","))
    if not 1 < len(names) <= form["maxProperties"] or len(set(names)) < len(names):
        raise UsageError(
            f"--motors {told}: expected 2 to {form['maxProperties']} different names, such as left,right."
        )
    rule = form["propertyNames"]
    for name in names:
        if not re.search(rule["pattern"], name) or len(name) > rule["maxLength"]:
            raise UsageError(f"--motors {told}: {name!r} is none. {rule['description']}")
    return names


def write_blank(
    path: Path,
    values: Mapping[str, TemplateValue],
    out: TextIO | None,
    motors: Sequence[str] = (),
) -> int:
    """Write a profile with every entry of a first ride as a comment, and the values given.

    Raises DocumentErrors where those do not fit together or the shop has errors, UsageError where
    a value is a reading of one motor and there are several.
    """
    of_one = next((name for name in values if motors and is_of_one_motor(name)), None)
    if of_one is not None:
        raise UsageError(
            f"--give {of_one}: a reading of one motor; enter it in the file, under its motor."
        )
    repository, inside = open_repository(path)
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    demanded = [name for name in repository.house().require if name in properties()]
    axles = ["vehicle.motors_on"] if motors else []
    names = dict.fromkeys([*first_ride(shop.catalogue), *demanded, *axles])
    text = blank_text(names, values, BLANK_HEADING, motors)
    drafted(repository, inside, text.encode())
    write(path, b"", text.encode())
    waiting = [name for name in names if name not in values]
    lines = so_many(
        sum(len(motors) if motors and _is_of_each(name) else 1 for name in waiting), "line"
    )
    deliver(f" Written: {clean(str(path))}, {lines} to uncomment as you know them.\n", None, out)
    return GO


def _is_of_each(name: str) -> bool:
    return name.startswith(_OF_EACH) or is_of_one_motor(name)
