"""Chance: values of a schema, YAML texts of values, bytes that were damaged, names and texts."""

from __future__ import annotations

import json
from collections.abc import Mapping
from random import Random
from typing import Any

# What readers of text stumble over: ends of lines, unseen marks, other scripts, halves of characters.
ODD = (
    "\x00", "\x07", "\x1b[2J", "\t", "\r", "\x85", "\u2028", "\u202e", "\u2066", "\u200f",
    "\u00ad", "\ufeff", "é", "Ω", "漢", "🛵", "\U000e0041", "\ufffe",
)  # fmt: skip
SIGNS = (
    "{", "}", "[", "]", ":", ": ", "- ", "? ", ",", "#", " #", "&a ", "*a", "!!int ", "!x ", "|\n", ">-\n",
    "'", '"', "%YAML 1.2\n", "---\n", "...\n", "<<: ", "~", "null", "yes", "\\x1b", "`", "@", "\n", "  ",
)  # fmt: skip
NUMBERS = (
    "0", "-0", "1e-320", "1e308", "1e309", "-1e999", ".5", "5.", "0x10", "0o7", "1_000", ".inf", ".nan",
    "9" * 400, "0." + "0" * 60 + "1", "1e", "+3", "٣", "12:30:45", "2026-11-25", "1,5", "٫5", "00012",
)  # fmt: skip
Tree = Any


def text(chance: Random, most: int = 12) -> str:
    """A short text, now and then of signs that mean something to somebody."""
    pool = "abcdefghijklmnopqrstuvwxyz_-.0123456789 "
    one = "".join(chance.choice(pool) for _ in range(chance.randrange(1, most)))
    while chance.random() < 0.3:
        at = chance.randrange(len(one) + 1)
        one = one[:at] + chance.choice(ODD + SIGNS) + one[at:]
    return one


def damaged(chance: Random, data: bytes) -> bytes:
    """Bytes with a few mutations: flipped, cut, doubled, moved, or with something odd put in."""
    for _ in range(1 + int(chance.expovariate(0.5))):
        at = chance.randrange(len(data) + 1)
        to = min(len(data), at + 1 + int(chance.expovariate(0.05)))
        way = chance.randrange(9)
        if way == 0 and data:
            at = min(at, len(data) - 1)
            data = data[:at] + bytes([data[at] ^ 1 << chance.randrange(8)]) + data[at + 1 :]
        elif way == 1:
            data = data[:at] + data[to:]
        elif way == 2:
            data = data[:to] + data[at:to] * chance.randrange(1, 4) + data[to:]
        elif way == 3:
            piece = data[at:to]
            rest = data[:at] + data[to:]
            at = chance.randrange(len(rest) + 1)
            data = rest[:at] + piece + rest[at:]
        elif way == 4:
            data = data[:at] + bytes(chance.randrange(256) for _ in range(3)) + data[at:]
        elif way == 5:
            data = data[:at] + chance.choice(ODD).encode("utf-8", "surrogatepass") + data[at:]
        elif way == 6:
            data = data[:at] + chance.choice(SIGNS).encode() + data[at:]
        elif way == 7:
            data = another_number(chance, data)
        else:
            lines = data.splitlines(keepends=True)
            chance.shuffle(lines) if chance.random() < 0.1 else lines.reverse() if not lines else (
                lines.insert(chance.randrange(len(lines)), lines.pop(chance.randrange(len(lines))))
            )
            data = b"".join(lines)
    return data


def another_number(chance: Random, data: bytes) -> bytes:
    """One of the numbers in it written as something else."""
    starts = [
        i for i in range(1, len(data)) if data[i - 1 : i].isspace() and data[i : i + 1].isdigit()
    ]
    if not starts:
        return data
    at = to = chance.choice(starts)
    while to < len(data) and data[to : to + 1] in b"0123456789.eE+-":
        to += 1
    return data[:at] + chance.choice(NUMBERS).encode() + data[to:]


def odd_tree(chance: Random, depth: int = 0) -> Tree:
    """Any YAML value: mappings with odd keys, lists, texts, numbers written in every way."""
    if depth > 5 or chance.random() < 0.35:
        return chance.choice(
            (text(chance), chance.randrange(-5, 400), chance.random() * 100, True, None, "none", "")
        )
    if chance.random() < 0.3:
        return [odd_tree(chance, depth + 1) for _ in range(chance.randrange(4))]
    return {
        text(chance) if chance.random() < 0.8 else str(chance.randrange(20)): odd_tree(
            chance, depth + 1
        )
        for _ in range(chance.randrange(5))
    }


class Schema:
    """Random values that fit a schema of ours, with entries left out."""

    def __init__(self, whole: Mapping[str, Any]) -> None:
        self.whole = whole

    def value(self, chance: Random, told: float = 0.7) -> Tree:
        """A whole document; each entry that may be left out stands with the probability `told`."""
        return self._of(self.whole, chance, told)

    def _of(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        while "$ref" in node:
            node = {**self._named(node["$ref"]), **{k: v for k, v in node.items() if k != "$ref"}}
        if "const" in node:
            return node["const"]
        if "anyOf" in node:
            # What is there is more telling than `none`, and comes last.
            one = node["anyOf"][-1] if chance.random() < 0.75 else chance.choice(node["anyOf"])
            return self._of({**one}, chance, told)
        if "enum" in node:
            return chance.choice(node["enum"])
        kinds = node.get("type", "object")
        kind = kinds if isinstance(kinds, str) else chance.choice(kinds)
        return getattr(self, f"_{kind}")(node, chance, told)

    def _named(self, reference: str) -> Mapping[str, Any]:
        node: Any = self.whole
        for step in reference.removeprefix("#/").split("/"):
            node = node[int(step) if isinstance(node, list) else step]
        return dict(node)

    def _object(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        needed = node.get("required", ())
        built = {
            key: self._of(below, chance, told)
            for key, below in node.get("properties", {}).items()
            if key != "part" and (key in needed or chance.random() < told)
        }
        more = node.get("additionalProperties")
        if isinstance(more, dict):
            for _ in range(chance.randrange(3)):
                built[f"m{chance.randrange(9)}"] = self._of(more, chance, told)
        for rule in node.get("allOf", ()):
            rule = self._named(rule["$ref"]) if "$ref" in rule else rule
            pair = rule.get("x-pair") or rule.get("x-either", ())
            if len(pair) == 2 and all(key in built for key in pair):
                del built[chance.choice(pair)]
        return built

    def _array(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        low = node.get("minItems", 0)
        high = min(node.get("maxItems", 4), low + 3)
        items = [self._of(node["items"], chance, told) for _ in range(chance.randint(low, high))]
        return (
            list(dict.fromkeys(items)) if node.get("uniqueItems") and not _nested(items) else items
        )

    def _number(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        low = node.get("minimum", node.get("exclusiveMinimum", 0))
        high = node.get("maximum", low + 1000)
        if high < 4 * low:
            return round(chance.uniform(low, high), 4)
        if chance.random() < 0.1:
            return chance.choice((node.get("minimum", high), high))
        usual = min(high, max(low, 1) * 10 ** chance.uniform(0, 2.5))
        drawn = usual if chance.random() < 0.7 else chance.uniform(low, high)
        return min(max(round(drawn, chance.randrange(4)), low), high) or high

    def _integer(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        low = node.get("minimum", 0)
        return chance.randint(low, min(node.get("maximum", low + 30), low + 40))

    def _string(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        if node.get("format") == "date":
            return (
                f"202{chance.randrange(5, 8)}-{chance.randint(1, 12):02}-{chance.randint(1, 28):02}"
            )
        return chance.choice(node.get("examples") or ["Larch", "quiet", "burdock-9"])

    def _boolean(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        return chance.random() < 0.5

    def _null(self, node: Mapping[str, Any], chance: Random, told: float) -> Tree:
        return None


def _nested(items: list[Tree]) -> bool:
    return any(isinstance(item, dict | list) for item in items)


def as_yaml(value: Tree, chance: Random, indent: int = 0) -> str:
    """A value as YAML: block style, with flow style, comments and quotes wherever chance has them."""
    if indent > 0 and (not isinstance(value, dict) or not value or chance.random() < 0.4):
        return f" {flow(value, chance)}\n"
    if not isinstance(value, dict):
        return f"{flow(value, chance)}\n"
    lines = ["\n"] if indent else []
    for key, below in value.items():
        if chance.random() < 0.05:
            lines.append(f"{' ' * indent}# {json.dumps(text(chance))}\n")
        lines.append(f"{' ' * indent}{_key(key, chance)}:{as_yaml(below, chance, indent + 2)}")
    return "".join(lines)


def flow(value: Tree, chance: Random) -> str:
    """A value in flow style."""
    if isinstance(value, dict):
        return f"{{{', '.join(f'{_key(k, chance)}: {flow(v, chance)}' for k, v in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(flow(item, chance) for item in value)}]"
    if isinstance(value, float) and value == int(value) and chance.random() < 0.5:
        return str(int(value))
    if isinstance(value, str) and value.isidentifier() and chance.random() < 0.7:
        return value
    return json.dumps(value, ensure_ascii=chance.random() < 0.5)


def _key(key: str, chance: Random) -> str:
    return key if key.isidentifier() and chance.random() < 0.97 else json.dumps(key)
