"""What must hold of every answer, whatever was asked about: each breach is one sentence."""

from __future__ import annotations

import io
import json
import os
import re
import signal
import traceback
from collections.abc import Iterator, Sequence
from contextlib import chdir, redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path
from types import FrameType
from typing import Any, NamedTuple

import jsonschema_rs
from gonogo.commands.main import SHOW_DEFECT, status
from gonogo.documents.schema import schema
from gonogo.documents.text import clean

from .inputs import Call

STATUSES = (0, 1, 2, 3, 4)
SLOW_S = 20  # of the processor, so that a busy machine is no finding
ENDLESS = f"more than {SLOW_S} s"
ASLEEP_S = 300  # by the clock: whoever waits that long waits for ever
# Whatever a terminal obeys, turns the writing direction, or cannot be written as UTF-8.
UNSEEN = re.compile(
    r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
)
# At the head of a profile, or before it in the list of those that have nothing to be read; not in the sum.
VERDICT = re.compile(
    r"^ (?:▐ )?(GO WITH WAIVERS|GO|NO-GO|INCOMPLETE|NOT READ)\b(?! · [\d,]+ rules? )", re.MULTILINE
)
FORMS = {"check": "report", "window": "windows", "diff": "comparison"}


class Answer(NamedTuple):
    """What a call came to; `broken` is where an exception that nobody caught was raised."""

    call: Call
    status: int
    out: str
    err: str
    broken: str = ""


class Breach(NamedTuple):
    """A promise that an answer breaks. Breaches of one `sign` are one defect."""

    sign: str
    call: Call
    detail: str


class TooSlow(BaseException):
    """Passes by all that answers for exceptions."""


WATCHES = (
    (signal.ITIMER_PROF, signal.SIGPROF, SLOW_S),
    (signal.ITIMER_REAL, signal.SIGALRM, ASLEEP_S),
)


def ask(folder: Path, call: Call) -> Answer:
    """The answer to a call in a folder, in this process."""
    out, err = io.StringIO(), io.StringIO()
    broken = ""
    came_to = -1
    os.environ[SHOW_DEFECT] = "1"
    for watch, alarm, seconds in WATCHES:
        signal.signal(alarm, _too_slow)
        signal.setitimer(watch, seconds)
    try:
        with chdir(folder), redirect_stdout(out), redirect_stderr(err):
            came_to = status(call)
    except TooSlow:
        broken = ENDLESS
    except Exception as error:  # noqa: BLE001  what nobody answered for is what is looked for
        broken = _place_of(error)
        err.write("".join(traceback.format_exception(error)))
    finally:
        for watch, _, _ in WATCHES:
            signal.setitimer(watch, 0)
        os.environ.pop(SHOW_DEFECT, None)
    return Answer(call, came_to, out.getvalue(), err.getvalue(), broken)


def _too_slow(number: int, frame: FrameType | None) -> None:
    raise TooSlow


def _place_of(error: Exception) -> str:
    last = traceback.extract_tb(error.__traceback__)[-1]
    ours = [one for one in traceback.extract_tb(error.__traceback__) if "/lint/" in one.filename]
    place = (ours or [last])[-1]
    return f"{type(error).__name__} in {Path(place.filename).name}, {place.name}"


def breaches(answers: Sequence[Answer]) -> Iterator[Breach]:
    """Every promise that one of the answers breaks, or two of them together."""
    for answer in answers:
        if answer.broken:
            yield Breach(answer.broken, answer.call, answer.err[-2000:])
            continue
        yield from _of_status(answer)
        yield from _of_text(answer)
        if "json" in answer.call and answer.out:
            yield from _of_json(answer)
        if answer.call[0] == "check":
            yield from _of_check(answer)
    yield from _text_and_json(answers)


def _of_status(answer: Answer) -> Iterator[Breach]:
    if answer.status not in STATUSES:
        yield Breach(f"status {answer.status}", answer.call, answer.err[-500:])
    if "Traceback" in answer.err or "has a defect" in answer.err:
        yield Breach("a traceback or an owned defect", answer.call, answer.err[-2000:])
    if not answer.out and not answer.err:
        yield Breach("no answer at all", answer.call, f"status {answer.status}")


def _of_text(answer: Answer) -> Iterator[Breach]:
    for stream in (answer.out, answer.err):
        seen = re.search(UNSEEN, stream)
        if seen is not None and not _is_indent(answer, seen.group()):
            around = stream[max(0, seen.start() - 60) : seen.end() + 30]
            yield Breach("an unseen character stands raw", answer.call, ascii(around))


def _is_indent(answer: Answer, sign: str) -> bool:
    """`fill` and `mend` show the lines of a file as they are, tabs too."""
    return sign == "\t" and answer.call[0] in ("fill", "mend")


def _of_json(answer: Answer) -> Iterator[Breach]:
    try:
        told = json.loads(answer.out, parse_constant=_no_number)
    except ValueError as error:
        yield Breach("JSON is not valid", answer.call, str(error))
        return
    form = FORMS.get(answer.call[0])
    if form is None or (form == "comparison" and "--against" in answer.call):
        return
    for error in validator(form).iter_errors(told):
        yield Breach(f"JSON does not fit the schema {form}", answer.call, str(error)[:500])
        return


def _no_number(text: str) -> None:
    raise ValueError(f"{text} is no JSON")


@cache
def validator(form: str) -> jsonschema_rs.Draft202012Validator:
    """The published form of a report."""
    shared = [(f"urn:gonogo:{name}", dict(schema(name))) for name in ("report", "profile")]
    registry = jsonschema_rs.Registry(shared)
    return jsonschema_rs.Draft202012Validator(dict(schema(form)), registry=registry)


def _of_check(answer: Answer) -> Iterator[Breach]:
    """No GO beside what could not be read, and a status that says what the report says."""
    if "json" in answer.call and answer.out:
        told = json.loads(answer.out)
        unread = bool(told["errors"])
        verdicts = [one["verdict"] for one in told["profiles"]]
        if answer.status != (wanted := _status_of(verdicts, unread)):
            yield Breach(
                "the status is not that of the report", answer.call, f"{wanted}: {verdicts}"
            )
    elif "NOT READ" in answer.out and answer.status == 0:
        yield Breach("GO beside a NOT READ", answer.call, answer.out[-800:])


def _status_of(verdicts: Sequence[str], unread: bool) -> int:
    if unread:
        return 3
    for verdict, came_to in (("no-go", 1), ("incomplete", 4)):
        if verdict in verdicts:
            return came_to
    return 0 if verdicts else 2


def _text_and_json(answers: Sequence[Answer]) -> Iterator[Breach]:
    """The same verdicts are given through text and through JSON."""
    text = next(
        (one for one in answers if one.call[:2] == ("check", ".") and len(one.call) == 5), None
    )
    record = next(
        (one for one in answers if one.call[:4] == ("check", ".", "--format", "json")), None
    )
    if text is None or record is None or text.broken or record.broken:
        return
    if text.status != record.status:
        yield Breach("text and JSON end otherwise", text.call, f"{text.status} {record.status}")
    if not record.out:
        return
    said = sorted(word for word in VERDICT.findall(text.out) if word != "NOT READ")
    told = sorted(_words(one["verdict"]) for one in _loaded(record)["profiles"])
    if said != told:
        yield Breach("text and JSON give other verdicts", text.call, f"{said} {told}")


def _words(verdict: str) -> str:
    return {"no-go": "NO-GO"}.get(verdict, verdict.upper().replace("-", " "))


def _loaded(answer: Answer) -> Any:
    try:
        return json.loads(answer.out)
    except ValueError:
        return {"profiles": []}


def not_counted(
    answer: Answer, profiles: Sequence[str], every: Sequence[str] = ()
) -> Iterator[Breach]:
    """Each profile under a checked folder is judged, or named as one that could not be read.

    So is every other YAML file, or it is named as what it is.
    """
    if answer.broken or not answer.out:
        return
    told = _loaded(answer)
    named = {one["file"] for one in told["profiles"]}
    for error in told.get("errors", ()):
        named |= {error["file"], *error.get("affects", ())}
    # Names start at the top of a repository, which is the folder of a file that lies in none.
    last = {name.rsplit("/", 1)[-1] for name in named}
    for path in profiles:
        if path.rsplit("/", 1)[-1] not in last:
            yield Breach("a profile is neither judged nor NOT READ", answer.call, path)
    last |= {one["file"].rsplit("/", 1)[-1] for one in told["others"]}
    for path in every:
        if clean(path).rsplit("/", 1)[-1] not in last:
            yield Breach("a YAML file is named nowhere", answer.call, path)
