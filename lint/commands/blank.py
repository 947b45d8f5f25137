"""A profile to fill in with an editor: `gonogo new --blank`, which asks nothing."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TextIO

from ..documents.atomic_write import write
from ..documents.blank_profile import blank_text
from ..documents.error import DocumentErrors
from ..documents.repository import open_repository
from ..documents.schema import properties
from ..documents.template import TemplateValue
from ..documents.text import clean, so_many
from ..judgement.first_ride import first_ride
from ..judgement.site_rules import shop_of
from .output import GO, deliver
from .proposal import drafted

BLANK_HEADING = """\
All that a first ride needs. A line counts once it is no comment any more: for each value that \
you know take "# " away, there and on the line of its section (such as "# pack:"), and put your \
own value in: those here are examples. What the vehicle does not have is none, where the line \
says so; what you do not know stays a comment. `gonogo check` says what is missing, first for the \
stand, then for a ride; `gonogo fill` proposes careful settings once the parts are entered.

A pack above 60 V DC can kill and any lithium pack can burn. Before anything turns: wheel clear \
of the ground, chain or belt off or the motor free, and a way to cut the power within reach."""


def write_blank(path: Path, values: Mapping[str, TemplateValue], out: TextIO | None) -> int:
    """Write a profile with every entry of a first ride as a comment, and the values given.

    Raises DocumentErrors where those do not fit together or the shop has errors.
    """
    repository, inside = open_repository(path)
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    demanded = [name for name in repository.house().require if name in properties()]
    names = dict.fromkeys([*first_ride(shop.catalogue), *demanded])
    text = blank_text(names, values, BLANK_HEADING)
    drafted(repository, inside, text.encode())
    write(path, b"", text.encode())
    lines = so_many(sum(name not in values for name in names), "line")
    deliver(f" Written: {clean(str(path))}, {lines} to uncomment as you know them.\n", None, out)
    return GO
