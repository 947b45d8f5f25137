"""How a finding passed from one side to the other, in words."""

from __future__ import annotations

from ..comparison.matter import Matter, Way

WAY_TITLES: dict[Way, str] = {
    "introduced": "Findings brought in",
    "worsened": "Findings made worse",
    "resolved": "Findings resolved",
    "standing": "Findings that stand as before",
}


def was(matter: Matter) -> str:
    """What stood there before a finding was brought in or made worse."""
    if matter.old is None:
        return {
            "clear": "clear",
            "not_judged": "not judged, for want of a value",
            "out_of_scope": "no question for this vehicle",
            None: "not there: the vehicle is new",
        }.get(matter.elsewhere, "clear")
    if matter.new is not None and matter.old.severity != matter.new.severity:
        return f"{matter.old.severity}: {matter.old.message}"
    if matter.old.waived and matter.new is not None and not matter.new.waived:
        return f"waived until {matter.old.waived.until}"
    return matter.old.message


def notes(matter: Matter) -> list[str]:
    """What has to be said beside a short finding, lest it be misread."""
    said = []
    if matter.elsewhere == "not_judged":
        said.append("this is not put right: the rule lacks a value now and cannot be judged.")
    if matter.elsewhere == "out_of_scope":
        said.append("only because the rule does not concern the vehicle any more.")
    if matter.eased:
        said.append("less than before.")
    if matter.new is not None and matter.new.waived:
        said.append(f"waived until {matter.new.waived.until}: {matter.new.waived.reason}")
    return said
