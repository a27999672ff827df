"""List for a household what in the store it must not have, and what nobody knows of yet.

Every food that is unsuitable or unknown for somebody in the home is listed, worst first, with the
need, the words behind it, and a lot in stock to give instead. Nothing that was warned of once is
left out: what a coordinator acknowledged is listed with it. A warning's `mark` changes with all
that it hangs on (the need, the food, its label), so that an edit opens it again.

What can not be given today is listed all the same, since it may be tomorrow: what is set aside,
past its date or without one. Only damaged and empty lots are left out, and what another household
keeps for itself. What is given instead can be given today.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Final

from daysworth.domain.ages import Stage
from daysworth.domain.errors import NotThere
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.label_reader import plain_words
from daysworth.domain.labels import Presence
from daysworth.domain.lots import Condition
from daysworth.domain.offers import Offer, offer_of
from daysworth.domain.people import Household
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge, judge
from daysworth.domain.verdicts import Verdict
from daysworth.planners.classes import is_present
from daysworth.planners.household_fit import (
    WORST_FIRST,
    Finding,
    Table,
    fit,
    gravity,
    table_of,
)
from daysworth.planners.shelf import DatedLot, Standing, dated_lots

MARK_CHARACTERS: Final = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodWarning:
    """One food, as one label has it, that is not simply suitable for a household.

    `lots` hold it. `verdict` is the worst for anybody in the home; `suitable` where there is only a
    warning to be read. `instead` is a lot in stock that suits them; None: there is none.
    """

    mark: str
    offer: Offer
    lots: tuple[DatedLot, ...]
    verdict: Verdict
    findings: tuple[Finding, ...]
    instead: DatedLot | None

    @property
    def units(self) -> int:
        """Count the packs that are on hand."""
        return sum(item.lot.units for item in self.lots)


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseholdWarnings:
    """All warnings for a household; and the foods, with their packs, that suit everybody in it."""

    household: Household
    table: Table
    as_of: date
    warnings: tuple[FoodWarning, ...]
    suitable: tuple[tuple[Food, int], ...]


def plan_warnings(
    snapshot: Snapshot, as_of: date, *, household: HouseholdId, judged_by: Judge = judge
) -> HouseholdWarnings:
    """List a household's warnings on a date. Raises NotThere for a household the store lacks."""
    home = household_in(snapshot, household)
    table = table_of(home, as_of)
    stock = reachable(dated_lots(snapshot, as_of), home=home)
    found, suiting = [], []
    for offer, items in stock.items():
        fits = fit(offer, table, judged_by=judged_by)
        findings = tuple(one for one in fits.findings if _is_to_warn_of(one))
        if findings:
            found.append((offer, items, findings))
        elif fits.verdict is Verdict.SUITABLE:
            suiting.append((offer, items))
    choice = _Instead(suiting, dislikes=dislikes_of(home, as_of))
    warnings = [
        FoodWarning(
            mark=mark_of(offer, findings),
            offer=offer,
            lots=tuple(items),
            verdict=_worst(findings),
            findings=findings,
            instead=choice.for_food(offer.food),
        )
        for offer, items, findings in found
    ]
    return HouseholdWarnings(
        household=home,
        table=table,
        as_of=as_of,
        warnings=tuple(sorted(warnings, key=_worst_first)),
        suitable=_units_by_food(suiting),
    )


def household_in(snapshot: Snapshot, household: HouseholdId) -> Household:
    """Find a household. Raises NotThere."""
    for one in snapshot.households:
        if one.id == household:
            return one
    raise NotThere(f"there is no household {household!r} in this store")


def reachable(dated: Iterable[DatedLot], *, home: Household) -> Mapping[Offer, Sequence[DatedLot]]:
    """Gather by offer the lots that a household could be given: the shared ones and its own."""
    by_key: dict[tuple[object, ...], list[DatedLot]] = {}
    offers: dict[tuple[object, ...], Offer] = {}
    for item in dated:
        lot = item.lot
        if lot.condition is Condition.DAMAGED or lot.units == 0 or item.food.is_water:
            continue
        if lot.is_shared or lot.owner == home.id:
            offer = offer_of(lot, item.food)
            # Which reading was made first is the same to everybody.
            readings = frozenset(lot.readings)
            key = (lot.food, readings, offer.is_handled_here, offer.packed_since_on)
            offers.setdefault(key, offer)
            by_key.setdefault(key, []).append(item)
    return {offers[key]: items for key, items in by_key.items()}


def dislikes_of(home: Household, as_of: date) -> frozenset[tuple[str, ...]]:
    """Gather in plain words what the members of a household do not like."""
    return frozenset(
        plain_words(words)
        for member in home.members
        if is_present(member, as_of)
        for words in member.dislikes
    )


def _units_by_food(
    suiting: Iterable[tuple[Offer, Sequence[DatedLot]]],
) -> tuple[tuple[Food, int], ...]:
    """Count the packs of each food that can be given, by its name."""
    counted: dict[Food, int] = {}
    for offer, items in suiting:
        units = sum(item.lot.units_to_eat for item in items if _can_be_given(item))
        if units:
            counted[offer.food] = counted.get(offer.food, 0) + units
    return tuple(sorted(counted.items(), key=lambda one: (one[0].name, one[0].id)))


def _is_to_warn_of(finding: Finding) -> bool:
    """Leave out what is no fault of the food: that it is for another age, or a care team's."""
    return not finding.reason.is_by_stage and not finding.only_advises


def _worst(findings: Iterable[Finding]) -> Verdict:
    said = {one.reason.verdict for one in findings}
    return next(verdict for verdict in WORST_FIRST if verdict in said)


def _worst_first(warning: FoodWarning) -> tuple[object, ...]:
    worst = [one for one in warning.findings if one.reason.verdict is warning.verdict]
    return (
        WORST_FIRST.index(warning.verdict),
        min(gravity(one.reason) for one in worst),
        not any(one.binds_home for one in worst),
        not any(_is_in_it(one, warning.offer) for one in worst),
        not warning.offer.readings,
        warning.offer.food.name,
        warning.offer.food.id,
        warning.mark,
    )


def _is_in_it(finding: Finding, offer: Offer) -> bool:
    """Tell whether what a finding is about is in the food, rather than perhaps in it."""
    stands = {offer.known.of(substance) for substance in finding.reason.substances}
    stands |= {one.presence for one in finding.reason.evidence}
    return Presence.CONTAINED in stands


def mark_of(offer: Offer, findings: Iterable[Finding]) -> str:
    """Give what tells a warning from any other: a digest of all that it hangs on."""
    said = {
        "food": _plain(asdict(offer.food)),
        "readings": sorted(_written(_plain(asdict(reading))) for reading in offer.readings),
        "handled": offer.is_handled_here,
        "packed_since_on": str(offer.packed_since_on),
        "findings": sorted(
            [
                finding.reason.verdict,
                finding.reason.words,
                *_bound(finding),
                *(() if finding.reason.demand is None else finding.reason.demand.order),
            ]
            for finding in findings
        ),
    }
    return hashlib.sha256(_written(said).encode()).hexdigest()[:MARK_CHARACTERS]


def _bound(finding: Finding) -> list[str]:
    """Say whom a finding binds: the home, whoever lives in it, or the members it is about."""
    return ["home"] if finding.binds_home else ["members", *sorted(finding.members)]


def _written(values: Mapping[str, object]) -> str:
    return json.dumps(values, sort_keys=True, default=str)


def _plain(values: Mapping[str, object]) -> dict[str, object]:
    """Write sets in alphabetical order, for they have none of their own."""
    return {
        name: sorted(value)
        if isinstance(value, frozenset)
        else _plain(value)
        if isinstance(value, dict)
        else value
        for name, value in values.items()
    }


class _Instead:
    """Choose among what suits a household: the same kind first, what spoils soonest first."""

    def __init__(
        self,
        suiting: Iterable[tuple[Offer, Sequence[DatedLot]]],
        *,
        dislikes: frozenset[tuple[str, ...]],
    ) -> None:
        # How near one food is to another hangs on the food alone: the first lot of each will do.
        first: dict[Food, DatedLot] = {}
        for item in sorted((item for _, items in suiting for item in items), key=_soonest):
            if _can_be_given(item):
                first.setdefault(item.food, item)
        self._lots = sorted(
            first.values(),
            key=lambda item: (
                _is_disliked(item.food, dislikes),
                # Ready-to-feed before powder, and what is eaten as it is before what needs water.
                item.food.needed_water_l() > 0,
                _soonest(item),
            ),
        )

    def for_food(self, food: Food) -> DatedLot | None:
        """Give the lot that stands in best for a food; None: nothing of its kind suits."""
        near = [(_nearness(item.food, food), item) for item in self._lots]
        best = max((nearness for nearness, _ in near), default=None)
        if best is None or best == _NOTHING_IN_COMMON:
            return None
        return next(item for nearness, item in near if nearness == best)


def _soonest(item: DatedLot) -> tuple[date, str]:
    return (item.last_good_day or date.max, item.lot.id)


_Nearness = tuple[bool, bool, int, bool]
_NOTHING_IN_COMMON: Final[_Nearness] = (False, False, 0, False)

_EATEN_ALIKE: Final = (
    frozenset(
        {
            FoodGroup.FISH,
            FoodGroup.MEAT_AND_POULTRY,
            FoodGroup.PREPARED_MEALS,
            FoodGroup.BEANS_AND_LENTILS,
            FoodGroup.NUTS_AND_SEEDS,
            FoodGroup.VEGETABLES,
        }
    ),
    frozenset(
        {
            FoodGroup.BREADS_AND_CRACKERS,
            FoodGroup.BREAKFAST_CEREALS,
            FoodGroup.GRAINS_AND_PASTA,
        }
    ),
    frozenset({FoodGroup.FRUIT, FoodGroup.SWEETS}),
)
"""Groups of which one stands in for another on a plate: our judgement."""


def _nearness(one: Food, other: Food) -> _Nearness:
    """Tell how well one food stands in for another, the nearest highest."""
    if one.is_for_infants is not other.is_for_infants:
        return _NOTHING_IN_COMMON
    roles = len(one.roles & other.roles)
    is_alike = bool(roles) and any({one.group, other.group} <= groups for groups in _EATEN_ALIKE)
    # Of formula the ready-to-feed comes first, before another label of the same powder.
    is_same = one.id == other.id and one.group is not FoodGroup.INFANT_FORMULA
    return (is_same, one.group is other.group, roles, is_alike)


def _can_be_given(item: DatedLot) -> bool:
    return item.standing is Standing.GOOD and item.lot.units_to_eat > 0


def _is_disliked(food: Food, dislikes: frozenset[tuple[str, ...]]) -> bool:
    named = set(plain_words(food.name))
    return any(set(words) <= named for words in dislikes if words)


def with_needs(snapshot: Snapshot, as_of: date) -> list[HouseholdId]:
    """List the households in which somebody must avoid something, an infant too, by id."""
    return sorted(
        home.id
        for home in snapshot.households
        if any(member.restrictions for member in home.members) or has_infant(home, as_of)
    )


def has_infant(home: Household, as_of: date) -> bool:
    """Tell whether somebody in a home is too young for what the table has."""
    return any(eater.stage is not Stage.TABLE_FOOD for _, eater in table_of(home, as_of).eaters)
