"""What is tried: folders of documents, made by chance, each kind with its own way of being wrong."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from gonogo.documents.schema import allowances, properties, schema
from gonogo.quantities.registry import WORKED
from ruamel.yaml import YAML

from .chance import Schema, as_yaml, damaged, odd_tree, text

TOP = Path(__file__).parents[2]
SAMPLES = ("examples/workshop", "examples/revisions", "tests/hazards", "tests/schemas")
DAY = "2026-11-25"
Call = tuple[str, ...]


@dataclass(frozen=True)
class Case:
    """A folder of files and what is asked about it; `links` are names and where they lead.

    `commits` are folders that it had before, oldest first; with one of them it is a repository.
    """

    kind: str
    files: Mapping[str, bytes]
    calls: Sequence[Call]
    links: Mapping[str, str] = field(default_factory=dict)
    commits: Sequence[bytes] = ()


@cache
def samples() -> tuple[bytes, ...]:
    """Documents of the project, good and bad."""
    paths = sorted(path for folder in SAMPLES for path in (TOP / folder).rglob("*.yaml"))
    return tuple(path.read_bytes() for path in paths if path.stat().st_size < 20_000)


@cache
def whole_profiles() -> tuple[Any, ...]:
    """Profiles that name no part, as values."""
    read = [YAML(typ="safe").load(data) for data in samples()]
    return tuple(
        one
        for one in read
        if isinstance(one, dict) and one.get("gonogo") == "profile/1" and "part:" not in repr(one)
        and "'part'" not in repr(one)
    )  # fmt: skip


@cache
def _schema(name: str) -> Schema:
    return Schema(schema(name))


def random_profile(chance: Random) -> Any:
    """A profile that fits the schema: all by chance, or a whole one with much of it replaced."""
    if chance.random() < 0.4:
        whole = _schema("profile").value(chance, chance.choice((0.2, 0.6, 0.95)))
        whole.pop("waivers", None)
        return whole
    whole = json.loads(json.dumps(chance.choice(whole_profiles())))
    other = _schema("profile").value(chance, 0.9)
    for section in list(whole):
        if section == "gonogo":
            continue
        if chance.random() < 0.1:
            del whole[section]
        elif section in other and chance.random() < 0.3:
            whole[section] = other[section]
        elif isinstance(whole[section], dict) and isinstance(other.get(section), dict):
            for key in list(whole[section]):
                if chance.random() < 0.15:
                    del whole[section][key]
                if key in other[section] and chance.random() < 0.2:
                    whole[section][key] = other[section][key]
    whole.setdefault("vehicle", {}).setdefault("name", "Chance")
    for optional in ("modes", "waivers"):
        if optional in other and chance.random() < 0.3:
            whole[optional] = other[optional]
    for waiver in whole.get("waivers", ()):
        if chance.random() < 0.9:
            waiver.pop("mode", None)
            waiver["rule"] = chance.choice(_rule_names())
    return whole


def _file_name(chance: Random) -> str:
    folder = chance.choice(("", "", "vehicles/", "a b/", ".hidden/", "deep/er/"))
    stem = chance.choice(("v", "larch", "x-1", "ü", "-dash", "a#b"))
    return folder + stem + chance.choice((".yaml",) * 6 + (".yml", ".YAML", ".txt"))


def _calls(chance: Random, path: str) -> list[Call]:
    """The whole folder in two formats, and something else of one profile."""
    entry = chance.choice([name for name in properties() if name.startswith("settings.")])
    others: tuple[Call, ...] = (
        ("check", ".", "--format", chance.choice(("text", "markdown", "html", "sarif", "junit"))),
        ("check", ".", "--quiet"),
        ("check", path, "--strict", "--stage", "stand"),
        ("window", path),
        ("window", path, entry, "--format", "json"),
        ("working", path, chance.choice(list(WORKED))),
        ("ride", path, "--format", chance.choice(("text", "json", "html"))),
        ("rehearse", path, "--format", chance.choice(("text", "json", "markdown", "html"))),
        ("fill", path),
        ("mend", path),
        ("suspect", path, "--format", chance.choice(("text", "json", "markdown"))),
        ("diff", path, path, "--format", "json"),
        ("history", path),
    )
    own = chance.choice(others)
    dated = own[0] not in ("working",)
    day = ("--as-of", DAY)
    return [
        ("check", ".", *day, "--full"),
        ("check", ".", "--format", "json", *day),
        (*own, *day) if dated else own,
    ]


def of_bytes(chance: Random) -> Case:
    """Documents of ours, damaged."""
    data = damaged(chance, chance.choice(samples()))
    path = _file_name(chance)
    files = {path: data}
    if chance.random() < 0.3:
        files["sound.yaml"] = as_yaml(chance.choice(whole_profiles()), chance).encode()
    links = {"linked.yaml": chance.choice((path, "/etc/hostname", "nowhere", "."))}
    return Case("bytes", files, _calls(chance, path), links if chance.random() < 0.15 else {})


def of_trees(chance: Random) -> Case:
    """Any YAML tree, or a profile with odd branches and keys."""
    tree = odd_tree(chance)
    if chance.random() < 0.7:
        whole = random_profile(chance)
        node: Any = whole
        while isinstance(node, dict) and node and chance.random() < 0.7:
            key = chance.choice(list(node))
            if not isinstance(node[key], dict) or chance.random() < 0.2:
                node[key] = tree
                break
            node = node[key]
        if isinstance(node, dict) and chance.random() < 0.5:
            node[text(chance)] = tree
        tree = whole
    path = _file_name(chance)
    return Case(
        "trees", {path: as_yaml(tree, chance).encode("utf-8", "replace")}, _calls(chance, path)
    )


def of_profiles(chance: Random) -> Case:
    """Profiles that fit the schema, whatever they say."""
    path = f"vehicles/{chance.choice(('v', 'w'))}.yaml"
    data = as_yaml(random_profile(chance), chance).encode()
    return Case("profiles", {path: data}, _calls(chance, path))


def of_house(chance: Random) -> Case:
    """House files, by the schema and damaged, over a profile."""
    house = _schema("house").value(chance, chance.choice((0.1, 0.5)))
    house.pop("require", None) if chance.random() < 0.7 else None
    if chance.random() < 0.8:
        house.pop("rules", None)
    else:
        house["rules"] = chance.choice(("house-rules", "nowhere", "../out", ".", "v.yaml"))
    if chance.random() < 0.6:
        house["severities"] = {chance.choice(_rule_names()): "danger"}
    data = as_yaml(house, chance).encode()
    if chance.random() < 0.25:
        data = damaged(chance, data)
    files = {"house.yaml": data, "v.yaml": as_yaml(random_profile(chance), chance).encode()}
    return Case("house", files, _calls(chance, "v.yaml"))


@cache
def _rule_files() -> tuple[Path, ...]:
    return tuple(sorted((TOP / "rules").rglob("*/*.yaml")))


@cache
def _rule_names() -> tuple[str, ...]:
    return tuple(path.stem for path in _rule_files())


@cache
def _quantities() -> Mapping[str, Sequence[str]]:
    """Names of numbers by their unit, so that most sums of chance are sums of like."""
    named: dict[str, list[str]] = {}
    for entry in properties().values():
        if entry.kind in ("number", "integer"):
            named.setdefault(entry.unit, []).append(entry.quantity)
    for name, specs in WORKED.items():
        named.setdefault(specs[0].unit, []).append(name)
    for allowance in allowances().values():
        named.setdefault(allowance.unit, []).append(allowance.name)
    return named


def expression(chance: Random, unit: str, depth: int = 0) -> str:
    """An expression of that unit, most of the time; now and then one that is no good."""
    names = _quantities()[unit]
    if depth > 3 or chance.random() < 0.5:
        return chance.choice(
            (chance.choice(names), chance.choice(names), str(chance.randrange(300)))
        )
    inner = [expression(chance, unit, depth + 1) for _ in range(3)]
    return chance.choice((
        f"{inner[0]} + {inner[1]}",
        f"({inner[0]} - {inner[1]}) * {chance.choice(('0.9', '1.25', '0', '1e300', '-3'))}",
        f"({inner[0]}) / {chance.choice(('2', '0', '0.001', 'pack.series'))}",
        f"min({inner[0]}, {inner[1]})",
        f"max({inner[0]}, {inner[1]}, {inner[2]})",
        f"abs({inner[0]})",
        f"({inner[0]} if {inner[1]} > {inner[2]} else {inner[1]})",
        f"({inner[0]} if given({chance.choice(names)}) else {inner[1]})",
        f"round({inner[0]})",
        f"{inner[0]} * {chance.choice(_quantities()[chance.choice(list(_quantities()))])}"
        if chance.random() < 0.1
        else inner[0],
        text(chance) if chance.random() < 0.05 else inner[1],
    ))  # fmt: skip


def random_rule(chance: Random, name: str) -> Any:
    """A rule file: one of ours under another name, or a bound or condition made by chance."""
    if chance.random() < 0.3:
        rule = YAML(typ="safe").load(chance.choice(_rule_files()).read_text("utf-8"))
        return {**json.loads(json.dumps(rule, default=str)), "id": name}
    unit = chance.choice(list(_quantities()))
    of = chance.choice(_quantities()[unit])
    rule = {
        "id": name,
        "severity": chance.choice(("danger", "fault", "advice")),
        "says": chance.choice(
            ("{of} is not kept.", "It is {of}.") * 9 + ("{}{x}{of.a} {0}", text(chance))
        ),
        "because": "It may not.",
        "remedy": chance.choice(("Set it otherwise.", "Leave it.")),
        "source": "Common practice.",
    }
    if chance.random() < 0.7:
        end = chance.choice(("at_most", "at_least", "above", "below"))
        rule |= {"of": of, end: expression(chance, unit)}
    else:
        rule["at"] = of
        rule["flag_when"] = (
            f"{expression(chance, unit)} {chance.choice('<>')} {expression(chance, unit)}"
        )
    if chance.random() < 0.3:
        rule["applies_when"] = f"{expression(chance, unit)} > {expression(chance, unit)}"
    if chance.random() < 0.2:
        rule["steps"] = [{"severity": "danger", "beyond": expression(chance, unit)}]
    if chance.random() < 0.2:
        rule["gate"] = chance.choice(("stand", "ride"))
    rule["examples"] = [{"given": {}, "outcome": "not_checked"}]
    if chance.random() < 0.3:
        odd = chance.choice((1, 0, 1e300, -1, "21 A", "1e999", True, 1e-300))
        outcome = chance.choice(("clear", "flagged", "not_checked", "out_of_scope"))
        rule["examples"].append({"given": {of: odd}, "outcome": outcome})
    return rule


def of_rules(chance: Random) -> Case:
    """A shop's own rules with expressions made by chance, over a profile."""
    files = {"house.yaml": b"gonogo: house/1\nrules: own\n"}
    for number in range(chance.randrange(1, 4)):
        name = chance.choice((f"own-rule-{number}", *_rule_names()[:1], f"own-rule-{number}"))
        data = as_yaml(random_rule(chance, name), chance).encode("utf-8", "replace")
        files[f"own/{name}.yaml"] = damaged(chance, data) if chance.random() < 0.15 else data
    files["v.yaml"] = as_yaml(random_profile(chance), chance).encode()
    calls = [*_calls(chance, "v.yaml"), ("rules",), ("rules", "own-rule-0", "--examples")]
    return Case("rules", files, calls)


MAKERS: dict[str, Callable[[Random], Case]] = {
    "bytes": of_bytes,
    "trees": of_trees,
    "profiles": of_profiles,
    "house": of_house,
    "rules": of_rules,
}
