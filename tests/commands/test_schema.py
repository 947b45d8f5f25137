"""`gonogo schema`: one file that an editor can work with, and help for a typing slip."""

from __future__ import annotations

import io
import json

import pytest
from gonogo.commands.schema import run, schemas
from gonogo.documents.error import UsageError
from jsonschema import Draft202012Validator


def printed(name: str | None = None) -> str:
    """What the command prints."""
    out = io.StringIO()
    assert run(name, None, out) == 0
    return out.getvalue()


def test_the_list_names_every_kind_of_document() -> None:
    """Someone who starts asks which schemas there are."""
    for name in ("profile", "part", "house", "rule", "report"):
        assert f" {name} " in printed()


def test_the_list_stands_in_columns() -> None:
    """A long name does not run into its title."""
    for name, schema in schemas().items():
        assert f" {name}  " in printed()
        assert f"  {schema['title']}\n" in printed()


@pytest.mark.parametrize("name", sorted(schemas()))
def test_a_printed_schema_stands_alone(name: str) -> None:
    """An editor gets one file; it must not point at another that the editor does not have."""
    schema = json.loads(printed(name))
    Draft202012Validator.check_schema(schema)
    assert "urn:gonogo:profile#" not in json.dumps(schema)


def test_the_part_schema_still_knows_its_sections() -> None:
    """The sections of a part are told in the profile's schema; the printed one brings them."""
    schema = json.loads(printed("part"))
    part = {"gonogo": "part/1", "part": {"name": "Hub 7"}, "motor": {"magnets": 14, "magnet": 14}}
    messages = [error.message for error in Draft202012Validator(schema).iter_errors(part)]
    assert any("'magnet' was unexpected" in message for message in messages)


def test_a_typing_slip_is_answered_with_the_nearest_name() -> None:
    """Nobody should have to look up how a schema is spelt."""
    with pytest.raises(UsageError) as mistake:
        run("profil")
    assert "Did you mean profile?" in str(mistake.value)
