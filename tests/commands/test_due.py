"""`gonogo due`: the vehicles of a shop by what is due next, and a status for a calendar job."""

from __future__ import annotations

import io
import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands import due
from gonogo.commands.main import status
from gonogo.commands.output import GO, NO_GO, NOT_READ, USAGE
from gonogo.commands.schema import schemas, self_contained
from gonogo.documents.error import NoProfile, UsageError
from jsonschema import Draft202012Validator

SHOP = Path(__file__).parents[2] / "examples" / "workshop"
DAY = "2026-11-25"
PROFILE = """gonogo: profile/1
vehicle: {{name: {name}, use: private_land, wheels: 3}}
pack: {{full_V: 54.75}}
settings: {{battery_current_A: 75}}
readings: {{taken: "{taken}", identification: none, entered: {{done: "2026-11-01"}}}}
"""


def said(*paths: Path, form: str = "text", **asked: Any) -> tuple[int, str]:
    out = io.StringIO()
    ended = due.run(paths, form=form, as_of=asked.pop("as_of", DAY), out=out, **asked)
    return ended, out.getvalue()


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Two vehicles, whose readings hold until 2026-12-05 and 2027-01-04."""
    for name, taken in (("later", "2026-01-04"), ("sooner", "2025-12-05")):
        path = tmp_path / f"{name}.yaml"
        path.write_text(PROFILE.format(name=name, taken=taken), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("within", "ended"), [("0", GO), ("9", GO), ("10", NO_GO), ("9999", NO_GO)]
)
def test_the_status_says_whether_anything_is_due(shop: Path, within: str, ended: int) -> None:
    assert said(shop, within=within)[0] == ended


def test_the_soonest_comes_first(shop: Path) -> None:
    text = said(shop)[1]
    assert text.index("sooner") < text.index("later")
    assert "in 10 days" in text and "2026-12-05" in text and "1 of 2 vehicles" in text


def test_vehicles_on_which_nothing_is_due_are_one_line(shop: Path) -> None:
    """What waits is not lost among what does not; the line says which comes next."""
    (shop / "third.yaml").write_text(PROFILE.format(name="third", taken="2026-02-04"), "utf-8")
    text = said(shop)[1]
    assert "sooner" in text and "third" not in text and "later.yaml" not in text
    assert "2 vehicles; the next is later: readings, last day 2027-01-04" in text
    assert "third.yaml" in said(shop, within="9999")[1]
    whole = said(SHOP, within="0")[1]
    assert len(whole.splitlines()) < 12 and "fescue.yaml" in whole


def test_the_record_fits_its_schema(shop: Path) -> None:
    ended, text = said(SHOP, form="json", within="60")
    told = json.loads(text)
    whole = schemas()
    Draft202012Validator(self_contained(whole["due"], whole)).validate(told)
    assert len(told["vehicles"]) == len(list((SHOP / "vehicles").glob("*.yaml")))
    some = [one["due"] for vehicle in told["vehicles"] for one in vehicle["due"]]
    assert (ended == NO_GO) == any(some)
    assert files("gonogo.schemas").joinpath("due.schema.json").is_file()
    for vehicle in told["vehicles"]:
        lefts = [one["left_days"] for one in vehicle["due"]]
        dated = [left for left in lefts if left is not None]
        assert dated == sorted(dated)
    assert len([one for vehicle in told["vehicles"] for one in vehicle["due"]]) > 20


def test_each_motor_is_told() -> None:
    """Of several motors each has its own identification."""
    text = said(SHOP / "vehicles" / "bindweed.yaml", as_of="2028-12-25")[1]
    assert "identification, motor left" in text and "identification, motor right" in text


def test_it_fits_a_screen() -> None:
    assert max(map(len, said(SHOP)[1].splitlines())) <= 80


def test_what_cannot_be_read_is_told(shop: Path) -> None:
    """A vehicle that nobody could read is not one on which nothing is due."""
    (shop / "broken.yaml").write_text("gonogo: profile/1\nvehicle: {nam: x}\n", encoding="utf-8")
    ended, text = said(shop, within="0")
    assert ended == NOT_READ
    assert "broken.yaml" in text and "sooner" in text


def test_nothing_is_due_on_what_was_not_read(tmp_path: Path) -> None:
    """NOTHING DUE above a path that is not there would be read as good news of it."""
    ended, text = said(tmp_path / "nowhere")
    assert ended == NOT_READ
    assert "DUE" not in text and "NOT READ" in text


def test_a_good_word_says_on_how_many(shop: Path) -> None:
    (shop / "broken.yaml").write_text("gonogo: profile/1\nvehicle: {nam: x}\n", encoding="utf-8")
    assert "NOTHING DUE   on 2 vehicles read, within 0 days" in said(shop, within="0")[1]


def test_vehicles_that_were_never_read_back_are_one_line(shop: Path) -> None:
    """It is due at once on each, and hides nothing that is due besides."""
    for name, taken in (("sedge", "2026-11-20"), ("reed", "2026-11-20"), ("rush", "2025-11-01")):
        text = PROFILE.format(name=name, taken=taken).replace(', entered: {done: "2026-11-01"}', "")
        (shop / f"{name}.yaml").write_text(text, encoding="utf-8")
    ended, text = said(shop, within="0")
    assert ended == NO_GO
    assert "2 vehicles, due at once: reed, sedge" in " ".join(text.split())
    assert "rush.yaml" in text and "reed.yaml" not in text and "over for 24 days" in text
    assert text.index("due at once") < text.index("rush.yaml")


@pytest.mark.parametrize("within", ["-1", "x", "", "1.5", "10000", "٣"])
def test_days_that_cannot_be_are_refused(shop: Path, within: str) -> None:
    with pytest.raises(UsageError, match="--within"):
        said(shop, within=within)


def test_slips_at_the_shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(NoProfile):
        said(tmp_path)
    assert status(["due", str(SHOP), "--within", "soon"]) == USAGE
    assert re.search("--within soon", capsys.readouterr().err)
