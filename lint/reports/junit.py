"""The report as test results in XML, for machines that show builds: a suite for each profile."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from ..documents.text import clean
from ..judgement.finding import Finding, Judgement, NotChecked, Verdict
from ..judgement.verdict import reached
from .check_totals import Checked, Unread, coverage, verdict_words
from .finding_words import against_limit, missing_words, modes_in_words
from .known import mark_words
from .layout import Page
from .profile_share import Share, share
from .surroundings import house_words, tried_in_words

Ending = Literal["passed", "failure", "error", "skipped"]
NOT_PASSED: tuple[Ending, ...] = ("failure", "error", "skipped")
# Over a waived danger nothing passed, and nothing failed.
VERDICT_ENDINGS: dict[Verdict, Ending] = {
    "go": "passed",
    "go-with-waivers": "skipped",
    "no-go": "failure",
    "incomplete": "error",
}
DECIMALS = 6  # of seconds
COUNTED = {"failure": "failures", "error": "errors", "skipped": "skipped"}


@dataclass(frozen=True, slots=True)
class Case:
    """One test case of a profile: how it ended, in one sentence, and what is to be read below it.

    `at` is the file and the line to look at, where it is another than the profile's first. What is
    measured is how long a profile took: the case of its verdict has all the `seconds`, so that they
    add up.
    """

    name: str
    file: str
    ending: Ending
    message: str = ""
    text: str = ""
    at: tuple[str, int] | None = None
    seconds: float = 0.0


BODY_RECORDS = (Case,)  # what a body is made of, for the store of results


def body(judgement: Judgement, page: Page) -> list[Case]:
    """A case for the verdict, for each finding and for each rule not checked."""
    part = share(judgement)
    words = f"{verdict_words(part)}: {coverage(part)}, {part.fitness}"
    file = judgement.profile.file
    return [
        Case("verdict", file, _ending(part), words, part.untried),
        *(_finding(finding, file) for finding in judgement.findings),
        *(_waiting(rule, file, judgement) for rule in judgement.not_checked),
    ]


def _ending(part: Share) -> Ending:
    """How the verdict ends: one that only a list of known findings keeps quiet did not pass."""
    ending = VERDICT_ENDINGS[part.counts_as]
    return "skipped" if ending == "passed" and part.verdict != part.counts_as else ending


def _finding(finding: Finding, file: str) -> Case:
    modes = modes_in_words(finding.modes, finding.everywhere)
    place = f"{finding.place.file} line {finding.place.line}"
    inputs = (f"{one.entered_as or one.quantity}: {one.place}" for one in finding.related)
    lines = [place, modes, against_limit(finding), finding.because, finding.remedy, *inputs]
    text = "\n".join(clean(line) for line in lines if line)
    name = " ".join(part for part in (finding.rule.id, *finding.motors, modes) if part)
    at = (finding.place.file or file, finding.place.line)
    if finding.waived:
        until = f"waived until {finding.waived.until}: {finding.waived.reason}"
        word = "WAIVED DANGER: " if finding.severity == "danger" else ""
        return Case(name, file, "skipped", f"{word}{finding.message} ({until})", text, at)
    if finding.known and finding.known.state == "recorded":
        told = f"known {finding.severity}: {finding.message} ({mark_words(finding)})"
        return Case(name, file, "skipped", told, text, at)
    if finding.severity == "advice":
        return Case(name, file, "passed", "", f"advice: {clean(finding.message)}\n{text}", at)
    return Case(name, file, "failure", f"{finding.severity}: {finding.message}", text, at)


def _waiting(rule: NotChecked, file: str, judgement: Judgement) -> Case:
    """A required rule without its reading is an error where it costs the verdict, else a case not run."""
    name = f"{rule.rule.id} {modes_in_words(rule.modes, False)}".rstrip()
    verdict = judgement.verdict if judgement.known is None else judgement.known.verdict
    is_known = rule.known is not None and rule.known.state == "recorded"
    costs = verdict == "incomplete" and reached(rule.gate, judgement.stage) and not is_known
    ending: Ending = "error" if costs else "skipped"
    return Case(name, file, ending, f"not checked, missing: {missing_words(rule)}")


def report(checked: Checked, page: Page) -> str:
    """All suites; a document that could not be read is a suite of errors."""
    suites: dict[str, list[Case]] = {_title(share): _timed(share) for share in checked.shares}
    held = {_title(share): house_words(share) for share in checked.shares}
    tried = {_title(share): tried_in_words(share.tried, share.file) for share in checked.shares}
    for error in checked.unread:
        suites.setdefault(error.file, []).append(_unread(error))
    for file, error in _waiting_for(checked):
        suites.setdefault(file, []).append(_not_checked(file, error))
    every = [case for cases in suites.values() for case in cases]
    root = Element("testsuites", {"name": "gonogo", **_counts(every)})
    for name, cases in suites.items():
        suite = SubElement(root, "testsuite", {"name": _allowed(name), **_counts(cases)})
        suite.set("file", _allowed(cases[0].file))
        if name in held:
            properties = SubElement(suite, "properties")
            SubElement(properties, "property", name="house", value=_allowed(held[name]))
            if tried[name]:
                SubElement(properties, "property", name="tried_values", value=_allowed(tried[name]))
        for case in cases:
            _add(suite, case)
    indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, "unicode") + "\n"


def _waiting_for(checked: Checked) -> Iterator[tuple[str, Unread]]:
    """The profiles that wait for an error in another file, each with the first such error."""
    told = {share.file for share in checked.shares} | {error.file for error in checked.unread}
    for error in checked.unread:
        for file in error.affects:
            if file not in told:
                told.add(file)
                yield file, error


def _not_checked(file: str, error: Unread) -> Case:
    """A profile without a verdict is a case too, or a machine that shows builds would lose it."""
    place = f"{error.file} line {error.line}"
    return Case("verdict", file, "error", f"NOT READ: {place}: {error.message}")


def _timed(share: Share) -> list[Case]:
    """The cases of a profile, that of its verdict with the time that was measured."""
    verdict, *others = share.body
    return [replace(verdict, seconds=round(share.seconds, DECIMALS)), *others]


def _title(share: Share) -> str:
    return f"{share.file} ({share.name})"


def _unread(error: Unread) -> Case:
    waiting = [file for file in error.affects if file != error.file]
    text = f"{error.file} line {error.line}, column {error.column}"
    text += "".join(f"\nnot checked for it: {file}" for file in waiting)
    at = (error.file, error.line)
    return Case(f"line {error.line}", error.file, "error", error.words, text, at)


def _counts(cases: Sequence[Case]) -> dict[str, str]:
    endings = [case.ending for case in cases]
    counts = {COUNTED[ending]: str(endings.count(ending)) for ending in NOT_PASSED}
    seconds = _in_seconds(sum(case.seconds for case in cases))
    return {"tests": str(len(endings)), **counts, "time": seconds}


def _in_seconds(seconds: float) -> str:
    """A time to the microsecond, without an exponent."""
    return f"{seconds:.{DECIMALS}f}"


def _add(suite: Element, case: Case) -> None:
    file, line = case.at or (case.file, 1)
    element = SubElement(
        suite,
        "testcase",
        name=_allowed(case.name),
        classname=_allowed(case.file),
        file=_allowed(file),
        line=str(max(line, 1)),
        time=_in_seconds(case.seconds),
    )
    if case.ending != "passed":
        ending = SubElement(element, case.ending, message=_allowed(case.message))
        ending.text = _allowed_lines(case.text)
    elif case.text:
        SubElement(element, "system-out").text = _allowed_lines(case.text)


def _allowed_lines(text: str) -> str:
    return "\n".join(map(_allowed, text.split("\n")))


def _allowed(text: str) -> str:
    """The text without what XML 1.0 cannot hold."""
    return "".join(letter for letter in clean(text) if letter not in "\ufffe\uffff")
