"""What was put right is read anew: no fault that was repaired keeps a bring-up where it stopped."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import gonogo
import pytest

from .stand import DAY, SOUND, begun, on_the_stand, somebody
from .terminal import Session, bring_up, entry_asked

FOR = "readings.identification.for."


def measured_again(path: Path, shows: dict[str, str]) -> Session:
    """Somebody who put it right, says so, and answers each question with what is there now."""
    return bring_up(path, lambda entry, _: shows.get(entry, "") if entry else "yes", DAY)


def stopped(path: Path, vehicle: str, at: str, wrong: dict[str, str]) -> dict[str, str]:
    """What the sound machine shows, once the work has ended at something that is wrong."""
    shows = SOUND[vehicle].shows()
    begun(path, {**shows, **wrong}, at)
    session = bring_up(path, somebody({**shows, **wrong}), DAY)
    assert session.status == 1 and "--give key=value" in session.words, session.screen
    return shows


def test_the_wheel_is_watched_anew_once_its_direction_was_set(tmp_path: Path) -> None:
    """It turned backward, the setting was changed: identified again, and watched again."""
    path = on_the_stand(tmp_path, "trike")
    wrong = {"readings.wheel_turned": "backward"}
    shows = stopped(path, "trike", "readings.wheel_turned", wrong)
    text = path.read_text("utf-8").replace("  direction: forward\n", "  direction: reversed\n")
    path.write_text(text, "utf-8")
    silent = bring_up(path, lambda *_: "", DAY)
    assert silent.status == 1 and "was this put right" in silent.words, silent.screen
    session = measured_again(path, {**shows, f"{FOR}direction": "reversed"})
    asked = list(map(entry_asked, session.asked))
    assert session.status == 0, session.screen
    assert asked.index(f"{FOR}direction") < asked.index("readings.wheel_turned")
    assert gonogo.load(path).value("readings.wheel_turned") == "forward"
    assert gonogo.check(path, DAY).verdict == "go"


WRONG = [
    pytest.param("scooter", {f"{FOR}direction": "reversed"}, id="another direction"),
    pytest.param("scooter", {f"{FOR}pole_pairs": "20"}, id="other pole pairs"),
    pytest.param(
        "scooter",
        {"readings.identification.found.offset_reverse_deg": "181"},
        id="a swapped pair that the reverse offset shows",
    ),
]


@pytest.mark.parametrize(("vehicle", "wrong"), WRONG)
def test_an_identification_is_done_again_as_a_whole(
    vehicle: str, wrong: dict[str, str], tmp_path: Path
) -> None:
    """Its day, what was entered for it and what it found are of one run: each is asked anew."""
    path = on_the_stand(tmp_path, vehicle)
    shows = stopped(path, vehicle, "readings.identification.done", wrong)
    before = gonogo.load(path)
    taken = [one for one in before.givens if one.startswith("readings.identification.")]
    session = measured_again(path, shows)
    asked = list(map(entry_asked, session.asked))
    assert session.status == 0, session.screen
    assert set(taken) <= set(asked), set(taken) - set(asked)
    assert gonogo.check(path, DAY).verdict == "go"


def test_a_run_without_load_is_run_again_as_a_whole(tmp_path: Path) -> None:
    """Voltage, speed, frequency and current belong together."""
    path = on_the_stand(tmp_path, "scooter")
    shows = SOUND["scooter"].shows()
    wrong = replace(SOUND["scooter"], hall_wires_swapped=True, shows_identified=False).shows()
    begun(path, shows, "readings.no_load.throttle")
    assert bring_up(path, somebody(wrong), DAY).status == 1
    session = measured_again(path, shows)
    asked = list(map(entry_asked, session.asked))
    assert session.status == 0, session.screen
    assert {f"readings.no_load.{one}" for one in ("pack_V", "rpm", "battery_A")} <= set(asked)


def test_a_throttle_that_was_repaired_is_read_anew(tmp_path: Path) -> None:
    """Its rest voltage is a danger with the start, which no reading of the turning step shows."""
    path = on_the_stand(tmp_path, "scooter")
    shows = SOUND["scooter"].shows()
    begun(path, {**shows, "readings.throttle.rest_V": "1.0"}, "readings.identification.done")
    assert bring_up(path, somebody(shows), DAY).status == 1
    session = measured_again(path, shows)
    assert session.status == 0, session.screen
    assert "readings.throttle.rest_V" in map(entry_asked, session.asked)


def test_a_wheel_that_turned_forward_before_its_setting_changed_is_watched_anew(
    tmp_path: Path,
) -> None:
    """Brought up soundly, then reversed by hand: what was seen before is no proof of what it does now."""
    path, shows = on_the_stand(tmp_path, "trike"), SOUND["trike"].shows()
    begun(path, shows, "none of them")
    text = path.read_text("utf-8").replace("  direction: forward\n", "  direction: reversed\n")
    path.write_text(text, "utf-8")
    now = {**shows, f"{FOR}direction": "reversed", "readings.wheel_turned": "backward"}
    session = measured_again(path, now)
    assert session.status == 1 and "backward" in session.after("which way"), session.screen
    assert gonogo.check(path, DAY).verdict == "no-go"
