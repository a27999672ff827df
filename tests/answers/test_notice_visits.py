"""The weekly notice tells what goes to partners in two weeks, and nothing of any household."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Final

from daysworth.answers.coming_visits import MOST_OTHERS, BringAnswer
from daysworth.answers.notice import notice_from_json, notice_json
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PlaceId, PromiseId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.partners import Partner
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.snapshot import Snapshot
from tests.answers.test_notice import ADULT, AS_OF, bare, noticed
from tests.planners import small_stores
from tests.planners.receiving import MORNING, partner_on

TUNA: Final = small_stores.food("tuna", kcal=100, protein_g=20, net_g=150)
BEANS: Final = small_stores.food("beans", kcal=80, protein_g=5, net_g=400)


def shelter(*ahead: int, **more: object) -> Partner:
    """Describe a partner who receives so many days from now, nine to eleven."""
    return partner_on(*(AS_OF + timedelta(days=days) for days in ahead), **more)  # type: ignore[arg-type]


def held(id_: str, food: Food, place: str, *, units: int = 0, **more: object) -> Lot:
    """Describe a lot of twenty of which so many units are promised."""
    facts: dict[str, object] = {
        "label_kind": LabelKind.BEST_BY,
        "printed": "2026-12-20",
        "units_promised": units,
        **more,
    }
    return Lot(id=LotId(id_), food=food.id, place=PlaceId(place), units=20, **facts)  # type: ignore[arg-type]


def promising(partner: Partner, *lots: Lot) -> Snapshot:
    """Describe a store that promised to a partner's first visit what is promised of its lots."""
    items = [PromisedLot(lot=one.id, units=one.units_promised) for one in lots]
    promise = Promise(
        id=PromiseId("p"),
        partner=partner.id,
        window=MORNING,
        opens_at=partner.windows[0].recurrence.starts_at,
        items=tuple(items),
    )
    places = (
        Place(id=PlaceId("attic"), name="Attic", walk_position=2),
        Place(id=PlaceId("cellar"), name="Cellar", walk_position=1),
    )
    return replace(
        bare(ADULT),
        foods=(TUNA, BEANS),
        places=places,
        lots=lots,
        partners=(partner,),
        promises=(promise,),
    )


def test_a_promised_visit_is_told_with_what_goes_in_walking_order_by_food() -> None:
    """Seven tins of 150 g with 150 kcal, and two of 400 g with 320 kcal."""
    lots = (
        held("a", TUNA, "attic", units=2),
        held("b", TUNA, "attic", units=4, printed="2027-01-01"),
        held("c", BEANS, "attic", units=2),
        held("d", TUNA, "cellar", units=1),
    )
    found = noticed(promising(shelter(2, 9), *lots))
    (visit,) = found.promised_visits
    assert visit.contents == [
        BringAnswer(food="tuna", units=1, place="Cellar"),
        BringAnswer(food="beans", units=2, place="Attic"),
        BringAnswer(food="tuna", units=6, place="Attic"),
    ]
    assert (visit.units, visit.mass_g, visit.energy_kcal) == (9, 1_850.0, 1_690.0)
    assert (visit.opens_at, visit.visit_on) == ("2026-11-27T09:00", date(2026, 11, 27))
    assert (visit.partner_name, visit.units_not_to_go) == ("Night shelter", 0)
    assert visit.words == "Friday 27 November 2026, 09:00 to 11:00"
    assert [one.visit_on for one in found.other_visits] == [date(2026, 12, 4)]


def test_units_that_the_partner_takes_no_longer_are_counted() -> None:
    lots = (
        held("a", TUNA, "attic", units=3, condition=Condition.QUARANTINED),
        held("b", TUNA, "attic", units=2, printed="2026-11-26"),
        held("c", TUNA, "attic", units=4, printed="2026-11-27"),
    )
    (visit,) = noticed(promising(shelter(2), *lots)).promised_visits
    assert (visit.units, visit.units_not_to_go) == (9, 5)


def test_a_visit_says_up_to_when_it_can_be_promised() -> None:
    partner = shelter(5, 13, notice_days=4)
    found = noticed(replace(bare(ADULT), partners=(partner,)))
    assert found.promised_visits == []
    days = [(one.visit_on, one.promise_by_day) for one in found.other_visits]
    assert days == [
        (date(2026, 11, 30), date(2026, 11, 26)),
        (date(2026, 12, 8), date(2026, 12, 4)),
    ]


def test_of_very_many_visits_the_rest_are_counted() -> None:
    partners = tuple(shelter(*range(12), name=f"Shelter {number}") for number in range(9))
    found = noticed(replace(bare(ADULT), partners=partners))
    assert (len(found.other_visits), found.more_other_visits) == (MOST_OTHERS, 8)
    assert notice_from_json(notice_json(found)) == found


def test_what_a_household_keeps_is_not_told_by_a_promise_or_a_kit() -> None:
    """What was promised, and then kept, goes to nobody; what is in a kit is told by its lot."""
    own = held("own", TUNA, "attic", units=3, is_shared=False, owner=HouseholdId("H1"))
    packed = replace(own, id=LotId("packed"), units_promised=0, units_in_kits=2)
    snapshot = promising(shelter(2), own, held("c", BEANS, "attic", units=2))
    kit = MealKit(
        id=KitId("k"),
        name="Supper",
        place=PlaceId("attic"),
        persons=1,
        packed_on=AS_OF,
        items=(KitItem(lot=packed.id, units=2),),
        household=HouseholdId("H1"),
    )
    found = noticed(replace(snapshot, lots=(*snapshot.lots, packed), kits=(kit,)))
    (visit,) = found.promised_visits
    assert [(one.food, one.units) for one in visit.contents] == [("beans", 2)]
    assert "tuna" not in notice_json(found)
