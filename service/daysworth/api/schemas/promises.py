"""Say how promises, hand-offs and lapses come in, and how they are told."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from daysworth.answers.promises import PromiseAnswer
from daysworth.api.schemas.partners import LocalTime
from daysworth.api.schemas.plain import Day, Input, Output, Ref, Why
from daysworth.api.schemas.stock import CountIn, UnitsIn
from daysworth.db.ledger.promises import ToPromise
from daysworth.domain.identifiers import LotId, PartnerId, WindowId
from daysworth.domain.promises import PromisedLot

MOST_VISITS = 100
MOST_LOTS = 2_000


class PromisedLotIn(Input):
    """Units of a lot that are promised."""

    lot: Ref
    units: UnitsIn


class VisitIn(Input):
    """What is promised for one visit: an opening of a partner's window, as the plan names it."""

    partner: Ref
    window: Ref
    opens_at: LocalTime
    items: Annotated[list[PromisedLotIn], Field(min_length=1, max_length=MOST_LOTS)]

    @model_validator(mode="after")
    def _once_each(self) -> Self:
        if len({one.lot for one in self.items}) < len(self.items):
            raise ValueError("a lot stands twice: add its units up, and name it once")
        return self

    def to_promise(self) -> ToPromise:
        """Give what is to be promised."""
        return ToPromise(
            partner=PartnerId(self.partner),
            window=WindowId(self.window),
            opens_at=self.opens_at,
            items=tuple(PromisedLot(lot=LotId(one.lot), units=one.units) for one in self.items),
        )


class PromisesIn(Input):
    """Visits that are promised all together, or not at all."""

    visits: Annotated[list[VisitIn], Field(min_length=1, max_length=MOST_VISITS)]

    @model_validator(mode="after")
    def _not_too_much(self) -> Self:
        if sum(len(one.items) for one in self.visits) > MOST_LOTS:
            raise ValueError(f"at most {MOST_LOTS} lots are promised at once")
        return self


class WentIn(Input):
    """How many units of a lot really went; where fewer than promised, `why` the rest did not."""

    lot: Ref
    units: CountIn
    why: Why | None = None


class HandOffIn(Input):
    """What really went of what was promised; without `went` all of it, and without a day today.

    A lot that is not named went as promised. `why` is the reason for lots without one of their own.
    """

    went: Annotated[list[WentIn], Field(min_length=1, max_length=MOST_LOTS)] | None = None
    why: Why | None = None
    handed_on: Day | None = None

    @model_validator(mode="after")
    def _once_each(self) -> Self:
        if self.went is not None and len({one.lot for one in self.went}) < len(self.went):
            raise ValueError("a lot stands twice: add its units up, and name it once")
        return self

    @property
    def units_went(self) -> dict[LotId, int] | None:
        """Give how many units of each lot went; None: all that was promised."""
        if self.went is None:
            return None
        return {LotId(one.lot): one.units for one in self.went}

    @property
    def whys(self) -> dict[LotId, str]:
        """Give why lots did not go, or not all of them."""
        return {LotId(one.lot): one.why for one in self.went or () if one.why is not None}


class PromisesOut(Output):
    """The promises that were made, in the order of the visits that were sent."""

    promises: list[PromiseAnswer]


class LapsedOut(Output):
    """The promises that lapsed, whose units are free again."""

    lapsed: list[PromiseAnswer]
