"""Describe a plan for what a store can spare: visits to partners, and what stays and why."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from math import fsum, inf

from daysworth.domain.acceptance import Refusal, limits
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.partners import Partner, Window
from daysworth.domain.visits import VisitKey
from daysworth.planners.shelf import DatedLot


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusAsked:
    """What a plan is asked for; what is None is the store's own.

    `floor_days` are the days that everyone must stay fed for. Food is spared whose last good day
    lies before `until_on`; None: before the round after next. `partners` None: all of them. `over`
    are visits of the first day that are over by now; a day alone does not tell.
    """

    floor_days: int | None = None
    until_on: date | None = None
    partners: frozenset[PartnerId] | None = None
    over: frozenset[VisitKey] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One opening of a partner's window, and what is promised for it already, by food group."""

    partner: Partner
    window: Window
    opens_at: datetime
    promised: Mapping[FoodGroup, "Load"] = field(default_factory=dict)

    @property
    def on(self) -> date:
        """Give the date, as it is at the partner's."""
        return self.opens_at.date()

    @property
    def room(self) -> "Room":
        """Give what it can still take, by the window's bounds and our vehicle's."""
        kg, units = self.window.carried_kg, self.window.most_units
        return _room(kg, units, each=self.promised.values())

    def room_of(self, group: FoodGroup) -> "Room":
        """Give what it can still take of a food group by the partner's rule for it."""
        bounds = limits(self.partner, group)
        each = [self.promised[group]] if group in self.promised else []
        return _room(bounds.most_kg, bounds.most_units, each=each)


@dataclass(frozen=True, slots=True)
class Load:
    """Net grams, and units."""

    mass_g: float
    units: int


@dataclass(frozen=True, slots=True)
class Room:
    """What can still be taken, in net grams and in units; infinite: there is no bound."""

    mass_g: float
    units: float


def _room(most_kg: float | None, most_units: int | None, *, each: Iterable[Load]) -> Room:
    taken = tuple(each)
    return Room(
        inf if most_kg is None else max(0.0, most_kg * 1000 - fsum(one.mass_g for one in taken)),
        inf if most_units is None else max(0, most_units - sum(one.units for one in taken)),
    )


@dataclass(frozen=True, slots=True)
class Going:
    """Whole units of a lot that go on a visit."""

    item: DatedLot
    units: int

    @property
    def mass_g(self) -> float:
        """Give the net grams."""
        return self.units * unit_mass_g(self.item)

    @property
    def energy_kcal(self) -> float:
        """Give the kcal as eaten from the pack."""
        return self.units * unit_kcal(self.item)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedVisit:
    """A visit, and what goes there, the earliest date first."""

    visit: Visit
    going: tuple[Going, ...]

    @property
    def mass_g(self) -> float:
        """Give the net grams of all that goes."""
        return fsum(one.mass_g for one in self.going)

    @property
    def energy_kcal(self) -> float:
        """Give the kcal of all that goes."""
        return fsum(one.energy_kcal for one in self.going)

    @property
    def units(self) -> int:
        """Count the units that go."""
        return sum(one.units for one in self.going)


class WhyStays(StrEnum):
    """Why units that could spoil are not placed.

    `never_goes`: it may go to nobody. `no_window`: no visit that could still be promised is before
    its date. `refused`: the partners with a visit in time do not take it. `capacity`: there is no
    more room on the visits that could take it. `floor`: everyone would be fed for fewer days.
    """

    NEVER_GOES = "never_goes"
    NO_WINDOW = "no_window"
    REFUSED = "refused"
    CAPACITY = "capacity"
    FLOOR = "floor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Staying:
    """Units of a candidate that no visit takes, and why.

    `refused_by` says for each partner that would not have it by which rule; `never` why it goes to
    nobody.
    """

    item: DatedLot
    units: int
    why: WhyStays
    never: Refusal | None = None
    refused_by: Mapping[PartnerId, Refusal]


class SurplusAim(StrEnum):
    """The aims in their order, each held by those before it."""

    ENERGY = "energy"
    VISITS = "visits"
    EARLINESS = "earliness"


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusStage:
    """What a plan reaches of one aim, and what no plan exceeds or goes below.

    Energy is in kcal, visits are a number, earliness is the energy-weighted mean of days ahead.
    """

    aim: SurplusAim
    value: float
    bound: float

    @property
    def gap(self) -> float:
        """Give how much better some plan might be, as a share of the bound."""
        return abs(self.bound - self.value) / max(1.0, abs(self.bound))


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusPlan:
    """What goes where and when, and what stays. Units in kits or promised are in neither.

    Everyone-fed days stay at `floor_days` or more, or where they are fewer anyway no fewer than
    they would be, on every day up to `until_on`; `floor_days` 0: nothing is held back for them.
    `below_floor_on` is the first day on which they are fewer anyway. `held_days` counts the days
    on which the floor held something back.
    """

    as_of: date
    until_on: date
    floor_days: int
    visits: tuple[PlannedVisit, ...]
    staying: tuple[Staying, ...]
    stages: tuple[SurplusStage, ...]
    open_visits: int
    below_floor_on: date | None
    held_days: int

    @property
    def energy_kcal(self) -> float:
        """Give the kcal of all that goes."""
        return fsum(one.energy_kcal for one in self.visits)

    @property
    def mass_g(self) -> float:
        """Give the net grams of all that goes."""
        return fsum(one.mass_g for one in self.visits)

    @property
    def units(self) -> int:
        """Count the units that go."""
        return sum(one.units for one in self.visits)


def unit_mass_g(item: DatedLot) -> float:
    """Give the net grams of a unit of a lot."""
    return item.food.net_mass_g if item.lot.net_mass_g is None else item.lot.net_mass_g


def unit_kcal(item: DatedLot) -> float:
    """Give the kcal of a unit of a lot, as eaten from the pack."""
    return item.food.energy_kcal(item.lot.net_mass_g)
