"""Say how kits are checked, planned and dealt with, and how what was done is told."""

from datetime import date
from typing import Annotated, Self

from pydantic import Field, model_validator

from daysworth.answers.store_packing import KindAsked
from daysworth.api.schemas.patterns import PersonsIn, WaiverIn
from daysworth.api.schemas.plain import Day, Input, Output, Ref, Why
from daysworth.api.schemas.stock import MassIn
from daysworth.api.schemas.words_of_lists import ServedIn, WareKindIn
from daysworth.db.kits import KeptKit
from daysworth.domain.entries import KitState
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PatternId
from daysworth.domain.meal_patterns import Served
from daysworth.planners.kit_check import CheckAsked, ItemAsked
from daysworth.planners.packing_kinds import MOST_KINDS, MOST_WANTED

MOST_ITEMS = 60
KitUnitsIn = Annotated[int, Field(ge=1, le=1_000, description="Whole packs in one kit.")]


class KitItemIn(Input):
    """Units of a lot, or of a food that is not stock: its net mass and its date are then given."""

    units: KitUnitsIn
    lot: Ref | None = None
    food: Ref | None = None
    net_mass_g: MassIn | None = None
    last_good_day: Day | None = None
    served: ServedIn = Served.PLATE

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.item()
        return self

    def item(self) -> ItemAsked:
        """Give the item. Raises ValueError where it names both or neither."""
        return ItemAsked(
            units=self.units,
            lot=None if self.lot is None else LotId(self.lot),
            food=None if self.food is None else FoodId(self.food),
            net_mass_g=self.net_mass_g,
            last_good_day=self.last_good_day,
            served=self.served,
        )


class ServesIn(Input):
    """Whom a kit serves: a household, or so many persons, one of them."""

    household: Ref | None = None
    persons: PersonsIn | None = None

    @property
    def home(self) -> HouseholdId | None:
        """Give the household."""
        return None if self.household is None else HouseholdId(self.household)


class KitCheckIn(ServesIn):
    """What to check, and for whom; without a day it is as if it were packed today."""

    items: Annotated[list[KitItemIn], Field(min_length=1, max_length=MOST_ITEMS)]
    wares: dict[WareKindIn, KitUnitsIn] = Field(default_factory=dict)
    waivers: Annotated[list[WaiverIn], Field(max_length=10)] = Field(default_factory=list)
    packed_on: Day | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if (self.household is None) == (self.persons is None):
            raise ValueError("say whom it serves: a household, or how many persons, one of them")
        rules = [one.rule for one in self.waivers]
        if len(set(rules)) < len(rules):
            raise ValueError("a rule is waived once")
        if self.packed_on is not None and not 2010 <= self.packed_on.year <= 2090:
            raise ValueError("packed_on must be a day from 2010 to 2090")
        return self

    def asked(self) -> CheckAsked:
        """Give what is asked."""
        return CheckAsked(
            items=tuple(one.item() for one in self.items),
            persons=self.persons,
            household=self.home,
            wares=dict(self.wares),
            waivers=tuple(one.waiver() for one in self.waivers),
            packed_on=self.packed_on,
        )


class KindIn(ServesIn):
    """So many kits by a pattern, for a household, or for persons: as many as the pattern serves."""

    pattern: Ref
    wanted: Annotated[int, Field(ge=1, le=MOST_WANTED, description="How many kits.")]

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if self.household is not None and self.persons is not None:
            raise ValueError("a kit is for a household or for persons, one of them")
        return self

    def kind(self) -> KindAsked:
        """Give what is asked for."""
        return KindAsked(
            pattern=PatternId(self.pattern),
            wanted=self.wanted,
            household=self.home,
            persons=self.persons,
        )


class KitPlanIn(Input):
    """The kits that are wanted, and the place where they are to stand."""

    kinds: Annotated[list[KindIn], Field(min_length=1, max_length=MOST_KINDS)]
    place: Ref


class KitMoveIn(Input):
    """Where a kit goes."""

    place: Ref
    why: Why | None = None


class KitOut(Output):
    """A kit after something was done with it."""

    id: str
    etag: str
    name: str
    state: KitState
    place: str
    persons: int
    packed_on: date
    ended_at: str | None


class KitsPackedOut(Output):
    """The kits that were put up by a plan."""

    plan: str
    kits: list[KitOut]


def kit_out(kept: KeptKit) -> KitOut:
    """Tell of a kit after something was done with it; whom it is for is not told."""
    kit = kept.kit
    return KitOut(
        id=kit.id,
        etag=f'"r{kept.revision}"',
        name=kit.name,
        state=kept.state,
        place=kit.place,
        persons=kit.persons,
        packed_on=kit.packed_on,
        ended_at=kept.ended_at,
    )
