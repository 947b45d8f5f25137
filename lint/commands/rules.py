"""`gonogo rules`: the catalogue, the shop's own rules with it, or one rule explained."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.error import UsageError
from ..documents.files import HOUSE_FILE
from ..documents.repository import open_repository
from ..documents.text import in_lines
from ..judgement.site_rules import shop_of
from ..reports.record import json_text
from ..reports.rules import catalogue_sections, catalogue_sum, explained, record
from .completion import rule_ids
from .formats import as_text, known_format, sections_as_text
from .options import Output, PlainFormat
from .output import GO, deliver, page_for
from .slips import hint

HERE = Path()


def run(
    name: str | None = None,
    form: str = "text",
    output: Path | None = None,
    out: TextIO | None = None,
    folder: Path = HERE,
    examples: bool = False,
) -> int:
    """Print all rules that hold in a folder, or explain one."""
    known_format(form)
    repository, _ = open_repository(folder / HOUSE_FILE)
    shop = shop_of(repository)
    known = shop.catalogue
    if name is not None and name not in known.rules:
        said = hint(name, known.rules, "`gonogo rules` lists all.")
        lost = (
            " A rule of the house file cannot be read: `gonogo check` says why."
            if shop.errors
            else ""
        )
        raise UsageError(f"No rule is called {name}. {said}{lost}")
    asked = known.rules.values() if name is None else [known.rules[name]]
    chosen = [replace(rule, severity=known.severity(rule)) for rule in asked]
    page = page_for(output, out)
    if form == "json":
        text = json_text(record(known.digest, chosen))
    elif name is None:
        listed = sections_as_text(catalogue_sections(chosen), page)
        text = f"{listed}\n{in_lines(catalogue_sum(chosen), page.width, 1)}\n"
    else:
        text = as_text(explained(chosen[0], shop.allowances, examples), page)
    deliver(text, output, out)
    return GO


def command(
    name: Annotated[
        str | None,
        typer.Argument(
            metavar="[ID]",
            show_default=False,
            help="Rule to explain, such as fuse-missing.",
            autocompletion=rule_ids,
        ),
    ] = None,
    examples: Annotated[
        bool, typer.Option("--examples", help="Show the examples that test the rule too.")
    ] = False,
    form: PlainFormat = "text",
    output: Output = None,
) -> int:
    """List the rules, or explain one.

    With an ID: what the rule checks, why, what to do and its source. Rules of a house file are
    included.
    """
    return run(name, form, output, examples=examples)
