"""The sheet of values to type in: all entries of a profile, and what it comes to with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from ..documents.profile import Given, Profile
from ..quantities.number import is_number, near
from .catalogue import Catalogue
from .entries import FieldEntry, entry_of, settings_given
from .evaluation import unheard
from .field import entered_value
from .finding import Finding, Judgement
from .judge import judge
from .proposal import Setting, tuned
from .read_back import held_of, read_backs
from .rule import SEVERITIES


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
    entries = [
        replace(one, motor=name)
        for name, own in motors.items()
        for one in _entries(own, catalogue, judged_on, forms or {}, not profile.motors)
    ]
    typed = {
        name: tuned(own, filter(None, (_setting(one, own) for one in entries if one.motor == name)))
        for name, own in motors.items()
    }
    rounded = replace(profile, motors=typed) if profile.motors else typed[""]
    before = judge(profile, catalogue, judged_on, stage="stand")
    after = judge(rounded, catalogue, judged_on, stage="stand")
    kept = tuple(one for one in entries if mode is None or one.mode == mode)
    return EntrySheet(profile, kept, after, tuple(_new(before, after)))


def _entries(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    forms: Mapping[str, str],
    alone: bool,
) -> Iterator[FieldEntry]:
    hearing = unheard(profile, catalogue, judged_on)
    read = read_backs(hearing, catalogue)
    for mode, book in hearing.books.items():
        for name, given in settings_given(profile, book, mode):
            form = forms.get(name, "")
            entry = entry_of(name, given, mode, hearing, catalogue, form, alone)
            yield replace(entry, held=held_of(name, mode, read))


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


def _new(before: Judgement, after: Judgement) -> Iterable[Finding]:
    """The findings that come with the steps of the fields, and those that get graver by them."""
    known = {_likeness(one): SEVERITIES.index(one.severity) for one in before.findings}
    for one in after.findings:
        was = known.get(_likeness(one))
        if was is None or SEVERITIES.index(one.severity) < was:
            yield one


def _likeness(one: Finding) -> tuple[object, ...]:
    return one.rule.id, one.modes, one.quantity, one.motors, one.waived is None
