"""Say what is decided at a round, and find what stands in its way before anything is changed."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from daysworth.db.kits import KeptKit, read_kits
from daysworth.db.ledger.held import Held, as_planned, find_all
from daysworth.db.ledger.intake import foods_named
from daysworth.db.transactions import Writing
from daysworth.domain.entries import KitState, RoundOutcome
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, KitId, LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from daysworth.domain.rounds import LOOK_AHEAD_DAYS

FIRST_ROUND_DAY = date(2000, 1, 1)
OF_A_KIT = (RoundOutcome.EATEN, RoundOutcome.UNPACKED)
OF_A_LOT = (RoundOutcome.EATEN, RoundOutcome.GIVEN, RoundOutcome.DISCARDED)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundDecision:
    """What becomes of units of a lot, or of a whole kit, at a round.

    A lot is eaten, given or discarded; a kit is eaten whole, or unpacked. `to` is who is given it,
    in words; `why` is asked for what is discarded.
    """

    outcome: RoundOutcome
    lot: LotId | None = None
    kit: KitId | None = None
    units: int | None = None
    why: str | None = None
    to: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DecidedOn:
    """What the decisions of a round are about, as it is before any of them is done."""

    kits: Mapping[KitId, KeptKit]
    lots: Mapping[LotId, Held]
    foods: Mapping[FoodId, Food]

    def food_of(self, lot: Held) -> Food | None:
        """Give the food of a lot; None: nobody said what it is."""
        return None if lot.food is None else self.foods.get(FoodId(lot.food))


def check_decisions(
    writing: Writing, round_on: date, *, decisions: Sequence[RoundDecision]
) -> DecidedOn:
    """Find what decisions are about. Raises FieldsRefused, naming every fault by number."""
    kits = read_kits(writing, {one.kit for one in decisions if one.kit is not None})
    named = {one.lot for one in decisions if one.lot is not None}
    packed = {item.lot for kept in kits.values() for item in kept.kit.items}
    lots = find_all(writing, named | packed)
    foods = foods_named(writing, {FoodId(lot.food) for lot in lots.values() if lot.food})
    about = DecidedOn(kits=kits, lots=lots, foods=foods)
    faults = [
        *_round_faults(writing, round_on),
        *_together(decisions, about=about),
        *(
            Fault(f"decisions number {number}{where}", what)
            for number, one in enumerate(decisions, start=1)
            for where, what in _faults(one, about=about, writing=writing)
        ),
    ]
    if not decisions:
        faults.append(Fault("decisions", "there is nothing to record"))
    if faults:
        raise FieldsRefused(tuple(faults))
    return about


def _round_faults(writing: Writing, round_on: date) -> Iterator[Fault]:
    if not FIRST_ROUND_DAY <= round_on <= writing.today + timedelta(days=LOOK_AHEAD_DAYS):
        yield Fault("round_on", "must be the day of a round, from 2000 to two years from now")


def _together(decisions: Sequence[RoundDecision], *, about: DecidedOn) -> Iterator[Fault]:
    """Find what is decided twice, and lots of which more is taken than is free.

    What is unpacked at the round is free for its other decisions.
    """
    free = Counter({id_: lot.units_free for id_, lot in about.lots.items()})
    kits = Counter(one.kit for one in decisions if one.kit is not None)
    unpacked = {one.kit for one in decisions if one.outcome is RoundOutcome.UNPACKED}
    for kept in about.kits.values():
        if kept.id in unpacked:
            free.update({item.lot: item.units for item in kept.kit.items})
    for number, one in enumerate(decisions, start=1):
        where, lot, units = f"decisions number {number}", one.lot, one.units or 0
        if one.kit is not None and kits[one.kit] > 1:
            yield Fault(f"{where} > kit", f"kit {one.kit!r} is decided on {kits[one.kit]} times")
        if lot is not None and lot in about.lots and units > 0:
            left = max(0, free[lot])
            free[lot] -= units
            if units > left:
                what = f"{units} asked for, and {left} are free to be taken from lot {lot!r}"
                yield Fault(f"{where} > units", what)


Faults = Iterator[tuple[str, str]]
"""Where in a decision, and what."""


def _faults(one: RoundDecision, *, about: DecidedOn, writing: Writing) -> Faults:
    if (one.lot is None) == (one.kit is None):
        yield "", "is on a lot or on a kit, one of them"
    elif one.kit is not None:
        yield from _kit_faults(one, one.kit, about=about, writing=writing)
    elif one.lot is not None:
        yield from _lot_faults(one, one.lot, about=about, writing=writing)


def _kit_faults(one: RoundDecision, kit: KitId, *, about: DecidedOn, writing: Writing) -> Faults:
    if one.outcome not in OF_A_KIT:
        yield " > outcome", "a kit is eaten whole, or unpacked"
    if one.units is not None:
        yield " > units", "a kit is taken whole: give no units"
    kept = about.kits.get(kit)
    if kept is None:
        yield " > kit", f"there is no kit {kit!r}"
        return
    if kept.state is not KitState.CLOSED:
        yield " > kit", f"kit {kit!r} was {kept.state} already"
    elif one.outcome is RoundOutcome.EATEN:
        for item in kept.kit.items:
            what = _not_eaten(about.lots[item.lot], about=about, writing=writing)
            if what is not None:
                yield " > kit", f"unpack it: {what}"


def _lot_faults(one: RoundDecision, lot: LotId, *, about: DecidedOn, writing: Writing) -> Faults:
    if one.outcome not in OF_A_LOT:
        yield " > outcome", "a lot is eaten, given or discarded"
    if one.units is None or one.units < 1:
        yield " > units", "say how many units, 1 or more"
    if one.outcome is RoundOutcome.GIVEN and not one.to:
        yield " > to", "say who is given it"
    if one.outcome is RoundOutcome.DISCARDED and not one.why:
        yield " > why", "say why it is thrown away"
    held = about.lots.get(lot)
    if held is None:
        yield " > lot", f"there is no lot {lot!r}"
        return
    what = None
    if one.outcome is RoundOutcome.EATEN:
        what = _not_eaten(held, about=about, writing=writing)
    if one.outcome is RoundOutcome.GIVEN:
        what = _not_given(held, about=about, writing=writing)
    if what is not None:
        yield " > lot", what


def _not_eaten(lot: Held, *, about: DecidedOn, writing: Writing) -> str | None:
    """Say why nobody is to eat of a lot; None: they may, past a best-by date by their own eyes."""
    food = about.food_of(lot)
    if food is None:
        return f"nobody said what food lot {lot.id!r} is"
    if lot.condition != Condition.SOUND:
        return f"lot {lot.id!r} is {lot.condition}: throw it away, or settle that first"
    day = _day_past(lot, food=food, writing=writing)
    is_safety = lot.label_kind == LabelKind.USE_BY or food.is_for_infants
    if day is not None and (is_safety or lot.opened_on or lot.repacked_on):
        return f"lot {lot.id!r} was good until {day}: it can only be thrown away"
    return None


def _not_given(lot: Held, *, about: DecidedOn, writing: Writing) -> str | None:
    """Say why a lot is not to be handed off; None: it may be."""
    food = about.food_of(lot)
    if food is None:
        return f"nobody said what food lot {lot.id!r} is"
    if lot.condition != Condition.SOUND:
        return f"lot {lot.id!r} is {lot.condition}: it is not handed off"
    if lot.opened_on is not None:
        return f"lot {lot.id!r} was opened on {lot.opened_on}: it is not handed off"
    day = _day_past(lot, food=food, writing=writing)
    return None if day is None else f"lot {lot.id!r} was good until {day}: it is not handed off"


def _day_past(lot: Held, *, food: Food, writing: Writing) -> date | None:
    """Give the last good day of a lot where it is over; None: it is not, or it is undated."""
    day = as_planned(lot).last_good_day(food, grace_days=writing.settings.grace_days)
    return day if day is not None and day < writing.today else None
