"""Describe what becomes of what is due at a rotation round: one proposal for each lot and kit."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import fsum
from typing import NamedTuple

from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.planners.shelf import DatedLot, kept_by


class RoundAction(StrEnum):
    """What becomes of what is due: the first three of a lot, the last two of a kit.

    `eat_first`: it moves to the everyday food of a household that eats it in time. `hand_off`: it
    goes to a partner on a visit. `discard`: it is thrown away. `eat_whole`: a household
    eats the kit as an everyday dinner. `unpack`: what is in it goes back on the shelf.
    """

    EAT_FIRST = "eat_first"
    HAND_OFF = "hand_off"
    DISCARD = "discard"
    EAT_WHOLE = "eat_whole"
    UNPACK = "unpack"


@dataclass(frozen=True, slots=True)
class Portion:
    """Whole units for one household."""

    household: HouseholdId
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What becomes of a lot's due units, and of those that are left over.

    `action_on` is the last day to eat what is eaten first, the day of the visit for what is handed
    off, the first day on which to throw away what is discarded; so is `rest_on` of the `rest_units`
    left over. `portions` are of what is eaten first. `partner_name` takes what is handed off.
    """

    action: RoundAction
    action_on: date
    units: int
    portions: tuple[Portion, ...] = ()
    rest_units: int = 0
    rest_action: RoundAction | None = None
    rest_on: date | None = None
    partner_name: str | None = None


class RoundFigures(NamedTuple):
    """Units, their net grams, and their kcal as eaten from the pack."""

    units: int
    mass_g: float
    energy_kcal: float


@dataclass(frozen=True, slots=True)
class DueLot:
    """A lot that is due, with its proposal. Units in kits or promised to a partner are left out."""

    item: DatedLot
    proposal: Proposal

    @property
    def units(self) -> int:
        """Count the units that are due."""
        return self.proposal.units + self.proposal.rest_units

    @property
    def kept_by(self) -> HouseholdId | None:
        """Name the household that keeps it for itself; None: it is shared."""
        return kept_by(self.item.lot)

    @property
    def figures(self) -> RoundFigures:
        """Give the figures of all units that are due."""
        return figures_of(self.item, self.units)

    @property
    def by_action(self) -> tuple[tuple[RoundAction, RoundFigures], ...]:
        """Give the figures of what is proposed, and of what is left over, if anything is."""
        said = self.proposal
        first = (said.action, figures_of(self.item, said.units))
        if said.rest_action is None:
            return (first,)
        return (first, (said.rest_action, figures_of(self.item, said.rest_units)))


@dataclass(frozen=True, slots=True, kw_only=True)
class DueKit:
    """A kit that is due, with what becomes of it.

    `pull_by_day` is the earliest last good day among its items; None: none of them is dated.
    `items` are their lots, in the order of the kit's own items. `household` eats it whole; None:
    it is unpacked, and `to_pass_on` are those of its items that could then be handed off: good,
    and nothing that never goes (`acceptance`).
    """

    kit: MealKit
    pull_by_day: date | None
    items: tuple[DatedLot, ...]
    household: HouseholdId | None = None
    to_pass_on: tuple[KitItem, ...] = ()

    @property
    def action(self) -> RoundAction:
        """Give what is proposed: to eat it whole, or to unpack it."""
        return RoundAction.UNPACK if self.household is None else RoundAction.EAT_WHOLE

    @property
    def figures(self) -> RoundFigures:
        """Give the figures of all that is in it."""
        held = zip(self.items, self.kit.items, strict=True)
        return summed(figures_of(item, packed.units) for item, packed in held)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPlan:
    """What is due at a round, earliest first, and what somebody has to look at.

    `round_on` None: the store's rule has had no round within two years, and nothing is due.
    `next_round_on` None: it has none in the coming two years, and only what is past its date or
    damaged is due. `looked_at` are undated and quarantined lots, by name.
    """

    as_of: date
    round_on: date | None
    next_round_on: date | None
    lots: tuple[DueLot, ...] = ()
    kits: tuple[DueKit, ...] = ()
    looked_at: tuple[DatedLot, ...] = ()

    @property
    def totals(self) -> Mapping[RoundAction, RoundFigures]:
        """Sum up what is proposed by action; an action that nothing comes to has zeros."""
        found: dict[RoundAction, list[RoundFigures]] = {action: [] for action in RoundAction}
        for due in self.lots:
            for action, figures in due.by_action:
                found[action].append(figures)
        for kit in self.kits:
            found[kit.action].append(kit.figures)
        return {action: summed(figures) for action, figures in found.items()}


def figures_of(item: DatedLot, units: int) -> RoundFigures:
    """Give the figures of so many units of a lot."""
    lot, food = item.lot, item.food
    mass_g = food.net_mass_g if lot.net_mass_g is None else lot.net_mass_g
    return RoundFigures(units, units * mass_g, units * food.energy_kcal(lot.net_mass_g))


def summed(figures: Iterable[RoundFigures]) -> RoundFigures:
    """Sum figures up, exactly, whatever their order."""
    each = tuple(figures)
    return RoundFigures(
        sum(one.units for one in each),
        fsum(one.mass_g for one in each),
        fsum(one.energy_kcal for one in each),
    )
