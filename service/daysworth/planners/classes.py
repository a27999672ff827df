"""Find the eating classes: who can eat the same stacks, so that they can share a plan.

A class is all members with the same set of suitable stacks and the same ratio of protein to
energy. Members with different ratios are pooled first and split only where the pool's plan is
not dense enough in protein for its neediest member; `coverage` proves when pooling is exact.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final

from daysworth.domain.demands import Eater
from daysworth.domain.eaters import eater_of
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.needs import daily_need
from daysworth.domain.offers import Offer
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge, apart
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

    `shared` holds the positions of the shared stacks that suit them: one and the same object in
    all classes of one question with the same ones. `own` holds those of their household's own
    stacks. `keeper` is the household whose own stock makes them a class of their own, if any.
    """

    mouths: tuple[Mouth, ...]
    shared: frozenset[int]
    own: frozenset[int]
    keeper: HouseholdId | None
    energy_kcal: float
    protein_g: float
    water_l: float
    highest_ratio: float

    @property
    def suits(self) -> frozenset[int]:
        """Give the positions of all stacks that suit them, shared and their own."""
        return self.shared | self.own if self.own else self.shared

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
        for mouth in household_mouths(household, snapshot=snapshot, scenario=scenario, as_of=as_of)
    )


def household_mouths(
    household: Household, *, snapshot: Snapshot, scenario: Scenario, as_of: date
) -> list[Mouth]:
    """List a household's present members who have a need on a date, in their order."""
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
    supposed = suits.supposed(if_suits)
    found: dict[tuple[Eater, HouseholdId | None], tuple[frozenset[int], frozenset[int]]] = {}
    pools: dict[tuple[int, frozenset[int], HouseholdId | None], list[Mouth]] = {}
    sets: dict[int, frozenset[int]] = {}
    for mouth in mouths:
        keeper = mouth.household if mouth.household in keepers else None
        who = (mouth.eater, keeper)
        if who not in found:
            offers = suits.offers(mouth.eater, supposed)
            found[who] = suits.shared(offers), suits.own(offers, keeper)
        shared, own = found[who]
        # The same shared stacks are the same object: large sets take long to compare.
        sets[id(shared)] = shared
        pools.setdefault((id(shared), own, keeper), []).append(mouth)
    return in_order(
        eating_class(pool, shared=sets[shared_id], own=own, keeper=keeper)
        for (shared_id, own, keeper), pool in pools.items()
    )


_NOTHING: Final[frozenset[int]] = frozenset()
_SUITABLE: Final = Verdict.SUITABLE
_UNKNOWN: Final = Verdict.UNKNOWN


@dataclass(frozen=True, slots=True)
class _Found:
    """Which offers suit an eater, and of which it is not known, by their numbers."""

    suitable: frozenset[int]
    unknown: frozenset[int]


class Suits:
    """Remember which stacks suit which eater, judging each distinct offer once for each demand.

    What is supposed of labels that are not known comes on top, so every plan of one question can
    go by the same judgements.
    """

    def __init__(self, stacks: Sequence[Stack], *, judge: Judge) -> None:
        self._judge = judge
        self._numbers: dict[Offer, int] = {}
        self._stacks: dict[HouseholdId | None, dict[int, list[int]]] = {None: {}}
        for position, stack in enumerate(stacks):
            number = self._numbers.setdefault(stack.offer, len(self._numbers))
            offered = self._stacks.setdefault(stack.kept_by, {})
            offered.setdefault(number, []).append(position)
        self._offers = tuple(self._numbers)
        self._found: dict[Eater, _Found] = {}
        self._suiting: dict[tuple[Eater, frozenset[int]], frozenset[int]] = {}
        self._shared: dict[frozenset[int], frozenset[int]] = {}

    def supposed(self, if_suits: Supposing) -> frozenset[int]:
        """Give the numbers of the offers that are supposed to suit where that is not known."""
        return frozenset(number for number, offer in enumerate(self._offers) if if_suits(offer))

    def offers(self, eater: Eater, supposed: frozenset[int]) -> frozenset[int]:
        """Give the numbers of the offers that an eater may eat."""
        who = (eater, supposed)
        if who not in self._suiting:
            found = self._judged(eater)
            self._suiting[who] = found.suitable | (found.unknown & supposed)
        return self._suiting[who]

    def shared(self, offers: frozenset[int]) -> frozenset[int]:
        """Give the positions of the shared stacks of some offers.

        The same stacks are always given as the same object.
        """
        if offers not in self._shared:
            # Different offers can have the same stacks, where some are only households' own.
            shared = offers.intersection(self._stacks[None])
            if shared not in self._shared:
                self._shared[shared] = self._positions(None, shared)
            self._shared[offers] = self._shared[shared]
        return self._shared[offers]

    def own(self, offers: frozenset[int], keeper: HouseholdId | None) -> frozenset[int]:
        """Give the positions of a household's own stacks of some offers."""
        return _NOTHING if keeper is None else self._positions(keeper, offers)

    def unknown(self, eater: Eater, keeper: HouseholdId | None) -> frozenset[int]:
        """Give the positions of the stacks of which it is not known whether they suit an eater."""
        offers = self._judged(eater).unknown
        return self._positions(None, offers) | self._positions(keeper, offers)

    def _positions(self, keeper: HouseholdId | None, offers: frozenset[int]) -> frozenset[int]:
        offered = self._stacks.get(keeper, {})
        return _NOTHING.union(*(offered[number] for number in offers.intersection(offered)))

    def _judged(self, eater: Eater) -> _Found:
        if eater not in self._found:
            parts = apart(eater)
            self._found[eater] = (
                self._verdicts(eater) if parts == (eater,) else _worst(map(self._judged, parts))
            )
        return self._found[eater]

    def _verdicts(self, eater: Eater) -> _Found:
        verdicts = [self._judge(offer, eater).verdict for offer in self._offers]
        return _Found(
            frozenset(n for n, verdict in enumerate(verdicts) if verdict is _SUITABLE),
            frozenset(n for n, verdict in enumerate(verdicts) if verdict is _UNKNOWN),
        )


def _worst(each: Iterable[_Found]) -> _Found:
    """Take the worst that was found of each offer."""
    found = tuple(each)
    suitable = frozenset.intersection(*(one.suitable for one in found))
    possible = frozenset.intersection(*(one.suitable | one.unknown for one in found))
    return _Found(suitable, possible - suitable)


def eating_class(
    mouths: Iterable[Mouth],
    *,
    shared: frozenset[int],
    own: frozenset[int] = _NOTHING,
    keeper: HouseholdId | None,
) -> EatingClass:
    """Sum up members into one class. The sums are exact, whatever the members' order.

    `shared` are the positions of the shared stacks that suit them, `own` those of their own.
    """
    pool = tuple(mouths)
    return EatingClass(
        pool,
        shared,
        own,
        keeper,
        fsum(mouth.energy_kcal for mouth in pool),
        fsum(mouth.protein_g for mouth in pool),
        fsum(mouth.water_l for mouth in pool),
        max(mouth.ratio for mouth in pool),
    )


def in_order(classes: Iterable[EatingClass]) -> tuple[EatingClass, ...]:
    """Sort classes by their figures, so that a plan depends on neither order nor ids."""
    alike: dict[tuple[float, ...], list[EatingClass]] = {}
    for one in classes:
        alike.setdefault(_figures(one), []).append(one)
    # Sets of stacks are large: they are put in order once, and only where all else is the same.
    told_apart = [one for held in alike.values() if len(held) > 1 for one in held]
    shared = {id(one.shared): one.shared for one in told_apart}
    ordered = {key: sorted(positions) for key, positions in shared.items()}
    for held in alike.values():
        if len(held) > 1:
            held.sort(key=lambda one: (ordered[id(one.shared)], sorted(one.own)))
    return tuple(one for figures in sorted(alike) for one in alike[figures])


def _figures(one: EatingClass) -> tuple[float, ...]:
    return one.energy_kcal, one.protein_g, one.water_l, len(one.mouths), one.highest_ratio


def split_by_ratio(one: EatingClass, density: float) -> tuple[EatingClass, EatingClass]:
    """Part a class into those whose ratio a plan of this density meets, and the needier.

    `density` is grams of protein per kcal, at least the class's mean ratio and below its highest.
    """
    met = [mouth for mouth in one.mouths if mouth.ratio <= density]
    rest = [mouth for mouth in one.mouths if mouth.ratio > density]
    return (
        eating_class(met, shared=one.shared, own=one.own, keeper=one.keeper),
        eating_class(rest, shared=one.shared, own=one.own, keeper=one.keeper),
    )
