"""Claims about how a plan for what can be spared is written: figures that add up, and words."""

from dataclasses import replace
from datetime import date, datetime
from math import fsum

import pytest

from daysworth.answers.acceptance_words import refusal_words, rule_words
from daysworth.answers.given import meals_of
from daysworth.answers.packing_list import PackLineAnswer
from daysworth.answers.surplus import SurplusAnswer, answer_surplus, surplus_json
from daysworth.answers.surplus_floors import floors_answer
from daysworth.answers.surplus_words import why_stays
from daysworth.domain.acceptance import Refusal
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import LotId, PartnerId, PlaceId, PromiseId, WindowId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.partners import AcceptanceRule, Partner, Window
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.recurrence import Recurrence
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.shelf import DatedLot, Standing
from daysworth.planners.surplus_plan import Staying, SurplusAsked, WhyStays
from tests.grounds import CELLAR, NOON, SALMON, SHELF, small_store

TODAY = NOON.date()
TUESDAYS = Window(
    id=WindowId("tuesdays"),
    recurrence=Recurrence(
        starts_at=datetime(2026, 9, 1, 9, 0),  # noqa: DTZ001
        timezone="America/Chicago",
        rule="FREQ=WEEKLY;BYDAY=TU",
    ),
    minutes=120,
    notice_days=2,
    most_kg=20,
)
KITCHEN = Partner(
    id=PartnerId("harbour-kitchen"),
    name="Harbour Kitchen (invented)",
    contact="ring at the side door",
    windows=(TUESDAYS,),
)
NO_FLOOR = SurplusAsked(floor_days=0)


def lot(id_: str, *, units: int = 6, place: PlaceId = SHELF, **changed: object) -> Lot:
    """Describe tins of salmon that are due within the look-ahead."""
    said: dict[str, object] = {
        "food": SALMON,
        "label_kind": LabelKind.BEST_BY,
        "printed": "2026-10-20",
        **changed,
    }
    return Lot(id=LotId(id_), place=place, units=units, **said)  # type: ignore[arg-type]


def store(*lots: Lot, partner: Partner = KITCHEN, **changed: object) -> Snapshot:
    """Give the small store with some lots and a partner."""
    snapshot = replace(small_store(), lots=lots, partners=(partner,))
    return replace(snapshot, **changed)  # type: ignore[arg-type]


def lines(answer: SurplusAnswer) -> list[PackLineAnswer]:
    """Give every line that goes, visit by visit and place by place."""
    return [line for visit in answer.visits for place in visit.packing for line in place.lines]


def test_lines_add_up_to_visits_and_visits_to_the_whole() -> None:
    lots = [lot(f"L{n}", units=n + 3, place=(SHELF, CELLAR)[n % 2]) for n in range(9)]
    answer = answer_surplus(store(*lots), TODAY, asked=NO_FLOOR)
    assert answer.visits
    for visit in answer.visits:
        of_it = [line for place in visit.packing for line in place.lines]
        assert visit.units == sum(line.units for line in of_it)
        assert visit.mass_g == pytest.approx(fsum(line.mass_g for line in of_it))
        assert visit.energy_kcal == pytest.approx(fsum(line.energy_kcal for line in of_it))
        assert visit.mass_g <= 20_000 + 1e-6
    assert answer.totals.units == sum(visit.units for visit in answer.visits)
    assert answer.totals.visits == len(answer.visits)
    assert answer.totals.energy_kcal == answer.stages[0].value


def test_every_unit_that_could_spoil_goes_or_stays_with_a_reason() -> None:
    lots = [
        lot("goes", units=40),
        lot("past", printed="2026-08-20"),
        lot("soon", printed="2026-09-02"),
        lot("opened", units=1, opened_on=date(2026, 8, 30)),
        lot("bad", condition=Condition.DAMAGED),
        lot("large", units=400),
    ]
    answer = answer_surplus(store(*lots), TODAY, asked=NO_FLOOR)
    placed = dict.fromkeys((one.id for one in lots), 0)
    for line in lines(answer):
        placed[LotId(line.lot)] += line.units
    for staying in answer.staying:
        placed[LotId(staying.lot)] += staying.units
        assert staying.words
    assert placed == {one.id: one.units for one in lots}


def test_places_stand_in_walking_order_and_dates_are_those_of_the_label() -> None:
    snapshot = store(lot("a"), lot("b", place=CELLAR))
    walked = tuple(replace(one, walk_position=int(one.id == CELLAR)) for one in snapshot.places)
    settings = replace(snapshot.settings, grace_days={FoodGroup.FISH: 30})
    changed = replace(snapshot, places=walked, settings=settings)
    answer = answer_surplus(changed, TODAY, asked=NO_FLOOR)
    assert [place.place for place in answer.visits[0].packing] == [SHELF, CELLAR]
    assert {line.last_good_day for line in lines(answer)} == {date(2026, 10, 20)}


def test_a_visit_says_until_when_it_can_be_promised_and_what_room_is_left() -> None:
    # Ten tins are promised for the first visit that there is still notice for.
    first = datetime(2026, 9, 8, 9, 0)  # noqa: DTZ001
    promise = Promise(
        id=PromiseId("R-1"),
        partner=KITCHEN.id,
        window=TUESDAYS.id,
        opens_at=first,
        items=(PromisedLot(lot=LotId("a"), units=10),),
    )
    tin_g = generic_foods()[SALMON].net_mass_g
    snapshot = store(lot("a", units=16, units_promised=10), promises=(promise,))
    (visit,) = answer_surplus(snapshot, TODAY, asked=NO_FLOOR).visits
    assert (visit.opens_at, visit.visit_on) == ("2026-09-08T09:00", date(2026, 9, 8))
    assert visit.promise_by_day == date(2026, 9, 6)
    assert visit.free_kg == pytest.approx(20 - 10 * tin_g / 1000)
    assert (visit.free_units, visit.units) == (None, 6)


def test_the_law_is_told_of_a_partner_that_is_no_nonprofit() -> None:
    club = replace(KITCHEN, is_nonprofit=False)
    (told,) = answer_surplus(store(lot("a"), partner=club), TODAY, asked=NO_FLOOR).visits
    (untold,) = answer_surplus(store(lot("a")), TODAY, asked=NO_FLOOR).visits
    # Public Law 117-362 (S. 5329), signed on 5 January 2023.
    assert "Pub. L. 117-362, 2023" in str(told.law)
    assert untold.law is None


def test_the_same_snapshot_gives_the_same_bytes() -> None:
    snapshot = store(lot("a"), lot("b", place=CELLAR), lot("c", printed="2026-09-02"))
    turned = replace(snapshot, lots=tuple(reversed(snapshot.lots)))
    texts = {surplus_json(answer_surplus(one, TODAY)) for one in (snapshot, snapshot, turned)}
    assert len(texts) == 1


@pytest.mark.parametrize(
    "asked",
    [
        SurplusAsked(partners=frozenset({PartnerId("nobody")})),
        SurplusAsked(until_on=TODAY),
        SurplusAsked(floor_days=-1),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(asked: SurplusAsked) -> None:
    with pytest.raises(ScenarioRefused) as refused:
        answer_surplus(store(lot("a")), TODAY, asked=asked)
    assert str(refused.value)


def test_floors_are_told_once_each_with_the_difference_to_the_stores_own() -> None:
    snapshot = store(lot("a", units=30))
    own = answer_surplus(snapshot, TODAY)
    none, same = (
        answer_surplus(snapshot, TODAY, asked=SurplusAsked(floor_days=days)) for days in (0, 14)
    )
    told = floors_answer(own, [same, none])
    assert [one.floor_days for one in told.floors] == [0, 14]
    assert [one.is_own_floor for one in told.floors] == [False, True]
    assert told.floors[0].more_units == none.totals.units - own.totals.units
    assert told.floors[0].words.startswith("with no floor, ")
    assert "the store's own floor" in told.floors[1].words


def staying(why: WhyStays, *, never: Refusal | None = None, **refused_by: Refusal) -> Staying:
    """Describe tins that stay for a reason."""
    item = DatedLot(lot("a"), generic_foods()[SALMON], date(2026, 10, 20), Standing.GOOD)
    by = {PartnerId(name.replace("_", "-")): refusal for name, refusal in refused_by.items()}
    return Staying(item=item, units=6, why=why, never=never, refused_by=by)


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (staying(WhyStays.NEVER_GOES, never=Refusal.OPENED_HERE), "it was opened here"),
        (
            staying(WhyStays.NO_WINDOW),
            "no visit that can still be promised is before its date, 20 October 2026",
        ),
        (
            staying(WhyStays.REFUSED, harbour_kitchen=Refusal.GROUP_NOT_TAKEN),
            "Harbour Kitchen (invented) takes no fish",
        ),
        (
            staying(WhyStays.REFUSED, harbour_kitchen=Refusal.TOO_FEW_DAYS_LEFT),
            "Harbour Kitchen (invented) takes it up to its date",
        ),
        (staying(WhyStays.CAPACITY), "there is no more room on the visits that could take it"),
        (staying(WhyStays.FLOOR), "it is needed so that everyone is fed for 14 days"),
    ],
)
def test_every_reason_to_stay_is_said_in_words(one: Staying, words: str) -> None:
    assert why_stays(one, partners={KITCHEN.id: KITCHEN}, floor_days=14) == words


@pytest.mark.parametrize("refusal", Refusal)
def test_every_refusal_has_words_for_a_person(refusal: Refusal) -> None:
    food = generic_foods()[SALMON]
    words = refusal_words(refusal, partner=KITCHEN, lot=lot("a"), food=food)
    assert words
    assert not set("_{}") & set(words)


def test_what_the_floor_holds_is_said_in_words() -> None:
    asked = SurplusAsked(until_on=date(2026, 11, 1))
    short = answer_surplus(store(lot("a")), TODAY, asked=asked)
    # The home that must not eat peanuts may eat none of what is here: its label is unread.
    assert short.floor_words.startswith("from 1 September 2026 on there are days on which everyone")
    without = answer_surplus(store(lot("a")), TODAY, asked=NO_FLOOR)
    assert without.floor_words == "nothing is held back for everyone to stay fed"
    nobody = answer_surplus(store(lot("a"), households=()), TODAY, asked=asked)
    assert nobody.floor_words == "everyone stays fed for 14 days on every day to 31 October 2026"


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (AcceptanceRule(), "everything else: up to its date"),
        (
            AcceptanceRule(group=FoodGroup.BABY_FOOD, least_days_left=1),
            "baby food: with at least 1 day left",
        ),
        (AcceptanceRule(group=FoodGroup.FISH, takes=False), "fish: none of it"),
        (
            AcceptanceRule(
                group=FoodGroup.FISH,
                least_days_left=-90,
                most_kg_per_visit=2.5,
                most_units_per_visit=20,
            ),
            "fish: up to 90 days past a best-by or sell-by date, at most 2.5 kg a visit, "
            "at most 20 units a visit",
        ),
    ],
)
def test_a_rule_is_said_in_words(rule: AcceptanceRule, words: str) -> None:
    assert rule_words(rule) == words


def test_a_meal_is_the_published_mass_of_one() -> None:
    # 1.2 lb = 1 meal (USDA, What We Eat in America 2011-12, from memory); a pound is 453.59237 g
    # exactly (NIST Special Publication 811), so 544.310844 g.
    assert meals_of(544.310844) == pytest.approx(1, abs=1e-12)
