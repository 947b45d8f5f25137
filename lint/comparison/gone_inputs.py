"""A finding that went away because what its rule reads is no longer stated: that resolves nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ..documents.profile import Profile
from ..judgement.evaluation import Ruling
from ..judgement.finding import Finding
from ..judgement.rule import Rule
from ..quantities.registry import affected

Rules = Mapping[str, Rule]
RECORDS = ("entered", "twice")  # subjects whose findings are about an entry that can be left out


def gone_inputs(
    finding: Finding, was: Profile, now: Profile, heard: Mapping[str, Ruling], rules: Rules
) -> tuple[str, ...]:
    """The entries of a finding's rule that the new side leaves out, or the rule if it is not `heard`.

    `heard` has what each rule says of the new side. Of a setting that no value fitted the same is asked
    of each rule that left none, which is named if it cannot be checked any more; `rules` knows them.
    """
    if bool(was.motors) != bool(now.motors):  # every motor's entries have other names now
        return ()
    rule = finding.rule
    left_out = tuple(_left_out(was, now))
    if rule.subject == "profile":
        return _gone_of(rule, heard, left_out)
    if rule.subject in RECORDS:
        about = {finding.quantity, finding.entered_as}
        return tuple(name for name in left_out if name in about)
    lost = [_lost_of(rules.get(name), name, heard, left_out) for name in finding.conflict]
    return tuple(dict.fromkeys(name for names in lost for name in names))


def _gone_of(rule: Rule, heard: Mapping[str, Ruling], left_out: Sequence[str]) -> tuple[str, ...]:
    if rule.id not in heard:
        return (f"rules.{rule.id}",)
    return tuple(
        name for name in left_out if not affected(frozenset((name,))).isdisjoint(rule.reads)
    )


def _lost_of(
    rule: Rule | None, name: str, heard: Mapping[str, Ruling], left_out: Sequence[str]
) -> tuple[str, ...]:
    """What one of conflicting rules lacks now; nothing if it is still judged."""
    if rule is None:
        return ()
    said = heard.get(name)
    if said is not None and said.outcome == "not_checked":
        return tuple(sorted(said.missing)) or (name,)
    is_judged = said is not None and said.outcome in ("clear", "flagged")
    return () if is_judged else _gone_of(rule, heard, left_out)


def _left_out(was: Profile, now: Profile) -> Iterator[str]:
    """What one side gives and the other does not, not even as `none`."""
    held = _names(now)
    for name in _names(was):
        if name not in held and not any(name.startswith(f"{none}.") for none in now.absent):
            yield name


def _names(profile: Profile) -> dict[str, None]:
    """What a profile gives, or any of its motors."""
    each = (profile, *profile.motors.values())
    return dict.fromkeys(name for one in each for name in one.givens)
