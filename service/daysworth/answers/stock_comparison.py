"""Compare what is on hand: units and energy of each food, and the dates that passed between."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from math import fsum

from daysworth.answers.coverage import figure
from daysworth.answers.two_figures import CountChange, FigureChange
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.shelf import DatedLot, Standing, dated_lots


@dataclass(frozen=True, slots=True)
class FoodChange:
    """A food of which there is more or less: units on hand, and their energy."""

    food: str
    food_name: str
    units: CountChange
    energy_kcal: FigureChange


@dataclass(frozen=True, slots=True)
class PassedAnswer:
    """A lot whose last good day passed between: how many units there were, and are still there.

    What is not still there may have been eaten in time, or thrown away: a snapshot does not say.
    `place` is where it stands now, or last stood.
    """

    lot: str
    food: str
    place: str
    last_good_day: date
    units_before: int
    units_still_there: int


@dataclass(frozen=True, slots=True)
class _OnHand:
    units: int
    energy_kcal: float


def foods_compared(before: Snapshot, after: Snapshot) -> tuple[list[FoodChange], FigureChange]:
    """Give the foods that changed, the most energy lost first, and the energy of all of them."""
    first, second = _on_hand(before), _on_hand(after)
    named = {food.id: food for food in (*before.foods, *after.foods)}
    changes = [
        change
        for id_ in {**first, **second}
        if _has_changed(change := _food(named[id_], first=first.get(id_), second=second.get(id_)))
    ]
    changes.sort(key=_most_lost_first)
    return changes, FigureChange.of(_energy(first), _energy(second))


def passed_between(
    before: Snapshot, after: Snapshot, *, from_day: date, until_day: date
) -> list[PassedAnswer]:
    """List the lots that could be eaten on the first day and are past their date on the second.

    Those too that came in between. A lot that was dated anew goes by its date of the second side.
    The earliest date comes first.
    """
    if until_day <= from_day:
        return []
    first = {item.lot.id: item for item in dated_lots(before, from_day)}
    second = {item.lot.id: item for item in dated_lots(after, until_day)}
    places = {place.id: place.name for place in (*before.places, *after.places)}
    passed: list[PassedAnswer] = []
    for id_ in {**first, **second}:
        was, now = first.get(id_), second.get(id_)
        day = _day_passed(was, now, from_day=from_day, until_day=until_day)
        item = now or was
        if day is not None and item is not None:
            passed.append(
                PassedAnswer(
                    id_, item.food.name, places[item.lot.place], day, _units(was), _units(now)
                )
            )
    return sorted(passed, key=lambda one: (one.last_good_day, one.food, one.lot))


def _day_passed(
    was: DatedLot | None, now: DatedLot | None, *, from_day: date, until_day: date
) -> date | None:
    """Give the last good day of a lot that could be eaten and no longer can; None: it is none."""
    if _units(was) + _units(now) == 0 or (was is not None and was.standing is not Standing.GOOD):
        return None
    if now is not None:
        came_in_past = was is None and (now.last_good_day or from_day) < from_day
        return None if now.standing is not Standing.PAST or came_in_past else now.last_good_day
    day = None if was is None else was.last_good_day
    return day if day is not None and day < until_day else None


def _units(item: DatedLot | None) -> int:
    return 0 if item is None else item.lot.units


def _on_hand(snapshot: Snapshot) -> dict[FoodId, _OnHand]:
    foods = {food.id: food for food in snapshot.foods}
    units: dict[FoodId, int] = defaultdict(int)
    energies_kcal: dict[FoodId, list[float]] = defaultdict(list)
    for lot in snapshot.lots:
        units[lot.food] += lot.units
        energies_kcal[lot.food].append(lot.units * foods[lot.food].energy_kcal(lot.net_mass_g))
    return {id_: _OnHand(units[id_], fsum(energies_kcal[id_])) for id_ in units}


def _energy(on_hand: dict[FoodId, _OnHand]) -> float:
    return fsum(one.energy_kcal for one in on_hand.values())


def _food(food: Food, *, first: _OnHand | None, second: _OnHand | None) -> FoodChange:
    before, after = first or _OnHand(0, 0.0), second or _OnHand(0, 0.0)
    return FoodChange(
        food.id,
        food.name,
        CountChange.of(before.units, after.units),
        FigureChange.of(before.energy_kcal, after.energy_kcal),
    )


def _has_changed(food: FoodChange) -> bool:
    return food.units.change != 0 or figure(food.energy_kcal.change or 0.0) != 0.0


def _most_lost_first(food: FoodChange) -> tuple[float, int, str, str]:
    return (food.energy_kcal.change or 0.0, food.units.change, food.food_name, food.food)
