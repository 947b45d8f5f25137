"""The sheet of values to type in: all entries of a profile, and what it comes to with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from ..documents.profile import Given, Profile
from ..quantities.number import is_number, near
from .catalogue import Catalogue
from .entries import MEND_BEFORE_A_RIDE, FieldEntry, entry_of, settings_given
from .evaluation import unheard
from .field import entered_value
from .finding import Finding, Judgement, Verdict
from .judge import judge
from .proposal import Setting, tuned
from .read_back import held_of, read_backs, shown_of
from .rule import SEVERITIES, STOPS, Stage
from .verdict import reached
from .window import Window, window_of

_Windows = Mapping[tuple[str, str, str], Window]


@dataclass(frozen=True, slots=True)
class EntrySheet:
    """What to type in, and what the profile comes to with it.

    `judgement` is that of the values at the steps of their fields, `introduced` what it finds that is
    not found with the exact ones.
    """

    profile: Profile
    fields: tuple[FieldEntry, ...]
    judgement: Judgement
    introduced: tuple[Finding, ...]

    @property
    def obstacles(self) -> tuple[FieldEntry, ...]:
        """The settings that cannot be typed in as they are."""
        return tuple(one for one in self.fields if one.obstacle)

    def verdict(self, stage: Stage) -> Verdict:
        """What it comes to with the values typed in: NO-GO where one cannot be, and counts by then."""
        if any(reached(one.stage, stage) for one in self.obstacles):
            return "no-go"
        return self.judgement.stages[stage]


def entry_sheet(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    mode: str | None = None,
    forms: Mapping[str, str] | None = None,
) -> EntrySheet:
    """The sheet of a profile: base settings and those of each mode, or of one `mode` alone.

    `forms` says for a setting, by its canonical name, in which form its field asks. The whole
    profile is judged again with the values of all fields.
    """
    motors = profile.motors or {"": profile}
    windows = _windows_by_motor(profile, catalogue, judged_on) if profile.motors else None
    entries = [
        replace(one, motor=name)
        for name, own in motors.items()
        for one in _entries(name, own, catalogue, judged_on, forms or {}, windows)
    ]
    typed = {
        name: tuned(own, filter(None, (_setting(one, own) for one in entries if one.motor == name)))
        for name, own in motors.items()
    }
    rounded = replace(profile, motors=typed) if profile.motors else typed[""]
    before = judge(profile, catalogue, judged_on, stage="stand")
    after = judge(rounded, catalogue, judged_on, stage="stand")
    kept = tuple(
        _to_type(_accepted(one, after), catalogue)
        for one in entries
        if mode is None or one.mode == mode
    )
    return EntrySheet(profile, kept, after, tuple(_new(before, after)))


def _windows_by_motor(profile: Profile, catalogue: Catalogue, judged_on: str) -> _Windows:
    """The windows of several motors, each for every motor that its entry holds for."""
    from .motor_books import hear_motors  # late: most vehicles have one motor
    from .motor_entries import Heard
    from .motor_window import motor_windows

    heard = Heard(profile, hear_motors(profile, catalogue, judged_on), catalogue)
    return {
        (name, one.quantity, one.mode): one
        for one in motor_windows(heard)
        for name in one.motors or profile.motors
    }


def _entries(
    motor: str,
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    forms: Mapping[str, str],
    windows: _Windows | None,
) -> Iterator[FieldEntry]:
    """The entries of one motor; `windows` are those of several."""
    hearing = unheard(profile, catalogue, judged_on)
    read = read_backs(hearing, catalogue)
    for mode, book in hearing.books.items():
        for name, given in settings_given(profile, book, mode):
            if windows is None:
                window = partial(window_of, name, mode, hearing, catalogue)
            else:
                window = partial(windows.get, (motor, name, mode))
            entry = entry_of(name, given, mode, book, window, forms.get(name, ""))
            yield replace(entry, held=held_of(name, mode, read), shows=shown_of(name, mode, read))


def _setting(entry: FieldEntry, profile: Profile) -> Setting | None:
    """The setting as it stands once the value of its field is typed in; None where that is it."""
    value, exact = entry.value, entry.exact
    if not (is_number(value) and is_number(exact)) or near(value, exact):
        return None
    source = profile.modes[entry.mode] if entry.mode else profile.givens
    given = source[entry.quantity]
    assert given is not None  # or it would be no entry
    entered = entered_value(given, entry.field.means(value))
    return Setting(
        entry.quantity,
        entry.mode,
        _own_key(given, entry.mode),
        entered,
        given.factor,
        given.entered,
        offset=given.offset,
    )


def _own_key(given: Given, mode: str) -> str:
    """The key without the motor under which it stands: the profile is that of one motor."""
    if given.entered_as.startswith("motors."):
        return given.entered_as.split(".", 2)[-1]
    return given.entered_as


def _accepted(entry: FieldEntry, judgement: Judgement) -> FieldEntry:
    """The entry without its obstacle where all that finds it outside its window is waived."""
    if entry.value is None or not entry.obstacle:
        return entry
    grave = [
        one
        for one in judgement.findings
        if entry.quantity in (one.quantity, one.of) and one.severity in STOPS
    ]
    waived = tuple(one for one in grave if one.waived)
    if not grave or len(waived) < len(grave):
        return entry
    return replace(entry, obstacle="", remedy="", broken=(), waived=waived)


def _to_type(entry: FieldEntry, catalogue: Catalogue) -> FieldEntry:
    """The entry with no value to type where something is against it, and from when that counts."""
    if not entry.obstacle:
        return entry
    if entry.broken and all(catalogue.rules[name].stage == "ride" for name in entry.broken):
        entry = replace(entry, stage="ride", remedy=MEND_BEFORE_A_RIDE)
    return replace(entry, value=None)


def _new(before: Judgement, after: Judgement) -> Iterable[Finding]:
    """The findings that come with the steps of the fields, and those that get graver by them."""
    known = {_likeness(one): SEVERITIES.index(one.severity) for one in before.findings}
    for one in after.findings:
        was = known.get(_likeness(one))
        if was is None or SEVERITIES.index(one.severity) < was:
            yield one


def _likeness(one: Finding) -> tuple[object, ...]:
    return one.rule.id, one.modes, one.quantity, one.motors, one.waived is None
