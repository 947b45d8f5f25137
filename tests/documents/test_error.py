"""An error says where, what was found and what was wanted, and survives a trip between processes."""

from __future__ import annotations

import pickle

import pytest
from gonogo.documents import error as errors
from gonogo.documents.error import (
    DocumentError,
    DocumentErrors,
    ExpressionError,
    GonogoError,
    NoProfile,
    RevisionError,
    WrongValue,
)
from gonogo.documents.location import Place

CLASSES = [
    sort
    for sort in vars(errors).values()
    if isinstance(sort, type) and issubclass(sort, DocumentError)
]
FIELDS = ("alder.yaml", 3, 5, "`200 A`", "a number of amperes", "200")


@pytest.mark.parametrize("sort", CLASSES)
def test_an_error_of_a_document_is_a_sentence_with_a_place(sort: type[DocumentError]) -> None:
    """The rider reads where to look, what is there, and what to write instead."""
    error = sort(*FIELDS, text="  battery_current_A: 200 A")
    assert str(error) == (
        "alder.yaml, line 3, column 5: Found `200 A`; expected a number of amperes. "
        "Did you mean `200`?"
    )
    assert error.place == Place("alder.yaml", 3, 5)
    assert error.__doc__


@pytest.mark.parametrize("sort", CLASSES)
def test_an_error_passes_from_process_to_process(sort: type[DocumentError]) -> None:
    """Many profiles are checked by several processes, and nothing may be lost on the way."""
    error = pickle.loads(pickle.dumps(sort(*FIELDS, text="line")))
    assert (type(error), error.fields, error.text) == (sort, FIELDS, "line")
    several = pickle.loads(pickle.dumps(DocumentErrors([error])))
    assert [one.fields for one in several.errors] == [FIELDS]


def test_errors_come_in_the_order_of_the_file() -> None:
    """Whoever puts them right goes through the file once."""
    first, second = (WrongValue("alder.yaml", line, 1, "x", "y") for line in (2, 10))
    several = DocumentErrors([second, first, second])
    assert several.errors == (first, second)
    assert str(several) == f"{first}\n{second}"


def test_an_error_of_an_expression_names_its_key() -> None:
    """A rule's author finds the expression even before its file is known."""
    error = ExpressionError("pack.voltz", "a quantity", "pack.volts", key="at_most")
    assert str(error) == (
        "Found pack.voltz in `at_most`; expected a quantity. Did you mean `pack.volts`?"
    )


def test_a_call_that_makes_no_sense_says_so() -> None:
    """Two sentences for the two slips of the command line that concern documents."""
    assert "No profile under here, there" in str(NoProfile(["here", "there"]))
    assert str(RevisionError("`x` is no revision.")) == "`x` is no revision."
    assert issubclass(NoProfile, GonogoError)
