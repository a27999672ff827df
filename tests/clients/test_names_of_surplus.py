"""The client names just the parts that the service writes of surplus, partners and promises."""

import json
from dataclasses import fields, is_dataclass
from datetime import date, timedelta
from typing import Final, get_type_hints, is_typeddict

import pytest

from daysworth.answers import given, packing_list, partners, promises, surplus, surplus_floors
from daysworth.cli import demo_round_text, demo_surplus, demo_surplus_text
from daysworth.cli.demo_agreement import Agreement
from daysworth.demo.neighbourhood import neighbourhood, with_shop_lots
from daysworth.planners.surplus_plan import SurplusAsked
from daysworth.reference.cautions import CautionRow
from daysworth_client import answers, partner_answers, surplus_answers
from daysworth_client.surplus_answers import SurplusAnswer
from tests.clients.test_names_of_answers import SAME, differences, in_json

AS_OF: Final = date(2026, 11, 25)
PAIRS: Final = (
    (surplus_answers.PackLinePart, packing_list.PackLineAnswer),
    (surplus_answers.PackPlacePart, packing_list.PackPlaceAnswer),
    (surplus_answers.PlannedVisitPart, surplus.PlannedVisitAnswer),
    (surplus_answers.RefusedByPart, surplus.RefusedByAnswer),
    (surplus_answers.StayingPart, surplus.StayingAnswer),
    (surplus_answers.SurplusStagePart, surplus.SurplusStageAnswer),
    (surplus_answers.SurplusTotalsPart, surplus.SurplusTotals),
    (surplus_answers.SurplusAnswer, surplus.SurplusAnswer),
    (surplus_answers.FloorPart, surplus_floors.FloorAnswer),
    (surplus_answers.FloorsAnswer, surplus_floors.FloorsAnswer),
    (partner_answers.NextVisitPart, partners.NextVisitAnswer),
    (partner_answers.PlainChoicePart, partners.PlainChoiceAnswer),
    (partner_answers.OpeningPart, partners.OpeningAnswer),
    (partner_answers.WindowPart, partners.WindowAnswer),
    (partner_answers.AcceptanceRulePart, partners.AcceptanceRuleAnswer),
    (partner_answers.PartnerPart, partners.PartnerAnswer),
    (partner_answers.PromiseTotalsPart, promises.PromiseTotals),
    (partner_answers.PromiseInListPart, promises.PromiseSummary),
    (partner_answers.PromiseLinePart, promises.PromiseLineAnswer),
    (partner_answers.PromisePlacePart, promises.PromisePlaceAnswer),
    (partner_answers.PromisePart, promises.PromiseAnswer),
    (partner_answers.GivenFiguresPart, given.GivenFigures),
    (partner_answers.GivenMonthPart, given.GivenMonthAnswer),
    (partner_answers.GivenPartnerPart, given.GivenPartnerAnswer),
    (partner_answers.GivenAtRoundsPart, given.GivenAtRoundsAnswer),
    (partner_answers.GivenAnswer, given.GivenAnswer),
    (demo_round_text.AgreementPart, Agreement),
    (demo_surplus_text.WindowAheadPart, demo_surplus.WindowAheadAnswer),
    (demo_surplus_text.NotePart, demo_surplus.NoteAnswer),
    (demo_surplus_text.SurplusStoodPart, demo_surplus.SurplusStoodAnswer),
    (demo_surplus_text.SurplusDemo, demo_surplus.SurplusDemoAnswer),
)
PAGES: Final = {partner_answers.PartnersPagePart, partner_answers.PromisesPagePart}
"""Parts of a list, which are held against the service where it is asked."""


@pytest.fixture(autouse=True)
def _same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Know what the types of the service are in JSON, these too."""
    for ours, theirs in PAIRS:
        monkeypatch.setitem(SAME, theirs, ours)
    monkeypatch.setitem(SAME, CautionRow, answers.CautionPart)


@pytest.mark.parametrize(("ours", "theirs"), PAIRS, ids=lambda one: one.__name__)
def test_the_clients_names_and_types_are_the_services(ours: type, theirs: type) -> None:
    assert is_typeddict(ours)
    assert is_dataclass(theirs)
    named, written = get_type_hints(ours), get_type_hints(theirs)
    assert list(named) == [field.name for field in fields(theirs)]
    assert {name: in_json(type_) for name, type_ in named.items()} == {
        name: in_json(type_) for name, type_ in written.items()
    }


def test_every_part_that_the_client_names_is_held_against_the_service() -> None:
    named = {
        one
        for module in (surplus_answers, partner_answers)
        for one in vars(module).values()
        if is_typeddict(one) and one is not answers.CautionPart
    }
    assert named - PAGES == {
        ours for ours, _ in PAIRS if ours.__module__.startswith("daysworth_client")
    }


def test_an_answer_is_what_the_client_says_that_it_is() -> None:
    store = with_shop_lots(neighbourhood(AS_OF))
    asked = SurplusAsked(until_on=AS_OF + timedelta(days=14), floor_days=0)
    told = json.loads(surplus.surplus_json(surplus.answer_surplus(store, AS_OF, asked=asked)))
    assert told["visits"]
    assert told["staying"]
    assert differences(told, SurplusAnswer, where="answer") == []
