"""What is meant by a word that says there is none: `none`, 0, a value that turns it off, or an unknown one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from .notation import choices_of, notation_of
from .number_slips import Correction, is_not_told
from .schema import resolved
from .spelling import plain_word
from .units import unit_of_key
from .yaml_tree import YamlNode

SAYS_TRUE = frozenset(
    ("yes", "on", "y", "t", "true", "1", "ja", "wahr", "oui", "vrai", "si", "fitted", "enabled")
)
SAYS_FALSE = frozenset(
    ("no", "off", "n", "f", "false", "0", "nein", "falsch", "non", "faux", "none", "disabled")
)
NO_LIMIT = frozenset(("unlimited", "no_limit", "unbegrenzt", "illimité", "infinite", "inf"))
SAYS_NONE = (SAYS_FALSE - {"0"}) | {
    *("nil", "nothing", "without", "absent", "not_fitted", "not_there", "keine", "kein", "aus"),
    *("solid", "airless", "foam"),
}
NOTHING_OF_IT = re.compile("(?:no|not|without|keine?)_\\w+")
NONE_IF_ABSENT = "; `none` where there is none, and no key where that is not known"


def of_none(node: YamlNode, form: Mapping[str, Any], inner: Mapping[str, Any]) -> Correction | None:
    """What is meant by a value where `none` may stand, as far as that may be meant.

    `inner` is the form beside `none`. Of a section `0` says it as little as `-`: it may be meant
    for a number in it. Where there is a yes and no, or a value that turns it off, that is meant.
    """
    if isinstance(node.value, dict | list):
        return None
    section = "properties" in inner
    text = str(getattr(node.event, "value", node.value))
    word = plain_word(text)
    if inner.get("type") == "boolean" and word in SAYS_TRUE | SAYS_FALSE:
        return None
    if "x-off" in form and word in SAYS_NONE:
        return Correction("", str(form["x-off"]))
    if word in SAYS_NONE or NOTHING_OF_IT.fullmatch(word):
        return Correction("", "none")
    if not text or is_not_told(word) or word in NO_LIMIT or word in ("0", "~"):
        return Correction(NONE_IF_ABSENT)
    fit = [name for name, one in inner.get("properties", {}).items() if text in choices_of(one)]
    if fit:
        return Correction("", f"{{{fit[0]}: {text}}}")
    if section and "part" in inner["properties"] and text.endswith((".yaml", ".yml")):
        return Correction("", f"{{part: {text}}}")
    written = notation_of(inner, text)
    return Correction(f"; where there is one {written}") if written else None


def says_none(value: Any) -> bool:
    """Whether a value says that there is none of it."""
    return value is False or (isinstance(value, str) and plain_word(value) in SAYS_NONE)


def of_nothing(key: str, free: Iterable[str], known: Mapping[str, Any]) -> Correction | None:
    """What is meant by none of a current whose unit is left out of its key: 0, in either of its units."""
    fit = [name for name in free if name.removesuffix(f"_{unit_of_key(name)}") == key]
    is_zero = [name for name in fit if resolved(known[name]).get("minimum") == 0]
    return Correction("", f"{fit[0]}: 0") if fit and is_zero == fit else None
