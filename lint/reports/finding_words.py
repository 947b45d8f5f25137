"""The words of a finding: the two numbers that disagree, the working, and what is missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from ..documents.profile import Profile
from ..documents.text import so_many
from ..documents.units import unit_apart
from ..expressions.formatting import DIGITS, apart, shown
from ..expressions.names import with_article
from ..judgement.finding import Finding, NotChecked, WorkingLine
from ..judgement.rule import STOPS, Stage
from ..judgement.verdict import in_order, open_gates, short_of
from ..quantities.number import near
from .asks_by_kind import asks
from .section import Role, Row, row

DISTANCE_DIGITS = 3
BOUND_ONLY = "only the least or the most that it can be is known, and that leaves it open"
DEFAULT, OF_THE_SHOP = "default tolerance", "set in house.yaml"


def against_limit(finding: Finding) -> str:
    """The value and its limit in one line, with the distance; empty where no limit was broken."""
    value, unit = finding.value, finding.unit
    limits = [limit for limit in (finding.low, finding.high) if limit is not None]
    if not limits or isinstance(value, bool) or not isinstance(value, int | float):
        return ""
    digits = max([DIGITS, *(apart(value, limit) for limit in limits)])
    measured = shown(value, unit, digits)
    if finding.of and finding.of != finding.quantity:
        measured = f"{with_article(finding.of)} is {measured}"
    return f"{measured} against {_allowed(finding, digits)}, {_distance(finding, value)}"


def distance_words(finding: Finding) -> str:
    """How far past its limit a value is: `60 A too high`; empty where no limit was broken."""
    value = finding.value
    if (finding.low, finding.high) == (None, None) or isinstance(value, bool):
        return ""
    return _distance(finding, value) if isinstance(value, int | float) else ""


def ladder_words(finding: Finding) -> str:
    """From where on it is how grave: `advice above 98 A · danger above 202 A`; empty without steps.

    Steps that depend on a condition have no limit to tell.
    """
    steps = [step for step in finding.steps if (step.low, step.high) != (None, None)]
    if not steps:
        return ""
    words = [f"{finding.rule.severity} {_outside(finding.low, finding.high, finding.unit)}"]
    words += [f"{step.severity} {_outside(step.low, step.high, finding.unit)}" for step in steps]
    return " · ".join(words)


def _outside(low: float | None, high: float | None, unit: str) -> str:
    if low is None or high is None:
        return f"below {shown(low, unit)}" if high is None else f"above {shown(high, unit)}"
    return f"outside {shown(low, unit)} to {shown(high, unit)}"


def _allowed(finding: Finding, digits: int = DIGITS) -> str:
    """The limit in words: `at most 120 A`, `13 V to 15 V`, `more than 0.83 V`."""
    low, high, unit = finding.low, finding.high, finding.unit
    if low is not None and high is not None:
        return f"{shown(low, unit, digits)} to {shown(high, unit, digits)}"
    if high is not None:
        return f"{'less than' if finding.rule.strict else 'at most'} {shown(high, unit, digits)}"
    return f"{'more than' if finding.rule.strict else 'at least'} {shown(low, unit, digits)}"


def _distance(finding: Finding, value: float) -> str:
    high = finding.high
    above = high is not None and value >= high
    limit = high if above or finding.low is None else finding.low
    assert limit is not None
    far = abs(value - limit)
    unit = unit_apart(finding.unit)
    if near(value, limit):
        return "exactly on the limit"
    return f"{shown(far, unit, DISTANCE_DIGITS)} too {'high' if above else 'low'}"


def waiver_words(finding: Finding) -> str:
    """What the waiver accepts, until when and why; empty where none covers the finding."""
    waiver = finding.waived
    return "" if waiver is None else f"{waiver_extent(finding)}: {waiver.reason}"


def waiver_extent(finding: Finding) -> str:
    """Until when the waiver accepts, and up to what; empty where none covers the finding."""
    waiver = finding.waived
    if waiver is None:
        return ""
    size = "" if waiver.accepts is None else f" up to {shown(waiver.accepts, finding.unit)}"
    return f"until {waiver.until}{size}"


def working_words(line: WorkingLine, profile: Profile) -> str:
    """One calculated quantity: `pack.cells_continuous_A = 6 × 20 A = 120 A`."""
    value = shown(line.value, line.unit)
    if line.side != "exact":
        value = f"{line.side} {value}"
    about = ""
    if line.origin == "typical":
        about = " (typical of the chemistry)"
    elif line.origin == "house":
        about = f" ({OF_THE_SHOP if line.quantity in profile.house.allowances else DEFAULT})"
    middle = line.numbers or line.formula
    if not middle or middle == value:
        return f"{line.quantity} = {value}{about}"
    return f"{line.quantity} = {middle} = {value}{about}"


def missing_words(rule: NotChecked) -> str:
    """What a rule lacks: quantities to enter, or the reason why it cannot be calculated."""
    return " and ".join(rule.missing) if rule.missing else rule.reason or BOUND_ONLY


def amount(waiting: Sequence[NotChecked], stage: Stage) -> str:
    """How many rules lack a value, and how many of them the stage asked for requires."""
    rules = len({entry.rule.id for entry in waiting})
    gates = len({gate.rule.id for gate in open_gates(waiting, stage)})
    counted = so_many(rules, "rule")
    if not gates:
        return f"{counted}: values missing."
    part = "" if gates == rules else f"{gates} of these rules "
    purpose = "a ride" if stage == "ride" else "the stand"
    return f"{counted}: values missing, {part}required for {purpose}."


def details(waiting: Sequence[NotChecked], most: int | None = None) -> list[Row]:
    """What to do for each stage, then what most other rules lack."""
    stand = short_of(waiting, "stand")
    ride = [name for name in short_of(waiting, "ride") if name not in stand]
    unasked = [entry for entry in waiting if not entry.missing]
    rows = _work("for stand", _reasons(unasked, "stand"), stand)
    rows += _work("for ride", _reasons(unasked, "ride"), ride)
    others = [entry for entry in waiting if not entry.gate]
    wants = Counter(name for entry in others for name in entry.missing)
    grouped = any(one.role == "group" for one in rows)
    if wants:
        rows.append(row("missing", _wants(wants, most), role="apart" if grouped else ""))
    return rows + _points("reason", _reasons(unasked, None)[:most])


def _work(label: str, reasons: Sequence[str], names: Sequence[str]) -> list[Row]:
    """What a stage waits for; the label stands once, and the title of each kind of work on its own."""
    rows = _points(label, reasons)
    for title, instructions in asks(names):
        head = "" if rows else label
        rows += [row(head, title, role="group")] if title else []
        rows += _points("" if rows else label, instructions, always=bool(title))
    return rows


def _points(label: str, lines: Sequence[str], always: bool = False) -> list[Row]:
    """Lines under one label, as the points of a list where there are several."""
    role: Role = "point" if always or len(lines) > 1 else ""
    return [row("" if number else label, line, role=role) for number, line in enumerate(lines)]


def can_change(waiting: Sequence[NotChecked]) -> list[str]:
    """What the ride asks for and the stand's GO can still be undone by."""
    stand = (entry for entry in waiting if entry.gate == "ride" and entry.rule.stage == "stand")
    grave = [entry for entry in stand if entry.severity in STOPS]
    return in_order(name for entry in grave for name in entry.missing)


def _reasons(unasked: Iterable[NotChecked], gate: Stage | None) -> list[str]:
    """Why rules that lack no entry could not be checked: those that a stage requires, or no stage."""
    waiting = [entry for entry in unasked if entry.gate == gate]
    return sorted({f"{one.rule.id}{_mode(one)}: {missing_words(one)}" for one in waiting})


def _mode(entry: NotChecked) -> str:
    return f" {modes_in_words(entry.modes, False)}" if entry.modes else ""


def _wants(wants: Counter[str], most: int | None) -> str:
    """The missing quantities, those first that most rules lack."""
    ordered = sorted(wants.items(), key=lambda want: (-want[1], want[0]))
    words = [
        f"{name} ({count}\u00a0rule{'' if count == 1 else 's'})" for name, count in ordered[:most]
    ]
    more = len(ordered) - len(words)
    return ", ".join(words) + (f", and {more} more" if more > 0 else "")


def modes_in_words(modes: tuple[str, ...], everywhere: bool) -> str:
    """Where a finding holds: empty for the base settings alone.

    >>> modes_in_words(("trail", "street"), False)
    'in modes trail and street'
    """
    if everywhere:
        return "in all modes"
    if len(modes) < 2:
        return f"in mode {modes[0]}" if modes else ""
    return f"in modes {', '.join(modes[:-1])} and {modes[-1]}"
