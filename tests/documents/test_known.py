"""The list of known findings: what is written is read back as it was, whatever the names."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from gonogo.documents.files import WorkingTree
from gonogo.documents.known import (
    Known,
    KnownAsk,
    KnownFinding,
    KnownVehicle,
    known_text,
    read_known,
)
from gonogo.documents.repository import Repository
from hypothesis import given
from hypothesis import strategies as st

WORDS = st.text(
    st.characters(codec="ascii", min_codepoint=32, max_codepoint=126), min_size=1, max_size=20
)
RULES = st.from_regex(r"\A[a-z][a-z0-9-]{0,20}\Z")
SIZES = st.floats(0, 1e6).map(lambda size: round(size, 3))
DAYS = st.dates().map(lambda day: day.isoformat())
FINDINGS = st.builds(
    KnownFinding,
    rule=RULES,
    severity=st.sampled_from(("danger", "fault", "advice")),
    entry=WORDS,
    recorded=DAYS,
    modes=st.lists(WORDS, max_size=3, unique=True).map(tuple),
    motors=st.lists(WORDS, max_size=2, unique=True).map(tuple),
    value=st.one_of(st.none(), SIZES, st.booleans(), WORDS),
    unit=st.sampled_from(("", "A", "V", "degC")),
    at_most=st.one_of(st.none(), SIZES),
    at_least=st.one_of(st.none(), SIZES),
    excess=st.one_of(st.none(), SIZES),
    reads=st.lists(WORDS, max_size=4, unique=True).map(tuple),
    place=st.none(),
)
ASKS = st.builds(
    KnownAsk, rule=RULES, missing=st.lists(WORDS, max_size=3, unique=True).map(tuple), recorded=DAYS
)
VEHICLES = st.builds(
    KnownVehicle,
    file=WORDS,
    id=st.one_of(st.none(), WORDS),
    findings=st.lists(FINDINGS, max_size=3).map(tuple),
    asks=st.lists(ASKS, max_size=2).map(tuple),
)


def read(text: str) -> Known:
    with TemporaryDirectory() as folder:
        (Path(folder) / "known.yaml").write_text(text, encoding="utf-8")
        return read_known(Repository(WorkingTree(Path(folder))), "known.yaml")


def plain(vehicle: KnownVehicle) -> KnownVehicle:
    """Without the places, which only a list that was read has."""
    return vehicle._replace(findings=tuple(one._replace(place=None) for one in vehicle.findings))


@given(st.lists(VEHICLES, max_size=3, unique_by=lambda one: one.file))
def test_a_list_is_read_back_as_it_was_written(vehicles: list[KnownVehicle]) -> None:
    """A name like `yes`, `12` or `a: b` is still that name, and a size still that size."""
    told = sorted((one for one in vehicles if one.findings or one.asks), key=lambda one: one.file)
    assert [plain(one) for one in read(known_text(vehicles)).vehicles] == told


def test_an_empty_list_is_one() -> None:
    """A shop in which nothing is found has a list with nothing on it."""
    assert read(known_text(())).vehicles == ()


def test_a_vehicle_is_found_by_its_id_or_else_by_its_file() -> None:
    """Renamed with its id it is the same; another id in its file is another vehicle."""
    finding = KnownFinding("some-rule", "fault", "settings.pole_pairs", "2026-11-25")
    known = Known("known.yaml", (KnownVehicle("a.yaml", "a-1", (finding,)),))
    assert known.of("b.yaml", "a-1").findings == (finding,)
    assert known.of("a.yaml", None).findings == (finding,)
    assert known.of("a.yaml", "a-2").findings == ()
    assert known.of("b.yaml", None).findings == ()
