"""What the profile itself forbids: nothing is charged, connected, turned or ridden before it is put right."""

from __future__ import annotations

from pathlib import Path

import gonogo
import pytest

from .stand import DAY, SOUND, begun, on_the_stand, somebody
from .terminal import Session, bring_up, entry_asked


def changed(path: Path, *pairs: tuple[str, str]) -> Path:
    """A profile with some of its text changed."""
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    return path


def goes_on(path: Path, **answers: str) -> Session:
    """The work taken up again, by somebody who answers some entries otherwise and all else soundly."""
    shows = {**SOUND[path.stem].shows(), **{f"readings.{key}": one for key, one in answers.items()}}
    return bring_up(path, somebody(shows), DAY)


OF_POWER = [
    pytest.param("voltage_V: 83.9", "voltage_V: 88", id="a charger for more cells"),
    pytest.param("rated_V: 125", "rated_V: 58", id="a fuse for less voltage"),
    pytest.param("max_V: 105", "max_V: 80", id="a controller for less voltage"),
]


@pytest.mark.parametrize(("sound", "wrong"), OF_POWER)
def test_nothing_is_charged_or_connected_with_a_danger_of_the_pack(
    sound: str, wrong: str, tmp_path: Path
) -> None:
    """Told as the work begins and on paper, and at the first charge, which is not asked for."""
    path = changed(on_the_stand(tmp_path, "scooter"), (sound, wrong))
    begun(path, SOUND["scooter"].shows(), "readings.tried.kill_switch")
    changed(path, ("polarity, first_charge, precharge, anti_spark, plug_in", "polarity"))
    plan = " ".join(bring_up(path, somebody({}), DAY, 80, ("--print",)).words.split())
    told = "nothing is charged, connected or turned before"
    assert "no-go for the stand" in plan and told in plan
    session = goes_on(path)
    assert session.status == 1 and told in session.words, session.screen
    assert not [one for one in session.asked if "yes or failed" in " ".join(one.split())]
    assert "charged or connected; put them right first" in session.words
    assert gonogo.load(path).value("readings.steps_done") == ("polarity",)


def test_a_danger_that_comes_later_holds_what_is_powered_too(tmp_path: Path) -> None:
    """The precharge was done before another fuse was entered."""
    path = changed(on_the_stand(tmp_path, "scooter"), ("rated_V: 125", "rated_V: 58"))
    begun(path, SOUND["scooter"].shows(), "readings.throttle.supply_V")
    session = goes_on(path)
    assert session.status == 1 and session.asked == [], session.screen


def test_what_readings_may_still_settle_is_no_headline(tmp_path: Path) -> None:
    """The throttle's limits are a danger until its wires were pulled: sound work begins without alarm."""
    path = on_the_stand(tmp_path, "scooter")
    assert gonogo.check(path, DAY).stages["stand"] == "no-go"
    session = bring_up(path, lambda *_: None, DAY)
    assert "no-go for the stand" not in session.words


THROTTLE = (
    "  throttle: {start_V: 1.0, full_V: 4.0, lost_below_V: 0.5, lost_above_V: 4.5, ramp_ms: 400}\n"
)
BRAKES = "brakes: [disc, disc, parking], "


def test_nothing_turns_while_the_profile_is_short_of_the_stand(tmp_path: Path) -> None:
    """What is missing is named; what can be done is done, and the end says incomplete."""
    path = changed(on_the_stand(tmp_path, "trike"), (THROTTLE, ""))
    begun(path, SOUND["trike"].shows(), "readings.identification.done")
    assert gonogo.check(path, DAY).stages["stand"] == "incomplete"
    session = bring_up(path, lambda *_: "no", DAY)
    assert session.status == 4 and not any(map(entry_asked, session.asked)), session.screen
    assert "not before the profile is fit for the stand" in session.words
    assert "settings.throttle.start_v" in session.words
    assert "incomplete: 2 entries short of the stand" in session.after("verdict")


def test_the_road_waits_for_what_a_ride_asks_for(tmp_path: Path) -> None:
    """Fit for the stand alone, it is turned there and not rolled; all done, the end has the verdict."""
    path = changed(on_the_stand(tmp_path, "trike"), (BRAKES, ""))
    begun(path, SOUND["trike"].shows(), "readings.temperature.warm.reference_degC")
    judgement = gonogo.check(path, DAY)
    assert judgement.stages["stand"] == "go", judgement.stages
    session = goes_on(path)
    roll = session.words.index("loaded roll")
    assert session.status == 4 and "fit for a ride" in session.words[roll:], session.screen
    assert "roll" not in gonogo.load(path).value("readings.steps_done")


def test_every_step_done_is_no_go_ahead_for_a_profile_that_is_short(tmp_path: Path) -> None:
    """A status of 0 is a promise: an entry taken out after the last step takes it back."""
    path = on_the_stand(tmp_path, "trike")
    begun(path, SOUND["trike"].shows(), "none of them")
    assert goes_on(path).status == 0
    changed(path, (BRAKES, ""))
    session = goes_on(path)
    assert session.status == 4 and gonogo.check(path, DAY).verdict == "incomplete"
    assert "every step is done" not in session.words and "vehicle.brakes" in session.words


def test_values_that_changed_are_entered_and_ridden_anew(tmp_path: Path) -> None:
    """A tick was given for the settings of that day; one of a document without a memory still counts."""
    path = on_the_stand(tmp_path, "trike")
    begun(path, SOUND["trike"].shows(), "none of them")
    session = goes_on(path)
    assert session.status == 0, session.screen  # ticked by hand
    plan = bring_up(path, somebody({}), DAY, 80, ("--print",)).words
    assert "for which settings is not noted" in plan

    changed(path, ("values, ", ""), ("full_limits, ", ""))
    session = goes_on(path)
    assert session.status == 0 and len(session.asked) == 2, session.screen
    assert goes_on(path).asked == []
    changed(path, ("battery_current_A: 75", "battery_current_A: 70"))
    plan = bring_up(path, somebody({}), DAY, 80, ("--print",))
    assert plan.status == 4 and plan.words.count("done for other settings") == 2, plan.screen
    left = bring_up(path, lambda *_: "", DAY)
    assert left.status == 4 and len(left.asked) == 2, left.screen
    assert goes_on(path).status == 0
    assert goes_on(path).asked == []


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
