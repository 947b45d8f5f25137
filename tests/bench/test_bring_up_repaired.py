"""A fault that was put right is read again where it stopped the work, and leads no further astray."""

from __future__ import annotations

from pathlib import Path

import gonogo

from .stand import DAY, SOUND, begun, on_the_stand, somebody
from .terminal import bring_up, entry_asked


def test_a_direction_put_right_is_tried_again(tmp_path: Path) -> None:
    """The setting turned round, identified anew: what the wheel did before holds up neither step."""
    path = on_the_stand(tmp_path, "trike")
    shows = {**SOUND["trike"].shows(), "readings.wheel_turned": "backward"}
    begun(path, shows, "readings.noticed")
    text = path.read_text("utf-8").replace("  direction: forward", "  direction: reversed")
    path.write_text(text, "utf-8")
    shows |= {
        "readings.wheel_turned": "forward",
        "readings.identification.for.direction": "reversed",
    }

    def answer(entry: str, question: str) -> str:
        return shows.get(entry, "") if entry else "yes"

    session = bring_up(path, answer, DAY)
    asked = [entry_asked(one) for one in session.asked]
    assert session.status == 0, session.screen
    assert asked.index("readings.identification.for.direction") < asked.index(
        "readings.wheel_turned"
    )
    assert gonogo.check(path, DAY).verdict == "go"


def test_of_two_offsets_the_wrong_one_is_read_again(tmp_path: Path) -> None:
    """Whichever of the two it was: the other is kept with Enter."""
    path, shows = on_the_stand(tmp_path, "trike"), SOUND["trike"].shows()
    swapped = {**shows, "readings.identification.found.offset_reverse_deg": "181"}
    begun(path, swapped, "readings.wheel_turned")

    def answer(entry: str, question: str) -> str:
        kept = entry.endswith("offset_forward_deg") and "Enter where it stays" in question
        return "" if kept else shows.get(entry, "") if entry else "yes"

    session = bring_up(path, answer, DAY)
    assert session.status == 0, session.screen
    assert "enter where it stays" in session.words


def test_what_cannot_be_read_is_not_called_good(tmp_path: Path) -> None:
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    begun(path, shows, "readings.cell_groups_V")
    session = bring_up(path, somebody({**shows, "readings.cell_groups_V": "none"}), DAY)
    assert "noted none: not read, so it proves nothing" in session.words
    assert "good none" not in session.words


def test_no_upper_end_is_offered_before_the_throttle_was_opened(tmp_path: Path) -> None:
    """From the rest alone it would be a guess; from both it is none."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    text = path.read_text("utf-8").replace(", full_V: 4.1", "").replace(", lost_above_V: 4.7", "")
    path.write_text(text, "utf-8")
    begun(path, shows, "readings.throttle.rest_V")
    session = bring_up(path, somebody(shows), DAY)
    full = session.words.index("throttle fully open caution")
    for setting in ("settings.throttle.full_v:", "settings.throttle.lost_above_v:"):
        assert setting not in session.words[:full] and setting in session.words[full:], setting
