"""Gather what a delivery note says: what goes to a partner, as it stands when it is printed.

An open promise is held against the partner's rules anew, for the day of the visit or today, if that
is later: what was damaged, set aside or has passed its date since is struck, and the note says so.
Where a promise was kept the note has what went, and says which of it was set aside since: the
partner is to be told.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import fsum
from typing import Final

from daysworth.answers.acceptance_words import DONATION_LAW, refusal_words
from daysworth.answers.packing_list import in_walking_order
from daysworth.db.foods import gtins
from daysworth.db.ledger.held import Held, as_planned
from daysworth.db.partners import partners_of
from daysworth.db.places import every_place
from daysworth.db.promises import KeptPromise, PromiseLine, read_promise
from daysworth.db.snapshots import own_foods
from daysworth.db.stock import read_lots
from daysworth.db.stores import KeptStore, read_store
from daysworth.db.transactions import Reading, day_there
from daysworth.domain.acceptance import Refusal, refusal
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.demands import substance_words
from daysworth.domain.errors import StockRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, LotId, PromiseId
from daysworth.domain.kit_allergens import KitAllergens, allergens_of
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.offers import offer_of
from daysworth.domain.partners import Partner, Window
from daysworth.domain.promises import PromiseState

_WENT: Final = (PromiseState.KEPT, PromiseState.KEPT_IN_PART)

_UNSOUND: Final[Mapping[Condition, str]] = {
    Condition.DAMAGED: "it is damaged",
    Condition.QUARANTINED: "it was set aside",
}


_OF_ITS_RULES: Final = frozenset(
    {
        Refusal.GROUP_NOT_TAKEN,
        Refusal.LABEL_NOT_READ,
        Refusal.PAST_SAFETY_DATE,
        Refusal.TOO_FEW_DAYS_LEFT,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryAllergens:
    """What is known of a food's allergens, in words; `is_read` where its label was read here.

    `is_all_known`: every allergen that is not named was cleared by its label.
    """

    present: tuple[str, ...]
    may_be_present: tuple[str, ...]
    is_read: bool
    is_all_known: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryLine:
    """Units of one lot that go. `net_mass_g` is that of all of them; `pack_code` the batch.

    `printed` is the label's date as it stands there; None: it has none.
    """

    lot: str
    place_name: str
    food_name: str
    gtin: str | None
    pack_code: str | None
    units: int
    net_mass_g: float
    label_kind: LabelKind
    printed: str | None
    allergens: DeliveryAllergens


@dataclass(frozen=True, slots=True, kw_only=True)
class StruckLine:
    """Units of a lot that may not go any more, or that went and were set aside since; and why."""

    line: DeliveryLine
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryNote:
    """What a delivery note says. `opens_at` is on the clock at the partner's, in `timezone`.

    `timezone` and `minutes` None: the window is no longer there. `has_gone`: it was handed off.
    `struck` are lines that may not go, or that the partner is to be told of.
    """

    number: str
    store_name: str
    partner_name: str
    is_nonprofit: bool | None
    contact: str
    appointment: str
    driver: str
    opens_at: datetime
    timezone: str | None
    minutes: int | None
    has_gone: bool
    printed_on: date
    locale: str
    lines: tuple[DeliveryLine, ...]
    struck: tuple[StruckLine, ...]
    law: str = DONATION_LAW

    @property
    def units(self) -> int:
        """Count the units that go."""
        return sum(line.units for line in self.lines)

    @property
    def net_mass_g(self) -> float:
        """Add up the net grams that go."""
        return fsum(line.net_mass_g for line in self.lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stand:
    """A line of a promise with what stands behind it, and why it may not go; None: it may."""

    line: DeliveryLine
    place: Place
    why: str | None


def delivery_note(reading: Reading, promise: PromiseId, *, at: datetime) -> DeliveryNote:
    """Gather the note of a promise. Raises NotThere; StockRefused where nothing of it goes."""
    kept = read_promise(reading, promise)
    has_gone = kept.state in _WENT
    if not has_gone and kept.state is not PromiseState.OPEN:
        raise StockRefused(
            f"nothing of promise {promise!r} went: there is nothing to write a delivery note for"
        )
    store = read_store(reading)
    today = day_there(store.settings, at=at)
    partners = partners_of(reading.connection, reading.store)
    partner = next((one for one in partners if one.id == kept.promise.partner), None)
    stands = _stands(reading, kept, partner=partner, on=max(today, kept.promise.on))
    lines = tuple(one.line for one in stands if has_gone or one.why is None)
    struck = tuple(StruckLine(line=one.line, why=one.why) for one in stands if one.why is not None)
    if not lines:
        why = "; ".join(
            f"{one.line.food_name} (lot {one.line.lot}): {one.why}" for one in struck[:5]
        )
        raise StockRefused(f"nothing of promise {promise!r} may go any more: {why}")
    return _note(kept, store=store, partner=partner, today=today, lines=lines, struck=struck)


def _note(
    kept: KeptPromise,
    *,
    store: KeptStore,
    partner: Partner | None,
    today: date,
    lines: tuple[DeliveryLine, ...],
    struck: tuple[StruckLine, ...],
) -> DeliveryNote:
    promise = kept.promise
    window = _window_of(partner, kept)
    contacts = (
        "" if window is None else window.contact,
        "" if partner is None else partner.contact,
    )
    return DeliveryNote(
        number=promise.id,
        store_name=store.name,
        partner_name=kept.partner_name if partner is None else partner.name,
        is_nonprofit=None if partner is None else partner.is_nonprofit,
        contact=next(filter(None, contacts), ""),
        appointment="" if window is None else window.appointment,
        driver="" if window is None else window.driver,
        opens_at=promise.opens_at,
        timezone=None if window is None else window.recurrence.timezone,
        minutes=None if window is None else window.minutes,
        has_gone=kept.state in _WENT,
        printed_on=today,
        locale=store.settings.locale,
        lines=lines,
        struck=struck,
    )


def _window_of(partner: Partner | None, kept: KeptPromise) -> Window | None:
    windows = () if partner is None else partner.windows
    return next((one for one in windows if one.id == kept.promise.window), None)


def _stands(
    reading: Reading, kept: KeptPromise, *, partner: Partner | None, on: date
) -> list[_Stand]:
    """Give the lines of a promise that go or went, by place as one walks, then by name."""
    has_gone = kept.state in _WENT
    goods = _Goods(reading, kept.lines)
    found = []
    for line in kept.lines:
        units = (line.went or 0) if has_gone else line.units
        if units:
            why = goods.unsound(line.lot) if has_gone else goods.refused(line.lot, partner, on=on)
            place, written = goods.line(line.lot, units=units)
            found.append(_Stand(line=written, place=place, why=why))
    found.sort(key=lambda one: (one.line.food_name, one.line.printed or "", one.line.lot))
    places = list({one.place.id: one.place for one in found}.values())
    grouped = in_walking_order(found, places=places, place_of=lambda one: one.place.id)
    return [one for _, here in grouped for one in here]


class _Goods:
    """The lots of a promise as they stand now, with their foods and places."""

    def __init__(self, reading: Reading, lines: Sequence[PromiseLine]) -> None:
        self._held: Mapping[LotId, Held] = read_lots(reading, {line.lot for line in lines})
        self._lots: Mapping[LotId, Lot] = {
            id_: as_planned(held) for id_, held in self._held.items()
        }
        own = {one.id: one for one in own_foods(reading.connection, reading.store)}
        self._foods: Mapping[FoodId, Food] = {**generic_foods(), **own}
        self._places = {
            one.id: Place(id=one.id, name=one.name, walk_position=one.walk_position)
            for one in every_place(reading)
        }
        self._gtins = gtins(reading)

    def unsound(self, lot: LotId) -> str | None:
        """Say what is wrong with a lot, whoever takes it; None: nothing is known to be."""
        return _UNSOUND.get(self._lots[lot].condition)

    def refused(self, lot: LotId, partner: Partner | None, *, on: date) -> str | None:
        """Say why a lot may not go to a partner on a day; None: it may."""
        of, food = self._lots[lot], self._foods[self._lots[lot].food]
        if partner is None:
            return "its partner is no longer there"
        found = refusal(partner, of, food=food, on=on)
        if found is None:
            return None
        if found is Refusal.NOT_SOUND:
            return _UNSOUND[of.condition]
        words = refusal_words(found, partner=partner, lot=of, food=food)
        return f"the partner {words}" if found in _OF_ITS_RULES else words

    def line(self, lot: LotId, *, units: int) -> tuple[Place, DeliveryLine]:
        """Write units of a lot, and say where they stand."""
        of, held = self._lots[lot], self._held[lot]
        food, place = self._foods[of.food], self._places[of.place]
        written = DeliveryLine(
            lot=of.id,
            place_name=place.name,
            food_name=food.name,
            gtin=self._gtins.get(food.id),
            pack_code=held.pack_code,
            units=units,
            net_mass_g=units * (food.net_mass_g if of.net_mass_g is None else of.net_mass_g),
            label_kind=of.label_kind,
            printed=of.printed,
            allergens=_in_words(allergens_of([offer_of(of, food)])),
        )
        return place, written


def _in_words(found: KitAllergens) -> DeliveryAllergens:
    return DeliveryAllergens(
        present=tuple(substance_words(one) for one in found.present),
        may_be_present=tuple(substance_words(one) for one in found.may_be_present),
        is_read=found.is_read,
        is_all_known=not found.not_known,
    )
