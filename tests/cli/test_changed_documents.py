"""Whatever is put in place of any part of a snapshot, it is read or refused, and never breaks."""

from contextlib import suppress
from typing import Final

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.answers.snapshot_file import read_snapshot, write_snapshot
from daysworth.domain.errors import DaysworthError, SnapshotRefused
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from tests.cli.documents import Json, changed, good, nodes, written

DOCUMENT: Final = good()
NODES: Final = tuple(nodes(DOCUMENT))
SCENARIO: Final = Scenario(horizon_days=30)
SCALARS: Final = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=20),
    st.sampled_from((0, 1, -1, 2**53, 10**40, 0.5, 1e-300, 1e308, "", "2026", "2099-12-31")),
    st.dates().map(str),
)
VALUES: Final = st.one_of(
    SCALARS,
    # What stands elsewhere in the document is more often nearly right.
    st.sampled_from([value for _, value in NODES]),
    st.recursive(
        SCALARS,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
        max_leaves=6,
    ),
)


@st.composite
def documents(draw: st.DrawFn) -> Json:
    """Draw the good document with one node, or a few, replaced by something else."""
    document = DOCUMENT
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from([path for path, _ in nodes(document)]))
        document = changed(document, path, draw(VALUES))
    return document


def read_or_refused(document: Json) -> Snapshot | None:
    """Read a document; None: it was refused as a snapshot is."""
    try:
        return read_snapshot(written(document))
    except SnapshotRefused:
        return None


@settings(
    max_examples=300,
    derandomize=True,
    database=None,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
@given(documents())
def test_a_changed_document_is_read_and_answered_or_refused(document: Json) -> None:
    snapshot = read_or_refused(document)
    if snapshot is None:
        return
    assert read_snapshot(write_snapshot(snapshot)) == snapshot
    with suppress(DaysworthError):
        answer = answer_coverage(snapshot, snapshot.taken_on, scenario=SCENARIO)
        assert to_json(answer).startswith("{")


def test_the_changes_reach_both_what_is_read_and_what_is_refused() -> None:
    swapped = [read_or_refused(changed(DOCUMENT, path, "1")) for path, _ in NODES[::7]]
    assert None in swapped
    assert any(snapshot is not None for snapshot in swapped)
