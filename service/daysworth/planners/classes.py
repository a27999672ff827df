"""Find the eating classes: who can eat the same stacks, so that they can share a plan.

A class is all members with the same set of suitable stacks and the same ratio of protein to
energy. Members with different ratios are pooled first and split only where the pool's plan is
not dense enough in protein for its neediest member; `coverage` proves when pooling is exact.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum

from daysworth.domain.demands import Eater
from daysworth.domain.eaters import eater_of
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.needs import daily_need
from daysworth.domain.offers import Offer
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.domain.verdicts import Verdict
from daysworth.planners.scenario import Scenario
from daysworth.planners.shelf import Stack


@dataclass(frozen=True, slots=True)
class Mouth:
    """One member with a need: kcal and grams of protein a day, and litres of stored water.

    The litres are an equal share of what the whole household drinks, pets and breastfed infants
    included, so that each class carries the water of its homes.
    """

    household: HouseholdId
    eater: Eater
    energy_kcal: float
    protein_g: float
    water_l: float

    @property
    def ratio(self) -> float:
        """Give grams of protein needed per kcal needed."""
        return self.protein_g / self.energy_kcal


@dataclass(frozen=True, slots=True)
class EatingClass:
    """Members who can eat the same stacks, with their needs a day summed up.

    `suits` holds the positions of the stacks that suit them. `keeper` is the household whose own
    stock makes them a class of their own, if any.
    """

    mouths: tuple[Mouth, ...]
    suits: frozenset[int]
    keeper: HouseholdId | None
    energy_kcal: float
    protein_g: float
    water_l: float
    highest_ratio: float

    @property
    def is_mixed(self) -> bool:
        """Tell whether its members' ratios of protein to energy differ."""
        return any(mouth.ratio != self.mouths[0].ratio for mouth in self.mouths)


def is_present(member: Member, as_of: date) -> bool:
    """Tell whether a member is born by a date; one who is not has no need yet."""
    return member.born_on is None or member.born_on <= as_of


def household_water_l(household: Household, *, snapshot: Snapshot, as_of: date) -> float:
    """Give the litres of stored water that a household, its pets too, is due a day."""
    people = sum(is_present(member, as_of) for member in household.members)
    settings = snapshot.settings
    return people * settings.water_l_per_person_day + household.pets * settings.water_l_per_pet_day


def present_households(snapshot: Snapshot, scenario: Scenario) -> tuple[Household, ...]:
    """List the households that are not away."""
    return tuple(
        household
        for household in snapshot.households
        if household.id not in scenario.households_away
    )


def mouths_of(snapshot: Snapshot, *, scenario: Scenario, as_of: date) -> tuple[Mouth, ...]:
    """List every present member who has a need on a date."""
    return tuple(
        mouth
        for household in present_households(snapshot, scenario)
        for mouth in _household_mouths(household, snapshot=snapshot, scenario=scenario, as_of=as_of)
    )


def _household_mouths(
    household: Household, *, snapshot: Snapshot, scenario: Scenario, as_of: date
) -> list[Mouth]:
    basis = scenario.basis or snapshot.settings.needs_basis
    present = [member for member in household.members if is_present(member, as_of)]
    needs = [
        (member, daily_need(member, as_of=as_of, basis=basis, ration=scenario.ration))
        for member in present
    ]
    fed = [(member, need) for member, need in needs if not need.is_none]
    water_l = household_water_l(household, snapshot=snapshot, as_of=as_of)
    return [
        Mouth(
            household.id,
            eater_of(member, household=household, as_of=as_of),
            need.energy_kcal,
            need.protein_g,
            water_l / len(fed),
        )
        for member, need in fed
    ]


Supposing = Callable[[Offer], bool]
"""Says of which labels it is supposed that they suit where that is not known."""


def nothing_unknown_suits(_offer: Offer) -> bool:
    """Suppose nothing: what is not known does not suit."""
    return False


def all_unknown_suits(_offer: Offer) -> bool:
    """Suppose that every label proves suitable where it is not known."""
    return True


def classes_of(
    mouths: Iterable[Mouth],
    *,
    suits: "Suits",
    keepers: frozenset[HouseholdId],
    if_suits: Supposing = nothing_unknown_suits,
) -> tuple[EatingClass, ...]:
    """Pool members by the stacks that suit them, ordered by content and never by id.

    `keepers` are households with food or water of their own. `if_suits` asks what the answer would
    be if some labels, of which it is not known whom they suit, proved suitable.
    """
    found: dict[tuple[Eater, HouseholdId | None], frozenset[int]] = {}
    pools: dict[tuple[frozenset[int], HouseholdId | None], list[Mouth]] = {}
    for mouth in mouths:
        keeper = mouth.household if mouth.household in keepers else None
        who = (mouth.eater, keeper)
        if who not in found:
            found[who] = suits.positions(*who, if_suits=if_suits)
        pools.setdefault((found[who], keeper), []).append(mouth)
    return in_order(
        eating_class(pool, suits=positions, keeper=keeper)
        for (positions, keeper), pool in pools.items()
    )


class Suits:
    """Remember which stacks suit which eater, judging each distinct offer and eater once.

    What is supposed of labels that are not known comes on top, so every plan of one question can
    go by the same judgements.
    """

    def __init__(self, stacks: Sequence[Stack], *, judge: Judge) -> None:
        self._judge = judge
        by_offer: dict[tuple[HouseholdId | None, Offer], list[int]] = {}
        for position, stack in enumerate(stacks):
            by_offer.setdefault((stack.kept_by, stack.offer), []).append(position)
        self._offered = tuple(
            (kept_by, offer, tuple(found)) for (kept_by, offer), found in by_offer.items()
        )
        self._verdicts: dict[Eater, tuple[Verdict, ...]] = {}

    def positions(
        self,
        eater: Eater,
        keeper: HouseholdId | None,
        *,
        if_suits: Supposing = nothing_unknown_suits,
    ) -> frozenset[int]:
        """Give the positions of the stacks that an eater of a household may eat."""
        return self._standing(
            eater,
            keeper,
            is_meant=lambda verdict, offer: (
                verdict is Verdict.SUITABLE or (verdict is Verdict.UNKNOWN and if_suits(offer))
            ),
        )

    def unknown(self, eater: Eater, keeper: HouseholdId | None) -> frozenset[int]:
        """Give the positions of the stacks of which it is not known whether they suit an eater."""
        return self._standing(eater, keeper, is_meant=lambda verdict, _: verdict is Verdict.UNKNOWN)

    def _standing(
        self,
        eater: Eater,
        keeper: HouseholdId | None,
        *,
        is_meant: Callable[[Verdict, Offer], bool],
    ) -> frozenset[int]:
        verdicts = zip(self._offered, self._judged(eater), strict=True)
        return frozenset(
            position
            for (kept_by, offer, found), verdict in verdicts
            if kept_by in (None, keeper) and is_meant(verdict, offer)
            for position in found
        )

    def _judged(self, eater: Eater) -> tuple[Verdict, ...]:
        if eater not in self._verdicts:
            self._verdicts[eater] = tuple(
                self._judge(offer, eater).verdict for _, offer, _ in self._offered
            )
        return self._verdicts[eater]


def eating_class(
    mouths: Iterable[Mouth], *, suits: frozenset[int], keeper: HouseholdId | None
) -> EatingClass:
    """Sum up members into one class. The sums are exact, whatever the members' order."""
    pool = tuple(mouths)
    return EatingClass(
        pool,
        suits,
        keeper,
        fsum(mouth.energy_kcal for mouth in pool),
        fsum(mouth.protein_g for mouth in pool),
        fsum(mouth.water_l for mouth in pool),
        max(mouth.ratio for mouth in pool),
    )


def in_order(classes: Iterable[EatingClass]) -> tuple[EatingClass, ...]:
    """Sort classes by their figures, so that a plan depends on neither order nor ids."""
    return tuple(
        sorted(
            classes,
            key=lambda one: (
                one.energy_kcal,
                one.protein_g,
                one.water_l,
                len(one.mouths),
                one.highest_ratio,
                sorted(one.suits),
            ),
        )
    )


def split_by_ratio(one: EatingClass, density: float) -> tuple[EatingClass, EatingClass]:
    """Part a class into those whose ratio a plan of this density meets, and the needier.

    `density` is grams of protein per kcal, at least the class's mean ratio and below its highest.
    """
    met = [mouth for mouth in one.mouths if mouth.ratio <= density]
    rest = [mouth for mouth in one.mouths if mouth.ratio > density]
    return (
        eating_class(met, suits=one.suits, keeper=one.keeper),
        eating_class(rest, suits=one.suits, keeper=one.keeper),
    )
