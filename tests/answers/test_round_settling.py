"""Claims about proposals that are accepted: each becomes what it says, today or not at all."""

from dataclasses import replace
from datetime import date

import pytest

from daysworth.answers.round_plan import (
    PortionAnswer,
    ProposalAnswer,
    RoundPlanAnswer,
    WorkPlaceAnswer,
    round_seen_by,
)
from daysworth.answers.round_settling import accepted, check_round_day
from daysworth.domain.entries import Role, RoundOutcome
from daysworth.domain.errors import FieldsRefused
from daysworth.domain.rounds import SPRING_AND_AUTUMN
from tests.grounds import someone

TODAY = date(2026, 9, 1)

EATEN = ProposalAnswer(
    proposal="lot:L1",
    lot="L1",
    kit=None,
    food="oats",
    name="Oats",
    persons=None,
    place="P",
    place_name="Shelf",
    last_good_day=date(2026, 10, 1),
    units=5,
    mass_g=5_000.0,
    energy_kcal=19_000.0,
    kept_by="H1",
    kept_by_parcel=7,
    action="eat_first",
    action_on=date(2026, 10, 1),
    action_units=3,
    portions=[PortionAnswer(household="H1", parcel_number=7, units=3)],
    partner_name=None,
    rest_units=2,
    rest_action="discard",
    rest_on=date(2026, 10, 2),
    to_pass_on=[],
    words="eat first, by 1 October 2026: 3 by parcel 7; 2 left over",
)
PAST = replace(
    EATEN,
    proposal="lot:L2",
    lot="L2",
    action="discard",
    action_on=TODAY,
    action_units=4,
    portions=[],
    rest_units=0,
    rest_action=None,
    rest_on=None,
    words="throw away: it is past its date",
)
HANDED = replace(PAST, proposal="lot:L3", lot="L3", action="hand_off", action_on=date(2026, 9, 5))
WHOLE = replace(PAST, proposal="kit:K1", lot=None, kit="K1", action="eat_whole", action_units=1)


def plan(*proposals: ProposalAnswer) -> RoundPlanAnswer:
    """Give the plan of a round of the day with some proposals, all in one place."""
    place = WorkPlaceAnswer(place="P", place_name="Shelf", proposals=list(proposals), to_look_at=[])
    return RoundPlanAnswer(
        question="round",
        release="0",
        store="S",
        store_name="A store",
        version=4,
        as_of=TODAY,
        round_on=TODAY,
        next_round_on=date(2027, 3, 1),
        due=len(proposals),
        totals=[],
        worklist=[place],
        cautions=[],
    )


def test_what_is_eaten_first_is_eaten_and_what_is_left_over_stays_until_its_day() -> None:
    found = accepted(plan(EATEN), None, to=None)
    (decision,) = found.decisions
    assert (decision.lot, decision.units, decision.outcome) == ("L1", 3, RoundOutcome.EATEN)
    (left,) = found.left
    assert (left.units, left.words) == (
        2,
        "2 × Oats may still be eaten: thrown away only on 2 October 2026",
    )


def test_no_decision_names_a_parcel_in_its_reason() -> None:
    found = accepted(plan(EATEN, PAST, WHOLE), None, to=None)
    assert all("parcel" not in str(one.why) for one in found.decisions)
    assert all(one.why for one in found.decisions)


def test_what_is_past_is_thrown_away_at_once() -> None:
    (decision,) = accepted(plan(EATEN, PAST), ["lot:L2"], to=None).decisions
    assert (decision.outcome, decision.units) == (RoundOutcome.DISCARDED, 4)
    assert decision.why == "throw away: it is past its date"


def test_a_kit_is_taken_whole_without_units() -> None:
    (decision,) = accepted(plan(WHOLE), None, to=None).decisions
    assert (decision.kit, decision.lot, decision.units) == ("K1", None, None)
    assert decision.outcome is RoundOutcome.EATEN


def test_what_is_handed_off_says_to_whom() -> None:
    with pytest.raises(FieldsRefused, match="to: say who took what is handed off"):
        accepted(plan(HANDED), None, to=None)
    (decision,) = accepted(plan(HANDED), None, to="the shelter").decisions
    assert (decision.outcome, decision.to) == (RoundOutcome.GIVEN, "the shelter")
    today = replace(HANDED, partner_name="A kitchen", action_on=TODAY)
    (named,) = accepted(plan(today), None, to=None).decisions
    assert named.to == "A kitchen"
    (eaten,) = accepted(plan(EATEN), None, to="the shelter").decisions
    assert eaten.to is None


def test_what_goes_on_a_later_visit_stays_until_somebody_says_who_took_it() -> None:
    later = replace(HANDED, partner_name="A kitchen")
    rest = replace(
        EATEN, partner_name="A kitchen", rest_action="hand_off", rest_on=date(2026, 9, 5)
    )
    for found in (accepted(plan(PAST, later), None, to=None), accepted(plan(rest), None, to=None)):
        assert RoundOutcome.GIVEN not in {one.outcome for one in found.decisions}
        (left,) = found.left
        words = "Oats can go to A kitchen on 5 September 2026: promise it, or say who took it"
        assert left.words == f"{left.units} × {words}"
    with pytest.raises(FieldsRefused, match="can go to A kitchen on 5 September 2026"):
        accepted(plan(later), None, to=None)
    (decision,) = accepted(plan(later), None, to="a neighbour").decisions
    assert (decision.outcome, decision.to) == (RoundOutcome.GIVEN, "a neighbour")


@pytest.mark.parametrize("to", [None, "A kitchen"])
def test_what_is_past_goes_to_a_partner_by_a_promise_alone(to: str | None) -> None:
    past = replace(
        HANDED, partner_name="A kitchen", last_good_day=date(2026, 8, 31), action_on=TODAY
    )
    found = accepted(plan(PAST, past), None, to=to)
    assert [one.lot for one in found.decisions] == ["L2"]
    (left,) = found.left
    assert left.words == "4 × Oats can go to A kitchen on 1 September 2026: promise it"


def test_where_nothing_can_be_done_today_the_answer_says_so() -> None:
    later = replace(PAST, action_on=date(2026, 10, 2))
    with pytest.raises(FieldsRefused, match="thrown away only on 2 October 2026"):
        accepted(plan(later), None, to=None)
    with pytest.raises(FieldsRefused, match="nothing is due at this round"):
        accepted(plan(), None, to=None)


def test_a_proposal_that_is_not_there_is_named_by_its_number() -> None:
    with pytest.raises(FieldsRefused, match="accept number 2: there is no proposal 'lot:L9'"):
        accepted(plan(EATEN), ["lot:L1", "lot:L9"], to=None)


def test_a_proposal_that_is_accepted_twice_is_done_once() -> None:
    assert len(accepted(plan(PAST), ["lot:L2", "lot:L2"], to=None).decisions) == 1


def test_a_volunteer_sees_no_household_and_a_coordinator_all() -> None:
    whole = plan(EATEN)
    assert round_seen_by(someone(), whole) == whole
    (seen,) = round_seen_by(someone(Role.VOLUNTEER), whole).proposals
    assert (seen.kept_by, seen.kept_by_parcel) == (None, 7)
    assert [(one.household, one.parcel_number) for one in seen.portions] == [(None, 7)]


@pytest.mark.parametrize(
    ("day", "is_one"),
    [
        (date(2026, 9, 1), True),
        (date(2026, 3, 1), True),
        (date(2026, 9, 2), False),
        (date(2027, 3, 1), False),
        (date(2020, 3, 1), False),
        (date.min, False),
        (date.max, False),
    ],
)
def test_a_round_is_worked_on_days_of_the_rule_not_far_ahead_or_back(
    day: date, *, is_one: bool
) -> None:
    if is_one:
        check_round_day(SPRING_AND_AUTUMN, round_on=day, as_of=TODAY)
    else:
        with pytest.raises(FieldsRefused, match="round: "):
            check_round_day(SPRING_AND_AUTUMN, round_on=day, as_of=TODAY)


def test_a_kit_that_changed_since_it_was_put_up_is_not_eaten_unseen() -> None:
    agreed = accepted(plan(PAST, WHOLE), None, to=None, changed={"K1"})
    assert [one.lot for one in agreed.decisions] == ["L2"]
    (left,) = agreed.left
    assert (left.proposal, left.lot) == ("kit:K1", None)
    assert "look at it again" in left.words
    with pytest.raises(FieldsRefused, match="look at it again"):
        accepted(plan(WHOLE), None, to=None, changed={"K1"})
    assert len(accepted(plan(WHOLE), None, to=None, changed={"K2"}).decisions) == 1
