"""Each place where a document does not fit its schema, in words: read only when there is one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, takewhile
from typing import Any, ClassVar

from . import key_suggestions, none_slips, notation, number_slips, suggestions
from .error import DocumentError, PairGivenTwice, UnknownKey, WrongValue
from .repetition import first_repeated
from .schema import resolved, schema, validator
from .scope_slips import of_another_scope
from .text import alternatives, quoted
from .text_slips import DASH_SPACED
from .trade_units import is_trade_key
from .units import UNITS, unit_of_key
from .yaml_tree import MOST_ERRORS, YamlNode, as_written, line_and_column

TYPES = {
    "boolean": "true or false",
    "null": "null",
}


def slip_of(text: str, limit: str) -> tuple[str, str] | None:
    """What is wrong with a text that its schema refuses, and what it needs if that is not plain.

    >>> slip_of("Al\\x1bder", "pattern")
    ('the character U+001B, which is invisible', 'text without invisible characters')
    """
    if limit == "maxLength":
        return f"a text of {len(text)} characters", ""
    unseen = next((letter for letter in text if not letter.isprintable()), None)
    if unseen == "\n":
        return "a text of several lines", "one line"
    if unseen is not None:
        return (
            f"the character U+{ord(unseen):04X}, which is invisible",
            "text without invisible characters",
        )
    return None


def wanted_words(node: Mapping[str, Any], key: str) -> str:
    """What may stand under a key.

    >>> wanted_words({"type": "number", "minimum": 1, "maximum": 250}, "stop_V")
    'a number of volts from 1 to 250'
    >>> wanted_words({"type": "string", "enum": ["forward", "reversed"]}, "direction")
    'forward or reversed'
    """
    node = resolved(node)
    if "anyOf" in node and "x-form" in node:
        return str(node["x-form"])
    if "anyOf" in node:
        return alternatives([words for way in node["anyOf"] for words in _ways(way, key)])
    if "const" in node:
        return str(node["const"])
    if "enum" in node:
        return alternatives(["null" if choice is None else str(choice) for choice in node["enum"]])
    types = node.get("type", ())
    types = [types] if isinstance(types, str) else types
    return alternatives([_of_type(kind, node, key) for kind in types]) or "something else"


def _ways(node: Mapping[str, Any], key: str) -> Sequence[str]:
    """What may stand under a key, a choice each: `none, true or false` has one `or`."""
    node = resolved(node)
    if "enum" in node:
        return [str(choice) for choice in node["enum"]]
    return ["true", "false"] if node.get("type") == "boolean" else [wanted_words(node, key)]


def _of_type(kind: str, node: Mapping[str, Any], key: str) -> str:
    if kind in ("number", "integer"):
        return _number(kind, node, key)
    if kind == "string":
        return _text(node)
    if kind == "array":
        return f"a list of {_length(node, 'Items')}".removesuffix(" of ") + _each(node, key)
    if kind == "object":
        keys = [quoted(name) for name in node.get("properties", ()) if name != "part"]
        named = "a section for each, under a name of its own"
        if not keys:
            return named if isinstance(node.get("additionalProperties"), Mapping) else "a section"
        return f"a section with keys such as {alternatives(keys[:2])}"
    return TYPES[kind]


def _number(kind: str, node: Mapping[str, Any], key: str) -> str:
    what = "a number" if kind == "number" else "a whole number"
    unit = UNITS[node.get("x-unit", unit_of_key(key))].spoken
    low, above = node.get("minimum"), node.get("exclusiveMinimum")
    high = node.get("maximum")
    span = ""
    if low is not None and high is not None:
        span = f" from {_plain(low)} to {_plain(high)}"
    elif above is not None and high is not None:
        span = f" above {_plain(above)} and up to {_plain(high)}"
    return f"{what} of {unit}{span}" if unit else f"{what}{span}"


def _text(node: Mapping[str, Any]) -> str:
    if node.get("format") == "date":
        return "a date such as 2026-05-18"
    examples = node.get("examples", ())
    shown = f" such as {quoted(str(examples[0]))}" if examples else ""
    if "x-form" in node:
        return f"{node['x-form']}{shown}"
    length = _length(node, "Length")
    return f"a text of {length} characters{shown}" if length else f"a text{shown}"


def _length(node: Mapping[str, Any], of: str) -> str:
    low, high = node.get(f"min{of}"), node.get(f"max{of}")
    if low and high:
        return f"{low} to {high}" if low != high else f"{low}"
    return f"at most {high}" if high else f"at least {low}" if low else ""


def _each(node: Mapping[str, Any], key: str) -> str:
    items = resolved(node.get("items", {}))
    if items.get("type") == "object":
        keys = [quoted(name) for name in items.get("required", ())]
        return f" sections, each with {' and '.join(keys)}" if keys else " sections"
    return f" items, each {wanted_words(items, key)}" if items else ""


def _plain(number: float) -> str:
    """A number without an exponent and without a fraction that says nothing."""
    return str(int(number)) if number == int(number) else str(number)


Keys = tuple[str | int, ...]
FIGURE = re.compile(r"[0-9.,]+[)\]]?")
MARKED_KEY = re.compile(r"([^\w\s\"'#]+) *([A-Za-z_]\w*)")  # a bullet of a text before a key
NO_MARK = "`key: value` without marks around it"
MOST_NAMED = 14
MOST_LISTED = 20
MOST_GUESSES = 20  # keys of a document for which a name that was meant is looked for


def schema_errors(root: YamlNode, kind: str, file: str) -> list[DocumentError]:
    """Every place where the document does not fit the schema of its kind."""
    wrapped = _wrapped(root, kind, file)
    if wrapped is not None:
        return [wrapped]
    broken = list(islice(validator(kind).iter_errors(root.value), MOST_ERRORS))
    translator = _Translator(root, file)
    errors = list(islice(translator.translated(broken), MOST_ERRORS))
    parted = translator.parted  # a number that a comma parts has one answer, and that is the whole
    return [one for one in errors if one.place not in parted or parted[one.place] is one]


def _wrapped(root: YamlNode, kind: str, file: str) -> DocumentError | None:
    """What is one mistake and looks like several: a document below a key, or under another's header."""
    if kind != "profile" or "vehicle" in root.value:
        return None
    sections = schema(kind)["properties"]
    for key, inner in root.value.items():
        if key not in sections and isinstance(inner, dict) and "vehicle" in inner:
            event = root.keys[key]
            wanted = "its entries without this line above them, and without the spaces before them"
            found = f"the whole document below {quoted(key)}"
            return UnknownKey(file, *line_and_column(event), found, wanted)
    header = root.below.get("gonogo")
    if header is None or not isinstance(root.value.get("part"), dict):
        return None
    wanted = "`gonogo: part/1` where the file describes a part, or a `vehicle`"
    return WrongValue(
        file, *line_and_column(header.event), f"{as_written(header)} above a `part`", wanted
    )


class _Translator:
    """Turns what the validator says into what a person at the bench needs to know."""

    def __init__(self, root: YamlNode, file: str) -> None:
        self.root = root
        self.file = file
        self.guesses = MOST_GUESSES
        self.parted: dict[Any, DocumentError] = {}

    def translated(self, broken: Sequence[Any]) -> Iterator[DocumentError]:
        for error in broken:
            path = tuple(error.absolute_path)
            if error.validator == "anyOf" and error.context:
                yield from self.of_alternatives(error, path)
            elif "propertyNames" in error.relative_schema_path:
                yield self.of_name(error, path)
            else:
                special = self.SPECIAL.get(error.validator)
                if special is not None:
                    yield from special(self, error, path)
                else:
                    yield self.of_value(error.schema, path)

    def node(self, path: Keys) -> YamlNode:
        node = self.root
        for key in path:
            node = node.below[key]
        return node

    def series(self) -> Any:
        """The cells in series, where the document gives them."""
        pack = self.root.value.get("pack") if isinstance(self.root.value, dict) else None
        return pack.get("series") if isinstance(pack, dict) else None

    def key_event(self, path: Keys) -> Any:
        """What stands for a section: its key, or the section itself where it has none."""
        above = self.node(path[:-1]) if path else self.root
        return (
            above.keys.get(path[-1]) if path and path[-1] in above.keys else self.node(path).event
        )

    def error(
        self,
        sort: type[DocumentError],
        event: Any,
        found: str,
        wanted: str,
        nearest: str | None = None,
    ) -> DocumentError:
        return sort(self.file, *line_and_column(event), found, wanted, nearest)

    def of_value(self, form: Mapping[str, Any], path: Keys) -> DocumentError:
        """A value of the wrong kind, out of range, or none of the choices."""
        node = self.node(path)
        last = node.event.end_mark.line
        if (
            isinstance(node.value, str)
            and not node.event.style
            and last > node.event.start_mark.line
        ):
            if list_form(form, path) and suggestions.is_tight_dash(node.value):
                return self.error(WrongValue, node.event, "`-` before an item", DASH_SPACED)
            wanted = "`key: value`, or `#` before a remark"
            found = "a line without `:`, which goes on with the value above it"
            return WrongValue(self.file, last + 1, 1, found, wanted)
        key = next((part for part in reversed(path) if isinstance(part, str)), "")
        way = form["anyOf"][-1 if "x-none" in form else 0] if "anyOf" in form else form
        inner = resolved(way)
        meant = none_slips.of_none(node, form, inner) if "x-none" in form else None
        stray = self.beside(path, inner) if node.value is None else None
        if stray:
            return self.error(
                WrongValue, self.key_event(path), f"nothing below {quoted(key)}", stray
            )
        if "properties" in inner and as_written(node) == "nothing":
            found = f"nothing below {quoted(key)}"
            none = ", `none` where there is none" if "x-none" in form else ""
            wanted = f"its entries, further right than it{none}, or `#` before it"
            if getattr(self.node(path[:-1]).event, "flow_style", False):
                wanted = f"{notation.notation_of(inner)} behind it{none}, or the key left out"
            return self.error(WrongValue, self.key_event(path), found, wanted)
        note, nearest = meant or suggestions.of_value(node, inner, key, list_form(form, path))
        note = note or of_another_scope(".".join(map(str, path)), node.value, self.series())
        return self.error(
            WrongValue, node.event, as_written(node), wanted_words(form, key) + note, nearest
        )

    def beside(self, path: Keys, inner: Mapping[str, Any]) -> str | None:
        """What is wanted of an empty section whose entries stand beside it instead of below."""
        if not path or "properties" not in inner:
            return None
        above = list(self.node(path[:-1]).value)
        after = above[above.index(path[-1]) + 1 :][:1] if path[-1] in above else []
        known = key_suggestions.keys_of(path[:-1])
        if not after or known is None or after[0] in known or after[0] not in inner["properties"]:
            return None
        line, _ = line_and_column(self.node(path[:-1]).keys[after[0]])
        return f"{quoted(after[0])} in line {line} to stand further right than it"

    def of_text(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        """A text that is too long, or that holds what may not stand in it."""
        node = self.node(path)
        slip, better = slip_of(error.instance, error.validator) or (as_written(node), "")
        yield self.error(WrongValue, node.event, slip, better or wanted_words(error.schema, ""))

    def of_alternatives(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        """Of several forms, the one that was meant: a section or a list is described in detail."""
        if "x-any-of" in error.schema:
            names = alternatives([f"`{name}`" for name in error.schema["x-any-of"]])
            yield self.error(WrongValue, self.key_event(path), "none of them", names)
            return
        if isinstance(error.instance, dict | list):
            kind = "object" if isinstance(error.instance, dict) else "array"
            for number, way in enumerate(error.schema["anyOf"]):
                if kind in resolved(way).get("type", ()):
                    inner = [
                        inner_error
                        for inner_error in error.context
                        if inner_error.relative_schema_path[0] == number
                    ]
                    yield from self.translated(inner)
                    return
        yield self.of_value(error.schema, path)

    def of_name(self, error: Any, path: Keys) -> DocumentError:
        """A key of an open mapping that is no name."""
        name = error.instance
        described = str(self.names_at(error).get("description", "a name"))
        wanted = described[0].lower() + described[1:].rstrip(".")
        event = self.node(path).keys[name]
        found = f"the name {quoted(name)}" if name.strip() else "an empty name"
        return self.error(WrongValue, event, found, wanted)

    def names_at(self, error: Any) -> Mapping[str, Any]:
        while error.parent is not None and "description" not in error.schema:
            error = error.parent
        return dict(error.schema)

    def of_extra(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        """Keys that the section does not have."""
        known = error.schema.get("properties", {})
        section = self.node(path)
        before, after = "", list(section.value)
        while after:
            key = after.pop(0)
            figures = [key, *takewhile(lambda name: _is_figure(section, name), after)]
            if before and key not in known and _is_figure(section, key, before):
                after = after[len(figures) - 1 :]
                yield self.figures(section, figures, before, known)
                continue
            if key not in known:
                yield (
                    self.run_together(section, key, known)
                    or self.marked(section, key, known)
                    or self.unknown(section, key, known, path)
                )
            before = key

    def unknown(
        self, section: YamlNode, key: str, known: Mapping[str, Any], path: Keys
    ) -> DocumentError:
        name = next((part for part in reversed(path) if isinstance(part, str)), "")
        where = f"`{name}`" if name else "the document"
        if self.guesses <= 0:
            text = f"the key {quoted(key)} in {where}"
            return self.error(UnknownKey, section.keys[key], text, f"a key of {where}")
        self.guesses -= 1
        joined = next((one for one in known if one.startswith(f"{key}.")), None)
        if joined is not None:  # a mapping by setting: the keys of a section in one word
            text, wanted = f"the section {quoted(key)} in {where}", f"keys such as {quoted(joined)}"
            return self.error(UnknownKey, section.keys[key], text, wanted)
        free = key_suggestions.free(known, section.value)
        value = section.value[key]
        none = none_slips.of_nothing(key, free, known) if none_slips.says_none(value) else None
        note, nearest = none or key_suggestions.of_key(key, free, value)
        if not note and not nearest:
            note, nearest = self.with_the_choice(section.value[key], key, free, known)
        if not note and not nearest:
            note, nearest = key_suggestions.in_a_section(key, name, known)
        if not note and not nearest:
            # What another word means here is said before where else the key would be right.
            note = key_suggestions.of_key(key, known, section.value[key]).note
        if key == "part" and not path:
            note = "; it in the section that it fills, such as `motor: {part: parts/hub.yaml}`"
        home = None if note or nearest else key_suggestions.elsewhere(key)
        if home:
            wanted = f"it in {home}{_or_here(key, free, path, home)}"
        else:
            if not note and not nearest:
                # One that is there already is still what was meant: another would lead astray.
                note, nearest = key_suggestions.of_key(key, known, section.value[key])
            wanted = f"a key of {where}"
            ours = [name for name in known if not is_trade_key(name)]
            if not note and (len(ours) <= MOST_NAMED or not nearest):
                few = ours if len(ours) <= MOST_NAMED else free
                wanted += ": " + _listed([name for name in few if not is_trade_key(name)])
            wanted += note
        text = f"the key {quoted(key)} in {where}"
        return self.error(UnknownKey, section.keys[key], text, wanted, nearest)

    def marked(self, section: YamlNode, key: str, known: Mapping[str, Any]) -> DocumentError | None:
        """A key behind a sign that a text puts before its lines."""
        bare = MARKED_KEY.fullmatch(key)
        if bare is None or bare[2] not in known:
            return None
        found = f"{quoted(bare[1])} before {quoted(bare[2])}"
        return self.error(UnknownKey, section.keys[key], found, NO_MARK)

    def run_together(
        self, section: YamlNode, key: str, known: Mapping[str, Any]
    ) -> DocumentError | None:
        """A key and its value as one word, or the rest of a text that a comma parts."""
        in_quotes = getattr(section.keys[key], "style", "") in ("'", '"')
        wanted, nearest = suggestions.of_run_together(
            key, known, section.value[key], in_quotes, section.value
        )
        if not wanted:
            return None
        return self.error(UnknownKey, section.keys[key], quoted(key), wanted, nearest)

    def with_the_choice(
        self, value: Any, key: str, free: Sequence[str], known: Mapping[str, Any]
    ) -> tuple[str, str | None]:
        """The one key that ends in a word and takes a value: of `sensor: hall`, `position_sensor`.

        Else the one that begins with it: `driving_teeth` of `driving: 14`.
        """
        ends = [name for name in free if name.endswith(f"_{key}")]
        fit = [name for name in ends if value in resolved(known[name]).get("enum", ())]
        if len(fit) == 1 and isinstance(value, str):
            return "", fit[0]
        begins = [name for name in free if name.startswith(f"{key}_") and not is_trade_key(name)]
        if len(begins) != 1 or isinstance(value, dict | list):
            return "", None
        return f"; {quoted(begins[0])}, if that is what is meant", None

    def figures(
        self, section: YamlNode, figures: Sequence[str], before: str, known: Mapping[str, Any]
    ) -> DocumentError:
        """`{full_V: 48,5}` is to YAML an entry `full_V: 48` and an empty entry `5`."""
        first = section.below[before].event
        text = str(getattr(first, "value", ""))
        for key in figures:
            event = section.keys[key]
            tight = event.start_mark.index == first.end_mark.index + 1
            text += f",{key}" if tight else f", {key}"
            first = event
        form = known.get(before, {"type": "number"})
        one = next(iter(resolved(form).get("anyOf", ())), form)
        told = number_slips.of_number(text, False, before, list_form(resolved(form), ()))
        note, nearest = number_slips.in_range(told, resolved(one))
        words = wanted_words(form, before) + note
        error = self.error(WrongValue, section.below[before].event, quoted(text), words, nearest)
        self.parted[error.place] = error
        return error

    def of_missing(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        """Keys without which the section says nothing, all of them in one error."""
        missing = [key for key in error.validator_value if key not in error.instance]
        entries = error.schema.get("properties", {})
        if path and isinstance(path[-1], int):
            above = self.node(path[:-1])
            joined = notation.single_entries(above.value, entries)
            if joined:
                if path[-1] == 0:
                    written = ", ".join(f"{key}: {value}" for key, value in joined.items())
                    found = "entries of one section in brackets without its braces"
                    yield self.error(WrongValue, above.event, found, f"[{{{written}}}]")
                return
        # A key that is there under a name a little off has its error where it stands.
        others = [key for key in error.instance if key not in entries]
        is_closed = error.schema.get("additionalProperties") is False
        for key in others[:MOST_NAMED] if self.guesses > 0 and is_closed else ():
            meant = key_suggestions.of_key(key, missing, error.instance[key]).nearest
            wanted = suggestions.of_run_together(key, dict.fromkeys(missing), error.instance[key])
            meant = meant or str(wanted.nearest).partition(":")[0]
            missing = [one for one in missing if one != meant]
        if not missing:
            return
        keys = alternatives([f"`{key}`" for key in missing]).replace(" or ", " and ")
        words = [wanted_words(entries[key], key) for key in missing if key in entries]
        what = f": {words[0]}" if len(missing) == 1 and words else ""
        yield self.error(WrongValue, self.key_event(path), f"no {keys}", f"{keys}{what}")

    def of_dependent(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        for key, needed in error.validator_value.items():
            missing = [name for name in needed if name not in error.instance]
            if key in error.instance and missing:
                keys = alternatives([f"`{name}`" for name in missing])
                event = self.node(path).keys[key]
                yield self.error(WrongValue, event, f"`{key}` without {keys}", f"{keys} beside it")

    def of_pair(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        """Both keys of a pair; the one further down is pointed at."""
        names = error.schema.get("x-pair") or error.schema["x-either"]
        section = self.node(path)
        later = max(names, key=list(section.value).index)
        both = " and ".join(f"`{name}`" for name in names)
        why = "they set the same quantity" if "x-pair" in error.schema else "not both"
        yield self.error(PairGivenTwice, section.keys[later], both, f"one of them: {why}")

    def of_one(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        """None, or more than one, of the keys of which there must be exactly one."""
        names = error.schema["x-one-of"]
        section = self.node(path)
        if not isinstance(section.value, dict):  # what it should be has an error of its own
            return
        present = [name for name in section.value if name in names]
        event = section.keys[present[1]] if len(present) > 1 else self.key_event(path)
        listed = " and ".join(f"`{name}`" for name in present) or "none of them"
        wanted = "exactly one of " + ", ".join(f"`{name}`" for name in names)
        yield self.error(WrongValue, event, listed, wanted)

    def of_count(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        count = len(error.instance)
        what = "entry" if count == 1 else "entries"
        least = str(error.validator).startswith("min")
        wanted = f"{error.validator_value} at {'least' if least else 'most'}"
        yield self.error(WrongValue, self.key_event(path), f"{count} {what}", wanted)

    def of_repeat(self, error: Any, path: Keys) -> Iterator[DocumentError]:
        """The first item of a list that is there already."""
        items = self.node(path).below
        number = first_repeated(error.instance)
        assert number is not None  # or the validator would not say so
        repeated = f"{as_written(items[number])} a second time"
        yield self.error(WrongValue, items[number].event, repeated, "each item once")

    SPECIAL: ClassVar = {
        "maxLength": of_text,
        "pattern": of_text,
        "additionalProperties": of_extra,
        "required": of_missing,
        "dependentRequired": of_dependent,
        "not": of_pair,
        "oneOf": of_one,
        "minItems": of_count,
        "maxItems": of_count,
        "minProperties": of_count,
        "maxProperties": of_count,
        "uniqueItems": of_repeat,
    }


def list_form(form: Mapping[str, Any], path: Keys) -> str:
    """What stands at a path, as far as it is about lists: an item of one, or what may be one."""
    if path and isinstance(path[-1], int):
        return "item"
    ways = [resolved(way).get("type", "") for way in form.get("anyOf", (form,))]
    return "list" if "array" in ways else ""


def _is_figure(section: YamlNode, key: str, before: str = "") -> bool:
    """Whether a key is no key but a number behind a comma, or the rest of one and its unit."""
    if section.value[key] is not None or not key[:1].isdigit():
        return False
    return bool(FIGURE.fullmatch(key)) or (bool(before) and _is_tight(section, before, key))


def _is_tight(section: YamlNode, before: str, key: str) -> bool:
    """Whether no blank is behind the comma between a value and what follows it."""
    end = section.below[before].event.end_mark.index
    return bool(section.keys[key].start_mark.index == end + 1)


def _listed(names: Sequence[str]) -> str:
    """The keys that could stand here, the first of them where there are many."""
    if len(names) <= MOST_LISTED:
        return alternatives(names)
    return f"{', '.join(names[:MOST_LISTED])} or {len(names) - MOST_LISTED} more"


def _or_here(key: str, free: Sequence[str], path: Keys, home: str) -> str:
    """The keys of this very section that a key at home elsewhere may have meant, as a phrase.

    The same word can be another entry here: what a writer calls the stop of the pack is its cutoff.
    A key that is at home further down in the section only stands too high.

    >>> _or_here("stop_V", ["cutoff_V"], ("settings", "low_voltage"), "`settings.regen`")
    ', or here `cutoff_V`'
    >>> _or_here("stop_V", ["over_voltage_trip_V"], ("settings",), "`settings.regen`")
    ''
    """
    unit = unit_of_key(key)
    like = [quoted(name) for name in free if unit and unit_of_key(name) == unit]
    too_high = f"`{'.'.join(map(str, path))}." in home
    return f", or here {alternatives(like)}" if 0 < len(like) <= MOST_NAMED and not too_high else ""
