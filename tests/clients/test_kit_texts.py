"""Kits and rounds as text: what matters first, the cautions last, nothing wider than 80 columns."""

import json
from collections.abc import Callable
from dataclasses import fields
from datetime import date
from types import UnionType
from typing import Final, get_args, get_origin, get_type_hints

import pytest

from daysworth.answers import kit_check as checks
from daysworth.answers import (
    kit_contents,
    kit_list,
    kit_picking,
    kit_plan,
    patterns,
    round_plan,
    round_record,
    round_settling,
    suitability_in_words,
    take_along,
)
from daysworth.domain.identifiers import HouseholdId, LotId
from daysworth.domain.wares import WareKind
from daysworth.planners.kit_check import CheckAsked, ItemAsked
from daysworth.reference.cautions import CautionRow
from daysworth_client import (
    answers,
    kit_answers,
    kit_plan_answers,
    round_answers,
    suitability_answers,
)
from daysworth_client.kit_check import kit_check_text
from daysworth_client.kits_list import kits_text
from daysworth_client.round_plan import round_plan_text
from daysworth_client.round_records import rounds_text
from daysworth_client.shapes import read_as
from daysworth_client.take_along import take_along_text
from tests.cli.kit_files import AS_OF, store_with_kits
from tests.clients.written_kits import a_kit, a_record, some_rounds

PAIRS: Final = (
    (kit_answers.KitFoodPart, kit_contents.KitFoodAnswer),
    (kit_answers.KitWarePart, kit_contents.KitWareAnswer),
    (kit_answers.RuleFigurePart, kit_contents.RuleFigureAnswer),
    (kit_answers.RulePart, kit_contents.RuleAnswer),
    (kit_answers.KitWarningPart, kit_contents.KitWarningAnswer),
    (kit_answers.WaiverPart, kit_contents.WaiverAnswer),
    (kit_answers.KitAllergensPart, kit_contents.KitAllergensAnswer),
    (kit_answers.KitCheckAnswer, checks.KitCheckAnswer),
    (kit_answers.KitInListPart, kit_list.KitSummary),
    (kit_answers.TakenKitPart, take_along.TakenKitAnswer),
    (kit_answers.LeftKitPart, take_along.LeftKitAnswer),
    (kit_answers.TakeAlongAnswer, take_along.TakeAlongAnswer),
    (kit_plan_answers.WantedPart, patterns.WantedAnswer),
    (kit_plan_answers.SlotPart, patterns.SlotAnswer),
    (kit_plan_answers.PatternWaiverPart, patterns.PatternWaiver),
    (kit_plan_answers.PatternPart, patterns.PatternAnswer),
    (kit_plan_answers.KindMadePart, kit_plan.KindMadeAnswer),
    (kit_plan_answers.KitsAlikePart, kit_plan.KitsAlikeAnswer),
    (kit_plan_answers.StagePart, kit_plan.StageAnswer),
    (kit_plan_answers.PickLinePart, kit_picking.PickLineAnswer),
    (kit_plan_answers.PickPlacePart, kit_picking.PickPlaceAnswer),
    (kit_plan_answers.KitPlanTotalsPart, kit_plan.KitPlanTotals),
    (kit_plan_answers.KitPlanAnswer, kit_plan.KitPlanAnswer),
    (round_answers.PortionPart, round_plan.PortionAnswer),
    (round_answers.ProposalPart, round_plan.ProposalAnswer),
    (round_answers.LookedAtPart, round_plan.LookedAtAnswer),
    (round_answers.WorkPlacePart, round_plan.WorkPlaceAnswer),
    (round_answers.ActionTotalPart, round_plan.ActionTotal),
    (round_answers.RoundPlanAnswer, round_plan.RoundPlanAnswer),
    (round_answers.OutcomeTotalPart, round_record.OutcomeTotal),
    (round_answers.RoundRecordPart, round_record.RoundRecordAnswer),
    (round_answers.RoundsAnswer, round_record.RoundsAnswer),
    (round_answers.RoundLinePart, round_record.RoundLineAnswer),
    (round_answers.LeftPart, round_settling.LeftAnswer),
    (round_answers.RoundSettledAnswer, round_settling.RoundSettledAnswer),
)
OF_JSON: Final = (
    {date: str}
    | {theirs: ours for ours, theirs in PAIRS}
    | {
        CautionRow: answers.CautionPart,
        suitability_in_words.FindingAnswer: suitability_answers.FindingPart,
        suitability_in_words.PackAnswer: suitability_answers.PackPart,
    }
)


def in_json(type_: object) -> object:
    """Give the type that a value of the service's has in JSON."""
    if get_origin(type_) is list:
        return list, in_json(get_args(type_)[0])
    if isinstance(type_, UnionType):
        return frozenset(in_json(part) for part in get_args(type_))
    return OF_JSON.get(type_, type_)  # type: ignore[call-overload]


@pytest.mark.parametrize(("ours", "theirs"), PAIRS, ids=lambda one: one.__name__)
def test_the_clients_names_and_types_are_the_services(ours: type, theirs: type) -> None:
    said = get_type_hints(theirs)
    assert list(get_type_hints(ours)) == [field.name for field in fields(theirs)]
    assert {name: in_json(type_) for name, type_ in get_type_hints(ours).items()} == {
        name: in_json(type_) for name, type_ in said.items()
    }


def is_narrow(text: str) -> bool:
    return max(len(line) for line in text.splitlines()) <= 80


def checked(**asked: object) -> kit_answers.KitCheckAnswer:
    items = (ItemAsked(lot=LotId("L010"), units=4), ItemAsked(lot=LotId("L001"), units=2))
    answer = checks.answer_kit_check(
        store_with_kits(),
        AS_OF,
        asked=CheckAsked(items=items, wares={WareKind.FORK: 4}, **asked),  # type: ignore[arg-type]
    )
    return read_as(kit_answers.KitCheckAnswer, json.loads(checks.kit_check_json(answer)))


def test_a_check_names_every_rule_with_its_figures_and_says_no_first() -> None:
    answer = checked(persons=4)
    text = kit_check_text(answer)
    assert is_narrow(text)
    assert text.index("No, not as it is: ") < text.index("Rule by rule") < text.index("Cautions")
    said = " ".join(text.split())
    for rule in answer["rules"]:
        assert " ".join(rule["title"].split()) in said
        assert " ".join(rule["words"].split()) in said
    assert text.count("  FAILS   ") == sum(one["status"] == "failed" for one in answer["rules"])
    assert "Nobody in particular is named" in text
    assert "Allergens\n  in it: fish\n" in text


def test_a_check_for_a_household_tells_what_does_not_suit_it_and_what_does_instead() -> None:
    answer = checked(household=HouseholdId("H05"))
    text = kit_check_text(answer)
    assert is_narrow(text)
    assert "Is this a complete meal for the 5 people of household H05?" in text
    said = " ".join(text.split())
    for one in answer["warnings"]:
        assert f"- {one['food_name']}: NOT" in said
        assert one["instead"] is None or f"Instead: {one['instead']['food_name']}" in said
    assert answer["warnings"] != []


def test_a_kit_that_passes_says_so_and_for_anybody_that_labels_are_to_be_read() -> None:
    answer = checked(persons=4)
    for rule in answer["rules"]:
        rule["status"] = "passed"
    text = kit_check_text({**answer, "is_sound": True})
    assert "Yes: it passes every rule" in text
    assert "read the labels for each" in " ".join(text.split())


def test_a_waived_rule_says_why() -> None:
    answer = checked(persons=4)
    answer["rules"][0]["status"], answer["rules"][0]["why_waived"] = "waived", "It is a snack."
    assert "waived, because: It is a snack." in kit_check_text(answer)


def taken(**asked: object) -> kit_answers.TakeAlongAnswer:
    answer = take_along.answer_take_along(
        store_with_kits(),
        AS_OF,
        parcel_numbers={HouseholdId("H05"): 5},
        **asked,  # type: ignore[arg-type]
    )
    return read_as(kit_answers.TakeAlongAnswer, json.loads(take_along.take_along_json(answer)))


def test_what_needs_no_opener_is_taken_first_and_a_kit_without_its_own_says_to_take_one() -> None:
    answer = taken()
    text = take_along_text(answer)
    assert is_narrow(text)
    names = [one["name"] for one in answer["kits"]]
    assert [text.index(name) for name in names] == sorted(text.index(name) for name in names)
    assert names[0] == "Jerky and nuts"
    assert text.count("TAKE AN OPENER") == 2
    assert "its opener is in it" in " ".join(text.split())


def test_what_stays_says_why_and_nothing_to_take_says_so() -> None:
    text = take_along_text(taken(household=HouseholdId("H05"), most_kg=0.1))
    assert is_narrow(text)
    assert "No kit here can be taken" in text
    assert "it is too heavy to take as well" in " ".join(text.split())
    assert "it is not known whether all of it suits this household" in " ".join(text.split())


def planned() -> round_answers.RoundPlanAnswer:
    answer = round_plan.answer_round(
        store_with_kits(), AS_OF, parcel_numbers={HouseholdId("H05"): 5}
    )
    return read_as(round_answers.RoundPlanAnswer, json.loads(round_plan.round_json(answer)))


def test_a_round_is_told_place_by_place_in_walking_order_with_one_proposal_each() -> None:
    answer = planned()
    text = round_plan_text(answer)
    assert is_narrow(text)
    assert "the round of 1 September 2026" in text
    places = [text.index(f"\n{place['place_name']}\n") for place in answer["worklist"]]
    assert places == sorted(places)
    said = " ".join(text.split())
    for place in answer["worklist"]:
        for one in place["proposals"]:
            assert " ".join(one["words"].split()) in said
    assert "kit   Beef stew (K-STEW)" in text
    assert text.index("To look at") < text.index("Cautions")


def test_a_store_that_has_had_no_round_says_when_the_next_is() -> None:
    answer = planned()
    answer["round_on"], answer["worklist"] = None, []
    text = round_plan_text(answer)
    assert "No round has been held within two years" in text
    assert "The next is on 1 March 2027" in text
    assert "there is none" in round_plan_text({**answer, "next_round_on": None})


def test_a_lot_that_a_household_keeps_and_what_a_kit_leaves_to_be_given_are_told() -> None:
    answer = planned()
    first = answer["worklist"][0]["proposals"][0]
    first["kept_by_parcel"], first["to_pass_on"] = 7, ["2 × Salmon"]
    text = round_plan_text(answer)
    assert ", kept by parcel 7" in text
    assert "of what is in it, to hand off: 2 × Salmon" in text


def test_the_record_of_rounds_shows_the_share_thrown_away_falling() -> None:
    text = rounds_text(some_rounds(a_record("2026-09-01", 0.1), a_record("2026-03-01", 0.4)))
    assert is_narrow(text)
    rows = [line for line in text.splitlines() if line.startswith("  2026-")]
    assert [row.split()[-2] for row in rows] == ["10%", "40%"]
    assert [row.count("=") for row in rows] == [3, 14]
    assert "In units: 100 pulled, of which 60 eaten, 30 given and 10 thrown away" in text


def test_a_store_without_a_record_says_so() -> None:
    text = rounds_text(some_rounds())
    assert "No round has a record yet" in text
    assert "To come: 1 March 2027 and 1 September 2027." in " ".join(text.split())


def test_a_round_at_which_nothing_was_pulled_has_no_share() -> None:
    text = rounds_text(some_rounds(a_record("2026-09-01", None)))
    assert "%" not in text
    assert is_narrow(text)


def test_kits_are_listed_by_place_the_first_to_be_pulled_first() -> None:
    later, sooner = a_kit("K-1", "2027-05-01"), a_kit("K-2", "2027-03-01", parcel_number=5)
    elsewhere = a_kit("K-3", None, place="attic", changed_since_packing=True)
    text = kits_text([later, sooner, elsewhere])
    assert is_narrow(text)
    assert text.startswith("3 closed kits: 12 meals for one person, 6.0 kg of food.")
    order = [
        text.index(words) for words in ("attic", "undated", "hall", "2027-03-01", "2027-05-01")
    ]
    assert order == sorted(order)
    assert "parcel 5" in text
    assert "1 kit marked !" in text
    assert kits_text([]) == "No closed kit is here.\n"


@pytest.mark.parametrize(
    "write",
    [
        lambda name: kits_text([a_kit(name, "2027-05-01", name=name, place=name)]),
        lambda name: take_along_text({**taken(), "store_name": name}),
        lambda name: round_plan_text({**planned(), "store_name": name}),
    ],
)
def test_a_long_name_or_one_with_signs_in_it_breaks_no_line(write: Callable[[str], str]) -> None:
    text = write("A very long name \x1b[2J of something that goes on and on, " * 3)
    assert is_narrow(text)
    assert "\x1b" not in text
