"""On what terms an entry may differ from a part beside it, or from what other entries come to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

PartKind = Literal["rating", "fact", "measured", "build", "added"]
Ends = tuple[float, float]
NO_ENDS: Ends = (0.0, 0.0)


class Twice(NamedTuple):
    """How far an entry may lie from the same worked out of other entries, in percent of that.

    `fault` and `advice` are the ends beyond which it is one, `typical` those of a fault where the
    other entries are only typical of a chemistry; None where that says nothing. Where `rule` names
    a rule that holds the two together, no ends are needed. `why` has the grounds.
    """

    rule: str
    fault: Ends
    advice: Ends
    typical: Ends | None
    why: str


class BesidePart(NamedTuple):
    """What an entry beside a part may say: of which kind it is, and how far it may lie from the part's.

    A *fact* makes the part what it is, what is *measured* differs from one to the next, and what
    belongs to the *build* is anybody's; a *rating* has its own rule, and *added* is what the part
    says that it lacks. `ends` are percent of the part's value.
    """

    kind: PartKind
    ends: Ends
    why: str


def twice_of(told: Mapping[str, Any] | None) -> Twice | None:
    """What `x-twice` of a node says."""
    if told is None:
        return None
    fault = _ends(told, "fault") or NO_ENDS
    advice = _ends(told, "advice") or fault
    return Twice(told.get("rule", ""), fault, advice, _ends(told, "typical"), told["why"])


def beside_part_of(told: Mapping[str, Any] | None) -> BesidePart | None:
    """What `x-beside-part` of a node says."""
    if told is None:
        return None
    return BesidePart(told["kind"], _ends(told, "percent") or NO_ENDS, told["why"])


def _ends(told: Mapping[str, Any], key: str) -> Ends | None:
    if key not in told:
        return None
    low, high = told[key]
    return float(low), float(high)
