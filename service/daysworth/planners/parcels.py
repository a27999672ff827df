"""Answer whether a food may go in a household's parcel: yes, no, or not known, and why.

"Yes" is said of a food that somebody in the home may eat and that breaks nothing which binds the
home. Words alone never earn a "yes": they can only show that something must not go in.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId
from daysworth.domain.labels import LabelReading
from daysworth.domain.offers import Offer
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import Fit, Table, fit
from daysworth.planners.shelf import DatedLot


class MayGo(StrEnum):
    """Whether a food may go in a parcel."""

    YES = "yes"
    NO = "no"
    NOT_KNOWN = "not_known"


_BY_VERDICT: Final = {
    Verdict.SUITABLE: MayGo.YES,
    Verdict.UNKNOWN: MayGo.NOT_KNOWN,
    Verdict.UNSUITABLE: MayGo.NO,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One food, as one label has it, that may be meant; `lots` hold it, if any."""

    offer: Offer
    lots: tuple[DatedLot, ...]
    fit: Fit

    @property
    def may_go(self) -> MayGo:
        """Tell whether this one may go in."""
        return _BY_VERDICT[self.fit.verdict]


def candidates(
    foods: Iterable[Food], *, stock: Mapping[Offer, Sequence[DatedLot]], table: Table
) -> tuple[Candidate, ...]:
    """Judge every label that the foods have in stock, or the food alone where there is none."""
    by_food: dict[FoodId, list[Offer]] = {}
    for offer in stock:
        by_food.setdefault(offer.food.id, []).append(offer)
    return tuple(
        Candidate(offer=offer, lots=tuple(stock.get(offer, ())), fit=fit(offer, table))
        for food in foods
        for offer in by_food.get(food.id) or [Offer(food)]
    )


def by_words(words: str, table: Table) -> Fit:
    """Judge a food of which nothing is known but what it is called."""
    food = Food(
        id=FoodId("asked"),
        name=words,
        group=FoodGroup.PREPARED_MEALS,
        energy_kcal_100g=0,
        protein_g_100g=0,
        net_mass_g=100,
    )
    return fit(Offer(food, (LabelReading(text=words),)), table)


def together(found: Sequence[Candidate]) -> MayGo:
    """Answer for all that may be meant: what holds for each of them, or else not known."""
    answers = {one.may_go for one in found}
    return answers.pop() if len(answers) == 1 else MayGo.NOT_KNOWN
