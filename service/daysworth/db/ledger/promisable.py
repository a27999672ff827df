"""Find what stands in the way of promising, before anything is changed."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import fsum
from typing import Final, NamedTuple

from sqlalchemy import and_, select

from daysworth.db.ledger.held import Held, as_planned, find_all
from daysworth.db.ledger.intake import foods_named
from daysworth.db.ledger.refused import called, refused_words
from daysworth.db.partners import list_partners
from daysworth.db.promises import open_promises, visit_key
from daysworth.db.tables import HAND_OFF_LINE, PROMISE
from daysworth.db.transactions import Writing
from daysworth.domain.acceptance import limits, refusal
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, LotId, PartnerId, WindowId
from daysworth.domain.partners import Partner, Window
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.visits import is_over, opening

_LEAST_MASS_G: Final = 1e-6
"""Grams that a sum of many may be off by."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToReserve:
    """What promises are about, as it is before any of them is made."""

    partners: Mapping[PartnerId, Partner]
    lots: Mapping[LotId, Held]


def check_promisable(writing: Writing, promises: Sequence[Promise]) -> ToReserve:
    """Find what promises reserve, and for whom.

    Raises FieldsRefused, naming every fault by the number of its visit: a partner, a window or a
    lot that is not there, a visit that is none, is over or asks for more notice, a lot that does
    not go there, fewer units than are free, and more than a visit takes.
    """
    partners = {kept.partner.id: kept.partner for kept in list_partners(writing)}
    already = _promised_already(writing, promises)
    all_of = {item.lot for one in promises for item in one.items}
    all_of |= {item.lot for items in already.values() for item in items}
    lots = find_all(writing, all_of)
    foods = foods_named(writing, {FoodId(lot.food) for lot in lots.values() if lot.food})
    about = _About(writing=writing, partners=partners, lots=lots, foods=foods, already=already)
    faults = [
        *(
            fault
            for number, one in enumerate(promises, start=1)
            for fault in _visit_faults(one, where=f"visits number {number}", about=about)
        ),
        *_too_few(promises, lots=lots),
        *_too_much(promises, about=about),
    ]
    if faults:
        raise FieldsRefused(tuple(faults))
    return ToReserve(partners=partners, lots=lots)


class _Key(NamedTuple):
    partner: PartnerId
    window: WindowId
    opens_at: datetime


Items = Collection[PromisedLot]


@dataclass(frozen=True, slots=True, kw_only=True)
class _About:
    """What promises are about; `already` is what is promised for, or was brought to, a visit."""

    writing: Writing
    partners: Mapping[PartnerId, Partner]
    lots: Mapping[LotId, Held]
    foods: Mapping[FoodId, Food]
    already: Mapping[_Key, Items]

    def window_of(self, promise: Promise) -> Window | None:
        """Find a promise's window; None: it is not there."""
        partner = self.partners.get(promise.partner)
        windows = () if partner is None else partner.windows
        return next((one for one in windows if one.id == promise.window), None)

    def food_of(self, lot: LotId) -> Food | None:
        """Give the food of a lot; None: it is not there, or nobody said what it is."""
        held = self.lots.get(lot)
        return None if held is None or held.food is None else self.foods.get(FoodId(held.food))


def unit_mass_g(lot: Held, food: Food) -> float:
    """Give the net grams of one unit."""
    return food.net_mass_g if lot.net_mass_g is None else lot.net_mass_g


def _key_of(promise: Promise) -> _Key:
    return _Key(promise.partner, promise.window, promise.opens_at)


def _promised_already(
    writing: Writing, promises: Sequence[Promise]
) -> dict[_Key, list[PromisedLot]]:
    """Find what is promised for the same visits, or was handed off at them."""
    found = defaultdict[_Key, list[PromisedLot]](list)
    wanted = {_key_of(one) for one in promises}
    for one in open_promises(writing.connection, writing.store):
        if _key_of(one) in wanted:
            found[_key_of(one)].extend(one.items)
    of_it = and_(PROMISE.c.store == HAND_OFF_LINE.c.store, PROMISE.c.id == HAND_OFF_LINE.c.promise)
    went = (
        select(PROMISE.c.partner, PROMISE.c.window, PROMISE.c.opens_at)
        .add_columns(HAND_OFF_LINE.c.lot, HAND_OFF_LINE.c.units)
        .join(HAND_OFF_LINE, of_it)
        .where(PROMISE.c.store == writing.store, HAND_OFF_LINE.c.units > 0)
        .where(PROMISE.c.opens_at.in_({visit_key(key.opens_at) for key in wanted}))
    )
    for row in writing.connection.execute(went):
        key = _Key(row.partner, row.window, datetime.fromisoformat(row.opens_at))
        if key in wanted:
            found[key].append(PromisedLot(lot=LotId(row.lot), units=row.units))
    return dict(found)


def _visit_faults(promise: Promise, *, where: str, about: _About) -> Iterator[Fault]:
    partner, window = about.partners.get(promise.partner), about.window_of(promise)
    if partner is None:
        yield Fault(f"{where} > partner", f"there is no partner {promise.partner!r}")
    elif window is None:
        yield Fault(f"{where} > window", f"{partner.name} has no window {promise.window!r}")
    else:
        for what in _time_faults(promise, window, writing=about.writing):
            yield Fault(f"{where} > opens_at", what)
    for number, item in enumerate(promise.items, start=1):
        what_else = _lot_fault(item.lot, promise=promise, partner=partner, about=about)
        if what_else is not None:
            yield Fault(f"{where} > items number {number} > lot", what_else)


def _time_faults(promise: Promise, window: Window, *, writing: Writing) -> Iterator[str]:
    when = f"{promise.opens_at:%Y-%m-%d at %H:%M}"
    if opening(window, promise.opens_at) is None:
        yield f"window {window.id!r} does not open on {when}"
    elif is_over(window, promise.opens_at, at=writing.at):
        yield f"the visit on {when} is over"
    elif (days := (promise.on - writing.today).days) < window.notice_days:
        yield f"window {window.id!r} asks for {window.notice_days} days' notice, and has {days}"


def _lot_fault(
    lot: LotId, *, promise: Promise, partner: Partner | None, about: _About
) -> str | None:
    held, food = about.lots.get(lot), about.food_of(lot)
    if held is None:
        return f"there is no lot {lot!r}"
    if food is None:
        return f"{called(held, food)} waits for somebody to say what food it is"
    if partner is None:
        return None
    why = refusal(partner, as_planned(held), food=food, on=promise.on)
    if why is None:
        return None
    return refused_words(why, partner=partner, lot=held, food=food, on=promise.on)


def _too_few(promises: Sequence[Promise], *, lots: Mapping[LotId, Held]) -> Iterator[Fault]:
    """Find lots of which more is promised, over all visits, than is free."""
    free = Counter({id_: lot.units_free for id_, lot in lots.items()})
    for number, promise in enumerate(promises, start=1):
        for at, item in enumerate(promise.items, start=1):
            left = max(0, free[item.lot])
            free[item.lot] -= item.units
            if item.lot in lots and item.units > left:
                what = f"{item.units} asked for, and {left} are free of lot {item.lot!r}"
                yield Fault(f"visits number {number} > items number {at} > units", what)


def _too_much(promises: Sequence[Promise], *, about: _About) -> Iterator[Fault]:
    """Find visits for which more would be promised, all together, than they take."""
    asked = defaultdict[_Key, list[PromisedLot]](list)
    numbers = dict[_Key, int]()
    for number, promise in enumerate(promises, start=1):
        asked[_key_of(promise)].extend(promise.items)
        numbers[_key_of(promise)] = number
    for number, promise in enumerate(promises, start=1):
        key, window = _key_of(promise), about.window_of(promise)
        if numbers[key] == number and window is not None:
            items = [*about.already.get(key, ()), *asked[key]]
            for what in _beyond(
                items, window, bound_by=about.partners[promise.partner], about=about
            ):
                yield Fault(f"visits number {number} > items", what)


def _beyond(items: Items, window: Window, *, bound_by: Partner, about: _About) -> Iterator[str]:
    groups = defaultdict[FoodGroup, list[tuple[float, int]]](list)
    for item in items:
        food = about.food_of(item.lot)
        if food is not None:
            mass_g = item.units * unit_mass_g(about.lots[item.lot], food)
            groups[food.group].append((mass_g, item.units))
    every = [load for loads in groups.values() for load in loads]
    yield from _over(every, kg=window.carried_kg, units=window.most_units, of="a visit")
    for group, loads in sorted(groups.items()):
        bound = limits(bound_by, group)
        of = f"a visit, of {group.replace('_', ' ')},"
        yield from _over(loads, kg=bound.most_kg, units=bound.most_units, of=of)


def _over(
    loads: Sequence[tuple[float, int]], *, kg: float | None, units: int | None, of: str
) -> Iterator[str]:
    total_g, total = fsum(mass_g for mass_g, _ in loads), sum(each for _, each in loads)
    if kg is not None and total_g > 1000 * kg + _LEAST_MASS_G:
        yield f"{of} takes {_kg(kg)} kg, and {_kg(total_g / 1000)} kg would be promised for it"
    if units is not None and total > units:
        yield f"{of} takes {units} units, and {total} would be promised for it"


def _kg(kg: float) -> str:
    return f"{kg:.3f}".rstrip("0").rstrip(".")
