"""Write how much more could go if everyone were to stay fed for other days than the store's floor.

The names here are the names in JSON.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from daysworth.answers.kit_words import number_words
from daysworth.answers.rounding import figure
from daysworth.answers.surplus import SurplusAnswer, SurplusTotals
from daysworth.answers.written import written

MOST_FLOORS: Final = 6
"""How many floors are tried at once, beside the store's own: each is a plan of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorAnswer:
    """What would go with a floor, and how much more than with the store's own; below 0: less.

    `below_floor_on` is the first day on which everyone is fed for fewer days than the floor anyway;
    `held_days` on how many days it holds something back.
    """

    floor_days: int
    is_own_floor: bool
    totals: SurplusTotals
    more_units: int
    more_mass_g: float
    more_energy_kcal: float
    below_floor_on: date | None
    held_days: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorsAnswer:
    """What could go with each of some floors, the store's own among them, the lowest first."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    until_on: date
    own_floor_days: int
    partners: list[str] | None
    floors: list[FloorAnswer]


def floors_answer(own: SurplusAnswer, others: Sequence[SurplusAnswer]) -> FloorsAnswer:
    """Write plans with other floors beside the one with the store's own, each floor once."""
    by_floor = {one.floor_days: one for one in (*others, own)}
    return FloorsAnswer(
        question="surplus_floors",
        release=own.release,
        store=own.store,
        store_name=own.store_name,
        version=own.version,
        as_of=own.as_of,
        until_on=own.until_on,
        own_floor_days=own.floor_days,
        partners=own.partners,
        floors=[_floor(by_floor[days], own=own) for days in sorted(by_floor)],
    )


def floors_json(answer: FloorsAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=FloorsAnswer)


def _floor(one: SurplusAnswer, *, own: SurplusAnswer) -> FloorAnswer:
    said, owns = one.totals, own.totals
    return FloorAnswer(
        floor_days=one.floor_days,
        is_own_floor=one.floor_days == own.floor_days,
        totals=said,
        more_units=said.units - owns.units,
        more_mass_g=figure(said.mass_g - owns.mass_g),
        more_energy_kcal=figure(said.energy_kcal - owns.energy_kcal),
        below_floor_on=one.below_floor_on,
        held_days=one.held_days,
        words=_words(one, own=own),
    )


def _words(one: SurplusAnswer, *, own: SurplusAnswer) -> str:
    days = one.floor_days
    floor = "with no floor" if days == 0 else f"with everyone fed for {days} days"
    goes = f"{floor}, {_kg(one.totals.mass_g)} could go"
    if days == own.floor_days:
        return f"{goes}: this is the store's own floor"
    more_g = one.totals.mass_g - own.totals.mass_g
    if figure(more_g) == 0:
        return f"{goes}, as much as with the store's own floor"
    more = f"{_kg(abs(more_g))} {'more' if more_g > 0 else 'less'}"
    return f"{goes}, {more} than with the store's own floor"


def _kg(mass_g: float) -> str:
    return f"{number_words(round(mass_g / 1000, 1))} kg"
