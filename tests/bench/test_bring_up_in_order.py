"""What makes a step safe comes before it; what is left open is asked again, what failed ends the work."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import gonogo
import pytest

from .stand import DAY, SOUND, begun, on_the_stand, somebody
from .terminal import Session, bring_up, entry_asked

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
NEEDS = [  # what has to be tried before what can hurt
    ("kill-switch", "throttle-wires"),
    ("throttle-rest", "throttle-wires"),
    ("pack-voltage", "first-charge"),
    ("kill-switch", "identification"),
    ("brake-cut", "no-load"),
    ("direction", "no-load"),
    ("no-load", "roll"),
]


@pytest.mark.parametrize("path", sorted(WORKSHOP.glob("*.yaml")), ids=lambda path: path.stem)
def test_what_makes_a_step_safe_stands_before_it(path: Path) -> None:
    """On every vehicle that has both, and the later one waits for the earlier."""
    plan = gonogo.bringup_plan(path, DAY)
    names = [one.spec.step for one in plan]
    for first, then in NEEDS:
        if first in names and then in names:
            assert names.index(first) < names.index(then)
            assert first in next(one.spec.after for one in plan if one.spec.step == then)


def played_from(path: Path, entry: str, shows: dict[str, str]) -> Session:
    begun(path, shows, entry)
    return bring_up(path, somebody(shows), DAY)


@pytest.mark.parametrize(("cells", "cell_V"), [(22, 3.31), (24, 3.31)])
def test_cells_are_counted_before_a_charge_for_another_number(
    cells: int, cell_V: float, tmp_path: Path
) -> None:
    """Part charged, a voltage fits several counts; without sense wires somebody counts the links."""
    path = on_the_stand(tmp_path, "scooter")
    shows = replace(SOUND["scooter"], cells=cells, cell_V=cell_V).shows()
    del shows["readings.cell_groups_V"]
    shows["readings.series_counted"] = f"{cells}"
    session = played_from(path, "readings.pack_V", shows)
    assert session.status == 1, session.screen
    assert entry_asked(session.asked[-1]) == "readings.series_counted"
    assert "first charge" not in session.after("stop here")
    assert set(gonogo.check(path, DAY).stages.values()) == {"no-go"}


def test_a_count_that_is_right_lets_it_be_charged(tmp_path: Path) -> None:
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    del shows["readings.cell_groups_V"]
    session = played_from(path, "readings.pack_V", {**shows, "readings.series_counted": "23"})
    assert session.status == 0, session.screen
    assert gonogo.check(path, DAY).verdict == "go"


def test_a_brake_left_for_later_is_tried_once_the_direction_is_known(tmp_path: Path) -> None:
    """Its step says so; and no full throttle before."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    begun(path, shows, "readings.tried.brake_cut")
    answers = somebody(shows)
    asked: list[str] = []

    def later(entry: str, question: str) -> str:
        asked.append(entry)
        first = entry == "readings.tried.brake_cut" and asked.count(entry) == 1
        return "" if first else answers(entry, question) or ""

    session = bring_up(path, later, DAY)
    assert session.status == 0, session.screen
    assert asked.count("readings.tried.brake_cut") == 2
    again = len(asked) - 1 - asked[::-1].index("readings.tried.brake_cut")
    assert asked.index("readings.wheel_turned") < again < asked.index("readings.no_load.rpm")


def test_a_throttle_that_rests_past_its_start_goes_no_further(tmp_path: Path) -> None:
    """Nobody is asked to pull wires on it."""
    path = on_the_stand(tmp_path, "scooter")
    shows = replace(SOUND["scooter"], rest_share=0.2).shows()  # 1 V, and 0.95 V to start
    begun(path, shows, "readings.throttle.rest_V")
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 1, session.screen
    assert "do not go together" in session.words and "drives off by itself" in session.words
    assert "readings.throttle.open_ground_V" not in map(entry_asked, session.asked)


def test_enter_changes_no_setting(tmp_path: Path) -> None:
    """It leaves a reading for later, and an offer too."""
    path = on_the_stand(tmp_path, "scooter")
    text = path.read_text("utf-8").replace("lost_below_V: 0.4", "lost_below_V: 0.5")
    path.write_text(text, "utf-8")
    shows = SOUND["scooter"].shows()
    begun(path, shows, "readings.throttle.rest_V")
    answers, offers = somebody(shows), []

    def enters(entry: str, question: str) -> str:
        if "Enter settings." not in " ".join(question.split()):
            return answers(entry, question) or ""
        offers.append(question)
        return ""

    session = bring_up(path, enters, DAY)
    assert offers and "lost_below_V: 0.5" in path.read_text("utf-8"), session.screen


def test_a_step_that_failed_ends_the_work(tmp_path: Path) -> None:
    """A plug that sparked is not a step for later."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    begun(path, shows, "readings.throttle.supply_V")
    text = path.read_text("utf-8")
    path.write_text(text.replace("first_charge, precharge", "first_charge"), "utf-8")
    session = bring_up(path, lambda *_: "failed", DAY)
    assert session.status == 1, session.screen
    assert len(session.asked) == 1 and "yes or failed?" in session.asked[0].replace("\n", " ")
    assert "stop here. switch off, put it right" in session.words


def test_the_end_is_said_with_what_comes_next(tmp_path: Path) -> None:
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    begun(path, shows, "readings.charging_blocked")
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 0, session.screen
    assert "every step is done" in session.words and "gonogo check" in session.words
