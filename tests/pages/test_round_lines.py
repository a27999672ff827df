"""What is handed off at a round is ticked on its day, and each time somebody says who took it."""

from datetime import date, timedelta
from functools import partial
from typing import Final

from daysworth.answers.round_plan import ProposalAnswer, RoundPlanAnswer, WorkPlaceAnswer
from daysworth.db.stores import KeptStore
from daysworth.domain.entries import RoundOutcome
from daysworth.domain.identifiers import StoreId
from daysworth.domain.settings import StoreSettings
from daysworth.pages.doors import store_address
from daysworth.pages.frame import page
from daysworth.pages.round_page import (
    MOST_TICKED,
    LineShown,
    TypedRound,
    find_faults,
    places_shown,
    take_up,
)
from daysworth.wording.catalogue import catalogue
from tests.pages.browsing import Element, read_html

TODAY: Final = date(2026, 9, 1)
LATER: Final = TODAY + timedelta(days=10)
WORDS: Final = catalogue("en-US")


def due(number: int, action: str, on: date | None, **changed: object) -> ProposalAnswer:
    """Describe what becomes of four packs of beans."""
    is_handed_off = "hand_off" in (action, changed.get("rest_action"))
    said: dict[str, object] = {
        "proposal": f"lot:L{number}",
        "lot": f"L{number}",
        "kit": None,
        "food": "black_beans_tinned",
        "name": "Black beans",
        "persons": None,
        "place": "shelf",
        "place_name": "Shelf",
        "last_good_day": LATER,
        "units": 4,
        "mass_g": 1_700.0,
        "energy_kcal": 1_500.0,
        "kept_by": None,
        "kept_by_parcel": None,
        "action": action,
        "action_on": on,
        "action_units": 4,
        "portions": [],
        "partner_name": "Night shelter" if is_handed_off else None,
        "rest_units": 0,
        "rest_action": None,
        "rest_on": None,
        "to_pass_on": [],
        "words": "",
        **changed,
    }
    return ProposalAnswer(**said)  # type: ignore[arg-type]


def plan_of(*proposals: ProposalAnswer) -> RoundPlanAnswer:
    """Describe a round with one place."""
    place = WorkPlaceAnswer(
        place="shelf", place_name="Shelf", proposals=list(proposals), to_look_at=[]
    )
    return RoundPlanAnswer(
        question="round",
        release="",
        store="fernhollow",
        store_name="Fernhollow",
        version=7,
        as_of=TODAY,
        round_on=TODAY,
        next_round_on=date(2027, 3, 1),
        due=len(proposals),
        totals=[],
        worklist=[place],
        cautions=[],
    )


def lines(*proposals: ProposalAnswer, typed: TypedRound | None = None) -> list[LineShown]:
    shown = places_shown(
        plan_of(*proposals), typed=typed or TypedRound(), changed=(), names={}, words=WORDS
    )
    return [line for place in shown for line in place.lines]


def first_ticks(*proposals: ProposalAnswer) -> list[bool]:
    return [line.is_ticked for line in lines(*proposals)]


def test_a_hand_off_is_ticked_at_first_from_its_receiving_day_on() -> None:
    assert first_ticks(due(1, "hand_off", LATER), due(2, "hand_off", TODAY)) == [False, True]
    left = partial(due, action="eat_first", on=LATER, rest_units=2, rest_action="hand_off")
    assert first_ticks(left(1, rest_on=LATER), left(2, rest_on=TODAY)) == [False, True]
    assert all(line.can_be_ticked for line in lines(left(1, rest_on=LATER)))


def test_nothing_that_throws_anything_away_is_ticked_at_first() -> None:
    now, later = due(1, "discard", TODAY), due(2, "discard", LATER)
    some = due(3, "eat_first", LATER, rest_units=1, rest_action="discard", rest_on=LATER)
    shown = lines(now, later, some)
    assert [line.is_ticked for line in shown] == [False, False, False]
    # What may still be eaten cannot be recorded as thrown away at all.
    assert [line.can_be_ticked for line in shown] == [True, False, True]


def test_who_took_it_is_the_partner_until_somebody_writes_another() -> None:
    line = due(1, "hand_off", TODAY)
    typed = TypedRound(ticked=frozenset(), takers={"lot:L1": "the school kitchen"})
    assert lines(line)[0].taker == "Night shelter"
    assert lines(line, typed=typed)[0].taker == "the school kitchen"
    assert lines(due(1, "eat_first", LATER))[0].taker is None


def test_what_is_past_and_goes_to_a_partner_is_to_be_promised_and_cannot_be_ticked() -> None:
    past = due(1, "hand_off", TODAY, last_good_day=TODAY - timedelta(days=1))
    (line,) = lines(past, typed=ticked("lot:L1", L1="Night shelter"))
    assert (line.can_be_ticked, line.is_ticked, line.taker) == (False, False, None)
    assert find_faults(plan_of(past), ticked("lot:L1"), changed=()) == {
        "accept": "fault-round-nothing"
    }
    text = drawn(past, faults={}).text
    assert (
        "It is past its date, and Night shelter takes it so on September 1, 2026: promise" in text
    )
    assert "Who took it?" not in text


def ticked(*ids: str, **takers: str) -> TypedRound:
    return TypedRound(
        ticked=frozenset(ids),
        takers={f"lot:{lot}": taker for lot, taker in takers.items()},
    )


def test_a_hand_off_without_anybody_who_took_it_is_a_fault_by_its_field() -> None:
    plan = plan_of(due(1, "eat_first", LATER), due(2, "hand_off", TODAY), due(3, "hand_off", LATER))
    typed = ticked("lot:L1", "lot:L2", L2="", L3="")
    assert find_faults(plan, typed, changed=()) == {"to-2": "fault-round-taker"}
    for taker in ("x" * 121, "two\nlines"):
        found = find_faults(plan, ticked("lot:L2", L2=taker), changed=())
        assert found == {"to-2": "fault-round-taker"}
    assert find_faults(plan, ticked("lot:L2", L2="a neighbour"), changed=()) == {}


def test_each_hand_off_is_recorded_with_whoever_took_it() -> None:
    plan = plan_of(due(1, "hand_off", TODAY), due(2, "hand_off", TODAY), due(3, "eat_first", LATER))
    typed = ticked("lot:L1", "lot:L2", "lot:L3", L1="Night shelter", L2="the school kitchen")
    found = take_up(plan, typed).decisions
    assert {(one.lot, one.outcome, one.to) for one in found} == {
        ("L1", RoundOutcome.GIVEN, "Night shelter"),
        ("L2", RoundOutcome.GIVEN, "the school kitchen"),
        ("L3", RoundOutcome.EATEN, None),
    }


def test_of_more_than_a_form_takes_the_first_are_ticked() -> None:
    shown = lines(*(due(number, "eat_first", LATER) for number in range(MOST_TICKED + 5)))
    assert [line.can_be_ticked for line in shown] == [True] * MOST_TICKED + [False] * 5


def drawn(*proposals: ProposalAnswer, faults: dict[str, str]) -> Element:
    """Draw the page of a round as a coordinator gets it."""
    plan = plan_of(*proposals)
    begun = KeptStore(
        id=StoreId(plan.store),
        name=plan.store_name,
        version=7,
        revision=1,
        settings=StoreSettings(),
    )
    answer = page(
        "round.html",
        WORDS,
        store=begun,
        plan=plan,
        places=places_shown(plan, typed=TypedRound(), changed=(), names={}, words=WORDS),
        most_ticked=MOST_TICKED,
        most_lines=200,
        begin_on=None,
        record=None,
        records=[],
        done=[],
        faults=faults,
        problem="",
        is_done=False,
        key="k",
        cautions=[],
        proof="",
        signed_in_as="Ana",
        here="",
        address=partial(store_address, "fernhollow"),
    )
    return read_html(bytes(answer.body).decode())


def test_a_hand_off_asks_who_took_it_and_on_paper_leaves_a_line_for_it() -> None:
    root = drawn(due(1, "hand_off", TODAY), faults={"to-1": "Say who took it."})
    field = root.the(id="to-1")
    assert (field.marks["name"], field.marks["value"]) == ("to-lot:L1", "Night shelter")
    assert field.marks["aria-describedby"].split() == ["to-1-fault"]
    label = root.the("label", **{"for": "to-1"})
    assert label.text == "Who took it? (Black beans)"
    assert root.the("p", **{"class": "paper"}).text == "Who took it?"
    assert "Hand it off to Night shelter on September 1, 2026." in root.text
