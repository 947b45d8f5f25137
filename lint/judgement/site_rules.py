"""What a shop adds to the catalogue: its own rules, tried on their examples, and severities."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any, NamedTuple, cast

from ..documents.document import Document
from ..documents.error import DocumentError, DocumentErrors, ExpressionError, HouseError
from ..documents.house import House
from ..documents.location import Place
from ..documents.repository import Repository
from ..documents.schema import canonical
from ..documents.text import nearest, quoted
from ..documents.yaml_tree import as_written
from ..expressions.formatting import PLACEHOLDER
from ..expressions.names import rule_names
from ..quantities.registry import WORKED
from .catalogue import Catalogue, catalogue, catalogue_of, cycle
from .rule import SEVERITIES, Rule, Severity
from .rule_file import rule_of


class Shop(NamedTuple):
    """The catalogue as a shop uses it, and what is wrong with what the shop adds.

    `allowances` are the numbers that its house file sets, by name.
    """

    catalogue: Catalogue
    errors: tuple[DocumentError, ...]
    allowances: Mapping[str, float] = MappingProxyType({})


def shop_of(repository: Repository) -> Shop:
    """The catalogue with the own rules of the repository's house file.

    A rule that cannot be used is left out and reported; the others hold.
    """
    built_in = catalogue()
    try:
        house = repository.house()
    except DocumentErrors as broken:
        return Shop(built_in, broken.errors)
    rules, errors = _own_rules(house, built_in)
    everything = {**built_in.rules, **rules}
    errors += _unlike_yields(house, rules, everything)
    raised, more = _raised(house, everything)
    errors += [*more, *_unknown_required(house)]
    if not (rules or raised):
        return Shop(built_in, tuple(errors), _set(house))
    whole = catalogue_of(everything.values(), built_in.origin, raised, _added(house))
    return Shop(replace(whole, own_rules=len(rules)), tuple(errors), _set(house))


def _unlike_yields(
    house: House, rules: dict[str, Rule], everything: dict[str, Rule]
) -> list[HouseError]:
    """Own rules that yield to what is no rule, or in a ring; they are taken out of both."""
    errors: list[HouseError] = []
    for document in house.rules:
        rule = rules.get(document.value["id"])
        if rule is None or rule.file != document.file:
            continue
        for number, name in enumerate(rule.yields_to):
            ring = cycle({**everything, rule.id: rule}.values()) if name in rules else ()
            if name in everything and rule.id not in ring:
                continue
            place = document.place("yields_to", number)
            wanted = "a rule that does not yield to this one" if ring else "the id of a rule"
            meant = None if ring else nearest(name, everything)
            errors.append(_error(place, name, wanted, meant, document.line(place.line)))
            rules.pop(rule.id, None)
            everything.pop(rule.id, None)
    return errors


def _set(house: House) -> dict[str, float]:
    """The allowances that the house file sets."""
    return {name: given.number for name, given in house.allowances.items()}


def _added(house: House) -> tuple[str, ...]:
    """What the shop's catalogue is more than the built-in one, as texts."""
    raised = sorted(house.severities.items())
    return (
        *(document.text for document in house.rules),
        *(f"{rule}: {severity}" for rule, severity in raised),
    )


def _own_rules(house: House, built_in: Catalogue) -> tuple[dict[str, Rule], list[DocumentError]]:
    """The shop's rules that can be used, and what is wrong with the others."""
    rules: dict[str, Rule] = {}
    errors: list[DocumentError] = list(house.errors)
    for document in house.rules:
        try:
            rule = own_rule(document)
            _refuse_known(rule, document, rules, built_in)
            rules[rule.id] = rule
        except HouseError as broken:
            errors.append(broken)
    return rules, errors


def own_rule(document: Document) -> Rule:
    """A shop's rule compiled; raises HouseError at the place inside its expression or sentence."""
    try:
        rule = rule_of(document.value, "own", document.file, own=True)
    except ExpressionError as error:
        key = error.key or "flag_when"
        place = place_within(document, key, error.offset or 1)
        line = document.line(place.line)
        raise _error(place, error.found, error.wanted, error.nearest, line) from error
    _refuse_unknown_words(rule, document)
    _refuse_misfits(rule, document)
    return rule


def _refuse_misfits(rule: Rule, document: Document) -> None:
    """A shop's rule answers its own examples, as the built-in ones do, or it is not used."""
    from .rule_examples import misfits  # late: the rules of gonogo are held so at its build

    for misfit in misfits(rule):
        if misfit.unlike is not None:
            keys = ("examples", misfit.number, "given", misfit.unlike)
            place, meant = document.place(*keys), None
            found, wanted = as_written(document.node(*keys)), misfit.wanted
        elif misfit.unknown is not None:
            place = document.key_place("examples", misfit.number, "given", misfit.unknown)
            found, wanted = misfit.unknown, "a quantity"
            meant = nearest(misfit.unknown, rule_names(rule.subject))
        else:
            place = document.place("examples", misfit.number, misfit.key)
            found, meant = misfit.wanted, None
            wanted = f"{misfit.came_to}, which is what the rule makes of this example"
        found = found if misfit.unlike is not None else quoted(found)
        line = document.line(place.line)
        raise HouseError(place.file, place.line, place.column, found, wanted, meant, line)


def _refuse_unknown_words(rule: Rule, document: Document) -> None:
    """A sentence may show what the rule judges, its limits, and any quantity; nothing else."""
    ends: tuple[str, ...] = ("limit",)
    ends = {"flag_when": (), "between": ("low", "high")}.get(rule.bound, ends)
    names = rule_names(rule.subject)
    if any(step.low or step.high for step in rule.steps):
        ends = (*ends, "beyond")
    steps = [f"steps.{number}.because" for number, step in enumerate(rule.steps) if step.because]
    instead = ("instead",) if rule.instead else ()
    for key in ("says", "because", "remedy", *instead, *steps):
        for match in PLACEHOLDER.finditer(_text_at(document, key)):
            word = match.group(1)
            if word in names or word in ends or (word == "of" and rule.points_at):
                continue
            place = place_within(document, key, match.start() + 2)
            wanted = "a quantity, or " + ", ".join(("of", *ends))
            raise _error(place, word, wanted, nearest(word, names), document.line(place.line))


def _text_at(document: Document, key: str) -> str:
    value: Any = document.value
    for part in key.split("."):
        value = value[int(part) if part.isdigit() else part]
    return str(value)


def place_within(document: Document, key: str, offset: int) -> Place:
    """Where the letter at `offset`, counted from 1, of a text in a rule stands.

    A text may go on over several lines, which YAML joins by spaces; `between.1` is a key too.
    """
    keys = [int(part) if part.isdigit() else part for part in key.split(".")]
    place, node = document.place(*keys), document.node(*keys)
    is_block = getattr(node.event, "style", "") in (">", "|")
    number, column, left = place.line + is_block, place.column + node.is_quoted, offset - 1
    first = "" if is_block else document.line(number)[column - 1 :]
    last = node.event.end_mark.line + 1
    while True:
        line = document.line(number)
        if number > place.line:
            column = len(line) - len(line.lstrip()) + 1
        text = (first if number == place.line else line.lstrip()).rstrip()
        if left < len(text) or number >= last:
            return Place(place.file, number, column + left)
        left -= len(text) + 1
        number += 1


def _error(
    place: Place, found: str, wanted: str, nearest: str | None = None, line: str = ""
) -> HouseError:
    return HouseError(place.file, place.line, place.column, quoted(found), wanted, nearest, line)


def _refuse_known(
    rule: Rule, document: Document, rules: Mapping[str, Rule], built_in: Catalogue
) -> None:
    """An id stands for one rule: a waiver that names it must not mean two."""
    if rule.id in built_in.rules or rule.id in rules:
        place = document.place("id")
        other = "a rule that comes with gonogo" if rule.id in built_in.rules else "another own rule"
        wanted = f"an id of its own; this is {other}"
        raise _error(place, rule.id, wanted, None, document.line(place.line))


def _raised(
    house: House, rules: Mapping[str, Rule]
) -> tuple[dict[str, Severity], list[DocumentError]]:
    """The raised severities; one that lowers is refused, since a waiver is for that."""
    raised: dict[str, Severity] = {}
    errors: list[DocumentError] = []
    for name, word in house.severities.items():
        severity = cast(Severity, word)  # the schema knows no other word
        place = house.places[f"severities.{name}"]
        rule = rules.get(name)
        if rule is None:
            errors.append(_error(place, name, "the id of a rule", nearest(name, rules)))
        elif SEVERITIES.index(severity) > SEVERITIES.index(rule.severity):
            wanted = f"{rule.severity} or graver: a waiver with a reason and a date accepts less"
            errors.append(_error(place, severity, wanted))
        else:
            raised[name] = severity
    return raised, errors


def _unknown_required(house: House) -> list[DocumentError]:
    names = {*canonical(), *WORKED}
    return [
        _error(house.places[f"require.{number}"], name, "a quantity", nearest(name, sorted(names)))
        for number, name in enumerate(house.require)
        if name not in names
    ]
