"""Whether blades turn on the vehicle beside its wheels, which go on cutting when nobody sits on it."""

from __future__ import annotations

from .one_load import NOTHING_ELSE, Loads
from .worked import worked

CUTTING = ("blade", "mow", "cutter", "flail")  # in the names that people give to such loads


@worked(
    "wiring.loads_cut",
    "",
    title="blades among the other loads",
    loads="wiring.loads",
    returns="boolean",
    words="whether a load of loads is named for blades, a mower, a cutter or a flail",
    source="The names of the loads, as entered.",
)
def loads_cut(loads: Loads = NOTHING_ELSE) -> bool:
    """Whether a load is named for something that cuts; one under another name is not known.

    >>> loads_cut({"Mower deck": {"current_A": 35.0}}), loads_cut({"lights": {"power_W": 60.0}})
    (True, False)
    """
    return any(word in name.lower() for name in loads for word in CUTTING)
