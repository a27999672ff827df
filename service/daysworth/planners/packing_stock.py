"""Gather what stands free for kits into goods, and say why the rest is left out.

A good is packs of one dish: one food of one net mass, alike in which of the kinds asked for may use
them. What is served as one dish then has one label to read. Its packs differ in their dates.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final, NamedTuple

from daysworth.domain.foods import Food, Preparation
from daysworth.domain.identifiers import PlaceId
from daysworth.domain.kit_rules import is_one_meal_pack
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.meal_patterns import MealRule
from daysworth.domain.offers import Offer, offer_of
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import WORST_FIRST, fit
from daysworth.planners.packing_kinds import Kind, names_food
from daysworth.planners.shelf import DatedLot, Standing, dated_lots, kept_by


class WhyLeft(StrEnum):
    """Why units do not go into a kit, though its pattern names their food; the first that holds.

    `taken`: they are in other kits of the same plan. `too_few`: alike and left, and not enough of
    them for one kit.
    """

    SET_ASIDE = "set_aside"
    OPENED = "opened"
    UNDATED = "undated"
    PAST = "past"
    IN_KITS = "in_kits"
    PROMISED = "promised"
    KEPT_BY_HOUSEHOLD = "kept_by_household"
    NEEDS_WATER = "needs_water"
    NEEDS_HEATING = "needs_heating"
    PACK_TOO_LARGE = "pack_too_large"
    UNSUITABLE = "unsuitable"
    UNKNOWN = "unknown"
    KEEPS_TOO_SHORT = "keeps_too_short"
    TAKEN = "taken"
    TOO_FEW = "too_few"


class FreeLot(NamedTuple):
    """Units of a lot that stand free, good until a day that is counted from the day of packing."""

    lot: Lot
    day: int
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Good:
    """Packs that may stand for one another on a table; `kinds` are those that may use them.

    `lots` stand in the order in which they are taken: by their day, then as one walks. `by_day`
    counts the units of each day, from the first day on.
    """

    food: Food
    net_mass_g: float
    kinds: frozenset[int]
    lots: tuple[FreeLot, ...]
    by_day: tuple[tuple[int, int], ...]

    def units_since(self, day: int) -> int:
        """Count the units that are good until a day, or longer."""
        return sum(units for good_until, units in self.by_day if good_until >= day)

    def units_at(self, day: int) -> int:
        """Count the units that are good until a day and no longer."""
        return sum(units for good_until, units in self.by_day if good_until == day)

    def last_day_of(self, units: int) -> int | None:
        """Give the last day until which so many units are good together; None: there are fewer."""
        found = 0
        for day, here in reversed(self.by_day):
            found += here
            if found >= units:
                return day
        return None


_GOOD: Final = Standing.GOOD
_SUITABLE: Final = Verdict.SUITABLE
_NEEDED: Final = Preparation.NEEDED
_BY_STANDING: Final = {
    Standing.DAMAGED: WhyLeft.SET_ASIDE,
    Standing.QUARANTINED: WhyLeft.SET_ASIDE,
    Standing.UNDATED: WhyLeft.UNDATED,
    Standing.PAST: WhyLeft.PAST,
}


class Stock:
    """A store's lots on the day of packing, and which of the kinds asked for may use which."""

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, kinds: Sequence[Kind], judge: Judge
    ) -> None:
        self.as_of, self.kinds, self._judge = as_of, kinds, judge
        self.dated = dated_lots(snapshot, as_of)
        self._walk = {
            place.id: (place.walk_position, place.name, place.id) for place in snapshot.places
        }
        self._verdicts: dict[tuple[int, Offer], Verdict] = {}

    def goods(self) -> tuple[Good, ...]:
        """Gather the goods, in an order that hangs on what they are and never on the lots'."""
        alike: dict[tuple[str, float, tuple[int, ...]], list[DatedLot]] = {}
        for item in self.dated:
            kinds = self._kinds_for(item)
            if kinds:
                mass_g = item.lot.net_mass_g or item.food.net_mass_g
                alike.setdefault((item.food.id, mass_g, kinds), []).append(item)
        return tuple(
            self._good(alike[key], net_mass_g=key[1], kinds=key[2]) for key in sorted(alike)
        )

    def why_left(self, item: DatedLot, kind: Kind) -> WhyLeft | None:
        """Say why a lot's units, in so far as they are free, do not go into a kind's kits."""
        lot = item.lot
        if lot.opened_on is not None and lot.condition is Condition.SOUND:
            return WhyLeft.OPENED
        if item.standing is not _GOOD:
            return _BY_STANDING[item.standing]
        keeper = kept_by(lot)
        if keeper is not None and keeper != kind.asked.household:
            return WhyLeft.KEPT_BY_HOUSEHOLD
        return self._why_by_rules(item, kind) or self._why_by_people(item, kind)

    def is_too_short(self, item: DatedLot, kind: Kind) -> bool:
        """Tell whether a lot's date falls short of what a kind's kits are held to."""
        return item.last_good_day is None or item.last_good_day < kind.from_on

    def walk(self, place: PlaceId) -> tuple[int, str, str]:
        """Give what places are put in order by, for who goes round them."""
        return self._walk[place]

    def day(self, until: date) -> int:
        """Count the days from the day of packing."""
        return (until - self.as_of).days

    def _kinds_for(self, item: DatedLot) -> tuple[int, ...]:
        """List the kinds that may use a lot, dates apart; none where none may use it by its date.

        A date says nothing of whom a pack suits, so it does not part packs into goods.
        """
        if free_units(item.lot) <= 0 or item.standing is not _GOOD:
            return ()
        usable = [
            kind
            for kind in self.kinds
            if names_food(kind.pattern, item.food) and self.why_left(item, kind) is None
        ]
        if all(self.is_too_short(item, kind) for kind in usable):
            return ()
        return tuple(kind.number for kind in usable)

    def _good(
        self, items: Iterable[DatedLot], *, net_mass_g: float, kinds: tuple[int, ...]
    ) -> Good:
        lots = sorted(
            (
                FreeLot(item.lot, self.day(item.last_good_day), free_units(item.lot))
                for item in items
                if item.last_good_day is not None
            ),
            key=lambda one: (one.day, self.walk(one.lot.place), one.lot.id),
        )
        by_day: dict[int, int] = {}
        for _, day, units in lots:
            by_day[day] = by_day.get(day, 0) + units
        food = next(iter(items)).food
        return Good(
            food=food,
            net_mass_g=net_mass_g,
            kinds=frozenset(kinds),
            lots=tuple(lots),
            by_day=tuple(sorted(by_day.items())),
        )

    def _why_by_rules(self, item: DatedLot, kind: Kind) -> WhyLeft | None:
        food = item.food
        if food.added_water is _NEEDED and kind.is_held_to(MealRule.NO_ADDED_WATER):
            return WhyLeft.NEEDS_WATER
        if food.heating is _NEEDED and kind.is_held_to(MealRule.NO_HEATING):
            return WhyLeft.NEEDS_HEATING
        if kind.is_held_to(MealRule.ONE_MEAL_PACKS) and not is_one_meal_pack(
            food, item.lot.net_mass_g, persons=kind.persons, rules=kind.rules
        ):
            return WhyLeft.PACK_TOO_LARGE
        return None

    def _why_by_people(self, item: DatedLot, kind: Kind) -> WhyLeft | None:
        if kind.table is None:
            return None
        offer = offer_of(item.lot, item.food)
        verdict = self._verdicts.get((kind.number, offer))
        if verdict is None:
            said = {self._judge(offer, eater).verdict for eater in kind.eaters}
            said.add(fit(offer, kind.table, judged_by=self._judge).verdict)
            verdict = self._verdicts[kind.number, offer] = min(said, key=WORST_FIRST.index)
        if verdict is _SUITABLE:
            return None
        return WhyLeft.UNKNOWN if verdict is Verdict.UNKNOWN else WhyLeft.UNSUITABLE


def free_units(lot: Lot) -> int:
    """Count the units of a lot that are in no kit and promised to nobody."""
    return lot.units - lot.units_in_kits - lot.units_promised
