"""gonogo: check motor-controller settings against the limits of the build.

    >>> import gonogo
    >>> judgement = gonogo.check("vehicles/larch.yaml")            # doctest: +SKIP
    >>> judgement.verdict, [finding.message for finding in judgement.findings]   # doctest: +SKIP

Everything returned is a plain frozen dataclass. What cannot be read raises
`gonogo.documents.error.DocumentErrors`; so does a shop's own rule that cannot be used, since a
judgement without it would be none of that shop's.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from .further_questions import corners, rehearse, suspects
from .shop_questions import PathText, shop, uses

if TYPE_CHECKING:
    from .comparison.comparison import Comparison
    from .documents.profile import Profile
    from .judgement.catalogue import Catalogue
    from .judgement.entry_sheet import EntrySheet
    from .judgement.finding import Judgement
    from .judgement.planned_step import PlannedStep
    from .judgement.rule import Stage
    from .judgement.window import Window
    from .quantities.sensor_fits import SensorReading
    from .riding.ride_figures import Ride

__version__ = "0.1.0"
__all__ = [
    "__version__",
    "bringup_plan",
    "check",
    "compare",
    "corners",
    "entries",
    "load",
    "rehearse",
    "ride",
    "sensor",
    "shop",
    "suspects",
    "uses",
    "windows",
]


def load(path: PathText) -> Profile:
    """The profile in a file, with its parts and its house file.

    Arguments: `path`, the profile's file; its parts and its house file are found from there.

    Raises `DocumentErrors`, whose `errors` each have `file`, `line`, `column`, `found` and `wanted`,
    where the file or one that it takes up cannot be read or does not fit its schema.

    Returns a `Profile`: its `name` and `file`; `givens`, by the quantity's name what is given, each
    with its `value` in the canonical unit, what was `entered` under which key (`entered_as`) and the
    `place`; `absent`, the sections said to be `none`; `modes`, by name what each changes; `waivers`;
    `house`, the shop's allowances and rules.
    """
    from .documents.loading import load as load_path

    return load_path(path)


def check(
    path: PathText,
    as_of: str | None = None,
    strict: bool = False,
    stage: Stage = "ride",
    set: Mapping[str, object] | None = None,
) -> Judgement:
    """The judgement of the profile in a file, by the rules of gonogo and those of its shop.

    Arguments: `path`, the profile's file; `as_of`, the day to judge by, `2026-11-25`, today if left
    out; `strict`, with which advice is NO-GO too; `stage`, "stand" (may the motor turn on the stand?)
    or "ride", for which the verdict is given; `set`, values to try without an edit, by their dotted
    keys, such as {"settings.battery_current_A": 60}; `judgement.profile.tried` then holds them.

    Raises `DocumentErrors` as `load` does, and where one of the shop's own rules cannot be used;
    `UsageError` where `as_of` is no day, `stage` no stage or `set` no entries that a profile can have.

    Returns a `Judgement`: its `verdict` of the stage asked for, "go", "go-with-waivers", "no-go" or
    "incomplete", and in `stages` that of each; `findings`, the worst first,
    each with its `rule`, its `severity` ("danger", "fault", "advice"), the `modes` in which it holds
    (none: the base settings), its `place`, the sentences `message`, `because` and `remedy`, its
    `value`, the limits `low` and `high` and the `margin` to the nearer, all in `unit`, the `working`
    and, if somebody accepted it, the waiver in `waived`; `not_checked`, the rules that could not be
    checked, each with what is `missing`; how many rules were `checked` and how many `out_of_scope`;
    `judged_on`, the day; the `profile`.
    """
    from .documents.day import day_to_judge_by
    from .judgement.judge import judge
    from .judgement.verdict import stage_of

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path, set or {})
    return judge(profile, catalogue, judged_on, strict, stage_of(stage, "stage="))


def windows(path: PathText, as_of: str | None = None) -> tuple[Window, ...]:
    """What each setting of the profile in a file may be, with the others as they stand.

    Arguments and errors are those of `check`.

    Returns a `Window` a setting and mode, in the order of the schema: the `quantity`, the key that it
    was `entered_as`, the `mode` ("" for the base settings), its `unit`, entry `step` and value
    `today`; `hard`, the span without danger or fault, and `good`, the one without advice too, each
    with a `low` and a `high` end of a `limit` and the `rule` that flags beyond it; None where rules
    leave nothing, which are named in `conflict`; `not_checked`, the rules that could limit it if more
    were given; `depends_on`, what the limits depend on.
    """
    from .documents.day import day_to_judge_by
    from .judgement.evaluation import hear
    from .judgement.window import windows as all_windows

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path)
    return all_windows(hear(profile, catalogue, judged_on), catalogue)


def compare(old: PathText, new: PathText, as_of: str | None = None) -> Comparison:
    """Two profiles side by side: what changed, what it does, whether it is still safe.

    Arguments: `old` and `new`, the files of the two revisions; `as_of` as in `check`. The new side's
    shop says how grave a finding is.

    Raises what `check` raises, for either side.

    Returns a `Comparison`: the judgements of the `old` and the `new` side; `changes`, each with its
    `quantity`, `mode`, `old` and `new` value; `consequences`, the calculated quantities that changed;
    `finding_changes`, the findings by what became of them (`way`: "introduced", "worsened", "resolved" or
    "standing"); `margins` before and after; `waiting`, the rules that can no longer be checked, or can be now;
    `follow_ups`, the work that the change makes necessary; `harms`, whether a danger or fault is new
    or worse.
    """
    from .comparison.comparison import compare as side_by_side
    from .comparison.judged_side import judged_side
    from .documents.day import day_to_judge_by

    judged_on = day_to_judge_by(as_of, "as_of=")
    sides = [_with_catalogue(path) for path in (old, new)]
    before, after = (judged_side(profile, catalogue, judged_on) for profile, catalogue in sides)
    return side_by_side(before, after, sides[1][1])


def bringup_plan(path: PathText, as_of: str | None = None) -> tuple[PlannedStep, ...]:
    """The steps of the bring-up that apply to the vehicle in a file, in a safe order.

    Arguments and errors are those of `check`.

    Returns a `PlannedStep` a step: its `spec` with the `step`, its `title`, what to `do`, the
    `caution` and `stop_if`; the `motor` of several that it is for, "" where it is for the vehicle; its
    `readings`, each with the `entry`, its `key` in the document, the `value` read so far, None if
    none was, the bands `expect` and `stop` with their `low` and `high` end in the unit of the entry,
    and what it `lacks` where nothing can be expected; and the `state`, "to do", "done",
    "look again" or "stop".
    """
    from .documents.day import day_to_judge_by
    from .judgement.bring_up import bring_up_plan
    from .judgement.judge import judge

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path)
    return bring_up_plan(profile, judged_on, judge(profile, catalogue, judged_on).findings)


def ride(
    path: PathText,
    mode: str | None = None,
    grade_percent: float | None = None,
    cruise_km_h: float | None = None,
    as_of: str | None = None,
) -> tuple[Ride, ...]:
    """What the settings of a profile come to on the road: the base settings and each mode.

    Arguments: `path` and `as_of` as in `check`; `mode`, only that one; `grade_percent`, the grade on
    which top speed and time to 50 km/h are told, and the hill that heats the motor; `cruise_km_h`, the
    steady speed of the range.

    Raises what `check` raises; `UsageError` for a mode that the profile does not have and a number
    that is none.

    Returns a `Ride` a mode: figures such as `top_speed_km_h`, each with the `value` where it is
    exact, its bounds `low` and `high`, what is `missing` for it and the `reason` if there is none;
    `limited_by`, the quantity that allows no more speed; `points`, force, currents and limit over speed.
    It says nothing of whether the vehicle may be ridden: ask `check`.
    """
    from math import isfinite

    from .documents.day import day_to_judge_by
    from .documents.error import UsageError
    from .judgement.ridden_books import ridden_books
    from .riding.rider import rides

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, _ = _with_catalogue(path)
    numbers = [number for number in (grade_percent, cruise_km_h) if number is not None]
    if not all(isfinite(number) and number >= 0.0 for number in numbers):
        raise UsageError("grade_percent= and cruise_km_h=: expected finite numbers from 0.")
    books = ridden_books(profile, judged_on)
    if mode is not None and mode not in books:
        known = ", ".join(profile.modes)
        wanted = f"expected one of {known}" if known else "the profile has only the base settings"
        raise UsageError(f"mode={mode!r}: {wanted}.")
    chosen = books if mode is None else {mode: books[mode]}
    return rides(chosen, grade_percent, cruise_km_h)


def entries(
    path: PathText,
    mode: str | None = None,
    forms: Mapping[str, str] | None = None,
    as_of: str | None = None,
) -> EntrySheet:
    """The sheet of values to type into the controller, for the profile in a file.

    Arguments: `path`, the profile's file; `mode`, whose settings alone are wanted, all if left out;
    `forms`, how fields ask, such as {"max_rpm": "electrical"}, over what `controller.fields` says;
    `as_of` as in `check`.

    Raises what `check` raises, and `UsageError` for a mode, a setting or a form that is not known.

    Returns an `EntrySheet`: its `fields`, in the order of the work, each with the `quantity`, its
    `mode`, `motor` and `field` (how it asks: `form`, `unit`, `step`), `exact`, what the profile has, and `value`,
    the step to type in, None where an `obstacle` keeps it from that; the ends of its window, `low`
    and `high`; `held`, whether the controller showed it, None where nobody looked. Besides the
    `judgement` of the profile with these values, and the findings that they have `introduced`.
    """
    from .documents.day import day_to_judge_by
    from .documents.error import UsageError
    from .judgement.entry_sheet import entry_sheet
    from .judgement.field_forms import forms_by_quantity

    judged_on = day_to_judge_by(as_of, "as_of=")
    asked = forms_by_quantity(forms or {}, "forms=")
    profile, catalogue = _with_catalogue(path)
    if mode is not None and mode not in profile.modes:
        known = ", ".join(profile.modes)
        wanted = f"expected one of {known}" if known else "the profile has only the base settings"
        raise UsageError(f"mode={mode!r}: {wanted}.")
    return entry_sheet(profile, catalogue, judged_on, mode, asked)


def sensor(shown_degC: float, set_to: str, ambient_degC: float) -> SensorReading:
    """Which temperature sensor is fitted, by what a display shows of a motor as cold as the air.

    Arguments: `shown_degC`, the temperature on the display; `set_to`, the kind of sensor that is set,
    such as "ntc-10k-3950"; `ambient_degC`, the temperature of the air, and of the motor.

    Raises `UsageError` for a kind whose curve is not known and a temperature that is no number.

    Returns a `SensorReading`: the `implied_ohm`; `open` and `short`, whether the sensor's circuit
    seems broken; `candidates`, the kinds that fit, nearest first, each with its `kind`, the
    `temperature_degC` that a display set to it would show, and how far `off_K` that is from the
    ambient; `beyond`, the kinds past the end of the display's scale; `nearest`, where none fits;
    `settled_by`, the warm reading that tells several kinds apart, or one from kinds that are not known.
    """
    from math import isfinite

    from .documents.error import UsageError
    from .quantities.sensor_curve import kinds
    from .quantities.sensor_fits import read_sensor

    if set_to not in kinds():
        raise UsageError(f"set_to={set_to!r}: expected one of {', '.join(kinds())}.")
    if not (isfinite(shown_degC) and isfinite(ambient_degC)):
        raise UsageError("shown_degC= and ambient_degC=: expected finite temperatures.")
    return read_sensor(shown_degC, set_to, ambient_degC)


def _with_catalogue(
    path: PathText, tried: Mapping[str, object] | None = None
) -> tuple[Profile, Catalogue]:
    """A profile, with values tried in it if there are any, and the rules that its shop judges by."""
    from .documents.error import DocumentErrors
    from .documents.loading import load_profile
    from .documents.repository import open_repository
    from .judgement.site_rules import shop_of

    repository, inside = open_repository(path)
    judging = shop_of(repository)
    if judging.errors:
        raise DocumentErrors(judging.errors)
    if not tried:
        return load_profile(repository, inside), judging.catalogue
    from .documents.trial import Trials
    from .documents.trial_values import trials_of_values

    return Trials(trials_of_values(tried, "set=")).load(repository, inside), judging.catalogue
