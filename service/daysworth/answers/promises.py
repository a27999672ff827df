"""Write promises: what is promised to whom for which visit, and what became of it.

The names here are the names in JSON. Times of visits are on the clock at the partner's.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final

from daysworth.answers.acceptance_words import DONATION_LAW
from daysworth.answers.kit_words import day_words
from daysworth.answers.packing_list import in_walking_order
from daysworth.answers.partners import local_time
from daysworth.answers.rounding import figure
from daysworth.answers.window_words import visit_words
from daysworth.db.ledger.held import as_planned
from daysworth.db.partners import partners_of
from daysworth.db.places import every_place
from daysworth.db.promises import KeptPromise, PromiseLine
from daysworth.db.snapshots import own_foods
from daysworth.db.stock import read_lots
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.acceptance import printed_last_day
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, LotId, PartnerId
from daysworth.domain.lots import Lot, Place
from daysworth.domain.partners import Partner, Window
from daysworth.domain.promises import PromiseState

STATE_WORDS: Final[Mapping[PromiseState, str]] = {
    PromiseState.OPEN: "it waits for its day",
    PromiseState.KEPT: "all of it went",
    PromiseState.KEPT_IN_PART: "some of it went, and the rest is free again",
    PromiseState.REFUSED: "the partner took nothing, and all of it is free again",
    PromiseState.LAPSED: "nothing was brought, and all of it is free again",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLineAnswer:
    """Units of a lot that are promised; `went` null: it waits. `why` says why not all went.

    `last_good_day` is by its label alone; null: undated.
    """

    lot: str
    food: str
    food_name: str
    units: int
    mass_g: float
    energy_kcal: float
    label_kind: str
    printed: str | None
    last_good_day: date | None
    went: int | None
    why: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PromisePlaceAnswer:
    """What is taken from one place, by food and date; the places stand in walking order."""

    place: str
    place_name: str
    lines: list[PromiseLineAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseTotals:
    """So many units, with their net grams and their kcal."""

    units: int
    mass_g: float
    energy_kcal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseSummary:
    """A promise in a list; `went` null: it waits for its day. `state_words` say what became of it.

    `state` is open, kept, kept_in_part, refused or lapsed.
    """

    id: str
    etag: str
    state: str
    state_words: str
    partner: str
    partner_name: str
    window: str
    opens_at: str
    visit_on: date
    words: str
    promised: PromiseTotals
    went: PromiseTotals | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseAnswer:
    """A promise with its contents, place by place.

    `driver`, `appointment` and `contact` are the window's, empty where it is no longer there.
    `handed_on` is the day of the hand-off, null: there was none. `why` is of whoever ended it.
    `law` is told of a partner that is no nonprofit.
    """

    summary: PromiseSummary
    driver: str
    appointment: str
    contact: str
    law: str | None
    made_at: str
    made_by: str
    ended_at: str | None
    ended_by: str | None
    handed_on: date | None
    why: str | None
    contents: list[PromisePlaceAnswer]


@dataclass(frozen=True, slots=True)
class _Units:
    """A line of a promise with the lot and the food that it is of."""

    line: PromiseLine
    lot: Lot
    food: Food

    @property
    def unit_g(self) -> float:
        return self.food.net_mass_g if self.lot.net_mass_g is None else self.lot.net_mass_g

    @property
    def unit_kcal(self) -> float:
        return self.food.energy_kcal(self.lot.net_mass_g)


class PromisesTold:
    """Writes promises of one store, from what it holds as they are read."""

    def __init__(self, reading: Reading | Writing, promises: Sequence[KeptPromise]) -> None:
        """Read the partners, places, lots and foods that some promises speak of."""
        self._partners: dict[PartnerId, Partner] = {
            one.id: one for one in partners_of(reading.connection, reading.store)
        }
        self._places = [
            Place(id=one.id, name=one.name, walk_position=one.walk_position)
            for one in every_place(reading)
        ]
        lots = {line.lot for promise in promises for line in promise.lines}
        self._lots: dict[LotId, Lot] = {
            id_: as_planned(held) for id_, held in read_lots(reading, lots).items()
        }
        own = {one.id: one for one in own_foods(reading.connection, reading.store)}
        self._foods: dict[FoodId, Food] = {**generic_foods(), **own}

    def summary(self, kept: KeptPromise) -> PromiseSummary:
        """Write a promise of a list."""
        promise = kept.promise
        partner = self._partners.get(promise.partner)
        window = _window_of(partner, kept)
        units = self._units(kept)
        is_open = kept.state is PromiseState.OPEN
        at = promise.opens_at
        return PromiseSummary(
            id=promise.id,
            etag=f'"r{kept.revision}"',
            state=kept.state,
            state_words=STATE_WORDS[kept.state],
            partner=promise.partner,
            partner_name=kept.partner_name if partner is None else partner.name,
            window=promise.window,
            opens_at=local_time(at),
            visit_on=promise.on,
            words=f"{day_words(promise.on)} at {at:%H:%M}"
            if window is None
            else visit_words(at, window.minutes),
            promised=_totals((one, one.line.units) for one in units),
            went=None if is_open else _totals((one, one.line.went or 0) for one in units),
        )

    def answer(self, kept: KeptPromise) -> PromiseAnswer:
        """Write a promise with its contents."""
        partner = self._partners.get(kept.promise.partner)
        window = _window_of(partner, kept)
        return PromiseAnswer(
            summary=self.summary(kept),
            driver="" if window is None else window.driver,
            appointment="" if window is None else window.appointment,
            contact=_contact(partner, window),
            law=None if partner is None or partner.is_nonprofit else DONATION_LAW,
            made_at=kept.made_at,
            made_by=kept.made_by,
            ended_at=kept.ended_at,
            ended_by=kept.ended_by,
            handed_on=kept.handed_on,
            why=kept.why,
            contents=self._contents(kept),
        )

    def _contents(self, kept: KeptPromise) -> list[PromisePlaceAnswer]:
        units = sorted(self._units(kept), key=_by_name)
        grouped = in_walking_order(units, places=self._places, place_of=lambda one: one.lot.place)
        return [
            PromisePlaceAnswer(
                place=place.id, place_name=place.name, lines=[_line(one) for one in lines]
            )
            for place, lines in grouped
        ]

    def _units(self, kept: KeptPromise) -> list[_Units]:
        lots = [(line, self._lots[line.lot]) for line in kept.lines]
        return [_Units(line, lot, self._foods[lot.food]) for line, lot in lots]


def _window_of(partner: Partner | None, kept: KeptPromise) -> Window | None:
    windows = () if partner is None else partner.windows
    return next((one for one in windows if one.id == kept.promise.window), None)


def _contact(partner: Partner | None, window: Window | None) -> str:
    contact = "" if window is None else window.contact
    return contact or ("" if partner is None else partner.contact)


def _by_name(one: _Units) -> tuple[str, date, str]:
    return one.food.name, printed_last_day(one.lot, one.food) or date.max, one.lot.id


def _line(one: _Units) -> PromiseLineAnswer:
    units = one.line.units
    return PromiseLineAnswer(
        lot=one.lot.id,
        food=one.food.id,
        food_name=one.food.name,
        units=units,
        mass_g=figure(units * one.unit_g),
        energy_kcal=figure(units * one.unit_kcal),
        label_kind=one.lot.label_kind,
        printed=one.lot.printed,
        last_good_day=printed_last_day(one.lot, one.food),
        went=one.line.went,
        why=one.line.why,
    )


def _totals(each: Iterable[tuple[_Units, int]]) -> PromiseTotals:
    counted = list(each)
    return PromiseTotals(
        units=sum(units for _, units in counted),
        mass_g=figure(fsum(one.unit_g * units for one, units in counted)),
        energy_kcal=figure(fsum(one.unit_kcal * units for one, units in counted)),
    )
