"""A figure that is right for another thing than its key asks for."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.commands.answer import keyed_value
from gonogo.commands.proposal import opened
from gonogo.documents.error import DocumentErrors


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        pytest.param(
            "pack: {series: 13, cell: {full_V: 54.6}}", "pack.full_V; for each of 13", id="a pack"
        ),
        pytest.param("pack: {cell: {minimum_V: 39}}", "which is pack.minimum_V", id="no count"),
        pytest.param("pack: {bms: {cell_low_V: 40}}", "which is pack.bms.low_V", id="a cutoff"),
        pytest.param("drivetrain: {circumference_mm: 127}", "rolls 798", id="a radius"),
    ],
)
def test_the_answer_names_the_slip(entry: str, says: str, tmp_path: Path) -> None:
    """A range alone leaves a newcomer with a figure that stands on the label."""
    path = tmp_path / "trike.yaml"
    path.write_text(f"gonogo: profile/1\nvehicle: {{name: Trike}}\n{entry}\n", encoding="utf-8")
    with pytest.raises(DocumentErrors) as refused:
        opened(path)
    assert says in " ".join(str(refused.value.errors[0]).split())


@pytest.mark.parametrize(
    ("answer", "entered"),
    [
        pytest.param("2.8 V", ("pack.bms.cell_low_V", 2.8), id="of a cell"),
        pytest.param("40 V", ("pack.bms.low_V", 40), id="of the whole pack"),
        pytest.param("40", ("pack.bms.low_V", 40), id="and without a unit"),
    ],
)
def test_a_cutoff_is_entered_as_the_label_has_it(answer: str, entered: tuple[str, float]) -> None:
    """Which of the two it is shows by its size."""
    assert keyed_value("pack.bms.cell_low_V", answer) == entered
