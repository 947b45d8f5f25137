"""The report as test results in XML, for machines that show builds: a suite for each profile."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from ..documents.text import clean
from ..judgement.finding import Finding, Judgement, NotChecked, Verdict
from ..judgement.verdict import reached
from .check_totals import Checked, Share, Unread, coverage, share, verdict_words
from .finding_words import against_limit, missing_words, modes_in_words
from .layout import Page
from .surroundings import house_words

Ending = Literal["passed", "failure", "error", "skipped"]
NOT_PASSED: tuple[Ending, ...] = ("failure", "error", "skipped")
# Over a waived danger nothing passed, and nothing failed.
VERDICT_ENDINGS: dict[Verdict, Ending] = {
    "go": "passed",
    "go-with-waivers": "skipped",
    "no-go": "failure",
    "incomplete": "error",
}
COUNTED = {"failure": "failures", "error": "errors", "skipped": "skipped"}


@dataclass(frozen=True, slots=True)
class Case:
    """One test case: how it ended, in one sentence, and what is to be read below it."""

    name: str
    file: str
    ending: Ending
    message: str = ""
    text: str = ""


BODY_RECORDS = (Case,)  # what a body is made of, for the store of results


def body(judgement: Judgement, page: Page) -> list[Case]:
    """A case for the verdict, for each finding and for each rule not checked."""
    verdict = judgement.verdict
    part = share(judgement)
    words = f"{verdict_words(part)}: {coverage(part)}, {part.fitness}"
    file = judgement.profile.file
    return [
        Case("verdict", file, VERDICT_ENDINGS[verdict], words),
        *(_finding(finding, file) for finding in judgement.findings),
        *(_waiting(rule, file, judgement) for rule in judgement.not_checked),
    ]


def _finding(finding: Finding, file: str) -> Case:
    modes = modes_in_words(finding.modes, finding.everywhere)
    place = f"{finding.place.file} line {finding.place.line}"
    lines = [place, modes, against_limit(finding), finding.because, finding.remedy]
    text = "\n".join(clean(line) for line in lines if line)
    name = " ".join(part for part in (finding.rule.id, *finding.motors, modes) if part)
    if finding.waived:
        until = f"waived until {finding.waived.until}: {finding.waived.reason}"
        word = "WAIVED DANGER: " if finding.severity == "danger" else ""
        return Case(name, file, "skipped", f"{word}{finding.message} ({until})", text)
    if finding.severity == "advice":
        return Case(name, file, "passed", "", f"advice: {clean(finding.message)}\n{text}")
    return Case(name, file, "failure", f"{finding.severity}: {finding.message}", text)


def _waiting(rule: NotChecked, file: str, judgement: Judgement) -> Case:
    """A required rule without its reading is an error where it costs the verdict, else a case not run."""
    name = f"{rule.rule.id} {modes_in_words(rule.modes, False)}".rstrip()
    costs = judgement.verdict == "incomplete" and reached(rule.gate, judgement.stage)
    ending: Ending = "error" if costs else "skipped"
    return Case(name, file, ending, f"not checked, missing: {missing_words(rule)}")


def report(checked: Checked, page: Page) -> str:
    """All suites; a document that could not be read is a suite of errors."""
    suites: dict[str, list[Case]] = {_title(share): share.body for share in checked.shares}
    held = {_title(share): house_words(share) for share in checked.shares}
    for error in checked.unread:
        suites.setdefault(error.file, []).append(_unread(error))
    every = [case for cases in suites.values() for case in cases]
    root = Element("testsuites", {"name": "gonogo", **_counts(every)})
    for name, cases in suites.items():
        suite = SubElement(root, "testsuite", {"name": _allowed(name), **_counts(cases)})
        if name in held:
            properties = SubElement(suite, "properties")
            SubElement(properties, "property", name="house", value=_allowed(held[name]))
        for case in cases:
            _add(suite, case)
    indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, "unicode") + "\n"


def _title(share: Share) -> str:
    return f"{share.file} ({share.name})"


def _unread(error: Unread) -> Case:
    return Case(f"line {error.line}", error.file, "error", error.message)


def _counts(cases: Iterable[Case]) -> dict[str, str]:
    endings = [case.ending for case in cases]
    counts = {COUNTED[ending]: str(endings.count(ending)) for ending in NOT_PASSED}
    return {"tests": str(len(endings)), **counts}


def _add(suite: Element, case: Case) -> None:
    file = _allowed(case.file)
    element = SubElement(suite, "testcase", name=_allowed(case.name), classname=file, file=file)
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
