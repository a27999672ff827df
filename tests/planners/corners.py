"""Name the corners that a small store reaches by what is in it, before anything is planned."""

from collections.abc import Iterator
from typing import Final

from daysworth.domain.foods import MassBasis, Preparation
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.people import Household, InfantFeeding, Member
from daysworth.domain.restrictions import Diet, Reach
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope
from tests.planners.small_stores import AS_OF, FOODS

_FOODS: Final = {food.id: food for food in FOODS}


def corners_of(snapshot: Snapshot, scenario: Scenario) -> frozenset[str]:
    """Name every corner that a store and its scenario reach."""
    found = {*_of_scenario(scenario), *_of_dates(snapshot)}
    for lot in snapshot.lots:
        found.update(_of_lot(lot, scenario))
    for home in snapshot.households:
        found.update(_of_home(home, scenario))
    return frozenset(found)


def _of_scenario(scenario: Scenario) -> Iterator[str]:
    yield f"heating {scenario.heating}"
    yield f"running water {scenario.running_water}"
    yield f"stock {scenario.stock}"
    if scenario.basis is NeedsBasis.FLAT:
        yield "the flat basis"
    if scenario.ration < 1:
        yield "a short ration"


def _of_dates(snapshot: Snapshot) -> Iterator[str]:
    days = [
        lot.last_good_day(_FOODS[lot.food], grace_days=snapshot.settings.grace_days)
        for lot in snapshot.lots
        if not _FOODS[lot.food].is_water and lot.units_to_eat > 0
    ]
    known = [(day - AS_OF).days for day in days if day is not None]
    if len(set(known)) < len(known):
        yield "ties in dates"
    if None in days:
        yield "undated"
    yield from ("past its date" for day in known if day < 0)
    yield from ("good until today" for day in known if day == 0)
    yield from ("good until tomorrow" for day in known if day == 1)
    if any(lot.label_kind is LabelKind.BEST_BY for lot in snapshot.lots) and (
        snapshot.settings.grace_days
    ):
        yield "days of grace"


def _of_lot(lot: Lot, scenario: Scenario) -> Iterator[str]:
    food = _FOODS[lot.food]
    if lot.condition is not Condition.SOUND:
        yield lot.condition
    if lot.units_promised > 0:
        yield "promised"
    if lot.units_in_kits > 0:
        yield "in kits"
    if lot.place in scenario.places_lost:
        yield "lost with its place"
    if lot.net_mass_g is not None:
        yield "a net mass of its own"
    if food.figures_for is MassBasis.DRAINED:
        yield "figures for the drained mass"
    if lot.opened_on is not None and food.keeps_opened_days is not None:
        yield "opened, and known how long it keeps"
    if lot.repacked_on is not None and food.keeps_repacked_days is not None:
        yield "repacked, and known how long it keeps"
    if food.added_water is Preparation.NEEDED and not scenario.running_water:
        yield "drawing on the stored water"
    if not lot.is_shared and scenario.stock is StockScope.ALL:
        yield "water of their own" if food.is_water else "food of their own"
    yield from _of_label(lot)


def _of_label(lot: Lot) -> Iterator[str]:
    for reading in lot.readings:
        if reading.may_contain or "May contain" in reading.text:
            yield "a label that says may contain"
        yield "a label that was copied" if reading.text else "a label that was ticked"
    if len(lot.readings) > 1:
        yield "a label read twice"


def _of_home(home: Household, scenario: Scenario) -> Iterator[str]:
    if home.id in scenario.households_away:
        yield "away"
    if home.pets:
        yield "pets"
    for member in home.members:
        yield from _of_member(member)


def _of_member(member: Member) -> Iterator[str]:
    if member.infant_feeding in (InfantFeeding.BREASTFED, InfantFeeding.MIXED):
        yield f"an infant who is {member.infant_feeding}"
    if member.infant_feeding is InfantFeeding.FORMULA:
        yield "an infant on formula"
    for restriction in member.restrictions:
        kind = "an allergy" if restriction.allergy is not None else "a diet"
        yield f"{kind} that binds {Reach.HOME if restriction.binds_home else Reach.PERSON}"
        if restriction.accepts_may_contain:
            yield "traces accepted"
        if restriction.diet is Diet.PUREED:
            yield "a diet that no label can meet"


ALL_CORNERS: Final = frozenset(
    {
        *(f"{what} {yes}" for what in ("heating", "running water") for yes in (True, False)),
        *(f"stock {scope}" for scope in StockScope),
        *("the flat basis", "a short ration", "days of grace", "ties in dates", "undated"),
        *("past its date", "good until today", "good until tomorrow"),
        *(Condition.DAMAGED, Condition.QUARANTINED, "promised", "in kits", "lost with its place"),
        *("a net mass of its own", "figures for the drained mass"),
        *("opened, and known how long it keeps", "repacked, and known how long it keeps"),
        *("drawing on the stored water", "water of their own", "food of their own"),
        *("a label that was copied", "a label that was ticked", "a label read twice"),
        *("a label that says may contain", "traces accepted", "a diet that no label can meet"),
        *("away", "pets", "an infant who is breastfed", "an infant who is mixed"),
        "an infant on formula",
        *(f"{kind} that binds {reach}" for kind in ("an allergy", "a diet") for reach in Reach),
    }
)
