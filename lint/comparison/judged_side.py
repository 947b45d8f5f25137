"""One side of a comparison, judged by the rules of its shop, with all that it was judged from."""

from __future__ import annotations

from collections.abc import Mapping

from ..documents.profile import Profile
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Ruling, hear
from ..judgement.judge import concluded
from .consequence import unmoved
from .finding_change import JudgedSide


def judged_side(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    strict: bool = False,
    before: JudgedSide | None = None,
) -> JudgedSide:
    """One side, judged; `before`, the side before it, spares what the change does not reach."""
    if profile.motors:
        from ..judgement.motor_books import hear_motors  # late: most vehicles have one motor
        from ..judgement.motors import concluded_of

        heard = hear_motors(profile, catalogue, judged_on)
        hearings = {name: one.hearing for name, one in heard.items()}
        return JudgedSide(
            hearings,
            concluded_of(profile, heard, catalogue, judged_on, strict),
            heard,
            judged_by=catalogue,
        )
    known: Mapping[str, Ruling] = {}
    if before is not None and not before.judgement.profile.motors:
        same_day = before.judgement.judged_on == judged_on
        known = unmoved(before.hearing, profile, catalogue, same_day)
    hearing = hear(profile, catalogue, judged_on, known)
    judgement = concluded(hearing, catalogue, judged_on, strict)
    return JudgedSide({"": hearing}, judgement, judged_by=catalogue)
