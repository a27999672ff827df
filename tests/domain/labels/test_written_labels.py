"""Read sixty labels as a person would who knows the trade, and find no less and no more."""

import pytest

from tests.domain.labels.signs import contained, in_doubt, named, possible
from tests.domain.labels.written_labels import LABELS, Label


@pytest.mark.parametrize("label", LABELS, ids=lambda label: label.why)
def test_a_label_is_a_sign_of_what_it_says_and_of_nothing_else(label: Label) -> None:
    assert contained(label.text) == named(label.contained)
    assert possible(label.text) == named(label.possible)
    assert in_doubt(label.text) == named(label.in_doubt)


def test_there_are_sixty_labels_or_more() -> None:
    assert len({label.text for label in LABELS}) >= 60
