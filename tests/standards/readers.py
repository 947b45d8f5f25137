"""Reports read as a stranger reads them: by published schemas and by libraries that are not ours."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from jsonschema import Draft4Validator
from junitparser import JUnitXml, TestSuite
from sarif_pydantic import Run, Sarif

HERE = Path(__file__).parent


@cache
def _sarif_schema() -> Draft4Validator:
    """As OASIS published it with errata 01, 28 August 2023, under the address that is its `id`."""
    schema = json.loads((HERE / "sarif-schema-2.1.0.json").read_text("utf-8"))
    assert schema["id"].endswith("/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json")
    Draft4Validator.check_schema(schema)
    return Draft4Validator(schema)


def read_sarif(text: str) -> Run:
    """The only run of a log that fits the published schema, as a library reads it.

    Besides the schema it is held to what the standard says in words: all results say by what they are
    suppressed or none (3.27.23), all hold a state against a former run or none (3.27.24), a kind other
    than `fail` has no level (3.27.10), and each rule's index leads to its name (3.27.6).
    """
    log = json.loads(text)
    assert [error.message for error in _sarif_schema().iter_errors(log)] == []
    (run,) = Sarif.model_validate(log).runs
    results: list[dict[str, Any]] = log["runs"][0]["results"]
    assert len({"suppressions" in one for one in results}) <= 1
    assert len({"baselineState" in one for one in results}) <= 1
    assert all(one.get("kind", "fail") == "fail" or one["level"] == "none" for one in results)
    rules = run.tool.driver.rules or []
    assert all(rules[one["ruleIndex"]].id == one["ruleId"] for one in results)
    assert run.tool.driver.information_uri is None and "informationUri" not in text
    return run


def fingerprints_in(run: Run) -> list[str]:
    """The fingerprint of each result, in order."""
    return [(one.partial_fingerprints or {})["finding/v1"] for one in run.results or []]


def read_junit(text: str) -> list[TestSuite]:
    """The suites of a report as a library reads them, once its own sums agree with those written."""
    report = JUnitXml.fromstring(text.encode())
    suites = list(report)
    for one in (report, *suites):
        assert abs(one.time - sum(part.time for part in one)) < 1e-6
    for one in (report, *suites):
        written = (one.tests, one.failures, one.errors, one.skipped)
        one.update_statistics()  # which rounds times to milliseconds
        assert written == (one.tests, one.failures, one.errors, one.skipped)
    return suites


class Message(NamedTuple):
    """A message as an editor takes it from a line; without a place its file is empty."""

    file: str
    line: int
    column: int
    word: str
    text: str


# GNU Coding Standards, 4.4 Formatting Error Messages: SOURCEFILE:LINENO:COLUMN: MESSAGE, and
# PROGRAM: MESSAGE where there is no relevant source file; lines and columns start from 1.
PLACED = re.compile(
    r"(?P<file>[^:\s](?:[^:]*[^:\s])?):(?P<line>[1-9]\d*):(?P<column>[1-9]\d*): (?P<rest>\S.*)"
)
UNPLACED = re.compile(r"gonogo: (?P<rest>\S.*)")
# What a great editor looks for at the beginning of a line, written down from its manual's words: an
# optional program, a name without a colon before a blank, a line number.
LOOSE = re.compile(
    r"(?:[A-Za-z][-A-Za-z0-9.]+: ?)?(?P<file>\d*[^\d\n](?:[^\n :]| [^-/\n]|:[^ \n])*?): ?(?P<line>\d+)(?:\D|$)"
)


def read_lines(text: str) -> list[Message]:
    """Every line of a report, each in one of the two forms."""
    assert text.endswith("\n") and "\r" not in text
    return [_message(line) for line in text[:-1].split("\n")]


def _message(line: str) -> Message:
    placed, unplaced = PLACED.fullmatch(line), UNPLACED.fullmatch(line)
    assert (placed is None) != (unplaced is None), line
    if placed is None:
        assert unplaced is not None
        jumps = LOOSE.match(line) or re.search(r":\d", line)
        assert jumps is None, f"an editor would jump somewhere: {line}"
        word, _, rest = unplaced["rest"].partition(": ")
        return Message("", 0, 0, word, rest)
    word, _, rest = placed["rest"].partition(": ")
    loose = LOOSE.match(line)
    assert loose is not None and (loose["file"], loose["line"]) == (placed["file"], placed["line"])
    return Message(placed["file"], int(placed["line"]), int(placed["column"]), word, rest)
