"""What a round proposes for a visit is said with whom and when, and that it is past if it is."""

from dataclasses import replace
from datetime import timedelta

import pytest

from daysworth.answers.round_plan import answer_round
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.partners import AcceptanceRule
from tests.planners.one_home import store
from tests.planners.receiving import partner_on
from tests.planners.small_stores import AS_OF
from tests.planners.test_rotation_round import good_for

EATEN = "eat first, by 15 May 2027: 2 by parcel 3; 97 left over: "


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "hand off to Night shelter on 15 May 2027, who takes it past its date"),
        (1, "hand off to Night shelter on 15 May 2027, who takes it past its date"),
        (2, "hand off to Night shelter on 15 May 2027"),
    ],
)
def test_a_hand_off_past_its_date_is_said_to_be_one(days: int, words: str) -> None:
    takes = partner_on(AS_OF + timedelta(days=1), rules=(AcceptanceRule(least_days_left=-9),))
    held = good_for(days, units=99, label_kind=LabelKind.BEST_BY)
    snapshot = replace(store(lots=[held]), partners=(takes,))
    home = snapshot.households[0].id
    (found,) = answer_round(snapshot, AS_OF, parcel_numbers={home: 3}).proposals
    assert found.words.endswith(words)
    assert (found.words == f"{EATEN}{words}") is (days == 2)
