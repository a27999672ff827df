"""Find what stands in the way of recording a hand-off, before anything is changed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from daysworth.db.ledger.held import Held, as_planned, find_all
from daysworth.db.ledger.intake import foods_named
from daysworth.db.ledger.refused import refused_words
from daysworth.db.partners import read_partner
from daysworth.db.promises import KeptPromise, PromiseLine
from daysworth.db.transactions import Writing, day_there
from daysworth.domain.acceptance import refusal
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.partners import Partner


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatWent:
    """How many units of each lot of a promise went, on which day, and why not all of them.

    A lot that `went` does not name went as promised. `why` is the reason for lots without their
    own.
    """

    went: Mapping[LotId, int]
    whys: Mapping[LotId, str]
    why: str | None
    handed_on: date

    def why_not(self, lot: LotId) -> str | None:
        """Give the reason why not all of a lot went."""
        return self.whys.get(lot, self.why)

    def where(self, lot: LotId) -> str:
        """Say where a lot stands in what was asked, as a person counts."""
        numbers = {one: number for number, one in enumerate(self.went, start=1)}
        return f"went number {numbers[lot]}" if lot in numbers else "went"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToHandOff:
    """What a hand-off is about, as it is before anything is done."""

    partner: Partner
    lots: Mapping[LotId, Held]
    foods: Mapping[FoodId, Food]

    def food_of(self, lot: LotId) -> Food:
        """Give the food of a lot: what was promised has one."""
        food = self.lots[lot].food
        assert food is not None, "a lot without a food is never promised"
        return self.foods[FoodId(food)]


def check_hand_off(writing: Writing, kept: KeptPromise, *, what: WhatWent) -> ToHandOff:
    """Find what a hand-off is about. Raises FieldsRefused, naming every lot that is at fault."""
    lots = find_all(writing, {line.lot for line in kept.lines})
    foods = foods_named(writing, {FoodId(lot.food) for lot in lots.values() if lot.food})
    partner = read_partner(writing, kept.promise.partner).partner
    about = ToHandOff(partner=partner, lots=lots, foods=foods)
    faults = (
        *_day_faults(writing, kept, what=what),
        *_strangers(kept, what),
        *(fault for line in kept.lines for fault in _faults(line, what, about=about)),
    )
    if faults:
        raise FieldsRefused(faults)
    return about


def _day_faults(writing: Writing, kept: KeptPromise, *, what: WhatWent) -> Iterator[Fault]:
    made_on = day_there(writing.settings, at=datetime.fromisoformat(kept.made_at))
    if not made_on <= what.handed_on <= writing.today:
        yield Fault("handed_on", f"must be a day from {made_on}, when it was promised, to today")


def _strangers(kept: KeptPromise, what: WhatWent) -> Iterator[Fault]:
    promised = {line.lot for line in kept.lines}
    for lot in sorted({*what.went, *what.whys} - promised):
        yield Fault(what.where(lot), f"lot {lot!r} is not in promise {kept.id!r}")


def _faults(line: PromiseLine, what: WhatWent, *, about: ToHandOff) -> Iterator[Fault]:
    lot, units, went = line.lot, line.units, what.went.get(line.lot, line.units)
    where = what.where(lot)
    if went < 0:
        yield Fault(where, "say how many units went, 0 or more")
    elif went > units:
        yield Fault(
            where,
            f"{went} are said to have gone of lot {lot!r}, and {units} were promised: promise the "
            "rest before you hand it off",
        )
    elif went < units and not what.why_not(lot):
        yield Fault(where, f"{went} of {units} went of lot {lot!r}: say why the others did not")
    if went > 0:
        held, food = about.lots[lot], about.food_of(lot)
        why = refusal(about.partner, as_planned(held), food=food, on=what.handed_on)
        if why is not None:
            words = refused_words(
                why, partner=about.partner, lot=held, food=food, on=what.handed_on
            )
            yield Fault(where, f"{words}: give 0 of it, with the reason")
