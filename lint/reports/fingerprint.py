"""What stays the same of a finding from one run to the next, so that a machine knows it again."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from hashlib import sha256
from typing import Literal

from ..documents.identity import identity_in
from ..documents.profile import Profile
from ..judgement.finding import Finding, NotChecked
from ..judgement.subject_record import record_in

# SARIF 2.1.0, 3.27.17: a name that says what was taken, and its version behind a slash.
FINGERPRINT = "finding/v1"
KEPT_LETTERS = 32  # of a SHA-256 in hexadecimal: 128 bit


KnownBy = tuple[Literal["id", "file"], str]


class Fingerprints:
    """The fingerprints of one vehicle's findings, no two alike.

    Of a finding count the vehicle, the rule, the entry or record, the modes and the motors; lines,
    values and the words of the message do not. A vehicle is known by its id, without one by its file
    as the report names it. Of several that agree in all of this the second counts as a second one.
    """

    def __init__(self, profile: Profile) -> None:
        self.profile = profile
        identity = identity_in(profile)
        self.vehicle: KnownBy = ("id", identity.id) if identity else ("file", profile.file)
        self._met: Counter[str] = Counter()

    def of_finding(self, finding: Finding, found_in: Profile | None = None) -> str:
        """That of a finding; `found_in` is the vehicle as it was, where it was found only then."""
        about = record_in(finding, found_in or self.profile)
        modes_and_motors = _modes_and_motors(finding.modes, finding.motors)
        return self._once(finding.rule.id, about, finding.of or "", *modes_and_motors)

    def of_waiting(self, waiting: NotChecked) -> str:
        """That of a rule that could not be checked, apart from what it finds once it can."""
        modes, motors = _modes_and_motors(waiting.modes, ())
        return self._once(waiting.rule.id, "not checked", "", modes, motors)

    def _once(self, *words: str | list[str]) -> str:
        key = json.dumps(words)
        self._met[key] += 1
        count = self._met[key]
        return _digest(self.vehicle, *words, *([str(count)] if count > 1 else []))


def vehicle_fingerprint(vehicle: KnownBy, what: str) -> str:
    """That of something told of a vehicle as a whole."""
    return _digest(vehicle, what)


def _digest(vehicle: KnownBy, *words: str | list[str]) -> str:
    return sha256(json.dumps([vehicle, *words]).encode()).hexdigest()[:KEPT_LETTERS]


def _modes_and_motors(modes: Iterable[str], motors: Iterable[str]) -> tuple[list[str], list[str]]:
    return sorted(modes), sorted(motors)
