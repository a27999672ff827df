"""Answer whether a food may go in a household's parcel: yes, no, or not known, and why.

"Yes" is said of a food that somebody in the home may eat, that breaks nothing which binds the home,
and of which there is a pack to give. Words alone earn no "yes" for a home that must avoid
something: they can only show that a thing must not go in.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from daysworth.domain.ages import Stage
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.labels import LabelReading
from daysworth.domain.offers import Offer
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import Fit, Table, fit
from daysworth.planners.shelf import DatedLot, Standing


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


WORST_FIRST: Final = (MayGo.NO, MayGo.NOT_KNOWN, MayGo.YES)


@dataclass(frozen=True, slots=True)
class HeldBack:
    """Why a lot is not given to anybody now, whatever is on its label."""

    may_go: MayGo
    words: str


_BY_STANDING: Final = {
    Standing.PAST: HeldBack(MayGo.NO, "it is past its last good day"),
    Standing.DAMAGED: HeldBack(MayGo.NO, "it is damaged, and to be discarded"),
    Standing.QUARANTINED: HeldBack(MayGo.NO, "it is set aside until somebody decides"),
    Standing.UNDATED: HeldBack(MayGo.NOT_KNOWN, "it has no date: look for one on the pack"),
}
_PROMISED: Final = HeldBack(MayGo.NO, "none of it is left that is not promised")
_ANOTHERS: Final = HeldBack(MayGo.NO, "a household keeps it for itself")


def held_back(item: DatedLot, household: HouseholdId) -> HeldBack | None:
    """Say why a lot can not be given to a household now; None: it can, if its label allows it."""
    if not item.lot.is_shared and item.lot.owner != household:
        return _ANOTHERS
    if item.standing in _BY_STANDING:
        return _BY_STANDING[item.standing]
    return None if item.lot.units_to_eat > 0 else _PROMISED


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One food, as one label has it, that may be meant; `lots` hold it, if any.

    `held_back` says for each lot that can not be given why not.
    """

    offer: Offer
    lots: tuple[DatedLot, ...]
    fit: Fit
    held_back: tuple[HeldBack, ...] = ()

    @property
    def may_go(self) -> MayGo:
        """Tell whether this one may go in: by its label, and by whether there is one to give."""
        said = {_BY_VERDICT[self.fit.verdict]}
        if self.is_held_back:
            # One that only needs a date may go in once it has one.
            said.add(max((one.may_go for one in self.held_back), key=WORST_FIRST.index))
        return min(said, key=WORST_FIRST.index)

    @property
    def is_held_back(self) -> bool:
        """Tell whether no pack of it can be given now, though there are some."""
        return bool(self.lots) and len(self.held_back) == len(self.lots)


def candidate(
    offer: Offer, lots: Sequence[DatedLot], *, table: Table, household: HouseholdId
) -> Candidate:
    """Judge one label, with the lots that have it."""
    kept = (held_back(item, household) for item in lots)
    return Candidate(
        offer=offer,
        lots=tuple(lots),
        fit=fit(offer, table),
        held_back=tuple(one for one in kept if one is not None),
    )


def avoids_something(table: Table) -> bool:
    """Tell whether anybody at a table must avoid anything, by a need or by age."""
    return bool(table.home) or any(
        eater.stage is not Stage.TABLE_FOOD or not all(one.only_advises for one in eater.demands)
        for _, eater in table.eaters
    )


def candidates(
    foods: Iterable[Food],
    *,
    stock: Mapping[Offer, Sequence[DatedLot]],
    table: Table,
    household: HouseholdId,
) -> tuple[Candidate, ...]:
    """Judge every label that the foods have in stock, or the food alone where there is none."""
    by_food: dict[FoodId, list[Offer]] = {}
    for offer in stock:
        by_food.setdefault(offer.food.id, []).append(offer)
    return tuple(
        candidate(offer, stock.get(offer, ()), table=table, household=household)
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
