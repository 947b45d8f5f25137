"""A bring-up charges, connects and turns nothing for which the profile is no-go or incomplete."""

from __future__ import annotations

from pathlib import Path

import pytest

from .stand import DAY, SOUND, begun, on_the_stand, somebody
from .terminal import bring_up, entry_asked


@pytest.mark.parametrize(
    ("typed", "instead"),
    [
        ("charger: {voltage_V: 83.9", "charger: {voltage_V: 92"),
        ("max_V: 105", "max_V: 80"),
        ("rated_V: 125", "rated_V: 32"),
    ],
    ids=["a charger of too high a voltage", "a controller of too low a voltage", "a fuse too"],
)
def test_what_is_a_danger_is_not_connected(typed: str, instead: str, tmp_path: Path) -> None:
    """Said at the start, and again at the step that it is about; nothing behind that is asked."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    path.write_text(path.read_text("utf-8").replace(typed, instead), "utf-8")
    begun(path, shows, "readings.pack_V")
    session = bring_up(path, somebody(shows), DAY)
    assert "no-go for the stand" in session.words
    told = session.after(" first charge caution")
    assert "nothing is charged or connected" in told[:900], session.screen
    asked = {entry_asked(one) for one in session.asked}
    assert "readings.tried.kill_switch" not in asked and session.status != 0


def test_nothing_turns_while_an_entry_is_missing(tmp_path: Path) -> None:
    """Without a current limit a profile is not fit for the stand, whatever was read on it."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    text = path.read_text("utf-8").replace("  battery_current_A: 62\n", "")
    path.write_text(text, "utf-8")
    begun(path, shows, "readings.identification.done")
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 4, session.screen
    assert "not before the profile is fit for the stand" in session.words
    assert "(settings.battery_current_a)" in session.words
    assert "readings.wheel_turned" not in map(entry_asked, session.asked)


def test_nobody_rolls_while_a_ride_lacks_an_entry(tmp_path: Path) -> None:
    """Who it carries is asked for before somebody sits on it."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    path.write_text(path.read_text("utf-8").replace("rider_kg: 110, ", ""), "utf-8")
    begun(path, shows, "readings.charging_blocked")
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 4, session.screen
    assert "not before the profile is fit for a ride" in session.words
    assert "(vehicle.rider_kg)" in session.words and "every step is done" not in session.words


def test_to_switch_off_comes_before_the_reasons(tmp_path: Path) -> None:
    """While the wheel turns backward nobody reads a page first."""
    path = on_the_stand(tmp_path, "trike")
    shows = {**SOUND["trike"].shows(), "readings.wheel_turned": "backward"}
    begun(path, shows, "readings.wheel_turned")
    session = bring_up(path, somebody(shows), DAY)
    told = session.after("which way did the wheel turn")
    assert session.status == 1, session.screen
    first = session.words.index("switch off now")
    assert first < session.words.index("danger the wheel turned backward"), told
