"""The visits of two weeks are those that something is promised for, and those that could still be.

Packs of bread are 200 g and 1,000 kcal.
"""

from dataclasses import replace
from datetime import date, timedelta

from daysworth.domain.identifiers import LotId, PartnerId, PromiseId
from daysworth.domain.lots import Lot
from daysworth.domain.partners import Partner
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coming_visits import ComingVisits, plan_coming_visits
from tests.planners.one_home import BREAD, OIL, lot, store
from tests.planners.receiving import partner_on, window_on
from tests.planners.small_stores import AS_OF


def after(days: int) -> date:
    return AS_OF + timedelta(days=days)


def promised_for(
    partner: Partner, days: int, *, window: int = 0, id_: str = "p", **units: int
) -> Promise:
    """Promise units of lots ("lot_0=3") for the visit so many days from today."""
    chosen = partner.windows[window]
    opens_at = chosen.recurrence.starts_at.replace(
        year=after(days).year, month=after(days).month, day=after(days).day
    )
    items = [
        PromisedLot(lot=LotId(name.removeprefix("lot_")), units=many)
        for name, many in units.items()
    ]
    return Promise(
        id=PromiseId(id_),
        partner=partner.id,
        window=chosen.id,
        opens_at=opens_at,
        items=tuple(items),
    )


def planned(*partners: Partner, promises: tuple[Promise, ...] = ()) -> ComingVisits:
    return plan_coming_visits(with_promises(*partners, promises=promises), AS_OF)


def with_promises(*partners: Partner, promises: tuple[Promise, ...] = ()) -> Snapshot:
    held: list[Lot] = [
        lot(BREAD, 20, units_promised=9),
        lot(OIL, 20, units_promised=9),
        lot(BREAD, 20, units_promised=9, printed="2089"),
    ]
    return replace(store(lots=held), partners=partners, promises=promises)


def days_of(found: ComingVisits) -> tuple[list[int], list[int]]:
    """Give the days ahead of the promised visits, and of the others."""
    promised = [(one.visit.on - AS_OF).days for one in found.promised]
    return promised, [(one.on - AS_OF).days for one in found.others]


def test_visits_from_today_are_listed_for_fourteen_days() -> None:
    partner = partner_on(*(after(days) for days in range(-3, 20)))
    assert days_of(planned(partner)) == ([], list(range(14)))


def test_what_can_no_longer_be_promised_is_listed_only_where_it_was() -> None:
    partner = partner_on(after(1), after(2), after(3), notice_days=3)
    made = promised_for(partner, 1, lot_0=2)
    assert days_of(planned(partner, promises=(made,))) == ([1], [3])


def test_a_promised_visit_is_listed_until_somebody_says_what_became_of_it() -> None:
    partner = partner_on(after(-9), after(13), after(14))
    made = [
        promised_for(partner, days, id_=f"p{days}", lot_0=number)
        for number, days in enumerate((-9, 13, 14), start=1)
    ]
    assert days_of(planned(partner, promises=tuple(made))) == ([-9, 13], [])


def test_all_that_is_promised_for_a_visit_is_told_together_by_food_and_date() -> None:
    partner = partner_on(after(2))
    made = (
        promised_for(partner, 2, id_="p1", lot_0=2, lot_1=4),
        promised_for(partner, 2, id_="p2", lot_0=3, lot_2=1),
    )
    (found,) = planned(partner, promises=made).promised
    assert [(one.item.lot.id, one.units) for one in found.going] == [("2", 1), ("0", 5), ("1", 4)]
    assert (found.units, found.mass_g, found.energy_kcal) == (10, 1_700.0, 10_000.0)


def test_visits_stand_by_when_they_open_whoever_receives() -> None:
    first = partner_on(after(5), name="A shelter", hour=15)
    second = partner_on(after(5), after(3), name="B shelter", hour=9)
    others = planned(first, second).others
    assert [one.partner.name for one in others] == ["B shelter", "B shelter", "A shelter"]


def test_a_promise_is_for_its_own_window_and_partner() -> None:
    late = window_on(after(2), id_="late", hour=18)
    one = partner_on(after(2))
    both = replace(one, windows=(*one.windows, late))
    other = replace(one, id=PartnerId("other"), name="Other shelter")
    found = planned(both, other, promises=(promised_for(both, 2, window=1, lot_0=1),))
    assert [(each.visit.window.id, each.visit.partner.id) for each in found.promised] == [
        ("late", "night-shelter")
    ]
    assert [(each.window.id, each.partner.id) for each in found.others] == [
        ("morning", "night-shelter"),
        ("morning", "other"),
    ]


def test_a_visit_at_which_the_window_opens_no_longer_is_still_told() -> None:
    partner = partner_on(after(2))
    made = promised_for(partner, 2, lot_0=1)
    moved = replace(partner, windows=(window_on(after(4)),))
    found = planned(moved, promises=(made,))
    assert days_of(found) == ([2], [4])
    assert found.promised[0].visit.opens_at.hour == 9


def test_the_order_of_partners_promises_and_lots_changes_nothing() -> None:
    partners = tuple(partner_on(after(3), name=name) for name in ("B shelter", "A shelter"))
    promises = tuple(
        promised_for(partner, 3, id_=partner.id, lot_0=1, lot_1=2) for partner in partners
    )
    snapshot = with_promises(*partners, promises=promises)
    turned = replace(
        snapshot,
        partners=snapshot.partners[::-1],
        promises=snapshot.promises[::-1],
        lots=snapshot.lots[::-1],
    )
    assert plan_coming_visits(turned, AS_OF) == plan_coming_visits(snapshot, AS_OF)
