"""Say in words why a lot does not go to a partner."""

from collections.abc import Mapping
from datetime import date
from typing import Final

from daysworth.db.ledger.held import Held, as_planned
from daysworth.domain.acceptance import Refusal, last_day_to_go
from daysworth.domain.foods import Food
from daysworth.domain.partners import Partner

_WORDS: Final[Mapping[Refusal, str]] = {
    Refusal.NOT_SHARED: "is kept by a household for itself",
    Refusal.NOT_SOUND: "is {condition}",
    Refusal.OPENED_HERE: "was opened here",
    Refusal.REPACKED_HERE: "was repacked here",
    Refusal.FILLED_HERE: "was filled here",
    Refusal.NOT_DATED: "has no date",
    Refusal.GROUP_NOT_TAKEN: "is of a food group that {partner} does not take",
    Refusal.LABEL_NOT_READ: "has had no whole label read, and {partner} asks for that",
    Refusal.PAST_SAFETY_DATE: "is past a date after which it goes to nobody",
    Refusal.TOO_FEW_DAYS_LEFT: "goes to {partner} until {last}, and not on {on}",
}


def called(lot: Held, food: Food | None) -> str:
    """Name a lot by its id, with its food where it is known."""
    name = lot.words if food is None else food.name
    return f"lot {lot.id!r} ({name})" if name else f"lot {lot.id!r}"


def refused_words(refusal: Refusal, *, partner: Partner, lot: Held, food: Food, on: date) -> str:
    """Say by which rule a partner does not take a lot on a day, the lot and the partner named."""
    words = _WORDS[refusal].format(
        condition=lot.condition,
        partner=partner.name,
        last=last_day_to_go(partner, as_planned(lot), food=food),
        on=on,
    )
    return f"{called(lot, food)} {words}"
