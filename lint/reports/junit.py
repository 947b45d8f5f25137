"""The report as test results in XML, for machines that show builds: a suite for each profile."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from ..documents.text import clean
from ..judgement.finding import Finding, Judgement, NotJudged
from .check_totals import VERDICT_WORDS, Checked, Share, Unread, modes_in_words
from .finding_words import found_against, wanted
from .layout import Page

Case = tuple[str, str]  # the kind of its outcome ("" for passed) and its lines


def body(judgement: Judgement, page: Page) -> list[Case]:
    """A case for the verdict, for each finding and for each rule not judged."""
    verdict = judgement.verdict
    said = f"{VERDICT_WORDS[verdict]}: {judgement.judged} rules judged"
    kind = {"no-go": "failure", "incomplete": "error"}.get(verdict, "")
    file = judgement.profile.file
    return [
        _case("verdict", file, kind, said, ""),
        *(_finding(finding, file) for finding in judgement.findings),
        *(_waiting(one, file, verdict == "incomplete") for one in judgement.not_judged),
    ]


def _case(name: str, file: str, kind: str, said: str, text: str) -> Case:
    head = f"<testcase name={_quoted(name)} classname={_quoted(file)} file={_quoted(file)}"
    if not kind:
        inside = f"<system-out>{_escaped(text)}</system-out>" if text else ""
        return kind, f"{head}>{inside}</testcase>" if inside else f"{head}/>"
    return kind, f"{head}><{kind} message={_quoted(said)}>{_escaped(text)}</{kind}></testcase>"


def _finding(finding: Finding, file: str) -> Case:
    where = modes_in_words(finding.modes, finding.everywhere)
    place = f"{finding.place.file} line {finding.place.line}"
    lines = [place, where, found_against(finding), finding.because, finding.remedy]
    text = "\n".join(clean(line) for line in lines if line)
    name = f"{finding.rule.id} {where}".rstrip()
    if finding.waived:
        said = f"waived until {finding.waived.until}: {finding.waived.reason}"
        return _case(name, file, "skipped", f"{finding.message} ({said})", text)
    if finding.severity == "caution":
        return _case(name, file, "", "", f"caution: {clean(finding.message)}\n{text}")
    return _case(name, file, "failure", f"{finding.severity}: {finding.message}", text)


def _waiting(one: NotJudged, file: str, incomplete: bool) -> Case:
    """A gate without its reading is an error where it costs the verdict, else a case not run."""
    name = f"{one.rule.id} {modes_in_words(one.modes, False)}".rstrip()
    kind = "error" if incomplete and one.rule.gate else "skipped"
    return _case(name, file, kind, f"not judged, waits for {wanted(one)}", "")


def _suite(name: str, cases: list[Case]) -> str:
    lines = "\n".join(f"    {line}" for _, line in cases)
    return f"  <testsuite name={_quoted(name)} {_counts(cases)}>\n{lines}\n  </testsuite>"


def _counts(cases: list[Case]) -> str:
    kinds = [kind for kind, _ in cases]
    return (
        f'tests="{len(cases)}" failures="{kinds.count("failure")}" '
        f'errors="{kinds.count("error")}" skipped="{kinds.count("skipped")}"'
    )


def _unread(error: Unread) -> Case:
    return _case(f"line {error.line}", error.file, "error", error.message, "")


def report(checked: Checked, page: Page) -> str:
    """All suites; a document that could not be read is a suite of errors."""
    suites: list[tuple[str, list[Case]]] = [
        (_title(share), [tuple(case) for case in share.body]) for share in checked.shares
    ]
    for file in dict.fromkeys(error.file for error in checked.unread):
        suites.append((file, [_unread(error) for error in checked.unread if error.file == file]))
    counts = _counts([case for _, cases in suites for case in cases])
    inside = "\n".join(_suite(name, cases) for name, cases in suites)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<testsuites name="gonogo" {counts}>\n{inside}\n</testsuites>\n'
    )


def _title(share: Share) -> str:
    return f"{share.file} ({share.name})"


def _escaped(text: str) -> str:
    return escape("\n".join(_allowed(line) for line in text.split("\n")))


def _quoted(text: str) -> str:
    return quoteattr(_allowed(text))


def _allowed(text: str) -> str:
    """The text without what XML 1.0 cannot hold."""
    return "".join(letter for letter in clean(text) if letter not in "\ufffe\uffff")
