"""What stays the same of a finding from one run to the next, so that a machine knows it again."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from hashlib import sha256

from ..documents.identity import identity_in
from ..documents.profile import Profile
from ..judgement.finding import Finding, NotChecked
from ..judgement.subject_record import record_in

# SARIF 2.1.0, 3.27.17: a name that says what was taken, and its version behind a slash.
FINGERPRINT = "finding/v1"
KEPT_LETTERS = 32  # of a SHA-256 in hexadecimal: 128 bit


class Fingerprints:
    """The fingerprints of one vehicle's findings, no two alike.

    Of a finding count the vehicle, the rule, the entry or record, the modes and the motors; lines,
    values and the words of the message do not. A vehicle is known by its id, without one by its file
    as the report names it. Of several that agree in all of this the second counts as a second one.
    """

    def __init__(self, profile: Profile) -> None:
        self.profile = profile
        identity = identity_in(profile)
        self.vehicle = ("id", identity.id) if identity else ("file", profile.file)
        self._met: Counter[str] = Counter()

    def of_finding(self, finding: Finding, modes: tuple[str, ...] | None = None) -> str:
        """That of a finding; `modes` are those that a comparison tells it of, where they are fewer."""
        held = finding.modes if modes is None else modes
        of = finding.of or ""
        about = record_in(finding, self.profile)
        return self._once(finding.rule.id, about, of, *_modes_and_motors(held, finding.motors))

    def of_waiting(self, waiting: NotChecked) -> str:
        """That of a rule that could not be checked, apart from what it finds once it can."""
        modes, motors = _modes_and_motors(waiting.modes, ())
        return self._once(waiting.rule.id, "not checked", "", modes, motors)

    def of_vehicle(self, what: str) -> str:
        """That of something told of the vehicle as a whole."""
        return self._once(what, "vehicle", "", *_modes_and_motors((), ()))

    def _once(self, *words: str | list[str]) -> str:
        whole = json.dumps([self.vehicle, *words], ensure_ascii=True)
        self._met[whole] += 1
        count = self._met[whole]
        told = whole if count == 1 else f"{whole} {count}"
        return sha256(told.encode()).hexdigest()[:KEPT_LETTERS]


def _modes_and_motors(modes: Iterable[str], motors: Iterable[str]) -> tuple[list[str], list[str]]:
    return sorted(modes), sorted(motors)
